//! A moisture test put together from the rows of its tables, so that one statement reads it.

use crate::grain::moisture_test::{Laboratory, Method, MoistureTest, OpenSample, Sample};
use crate::grain::weighing::Weighing;
use crate::ledger::columns;
use crate::quantity::{Milligrams, WetBasis};
use rusqlite::Row;

/// What [`Weighed`] reads of a test, from its table and those that [`WEIGHINGS`] joins to it.
pub const WEIGHED: &str =
    "method, readability_mg, laboratory_ppm, laboratory_sd_ppm, weighing.sample, weighing.stage,
    weighing.pan_mg, weighing.wet_mg, drying.dry_mg";
pub const WEIGHINGS: &str = "LEFT JOIN weighing ON weighing.entry_id = moisture_test.entry_id
    LEFT JOIN drying ON drying.entry_id = weighing.entry_id AND drying.sample = weighing.sample
        AND drying.stage = weighing.stage";
/// The order of the rows of one test.
pub const STEPS: &str = "weighing.sample, weighing.stage, drying.step";

/// A test as its rows are read: one for each dried weight.
pub struct Weighed {
    method: String,
    readability: i64,
    laboratory: Option<(i64, i64)>,
    stages: Vec<Stage>,
}

/// One stage of drying one sample.
struct Stage {
    sample: i64,
    stage: i64,
    pan: Milligrams,
    wet: Milligrams,
    dry: Vec<Milligrams>,
}

impl Weighed {
    /// Begins with a row whose column `first` is the first of [`WEIGHED`].
    pub fn begin(row: &Row<'_>, first: usize) -> rusqlite::Result<Self> {
        let moisture: Option<i64> = row.get(first + 2)?;
        Ok(Self {
            method: row.get(first)?,
            readability: row.get::<_, Option<i64>>(first + 1)?.unwrap_or(0),
            laboratory: moisture.zip(row.get(first + 3)?),
            stages: Vec::new(),
        })
    }

    /// Takes what a row says of a sample.
    pub fn add(&mut self, row: &Row<'_>, first: usize) -> rusqlite::Result<()> {
        let Some(sample) = row.get(first + 4)? else {
            return Ok(());
        };
        let stage: i64 = row.get(first + 5)?;
        let dry = row.get::<_, Option<i64>>(first + 8)?.map(Milligrams::new);
        match self.stages.last_mut() {
            Some(last) if (last.sample, last.stage) == (sample, stage) => last.dry.extend(dry),
            _ => self.stages.push(Stage {
                sample,
                stage,
                pan: Milligrams::new(row.get(first + 6)?),
                wet: Milligrams::new(row.get(first + 7)?),
                dry: dry.into_iter().collect(),
            }),
        }
        Ok(())
    }

    /// The whole test.
    pub fn test(self) -> anyhow::Result<MoistureTest> {
        let mut samples: Vec<Sample> = Vec::new();
        let mut open = Vec::new();
        for stage in self.stages {
            let (pan, wet) = (stage.pan, stage.wet);
            // It was weighed wet and not again.
            if stage.dry.is_empty() {
                open.push(OpenSample { pan, wet });
                continue;
            }
            let weighing = Weighing::new(pan, wet, stage.dry)?;
            match (stage.stage, samples.last_mut()) {
                (2, Some(sample)) => sample.second = Some(weighing),
                _ => samples.push(Sample {
                    first: weighing,
                    second: None,
                }),
            }
        }
        let laboratory = |(moisture, sd)| -> anyhow::Result<_> {
            Ok(Laboratory {
                wet_basis: WetBasis::new(columns::fraction(moisture))?,
                standard_uncertainty: columns::fraction(sd),
            })
        };
        Ok(MoistureTest {
            method: self.method.parse::<Method>()?,
            readability: Milligrams::new(self.readability),
            samples,
            open,
            laboratory: self.laboratory.map(laboratory).transpose()?,
        })
    }
}
