//! Every refusal and every notice has words: what was found, and for each remedy what to do.

use crate::bakery::{Bakery, LOAF, at, celsius, cooled_on, mass};
use crate::book_refusals;
use chrono::Duration;
use draffbook::desk::{
    BakeToCome, BakeWrittenDown, BatchOf, CorrectFirst, CorrectThen, CountedSince, DishOfOther,
    FarFromSheet, GivenScales, GivenTemperatures, GrainOfDough, HasLeft, Hindrance, HowMade,
    JudgedDraw, LaterCount, MadeAgain, MissingField, NoPlanBecause, NotLearned, Notice,
    OddMoisture, OnHandAgain, OtherGrain, OtherSheet, OutForAWhile, Refusal, Remedy, SheetChange,
    SourceDrift, TakenBefore, TemperatureProblem, TooCold, Treated, UnknownDish, WarmTime, WaterOf,
    WeighedTooSoon, WentAlong, WentInToo, batch, hold_back_of,
};
use draffbook::dough::bake_code::BakeCode;
use draffbook::dough::batch::Size;
use draffbook::dough::formula::Formula;
use draffbook::dough::hold_back::{FlourAmount, GrainAmount};
use draffbook::dough::house::House;
use draffbook::dough::mixing_heat::MixingRise;
use draffbook::dough::thirst::ThirstRule;
use draffbook::grain::control_chart::{Rule, Side, Signal};
use draffbook::grain::{Ending, Form, LotCode, OpenSample, Step, Treatment};
use draffbook::keeping::{
    Assessment, AwaitsFile, Layer, Overruled, PlaceKind, SpoiledPart, Verdict, WordInWarmth,
};
use draffbook::ledger::{BookRefusal, Drawn, EntryKind, Measured, NotFree};
use draffbook::planning::windows::State;
use draffbook::quantity::temperature::Limit;
use draffbook::quantity::{
    Instant, Length, Milligrams, Problem, Scale, Uncertain, WaterActivity, WetBasis, Zone,
};
use draffbook::render::numbers::Units;
use draffbook::render::{notice, refusal};
use draffbook::report::Caution;
use draffbook::report::plan::{Change, Moved};
use draffbook::report::promise::{LostGrain, OutBefore};
use std::collections::BTreeSet;
use std::path::Path;
use uom::si::f64::Power;
use uom::si::power::kilowatt;

/// A refusal says in words what was found, and has a line for each remedy. What is refused otherwise is a problem
/// in words already; nothing else may come of an act.
#[track_caller]
pub fn check_words(refused: &anyhow::Error) {
    match Refusal::of(refused) {
        Some(refused) => check_refusal(&refused),
        None => {
            let problem = refused.downcast_ref::<Problem>();
            let problem = problem.unwrap_or_else(|| panic!("no refusal: {refused:?}"));
            check_problem(problem);
        }
    }
}

#[track_caller]
fn check_refusal(refused: &Refusal) {
    let zone = Zone::named("Europe/Dublin").unwrap();
    for units in [Units::Metric, Units::Us] {
        let words = refusal::words(refused, units, &zone);
        check_problem(&words);
        let remedies = refused.remedies();
        assert!(
            words.hints().len() >= remedies.len(),
            "a line for each remedy of {refused:?}: {words:?}"
        );
        if remedies.contains(&Remedy::NoRescueByBaking) {
            let caution = Caution::BakingRescuesNothing.text();
            assert!(words.hints().contains(&caution), "{words:?}");
        }
    }
}

#[track_caller]
fn check_problem(problem: &Problem) {
    for line in problem.hints().iter().chain([&problem.to_string()]) {
        check_line(line);
    }
}

/// Words for people: something is said, and no name of a type or field slips in.
#[track_caller]
fn check_line(line: &str) {
    assert!(line.trim().len() > 5, "nothing is said: {line:?}");
    for debris in [
        "Some(",
        "None",
        "LotCode",
        "Milligrams",
        "Problem",
        " { ",
        "::",
    ] {
        assert!(!line.contains(debris), "{debris} in {line:?}");
    }
}

/// The names of the variants of an enum, from its source.
fn variants(file: &str, name: &str) -> BTreeSet<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(file);
    let text = std::fs::read_to_string(path).unwrap();
    let (_, rest) = text.split_once(&format!("pub enum {name} {{\n")).unwrap();
    let (body, _) = rest.split_once("\n}").unwrap();
    let names = body.lines().filter_map(|line| line.strip_prefix("    "));
    names
        .filter(|line| line.starts_with(|c: char| c.is_ascii_uppercase()))
        .map(first_word)
        .collect()
}

/// `Unusable` of `Unusable { lot: …`.
fn first_word(text: &str) -> String {
    text.chars().take_while(|c| c.is_alphanumeric()).collect()
}

fn a_lot() -> LotCode {
    "ALD-261120-1T".parse().unwrap()
}

