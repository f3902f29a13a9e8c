//! The lots over the days of the plan: each a bar from now to its last moment of use, its parts below each
//! other inside, each as long as it lies.
//!
//! A table of pictures and not one picture, so that paper can break between lots and repeats the days.

use crate::planning::plan::Fate;
use crate::quantity::Instant;
use crate::render::chart::hatches;
use crate::render::plan::Words;
use crate::report::plan_chart::{self, Goal, How, LotChart, Part};
use chrono::{Datelike, NaiveDate, Weekday};
use maud::{Markup, html};

/// Width of the picture; its units are millimetres on paper.
const WIDTH: f64 = 146.0;
/// Height of a part and the way from one to the next.
const PART: f64 = 3.4;
const PITCH: f64 = 4.1;
const MARGIN: f64 = 1.0;
/// Size of letters, and how wide one is taken to be: Liberation Sans is narrower but for capitals.
const LETTERS: f64 = 2.7;
const LETTER_WIDTH: f64 = 0.56 * LETTERS;
/// Days that are narrower are not all named.
const NARROWEST_DAY: f64 = 8.5;

/// The picture with its days and its key.
pub fn lots(words: Words<'_>) -> Markup {
    let axis = Axis { words };
    html! {
        (hatches(["frozen", "thawed", "dried"]))
        section.chart {
            div.scroll role="region" tabindex="0" aria-label="Lots over the days" {
                table {
                    thead { tr { th { "Lots" } td { (axis.days()) } } }
                    tbody {
                        tr { th { "Bakes" div.small { "when they are mixed" } } td { (axis.bakes()) } }
                        @for chart in plan_chart::lots(words.answer) {
                            tr {
                                th { (label(words, &chart)) }
                                td {
                                    @if chart.usable { (axis.lot(&chart)) } @else { (unusable(words, chart.lot)) }
                                }
                            }
                        }
                    }
                }
            }
            (key())
        }
    }
}

fn label(words: Words<'_>, chart: &LotChart) -> Markup {
    let lot = &words.answer.ground.situation.lots[chart.lot];
    html! {
        span.whole { (lot.code) }
        div.small {
            (words.wet(lot.wet)) ", " (lot.place)
            @if let Some(until) = chart.until { br; "until " (words.when(until)) }
        }
    }
}

/// What becomes of a lot that may not go into a dough: no bar, so that nobody takes it for one that may.
fn unusable(words: Words<'_>, lot: usize) -> Markup {
    let left = words.answer.plan.left.iter();
    html! { @for left in left.filter(|left| left.lot == lot) { p.refused { (words.spare(left)) } } }
}

const fn fill(how: How) -> &'static str {
    match how {
        How::Wet => "#c8c8c8",
        How::Frozen => "url(#frozen)",
        How::Thawed => "url(#thawed)",
        How::Dried => "url(#dried)",
    }
}

fn key() -> Markup {
    let name = |how| match how {
        How::Wet => "as it lies",
        How::Frozen => "in the freezer",
        How::Thawed => "thawed, in the fridge",
        How::Dried => "dried",
    };
    html! {
        ul.key {
            @for how in How::ALL {
                li {
                    svg viewBox="0 0 8 3.4" {
                        rect.part x="0.2" y="0.2" width="7.6" height="3" fill=(fill(how)) {}
                    }
                    (name(how))
                }
            }
            li {
                svg viewBox="0 0 8 3.4" { (taken(4.0, 0.0)) }
                "goes into the dough"
            }
            li {
                svg viewBox="0 0 8 3.4" { line.until x1="4" y1="0" x2="4" y2="3.4" {} }
                "last moment as it lies"
            }
            li {
                svg viewBox="0 0 8 3.4" { line.off x1="0" y1="1.7" x2="8" y2="1.7" {} }
                "day off"
            }
        }
    }
}

/// The mark at the end of a part that a bake takes.
fn taken(x: f64, top: f64) -> Markup {
    html! { rect.taken x=(number(x - 0.9)) y=(number(top)) width="1.2" height=(number(PART)) {} }
}

/// Tenths of a millimetre are as fine as paper shows.
fn number(value: f64) -> String {
    format!("{value:.1}")
}

