//! What the book refuses, in words.

use crate::ledger::Closed;
use crate::ledger::refusal::{Arrival, NoLot, NotStruck, Refusal};
use crate::quantity::{Instant, Milligrams, Problem, Zone};
use crate::render::numbers::Units;
use crate::render::words;

/// A mass, with all its digits where the rounded ones would not tell it from another one.
pub(super) fn told_apart(mass: Milligrams, other: Milligrams, units: Units) -> String {
    if mass != other && units.weighed(mass) == units.weighed(other) {
        return format!("{} g", mass.grams());
    }
    units.weighed(mass)
}

/// What was found and what is allowed.
pub(super) fn words(refusal: &Refusal, units: Units, zone: &Zone) -> Problem {
    let found = match refusal {
        Refusal::NoBook(path) => format!("there is no book at `{}`", path.display()),
        Refusal::EmptyFile(path) => format!(
            "the file `{}` is empty: there is no book in it",
            path.display()
        ),
        Refusal::BackupNamesAFolder(path) => {
            format!("there is something at `{}` already", path.display())
        }
        Refusal::NoLot { why, .. } => match why {
            NoLot::Malformed(problem) => return problem.clone(),
            NoLot::NoSuchEnd(end) => {
                format!("no lot on hand has a code that ends in `{end}`")
            }
            NoLot::Mistyped(typed) => format!(
                "lot code `{typed}` has the wrong last character: something in it is mistyped"
            ),
            NoLot::Unknown(code) => format!("there is no lot `{code}` in the book"),
        },
        Refusal::SeveralLots { typed, lots } => format!(
            "{} lots on hand have codes that end in `{typed}`",
            lots.len()
        ),
        Refusal::LotStruck { lot, by } => {
            format!("lot `{lot}` was struck from the book by entry {by}")
        }
        Refusal::BeforeArrival { lot, how, came, at } => {
            let how = match how {
                Arrival::Collected => "was collected",
                Arrival::PartedOff => "was parted off",
                Arrival::Made => "was made",
            };
            format!(
                "lot `{lot}` {how} at {}: {} is before that",
                zone.in_words(*came),
                zone.in_words(*at)
            )
        }
        Refusal::NothingLeft(lot) => format!("nothing is left of lot `{lot}`"),
        Refusal::MoreThanLeft { lot, left, wanted } => format!(
            "lot `{lot}` has {} left: {} is more than that",
            told_apart(*left, *wanted, units),
            told_apart(*wanted, *left, units)
        ),
        Refusal::ColdBeforeMashOut {
            lot,
            mash_out,
            entry,
        } => format!(
            "lot `{lot}` was mashed out at {}: it cannot have been cold before that{}",
            zone.in_words(*mash_out),
            entry.map_or(String::new(), |entry| format!(", as entry {entry} says"))
        ),
        Refusal::AlreadyThere { lot, place } => format!("lot `{lot}` is in `{place}` already"),
        Refusal::MovedLater { lot, entry } => {
            format!("lot `{lot}` was moved at that time or later already, by entry {entry}")
        }
        Refusal::AfterNow { at, now } => format!(
            "{} lies after now, which is {}",
            zone.in_words(*at),
            zone.in_words(*now)
        ),
        Refusal::FoundTooMuch {
            lot,
            left,
            found,
            most,
        } => format!(
            "lot `{lot}` has {} left in the book, and {} is more than that by {}: counts may find {} more than came, over its life",
            told_apart(*left, *found, units),
            told_apart(*found, *left, units),
            units.weighed(Milligrams::new(found.get() - left.get())),
            units.weighed(*most)
        ),
        Refusal::WeighedLater { lot, entry } => format!(
            "grain of lot `{lot}` was weighed after that time, by entry {entry}: the count would not be of what the book says"
        ),
        Refusal::NothingToJoin => "one lot cannot be joined to nothing".to_owned(),
        Refusal::FormsDiffer((one, form), (other, differs)) => {
            format!("lot `{one}` is {form} and lot `{other}` is {differs}: one lot has one form")
        }
        Refusal::KindsDiffer((one, kind), (other, differs)) => format!(
            "lot `{one}` is {kind} and lot `{other}` is {differs} grain: they are kept apart"
        ),
        Refusal::TooHeavy => "together they weigh more than the book can hold".to_owned(),
        Refusal::NoPlace { name, known } => {
            format!(
                "place `{name}` is not known: known are {}",
                known.join(", ")
            )
        }
        Refusal::PlaceTaken(name) => format!("place `{name}` exists already"),
        Refusal::PlaceStatedLater(name) => {
            format!("place `{name}` was stated anew after that time already")
        }
        Refusal::NoSource { name, known } => {
            format!(
                "source `{name}` is not known: known are {}",
                known.join(", ")
            )
        }
        Refusal::NearSource { name, near } => format!(
            "source `{name}` is new, and called almost like {}",
            words::quoted(near)
        ),
        Refusal::SourceTaken { name, taken } => {
            format!("source `{name}` cannot be called `{taken}`: another source is called so")
        }
        Refusal::SameSource { name, into } => {
            format!("`{name}` and `{into}` are one source already")
        }
        Refusal::PlaceClosed { place, at, closed } => place_closed(place, *at, *closed, zone),
        Refusal::LotsLayThere {
            place,
            lots,
            empty_from,
        } => {
            let lots: Vec<String> = lots.iter().map(ToString::to_string).collect();
            format!(
                "place `{place}` cannot be closed from then on: {} lay there until {}",
                lots.join(", "),
                zone.in_words(*empty_from)
            )
        }
        Refusal::LotsLieThere { place, lots } => {
            let lots: Vec<String> = lots.iter().map(ToString::to_string).collect();
            format!(
                "place `{place}` cannot be closed: {} {} there",
                lots.join(", "),
                if lots.len() == 1 { "lies" } else { "lie" }
            )
        }
        Refusal::NotCorrected(entry, kind) => format!(
            "entry {entry} is of kind {}, which is not corrected",
            kind.as_str()
        ),
        Refusal::MashedOutAfterPickup {
            lot,
            mash_out,
            came,
        } => format!(
            "lot `{lot}` was collected at {}: it cannot have been mashed out at {}, after that",
            zone.in_words(*came),
            zone.in_words(*mash_out)
        ),
        Refusal::NotTheBrewDay {
            lot,
            mashed_on,
            brewed_on,
        } => {
            format!("mash-out on {mashed_on} does not fit the brew day {brewed_on} of lot `{lot}`")
        }
        Refusal::AfterItWasWritten { entry, written, at } => format!(
            "entry {entry} was written at {}: {} is after that",
            zone.in_words(*written),
            zone.in_words(*at)
        ),
        Refusal::NoFormula { name, .. } => format!("formula `{name}` is not in the book"),
        Refusal::NoVersion {
            name,
            version,
            newest,
        } => format!("formula `{name}` has no version {version}: the newest is {newest}"),
        Refusal::SameFormula { name, version } => {
            format!("formula `{name}` is in the book already, as version {version}, to the letter")
        }
        Refusal::NotABake(problem) => return problem.clone(),
        Refusal::NoBake(bake) => format!("there is no bake `{bake}` in the book"),
        Refusal::BakeEnded { bake, how, .. } => format!("bake `{bake}` is {how} already"),
        Refusal::NoEntry(entry) => format!("there is no entry {entry} in the book"),
        Refusal::DoneBefore { entry: Some(entry) } => {
            format!("this act is in the book already, as entry {entry}: nothing was written")
        }
        Refusal::DoneBefore { entry: None } => {
            "this act is in the book already: nothing was written".to_owned()
        }
        Refusal::ActIdTaken { entry } => format!(
            "another act was done under this id{}: nothing was written",
            entry.map_or(String::new(), |entry| format!(", entry {entry}"))
        ),
        Refusal::NoDevice(device) => format!("no device {device} is paired"),
        Refusal::NotStruck { entry, why } => not_struck(*entry, why),
        Refusal::WouldOverdraw { lot, by } => format!(
            "by that {} more would have gone out of lot `{lot}` than came in",
            units.weighed(*by)
        ),
    };
    Problem::new(found)
}

