//! Options that ask for the water temperature.

use super::typed;
use crate::desk::GivenTemperatures;
use crate::quantity::Temperature;

/// Heading of these options.
pub const HEADING: &str = "Water temperature";

#[derive(clap::Args)]
pub struct DoughTemperatureArguments {
    /// How cold the tap is; the answer then says how warm to make the water of the final dough
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    tap: Option<Temperature>,

    /// The room
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    room: Option<Temperature>,

    /// Temperature of the flour, salt, oil and so on [default: the room's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    flour_temp: Option<Temperature>,

    /// How warm the grain is that goes into the final dough [default: each lot as warm as its place]. If no lot is named or on hand, give this or --frozen
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, conflicts_with = "frozen", allow_hyphen_values = true, help_heading = HEADING)]
    grain_temp: Option<Temperature>,

    /// The grain comes from the freezer, at -18C
    #[arg(long, help_heading = HEADING)]
    frozen: bool,

    /// Preferments and soakers [default: what the formula says of each, else the room's]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = HEADING)]
    preferment_temp: Option<Temperature>,
}

impl DoughTemperatureArguments {
    /// What was given, with the temperature of the dough.
    pub fn given(&self, dough_temp: Option<Temperature>) -> GivenTemperatures {
        GivenTemperatures {
            tap: self.tap,
            room: self.room,
            flour_temp: self.flour_temp,
            grain_temp: self.grain_temp,
            frozen: self.frozen,
            preferment_temp: self.preferment_temp,
            dough_temp,
        }
    }
}
