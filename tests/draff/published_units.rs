//! Units at their exact published size, through the program and in the quantities it calculates with.

use crate::env::Kitchen;
use uom::si::f64::{Mass, Volume};
use uom::si::mass::gram;
use uom::si::volume::{cubic_meter, cup, fluid_ounce, gallon, liter, pint_liquid, quart_liquid};

/// NIST Special Publication 811, Appendix B: 1 lb = 453.59237 g and 1 oz = 28.349523125 g, exactly. The book
/// holds whole milligrams.
#[test]
fn pounds_and_ounces_reach_the_book_exact_to_the_milligram() {
    let kitchen = Kitchen::new();
    for (typed, grams) in [
        ("40lb", 18143.695),
        ("1 lb", 453.592),
        ("1oz", 28.350),
        ("16oz", 453.592),
        ("1000 oz", 28349.523),
        ("2lb6oz", 1077.282),
        ("100000lb", 45_359_237.0),
        ("1t", 1_000_000.0),
        ("1mg", 0.001),
    ] {
        let lot = kitchen.json(&format!(
            "pickup --source A --brewed today --wet \"{typed}\""
        ));
        assert_eq!(lot["wet_g"].as_f64(), Some(grams), "{typed}");
    }
    assert!(kitchen.ok("check").contains("whole"));
}

/// °C = (°F − 32) × 5 ÷ 9, exactly (NIST Special Publication 811, Appendix B).
#[test]
fn fahrenheit_reaches_the_book_exact_to_the_thousandth() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("1kg");
    kitchen.ok(&format!("move {lot} freezer"));
    for (typed, celsius) in [
        ("32F", 0.0),
        ("41F", 5.0),
        ("0F", -17.778),
        ("140F", 60.0),
        ("-40F", -40.0),
    ] {
        kitchen.ok(&format!("probe {lot} {typed}"));
        let log = kitchen.json("log --last 1");
        assert_eq!(
            log["entries"][0]["temperature_c"].as_f64(),
            Some(celsius),
            "{typed}"
        );
    }
}

/// The units that the sums use are the exact ones too.
#[test]
fn the_pound_of_the_sums_is_exact() {
    use draffbook::quantity::mass::exact::{avoirdupois_ounce, avoirdupois_pound};
    let pound = Mass::new::<avoirdupois_pound>(1.0).get::<gram>();
    assert!((pound / 453.592_37 - 1.0).abs() < 1e-15, "{pound}");
    let ounce = Mass::new::<avoirdupois_ounce>(16.0).get::<gram>();
    assert!((ounce / 453.592_37 - 1.0).abs() < 1e-15, "{ounce}");
}

/// Common practice, no source: a US cup is half a US liquid pint, a metric cup a quarter of a litre. The
/// gallon of 231 cubic inches is in NIST Special Publication 811, Appendix B, to seven digits.
#[test]
fn cups_are_what_recipes_take_them_for() {
    let millilitres = |volume: Volume| volume.get::<liter>() * 1000.0;
    let near = |found: f64, wanted: f64| (found / wanted - 1.0).abs() < 1e-6;
    let us_cup = Volume::new::<cup>(1.0);
    assert!(near(
        millilitres(us_cup),
        millilitres(Volume::new::<pint_liquid>(0.5))
    ));
    assert!(near(millilitres(us_cup), 236.588_236_5));
    assert!(near(
        millilitres(Volume::new::<cup>(4.0)),
        millilitres(Volume::new::<quart_liquid>(1.0))
    ));
    assert!(near(
        millilitres(Volume::new::<fluid_ounce>(8.0)),
        236.588_236_5
    ));
    let us_gallon = Volume::new::<gallon>(1.0).get::<cubic_meter>();
    assert!(near(us_gallon, 231.0 * 0.0254_f64.powi(3)), "{us_gallon}");
    assert_eq!(millilitres(Volume::new::<liter>(0.25)), 250.0);
}
