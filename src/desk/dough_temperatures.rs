//! Temperatures of what goes into a dough: those that were given, and what the book knows beside them.

use super::Refusal;
use crate::dough::batch::warmth::{GrainTemperature, LotTemperature, Temperatures};
use crate::dough::formula::Formula;
use crate::dough::house::Thaw;
use crate::dough::temperature::{FREEZER_CELSIUS, check};
use crate::quantity::bounds::Bounds;
use crate::quantity::{Problem, Temperature};

/// What is known without anybody saying it.
#[derive(Debug, Clone, Default)]
pub struct KnownTemperatures {
    /// Water from the tap, as the settings state it.
    pub tap: Option<Temperature>,
    /// The room, as the settings state it.
    pub room: Option<Temperature>,
    /// The lots of the grain, each as its place is stated; none where the place of one is not known.
    pub grain: Vec<LotTemperature>,
    /// How long frozen grain thaws, and how thick it lies where that was stated.
    pub thaw: Thaw,
}

/// Temperatures that were given for the water of one dough. With none of them, and too little known beside them,
/// no water temperature is worked out.
#[derive(Debug, Clone, Default)]
pub struct GivenTemperatures {
    /// Water from the tap.
    pub tap: Option<Temperature>,
    /// The room.
    pub room: Option<Temperature>,
    /// Flour, salt, oil and so on; else the room's.
    pub flour_temp: Option<Temperature>,
    /// Grain that goes into the final dough.
    pub grain_temp: Option<Temperature>,
    /// That grain comes from the freezer.
    pub frozen: bool,
    /// Preferments and soakers; else what the formula says of each, else the room's.
    pub preferment_temp: Option<Temperature>,
    /// The dough when mixing ends; else the formula's.
    pub dough_temp: Option<Temperature>,
}

/// Why the water temperature of a dough cannot be worked out from what was given.
#[derive(Debug, Clone, PartialEq)]
pub enum TemperatureProblem {
    /// That of the tap is not known, although this field is given.
    TapUnknown(&'static str),
    /// That of the flour is not known, nor that of the room.
    FlourUnknown,
    /// That of the grain is not known.
    GrainUnknown,
    /// The grain goes into an earlier stage, so its own temperature does not count at mixing.
    GrainNotAtMixing {
        /// The formula.
        formula: String,
        /// The stage that takes the grain.
        stage: String,
    },
    /// That of a preferment is given for a formula that has none.
    NoPreferment(String),
    /// That of a stage is not known, nor that of the room.
    StageUnknown(String),
    /// That of the dough is not known: the formula does not say it.
    DoughUnknown(String),
    /// The entry of a done bake does not say how warm the dough came out.
    DoughNotMeasured(i64),
    /// The sheet said no temperature for the water of a done bake.
    WaterUnknown,
    /// One is outside what the heat balance takes.
    OutOfRange(TemperatureOf, Problem),
}

/// Where a temperature comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum TemperatureOf {
    /// This field of the request.
    Field(&'static str),
    /// The place that the grain lies in.
    GrainsPlace,
    /// A stage of the formula.
    Stage(String),
    /// A formula.
    Formula(String),
}

use TemperatureOf::{Field, GrainsPlace};
use TemperatureProblem::{
    DoughUnknown, FlourUnknown, GrainNotAtMixing, GrainUnknown, NoPreferment, OutOfRange,
    StageUnknown, TapUnknown,
};

impl GivenTemperatures {
    /// The temperatures of a dough of this formula; nothing where nobody asked and too little is known.
    pub fn temperatures(
        &self,
        formula: &Formula,
        known: &KnownTemperatures,
    ) -> Result<Option<Temperatures>, Refusal> {
        let Some(tap) = self.tap.or(known.tap) else {
            return match self.first_given() {
                None => Ok(None),
                Some(field) => Err(Refusal::Temperatures(TapUnknown(field))),
            };
        };
        let all = || {
            Ok(Temperatures {
                tap: within(&check::TAP, tap, Field("tap"))?,
                room: self
                    .room(known)
                    .map(|room| within(&check::ROOM, room, Field("room")))
                    .transpose()?,
                flour: self.flour(known)?,
                grain: self.grain(formula, known)?,
                stages: self.stages(formula, known)?,
                dough: self.dough(formula)?,
                thaw: known.thaw,
            })
        };
        match all() {
            // Nobody asked: what the book knows is not enough, and that is no fault.
            Err(_) if !self.is_asked() => Ok(None),
            Err(problem) => Err(Refusal::Temperatures(problem)),
            Ok(found) => Ok(Some(found)),
        }
    }

    /// The fields without which no water temperature is worked out: what was not given, and the book does not know.
    pub fn missing(&self, formula: &Formula, known: &KnownTemperatures) -> Vec<&'static str> {
        let tap = self.tap.or(known.tap);
        let is_tap_known = tap.is_some_and(|tap| within(&check::TAP, tap, Field("tap")).is_ok());
        let is_flour_known = self.flour(known).is_ok();
        [
            ("tap", is_tap_known),
            ("room", is_flour_known),
            ("grain_temp", self.grain(formula, known).is_ok()),
            // A stage of which nothing is said is as warm as the room.
            (
                "preferment_temp",
                !is_flour_known || self.stages(formula, known).is_ok(),
            ),
            ("dough_temp", self.dough(formula).is_ok()),
        ]
        .into_iter()
        .filter_map(|(field, is_known)| (!is_known).then_some(field))
        .collect()
    }

