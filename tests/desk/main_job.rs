//! From the pickup to the usage lines through the desk alone: no command line, no terminal, no words.

use crate::bakery::{Bakery, LOAF, at, celsius, code, mashed_on, mass};
use draffbook::desk::{
    AddBake, BakeWishes, CameOut, ChangeBake, Discard, FinishBake, Found, GivenScales,
    GivenTemperatures, Hindrance, LogOf, NewPickup, Notice, PlanOf, Probe, Progress, RecordTest,
    Refusal, Remedy, SheetOf, Strike, UsageOf, UseGrain, Watch, WaterOf,
};
use draffbook::dough::hold_back::{FlourAmount, GrainAmount};
use draffbook::dough::thirst::ThirstRule;
use draffbook::dough::timetable::Point;
use draffbook::grain::{Ending, Evidence, Method, MoistureTest, Sample};
use draffbook::keeping::Verdict;
use draffbook::ledger::EntryKind;
use draffbook::quantity::{Milligrams, WetBasis, mass as masses};
use draffbook::report::Caution;
use draffbook::report::trace::Balance;

/// Friday morning, when the grain is fetched.
const FETCHED: &str = "2026-11-20T08:00:00Z";
/// The same day, when it is cold and tested.
const FRIDAY: &str = "2026-11-20T15:00:00Z";
/// When Saturday's dough has been mixed.
const SATURDAY: &str = "2026-11-21T08:00:00Z";
const MIXED: &str = "2026-11-21T06:00:00Z";

const ASKED: PlanOf = PlanOf {
    days: 7,
    careful: false,
    reopen: false,
};

/// Lets a search go on, and counts how often it was asked.
#[derive(Default)]
struct Counting {
    asked: usize,
}

impl Watch for Counting {
    fn goes_on(&mut self, progress: Progress) -> bool {
        assert!(matches!(progress, Progress::Plan(_)), "{progress:?}");
        self.asked += 1;
        true
    }
}

fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found}, not {wanted}");
}

/// 6 kg of hot grain that is cooled in time, and its code.
fn fetch(bakery: &Bakery) -> String {
    let answer = bakery
        .desk(FETCHED)
        .pickup(&NewPickup {
            temperature: Some(celsius("63C")),
            ..mashed_on("2026-11-20", "6kg")
        })
        .unwrap();
    for caution in [Caution::DateIsARule, Caution::HotGrain, Caution::Gluten] {
        assert!(answer.cautions.contains(&caution), "{caution:?}");
    }
    let lot = code(&answer).to_string();
    for (moment, temperature) in [
        ("2026-11-20T09:20:00Z", "18.5C"),
        ("2026-11-20T13:00:00Z", "4.1C"),
    ] {
        let probed = bakery.desk(moment).probe(&Probe {
            lot: &lot,
            found: Found::Temperature(celsius(temperature)),
            at: at(moment),
        });
        assert!(probed.is_ok(), "{moment}");
    }
    lot
}

/// Two samples of 100 g that leave 23.0 g and 23.2 g: 77.0 % and 76.8 % moisture by the definition of wet basis
/// (loss of weight ÷ wet weight), 76.9 % together.
fn test(bakery: &Bakery, lot: &str) {
    let sample = |text: &str| Sample {
        first: text.parse().unwrap(),
        second: None,
    };
    let test = MoistureTest {
        method: Method::Oven,
        readability: mass("100mg"),
        samples: vec![sample("14.2g,114.2g,37.2g"), sample("13.8g,113.8g,37.0g")],
        open: Vec::new(),
        laboratory: None,
    };
    let answer = bakery
        .desk(FRIDAY)
        .record_test(&RecordTest {
            lot,
            test: &test,
            method: None,
            at: Some(at(FRIDAY)),
            is_new_dish: false,
        })
        .unwrap();
    assert!(answer.cautions.contains(&Caution::DryingASample));
    let lots = bakery.desk(FRIDAY).shelf().unwrap().answer.lots;
    near(lots[0].estimate.moisture.value, 0.769, 1e-9);
    assert_eq!(
        lots[0].estimate.from,
        Evidence::Tests {
            count: 1,
            with_earlier_lots: None
        }
    );
    near(masses::grams(lots[0].dry.best), 6000.0 * 0.231, 1e-6);
}

