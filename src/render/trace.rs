//! A trace in words.

use super::numbers::{self, Units};
use super::{log, times, words};
use crate::grain::LotCode;
use crate::ledger::{Gone, How, Outflow, TracedLot};
use crate::quantity::text::count;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::trace::{Balance, ENOUGH, TraceAnswer, TracedBake};

/// How a text is to read.
#[derive(Clone, Copy)]
struct Reader<'a> {
    units: Units,
    now: Instant,
    zone: &'a Zone,
}

impl Reader<'_> {
    fn time(&self, at: Instant) -> String {
        times::moment(at, self.now, self.zone)
    }
}

/// The whole trace.
pub fn text(answer: &TraceAnswer, units: Units, now: Instant, zone: &Zone) -> String {
    let reader = Reader { units, now, zone };
    let mut out = String::new();
    words::labelled(&mut out, "Trace", &answer.asked);
    if answer.lots.is_empty() {
        words::labelled(&mut out, "Lots", "none");
        return out;
    }
    lots(&mut out, "Before it", &answer.back, reader);
    let (may, holds): (Vec<&TracedLot>, Vec<&TracedLot>) =
        answer.lots.iter().partition(|lot| may_hold(answer, lot));
    lots(&mut out, "Lots", holds, reader);
    lots(
        &mut out,
        "Lots that may hold it: their grist does not say",
        may,
        reader,
    );
    let (may, holds): (Vec<&TracedBake>, Vec<&TracedBake>) =
        answer.bakes.iter().partition(|bake| bake.may_hold);
    bakes(&mut out, "Bakes that hold it", &holds, reader);
    bakes(&mut out, "Bakes that may hold it", &may, reader);
    ends(&mut out, answer, reader);
    on_hand(&mut out, answer, reader);
    if let Some(balance) = &answer.balance {
        sum(&mut out, balance, &answer.near_sources, reader);
    }
    if !answer.path.is_empty() {
        heading(&mut out, "What happened to it");
        out.push_str(&log::text(&answer.path, units, now, zone));
    }
    out
}

fn heading(out: &mut String, text: &str) {
    out.push('\n');
    out.push_str(text);
    out.push('\n');
}

fn may_hold(answer: &TraceAnswer, lot: &TracedLot) -> bool {
    answer.may_hold.contains(&lot.lot.code)
}

fn lots<'a>(
    out: &mut String,
    title: &str,
    lots: impl IntoIterator<Item = &'a TracedLot>,
    reader: Reader<'_>,
) {
    let mut lots = lots.into_iter().peekable();
    if lots.peek().is_none() {
        return;
    }
    heading(out, title);
    for lot in lots {
        let by = lot
            .by
            .as_ref()
            .map_or(String::new(), |by| format!(", by {by}"));
        let grist = match (&lot.how, &lot.lot.grist) {
            (How::Pickup, Some(grist)) => format!("; {grist}"),
            (How::Pickup, None) => "; grist not known".to_owned(),
            _ => String::new(),
        };
        words::wrapped(
            out,
            &format!("{}  ", lot.lot.code),
            "    ",
            &format!(
                "{}{}, {}, {} {}{by}{grist}",
                reader.units.weighed(lot.wet),
                form(lot),
                how(lot),
                reader.time(lot.came),
                origin(lot),
            )
            .replace(" ,", ","),
        );
    }
}

/// The form, unless what was done says it.
fn form(lot: &TracedLot) -> String {
    match lot.how {
        How::Treatment(_) => String::new(),
        _ => format!(" {}", lot.lot.form),
    }
}

/// Where a lot that came in is from.
fn origin(lot: &TracedLot) -> String {
    match lot.how {
        How::Pickup => format!(
            "from {}, brewed {}",
            lot.lot.source,
            lot.lot.code.brewed_on()
        ),
        _ => String::new(),
    }
}

/// `pressed from COR-…`, `joined from …`.
pub fn how(lot: &TracedLot) -> String {
    let of: Vec<String> = lot
        .made_of
        .iter()
        .map(|(of, _)| of.code.to_string())
        .collect();
    let of = of.join(" and ");
    match &lot.how {
        How::Pickup => "came in".to_owned(),
        How::Part => format!("parted from {of}"),
        How::Treatment(record) => format!("{} from {of}", record.treatment.step.done()),
        How::Join => format!("joined from {of}"),
    }
}

