//! Places that a plan and its jobs may bring grain to: those that the rules let hold it frozen, cold or dry.

use crate::grain::LotCode;
use crate::keeping::{PlaceKind, RuleSet};
use crate::ledger::{PlaceRecord, View};
use crate::planning::places::{self, Job, Part, Places};
use crate::planning::problem::Place;
use crate::quantity::Instant;
use crate::quantity::temperature::Limit;
use crate::report::plan::UnfitPlace;

/// The open ones that are cold enough, and the freezers and fridges that are too warm.
pub fn of(places: &[PlaceRecord], rules: &RuleSet, now: Instant) -> (Places, Vec<UnfitPlace>) {
    let mut unfit = Vec::new();
    let mut of_kind = |kind: PlaceKind, limit: Limit| -> Vec<Place> {
        let mut fit = Vec::new();
        for place in places {
            let setting = place.setting_at(now);
            if setting.kind != kind || place.is_closed() {
                continue;
            }
            if limit.at_or_below(setting.stated) {
                fit.push(Place {
                    name: place.name.clone(),
                    at: setting.stated,
                    takes: setting.capacity,
                });
            } else {
                unfit.push(UnfitPlace {
                    name: place.name.clone(),
                    at: setting.stated,
                    limit,
                });
            }
        }
        // Of places that are alike the one that was made first.
        fit.sort_by_key(|place| place.at.milli_celsius());
        fit
    };
    let freezers = of_kind(PlaceKind::Freezer, rules.frozen.limit);
    let fridges = of_kind(PlaceKind::Fridge, rules.cold.limit);
    let fit = Places {
        freezers,
        fridges,
        dry_store: dry_store(places, now).map(|place| place.name.clone()),
    };
    (fit, unfit)
}

/// Which place each job brings its grain to: by the same rule as in a plan, among the places that are fit now, with the grain
/// that lies there now.
pub fn deal(view: View<'_>, jobs: &[Job<LotCode>], now: Instant) -> anyhow::Result<Vec<Vec<Part>>> {
    if jobs.is_empty() {
        return Ok(Vec::new());
    }
    let (about, on_hand) = (view.about(), view.on_hand(now)?);
    let (fit, _) = of(&view.places()?, &about.rules, now);
    let lies = on_hand
        .iter()
        .map(|held| (held.lot.code, held.place.as_str(), held.wet));
    let step = view.house()?.work.step;
    Ok(places::deal(&fit, lies, jobs, (&about.zone, step)))
}

/// Name of the fridge that grain thaws in, where one is cold enough.
pub fn fridge(view: View<'_>, at: Instant) -> anyhow::Result<Option<String>> {
    let (fit, _) = of(&view.places()?, &view.about().rules, at);
    Ok(fit.fridges.into_iter().next().map(|place| place.name))
}

/// The first dry store that takes grain of a moment.
pub fn dry_store(places: &[PlaceRecord], at: Instant) -> Option<&PlaceRecord> {
    places.iter().find(|place| {
        place.closed_to(at).is_none() && place.setting_at(at).kind == PlaceKind::DryStore
    })
}
