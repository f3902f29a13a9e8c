//! The keeping history of a lot, gathered from its entries and those of the lots it was made of.

mod handled;

use super::grain_in_air::{GrainInAir, Lies};
use super::in_force::{FIRST, IN_FORCE};
use super::makings::MadeBy;
use super::{Air, EntryKind, LotRecord, PlaceRecord, PlaceSetting, View, columns};
use crate::keeping::{Event, History, PlaceKind, What, names_spoilage};
use crate::quantity::{Instant, Length, WaterActivity};
use chrono::Duration;
use handled::Handled;
use rusqlite::params;
use std::collections::HashMap;

/// Where a lot went and when, before the places' statements are put in.
#[derive(Clone, PartialEq)]
pub(super) struct Step {
    pub at: Instant,
    pub place_id: i64,
}

/// One line of descent: how one of the lots that came in became this one.
#[derive(Clone, PartialEq)]
struct Line {
    mash_out: Option<Instant>,
    arrived_dried: bool,
    events: Vec<Event>,
    steps: Vec<Step>,
    /// How thick it lay and from when on, in time order.
    depths: Vec<(Instant, Lies)>,
}

impl Line {
    /// How thick it lies in the end, where anything was stated of that.
    fn lies(&self) -> Option<Lies> {
        self.depths.last().map(|(_, lies)| *lies)
    }
}

/// A line of descent with the air that the grain met on it.
pub(super) struct Descent {
    /// What the clock asks for.
    pub history: History,
    /// Where the grain went, in time order.
    pub steps: Vec<Step>,
    /// How thick it lies in the end, where anything was stated of that.
    lies: Option<Lies>,
}

/// Lines found before: what several parts of one lot share is gathered once.
type Found = HashMap<(i64, Instant), Vec<Line>>;

