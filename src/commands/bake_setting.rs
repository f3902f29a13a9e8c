//! What a bake is to be: options of `bake add` and `bake change`, checked against the book.

use super::bake::refuse_twice;
use super::gather::Gatherer;
use super::hold_back::refuse_for_a_bake;
use super::lots_in_dough::{is_free_of, refuse_used_up};
use super::typed;
use crate::dough::Refusal;
use crate::dough::batch::{self, BatchRequest};
use crate::dough::formula::Formula;
use crate::dough::timetable::{self, Point};
use crate::error::usage;
use crate::grain::{Form, Kind, estimate};
use crate::keeping::Verdict;
use crate::ledger::{BakeRecord, BakeSetting, FormulaRecord, LotRecord, View};
use crate::quantity::fraction::Percent;
use crate::quantity::{Instant, Milligrams, Problem, bounds, when};
use crate::render::numbers::Units;

/// `bake add`.
#[derive(clap::Args)]
pub struct Add {
    /// A formula of the book
    #[arg(value_name = "FORMULA")]
    formula: String,

    /// When, and what happens then: mix, in-oven or ready, such as --at "sat 07:30" ready
    #[arg(long, num_args = 2, required = true, value_names = ["WHEN", "POINT"])]
    at: Vec<String>,

    #[command(flatten)]
    pub asked: Asked,
}

/// `bake change`.
#[derive(clap::Args)]
pub struct Change {
    /// Its code
    #[arg(value_name = "BAKE")]
    pub bake: String,

    /// When, and what happens then: mix, in-oven or ready
    #[arg(long, num_args = 2, value_names = ["WHEN", "POINT"])]
    at: Option<Vec<String>>,

    /// Another version of its formula
    #[arg(long, value_name = "NUMBER")]
    version: Option<u32>,

    /// Of whatever lots suit it, no longer of named ones
    #[arg(long, conflicts_with = "lot")]
    any_lot: bool,

    #[command(flatten)]
    pub asked: Asked,
}

/// Options of both.
#[derive(clap::Args, Clone, Default)]
pub struct Asked {
    /// How many pieces [default: the formula's]
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pieces: Option<u32>,

    /// Raw weight of one piece [default: the formula's]
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true)]
    piece: Option<Milligrams>,

    /// Dry grain as a share of total flour [default: what the formula wants]
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    share: Option<Percent>,

    /// It is baked in any case
    #[arg(long, conflicts_with = "optional")]
    firm: bool,

    /// It is baked if there is grain for it
    #[arg(long)]
    optional: bool,

    /// A lot it is to be made of; several are used up in the order given
    #[arg(long, value_name = "LOT")]
    lot: Vec<String>,

    /// The largest number of lots in it
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=100))]
    most_lots: Option<u32>,

    /// A cereal that must not be in its grain, such as wheat
    #[arg(long, value_name = "CEREAL", value_parser = typed::name)]
    free_of: Option<String>,

    /// Anything else
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

impl Asked {
    /// Refuses what is wrong without looking into the book.
    pub fn check(&self) -> anyhow::Result<()> {
        refuse_twice(self.lot.iter().map(String::as_str)).map_err(usage)?;
        self.share().map_err(usage)?;
        Ok(())
    }

    fn share(&self) -> Result<Option<f64>, Problem> {
        self.share
            .map(|share| share.within(&bounds::GRAIN_SHARE))
            .transpose()
    }

    fn firmness(&self, before: bool) -> bool {
        self.firm || (before && !self.optional)
    }

    fn lots(&self, view: View<'_>) -> anyhow::Result<Vec<LotRecord>> {
        self.lot.iter().map(|code| view.lot(code)).collect()
    }
}

/// A new bake, checked.
pub fn of_new(
    add: &Add,
    view: View<'_>,
    now: Instant,
    warnings: &mut Vec<String>,
) -> anyhow::Result<BakeSetting> {
    let record = view.formula(&add.formula, None)?;
    let formula = Formula::from_text(&record.text)?;
    let (at, point) = moment(&add.at, view, now)?;
    let asked = &add.asked;
    let setting = BakeSetting {
        point,
        at,
        pieces: asked
            .pieces
            .or(formula.pieces)
            .ok_or_else(|| lacks(&record, "how many pieces it makes", "--pieces NUMBER"))?,
        piece: asked
            .piece
            .or(formula.piece)
            .ok_or_else(|| lacks(&record, "what a piece weighs", "--piece MASS"))?,
        share: asked.share()?,
        firm: asked.firmness(true),
        most_lots: asked.most_lots,
        free_of: asked.free_of.clone(),
        lots: asked.lots(view)?,
        note: asked.note.clone(),
        formula: record,
    };
    check(&setting, &formula, view, now, warnings)?;
    Ok(setting)
}

fn lacks(record: &FormulaRecord, what: &str, option: &str) -> Problem {
    Problem::new(format!("formula `{}` does not say {what}", record.name))
        .hint(format!("add {option}"))
}

