//! Every refusal of the desk in words, and its remedies as what to type.

mod bake_earlier;
mod book;
mod made_again;
mod remedy;
mod temperatures;

pub use remedy::{add_place, open_place, out_for_a_while};

use super::numbers::{self, Units};
use super::plan::change_words;
use super::{hold_back, moisture, times, water_temperature};
use crate::desk::{NoPlanBecause, Refusal, Remedy, UnknownDish, WeighedTooSoon};
use crate::keeping::Verdict;
use crate::ledger::EntryKind;
use crate::quantity::{Problem, Zone};

/// A refusal in words, with a line for each remedy.
pub fn words(refusal: &Refusal, units: Units, zone: &Zone) -> Problem {
    let remedies = refusal.remedies();
    let hints = remedies
        .iter()
        .map(|remedy| remedy::words(remedy, units, zone));
    hints.fold(found(refusal, units, zone), Problem::hint)
}

/// A remedy in words, with what to type where there is something to type.
pub fn remedy_words(remedy: &Remedy, units: Units, zone: &Zone) -> String {
    remedy::words(remedy, units, zone)
}

/// `--wet-in` for the field `wet_in`.
pub(super) fn option(field: &str) -> String {
    format!("--{}", field.replace('_', "-"))
}

/// What was found and what is allowed.
fn found(refusal: &Refusal, units: Units, zone: &Zone) -> Problem {
    let words = match refusal {
        Refusal::Book(refusal) => return book::words(refusal, units, zone),
        Refusal::WentOn(went_on) => return book::words(&went_on.0, units, zone),
        Refusal::Dough(refusal) => return hold_back::refusal(refusal.clone(), units),
        Refusal::Temperatures(problem) => return temperatures::words(problem),
        Refusal::NoWaterTemperature(warmth) => return water_temperature::refusal(warmth, units),
        Refusal::Field { field, problem } => return problem.clone().within(option(field)),
        Refusal::UnknownGrist(problem, malts) => return unknown_grist(problem, malts),
        Refusal::NothingUsedFor { problem, .. }
        | Refusal::Request(problem)
        | Refusal::ImpossibleWeights(problem) => return problem.clone(),
        Refusal::NoPlan(because) => no_plan(because, units),
        Refusal::BookHasMovedOn => {
            "somebody wrote to the book while the plan was being made: it was not accepted"
                .to_owned()
        }
        Refusal::PickupAfterTheDays(days) => {
            format!("the pickup is after the {days} days that are looked at")
        }
        Refusal::PickupIsPast(at) => format!(
            "--at: {} is past: what was fetched is booked in with `draff pickup`",
            zone.in_words(*at)
        ),
        Refusal::MashOutAfterPickup { mash_out, at } => format!(
            "--mash-out: mashing is over at {}, after the grain is fetched at {}",
            zone.in_words(*mash_out),
            zone.in_words(*at)
        ),
        Refusal::StoppedTooEarly => "stopped before any amount was looked at".to_owned(),
        Refusal::NoBakesPlanned => "no bakes are planned".to_owned(),
        Refusal::BakeNotDone(bake) => {
            format!("bake `{bake}` is not done, so no grain was drawn for it")
        }
        Refusal::BakeStillOpen(bake, _) => format!(
            "bake `{bake}` is not done yet: its grain is booked when the bake is written down"
        ),
        Refusal::NoteIsBake(entry, bake) => format!(
            "`{bake}` is a bake, and a note adds no grain to it: entry {entry} is of no bake"
        ),
        Refusal::NoPlanForStep(step) => format!("there is no plan for the step {step}"),
        Refusal::DryingInFrost => "at or below 0 °C water freezes and does not dry off".to_owned(),
        Refusal::Unusable {
            lot,
            keeping,
            as_of,
            bake,
            ..
        } => {
            let by = if bake.is_some() {
                format!("by {}: ", zone.in_words(*as_of))
            } else {
                String::new()
            };
            let over = keeping
                .good_until()
                .filter(|_| keeping.verdict == Verdict::Past);
            let over = over.map_or(String::new(), |until| {
                format!("; over since {}", times::moment(until, *as_of, zone))
            });
            format!(
                "{by}lot `{lot}` is {}, so it may not be used as food: {}{over}",
                keeping.verdict, keeping.binding.limit
            )
        }
        Refusal::ColdAlready(at) => format!(
            "the grain is at {}: that is cold already",
            units.temperature(*at)
        ),
        Refusal::WouldRevive(lot) | Refusal::WouldReviveItself(lot, _) => {
            format!(
                "lot `{lot}` is past, and this would make it usable again, unknown, or good for longer than the book says"
            )
        }
        Refusal::WouldUnmark(draw, _) => format!(
            "{} of lot `{}` was past when it went out at {} for {}, and what this says of an earlier time would take that mark away: {}",
            units.weighed(draw.wet),
            draw.lot,
            zone.in_words(draw.at),
            draw.what,
            units.in_words(&draw.limit)
        ),
        Refusal::UsableByLateEntry(lot, late) => format!(
            "grain of lot `{lot}` would be usable by entry {late} alone, which was written late: without that entry it was past"
        ),
        Refusal::WouldMakeUsable(lot, verdict) => format!(
            "lot `{lot}` is {verdict}, and what you say of the place would make it usable again: say it from now on, readings from before count as they did"
        ),
        Refusal::ReadingsTooCold(cold) => format!(
            "more than half of these readings are {} or colder, and {} is no freezer: below {} wet grain would be a block of ice",
            units.temperature(cold.median),
            cold.place,
            units.temperature(cold.limit)
        ),
        Refusal::SpoiledAsFeed(lot) => format!(
            "lot `{lot}`, or grain that it was made of, is spoiled, as was found or as a reason says for which some is thrown away: mouldy or spoiled grain is no feed, its toxins harm animals too"
        ),
        Refusal::FeedUnsaid(lot) => format!(
            "the reason names animals or feed: say whether animals get this grain of lot `{lot}`. Feed law applies if they do"
        ),
        Refusal::WeighedTooSoon(WeighedTooSoon {
            entry,
            minutes,
            shortest,
        }) => format!(
            "entry {entry} was weighed {minutes} min ago, which is too soon to tell that it is dry. Put the sample back, wait {shortest} min or more, weigh it again. If you took these weights earlier: `draff correct {entry} --weighing PAN,WET,DRY,DRY --reason TEXT`"
        ),
        Refusal::UnknownDish(UnknownDish { lot, drying }) => format!(
            "no sample of `{lot}` that is drying has this pan and wet weight. Drying: {}",
            moisture::dishes(drying)
        ),
        Refusal::DishOfOther(of_other) => format!(
            "entry {} would have a sample of the same pan and wet weight as entry {}, and one dish would count twice: {}",
            of_other.entry,
            of_other.other,
            moisture::dishes(&[of_other.dish])
        ),
        Refusal::TooWetForActivity {
            lot,
            activity,
            weights: (least, most),
        } => format!(
            "a water activity of {} is that of dry grain, and the weights of the drying of `{lot}` leave {} to {} moisture",
            activity.get(),
            numbers::tenths(*least),
            numbers::tenths(*most)
        ),
        Refusal::DrierThanWeights {
            lot,
            found,
            weights: (least, most),
        } => format!(
            "this sample of `{lot}` says {} moisture, and the weights of its drying leave {} to {}: dry the sample on, or a weight is wrong",
            numbers::tenths(*found),
            numbers::tenths(*least),
            numbers::tenths(*most)
        ),
        Refusal::NothingToCorrect(entry) => {
            format!("what is wrong in entry {entry} is not said")
        }
        Refusal::NothingChanged(entry) => {
            format!("entry {entry} says that already: nothing is changed by that")
        }
        Refusal::MashOutUnsaid(lot) => format!(
            "the code of `{lot}` stays, and its mash-out is not known: the brew day alone changes nothing"
        ),
        Refusal::NotInEntry {
            entry,
            kind: EntryKind::Count,
            field: "at",
        } => format!(
            "the time of a count cannot be corrected: strike entry {entry} and count again with --at"
        ),
        Refusal::NotInEntry { entry, kind, field } => format!(
            "{}: entry {entry} is of kind {}, which does not hold that, or it cannot be corrected by itself",
            option(field),
            kind.as_str()
        ),
        Refusal::FactOfBake {
            entry,
            bake,
            stands_in,
            field,
        } => {
            let numbers: Vec<String> = stands_in.iter().map(i64::to_string).collect();
            let entries = if numbers.len() == 1 {
                "entry"
            } else {
                "entries"
            };
            format!(
                "{}: entry {entry} does not hold that. Of bake `{bake}` it stands in {entries} {}",
                option(field),
                numbers.join(", ")
            )
        }
        Refusal::MakesALot {
            entry, kind, field, ..
        } => format!(
            "{}: entry {entry} is of kind {} and made a lot. Its masses, its time, its place and its note can be corrected; for anything else strike it and do it again",
            option(field),
            kind.as_str()
        ),
        Refusal::HalfTimed(entry, _) => format!(
            "entry {entry} does not say how long the treatment took and how warm it was: state both"
        ),
        Refusal::HeldByOthers { lot, by, .. } => format!(
            "by that {} more would have gone out of lot `{lot}` than came in",
            units.weighed(*by)
        ),
        Refusal::NoPlaceToClose { name, known } => format!(
            "there is no place `{name}` to close: open are {}",
            known.join(", ")
        ),
        Refusal::PlaceKindUnsaid(name) => format!(
            "what kind of place `{name}` is is not said: it decides how long grain keeps there"
        ),
        Refusal::PortionsTooHeavy {
            lot,
            left,
            number,
            all,
        } => format!(
            "lot `{lot}` has {} left: {number} portions of {} in all are more than that",
            book::told_apart(*left, *all, units),
            book::told_apart(*all, *left, units)
        ),
        Refusal::TooManyPortions { number, most } => {
            format!("{number} portions are more than the {most} of one act")
        }
        Refusal::SeveralPlaces { places, .. } => format!(
            "the lots lie in {}: where the joined lot lies is not said",
            places.join(", ")
        ),
        Refusal::ThawTimeMissing { lot, place } => {
            format!("lot `{lot}` lies in {place}: how long it took to thaw, and how warm, counts")
        }
        Refusal::ProductUnusable(lot, into, verdict, limit) => format!(
            "what comes out of lot `{lot}` is {verdict}, so it may not be put to lot `{into}` yet: {}",
            units.in_words(limit)
        ),
        Refusal::ThawedWhere { lot, place } => {
            format!("lot `{lot}` lies in {place}: where it lies since it thawed is not said")
        }
        Refusal::NotDried { lot, form } => format!(
            "lot `{lot}` is {form} grain, not dried: its date does not hang on its water activity"
        ),
        Refusal::NoPickupYet(None) => "there is no pickup in the book yet".to_owned(),
        Refusal::NoPickupYet(Some(source)) => {
            format!("there is no pickup from `{source}` in the book")
        }
        Refusal::NamedTwice(lot) => format!("lot `{lot}` is named twice"),
        Refusal::GrainOfSeveralLots => {
            "--grain with several lots does not say how much of each".to_owned()
        }
        Refusal::NumberOfPiecesUnsaid(formula) => {
            format!("formula `{formula}` does not say how many pieces it makes")
        }
        Refusal::PieceUnsaid(formula) => {
            format!("formula `{formula}` does not say what a piece weighs")
        }
        Refusal::MoreLotsThanAllowed { named, most } => {
            format!("{named} lots are named for a bake of at most {most}")
        }
        Refusal::MayHold {
            lot, cereal, grist, ..
        } => format!(
            "lot `{lot}` is not known to be free of {cereal}: its grist is {}",
            grist.as_deref().unwrap_or("not known")
        ),
        Refusal::LotsNotNamed { bake, .. } => {
            format!("no lots are named for bake `{bake}`, so nobody knows what went into it")
        }
        Refusal::NamedLotsFallShort { bake, short } => format!(
            "the lots named for bake `{bake}` fall short by {} of dry grain",
            units.to_weigh(*short)
        ),
    };
    Problem::new(words)
}

