//! Calendar days and freezing.

use super::*;

/// Food Code 3-501.17(A): 7 calendar days, preparation day is day 1. Mash-out on Monday at any hour:
/// last use at the end of Sunday.
#[test]
fn seven_calendar_days_from_the_mash_out_day() {
    for mash_out in ["05 09:00", "05 18:30"] {
        let tale = Tale::mashed_and_chilled(mash_out);
        for set in EVERY_SET {
            assert!(tale.verdict(set, "11 23:59").may_be_used(), "{set}");
            assert_eq!(tale.verdict(set, "12 00:00"), Verdict::Past, "{set}");
            assert_eq!(
                tale.under(set, "06 09:00").keep_until,
                Some(time("12 00:00") - Duration::seconds(1))
            );
        }
        assert_eq!(tale.under("strict", "11 12:00").day, Some(7));
    }
}

/// Food Code 3-501.17(A) with mash-out just before midnight: the day still counts as day 1.
#[test]
fn a_late_mash_out_gains_no_day() {
    let tale = Tale::mashed("05 23:30").push(time("06 03:00"), What::Cooled);
    assert_eq!(tale.verdict("strict", "11 23:59"), Verdict::UseFirst);
    assert_eq!(tale.verdict("strict", "12 00:00"), Verdict::Past);
}

/// Day 5: within the Food Code, while US consumer advice (USDA) gives cooked leftovers 3 to 4 days.
/// Our default is stricter in saying use-first.
#[test]
fn day_five_is_amber_by_default() {
    let tale = Tale::mashed_and_chilled("05 09:00");
    assert_eq!(tale.verdict("us-food-code", "09 10:00"), Verdict::Good);
    assert_eq!(tale.verdict("strict", "08 23:00"), Verdict::Good);
    assert_eq!(tale.verdict("strict", "09 00:00"), Verdict::UseFirst);
}

/// Food Code 3-501.18(A)(1) excepts time frozen; three days used before freezing leave four, of which
/// the thaw day is one (the text does not say whether it counts; ours is the stricter reading).
#[test]
fn freezing_pauses_and_thaw_day_counts() {
    let frozen = Tale::mashed_and_chilled("05 09:00").into("07 12:00", PlaceKind::Freezer);
    let asleep = frozen.under("strict", "20 12:00");
    assert_eq!(
        (asleep.verdict, asleep.keep_until, asleep.day),
        (Verdict::Good, None, Some(3))
    );
    assert_eq!(asleep.advice, Some(Advice::DaysAfterThawing(4)));
    let thawed = frozen.into("27 08:00", PlaceKind::Fridge);
    assert_eq!(thawed.under("strict", "27 09:00").day, Some(4));
    assert!(thawed.verdict("strict", "30 23:59").may_be_used());
    assert_eq!(thawed.verdict("strict", "31 00:00"), Verdict::Past);
}

/// Calendar counting as a Tennessee inspection report applies rule 0080-04-09-.03(5)(a)7: made on day 1
/// and frozen on day 4 leaves three days, although only three times 24 hours have gone by.
#[test]
fn three_nights_in_the_fridge_use_four_days() {
    for (from, to, left) in [("05 09:00", "08 09:00", 3), ("05 09:00", "05 16:00", 6)] {
        let tale = Tale::mashed_and_chilled(from).into(to, PlaceKind::Freezer);
        assert_eq!(
            tale.under("strict", "20 12:00").advice,
            Some(Advice::DaysAfterThawing(left))
        );
    }
}

/// Food Code 3-501.18(A): frozen on day 7 nothing is left for the fridge; frozen on day 8 is too late.
#[test]
fn freezing_on_the_last_day_and_after_it() {
    let last = Tale::mashed_and_chilled("05 09:00").into("11 12:00", PlaceKind::Freezer);
    let asleep = last.under("strict", "20 12:00");
    assert_eq!(
        (asleep.verdict, asleep.advice),
        (Verdict::UseFirst, Some(Advice::StraightFromTheFreezer))
    );
    assert_eq!(
        last.into("27 08:00", PlaceKind::Fridge)
            .verdict("strict", "27 08:00"),
        Verdict::Past
    );
    let late = Tale::mashed_and_chilled("05 09:00").into("12 12:00", PlaceKind::Freezer);
    assert_eq!(late.verdict("strict", "20 12:00"), Verdict::Past);
}

/// Two fridge days, frozen, two fridge days, frozen again: three left (Food Code 3-501.17 and .18).
#[test]
fn days_add_up_over_several_freezings() {
    let tale = Tale::mashed_and_chilled("05 09:00")
        .into("06 12:00", PlaceKind::Freezer)
        .into("14 08:00", PlaceKind::Fridge)
        .into("15 18:00", PlaceKind::Freezer);
    assert_eq!(
        tale.under("strict", "25 12:00").advice,
        Some(Advice::DaysAfterThawing(3))
    );
}

/// 400 days at −18 °C: the safety clock stands still (USDA FSIS: safe indefinitely at 0 °F), quality falls.
#[test]
fn a_year_in_the_freezer_is_a_matter_of_quality() {
    let tale = Tale::mashed_and_chilled("05 09:00").into("05 15:00", PlaceKind::Freezer);
    let old = tale.under("strict", "2027-02-10 12:00");
    assert_eq!(
        (old.verdict, old.advice),
        (Verdict::Good, Some(Advice::DaysAfterThawing(6)))
    );
    assert!(
        old.notes.iter().any(|note| note.contains("quality")),
        "{:?}",
        old.notes
    );
}

/// Food Code 3-501.18(A)(2): undated food is not used.
#[test]
fn unknown_mash_out_gives_no_date() {
    let mut tale = Tale::mashed_and_chilled("05 09:00");
    tale.0.mash_out = None;
    for set in EVERY_SET {
        let found = tale.under(set, "05 18:00");
        assert_eq!(
            (found.verdict, found.keep_until),
            (Verdict::Unknown, None),
            "{set}"
        );
    }
}
