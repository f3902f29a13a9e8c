//! Every act of the desk, tried on past, unknown, struck and promised grain: none gets round the guard.

use crate::bakery::{Bakery, LOAF, at, cooled_on, laboratory, mashed_on};
use crate::refusals;
use draffbook::desk::{
    AddBake, BakeWishes, ChangeBake, Correct, Correction, Count, Desk, Discard, FinishBake, Found,
    Give, Join, LogOf, LoggedAir, MoveLot, NewPickup, NewReadings, Notice, PlanOf, Portion, Probe,
    Progress, RecordTest, StatePlace, Strike, Treat, UsageOf, UseGrain, Watch,
};
use draffbook::dough::house::Setting;
use draffbook::dough::timetable::Point;
use draffbook::grain::{Ending, LotCode, Portions, Step};
use draffbook::keeping::{PlaceKind, TicketSays, Verdict};
use draffbook::ledger::EntryKind;
use draffbook::quantity::{Instant, Milligrams, Scale, Temperature};
use draffbook::report::LotAnswer;
use draffbook::report::promise::PromisedGrain;
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::LazyLock;

/// Friday, when every act is done; what it is about may lie weeks back.
const NOW: &str = "2026-11-20T12:00:00Z";

/// A book with grain of every kind, and its lots.
struct Stocked {
    book: Vec<u8>,
    lots: Vec<LotCode>,
    struck: LotCode,
}

static STOCKED: LazyLock<Stocked> = LazyLock::new(stocked);

struct Patient;

impl Watch for Patient {
    fn goes_on(&mut self, _: Progress) -> bool {
        true
    }
}

fn stocked() -> Stocked {
    let bakery = Bakery::new();
    let mut desk = bakery.desk(NOW);
    desk.add_formula(LOAF).unwrap();
    let mut lots = Vec::new();
    for (pickup, verdict) in [
        (cooled_on("2026-11-20", "4kg"), Verdict::Good),
        (cooled_on("2026-11-20", "3kg"), Verdict::Good),
        (cooled_on("2026-11-16", "5kg"), Verdict::UseFirst),
        (cooled_on("2026-11-10", "5kg"), Verdict::Past),
        (mashed_on("2026-11-20", "5kg"), Verdict::Unknown),
        (mashed_on("2026-11-18", "5kg"), Verdict::Unknown),
        (cooled_on("2026-11-19", "5kg"), Verdict::Good),
        (cooled_on("2026-11-19", "4kg"), Verdict::Good),
        (cooled_on("2026-11-14", "2kg"), Verdict::UseFirst),
    ] {
        let lot = desk.pickup(&pickup).unwrap().answer;
        assert_eq!(lot.keeping.verdict, verdict, "{pickup:?}");
        lots.push(lot.lot.code);
    }
    let [promised, _, _, _, _, _, spoiled, struck, frozen] = lots[..] else {
        panic!("nine lots");
    };
    desk.probe(&Probe {
        lot: &spoiled.to_string(),
        found: Found::Spoiled("sour"),
        at: at("2026-11-20T11:00:00Z"),
    })
    .unwrap();
    desk.move_lot(&MoveLot {
        lot: &frozen.to_string(),
        wet: None,
        to: "freezer",
        at: at("2026-11-14T10:00:00Z"),
        until: None,
        note: None,
    })
    .unwrap();
    let about = Some(struck.to_string());
    let log = desk
        .log(LogOf {
            about: about.as_deref(),
            ..LogOf::default()
        })
        .unwrap()
        .answer;
    let log = log.entries().all().unwrap();
    let entry = log
        .iter()
        .find(|entry| entry.kind == EntryKind::Pickup)
        .unwrap()
        .entry;
    desk.strike(&Strike {
        entries: &[entry],
        reason: "never came",
    })
    .unwrap();
    promise(&mut desk, promised);
    desk.pickup(&NewPickup {
        source: "Corrie Mill",
        ..mashed_on("2026-11-19", "1kg")
    })
    .unwrap();
    Stocked {
        book: std::fs::read(bakery.path()).unwrap(),
        lots,
        struck,
    }
}

