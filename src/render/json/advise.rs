//! JSON of `bake advise`.

use super::fraction;
use super::plan::Spare;
use crate::planning::advise::Advice as Found;
use crate::planning::figures::milligrams;
use crate::planning::plan::Fate;
use crate::quantity::Zone;
use crate::render::advise::command;
use crate::report::advise::{AdviseAnswer, Change, ChangeKind};
use serde::Serialize;

/// `bake advise --json`.
#[derive(Serialize)]
pub struct Advise {
    as_of: String,
    until: String,
    short_dry_g: f64,
    spoiled_dry_g: f64,
    preserved_unused_dry_g: f64,
    spare: Vec<Spare>,
    advice: Vec<Advice>,
    lots_to_test: Vec<Test>,
    at_most: Vec<String>,
    looked_at: usize,
    stopped: bool,
    overdue: Vec<String>,
}

#[derive(Serialize)]
struct Advice {
    change: &'static str,
    bake: Option<String>,
    formula: String,
    mix_at: String,
    pieces: u32,
    grain_share: Option<f64>,
    most_lots: Option<u32>,
    more_dough_g: f64,
    saved_dry_g: f64,
    short_dry_g: f64,
    spoiled_dry_g: f64,
    preserved_unused_dry_g: f64,
    uses_up: Vec<String>,
    command: String,
}

#[derive(Serialize)]
struct Test {
    lot: String,
    decides_dry_g: f64,
}

impl Advise {
    /// From the answer.
    pub fn new(answer: &AdviseAnswer, zone: &Zone) -> Self {
        let situation = &answer.ground.situation;
        let code = |lot: usize| situation.lots[lot].code.clone();
        Self {
            as_of: zone.rfc3339(situation.now),
            until: zone.rfc3339(situation.end),
            short_dry_g: answer.plan.aims.short.grams(),
            spoiled_dry_g: answer.plan.aims.spoiled.grams(),
            preserved_unused_dry_g: answer.plan.aims.preserved_unused.grams(),
            spare: answer
                .plan
                .left
                .iter()
                .filter(|left| left.fate == Fate::Spoils || left.is_unused())
                .map(|left| Spare::new(left, situation, zone))
                .collect(),
            advice: answer
                .advised
                .advice
                .iter()
                .map(|advice| {
                    let change = &answer.changes[advice.candidate];
                    let uses_up = advice.uses_up.iter().map(|lot| code(*lot)).collect();
                    Advice::new(advice, change, uses_up, zone)
                })
                .collect(),
            lots_to_test: answer
                .tested
                .worth
                .iter()
                .map(|worth| Test {
                    lot: code(worth.lot),
                    decides_dry_g: worth.dry.grams(),
                })
                .collect(),
            at_most: answer
                .at_most
                .iter()
                .map(|bake| situation.bakes[*bake].code.clone())
                .collect(),
            looked_at: answer.advised.looked_at,
            stopped: answer.advised.stopped || answer.tested.stopped,
            overdue: answer
                .ground
                .overdue
                .iter()
                .map(ToString::to_string)
                .collect(),
        }
    }
}

impl Advice {
    fn new(advice: &Found, change: &Change, uses_up: Vec<String>, zone: &Zone) -> Self {
        let saved = milligrams(advice.saved);
        Self {
            change: change.what.as_key(),
            bake: change.what.bake().map(ToString::to_string),
            formula: change.formula.clone(),
            mix_at: zone.rfc3339(change.mix_at),
            pieces: change.pieces,
            grain_share: match change.what {
                ChangeKind::Share { share, .. } => Some(fraction(share)),
                _ => None,
            },
            most_lots: match change.what {
                ChangeKind::Blend { lots, .. } => Some(lots),
                _ => None,
            },
            more_dough_g: change.more_dough.grams(),
            saved_dry_g: saved.grams(),
            short_dry_g: advice.plan.aims.short.grams(),
            spoiled_dry_g: advice.plan.aims.spoiled.grams(),
            preserved_unused_dry_g: advice.plan.aims.preserved_unused.grams(),
            uses_up,
            command: command(change, zone),
        }
    }
}
