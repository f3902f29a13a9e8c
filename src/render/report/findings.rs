//! The answer to each question of a report, in a sentence or two.

use super::table::Reader;
use super::untested;
use crate::ledger::MovementKind;
use crate::quantity::text::count;
use crate::quantity::{Milligrams, mass};
use crate::render::numbers::percent;
use crate::render::{air, bake, source_chart, times};
use crate::report::period::{MET_FROM, PeriodReport, Supply};
use uom::si::f64::Mass;

/// From this part of the grain that was thrown away on, that stands out: judgement.
const MUCH_THROWN_AWAY: f64 = 0.1;

/// Milligrams as a mass.
fn wet(milligrams: i64) -> Mass {
    Milligrams::new(milligrams).mass()
}

/// Sentences about a report.
pub struct Findings<'a> {
    /// The report.
    pub report: &'a PeriodReport,
    /// Who reads it.
    pub reader: Reader<'a>,
}

impl Findings<'_> {
    /// What stands out: what may hurt people first, then what was lost, then what was won.
    pub fn heading(&self) -> String {
        let report = self.report;
        if report.is_empty() {
            return "The book holds no entry for this period.".to_owned();
        }
        let (all, ages) = (report.all(), report.all_ages());
        if ages.unusable > 0 {
            return format!(
                "{} went to people past its date or of unknown history, by what is known now.",
                self.reader.weighed(ages.unusable)
            );
        }
        let not_free = report.bakes.iter().filter(|bake| bake.not_free.is_some());
        let not_free = not_free.count();
        if not_free > 0 {
            return format!(
                "{}: the grain may hold what it was to be free of, by what is known now.",
                count(not_free, "bake")
            );
        }
        let below = report.supplied(Supply::BelowMinimum);
        if below > 0 {
            return format!("{} got less grain than the minimum.", count(below, "bake"));
        }
        let thrown = all.thrown_away();
        if let Some(part) = self
            .part_of_all(thrown.wet)
            .filter(|part| *part >= MUCH_THROWN_AWAY)
        {
            return format!(
                "{} of the grain was thrown away, composted or fed to animals: {} wet.",
                percent(part),
                self.reader.weighed(thrown.wet)
            );
        }
        let saved = report.flour_saved();
        if mass::grams(saved) > 0.0 {
            let [saved, lost] = self.reader.alike([saved, wet(thrown.wet)]);
            return format!(
                "{saved} of dry grain stood in for flour, and {} of wet grain was thrown away, composted or fed.",
                if thrown.wet == 0 {
                    "none"
                } else {
                    lost.as_str()
                }
            );
        }
        "No grain went into a dough.".to_owned()
    }

    /// The part that an amount is of all that there was.
    fn part_of_all(&self, part: i64) -> Option<f64> {
        let there = self.report.all().total_in();
        (there > 0).then(|| part as f64 / there as f64)
    }

    /// Where grain went: what the first sentence adds up to is what the second one does. `169.8 kg came in with 12 lots.
    /// 101.979 kg (60.1 %) went into bakes, 10.7 kg (6.3 %) was thrown away, composted or fed, 57.121 kg is on hand at the end.
    /// Balance closes to the milligram.`
    pub fn balance(&self) -> String {
        let all = self.report.all();
        if self.report.sources.is_empty() {
            return "No grain was on hand, came in or left.".to_owned();
        }
        let way = |kind| all.way(kind).wet;
        let thrown = all.thrown_away();
        let missing = way(MovementKind::Missing);
        let came = format!("came in with {}", count(all.lots, "lot"));
        let there = [
            (all.opening.wet, "was on hand before"),
            (way(MovementKind::CameIn), came.as_str()),
            (
                way(MovementKind::WaterAdded),
                "of water was added in treatments",
            ),
            (missing.saturating_neg(), "more was found in counts"),
        ];
        let went = [
            (way(MovementKind::Baked), "went into bakes"),
            (way(MovementKind::Given), "was given as food"),
            (thrown.wet, "was thrown away, composted or fed"),
            (way(MovementKind::Treatment), "was lost in treatments"),
            (missing, "was found missing in counts"),
        ];
        let all_parts = there.iter().chain(&went).map(|(part, _)| wet(*part));
        let unit = self
            .reader
            .units
            .unit_of(all_parts.chain([wet(all.closing.wet)]));
        let shown = |part: i64| unit.shown(wet(part));
        let there = there.iter().filter(|(part, _)| *part > 0);
        let there: Vec<String> = there
            .map(|(part, words)| format!("{} {words}", shown(*part)))
            .collect();
        let went = went.iter().filter(|(part, _)| *part > 0);
        let mut went: Vec<String> = went
            .map(|(part, words)| {
                let of_all = self.part_of_all(*part);
                let of_all = of_all.map_or(String::new(), |part| format!(" ({})", percent(part)));
                format!("{}{of_all} {words}", shown(*part))
            })
            .collect();
        let end = match self.report.goes_on_to {
            Some(_) => "now",
            None => "at the end",
        };
        went.push(format!("{} is on hand {end}", shown(all.closing.wet)));
        let mut says: String = [there, went]
            .iter()
            .filter(|parts| !parts.is_empty())
            .map(|parts| format!("{}. ", parts.join(", ")))
            .collect();
        if self.report.sources.iter().all(|one| one.difference() == 0) {
            says.push_str("Balance closes to the milligram.");
        } else {
            let check = self.reader.way("run `draff check`", "see Check and copy");
            says.push_str(&format!("The balance does not close: {check}."));
        }
        says
    }

    /// What flour was saved.
    pub fn flour(&self) -> String {
        let saved = self.report.flour_saved();
        if mass::grams(saved) <= 0.0 {
            return "No grain went into a dough.".to_owned();
        }
        let [listed] = self.reader.alike([saved]);
        let money = match self.report.flour_price {
            Some(price) => format!(
                " At {price:.2} a kg that is {:.2}.",
                price * mass::grams(saved) / 1e3
            ),
            None => format!(
                " Set the price of flour to see it as money: {}",
                self.reader
                    .way("draff settings flour-price 1.10", "Book, Settings.")
            ),
        };
        format!("{listed} of dry grain stood in for as much bone-dry flour.{money}")
    }

    /// How old grain was.
    pub fn ages(&self) -> String {
        let ages = self.report.all_ages();
        let Some(in_time) = ages.in_time() else {
            return "No grain was used or given as food.".to_owned();
        };
        let age = match ages.mean_days() {
            Some(mean) => format!(
                "{mean:.1} days from mash-out to use on average by weight, {:.1} at most; time in the freezer counts.",
                ages.longest_days
            ),
            None => "Mash-out times are not known.".to_owned(),
        };
        format!("{age} {} was used before its date.", percent(in_time))
    }

    /// Whether bakes got their grain.
    pub fn bakes(&self) -> String {
        let report = self.report;
        if report.bakes.is_empty() {
            return "No bake of the book was baked or dropped.".to_owned();
        }
        let not_free = report.bakes.iter().filter_map(|ended| {
            let found = bake::not_free(ended.not_free.as_ref()?, true);
            Some(format!("{} {found}. ", ended.code))
        });
        let mut says: String = not_free.collect();
        says.push_str(&format!(
            "{} of {} got as much grain as wanted",
            report.supplied(Supply::Full),
            count(report.bakes.len(), "bake")
        ));
        for (supply, words) in [
            (Supply::Less, "got less, but no less than the minimum"),
            (Supply::BelowMinimum, "got less than the minimum"),
            (Supply::Dropped, "not baked"),
            (Supply::Unknown, "with a formula that cannot be read"),
        ] {
            let number = report.supplied(supply);
            if number > 0 {
                says.push_str(&format!("; {number} {words}"));
            }
        }
        says.push_str(&format!(
            ". {} of an amount counts as all of it.",
            percent(MET_FROM)
        ));
        says
    }

    /// How well moisture was known.
    pub fn moisture(&self) -> String {
        let report = self.report;
        let (tests, tested) = report.tests;
        let made = format!(
            "{} of {}",
            count(tests, "moisture test"),
            count(tested, "lot")
        );
        if report.lots.is_empty() {
            return format!("No lot came in; {made}.");
        }
        let pairs: Vec<(f64, f64)> = report
            .lots
            .iter()
            .filter_map(|came| {
                let untested = came.untested.as_ref()?;
                Some((untested.expanded(), came.moisture.expanded()))
            })
            .collect();
        let here = format!(
            "{} came in, {} of them tested; {made} in all.",
            count(report.lots.len(), "lot"),
            pairs.len(),
        );
        let steady = source_chart::all(&report.charts);
        if pairs.is_empty() {
            return format!("{here} {steady}");
        }
        let mean = |of: fn(&(f64, f64)) -> f64| {
            100.0 * pairs.iter().map(of).sum::<f64>() / pairs.len() as f64
        };
        format!(
            "{here} A test narrowed moisture from ± {:.1} to ± {:.1} points on average.{} {steady}",
            mean(|pair| pair.0),
            mean(|pair| pair.1),
            untested::by_source(&report.lots)
        )
    }

    /// Whether the water was right: `Water is compared with its sheet for 3 of 4 bakes. In 2 it was no less than to pour first and
    /// no more than all of it. 45 % of the held-back water went in on average.`
    pub fn water(&self) -> String {
        let baked = self
            .report
            .bakes
            .iter()
            .filter(|bake| bake.measured().is_some())
            .count();
        let waters: Vec<_> = self
            .report
            .bakes
            .iter()
            .filter_map(|bake| bake.water())
            .collect();
        let others = self.report.bakes.iter();
        let others = others.filter(|bake| bake.has_water_of_other_grain());
        let left_out = match others.count() {
            0 => String::new(),
            others => format!(
                " Left out: {} whose sheet was for other grain than is written down.",
                count(others, "bake")
            ),
        };
        if waters.is_empty() && !left_out.is_empty() {
            return format!("No water can be compared with a sheet.{left_out}");
        }
        if waters.is_empty() && baked == 0 {
            return "No bake was written down.".to_owned();
        }
        if waters.is_empty() {
            let mut done = self.report.bakes.iter();
            let add = done.find_map(|bake| Some((bake.code, bake.entry?)));
            let add = add.map_or(String::new(), |(bake, entry)| {
                let command = format!("draff correct {entry} --water MASS --reason TEXT");
                let on_page = format!("correct entry {entry}");
                format!(
                    " Add it, such as for {bake}: {}.",
                    self.reader.way(&command, &on_page)
                )
            });
            return format!("No water was recorded for {}.{add}", count(baked, "bake"));
        }
        let within = waters.iter().filter(|water| water.is_within()).count();
        let parts: Vec<f64> = waters
            .iter()
            .filter_map(|water| water.part_of_back())
            .collect();
        let mut says = format!(
            "Water is compared with its sheet for {} of {}. In {within} it was no less than to pour first and no more than all of it.",
            waters.len(),
            count(baked, "bake"),
        );
        if !parts.is_empty() {
            let mean = parts.iter().sum::<f64>() / parts.len() as f64;
            says.push_str(&format!(
                " {} of the held-back water went in on average.",
                percent(mean)
            ));
        }
        says + &left_out
    }

    /// Whether grain was kept cold.
    pub fn places(&self) -> String {
        let measured: Vec<_> = self
            .report
            .places
            .iter()
            .filter_map(|place| Some((place, place.watch.as_ref()?)))
            .collect();
        if measured.is_empty() {
            return "No logger readings in this period.".to_owned();
        }
        let mut lines = Vec::new();
        for (place, watch) in measured {
            if place.excursions.is_empty() {
                continue;
            }
            let changed: usize = place.excursions.iter().map(|(_, changed)| changed).sum();
            let outside = watch.out_of_limit(self.report.as_of);
            lines.push(format!(
                "{}: {} out of limit, {}{}; lots with another date for it: {changed}.",
                place.name,
                times::minutes(times::begun_minutes(outside)),
                count(place.excursions.len(), "time"),
                air::goes_on(watch),
            ));
        }
        if lines.is_empty() {
            self.kept_where_measured()
        } else {
            lines.join(" ")
        }
    }

    /// That every place kept its limit, as far as it was measured.
    fn kept_where_measured(&self) -> String {
        let unmeasured: Vec<String> = self
            .report
            .places
            .iter()
            .filter_map(|place| {
                let unknown = times::begun_minutes(place.watch.as_ref()?.unknown);
                (unknown > 60).then(|| format!("{} {}", place.name, times::minutes(unknown)))
            })
            .collect();
        if unmeasured.is_empty() {
            return "Every place with readings kept its limit.".to_owned();
        }
        format!(
            "Every place kept its limit while it was measured. Without a reading: {}.",
            unmeasured.join(", ")
        )
    }

    /// Whether plans were kept.
    pub fn plans(&self) -> String {
        let promises: Vec<(i64, i64)> = self
            .report
            .bakes
            .iter()
            .filter_map(|bake| bake.promised)
            .collect();
        let accepted = format!("{} accepted.", count(self.report.plans, "plan"));
        let promised: i64 = promises.iter().map(|(promised, _)| promised).sum();
        if promised == 0 {
            return format!("{accepted} No bake of this period had grain promised to it.");
        }
        let kept: i64 = promises.iter().map(|(_, kept)| kept).sum();
        let [drawn, of] = self.reader.alike([wet(kept), wet(promised)]);
        format!(
            "{accepted} {drawn} of {of} promised to {} was drawn as promised ({}). What counts is the last plan before a bake that promised grain to it, not those before that.",
            count(promises.len(), "bake"),
            percent(kept as f64 / promised as f64)
        )
    }

    /// What is on hand.
    pub fn on_hand(&self) -> String {
        let report = self.report;
        if report.period.before.is_some() {
            return format!(
                "The period ended before now: {} says what is on hand.",
                self.reader.way("draff shelf", "the shelf")
            );
        }
        let lots = &report.on_hand;
        if lots.is_empty() {
            return "Nothing is on hand.".to_owned();
        }
        let usable = lots.iter().filter(|lot| lot.keeping.verdict.may_be_used());
        let usable = usable.count();
        format!(
            "{} on hand; {usable} may be used, {} not.",
            count(lots.len(), "lot"),
            lots.len() - usable
        )
    }

    /// What was put right.
    pub fn put_right(&self) -> String {
        let all = &self.report.put_right;
        if all.is_empty() {
            return "No entry was struck or corrected.".to_owned();
        }
        let struck = all.iter().filter(|(by, _)| by.strikes.is_some()).count();
        format!("{struck} struck, {} corrected.", all.len() - struck)
    }
}
