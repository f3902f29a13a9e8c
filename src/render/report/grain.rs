//! Tables about grain: where it went, what it saved, how old it was, how wet.

use super::table::{Cell, Table};
use crate::grain::control_chart::ControlChart;
use crate::ledger::MovementKind;
use crate::quantity::mass;
use crate::render::source_chart;
use crate::report::period::{PeriodReport, SourceBalance};
use chrono::Datelike;
use std::collections::BTreeMap;
use uom::si::f64::Mass;

/// The ways of the balance with the names of their columns.
const WAYS: [MovementKind; 8] = [
    MovementKind::Baked,
    MovementKind::Given,
    MovementKind::Feed,
    MovementKind::Compost,
    MovementKind::Waste,
    MovementKind::Discarded,
    MovementKind::Treatment,
    MovementKind::Missing,
];

/// Dry grain of the balance. Less than half a milligram is what rounding leaves of nothing.
fn dry(mass: Mass) -> Cell {
    let is_nothing = mass::grams(mass).abs() < 5e-4;
    Cell::Mass(if is_nothing { Mass::default() } else { mass })
}

/// Grain of each source: there before, in, out, there after.
pub fn balance(report: &PeriodReport) -> Table {
    let row = |name: &str, one: &SourceBalance| {
        let mut row = vec![
            Cell::from(name),
            Cell::Count(one.lots),
            Cell::Weighed(one.opening.wet),
            Cell::Weighed(one.way(MovementKind::CameIn).wet),
            Cell::Weighed(one.from_others),
            Cell::Weighed(one.way(MovementKind::WaterAdded).wet),
        ];
        row.extend(WAYS.map(|way| Cell::Weighed(one.way(way).wet)));
        row.extend([
            Cell::Weighed(one.closing.wet),
            dry(one.opening.dry),
            dry(one.way(MovementKind::CameIn).dry),
            dry(one.from_others_dry),
            dry(one.way(MovementKind::Baked).dry),
            dry(one.way(MovementKind::Given).dry),
            dry(one.thrown_away().dry),
            dry(one.treatments_dry),
            dry(one.way(MovementKind::Missing).dry),
            dry(one.known_better()),
            dry(one.closing.dry),
            Cell::Weighed(one.frozen),
            Cell::Weighed(one.dried.0),
            Cell::Weighed(one.dried.1),
            Cell::ForFiles(one.treatments()),
        ]);
        row
    };
    let mut rows: Vec<Vec<Cell>> = report
        .sources
        .iter()
        .map(|one| row(&one.source, one))
        .collect();
    if rows.len() > 1 {
        rows.push(row("all sources", &report.all()));
    }
    Table {
        key: "balance",
        title: "Wet grain by source",
        columns: &[
            ("source", "Source"),
            ("lots", "Lots that came in"),
            ("opening_wet_g", "On hand before"),
            ("came_in_wet_g", "Came in"),
            ("from_other_sources_wet_g", "Joined from other sources"),
            ("added_in_treatments_wet_g", "Water added in treatments"),
            ("baked_wet_g", "Into bakes"),
            ("given_wet_g", "Given as food"),
            ("feed_wet_g", "Fed to animals"),
            ("compost_wet_g", "Composted"),
            ("waste_wet_g", "Into the bin"),
            ("discarded_wet_g", "Thrown away"),
            ("lost_in_treatments_wet_g", "Lost in treatments"),
            ("missing_wet_g", "Found missing (− found more)"),
            ("closing_wet_g", "On hand after"),
            ("opening_dry_g", "Dry, on hand before"),
            ("came_in_dry_g", "Dry, came in"),
            ("from_other_sources_dry_g", "Dry, joined from other sources"),
            ("baked_dry_g", "Dry, into bakes"),
            ("given_dry_g", "Dry, given as food"),
            ("thrown_away_dry_g", "Dry, thrown away, composted, fed"),
            ("lost_in_treatments_dry_g", "Dry, lost in treatments"),
            ("missing_dry_g", "Dry, found missing (− found more)"),
            ("known_better_dry_g", "Dry, better known since (− less)"),
            ("closing_dry_g", "Dry, on hand after"),
            ("frozen_wet_g", "Frozen"),
            ("dried_wet_g", "Dried"),
            ("dried_out_g", "Weight after drying"),
            ("treatment_loss_wet_g", "Lost less added in treatments"),
        ],
        spare: &[],
        rows,
    }
}

