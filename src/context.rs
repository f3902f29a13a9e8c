//! The clock, the environment and the terminal: the only reader of each, and what a command writes to.

mod new_book;
mod options;
mod patience;
mod shown;
mod terminal_watch;

pub use options::Options;
pub use shown::Shown;
pub use terminal_watch::TerminalWatch;

use crate::desk::{Answer, Desk, Notice, Written};
use crate::error::{Done, usage};
use crate::ledger::{Book, EntryKind, Signature, files};
use crate::quantity::when;
use crate::quantity::{Instant, Problem, Zone, text};
use crate::render::json::rows::BrokenOff;
use crate::render::lot::Detail;
use crate::render::numbers::Units;
use crate::render::{self, words::wrapped};
use crate::report::LotAnswer;
use chrono::{SubsecRound, Utc};
use serde::Serialize;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What the process finds around it.
#[derive(Debug, Clone)]
pub struct Surroundings {
    /// The system's clock, in whole seconds.
    pub clock: Instant,
    /// `DRAFF_NOW`.
    pub now: Option<String>,
    /// `DRAFF_BOOK`.
    pub book: Option<PathBuf>,
    /// Where a book lies that nobody named.
    pub usual_book: Option<PathBuf>,
    /// Asks for the zone this machine is set to, and what is wrong with it: only a new book needs it.
    pub zone: fn() -> (Zone, Option<String>),
}

impl Surroundings {
    /// Reads them once.
    pub fn of_this_process() -> Self {
        Self {
            clock: Utc::now().trunc_subsecs(0),
            now: std::env::var("DRAFF_NOW").ok(),
            book: std::env::var_os("DRAFF_BOOK").map(PathBuf::from),
            usual_book: directories::ProjectDirs::from("", "", "draffbook")
                .map(|folders| folders.data_dir().join("book.draff")),
            zone: zone_of_this_machine,
        }
    }
}

/// The zone this machine is set to; without a usable one UTC, with a line that says so.
fn zone_of_this_machine() -> (Zone, Option<String>) {
    let named = jiff::tz::TimeZone::try_system().ok().and_then(|rules| {
        let name = rules.iana_name()?.to_owned();
        Zone::named(&name).ok()
    });
    match named {
        Some(zone) => (zone, None),
        None => (
            Zone::utc(),
            Some("this machine names no usable time zone: taking UTC (`draff new-book --zone NAME` sets one)".to_owned()),
        ),
    }
}

/// Where the running program lies.
pub fn this_program() -> std::io::Result<PathBuf> {
    std::env::current_exe()
}

/// One run of one command: its options, its surroundings and where it writes.
pub struct Errand<'a> {
    /// Options that every command takes.
    pub options: Options,
    /// What the process finds around it.
    pub surroundings: &'a Surroundings,
    answer: &'a mut dyn Write,
    talk: &'a mut dyn Write,
    /// What was done so far, so that what fails afterwards is not called undone.
    done: Option<Done>,
    /// The same, of acts at a desk, with the entries that they wrote.
    written_at_desk: Written,
    /// The zone of the book that was opened last, for the words of refusals.
    zone: Zone,
}

impl<'a> Errand<'a> {
    /// Joins them.
    pub fn new(
        options: Options,
        surroundings: &'a Surroundings,
        answer: &'a mut dyn Write,
        talk: &'a mut dyn Write,
    ) -> Self {
        Self {
            options,
            surroundings,
            answer,
            talk,
            done: None,
            written_at_desk: Written::default(),
            zone: Zone::utc(),
        }
    }

    /// Keeps in mind that files were made or replaced, in words for the case that the answer cannot be shown.
    pub fn note_done(&mut self, words: String) {
        self.done = Some(Done::Files(words));
    }

    /// What was done, whether or not the answer could be shown.
    pub fn take_done(&mut self) -> Option<Done> {
        let act = self.written_at_desk.is_so().then_some(Done::Act);
        self.done.take().or(act)
    }

    /// The units to show.
    pub const fn units(&self) -> Units {
        Units::of(self.options.us)
    }

    /// The zone of the book that was opened last.
    pub const fn zone(&self) -> &Zone {
        &self.zone
    }

    /// Where the answer goes.
    pub fn answer(&mut self) -> &mut dyn Write {
        self.answer
    }

    /// Writes the answer to stdout, without anything that could move a cursor.
    pub fn print(&mut self, answer: &str) -> anyhow::Result<()> {
        self.answer.write_all(text::visible(answer).as_bytes())?;
        Ok(())
    }

    /// Says something on stderr that `--quiet` leaves out.
    pub fn say(&mut self, line: &str) {
        if !self.options.quiet {
            let mut text = String::new();
            for line in line.lines() {
                wrapped(&mut text, "", "  ", line);
            }
            self.speak(&text);
        }
    }

