//! Throws grain away, with the reason.

use super::{counted_since, made_of, written_twice};
use crate::desk::facts::{self, FactFinder};
use crate::desk::guard::Compare;
use crate::desk::{Answer, Desk, Notice, Refusal, draws, guard};
use crate::grain::Ending;
use crate::ledger::{EntryKind, LogFilter, LotRecord, View};
use crate::quantity::{Instant, Milligrams};
use crate::report::{Caution, LotAnswer};

/// Words that speak of spoilage, or begin those that do.
const SPOILED: [&str; 13] = [
    "mould", "mold", "mildew", "rotten", "rotting", "slim", "putrid", "stink", "smell", "sour",
    "fust", "fuzz", "musty",
];
/// Words that speak of it as a whole only.
const SPOILED_WHOLE: [&str; 9] = [
    "fur", "furry", "rot", "spoiled", "spoilt", "fungus", "fungi", "fungal", "foul",
];
/// Begins like one of them and is dough that was shaped.
const SHAPED: &str = "mouldings";
/// Two words that speak of it together: one of the first, and one of the second right behind it.
const SPOILED_TOGETHER: [(&[&str], &[&str]); 2] = [
    (&["gone", "went"], &["off"]),
    (
        &["green", "blue", "white", "black", "grey"],
        &["spot", "spots", "patch", "patches", "growth"],
    ),
];

/// Words that deny the one right behind them.
const DENIES: [&str; 3] = ["no", "not", "without"];

/// Whether a reason speaks of mould, rot or a bad smell, and does not deny it in the same breath: "no mould".
fn names_spoilage(reason: &str) -> bool {
    let reason = reason.to_lowercase();
    let mut before = "";
    // Each word, and whether it is denied.
    let mut words: Vec<(&str, bool)> = Vec::new();
    for parts in reason.split_whitespace() {
        let denied = DENIES.contains(&before);
        before = parts;
        let split = parts.split(|letter: char| !letter.is_alphabetic());
        let split = split.enumerate();
        words.extend(split.map(|(index, word)| (word, denied && index == 0)));
    }
    words.retain(|(word, _)| !word.is_empty());
    let alone = |word: &str| {
        SPOILED_WHOLE.contains(&word)
            || (word != SHAPED && SPOILED.iter().any(|spoiled| word.starts_with(spoiled)))
    };
    let together = |first: &str, second: &str| {
        let mut pairs = SPOILED_TOGETHER.iter();
        pairs.any(|(firsts, seconds)| firsts.contains(&first) && seconds.contains(&second))
    };
    words.iter().any(|(word, denied)| !denied && alone(word))
        || words
            .windows(2)
            .any(|two| !two[0].1 && together(two[0].0, two[1].0))
}

/// Refuses grain as feed that was found spoiled by the time at which it goes, or of which the reason speaks, or that for
/// which some of the lot was thrown away by then. The entry that is corrected, if one is, says so no more.
pub(super) fn refuse_mould_as_feed(
    view: View<'_>,
    lot: &LotRecord,
    (at, reason): (Instant, &str),
    corrected: Option<i64>,
) -> anyhow::Result<()> {
    let of_lot = view.log(&LogFilter {
        lot: Some(lot),
        ..LogFilter::default()
    })?;
    let is_thrown_away_for_it = of_lot.iter().any(|entry| {
        entry.kind == EntryKind::Discard
            && entry.says_something_in_force()
            && entry.at <= at
            && Some(entry.entry) != corrected
            && entry.words.as_deref().is_some_and(names_spoilage)
    });
    if is_thrown_away_for_it || FactFinder::new(view)?.was_found_spoiled(lot, at)? {
        return Err(Refusal::SpoiledAsFeed(lot.code).into());
    }
    Ok(refuse_named_mould(lot, reason)?)
}

/// Refuses grain as feed whose reason speaks of mould, rot or a bad smell.
pub(super) fn refuse_named_mould(lot: &LotRecord, reason: &str) -> Result<(), Refusal> {
    if names_spoilage(reason) {
        return Err(Refusal::SpoiledAsFeed(lot.code));
    }
    Ok(())
}

/// What is thrown away.
pub struct Discard<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// How much wet grain; nothing for all that is left.
    pub wet: Option<Milligrams>,
    /// Why.
    pub reason: &'a str,
    /// How it ends, where that is said.
    pub ending: Option<Ending>,
    /// When.
    pub at: Instant,
}

impl Desk {
    /// Throws grain away. Any grain may go, whatever its verdict; but what was found spoiled by then is no feed, nor
    /// what is or was thrown away for mould or rot by the words of a reason. What animals got before that is told.
    pub fn discard(&mut self, request: &Discard<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let ((lot, told, handled), lacking) = self.act(Compare::Promises, |act| {
            let lot = act.view().lot(request.lot)?;
            let wet = match request.wet {
                Some(wet) => wet,
                None => act.view().left_or_refuse(&lot)?,
            };
            if request.ending == Some(Ending::Feed) {
                refuse_mould_as_feed(act.view(), &lot, (request.at, request.reason), None)?;
            }
            let is_spoiled =
                FactFinder::new(act.view())?.was_found_spoiled(&lot, Instant::MAX_UTC)?;
            let names_spoilage = names_spoilage(request.reason);
            let entry = match act.discard(&lot, request.at, wet, request.reason, request.ending) {
                Err(error) => return Err(made_of::went_on(act, error, &lot, (wet, request.at))?),
                Ok(entry) => entry,
            };
            let reason = request.reason.to_owned();
            let mut told = vec![Notice::Discarded(wet, request.ending, reason, request.at)];
            told.extend(written_twice(act.view(), &[entry])?);
            told.extend(counted_since(act.view(), &lot, request.at)?);
            told.extend(draws::feed_of_spoiled(act.view(), &lot, entry)?);
            if act.view().left(&lot)?.is_some() {
                let mut finder = FactFinder::new(act.view())?;
                if names_spoilage && !is_spoiled {
                    let rest = finder.keeping(&lot, act.now())?;
                    told.push(Notice::ReasonNamesSpoilage(lot.code, rest.verdict));
                }
                if finder.keeping(&lot, request.at)?.verdict.may_be_used() {
                    told.extend(guard::unusable_by_now(act.view(), &lot, act.now())?);
                }
            }
            let then = facts::answer_at(act.view(), lot.clone(), request.at)?;
            Ok((lot, told, then.cautions_of_handled(wet)))
        })?;
        let is_feed = request.ending == Some(Ending::Feed);
        let feed = is_feed.then_some(Caution::FeedIsRegulated);
        let answer = self.lot_after(lot, lacking)?;
        Ok(answer
            .with_notices(told)
            .with_cautions(handled)
            .with_cautions(feed.into_iter().chain([Caution::HopsPoisonDogs])))
    }
}
