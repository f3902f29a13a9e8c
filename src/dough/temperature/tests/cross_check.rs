//! Against another program: the same tables, but numerical quadrature and a root finder in place of
//! the closed forms.

use super::*;
use crate::heat::properties::{MEDIUM_RYE_FLOUR, OIL, PURE_WATER};

/// From SciPy 1.17.1, columns: flour kg, its and the oil's temperature, grain kg, its moisture, its
/// temperature, preferment kg, its temperature, oil kg, water kg, target, mixing heat kJ/kg dough,
/// heat of hydration kJ/kg flour, tap water, ice; then water °C and ice kg as found. Flour is bread
/// flour, the preferment half medium rye flour and half water.
///
/// ```text
/// from random import Random
/// from scipy.integrate import quad
/// from scipy.optimize import brentq
/// PARTS = [(4.1762, -9.0864e-5, 5.4731e-6), (2.0082, 1.2089e-3, -1.3129e-6),
///          (1.9842, 1.4733e-3, -4.8008e-6), (1.5488, 1.9625e-3, -5.9399e-6),
///          (1.8459, 1.8306e-3, -4.6509e-6), (1.0926, 1.8896e-3, -3.6817e-6)]
/// BREAD = [.1336, .1198, .0166, .7013, .024, .0047]  # water protein fat carbohydrate fibre ash
/// RYE = [.1097, .1088, .0152, .6363, .118, .012]
/// WATER, OIL = [1, 0, 0, 0, 0, 0], [0, 0, 1, 0, 0, 0]
/// def c(x, t): return sum(f * (a + b*t + d*t*t) for f, (a, b, d) in zip(x, PARTS))
/// def heat(x, a, b): return quad(lambda t: c(x, t), a, b, epsabs=1e-12)[0]
/// def grain(m): return [m] + [(1 - m) * f for f in (.22, .08, .16, .5, .04)]
/// def chen(x, t): return (t + 40) * (1.55 + 1.26*(1 - x[0]) - (x[0] - .4*x[1])*333.6*-1.0/(-40*t))
/// def grain_heat(m, a, b):
///     x = grain(m)
///     return heat(x, a, b) if a >= -1 else chen(x, -1) - chen(x, a) + heat(x, -1, b)
/// def melt(t): return 333.6 + quad(lambda u: 2.0623 + 6.0769e-3*u, t, 0)[0]
/// draw = Random(1886)
/// def between(a, b, digits): return round(draw.uniform(a, b), digits)
/// for kind in ("bread", "preferment", "frozen", "little frozen", "ice", "freezer ice"):
///     flour, water = between(.5, 3, 2), between(.4, 1.5, 2)
///     warm = kind.endswith("ice")
///     room = between(24, 31, 1) if warm else between(16, 24, 1)
///     wet, moist = between(.05, .1, 3) if kind == "little frozen" else between(.2, .6, 3), between(.7, .82, 3)
///     cold = -18.0 if "frozen" in kind else between(2, 7, 1)
///     pre, pre_t = (between(.3, .8, 2), between(18, 26, 1)) if kind == "preferment" else (0, 20)
///     oil, target = between(.01, .1, 3), between(23, 28, 1)
///     mix, hyd = (between(15, 22, 1) if warm else between(2, 12, 1)), between(0, 15, 1)
///     tap, ice_t = (between(20, 26, 1) if warm else between(6, 12, 1)), (-18.0 if kind == "freezer ice" else 0.0)
///     dough = flour + water + wet + pre + oil
///     half = [(r + w) / 2 for r, w in zip(RYE, WATER)]
///     rest = (flour*heat(BREAD, room, target) + wet*grain_heat(moist, cold, target)
///             + pre*heat(half, pre_t, target) + oil*heat(OIL, room, target) - mix*dough - hyd*flour)
///     t_w = brentq(lambda t: rest + water*heat(WATER, t, target), -300, 300, xtol=1e-12)
///     ice = brentq(lambda i: rest + (water - i)*heat(WATER, tap, target) + i*(melt(ice_t) + heat(WATER, 0, target)),
///                  0, 10, xtol=1e-13) if t_w < tap else 0.0
///     print(f"({flour}, {room}, {wet}, {moist}, {cold}, {pre}, {pre_t}, {oil}, {water}, {target}, {mix}, "
///           f"{hyd}, {tap}, {ice_t}, {t_w:.9f}, {ice:.9f}),  // {kind}")
/// ```
const DOUGHS: [[f64; 16]; 6] = [
    [
        0.59,
        21.6,
        0.553,
        0.778,
        6.6,
        0.0,
        20.0,
        0.094,
        0.97,
        24.7,
        4.9,
        8.1,
        8.7,
        0.0,
        30.934577369,
        0.0,
    ],
    [
        1.2,
        21.1,
        0.274,
        0.738,
        2.1,
        0.76,
        21.5,
        0.075,
        0.91,
        26.5,
        9.4,
        8.0,
        6.7,
        0.0,
        28.978112134,
        0.0,
    ],
    [
        0.86,
        17.6,
        0.569,
        0.709,
        -18.0,
        0.0,
        20.0,
        0.067,
        0.74,
        23.9,
        4.5,
        11.5,
        7.4,
        0.0,
        82.712487325,
        0.0,
    ],
    [
        0.97,
        21.5,
        0.087,
        0.742,
        -18.0,
        0.0,
        20.0,
        0.043,
        0.76,
        24.3,
        9.9,
        7.5,
        11.7,
        0.0,
        27.557158805,
        0.0,
    ],
    [
        2.17,
        28.9,
        0.392,
        0.795,
        6.0,
        0.0,
        20.0,
        0.087,
        0.79,
        27.8,
        19.2,
        5.4,
        23.5,
        0.0,
        12.302659921,
        0.085569869,
    ],
    [
        0.71,
        24.1,
        0.428,
        0.702,
        3.7,
        0.0,
        20.0,
        0.035,
        1.23,
        24.3,
        18.5,
        12.2,
        23.4,
        -18.0,
        19.990089191,
        0.037475702,
    ],
];

