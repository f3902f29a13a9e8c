//! Labels of tubs on paper: one to a page of a label printer, or many on a sheet of labels.

use super::html_page;
use super::numbers::Units;
use super::ticket as words;
use crate::quantity::{Problem, Zone};
use crate::report::ticket::{Ticket, cautions};
use fast_qr::QRBuilder;
use fast_qr::qr::QRCode;
use maud::{Markup, html};
use std::str::FromStr;

/// How labels look, for this page and for that of the server.
pub const STYLE: &str = include_str!("ticket_html/ticket.css");

/// What is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// A label printer: 62 mm × 40 mm.
    #[default]
    Label,
    /// A sheet of A4 with 3 × 7 labels of 63.5 mm × 38.1 mm: common practice, no source.
    A4,
    /// A sheet of letter paper with 2 × 5 labels of 4 in × 2 in: common practice, no source.
    Letter,
}

impl Paper {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Label, Self::A4, Self::Letter];

    /// Its name.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Label => "62x40",
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Labels on one sheet.
    pub const fn per_sheet(self) -> usize {
        match self {
            Self::Label => 1,
            Self::A4 => 21,
            Self::Letter => 10,
        }
    }
}

impl FromStr for Paper {
    type Err = Problem;

    fn from_str(typed: &str) -> Result<Self, Problem> {
        Self::ALL
            .into_iter()
            .find(|paper| paper.as_str().eq_ignore_ascii_case(typed.trim()))
            .ok_or_else(|| {
                Problem::new(format!("`{typed}` is no size of paper")).hint("62x40, a4 or letter")
            })
    }
}

/// How labels are printed.
#[derive(Debug, Clone, Copy)]
pub struct Print<'a> {
    /// On what.
    pub paper: Paper,
    /// The first free label of the sheet, from 1.
    pub first: usize,
    /// Where a page of the book is served; without one the QR code holds the lot's code alone.
    pub address: Option<&'a str>,
}

/// A page by itself.
pub fn page(
    tickets: &[Ticket],
    print: Print<'_>,
    units: Units,
    zone: &Zone,
) -> Result<String, Problem> {
    let labels = inside(tickets, print, units, zone)?;
    // For whoever looks at the page: a label has no room for them.
    let body = html! {
        (labels)
        ul.cautions {
            @for caution in cautions(tickets) { li { (units.in_words(&caution.text())) } }
        }
    };
    let paper = match print.paper {
        Paper::Label => "size: 62mm 40mm; margin: 0",
        Paper::A4 => "size: A4; margin: 0",
        Paper::Letter => "size: letter; margin: 0",
    };
    let style = format!(
        "{STYLE}@page {{ {paper} }}\nbody {{ margin: 0; }}\n@media print {{ .cautions {{ display: none; }} }}\n"
    );
    let codes: Vec<String> = tickets
        .iter()
        .map(|ticket| ticket.lot.lot.code.to_string())
        .collect();
    Ok(html_page::whole(&codes.join(", "), &style, body))
}

/// The sheets, for whoever has a page of his own.
pub fn inside(
    tickets: &[Ticket],
    print: Print<'_>,
    units: Units,
    zone: &Zone,
) -> Result<Markup, Problem> {
    let skipped = print.first.saturating_sub(1) % print.paper.per_sheet();
    let mut labels: Vec<Option<&Ticket>> = vec![None; skipped];
    labels.extend(tickets.iter().map(Some));
    let mut sheets = Vec::new();
    for sheet in labels.chunks(print.paper.per_sheet()) {
        let mut drawn = Vec::new();
        for label in sheet {
            drawn.push(match label {
                Some(ticket) => label_of(ticket, print.address, units, zone)?,
                None => html! { div.ticket {} },
            });
        }
        sheets.push(html! { section class=(format!("tickets of-{}", print.paper.as_str())) { @for label in &drawn { (label) } } });
    }
    Ok(html! { @for sheet in &sheets { (sheet) } })
}

fn label_of(
    ticket: &Ticket,
    address: Option<&str>,
    units: Units,
    zone: &Zone,
) -> Result<Markup, Problem> {
    let code = ticket.lot.lot.code.to_string();
    let holds = match address {
        Some(address) => format!("{}/lot/{code}", address.trim_end_matches('/')),
        None => code.clone(),
    };
    Ok(html! {
        div.ticket {
            (code_in_large(&code))
            div.ticket-rest {
                div.ticket-words {
                    p.ticket-date { (words::date(ticket, zone)) }
                    @for line in words::lines(ticket, units, zone) { p { (line) } }
                }
                (qr(&holds)?)
            }
        }
    })
}

/// Millimetres for the code: what is left of the narrowest label between its margins.
const CODE_WIDTH: f64 = 58.0;
/// Size of its letters in millimetres.
const CODE_LETTERS: f64 = 7.4;

/// The code with its width said, so that no font of the machine cuts its last character: a wider one is pressed together
/// and stays as high.
fn code_in_large(code: &str) -> Markup {
    let natural: f64 = code.chars().map(width_of).sum();
    let width = (natural * CODE_LETTERS).min(CODE_WIDTH);
    html! {
        svg.ticket-code viewBox=(format!("0 0 {CODE_WIDTH} 7.8")) {
            text x="0" y="6.4" font-size=(CODE_LETTERS) textLength=(format!("{width:.1}")) lengthAdjust="spacingAndGlyphs" { (code) }
        }
    }
}

/// About how wide a bold letter of Arial is, as a part of its size: from memory. Any figure is safe; a good one keeps the
/// letters in their usual shape.
const fn width_of(letter: char) -> f64 {
    match letter {
        '-' => 0.33,
        '0'..='9' => 0.56,
        _ => 0.72,
    }
}

/// Empty modules around a code (ISO/IEC 18004: four).
const QUIET: usize = 4;

/// A QR code, drawn in attributes only, so that no policy of a page stops it.
pub fn qr(text: &str) -> Result<Markup, Problem> {
    let code = QRBuilder::new(text)
        .build()
        .map_err(|_| Problem::new(format!("`{text}` is too long for a QR code")))?;
    let side = code.size + 2 * QUIET;
    Ok(html! {
        svg.qr viewBox=(format!("0 0 {side} {side}")) role="img" aria-label=(format!("QR code: {text}")) shape-rendering="crispEdges" {
            rect width=(side) height=(side) fill="#fff" {}
            path fill="#000" d=(path(&code)) {}
        }
    })
}

fn path(code: &QRCode) -> String {
    let mut path = String::new();
    for row in 0..code.size {
        for column in 0..code.size {
            if code[row][column].value() {
                path.push_str(&format!("M{} {}h1v1h-1z", column + QUIET, row + QUIET));
            }
        }
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_code_is_as_wide_as_the_label_at_most_in_any_font() {
        let length = |code: &str| -> f64 {
            let drawn = code_in_large(code).into_string();
            let (_, rest) = drawn.split_once("textLength=\"").unwrap();
            rest.split('"').next().unwrap().parse().unwrap()
        };
        let usual = length("COR-261120-15");
        assert!((50.0..CODE_WIDTH).contains(&usual), "{usual}");
        assert!(length("WMW-261120-9999991X") <= CODE_WIDTH);
    }
}
