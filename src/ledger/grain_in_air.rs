//! What measured air makes of the grain that lay in it: readings of air go in, what counts for a lot comes out.

use super::PlaceRecord;
use super::readings::Range;
use crate::heat;
use crate::keeping::{Event, Layer, Point, RuleSet, air};
use crate::quantity::{Instant, Length, Scale, Temperature};

/// Depth that is taken where nobody stated one, with air at both faces: 2 cm. Judgement: grain is not spread
/// thinner in a bakery's fridge, and thicker grain warms more slowly.
const USUAL_DEPTH_UM: i64 = 20_000;

/// A lot on its way through places, with how warm it is taken to have left the last one.
pub(super) struct GrainInAir {
    own: Option<Length>,
    left_at: Option<f64>,
}

impl GrainInAir {
    /// Grain that lies in a layer of its own depth, where that is known.
    pub const fn new(own: Option<Length>) -> Self {
        Self { own, left_at: None }
    }

    /// What was known of a place while the grain was there, as events of its history.
    pub fn during(
        &mut self,
        air: &Range,
        place: &PlaceRecord,
        (from, leaves): (Instant, Option<Instant>),
        rules: &RuleSet,
    ) -> Vec<Event> {
        let before = self.left_at.take();
        let Some(layer) = self.layer(place, (from, leaves)) else {
            return air::during(&air.spans, (from, leaves), None).collect();
        };
        let first = air.readings.partition_point(|(at, _)| *at <= from);
        let mut readings = air.readings[first.saturating_sub(1)..].to_vec();
        if let Some(leaves) = leaves {
            let last = readings.partition_point(|(at, _)| *at < leaves);
            readings.truncate(last + 1);
        }
        let points = points(&readings, place, layer, before, rules);
        self.left_at = points
            .last()
            .filter(|_| leaves.is_some())
            .map(|point| point.warmest.degrees_celsius());
        let shown = Layer {
            depth: layer.thin,
            stated: layer.stated,
        };
        air::during(&air::spans(points, rules), (from, leaves), Some(shown)).collect()
    }

    /// The layer that stands for the grain in a place that measures air at some time of the stay. What was stated
    /// anew meanwhile counts where it is the worse.
    fn layer(
        &self,
        place: &PlaceRecord,
        (from, leaves): (Instant, Option<Instant>),
    ) -> Option<Depths> {
        let meanwhile = place
            .settings
            .iter()
            .filter(|one| one.from > from && leaves.is_none_or(|leaves| one.from < leaves));
        let depths: Vec<Option<Length>> = meanwhile
            .chain([place.setting_at(from)])
            .filter(|setting| setting.measures_air())
            .map(|setting| setting.depth)
            .collect();
        let usual = Length::from_micrometres(USUAL_DEPTH_UM);
        let of_place = |pick: fn(f64, f64) -> f64| {
            depths
                .iter()
                .map(|depth| depth.unwrap_or(usual).metres())
                .reduce(pick)
        };
        Some(Depths {
            thin: match self.own {
                Some(own) => own,
                None => Length::from_micrometres((of_place(f64::min)? * 1e6).round() as i64),
            },
            thick: of_place(f64::max)?,
            stated: self.own.is_some() || depths.iter().all(Option::is_some),
        })
    }
}

/// How thin and how thick grain is taken to lie.
#[derive(Clone, Copy)]
pub(super) struct Depths {
    pub thin: Length,
    /// In m.
    pub thick: f64,
    /// Whether somebody stated it.
    pub stated: bool,
}

/// What readings of a place make of a layer as that is stated for the place, whatever lots lie there.
pub(super) fn curve(
    place: &PlaceRecord,
    readings: &[(Instant, Temperature)],
    rules: &RuleSet,
) -> Option<(Layer, Vec<(Instant, Temperature)>)> {
    let (first, last) = (readings.first()?.0, readings.last()?.0);
    let depths = GrainInAir::new(None).layer(place, (first, Some(last)))?;
    let layer = Layer {
        depth: depths.thin,
        stated: depths.stated,
    };
    let points = points(readings, place, depths, None, rules);
    let curve = points.iter().map(|point| (point.at, point.warmest));
    Some((layer, curve.collect()))
}

