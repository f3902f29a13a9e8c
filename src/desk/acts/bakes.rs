//! Plans a bake, changes what it is to be, or says that it is not baked after all.

use super::lots_named_once;
use crate::desk::facts::FactFinder;
use crate::desk::guard::{self, Compare};
use crate::desk::{
    Answer, BakeToCome, Desk, HasLeft, Notice, Refusal, dough_lots, promised_dough, promises,
};
use crate::dough;
use crate::dough::batch::{self, BatchRequest};
use crate::dough::formula::Formula;
use crate::dough::timetable::{self, Point};
use crate::grain::{Form, Kind, cereals, estimate};
use crate::keeping::Verdict;
use crate::ledger::{Act, BakeRecord, BakeSetting, LotRecord, View, Which};
use crate::quantity::{Instant, Milligrams};
use crate::report::bake::BakeAnswer;

/// What is said of a bake; what is left out stays as it is, or is the formula's.
#[derive(Debug, Clone, Default)]
pub struct BakeWishes {
    /// How many pieces.
    pub pieces: Option<u32>,
    /// Raw weight of one piece.
    pub piece: Option<Milligrams>,
    /// Dry grain as a share of total flour, a fraction.
    pub share: Option<f64>,
    /// Whether it is baked in any case.
    pub firm: Option<bool>,
    /// Codes of the lots it is to be made of, used up in this order.
    pub lots: Vec<String>,
    /// The largest number of lots in it.
    pub most_lots: Option<u32>,
    /// A cereal or another allergen that must not be in its grain.
    pub free_of: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// A bake to be planned.
pub struct AddBake<'a> {
    /// A formula of the book.
    pub formula: &'a str,
    /// When, and what happens then.
    pub at: (Instant, Point),
    /// What else is said of it.
    pub wishes: &'a BakeWishes,
}

/// A bake to be changed.
pub struct ChangeBake<'a> {
    /// Its code.
    pub bake: &'a str,
    /// When, and what happens then.
    pub at: Option<(Instant, Point)>,
    /// Another version of its formula.
    pub version: Option<u32>,
    /// Of whatever lots suit it, no longer of named ones.
    pub any_lot: bool,
    /// What else is said of it.
    pub wishes: &'a BakeWishes,
}

impl BakeWishes {
    fn records(&self, view: View<'_>) -> anyhow::Result<Vec<LotRecord>> {
        lots_named_once(view, &self.lots)
    }

    /// What must not be in its grain, in words that are known.
    fn known_free_of(&self) -> Result<Option<String>, Refusal> {
        let read = self.free_of.as_deref().map(cereals::read).transpose();
        read.map_err(|problem| Refusal::Field {
            field: "free_of",
            problem,
        })
    }

    /// That what must not be in its grain was said in other words than those that are known.
    fn read_as(&self, setting: &BakeSetting) -> Option<Notice> {
        let (asked, read) = self.free_of.as_ref().zip(setting.free_of.as_ref())?;
        (asked != read).then(|| Notice::ReadAs(asked.clone(), read.clone()))
    }
}

impl Desk {
    /// Plans a bake.
    pub fn add_bake(&mut self, request: &AddBake<'_>) -> anyhow::Result<Answer<BakeAnswer>> {
        let now = self.now;
        self.act_on_bake(|act| {
            let setting = new_setting(request, act.view())?;
            let mut notices = check(&setting, act.view(), now)?;
            notices.extend(request.wishes.read_as(&setting));
            let same = act.view().bakes(Which::Open)?.into_iter().find(|bake| {
                let known = &bake.setting;
                known.formula.name == setting.formula.name
                    && (known.at, known.point) == (setting.at, setting.point)
                    && (known.pieces, known.piece) == (setting.pieces, setting.piece)
            });
            // A frozen block that it names comes out once, for the first of its bakes: another may find it past.
            let before = match setting.lots.is_empty() {
                true => None,
                false => Some(promises::judged(act.view(), now)?),
            };
            let added = act.add_bake(&setting)?;
            if let Some(before) = before {
                let after = promises::judged(act.view(), now)?;
                notices.extend(promises::broken(&before, &after));
            }
            notices.extend(same.map(|earlier| Notice::SameBake {
                bake: added.code,
                earlier: earlier.code,
            }));
            Ok((added, notices))
        })
    }

