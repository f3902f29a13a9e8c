//! How long `fetch` takes with 200 samples on 8 lots × 7 bakes, beside one plan of the same week in the same run.

#[allow(dead_code, reason = "the speed of plans needs more of it")]
#[path = "../../src/planning/tests/instances.rs"]
mod instances;

use chrono::Duration;
use draffbook::{dough, grain, keeping, planning, quantity};
use instances::{Week, chilled, instance, lot, monday};
use planning::fetch::{Request, work_out};
use planning::{Patience, make};
use quantity::Uncertain;
use std::time::Instant;

fn main() {
    for week in Week::ALL {
        let situation = instance(week, 8, 7, 1);
        let begun = Instant::now();
        let plan = make(&situation, Patience::default(), &mut |_| true);
        let planned = begun.elapsed().as_secs_f64();
        let at = monday() + Duration::hours(30);
        let mut lot = lot("NEW", at, 0, 0.78);
        lot.moisture = Uncertain::known(0.78, 0.02);
        lot.histories = vec![chilled(at)];
        let request = Request {
            situation: &situation,
            lot,
            at,
            chance: 0.5,
            samples: 200,
            seed: 1,
        };
        let begun = Instant::now();
        let found = work_out(&request, &mut |_| true).unwrap();
        let calculated = begun.elapsed().as_secs_f64();
        println!(
            "{:9} fetch {} g in {calculated:.2} s, {:.0} times one plan ({planned:.2} s, {})",
            week.as_str(),
            found.wet.grams(),
            calculated / planned,
            if plan.is_ok() { "made" } else { "none" },
        );
    }
}