impl View<'_> {
    /// The keeping histories of a lot: one, or of joined grain one for each way on which it came in. With them how
    /// thick the lot lies, where that was stated.
    ///
    /// A part has the history of what it was parted from up to the parting, whenever the entries were
    /// written: what is found out later about that time holds for both. So has what was made by a treatment.
    pub fn histories(
        &self,
        lot: &LotRecord,
        places: &[PlaceRecord],
        known_air: &mut Air,
    ) -> anyhow::Result<(Vec<History>, Option<Length>)> {
        let ways = self.ways(lot, None, places, known_air)?;
        // What is known of how thick it lies was stated of the lot, and so for all of its grain.
        let depth = ways.first().and_then(|way| way.lies?.known());
        let histories = ways.into_iter().map(|way| way.history);
        Ok((histories.collect(), depth))
    }

    /// The histories of a lot, each with where the grain went; where nothing is left from `gone` on the air counts until
    /// then.
    pub(super) fn ways(
        &self,
        lot: &LotRecord,
        gone: Option<Instant>,
        places: &[PlaceRecord],
        known_air: &mut Air,
    ) -> anyhow::Result<Vec<Descent>> {
        let mut lines = self.lines(lot, None, &mut Found::new())?;
        let tests = self.dryness_tests(lot, None)?;
        for line in &mut lines {
            line.events.extend(tests.iter().cloned());
        }
        lines
            .into_iter()
            .map(|mut line| {
                line.steps.sort_by_key(|step| step.at);
                line.events.extend(stays(&line.steps, places));
                let mut grain = GrainInAir::of(&line.events, &self.about.rules);
                for (place, from, leaves) in in_places(&line.steps, gone, places) {
                    let air = known_air.of(*self, place, from, leaves)?;
                    grain.comes(from, leaves);
                    for (own, from, ends) in as_thick((from, leaves), &line.depths) {
                        grain.lies(own);
                        let part = (from, ends);
                        let mut events = grain.during(air, place, part, &self.about.rules);
                        for event in &mut events {
                            if let What::Air { leaves: left, .. } = &mut event.what {
                                *left = leaves;
                            }
                        }
                        line.events.extend(events);
                    }
                }
                Ok(Descent {
                    lies: line.lies(),
                    history: History {
                        mash_out: line.mash_out,
                        arrived_dried: line.arrived_dried,
                        events: line.events,
                    },
                    steps: line.steps,
                })
            })
            .collect()
    }

    /// Where the grain of a lot lay and when, in the lots before it too; until `gone`, where nothing is left from then on.
    pub(super) fn lay_in<'p>(
        &self,
        lot: &LotRecord,
        gone: Option<Instant>,
        places: &'p [PlaceRecord],
    ) -> anyhow::Result<Vec<InPlace<'p>>> {
        let mut found = Vec::new();
        for mut line in self.lines(lot, None, &mut Found::new())? {
            line.steps.sort_by_key(|step| step.at);
            found.extend(in_places(&line.steps, gone, places));
        }
        Ok(found)
    }

    /// Every line of descent of a lot up to a moment.
    fn lines(
        &self,
        lot: &LotRecord,
        until: Option<Instant>,
        found: &mut Found,
    ) -> anyhow::Result<Vec<Line>> {
        let lot_id = lot.id;
        if let Some(lines) = until.and_then(|until| found.get(&(lot_id, until))) {
            return Ok(lines.clone());
        }
        let (mut events, mut steps) = (Vec::new(), Vec::new());
        self.gather(lot, until, &mut events, &mut steps)?;
        let made = self.made_as_known(lot_id)?;
        let mut lines = Vec::new();
        if made.is_empty() {
            lines.push(Line {
                mash_out: lot.mash_out,
                arrived_dried: lot.form.is_dry(),
                events,
                steps,
                depths: Vec::new(),
            });
        } else {
            for (made, found_spoiled) in &made {
                let of = self.lot_by_id(made.of)?;
                let handled = self.handled(lot, &of, made, found_spoiled)?;
                let stated = self.stated_depth(made)?;
                for mut line in self.lines(&of, Some(made.at), found)? {
                    handled.add_to(&mut line, &self.about.rules);
                    let before = line.steps.last().map(|step| step.at);
                    let at = before.map_or(made.at, |before| before.max(made.at));
                    line.steps.push(Step {
                        at,
                        place_id: made.place_id,
                    });
                    line.events.extend(events.iter().cloned());
                    line.steps.extend(steps.iter().map(|step| Step {
                        at: step.at.max(at),
                        place_id: step.place_id,
                    }));
                    if made.kind != EntryKind::Part {
                        for (_, lies) in &mut line.depths {
                            *lies = lies.made_of();
                        }
                    }
                    line.depths
                        .extend(stated.map(|depth| (made.at, Lies::stated(depth))));
                    // Parts that were never apart in anything are one.
                    if !lines.contains(&line) {
                        lines.push(line);
                    }
                }
            }
            let mut made = made.iter().map(|(made, _)| made);
            if let Some(join) = made.find(|made| made.kind == EntryKind::Join) {
                lie_together(&mut lines, join.at);
            }
        }
        if let Some(until) = until {
            found.insert((lot_id, until), lines.clone());
        }
        Ok(lines)
    }

    /// What making a lot means for its keeping.
    fn handled(
        &self,
        lot: &LotRecord,
        of: &LotRecord,
        made: &MadeBy,
        found_spoiled: &[Instant],
    ) -> anyhow::Result<Handled> {
        let spoiled = found_spoiled.iter().map(|at| Event {
            at: *at,
            what: What::SpoiledAfter(of.code),
        });
        let mut handled = Handled {
            at: made.at,
            window: None,
            events: spoiled.collect(),
        };
        if made.kind == EntryKind::Part {
            return Ok(handled);
        }
        // A part shares the tests of the lot it was split from for good; this is other grain from here on.
        let tests = self.dryness_tests(of, Some(made.at))?;
        let becomes = match (of.form.is_dry(), lot.form.is_dry()) {
            (false, true) => Some(What::Dried),
            (true, false) => Some(What::Wetted),
            _ => None,
        };
        let becomes = becomes.map(|what| Event { at: made.at, what });
        handled.events.extend(tests.into_iter().chain(becomes));
        if made.kind == EntryKind::Treat {
            let treated = self.treatment(made.entry)?;
            handled.window = treated
                .lasted
                .map(|(minutes, warm)| (made.at - Duration::minutes(i64::from(minutes)), warm));
            if treated.treatment.water.get() > 0 {
                let what = What::Watered;
                handled.events.push(Event { at: made.at, what });
            }
        }
        Ok(handled)
    }

    /// The moisture tests of dried grain as its keeping sees them.
    fn dryness_tests(&self, lot: &LotRecord, until: Option<Instant>) -> anyhow::Result<Vec<Event>> {
        let mut events = Vec::new();
        if !lot.form.is_dry() {
            return Ok(events);
        }
        for test in self.tests(lot)? {
            let result = test.test.evaluate(lot.form, lot.kind)?;
            // A drying that has not ended shows nothing dry.
            if let Ok(moisture) = crate::quantity::WetBasis::new(result.moisture.value)
                && result.is_usable()
                && until.is_none_or(|until| test.at <= until)
            {
                events.push(Event {
                    at: test.at,
                    what: What::Moisture(moisture),
                });
            }
        }
        Ok(events)
    }

    /// Adds the events of one lot up to a moment.
    fn gather(
        &self,
        lot: &LotRecord,
        until: Option<Instant>,
        events: &mut Vec<Event>,
        steps: &mut Vec<Step>,
    ) -> anyhow::Result<()> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT kind, at, place_id, temperature_mc, temperature_scale, activity_ppm, words
             FROM entry
             WHERE lot_id = ?1 AND kind IN ('pickup', 'move', 'reading', 'cooled', 'activity', 'spoiled', 'discard')
               AND at <= ?2 AND {IN_FORCE}
             ORDER BY at, {FIRST}"
        ))?;
        let until = until.map_or(i64::MAX, columns::seconds);
        let mut rows = statement.query(params![lot.id, until])?;
        while let Some(row) = rows.next()? {
            let at = columns::instant(row.get(1)?);
            let what = match row.get(0)? {
                EntryKind::Reading => What::Read(columns::temperature(
                    row.get(3)?,
                    row.get::<_, Option<String>>(4)?.as_deref(),
                )),
                EntryKind::Cooled => What::Cooled,
                EntryKind::Activity => {
                    What::Activity(WaterActivity::new(columns::fraction(row.get(5)?))?)
                }
                EntryKind::Spoiled => What::Spoiled(row.get(6)?),
                EntryKind::Discard if names_spoilage(&row.get::<_, String>(6)?) => {
                    What::PartSpoiled(lot.code)
                }
                EntryKind::Discard => continue,
                _ => {
                    steps.push(Step {
                        at,
                        place_id: row.get(2)?,
                    });
                    continue;
                }
            };
            events.push(Event { at, what });
        }
        Ok(())
    }
}

