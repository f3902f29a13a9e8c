//! What a bake came to, beside a sheet that is far from it: a slip is likelier.

use crate::desk::Notice;
use crate::ledger::LotRecord;
use crate::quantity::{Instant, Milligrams, Temperature};
use chrono::Duration;

/// Above so many times what the sheet says, or below one part in so many of it, a slip is likelier. Judgement.
const FAR: f64 = 1.5;
/// No baker ends mixing with a dough outside of these, in °C. Judgement.
const DOUGH: std::ops::RangeInclusive<f64> = 5.0..=45.0;
/// How much earlier or later than planned a bake is hardly mixed: judgement.
const FAR_IN_TIME: Duration = Duration::hours(6);

/// What a bake came to where that is so far from its sheet that it may be a slip: what was said, and what the sheet says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FarFromSheet {
    /// Wet grain, and whether somebody worked by the sheet of the book: of another one only the water is known.
    Grain(Milligrams, Milligrams, bool),
    /// Water; of the sheet, what to pour first and what to hold back.
    Water(Milligrams, (Milligrams, Milligrams)),
    /// Pieces.
    Pieces(u32, u32),
    /// The baked weight, and that of the dough.
    Baked(Milligrams, Milligrams),
    /// The temperature of the dough.
    Dough(Temperature),
    /// When it was mixed, and when it was to be.
    Mixed(Instant, Instant),
}

/// What somebody said that a bake came to; nothing of what was not said.
pub(super) struct CameTo {
    /// Wet grain.
    pub grain: Option<Milligrams>,
    /// Water in the stage of the grain.
    pub water: Option<Milligrams>,
    /// Pieces.
    pub pieces: Option<u32>,
    /// What they weighed.
    pub baked: Option<Milligrams>,
    /// The dough when mixing ended.
    pub dough_temp: Option<Temperature>,
    /// When it was mixed.
    pub mixed_at: Option<Instant>,
}

/// What the sheet says.
pub(super) struct OnSheet {
    /// Wet grain.
    pub grain: Milligrams,
    /// Whether that stands on the sheet of which the water is.
    pub is_of_book: bool,
    /// Water to pour first in the stage of the grain.
    pub pour: Milligrams,
    /// Water to hold back there.
    pub hold: Milligrams,
    /// Pieces.
    pub pieces: u32,
    /// All of the dough.
    pub dough: Milligrams,
    /// When it is mixed.
    pub mix_at: Instant,
}

impl CameTo {
    /// What is far from the sheet. The entries that say it are written later, and named then.
    pub fn far_from(&self, sheet: &OnSheet) -> Vec<Notice> {
        let is_far = |said: f64, sheet: f64| said > sheet * FAR || said * FAR < sheet;
        let masses = |said: Milligrams, sheet: Milligrams| is_far(said.grams(), sheet.grams());
        let mut far = Vec::new();
        if let Some(used) = self.grain
            && masses(used, sheet.grain)
        {
            far.push(FarFromSheet::Grain(used, sheet.grain, sheet.is_of_book));
        }
        let all = Milligrams::new(sheet.pour.get() + sheet.hold.get());
        if let Some(water) = self.water
            && (water.grams() > all.grams() * FAR || water.grams() * FAR < sheet.pour.grams())
        {
            far.push(FarFromSheet::Water(water, (sheet.pour, sheet.hold)));
        }
        if let Some(pieces) = self.pieces
            && is_far(f64::from(pieces), f64::from(sheet.pieces))
        {
            far.push(FarFromSheet::Pieces(pieces, sheet.pieces));
        }
        // Fewer pieces may have been weighed, so a low weight is far only where all were.
        if let Some(baked) = self.baked
            && (baked > sheet.dough
                || (self.pieces.is_none_or(|pieces| pieces >= sheet.pieces)
                    && masses(baked, sheet.dough)))
        {
            far.push(FarFromSheet::Baked(baked, sheet.dough));
        }
        if let Some(dough) = self.dough_temp
            && !DOUGH.contains(&dough.degrees_celsius())
        {
            far.push(FarFromSheet::Dough(dough));
        }
        if let Some(at) = self.mixed_at
            && (at - sheet.mix_at).abs() > FAR_IN_TIME
        {
            far.push(FarFromSheet::Mixed(at, sheet.mix_at));
        }
        far.into_iter()
            .map(|far| Notice::FarFromSheet(far, Vec::new()))
            .collect()
    }
}

/// Names the entries that say what is far from a sheet or of another one, or what teaches nothing: those that took the grain of each lot, and the
/// one by which the bake is done.
pub(super) fn name_entries(
    told: &mut [Notice],
    draws: &[(LotRecord, Milligrams)],
    grain: &[i64],
    done: i64,
) {
    for notice in told {
        match notice {
            Notice::OtherGrain(other) => {
                for (lot, entry) in &mut other.booked {
                    let mut all = draws.iter().zip(grain);
                    let drawn = all.find(|((drawn, _), _)| drawn.code == *lot);
                    *entry = drawn.map_or(done, |(_, draw)| *draw);
                }
            }
            Notice::FarFromSheet(FarFromSheet::Grain(..), entries) => *entries = grain.to_vec(),
            Notice::FarFromSheet(_, entries) => *entries = vec![done],
            Notice::MixingHeatNotLearned(_, entry) => *entry = done,
            Notice::OtherSheet(other) => other.entry = done,
            _ => {}
        }
    }
}
