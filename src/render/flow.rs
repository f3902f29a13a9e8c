//! The flow of one lot as a picture: lots as boxes from left to right, bands as wide as the grain. What a box stands for
//! is told by its hatch, and by the key below the title.

use super::chart::{Fill, larger_hatches};
use super::numbers::Units;
use super::svg_text::{escaped, shortened};
use super::trace::{end, how};
use crate::desk::Trace;
use crate::ledger::{Destination, TracedLot};
use crate::quantity::Milligrams;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Sizes in the picture's own units.
const COLUMN: f64 = 330.0;
const BOX: f64 = 224.0;
const GAP: f64 = 22.0;
const TOP: f64 = 76.0;
const LEFT: f64 = 20.0;
/// The hatch of a box stands to the left of its words.
const HATCH: f64 = 16.0;
/// Where the key stands, and what a word of it takes.
const KEY: f64 = 46.0;
const KEY_WORD: f64 = 112.0;
/// Every box holds two lines of text, however little grain it stands for.
const LEAST: f64 = 38.0;
/// Height of the largest lot.
const LARGEST: f64 = 260.0;

/// What a box stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Asked,
    Lot,
    Bake,
    OnHand,
    End,
}

impl Kind {
    const ALL: [Self; 5] = [Self::Asked, Self::Lot, Self::Bake, Self::OnHand, Self::End];

    const fn fill(self) -> Fill {
        match self {
            Self::Asked => Fill::Black,
            Self::Lot => Fill::Grey,
            Self::Bake => Fill::Slanted,
            Self::OnHand => Fill::Lying,
            Self::End => Fill::Dotted,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Asked => "asked for",
            Self::Lot => "another lot",
            Self::Bake => "a bake",
            Self::OnHand => "on hand",
            Self::End => "another end",
        }
    }
}

/// A box: a lot, a bake, or another end.
struct Node {
    column: usize,
    wet: i64,
    title: String,
    line: String,
    kind: Kind,
    top: f64,
    height: f64,
    /// How far down bands have been tied to its right and its left side.
    used: (f64, f64),
}

/// Grain that goes from one box to another.
struct Band {
    from: usize,
    to: usize,
    wet: i64,
}

/// The picture as SVG text. It is whole in itself and reads on light and dark paper.
pub fn svg(trace: &Trace<'_>, units: Units) -> anyhow::Result<String> {
    let (mut nodes, bands) = flow(trace, units)?;
    let (width, height) = place(&mut nodes);
    let largest = nodes.iter().map(|node| node.wet).max().unwrap_or(1).max(1);
    let mut out = String::new();
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" \
         width=\"{width:.0}\" height=\"{height:.0}\" role=\"img\" font-family=\"sans-serif\" font-size=\"13\">\n\
         <title>{title}</title>\n\
         <style>.band{{fill:#8a6d2f;fill-opacity:.3}}.box{{stroke:#222}}text{{fill:#222}}</style>\n\
         {hatches}\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n\
         <text x=\"{LEFT}\" y=\"30\" font-size=\"18\">{title}</text>\n",
        title = escaped(&format!(
            "Flow of {}",
            trace.asked.split(',').next().unwrap_or_default()
        )),
        hatches = larger_hatches(["slanted", "lying", "dotted"], 4.0).into_string(),
    );
    for (place, kind) in Kind::ALL.into_iter().enumerate() {
        let x = LEFT + place as f64 * KEY_WORD;
        let _ = writeln!(
            out,
            "<rect class=\"box\" x=\"{x:.1}\" y=\"{KEY}\" width=\"{HATCH}\" height=\"12\" fill=\"{fill}\"/><text x=\"{tx:.1}\" y=\"{ty:.1}\">{words}</text>",
            fill = kind.fill().paint(),
            tx = x + HATCH + 4.0,
            ty = KEY + 11.0,
            words = kind.words(),
        );
    }
    for band in &bands {
        draw_band(&mut out, &mut nodes, band, largest);
    }
    for node in &nodes {
        let x = LEFT + node.column as f64 * COLUMN;
        let _ = writeln!(
            out,
            "<g><rect class=\"box\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{BOX}\" height=\"{h:.1}\" fill=\"#fff\"/><rect class=\"box\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{HATCH}\" height=\"{h:.1}\" fill=\"{fill}\"/><text x=\"{tx:.1}\" y=\"{ty:.1}\"><tspan font-weight=\"bold\">{title}</tspan><tspan x=\"{tx:.1}\" dy=\"15\">{line}</tspan></text></g>",
            fill = node.kind.fill().paint(),
            y = node.top,
            h = node.height,
            tx = x + HATCH + 6.0,
            ty = node.top + 16.0,
            title = escaped(&shortened(&node.title, 24)),
            line = escaped(&shortened(&node.line, 28)),
        );
    }
    out.push_str("</svg>\n");
    Ok(out)
}

