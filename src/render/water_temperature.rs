//! The water temperature of a batch: how to pour it, or why no water does, and what the usual rule says.

use super::kitchen_scale::KitchenScale;
use super::numbers::Units;
use super::times;
use super::words::labelled;
use crate::dough::batch::warmth::{self, Warmth};
use crate::dough::temperature::{FactorRule, Refusal, TooHot, Water, Why, YEAST_LIMIT_CELSIUS};
use crate::quantity::Problem;
use crate::quantity::text::count;
use uom::si::f64::Mass;

/// Every shipped rule set counts grain above this as out of the cold, °C: 41 °F in the US FDA Food Code 2022,
/// 3-501.16.
pub(super) const COLD_CELSIUS: f64 = 5.0;

/// What the limit of water is, in the same words wherever it stands: no published figure is for water that is poured on flour.
pub(super) const MOST_FOR_YEAST: &str = "the most we count on for yeast (our judgement)";

/// Lines of one answer, each with its label.
struct Block {
    lines: Vec<(&'static str, String)>,
    scale: KitchenScale,
}

/// The lines of the water temperature.
pub fn block(out: &mut String, warmth: &Warmth, scale: KitchenScale) {
    let units = scale.units;
    let mut block = Block::new(scale);
    match &warmth.plan {
        Ok(plan) => {
            block.water(&plan.water, warmth);
            block.rule(plan.factor_rule.as_ref(), of_one_temperature(&plan.water));
        }
        Err(refusal) => {
            let reason = reason(refusal, warmth, units);
            block.line("Water temp", &format!("none: {reason}"));
            block.ways_out(refusal);
            if let Refusal::TooHot(why) = refusal {
                // How much warmer the grain makes water that there is none of is no use to anyone.
                block.rule(why.factor_rule.as_ref(), None);
            }
        }
    }
    match (warmth.mixing.kelvin, warmth.mixing.doughs) {
        (Some(_), 0) => {}
        (Some(kelvin), doughs) => {
            let rise = units.difference(kelvin);
            let measured = count(doughs, "measured dough");
            block.line(
                "Mixing heat",
                &format!("mixing warms it by {rise}, learned from {measured}"),
            );
        }
        (None, _) => {
            let (degrees, example) = match units {
                Units::Metric => ("degrees Celsius", "3K"),
                Units::Us => ("degrees Fahrenheit", "5F"),
            };
            block.line(
                "Mixing heat",
                &format!(
                    "nothing is calculated for it: the formula has no `mixing_rise`. Measure the dough when mixing ends: by as many {degrees} as it is warmer than wanted, mixing warms it; write that into the formula, such as mixing_rise = \"{example}\""
                ),
            );
        }
    }
    for (label, text) in &block.lines {
        labelled(out, label, text);
    }
}

/// The same lines, for who shows nothing else.
pub fn words(warmth: &Warmth, scale: KitchenScale) -> String {
    let mut out = String::new();
    block(&mut out, warmth, scale);
    out
}

/// What can be done where no water does, one sentence each.
pub(super) fn ways_out(refusal: &Refusal, scale: KitchenScale) -> Vec<String> {
    let mut block = Block::new(scale);
    block.ways_out(refusal);
    block.lines.into_iter().map(|(_, text)| text).collect()
}

/// Why no water does, for an answer that has no lines; nothing where some water does.
pub fn refusal(warmth: &Warmth, units: Units) -> Problem {
    let reason = match &warmth.plan {
        Ok(_) => String::new(),
        Err(refusal) => reason(refusal, warmth, units),
    };
    Problem::new(format!("no water temperature for this dough: {reason}"))
}

pub(super) fn reason(refusal: &Refusal, warmth: &Warmth, units: Units) -> String {
    match refusal {
        Refusal::TooHot(why) => {
            // Rounded apart, so that what is too hot never reads like the limit.
            let limit = degrees(why.limit_celsius, f64::floor, units);
            match (why.thaw.is_some(), why.needed_celsius) {
                (true, Some(needed)) => format!(
                    "thaw the grain first. Frozen, it asks for water of {}; {limit} is {MOST_FOR_YEAST}",
                    degrees(needed, f64::ceil, units)
                ),
                (true, None) => format!(
                    "thaw the grain first. Frozen as it is, not even boiling water would do; {limit} is {MOST_FOR_YEAST}"
                ),
                (false, Some(needed)) => format!(
                    "it would have to be {}, and {limit} is {MOST_FOR_YEAST}",
                    degrees(needed, f64::ceil, units)
                ),
                (false, None) => {
                    format!("not even boiling water would do, and {limit} is {MOST_FOR_YEAST}")
                }
            }
        }
        Refusal::NotEnoughWaterForIce {
            water,
            coldest_dough_celsius,
            ..
        } => format!(
            "the dough is to be {}, and with all {} of its water as ice it would still be {}",
            degrees(warmth.dough_celsius, f64::round, units),
            units.to_weigh(*water),
            degrees(*coldest_dough_celsius, f64::ceil, units)
        ),
        Refusal::Other(problem) => problem.to_string(),
    }
}

impl Block {
    const fn new(scale: KitchenScale) -> Self {
        Self {
            lines: Vec::new(),
            scale,
        }
    }

