//! JSON that others may rely on: units are in the names, instants are RFC 3339, not known is null.
//!
//! These types are the file format. Domain types are not serialisable on purpose: a rename there never
//! changes a key here.

use crate::dough::hold_back::HoldBack;
use crate::grain::Estimate;
use crate::grain::moisture_test::Unfinished;
use crate::ledger::NotFree;
use crate::quantity::{Uncertain, Zone, mass};
use crate::report::count::CountAnswer;
use crate::report::moisture::MoistureAnswer;
use crate::report::{Caution, LotAnswer};
use serde::Serialize;
use std::io::Write;
use uom::si::f64::Mass;
use why::Why;

pub mod advise;
pub mod bake;
pub mod batch;
pub mod cool;
pub mod copies;
pub mod corrections;
pub mod fetch;
pub mod formula;
pub mod listing;
pub mod place;
pub mod plan;
pub mod readings;
pub mod rows;
pub mod sheet;
pub mod shelf;
pub mod source;
pub mod tables;
pub mod ticket;
pub mod today;
pub mod trace;
pub mod treat_plan;
mod why;

/// Any answer as JSON text with a line end.
pub fn text(answer: &impl Serialize) -> anyhow::Result<String> {
    let mut text = serde_json::to_string_pretty(answer)?;
    text.push('\n');
    Ok(text)
}

/// An answer of the desk with its cautions beside it, in the key `cautions`.
pub fn with_cautions(answer: &impl Serialize, cautions: &[Caution]) -> anyhow::Result<String> {
    of_act(answer, None, cautions)
}

/// The same of an act, with the number of the first entry that it wrote, in the key `entry`.
pub fn of_act(
    answer: &impl Serialize,
    entry: Option<i64>,
    cautions: &[Caution],
) -> anyhow::Result<String> {
    text(&Cautioned::new(answer, entry, cautions))
}

/// An answer with its cautions written as it comes, for one that is long.
pub fn write(
    out: &mut dyn Write,
    answer: &impl Serialize,
    cautions: &[Caution],
) -> anyhow::Result<()> {
    let answer = Cautioned::new(answer, None, cautions);
    serde_json::to_writer_pretty(&mut *out, &answer).map_err(std::io::Error::from)?;
    out.write_all(b"\n")?;
    Ok(())
}

#[derive(Serialize)]
struct Cautioned<'a, T> {
    #[serde(flatten)]
    answer: &'a T,
    #[serde(skip_serializing_if = "Option::is_none")]
    entry: Option<i64>,
    cautions: Vec<CautionText>,
}

impl<'a, T> Cautioned<'a, T> {
    fn new(answer: &'a T, entry: Option<i64>, cautions: &[Caution]) -> Self {
        Self {
            answer,
            entry,
            cautions: cautions
                .iter()
                .map(|caution| CautionText {
                    code: caution.as_key(),
                    text: caution.text(),
                })
                .collect(),
        }
    }
}

#[derive(Serialize)]
struct CautionText {
    code: &'static str,
    text: String,
}

/// Grams without the noise of floating point below a microgram.
fn grams(value: Mass) -> f64 {
    rounded(mass::grams(value), 1e6)
}

/// The lots of a bake that may hold what it is to be free of.
fn not_free_lots(found: Option<&NotFree>) -> Vec<String> {
    let lots = found.into_iter().flat_map(|found| &found.lots);
    lots.map(ToString::to_string).collect()
}

/// A fraction without the noise of floating point.
fn fraction(value: f64) -> f64 {
    rounded(value, 1e12)
}

/// To so many parts of one. What is rounded away below 0 is 0 and not -0.
fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts + 0.0
}

/// `moisture{…}` of other answers.
#[derive(Serialize)]
pub struct Moisture {
    wet_basis: f64,
    standard_uncertainty: f64,
    from: String,
    unfinished_samples: usize,
    at_least: Option<f64>,
}

impl From<&Estimate> for Moisture {
    fn from(estimate: &Estimate) -> Self {
        Self {
            unfinished_samples: estimate.unfinished.samples,
            at_least: at_least(&estimate.unfinished),
            ..Self::of(&estimate.moisture, estimate.from.as_key())
        }
    }
}

/// What the moisture is at least, by samples that are still drying.
fn at_least(unfinished: &Unfinished) -> Option<f64> {
    unfinished.at_least.map(|least| fraction(least.get()))
}

impl Moisture {
    /// A moisture and the word for where it comes from.
    fn of(moisture: &Uncertain, from: &str) -> Self {
        Self {
            wet_basis: fraction(moisture.value),
            standard_uncertainty: fraction(moisture.standard),
            from: from.to_owned(),
            unfinished_samples: 0,
            at_least: None,
        }
    }
}

/// `pickup --json`, for one lot.
#[derive(Serialize)]
pub struct Pickup {
    lot: String,
    wet_g: f64,
    dry_g: f64,
    dry_low_g: f64,
    dry_high_g: f64,
    moisture: Moisture,
    keep_until: Option<String>,
    verdict: &'static str,
}

