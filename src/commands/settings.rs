//! `settings`: what the book is told of the house it is for.

use super::{Outcome, typed};
use crate::context::Errand;
use crate::dough::house::{House, Setting};
use crate::error::usage;
use crate::quantity::Problem;
use crate::render;

/// Set your defaults: night hours, tap, room, scale, freezer, dryer
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  draff settings tap 11C\n  draff settings")]
pub struct Arguments {
    /// What to tell, such as night, tap, evening or dryer [default: list them all]
    #[arg(value_name = "SETTING", value_parser = typed::value::<Setting>, requires = "value")]
    setting: Option<Setting>,

    /// Its value, such as 22:00-05:00, 12C, 21:00 or 3kg
    #[arg(value_name = "VALUE", value_parser = typed::words, allow_hyphen_values = true)]
    value: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let answer = match (arguments.setting, &arguments.value) {
        (Some(setting), Some(value)) => {
            // Read once before a book is made for it.
            House::default()
                .set(setting, value)
                .map_err(|problem| usage(with_hint(setting, problem)))?;
            errand.desk_or_new()?.set(setting, value)?
        }
        _ => errand.desk()?.settings()?,
    };
    let set = arguments.setting.as_slice();
    let shown = if set.is_empty() { &Setting::ALL } else { set };
    let units = errand.units();
    errand.show(&answer, render::json::listing::Settings::new, |house| {
        render::settings::text(house, shown, units)
    })?;
    Ok(Outcome::Done)
}

/// What the book says of the house, or of one that told nothing where there is no book.
pub fn of_house(errand: &mut Errand<'_>) -> anyhow::Result<House> {
    match errand.book_if_there()? {
        Some(book) => Ok(errand.desk_at(book)?.settings()?.answer),
        None => Ok(House::default()),
    }
}

/// What a setting does not say is said of a place.
fn with_hint(setting: Setting, problem: Problem) -> Problem {
    match setting {
        Setting::Freezer => {
            problem.hint("`draff place change freezer --capacity 20kg` states how much it takes")
        }
        _ => problem,
    }
}
