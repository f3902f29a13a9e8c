//! JSON of a logger's file that was read in, and of what the air of a place was.

use crate::keeping::Assessment;
use crate::keeping::air::watch::AirLimit;
use crate::quantity::temperature::Limit;
use crate::quantity::{Instant, Temperature, Zone};
use crate::render::air::Shown;
use crate::render::times;
use crate::report::air::{AirAnswer, Touched};
use crate::report::readings::{Changed, ReadingsAnswer, Stretch};
use serde::Serialize;

/// `readings PLACE --csv FILE --json`.
#[derive(Serialize)]
pub struct ReadIn {
    place: String,
    entry: Option<i64>,
    added: usize,
    known: usize,
    differing: usize,
    rows_empty: usize,
    rows_outside: usize,
    first_at: Option<String>,
    last_at: Option<String>,
    coldest_c: Option<f64>,
    warmest_c: Option<f64>,
    warm_minutes: i64,
    warm: Vec<JsonStretch>,
    warm_alone: usize,
    slow_step_minutes: Option<i64>,
    gaps: Vec<JsonStretch>,
    changed: Vec<JsonChanged>,
}

#[derive(Serialize)]
struct JsonStretch {
    from_at: String,
    to_at: String,
}

#[derive(Serialize)]
struct JsonChanged {
    lot: String,
    verdict_before: &'static str,
    keep_until_before: Option<String>,
    verdict: &'static str,
    keep_until: Option<String>,
}

impl ReadIn {
    /// From the answer.
    pub fn new(answer: &ReadingsAnswer, zone: &Zone) -> Self {
        let stretches = |all: &[Stretch]| {
            all.iter()
                .map(|stretch| JsonStretch {
                    from_at: zone.rfc3339(stretch.from),
                    to_at: zone.rfc3339(stretch.to),
                })
                .collect()
        };
        Self {
            place: answer.place.clone(),
            entry: answer.read_in.entry,
            added: answer.read_in.added,
            known: answer.read_in.known,
            differing: answer.read_in.differing,
            rows_empty: answer.empty,
            rows_outside: answer.outside,
            first_at: answer.period.map(|period| zone.rfc3339(period.from)),
            last_at: answer.period.map(|period| zone.rfc3339(period.to)),
            coldest_c: answer.coldest.map(Temperature::degrees_celsius),
            warmest_c: answer.warmest.map(Temperature::degrees_celsius),
            warm_minutes: answer.warm_minutes(),
            warm: stretches(&answer.warm),
            warm_alone: answer.warm_alone,
            slow_step_minutes: answer.slow_step.map(times::begun_minutes),
            gaps: stretches(&answer.gaps),
            changed: answer
                .changed
                .iter()
                .map(|lot| changed(lot, zone))
                .collect(),
        }
    }
}

fn changed(lot: &Changed, zone: &Zone) -> JsonChanged {
    let until = |of: &Assessment| of.keep_until.map(|at| zone.rfc3339(at));
    JsonChanged {
        lot: lot.lot.to_string(),
        verdict_before: lot.before.verdict.as_str(),
        keep_until_before: until(&lot.before),
        verdict: lot.after.verdict.as_str(),
        keep_until: until(&lot.after),
    }
}

/// `readings PLACE --summary --json`.
#[derive(Serialize)]
pub struct Air {
    place: String,
    place_kind: &'static str,
    rules: String,
    at_most_c: Option<f64>,
    at_least_c: Option<f64>,
    from_at: Option<String>,
    to_at: Option<String>,
    readings: usize,
    coldest_c: Option<f64>,
    warmest_c: Option<f64>,
    mean_c: Option<f64>,
    layer_cm: Option<f64>,
    grain_warmest_c: Option<f64>,
    grain_warm_minutes: Option<i64>,
    within_minutes: Option<i64>,
    outside_minutes: Option<i64>,
    unknown_minutes: Option<i64>,
    excursions: Vec<JsonExcursion>,
    gaps: Vec<JsonGap>,
    left_out: Vec<JsonLeftOut>,
    stays: Vec<JsonStay>,
}

#[derive(Serialize)]
struct JsonExcursion {
    from_at: String,
    to_at: Option<String>,
    minutes: i64,
    coldest_c: f64,
    warmest_c: f64,
    lots: Vec<JsonTouched>,
}

#[derive(Serialize)]
struct JsonGap {
    from_at: String,
    to_at: String,
    minutes: i64,
    lots: Vec<JsonTouched>,
}

