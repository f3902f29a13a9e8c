//! Which bake to add, to make larger or to make of more lots, so that less grain is left over.

use super::plan::no_plan;
use crate::desk::plan_facts::{self, PlanOf, as_planned};
use crate::desk::{Answer, Desk, Progress, Watch};
use crate::dough::formula::Formula;
use crate::dough::timetable::Point;
use crate::ledger::{BakeSetting, FormulaRecord};
use crate::planning::Plan;
use crate::planning::advise::worth::Tests;
use crate::planning::advise::{self, Candidate};
use crate::planning::problem::Bake;
use crate::planning::windows::{Fit, Windows};
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::advise::{AdviseAnswer, Change, ChangeKind};
use crate::report::bake::BakeNeeds;
use crate::report::plan::PlanGround;
use chrono::{Days, NaiveTime};

impl Desk {
    /// Looks at changes to the bakes of so many days, today counted, and at tests of lots, each by planning with it. The book
    /// is free for others while the search goes on.
    pub fn advise(&self, days: u32, watch: &mut dyn Watch) -> anyhow::Result<Answer<AdviseAnswer>> {
        let view = self.view();
        let request = PlanOf {
            days,
            careful: false,
            reopen: false,
        };
        let still = view.hold_still()?;
        let ground = plan_facts::find(view, self.now, request)?;
        let formulas = view.formulas()?;
        // A search takes seconds, and others may write meanwhile.
        drop(still);
        let plan = advise::plan(&ground.situation, &mut |aim| {
            watch.goes_on(Progress::Plan(aim))
        })
        .map_err(|reason| no_plan(reason, &ground))?;
        let mut found = Found::new(&ground, &plan);
        found.larger_bakes()?;
        found.blends()?;
        found.further_bakes(&formulas, self.zone())?;
        let Found {
            changes,
            candidates,
            at_most,
            ..
        } = found;
        let most = advise::most_candidates(&ground.situation);
        let all = candidates.len().min(most);
        let advised = advise::check(&ground.situation, &plan, &candidates, &mut |looked_at| {
            watch.goes_on(Progress::Advise { looked_at, all })
        });
        let tests = Tests::new(&ground.situation, &plan, ground.testable(&plan));
        let all = tests.plans();
        let tested =
            tests.work_out(&mut |looked_at| watch.goes_on(Progress::Tests { looked_at, all }));
        let answer = AdviseAnswer {
            ground,
            plan,
            changes,
            advised,
            tested,
            at_most,
        }
        .with_the_best_of_each();
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions))
    }
}

/// Changes that could take what is left over.
struct Found<'a> {
    ground: &'a PlanGround,
    plan: &'a Plan,
    /// Lots of which something is left over, with how much.
    wasted: Vec<(usize, Milligrams)>,
    changes: Vec<Change>,
    candidates: Vec<Candidate>,
    at_most: Vec<usize>,
}

impl<'a> Found<'a> {
    fn new(ground: &'a PlanGround, plan: &'a Plan) -> Self {
        let wasted = advise::wasted(&ground.situation, plan);
        let step = ground.situation.capacity.step;
        Self {
            ground,
            plan,
            wasted: wasted
                .into_iter()
                .enumerate()
                .filter(|(_, dry)| *dry > step)
                .collect(),
            changes: Vec::new(),
            candidates: Vec::new(),
            at_most: Vec::new(),
        }
    }

