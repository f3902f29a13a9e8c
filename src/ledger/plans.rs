//! Accepted plans: what was promised to which bake, and what was to be done.

use super::in_force::IN_FORCE;
use super::new_entry::NewEntry;
use super::{Act, BakeRecord, LotRecord, View, columns};
use crate::dough::bake_code::BakeCode;
use crate::planning::plan::Work;
use crate::planning::windows::State;
use crate::quantity::{Instant, Milligrams, Problem};
use rusqlite::{OptionalExtension, params};

/// A plan to accept.
#[derive(Debug, Clone)]
pub struct NewPlan<'a> {
    /// Until when it plans.
    pub until: Instant,
    /// Whether it counts each lot at the wet end of its moisture, and not at the estimate.
    pub careful: bool,
    /// What it promises.
    pub draws: Vec<NewDraw<'a>>,
    /// What is to be done.
    pub tasks: Vec<NewTask<'a>>,
}

/// Grain to promise to a bake.
#[derive(Debug, Clone, Copy)]
pub struct NewDraw<'a> {
    /// The bake.
    pub bake: &'a BakeRecord,
    /// The lot.
    pub lot: &'a LotRecord,
    /// In which state it goes into the dough.
    pub state: State,
    /// Wet grain.
    pub wet: Milligrams,
    /// The dry grain in it, as the plan counts it.
    pub dry: Milligrams,
}

/// Something to be done by a moment.
#[derive(Debug, Clone, Copy)]
pub struct NewTask<'a> {
    /// What.
    pub work: Work,
    /// With which lot.
    pub lot: &'a LotRecord,
    /// How much of it.
    pub wet: Milligrams,
    /// By when.
    pub by: Instant,
    /// For which bake, where thawing is for one.
    pub bake: Option<&'a BakeRecord>,
}

/// An accepted plan, as the book holds it.
#[derive(Debug, Clone)]
pub struct AcceptedPlan {
    /// Its entry.
    pub entry: i64,
    /// When it was accepted.
    pub accepted_at: Instant,
    /// Until when it planned.
    pub until: Instant,
    /// Whether it counted each lot at the wet end of its moisture, and not at the estimate.
    pub careful: bool,
    /// What it promised.
    pub draws: Vec<PlanDraw>,
    /// What was to be done.
    pub tasks: Vec<PlanTask>,
}

/// Grain promised to a bake.
#[derive(Debug, Clone)]
pub struct PlanDraw {
    /// The bake.
    pub bake: BakeCode,
    /// The lot.
    pub lot: LotRecord,
    /// In which state it goes into the dough.
    pub state: State,
    /// Wet grain.
    pub wet: Milligrams,
    /// The dry grain that was counted on in it; nothing where the plan was accepted before books held it.
    pub dry: Option<Milligrams>,
}

/// Something that was to be done.
#[derive(Debug, Clone)]
pub struct PlanTask {
    /// What.
    pub work: Work,
    /// With which lot.
    pub lot: LotRecord,
    /// How much of it.
    pub wet: Milligrams,
    /// By when.
    pub by: Instant,
    /// For which bake, where thawing is for one.
    pub bake: Option<BakeCode>,
}

/// How much an accepted plan holds, for the log.
#[derive(Debug, Clone, Copy)]
pub struct PlanSize {
    /// Until when it planned.
    pub until: Instant,
    /// How many draws it promised.
    pub draws: u32,
    /// How many things were to be done.
    pub tasks: u32,
}

