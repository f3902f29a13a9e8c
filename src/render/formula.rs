//! A formula in baker's percentages, stage by stage.

use super::numbers::Units;
use super::{numbers, times, words};
use crate::dough::formula::from_masses::mass_in_grams;
use crate::dough::formula::{Formula, IngredientKind, Stage, StageKind, Step};
use crate::dough::proposals::{Figure, Proposal};
use crate::ledger::FormulaRecord;
use crate::quantity::text::{count, shell_word};
use crate::quantity::{Instant, Zone};
use crate::report::proposals::ProposalsAnswer;
use std::fmt::Write;
use uom::si::f64::Mass;

/// A mass as the comment of a formula has it.
pub fn mass_in_comment(mass: Mass, units: Units) -> String {
    match units {
        Units::Metric => mass_in_grams(mass),
        Units::Us => units.to_weigh(mass),
    }
}

/// One line for each formula.
pub fn list(records: &[FormulaRecord], now: Instant, zone: &Zone) -> String {
    if records.is_empty() {
        return "There are no formulas yet. `draff formula add FILE` adds one.\n".to_owned();
    }
    let mut rows = vec![
        ["FORMULA", "VERSION", "ADDED", "BY"]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.extend(records.iter().map(|record| {
        vec![
            record.name.clone(),
            record.version.to_string(),
            times::moment(record.added_at, now, zone),
            record.by.clone().unwrap_or_default(),
        ]
    }));
    words::table(&rows, &[false, true, false, false]).join("\n") + "\n"
}

/// Headings of what bakes say of a formula.
pub const PROPOSAL_HEADINGS: [&str; 6] =
    ["FIGURE", "STATED", "BAKES SAY", "RANGE", "OF", "PROPOSED"];
/// Where no figure is proposed.
pub const NOTHING_PROPOSED: &str =
    "Nothing is proposed: bakes do not contradict the formula, or there are too few.";

/// What bakes say of the figures that a formula states.
pub fn proposals(answer: &ProposalsAnswer) -> String {
    let formula = &answer.formula;
    let mut out = format!("{}, version {}\n\n", formula.name, formula.version);
    let mut rows = vec![PROPOSAL_HEADINGS.map(str::to_owned).to_vec()];
    rows.extend(proposal_rows(answer));
    out.push_str(&words::table(&rows, &[false, true, true, true, true, true]).join("\n"));
    out.push_str("\n\n");
    words::wrapped(&mut out, "", "", &proposal_mixer(answer));
    out.push('\n');
    let name = shell_word(&formula.name);
    let next = if answer.has_any() {
        &format!(
            "Nothing was changed. To accept: draff formula propose {name} --toml > new.toml, read it, then draff formula add new.toml"
        )
    } else {
        NOTHING_PROPOSED
    };
    words::wrapped(&mut out, "", "", next);
    out
}

/// A row for each figure, under [`PROPOSAL_HEADINGS`].
pub fn proposal_rows(answer: &ProposalsAnswer) -> Vec<Vec<String>> {
    let row = |one: &Proposal| {
        let written = |value: Option<f64>| {
            value.map_or_else(
                || "-".to_owned(),
                |value| {
                    one.figure
                        .written(value)
                        .replace('%', " %")
                        .replace('K', " K")
                },
            )
        };
        let half = one.found.map(|found| found.expanded());
        vec![
            figure(one.figure).to_owned(),
            written(one.stated),
            written(one.found.map(|found| found.value)),
            half.map_or_else(
                || "too few".to_owned(),
                |half| format!("± {}", written(Some(half))),
            ),
            count(one.bakes, "bake"),
            one.proposed()
                .map_or_else(|| "keep it".to_owned(), |value| written(Some(value))),
        ]
    };
    answer.proposals.iter().map(row).collect()
}

/// Which mixer handling loss and mixing heat are of, and how many bakes of another one are left out.
pub fn proposal_mixer(answer: &ProposalsAnswer) -> String {
    let mixer = answer.mixer.as_deref().unwrap_or("not named");
    let left_out: Vec<String> = answer
        .proposals
        .iter()
        .filter(|one| one.of_other_mixers > 0)
        .map(|one| {
            let bakes = count(one.of_other_mixers, "bake");
            format!("{bakes} for {}", figure(one.figure))
        })
        .collect();
    if left_out.is_empty() {
        return format!("Mixer: {mixer}.");
    }
    let names = if answer.mixer.is_some() {
        "another mixer or none"
    } else {
        "a mixer"
    };
    format!(
        "Mixer: {mixer}. Left out: {}, because their version of the formula names {names}. Bake loss counts bakes of every mixer.",
        left_out.join(" and ")
    )
}

const fn figure(figure: Figure) -> &'static str {
    match figure {
        Figure::BakeLoss => "bake loss",
        Figure::HandlingLoss => "handling loss",
        Figure::MixingRise => "mixing heat",
    }
}

