//! `fetch`: how much wet grain to take at the next pickup.

use super::gather::Gatherer;
use super::plan_ground::{self, Asked};
use super::{Outcome, typed};
use crate::context::{Errand, Vigil};
use crate::error::usage;
use crate::grain::{Estimate, Form, Grist, Kind, estimate};
use crate::keeping::{Event, History, PlaceKind, What};
use crate::ledger::{LotRecord, View};
use crate::planning::problem::Lot;
use crate::planning::{Situation, classes, fetch};
use crate::quantity::fraction::Percent;
use crate::quantity::when;
use crate::quantity::{Instant, Milligrams, Problem, Zone, bounds};
use crate::render::{self, numbers::Units};
use crate::report::fetch::FetchAnswer;
use chrono::{Days, NaiveTime};

/// Reckon how much wet grain to take at the next pickup
///
/// What the bakes want, what is on hand and how long it keeps, how moist the next lot may be and which
/// optional bakes happen: the amount that comes out best on average over samples of all that.
#[derive(clap::Args)]
#[command(
    after_help = "Example: draff fetch --from \"Alder Lane\" --at \"sat 12:00\"\n\nA seed gives the same samples each time; another seed shows how much the answer hangs on them."
)]
pub struct Arguments {
    /// The brewery, or your own brewhouse [default: where the last lot came from]
    #[arg(long, value_name = "SOURCE", value_parser = typed::name)]
    from: Option<String>,

    /// When it is fetched [default: tomorrow at noon]
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// When mashing is over [default: when it is fetched]
    #[arg(long, value_name = "WHEN")]
    mash_out: Option<String>,

    /// Days to look at, today counted
    #[arg(long, value_name = "NUMBER", default_value_t = 14, value_parser = clap::value_parser!(u32).range(1..=60))]
    days: u32,

    /// The chance of each optional bake to happen
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, default_value = "50%", allow_hyphen_values = true)]
    chance: Percent,

    /// How many samples
    #[arg(long, value_name = "NUMBER", default_value_t = 200, value_parser = clap::value_parser!(u32).range(20..=5000))]
    samples: u32,

    /// Which samples
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let chance = arguments
        .chance
        .within(&bounds::CHANCE)
        .map_err(|problem| usage(problem.within("--chance")))?;
    let book = errand.open_book()?;
    let view = book.view();
    let zone = &view.about().zone;
    let now = errand.now(zone)?;
    let times = Times::of(&arguments, now, zone)?;
    let asked = Asked {
        days: arguments.days,
        careful: false,
        reopen: false,
    };
    let still = view.hold_still()?;
    let ground = plan_ground::gather(view, now, asked)?;
    if times.at > ground.situation.end {
        return Err(Problem::new(format!(
            "the pickup is after the {} days that are looked at",
            arguments.days
        ))
        .hint("--days NUMBER looks further ahead")
        .into());
    }
    let like = like(view, arguments.from.as_deref())?;
    let moisture = match &like {
        Some(like) => Gatherer::new(view)?.estimate_of_next(like)?,
        None => estimate::estimate(&[], &[], Form::Whole, Kind::Mashed),
    };
    // A search takes seconds, and others may write meanwhile.
    drop(still);
    let lot = to_fetch(&ground.situation, &times, like.as_ref(), &moisture);
    let request = fetch::Request {
        situation: &ground.situation,
        lot: lot.clone(),
        at: times.at,
        chance,
        samples: arguments.samples as usize,
        seed: arguments.seed,
    };
    let Some(found) = reckoned(&request, errand) else {
        return Err(Problem::new("stopped before any amount was looked at").into());
    };
    let answer = FetchAnswer {
        fetch: found,
        source_is_ours: arguments.from.is_none(),
        at_is_ours: arguments.at.is_none(),
        mash_out_is_ours: arguments.mash_out.is_none(),
        at: times.at,
        mash_out: times.mash_out,
        like,
        lot,
        moisture,
        chance,
        samples: arguments.samples,
        seed: arguments.seed,
        ground,
    };
    let text = if errand.options.json {
        render::json::text(&render::json::fetch::Fetch::new(&answer, zone))?
    } else {
        render::fetch::text(&answer, Units::of(errand.options.us), zone)
    };
    errand.print(&text)?;
    Ok(Outcome::Done)
}

