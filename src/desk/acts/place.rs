//! Adds a place where lots are kept, or states anew what it is.

use crate::desk::draws::OutflowsBefore;
use crate::desk::guard::{self, Compare};
use crate::desk::{Answer, Desk, Notice, Refusal};
use crate::keeping::{PlaceKind, Probe};
use crate::ledger::{self, Act, PlaceRecord, PlaceSetting};
use crate::quantity::{Instant, Length, Milligrams, Temperature};
use crate::report::Caution;

/// What a place is stated to be; what is left out is as before, or as usual for its kind.
pub struct StatePlace<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its kind.
    pub kind: Option<PlaceKind>,
    /// The temperature that it is stated to hold.
    pub temp: Option<Temperature>,
    /// How much wet grain it takes.
    pub capacity: Option<Milligrams>,
    /// What the probe of its logger measures.
    pub probe: Option<Probe>,
    /// How thick grain lies there.
    pub depth: Option<Length>,
    /// From when on.
    pub from: Instant,
}

/// The kind of a place to add, which nobody but its owner knows.
pub fn kind_of_new_place(name: &str, kind: Option<PlaceKind>) -> Result<PlaceKind, Refusal> {
    kind.ok_or_else(|| Refusal::PlaceKindUnsaid(name.to_owned()))
}

/// Nobody adds a place in order to close it.
fn to_close(error: anyhow::Error) -> anyhow::Error {
    match Refusal::of(&error) {
        Some(Refusal::Book(ledger::BookRefusal::NoPlace { name, known })) => {
            Refusal::NoPlaceToClose { name, known }.into()
        }
        _ => error,
    }
}

impl Desk {
    /// Adds a place of a stated kind.
    pub fn add_place(
        &mut self,
        request: &StatePlace<'_>,
    ) -> anyhow::Result<Answer<Vec<PlaceRecord>>> {
        let kind = kind_of_new_place(request.name, request.kind)?;
        let setting = PlaceSetting {
            from: request.from,
            kind,
            stated: request.temp.unwrap_or_else(|| kind.usual_temperature()),
            capacity: request.capacity,
            probe: Some(request.probe.unwrap_or(Probe::Air)),
            depth: request.depth,
            closed: false,
        };
        self.act(Compare::Nothing, |act| {
            act.add_place(request.name, &setting)
        })?;
        let is_room = matches!(kind, PlaceKind::Ambient | PlaceKind::Fridge);
        let gas = is_room.then_some(Caution::Gas);
        Ok(self
            .places()?
            .with_cautions(gas)
            .with_notices(self.too_warm(request.name, kind, setting.stated)))
    }

    /// States anew what a place is.
    ///
    /// # Errors
    ///
    /// [`crate::desk::Refusal::WouldMakeUsable`] where what is said of its logger or of the grain there would make
    /// grain usable that was past or unknown. [`crate::desk::Refusal::WouldUnmark`] where grain that was past when it left
    /// would not have been.
    pub fn change_place(
        &mut self,
        request: &StatePlace<'_>,
    ) -> anyhow::Result<Answer<Vec<PlaceRecord>>> {
        let now = self.now();
        let about_grain = request.probe.is_some() || request.depth.is_some();
        let work = |act: &mut Act<'_>| {
            let now = guard::judged_as_of(act.view(), now)?;
            let place = act.view().place(request.name)?;
            // How thick grain lies bears on all that was measured of its place.
            let from = match about_grain {
                true => Instant::UNIX_EPOCH,
                false => request.from,
            };
            let gone_out = match from < now {
                true => Some(OutflowsBefore::of_place(act.view(), &place, (from, now))?),
                false => None,
            };
            let before = place.setting_at(request.from);
            let kind = request.kind.unwrap_or(before.kind);
            let usual = if kind == before.kind {
                before.stated
            } else {
                kind.usual_temperature()
            };
            let setting = PlaceSetting {
                from: request.from,
                kind,
                stated: request.temp.unwrap_or(usual),
                capacity: request.capacity.or(before.capacity),
                probe: request.probe.or(before.probe),
                depth: request.depth.or(before.depth),
                closed: false,
            };
            act.change_place(&place, &setting)?;
            Ok((setting, gone_out))
        };
        let ((told, setting), lacking) =
            self.act_on_every_lot(work, |act, (setting, gone_out), before, after| {
                if about_grain {
                    guard::refuse_made_usable(before, after)?;
                }
                let mut told = guard::judged_otherwise(before, after, None);
                if let Some(gone_out) = gone_out {
                    let marks = gone_out.marks_of_past_kept(act.view())?;
                    told.extend(marks.notices());
                }
                Ok((told, setting))
            })?;
        Ok(self
            .places()?
            .with_notices(lacking)
            .with_notices(told)
            .with_notices(self.too_warm(request.name, setting.kind, setting.stated)))
    }

    /// Whether a place is stated to be too warm for what its kind is there for.
    fn too_warm(&self, name: &str, kind: PlaceKind, stated: Temperature) -> Option<Notice> {
        let rules = &self.about().rules;
        let limit = match kind {
            PlaceKind::Fridge => rules.cold.limit,
            PlaceKind::Freezer => rules.frozen.limit,
            PlaceKind::HotHold | PlaceKind::Ambient | PlaceKind::DryStore => {
                return None;
            }
        };
        (!limit.at_or_below(stated)).then(|| Notice::PlaceTooWarm {
            place: name.to_owned(),
            kind,
            stated,
            limit,
        })
    }

    /// Closes a place from a moment on: it takes no grain, and no plan counts on it. What lay there stays in the book.
    pub fn close_place(
        &mut self,
        name: &str,
        from: Instant,
    ) -> anyhow::Result<Answer<Vec<PlaceRecord>>> {
        self.act(Compare::Promises, |act| {
            let place = act.view().open_place(name, from).map_err(to_close)?;
            act.refuse_grain_in(&place)?;
            act.refuse_grain_since(&place, from)?;
            let setting = PlaceSetting {
                from,
                closed: true,
                ..*place.setting_at(from)
            };
            act.change_place(&place, &setting)
        })?;
        self.places()
    }

    /// The places where lots are kept, closed ones too.
    pub fn places(&self) -> anyhow::Result<Answer<Vec<PlaceRecord>>> {
        Ok(Answer::new(self.view().places()?, Vec::new()))
    }
}