    fn line(&mut self, label: &'static str, text: &str) {
        self.lines.push((label, text.to_owned()));
    }

    fn whole(&self, celsius: f64) -> String {
        degrees(celsius, f64::round, self.scale.units)
    }

    fn water(&mut self, water: &Water, warmth: &Warmth) {
        let dough = format!("for a dough of {}", self.whole(warmth.dough_celsius));
        let tap = self.whole(warmth.tap_celsius);
        let text = match *water {
            Water::Tempered { celsius } => {
                format!(
                    "{} {dough}: all the water of the final dough",
                    self.whole(celsius)
                )
            }
            Water::WithIce { ice, tap_water, .. } if !warmth::is_worth_weighing(ice, tap_water) => {
                format!("{tap} {dough}: use it from the tap as it is")
            }
            Water::WithIce {
                ice,
                tap_water,
                chilled_celsius,
            } => {
                let [ice, tap_water] = self.scale.parts(ice + tap_water, ice);
                let weigh = |mass: Mass| self.scale.weigh_dough(mass);
                let chilled = chilled_celsius.map_or(String::new(), |celsius| {
                    format!(", or all of it chilled to {}", self.whole(celsius))
                });
                format!(
                    "{} of ice and {} from the tap at {tap}{chilled}, {dough}; the ice counts as water poured first",
                    weigh(ice),
                    weigh(tap_water)
                )
            }
        };
        self.line("Water temp", &text);
    }

    fn ways_out(&mut self, refusal: &Refusal) {
        match refusal {
            Refusal::TooHot(why) => {
                self.warmer_grain(why);
            }
            Refusal::NotEnoughWaterForIce { .. } => self.line(
                "Way out",
                "chill the flour, the grain or the preferment, or take a warmer dough: --dough-temp",
            ),
            Refusal::Other(problem) => {
                for hint in problem.hints() {
                    self.line("Way out", hint);
                }
            }
        }
    }

    fn warmer_grain(&mut self, why: &TooHot) {
        let units = self.scale.units;
        if let Some(thaw) = &why.thaw {
            let grain = self.scale.weigh_dough(thaw.grain);
            let ice = units.to_weigh(thaw.ice);
            self.line(
                "Thaw first",
                &format!(
                    "take the frozen grain, {grain} with {ice} of ice in it, out of the freezer and into the fridge {} before mixing",
                    times::minutes(thaw.lead.num_minutes())
                ),
            );
        }
        let limit = degrees(why.limit_celsius, f64::floor, self.scale.units);
        match why.grain_at_least_celsius {
            Some(least) => {
                let grain = degrees(least, f64::ceil, self.scale.units);
                let state = if why.thaw.is_some() { "thawed grain" } else { "grain" };
                self.line(
                    "Grain temp",
                    &format!("with {state} of {grain} or more, water of {limit} is enough"),
                );
                if least > COLD_CELSIUS {
                    let text = format!("grain {}", warm_just_before(self.scale.units));
                    self.line("Caution", &text);
                }
            }
            None => self.line(
                "Way out",
                "warmer grain alone is not enough: warm the flour or the preferment, or take a cooler dough: --dough-temp",
            ),
        }
    }

