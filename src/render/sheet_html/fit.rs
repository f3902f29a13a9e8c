//! How large the type of a sheet may be for all of it to stand on one page.
//!
//! Paper cannot scroll, and a style sheet cannot ask how much it holds. So the height is calculated from the
//! number of lines, with letters taken a little wider than they are: what fits here fits on paper.

use super::super::sheet::words::Words;
use super::super::timetable::Row;
use crate::dough::batch::LineKind;
use crate::dough::formula::StageKind;

/// Readable at arm's length and no larger. Our choice.
const LARGEST_POINTS: f64 = 14.0;
/// Smaller type is no use over a bench: what does not fit then goes on to a second page. Our choice.
const SMALLEST_POINTS: f64 = 7.0;
const STEP_POINTS: f64 = 0.25;

const MM_PER_POINT: f64 = 25.4 / 72.0;
/// Text of A4, 210 mm wide, less two margins of 11 mm: narrower than that of letter.
const PAGE_WIDTH: f64 = 188.0;
/// Text of letter, 279.4 mm high, less two margins of 9 mm and a line for what is calculated too small: lower
/// than that of A4.
const PAGE_HEIGHT: f64 = 257.0;
/// The two columns, as `sheet.css` sets them.
const WEIGH_WIDTH: f64 = 0.55 * PAGE_WIDTH;
const TIMES_WIDTH: f64 = PAGE_WIDTH - WEIGH_WIDTH - 5.0;

/// A letter's mean width in plain and in bold type and that of a bold figure, in ems. Of Liberation Sans, which
/// is as wide as Arial: figures exactly, letters tried with the sheets of the shipped formulas.
const PLAIN: f64 = 0.48;
const BOLD: f64 = 0.53;
const BOLD_FIGURE: f64 = 0.556;
const LINE_HEIGHT: f64 = 1.22;
const SMALL: f64 = 0.82;
const CELL_PADDING: f64 = 0.16;
const HEADING: f64 = 1.15 * LINE_HEIGHT + 0.5;

/// The largest type, in points, with which the sheet stands on one page of A4 or letter.
pub fn points(words: Words<'_>, rows: &[Row]) -> f64 {
    let steps = ((LARGEST_POINTS - SMALLEST_POINTS) / STEP_POINTS) as u32;
    (0..=steps)
        .map(|step| LARGEST_POINTS - f64::from(step) * STEP_POINTS)
        .find(|points| {
            let em = points * MM_PER_POINT;
            Type { em }.page(words, rows) * em <= PAGE_HEIGHT
        })
        .unwrap_or(SMALLEST_POINTS)
}

/// Type of one size; heights in ems, widths in millimetres.
struct Type {
    em: f64,
}

impl Type {
    fn page(&self, words: Words<'_>, rows: &[Row]) -> f64 {
        let columns = self.weigh(words).max(self.times(rows));
        self.head(words) + columns + self.signs(words) + self.rest(words)
    }

    /// Lines of a text set in `size` ems.
    fn lines(&self, text: &str, letter: f64, size: f64, width: f64) -> f64 {
        let letters = unicode_width::UnicodeWidthStr::width(text) as f64;
        (letters * letter * size * self.em / width.max(self.em))
            .ceil()
            .max(1.0)
    }

    fn prose(&self, text: &str, width: f64) -> f64 {
        self.lines(text, PLAIN, 1.0, width) * LINE_HEIGHT
    }

    fn head(&self, words: Words<'_>) -> f64 {
        let answer = words.answer;
        let code = (answer.bake.len() + 12) as f64 * BOLD * 1.2 * self.em;
        let title = self.lines(&answer.formula.name, BOLD, 1.8, PAGE_WIDTH - code) * 1.8 * 1.1;
        let moments: String = words
            .moments()
            .iter()
            .map(|(what, when)| format!("{what} {when}      "))
            .collect();
        let note = answer
            .note
            .as_ref()
            .map_or(0.0, |note| self.prose(note, PAGE_WIDTH - 3.0) + 0.3);
        let lines = self.lines(&moments, BOLD, 1.0, PAGE_WIDTH);
        title + LINE_HEIGHT * (1.0 + lines) + note + 0.8
    }

