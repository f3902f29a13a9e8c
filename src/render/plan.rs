//! A plan in words: bakes with their grain, what to do by when, what is left, how good it is.

use super::lot::Detail;
use super::numbers::Units;
use super::words;
use crate::quantity::Zone;
use crate::report::plan::PlanAnswer;

mod bakes_apart;
mod changed;
mod cold_doughs;
mod conditions;
mod freezer;
mod goodness;
mod place_notes;
mod reasons;
mod sentences;
mod work;

pub use bakes_apart::bakes_apart;
pub(super) use changed::change_words;
pub(super) use conditions::to_be_shown;
pub(super) use freezer::{NOT_SPLIT, Portion, block_words, in_portions, into_places};
pub(super) use goodness::AIM_HEADINGS;
use goodness::AS_GOOD;
pub use goodness::aim;
pub(super) use sentences::{BAKE_HEADINGS, NOTHING_SPARE, NOTHING_TO_DO, Words, formula};
pub(super) use work::task_words;

/// `Fri 20 Nov`, before what is to be done that day.
const DAY: usize = 10;

/// The whole answer; `why` adds what each aim comes to. Briefly without reasons.
pub fn text(
    answer: &PlanAnswer,
    (why, detail): (bool, Detail),
    units: Units,
    zone: &Zone,
) -> String {
    let mut out = String::new();
    let tell = Words {
        answer,
        units,
        zone,
        is_typed: true,
        detail,
    };
    words::wrapped(&mut out, "", "", &tell.heading());
    tell.bakes(&mut out);
    tell.work(&mut out);
    tell.left(&mut out);
    tell.changes(&mut out);
    tell.proof(&mut out);
    if why {
        tell.aims(&mut out);
    }
    tell.notes(&mut out);
    out
}

impl Words<'_> {
    /// A command in brackets, where one can be typed.
    fn typed(&self, command: &str) -> String {
        if self.is_typed {
            format!(" ({command})")
        } else {
            String::new()
        }
    }

    fn bakes(&self, out: &mut String) {
        out.push('\n');
        let mut rows = vec![BAKE_HEADINGS.map(str::to_owned).to_vec()];
        for (index, (bake, planned)) in self.answer.bakes().enumerate() {
            rows.push(vec![
                bake.bake.code.to_string(),
                self.when(bake.needs.timetable.mix_at),
                self.got(index, planned),
                formula(bake),
            ]);
        }
        let lines = words::table(&rows, &[false, false, true, false]);
        out.push_str(&lines[0]);
        out.push('\n');
        for ((line, (_, planned)), index) in lines[1..].iter().zip(self.answer.bakes()).zip(0..) {
            out.push_str(line);
            out.push('\n');
            let told = self.of_bake(index, planned).join("; ");
            if !told.is_empty() {
                words::wrapped(out, "      ", "      ", &told);
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
            let mut first = format!("{day:<DAY$}  ");
            let rest = " ".repeat(first.chars().count());
            let part = format!("{rest}  ");
            for task in tasks {
                words::wrapped(out, &first, &rest, &task.line);
                first.clone_from(&rest);
                for lot in &task.parts {
                    words::wrapped(out, &part, &part, lot);
                }
            }
        }
        if let Some(test) = self.test_line() {
            words::wrapped(out, "", "  ", &test);
        }
    }

    fn left(&self, out: &mut String) {
        out.push_str("\nSPARE\n");
        let groups = self.spare_groups();
        if groups.is_empty() {
            words::wrapped(out, "", "", NOTHING_SPARE);
        }
        for (becomes, lots) in groups {
            words::wrapped(out, "", "  ", &format!("{becomes}: {}", lots.join(", ")));
        }
    }

    fn changes(&self, out: &mut String) {
        let Some((heading, lines)) = self.change_lines() else {
            return;
        };
        if self.is_brief() && lines.is_empty() {
            return;
        }
        out.push('\n');
        words::wrapped(out, "", "", &heading);
        for line in lines {
            words::wrapped(out, "  ", "      ", &line);
        }
    }

    fn proof(&self, out: &mut String) {
        if self.answer.changes.is_none() {
            out.push('\n');
        }
        words::wrapped(out, "", "", &self.proof_words(&self.answer.plan.proof));
    }

    /// The aims in which the plan and the trade's rule differ; JSON and page have all of them.
    fn aims(&self, out: &mut String) {
        let mut rows = vec![AIM_HEADINGS.map(str::to_owned).to_vec()];
        let differ = self
            .aim_rows()
            .into_iter()
            .filter(|[_, ours, oldest]| ours != oldest);
        rows.extend(differ.map(Vec::from));
        if rows.len() == 1 {
            words::wrapped(out, "", "", AS_GOOD);
        } else {
            for line in words::table(&rows, &[false, true, true]) {
                out.push_str(&line);
                out.push('\n');
            }
        }
        if let Some(compared) = self.compared() {
            words::wrapped(out, "", "", &compared);
        }
    }

    fn notes(&self, out: &mut String) {
        for note in self.note_lines() {
            words::wrapped(out, "", "", &note);
        }
        if self.answer.may_be_accepted() && !self.is_brief() {
            words::wrapped(
                out,
                "",
                "",
                "This is a proposal. draff plan --accept takes it; draff today then says what to do when.",
            );
        }
    }
}