fn place_closed(place: &str, at: Instant, closed: Closed, zone: &Zone) -> String {
    match closed {
        (from, _) if at < from => format!(
            "place `{place}` is closed since {}: grain that was put there before would lie there still",
            zone.in_words(from)
        ),
        (_, None) => format!("place `{place}` is closed: it takes no grain"),
        (from, Some(until)) => format!(
            "place `{place}` was closed from {} to {}: it took no grain at {}",
            zone.in_words(from),
            zone.in_words(until),
            zone.in_words(at)
        ),
    }
}

fn not_struck(entry: i64, why: &NotStruck) -> String {
    match why {
        NotStruck::Already(by) => format!("entry {entry} is struck already, by entry {by}"),
        NotStruck::Amended(by) => {
            format!("entry {entry} does not count: entry {by} stands in its place")
        }
        NotStruck::StrikesAStrike(first) => format!(
            "entry {entry} brought entry {first} back: to take that out again, strike {first}"
        ),
        NotStruck::StruckWith(with) => format!(
            "entry {entry} took a part of an act back, and entry {with} the rest of it: they go together"
        ),
        NotStruck::LotIsVoid(lot, by) => format!(
            "entry {entry} is about lot `{lot}`, and the entry by which that lot came is struck, by entry {by}"
        ),
        NotStruck::WeighedOn(by) => {
            format!("the samples of entry {entry} were weighed on, by entry {by}")
        }
        NotStruck::OnlyStatementOfPlace => {
            format!("entry {entry} is all that says what the place is")
        }
        NotStruck::RestOnIt(entries) => {
            let numbers: Vec<String> = entries.iter().map(i64::to_string).collect();
            let stand = match numbers.len() {
                1 => "entry",
                _ => "entries",
            };
            let on_it = if numbers.len() == 1 {
                "stands"
            } else {
                "stand"
            };
            format!(
                "entry {entry} is how the lot came, and {stand} {} {on_it} on it",
                numbers.join(", ")
            )
        }
        NotStruck::GrainOfDoneBake { bake, done } => format!(
            "entry {entry} is grain of bake `{bake}`, which entry {} says is done",
            done.first().copied().unwrap_or_default()
        ),
        NotStruck::MovedWithBake(done) => format!(
            "entry {entry} took its grain at the corrected time of its bake, which entry {done} says: they go together"
        ),
        NotStruck::GrainCorrectedSince(by) => {
            format!("entry {entry} corrected the time of a bake, and entry {by} its grain since")
        }
        NotStruck::BakeIsStruck(by) => format!(
            "entry {entry} took back a correction of a bake, and entry {by} the bake itself since"
        ),
        NotStruck::BakeEnded { bake, ended } => format!(
            "entry {entry} says what bake `{bake}` was to be, and entry {ended} stands on it"
        ),
        NotStruck::OnlyStatementOfBake(bake) => {
            format!("entry {entry} is all that says what bake `{bake}` is to be")
        }
    }
}
