//! Where a plan differs from what the accepted one promised, and why.

use super::{PlanGround, PromiseInPlan};
use crate::grain::LotCode;
use crate::keeping::{Verdict, assess_all};
use crate::planning::Situation;
use crate::planning::plan::PlannedBake;
use crate::planning::problem::Lot;
use crate::planning::reason::{lacks_fridge, thawed_too_late};
use crate::planning::windows::{State, Windows};
use crate::quantity::Milligrams;
use crate::report::promise::CountedMoisture;
use std::collections::BTreeMap;

/// A draw that is otherwise than it was promised.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// The bake.
    pub bake: String,
    /// The lot.
    pub lot: String,
    /// What was promised.
    pub before: Milligrams,
    /// What is planned.
    pub after: Milligrams,
    /// Why it gets less, or more, than was promised.
    pub because: Option<Moved>,
}

/// Why a bake gets less of a lot than was promised, or another wet mass for its dry grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Moved {
    /// Less of it is on hand, or none.
    Gone {
        /// Whether any is.
        is_any_left: bool,
    },
    /// Nobody knows by now whether it is good: what was to be shown was not shown in time.
    Unknown,
    /// It may not go into the bake any more.
    Unfit,
    /// It was not taken out of the freezer in time.
    NotThawed,
    /// It would have to be thawed, and no fridge is cold enough for it.
    NoFridge,
    /// The bake takes no more, or its dough no more water.
    MostOfDough,
    /// The bake gets as much as it takes: this lot goes in beyond what was promised of it.
    ReplacedBy(LotCode),
    /// It would have to be frozen until then, and the freezers have no room for it.
    FreezersFull,
    /// It would have to be dried, and the dryer has no time for it.
    DryerFull,
    /// Otherwise a firm bake would fall short.
    FirmBakes,
    /// It is wetter or drier than the accepted plan counted on.
    Moisture(CountedMoisture),
}

impl Moved {
    /// The word for it in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Gone { .. } => "gone",
            Self::Unknown => "unknown",
            Self::Unfit => "unfit",
            Self::NotThawed => "not-thawed",
            Self::NoFridge => "no-fridge",
            Self::MostOfDough => "most-of-dough",
            Self::ReplacedBy(_) => "replaced",
            Self::FreezersFull => "freezers-full",
            Self::DryerFull => "dryer-full",
            Self::FirmBakes => "firm-bakes",
            Self::Moisture(_) => "moisture",
        }
    }
}

/// What bakes lose of what the accepted plan promised, where nothing can be planned with.
pub fn all_lost(ground: &PlanGround) -> Vec<Change> {
    let nothing = PlannedBake {
        happens: false,
        draws: Vec::new(),
        dry: Milligrams::ZERO,
        short: Milligrams::ZERO,
        reason: None,
        chance_below: None,
    };
    changes(ground, &vec![nothing; ground.bakes.len()])
}

/// What bakes get otherwise than the accepted plan promised.
pub(super) fn changes(ground: &PlanGround, bakes: &[PlannedBake]) -> Vec<Change> {
    let mut sums: BTreeMap<(usize, String), (i64, i64)> = BTreeMap::new();
    for promise in &ground.promises {
        let code = match promise.lot {
            Some(lot) => ground.situation.lots[lot].code.clone(),
            None => promise.named.clone(),
        };
        sums.entry((promise.bake, code)).or_default().0 += promise.wet.get();
    }
    for (bake, planned) in bakes.iter().enumerate() {
        for draw in &planned.draws {
            let code = ground.situation.lots[draw.lot].code.clone();
            sums.entry((bake, code)).or_default().1 += draw.wet.get();
        }
    }
    // Both masses are rounded to steps of the scale.
    let rounding = 2 * ground.situation.capacity.step.get();
    sums.into_iter()
        .filter(|(_, (before, after))| {
            (before - after).abs() > rounding || (*before == 0) != (*after == 0)
        })
        .map(|((bake, lot), (before, after))| Change {
            because: (after < before - rounding)
                .then(|| why_moved(ground, bakes, bake, &lot, before))
                .flatten()
                .or_else(|| moisture(ground, bake, &lot)),
            bake: ground.situation.bakes[bake].code.clone(),
            lot,
            before: Milligrams::new(before),
            after: Milligrams::new(after),
        })
        .collect()
}

/// A moisture is told otherwise than it was by a tenth of a percent or more: as it is shown.
const SHOWN: f64 = 0.001;

