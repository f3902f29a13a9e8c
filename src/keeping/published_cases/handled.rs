//! Joined, dried and wetted grain.

use super::*;
use crate::quantity::WetBasis;

/// Food Code 3-501.17(C): a mixture keeps the date of its earliest part. Monday's lot and Wednesday's keep to
/// Sunday.
#[test]
fn a_mixture_keeps_the_earliest_date() {
    let monday = Tale::mashed_and_chilled("05 09:00");
    let wednesday = Tale::mashed_and_chilled("07 09:00");
    let mixed = [monday.0, wednesday.0];
    for order in [[0, 1], [1, 0]] {
        let histories = order.map(|index: usize| mixed[index].clone());
        for set in EVERY_SET {
            let at = |text| assess_all(&histories, &rules(set), &zone(), time(text));
            assert_eq!(
                at("08 09:00").keep_until,
                Some(time("12 00:00") - Duration::seconds(1)),
                "{set}"
            );
            assert!(at("11 23:59").verdict.may_be_used());
            assert_eq!(at("12 00:00").verdict, Verdict::Past, "{set}");
        }
    }
}

/// What one of them lacks the mixture lacks: a lot that nobody knows the mash-out of, or that spoiled.
#[test]
fn a_mixture_is_as_bad_as_the_worst_in_it() {
    let good = Tale::mashed_and_chilled("05 09:00");
    let mut undated = Tale::mashed_and_chilled("07 09:00");
    undated.0.mash_out = None;
    let spoiled = Tale::mashed_and_chilled("07 09:00")
        .push(time("07 12:00"), What::Spoiled("mould".to_owned()));
    let warm = Tale::mashed_and_chilled("06 09:00")
        .into("07 10:00", PlaceKind::Ambient)
        .into("07 11:30", PlaceKind::Fridge);
    let with = |other: &Tale| {
        let both = [good.0.clone(), other.0.clone()];
        assess_all(&both, &rules("strict"), &zone(), time("07 18:00"))
    };
    assert_eq!(with(&undated).verdict, Verdict::Unknown);
    assert_eq!(with(&undated).keep_until, None);
    assert_eq!(with(&spoiled).verdict, Verdict::Past);
    assert_eq!(with(&warm).warm_minutes, 90);
    assert_eq!(
        assess_all(&[], &rules("strict"), &zone(), time("07 18:00")).verdict,
        Verdict::Unknown
    );
}

fn dried(minutes: i64) -> Tale {
    let over = time("06 10:00") + Duration::minutes(minutes);
    Tale::mashed_and_chilled("05 09:00")
        .push(
            time("06 10:00"),
            What::Handled {
                until: over,
                stated: "65C".parse().unwrap(),
            },
        )
        .push(over, What::Dried)
        .push(
            over,
            What::Placed {
                kind: PlaceKind::DryStore,
                stated: "20C".parse().unwrap(),
            },
        )
}

fn activity(value: &str) -> What {
    What::Activity(value.parse().unwrap())
}

/// Drying pauses nothing before the grain is shown dry: its time above the cold limit is warm time (judgement;
/// the limits are those of the 2-hour/4-hour guide of FSANZ).
#[test]
fn drying_counts_as_warm_until_the_grain_is_shown_dry() {
    let late = "2026-06-01 12:00";
    let quick = dried(100).push(time("06 11:40"), activity("0.55"));
    assert_eq!(quick.verdict("strict", late), Verdict::Good);
    assert_eq!(quick.under("strict", late).warm_minutes, 100);
    let slow = dried(180).push(time("06 13:00"), activity("0.55"));
    // Shown dry it has no date, and is not to be baked with at once: it goes before other dried grain.
    let found = slow.under("strict", late);
    assert_eq!((found.verdict, found.keep_until), (Verdict::UseFirst, None));
    assert_eq!(found.advice, None);
    assert!(
        found.notes[0].contains("before other dried grain"),
        "{found:?}"
    );
    // Past grain is not told how to use it.
    let spoiled = slow.push(time("20 10:00"), What::Spoiled("mould".to_owned()));
    let found = spoiled.under("strict", late);
    assert_eq!(found.verdict, Verdict::Past);
    let goes_first = |note: &String| note.contains("before other dried grain");
    assert!(!found.notes.iter().any(goes_first), "{found:?}");
    let too_slow = dried(240).push(time("06 14:00"), activity("0.55"));
    assert_eq!(too_slow.verdict("strict", late), Verdict::Past);
    // Measured the day after, and nobody knows what it was until then.
    let measured_late = dried(100).push(time("07 11:40"), activity("0.55"));
    assert_eq!(measured_late.verdict("strict", late), Verdict::Past);
    // A thermometer in the hot dryer does not make the time free: grain is dried and not held hot.
    let read_hot = dried(240)
        .read("06 10:00", "64C")
        .read("06 12:00", "64C")
        .read("06 14:00", "64C")
        .push(time("06 14:00"), activity("0.55"));
    assert_eq!(read_hot.verdict("strict", late), Verdict::Past);
}

