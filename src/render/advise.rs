//! Which change to the bakes leaves less grain over or fills bakes that are short, in words, with the command to type.

use super::lot::Detail;
use super::numbers::{MassUnit, Units, percent};
use super::plan::bakes_apart;
use super::{times, words};
use crate::planning::advise::Advice;
use crate::planning::plan::{Fate, Leftover};
use crate::quantity::text::{count, shell_word, trimmed};
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::advise::{AdviseAnswer, Change, ChangeKind, TOLD};

/// The whole answer; briefly without how many changes were looked at and which bakes take no more.
pub fn text(answer: &AdviseAnswer, detail: Detail, units: Units, zone: &Zone) -> String {
    told(answer, (detail, true), units, zone)
}

/// The same for whoever types no commands.
pub fn without_commands(answer: &AdviseAnswer, units: Units, zone: &Zone) -> String {
    told(answer, (Detail::Limit, false), units, zone).replace("draff plan", "a plan")
}

fn told(
    answer: &AdviseAnswer,
    (detail, is_typed): (Detail, bool),
    units: Units,
    zone: &Zone,
) -> String {
    let left = answer.plan.left.iter();
    let tell = Words {
        answer,
        units,
        unit: units.unit_of(left.map(|left| left.wet.mass())),
        zone,
        is_typed,
        is_brief: detail == Detail::Brief,
    };
    let mut out = String::new();
    tell.left(&mut out);
    tell.advice(&mut out);
    tell.tests(&mut out);
    tell.notes(&mut out);
    out
}

/// The command that makes a change.
pub fn command(change: &Change, zone: &Zone) -> String {
    match &change.what {
        ChangeKind::Pieces { bake, .. } => {
            format!("draff bake change {bake} --pieces {}", change.pieces)
        }
        ChangeKind::Share { bake, share, .. } => format!(
            "draff bake change {bake} --share {}%",
            trimmed(share * 100.0, 1)
        ),
        ChangeKind::Blend { bake, lots, .. } => {
            format!("draff bake change {bake} --most-lots {lots}")
        }
        ChangeKind::Add { at, point } => format!(
            "draff bake add {} --at \"{}\" {point} --pieces {} --optional",
            shell_word(&change.formula),
            zone.local(*at).format("%Y-%m-%d %H:%M"),
            change.pieces
        ),
    }
}

/// A command that can be copied: where a line does not hold it, two lines that a shell takes for one.
fn to_type(out: &mut String, command: &str) {
    const INDENT: &str = "      ";
    let is_long = INDENT.len() + command.chars().count() > words::WIDTH;
    let broken = command.rsplit_once(" --pieces").filter(|_| is_long);
    match broken {
        Some((first, second)) => {
            out.push_str(&format!("{INDENT}{first} \\\n{INDENT}  --pieces{second}\n"));
        }
        None => out.push_str(&format!("{INDENT}{command}\n")),
    }
}

struct Words<'a> {
    answer: &'a AdviseAnswer,
    units: Units,
    /// That of all grain here, wet or dry.
    unit: MassUnit,
    zone: &'a Zone,
    is_typed: bool,
    is_brief: bool,
}