/// One bake of the first lot and one of whatever suits it, with a plan that is accepted.
fn promise(desk: &mut Desk, lot: LotCode) {
    let test = laboratory();
    desk.record_test(&RecordTest {
        lot: &lot.to_string(),
        test: &test,
        method: None,
        at: Some(at(NOW)),
        is_new_dish: false,
    })
    .unwrap();
    for (mix, lots) in [
        ("2026-11-21T06:00:00Z", vec![lot.to_string()]),
        ("2026-11-22T06:00:00Z", Vec::new()),
    ] {
        let wishes = BakeWishes {
            lots,
            pieces: Some(12),
            ..BakeWishes::default()
        };
        desk.add_bake(&AddBake {
            formula: "small loaf",
            at: (at(mix), Point::Mix),
            wishes: &wishes,
        })
        .unwrap();
    }
    let mut plan = desk.plan(plan_of(false), &mut Patient).unwrap();
    desk.accept_plan(&mut plan.answer).unwrap();
    let promised = desk.shelf().unwrap().answer.promised;
    assert!(
        promised.iter().any(|one| one.lot == Some(lot)),
        "{promised:?}"
    );
}

fn plan_of(reopen: bool) -> PlanOf {
    PlanOf {
        days: 7,
        careful: false,
        reopen,
    }
}

/// What is tried: one for each act of the desk, several where an act does several things.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Pickup,
    Pickups,
    Use,
    Discard,
    Move,
    Treat,
    TreatInto,
    Portion,
    Join,
    Count,
    Warm,
    Cold,
    Activity,
    Spoiled,
    Cooled,
    Test,
    AddPlace,
    ChangePlace,
    Readings,
    AddBake,
    ChangeBake,
    DropBake,
    FinishBake,
    FinishAsPlanned,
    Accept,
    Set,
    AddFormula,
    Strike,
    Give,
    ClosePlace,
    RenameSource,
    MergeSource,
    CorrectPickup,
    Correct,
    NoteTickets,
}

const KINDS: [Kind; 35] = [
    Kind::Pickup,
    Kind::Pickups,
    Kind::Use,
    Kind::Discard,
    Kind::Move,
    Kind::Treat,
    Kind::TreatInto,
    Kind::Portion,
    Kind::Join,
    Kind::Count,
    Kind::Warm,
    Kind::Cold,
    Kind::Activity,
    Kind::Spoiled,
    Kind::Cooled,
    Kind::Test,
    Kind::AddPlace,
    Kind::ChangePlace,
    Kind::Readings,
    Kind::AddBake,
    Kind::ChangeBake,
    Kind::DropBake,
    Kind::FinishBake,
    Kind::FinishAsPlanned,
    Kind::Accept,
    Kind::Set,
    Kind::AddFormula,
    Kind::Strike,
    Kind::Give,
    Kind::ClosePlace,
    Kind::RenameSource,
    Kind::MergeSource,
    Kind::CorrectPickup,
    Kind::Correct,
    Kind::NoteTickets,
];

const PLACES: [(&str, PlaceKind); 3] = [
    ("fridge", PlaceKind::Fridge),
    ("freezer", PlaceKind::Freezer),
    ("counter", PlaceKind::Ambient),
];

/// An act with all that it could need.
#[derive(Debug, Clone)]
struct Try {
    kind: Kind,
    lot: usize,
    other: usize,
    /// How many hours before now; after now where negative.
    hours: i64,
    grams: i64,
    place: usize,
    step: usize,
    whole: bool,
    entry: i64,
}

fn tries() -> impl Strategy<Value = Try> {
    // An hour of today, of the weeks before, or yet to come.
    let hours = prop_oneof![4 => 0_i64..8, 4 => 0_i64..260, 1 => -30_i64..0];
    let numbers = (0_usize..40, 0_usize..40, 0_usize..3, 0_usize..6);
    (
        prop::sample::select(&KINDS[..]),
        numbers,
        hours,
        1_i64..6000,
        any::<bool>(),
        1_i64..60,
    )
        .prop_map(
            |(kind, (lot, other, place, step), hours, grams, whole, entry)| Try {
                kind,
                lot,
                other,
                hours,
                grams,
                place,
                step,
                whole,
                entry,
            },
        )
}

/// The lots that may be named: those of the stocked book, the struck one too, and those made since.
fn nameable(shelf: &[LotAnswer]) -> Vec<LotCode> {
    let mut codes = STOCKED.lots.clone();
    for lot in shelf {
        if !codes.contains(&lot.lot.code) {
            codes.push(lot.lot.code);
        }
    }
    codes
}