/// Joined grain may lie as thin, and as thick, as any that went in.
fn lie_together(lines: &mut [Line], at: Instant) {
    let together = lines.iter().filter_map(Line::lies).reduce(Lies::with);
    for line in lines {
        if line.lies() != together {
            line.depths.extend(together.map(|lies| (at, lies)));
        }
    }
}

/// A place with when grain came in and when it left.
pub(super) type InPlace<'a> = (&'a PlaceRecord, Instant, Option<Instant>);

/// Steps with when the grain left each place. Where a late entry took the last of it, the book may hold steps after that: no
/// grain took them.
pub(super) fn taken(
    steps: &[Step],
    gone: Option<Instant>,
) -> impl Iterator<Item = (&Step, Option<Instant>)> {
    steps
        .iter()
        .enumerate()
        .take_while(move |(_, step)| gone.is_none_or(|gone| step.at <= gone))
        .map(move |(index, step)| {
            let next = steps.get(index + 1).map(|next| next.at);
            (step, next.into_iter().chain(gone).min())
        })
}

/// The places that steps lead to. Steps within one place are one stay there.
fn in_places<'a>(
    steps: &[Step],
    gone: Option<Instant>,
    places: &'a [PlaceRecord],
) -> Vec<InPlace<'a>> {
    let mut found: Vec<InPlace<'_>> = Vec::new();
    for (step, leaves) in taken(steps, gone) {
        let Some(place) = places.iter().find(|place| place.id == step.place_id) else {
            continue;
        };
        match found.last_mut() {
            Some((last, _, left)) if last.id == place.id && *left == Some(step.at) => {
                *left = leaves
            }
            _ => found.push((place, step.at, leaves)),
        }
    }
    found
}

/// A stay in parts, each with how thick the grain lay then.
fn as_thick(
    (from, leaves): (Instant, Option<Instant>),
    depths: &[(Instant, Lies)],
) -> Vec<(Option<Lies>, Instant, Option<Instant>)> {
    let is_within = |at: &Instant| *at > from && leaves.is_none_or(|leaves| *at < leaves);
    let later = depths.iter().map(|(at, _)| *at).filter(is_within);
    let mut begins: Vec<Instant> = std::iter::once(from).chain(later).collect();
    begins.dedup();
    begins
        .iter()
        .enumerate()
        .map(|(index, at)| {
            let stated = depths.iter().rev().find(|(since, _)| since <= at);
            let ends = begins.get(index + 1).copied().or(leaves);
            (stated.map(|(_, lies)| *lies), *at, ends)
        })
        .collect()
}

/// Turns steps into stays, with a new one wherever the place was stated anew meanwhile.
fn stays(steps: &[Step], places: &[PlaceRecord]) -> Vec<Event> {
    let mut events = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        let Some(place) = places.iter().find(|place| place.id == step.place_id) else {
            continue;
        };
        let leaves = steps.get(index + 1).map(|next| next.at);
        let anew = place.settings.iter().filter(|setting| {
            setting.from > step.at && leaves.is_none_or(|leaves| setting.from < leaves)
        });
        let PlaceSetting { kind, stated, .. } = *place.setting_at(step.at);
        let is_put_back = index > 0 && steps[index - 1].place_id == step.place_id;
        events.push(Event {
            at: step.at,
            what: if is_put_back {
                What::PutBack { kind, stated }
            } else {
                What::Placed { kind, stated }
            },
        });
        let mut before = (kind, stated);
        for PlaceSetting {
            from, kind, stated, ..
        } in anew.copied()
        {
            // Another capacity of a hot-hold ends no time that two hot readings speak for.
            if kind != PlaceKind::HotHold || (kind, stated) != before {
                let what = What::Restated { kind, stated };
                events.push(Event { at: from, what });
            }
            before = (kind, stated);
        }
    }
    events
}
