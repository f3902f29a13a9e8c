//! Corrects a wrong entry: another one takes its place, with the reason, and all that follows is judged again.

mod bake;
mod brew_day;
mod fields;
mod later_counts;
mod made;
mod made_lots;
mod mixing;
mod other_bake;
mod replace;
mod whole_lot;

use super::findings::told_of_findings;
use super::strike::lots_of;
use super::use_grain::bake_of_code;
use super::{counted_since, made_of, refuse_in_closed_place, treat};
use crate::desk::dough_temperatures::GivenTemperatures;
use crate::desk::draws::{self, JudgedDraw, OutflowsBefore};
use crate::desk::facts::FactFinder;
use crate::desk::free_of::FreeOfBefore;
use crate::desk::guard::{self, Compare};
use crate::desk::{Answer, Desk, Notice, Refusal};
use crate::grain::{Ending, Form, PanReadings, Weighing};
use crate::ledger::{CameOut, Detail, EntryKind, EntryRecord, LotRecord, View};
use crate::quantity::{Instant, Milligrams, Temperature, WaterActivity, WetBasis};
use crate::report::bake::BakeAnswer;
use crate::report::{Caution, LotAnswer};
use chrono::NaiveDate;
use fields::{given_fields, refuse_fields, refuse_unchanged};
use replace::{reading_with, replace};

/// What is right instead; what is left out stays as it is.
#[derive(Debug, Clone, Default)]
pub struct Correction<'a> {
    /// The lot that the entry is about.
    pub lot: Option<&'a str>,
    /// When it happened; of a pickup, when the grain was fetched.
    pub at: Option<Instant>,
    /// The brew day. Without another mash-out that goes to the same time of this day.
    pub brewed_on: Option<NaiveDate>,
    /// When mashing was over; nothing inside for not known.
    pub mash_out: Option<Option<Instant>>,
    /// The wet mass; of a count what was found, which may be nothing, of a treatment what went in.
    pub wet: Option<Milligrams>,
    /// What came out of a treatment and is kept.
    pub wet_out: Option<Milligrams>,
    /// Water that was added in a treatment.
    pub water_added: Option<Milligrams>,
    /// Of what came out of a treatment, what stayed in the machine or was spilt.
    pub left_behind: Option<Milligrams>,
    /// Dry grain lost with the water of a treatment.
    pub dry_loss: Option<Milligrams>,
    /// How many minutes a treatment took; none where that, and how warm it was, is not known.
    pub minutes: Option<u32>,
    /// The grain's temperature, of a reading or at the pickup; how warm it was in a treatment.
    pub temp: Option<Temperature>,
    /// The water activity of dried grain.
    pub activity: Option<WaterActivity>,
    /// What was weighed, all samples.
    pub weighing: &'a [PanReadings],
    /// Second stages of those samples, in their order.
    pub stage2: &'a [Weighing],
    /// A laboratory's moisture, wet basis.
    pub lab: Option<WetBasis>,
    /// The name of the source.
    pub source: Option<&'a str>,
    /// Whether that is a new one, however near its name is to another.
    pub is_new_source: bool,
    /// What was mashed.
    pub grist: Option<&'a str>,
    /// The form of the grain.
    pub form: Option<Form>,
    /// The place.
    pub place: Option<&'a str>,
    /// To whom a gift went.
    pub to: Option<&'a str>,
    /// Note, reason, bake, or whose word it is; empty for no note.
    pub note: Option<&'a str>,
    /// How grain ended that was thrown away.
    pub ending: Option<Ending>,
    /// The bake that is done.
    pub bake: Option<&'a str>,
    /// Wet grain that went into that bake, of each lot; nothing for what goes along.
    pub used: &'a [(String, Milligrams)],
    /// Water that the paper said to pour first and to hold back.
    pub said: Option<(Milligrams, Milligrams)>,
    /// Water that really went into the stage of the grain.
    pub water: Option<Milligrams>,
    /// Pieces that came out of the oven.
    pub pieces: Option<u32>,
    /// What they weighed in all.
    pub baked: Option<Milligrams>,
    /// The dough when mixing ended.
    pub dough_temp: Option<Temperature>,
    /// The water that went in.
    pub water_temp: Option<Temperature>,
    /// Temperatures of what else went in, beside that of the dough.
    pub temperatures: GivenTemperatures,
    /// How the bake came out.
    pub came_out: Option<CameOut>,
}

/// Which entry is wrong, in what, and why.
pub struct Correct<'a> {
    /// Its number.
    pub entry: i64,
    /// What is right.
    pub right: Correction<'a>,
    /// Why it was wrong.
    pub reason: &'a str,
}

