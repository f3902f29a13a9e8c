//! `correct`: puts right what is wrong in an entry; both stay in the log.

use super::dough_temperatures::DoughTemperatureArguments;
use super::{Outcome, typed};
use crate::context::Errand;
use crate::desk::{CameOut, Correct, Correction};
use crate::error::usage;
use crate::grain::{Ending, Form, Grist, PanReadings, Weighing};
use crate::quantity::fraction::Percent;
use crate::quantity::{
    Instant, Milligrams, Temperature, WaterActivity, WetBasis, Zone, bounds, when,
};
use crate::render;
use crate::render::lot::Detail;
use chrono::NaiveDate;

/// Correct a wrong entry: a right one takes its place, both stay
///
/// Say only what is wrong; the rest stays. Codes stay as they are. Everything after it is judged again: you are
/// told where grain that was used turns out to have been past its date. An entry that should not be there at all
/// is struck: draff strike.
#[derive(clap::Args)]
#[command(
    after_help = "Example: draff correct 12 --mash-out 06:30 --reason \"brewer's sheet says 06:30\"\n\nPickups, moves of whole lots, uses, gifts, discards, counts, treatments, portions, joins, probes, moisture tests and done bakes can be corrected. To change how much grain went into a bake, correct its `use` entry; grain that was left out is added with draff use LOT --wet MASS --for BAKE. If you change the time of a bake, or which bake was done, its grain moves with it. The time of a count cannot be corrected: strike it and count again with --at. Of a treatment its masses, its time, how warm it was, its place and its note can be corrected, of a portion, a part that was moved (move --wet) or a part of a join its mass, its time, its place and its note; the lot that was made keeps its code. All parts of a join go to the same place. If a portion or a part was of the wrong lot, strike it and weigh it out again: its code names that lot's brewery and brew day. Other entries: draff strike ENTRY, then write them again with --at."
)]
pub struct Arguments {
    /// The entry's number, as the answer said it or `draff log` shows it
    #[arg(value_name = "ENTRY")]
    entry: i64,

    /// Why it was wrong
    #[arg(long, value_name = "TEXT", value_parser = typed::words)]
    reason: String,

    /// The lot it is really about
    #[arg(long, value_name = "LOT")]
    lot: Option<String>,

    /// When it happened; of a pickup, when it was fetched, of a done bake when it was mixed. A time typed without a day means the day of the entry
    #[arg(long, value_name = "WHEN")]
    at: Option<String>,

    /// The brew day. Mash-out and the statement that it was cold move by as many days; their clock times stay
    #[arg(long, value_name = "DATE")]
    brewed: Option<String>,

    /// When mashing (or steeping) was over, or `unknown`; a time typed without a day means the brew day
    #[arg(long, value_name = "WHEN")]
    mash_out: Option<String>,

    /// The wet mass; of a count what was found, of a treatment what went in
    #[arg(long, visible_alias = "wet-in", value_name = "MASS", value_parser = typed::mass_found, allow_hyphen_values = true)]
    wet: Option<Milligrams>,

    /// Of a count: nothing was there
    #[arg(long, conflicts_with = "wet")]
    nothing: bool,

