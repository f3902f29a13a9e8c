//! What the next lot of a source will be before anybody tests it: what its earlier lots were, pulled towards lots of other
//! sources and towards what is published, the more the fewer lots there are.
//!
//! Equations, symbols and sources: `docs/models/dry_matter.md`.

use super::pooling::paule_mandel;
use crate::quantity::Uncertain;

/// Lots of one source were 77 to 80 %, three of them (Głowacki et al. 2022, Materials 15:3703). A range of three is
/// 1.693 standard deviations (d₂ of control charts, ISO 7870-2, from memory), so that is 1.77 points.
const BETWEEN_LOTS: f64 = 0.0177;
/// That this counts like 4 degrees of freedom is judgement, as for the spread within lots.
const BETWEEN_LOTS_FREEDOM: f64 = 4.0;
/// What is left of a default's variance is for how sources differ and for what is published being off, three parts to
/// one: judgement around 75–80, 70–80, 77–80 and 81.9 % of the sources of the default.
const OF_SOURCES: f64 = 0.75;
/// The standard deviation that the figure above belongs to: that of the default of whole grain.
const OF_DEFAULT: f64 = 0.0375;

/// What is published of a kind of grain, and how its parts spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Published {
    /// The mean over all sources.
    pub mean: f64,
    /// Variance of that mean.
    pub overall: f64,
    /// Variance of the means of sources around it.
    pub between_sources: f64,
    /// Scale of the variance of the lots of a source around its mean: scaled inverse χ².
    pub between_lots: f64,
    /// The degrees of freedom of that.
    pub freedom: f64,
}

impl Published {
    /// Parts a default: wider defaults in the same proportion.
    pub fn of(default: &Uncertain) -> Self {
        let mean_between = (BETWEEN_LOTS * default.standard / OF_DEFAULT).powi(2);
        let rest = default.standard.powi(2) - mean_between;
        Self {
            mean: default.value,
            overall: (1.0 - OF_SOURCES) * rest,
            between_sources: OF_SOURCES * rest,
            // A variance known with so many degrees of freedom is that much above its scale on average.
            between_lots: mean_between * (BETWEEN_LOTS_FREEDOM - 2.0) / BETWEEN_LOTS_FREEDOM,
            freedom: BETWEEN_LOTS_FREEDOM,
        }
    }
}

/// How much each part of what is known counts for a mean; together 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulls {
    /// Lots of the source itself.
    pub own: f64,
    /// Lots of other sources.
    pub others: f64,
    /// What is published.
    pub published: f64,
}

/// What the next lot of a source will be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextLot {
    /// Best estimate.
    pub value: f64,
    /// Standard deviation of lots around the mean of their source.
    pub between: f64,
    /// Degrees of freedom of that, fewer where the uncertainty of the mean hangs on it too.
    pub freedom: f64,
    /// Standard uncertainty of the mean, but for what follows.
    pub mean_error: f64,
    /// The part of it that every source shares: what sources are like on the whole.
    pub overall_error: f64,
    /// What pulled the mean.
    pub pulls: Pulls,
}

/// Variance of the lots of a source around its mean: that of Paule & Mandel and the published one, by their degrees of
/// freedom.
fn between_lots(lots: &[Uncertain], published: &Published) -> (f64, f64) {
    let seen = lots.len().saturating_sub(1) as f64;
    let freedom = published.freedom + seen;
    let sum = published.freedom * published.between_lots + seen * paule_mandel(lots);
    (sum / freedom, freedom)
}

/// The mean of the lots of a source by themselves, and its precision; nothing from none.
fn own_mean(lots: &[Uncertain], between: f64) -> Option<(f64, f64)> {
    let weight = |lot: &Uncertain| (between + lot.standard.powi(2)).recip();
    let precision: f64 = lots.iter().map(weight).sum();
    let sum: f64 = lots.iter().map(|lot| weight(lot) * lot.value).sum();
    (precision > 0.0).then(|| (sum / precision, precision))
}

/// The next lot of a source, from its own earlier lots and those of each other source. Best linear unbiased prediction in
/// a normal model of sources within what is published and lots within sources (Robinson 1991, Statistical Science
/// 6:15–32, from memory).
pub fn next_lot(own: &[Uncertain], others: &[Vec<Uncertain>], published: &Published) -> NextLot {
    let prior = published.overall.recip();
    let (mut precision, mut sum, mut elsewhere) = (prior, prior * published.mean, 0.0);
    for lots in others {
        let (between, _) = between_lots(lots, published);
        if let Some((mean, known)) = own_mean(lots, between) {
            let weight = (published.between_sources + known.recip()).recip();
            precision += weight;
            elsewhere += weight;
            sum += weight * mean;
        }
    }
    // What a source is like of which nothing is known.
    let (overall, spread) = (
        sum / precision,
        precision.recip() + published.between_sources,
    );
    let (between, freedom) = between_lots(own, published);
    let (own_value, own_precision) = own_mean(own, between).unwrap_or((0.0, 0.0));
    let all = own_precision + spread.recip();
    let pull = own_precision / all;
    let shared = (1.0 - pull).powi(2) / precision;
    // The mean is as uncertain as its own lots make it by `pull` of its variance, which grows and falls with `between`.
    let hangs_on = between / (between + pull / all);
    NextLot {
        value: pull * own_value + (1.0 - pull) * overall,
        between: between.sqrt(),
        freedom: freedom * hangs_on.powi(2),
        mean_error: (all.recip() - shared).sqrt(),
        overall_error: shared.sqrt(),
        pulls: Pulls {
            own: pull,
            others: (1.0 - pull) * elsewhere / precision,
            published: (1.0 - pull) * prior / precision,
        },
    }
}

#[cfg(test)]
mod tests;