/// Grain of Friday for a bake of Saturday, promised to it; the bake's code and the wet grain.
fn plan(bakery: &Bakery, lot: &str) -> (String, Milligrams) {
    let mut desk = bakery.desk(FRIDAY);
    desk.add_formula(LOAF).unwrap();
    let wishes = BakeWishes {
        pieces: Some(12),
        ..BakeWishes::default()
    };
    let planned = desk
        .add_bake(&AddBake {
            formula: "small loaf",
            at: (at(MIXED), Point::Mix),
            wishes: &wishes,
        })
        .unwrap()
        .answer;
    // 12 × 800 g: 288 to 576 g of dry grain, 5 % to 10 % of 5,760 g of total flour.
    near(masses::grams(planned.needs.dry_lowest), 288.0, 3.0);
    near(masses::grams(planned.needs.dry_highest), 576.0, 6.0);
    let bake = planned.bake.code.to_string();

    let mut watch = Counting::default();
    let mut answer = desk.plan(ASKED, &mut watch).unwrap();
    assert!(answer.cautions.contains(&Caution::DateIsARule));
    let draws = answer.answer.plan.bakes[0].draws.clone();
    assert_eq!(draws.len(), 1, "one lot is on hand");
    let wet = draws[0].wet;
    near(wet.grams() * 0.231, draws[0].dry.grams(), 0.01);
    let most = masses::grams(planned.needs.dry_highest);
    near(draws[0].dry.grams(), most, 1.0);
    let before = bakery.tables();
    desk.accept_plan(&mut answer.answer).unwrap();
    assert!(answer.answer.accepted && desk.written().is_so());
    assert_ne!(before, bakery.tables(), "the promise is in the book");

    let shelf = bakery.desk(FRIDAY).shelf().unwrap().answer;
    let lot = lot.parse().unwrap();
    let promised = shelf.promised_of(lot);
    let promised: Vec<_> = promised.iter().map(|one| (one.bake, one.wet)).collect();
    assert_eq!(promised, [(planned.bake.code, wet)]);
    (bake, wet)
}

/// What a changed bake no longer takes of what was promised to it is told at the change.
#[test]
fn a_change_tells_which_promise_falls() {
    let bakery = Bakery::new();
    let lot = fetch(&bakery);
    test(&bakery, &lot);
    let (bake, _) = plan(&bakery, &lot);
    let other = fetch(&bakery);
    let change = |pieces, lots: &[&String], mixed: &str| {
        let wishes = BakeWishes {
            pieces,
            lots: lots.iter().map(|lot| (*lot).clone()).collect(),
            ..BakeWishes::default()
        };
        let request = ChangeBake {
            bake: &bake,
            at: Some((at(mixed), Point::Mix)),
            version: None,
            any_lot: lots.is_empty(),
            wishes: &wishes,
        };
        bakery.desk(FRIDAY).change_bake(&request).unwrap().notices
    };
    let fallen = |notices: &[Notice]| {
        notices.iter().find_map(|notice| match notice {
            Notice::PromisedGrainNotTaken { why, .. } => Some(why.clone()),
            _ => None,
        })
    };
    assert_eq!(fallen(&change(Some(12), &[], MIXED)), None);
    assert!(matches!(
        fallen(&change(Some(6), &[], MIXED)),
        Some(Hindrance::TooMuch { .. })
    ));
    assert_eq!(
        fallen(&change(Some(6), &[], "2026-11-21T06:20:00Z")),
        None,
        "it had fallen already"
    );
    change(Some(12), &[], MIXED);
    assert!(matches!(
        fallen(&change(None, &[], "2026-12-01T06:00:00Z")),
        Some(Hindrance::Unusable { .. })
    ));
    change(None, &[], MIXED);
    assert_eq!(
        fallen(&change(None, &[&other], MIXED)),
        Some(Hindrance::OtherLotsNamed)
    );
}

