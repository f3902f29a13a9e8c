//! What measured air makes of the grain that lay in it: readings of air go in, what counts for a lot comes out.

mod lies;
mod logged;

use super::readings::Range;
use super::{PlaceRecord, PlaceSetting};
use crate::heat;
use crate::keeping::air::{self, loggers};
use crate::keeping::{Event, Layer, Point, Probe, RuleSet, Shown, What};
use crate::quantity::{Instant, Length, Scale, Temperature};
use chrono::Duration;
pub(super) use lies::Lies;

/// Depth that is taken where nobody stated one, with air at both faces: 2 cm. Judgement: grain is not spread
/// thinner in a bakery's fridge, and thicker grain warms more slowly.
const USUAL_DEPTH_UM: i64 = 20_000;

/// A lot on its way through places, with how warm it is taken to have left the last one.
#[derive(Default)]
pub(super) struct GrainInAir {
    own: Option<Lies>,
    /// When it came into the place that it is in and when it leaves that, where its stay comes in parts.
    stay: Option<(Instant, Option<Instant>)>,
    left: Option<Warmth>,
    /// When a thermometer in it showed it cold, and what it showed.
    shown_cold: Vec<(Instant, Temperature)>,
}

/// How warm grain is taken to have left a place.
#[derive(Clone, Copy)]
struct Warmth {
    celsius: f64,
    /// The last reading of a place that it left after it: then nobody measured how warm it left.
    rests_on: Option<Instant>,
}

impl GrainInAir {
    /// A lot of which this is known. Of two temperatures of one moment the warmer counts.
    pub fn of(events: &[Event], rules: &RuleSet) -> Self {
        let read = |event: &Event| match event.what {
            What::Read(temperature) => Some((event.at, temperature)),
            _ => None,
        };
        let (mut cold, warm): (Vec<_>, Vec<_>) = events
            .iter()
            .filter_map(read)
            .partition(|(_, temperature)| rules.cold.limit.at_or_below(*temperature));
        cold.retain(|(at, _)| warm.iter().all(|(other, _)| other != at));
        Self {
            shown_cold: cold,
            ..Self::default()
        }
    }

    /// The first time that a thermometer showed it cold after a moment and up to another.
    fn first_shown_cold(
        &self,
        after: Instant,
        to: Option<Instant>,
    ) -> Option<(Instant, Temperature)> {
        let within = |at: Instant| after < at && to.is_none_or(|to| at <= to);
        let shown = self.shown_cold.iter().copied();
        shown
            .filter(|(at, _)| within(*at))
            .min_by_key(|(at, _)| *at)
    }

    /// It comes into a place until it leaves, where its stay may come in parts.
    pub const fn comes(&mut self, at: Instant, leaves: Option<Instant>) {
        self.stay = Some((at, leaves));
    }

    /// How thick the grain lies from now on, where that was stated of it.
    pub const fn lies(&mut self, own: Option<Lies>) {
        self.own = own;
    }

