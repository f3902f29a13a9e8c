//! A trace as CSV that a spreadsheet may open: one row for each lot, draw, end and stock.

use super::csv::{failed, safe};
use super::json::trace::how;
use super::trace::end;
use crate::desk::{Trace, TracedOnHand};
use crate::ledger::{Destination, TracedLot};
use crate::quantity::{Milligrams, Zone};
use std::io::Write;

/// The columns, in order. Others rely on them.
const COLUMNS: [&str; 17] = [
    "record",
    "at",
    "lot",
    "source",
    "brewed_on",
    "form",
    "grist",
    "made_of",
    "bake",
    "formula",
    "pieces",
    "wet_g",
    "place",
    "note",
    "may_hold",
    "unusable",
    "not_free_of",
];

/// Writes the trace as CSV, header included.
///
/// `record` is how a lot came to be (pickup, part, join or the step of a treatment), bake, or another end;
/// on-hand is what is left.
pub fn text(trace: &Trace<'_>, zone: &Zone, out: &mut dyn Write) -> anyhow::Result<()> {
    const NO_BAKE: [String; 3] = [const { String::new() }; 3];
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record(COLUMNS).map_err(failed)?;
    let may_hold = |lot: &TracedLot| trace.may_hold(&lot.lot);
    for lots in trace.back().chain(trace.lots()) {
        for lot in lots? {
            let cells = row(
                (how(&lot), zone.rfc3339(lot.came)),
                (&lot, zone),
                NO_BAKE,
                lot.wet,
                "",
                lot.writers.by.as_deref().unwrap_or(""),
                (may_hold(&lot), false, ""),
            );
            writer.write_record(cells).map_err(failed)?;
        }
    }
    for outflows in trace.outflows_with_lots() {
        for (out, lot) in outflows? {
            if out.wet == Milligrams::ZERO {
                continue;
            }
            let said = out.words.clone().unwrap_or_default();
            let (bake, note) = match out.to {
                Destination::Bake { code, pieces } => {
                    let counted = pieces
                        .counted
                        .map_or(String::new(), |pieces| pieces.to_string());
                    ([code.to_string(), said, counted], String::new())
                }
                Destination::Named => ([said, String::new(), String::new()], String::new()),
                _ => (NO_BAKE, said),
            };
            let free_of = out.free_of.as_deref();
            let not_free_of = free_of.filter(|of| out.lot.may_hold(of));
            let cells = row(
                (end(&out).unwrap_or("bake"), zone.rfc3339(out.at)),
                (&lot, zone),
                bake,
                out.wet,
                "",
                &note,
                (may_hold(&lot), out.unusable, not_free_of.unwrap_or("")),
            );
            writer.write_record(cells).map_err(failed)?;
        }
    }
    for TracedOnHand { lot, unusable, .. } in trace.on_hand()? {
        if let Some((wet, place)) = &lot.held {
            let cells = row(
                ("on-hand", String::new()),
                (&lot, zone),
                NO_BAKE,
                *wet,
                place,
                "",
                (may_hold(&lot), unusable, ""),
            );
            writer.write_record(cells).map_err(failed)?;
        }
    }
    writer.flush()?;
    Ok(())
}

fn row(
    (record, at): (&str, String),
    (lot, zone): (&TracedLot, &Zone),
    [bake, formula, pieces]: [String; 3],
    wet: Milligrams,
    place: &str,
    note: &str,
    (may_hold, unusable, not_free_of): (bool, bool, &str),
) -> [String; 17] {
    let of: Vec<String> = lot
        .made_of
        .iter()
        .map(|(of, _)| of.code.to_string())
        .collect();
    [
        record.to_owned(),
        at,
        lot.lot.code.to_string(),
        safe(&lot.lot.source),
        lot.lot.brewed_on(zone).to_string(),
        lot.lot.form.as_str().to_owned(),
        safe(lot.lot.grist.as_deref().unwrap_or("")),
        of.join(" "),
        safe(&bake),
        safe(&formula),
        pieces,
        wet.grams().to_string(),
        safe(place),
        safe(note),
        if may_hold { "yes" } else { "" }.to_owned(),
        if unusable { "yes" } else { "" }.to_owned(),
        safe(not_free_of),
    ]
}
