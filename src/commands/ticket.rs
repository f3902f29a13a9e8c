//! `ticket`: the label of a tub.

use super::{Outcome, export, typed};
use crate::context::Errand;
use crate::error::usage;
use crate::quantity::Problem;
use crate::quantity::text::count;
use crate::render;
use crate::render::ticket_html::{Paper, Print};
use crate::report::ticket::Ticket;

/// Print the label of a tub: code, QR, date, gluten
///
/// The date is that of now. The book notes what it says: `draff today` then names a ticket that is not true any more.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff ticket ALD-261120-1T\n  draff ticket ALD-261120-1T --html label.html --address http://192.168.1.20:8080"
)]
pub struct Arguments {
    /// Lots on hand, a label for each
    #[arg(value_name = "LOT", required = true)]
    lots: Vec<String>,

    /// As a page to print, into a file or to the terminal with -
    #[arg(long, value_name = "FILE")]
    html: Option<String>,

    /// What is printed on: 62x40 (a label printer, millimetres), a4 (21 labels), letter (10 labels)
    #[arg(long, value_name = "SIZE", value_parser = typed::value::<Paper>, default_value = "62x40")]
    size: Paper,

    /// The first free label of a sheet, counted by rows
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    first: usize,

    /// Where `draff serve` is reached: the QR code opens the lot there [default: it holds the code]
    #[arg(long, value_name = "URL")]
    address: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    export::refuse_two_answers(errand, [arguments.html.as_deref()])?;
    let most = arguments.size.per_sheet();
    if !(1..=most).contains(&arguments.first) {
        let first = arguments.first;
        return Err(usage(Problem::new(format!("--first {first}: 1 to {most}"))));
    }
    if let Some(address) = &arguments.address
        && !address.starts_with("http://")
        && !address.starts_with("https://")
    {
        let problem = Problem::new(format!("`{address}` is no address of a page"));
        return Err(usage(
            problem.hint("as `draff serve` prints it: http://192.168.1.20:8080"),
        ));
    }
    let mut desk = errand.desk()?;
    let answer = desk.tickets(&arguments.lots)?;
    let (units, about) = (errand.units(), desk.about());
    let print = Print {
        paper: arguments.size,
        first: arguments.first,
        address: arguments.address.as_deref(),
    };
    if let Some(path) = &arguments.html {
        let page = render::ticket_html::page(&answer.answer, print, units, &about.zone)?;
        let wrote = format!("wrote {} to", count(answer.answer.len(), "label"));
        export::put(errand, path, &about.path, &page, &wrote)?;
        if !errand.options.json {
            export::put_cautions(errand, path, &answer.cautions)?;
        }
    }
    let zone = about.zone.clone();
    if arguments.html.is_none() || errand.options.json {
        errand.show(
            &answer,
            |tickets| render::json::ticket::Tickets::new(tickets, &zone),
            |tickets| render::ticket::text(tickets, units, &zone),
        )?;
    }
    let printed = answer.answer.iter().map(Ticket::printed);
    desk.note_tickets(&printed.collect::<Vec<_>>())?;
    Ok(Outcome::Done)
}
