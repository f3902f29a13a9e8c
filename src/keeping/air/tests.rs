//! What a logger's readings of the air may do to a verdict, and what they may not.

use super::*;
use crate::keeping::{
    Advice, Assessment, PlaceKind, Verdict, assess, assess_all, rules, usable_through,
};
use crate::quantity::{Scale, Zone};
use chrono::DateTime;
use proptest::prelude::*;

fn set(name: &str) -> RuleSet {
    RuleSet::from_text(RuleSet::built_in_text(name).unwrap()).unwrap()
}

/// Minutes after mash-out, which is Monday 2 November 2026, 09:00 in Dublin.
fn after(minutes: i64) -> Instant {
    DateTime::from_timestamp(1_793_610_000, 0).unwrap() + Duration::minutes(minutes)
}

fn thousandths(milli: i32) -> Temperature {
    Temperature::new(milli, Scale::Celsius)
}

fn readings(list: &[(i64, i32)]) -> Vec<(Instant, Temperature)> {
    let mut found: Vec<_> = list
        .iter()
        .map(|(minutes, milli)| (after(*minutes), thousandths(*milli)))
        .collect();
    found.sort_by_key(|(at, _)| *at);
    found
}

fn event(minutes: i64, what: What) -> Event {
    Event {
        at: after(minutes),
        what,
    }
}

fn placed(minutes: i64, kind: PlaceKind, celsius: i32) -> Event {
    event(
        minutes,
        What::Placed {
            kind,
            stated: Temperature::celsius(celsius),
        },
    )
}

/// In a place from the second hour on, with readings of its air.
fn kept(place: Event, cooled: Option<i64>, air: &[(i64, i32)], rules: &RuleSet) -> History {
    let mut events = vec![place.clone()];
    events.extend(cooled.map(|at| event(at, What::Cooled)));
    events.extend(during(&spans(readings(air), rules), (place.at, None), None));
    History {
        mash_out: Some(after(0)),
        arrived_dried: false,
        events,
    }
}

fn look(history: &History, rules: &RuleSet, minutes: i64) -> Assessment {
    assess(
        history,
        rules,
        &Zone::named("Europe/Dublin").unwrap(),
        after(minutes),
    )
}

/// A fridge that states 4 °C and holds grain that was cold after two hours.
fn in_the_fridge(air: &[(i64, i32)]) -> History {
    kept(
        placed(120, PlaceKind::Fridge, 4),
        Some(120),
        air,
        &set("strict"),
    )
}

#[test]
fn measured_air_stands_in_for_the_stated_temperature() {
    let strict = set("strict");
    let cold = in_the_fridge(&[(100, 3_000), (300, 4_000), (500, 3_500)]);
    assert_eq!(look(&cold, &strict, 600).verdict, Verdict::Good);
    // A place stated too warm, shown to be cold: no warm minute while it is measured.
    let counter = placed(120, PlaceKind::Ambient, 20);
    let measured = kept(
        counter,
        Some(120),
        &[(100, 3_000), (300, 4_000), (500, 4_000)],
        &strict,
    );
    assert_eq!(look(&measured, &strict, 500).warm_minutes, 0);
    // After the last reading the place is as stated again.
    assert_eq!(look(&measured, &strict, 560).warm_minutes, 60);
}

#[test]
fn warm_air_counts_from_the_reading_before_to_the_one_after() {
    let strict = set("strict");
    let door = in_the_fridge(&[(200, 4_000), (210, 9_000), (220, 4_000), (400, 4_000)]);
    assert_eq!(look(&door, &strict, 500).warm_minutes, 20);
    let broken = in_the_fridge(&[(200, 4_000), (300, 9_000), (500, 9_500), (600, 4_000)]);
    let found = look(&broken, &strict, 700);
    assert_eq!((found.verdict, found.warm_minutes), (Verdict::Past, 400));
}

