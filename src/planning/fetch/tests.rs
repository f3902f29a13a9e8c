use super::*;
use crate::planning::aims::{Aim, Weights};
use crate::planning::plan::Fate;
use crate::planning::tests::instances::{self, Week, bake, chilled, instance, lot, monday};
use crate::planning::{Patience, make};
use crate::quantity::Uncertain;
use chrono::Duration;

/// Tuesday noon.
fn tuesday() -> Instant {
    monday() + Duration::hours(30)
}

/// Grain of a known moisture, of which a quarter is dry, fetched on Tuesday.
fn request(situation: &Situation) -> Request<'_> {
    let mut lot = lot("NEW", tuesday(), 0, 0.75);
    lot.moisture = Uncertain::known(0.75, 0.0);
    lot.histories = vec![chilled(tuesday())];
    Request {
        situation,
        lot,
        at: tuesday(),
        chance: 0.5,
        samples: 200,
        seed: 1,
    }
}

fn calculated(request: &Request<'_>) -> Fetch {
    work_out(request, &mut |_| true).unwrap()
}

/// Bakes that each want just half a kilogram, all at once on Tuesday evening; grain spoils long before the end.
fn one_evening(optional: usize, firm: usize) -> Situation {
    let mut situation = instances::empty();
    for index in 0..optional + firm {
        let mix = tuesday() + Duration::hours(6);
        let mut bake = bake(&format!("B{index}"), mix, [500; 3]);
        bake.firm = index >= optional;
        situation.bakes.push(bake);
    }
    situation.capacity.has_freezer = false;
    situation
}

/// Only the first two aims, as the newsvendor has them.
fn two_aims(short: f64, unused: f64) -> Weights {
    Weights::only(Aim::Spoiled)
        .with(Aim::Spoiled, 10.0)
        .with(Aim::Short, short)
        .with(Aim::Unused, 10.0 * unused)
}

/// The newsvendor: one period, known distribution of what is wanted, so much for a unit too few and so much
/// for one too many. The best order is the smallest amount whose chance to suffice is at least
/// under ÷ (under + over) (Arrow, Harris & Marschak 1951, Econometrica 19, 250–272; Silver, Pyke & Peterson
/// 1998, Inventory Management and Production Planning and Scheduling, 3rd ed., chapter 10; both from memory).
///
/// Six bakes that happen with chance ½: how many is binomial, with cumulative chances 1/64, 7/64, 22/64,
/// 42/64, 57/64, 63/64, 1 (arithmetic). What is left over is frozen and counts by the setting `unused`.
#[test]
fn one_period_of_optional_bakes_is_the_newsvendor() {
    let mut situation = one_evening(6, 0);
    situation.capacity.has_freezer = true;
    situation.costs.freezing_per_kg = 0.0;
    for (unused, bakes) in [(1.0, 3), (0.25, 4), (0.05, 5), (0.005, 6)] {
        situation.costs.unused_counts = unused;
        let request = request(&situation);
        let found = weighed(&request, two_aims(1000.0, unused), &mut |_| true).unwrap();
        // By the chances of the samples themselves.
        let samples = samples::draw(&request.lot.moisture, 6, 0.5, 200, 1);
        let suffices = |bakes: usize| {
            let enough = samples
                .iter()
                .filter(|one| one.happens.iter().filter(|happens| **happens).count() <= bakes);
            enough.map(|one| one.count).sum::<usize>() as f64 / 200.0
        };
        let fractile = 1.0 / (1.0 + unused);
        let quantile = (0..=6).find(|bakes| suffices(*bakes) >= fractile).unwrap();
        assert_eq!(quantile, bakes, "as in the whole distribution");
        // Half a kilogram dry is two kilograms wet.
        assert_eq!(
            found.wet,
            Milligrams::new(bakes as i64 * 2_000_000),
            "{unused}"
        );
    }
}

/// The same with the yield random and not the demand (Yano & Lee 1995, Operations Research 43, 311–334, from
/// memory): worked out here sample by sample, without a program.
#[test]
fn a_moisture_that_varies_is_the_newsvendor_with_random_yield() {
    let mut situation = one_evening(0, 4);
    // A rest too small to weigh out would be lost.
    situation.capacity.portion = Milligrams::ZERO;
    let mut request = request(&situation);
    for (standard, short) in [(0.02, 1000.0), (0.04, 1000.0), (0.04, 30.0), (0.04, 5.0)] {
        request.lot.moisture = Uncertain::known(0.75, standard);
        let found = weighed(&request, two_aims(short, 0.5), &mut |_| true).unwrap();
        let samples = samples::draw(&request.lot.moisture, 0, 0.5, 200, 1);
        let cost = |kilograms: f64| -> f64 {
            let of = |one: &Sample| {
                let over = kilograms * (1.0 - one.moisture) - 2.0;
                (over.max(0.0) * 10.0 + (-over).max(0.0) * short) / 200.0
            };
            samples.iter().map(of).sum()
        };
        let step = found.step.get() as f64 / 1e6;
        let steps = (0..80).map(|index| f64::from(index) * step);
        let best = steps.min_by(|one, other| cost(*one).total_cmp(&cost(*other)));
        assert_eq!(
            found.wet.get() as f64 / 1e6,
            best.unwrap(),
            "{standard} {short}"
        );
        let apart = (found.expected.cost - cost(best.unwrap())).abs();
        assert!(apart < 1e-6, "{standard} {short}: {apart} {found:?}");
        let (more, beside) = found.more.unwrap();
        assert!((beside.cost - cost(more.get() as f64 / 1e6)).abs() < 1e-6);
    }
}

