//! What there is to say of a plan, one sentence at a time.

use crate::dough::batch::mixture;
use crate::keeping::PlaceKind;
use crate::planning::plan::{Draw, Fate, Leftover, PlannedBake, dry_in};
use crate::planning::windows::State;
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::render::kitchen_scale::KitchenScale;
use crate::render::lot::Detail;
use crate::render::numbers::{MassUnit, Units};
use crate::render::plan::bakes_apart;
use crate::render::times;
use crate::report::bake::BakeAnswer;
use crate::report::plan::PlanAnswer;
use uom::si::f64::Mass;

/// Headings of the list of bakes.
pub(in crate::render) const BAKE_HEADINGS: [&str; 4] = ["BAKE", "MIX", "DRY GRAIN", "FORMULA"];
/// In place of the list of work.
pub(in crate::render) const NOTHING_TO_DO: &str = "Nothing has to be frozen, dried or thawed.";
/// In place of the list of what is left.
pub(in crate::render) const NOTHING_SPARE: &str = "Nothing: the bakes take all of it.";

/// A dough that takes exactly so much grain is told to come out otherwise where that is more than this part of it: judgement.
const WORTH_TELLING: f64 = 0.05;
/// Dry grain is told in grams.
const GRAM: Milligrams = Milligrams::new(1000);

/// What every part of the answer needs.
#[derive(Clone, Copy)]
pub(in crate::render) struct Words<'a> {
    pub answer: &'a PlanAnswer,
    pub units: Units,
    pub zone: &'a Zone,
    /// Whether commands are named: on the page nobody types them.
    pub is_typed: bool,
    /// Whether reasons are told.
    pub detail: Detail,
}

