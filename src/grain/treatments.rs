//! What pressing, blending, milling, drying, draining and soaking make of grain: form, moisture, losses.
//!
//! Dry grain is conserved but for losses that are stated; what else went or came was water.
//!
//! Equations, symbols and sources: `docs/models/treatments.md`.

use super::{ByCause, Estimate, Form, WETTEST, clipped, wettest};
use crate::quantity::text::one_of;
use crate::quantity::uncertain::same_everywhere;
use crate::quantity::{Milligrams, Problem, Uncertain, mass};
use statrs::distribution::{Continuous, ContinuousCDF, Normal};
use std::fmt;
use std::str::FromStr;
use uom::si::f64::Mass;
use uom::si::mass::milligram;

/// What is done with the grain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Step {
    /// Water is pressed out.
    Press,
    /// Cut to a paste.
    Blend,
    /// Dried grain is milled to a flour.
    Mill,
    /// Water is dried off.
    Dry,
    /// Thawed, and the water that runs off is let go.
    ThawDrain,
    /// Dried grain gets water again.
    Soak,
}

impl Step {
    /// Every step.
    pub const ALL: [Self; 6] = [
        Self::Press,
        Self::Blend,
        Self::Mill,
        Self::Dry,
        Self::ThawDrain,
        Self::Soak,
    ];

    /// The word for it in commands and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Press => "press",
            Self::Blend => "blend",
            Self::Mill => "mill",
            Self::Dry => "dry",
            Self::ThawDrain => "thaw-drain",
            Self::Soak => "soak",
        }
    }

    /// What has been done with the grain.
    pub const fn done(self) -> &'static str {
        match self {
            Self::Press => "pressed",
            Self::Blend => "blended",
            Self::Mill => "milled",
            Self::Dry => "dried",
            Self::ThawDrain => "thawed and drained",
            Self::Soak => "soaked",
        }
    }

    /// The form that it makes of grain of another, or why it cannot be done with that.
    pub fn form(self, from: Form) -> Result<Form, Problem> {
        let refuse = |why: &str, hint: &str| {
            Err(Problem::new(format!("{} grain {why}", from.as_str())).hint(hint.to_owned()))
        };
        match (self, from.is_dry()) {
            (Self::Press, false) => Ok(Form::Pressed),
            (Self::Blend, false) => Ok(Form::Blended),
            (Self::ThawDrain, false) => Ok(from),
            (Self::Mill, true) => Ok(Form::Milled),
            (Self::Dry, false) => Ok(Form::Dried),
            (Self::Dry, true) => Ok(from),
            (Self::Soak, true) => Ok(match from {
                Form::Milled => Form::Blended,
                _ => Form::Whole,
            }),
            (Self::Press, true) => {
                refuse("has no water to press out", "dry grain is milled or soaked")
            }
            (Self::Blend, true) => refuse(
                "is not blended",
                "--step mill makes flour of it, --step soak with --water-added makes it wet again",
            ),
            (Self::ThawDrain, true) => {
                refuse("has no water to let go", "dry grain needs no thawing")
            }
            (Self::Mill, false) => refuse(
                "is too wet to mill",
                "--step dry first, or --step blend to cut it wet",
            ),
            (Self::Soak, false) => refuse(
                "is wet already",
                "water that is added while cutting it goes with --step blend --water-added",
            ),
        }
    }

    /// Whether what it makes is like other grain of its form in moisture, so that one says what to expect of
    /// the other.
    pub const fn is_usual_way(self) -> bool {
        !matches!(self, Self::ThawDrain | Self::Soak)
    }

    /// Whether water may be added in it.
    pub const fn takes_water(self) -> bool {
        matches!(self, Self::Blend | Self::Soak)
    }
}

impl FromStr for Step {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "step", &Self::ALL, Self::as_str)
    }
}

impl fmt::Display for Step {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}

/// A treatment by its weights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Treatment {
    /// What was done.
    pub step: Step,
    /// Wet grain that went in.
    pub wet_in: Milligrams,
    /// What came out and is kept.
    pub wet_out: Milligrams,
    /// Water that was added.
    pub water: Milligrams,
    /// Of what came out, what stayed in the machine or was spilt.
    pub left: Milligrams,
    /// Dry grain lost in the pressed-out water.
    pub dry_loss: Milligrams,
}

impl Treatment {
    /// Refuses weights that cannot be of one treatment of grain with this moisture.
    ///
    /// What the estimate does not rule out is let through: it may be the estimate that is wrong.
    pub fn refuse_impossible(&self, before: &Estimate) -> Result<(), Problem> {
        let grams = |mass: Milligrams| format!("{} g", mass.grams());
        let fed = self.wet_in.get() + self.water.get();
        let came = self.wet_out.get() + self.left.get();
        if came > fed {
            let found = Problem::new(format!(
                "{} came out, which is more than the {} that went in",
                grams(Milligrams::new(came)),
                grams(Milligrams::new(fed))
            ));
            return Err(if self.step.takes_water() {
                found.hint("water that was added goes with --water-added")
            } else {
                found
            });
        }
        if self.step == Step::Soak && self.water == Milligrams::ZERO {
            return Err(Problem::new("soaked grain gets water: none is stated")
                .hint("add --water-added MASS"));
        }
        if self.water != Milligrams::ZERO && !self.step.takes_water() {
            return Err(
                Problem::new(format!("no water is added in the step {}", self.step))
                    .hint("only blend and soak take --water-added"),
            );
        }
        let (driest, wettest) = before.range();
        let dry = |moisture: crate::quantity::WetBasis| {
            mass::grams(self.wet_in.mass() * moisture.dry_fraction().get())
        };
        let (best, low, high) = (dry(before.wet_basis()), dry(wettest), dry(driest));
        let of = format!("{best:.0} g of dry grain went in ({low:.0} to {high:.0} g)");
        let loss = self.dry_loss.grams();
        // Milling dust takes its dry grain with it.
        if self.step != Step::Mill && low - loss > came as f64 / 1000.0 {
            return Err(Problem::new(format!(
                "{of}, and only {} of anything came out: that leaves less than no water",
                grams(Milligrams::new(came))
            )));
        }
        if high <= loss {
            return Err(Problem::new(format!(
                "{of}, and {} of it is said to be lost: nothing would be left",
                grams(self.dry_loss)
            )));
        }
        Ok(())
    }

