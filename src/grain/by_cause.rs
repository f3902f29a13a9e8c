//! A moisture with its uncertainty kept apart by cause: what lots share does not average out between them.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use crate::quantity::Uncertain;
use std::collections::BTreeMap;

/// What an error comes from. Moistures with the same cause are off in the same direction.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The oven in which all samples of the house are dried.
    Oven,
    /// Nothing was measured: what is published may be wrong for all grain alike.
    Default,
    /// What sources are like on the whole, for those that have few tested lots.
    Overall,
    /// The mean of a source's earlier lots.
    Source(String),
    /// A lot differs from the mean of its source.
    Lot(String),
    /// The samples of a lot, and the balance.
    Samples(String),
    /// One figure that a laboratory gave for a lot.
    Laboratory(String, usize),
}

/// One part of an uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it comes from.
    pub cause: Cause,
    /// The standard uncertainty.
    pub standard: f64,
    /// Degrees of freedom of the variance that `standard` was taken from.
    pub freedom: f64,
    /// Parts with the same number come from one variance and are uncertain together.
    pub seen_in: Cause,
}

/// A moisture, a fraction of wet mass, with its uncertainty by cause.
#[derive(Debug, Clone, PartialEq)]
pub struct ByCause {
    /// Best estimate.
    pub value: f64,
    /// Parts of its standard uncertainty. Parts with one cause add up, those with different causes add in squares.
    pub parts: Vec<Part>,
}

impl ByCause {
    /// A value with one part.
    pub fn one(moisture: Uncertain, cause: Cause) -> Self {
        Self {
            value: moisture.value,
            parts: vec![Part {
                standard: moisture.standard,
                freedom: moisture.freedom,
                seen_in: cause.clone(),
                cause,
            }],
        }
    }

    /// The same value with a further part.
    #[must_use]
    pub fn with(mut self, part: Part) -> Self {
        self.parts.push(part);
        self
    }

    /// The uncertainty as a whole: JCGM 100:2008, 5.2.2, with correlation 1 within a cause and 0 between causes;
    /// degrees of freedom by Welch–Satterthwaite over the variances that the parts were taken from (G.4.1).
    pub fn uncertain(&self) -> Uncertain {
        let mut of_cause: BTreeMap<&Cause, f64> = BTreeMap::new();
        for part in &self.parts {
            *of_cause.entry(&part.cause).or_default() += part.standard;
        }
        let variance: f64 = of_cause.values().map(|sum| sum * sum).sum();
        let mut seen: BTreeMap<&Cause, (f64, f64)> = BTreeMap::new();
        for part in &self.parts {
            let (sum, freedom) = seen.entry(&part.seen_in).or_insert((0.0, part.freedom));
            // Of a cause's squared sum each part has its share.
            *sum += of_cause[&part.cause] * part.standard;
            *freedom = freedom.min(part.freedom);
        }
        let doubt: f64 = seen
            .values()
            .filter(|(_, freedom)| freedom.is_finite())
            .map(|(sum, freedom)| sum * sum / freedom)
            .sum();
        Uncertain {
            value: self.value,
            standard: variance.sqrt(),
            freedom: if doubt > 0.0 {
                variance * variance / doubt
            } else {
                f64::INFINITY
            },
        }
    }

    /// The same, causes that have no name yet called by what they are of.
    #[must_use]
    pub fn named(mut self, lot: &str, source: &str) -> Self {
        let name = |cause: &mut Cause| match cause {
            Cause::Lot(of) | Cause::Samples(of) | Cause::Laboratory(of, _) if of.is_empty() => {
                lot.clone_into(of);
            }
            Cause::Source(of) if of.is_empty() => source.clone_into(of),
            _ => {}
        };
        for part in &mut self.parts {
            name(&mut part.cause);
            name(&mut part.seen_in);
        }
        self
    }

