//! Every refusal of the desk in words, and its remedies as what to type.

mod temperatures;

use super::numbers::Units;
use super::{hold_back, lot, notice, water_temperature};
use crate::desk::{NoPlanBecause, Refusal, Remedy};
use crate::quantity::{Problem, Zone};
use crate::report::Caution;

/// A refusal in words, with a line for each remedy.
pub fn words(refusal: &Refusal, units: Units, zone: &Zone) -> Problem {
    let problem = match refusal {
        Refusal::Dough(refusal) => hold_back::refusal(refusal.clone(), units),
        Refusal::Temperatures(problem) => temperatures::words(problem),
        Refusal::NoWaterTemperature(warmth) => water_temperature::refusal(warmth, units),
        Refusal::Field { field, problem } => problem.clone().within(option(field)),
        Refusal::NothingUsedFor { problem, .. } => problem.clone(),
        other => Problem::new(found(other, units, zone)),
    };
    let remedies = refusal.remedies();
    let hints = remedies.iter().map(|remedy| to_do(remedy, units, zone));
    hints.fold(problem, Problem::hint)
}

/// `--wet-in` for the field `wet_in`.
fn option(field: &str) -> String {
    format!("--{}", field.replace('_', "-"))
}

/// What was found and what is allowed.
fn found(refusal: &Refusal, units: Units, zone: &Zone) -> String {
    match refusal {
        Refusal::Field { .. }
        | Refusal::Dough(_)
        | Refusal::Temperatures(_)
        | Refusal::NothingUsedFor { .. }
        | Refusal::NoWaterTemperature(_) => String::new(),
        Refusal::NoPlan(because) => no_plan(*because),
        Refusal::BookHasMovedOn => {
            "somebody wrote to the book while the plan was being made: it was not accepted"
                .to_owned()
        }
        Refusal::PickupAfterTheDays(days) => {
            format!("the pickup is after the {days} days that are looked at")
        }
        Refusal::PickupIsPast(at) => format!(
            "--at: {} is past: what was fetched is booked in with draff pickup",
            zone.rfc3339(*at)
        ),
        Refusal::MashOutAfterPickup { mash_out, at } => format!(
            "--mash-out: mashing is over at {}, after the grain is fetched at {}",
            zone.rfc3339(*mash_out),
            zone.rfc3339(*at)
        ),
        Refusal::StoppedTooEarly => "stopped before any amount was looked at".to_owned(),
        Refusal::NoBakesPlanned => "no bakes are planned".to_owned(),
        Refusal::BakeNotDone(bake) => {
            format!("bake `{bake}` is not done, so no grain was drawn for it")
        }
        Refusal::NoPlanForStep(step) => format!("there is no plan for the step {step}"),
        Refusal::DryingInFrost => "at or below 0 °C water freezes and does not dry off".to_owned(),
        Refusal::Unusable {
            lot,
            keeping,
            as_of,
            is_later,
        } => {
            let by = if *is_later {
                format!("by {}: ", zone.rfc3339(*as_of))
            } else {
                String::new()
            };
            format!(
                "{by}lot `{lot}` is {}, so it may not go into a dough: {}",
                keeping.verdict, keeping.binding.limit
            )
        }
        Refusal::WouldRevive(lot) => format!(
            "lot `{lot}` is past, and this entry about an earlier time would make it usable again"
        ),
        Refusal::NothingLeft(lot) => format!("nothing is left of lot `{lot}`"),
        Refusal::TooMuch { lot, left } => format!("lot `{lot}` has {} g left", left.grams()),
        Refusal::PortionsTooHeavy {
            lot,
            left,
            number,
            all,
        } => format!(
            "lot `{lot}` has {} g left: {number} portions of {} g in all are more than that",
            left.grams(),
            all.grams()
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
        Refusal::NamedTwice(lot) => format!("lot `{lot}` is named twice"),
        Refusal::GrainOfSeveralLots => {
            "--grain with several lots does not say how much of each".to_owned()
        }
        Refusal::BakeEnded { bake, how } => format!("bake `{bake}` is {how} already"),
        Refusal::FormulaDoesNotSay { formula, field } => {
            let what = match *field {
                "pieces" => "how many pieces it makes",
                _ => "what a piece weighs",
            };
            format!("formula `{formula}` does not say {what}")
        }
        Refusal::MoreLotsThanAllowed { named, most } => {
            format!("{named} lots are named for a bake of at most {most}")
        }
        Refusal::MayHold { lot, cereal, grist } => format!(
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
    }
}

fn no_plan(because: NoPlanBecause) -> String {
    match because {
        NoPlanBecause::NoBakes { .. } => {
            "no bake is to be mixed in these days: nothing to plan".to_owned()
        }
        NoPlanBecause::NoLots => "no grain is on hand: nothing to plan with".to_owned(),
        NoPlanBecause::NothingUsable => {
            "no lot on hand may go into a dough: nothing to plan with".to_owned()
        }
        NoPlanBecause::CrossedBounds(bake) => {
            format!("bake {bake}: its least, wanted and most dry grain are not in this order")
        }
        NoPlanBecause::OutsideTheDays(bake) => {
            format!("bake {bake} is not mixed in these days")
        }
    }
}

/// What to do, as a line that ends with what to type where there is something to type.
fn to_do(remedy: &Remedy, units: Units, zone: &Zone) -> String {
    match remedy {
        Remedy::Rule(source) => format!("rule: {source}"),
        Remedy::Follow { lot, advice, as_of } => {
            lot::advice_words(advice, &lot.to_string(), *as_of, units, zone)
        }
        Remedy::Discard(lot) => {
            format!("draff discard {lot} --reason … takes it off the shelf")
        }
        Remedy::NoRescueByBaking => Caution::BakingRescuesNothing.text().to_owned(),
        Remedy::StrikeEntryOf(lot) => format!(
            "if an entry of it is wrong, strike that one with the reason: draff log {lot} shows them"
        ),
        Remedy::FillIn(field) => {
            let value = match *field {
                "pieces" => "NUMBER",
                "piece" => "MASS",
                _ => "PLACE",
            };
            format!("add {} {value}", option(field))
        }
        Remedy::TimeTheTreatment => {
            "add --minutes NUMBER --temp TEMPERATURE, or book its way out first: draff move"
                .to_owned()
        }
        Remedy::NameOnce => "name each lot once, with all that is to be taken of it".to_owned(),
        Remedy::LookFurtherAhead { for_bakes: true } => {
            "bakes come later: --days NUMBER looks further ahead".to_owned()
        }
        Remedy::LookFurtherAhead { for_bakes: false } => {
            "--days NUMBER looks further ahead".to_owned()
        }
        Remedy::SayWhatBecameOf(bake) => format!(
            "{bake} should have been mixed by now: draff bake done {bake} or draff bake drop {bake} says what became of it"
        ),
        Remedy::PlanABake => "draff bake add FORMULA --at WHEN ready plans a bake".to_owned(),
        Remedy::BookGrainIn => {
            "draff pickup books grain in; draff fetch says how much to take".to_owned()
        }
        Remedy::AskTheShelf => {
            "draff shelf says of each why; draff discard takes it off the shelf".to_owned()
        }
        Remedy::AskForThePlanAgain => "ask for the plan again: draff plan --accept".to_owned(),
        Remedy::AddABake => "`draff bake add FORMULA --at WHEN ready` plans one".to_owned(),
        Remedy::ListUsage(about) => {
            format!("no grain was used for `{about}` either: draff usage lists what it went into")
        }
        Remedy::PlanDryingOrPressing => "--plan dry or --plan press".to_owned(),
        Remedy::DryWarm => "--temp 60C is usual".to_owned(),
        Remedy::OneLotOrAnotherAmount => "give one lot, or another amount".to_owned(),
        Remedy::ShowBake(bake) => format!("draff bake show {bake} shows it"),
        Remedy::Know(notice) => notice::words(notice, units, zone),
        Remedy::SayWhatWentIn(lots) if lots.is_empty() => {
            "say what went in: --used LOT=MASS, once for each lot".to_owned()
        }
        Remedy::SayWhatWentIn(lots) => {
            let used: Vec<String> = lots
                .iter()
                .map(|(lot, wet)| format!("--used {lot}={}", units.weighed(*wet).replace(' ', "")))
                .collect();
            format!("say what went in, such as {}", used.join(" "))
        }
    }
}