/// Only measured time makes a lot past. What a last reading says of the time after it shortens the time left, and
/// once two readings may lie no further apart, it is not known.
#[test]
fn the_last_reading_does_not_count_for_ever() {
    let strict = set("strict");
    let day = 1440;
    let left = in_the_fridge(&[(200, 4_000), (300, 9_000)]);
    let soon = look(&left, &strict, 301);
    assert_eq!(
        soon.keep_until,
        Some(after(200 + 240) - Duration::seconds(1))
    );
    assert_eq!(look(&left, &strict, 200 + 239).verdict, Verdict::UseFirst);
    for later in [200 + 240, 300 + 241, 3 * day] {
        let found = look(&left, &strict, later);
        assert_eq!(found.verdict, Verdict::Unknown, "{later}");
        let asked = Some(Advice::ReadInLogger {
            cold_by: None,
            good_until: None,
        });
        assert_eq!(found.advice, asked, "{later}");
    }
    // A file that covers the time tells.
    let covered = in_the_fridge(&[(200, 4_000), (300, 9_000), (310, 4_000), (500, 4_000)]);
    let found = look(&covered, &strict, 600);
    assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 110));
    // A thermometer in the grain soon after makes all the time since that reading warm, and ends it.
    let probed = |minutes: i64, degrees: i32| {
        let mut history = left.clone();
        let read = What::Read(Temperature::celsius(degrees));
        history.events.push(event(minutes, read));
        history
    };
    let found = look(&probed(310, 4), &strict, 2 * day);
    assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 110));
    assert_eq!(look(&probed(460, 4), &strict, 461).verdict, Verdict::Past);
    // Later it clears nothing, and a word never does.
    assert_eq!(
        look(&probed(541, 4), &strict, 2 * day).verdict,
        Verdict::Unknown
    );
    let mut told = left.clone();
    told.events.push(event(310, What::Cooled));
    assert_eq!(look(&told, &strict, 2 * day).verdict, Verdict::Unknown);
    // Stating the place anew is no measurement.
    let mut stated = left.clone();
    stated.events.push(event(
        310,
        What::Restated {
            kind: PlaceKind::Fridge,
            stated: Temperature::celsius(3),
        },
    ));
    assert_eq!(look(&stated, &strict, 2 * day).verdict, Verdict::Unknown);
}

#[test]
fn after_a_cold_last_reading_the_place_counts_as_stated() {
    let strict = set("strict");
    let left = in_the_fridge(&[(200, 4_000), (300, 4_500)]);
    let found = look(&left, &strict, 2 * 1440);
    assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 0));
    assert_eq!(found.unmeasured_since, Some(after(300)));
    assert_eq!(look(&left, &strict, 400).unmeasured_since, None);
}

/// A place that is stated to be warm is warm without a logger too, and measuring it makes it no better.
#[test]
fn a_warm_place_stays_warm_after_its_last_reading() {
    let strict = set("strict");
    let counter = placed(300, PlaceKind::Ambient, 20);
    let history = kept(counter, Some(120), &[(300, 20_000), (310, 20_000)], &strict);
    assert_eq!(look(&history, &strict, 300 + 241).verdict, Verdict::Past);
}

/// A place that is stated to be hot holds no grain hot that was shown cold: it is warm there, with a logger or without, and has
/// one end at whatever moment somebody asks.
#[test]
fn a_place_that_is_stated_to_be_hot_is_warm_for_cold_grain_after_its_last_reading() {
    let strict = set("strict");
    for (kind, celsius) in [
        (PlaceKind::HotHold, 65),
        (PlaceKind::HotHold, 60),
        (PlaceKind::HotHold, 50),
        (PlaceKind::Ambient, 65),
        (PlaceKind::Fridge, 65),
    ] {
        for (air, over) in [
            (vec![], 1000 + 240),
            (vec![(1020, 30_000), (1050, 30_000)], 1000 + 240),
            (vec![(1020, 4_000), (1050, 4_000)], 1050 + 220),
        ] {
            let history = kept(placed(1000, kind, celsius), Some(120), &air, &strict);
            let last = after(over) - Duration::seconds(1);
            for minutes in [1060, over - 1, over, 1289, 1290, 1291, 1530, 3000] {
                let found = look(&history, &strict, minutes);
                let told = format!("{kind} {celsius} {air:?} {minutes}: {found:?}");
                assert_eq!(found.verdict == Verdict::Past, minutes >= over, "{told}");
                assert_ne!(found.verdict, Verdict::Unknown, "{told}");
                assert_eq!(found.keep_until, Some(last), "{told}");
            }
        }
    }
}