    /// Changes what a bake is to be.
    pub fn change_bake(&mut self, request: &ChangeBake<'_>) -> anyhow::Result<Answer<BakeAnswer>> {
        let now = self.now;
        self.act_on_bake(|act| {
            let bake = act.view().bake(request.bake)?;
            let setting = changed_setting(request, &bake, act.view())?;
            let mut notices = check(&setting, act.view(), now)?;
            notices.extend(request.wishes.read_as(&setting));
            notices.extend(no_longer_free_of(&bake, &setting));
            let before = BakeAnswer::of(bake.clone())?;
            let was = promised_dough::hindrance_of(act.view(), &before, now)?;
            let is_promised = was.is_some();
            let mut promised = promises::judged(act.view(), now)?;
            let changed = act.change_bake(&bake, &setting)?;
            let after = BakeAnswer::of(changed.clone())?;
            let lost = promised_dough::lost_by_change(act.view(), was, &after, now)?;
            notices.extend(lost);
            // A frozen block comes out for the first of its bakes: another may find it past.
            let mut promised_now = promises::judged(act.view(), now)?;
            if is_promised {
                promised.leave_out(bake.code);
                promised_now.leave_out(bake.code);
            }
            notices.extend(promises::broken(&promised, &promised_now));
            Ok((changed, notices))
        })
    }

    /// Says that a bake is not baked after all.
    pub fn drop_bake(
        &mut self,
        bake: &str,
        reason: Option<&str>,
    ) -> anyhow::Result<Answer<BakeAnswer>> {
        self.act_on_bake(|act| {
            let record = act.view().bake(bake)?;
            act.drop_bake(&record, reason)?;
            Ok((act.view().bake(bake)?, Vec::new()))
        })
    }

