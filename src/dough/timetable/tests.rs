//! Timetables of an ordinary loaf, of a shipped formula and of small ones, by hand.

use super::*;
use proptest::prelude::*;

/// Common practice, no source: a preferment stands about 12 h; a strong yeast-leavened grain dough takes about three
/// rises of an hour with kneading between and an hour to an hour and a half in the pan; a pan loaf starts at 230 °C
/// with steam for 10 to 15 min and finishes at 200 °C in another 30 to 35 min.
const PAN_LOAF: &str = r#"
name = "ordinary pan loaf"
hydration = "70%"
grain.wanted = "10%"
flour = [{ name = "white flour", share = "90%" }]
stage = [{ name = "sponge", kind = "preferment", flour = "25%", hydration = "80%", ripens = "12h" }]
step = [
    { do = "mix", takes = "12min" },
    { do = "rise", takes = "1h" },
    { do = "knead", takes = "3min" },
    { do = "rise", takes = "1h" },
    { do = "knead", takes = "3min" },
    { do = "rise", takes = "1h" },
    { do = "divide", takes = "15min" },
    { do = "shape", takes = "20min" },
    { do = "proof", takes = "75min" },
    { do = "bake", takes = "12min", temperature = "230C", steam = "12min" },
    { do = "bake", takes = "33min", temperature = "200C" },
    { do = "cool", takes = "2h" },
]
"#;
const SEEDED_ROLL: &str = include_str!("../../../demo-data/formulas/seeded-roll.toml");

const PLAIN: &str = "name = \"plain\"\nhydration = \"70%\"\ngrain.wanted = \"10%\"\n[[flour]]\nname = \"white flour\"\nshare = \"90%\"\n";

fn formula(text: &str) -> Formula {
    Formula::from_text(text).unwrap()
}

fn plain(more: &str) -> Formula {
    formula(&format!("{PLAIN}{more}"))
}

fn zone(name: &str) -> Zone {
    Zone::named(name).unwrap()
}

fn local(zone: &Zone, text: &str) -> Instant {
    zone.resolve(chrono::NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap())
        .unwrap()
}

/// Local begin and what, one line each.
fn lines(formula: &Formula, table: &Timetable, zone: &Zone) -> Vec<String> {
    table
        .events
        .iter()
        .map(|event| {
            let what = match event.what {
                EventKind::Stage(stage) => formula.stages[stage].name.clone(),
                EventKind::Step(step) => formula.steps[step].kind.as_str().to_owned(),
            };
            format!("{} {what}", zone.local(event.from).format("%a %H:%M"))
        })
        .collect()
}

/// By hand: 12 min mix, 60 rise, 3, 60, 3, 60, 15 divide, 20 shape and 75 proof are 308 min to the oven; 12
/// and 33 min in it and 120 to cool make 473 min, 7 h 53 min. The sponge ripens 12 h.
#[test]
fn the_pan_loaf_goes_back_from_the_oven_to_the_evening_before() {
    let dublin = zone("Europe/Dublin");
    let pan = formula(PAN_LOAF);
    let table = work_out(&pan, Point::InOven, local(&dublin, "2026-11-20 11:08")).unwrap();
    assert_eq!(
        lines(&pan, &table, &dublin),
        [
            "Thu 18:00 sponge",
            "Fri 06:00 mix",
            "Fri 06:12 rise",
            "Fri 07:12 knead",
            "Fri 07:15 rise",
            "Fri 08:15 knead",
            "Fri 08:18 rise",
            "Fri 09:18 divide",
            "Fri 09:33 shape",
            "Fri 09:53 proof",
            "Fri 11:08 bake",
            "Fri 11:20 bake",
            "Fri 11:53 cool",
        ]
    );
    assert_eq!(table.mix_at, local(&dublin, "2026-11-20 06:00"));
    assert_eq!(table.ready_at, local(&dublin, "2026-11-20 13:53"));
    assert_eq!(table.begins_at(), local(&dublin, "2026-11-19 18:00"));
    for (point, at) in [
        (Point::Mix, table.mix_at),
        (Point::InOven, table.in_oven_at.unwrap()),
        (Point::Ready, table.ready_at),
    ] {
        assert_eq!(work_out(&pan, point, at).unwrap(), table, "{point}");
    }
}

