//! Programs as JSON, for another solver: the tests and the benchmark write them alike.

use crate::planning::program::{Program, Sense};

/// Columns as lower, upper (-1: none), whole; rows as terms, sense, bound; aims as terms, in their order.
pub fn written(program: &Program, aims: &[Vec<(usize, f64)>]) -> serde_json::Value {
    let columns: Vec<_> = program
        .columns
        .iter()
        .map(|column| {
            let upper = if column.upper.is_finite() {
                column.upper
            } else {
                -1.0
            };
            serde_json::json!([column.lower, upper, u8::from(column.whole)])
        })
        .collect();
    let rows: Vec<_> = program
        .rows
        .iter()
        .map(|row| {
            let sense = match row.sense {
                Sense::AtMost => "most",
                Sense::AtLeast => "least",
                Sense::Exactly => "exactly",
            };
            serde_json::json!([row.terms, sense, row.bound])
        })
        .collect();
    serde_json::json!({ "columns": columns, "rows": rows, "aims": aims })
}
