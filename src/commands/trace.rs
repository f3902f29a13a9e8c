//! `trace`: from a lot to its loaves and back, from a bake to its brews, and what a recall has to reach.

use super::{Outcome, export, typed};
use crate::context::Errand;
use crate::dough::bake_code::BakeCode;
use crate::error::usage;
use crate::grain::cereals::{self, Says};
use crate::grain::{LotCode, LotCodeProblem};
use crate::ledger::{
    EntryRecord, Gone, LogFilter, LotRecord, Outflow, RecallFilter, TracedLot, View,
};
use crate::quantity::{Problem, when};
use crate::render::{self, numbers::Units};
use crate::report::trace::{Balance, TraceAnswer, TracedBake};
use std::collections::HashSet;

/// Trace a lot to its brews and its loaves, a bake to its lots, or all that a recall has to reach
///
/// A recall finds every lot that came in from a source, with a malt or cereal, or brewed on some days, all that
/// was made of them, the bakes and pieces that hold it, and what is still on hand. Lots whose grist does not say
/// whether they hold the malt or cereal are shown too, apart from the others.
#[derive(clap::Args)]
#[command(
    override_usage = "draff trace <LOT|BAKE> [--csv <FILE>] [--svg <FILE>]\n       draff trace [--source <NAME>] [--grist <TEXT>] [--between <DAY> <DAY>] [--csv <FILE>]",
    after_help = "Examples:\n  draff trace ALD-261120-1T\n  draff trace --source \"Alder Lane\" --between 2026-11-16 2026-11-18\n  draff trace --grist wheat --csv recall.csv"
)]
pub struct Arguments {
    /// The code of a lot or a bake, or what was typed after `use --for`
    #[arg(value_name = "LOT|BAKE", conflicts_with_all = ["grist", "source", "between"], required_unless_present_any = ["grist", "source", "between"])]
    about: Option<String>,

    /// Lots with this malt or cereal in the grist, or part of its name. A cereal stands for all that falls under
    /// it in food law, as spelt does under wheat
    #[arg(long, value_name = "TEXT", value_parser = typed::name)]
    grist: Option<String>,

    /// Lots from this source
    #[arg(long, value_name = "NAME")]
    source: Option<String>,

    /// Lots brewed from one day to another, both included
    #[arg(long, value_names = ["DAY", "DAY"], num_args = 2)]
    between: Option<Vec<String>>,

    /// Write CSV to a file, or to stdout with -
    #[arg(long, value_name = "FILE")]
    csv: Option<String>,

    /// Draw the flow of one lot as a picture (SVG) to a file
    #[arg(long, value_name = "FILE", conflicts_with_all = ["grist", "source", "between"])]
    svg: Option<String>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let book = errand.open_book()?;
    let view = book.view();
    let _still = view.hold_still()?;
    let zone = &view.about().zone;
    let now = errand.now(zone)?;
    let csv = arguments.csv.as_deref();
    export::refuse_two_answers(errand, [csv])?;
    let answer = match &arguments.about {
        Some(about) => about_one(view, about)?,
        None => recall(view, &filter(&arguments, view, errand)?)?,
    };
    if let Some(path) = &arguments.svg {
        if answer.balance.is_none() {
            return Err(usage(
                Problem::new("the picture is of the flow of one lot")
                    .hint("name a lot: draff trace LOT --svg FILE"),
            ));
        }
        let picture = render::flow::svg(&answer, Units::of(errand.options.us));
        export::save(errand, path, &view.about().path, &picture, "wrote")?;
    }
    if let Some(path) = csv {
        let text = render::trace_csv::text(&answer, zone)?;
        export::put(errand, path, &view.about().path, &text, "wrote")?;
    }
    if errand.options.json {
        let text = render::json::text(&render::json::trace::Trace::new(&answer, zone))?;
        errand.print(&text)?;
    } else if csv.is_none() {
        let text = render::trace::text(&answer, Units::of(errand.options.us), now, zone);
        errand.print(&text)?;
    }
    Ok(Outcome::Done)
}

/// Which lots a recall is of.
fn filter(
    arguments: &Arguments,
    view: View<'_>,
    errand: &Errand<'_>,
) -> anyhow::Result<RecallFilter> {
    let zone = &view.about().zone;
    let now = errand.now(zone)?;
    if let Some(source) = &arguments.source {
        view.refuse_unknown_source(source)?;
    }
    let day = |typed: &str| {
        when::date(typed, now, zone).map_err(|problem| usage(problem.within("--between")))
    };
    let between = match arguments.between.as_deref() {
        Some([from, to]) => Some((day(from)?, day(to)?)),
        _ => None,
    };
    if let Some((from, to)) = between
        && from > to
    {
        return Err(usage(
            Problem::new(format!("{from} lies after {to}"))
                .hint("--between takes the earlier day first"),
        ));
    }
    Ok(RecallFilter {
        grist: arguments.grist.clone(),
        source: arguments.source.clone(),
        between,
    })
}