/// A formula in percentages on total flour.
pub fn text(formula: &Formula, version: u32, units: Units) -> String {
    let mut out = String::new();
    let grain = &formula.grain;
    let _ = writeln!(out, "{}, version {version}\n", formula.name);
    let found_with = grain.hydration_with.map_or(String::new(), |with| {
        format!(
            "; this figure was found with {} of brewers' grain ({}) in the dough: what that drinks is in it already",
            numbers::percent(with.share),
            with.form
        )
    });
    words::labelled(
        &mut out,
        "Water",
        &format!(
            "{} of total flour, that in the grain included{found_with}",
            numbers::percent(formula.hydration)
        ),
    );
    let range = if grain.lowest < grain.highest {
        format!(
            ", from {} to {}",
            numbers::percent(grain.lowest),
            numbers::percent(grain.highest)
        )
    } else {
        String::new()
    };
    let wishes: Vec<String> = [
        grain.form.map(|form| form.to_string()),
        grain.colour.map(|colour| colour.to_string()),
    ]
    .into_iter()
    .flatten()
    .collect();
    let wishes = if wishes.is_empty() {
        String::new()
    } else {
        format!(", {}", wishes.join(" and "))
    };
    words::labelled(
        &mut out,
        "Grain",
        &format!(
            "{} of total flour as dry grain{range}{wishes}, in the {}",
            numbers::percent(grain.wanted),
            formula.stages[grain.stage].name
        ),
    );
    for (position, stage) in formula.stages.iter().enumerate() {
        words::labelled(
            &mut out,
            "Stage",
            &stage_words(formula, (position, stage), units),
        );
    }
    if let Some(mixer) = &formula.mixer {
        words::labelled(&mut out, "Mixer", mixer);
    }
    if !formula.steps.is_empty() {
        let steps: Vec<String> = formula
            .steps
            .iter()
            .map(|step| step_words(step, units))
            .collect();
        words::labelled(&mut out, "Steps", &steps.join("; "));
    }
    for warning in formula.warnings() {
        words::labelled(&mut out, "Warning", &warning);
    }
    out
}

/// `sponge: bread flour 30 %, water 30 %, ripens 12 h at 20 °C`.
fn stage_words(formula: &Formula, (position, stage): (usize, &Stage), units: Units) -> String {
    let mut parts: Vec<String> = Vec::new();
    let wanted = formula.grain.wanted;
    match stage.of {
        Some(flour) => {
            let grain = if position == formula.grain.stage {
                wanted
            } else {
                0.0
            };
            if stage.flour > grain {
                parts.push(format!(
                    "{} {}",
                    formula.flours[flour].name,
                    numbers::percent(stage.flour - grain)
                ));
            }
        }
        None => {
            for (flour, named) in formula.flours.iter().enumerate() {
                let earlier: f64 = formula
                    .stages
                    .iter()
                    .enumerate()
                    .filter(|(_, one)| one.of == Some(flour))
                    .map(|(at, one)| {
                        one.flour
                            - if at == formula.grain.stage {
                                wanted
                            } else {
                                0.0
                            }
                    })
                    .sum();
                parts.push(format!(
                    "{} {}",
                    named.name,
                    numbers::percent(named.share - earlier)
                ));
            }
        }
    }
    parts.push(format!("water {}", numbers::percent(stage.water)));
    for one in formula
        .ingredients
        .iter()
        .filter(|one| one.stage == position)
    {
        let kind = match one.kind {
            // `active dry yeast` says which yeast it is as well as `active-dry` does.
            IngredientKind::Yeast(yeast)
                if !one.name.replace(' ', "-").contains(yeast.as_str()) =>
            {
                format!(" ({yeast} yeast)")
            }
            _ => String::new(),
        };
        parts.push(format!("{}{kind} {}", one.name, numbers::share(one.share)));
    }
    if let Some(ripens) = stage.ripens {
        let verb = if stage.kind == StageKind::Soaker {
            "soaks"
        } else {
            "ripens"
        };
        let temperature = stage
            .temperature
            .map_or(String::new(), |at| format!(" at {}", units.temperature(at)));
        parts.push(format!(
            "{verb} {}{temperature}",
            times::minutes(ripens.num_minutes())
        ));
    }
    format!("{}: {}", stage.name, parts.join(", "))
}

/// `bake 12 min at 230 °C with steam`.
fn step_words(step: &Step, units: Units) -> String {
    let temperature = step
        .temperature
        .map_or(String::new(), |at| format!(" at {}", units.temperature(at)));
    let steam = step.steam.map_or(String::new(), |steam| {
        format!(", steam {}", times::minutes(steam.num_minutes()))
    });
    let words = step
        .words
        .as_ref()
        .map_or(String::new(), |words| format!(" ({words})"));
    format!(
        "{} {}{temperature}{steam}{words}",
        step.kind.as_str(),
        times::minutes(step.takes.num_minutes())
    )
}
