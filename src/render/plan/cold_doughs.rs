//! Doughs whose grain is so cold that no water allowed warms them enough.

use super::Words;
use crate::render::water_temperature::{COLD_CELSIUS, MOST_FOR_YEAST, degrees, warm_just_before};
use crate::report::plan::ColdDough;

impl Words<'_> {
    /// How cold they come out, and what helps, by what their sheets say.
    pub(super) fn cold_dough_note(&self) -> Option<String> {
        let cold = &self.answer.cold_doughs;
        let limit = degrees(cold.first()?.why.limit_celsius, f64::floor, self.units);
        let mut alike: Vec<(String, Vec<&str>)> = Vec::new();
        for one in cold {
            let how = self.how_cold(one);
            match alike.iter_mut().find(|(known, _)| *known == how) {
                Some((_, codes)) => codes.push(self.bake(one.bake)),
                None => alike.push((how, vec![self.bake(one.bake)])),
            }
        }
        let doughs = alike
            .iter()
            .map(|(how, codes)| format!("{} {how}", codes.join(", ")));
        let doughs: Vec<String> = doughs.collect();
        let mut note = format!(
            "Cold grain makes these doughs too cold with water of {limit}, {MOST_FOR_YEAST}: {}.",
            doughs.join("; ")
        );
        let grain = |one: &ColdDough| one.why.grain_at_least_celsius;
        if cold
            .iter()
            .filter_map(grain)
            .any(|least| least > COLD_CELSIUS)
        {
            note += &format!(" Grain {}.", warm_just_before(self.units));
        }
        if let Some(codes) = self.codes_of(|one| grain(one).is_none()) {
            note += &format!(
                " For {codes} warmer grain alone is not enough: warm the flour or the preferment, or take a cooler dough."
            );
        }
        if let Some(codes) = self.codes_of(|one| !one.is_mixing_known) {
            note += &format!(" Mixing will warm {codes} further; how much is not known yet.");
        }
        Some(note)
    }

    /// `at about 23 °C instead of 26 °C (with grain of 12 °C or more that water is enough)`.
    fn how_cold(&self, one: &ColdDough) -> String {
        let wanted = degrees(one.wanted_celsius, f64::round, self.units);
        let comes_out = match one.why.dough_celsius {
            Some(celsius) => format!(
                "at about {} instead of {wanted}",
                degrees(celsius, f64::floor, self.units)
            ),
            None => format!("far below {wanted}"),
        };
        match one.why.grain_at_least_celsius {
            Some(least) => format!(
                "{comes_out} (with grain of {} or more that water is enough)",
                degrees(least, f64::ceil, self.units)
            ),
            None => comes_out,
        }
    }

    /// The bakes whose dough is so, if there are any.
    fn codes_of(&self, is_so: impl Fn(&ColdDough) -> bool) -> Option<String> {
        let cold = self.answer.cold_doughs.iter().filter(|one| is_so(one));
        let codes: Vec<&str> = cold.map(|one| self.bake(one.bake)).collect();
        (!codes.is_empty()).then(|| codes.join(", "))
    }
}
