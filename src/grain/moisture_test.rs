//! Moisture tests: weighed samples or a laboratory's figure to a moisture with its uncertainty.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use super::PanReadings;
pub use super::method::Method;
use super::precision::{LIMIT_FACTOR, Precision};
use super::test_result::largest;
pub use super::test_result::{TestResult, Unfinished};
use super::warning::Warning;
use super::weighing::{Weighing, balance_uncertainty};
use super::within::Within;
use super::{Form, Kind, clipped};
use crate::quantity::uncertain::welch_satterthwaite;
use crate::quantity::{Milligrams, Problem, Uncertain, WetBasis, bounds};

/// Standard uncertainty of one sample of unmilled grain but for the balance, a fraction of wet mass.
///
/// It is the reproducibility limit R = 1.5 % of the EBC trial (Casta 1997) as a standard deviation, R ÷ 2.8
/// (ISO 5725-6, from memory): what repeats in one oven and what ovens differ by, together. Also taken for
/// a moisture that comes without its own.
pub const BETWEEN_SAMPLE_SD: f64 = Precision::UNMILLED.reproducibility / LIMIT_FACTOR;

/// A moisture test as it was written down.
#[derive(Debug, Clone, PartialEq)]
pub struct MoistureTest {
    /// How the samples were dried.
    pub method: Method,
    /// Smallest step that the balance shows.
    pub readability: Milligrams,
    /// The weighed samples; none where a laboratory gave its figure.
    pub samples: Vec<Sample>,
    /// Samples weighed wet that nobody has weighed again yet.
    pub open: Vec<OpenSample>,
    /// A laboratory's figure; none where samples were weighed.
    pub laboratory: Option<Laboratory>,
}

/// A sample in the oven: weighed wet, and not again yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OpenSample {
    /// The empty pan.
    pub pan: Milligrams,
    /// The pan with the wet grain.
    pub wet: Milligrams,
}

/// One sample, dried in one or two stages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sample {
    /// The only stage, or the first of two.
    pub first: Weighing,
    /// The second stage, on a part of what the first left.
    pub second: Option<Weighing>,
}

/// What a laboratory reported.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laboratory {
    /// Moisture.
    pub wet_basis: WetBasis,
    /// Its standard uncertainty, a fraction of wet mass, more than 0.
    pub standard_uncertainty: f64,
}

impl Sample {
    /// Moisture over both stages: the dry fractions multiply.
    pub fn moisture(&self) -> WetBasis {
        self.leaving(dry_fraction)
    }

    /// The most that it has lost so far: it may have been lighter than it is now.
    fn at_least(&self) -> WetBasis {
        self.leaving(|last| last.at_lightest().dry_fraction().get())
    }

    /// Moisture over both stages where the last one leaves so much of its wet mass.
    fn leaving(&self, left: impl Fn(&Weighing) -> f64) -> WetBasis {
        clipped(
            1.0 - match &self.second {
                None => left(&self.first),
                Some(second) => dry_fraction(&self.first) * left(second),
            },
        )
    }

    /// Standard uncertainty of the moisture from the balance alone, a fraction of wet mass.
    pub fn balance_uncertainty(&self, readability: Milligrams) -> f64 {
        let first = self.first.balance_uncertainty(readability);
        match &self.second {
            None => first,
            Some(second) => libm::hypot(
                first * dry_fraction(second),
                second.balance_uncertainty(readability) * dry_fraction(&self.first),
            ),
        }
    }

    /// The weighing that was dried to the end.
    fn last_stage(&self) -> &Weighing {
        self.second.as_ref().unwrap_or(&self.first)
    }
}

fn dry_fraction(weighing: &Weighing) -> f64 {
    weighing.moisture().dry_fraction().get()
}

impl MoistureTest {
    /// The same samples with their second stages, none or one for each.
    pub fn with_second_stages(mut self, seconds: &[Weighing]) -> Result<Self, Problem> {
        if !seconds.is_empty() && seconds.len() != self.samples.len() {
            return Err(Problem::new(format!(
                "{} first and {} second weighings do not pair up",
                self.samples.len(),
                seconds.len()
            ))
            .hint("give one --stage2 for each --weighing, in the same order, or none at all"));
        }
        for (sample, second) in self.samples.iter_mut().zip(seconds) {
            sample.second = Some(second.clone());
        }
        Ok(self)
    }

