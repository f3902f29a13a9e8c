//! Behaviour of the clock that no rule text spells out: cooling that is not shown, words and readings,
//! and that a stricter history never gives a later date.

use super::*;
use crate::quantity::{Instant, Scale, Temperature, Zone};
use chrono::{DateTime, Duration};

mod hot_held;
mod properties;

fn strict() -> RuleSet {
    RuleSet::from_text(RuleSet::built_in_text("strict").unwrap()).unwrap()
}

fn zone() -> Zone {
    Zone::named("Europe/Dublin").unwrap()
}

/// Minutes after mash-out, which is Monday 2 November 2026, 09:00.
fn after(minutes: i64) -> Instant {
    DateTime::from_timestamp(1_793_610_000, 0).unwrap() + Duration::minutes(minutes)
}

fn history(events: Vec<(i64, What)>) -> History {
    History {
        mash_out: Some(after(0)),
        arrived_dried: false,
        events: events
            .into_iter()
            .map(|(minutes, what)| Event {
                at: after(minutes),
                what,
            })
            .collect(),
    }
}

fn read(degrees: i32) -> What {
    What::Read(Temperature::celsius(degrees))
}

fn fridge() -> What {
    What::Placed {
        kind: PlaceKind::Fridge,
        stated: Temperature::celsius(4),
    }
}

fn at(history: &History, minutes: i64) -> Assessment {
    assess(history, &strict(), &zone(), after(minutes))
}

#[test]
fn cooling_that_nobody_shows_becomes_unknown_at_each_limit() {
    let nothing = history(vec![(60, fridge())]);
    let early = at(&nothing, 100);
    assert_eq!(
        (early.verdict, early.keep_until),
        (Verdict::Good, Some(after(120)))
    );
    let late = at(&nothing, 121);
    assert_eq!((late.verdict, late.keep_until), (Verdict::Unknown, None));
    let by = after(120);
    assert!(matches!(early.advice, Some(Advice::TakeTemperature { by: found, .. }) if found == by));
    // Two hours and four more: a word for any moment until then shows it still.
    let asked = Some(Advice::AskWhenCooled {
        at_most: strict().cold.limit,
        by: after(360),
        still_hot: None,
        is_refuted: false,
    });
    assert_eq!(late.advice, asked);
    assert_eq!(at(&nothing, 400).advice, asked);
    // Seven days on, the day count ends it in any case.
    assert_eq!(at(&nothing, 7 * 24 * 60).verdict, Verdict::Past);
}

/// A tub that may be hot still is measured before it is thrown away; one that was read cooler, or was left longer than
/// two readings may lie apart, is not.
#[test]
fn grain_that_may_be_hot_still_is_to_be_measured_first() {
    let still_hot = |events: Vec<(i64, What)>, minutes: i64| {
        let assessed = assess_all(&[history(events)], &strict(), &zone(), after(minutes));
        assert_eq!(assessed.verdict, Verdict::Unknown);
        match assessed.advice {
            Some(Advice::AskWhenCooled { still_hot, .. }) => still_hot,
            other => panic!("{other:?}"),
        }
    };
    let hot = Some(strict().hot.limit);
    assert_eq!(still_hot(vec![(60, fridge())], 150), hot);
    let read_cooler = vec![(60, fridge()), (110, read(40))];
    assert_eq!(still_hot(read_cooler, 150), None);
    let gap = strict().longest_gap.num_minutes();
    assert_eq!(still_hot(vec![(60, fridge())], gap), hot);
    assert_eq!(still_hot(vec![(60, fridge())], gap + 1), None);
    let read_hot = vec![(60, fridge()), (100, read(65))];
    assert_eq!(still_hot(read_hot, gap + 60), hot);
}

