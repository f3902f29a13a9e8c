//! Which lot may go into which bake, and in which state: asked from the keeping clock, never worked out here.
//!
//! For each state that a lot could be in, its history is continued with what would have to happen (into
//! the freezer, out of it, through the dryer), and [`assess_all`] is asked about the moment at which the bake
//! weighs its grain out. Frozen grain never goes straight into a dough: what cannot be thawed in time does not fit.

use super::problem::{Bake, Lot, Situation};
use super::working_hours::{evenings, first_taken_out, still_taken_out_at};
use crate::grain::{Form, cereals};
use crate::keeping::{Advice, History, PlaceKind, RuleSet, Verdict, What, assess_all};
use crate::quantity::{Instant, Temperature, Zone};
use chrono::Duration;

mod block;
mod fit;

pub use block::Thawed;
pub use fit::{Fit, State, Unfit};

/// What one lot can do.
#[derive(Debug, Clone)]
pub struct LotWindow {
    /// Whether it may be used at all, now.
    pub usable: bool,
    /// Last moment of use as it lies; nothing where it keeps without end or may not be used.
    pub until: Option<Instant>,
    /// Spoils as it lies before the plan's end.
    pub spoils: bool,
    /// It is in a freezer now.
    pub frozen: bool,
    /// And no day is left of it once it is thawed.
    pub only_frozen: bool,
    /// Moments at which it may be frozen so that each thawed use holds, one a day, by time; none where freezing
    /// is no way.
    pub freezing: Vec<Instant>,
    /// Last moment to put it into the dryer; nothing where drying is no way.
    pub dry_by: Option<Instant>,
    /// For each bake.
    pub bakes: Vec<Fit>,
    /// For each bake what comes of all of it where it is frozen now and taken out for that bake.
    pub thawed: Vec<Option<Thawed>>,
}

/// The windows of every lot.
#[derive(Debug, Clone)]
pub struct Windows {
    /// In the order of the lots.
    pub lots: Vec<LotWindow>,
}

impl Windows {
    /// Whether anything can be frozen. Otherwise what lies in the freezers may stay: they hold it whatever they are said to
    /// take.
    pub fn may_freeze(&self) -> bool {
        self.lots.iter().any(|lot| !lot.freezing.is_empty())
    }

    /// Asks the keeping clock about every lot, state and bake.
    pub fn of(situation: &Situation) -> Self {
        Self {
            lots: situation
                .lots
                .iter()
                .map(|lot| window(situation, lot))
                .collect(),
        }
    }

    /// Adds the window of the last lot of the situation, which is only there from a moment on: before it
    /// nothing can be done about it, and no bake weighs it out.
    pub(super) fn add_arriving(&mut self, situation: &Situation, lot: &Lot, at: Instant) {
        let then = Situation {
            now: at,
            ..situation.clone()
        };
        let mut window = window(&then, lot);
        for (fit, bake) in window.bakes.iter_mut().zip(&situation.bakes) {
            if bake.grain_at < at {
                *fit = Fit::Unfit(Unfit::Date);
            }
        }
        self.lots.push(window);
    }
}

fn window(situation: &Situation, lot: &Lot) -> LotWindow {
    let now = assess_all(
        &lot.histories,
        &situation.rules,
        &situation.zone,
        situation.now,
    );
    let usable = now.verdict.may_be_used();
    let wet = !lot.form.is_dry();
    let frozen = wet && (now.frozen || lot.place_kind == PlaceKind::Freezer);
    let until = now.keep_until.filter(|_| usable);
    let spoils = usable && until.is_some_and(|until| until < situation.end);
    let working_evenings = |until: Option<Instant>| evenings(situation, until);
    // Grain in a warm place is worth freezing only while it may still go back into the cold.
    let to_freeze = match now.advice {
        Some(Advice::BackIntoTheColdBy(by)) => working_evenings(Some(by)),
        _ => working_evenings(until),
    };
    let evenings = working_evenings(until);
    let may_freeze = usable && wet && !frozen && situation.may_freeze();
    let may_dry = usable
        && wet
        && !frozen
        && situation.capacity.dryer_water.get() > 0
        && situation.capacity.dried_moisture < lot.moisture.value;
    let dry_by = may_dry
        .then(|| last_drying(situation, lot, &evenings, until))
        .flatten();
    let mut freeze_by: Option<Instant> = None;
    let mut bakes = Vec::with_capacity(situation.bakes.len());
    for bake in &situation.bakes {
        let drying = situation.capacity.drying + TO_SHOW_DRY;
        let dries = dry_by.is_some_and(|by| by + drying <= bake.grain_at);
        let fit = fit(situation, lot, bake, (usable, frozen, dries), || {
            thaw(
                situation,
                lot,
                bake.grain_at,
                (frozen, may_freeze),
                &to_freeze,
            )
        });
        let (fit, by) = fit;
        if let Some(by) = by {
            freeze_by = Some(freeze_by.map_or(by, |known| known.min(by)));
        }
        bakes.push(fit);
    }
    if may_freeze && freeze_by.is_none() {
        // No bake of the horizon takes it: worth freezing only if it may be used once it is thawed.
        freeze_by = latest_freezing(situation, lot, situation.end, &to_freeze)
            .or_else(|| {
                latest_freezing(situation, lot, first_use_after(situation, lot)?, &to_freeze)
            })
            .map(|(by, _)| by);
    }
    // An earlier evening leaves as many days as the last one, or more.
    let freezing = freeze_by.map_or(Vec::new(), |last| {
        let earlier = to_freeze.iter().copied().filter(|at| *at < last);
        earlier.chain([last]).collect()
    });
    let thawed = if frozen {
        block::thawed(situation, lot, &bakes)
    } else {
        vec![None; bakes.len()]
    };
    LotWindow {
        usable,
        until,
        spoils,
        frozen,
        only_frozen: frozen && now.advice == Some(Advice::StraightFromTheFreezer),
        freezing,
        dry_by,
        bakes,
        thawed,
    }
}

