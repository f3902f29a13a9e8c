//! How well the moisture of a source's lots would be known without a test, in words.

use crate::report::period::CameIn;
use std::collections::BTreeMap;

/// ` Without a test it would be known to ± 1.5 points for Alder Lane, ± 5.2 points for Tarn Fell.`, nothing of one source: the
/// earlier lots of a steady one tell more of the next than those of another.
pub fn by_source(lots: &[CameIn]) -> String {
    let mut by_source: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for came in lots {
        if let Some(untested) = &came.untested {
            let points = 100.0 * untested.expanded();
            by_source
                .entry(came.lot.source.as_str())
                .or_default()
                .push(points);
        }
    }
    if by_source.len() < 2 {
        return String::new();
    }
    let means = by_source.iter().map(|(source, points)| {
        let mean = points.iter().sum::<f64>() / points.len() as f64;
        format!("± {mean:.1} points for {source}")
    });
    let means: Vec<String> = means.collect();
    format!(" Without a test it would be known to {}.", means.join(", "))
}
