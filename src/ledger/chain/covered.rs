//! Which rows a link of the chain covers. Tables and columns are added at the end only: their places are part of the
//! bytes that were hashed.

use crate::ledger::EntryKind;

/// Rows that are written with an entry, or with what has a link of its own.
pub(super) struct Covered {
    /// The table, or tables joined.
    pub from: &'static str,
    /// Its columns, those of a second table by its name.
    pub columns: &'static [&'static str],
    /// The number that a row belongs to, then what orders the rows of one number.
    pub of: &'static str,
    /// The kinds of entries that write such rows; empty for what is no part of an entry.
    pub kinds: &'static [EntryKind],
}

impl Covered {
    /// The column with the number that a row belongs to.
    pub fn number(&self) -> &'static str {
        self.of
            .split_once(',')
            .map_or(self.of, |(number, _)| number)
    }
}

const fn beside(
    from: &'static str,
    kinds: &'static [EntryKind],
    columns: &'static [&'static str],
    of: &'static str,
) -> Covered {
    Covered {
        from,
        columns,
        of,
        kinds,
    }
}

use EntryKind::{
    Bake, Baked, Cooled, Count, Join, Moisture, Part, Pickup, Place, Plan, Reading, Readings,
    Setting, Source, Strike, Treat, Use,
};

/// Indices in [`COVERED`] of the tables whose rows begin a link.
pub(super) const BOOK: usize = 0;
pub(super) const FORMULA: usize = 1;
pub(super) const ENTRY: usize = 2;

