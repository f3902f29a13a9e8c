//! One unit for masses that stand together.

use super::{Units, places_for};
use crate::quantity::Milligrams;
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
        let finer = (places + 1..=6).map(|places| trimmed(value, places));
        let shown = std::iter::once(shown)
            .chain(finer)
            .find(|shown| shown != "0")
            .unwrap_or_else(|| "0".to_owned());
        format!("{} {}", shown.replace('-', "−"), self.as_str())
    }
}

/// Masses that stand together. Grams and kilograms read well side by side, pounds and ounces do not: those are shown in the
/// one unit that [`Units::unit_of`] found.
impl Units {
    /// A weighed amount among others.
    pub fn weighed_among(self, wet: Milligrams, unit: MassUnit) -> String {
        match self {
            Self::Metric => self.weighed(wet),
            Self::Us => unit.shown(wet.mass()),
        }
    }

    /// A calculated amount among others, nothing where it is less than half a gram.
    pub fn listed(self, mass: Mass, unit: MassUnit) -> String {
        match self {
            Self::Metric => self.to_weigh(mass),
            Self::Us if mass.get::<gram>().abs() < 0.5 => unit.shown(Mass::default()),
            Self::Us => unit.shown(mass),
        }
    }

    /// An amount to weigh in a column whose largest is this one: all in pounds and ounces where one of them is. Yeast keeps
    /// its grams beside them.
    pub fn to_weigh_among(self, mass: Mass, largest: Mass) -> String {
        let has_pounds = |shown: &str| shown.contains(" lb ");
        let shown = self.to_weigh(mass);
        if has_pounds(&self.to_weigh(largest)) && !has_pounds(&shown) {
            format!("0 lb {shown}")
        } else {
            shown
        }
    }
}

/// Masses of one column in this unit, each with as many decimals as any of them needs, mostly two at most: what was weighed
/// for itself, what was calculated for half of its range.
pub fn column(masses: &[(Mass, Option<Mass>)], unit: MassUnit) -> Vec<String> {
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
            let unit = Units::Us.unit_of(masses.iter().map(|(mass, _)| *mass));
            column(&masses, unit)
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
            column(&calculated, MassUnit::Pound),
            ["3.90 lb", "0.75 lb", "0.07 lb"]
        );
        assert_eq!(column(&calculated[..1], MassUnit::Pound), ["3.9 lb"]);
    }

    #[test]
    fn amounts_that_stand_together_have_one_style() {
        let read = |text: &str| text.parse::<Milligrams>().unwrap();
        let (large, small) = (read("3lb 9oz"), read("12oz"));
        let unit = Units::Us.unit_of([large, small].map(Milligrams::mass));
        assert_eq!(Units::Us.listed(large.mass(), unit), "3.56 lb");
        assert_eq!(Units::Us.weighed_among(small, unit), "0.75 lb");
        assert_eq!(Units::Metric.listed(large.mass(), unit), "1616 g");
        assert_eq!(Units::Metric.weighed_among(large, unit), "1.616 kg");
        // A search leaves milligrams over; a gram is told.
        assert_eq!(Units::Us.listed(read("3mg").mass(), unit), "0 lb");
        assert_eq!(Units::Us.listed(read("1g").mass(), unit), "0.002 lb");
    }

    #[test]
    fn a_column_to_weigh_has_pounds_in_each_line_or_in_none_and_yeast_its_grams() {
        let among = |text: &str, largest: &str| {
            let read = |text: &str| text.parse::<Milligrams>().unwrap().mass();
            Units::Us.to_weigh_among(read(text), read(largest))
        };
        assert_eq!(among("1lb 4.5oz", "1lb 4.5oz"), "1 lb 4.5 oz");
        assert_eq!(among("12.3oz", "1lb 4.5oz"), "0 lb 12.3 oz");
        assert_eq!(among("12.3oz", "15oz"), "12.3 oz");
        assert_eq!(among("0.6g", "1lb 4.5oz"), "0 lb 0.02 oz (0.6 g)");
        assert_eq!(among("0.6g", "15oz"), "0.02 oz (0.6 g)");
        assert_eq!(
            Units::Metric.to_weigh_among(Mass::new::<gram>(600.0), Mass::new::<gram>(6000.0)),
            "600 g"
        );
    }
}
