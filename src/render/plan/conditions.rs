//! What has to be shown of grain by when, and what is to be done at once so that grain keeps.

use super::Words;
use crate::planning::condition::Condition;
use crate::render::numbers::Units;
use crate::render::times;

impl Words<'_> {
    /// What is to be done at once so that grain keeps, and what the plan counts on, a line each.
    pub fn condition_lines(&self) -> Vec<String> {
        let fridges = self.answer.fridges().join(" or ");
        let fridges = if fridges.is_empty() {
            "the cold"
        } else {
            &fridges
        };
        let back = self
            .answer
            .to_go_back()
            .into_iter()
            .map(|(lot, by, until)| {
                format!(
                    "put {} into {fridges} by {} at the latest: it keeps until {} then. Plan again after that",
                    self.code(lot),
                    self.when(by),
                    self.when(until)
                )
            });
        let conditions = self.answer.conditions().into_iter();
        let conditions = conditions.map(|(lot, condition, bakes)| {
            let codes: Vec<&str> = bakes.iter().map(|bake| self.bake(*bake)).collect();
            let falls = match codes.as_slice() {
                [] => "the plan counts on it".to_owned(),
                codes => format!("if it is not, {} may not be made of it", codes.join(", ")),
            };
            let by = self.when(condition.by);
            let shown = to_be_shown(self.code(lot), &condition, &by, self.units);
            format!("{shown}; {falls}")
        });
        back.chain(conditions).collect()
    }
}

/// What has to be shown by a moment of a lot that is not shown cold yet.
pub(in crate::render) fn to_be_shown(
    lot: &str,
    condition: &Condition,
    by: &str,
    units: Units,
) -> String {
    let within = condition.within.map_or(String::new(), |within| {
        format!(
            "within {} of the first reading of {} or less, and ",
            times::minutes(within.time.num_minutes()),
            units.temperature(within.after.in_celsius())
        )
    });
    format!(
        "take the temperature of {lot} {within}by {by} at the latest: it must be {} or less",
        units.temperature(condition.at_most.in_celsius())
    )
}
