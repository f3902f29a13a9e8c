//! What is said of bakes beside their place in the plan.

use crate::render::times;
use crate::report::plan::PlanGround;

/// Bakes that are not looked at, and those whose first grain is late; whether commands are named.
pub fn bakes_apart(ground: &PlanGround, is_typed: bool) -> Vec<String> {
    let mut notes: Vec<String> = ground
        .overdue
        .iter()
        .map(|bake| {
            let done = if is_typed {
                format!("draff bake done {bake} or draff bake drop {bake} says")
            } else {
                "say under Bakes".to_owned()
            };
            format!(
                "{bake} should have been mixed by now and is left out: {done} what became of it, and of its grain."
            )
        })
        .collect();
    for bake in &ground.bakes {
        let grain_at = bake.needs.grain_at();
        if grain_at < ground.situation.now {
            let code = bake.bake.code;
            let moved = if is_typed {
                format!(" (draff bake change {code} --at WHEN POINT)")
            } else {
                String::new()
            };
            notes.push(format!(
                "{code}: its grain was to be weighed out {}, which is over: begin now and bake later, or move it{moved}.",
                times::moment(grain_at, ground.situation.now, &ground.situation.zone)
            ));
        }
    }
    if ground.later > 0 {
        let further = if is_typed {
            "--days looks"
        } else {
            "more days look"
        };
        notes.push(format!(
            "{} mixed after these days: {further} further ahead.",
            match ground.later {
                1 => "1 bake is".to_owned(),
                more => format!("{more} bakes are"),
            }
        ));
    }
    notes
}
