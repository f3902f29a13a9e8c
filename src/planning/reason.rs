//! Why a bake lacks grain or is not baked: the condition that binds.

use super::problem::{Capacity, Lot, Situation};
use super::round::Rounded;
use super::windows::{Fit, State, Unfit, Windows, into_fridge, then, verdict_at};
use crate::dough::formula::Colour;
use crate::grain::Form;
use crate::quantity::{Instant, Milligrams};

/// The condition that binds.
#[derive(Debug, Clone, PartialEq)]
pub enum Reason {
    /// No lot is in date at the time of mixing.
    NothingInDate,
    /// What is in date has other colours, or none that is known.
    OtherColours(Vec<Option<Colour>>),
    /// What is in date has other forms.
    OtherForms(Vec<Form>),
    /// The lots named for it are past by then, or nothing is left of them.
    NamedLots,
    /// What is in date may hold a cereal that the bake must not have.
    MayHold(Vec<String>),
    /// All that fits is less than the least.
    TooLittle {
        /// Dry grain of all that fits.
        all: Milligrams,
        /// The bakes that get some of it.
        others: Vec<usize>,
        /// Whether they get all that can be weighed out of it.
        is_gone: bool,
    },
    /// What fits is so wet that the dough takes no more of it.
    TooWet,
    /// The bake may be made of so many lots, and even the largest that fit hold less than its minimum.
    TooFewLots(usize),
    /// What fits goes into other bakes.
    OtherBakes(Vec<usize>),
    /// What is left over would do, but would have to be frozen until then, and the freezers have no room for it.
    FreezersFull,
    /// What is left over would do, but would have to be dried, and the dryer has no time for it.
    DryerFull,
    /// What fits was not taken out of the freezer in time; taken out now it is thawed then.
    NotThawed(Instant),
    /// What fits would have to be thawed, and no fridge is cold enough for it.
    NoFridge,
    /// What fits is left over in amounts too small to weigh out.
    Handling,
}

impl Reason {
    /// The word for it in files.
    pub const fn as_key(&self) -> &'static str {
        match self {
            Self::NothingInDate => "nothing-in-date",
            Self::OtherColours(_) => "other-colours",
            Self::OtherForms(_) => "other-forms",
            Self::NamedLots => "named-lots",
            Self::MayHold(_) => "may-hold",
            Self::TooLittle { .. } => "too-little",
            Self::TooWet => "too-wet",
            Self::TooFewLots(_) => "too-few-lots",
            Self::OtherBakes(_) => "other-bakes",
            Self::FreezersFull => "freezers-full",
            Self::DryerFull => "dryer-full",
            Self::NotThawed(_) => "not-thawed",
            Self::NoFridge => "no-fridge",
            Self::Handling => "handling",
        }
    }
}

