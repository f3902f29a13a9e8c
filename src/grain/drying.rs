//! What drying or pressing to a moisture takes: water, yield, and the heat that no dryer does without.
//!
//! Equations, symbols and sources: `docs/models/treatments.md`.

use super::possible_range;
use crate::quantity::{Problem, Uncertain, WetBasis, mass};
use uom::si::available_energy::kilojoule_per_kilogram;
use uom::si::f64::{AvailableEnergy, Energy, Mass};

/// A calculated mass with the ends of its 95 % range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Best figure.
    pub best: Mass,
    /// Lower end.
    pub low: Mass,
    /// Upper end.
    pub high: Mass,
}

/// What comes of taking water out of grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Removal {
    /// What is left, at the moisture wanted.
    pub product: Range,
    /// Water that goes.
    pub water: Range,
}

/// Water to take out of `wet` to bring it to a moisture, all dry grain kept:
/// product = w (1 − m₀) ÷ (1 − m₁), water = w − product.
pub fn removal(wet: Mass, before: &Uncertain, to: WetBasis) -> Result<Removal, Problem> {
    if to.get() >= before.value {
        return Err(Problem::new(format!(
            "the grain is taken to have {:.1} % moisture: {:.1} % is not drier",
            before.value * 100.0,
            to.percent()
        ))
        .hint("give a lower moisture after --to"));
    }
    let kept = |moisture: f64| wet * ((1.0 - moisture) / to.dry_fraction().get());
    let (driest, wettest) = possible_range(before);
    // Grain that may be as dry as is wanted gives up nothing.
    let (best, low, high) = (
        kept(before.value),
        kept(wettest.get()),
        kept(driest.get().max(to.get())),
    );
    Ok(Removal {
        product: Range { best, low, high },
        water: Range {
            best: wet - best,
            low: wet - high,
            high: wet - low,
        },
    })
}

/// Heat that evaporates water, from 0 °C to 150 °C.
///
/// A cubic fitted to the steam tables (IAPWS-95 as CoolProp 8.0.0 computes it; the script stands in the test);
/// it is within 0.14 kJ/kg of them. In open air nothing evaporates above the boiling point, so the caller
/// goes no higher than 100 °C.
pub fn latent_heat(celsius: f64) -> AvailableEnergy {
    const CUBIC: [f64; 4] = [
        2_501.010_61,
        -2.387_770_37,
        8.301_563_95e-4,
        -1.411_583_18e-5,
    ];
    let value = CUBIC
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * celsius + coefficient);
    AvailableEnergy::new::<kilojoule_per_kilogram>(value)
}

/// The least heat that dries water off: no dryer needs less.
pub fn least_heat(water: Mass, celsius: f64) -> Energy {
    water * latent_heat(celsius)
}

/// What a kind of dryer uses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dryer {
    /// What it is called.
    pub name: &'static str,
    /// From least to most.
    use_of: Use,
    /// Where that comes from.
    pub source: &'static str,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Use {
    /// MJ for each kg of water.
    PerWater(f64, f64),
    /// So much of the energy used evaporates water: the best and the worst.
    Efficiency(f64, f64),
}

/// Dryers of which figures are at hand. A kitchen oven or dehydrator lies between the two: judgement.
pub const DRYERS: [Dryer; 2] = [
    Dryer {
        name: "large convective dryer",
        use_of: Use::PerWater(3.0, 6.0),
        source: "3 to 6 MJ for each kg of water, handbook level, from memory",
    },
    Dryer {
        name: "small laboratory dryer",
        use_of: Use::Efficiency(0.0911, 0.0287),
        source: "2.87 to 9.11 % of the energy used, apple slices at 50 to 70 °C: Food Science and Technology (Campinas) 2016",
    },
];

impl Dryer {
    /// Energy that it uses to dry water off whose evaporation takes `least`.
    pub fn energy(&self, water: Mass, least: Energy) -> (Energy, Energy) {
        match self.use_of {
            Use::PerWater(low, high) => {
                let each = |megajoules: f64| {
                    water * AvailableEnergy::new::<kilojoule_per_kilogram>(megajoules * 1e3)
                };
                (each(low), each(high))
            }
            Use::Efficiency(best, worst) => (least / best, least / worst),
        }
    }
}