#[test]
fn putting_a_stage_together_is_one_moment_of_work() {
    let roll = formula(SEEDED_ROLL);
    let at = "2026-11-20T06:00:00Z".parse().unwrap();
    let table = work_out(&roll, Point::Mix, at).unwrap();
    let first = table.events[0];
    assert_eq!(first.what, EventKind::Stage(0));
    assert_eq!(first.from, at - Duration::hours(8));
    assert_eq!(first.until, first.from);
    assert!(first.hands_on);
}

/// Ireland put its clocks back from 02:00 to 01:00 on Sunday 25 October 2026 and forward from 01:00 to
/// 02:00 on Sunday 29 March 2026 (IANA time zone database).
#[test]
fn durations_are_elapsed_time_when_the_clock_changes() {
    let dublin = zone("Europe/Dublin");
    let pan = formula(PAN_LOAF);
    for (mixing, sponge) in [
        ("2026-10-25 06:00", "Sat 19:00 sponge"),
        ("2026-03-29 06:00", "Sat 17:00 sponge"),
        ("2026-10-24 06:00", "Fri 18:00 sponge"),
    ] {
        let table = work_out(&pan, Point::Mix, local(&dublin, mixing)).unwrap();
        assert_eq!(lines(&pan, &table, &dublin)[0], sponge, "{mixing}");
        assert_eq!(table.mix_at - table.events[0].from, Duration::hours(12));
    }
    // Mixed before the change and in the oven after it: 308 min on the watch, an hour less or more on
    // the clock.
    for (mixing, oven) in [
        ("2026-10-25 00:30", "2026-10-25 04:38"),
        ("2026-03-29 00:30", "2026-03-29 06:38"),
    ] {
        let table = work_out(&pan, Point::Mix, local(&dublin, mixing)).unwrap();
        assert_eq!(table.in_oven_at, Some(local(&dublin, oven)), "{mixing}");
    }
}

#[test]
fn a_stage_that_does_not_ripen_is_made_right_before_mixing() {
    let text = "[[stage]]\nname = \"scald\"\nkind = \"soaker\"\nflour = \"10%\"\nof = \"white flour\"\nhydration = \"100%\"\n";
    let utc = Zone::utc();
    let at = "2026-11-20T06:00:00Z".parse().unwrap();
    let mixed = plain(&format!(
        "{text}[[step]]\ndo = \"mix\"\ntakes = \"10min\"\n"
    ));
    let table = work_out(&mixed, Point::Mix, at).unwrap();
    assert_eq!(
        lines(&mixed, &table, &utc),
        ["Fri 06:00 scald", "Fri 06:00 mix"]
    );
    // A formula that does not name mixing as a step still begins with it.
    let rested = plain(&format!(
        "{text}[[step]]\ndo = \"rest\"\ntakes = \"10min\"\n"
    ));
    let table = work_out(&rested, Point::Mix, at).unwrap();
    assert_eq!(
        lines(&rested, &table, &utc),
        ["Fri 06:00 scald", "Fri 06:00 final dough", "Fri 06:00 rest"]
    );
}

#[test]
fn what_a_point_needs_has_to_be_in_the_formula() {
    let at = "2026-11-20T06:00:00Z".parse().unwrap();
    let none = plain("");
    let table = work_out(&none, Point::Mix, at).unwrap();
    assert_eq!(
        (table.mix_at, table.in_oven_at, table.ready_at),
        (at, None, at)
    );
    assert_eq!(table.events.len(), 1);
    assert_eq!(
        work_out(&none, Point::Ready, at).unwrap_err().to_string(),
        "formula `plain` has no step, so nothing says how long it is from mixing to ready"
    );
    let cold = plain("[[step]]\ndo = \"mix\"\ntakes = \"10min\"\n");
    assert_eq!(
        work_out(&cold, Point::InOven, at).unwrap_err().to_string(),
        "formula `plain` has no step `bake`, so nothing says how long it is from mixing to in-oven"
    );
    assert_eq!(
        work_out(&cold, Point::Ready, at).unwrap().mix_at,
        at - Duration::minutes(10)
    );
}

