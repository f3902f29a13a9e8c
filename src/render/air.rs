//! What the air of a place was, in words.

use super::numbers::Units;
use super::readings::state;
use super::times;
use super::words::Lines;
use crate::grain::LotCode;
use crate::keeping::air::watch::{AirLimit, Excursion, Watch};
use crate::keeping::{Assessment, PlaceKind, Probe, RuleSet};
use crate::ledger::LeftOut;
use crate::quantity::text::{count, shell_word};
use crate::quantity::{Instant, Scale, Temperature, Zone};
use crate::report::air::{AirAnswer, Touched};
use chrono::Duration;

/// Times shown one by one; of more it is told how many there are.
const SHOWN: usize = 10;

/// How an answer is shown.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The rules of the book.
    pub rules: &'a RuleSet,
    /// Its zone.
    pub zone: &'a Zone,
    /// Which units the user reads.
    pub units: Units,
    /// The present moment.
    pub now: Instant,
}

/// The whole answer.
pub fn text(answer: &AirAnswer, lines: Lines, shown: Shown<'_>) -> String {
    let mut out = String::new();
    for (label, line) in shown.head(answer) {
        lines.labelled(&mut out, label, &line);
    }
    let excursions: Vec<(String, &[Touched])> = answer
        .excursions
        .iter()
        .map(|(found, lots)| (shown.excursion(found), lots.as_slice()))
        .collect();
    shown.list(&mut out, lines, "Out of limit", &excursions);
    let gaps: Vec<(String, &[Touched])> = answer
        .gaps
        .iter()
        .map(|((from, to), lots)| (shown.time(*from, Some(*to)), lots.as_slice()))
        .collect();
    shown.list(&mut out, lines, "Without a reading", &gaps);
    if let Some(note) = shown.note(answer) {
        out.push('\n');
        lines.labelled(&mut out, "Note", &note);
    }
    out
}