/// Also where it is stated to be warm only after the last reading, by which its grain is unknown or a freezer thawed.
#[test]
fn a_place_that_is_stated_to_be_warm_after_its_last_reading_makes_grain_past() {
    let strict = set("strict");
    for (place, air) in [
        (
            placed(300, PlaceKind::Fridge, 4),
            [(400, 4_000), (420, 9_000)],
        ),
        (
            placed(300, PlaceKind::Freezer, -18),
            [(400, -12_000), (420, -12_000)],
        ),
    ] {
        let history = kept(place, Some(120), &air, &strict);
        for stated_at in [430, 659, 660, 661, 900] {
            for (kind, celsius) in [
                (PlaceKind::Ambient, 20),
                (PlaceKind::Ambient, 65),
                (PlaceKind::HotHold, 65),
            ] {
                let mut warm = history.clone();
                let stated = Temperature::celsius(celsius);
                warm.events
                    .push(event(stated_at, What::Restated { kind, stated }));
                let found = look(&warm, &strict, stated_at + 240);
                let told = format!("{kind} {celsius} from {stated_at}: {found:?}");
                assert_eq!(found.verdict, Verdict::Past, "{told}");
            }
        }
    }
}

#[test]
fn a_lot_that_came_later_counts_as_in_a_place_without_a_logger() {
    let strict = set("strict");
    let air = [(200, 4_000), (300, 5_400)];
    let later = kept(placed(600, PlaceKind::Fridge, 4), Some(120), &air, &strict);
    let found = look(&later, &strict, 2 * 1440);
    assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 0));
    // One that came within the gap was not there at the last reading: warm as it may be, that is all.
    let soon = kept(placed(400, PlaceKind::Fridge, 4), Some(120), &air, &strict);
    let found = look(&soon, &strict, 410);
    assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 10));
}

#[test]
fn moving_on_ends_the_last_reading() {
    let strict = set("strict");
    let mut events = vec![placed(120, PlaceKind::Fridge, 4), event(120, What::Cooled)];
    let air = spans(readings(&[(250, 4_000), (300, 5_400)]), &strict);
    events.extend(during(&air, (after(120), Some(after(330))), None));
    events.push(placed(330, PlaceKind::Fridge, 3));
    let history = History {
        mash_out: Some(after(0)),
        arrived_dried: false,
        events,
    };
    let found = look(&history, &strict, 2 * 1440);
    assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 80));
    // So does what a plan would do with it.
    let left = in_the_fridge(&[(200, 4_000), (300, 5_400)]);
    let kind = PlaceKind::Freezer;
    let frozen = left.then(
        after(330),
        What::Placed {
            kind,
            stated: Temperature::celsius(-18),
        },
    );
    assert!(look(&frozen, &strict, 2 * 1440).frozen);
}

#[test]
fn a_gap_is_unknown_and_never_cold() {
    let strict = set("strict");
    let whole = in_the_fridge(&[(120, 4_000), (360, 4_000)]);
    assert_eq!(look(&whole, &strict, 400).verdict, Verdict::Good);
    let gap = in_the_fridge(&[(120, 4_000), (361, 4_000)]);
    let found = look(&gap, &strict, 400);
    assert_eq!((found.verdict, found.keep_until), (Verdict::Unknown, None));
    assert!(
        found
            .binding
            .limit
            .contains("more than 4 h between two readings")
    );
    // A thermometer in the grain at both ends of it speaks for the time between.
    let mut probed = gap.clone();
    let read = What::Read(Temperature::celsius(4));
    probed
        .events
        .extend([130, 350].map(|at| event(at, read.clone())));
    assert_eq!(
        look(&probed, &strict, 400).verdict,
        Verdict::Unknown,
        "the ends are open"
    );
    probed
        .events
        .extend([120, 361].map(|at| event(at, read.clone())));
    assert_eq!(look(&probed, &strict, 400).verdict, Verdict::Good);
}