impl Words<'_> {
    /// Whether explanations are left out.
    pub fn is_brief(&self) -> bool {
        self.detail == Detail::Brief
    }

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

    /// The unit of all grain of a plan, wet or dry.
    fn unit(&self) -> MassUnit {
        let situation = &self.answer.ground.situation;
        let lots = situation.lots.iter().map(|lot| lot.wet.mass());
        let bakes = situation.bakes.iter().map(|bake| bake.wanted.mass());
        self.units.unit_of(lots.chain(bakes))
    }

    pub fn dry(&self, mass: Milligrams) -> String {
        self.units.listed(mass.mass(), self.unit())
    }

    pub fn wet(&self, mass: Milligrams) -> String {
        self.units.weighed_among(mass, self.unit())
    }

    pub fn when(&self, at: Instant) -> String {
        times::moment(at, self.answer.ground.situation.now, self.zone)
    }

    /// Dry grain that a bake gets.
    pub fn got(&self, index: usize, planned: &PlannedBake) -> String {
        if planned.happens {
            self.dry(self.told_dry(index, planned))
        } else {
            "not baked".to_owned()
        }
    }

    /// What is told of its dry grain, in whole grams: what it wants, as `bake add` tells it, where whole steps of the scale
    /// put it off by less than a gram.
    fn told_dry(&self, index: usize, planned: &PlannedBake) -> Milligrams {
        let wanted = self.answer.ground.situation.bakes[index].wanted;
        let is_as_wanted = (planned.dry.get() - wanted.get()).abs() < GRAM.get();
        let dry = if is_as_wanted { wanted } else { planned.dry };
        Milligrams::on_scale(dry.mass(), GRAM)
    }

    /// What there is to say of one bake, a line each.
    pub fn of_bake(&self, index: usize, planned: &PlannedBake) -> Vec<String> {
        let situation = &self.answer.ground.situation;
        let (asked, step) = (&situation.bakes[index], situation.capacity.step.get());
        let is_below = planned.dry.get() + step < asked.wanted.get();
        let dry: Vec<Mass> = planned.draws.iter().map(|draw| draw.dry.mass()).collect();
        let dry = mixture::on_the_scale(&dry, self.told_dry(index, planned), GRAM);
        let mut lines: Vec<String> = planned
            .draws
            .iter()
            .zip(dry)
            .map(|(draw, dry)| {
                format!(
                    "{} of {}{}, {} dry",
                    self.wet(draw.wet),
                    self.code(draw.lot),
                    self.state(draw),
                    self.dry(dry)
                )
            })
            .collect();
        if planned.short > Milligrams::ZERO {
            let why = self.why_of(planned);
            let why = why.map_or(String::new(), |reason| format!(": {reason}"));
            lines.push(format!("SHORT {} dry{why}", self.dry(planned.short)));
        } else if !planned.happens {
            lines.extend(self.why_of(planned));
        } else if is_below {
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
            let risk = (chance * 100.0).round().clamp(1.0, 99.0);
            lines.push(if is_below {
                format!("{risk:.0} % risk of less than the minimum")
            } else {
                format!(
                    "{risk:.0} % risk of under {} (minimum)",
                    self.dry(asked.lowest)
                )
            });
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

    /// The test that decides most, where one is worth it, and the other lots that are worth one.
    pub fn test_line(&self) -> Option<String> {
        let worth = self.answer.worth_a_test();
        let (first, others) = worth.split_first()?;
        let lot = self.code(first.lot);
        let typed = self.typed(&format!("draff moisture {lot}"));
        let others: Vec<&str> = others.iter().map(|other| self.code(other.lot)).collect();
        let also = match others.as_slice() {
            [] => String::new(),
            others => format!(". Next best: {}", others.join(", ")),
        };
        if self.is_brief() {
            return Some(format!("Worth a test: {lot}{typed}{also}"));
        }
        let scale = KitchenScale::new(self.units, first.next.scale);
        Some(format!(
            "Worth a test: {lot}{typed}: {} then holds back {} for moisture instead of {}{also}",
            first.next.code,
            scale.weigh(first.next.held_after),
            scale.weigh(first.next.held_now)
        ))
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
                let lots = alike
                    .iter()
                    .enumerate()
                    .map(|(position, left)| self.grain_left(left, position == 0));
                (self.becomes(alike[0]), lots.collect())
            })
            .collect()
    }

    /// What becomes of grain of one lot that no bake takes.
    pub fn spare(&self, left: &Leftover) -> String {
        format!("{}: {}", self.grain_left(left, true), self.becomes(left))
    }

    /// `8.9 kg of THR-261116-1Z (1976 g dry)`; of the lots after the first in a list it is known what the brackets hold.
    fn grain_left(&self, left: &Leftover, is_first: bool) -> String {
        let dry = if self.is_brief() {
            String::new()
        } else {
            let dry = if is_first { " dry" } else { "" };
            format!(" ({}{dry})", self.dry(left.dry))
        };
        format!("{} of {}{dry}", self.wet(left.wet), self.code(left.lot))
    }

    /// What becomes of grain that no bake takes.
    fn becomes(&self, left: &Leftover) -> String {
        let until = left.until.map(|until| self.when(until));
        match (left.fate, until) {
            (Fate::Spoils, Some(until)) => format!("give away, or add a bake before {until}"),
            (Fate::Spoils, None) => "give away, or add a bake".to_owned(),
            (Fate::Keeps, Some(until)) => format!("can stay as it is until {until}"),
            (Fate::Keeps, None) => "can stay as it is".to_owned(),
            (Fate::OnlyFrozen, _) => {
                "no day is left once it is thawed, so no bake is planned with it: straight from the freezer into a dough, or out of the bakery".to_owned()
            }
            (Fate::Frozen, _) => "frozen by the list above, for no bake yet".to_owned(),
            (Fate::Dried, _) => "dried by the list above, for no bake yet".to_owned(),
            (Fate::Unusable, _) if self.is_typed => {
                "not for a dough, draff shelf says why".to_owned()
            }
            (Fate::Unusable, _) => "not for a dough, its page says why".to_owned(),
        }
    }

    /// What else has to be said.
    pub fn note_lines(&self) -> Vec<String> {
        let ground = &self.answer.ground;
        let mut notes = bakes_apart(ground, self.is_typed);
        notes.extend(self.place_notes());
        notes.extend(self.cold_dough_note());
        let how = self.how_to_work();
        if !how.is_empty() {
            notes.push(how.join(" "));
        }
        if self.answer.accepted && !self.is_brief() {
            let is_promised = self
                .answer
                .plan
                .bakes
                .iter()
                .any(|one| !one.draws.is_empty());
            notes.push(
                if is_promised {
                    "Accepted: the grain is promised to these bakes. draff plan shows what is still to do."
                } else {
                    "Accepted: no bake gets any grain."
                }
                .to_owned(),
            );
        }
        notes
    }
}

/// `Quern pan loaf`, or `Quern pan loaf, optional`.
pub(in crate::render) fn formula(bake: &BakeAnswer) -> String {
    let setting = &bake.bake.setting;
    let optional = if setting.firm { "" } else { ", optional" };
    format!("{}{optional}", setting.formula.name)
}
