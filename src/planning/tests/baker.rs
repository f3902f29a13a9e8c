//! Weeks that a baker would look over: each says what a good baker would do, and the plan does it.

use super::freeze;
use super::instances::{self, bake, lot, monday};
use crate::planning::plan::{Draw, Fate, Plan, Work};
use crate::planning::problem::{PromisedDraw, Situation, WaterRoom};
use crate::planning::reason::Reason;
use crate::planning::windows::State;
use crate::planning::{Patience, make};
use crate::quantity::{Instant, Milligrams};
use chrono::{Duration, NaiveTime};

fn plan(situation: &Situation) -> Plan {
    make(situation, Patience::default(), &mut |_| true).unwrap()
}

fn at(days: i64, hours: i64) -> Instant {
    monday() + Duration::days(days) + Duration::hours(hours)
}

/// So many days of nothing yet, from Monday 06:00.
fn days(days: i64) -> Situation {
    let mut situation = instances::empty();
    situation.end = at(days, 0);
    situation
}

fn draws(plan: &Plan, bake: usize) -> &[Draw] {
    &plan.bakes[bake].draws
}

fn by(plan: &Plan, work: Work) -> Vec<Instant> {
    let actions = plan.actions.iter();
    let of_work = actions.filter(|action| action.work == work);
    of_work.map(|action| action.by).collect()
}

#[test]
fn an_optional_bake_is_baked_from_good_frozen_grain() {
    let mut situation = days(7);
    situation.lots.push(lot("L1", at(-2, 0), 10_000, 0.75));
    freeze(&mut situation.lots[0], at(-1, 0));
    situation.bakes.push(bake("B1", at(2, 0), [400, 500, 600]));
    situation.bakes[0].firm = false;
    let plan = plan(&situation);
    assert!(plan.bakes[0].happens);
    // All of the block thaws, and what the dough leaves would spoil: so it takes the most that it may.
    assert_eq!(plan.bakes[0].dry, Milligrams::new(600_000));
    assert!(
        draws(&plan, 0)
            .iter()
            .all(|draw| draw.state == State::Thawed)
    );
}

/// Three optional bakes and grain for two: the two earlier ones.
#[test]
fn of_optional_bakes_the_most_and_then_the_earliest_are_baked() {
    let mut situation = days(4);
    situation.lots.push(lot("L1", at(-1, 0), 4_000, 0.75));
    for day in 0..3 {
        let mut bake = bake(&format!("B{day}"), at(day, 6), [450, 500, 600]);
        bake.firm = false;
        situation.bakes.push(bake);
    }
    let happens = plan(&situation)
        .bakes
        .iter()
        .map(|bake| bake.happens)
        .collect::<Vec<_>>();
    assert_eq!(happens, [true, true, false]);
    // Of as many the later ones only where the earlier take too much.
    situation.bakes[0].lowest = Milligrams::new(900_000);
    situation.bakes[0].wanted = Milligrams::new(900_000);
    situation.bakes[0].highest = Milligrams::new(900_000);
    let happens = plan(&situation)
        .bakes
        .iter()
        .map(|bake| bake.happens)
        .collect::<Vec<_>>();
    assert_eq!(happens, [false, true, true]);
}

#[test]
fn frozen_grain_is_thawed_before_its_dough_or_does_not_fit() {
    let mut situation = days(7);
    // One good day is left: the day it is thawed is its last.
    situation.lots.push(lot("L1", at(-6, 0), 4_000, 0.75));
    freeze(&mut situation.lots[0], at(-1, 0));
    situation.bakes.push(bake("B1", at(1, 0), [400, 500, 600]));
    let late = plan(&situation);
    assert!(draws(&late, 0).is_empty(), "{late:?}");
    assert_eq!(late.bakes[0].reason, Some(Reason::NothingInDate));
    // Mixed in the evening of the same day it is still in time.
    situation.bakes[0] = bake("B1", at(1, 13), [400, 500, 600]);
    situation.lots[0].thaw_lead = Duration::hours(12);
    let in_time = plan(&situation);
    assert_eq!(by(&in_time, Work::Thaw), [at(1, 1)]);
    // The rest of the block spoils the same night.
    assert_eq!(in_time.bakes[0].dry, Milligrams::new(600_000));
}

/// Nothing is thawed where no fridge is cold enough, and so nothing is frozen for a bake.
#[test]
fn without_a_fridge_no_frozen_grain_goes_into_a_bake() {
    let mut situation = days(14);
    situation.lots.push(lot("L1", at(-2, 0), 4_000, 0.75));
    freeze(&mut situation.lots[0], at(-1, 0));
    situation.lots.push(lot("L2", at(-2, 0), 4_000, 0.75));
    situation.bakes.push(bake("B1", at(9, 2), [500, 500, 500]));
    assert!(!draws(&plan(&situation), 0).is_empty());
    situation.capacity.has_fridge = false;
    let plan = plan(&situation);
    assert!(draws(&plan, 0).is_empty(), "{plan:?}");
    assert!(plan.actions.is_empty(), "{plan:?}");
    assert_eq!(plan.bakes[0].reason, Some(Reason::NoFridge));
}

