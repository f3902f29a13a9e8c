//! How hot the middle of a baked loaf is, where water boils sooner than at the sea.
//!
//! A crumb holds water, so it never passes the boiling point of the place. Equations, symbols and sources:
//! `docs/models/doneness.md`.

use crate::quantity::Problem;
use crate::quantity::bounds::Bounds;

/// Altitudes of dwellings above mean sea level, metres (from memory: the shore of the Dead Sea and La Rinconada).
pub const ALTITUDE: Bounds = Bounds {
    what: "altitude",
    unit: "metres",
    low: -450.0,
    high: 5500.0,
    open: false,
};

/// Middle of most loaves when they are baked through, °C: 190 °F to 200 °F (common practice, no source; for
/// doughs rich in fat and sugar bakers differ between 185 °F and 200 °F).
pub const MOST_LOAVES: (f64, f64) = (celsius(190.0), celsius(200.0));
/// Middle of dense whole-grain loaves, °C: 205 °F to 210 °F (common practice, no source).
pub const DENSE_LOAVES: (f64, f64) = (celsius(205.0), celsius(210.0));
/// A crumb comes close to the boiling point and stays below, K; a kitchen thermometer is not surer than this
/// either. Our choice.
pub const BELOW_BOILING_KELVIN: f64 = 1.0;

const fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// What a thermometer in the middle of a loaf can tell at an altitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Core {
    /// Metres above mean sea level; where they are not known, sea level was taken.
    pub altitude_metres: Option<f64>,
    /// Where water boils there, °C.
    pub boiling_celsius: f64,
    /// Most loaves.
    pub most_loaves: Reach,
    /// Dense whole-grain loaves.
    pub dense_loaves: Reach,
}

/// Whether a loaf gets as hot as it usually is when it is done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reach {
    /// It does: done from the first to the second, °C.
    Range(f64, f64),
    /// Water boils before that, so no thermometer tells whether the loaf is done. The crumb stays at this
    /// or below, °C.
    Never(f64),
}

/// Works out what a thermometer tells at an altitude. Refused outside [`ALTITUDE`].
pub fn core(altitude_metres: Option<f64>) -> Result<Core, Problem> {
    let boiling_celsius = boiling_point(altitude_metres.unwrap_or(0.0))?;
    let hottest = boiling_celsius - BELOW_BOILING_KELVIN;
    let reach = |(low, high): (f64, f64)| {
        if low <= hottest {
            Reach::Range(low, high.min(hottest))
        } else {
            Reach::Never(hottest)
        }
    };
    Ok(Core {
        altitude_metres,
        boiling_celsius,
        most_loaves: reach(MOST_LOAVES),
        dense_loaves: reach(DENSE_LOAVES),
    })
}