/// What was baked of each formula.
pub fn breads(report: &PeriodReport) -> Table {
    Table {
        key: "breads",
        title: "Bread by formula",
        columns: &[
            ("formula", "Formula"),
            ("bakes", "Bakes"),
            ("pieces", "Pieces"),
            ("baked_g", "Bread"),
            ("bakes_weighed", "Bakes weighed"),
            ("wet_g", "Wet grain"),
            ("dry_g", "Flour saved"),
            ("money", "Money"),
        ],
        spare: &["bakes_weighed", "wet_g"],
        rows: report
            .breads
            .iter()
            .map(|bread| {
                vec![
                    Cell::from(bread.name.as_str()),
                    Cell::Count(bread.bakes),
                    bread
                        .pieces
                        .map_or(Cell::None, |pieces| Cell::Count(pieces as usize)),
                    if bread.weighed > 0 {
                        Cell::Weighed(bread.baked.get())
                    } else {
                        Cell::None
                    },
                    Cell::Count(bread.weighed),
                    Cell::Weighed(bread.grain.wet),
                    Cell::Mass(bread.grain.dry),
                    money(report, bread.grain.dry),
                ]
            })
            .collect(),
    }
}

/// What flour of this mass costs.
fn money(report: &PeriodReport, flour: Mass) -> Cell {
    report.flour_price.map_or(Cell::None, |price| {
        Cell::Money(price * mass::grams(flour) / 1e3)
    })
}

/// Dry grain by day of the week.
pub fn weekdays(report: &PeriodReport) -> Table {
    let mut sums: BTreeMap<u32, Mass> = BTreeMap::new();
    for (day, dry) in &report.days {
        *sums
            .entry(day.weekday().num_days_from_monday())
            .or_default() += *dry;
    }
    const NAMES: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let rows = (0u32..)
        .zip(NAMES)
        .filter(|_| !sums.is_empty())
        .map(|(day, name)| {
            let dry = sums.get(&day).copied().unwrap_or_default();
            vec![Cell::from(name), Cell::Mass(dry)]
        })
        .collect();
    Table {
        key: "weekdays",
        title: "Dry grain into dough by day of the week",
        columns: &[("weekday", "Day"), ("dry_g", "Dry grain")],
        spare: &[],
        rows,
    }
}

/// Dry grain day by day, and so far.
pub fn days(report: &PeriodReport) -> Table {
    let mut sum = Mass::default();
    let rows = report
        .days
        .iter()
        .map(|(day, dry)| {
            sum += *dry;
            vec![Cell::Day(*day), Cell::Mass(*dry), Cell::Mass(sum)]
        })
        .collect();
    Table {
        key: "days",
        title: "Flour saved, day by day",
        columns: &[
            ("day", "Day"),
            ("dry_g", "Dry grain"),
            ("dry_so_far_g", "In all so far"),
        ],
        spare: &[],
        rows,
    }
}

/// How old grain of each source was when people got it.
pub fn ages(report: &PeriodReport) -> Table {
    Table {
        key: "ages",
        title: "Days from mash-out to use, by source",
        columns: &[
            ("source", "Source"),
            ("wet_g", "Used or given"),
            ("mean_days", "Mean age"),
            ("longest_days", "Oldest"),
            ("before_date_share", "Before its date"),
            ("past_or_unknown_wet_g", "Past or unknown"),
            ("no_mash_out_wet_g", "Without mash-out time"),
        ],
        spare: &["longest_days"],
        rows: report
            .ages
            .iter()
            .map(|ages| {
                let mean = ages.mean_days();
                vec![
                    Cell::from(ages.source.as_str()),
                    Cell::Weighed(ages.wet),
                    mean.map_or(Cell::None, Cell::Days),
                    mean.map_or(Cell::None, |_| Cell::Days(ages.longest_days)),
                    ages.in_time().map_or(Cell::None, Cell::Part),
                    Cell::Weighed(ages.unusable),
                    Cell::Weighed(ages.wet - ages.dated),
                ]
            })
            .collect(),
    }
}