fn bakes(out: &mut String, title: &str, bakes: &[&TracedBake], reader: Reader<'_>) {
    if bakes.is_empty() {
        return;
    }
    heading(out, title);
    for bake in bakes {
        let formula = bake
            .formula
            .as_ref()
            .map_or(String::new(), |formula| format!(", {formula}"));
        let pieces = bake.pieces.map_or(String::new(), |pieces| {
            format!(", {}", count(pieces as usize, "piece"))
        });
        words::wrapped(
            out,
            "",
            "    ",
            &format!(
                "{}  {}{formula}{pieces}: {} of {}",
                reader.time(bake.at),
                bake.name,
                reader.units.weighed(bake.wet),
                bake.lots
                    .iter()
                    .map(LotCode::to_string)
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
        );
        if !bake.unusable.is_empty() {
            words::wrapped(
                out,
                "    NOT TO BE USED then, as known now: ",
                "      ",
                &bake
                    .unusable
                    .iter()
                    .map(LotCode::to_string)
                    .collect::<Vec<_>>()
                    .join(", "),
            );
        }
    }
}

/// The word for where grain went that no bread is made of.
pub fn end(out: &Outflow) -> Option<&'static str> {
    match out.to {
        Gone::Bake(_) | Gone::Said => None,
        Gone::Given => Some("give"),
        Gone::Discard(ending) => Some(ending.map_or("discard", |ending| ending.as_str())),
        Gone::Treatment => Some("treatment-loss"),
        Gone::Count => Some("count-correction"),
    }
}

fn ends(
    out: &mut String,
    TraceAnswer {
        outflows, unusable, ..
    }: &TraceAnswer,
    reader: Reader<'_>,
) {
    let mut first = true;
    for outflow in outflows {
        let Some(end) = end(outflow).filter(|_| outflow.wet != Milligrams::ZERO) else {
            continue;
        };
        if first {
            heading(out, "Other ends");
            first = false;
        }
        let said = outflow
            .words
            .as_ref()
            .map_or(String::new(), |words| format!(": {words}"));
        let by = outflow
            .by
            .as_ref()
            .map_or(String::new(), |by| format!(", by {by}"));
        words::wrapped(
            out,
            "",
            "    ",
            &format!(
                "{}  {} of {}, {end}{said}{by}{}",
                reader.time(outflow.at),
                reader.units.weighed(outflow.wet),
                outflow.lot.code,
                unusable
                    .get(&(outflow.lot.code, outflow.at))
                    .map_or("", |_| "; NOT TO BE GIVEN then, as known now")
            ),
        );
    }
}

fn on_hand(out: &mut String, answer: &TraceAnswer, reader: Reader<'_>) {
    heading(out, "On hand");
    let mut nothing = true;
    for lot in &answer.lots {
        if let Some((wet, place)) = &lot.held {
            let may = if may_hold(answer, lot) {
                ", may hold it"
            } else {
                ""
            };
            nothing = false;
            words::wrapped(
                out,
                "",
                "    ",
                &format!(
                    "{}  {} in {place}{may}",
                    lot.lot.code,
                    reader.units.weighed(*wet)
                ),
            );
        }
    }
    if nothing {
        out.push_str("nothing\n");
    }
}

fn sum(out: &mut String, balance: &Balance, near: &[String], reader: Reader<'_>) {
    heading(out, "Balance");
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |what: &str, milligrams: i64| {
        let shown = reader.units.weighed(Milligrams::new(milligrams.abs()));
        let sign = if milligrams < 0 { "−" } else { "" };
        rows.push(vec![what.to_owned(), format!("{sign}{shown}")]);
    };
    row("came in", balance.came);
    for (what, part) in [
        ("joined in from other lots", balance.joined),
        ("into bakes", balance.baked),
        ("given as food", balance.given),
        ("as feed", balance.feed),
        ("as compost", balance.compost),
        ("as waste", balance.waste),
        ("thrown away, not said how", balance.discarded),
        ("lost in treatments", balance.treatments.max(0)),
        ("added water in treatments", balance.treatments.min(0).abs()),
        ("found missing", balance.missing),
    ] {
        if part != 0 {
            row(what, part);
        }
    }
    row("on hand", balance.on_hand);
    for line in words::table(&rows, &[false, true]) {
        out.push_str(&line);
        out.push('\n');
    }
    let closes = match balance.difference() {
        0 => "Balance closes to the milligram".to_owned(),
        rest => format!("BALANCE DOES NOT CLOSE, by {rest} mg: run draff check"),
    };
    if !near.is_empty() {
        words::wrapped(out, "", "", &format!("{closes}."));
        let near: Vec<String> = near.iter().map(|name| format!("`{name}`")).collect();
        words::wrapped(
            out,
            "Warning: ",
            "  ",
            &format!(
                "not all may be accounted for: {} is called almost like the source asked for, and its lots are counted in. If both are one: draff source merge NAME --into NAME",
                near.join(", ")
            ),
        );
        return;
    }
    let accounted = numbers::percent(balance.accounted());
    words::wrapped(
        out,
        "",
        "",
        &format!("{closes}; {accounted} accounted for."),
    );
    if balance.accounted() < ENOUGH {
        words::wrapped(
            out,
            "Warning: ",
            "  ",
            &format!(
                "less than {} is accounted for; look for grain that was taken and not written down, before anybody asks",
                numbers::percent(ENOUGH)
            ),
        );
    }
}
