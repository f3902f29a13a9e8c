//! What a plan says of the places that it counts on, and of those that it does not.

use super::Words;
use super::freezer::{are_apart, into_places};
use crate::planning::plan::{Fate, Work};
use crate::planning::reason::lacks_room;
use crate::render::times;

impl Words<'_> {
    /// Places that are not used, full or split over.
    pub(super) fn place_notes(&self) -> Vec<String> {
        let ground = &self.answer.ground;
        let situation = &ground.situation;
        let mut notes = Vec::new();
        for place in &ground.unfit_places {
            notes.push(format!(
                "{} is not used: it is stated at {}, and may be {} at most.",
                place.name,
                self.units.temperature(place.at),
                self.units.temperature(place.limit.in_celsius())
            ));
        }
        if !situation.capacity.has_fridge && situation.lots.iter().any(|lot| !lot.form.is_dry()) {
            notes.push(format!(
                "No fridge is cold enough, so nothing is thawed for a bake and nothing is frozen. State a fridge at {} or less{}, then plan again.",
                self.units.temperature(situation.rules.cold.limit.in_celsius()),
                self.typed("draff place change NAME --temp TEMPERATURE")
            ));
        }
        let mut frozen = self
            .answer
            .plan
            .actions
            .iter()
            .filter(|action| action.work == Work::Freeze)
            .peekable();
        // What goes into bakes, or could not be frozen anyway, needs no room.
        let mut spoils = self.answer.plan.left.iter().filter(|left| {
            let is_worth_it = left.wet >= situation.capacity.portion;
            left.fate == Fate::Spoils && !left.thawed && is_worth_it
        });
        if frozen.peek().is_none()
            && situation.are_freezers_full()
            && spoils.any(|left| lacks_room(situation, left.lot))
        {
            let held = if situation.may_freeze() {
                "what"
            } else {
                "more than"
            };
            notes.push(format!(
                "Nothing more is frozen: the freezers already hold {held} they take."
            ));
        }
        for action in frozen {
            let portions = self.portions(action);
            if are_apart(&portions) {
                let places = into_places(&portions).unwrap_or_default();
                notes.push(format!(
                    "No one freezer has room for all of {} that is frozen: it is split over {places}.",
                    self.code(action.lot)
                ));
            }
        }
        if let Some(crowded) = &self.answer.crowded {
            notes.push(format!(
                "{} would hold {} on {}, and takes {}.",
                crowded.place,
                self.units.weighed(crowded.holds),
                times::date(crowded.day, self.zone.date(situation.now)),
                self.units.weighed(crowded.takes)
            ));
        }
        notes
    }
}
