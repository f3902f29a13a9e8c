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
use super::written::written;
use crate::planning::figures::Figures;
use crate::planning::model::{Choice, Facts, Model, Weights};
use crate::planning::oldest_first;
use crate::planning::problem::Situation;
use crate::planning::search::{Found, Patience, search};
use crate::planning::windows::Windows;

/// Instance, optimum, bound, whether proven.
const OPTIMA: &str = include_str!("optima.csv");

/// Lots, bakes and seeds of the instances.
type Size = (usize, usize, u64);
const SMALL: Size = (8, 7, 10);
const LARGE: Size = (20, 14, 5);

fn every((lots, bakes, seeds): Size, mut call: impl FnMut(String, &Situation, Facts<'_>)) {
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

/// Writes the programs where a folder is named, and checks in any case that each has what the other reads.
#[test]
fn models_are_written() {
    let folder = std::env::var_os("WRITE_MODELS").map(std::path::PathBuf::from);
    let mut choices = 0;
    let mut write = |name: String, _: &Situation, facts: Facts<'_>| {
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
    };
    every(SMALL, &mut write);
    every(LARGE, &mut write);
    assert!(
        choices > 90 * 20,
        "the instances leave something to decide: {choices}"
    );
}

/// How many instances of a size are proven by both, after so many nodes.
fn proven_by_both(size: Size, nodes: u64) -> u32 {
    let mut proven_by_both = 0;
    every(size, |name, _, facts| {
        let start = oldest_first::plan(facts);
        let patience = Patience {
            nodes,
            lower_nodes: nodes,
            neighbourhoods: 0,
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
        }
    });
    proven_by_both
}

#[test]
fn optima_of_small_weeks_agree_with_highs() {
    let proven = proven_by_both(SMALL, 2000);
    assert!(
        proven >= 55,
        "{proven} of 60 small instances proven by both"
    );
}

/// A node of a large instance takes longer, and few that need many of them are proven at all.
#[test]
fn optima_of_large_weeks_agree_with_highs() {
    let proven = proven_by_both(LARGE, 100);
    assert!(proven >= 9, "{proven} of 30 large instances proven by both");
}
