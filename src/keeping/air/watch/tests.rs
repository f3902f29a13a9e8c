//! The summary of a place's air, held against the clock of a lot that was there all the time.

use super::*;
use crate::keeping::{Event, History, Verdict, What, air, assess};
use crate::quantity::{Scale, Zone};
use chrono::DateTime;
use proptest::prelude::*;

fn set(name: &str) -> RuleSet {
    RuleSet::from_text(RuleSet::built_in_text(name).unwrap()).unwrap()
}

fn after(minutes: i64) -> Instant {
    DateTime::from_timestamp(1_793_610_000, 0).unwrap() + Duration::minutes(minutes)
}

fn readings(list: &[(i64, i32)]) -> Vec<(Instant, Temperature)> {
    list.iter()
        .map(|(minutes, milli)| (after(*minutes), Temperature::new(*milli, Scale::Celsius)))
        .collect()
}

fn watched(list: &[(i64, i32)], kind: PlaceKind, window: (Option<i64>, Option<i64>)) -> Watch {
    let window = (window.0.map(after), window.1.map(after));
    let settings = [(Instant::MIN_UTC, kind)];
    let air = readings(list);
    watch((&air, &[]), &air, &settings, window, &set("strict")).unwrap()
}

const ALL: (Option<i64>, Option<i64>) = (None, None);

#[test]
fn time_falls_into_kept_out_and_unknown() {
    // 4 °C, a door left open, 4 °C again; then nothing for five hours.
    let air = [
        (0, 4_000),
        (60, 4_000),
        (90, 9_000),
        (120, 4_000),
        (420, 4_000),
        (480, 3_000),
    ];
    let found = watched(&air, PlaceKind::Fridge, ALL);
    let minutes = |time: Duration| time.num_minutes();
    // The worse end of an interval holds for all of it: 60 to 90 and 90 to 120.
    assert_eq!(minutes(found.outside), 60);
    assert_eq!(minutes(found.within), 60 + 60);
    assert_eq!(minutes(found.unknown), 300);
    assert_eq!(found.gaps, [(after(120), after(420))]);
    let [excursion] = found.excursions[..] else {
        panic!("{:?}", found.excursions)
    };
    assert_eq!(
        (excursion.from, excursion.to),
        (after(60), Some(after(120)))
    );
    assert_eq!(excursion.highest.milli_celsius(), 9_000);
    // By hand: 60 min of 4, 60 min that rise to 9 and fall, 60 min from 4 to 3.
    assert!(
        (found.mean - (4.0 + 6.5 + 3.5) / 3.0).abs() < 1e-9,
        "{}",
        found.mean
    );
}

#[test]
fn a_time_is_cut_where_it_was_asked_for() {
    let air = [(0, 4_000), (60, 8_000), (120, 4_000), (180, 4_000)];
    let found = watched(&air, PlaceKind::Fridge, (Some(30), Some(150)));
    assert_eq!(
        (found.from, found.to, found.readings),
        (after(30), after(150), 2)
    );
    assert_eq!(found.outside, Duration::minutes(90));
    assert_eq!(found.excursions[0].from, after(30));
    // From 6 up to 8, down to 4, and 4: 30 min of 7, 60 min of 6, 30 min of 4.
    assert!(
        (found.mean - (7.0 + 2.0 * 6.0 + 4.0) / 4.0).abs() < 1e-9,
        "{}",
        found.mean
    );
    // Before the first and after the last reading nothing is known.
    let wide = watched(&air, PlaceKind::Fridge, (Some(-60), Some(240)));
    assert_eq!(wide.unknown, Duration::minutes(120));
    let settings = [(Instant::MIN_UTC, PlaceKind::Fridge)];
    let none = (Some(after(200)), None);
    assert_eq!(
        watch(
            (&readings(&air), &[]),
            &readings(&air),
            &settings,
            none,
            &set("strict")
        ),
        None
    );
}

#[test]
fn what_is_warm_at_the_last_reading_is_not_over() {
    let found = watched(&[(0, 4_000), (60, 9_000)], PlaceKind::Fridge, ALL);
    assert_eq!(found.excursions[0].to, None);
    let found = watched(&[(0, 9_000)], PlaceKind::Fridge, ALL);
    assert_eq!(
        (found.excursions[0].from, found.excursions[0].to),
        (after(0), None)
    );
    let over = watched(&[(0, 9_000), (60, 4_000)], PlaceKind::Fridge, ALL);
    assert_eq!(over.excursions[0].to, Some(after(60)));
}

#[test]
fn each_kind_of_place_has_its_own_limit() {
    let air = [
        (0, -18_000),
        (60, -10_000),
        (120, 4_000),
        (180, 6_000),
        (240, 70_000),
        (300, 70_000),
    ];
    let outside = |kind| watched(&air, kind, ALL).outside.num_minutes();
    assert_eq!(outside(PlaceKind::Freezer), 300);
    assert_eq!(outside(PlaceKind::Fridge), 180);
    assert_eq!(outside(PlaceKind::HotHold), 240);
    let room = watched(&air, PlaceKind::Ambient, ALL);
    assert_eq!(room.without_limit, Duration::minutes(300));
    assert!(room.excursions.is_empty());
    // Where a text allows more cold than its day count does, dates are lost from there on.
    let AirLimit::AtMost(limit) = set("uk-chilled").air_limit(PlaceKind::Fridge).unwrap() else {
        panic!("a fridge has an upper limit")
    };
    assert_eq!(limit.in_celsius(), Temperature::celsius(5));
}

