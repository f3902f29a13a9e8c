//! What is said of bakes beside their place in the plan.

use crate::render::times;
use crate::report::plan::PlanGround;

/// Bakes that are not looked at, those whose first grain is late, and those beyond the days asked for that hold promises.
pub fn bakes_apart(ground: &PlanGround) -> Vec<String> {
    let mut notes: Vec<String> = ground
        .overdue
        .iter()
        .map(|bake| {
            format!(
                "{bake} should have been mixed by now and is left out: draff bake done {bake} or draff bake drop {bake} says what became of it, and of its grain."
            )
        })
        .collect();
    for bake in &ground.bakes {
        let grain_at = bake.needs.grain_at();
        if grain_at < ground.situation.now {
            let code = bake.bake.code;
            notes.push(format!(
                "{code}: its grain was to be weighed out {}, which is over: begin now and bake later, or move it (draff bake change {code} --at WHEN POINT).",
                times::moment(grain_at, ground.situation.now, &ground.situation.zone)
            ));
        }
    }
    if !ground.beyond.is_empty() {
        let bakes: Vec<String> = ground.beyond.iter().map(ToString::to_string).collect();
        let (situation, zone) = (&ground.situation, &ground.situation.zone);
        notes.push(format!(
            "The plan goes on to {}, beyond the days asked for, because grain is promised to {}.",
            times::date(zone.date(situation.end), zone.date(situation.now)),
            bakes.join(", ")
        ));
    }
    if ground.later > 0 {
        notes.push(format!(
            "{} mixed after these days: --days looks further ahead.",
            match ground.later {
                1 => "1 bake is".to_owned(),
                more => format!("{more} bakes are"),
            }
        ));
    }
    notes
}
