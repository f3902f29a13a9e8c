//! The same program solved by HiGHS, as it stands in SciPy.

use crate::written::written;
use anyhow::{Context, ensure};
use draffbook::planning::program::Program;
use std::path::Path;
use std::process::Command;

/// Reads a program, its seconds and its gap; prints cost, bound, whether proven, processor seconds.
const SCRIPT: &str = r#"
import json, sys, time, numpy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array
model = json.load(open(sys.argv[1]))
column = numpy.array(model["columns"], dtype=float)  # cost, lower, upper (-1: none), whole
upper = numpy.where(column[:, 2] < 0, numpy.inf, column[:, 2])
at, of, factor, low, high = [], [], [], [], []
for index, (terms, sense, bound) in enumerate(model["rows"]):
    for place, value in terms:
        at.append(index); of.append(place); factor.append(value)
    low.append(-numpy.inf if sense == "most" else bound)
    high.append(numpy.inf if sense == "least" else bound)
rows = coo_array((factor, (at, of)), shape=(len(low), len(column))).tocsr()
begin = time.process_time()
found = milp(column[:, 0], integrality=column[:, 3], bounds=Bounds(column[:, 1], upper),
             constraints=LinearConstraint(rows, low, high),
             options={"time_limit": float(sys.argv[2]), "mip_rel_gap": float(sys.argv[3])})
seconds = time.process_time() - begin
cost = float("inf") if found.fun is None else found.fun
bound = float("-inf") if found.mip_dual_bound is None else found.mip_dual_bound
print(cost, bound, int(found.status == 0), seconds)
"#;

/// How it ended.
pub struct Answer {
    pub cost: f64,
    pub bound: f64,
    pub proven: bool,
    pub seconds: f64,
}

/// Solves the program with this Python, in so many seconds at most, to this gap.
pub fn solve(
    python: &str,
    folder: &Path,
    program: &Program,
    seconds: f64,
    gap: f64,
) -> anyhow::Result<Answer> {
    let file = folder.join("program.json");
    std::fs::write(&file, written(program).to_string())?;
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
        .split_whitespace()
        .map(str::parse)
        .collect::<Result<_, _>>()?;
    ensure!(figures.len() == 4, "{text}");
    Ok(Answer {
        cost: figures[0],
        bound: figures[1],
        proven: figures[2] == 1.0,
        seconds: figures[3],
    })
}