    /// Samples as their pans were weighed, some of them only wet so far.
    pub fn of_pans(method: Method, readability: Milligrams, pans: &[PanReadings]) -> Self {
        let mut test = Self {
            method,
            readability,
            samples: Vec::new(),
            open: Vec::new(),
            laboratory: None,
        };
        for pan in pans {
            match pan {
                PanReadings::Wet(sample) => test.open.push(*sample),
                PanReadings::Dried(weighing) => test.samples.push(Sample {
                    first: weighing.clone(),
                    second: None,
                }),
            }
        }
        test
    }

    /// Works out the moisture, its uncertainty and what makes one doubt it.
    ///
    /// Refused: samples and a laboratory's figure together, neither, a readability of nothing, and a
    /// laboratory's uncertainty that is not more than 0 or wider than any measurement.
    pub fn evaluate(&self, form: Form, kind: Kind) -> Result<TestResult, Problem> {
        self.evaluate_within(form, kind, &Within::default())
    }

    /// The same, with what is known of how even lots are.
    pub fn evaluate_within(
        &self,
        form: Form,
        kind: Kind,
        within: &Within,
    ) -> Result<TestResult, Problem> {
        let precision = Precision::of(form);
        let numbered = self.samples.iter().enumerate();
        let drying: Vec<Option<Warning>> = numbered
            .map(|(index, sample)| still_drying(index + 1, sample, self.method))
            .collect();
        let samples = || self.samples.iter().zip(&drying);
        let finished = samples().filter(|(_, drying)| drying.is_none());
        let finished: Vec<&Sample> = finished.map(|(sample, _)| sample).collect();
        let open = samples().filter(|(_, drying)| drying.is_some());
        let unfinished = Unfinished {
            samples: self.samples.len() - finished.len() + self.open.len(),
            at_least: largest(open.map(|(sample, _)| sample.at_least())),
        };
        let (moisture, repeatable) = match (&self.laboratory, finished.as_slice()) {
            (Some(_), _) if !self.samples.is_empty() || !self.open.is_empty() => {
                return Err(Problem::new(
                    "test has both weighed samples and a laboratory's figure: allowed is one of them",
                )
                .hint("record them as two tests"));
            }
            (None, []) if self.samples.is_empty() && self.open.is_empty() => {
                return Err(Problem::new(
                    "test has neither a weighed sample nor a laboratory's figure",
                )
                .hint("weigh pan, pan with wet grain, pan with dried grain: 50.0g,150.0g,73.4g"));
            }
            // A figure of no uncertainty never stands as a test.
            (None, []) => {
                self.check_readability()?;
                let so_far = unfinished.at_least.map_or(0.0, WetBasis::get);
                let so_far = Uncertain::known(so_far, 0.0);
                (so_far, so_far)
            }
            (Some(laboratory), _) => {
                let moisture = laboratory.moisture()?;
                (moisture, moisture)
            }
            (None, samples) => {
                let repeatable = self.weighed(samples, precision, within)?;
                (precision.with_bias(repeatable), repeatable)
            }
        };
        let says = samples().map(|(sample, drying)| match drying {
            None => sample.moisture(),
            Some(_) => sample.at_least(),
        });
        let says: Vec<WetBasis> = says.collect();
        let mut warnings = Vec::new();
        let dried: Vec<WetBasis> = finished.iter().map(|sample| sample.moisture()).collect();
        warnings.extend(apart(&dried, form));
        for (index, (sample, drying)) in self.samples.iter().zip(drying).enumerate() {
            // A sample that is heavier than it was says so itself.
            if !matches!(drying, Some(Warning::Heavier { .. })) {
                warnings.extend(gained_weight(index + 1, sample));
            }
            warnings.extend(drying);
        }
        if moisture.standard > 0.0 {
            warnings.extend(unusual(moisture.value, form, kind));
        }
        Ok(TestResult {
            samples: says,
            unfinished,
            moisture,
            repeatable,
            warnings,
        })
    }