#[test]
fn both_stages_need_to_be_shown() {
    let both = history(vec![(60, fridge()), (110, read(20)), (340, read(4))]);
    assert_eq!(at(&both, 360).verdict, Verdict::Good);
    let half_way = history(vec![(60, fridge()), (110, read(20))]);
    assert_eq!(at(&half_way, 200).keep_until, Some(after(110 + 240)));
    // Cold at the end says nothing about how long it was warm on the way.
    let end_only = history(vec![(60, fridge()), (350, read(4))]);
    assert_eq!(at(&end_only, 360).verdict, Verdict::Unknown);
    let too_late = history(vec![(60, fridge()), (110, read(20)), (1440, read(4))]);
    assert_eq!(at(&too_late, 1441).verdict, Verdict::Unknown);
}

/// A thermometer with whole degrees shows the limit itself daily, and the limit is within.
#[test]
fn a_late_reading_of_exactly_the_limit_is_no_proof_of_failure() {
    for (scale_5, scale_21) in [("5C", "21C"), ("41F", "69F")] {
        let exact = |text: &str| What::Read(text.parse().unwrap());
        let second = history(vec![(60, fridge()), (110, read(20)), (500, exact(scale_5))]);
        assert_eq!(at(&second, 510).verdict, Verdict::Unknown, "{scale_5}");
        let first = history(vec![(60, fridge()), (130, exact(scale_21))]);
        assert_eq!(at(&first, 140).verdict, Verdict::Unknown, "{scale_21}");
    }
    let above = history(vec![
        (60, fridge()),
        (110, read(20)),
        (500, What::Read("42F".parse().unwrap())),
    ]);
    assert_eq!(at(&above, 510).verdict, Verdict::Past);
    // 70 °F is the text's own pair of 21 °C; a set without that pair judges it as 21.1 °C.
    let food_code = RuleSet::from_text(RuleSet::built_in_text("us-food-code").unwrap()).unwrap();
    let seventy = history(vec![
        (60, fridge()),
        (130, What::Read("70F".parse().unwrap())),
    ]);
    let found = assess(&seventy, &food_code, &zone(), after(140));
    assert_eq!(found.verdict, Verdict::Unknown);
}

#[test]
fn a_failed_stage_ends_after_its_deadline_and_not_with_it() {
    let warm = history(vec![(60, fridge()), (200, read(30))]);
    assert_ne!(at(&warm, 120).verdict, Verdict::Past);
    assert_eq!(at(&warm, 121).verdict, Verdict::Past);
    assert_eq!(at(&warm, 121).keep_until, Some(after(120)));
}

/// At the deadline itself a reading above the limit is proof; one of exactly the limit is within.
#[test]
fn a_reading_at_the_very_deadline_proves_failure_there() {
    let first = |degrees| history(vec![(60, fridge()), (120, read(degrees))]);
    let second = |degrees| history(vec![(60, fridge()), (110, read(20)), (350, read(degrees))]);
    for (failed, deadline) in [(first(40), 120), (second(6), 350)] {
        let found = at(&failed, deadline);
        assert_eq!(found.verdict, Verdict::Past);
        let before = after(deadline) - Duration::seconds(1);
        assert_eq!(found.keep_until, Some(before));
        assert!(
            assess(&failed, &strict(), &zone(), before)
                .verdict
                .may_be_used()
        );
    }
    assert!(at(&first(21), 120).verdict.may_be_used());
    assert!(at(&second(5), 350).verdict.may_be_used());
}

/// A figure beside its limit has the digits that tell them apart.
#[test]
fn moisture_is_told_to_the_hundredth() {
    let moisture = What::Moisture(crate::quantity::WetBasis::new(0.0996).unwrap());
    let dried = history(vec![
        (110, What::Cooled),
        (200, fridge()),
        (240, What::Dried),
        (241, moisture),
    ]);
    let limit = at(&dried, 300).binding.limit;
    assert!(
        limit.starts_with("dried, moisture 9.96 % is at most 10 %"),
        "{limit}"
    );
}

