//! What was done and what it comes to: stock, places and what was told of each lot, added up from the entries.

use super::Bakery;
use super::clock::{self, Judged, Minute, Past, Told, Verdict};

#[derive(Clone, Debug)]
pub enum Done {
    Came {
        lot: usize,
        wet: i64,
        place: usize,
        mash_out: Option<Minute>,
    },
    Told {
        lot: usize,
        told: Told,
    },
    Tested {
        lot: usize,
    },
    Moved {
        lot: usize,
        to: usize,
    },
    Parted {
        from: usize,
        part: usize,
        wet: i64,
        to: usize,
    },
    Treated {
        from: usize,
        product: usize,
        wet: i64,
        out: i64,
        to: usize,
    },
    Joined {
        parts: [(usize, i64); 2],
        into: usize,
        to: usize,
    },
    Counted {
        lot: usize,
        less: i64,
    },
    Gone {
        lot: usize,
        wet: i64,
        /// Whether it went into bread.
        eaten: bool,
    },
    Logged {
        readings: Vec<(Minute, i32)>,
    },
}

impl Done {
    /// The lot that an entry stands on.
    pub fn of(&self) -> Vec<usize> {
        match self {
            Self::Came { .. } | Self::Logged { .. } => Vec::new(),
            Self::Told { lot, .. }
            | Self::Tested { lot }
            | Self::Moved { lot, .. }
            | Self::Counted { lot, .. }
            | Self::Gone { lot, .. } => vec![*lot],
            Self::Parted { from, .. } | Self::Treated { from, .. } => vec![*from],
            Self::Joined { parts, .. } => parts.iter().map(|(lot, _)| *lot).collect(),
        }
    }

    /// The kind that the book has for it.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Came { .. } => "pickup",
            Self::Told {
                told: Told::Read(_),
                ..
            } => "reading",
            Self::Told {
                told: Told::Cooled, ..
            } => "cooled",
            Self::Told { .. } => "spoiled",
            Self::Tested { .. } => "moisture",
            Self::Moved { .. } => "move",
            Self::Parted { .. } => "part",
            Self::Treated { .. } => "treat",
            Self::Joined { .. } => "join",
            Self::Counted { .. } => "count",
            Self::Gone { .. } => "use",
            Self::Logged { .. } => "readings",
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Form {
    Whole,
    Pressed,
    Blended,
}

#[derive(Clone, Debug)]
pub struct Lot {
    pub code: String,
    pub form: Form,
    /// How often water was pressed out of it, which cannot be done for ever.
    pub presses: u32,
    pub left: i64,
    pub place: usize,
    pub pasts: Vec<Past>,
}

pub struct Entry {
    pub number: i64,
    pub at: Minute,
    pub done: Done,
    pub struck: bool,
}

impl Bakery {
    /// Adds all entries in force up again: stock, places and what was told of each lot.
    pub fn fold(&mut self) {
        for lot in &mut self.lots {
            lot.left = 0;
            lot.pasts.clear();
        }
        self.air.clear();
        let Self {
            lots, entries, air, ..
        } = self;
        let put = |lots: &mut Vec<Lot>, from: &[usize], lot: usize, to: usize, at: Minute| {
            let mut pasts: Vec<Past> = Vec::new();
            for mut past in from.iter().flat_map(|from| lots[*from].pasts.clone()) {
                past.told.push((at, Told::Into(to)));
                if !pasts.contains(&past) {
                    pasts.push(past);
                }
            }
            lots[lot].pasts = pasts;
            lots[lot].place = to;
        };
        for entry in entries.iter().filter(|entry| !entry.struck) {
            let at = entry.at;
            match &entry.done {
                Done::Came {
                    lot,
                    wet,
                    place,
                    mash_out,
                } => {
                    lots[*lot].left += wet;
                    lots[*lot].place = *place;
                    let told = vec![(at, Told::Into(*place))];
                    lots[*lot].pasts = vec![Past {
                        mash_out: *mash_out,
                        told,
                    }];
                }
                Done::Told { lot, told } => {
                    for past in &mut lots[*lot].pasts {
                        past.told.push((at, *told));
                    }
                }
                Done::Moved { lot, to } => {
                    lots[*lot].place = *to;
                    for past in &mut lots[*lot].pasts {
                        past.told.push((at, Told::Into(*to)));
                    }
                }
                Done::Parted {
                    from,
                    part,
                    wet,
                    to,
                } => {
                    lots[*from].left -= wet;
                    lots[*part].left += wet;
                    put(lots, &[*from], *part, *to, at);
                }
                Done::Treated {
                    from,
                    product,
                    wet,
                    out,
                    to,
                } => {
                    lots[*from].left -= wet;
                    lots[*product].left += out;
                    put(lots, &[*from], *product, *to, at);
                }
                Done::Joined { parts, into, to } => {
                    for (lot, wet) in parts {
                        lots[*lot].left -= wet;
                        lots[*into].left += wet;
                    }
                    put(lots, &[parts[0].0, parts[1].0], *into, *to, at);
                }
                Done::Counted { lot, less } => lots[*lot].left -= less,
                Done::Gone { lot, wet, .. } => lots[*lot].left -= wet,
                Done::Logged { readings } => air.extend(readings),
                Done::Tested { .. } => {}
            }
        }
        air.sort_unstable();
    }