fn not_free(of: &str, lots: &[LotCode], is_named: bool) -> NotFree {
    NotFree {
        of: of.to_owned(),
        lots: lots.to_vec(),
        is_named,
    }
}

/// What the clock says of grain that is past, and of grain nobody knows the heat of.
fn assessments() -> [Assessment; 2] {
    let bakery = Bakery::new();
    let mut desk = bakery.desk("2026-11-20T12:00:00Z");
    let past = desk.pickup(&cooled_on("2026-11-10", "1kg")).unwrap().answer;
    let unknown = crate::bakery::mashed_on("2026-11-20", "1kg");
    let unknown = desk.pickup(&unknown).unwrap().answer;
    [past.keeping, unknown.keeping]
}

fn no_water_temperature() -> Refusal {
    let formula = Formula::from_text(LOAF).unwrap();
    let request = BatchOf {
        formula: &formula,
        mixing: MixingRise {
            kelvin: Some(20.0),
            doughs: 0,
        },
        size: Size::Flour(mass("1kg").mass()),
        share: 0.1,
        thirst: ThirstRule::Published,
        scales: GivenScales::default(),
        temperatures: GivenTemperatures {
            tap: Some(celsius("30C")),
            room: Some(celsius("38C")),
            grain_temp: Some(celsius("38C")),
            dough_temp: Some(celsius("16C")),
            ..GivenTemperatures::default()
        },
    };
    let grain = GrainOfDough::of_moisture(Uncertain::known(0.77, 0.01), "given");
    let warmth = batch(&request, grain).unwrap().answer.warmth.unwrap();
    assert!(warmth.plan.is_err(), "{warmth:?}");
    Refusal::NoWaterTemperature(Box::new(warmth))
}

fn too_wet() -> Refusal {
    let dough = WaterOf {
        grain: GrainAmount::Wet(mass("5kg").mass()),
        flour: FlourAmount::Bag(mass("1kg").mass()),
        hydration: 0.6,
        flour_basis: WetBasis::new(0.0).unwrap(),
        thirst: ThirstRule::Published,
    };
    hold_back_of(
        dough,
        Uncertain::known(0.77, 0.01),
        "given",
        &House::default(),
    )
    .unwrap_err()
}

/// How a lot of a place with an odd name is struck and made again.
fn again(how: HowMade) -> MadeAgain {
    MadeAgain {
        strike: vec![11, 9],
        made: a_lot(),
        of: vec![a_lot()],
        how,
        place: "cold room".to_owned(),
        at: at("2026-11-20T12:00:00Z"),
    }
}

/// A late move to a place with an odd name.
fn out_for_a_while(until: Option<Instant>) -> OutForAWhile {
    OutForAWhile {
        entry: 9,
        lot: a_lot(),
        to: "warm room".to_owned(),
        at: at("2026-11-20T11:00:00Z"),
        until,
    }
}

