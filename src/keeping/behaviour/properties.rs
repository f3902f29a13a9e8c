//! Over random histories: a stricter one never gives a later date.

use super::*;
use proptest::prelude::*;

fn any_event() -> impl Strategy<Value = (i64, What)> {
    let what = prop_oneof![
        Just(fridge()),
        Just(What::Placed {
            kind: PlaceKind::Ambient,
            stated: Temperature::celsius(20)
        }),
        Just(What::Placed {
            kind: PlaceKind::Freezer,
            stated: Temperature::celsius(-18)
        }),
        (-20_000i32..70_000).prop_map(|t| What::Read(Temperature::new(t, Scale::Celsius))),
        Just(What::Cooled),
        Just(What::Dried),
        Just(What::Wetted),
        (0i64..9 * 1440, 1i32..70).prop_map(|(until, celsius)| What::Handled {
            until: after(until),
            stated: Temperature::celsius(celsius),
        }),
        (1u32..100).prop_map(|percent| {
            What::Activity(crate::quantity::WaterActivity::new(f64::from(percent) / 100.0).unwrap())
        }),
        (1u32..20).prop_map(|percent| {
            What::Moisture(crate::quantity::WetBasis::new(f64::from(percent) / 100.0).unwrap())
        }),
    ];
    (1i64..9 * 1440, what)
}

/// What can only make a history worse: grain found warm, grain found spoiled.
///
/// Readings at or above the hot limit are left out, since hot grain is no worse grain, and so are those
/// at or below the first stage's, which show that the grain is cooling.
fn worse_event() -> impl Strategy<Value = (i64, What)> {
    let what = prop_oneof![
        (21_001i32..59_999).prop_map(|t| What::Read(Temperature::new(t, Scale::Celsius))),
        Just(What::Spoiled("gas".into())),
    ];
    (1i64..9 * 1440, what)
}

