//! When a hot-hold speaks for the time between two hot readings of the grain.

use super::*;

const fn stated(celsius: i32) -> (PlaceKind, Temperature) {
    (PlaceKind::HotHold, Temperature::celsius(celsius))
}

fn placed(celsius: i32) -> What {
    let (kind, stated) = stated(celsius);
    What::Placed { kind, stated }
}

fn put_back(celsius: i32) -> What {
    let (kind, stated) = stated(celsius);
    What::PutBack { kind, stated }
}

fn restated(celsius: i32) -> What {
    let (kind, stated) = stated(celsius);
    What::Restated { kind, stated }
}

/// Grain that was read hot when it came into a hot-hold after an hour, and nine hours later, with this in between.
fn held(between: Vec<(i64, What)>) -> History {
    let mut events = vec![(60, read(64)), (60, placed(65)), (600, read(64))];
    events.extend(between);
    history(events)
}

#[test]
fn a_hot_hold_speaks_across_a_part_and_a_statement_that_is_hot_enough() {
    for name in ["strict", "us-food-code", "au-2h-4h", "uk-chilled"] {
        let rules = RuleSet::from_text(RuleSet::built_in_text(name).unwrap()).unwrap();
        for between in [
            vec![],
            vec![(300, restated(66))],
            vec![(599, restated(63))],
            vec![(300, put_back(65))],
            vec![
                (200, put_back(65)),
                (300, restated(64)),
                (400, put_back(64)),
            ],
            vec![(60, put_back(65))],
        ] {
            let found = assess(&held(between.clone()), &rules, &zone(), after(600));
            let told = format!("{name}: {between:?}");
            assert_eq!(found.verdict, Verdict::Good, "{told}");
            assert_eq!(found.keep_until, Some(after(720)), "{told}");
        }
    }
}

#[test]
fn a_hot_hold_does_not_speak_for_grain_that_may_have_cooled_in_between() {
    let ambient = What::Restated {
        kind: PlaceKind::Ambient,
        stated: Temperature::celsius(65),
    };
    let worked_on = |celsius| What::Handled {
        until: after(300),
        stated: Temperature::celsius(celsius),
    };
    for between in [
        vec![(300, restated(59))],
        vec![(599, restated(59))],
        vec![(300, restated(50)), (310, restated(65))],
        vec![(300, restated(50)), (300, restated(65))],
        vec![(300, ambient), (310, restated(65))],
        vec![(300, placed(65))],
        vec![(300, fridge()), (310, placed(65))],
        vec![(300, fridge()), (300, restated(65))],
        vec![(300, put_back(65)), (310, placed(66)), (320, placed(65))],
        vec![(280, worked_on(20)), (300, put_back(65))],
        vec![(280, worked_on(65)), (300, put_back(65))],
        vec![(300, What::Watered), (300, put_back(65))],
        vec![(60, What::Watered), (60, put_back(65))],
        vec![(300, put_back(65)), (500, read(50))],
    ] {
        let found = at(&held(between.clone()), 600);
        assert_eq!(found.verdict, Verdict::Past, "{between:?}: {found:?}");
    }
    // After the last hot reading nothing of that counts.
    let later = held(vec![(600, What::Watered), (600, put_back(65))]);
    assert_eq!(at(&later, 600).verdict, Verdict::Good);
}

/// Nobody showed that the water was hot.
#[test]
fn a_hot_hold_does_not_speak_for_the_time_since_dried_grain_got_water() {
    let soaked = |read_at: i64| {
        let dry = crate::quantity::WaterActivity::new(0.3).unwrap();
        let mut tale = history(vec![
            (110, What::Cooled),
            (200, What::Activity(dry)),
            (300, What::Wetted),
            (300, What::Watered),
            (300, placed(65)),
            (read_at, read(64)),
        ]);
        tale.arrived_dried = true;
        at(&tale, read_at).verdict
    };
    assert_eq!(soaked(300 + 240), Verdict::Good);
    assert_eq!(soaked(300 + 241), Verdict::Past);
}

/// What shows hot grain to have been kept hot is for grain that was not cold in between: grain that is heated again is warm.
#[test]
fn grain_that_was_shown_cold_is_not_kept_hot_by_a_part_or_a_statement() {
    for seam in [None, Some(put_back(65)), Some(restated(66))] {
        let mut events = vec![(110, What::Cooled), (110, fridge()), (1000, placed(65))];
        events.extend([1040, 1200, 1400].map(|at| (at, read(65))));
        events.extend(seam.map(|seam| (1100, seam)));
        let tale = history(events);
        assert_eq!(at(&tale, 1240).verdict, Verdict::Past);
        assert_eq!(
            at(&tale, 1240).keep_until,
            Some(after(1240) - Duration::seconds(1))
        );
    }
}
