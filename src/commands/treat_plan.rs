//! `treat --plan`: what drying or pressing to a moisture takes, of a lot or of grain with no book at all.

use super::{Outcome, gather, typed};
use crate::context::Errand;
use crate::error::usage;
use crate::grain::{Step, drying};
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, Temperature, Uncertain, WetBasis, bounds};
use crate::render::{self, numbers::Units};
use crate::report::treat_plan::{Heat, PlanAnswer, Warm};

/// How warm grain is dried where nothing is said: 60 °C, as Santos et al. 2003 dried it for 18 h.
const USUAL: Temperature = Temperature::celsius(60);

/// What is asked.
pub struct Asked {
    /// Dry or press.
    pub step: Step,
    /// The moisture to come to.
    pub to: Percent,
    /// A lot's code.
    pub lot: Option<String>,
    /// The moisture, where there is no lot.
    pub moisture: Option<Percent>,
    /// How much.
    pub wet_in: Option<Milligrams>,
    /// How warm.
    pub temp: Option<Temperature>,
    /// How long.
    pub minutes: Option<u32>,
}

/// Grain that is planned for.
struct Grain {
    lot: Option<String>,
    wet: Milligrams,
    moisture: Uncertain,
    from: &'static str,
    warm: Option<Warm>,
}

pub fn run(asked: Asked, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    if !matches!(asked.step, Step::Dry | Step::Press) {
        return Err(usage(
            Problem::new(format!("there is no plan for the step {}", asked.step))
                .hint("--plan dry or --plan press"),
        ));
    }
    let temp = match (asked.step, asked.temp) {
        (Step::Dry, None) => Some(USUAL),
        (_, temp) => temp,
    };
    if asked.step == Step::Dry && temp.is_some_and(|temp| temp.degrees_celsius() <= 0.0) {
        return Err(usage(
            Problem::new("at or below 0 °C water freezes and does not dry off")
                .hint("--temp 60C is usual"),
        ));
    }
    let to = WetBasis::new(asked.to.within(&bounds::MOISTURE).map_err(usage)?)?;
    let grain = match &asked.lot {
        Some(code) => of_lot(code, &asked, temp, errand)?,
        None => of_nothing(&asked)?,
    };
    let removal = drying::removal(grain.wet.mass(), &grain.moisture, to)?;
    let answer = PlanAnswer {
        step: asked.step,
        heat: temp
            .filter(|_| asked.step == Step::Dry)
            .map(|temp| Heat::new(&removal, temp)),
        lot: grain.lot,
        wet: grain.wet,
        moisture: grain.moisture,
        from: grain.from,
        to,
        removal,
        warm: grain.warm,
    };
    let text = if errand.options.json {
        render::json::text(&render::json::treat_plan::Plan::from(&answer))?
    } else {
        render::treat_plan::text(&answer, Units::of(errand.options.us))
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

fn of_lot(
    code: &str,
    asked: &Asked,
    temp: Option<Temperature>,
    errand: &mut Errand<'_>,
) -> anyhow::Result<Grain> {
    let book = errand.open_book()?;
    let view = book.view();
    let about = view.about();
    let now = errand.now(&about.zone)?;
    let lot = view.lot(code)?;
    asked.step.form(lot.form)?;
    let left = view.left_or_refuse(&lot)?;
    if asked.wet_in.is_some_and(|wet| wet > left) {
        return Err(Problem::new(format!("lot `{}` has {} g left", lot.code, left.grams())).into());
    }
    let answer = gather::answer(view, lot, now)?;
    Ok(Grain {
        lot: Some(answer.lot.code.to_string()),
        wet: asked.wet_in.unwrap_or(left),
        moisture: answer.estimate.moisture,
        from: answer.estimate.from.as_key(),
        warm: Some(Warm::new(answer.keeping, &about.rules, temp, asked.minutes)),
    })
}

fn of_nothing(asked: &Asked) -> anyhow::Result<Grain> {
    let (Some(moisture), Some(wet)) = (asked.moisture, asked.wet_in) else {
        return Err(usage(
            Problem::new("without a lot the grain is not known")
                .hint("name a lot, or give --wet-in MASS and --moisture PERCENT"),
        ));
    };
    let (moisture, from) = typed::moisture(moisture, None).map_err(usage)?;
    Ok(Grain {
        lot: None,
        wet,
        moisture,
        from,
        warm: None,
    })
}
