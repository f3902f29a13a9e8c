//! How much wet grain to take at the next pickup.

use crate::desk::facts::FactFinder;
use crate::desk::plan_facts::{self, PlanOf};
use crate::desk::{Answer, Desk, Progress, Refusal, Watch};
use crate::grain::{Earlier, Estimate, Form, Grist, Kind, Within, estimate};
use crate::keeping::{Event, History, PlaceKind, What};
use crate::ledger::LotRecord;
use crate::planning::problem::Lot;
use crate::planning::{Situation, fetch, grain_colour};
use crate::quantity::{Instant, Milligrams};
use crate::report::fetch::FetchAnswer;
use chrono::{Days, NaiveTime};

/// A pickup that is to come.
#[derive(Debug, Clone, Copy)]
pub struct FetchOf<'a> {
    /// The brewery; nothing for where the last lot came from.
    pub from: Option<&'a str>,
    /// When it is fetched; nothing where nobody said it, so that noon of tomorrow is taken.
    pub at: Option<Instant>,
    /// When mashing is over; nothing for when it is fetched.
    pub mash_out: Option<Instant>,
    /// Days to look at, today counted.
    pub days: u32,
    /// The chance of each optional bake to happen.
    pub chance: f64,
    /// How many samples.
    pub samples: u32,
    /// Which samples.
    pub seed: u64,
}

impl Desk {
    /// Works out how much to take. The book is free for others while the search goes on.
    pub fn fetch(
        &self,
        request: FetchOf<'_>,
        watch: &mut dyn Watch,
    ) -> anyhow::Result<Answer<FetchAnswer>> {
        let view = self.view();
        let (at, mash_out) = self.times(&request)?;
        let still = view.hold_still()?;
        let ground = plan_facts::find(
            view,
            self.now,
            PlanOf {
                days: request.days,
                careful: false,
                reopen: false,
            },
        )?;
        if at > ground.situation.end {
            return Err(Refusal::PickupAfterTheDays(request.days).into());
        }
        if let Some(from) = request.from {
            view.refuse_unknown_source(from)?;
        }
        let like = view.latest_arrival(request.from)?;
        let moisture = match &like {
            Some(like) => FactFinder::new(view)?.estimate_of_next(like)?,
            None => estimate::estimate(
                &[],
                Earlier::default(),
                Form::Whole,
                Kind::Mashed,
                &Within::default(),
            ),
        };
        // A search takes seconds, and others may write meanwhile.
        drop(still);
        let lot = to_fetch(&ground.situation, (at, mash_out), like.as_ref(), &moisture);
        let search = fetch::Request {
            situation: &ground.situation,
            lot: lot.clone(),
            at,
            chance: request.chance,
            samples: request.samples as usize,
            seed: request.seed,
        };
        let found = fetch::work_out(&search, &mut |best| {
            watch.goes_on(Progress::Fetch {
                samples: search.samples,
                best,
            })
        })
        .ok_or(Refusal::StoppedTooEarly)?;
        let answer = FetchAnswer {
            fetch: found,
            source_is_ours: request.from.is_none(),
            at_is_ours: request.at.is_none(),
            mash_out_is_ours: request.mash_out.is_none(),
            at,
            mash_out,
            like,
            lot,
            moisture,
            chance: request.chance,
            samples: request.samples,
            seed: request.seed,
            ground,
        };
        let cautions = answer.cautions();
        Ok(Answer::new(answer, cautions))
    }

    /// When the grain is fetched and when its mash is over.
    fn times(&self, request: &FetchOf<'_>) -> anyhow::Result<(Instant, Instant)> {
        let at = match request.at {
            Some(at) => at,
            None => {
                let noon = NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default();
                let tomorrow = self.zone().date(self.now) + Days::new(1);
                self.zone().resolve(tomorrow.and_time(noon))?
            }
        };
        if at < self.now {
            return Err(Refusal::PickupIsPast(at).into());
        }
        let mash_out = request.mash_out.unwrap_or(at);
        if mash_out > at {
            return Err(Refusal::MashOutAfterPickup { mash_out, at }.into());
        }
        Ok((at, mash_out))
    }
}

/// The lot to be fetched: like the last one of its source, cooled in time and put where such grain goes.
fn to_fetch(
    situation: &Situation,
    (at, mash_out): (Instant, Instant),
    like: Option<&LotRecord>,
    moisture: &Estimate,
) -> Lot {
    let grist: Option<Grist> = like
        .and_then(|like| like.grist.as_deref())
        .and_then(|text| text.parse().ok());
    let form = like.map_or(Form::Whole, |like| like.form);
    // Where no fridge is cold enough, nothing is kept cold.
    let (place_kind, stated) = if form.is_dry() || !situation.capacity.has_fridge {
        let kind = PlaceKind::Ambient;
        (kind, kind.usual_temperature())
    } else {
        (PlaceKind::Fridge, situation.capacity.fridge_at)
    };
    let placed = Event {
        at,
        what: What::Placed {
            kind: place_kind,
            stated,
        },
    };
    // Cold by the end of the first stage: that is within what the rules ask of either.
    let cooled = Event {
        at: mash_out + situation.rules.cooling.first_within,
        what: What::Cooled,
    };
    Lot {
        code: "to be fetched".to_owned(),
        wet: Milligrams::ZERO,
        moisture: moisture.moisture,
        histories: vec![History {
            mash_out: Some(mash_out),
            arrived_dried: form.is_dry(),
            events: vec![placed, cooled],
        }],
        conditions: Vec::new(),
        form,
        colour: grist.as_ref().map(grain_colour::colour),
        grist,
        place: String::new(),
        place_kind,
        thaw_lead: situation.capacity.thaw_lead,
    }
}
