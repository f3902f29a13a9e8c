//! What is said of bakes beside their place in the plan.

use crate::render::{bake, times};
use crate::report::plan::PlanGround;

/// Bakes that are not looked at, those of which a stage should be standing by now, and those beyond the days asked for that hold
/// promises; whether commands are named.
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
    let (now, zone) = (ground.situation.now, &ground.situation.zone);
    for answer in &ground.bakes {
        if let Some(late) = answer.needs.waits_longest_for(now) {
            let code = answer.bake.code;
            let moved = if is_typed {
                format!(" ({})", bake::mix_later(code, &late, zone))
            } else {
                String::new()
            };
            notes.push(format!(
                "{code}: its {} was to be made {}. If nobody made it, this bake is not possible at its time: make it now, move the bake{moved} and plan again.",
                answer.needs.formula.stages[late.stage].name,
                times::moment(late.was_due, now, zone),
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