    /// The first field that was given, that of the tap left out.
    fn first_given(&self) -> Option<&'static str> {
        [
            (self.room.is_some(), "room"),
            (self.flour_temp.is_some(), "flour_temp"),
            (self.grain_temp.is_some(), "grain_temp"),
            (self.frozen, "frozen"),
            (self.preferment_temp.is_some(), "preferment_temp"),
            (self.dough_temp.is_some(), "dough_temp"),
        ]
        .into_iter()
        .find_map(|(is_given, field)| is_given.then_some(field))
    }

    /// Whether anything was given.
    pub fn is_asked(&self) -> bool {
        self.tap.is_some() || self.first_given().is_some()
    }

    /// Those of what goes into the dough that were given, by field; that grain comes from the freezer has no figure.
    pub fn of_what_goes_in(&self) -> Vec<(&'static str, Option<Temperature>)> {
        let figures = [
            ("tap", self.tap),
            ("room", self.room),
            ("flour_temp", self.flour_temp),
            ("grain_temp", self.grain_temp),
            ("preferment_temp", self.preferment_temp),
        ];
        let given = figures.into_iter().filter(|(_, given)| given.is_some());
        given
            .chain(self.frozen.then_some(("frozen", None)))
            .collect()
    }

    fn room(&self, known: &KnownTemperatures) -> Option<Temperature> {
        self.room.or(known.room)
    }

    fn flour(&self, known: &KnownTemperatures) -> Result<f64, TemperatureProblem> {
        match (self.flour_temp, self.room(known)) {
            (Some(flour), _) => within(&check::INGREDIENT, flour, Field("flour_temp")),
            (None, Some(room)) => within(&check::ROOM, room, Field("room")),
            (None, None) => Err(FlourUnknown),
        }
    }

    /// Of the grain, where the final dough takes it.
    fn grain(
        &self,
        formula: &Formula,
        known: &KnownTemperatures,
    ) -> Result<Option<GrainTemperature>, TemperatureProblem> {
        let is_in_final_dough = formula.grain.stage + 1 == formula.stages.len();
        if !is_in_final_dough {
            return match (self.grain_temp, self.frozen) {
                (None, false) => Ok(None),
                _ => Err(GrainNotAtMixing {
                    formula: formula.name.clone(),
                    stage: formula.stages[formula.grain.stage].name.clone(),
                }),
            };
        }
        match (self.grain_temp, self.frozen, known.grain.as_slice()) {
            (Some(grain), ..) => {
                let celsius = within(&check::INGREDIENT, grain, Field("grain_temp"))?;
                Ok(Some(GrainTemperature::Even(celsius)))
            }
            (None, true, _) => Ok(Some(GrainTemperature::Even(FREEZER_CELSIUS))),
            (None, false, []) => Err(GrainUnknown),
            (None, false, lots) => {
                for lot in lots {
                    celsius_within(&check::INGREDIENT, lot.celsius, GrainsPlace)?;
                }
                Ok(Some(GrainTemperature::OfLots(lots.to_vec())))
            }
        }
    }

    /// Of each stage before the final dough.
    fn stages(
        &self,
        formula: &Formula,
        known: &KnownTemperatures,
    ) -> Result<Vec<f64>, TemperatureProblem> {
        let earlier = &formula.stages[..formula.stages.len() - 1];
        if earlier.is_empty() && self.preferment_temp.is_some() {
            return Err(NoPreferment(formula.name.clone()));
        }
        earlier
            .iter()
            .map(
                |stage| match (self.preferment_temp, stage.temperature, self.room(known)) {
                    (Some(given), ..) => {
                        within(&check::INGREDIENT, given, Field("preferment_temp"))
                    }
                    (None, Some(own), _) => within(
                        &check::INGREDIENT,
                        own,
                        TemperatureOf::Stage(stage.name.clone()),
                    ),
                    (None, None, Some(room)) => within(&check::ROOM, room, Field("room")),
                    (None, None, None) => Err(StageUnknown(stage.name.clone())),
                },
            )
            .collect()
    }

    /// Of the dough when mixing ends.
    fn dough(&self, formula: &Formula) -> Result<f64, TemperatureProblem> {
        match (self.dough_temp, formula.dough_temperature) {
            (Some(given), _) => within(&check::DOUGH, given, Field("dough_temp")),
            (None, Some(own)) => within(
                &check::DOUGH,
                own,
                TemperatureOf::Formula(formula.name.clone()),
            ),
            (None, None) => Err(DoughUnknown(formula.name.clone())),
        }
    }
}

/// A temperature within what the heat balance takes, in °C.
fn within(
    bounds: &Bounds,
    temperature: Temperature,
    of: TemperatureOf,
) -> Result<f64, TemperatureProblem> {
    celsius_within(bounds, temperature.degrees_celsius(), of)
}

fn celsius_within(
    bounds: &Bounds,
    celsius: f64,
    of: TemperatureOf,
) -> Result<f64, TemperatureProblem> {
    bounds
        .check(celsius)
        .map_err(|problem| OutOfRange(of, problem))
}