/// Does it, and gives what was told.
fn perform(desk: &mut Desk, act: &Try, codes: &[LotCode]) -> anyhow::Result<Vec<Notice>> {
    let lot = codes[act.lot % codes.len()].to_string();
    let other = codes[act.other % codes.len()].to_string();
    let at = at(NOW) - chrono::Duration::hours(act.hours);
    let wet = Milligrams::new(act.grams * 1000);
    let some = (!act.whole).then_some(wet);
    let (place, place_kind) = PLACES[act.place];
    let probe = |desk: &mut Desk, found: Found<'_>| -> anyhow::Result<Vec<Notice>> {
        Ok(desk
            .probe(&Probe {
                lot: &lot,
                found,
                at,
            })?
            .notices)
    };
    let celsius = |degrees| Temperature::new(degrees * 1000, Scale::Celsius);
    let bakes = desk.bakes(true)?.answer;
    let bake = bakes[act.other % bakes.len()].bake.code.to_string();
    let of_lots = BakeWishes {
        lots: if act.whole {
            vec![lot.clone()]
        } else {
            vec![lot.clone(), other.clone()]
        },
        pieces: Some(1 + (act.grams % 12) as u32),
        ..BakeWishes::default()
    };
    let soon = (at + chrono::Duration::hours(2 * act.hours + 1), Point::Mix);
    let treat = |into| Treat {
        lot: &lot,
        step: Step::ALL[act.step],
        wet_in: some,
        wet_out: Milligrams::new(wet.get() * 2 / 3),
        water_added: Milligrams::ZERO,
        left_behind: Milligrams::ZERO,
        dry_loss: Milligrams::ZERO,
        lasted: act.whole.then_some((40, celsius(60))),
        into,
        place: Some(place),
        at,
        note: None,
    };
    let finish = |used| FinishBake {
        bake: &bake,
        at: act.whole.then_some(at),
        used,
        ..FinishBake::default()
    };
    Ok(match act.kind {
        Kind::Pickup => desk.pickup(&cooled_on("2026-11-19", "2kg"))?.notices,
        Kind::Pickups => {
            let all = [
                cooled_on("2026-11-10", "2kg"),
                mashed_on("2026-11-19", "1kg"),
            ];
            desk.pickups(2, |take| take(&all))?.notices
        }
        Kind::Use => {
            let mut draws = vec![(lot.clone(), wet)];
            if !act.whole {
                draws.push((other.clone(), Milligrams::new(500_000)));
            }
            let draw = UseGrain {
                draws: &draws,
                bake: "tin loaf",
                at,
            };
            desk.use_grain(&draw)?.notices
        }
        Kind::Discard => {
            let ending = act.whole.then_some(Ending::Feed);
            desk.discard(&Discard {
                lot: &lot,
                wet: some,
                reason: "too much",
                ending,
                at,
            })?
            .notices
        }
        Kind::Move => {
            desk.move_lot(&MoveLot {
                lot: &lot,
                wet: some,
                to: place,
                at,
                until: (act.hours % 2 == 1).then(|| at + chrono::Duration::minutes(30)),
                note: None,
            })?
            .notices
        }
        Kind::Treat => desk.treat(&treat(None))?.notices,
        Kind::TreatInto => desk.treat(&treat(Some(&other)))?.notices,
        Kind::Portion => {
            let into = [Portions {
                number: 2,
                each: wet,
            }];
            let to = Some(place);
            desk.portion(&Portion {
                lot: &lot,
                into: &into,
                to,
                at,
                note: None,
                depth: None,
            })?
            .notices
        }
        Kind::Join => {
            let lots = [lot.clone(), other];
            desk.join(&Join {
                lots: &lots,
                to: Some(place),
                at,
                note: None,
            })?
            .notices
        }
        Kind::Count => {
            desk.count(&Count {
                lot: &lot,
                found: wet,
                at,
                note: None,
            })?
            .notices
        }
        Kind::NoteTickets => {
            let says = TicketSays {
                keep_until: act.whole.then_some(at),
                usable: act.whole,
            };
            desk.note_tickets(&[(codes[act.lot % codes.len()], says)])?;
            Vec::new()
        }
        Kind::Warm => probe(desk, Found::Temperature(celsius(30)))?,
        Kind::Cold => probe(desk, Found::Temperature(celsius(3)))?,
        Kind::Activity => {
            let activity = if act.whole { "0.5" } else { "0.95" };
            probe(desk, Found::Activity(activity.parse()?))?
        }
        Kind::Spoiled => probe(desk, Found::Spoiled("mould"))?,
        Kind::Cooled => probe(desk, Found::Cooled("the brewer"))?,
        Kind::Test => {
            let test = laboratory();
            desk.record_test(&RecordTest {
                lot: &lot,
                test: &test,
                method: None,
                at: Some(at),
                is_new_dish: false,
            })?
            .notices
        }
        Kind::AddPlace | Kind::ChangePlace => {
            let request = StatePlace {
                depth: None,
                probe: None,
                name: if act.kind == Kind::AddPlace {
                    "cellar"
                } else {
                    place
                },
                kind: Some(if act.whole {
                    place_kind
                } else {
                    PLACES[act.other % 3].1
                }),
                temp: None,
                capacity: None,
                from: at,
            };
            match act.kind {
                Kind::AddPlace => desk.add_place(&request)?.notices,
                _ => desk.change_place(&request)?.notices,
            }
        }
        Kind::Readings => {
            let warmth = if act.whole { 3_000 } else { 25_000 };
            let minutes = |minutes| at + chrono::Duration::minutes(minutes);
            let readings: Vec<(Instant, i32)> = (0..30)
                .map(|step| (minutes(step * 10 - 300), warmth))
                .collect();
            let readings = NewReadings {
                scale: Scale::Celsius,
                name: "logger.csv",
                readings: &readings,
            };
            desk.take_readings(&LoggedAir {
                place,
                readings,
                empty: 0,
                left_out: &[],
            })?
            .notices
        }
        Kind::AddBake => {
            let request = AddBake {
                formula: "small loaf",
                at: soon,
                wishes: &of_lots,
            };
            desk.add_bake(&request)?.notices
        }
        Kind::ChangeBake => {
            let request = ChangeBake {
                bake: &bake,
                at: act.whole.then_some(soon),
                version: None,
                any_lot: act.grams % 3 == 0,
                wishes: &of_lots,
            };
            desk.change_bake(&request)?.notices
        }
        Kind::DropBake => desk.drop_bake(&bake, None)?.notices,
        Kind::FinishBake => {
            let used = [(lot.clone(), wet)];
            desk.finish_bake(&finish(&used))?.notices
        }
        Kind::FinishAsPlanned => desk.finish_bake(&finish(&[]))?.notices,
        Kind::Accept => {
            let mut plan = desk.plan(plan_of(!act.whole), &mut Patient)?;
            desk.accept_plan(&mut plan.answer)?;
            plan.notices
        }
        Kind::Set => desk.set(Setting::Tap, "11C")?.notices,
        Kind::AddFormula => {
            let newer = LOAF.replace("68%", "70%");
            desk.add_formula(&newer)?.notices
        }
        Kind::Give => {
            desk.give(&Give {
                lot: &lot,
                wet: some,
                to: "the café",
                at,
            })?
            .notices
        }
        Kind::ClosePlace => desk.close_place(place, at)?.notices,
        Kind::RenameSource => {
            desk.rename_source("Alder Lane", "Alder Yard", false)?
                .notices
        }
        Kind::MergeSource => desk.merge_source("Corrie Mill", "Alder Lane")?.notices,
        Kind::CorrectPickup => {
            let right = Correction {
                mash_out: Some(Some(at)),
                wet: some,
                ..Correction::default()
            };
            correct(desk, act.entry, right)?
        }
        Kind::Correct => {
            let right = match act.step {
                0 => Correction {
                    lot: Some(&other),
                    ..Correction::default()
                },
                1 => Correction {
                    at: Some(at),
                    ..Correction::default()
                },
                2 => Correction {
                    temp: Some(celsius(4)),
                    ..Correction::default()
                },
                _ => Correction {
                    wet: Some(wet),
                    ..Correction::default()
                },
            };
            correct(desk, act.entry, right)?
        }
        Kind::Strike => {
            desk.strike(&Strike {
                entries: &[act.entry],
                reason: "wrong",
            })?
            .notices
        }
    })
}