/// The water of a dough by hand: 2 kg of grain of 76.9 % bring 462 g of dry grain and 1,538 g of water; with 5 kg of
/// flour at 68 % that is 5,462 g × 0.68 − 1,538 g = 2,176.16 g to add.
#[test]
fn water_is_held_back_for_what_nobody_knows() {
    let bakery = Bakery::new();
    let lot = fetch(&bakery);
    test(&bakery, &lot);
    let dough = WaterOf {
        grain: GrainAmount::Wet(mass("2kg").mass()),
        flour: FlourAmount::Bag(mass("5kg").mass()),
        hydration: 0.68,
        flour_basis: WetBasis::new(0.0).unwrap(),
        thirst: ThirstRule::Published,
    };
    let answer = bakery.desk(FRIDAY).hold_back(&lot, dough).unwrap();
    let sum = answer.answer.sum;
    near(masses::grams(sum.dry), 462.0, 1e-6);
    near(masses::grams(sum.carried_water), 1538.0, 1e-6);
    near(masses::grams(sum.add_water), 2176.16, 1e-6);
    assert!(sum.pour_first < sum.add_water);
    assert!(sum.pour_first + sum.keep_back > sum.add_water);
    let (code, verdict) = answer.answer.lot.unwrap();
    assert_eq!((code.to_string(), verdict), (lot, Verdict::Good));
    assert_eq!(
        answer.cautions,
        [Caution::DateIsARule, Caution::Gluten, Caution::RawDough]
    );
}

#[test]
fn the_main_job_needs_no_command_line() {
    let bakery = Bakery::new();
    let lot = fetch(&bakery);
    assert_eq!(lot, "ALD-261120-1T");
    test(&bakery, &lot);
    let (bake, wet) = plan(&bakery, &lot);

    let sheet = bakery
        .desk(FRIDAY)
        .sheet(&SheetOf {
            bake: &bake,
            thirst: ThirstRule::Published,
            scales: GivenScales::default(),
            temperatures: GivenTemperatures::default(),
        })
        .unwrap();
    assert_eq!(sheet.answer.draws.len(), 1);
    assert_eq!(sheet.answer.draws[0].lot, lot);
    near(masses::grams(sheet.answer.draws[0].wet), wet.grams(), 0.5);
    assert!(sheet.cautions.contains(&Caution::RawDough));
    let takes_promised = |notice: &Notice| matches!(notice, Notice::PromisedGrainTaken { .. });
    assert!(sheet.notices.iter().any(takes_promised));

    let done = bakery
        .desk(SATURDAY)
        .finish_bake(&FinishBake {
            bake: &bake,
            used: &[(lot.clone(), wet)],
            water: Some(mass("900g")),
            pieces: Some(12),
            came_out: Some(CameOut::Well),
            ..FinishBake::default()
        })
        .unwrap();
    assert!(
        done.notices.is_empty(),
        "the promise was kept: {:?}",
        done.notices
    );

    usage_holds(&bakery, &lot, &bake, wet);
    trace_adds_up(&bakery, &lot, &bake, wet);
    striking_gives_the_grain_back(&bakery, &lot);
}

fn usage_holds(bakery: &Bakery, lot: &str, bake: &str, wet: Milligrams) {
    let desk = bakery.desk(SATURDAY);
    let usage = desk.usage(UsageOf::default()).unwrap().answer;
    let lines = usage.lines().all().unwrap();
    let [line] = lines.as_slice() else {
        panic!("one line: {lines:?}");
    };
    assert_eq!(line.record.lot.code.to_string(), lot);
    assert_eq!(line.record.at, at(MIXED), "as planned");
    assert_eq!(line.record.wet, wet);
    assert_eq!(line.bake().as_deref(), Some(bake));
    assert_eq!(line.formula(), Some("small loaf"));
    near(masses::grams(line.dry), wet.grams() * 0.231, 1e-6);
    near(masses::grams(line.carried_water), wet.grams() * 0.769, 1e-6);
    assert_eq!(line.record.by.as_deref(), Some("Ada"));
    let of_lot = UsageOf {
        before: Some(at(MIXED)),
        lot: Some(lot),
        ..UsageOf::default()
    };
    let earlier = desk.usage(of_lot).unwrap().answer;
    assert_eq!(earlier.lines().all().unwrap().len(), 0);
}

