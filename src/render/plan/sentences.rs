//! What there is to say of a plan, one sentence at a time.

use crate::keeping::PlaceKind;
use crate::planning::plan::{Action, Draw, Fate, Leftover, PlannedBake, Work, dry_in};
use crate::planning::windows::State;
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::render::numbers::Units;
use crate::render::plan::{NOT_SPLIT, bakes_apart, in_portions, into_places};
use crate::render::times;
use crate::report::bake::BakeAnswer;
use crate::report::plan::{Change, Moved, PlanAnswer};

/// Headings of the list of bakes.
pub(in crate::render) const BAKE_HEADINGS: [&str; 4] = ["BAKE", "MIX", "DRY GRAIN", "FORMULA"];
/// In place of the list of work.
pub(in crate::render) const NOTHING_TO_DO: &str = "Nothing has to be frozen, dried or thawed.";
/// In place of the list of what is left.
pub(in crate::render) const NOTHING_SPARE: &str = "Nothing: the bakes take all of it.";

/// A dough that takes exactly so much grain is told to come out otherwise where that is more than this part of it: judgement.
const WORTH_TELLING: f64 = 0.05;

/// What every part of the answer needs.
#[derive(Clone, Copy)]
pub(in crate::render) struct Words<'a> {
    pub answer: &'a PlanAnswer,
    pub units: Units,
    pub zone: &'a Zone,
    /// Whether commands are named: on the page nobody types them.
    pub is_typed: bool,
}

