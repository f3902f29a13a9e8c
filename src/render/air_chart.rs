//! The air of a place as a picture: its temperature against the limit, and below it when which lot was there.
//!
//! Black on white, told apart by hatching and not by colour, so that it reads in print. Of many readings each column
//! of the picture keeps its lowest and its highest.

use super::air::Shown;
use super::numbers::Units;
use super::svg_text::{escaped, shortened};
use crate::keeping::air::watch::{AirLimit, Watch};
use crate::quantity::text::trimmed;
use crate::quantity::{Instant, Temperature};
use crate::report::air::AirAnswer;
use chrono::Duration;
use line::{merged, thinned};
use scale::{Scale, moments, round_values};
use std::fmt::Write;

mod line;
mod scale;
mod stays;

/// Sizes in the picture's own units.
const WIDTH: f64 = 1000.0;
const LEFT: f64 = 130.0;
const RIGHT: f64 = 980.0;
const TOP: f64 = 166.0;
const BOTTOM: f64 = 420.0;

const STYLE: &str = ".air{fill:none;stroke:#000;stroke-width:1.3;stroke-linejoin:round;stroke-linecap:round}\
.grain{fill:none;stroke:#000;stroke-width:2.2;stroke-dasharray:1 4;stroke-linecap:round}.limit{stroke:#000;stroke-width:1.6;stroke-dasharray:7 4}.halo{stroke:#fff;stroke-width:4}.side{stroke:#000}.grid{stroke:#ccc;stroke-width:.7}\
.out{fill:#c4c4c4;stroke:#000;stroke-width:.4}.none{fill:url(#hatched);stroke:#000;stroke-width:.5}.stay{fill:#fff;stroke:#000}\
.hit{fill:#555}.on{fill:#000}.name{text-anchor:end}.middle{text-anchor:middle}.strong{font-weight:bold}";

/// The picture as SVG text, whole in itself.
pub fn svg(answer: &AirAnswer, shown: Shown<'_>) -> String {
    let mut out = String::new();
    let title = escaped(&format!("Air of {}", answer.place.name));
    let chart = answer
        .watch
        .as_ref()
        .map(|watch| Chart::new(answer, watch, shown));
    let height = chart.as_ref().map_or(100.0, Chart::height);
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH:.0} {height:.0}\" width=\"{WIDTH:.0}\" height=\"{height:.0}\" role=\"img\" font-family=\"sans-serif\" font-size=\"12\">\n<title>{title}</title>\n<style>{STYLE}</style>\n\
        <defs><pattern id=\"hatched\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"6\" height=\"6\" fill=\"#fff\"/><path d=\"M0 0V6\" stroke=\"#000\" stroke-width=\"1.4\"/></pattern></defs>\n\
        <rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n<text x=\"20\" y=\"28\" font-size=\"18\">{title}</text>\n",
    );
    // Who was there stands below; the rest is as in the words.
    let head = shown.head(answer);
    for (row, (label, line)) in head
        .iter()
        .filter(|(label, _)| *label != "Lots")
        .enumerate()
    {
        let _ = writeln!(
            out,
            "<text y=\"{y:.0}\"><tspan x=\"20\" class=\"strong\">{label}</tspan><tspan x=\"{LEFT}\">{line}</tspan></text>",
            y = 50.0 + row as f64 * 16.0,
            line = escaped(&shortened(line, 130)),
        );
    }
    if let Some(chart) = chart {
        chart.draw(&mut out);
    }
    out.push_str("</svg>\n");
    out
}

/// All that the parts of the picture share.
struct Chart<'a> {
    answer: &'a AirAnswer,
    watch: &'a Watch,
    shown: Shown<'a>,
    to: Instant,
    x: Scale,
    y: Scale,
}

impl<'a> Chart<'a> {
    fn new(answer: &'a AirAnswer, watch: &'a Watch, shown: Shown<'a>) -> Self {
        // One reading has no length to draw.
        let to = watch.to.max(watch.from + Duration::hours(1));
        let degrees = |temperature| degrees(temperature, shown.units);
        let limits = answer.place.settings.iter().filter_map(|setting| {
            let limit = shown.rules.air_limit(setting.kind)?;
            Some(degrees(of_limit(limit)))
        });
        let (mut least, mut most) = (degrees(watch.lowest), degrees(watch.highest));
        for limit in limits {
            (least, most) = (least.min(limit), most.max(limit));
        }
        let room = ((most - least) * 0.08).max(1.0);
        Self {
            answer,
            watch,
            shown,
            to,
            x: Scale {
                from: watch.from.timestamp() as f64,
                to: to.timestamp() as f64,
                begins: LEFT,
                ends: RIGHT,
            },
            y: Scale {
                from: least - room,
                to: most + room,
                begins: BOTTOM,
                ends: TOP,
            },
        }
    }