    /// What was known of a place while the grain was there, as events of its history.
    pub fn during(
        &mut self,
        air: &Range,
        place: &PlaceRecord,
        (from, leaves): (Instant, Option<Instant>),
        rules: &RuleSet,
    ) -> Vec<Event> {
        let stood_in_grain = stands_in_grain(place, (from, leaves));
        let logged = logged::warm(air, place, (from, leaves), rules);
        let before = self.left.take();
        let brought = before.filter(|before| before.celsius > warm_above(rules));
        let Some(layer) = self.layer(place, (from, leaves), brought.is_some()) else {
            let mut events: Vec<Event> = air::during(&air.spans, (from, leaves), None).collect();
            for event in &mut events {
                if let What::Air { in_grain, .. } = &mut event.what {
                    *in_grain = stood_in_grain;
                }
            }
            events.extend(logged);
            return events;
        };
        let reaches = |leaves| loggers::reaches(&air.within, leaves, rules.longest_gap);
        let readings = around(&air.readings, (from, leaves.map(reaches)));
        // A reading from long before the grain came tells nothing of it.
        let is_fresh = |at: Instant| at + rules.longest_gap > from;
        let measured_from = readings
            .iter()
            .map(|(at, _)| *at)
            .find(|at| is_fresh(*at) && leaves.is_none_or(|leaves| *at < leaves))
            .or(leaves);
        let shown_cold = brought.and_then(|_| self.first_shown_cold(from, measured_from));
        let until = shown_cold.map(|(at, _)| at).or(measured_from);
        let unmeasured = brought.map_or_else(Vec::new, |brought| {
            while_unmeasured(place, (from, until), layer, brought, rules)
        });
        let left_warm = |points: &[Point]| {
            let last = last_known(points, leaves, rules).filter(|point| is_fresh(point.at));
            last.map(|point| Warmth {
                celsius: point.warmest.degrees_celsius(),
                rests_on: point.rests_on,
            })
        };
        let after_it = match shown_cold {
            Some((_, reading)) => Some(Warmth {
                celsius: reading.degrees_celsius(),
                rests_on: None,
            }),
            None => left_warm(&unmeasured),
        };
        let before = after_it.or(before);
        // Nor does a file that ended before it came and the gap after that: the layer begins with what was measured since.
        let (came, goes) = self.stay.unwrap_or((from, leaves));
        let tells = |at: Instant| at + rules.longest_gap > came;
        let (stale, readings) = readings.split_at(readings.partition_point(|(at, _)| !tells(*at)));
        let mut points: Vec<Point> = stale
            .iter()
            .copied()
            .map(Point::from)
            .chain(points(readings, place, layer, before, rules))
            .collect();
        air::cut(&mut points, &air.left_out);
        loggers::hold(&mut points, &air.within, rules.longest_gap);
        let shown = layer.shown();
        let mut measured = air::spans(points.iter().copied(), rules);
        let (gap, is_hot_hold) = (rules.longest_gap, |at| place.is_hot_hold(at));
        loggers::last_of(&mut measured, &points, &air.ended, is_hot_hold, gap);
        self.left = leaves.and_then(|left_at| {
            // Where it leaves the place in a gap, soon after the reading before that, it leaves as after a last reading.
            let in_gap = measured.iter().find_map(|span| match span.shown {
                Shown::Last { at, .. } if span.from < left_at && left_at <= span.until => Some(at),
                _ => None,
            });
            let last = points.last().map(|point| point.at);
            let not_measured = last
                .filter(|last| *last < left_at)
                .or(in_gap.filter(|_| goes == leaves));
            let as_it_left = left_warm(&points).map(|warmth| Warmth {
                rests_on: warmth.rests_on.or(not_measured),
                ..warmth
            });
            as_it_left.or(after_it)
        });
        // Nobody measured there, so nothing is said of a logger, nor of its last reading.
        let mut unmeasured = air::spans(unmeasured, rules);
        unmeasured.pop();
        air::during(&unmeasured, (from, leaves), None)
            .chain(air::during(&measured, (from, leaves), Some(shown)))
            .chain(logged)
            .collect()
    }

    /// The layer that stands for the grain in a place that measures air at some time of the stay. What was stated
    /// anew meanwhile counts where it is the worse. Grain that is warm already is a layer wherever it comes to lie.
    fn layer(
        &self,
        place: &PlaceRecord,
        (from, leaves): (Instant, Option<Instant>),
        is_warm: bool,
    ) -> Option<Depths> {
        let depths: Vec<Option<Length>> = settings_during(place, (from, leaves))
            .filter(|setting| is_warm || setting.measures_air())
            .map(|setting| setting.depth)
            .collect();
        let usual = Length::from_micrometres(USUAL_DEPTH_UM);
        let of_place = |pick: fn(f64, f64) -> f64| {
            depths
                .iter()
                .map(|depth| depth.unwrap_or(usual).metres())
                .reduce(pick)
        };
        let thin = Length::from_micrometres((of_place(f64::min)? * 1e6).round() as i64);
        let thick = of_place(f64::max)?;
        Some(Depths {
            thin: self.own.map_or(thin, |own| own.thin(thin)),
            thick: self.own.map_or(thick, |own| own.thick(thick)),
            stated: self.own.is_some() || depths.iter().any(Option::is_some),
        })
    }
}