    pub fn judged(&self, lot: usize, now: Minute) -> Judged {
        clock::judge_all(&self.lots[lot].pasts, self.logged(), now)
    }

    /// Whether the walk of the clock says all of a lot, and not only how good it is at best.
    pub fn is_walked_whole(&self, lot: usize) -> bool {
        let mut pasts = self.lots[lot].pasts.iter();
        !pasts.any(|past| clock::carries_warmth(past, self.logged()))
    }

    const fn logged(&self) -> clock::Logged<'_> {
        clock::Logged {
            readings: self.air.as_slice(),
            of_air: self.of_air,
        }
    }

    /// Lots on hand that are past.
    pub fn pasts(&self) -> Vec<usize> {
        let held = (0..self.lots.len()).filter(|lot| self.lots[*lot].left > 0);
        held.filter(|lot| self.judged(*lot, self.now).verdict == Verdict::Past)
            .collect()
    }

    /// Which of these entries are uses of grain that was past then, by what is known now.
    fn marked(&self, among: &[usize]) -> Vec<usize> {
        let is_marked = |place: &usize| match self.entries[*place] {
            Entry {
                at,
                done: Done::Gone {
                    lot, eaten: true, ..
                },
                struck: false,
                ..
            } => self.judged(lot, at).verdict == Verdict::Past,
            _ => false,
        };
        among.iter().copied().filter(is_marked).collect()
    }

    /// Whether something may be written now: what was past stays so, and bread that is marked stays marked. By a file, which
    /// tells of earlier times, no past lot was good for longer either.
    pub fn may_be_written(&mut self, done: Done) -> bool {
        let is_file = matches!(done, Done::Logged { .. });
        // A file is about all lots; what it says changes nothing of bread of long ago.
        let about = done.of();
        let is_of_it = |lot: &usize| is_file || about.contains(lot);
        let newest = self.entries.len().saturating_sub(200)..self.entries.len();
        let newest: Vec<usize> = newest
            .filter(|place| self.entries[*place].done.of().iter().any(is_of_it))
            .collect();
        let marked = self.marked(&newest);
        let held = (0..self.lots.len()).filter(|lot| self.lots[*lot].left > 0);
        let pasts: Vec<(usize, Option<i64>)> = held
            .filter(is_of_it)
            .map(|lot| (lot, self.judged(lot, self.now)))
            .filter(|(_, was)| was.verdict == Verdict::Past)
            .map(|(lot, was)| (lot, was.until))
            .collect();
        self.entries.push(Entry {
            number: 0,
            at: self.now,
            done,
            struck: false,
        });
        self.fold();
        let is_still_past = |(lot, until): &(usize, Option<i64>)| {
            let is = self.judged(*lot, self.now);
            is.verdict == Verdict::Past && (!is_file || is.until <= *until)
        };
        let allowed = self.marked(&marked) == marked && pasts.iter().all(is_still_past);
        self.entries.pop();
        self.fold();
        allowed
    }
}