    /// More pieces of the bakes to come, or a greater share where one was asked for by itself.
    fn larger_bakes(&mut self) -> anyhow::Result<()> {
        for (index, answer) in self.ground.bakes.iter().enumerate() {
            let fits = self.amounts_for(std::slice::from_ref(&self.ground.situation.bakes[index]));
            let fits: Vec<Milligrams> = fits.into_iter().map(|(_, dry)| dry).collect();
            if fits.is_empty() {
                continue;
            }
            let setting = &answer.bake.setting;
            let got = self.plan.bakes[index].dry.get();
            let highest = Milligrams::nearest(answer.needs.dry_highest).get();
            if setting.share.is_none() && got + self.ground.situation.capacity.step.get() >= highest
            {
                self.at_most.push(index);
            }
            for wasted in up_to_all(&fits) {
                let taken = got + wasted.get();
                let each = highest as f64 / f64::from(setting.pieces);
                let pieces = pieces_for(taken, each, 2 * setting.pieces);
                if pieces > setting.pieces {
                    let larger = BakeSetting {
                        pieces,
                        ..setting.clone()
                    };
                    let what = ChangeKind::Pieces {
                        bake: answer.bake.code,
                        before: setting.pieces,
                    };
                    self.add(Some(index), what, &larger, wasted)?;
                }
                let most = answer.needs.formula.grain.highest;
                if let Some(before) = setting.share.filter(|_| got > 0) {
                    let wanted = before * taken as f64 / got as f64;
                    // To the tenth of a percent, as one would type it.
                    let share = (wanted.min(most) * 1000.0 + 1e-6).floor() / 1000.0;
                    if share > before {
                        let richer = BakeSetting {
                            share: Some(share),
                            ..setting.clone()
                        };
                        let what = ChangeKind::Share {
                            bake: answer.bake.code,
                            before,
                            share,
                        };
                        self.add(Some(index), what, &richer, wasted)?;
                    }
                }
            }
        }
        Ok(())
    }

    /// One lot more for a bake that is short, or that grain which is left over would fit, where more lots fit than it may be
    /// made of.
    fn blends(&mut self) -> anyhow::Result<()> {
        let bakes = &self.ground.bakes;
        if bakes
            .iter()
            .all(|bake| bake.bake.setting.most_lots.is_none())
        {
            return Ok(());
        }
        let windows = Windows::of(&self.ground.situation);
        for (index, answer) in bakes.iter().enumerate() {
            let setting = &answer.bake.setting;
            let Some(before) = setting.most_lots else {
                continue;
            };
            let fits = |lot: usize| matches!(windows.lots[lot].bakes[index], Fit::Fits { .. });
            let fitting = (0..windows.lots.len()).filter(|lot| fits(*lot)).count();
            let left = self.wasted.iter().filter(|(lot, _)| fits(*lot));
            let left: i64 = left.map(|(_, dry)| dry.get()).sum();
            let gains = Milligrams::new(left.max(self.plan.bakes[index].short.get()));
            if fitting <= before as usize || gains == Milligrams::ZERO {
                continue;
            }
            let lots = before + 1;
            let blended = BakeSetting {
                most_lots: Some(lots),
                ..setting.clone()
            };
            let what = ChangeKind::Blend {
                bake: answer.bake.code,
                before,
                lots,
            };
            self.add(Some(index), what, &blended, gains)?;
        }
        Ok(())
    }

    /// A further bake of each formula, on the first day on which a lot may go into it.
    fn further_bakes(&mut self, formulas: &[FormulaRecord], zone: &Zone) -> anyhow::Result<()> {
        for record in formulas {
            let formula = record.formula()?;
            let (Some(pieces), Some(piece)) = (formula.pieces, formula.piece) else {
                continue;
            };
            let settings = self.days_of(record, &formula, (pieces, piece), zone);
            let mut planned = Vec::new();
            for setting in settings {
                let Ok(needs) = BakeNeeds::of(&setting) else {
                    continue;
                };
                let situation = &self.ground.situation;
                let is_in_time = needs.timetable.begins_at() >= situation.now
                    && needs.timetable.mix_at <= situation.end;
                if is_in_time {
                    let bake = as_planned("new".to_owned(), &setting, &needs, situation.now);
                    planned.push((setting, bake));
                }
            }
            let bakes: Vec<Bake> = planned.iter().map(|(_, bake)| bake.clone()).collect();
            for (first, wasted) in self.amounts_for(&bakes) {
                let (setting, bake) = &planned[first];
                let each = bake.highest.get() as f64 / f64::from(pieces);
                let further = BakeSetting {
                    pieces: pieces_for(wasted.get(), each, 2 * pieces),
                    ..setting.clone()
                };
                let what = ChangeKind::Add {
                    at: further.at,
                    point: further.point,
                };
                self.add(None, what, &further, wasted)?;
            }
        }
        Ok(())
    }

