//! One pickup as words, from the command line or from a row of a file, and its check.
//!
//! Both ways go through the same check, so a file is refused for exactly what a command line is.

use crate::grain::{Form, Grist, Kind, is_of_brew_day};
use crate::ledger::{NewPickup, PlaceRecord};
use crate::quantity::when;
use crate::quantity::{Instant, Milligrams, Problem, Temperature, Zone, text};
use chrono::NaiveDate;
use std::collections::HashMap;

/// A pickup in words. Empty means not given.
#[derive(Debug, Clone, Copy)]
pub struct PickupRow<'a> {
    pub source: &'a str,
    pub brewed: &'a str,
    pub mash_out: &'a str,
    pub wet: &'a str,
    pub collected: &'a str,
    pub temp: &'a str,
    pub cooled: &'a str,
    pub kind: &'a str,
    pub grist: &'a str,
    pub form: &'a str,
    pub place: &'a str,
    pub note: &'a str,
}

/// The columns of a file, named like the options.
pub const COLUMNS: [&str; 12] = [
    "source",
    "brewed",
    "mash_out",
    "wet",
    "collected",
    "temp",
    "cooled",
    "kind",
    "grist",
    "form",
    "place",
    "note",
];

impl<'a> PickupRow<'a> {
    /// Fills a row from cells given in the order of [`COLUMNS`].
    pub fn from_columns(cell: impl Fn(usize) -> &'a str) -> Self {
        Self {
            source: cell(0),
            brewed: cell(1),
            mash_out: cell(2),
            wet: cell(3),
            collected: cell(4),
            temp: cell(5),
            cooled: cell(6),
            kind: cell(7),
            grist: cell(8),
            form: cell(9),
            place: cell(10),
            note: cell(11),
        }
    }
}

/// What a pickup is checked against.
pub struct Bench<'a> {
    /// Now.
    pub now: Instant,
    /// The book's zone.
    pub zone: &'a Zone,
    /// The book's places.
    pub places: &'a [PlaceRecord],
    /// Who records.
    pub by: Option<&'a str>,
    /// Whether rows of a file are checked.
    pub in_file: bool,
    /// What to do where a place of this name is not known, in the front end's words.
    pub add_place: fn(&str) -> String,
    /// What to do where it is closed.
    pub open_place: fn(&str) -> String,
}

/// A pickup that may be booked.
#[derive(Debug, Clone)]
pub struct CheckedPickup {
    source: String,
    brewed_on: NaiveDate,
    mash_out: Option<Instant>,
    wet: Milligrams,
    collected: Instant,
    temperature: Option<Temperature>,
    cooled: Option<(Instant, String)>,
    kind: Kind,
    grist: Option<String>,
    form: Form,
    place: String,
    note: Option<String>,
}

impl CheckedPickup {
    /// What the ledger writes. A source said to be new may be called almost like another.
    pub fn as_new(&self, is_new_source: bool) -> NewPickup<'_> {
        NewPickup {
            source: &self.source,
            is_new_source,
            brewed_on: self.brewed_on,
            mash_out: self.mash_out,
            wet: self.wet,
            collected: self.collected,
            temperature: self.temperature,
            cooled: self
                .cooled
                .as_ref()
                .map(|(at, said_by)| (*at, said_by.as_str())),
            kind: self.kind,
            grist: self.grist.clone(),
            form: self.form,
            place: &self.place,
            note: self.note.clone(),
        }
    }
}

/// What is wrong with one column of a pickup.
#[derive(Debug)]
pub struct Wrong {
    /// The column.
    pub column: &'static str,
    /// What was found and what is allowed.
    pub problem: Problem,
    /// Whether the words are not understood at all, rather than understood and refused.
    pub is_slip: bool,
}

/// Gathers all that is wrong, not only the first.
#[derive(Default)]
struct Findings(Vec<Wrong>);

impl Findings {
    /// Keeps what was understood, or notes that it was not.
    fn keep<T>(&mut self, column: &'static str, read: Result<T, Problem>) -> Option<T> {
        read.map_err(|problem| {
            self.0.push(Wrong {
                column,
                problem,
                is_slip: true,
            });
        })
        .ok()
    }

    /// Keeps a cell that may be empty.
    fn keep_optional<T>(
        &mut self,
        column: &'static str,
        typed: &str,
        read: impl FnOnce(&str) -> Result<T, Problem>,
    ) -> Option<T> {
        optional(typed).and_then(|typed| self.keep(column, read(typed)))
    }

