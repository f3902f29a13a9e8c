use super::*;
use crate::grain::by_cause::Cause;
use crate::grain::{Earlier, Evidence, Kind, Within, estimate};
use proptest::prelude::*;

fn mg(grams: f64) -> Milligrams {
    Milligrams::new((grams * 1000.0).round() as i64)
}

fn treatment(step: Step, wet_in: f64, wet_out: f64) -> Treatment {
    Treatment {
        step,
        wet_in: mg(wet_in),
        wet_out: mg(wet_out),
        water: Milligrams::ZERO,
        left: Milligrams::ZERO,
        dry_loss: Milligrams::ZERO,
    }
}

/// All of it shared with whatever else was not measured.
fn by_cause(moisture: &Uncertain) -> ByCause {
    ByCause::one(*moisture, Cause::Default)
}

fn known(value: f64, standard: f64) -> Estimate {
    Estimate::calculated(
        by_cause(&Uncertain::known(value, standard)),
        Evidence::Treatment { tested: true },
        Form::Whole,
    )
}

/// Published: IRRI Knowledge Bank, 1000 kg at 25 % dried to 872 kg have 14 % moisture.
#[test]
fn weights_of_a_published_drying_give_its_moisture() {
    let dried = treatment(Step::Dry, 1e6, 872e3).moisture(&Uncertain::known(0.25, 0.005));
    assert!((dried.value - 0.14).abs() < 0.0005, "{dried:?}");
    // The same dry grain in less: the uncertainty grows as the weight falls (arithmetic).
    assert!((dried.standard - 0.005 * 1000.0 / 872.0).abs() < 1e-12);
}

/// 220 g of dry grain in 51 kg are 0.43 %, whatever is left of the water; in 2 kg they are 11 % (arithmetic).
#[test]
fn grain_with_more_water_than_grain_holds_is_told_from_grain() {
    let blended = |water: f64, wet_out: f64| Treatment {
        water: mg(water),
        ..treatment(Step::Blend, 1000.0, wet_out)
    };
    let before = Uncertain::known(0.78, 0.01);
    for wet_out in [51e3, 1000.0] {
        let (wet, most) = blended(50e3, wet_out).wetter_than_grain(&before).unwrap();
        assert!((wet - (1.0 - 220.0 / 51e3)).abs() < 1e-12, "{wet}");
        assert!((most - 0.95).abs() < 1e-12);
    }
    assert_eq!(blended(1000.0, 2000.0).wetter_than_grain(&before), None);
    // 10 g of the 220 g are left in 640 g.
    let lossy = Treatment {
        dry_loss: mg(210.0),
        ..treatment(Step::Press, 1000.0, 640.0)
    };
    let (wet, _) = lossy.wetter_than_grain(&before).unwrap();
    assert!((wet - (1.0 - 10.0 / 640.0)).abs() < 1e-12, "{wet}");
    // Grain that was found that wet is no slip.
    let soup = treatment(Step::Press, 1000.0, 1000.0);
    assert_eq!(soup.wetter_than_grain(&Uncertain::known(0.96, 0.01)), None);
}

/// 100 kg of malt leave about 22 kg of dry matter, which at 80 % are 110 kg of wet grain (arithmetic; 100 to
/// 130 kg are published). 130 kg at 70 % would hold 39 kg.
#[test]
fn more_dry_grain_than_went_in_is_refused_with_the_figures() {
    let wet = treatment(Step::Press, 110e3, 73.3e3);
    assert!(wet.refuse_impossible(&known(0.80, 0.005)).is_ok());
    let pressed = wet.moisture(&Uncertain::known(0.80, 0.005));
    assert!((pressed.value - 0.70).abs() < 0.001);
    let impossible = treatment(Step::Dry, 110e3, 20e3)
        .refuse_impossible(&known(0.80, 0.005))
        .unwrap_err()
        .to_string();
    assert!(
        impossible.contains("22000 g of dry grain went in")
            && impossible.contains("20000 g of anything came out"),
        "{impossible}"
    );
}