fn refusals() -> Vec<Refusal> {
    let (lot, bake, left) = (a_lot(), BakeCode::new(1), mass("2kg"));
    let moment = at("2026-11-20T12:00:00Z");
    let dish = OpenSample {
        pan: mass("14.2g"),
        wet: mass("114.5g"),
    };
    let mut all = vec![
        Refusal::Field {
            field: "wet_in",
            problem: Problem::new("0 g is no grain"),
        },
        Refusal::Request(Problem::new("0 cm is no depth")),
        Refusal::ImpossibleWeights(Problem::new("more came out than went in")),
        Refusal::ColdAlready(celsius("3C")),
        Refusal::WouldRevive(lot),
        Refusal::WouldReviveItself(lot, None),
        Refusal::WouldReviveItself(lot, Some(Box::new(out_for_a_while(Some(moment))))),
        Refusal::WouldUnmark(
            Box::new(JudgedDraw {
                lot,
                wet: left,
                what: "tin loaf".to_owned(),
                at: moment,
                verdict: Verdict::Past,
                limit: "7 calendar days, the mash-out day is day 1".to_owned(),
            }),
            moment,
        ),
        Refusal::UsableByLateEntry(lot, 8),
        Refusal::MakesALot {
            entry: 9,
            kind: EntryKind::Treat,
            field: "form",
            again: Box::new(again(HowMade::Treat(
                Treatment {
                    step: Step::Dry,
                    wet_in: left,
                    wet_out: mass("500g"),
                    water: Milligrams::ZERO,
                    left: Milligrams::ZERO,
                    dry_loss: mass("1g"),
                },
                Some((180, celsius("65C"))),
            ))),
        },
        Refusal::MakesALot {
            entry: 9,
            kind: EntryKind::Part,
            field: "form",
            again: Box::new(again(HowMade::Portion(left))),
        },
        Refusal::MakesALot {
            entry: 9,
            kind: EntryKind::Part,
            field: "lot",
            again: Box::new(again(HowMade::Move(left))),
        },
        Refusal::HalfTimed(9, MissingField::Minutes),
        Refusal::HalfTimed(9, MissingField::Temperature),
        Refusal::HeldByOthers {
            lot,
            by: left,
            held_by: vec![lot, lot],
            correct: Some(CorrectFirst {
                first: vec![(11, left), (9, left)],
                then: Some(CorrectThen {
                    entry: 5,
                    kind: EntryKind::Pickup,
                    masses: vec![("wet", left)],
                }),
            }),
        },
        Refusal::WentOn(Box::new((
            BookRefusal::NothingLeft(lot),
            CorrectFirst {
                first: vec![(9, left)],
                then: None,
            },
        ))),
        Refusal::NoPlaceToClose {
            name: "cellar".to_owned(),
            known: vec!["fridge".to_owned(), "freezer".to_owned()],
        },
        Refusal::WouldMakeUsable(lot, Verdict::Past),
        Refusal::ReadingsTooCold(TooCold {
            place: "fridge".to_owned(),
            median: celsius("15F"),
            limit: celsius("-2C"),
        }),
        Refusal::SpoiledAsFeed(lot),
        Refusal::FeedUnsaid(lot),
        Refusal::WeighedTooSoon(WeighedTooSoon {
            entry: 7,
            minutes: 2,
            shortest: 10,
        }),
        Refusal::UnknownDish(UnknownDish {
            lot,
            drying: vec![dish, dish],
        }),
        Refusal::DishOfOther(DishOfOther {
            entry: 8,
            other: 7,
            lot,
            dish,
        }),
        Refusal::TooWetForActivity {
            lot,
            activity: WaterActivity::new(0.5).unwrap(),
            weights: (0.69, 0.85),
        },
        Refusal::DrierThanWeights {
            lot,
            found: 0.01,
            weights: (0.69, 0.85),
        },
        Refusal::NothingToCorrect(7),
        Refusal::NothingChanged(7),
        Refusal::MashOutUnsaid(lot),
        Refusal::NotInEntry {
            entry: 7,
            kind: EntryKind::Use,
            field: "mash_out",
        },
        Refusal::NotInEntry {
            entry: 7,
            kind: EntryKind::Count,
            field: "at",
        },
        Refusal::NotInEntry {
            entry: 7,
            kind: EntryKind::Part,
            field: "wet_out",
        },
        Refusal::FactOfBake {
            entry: 7,
            bake,
            stands_in: vec![8],
            field: "at",
        },
        Refusal::PlaceKindUnsaid("barrel room".to_owned()),
        Refusal::PortionsTooHeavy {
            lot,
            left,
            number: 3,
            all: mass("3kg"),
        },
        Refusal::TooManyPortions {
            number: 300,
            most: 200,
        },
        Refusal::SeveralPlaces {
            places: vec!["fridge".to_owned(), "counter".to_owned()],
            field: MissingField::To,
        },
        Refusal::ThawTimeMissing {
            lot,
            place: "freezer".to_owned(),
        },
        Refusal::ThawedWhere {
            lot,
            place: "freezer".to_owned(),
        },
        Refusal::ProductUnusable(
            lot,
            lot,
            Verdict::Unknown,
            "dried grain keeps only with a measured water activity".to_owned(),
        ),
        Refusal::NotDried {
            lot,
            form: Form::Whole,
        },
        Refusal::NoPickupYet(None),
        Refusal::NoPickupYet(Some("Alder Lane".to_owned())),
        Refusal::NamedTwice(lot.to_string()),
        too_wet(),
        Refusal::GrainOfSeveralLots,
        Refusal::Temperatures(TemperatureProblem::FlourUnknown),
        Refusal::Temperatures(TemperatureProblem::DoughNotMeasured(9)),
        Refusal::Temperatures(TemperatureProblem::WaterUnknown),
        Refusal::Temperatures(TemperatureProblem::TapUnknown("room")),
        no_water_temperature(),
        Refusal::NumberOfPiecesUnsaid("small loaf".to_owned()),
        Refusal::PieceUnsaid("small loaf".to_owned()),
        Refusal::MoreLotsThanAllowed { named: 3, most: 2 },
        Refusal::UnknownGrist(
            Problem::new("`whaet` is no known cereal or allergen"),
            vec!["pale barley malt".to_owned()],
        ),
        Refusal::MayHold {
            lot,
            cereal: "oats".to_owned(),
            grist: None,
            is_made: false,
        },
        Refusal::MayHold {
            lot,
            cereal: "wheat".to_owned(),
            grist: Some("pale malt 100%".to_owned()),
            is_made: true,
        },
        Refusal::LotsNotNamed {
            bake,
            notice: Some(Box::new(Notice::OnlyLeft(left))),
            filled_in: vec![(lot, left)],
        },
        Refusal::NoBakesPlanned,
        Refusal::BakeNotDone(bake),
        Refusal::BakeStillOpen(bake, vec![(lot, left)]),
        Refusal::NoteIsBake(7, bake),
        Refusal::NothingUsedFor {
            about: "cake".to_owned(),
            problem: Problem::new("no lot code"),
        },
        Refusal::NoPlanForStep(Step::Mill),
        Refusal::DryingInFrost,
        Refusal::BookHasMovedOn,
        Refusal::PickupAfterTheDays(14),
        Refusal::PickupIsPast(moment),
        Refusal::MashOutAfterPickup {
            mash_out: moment,
            at: moment,
        },
        Refusal::StoppedTooEarly,
        Refusal::NamedLotsFallShort {
            bake,
            short: left.mass(),
        },
    ];
    for because in [
        NoPlanBecause::NoBakes {
            later: 2,
            overdue: Some(bake),
        },
        NoPlanBecause::NoLots,
        NoPlanBecause::NothingUsable(Vec::new()),
        NoPlanBecause::NothingUsable(vec![Change {
            bake: bake.to_string(),
            lot: lot.to_string(),
            before: left,
            after: Milligrams::ZERO,
            because: Some(Moved::Unknown),
        }]),
        NoPlanBecause::CrossedBounds(bake),
        NoPlanBecause::OutsideTheDays(bake),
    ] {
        all.push(Refusal::NoPlan(because));
    }
    for keeping in assessments() {
        let bake = BakeToCome {
            at: moment,
            now: moment,
            is_now: Verdict::Good,
        };
        for (bake, has_left) in [
            (None, HasLeft::No),
            (None, HasLeft::AtSomeTime),
            (None, HasLeft::AtGivenTime),
            (Some(bake), HasLeft::No),
        ] {
            let keeping = Box::new(keeping.clone());
            all.push(Refusal::Unusable {
                lot,
                keeping,
                as_of: moment,
                bake,
                has_left,
            });
        }
    }
    all.extend(book_refusals::all(lot).into_iter().map(Refusal::Book));
    all
}