impl Range {
    /// Best figure and ends in grams, for output with units in the names.
    pub fn grams(&self) -> (f64, f64, f64) {
        (
            mass::grams(self.best),
            mass::grams(self.low),
            mass::grams(self.high),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::mass::from_grams;
    use uom::si::energy::megajoule;

    /// Latent heat of water, kJ/kg, from CoolProp 8.0.0 (IAPWS-95), the same source as steam tables:
    ///
    /// ```text
    /// import numpy as np
    /// from CoolProp.CoolProp import PropsSI
    /// for t in [0.01, 5, 10, …, 150]:
    ///     h = lambda q: PropsSI('H', 'T', t + 273.15, 'Q', q, 'Water') / 1e3
    ///     print(f"({t}, {h(1) - h(0):.2f}),")
    /// np.polyfit(t, h, 3)    # the cubic of latent_heat
    /// ```
    const STEAM: [(f64, f64); 31] = [
        (0.01, 2500.91),
        (5.0, 2489.04),
        (10.0, 2477.19),
        (15.0, 2465.35),
        (20.0, 2453.52),
        (25.0, 2441.68),
        (30.0, 2429.81),
        (35.0, 2417.91),
        (40.0, 2405.98),
        (45.0, 2393.99),
        (50.0, 2381.95),
        (55.0, 2369.84),
        (60.0, 2357.65),
        (65.0, 2345.39),
        (70.0, 2333.03),
        (75.0, 2320.57),
        (80.0, 2308.00),
        (85.0, 2295.31),
        (90.0, 2282.49),
        (95.0, 2269.52),
        (100.0, 2256.40),
        (105.0, 2243.12),
        (110.0, 2229.65),
        (115.0, 2215.98),
        (120.0, 2202.11),
        (125.0, 2188.02),
        (130.0, 2173.70),
        (135.0, 2159.12),
        (140.0, 2144.28),
        (145.0, 2129.16),
        (150.0, 2113.75),
    ];

    #[test]
    fn latent_heat_is_that_of_the_steam_tables() {
        for (celsius, expected) in STEAM {
            let found = latent_heat(celsius).get::<kilojoule_per_kilogram>();
            assert!((found - expected).abs() < 0.15, "{celsius}: {found}");
        }
    }

    /// Moist air of ASHRAE Fundamentals 2017, chapter 1: vapour 2501 + 1.86 t, water 4.186 t, in kJ/kg, from
    /// PsychroLib 2.5.0:
    ///
    /// ```text
    /// import psychrolib; psychrolib.SetUnitSystem(psychrolib.SI)
    /// for t in [0, 20, 40, 60]:
    ///     vapour = psychrolib.GetMoistAirEnthalpy(t, 1.0) - psychrolib.GetMoistAirEnthalpy(t, 0.0)
    ///     print(t, vapour / 1e3 - 4.186 * t)
    /// ```
    ///
    /// Its straight line is simpler than steam: 0.2 % is what the two differ by.
    #[test]
    fn latent_heat_is_near_that_of_psychrometrics() {
        for (celsius, expected) in [
            (0.0, 2501.0),
            (20.0, 2454.480),
            (40.0, 2407.960),
            (60.0, 2361.440),
        ] {
            let found = latent_heat(celsius).get::<kilojoule_per_kilogram>();
            assert!((found / expected - 1.0).abs() < 0.002, "{celsius}: {found}");
        }
    }

    fn removed(grams: f64, from: f64, to: f64) -> (f64, f64) {
        let found = removal(
            from_grams(grams),
            &Uncertain::known(from, 0.0),
            WetBasis::new(to).unwrap(),
        )
        .unwrap();
        (found.product.grams().0, found.water.grams().0)
    }

    /// Published: IRRI Knowledge Bank, 1000 kg of grain at 25 % dried to 14 % leave 872 kg. Karki 2019, SDSU
    /// Extension: 25 % to 15.5 % shrinks by 11.24 %. A commercial feed laboratory's sheet: 2 t at 75 %
    /// restated at 15 % are 0.59 t.
    #[test]
    fn shrinkage_is_as_published() {
        assert!((removed(1e6, 0.25, 0.14).0 / 1e3 - 872.0).abs() < 0.5);
        assert!((removed(100.0, 0.25, 0.155).1 - 11.24).abs() < 0.005);
        assert!((removed(2e6, 0.75, 0.15).0 / 1e6 - 0.59).abs() < 0.005);
    }

    /// Water off each kg of wet grain, 1 − (1 − m₀) ÷ (1 − m₁): arithmetic.
    #[test]
    fn water_to_remove_is_what_the_dry_grain_leaves() {
        for (from, to, expected) in [
            (0.77, 0.10, 0.744_44),
            (0.80, 0.10, 0.777_78),
            (0.77, 0.05, 0.757_89),
        ] {
            assert!((removed(1.0, from, to).1 - expected).abs() < 1e-5);
        }
    }

    /// 10 kg at 78 % to 8 %: 2.3913 kg stay, 7.6087 kg go, which takes 17.17 MJ at 100 °C (2257 kJ/kg, steam
    /// tables; arithmetic).
    #[test]
    fn the_least_heat_of_a_tub() {
        let (left, water) = removed(10_000.0, 0.78, 0.08);
        assert!((left - 2391.3).abs() < 0.1);
        assert!((water - 7608.7).abs() < 0.1);
        let heat = least_heat(from_grams(water), 100.0).get::<megajoule>();
        assert!((heat - 17.17).abs() < 0.01, "{heat}");
    }

    /// Published chain: pressed from 75 to 80 % to 70 %, then dried to at most 15 % (US 2012/0005916). The
    /// water of both steps and the product are all there was.
    #[test]
    fn a_published_chain_of_pressing_and_drying_closes() {
        for from in [0.75, 0.775, 0.80] {
            let (pressed, liquor) = removed(1000.0, from, 0.70);
            let (dried, vapour) = removed(pressed, 0.70, 0.15);
            assert!((dried + liquor + vapour - 1000.0).abs() < 1e-9);
            assert!((dried * 0.85 - 1000.0 * (1.0 - from)).abs() < 1e-9);
            let (at_once, _) = removed(1000.0, from, 0.15);
            assert!((dried - at_once).abs() < 1e-9);
        }
        // At 80 % two thirds of the grain's weight are left after the press.
        assert!((removed(1000.0, 0.80, 0.70).0 - 666.67).abs() < 0.01);
    }

    #[test]
    fn grain_is_not_dried_to_what_it_is() {
        let dry = Uncertain::known(0.08, 0.01);
        for to in [0.08, 0.5] {
            let wanted = WetBasis::new(to).unwrap();
            assert!(removal(from_grams(1.0), &dry, wanted).is_err());
        }
    }

    #[test]
    fn the_range_holds_the_best_figure() {
        let before = Uncertain::known(0.78, 0.0375);
        let found = removal(from_grams(10_000.0), &before, WetBasis::new(0.65).unwrap()).unwrap();
        for range in [found.product, found.water] {
            let (best, low, high) = range.grams();
            assert!(low < best && best < high && low >= 0.0, "{range:?}");
        }
    }
}