    fn height(&self) -> f64 {
        BOTTOM + 56.0 + self.stays_height() + 62.0
    }

    fn x(&self, at: Instant) -> f64 {
        self.x.inside(at.timestamp() as f64)
    }

    fn y(&self, temperature: Temperature) -> f64 {
        self.y.place(degrees(temperature, self.shown.units))
    }

    /// Times as places from left to right.
    fn places(&self, times: impl Iterator<Item = (Instant, Option<Instant>)>) -> Vec<(f64, f64)> {
        merged(times.map(|(from, to)| (self.x(from), self.x(to.unwrap_or(self.to)))))
    }

    fn excursions(&self) -> impl Iterator<Item = (Instant, Option<Instant>)> {
        self.watch
            .excursions
            .iter()
            .map(|found| (found.from, found.to))
    }

    /// Times that no reading speaks for, those before the first and after the last included.
    fn unknown(&self) -> impl Iterator<Item = (Instant, Option<Instant>)> {
        let inside = |at: &Instant| self.watch.from <= *at && *at <= self.watch.to;
        let mut moments = self
            .answer
            .readings
            .iter()
            .map(|(at, _)| *at)
            .filter(inside);
        let first = moments.next();
        let last = moments.next_back().or(first);
        let before = first
            .filter(|_| self.begins_unknown())
            .map(|first| (self.watch.from, Some(first)));
        let after = last
            .filter(|_| self.ends_unknown())
            .map(|last| (last, Some(self.watch.to)));
        let gaps = self.watch.gaps.iter().map(|(from, to)| (*from, Some(*to)));
        before.into_iter().chain(gaps).chain(after)
    }

    /// Whether no reading stands at or before the beginning.
    fn begins_unknown(&self) -> bool {
        let first = self.answer.readings.first();
        first.is_some_and(|(at, _)| *at > self.watch.from)
    }

    /// Whether no reading stands at or after the end.
    fn ends_unknown(&self) -> bool {
        let last = self.answer.readings.last();
        last.is_some_and(|(at, _)| *at < self.watch.to)
    }

    fn draw(&self, out: &mut String) {
        self.draw_shades(out);
        self.draw_sides(out);
        self.draw_lines(out);
        self.draw_limits(out);
        self.draw_numbers(out);
        self.draw_stays(out);
    }

    fn draw_shades(&self, out: &mut String) {
        let kinds = [
            ("out", self.places(self.excursions())),
            ("none", self.places(self.unknown())),
        ];
        for (class, places) in kinds {
            for (from, to) in places {
                let _ = writeln!(
                    out,
                    "<rect class=\"{class}\" x=\"{from:.1}\" y=\"{TOP}\" width=\"{w:.1}\" height=\"{h}\"/>",
                    w = to - from,
                    h = BOTTOM - TOP,
                );
            }
        }
    }

    fn draw_sides(&self, out: &mut String) {
        let unit = match self.shown.units {
            Units::Metric => "°C",
            Units::Us => "°F",
        };
        for value in round_values(self.y.from, self.y.to, 5.0) {
            let y = self.y.place(value);
            let _ = writeln!(
                out,
                "<path class=\"grid\" d=\"M{LEFT} {y:.1}H{RIGHT}\"/><text class=\"name\" x=\"{x}\" y=\"{ty:.1}\">{value} {unit}</text>",
                x = LEFT - 6.0,
                ty = y + 4.0,
                value = trimmed(value, 1),
            );
        }
        for (at, words) in moments(self.watch.from, self.to, self.shown.zone) {
            let x = self.x(at);
            let _ = writeln!(
                out,
                "<path class=\"side\" d=\"M{x:.1} {BOTTOM}v5\"/><text class=\"middle\" x=\"{x:.1}\" y=\"{y}\">{words}</text>",
                y = BOTTOM + 18.0,
            );
        }
        let _ = writeln!(
            out,
            "<path class=\"side\" fill=\"none\" d=\"M{LEFT} {TOP}V{BOTTOM}H{RIGHT}\"/>"
        );
    }