/// Finds why a bake lacks grain.
pub fn reason(situation: &Situation, windows: &Windows, rounded: &Rounded, bake: usize) -> Reason {
    let wanted = &situation.bakes[bake];
    let fits: Vec<usize> = (0..situation.lots.len())
        .filter(|lot| matches!(windows.lots[*lot].bakes[bake], Fit::Fits { .. }))
        .collect();
    let dry = |lot: usize| situation.lots[lot].dry(situation.lots[lot].wet, situation.careful);
    if fits.is_empty() {
        return without_a_lot(situation, windows, bake);
    }
    let mut amounts: Vec<i64> = fits.iter().map(|lot| dry(*lot).get()).collect();
    let all: i64 = amounts.iter().sum();
    let mut others: Vec<usize> = rounded
        .draws
        .iter()
        .filter(|draw| draw.bake != bake && fits.contains(&draw.lot))
        .map(|draw| draw.bake)
        .collect();
    others.sort_unstable();
    others.dedup();
    let portion = situation.capacity.portion.get();
    let left_over: Vec<usize> = fits
        .iter()
        .copied()
        .filter(|lot| left_over(situation, rounded, *lot) >= portion)
        .filter(|lot| {
            // A block that is out for another bake is past for this one, or this one would leave it past.
            let window = &windows.lots[*lot];
            let mut mine = rounded.draws.iter().filter(|draw| draw.lot == *lot);
            !mine.any(|draw| window.serves_one_only(draw.bake, bake))
        })
        .collect();
    if all < wanted.lowest.get() {
        let gets_none = rounded.draws.iter().all(|draw| draw.bake != bake);
        return Reason::TooLittle {
            all: Milligrams::new(all),
            others,
            is_gone: gets_none && left_over.is_empty(),
        };
    }
    if is_too_wet(situation, windows, &fits, bake) {
        return Reason::TooWet;
    }
    amounts.sort_unstable_by(|one, other| other.cmp(one));
    if let Some(most) = wanted.most_lots
        && amounts.iter().take(most).sum::<i64>() < wanted.lowest.get()
    {
        return Reason::TooFewLots(most);
    }
    if left_over.is_empty() && !others.is_empty() {
        return Reason::OtherBakes(others);
    }
    // All that is left over would have to be brought into this state first.
    let needs = |state: State| {
        let needs = |lot: &usize| {
            let window = &windows.lots[*lot];
            let fit = &window.bakes[bake];
            fit.allows(state) && !fit.allows(State::AsItLies) && !window.frozen
        };
        !left_over.is_empty() && left_over.iter().all(needs)
    };
    let would_do = || would_do(situation, rounded, &left_over, bake);
    if situation.capacity.freezer.is_some() && needs(State::Thawed) && would_do() {
        Reason::FreezersFull
    } else if needs(State::Dried) && would_do() {
        Reason::DryerFull
    } else if !others.is_empty() {
        Reason::OtherBakes(others)
    } else if wanted.most_lots.is_some() && wanted.water.is_some() && would_do() {
        // Blended with drier lots it would not be.
        Reason::TooWet
    } else {
        Reason::Handling
    }
}

/// Whether a bake would come to its least with what it has and what is left over of these lots, of no more lots than it may be
/// made of.
fn would_do(situation: &Situation, rounded: &Rounded, lots: &[usize], bake: usize) -> bool {
    let wanted = &situation.bakes[bake];
    let could_have = |(index, lot): (usize, &Lot)| {
        let mine = rounded.draws.iter();
        let mine = mine.filter(|draw| draw.bake == bake && draw.lot == index);
        let mut wet: i64 = mine.map(|draw| draw.wet.get()).sum();
        if lots.contains(&index) {
            wet += left_over(situation, rounded, index);
        }
        lot.dry(Milligrams::new(wet), situation.careful).get()
    };
    let all = situation.lots.iter().enumerate();
    let mut amounts: Vec<i64> = all.map(could_have).collect();
    amounts.sort_unstable_by(|one, other| other.cmp(one));
    let most = wanted.most_lots.unwrap_or(amounts.len());
    amounts.iter().take(most).sum::<i64>() >= wanted.lowest.get()
}

/// Whether even the driest of the lots that fit bring more water with the least of a bake than its dough takes.
fn is_too_wet(situation: &Situation, windows: &Windows, fits: &[usize], bake: usize) -> bool {
    let wanted = &situation.bakes[bake];
    let Some(room) = wanted.water else {
        return false;
    };
    let mut parts: Vec<(f64, f64)> = fits
        .iter()
        .map(|index| {
            let lot = &situation.lots[*index];
            let fraction = if windows.lots[*index].bakes[bake].allows(State::Dried) {
                1.0 - situation.capacity.dried_moisture
            } else {
                lot.dry_fraction(false)
            };
            let dry = lot.dry(lot.wet, false).get() as f64;
            (room.water(fraction.recip(), 1.0), dry)
        })
        .collect();
    parts.sort_unstable_by(|one, other| one.0.total_cmp(&other.0));
    let (mut lacks, mut water) = (wanted.lowest.get() as f64, 0.0);
    for (per_dry, dry) in parts {
        let taken = dry.min(lacks);
        lacks -= taken;
        water += taken * per_dry;
    }
    water > room.most.get() as f64
}

/// When a lot that suits a bake would be thawed if it were taken out of the freezer now, where that is after the bake weighs
/// it out and it is good then.
pub fn thawed_too_late(
    situation: &Situation,
    windows: &Windows,
    (lot, bake): (usize, usize),
) -> Option<Instant> {
    let (window, lot) = (&windows.lots[lot], &situation.lots[lot]);
    let thawed = situation.now + lot.thaw_lead;
    let is_late = thawed > situation.bakes[bake].grain_at;
    let has_fridge = situation.capacity.has_fridge;
    if !has_fridge || !window.frozen || window.bakes[bake] != Fit::Unfit(Unfit::Date) || !is_late {
        return None;
    }
    let taken_out = then(&lot.histories, situation.now, into_fridge(situation));
    verdict_at(situation, &taken_out, thawed)
        .may_be_used()
        .then_some(thawed)
}

