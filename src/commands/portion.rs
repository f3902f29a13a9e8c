//! `portion`: parts a lot into tubs or bags, each a lot with the same history and a code of its own.

use super::{Outcome, gather, promised, typed};
use crate::context::Errand;
use crate::ledger::LotRecord;
use crate::quantity::{Length, Milligrams, Problem};
use crate::render::{self, lot::Detail, numbers::Units};
use std::str::FromStr;

/// Part a lot into portions, each with the same history and a code of its own
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  draff portion ALD-261120-1T --into 8x500g --to freezer\n  draff portion ALD-261120-1T --into 2x1kg --into 1x750g"
)]
pub struct Arguments {
    /// The lot's code
    #[arg(value_name = "LOT")]
    lot: String,

    /// How many of which weight; what is over stays in the lot
    #[arg(long, value_name = "NUMBERxMASS", required = true, value_parser = typed::value::<Portions>, allow_hyphen_values = true)]
    into: Vec<Portions>,

    /// The place they go to [default: where the lot is]
    #[arg(long, value_name = "PLACE")]
    to: Option<String>,

    /// How thick each lies, as in bags laid flat: thin grain thaws and warms sooner
    #[arg(long, value_name = "LENGTH", value_parser = typed::value::<Length>, allow_hyphen_values = true)]
    thick: Option<Length>,

    /// When they were weighed out [default: now]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// A note
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    note: Option<String>,
}

/// The most portions in one act: more is a slip of the pen.
const MOST: u32 = 200;

/// So many portions of one weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Portions {
    number: u32,
    each: Milligrams,
}

impl FromStr for Portions {
    type Err = Problem;

    /// Reads `8x500g`, `8 × 500 g`.
    fn from_str(text: &str) -> Result<Self, Problem> {
        const EXAMPLE: &str = "write it like 8x500g";
        let (number, each) = text.split_once(['x', 'X', '×']).ok_or_else(|| {
            Problem::new(format!(
                "portions `{text}` have no x between number and weight"
            ))
            .hint(EXAMPLE)
        })?;
        let number = number
            .trim()
            .parse()
            .ok()
            .filter(|number| (1..=MOST).contains(number))
            .ok_or_else(|| {
                Problem::new(format!(
                    "number of portions is `{}`: allowed is 1 to {MOST}",
                    number.trim()
                ))
                .hint(EXAMPLE)
            })?;
        Ok(Self {
            number,
            each: each.parse()?,
        })
    }
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut book = errand.open_book()?;
    let zone = book.view().about().zone.clone();
    let at = errand.past_or_now(arguments.at.as_deref(), "--at", &zone)?;
    let signature = errand.signature(&zone)?;
    let (lot, portions) = promised::act(errand, &mut book, &signature, |act| {
        let lot = act.view().lot(&arguments.lot)?;
        let left = act.view().left_or_refuse(&lot)?;
        refuse_too_much(&lot, left, &arguments.into)?;
        let to = gather::place_or_own(act.view(), &lot, arguments.to.as_deref())?;
        let mut portions = Vec::new();
        for wanted in &arguments.into {
            for _ in 0..wanted.number {
                let note = arguments.note.as_deref();
                portions.push(act.part(&lot, at, wanted.each, &to, (note, arguments.thick))?);
            }
        }
        Ok((lot, portions))
    })?;
    let view = book.view();
    let answers = portions
        .into_iter()
        .map(|portion| gather::answer(view, portion, signature.now))
        .collect::<anyhow::Result<Vec<_>>>()?;
    let units = Units::of(errand.options.us);
    let rest = view.left(&lot)?.map_or_else(
        || format!("nothing is left of {}", lot.code),
        |left| format!("{} are left of {}", units.weighed(left), lot.code),
    );
    if errand.options.json {
        let lots = answers
            .iter()
            .map(|answer| render::json::Pickup::new(answer, &zone))
            .collect();
        errand.print(&render::json::text(&render::json::Pickups { lots })?)?;
        return Ok(Outcome::Done);
    }
    let mut out = String::new();
    if let Some(first) = answers.first() {
        render::lot::portions(&mut out, &answers, units);
        render::lot::block(&mut out, first, Detail::Limit, units, &zone);
        render::words::cautions(&mut out, &first.cautions());
    }
    errand.print(&out)?;
    errand.say(&rest);
    Ok(Outcome::Done)
}

fn refuse_too_much(lot: &LotRecord, left: Milligrams, wanted: &[Portions]) -> Result<(), Problem> {
    let number: u32 = wanted.iter().map(|one| one.number).sum();
    if number > MOST {
        return Err(Problem::new(format!(
            "{number} portions are more than the {MOST} of one act"
        )));
    }
    let all: i64 = wanted
        .iter()
        .map(|one| i64::from(one.number) * one.each.get())
        .sum();
    if all > left.get() {
        return Err(Problem::new(format!(
            "lot `{}` has {} g left: {number} portions of {} g in all are more than that",
            lot.code,
            left.grams(),
            Milligrams::new(all).grams()
        )));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn portions_are_read_and_slips_refused() {
        let eight = Portions {
            number: 8,
            each: Milligrams::new(500_000),
        };
        for text in ["8x500g", "8 × 500 g", " 8X0.5kg"] {
            assert_eq!(text.parse::<Portions>().unwrap(), eight, "{text}");
        }
        for text in [
            "", "8", "x500g", "0x500g", "-1x500g", "8x", "8x500", "201x1g", "1.5x1kg",
        ] {
            assert!(text.parse::<Portions>().is_err(), "{text}");
        }
    }
}