impl Words<'_> {
    fn when(&self, at: Instant) -> String {
        times::moment(at, self.answer.ground.situation.now, self.zone)
    }

    const fn lines(&self) -> words::Lines {
        words::Lines::of(self.is_typed)
    }

    fn dry(&self, mass: Milligrams) -> String {
        self.units.listed(mass.mass(), self.unit)
    }

    fn lot(&self, lot: usize) -> &str {
        &self.answer.ground.situation.lots[lot].code
    }

    /// What is left over as things stand.
    fn left(&self, out: &mut String) {
        let until = self.when(self.answer.ground.situation.end);
        if self.answer.is_all_used() {
            let text =
                format!("Nothing spoils until {until}, and no grain is left that no bake needs.");
            self.lines().add(out, "", "", &text);
            return;
        }
        let whose = match self.answer.ground.accepted_at {
            Some(_) => "By the best plan, accepted or not (draff plan shows it)",
            None => "By the best plan (not accepted; draff plan shows it)",
        };
        let text = format!("{whose}, until {until}:");
        self.lines().add(out, "", "", &text);
        let mut left: Vec<&Leftover> = self.answer.plan.left.iter().collect();
        left.sort_by_key(|left| (left.fate, left.until));
        for left in left {
            let what = match (left.fate, left.until) {
                (Fate::Spoils, Some(until)) => format!("spoils after {}", self.when(until)),
                (Fate::Spoils, None) => "spoils".to_owned(),
                (Fate::Frozen, _) => "is frozen, and no bake needs it yet".to_owned(),
                (Fate::Dried, _) => "is dried, and no bake needs it yet".to_owned(),
                (Fate::Keeps, _) if left.thawed => {
                    "is thawed with its block, and no bake needs it yet".to_owned()
                }
                (Fate::Keeps | Fate::OnlyFrozen | Fate::Unusable, _) => continue,
            };
            let text = format!(
                "{} of {} ({} dry) {what}{}",
                self.units.weighed_among(left.wet, self.unit),
                self.lot(left.lot),
                self.dry(left.dry),
                self.thawed(left)
            );
            self.lines().add(out, "  ", "      ", &text);
        }
    }

    /// Why the rest of a frozen block spoils: `: that plan takes it out of the freezer by Sun 15 Nov 18:00, for B-1S`.
    fn thawed(&self, left: &Leftover) -> String {
        let situation = &self.answer.ground.situation;
        let mut out = self
            .answer
            .plan
            .actions
            .iter()
            .filter(|action| action.lot == left.lot && action.block(&situation.lots).is_some());
        match out.next().filter(|_| left.fate == Fate::Spoils) {
            Some(out) => {
                let bake = out.bake.map_or(String::new(), |bake| {
                    format!(", for {}", situation.bakes[bake].code)
                });
                let by = self.when(out.by);
                format!(": that plan takes all of it out of the freezer by {by}{bake}")
            }
            None => String::new(),
        }
    }

    fn advice(&self, out: &mut String) {
        let advised = &self.answer.advised;
        let is_all_used = self.answer.is_all_used();
        if is_all_used && advised.advice.is_empty() {
            return;
        }
        out.push('\n');
        if advised.advice.is_empty() {
            let text = if advised.stopped {
                "Stopped before a change was found that saves any of it."
            } else {
                "No bake of the book's formulas, larger or further, saves any of it in time: give it away, or draff plan says what to freeze."
            };
            self.lines().add(out, "", "", text);
            return;
        }
        let heading = if is_all_used {
            "TO FILL BAKES THAT ARE SHORT, each change by itself\n"
        } else {
            "TO USE MORE OF IT, each change by itself\n"
        };
        out.push_str(heading);
        for advice in advised.advice.iter().take(TOLD) {
            let change = &self.answer.changes[advice.candidate];
            self.lines()
                .add(out, "  ", "      ", &self.sentence(advice, change));
            if self.is_typed {
                to_type(out, &command(change, self.zone));
            }
        }
        let more = advised.advice.len().saturating_sub(TOLD);
        if more > 0 && !self.is_brief {
            let (save, are) = if more == 1 {
                ("saves", "is")
            } else {
                ("save", "are")
            };
            let text = format!("{} that {save} less {are} left out.", count(more, "change"));
            self.lines().add(out, "", "", &text);
        }
    }

    /// `Weigh a sample of COR-261120-15: it decides 320 g of dry grain`.
    fn tests(&self, out: &mut String) {
        let worth = &self.answer.tested.worth;
        if worth.is_empty() {
            return;
        }
        out.push_str("\nWORTH A TEST\n");
        for (place, test) in worth.iter().enumerate() {
            let lot = self.lot(test.lot);
            let text = format!(
                "Weigh a sample of {lot}: it decides {} of dry grain",
                self.dry(test.dry)
            );
            let why = if self.is_brief || place > 0 {
                ""
            } else {
                " (doughs come nearer to what they want, or less spoils, by that on average)"
            };
            self.lines()
                .add(out, "  ", "      ", &format!("{text}{why}"));
            if self.is_typed {
                to_type(out, &format!("draff moisture {lot} PAN WET DRY g"));
            }
        }
    }

    /// `2 pieces more in B-2Q, Quern pan loaf, mixed Wed 25 Nov 02:00: leaves none of COR-261120-15 over; 907 g of dry grain
    /// is kept for no bake yet instead of 2444 g`.
    fn sentence(&self, advice: &Advice, change: &Change) -> String {
        let mixed = self.when(change.mix_at);
        let formula = &change.formula;
        let what = match &change.what {
            ChangeKind::Pieces { bake, before } => format!(
                "{} more in {bake}, {formula}, mixed {mixed}",
                count((change.pieces - before) as usize, "piece")
            ),
            ChangeKind::Share {
                bake,
                before,
                share,
            } => format!(
                "{} of grain instead of {} in {bake}, {formula}, mixed {mixed}",
                percent(*share),
                percent(*before)
            ),
            ChangeKind::Blend { bake, before, lots } => format!(
                "make {bake} of {} instead of {before}, {formula}, mixed {mixed}",
                count(*lots as usize, "lot")
            ),
            ChangeKind::Add { .. } => format!(
                "a further bake, {} of {formula}, mixed {mixed}",
                count(change.pieces as usize, "piece")
            ),
        };
        let (before, after) = (&self.answer.plan.aims, &advice.plan.aims);
        let mut effects = Vec::new();
        if !advice.uses_up.is_empty() {
            let lots: Vec<&str> = advice.uses_up.iter().map(|lot| self.lot(*lot)).collect();
            effects.push(format!("leaves none of {} over", lots.join(" and ")));
        }
        for (word, before, after) in [
            ("is missing in firm bakes", before.short, after.short),
            ("spoils", before.spoiled, after.spoiled),
            (
                "is left that no bake needs",
                before.preserved_unused,
                after.preserved_unused,
            ),
        ] {
            // As shown: a search leaves milligrams over.
            let (before, after) = (self.dry(before), self.dry(after));
            if before != after {
                effects.push(format!("{after} instead of {before} (dry) {word}"));
            }
        }
        if effects.is_empty() {
            return what;
        }
        format!("{what}: {}", effects.join("; "))
    }

    fn notes(&self, out: &mut String) {
        let answer = self.answer;
        let mut notes = Vec::new();
        if !answer.at_most.is_empty() && !answer.is_all_used() && !self.is_brief {
            let codes: Vec<String> = answer
                .at_most
                .iter()
                .map(|bake| {
                    let bake = &answer.ground.bakes[*bake];
                    format!(
                        "{} ({} of its flour)",
                        bake.bake.code,
                        percent(bake.needs.formula.grain.highest)
                    )
                })
                .collect();
            notes.push(match codes.as_slice() {
                [one] => format!("{one} already holds as much grain as its formula allows."),
                several => format!(
                    "{} already hold as much grain as their formulas allow.",
                    several.join(", ")
                ),
            });
        }
        if answer.advised.stopped {
            notes.push(format!(
                "Stopped when you asked for it, after {}.",
                count(answer.advised.looked_at, "change")
            ));
        } else if answer.tested.stopped {
            notes.push(format!(
                "Stopped when you asked for it, after the test of {}.",
                count(answer.tested.looked_at, "lot")
            ));
        } else if answer.changes.len() > answer.advised.looked_at && !self.is_brief {
            notes.push(format!(
                "Planned with the {} most promising of {} changes.",
                answer.advised.looked_at,
                answer.changes.len()
            ));
        }
        notes.extend(bakes_apart(&answer.ground, self.is_typed));
        if !notes.is_empty() {
            out.push('\n');
        }
        for note in notes {
            self.lines().add(out, "", "", &note);
        }
    }
}
