//! Charts that a baker reads at a glance: bars and dots, told apart by hatches and words and not by colour.
//!
//! Above every picture stands what it shows, and its title says what is seen in it; the numbers stand in a table beside it.

use chrono::NaiveDate;
use maud::{Markup, html};

/// How pictures look, for every page that holds one.
pub const STYLE: &str = include_str!("chart.css");

/// Width of a picture; its units are millimetres on paper.
const WIDTH: f64 = 180.0;
/// Height of a bar, and the way from one to the next.
const BAR: f64 = 4.4;
const PITCH: f64 = 6.0;
/// What the labels before bars and the numbers behind them take.
const LABELS: f64 = 40.0;
const NUMBERS: f64 = 34.0;
/// Height of a picture with dots, and what its edges take.
const PLOT: f64 = 62.0;
const LEFT: f64 = 14.0;
const RIGHT: f64 = 4.0;
const FOOT: f64 = 6.0;
/// Letters of a label that fit.
const LETTERS: usize = 24;

/// How a part is filled: each kind has its own hatch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// Grey.
    Grey,
    /// Slanted lines.
    Slanted,
    /// Dots.
    Dotted,
    /// Lying lines.
    Lying,
    /// Black.
    Black,
    /// White.
    White,
}

impl Fill {
    /// What it is painted with, where the hatches have these names.
    pub const fn paint(self) -> &'static str {
        match self {
            Self::Grey => "#c8c8c8",
            Self::Slanted => "url(#slanted)",
            Self::Dotted => "url(#dotted)",
            Self::Lying => "url(#lying)",
            Self::Black => "#333",
            Self::White => "#fff",
        }
    }
}

/// A bar of several parts.
pub struct Bar {
    /// What stands before it.
    pub label: String,
    /// Its parts from left to right.
    pub parts: Vec<(Fill, f64)>,
    /// Where a mark stands on it.
    pub mark: Option<f64>,
    /// What stands behind it.
    pub text: String,
}

/// A dot with its range.
#[derive(Debug, Clone)]
pub struct Dot {
    /// Its day.
    pub day: NaiveDate,
    /// Its height.
    pub value: f64,
    /// How far it reaches up and down; nothing where it has no range.
    pub half: f64,
    /// Whether it is filled.
    pub is_full: bool,
    /// Its name, of one that stands out: it is drawn large and hatched.
    pub name: Option<String>,
}

/// Between which values dots lie while nothing changes.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// The lower one.
    pub low: f64,
    /// The middle one of all.
    pub middle: f64,
    /// The upper one.
    pub high: f64,
    /// The first day they are from.
    pub from: NaiveDate,
}

/// The hatches, named once for all pictures of a page: slanted, lying and dotted, each under a name of the page's own.
pub fn hatches(names: [&str; 3]) -> Markup {
    hatches_of(names, None)
}

/// The same for a picture whose units are so many times smaller than millimetres.
pub fn larger_hatches(names: [&str; 3], times: f64) -> Markup {
    hatches_of(names, Some(&format!("scale({times})")))
}

fn hatches_of([slanted, lying, dotted]: [&str; 3], scale: Option<&str>) -> Markup {
    let turned = match scale {
        Some(scale) => format!("{scale} rotate(45)"),
        None => "rotate(45)".to_owned(),
    };
    html! {
        svg.hatches width="0" height="0" aria-hidden="true" {
            defs {
                pattern id=(slanted) width="1.6" height="1.6" patternUnits="userSpaceOnUse" patternTransform=(turned) {
                    rect width="1.6" height="1.6" fill="#fff" {}
                    rect width="0.55" height="1.6" fill="#000" {}
                }
                pattern id=(lying) width="1.1" height="1.1" patternUnits="userSpaceOnUse" patternTransform=[scale] {
                    rect width="1.1" height="1.1" fill="#fff" {}
                    rect width="1.1" height="0.4" fill="#000" {}
                }
                pattern id=(dotted) width="1.4" height="1.4" patternUnits="userSpaceOnUse" patternTransform=[scale] {
                    rect width="1.4" height="1.4" fill="#fff" {}
                    circle cx="0.7" cy="0.7" r="0.4" fill="#000" {}
                }
            }
        }
    }
}

