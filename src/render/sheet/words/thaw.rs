//! What a sheet says of frozen grain: when it goes into the freezer and comes out, and what then becomes of the water.

use super::{WaterWords, Words};
use crate::dough::temperature::Refusal;
use crate::quantity::Instant;
use crate::render::words::capital;
use crate::render::{place, water_temperature};
use crate::report::sheet::StillTo;

impl Words<'_> {
    /// What goes into the freezer as planned, and what comes out of it, and by when: what comes out at one time together.
    pub fn thaw(&self) -> Vec<String> {
        let mut times: Vec<((Instant, Instant), Vec<&str>)> = Vec::new();
        for draw in &self.answer.draws {
            let (Some(by), Some(latest)) = (draw.thaw_by, draw.thaw_latest) else {
                continue;
            };
            match times.iter_mut().find(|(known, _)| *known == (by, latest)) {
                Some((_, lots)) => lots.push(&draw.lot),
                None => times.push(((by, latest), vec![&draw.lot])),
            }
        }
        let goes_in_at = self.answer.stage_at(self.answer.formula.grain.stage);
        let line = |((by, latest), lots): ((Instant, Instant), Vec<&str>)| {
            let (names, now) = (lots.join(", "), self.answer.printed_at);
            if latest < now {
                let moves: Vec<String> = lots
                    .iter()
                    .map(|lot| place::was_moved(lot, self.answer.fridge.as_deref()))
                    .collect();
                return format!(
                    "STOP: the book still has {names} in the freezer. If you take it out now, it is not thawed by {}: draff plan plans again. If it was taken out before, type {}",
                    self.when(goes_in_at),
                    moves.join("; ")
                );
            }
            if by < now {
                return format!(
                    "THAW NOW: take {names} out of the freezer. It was to come out by {}; it is thawed in time if it comes out by {}",
                    self.when(by),
                    self.when(latest)
                );
            }
            format!("THAW: take {names} out of the freezer by {}", self.when(by))
        };
        let mut lines = self.freeze();
        lines.extend(times.into_iter().map(line));
        let only_frozen = self.answer.draws.iter().filter(|draw| draw.only_frozen);
        lines.extend(only_frozen.map(|draw| {
            format!(
                "DO NOT THAW {}: no day is left of it then. It goes in straight from the freezer, or not at all: draff sheet {} --frozen says if any water is warm enough",
                draw.lot, self.answer.bake
            )
        }));
        lines
    }

    /// What is still to be frozen for the bake.
    fn freeze(&self) -> Vec<String> {
        let draws = self.answer.draws.iter();
        let to_freeze = draws.filter_map(|draw| match draw.still_to? {
            StillTo::Freeze(by) => Some((&draw.lot, by)),
            _ => None,
        });
        let line = |(lot, by): (&String, Instant)| {
            let (bake, when) = (&self.answer.bake, self.when(by));
            let first = if by < self.answer.printed_at {
                format!(
                    "FREEZE NOW: put a bag of {lot} for {bake} into the freezer. It was to be frozen by {when}; it still helps"
                )
            } else {
                format!(
                    "FREEZE: put a bag of {lot} for {bake} into the freezer by {when}, as planned"
                )
            };
            format!("{first}. If it is not frozen in time, do not use {lot}")
        };
        to_freeze.map(line).collect()
    }

    /// Frozen grain is thawed and measured before there is any water to tell.
    pub(super) fn thaw_first(&self, refusal: &Refusal) -> WaterWords {
        let mut ways_out = water_temperature::ways_out(refusal, self.scale());
        // The line of its lot says when it comes out.
        if !self.thaw().is_empty() {
            ways_out.remove(0);
        }
        let ways_out: String = ways_out
            .iter()
            .map(|way| format!(" {}.", capital(way)))
            .collect();
        let given = self.answer.given.iter().filter_map(|(field, temperature)| {
            let temperature = self.typed((*temperature)?);
            Some(format!(" --{} {temperature}", field.replace('_', "-")))
        });
        WaterWords {
            large: None,
            text: format!(
                "not yet: thaw the grain first.{ways_out} Measure the thawed grain, then type"
            ),
            command: Some(format!(
                "draff sheet {}{} --grain-temp TEMPERATURE",
                self.answer.bake,
                given.collect::<String>()
            )),
        }
    }
}