/// What correcting did.
pub struct Corrected {
    /// The entry as it was.
    pub entry: EntryRecord,
    /// The one that takes its place.
    pub by: EntryRecord,
    /// The lot as it stands now: the one that the entry made, where it made one.
    pub lot: Option<LotAnswer>,
    /// The bake as it stands now, where the entry says what it came to.
    pub bake: Option<BakeAnswer>,
    /// What was used or given away when it was past or unknown, as is known since then.
    pub unusable: Vec<JudgedDraw>,
}

impl<'a> Correction<'a> {
    /// The words that are right, where an entry said these: an empty note is none.
    fn words(&self, was: Option<&'a str>) -> Option<&'a str> {
        let right = self.to.or(self.note);
        right.or(was).filter(|words| !words.is_empty())
    }
}

impl Desk {
    /// One entry of the book.
    pub fn entry(&self, entry: i64) -> anyhow::Result<Answer<EntryRecord>> {
        Ok(Answer::new(self.view().entry(entry)?, Vec::new()))
    }

    /// Corrects an entry. With the reason it may make past grain usable again, as a strike may. What people got is
    /// written as it was, though it was past or unknown then: the answer tells it, and every trace.
    pub fn correct(&mut self, request: &Correct<'_>) -> anyhow::Result<Answer<Corrected>> {
        if self.view().entry(request.entry)?.kind == EntryKind::Baked {
            return match request.right.bake {
                Some(code) if !other_bake::keeps_bake_and_grain(self.view(), request, code)? => {
                    self.move_to_bake(request, code)
                }
                _ => self.correct_bake(request),
            };
        }
        let now = self.now;
        let right = &request.right;
        let ((mut done, lot, told), lacking) = self.act(Compare::Promises, |act| {
            let entry = act.view().entry(request.entry)?;
            act.refuse_out_of_force(entry.entry)?;
            match refuse_fields(&entry, right) {
                Err(Refusal::NotInEntry { field, .. })
                    if entry.kind.makes_lot() && field != "wet_out" =>
                {
                    return Err(made_lots::made_again(act, &entry, field)?.into());
                }
                checked => checked
                    .map_err(|refusal| bake::held_by_its_bake(act.view(), &entry, refusal))?,
            }
            refuse_bake_as_note(act.view(), &entry, right)?;
            let lot = match (right.lot, entry.lot) {
                (Some(code), _) => act.view().lot(code)?,
                (None, Some(code)) => act.view().lot(&code.to_string())?,
                (None, None) => {
                    return Err(Refusal::NotInEntry {
                        entry: entry.entry,
                        kind: entry.kind,
                        field: "lot",
                    }
                    .into());
                }
            };
            let entry = match entry.kind {
                EntryKind::Pickup if is_temperature_alone(right) => {
                    reading_with(act, &entry, &lot)?.ok_or(Refusal::NotInEntry {
                        entry: entry.entry,
                        kind: entry.kind,
                        field: "temp",
                    })?
                }
                _ => entry,
            };
            let whole = match (right.lot, right.wet) {
                (Some(_), None) => whole_lot::of_other_lot(act.view(), &entry, &lot)?,
                _ => None,
            };
            let right = &Correction {
                wet: right.wet.or(whole),
                ..right.clone()
            };
            let product = entry
                .new_lot
                .map(|product| act.view().lot(&product.to_string()))
                .transpose()?;
            let shown = product.as_ref().unwrap_or(&lot).clone();
            let mut lots = lots_of(act.view(), &entry)?;
            lots.push(lot.clone());
            let free_of = FreeOfBefore::of(act.view(), lots.clone())?;
            let gone_out = OutflowsBefore::of(act.view(), lots.clone())?;
            let as_of = guard::judged_as_of(act.view(), now)?;
            let judged = guard::judge_all(act.view(), as_of)?;
            let held = guard::held(act.view(), as_of)?;
            let replaced = replace(act, &entry, &lot, right, request.reason);
            let (by, went_along) = match replaced {
                Err(error) => return Err(made_of::held_by_others(act, error, &entry, right)?),
                Ok(replaced) => replaced,
            };
            let by = act.view().entry(by)?;
            // The temperature at a pickup stands in another entry, which went with it.
            if entry.kind != EntryKind::Pickup || right.temp.is_none() {
                refuse_unchanged(&entry, &by)?;
            }
            if let (Some(_), Some(name)) = (right.place, by.place.as_deref()) {
                refuse_closed_since(act.view(), &shown, (name, by.at))?;
            }
            let judged_now = guard::judge_all(act.view(), as_of)?;
            // A lot that was not moved lies where it lay before, and the one that was lies where that went.
            let is_other_move = entry.kind == EntryKind::Move && right.lot.is_some();
            for lot in &lots {
                if is_other_move || !judged.contains_key(&lot.code) {
                    refuse_in_closed_place(act.view(), lot, now)?;
                }
            }
            let mut told = went_along;
            told.extend(whole_lot::told(&lot, whole, by.entry));
            told.extend(guard::judged_otherwise(
                &judged,
                &judged_now,
                Some(shown.code),
            ));
            if let (Detail::Treated(was), Detail::Treated(is)) = (&entry.detail, &by.detail) {
                if was.treatment != is.treatment {
                    made::refuse_contradicted(act.view(), &is.product)?;
                }
                let before = FactFinder::new(act.view())?.estimate(&lot)?.moisture;
                let done = (is.treatment, is.lasted);
                told.extend(treat::told(act, done, (&lot, &is.product), &before)?);
            }
            let gone = std::iter::once((&entry, by.entry));
            told.extend(guard::better_by_clock(act.view(), (as_of, now), gone)?);
            guard::refuse_moved_back(act.view(), &by, &judged, &judged_now)?;
            guard::refuse_late_since(act.view(), entry.entry, &judged, &judged_now)?;
            let marks = gone_out.marks(act.view())?;
            guard::refuse_cleared_late_since(act.view(), entry.entry, &marks.cleared)?;
            let is_on_label =
                right.grist.is_some() || right.source.is_some() || right.form.is_some();
            told.extend(free_of.told(act.view())?);
            if is_on_label {
                let family = act.view().descendants(&std::iter::once(&lot).collect())?;
                // Those whose date moved by it are among them.
                told.retain(|notice| !matches!(notice, Notice::TicketsUntrue(_)));
                let on_hand = act.view().on_hand_of(&family)?.into_iter();
                told.extend(guard::new_tickets(on_hand.map(|lot| lot.code), &judged_now));
            }
            if by.kind == EntryKind::Discard {
                told.extend(draws::feed_of_spoiled(act.view(), &lot, by.entry)?);
            }
            let holds = guard::held(act.view(), as_of)?;
            let (was, is) = ((&judged, &held), (&judged_now, &holds));
            told.extend(made_of::on_hand_again(act.view(), was, is, Some(&by))?);
            told.extend(guard::usable_elsewhere(act.view(), was, is, &told)?);
            let (counts, verdicts) = (std::iter::once(&by), (&judged, &judged_now));
            told.extend(told_of_findings(act, counts, &[&entry], verdicts)?);
            if by.kind == EntryKind::Count {
                told.extend(later_counts::standing(act.view(), &lot, by.entry)?);
            } else if right.wet.is_some() || product.is_some() {
                for lot in std::iter::once(&lot).chain(&product) {
                    told.extend(counted_since(act.view(), lot, by.at)?);
                }
            }
            told.extend(marks.notices());
            let done = Corrected {
                entry,
                by,
                lot: None,
                bake: None,
                unusable: marks.set,
            };
            Ok((done, shown, told))
        })?;
        let lot = self.lot(&lot.code.to_string())?.answer;
        let mut cautions = lot.cautions();
        cautions.extend((right.ending == Some(Ending::Feed)).then_some(Caution::FeedIsRegulated));
        if right.grist.is_some() {
            cautions.push(Caution::Gluten);
            cautions.extend(Caution::of_allergens(lot.lot.allergens()));
        }
        done.lot = Some(lot);
        Ok(Answer::new(done, cautions)
            .with_notices(lacking)
            .with_notices(told))
    }
}

/// Refuses that grain of no bake is said to be for one: no trace of the bake would find it.
fn refuse_bake_as_note(
    view: View<'_>,
    entry: &EntryRecord,
    right: &Correction<'_>,
) -> anyhow::Result<()> {
    let Some(note) = right.note.filter(|_| entry.kind == EntryKind::Use) else {
        return Ok(());
    };
    match bake_of_code(view, note)? {
        Some(bake) => Err(Refusal::NoteIsBake(entry.entry, bake.code).into()),
        None => Ok(()),
    }
}

/// Refuses that grain lies by now in a place that was closed since an entry put it there: nothing moved it on.
fn refuse_closed_since(
    view: View<'_>,
    lot: &LotRecord,
    (name, at): (&str, Instant),
) -> anyhow::Result<()> {
    let held = view.held(lot, &view.places()?)?;
    if held.is_some_and(|(_, lies_in, _)| lies_in == name) {
        view.open_place(name, at)?;
    }
    Ok(())
}

/// Whether of a pickup only the temperature is wrong: that stands in the reading that was taken with it.
fn is_temperature_alone(right: &Correction<'_>) -> bool {
    given_fields(right) == ["temp"]
}
