//! A trace in words.

use super::numbers::{self, MassUnit, Units};
use super::words::Lines;
use super::{bake, log, spoiled_part, times, words};
use crate::desk::{Chunks, Trace};
use crate::grain::LotCode;
use crate::ledger::{Destination, How, Outflow, TracedLot, Writers};
use crate::quantity::text::{count, shell_word, trimmed};
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::trace::{Balance, ENOUGH, TracedBake};
use std::io::Write;

/// The heading of the entries.
pub const HAPPENED: &str = "What happened to it";

/// How a text is to read.
#[derive(Clone, Copy)]
struct Reader<'a> {
    units: Units,
    now: Instant,
    zone: &'a Zone,
    lines: Lines,
}

impl Reader<'_> {
    fn time(&self, at: Instant) -> String {
        times::moment(at, self.now, self.zone)
    }

    /// A mass as the balance has it, so that nobody has to convert ounces to find it there.
    fn weighed(&self, wet: Milligrams) -> String {
        match self.units {
            Units::Metric => self.units.weighed(wet),
            Units::Us => {
                let [pounds, grams] = in_pounds(wet);
                format!("{pounds} ({grams})")
            }
        }
    }
}

/// In pounds and in grams: hundredths of a pound do not add up, the grams beside them do.
fn in_pounds(wet: Milligrams) -> [String; 2] {
    let grams = format!("{} g", trimmed(wet.grams(), 3));
    [MassUnit::Pound.shown(wet.mass()), grams]
}

/// Writes the whole trace. Where some lots only may hold what was asked for, lots and bakes are read twice. A page, which
/// wraps lines itself, shows the entries otherwise too.
pub fn text(
    trace: &Trace<'_>,
    lines: Lines,
    (units, now, zone): (Units, Instant, &Zone),
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    let reader = Reader {
        units,
        now,
        zone,
        lines,
    };
    let mut head = String::new();
    reader.lines.labelled(&mut head, "Trace", &trace.asked);
    if !trace.has_lots() {
        reader.lines.labelled(&mut head, "Lots", "none");
    }
    out.write_all(head.as_bytes())?;
    if !trace.has_lots() {
        return Ok(());
    }
    let mut balance = Balance::default();
    section(out, "Before it", trace.back(), |lot| {
        Some(lot_words(lot, reader))
    })?;
    let mut asked = Vec::new();
    section(out, "Lots", trace.lots(), |lot| {
        trace.add_lot(&mut balance, lot);
        asked.push(lot.lot.code);
        (!trace.may_hold(&lot.lot)).then(|| lot_words(lot, reader))
    })?;
    section(
        out,
        "Lots that may hold it: their grist does not say",
        trace.lots_that_may_hold(),
        |lot| Some(lot_words(lot, reader)),
    )?;
    let bakes = if trace.has_balance {
        "Bakes that hold it"
    } else {
        "Bakes you asked for (the same grain may be in others: see Next)"
    };
    section(out, bakes, trace.bakes(), |bake| {
        balance.add_bake(bake);
        (!bake.may_hold).then(|| bake_words(bake, reader))
    })?;
    if trace.has_lots_that_may_hold() {
        section(out, "Bakes that may hold it", trace.bakes(), |bake| {
            bake.may_hold.then(|| bake_words(bake, reader))
        })?;
    }
    section(out, "Other ends", trace.ends(), |out| {
        balance.add_outflow(out);
        end_words(out, reader)
    })?;
    let mut rest = String::new();
    on_hand(&mut rest, trace, reader)?;
    if trace.has_balance {
        sum(&mut rest, &balance, trace, reader);
    } else if let Some(lot) = asked.first() {
        rest.push('\n');
        let all = format!("All that a lot went into, other bakes too: draff trace {lot}");
        reader.lines.labelled(&mut rest, "Next", &all);
    }
    if lines == Lines::Wrapped && !trace.path.is_empty() {
        heading(&mut rest, HAPPENED);
        rest.push_str(&log::some(&trace.path, units, now, zone));
    }
    out.write_all(rest.as_bytes())?;
    Ok(())
}

fn heading(out: &mut String, text: &str) {
    out.push('\n');
    out.push_str(text);
    out.push('\n');
}

