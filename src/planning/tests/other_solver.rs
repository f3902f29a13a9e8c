//! The same programs solved by HiGHS, an independent solver.
//!
//! `optima.csv` was made from the programs that `WRITE_MODELS=FOLDER cargo test models_are_written` writes, by
//! HiGHS as it stands in SciPy 1.17.1, at most 30 s each:
//!
//! ```text
//! import glob, json, os, sys
//! import numpy
//! from scipy.optimize import Bounds, LinearConstraint, milp
//! from scipy.sparse import coo_array
//! print("instance,optimum,bound,proven")
//! for path in sorted(glob.glob(os.path.join(sys.argv[1], "*.json"))):
//!     model = json.load(open(path))
//!     column = numpy.array(model["columns"], dtype=float)  # cost, lower, upper (-1: none), whole
//!     upper = numpy.where(column[:, 2] < 0, numpy.inf, column[:, 2])
//!     at, of, factor, low, high = [], [], [], [], []
//!     for index, (terms, sense, bound) in enumerate(model["rows"]):
//!         for place, value in terms:
//!             at.append(index); of.append(place); factor.append(value)
//!         low.append(-numpy.inf if sense == "most" else bound)
//!         high.append(numpy.inf if sense == "least" else bound)
//!     rows = coo_array((factor, (at, of)), shape=(len(low), len(column))).tocsr()
//!     found = milp(column[:, 0], integrality=column[:, 3], bounds=Bounds(column[:, 1], upper),
//!                  constraints=LinearConstraint(rows, low, high),
//!                  options={"mip_rel_gap": 1e-9, "time_limit": 30})
//!     name = os.path.basename(path)[:-5]
//!     print(f"{name},{found.fun!r},{found.mip_dual_bound!r},{int(found.status == 0)}")
//! ```

use super::instances::{Week, instance};
use crate::planning::figures::Figures;
use crate::planning::model::{Choice, Facts, Model, Weights};
use crate::planning::oldest_first;
use crate::planning::problem::Situation;
use crate::planning::program::{Program, Sense};
use crate::planning::search::{Found, Patience, search};
use crate::planning::windows::Windows;

/// Instance, optimum, bound, whether proven.
const OPTIMA: &str = include_str!("optima.csv");

/// Lots, bakes and seeds of the instances; all of the large ones only with `DRAFF_LONG`.
const SIZES: [(usize, usize, u64, u64); 2] = [(8, 7, 10, 10), (20, 14, 2, 5)];

fn every(mut call: impl FnMut(String, &Situation, Facts<'_>)) {
    let long = std::env::var_os("DRAFF_LONG").is_some();
    for (lots, bakes, few, all) in SIZES {
        let seeds = if long { all } else { few };
        for week in Week::ALL {
            for seed in 1..=seeds {
                let situation = instance(week, lots, bakes, seed);
                let windows = Windows::of(&situation);
                let figures = Figures::of(&situation, &windows);
                let facts = Facts {
                    situation: &situation,
                    windows: &windows,
                    figures: &figures,
                };
                call(
                    format!("{}-{lots}x{bakes}-{seed}", week.as_str()),
                    &situation,
                    facts,
                );
            }
        }
    }
}

fn written(program: &Program) -> serde_json::Value {
    let columns: Vec<_> = program
        .columns
        .iter()
        .map(|column| {
            let upper = if column.upper.is_finite() {
                column.upper
            } else {
                -1.0
            };
            serde_json::json!([column.cost, column.lower, upper, u8::from(column.whole)])
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
    serde_json::json!({ "columns": columns, "rows": rows })
}

/// Writes the programs where a folder is named, and checks in any case that each has what the other reads.
#[test]
fn models_are_written() {
    let folder = std::env::var_os("WRITE_MODELS").map(std::path::PathBuf::from);
    let mut choices = 0;
    every(|name, _, facts| {
        let model = Model::build(facts, Weights::ALL, &|_, _| Choice::Open);
        let json = written(&model.program);
        assert_eq!(
            json["columns"].as_array().unwrap().len(),
            model.program.columns.len()
        );
        choices += model.program.choices();
        if let Some(folder) = &folder {
            std::fs::write(folder.join(format!("{name}.json")), json.to_string()).unwrap();
        }
    });
    assert!(
        choices > 72 * 20,
        "the instances leave something to decide: {choices}"
    );
}

#[test]
fn optima_agree_with_highs() {
    let mut proven_by_both = 0;
    let mut large = 0;
    every(|name, _, facts| {
        let start = oldest_first::plan(facts);
        // A node of a large instance takes longer, and few that need many of them are proven at all.
        let nodes = if name.contains("20x14") { 500 } else { 8000 };
        let patience = Patience {
            nodes,
            lower_nodes: nodes,
            windows: 0,
            ..Patience::default()
        };
        let found: Found = search(facts, &start, patience, &mut |_, _| true);
        let line = OPTIMA
            .lines()
            .find(|line| line.starts_with(&format!("{name},")))
            .unwrap();
        let fields: Vec<&str> = line.split(',').collect();
        let [optimum, bound] = [1, 2].map(|at: usize| fields[at].parse::<f64>().unwrap());
        let is_proven = fields[3] == "1";
        let close = |one: f64, other: f64| (one - other).abs() <= 1e-6 * other.abs().max(1.0);
        // No plan is better than a proven bound, on either side.
        assert!(
            found.cost >= bound || close(found.cost, bound),
            "{name}: {} below {bound}",
            found.cost
        );
        assert!(
            found.bound <= optimum || close(found.bound, optimum),
            "{name}: {} above {optimum}",
            found.bound
        );
        if is_proven && found.proven {
            assert!(
                close(found.cost, optimum),
                "{name}: {} is not {optimum}",
                found.cost
            );
            proven_by_both += 1;
            large += usize::from(name.contains("20x14"));
        }
    });
    assert!(
        proven_by_both >= 60,
        "{proven_by_both} instances proven by both"
    );
    assert!(large >= 6, "{large} large instances proven by both");
}
