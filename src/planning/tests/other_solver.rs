//! The same aims on the same programs, solved by HiGHS, an independent solver.
//!
//! `optima.csv` was made from the programs that `WRITE_MODELS=FOLDER cargo test models_are_written` writes, by
//! HiGHS as it stands in SciPy 1.17.1, one aim after the other and at most 30 s for each program. The line of
//! `scarce-20x14-2` was made with a slack of 1e-6: with 1e-7 HiGHS calls an optimum of the fifth aim proven that it
//! beats itself with more slack.
//!
//! ```text
//! import glob, json, os, sys, time
//! import numpy
//! from scipy.optimize import Bounds, LinearConstraint, milp
//! from scipy.sparse import coo_array, vstack
//! print("instance,aims as optimum:bound,all proven")
//! for path in sorted(glob.glob(os.path.join(sys.argv[1], "*.json"))):
//!     model = json.load(open(path))
//!     column = numpy.array(model["columns"], dtype=float)  # lower, upper (-1: none), whole
//!     upper = numpy.where(column[:, 1] < 0, numpy.inf, column[:, 1])
//!     at, of, factor, low, high = [], [], [], [], []
//!     for index, (terms, sense, bound) in enumerate(model["rows"]):
//!         for place, value in terms:
//!             at.append(index); of.append(place); factor.append(value)
//!         low.append(-numpy.inf if sense == "most" else bound)
//!         high.append(numpy.inf if sense == "least" else bound)
//!     rows = coo_array((factor, (at, of)), shape=(len(low), len(column))).tocsr()
//!     end, found, proven, slack = time.monotonic() + 30, [], True, 1e-7
//!     for aim in model["aims"]:
//!         cost = numpy.zeros(len(column))
//!         for place, value in aim:
//!             cost[place] += value
//!         left = end - time.monotonic()
//!         answer = milp(cost, integrality=column[:, 2], bounds=Bounds(column[:, 0], upper),
//!                       constraints=LinearConstraint(rows, low, high),
//!                       options={"mip_rel_gap": 1e-9, "time_limit": max(left, 0.01)})
//!         if answer.fun is None:
//!             proven = False
//!             break
//!         found.append(f"{answer.fun!r}:{answer.mip_dual_bound!r}")
//!         if answer.status != 0:
//!             proven = False
//!             break
//!         rows = vstack([rows, coo_array(cost[None, :])]).tocsr()
//!         low.append(-numpy.inf)
//!         high.append(answer.fun + slack)
//!         slack *= 2.5
//!     name = os.path.basename(path)[:-5]
//!     print(f"{name},{' '.join(found)},{int(proven)}", flush=True)
//! ```

use super::instances::{Week, instance};
use super::written::written;
use crate::planning::aims::{Aim, Weights, order};
use crate::planning::figures::Figures;
use crate::planning::model::{Choice, Facts, Held, Model};
use crate::planning::oldest_first;
use crate::planning::search::{Patience, search};
use crate::planning::windows::Windows;

/// Instance, optimum and bound of each aim, whether all are proven.
const OPTIMA: &str = include_str!("optima.csv");

/// Lots, bakes and seeds of the instances.
type Size = (usize, usize, u64);
const SMALL: Size = (8, 7, 10);
const LARGE: Size = (20, 14, 5);

fn every((lots, bakes, seeds): Size, mut call: impl FnMut(String, Facts<'_>)) {
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
            call(format!("{}-{lots}x{bakes}-{seed}", week.as_str()), facts);
        }
    }
}

/// Writes the programs where a folder is named, and checks in any case that each has what the other reads.
#[test]
fn models_are_written() {
    let folder = std::env::var_os("WRITE_MODELS").map(std::path::PathBuf::from);
    let mut choices = 0;
    let mut write = |name: String, facts: Facts<'_>| {
        let both = Weights::only(Aim::Worst).with(Aim::FirmWorst, 1.0);
        let model = Model::build(facts, &Held::default(), both, &|_, _| Choice::Open);
        let aims: Vec<_> = order(facts.situation)
            .into_iter()
            .map(|aim| model.terms(facts, aim))
            .collect();
        let json = written(&model.program, &aims);
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

/// How many instances of a size are proven by both in all aims, after so many nodes.
fn proven_by_both(size: Size, nodes: u64) -> u32 {
    let mut proven_by_both = 0;
    every(size, |name, facts| {
        let start = oldest_first::plan(facts);
        let patience = Patience {
            nodes,
            neighbourhoods: 0,
            exact: true,
            rest_nodes: nodes,
            ..Patience::default()
        };
        let found = search(facts, &start, patience, &mut |_| true);
        let line = OPTIMA
            .lines()
            .find(|line| line.starts_with(&format!("{name},")))
            .unwrap();
        let fields: Vec<&str> = line.split(',').collect();
        let optima = fields[1].split(' ').map(|pair| {
            let (optimum, bound) = pair.split_once(':').unwrap();
            [optimum, bound].map(|text| text.parse::<f64>().unwrap())
        });
        let mut both = fields[2] == "1" && found.is_proven();
        for ([optimum, bound], reached) in optima.zip(&found.reached) {
            let slack = 1e-3 * optimum.abs().max(1.0);
            let aim = reached.aim;
            // No plan is better than a proven bound, on either side.
            assert!(
                reached.value >= bound - slack,
                "{name} {aim:?}: {} below {bound}",
                reached.value
            );
            assert!(
                reached.bound.is_none_or(|bound| bound <= optimum + slack),
                "{name} {aim:?}: {:?} above {optimum}",
                reached.bound
            );
            let is_proven = (optimum - bound).abs() <= slack && reached.proven;
            if !is_proven {
                // From here on the two solve different programs.
                both = false;
                break;
            }
            assert!(
                (reached.value - optimum).abs() <= slack,
                "{name} {aim:?}: {} is not {optimum}",
                reached.value
            );
        }
        proven_by_both += u32::from(both);
    });
    proven_by_both
}

#[test]
fn optima_of_small_weeks_agree_with_highs() {
    let proven = proven_by_both(SMALL, 4000);
    assert!(
        proven >= 55,
        "{proven} of 60 small instances proven by both"
    );
}

/// A node of a large instance takes longer, and few are proven in all eleven aims to the last digit; the aims before the
/// first that is not are compared all the same.
#[test]
fn optima_of_large_weeks_agree_with_highs() {
    let proven = proven_by_both(LARGE, 200);
    assert!(proven >= 5, "{proven} of 30 large instances proven by both");
}