#[test]
fn impossible_weights_are_refused() {
    let before = known(0.78, 0.01);
    let refused = |treatment: Treatment| {
        treatment
            .refuse_impossible(&before)
            .unwrap_err()
            .to_string()
    };
    assert!(refused(treatment(Step::Press, 1000.0, 1001.0)).contains("1001 g came out"));
    let mut watered = treatment(Step::Blend, 1000.0, 1200.0);
    watered.water = mg(200.0);
    assert!(watered.refuse_impossible(&before).is_ok());
    watered.left = mg(0.001);
    assert!(refused(watered).contains("more than the 1200 g that went in"));
    let mut pressed = treatment(Step::Press, 1000.0, 900.0);
    pressed.water = mg(10.0);
    assert!(refused(pressed).contains("no water is added"));
    let mut lost = treatment(Step::Press, 1000.0, 600.0);
    lost.dry_loss = mg(250.0);
    assert!(refused(lost).contains("nothing would be left"));
    let soaked = treatment(Step::Soak, 100.0, 100.0);
    assert!(refused(soaked).contains("none is stated"));
}

#[test]
fn each_step_makes_its_form_of_what_it_can_be_done_with() {
    use Form::{Blended, Dried, Milled, Pressed, Whole};
    let made = [
        (Step::Press, Whole, Pressed),
        (Step::Press, Blended, Pressed),
        (Step::Blend, Pressed, Blended),
        (Step::Dry, Whole, Dried),
        (Step::Dry, Milled, Milled),
        (Step::Mill, Dried, Milled),
        (Step::ThawDrain, Pressed, Pressed),
        (Step::Soak, Dried, Whole),
        (Step::Soak, Milled, Blended),
    ];
    for (step, from, to) in made {
        assert_eq!(step.form(from).unwrap(), to, "{step} {from}");
    }
    for (step, from) in [
        (Step::Press, Dried),
        (Step::Blend, Milled),
        (Step::Mill, Whole),
        (Step::ThawDrain, Dried),
        (Step::Soak, Whole),
    ] {
        let problem = step.form(from).unwrap_err();
        assert!(!problem.hints().is_empty(), "{step} {from}");
    }
    for step in Step::ALL {
        assert_eq!(step.to_string().parse::<Step>().unwrap(), step);
    }
}

/// Means and standard deviations from SciPy 1.17.1:
///
/// ```text
/// from scipy.stats import truncnorm
/// for mu, s in [(0.083, 0.156), (0.5, 0.02), (-0.05, 0.05), (0.97, 0.03), (0.02, 0.4)]:
///     d = truncnorm((0 - mu) / s, (1 - mu) / s, loc=mu, scale=s)
///     print(mu, s, float(d.mean()), float(d.std()))
/// ```
#[test]
fn moisture_stays_between_nothing_and_all() {
    for (value, standard, mean, deviation) in [
        (0.083, 0.156, 0.1598816909578786, 0.10974526169882959),
        (0.5, 0.02, 0.5, 0.02),
        (-0.05, 0.05, 0.02625676380804906, 0.02231018072373849),
        (0.97, 0.03, 0.9613720008718246, 0.02380583241978623),
        (0.02, 0.4, 0.31532723603026364, 0.22671877450594263),
    ] {
        let found = inside(Uncertain::known(value, standard));
        // The figure stays where grain can be like that; beyond, it is no further in than the mean.
        let expected = if value < 0.02 {
            f64::min(mean, 0.02)
        } else if value > 0.95 {
            f64::max(mean, 0.95)
        } else {
            value
        };
        assert!((found.value - expected).abs() < 1e-9, "{value}: {found:?}");
        let off = libm::hypot(deviation, mean - expected);
        assert!((found.standard - off).abs() < 1e-9, "{value}: {found:?}");
    }
    // A later test may contradict the weights altogether: still a number that can be shown.
    let contradicted = inside(Uncertain::known(-3.0, 0.01));
    assert!((0.0..1.0).contains(&contradicted.value));
}

/// 10 kg of untested grain at 78 % dried to what it weighs at 8 %, as a plan says: 2.2 kg dry before and after (arithmetic).
#[test]
fn grain_that_was_dried_as_planned_holds_the_dry_grain_that_went_in() {
    let before = estimate::estimate(
        &[],
        Earlier::default(),
        Form::Whole,
        Kind::Mashed,
        &Within::default(),
    );
    for target in [0.03, 0.05, 0.08, 0.12] {
        let out = 10_000.0 * 0.22 / (1.0 - target);
        let after = treatment(Step::Dry, 10_000.0, out).moisture(&before.moisture);
        assert!(
            (out * (1.0 - after.value) - 2200.0).abs() < 0.01,
            "{after:?}"
        );
        assert!(after.standard <= before.moisture.standard * 10_000.0 / out);
    }
}