#[test]
fn more_stock_never_raises_the_amount_and_more_bakes_never_lower_it() {
    let mut before = Milligrams::new(i64::MAX);
    for stock in 0..6 {
        let mut situation = one_evening(0, 4);
        if stock > 0 {
            let lot = lot("OLD", monday() - Duration::hours(8), stock * 2_000, 0.75);
            situation.lots.push(lot);
        }
        let found = calculated(&request(&situation)).wet;
        assert!(found <= before, "{stock}: {found:?} after {before:?}");
        assert_eq!(found.get(), (8_000_000 - stock * 2_000_000).max(0));
        before = found;
    }
    let mut before = Milligrams::ZERO;
    for bakes in 0..6 {
        let mut situation = one_evening(2, bakes);
        situation
            .lots
            .push(lot("OLD", monday() - Duration::hours(8), 3_000, 0.75));
        let found = calculated(&request(&situation)).wet;
        assert!(found >= before, "{bakes}: {found:?} after {before:?}");
        before = found;
    }
    assert!(before > Milligrams::ZERO);
}

#[test]
fn the_same_question_has_the_same_answer_whatever_the_order_of_samples() {
    let situation = instance(Week::Scarce, 4, 4, 2);
    let mut request = request(&situation);
    request.samples = 60;
    request.lot.moisture = Uncertain::known(0.78, 0.02);
    let once = calculated(&request);
    assert_eq!(once, calculated(&request));
    let stage = Stage::new(
        &situation,
        &request.lot,
        request.at,
        Weights::weighed(&situation.costs),
    );
    let mut samples = samples::draw(&request.lot.moisture, stage.optional(), 0.5, 60, 1);
    samples.reverse();
    let turned = samples::merged(samples);
    assert_eq!(
        once,
        decided(&request, &stage, &turned, &mut |_| true).unwrap()
    );
    // The order in which the book gives its bakes is no matter either.
    let mut other = situation.clone();
    other.bakes.reverse();
    request.situation = &other;
    assert_eq!(once.wet, calculated(&request).wet);
}

/// What is worked out quickly lies between what no plan undercuts and what the whole planner finds for the same
/// lots and bakes.
#[test]
fn quick_plans_are_near_the_plans_of_the_planner() {
    let (mut quick, mut whole, mut bounds) = (0.0, 0.0, 0.0);
    for week in Week::ALL {
        for seed in 1..=3 {
            let mut situation = instance(week, 5, 4, seed);
            for bake in &mut situation.bakes {
                bake.firm = true;
            }
            let request = request(&situation);
            let stage = Stage::new(
                &situation,
                &request.lot,
                request.at,
                Weights::weighed(&situation.costs),
            );
            let samples = samples::draw(&request.lot.moisture, 0, 0.5, 1, 1);
            let expected = stage.expected(&samples, Milligrams::ZERO);
            let bound = stage.bound(&samples, Milligrams::ZERO);
            let plan = make(&situation, Patience::default(), &mut |_| true).unwrap();
            let weighed = |short: f64, spoiled: f64, unused: f64| {
                1000.0 * short + 10.0 * (spoiled + unused / 2.0)
            };
            let kg = |mass: Milligrams| mass.get() as f64 / 1e6;
            whole += weighed(
                kg(plan.aims.short),
                kg(plan.aims.spoiled),
                kg(plan.aims.preserved_unused),
            );
            quick += weighed(expected.short, expected.spoiled, expected.preserved_unused);
            bounds += bound;
            assert!(bound <= expected.cost + 1e-6, "{week:?} {seed}");
        }
    }
    assert!(bounds > 0.0);
    assert!(quick < 1.1 * whole, "{quick} and {whole}");
}

