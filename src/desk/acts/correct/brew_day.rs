//! Another brew day: the mash-out goes to the same time of it, and so does a word that the grain was cold that day.

use crate::desk::{Notice, Refusal, WentAlong};
use crate::ledger::{Act, Amended, BookRefusal, EntryKind, EntryRecord, LogFilter, LotRecord};
use crate::quantity::{Instant, Problem, Zone};
use chrono::{Days, NaiveDate};

/// The mash-out of a lot at the same time of another brew day. Where it is not known, a brew day says nothing that counts.
pub fn mash_out_on(lot: &LotRecord, brewed_on: NaiveDate, zone: &Zone) -> anyhow::Result<Instant> {
    let mash_out = lot.mash_out.ok_or(Refusal::MashOutUnsaid(lot.code))?;
    Ok(moved_to(mash_out, (lot.brewed_on(zone), brewed_on), zone)?)
}

/// The same time as many days later as another brew day is.
fn moved_to(
    at: Instant,
    (was, is): (NaiveDate, NaiveDate),
    zone: &Zone,
) -> Result<Instant, Problem> {
    zone.resolve(zone.local(at) + is.signed_duration_since(was))
}

/// Somebody's word that a lot was cold from a time of its brew day on, and that time of another brew day.
pub fn word_of(
    act: &Act<'_>,
    lot: &LotRecord,
    brewed_on: NaiveDate,
) -> anyhow::Result<Option<(EntryRecord, Instant)>> {
    let zone = &act.view().about().zone;
    let was = lot.brewed_on(zone);
    let of_lot = act.view().log(&LogFilter {
        lot: Some(lot),
        ..LogFilter::default()
    })?;
    let word = of_lot.into_iter().find(|entry| {
        entry.kind == EntryKind::Cooled
            && entry.says_something_in_force()
            && (was..=was + Days::new(1)).contains(&zone.date(entry.at))
    });
    let moved = word.map(|word| {
        let at = moved_to(word.at, (was, brewed_on), zone)?;
        anyhow::Ok((word, at))
    });
    Ok(moved.transpose()?.filter(|(word, at)| *at != word.at))
}

/// Refuses a word that would go to a time after it was written: its own time is wrong too. A mash-out that is still to come
/// is what is wrong in its place.
pub fn refuse_after_it_was_written(
    act: &Act<'_>,
    (word, at): (&EntryRecord, Instant),
    mash_out: Option<Instant>,
) -> anyhow::Result<()> {
    let written = act.view().first_of(word)?.recorded_at;
    if at <= written || mash_out.is_some_and(|mash_out| mash_out > act.now()) {
        return Ok(());
    }
    Err(BookRefusal::AfterItWasWritten {
        entry: word.entry,
        written,
        at,
        goes_along: true,
    }
    .into())
}

/// That what an entry of some kind says went to the same time of another brew day.
pub const fn went_along((kind, entry): (EntryKind, i64), (was, is): (Instant, Instant)) -> Notice {
    Notice::WentAlong(WentAlong {
        entry,
        is_word: matches!(kind, EntryKind::Cooled),
        was,
        is,
    })
}

/// A word at another time, as what takes its place.
pub fn of_word<'a>(new: &Amended<'a>, said: &'a EntryRecord, at: Instant) -> Amended<'a> {
    Amended {
        at,
        wet: None,
        temperature: None,
        place: None,
        words: said.words.as_deref(),
        ending: None,
        activity: None,
        test: None,
        arrival: None,
        ..new.clone()
    }
}
