//! What both forms of the bench sheet say, in the same words.

use crate::dough::batch::warmth::{self, Warmth};
use crate::dough::batch::{Line, LineKind};
use crate::dough::doneness::Reach;
use crate::dough::formula::StepKind;
use crate::dough::house::METRES_PER_FOOT;
use crate::dough::temperature::{Refusal, Water};
use crate::planning::condition::Condition;
use crate::quantity::mass::from_grams;
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Temperature, Zone};
use crate::render::bake::{LEFT_OUT, OPTIONAL};
use crate::render::batch::WeightColumn;
use crate::render::kitchen_scale::KitchenScale;
use crate::render::numbers::{self, Units};
use crate::render::plan::to_be_shown;
use crate::render::water_temperature::{self, MOST_FOR_YEAST, degrees};
use crate::render::words::capital;
use crate::render::{hold_back, missing_temperatures, spoiled_part, times, timetable};
use crate::report::sheet::{SheetAnswer, SheetDraw, StillTo};

mod dry;
mod record;
mod thaw;

pub use record::LONGEST_BLANK;

/// A thermometer needs a crumb around its tip; pieces lighter than this are judged by colour. Our choice.
const LIGHTEST_TO_PROBE_GRAMS: f64 = 300.0;

/// The page's own words for one bake.
#[derive(Clone, Copy)]
pub struct Words<'a> {
    pub answer: &'a SheetAnswer,
    pub zone: &'a Zone,
    pub units: Units,
}

/// How warm the water of the final dough is.
pub struct WaterWords {
    /// What is read from across the room; nothing where there is nothing to read.
    pub large: Option<String>,
    /// The rest.
    pub text: String,
    /// What to type to have it calculated.
    pub command: Option<String>,
}

/// One line to weigh.
pub struct WeighWords {
    pub weight: String,
    pub name: String,
    /// Of water to pour first or to hold back, which is read from across the room: which of both.
    pub large: Option<&'static str>,
}