    /// A usual batch of the formula on each day, at the time of day at which the house bakes it.
    fn days_of(
        &self,
        record: &FormulaRecord,
        formula: &Formula,
        (pieces, piece): (u32, Milligrams),
        zone: &Zone,
    ) -> Vec<BakeSetting> {
        let settings = || self.ground.bakes.iter().map(|bake| &bake.bake.setting);
        let like = settings()
            .find(|setting| setting.formula.name == record.name)
            .or_else(|| settings().next());
        let usual = NaiveTime::from_hms_opt(7, 30, 0).unwrap_or_default();
        let (time, point) = match like {
            Some(like) => (zone.local(like.at).time(), like.point),
            None => (usual, Point::Ready),
        };
        // Of a dough without steps nobody knows when it is ready.
        let point = if formula.steps.is_empty() {
            Point::Mix
        } else {
            point
        };
        let situation = &self.ground.situation;
        let today = zone.date(situation.now);
        let days = (zone.date(situation.end) - today).num_days().max(0) as u64;
        (0..=days)
            .map(|day| today + Days::new(day))
            .filter(|day| !situation.capacity.hands_off.contains(day))
            .filter_map(|day| zone.resolve(day.and_time(time)).ok())
            .map(|at: Instant| BakeSetting {
                formula: record.clone(),
                point,
                at,
                pieces,
                piece,
                share: None,
                firm: false,
                most_lots: None,
                free_of: None,
                lots: Vec::new(),
                note: None,
            })
            .collect()
    }

    /// For each lot of which something is left over the first of these bakes that may have it, and how much
    /// that is; what several lots have for one bake also together.
    fn amounts_for(&self, bakes: &[Bake]) -> Vec<(usize, Milligrams)> {
        let mut amounts: Vec<(usize, Milligrams)> = Vec::new();
        for (lot, dry) in &self.wasted {
            let fits = advise::fits(&self.ground.situation, *lot, bakes);
            if let Some(first) = fits.iter().position(|fits| *fits) {
                amounts.push((first, *dry));
            }
        }
        amounts
    }

    fn add(
        &mut self,
        changes: Option<usize>,
        what: ChangeKind,
        setting: &BakeSetting,
        gains: Milligrams,
    ) -> anyhow::Result<()> {
        let situation = &self.ground.situation;
        let needs = BakeNeeds::of(setting)?;
        let code = changes.map_or("new", |bake| &situation.bakes[bake].code);
        let bake = as_planned(code.to_owned(), setting, &needs, situation.now);
        let dough = |setting: &BakeSetting| setting.piece.get() * i64::from(setting.pieces);
        let before = changes.map_or(0, |bake| dough(&self.ground.bakes[bake].bake.setting));
        let more_dough = Milligrams::new((dough(setting) - before).max(0));
        let got = changes.map_or(0, |bake| self.plan.bakes[bake].dry.get());
        let room = Milligrams::new((bake.highest.get() - got).max(0));
        let is_known = self
            .changes
            .iter()
            .zip(&self.candidates)
            .any(|(known, one)| {
                known.what.as_key() == what.as_key() && one.changes == changes && one.bake == bake
            });
        if is_known {
            return Ok(());
        }
        self.candidates.push(Candidate {
            changes,
            bake,
            more_dough,
            could_take: gains.min(room),
        });
        self.changes.push(Change {
            what,
            formula: setting.formula.name.clone(),
            mix_at: needs.timetable.mix_at,
            pieces: setting.pieces,
            more_dough,
        });
        Ok(())
    }
}

/// Each amount by itself, and all together.
fn up_to_all(amounts: &[Milligrams]) -> Vec<Milligrams> {
    let mut all = amounts.to_vec();
    if all.len() > 1 {
        all.push(Milligrams::new(amounts.iter().map(|one| one.get()).sum()));
    }
    all
}

/// Whole pieces that take so much grain, no more than `most`, and one at least.
fn pieces_for(dry: i64, each: f64, most: u32) -> u32 {
    let pieces = (dry as f64 / each - 1e-6).ceil();
    (pieces.max(1.0) as u32).min(most)
}
