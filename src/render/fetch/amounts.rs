//! What each amount comes to, side by side.

use super::Words;
use crate::planning::fetch::Expected;
use crate::quantity::Milligrams;

impl Words<'_> {
    /// A row of headings, then one for each figure, a label before each. Nothing where there is but one amount.
    pub(super) fn rows(&self) -> Vec<Vec<String>> {
        let amounts = self.answer.amounts();
        if amounts.len() < 2 {
            return Vec::new();
        }
        let row = |label: &str, cell: &dyn Fn(Milligrams, &Expected) -> String| {
            let mut row = vec![label.to_owned()];
            row.extend(amounts.iter().map(|(wet, expected)| cell(*wet, expected)));
            row
        };
        let mut rows = vec![
            row("WET GRAIN FETCHED", &|wet, _| self.amount(wet)),
            row("bakes get, dry", &|_, one| self.dry(one.given)),
            row("  above what they want, dry", &|_, one| {
                self.dry(one.over_wanted)
            }),
            row("  below what they want, dry", &|_, one| {
                self.dry(one.off_wanted - one.over_wanted)
            }),
            row("bakes below their minimum, dry", &|_, one| {
                self.dry(one.short)
            }),
        ];
        if self.answer.optional() > 0 {
            rows.push(row("optional bakes below theirs, dry", &|_, one| {
                self.dry(one.optional_short)
            }));
        }
        rows.push(row("spoiled, dry", &|_, one| self.dry(one.spoiled)));
        let costs = &self.answer.ground.situation.costs;
        if costs.dry_grain_per_kg.is_some() {
            rows.push(row("  worth", &|_, one| {
                self.answer
                    .spoiled_cost(one)
                    .map_or(String::new(), |cost| format!("{cost:.2}"))
            }));
        }
        rows.push(row("left over, no bake needs it, dry", &|_, one| {
            self.dry(one.preserved_unused)
        }));
        rows.push(row("cost of freezing and drying", &|_, one| {
            format!("{:.2}", one.work_cost)
        }));
        rows
    }

    /// What the last row is calculated from.
    pub(super) fn prices(&self) -> String {
        let costs = &self.answer.ground.situation.costs;
        let settings = match self.is_typed {
            true => "`draff settings`",
            false => "Settings",
        };
        format!(
            "Cost at the prices in {settings} (the defaults, unless you set yours), in your money: {:.2} for each kg frozen, {:.2} for each kg of water dried out.",
            costs.freezing_per_kg, costs.drying_per_kg
        )
    }
}
