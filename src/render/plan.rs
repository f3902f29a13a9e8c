//! A plan in words: bakes with their grain, what to do by when, what is left, how good it is.

use super::log::firmness;
use super::numbers::Units;
use super::{times, words};
use crate::planning::plan::Leftover;
use crate::quantity::Zone;
use crate::quantity::text::count;
use crate::report::plan::PlanAnswer;

mod sentences;

pub(super) use sentences::Words;
pub use sentences::gap;

/// The whole answer.
pub fn text(answer: &PlanAnswer, units: Units, zone: &Zone) -> String {
    let mut out = String::new();
    let situation = &answer.ground.situation;
    let tell = Words {
        answer,
        units,
        zone,
    };
    words::wrapped(
        &mut out,
        "",
        "",
        &format!(
            "Plan from {} until {}: {}, {}{}",
            times::heading(situation.now, zone),
            times::moment(situation.end, situation.now, zone),
            count(situation.bakes.len(), "bake"),
            count(situation.lots.len(), "lot"),
            if situation.careful {
                ", on the dry grain that each lot holds at least"
            } else {
                ""
            }
        ),
    );
    tell.bakes(&mut out);
    tell.to_do(&mut out);
    tell.left(&mut out);
    tell.changes(&mut out);
    tell.proof(&mut out);
    tell.aims(&mut out);
    tell.notes(&mut out);
    words::cautions(&mut out, &answer.cautions());
    out
}

impl Words<'_> {
    fn bakes(&self, out: &mut String) {
        out.push('\n');
        let mut rows = vec![
            ["BAKE", "MIX", "DRY GRAIN", "FORMULA"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for (bake, planned) in self.answer.bakes() {
            let got = if planned.happens {
                self.dry(planned.dry)
            } else {
                "not baked".to_owned()
            };
            rows.push(vec![
                bake.bake.code.to_string(),
                self.when(bake.timetable.mix_at),
                got,
                format!(
                    "{}, {}",
                    bake.bake.setting.formula.name,
                    firmness(bake.bake.setting.firm)
                ),
            ]);
        }
        let lines = words::table(&rows, &[false, false, true, false]);
        out.push_str(&lines[0]);
        out.push('\n');
        for ((line, (bake, planned)), index) in lines[1..].iter().zip(self.answer.bakes()).zip(0..)
        {
            out.push_str(line);
            out.push('\n');
            for text in self.of_bake(index, bake, planned) {
                words::wrapped(out, "      ", "        ", &text);
            }
        }
    }

    fn to_do(&self, out: &mut String) {
        out.push_str("\nTO DO\n");
        if self.answer.plan.actions.is_empty() {
            out.push_str("Nothing has to be frozen, dried or thawed.\n");
        }
        let today = self.zone.date(self.answer.ground.situation.now);
        for (day, actions) in self.answer.days(self.zone) {
            out.push_str(&times::date(day, today));
            out.push('\n');
            for action in actions {
                words::wrapped(out, "  ", "      ", &self.task(&action));
            }
        }
    }

    fn left(&self, out: &mut String) {
        out.push_str("\nSPARE\n");
        if self.answer.plan.left.is_empty() {
            out.push_str("Nothing: the bakes take all of it.\n");
        }
        let mut left: Vec<&Leftover> = self.answer.plan.left.iter().collect();
        // What asks for something first.
        left.sort_by_key(|left| (left.fate, left.until));
        for left in left {
            words::wrapped(out, "  ", "      ", &self.spare(left));
        }
    }

    fn changes(&self, out: &mut String) {
        let (Some(changes), Some(accepted)) =
            (&self.answer.changes, self.answer.ground.accepted_at)
        else {
            return;
        };
        out.push_str("\nCHANGES\n");
        let when = self.when(accepted);
        if changes.is_empty() {
            let text = format!("None: each bake gets what was promised {when}.");
            words::wrapped(out, "", "", &text);
            return;
        }
        words::wrapped(out, "", "", &format!("Otherwise than promised {when}:"));
        for change in changes {
            words::wrapped(out, "  ", "      ", &self.change(change));
        }
    }

    fn proof(&self, out: &mut String) {
        out.push('\n');
        words::wrapped(out, "", "", &self.proof_words(&self.answer.plan.proof));
    }

    fn aims(&self, out: &mut String) {
        let mut rows = vec![
            ["AIM", "THIS PLAN", "OLDEST FIRST"]
                .map(str::to_owned)
                .to_vec(),
        ];
        rows.extend(
            self.aim_rows()
                .into_iter()
                .map(|[aim, ours, oldest]| vec![aim, ours, oldest]),
        );
        for line in words::table(&rows, &[false, true, true]) {
            out.push_str(&line);
            out.push('\n');
        }
    }

    fn notes(&self, out: &mut String) {
        let notes = self.note_lines();
        if !notes.is_empty() {
            out.push('\n');
        }
        for note in notes {
            words::wrapped(out, "", "", &note);
        }
    }
}
