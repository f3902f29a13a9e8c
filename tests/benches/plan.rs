//! How well and how fast seeded weeks are planned. `cargo bench --bench plan` plans a few of each size,
//! `-- --long` all of them, `-- 20x14` those of one size, `-- rule` the trade's rule against the plan, `-- blocks` large
//! weeks with frozen blocks, of which nobody ends the search.
//!
//! Each instance is planned by the planner and, where `DRAFF_PYTHON` names a Python that has SciPy, by HiGHS
//! as it stands in SciPy: the same aims in the same order on the very same program, in the same run. Ours has
//! the patience that `plan` has, HiGHS may leave a thousandth of each aim:
//!
//! ```text
//! python3 -m venv FOLDER && FOLDER/bin/pip install scipy
//! DRAFF_PYTHON=FOLDER/bin/python cargo bench --bench plan -- --long
//! ```
//!
//! Seconds are processor seconds of the solving alone, without the start of Python. It asserts nothing.

#[path = "../../src/planning/tests/instances.rs"]
mod instances;
mod other_solver;
mod processor_time;
#[path = "../../src/planning/tests/written.rs"]
mod written;

use anyhow::anyhow;
use draffbook::{dough, grain, keeping, planning, quantity};
use instances::{Week, instance, with_blocks};
use planning::aims::{Aim, Weights, order};
use planning::figures::Figures;
use planning::model::{Choice, Facts, Held, Model};
use planning::search::search;
use planning::windows::Windows;
use planning::{Patience, make, oldest_first};
use processor_time::{OWN, usage};
use std::path::Path;

/// Lots, bakes, instances in short and in all, seconds of ours, seconds of the other solver.
type Size = (usize, usize, usize, usize, f64, f64);
const SIZES: [Size; 4] = [
    (8, 7, 12, 60, 20.0, 20.0),
    (20, 14, 6, 20, 20.0, 20.0),
    (40, 32, 2, 20, 10.0, 60.0),
    (60, 60, 1, 6, 10.0, 120.0),
];
/// Part of an aim that HiGHS may leave to save.
const GAP: f64 = 1e-3;

fn main() -> anyhow::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let long = arguments.iter().any(|argument| argument == "--long");
    let wanted: Vec<&String> = arguments
        .iter()
        .filter(|argument| !argument.starts_with("--"))
        .collect();
    let runs = |name: &str| wanted.is_empty() || wanted.iter().any(|wanted| *wanted == name);
    let python = std::env::var("DRAFF_PYTHON").ok();
    if python.is_none() {
        println!("DRAFF_PYTHON names no Python with SciPy: HiGHS is left out");
    }
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR"))?;
    if runs("rule") {
        rule(if long { 10 } else { 2 })?;
    }
    if runs("blocks") {
        blocks(if long { 4 } else { 1 })?;
    }
    for size in SIZES {
        if runs(&format!("{}x{}", size.0, size.1)) {
            race(size, long, python.as_deref(), folder.path())?;
        }
    }
    let memory = usage(OWN)?.1 as f64 / 1e6;
    println!("\nmost memory held at once: {memory:.0} MB");
    Ok(())
}

/// What planning one instance came to.
struct Line {
    proven: bool,
    seconds: f64,
    /// How the first aim in which they differ stands to that of HiGHS: less is better.
    against: Option<std::cmp::Ordering>,
    other: Option<other_solver::Answer>,
}

fn race(
    (lots, bakes, few, all, ours, theirs): Size,
    long: bool,
    python: Option<&str>,
    folder: &Path,
) -> anyhow::Result<()> {
    println!(
        "\n{lots} lots, {bakes} bakes: aims proven, seconds and work (millions) of ours, then aims and seconds of HiGHS; the first aim that differs"
    );
    let mut lines = Vec::new();
    for index in 0..if long { all } else { few } {
        let week = Week::ALL[index % Week::ALL.len()];
        let seed = (index / Week::ALL.len() + 1) as u64;
        let situation = instance(week, lots, bakes, seed);
        let before = usage(OWN)?.0;
        let windows = Windows::of(&situation);
        let figures = Figures::of(&situation, &windows);
        let facts = Facts {
            situation: &situation,
            windows: &windows,
            figures: &figures,
        };
        let start = oldest_first::plan(facts);
        let spent = || usage(OWN).map_or(0.0, |(now, _)| (now - before).as_secs_f64());
        let found = search(facts, &start, Patience::default(), &mut |_| spent() < ours);
        let seconds = spent();
        let proven = found.reached.iter().take_while(|one| one.proven).count();
        let work = in_millions(found.work);
        print!(
            "{:9} {seed:2} {proven:2} {seconds:7.3} {work:7.0}",
            week.as_str()
        );
        let both = Weights::only(Aim::Worst).with(Aim::FirmWorst, 1.0);
        let model = Model::build(facts, &Held::default(), both, &|_, _| Choice::Open);
        let aims: Vec<_> = order(&situation)
            .into_iter()
            .map(|aim| model.terms(facts, aim))
            .collect();
        let other = python
            .map(|python| other_solver::solve(python, folder, &model.program, &aims, theirs, GAP))
            .transpose()?;
        let mut against = None;
        if let Some(other) = &other {
            print!("  {:2} {:7.3}", other.proven, other.seconds);
            against = Some(std::cmp::Ordering::Equal);
            for (reached, theirs) in found.reached.iter().zip(&other.values) {
                let apart = reached.value - theirs;
                if apart.abs() > 2.0 * reached.aim.tolerance(&situation, reached.value) {
                    print!(
                        "  {} {:.4} {theirs:.4}",
                        reached.aim.as_str(),
                        reached.value
                    );
                    against = Some(apart.total_cmp(&0.0));
                    break;
                }
            }
        }
        println!();
        lines.push(Line {
            proven: found.is_proven(),
            seconds,
            against,
            other,
        });
    }
    summary(&lines)
}