#[test]
fn every_refusal_has_words_and_a_line_for_each_remedy() {
    let all = refusals();
    for refused in &all {
        check_refusal(refused);
    }
    let shown: BTreeSet<String> = all
        .iter()
        .map(|one| first_word(&format!("{one:?}")))
        .collect();
    assert_eq!(
        shown,
        variants("desk/refusal.rs", "Refusal"),
        "each kind is here"
    );
    let of_book: BTreeSet<String> = book_refusals::all(a_lot())
        .iter()
        .map(|one| first_word(&format!("{one:?}")))
        .collect();
    assert_eq!(
        of_book,
        variants("ledger/refusal.rs", "BookRefusal"),
        "each kind is here"
    );
    let remedies = all.iter().flat_map(Refusal::remedies);
    let shown: BTreeSet<String> = remedies
        .map(|one| first_word(&format!("{one:?}")))
        .collect();
    assert_eq!(
        shown,
        variants("desk/refusal/remedy.rs", "Remedy"),
        "each remedy is a remedy of something"
    );
}

/// Names come from files and phones. A command that is printed to be pasted takes each to the letter, and a shell runs
/// nothing in it.
#[test]
fn a_name_in_a_printed_command_is_one_word_for_a_shell() {
    let zone = Zone::named("Europe/Dublin").unwrap();
    for name in [
        "cold room9",
        "$(touch pwned)",
        "`touch pwned`",
        "Miller's \"best\"",
        "it's `$(x)` \"y\"",
        "a; b > c # d",
    ] {
        let (one, other) = (name.to_owned(), format!("{name} 2"));
        let remedies = [
            Remedy::AddPlace(one.clone()),
            Remedy::ChangePlace(one.clone()),
            Remedy::OpenPlace(one.clone()),
            Remedy::StateAsFreezer(one.clone()),
            Remedy::OpenPlaceFirst(one.clone()),
            Remedy::CloseLater(one.clone(), at("2026-11-20T12:00:00Z")),
            Remedy::NameOldSource(vec![other.clone(), one.clone()]),
            Remedy::SayNewSource(one.clone()),
            Remedy::RenameToNear {
                source: other.clone(),
                name: one.clone(),
            },
            Remedy::MergeSources {
                name: other.clone(),
                into: one.clone(),
            },
            Remedy::DatedCopiesIn(name.into()),
            Remedy::MakeAgain(
                9,
                Box::new(MadeAgain {
                    place: one.clone(),
                    ..again(HowMade::Join)
                }),
            ),
        ];
        let alike = Notice::CalledAlmostLike(other, vec![one.clone()]);
        let lines = remedies
            .iter()
            .map(|remedy| refusal::remedy_words(remedy, Units::Metric, &zone))
            .chain([notice::words(&alike, Units::Metric, &zone)]);
        for line in lines {
            // Backticks around a command are the words', not the shell's.
            let command = line
                .split_once("`draff ")
                .map_or(line.as_str(), |(_, after)| {
                    after.rsplit_once('`').unwrap().0
                });
            let words = shlex::split(command).unwrap_or_else(|| panic!("quotes are open: {line}"));
            assert!(words.contains(&one), "{name} in {line}: {words:?}");
        }
    }
}

