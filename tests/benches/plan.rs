//! How well and how fast seeded weeks are planned. Run with `cargo bench --bench plan`; with `-- --long` for all
//! instances, with `-- 20x14` for one size, with `-- --write FOLDER` to write the programs out as JSON.
//!
//! Each instance is planned by the trade's oldest-first rule, by the planner, and, where `DRAFF_PYTHON` names a
//! Python that has SciPy, by HiGHS as it stands in SciPy, on the very same program in the same run:
//!
//! ```text
//! python3 -m venv /tmp/venv && /tmp/venv/bin/pip install scipy
//! DRAFF_PYTHON=/tmp/venv/bin/python cargo bench --bench plan
//! ```
//!
//! Seconds are processor seconds of the solving alone, without the start of Python. Both stop at the same gap.

#[path = "../../src/planning/tests/instances.rs"]
mod instances;
mod measure;
mod other_solver;

use draffbook::{dough, grain, keeping, planning, quantity};
use instances::{Week, instance};
use planning::Patience;

fn main() -> anyhow::Result<()> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    for (lots, bakes, seeds) in [(8, 7, 10), (20, 14, 4), (40, 32, 4), (60, 60, 1)] {
        for seed in 1..=seeds {
            for week in Week::ALL {
                if (lots == 20 || lots == 40) && seed == 4 && week as u64 > 1 {
                    continue;
                }
                let name = format!("{}-{lots}x{bakes}-{seed}", week.as_str());
                if let Some(f) = args.iter().position(|a| a == "--write") {
                    let situation = instance(week, lots, bakes, seed);
                    let windows = planning::windows::Windows::of(&situation);
                    let figures = planning::figures::Figures::of(&situation, &windows);
                    let facts = planning::model::Facts {
                        situation: &situation,
                        windows: &windows,
                        figures: &figures,
                    };
                    let model = planning::model::Model::build(
                        facts,
                        planning::model::Weights::ALL,
                        &|_, _| planning::model::Choice::Open,
                    );
                    let json = other_solver::written(&model.program);
                    std::fs::write(
                        std::path::Path::new(&args[f + 1]).join(format!("{name}.json")),
                        json.to_string(),
                    )?;
                    continue;
                }
                if !args.iter().any(|a| name.contains(a.as_str())) {
                    continue;
                }
                let situation = instance(week, lots, bakes, seed);
                let begin = measure::own_processor_time()?;
                let windows = planning::windows::Windows::of(&situation);
                let figures = planning::figures::Figures::of(&situation, &windows);
                let facts = planning::model::Facts {
                    situation: &situation,
                    windows: &windows,
                    figures: &figures,
                };
                let start = planning::oldest_first::plan(facts);
                let before = measure::own_processor_time()?;
                let limit: f64 = std::env::var("LIMIT").map_or(20.0, |l| l.parse().unwrap());
                let mut looks = 0;
                let mut first = f64::NAN;
                let mut bound0 = f64::NAN;
                let mut last_at = 0.0;
                let mut longest = 0.0f64;
                let mut best = f64::INFINITY;
                let mut best_at = 0.0;
                let patience = Patience {
                    nodes: 1_000_000,
                    lower_nodes: 1_000_000,
                    ..Patience::default()
                };
                let patience = if lots >= 40 {
                    Patience {
                        windows: 100_000,
                        ..patience
                    }
                } else {
                    patience
                };
                let found =
                    planning::search::search(facts, &start, patience, &mut |cost, bound| {
                        let now = (measure::own_processor_time().unwrap() - before).as_secs_f64();
                        if looks == 0 {
                            first = cost;
                            bound0 = bound;
                        }
                        if cost < best {
                            best = cost;
                            best_at = now;
                        }
                        looks += 1;
                        longest = longest.max(now - last_at);
                        last_at = now;
                        if std::env::var("TRACE").is_ok() {
                            println!("   {now:.2} {cost:.4} {bound:.4}");
                        }
                        now < limit
                    });
                let end = measure::own_processor_time()?;
                println!(
                    "{name:20} {} cost {:12.4} bound {:12.4} gap {:.5} root {:.4} first {:.4} looks {looks} longest {longest:.2} best at {best_at:.2} windows {:.3} search {:.3}",
                    if found.proven { "proven" } else { "open  " },
                    found.cost,
                    found.bound,
                    (found.cost - found.bound) / found.cost.abs().max(1e-9),
                    bound0,
                    first,
                    (before - begin).as_secs_f64(),
                    (end - before).as_secs_f64()
                );
            }
        }
    }
    Ok(())
}
