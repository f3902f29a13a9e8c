//! When which lot was in the place, as bars below the line.

use super::{BOTTOM, Chart, LEFT, RIGHT};
use crate::grain::LotCode;
use crate::ledger::Stay;
use crate::quantity::Instant;
use crate::render::times;
use std::fmt::Write;

const ROW: f64 = 20.0;
/// Lots drawn; of more it is told how many there are.
const MOST_LOTS: usize = 40;

impl<'a> Chart<'a> {
    /// How much room the bars take.
    pub(super) fn stays_height(&self) -> f64 {
        self.lots().0.len() as f64 * ROW
    }

    /// The lots that are drawn, those whose date is another one first of all and then the newest, and how many are not.
    fn lots(&self) -> (Vec<&'a (LotCode, Vec<Stay>)>, usize) {
        let changed = |lot: &LotCode| {
            let touched = self.answer.excursions.iter().map(|(_, lots)| lots);
            let touched = touched.chain(self.answer.gaps.iter().map(|(_, lots)| lots));
            touched
                .flatten()
                .any(|touched| touched.lot == *lot && touched.is_changed())
        };
        let all = &self.answer.stays;
        if all.len() <= MOST_LOTS {
            return (all.iter().collect(), 0);
        }
        let mut order: Vec<usize> = (0..all.len()).rev().collect();
        order.sort_by_key(|index| !changed(&all[*index].0));
        order.truncate(MOST_LOTS);
        order.sort_unstable();
        let drawn = order.into_iter().map(|index| &all[index]).collect();
        (drawn, all.len() - MOST_LOTS)
    }

    /// A bar for each stay, with what was out of limit or unknown in it.
    pub(super) fn draw_stays(&self, out: &mut String) {
        let (lots, more) = self.lots();
        let mut y = BOTTOM + 42.0;
        let words = match (lots.len(), more) {
            (0, _) => "No lot was there".to_owned(),
            (_, 0) => "Lots, while they were there".to_owned(),
            (_, more) => format!("Lots, while they were there; {more} more are not drawn"),
        };
        let _ = writeln!(
            out,
            "<text class=\"strong\" x=\"20\" y=\"{y}\">{words}</text>"
        );
        y += 10.0;
        for (lot, stays) in lots {
            let _ = writeln!(
                out,
                "<text class=\"name\" x=\"{x}\" y=\"{ty}\">{lot}</text>",
                x = LEFT - 6.0,
                ty = y + 13.0,
            );
            for stay in stays {
                self.draw_stay(out, y, *stay);
            }
            y += ROW;
        }
        y += 24.0;
        let _ = writeln!(
            out,
            "<rect class=\"out\" x=\"{LEFT}\" y=\"{r}\" width=\"22\" height=\"12\"/><rect class=\"hit\" x=\"{h}\" y=\"{r}\" width=\"22\" height=\"12\"/><text x=\"{t}\" y=\"{y}\">out of limit</text>\
            <rect class=\"none\" x=\"{n}\" y=\"{r}\" width=\"22\" height=\"12\"/><text x=\"{nt}\" y=\"{y}\">no reading: unknown</text>\
            <text class=\"name\" x=\"{RIGHT}\" y=\"{y}\">made {made}</text>",
            r = y - 10.0,
            h = LEFT + 22.0,
            t = LEFT + 52.0,
            n = LEFT + 145.0,
            nt = LEFT + 175.0,
            made = times::heading(self.shown.now, self.shown.zone),
        );
        y += 18.0;
        let grain = self.answer.grain.as_ref();
        let lines = [("limit", "limit", 0.0), ("air", "measured", 145.0)]
            .into_iter()
            .chain(grain.map(|_| ("grain", "grain, calculated", 315.0)));
        for (class, words, from) in lines {
            let _ = writeln!(
                out,
                "<path class=\"{class}\" d=\"M{x} {m}h30\"/><text x=\"{t}\" y=\"{y}\">{words}</text>",
                x = LEFT + from,
                m = y - 4.0,
                t = LEFT + from + 38.0,
            );
        }
    }

    fn draw_stay(&self, out: &mut String, y: f64, (from, to): Stay) {
        let until = to.unwrap_or(Instant::MAX_UTC);
        if until <= self.watch.from || from >= self.to {
            return;
        }
        let bar = |out: &mut String, class: &str, (from, to): (f64, f64)| {
            let _ = writeln!(
                out,
                "<rect class=\"{class}\" x=\"{from:.1}\" y=\"{y}\" width=\"{w:.1}\" height=\"14\"/>",
                w = to - from,
            );
        };
        let (x1, x2) = (self.x(from), self.x(until).max(self.x(from) + 1.5));
        bar(out, "stay", (x1, x2));
        let shared = |(began, ended): (Instant, Option<Instant>)| {
            let (began, ended) = (began.max(from), ended.unwrap_or(self.to).min(until));
            (began < ended).then_some((began, Some(ended)))
        };
        for place in self.places(self.excursions().filter_map(shared)) {
            bar(out, "hit", place);
        }
        for place in self.places(self.unknown().filter_map(shared)) {
            bar(out, "none", place);
        }
        if until > self.to {
            // It was there longer than the picture shows.
            let _ = writeln!(
                out,
                "<path class=\"on\" d=\"M{x} {y}l8 7l-8 7Z\"/>",
                x = RIGHT + 2.0,
            );
        }
    }
}