#[test]
fn grain_that_cannot_be_thawed_in_time_is_not_frozen_for_it() {
    let mut situation = days(9);
    // Its last good day is today: frozen and thawed it would be past before the dough.
    situation.lots.push(lot("L1", at(-6, 0), 4_000, 0.75));
    situation.bakes.push(bake("B1", at(3, 0), [400, 500, 600]));
    let plan = plan(&situation);
    assert!(draws(&plan, 0).is_empty());
}

#[test]
fn a_freezer_that_holds_more_than_it_takes_gets_nothing_more() {
    let mut situation = days(8);
    situation.lots.push(lot("L1", at(-2, 0), 10_000, 0.75));
    freeze(&mut situation.lots[0], at(-1, 0));
    situation.lots.push(lot("L2", at(-4, 0), 6_000, 0.75));
    situation.capacity.freezer = Some(Milligrams::new(5_000_000));
    for day in [1, 2, 3] {
        situation
            .bakes
            .push(bake(&format!("B{day}"), at(day, 0), [300, 400, 500]));
    }
    let plan = plan(&situation);
    assert!(by(&plan, Work::Freeze).is_empty());
    assert!(plan.bakes.iter().all(|bake| bake.short == Milligrams::ZERO));
}

/// One tub, the same dough three times, less grain than they want.
#[test]
fn the_same_dough_from_one_tub_comes_out_the_same() {
    for (wet, others) in [(4_836, false), (4_836, true), (20_000, true)] {
        let mut situation = days(5);
        situation.capacity.has_freezer = false;
        situation.lots.push(lot("L1", at(-1, 0), wet, 0.75));
        for day in 0..3 {
            situation
                .bakes
                .push(bake(&format!("B{day}"), at(day, 6), [100, 500, 600]));
        }
        if others {
            // Another dough that lacks far more, so that the largest shortfall is not theirs.
            let mut dark = bake("B9", at(0, 8), [100, 500, 600]);
            dark.only_of = vec!["L2".to_owned()];
            situation.bakes.push(dark);
            situation.lots.push(lot("L2", at(-1, 0), 600, 0.75));
            situation.bakes[0].only_of = vec!["L1".to_owned()];
            situation.bakes[1].only_of = vec!["L1".to_owned()];
            situation.bakes[2].only_of = vec!["L1".to_owned()];
        }
        let plan = plan(&situation);
        let dry: Vec<i64> = plan.bakes[..3].iter().map(|bake| bake.dry.get()).collect();
        let apart = dry.iter().max().unwrap() - dry.iter().min().unwrap();
        assert!(apart <= 1000, "{wet} {dry:?}");
    }
}

/// A bake goes over what it wants only for grain that would spoil.
#[test]
fn a_dough_takes_more_than_it_wants_only_for_grain_that_would_spoil() {
    let mut situation = days(8);
    situation.lots.push(lot("L1", at(-4, 0), 4_000, 0.75));
    for day in 0..2 {
        situation
            .bakes
            .push(bake(&format!("B{day}"), at(day, 6), [300, 400, 480]));
    }
    let with_a_freezer = plan(&situation);
    situation.capacity.has_freezer = false;
    let without = plan(&situation);
    let dry = |plan: &Plan| {
        plan.bakes
            .iter()
            .map(|bake| bake.dry.get() / 1000)
            .collect::<Vec<_>>()
    };
    assert_eq!(dry(&with_a_freezer), [400, 400]);
    assert_eq!(dry(&without), [480, 480]);
    situation.costs.even_first = true;
    assert_eq!(dry(&plan(&situation)), [400, 400]);
}

#[test]
fn what_is_known_to_be_surplus_is_frozen_tonight() {
    let mut situation = days(10);
    situation.lots.push(lot("L1", at(-1, 0), 12_000, 0.75));
    situation.bakes.push(bake("B1", at(1, 0), [400, 500, 600]));
    let found = plan(&situation);
    // Nine in the evening, by default; the clock in Dublin is UTC in November.
    assert_eq!(by(&found, Work::Freeze), [at(0, 15)]);
    // Where the freezer has no room before Wednesday, on Wednesday.
    situation.lots.push(lot("L0", at(-2, 0), 3_600, 0.75));
    freeze(&mut situation.lots[1], at(-1, 0));
    situation.bakes.push(bake("B2", at(2, 12), [900, 900, 900]));
    situation.bakes[1].only_of = vec!["L0".to_owned()];
    situation.capacity.freezer = Some(Milligrams::new(10_100_000));
    let later = plan(&situation);
    assert_eq!(by(&later, Work::Freeze), [at(2, 15)], "{later:?}");
}