/// Who cooled it was asked and said when, which was too late: the same question is not asked again.
#[test]
fn advice_that_was_followed_is_not_given_again() {
    let late = history(vec![(60, fridge()), (450, What::Cooled)]);
    let found = at(&late, 460);
    assert_eq!(found.verdict, Verdict::Unknown);
    let since = after(450);
    let asked = Advice::AskWhetherColdBefore {
        cold: since,
        at_most: strict().cold.limit,
        by: after(360),
        is_said: true,
    };
    assert_eq!(found.advice, Some(asked));
    let read = history(vec![(60, fridge()), (450, read(4))]);
    let is_asked = |advice| {
        matches!(
            advice,
            Some(Advice::AskWhetherColdBefore { is_said: false, .. })
        )
    };
    assert!(
        is_asked(at(&read, 460).advice),
        "a thermometer is no witness"
    );
}

/// Somebody says that it was cold ten minutes before a thermometer showed 61 °C: it is said why that does not count.
#[test]
fn a_word_for_a_moment_before_it_was_measured_hot_is_set_aside_and_named() {
    let word = |said| history(vec![(60, fridge()), (said, What::Cooled), (60, read(61))]);
    let found = at(&word(50), 300);
    assert_eq!(found.verdict, Verdict::Unknown);
    assert!(
        found
            .notes
            .iter()
            .any(|note| note.contains("a thermometer showed more")),
        "{:?}",
        found.notes
    );
    assert_eq!(at(&word(200), 300).verdict, Verdict::Good);
}

/// Cold by word, cold by a thermometer after the first stage, and warm again: only the first word counts, so no other is asked for.
#[test]
fn a_word_that_a_thermometer_refuted_is_not_asked_for_again() {
    let warm = |word: Option<i64>| {
        let mut events = vec![(10, fridge()), (150, read(4)), (320, read(15))];
        events.extend(word.map(|said| (said, What::Cooled)));
        match at(&history(events), 325).advice {
            Some(Advice::AskWhenCooled { is_refuted, .. }) => is_refuted,
            other => panic!("{other:?}"),
        }
    };
    assert!(warm(Some(60)));
    assert!(!warm(None));
}

#[test]
fn grain_that_warms_again_has_not_passed_the_first_stage() {
    let again = history(vec![(60, fridge()), (100, read(20)), (300, read(41))]);
    assert_eq!(at(&again, 310).verdict, Verdict::Past);
    let early = history(vec![
        (60, fridge()),
        (60, read(20)),
        (90, read(30)),
        (115, read(21)),
    ]);
    assert_eq!(at(&early, 200).keep_until, Some(after(115 + 240)));
}

#[test]
fn measured_beats_said() {
    let said = history(vec![(60, fridge()), (180, What::Cooled)]);
    assert_eq!(at(&said, 500).verdict, Verdict::Good);
    let measured = history(vec![(60, fridge()), (180, What::Cooled), (300, read(12))]);
    let found = at(&measured, 500);
    assert_eq!(found.verdict, Verdict::Unknown);
    assert!(
        found
            .notes
            .iter()
            .any(|note| note.contains("a thermometer showed more")),
        "{:?}",
        found.notes
    );
}

#[test]
fn what_the_source_said_holds_until_a_reading_says_otherwise() {
    let cold = history(vec![(200, What::Cooled), (1500, read(4)), (1500, fridge())]);
    assert_eq!(at(&cold, 1600).verdict, Verdict::Good);
    let warm = history(vec![
        (200, What::Cooled),
        (1500, read(11)),
        (1500, fridge()),
    ]);
    assert_eq!(at(&warm, 1600).verdict, Verdict::Past);
}

#[test]
fn a_warm_reading_taints_the_time_back_to_the_last_cold_one() {
    let tale = history(vec![
        (110, What::Cooled),
        (200, fridge()),
        (240, read(4)),
        (1000, read(5)),
        (1100, read(9)),
        (1130, read(4)),
    ]);
    assert_eq!(at(&tale, 1100).warm_minutes, 100);
    let done = at(&tale, 1200);
    // 130 minutes and back in the cold: no re-chilling from two hours on.
    assert_eq!((done.verdict, done.warm_minutes), (Verdict::Past, 130));
}