fn unknown_grist(problem: &Problem, malts: &[String]) -> Problem {
    const MOST: usize = 20;
    let shown: Vec<&str> = malts.iter().take(MOST).map(String::as_str).collect();
    let named = match (shown.is_empty(), malts.len().saturating_sub(MOST)) {
        (true, _) => "no lot in the book has a grist".to_owned(),
        (false, 0) => format!("grists in the book name {}", shown.join(", ")),
        (false, more) => format!(
            "grists in the book name {} and {more} more",
            shown.join(", ")
        ),
    };
    problem.clone().within(option("grist")).hint(named)
}

fn no_plan(because: &NoPlanBecause, units: Units) -> String {
    match because {
        NoPlanBecause::NoBakes { .. } => {
            "no bake is to be mixed in these days: nothing to plan".to_owned()
        }
        NoPlanBecause::NoLots => "no grain is on hand: nothing to plan with".to_owned(),
        NoPlanBecause::NothingUsable(lost) => {
            let lost = lost
                .iter()
                .map(|change| format!(". {}", change_words(change, units)));
            format!(
                "no lot on hand may go into a dough: nothing to plan with{}",
                lost.collect::<String>()
            )
        }
        NoPlanBecause::CrossedBounds(bake) => {
            format!("bake {bake}: its least, wanted and most dry grain are not in this order")
        }
        NoPlanBecause::OutsideTheDays(bake) => {
            format!("bake {bake} is not mixed in these days")
        }
    }
}
