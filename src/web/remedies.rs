//! Refusals of the desk on the page. What was found is told in the same words as on the command line; what to do about it
//! has links in place of commands.

use crate::desk::{MissingField, Refusal, Remedy};
use crate::quantity::Zone;
use crate::render::numbers::Units;
use crate::render::{lot, refusal};

/// Whether a hint says what to type on a command line.
pub fn is_typed(hint: &str) -> bool {
    hint.contains("draff ") || hint.contains("--") || hint.contains("DRAFF_")
}

/// What was found.
pub fn found(refused: &Refusal, units: Units, zone: &Zone) -> String {
    match refused {
        // The page shows the field itself.
        Refusal::Field { field, problem } => format!("{}: {problem}", field.replace('_', " ")),
        _ => refusal::words(refused, units, zone).to_string(),
    }
}

/// What to do about it, each with the address where it is done.
pub fn all(refused: &Refusal, units: Units, zone: &Zone) -> Vec<(String, Option<String>)> {
    let remedies = refused.remedies();
    remedies
        .iter()
        .flat_map(|remedy| each(remedy, units, zone))
        .collect()
}

/// A remedy that is about several lots or entries has a link for each: one link would lead to the first of them only.
fn each(remedy: &Remedy, units: Units, zone: &Zone) -> Vec<(String, Option<String>)> {
    let link = |words: String, address: String| (words, Some(address));
    match remedy {
        Remedy::NearestLots(lots) => lots
            .iter()
            .map(|lot| link(format!("Nearest on hand: {lot}"), format!("/lot/{lot}")))
            .collect(),
        Remedy::NearestBakes(bakes) => bakes
            .iter()
            .map(|bake| {
                link(
                    format!("Nearest in the book: {bake}"),
                    format!("/bake/{bake}"),
                )
            })
            .collect(),
        Remedy::CountHolders(lots) => lots
            .iter()
            .map(|lot| {
                link(
                    format!("Its grain went into {lot}: count what is there now"),
                    format!("/lot/{lot}/count"),
                )
            })
            .collect(),
        Remedy::CorrectInstead { entries, .. } => entries
            .iter()
            .map(|entry| {
                link(
                    format!("Correct entry {entry} instead"),
                    format!("/entry/{entry}/correct"),
                )
            })
            .collect(),
        Remedy::CorrectFirst(correct) => correct
            .first
            .iter()
            .map(|(entry, _)| {
                link(
                    format!("Correct entry {entry} first: how much of it went into the other lot"),
                    format!("/entry/{entry}/correct"),
                )
            })
            .collect(),
        _ => one(remedy, units, zone).into_iter().collect(),
    }
}