#[test]
fn grain_that_nobody_measured_is_not_dry() {
    let tale = dried(100);
    assert_eq!(tale.verdict("strict", "06 12:00"), Verdict::Unknown);
    // Measured after that it would be past, so the deadline is told, and then it is past without a measurement too.
    let last = time("06 14:00") - Duration::seconds(1);
    assert_eq!(
        tale.under("strict", "06 12:00").advice,
        Some(Advice::MeasureActivity { by: Some(last) })
    );
    assert_eq!(tale.verdict("strict", "06 14:00"), Verdict::Past);
    let cold = dried(100).into("06 11:45", PlaceKind::Fridge);
    assert_eq!(cold.verdict("strict", "08 12:00"), Verdict::Unknown);
    // What was measured before it was dried says nothing of the dried grain.
    let before = dried(100).push(time("06 09:00"), activity("0.55"));
    assert_eq!(before.verdict("strict", "06 12:00"), Verdict::Unknown);
}

/// A measurement that shows it not dry makes it no better than none: it goes on warming in the store.
#[test]
fn grain_that_was_found_too_moist_is_no_better_than_before() {
    for too_moist in ["0.85", "0.90"] {
        let damp = dried(100).push(time("06 11:40"), activity(too_moist));
        let found = damp.under("strict", "06 11:50");
        assert_eq!((found.verdict, found.keep_until), (Verdict::Unknown, None));
        assert!(found.binding.limit.contains("below 0.85, and it is"));
        assert_eq!(damp.verdict("strict", "06 14:00"), Verdict::Past);
        // Dried on and shown dry in time, it is dry.
        let dry = damp.push(time("06 12:30"), activity("0.55"));
        assert!(dry.verdict("strict", "06 14:00").may_be_used());
        // Nor does wetting make it good.
        let wetted = dried(100)
            .push(time("06 11:40"), activity(too_moist))
            .push(time("06 12:00"), What::Wetted);
        assert_eq!(wetted.verdict("strict", "06 12:30"), Verdict::Unknown);
    }
}

#[test]
fn drying_rescues_nothing() {
    let old = Tale::mashed_and_chilled("05 09:00")
        .push(time("12 10:00"), What::Dried)
        .push(time("12 10:00"), activity("0.5"));
    assert_eq!(old.verdict("strict", "13 10:00"), Verdict::Past);
    let uncooled = Tale::mashed("05 09:00")
        .push(time("05 15:00"), What::Dried)
        .push(time("05 15:00"), activity("0.5"));
    assert_eq!(uncooled.verdict("strict", "06 10:00"), Verdict::Unknown);
    let spoiled = dried(60)
        .push(time("06 11:00"), activity("0.5"))
        .push(time("08 10:00"), What::Spoiled("weevils".to_owned()));
    assert_eq!(spoiled.verdict("strict", "08 10:00"), Verdict::Past);
}

/// Dried grain soaked on Tuesday 27 January at 10:00 is day 1 again and has to be at 5 °C by 14:00: Food Code
/// 3-501.14(B), 4 h from the temperature of the room; that it is day 1 is inference from 3-501.17(A).
#[test]
fn wetted_grain_is_on_its_first_day_again() {
    let soaked = dried(100)
        .push(time("06 11:40"), activity("0.55"))
        .push(time("27 10:00"), What::Wetted)
        .into("27 10:00", PlaceKind::Fridge);
    assert_eq!(
        soaked.under("strict", "27 11:00").keep_until,
        Some(time("27 14:00"))
    );
    assert_eq!(soaked.verdict("strict", "27 14:01"), Verdict::Unknown);
    let cold = soaked.read("27 13:30", "5C");
    let found = cold.under("strict", "27 15:00");
    assert_eq!((found.verdict, found.day), (Verdict::Good, Some(1)));
    assert!(found.binding.limit.contains("wetted"), "{found:?}");
    assert_eq!(
        found.keep_until,
        Some(time("2026-02-03 00:00") - Duration::seconds(1))
    );
    let too_late = dried(100)
        .push(time("06 11:40"), activity("0.55"))
        .push(time("27 10:00"), What::Wetted)
        .into("27 10:00", PlaceKind::Fridge)
        .read("27 14:10", "8C");
    assert_eq!(too_late.verdict("strict", "27 14:10"), Verdict::Past);
    // Hot water: the first stage counts as well.
    let hot = dried(100)
        .push(time("06 11:40"), activity("0.55"))
        .push(time("27 10:00"), What::Wetted)
        .read("27 10:00", "80C")
        .read("27 12:30", "30C");
    assert_eq!(hot.verdict("strict", "27 12:30"), Verdict::Past);
}

#[test]
fn wetting_makes_nothing_better() {
    // Nobody had shown it dry, and it was warm for weeks then; it had been past before; it was only probably dry.
    let unmeasured = dried(100).push(time("27 10:00"), What::Wetted);
    assert_eq!(unmeasured.verdict("strict", "27 10:30"), Verdict::Past);
    let past = dried(300)
        .push(time("06 15:00"), activity("0.55"))
        .push(time("27 10:00"), What::Wetted);
    assert_eq!(past.verdict("strict", "27 10:30"), Verdict::Past);
    let probably = dried(100)
        .push(
            time("06 11:40"),
            What::Moisture(WetBasis::new(0.09).unwrap()),
        )
        .push(time("27 10:00"), What::Wetted);
    assert_eq!(probably.verdict("strict", "27 10:30"), Verdict::UseFirst);
    // It was never dry, so its first day is that of the mash.
    let damp = dried(100)
        .push(time("06 11:40"), activity("0.90"))
        .push(time("06 12:00"), What::Wetted);
    assert_eq!(damp.under("strict", "06 12:30").day, Some(2));
}