#[test]
fn a_freezer_that_warms_up_lets_its_days_run() {
    let strict = set("strict");
    let freezer = |air: &[(i64, i32)]| {
        let mut history = kept(
            placed(300, PlaceKind::Freezer, -18),
            Some(120),
            air,
            &strict,
        );
        history.events.insert(0, placed(120, PlaceKind::Fridge, 4));
        history
    };
    let hours = |from: i64, to: i64, milli: i32| (from..=to).map(move |hour| (hour * 60, milli));
    let held: Vec<_> = hours(5, 480, -18_000).collect();
    assert!(look(&freezer(&held), &strict, 20 * 1440).frozen);
    let failed: Vec<_> = hours(5, 100, -18_000)
        .chain(hours(101, 300, -3_000))
        .chain(hours(301, 480, -18_000))
        .collect();
    assert_eq!(
        look(&freezer(&failed), &strict, 20 * 1440).verdict,
        Verdict::Past
    );
}

/// Grain from a freezer that was not frozen when it was measured last has the date of thawed grain, until a reading
/// shows it frozen. Its days make nothing past that nobody measured: a file that covers the time may show it frozen.
#[test]
fn a_freezer_that_was_warm_at_its_last_reading_lets_its_days_run() {
    let strict = set("strict");
    let hours = |from: i64, to: i64, milli: i32| (from..=to).map(move |hour| (hour * 60, milli));
    let last = 96 * 60;
    let freezer = |entered: i64, more: &[(i64, i32)], milli: i32| {
        let mut air: Vec<_> = hours(5, 96, milli).collect();
        air.extend(more);
        let place = placed(entered, PlaceKind::Freezer, -18);
        let mut history = kept(place, Some(120), &air, &strict);
        history.events.insert(0, placed(120, PlaceKind::Fridge, 4));
        history
    };
    // Day 7 ends on Sunday 8 November.
    let over = 7 * 1440 - 540;
    let until = Some(after(over) - Duration::seconds(1));
    for (entered, milli) in [(300, -12_000), (300, -14_900), (last + 60, -12_000)] {
        let left = freezer(entered, &[], milli);
        for minutes in [last + 61, last + 239, last + 241, over - 1] {
            let found = look(&left, &strict, minutes);
            assert!(found.verdict.may_be_used() && !found.frozen, "{minutes}");
            assert_eq!(found.keep_until, until, "{minutes}");
            let asked = Some(Advice::ReadInLogger {
                cold_by: None,
                good_until: until,
            });
            assert_eq!(found.advice, asked, "{minutes}");
        }
        assert_eq!(look(&left, &strict, over).verdict, Verdict::Unknown);
        assert_eq!(look(&left, &strict, 20 * 1440).verdict, Verdict::Unknown);
    }
    let read = |minutes: i64, celsius: i32| {
        let mut history = freezer(300, &[], -12_000);
        let read = What::Read(Temperature::celsius(celsius));
        history.events.push(event(minutes, read));
        look(&history, &strict, 20 * 1440)
    };
    assert!(read(last + 60, -18).frozen);
    assert_eq!(read(last + 60, -10).verdict, Verdict::Past);
    assert!(read(last + 300, -18).verdict.may_be_used());
    assert_eq!(read(over + 60, -18).verdict, Verdict::Unknown);
    let covered = |milli: i32| {
        let more: Vec<_> = hours(97, 480, milli).collect();
        look(&freezer(300, &more, -12_000), &strict, 20 * 1440)
    };
    assert!(covered(-18_000).frozen && covered(-18_000).verdict.may_be_used());
    assert_eq!(covered(-12_000).verdict, Verdict::Past);
}

