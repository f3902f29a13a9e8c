//! What the bakes ask somebody to be there for, and the grain that goes in.

use crate::dough::bake_code::BakeCode;
use crate::dough::timetable::EventKind;
use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::ledger::LotRecord;
use crate::quantity::{Instant, Milligrams};
use crate::report::bake::BakeAnswer;
use crate::report::promise::{LostGrain, PromisedGrain};
use crate::report::shelf::ShelfAnswer;
use crate::report::today::{Due, DueTask, GoesIn};
use crate::report::{Caution, LotAnswer};

/// What a bake asks somebody to be there for, with the lots of it that are not thawed in time and whether the accepted plan leaves
/// it out.
pub(super) fn of_bake(
    mut answer: BakeAnswer,
    (not_thawed, is_left_out): (&[LotCode], bool),
    shelf: &ShelfAnswer,
    now: Instant,
) -> Vec<Due> {
    let bake = answer.bake.code;
    let is_overdue = answer.is_overdue(now);
    let formula = answer.needs.formula.clone();
    let mut due = Vec::new();
    if is_overdue {
        due.push(Due {
            by: Some(answer.needs.timetable.mix_at),
            task: DueTask::Overdue {
                bake,
                formula: formula.name.clone(),
                is_left_out,
            },
        });
    }
    let grain_at = answer.needs.grain_at();
    // What may not be used now is told by itself.
    let verdict = |code: LotCode| {
        let found = shelf.lots.iter().find(|lot| lot.lot.code == code);
        found.map(|lot| lot.keeping.verdict)
    };
    let is_usable = |code: LotCode| verdict(code).is_some_and(Verdict::may_be_used);
    let lost = shelf.lost.iter().filter(|one| one.bake == bake);
    let lost: Vec<LostGrain> = lost.filter(|one| is_usable(one.lot)).copied().collect();
    let grain = grain(&answer, shelf, &lost);
    let goes_in = |lot: &&LotAnswer| grain.iter().any(|one| one.lot == lot.lot.code);
    answer.lots = shelf.lots.iter().filter(goes_in).cloned().collect();
    let mut cautions = answer.cautions();
    cautions.push(Caution::RawDough);
    let to_show_dry = shelf.to_show_dry.iter().filter(|one| one.bake == bake);
    let to_show_dry: Vec<_> = to_show_dry.map(|one| (one.lot, one.by)).collect();
    let (unusable, grain) = grain.into_iter().partition::<Vec<_>, _>(|one| {
        // Of what is not on the shelf nothing is left.
        !is_usable(one.lot) && !to_show_dry.iter().any(|(lot, _)| *lot == one.lot)
    });
    // What it names may be promised to others.
    let grain = if is_left_out { Vec::new() } else { grain };
    let of_bake = taken(bake, &shelf.promised);
    let lacks = Milligrams::new(of_bake.map(|one| one.missing.get()).sum());
    let unusable = unusable.into_iter().map(|one| (one.lot, verdict(one.lot)));
    let unusable: Vec<_> = unusable.collect();
    // Of what should have been mixed by now nothing earlier is asked for.
    let needs_late = answer.needs.waits_longest_for(now).filter(|_| !is_overdue);
    let mut is_weighed_out = false;
    let asked = answer.needs.timetable.events.iter().filter(|event| {
        let is_stage = matches!(event.what, EventKind::Stage(_));
        let is_over = is_overdue && event.from < now;
        !is_over && (is_stage || event.hands_on || event.at_oven)
    });
    for (index, event) in asked.enumerate() {
        // It is weighed out once, for the first that takes it.
        let weighs_out = !is_weighed_out && event.from >= grain_at;
        is_weighed_out |= weighs_out;
        // Said at once, as other grain has to be found, and again where the grain goes in.
        let tells = index == 0 || weighs_out;
        due.push(Due {
            by: Some(event.from),
            task: DueTask::Bake {
                bake,
                formula: Box::new(formula.clone()),
                event: *event,
                grain: if weighs_out {
                    grain.clone()
                } else {
                    Vec::new()
                },
                not_thawed: not_thawed.to_vec(),
                to_show_dry: to_show_dry.clone(),
                lacks: if tells { lacks } else { Milligrams::ZERO },
                unusable: if tells { unusable.clone() } else { Vec::new() },
                lost: if tells { lost.clone() } else { Vec::new() },
                short: None,
                is_optional: !answer.bake.setting.firm,
                is_left_out,
                plan_knows: false,
                made_late: answer.needs.made_late(event, now).map(Box::new),
                needs_late: needs_late
                    .filter(|_| answer.needs.mixes(event))
                    .map(Box::new),
                cautions: if weighs_out {
                    cautions.clone()
                } else if event.what.makes_dough() {
                    vec![Caution::RawDough]
                } else {
                    Vec::new()
                },
            },
        });
    }
    due
}

/// What of the promises to a bake it takes: nothing where it names other lots by now.
fn taken(bake: BakeCode, promised: &[PromisedGrain]) -> impl Iterator<Item = &PromisedGrain> {
    let of_bake = promised.iter().filter(move |one| one.bake == bake);
    of_bake.filter(|one| !one.names_others)
}

/// The grain of a bake that is not lost to it: what is promised to it, or else the lots that it names.
fn grain(answer: &BakeAnswer, shelf: &ShelfAnswer, lost: &[LostGrain]) -> Vec<GoesIn> {
    let of_bake: Vec<&PromisedGrain> = taken(answer.bake.code, &shelf.promised).collect();
    if !of_bake.is_empty() {
        let kept = of_bake.into_iter();
        let kept = kept.filter(|one| !lost.iter().any(|lost| lost.is_of(one)));
        return kept
            .map(|one| {
                let dried = shelf.to_dry.iter().find(|dry| dry.is_of(one));
                // What is not there any more is said beside it.
                GoesIn {
                    lot: one.code(),
                    weighed: Some(dried.map_or(one.there(), |dry| dry.dried)),
                    to_dry: dried.map(|_| one.there()),
                }
            })
            .collect();
    }
    let named = answer.bake.setting.lots.iter();
    let named = named.filter(|lot| !lost.iter().any(|lost| lost.lot == lot.code));
    let unweighed = |lot: &LotRecord| GoesIn {
        lot: lot.code,
        weighed: None,
        to_dry: None,
    };
    named.map(unweighed).collect()
}
