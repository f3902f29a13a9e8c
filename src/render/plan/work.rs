//! What a plan says is to be done by when: a line for each job, jobs of one moment together.

use super::Words;
use super::freezer::{NOT_SPLIT, in_one_block, in_portions, into_places};
use crate::planning::plan::{Action, Work};
use crate::render::times;

/// A job, or several that differ in their lots only.
pub(in crate::render) struct Task {
    /// The job, or what they share.
    pub line: String,
    /// Each lot of several.
    pub parts: Vec<String>,
}

impl Words<'_> {
    /// What is to be done, day by day.
    pub(in crate::render) fn days_of_work(&self) -> Vec<(String, Vec<Task>)> {
        let today = self.zone.date(self.answer.ground.situation.now);
        self.answer
            .days(self.zone)
            .into_iter()
            .map(|(day, actions)| {
                let alike = actions.chunk_by(|one, next| self.shared(one) == self.shared(next));
                let tasks = alike.map(|actions| self.tasks(actions));
                (times::date(day, today), tasks.collect())
            })
            .collect()
    }

    /// Jobs that share all but their lots.
    fn tasks(&self, actions: &[Action]) -> Task {
        if let [only] = actions {
            return Task {
                line: self.task(only),
                parts: Vec::new(),
            };
        }
        Task {
            line: format!("{}:", self.shared(&actions[0])),
            parts: actions.iter().map(|action| self.part(action)).collect(),
        }
    }

    /// `by 21:00: freeze all 6.2 kg of COR-261120-15 in freezer`, or `now, was due Fri 20 Nov 21:00: freeze …`.
    fn task(&self, action: &Action) -> String {
        let into = self.goes_into(action);
        let grain = self.grain_of(action);
        let words = task_words(action.work, &grain, (into.as_deref(), self.bake_of(action)));
        format!("{}: {words}{}", self.by(action), self.parted(action))
    }

    /// `by 21:00: freeze in freezer`: a job without its lot.
    fn shared(&self, action: &Action) -> String {
        let into = self.goes_into(action);
        let work = match action.work {
            Work::Freeze => match into {
                Some(into) => format!("freeze in {into}"),
                None => "freeze".to_owned(),
            },
            Work::Dry => match into {
                Some(into) => format!("start drying; the dried grain goes into {into}"),
                None => "start drying".to_owned(),
            },
            Work::Thaw => format!(
                "take from the freezer into {}",
                into.as_deref().unwrap_or(FRIDGE)
            ),
        };
        format!("{}: {work}", self.by(action))
    }

    /// `2.5 kg of COR-261120-15, for B-1S`: the lot of a job. Portions add up to the grain of a lot.
    fn part(&self, action: &Action) -> String {
        let bake = self.bake_of(action);
        let bake = bake.map_or(String::new(), |bake| format!(", for {bake}"));
        let is_all = action.wet == self.answer.ground.situation.lots[action.lot].wet;
        let grain = match is_all && self.is_in_portions(action) {
            true => self.code(action.lot).to_owned(),
            false => self.grain_of(action),
        };
        format!("{grain}{bake}{}", self.parted(action))
    }

    /// `, in 2 portions: 2.5 kg for B-1S, 3.7 kg to spare`, or what is told of a block; nothing of grain that stays in one.
    fn parted(&self, action: &Action) -> String {
        let portions = || in_portions(&self.portions(action), self.units);
        let whole = || self.whole_block(action).or_else(portions);
        let parts = self.shared_block(action).or_else(whole);
        parts.unwrap_or_default()
    }

    /// The bake that a job is for, where it is for one.
    fn bake_of(&self, action: &Action) -> Option<&str> {
        let bake = self.answer.bake_of(action)?;
        Some(self.bake(bake))
    }

    /// Whether a job freezes grain in more than one portion.
    fn is_in_portions(&self, action: &Action) -> bool {
        action.work == Work::Freeze && self.portions(action).len() > 1
    }

    /// `, one block: 3.3 kg for B-4M, 2.7 kg for B-5K`: of a block that comes out for several bakes.
    fn shared_block(&self, action: &Action) -> Option<String> {
        let all = self.answer.block(action)?;
        let takes = self.portions(action);
        let taken: i64 = takes.iter().map(|(_, wet, _)| wet.get()).sum();
        // Nobody weighs what the scale leaves over.
        let portion = self.answer.ground.situation.capacity.portion;
        let has_rest = all.get() - taken >= portion.get();
        in_one_block(&takes, has_rest, self.units)
    }

    /// `by 21:00`, `by 21:00 at the latest`, `now, was due Fri 20 Nov 21:00`, or `now, by Fri 20 Nov 22:30 at the latest` of a block
    /// that is taken out after its evening.
    fn by(&self, action: &Action) -> String {
        if action.by == self.answer.ground.situation.now
            && let Some(latest) = self.answer.latest(action)
        {
            return format!("now, by {}{}", self.when(latest), times::AT_THE_LATEST);
        }
        let by = self.zone.local(action.by).format("%H:%M");
        match self.answer.was_due(action) {
            Some(due) => format!("now, was due {}", self.when(due)),
            None if self.answer.is_last_moment(action) => {
                format!("by {by}{}", times::AT_THE_LATEST)
            }
            None => format!("by {by}"),
        }
    }

    /// The places where a job may bring its grain.
    fn goes_into(&self, action: &Action) -> Option<String> {
        into_places(&self.portions(action))
    }

    /// How the jobs are done, a sentence each.
    pub(super) fn how_to_work(&self) -> Vec<String> {
        let actions = &self.answer.plan.actions;
        let is_any = |work: Work| actions.iter().any(|action| action.work == work);
        let mut how = Vec::new();
        if is_any(Work::Freeze) {
            let in_portions = actions.iter().any(|action| self.is_in_portions(action));
            // Who freezes in portions is told of flat bags with them.
            how.push(if in_portions {
                NOT_SPLIT.to_owned()
            } else {
                "Freeze in flat bags.".to_owned()
            });
            how.push(
                "Keep a bag tied only while it is frozen: open it to thaw. Never vacuum-pack."
                    .to_owned(),
            );
            if !self.is_brief() {
                how.push(format!(
                    "Thawing takes {}{}.",
                    self.thawing_takes(),
                    self.typed("draff settings thaw")
                ));
            }
        }
        if !actions.is_empty() {
            how.push("If you miss a time, plan again.".to_owned());
        }
        if is_any(Work::Dry) {
            how.push(format!(
                "Drying is planned to take {} from its start: begin so early that somebody is there until it is dry{}.",
                times::minutes(self.answer.ground.situation.capacity.drying.num_minutes()),
                self.typed("draff settings drying-time")
            ));
        }
        how
    }

    /// `6.2 kg of COR-261120-15`, or `all 6.2 kg of` it.
    fn grain_of(&self, action: &Action) -> String {
        let all = self.answer.ground.situation.lots[action.lot].wet;
        // Of a block for several bakes all is named, and what each takes of it behind.
        let block = self.answer.block(action);
        let is_for_several = self.answer.shares(action).len() > 1;
        let wet = block.filter(|_| is_for_several).unwrap_or(action.wet);
        format!(
            "{}{} of {}",
            if wet == all { "all " } else { "" },
            self.wet(wet),
            self.code(action.lot)
        )
    }
}

/// Where grain thaws, if no fridge is known by name.
const FRIDGE: &str = "a fridge";

/// `freeze 6.2 kg of COR-261120-15`.
pub(in crate::render) fn task_words(
    work: Work,
    grain: &str,
    (into, bake): (Option<&str>, Option<&str>),
) -> String {
    let bake = bake.map_or(String::new(), |bake| format!(", for {bake}"));
    match work {
        Work::Freeze => match into {
            Some(into) => format!("freeze {grain} in {into}{bake}"),
            None => format!("freeze {grain}{bake}"),
        },
        // The moment of the job is when it begins.
        Work::Dry => match into {
            Some(into) => format!("start drying {grain}; the dried grain goes into {into}"),
            None => format!("start drying {grain}"),
        },
        Work::Thaw => format!(
            "take {grain} from the freezer into {}{bake}",
            into.unwrap_or(FRIDGE)
        ),
    }
}