#[test]
fn a_place_that_is_stated_anew_is_something_else_from_then_on() {
    let air = readings(&[(0, -3_000), (60, -3_000), (120, -3_000)]);
    let settings = [
        (Instant::MIN_UTC, PlaceKind::Freezer),
        (after(90), PlaceKind::Fridge),
    ];
    let found = watch((&air, &[]), &air, &settings, (None, None), &set("strict")).unwrap();
    assert_eq!(found.outside, Duration::minutes(90));
    assert_eq!(found.within, Duration::minutes(30));
    assert_eq!(found.excursions[0].to, Some(after(90)));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    /// What the summary calls out of limit is what the clock of a lot counts as warm, to the minute.
    #[test]
    fn a_lot_in_the_fridge_counts_the_same_warm_time(
        air in prop::collection::btree_map(0i64..3000, 2_000i32..9_000, 1..25),
    ) {
        let list: Vec<(i64, i32)> = air.into_iter().collect();
        let strict = set("strict");
        let found = watched(&list, PlaceKind::Fridge, ALL);
        let mut events = vec![
            Event { at: after(-60), what: What::Placed { kind: PlaceKind::Fridge, stated: Temperature::celsius(4) } },
            Event { at: after(-60), what: What::Cooled },
        ];
        let spans = air::spans(readings(&list), &strict);
        events.extend(air::during(&spans, (after(-60), None), None));
        let history = History { mash_out: Some(after(-180)), arrived_dried: false, events };
        let zone = Zone::named("Europe/Dublin").unwrap();
        let judged = assess(&history, &strict, &zone, found.to);
        prop_assert_eq!(judged.warm_minutes, found.outside.num_minutes());
        prop_assert_eq!(found.measured() + found.unknown, found.to - found.from);
        // Thought away one by one, no warm minute is left.
        let mut without = history;
        for excursion in &found.excursions {
            without = without.without_air(excursion.from, excursion.to.unwrap_or(Instant::MAX_UTC));
        }
        prop_assert_eq!(assess(&without, &strict, &zone, found.to).warm_minutes, 0);
        prop_assert!(f64::from(found.lowest.milli_celsius()) <= found.mean * 1000.0 + 1e-6);
        prop_assert!(f64::from(found.highest.milli_celsius()) >= found.mean * 1000.0 - 1e-6);
    }

    /// What a place was after grain in it was past changes neither its verdict nor its date: the summary relies on it.
    #[test]
    fn what_came_after_the_end_changes_nothing(
        air in prop::collection::btree_map(0i64..6000, prop_oneof![-20_000i32..20_000, 2_000i32..9_000], 2..30),
        kind in prop_oneof![Just((PlaceKind::Fridge, 4)), Just((PlaceKind::Freezer, -18))],
        cooled in prop::option::of(-100i64..300),
        probe in prop::option::of((0i64..6000, -5i32..15)),
        moved in prop::option::of(100i64..6000),
        later in 0i64..5 * 1440,
    ) {
        let list: Vec<(i64, i32)> = air.into_iter().collect();
        for (name, _) in crate::keeping::rules::BUILT_IN {
            let rules = set(name);
            let placed = |at, (kind, celsius)| Event {
                at: after(at),
                what: What::Placed { kind, stated: Temperature::celsius(celsius) },
            };
            let mut events = vec![placed(-120, kind)];
            events.extend(cooled.map(|at| Event { at: after(at), what: What::Cooled }));
            events.extend(probe.map(|(at, celsius)| Event { at: after(at), what: What::Read(Temperature::celsius(celsius)) }));
            events.extend(moved.map(|at| placed(at, (PlaceKind::Ambient, 20))));
            let spans = air::spans(readings(&list), &rules);
            events.extend(air::during(&spans, (after(-120), moved.map(after)), None));
            let history = History { mash_out: Some(after(-180)), arrived_dried: false, events };
            let zone = Zone::named("Europe/Dublin").unwrap();
            let judge = |history: &History| {
                let found = assess(history, &rules, &zone, after(6000 + later));
                (found.verdict, found.keep_until)
            };
            let with = judge(&history);
            let (Verdict::Past, Some(until)) = with else { continue };
            let settings = [(Instant::MIN_UTC, kind.0)];
            let air = readings(&list);
            let found = watch((&air, &[]), &air, &settings, (None, None), &rules).unwrap();
            let times = found.excursions.iter().map(|one| (one.from, one.to.unwrap_or(Instant::MAX_UTC)));
            for (from, to) in times.chain(found.gaps) {
                if until < from - Duration::seconds(1) {
                    prop_assert_eq!(judge(&history.without_air(from, to)), with, "{}", name);
                }
            }
        }
    }
}
