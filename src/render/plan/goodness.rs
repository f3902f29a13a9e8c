//! How good a plan is, in words: how near to the best, and what each aim comes to.

use super::Words;
use crate::planning::aims::Aim;
use crate::planning::plan::{Aims, Proof, Status};
use crate::quantity::Milligrams;
use crate::quantity::text::trimmed;
use uom::si::mass::kilogram;

/// Headings of the aims.
pub(in crate::render) const AIM_HEADINGS: [&str; 3] =
    ["AIMS, MOST IMPORTANT FIRST", "THIS PLAN", "OLDEST FIRST"];
/// In place of the aims where both columns are alike.
pub(super) const AS_GOOD: &str = "Using the oldest grain first comes to the same.";

impl Words<'_> {
    /// Whether a better plan exists.
    pub fn proof_words(&self, proof: &Proof) -> String {
        let stopped = if proof.status == Status::Stopped {
            "Stopped when you asked for it. "
        } else {
            ""
        };
        let Some(first) = proof.unproven else {
            return format!("{stopped}{}", self.no_better());
        };
        let left = match first {
            Aim::Short => format!("{} less at best", self.dry(proof.short_gap)),
            Aim::Spoiled => format!("{} less at best", self.dry(proof.spoiled_gap)),
            _ => format!("within {} of the best", gap(proof.gap)),
        };
        format!(
            "{stopped}A better plan may exist: {}, {left}. Nothing more important can be better.",
            aim(first)
        )
    }

    /// Promised grain is moved only where a firm bake would fall short: without the promises there may be a better plan.
    fn no_better(&self) -> &'static str {
        if self.answer.ground.situation.promised.is_empty() {
            "No better plan exists."
        } else if self.is_typed {
            "No better plan keeps these promises; draff plan --reopen plans without them."
        } else {
            "No better plan exists that keeps the promises made. Tick \"As if nothing had been promised\" to plan without them."
        }
    }

    /// How exactly plans were compared, where none is better.
    pub fn compared(&self) -> Option<String> {
        let capacity = &self.answer.ground.situation.capacity;
        (self.answer.plan.proof.status == Status::Optimal).then(|| {
            format!(
                "Differences below {} do not count. Less than {} of a lot is not put into a bake, frozen or dried.",
                self.units.weighed(capacity.step),
                self.units.weighed(capacity.portion)
            )
        })
    }

    /// What each aim comes to here and if the oldest grain were simply used first, the most important aim first.
    pub fn aim_rows(&self) -> Vec<[String; 3]> {
        let plan = &self.answer.plan;
        let both = |label: &str, show: &dyn Fn(&Aims) -> String| {
            [label.to_owned(), show(&plan.aims), show(&plan.oldest_first)]
        };
        let dry = |mass: Milligrams| self.dry(mass);
        let wet = |mass: Milligrams| self.wet(mass);
        let mut rows = vec![
            self.two_masses("dry grain missing in bakes", |aims| aims.short, &dry),
            both("most a non-optional bake is below what it wants", &|aims| {
                part(aims.firm_under[0])
            }),
            both("number of optional bakes baked", &|aims| {
                let [baked, all] = aims.optional;
                format!("{baked} of {all}")
            }),
        ];
        let mut spoiled = vec![self.two_masses("dry grain spoiled", |aims| aims.spoiled, &dry)];
        if plan.aims.spoiled_cost.is_some() {
            spoiled.push(both("  worth, in your money", &|aims| {
                aims.spoiled_cost
                    .map_or(String::new(), |cost| format!("{cost:.2}"))
            }));
        }
        let uneven = both("most that any bake is off what it wants", &|aims| {
            part(aims.uneven[0])
        });
        if self.answer.ground.situation.costs.even_first {
            spoiled.insert(0, uneven);
        } else {
            spoiled.push(uneven);
        }
        rows.extend(spoiled);
        rows.extend([
            self.two_masses(
                "dry grain frozen, dried or thawed for no bake",
                |aims| aims.preserved_unused,
                &dry,
            ),
            self.two_masses("wet grain to freeze", |aims| aims.frozen_wet, &wet),
            self.two_masses("wet grain to dry", |aims| aims.dried_wet, &wet),
            both("cost of freezing and drying, in your money", &|aims| {
                format!("{:.2}", aims.work_cost)
            }),
            both("number of lots weighed out", &|aims| aims.lots.to_string()),
            both("hours left on the date when used", &|aims| {
                aims.hours_left
                    .map_or("no date".to_owned(), |hours| format!("{hours:.0} h"))
            }),
        ]);
        rows
    }

    /// A row of two masses, in the same unit.
    fn two_masses(
        &self,
        label: &str,
        of: fn(&Aims) -> Milligrams,
        show: &dyn Fn(Milligrams) -> String,
    ) -> [String; 3] {
        let plan = &self.answer.plan;
        let masses = [of(&plan.aims), of(&plan.oldest_first)];
        let [ours, oldest] = in_one_unit(masses, show);
        [label.to_owned(), ours, oldest]
    }
}

/// An aim in words.
pub fn aim(aim: Aim) -> &'static str {
    match aim {
        Aim::Short => "dry grain missing in bakes",
        Aim::Promises => "promised dry grain that is not given",
        Aim::Risk => "risk of non-optional bakes below their minimum",
        Aim::FirmWorst | Aim::FirmUnder => "non-optional bakes below what they want",
        Aim::Unshown => "grain of non-optional bakes not yet shown cold",
        Aim::Optional => "optional bakes baked",
        Aim::Spoiled => "dry grain spoiled",
        Aim::Worst | Aim::Uneven => "how far bakes are from what they want",
        Aim::Unused => "dry grain frozen, dried or thawed for no bake",
        Aim::Rest => "work, lots weighed out and age",
    }
}

/// Both masses in kilograms where one of them is.
fn in_one_unit(masses: [Milligrams; 2], show: &dyn Fn(Milligrams) -> String) -> [String; 2] {
    let shown = masses.map(show);
    if !shown.iter().any(|one| one.ends_with(" kg")) {
        return shown;
    }
    masses.map(|mass| format!("{} kg", trimmed(mass.mass().get::<kilogram>(), 3)))
}

/// A part in whole percent.
fn part(part: f64) -> String {
    format!("{:.0} %", part * 100.0)
}

/// A gap in percent, never shown as nothing where there is one.
pub fn gap(gap: f64) -> String {
    let percent = gap.max(0.0) * 100.0;
    if !percent.is_finite() || percent > 100.0 {
        "no known distance".to_owned()
    } else if percent > 0.0 && percent < 0.1 {
        "0.1 %".to_owned()
    } else {
        format!("{} %", trimmed((percent * 10.0).ceil() / 10.0, 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::numbers::Units;

    #[test]
    fn two_masses_of_a_row_have_one_unit() {
        let shown = |grams: [i64; 2]| {
            let masses = grams.map(|grams| Milligrams::new(grams * 1000));
            in_one_unit(masses, &|mass| Units::Metric.weighed(mass))
        };
        assert_eq!(shown([844, 2529]), ["0.844 kg", "2.529 kg"]);
        assert_eq!(shown([0, 844]), ["0 g", "844 g"]);
    }

    #[test]
    fn a_gap_is_never_shown_as_none() {
        assert_eq!(gap(0.0), "0 %");
        assert_eq!(gap(1e-6), "0.1 %");
        assert_eq!(gap(0.0081), "0.9 %");
        assert_eq!(gap(f64::INFINITY), "no known distance");
    }
}