impl LotWindow {
    /// Last moment to freeze it; nothing where freezing is no way.
    pub fn freeze_by(&self) -> Option<Instant> {
        self.freezing.last().copied()
    }
}

/// What the lot can do for the bake, and by when it would have to be frozen for it.
fn fit(
    situation: &Situation,
    lot: &Lot,
    bake: &Bake,
    (usable, frozen, dries): (bool, bool, bool),
    thaw: impl FnOnce() -> Option<(Option<Instant>, Instant)>,
) -> (Fit, Option<Instant>) {
    let unfit = |why| (Fit::Unfit(why), None);
    if bake
        .free_of
        .iter()
        .any(|cereal| cereals::may_hold(lot.grist.as_ref(), cereal))
    {
        return unfit(Unfit::Cereal);
    }
    if bake.colour.is_some_and(|wanted| lot.colour != Some(wanted)) {
        return unfit(Unfit::Colour);
    }
    if !bake.only_of.is_empty() && !bake.only_of.contains(&lot.code) {
        return unfit(Unfit::NotNamed);
    }
    let form_fits = bake.form.is_none_or(|wanted| wanted == lot.form);
    let dried_fits = bake.form.is_none_or(|wanted| wanted == Form::Dried);
    if !(form_fits || dries && dried_fits) {
        return unfit(Unfit::Form);
    }
    if !usable {
        return unfit(Unfit::Date);
    }
    let as_it_lies =
        form_fits && !frozen && verdict_at(situation, &lot.histories, bake.grain_at).may_be_used();
    let thawing = (form_fits && !as_it_lies).then(thaw).flatten();
    let dried = dries && dried_fits && !as_it_lies;
    if !as_it_lies && thawing.is_none() && !dried {
        return unfit(Unfit::Date);
    }
    (
        Fit::Fits {
            as_it_lies,
            thaw_at: thawing.map(|(_, at)| at),
            dried,
        },
        thawing.and_then(|(by, _)| by),
    )
}

pub(super) fn verdict_at(situation: &Situation, histories: &[History], at: Instant) -> Verdict {
    assess_all(histories, &situation.rules, &situation.zone, at).verdict
}

/// By when to freeze, and when to thaw for a bake. Grain in the freezer needs no freezing.
fn thaw(
    situation: &Situation,
    lot: &Lot,
    grain_at: Instant,
    (frozen, may_freeze): (bool, bool),
    evenings: &[Instant],
) -> Option<(Option<Instant>, Instant)> {
    if may_freeze {
        return latest_freezing(situation, lot, grain_at, evenings).map(|(by, at)| (Some(by), at));
    }
    if !frozen {
        return None;
    }
    let at = thaw_at(situation, lot, grain_at)?;
    let thawed = then(&lot.histories, at, into_fridge(situation));
    verdict_at(situation, &thawed, grain_at)
        .may_be_used()
        .then_some((None, at))
}

/// Grain is wholly frozen after this, judgement: thawed earlier, nothing would be won by freezing it.
pub const FREEZING: Duration = Duration::days(1);

