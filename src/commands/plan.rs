//! `plan`: which lot into which bake, what to freeze or dry and by when.

use super::plan_ground::{self, Asked};
use super::{Outcome, export};
use crate::context::{Errand, Vigil};
use crate::error::no_plan;
use crate::ledger::{Book, NewPlan, NewTask, View};
use crate::planning::{self, NoPlan, Patience, Plan};
use crate::quantity::{Instant, Problem, Zone};
use crate::render::{self, numbers::Units};
use crate::report::plan::{PlanAnswer, PlanGround};

/// Plan which lot goes into which bake, what to freeze or dry and by when
#[derive(clap::Args)]
pub struct Arguments {
    /// Days to plan for, today counted
    #[arg(long, value_name = "NUMBER", default_value_t = 14, value_parser = clap::value_parser!(u32).range(1..=60))]
    days: u32,

    /// Plan on the dry grain that each lot holds at least, instead of the likeliest
    #[arg(long)]
    careful: bool,

    /// Promise its grain to the bakes: later plans keep to that as far as no firm bake falls short
    #[arg(long)]
    accept: bool,

    /// Plan anew as if nothing had been promised, instead of keeping promises as far as no firm bake falls short
    #[arg(long)]
    reopen: bool,

    /// As a page to print, with a picture of the lots over the days, into a file or to stdout with -
    #[arg(long, value_name = "FILE")]
    html: Option<String>,
}

impl Arguments {
    fn asked(&self) -> Asked {
        Asked {
            days: self.days,
            careful: self.careful,
            reopen: self.reopen,
        }
    }
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut book = errand.open_book()?;
    let zone = book.view().about().zone.clone();
    let now = errand.now(&zone)?;
    let mut answer = answer(book.view(), now, arguments.asked(), errand)?;
    if arguments.accept {
        accept(&mut book, &answer, &zone, errand)?;
        answer.accepted = true;
    }
    let units = Units::of(errand.options.us);
    if let Some(path) = &arguments.html {
        let page = render::plan_html::page(&answer, &zone, units);
        let book = &book.view().about().path;
        export::put(errand, path, book, &page, "wrote the plan to")?;
        return Ok(Outcome::Done);
    }
    let text = if errand.options.json {
        render::json::text(&render::json::plan::Plan::new(&answer, &zone))?
    } else {
        render::plan::text(&answer, units, &zone)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

/// Gathers and plans. The book is free for others while the search goes on.
pub fn answer(
    view: View<'_>,
    now: Instant,
    asked: Asked,
    errand: &mut Errand<'_>,
) -> anyhow::Result<PlanAnswer> {
    let ground = plan_ground::gather(view, now, asked)?;
    let plan = made(&ground, errand)?;
    Ok(PlanAnswer::new(ground, plan))
}

fn made(ground: &PlanGround, errand: &mut Errand<'_>) -> anyhow::Result<Plan> {
    let mut vigil = Vigil::begin();
    planning::make(
        &ground.situation,
        Patience::default(),
        &mut |aim| {
            if let Some(seconds) = vigil.to_say() {
                let aim = render::plan::aim(aim);
                errand.say(&format!(
                    "looking for the best plan for {seconds} s, now at: {aim}; Ctrl-C takes the best so far"
                ));
            }
            !vigil.is_ended()
        },
    )
    .map_err(|reason| refusal(reason, ground))
}

/// Promises the plan's grain, unless somebody wrote to the book while the plan was being made.
fn accept(
    book: &mut Book,
    answer: &PlanAnswer,
    zone: &Zone,
    errand: &mut Errand<'_>,
) -> anyhow::Result<()> {
    let signature = errand.signature(zone)?;
    let ground = &answer.ground;
    let draws = answer.bakes().flat_map(|(bake, planned)| {
        let of = |draw: &planning::plan::Draw| {
            (&bake.bake, &ground.lots[draw.lot], draw.state, draw.wet)
        };
        planned.draws.iter().map(of).collect::<Vec<_>>()
    });
    let tasks = answer.plan.actions.iter().map(|action| NewTask {
        work: action.work,
        lot: &ground.lots[action.lot],
        wet: action.wet,
        by: action.by,
        bake: action.bake.map(|bake| &ground.bakes[bake].bake),
    });
    let plan = NewPlan {
        until: ground.situation.end,
        draws: draws.collect(),
        tasks: tasks.collect(),
    };
    errand.act(book, &signature, |act| {
        if act.view().last_entry()? != ground.last_entry {
            return Err(Problem::new(
                "somebody wrote to the book while the plan was being made: it was not accepted",
            )
            .hint("ask for the plan again: draff plan --accept")
            .into());
        }
        act.accept_plan(&plan)
    })
}

/// Why there is no plan, in words.
pub(super) fn refusal(reason: NoPlan, ground: &PlanGround) -> anyhow::Error {
    let situation = &ground.situation;
    let code = |bake: usize| situation.bakes[bake].code.as_str();
    match reason {
        NoPlan::NoBakes => {
            let mut problem = Problem::new("no bake is to be mixed in these days: nothing to plan");
            if ground.later > 0 {
                problem = problem.hint("bakes come later: --days NUMBER looks further ahead");
            }
            if let Some(overdue) = ground.overdue.first() {
                problem = problem.hint(format!(
                    "{overdue} should have been mixed by now: draff bake done {overdue} or draff bake drop {overdue} says what became of it"
                ));
            }
            no_plan(problem.hint("draff bake add FORMULA --at WHEN ready plans a bake"))
        }
        NoPlan::NoLots => no_plan(
            Problem::new("no grain is on hand: nothing to plan with")
                .hint("draff pickup books grain in; draff fetch says how much to take"),
        ),
        NoPlan::NothingUsable => no_plan(
            Problem::new("no lot on hand may go into a dough: nothing to plan with")
                .hint("draff shelf says of each why; draff discard takes it off the shelf"),
        ),
        NoPlan::CrossedBounds(bake) => no_plan(Problem::new(format!(
            "bake {}: its least, wanted and most dry grain are not in this order",
            code(bake)
        ))),
        NoPlan::OutsideTheDays(bake) => no_plan(Problem::new(format!(
            "bake {} is not mixed in these days",
            code(bake)
        ))),
        NoPlan::Faulty(findings) => anyhow::anyhow!(
            "the plan breaks what it must keep to, and is not shown: {}",
            findings.join("; ")
        ),
    }
}
