//! Published doughs and losses, worked with formulas of ours. Dry grain stands in for a tenth of the flour:
//! what a dough weighs does not hang on what its flour is.

use super::*;
use crate::quantity::mass::{from_grams, grams};

/// Exact avoirdupois pound: International yard and pound agreement, 1959.
const GRAMS_PER_POUND: f64 = 453.59237;

fn worked(text: &str, size: Size) -> (Formula, Batch) {
    let formula = Formula::from_text(text).unwrap();
    let batch = work_out(&BatchRequest {
        formula: &formula,
        size,
        share: formula.grain.wanted,
        moisture: Uncertain::known(0.70, 0.005),
        thirst: None,
        scale: Milligrams::new(1),
        fine_scale: Milligrams::new(1),
    })
    .unwrap();
    (formula, batch)
}

fn of_total_flour(batch: &Batch, name: &str) -> f64 {
    let mut lines = batch.stages.iter().flat_map(|stage| &stage.lines);
    grams(lines.find(|line| line.name == name).unwrap().exact)
}

/// Figoni 2010, How Baking Works, pages 9 to 11, and Gisslen, Professional Baking, 4th edition, page 10, as an
/// encyclopedia's article on the baker's percentage cites them: flour 100, water 60, yeast 1, salt 2, oil 1
/// make 164 %, so a dough of 1640 g has 1000 g of flour, which is 60.976 % of it (arithmetic).
#[test]
fn a_lean_dough_of_164_percent() {
    let text = r#"
name = "lean dough"
hydration = "60%"
[grain]
wanted = "10%"
[[flour]]
name = "bread flour"
share = "90%"
[[ingredient]]
name = "yeast"
kind = "yeast"
yeast = "instant"
share = "1%"
[[ingredient]]
name = "salt"
kind = "salt"
share = "2%"
[[ingredient]]
name = "oil"
kind = "fat"
share = "1%"
"#;
    let (formula, batch) = worked(text, Size::Dough(from_grams(1640.0)));
    assert!((formula.dough_per_flour() - 1.64).abs() < 1e-9);
    let sum = &batch.hold_back;
    assert!((grams(sum.total_flour) - 1000.0).abs() < 1e-9);
    assert!((grams(sum.total_water) - 600.0).abs() < 1e-9);
    for (name, weight) in [("yeast", 10.0), ("salt", 20.0), ("oil", 10.0)] {
        assert!(
            (of_total_flour(&batch, name) - weight).abs() < 1e-9,
            "{name}"
        );
    }
    let true_share = grams(sum.total_flour) / grams(batch.dough) * 100.0;
    assert!((true_share - 60.976).abs() < 0.001);
}

/// The same article: flour 100, water 35, milk 35, fresh yeast 4; salt 1.8 and the total of 175.8 % from
/// memory. 10 kg of flour make 17.58 kg. Here the water of the yeast, 69 % of it, is dough water too.
#[test]
fn fresh_yeast_weighs_what_it_weighs() {
    let text = r#"
name = "milk dough"
hydration = "37.76%"
[grain]
wanted = "10%"
[[flour]]
name = "bread flour"
share = "90%"
[[ingredient]]
name = "milk"
kind = "other"
share = "35%"
[[ingredient]]
name = "yeast"
kind = "yeast"
yeast = "fresh"
share = "4%"
[[ingredient]]
name = "salt"
kind = "salt"
share = "1.8%"
"#;
    let (_, batch) = worked(text, Size::Flour(from_grams(9_000.0)));
    assert!((grams(batch.dough) - 17_580.0).abs() < 1e-6);
    // 35 % of water is poured or comes with the grain; what the yeast brings is not poured again.
    let sum = &batch.hold_back;
    assert!((grams(sum.add_water) + grams(sum.carried_water) - 3_500.0).abs() < 1e-6);
}

/// Rumford, Essays, 1790s: 1736 lb of rye meal, 1061 lb 5 loth of water (32 loth to the pound) and 15 lb of
/// salt make 2812 lb 5 loth of dough, which gave 1102 loaves of 2½ lb and 2393 lb 13 loth of bread: 2.03247 %
/// stayed behind, 13.125 % went off in the oven.
#[test]
fn what_rumford_weighed() {
    let loth: f64 = 1.0 / 32.0;
    let water = 1061.0 + 5.0 * loth;
    let dough = 1736.0 + water + 15.0;
    let handling = (dough - 1102.0 * 2.5) / dough;
    assert!((handling * 100.0 - 2.03247).abs() < 1e-5);
    let text = format!(
        r#"
name = "rye bread"
hydration = "{:.6}%"
handling_loss = "{:.6}%"
bake_loss = "13.125%"
[grain]
wanted = "10%"
[[flour]]
name = "rye meal"
share = "90%"
[[ingredient]]
name = "salt"
kind = "salt"
share = "{:.6}%"
"#,
        water / 1736.0 * 100.0,
        handling * 100.0,
        15.0 / 1736.0 * 100.0
    );
    let size = Size::Pieces {
        count: 1102,
        piece: from_grams(2.5 * GRAMS_PER_POUND),
    };
    let (formula, batch) = worked(&text, size);
    assert!((formula.hydration * 100.0 - 61.1265).abs() < 1e-4);
    let pounds = |mass| grams(mass) / GRAMS_PER_POUND;
    assert!((pounds(batch.dough) - 2812.15625).abs() < 1e-3);
    assert!((pounds(batch.divided) - 2755.0).abs() < 1e-9);
    assert!((pounds(batch.baked) - 2393.40625).abs() < 1e-3);
    assert!((pounds(batch.hold_back.total_flour) - 1736.0).abs() < 1e-3);
}

/// Accum, A Treatise on the Art of Making Bread, 1821: 5 lb of dough gave a quartern loaf of 4 lb 5½ oz,
/// 88 lb of dough 74½ lb of brown bread: 13.125 % and 15.3409 % lost.
#[test]
fn what_accum_weighed() {
    for (dough, loss, bread) in [(5.0, "13.125%", 4.0 + 5.5 / 16.0), (88.0, "15.3409%", 74.5)] {
        let text = format!(
            r#"
name = "bread"
hydration = "60%"
bake_loss = "{loss}"
[grain]
wanted = "10%"
[[flour]]
name = "meal"
share = "90%"
"#
        );
        let (_, batch) = worked(&text, Size::Dough(from_grams(dough * GRAMS_PER_POUND)));
        let found = grams(batch.baked) / GRAMS_PER_POUND;
        assert!((found - bread).abs() < 1e-4, "{found} lb");
    }
}