/// Where water boils at an altitude in the standard atmosphere, °C. Refused outside [`ALTITUDE`].
pub fn boiling_point(altitude_metres: f64) -> Result<f64, Problem> {
    ALTITUDE.check(altitude_metres)?;
    let pressure = standard_pressure(altitude_metres);
    // Halved until nothing is left to halve: saturation pressure only rises, from 611 Pa at 0 °C to 198 kPa
    // at 120 °C, and the pressures of all allowed altitudes lie in between.
    let (mut low, mut high): (f64, f64) = (0.0, 120.0);
    for _ in 0..60 {
        let middle = low.midpoint(high);
        if saturation_pressure(middle) < pressure {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(low)
}

/// Pressure of the standard atmosphere up to 11 km, Pa.
///
/// ISO 2533:1975, Standard Atmosphere, the same as ICAO Doc 7488: 101 325 Pa, 288.15 K, −6.5 K per km,
/// 9.806 65 m/s², 287.052 87 J/(kg K).
pub fn standard_pressure(altitude_metres: f64) -> f64 {
    const SEA_LEVEL_PASCAL: f64 = 101_325.0;
    const SEA_LEVEL_KELVIN: f64 = 288.15;
    const KELVIN_PER_METRE: f64 = 0.0065;
    const GRAVITY: f64 = 9.806_65;
    const GAS_CONSTANT: f64 = 287.052_87;
    let ratio = 1.0 - KELVIN_PER_METRE * altitude_metres / SEA_LEVEL_KELVIN;
    SEA_LEVEL_PASCAL * libm::pow(ratio, GRAVITY / (GAS_CONSTANT * KELVIN_PER_METRE))
}

/// Pressure at which water of a temperature boils, Pa; 0 °C to 200 °C.
///
/// Hyland & Wexler 1983, as ASHRAE Handbook: Fundamentals 2017, chapter 1, equation (6).
pub fn saturation_pressure(celsius: f64) -> f64 {
    let kelvin = celsius + 273.15;
    libm::exp(
        -5.800_220_6e3 / kelvin + 1.391_499_3 - 4.864_023_9e-2 * kelvin
            + 4.176_476_8e-5 * kelvin.powi(2)
            - 1.445_209_3e-8 * kelvin.powi(3)
            + 6.545_967_3 * libm::log(kelvin),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// PsychroLib 2.5.0, which cites ASHRAE Handbook: Fundamentals 2017, chapter 1: the script below.
    #[test]
    fn saturation_pressure_is_that_of_the_handbook() {
        for (celsius, pascal) in [(20.0, 2338.8), (60.0, 19_943.8), (100.0, 101_418.7)] {
            let found = saturation_pressure(celsius);
            assert!((found - pascal).abs() < 0.05, "{celsius} °C: {found} Pa");
        }
    }

    /// IAPWS R7-97(2012), the Industrial Formulation 1997, gives these to check programs by: table 35,
    /// 3536.58941 Pa at 300 K, and table 36, 372.755919 K at 0.1 MPa.
    #[test]
    fn saturation_pressure_agrees_with_iapws() {
        let at_300_kelvin = saturation_pressure(26.85);
        assert!((at_300_kelvin / 3_536.589_41 - 1.0).abs() < 5e-4);
        let boils_at_one_bar = saturation_pressure(372.755_919 - 273.15);
        assert!((boils_at_one_bar / 1e5 - 1.0).abs() < 5e-4);
    }

    /// Pressure and boiling point at altitudes, made with PsychroLib 2.5.0 (standard atmosphere) and CoolProp
    /// (IAPWS-95):
    ///
    /// ```python
    /// import psychrolib
    /// from CoolProp.CoolProp import PropsSI
    /// psychrolib.SetUnitSystem(psychrolib.SI)
    /// for t in (20, 60, 100):
    ///     print("p_sat", t, round(psychrolib.GetSatVapPres(t), 1))
    /// for h in (-400, 0, 500, 1000, 1500, 1609, 2000, 2500, 3000, 4000, 5000):
    ///     p = psychrolib.GetStandardAtmPressure(h)
    ///     print(h, round(p, 1), round(PropsSI("T", "P", p, "Q", 0, "Water") - 273.15, 3))
    /// ```
    #[test]
    fn boiling_points_agree_with_reference_libraries() {
        for (metres, pascal, celsius) in [
            (-400.0, 106_223.5, 101.302),
            (0.0, 101_325.0, 99.974),
            (500.0, 95_460.8, 98.313),
            (1000.0, 89_874.5, 96.649),
            (1500.0, 84_555.9, 94.983),
            (1609.0, 83_431.0, 94.620),
            (2000.0, 79_495.1, 93.315),
            (2500.0, 74_682.4, 91.645),
            (3000.0, 70_108.4, 89.972),
            (4000.0, 61_640.1, 86.619),
            (5000.0, 54_019.8, 83.255),
        ] {
            let pressure = standard_pressure(metres);
            assert!(
                (pressure / pascal - 1.0).abs() < 2e-5,
                "{metres} m: {pressure} Pa"
            );
            let boils = boiling_point(metres).unwrap();
            assert!((boils - celsius).abs() < 0.01, "{metres} m: {boils} °C");
        }
    }

    #[test]
    fn no_loaf_is_asked_to_be_hotter_than_boiling_water() {
        let at = |metres| core(Some(metres)).unwrap();
        let sea = core(None).unwrap();
        assert_eq!(sea.most_loaves, Reach::Range(MOST_LOAVES.0, MOST_LOAVES.1));
        assert_eq!(
            sea.dense_loaves,
            Reach::Range(DENSE_LOAVES.0, DENSE_LOAVES.1)
        );
        let capped = at(2000.0);
        assert!(matches!(capped.most_loaves, Reach::Range(_, high) if (high - 92.31).abs() < 0.01));
        assert!(matches!(capped.dense_loaves, Reach::Never(hot) if (hot - 92.31).abs() < 0.01));
        assert!(matches!(at(4000.0).most_loaves, Reach::Never(_)));
        for metres in -450..=5500 {
            let found = at(f64::from(metres));
            for reach in [found.most_loaves, found.dense_loaves] {
                let (Reach::Range(_, highest) | Reach::Never(highest)) = reach;
                assert!(
                    highest <= found.boiling_celsius - BELOW_BOILING_KELVIN,
                    "{metres} m"
                );
            }
        }
    }

    #[test]
    fn altitudes_without_bakeries_are_refused() {
        for metres in [-451.0, 5501.0, 1e9, f64::NAN] {
            assert!(core(Some(metres)).is_err(), "{metres}");
        }
    }
}
