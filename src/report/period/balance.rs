//! Grain of each source over a period: there before, in, out, there after; wet in whole milligrams, and the dry grain
//! in it.

use crate::ledger::{LotMovement, MadeOfLot, MovementKind};
use crate::quantity::mass;
use std::collections::{BTreeMap, HashMap};
use uom::si::f64::Mass;

/// An amount of grain.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Amount {
    /// Wet, in milligrams.
    pub wet: i64,
    /// Dry grain in it, with the moisture of its lots as known today.
    pub dry: Mass,
}

impl Amount {
    /// Adds grain, wet in milligrams, of which this part is dry.
    pub fn add(&mut self, wet: i64, dry_fraction: f64) {
        self.wet = self.wet.saturating_add(wet);
        self.dry += mass::from_grams(wet as f64 / 1e3) * dry_fraction;
    }

    fn plus(&mut self, other: &Self) {
        self.wet = self.wet.saturating_add(other.wet);
        self.dry += other.dry;
    }
}

/// Grain of one source over a period.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SourceBalance {
    /// Its name; empty for the sum of all.
    pub source: String,
    /// On hand when the period began.
    pub opening: Amount,
    /// What came in or left for good, by its way.
    pub ways: BTreeMap<MovementKind, Amount>,
    /// What lots of this source took over from lots of others, less what they gave over: wet, in milligrams.
    pub from_others: i64,
    /// Dry grain in that, by the moisture of the lots that gave it.
    pub from_others_dry: Mass,
    /// Dry grain that treatments lost, by the moisture of what went in.
    pub treatments_dry: Mass,
    /// On hand when the period ended.
    pub closing: Amount,
    /// Wet grain that went into a freezer, in milligrams.
    pub frozen: i64,
    /// Wet grain that was dried, in milligrams, and what came out.
    pub dried: (i64, i64),
    /// How many lots came in.
    pub lots: usize,
}

impl SourceBalance {
    /// What went one way.
    pub fn way(&self, way: MovementKind) -> Amount {
        self.ways.get(&way).copied().unwrap_or_default()
    }

    /// Everything thrown away, whatever became of it.
    pub fn thrown_away(&self) -> Amount {
        let mut all = Amount::default();
        for way in [
            MovementKind::Feed,
            MovementKind::Compost,
            MovementKind::Waste,
            MovementKind::Discarded,
        ] {
            all.plus(&self.way(way));
        }
        all
    }

    /// All that there was to go anywhere: on hand before, what came in, water that was added, what counts found more,
    /// and what other sources gave over.
    pub fn total_in(&self) -> i64 {
        let found_more = self.way(MovementKind::Missing).wet.min(0).saturating_neg();
        [
            self.way(MovementKind::CameIn).wet,
            self.way(MovementKind::WaterAdded).wet,
            found_more,
            self.from_others.max(0),
        ]
        .into_iter()
        .fold(self.opening.wet, i64::saturating_add)
    }

    /// What treatments lost; negative where more water was added.
    pub fn treatments(&self) -> i64 {
        let added = self.way(MovementKind::WaterAdded).wet;
        self.way(MovementKind::Treatment).wet.saturating_sub(added)
    }

    /// What was there or came and is neither gone nor there: nothing, or the book is damaged.
    pub fn difference(&self) -> i128 {
        let ways: i128 = self
            .ways
            .iter()
            .map(|(way, amount)| {
                let wet = i128::from(amount.wet);
                if way.comes_in() { wet } else { -wet }
            })
            .sum();
        i128::from(self.opening.wet) + i128::from(self.from_others) + ways
            - i128::from(self.closing.wet)
    }

    /// By how much more dry grain is there than what came and went leaves: what was made of lots was tested since, or
    /// came out otherwise than their moisture had it.
    pub fn known_better(&self) -> Mass {
        let came = self.opening.dry + self.way(MovementKind::CameIn).dry + self.from_others_dry;
        let eaten = self.way(MovementKind::Baked).dry + self.way(MovementKind::Given).dry;
        let lost = self.treatments_dry + self.way(MovementKind::Missing).dry;
        self.closing.dry - (came - eaten - self.thrown_away().dry - lost)
    }

    /// The sum of several.
    pub fn sum(all: &[Self]) -> Self {
        let mut sum = Self::default();
        for one in all {
            sum.opening.plus(&one.opening);
            sum.closing.plus(&one.closing);
            for (way, amount) in &one.ways {
                sum.ways.entry(*way).or_default().plus(amount);
            }
            sum.from_others = sum.from_others.saturating_add(one.from_others);
            sum.from_others_dry += one.from_others_dry;
            sum.treatments_dry += one.treatments_dry;
            sum.frozen = sum.frozen.saturating_add(one.frozen);
            sum.dried.0 = sum.dried.0.saturating_add(one.dried.0);
            sum.dried.1 = sum.dried.1.saturating_add(one.dried.1);
            sum.lots += one.lots;
        }
        sum
    }
}

/// What the book says of wet grain from a period on.
#[derive(Debug, Default)]
pub struct Flows {
    /// On hand now, by the lot's number, in milligrams.
    pub stock: Vec<(i64, i64)>,
    /// What came in and what left.
    pub ways: Vec<LotMovement>,
    /// What was made of lots.
    pub made: Vec<MadeOfLot>,
}

/// The source of a lot and the part of its wet grain that is dry.
pub type LotShare = (String, f64);