fn reckoned(request: &fetch::Request<'_>, errand: &mut Errand<'_>) -> Option<fetch::Fetch> {
    let units = Units::of(errand.options.us);
    let mut vigil = Vigil::begin();
    fetch::reckon(request, &mut |best| {
        if let Some(seconds) = vigil.to_say() {
            let so_far = best.map_or(String::new(), |wet| {
                format!("; about {} so far, Ctrl-C takes that", units.weighed(wet))
            });
            errand.say(&format!(
                "weighing up amounts for {seconds} s, {} samples of each{so_far}",
                request.samples
            ));
        }
        !vigil.is_ended()
    })
}

/// When the grain is fetched and when its mash is over.
struct Times {
    at: Instant,
    mash_out: Instant,
}

impl Times {
    fn of(arguments: &Arguments, now: Instant, zone: &Zone) -> anyhow::Result<Self> {
        let typed = |option: &'static str, typed: &str| {
            when::coming(typed, now, zone).map_err(|problem| usage(problem.within(option)))
        };
        let at = match &arguments.at {
            Some(at) => typed("--at", at)?,
            None => {
                let noon = NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default();
                zone.resolve((zone.date(now) + Days::new(1)).and_time(noon))?
            }
        };
        if at < now {
            return Err(Problem::new(format!(
                "--at: {} is past: what was fetched is booked in with draff pickup",
                zone.rfc3339(at)
            ))
            .into());
        }
        let mash_out = match &arguments.mash_out {
            Some(mash_out) => typed("--mash-out", mash_out)?,
            None => at,
        };
        if mash_out > at {
            return Err(Problem::new(format!(
                "--mash-out: mashing is over at {}, after the grain is fetched at {}",
                zone.rfc3339(mash_out),
                zone.rfc3339(at)
            ))
            .into());
        }
        Ok(Self { at, mash_out })
    }
}

/// The lot that says what to expect of the next one.
fn like(view: View<'_>, from: Option<&str>) -> anyhow::Result<Option<LotRecord>> {
    if let Some(from) = from {
        view.refuse_unknown_source(from)?;
    }
    view.latest_arrival(from)
}

/// The lot to be fetched: like the last one of its source, cooled in time and put where such grain goes.
fn to_fetch(
    situation: &Situation,
    times: &Times,
    like: Option<&LotRecord>,
    moisture: &Estimate,
) -> Lot {
    let grist: Option<Grist> = like
        .and_then(|like| like.grist.as_deref())
        .and_then(|text| text.parse().ok());
    let form = like.map_or(Form::Whole, |like| like.form);
    let (place_kind, stated) = if form.is_dry() {
        let kind = PlaceKind::Ambient;
        (kind, kind.usual_temperature())
    } else {
        (PlaceKind::Fridge, situation.capacity.fridge_at)
    };
    let placed = Event {
        at: times.at,
        what: What::Placed {
            kind: place_kind,
            stated,
        },
    };
    // Cold by the end of the first stage: that is within what the rules ask of either.
    let cooled = Event {
        at: times.mash_out + situation.rules.cooling.first_within,
        what: What::Cooled,
    };
    Lot {
        code: "to be fetched".to_owned(),
        wet: Milligrams::ZERO,
        moisture: moisture.moisture,
        histories: vec![History {
            mash_out: Some(times.mash_out),
            arrived_dried: form.is_dry(),
            events: vec![placed, cooled],
        }],
        form,
        colour: grist.as_ref().map(classes::colour),
        grist,
        place: String::new(),
        place_kind,
    }
}