#[test]
fn a_field_that_is_missing_is_named_with_what_belongs_in_it() {
    let zone = Zone::named("Europe/Dublin").unwrap();
    for (refused, typed) in [
        (Refusal::MashOutUnsaid(a_lot()), "add --mash-out WHEN"),
        (
            Refusal::NumberOfPiecesUnsaid("loaf".to_owned()),
            "add --pieces NUMBER",
        ),
        (Refusal::PieceUnsaid("loaf".to_owned()), "add --piece MASS"),
        (
            Refusal::ThawedWhere {
                lot: a_lot(),
                place: "freezer".to_owned(),
            },
            "add --place PLACE",
        ),
    ] {
        let words = refusal::words(&refused, Units::Metric, &zone);
        assert_eq!(words.hints(), [typed]);
    }
}

fn notices() -> Vec<Notice> {
    let (lot, bake, wet) = (a_lot(), BakeCode::new(1), mass("2kg"));
    let moment = at("2026-11-20T12:00:00Z");
    let out_before = OutBefore { bake, by: moment };
    let limit = "day 7 is over".to_owned();
    let moisture = Uncertain::known(0.7, 0.01);
    let treatment = Treatment {
        step: Step::Press,
        wet_in: wet,
        wet_out: mass("1kg"),
        water: Milligrams::ZERO,
        left: Milligrams::ZERO,
        dry_loss: Milligrams::ZERO,
    };
    let counted = |less, is_too_much| CountedSince {
        entry: 7,
        at: moment,
        found: wet,
        less,
        is_too_much,
    };
    let too = WentInToo {
        entry: 9,
        product: lot,
        wet,
    };
    let on_hand_again = |by, verdict, more, too| {
        Notice::OnHandAgain(OnHandAgain {
            lot,
            left: wet,
            more,
            verdict,
            by,
            too,
        })
    };
    let taken = |by| TakenBefore {
        bake,
        draws: vec![Drawn {
            entry: 9,
            lot,
            wet,
            at: moment,
            bake: by,
        }],
    };
    let later = |was, is| LaterCount {
        entry: 9,
        at: moment,
        found: wet,
        was,
        is,
    };
    let cold = Limit::new(celsius("5C"), None);
    let layer = Layer {
        depth: Length::from_micrometres(20_000),
        cools_like: Length::from_micrometres(20_000),
        stated: false,
    };
    let overruled = |again_by, air, verdict| {
        let probe = Overruled {
            read: (moment, celsius("4C")),
            stretch: (moment, moment),
            warmest: celsius("9C"),
            air,
            layer,
            cold,
            longest_gap: Duration::hours(4),
            again_by,
        };
        Notice::ProbeOverruled(lot, probe, verdict)
    };
    let other_sheet = |change| {
        Notice::OtherSheet(OtherSheet {
            change,
            at: moment,
            before: Some((mass("626g"), mass("438g"))),
            entry: 9,
        })
    };
    let mut all = vec![
        Notice::Used {
            wet,
            bake: "tin loaf".to_owned(),
            at: moment,
            verdict: Verdict::Good,
        },
        Notice::Given {
            wet,
            to: "the café".to_owned(),
            at: moment,
            verdict: Verdict::Good,
        },
        Notice::Discarded(wet, Some(Ending::Feed), "hens".to_owned(), moment),
        Notice::UsedWhenUnusable(JudgedDraw {
            lot,
            wet,
            what: "tin loaf".to_owned(),
            at: moment,
            verdict: Verdict::Past,
            limit: limit.clone(),
        }),
        Notice::Unmarked(JudgedDraw {
            lot,
            wet,
            what: "tin loaf".to_owned(),
            at: moment,
            verdict: Verdict::Unknown,
            limit: limit.clone(),
        }),
        Notice::BetterByClock {
            lots: vec![lot, lot],
            was: Verdict::Past,
            is: Verdict::Good,
            newest: (10, moment),
            by: 11,
        },
        Notice::JudgedBetter {
            lot,
            was: Verdict::Past,
            is: Verdict::Good,
        },
        Notice::TicketsUntrue(vec![lot]),
        Notice::UndoneBy(7),
        Notice::BakeStruck(Box::new(BakeWrittenDown {
            bake,
            at: at("2026-11-20T12:00:00Z"),
            used: vec![(lot, wet)],
            measured: Measured {
                water: Some(mass("940g")),
                pieces: Some(12),
                ..Measured::default()
            },
            said: Some((mass("626g"), mass("438g"))),
            note: Some("soft crumb".to_owned()),
        })),
        Notice::TakenBefore(taken(None)),
        Notice::TakenByBake(taken(Some(bake)), vec![12]),
        Notice::AddedToBake(bake),
        Notice::AllOfOtherLot(lot, wet, 7),
        Notice::OtherGrain(OtherGrain {
            bake,
            is_promised: true,
            meant: vec![(lot, wet)],
            booked: vec![(lot, 7)],
        }),
        Notice::OtherGrain(OtherGrain {
            bake,
            is_promised: false,
            meant: vec![(lot, wet), (lot, wet)],
            booked: vec![(lot, 7), (lot, 8)],
        }),
        Notice::WrittenTwice {
            entries: vec![9, 10],
            earlier: 8,
        },
        Notice::SameSample(8, 9),
        Notice::DriedOn(lot, 8, 9),
        Notice::Measured {
            temperature: celsius("18C"),
            at: moment,
        },
        Notice::CooledFast {
            temperature: celsius("63F"),
            minutes: 20,
            entry: 7,
        },
        Notice::CountsFromMashOut {
            temperature: celsius("58C"),
            hot: Limit::new(celsius("60C"), None),
            mash_out: moment,
        },
        Notice::ReasonNamesSpoilage(lot, Verdict::Good),
        Notice::ReasonNamesSpoilage(lot, Verdict::Past),
        Notice::PartSpoiled(
            lot,
            SpoiledPart {
                of: lot,
                at: moment,
                had_left: false,
            },
        ),
        Notice::PartSpoiled(
            lot,
            SpoiledPart {
                of: "COR-261120-15".parse().unwrap(),
                at: moment,
                had_left: false,
            },
        ),
        Notice::PartSpoiled(
            lot,
            SpoiledPart {
                of: "COR-261120-15".parse().unwrap(),
                at: moment,
                had_left: true,
            },
        ),
        Notice::AwaitsFile(
            lot,
            AwaitsFile {
                last: moment,
                shown: celsius("9C"),
                read: moment,
                cold,
                again_by: moment,
            },
        ),
        Notice::WordInWarmth(
            lot,
            WordInWarmth {
                said: moment,
                coldest: celsius("66C"),
                cold,
            },
        ),
        overruled(Some(moment), celsius("9C"), Verdict::Good),
        overruled(None, celsius("3.5C"), Verdict::Unknown),
        overruled(None, celsius("9C"), Verdict::Past),
        Notice::LessWarm {
            lot,
            was: (Verdict::UseFirst, 180),
            is: (Verdict::Good, 30),
        },
        Notice::UnlikelyWeight(mass("6g"), 7),
        Notice::WarmRowsLeftOut(celsius("18C")),
        Notice::FarFromSheet(FarFromSheet::Grain(mass("28kg"), wet, true), vec![7, 8]),
        Notice::FarFromSheet(FarFromSheet::Grain(mass("28kg"), wet, false), vec![7, 8]),
        Notice::FarFromSheet(FarFromSheet::Water(mass("9kg"), (wet, wet)), vec![9]),
        Notice::FarFromSheet(FarFromSheet::Pieces(120, 12), vec![9]),
        Notice::FarFromSheet(FarFromSheet::Baked(mass("94kg"), wet), vec![9]),
        Notice::FarFromSheet(FarFromSheet::Dough(celsius("90C")), vec![9]),
        Notice::FarFromSheet(FarFromSheet::Mixed(moment, moment), vec![9]),
        other_sheet(SheetChange::Moisture(lot)),
        other_sheet(SheetChange::Bake(bake)),
        Notice::OtherSheet(OtherSheet {
            change: SheetChange::Weight(lot),
            at: moment,
            before: None,
            entry: 9,
        }),
        Notice::WarmerThen {
            entry: 8,
            temperature: celsius("18C"),
        },
        Notice::OddMoisture(OddMoisture {
            lot,
            moisture: 0.841,
            limits: (0.749, 0.803),
            lots: 14,
        }),
        Notice::SourceDrifts(SourceDrift {
            untested: vec![lot],
            source: "Alder Lane".to_owned(),
            signal: Signal {
                rule: Rule::FourOfFive,
                side: Side::Above,
                at: 13,
            },
            middle: 0.776,
        }),
        Notice::CountsAsThawed {
            place: "freezer".to_owned(),
            limit: Limit::new(celsius("-15C"), None),
        },
        Notice::PlaceTooWarm {
            place: "cellar".to_owned(),
            kind: PlaceKind::Fridge,
            stated: celsius("9C"),
            limit: Limit::new(celsius("5C"), None),
        },
        Notice::SameBake {
            bake: BakeCode::new(2),
            earlier: bake,
        },
        Notice::LeftToEarlierBakes(vec![bake]),
        Notice::LeftOutByPlan {
            bake,
            left: vec![(wet, lot, BakeCode::new(2))],
        },
        Notice::LeftOutByPlan {
            bake,
            left: Vec::new(),
        },
        Notice::CountsAgainInstead(8),
        Notice::WentOutBefore(JudgedDraw {
            lot,
            wet,
            what: "tin loaf".to_owned(),
            at: moment,
            verdict: Verdict::Good,
            limit: limit.clone(),
        }),
        Notice::OfTheSameGrain {
            lot,
            others: vec![lot],
        },
        Notice::ReadAs("malted wheat".to_owned(), "wheat".to_owned()),
        Notice::NoGristNames("rey".to_owned()),
        Notice::FreezerNotFrozen {
            place: "freezer".to_owned(),
            warm: 194,
            readings: 194,
            limit: Limit::new(celsius("-15C"), None),
        },
        Notice::OtherScale {
            entry: 12,
            place: "fridge".to_owned(),
            scale: Scale::Fahrenheit,
        },
        Notice::SameReadingsElsewhere("fridge".to_owned()),
        Notice::ReadTwice {
            rows: 3,
            entries: vec![7, 9],
        },
        Notice::RowsAlike(vec![9]),
        Notice::NotFreeOf(bake, not_free("wheat", &[lot], true), true),
        Notice::NotFreeOf(bake, not_free("rye", &[lot, lot], false), false),
        Notice::NotMarkedAnyMore(bake, not_free("oats", &[lot], true)),
        Notice::NoLongerFreeOf(bake, "wheat".to_owned(), "oats".to_owned()),
        Notice::WarmSince(lot, at("2026-11-20T09:00:00Z"), 4430, WarmTime::NotMeasured),
        Notice::WarmSince(lot, at("2026-11-20T09:00:00Z"), 4310, WarmTime::Logged),
        Notice::WarmSince(lot, at("2026-11-20T09:00:00Z"), 4430, WarmTime::Past(9)),
        Notice::CalledAlmostLike("Tarn Fel".to_owned(), vec!["Tarn Fell".to_owned()]),
        Notice::CalledOtherwiseNow("Tarn Fel".to_owned(), "Tarn Fell".to_owned()),
        Notice::UnusableByNow {
            lot,
            verdict: Verdict::Past,
            limit: limit.clone(),
        },
        Notice::KeepOldVersion {
            bakes: vec![(bake, 1)],
            version: 2,
        },
        Notice::MustBeThawed {
            lot,
            wet,
            bake,
            by: moment,
        },
        Notice::StillFrozen {
            lot,
            fridge: Some("walk in".to_owned()),
            strike_first: None,
        },
        Notice::StillFrozen {
            lot,
            fridge: None,
            strike_first: Some(7),
        },
        Notice::PromisedGrainGone {
            lot,
            bakes: vec![(bake, wet)],
        },
        Notice::PromisedGrainLost(vec![LostGrain {
            bake,
            named: lot,
            lot,
            state: State::AsItLies,
            wet,
            verdict: Verdict::Past,
            keep_until: Some(moment),
            grain_at: moment,
            out_before: None,
        }]),
        Notice::PromisedGrainLost(vec![LostGrain {
            bake,
            named: lot,
            lot,
            state: State::AsItLies,
            wet,
            verdict: Verdict::Past,
            keep_until: None,
            grain_at: moment,
            out_before: Some(out_before),
        }]),
        Notice::Treated(Treated {
            treatment,
            of: lot,
            product: lot,
            before: moisture,
            after: moisture,
            is_to_be_shown_dry: true,
            show_dry_by: Some(moment),
        }),
        Notice::PromisesUnreadable("the plan names no lot".to_owned()),
        Notice::PutTo { lot, joined: lot },
        Notice::PastByLateMove(out_for_a_while(None)),
        Notice::OnHandUnusable {
            lot,
            verdict: Verdict::Past,
            limit: limit.clone(),
        },
        Notice::CountedSince(counted(Milligrams::ZERO, false)),
        Notice::CountedSince(counted(wet, false)),
        Notice::CountedSince(counted(Milligrams::new(-10_000), false)),
        Notice::CountedSince(counted(Milligrams::new(-1_000_000), true)),
        Notice::LaterCountStands(later(wet, Milligrams::ZERO)),
        Notice::LaterCountStands(later(Milligrams::ZERO, Milligrams::new(-1_000_000))),
        Notice::WentAlong(WentAlong {
            entry: 7,
            is_word: false,
            was: moment,
            is: moment,
        }),
        Notice::WentAlong(WentAlong {
            entry: 7,
            is_word: true,
            was: moment,
            is: moment,
        }),
        on_hand_again(Some(EntryKind::Join), Verdict::Good, wet, Some(too)),
        on_hand_again(Some(EntryKind::Treat), Verdict::Good, mass("1kg"), None),
        on_hand_again(Some(EntryKind::Part), Verdict::Unknown, wet, None),
        on_hand_again(None, Verdict::Past, mass("1kg"), None),
        Notice::WetterThanGrain(treatment, (0.97, 0.95), 7),
        Notice::WetterThanGrain(
            Treatment {
                water: mass("50kg"),
                ..treatment
            },
            (0.996, 0.95),
            7,
        ),
        Notice::DryLossDoubtful {
            lot,
            lost: wet,
            dry: wet.mass(),
        },
        Notice::UsableApart {
            lot,
            joined: lot,
            was: Verdict::Past,
            is: Verdict::UseFirst,
        },
        Notice::UsableElsewhere(wet, (lot, Verdict::Past), (lot, Verdict::Good)),
        Notice::PartMoved {
            lot,
            left: Some(wet),
            part: lot,
            moved: wet,
        },
        Notice::BrewedLongAgo {
            days: 366,
            entry: 5,
        },
        Notice::TooQuick {
            step: Step::Dry,
            minutes: 1,
            power: Power::new::<kilowatt>(290.0),
        },
        Notice::Joined(vec![(lot, wet)]),
        Notice::LeftOf(lot, Some(wet)),
        Notice::LeftOf(lot, None),
        Notice::BackInStock(Some(Ending::Feed)),
        Notice::BackInStock(None),
        Notice::OnlyLeft(wet),
        Notice::LotsFallShort(wet.mass()),
        Notice::WeightsOfWhatIsThere(wet.mass()),
        Notice::PromisedGrainTaken {
            bake,
            accepted_at: moment,
            at: moment,
            is_reweighed: false,
            less: Milligrams::ZERO,
        },
        Notice::PromisedGrainTaken {
            bake,
            accepted_at: moment,
            at: moment,
            is_reweighed: true,
            less: wet,
        },
        Notice::LikeLast { lot, grist: None },
        Notice::LikeLast {
            lot,
            grist: Some("rye malt 100%".to_owned()),
        },
        Notice::PlaceOverfull {
            place: "freezer".to_owned(),
            holds: wet,
            takes: mass("1kg"),
        },
        Notice::MixingIsPast(moment),
        Notice::FirstStageIsPast(moment),
        Notice::UnusableByThen(lot, limit.clone()),
        Notice::OtherForm {
            formula: "small loaf".to_owned(),
            wanted: Form::Whole,
            lot,
            is: Form::Pressed,
        },
        Notice::MixedNow(moment),
        Notice::NothingMeasured(7),
        Notice::MixingWarmed(6.5),
        Notice::MixingHeatNotLearned(NotLearned::TemperaturesUnknown(vec!["tap"]), 9),
        Notice::MixingHeatNotLearned(NotLearned::WaterUnknown, 9),
        Notice::MixingHeatNotLearned(NotLearned::Unexplained(Problem::new("it got colder")), 9),
    ];
    for why in [
        Hindrance::Gone { lot, missing: wet },
        Hindrance::OtherLotsNamed,
        Hindrance::TooManyLots,
        Hindrance::Unusable {
            lot,
            verdict: Verdict::Past,
            limit,
        },
        Hindrance::OutBefore(lot, out_before),
        Hindrance::DoesNotSuit(lot),
        Hindrance::TooMuch {
            dry: wet,
            most: mass("1kg"),
        },
    ] {
        all.push(Notice::PromisedGrainNotTaken {
            bake,
            accepted_at: moment,
            at: moment,
            why,
        });
    }
    all
}

