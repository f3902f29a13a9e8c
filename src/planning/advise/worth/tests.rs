use super::*;
use crate::planning::NoPlan;
use crate::planning::problem::PromisedDraw;
use crate::planning::tests::instances::{self, Week, bake, instance, lot, monday};
use chrono::Duration;

fn plan(situation: &Situation) -> Result<Plan, NoPlan> {
    crate::planning::advise::plan(situation, &mut |_| true)
}

/// One lot of 2 kg of dry grain, as uncertain as this, and one bake that wants 500 g.
fn one_bake(standard: f64, has_freezer: bool) -> Situation {
    let mut situation = instances::empty();
    situation.capacity.has_freezer = has_freezer;
    let mut grain = lot("L1", monday() - Duration::days(1), 8_000, 0.75);
    grain.moisture.standard = standard;
    situation.lots.push(grain);
    let mix = monday() + Duration::hours(10);
    situation.bakes.push(bake("B1", mix, [400, 500, 600]));
    situation
}

fn exactly_told(situation: &Situation) -> Vec<Testable> {
    let lots = 0..situation.lots.len();
    lots.map(|lot| Testable { lot, left: 0.0 }).collect()
}

/// Grams that a test of the first lot decides, below 0 too.
fn grams(situation: &Situation, left: f64) -> f64 {
    let base = plan(situation).unwrap();
    let one = Testable { lot: 0, left };
    let tests = Tests::new(situation, &base, vec![one]);
    tests.missed_less(&one, &mut || true).unwrap() * 1000.0
}

fn looked(situation: &Situation) -> Tested {
    let base = plan(situation).unwrap();
    Tests::new(situation, &base, exactly_told(situation)).work_out(&mut |_| true)
}

#[test]
fn the_wider_the_moisture_the_more_a_test_decides() {
    for has_freezer in [false, true] {
        let mut before = 0.0;
        for standard in [0.002, 0.005, 0.01, 0.02, 0.03] {
            let found = grams(&one_bake(standard, has_freezer), 0.0);
            // Draws are whole grams of wet grain.
            assert!(found > before - 0.5, "{standard}: {found} and {before}");
            before = found;
        }
        assert!(before > 10.0, "{has_freezer}: {before}");
    }
}

/// 2 kg of wet grain make the dough: at a moisture of 75 % ± 2 points they hold 500 ± 40 g. Of seven samples the three wet ones
/// come to 0.375 standard deviations on average over all seven (arithmetic on normal quantiles).
#[test]
fn a_dough_of_plenty_that_keeps_lacks_what_a_test_would_tell() {
    let mut situation = one_bake(0.02, false);
    // It keeps beyond the end, so the dough gets what it wants and no more.
    situation.end = monday() + Duration::days(2);
    let found = grams(&situation, 0.0);
    assert!((found - 15.0).abs() < 1.0, "{found}");
    // A test that takes nothing of the uncertainty away tells nothing.
    assert!(grams(&situation, 1.0).abs() < 0.5);
    let half = grams(&situation, 0.8);
    assert!(
        (half - 0.6 * found).abs() < 1.0,
        "{half} of {found}: √(1 − 0.8²)"
    );
}

#[test]
fn a_test_of_a_lot_that_is_known_is_worth_nothing() {
    let situation = one_bake(0.0, true);
    let base = plan(&situation).unwrap();
    let tests = Tests::new(&situation, &base, exactly_told(&situation));
    assert_eq!(tests.plans(), 0);
    assert_eq!(looked(&situation), Tested::default());
    // Nor of one of which the plan draws nothing.
    let mut idle = one_bake(0.02, true);
    idle.bakes[0].only_of = vec!["L1".to_owned()];
    let spare = lot("L2", monday() - Duration::days(1), 8_000, 0.75);
    idle.lots.push(spare);
    let base = plan(&idle).unwrap();
    let tests = Tests::new(&idle, &base, exactly_told(&idle));
    assert_eq!(tests.plans(), SAMPLES);
}

#[test]
fn where_all_grain_goes_into_one_dough_a_test_decides_nothing() {
    let mut situation = one_bake(0.02, true);
    situation.lots[0].wet = Milligrams::new(1_400_000);
    situation.bakes[0].lowest = Milligrams::new(100_000);
    assert!(grams(&situation, 0.0).abs() < 0.5);
    assert!(looked(&situation).worth.is_empty());
}

/// Whatever the week: what is named decides the least or more, the most first, and the same again.
#[test]
fn what_is_named_is_worth_the_oven() {
    let mut named = 0;
    for week in [Week::Balanced, Week::Glut, Week::Bulk] {
        let mut situation = instance(week, 4, 4, 1);
        for lot in &mut situation.lots {
            lot.moisture.standard = 0.025;
        }
        let found = looked(&situation);
        let grams: Vec<i64> = found.worth.iter().map(|one| one.dry.get()).collect();
        assert!(grams.iter().all(|dry| *dry >= LEAST.get()), "{found:?}");
        assert!(grams.is_sorted_by(|one, next| one >= next), "{found:?}");
        assert!(!found.stopped && found.looked_at <= MOST_LOTS);
        assert_eq!(looked(&situation), found);
        named += grams.len();
    }
    assert!(named > 0);
}

#[test]
fn a_promise_is_weighed_anew_by_what_a_test_has_shown() {
    let mut situation = one_bake(0.02, true);
    let promised = |wet| PromisedDraw {
        lot: 0,
        bake: 0,
        wet: Milligrams::new(wet),
    };
    situation.promised = vec![promised(2_000_000)];
    let one = Testable { lot: 0, left: 0.5 };
    let then = tested(&situation, &one, 0.80);
    assert_eq!(then.promised, [promised(2_500_000)]);
    let moisture = then.lots[0].moisture;
    assert_eq!((moisture.value, moisture.standard), (0.80, 0.01));
    situation.promised = vec![promised(7_000_000)];
    assert_eq!(
        tested(&situation, &one, 0.80).promised,
        [promised(8_000_000)]
    );
}

#[test]
fn fewer_lots_and_samples_are_looked_at_in_a_large_week() {
    let plans = |lots: usize, bakes: usize| {
        let mut situation = one_bake(0.02, true);
        let base = plan(&situation).unwrap();
        situation.lots = vec![situation.lots[0].clone(); lots];
        situation.bakes = vec![situation.bakes[0].clone(); bakes];
        // The plan draws from the first lot; it is asked of several times.
        let asked = vec![Testable { lot: 0, left: 0.0 }; lots];
        let tests = Tests::new(&situation, &base, asked);
        (tests.lots.len(), tests.samples)
    };
    assert_eq!(plans(1, 1), (1, SAMPLES));
    assert_eq!(plans(8, 7), (MOST_LOTS, SAMPLES));
    assert_eq!(plans(12, 10), (MOST_LOTS, FEWEST_SAMPLES));
    assert_eq!(plans(20, 14), (1, FEWEST_SAMPLES));
}

#[test]
fn it_ends_when_it_is_told_and_names_no_lot_by_half() {
    let situation = one_bake(0.03, true);
    let base = plan(&situation).unwrap();
    let tests = Tests::new(&situation, &base, exactly_told(&situation));
    let mut told = Vec::new();
    let found = tests.work_out(&mut |plans| {
        told.push(plans);
        plans < 3
    });
    assert_eq!(told, [0, 1, 2, 3]);
    assert!(found.stopped && found.worth.is_empty() && found.looked_at == 0);
}