fn correct(desk: &mut Desk, entry: i64, right: Correction<'_>) -> anyhow::Result<Vec<Notice>> {
    let request = Correct {
        entry,
        right,
        reason: "wrong",
    };
    Ok(desk.correct(&request)?.notices)
}

/// What the book says at a moment.
struct Seen {
    lots: Vec<LotAnswer>,
    promised: Vec<PromisedGrain>,
    /// Every draw for a bake: lot, moment, how much.
    draws: Vec<(LotCode, Instant, Milligrams)>,
}

fn see(bakery: &Bakery, now: Instant) -> Seen {
    let desk = bakery.desk_at(now);
    let shelf = desk.shelf().unwrap().answer;
    let usage = desk.usage(UsageOf::default()).unwrap().answer;
    let usage = usage.lines().all().unwrap();
    let draws = usage.iter().filter(|line| line.bake().is_some());
    Seen {
        lots: shelf.lots,
        promised: shelf.promised,
        draws: draws
            .map(|line| (line.record.lot.code, line.record.at, line.record.wet))
            .collect(),
    }
}

impl Seen {
    fn verdicts(&self) -> BTreeMap<LotCode, Verdict> {
        self.lots
            .iter()
            .map(|lot| (lot.lot.code, lot.keeping.verdict))
            .collect()
    }

