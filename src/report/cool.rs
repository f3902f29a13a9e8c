//! The answer to `cool`: whether a tub cools in time, calculated before it stands in the fridge.
//!
//! A forecast and no finding: nothing of it goes into a lot's history.

use crate::grain::{Form, Kind, estimate};
use crate::heat::cooling::{
    Air, Cooling, ICE_WATER_CELSIUS, ICE_WATER_COEFFICIENT, Material, Setting, Underside, VOIDS,
};
use crate::heat::properties::wet_grain;
use crate::keeping::RuleSet;
use crate::quantity::{Length, Problem, Temperature, WetBasis, bounds};

/// What is put into the cold, and where.
#[derive(Debug, Clone, Copy)]
pub struct CoolRequest {
    /// Depth of the grain.
    pub depth: Length,
    /// Width of a round tub; a tray has none.
    pub width: Option<Length>,
    /// All of the grain at the beginning.
    pub start: Temperature,
    /// The fridge.
    pub fridge: Temperature,
    /// Still or moving air.
    pub air: Air,
    /// What it stands on.
    pub underside: Underside,
    /// Form of the grain.
    pub form: Form,
    /// Its moisture, where it is known; else what is taken for the form.
    pub moisture: Option<WetBasis>,
}

/// Whether it cools in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Forecast {
    /// In time even where the air takes least.
    InTime,
    /// In time only where the air takes much.
    Doubtful,
    /// Too slow however well the air takes heat; steam, which cools faster, is left out.
    TooSlow,
}

impl Forecast {
    /// The word for it in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::InTime => "in-time",
            Self::Doubtful => "doubtful",
            Self::TooSlow => "too-slow",
        }
    }
}

/// One end of the range: how fast it cools with one surface coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// Surface heat transfer coefficient, W/(m² K).
    pub coefficient: f64,
    /// Resistance inside over resistance at the surface.
    pub biot: f64,
    /// Seconds until the middle passes the first stage's temperature.
    pub to_first: Option<f64>,
    /// Seconds until it passes the cold limit.
    pub to_cold: Option<f64>,
    /// Whether that is within the rule.
    pub in_time: bool,
    /// The deepest layer that is, m, all else the same.
    pub deepest: Option<f64>,
}

/// The whole answer.
#[derive(Debug, Clone)]
pub struct CoolAnswer {
    /// What was asked.
    pub request: CoolRequest,
    /// The moisture it was calculated with.
    pub moisture: WetBasis,
    /// What conducts the heat, without air in it.
    pub material: Material,
    /// Where the air takes least heat.
    pub slow: Course,
    /// Where it takes most.
    pub quick: Course,
    /// The deepest layer on a rack in moving air, m, where that takes least.
    pub deepest_on_a_rack: Option<f64>,
    /// The thickest flat bag in ice water, m.
    pub thickest_in_ice_water: Option<f64>,
    /// The rules it is held against.
    pub rules: RuleSet,
}

impl CoolAnswer {
    /// Works it out.
    pub fn new(request: CoolRequest, rules: RuleSet) -> Result<Self, Problem> {
        refuse(&request)?;
        let moisture = match request.moisture {
            Some(moisture) => moisture,
            None => {
                let usual = estimate::default_moisture(request.form, Kind::Mashed);
                WetBasis::new(usual.value)?
            }
        };
        let (start, fridge) = (
            request.start.degrees_celsius(),
            request.fridge.degrees_celsius(),
        );
        let material = Material::of(&wet_grain(moisture), start.midpoint(fridge));
        let [least, most] = request.air.coefficients();
        let setting = Setting {
            depth: request.depth.metres(),
            radius: request.width.map(|width| width.metres() / 2.0),
            underside: request.underside,
            coefficient: least,
            start,
            around: fridge,
        };
        let in_time = |cooling: &Cooling| is_in_time(cooling, &rules);
        // Air between the grains makes a thin layer quicker and a thick one slower, and nobody knows how much there is.
        let grains = [material, material.with_voids(VOIDS)];
        let course = |coefficient: f64, which: fn(f64, f64) -> f64| {
            let setting = setting.standing(request.underside, coefficient, fridge);
            let coolings = grains.map(|grain| setting.cooling(&grain));
            let seconds = |celsius: f64| {
                let [plain, airy] = coolings
                    .each_ref()
                    .map(|cooling| cooling.seconds_until(celsius).unwrap_or(f64::INFINITY));
                Some(which(plain, airy)).filter(|seconds| seconds.is_finite())
            };
            let [plain, airy] = coolings
                .each_ref()
                .map(|cooling| f64::from(!in_time(cooling)));
            Course {
                coefficient,
                biot: setting.biot(&material),
                to_first: seconds(first_to(&rules)),
                to_cold: seconds(cold(&rules)),
                in_time: which(plain, airy) == 0.0,
                deepest: deepest(&setting, grains, which, in_time),
            }
        };
        let [on_a_rack, _] = Air::Moving.coefficients();
        let rack = setting.standing(Underside::Rack, on_a_rack, fridge);
        let ice = Setting {
            radius: None,
            ..setting.standing(Underside::Rack, ICE_WATER_COEFFICIENT, ICE_WATER_CELSIUS)
        };
        Ok(Self {
            request,
            moisture,
            material,
            slow: course(least, f64::max),
            quick: course(most, f64::min),
            deepest_on_a_rack: deepest(&rack, grains, f64::max, in_time),
            thickest_in_ice_water: deepest(&ice, grains, f64::max, in_time),
            rules,
        })
    }