/// Traces a lot both ways, or a bake back.
fn about_one(view: View<'_>, about: &str) -> anyhow::Result<TraceAnswer> {
    if BakeCode::looks_like(about) {
        let bake = view.bake(about)?;
        let draws = match &bake.end {
            Some(crate::ledger::BakeEnd::Done(result)) => result.draws.clone(),
            _ => {
                return Err(Problem::new(format!(
                    "bake `{}` is not done, so no grain was drawn for it",
                    bake.code
                ))
                .into());
            }
        };
        let mut lots: Vec<LotRecord> = Vec::new();
        for (lot, _) in draws {
            if !lots.iter().any(|known| known.code == lot.code) {
                lots.push(lot);
            }
        }
        let words = format!(
            "back from bake {}, {}",
            bake.code, bake.setting.formula.name
        );
        return back(
            view,
            words,
            &lots,
            |out| matches!(out.to, Gone::Bake(code) if code == bake.code),
        );
    }
    if let Err(LotCodeProblem::Malformed(problem)) = about.parse::<LotCode>() {
        let lots = view.lots_used_for(about)?;
        if lots.is_empty() {
            return Err(problem
                .hint(format!(
                    "no grain was used for `{about}` either: draff usage lists what it went into"
                ))
                .into());
        }
        return back(view, format!("back from `{about}`"), &lots, |out| {
            matches!(out.to, Gone::Said) && out.words.as_deref() == Some(about)
        });
    }
    let lot = view.lot(about)?;
    let mut answer = forward(
        view,
        format!("lot {}, back and forward", lot.code),
        std::slice::from_ref(&lot),
    )?;
    answer.back = view.ancestors(std::slice::from_ref(&lot))?;
    answer.back.retain(|before| before.lot.code != lot.code);
    answer.path = path(view, &lot, &answer.back)?;
    Ok(answer)
}

/// Everything that happened to the grain of a lot while it was in it and in the lots before.
fn path(view: View<'_>, lot: &LotRecord, back: &[TracedLot]) -> anyhow::Result<Vec<EntryRecord>> {
    let mut found: Vec<EntryRecord> = Vec::new();
    for before in back.iter().map(|before| &before.lot).chain([lot]) {
        let entries = view.log(&LogFilter {
            lot: Some(before),
            ..LogFilter::default()
        })?;
        for entry in entries {
            let counts = entry.struck_by.is_none() && entry.kind != "strike";
            if counts && !found.iter().any(|known| known.entry == entry.entry) {
                found.push(entry);
            }
        }
    }
    found.sort_by_key(|entry| (entry.at, entry.entry));
    Ok(found)
}

fn recall(view: View<'_>, filter: &RecallFilter) -> anyhow::Result<TraceAnswer> {
    let mut asked: Vec<String> = Vec::new();
    asked.extend(
        filter
            .source
            .as_ref()
            .map(|source| format!("from {source}")),
    );
    asked.extend(filter.grist.as_ref().map(|grist| {
        let mut words = vec![grist.as_str()];
        words.extend(cereals::under(grist));
        format!("with {}", words.join(" or "))
    }));
    asked.extend(filter.between.map(|(from, to)| {
        if from == to {
            format!("brewed on {from}")
        } else {
            format!("brewed from {from} to {to}")
        }
    }));
    let lots = view.recalled(filter)?;
    let asked = format!("everything {}", asked.join(", "));
    let mut answer = forward(view, asked, &lots)?;
    if let Some(grist) = &filter.grist {
        answer.grist_unknown = lots
            .iter()
            .filter(|lot| lot.grist.is_none())
            .map(|lot| lot.code.to_string())
            .collect();
        let named: Vec<LotCode> = lots
            .iter()
            .filter(|lot| lot.says(grist) == Says::Names)
            .map(|lot| lot.code)
            .collect();
        answer.tell_apart(&named);
    }
    Ok(answer)
}

/// What was made of lots, and where it went.
fn forward(view: View<'_>, asked: String, lots: &[LotRecord]) -> anyhow::Result<TraceAnswer> {
    let family = view.descendants(lots)?;
    let records: Vec<LotRecord> = family.iter().map(|lot| lot.lot.clone()).collect();
    let outflows = view.outflows(&records)?;
    let balance = Some(Balance::of(&family, &outflows));
    answer(view, asked, family, outflows, balance)
}

/// Where the grain of a bake came from.
fn back(
    view: View<'_>,
    asked: String,
    lots: &[LotRecord],
    is_of_it: impl Fn(&Outflow) -> bool,
) -> anyhow::Result<TraceAnswer> {
    let mut outflows = view.outflows(lots)?;
    outflows.retain(is_of_it);
    let (drawn, before): (Vec<TracedLot>, Vec<TracedLot>) = view
        .ancestors(lots)?
        .into_iter()
        .partition(|lot| lots.iter().any(|one| one.code == lot.lot.code));
    let mut answer = answer(view, asked, drawn, outflows, None)?;
    answer.back = before;
    Ok(answer)
}

fn answer(
    view: View<'_>,
    asked: String,
    lots: Vec<TracedLot>,
    outflows: Vec<Outflow>,
    balance: Option<Balance>,
) -> anyhow::Result<TraceAnswer> {
    let mut codes: Vec<BakeCode> = outflows
        .iter()
        .filter_map(|out| match out.to {
            Gone::Bake(code) => Some(code),
            _ => None,
        })
        .collect();
    codes.sort();
    codes.dedup();
    let known = codes
        .iter()
        .map(|code| view.bake(&code.to_string()))
        .collect::<anyhow::Result<Vec<_>>>()?;
    Ok(TraceAnswer {
        asked,
        back: Vec::new(),
        lots,
        path: Vec::new(),
        bakes: TracedBake::gather(&outflows, &known),
        outflows,
        balance,
        grist_unknown: Vec::new(),
        may_hold: HashSet::new(),
    })
}