/// The readings of a stay: from the last moment up to its beginning to the first one at or after its end. Of both moments
/// every figure, since the warmest counts whichever file was read in first.
fn around(
    readings: &[(Instant, Temperature)],
    (from, leaves): (Instant, Option<Instant>),
) -> &[(Instant, Temperature)] {
    let moment = |index: usize| readings.get(index).map(|(at, _)| *at);
    let come = readings.partition_point(|(at, _)| *at <= from);
    let begins = come
        .checked_sub(1)
        .and_then(moment)
        .map_or(0, |first| readings.partition_point(|(at, _)| *at < first));
    let ends = leaves
        .and_then(|leaves| moment(readings.partition_point(|(at, _)| *at < leaves)))
        .map_or(readings.len(), |last| {
            readings.partition_point(|(at, _)| *at <= last)
        });
    &readings[begins..ends]
}

/// The last moment that tells how warm grain left: one after that only where it ends what was measured by then.
fn last_known<'p>(
    points: &'p [Point],
    leaves: Option<Instant>,
    rules: &RuleSet,
) -> Option<&'p Point> {
    let (last, before) = points.split_last()?;
    let tells = leaves.is_none_or(|leaves| last.at <= leaves)
        || before
            .last()
            .is_some_and(|one| last.at - one.at <= rules.longest_gap);
    if tells { Some(last) } else { before.last() }
}

/// What a place was stated to be during a stay.
fn settings_during(
    place: &PlaceRecord,
    (from, leaves): (Instant, Option<Instant>),
) -> impl Iterator<Item = &PlaceSetting> {
    let is_meanwhile =
        move |one: &&PlaceSetting| one.from > from && leaves.is_none_or(|leaves| one.from < leaves);
    let meanwhile = place.settings.iter().filter(is_meanwhile);
    meanwhile.chain([place.setting_at(from)])
}

/// Whether the probe of a place stood in the grain during all of a stay.
fn stands_in_grain(place: &PlaceRecord, stay: (Instant, Option<Instant>)) -> bool {
    settings_during(place, stay).all(|setting| setting.probe == Some(Probe::Grain))
}

/// How thin and how thick grain is taken to lie.
#[derive(Clone, Copy)]
pub(super) struct Depths {
    pub thin: Length,
    /// In m.
    pub thick: f64,
    /// Whether somebody stated one of them.
    pub stated: bool,
}

impl Depths {
    fn shown(self) -> Layer {
        let thick = Length::from_micrometres((self.thick * 1e6).round() as i64);
        Layer {
            depth: self.thin,
            cools_like: if self.thick > self.thin.metres() {
                thick
            } else {
                self.thin
            },
            stated: self.stated,
        }
    }
}

/// Above this, in °C, grain counts as warm.
fn warm_above(rules: &RuleSet) -> f64 {
    rules.cold.limit.in_celsius().degrees_celsius()
}

/// How often grain is looked at that cools where nobody measures, and for how long at first.
const LOOK: Duration = Duration::minutes(10);
const AT_FIRST: Duration = Duration::hours(12);
/// What is warm for longer is past under every rule set.
const AT_MOST: Duration = Duration::days(8);

/// What counts of warm grain where nobody measured: the layer cools in air as the place is stated, until it is cold, a
/// logger measures the place, a thermometer shows the grain cold or it leaves.
fn while_unmeasured(
    place: &PlaceRecord,
    (from, to): (Instant, Option<Instant>),
    layer: Depths,
    brought: Warmth,
    rules: &RuleSet,
) -> Vec<Point> {
    let mut for_long = AT_FIRST;
    loop {
        let horizon = from + for_long;
        let ends = to.map_or(horizon, |to| to.min(horizon));
        let mut moments: Vec<Instant> = std::iter::successors(Some(from), |at| Some(*at + LOOK))
            .take_while(|at| *at < ends)
            .collect();
        moments.push(ends.max(from));
        let stated: Vec<_> = moments
            .into_iter()
            .map(|at| (at, place.setting_at(at).stated))
            .collect();
        let mut points = points(&stated, place, layer, Some(brought), rules);
        let cold = points
            .iter()
            .position(|point| rules.cold.limit.at_or_below(point.warmest));
        if let Some(cold) = cold {
            points.truncate(cold + 1);
            return points;
        }
        if ends < horizon || for_long >= AT_MOST {
            return points;
        }
        for_long = for_long * 2;
    }
}