#[test]
fn hot_holding_needs_a_thermometer() {
    let hot = What::Placed {
        kind: PlaceKind::HotHold,
        stated: Temperature::celsius(65),
    };
    // The place does not speak for the time after the last reading.
    let unread = history(vec![(60, read(64)), (60, hot.clone())]);
    assert_eq!(at(&unread, 180).keep_until, Some(after(180)));
    assert_eq!(at(&unread, 181).verdict, Verdict::Unknown);
    // It speaks for the time between two.
    let kept = history(vec![(60, read(64)), (60, hot.clone()), (600, read(63))]);
    assert_eq!(at(&kept, 600).verdict, Verdict::Good);
    assert_eq!(at(&kept, 7 * 24 * 60).verdict, Verdict::Past);
    let moved = history(vec![
        (60, read(64)),
        (60, hot),
        (600, read(63)),
        (600, fridge()),
    ]);
    assert_eq!(at(&moved, 700).keep_until, Some(after(720)));
    // Without such a place no reading bridges more than the allowed gap.
    let bridged = history(vec![(60, read(64)), (360, read(61))]);
    assert_eq!(at(&bridged, 370).verdict, Verdict::Past);
}

#[test]
fn an_impossible_word_is_set_aside() {
    for said in [0, 29] {
        assert_eq!(
            at(&history(vec![(said, What::Cooled), (60, fridge())]), 200).verdict,
            Verdict::Unknown
        );
    }
    let with_a_reading = history(vec![(60, read(63)), (60, What::Cooled), (60, fridge())]);
    assert_eq!(at(&with_a_reading, 200).verdict, Verdict::Unknown);
}

/// 14 °C in the fridge, and five minutes later all of it is said to have been cold.
#[test]
fn a_word_sooner_after_a_warm_reading_than_a_tub_cools_is_set_aside_and_named() {
    let word = |said, more: &[(i64, What)]| {
        let mut events = vec![(60, fridge()), (100, read(14)), (said, What::Cooled)];
        events.extend(more.iter().cloned());
        at(&history(events), 350)
    };
    for said in [105, 129] {
        let found = word(said, &[]);
        assert_eq!(found.verdict, Verdict::Unknown);
        assert!(
            found
                .notes
                .iter()
                .any(|note| note.contains("less than 30 min before, and no tub cools that fast")),
            "{:?}",
            found.notes
        );
    }
    assert_eq!(word(130, &[]).verdict, Verdict::Good);
    let measured = word(105, &[(200, read(4))]);
    assert_eq!(measured.verdict, Verdict::Good, "a thermometer shows it");
}

/// In the room: the word counted warm time from its moment on, and still does.
#[test]
fn a_word_that_is_set_aside_as_too_soon_takes_no_warm_time_away() {
    let room = What::Placed {
        kind: PlaceKind::Ambient,
        stated: Temperature::celsius(20),
    };
    let found = at(
        &history(vec![
            (60, room),
            (100, read(14)),
            (105, What::Cooled),
            (200, read(4)),
        ]),
        250,
    );
    assert_eq!(found.warm_minutes, 145);
}

#[test]
fn a_cold_reading_that_a_warmer_one_follows_shows_no_cooling() {
    let edge = history(vec![
        (60, fridge()),
        (90, read(4)),
        (100, read(30)),
        (209, read(4)),
    ]);
    assert_eq!(at(&edge, 220).verdict, Verdict::Unknown);
}

#[test]
fn put_back_too_late_is_past_also_while_the_grain_is_still_warm() {
    let counter = What::Placed {
        kind: PlaceKind::Ambient,
        stated: Temperature::celsius(20),
    };
    let back = vec![(60, What::Cooled), (4901, counter), (5021, fridge())];
    let mut read_warm = back.clone();
    read_warm.push((5021, read(22)));
    for events in [back, read_warm] {
        let found = at(&history(events), 5021);
        assert_eq!(found.verdict, Verdict::Past);
        assert_eq!(found.keep_until, Some(after(5021) - Duration::seconds(1)));
    }
}

