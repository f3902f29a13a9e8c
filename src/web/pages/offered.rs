//! What several forms offer to choose from.

use crate::dough::timetable::Point;
use crate::web::draw::Choice;
use crate::web::visit::Visit;

/// The names of all breweries, each once.
pub fn breweries(visit: &Visit) -> anyhow::Result<Vec<String>> {
    let sources = visit.desk.sources()?.answer.into_iter();
    let mut names: Vec<String> = sources.map(|source| source.name).collect();
    names.sort();
    names.dedup();
    Ok(names)
}

/// The formulas of the book.
pub fn formulas(visit: &Visit) -> anyhow::Result<Vec<Choice>> {
    let formulas = visit.desk.formulas()?.answer.into_iter();
    Ok(formulas
        .map(|formula| Choice::plain(formula.name))
        .collect())
}

/// What happens at the time of a bake.
pub fn points() -> [Choice; 3] {
    [
        Choice::new(Point::Ready.as_str(), "ready"),
        Choice::new(Point::InOven.as_str(), "into the oven"),
        Choice::new(Point::Mix.as_str(), "mixed"),
    ]
}