/// A logger in the grain reads the grain: what a thermometer shows later speaks for the time since its last reading.
#[test]
fn readings_in_the_grain_stand_between_two_thermometers() {
    let strict = set("strict");
    let last = 3 * 1440;
    let air: Vec<(i64, i32)> = (40..=last / 5).map(|step| (step * 5, 3_500)).collect();
    let probed = |in_the_grain: bool, first: i64, warm_at: i64| {
        let mut history = in_the_fridge(&air);
        for event in &mut history.events {
            if let What::Air { in_grain, .. } = &mut event.what {
                *in_grain = in_the_grain;
            }
        }
        for (at, milli) in [(first, 4_000), (warm_at, 5_400)] {
            let read = What::Read(thousandths(milli));
            history.events.push(event(at, read));
        }
        look(&history, &strict, warm_at)
    };
    for first in [205, last - 180] {
        let found = probed(true, first, last + 2);
        assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 2));
    }
    assert_eq!(probed(false, 205, last + 2).verdict, Verdict::Past);
    // Among its readings they are put together for up to an hour.
    let among = probed(true, 205, last - 2);
    assert!((1..=60).contains(&among.warm_minutes), "{among:?}");
}

/// A lot that is warm by its last reading is measured before it is given up, as long as a cold reading saves it.
#[test]
fn a_warm_last_reading_asks_for_a_thermometer_while_that_helps() {
    let strict = set("strict");
    let left = in_the_fridge(&[(200, 4_000), (300, 5_400)]);
    let zone = Zone::named("Europe/Dublin").unwrap();
    let asked = |minutes: i64| {
        assess_all(std::slice::from_ref(&left), &strict, &zone, after(minutes)).advice
    };
    let second = Duration::seconds(1);
    let cold_by = (strict.cold.limit, after(200 + 120) - second);
    let good_until = Some(after(200 + 240) - second);
    for (minutes, cold_by) in [(310, Some(cold_by)), (321, None)] {
        let expected = Some(Advice::ReadInLogger {
            cold_by,
            good_until,
        });
        assert_eq!(asked(minutes), expected, "{minutes}");
    }
    // What can be shown of it is no help to grain that is out of days by then.
    let strict_days = 7 * 1440 - 540;
    let old = in_the_fridge(&[(strict_days - 200, 4_000), (strict_days - 100, 5_400)]);
    let found = assess_all(&[old], &strict, &zone, after(strict_days - 90));
    assert_eq!(found.advice, None);
}

/// Less than two hours, and those by a last reading alone: nothing forbids that it lies in the cold.
#[test]
fn grain_that_was_not_warm_for_long_may_lie_in_the_cold() {
    let strict = set("strict");
    let air = [(200, 4_000), (300, 5_400)];
    let place = placed(430, PlaceKind::Fridge, 4);
    let found = look(&kept(place, Some(120), &air, &strict), &strict, 450);
    assert_eq!((found.verdict, found.advice), (Verdict::Good, None));
}

/// However cold the air, only a thermometer in the grain or a word shows that hot grain has cooled.
#[test]
fn cold_air_shows_no_cooling() {
    for (name, _) in rules::BUILT_IN {
        let rules = set(name);
        let air: Vec<(i64, i32)> = (0..200).map(|step| (step * 10, 1_000)).collect();
        let history = kept(placed(20, PlaceKind::Fridge, 4), None, &air, &rules);
        assert_eq!(
            look(&history, &rules, 2000).verdict,
            Verdict::Unknown,
            "{name}"
        );
    }
}

