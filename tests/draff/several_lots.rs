//! The moisture of several lots in one dough: in made-up worlds where the model holds, its 95 % range holds the truth
//! about 95 times in a hundred, whatever the lots share.

use draffbook::dough::batch::mixture::{self, Offer};
use draffbook::grain::{
    ByCause, Earlier, Estimate, Form, Kind, Method, MoistureTest, Precision, Sample, TestResult,
    Weighing, Within, estimate, treatments,
};
use draffbook::quantity::Milligrams;
use draffbook::quantity::mass::from_grams;
use statrs::distribution::{ContinuousCDF, Normal};

/// A small generator of even numbers between 0 and 1 (multiplier of Knuth's MMIX), the same on every run.
struct Even(u64);

impl Even {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    fn normal(&mut self, standard: f64) -> f64 {
        Normal::standard().inverse_cdf(self.next()) * standard
    }
}

/// One sample of 100 g that reads so much moisture.
fn test(read: f64) -> TestResult {
    let dry = ((1.0 - read) * 100_000.0).round() as i64;
    let weighing = Weighing::new(
        Milligrams::new(0),
        Milligrams::new(100_000),
        vec![Milligrams::new(dry)],
    );
    MoistureTest {
        method: Method::Oven,
        readability: Milligrams::new(100),
        samples: vec![Sample {
            first: weighing.unwrap(),
            second: None,
        }],
        open: Vec::new(),
        laboratory: None,
    }
    .evaluate(Form::Whole, Kind::Mashed)
    .unwrap()
}

/// What is known of the lots of one dough.
#[derive(Clone, Copy, Debug)]
enum World {
    /// Each is tested, all in one oven.
    Tested,
    /// None is; eight earlier lots of their brewery were.
    Learned,
    /// None is, and nothing else was.
    Untested,
    /// Every other one is tested, and eight earlier lots were.
    Mixed,
}

/// How lots of one brewery differ, a standard deviation.
const BETWEEN: f64 = 0.01;

/// The true moistures of so many lots and what the program makes of what was measured.
fn lots(world: World, count: usize, even: &mut Even) -> Vec<(f64, Estimate)> {
    let precision = Precision::UNMILLED;
    let bias = even.normal(precision.between_laboratories_sd());
    let read = |truth: f64, even: &mut Even| {
        test(truth + bias + even.normal(precision.repeatability_sd()))
    };
    let default = estimate::default_moisture(Form::Whole, Kind::Mashed);
    let mean = match world {
        World::Untested => default.value + even.normal(default.standard),
        _ => 0.77,
    };
    let earlier: Vec<TestResult> = match world {
        World::Tested | World::Untested => Vec::new(),
        World::Learned | World::Mixed => (0..8)
            .map(|_| read(mean + even.normal(BETWEEN), even))
            .collect(),
    };
    (0..count)
        .map(|lot| {
            let truth = match world {
                // What is off for one untested lot is off for all.
                World::Untested => mean,
                _ => mean + even.normal(BETWEEN),
            };
            let is_tested = match world {
                World::Tested => true,
                World::Mixed => lot % 2 == 0,
                World::Learned | World::Untested => false,
            };
            let tests: Vec<TestResult> = is_tested.then(|| read(truth, even)).into_iter().collect();
            let found = estimate::estimate(
                &tests,
                Earlier {
                    own: &earlier,
                    others: &[],
                },
                Form::Whole,
                Kind::Mashed,
                &Within::default(),
            );
            (truth, found.named(&lot.to_string(), "one brewery"))
        })
        .collect()
}

fn offers(lots: &[(f64, Estimate)]) -> Vec<Offer> {
    lots.iter()
        .map(|(_, found)| Offer {
            left: Milligrams::new(1_000_000),
            moisture: found.by_cause.clone(),
        })
        .collect()
}

#[test]
fn the_range_of_several_lots_holds_the_truth_as_often_as_it_says() {
    let rounds = if std::env::var_os("DRAFF_LONG").is_some() {
        20_000
    } else {
        2_000
    };
    let mut even = Even(2026);
    for world in [World::Tested, World::Learned, World::Untested, World::Mixed] {
        for count in 1..=5 {
            let mut held = 0;
            for _ in 0..rounds {
                let lots = lots(world, count, &mut even);
                let found = mixture::draw(&offers(&lots), from_grams(1e9));
                let all: f64 = found.draws.iter().map(|draw| draw.value).sum();
                let truth: f64 = lots
                    .iter()
                    .zip(&found.draws)
                    .map(|((truth, _), draw)| truth * draw.value / all)
                    .sum();
                let (low, high) = found.moisture.range();
                held += usize::from(low < truth && truth < high);
            }
            let share = held as f64 / rounds as f64;
            // Lots of this world differ less than published ones: what is published keeps the range on the wide side.
            let most = if matches!(world, World::Learned) {
                0.99
            } else {
                0.97
            };
            assert!(
                (0.93..=most).contains(&share),
                "{world:?}, {count} lots: {share}"
            );
        }
    }
}

/// Two lots joined and then drawn with a third, and all three drawn separately in the same proportion.
#[test]
fn joining_first_and_drawing_separately_give_the_same_range() {
    let mut even = Even(7);
    for world in [World::Tested, World::Learned, World::Untested, World::Mixed] {
        let lots = lots(world, 3, &mut even);
        let each = Milligrams::new(1_000_000);
        let causes: Vec<(Milligrams, ByCause)> = lots
            .iter()
            .map(|(_, found)| (each, found.by_cause.clone()))
            .collect();
        let joined = treatments::joined(&causes[..2]).unwrap();
        let first = Offer {
            left: Milligrams::new(2_000_000),
            moisture: joined,
        };
        let all = offers(&lots);
        let one = mixture::draw(&[first, all[2].clone()], from_grams(1e9)).moisture;
        let other = mixture::draw(&all, from_grams(1e9)).moisture;
        assert!((one.value - other.value).abs() < 1e-12, "{world:?}");
        assert!(
            (one.expanded() / other.expanded() - 1.0).abs() < 1e-9,
            "{world:?}"
        );
    }
}