/// Balances by source, in the order of their names. `lot` is asked about each lot with grain in the period.
pub fn balances(
    flows: &Flows,
    mut lot: impl FnMut(i64) -> anyhow::Result<LotShare>,
) -> anyhow::Result<BTreeMap<String, SourceBalance>> {
    let mut closing: HashMap<i64, i64> = flows.stock.iter().copied().collect();
    let mut change: BTreeMap<i64, i64> = BTreeMap::new();
    let mut book = |lot: i64, wet: i64, is_later: bool| {
        if is_later {
            let left = closing.entry(lot).or_default();
            *left = left.saturating_sub(wet);
        } else {
            let changed = change.entry(lot).or_default();
            *changed = changed.saturating_add(wet);
        }
    };
    for one in &flows.ways {
        let sign = if one.kind.comes_in() { 1 } else { -1 };
        book(one.lot, sign * one.wet, one.is_later);
    }
    for one in &flows.made {
        book(one.of, -one.wet, one.is_later);
        book(one.made, one.wet, one.is_later);
    }
    let mut found: BTreeMap<String, SourceBalance> = BTreeMap::new();
    let mut of =
        |number: i64, add: &mut dyn FnMut(&mut SourceBalance, f64)| -> anyhow::Result<()> {
            let (source, dry) = lot(number)?;
            let balance = found.entry(source.clone()).or_default();
            balance.source = source;
            add(balance, dry);
            Ok(())
        };
    for one in flows.ways.iter().filter(|one| !one.is_later) {
        of(one.lot, &mut |balance, dry| {
            balance.ways.entry(one.kind).or_default().add(one.wet, dry);
            balance.lots += usize::from(one.kind == MovementKind::CameIn);
        })?;
    }
    for one in flows.made.iter().filter(|one| !one.is_later) {
        let mut given = Mass::default();
        of(one.of, &mut |balance, dry| {
            given = mass::from_grams(one.wet as f64 / 1e3) * dry;
            balance.from_others -= one.wet;
            balance.from_others_dry -= given;
        })?;
        of(one.made, &mut |balance, _| {
            balance.from_others += one.wet;
            balance.from_others_dry += given;
        })?;
    }
    let mut numbers: Vec<i64> = closing.keys().chain(change.keys()).copied().collect();
    numbers.sort_unstable();
    numbers.dedup();
    for number in numbers {
        let after = closing.get(&number).copied().unwrap_or_default();
        let before = after.saturating_sub(change.get(&number).copied().unwrap_or_default());
        if (before, after) != (0, 0) {
            of(number, &mut |balance, dry| {
                balance.opening.add(before, dry);
                balance.closing.add(after, dry);
            })?;
        }
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flow(lot: i64, kind: MovementKind, wet: i64, is_later: bool) -> LotMovement {
        LotMovement {
            lot,
            kind,
            wet,
            is_later,
        }
    }

    /// Lot 1 and 2 of one source, 3 of another; half of each is dry.
    fn lot(number: i64) -> anyhow::Result<LotShare> {
        let source = if number == 3 {
            "Mill Brook"
        } else {
            "Alder Lane"
        };
        Ok((source.to_owned(), 0.5))
    }

    /// 1000 and 300 of water come to 1250 by a treatment, and a count finds 20 more.
    #[test]
    fn added_water_comes_in_and_no_loss_is_negative() {
        let flows = Flows {
            stock: vec![(1, 1_270)],
            ways: vec![
                flow(1, MovementKind::CameIn, 1_000, false),
                flow(1, MovementKind::Treatment, 50, false),
                flow(1, MovementKind::WaterAdded, 300, false),
                flow(1, MovementKind::Missing, -20, false),
            ],
            made: Vec::new(),
        };
        let found = balances(&flows, lot).unwrap();
        let alder = &found["Alder Lane"];
        assert_eq!((alder.opening.wet, alder.closing.wet), (0, 1_270));
        assert_eq!(alder.difference(), 0);
        assert_eq!(alder.total_in(), 1_320);
        assert_eq!(alder.treatments(), -250);
    }

    #[test]
    fn what_was_there_and_came_is_what_went_and_is_there() {
        let flows = Flows {
            stock: vec![(2, 700), (3, 1_250)],
            ways: vec![
                flow(2, MovementKind::CameIn, 2_000, false),
                flow(1, MovementKind::Baked, 400, false),
                flow(1, MovementKind::Missing, -10, false),
                flow(2, MovementKind::Waste, 200, true),
                flow(3, MovementKind::CameIn, 1_000, true),
            ],
            // Of lot 2 a part was joined to lot 3, later another to lot 1.
            made: vec![
                MadeOfLot {
                    of: 2,
                    made: 3,
                    wet: 250,
                    is_later: false,
                },
                MadeOfLot {
                    of: 2,
                    made: 1,
                    wet: 850,
                    is_later: true,
                },
                MadeOfLot {
                    of: 1,
                    made: 2,
                    wet: 850,
                    is_later: true,
                },
            ],
        };
        let found = balances(&flows, lot).unwrap();
        let alder = &found["Alder Lane"];
        // Lot 2 holds 900 at the end, lot 1 nothing; the beginning follows.
        assert_eq!(alder.closing.wet, 900);
        assert_eq!(alder.opening.wet, 390 - 850);
        assert_eq!(alder.from_others, -250);
        assert_eq!(found["Mill Brook"].closing.wet, 250);
        assert_eq!(found["Mill Brook"].from_others, 250);
        for one in found.values() {
            assert_eq!(one.difference(), 0, "{one:?}");
        }
        let all: Vec<SourceBalance> = found.into_values().collect();
        let sum = SourceBalance::sum(&all);
        assert_eq!((sum.from_others, sum.difference()), (0, 0));
        assert_eq!(mass::grams(sum.way(MovementKind::Baked).dry), 0.2);
    }
}