/// A bake as it is to be from now on, checked.
pub fn changed(
    change: &Change,
    bake: &BakeRecord,
    view: View<'_>,
    now: Instant,
    warnings: &mut Vec<String>,
) -> anyhow::Result<BakeSetting> {
    let before = &bake.setting;
    let asked = &change.asked;
    let record = match change.version {
        Some(version) => view.formula(&before.formula.name, Some(version))?,
        None => before.formula.clone(),
    };
    let formula = Formula::from_text(&record.text)?;
    let (at, point) = match &change.at {
        Some(typed) => moment(typed, view, now)?,
        None => (before.at, before.point),
    };
    let lots = match (change.any_lot, asked.lot.is_empty()) {
        (true, _) => Vec::new(),
        (false, true) => before.lots.clone(),
        (false, false) => asked.lots(view)?,
    };
    let setting = BakeSetting {
        formula: record,
        point,
        at,
        pieces: asked.pieces.unwrap_or(before.pieces),
        piece: asked.piece.unwrap_or(before.piece),
        share: asked.share()?.or(before.share),
        firm: asked.firmness(before.firm),
        most_lots: asked.most_lots.or(before.most_lots),
        free_of: asked.free_of.clone().or(before.free_of.clone()),
        lots,
        note: asked.note.clone().or(before.note.clone()),
    };
    check(&setting, &formula, view, now, warnings)?;
    Ok(setting)
}

/// Reads `"sat 07:30" ready`.
fn moment(typed: &[String], view: View<'_>, now: Instant) -> anyhow::Result<(Instant, Point)> {
    let [at, point] = typed else {
        return Err(usage(Problem::new(
            "--at takes a time and what happens then",
        )));
    };
    let named = |problem: Problem| usage(problem.within("--at"));
    Ok((
        when::coming(at, now, &view.about().zone).map_err(named)?,
        point.parse().map_err(named)?,
    ))
}

/// Refuses a bake that cannot be: a dough that does not come out, lots that may not go into it by then.
fn check(
    setting: &BakeSetting,
    formula: &Formula,
    view: View<'_>,
    now: Instant,
    warnings: &mut Vec<String>,
) -> anyhow::Result<()> {
    let table = timetable::work_out(formula, setting.point, setting.at)?;
    let dough = BatchRequest {
        formula,
        size: setting.size(),
        share: setting.share_of(formula),
        // The lots come later; that grain is too wet for a dough is their matter.
        moisture: estimate::default_moisture(
            formula.grain.form.unwrap_or(Form::Whole),
            Kind::Mashed,
        ),
        thirst: None,
        scale: Milligrams::new(1000),
        fine_scale: Milligrams::new(100),
    };
    if let Err(Refusal::Other(problem)) = batch::work_out(&dough) {
        return Err(problem.into());
    }
    if table.mix_at < now {
        warnings.push(format!(
            "mixing begins at {}, which is past: if it was baked, write down what it came to with draff bake done",
            view.about().zone.rfc3339(table.mix_at)
        ));
    } else if table.begins_at() < now {
        warnings.push(format!(
            "its first stage would have been mixed at {}, which is past",
            view.about().zone.rfc3339(table.begins_at())
        ));
    }
    if let Some(most) = setting
        .most_lots
        .filter(|most| setting.lots.len() > *most as usize)
    {
        return Err(Problem::new(format!(
            "{} lots are named for a bake of at most {most}",
            setting.lots.len()
        ))
        .into());
    }
    setting.lots.iter().try_for_each(|lot| {
        view.refuse_before_arrival(lot, table.mix_at)?;
        check_lot(lot, setting, formula, view, table.mix_at.max(now), warnings)
    })
}

fn check_lot(
    lot: &LotRecord,
    setting: &BakeSetting,
    formula: &Formula,
    view: View<'_>,
    mixed_at: Instant,
    warnings: &mut Vec<String>,
) -> anyhow::Result<()> {
    let about = view.about();
    let facts = Gatherer::new(view)?.facts(lot.clone())?;
    let answer = facts.answer(&about.rules, &about.zone, mixed_at)?;
    refuse_used_up(&answer)?;
    if answer.keeping.verdict == Verdict::Past {
        refuse_for_a_bake(&answer, Units::Metric, &about.zone)
            .map_err(|problem| problem.within(format!("by {}", about.zone.rfc3339(mixed_at))))?;
    }
    if answer.keeping.verdict == Verdict::Unknown {
        warnings.push(format!(
            "lot `{}` may not go into a dough by then as things stand: {}",
            lot.code, answer.keeping.binding.limit
        ));
    }
    if let Some(cereal) = setting.free_of.as_deref()
        && !is_free_of(lot, cereal)
    {
        return Err(Problem::new(format!(
            "lot `{}` is not known to be free of {cereal}: its grist is {}",
            lot.code,
            lot.grist.as_deref().unwrap_or("not known")
        ))
        .into());
    }
    if let Some(form) = formula.grain.form.filter(|form| *form != lot.form) {
        warnings.push(format!(
            "`{}` wants {form} grain, and lot `{}` is {}",
            formula.name, lot.code, lot.form
        ));
    }
    Ok(())
}
