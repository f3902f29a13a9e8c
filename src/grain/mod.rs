//! Grain itself: what it is, what a lot is called, how much dry matter it holds and how sure that is.
//!
//! Pure: text and numbers in, numbers and plain sentences out. Deliberately absent: where a lot
//! stands, how long it keeps, and the dough it goes into.

pub mod allergens;
pub mod by_cause;
pub mod cereals;
pub mod check_character;
pub mod continued;
pub mod control_chart;
pub mod dry_matter;
pub mod drying;
pub mod ending;
pub mod estimate;
mod feed_words;
pub mod form;
pub mod grist;
pub mod lot_code;
mod method;
pub mod moisture_test;
pub mod next_lot;
pub mod pooling;
pub mod portions;
pub mod precision;
pub mod test_result;
pub mod treatments;
pub mod warning;
pub mod weighing;
pub mod within;

pub use allergens::Allergens;
pub use by_cause::ByCause;
pub use continued::{Continued, WeighedAgain};
pub use dry_matter::DryGrain;
pub use ending::Ending;
pub use estimate::{Earlier, Estimate, Evidence};
pub use feed_words::names_feed;
pub use form::{Form, Kind};
pub use grist::Grist;
pub use lot_code::{LotCode, LotCodeProblem, is_of_brew_day};
pub use moisture_test::{Laboratory, Method, MoistureTest, OpenSample, Sample, TestResult};
pub use portions::Portions;
pub use precision::Precision;
pub use treatments::{Step, Treatment};
pub use warning::Warning;
pub use weighing::{PanReadings, Weighing};
pub use within::Within;

use crate::quantity::{Uncertain, WetBasis};

/// A calculated moisture as a fraction that is neither bone dry nor pure water.
///
/// The normal and t distributions reach beyond 0 and 1, grain does not, and a sum that divides by
/// the dry matter needs some. The margin of one part in 10⁹ is below what any balance shows.
#[expect(
    clippy::manual_clamp,
    reason = "max and min, unlike clamp, also bring a value that is no number inside"
)]
pub fn clipped(moisture: f64) -> WetBasis {
    const MARGIN: f64 = 1e-9;
    WetBasis::new(moisture.max(MARGIN).min(1.0 - MARGIN))
        .expect("a number clipped to the inside of 0 to 1 is a moisture")
}

/// The wettest that grain is taken to be, a fraction of wet mass: 19 parts of water on one of dry grain are a soup.
/// Judgement.
const WETTEST: f64 = 0.95;

/// The most water that grain which was found to have this moisture is taken to have: [`WETTEST`], or half way from there to
/// pure water where the grain itself was found that wet. Judgement.
pub fn wettest(found: f64) -> f64 {
    WETTEST.max(f64::midpoint(found, 1.0))
}

/// Lower and upper end of the 95 % range of a moisture, clipped to what grain can be.
pub fn possible_range(moisture: &Uncertain) -> (WetBasis, WetBasis) {
    let (low, high) = moisture.range();
    (clipped(low), clipped(high.min(wettest(moisture.value))))
}