/// What counts at each reading. While a place measures air it is the warmest point of a layer of grain, which begins
/// as warm as the higher end of the first interval, or as the grain was `before` if that is more.
pub(super) fn points(
    readings: &[(Instant, Temperature)],
    place: &PlaceRecord,
    layer: Depths,
    before: Option<f64>,
    rules: &RuleSet,
) -> Vec<Point> {
    let mut grain: Option<heat::layer::Layer> = None;
    let mut warm = before;
    let mut found: Vec<Point> = Vec::with_capacity(readings.len());
    let moments: Vec<(Instant, Temperature)> = readings
        .chunk_by(|one, other| one.0 == other.0)
        .filter_map(|same| {
            let warmest = same.iter().map(|(_, t)| *t).reduce(Temperature::warmer)?;
            Some((same[0].0, warmest))
        })
        .collect();
    for (index, (at, reading)) in moments.iter().enumerate() {
        let own = Point::from((*at, *reading));
        if !place.setting_at(*at).measures_air() {
            (grain, warm) = (None, None);
            found.push(own);
            continue;
        }
        let near = |other: &(Instant, Temperature)| (other.0 - *at).abs() <= rules.longest_gap;
        let last = index
            .checked_sub(1)
            .map(|last| moments[last])
            .filter(|last| near(last));
        let next = moments.get(index + 1).filter(|next| near(next));
        let higher = |other: Option<&(Instant, Temperature)>| {
            other
                .map_or(*reading, |(_, other)| reading.warmer(*other))
                .degrees_celsius()
        };
        let celsius = match (&mut grain, last) {
            (Some(grain), Some(last)) => {
                let air = higher(Some(&last));
                grain.stand(air, (*at - last.0).num_seconds() as f64);
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
mod tests {
    use super::*;
    use crate::keeping::{Assessment, History, PlaceKind, Probe, What, assess};
    use crate::ledger::PlaceSetting;
    use crate::quantity::Zone;
    use chrono::{DateTime, Duration};
    use proptest::prelude::*;

    /// Minutes after Monday 2 November 2026, 09:00 in Dublin.
    fn after(minutes: i64) -> Instant {
        DateTime::from_timestamp(1_793_610_000, 0).unwrap() + Duration::minutes(minutes)
    }

    fn fridge(probe: Probe) -> PlaceRecord {
        let mut place = PlaceRecord::usual().remove(0);
        place.settings = vec![PlaceSetting {
            probe: Some(probe),
            ..PlaceSetting::usual(PlaceKind::Fridge, Instant::MIN_UTC)
        }];
        place
    }

    /// What the clock says of a lot that was cold before it came into a fridge in whose air this was measured.
    fn judged(air: &[(i64, i32)], probe: Probe, set: &str, later: i64) -> Assessment {
        let rules = RuleSet::from_text(RuleSet::built_in_text(set).unwrap()).unwrap();
        let place = fridge(probe);
        let readings: Vec<(Instant, Temperature)> = air
            .iter()
            .map(|(at, milli)| (after(*at), Temperature::new(*milli, Scale::Celsius)))
            .collect();
        let stay = (after(0), None);
        let depths = GrainInAir::new(None).layer(&place, stay);
        let spans = match depths {
            Some(depths) => air::spans(points(&readings, &place, depths, None, &rules), &rules),
            None => air::spans(readings, &rules),
        };
        let mut events: Vec<Event> = air::during(&spans, stay, None).collect();
        let stated = Temperature::celsius(4);
        let kind = PlaceKind::Fridge;
        let placed = What::Placed { kind, stated };
        events.extend([(0, placed), (-60, What::Cooled)].map(|(at, what)| Event {
            at: after(at),
            what,
        }));
        let history = History {
            mash_out: Some(after(-180)),
            arrived_dried: false,
            events,
        };
        let last = air.last().map_or(0, |(at, _)| *at);
        let zone = Zone::named("Europe/Dublin").unwrap();
        assess(&history, &rules, &zone, after(last + later))
    }

    #[test]
    fn only_a_probe_in_the_air_has_a_layer_before_it() {
        let peak = [
            (-5, 3_500),
            (0, 3_500),
            (5, 6_200),
            (10, 3_500),
            (120, 3_500),
        ];
        for (probe, warm) in [(Probe::Air, 0), (Probe::Buffered, 10), (Probe::Grain, 10)] {
            let found = judged(&peak, probe, "strict", 0);
            assert_eq!(found.warm_minutes, warm, "{probe:?}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]

        /// Hotter air at any reading never gives a better verdict or a later date, now or later.
        #[test]
        fn more_heat_never_gives_a_better_verdict(
            gaps in prop::collection::vec((1i64..300, 1_000i32..9_000), 1..20),
            at in 0usize..20,
            more in 1i32..8_000,
            later in 0i64..2000,
        ) {
            let mut minute = -30;
            let air: Vec<(i64, i32)> = gaps
                .into_iter()
                .map(|(gap, milli)| {
                    minute += gap;
                    (minute, milli)
                })
                .collect();
            let mut hotter = air.clone();
            let at = at % air.len();
            hotter[at].1 += more;
            for set in ["strict", "us-food-code", "au-2h-4h"] {
                let before = judged(&air, Probe::Air, set, later);
                let found = judged(&hotter, Probe::Air, set, later);
                prop_assert!(found.verdict >= before.verdict, "{set}: {before:?} became {found:?}");
                if let (Some(until), true) = (before.keep_until, found.verdict.may_be_used()) {
                    prop_assert!(found.keep_until.is_some_and(|found| found <= until), "{set}");
                }
            }
        }
    }
}
