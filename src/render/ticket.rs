//! The label of a tub: its words for a terminal and for paper.

use super::numbers::Units;
use super::{lot, times, words};
use crate::keeping::{Advice, TicketSays, Verdict};
use crate::quantity::text::count;
use crate::quantity::{Instant, Zone};
use crate::report::ticket::Ticket;
use std::fmt::Write;

/// What to do and by when, the largest words after the code.
pub fn date(ticket: &Ticket, zone: &Zone) -> String {
    let answer = &ticket.lot;
    match (answer.keeping.keep_until, answer.keeping.verdict) {
        (_, Verdict::Past) => "PAST: throw it away".to_owned(),
        (_, Verdict::Unknown) => "NOT KNOWN: do not use it yet".to_owned(),
        (Some(_), _) if lot::hangs_on_a_reading(answer) => {
            let to_do = lot::keep_until(answer, zone);
            format!("{}, else throw it away", words::capital(&to_do))
        }
        (Some(until), _) => format!("Use by {}", times::moment(until, answer.as_of, zone)),
        (None, _) if answer.lot.form.is_dry() => "Keep it dry: no date".to_owned(),
        (None, _) => match answer.keeping.advice {
            Some(Advice::DaysAfterThawing(days)) => {
                let days = count(days as usize, "day");
                format!("Keep it frozen. Thawed: {days} left")
            }
            Some(Advice::StraightFromTheFreezer) => {
                "Keep it frozen. Straight from the freezer into the dough".to_owned()
            }
            _ => "Keep it frozen".to_owned(),
        },
    }
}

/// What a ticket says of the keeping of its lot, in the middle of a sentence.
pub fn says(says: TicketSays, now: Instant, zone: &Zone) -> String {
    match says {
        TicketSays { usable: false, .. } => "do not use it yet".to_owned(),
        TicketSays {
            keep_until: Some(until),
            ..
        } => format!("use by {}", times::moment(until, now, zone)),
        TicketSays {
            keep_until: None, ..
        } => "no date".to_owned(),
    }
}

/// The other lines, in their order: what was spoiled of it, when it goes first, gluten, how much, where from, as of when.
pub fn lines(ticket: &Ticket, units: Units, zone: &Zone) -> Vec<String> {
    let lot = &ticket.lot;
    let of = &lot.lot;
    let today = zone.date(lot.as_of);
    let mut lines = Vec::new();
    // Short, for the smallest label, and where nothing is cut off.
    if let Some(part) = lot.spoiled_part {
        let on = times::date(zone.date(part.at), today);
        let found = if part.had_left {
            "Its tub found spoiled"
        } else {
            "Part thrown away spoiled"
        };
        lines.push(format!("{found}, {on}: look before use"));
    }
    if let Some(from) = ticket.use_first_from {
        let from = times::date(zone.date(from), today);
        lines.push(format!("use first from {from}"));
    }
    let named = ticket.cereals.join(", ");
    let perhaps = ticket.perhaps.join(", ");
    lines.push(match (named.is_empty(), perhaps.is_empty()) {
        (false, true) => format!("Gluten: {named}"),
        (false, false) => format!("Gluten: {named}; perhaps {perhaps}"),
        (true, false) => format!("Gluten: perhaps {perhaps}"),
        (true, true) => "Gluten: none named in the grist".to_owned(),
    });
    if !of.allergens().is_empty() {
        lines.push(format!("Allergens: {}", of.allergens()));
    }
    let wet = units.weighed(lot.wet);
    lines.push(format!("{wet} {}, {}", of.kind, of.form));
    // A long name comes after what must not be cut off.
    let brewed = times::date(of.brewed_on(zone), today);
    lines.push(format!(
        "{}, brewed {brewed}",
        words::together(&lot.sources)
    ));
    lines.push(format!(
        "as of {}",
        times::moment(lot.as_of, lot.as_of, zone)
    ));
    lines
}

/// Labels for a terminal.
pub fn text(tickets: &[Ticket], units: Units, zone: &Zone) -> String {
    let mut text = String::new();
    for (place, ticket) in tickets.iter().enumerate() {
        if place > 0 {
            text.push('\n');
        }
        let _ = writeln!(text, "{}", ticket.lot.lot.code);
        words::wrapped(&mut text, "  ", "    ", &date(ticket, zone));
        for line in lines(ticket, units, zone) {
            words::wrapped(&mut text, "  ", "    ", &line);
        }
    }
    text
}
