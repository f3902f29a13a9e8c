//! What freezers and the dryer take, day by day.

use super::Walk;
use crate::keeping::PlaceKind;
use crate::planning::plan::{Action, Work};
use crate::planning::problem::Lot;
use crate::planning::windows::State;

impl Walk<'_> {
    /// The freezers hold no more than they take, apart from those that hold more now.
    pub(super) fn freezer(&mut self) {
        let situation = self.situation;
        let work = |work: Work| {
            self.plan
                .actions
                .iter()
                .filter(move |action| action.work == work)
        };
        if !situation.capacity.has_freezer && work(Work::Freeze).next().is_some() {
            self.say("there is no freezer to freeze in".to_owned());
        }
        let Some(room) = situation.capacity.freezer else {
            return;
        };
        // Nothing goes into a freezer that is too warm, closed or overfull, and what comes out of it makes no room.
        let capacity = &situation.capacity;
        let is_named = |lot: &Lot| {
            let mut freezers = capacity.places.freezers.iter();
            freezers.any(|place| place.name == lot.place)
        };
        let counts = |lot: &Lot| {
            let is_counted = is_named(lot) && !capacity.overfull.contains(&lot.place);
            is_counted || capacity.places.freezers.is_empty()
        };
        let in_freezer = |lot: &Lot| lot.place_kind == PlaceKind::Freezer && counts(lot);
        let was_frozen =
            |action: &&Action| situation.lots[action.lot].place_kind != PlaceKind::Freezer;
        let now: i64 = situation
            .lots
            .iter()
            .filter(|lot| in_freezer(lot))
            .map(|lot| lot.wet.get())
            .sum();
        if now > room.get() && work(Work::Freeze).next().is_some() {
            self.say("more is frozen although the freezers hold more than they take".to_owned());
        }
        let zone = &situation.zone;
        for day in zone
            .date(situation.now)
            .iter_days()
            .take_while(|day| *day <= zone.date(situation.end))
        {
            let by_then = |actions: &mut dyn Iterator<Item = &Action>| -> i64 {
                actions
                    .filter(|action| zone.date(action.by) <= day)
                    .map(|action| action.wet.get())
                    .sum()
            };
            // A block that lies in a freezer comes out whole, for the first of its bakes.
            let blocks: i64 = situation
                .lots
                .iter()
                .enumerate()
                .filter(|(index, lot)| {
                    let mut outs = work(Work::Thaw).filter(|action| action.lot == *index);
                    in_freezer(lot) && outs.any(|action| zone.date(action.by) <= day)
                })
                .map(|(_, lot)| lot.wet.get())
                .sum();
            let straight: i64 = self
                .plan
                .bakes
                .iter()
                .zip(&situation.bakes)
                .filter(|(_, bake)| zone.date(bake.mix) <= day)
                .flat_map(|(planned, _)| &planned.draws)
                .filter(|draw| {
                    draw.state == State::AsItLies && in_freezer(&situation.lots[draw.lot])
                })
                .map(|draw| draw.wet.get())
                .sum();
            let stock = now + by_then(&mut work(Work::Freeze))
                - by_then(&mut work(Work::Thaw).filter(was_frozen))
                - blocks
                - straight;
            if stock > room.get().max(now) {
                self.say(format!("{day}: {stock} mg are more than the freezers take"));
            }
        }
    }

    /// On no day more water than the dryer takes out, and nothing on a day on which nobody is there.
    pub(super) fn dryer(&mut self) {
        let situation = self.situation;
        let zone = &situation.zone;
        let capacity = &situation.capacity;
        for day in zone
            .date(situation.now)
            .iter_days()
            .take_while(|day| *day <= zone.date(situation.end))
        {
            let today: Vec<&Action> = self
                .plan
                .actions
                .iter()
                .filter(|action| zone.date(action.by) == day)
                .collect();
            let water: f64 = today
                .iter()
                .filter(|action| action.work == Work::Dry)
                .map(|action| {
                    let dry = situation.lots[action.lot]
                        .dry(action.wet, situation.careful)
                        .get() as f64;
                    action.wet.get() as f64 - dry / (1.0 - capacity.dried_moisture)
                })
                .sum();
            if water > capacity.dryer_water.get() as f64 {
                self.say(format!(
                    "{day}: {water:.0} mg of water are more than the dryer takes"
                ));
            }
            if capacity.hands_off.contains(&day) && !today.is_empty() {
                self.say(format!("{day}: nobody is there to freeze, dry or thaw"));
            }
        }
    }
}
