//! A trace as CSV that a spreadsheet may open: one row for each lot, draw, end and stock.

use super::csv::safe;
use super::json::trace::how;
use super::trace::end;
use crate::grain::LotCode;
use crate::ledger::{Gone, TracedLot};
use crate::quantity::{Milligrams, Zone};
use crate::report::trace::{TraceAnswer, TracedBake};
use std::collections::HashMap;

/// The columns, in order. Others rely on them.
const COLUMNS: [&str; 16] = [
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
];

/// The trace as CSV text, header included.
///
/// `record` is how a lot came to be (pickup, part, join or the step of a treatment), bake, or another end;
/// on-hand is what is left.
pub fn text(answer: &TraceAnswer, zone: &Zone) -> anyhow::Result<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    let may_hold = |lot: &TracedLot| answer.may_hold.contains(&lot.lot.code);
    for lot in answer.back.iter().chain(&answer.lots) {
        writer.write_record(row(
            (how(lot), zone.rfc3339(lot.came)),
            lot,
            [const { String::new() }; 3],
            lot.wet,
            "",
            lot.by.as_deref().unwrap_or(""),
            (may_hold(lot), false),
        ))?;
    }
    let lots: HashMap<LotCode, &TracedLot> =
        answer.lots.iter().map(|lot| (lot.lot.code, lot)).collect();
    let bakes: HashMap<&str, &TracedBake> = answer
        .bakes
        .iter()
        .map(|bake| (bake.name.as_str(), bake))
        .collect();
    for out in &answer.outflows {
        let Some(lot) = lots.get(&out.lot.code) else {
            continue;
        };
        let said = out.words.as_deref().unwrap_or("");
        let name = match out.to {
            Gone::Bake(code) => Some(code.to_string()),
            Gone::Said => Some(said.to_owned()),
            _ => None,
        };
        let known = name.as_ref().and_then(|name| bakes.get(name.as_str()));
        let bake = [
            name.clone().unwrap_or_default(),
            known
                .and_then(|bake| bake.formula.clone())
                .unwrap_or_default(),
            known
                .and_then(|bake| bake.pieces)
                .map_or(String::new(), |pieces| pieces.to_string()),
        ];
        let note = if name.is_some() { "" } else { said };
        if out.wet != Milligrams::ZERO {
            writer.write_record(row(
                (end(out).unwrap_or("bake"), zone.rfc3339(out.at)),
                lot,
                bake,
                out.wet,
                "",
                note,
                (
                    may_hold(lot),
                    answer.unusable.contains_key(&(out.lot.code, out.at)),
                ),
            ))?;
        }
    }
    for lot in &answer.lots {
        if let Some((wet, place)) = &lot.held {
            writer.write_record(row(
                ("on-hand", String::new()),
                lot,
                [const { String::new() }; 3],
                *wet,
                place,
                "",
                (may_hold(lot), false),
            ))?;
        }
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}

fn row(
    (record, at): (&str, String),
    lot: &TracedLot,
    [bake, formula, pieces]: [String; 3],
    wet: Milligrams,
    place: &str,
    note: &str,
    (may_hold, unusable): (bool, bool),
) -> [String; 16] {
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
        lot.lot.code.brewed_on().to_string(),
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
    ]
}