/// The evening at 21:00 or a minute earlier: the same grain is saved.
#[test]
fn the_last_day_does_not_hang_on_a_minute() {
    let mut situation = days(9);
    situation.lots.push(lot("L1", at(-6, 0), 8_000, 0.75));
    situation.bakes.push(bake("B1", at(0, 2), [400, 500, 600]));
    situation.capacity.has_freezer = false;
    situation.capacity.dryer_water = Milligrams::new(10_000_000);
    situation.capacity.drying = Duration::hours(3);
    let spoiled = |situation: &Situation| plan(situation).aims.spoiled;
    for (hour, minute) in [(20, 59), (21, 0), (21, 1)] {
        situation.capacity.evening = NaiveTime::from_hms_opt(hour, minute, 0).unwrap();
        assert_eq!(spoiled(&situation), Milligrams::ZERO, "{hour}:{minute}");
    }
}

/// Grain that goes into a preferment the evening before is weighed out then, and judged then.
#[test]
fn grain_for_a_preferment_is_judged_when_it_is_weighed_out() {
    let mut situation = days(4);
    // Good until tonight, mixed tomorrow.
    situation.lots.push(lot("L1", at(-6, 0), 4_000, 0.75));
    situation.bakes.push(bake("B1", at(1, 0), [400, 500, 600]));
    situation.bakes[0].grain_at = at(0, 12);
    let plan = plan(&situation);
    // What is left of the lot could not be kept.
    assert_eq!(plan.bakes[0].dry, Milligrams::new(600_000));
    assert_eq!(draws(&plan, 0)[0].state, State::AsItLies);
}

#[test]
fn jobs_that_nobody_would_do_are_left_out() {
    let mut situation = days(9);
    situation.lots.push(lot("L1", at(-4, 0), 4_020, 0.75));
    situation.bakes.push(bake("B1", at(0, 6), [400, 500, 1000]));
    situation.bakes.push(bake("B2", at(0, 8), [400, 500, 1000]));
    let plan = plan(&situation);
    assert!(plan.actions.is_empty(), "{:?}", plan.actions);
    let spoils: i64 = plan
        .left
        .iter()
        .filter(|left| left.fate == Fate::Spoils)
        .map(|left| left.wet.get())
        .sum();
    assert_eq!(spoils, 20_000);
}

/// The oldest portion in the freezer goes first, and what lies in the fridge before it.
#[test]
fn older_portions_go_before_newer_ones() {
    let mut situation = days(5);
    for (code, age) in [("L1", 3), ("L2", 5), ("L3", 4)] {
        situation
            .lots
            .push(lot(code, at(-age - 30, 0), 4_000, 0.75));
    }
    for lot in 0..3 {
        let mash_out = situation.lots[lot].histories[0].mash_out.unwrap();
        freeze(&mut situation.lots[lot], mash_out + Duration::days(1));
    }
    situation.bakes.push(bake("B1", at(2, 0), [900, 900, 900]));
    let frozen = plan(&situation);
    assert_eq!(
        draws(&frozen, 0)
            .iter()
            .map(|draw| draw.lot)
            .collect::<Vec<_>>(),
        [1]
    );
    situation.lots.push(lot("L4", at(-1, 0), 4_000, 0.75));
    let fresh = plan(&situation);
    assert_eq!(
        draws(&fresh, 0)
            .iter()
            .map(|draw| draw.lot)
            .collect::<Vec<_>>(),
        [3]
    );
}

/// A promise moves before a firm bake falls short, and the plan tells.
#[test]
fn promises_bend_before_a_firm_bake_falls_short() {
    let mut situation = days(3);
    situation.lots.push(lot("L1", at(-1, 0), 4_000, 0.75));
    situation.bakes.push(bake("B1", at(0, 6), [400, 600, 900]));
    situation.bakes.push(bake("B2", at(1, 0), [400, 600, 900]));
    situation.promised = vec![PromisedDraw {
        lot: 0,
        bake: 0,
        wet: Milligrams::new(3_600_000),
    }];
    let plan = plan(&situation);
    assert_eq!(plan.aims.short, Milligrams::ZERO);
    assert_eq!(plan.bakes[1].dry, Milligrams::new(400_000));
    assert_eq!(plan.broken.len(), 1);
}

/// Two lots, one tested and one not: the bake is not left to luck where there is grain.
#[test]
fn a_bake_falls_below_its_minimum_only_rarely_where_there_is_grain() {
    let mut situation = days(3);
    situation.lots.push(lot("L1", at(-1, 0), 8_000, 0.75));
    situation.lots[0].moisture.standard = 0.03;
    situation.bakes.push(bake("B1", at(0, 6), [495, 500, 700]));
    let chance = plan(&situation).bakes[0].chance_below.unwrap();
    assert!(chance <= situation.capacity.risk + 0.01, "{chance}");
}

