//! Remedies as what to type.

use super::{bake_earlier, made_again, option};
use crate::desk::{MissingField, OutForAWhile, Remedy};
use crate::grain::{LotCode, Step};
use crate::keeping::PlaceKind;
use crate::ledger::EntryKind;
use crate::quantity::text::shell_word;
use crate::quantity::{Milligrams, Scale, Zone};
use crate::render::numbers::Units;
use crate::render::{lot, moisture, notice, words};
use crate::report::Caution;

/// What to do, as a line that ends with what to type where there is something to type.
pub(super) fn words(remedy: &Remedy, units: Units, zone: &Zone) -> String {
    match remedy {
        Remedy::Rule(source) => format!("rule: {source}"),
        Remedy::Follow { lot, advice, as_of } => {
            lot::advice_words(advice, &lot.to_string(), *as_of, units, zone)
        }
        Remedy::WeighAgain => "weigh again, state what was lost with --left-behind or --dry-loss, or test the grain: draff moisture".to_owned(),
        Remedy::BookTheReading => {
            "`draff probe LOT TEMPERATURE` books the reading that shows it".to_owned()
        }
        Remedy::DiscardFirst(lot) => format!(
            "if it is past, draff discard {lot} --reason past takes it off the shelf; then this can be written"
        ),
        Remedy::Discard(lot) => {
            format!("draff discard {lot} --reason past takes it off the shelf")
        }
        Remedy::BookWhatLeft(lot) => format!(
            "if it was used or given before the book knew that, type this line again with --at WHEN: it is booked and marked NOT TO BE USED. If it left after the book knew, book it as thrown away, with who has it as TEXT: draff discard {lot} --wet MASS --reason TEXT --at WHEN"
        ),
        Remedy::SayWhoHasIt(lot) => format!(
            "book it as thrown away, with who has it as TEXT: draff discard {lot} --wet MASS --reason TEXT --at WHEN"
        ),
        Remedy::BakeEarlier { bake, good_until } => bake_earlier::words(bake, *good_until, zone),
        Remedy::NoRescueByBaking => Caution::BakingRescuesNothing.text(),
        Remedy::StrikeEntryOf(lot) => format!(
            "if an entry of it is wrong, strike that one with the reason: draff log {lot} shows them"
        ),
        Remedy::BookAsOutForAWhile(out) => {
            let (strike_it, move_it) = out_for_a_while(out, zone);
            format!("if it was out only for a while, book that as one: {strike_it}, then {move_it}")
        }
        Remedy::FillIn(field) => {
            let typed = match field {
                MissingField::Pieces => "--pieces NUMBER",
                MissingField::Piece => "--piece MASS",
                MissingField::MashOut => "--mash-out WHEN",
                MissingField::Place => "--place PLACE",
                MissingField::To => "--to PLACE",
                MissingField::Minutes => "--minutes NUMBER",
                MissingField::Temperature => "--temp TEMPERATURE",
                MissingField::Ending => {
                    "--as feed if animals get it; if not, --as compost or --as waste"
                }
            };
            format!("add {typed}")
        }
        Remedy::TimeTheTreatment => {
            "add --minutes NUMBER --temp TEMPERATURE, or book its way out first: draff move"
                .to_owned()
        }
        Remedy::MakeABook => "`draff pickup …` makes one at the first write, `draff new-book` one with a name and time zone".to_owned(),
        Remedy::NameAnotherBook => {
            "`draff --book FILE …` or DRAFF_BOOK names another file".to_owned()
        }
        Remedy::MakeABookThere => "`draff new-book` makes one there".to_owned(),
        Remedy::DatedCopiesIn(folder) => format!(
            "`draff backup --keep 14 {}` makes dated copies in that folder",
            shell_word(&folder.to_string_lossy())
        ),
        Remedy::ListLots => "`draff shelf` lists the lots on hand".to_owned(),
        Remedy::TypeMoreOf(lots) => {
            let lots: Vec<String> = lots.iter().map(ToString::to_string).collect();
            format!("type more of it: {}", lots.join(" or "))
        }
        Remedy::NearestLots(lots) => format!("nearest on hand: {}", lots.join(", ")),
        Remedy::NearestBakes(bakes) => {
            let bakes: Vec<String> = bakes.iter().map(ToString::to_string).collect();
            format!("nearest in the book: {}", bakes.join(", "))
        }
        Remedy::ReadLog(about) => format!("`draff log {about}` shows what was written about it"),
        Remedy::StrikeIfWrong {
            about,
            entry: Some(entry),
        } => format!(
            "`draff log {about}` shows its entries; `draff strike {entry} --reason …` first if it is wrong"
        ),
        Remedy::StrikeIfWrong { about, entry: None } => format!(
            "`draff log {about}` shows its entries; `draff strike ENTRY --reason …` takes back a wrong one"
        ),
        Remedy::CheckTheClock => {
            "the book holds what has happened; set --now if the clock is wrong".to_owned()
        }
        Remedy::StrikeWhatTookTooMuch(lot) => format!(
            "grain does not come back: if an entry took too much, strike it: draff log {lot}"
        ),
        Remedy::PutAnotherRightFirst(lot) => format!(
            "draff log {lot} shows what came and what was taken: if another entry is wrong, correct or strike that one first"
        ),
        Remedy::CountAgain => {
            "count again now, or give the time of the count after it".to_owned()
        }
        Remedy::NameMoreLots => "name two lots or more".to_owned(),
        Remedy::TreatOneFirst => format!(
            "treat one of them first, as with --step {} or --step {}",
            Step::Press,
            Step::Blend
        ),
        Remedy::AddPlace(name) => add_place(name),
        Remedy::ListPlaces => "`draff place` lists the places".to_owned(),
        Remedy::ChangePlace(name) => format!(
            "`draff place change {} …` changes what it is stated to be",
            shell_word(name)
        ),
        Remedy::ReadAsMeasured(scale) => format!(
            "{}if another column holds the temperatures: --temp-column NAME; a file of another place is read in for that place",
            match scale {
                Scale::Celsius => "",
                Scale::Fahrenheit => "if its figures are in °C: --unit C; ",
            }
        ),
        Remedy::StateAsFreezer(name) => format!(
            "if it really is so cold there, it is a freezer: draff place change {} --kind freezer --at WHEN",
            shell_word(name)
        ),
        Remedy::StateLaterOrStrike => {
            "`draff log` shows when; give a later --at, or strike that entry first".to_owned()
        }
        Remedy::StatePlaceAnew => "`draff place change` states it anew".to_owned(),
        Remedy::AddFormula => "`draff formula add FILE` adds one".to_owned(),
        Remedy::KnownFormulas(known) => {
            format!("in the book: {}", words::quoted(known))
        }
        Remedy::ListBakes => "`draff bake list --all` lists every bake".to_owned(),
        Remedy::ListEntries => "`draff log` lists them".to_owned(),
        Remedy::GiveAnotherActId => "give each act an id of its own: --once ID".to_owned(),
        Remedy::ListDevices => "`draff device list` lists them".to_owned(),
        Remedy::TakeInstead(entry) => format!("take entry {entry} instead: `draff log` shows both"),
        Remedy::StrikeAndEnterAgain(entry, kind) => enter_again(*entry, *kind),
        Remedy::MakeAgain(_, again) => made_again::right(again, zone),
        Remedy::CountHolders(lots) => made_again::count(lots),
        Remedy::CorrectFirst(correct) => made_again::correct_first(correct),
        Remedy::CorrectPickupTime => {
            "if the time of the pickup is wrong too, add --at WHEN".to_owned()
        }
        Remedy::NameOldSource(near) => {
            let near: Vec<String> = near
                .iter()
                .map(|name| format!("--source {}", shell_word(name)))
                .collect();
            format!("if it is that one, type its name: {}", near.join(" or "))
        }
        Remedy::SayNewSource(name) => format!(
            "if it is a new one: --source {} --new-source",
            shell_word(name)
        ),
        Remedy::GiveNewName => {
            "if it is a new one, give it a name that no source ever had: --source NAME --new-source"
                .to_owned()
        }
        Remedy::RenameToNear { source, name } => format!(
            "if it is another one: draff source rename {} --to {} --new-source",
            shell_word(source),
            shell_word(name)
        ),
        Remedy::MergeSources { name, into } => format!(
            "if both are one: draff source merge {} --into {}",
            shell_word(name),
            shell_word(into)
        ),
        Remedy::OpenPlace(name) => open_place(name),
        Remedy::OpenPlaceFirst(name) => format!(
            "draff place change {0} opens it again; then write this and where the grain went: draff move LOT --to PLACE --at WHEN; then draff place close {0}",
            shell_word(name)
        ),
        Remedy::CloseLater(name, from) => format!(
            "that time or a later one is right: draff place close {} --at {}",
            shell_word(name),
            zone.rfc3339(*from)
        ),
        Remedy::MoveThemFirst => "move them first: draff move LOT --to PLACE".to_owned(),
        Remedy::NotAsFeed(lot) => format!(
            "draff discard {lot} --as compost or --as waste, with the reason; if it was another lot, draff log {lot} shows the entry to strike"
        ),
        Remedy::SayWhatIsRight => {
            "add what is right, such as --mash-out WHEN or --wet MASS: draff help correct".to_owned()
        }
        Remedy::StrikeAll(entries) => {
            format!(
                "strike all of it in one act, if all of it is wrong: {}. If a part was found warm or spoiled, write that down for the lot it was split from too",
                strike(entries)
            )
        }
        Remedy::StrikeDoneBake { bake, strike: all } => format!(
            "{} takes all grain of {bake} back and shows what to type to write it down again",
            strike(all)
        ),
        Remedy::StrikeBefore { first, then } => {
            let numbers: Vec<String> = first.iter().map(i64::to_string).collect();
            let all: Vec<i64> = first.iter().copied().chain([*then]).collect();
            format!(
                "strike {} first, or all of it in one act: {}",
                numbers.join(" "),
                strike(&all)
            )
        }
        Remedy::CorrectDoneBake(done) => format!(
            "`draff correct {done} --water MASS --reason TEXT` adds or puts right what it came to: --pieces, --at and the like too"
        ),
        Remedy::CorrectInstead { entries, field } => {
            let typed = option(field);
            let typed: Vec<String> = entries
                .iter()
                .map(|entry| format!("draff correct {entry} {typed} … --reason TEXT"))
                .collect();
            typed.join(", or ")
        }
        Remedy::CorrectTimeFirst(entry) => {
            format!("correct that one first: draff correct {entry} --at WHEN --reason TEXT")
        }
        Remedy::SayFromThenOn(at) => format!(
            "what is so from {0} on can be written: a logger's file with --from {0}, anything else with --at {0}",
            zone.rfc3339(*at)
        ),
        Remedy::StrikeFirst(entry) => format!("strike {entry} first"),
        Remedy::ChangeOrDropBake(bake) => format!(
            "`draff bake change {bake}` states it anew, `draff bake drop {bake}` takes it off the list"
        ),
        Remedy::TraceIt(lot) => format!("`draff trace {lot}` shows where it went"),
        Remedy::CountIt(lot) => format!(
            "if more is there than the book says, weigh it: draff count {lot} --wet MASS"
        ),
        Remedy::TestMoisture(lot) => {
            format!("its moisture is what counts: draff moisture {lot} --weighing PAN,WET,DRY")
        }
        Remedy::WeighOn(lot, drying) => {
            let lines: Vec<String> = drying
                .iter()
                .map(|dish| moisture::weigh_on(&lot.to_string(), dish))
                .collect();
            format!(
                "if it is a sample that is drying, type its pan and wet weight as they are booked: {}",
                lines.join(", or ")
            )
        }
        Remedy::SayNewDish => "if it is another dish, add --new-dish to that line".to_owned(),
        Remedy::StrikeAndWeighOn { entry, lot, dish } => format!(
            "if it is the same dish: {}, then {}",
            strike(&[*entry]),
            moisture::weigh_on(&lot.to_string(), dish)
        ),
        Remedy::BrewDayInCode => "mash-out is on the brew day or in the night after it, before 6:00; if the brew day is wrong too, add --brewed DATE".to_owned(),
        Remedy::CorrectPlace(entry) => format!(
            "if that entry names the wrong place: draff correct {entry} --place PLACE --reason TEXT"
        ),
        Remedy::SayWhen => "--at WHEN says when it was".to_owned(),
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
        Remedy::DryWarm => match units {
            Units::Metric => "--temp 60C is usual".to_owned(),
            Units::Us => "--temp 140F is usual".to_owned(),
        },
        Remedy::OneLotOrAnotherAmount => "give one lot, or another amount".to_owned(),
        Remedy::ShowBake(bake) => format!("draff bake show {bake} shows it"),
        Remedy::Know(notice) => notice::words(notice, units, zone),
        Remedy::TreatAlone(into) => format!(
            "leave --into out and do what the answer says next of the new lot; once it may be used: draff join LOT {into}"
        ),
        Remedy::SayWhatWentIn(lots) if lots.is_empty() => {
            "say what went in: --used LOT=MASS, once for each lot".to_owned()
        }
        Remedy::SayWhatWentIn(lots) => {
            format!("say what went in, such as {}", used(lots, units))
        }
        Remedy::FinishBake(bake, lots) => format!(
            "when its dough is mixed, write the bake down and name all that went in, once for each lot, not only this: draff bake done {bake} {}",
            used(lots, units)
        ),
        Remedy::StrikeAndUse(entry, bake) => format!(
            "draff strike {entry} --reason TEXT, then, once the bake is done, draff use LOT --wet MASS --for {bake}"
        ),
    }
}

