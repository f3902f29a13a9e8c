//! Walks through a finished plan without trusting what made it.
//!
//! Shares no code with the model, the search or the windows: it continues each lot's history with what the
//! plan says is done to it and asks the keeping clock again, and it adds up whole milligrams. What it finds
//! is a fault of the planner, so a plan with findings is not shown.

use super::plan::{Fate, Plan, Work};
use super::problem::{Bake, Lot, Situation};
use super::windows::State;
use crate::grain::cereals;
use crate::keeping::{History, PlaceKind, What, assess_all};
use crate::quantity::{Instant, Milligrams};

mod rests;
mod stores;

/// Every way in which the plan breaks what it must keep to.
pub fn findings(situation: &Situation, plan: &Plan) -> Vec<String> {
    let mut walk = Walk {
        situation,
        plan,
        found: Vec::new(),
    };
    for (index, bake) in situation.bakes.iter().enumerate() {
        walk.bake(index, bake);
    }
    for (index, lot) in situation.lots.iter().enumerate() {
        walk.lot(index, lot);
    }
    walk.freezer();
    walk.dryer();
    walk.promises();
    walk.aims();
    walk.rests();
    walk.found
}

struct Walk<'a> {
    situation: &'a Situation,
    plan: &'a Plan,
    found: Vec<String>,
}

