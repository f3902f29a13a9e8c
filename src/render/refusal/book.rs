//! What the book refuses, in words.

use crate::ledger::Closed;
use crate::ledger::refusal::{Arrival, BookRefusal, NoLot, NotStruck};
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
pub(super) fn words(refusal: &BookRefusal, units: Units, zone: &Zone) -> Problem {
    let found = match refusal {
        BookRefusal::NoBook(path) => format!("there is no book at `{}`", path.display()),
        BookRefusal::EmptyFile(path) => format!(
            "the file `{}` is empty: there is no book in it",
            path.display()
        ),
        BookRefusal::BackupNamesAFolder(path) => {
            format!("there is something at `{}` already", path.display())
        }
        BookRefusal::NoLot { why, .. } => match why {
            NoLot::Malformed(problem) => return problem.clone(),
            NoLot::NoSuchEnd(end) => {
                format!("no lot on hand has a code that ends in `{end}`")
            }
            NoLot::Mistyped(typed) => format!(
                "lot code `{typed}` has the wrong last character: something in it is mistyped"
            ),
            NoLot::Unknown(code) => format!("there is no lot `{code}` in the book"),
        },
        BookRefusal::SeveralLots { typed, lots } => format!(
            "{} lots on hand have codes that end in `{typed}`",
            lots.len()
        ),
        BookRefusal::LotStruck { lot, by } => {
            format!("lot `{lot}` was struck from the book by entry {by}")
        }
        BookRefusal::BeforeArrival {
            lot,
            how,
            came,
            at,
            entry,
        } => {
            let how = match how {
                Arrival::Collected => "was collected",
                Arrival::PartedOff => "was parted off",
                Arrival::Made => "was made",
            };
            format!(
                "lot `{lot}` {how} at {}: {} is before that{}",
                zone.in_words(*came),
                zone.in_words(*at),
                as_says(*entry)
            )
        }
        BookRefusal::NothingLeft(lot) => format!("nothing is left of lot `{lot}`"),
        BookRefusal::MoreThanLeft { lot, left, wanted } => format!(
            "lot `{lot}` has {} left: {} is more than that",
            told_apart(*left, *wanted, units),
            told_apart(*wanted, *left, units)
        ),
        BookRefusal::ColdBeforeMashOut {
            lot,
            mash_out,
            entry,
        } => format!(
            "lot `{lot}` was mashed out at {}: it cannot have been cold before that{}",
            zone.in_words(*mash_out),
            as_says(*entry)
        ),
        BookRefusal::AlreadyThere { lot, place } => format!("lot `{lot}` is in `{place}` already"),
        BookRefusal::MovedLater { lot, entry } => {
            format!("lot `{lot}` was moved at that time or later already, by entry {entry}")
        }
        BookRefusal::AfterNow { at, now } => format!(
            "{} lies after now, which is {}",
            zone.in_words(*at),
            zone.in_words(*now)
        ),
        BookRefusal::FoundTooMuch {
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
        BookRefusal::WeighedLater { lot, entry } => format!(
            "grain of lot `{lot}` was weighed after that time, by entry {entry}: the count would not be of what the book says"
        ),
        BookRefusal::NothingToJoin => "one lot cannot be joined to nothing".to_owned(),
        BookRefusal::FormsDiffer((one, form), (other, differs)) => {
            format!("lot `{one}` is {form} and lot `{other}` is {differs}: one lot has one form")
        }
        BookRefusal::KindsDiffer((one, kind), (other, differs)) => format!(
            "lot `{one}` is {kind} and lot `{other}` is {differs} grain: they are kept apart"
        ),
        BookRefusal::TooHeavy => "together they weigh more than the book can hold".to_owned(),
        BookRefusal::NoPlace { name, known } => {
            format!(
                "place `{name}` is not known: known are {}",
                known.join(", ")
            )
        }
        BookRefusal::PlaceTaken(name) => format!("place `{name}` exists already"),
        BookRefusal::PlaceStatedLater(name) => {
            format!("place `{name}` was stated anew after that time already")
        }
        BookRefusal::NoSource { name, known } => {
            format!(
                "source `{name}` is not known: known are {}",
                known.join(", ")
            )
        }
        BookRefusal::NearSource {
            name,
            near,
            renamed: None,
        } => format!(
            "source `{name}` is new, and called almost like {}",
            words::quoted(near)
        ),
        BookRefusal::NearSource {
            name,
            near,
            renamed: Some(source),
        } => format!(
            "source `{source}` would be called `{name}`, almost like {}",
            words::quoted(near)
        ),
        BookRefusal::EarlierName {
            name,
            now,
            renamed: None,
        } => format!(
            "source `{name}` is not new: it was renamed or joined, and is called `{now}` now"
        ),
        BookRefusal::EarlierName {
            name,
            now,
            renamed: Some(source),
        } => format!(
            "source `{source}` would be called `{name}`, an earlier name of the source that is called `{now}` now"
        ),
        BookRefusal::SourceTaken { name, taken } => {
            format!("source `{name}` cannot be called `{taken}`: another source is called so")
        }
        BookRefusal::SameSource { name, into } => {
            format!("`{name}` and `{into}` are one source already")
        }
        BookRefusal::PlaceClosed { place, at, closed } => place_closed(place, *at, *closed, zone),
        BookRefusal::LotsLayThere {
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
        BookRefusal::LotsLieThere { place, lots } => {
            let lots: Vec<String> = lots.iter().map(ToString::to_string).collect();
            format!(
                "place `{place}` cannot be closed: {} {} there",
                lots.join(", "),
                if lots.len() == 1 { "lies" } else { "lie" }
            )
        }
        BookRefusal::NotCorrected(entry, kind) => format!(
            "entry {entry} is of kind {}, which is not corrected",
            kind.as_str()
        ),
        BookRefusal::MashedOutAfterPickup {
            lot,
            mash_out,
            came,
        } => format!(
            "lot `{lot}` was collected at {}: it cannot have been mashed out at {}, after that",
            zone.in_words(*came),
            zone.in_words(*mash_out)
        ),
        BookRefusal::NotTheBrewDay {
            lot,
            mashed_on,
            brewed_on,
        } => {
            format!("mash-out on {mashed_on} does not fit the brew day {brewed_on} of lot `{lot}`")
        }
        BookRefusal::AfterItWasWritten {
            entry,
            written,
            at,
            goes_along,
        } => format!(
            "entry {entry} {}was written at {}: {} is after that",
            if *goes_along { "goes along and " } else { "" },
            zone.in_words(*written),
            zone.in_words(*at)
        ),
        BookRefusal::NoFormula { name, .. } => format!("formula `{name}` is not in the book"),
        BookRefusal::NoVersion {
            name,
            version,
            newest,
        } => format!("formula `{name}` has no version {version}: the newest is {newest}"),
        BookRefusal::SameFormula { name, version } => {
            format!("formula `{name}` is in the book already, as version {version}, to the letter")
        }
        BookRefusal::NotABake { problem, .. } => return problem.clone(),
        BookRefusal::NoBake(bake) => format!("there is no bake `{bake}` in the book"),
        BookRefusal::BakeEnded { bake, how, .. } => format!("bake `{bake}` is {how} already"),
        BookRefusal::NoEntry(entry) => format!("there is no entry {entry} in the book"),
        BookRefusal::DoneBefore { entry: Some(entry) } => {
            format!("this act is in the book already, as entry {entry}: nothing was written")
        }
        BookRefusal::DoneBefore { entry: None } => {
            "this act is in the book already: nothing was written".to_owned()
        }
        BookRefusal::ActIdTaken { entry } => format!(
            "another act was done under this id{}: nothing was written",
            entry.map_or(String::new(), |entry| format!(", entry {entry}"))
        ),
        BookRefusal::NoDevice(device) => format!("no device {device} is paired"),
        BookRefusal::NotStruck { entry, why } => not_struck(*entry, why),
        BookRefusal::WouldOverdraw { lot, by } => format!(
            "by that {} more would have gone out of lot `{lot}` than came in",
            units.weighed(*by)
        ),
    };
    Problem::new(found)
}

/// The entry that says what is in the way.
fn as_says(entry: Option<i64>) -> String {
    entry.map_or(String::new(), |entry| format!(", as entry {entry} says"))
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
        NotStruck::GrainWithBake { bake, by, .. } => format!(
            "entry {entry} does not count: entry {by} stands in its place, and goes back with bake `{bake}`"
        ),
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
        NotStruck::GrainOfDoneBake { bake, done, .. } => {
            format!("entry {entry} is grain of bake `{bake}`, which entry {done} says is done")
        }
        NotStruck::MovedWithBake(done) => format!(
            "entry {entry} took its grain at the corrected time of its bake, which entry {done} says: they go together"
        ),
        NotStruck::GrainCorrectedSince(since) => {
            let entries = if since.len() == 1 { "entry" } else { "entries" };
            let numbers: Vec<String> = since.iter().map(i64::to_string).collect();
            format!(
                "entry {entry} corrected the time of a bake, and {entries} {} its grain since",
                numbers.join(", ")
            )
        }
        NotStruck::BakeIsStruck(by) => format!(
            "entry {entry} took back a correction of a bake, and entry {by} the bake itself since"
        ),
        NotStruck::GrainOfStruckBake(by) => format!(
            "entry {entry} is grain that was added to a bake, and entry {by} took back the bake itself"
        ),
        NotStruck::BakeEnded { bake, ended } => format!(
            "entry {entry} says what bake `{bake}` was to be, and entry {ended} stands on it"
        ),
        NotStruck::OnlyStatementOfBake(bake) => {
            format!("entry {entry} is all that says what bake `{bake}` is to be")
        }
    }
}