fn trace_adds_up(bakery: &Bakery, lot: &str, bake: &str, wet: Milligrams) {
    let desk = bakery.desk(SATURDAY);
    let traced = desk.trace(lot).unwrap().answer;
    assert!(traced.has_balance);
    let mut balance = Balance::default();
    for lot in traced.lots().all().unwrap() {
        traced.add_lot(&mut balance, &lot);
    }
    for out in traced.outflows().all().unwrap() {
        balance.add_outflow(&out);
    }
    assert_eq!(balance.came, 6_000_000);
    assert_eq!(balance.baked, wet.get());
    assert_eq!(balance.on_hand, 6_000_000 - wet.get());
    assert_eq!(balance.difference(), 0);
    let bakes = traced.bakes().all().unwrap();
    assert_eq!(bakes.len(), 1);
    assert_eq!(bakes[0].name, bake);
    assert_eq!(bakes[0].pieces.unwrap().counted, Some(12));
    let back = desk.trace(bake).unwrap().answer;
    let lots: Vec<String> = back
        .lots()
        .all()
        .unwrap()
        .iter()
        .map(|one| one.lot.code.to_string())
        .collect();
    assert_eq!(lots, [lot]);
}

fn striking_gives_the_grain_back(bakery: &Bakery, lot: &str) {
    let desk = bakery.desk(SATURDAY);
    let log = desk.log(LogOf::default()).unwrap().answer;
    let log = log.entries().all().unwrap();
    let of_kind = |kind: EntryKind| log.iter().filter(|one| one.kind == kind).count();
    for (kind, number) in [
        (EntryKind::Pickup, 1),
        (EntryKind::Reading, 3),
        (EntryKind::Moisture, 1),
        (EntryKind::Bake, 1),
        (EntryKind::Plan, 1),
        (EntryKind::Use, 1),
        (EntryKind::Baked, 1),
        (EntryKind::Strike, 0),
    ] {
        assert_eq!(of_kind(kind), number, "{kind:?}");
    }
    let baked = log.iter().find(|one| one.kind == EntryKind::Baked).unwrap();
    let struck = bakery
        .desk(SATURDAY)
        .strike(&Strike {
            entries: &[baked.entry],
            reason: "another lot",
        })
        .unwrap()
        .answer;
    assert_eq!(struck.entries[0].0.entry, baked.entry);
    let desk = bakery.desk(SATURDAY);
    let shelf = desk.shelf().unwrap().answer;
    assert_eq!(shelf.lots[0].wet, mass("6kg"));
    let usage = desk.usage(UsageOf::default()).unwrap().answer;
    assert_eq!(usage.lines().all().unwrap().len(), 0);
    let log = desk
        .log(LogOf {
            about: Some(lot),
            ..LogOf::default()
        })
        .unwrap()
        .answer;
    let log = log.entries().all().unwrap();
    let strikes: Vec<i64> = log.iter().filter_map(|one| one.strikes).collect();
    assert!(
        strikes.len() == 1 && strikes[0] != baked.entry,
        "of the lot its draw: {strikes:?}"
    );
}

/// Seven calendar days with the mash-out day as day 1 (Food Code 3-501.17(A)): Thursday is the last one.
#[test]
fn past_grain_is_refused_with_its_remedies_and_may_be_thrown_away() {
    let bakery = Bakery::new();
    let lot = fetch(&bakery);
    test(&bakery, &lot);
    let use_it = |now: &str| {
        bakery.desk(now).use_grain(&UseGrain {
            draws: &[(lot.clone(), mass("1kg"))],
            bake: "pan loaf",
            at: at(now),
        })
    };
    let used = use_it("2026-11-26T23:59:59Z").unwrap();
    assert_eq!(used.answer[0].wet, mass("5kg"));
    assert_eq!(used.answer[0].keeping.verdict, Verdict::UseFirst);

    let before = bakery.tables();
    let refused = use_it("2026-11-27T00:00:00Z").unwrap_err();
    let refusal = refused.downcast_ref::<Refusal>().unwrap();
    let Refusal::Unusable {
        lot: refused_lot,
        keeping,
        ..
    } = refusal
    else {
        panic!("{refusal:?}");
    };
    assert_eq!(refused_lot.to_string(), lot);
    assert_eq!(keeping.verdict, Verdict::Past);
    let remedies = refusal.remedies();
    assert!(remedies.contains(&Remedy::Discard(*refused_lot)));
    assert!(remedies.contains(&Remedy::NoRescueByBaking));
    assert_eq!(before, bakery.tables(), "nothing was written");

    let gone = bakery
        .desk("2026-11-27T00:00:00Z")
        .discard(&Discard {
            lot: &lot,
            wet: None,
            reason: "day 8",
            ending: Some(Ending::Compost),
            at: at("2026-11-27T00:00:00Z"),
        })
        .unwrap();
    assert_eq!(gone.answer.place, None, "nothing is left");
}
