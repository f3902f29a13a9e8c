//! A plan as a picture needs it: where the grain of each lot lies from now on, and in which state.

use super::plan::PlanAnswer;
use crate::keeping::assess_all;
use crate::planning::plan::{Fate, Work};
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams};

/// The grain of one lot.
#[derive(Debug, Clone, PartialEq)]
pub struct LotChart {
    /// Position of the lot.
    pub lot: usize,
    /// Whether it may go into a dough now.
    pub usable: bool,
    /// Last moment of use as it lies; nothing where it keeps without end or may not be used.
    pub until: Option<Instant>,
    /// Its parts: what goes first comes first, what no bake takes last.
    pub parts: Vec<Part>,
}

/// A part of a lot that goes one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Wet grain, as the lot is now.
    pub wet: Milligrams,
    /// Where it goes.
    pub to: Goal,
    /// How it lies, one span after the other.
    pub spans: Vec<Span>,
}

/// Where a part of a lot goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// Into this bake.
    Bake(usize),
    /// No bake takes it.
    Left(Fate),
}

/// How grain lies for some time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// From when.
    pub from: Instant,
    /// Until when.
    pub until: Instant,
    /// How.
    pub how: How,
}

/// How grain lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// Wet, and it ages.
    Wet,
    /// In the freezer.
    Frozen,
    /// In the fridge, out of the freezer.
    Thawed,
    /// Dried.
    Dried,
}

impl How {
    /// Every way.
    pub const ALL: [Self; 4] = [Self::Wet, Self::Frozen, Self::Thawed, Self::Dried];
}

/// Every lot that may be used, the first to expire first, and then what may not.
pub fn lots(answer: &PlanAnswer) -> Vec<LotChart> {
    let mut charts: Vec<LotChart> = (0..answer.ground.situation.lots.len())
        .map(|lot| chart(answer, lot))
        .collect();
    charts.sort_by_key(|chart| {
        (
            !chart.usable,
            chart.until.unwrap_or(Instant::MAX_UTC),
            chart.lot,
        )
    });
    charts
}

fn chart(answer: &PlanAnswer, index: usize) -> LotChart {
    let situation = &answer.ground.situation;
    let lot = &situation.lots[index];
    let keeping = assess_all(
        &lot.histories,
        &situation.rules,
        &situation.zone,
        situation.now,
    );
    let usable = keeping.verdict.may_be_used();
    let way = Way {
        answer,
        lot: index,
        now_lies: if lot.form.is_dry() {
            How::Dried
        } else if keeping.frozen {
            How::Frozen
        } else {
            How::Wet
        },
        until: keeping.keep_until.filter(|_| usable),
    };
    LotChart {
        lot: index,
        usable,
        until: way.until,
        parts: if usable { way.parts() } else { Vec::new() },
    }
}

/// How the grain of one lot comes to where it goes.
struct Way<'a> {
    answer: &'a PlanAnswer,
    lot: usize,
    now_lies: How,
    until: Option<Instant>,
}

impl Way<'_> {
    fn parts(&self) -> Vec<Part> {
        let plan = &self.answer.plan;
        let situation = &self.answer.ground.situation;
        let mut parts: Vec<Part> = Vec::new();
        for (bake, planned) in plan.bakes.iter().enumerate() {
            let of_lot = planned.draws.iter().filter(|draw| draw.lot == self.lot);
            parts.extend(of_lot.map(|draw| Part {
                wet: draw.wet,
                to: Goal::Bake(bake),
                spans: self.spans(draw.state, situation.bakes[bake].mix, Some(bake)),
            }));
        }
        parts.sort_by_key(|part| part.spans.last().map(|span| span.until));
        let left = plan.left.iter().filter(|left| left.lot == self.lot);
        parts.extend(left.map(|left| {
            let (state, until) = match left.fate {
                Fate::Frozen => (State::Thawed, situation.end),
                Fate::Dried => (State::Dried, situation.end),
                Fate::Spoils | Fate::Keeps | Fate::OnlyFrozen | Fate::Unusable => (
                    State::AsItLies,
                    self.until
                        .map_or(situation.end, |until| until.min(situation.end)),
                ),
            };
            Part {
                wet: left.wet,
                to: Goal::Left(left.fate),
                spans: self.spans(state, until, None),
            }
        }));
        parts
    }

    /// From now until the end, through the freezer or the dryer where it goes there.
    fn spans(&self, state: State, end: Instant, bake: Option<usize>) -> Vec<Span> {
        let mut turns = vec![(self.answer.ground.situation.now, self.now_lies)];
        match state {
            State::AsItLies => {}
            State::Thawed => {
                turns.extend(
                    self.last_act(Work::Freeze, None)
                        .map(|at| (at, How::Frozen)),
                );
                let thawed = bake.and_then(|_| self.last_act(Work::Thaw, bake));
                turns.extend(thawed.map(|at| (at, How::Thawed)));
            }
            // Where a lot goes into the dryer on several days, all of it is dry on the last of them.
            State::Dried => turns.extend(self.last_act(Work::Dry, None).map(|at| (at, How::Dried))),
        }
        let ends = turns[1..].iter().map(|(at, _)| *at).chain([end]);
        turns
            .iter()
            .zip(ends)
            .map(|((from, how), until)| Span {
                from: *from,
                until,
                how: *how,
            })
            .collect()
    }

    fn last_act(&self, work: Work, bake: Option<usize>) -> Option<Instant> {
        self.answer
            .plan
            .actions
            .iter()
            .rfind(|action| action.work == work && action.lot == self.lot && action.bake == bake)
            .map(|action| action.by)
    }
}