/// Writes a title and what is said of each row below it; nothing at all where nothing is said of any.
fn section<T>(
    out: &mut dyn Write,
    title: &str,
    chunks: Chunks<'_, T>,
    mut say: impl FnMut(&T) -> Option<String>,
) -> anyhow::Result<()> {
    let mut is_open = false;
    for chunk in chunks {
        for said in chunk?.iter().filter_map(&mut say) {
            if !is_open {
                write!(out, "\n{title}\n")?;
                is_open = true;
            }
            out.write_all(said.as_bytes())?;
        }
    }
    Ok(())
}

/// `COR-261120-15  18.4 kg, whole, came in Fri 20 Nov 11:10 from Corrow Weir, brewed Fri 20 Nov; pale barley malt 100%; by Nuala`.
fn lot_words(lot: &TracedLot, reader: Reader<'_>) -> String {
    let by = written(&lot.writers).replacen(", ", "; ", 1);
    let grist = match (&lot.how, &lot.lot.grist) {
        (How::Pickup, Some(grist)) => format!("; {grist}"),
        (How::Pickup, None) => "; grist not known".to_owned(),
        _ => String::new(),
    };
    let mut out = String::new();
    reader.lines.add(
        &mut out,
        &format!("{}  ", lot.lot.code),
        "    ",
        &format!(
            "{}{}, {} {}{}{grist}{by}",
            reader.weighed(lot.wet),
            form(lot),
            how(lot),
            reader.time(lot.came),
            origin(lot, reader),
        ),
    );
    out
}

/// `, by Ines, corrected by Mo`.
fn written(writers: &Writers) -> String {
    let mut said = String::new();
    if let Some(by) = &writers.by {
        said.push_str(&format!(", by {by}"));
    }
    match &writers.corrected_by {
        Some(by) => said.push_str(&format!(", corrected by {by}")),
        None if writers.is_corrected => said.push_str(", corrected"),
        None => {}
    }
    said
}

/// The form, unless what was done says it.
fn form(lot: &TracedLot) -> String {
    match lot.how {
        How::Treatment(_) => String::new(),
        _ => format!(", {}", lot.lot.form),
    }
}