impl Shown<'_> {
    fn moment(self, at: Instant) -> String {
        format!(
            "{}{}",
            times::moment(at, self.now, self.zone),
            self.zone.which_of_two(at)
        )
    }

    /// What the place is, the time, and what the air came to: a label and a line each.
    pub fn head(self, answer: &AirAnswer) -> Vec<(&'static str, String)> {
        let limit = answer.limit(self.rules);
        let mut head = vec![(
            "Place",
            format!("{}, {}", self.place(answer), self.limit(limit)),
        )];
        let Some(watch) = &answer.watch else {
            head.push(("Readings", self.nothing(answer)));
            return head;
        };
        head.push((
            "Time",
            format!(
                "{}, {}",
                self.span(watch.from, watch.to),
                count(watch.readings, "reading")
            ),
        ));
        head.push((
            match answer.probe() {
                Some(Probe::Grain) => "In grain",
                Some(Probe::Buffered) => "In liquid",
                Some(Probe::Air) | None => "Air",
            },
            format!(
                "lowest {}, highest {}, mean over time {}",
                self.units.temperature(watch.lowest),
                self.units.temperature(watch.highest),
                self.mean(watch)
            ),
        ));
        if let Some(grain) = &answer.grain {
            head.push((
                "Grain",
                format!(
                    "{}{}: highest {}, above {}{}{}",
                    super::cool::layer(grain.layer, self.units),
                    if grain.layer.stated {
                        ""
                    } else {
                        ", taken for want of a stated one"
                    },
                    self.units.temperature(grain.highest),
                    self.units.temperature(self.rules.cold.limit.in_celsius()),
                    match grain.warm {
                        None => ", not known for how long".to_owned(),
                        Some(warm) if warm.is_zero() => " never".to_owned(),
                        Some(warm) => format!(" for {}", lasting(warm)),
                    },
                    answer.thinner(grain.layer).map_or(String::new(), |(lot, depth)| {
                        format!(
                            "; lots that lie thinner are judged by their own depth, the thinnest is {lot} at {}",
                            super::cool::length(depth, self.units)
                        )
                    })
                ),
            ));
        }
        if limit.is_some() || !answer.excursions.is_empty() {
            let goes_on = goes_on(watch);
            let outside = lasting(watch.out_of_limit(self.now));
            let times = match watch.excursions.len() {
                0 => "no time".to_owned(),
                1 => format!("{outside}, at 1 time{goes_on}"),
                several => format!(
                    "{outside} in all, at {several} times{goes_on}{}",
                    self.first_and_last(&watch.excursions)
                ),
            };
            head.push(("Limit", format!("kept for {}", lasting_whole(watch.within))));
            head.push(("Out of it", times));
        }
        head.push((
            "No reading",
            if watch.unknown.is_zero() {
                format!("never for more than {}", self.longest_gap())
            } else {
                format!("for {}: unknown, and never cold", lasting(watch.unknown))
            },
        ));
        if !answer.left_out.is_empty() {
            head.push(("Left out", self.left_out(&answer.left_out)));
        }
        if answer.stays.is_empty() {
            head.push(("Lots", "none was there".to_owned()));
        } else {
            let codes = answer.stays.iter().map(|(lot, _)| lot.to_string());
            head.push(("Lots", listed(codes)));
        }
        head
    }

    /// Warm rows of files that were not read in.
    fn left_out(self, all: &[LeftOut]) -> String {
        let rows = all.iter().map(|rows| {
            format!(
                "{} at {}, up to {}",
                super::readings::warm_rows(rows.rows),
                self.moment(rows.at),
                self.units.temperature(rows.warmest)
            )
        });
        format!(
            "{}: the time between the readings around them, if there are any on both sides, counts as not measured",
            listed(rows)
        )
    }

    /// When the first and the last of several times began.
    fn first_and_last(self, times: &[Excursion]) -> String {
        match times {
            [first, .., last] => format!(
                ": the first from {}, the last from {}",
                self.moment(first.from),
                self.moment(last.from)
            ),
            _ => String::new(),
        }
    }

    /// Its name, and its kind where the name does not say it.
    fn place(self, answer: &AirAnswer) -> String {
        let (name, kind) = (&answer.place.name, answer.kind());
        if name == kind.as_str() {
            name.clone()
        } else {
            format!("{name} ({kind})")
        }
    }

    /// The limit for the air of a kind of place.
    fn limit(self, limit: Option<AirLimit>) -> String {
        let rules = &self.rules.name;
        match limit {
            Some(limit) => format!("limit {} (rules {rules})", self.limit_words(limit)),
            None => format!(
                "no limit for such a place (rules {rules}); wet grain counts as warm above {}",
                self.units.temperature(self.rules.cold.limit.in_celsius())
            ),
        }
    }

    /// `at or below 5 °C`.
    pub fn limit_words(self, limit: AirLimit) -> String {
        match limit {
            AirLimit::AtMost(limit) => {
                format!("at or below {}", self.units.temperature(limit.in_celsius()))
            }
            AirLimit::AtLeast(limit) => {
                format!("at or above {}", self.units.temperature(limit.in_celsius()))
            }
        }
    }

    fn nothing(self, answer: &AirAnswer) -> String {
        match (answer.asked, answer.last_before(), answer.readings.first()) {
            ((None, None), ..) | (_, None, None) => format!(
                "none: draff readings {} --csv FILE reads in a logger's file",
                shell_word(&answer.place.name)
            ),
            (_, Some((at, reading)), _) => format!(
                "none in that time; the one before it is of {}, {}",
                self.moment(at),
                self.units.temperature(reading)
            ),
            (_, None, Some((at, _))) => {
                format!(
                    "none in that time; the first one is of {}",
                    self.moment(*at)
                )
            }
        }
    }

    fn mean(self, watch: &Watch) -> String {
        let milli = (watch.mean * 1000.0).round() as i32;
        self.units
            .temperature(Temperature::new(milli, Scale::Celsius))
    }

    fn longest_gap(self) -> String {
        times::minutes(self.rules.longest_gap.num_minutes())
    }

    /// `Sat 21 Nov 01:30 to 04:30`, with the second date where it is another.
    fn span(self, from: Instant, to: Instant) -> String {
        let ends = if self.zone.date(from) == self.zone.date(to) {
            format!(
                "{}{}",
                self.zone.local(to).format("%H:%M"),
                self.zone.which_of_two(to)
            )
        } else {
            self.moment(to)
        };
        format!("{} to {ends}", self.moment(from))
    }

    /// A time and how long it was.
    pub fn time(self, from: Instant, to: Option<Instant>) -> String {
        let lasts = lasting(to.unwrap_or(self.now) - from);
        match to {
            Some(to) => format!("{}, {lasts}", self.span(from, to)),
            None => format!("since {}, {lasts} so far", self.moment(from)),
        }
    }

    /// When it was, how long, and the worst reading.
    pub fn excursion(self, found: &Excursion) -> String {
        let worst = match found.kind {
            PlaceKind::HotHold => format!("lowest {}", self.units.temperature(found.lowest)),
            _ => format!("highest {}", self.units.temperature(found.highest)),
        };
        let goes_on = match found.to {
            Some(_) => "",
            None => "; no reading shows it over yet",
        };
        format!("{}, {worst}{goes_on}", self.time(found.from, found.to))
    }

    /// What such a time did to each lot, and whether that is anything; those whose use had ended before share a line.
    /// What a lot is by all of them is written one time: `told` are the lots for which it was.
    pub fn effects(self, lots: &[Touched], told: &mut Vec<LotCode>) -> Vec<(bool, String)> {
        if lots.is_empty() {
            return vec![(false, "no lot was there".to_owned())];
        }
        let (were_past, others): (Vec<&Touched>, Vec<&Touched>) =
            lots.iter().partition(|lot| lot.was_past);
        let mut lines: Vec<(bool, String)> = others
            .into_iter()
            .map(|lot| {
                let is_told = told.contains(&lot.lot);
                told.push(lot.lot);
                (lot.is_changed(), self.effect(lot, is_told))
            })
            .collect();
        if !were_past.is_empty() {
            let codes = were_past.iter().map(|lot| lot.lot.to_string());
            lines.push((false, format!("past before it: {}", listed(codes))));
        }
        lines
    }

    /// `ALD-261120-1T, gone Sat 21 Nov 09:00: past (4 h above 5 °C in all); without it good, keep until Thu 26 Nov`.
    fn effect(self, lot: &Touched, is_told: bool) -> String {
        let judged = |assessment: &Assessment| {
            let state = state(assessment, self.now, self.zone);
            if assessment.verdict.may_be_used() || !lot.is_changed() {
                state
            } else {
                format!(
                    "{state} ({})",
                    self.units.in_words(&assessment.binding.limit)
                )
            }
        };
        let gone = lot.gone.map_or(String::new(), |gone| {
            format!(", gone {}", self.moment(gone))
        });
        let with = judged(&lot.with);
        if lot.is_changed() && is_told {
            format!("{}{gone}: without it {}", lot.lot, judged(&lot.without))
        } else if lot.is_changed() {
            format!(
                "{}{gone}: {with}; without it {}",
                lot.lot,
                judged(&lot.without)
            )
        } else {
            format!("{}{gone}: {with}, with it and without", lot.lot)
        }
    }

    /// Times one below the other, with the lots that each touched.
    fn list(self, out: &mut String, lines: Lines, heading: &str, times: &[(String, &[Touched])]) {
        if times.is_empty() {
            return;
        }
        out.push('\n');
        out.push_str(heading);
        out.push('\n');
        let chosen = chosen(times);
        let mut told = Vec::new();
        for (index, (time, lots)) in times.iter().enumerate().filter(|(i, _)| chosen.contains(i)) {
            lines.add(out, &format!("{:>3}  ", index + 1), "     ", time);
            for (_, line) in self.effects(lots, &mut told) {
                lines.add(out, "       ", "         ", &line);
            }
        }
        let left = times.len() - chosen.len();
        if left > 0 {
            lines.add(
                out,
                "     ",
                "     ",
                &format!("and {left} more: --json lists all, --from and --to a part of them"),
            );
        }
    }

    /// What `without it` means, and what air says nothing of.
    pub fn note(self, answer: &AirAnswer) -> Option<String> {
        answer.watch.as_ref()?;
        let stated = match answer.place.settings.as_slice() {
            [one] => format!("the {} that", self.units.temperature(one.stated)),
            _ => "what".to_owned(),
        };
        let without = if answer.excursions.is_empty() && answer.gaps.is_empty() {
            String::new()
        } else {
            format!(
                "without it: had {} held {stated} it is stated to hold, in the times shown here; ",
                answer.place.name
            )
        };
        Some(format!(
            "{without}between two readings the worse one counts; a logger never shows that grain cooled, a thermometer in it does"
        ))
    }
}

