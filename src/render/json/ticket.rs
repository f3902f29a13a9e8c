//! JSON of labels.

use crate::quantity::Zone;
use crate::render::words;
use crate::report::ticket::Ticket;
use serde::Serialize;

/// `ticket --json`.
#[derive(Serialize)]
pub struct Tickets {
    tickets: Vec<Label>,
}

#[derive(Serialize)]
struct Label {
    lot: String,
    source: String,
    brewed_on: String,
    form: &'static str,
    wet_g: f64,
    verdict: &'static str,
    keep_until: Option<String>,
    use_first_from: Option<String>,
    part_spoiled_at: Option<String>,
    gluten_named: Vec<&'static str>,
    gluten_perhaps: Vec<&'static str>,
}

impl Tickets {
    /// From the labels.
    pub fn new(tickets: &[Ticket], zone: &Zone) -> Self {
        let label = |ticket: &Ticket| {
            let lot = &ticket.lot;
            Label {
                lot: lot.lot.code.to_string(),
                source: words::together(&lot.sources),
                brewed_on: lot.lot.brewed_on(zone).to_string(),
                form: lot.lot.form.as_str(),
                wet_g: lot.wet.grams(),
                verdict: lot.keeping.verdict.as_str(),
                keep_until: lot.keeping.keep_until.map(|at| zone.rfc3339(at)),
                use_first_from: ticket.use_first_from.map(|at| zone.rfc3339(at)),
                part_spoiled_at: lot.spoiled_part.map(|part| zone.rfc3339(part.at)),
                gluten_named: ticket.cereals.clone(),
                gluten_perhaps: ticket.perhaps.clone(),
            }
        };
        Self {
            tickets: tickets.iter().map(label).collect(),
        }
    }
}
