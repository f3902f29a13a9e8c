//! One unit for masses that stand together.

use super::{Units, places_for};
use crate::quantity::mass::exact::{avoirdupois_ounce, avoirdupois_pound};
use crate::quantity::text::trimmed;
use uom::si::f64::Mass;
use uom::si::mass::{gram, kilogram};

/// The unit of masses that stand together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MassUnit {
    /// kg.
    Kilogram,
    /// g.
    Gram,
    /// lb.
    Pound,
    /// oz.
    Ounce,
}

impl MassUnit {
    const fn as_str(self) -> &'static str {
        match self {
            Self::Kilogram => "kg",
            Self::Gram => "g",
            Self::Pound => "lb",
            Self::Ounce => "oz",
        }
    }

    fn number(self, mass: Mass) -> f64 {
        match self {
            Self::Kilogram => mass.get::<kilogram>(),
            Self::Gram => mass.get::<gram>(),
            Self::Pound => mass.get::<avoirdupois_pound>(),
            Self::Ounce => mass.get::<avoirdupois_ounce>(),
        }
    }

    /// A mass in this unit, to the gram, or to the hundredth of a pound or an ounce.
    pub fn shown(self, mass: Mass) -> String {
        let value = self.number(mass);
        let places = match self {
            Self::Kilogram => 3,
            Self::Gram => usize::from(value.abs() < 10.0),
            Self::Pound | Self::Ounce => 2,
        };
        let shown = trimmed(value, places);
        // Nothing that was weighed is shown as nothing.
        let shown = if shown == "0" {
            trimmed(value, 6)
        } else {
            shown
        };
        format!("{} {}", shown.replace('-', "−"), self.as_str())
    }
}

/// Masses of one column in one unit, each with as many decimals as any of them needs, mostly two at most: what was weighed
/// for itself, what was calculated for half of its range.
pub fn column(masses: &[(Mass, Option<Mass>)], units: Units) -> Vec<String> {
    let unit = units.unit_of(masses.iter().map(|(mass, _)| *mass));
    let needed = |(mass, half): &(Mass, Option<Mass>)| match half {
        Some(half) => places_for(unit.number(*half)),
        None => {
            let shown = trimmed(unit.number(*mass), 2);
            shown.split_once('.').map_or(0, |(_, places)| places.len())
        }
    };
    let places = masses.iter().map(needed).max().unwrap_or(0).min(2);
    // Nothing that was weighed is shown as nothing.
    let is_shown = |places: &usize| {
        masses.iter().all(|(mass, _)| {
            let value = unit.number(*mass);
            value == 0.0 || trimmed(value, *places) != "0"
        })
    };
    let places = (places..6).find(is_shown).unwrap_or(6);
    masses
        .iter()
        .map(|(mass, _)| format!("{:.places$} {}", unit.number(*mass), unit.as_str()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_has_one_unit_and_one_number_of_decimals() {
        let pounds = Mass::new::<avoirdupois_pound>;
        let weighed = |masses: &[f64]| {
            let masses: Vec<_> = masses.iter().map(|mass| (pounds(*mass), None)).collect();
            column(&masses, Units::Us)
        };
        assert_eq!(
            weighed(&[11.02, 0.33, 1.1]),
            ["11.02 lb", "0.33 lb", "1.10 lb"]
        );
        assert_eq!(weighed(&[40.0]), ["40 lb"]);
        assert_eq!(weighed(&[0.5, 0.25]), ["8 oz", "4 oz"]);
        assert_eq!(weighed(&[2.0, 0.004]), ["2.000 lb", "0.004 lb"]);
        let calculated = [(3.9, 1.2), (0.75, 0.2), (0.07, 0.02)]
            .map(|(mass, half)| (pounds(mass), Some(pounds(half))));
        assert_eq!(
            column(&calculated, Units::Us),
            ["3.90 lb", "0.75 lb", "0.07 lb"]
        );
        assert_eq!(column(&calculated[..1], Units::Us), ["3.9 lb"]);
    }
}
