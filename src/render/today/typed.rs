//! What to type for what is due.

use super::wrong::lacks_grain;
use crate::dough::bake_code::BakeCode;
use crate::planning::plan::Work;
use crate::quantity::Zone;
use crate::quantity::text::shell_word;
use crate::render::numbers::Units;
use crate::render::{bake, moisture};
use crate::report::today::{Due, DueTask};

/// What to type for it.
pub(super) fn typed(due: &Due, units: Units, zone: &Zone) -> String {
    let command = match &due.task {
        // Its words end with what to type.
        DueTask::Keep { .. } => return String::new(),
        DueTask::WeighAgain { lot, drying, .. } => match drying.as_slice() {
            [dish] => moisture::weigh_on(&lot.to_string(), dish),
            _ => format!("draff moisture {lot} PAN WET DRY g"),
        },
        DueTask::Test { lot, .. } => format!("draff moisture {} PAN WET DRY g", lot.lot.code),
        DueTask::Grain {
            work,
            lot,
            wet,
            block,
            place,
            ..
        } => {
            let wet = units.weighed(*wet).replace(' ', "");
            match (work, place) {
                (Work::Dry, _) => {
                    format!(
                        "draff treat {lot} --step dry --wet-in {wet} --wet-out MASS --minutes NUMBER --temp TEMPERATURE"
                    )
                }
                (_, None) => "draff plan --accept".to_owned(),
                (_, Some(place)) => {
                    let part = match block {
                        Some(_) => String::new(),
                        None => format!(" --wet {wet}"),
                    };
                    format!("draff move {lot}{part} --to {}", shell_word(place))
                }
            }
        }
        DueTask::NotThawed {
            bake,
            plan_knows: true,
            ..
        } => move_or_drop(*bake),
        DueTask::NotThawed { .. } | DueTask::TooLate { .. } => "draff plan --accept".to_owned(),
        DueTask::Bake {
            bake,
            lacks,
            unusable,
            lost,
            short,
            plan_knows,
            made_late,
            ..
        } => {
            let is_short = short.is_some() || lacks_grain(*lacks, unusable, lost);
            let sheet = match plan_knows {
                false if is_short => format!("draff plan --accept, then draff sheet {bake}"),
                true if short.is_some() => move_or_drop(*bake),
                _ => format!("draff sheet {bake}"),
            };
            match made_late {
                Some(late) => bake::mix_later(*bake, late, zone),
                None => sheet,
            }
        }
        DueTask::Overdue {
            bake,
            is_left_out: true,
            ..
        } => format!("draff bake drop {bake}"),
        DueTask::Overdue { bake, .. } => format!("draff bake done {bake}"),
        DueTask::PrintTicket { lot, .. } => format!("draff ticket {}", lot.lot.code),
        DueTask::UseFirst { .. } => return String::new(),
        DueTask::ThrowAway(lot) => {
            format!("draff discard {} --reason past", lot.lot.code)
        }
    };
    format!(": {command}")
}

fn move_or_drop(bake: BakeCode) -> String {
    format!("draff bake change {bake} --at WHEN, or draff bake drop {bake}")
}
