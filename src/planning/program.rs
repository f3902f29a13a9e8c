//! A mixed-integer program as plain columns and rows, and values for it. Knows nothing of grain or solvers.

/// Minimise the cost of the columns under the rows.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Program {
    /// What is decided.
    pub columns: Vec<Column>,
    /// What has to hold.
    pub rows: Vec<Row>,
}

/// One decision.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// Cost of one unit.
    pub cost: f64,
    /// At least.
    pub lower: f64,
    /// At most; may be infinite.
    pub upper: f64,
    /// Whole numbers only.
    pub whole: bool,
}

/// How the sum of a row stands to its bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// Sum ≤ bound.
    AtMost,
    /// Sum ≥ bound.
    AtLeast,
    /// Sum = bound.
    Exactly,
}

/// One condition on a weighted sum of columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Column and factor.
    pub terms: Vec<(usize, f64)>,
    /// How the sum stands to the bound.
    pub sense: Sense,
    /// The bound.
    pub bound: f64,
}

impl Row {
    /// The weighted sum at these values.
    pub fn sum(&self, values: &[f64]) -> f64 {
        self.terms
            .iter()
            .map(|(column, factor)| values[*column] * factor)
            .sum()
    }
}

impl Program {
    /// Adds an amount from nothing up.
    pub fn amount(&mut self, cost: f64, upper: f64) -> usize {
        self.column(Column {
            cost,
            lower: 0.0,
            upper,
            whole: false,
        })
    }

    /// Adds a choice between yes and no.
    pub fn choice(&mut self, cost: f64) -> usize {
        self.column(Column {
            cost,
            lower: 0.0,
            upper: 1.0,
            whole: true,
        })
    }

    fn column(&mut self, column: Column) -> usize {
        self.columns.push(column);
        self.columns.len() - 1
    }

    /// Adds a condition; one without terms says nothing and is left out.
    pub fn row(&mut self, terms: Vec<(usize, f64)>, sense: Sense, bound: f64) {
        if !terms.is_empty() {
            self.rows.push(Row {
                terms,
                sense,
                bound,
            });
        }
    }

    /// Cost of these values.
    pub fn cost(&self, values: &[f64]) -> f64 {
        self.columns
            .iter()
            .zip(values)
            .map(|(column, value)| column.cost * value)
            .sum()
    }

    /// By how much the values break the worst of all bounds and rows.
    pub fn worst_breach(&self, values: &[f64]) -> f64 {
        let bounds = self
            .columns
            .iter()
            .zip(values)
            .map(|(column, value)| (column.lower - value).max(value - column.upper));
        let rows = self.rows.iter().map(|row| {
            let sum = row.sum(values);
            match row.sense {
                Sense::AtMost => sum - row.bound,
                Sense::AtLeast => row.bound - sum,
                Sense::Exactly => (sum - row.bound).abs(),
            }
        });
        bounds.chain(rows).fold(0.0, f64::max)
    }

    /// How many choices are open.
    pub fn choices(&self) -> usize {
        self.columns
            .iter()
            .filter(|column| column.whole && column.lower < column.upper)
            .count()
    }
}
