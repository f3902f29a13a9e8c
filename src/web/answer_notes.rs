//! What was told of an act, kept until its page was shown: a form that was booked leads to a page of its own.

use crate::grain::LotCode;
use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

/// So many acts are remembered.
const REMEMBERED: usize = 200;

/// Notices and cautions beside an answer, in words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AnswerNotes {
    /// What warns.
    pub warnings: Vec<String>,
    /// What is told.
    pub notices: Vec<String>,
    /// The cautions.
    pub cautions: Vec<String>,
    /// How many lots an act made that makes several.
    pub lots: usize,
    /// Their codes, each for its tub; none where there are too many to show.
    pub made: Vec<LotCode>,
}

/// The newest acts with what was told of them.
#[derive(Default)]
pub struct RecentNotes(Mutex<VecDeque<(String, AnswerNotes)>>);

impl RecentNotes {
    /// Keeps what was told of an act.
    pub fn keep(&self, act_id: &str, notes: AnswerNotes) {
        let mut acts = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        acts.push_back((act_id.to_owned(), notes));
        if acts.len() > REMEMBERED {
            acts.pop_front();
        }
    }

    /// What was told of it.
    pub fn of(&self, act_id: &str) -> Option<AnswerNotes> {
        let acts = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = acts.iter().find(|(id, _)| id == act_id);
        found.map(|(_, notes)| notes.clone())
    }
}