/// Moments as places from left to right.
#[derive(Clone, Copy)]
struct Axis<'a> {
    words: Words<'a>,
}

impl Axis<'_> {
    fn x(self, at: Instant) -> f64 {
        let situation = &self.words.answer.ground.situation;
        let all = (situation.end - situation.now).num_seconds().max(1) as f64;
        let gone = (at - situation.now).num_seconds() as f64;
        (gone / all).clamp(0.0, 1.0) * WIDTH
    }

    /// Each day with where it begins and ends.
    fn each_day(self) -> Vec<(NaiveDate, f64, f64)> {
        let situation = &self.words.answer.ground.situation;
        let zone = self.words.zone;
        zone.date(situation.now)
            .iter_days()
            .take_while(|day| *day <= zone.date(situation.end))
            .map(|day| {
                let (from, until) = (zone.start_of_day(day), zone.end_of_day(day));
                (day, self.x(from), self.x(until))
            })
            .collect()
    }

    /// Whether each day is wide enough for its name; of many days only the Mondays are marked.
    fn shows_each_day(self) -> bool {
        let widths = self
            .each_day()
            .into_iter()
            .map(|(_, from, until)| until - from);
        widths.fold(0.0, f64::max) >= NARROWEST_DAY
    }

    /// One row of the picture. Its name says in words what its marks say, to whoever does not see them.
    fn picture(self, name: &str, height: f64, inside: &Markup) -> Markup {
        let each = self.shows_each_day();
        let days = self.each_day().into_iter().skip(1);
        let marked = days.filter(|(day, ..)| each || day.weekday() == Weekday::Mon);
        html! {
            svg viewBox=(format!("0 0 {WIDTH} {}", number(height))) role="img" aria-label=(name) {
                @for (_, from, _) in marked {
                    line.day x1=(number(from)) y1="0" x2=(number(from)) y2=(number(height)) {}
                }
                (inside)
            }
        }
    }

    /// The names of the days; of many days those of the Mondays.
    fn days(self) -> Markup {
        let days = self.each_day();
        let each = self.shows_each_day();
        let is_named = |day: NaiveDate, width: f64| {
            if each {
                width >= NARROWEST_DAY
            } else {
                day.weekday() == Weekday::Mon
            }
        };
        let off = &self.words.answer.ground.situation.capacity.hands_off;
        let inside = html! {
            @for (day, from, until) in &days {
                @if is_named(*day, until - from) {
                    @for (line, y) in [("%a", 2.9), ("%-d %b", 6.1)] {
                        text x=(number(from + 0.8)) y=(number(y)) { (day.format(line)) }
                    }
                }
                @if off.contains(day) {
                    line.off x1=(number(*from)) y1="7.4" x2=(number(*until)) y2="7.4" {}
                }
            }
        };
        let name = |day: Option<&(NaiveDate, f64, f64)>| {
            day.map(|(day, ..)| day.format("%a %-d %b").to_string())
                .unwrap_or_default()
        };
        let name = format!("Days from {} to {}", name(days.first()), name(days.last()));
        self.picture(&name, 8.0, &inside)
    }

    /// A mark and the code for each bake, below each other where they would meet.
    fn bakes(self) -> Markup {
        let situation = &self.words.answer.ground.situation;
        let mut order: Vec<usize> = (0..situation.bakes.len()).collect();
        order.sort_by_key(|bake| situation.bakes[*bake].mix);
        let mut ends: Vec<f64> = Vec::new();
        let mut marks = Vec::new();
        for bake in order {
            let x = self.x(situation.bakes[bake].mix);
            let planned = &self.words.answer.plan.bakes[bake];
            let lacks = if !planned.happens {
                " not baked"
            } else if planned.reason.is_some() {
                " SHORT"
            } else {
                ""
            };
            let text = format!("{}{lacks}", self.words.bake(bake));
            let width = width(&text) + 3.0;
            // What would go beyond the edge stands to the left of its mark.
            let is_left = x + width > WIDTH;
            let (from, until) = if is_left {
                (x - width, x + 1.5)
            } else {
                (x - 1.5, x + width)
            };
            let level = match ends.iter().position(|end| *end <= from) {
                Some(level) => level,
                None => {
                    ends.push(0.0);
                    ends.len() - 1
                }
            };
            ends[level] = until;
            marks.push((x, level as f64 * PITCH + MARGIN, text, is_left));
        }
        let height = ends.len().max(1) as f64 * PITCH + MARGIN;
        let texts: Vec<&str> = marks.iter().map(|(_, _, text, _)| text.as_str()).collect();
        let name = format!("Bakes in the order of their mixing: {}", texts.join(", "));
        let inside = html! {
            @for (x, top, text, is_left) in &marks {
                polygon.mark points=(format!("{:.1},{top:.1} {:.1},{top:.1} {x:.1},{:.1}", x - 1.2, x + 1.2, top + 2.4)) {}
                (self.text(*x, *top, text, *is_left))
            }
        };
        self.picture(&name, height, &inside)
    }

    /// A text beside a mark, on white so that no line or hatch runs through it.
    fn text(self, x: f64, top: f64, text: &str, is_left: bool) -> Markup {
        let wide = width(text);
        let (x, anchor, from) = if is_left {
            (x - 1.3, "end", x - 1.5 - wide)
        } else {
            (x + 1.6, "start", x + 1.4)
        };
        html! {
            rect.paper x=(number(from)) y=(number(top + 0.1)) width=(number(wide + 0.4)) height=(number(PART - 0.2)) {}
            text x=(number(x)) y=(number(top + PART - 0.8)) text-anchor=(anchor) { (text) }
        }
    }

    fn lot(self, chart: &LotChart) -> Markup {
        let height = chart.parts.len().max(1) as f64 * PITCH + MARGIN;
        // Open to the right where nothing ends within the days.
        let end = chart.until.map_or(WIDTH + 1.0, |until| self.x(until));
        let line = chart
            .until
            .filter(|until| *until <= self.words.answer.ground.situation.end)
            .map(|until| self.x(until));
        let inside = html! {
            rect.lot x="0.2" y="0.2" width=(number((end - 0.2).max(0.5))) height=(number(height - 0.4)) {}
            @for (index, part) in chart.parts.iter().enumerate() {
                (self.part(part, index as f64 * PITCH + MARGIN * 0.85, line))
            }
            @if let Some(x) = line {
                line.until x1=(number(x)) y1="0" x2=(number(x)) y2=(number(height)) {}
            }
        };
        let parts: Vec<String> = chart.parts.iter().map(|part| self.goes(part)).collect();
        let lot = &self.words.answer.ground.situation.lots[chart.lot];
        let name = format!("{}: {}", lot.code, parts.join(", "));
        self.picture(&name, height, &inside)
    }

    /// Where a part goes.
    fn goes(self, part: &Part) -> String {
        let wet = self.words.wet(part.wet);
        match part.to {
            Goal::Bake(bake) => format!("{} {wet}", self.words.bake(bake)),
            Goal::Left(Fate::Spoils) => format!("spare {wet}, spoils"),
            Goal::Left(_) => format!("spare {wet}"),
        }
    }

    /// One part; its text gives way to the line of the last moment.
    fn part(self, part: &Part, top: f64, line: Option<f64>) -> Markup {
        let text = self.goes(part);
        let end = part.spans.last().map_or(0.0, |span| self.x(span.until));
        let reaches = |from: f64| from + width(&text) + 2.0;
        let beside = line
            .filter(|line| (end..reaches(end)).contains(line) && reaches(*line) <= WIDTH)
            .unwrap_or(end);
        let is_left = reaches(beside) > WIDTH;
        html! {
            @for span in &part.spans {
                @let from = self.x(span.from);
                rect.part x=(number(from)) y=(number(top)) width=(number(self.x(span.until) - from)) height=(number(PART)) fill=(fill(span.how)) {}
            }
            @if matches!(part.to, Goal::Bake(_)) { (taken(end, top)) }
            (self.text(beside, top, &text, is_left))
        }
    }
}

/// How wide a text is at most.
fn width(text: &str) -> f64 {
    text.chars().count() as f64 * LETTER_WIDTH
}