    /// Warns on stderr, whatever the options.
    pub fn warn(&mut self, line: &str) {
        let mut text = String::new();
        wrapped(&mut text, "warning: ", "  ", line);
        self.speak(&text);
    }

    /// Writes to stderr, below all of the answer that came before it: where both are one terminal too.
    fn speak(&mut self, text: &str) {
        // An answer that cannot be written is told of at the end.
        let _ = self.answer.flush();
        let _ = self.talk.write_all(text::visible(text).as_bytes());
    }

    /// The present moment, from `--now`, `DRAFF_NOW` or the clock.
    pub fn now(&self, zone: &Zone) -> anyhow::Result<Instant> {
        let typed = self.options.now.as_ref().or(self.surroundings.now.as_ref());
        match typed {
            None => Ok(self.surroundings.clock),
            Some(typed) => when::moment(typed, self.surroundings.clock, zone)
                .map_err(|problem| usage(problem.within("--now"))),
        }
    }

    /// A clock that goes on: this machine's, or one that begins at `--now`.
    pub fn running_clock(
        &self,
        zone: &Zone,
    ) -> anyhow::Result<Arc<dyn Fn() -> Instant + Send + Sync>> {
        let begin = self.now(zone)?;
        let started = self.surroundings.clock;
        Ok(Arc::new(move || {
            begin + (Utc::now().trunc_subsecs(0) - started)
        }))
    }

    /// Reads a time of the past in the book's zone.
    pub fn moment(&self, typed: &str, option: &str, zone: &Zone) -> anyhow::Result<Instant> {
        when::moment(typed, self.now(zone)?, zone).map_err(|problem| usage(problem.within(option)))
    }

    /// Reads a time of the past, or takes now where none is given.
    pub fn moment_or_now(
        &self,
        typed: Option<&str>,
        option: &str,
        zone: &Zone,
    ) -> anyhow::Result<Instant> {
        match typed {
            None => self.now(zone),
            Some(typed) => self.moment(typed, option, zone),
        }
    }

    /// Who records, and when.
    pub fn signature(&self, zone: &Zone) -> anyhow::Result<Signature> {
        let by = self
            .options
            .by
            .as_ref()
            .map(|name| text::typed(name, "name after --by", text::LONGEST_NAME))
            .transpose()
            .map_err(usage)?;
        Ok(Signature {
            now: self.now(zone)?,
            by,
        })
    }

    /// Where the book lies.
    pub fn book_path(&self) -> anyhow::Result<PathBuf> {
        let path = self.named_book().ok_or_else(|| {
            usage(
                Problem::new("this machine names no folder for a user's data")
                    .hint("say where the book lies: --book FILE"),
            )
        })?;
        files::refuse_special_name(path).map_err(usage)?;
        Ok(path.clone())
    }

    /// The book that is named, or the usual one of this machine.
    fn named_book(&self) -> Option<&PathBuf> {
        let surroundings = &self.surroundings;
        let named = self.options.book.as_ref().or(surroundings.book.as_ref());
        named.or(surroundings.usual_book.as_ref())
    }

    /// Opens a book that is there, and warns where an entry that counts was written after now.
    pub fn open_book(&mut self) -> anyhow::Result<Book> {
        let book = Book::open(&self.book_path()?, self.surroundings.clock)?;
        self.warn_of_late_entry(&book)?;
        Ok(book)
    }

    /// Opens a book that may be damaged.
    pub fn open_book_as_found(&mut self) -> anyhow::Result<Book> {
        Book::open_as_found(&self.book_path()?, self.surroundings.clock)
    }

    fn warn_of_late_entry(&mut self, book: &Book) -> anyhow::Result<()> {
        let view = book.view();
        let zone = &view.about().zone;
        let now = self.now(zone)?;
        if let Some(last) = view.written_after(now)? {
            self.warn(&format!(
                "the last entry was written at {}, after now ({}): what is on hand is shown and judged as of that entry. Set the clock, or strike that entry if its own time is wrong",
                zone.in_words(last),
                zone.in_words(now)
            ));
        }
        Ok(())
    }

    /// A desk at a book that is there, for this request.
    pub fn desk(&mut self) -> anyhow::Result<Desk> {
        let book = self.open_book()?;
        self.desk_at(book)
    }

    /// A desk at the book that is there, or at a new plain one.
    pub fn desk_or_new(&mut self) -> anyhow::Result<Desk> {
        let book = match self.book_if_there()? {
            Some(book) => book,
            None => self.make_plain_book()?,
        };
        self.desk_at(book)
    }

    /// A desk at this book, for this request.
    pub fn desk_at(&mut self, book: Book) -> anyhow::Result<Desk> {
        self.zone = book.view().about().zone.clone();
        let signature = self.signature(&self.zone)?;
        // A line that a script sends again must name the same lot then.
        let book = match self.options.once {
            None => book.with_code_ends(),
            Some(_) => book,
        };
        let desk = Desk::new(book, signature.now, signature.by).once(self.options.once.clone());
        self.written_at_desk = desk.written();
        Ok(desk)
    }