    /// The limit of each time in which the place was something else.
    fn draw_limits(&self, out: &mut String) {
        let settings = &self.answer.place.settings;
        let mut before = None;
        for (index, setting) in settings.iter().enumerate() {
            // The first statement holds from the beginning.
            let from = if index == 0 {
                Instant::MIN_UTC
            } else {
                setting.from
            };
            let to = settings
                .get(index + 1)
                .map_or(Instant::MAX_UTC, |next| next.from);
            let Some(limit) = self.shown.rules.air_limit(setting.kind) else {
                continue;
            };
            if to <= self.watch.from || from >= self.to {
                continue;
            }
            let y = self.y(of_limit(limit));
            let (x1, x2) = (self.x(from), self.x(to));
            let _ = writeln!(
                out,
                "<path class=\"halo\" d=\"M{x1:.1} {y:.1}H{x2:.1}\"/><path class=\"limit\" d=\"M{x1:.1} {y:.1}H{x2:.1}\"/>"
            );
            if before != Some(limit) {
                let _ = writeln!(
                    out,
                    "<text class=\"strong\" x=\"{x:.1}\" y=\"{ty:.1}\" stroke=\"#fff\" stroke-width=\"3\" paint-order=\"stroke\">{words}</text>",
                    x = x1 + 6.0,
                    ty = y - 5.0,
                    words = escaped(&self.shown.limit_words(limit)),
                );
            }
            before = Some(limit);
        }
    }

    /// What was measured, and dotted what that makes of a layer of grain.
    fn draw_lines(&self, out: &mut String) {
        if let Some(grain) = &self.answer.grain {
            self.draw_line(out, "grain", &grain.curve);
        }
        self.draw_line(out, "air", &self.answer.readings);
    }

    /// Broken where nothing is known.
    fn draw_line(&self, out: &mut String, class: &str, readings: &[(Instant, Temperature)]) {
        let gaps = &self.watch.gaps;
        let near = |one: &(Instant, Temperature), _: &(Instant, Temperature)| {
            gaps.binary_search_by_key(&one.0, |(from, _)| *from)
                .is_err()
        };
        let inside: Vec<(Instant, Temperature)> = readings
            .iter()
            .copied()
            .filter(|(at, _)| self.watch.from <= *at && *at <= self.to)
            .collect();
        let mut path = String::new();
        for run in inside.chunk_by(near) {
            let points: Vec<(f64, f64)> = run
                .iter()
                .map(|(at, temperature)| (self.x(*at), self.y(*temperature)))
                .collect();
            for (index, (x, y)) in thinned(&points).into_iter().enumerate() {
                let letter = if index == 0 { 'M' } else { 'L' };
                let _ = write!(path, "{letter}{x:.1} {y:.1}");
            }
            // A reading by itself is a dot.
            if points.len() == 1 {
                path.push_str("h0");
            }
        }
        let _ = writeln!(out, "<path class=\"{class}\" d=\"{path}\"/>");
    }

    /// Numbers of the excursions, as far as there is room for them.
    fn draw_numbers(&self, out: &mut String) {
        let mut free = f64::NEG_INFINITY;
        for (index, (from, to)) in self.excursions().enumerate() {
            let x = f64::midpoint(self.x(from), self.x(to.unwrap_or(self.to)));
            let number = index + 1;
            let half = 4.0 * number.to_string().len() as f64;
            if x - half > free {
                free = x + half;
                let _ = writeln!(
                    out,
                    "<text class=\"middle strong\" x=\"{x:.1}\" y=\"{y}\">{number}</text>",
                    y = TOP - 4.0,
                );
            }
        }
    }
}

/// The limit as a temperature.
const fn of_limit(limit: AirLimit) -> Temperature {
    match limit {
        AirLimit::AtMost(limit) | AirLimit::AtLeast(limit) => limit.in_celsius(),
    }
}

fn degrees(temperature: Temperature, units: Units) -> f64 {
    match units {
        Units::Metric => temperature.degrees_celsius(),
        Units::Us => temperature.degrees_fahrenheit(),
    }
}
