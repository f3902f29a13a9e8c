//! How long plans of seeded weeks take.

#[path = "../../src/planning/tests/instances.rs"]
mod instances;

use draffbook::{dough, grain, keeping, planning, quantity};
use instances::{Week, instance};
use planning::{Patience, make};

fn main() {
    if false {
        return;
    }
    let args: Vec<String> = std::env::args().collect();
    let (lots, bakes, seeds): (usize, usize, u64) = (
        args[1].parse().unwrap(),
        args[2].parse().unwrap(),
        args[3].parse().unwrap(),
    );
    for week in Week::ALL {
        for seed in 1..=seeds {
            let situation = instance(week, lots, bakes, seed);
            let start = std::time::Instant::now();
            let mut looks = 0;
            let mut first = f64::NAN;
            let plan = make(
                &situation,
                Patience {
                    nodes: std::env::var("NODES").map_or(3000, |n| n.parse().unwrap()),
                    ..Patience::default()
                },
                &mut |c, _| {
                    if looks == 0 {
                        first = c
                    };
                    looks += 1;
                    true
                },
            );
            match plan {
                Ok(plan) => println!(
                    "{:9} {seed} {:?} gap {:.5} looks {looks} short {} ({}) spoiled {} ({}) gaps {} {} {:.2}s",
                    week.as_str(),
                    plan.proof.status,
                    plan.proof.gap,
                    plan.aims.short.get() / 1000,
                    plan.oldest_first.short.get() / 1000,
                    plan.aims.spoiled.get() / 1000,
                    plan.oldest_first.spoiled.get() / 1000,
                    plan.proof.short_gap.get() / 1000,
                    plan.proof.spoiled_gap.get() / 1000,
                    start.elapsed().as_secs_f64()
                ),
                Err(e) => println!("{e:?}"),
            }
        }
    }
}
