//! Grain in a freezer that a bake takes: how much, and by when it is taken out.

use super::dough_lots::Dough;
use super::facts::FactFinder;
use super::unshown::Unshown;
use super::{Notice, Refusal, fit_places, promised_dough, promises};
use crate::dough::bake_code::BakeCode;
use crate::dough::house::Work;
use crate::grain::LotCode;
use crate::keeping::{Advice, Assessment, History, PlaceKind, What, assess_all};
use crate::ledger::{About, AcceptedPlan, LotRecord, View, Which};
use crate::planning::condition::shown_in_time;
use crate::planning::problem::Capacity;
use crate::planning::windows::{FREEZING, State, then};
use crate::planning::working_hours::{first_taken_out, taken_out_at};
use crate::quantity::{Instant, Length, Milligrams, Zone};
use crate::report::bake::BakeAnswer;
use crate::report::promise::{LostGrain, PromisedGrain};
use crate::report::{Block, LotAnswer, LotFacts};

/// Grain to take out of the freezer for a bake.
pub struct ToThaw {
    /// The lot.
    pub lot: LotCode,
    /// How much of it.
    pub wet: Milligrams,
    /// All of it.
    pub all: Milligrams,
    /// By when.
    pub by: Instant,
    /// After this it is not thawed in time, whoever is there.
    pub latest: Instant,
    /// When the bake weighs it out.
    pub grain_at: Instant,
    /// The bake.
    pub bake: BakeCode,
    /// In which state its plan takes it; nothing where no plan does.
    pub planned: Option<State>,
    /// Whether the accepted plan has no grain for the bake, so that it does not come out for it.
    pub is_left_out: bool,
}

/// A block that comes out of the freezer, once for all bakes that find it good then.
pub struct ComesOut {
    /// The first of its bakes.
    pub first: ToThaw,
    /// What each bake takes of it.
    pub takes: Vec<(BakeCode, Milligrams)>,
}

impl ComesOut {
    /// The block with all that is taken of it.
    pub fn block(&self) -> Block {
        block(self.first.all, self.takes.clone())
    }
}

/// The blocks that come out for what is still thawed in time, each once.
pub fn come_out(
    mut thawed: Vec<ToThaw>,
    (lots, zone): (&[LotAnswer], &Zone),
    now: Instant,
) -> Vec<ComesOut> {
    let mut blocks: Vec<ComesOut> = Vec::new();
    thawed.retain(|one| now <= one.latest && !one.is_left_out);
    thawed.sort_by_key(|one| (one.by, one.bake));
    for one in thawed {
        let lot = lots.iter().find(|lot| lot.lot.code == one.lot);
        let finds_good = |by: Instant| {
            lot.is_none_or(|lot| lasts(&lot.keeping, zone, by.max(now), one.grain_at))
        };
        let mut known = blocks.iter_mut();
        match known.find(|block| block.first.lot == one.lot) {
            // It is not taken out twice: that bake has to have other grain.
            Some(block) if !finds_good(block.first.by) => {}
            Some(block) => {
                block.first.latest = block.first.latest.min(one.latest);
                let mut takes = block.takes.iter_mut();
                match takes.find(|(bake, _)| *bake == one.bake) {
                    Some((_, wet)) => *wet = Milligrams::new(wet.get() + one.wet.get()),
                    None => block.takes.push((one.bake, one.wet)),
                }
            }
            None => {
                let takes = vec![(one.bake, one.wet)];
                blocks.push(ComesOut { first: one, takes });
            }
        }
    }
    blocks
}

/// Days that are looked back from a bake: nobody is away for longer, our choice.
const DAYS_BEFORE: usize = 31;

/// By when grain comes out of the freezer that is weighed out at a moment: as the plan says it.
pub fn out_by(
    (work, zone): (&Work, &Zone),
    depth: Option<Length>,
    grain_at: Instant,
) -> Option<Instant> {
    let lead = work.thaw.of(depth).lead();
    let mut days = Vec::with_capacity(DAYS_BEFORE);
    let mut day = Some(zone.date(grain_at - lead));
    while let Some(date) = day.filter(|_| days.len() < DAYS_BEFORE) {
        days.push(date);
        day = date.pred_opt();
    }
    taken_out_at(zone, &Capacity::of(work, days.into_iter()), lead, grain_at)
}

/// After this, grain that comes out of the freezer is not thawed when it is weighed out.
pub fn latest(work: &Work, depth: Option<Length>, grain_at: Instant) -> Instant {
    grain_at - work.thaw.of(depth).lead()
}