fn one(remedy: &Remedy, units: Units, zone: &Zone) -> Option<(String, Option<String>)> {
    let linked = |words: &str, address: String| Some((words.to_owned(), Some(address)));
    match remedy {
        Remedy::Follow { lot, advice, as_of } => Some((
            lot::advice_to_do(advice, *as_of, units, zone),
            Some(super::pages::address_of_advice(*lot, advice, *as_of)),
        )),
        Remedy::Discard(lot) => linked("Throw it away", format!("/lot/{lot}/throw-away")),
        Remedy::BookWhatLeft(lot) => linked(
            "If it was used or given before the book knew that, fill in the time: it is booked and marked NOT TO BE USED. If it left after the book knew, book it as thrown away, with who has it as the reason",
            format!("/lot/{lot}/throw-away"),
        ),
        Remedy::SayWhoHasIt(lot) => linked(
            "Book it as thrown away, with who has it as the reason",
            format!("/lot/{lot}/throw-away"),
        ),
        Remedy::DiscardFirst(lot) => linked(
            "If it is past, throw it away: then this can be written",
            format!("/lot/{lot}/throw-away"),
        ),
        Remedy::StrikeEntryOf(lot) => linked(
            "If an entry of it is wrong, strike that one, with the reason",
            format!("/lot/{lot}"),
        ),
        Remedy::TraceIt(lot) => linked("See where it went", format!("/trace?lot={lot}")),
        Remedy::CountIt(lot) => linked(
            "If more is there than the book says, count it",
            format!("/lot/{lot}/count"),
        ),
        Remedy::NameOldSource(names) => Some((
            format!("If it is that one, type its name: {}", names.join(" or ")),
            None,
        )),
        Remedy::GiveNewName => Some((
            "If it is a new one, give it a name that no brewery ever had".to_owned(),
            None,
        )),
        Remedy::MergeSources { name, into } => linked(
            &format!("If {name} and {into} are one: make them one"),
            "/book/sources/merge".to_owned(),
        ),
        Remedy::TestMoisture(lot) => linked("Test its moisture", format!("/lot/{lot}/sample")),
        Remedy::WeighOn(lot, _) => linked(
            "If it is a sample that is drying, weigh that one on",
            format!("/lot/{lot}/sample"),
        ),
        Remedy::StrikeAndWeighOn { entry, .. } => linked(
            "If it is the same dish, strike this entry, then weigh that sample on",
            format!("/entry/{entry}/strike"),
        ),
        Remedy::ListLots | Remedy::AskTheShelf => linked("Look at the shelf", "/shelf".to_owned()),
        Remedy::ReadLog(about) => linked("Look at its entries", format!("/book/log?about={about}")),
        Remedy::StrikeIfWrong { about, .. } => linked(
            "If an entry is wrong, strike it, with the reason",
            format!("/book/log?about={about}"),
        ),
        Remedy::PutAnotherRightFirst(lot) => linked(
            "If another entry of it is wrong, put that one right first",
            format!("/book/log?about={lot}"),
        ),
        Remedy::StrikeWhatTookTooMuch(lot) => linked(
            "Grain does not come back: if an entry took too much, strike it",
            format!("/book/log?about={lot}"),
        ),
        Remedy::ListEntries | Remedy::StrikeAll(_) => {
            linked("Look at the entries", "/book/log".to_owned())
        }
        Remedy::CorrectTimeFirst(entry) => linked(
            "Correct the time of that entry first",
            format!("/entry/{entry}/correct"),
        ),
        Remedy::CorrectPlace(entry) => linked(
            "If that entry names the wrong place, correct it",
            format!("/entry/{entry}/correct"),
        ),
        Remedy::TakeInstead(entry) | Remedy::StrikeFirst(entry) => {
            linked(&format!("Look at entry {entry}"), format!("/entry/{entry}"))
        }
        Remedy::CorrectDoneBake(done) => linked(
            "Add or put right what it came to",
            format!("/entry/{done}/correct"),
        ),
        Remedy::StrikeBefore { first, .. } => {
            let entry = first.first()?;
            linked(
                &format!("Strike entry {entry} first"),
                format!("/entry/{entry}/strike"),
            )
        }
        Remedy::StrikeDoneBake { bake, strike } => {
            let entry = strike.first()?;
            linked(
                &format!("Strike the bake {bake}, which takes all its grain back"),
                format!("/entry/{entry}/strike"),
            )
        }
        Remedy::BookAsOutForAWhile(out) => linked(
            "If it was out only for a while: strike that move, then book it with the time at which it was back",
            format!("/entry/{}/strike", out.entry),
        ),
        Remedy::StrikeAndEnterAgain(entry, _) => linked(
            "Strike it, then write down what is right",
            format!("/entry/{entry}/strike"),
        ),
        Remedy::MakeAgain(entry, _) => linked(
            "Strike it, then do it again as it is right",
            format!("/entry/{entry}/strike"),
        ),
        Remedy::FinishBake(bake, _) => linked(
            &format!("When its dough is mixed, write down {bake} with all its grain"),
            format!("/bake/{bake}/done"),
        ),
        Remedy::StrikeAndUse(entry, bake) => linked(
            &format!("Strike it; then, once {bake} is done, use the grain for {bake}"),
            format!("/entry/{entry}/strike"),
        ),
        Remedy::ListBakes => linked("Look at the bakes", "/bakes".to_owned()),
        Remedy::ShowBake(bake) | Remedy::SayWhatBecameOf(bake) => {
            linked(&format!("Look at bake {bake}"), format!("/bake/{bake}"))
        }
        Remedy::AddABake | Remedy::PlanABake => linked("Plan a bake", "/bakes/add".to_owned()),
        Remedy::BookGrainIn => linked("Book grain in", "/grain-in".to_owned()),
        Remedy::FillIn(MissingField::Ending) => Some((
            "Choose how it ends: feed if animals get it; if not, compost or waste".to_owned(),
            None,
        )),
        Remedy::AskForThePlanAgain => linked("Ask for the plan again", "/plan".to_owned()),
        Remedy::ListDevices => linked("Look at the devices", "/devices".to_owned()),
        Remedy::AddPlace(_)
        | Remedy::ListPlaces
        | Remedy::OpenPlaceFirst(_)
        | Remedy::StateAsFreezer(_)
        | Remedy::CloseLater(..) => linked("Look at the places", "/book/places".to_owned()),
        _ => {
            let words = refusal::remedy_words(remedy, units, zone);
            (!is_typed(&words)).then_some((words, None))
        }
    }
}