    /// Temperature of the grain, of a probe or at the pickup; how warm it was in a treatment
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true)]
    temp: Option<Temperature>,

    /// The water activity of dried grain, 0 to 1
    #[arg(long, value_name = "NUMBER", value_parser = typed::value::<WaterActivity>, allow_hyphen_values = true)]
    aw: Option<WaterActivity>,

    /// A laboratory's moisture, wet basis
    #[arg(long, value_name = "PERCENT", value_parser = typed::value::<Percent>, allow_hyphen_values = true)]
    lab: Option<Percent>,

    /// A sample of a moisture test; type all its samples
    #[arg(long, value_name = "PAN,WET[,DRY…]", value_parser = typed::value::<PanReadings>, allow_hyphen_values = true)]
    weighing: Vec<PanReadings>,

    /// Second stage of the sample at the same position; type all of them
    #[arg(long, value_name = "PAN,WET,DRY", value_parser = typed::value::<Weighing>, allow_hyphen_values = true)]
    stage2: Vec<Weighing>,

    /// The brewery, or your own brewhouse
    #[arg(long, value_name = "NAME", value_parser = typed::name)]
    source: Option<String>,

    /// This really is a new source, though its name is almost that of another
    #[arg(long, requires = "source")]
    new_source: bool,

    /// What was mashed
    #[arg(long, value_name = "GRIST", value_parser = typed::value::<Grist>)]
    grist: Option<Grist>,

    /// whole, pressed, blended, dried or milled
    #[arg(long, value_name = "FORM", value_parser = typed::value::<Form>)]
    form: Option<Form>,

    /// How grain ended that was thrown away: feed, compost, waste
    #[arg(long = "as", value_name = "ENDING", value_parser = typed::value::<Ending>)]
    ending: Option<Ending>,

    /// Where it was put or went
    #[arg(long, value_name = "PLACE")]
    place: Option<String>,

    /// To whom a gift went
    #[arg(long, value_name = "NAME", conflicts_with = "note", value_parser = typed::name)]
    to: Option<String>,

    /// The note, the reason, what it went into, or whose word it is; "" takes a note away
    #[arg(long, value_name = "TEXT", value_parser = typed::words_or_nothing)]
    note: Option<String>,

    #[command(flatten)]
    of_treatment: OfTreatment,

    #[command(flatten)]
    of_bake: OfBake,

    #[command(flatten)]
    temperatures: DoughTemperatureArguments,
}

/// Heading of the options about a treatment.
const TREATMENTS: &str = "Treatments";

#[derive(clap::Args)]
struct OfTreatment {
    /// What came out and is kept
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true, help_heading = TREATMENTS)]
    wet_out: Option<Milligrams>,

    /// Water that was added; 0 for none
    #[arg(long, value_name = "MASS", value_parser = typed::mass_or_nothing, allow_hyphen_values = true, help_heading = TREATMENTS)]
    water_added: Option<Milligrams>,

    /// Of what came out, what stayed in the machine or was spilt; 0 for nothing
    #[arg(long, value_name = "MASS", value_parser = typed::mass_or_nothing, allow_hyphen_values = true, help_heading = TREATMENTS)]
    left_behind: Option<Milligrams>,

    /// Dry grain lost in the pressed-out water; 0 for none
    #[arg(long, value_name = "MASS", value_parser = typed::mass_or_nothing, allow_hyphen_values = true, help_heading = TREATMENTS)]
    dry_loss: Option<Milligrams>,

    /// How many minutes it took; 0 if that and the temperature are not known
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(0..=20_160), help_heading = TREATMENTS)]
    minutes: Option<u32>,
}

/// Heading of the options about a done bake.
const DONE_BAKES: &str = "Done bakes";

#[derive(clap::Args)]
struct OfBake {
    /// The bake that was really done. The one that was named is open again; its grain and all else that was recorded go along
    #[arg(long, value_name = "BAKE", help_heading = DONE_BAKES)]
    bake: Option<String>,

    /// With --bake, wet grain that went into that bake, of each lot [default: the grain that goes along]
    #[arg(long, value_name = "LOT=MASS", value_parser = typed::used, requires = "bake", help_heading = DONE_BAKES)]
    used: Vec<(String, Milligrams)>,

    /// What the sheet that you worked by said to pour first and to hold back, such as 626g,438g
    #[arg(long, value_name = "POUR,HOLD", value_parser = typed::pour_and_hold, allow_hyphen_values = true, help_heading = DONE_BAKES)]
    said: Option<(Milligrams, Milligrams)>,