    /// How much less came out than went in; negative where water was added.
    pub fn wet_loss(&self) -> Milligrams {
        Milligrams::new(self.wet_in.get() - self.wet_out.get())
    }

    /// Moisture of what came out with its causes, from that of what went in.
    pub fn moisture_by_cause(&self, before: &ByCause) -> ByCause {
        before.as_whole(&self.moisture(&before.uncertain()))
    }

    /// Moisture of what came out, from that of what went in: a fraction of wet mass.
    pub fn moisture(&self, before: &Uncertain) -> Uncertain {
        // What a mill loses is dust: grain, not water.
        if self.step == Step::Mill {
            return *before;
        }
        let came = (self.wet_out.get() + self.left.get()) as f64;
        let fed = self.wet_in.get() as f64;
        let dry = fed * (1.0 - before.value) - self.dry_loss.get() as f64;
        inside(Uncertain {
            value: 1.0 - dry / came,
            standard: before.standard * fed / came,
            freedom: before.freedom,
        })
    }

    /// How wet grain of this moisture was with the water that was added, or is without the dry grain that was lost, where that is
    /// wetter than grain is taken to be; with the most that it is taken to be. Fractions of wet mass.
    pub fn wetter_than_grain(&self, before: &Uncertain) -> Option<(f64, f64)> {
        let dry = self.wet_in.get() as f64 * (1.0 - before.value);
        let fed = (self.wet_in.get() + self.water.get()) as f64;
        let came = (self.wet_out.get() + self.left.get()) as f64;
        let product = match self.step {
            Step::Mill => before.value,
            _ => 1.0 - (dry - self.dry_loss.get() as f64) / came,
        };
        let (wet, most) = (product.max(1.0 - dry / fed), wettest(before.value));
        (wet > most).then_some((wet, most))
    }

    /// Dry grain that did not come out with the product: stated losses, what stayed in the machine, and all that
    /// a mill loses.
    pub fn dry_lost(&self, after: &Uncertain) -> Mass {
        let dry = clipped(after.value).dry_fraction().get();
        if self.step == Step::Mill {
            return self.wet_loss().mass() * dry;
        }
        self.dry_loss.mass() + self.left.mass() * dry
    }

    /// Water that ran off or dried away; negative where none did and some was added.
    pub fn water_gone(&self) -> Mass {
        if self.step == Step::Mill {
            return Mass::default();
        }
        let gone = self.wet_in.get() + self.water.get()
            - self.wet_out.get()
            - self.left.get()
            - self.dry_loss.get();
        Mass::new::<milligram>(gone as f64)
    }
}

/// The driest that a product is taken to be: the dry end of dried grain that nobody measured. Judgement.
const DRIEST: f64 = 0.02;

/// What is known of a moisture once it is clear that it lies between 0 and 1.
///
/// The figure stays where grain can be like that, so that as much dry grain comes out as went in. Its standard uncertainty is
/// the root mean square distance from it in the normal distribution cut off at 0 and 1 (Johnson, Kotz & Balakrishnan 1994,
/// Continuous Univariate Distributions 1, 13.10.1, from memory; the test holds it against SciPy).
///
/// Weights alone show that grain was wetter than its estimate when less came out than was taken to be dry. The figure then
/// goes towards the mean of that distribution, as far as grain can be like that.
fn inside(found: Uncertain) -> Uncertain {
    // So far from both ends that cutting changes no digit.
    const FAR: f64 = 7.0;
    let low = (0.0 - found.value) / found.standard;
    let high = (1.0 - found.value) / found.standard;
    if low < -FAR && high > FAR {
        return found;
    }
    let normal = Normal::standard();
    let kept = same_everywhere(normal.cdf(high) - normal.cdf(low));
    // Nothing is left to calculate with where a later test contradicts the weights altogether.
    if kept < 1e-4 || kept.is_nan() {
        return Uncertain {
            value: clipped(found.value).get(),
            ..found
        };
    }
    let (at_low, at_high) = (
        same_everywhere(normal.pdf(low)),
        same_everywhere(normal.pdf(high)),
    );
    let shift = (at_low - at_high) / kept;
    let spread = 1.0 + (low * at_low - high * at_high) / kept - shift * shift;
    let mean = found.value + found.standard * shift;
    let value = found.value.max(mean.min(DRIEST)).min(mean.max(WETTEST));
    Uncertain {
        value,
        standard: libm::hypot(found.standard * spread.max(0.0).sqrt(), mean - value),
        freedom: found.freedom,
    }
}

/// Moisture of grain put together: the mean by wet mass.
///
/// What the lots share adds up, the rest averages out. Nothing from nothing.
pub fn joined(parts: &[(Milligrams, ByCause)]) -> Option<ByCause> {
    let weighted: Vec<_> = parts
        .iter()
        .map(|(wet, moisture)| (wet.get() as f64, moisture))
        .collect();
    ByCause::mean(weighted)
}

#[cfg(test)]
mod tests;