/// The last moment at which freezing still leaves grain, thawed by `grain_at`, good then.
fn latest_freezing(
    situation: &Situation,
    lot: &Lot,
    grain_at: Instant,
    evenings: &[Instant],
) -> Option<(Instant, Instant)> {
    let at = thaw_at(situation, lot, grain_at)?;
    let latest = at - FREEZING;
    let zone = &situation.zone;
    evenings
        .iter()
        .rev()
        // On the last day itself earlier than in the evening, where that is what it takes.
        .filter(|evening| zone.date(**evening) <= zone.date(latest))
        .map(|evening| (*evening).min(latest))
        .filter(|by| *by >= situation.now)
        .find(|by| {
            let frozen = then(&lot.histories, *by, into_freezer(situation));
            let thawed = then(&frozen, at, into_fridge(situation));
            verdict_at(situation, &thawed, grain_at).may_be_used()
        })
        .map(|by| (by, at))
}

/// The first moment after the plan by which grain is thawed that is taken out while somebody is there, where that is
/// not its end: a plan may end on a day off.
fn first_use_after(situation: &Situation, lot: &Lot) -> Option<Instant> {
    let (zone, capacity) = (&situation.zone, &situation.capacity);
    let out = first_taken_out(zone, capacity, situation.end - lot.thaw_lead)?;
    Some(out + lot.thaw_lead).filter(|at| *at > situation.end)
}

/// Time to measure that grain came out of the dryer as dry as is aimed for: our choice.
pub const TO_SHOW_DRY: Duration = Duration::minutes(30);

/// The last moment at which drying may begin: in the evening of a working day, or on that day as much earlier as
/// it takes for the grain to be dry, and shown to be, while it is still good.
fn last_drying(
    situation: &Situation,
    lot: &Lot,
    evenings: &[Instant],
    until: Option<Instant>,
) -> Option<Instant> {
    let zone = &situation.zone;
    let in_time = until.map(|until| until - situation.capacity.drying - TO_SHOW_DRY);
    evenings
        .iter()
        .rev()
        .map(|evening| match in_time {
            Some(in_time) if zone.date(in_time) == zone.date(*evening) => in_time.min(*evening),
            _ => *evening,
        })
        .filter(|at| *at >= situation.now && in_time.is_none_or(|in_time| *at <= in_time))
        .find(|at| survives_drying(situation, lot, *at))
}

/// When to take grain out of the freezer, where that is still to come and a fridge is there to thaw it in.
fn thaw_at(situation: &Situation, lot: &Lot, grain_at: Instant) -> Option<Instant> {
    let house = (&situation.zone, &situation.capacity);
    still_taken_out_at(house, lot.thaw_lead, grain_at, situation.now)
        .filter(|_| situation.capacity.has_fridge)
}

/// Whether a lot put into the dryer at `at` is still good when the time in the dryer is over.
fn survives_drying(situation: &Situation, lot: &Lot, at: Instant) -> bool {
    let capacity = &situation.capacity;
    let out = at + capacity.drying;
    let rules = (&situation.rules, &situation.zone);
    dried(&lot.histories, rules, (at, out), capacity.dryer_at)
        .is_some_and(|dry| verdict_at(situation, &dry, situation.end.max(out)).may_be_used())
}

/// Histories of grain that lies in the dryer for a time and comes out dry; nothing where it is not good until then.
///
/// Grain in a dryer is warm until it is dry, so that time counts like any other warm time. That it comes out
/// as dry as is aimed for is taken for granted here; the book asks for a measurement before it is used.
pub fn dried(
    histories: &[History],
    (rules, zone): (&RuleSet, &Zone),
    (at, out): (Instant, Instant),
    dryer_at: Temperature,
) -> Option<Vec<History>> {
    let warm = What::Handled {
        until: out,
        stated: dryer_at,
    };
    let handled = then(histories, at, warm);
    // At its end the lot would be back in the cold after too long, were it not dry by then.
    let last = out - Duration::seconds(1);
    if !assess_all(&handled, rules, zone, last)
        .verdict
        .may_be_used()
    {
        return None;
    }
    let dried = then(&handled, out, What::Dried);
    let aim = What::Activity(rules.dried.activity_aim);
    Some(then(&dried, out, aim))
}

fn into_freezer(situation: &Situation) -> What {
    What::Placed {
        kind: PlaceKind::Freezer,
        stated: situation.capacity.freezer_at,
    }
}

/// What puts grain into a fridge of the house.
pub fn into_fridge(situation: &Situation) -> What {
    What::Placed {
        kind: PlaceKind::Fridge,
        stated: situation.capacity.fridge_at,
    }
}

/// Histories with one more thing in each.
pub fn then(histories: &[History], at: Instant, what: What) -> Vec<History> {
    histories
        .iter()
        .map(|history| history.then(at, what.clone()))
        .collect()
}
