//! `bake done`: what a bake came to, and its grain drawn.

use super::dough_temperatures::DoughTemperatureArguments;
use super::typed;
use crate::context::Errand;
use crate::desk::{Answer, CameOut, FinishBake, GivenScales};
use crate::dough::thirst::ThirstRule;
use crate::error::usage;
use crate::quantity::{Milligrams, Problem, Temperature};
use crate::report::bake::BakeAnswer;

#[derive(clap::Args)]
pub struct Arguments {
    /// The bake's code, such as B-1S; `draff bake list` shows the bakes to come
    #[arg(value_name = "BAKE")]
    bake: String,

    /// When the dough was mixed [default: as planned, or now where that is yet to come]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// Wet grain that went in, of each lot [default: what the sheet says of the lots named for it]
    #[arg(long, value_name = "LOT=MASS", value_parser = typed::used)]
    used: Vec<(String, Milligrams)>,

    /// As for the sheet, if you typed --thirst there: published or none
    #[arg(long, value_name = "WHICH", value_parser = typed::value::<ThirstRule>, default_value = "published")]
    thirst: ThirstRule,

    /// As for the sheet, if you typed --scale there: the smallest step of the scale [default: that of the settings, else 1g]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    scale: Option<Milligrams>,

    /// What your sheet said to pour first and to hold back, if you printed it before a test, a count or a change of the bake,
    /// such as 626g,438g [default: what the sheet says by now]
    #[arg(long, value_name = "POUR,HOLD", value_parser = typed::pour_and_hold, allow_hyphen_values = true)]
    said: Option<(Milligrams, Milligrams)>,

    /// All the water that went into the final dough, or into the earlier stage that takes the grain: poured and added, without
    /// that of a sponge beside it
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    water: Option<Milligrams>,

    /// Pieces that came out of the oven
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(0..=100_000))]
    pieces: Option<u32>,

    /// What they weighed in all, baked and cooled
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    baked: Option<Milligrams>,

    /// The dough when mixing ended: corrects the mixing heat of the formula
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true)]
    dough_temp: Option<Temperature>,

    /// The water that went in [default: as the sheet says]
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, requires = "dough_temp", allow_hyphen_values = true)]
    water_temp: Option<Temperature>,

    /// How it came out: well, fair or poor
    #[arg(long, value_name = "WORD", value_parser = typed::value::<CameOut>)]
    came_out: Option<CameOut>,

    /// Anything else
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,

    #[command(flatten)]
    temperatures: DoughTemperatureArguments,
}

impl Arguments {
    /// Writes it down.
    pub fn run(self, errand: &mut Errand<'_>) -> anyhow::Result<Answer<BakeAnswer>> {
        let temperatures = self.temperatures.given(None);
        if temperatures.is_asked() && self.dough_temp.is_none() {
            return Err(usage(
                Problem::new("temperatures are given, and not how warm the dough came out")
                    .hint("add --dough-temp TEMPERATURE, or leave them out"),
            ));
        }
        let mut desk = errand.desk()?;
        let at = self
            .at
            .as_deref()
            .map(|at| errand.moment(at, "--at", desk.zone()))
            .transpose()?;
        desk.finish_bake(&FinishBake {
            bake: &self.bake,
            at,
            used: &self.used,
            thirst: self.thirst,
            scales: GivenScales {
                coarse: self.scale,
                ..GivenScales::default()
            },
            said: self.said,
            water: self.water,
            pieces: self.pieces,
            baked: self.baked,
            dough_temp: self.dough_temp,
            water_temp: self.water_temp,
            temperatures,
            came_out: self.came_out,
            note: self.note.as_deref(),
        })
    }
}
