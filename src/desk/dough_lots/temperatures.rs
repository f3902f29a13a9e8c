//! How warm the lots of a dough are, by the places that they lie in.

use super::LotsInDough;
use crate::desk::dough_temperatures::KnownTemperatures;
use crate::desk::{fit_places, thawing};
use crate::dough::batch::warmth::LotTemperature;
use crate::dough::house::House;
use crate::keeping::PlaceKind;
use crate::ledger::About;
use crate::quantity::{Instant, Length, Temperature};
use crate::report::LotAnswer;

impl LotsInDough {
    /// What is known of temperatures without anybody typing it.
    pub fn known(&self, house: &House) -> KnownTemperatures {
        self.known_with(house, |answer| self.stated_temperature(answer))
    }

    /// The same of a dough that weighs its grain out at a moment. What comes out of the freezer for it lies in the fridge by
    /// then, and what is still to be dried in the dry store.
    pub fn known_by(&self, about: &About, house: &House, grain_at: Instant) -> KnownTemperatures {
        let (fit, _) = fit_places::of(&self.places, &about.rules, grain_at);
        let fridge = fit.fridges.first().map(|fridge| fridge.at);
        let dry_store = || {
            let store = fit_places::dry_store(&self.places, grain_at)?;
            Some(store.setting_at(grain_at).stated)
        };
        let house_and_zone = (&house.work, &about.zone);
        self.known_with(house, |answer| {
            if thawing::is_thawed_for(answer, house_and_zone, grain_at) && fridge.is_some() {
                fridge
            } else if answer.place.is_none() && answer.lot.form.is_dry() {
                dry_store()
            } else {
                self.stated_temperature(answer)
            }
        })
    }

    fn known_with(
        &self,
        house: &House,
        temperature: impl Fn(&LotAnswer) -> Option<Temperature>,
    ) -> KnownTemperatures {
        let grain: Option<Vec<LotTemperature>> = self
            .draws()
            .map(|(answer, wet)| {
                Some(LotTemperature {
                    wet,
                    moisture: answer.estimate.wet_basis(),
                    celsius: temperature(answer)?.degrees_celsius(),
                })
            })
            .collect();
        KnownTemperatures {
            tap: house.tap,
            room: house.room,
            grain: grain.unwrap_or_default(),
            thaw: house.work.thaw.of(self.thickest()),
        }
    }

    /// How thick the thickest of them lies, where that was stated.
    fn thickest(&self) -> Option<Length> {
        let stated = self.answers.iter().filter_map(|answer| answer.depth);
        stated.reduce(|thick, other| {
            if other.metres() > thick.metres() {
                other
            } else {
                thick
            }
        })
    }

    /// What the place states that a lot lies in.
    fn stated_temperature(&self, answer: &LotAnswer) -> Option<Temperature> {
        let (name, _): &(String, PlaceKind) = answer.place.as_ref()?;
        let place = self.places.iter().find(|place| place.name == *name)?;
        Some(place.setting_at(answer.as_of).stated)
    }
}
