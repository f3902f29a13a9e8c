//! Rounding of drafts of one lot.

use super::*;
use crate::planning::figures::Figures;
use crate::planning::problem::PromisedDraw;
use crate::planning::tests::instances::{self, bake, lot, monday};
use crate::planning::windows::Windows;
use chrono::Duration;

/// What each bake gets of 6 kg of one lot, in grams, where the draft gives it so many.
fn rounded(grams: &[f64]) -> Vec<i64> {
    rounded_with_promises(grams, &[])
}

/// The same where an accepted plan promised so many grams to the bakes.
fn rounded_with_promises(grams: &[f64], promised: &[i64]) -> Vec<i64> {
    let draws = grams.iter().enumerate();
    let draws: Vec<_> = draws
        .map(|(bake, grams)| (bake, State::AsItLies, *grams))
        .collect();
    rounded_draws(&draws, promised, Drying::ToTheNextStep)
}

/// The same of draws in any state, each with its bake.
fn rounded_draws(draws: &[(usize, State, f64)], promised: &[i64], drying: Drying) -> Vec<i64> {
    let mut situation = instances::empty();
    let mash_out = monday() - Duration::days(1);
    situation.lots.push(lot("L1", mash_out, 6_000, 0.75));
    let bakes = draws.iter().map(|(bake, ..)| bake + 1).max().unwrap_or(0);
    for index in 0..bakes {
        let mix = monday() + Duration::hours(4 + index as i64);
        let code = format!("B{index}");
        situation.bakes.push(bake(&code, mix, [100, 500, 1_500]));
    }
    let promised = promised.iter().enumerate();
    situation.promised = promised
        .map(|(bake, grams)| PromisedDraw {
            lot: 0,
            bake,
            wet: Milligrams::new(grams * 1_000),
        })
        .collect();
    let windows = Windows::of(&situation);
    let figures = Figures::of(&situation, &windows);
    let facts = Facts {
        situation: &situation,
        windows: &windows,
        figures: &figures,
    };
    let mut draft = Draft::empty(1, (0..bakes).map(|_| true));
    let draws = draws.iter().map(|(bake, state, grams)| DraftDraw {
        lot: 0,
        bake: *bake,
        state: *state,
        dry: grams / 1_000.0 / figures.wet_per_dry[0],
    });
    draft.draws = draws.collect();
    let draws = round(facts, &draft, drying).draws;
    draws.iter().map(|draw| draw.wet.get() / 1_000).collect()
}

#[test]
fn the_parts_of_a_lot_that_is_dealt_out_add_up_to_it() {
    assert_eq!(
        rounded(&[2_000.4, 1_999.35, 2_000.25]),
        [2_001, 1_999, 2_000]
    );
    assert_eq!(rounded(&[3_281.45, 2_718.35]), [3_282, 2_718]);
}

#[test]
fn each_part_of_a_lot_that_is_not_dealt_out_is_the_nearest() {
    assert_eq!(rounded(&[2_000.4, 1_999.4]), [2_000, 1_999]);
    assert_eq!(rounded(&[2_000.6, 1_999.4]), [2_001, 1_999]);
}

#[test]
fn what_was_promised_stays_where_the_draft_is_a_step_or_two_from_it() {
    for draft in [[3_282.0, 2_718.0], [3_282.3, 2_717.7], [3_279.6, 2_720.4]] {
        let kept = rounded_with_promises(&draft, &[3_281, 2_719]);
        assert_eq!(kept, [3_281, 2_719], "{draft:?}");
    }
    // What differs by more is another plan.
    let other = rounded_with_promises(&[3_284.0, 2_716.0], &[3_281, 2_719]);
    assert_eq!(other, [3_284, 2_716]);
    // What no promise holds takes the rest.
    let rest = rounded_with_promises(&[3_280.4, 2_719.6], &[3_281]);
    assert_eq!(rest, [3_281, 2_719]);
}

/// A gram of a lot that is dried for bakes is not left to spoil by the solver's tolerance, where the dryer has time for it.
#[test]
fn the_parts_of_a_lot_that_is_dried_add_up_to_it() {
    let draft = [(0, State::Dried, 3_281.45), (1, State::Dried, 2_718.35)];
    let all = rounded_draws(&draft, &[], Drying::ToTheNextStep);
    assert_eq!(all, [3_282, 2_718]);
    let whole = rounded_draws(&draft, &[], Drying::AsDrafted);
    assert_eq!(whole, [3_281, 2_718]);
}

/// However small one of its parts is.
#[test]
fn a_promise_in_two_states_keeps_its_sum() {
    let draft = [(0, State::AsItLies, 1_000.4), (0, State::Dried, 30.3)];
    let kept = rounded_draws(&draft, &[1_030], Drying::ToTheNextStep);
    assert_eq!(kept, [1_000, 30]);
}

/// No promise holds more than there is.
#[test]
fn promises_together_take_no_more_than_the_lot() {
    let kept = rounded_with_promises(&[3_280.4, 2_719.6], &[3_281, 2_720]);
    assert_eq!(kept.iter().sum::<i64>(), 6_000);
}