    /// Notes what is understood and refused.
    fn refuse(&mut self, column: &'static str, problem: Problem) {
        self.0.push(Wrong {
            column,
            problem,
            is_slip: false,
        });
    }
}

/// Grists that were read before, each by the words it was typed in: a brewery brews the same few.
pub type KnownGrists = HashMap<String, String>;

/// Checks every column and gives all that is wrong, not only the first.
pub fn check(row: &PickupRow<'_>, bench: &Bench<'_>) -> Result<CheckedPickup, Vec<Wrong>> {
    check_next(row, bench, &mut KnownGrists::new())
}

/// Checks one row of many.
pub fn check_next(
    row: &PickupRow<'_>,
    bench: &Bench<'_>,
    known: &mut KnownGrists,
) -> Result<CheckedPickup, Vec<Wrong>> {
    let mut found = Findings::default();
    let source = found.keep(
        "source",
        text::typed(row.source, "source", text::LONGEST_NAME),
    );
    let brewed_on = found.keep("brewed", when::date(row.brewed, bench.now, bench.zone));
    let wet = found.keep("wet", row.wet.parse::<Milligrams>());
    let collected = match optional(row.collected) {
        None => Some(bench.now),
        // A file is read on another day than it speaks of.
        Some(typed) if bench.in_file && is_bare_clock(typed) => {
            let problem = Problem::new(format!("`{typed}` has no date"))
                .hint("write it like 2026-11-20 11:30");
            found.keep("collected", Err(problem))
        }
        Some(typed) => found.keep("collected", bench.moment(typed)),
    };
    let mash_out = found.keep_optional("mash_out", row.mash_out, |typed| {
        bench.on_brew_day(typed, brewed_on)
    });
    let temperature = found.keep_optional("temp", row.temp, |typed| {
        typed.parse::<Temperature>()?.of_grain()
    });
    let cooled = found.keep_optional("cooled", row.cooled, |typed| {
        bench.on_brew_day(typed, brewed_on)
    });
    let kind = found.keep_optional("kind", row.kind, str::parse::<Kind>);
    let form = found
        .keep_optional("form", row.form, str::parse::<Form>)
        .unwrap_or(Form::Whole);
    let grist = found.keep_optional("grist", row.grist, |typed| written_grist(typed, known));
    let note = found.keep_optional("note", row.note, |typed| {
        text::typed(typed, "note", text::LONGEST_NOTE)
    });
    let came = collected.unwrap_or(bench.now);
    let place = bench.place(row.place, (form, came), &mut found);
    if let (Some(temperature), Some(place)) = (temperature, &place)
        && !form.is_dry()
        && !bench.is_freezer(place)
        && let Err(problem) = temperature.of_unfrozen_grain()
    {
        found.refuse("temp", problem);
    }
    let times = Times {
        brewed_on,
        mash_out,
        collected,
        cooled,
    };
    times.check(bench, &mut found);
    match (source, brewed_on, wet, collected, place) {
        (Some(source), Some(brewed_on), Some(wet), Some(collected), Some(place))
            if found.0.is_empty() =>
        {
            Ok(CheckedPickup {
                cooled: cooled.map(|at| (at, bench.by.unwrap_or("the baker").to_owned())),
                source,
                brewed_on,
                mash_out,
                wet,
                collected,
                temperature,
                kind: kind.unwrap_or(Kind::Mashed),
                grist,
                form,
                place,
                note,
            })
        }
        _ => Err(found.0),
    }
}

/// The times of a pickup, as far as they were understood.
struct Times {
    brewed_on: Option<NaiveDate>,
    mash_out: Option<Instant>,
    collected: Option<Instant>,
    cooled: Option<Instant>,
}

