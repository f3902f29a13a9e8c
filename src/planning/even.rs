//! Makes doughs alike that want the same: of two that share a lot, the one that is further from what it wants takes
//! from the other.
//!
//! The largest distance and the sum of all are aims of the program; where another bake is further off than these
//! two, the program does not mind how they share: not even where one has its least and the other far less, since what
//! they are short by together is the same. Grain is moved between two bakes that have it in one state, and between one that
//! has it as it lies and one that has it thawed: the freezers hold no more than they take, and every aim but the cost of
//! freezing stays as it is.

use super::draft::{Draft, DraftDraw};
use super::model::Facts;
use super::windows::State;

/// Kilograms that are not worth moving.
const NOTHING: f64 = 1e-6;
/// Rounds over all pairs, many times what a week takes.
const ROUNDS: usize = 50;

/// Makes them alike.
pub fn make_alike(facts: Facts<'_>, draft: &mut Draft) {
    for _ in 0..ROUNDS {
        let mut moved = 0.0_f64;
        for one in 0..draft.draws.len() {
            for other in 0..draft.draws.len() {
                moved = moved.max(share(facts, draft, one, other));
            }
        }
        if moved < NOTHING {
            return;
        }
    }
}

/// Moves grain from one draw to another; returns how much.
fn share(facts: Facts<'_>, draft: &mut Draft, from: usize, to: usize) -> f64 {
    let [giver, taker] = [draft.draws[from], draft.draws[to]];
    let bakes = &facts.situation.bakes;
    let [one, other] = [&bakes[giver.bake], &bakes[taker.bake]];
    let out = |draw: &DraftDraw| {
        let Facts {
            situation,
            windows,
            figures,
        } = facts;
        figures.day_out(situation, windows, draw.lot, draw.bake)
    };
    let is_alike = giver.lot == taker.lot
        && may_change(facts, &giver, &taker)
        && giver.bake != taker.bake
        && one.firm == other.firm
        && one.water == other.water
        && [one.lowest, one.wanted, one.highest] == [other.lowest, other.wanted, other.highest];
    if !is_alike {
        return 0.0;
    }
    let [has, lacks] = [draft.got(giver.bake), draft.got(taker.bake)];
    let promised: f64 = facts
        .situation
        .promised
        .iter()
        .filter(|promised| (promised.lot, promised.bake) == (giver.lot, giver.bake))
        .map(|promised| {
            super::figures::kilograms(promised.wet) / facts.figures.wet_per_dry[giver.lot]
        })
        .sum();
    let gives = draft.given(giver.lot, giver.bake);
    let keeps = facts.figures.portion[giver.lot].max(promised.min(gives));
    let mut by = ((has - lacks) / 2.0).min(gives - keeps).min(giver.dry);
    let taken = (taker.lot, taker.bake, taker.state);
    by = by.min(draft.most_for_water(facts, taken));
    if taker.state == State::Thawed {
        // What is taken out later lies in the freezers for longer, and what goes in takes room from then on.
        let goes_in = facts.figures.freeze_day[giver.lot].unwrap_or(0);
        let from = if giver.state == State::Thawed {
            out(&giver)
        } else {
            goes_in
        };
        let longer = from..out(&taker);
        by = by.min(draft.room_in_freezers(facts, longer) / facts.figures.wet_per_dry[giver.lot]);
    }
    if by < NOTHING {
        return 0.0;
    }
    draft.draws[from].dry -= by;
    draft.draws[to].dry += by;
    by
}

/// Whether grain of one draw may be had in the state of the other: in the same, or frozen and thawed where it lies fresh.
fn may_change(facts: Facts<'_>, giver: &DraftDraw, taker: &DraftDraw) -> bool {
    let is_fresh = !facts.windows.lots[giver.lot].frozen;
    giver.state == taker.state
        || is_fresh && giver.state != State::Dried && taker.state != State::Dried
}