/// What the freezers are full for is said so, and not put down to other bakes.
#[test]
fn full_freezers_are_named_as_the_reason() {
    let mut situation = days(12);
    situation.lots.push(lot("L1", at(-3, 0), 8_000, 0.75));
    situation.bakes.push(bake("B1", at(0, 6), [400, 500, 600]));
    situation.bakes.push(bake("B2", at(7, 0), [400, 500, 600]));
    situation.capacity.freezer = Some(Milligrams::new(500_000));
    let plan = plan(&situation);
    assert_eq!(plan.bakes[1].reason, Some(Reason::FreezersFull));
}

/// A dough that takes 2 kg of water with its grain: of grain with 80 % water (four parts of water to one
/// of dry grain, less what flour holds by itself, here nothing) that is 500 g of dry grain at most, though the formula
/// would take 600 g. A sum by hand.
#[test]
fn a_dough_gets_no_more_grain_than_it_takes_water() {
    let mut situation = days(7);
    situation.lots.push(lot("L1", at(-1, 0), 10_000, 0.80));
    situation.bakes.push(bake("B1", at(1, 0), [300, 600, 600]));
    let room = |grams: i64| {
        Some(WaterRoom {
            most: Milligrams::new(grams * 1000),
            flour_per_dry: 1.0,
        })
    };
    situation.bakes[0].water = room(2000);
    let plan = plan(&situation);
    let dry = plan.bakes[0].dry.get();
    assert!((490_000..=500_000).contains(&dry), "{dry}");

    // Less water than the least grain brings: it is short, and the reason is said.
    situation.bakes[0].water = room(800);
    let plan = self::plan(&situation);
    assert!(plan.bakes[0].short.get() > 90_000, "{:?}", plan.bakes[0]);
    assert_eq!(plan.bakes[0].reason, Some(Reason::TooWet));
}

/// A dough with one figure for least, wanted and most is below it half the time: that takes no other dough's only tub.
#[test]
fn a_dough_that_wants_its_minimum_takes_no_other_doughs_grain_for_its_risk() {
    let mut situation = days(7);
    situation.capacity.risk = 0.1;
    situation.lots.push(lot("L1", at(-1, 0), 1_900, 0.78));
    situation.lots.push(lot("L2", at(-1, 0), 4_000, 0.78));
    situation.lots[0].moisture.standard = 0.005;
    situation.lots[1].moisture.standard = 0.035;
    situation.bakes.push(bake("B1", at(3, 6), [210, 420, 530]));
    situation.bakes.push(bake("B2", at(4, 6), [420, 420, 420]));
    situation.bakes[0].only_of = vec!["L1".to_owned()];
    let plan = plan(&situation);
    let of = |bake: usize| draws(&plan, bake).iter().map(|draw| draw.lot);
    assert!(of(0).eq([0]) && of(1).eq([1]), "{plan:?}");
    assert!(plan.bakes[0].dry.get() > 417_000, "{plan:?}");
}

#[test]
fn equal_doughs_are_alike_though_one_is_made_of_fresh_grain_and_one_of_frozen() {
    let mut situation = days(14);
    situation.lots.push(lot("L1", at(-1, 0), 4_000, 0.75));
    situation.lots.push(lot("L2", at(-1, 0), 600, 0.75));
    for (code, day) in [("B1", 2), ("B2", 10), ("B3", 1)] {
        situation
            .bakes
            .push(bake(code, at(day, 0), [400, 600, 700]));
    }
    situation.bakes[2].only_of = vec!["L2".to_owned()];
    let plan = plan(&situation);
    let [one, other] = [&plan.bakes[0], &plan.bakes[1]];
    assert_eq!(other.draws[0].state, State::Thawed);
    assert!(
        (one.dry.get() - other.dry.get()).abs() <= 2_000,
        "{} and {}",
        one.dry.get(),
        other.dry.get()
    );
}

#[test]
fn older_frozen_grain_goes_into_a_later_dough_before_newer_grain_is_frozen_for_it() {
    let mut situation = days(14);
    situation.lots.push(lot("old", at(-7, 0), 2_000, 0.75));
    freeze(&mut situation.lots[0], at(-6, 0));
    situation.lots.push(lot("new", at(-1, 0), 4_000, 0.75));
    situation.bakes.push(bake("B1", at(10, 0), [400, 500, 600]));
    let plan = plan(&situation);
    let lots: Vec<usize> = draws(&plan, 0).iter().map(|draw| draw.lot).collect();
    assert_eq!(lots, [0], "{plan:?}");
}
