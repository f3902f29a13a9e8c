//! The bench sheet as text: what to weigh, when, and what to look for.

pub(super) mod words;

use super::numbers::Units;
use super::words::{cautions, labelled, wrapped};
use super::{timetable, words::WIDTH};
use crate::dough::batch::LineKind;
use crate::dough::formula::StageKind;
use crate::quantity::Zone;
use crate::report::sheet::SheetAnswer;
use std::fmt::Write;
use words::{LONGEST_BLANK, Words};

const BOX: &str = "[ ]";

/// Column in which names begin, behind box and weight.
const UNDER_NAMES: usize = 20;

/// The whole sheet.
pub fn text(answer: &SheetAnswer, zone: &Zone, units: Units) -> String {
    let mut sheet = Sheet {
        out: String::new(),
        words: Words {
            answer,
            zone,
            units,
        },
    };
    sheet.heading();
    for position in 0..answer.batch.stages.len() {
        sheet.stage(position);
    }
    sheet.timetable();
    sheet.signs();
    sheet.blanks();
    cautions(&mut sheet.out, &answer.cautions(), units);
    let origin = sheet.words.origin();
    sheet.out.push('\n');
    wrapped(&mut sheet.out, "", "", &origin);
    sheet.out
}

struct Sheet<'a> {
    out: String,
    words: Words<'a>,
}

impl Sheet<'_> {
    fn heading(&mut self) {
        let (words, answer) = (self.words, self.words.answer);
        let mut title = format!("{}, bake {}", answer.formula.name, answer.bake);
        if let Some(why) = words.not_sure() {
            let _ = write!(title, " ({why})");
        }
        wrapped(&mut self.out, "", "", &title.to_uppercase());
        labelled(
            &mut self.out,
            "Make",
            &format!(
                "{}, {} each when baked",
                words.pieces(),
                words.baked_piece()
            ),
        );
        for (what, when) in words.moments() {
            let mut label = what.to_owned();
            label[..1].make_ascii_uppercase();
            labelled(&mut self.out, &label, &when);
        }
        if let Some(note) = &answer.note {
            labelled(&mut self.out, "Note", note);
        }
    }

    /// What goes into a stage, in mixing order.
    fn stage(&mut self, position: usize) {
        let (words, answer) = (self.words, self.words.answer);
        let stage = &answer.batch.stages[position];
        let takes_grain = position == answer.formula.grain.stage;
        self.out.push('\n');
        let heading = format!("{}: {}", stage.name.to_uppercase(), words.stage(position));
        wrapped(&mut self.out, "", "  ", &heading);
        for line in &stage.lines {
            if line.what == LineKind::Water && stage.kind == StageKind::Final {
                let water = words.water();
                let large = water.large.unwrap_or_else(|| "_______".to_owned());
                let command = water.command.map_or(String::new(), |it| format!(": {it}"));
                let text = format!("WATER TEMPERATURE: {}{command}", water.text);
                self.weigh("   ", &large, &text);
            }
            let shown = words.line(line, takes_grain);
            let name = shown.large.map_or(shown.name.clone(), |large| {
                format!("{}: {}", large.to_uppercase(), shown.name)
            });
            let is_of_lots = line.what == LineKind::Grain && !answer.draws.is_empty();
            let tick = if is_of_lots { "   " } else { BOX };
            self.weigh(tick, &shown.weight, &name);
            if line.what == LineKind::Grain {
                self.grain();
            }
        }
    }

    fn weigh(&mut self, tick: &str, weight: &str, name: &str) {
        let first = format!("  {tick} {weight:>12}  ");
        wrapped(&mut self.out, &first, &" ".repeat(UNDER_NAMES), name);
    }

    /// The lots that the grain comes from, or room to write them in.
    fn grain(&mut self) {
        let indent = &" ".repeat(UNDER_NAMES);
        let (words, answer) = (self.words, self.words.answer);
        if answer.draws.is_empty() {
            let _ = writeln!(
                self.out,
                "{indent}lot ____________________  until ______________"
            );
        }
        let told = words.thaw().into_iter().chain(words.conditions());
        for told in told.chain(words.spoiled_parts()) {
            wrapped(&mut self.out, indent, indent, &told);
        }
        for draw in &answer.draws {
            let first = format!("{indent}{BOX} {} of ", words.taken(draw));
            let rest = format!("{indent}    ");
            wrapped(&mut self.out, &first, &rest, &words.draw(draw));
        }
        for told in words.put_together().into_iter().chain(words.short()) {
            wrapped(&mut self.out, indent, indent, &told);
        }
        wrapped(&mut self.out, indent, indent, &words.moisture());
    }

    fn timetable(&mut self) {
        let answer = self.words.answer;
        self.out.push_str("\nTIMETABLE\n");
        let rows = timetable::rows(
            &answer.formula,
            &answer.timetable,
            answer.night,
            answer.printed_at,
            self.words.zone,
            self.words.units,
        );
        for row in rows {
            if let Some(day) = row.day {
                let _ = writeln!(self.out, "  {day}");
            }
            let night = if row.at_night { ", at night" } else { "" };
            let takes = row
                .takes
                .map_or(String::new(), |takes| format!(" ({takes})"));
            let words = row
                .words
                .map_or(String::new(), |words| format!(": {words}"));
            let first = format!("  {BOX} {}  ", row.clock);
            let rest = " ".repeat(first.len());
            let task = format!("{}{night}{takes}{words}", row.task);
            wrapped(&mut self.out, &first, &rest, &task);
        }
    }

    fn signs(&mut self) {
        self.out.push_str("\nSIGNS\n");
        for (when, sign) in self.words.signs() {
            let first = format!("  {when:<9} ");
            let rest = " ".repeat(first.len());
            wrapped(&mut self.out, &first, &rest, &sign);
        }
    }

    fn blanks(&mut self) {
        self.out.push_str("\nACTUAL VALUES\n");
        for pair in self.words.blanks().chunks(2) {
            let line: String = pair
                .iter()
                .zip([LONGEST_BLANK, 22])
                .map(|((what, unit), width)| format!("  {what:<width$} _______ {unit:<5}"))
                .collect();
            let _ = writeln!(self.out, "{}", line.trim_end());
        }
        let _ = writeln!(self.out, "  note {}", "_".repeat(WIDTH - 7));
        for told in [self.words.how_to_record(), self.words.booking()] {
            wrapped(&mut self.out, "  ", "  ", &told);
        }
    }
}

#[cfg(test)]
mod tests;