impl Pickup {
    /// From a lot's answer.
    pub fn new(answer: &LotAnswer, zone: &Zone) -> Self {
        Self {
            lot: answer.lot.code.to_string(),
            wet_g: answer.wet.grams(),
            dry_g: grams(answer.dry.best),
            dry_low_g: grams(answer.dry.low),
            dry_high_g: grams(answer.dry.high),
            moisture: (&answer.estimate).into(),
            keep_until: answer.keeping.keep_until.map(|at| zone.rfc3339(at)),
            verdict: answer.keeping.verdict.as_str(),
        }
    }
}

/// `pickup --csv FILE --json`.
#[derive(Serialize)]
pub struct Pickups {
    /// The lots, in the order of the rows.
    pub lots: Vec<Pickup>,
}

impl Pickups {
    /// From lots' answers.
    pub fn new(answers: &[LotAnswer], zone: &Zone) -> Self {
        Self {
            lots: answers
                .iter()
                .map(|answer| Pickup::new(answer, zone))
                .collect(),
        }
    }
}

/// `moisture --json`.
#[derive(Serialize)]
pub struct MoistureOfLot {
    lot: String,
    samples: Vec<Sample>,
    wet_basis: f64,
    dry_fraction: f64,
    standard_uncertainty: f64,
    expanded_95: f64,
    from: &'static str,
    samples_enough: Option<usize>,
    unfinished_samples: usize,
    at_least: Option<f64>,
    warnings: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    entry: Option<i64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<Why>,
}

#[derive(Serialize)]
struct Sample {
    wet_basis: f64,
}

impl From<&MoistureAnswer> for MoistureOfLot {
    fn from(answer: &MoistureAnswer) -> Self {
        let moisture = &answer.estimate.moisture;
        Self {
            lot: answer.code.clone(),
            samples: answer
                .tests
                .iter()
                .flat_map(|test| &test.result.samples)
                .map(|sample| Sample {
                    wet_basis: fraction(sample.get()),
                })
                .collect(),
            wet_basis: fraction(moisture.value),
            dry_fraction: fraction(answer.estimate.wet_basis().dry_fraction().get()),
            standard_uncertainty: fraction(moisture.standard),
            expanded_95: fraction(moisture.expanded()),
            from: answer.estimate.from.as_key(),
            samples_enough: answer.samples_enough(),
            unfinished_samples: answer.estimate.unfinished.samples,
            at_least: at_least(&answer.estimate.unfinished),
            warnings: super::moisture::warnings::all(answer),
            entry: answer.written.first().copied(),
            why: answer.why.as_ref().map(|why| Why::of(answer, why)),
        }
    }
}

/// `hold-back --json`.
#[derive(Serialize)]
pub struct HoldBackSum {
    wet_g: f64,
    dry_g: f64,
    carried_water_g: f64,
    flour_equivalent_g: f64,
    flour_g: f64,
    total_flour_g: f64,
    grain_share: f64,
    hydration: f64,
    total_water_g: f64,
    add_water_g: f64,
    pour_first_g: f64,
    keep_back_g: f64,
    keep_back_thirst_g: f64,
    likely_back_g: f64,
    thirst_g: Option<f64>,
    thirst_low_g: Option<f64>,
    thirst_high_g: Option<f64>,
    thirst_bakes: Option<usize>,
    fixed: &'static str,
    moisture: Moisture,
}

impl HoldBackSum {
    /// From the sum, where its moisture comes from, and samples of the grain that are still drying.
    pub fn new(
        sum: &HoldBack,
        (standard_uncertainty, from): (f64, &str),
        unfinished: &Unfinished,
    ) -> Self {
        Self {
            wet_g: grams(sum.wet),
            dry_g: grams(sum.dry),
            carried_water_g: grams(sum.carried_water),
            flour_equivalent_g: grams(sum.flour_equivalent),
            flour_g: grams(sum.flour),
            total_flour_g: grams(sum.total_flour),
            grain_share: fraction(sum.grain_share),
            hydration: fraction(sum.hydration),
            total_water_g: grams(sum.total_water),
            add_water_g: grams(sum.add_water),
            pour_first_g: grams(sum.pour_first),
            keep_back_g: grams(sum.keep_back),
            keep_back_thirst_g: grams(sum.keep_back_thirst),
            likely_back_g: grams(sum.likely_back),
            thirst_g: sum.thirst.map(|thirst| grams(thirst.likely)),
            thirst_low_g: sum.thirst.map(|thirst| grams(thirst.low)),
            thirst_high_g: sum.thirst.map(|thirst| grams(thirst.high)),
            thirst_bakes: sum
                .thirst
                .map(|thirst| thirst.learned.map_or(0, |learned| learned.doughs)),
            fixed: sum.fixed.as_str(),
            moisture: Moisture {
                wet_basis: fraction(sum.moisture.get()),
                standard_uncertainty: fraction(standard_uncertainty),
                from: from.to_owned(),
                unfinished_samples: unfinished.samples,
                at_least: at_least(unfinished),
            },
        }
    }
}

/// `count --json`.
#[derive(Serialize)]
pub struct Count {
    lot: String,
    booked_g: f64,
    found_g: f64,
    less_g: f64,
    size: &'static str,
}

impl From<&CountAnswer> for Count {
    fn from(answer: &CountAnswer) -> Self {
        Self {
            lot: answer.lot.lot.code.to_string(),
            booked_g: answer.booked.grams(),
            found_g: answer.found.grams(),
            less_g: answer.less.grams(),
            size: answer.size().as_key(),
        }
    }
}
