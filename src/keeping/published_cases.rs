//! The clock against the public rule texts.
//!
//! Each case names the section it works out. Where our default is stricter than the text, the case
//! says so. Times are those of January 2026 in Dublin, where 5 January is a Monday; core temperatures.

use super::*;
use crate::quantity::{Instant, Zone};
use chrono::{Duration, NaiveDateTime};

fn zone() -> Zone {
    Zone::named("Europe/Dublin").unwrap()
}

/// `05 09:00` in January 2026; other months are written out.
fn time(text: &str) -> Instant {
    let full = match text.len() {
        8 => format!("2026-01-{text}"),
        _ => text.to_owned(),
    };
    zone()
        .resolve(NaiveDateTime::parse_from_str(&full, "%Y-%m-%d %H:%M").unwrap())
        .unwrap()
}

fn rules(name: &str) -> RuleSet {
    RuleSet::from_text(RuleSet::built_in_text(name).unwrap()).unwrap()
}

/// A history told in order.
struct Tale(History);

impl Tale {
    fn mashed(at: &str) -> Self {
        Self(History {
            mash_out: Some(time(at)),
            arrived_dried: false,
            events: Vec::new(),
        })
    }

    /// Cooled within four hours and put into a fridge that states 4 °C.
    fn mashed_and_chilled(at: &str) -> Self {
        let cold = time(at) + Duration::hours(4);
        let mut tale = Self::mashed(at);
        tale.0.events.push(Event {
            at: cold,
            what: What::Cooled,
        });
        tale.push(
            cold,
            What::Placed {
                kind: PlaceKind::Fridge,
                stated: "4C".parse().unwrap(),
            },
        )
    }

    fn push(mut self, at: Instant, what: What) -> Self {
        self.0.events.push(Event { at, what });
        self
    }

    fn read(self, at: &str, temperature: &str) -> Self {
        self.push(time(at), What::Read(temperature.parse().unwrap()))
    }

    fn into(self, at: &str, kind: PlaceKind) -> Self {
        self.into_at(at, kind, kind.usual_temperature())
    }

    fn into_at(self, at: &str, kind: PlaceKind, stated: crate::quantity::Temperature) -> Self {
        self.push(time(at), What::Placed { kind, stated })
    }

    fn under(&self, set: &str, at: &str) -> Assessment {
        assess(&self.0, &rules(set), &zone(), time(at))
    }

    fn verdict(&self, set: &str, at: &str) -> Verdict {
        self.under(set, at).verdict
    }
}

const EVERY_SET: [&str; 4] = ["strict", "us-food-code", "au-2h-4h", "uk-chilled"];

mod days;
mod handled;
mod temperatures;