/// A frozen block that comes out for bakes. What weighing leaves over is no rest.
fn block(all: Milligrams, takes: Vec<(BakeCode, Milligrams)>) -> Block {
    let mut block = Block {
        all,
        takes,
        has_rest: false,
    };
    let least = (1.0 - promises::TOLERANCE) * all.get() as f64;
    block.has_rest = (block.taken().get() as f64) < least;
    block
}

/// Whether frozen grain that is so by now has a day left when it is weighed out, where it comes out of the freezer then.
pub fn lasts(keeping: &Assessment, zone: &Zone, by: Instant, grain_at: Instant) -> bool {
    let left = match keeping.advice {
        Some(Advice::StraightFromTheFreezer) => 0,
        Some(Advice::DaysAfterThawing(days)) => days.into(),
        _ => return true,
    };
    // The day on which it is thawed counts, and one on which it was frozen too counts once.
    let since = keeping.frozen_since;
    let is_counted = since.is_some_and(|since| zone.date(since) == zone.date(by));
    (zone.date(grain_at) - zone.date(by)).num_days() < left + i64::from(is_counted)
}

/// Whether frozen grain can still be taken out in time for a bake that weighs it out then.
pub fn is_taken_out_for(
    (keeping, depth): (&Assessment, Option<Length>),
    (work, zone): (&Work, &Zone),
    grain_at: Instant,
    now: Instant,
) -> bool {
    let by = out_by((work, zone), depth, grain_at);
    by.is_some_and(|by| lasts(keeping, zone, by, grain_at)) && now <= latest(work, depth, grain_at)
}

/// Whether a lot lies in a freezer and is thawed for a dough that weighs it out then: nobody thaws what may not be used then.
pub fn is_thawed_for(answer: &LotAnswer, house: (&Work, &Zone), grain_at: Instant) -> bool {
    lies_in_freezer(answer.place.as_ref())
        && answer.keeping.verdict.may_be_used()
        && out_by(house, answer.depth, grain_at)
            .is_some_and(|by| lasts(&answer.keeping, house.1, by, grain_at))
}

/// Histories of grain that comes out of a freezer then, into a fridge.
pub fn taken_out(histories: &[History], at: Instant) -> Vec<History> {
    then(histories, at, placed(PlaceKind::Fridge))
}

fn placed(kind: PlaceKind) -> What {
    What::Placed {
        kind,
        stated: kind.usual_temperature(),
    }
}

/// Whether grain that is put into a freezer now may still be used once it is thawed, by a dough that weighs it out then.
pub fn is_worth_freezing(
    facts: &LotFacts,
    about: &About,
    work: &Work,
    now: Instant,
    grain_at: Instant,
) -> bool {
    let lot = (facts.histories.as_slice(), facts.depth);
    once_frozen(lot, about, work, now, grain_at).is_some_and(|then| then.verdict.may_be_used())
}

/// What grain of these histories, so thick, that is put into a freezer now is once it is thawed, for a dough that weighs it out
/// then; nothing where it is too late to freeze it for that. As the planner sees it.
pub fn once_frozen(
    (histories, depth): (&[History], Option<Length>),
    about: &About,
    work: &Work,
    now: Instant,
    grain_at: Instant,
) -> Option<Assessment> {
    let (rules, zone) = (&about.rules, &about.zone);
    let out = out_by((work, zone), depth, grain_at).filter(|out| *out >= now + FREEZING)?;
    let (shown, _) = shown_in_time(histories, rules, zone, now);
    let frozen = then(&shown, now, placed(PlaceKind::Freezer));
    Some(assess_all(&taken_out(&frozen, out), rules, zone, grain_at))
}

/// The same of grain that is for no bake yet: thawed by the end of its plan, or by the first moment after it at which
/// somebody was there to take it out.
pub fn is_worth_freezing_for_later(
    facts: &LotFacts,
    about: &About,
    work: &Work,
    now: Instant,
    end: Instant,
) -> bool {
    let (zone, lead) = (&about.zone, work.thaw.of(facts.depth).lead());
    // A plan may have run out by now.
    let end = end.max(now + FREEZING + lead);
    let days = zone.date(end - lead).iter_days().take(DAYS_BEFORE);
    let first = first_taken_out(zone, &Capacity::of(work, days), end - lead);
    [Some(end), first.map(|out| out + lead)]
        .into_iter()
        .flatten()
        .any(|grain_at| is_worth_freezing(facts, about, work, now, grain_at))
}

