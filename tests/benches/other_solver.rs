//! The same aims on the same program solved by HiGHS, as it stands in SciPy.

use crate::written::written;
use anyhow::{Context, ensure};
use draffbook::planning::program::Program;
use std::path::Path;
use std::process::Command;

/// Reads a program, its seconds and its gap; prints how many aims are proven, processor seconds, the aims' values.
const SCRIPT: &str = r#"
import json, sys, time, numpy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array, vstack
model = json.load(open(sys.argv[1]))
column = numpy.array(model["columns"], dtype=float)  # lower, upper (-1: none), whole
upper = numpy.where(column[:, 1] < 0, numpy.inf, column[:, 1])
at, of, factor, low, high = [], [], [], [], []
for index, (terms, sense, bound) in enumerate(model["rows"]):
    for place, value in terms:
        at.append(index); of.append(place); factor.append(value)
    low.append(-numpy.inf if sense == "most" else bound)
    high.append(numpy.inf if sense == "least" else bound)
rows = coo_array((factor, (at, of)), shape=(len(low), len(column))).tocsr()
begin, proven, values, limit = time.process_time(), 0, [], float(sys.argv[2])
for aim in model["aims"]:
    cost = numpy.zeros(len(column))
    for place, value in aim:
        cost[place] += value
    left = limit - (time.process_time() - begin)
    found = milp(cost, integrality=column[:, 2], bounds=Bounds(column[:, 0], upper),
                 constraints=LinearConstraint(rows, low, high),
                 options={"time_limit": max(left, 0.01), "mip_rel_gap": float(sys.argv[3])})
    if found.fun is None:
        break
    values.append(found.fun)
    if found.status != 0:
        break
    proven += 1
    rows = vstack([rows, coo_array(cost[None, :])]).tocsr()
    low.append(-numpy.inf)
    high.append(found.fun + 1e-6)
print(proven, time.process_time() - begin, *map(float, values))
"#;

/// How it ended.
pub struct Answer {
    /// How many aims are proven, one after the other.
    pub proven: usize,
    pub seconds: f64,
    /// What the aims came to, as far as it got.
    pub values: Vec<f64>,
}

/// Solves the program with this Python, in so many seconds at most, each aim to this gap.
pub fn solve(
    python: &str,
    folder: &Path,
    program: &Program,
    aims: &[Vec<(usize, f64)>],
    seconds: f64,
    gap: f64,
) -> anyhow::Result<Answer> {
    let file = folder.join("program.json");
    std::fs::write(&file, written(program, aims).to_string())?;
    let output = Command::new(python)
        .args(["-c", SCRIPT])
        .arg(&file)
        .args([seconds.to_string(), gap.to_string()])
        .output()
        .with_context(|| format!("{python} does not start"))?;
    let said = String::from_utf8_lossy(&output.stderr);
    ensure!(output.status.success(), "{python} with SciPy: {said}");
    let text = String::from_utf8(output.stdout)?;
    let figures: Vec<f64> = text
        .lines()
        .last()
        .unwrap_or_default()
        .split_whitespace()
        .map(str::parse)
        .collect::<Result<_, _>>()?;
    ensure!(figures.len() >= 2, "{text}");
    Ok(Answer {
        proven: figures[0] as usize,
        seconds: figures[1],
        values: figures[2..].to_vec(),
    })
}