    /// The same parts for another whole.
    #[must_use]
    pub fn as_whole(&self, whole: &Uncertain) -> Self {
        let now = self.uncertain().standard;
        let factor = if now > 0.0 { whole.standard / now } else { 1.0 };
        Self {
            value: whole.value,
            parts: self.scaled(factor).collect(),
        }
    }

    fn scaled(&self, factor: f64) -> impl Iterator<Item = Part> {
        self.parts.iter().map(move |part| Part {
            standard: part.standard * factor,
            ..part.clone()
        })
    }

    /// Moisture of grain put together: the mean with these weights, of which the sum is more than 0.
    pub fn mean<'a>(weighted: impl IntoIterator<Item = (f64, &'a Self)> + Clone) -> Option<Self> {
        let all: f64 = weighted.clone().into_iter().map(|(weight, _)| weight).sum();
        if all <= 0.0 {
            return None;
        }
        let mut mean = Self {
            value: 0.0,
            parts: Vec::new(),
        };
        for (weight, one) in weighted {
            mean.value += weight / all * one.value;
            for part in one.scaled(weight / all) {
                let known = mean
                    .parts
                    .iter_mut()
                    .find(|known| known.cause == part.cause && known.seen_in == part.seen_in);
                match known {
                    Some(known) => known.standard += part.standard,
                    None => mean.parts.push(part),
                }
            }
        }
        Some(mean)
    }

    /// The mean with weights 1 ÷ u²: of values of one and the same thing whose errors have nothing in common.
    pub fn weighted_mean(values: &[Self]) -> Option<Self> {
        let weight = |one: &Self| one.uncertain().standard.powi(-2);
        Self::mean(
            values
                .iter()
                .map(|one| (weight(one), one))
                .collect::<Vec<_>>(),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(cause: Cause, standard: f64, freedom: f64) -> Part {
        Part {
            cause: cause.clone(),
            standard,
            freedom,
            seen_in: cause,
        }
    }

    fn lot(name: &str) -> ByCause {
        ByCause {
            value: 0.77,
            parts: vec![
                part(Cause::Samples(name.to_owned()), 0.03, 4.0),
                part(Cause::Oven, 0.04, f64::INFINITY),
            ],
        }
    }

    /// 3-4-5: alone 0.05. Of two lots in equal parts the samples give 0.03 ÷ √2 and the oven its 0.04 (GUM 5.2.2,
    /// arithmetic).
    #[test]
    fn what_is_shared_does_not_average_out() {
        let (one, other) = (lot("a"), lot("b"));
        assert!((one.uncertain().standard - 0.05).abs() < 1e-12);
        let both = ByCause::mean([(1.0, &one), (1.0, &other)]).unwrap();
        let expected = (0.03f64.powi(2) / 2.0 + 0.04f64.powi(2)).sqrt();
        assert!((both.uncertain().standard - expected).abs() < 1e-12);
        let same = ByCause::mean([(1.0, &one), (3.0, &lot("a"))]).unwrap();
        assert!((same.uncertain().standard - 0.05).abs() < 1e-12);
    }

    /// u⁴ ÷ (0.03⁴ ÷ 4) = 30.86 (Welch–Satterthwaite, arithmetic). Two parts taken from one variance keep its 6
    /// degrees of freedom.
    #[test]
    fn doubt_about_the_width_is_counted_once_for_each_variance() {
        let found = lot("a").uncertain().freedom;
        assert!((found - 0.05f64.powi(4) / (0.03f64.powi(4) / 4.0)).abs() < 1e-9);
        let seen_in = Cause::Source("s".to_owned());
        let learned = ByCause {
            value: 0.77,
            parts: [Cause::Lot("a".to_owned()), seen_in.clone()]
                .map(|cause| Part {
                    seen_in: seen_in.clone(),
                    ..part(cause, 0.01, 6.0)
                })
                .into(),
        };
        assert!((learned.uncertain().freedom - 6.0).abs() < 1e-9);
    }
}
