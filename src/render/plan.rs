//! A plan in words: bakes with their grain, what to do by when, what is left, how good it is.

use super::numbers::Units;
use super::words;
use crate::quantity::Zone;
use crate::report::plan::PlanAnswer;

mod goodness;
mod sentences;

pub(super) use goodness::AIM_HEADINGS;
pub use goodness::aim;
pub(super) use sentences::{
    BAKE_HEADINGS, NOTHING_SPARE, NOTHING_TO_DO, Words, formula, left_out, task_words,
};

/// The whole answer.
pub fn text(answer: &PlanAnswer, units: Units, zone: &Zone) -> String {
    let mut out = String::new();
    let tell = Words {
        answer,
        units,
        zone,
    };
    words::wrapped(&mut out, "", "", &tell.heading());
    tell.bakes(&mut out);
    tell.work(&mut out);
    tell.left(&mut out);
    tell.changes(&mut out);
    tell.proof(&mut out);
    tell.aims(&mut out);
    tell.notes(&mut out);
    out
}

impl Words<'_> {
    fn bakes(&self, out: &mut String) {
        out.push('\n');
        let mut rows = vec![BAKE_HEADINGS.map(str::to_owned).to_vec()];
        for (bake, planned) in self.answer.bakes() {
            rows.push(vec![
                bake.bake.code.to_string(),
                self.when(bake.needs.timetable.mix_at),
                self.got(planned),
                formula(bake),
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

    fn work(&self, out: &mut String) {
        out.push_str("\nTO DO\n");
        let conditions = self.condition_lines();
        for line in &conditions {
            words::wrapped(out, "", "  ", line);
        }
        let days = self.days_of_work();
        if days.is_empty() && conditions.is_empty() {
            words::wrapped(out, "", "", NOTHING_TO_DO);
        }
        for (day, tasks) in days {
            out.push_str(&day);
            out.push('\n');
            for task in tasks {
                words::wrapped(out, "  ", "      ", &task);
            }
        }
    }

    fn left(&self, out: &mut String) {
        out.push_str("\nSPARE\n");
        let lines = self.spare_lines();
        if lines.is_empty() {
            words::wrapped(out, "", "", NOTHING_SPARE);
        }
        for line in lines {
            words::wrapped(out, "  ", "      ", &line);
        }
    }

    fn changes(&self, out: &mut String) {
        let Some((heading, lines)) = self.change_lines() else {
            return;
        };
        out.push_str("\nCHANGES\n");
        words::wrapped(out, "", "", &heading);
        for line in lines {
            words::wrapped(out, "  ", "      ", &line);
        }
    }

    fn proof(&self, out: &mut String) {
        out.push('\n');
        words::wrapped(out, "", "", &self.proof_words(&self.answer.plan.proof));
    }

    fn aims(&self, out: &mut String) {
        let mut rows = vec![AIM_HEADINGS.map(str::to_owned).to_vec()];
        rows.extend(self.aim_rows().into_iter().map(Vec::from));
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