/// Bars one below the other, all to one scale, with a key of their hatches: what they show and what is seen in it. Nothing where
/// there is nothing to show.
pub fn bars(label: &str, finding: &str, bars: &[Bar], key: &[(Fill, &str)]) -> Markup {
    let length = |bar: &Bar| {
        bar.parts
            .iter()
            .map(|(_, value)| value.max(0.0))
            .sum::<f64>()
    };
    let longest = bars
        .iter()
        .map(|bar| length(bar).max(bar.mark.unwrap_or(0.0)))
        .fold(0.0, f64::max);
    if longest <= 0.0 {
        return html! {};
    }
    let scale = (WIDTH - LABELS - NUMBERS) / longest;
    let height = bars.len() as f64 * PITCH + 1.0;
    let inside = html! {
        @for (index, bar) in bars.iter().enumerate() {
            @let top = index as f64 * PITCH + 0.8;
            text x="0" y=(mm(top + 3.3)) { (shortened(&bar.label)) }
            @for (from, width, fill) in placed(bar, scale) {
                rect.part x=(mm(from)) y=(mm(top)) width=(mm(width)) height=(mm(BAR)) fill=(fill.paint()) {}
            }
            @if let Some(mark) = bar.mark {
                @let x = LABELS + mark * scale;
                line.mark x1=(mm(x)) y1=(mm(top - 0.7)) x2=(mm(x)) y2=(mm(top + BAR + 0.7)) {}
            }
            text x=(mm(LABELS + length(bar).max(bar.mark.unwrap_or(0.0)) * scale + 1.5)) y=(mm(top + 3.3)) { (bar.text) }
        }
    };
    let key = html! {
        @if !key.is_empty() {
            ul aria-hidden="true" {
                @for (fill, words) in key {
                    li {
                        svg viewBox="0 0 8 3.4" { rect.part x="0.2" y="0.2" width="7.6" height="3" fill=(fill.paint()) {} }
                        (words)
                    }
                }
            }
        }
    };
    picture((label, finding), height, false, &inside, &key)
}

/// Where each part of a bar begins, how long it is, how it is filled.
fn placed(bar: &Bar, scale: f64) -> Vec<(f64, f64, Fill)> {
    let mut x = LABELS;
    bar.parts
        .iter()
        .filter(|(_, value)| *value > 0.0)
        .map(|(fill, value)| {
            let from = x;
            x += value * scale;
            (from, value * scale, *fill)
        })
        .collect()
}

/// Dots over days, joined by a line where they add up: what they show and what is seen in it. Nothing where there are none.
pub fn dots(
    label: &str,
    finding: &str,
    dots: &[Dot],
    unit: &str,
    limits: Option<&Limits>,
    is_line: bool,
) -> Markup {
    let (Some(first), Some(last)) = (
        dots.iter().map(|dot| dot.day).min(),
        dots.iter().map(|dot| dot.day).max(),
    ) else {
        return html! {};
    };
    let lowest = dots
        .iter()
        .map(|dot| dot.value - dot.half)
        .chain(limits.map(|limits| limits.low))
        .fold(f64::INFINITY, f64::min);
    let highest = dots
        .iter()
        .map(|dot| dot.value + dot.half)
        .chain(limits.map(|limits| limits.high))
        .fold(f64::NEG_INFINITY, f64::max);
    let lowest = if is_line { 0.0 } else { lowest };
    let (low, step, steps) = scale_of(lowest, highest);
    let high = low + step * f64::from(steps);
    // The names of limits stand beside the plot, where no dot is.
    let end = WIDTH - if limits.is_some() { NUMBERS } else { RIGHT };
    let days = (last - first).num_days().max(1) as f64;
    let x =
        |day: NaiveDate| LEFT + 2.0 + (day - first).num_days() as f64 / days * (end - LEFT - 4.0);
    let y = |value: f64| 2.0 + (high - value) / (high - low) * (PLOT - FOOT - 4.0);
    let path: Vec<String> = dots
        .iter()
        .map(|dot| format!("{},{}", mm(x(dot.day)), mm(y(dot.value))))
        .collect();
    let inside = html! {
        @for index in 0..=steps {
            @let value = low + step * f64::from(index);
            line.grid x1=(mm(LEFT)) y1=(mm(y(value))) x2=(mm(end)) y2=(mm(y(value))) {}
            text x=(mm(LEFT - 1.5)) y=(mm(y(value) + 1.0)) text-anchor="end" { (short(value, step)) }
        }
        text x="0" y="2.4" { (unit) }
        text x=(mm(LEFT)) y=(mm(PLOT - 0.8)) { (first.format("%-d %b %Y")) }
        @if last > first {
            text x=(mm(end)) y=(mm(PLOT - 0.8)) text-anchor="end" { (last.format("%-d %b %Y")) }
        }
        @if let Some(limits) = limits {
            @let from = x(limits.from.max(first));
            @for (value, words, class) in [(limits.high, "upper limit", "limit"), (limits.middle, "middle", "middle"), (limits.low, "lower limit", "limit")] {
                line.(class) x1=(mm(from)) y1=(mm(y(value))) x2=(mm(end)) y2=(mm(y(value))) {}
                text x=(mm(end + 1.5)) y=(mm(y(value) + 1.0)) { (words) " " (format!("{value:.1}")) }
            }
        }
        @if is_line { polyline.sum points=(path.join(" ")) {} }
        @for dot in dots {
            @if dot.half > 0.0 {
                line.range x1=(mm(x(dot.day))) y1=(mm(y(dot.value - dot.half))) x2=(mm(x(dot.day))) y2=(mm(y(dot.value + dot.half))) {}
            }
            @if let Some(name) = &dot.name {
                @let is_right = x(dot.day) > end / 2.0;
                circle.odd cx=(mm(x(dot.day))) cy=(mm(y(dot.value))) r="2" fill="url(#slanted)" {}
                text.name x=(mm(x(dot.day) + if is_right { -2.8 } else { 2.8 })) y=(mm(y(dot.value) + 1.0)) text-anchor=(if is_right { "end" } else { "start" }) { "odd: " (name) }
            } @else if !is_line {
                circle.dot.full[dot.is_full] cx=(mm(x(dot.day))) cy=(mm(y(dot.value))) r="1.1" {}
            }
        }
    };
    picture((label, finding), PLOT, true, &inside, &html! {})
}

