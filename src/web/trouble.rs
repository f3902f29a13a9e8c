//! What an error is called on the page, and what to do about it.

use super::fields::Faulty;
use super::{Shared, remedies};
use crate::desk::Refusal;
use crate::ledger::{self, failure};
use crate::quantity::{Problem, Zone};
use crate::render::refusal;
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
        found: capital(&units.in_words(&problem.to_string())),
        remedies: problem
            .hints()
            .iter()
            .filter(|hint| !remedies::is_typed(hint))
            .map(|hint| (units.in_words(hint), None))
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
            found: capital(&units.in_words(&remedies::found(&refusal, units, zone))),
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

/// A book that cannot be opened. Nobody is known without it: whoever serves it is told what the command line would say,
/// the visitor no more than which way it is out of reach.
pub fn unopened(shared: &Shared, error: &anyhow::Error) -> Trouble {
    let refusal = Refusal::of(error);
    let problem = match &refusal {
        // No zone is known without the book, and no refusal to open one names a moment.
        Some(refusal) => Some(refusal::words(refusal, shared.units, &Zone::utc())),
        None => error.chain().find_map(|cause| {
            let known = cause.downcast_ref::<Problem>().cloned();
            known.or_else(|| failure::explain(cause))
        }),
    };
    match &problem {
        Some(problem) => {
            (shared.log)(&format!("error: {problem}"));
            for hint in problem.hints() {
                (shared.log)(&format!("  {hint}"));
            }
        }
        None => (shared.log)(&format!("{error:#}")),
    }
    let (found, next) = if failure::is_busy(error) {
        (
            "The book is being written by another program",
            "Nothing was written. Try again in a moment",
        )
    } else if error.is::<failure::Newer>() {
        (
            "A newer program wrote the book",
            "Nothing was written. Serve the book with that program, or a newer one",
        )
    } else if let Some(Refusal::Book(
        ledger::BookRefusal::NoBook(_) | ledger::BookRefusal::EmptyFile(_),
    )) = refusal
    {
        (
            "The book is not at its place any more",
            "Nothing was written. Put its file back: where draff serve runs stands which one",
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

    fn served() -> (Shared, Arc<Mutex<Vec<String>>>) {
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
        (shared, lines)
    }

    #[test]
    fn the_text_of_a_defect_is_for_whoever_serves_and_for_no_visitor() {
        let (shared, lines) = served();
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
    #[test]
    fn a_book_out_of_reach_is_told_to_whoever_serves_as_on_the_command_line() {
        let (shared, lines) = served();
        let gone = ledger::BookRefusal::NoBook("/home/ada/e.draff".into()).into();
        let trouble = unopened(&shared, &gone);
        assert_eq!(trouble.found, "The book is not at its place any more");
        let logged = lines.lock().unwrap().join("\n");
        assert!(
            logged.starts_with("error: there is no book at `/home/ada/e.draff`\n  ")
                && logged.contains("new-book")
                && !logged.contains("NoBook"),
            "{logged}"
        );
        lines.lock().unwrap().clear();
        let problem = Problem::new("the book has schema version 99: this program knows up to 30");
        let error = anyhow::Error::from(problem.hint("use the newer program that wrote it"))
            .context(failure::Newer);
        let trouble = unopened(&shared, &error);
        assert_eq!(trouble.found, "A newer program wrote the book");
        let logged = lines.lock().unwrap().join("\n");
        assert_eq!(
            logged,
            "error: the book has schema version 99: this program knows up to 30\n  use the newer program that wrote it"
        );
        for shown in trouble.remedies.iter().map(|(words, _)| words) {
            assert!(!shown.contains("99"), "{shown}");
        }
    }
}