    /// Shows an answer of the desk as JSON or in words, with all its cautions and the numbers of what was written, and tells
    /// its notices.
    pub fn show<T, J: Serialize>(
        &mut self,
        answer: &Answer<T>,
        json: impl FnOnce(&T) -> J,
        words: impl FnOnce(&T) -> String,
    ) -> anyhow::Result<()> {
        let written = self.written_at_desk.entries();
        self.show_with(&written, answer, json, words)
    }

    /// The same of an act whose JSON and words name its entries themselves.
    pub fn show_numbered<T, J: Serialize>(
        &mut self,
        answer: &Answer<T>,
        json: impl FnOnce(&T) -> J,
        words: impl FnOnce(&T) -> String,
    ) -> anyhow::Result<()> {
        self.show_with(&[], answer, json, words)
    }

    fn show_with<T, J: Serialize>(
        &mut self,
        written: &[(i64, EntryKind)],
        answer: &Answer<T>,
        json: impl FnOnce(&T) -> J,
        words: impl FnOnce(&T) -> String,
    ) -> anyhow::Result<()> {
        let text = if self.options.json {
            let entry = written.first().map(|(entry, _)| *entry);
            render::json::of_act(&json(&answer.answer), entry, &answer.cautions)?
        } else {
            let mut text = words(&answer.answer);
            render::words::cautions(&mut text, &answer.cautions, self.units());
            text.push_str(&render::written::line(written, self.options.quiet));
            text
        };
        self.print(&text)?;
        self.tell(&answer.notices);
        Ok(())
    }

    /// Shows a long answer piece by piece, as [`Self::show`] shows a short one.
    pub fn show_long<'t, T, J: Serialize>(
        &mut self,
        answer: &'t Answer<T>,
        json: impl FnOnce(&'t T, &BrokenOff) -> J,
        words: impl FnOnce(&T, &mut dyn Write) -> anyhow::Result<()>,
    ) -> anyhow::Result<()> {
        let is_json = self.options.json;
        let units = self.units();
        let mut out = self.shown();
        if is_json {
            let broken_off = BrokenOff::default();
            let rows = json(&answer.answer, &broken_off);
            render::json::write(&mut out, &rows, &answer.cautions)
                .map_err(|error| broken_off.why().unwrap_or(error))?;
        } else {
            words(&answer.answer, &mut out)?;
            let mut text = String::new();
            render::words::cautions(&mut text, &answer.cautions, units);
            out.write_all(text.as_bytes())?;
        }
        out.end()?;
        self.tell(&answer.notices);
        Ok(())
    }

    /// Prints the numbers of what was written, where a file holds the rest of the answer.
    pub fn print_entries(&mut self) -> anyhow::Result<()> {
        let written = self.written_at_desk.entries();
        let line = render::written::line(&written, self.options.quiet);
        self.print(&line)
    }

    /// Stdout for an answer that comes piece by piece.
    pub fn shown(&mut self) -> Shown<'_> {
        Shown::new(self.answer)
    }

    /// Shows a lot as it stands after an act on it.
    pub fn show_lot(&mut self, answer: &Answer<LotAnswer>, detail: Detail) -> anyhow::Result<()> {
        let (units, zone) = (self.units(), self.zone.clone());
        let detail = self.detail(detail);
        self.show(
            answer,
            |lot| render::json::Pickup::new(lot, &zone),
            |lot| {
                let mut text = String::new();
                render::lot::block(&mut text, lot, detail, units, &zone);
                text
            },
        )
    }

    /// How much is said of lots: no reasons where `--quiet` is given.
    pub const fn detail(&self, otherwise: Detail) -> Detail {
        if self.options.quiet {
            Detail::Brief
        } else {
            otherwise
        }
    }

    /// Tells what stands beside an answer; warnings are told whatever the options.
    pub fn tell(&mut self, notices: &[Notice]) {
        let (units, zone) = (self.units(), self.zone.clone());
        for notice in notices {
            let words = render::notice::words(notice, units, &zone);
            if notice.is_warning() {
                self.warn(&words);
            } else {
                self.say(&words);
            }
        }
    }

    /// A watch over one search.
    pub fn watch(&mut self) -> TerminalWatch<'_, 'a> {
        TerminalWatch::new(self)
    }
}

/// Writes a line to stderr for whoever runs a server, from any of its threads.
pub fn log_line(line: &str) {
    let mut talk = std::io::stderr().lock();
    let _ = writeln!(talk, "{}", text::visible(line));
}

/// Whether nothing is there, or a file in which a book was begun at most.
fn is_absent(path: &Path) -> bool {
    match std::fs::metadata(path) {
        Ok(_) => Book::is_begun_at(path),
        Err(error) => error.kind() == std::io::ErrorKind::NotFound,
    }
}