/// The published cooling cases of grain in a tub (Food Code 3-501.14, FSANZ 3.2.2): the same figures as
/// readings of the air prove nothing, neither in time nor too late.
#[test]
fn cooling_cases_are_about_grain_and_not_about_air() {
    let strict = set("strict");
    for case in [
        [(0, 57_000), (115, 21_000), (355, 5_000)],
        [(0, 57_000), (130, 21_000), (355, 5_000)],
        [(0, 57_000), (90, 21_000), (365, 5_000)],
    ] {
        let history = kept(placed(0, PlaceKind::Fridge, 4), None, &case, &strict);
        assert_eq!(look(&history, &strict, 400).verdict, Verdict::Unknown);
    }
}

#[test]
fn hot_holding_air_that_was_not_hot_breaks_it() {
    let strict = set("strict");
    let read = What::Read(Temperature::celsius(64));
    let hot = |air: &[(i64, i32)]| {
        let mut history = kept(placed(60, PlaceKind::HotHold, 65), None, air, &strict);
        history
            .events
            .extend([60, 600].map(|at| event(at, read.clone())));
        look(&history, &strict, 600).verdict
    };
    let held: Vec<(i64, i32)> = (0..=20).map(|step| (step * 30, 65_000)).collect();
    assert_eq!(hot(&held), Verdict::Good);
    let mut cold = held.clone();
    cold[10].1 = 40_000;
    assert!(!hot(&cold).may_be_used());
    // Hot air makes no grain hot.
    let unread = kept(placed(60, PlaceKind::HotHold, 65), None, &held, &strict);
    assert_eq!(look(&unread, &strict, 600).verdict, Verdict::Unknown);
}

/// Nobody knows whether grain stayed hot in a gap: it is past only by what was measured.
#[test]
fn a_gap_in_hot_holding_air_leaves_the_grain_unknown_and_proves_no_failed_cooling() {
    let strict = set("strict");
    let look_at = |air: &[(i64, i32)], read: &[(i64, i32)], minutes| {
        let mut history = kept(placed(60, PlaceKind::HotHold, 65), None, air, &strict);
        history.events.extend(
            read.iter()
                .map(|(at, celsius)| event(*at, What::Read(Temperature::celsius(*celsius)))),
        );
        look(&history, &strict, minutes)
    };
    let held = [(60, 64), (600, 64)];
    let gap = [(60, 66_000), (120, 66_000), (480, 66_000)];
    assert_eq!(look_at(&gap[2..], &held, 600).verdict, Verdict::Good);
    assert_eq!(look_at(&gap, &held, 180).verdict, Verdict::Good);
    for minutes in [181, 600, 900] {
        let found = look_at(&gap, &held, minutes);
        assert_eq!(found.verdict, Verdict::Unknown, "{minutes}");
        assert!(found.binding.limit.contains("between two readings"));
    }
    // Cooled in time after the gap it is still unknown, and too slow for either case it is past.
    let cooled = [(60, 64), (600, 64), (700, 20), (800, 4)];
    assert_eq!(look_at(&gap, &cooled, 900).verdict, Verdict::Unknown);
    assert_eq!(look_at(&gap[2..], &cooled, 900).verdict, Verdict::Good);
    let slow = [(60, 64), (600, 64), (780, 40)];
    let found = look_at(&gap, &slow, 780);
    assert_eq!(found.verdict, Verdict::Past);
    assert_eq!(found.keep_until, Some(after(720)));
    assert_eq!(look_at(&gap, &slow, 700).verdict, Verdict::Unknown);
    // What was measured is not taken away by a gap: air that was not hot, beside it or at its ends, and cooler grain.
    let broken = [(60, 66_000), (90, 40_000), (120, 66_000), (480, 66_000)];
    let lone = [(60, 66_000), (120, 66_000), (480, 50_000), (840, 66_000)];
    for air in [&broken, &lone] {
        assert_eq!(look_at(air, &held, 600).verdict, Verdict::Past);
    }
    let fell = [(60, 64), (300, 40), (600, 64)];
    assert_eq!(look_at(&gap, &fell, 600).verdict, Verdict::Past);
}