#[test]
fn points_are_read_by_their_words() {
    for point in Point::ALL {
        assert_eq!(point.to_string().parse(), Ok(point));
    }
    assert_eq!(
        "oven".parse::<Point>().unwrap_err().to_string(),
        "point is `oven`: allowed are mix, in-oven, ready"
    );
}

fn clock(text: &str) -> NaiveTime {
    NaiveTime::parse_from_str(text, "%H:%M").unwrap()
}

#[test]
fn work_in_the_hours_called_night_is_seen() {
    let dublin = zone("Europe/Dublin");
    let night = Some((clock("22:00"), clock("05:00")));
    let event = |from: &str, minutes: i64, hands_on: bool, at_oven: bool| {
        let from = local(&dublin, from);
        Event {
            from,
            until: from + Duration::minutes(minutes),
            what: EventKind::Step(0),
            hands_on,
            at_oven,
        }
    };
    for (from, minutes, hands_on, at_oven, expected) in [
        ("2026-11-20 21:50", 10, true, false, false),
        ("2026-11-20 21:50", 11, true, false, true),
        ("2026-11-20 22:00", 0, true, false, true),
        ("2026-11-20 02:00", 10, true, false, true),
        ("2026-11-20 04:59", 30, true, false, true),
        ("2026-11-20 05:00", 30, true, false, false),
        ("2026-11-20 12:00", 0, true, false, false),
        // Waiting disturbs nobody; the oven has to be filled and emptied.
        ("2026-11-20 02:00", 60, false, false, false),
        ("2026-11-20 02:00", 60, false, true, true),
        ("2026-11-20 04:30", 60, false, true, true),
        ("2026-11-20 21:30", 40, false, true, true),
        ("2026-11-20 21:30", 600, false, true, false),
        ("2026-11-20 12:00", 2000, true, false, true),
    ] {
        assert_eq!(
            at_night(&event(from, minutes, hands_on, at_oven), night, &dublin),
            expected,
            "{from} {minutes}"
        );
    }
    let afternoon = Some((clock("13:00"), clock("15:00")));
    let early = event("2026-11-20 12:30", 30, true, false);
    assert!(!at_night(&early, afternoon, &dublin));
    assert!(at_night(
        &event("2026-11-20 14:59", 5, true, false),
        afternoon,
        &dublin
    ));
    assert!(!at_night(
        &event("2026-11-20 02:00", 10, true, false),
        None,
        &dublin
    ));
    // Equal times are no hours at all.
    assert!(!at_night(
        &early,
        Some((clock("12:30"), clock("12:30"))),
        &dublin
    ));
}

/// From 00:30 on 25 October 2026 the 150 min of work end at 02:00, not at 03:00.
#[test]
fn night_is_what_the_clock_shows() {
    let dublin = zone("Europe/Dublin");
    let from = local(&dublin, "2026-10-25 00:30");
    let event = Event {
        from,
        until: from + Duration::minutes(150),
        what: EventKind::Step(0),
        hands_on: true,
        at_oven: false,
    };
    assert!(!at_night(
        &event,
        Some((clock("02:00"), clock("04:00"))),
        &dublin
    ));
    assert!(at_night(
        &event,
        Some((clock("01:59"), clock("04:00"))),
        &dublin
    ));
}

proptest! {
    #[test]
    fn whatever_is_fixed_the_steps_follow_one_another(seconds in 0i64..4_000_000_000, point in 0usize..3) {
        let pan = formula(PAN_LOAF);
        let at = chrono::DateTime::from_timestamp(seconds, 0).unwrap();
        let table = work_out(&pan, Point::ALL[point], at).unwrap();
        let fixed = [Some(table.mix_at), table.in_oven_at, Some(table.ready_at)][point];
        prop_assert_eq!(fixed, Some(at));
        prop_assert!(table.events.windows(2).all(|pair| pair[0].from <= pair[1].from));
        let steps: Vec<_> = table.events.iter().filter(|one| matches!(one.what, EventKind::Step(_))).collect();
        prop_assert!(steps.windows(2).all(|pair| pair[0].until == pair[1].from));
        prop_assert_eq!(steps.first().unwrap().from, table.mix_at);
        prop_assert_eq!(steps.last().unwrap().until, table.ready_at);
    }
}