    /// All the water that went into the final dough, or into the earlier stage that takes the grain: poured and added, without
    /// that of a sponge beside it
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true, help_heading = DONE_BAKES)]
    water: Option<Milligrams>,

    /// Pieces that came out of the oven
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(0..=100_000), help_heading = DONE_BAKES)]
    pieces: Option<u32>,

    /// What they weighed in all, baked and cooled
    #[arg(long, value_name = "MASS", value_parser = typed::value::<Milligrams>, allow_hyphen_values = true, help_heading = DONE_BAKES)]
    baked: Option<Milligrams>,

    /// The dough when mixing ended: corrects the mixing heat that was learned of it
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = DONE_BAKES)]
    dough_temp: Option<Temperature>,

    /// The water that went in: the mixing heat is learned anew. If you typed --tap, --room or others with `bake done`, type
    /// them again
    #[arg(long, value_name = "TEMPERATURE", value_parser = typed::value::<Temperature>, allow_hyphen_values = true, help_heading = DONE_BAKES)]
    water_temp: Option<Temperature>,

    /// How it came out: well, fair or poor
    #[arg(long, value_name = "WORD", value_parser = typed::value::<CameOut>, help_heading = DONE_BAKES)]
    came_out: Option<CameOut>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let mut desk = errand.desk()?;
    let old = desk.entry(arguments.entry)?.answer;
    let zone = desk.zone().clone();
    let brewed = arguments
        .brewed
        .as_deref()
        .map(|typed| when::date(typed, desk.now(), &zone))
        .transpose()
        .map_err(usage)?;
    let at = arguments
        .at
        .as_deref()
        .map(|typed| moment(typed, "--at", Some(zone.date(old.at)), errand, &zone))
        .transpose()?;
    let mash_out = match arguments.mash_out.as_deref() {
        None => None,
        Some("unknown") => Some(None),
        Some(typed) => {
            // The day may be another than that of the code by now.
            let brewed_on = match (brewed, old.lot) {
                (None, Some(code)) => {
                    let of = desk.lot(&code.to_string())?.answer.lot;
                    Some(of.brewed_on(&zone))
                }
                (brewed, _) => brewed,
            };
            Some(Some(moment(typed, "--mash-out", brewed_on, errand, &zone)?))
        }
    };
    let lab = arguments
        .lab
        .map(|lab| WetBasis::new(lab.within(&bounds::MOISTURE)?))
        .transpose()
        .map_err(usage)?;
    let grist = arguments.grist.as_ref().map(ToString::to_string);
    let answer = desk.correct(&Correct {
        entry: arguments.entry,
        reason: &arguments.reason,
        right: Correction {
            lot: arguments.lot.as_deref(),
            at,
            brewed_on: brewed,
            mash_out,
            wet: arguments
                .wet
                .or(arguments.nothing.then_some(Milligrams::ZERO)),
            wet_out: arguments.of_treatment.wet_out,
            water_added: arguments.of_treatment.water_added,
            left_behind: arguments.of_treatment.left_behind,
            dry_loss: arguments.of_treatment.dry_loss,
            minutes: arguments.of_treatment.minutes,
            temp: arguments.temp,
            activity: arguments.aw,
            weighing: &arguments.weighing,
            stage2: &arguments.stage2,
            lab,
            source: arguments.source.as_deref(),
            is_new_source: arguments.new_source,
            grist: grist.as_deref(),
            form: arguments.form,
            place: arguments.place.as_deref(),
            to: arguments.to.as_deref(),
            note: arguments.note.as_deref(),
            ending: arguments.ending,
            bake: arguments.of_bake.bake.as_deref(),
            used: &arguments.of_bake.used,
            said: arguments.of_bake.said,
            water: arguments.of_bake.water,
            pieces: arguments.of_bake.pieces,
            baked: arguments.of_bake.baked,
            dough_temp: arguments.of_bake.dough_temp,
            water_temp: arguments.of_bake.water_temp,
            temperatures: arguments.temperatures.given(None),
            came_out: arguments.of_bake.came_out,
        },
    })?;
    let (units, now) = (errand.units(), desk.now());
    let of_lot = errand.detail(Detail::Limit);
    errand.show_numbered(
        &answer,
        |corrected| render::json::corrections::Corrected::new(corrected, now, &zone),
        |corrected| render::put_right::corrected(corrected, of_lot, units, now, &zone),
    )?;
    Ok(Outcome::Done)
}

/// A moment of the past; a bare clock time is meant on this day.
fn moment(
    typed: &str,
    option: &str,
    day: Option<NaiveDate>,
    errand: &Errand<'_>,
    zone: &Zone,
) -> anyhow::Result<Instant> {
    let is_bare_clock = typed.contains(':') && !typed.contains([' ', 'T', '-']);
    match day {
        Some(day) if is_bare_clock => errand.moment(&format!("{day} {typed}"), option, zone),
        _ => errand.moment(typed, option, zone),
    }
}