    /// Mean of the samples with the uncertainty that repeating the test would show (JCGM 100:2008, 4.2,
    /// 4.3 and G.4): the spread of samples and the balance.
    ///
    /// Samples that agree better than those of other tests do so by chance, so their own standard deviation
    /// counts only where it is the larger.
    fn weighed(
        &self,
        samples: &[&Sample],
        precision: Precision,
        within: &Within,
    ) -> Result<Uncertain, Problem> {
        self.check_readability()?;
        let count = samples.len() as f64;
        let moistures: Vec<f64> = samples.iter().map(|one| one.moisture().get()).collect();
        let mean = moistures.iter().sum::<f64>() / count;
        let balance = samples
            .iter()
            .map(|sample| sample.balance_uncertainty(self.readability).powi(2))
            .sum::<f64>()
            .sqrt()
            / count;
        let squares: f64 = moistures.iter().map(|one| (one - mean).powi(2)).sum();
        let (usual, usual_freedom) = within.spread(precision);
        // One sample shows no spread: its sum of squares is 0.
        let seen = (squares / (count - 1.0).max(1.0)).sqrt();
        let (spread, freedom) = if seen > usual {
            (seen, count - 1.0)
        } else {
            (usual, usual_freedom)
        };
        let scatter = spread / count.sqrt();
        Ok(Uncertain {
            value: mean,
            standard: libm::hypot(scatter, balance),
            freedom: welch_satterthwaite(&[(scatter, freedom), (balance, f64::INFINITY)]),
        })
    }
}

impl MoistureTest {
    /// Refuses a sample of so little grain that its balance tells nothing of its moisture. Older books may hold such a
    /// test, so it is asked of new ones only.
    pub fn refuse_too_little(&self) -> Result<(), Problem> {
        let open = self.open.iter().map(|sample| {
            let grain = (sample.wet.get() - sample.pan.get()) as f64;
            (grain, balance_uncertainty(0.5, grain, self.readability))
        });
        let weighed = self.samples.iter().map(|sample| {
            let standard = sample.balance_uncertainty(self.readability);
            (sample.last_stage().sample(), standard)
        });
        for (grain, standard) in open.chain(weighed) {
            if standard * 100.0 > bounds::MOISTURE_SD.high {
                return Err(Problem::new(format!(
                    "{} g of grain in the pan on a balance that shows steps of {} g: its moisture would be known to \
                     ± {:.0} points, which tells nothing; allowed is no more than ± {:.0}",
                    grain / 1000.0,
                    self.readability.grams(),
                    standard * 200.0,
                    bounds::MOISTURE_SD.high * 2.0
                ))
                .hint("check the weight of the empty pan")
                .hint("weigh about 100 g of grain: 50.0g,150.0g,73.4g")
                .hint("on a finer balance name its step: --readability 0.01g"));
            }
        }
        Ok(())
    }

    /// The samples whose drying has ended, as far as their weighings show.
    pub fn finished(&self) -> impl Iterator<Item = &Sample> {
        self.samples
            .iter()
            .filter(|sample| self.is_finished(sample))
    }

    /// Whether a sample of it is still drying, so that a later weighing may finish it.
    pub fn is_unfinished(&self) -> bool {
        !self.open.is_empty() || self.finished().count() < self.samples.len()
    }

    /// Whether a sample lost no more in its last spell than the end point of the method allows, and is by no more heavier
    /// than it ever was.
    pub fn is_finished(&self, sample: &Sample) -> bool {
        still_drying(1, sample, self.method).is_none()
    }

    fn check_readability(&self) -> Result<(), Problem> {
        if self.readability > Milligrams::ZERO {
            return Ok(());
        }
        Err(
            Problem::new("readability of the balance is not more than nothing")
                .hint("write the smallest step it shows, like 0.1g"),
        )
    }
}