impl Walk<'_> {
    fn say(&mut self, finding: String) {
        self.found.push(finding);
    }

    fn bake(&mut self, index: usize, bake: &Bake) {
        let step = self.situation.capacity.step.get();
        let planned = self.plan.bakes[index].clone();
        let mut dry = 0;
        let mut lots: Vec<usize> = planned.draws.iter().map(|draw| draw.lot).collect();
        lots.sort_unstable();
        lots.dedup();
        for draw in &planned.draws {
            let lot = &self.situation.lots[draw.lot];
            dry += draw.dry.get();
            if draw.wet.get() <= 0 || draw.wet.get() % step != 0 {
                self.say(format!(
                    "{}: {} mg of {} is no whole scale step",
                    bake.code,
                    draw.wet.get(),
                    lot.code
                ));
            }
            if draw.dry != lot.dry(draw.wet, self.situation.careful) {
                self.say(format!(
                    "{}: dry grain of {} is not that of its wet grain",
                    bake.code, lot.code
                ));
            }
            self.fits(bake, lot, draw.state);
            self.in_date(index, bake, draw.lot, draw.state);
        }
        for lot in &lots {
            let wet: i64 = planned
                .draws
                .iter()
                .filter(|draw| draw.lot == *lot)
                .map(|draw| draw.wet.get())
                .sum();
            if wet < self.situation.capacity.portion.get() - step {
                self.say(format!(
                    "{}: {wet} mg of one lot is too little to weigh",
                    bake.code
                ));
            }
        }
        if dry != planned.dry.get() {
            self.say(format!(
                "{}: dry grain is {dry} mg, said are {}",
                bake.code,
                planned.dry.get()
            ));
        }
        if bake.most_lots.is_some_and(|most| lots.len() > most) {
            self.say(format!(
                "{}: {} lots are more than it may have",
                bake.code,
                lots.len()
            ));
        }
        if dry > bake.highest.get() + step {
            self.say(format!(
                "{}: {dry} mg dry grain are more than its highest",
                bake.code
            ));
        }
        if let Some(room) = bake.water {
            let brought: f64 = planned
                .draws
                .iter()
                .map(|draw| {
                    let (wet, dry) = (draw.wet.get() as f64, draw.dry.get() as f64);
                    let capacity = &self.situation.capacity;
                    match draw.state {
                        State::Dried => room.water(dry / (1.0 - capacity.dried_moisture), dry),
                        State::AsItLies | State::Thawed => {
                            let lot = &self.situation.lots[draw.lot];
                            room.water(wet, wet * lot.dry_fraction(false))
                        }
                    }
                })
                .sum();
            if brought > (room.most.get() + step) as f64 {
                self.say(format!(
                    "{}: its grain brings {brought:.0} mg of water, the dough takes {}",
                    bake.code,
                    room.most.get()
                ));
            }
        }
        let lacks = bake.lowest.get() - dry;
        if bake.firm {
            let short = if lacks > step { lacks } else { 0 };
            if !planned.happens || planned.short.get() != short {
                self.say(format!(
                    "{}: lacks {short} mg, said are {}",
                    bake.code,
                    planned.short.get()
                ));
            }
        } else if planned.happens && lacks > step {
            self.say(format!("{}: an optional bake lacks {lacks} mg", bake.code));
        } else if !planned.happens && dry != 0 {
            self.say(format!("{}: is not baked and gets grain", bake.code));
        }
    }

    fn fits(&mut self, bake: &Bake, lot: &Lot, state: State) {
        let form_fits = match (bake.form, state) {
            (None, _) => true,
            (Some(form), State::Dried) => form.as_str() == "dried",
            (Some(form), _) => form == lot.form,
        };
        let colour_fits = bake.colour.is_none() || bake.colour == lot.colour;
        let is_free = bake
            .free_of
            .iter()
            .all(|cereal| !cereals::may_hold(lot.grist.as_ref(), cereal));
        let is_named = bake.only_of.is_empty() || bake.only_of.contains(&lot.code);
        if !(form_fits && colour_fits && is_free && is_named) {
            self.say(format!(
                "{}: {} has the wrong form, colour or cereal, or is another lot than it is to be made of",
                bake.code, lot.code
            ));
        }
    }

    /// The grain may be used when it is weighed out, after all that the plan has done to it by then.
    fn in_date(&mut self, index: usize, bake: &Bake, at: usize, state: State) {
        let situation = self.situation;
        let lot = &situation.lots[at];
        let mut done: Vec<(Instant, What)> = Vec::new();
        let mut then = |at: Instant, what: What| done.push((at, what));
        let capacity = &situation.capacity;
        let work = |work: Work| {
            let actions = self.plan.actions.iter();
            actions.filter(move |action| action.lot == at && action.work == work)
        };
        let placed = |kind, stated| What::Placed { kind, stated };
        let mut said = true;
        let lies_frozen = lot.place_kind == PlaceKind::Freezer && !lot.form.is_dry();
        match state {
            // A frozen block makes no dough: no water is hot enough for it.
            State::AsItLies => said = !lies_frozen,
            State::Thawed => {
                let latest = work(Work::Freeze).map(|action| action.by).max();
                let thawed = work(Work::Thaw).find(|action| action.bake == Some(index));
                match (latest, lot.place_kind == PlaceKind::Freezer) {
                    (Some(by), false) => then(by, placed(PlaceKind::Freezer, capacity.freezer_at)),
                    (None, true) => {}
                    _ => said = false,
                }
                match thawed {
                    Some(action) => {
                        then(action.by, placed(PlaceKind::Fridge, capacity.fridge_at));
                        said &= capacity.has_fridge
                            && latest.is_none_or(|by| by < action.by)
                            && action.by + lot.thaw_lead <= bake.grain_at;
                    }
                    None => said = false,
                }
            }
            State::Dried => match work(Work::Dry).map(|action| action.by).max() {
                Some(by) => {
                    let until = by + capacity.drying;
                    let stated = capacity.dryer_at;
                    then(by, What::Handled { until, stated });
                    then(until, What::Dried);
                    then(until, What::Activity(situation.rules.dried.activity_aim));
                    said &= until <= bake.grain_at;
                }
                None => said = false,
            },
        }
        let histories: Vec<History> = lot
            .histories
            .iter()
            .map(|history| {
                done.iter().fold(history.clone(), |history, (at, what)| {
                    history.then(*at, what.clone())
                })
            })
            .collect();
        if !said {
            self.say(format!(
                "{}: nothing brings {} into its state in time",
                bake.code, lot.code
            ));
        }
        let at = bake.grain_at;
        let verdict = assess_all(&histories, &situation.rules, &situation.zone, at).verdict;
        if !verdict.may_be_used() {
            self.say(format!(
                "{}: {} is {verdict} when it is weighed out",
                bake.code, lot.code
            ));
        }
    }

    /// What is drawn and what is left of a lot is what there is, and its work fits to both.
    fn lot(&mut self, index: usize, lot: &Lot) {
        let drawn = |states: &[State]| -> i64 {
            let draws = self.plan.bakes.iter().flat_map(|bake| &bake.draws);
            draws
                .filter(|draw| draw.lot == index && states.contains(&draw.state))
                .map(|draw| draw.wet.get())
                .sum()
        };
        let left = |fates: &[Fate]| -> i64 {
            let left = self.plan.left.iter();
            left.filter(|left| left.lot == index && fates.contains(&left.fate))
                .map(|left| left.wet.get())
                .sum()
        };
        let worked = |work: Work| -> i64 {
            let actions = self.plan.actions.iter();
            actions
                .filter(|action| action.lot == index && action.work == work)
                .map(|action| action.wet.get())
                .sum()
        };
        let every = [
            Fate::Spoils,
            Fate::Keeps,
            Fate::OnlyFrozen,
            Fate::Frozen,
            Fate::Dried,
            Fate::Unusable,
        ];
        let all = drawn(&State::ALL) + left(&every);
        let in_freezer = lot.place_kind == PlaceKind::Freezer;
        let frozen = if in_freezer {
            0
        } else {
            drawn(&[State::Thawed]) + left(&[Fate::Frozen])
        };
        let sums = [
            ("what is drawn and left", all, lot.wet.get()),
            ("what is frozen", worked(Work::Freeze), frozen),
            (
                "what is dried",
                worked(Work::Dry),
                drawn(&[State::Dried]) + left(&[Fate::Dried]),
            ),
            (
                "what is thawed",
                worked(Work::Thaw),
                drawn(&[State::Thawed]),
            ),
        ];
        // Jobs for no bake that nobody would do.
        for (fate, work) in [(Fate::Frozen, Work::Freeze), (Fate::Dried, Work::Dry)] {
            let least = self.situation.capacity.portion.get();
            if left(&[fate]) > 0 && worked(work) < least {
                self.say(format!("{}: less is kept than is worth it", lot.code));
            }
        }
        for (what, found, expected) in sums {
            if found != expected {
                self.say(format!(
                    "{}: {what} is {found} mg and not {expected}",
                    lot.code
                ));
            }
        }
    }

    /// What was promised is given, or the plan says that it is not.
    fn promises(&mut self) {
        let situation = self.situation;
        for promised in &situation.promised {
            let draws = self.plan.bakes[promised.bake].draws.iter();
            let given: i64 = draws
                .filter(|draw| draw.lot == promised.lot)
                .map(|draw| draw.wet.get())
                .sum();
            let lacks = promised.wet.get() - given >= situation.capacity.step.get();
            let broken = self.plan.broken.iter();
            let is_said = broken
                .filter(|broken| (broken.lot, broken.bake) == (promised.lot, promised.bake))
                .any(|broken| broken.given.get() == given);
            if lacks != is_said {
                self.say(format!(
                    "{}: what it lacks of its promise is not what the plan says",
                    situation.bakes[promised.bake].code
                ));
            }
        }
    }

    fn aims(&mut self) {
        let sum = |masses: &mut dyn Iterator<Item = Milligrams>| -> i64 {
            masses.map(Milligrams::get).sum()
        };
        let plan = self.plan;
        let left = |fate: Fate| plan.left.iter().filter(move |left| left.fate == fate);
        let short = sum(&mut plan.bakes.iter().map(|bake| bake.short));
        let spoiled = sum(&mut left(Fate::Spoils).map(|left| left.dry));
        if short != plan.aims.short.get() || spoiled != plan.aims.spoiled.get() {
            self.say(format!(
                "short {short} mg and spoiled {spoiled} mg are not what the plan says"
            ));
        }
    }
}