    fn past(&self) -> BTreeSet<LotCode> {
        let verdicts = self.verdicts().into_iter();
        verdicts
            .filter(|(_, verdict)| *verdict == Verdict::Past)
            .map(|(lot, _)| lot)
            .collect()
    }

    /// How much bakes lack of what they were promised of a lot.
    fn lacking(&self) -> BTreeMap<(LotCode, String), i64> {
        let mut sums = BTreeMap::new();
        for one in &self.promised {
            *sums.entry((one.named, one.bake.to_string())).or_insert(0) += one.missing.get();
        }
        sums
    }
}

/// Whether grain of a lot could go into a dough at a moment, by what is known now; nothing of a lot that is used up.
fn could_be_used(seen: &Seen, lot: LotCode, moment: Instant) -> Option<bool> {
    let found = seen.lots.iter().find(|found| found.lot.code == lot)?;
    let keeping = &found.keeping;
    let is_before = |end: Option<Instant>| end.is_some_and(|end| moment <= end);
    Some(match keeping.verdict {
        Verdict::Good | Verdict::UseFirst => true,
        Verdict::Unknown => is_before(keeping.unknown_after),
        Verdict::Past => {
            is_before(keeping.keep_until) && keeping.unknown_after.is_none_or(|end| moment <= end)
        }
    })
}

/// Tries one act and checks all that the guard promises.
fn check(bakery: &Bakery, act: &Try) -> Result<bool, TestCaseError> {
    let now = at(NOW);
    let before = see(bakery, now);
    let codes = nameable(&before.lots);
    let tables = bakery.tables();
    let outcome = perform(&mut bakery.desk(NOW), act, &codes);
    let told = match outcome {
        Err(refused) => {
            prop_assert!(tables == bakery.tables(), "a refusal wrote: {act:?}");
            refusals::check_words(&refused);
            return Ok(false);
        }
        Ok(told) => told,
    };
    let after = see(bakery, now);

    let mut new_draws = after.draws.clone();
    for draw in &before.draws {
        if let Some(place) = new_draws.iter().position(|one| one == draw) {
            new_draws.remove(place);
        }
    }
    for (lot, moment, _) in new_draws {
        // What people got is put right as it was, or booked as the book of that time would have, and told where they should
        // not have got it.
        let is_told = told.iter().any(|notice| {
            matches!(notice, Notice::UsedWhenUnusable(draw) if draw.lot == lot && draw.at == moment)
        });
        let is_right = match act.kind {
            Kind::Correct => could_be_used(&before, lot, moment) != Some(false) || is_told,
            _ => could_be_used(&before, lot, moment) == Some(true) || (is_told && moment < now),
        };
        prop_assert!(is_right, "{lot} was drawn: {act:?}");
    }
    let lot = codes[act.lot % codes.len()];
    let other = codes[act.other % codes.len()];
    let at = now - chrono::Duration::hours(act.hours);
    let joined: &[LotCode] = match act.kind {
        Kind::Join => &[lot, other],
        Kind::TreatInto => &[other],
        _ => &[],
    };
    for lot in joined {
        let was_usable = could_be_used(&before, *lot, at) == Some(true);
        prop_assert!(was_usable, "{lot} was joined: {act:?}");
    }
    let is_about_a_lot = matches!(
        act.kind,
        Kind::Use
            | Kind::Give
            | Kind::Discard
            | Kind::Move
            | Kind::Treat
            | Kind::TreatInto
            | Kind::Portion
            | Kind::Join
            | Kind::Count
            | Kind::Warm
            | Kind::Cold
            | Kind::Activity
            | Kind::Spoiled
            | Kind::Cooled
            | Kind::Test
            | Kind::FinishBake
            | Kind::AddBake
    );
    let struck = STOCKED.struck;
    // Whoever strikes the strike brings it back.
    let is_struck = !before.verdicts().contains_key(&struck);
    prop_assert!(
        !is_about_a_lot || lot != struck || !is_struck,
        "struck grain was used: {act:?}"
    );
    prop_assert!(
        !is_struck || act.kind == Kind::Strike || !after.verdicts().contains_key(&struck),
        "struck grain came back: {act:?}"
    );

    // A strike and a correction put a history right, with the reason.
    if !corrects(act.kind) {
        stays_past(bakery, &before, &after, act)?;
    }
    told_of_promises(&before, &after, &told, act)?;
    Ok(true)
}

