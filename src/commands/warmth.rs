//! Options that ask for the water temperature, and the temperatures that they stand for.

use super::typed;
use crate::dough::batch::warmth::Temperatures;
use crate::dough::formula::Formula;
use crate::dough::temperature::{FREEZER_CELSIUS, check};
use crate::quantity::bounds::Bounds;
use crate::quantity::{Problem, Temperature};

/// Heading of these options.
pub const HEADING: &str = "Water temperature";

/// What is known without anybody typing it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Known {
    /// Water from the tap, as the book was told.
    pub tap: Option<Temperature>,
    /// The room, as the book was told.
    pub room: Option<Temperature>,
    /// The grain, as its place is stated.
    pub grain: Option<Temperature>,
}

#[derive(clap::Args)]
pub struct WarmthArguments {
    /// Water from the tap; asks how warm the water of the final dough must be
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    tap: Option<Temperature>,

    /// The room
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    room: Option<Temperature>,

    /// Flour, and what stands beside it [default: the room's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    flour_temp: Option<Temperature>,

    /// Grain that goes into the final dough; this or --frozen is needed
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, conflicts_with = "frozen", allow_hyphen_values = true, help_heading = HEADING)]
    grain_temp: Option<Temperature>,

    /// The grain comes from the freezer, at -18C
    #[arg(long, help_heading = HEADING)]
    frozen: bool,

    /// Preferments and soakers [default: what the formula says of each, else the room's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    preferment_temp: Option<Temperature>,
}

impl WarmthArguments {
    /// The temperatures of a dough of this formula; nothing where nobody asked and too little is known.
    ///
    /// Every problem is one of the command line.
    pub fn temperatures(
        &self,
        formula: &Formula,
        known: &Known,
        dough: Option<Temperature>,
    ) -> Result<Option<Temperatures>, Problem> {
        let Some(tap) = self.tap.or(known.tap) else {
            let first = self
                .first_given()
                .or(dough.is_some().then_some("--dough-temp"));
            return match first {
                None => Ok(None),
                Some(option) => Err(Problem::new(format!(
                    "{option} is given, and the water temperature needs that of the tap too"
                ))
                .hint("add --tap TEMPERATURE, such as --tap 12C")),
            };
        };
        let all = || {
            Ok(Temperatures {
                tap: within(&check::TAP, tap, "--tap")?,
                room: self
                    .room(known)
                    .map(|room| within(&check::ROOM, room, "--room"))
                    .transpose()?,
                flour: self.flour(known)?,
                grain: self.grain(formula, known)?,
                stages: self.stages(formula, known)?,
                dough: wanted(formula, dough)?,
            })
        };
        match (all(), self.is_asked() || dough.is_some()) {
            // Nobody asked: what the book knows is not enough, and that is no fault.
            (Err(_), false) => Ok(None),
            (found, _) => found.map(Some),
        }
    }

    /// The first option that was typed, that of the tap left out.
    fn first_given(&self) -> Option<&'static str> {
        [
            (self.room.is_some(), "--room"),
            (self.flour_temp.is_some(), "--flour-temp"),
            (self.grain_temp.is_some(), "--grain-temp"),
            (self.frozen, "--frozen"),
            (self.preferment_temp.is_some(), "--preferment-temp"),
        ]
        .into_iter()
        .find_map(|(given, option)| given.then_some(option))
    }

    /// Whether any of these options was typed.
    pub fn is_asked(&self) -> bool {
        self.tap.is_some() || self.first_given().is_some()
    }

    fn room(&self, known: &Known) -> Option<Temperature> {
        self.room.or(known.room)
    }

    fn flour(&self, known: &Known) -> Result<f64, Problem> {
        match (self.flour_temp, self.room(known)) {
            (Some(flour), _) => within(&check::INGREDIENT, flour, "--flour-temp"),
            (None, Some(room)) => within(&check::ROOM, room, "--room"),
            (None, None) => Err(Problem::new(
                "the water temperature needs that of the flour, and neither --room nor --flour-temp is given",
            )
            .hint("add --room TEMPERATURE, such as --room 21C")),
        }
    }

    /// Of the grain, where the final dough takes it.
    fn grain(&self, formula: &Formula, known: &Known) -> Result<Option<f64>, Problem> {
        let stage = &formula.stages[formula.grain.stage];
        let is_in_final_dough = formula.grain.stage + 1 == formula.stages.len();
        match (self.grain_temp, self.frozen) {
            (None, false) if !is_in_final_dough => Ok(None),
            _ if !is_in_final_dough => Err(Problem::new(format!(
                "the grain of `{}` goes into the stage `{}`, so its own temperature does not count at mixing",
                formula.name, stage.name
            ))
            .hint("leave out --grain-temp and --frozen; --preferment-temp is the temperature of that stage")),
            (Some(grain), _) => within(&check::INGREDIENT, grain, "--grain-temp").map(Some),
            (None, true) => Ok(Some(FREEZER_CELSIUS)),
            (None, false) if known.grain.is_some() => known
                .grain
                .map(|grain| within(&check::INGREDIENT, grain, "the grain's place"))
                .transpose(),
            (None, false) => Err(Problem::new(
                "the water temperature needs that of the grain, and neither --grain-temp nor --frozen is given",
            )
            .hint("add --grain-temp TEMPERATURE, such as --grain-temp 4C, or --frozen")),
        }
    }

    /// Of each stage before the final dough.
    fn stages(&self, formula: &Formula, known: &Known) -> Result<Vec<f64>, Problem> {
        let earlier = &formula.stages[..formula.stages.len() - 1];
        if earlier.is_empty() && self.preferment_temp.is_some() {
            return Err(Problem::new(format!(
                "--preferment-temp is given, and `{}` has no preferment or soaker",
                formula.name
            ))
            .hint("leave it out"));
        }
        earlier
            .iter()
            .map(|stage| match (self.preferment_temp, stage.temperature, self.room(known)) {
                (Some(given), _, _) => within(&check::INGREDIENT, given, "--preferment-temp"),
                (None, Some(own), _) => {
                    within(&check::INGREDIENT, own, &format!("stage `{}`", stage.name))
                }
                (None, None, Some(room)) => within(&check::ROOM, room, "--room"),
                (None, None, None) => Err(Problem::new(format!(
                    "the water temperature needs that of the stage `{}`: the formula does not say it, and neither --preferment-temp nor --room is given",
                    stage.name
                ))
                .hint("add --room TEMPERATURE or --preferment-temp TEMPERATURE")),
            })
            .collect()
    }
}

/// The dough when mixing ends: as typed, else the formula's.
fn wanted(formula: &Formula, typed: Option<Temperature>) -> Result<f64, Problem> {
    match (typed, formula.dough_temperature) {
        (Some(given), _) => within(&check::DOUGH, given, "--dough-temp"),
        (None, Some(own)) => within(&check::DOUGH, own, &format!("formula `{}`", formula.name)),
        (None, None) => Err(Problem::new(format!(
            "formula `{}` does not say how warm the dough is to be",
            formula.name
        ))
        .hint("add --dough-temp TEMPERATURE, such as --dough-temp 25C")),
    }
}

/// A temperature within what the heat balance takes, in °C.
fn within(bounds: &Bounds, temperature: Temperature, place: &str) -> Result<f64, Problem> {
    bounds
        .check(temperature.degrees_celsius())
        .map_err(|problem| problem.within(place))
}