/// Where a lot that came in is from.
fn origin(lot: &TracedLot, reader: Reader<'_>) -> String {
    let zone = reader.zone;
    match lot.how {
        How::Pickup => {
            let today = zone.date(reader.now);
            let (brewed_on, of_code) = (lot.lot.brewed_on(zone), lot.lot.code.brewed_on());
            let first = if brewed_on == of_code {
                String::new()
            } else {
                format!(
                    ", first booked as brewed on {}",
                    times::date(of_code, today)
                )
            };
            let brewed = times::date(brewed_on, today);
            format!(" from {}, brewed {brewed}{first}", lot.lot.source)
        }
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

/// `Fri 20 Nov 18:20  B-1S, Hollow flatbread, 24 pieces planned, nobody counted: 1.079 kg of COR-261120-15`.
fn bake_words(bake: &TracedBake, reader: Reader<'_>) -> String {
    let formula = bake
        .formula
        .as_ref()
        .map_or(String::new(), |formula| format!(", {formula}"));
    let pieces = bake
        .pieces
        .map_or(String::new(), |pieces| match pieces.counted {
            Some(counted) => format!(", {}", count(counted as usize, "piece")),
            None => format!(
                ", {} planned, nobody counted",
                count(pieces.planned as usize, "piece")
            ),
        });
    let mut out = String::new();
    reader.lines.add(
        &mut out,
        "",
        "    ",
        &format!(
            "{}  {}{formula}{pieces}: {} of {}",
            reader.time(bake.at),
            bake.name,
            reader.weighed(bake.wet),
            bake.lots
                .iter()
                .map(LotCode::to_string)
                .collect::<Vec<_>>()
                .join(", ")
        ),
    );
    if !bake.unusable.is_empty() {
        let lots: Vec<String> = bake.unusable.iter().map(LotCode::to_string).collect();
        reader.lines.add(
            &mut out,
            "    NOT TO BE USED then, as known now: ",
            "      ",
            &lots.join(", "),
        );
    }
    if let Some(found) = &bake.not_free {
        let words = bake::not_free(found, true);
        reader.lines.add(&mut out, "    ", "      ", &words);
    }
    out
}

/// The word for where grain went that no bread is made of.
pub fn end(out: &Outflow) -> Option<&'static str> {
    match out.to {
        Destination::Bake { .. } | Destination::Named => None,
        Destination::Given => Some("give"),
        Destination::Discard(ending) => Some(ending.map_or("discard", |ending| ending.as_str())),
        Destination::Treatment => Some("treatment-loss"),
        Destination::Count => Some("count-correction"),
    }
}

/// `Fri 20 Nov 19:30  2.8 kg of COR-261113-11, feed: past, by Mo`.
fn end_words(outflow: &Outflow, reader: Reader<'_>) -> Option<String> {
    let end = end(outflow).filter(|_| outflow.wet != Milligrams::ZERO)?;
    let is_gain = outflow.wet < Milligrams::ZERO;
    let end = match outflow.to {
        Destination::Treatment if is_gain => "water added",
        _ => end,
    };
    let wet = Milligrams::new(outflow.wet.get().abs());
    let sign = if is_gain { "+" } else { "" };
    let said = outflow
        .words
        .as_ref()
        .map_or(String::new(), |words| format!(": {words}"));
    let by = written(&outflow.writers);
    let mut out = String::new();
    reader.lines.add(
        &mut out,
        "",
        "    ",
        &format!(
            "{}  {sign}{} of {}, {end}{said}{by}{}",
            reader.time(outflow.at),
            reader.weighed(wet),
            outflow.lot.code,
            if outflow.unusable {
                "; NOT TO BE GIVEN then, as known now"
            } else {
                ""
            }
        ),
    );
    Some(out)
}

fn on_hand(out: &mut String, trace: &Trace<'_>, reader: Reader<'_>) -> anyhow::Result<()> {
    heading(
        out,
        if trace.has_balance {
            "On hand"
        } else {
            "On hand of the same grain"
        },
    );
    let lots = trace.on_hand()?;
    if lots.is_empty() {
        out.push_str("nothing\n");
    }
    for found in lots {
        let lot = &found.lot;
        let Some((wet, place)) = &lot.held else {
            continue;
        };
        let verdict = if found.unusable {
            "; NOT TO BE USED".to_owned()
        } else {
            spoiled_part::of_traced(&found, reader.now, reader.zone)
        };
        let may = if trace.may_hold(&lot.lot) {
            ", may hold it"
        } else {
            ""
        };
        reader.lines.add(
            out,
            "",
            "    ",
            &format!(
                "{}  {} in {place}{may}{verdict}",
                lot.lot.code,
                reader.weighed(*wet)
            ),
        );
    }
    Ok(())
}

fn sum(out: &mut String, balance: &Balance, trace: &Trace<'_>, reader: Reader<'_>) {
    heading(out, "Balance");
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |what: &str, milligrams: i64| {
        let wet = Milligrams::new(milligrams.abs());
        let sign = if milligrams < 0 { "−" } else { "" };
        let mut cells = vec![what.to_owned()];
        match reader.units {
            Units::Metric => cells.push(format!("{sign}{}", reader.units.weighed(wet))),
            Units::Us => cells.extend(in_pounds(wet).map(|mass| format!("{sign}{mass}"))),
        }
        rows.push(cells);
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
        ("lost in treatments", balance.lost_in_treatments),
        ("water added in treatments", balance.added_in_treatments),
        ("found missing", balance.missing),
    ] {
        if part != 0 {
            row(what, part);
        }
    }
    row("on hand", balance.on_hand);
    for line in words::table(&rows, &[false, true, true]) {
        out.push_str(&line);
        out.push('\n');
    }
    let closes = match balance.difference() {
        0 => "Balance closes to the milligram".to_owned(),
        rest => format!("BALANCE DOES NOT CLOSE, by {rest} mg: run draff check"),
    };
    let near = &trace.near_sources;
    if let Some(source) = trace.source.as_ref().filter(|_| !near.is_empty()) {
        reader.lines.add(out, "", "", &format!("{closes}."));
        let merge: Vec<String> = near
            .iter()
            .map(|name| {
                let (name, into) = (shell_word(name), shell_word(source));
                format!("`draff source merge {name} --into {into}`")
            })
            .collect();
        reader.lines.add(
            out,
            "Warning: ",
            "  ",
            &format!(
                "not all may be accounted for: {} is almost a name that the source asked for has or had, and its lots are counted in. If both are one: {}",
                words::quoted(near),
                merge.join(", ")
            ),
        );
        return;
    }
    let accounted = numbers::percent(balance.accounted());
    reader.lines.add(
        out,
        "",
        "",
        &format!("{closes}; {accounted} accounted for."),
    );
    if balance.accounted() < ENOUGH {
        reader.lines.add(
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
