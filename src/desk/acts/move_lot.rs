//! Moves a lot, or a part of it that becomes a lot of its own with the same history.

use super::{found_since, written_twice};
use crate::desk::draws::OutflowsBefore;
use crate::desk::facts::{self, FactFinder};
use crate::desk::{Answer, Desk, Notice, OutForAWhile, Refusal, guard, thawing};
use crate::keeping::Verdict;
use crate::ledger::{EntryKind, LogFilter, LotRecord, PlaceRecord, View};
use crate::quantity::{Instant, Milligrams, Problem};
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
    /// When it was back where it was, if it was out only for a while.
    pub until: Option<Instant>,
    /// A note.
    pub note: Option<&'a str>,
}

impl Desk {
    /// Moves grain, out for a while where the request says when it was back: what comes of both is judged together.
    pub fn move_lot(&mut self, request: &MoveLot<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let now = self.now;
        let done = self.act_on_lot(request.lot, |act, lot| {
            let now = guard::judged_as_of(act.view(), now)?;
            let before = guard::judge(act.view(), &lot, now)?;
            let gone_out = match request.at < now {
                true => Some(OutflowsBefore::of(act.view(), vec![lot.clone()])?),
                false => None,
            };
            let place = act.view().open_place(request.to, request.at)?;
            let back = back_to(act.view(), &lot, request)?;
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
                    told.extend(found_since(act, &part, request.at)?);
                    part
                }
                _ => {
                    act.move_all(&lot, request.at, &place, request.note)?;
                    lot
                }
            };
            let entry = act.view().last_entry()?;
            if let Some((until, home)) = &back {
                act.move_all(&moved, *until, home, request.note)?;
            }
            let after = guard::judge(act.view(), &moved, now)?;
            let was_usable = before
                .get(&moved.code)
                .is_some_and(|was| was.verdict.may_be_used());
            let is_past = after
                .get(&moved.code)
                .is_some_and(|is| is.verdict == Verdict::Past);
            if request.at < now && back.is_none() && was_usable && is_past {
                told.push(Notice::PastByLateMove(OutForAWhile {
                    entry,
                    lot: moved.code,
                    to: place.name,
                    at: request.at,
                    until: None,
                }));
            }
            told.extend(guard::tickets_untrue(&before, &after));
            if let Some(gone_out) = gone_out {
                let marks = gone_out.marks_of_past_kept(act.view())?;
                told.extend(marks.notices());
            }
            Ok((moved, told))
        });
        let (lot, told, lacking) = match done {
            Ok(done) => done,
            Err(error) => return Err(naming_the_way_out(self.view(), error, request)?),
        };
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
            .with_notices(self.overfull(request)?))
    }

    /// Whether the place that grain went to, and lies in, holds more by now than it is said to take.
    fn overfull(&self, request: &MoveLot<'_>) -> anyhow::Result<Option<Notice>> {
        if request.until.is_some() {
            return Ok(None);
        }
        let view = self.view();
        let place = view.place(request.to)?;
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

/// When and to which place a lot comes back that was out for a while: the place that it lay in.
fn back_to(
    view: View<'_>,
    lot: &LotRecord,
    request: &MoveLot<'_>,
) -> anyhow::Result<Option<(Instant, PlaceRecord)>> {
    let Some(until) = request.until else {
        return Ok(None);
    };
    if until <= request.at {
        return Err(Refusal::Field {
            field: "until",
            problem: Problem::new("it was back after it left, and this time is not after that"),
        }
        .into());
    }
    let home = facts::place_or_own(view, lot, (None, until))?;
    Ok(Some((until, view.open_place(&home.name, until)?)))
}

/// The refusal of a late move that brings a lot back to where it lay before its last move, with that one.
fn naming_the_way_out(
    view: View<'_>,
    mut error: anyhow::Error,
    request: &MoveLot<'_>,
) -> anyhow::Result<anyhow::Error> {
    if let Some(Refusal::WouldReviveItself(_, way_out)) = error.downcast_mut::<Refusal>()
        && request.wet.is_none()
        && request.until.is_none()
    {
        let lot = view.lot(request.lot)?;
        *way_out = out_of(view, &lot, (request.to, request.at))?.map(Box::new);
    }
    Ok(error)
}

/// The last move of a lot, where the lot lay before it in the place to which it comes back later.
fn out_of(
    view: View<'_>,
    lot: &LotRecord,
    (home, until): (&str, Instant),
) -> anyhow::Result<Option<OutForAWhile>> {
    let mut put = view.log(&LogFilter {
        lot: Some(lot),
        ..LogFilter::default()
    })?;
    put.retain(|entry| {
        let is_about_it = matches!(entry.kind, EntryKind::Pickup | EntryKind::Move);
        entry.says_something_in_force() && (is_about_it || entry.new_lot == Some(lot.code))
    });
    put.sort_by_key(|entry| entry.at);
    let home = view.place(home)?.name;
    Ok(match put.as_slice() {
        [.., before, out]
            if out.kind == EntryKind::Move
                && out.at < until
                && before.place.as_ref() == Some(&home) =>
        {
            out.place.clone().map(|to| OutForAWhile {
                entry: out.entry,
                lot: lot.code,
                to,
                at: out.at,
                until: Some(until),
            })
        }
        _ => None,
    })
}