    fn weigh(&self, words: Words<'_>) -> f64 {
        let answer = words.answer;
        let mut height = 0.0;
        for (position, stage) in answer.batch.stages.iter().enumerate() {
            let heading = format!("{}  {}", stage.name, words.stage(position));
            height += HEADING * self.lines(&heading, BOLD, 1.0, WEIGH_WIDTH);
            let takes_grain = position == answer.formula.grain.stage;
            let is_final = stage.kind == StageKind::Final;
            let water = is_final.then(|| words.water());
            let shown: Vec<_> = stage
                .lines
                .iter()
                .map(|line| words.line(line, takes_grain))
                .collect();
            // The widest weight sets the column of its table.
            let temperature = water
                .iter()
                .filter_map(|water| water.large.as_ref())
                .map(|large| width(large, 1.9));
            let widest = shown
                .iter()
                .map(|one| {
                    let size = if one.large.is_some() { 1.9 } else { 1.15 };
                    width(&one.weight, size)
                })
                .chain(temperature)
                .fold(0.0, f64::max);
            let room = WEIGH_WIDTH - (1.6 + widest) * self.em - 5.0;
            for (line, one) in stage.lines.iter().zip(&shown) {
                let name = self.prose(&one.name, room);
                height += if one.large.is_some() {
                    large_row(name)
                } else {
                    name.max(1.15 * LINE_HEIGHT) + CELL_PADDING
                };
                if line.what == LineKind::Grain {
                    height += self.lots(words);
                }
            }
            height += water.map_or(0.0, |water| {
                let command = water.command.unwrap_or_default();
                let text = format!("{} {command}", water.text);
                large_row(self.prose(&text, room))
            });
        }
        height
    }

    fn lots(&self, words: Words<'_>) -> f64 {
        let room = WEIGH_WIDTH - 1.6 * self.em - 4.0;
        let lots: f64 = words
            .answer
            .draws
            .iter()
            .map(|draw| {
                let text = format!("[] {} of {}", words.taken(draw), words.draw(draw));
                self.prose(&text, room)
            })
            .sum();
        let told = words.thaw().into_iter().chain(words.conditions());
        let told = told
            .chain(words.spoiled_parts())
            .chain(words.put_together());
        let lots = lots + told.map(|told| self.prose(&told, room)).sum::<f64>();
        let moisture = self.lines(&words.moisture(), PLAIN, SMALL, room) * SMALL * LINE_HEIGHT;
        lots.max(LINE_HEIGHT * 1.2) + moisture + CELL_PADDING
    }

    fn times(&self, rows: &[Row]) -> f64 {
        let widest = rows
            .iter()
            .filter_map(|row| row.takes.as_ref())
            .map(|takes| width(takes, 1.0))
            .fold(0.0, f64::max);
        let room = TIMES_WIDTH - (1.6 + 3.0 + widest) * self.em - 4.0;
        let lines: f64 = rows
            .iter()
            .map(|row| {
                let night = if row.at_night { "  night" } else { "" };
                let letter = if row.hands_on { BOLD } else { PLAIN };
                let task = self.lines(&format!("{}{night}", row.task), letter, 1.0, room);
                let words = row.words.as_ref().map_or(0.0, |words| {
                    self.lines(words, PLAIN, SMALL, room) * SMALL * LINE_HEIGHT
                });
                let day = row.day.as_ref().map_or(0.0, |_| LINE_HEIGHT + 0.2);
                day + task * LINE_HEIGHT + words + CELL_PADDING
            })
            .sum();
        HEADING + lines
    }

    fn signs(&self, words: Words<'_>) -> f64 {
        let room = PAGE_WIDTH - 5.5 * self.em - 2.0;
        let signs = words.signs();
        let lines: f64 = signs.iter().map(|(_, sign)| self.prose(sign, room)).sum();
        HEADING + lines
    }

    /// The blanks to fill in, the cautions and where the page comes from.
    fn rest(&self, words: Words<'_>) -> f64 {
        let blanks = (words.blanks().len() as f64 / 2.0).ceil() + 1.0;
        // The cautions flow, each behind its mark.
        let cautions = words.answer.cautions();
        let marked: Vec<String> = cautions
            .iter()
            .map(|caution| format!("! {}  ", caution.text()))
            .collect();
        let small: f64 = [marked.concat(), words.origin()]
            .into_iter()
            .map(|text| self.lines(&text, PLAIN, 0.75, PAGE_WIDTH))
            .sum();
        let blanks = blanks * (LINE_HEIGHT + 0.45);
        HEADING + blanks + small * 0.75 * LINE_HEIGHT + 0.9
    }
}

/// Width of bold text in ems.
fn width(text: &str, size: f64) -> f64 {
    unicode_width::UnicodeWidthStr::width(text) as f64 * BOLD_FIGURE * size
}

/// Height of a framed row: its number, or its heading with the words below.
fn large_row(words: f64) -> f64 {
    (1.25 * 1.1 + words).max(1.9) + 0.5
}
