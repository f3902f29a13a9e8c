//! Moves a lot, or a part of it that becomes a lot of its own with the same history.

use super::written_twice;
use crate::desk::draws::OutflowsBefore;
use crate::desk::facts::FactFinder;
use crate::desk::{Answer, Desk, Notice, guard, thawing};
use crate::quantity::{Instant, Milligrams};
use crate::report::{Caution, LotAnswer};

/// What is moved where.
pub struct MoveLot<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// How much wet grain; nothing for all that is left.
    pub wet: Option<Milligrams>,
    /// The place it goes to.
    pub to: &'a str,
    /// When.
    pub at: Instant,
    /// A note.
    pub note: Option<&'a str>,
}

impl Desk {
    /// Moves grain.
    pub fn move_lot(&mut self, request: &MoveLot<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let now = self.now;
        let (lot, told, lacking) = self.act_on_lot(request.lot, |act, lot| {
            let now = guard::judged_as_of(act.view(), now)?;
            let before = guard::judge(act.view(), &lot, now)?;
            let gone_out = match request.at < now {
                true => Some(OutflowsBefore::of(act.view(), vec![lot.clone()])?),
                false => None,
            };
            let place = act.view().open_place(request.to, request.at)?;
            let left = act.view().left(&lot)?;
            let mut told = Vec::new();
            let moved = match request.wet {
                Some(wet) if Some(wet) != left => {
                    let part = act.move_part(&lot, request.at, wet, &place, request.note)?;
                    told.push(Notice::PartMoved {
                        lot: lot.code,
                        left: act.view().left(&lot)?,
                        part: part.code,
                        moved: wet,
                    });
                    told.extend(written_twice(act.view(), &[act.view().last_entry()?])?);
                    part
                }
                _ => {
                    act.move_all(&lot, request.at, &place, request.note)?;
                    lot
                }
            };
            let after = guard::judge(act.view(), &moved, now)?;
            told.extend(guard::tickets_untrue(&before, &after));
            if let Some(gone_out) = gone_out {
                let marks = gone_out.marks_of_past_kept(act.view())?;
                told.extend(marks.notices());
            }
            Ok((moved, told))
        })?;
        let frozen = thawing::of_frozen(self.view(), std::slice::from_ref(&lot), now)?;
        let answer = self.lot_after(lot, lacking)?;
        let heavy = Caution::of_weight(answer.answer.wet);
        // Hot grain counts as frozen only later.
        let is_to_freeze = !answer.answer.lot.form.is_dry()
            && thawing::lies_in_freezer(answer.answer.place.as_ref());
        let airtight = is_to_freeze.then_some(Caution::AirtightPacks);
        Ok(answer
            .with_cautions(heavy.into_iter().chain(airtight))
            .with_notices(told)
            .with_notices(frozen)
            .with_notices(self.overfull(request.to)?))
    }

    /// Whether a place holds more by now than it is said to take.
    fn overfull(&self, name: &str) -> anyhow::Result<Option<Notice>> {
        let view = self.view();
        let place = view.place(name)?;
        let Some(takes) = place.setting_at(self.now).capacity else {
            return Ok(None);
        };
        let facts = FactFinder::new(view)?.on_hand(self.now)?;
        let in_it = facts.iter().filter(|facts| {
            let place_of_lot = facts.place.as_ref();
            place_of_lot.is_some_and(|(of_lot, _)| *of_lot == place.name)
        });
        let holds = Milligrams::new(in_it.map(|facts| facts.wet.get()).sum());
        Ok((holds > takes).then(|| Notice::PlaceOverfull {
            place: place.name.clone(),
            holds,
            takes,
        }))
    }
}