/// Refused stays refused, amber does not turn green, and no date moves back.
///
/// Past may become unknown, both of which are refused: a reading that sets a word aside takes away what
/// proved the grain past, too.
fn never_better(before: &Assessment, after: &Assessment) -> Result<(), TestCaseError> {
    if after.verdict.may_be_used() {
        prop_assert!(
            after.verdict >= before.verdict,
            "{before:?} became {after:?}"
        );
        if let Some(until) = before.keep_until {
            prop_assert!(
                after.keep_until.is_some_and(|after| after <= until),
                "{before:?} became {after:?}"
            );
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn a_stricter_history_never_gives_a_later_date(
        events in prop::collection::vec(any_event(), 0..8),
        worse in worse_event(),
        look in 1i64..10 * 1440,
    ) {
        let plain = history(events.clone());
        let mut with = events;
        with.push(worse);
        let stricter = history(with);
        let (before, after) = (at(&plain, look), at(&stricter, look));
        never_better(&before, &after)?;
    }

    /// In a place that a logger measured, cold readings and moves among the warm ones.
    #[test]
    fn the_newest_warm_reading_never_gives_a_later_date(
        turns in prop::collection::vec((10i64..200, prop_oneof![Just(3), Just(9)]), 1..8),
        told in prop::collection::vec((4800i64..6000, prop_oneof![
            2 => Just(read(4)),
            2 => Just(read(9)),
            1 => Just(fridge()),
            1 => Just(What::Placed { kind: PlaceKind::Ambient, stated: Temperature::celsius(20) }),
        ]), 0..6),
        later in 1i64..600,
        look in 4800i64..8000,
    ) {
        let mut events = vec![(60, What::Cooled), (60, fridge())];
        events.extend(measured(4800, &turns));
        events.extend(told.iter().cloned());
        let newest = told.iter().filter(|(_, what)| *what == read(9)).map(|(at, _)| *at).max();
        let plain = history(events.clone());
        events.push((newest.unwrap_or(4800) + later, read(9)));
        never_better(&at(&plain, look), &at(&history(events), look))?;
    }

    /// Putting grain back where it was, and stating its place anew as it was, say nothing of how warm it is.
    #[test]
    fn going_on_in_the_same_place_never_gives_a_later_date(
        told in prop::collection::vec((61i64..1500, prop_oneof![
            3 => Just(read(4)),
            3 => (6i32..20).prop_map(read),
            1 => Just(read(-18)),
            1 => Just(fridge()),
            1 => Just(What::Placed { kind: PlaceKind::Ambient, stated: Temperature::celsius(20) }),
            1 => Just(What::Placed { kind: PlaceKind::Freezer, stated: Temperature::celsius(-18) }),
        ]), 0..8),
        seam in 61i64..1500,
        is_put_back in any::<bool>(),
        look in 61i64..12 * 1440,
    ) {
        let mut events = vec![(60, What::Cooled), (60, fridge())];
        events.extend(told);
        let places = events.iter().filter_map(|(at, what)| match what {
            What::Placed { kind, stated } if *at <= seam => Some((*at, *kind, *stated)),
            _ => None,
        });
        let (_, kind, stated) = places.max_by_key(|(at, ..)| *at).unwrap();
        let plain = history(events.clone());
        events.push((seam, if is_put_back {
            What::PutBack { kind, stated }
        } else {
            What::Restated { kind, stated }
        }));
        never_better(&at(&plain, look), &at(&history(events), look))?;
    }

    /// Whatever a logger measured before, and whatever its last reading says of the time after it.
    #[test]
    fn a_place_that_is_stated_warmer_never_gives_a_later_date(
        turns in prop::collection::vec((10i64..200, prop_oneof![Just(3), Just(9)]), 1..8),
        last in prop_oneof![Just(3), Just(9)],
        told in prop::collection::vec((4800i64..6000, prop_oneof![
            2 => Just(read(4)),
            2 => Just(read(9)),
            1 => Just(fridge()),
        ]), 0..4),
        stated_at in 4700i64..6000,
        look in 4800i64..8000,
    ) {
        let mut events = vec![(60, What::Cooled), (60, fridge())];
        events.extend(measured(4800, &turns));
        let ends: i64 = 4800 + turns.iter().map(|(minutes, _)| minutes).sum::<i64>();
        let until = ends + strict().longest_gap.num_minutes();
        events.push((ends, What::Air {
            until: after(until),
            shown: Shown::Last {
                at: after(ends),
                shown: Temperature::celsius(last),
                until: after(until),
            },
            layer: None,
            in_grain: false,
            leaves: None,
        }));
        events.extend(told);
        let plain = history(events.clone());
        events.push((stated_at, What::Restated {
            kind: PlaceKind::Fridge,
            stated: Temperature::celsius(9),
        }));
        never_better(&at(&plain, look), &at(&history(events), look))?;
    }

    /// A logger in the grain shows no cooling: whatever it reads, no date comes later and no verdict is better.
    #[test]
    fn a_logger_in_the_grain_never_gives_a_later_date(
        told in prop::collection::vec((1i64..600, prop_oneof![
            2 => Just(What::Cooled),
            3 => (2i32..70).prop_map(read),
            1 => Just(fridge()),
            1 => Just(What::Wetted),
            1 => Just(What::Dried),
        ]), 0..7),
        logged in prop::collection::vec((1i64..700, (2i32..70).prop_map(|celsius| {
            What::Logged(Temperature::celsius(celsius))
        })), 1..6),
        look in 1i64..2000,
    ) {
        let mut events = told;
        let plain = history(events.clone());
        events.extend(logged);
        never_better(&at(&plain, look), &at(&history(events), look))?;
    }

    #[test]
    fn once_past_always_past(
        events in prop::collection::vec(any_event(), 0..8),
        look in 1i64..10 * 1440,
        later in 1i64..1440,
    ) {
        let tale = history(events);
        if at(&tale, look).verdict == Verdict::Past {
            prop_assert_eq!(at(&tale, look + later).verdict, Verdict::Past);
        }
    }

    #[test]
    fn keep_until_is_the_last_moment_of_use(
        events in prop::collection::vec(any_event(), 0..8),
        look in 1i64..10 * 1440,
    ) {
        let tale = history(events);
        let found = at(&tale, look);
        if let (true, Some(until)) = (found.verdict.may_be_used(), found.keep_until) {
            prop_assert!(assess(&tale, &strict(), &zone(), until).verdict.may_be_used());
            let next = until + Duration::seconds(1);
            prop_assert!(!assess(&tale, &strict(), &zone(), next).verdict.may_be_used());
        }
    }

    /// Of one history and of two that were joined, under each rule set, one that adds warm time up and one that does not.
    #[test]
    fn grain_may_be_used_through_one_moment_and_never_after_it(
        events in prop::collection::vec(any_event(), 0..8),
        joined in prop::option::of(prop::collection::vec(any_event(), 0..8)),
        is_dated in prop::bool::weighted(0.9),
        arrived_dried in prop::bool::weighted(0.2),
        (_, text) in prop::sample::select(rules::BUILT_IN.to_vec()),
        looks in prop::collection::vec(-60i64..20 * 1440, 1..6),
    ) {
        let mut first = history(events);
        first.arrived_dried = arrived_dried;
        first.mash_out = first.mash_out.filter(|_| is_dated);
        let histories: Vec<History> = [Some(first), joined.map(history)].into_iter().flatten().collect();
        let rules = RuleSet::from_text(text).unwrap();
        let last = usable_through(&histories, &rules, &zone());
        let ends = last.filter(|last| *last > after(-60));
        let around = ends.into_iter().flat_map(|last| [last, last + Duration::seconds(1)]);
        for at in looks.into_iter().map(after).chain(around) {
            let found = assess_all(&histories, &rules, &zone(), at);
            prop_assert_eq!(found.verdict.may_be_used(), last.is_none_or(|last| at <= last));
        }
    }

    #[test]
    fn an_earlier_mash_out_never_gives_a_later_date(
        events in prop::collection::vec(any_event(), 0..8),
        earlier in 1i64..2880,
        look in 1i64..10 * 1440,
    ) {
        // A word sooner after the mash than a tub can cool is set aside; an earlier mash-out makes sense of it,
        // and then it counts.
        let too_soon = |(at, what): &(i64, What)| *what == What::Cooled && *at < 30;
        prop_assume!(!events.iter().any(too_soon));
        let plain = history(events);
        let mut stricter = plain.clone();
        stricter.mash_out = Some(after(-earlier));
        let (before, after) = (at(&plain, look), at(&stricter, look));
        never_better(&before, &after)?;
    }
}
