//! Options of `batch` that ask for the water temperature, and the temperatures that they stand for.

use super::typed;
use crate::dough::batch::warmth::Temperatures;
use crate::dough::formula::Formula;
use crate::dough::temperature::{FREEZER_CELSIUS, check};
use crate::quantity::bounds::Bounds;
use crate::quantity::{Problem, Temperature};

/// Heading of these options.
const HEADING: &str = "Water temperature";

#[derive(clap::Args)]
pub struct WarmthArguments {
    /// Water from the tap; asks how warm the water of the final dough must be
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    tap: Option<Temperature>,

    /// The room
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, requires = "tap", allow_hyphen_values = true, help_heading = HEADING)]
    room: Option<Temperature>,

    /// Flour, and what stands beside it [default: the room's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, requires = "tap", allow_hyphen_values = true, help_heading = HEADING)]
    flour_temp: Option<Temperature>,

    /// Grain that goes into the final dough; this or --frozen is needed
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, requires = "tap", conflicts_with = "frozen", allow_hyphen_values = true, help_heading = HEADING)]
    grain_temp: Option<Temperature>,

    /// The grain comes from the freezer, at -18C
    #[arg(long, requires = "tap", help_heading = HEADING)]
    frozen: bool,

    /// Preferments and soakers [default: what the formula says of each, else the room's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, requires = "tap", allow_hyphen_values = true, help_heading = HEADING)]
    preferment_temp: Option<Temperature>,

    /// The dough when mixing ends [default: the formula's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, requires = "tap", allow_hyphen_values = true, help_heading = HEADING)]
    dough_temp: Option<Temperature>,
}

impl WarmthArguments {
    /// The temperatures of a dough of this formula; nothing where nobody asked.
    ///
    /// Every problem is one of the command line.
    pub fn temperatures(&self, formula: &Formula) -> Result<Option<Temperatures>, Problem> {
        let Some(tap) = self.tap else {
            return Ok(None);
        };
        Ok(Some(Temperatures {
            tap: within(&check::TAP, tap, "--tap")?,
            room: self
                .room
                .map(|room| within(&check::ROOM, room, "--room"))
                .transpose()?,
            flour: self.flour()?,
            grain: self.grain(formula)?,
            stages: self.stages(formula)?,
            dough: self.dough(formula)?,
        }))
    }

    fn flour(&self) -> Result<f64, Problem> {
        match (self.flour_temp, self.room) {
            (Some(flour), _) => within(&check::INGREDIENT, flour, "--flour-temp"),
            (None, Some(room)) => within(&check::ROOM, room, "--room"),
            (None, None) => Err(Problem::new(
                "the water temperature needs that of the flour, and neither --room nor --flour-temp is given",
            )
            .hint("add --room TEMPERATURE, such as --room 21C")),
        }
    }

    /// Of the grain, where the final dough takes it.
    fn grain(&self, formula: &Formula) -> Result<Option<f64>, Problem> {
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
            (None, false) => Err(Problem::new(
                "the water temperature needs that of the grain, and neither --grain-temp nor --frozen is given",
            )
            .hint("add --grain-temp TEMPERATURE, such as --grain-temp 4C, or --frozen")),
        }
    }

    /// Of each stage before the final dough.
    fn stages(&self, formula: &Formula) -> Result<Vec<f64>, Problem> {
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
            .map(|stage| match (self.preferment_temp, stage.temperature, self.room) {
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

    fn dough(&self, formula: &Formula) -> Result<f64, Problem> {
        match (self.dough_temp, formula.dough_temperature) {
            (Some(given), _) => within(&check::DOUGH, given, "--dough-temp"),
            (None, Some(own)) => within(&check::DOUGH, own, &format!("formula `{}`", formula.name)),
            (None, None) => Err(Problem::new(format!(
                "formula `{}` does not say how warm the dough is to be",
                formula.name
            ))
            .hint("add --dough-temp TEMPERATURE, such as --dough-temp 25C")),
        }
    }
}

/// A temperature within what the heat balance takes, in °C.
fn within(bounds: &Bounds, temperature: Temperature, place: &str) -> Result<f64, Problem> {
    bounds
        .check(temperature.degrees_celsius())
        .map_err(|problem| problem.within(place))
}