/// A grain that nobody tested may be wetter than it is taken to be: weights that say so are let through.
#[test]
fn weights_may_show_that_the_grain_was_wetter_than_thought() {
    let before = estimate::estimate(
        &[],
        Earlier::default(),
        Form::Whole,
        Kind::Mashed,
        &Within::default(),
    );
    let dried = treatment(Step::Dry, 10_000.0, 2_100.0);
    assert!(dried.refuse_impossible(&before).is_ok());
    let after = dried.moisture(&before.moisture);
    assert!(after.value > 0.0 && after.value < 0.2, "{after:?}");
    assert!(
        treatment(Step::Dry, 10_000.0, 1_400.0)
            .refuse_impossible(&before)
            .is_err()
    );
}

/// 1000 g at 8 % milled to 950 g: the missing 50 g are dust of 8 %, 46 g of it dry (arithmetic). Taken for water, the
/// flour would be said to hold 3.2 %.
#[test]
fn milling_dust_is_not_water() {
    let milled = treatment(Step::Mill, 1000.0, 950.0);
    let before = Uncertain::known(0.08, 0.01);
    assert_eq!(milled.moisture(&before), before);
    assert!((crate::quantity::mass::grams(milled.dry_lost(&before)) - 46.0).abs() < 1e-9);
    assert_eq!(milled.water_gone(), Mass::default());
    // More dust than there was water is refused by no sum.
    assert!(
        treatment(Step::Mill, 1000.0, 850.0)
            .refuse_impossible(&known(0.08, 0.01))
            .is_ok()
    );
}

proptest! {
    /// Dry grain in is dry grain out and stated losses, to the milligram; wet in is wet out and what went.
    #[test]
    fn dry_grain_is_conserved(
        wet_in in 1_000_000i64..100_000_000,
        moisture in 0.55f64..0.9,
        standard in 0.0005f64..0.006,
        kept in 0.6f64..1.0,
        water in 0i64..5_000_000,
        left in 0.0f64..0.05,
        dry_loss in 0.0f64..0.1,
    ) {
        let dry_in = wet_in as f64 * (1.0 - moisture);
        let treatment = Treatment {
            step: Step::Blend,
            wet_in: Milligrams::new(wet_in),
            wet_out: Milligrams::new((wet_in as f64 * kept) as i64 + water),
            water: Milligrams::new(water),
            left: Milligrams::new((wet_in as f64 * left * kept) as i64),
            dry_loss: Milligrams::new((dry_in * dry_loss) as i64),
        };
        let before = Uncertain::known(moisture, standard);
        let after = treatment.moisture(&before);
        let kept = treatment.wet_out.get() as f64 * (1.0 - after.value);
        let lost = treatment.dry_lost(&after).get::<milligram>();
        prop_assert!((kept + lost - dry_in).abs() < 1.0, "{kept} {lost} {dry_in}");
        prop_assert_eq!(
            treatment.wet_in.get(),
            treatment.wet_out.get() + treatment.wet_loss().get()
        );
    }

    /// What is put together lies between the driest and the wettest, and is no surer than the least sure
    /// share of each allows.
    #[test]
    fn joined_grain_lies_between(
        parts in prop::collection::vec((1i64..100_000_000, 0.05f64..0.9, 0.001f64..0.05), 1..6),
    ) {
        let parts: Vec<(Milligrams, Uncertain)> = parts
            .iter()
            .map(|(wet, value, standard)| (Milligrams::new(*wet), Uncertain::known(*value, *standard)))
            .collect();
        let causes: Vec<_> = parts.iter().map(|(wet, one)| (*wet, by_cause(one))).collect();
        let found = joined(&causes).unwrap().uncertain();
        let ends = |of: fn(&Uncertain) -> f64| {
            let all = parts.iter().map(|(_, moisture)| of(moisture));
            (all.clone().fold(f64::MAX, f64::min), all.fold(f64::MIN, f64::max))
        };
        let (low, high) = ends(|moisture| moisture.value);
        prop_assert!(low - 1e-12 <= found.value && found.value <= high + 1e-12);
        let (surest, least_sure) = ends(|moisture| moisture.standard);
        prop_assert!(surest - 1e-12 <= found.standard && found.standard <= least_sure + 1e-12);
        let dry: f64 = parts.iter().map(|(wet, moisture)| wet.get() as f64 * (1.0 - moisture.value)).sum();
        let all: f64 = parts.iter().map(|(wet, _)| wet.get() as f64).sum();
        prop_assert!((dry - all * (1.0 - found.value)).abs() < 1.0);
    }
}