    fn act_on_bake(
        &mut self,
        work: impl FnOnce(&mut Act<'_>) -> anyhow::Result<(BakeRecord, Vec<Notice>)>,
    ) -> anyhow::Result<Answer<BakeAnswer>> {
        let ((bake, told), _) = self.act(Compare::Nothing, work)?;
        Ok(self.bake_as_it_stands(bake)?.with_notices(told))
    }
}

fn new_setting(request: &AddBake<'_>, view: View<'_>) -> anyhow::Result<BakeSetting> {
    let record = view.formula(request.formula, None)?;
    let formula = record.formula()?;
    formula.refuse_untimed()?;
    let wishes = request.wishes;
    let name = || record.name.clone();
    let (at, point) = request.at;
    Ok(BakeSetting {
        point,
        at,
        pieces: wishes
            .pieces
            .or(formula.pieces)
            .ok_or_else(|| Refusal::NumberOfPiecesUnsaid(name()))?,
        piece: wishes
            .piece
            .or(formula.piece)
            .ok_or_else(|| Refusal::PieceUnsaid(name()))?,
        share: wishes.share,
        firm: wishes.firm.unwrap_or(true),
        most_lots: wishes.most_lots,
        free_of: wishes.known_free_of()?,
        lots: wishes.records(view)?,
        note: wishes.note.clone(),
        formula: record,
    })
}

fn changed_setting(
    request: &ChangeBake<'_>,
    bake: &BakeRecord,
    view: View<'_>,
) -> anyhow::Result<BakeSetting> {
    let before = &bake.setting;
    let wishes = request.wishes;
    let (at, point) = request.at.unwrap_or((before.at, before.point));
    let lots = match (request.any_lot, wishes.lots.is_empty()) {
        (true, _) => Vec::new(),
        (false, true) => before.lots.clone(),
        (false, false) => wishes.records(view)?,
    };
    Ok(BakeSetting {
        formula: match request.version {
            Some(version) => view.formula(&before.formula.name, Some(version))?,
            None => before.formula.clone(),
        },
        point,
        at,
        pieces: wishes.pieces.unwrap_or(before.pieces),
        piece: wishes.piece.unwrap_or(before.piece),
        share: wishes.share.or(before.share),
        firm: wishes.firm.unwrap_or(before.firm),
        most_lots: wishes.most_lots.or(before.most_lots),
        free_of: wishes.known_free_of()?.or_else(|| before.free_of.clone()),
        lots,
        note: wishes.note.clone().or(before.note.clone()),
    })
}

/// What a bake is not to be free of any more, since only one thing is kept: what is asked for now.
fn no_longer_free_of(before: &BakeRecord, setting: &BakeSetting) -> Option<Notice> {
    let (was, is) = before
        .setting
        .free_of
        .as_ref()
        .zip(setting.free_of.as_ref())?;
    (!cereals::covers(is, was))
        .then(|| Notice::NoLongerFreeOf(before.code, was.clone(), is.clone()))
}

/// Refuses a bake that cannot be: a dough that does not come out, lots that may not go into it by then.
fn check(setting: &BakeSetting, view: View<'_>, now: Instant) -> anyhow::Result<Vec<Notice>> {
    let formula = setting.formula.formula()?;
    let table = timetable::work_out(&formula, setting.point, setting.at)?;
    let dough = BatchRequest {
        formula: &formula,
        size: setting.size(),
        share: setting.share_of(&formula),
        // The lots come later; that grain is too wet for a dough is their matter.
        moisture: estimate::default_moisture(
            formula.grain.form.unwrap_or(Form::Whole),
            Kind::Mashed,
        ),
        thirst: None,
        scale: Milligrams::new(1000),
        fine_scale: Milligrams::new(100),
    };
    if let Err(dough::Refusal::Other(problem)) = batch::work_out(&dough) {
        return Err(problem.into());
    }
    let mut notices = Vec::new();
    if table.mix_at < now {
        notices.push(Notice::MixingIsPast(table.mix_at));
    } else if table.begins_at() < now {
        notices.push(Notice::FirstStageIsPast(table.begins_at()));
    }
    if let Some(most) = setting
        .most_lots
        .filter(|most| setting.lots.len() > *most as usize)
    {
        return Err(Refusal::MoreLotsThanAllowed {
            named: setting.lots.len(),
            most,
        }
        .into());
    }
    let as_of = guard::judged_as_of(view, now)?;
    for lot in &setting.lots {
        view.refuse_before_arrival(lot, table.mix_at)?;
        notices.extend(check_lot(
            lot,
            setting,
            &formula,
            view,
            (table.mix_at, as_of),
        )?);
    }
    Ok(notices)
}

fn check_lot(
    lot: &LotRecord,
    setting: &BakeSetting,
    formula: &Formula,
    view: View<'_>,
    (mix_at, now): (Instant, Instant),
) -> anyhow::Result<Vec<Notice>> {
    let mut notices = Vec::new();
    let mixed_at = mix_at.max(now);
    let answer = FactFinder::new(view)?.answer(lot.clone(), mixed_at)?;
    guard::refuse_used_up(&answer)?;
    match answer.keeping.verdict {
        Verdict::Past => {
            return Err(Refusal::Unusable {
                lot: lot.code,
                keeping: Box::new(answer.keeping),
                as_of: mixed_at,
                bake: Some(BakeToCome {
                    at: setting.at,
                    now,
                    is_now: FactFinder::new(view)?.keeping(lot, now)?.verdict,
                }),
                has_left: HasLeft::No,
            }
            .into());
        }
        Verdict::Unknown => {
            notices.push(Notice::UnusableByThen(
                lot.code,
                answer.keeping.binding.limit,
            ));
        }
        Verdict::Good | Verdict::UseFirst => {}
    }
    dough_lots::refuse_may_hold(lot, setting.free_of.as_deref())?;
    if let Some(wanted) = formula.grain.form.filter(|form| *form != lot.form) {
        notices.push(Notice::OtherForm {
            formula: formula.name.clone(),
            wanted,
            lot: lot.code,
            is: lot.form,
        });
    }
    Ok(notices)
}