/// Whether a lot would go into a bake once it is thawed, if there were a fridge to thaw it in.
pub fn lacks_fridge(situation: &Situation, (lot, bake): (usize, usize)) -> bool {
    if situation.capacity.has_fridge {
        return false;
    }
    let with_fridge = Situation {
        lots: vec![situation.lots[lot].clone()],
        bakes: vec![situation.bakes[bake].clone()],
        promised: Vec::new(),
        capacity: Capacity {
            has_fridge: true,
            ..situation.capacity.clone()
        },
        ..situation.clone()
    };
    Windows::of(&with_fridge).lots[0].bakes[0].allows(State::Thawed)
}

/// Whether a lot that goes into no bake would be frozen, if freezers had room for it.
pub fn lacks_room(situation: &Situation, lot: usize) -> bool {
    let with_room = Situation {
        lots: vec![situation.lots[lot].clone()],
        bakes: Vec::new(),
        promised: Vec::new(),
        capacity: Capacity {
            has_freezer: true,
            freezer: None,
            ..situation.capacity.clone()
        },
        ..situation.clone()
    };
    Windows::of(&with_room).may_freeze()
}

/// What no bake takes of a lot, wet.
fn left_over(situation: &Situation, rounded: &Rounded, lot: usize) -> i64 {
    let mine = rounded.draws.iter().filter(|draw| draw.lot == lot);
    situation.lots[lot].wet.get() - mine.map(|draw| draw.wet.get()).sum::<i64>()
}

/// No lot fits: what those in date lack.
fn without_a_lot(situation: &Situation, windows: &Windows, bake: usize) -> Reason {
    let wanted = &situation.bakes[bake];
    let late = (0..situation.lots.len())
        .filter_map(|lot| thawed_too_late(situation, windows, (lot, bake)));
    if let Some(thawed) = late.min() {
        return Reason::NotThawed(thawed);
    }
    if (0..situation.lots.len()).any(|lot| lacks_fridge(situation, (lot, bake))) {
        return Reason::NoFridge;
    }
    // In date for this bake, were it not for its wishes: some bake without wishes could have it.
    let in_date: Vec<usize> = (0..situation.lots.len())
        .filter(|lot| {
            let plain = super::problem::Bake {
                form: None,
                colour: None,
                free_of: Vec::new(),
                only_of: Vec::new(),
                ..wanted.clone()
            };
            let asked = super::problem::Situation {
                bakes: vec![plain],
                lots: vec![situation.lots[*lot].clone()],
                ..situation.clone()
            };
            let window = Windows::of(&asked);
            State::ALL
                .iter()
                .any(|state| window.lots[0].bakes[0].allows(*state))
        })
        .collect();
    if in_date.is_empty() {
        return Reason::NothingInDate;
    }
    if !wanted.only_of.is_empty() {
        return Reason::NamedLots;
    }
    let why = |lot: usize| match windows.lots[lot].bakes[bake] {
        Fit::Unfit(why) => Some(why),
        Fit::Fits { .. } => None,
    };
    let those = |unfit: Unfit| {
        in_date
            .iter()
            .copied()
            .filter(move |lot| why(*lot) == Some(unfit))
    };
    if those(Unfit::Cereal).next().is_some() {
        return Reason::MayHold(wanted.free_of.clone());
    }
    if those(Unfit::Colour).next().is_some() {
        let mut colours: Vec<_> = those(Unfit::Colour)
            .map(|lot| situation.lots[lot].colour)
            .collect();
        colours.sort_by_key(|colour| colour.map_or("", Colour::as_str));
        colours.dedup();
        return Reason::OtherColours(colours);
    }
    let mut forms: Vec<Form> = in_date
        .iter()
        .map(|lot| situation.lots[*lot].form)
        .collect();
    forms.sort_by_key(|form| form.as_str());
    forms.dedup();
    Reason::OtherForms(forms)
}