#[derive(Serialize)]
struct JsonLeftOut {
    at: String,
    rows: i64,
    warmest_c: f64,
}

#[derive(Serialize)]
struct JsonTouched {
    lot: String,
    gone_at: Option<String>,
    verdict: &'static str,
    keep_until: Option<String>,
    verdict_without: &'static str,
    keep_until_without: Option<String>,
    differs: bool,
}

#[derive(Serialize)]
struct JsonStay {
    lot: String,
    from_at: String,
    to_at: Option<String>,
}

impl Air {
    /// From the answer.
    pub fn new(answer: &AirAnswer, shown: Shown<'_>) -> Self {
        let zone = shown.zone;
        let watch = answer.watch.as_ref();
        let at = |at: Option<Instant>| at.map(|at| zone.rfc3339(at));
        let limit = answer.limit(shown.rules);
        let grain = answer.grain.as_ref();
        let celsius = |limit: Limit| limit.in_celsius().degrees_celsius();
        let limited = watch.filter(|_| limit.is_some());
        let lots = |lots: &[Touched]| lots.iter().map(|lot| touched(lot, zone)).collect();
        Self {
            place: answer.place.name.clone(),
            place_kind: answer.kind().as_str(),
            rules: shown.rules.name.clone(),
            at_most_c: match limit {
                Some(AirLimit::AtMost(limit)) => Some(celsius(limit)),
                _ => None,
            },
            at_least_c: match limit {
                Some(AirLimit::AtLeast(limit)) => Some(celsius(limit)),
                _ => None,
            },
            from_at: at(watch.map(|watch| watch.from).or(answer.asked.0)),
            to_at: at(watch.map(|watch| watch.to).or(answer.asked.1)),
            readings: watch.map_or(0, |watch| watch.readings),
            coldest_c: watch.map(|watch| watch.lowest.degrees_celsius()),
            warmest_c: watch.map(|watch| watch.highest.degrees_celsius()),
            mean_c: watch.map(|watch| (watch.mean * 1000.0).round() / 1000.0),
            layer_cm: grain.map(|grain| grain.layer.depth.centimetres()),
            grain_warmest_c: grain.map(|grain| grain.highest.degrees_celsius()),
            grain_warm_minutes: grain.and_then(|grain| grain.warm).map(times::begun_minutes),
            within_minutes: limited.map(|watch| watch.within.num_minutes()),
            outside_minutes: limited
                .map(|watch| times::begun_minutes(watch.out_of_limit(shown.now))),
            unknown_minutes: watch.map(|watch| times::begun_minutes(watch.unknown)),
            excursions: answer
                .excursions
                .iter()
                .map(|(found, touched)| JsonExcursion {
                    from_at: zone.rfc3339(found.from),
                    to_at: at(found.to),
                    minutes: times::begun_minutes(found.lasts(shown.now)),
                    coldest_c: found.lowest.degrees_celsius(),
                    warmest_c: found.highest.degrees_celsius(),
                    lots: lots(touched),
                })
                .collect(),
            gaps: answer
                .gaps
                .iter()
                .map(|((from, to), touched)| JsonGap {
                    from_at: zone.rfc3339(*from),
                    to_at: zone.rfc3339(*to),
                    minutes: times::begun_minutes(*to - *from),
                    lots: lots(touched),
                })
                .collect(),
            left_out: answer
                .left_out
                .iter()
                .map(|rows| JsonLeftOut {
                    at: zone.rfc3339(rows.at),
                    rows: rows.rows,
                    warmest_c: rows.warmest.degrees_celsius(),
                })
                .collect(),
            stays: answer
                .stays
                .iter()
                .flat_map(|(lot, stays)| stays.iter().map(move |stay| (lot, stay)))
                .map(|(lot, (from, to))| JsonStay {
                    lot: lot.to_string(),
                    from_at: zone.rfc3339(*from),
                    to_at: at(*to),
                })
                .collect(),
        }
    }
}

fn touched(lot: &Touched, zone: &Zone) -> JsonTouched {
    let until = |of: &Assessment| of.keep_until.map(|at| zone.rfc3339(at));
    JsonTouched {
        lot: lot.lot.to_string(),
        gone_at: lot.gone.map(|gone| zone.rfc3339(gone)),
        verdict: lot.with.verdict.as_str(),
        keep_until: until(&lot.with),
        verdict_without: lot.without.verdict.as_str(),
        keep_until_without: until(&lot.without),
        differs: lot.is_changed(),
    }
}