/// A place as its logger measured it: warm or cold by turns of so many minutes from a minute on.
fn measured(from: i64, turns: &[(i64, i32)]) -> Vec<(i64, What)> {
    let mut at = from;
    turns
        .iter()
        .map(|(minutes, celsius)| {
            let (begins, shown) = (at, Temperature::celsius(*celsius));
            at += minutes;
            let air = What::Air {
                until: after(at),
                shown: Shown::Measured {
                    coldest: shown,
                    warmest: shown,
                    measured: shown,
                    rests_on: None,
                    cut: false,
                },
                layer: None,
                in_grain: false,
                leaves: None,
            };
            (begins, air)
        })
        .collect()
}

/// A reading of the grain at 9 °C speaks for the time back to 17:00, and only back to 17:11 where the place is stated anew then. The
/// air shows that it went back into the cold after 130 minutes, and that ends it with the statement too.
#[test]
fn a_warm_statement_in_the_time_that_a_reading_speaks_for_moves_no_end() {
    let mut events = vec![
        (60, What::Cooled),
        (60, fridge()),
        (4800, read(4)),
        (4927, read(9)),
    ];
    events.extend(measured(4800, &[(25, 3), (105, 9), (10, 3)]));
    let plain = at(&history(events.clone()), 4800).keep_until;
    let stated = What::Restated {
        kind: PlaceKind::Fridge,
        stated: Temperature::celsius(9),
    };
    events.push((4811, stated));
    assert_eq!(plain, Some(after(4930) - Duration::seconds(1)));
    assert_eq!(at(&history(events), 4800).keep_until, plain);
}

#[test]
fn a_thermometer_that_shows_it_warm_moves_no_end_to_a_later_moment() {
    let mut events = vec![(60, What::Cooled), (60, fridge()), (4860, read(4))];
    events.extend(measured(60, &[(4840, 3), (120, 9), (400, 3)]));
    let back = after(5020) - Duration::seconds(1);
    let logged = at(&history(events.clone()), 5040);
    assert_eq!(
        (logged.verdict, logged.keep_until),
        (Verdict::Past, Some(back))
    );
    events.push((5040, read(9)));
    let read_warm = at(&history(events.clone()), 5041);
    assert_eq!(
        (read_warm.verdict, read_warm.keep_until),
        (Verdict::Past, Some(back))
    );
    events.push((5070, read(10)));
    assert_eq!(at(&history(events), 5071).keep_until, Some(back));
}

#[test]
fn a_return_that_one_reading_showed_stands_whatever_a_later_one_shows() {
    let counter = What::Placed {
        kind: PlaceKind::Ambient,
        stated: Temperature::celsius(20),
    };
    let mut events = vec![
        (60, What::Cooled),
        (60, fridge()),
        (4860, read(4)),
        (4920, read(9)),
        (4980, read(4)),
        (5000, counter),
        (5040, fridge()),
        (5045, read(4)),
    ];
    events.extend(measured(60, &[(4860, 3), (500, 4)]));
    let back = at(&history(events.clone()), 5100);
    assert_eq!(back.verdict, Verdict::Past);
    events.push((5090, read(9)));
    assert_eq!(at(&history(events), 5100).keep_until, back.keep_until);
}

#[test]
fn a_failure_of_the_second_stage_proves_nothing_of_the_first() {
    // Nobody measured by 2 h; at 9 h it was still at 19 °C.
    let late = history(vec![(60, fridge()), (540, read(19))]);
    assert!(at(&late, 119).verdict.may_be_used());
    assert_eq!(at(&late, 200).verdict, Verdict::Unknown);
    assert_eq!(at(&late, 361).verdict, Verdict::Past);
    // A word that a reading sets aside shows no stage either.
    let said = history(vec![
        (60, fridge()),
        (110, What::Cooled),
        (170, read(20)),
        (540, read(19)),
    ]);
    assert_eq!(at(&said, 150).verdict, Verdict::Unknown);
    // Where the first stage is shown only the second failed.
    let shown = history(vec![(60, fridge()), (100, read(20)), (540, read(19))]);
    assert!(at(&shown, 200).verdict.may_be_used());
}