/// Boxes and bands: lots by how many makings they are from a brewery, then where their grain went.
fn flow(trace: &Trace<'_>, units: Units) -> anyhow::Result<(Vec<Node>, Vec<Band>)> {
    let mut nodes: Vec<Node> = Vec::new();
    let mut bands: Vec<Band> = Vec::new();
    let mut by_code: BTreeMap<String, usize> = BTreeMap::new();
    let mut all: Vec<TracedLot> = trace.back().all()?;
    let first_asked = all.len();
    all.extend(trace.lots().all()?);
    for (index, lot) in all.iter().enumerate() {
        let sources = lot
            .made_of
            .iter()
            .map(|(of, wet)| (of.code.to_string(), *wet));
        let known: Vec<(usize, i64)> = sources
            .filter_map(|(code, wet)| Some((*by_code.get(&code)?, wet.get())))
            .collect();
        let column = known
            .iter()
            .map(|(from, _)| nodes[*from].column + 1)
            .max()
            .unwrap_or(0);
        let is_asked = index == first_asked;
        by_code.insert(lot.lot.code.to_string(), nodes.len());
        for (from, wet) in known {
            bands.push(Band {
                from,
                to: nodes.len(),
                // What a treatment took off goes to an end of its own.
                wet: wet.min(lot.wet.get()),
            });
        }
        let short = how(lot);
        let short = short.split(" from ").next().unwrap_or(&short).to_owned();
        nodes.push(node(
            column,
            lot.wet.get(),
            lot.lot.code.to_string(),
            format!("{}, {short}", units.weighed(lot.wet)),
            if is_asked { Kind::Asked } else { Kind::Lot },
        ));
    }
    let mut ends: BTreeMap<(usize, String, Kind), i64> = BTreeMap::new();
    for out in trace.outflows().all()? {
        if out.wet <= Milligrams::ZERO {
            continue;
        }
        let Some(from) = by_code.get(&out.lot.code.to_string()) else {
            continue;
        };
        let (name, kind) = match out.to {
            Destination::Bake { code, .. } => (code.to_string(), Kind::Bake),
            Destination::Named => (out.words.clone().unwrap_or_default(), Kind::Bake),
            _ => (end(&out).unwrap_or("end").to_owned(), Kind::End),
        };
        *ends.entry((*from, name, kind)).or_default() += out.wet.get();
    }
    for lot in &all {
        if let (Some(from), Some((wet, place))) =
            (by_code.get(&lot.lot.code.to_string()), &lot.held)
        {
            ends.insert(
                (*from, format!("on hand: {place}"), Kind::OnHand),
                wet.get(),
            );
        }
    }
    // A bake or an end is drawn one time, one column after the last lot that goes into it.
    let mut targets: BTreeMap<(String, Kind), usize> = BTreeMap::new();
    for ((from, name, kind), wet) in ends {
        let column = nodes[from].column + 1;
        let key = if kind == Kind::Bake {
            name.clone()
        } else {
            format!("{from} {name}")
        };
        let to = *targets.entry((key, kind)).or_insert_with(|| {
            nodes.push(node(column, 0, name.clone(), String::new(), kind));
            nodes.len() - 1
        });
        nodes[to].wet += wet;
        nodes[to].column = nodes[to].column.max(column);
        nodes[to].line = units.weighed(Milligrams::new(nodes[to].wet));
        bands.push(Band { from, to, wet });
    }
    Ok((nodes, bands))
}

fn node(column: usize, wet: i64, title: String, line: String, kind: Kind) -> Node {
    Node {
        column,
        wet,
        title,
        line,
        kind,
        top: 0.0,
        height: 0.0,
        used: (0.0, 0.0),
    }
}

/// Places the boxes of each column below each other; gives the size of the picture.
fn place(nodes: &mut [Node]) -> (f64, f64) {
    let largest = nodes.iter().map(|node| node.wet).max().unwrap_or(1).max(1);
    let mut down: BTreeMap<usize, f64> = BTreeMap::new();
    for node in nodes.iter_mut() {
        let top = down.entry(node.column).or_insert(TOP);
        node.top = *top;
        node.height = scaled(node.wet, largest).max(LEAST);
        *top += node.height + GAP;
    }
    let columns = down.keys().max().map_or(1, |last| last + 1);
    let height = down.values().copied().fold(TOP, f64::max);
    let key = LEFT + Kind::ALL.len() as f64 * KEY_WORD;
    ((LEFT + columns as f64 * COLUMN).max(key), height + GAP)
}

fn scaled(wet: i64, largest: i64) -> f64 {
    wet as f64 / largest as f64 * LARGEST
}

/// A band from the right of one box to the left of another, as wide as its grain.
fn draw_band(out: &mut String, nodes: &mut [Node], band: &Band, largest: i64) {
    let width = scaled(band.wet, largest).max(1.5);
    let x_from = LEFT + nodes[band.from].column as f64 * COLUMN + BOX;
    let x_to = LEFT + nodes[band.to].column as f64 * COLUMN;
    let y_from = nodes[band.from].top + nodes[band.from].used.0;
    let y_to = nodes[band.to].top + nodes[band.to].used.1;
    nodes[band.from].used.0 += width;
    nodes[band.to].used.1 += width;
    let middle = f64::midpoint(x_from, x_to);
    let _ = writeln!(
        out,
        "<path class=\"band\" d=\"M{x_from:.1} {y_from:.1}C{middle:.1} {y_from:.1} {middle:.1} {y_to:.1} {x_to:.1} {y_to:.1}V{b:.1}C{middle:.1} {b:.1} {middle:.1} {a:.1} {x_from:.1} {a:.1}Z\"/>",
        a = y_from + width,
        b = y_to + width,
    );
}