fn in_millions(work: u64) -> f64 {
    work as f64 / 1e6
}

/// Weeks of 20 lots and 14 bakes with frozen blocks.
fn blocks(seeds: u64) -> anyhow::Result<()> {
    println!("\n20 lots, 14 bakes, frozen blocks: aims proven, seconds and work (millions)");
    for (week, frozen) in Week::ALL
        .into_iter()
        .flat_map(|week| [(week, 4), (week, 8)])
    {
        for seed in 1..=seeds {
            let situation = with_blocks((week, 20, 14, seed), frozen);
            let before = usage(OWN)?.0;
            let windows = Windows::of(&situation);
            let figures = Figures::of(&situation, &windows);
            let facts = Facts {
                situation: &situation,
                windows: &windows,
                figures: &figures,
            };
            let start = oldest_first::plan(facts);
            let found = search(facts, &start, Patience::default(), &mut |_| true);
            let seconds = (usage(OWN)?.0 - before).as_secs_f64();
            let proven = found.reached.iter().take_while(|one| one.proven).count();
            println!(
                "{:9} {frozen:2} {seed:2} {proven:2} {seconds:7.3} {:7.0}",
                week.as_str(),
                in_millions(found.work)
            );
        }
    }
    Ok(())
}

fn summary(lines: &[Line]) -> anyhow::Result<()> {
    use std::cmp::Ordering::{Greater, Less};
    let proven = lines.iter().filter(|line| line.proven).count();
    let seconds = median(lines.iter().map(|line| line.seconds).collect())?;
    let slowest = lines.iter().map(|line| line.seconds).fold(0.0, f64::max);
    let sum: f64 = lines.iter().map(|line| line.seconds).sum();
    println!(
        "proven in all aims {proven} of {}, median {seconds:.3} s, slowest {slowest:.3} s",
        lines.len()
    );
    let others: Vec<&other_solver::Answer> = lines
        .iter()
        .filter_map(|line| line.other.as_ref())
        .collect();
    if others.is_empty() {
        return Ok(());
    }
    let all = Aim::ALL.len();
    let proven = others.iter().filter(|other| other.proven == all).count();
    let theirs = median(others.iter().map(|other| other.seconds).collect())?;
    let their_sum: f64 = others.iter().map(|other| other.seconds).sum();
    let stands = |wanted| {
        lines
            .iter()
            .filter(|line| line.against == Some(wanted))
            .count()
    };
    println!(
        "HiGHS: proven {proven}, median {theirs:.3} s; seconds of ours ÷ HiGHS: {:.2} as a median, {:.2} in all; \
         better in {}, worse in {}",
        seconds / theirs,
        sum / their_sum,
        stands(Less),
        stands(Greater)
    );
    Ok(())
}

/// The trade's rule against the plan: kilograms of dry grain short and spoiled, both ways.
fn rule(seeds: u64) -> anyhow::Result<()> {
    println!(
        "8 lots, 7 bakes, {seeds} of each kind: means of kg short, kg spoiled and preserved unused"
    );
    println!(
        "kind      rule: short spoiled unused  plan: short spoiled unused  rule worse, longest s"
    );
    for week in Week::ALL {
        let mut sums = [0.0; 6];
        let (mut worse, mut longest) = (0, 0.0_f64);
        for seed in 1..=seeds {
            let situation = instance(week, 8, 7, seed);
            let before = usage(OWN)?.0;
            let plan = make(&situation, Patience::default(), &mut |_| true)
                .map_err(|no_plan| anyhow!("{no_plan:?}"))?;
            longest = longest.max((usage(OWN)?.0 - before).as_secs_f64());
            let [rule, ours] = [&plan.oldest_first, &plan.aims].map(|aims| {
                [aims.short, aims.spoiled, aims.preserved_unused].map(|m| m.get() as f64 / 1e6)
            });
            for (sum, value) in sums.iter_mut().zip(rule.into_iter().chain(ours)) {
                *sum += value / seeds as f64;
            }
            // A lack below ten grams is the scale's, not the rule's.
            worse += u32::from(rule[0] > ours[0] + 0.01 || rule[1] > ours[1] + 0.01);
        }
        let [a, b, c, d, e, f] = sums;
        println!(
            "{:9} {a:11.3} {b:7.3} {c:6.3} {d:12.3} {e:7.3} {f:6.3} {worse:7} of {seeds} {longest:9.3}",
            week.as_str()
        );
    }
    Ok(())
}

fn median(mut values: Vec<f64>) -> anyhow::Result<f64> {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    match values.len() {
        0 => Err(anyhow!("nothing was measured")),
        count if count % 2 == 0 => Ok((values[middle - 1] + values[middle]) / 2.0),
        _ => Ok(values[middle]),
    }
}
