//! What was told of an act, kept until its page was shown: a form that was booked leads to a page of its own.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

/// So many acts are remembered.
const REMEMBERED: usize = 200;

/// Notices and cautions of an act, in words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Words {
    /// What warns.
    pub warnings: Vec<String>,
    /// What is told.
    pub notices: Vec<String>,
    /// The cautions.
    pub cautions: Vec<String>,
}

/// The newest acts with what was told of them.
#[derive(Default)]
pub struct Told(Mutex<VecDeque<(String, Words)>>);

impl Told {
    /// Keeps what was told of an act.
    pub fn keep(&self, act_id: &str, words: Words) {
        let mut told = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        told.push_back((act_id.to_owned(), words));
        if told.len() > REMEMBERED {
            told.pop_front();
        }
    }

    /// What was told of it.
    pub fn of(&self, act_id: &str) -> Option<Words> {
        let told = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = told.iter().find(|(id, _)| id == act_id);
        found.map(|(_, words)| words.clone())
    }
}