/// Whether what lies in a place lies in a freezer.
pub fn lies_in_freezer(place: Option<&(String, PlaceKind)>) -> bool {
    matches!(place, Some((_, PlaceKind::Freezer)))
}

/// Lots of which a bake loses what it names, as they are at a moment once their block came out before.
pub fn once_out(view: View<'_>, lost: &[LostGrain], at: Instant) -> anyhow::Result<Vec<LotAnswer>> {
    let (mut finder, about) = (FactFinder::new(view)?, view.about());
    let mut found = Vec::new();
    for one in lost {
        let mut facts = finder.facts(view.lot(&one.lot.to_string())?)?;
        if let Some(out) = one.out_before {
            facts.histories = taken_out(&facts.histories, out.by);
        }
        found.push(facts.answer(&about.rules, &about.zone, at)?);
    }
    Ok(found)
}

/// Counts lots as what they are once their block came out before.
pub fn mark_as_out(lots: &mut [LotAnswer], out: &[LotAnswer]) {
    for then in out {
        if let Some(lot) = lots.iter_mut().find(|lot| lot.lot.code == then.lot.code) {
            lot.keeping = then.keeping.clone();
        }
    }
}

/// How much a bake takes of each lot that it names, of so much wet grain with that part of dry grain: of the first what it wants, of
/// the next what is still missing.
pub fn taken_of_named<L>(
    answer: &BakeAnswer,
    lots: impl IntoIterator<Item = (L, Milligrams, f64)>,
) -> Vec<(L, Milligrams)> {
    let mut dry = Milligrams::nearest(answer.needs.dry_wanted).get() as f64;
    let mut taken = Vec::new();
    for (lot, all, part) in lots {
        let wet = ((dry / part).round() as i64).min(all.get());
        dry = (dry - wet as f64 * part).max(0.0);
        taken.push((lot, Milligrams::new(wet)));
    }
    taken
}

/// What has to come out of the freezer for a bake: of what is promised to it, or else of the lots that it names, as the sheet
/// takes it. Grain
/// that has no day left then stays where it is, and so do what the bake loses as its block comes out before and what is promised to
/// others where the accepted plan leaves the bake out.
pub fn of_bake(
    plan: Option<&AcceptedPlan>,
    answer: &BakeAnswer,
    (promised, lost): (&[PromisedGrain], &[LostGrain]),
    lots: &[LotAnswer],
    house: (&Work, &Zone),
) -> Vec<ToThaw> {
    let bake = answer.bake.code;
    let mut takes: Vec<(&LotAnswer, i64, Option<State>)> = Vec::new();
    let find = |code: LotCode| lots.iter().find(|lot| lot.lot.code == code);
    let mine = promised.iter().filter(|one| one.bake == bake);
    let mine: Vec<_> = mine.filter(|one| !one.names_others).collect();
    // What is past by then, as its block comes out before, is not taken out for it.
    for one in mine.iter().filter(|one| one.out_before.is_none()) {
        let there = one.wet.get() - one.missing.get();
        takes.extend(
            one.lot
                .and_then(find)
                .map(|lot| (lot, there, Some(one.state))),
        );
    }
    let is_unplanned = mine.is_empty() && !answer.bake.setting.lots.is_empty();
    let plan = plan.filter(|_| is_unplanned);
    let is_left_out = plan.is_some_and(|plan| promises::is_left_out(plan, answer));
    // A firm one is told where it is too late; an optional one asks for nothing.
    if is_unplanned && (answer.bake.setting.firm || !is_left_out) {
        let named = answer.bake.setting.lots.iter();
        let named = named.filter_map(|lot| find(lot.code));
        let named = named.map(|lot| (lot, lot.wet, promises::counted(&lot.estimate, false)));
        let is_lost = |lot: &LotAnswer| {
            let mut lost = lost.iter();
            lost.any(|one| (one.bake, one.lot) == (bake, lot.lot.code))
        };
        let is_others = |lot: &LotAnswer| {
            let mut promised = promised.iter();
            is_left_out && promised.any(|one| one.lot == Some(lot.lot.code))
        };
        let taken = taken_of_named(answer, named).into_iter();
        let taken = taken.filter(|(lot, _)| !is_lost(lot) && !is_others(lot));
        takes.extend(taken.map(|(lot, wet)| (lot, wet.get(), None)));
    }
    let mut thawed = to_thaw(answer, takes, house);
    for one in &mut thawed {
        one.is_left_out = is_left_out;
    }
    thawed
}

