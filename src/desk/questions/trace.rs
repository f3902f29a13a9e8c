//! From a lot to its loaves and back, from a bake to its brews, and what a recall has to reach.

use crate::desk::{Answer, Desk, Refusal, draws};
use crate::dough::bake_code::BakeCode;
use crate::grain::cereals::{self, Says};
use crate::grain::{LotCode, LotCodeProblem};
use crate::ledger::{
    BakeEnd, EntryRecord, Gone, LogFilter, LotRecord, Outflow, RecallFilter, TracedLot, View,
};
use crate::report::trace::{Balance, TraceAnswer, TracedBake};
use std::collections::HashSet;

impl Desk {
    /// A lot traced both ways, or a bake, or what was typed when grain was used, traced back.
    pub fn trace(&self, about: &str) -> anyhow::Result<Answer<TraceAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        Ok(Answer::new(about_one(view, about)?, Vec::new()))
    }

    /// All that a recall has to reach.
    pub fn recall(&self, filter: &RecallFilter) -> anyhow::Result<Answer<TraceAnswer>> {
        let view = self.view();
        let _still = view.hold_still()?;
        if let Some(source) = &filter.source {
            view.refuse_unknown_source(source)?;
        }
        Ok(Answer::new(recall(view, filter)?, Vec::new()))
    }
}

/// Traces a lot both ways, or a bake back.
fn about_one(view: View<'_>, about: &str) -> anyhow::Result<TraceAnswer> {
    if BakeCode::looks_like(about) {
        let bake = view.bake(about)?;
        let draws = match &bake.end {
            Some(BakeEnd::Done(result)) => result.draws.clone(),
            _ => return Err(Refusal::BakeNotDone(bake.code).into()),
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
            return Err(Refusal::NothingUsedFor {
                about: about.to_owned(),
                problem,
            }
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
            if entry.is_in_force() && !found.iter().any(|known| known.entry == entry.entry) {
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
    if let Some(source) = &filter.source {
        answer.near_sources = view.names_near(source)?;
    }
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
    let unusable = draws::unusable(view, &outflows)?
        .into_iter()
        .map(|draw| ((draw.lot, draw.at), draw.verdict))
        .collect();
    Ok(TraceAnswer {
        asked,
        back: Vec::new(),
        lots,
        path: Vec::new(),
        bakes: TracedBake::gather(&outflows, &known, &unusable),
        unusable,
        near_sources: Vec::new(),
        outflows,
        balance,
        grist_unknown: Vec::new(),
        may_hold: HashSet::new(),
    })
}