/// Whether the last time out of limit is over, where it is not.
pub fn goes_on(watch: &Watch) -> &'static str {
    match watch.excursions.last() {
        Some(Excursion { to: None, .. }) => ", and not over at the last reading",
        _ => "",
    }
}

/// Which times are shown: those that changed a lot first, then the earliest.
fn chosen(times: &[(String, &[Touched])]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..times.len()).collect();
    order.sort_by_key(|index| !times[*index].1.iter().any(Touched::is_changed));
    order.truncate(SHOWN);
    order
}

/// The first of them, and how many more there are.
fn listed(codes: impl ExactSizeIterator<Item = String>) -> String {
    let more = codes.len().saturating_sub(SHOWN);
    let first = codes.take(SHOWN).collect::<Vec<_>>().join(", ");
    if more == 0 {
        first
    } else {
        format!("{first} and {more} more")
    }
}

/// Begun minutes counted whole, of days begun hours.
fn lasting(time: Duration) -> String {
    let minutes = times::begun_minutes(time);
    in_days(minutes, (minutes + 59) / 60)
}

/// Whole minutes or hours only, for what is good.
fn lasting_whole(time: Duration) -> String {
    in_days(time.num_minutes(), time.num_hours())
}

/// Some days in hours, more in days and hours.
fn in_days(minutes: i64, hours: i64) -> String {
    const LONG: i64 = 100;
    match (hours / 24, hours % 24) {
        _ if hours < LONG => times::minutes(minutes),
        (days, 0) => format!("{days} days"),
        (days, hours) => format!("{days} days {hours} h"),
    }
}