/// Where a scale begins, its step of 1, 2 or 5 and how many of them reach the highest.
fn scale_of(lowest: f64, highest: f64) -> (f64, f64, u32) {
    let span = (highest - lowest).max(highest.abs() * 1e-6).max(1e-9);
    let rough = span / 4.0;
    let power = libm::pow(10.0, libm::log10(rough).floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| *step >= rough)
        .unwrap_or(10.0 * power);
    let low = (lowest / step).floor() * step;
    let steps = ((highest - low) / step).ceil().clamp(1.0, 12.0) as u32;
    (low, step, steps)
}

/// A number of a scale, with no more places than its step has.
fn short(value: f64, step: f64) -> String {
    let places = (-libm::log10(step).floor()).clamp(0.0, 3.0) as usize;
    format!("{value:.places$}")
}

fn picture(
    (label, finding): (&str, &str),
    height: f64,
    ends_now: bool,
    inside: &Markup,
    key: &Markup,
) -> Markup {
    html! {
        figure.picture {
            figcaption { (label) }
            // On a phone it is wider than the screen, or nobody could read its words. Of days the newest are seen first.
            div.wide.newest[ends_now] role="region" tabindex="0" aria-label=(label) {
                svg.chart viewBox=(format!("0 0 {WIDTH} {}", mm(height))) role="img" {
                    title { (finding) }
                    (inside)
                }
            }
            (key)
        }
    }
}

/// Tenths of a millimetre are as fine as paper shows.
fn mm(value: f64) -> String {
    format!("{value:.1}")
}

fn shortened(label: &str) -> String {
    super::svg_text::shortened(label, LETTERS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_covers_what_it_shows_in_round_steps() {
        for (lowest, highest) in [
            (0.0, 22.3),
            (74.1, 85.3),
            (0.0, 0.0),
            (76.9, 76.9),
            (-3.0, 4.0),
        ] {
            let (low, step, steps) = scale_of(lowest, highest);
            let top = low + step * f64::from(steps);
            assert!(
                low <= lowest && highest <= top + 1e-9,
                "{lowest} {highest}: {low} {step} {steps}"
            );
            assert!(steps <= 6 && step > 0.0);
        }
    }

    #[test]
    fn nothing_is_drawn_of_nothing() {
        assert_eq!(bars("none", "none", &[], &[]).into_string(), "");
        assert_eq!(
            dots("none", "none", &[], "%", None, false).into_string(),
            ""
        );
        let empty = Bar {
            label: "a".into(),
            parts: vec![(Fill::Grey, 0.0)],
            mark: None,
            text: String::new(),
        };
        assert_eq!(bars("none", "none", &[empty], &[]).into_string(), "");
    }
}