impl Words<'_> {
    /// `Plan from Fri 20 Nov 2026 19:30 (Europe/Dublin) to Thu 3 Dec: 7 bakes, 8 lots`.
    pub fn heading(&self) -> String {
        let situation = &self.answer.ground.situation;
        format!(
            "Plan from {} to {}: {}, {}{}",
            times::heading(situation.now, self.zone),
            self.when(situation.end).trim_end_matches(times::END_OF_DAY),
            count(situation.bakes.len(), "bake"),
            count(situation.lots.len(), "lot"),
            if situation.careful {
                ", on the dry grain that each lot holds at least"
            } else {
                ""
            }
        )
    }

    pub fn code(&self, lot: usize) -> &str {
        &self.answer.ground.situation.lots[lot].code
    }

    pub fn bake(&self, bake: usize) -> &str {
        &self.answer.ground.situation.bakes[bake].code
    }

    pub fn dry(&self, mass: Milligrams) -> String {
        self.units.listed(mass.mass())
    }

    pub fn when(&self, at: Instant) -> String {
        times::moment(at, self.answer.ground.situation.now, self.zone)
    }

    /// Dry grain that a bake gets.
    pub fn got(&self, planned: &PlannedBake) -> String {
        if planned.happens {
            self.dry(planned.dry)
        } else {
            "not baked".to_owned()
        }
    }

    /// What there is to say of one bake, a line each.
    pub fn of_bake(&self, index: usize, planned: &PlannedBake) -> Vec<String> {
        let situation = &self.answer.ground.situation;
        let (asked, step) = (&situation.bakes[index], situation.capacity.step.get());
        let mut lines: Vec<String> = planned
            .draws
            .iter()
            .map(|draw| {
                format!(
                    "{} of {}{}, {} dry",
                    self.units.weighed(draw.wet),
                    self.code(draw.lot),
                    self.state(draw),
                    self.dry(draw.dry)
                )
            })
            .collect();
        if planned.short > Milligrams::ZERO {
            let why = planned
                .reason
                .as_ref()
                .map_or(String::new(), |reason| format!(": {}", self.reason(reason)));
            lines.push(format!("SHORT {} dry{why}", self.dry(planned.short)));
        } else if !planned.happens {
            lines.extend(planned.reason.as_ref().map(|reason| self.reason(reason)));
        } else if planned.dry.get() + step < asked.wanted.get() {
            lines.push(format!(
                "wanted {}, minimum {}",
                self.dry(asked.wanted),
                self.dry(asked.lowest)
            ));
        } else if planned.dry.get() > asked.wanted.get() + step {
            lines.push(format!(
                "wanted {}, at most {}",
                self.dry(asked.wanted),
                self.dry(asked.highest)
            ));
        }
        let is_exact = asked.lowest == asked.wanted
            && (planned.dry.get() - asked.wanted.get()).abs() <= step
            && !situation.careful;
        if is_exact {
            lines.extend(self.either_side(asked.wanted, planned));
        } else if let Some(chance) = planned.chance_below.filter(|chance| *chance >= 0.005)
            && planned.short == Milligrams::ZERO
        {
            lines.push(format!(
                "in {:.0} of 100 cases too little for the bake (minimum {} dry), as its moisture is uncertain",
                (chance * 100.0).round().clamp(1.0, 99.0),
                self.dry(asked.lowest)
            ));
        }
        lines
    }

    /// What is done to the grain before it goes into the dough.
    fn state(&self, draw: &Draw) -> &'static str {
        let lot = &self.answer.ground.situation.lots[draw.lot];
        match draw.state {
            State::AsItLies => "",
            State::Thawed if lot.place_kind == PlaceKind::Freezer => ", from the freezer",
            State::Thawed => ", to freeze and thaw",
            State::Dried => ", to dry",
        }
    }

    /// How far a dough that takes no less and wants no more may come out beside that: half the time it is below.
    fn either_side(&self, wanted: Milligrams, planned: &PlannedBake) -> Option<String> {
        let dry = dry_in(&self.answer.ground.situation, &planned.draws);
        let off = Milligrams::new(dry.expanded().round() as i64);
        (off.get() as f64 > WORTH_TELLING * wanted.get() as f64).then(|| {
            format!(
                "may come out up to {} of dry grain under or over its {} (95 % range), as the moisture is uncertain",
                self.dry(off),
                self.dry(wanted)
            )
        })
    }

    /// The test that decides most, where one is worth it.
    pub fn test_line(&self) -> Option<String> {
        let worth = self.answer.worth_a_test();
        let first = worth.first()?;
        let lot = &self.answer.ground.situation.lots[first.lot].code;
        let typed = self.typed(&format!("draff moisture {lot}"));
        Some(format!(
            "Worth a test: {lot}{typed}. We only know that the bakes almost surely get {} to {} of dry grain from it; one sample tells it to within {}",
            self.dry(Milligrams::new(
                (first.dry.get() - first.uncertain.get()).max(0)
            )),
            self.dry(Milligrams::new(first.dry.get() + first.uncertain.get())),
            self.dry(first.after)
        ))
    }

    /// `by 21:00: freeze all 6.2 kg of COR-261120-15 in freezer`, or `now, was due Fri 20 Nov 21:00: freeze …`.
    fn task(&self, action: &Action) -> String {
        let by = self.zone.local(action.by).format("%H:%M");
        let when = match self.answer.was_due(action) {
            Some(due) => format!("now, was due {}", self.when(due)),
            None if self.answer.is_last_moment(action) => {
                format!("by {by}{}", times::AT_THE_LATEST)
            }
            None => format!("by {by}"),
        };
        let bake = action.bake.map(|bake| self.bake(bake));
        let portions = self.portions(action);
        let into = into_places(&portions);
        let words = task_words(action.work, &self.grain_of(action), (into.as_deref(), bake));
        let parts = self
            .whole_block(action)
            .or_else(|| in_portions(&portions, self.units));
        format!("{when}: {words}{}", parts.unwrap_or_default())
    }

    /// `6.2 kg of COR-261120-15`, or `all 6.2 kg of` it.
    fn grain_of(&self, action: &Action) -> String {
        let whole = action.wet == self.answer.ground.situation.lots[action.lot].wet;
        format!(
            "{}{} of {}",
            if whole { "all " } else { "" },
            self.units.weighed(action.wet),
            self.code(action.lot)
        )
    }

    /// What is to be done, day by day, a line for each lot.
    pub fn days_of_work(&self) -> Vec<(String, Vec<String>)> {
        let today = self.zone.date(self.answer.ground.situation.now);
        self.answer
            .days(self.zone)
            .into_iter()
            .map(|(day, actions)| {
                let tasks = actions.iter().map(|action| self.task(action));
                (times::date(day, today), tasks.collect())
            })
            .collect()
    }

    /// What is to be done at once so that grain keeps, and what the plan counts on, a line each.
    pub fn condition_lines(&self) -> Vec<String> {
        let fridges = self.answer.fridges().join(" or ");
        let back = self
            .answer
            .to_go_back()
            .into_iter()
            .map(|(lot, by, until)| {
                format!(
                    "put {} into {fridges} by {} at the latest: it keeps until {} then. Plan again after that",
                    self.code(lot),
                    self.when(by),
                    self.when(until)
                )
            });
        let conditions = self.answer.conditions().into_iter();
        let conditions = conditions.map(|(lot, condition, bakes)| {
            let codes: Vec<&str> = bakes.iter().map(|bake| self.bake(*bake)).collect();
            let falls = match codes.as_slice() {
                [] => "the plan counts on it".to_owned(),
                codes => format!("if it is not, {} may not be made of it", codes.join(", ")),
            };
            format!(
                "take the temperature of {} by {} at the latest: it must be {} or less; {falls}",
                self.code(lot),
                self.when(condition.by),
                self.units.temperature(condition.at_most.in_celsius())
            )
        });
        back.chain(conditions).collect()
    }

    /// What becomes of all that no bake takes, what asks for something first; nothing of what holds less dry grain than the
    /// scale shows.
    pub fn spare_groups(&self) -> Vec<(String, Vec<String>)> {
        let step = self.answer.ground.situation.capacity.step;
        let left = self.answer.plan.left.iter();
        let mut left: Vec<&Leftover> = left.filter(|left| left.dry >= step).collect();
        left.sort_by_key(|left| (left.fate, left.until));
        left.chunk_by(|one, next| self.becomes(one) == self.becomes(next))
            .map(|alike| {
                let lots = alike.iter().map(|left| self.grain_left(left));
                (self.becomes(alike[0]), lots.collect())
            })
            .collect()
    }

    /// What becomes of grain of one lot that no bake takes.
    pub fn spare(&self, left: &Leftover) -> String {
        format!("{}: {}", self.grain_left(left), self.becomes(left))
    }

    fn grain_left(&self, left: &Leftover) -> String {
        format!(
            "{} of {} ({} dry)",
            self.units.weighed(left.wet),
            self.code(left.lot),
            self.dry(left.dry)
        )
    }

    /// What becomes of grain that no bake takes.
    fn becomes(&self, left: &Leftover) -> String {
        let until = left.until.map(|until| self.when(until));
        match (left.fate, until) {
            (Fate::Spoils, Some(until)) => format!("give away, or add a bake before {until}"),
            (Fate::Spoils, None) => "give away, or add a bake".to_owned(),
            (Fate::Keeps, Some(until)) => format!("keeps until {until}"),
            (Fate::Keeps, None) => "keeps".to_owned(),
            (Fate::OnlyFrozen, _) => {
                "no day is left once it is thawed, so no bake is planned with it: straight from the freezer into a dough, or out of the bakery".to_owned()
            }
            (Fate::Frozen, _) => "of what you freeze (TO DO), for no bake yet".to_owned(),
            (Fate::Dried, _) => "of what you dry (TO DO), for no bake yet".to_owned(),
            (Fate::Unusable, _) if self.is_typed => {
                "not for a dough, draff shelf says why".to_owned()
            }
            (Fate::Unusable, _) => "not for a dough, its page says why".to_owned(),
        }
    }

    /// What is otherwise than the accepted plan promised; nothing where there is none.
    pub fn change_lines(&self) -> Option<(String, Vec<String>)> {
        let changes = self.answer.changes.as_ref()?;
        let when = self.when(self.answer.ground.accepted_at?);
        Some(if changes.is_empty() {
            let mut promises = self.answer.ground.promises.iter();
            let words = if promises.any(|one| one.is_reweighed) {
                format!(
                    "Each bake gets as much dry grain as was promised {when}. The moisture of some grain is known otherwise since, so its wet weight changed."
                )
            } else {
                format!("Each bake gets what was promised {when}.")
            };
            (words, Vec::new())
        } else {
            (
                format!("Changed from what was promised {when}:"),
                changes.iter().map(|change| self.change(change)).collect(),
            )
        })
    }

    /// `B-12F: 1.2 kg of COR-261120-15 instead of 900 g`.
    pub fn change(&self, change: &Change) -> String {
        let mass = |mass| self.units.weighed(mass);
        let (bake, lot) = (&change.bake, &change.lot);
        let because = match change.because {
            None => "",
            Some(Moved::MostOfDough) => "; the dough takes no more",
            Some(Moved::FreezersFull) => "; the freezers have no room for more",
            Some(Moved::DryerFull) => "; the dryer has no time for more",
            Some(Moved::Gone) => "; less of it is left",
            Some(Moved::Unfit) => "; this lot may not go into that bake",
            Some(Moved::NotThawed) => "; it was not taken out of the freezer in time",
            Some(Moved::NoFridge) => "; no fridge is cold enough to thaw it in",
            Some(Moved::FirmBakes) => "; another bake would fall short otherwise",
        };
        if change.before == Milligrams::ZERO {
            format!(
                "new since then: {bake} gets {} of {lot}",
                mass(change.after)
            )
        } else if change.after == Milligrams::ZERO {
            format!(
                "{bake}: nothing of {lot}, {} was promised{because}",
                mass(change.before)
            )
        } else {
            format!(
                "{bake}: {} of {lot} instead of {}{because}",
                mass(change.after),
                mass(change.before)
            )
        }
    }

    /// What else has to be said.
    pub fn note_lines(&self) -> Vec<String> {
        let ground = &self.answer.ground;
        let mut notes = bakes_apart(ground, self.is_typed);
        notes.extend(self.place_notes());
        let actions = &self.answer.plan.actions;
        if actions.iter().any(|action| action.work == Work::Freeze) {
            notes.push(format!(
                "Freeze in flat bags. Keep a bag tied only while it is frozen: open it as soon as you take it out to thaw. Never vacuum-pack. Thawing is planned to take {}{}.",
                self.thawing_takes(),
                self.typed("draff settings thaw")
            ));
            if actions.iter().any(|action| self.portions(action).len() > 1) {
                notes.push(NOT_SPLIT.to_owned());
            }
        }
        if !actions.is_empty() {
            notes.push("If you miss a time, plan again.".to_owned());
        }
        if actions.iter().any(|action| action.work == Work::Dry) {
            notes.push(format!(
                "Drying is planned to take {} from its start: begin so early that somebody is there until it is dry{}.",
                times::minutes(ground.situation.capacity.drying.num_minutes()),
                self.typed("draff settings drying-time")
            ));
        }
        if self.answer.accepted {
            notes.push(
                "Accepted: the grain is promised to these bakes. draff plan shows what is still to do. To undo the acceptance: draff strike ENTRY --reason TEXT, with the number that draff log shows."
                    .to_owned(),
            );
        }
        notes
    }
}

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
            into.unwrap_or("a fridge")
        ),
    }
}

/// `Quern pan loaf`, or `Quern pan loaf, optional`.
pub(in crate::render) fn formula(bake: &BakeAnswer) -> String {
    let setting = &bake.bake.setting;
    let optional = if setting.firm { "" } else { ", optional" };
    format!("{}{optional}", setting.formula.name)
}