fn corrects(kind: Kind) -> bool {
    matches!(kind, Kind::Strike | Kind::CorrectPickup | Kind::Correct)
}

/// What was past is past, and so is what was made of it.
fn stays_past(
    bakery: &Bakery,
    before: &Seen,
    after: &Seen,
    act: &Try,
) -> Result<(), TestCaseError> {
    let past = before.past();
    let desk = bakery.desk(NOW);
    for (lot, verdict) in after.verdicts() {
        let was_past = past.contains(&lot);
        let is_new = !before.verdicts().contains_key(&lot);
        let made_of_past = is_new && {
            let trace = desk.trace(&lot.to_string()).unwrap().answer;
            let back = trace.back().all().unwrap();
            back.iter().any(|one| past.contains(&one.lot.code))
        };
        if was_past || made_of_past {
            prop_assert_eq!(verdict, Verdict::Past, "{} is past no more: {:?}", lot, act);
        }
    }
    Ok(())
}

/// What bakes lack more than before is told, to the milligram, and nothing else is.
fn told_of_promises(
    before: &Seen,
    after: &Seen,
    told: &[Notice],
    act: &Try,
) -> Result<(), TestCaseError> {
    if matches!(act.kind, Kind::Accept) {
        // Another plan promises anew.
        return Ok(());
    }
    let earlier = before.lacking();
    let wanted: BTreeMap<(LotCode, String), i64> = after
        .lacking()
        .into_iter()
        .filter(|(of, lacks)| lacks > earlier.get(of).unwrap_or(&0))
        .collect();
    let mut found = BTreeMap::new();
    for notice in told {
        if let Notice::PromisedGrainGone { lot, bakes } = notice {
            for (bake, lacks) in bakes {
                found.insert((*lot, bake.to_string()), lacks.get());
            }
        }
    }
    prop_assert_eq!(found, wanted, "{:?}", act);
    Ok(())
}

/// Each act on each lot, today and at moments before, as a whole and of a part.
#[test]
fn no_single_act_gets_round_the_guard() {
    let (mut done, mut refused) = (0, 0);
    for kind in KINDS {
        for lot in 0..STOCKED.lots.len() {
            for (hours, whole) in [(1, true), (1, false), (100, false), (220, false)] {
                let act = Try {
                    kind,
                    lot,
                    other: lot + 1,
                    hours,
                    grams: 500,
                    place: 1,
                    step: lot % Step::ALL.len(),
                    whole,
                    entry: 1 + lot as i64,
                };
                let bakery = Bakery::with_copy_of(&STOCKED.book);
                match check(&bakery, &act).unwrap() {
                    true => done += 1,
                    false => refused += 1,
                }
            }
        }
    }
    assert!(
        done > 200 && refused > 200,
        "{done} done, {refused} refused"
    );
}

fn cases() -> u32 {
    if std::env::var_os("DRAFF_LONG").is_some() {
        4_000
    } else {
        64
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_acts_one_after_the_other_get_round_the_guard(acts in prop::collection::vec(tries(), 1..8)) {
        let bakery = Bakery::with_copy_of(&STOCKED.book);
        for act in &acts {
            check(&bakery, act)?;
        }
    }
}

/// Whoever adds an act to the desk adds it here too.
#[test]
fn every_act_of_the_desk_is_tried() {
    let tried = include_str!("guard.rs");
    let mut acts = 0;
    for folder in ["src/desk/acts", "src/desk/questions"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for file in std::fs::read_dir(folder).unwrap() {
            let path = file.unwrap().path();
            let text = if path.is_file() {
                std::fs::read_to_string(&path).unwrap()
            } else {
                continue;
            };
            for rest in text.split("pub fn ").skip(1) {
                let (name, arguments) = rest.split_once('(').unwrap();
                if arguments.trim_start().starts_with("&mut self") {
                    acts += 1;
                    assert!(
                        tried.contains(&format!("desk.{name}(")),
                        "{name} is not tried"
                    );
                }
            }
        }
    }
    assert!(acts >= 20, "acts were found: {acts}");
}