impl View<'_> {
    /// The accepted plan in force, the newest that was not struck.
    pub fn accepted_plan(&self) -> anyhow::Result<Option<AcceptedPlan>> {
        let _still = self.hold_still()?;
        let newest: Option<i64> = self
            .connection
            .prepare_cached(&format!(
                "SELECT id FROM entry WHERE kind = 'plan' AND {IN_FORCE} ORDER BY id DESC LIMIT 1"
            ))?
            .query_row([], |row| row.get(0))
            .optional()?;
        Ok(newest.map(|entry| self.plan_of_entry(entry)).transpose()?)
    }

    /// The plan that an entry accepted.
    pub(super) fn plan_of_entry(&self, entry: i64) -> rusqlite::Result<AcceptedPlan> {
        let (at, until, careful) = self
            .connection
            .prepare_cached(
                "SELECT entry.at, plan.until_at, plan_moisture.taken IS NOT NULL
                 FROM entry JOIN plan ON plan.entry_id = entry.id LEFT JOIN plan_moisture ON plan_moisture.entry_id = entry.id
                 WHERE entry.id = ?1",
            )?
            .query_row(params![entry], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
        Ok(AcceptedPlan {
            entry,
            accepted_at: columns::instant(at),
            until: columns::instant(until),
            careful,
            draws: self.plan_draws(entry)?,
            tasks: self.plan_tasks(entry)?,
        })
    }

    /// What every plan that was ever accepted asked for, those replaced and struck too, with the plan's entry and
    /// when it was accepted, the newest plan first.
    pub fn tasks_of_plans(&self) -> anyhow::Result<Vec<(i64, Instant, PlanTask)>> {
        let _still = self.hold_still()?;
        let plans: Vec<(i64, i64)> = self
            .connection
            .prepare_cached("SELECT id, at FROM entry WHERE kind = 'plan' ORDER BY id DESC")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        let mut found = Vec::new();
        for (entry, at) in plans {
            let tasks = self.plan_tasks(entry)?;
            found.extend(
                tasks
                    .into_iter()
                    .map(|task| (entry, columns::instant(at), task)),
            );
        }
        Ok(found)
    }

    fn plan_draws(&self, entry: i64) -> rusqlite::Result<Vec<PlanDraw>> {
        let mut statement = self.connection.prepare_cached(
            "SELECT bake_id, lot_id, state, wet_mg, dry_mg
             FROM plan_draw LEFT JOIN plan_dry USING (entry_id, bake_id, lot_id, state)
             WHERE entry_id = ?1 ORDER BY bake_id, lot_id, state",
        )?;
        let mut rows = statement.query(params![entry])?;
        let mut draws = Vec::new();
        while let Some(row) = rows.next()? {
            draws.push(PlanDraw {
                bake: BakeCode::new(row.get(0)?),
                lot: self.lot_by_id(row.get(1)?)?,
                state: word(row.get_ref(2)?.as_str().map_err(columns::damaged)?)?,
                wet: Milligrams::new(row.get(3)?),
                dry: row.get::<_, Option<i64>>(4)?.map(Milligrams::new),
            });
        }
        Ok(draws)
    }

    fn plan_tasks(&self, entry: i64) -> rusqlite::Result<Vec<PlanTask>> {
        let mut statement = self.connection.prepare_cached(
            "SELECT work, lot_id, wet_mg, by_at, bake_id FROM plan_task WHERE entry_id = ?1 ORDER BY position",
        )?;
        let mut rows = statement.query(params![entry])?;
        let mut tasks = Vec::new();
        while let Some(row) = rows.next()? {
            tasks.push(PlanTask {
                work: word(row.get_ref(0)?.as_str().map_err(columns::damaged)?)?,
                lot: self.lot_by_id(row.get(1)?)?,
                wet: Milligrams::new(row.get(2)?),
                by: columns::instant(row.get(3)?),
                bake: row.get::<_, Option<u32>>(4)?.map(BakeCode::new),
            });
        }
        Ok(tasks)
    }

    pub(super) fn plan_size(&self, entry: i64) -> rusqlite::Result<PlanSize> {
        self.connection
            .prepare_cached(
                "SELECT until_at, (SELECT count(*) FROM plan_draw WHERE entry_id = ?1),
                        (SELECT count(*) FROM plan_task WHERE entry_id = ?1)
                 FROM plan WHERE entry_id = ?1",
            )?
            .query_row(params![entry], |row| {
                Ok(PlanSize {
                    until: columns::instant(row.get(0)?),
                    draws: row.get(1)?,
                    tasks: row.get(2)?,
                })
            })
    }

    /// How often the plan in force may have become another: a plan was accepted, or an entry struck.
    pub fn turns_of_plan(&self) -> anyhow::Result<u32> {
        Ok(self
            .connection
            .prepare_cached("SELECT count(*) FROM entry WHERE kind IN ('plan', 'strike')")?
            .query_row([], |row| row.get(0))?)
    }

    /// The number of the last entry; 0 in a book without any.
    pub fn last_entry(&self) -> anyhow::Result<i64> {
        Ok(self
            .connection
            .prepare_cached("SELECT coalesce(max(id), 0) FROM entry")?
            .query_row([], |row| row.get(0))?)
    }
}

fn word<T: std::str::FromStr<Err = Problem>>(text: &str) -> rusqlite::Result<T> {
    text.parse().map_err(columns::damaged)
}

impl Act<'_> {
    /// Accepts a plan: from here on it is the one in force.
    ///
    /// Whether the plan still fits the book is the caller's question.
    pub(crate) fn accept_plan(&mut self, plan: &NewPlan<'_>) -> anyhow::Result<()> {
        let entry = self.write(None, self.now(), NewEntry::Plan)?;
        self.transaction.execute(
            "INSERT INTO plan (entry_id, until_at) VALUES (?1, ?2)",
            params![entry, columns::seconds(plan.until)],
        )?;
        if plan.careful {
            self.transaction.execute(
                "INSERT INTO plan_moisture (entry_id, taken) VALUES (?1, 'wet-end')",
                params![entry],
            )?;
        }
        for draw in &plan.draws {
            let (bake, lot, state) = (draw.bake.id, draw.lot.id, draw.state.as_str());
            self.transaction.execute(
                "INSERT INTO plan_draw (entry_id, bake_id, lot_id, state, wet_mg) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![entry, bake, lot, state, draw.wet.get()],
            )?;
            self.transaction.execute(
                "INSERT INTO plan_dry (entry_id, bake_id, lot_id, state, dry_mg) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![entry, bake, lot, state, draw.dry.get()],
            )?;
        }
        for (position, task) in (1i64..).zip(&plan.tasks) {
            self.transaction.execute(
                "INSERT INTO plan_task (entry_id, position, work, lot_id, wet_mg, by_at, bake_id)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![
                    entry,
                    position,
                    task.work.as_str(),
                    task.lot.id,
                    task.wet.get(),
                    columns::seconds(task.by),
                    task.bake.map(|bake| bake.id)
                ],
            )?;
        }
        Ok(())
    }
}
