//! Tables about doughs: their grain, their water, what plans promised to them.

use super::table::{Cell, Table};
use crate::report::period::{EndOfBake, EndedBake, PeriodReport, Supply};

/// The dry grain of each bake.
pub fn bakes(report: &PeriodReport) -> Table {
    Table {
        key: "bakes",
        title: "Dry grain of each bake",
        columns: &[
            ("bake", "Bake"),
            ("formula", "Formula"),
            ("at", "When"),
            ("wanted_dry_g", "Wanted"),
            ("least_dry_g", "Minimum"),
            ("got_dry_g", "Got"),
            ("supply", "Supply"),
            ("reason", "Why not baked"),
            ("not_free_of", "Not free of"),
        ],
        // The words above the table name bakes that are not free of something.
        spare: &["not_free_of", "least_dry_g", "at", "reason"],
        rows: report
            .bakes
            .iter()
            .map(|bake| {
                vec![
                    Cell::Code(bake.code.to_string()),
                    Cell::from(bake.formula.as_str()),
                    Cell::At(bake.at),
                    bake.wanted.map_or(Cell::None, Cell::Mass),
                    bake.lowest.map_or(Cell::None, Cell::Mass),
                    if bake.supply() == Supply::Dropped {
                        Cell::None
                    } else {
                        Cell::Mass(bake.got.dry)
                    },
                    Cell::from(bake.supply().as_str()),
                    match &bake.end {
                        EndOfBake::Dropped(reason) => Cell::from(reason.clone()),
                        EndOfBake::Baked(_) => Cell::None,
                    },
                    Cell::from(bake.not_free.as_ref().map(|found| found.of.clone())),
                ]
            })
            .collect(),
    }
}

/// The water of each dough.
pub fn water(report: &PeriodReport) -> Table {
    let row = |bake: &EndedBake| {
        let water = bake.water()?;
        Some(vec![
            Cell::Code(bake.code.to_string()),
            Cell::from(bake.formula.as_str()),
            Cell::At(bake.at),
            Cell::Weighed(water.first),
            Cell::Weighed(water.back),
            water.thirst.map_or(Cell::None, Cell::Weighed),
            Cell::Weighed(water.poured),
            water.part_of_back().map_or(Cell::None, Cell::Part),
        ])
    };
    Table {
        key: "water",
        title: "Water of each dough",
        columns: &[
            ("bake", "Bake"),
            ("formula", "Formula"),
            ("at", "When"),
            ("pour_first_g", "Pour first"),
            ("hold_back_g", "Hold back"),
            ("hold_back_thirst_g", "Of it for thirst"),
            ("poured_g", "Poured"),
            ("hold_back_used_share", "Hold back used"),
        ],
        spare: &["at", "hold_back_thirst_g"],
        rows: report.bakes.iter().filter_map(row).collect(),
    }
}

/// What plans promised and bakes drew.
pub fn promises(report: &PeriodReport) -> Table {
    let row = |bake: &EndedBake| {
        let (promised, kept) = bake.promised?;
        Some(vec![
            Cell::Code(bake.code.to_string()),
            Cell::from(bake.formula.as_str()),
            Cell::At(bake.at),
            Cell::Weighed(promised),
            Cell::Weighed(kept),
            Cell::Weighed(bake.got.wet),
            Cell::from(bake.supply().as_str()),
        ])
    };
    Table {
        key: "promises",
        title: "Wet grain promised and drawn",
        columns: &[
            ("bake", "Bake"),
            ("formula", "Formula"),
            ("at", "When"),
            ("promised_wet_g", "Promised"),
            ("drawn_as_promised_wet_g", "Drawn as promised"),
            ("drawn_wet_g", "Drawn in all"),
            ("supply", "Supply"),
        ],
        spare: &["at", "drawn_wet_g"],
        rows: report.bakes.iter().filter_map(row).collect(),
    }
}
