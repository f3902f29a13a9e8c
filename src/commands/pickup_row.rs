//! One pickup as words, from the command line or from a row of a file, and its check.
//!
//! Both ways go through the same check, so a file is refused for exactly what a command line is.

use crate::grain::{Form, Grist, Kind};
use crate::ledger::{NewPickup, PlaceRecord};
use crate::quantity::when::{self, Weekdays};
use crate::quantity::{Instant, Milligrams, Problem, Temperature, Zone, text};
use chrono::{Days, NaiveDate};

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
    /// What the ledger writes.
    pub fn as_new(&self) -> NewPickup<'_> {
        NewPickup {
            source: &self.source,
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

/// What is wrong with a pickup: the column and the problem, for each column that is wrong.
pub type Wrong = Vec<(&'static str, Problem)>;

/// Checks every column and gives all that is wrong, not only the first.
pub fn check(row: &PickupRow<'_>, bench: &Bench<'_>) -> Result<CheckedPickup, Wrong> {
    let mut wrong: Wrong = Vec::new();
    let mut note = |column: &'static str, problem: Problem| wrong.push((column, problem));

    let source = keep(
        text::checked(row.source, "source", text::LONGEST_NAME),
        "source",
        &mut note,
    );
    let brewed_on = keep(
        when::date(row.brewed, bench.now, bench.zone, Weekdays::Past),
        "brewed",
        &mut note,
    );
    let wet = keep(row.wet.parse::<Milligrams>(), "wet", &mut note);
    let collected = match optional(row.collected) {
        None => Some(bench.now),
        Some(typed) => keep(bench.moment(typed), "collected", &mut note),
    };
    let mash_out = optional(row.mash_out).and_then(|typed| {
        let at = match brewed_on {
            // A bare clock time is meant on the brew day.
            Some(date) if !typed.contains([' ', 'T', '-']) && typed.contains(':') => {
                bench.moment(&format!("{date} {typed}"))
            }
            _ => bench.moment(typed),
        };
        keep(at, "mash_out", &mut note)
    });
    let temperature =
        optional(row.temp).and_then(|typed| keep(typed.parse::<Temperature>(), "temp", &mut note));
    let cooled =
        optional(row.cooled).and_then(|typed| keep(bench.moment(typed), "cooled", &mut note));
    let kind = match optional(row.kind) {
        None => Some(Kind::Mashed),
        Some(typed) => keep(typed.parse::<Kind>(), "kind", &mut note),
    };
    let form = match optional(row.form) {
        None => Some(Form::Whole),
        Some(typed) => keep(typed.parse::<Form>(), "form", &mut note),
    };
    let grist =
        optional(row.grist).and_then(|typed| keep(typed.parse::<Grist>(), "grist", &mut note));
    let remark = optional(row.note).and_then(|typed| {
        keep(
            text::checked(typed, "note", text::LONGEST_NOTE),
            "note",
            &mut note,
        )
    });
    let place = bench.place(row.place, form, &mut note);

    if let Some(collected) = collected {
        if collected > bench.now {
            note("collected", bench.future("collected", collected));
        }
        if let Some(brewed_on) = brewed_on
            && brewed_on > bench.zone.date(collected)
        {
            note(
                "brewed",
                Problem::new(format!(
                    "brewed on {brewed_on} lies after it was collected, on {}",
                    bench.zone.date(collected)
                )),
            );
        }
        if let Some(mash_out) = mash_out
            && mash_out > collected
        {
            note(
                "mash_out",
                Problem::new(format!(
                    "mash-out at {} lies after the pickup at {}",
                    bench.zone.rfc3339(mash_out),
                    bench.zone.rfc3339(collected)
                ))
                .hint("--collected says when the grain was fetched, if not now"),
            );
        }
    }
    if let (Some(brewed_on), Some(mash_out)) = (brewed_on, mash_out) {
        let mashed_on = bench.zone.date(mash_out);
        if mashed_on < brewed_on || mashed_on > brewed_on + Days::new(1) {
            note(
                "mash_out",
                Problem::new(format!(
                    "mash-out on {mashed_on} does not fit the brew day {brewed_on}"
                ))
                .hint("it is on the brew day or on the night after it"),
            );
        }
    }
    if let Some(cooled) = cooled {
        if cooled > bench.now {
            note("cooled", bench.future("cooled", cooled));
        }
        if mash_out.is_some_and(|mash_out| cooled < mash_out) {
            note(
                "cooled",
                Problem::new("cooled before mash-out: hot grain comes first"),
            );
        }
    }
    match (source, brewed_on, wet, collected, kind, form, place) {
        (
            Some(source),
            Some(brewed_on),
            Some(wet),
            Some(collected),
            Some(kind),
            Some(form),
            Some(place),
        ) if wrong.is_empty() => {
            let cooled = cooled.map(|at| (at, said_by(at, collected, &source, bench)));
            Ok(CheckedPickup {
                source,
                brewed_on,
                mash_out,
                wet,
                collected,
                temperature,
                cooled,
                kind,
                grist: grist.map(|grist| grist.to_string()),
                form,
                place,
                note: remark,
            })
        }
        _ => Err(wrong),
    }
}

/// Whose word it is that the grain was cold: before it was fetched, the source's.
fn said_by(cooled: Instant, collected: Instant, source: &str, bench: &Bench<'_>) -> String {
    if cooled <= collected {
        source.to_owned()
    } else {
        bench.by.unwrap_or("the baker").to_owned()
    }
}

fn optional(typed: &str) -> Option<&str> {
    let typed = crate::quantity::decimal::trim(typed);
    (!typed.is_empty()).then_some(typed)
}

/// Keeps what was understood, or notes what was not.
fn keep<T>(
    read: Result<T, Problem>,
    column: &'static str,
    note: &mut impl FnMut(&'static str, Problem),
) -> Option<T> {
    read.map_err(|problem| note(column, problem)).ok()
}

impl Bench<'_> {
    fn moment(&self, typed: &str) -> Result<Instant, Problem> {
        when::moment(typed, self.now, self.zone, Weekdays::Past)
    }

    fn future(&self, what: &str, at: Instant) -> Problem {
        Problem::new(format!(
            "{what} at {} lies after now, which is {}",
            self.zone.rfc3339(at),
            self.zone.rfc3339(self.now)
        ))
    }

    /// The place by name; without a name the fridge, or the dry store for dried grain.
    fn place(
        &self,
        typed: &str,
        form: Option<Form>,
        note: &mut impl FnMut(&'static str, Problem),
    ) -> Option<String> {
        let usual = if form == Some(Form::Dried) {
            "dry-store"
        } else {
            "fridge"
        };
        let name = optional(typed).unwrap_or(usual);
        let found = self
            .places
            .iter()
            .find(|place| place.name.eq_ignore_ascii_case(name));
        if found.is_none() {
            let names: Vec<&str> = self
                .places
                .iter()
                .map(|place| place.name.as_str())
                .collect();
            note(
                "place",
                Problem::new(format!(
                    "place `{name}` is not known: known are {}",
                    names.join(", ")
                ))
                .hint(format!("`draff place add {name} --kind fridge` makes it")),
            );
        }
        found.map(|place| place.name.clone())
    }
}