impl Words<'_> {
    pub fn when(&self, at: Instant) -> String {
        times::moment(at, self.answer.printed_at, self.zone)
    }

    /// The scale on which the dough is weighed.
    fn scale(&self) -> KitchenScale {
        KitchenScale::new(self.units, self.answer.batch.scale)
    }

    /// `12 pieces of 880 g`.
    pub fn pieces(&self) -> String {
        format!(
            "{} of {}",
            count(self.answer.pieces as usize, "piece"),
            self.scale().weigh_dough(self.answer.piece)
        )
    }

    /// Weight of a piece of bread.
    pub fn baked_piece(&self) -> String {
        let baked = self.answer.piece * (1.0 - self.answer.formula.bake_loss);
        self.scale().weigh_dough(baked)
    }

    /// Why it may not be baked at all; nothing of a firm bake that has grain.
    pub fn not_sure(&self) -> Option<String> {
        let optional = (!self.answer.firm).then_some(OPTIONAL);
        let left_out = self.answer.is_left_out.then_some(LEFT_OUT);
        let why: Vec<&str> = [optional, left_out].into_iter().flatten().collect();
        (!why.is_empty()).then(|| why.join("; "))
    }

    /// The three moments of a bake, as far as the formula knows them.
    pub fn moments(&self) -> Vec<(&'static str, String)> {
        let table = &self.answer.timetable;
        let mut moments = vec![("mix", self.when(table.mix_at))];
        moments.extend(table.in_oven_at.map(|at| ("in the oven", self.when(at))));
        if !self.answer.formula.steps.is_empty() {
            moments.push(("ready", self.when(table.ready_at)));
        }
        moments
    }

    /// When a stage is put together and how it stands until mixing.
    pub fn stage(&self, position: usize) -> String {
        let stage = &self.answer.formula.stages[position];
        let stands = timetable::stands(stage, self.units);
        std::iter::once(self.when(self.answer.stage_at(position)))
            .chain(stands)
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// What the line of the grain is called: dried grain is not wet.
    fn grain(&self) -> &'static str {
        if self.answer.draws.iter().any(|draw| draw.form.is_dry()) {
            "grain"
        } else {
            "wet grain"
        }
    }

    fn column(&self) -> WeightColumn {
        WeightColumn::new(&self.answer.batch, self.units)
    }

    pub fn line(&self, line: &Line, takes_grain: bool) -> WeighWords {
        let (large, name) = match line.what {
            LineKind::Stage => (None, format!("all of the {}", line.name)),
            LineKind::Water if takes_grain => (Some("pour first"), "water".to_owned()),
            LineKind::HeldBack => (
                Some("hold back"),
                format!(
                    "water, beside the mixer and as warm as the rest: {}",
                    hold_back::parts_in_short(&self.answer.batch.hold_back, self.scale())
                ),
            ),
            // What is weighed of each lot stands below it.
            LineKind::Grain => {
                let of_lots = match self.answer.draws.len() {
                    0 => "",
                    1 => ":",
                    _ => " in all:",
                };
                (None, format!("{}{of_lots}", self.grain()))
            }
            _ => (None, line.name.clone()),
        };
        WeighWords {
            weight: self.column().shown(line.weight),
            name,
            large,
        }
    }

    /// What to take from a lot, as its scale shows it: the lots add up to the line of the grain.
    pub fn taken(&self, draw: &SheetDraw) -> String {
        self.column().shown(Milligrams::nearest(draw.wet))
    }

    /// `ALD-261120-1T, whole, from the walk-in fridge, until Sun 29 Nov, end of day`.
    pub fn draw(&self, draw: &SheetDraw) -> String {
        let mut parts = vec![draw.lot.clone(), draw.form.to_string()];
        parts.extend(draw.place.as_ref().map(|place| format!("in {place}")));
        if let Some(wanted) = self
            .answer
            .formula
            .grain
            .form
            .filter(|form| *form != draw.form)
        {
            parts.push(format!("the formula wants {wanted}"));
        }
        let only_if = only_if(draw);
        let is_open = only_if.is_some();
        parts.extend((!is_open).then(|| match draw.keep_until {
            Some(until) => format!("keep until {}", self.when(until)),
            None => "no date".to_owned(),
        }));
        if self.answer.is_not_thawed(draw) && (is_open || self.answer.may_be_used(draw)) {
            parts.push("NOT THAWED".to_owned());
        } else if let Some(only_if) = only_if {
            parts.push(only_if.to_owned());
        } else if self.answer.may_be_used(draw) {
            parts.push(draw.verdict.to_string());
        } else if draw.verdict.may_be_used() {
            parts.push("PAST when it would go in: DO NOT USE".to_owned());
        } else {
            parts.push(format!("{}: DO NOT USE", draw.verdict).to_uppercase());
        }
        parts.join(", ")
    }

    /// What has to be dried and shown of the lots before they may go in, the first to be shown first.
    pub fn conditions(&self) -> Vec<String> {
        let of = |(lot, condition): (&str, &Condition)| {
            let by = self.when(condition.by);
            let shown = to_be_shown(lot, condition, &by, self.units);
            format!("ON CONDITION: {shown}. If it is not, do not use {lot}")
        };
        let shown = self.answer.conditions().into_iter().map(of);
        self.dry().into_iter().chain(shown).collect()
    }

    /// What to do with lots of which a part was thrown away as spoiled.
    pub fn spoiled_parts(&self) -> Vec<String> {
        let draws = self.answer.draws.iter();
        let told = draws.filter_map(|draw| {
            let (part, now) = (draw.spoiled_part?, self.answer.printed_at);
            Some(capital(&spoiled_part::words(
                &draw.lot, part, now, self.zone,
            )))
        });
        let mut told: Vec<String> = told.collect();
        // A lot may go in as it lies and dried.
        told.dedup();
        told
    }

    /// What the lots hold too little of.
    pub fn short(&self) -> Option<String> {
        let short = Milligrams::nearest(self.answer.short);
        (short > Milligrams::ZERO).then(|| {
            format!(
                "SHORT: the lots hold {} too little dry grain",
                self.units.to_weigh(self.answer.short)
            )
        })
    }

    /// What to do with more lots than the bake may be made of.
    pub fn put_together(&self) -> Option<String> {
        self.answer
            .put_together
            .then(|| "PUT TOGETHER: parts of one lot count as one lot".to_owned())
    }

    pub fn moisture(&self) -> String {
        let sum = &self.answer.batch.hold_back;
        let drying = numbers::drying(&self.answer.drying)
            .into_iter()
            .map(|lot| format!("; {lot}"));
        format!(
            "{}; {} of total flour is dry grain{}",
            hold_back::water_in_grain(sum, &self.answer.moisture_from, "the grain"),
            numbers::percent(sum.grain_share),
            drying.collect::<String>()
        )
    }

    pub fn water(&self) -> WaterWords {
        match &self.answer.warmth {
            Some(warmth) => self.known_water(warmth),
            None => {
                let missing = &self.answer.missing;
                let text = match missing_temperatures::measured(missing) {
                    measured if measured.is_empty() => {
                        "not calculated yet: choose how warm the dough is to be, then type"
                            .to_owned()
                    }
                    measured => format!("not calculated yet: measure {measured}, then type"),
                };
                WaterWords {
                    large: None,
                    text,
                    command: Some(format!(
                        "draff sheet {} {}",
                        self.answer.bake,
                        missing_temperatures::typed(missing, self.units)
                    )),
                }
            }
        }
    }

    fn known_water(&self, warmth: &Warmth) -> WaterWords {
        if let Err(refusal @ Refusal::TooHot(why)) = &warmth.plan
            && why.thaw.is_some()
        {
            return self.thaw_first(refusal);
        }
        let whole = |celsius| degrees(celsius, f64::round, self.units);
        let dough = format!("for a dough of {}", whole(warmth.dough_celsius));
        let (large, text) = match &warmth.plan {
            Ok(plan) => match plan.water {
                Water::Tempered { celsius } => (
                    Some(whole(celsius)),
                    format!("all the water of the final dough, {dough}"),
                ),
                Water::WithIce { ice, tap_water, .. }
                    if !warmth::is_worth_weighing(ice, tap_water) =>
                {
                    (
                        Some(whole(warmth.tap_celsius)),
                        format!("from the tap as it is, {dough}"),
                    )
                }
                Water::WithIce { ice, .. } => (
                    Some(format!("{} of ice", self.scale().weigh_dough(ice))),
                    format!(
                        "in place of as much of the water; the rest from the tap at {}, {dough}",
                        whole(warmth.tap_celsius)
                    ),
                ),
            },
            Err(refusal) => self.no_water(refusal, warmth),
        };
        let text = match warmth.mixing.kelvin {
            Some(_) => text,
            None => {
                let to_what = match warmth.plan {
                    Ok(_) => format!("above {}", whole(warmth.dough_celsius)),
                    Err(_) => "further".to_owned(),
                };
                format!(
                    "{text}. Mixing will warm the dough {to_what}; how much is not known yet. Measure the dough and write it down"
                )
            }
        };
        WaterWords {
            large,
            text,
            command: None,
        }
    }

    /// What to pour where no water makes the dough as warm as it is wanted, and what would: a sentence each.
    fn no_water(&self, refusal: &Refusal, warmth: &Warmth) -> (Option<String>, String) {
        let at_limit = match refusal {
            Refusal::TooHot(why) => why
                .dough_celsius
                .map(|celsius| (celsius, why.limit_celsius)),
            _ => None,
        };
        let (large, first) = match at_limit {
            Some((celsius, limit)) => (
                Some(degrees(limit, f64::floor, self.units)),
                format!(
                    "pour at that, {MOST_FOR_YEAST}. The dough then comes out at about {} instead of {}",
                    degrees(celsius, f64::floor, self.units),
                    degrees(warmth.dough_celsius, f64::round, self.units)
                ),
            ),
            None => {
                let reason = water_temperature::reason(refusal, warmth, self.units);
                (None, format!("none: {reason}"))
            }
        };
        let ways_out = water_temperature::ways_out(refusal, self.scale());
        let ways_out = ways_out.iter().map(|way| capital(way));
        let sentences: Vec<String> = std::iter::once(first).chain(ways_out).collect();
        (large, sentences.join(". "))
    }

    /// What to look for, each with the moment at which to look. Common practice, no source, but for the
    /// middle of a loaf: `docs/models/doneness.md`.
    pub fn signs(&self) -> Vec<(&'static str, String)> {
        let steps = &self.answer.formula.steps;
        let has = |kind| steps.is_empty() || steps.iter().any(|step| step.kind == kind);
        let mut signs = vec![(
            "mixed",
            "a pinch of dough pulls out to a thin window; husks tear it a little sooner".to_owned(),
        )];
        if has(StepKind::Proof) {
            signs.push((
                "proofed",
                "a finger's dent comes back slowly, and not quite".to_owned(),
            ));
        }
        if has(StepKind::Bake) {
            signs.push(("baked", self.baked()));
        }
        signs
    }

    fn baked(&self) -> String {
        if self.answer.piece < from_grams(LIGHTEST_TO_PROBE_GRAMS) {
            return "well coloured above and below; so small a piece is no place for a thermometer"
                .to_owned();
        }
        let core = &self.answer.core;
        let whole = |celsius| degrees(celsius, f64::round, self.units);
        let here = core.altitude_metres.map_or_else(
            || "at sea level, less on a mountain".to_owned(),
            |metres| {
                let altitude = match self.units {
                    Units::Metric => format!("{metres:.0} m"),
                    Units::Us => format!("{:.0} ft", metres / METRES_PER_FOOT),
                };
                format!(
                    "at {altitude}, where water boils at {}",
                    whole(core.boiling_celsius)
                )
            },
        );
        let range = |low: f64, high: f64| match (whole(low), whole(high)) {
            (low, high) if low == high => low,
            (low, high) => format!("{low} to {high}"),
        };
        let middle = match (core.most_loaves, core.dense_loaves) {
            (Reach::Never(_), _) => "no thermometer tells".to_owned(),
            (Reach::Range(low, high), Reach::Never(_)) => format!(
                "the middle shows {}, dense whole-grain loaves the same",
                range(low, high)
            ),
            (Reach::Range(low, high), Reach::Range(dense_low, dense_high)) => format!(
                "the middle shows {}, of dense whole-grain loaves {}",
                range(low, high),
                range(dense_low, dense_high)
            ),
        };
        format!("the bottom sounds hollow when knocked; {middle} ({here})")
    }

    /// A temperature as it is typed, in the units of the house.
    fn typed(&self, temperature: Temperature) -> String {
        let shown = self.units.temperature(temperature);
        shown.replace([' ', '°'], "")
    }

    /// Where the page comes from.
    pub fn origin(&self) -> String {
        format!(
            "{}, formula version {}, made {}",
            self.answer.book,
            self.answer.version,
            times::heading(self.answer.printed_at, self.zone)
        )
    }
}

/// What has to be done before a lot may go in; nothing where it may go in without.
fn only_if(draw: &SheetDraw) -> Option<&'static str> {
    match (draw.conditions.is_empty(), draw.still_to) {
        (true, None) => None,
        (false, None) => Some("ONLY IF SHOWN COLD IN TIME"),
        (true, Some(StillTo::Freeze(_))) => Some("ONLY IF FROZEN IN TIME"),
        (false, Some(StillTo::Freeze(_))) => Some("ONLY IF SHOWN COLD AND FROZEN IN TIME"),
        (true, Some(StillTo::Dry(..))) => Some("ONLY IF DRIED IN TIME"),
        (false, Some(StillTo::Dry(..))) => Some("ONLY IF SHOWN COLD AND DRIED IN TIME"),
        (true, Some(StillTo::ShowDry(_))) => Some("ONLY IF SHOWN DRY IN TIME"),
        (false, Some(StillTo::ShowDry(_))) => Some("ONLY IF SHOWN COLD AND DRY IN TIME"),
    }
}
