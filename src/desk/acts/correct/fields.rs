//! What of an entry can be corrected, and whether a correction changes anything.

use super::Correction;
use crate::desk::Refusal;
use crate::desk::acts::finish_bake::refuse_no_water;
use crate::ledger::{Detail, EntryKind, EntryRecord};
use crate::quantity::{Milligrams, Problem};

/// What can be corrected of a done bake; its grain stands in entries of its own, and is said anew of another bake only.
pub(super) const OF_BAKED: &[&str] = &[
    "bake",
    "used",
    "at",
    "said",
    "water",
    "pieces",
    "baked",
    "dough_temp",
    "water_temp",
    "tap",
    "room",
    "flour_temp",
    "grain_temp",
    "frozen",
    "preferment_temp",
    "came_out",
    "note",
];

/// Refuses what an entry of its kind does not hold, and a correction of nothing.
pub(super) fn refuse_fields(entry: &EntryRecord, right: &Correction<'_>) -> Result<(), Refusal> {
    let of_bake = entry.kind == EntryKind::Use && entry.bake.is_some();
    let holds: &[&str] = match entry.kind {
        EntryKind::Pickup => &[
            "at", "brewed", "mash_out", "wet", "temp", "source", "grist", "form", "place", "note",
        ],
        EntryKind::Use if of_bake => &["lot", "wet"],
        EntryKind::Discard => &["lot", "at", "wet", "note", "as"],
        EntryKind::Use => &["lot", "at", "wet", "note"],
        EntryKind::Give => &["lot", "at", "wet", "to", "note"],
        EntryKind::Move => &["lot", "at", "place", "note"],
        EntryKind::Reading => &["lot", "at", "temp"],
        EntryKind::Moisture => match &entry.detail {
            Detail::Test(test, _) if test.laboratory.is_some() => &["lot", "at", "lab"],
            _ => &["lot", "at", "weighing", "stage2"],
        },
        EntryKind::Cooled | EntryKind::Spoiled => &["lot", "at", "note"],
        EntryKind::Activity => &["lot", "at", "aw"],
        EntryKind::Count => &["wet", "nothing", "note"],
        EntryKind::Part | EntryKind::Join => &["at", "wet", "place", "note"],
        EntryKind::Treat => &[
            "at",
            "place",
            "wet",
            "wet_out",
            "water_added",
            "left_behind",
            "dry_loss",
            "minutes",
            "temp",
            "note",
        ],
        EntryKind::Baked => OF_BAKED,
        _ => &[],
    };
    let mut given = given_fields(right).into_iter().peekable();
    if given.peek().is_none() {
        return Err(Refusal::NothingToCorrect(entry.entry));
    }
    match given.find(|field| !holds.contains(field)) {
        // Who has it, what it went into or why: without that the entry says nothing.
        None if right.note == Some("") && needs_words(entry.kind) => Err(Refusal::Field {
            field: "note",
            problem: Problem::new(format!(
                "entry {} is of kind {}, which says something: only a note can be taken away",
                entry.entry,
                entry.kind.as_str()
            )),
        }),
        None => refuse_no_water(right.said),
        Some(field) => Err(Refusal::NotInEntry {
            entry: entry.entry,
            kind: entry.kind,
            field,
        }),
    }
}

/// Whether the words of an entry are more than a note.
const fn needs_words(kind: EntryKind) -> bool {
    matches!(
        kind,
        EntryKind::Use
            | EntryKind::Give
            | EntryKind::Discard
            | EntryKind::Cooled
            | EntryKind::Spoiled
    )
}

/// What is said to be right.
pub(super) fn given_fields(right: &Correction<'_>) -> Vec<&'static str> {
    let fields = [
        ("lot", right.lot.is_some()),
        ("at", right.at.is_some()),
        ("brewed", right.brewed_on.is_some()),
        ("mash_out", right.mash_out.is_some()),
        ("wet", right.wet.is_some_and(|wet| wet > Milligrams::ZERO)),
        ("nothing", right.wet == Some(Milligrams::ZERO)),
        ("wet_out", right.wet_out.is_some()),
        ("water_added", right.water_added.is_some()),
        ("left_behind", right.left_behind.is_some()),
        ("dry_loss", right.dry_loss.is_some()),
        ("minutes", right.minutes.is_some()),
        ("temp", right.temp.is_some()),
        ("aw", right.activity.is_some()),
        ("weighing", !right.weighing.is_empty()),
        ("stage2", !right.stage2.is_empty()),
        ("lab", right.lab.is_some()),
        ("source", right.source.is_some()),
        ("grist", right.grist.is_some()),
        ("form", right.form.is_some()),
        ("place", right.place.is_some()),
        ("to", right.to.is_some()),
        ("note", right.note.is_some()),
        ("as", right.ending.is_some()),
        ("bake", right.bake.is_some()),
        ("used", !right.used.is_empty()),
        ("said", right.said.is_some()),
        ("water", right.water.is_some()),
        ("pieces", right.pieces.is_some()),
        ("baked", right.baked.is_some()),
        ("dough_temp", right.dough_temp.is_some()),
        ("water_temp", right.water_temp.is_some()),
        ("came_out", right.came_out.is_some()),
    ];
    let fields = fields
        .into_iter()
        .filter_map(|(field, is_given)| is_given.then_some(field));
    let temperatures = right.temperatures.of_what_goes_in().into_iter();
    fields.chain(temperatures.map(|(field, _)| field)).collect()
}

/// Refuses a correction by which an entry says what it said before.
pub(super) fn refuse_unchanged(was: &EntryRecord, is: &EntryRecord) -> Result<(), Refusal> {
    let held = |entry: &EntryRecord| {
        (
            (entry.lot, entry.at, entry.wet, entry.place.clone()),
            (entry.temperature, entry.water_activity),
            (entry.words.clone(), entry.ending),
        )
    };
    let same_detail = match (&was.detail, &is.detail) {
        (Detail::None, Detail::None) => true,
        (Detail::Arrival(was), Detail::Arrival(is)) => {
            (&was.source, was.mash_out, was.form, &was.grist)
                == (&is.source, is.mash_out, is.form, &is.grist)
        }
        (Detail::Test(was, _), Detail::Test(is, _)) => was == is,
        (Detail::Counted(was), Detail::Counted(is)) => was == is,
        (Detail::Treated(was), Detail::Treated(is)) => {
            (was.treatment, was.lasted) == (is.treatment, is.lasted)
        }
        (Detail::Baked(was), Detail::Baked(is)) => was == is,
        _ => false,
    };
    if same_detail && held(was) == held(is) {
        return Err(Refusal::NothingChanged(was.entry));
    }
    Ok(())
}