    /// What the usual rule says, and what leads from there to the temperature of the water, if it has one.
    fn rule(&mut self, rule: Option<&FactorRule>, water: Option<f64>) {
        let Some(rule) = rule else {
            return;
        };
        let count = match rule.factors {
            4 => "four",
            _ => "three",
        };
        let says = rule.celsius.map_or_else(
            || "a temperature that water does not have".to_owned(),
            |celsius| {
                let hot = if celsius > YEAST_LIMIT_CELSIUS {
                    ", too hot for yeast"
                } else {
                    ""
                };
                format!("{}{hot}", self.whole(celsius))
            },
        );
        let friction = difference(rule.friction_kelvin, self.scale.units);
        let why = match rule.why {
            None => String::new(),
            Some(Why::Grain) => match rule.celsius.zip(water) {
                Some((by_rule, water)) => self.rule_to_water(by_rule, water, rule),
                None => ". It leaves out the grain".to_owned(),
            },
            Some(Why::Masses) if rule.factors == 4 => {
                ". It counts flour, room, preferment and water as equally heavy".to_owned()
            }
            Some(Why::Masses) => ". It counts flour, room and water as equally heavy".to_owned(),
        };
        self.line(
            "Usual rule",
            &format!("gives {says} (of {count} temperatures, friction factor {friction}){why}"),
        );
    }

    /// What grain and weights do to the water by the rule. Shown degrees add up, so the weights get what the rounded
    /// others leave.
    fn rule_to_water(&self, by_rule: f64, water: f64, rule: &FactorRule) -> String {
        let in_degrees = |celsius| whole_degrees(celsius, f64::round, self.scale.units);
        let grain = whole_difference(rule.grain_kelvin, self.scale.units);
        let weights = in_degrees(water) - in_degrees(by_rule) - grain;
        let changes = |degrees: i64| {
            let adds = if degrees < 0 { "takes off" } else { "adds" };
            format!("{adds} {} {}", degrees.abs(), scale(self.scale.units))
        };
        let weights = match weights {
            0 => String::new(),
            degrees => format!(", what each part really weighs {}", changes(degrees)),
        };
        format!(
            ". Use {}: the grain {}{weights}",
            self.whole(water),
            changes(grain)
        )
    }
}

/// How far grain may be warmed for a dough, said of grain.
pub(super) fn warm_just_before(units: Units) -> String {
    let cold = degrees(COLD_CELSIUS, f64::round, units);
    format!(
        "above {cold} counts as warm time: let it warm only just before mixing, or warm the flour instead"
    )
}

/// The temperature of the water, all of it; nothing where only ice does.
fn of_one_temperature(water: &Water) -> Option<f64> {
    match *water {
        Water::Tempered { celsius } => Some(celsius),
        Water::WithIce {
            chilled_celsius, ..
        } => chilled_celsius,
    }
}

/// Whole degrees of the scale that is read.
pub(super) fn degrees(celsius: f64, whole: fn(f64) -> f64, units: Units) -> String {
    format!("{} {}", whole_degrees(celsius, whole, units), scale(units))
}

fn whole_degrees(celsius: f64, whole: fn(f64) -> f64, units: Units) -> i64 {
    match units {
        Units::Metric => shown(celsius, whole),
        Units::Us => shown(celsius * 1.8 + 32.0, whole),
    }
}

/// A difference of temperatures in whole degrees.
fn difference(kelvin: f64, units: Units) -> String {
    format!("{} {}", whole_difference(kelvin, units), scale(units))
}

fn whole_difference(kelvin: f64, units: Units) -> i64 {
    match units {
        Units::Metric => shown(kelvin, f64::round),
        Units::Us => shown(kelvin * 1.8, f64::round),
    }
}

const fn scale(units: Units) -> &'static str {
    match units {
        Units::Metric => "°C",
        Units::Us => "°F",
    }
}

/// Free of the noise of floating point, which would lift 32 °F to 33 °F, and of a minus before zero.
fn shown(value: f64, whole: fn(f64) -> f64) -> i64 {
    whole((value * 1e6).round() / 1e6) as i64
}
