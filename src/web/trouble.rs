//! What an error is called on the page, and what to do about it.

use super::fields::Faulty;
use super::{Shared, remedies};
use crate::desk::Refusal;
use crate::ledger::{self, failure};
use crate::quantity::{Problem, Zone};
pub use crate::render::words::capital;
use axum::http::StatusCode;

/// What a refusal is called on the page: what was found, and what to do about it.
pub struct Trouble {
    /// What was found.
    pub found: String,
    /// What to do, each with the address where it is done.
    pub remedies: Vec<(String, Option<String>)>,
    /// The status.
    pub status: StatusCode,
}

/// Why a sound form is not booked as it was sent.
#[derive(Debug, thiserror::Error)]
pub enum Held {
    /// The machine's clock stands before the newest entry that counts.
    #[error("the clock of the machine that holds the book stands before the newest entry, of {0}")]
    ClockBehind(String),
    /// It was typed for somebody else.
    #[error("this was typed for {0}, who is not at the bench now")]
    AnotherAtBench(String),
    /// The device's clock was turned between typing and sending.
    #[error("nobody can tell when this was typed")]
    ClockTurned,
}

impl Held {
    fn trouble(&self) -> Trouble {
        let (status, next, address) = match self {
            Self::ClockBehind(_) => (
                StatusCode::SERVICE_UNAVAILABLE,
                "Set the clock of that machine. An entry with a wrong time is struck or corrected at the machine",
                None,
            ),
            Self::AnotherAtBench(_) => (
                StatusCode::CONFLICT,
                "Book it under the name on the button, or say first who is at the bench",
                Some("/bench".to_owned()),
            ),
            Self::ClockTurned => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "Where the form asks when it was, fill in day and time. Send it again: without a time it is booked as of now",
                None,
            ),
        };
        Trouble {
            found: capital(&self.to_string()),
            remedies: vec![(next.to_owned(), address)],
            status,
        }
    }
}

/// What an error is called on the page.
pub fn trouble(shared: &Shared, error: &anyhow::Error, zone: &Zone) -> Trouble {
    let units = shared.units;
    let of = |problem: &Problem, status| Trouble {
        found: capital(&problem.to_string()),
        remedies: problem
            .hints()
            .iter()
            .filter(|hint| !remedies::is_typed(hint))
            .map(|hint| (hint.clone(), None))
            .collect(),
        status,
    };
    if let Some(held) = error.downcast_ref::<Held>() {
        return held.trouble();
    }
    if error.is::<Faulty>() {
        return Trouble {
            found: "Look at these fields".to_owned(),
            remedies: Vec::new(),
            status: StatusCode::UNPROCESSABLE_ENTITY,
        };
    }
    if let Some(refusal) = Refusal::of(error) {
        let status = match &refusal {
            Refusal::BookHasMovedOn => StatusCode::CONFLICT,
            Refusal::Book(ledger::BookRefusal::NoBook(_) | ledger::BookRefusal::EmptyFile(_)) => {
                StatusCode::SERVICE_UNAVAILABLE
            }
            _ => StatusCode::UNPROCESSABLE_ENTITY,
        };
        return Trouble {
            found: capital(&remedies::found(&refusal, units, zone)),
            remedies: remedies::all(&refusal, units, zone),
            status,
        };
    }
    for cause in error.chain() {
        if let Some(problem) = cause.downcast_ref::<Problem>() {
            return of(problem, StatusCode::UNPROCESSABLE_ENTITY);
        }
        if let Some(problem) = failure::explain(cause) {
            return of(&problem, StatusCode::SERVICE_UNAVAILABLE);
        }
    }
    (shared.log)(&format!("{error:#}"));
    Trouble {
        found: "This should not have happened".to_owned(),
        remedies: vec![(
            "Send it again: an act that is in the book is not booked twice. What happened stands where draff serve runs".to_owned(),
            None,
        )],
        status: StatusCode::INTERNAL_SERVER_ERROR,
    }
}

/// A book that cannot be opened. Nobody is known without it, so nobody is told what is wrong with it.
pub fn unopened(shared: &Shared, error: &anyhow::Error) -> Trouble {
    (shared.log)(&format!("{error:#}"));
    let (found, next) = if failure::is_busy(error) {
        (
            "The book is being written by another program",
            "Nothing was written. Try again in a moment",
        )
    } else {
        (
            "The book cannot be opened",
            "Nothing was written. What is wrong stands where draff serve runs",
        )
    };
    Trouble {
        found: found.to_owned(),
        remedies: vec![(next.to_owned(), None)],
        status: StatusCode::SERVICE_UNAVAILABLE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::numbers::Units;
    use crate::web::ServerOptions;
    use std::sync::{Arc, Mutex};
    use std::time::Duration;

    #[test]
    fn the_text_of_a_defect_is_for_whoever_serves_and_for_no_visitor() {
        let lines: Arc<Mutex<Vec<String>>> = Arc::default();
        let kept = lines.clone();
        let shared = Shared::new(ServerOptions {
            book: "book.draff".into(),
            units: Units::Metric,
            clock: Arc::new(|| "2026-11-20T10:00:00Z".parse().unwrap()),
            hosts: Vec::new(),
            log: Arc::new(move |line| kept.lock().unwrap().push(line.to_owned())),
            backups: None,
            tls: None,
            form_takes: Duration::ZERO,
            greeting_takes: Duration::ZERO,
        });
        let error = anyhow::anyhow!("no column `innards`").context("reading /home/ada/book.draff");
        let zone = Zone::named("Europe/Dublin").unwrap();
        let trouble = trouble(&shared, &error, &zone);
        assert_eq!(trouble.status, StatusCode::INTERNAL_SERVER_ERROR);
        let remedies = trouble.remedies.iter().map(|(words, _)| words.as_str());
        let shown: Vec<&str> = std::iter::once(trouble.found.as_str())
            .chain(remedies)
            .collect();
        assert_eq!(shown.len(), 2, "what happened, and what to do next");
        for words in shown {
            assert!(
                !words.contains("innards") && !words.contains("/home"),
                "{words}"
            );
        }
        let logged = lines.lock().unwrap().join("\n");
        assert_eq!(logged, "reading /home/ada/book.draff: no column `innards`");
    }
}
