//! What measured air makes of grain: more heat is never better, wherever the grain goes.

use super::*;
use crate::keeping::air::loggers::{FileReading, Together};
use crate::keeping::{Assessment, History, PlaceKind, Probe, Shown, Verdict, What, assess};
use crate::ledger::PlaceSetting;
use crate::quantity::Zone;
use chrono::DateTime;
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Minutes after Monday 2 November 2026, 09:00 in Dublin.
fn after(minutes: i64) -> Instant {
    DateTime::from_timestamp(1_793_610_000, 0).unwrap() + Duration::minutes(minutes)
}

fn fridge(probe: Probe) -> PlaceRecord {
    let mut place = PlaceRecord::usual().remove(0);
    place.settings = vec![PlaceSetting {
        probe: Some(probe),
        ..PlaceSetting::usual(PlaceKind::Fridge, Instant::MIN_UTC)
    }];
    place
}

/// What the clock says of a lot that was cold before it came into a fridge in whose air this was measured.
fn judged(air: &[(i64, i32)], probe: Probe, set: &str, later: i64) -> Assessment {
    let rules = RuleSet::from_text(RuleSet::built_in_text(set).unwrap()).unwrap();
    let place = fridge(probe);
    let readings: Vec<(Instant, Temperature)> = air
        .iter()
        .map(|(at, milli)| (after(*at), Temperature::new(*milli, Scale::Celsius)))
        .collect();
    let stay = (after(0), None);
    let depths = GrainInAir::default().layer(&place, stay, false);
    let points = match depths {
        Some(depths) => points(&readings, &place, depths, None, &rules),
        None => readings.into_iter().map(Point::from).collect(),
    };
    let mut spans = air::spans(points.iter().copied(), &rules);
    loggers::last_of(&mut spans, &points, &[], |_| false, rules.longest_gap);
    let mut events: Vec<Event> = air::during(&spans, stay, None).collect();
    let stated = Temperature::celsius(4);
    let kind = PlaceKind::Fridge;
    let placed = What::Placed { kind, stated };
    events.extend([(0, placed), (-60, What::Cooled)].map(|(at, what)| Event {
        at: after(at),
        what,
    }));
    let history = History {
        mash_out: Some(after(-180)),
        arrived_dried: false,
        events,
    };
    let last = air.last().map_or(0, |(at, _)| *at);
    let zone = Zone::named("Europe/Dublin").unwrap();
    assess(&history, &rules, &zone, after(last + later))
}

#[test]
fn only_a_probe_in_the_air_has_a_layer_before_it() {
    let peak = [
        (-5, 3_500),
        (0, 3_500),
        (5, 6_200),
        (10, 3_500),
        (120, 3_500),
    ];
    for (probe, warm) in [(Probe::Air, 0), (Probe::Buffered, 10), (Probe::Grain, 10)] {
        let found = judged(&peak, probe, "strict", 0);
        assert_eq!(found.warm_minutes, warm, "{probe:?}");
    }
}