/// `--used LOT=2kg` for each lot.
fn used(lots: &[(LotCode, Milligrams)], units: Units) -> String {
    let used: Vec<String> = lots
        .iter()
        .map(|(lot, wet)| format!("--used {lot}={}", units.typed(*wet)))
        .collect();
    used.join(" ")
}

/// How a late move is struck, and booked as one with its return.
pub fn out_for_a_while(out: &OutForAWhile, zone: &Zone) -> (String, String) {
    let until = out.until.map(|until| zone.rfc3339(until));
    let move_it = format!(
        "draff move {} {} --at {} --until {}",
        out.lot,
        shell_word(&out.to),
        zone.rfc3339(out.at),
        until.as_deref().unwrap_or("WHEN")
    );
    (strike(&[out.entry]), move_it)
}

/// Entries struck in one act.
pub(super) fn strike(entries: &[i64]) -> String {
    let numbers: Vec<String> = entries.iter().map(i64::to_string).collect();
    format!("draff strike {} --reason TEXT", numbers.join(" "))
}

/// How a closed place is opened.
pub fn open_place(name: &str) -> String {
    format!(
        "draff place change {} opens it again; draff place lists the others",
        shell_word(name)
    )
}

/// How a place is made, of the kind that nobody but its owner knows.
pub fn add_place(name: &str) -> String {
    format!(
        "`draff place add {} --kind KIND` makes it; KIND is one of {}",
        shell_word(name),
        PlaceKind::ALL.map(PlaceKind::as_str).join(", ")
    )
}

/// What to type where an entry cannot be corrected. A bake, a setting and a plan are stated anew and nothing is struck;
/// any other entry is struck, and then written as it is right.
fn enter_again(entry: i64, kind: EntryKind) -> String {
    let then = match kind {
        EntryKind::Bake => return "draff bake change BAKE … states it anew".to_owned(),
        EntryKind::Setting => return "draff settings NAME VALUE states it anew".to_owned(),
        EntryKind::Plan => return "draff plan --accept takes its place".to_owned(),
        EntryKind::Place => "draff place change PLACE … --at WHEN",
        EntryKind::Readings => "draff readings PLACE --csv FILE",
        EntryKind::Baked => "the command that strike shows",
        EntryKind::Count => "draff count LOT --wet MASS --at WHEN",
        _ => "write down what is right",
    };
    format!("draff strike {entry} --reason TEXT, then {then}")
}