/// Whether promised grain is wetter or drier than the accepted plan counted on.
fn moisture(ground: &PlanGround, bake: usize, lot: &str) -> Option<Moved> {
    let is_it = |one: &&PromiseInPlan| {
        let held = one
            .lot
            .map(|held| ground.situation.lots[held].code.as_str());
        one.bake == bake && held == Some(lot)
    };
    let counted = ground.promises.iter().find(is_it)?.moisture?;
    ((counted.now - counted.then).abs() >= SHOWN).then_some(Moved::Moisture(counted))
}

/// Why a bake gets less of a lot than was promised, where there is more to it than whole steps of the scale. Only the minimum of
/// firm bakes comes before promises; all else is a limit that no plan passes.
fn why_moved(
    ground: &PlanGround,
    bakes: &[PlannedBake],
    bake: usize,
    lot: &str,
    promised: i64,
) -> Option<Moved> {
    let situation = &ground.situation;
    let has_as_much = |one: &Lot| one.code == lot && one.wet.get() >= promised;
    let Some(lot) = situation.lots.iter().position(has_as_much) else {
        let is_any_left = situation.lots.iter().any(|one| one.code == lot);
        return Some(Moved::Gone { is_any_left });
    };
    let asked = Situation {
        lots: vec![situation.lots[lot].clone()],
        bakes: vec![situation.bakes[bake].clone()],
        promised: Vec::new(),
        ..situation.clone()
    };
    let windows = Windows::of(&asked);
    let window = &windows.lots[0];
    let fit = &window.bakes[0];
    if !State::ALL.iter().any(|state| fit.allows(*state)) {
        let is_late = thawed_too_late(&asked, &windows, (0, 0)).is_some();
        let histories = &situation.lots[lot].histories;
        let keeping = assess_all(histories, &situation.rules, &situation.zone, situation.now);
        return Some(if is_late {
            Moved::NotThawed
        } else if keeping.verdict == Verdict::Unknown {
            Moved::Unknown
        } else if lacks_fridge(&asked, (0, 0)) {
            Moved::NoFridge
        } else {
            Moved::Unfit
        });
    }
    let slack = |planned: &PlannedBake| {
        let steps = planned.draws.len() as i64 + 1;
        situation.capacity.step.get() * steps
    };
    let (takes, gets) = (&situation.bakes[bake], &bakes[bake]);
    let is_wet = takes.water.is_some_and(|room| {
        gets.water(situation, room) + slack(gets) as f64 >= room.most.get() as f64
    });
    if gets.dry.get() + slack(gets) >= takes.highest.get() || is_wet {
        let instead = goes_in_instead(ground, bake, gets);
        return Some(instead.map_or(Moved::MostOfDough, Moved::ReplacedBy));
    }
    // No plan has it: the lot holds less dry grain than was counted on, or less of it is left.
    let mut promises = ground.promises.iter().filter(|one| one.bake == bake);
    if promises.any(|one| one.lot == Some(lot) && one.missing > Milligrams::ZERO) {
        let is_otherwise = moisture(ground, bake, &situation.lots[lot].code);
        return is_otherwise.or(Some(Moved::Gone { is_any_left: true }));
    }
    let needs_it = |other: usize| {
        let (asked, planned) = (&situation.bakes[other], &bakes[other]);
        let at_its_least = planned.dry.get() <= asked.lowest.get() + slack(planned);
        asked.firm && at_its_least && planned.draws.iter().any(|draw| draw.lot == lot)
    };
    if (0..bakes.len()).any(|other| other != bake && needs_it(other)) {
        return Some(Moved::FirmBakes);
    }
    let first = |state: State| fit.allows(state) && !fit.allows(State::AsItLies);
    if first(State::Thawed) && !window.frozen && situation.capacity.freezer.is_some() {
        return Some(Moved::FreezersFull);
    }
    first(State::Dried).then_some(Moved::DryerFull)
}

/// The lot of which a bake gets most beyond what was promised to it.
fn goes_in_instead(ground: &PlanGround, bake: usize, gets: &PlannedBake) -> Option<LotCode> {
    let mut more: BTreeMap<usize, i64> = BTreeMap::new();
    for draw in &gets.draws {
        *more.entry(draw.lot).or_default() += draw.wet.get();
    }
    for promise in ground.promises.iter().filter(|one| one.bake == bake) {
        if let Some(more) = promise.lot.and_then(|lot| more.get_mut(&lot)) {
            *more -= promise.wet.get();
        }
    }
    let (lot, more) = more.into_iter().max_by_key(|(_, more)| *more)?;
    (more > ground.situation.capacity.step.get()).then(|| ground.lots[lot].code)
}
