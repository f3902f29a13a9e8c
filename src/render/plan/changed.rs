//! What is otherwise than the accepted plan promised, and why.

use super::Words;
use crate::quantity::Milligrams;
use crate::render::numbers::{Units, percent};
use crate::report::plan::{Change, Moved};
use crate::report::promise::CountedMoisture;

impl Words<'_> {
    /// What is otherwise than the accepted plan promised; nothing where there is none.
    pub fn change_lines(&self) -> Option<(String, Vec<String>)> {
        let changes = self.answer.changes.as_ref()?;
        let when = self.when(self.answer.ground.accepted_at?);
        Some(if changes.is_empty() {
            let mut promises = self.answer.ground.promises.iter();
            let words = if promises.any(|one| one.is_reweighed) {
                format!(
                    "Each bake gets as much dry grain as was promised {when}. The moisture of some grain is known otherwise since, so its wet weight changed."
                )
            } else {
                format!("Each bake gets what was promised {when}.")
            };
            (words, Vec::new())
        } else {
            (
                format!("Changed from what was promised {when}:"),
                changes
                    .iter()
                    .map(|change| change_words(change, self.units))
                    .collect(),
            )
        })
    }
}

/// `B-12F: 1.2 kg of COR-261120-15 instead of 900 g`.
pub(in crate::render) fn change_words(change: &Change, units: Units) -> String {
    let mass = |mass| units.weighed(mass);
    let (bake, lot) = (&change.bake, &change.lot);
    let because = change
        .because
        .map_or(String::new(), |moved| format!("; {}", why(moved)));
    if change.before == Milligrams::ZERO {
        format!(
            "new since then: {bake} gets {} of {lot}",
            mass(change.after)
        )
    } else if change.after == Milligrams::ZERO {
        format!(
            "{bake}: nothing of {lot}, {} was promised{because}",
            mass(change.before)
        )
    } else {
        format!(
            "{bake}: {} of {lot} instead of {}{because}",
            mass(change.after),
            mass(change.before)
        )
    }
}

/// Why it is otherwise.
fn why(moved: Moved) -> String {
    let words = match moved {
        Moved::MostOfDough => "the dough takes no more",
        Moved::ReplacedBy(lot) => return format!("replaced by {lot}"),
        Moved::FreezersFull => "the freezers have no room for more",
        Moved::DryerFull => "the dryer has no time for more",
        Moved::Gone { is_any_left: true } => "less of it is left",
        Moved::Gone { is_any_left: false } => "none of it is left",
        Moved::Unknown => "this lot is unknown by now",
        Moved::Unfit => "this lot may not go into that bake",
        Moved::NotThawed => "it was not taken out of the freezer in time",
        Moved::NoFridge => "no fridge is cold enough to thaw it in",
        Moved::FirmBakes => "another bake would fall short otherwise",
        Moved::Moisture(CountedMoisture { then, now }) => {
            let than = if then < now { "wetter" } else { "drier" };
            return format!(
                "the lot is {than} than the accepted plan counted on: moisture {} then, {} now",
                percent(then),
                percent(now)
            );
        }
    };
    words.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lot_that_another_takes_the_place_of_is_told_with_it() {
        let change = Change {
            bake: "B-6I".to_owned(),
            lot: "COR-261120-15".to_owned(),
            before: Milligrams::new(1_330_000),
            after: Milligrams::ZERO,
            because: Some(Moved::ReplacedBy("ALD-261120-1T".parse().unwrap())),
        };
        assert_eq!(
            change_words(&change, Units::Metric),
            "B-6I: nothing of COR-261120-15, 1.33 kg was promised; replaced by ALD-261120-1T"
        );
    }
}
