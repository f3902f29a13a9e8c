//! What several forms offer to choose from.

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