impl Times {
    /// Brew day, mash-out, pickup and cooling must follow each other, none after now.
    fn check(&self, bench: &Bench<'_>, found: &mut Findings) {
        let shown = |at: Instant| bench.zone.in_words(at);
        for (column, at) in [("collected", self.collected), ("cooled", self.cooled)] {
            if let Some(at) = at.filter(|at| *at > bench.now) {
                let problem = Problem::new(format!(
                    "{} lies after now, which is {}",
                    shown(at),
                    shown(bench.now)
                ));
                found.refuse(column, problem);
            }
        }
        if let (Some(brewed_on), Some(collected)) = (self.brewed_on, self.collected)
            && brewed_on > bench.zone.date(collected)
        {
            let collected_on = bench.zone.date(collected);
            let problem = Problem::new(format!(
                "brew day {brewed_on} lies after the pickup on {collected_on}"
            ));
            found.refuse("brewed", problem);
        }
        if let (Some(mash_out), Some(collected)) = (self.mash_out, self.collected)
            && mash_out > collected
        {
            let problem = Problem::new(format!(
                "mash-out at {} lies after the pickup at {}",
                shown(mash_out),
                shown(collected)
            ))
            .hint("--collected says when the grain was fetched, if not now");
            found.refuse("mash_out", problem);
        }
        if let (Some(brewed_on), Some(mash_out)) = (self.brewed_on, self.mash_out)
            && !is_of_brew_day(bench.zone.local(mash_out), brewed_on)
        {
            let problem = Problem::new(format!(
                "mash-out at {} does not fit the brew day {brewed_on}",
                shown(mash_out)
            ))
            .hint("it is on the brew day or in the night after it, before 6:00");
            found.refuse("mash_out", problem);
        }
        if let (Some(mash_out), Some(cooled)) = (self.mash_out, self.cooled)
            && cooled < mash_out
        {
            let problem = Problem::new(format!(
                "cooled at {} lies before mash-out at {}",
                shown(cooled),
                shown(mash_out)
            ));
            found.refuse("cooled", problem);
        }
    }
}

/// A grist in the way in which the book writes it.
fn written_grist(typed: &str, known: &mut KnownGrists) -> Result<String, Problem> {
    if let Some(written) = known.get(typed) {
        return Ok(written.clone());
    }
    let written = typed.parse::<Grist>()?.to_string();
    known.insert(typed.to_owned(), written.clone());
    Ok(written)
}

/// Whether a time is `11:30` and no more.
fn is_bare_clock(typed: &str) -> bool {
    typed.contains(':') && !typed.contains([' ', 'T', '-'])
}

fn optional(typed: &str) -> Option<&str> {
    let typed = crate::quantity::decimal::trim(typed);
    (!typed.is_empty()).then_some(typed)
}

impl Bench<'_> {
    fn moment(&self, typed: &str) -> Result<Instant, Problem> {
        when::moment(typed, self.now, self.zone)
    }

    /// Mash-out, or when it was cold; a bare clock time is meant on the brew day.
    fn on_brew_day(&self, typed: &str, brewed_on: Option<NaiveDate>) -> Result<Instant, Problem> {
        match brewed_on {
            Some(date) if is_bare_clock(typed) => self.moment(&format!("{date} {typed}")),
            _ => self.moment(typed),
        }
    }

    /// Whether a place is a freezer now: grain may come frozen.
    fn is_freezer(&self, name: &str) -> bool {
        let mut places = self.places.iter().filter(|place| place.name == name);
        places.any(|place| place.is_freezer_at(self.now))
    }

    /// The place by name, if it takes grain of a moment; without a name the fridge, or the dry store for dried grain.
    fn place(
        &self,
        typed: &str,
        (form, at): (Form, Instant),
        found: &mut Findings,
    ) -> Option<String> {
        let usual = if form.is_dry() { "dry-store" } else { "fridge" };
        let name = optional(typed).unwrap_or(usual);
        let known = text::find_named(self.places, |place| &place.name, name);
        let open = || {
            let open = self
                .places
                .iter()
                .filter(|place| place.closed_to(at).is_none());
            open.map(|place| place.name.as_str())
                .collect::<Vec<_>>()
                .join(", ")
        };
        let problem = match known.map(|place| (place, place.closed_to(at))) {
            Some((place, None)) => return Some(place.name.clone()),
            Some((_, Some((from, _)))) if at < from => Problem::new(format!(
                "place `{name}` is closed since {}: grain that came before would lie there still",
                self.zone.in_words(from)
            ))
            .hint((self.open_place)(name)),
            Some((_, Some((_, None)))) => {
                Problem::new(format!("place `{name}` is closed: open are {}", open()))
                    .hint((self.open_place)(name))
            }
            Some((_, Some((_, Some(until))))) => Problem::new(format!(
                "place `{name}` was closed until {}: open then were {}",
                self.zone.in_words(until),
                open()
            )),
            None => Problem::new(format!("place `{name}` is not known: known are {}", open()))
                .hint((self.add_place)(name)),
        };
        found.refuse("place", problem);
        None
    }
}
