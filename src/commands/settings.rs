//! `settings`: what the book is told of the house it is for.

use super::ground::Ground;
use super::{Outcome, typed};
use crate::context::Errand;
use crate::dough::house::{House, Setting};
use crate::error::usage;
use crate::render::{self, numbers::Units};

/// Tell the book of the house it is for: its night, tap and room, its scale, freezer and dryer
#[derive(clap::Args)]
pub struct Arguments {
    /// What to tell, such as night, tap, evening or dryer [default: list them all]
    #[arg(value_name = "SETTING", value_parser = typed::value::<Setting>, requires = "value")]
    setting: Option<Setting>,

    /// Its value, such as 22:00-05:00, 12C, 21:00 or 3kg
    #[arg(value_name = "VALUE", value_parser = typed::words, allow_hyphen_values = true)]
    value: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    if let (Some(setting), Some(value)) = (arguments.setting, &arguments.value) {
        // Read once before anything is written.
        House::default().told(setting, value).map_err(usage)?;
        let ground = Ground::of(errand)?;
        let signature = ground.signature.clone();
        let mut book = ground.book(errand)?;
        errand.act(&mut book, &signature, |act| act.tell(setting, value))?;
    }
    let house = errand.open_book()?.view().house()?;
    let text = if errand.options.json {
        render::json::text(&render::json::listing::Settings::new(&house))?
    } else {
        let told = arguments.setting.as_slice();
        let shown = if told.is_empty() { &Setting::ALL } else { told };
        render::settings::text(&house, shown, Units::of(errand.options.us))
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}