#[test]
fn six_drawn_doughs_agree_with_scipy() {
    for dough in DOUGHS {
        let [flour, room, wet, moisture, cold, pre, pre_celsius, oil, ..] = dough;
        let [
            ..,
            water,
            target,
            mixing,
            hydration,
            tap,
            ice_celsius,
            celsius,
            ice_kilograms,
        ] = dough;
        let poolish = MEDIUM_RYE_FLOUR.mixed_with(&PURE_WATER, 0.5);
        let preferments = (pre > 0.0).then(|| ingredient(pre, pre_celsius, poolish));
        let request = Request {
            thaw: crate::dough::house::Thaw::Takes(chrono::Duration::hours(24)),
            flour: vec![ingredient(flour, room, BREAD_FLOUR)],
            grain: vec![grain(wet, cold, moisture)],
            preferments: preferments.into_iter().collect(),
            others: vec![ingredient(oil, room, OIL)],
            water: kilograms(water),
            tap_celsius: tap,
            target_celsius: target,
            mixing_heat: MixingHeat::PerDough(mixing),
            hydration_heat: HydrationHeat::PerFlour(hydration),
            ice_celsius,
            ..plain_dough()
        };
        if celsius > YEAST_LIMIT_CELSIUS {
            close(too_hot(&request).needed_celsius.unwrap(), celsius, 1e-6);
        } else if ice_kilograms > 0.0 {
            let (found, tap_water, chilled) = ice(&request);
            close(grams(found) / 1000.0, ice_kilograms, 1e-8);
            close(grams(found + tap_water) / 1000.0, water, 1e-12);
            close(chilled.unwrap(), celsius, 1e-6);
        } else {
            close(tempered(&request), celsius, 1e-6);
        }
    }
}