impl Laboratory {
    fn moisture(&self) -> Result<Uncertain, Problem> {
        bounds::MOISTURE.check(self.wet_basis.percent())?;
        let percent = bounds::MOISTURE_SD.check(self.standard_uncertainty * 100.0)?;
        if percent <= 0.0 {
            return Err(Problem::new(
                "standard deviation of the laboratory's moisture is 0 %: no measurement is that sure",
            )
            .hint("ask the laboratory for it, or take 0.6%"));
        }
        Ok(Uncertain::known(
            self.wet_basis.get(),
            self.standard_uncertainty,
        ))
    }
}

/// Compares the two samples furthest apart with the repeatability limit of two; with three or more
/// samples that is on the strict side.
fn apart(samples: &[WetBasis], form: Form) -> Option<Warning> {
    let values = samples.iter().map(|sample| sample.get());
    let highest = values.clone().fold(f64::NEG_INFINITY, f64::max);
    let lowest = values.fold(f64::INFINITY, f64::min);
    let difference = highest - lowest;
    let repeatability = Precision::of(form).repeatability;
    // Differences of whole readings carry rounding noise far below any balance's step.
    (difference > repeatability + 1e-12).then_some(Warning::DuplicatesApart {
        difference,
        repeatability,
        milled: form == Form::Milled,
    })
}

fn gained_weight(number: usize, sample: &Sample) -> Option<Warning> {
    let stages = std::iter::once(&sample.first).chain(&sample.second);
    let gained = stages
        .flat_map(|stage| stage.dry().windows(2))
        .map(|step| step[1].get() - step[0].get())
        .max()?;
    (gained > 0).then_some(Warning::GainedWeight {
        sample: number,
        gained: Milligrams::new(gained).grams(),
    })
}

/// Looks at the last stage only: a first stage is meant to leave some water in.
fn still_drying(number: usize, sample: &Sample, method: Method) -> Option<Warning> {
    let weighing = sample.last_stage();
    let [.., before, last] = weighing.dry() else {
        return None;
    };
    let (end_point, source) = method.end_point();
    let is_beyond = |part: f64| part > end_point + 1e-12;
    // Of a sample of 100 g, 0.1 g: hundredths are enough, and never more than is allowed.
    let most_grams = (end_point * weighing.sample() / 10.0 + 1e-9).floor() / 100.0;
    let spell = method.spell();
    let gained = Milligrams::new(last.get() - weighing.lightest().get());
    if is_beyond(gained.get() as f64 / weighing.sample()) {
        return Some(Warning::Heavier {
            sample: number,
            gained: gained.grams(),
            spell,
            most_grams,
            end_point,
            source,
        });
    }
    let lost = (before.get() - last.get()) as f64 / weighing.sample();
    if !is_beyond(lost) {
        return None;
    }
    // The dried weights of an opened sample stand behind its wet one.
    Some(if weighing.dry() == [weighing.wet(), *last] {
        Warning::OneDriedWeight {
            sample: number,
            spell,
            most_grams,
            end_point,
            source,
        }
    } else {
        Warning::NotYetConstant {
            sample: number,
            lost,
            spell,
            most_grams,
            end_point,
            source,
        }
    })
}

fn unusual(moisture: f64, form: Form, kind: Kind) -> Option<Warning> {
    if kind == Kind::Steeped && !form.is_dry() {
        return Some(Warning::NothingPublished);
    }
    let (usual, source) = match form {
        Form::Whole | Form::Blended => (
            (0.70, 0.85),
            "judgement around 70 to 80 %, Bianco et al. 2020, and 81.9 %, Hatungimana & Erickson 2019",
        ),
        Form::Pressed => (
            (0.55, 0.72),
            "judgement around 70 %, patent application US 2012/0005916, and below 60 %, Aliyu & Bala 2011",
        ),
        Form::Dried | Form::Milled => (
            (0.0, 0.15),
            "judgement; the aim is below 10 %, Aliyu & Bala 2011",
        ),
    };
    (moisture < usual.0 || moisture > usual.1).then_some(Warning::ImplausibleForForm {
        moisture,
        form,
        usual,
        source,
    })
}

#[cfg(test)]
mod tests;