#[test]
fn an_excursion_can_be_thought_away() {
    let strict = set("strict");
    let broken = in_the_fridge(&[(200, 4_000), (300, 9_000), (500, 9_500), (600, 4_000)]);
    let without = broken.without_air(after(200), after(600));
    assert_eq!(look(&without, &strict, 700).verdict, Verdict::Good);
}

fn any_air() -> impl Strategy<Value = Vec<(i64, i32)>> {
    let degrees = prop_oneof![-20_000i32..30_000, 2_000i32..9_000, Just(4_000)];
    prop::collection::vec((0i64..4000, degrees), 0..20)
}

fn any_place() -> impl Strategy<Value = Event> {
    let kind = prop_oneof![
        Just((PlaceKind::Fridge, 4)),
        Just((PlaceKind::Ambient, 20)),
        Just((PlaceKind::Freezer, -18)),
    ];
    (10i64..2000, kind).prop_map(|(at, (kind, celsius))| placed(at, kind, celsius))
}

fn any_statement() -> impl Strategy<Value = (PlaceKind, i32)> {
    prop::sample::select(vec![
        (PlaceKind::Fridge, 4),
        (PlaceKind::Freezer, -18),
        (PlaceKind::Ambient, 20),
        (PlaceKind::Ambient, 65),
        (PlaceKind::HotHold, 65),
    ])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    /// Asked after the last reading, as every question to a book is: none of its readings is in the future.
    ///
    /// A reading between two that lie further apart than allowed closes the gap, however warm it is, and what
    /// was unknown may be known then. So does one after the last. There it is held against a cold reading at that
    /// very moment.
    ///
    /// One case is left out: where the text allows more cold than the day count does, grain a little too warm
    /// for the day count is unknown, and grain warmer than the text's cold may stand for some hours by it.
    #[test]
    fn more_warm_readings_never_better_a_verdict(
        air in any_air(),
        place in any_place(),
        cooled in prop::option::of(30i64..400),
        probe in prop::option::of((30i64..4000, 0i32..12)),
        (at, warm) in (0i64..4000, 8_001i32..59_999),
        later in 0i64..3 * 1440,
    ) {
        for (name, _) in rules::BUILT_IN {
            let rules = set(name);
            let judge = |air: &[(i64, i32)]| {
                let mut history = kept(place.clone(), cooled, air, &rules);
                history.events.extend(
                    probe.map(|(at, celsius)| event(at, What::Read(Temperature::celsius(celsius)))),
                );
                look(&history, &rules, 4000 + later)
            };
            let with = |milli: i32| {
                let mut more = air.clone();
                more.push((at, milli));
                judge(&more)
            };
            let last_before = air.iter().map(|(one, _)| *one).filter(|one| *one <= at).max();
            let first_after = air.iter().map(|(one, _)| *one).filter(|one| *one >= at).min();
            let closes_a_gap = last_before
                .zip(first_after)
                .is_some_and(|(one, next)| Duration::minutes(next - one) > rules.longest_gap);
            let is_newest = last_before.is_some() && first_after.is_none();
            let before = if closes_a_gap || is_newest { with(1_000) } else { judge(&air) };
            let found = with(warm);
            let too_warm_for_days = before.binding.limit.starts_with("the day count holds only");
            if name == "uk-chilled" && too_warm_for_days {
                continue;
            }
            if found.verdict.may_be_used() {
                prop_assert!(found.verdict >= before.verdict, "{name}: {before:?} became {found:?}");
                if let Some(until) = before.keep_until {
                    prop_assert!(
                        found.keep_until.is_some_and(|found| found <= until),
                        "{name}: {before:?} became {found:?}"
                    );
                }
            }
        }
    }

    /// No limit depends on the moment that somebody asks for, nor on whether the time after the last reading is over by then.
    #[test]
    fn measured_grain_may_be_used_through_one_moment_and_never_after_it(
        place in (10i64..2000, any_statement()),
        air in any_air(),
        anew in prop::option::of((2000i64..6000, any_statement())),
        probe in prop::option::of((30i64..5000, -20i32..70)),
        looks in prop::collection::vec(0i64..12 * 1440, 1..6),
    ) {
        let rules = set("strict");
        let (entered, (kind, celsius)) = place;
        let mut history = kept(placed(entered, kind, celsius), Some(120), &air, &rules);
        history.events.extend(anew.map(|(at, (kind, celsius))| {
            let stated = Temperature::celsius(celsius);
            event(at, What::Restated { kind, stated })
        }));
        history.events.extend(
            probe.map(|(at, celsius)| event(at, What::Read(Temperature::celsius(celsius)))),
        );
        let zone = Zone::named("Europe/Dublin").unwrap();
        let last = usable_through(std::slice::from_ref(&history), &rules, &zone);
        let ends = last.filter(|last| *last > after(0));
        let seam = air.iter().map(|(at, _)| after(*at) + rules.longest_gap).max();
        let around = ends.into_iter().chain(seam).flat_map(|at| [at, at + Duration::seconds(1)]);
        for at in looks.into_iter().map(after).chain(around) {
            let found = assess(&history, &rules, &zone, at);
            prop_assert_eq!(found.verdict.may_be_used(), last.is_none_or(|last| at <= last));
        }
    }

    #[test]
    fn readings_met_twice_change_nothing(air in any_air()) {
        let rules = set("strict");
        let twice: Vec<_> = air.iter().chain(&air).copied().collect();
        // Of two at one moment the warmer counts, so the order of a file does not matter either.
        let mut turned = twice.clone();
        turned.reverse();
        prop_assert_eq!(spans(readings(&air), &rules), spans(readings(&twice), &rules));
        prop_assert_eq!(spans(readings(&air), &rules), spans(readings(&turned), &rules));
    }

    /// Putting stretches together loses nothing that the clock could tell, and cools nothing.
    #[test]
    fn together_they_say_what_each_reading_says(air in any_air()) {
        let rules = set("strict");
        let plain = readings(&air);
        let together = spans(plain.clone(), &rules);
        for two in plain.windows(2).filter(|two| two[0].0 < two[1].0) {
            let middle = two[0].0 + (two[1].0 - two[0].0) / 2;
            let span = together
                .iter()
                .find(|span| span.from <= middle && middle < span.until)
                .unwrap();
            let ends = plain.iter().filter(|(at, _)| *at == two[0].0 || *at == two[1].0);
            let ends: Vec<Temperature> = ends.map(|(_, reading)| *reading).collect();
            match span.shown {
                Shown::Gap(_) => prop_assert!(two[1].0 - two[0].0 > rules.longest_gap),
                Shown::Last { .. } => prop_assert!(false, "the last stretch begins at the last reading"),
                Shown::Measured { coldest, warmest, .. } => {
                    prop_assert!(two[1].0 - two[0].0 <= rules.longest_gap);
                    let one = ends.iter().copied().reduce(Temperature::colder).unwrap();
                    let other = ends.iter().copied().reduce(Temperature::warmer).unwrap();
                    prop_assert!(coldest.milli_celsius() <= one.milli_celsius());
                    prop_assert!(warmest.milli_celsius() >= other.milli_celsius());
                    prop_assert!(Kept::of(one, other, &rules) == Kept::of(coldest, warmest, &rules));
                }
            }
        }
    }

    #[test]
    fn pieces_cover_the_time_once(
        air in any_air(),
        from in 0i64..4000,
        length in prop::option::of(1i64..4000),
    ) {
        let spans = spans(readings(&air), &set("strict"));
        let to = length.map(|length| after(from + length));
        let found = pieces(&spans, (after(from), to), Temperature::celsius(4), None);
        prop_assert_eq!(found[0].from, after(from));
        prop_assert_eq!(found[found.len() - 1].to, to);
        for two in found.windows(2) {
            prop_assert_eq!(two[0].to, Some(two[1].from));
        }
        for piece in &found {
            prop_assert!(piece.to.is_none_or(|to| piece.from < to));
        }
    }
}