/// Stays of one lot in turn: what was measured there (nothing for a place without a logger), its place and when
/// it left.
type Stays<'a> = &'a [(&'a [(i64, i32)], PlaceRecord, Option<i64>)];

/// What the clock says of a lot that went through places.
fn judged_on_its_way(stays: Stays<'_>, later: i64) -> Assessment {
    judged_with(stays, &[], later)
}

/// The same, where a thermometer in the grain showed this.
fn judged_with(stays: Stays<'_>, read: &[(i64, i32)], later: i64) -> Assessment {
    let stays: Vec<_> = stays
        .iter()
        .map(|(air, place, leaves)| (one_file(air), place, *leaves))
        .collect();
    judged_in(&stays, read, later)
}

fn one_file(air: &[(i64, i32)]) -> Together {
    Together {
        readings: air
            .iter()
            .map(|(at, milli)| (after(*at), Temperature::new(*milli, Scale::Celsius)))
            .collect(),
        ..Together::default()
    }
}

/// Files of which each says of every ten minutes, as far as it has a reading, what was measured.
fn several_files<'a>(files: impl Iterator<Item = &'a BTreeMap<i64, i32>>) -> Together {
    let mut rows: Vec<FileReading> = (0..)
        .zip(files)
        .flat_map(|(number, file)| {
            file.iter().map(move |(ten, milli)| FileReading {
                at: after(10 * ten),
                file: number,
                temperature: Temperature::new(*milli, Scale::Celsius),
            })
        })
        .collect();
    rows.sort_by_key(|row| (row.at, row.file));
    loggers::together(&rows, Duration::hours(4))
}

/// The same, where several files may have been read in.
fn judged_in(
    stays: &[(Together, &PlaceRecord, Option<i64>)],
    read: &[(i64, i32)],
    later: i64,
) -> Assessment {
    let rules = RuleSet::from_text(RuleSet::built_in_text("strict").unwrap()).unwrap();
    let mut from = after(0);
    let read = read.iter().map(|(at, milli)| {
        let temperature = Temperature::new(*milli, Scale::Celsius);
        (*at, What::Read(temperature))
    });
    let mut events: Vec<Event> = std::iter::once((-300, What::Cooled))
        .chain(read)
        .map(|(at, what)| Event {
            at: after(at),
            what,
        })
        .collect();
    let mut grain = GrainInAir::of(&events, &rules);
    for (air, place, leaves) in stays {
        let setting = place.setting_at(from);
        let (kind, stated) = (setting.kind, setting.stated);
        events.push(Event {
            at: from,
            what: What::Placed { kind, stated },
        });
        let leaves = leaves.map(after);
        let range = Range::of(air.clone(), Vec::new(), place, &rules);
        events.extend(grain.during(&range, place, (from, leaves), &rules));
        from = leaves.unwrap_or(from);
    }
    let history = History {
        mash_out: Some(after(-480)),
        arrived_dried: false,
        events,
    };
    let zone = Zone::named("Europe/Dublin").unwrap();
    assess(&history, &rules, &zone, after(later))
}

fn unlogged(kind: PlaceKind) -> PlaceRecord {
    let mut place = PlaceRecord::usual().remove(0);
    place.settings = vec![PlaceSetting::usual(kind, Instant::MIN_UTC)];
    place
}

/// Ninety minutes at 12 °C in a logged fridge: 2 cm of grain are above 5 °C for more than two hours, whatever
/// place they are carried to meanwhile.
#[test]
fn a_minute_elsewhere_does_not_take_the_heat_out_of_the_grain() {
    let air: Vec<(i64, i32)> = (-10..60)
        .map(|ten| {
            (
                10 * ten,
                if (12..21).contains(&ten) {
                    12_000
                } else {
                    3_500
                },
            )
        })
        .collect();
    let until: Vec<(i64, i32)> = air.iter().copied().filter(|(at, _)| *at <= 220).collect();
    let stays_put = judged_on_its_way(&[(&air, fridge(Probe::Air), None)], 600);
    assert_eq!(stays_put.verdict, Verdict::Past);
    for elsewhere in [PlaceKind::Ambient, PlaceKind::Freezer, PlaceKind::Fridge] {
        let back = [
            (until.as_slice(), fridge(Probe::Air), Some(220)),
            (&[], unlogged(elsewhere), Some(221)),
            (air.as_slice(), fridge(Probe::Air), None),
        ];
        let found = judged_on_its_way(&back, 600);
        assert_eq!(found.verdict, Verdict::Past, "{elsewhere:?}: {found:?}");
    }
    let to_another = [
        (until.as_slice(), fridge(Probe::Air), Some(220)),
        (&[], unlogged(PlaceKind::Fridge), None),
    ];
    let found = judged_on_its_way(&to_another, 600);
    assert_eq!(found.verdict, Verdict::Past, "{found:?}");
    let buffered = [
        (until.as_slice(), fridge(Probe::Air), Some(220)),
        (air.as_slice(), fridge(Probe::Buffered), None),
    ];
    let found = judged_on_its_way(&buffered, 600);
    assert_eq!(found.verdict, Verdict::Past, "{found:?}");
}

/// The door stood open at the last reading, and the grain was taken elsewhere ten minutes later: nobody measured how warm
/// it left, so that makes no lot past. A reading that still follows in the place it left makes it so, whatever the next
/// place is.
#[test]
fn heat_that_rests_on_a_last_reading_makes_no_lot_past() {
    let warm: Vec<(i64, i32)> = (-10..13).map(|ten| (10 * ten, 3_500)).collect();
    let opened = [warm.as_slice(), &[(130, 25_000), (140, 25_000)]].concat();
    let closed = [opened.as_slice(), &[(150, 25_000)]].concat();
    let logged: Vec<(i64, i32)> = (10..120).map(|ten| (10 * ten, 3_500)).collect();
    for next in [&[][..], logged.as_slice()] {
        for (air, verdict) in [(&opened, Verdict::Unknown), (&closed, Verdict::Past)] {
            let stays = [
                (air.as_slice(), fridge(Probe::Air), Some(150)),
                (next, fridge(Probe::Air), None),
            ];
            let found = judged_on_its_way(&stays, 1000);
            assert_eq!(found.verdict, verdict, "{next:?}: {found:?}");
        }
        let left_cold = [
            (&opened[..opened.len() - 2], fridge(Probe::Air), Some(150)),
            (next, fridge(Probe::Air), None),
        ];
        assert_eq!(judged_on_its_way(&left_cold, 1000).warm_minutes, 0);
    }
}

/// The layer is worked out and the grain is measured: a cold thermometer where nobody measures ends the warmth that was
/// brought there, and what a cold thermometer in the measured place showed does not.
#[test]
fn a_cold_thermometer_ends_brought_warmth() {
    let air: Vec<(i64, i32)> = (-2..14).map(|five| (5 * five, 9_000)).collect();
    let stays = [
        (air.as_slice(), fridge(Probe::Air), Some(55)),
        (&[], unlogged(PlaceKind::Fridge), Some(160)),
        (&[], unlogged(PlaceKind::Fridge), None),
    ];
    let found = |read: &[(i64, i32)]| judged_with(&stays, read, 600);
    let shown = found(&[(90, 4_000)]);
    assert_eq!((shown.verdict, shown.warm_minutes), (Verdict::Good, 90));
    for none in [&[][..], &[(50, 4_000)], &[(90, 4_000), (90, 6_000)]] {
        assert_eq!(found(none).verdict, Verdict::Past, "{none:?}");
    }
}

/// Two readings of 3.5 °C that lie days apart: what left within 4 h after the first left it cold, and what was there longer is
/// unknown. A reading of 7 °C before the gap makes that time warm, as after a last reading.
#[test]
fn in_a_gap_the_time_after_its_first_reading_counts_as_after_a_last_one() {
    for probe in [Probe::Air, Probe::Buffered, Probe::Grain] {
        let judged = |milli: i32, leaves: i64| {
            let air = [(-10, 3_500), (0, milli), (3_000, 3_500), (3_010, 3_500)];
            let stays = [
                (air.as_slice(), fridge(probe), Some(leaves)),
                (&[], unlogged(PlaceKind::Fridge), None),
            ];
            let found = judged_on_its_way(&stays, 4_000);
            (found.verdict, found.warm_minutes)
        };
        for leaves in [1, 15, 240] {
            assert_eq!(judged(3_500, leaves), (Verdict::Good, 0), "{probe:?}");
        }
        assert_eq!(judged(3_500, 241).0, Verdict::Unknown, "{probe:?}");
        let (_, warm) = judged(7_000, 15);
        assert!(warm >= 15, "{probe:?}: {warm}");
        // 4 h by that reading alone, and out of limit when they were over.
        assert_eq!(judged(7_000, 240).0, Verdict::Unknown, "{probe:?}");
    }
}

/// A row that was left out in the gap was warm, and hot air that may have cooled keeps nothing hot.
#[test]
fn a_gap_with_rows_left_out_and_one_of_a_hot_hold_are_unknown_from_the_first_reading_on() {
    let rules = RuleSet::from_text(RuleSet::built_in_text("strict").unwrap()).unwrap();
    let first_unknown = |place: &PlaceRecord, left_out: Vec<Instant>| {
        let air = one_file(&[(0, 3_500), (3_000, 3_500)]);
        let spans = Range::of(air, left_out, place, &rules).spans;
        spans
            .iter()
            .find(|span| matches!(span.shown, Shown::Gap(_)))
            .unwrap()
            .from
    };
    let fridge = fridge(Probe::Grain);
    assert_eq!(first_unknown(&fridge, Vec::new()), after(240));
    assert_eq!(first_unknown(&fridge, vec![after(3_001)]), after(240));
    assert_eq!(first_unknown(&fridge, vec![after(300)]), after(0));
    assert_eq!(
        first_unknown(&unlogged(PlaceKind::HotHold), Vec::new()),
        after(0)
    );
}

/// Grain that leaves a place cold is cold where nobody measures, as the place is stated.
#[test]
fn cold_grain_brings_no_heat_along() {
    let air: Vec<(i64, i32)> = (-10..60).map(|ten| (10 * ten, 3_500)).collect();
    let stays = [
        (air.as_slice(), fridge(Probe::Air), Some(220)),
        (&[], unlogged(PlaceKind::Fridge), None),
    ];
    let found = judged_on_its_way(&stays, 600);
    assert_eq!((found.verdict, found.warm_minutes), (Verdict::Good, 0));
}

/// Readings with the minute of each, from half an hour before the grain came on: of those before it the gap is known.
fn by_the_minute(gaps: Vec<(i64, i32)>) -> Vec<(i64, i32)> {
    let mut minute = -30;
    let each = gaps.into_iter().map(|(gap, milli)| {
        minute += gap;
        (minute, milli)
    });
    each.collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Hotter air at any reading never gives a better verdict or a later date, now or later.
    #[test]
    fn more_heat_never_gives_a_better_verdict(
        gaps in prop::collection::vec((1i64..300, 1_000i32..9_000), 1..20),
        at in 0usize..20,
        more in 1i32..8_000,
        later in 0i64..2000,
    ) {
        let air = by_the_minute(gaps);
        let mut hotter = air.clone();
        let at = at % air.len();
        hotter[at].1 += more;
        for set in ["strict", "us-food-code", "au-2h-4h"] {
            let before = judged(&air, Probe::Air, set, later);
            let found = judged(&hotter, Probe::Air, set, later);
            // 2 h and more of warm time are past once they end in the cold, and "use now" while they last
            // (FSANZ 2-hour/4-hour guide): what is hotter may be back in the cold later, and is never good.
            if before.verdict == Verdict::Past
                && before.binding.limit.starts_with("back into the cold after")
            {
                prop_assert!(found.verdict > Verdict::Good, "{set}: {before:?} became {found:?}");
                continue;
            }
            prop_assert!(found.verdict >= before.verdict, "{set}: {before:?} became {found:?}");
            if let (Some(until), true) = (before.keep_until, found.verdict.may_be_used()) {
                prop_assert!(found.keep_until.is_some_and(|found| found <= until), "{set}");
            }
        }
    }

    /// No layer is warmer than every reading of its place that counts for the stay. One from long before the grain came, with
    /// a gap after it, does not.
    #[test]
    fn a_layer_is_no_warmer_than_the_air_that_it_met(
        gaps in prop::collection::vec((1i64..500, 1_000i32..25_000), 1..15),
        came in 0i64..2_000,
        parted in prop::option::of(1i64..600),
    ) {
        let air = by_the_minute(gaps);
        let rules = RuleSet::from_text(RuleSet::built_in_text("strict").unwrap()).unwrap();
        let place = fridge(Probe::Air);
        let range = Range::of(one_file(&air), Vec::new(), &place, &rules);
        let mut grain = GrainInAir::default();
        grain.comes(after(came), None);
        let parted = parted.map(|later| after(came + later));
        let mut events = grain.during(&range, &place, (after(came), parted), &rules);
        if let Some(parted) = parted {
            events.extend(grain.during(&range, &place, (parted, None), &rules));
        }
        let met = air.iter().filter(|(at, _)| at + 240 > came);
        let hottest = met.map(|(_, milli)| *milli).max();
        for event in events {
            let What::Air { shown, .. } = event.what else { continue };
            let (Shown::Measured { warmest, .. } | Shown::Last { shown: warmest, .. }) = shown else {
                continue;
            };
            prop_assert!(hottest.is_some_and(|hottest| warmest.milli_celsius() <= hottest), "{shown:?}");
        }
    }

    /// Several loggers measured one place: whichever file is read in first, the lot is judged alike. So it is where it
    /// came or left at a moment of which two files hold figures that differ.
    #[test]
    fn the_order_of_files_does_not_count(
        files in prop::collection::vec(
            prop::collection::btree_map(0i64..30, 1_000i32..26_000, 1..20),
            2..4,
        ),
        came in 1i64..15,
        stays in 1i64..15,
        from_elsewhere in any::<bool>(),
        probe in prop::sample::select(vec![Probe::Air, Probe::Buffered, Probe::Grain]),
        next in prop::sample::select(vec![PlaceKind::Fridge, PlaceKind::Freezer]),
        later in 0i64..900,
    ) {
        let (came, left) = (10 * came, 10 * (came + stays));
        let places = [fridge(Probe::Air), fridge(probe), unlogged(next)];
        let judged = |order: &[usize]| {
            let air = several_files(order.iter().map(|file| &files[*file]));
            let nothing = Together::default();
            let before = if from_elsewhere { &nothing } else { &air };
            let stays = [
                (before.clone(), &places[0], Some(came)),
                (air, &places[1], Some(left)),
                (nothing, &places[2], None),
            ];
            judged_in(&stays, &[], left + later)
        };
        let mut order: Vec<usize> = (0..files.len()).collect();
        let found = judged(&order);
        for _ in 1..files.len() {
            order.rotate_left(1);
            prop_assert_eq!(judged(&order), found.clone());
        }
        order.reverse();
        prop_assert_eq!(judged(&order), found);
    }

    /// A file that begins after a gap, cold or not, changes nothing of grain that left the place while what was read before it
    /// still counted: it is as the book had it that knew no more, wherever it went.
    #[test]
    fn a_file_after_a_gap_changes_nothing_of_grain_that_left_soon_after_a_reading(
        files in prop::collection::vec(
            prop::collection::btree_map(0i64..60, 1_000i32..12_000, 1..20),
            1..4,
        ),
        later_file in prop::collection::btree_map(0i64..60, -2_000i32..9_000, 1..10),
        beyond in 1i64..300,
        came in 0i64..900,
        soon in 2i64..=240,
        probe in prop::sample::select(vec![Probe::Air, Probe::Buffered, Probe::Grain]),
        next in prop::sample::select(vec![
            PlaceKind::Fridge,
            PlaceKind::Freezer,
            PlaceKind::Ambient,
        ]),
        read in prop::option::of((0i64..900, 2_000i32..9_000)),
        later in 0i64..900,
    ) {
        let last = files.iter().flatten().map(|(ten, _)| *ten).max().unwrap();
        let leaves = 10 * last + soon;
        let came = 1 + came % (leaves - 1);
        let beyond = last + 24 + beyond;
        let after_gap: BTreeMap<i64, i32> = later_file
            .into_iter()
            .map(|(ten, milli)| (beyond + ten, milli))
            .collect();
        let places = [unlogged(PlaceKind::Fridge), fridge(probe), unlogged(next)];
        let judged = |air: Together, leaves: Option<i64>, at: i64| {
            let nothing = Together::default();
            let stays = [
                (nothing.clone(), &places[0], Some(came)),
                (air, &places[1], leaves),
                (nothing, &places[2], None),
            ];
            let stays = &stays[..if leaves.is_some() { 3 } else { 2 }];
            judged_in(stays, read.as_slice(), at)
        };
        let before = several_files(files.iter());
        let all = several_files(files.iter().chain([&after_gap]));
        let known = judged(before.clone(), Some(leaves), leaves + later);
        prop_assert_eq!(&known, &judged(all.clone(), Some(leaves), leaves + later));
        // Grain that stays is judged as by that book while the time lasts, and unknown once it is over.
        if read.is_none() {
            let meanwhile = leaves - 1;
            let known = judged(before, None, meanwhile);
            let found = judged(all.clone(), None, meanwhile);
            prop_assert_eq!(
                (known.verdict, known.warm_minutes),
                (found.verdict, found.warm_minutes)
            );
            for over in [10 * last + 241, 10 * beyond + later] {
                let found = judged(all.clone(), None, over);
                prop_assert!(found.verdict >= Verdict::Unknown, "{found:?}");
            }
        }
    }

    /// Nor does hotter air before grain is carried to where nobody measures, or a hotter thermometer there.
    #[test]
    fn more_heat_before_a_thermometer_never_gives_a_better_verdict(
        air in prop::collection::vec(1_000i32..12_000, 2..30),
        at in 0usize..30,
        more in 0i32..8_000,
        leaves in 1i64..150,
        read in (1i64..300, 2_000i32..9_000),
        read_more in 0i32..4_000,
        later in 0i64..900,
    ) {
        let judged = |air: &[i32], read: i32, at: i64| {
            let air: Vec<(i64, i32)> = (-1..).map(|ten| 10 * ten).zip(air.iter().copied()).collect();
            let stays = [
                (air.as_slice(), fridge(Probe::Air), Some(leaves)),
                (&[], unlogged(PlaceKind::Fridge), None),
            ];
            judged_with(&stays, &[(leaves + at, read)], later)
        };
        let mut hotter = air.clone();
        let at = at % air.len();
        hotter[at] += more;
        let before = judged(&air, read.1, read.0);
        let found = judged(&hotter, read.1 + read_more, read.0);
        // As above: what is back in the cold too late is past, and what stays warm is used now.
        let is_back = before.binding.limit.starts_with("back into the cold after");
        if is_back && !before.verdict.may_be_used() {
            prop_assert!(found.verdict > Verdict::Good, "{before:?} became {found:?}");
        } else {
            prop_assert!(found.verdict >= before.verdict, "{before:?} became {found:?}");
        }
    }
}