/// All of it.
pub(super) const COVERED: [Covered; 31] = [
    beside(
        "book",
        &[],
        &["name", "zone", "rules", "made_at"],
        "id",
    ),
    beside(
        "formula_version CROSS JOIN formula ON formula.id = formula_id",
        &[],
        &[
            "formula_version.id",
            "formula_id",
            "number",
            "text",
            "added_at",
            "added_by",
            "formula.name",
        ],
        "formula_version.id",
    ),
    beside(
        "entry",
        &EntryKind::ALL,
        &[
            "id",
            "kind",
            "lot_id",
            "at",
            "recorded_at",
            "recorded_by",
            "wet_mg",
            "new_lot_id",
            "place_id",
            "temperature_mc",
            "temperature_scale",
            "activity_ppm",
            "words",
            "struck_entry_id",
            "bake_id",
            "ending",
            "amends_entry_id",
            "reason",
        ],
        "id",
    ),
    // The lot that an entry makes, and the source that came with it.
    beside(
        "entry CROSS JOIN lot ON lot.id = entry.lot_id CROSS JOIN source ON source.id = lot.source_id",
        &[Pickup],
        LOT,
        "entry.id",
    ),
    beside(
        "entry CROSS JOIN lot ON lot.id = entry.new_lot_id CROSS JOIN source ON source.id = lot.source_id",
        &[Part, Join, Treat],
        LOT,
        "entry.id",
    ),
    beside(
        "entry CROSS JOIN place ON place.id = entry.place_id",
        &[Place],
        &["place.id", "place.name"],
        "entry.id",
    ),
    beside(
        "place_setting",
        &[Place],
        &["kind", "stated_mc", "capacity_mg", "probe", "depth_um", "closed"],
        "entry_id",
    ),
    beside(
        "moisture_test",
        &[Moisture],
        &[
            "method",
            "readability_mg",
            "laboratory_ppm",
            "laboratory_sd_ppm",
        ],
        "entry_id",
    ),
    beside(
        "weighing",
        &[Moisture],
        &["sample", "stage", "pan_mg", "wet_mg"],
        "entry_id, sample, stage",
    ),
    beside(
        "drying",
        &[Moisture],
        &["sample", "stage", "step", "dry_mg"],
        "entry_id, sample, stage, step",
    ),
    beside(
        "sample_continued",
        &[Moisture],
        &["opened"],
        "entry_id",
    ),
    beside(
        "entry CROSS JOIN bake ON bake.id = entry.bake_id",
        &[Bake],
        &["bake.id", "bake.formula_id"],
        "entry.id",
    ),
    beside(
        "bake_setting",
        &[Bake],
        &[
            "version_id",
            "point",
            "point_at",
            "pieces",
            "piece_mg",
            "share_ppm",
            "firm",
            "most_lots",
            "free_of",
        ],
        "entry_id",
    ),
    beside(
        "bake_lot",
        &[Bake],
        &["position", "lot_id"],
        "entry_id, position",
    ),
    beside(
        "bake_result",
        &[Baked],
        &[
            "setting_id",
            "said_pour_mg",
            "said_hold_mg",
            "water_mg",
            "pieces",
            "baked_mg",
            "dough_mc",
            "mixing_mk",
            "rating",
            "said_thirst_mg",
            "came_out",
        ],
        "entry_id",
    ),
    beside(
        "book_setting",
        &[Setting],
        &["name", "value"],
        "entry_id",
    ),
    beside(
        "treatment",
        &[Treat],
        &[
            "step",
            "out_mg",
            "water_mg",
            "left_mg",
            "dry_loss_mg",
            "minutes",
            "temperature_mc",
            "temperature_scale",
        ],
        "entry_id",
    ),
    beside(
        "stock_count",
        &[Count],
        &["found_mg", "less_mg"],
        "entry_id",
    ),
    beside(
        "reading_file",
        &[Readings],
        &[
            "temperature_scale",
            "name",
            "readings",
            "first_at",
            "last_at",
        ],
        "entry_id",
    ),
    // By place and time there is an index, by entry there is none.
    beside(
        "reading_file AS file CROSS JOIN entry ON entry.id = file.entry_id CROSS JOIN air_reading
         ON air_reading.place_id = entry.place_id AND air_reading.at BETWEEN file.first_at AND file.last_at
             AND air_reading.entry_id = file.entry_id",
        &[Readings],
        &[
            "air_reading.place_id",
            "air_reading.at",
            "air_reading.temperature_mc",
        ],
        "file.entry_id, air_reading.at",
    ),
    beside("plan", &[Plan], &["until_at"], "entry_id"),
    beside(
        "plan_draw",
        &[Plan],
        &["bake_id", "lot_id", "wet_mg", "state"],
        "entry_id, bake_id, lot_id, state",
    ),
    beside(
        "plan_task",
        &[Plan],
        &["position", "work", "lot_id", "wet_mg", "by_at", "bake_id"],
        "entry_id, position",
    ),
    beside("lot_depth", &[Part], &["depth_um"], "entry_id"),
    // What a pickup says of a lot beside its first facts, and the source that may have come with it.
    beside(
        "lot_fact CROSS JOIN source ON source.id = lot_fact.source_id",
        &[Pickup],
        &[
            "lot_fact.source_id",
            "lot_fact.mash_out_at",
            "lot_fact.kind",
            "lot_fact.form",
            "lot_fact.grist",
            "source.name",
            "source.letters",
        ],
        "lot_fact.entry_id",
    ),
    beside(
        "source_change",
        &[Source],
        &["source_id", "name", "into_id"],
        "entry_id",
    ),
    beside(
        "plan_dry",
        &[Plan],
        &["bake_id", "lot_id", "state", "dry_mg"],
        "entry_id, bake_id, lot_id, state",
    ),
    beside(
        "sheet_grain",
        &[Baked],
        &["lot_id", "wet_mg"],
        "entry_id, lot_id",
    ),
    beside("plan_moisture", &[Plan], &["taken"], "entry_id"),
    beside(
        "goes_with",
        &[Reading, Cooled, Count, Strike, Use, Join],
        &["leader_id"],
        "entry_id",
    ),
    beside(
        "left_out",
        &[Readings],
        &["at", "readings", "warmest_mc"],
        "entry_id, at",
    ),
];

/// A lot and the source that came with it.
const LOT: &[&str] = &[
    "lot.id",
    "lot.source_id",
    "lot.brewed_on",
    "lot.number",
    "lot.mash_out_at",
    "lot.kind",
    "lot.form",
    "lot.grist",
    "lot.parent_id",
    "source.name",
    "source.letters",
];
