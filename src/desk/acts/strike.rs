//! Strikes a wrong entry. It stays in the book and no longer counts.

use crate::desk::draws::{self, GoneOut, UnusableDraw};
use crate::desk::guard::{self, Touches};
use crate::desk::{Answer, Desk, Notice, facts};
use crate::ledger::{Act, Detail, EntryKind, EntryRecord, LotRecord, View};
use crate::quantity::Instant;

/// Which entry is wrong.
pub struct Strike<'a> {
    /// Its number.
    pub entry: i64,
    /// Why it was wrong.
    pub reason: &'a str,
}

/// What striking did.
pub struct Struck {
    /// The entry that was struck.
    pub entry: EntryRecord,
    /// The entry that strikes it.
    pub struck_by: i64,
    /// Entries that count again, where a strike was struck.
    pub back: Vec<EntryRecord>,
    /// What was used or given away when it was past or unknown, as is known since then.
    pub unusable: Vec<UnusableDraw>,
}

impl Desk {
    /// Strikes an entry. Like a correction it may make past grain usable again, since it corrects a history, with
    /// the reason; but what counts again because its strike was struck is guarded as if it were written anew.
    pub fn strike(&mut self, request: &Strike<'_>) -> anyhow::Result<Answer<Struck>> {
        let now = self.now;
        let ((done, usable_again), lacking) = self.act(Touches::Stock, |act| {
            let entry = act.view().entry(request.entry)?;
            let gone_out = gone_out_of_touched(act.view(), &entry, now)?;
            let judged = guard::judge_all(act.view(), now)?;
            let struck = act.strike(request.entry, request.reason)?;
            let back = struck
                .back
                .iter()
                .map(|entry| act.view().entry(*entry))
                .collect::<anyhow::Result<Vec<_>>>()?;
            let judged_now = guard::judge_all(act.view(), now)?;
            if entry.kind == EntryKind::Strike {
                guard::refuse_revived(&judged, &judged_now)?;
                for entry in &back {
                    refuse_unusable_then(act, entry)?;
                }
            }
            let done = Struck {
                entry,
                struck_by: struck.entry,
                back,
                unusable: gone_out.newly_unusable(act.view())?,
            };
            Ok((done, guard::usable_again(&judged, &judged_now)))
        })?;
        let taken_back = (done.entry.kind == EntryKind::Discard && done.entry.amends.is_none())
            .then_some(Notice::BackInStock(done.entry.ending));
        let told = draws::told(&done.unusable);
        Ok(Answer::new(done, Vec::new())
            .with_notices(lacking)
            .with_notices(usable_again)
            .with_notices(told)
            .with_notices(taken_back))
    }
}

/// The lots that an entry is about.
pub(super) fn lots_of(view: View<'_>, entry: &EntryRecord) -> anyhow::Result<Vec<LotRecord>> {
    [entry.lot, entry.new_lot]
        .into_iter()
        .flatten()
        .map(|code| view.lot_even_struck(&code.to_string()))
        .collect()
}

/// What went out of the lots that an entry bears on: of a place or a logger's file all that lay there since.
fn gone_out_of_touched(
    view: View<'_>,
    entry: &EntryRecord,
    now: Instant,
) -> anyhow::Result<GoneOut> {
    let from = match &entry.detail {
        Detail::Setting(setting) => setting.from,
        Detail::Readings(file) => file.first,
        // A strike brings back what it struck.
        _ => match entry.strikes {
            Some(struck) => return gone_out_of_touched(view, &view.entry(struck)?, now),
            None => return GoneOut::of(view, lots_of(view, entry)?),
        },
    };
    match &entry.place {
        Some(name) => GoneOut::of_place(view, &view.place(name)?, (from, now)),
        None => GoneOut::of(view, Vec::new()),
    }
}

/// Refuses grain that goes into a dough, to people or into another lot by an entry, as when it is written anew.
pub(super) fn refuse_unusable_then(act: &Act<'_>, entry: &EntryRecord) -> anyhow::Result<()> {
    let Some(code) = entry.lot else { return Ok(()) };
    let moments = match entry.kind {
        EntryKind::Use | EntryKind::Give => vec![entry.at],
        EntryKind::Join => vec![entry.at, act.now()],
        _ => Vec::new(),
    };
    for at in moments {
        let lot = act.view().lot(&code.to_string())?;
        guard::refuse_unusable(&facts::answer(act.view(), lot, at)?)?;
    }
    Ok(())
}