/// What has to come out of the freezer for a firm bake to which nothing is promised and that names no lot: of what its
/// sheet takes. For an optional one nothing is thawed that no plan gives it.
pub fn of_sheet(
    view: View<'_>,
    answer: &BakeAnswer,
    promised: &[PromisedGrain],
    now: Instant,
    house: (&Work, &Zone),
) -> anyhow::Result<Vec<ToThaw>> {
    let setting = &answer.bake.setting;
    if !setting.firm
        || !setting.lots.is_empty()
        || promised.iter().any(|one| one.bake == answer.bake.code)
    {
        return Ok(Vec::new());
    }
    let dough = Dough::of(setting, &answer.needs.formula);
    let at = answer.needs.grain_at().max(now);
    let lots = match promised_dough::find(view, answer, dough, (at, Unshown::CountedOn(now))) {
        Ok(found) => found.lots,
        // Its own sheet says what is wrong.
        Err(error) if Refusal::of(&error).is_some() => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let draws = lots.whole_grams();
    let takes = draws.iter().filter_map(|(lot, wet)| {
        let mut answers = lots.answers.iter();
        let answer = answers.find(|answer| answer.lot.code == lot.code)?;
        Some((answer, wet.get(), None))
    });
    Ok(to_thaw(answer, takes.collect(), house))
}

/// What lies in a freezer of what a bake takes, with by when it comes out.
fn to_thaw(
    answer: &BakeAnswer,
    takes: Vec<(&LotAnswer, i64, Option<State>)>,
    house: (&Work, &Zone),
) -> Vec<ToThaw> {
    let bake = answer.bake.code;
    let grain_at = answer.needs.grain_at();
    takes
        .into_iter()
        .filter(|(lot, wet, _)| {
            *wet > 0 && lies_in_freezer(lot.place.as_ref()) && lot.keeping.verdict.may_be_used()
        })
        .filter_map(|(lot, wet, planned)| {
            let by = out_by(house, lot.depth, grain_at)?;
            lasts(&lot.keeping, house.1, by, grain_at).then_some(ToThaw {
                lot: lot.lot.code,
                wet: Milligrams::new(wet),
                all: lot.wet,
                by,
                latest: latest(house.0, lot.depth, grain_at),
                grain_at,
                bake,
                planned,
                is_left_out: false,
            })
        })
        .collect()
}

/// Lots of the bake that was just written down that lay in a freezer by the book when their grain was weighed out.
pub fn still_frozen(
    view: View<'_>,
    draws: &[(LotRecord, Milligrams)],
    weighed_out_at: Instant,
) -> anyhow::Result<Vec<Notice>> {
    let mut finder = FactFinder::new(view)?;
    let baked = view.last_entry()?;
    let fridge = fit_places::fridge(view, weighed_out_at)?;
    let mut told = Vec::new();
    for (lot, _) in draws {
        let facts = finder.facts(lot.clone())?;
        let mut histories = facts.histories.iter();
        if histories.any(|history| history.is_in_freezer(weighed_out_at)) {
            told.push(Notice::StillFrozen {
                lot: lot.code,
                fridge: fridge.clone(),
                strike_first: (facts.wet == Milligrams::ZERO).then_some(baked),
            });
        }
    }
    Ok(told)
}

/// Lots that were just put into a freezer and that a bake takes as they were: by when they come out again.
pub fn of_frozen(
    view: View<'_>,
    frozen: &[LotRecord],
    now: Instant,
) -> anyhow::Result<Vec<Notice>> {
    let mut finder = FactFinder::new(view)?;
    let mut lots = Vec::new();
    for lot in frozen {
        lots.push(finder.answer(lot.clone(), now)?);
    }
    lots.retain(|lot| lies_in_freezer(lot.place.as_ref()));
    if lots.is_empty() {
        return Ok(Vec::new());
    }
    let (judged, work) = (promises::judged(view, now)?, view.house()?.work);
    let plan = view.accepted_plan()?;
    let promised = (judged.grain.as_slice(), judged.lost.as_slice());
    let mut told = Vec::new();
    for record in view.bakes(Which::Open)? {
        let answer = BakeAnswer::of(record)?;
        if answer.is_overdue(now) {
            continue;
        }
        let house = (&work, &view.about().zone);
        let thawed = of_bake(plan.as_ref(), &answer, promised, &lots, house);
        let unplanned = thawed
            .iter()
            .filter(|one| one.planned != Some(State::Thawed) && !one.is_left_out);
        told.extend(unplanned.map(|one| Notice::MustBeThawed {
            lot: one.lot,
            wet: one.wet,
            bake: one.bake,
            by: one.by,
        }));
    }
    Ok(told)
}