/// The lots that came in.
pub fn lots(report: &PeriodReport) -> Table {
    Table {
        key: "lots",
        title: "Moisture of the lots that came in",
        columns: &[
            ("lot", "Lot"),
            ("source", "Source"),
            ("came_in", "Came in"),
            ("wet_g", "Wet"),
            ("moisture_wet_basis", "Moisture"),
            ("half_width_points", "95 % range"),
            ("from", "Known from"),
            ("untested_half_width_points", "Untested"),
        ],
        spare: &["source", "came_in", "wet_g"],
        rows: report
            .lots
            .iter()
            .map(|came| {
                let untested = came.untested.as_ref();
                vec![
                    Cell::Code(came.lot.code.to_string()),
                    Cell::from(came.lot.source.as_str()),
                    Cell::At(came.at),
                    Cell::Weighed(came.wet.get()),
                    Cell::Moisture(came.moisture.value),
                    Cell::HalfWidth(came.moisture.expanded()),
                    Cell::KnownFrom(came.from.as_key()),
                    untested.map_or(Cell::None, |one| Cell::HalfWidth(one.expanded())),
                ]
            })
            .collect(),
    }
}

/// Whether each source is steady, from its latest tested lots.
pub fn limits(report: &PeriodReport) -> Table {
    let rows = report.charts.iter().map(|source| {
        let limits = source.chart.as_ref().map(ControlChart::limits);
        let odd: Vec<String> = source
            .odd()
            .iter()
            .map(|(lot, ..)| lot.to_string())
            .collect();
        let moisture = |moisture: Option<f64>| moisture.map_or(Cell::None, Cell::Moisture);
        vec![
            Cell::from(source.source.as_str()),
            Cell::Text(source_chart::grain(source)),
            Cell::Count(source.lots.len()),
            moisture(source.chart.as_ref().map(|chart| chart.middle)),
            moisture(limits.map(|(low, _)| low)),
            moisture(limits.map(|(_, high)| high)),
            Cell::Text(odd.join(", ")),
            Cell::from(source.drift().map(|signal| signal.rule.as_key())),
        ]
    });
    Table {
        key: "moisture_limits",
        title: "Limits of each source, from its last tested lots",
        columns: &[
            ("source", "Source"),
            ("grain", "Grain"),
            ("source_lots", "Lots"),
            ("middle_wet_basis", "Middle"),
            ("limit_low_wet_basis", "From"),
            ("limit_high_wet_basis", "To"),
            ("odd_lots", "Odd lots"),
            ("drift", "Drift"),
        ],
        spare: &["grain"],
        rows: rows.collect(),
    }
}

/// What is on hand now.
pub fn on_hand(report: &PeriodReport) -> Table {
    Table {
        key: "on_hand",
        title: "Lots on hand, the most urgent first",
        columns: &[
            ("lot", "Lot"),
            ("place", "Place"),
            ("wet_g", "Wet"),
            ("dry_g", "Dry grain"),
            ("verdict", "Verdict"),
            ("keep_until", "Keep until"),
            ("left_days", "Left"),
        ],
        spare: &["left_days"],
        rows: report
            .on_hand
            .iter()
            .map(|lot| {
                let place = lot.place.as_ref().map(|(name, _)| name.clone());
                vec![
                    Cell::Code(lot.lot.code.to_string()),
                    Cell::from(place),
                    Cell::Weighed(lot.wet.get()),
                    Cell::Mass(lot.dry.best),
                    Cell::Text(lot.keeping.verdict.to_string()),
                    lot.keeping.keep_until.map_or(Cell::None, Cell::At),
                    lot.hours_left()
                        .map_or(Cell::None, |hours| Cell::Days(hours / 24.0)),
                ]
            })
            .collect(),
    }
}