#[test]
fn a_warm_reading_while_it_may_still_cool_takes_no_warm_time_off() {
    let counter = What::Placed {
        kind: PlaceKind::Ambient,
        stated: Temperature::celsius(20),
    };
    let cold = vec![
        (15, counter),
        (30, read(20)),
        (40, read(4)),
        (210, fridge()),
    ];
    let put_back = after(210) - Duration::seconds(1);
    assert_eq!(at(&history(cold.clone()), 215).keep_until, Some(put_back));
    let mut warm = cold;
    warm.extend([(180, read(15)), (265, read(4))]);
    let found = at(&history(warm), 300);
    assert_eq!(
        (found.verdict, found.keep_until),
        (Verdict::Past, Some(put_back))
    );
}

/// In a fridge the same readings are those of a tub that cools: its middle was still warm.
#[test]
fn a_colder_spot_of_a_tub_that_cools_in_the_fridge_costs_nothing() {
    let cooling = history(vec![
        (15, fridge()),
        (60, read(4)),
        (110, read(18)),
        (300, read(4)),
    ]);
    assert_eq!(at(&cooling, 310).verdict, Verdict::Good);
}

#[test]
fn a_warmer_reading_does_not_hide_time_without_a_day_count() {
    let chilled = RuleSet::from_text(RuleSet::built_in_text("uk-chilled").unwrap()).unwrap();
    let mut events = vec![
        (100, What::Cooled),
        (100, fridge()),
        (1260, read(4)),
        (1380, read(7)),
        (1410, read(9)),
        (1420, read(4)),
    ];
    let at = |events: &[(i64, What)]| {
        assess(&history(events.to_vec()), &chilled, &zone(), after(1500)).verdict
    };
    assert_eq!(at(&events), Verdict::Unknown);
    events.push((1261, read(9)));
    assert_eq!(at(&events), Verdict::Unknown);
}

#[test]
fn heated_again_it_does_not_go_back_into_the_cold() {
    let hot = What::Placed {
        kind: PlaceKind::HotHold,
        stated: Temperature::celsius(70),
    };
    let tale = history(vec![
        (110, What::Cooled),
        (200, fridge()),
        (240, read(4)),
        (1000, hot),
        (1060, fridge()),
    ]);
    assert!(at(&tale, 1050).verdict.may_be_used());
    assert_eq!(at(&tale, 1060).verdict, Verdict::Past);
}

#[test]
fn a_freezer_that_warms_up_lets_the_days_run() {
    let freezer = What::Placed {
        kind: PlaceKind::Freezer,
        stated: Temperature::celsius(-18),
    };
    let tale = history(vec![
        (110, What::Cooled),
        (200, fridge()),
        (240, read(4)),
        (300, freezer.clone()),
        (310, read(4)),
    ]);
    // A cold reading just after going in is no failing freezer.
    assert!(at(&tale, 20 * 1440).frozen);
    let failed = history(vec![
        (110, What::Cooled),
        (200, fridge()),
        (240, read(4)),
        (300, freezer),
        (5 * 1440, read(3)),
    ]);
    assert_eq!(at(&failed, 20 * 1440).verdict, Verdict::Past);
}

/// Ireland's clocks went back on Sunday 25 October 2026: that day has 25 hours and still counts as one.
#[test]
fn a_day_of_25_hours_is_one_day() {
    let mash_out: Instant = "2026-10-19T08:00:00Z".parse().unwrap();
    let tale = History {
        mash_out: Some(mash_out),
        arrived_dried: false,
        events: vec![
            Event {
                at: mash_out + Duration::hours(3),
                what: What::Cooled,
            },
            Event {
                at: mash_out + Duration::hours(3),
                what: fridge(),
            },
        ],
    };
    let last: Instant = "2026-10-25T23:59:59Z".parse().unwrap();
    let found = assess(&tale, &strict(), &zone(), last);
    assert_eq!(
        (found.verdict, found.keep_until, found.day),
        (Verdict::UseFirst, Some(last), Some(7))
    );
    assert_eq!(
        assess(&tale, &strict(), &zone(), last + Duration::seconds(1)).verdict,
        Verdict::Past
    );
}