    /// Whether it cools in time.
    pub const fn forecast(&self) -> Forecast {
        match (self.slow.in_time, self.quick.in_time) {
            (true, _) => Forecast::InTime,
            (false, true) => Forecast::Doubtful,
            (false, false) => Forecast::TooSlow,
        }
    }

    /// Whether the rule's clock has run already when the grain goes into the cold.
    pub fn clock_runs_already(&self) -> bool {
        !self.rules.hot.limit.at_or_above(self.request.start)
    }
}

/// The deepest layer that is in time; `which` tells whether the slower of two grains decides or the quicker.
fn deepest(
    setting: &Setting,
    grains: [Material; 2],
    which: fn(f64, f64) -> f64,
    in_time: impl Fn(&Cooling) -> bool,
) -> Option<f64> {
    let [plain, airy] = grains.map(|grain| setting.deepest(&grain, &in_time).unwrap_or(0.0));
    // The slower grain has the longer time and the thinner layer.
    Some(-which(-plain, -airy)).filter(|depth| *depth > 0.0)
}

fn first_to(rules: &RuleSet) -> f64 {
    rules.cooling.first_to.in_celsius().degrees_celsius()
}

fn cold(rules: &RuleSet) -> f64 {
    rules.cold.limit.in_celsius().degrees_celsius()
}

/// Whether the middle passes both limits within the rule, its clock taken to start with the cooling.
fn is_in_time(cooling: &Cooling, rules: &RuleSet) -> bool {
    let rule = &rules.cooling;
    let seconds = |duration: chrono::Duration| duration.num_seconds() as f64;
    match (
        cooling.seconds_until(first_to(rules)),
        cooling.seconds_until(cold(rules)),
    ) {
        (Some(first), Some(cold)) => {
            first <= seconds(rule.first_within)
                && cold <= seconds(rule.total_within)
                && rule
                    .further_within
                    .is_none_or(|further| cold - first <= seconds(further))
        }
        _ => false,
    }
}

fn refuse(request: &CoolRequest) -> Result<(), Problem> {
    bounds::DEPTH.check(request.depth.centimetres())?;
    bounds::COOLING_GRAIN.check(request.start.degrees_celsius())?;
    bounds::COOLING_PLACE
        .check(request.fridge.degrees_celsius())
        .map_err(|problem| {
            problem.hint("a freezer freezes the outside first, which this calculation does not hold: cool the grain in the fridge, then freeze it")
        })?;
    if !matches!(request.form, Form::Whole | Form::Pressed | Form::Blended) {
        return Err(Problem::new(format!(
            "form is `{}`: wet grain is calculated, so whole, pressed or blended",
            request.form
        )));
    }
    if request.start.milli_celsius() <= request.fridge.milli_celsius() {
        return Err(Problem::new(format!(
            "the grain is at {} °C and the fridge at {} °C: nothing cools it there",
            request.start.degrees_celsius(),
            request.fridge.degrees_celsius()
        )));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keeping::hot::{BURNS_FROM, STAYS_HOT};

    /// The tub that [`STAYS_HOT`] names.
    #[test]
    fn a_full_tub_is_no_longer_hot_when_it_no_longer_counts_as_hot() {
        let moisture = WetBasis::new(0.78).unwrap();
        let grain = Material::of(&wet_grain(moisture), 49.0);
        let [coefficient, _] = Air::Still.coefficients();
        let setting = Setting {
            depth: 0.45,
            radius: Some(0.2),
            underside: Underside::Shelf,
            coefficient,
            start: 78.0,
            around: 20.0,
        };
        for material in [grain, grain.with_voids(VOIDS)] {
            let seconds = setting
                .cooling(&material)
                .seconds_until(BURNS_FROM.degrees_celsius())
                .unwrap();
            let most = STAYS_HOT.num_seconds() as f64;
            assert!(
                seconds > most / 3.0 && seconds < most,
                "{} h",
                seconds / 3600.0
            );
        }
    }
}