#[test]
fn every_notice_has_words() {
    let zone = Zone::named("Europe/Dublin").unwrap();
    let all = notices();
    for told in &all {
        for units in [Units::Metric, Units::Us] {
            let words = notice::words(told, units, &zone);
            check_line(&words);
            // The page makes links of commands that stand in backticks.
            let commands = words.matches("draff ").count();
            assert_eq!(commands, words.matches("`draff ").count(), "{words}");
        }
    }
    let shown: BTreeSet<String> = all
        .iter()
        .map(|one| first_word(&format!("{one:?}")))
        .collect();
    assert_eq!(
        shown,
        variants("desk/notice.rs", "Notice"),
        "each kind is here"
    );
}

/// Cautions are words for people too, and each has a code of its own.
#[test]
fn every_caution_has_words_and_a_code() {
    let shown: BTreeSet<String> = Caution::ALL
        .iter()
        .map(|one| first_word(&format!("{one:?}")))
        .collect();
    assert_eq!(
        shown,
        variants("report/cautions.rs", "Caution"),
        "each is here"
    );
    let codes: BTreeSet<&str> = Caution::ALL.iter().map(|one| one.as_key()).collect();
    assert_eq!(codes.len(), Caution::ALL.len());
    for caution in Caution::ALL {
        check_line(&caution.text());
    }
}