/// What readings of a place make of a layer of grain that lay there from the first of them until it leaves, if it does,
/// whatever lots lie there. What is stated of it since the last reading counts as it does for a lot.
pub(super) fn curve(
    place: &PlaceRecord,
    readings: &[(Instant, Temperature)],
    leaves: Option<Instant>,
    rules: &RuleSet,
) -> Option<(Layer, Vec<(Instant, Temperature)>)> {
    let (first, last) = (readings.first()?.0, readings.last()?.0);
    let any = GrainInAir::default();
    any.layer(place, (first, Some(last)), false)?;
    let depths = any.layer(place, (first, leaves), false)?;
    let points = points(readings, place, depths, None, rules);
    let curve = points.iter().map(|point| (point.at, point.warmest));
    Some((depths.shown(), curve.collect()))
}

/// What counts at each reading, and where that is warm only by what a last reading showed of the grain `before`.
fn points(
    readings: &[(Instant, Temperature)],
    place: &PlaceRecord,
    layer: Depths,
    before: Option<Warmth>,
    rules: &RuleSet,
) -> Vec<Point> {
    let celsius = before.map(|before| before.celsius);
    let mut points = warmest_points(readings, place, layer, celsius, rules);
    if let Some(last) = before.and_then(|before| before.rests_on) {
        let is_cold = |point: &Point| rules.cold.limit.at_or_below(point.warmest);
        let without = warmest_points(readings, place, layer, None, rules);
        for (point, without) in points.iter_mut().zip(&without) {
            point.rests_on = (!is_cold(point) && is_cold(without)).then_some(last);
        }
    }
    points
}

/// What counts at each reading. While a place measures air, or grain in it is warm from before, it is the warmest point of
/// a layer of grain, which begins as warm as the higher end of the first interval, or as the grain was `before` if that is
/// more.
fn warmest_points(
    readings: &[(Instant, Temperature)],
    place: &PlaceRecord,
    layer: Depths,
    before: Option<f64>,
    rules: &RuleSet,
) -> Vec<Point> {
    let mut grain: Option<heat::layer::Layer> = None;
    let mut warm = before;
    let mut found: Vec<Point> = Vec::with_capacity(readings.len());
    let moments: Vec<Point> = readings
        .chunk_by(|one, other| one.0 == other.0)
        .filter_map(|same| {
            let figures = same.iter().map(|(_, figure)| *figure);
            let coldest = figures.clone().reduce(Temperature::colder)?;
            let warmest = figures.reduce(Temperature::warmer)?;
            Some(Point {
                coldest,
                ..Point::from((same[0].0, warmest))
            })
        })
        .collect();
    for (index, own) in moments.iter().copied().enumerate() {
        let (at, reading) = (own.at, own.measured);
        let measured = reading.degrees_celsius();
        let is_air = place.setting_at(at).measures_air();
        // Warmth that grain brought along is in no reading of a bottle or of other grain.
        let least = measured.max(warm_above(rules));
        if !is_air && warm.is_none_or(|warm| warm <= least) {
            (grain, warm) = (None, None);
            found.push(own);
            continue;
        }
        let near = |other: &Point| (other.at - at).abs() <= rules.longest_gap;
        let last = index
            .checked_sub(1)
            .map(|last| moments[last])
            .filter(|last| near(last));
        let next = moments.get(index + 1).filter(|next| near(next));
        let higher = |other: Option<&Point>| {
            other
                .map_or(reading, |other| reading.warmer(other.measured))
                .degrees_celsius()
        };
        let celsius = match (&mut grain, last) {
            (Some(grain), Some(last)) => {
                let air = higher(Some(&last));
                grain.stand(air, (at - last.at).num_seconds() as f64);
                grain.warmest(air)
            }
            _ => {
                let starts = higher(next).max(warm.unwrap_or(f64::MIN));
                grain = Some(heat::layer::Layer::new(
                    layer.thin.metres(),
                    layer.thick,
                    starts,
                ));
                starts
            }
        };
        let celsius = if is_air {
            celsius
        } else {
            celsius.max(measured)
        };
        warm = Some(celsius);
        let warmest = Temperature::new((celsius * 1000.0).round() as i32, Scale::Celsius);
        found.push(Point {
            coldest: own.coldest.colder(warmest),
            warmest,
            ..own
        });
    }
    found
}

#[cfg(test)]
mod tests;