#[test]
fn nothing_is_taken_for_a_reason() {
    let why = |situation: &Situation, request: &dyn Fn(&mut Request<'_>)| {
        let mut asked = self::request(situation);
        request(&mut asked);
        let found = calculated(&asked);
        assert_eq!((found.wet, found.less), (Milligrams::ZERO, None));
        assert_eq!(found.expected, found.nothing);
        found.because.unwrap()
    };
    let bakes = one_evening(0, 2);
    assert_eq!(why(&instances::empty(), &|_| ()), Because::NoBakes);
    let late = |asked: &mut Request<'_>| asked.at += Duration::hours(7);
    assert_eq!(why(&bakes, &late), Because::BakesBefore);
    let mut dark = bakes.clone();
    for bake in &mut dark.bakes {
        bake.colour = Some(crate::dough::formula::Colour::Dark);
    }
    assert_eq!(why(&dark, &|_| ()), Because::NoneFits(Unfit::Colour));
    // Nobody knows when it was mashed: no bake may have it.
    let unknown = |asked: &mut Request<'_>| asked.lot.histories[0].mash_out = None;
    assert_eq!(why(&bakes, &unknown), Because::NoneFits(Unfit::Date));
    let mut rich = bakes.clone();
    rich.lots
        .push(lot("OLD", monday() - Duration::hours(8), 9_000, 0.75));
    assert_eq!(why(&rich, &|_| ()), Because::Covered);
    let never = |asked: &mut Request<'_>| asked.chance = 0.0;
    assert_eq!(why(&one_evening(3, 0), &never), Because::Covered);
}

#[test]
fn bakes_get_what_they_want_and_not_only_their_least() {
    let mut situation = one_evening(0, 0);
    let mix = tuesday() + Duration::hours(6);
    situation.bakes.push(bake("B0", mix, [400, 500, 600]));
    let found = calculated(&request(&situation));
    assert_eq!(
        (found.wet, found.step),
        (Milligrams::new(2_000_000), Milligrams::new(FINE))
    );
    let (less, beside) = found.less.unwrap();
    assert_eq!((less, beside.short), (Milligrams::ZERO, 0.4));
    let (more, beside) = found.more.unwrap();
    assert_eq!(more, Milligrams::new(4_000_000));
    // A bake takes up to its most before grain spoils.
    assert!((beside.spoiled - 0.4).abs() < 1e-6 && beside.short == 0.0);
}

/// A bake that weighs its grain out before the pickup cannot have any of it, and grain that is fetched late
/// cannot be handled before it is there.
#[test]
fn what_is_not_there_yet_is_not_used() {
    let mut situation = one_evening(0, 1);
    situation
        .bakes
        .push(bake("EARLY", tuesday() - Duration::hours(1), [500; 3]));
    let found = calculated(&request(&situation));
    assert_eq!(found.wet, Milligrams::new(2_000_000));
    assert!((found.expected.short - 0.5).abs() < 1e-9);
    let stage = Stage::new(
        &situation,
        &request(&situation).lot,
        tuesday(),
        Weights::weighed(&situation.costs),
    );
    let window = stage.windows().lots.last().unwrap();
    assert_eq!(window.bakes[1], Fit::Unfit(Unfit::Date));
    assert!(window.usable && window.until.unwrap() > tuesday() + Duration::days(5));
}

#[test]
fn a_search_that_is_ended_says_so_and_still_answers() {
    let situation = one_evening(0, 4);
    let mut request = request(&situation);
    request.samples = 20;
    request.lot.moisture = Uncertain::known(0.75, 0.02);
    let whole = calculated(&request);
    let ended = |after: usize| {
        let mut looks = 0;
        work_out(&request, &mut |_| {
            looks += 1;
            looks <= after
        })
    };
    // Before any amount was looked at there is no answer, and above all not that nothing is needed.
    assert_eq!(ended(0), None);
    for after in 1..8 {
        let found = ended(after).unwrap();
        assert!(found.stopped && found.because.is_none(), "{after}");
        assert!(found.wet > Milligrams::ZERO && whole.wet > Milligrams::ZERO);
    }
    assert!(!whole.stopped);
}

#[test]
fn steps_are_fit_for_the_amount() {
    for (most, step) in [
        (0, FINE),
        (4_900_000, FINE),
        (12_000_000, 500_000),
        (90_000_000, 500_000),
        (900_000_000, 2_000_000),
    ] {
        assert_eq!(step_for(Milligrams::new(most)), Milligrams::new(step));
    }
}

/// Fates of the real plan with what was said to be fetched: what was expected is what is planned.
#[test]
fn the_plan_with_what_is_fetched_agrees() {
    let situation = one_evening(0, 3);
    let request = request(&situation);
    let found = calculated(&request);
    let mut fetched = situation.clone();
    fetched.now = tuesday();
    let mut lot = request.lot.clone();
    lot.wet = found.more.unwrap().0;
    fetched.lots.push(lot);
    let plan = make(&fetched, Patience::default(), &mut |_| true).unwrap();
    let spoils: i64 = plan
        .left
        .iter()
        .filter(|left| left.fate == Fate::Spoils)
        .map(|left| left.dry.get())
        .sum();
    assert!((spoils as f64 / 1e6 - found.more.unwrap().1.spoiled).abs() < 2e-3);
    assert_eq!(plan.aims.short, Milligrams::ZERO);
}
