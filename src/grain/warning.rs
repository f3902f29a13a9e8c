//! What a moisture test makes one doubt, in plain sentences with figures and source.

use super::Form;
use crate::quantity::text::percent;
use std::fmt;

/// A doubt about a moisture test. The test counts all the same, but for samples that are not dry yet; nobody is
/// left unaware of it.
#[derive(Debug, Clone, PartialEq)]
pub enum Warning {
    /// Samples of one test lie further apart than the method's published repeatability.
    DuplicatesApart {
        /// Largest difference between two samples, a fraction of wet mass.
        difference: f64,
        /// Repeatability limit r, the same unit.
        repeatability: f64,
        /// Whether r is that of milled grain.
        milled: bool,
    },
    /// A sample that was booked wet has been weighed once since, which cannot show that it is dry.
    OneDriedWeight {
        /// Which sample, from 1.
        sample: usize,
        /// For how long it dries on before it is weighed again.
        spell: &'static str,
        /// Most that a spell of drying may still take, grams.
        most_grams: f64,
        /// The same, a fraction of the wet sample.
        end_point: f64,
        /// Where the end point comes from.
        source: &'static str,
    },
    /// The last spell of drying still took out more than the method's end point allows.
    NotYetConstant {
        /// Which sample, from 1.
        sample: usize,
        /// Loss in the last spell ÷ wet sample.
        lost: f64,
        /// For how long it dries on before it is weighed again.
        spell: &'static str,
        /// Most that a spell of drying may still take, grams.
        most_grams: f64,
        /// The same, a fraction of the wet sample.
        end_point: f64,
        /// Where the end point comes from.
        source: &'static str,
    },
    /// A sample is heavier by more than the method's end point than it was while it dried.
    Heavier {
        /// Which sample, from 1.
        sample: usize,
        /// Heavier than its lightest weight by this many grams.
        gained: f64,
        /// For how long it dries on before it is weighed again.
        spell: &'static str,
        /// By how much two weights in a row may differ, grams.
        most_grams: f64,
        /// The same, a fraction of the wet sample.
        end_point: f64,
        /// Where the end point comes from.
        source: &'static str,
    },
    /// A sample got heavier while it dried: by no more than the end point, or it has lost that again.
    GainedWeight {
        /// Which sample, from 1.
        sample: usize,
        /// Heavier by this many grams.
        gained: f64,
    },
    /// The moisture lies outside what grain of this form usually has.
    ImplausibleForForm {
        /// Moisture found, a fraction of wet mass.
        moisture: f64,
        /// The lot's form.
        form: Form,
        /// Lowest and highest usual moisture.
        usual: (f64, f64),
        /// Where the usual range comes from.
        source: &'static str,
    },
    /// Steeped grain: nothing is published to hold the moisture against.
    NothingPublished,
}

impl fmt::Display for Warning {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DuplicatesApart {
                difference,
                repeatability,
                milled,
            } => write!(
                formatter,
                "The samples lie {} apart; two of one lot should lie within {} ({} grain, EBC \
                 trial: Casta 1997, Monatsschrift für Brauwissenschaft 50). Mix the lot and test again.",
                percent(*difference),
                percent(*repeatability),
                if *milled {
                    "dried and milled"
                } else {
                    "unmilled"
                },
            ),
            Self::OneDriedWeight {
                sample,
                spell,
                most_grams,
                end_point,
                source,
            } => write!(
                formatter,
                "Sample {sample} has only one dried weight so far, which does not show that it is \
                 dry. Weigh it again after {spell} more: when it lost no more than {most_grams} g \
                 ({}, {source}), it is dry. Until then the moisture is at least this, and it does \
                 not count as a test.",
                percent(*end_point),
            ),
            Self::NotYetConstant {
                sample,
                lost,
                spell,
                most_grams,
                end_point,
                source,
            } => write!(
                formatter,
                "Sample {sample} still lost {} of its wet mass in the last spell of drying. Weigh \
                 it again after {spell} more: when it lost no more than {most_grams} g ({}, \
                 {source}), it is dry. Until then the moisture is at least this, and it does not \
                 count as a test.",
                percent(*lost),
                percent(*end_point),
            ),
            Self::Heavier {
                sample,
                gained,
                spell,
                most_grams,
                end_point,
                source,
            } => write!(
                formatter,
                "Sample {sample} is {gained} g heavier than it was: a reading is wrong, or it took up \
                 water. Weigh it again after {spell} more: when it is no more than {most_grams} g ({}, \
                 {source}) above its lightest weight and lost no more than that, it is dry. Until then the \
                 moisture is at least that of the lightest weight, and it does not count as a test. If the \
                 lightest weight was misread, correct its entry.",
                percent(*end_point),
            ),
            Self::GainedWeight { sample, gained } => write!(
                formatter,
                "Sample {sample} got heavier by {gained} g while drying: a reading is wrong, or it \
                 stood in damp air.",
            ),
            Self::ImplausibleForForm {
                moisture,
                form,
                usual,
                source,
            } => write!(
                formatter,
                "Moisture of {} is unusual for {form} grain, which has {} to {} ({source}). Check \
                 the readings and the form.",
                percent(*moisture),
                percent(usual.0),
                percent(usual.1),
            ),
            Self::NothingPublished => write!(
                formatter,
                "No composition of steeped grain has been published, so there is nothing to hold \
                 this moisture against.",
            ),
        }
    }
}
