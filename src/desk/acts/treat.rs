//! Presses, blends, mills, dries, drains or soaks grain, by the weights before and after.

use super::made_of::makings_of;
use super::{found_since, join, written_twice};
use crate::desk::facts::{self, FactFinder};
use crate::desk::fit_places;
use crate::desk::{Answer, Desk, MissingField, Notice, Refusal, Treated, guard};
use crate::grain::{LotCode, Step, Treatment, drying};
use crate::heat::freezing::LATENT_HEAT;
use crate::keeping::{Advice, PlaceKind, Verdict};
use crate::ledger::{Act, LotRecord, NewTreatment, View};
use crate::quantity::{Instant, Milligrams, Temperature, Uncertain};
use crate::report::{Caution, LotAnswer};
use uom::si::available_energy::kilojoule_per_kilogram;
use uom::si::f64::{AvailableEnergy, Power, Time};
use uom::si::power::kilowatt;
use uom::si::time::minute;

/// A treatment that was done and weighed.
pub struct Treat<'a> {
    /// The lot's code.
    pub lot: &'a str,
    /// What was done.
    pub step: Step,
    /// How much wet grain went in; nothing for all that is left.
    pub wet_in: Option<Milligrams>,
    /// What came out and is kept.
    pub wet_out: Milligrams,
    /// Water that was added.
    pub water_added: Milligrams,
    /// Of what came out, what stayed in the machine or was spilt.
    pub left_behind: Milligrams,
    /// Dry grain lost with the water.
    pub dry_loss: Milligrams,
    /// How many minutes it took and how warm it was.
    pub lasted: Option<(u32, Temperature)>,
    /// Another lot that the product is put to.
    pub into: Option<&'a str>,
    /// Where the product lies; nothing for where the lot is, or for a dry store where it is dried now: nobody puts
    /// warm dry grain back into a fridge.
    pub place: Option<&'a str>,
    /// When it was done and weighed.
    pub at: Instant,
    /// A note.
    pub note: Option<&'a str>,
}

impl Desk {
    /// Books a treatment. What comes out is a lot of its own with the same history.
    pub fn treat(&mut self, request: &Treat<'_>) -> anyhow::Result<Answer<LotAnswer>> {
        let at = request.at;
        let (lot, (told, handled), lacking) = self.act_on_lot(request.lot, |act, lot| {
            let treatment = Treatment {
                step: request.step,
                wet_in: match request.wet_in {
                    Some(wet) => wet,
                    None => act.view().left_or_refuse(&lot)?,
                },
                wet_out: request.wet_out,
                water: request.water_added,
                left: request.left_behind,
                dry_loss: request.dry_loss,
            };
            act.refuse_future(at)?;
            let form = request.step.form(lot.form)?;
            let before = FactFinder::new(act.view())?.estimate(&lot)?;
            treatment
                .refuse_impossible(&before)
                .map_err(Refusal::ImpossibleWeights)?;
            let is_dried = form.is_dry() && !lot.form.is_dry();
            let dry_store = match request.place {
                None if is_dried => fit_places::dry_store(&act.view().places()?, at).cloned(),
                _ => None,
            };
            let to = match dry_store {
                Some(place) => place,
                None => facts::place_or_own(act.view(), &lot, (request.place, at))?,
            };
            refuse_unthawed(act.view(), &lot, request)?;
            let went_in = facts::answer_at(act.view(), lot.clone(), at)?;
            if request.into.is_some() {
                let judged_at = guard::handed_out_at(act, at)?;
                guard::refuse_unusable(&facts::answer_at(act.view(), lot.clone(), judged_at)?)?;
            }
            let handled = went_in.cautions_of_handled(treatment.wet_in);
            let product = act.treat(
                &lot,
                at,
                &NewTreatment {
                    treatment,
                    lasted: request.lasted,
                    to: &to,
                    note: request.note,
                },
            )?;
            let treated = act.view().last_entry()?;
            let done = (treatment, request.lasted);
            let mut told = told(act, done, (&lot, &product), &before.moisture)?;
            told.extend(found_since(act, &product, at)?);
            told.extend(written_twice(act.view(), &[treated])?);
            let Some(into) = request.into else {
                return Ok((product, (told, handled)));
            };
            let lots = [act.view().lot(into)?, product];
            let (joined, better) = join::together(
                act,
                &lots,
                at,
                (request.place, MissingField::Place),
                request.note,
            )
            .map_err(|error| not_put_to(error, lots[1].code, (lot.code, lots[0].code)))?;
            told.extend(better);
            told.push(Notice::PutTo {
                lot: lots[0].code,
                joined: joined.lot.code,
            });
            Ok((joined.lot, (told, handled)))
        })?;
        let dryer = (request.step == Step::Dry).then_some(Caution::Dryer);
        Ok(self
            .lot_after(lot, lacking)?
            .with_cautions(handled)
            .with_cautions(dryer)
            .with_notices(told))
    }
}

/// A refusal of what came out, which is to be put to another lot, said of what went in: nobody knows the code that it would have had.
fn not_put_to(
    error: anyhow::Error,
    product: LotCode,
    (of, into): (LotCode, LotCode),
) -> anyhow::Error {
    let refusal = match error.downcast_ref::<Refusal>() {
        Some(Refusal::Unusable { lot, keeping, .. }) if *lot == product => {
            let limit = keeping.binding.limit.clone();
            Some(Refusal::ProductUnusable(of, into, keeping.verdict, limit))
        }
        _ => None,
    };
    refusal.map_or(error, anyhow::Error::from)
}

/// What is to be told of a treatment, with how long it took and how warm it was; of the lot that it was of, what it made and
/// the moisture of what went in.
pub(super) fn told(
    act: &Act<'_>,
    (treatment, lasted): (Treatment, Option<(u32, Temperature)>),
    (lot, product): (&LotRecord, &LotRecord),
    before: &Uncertain,
) -> anyhow::Result<Vec<Notice>> {
    let stands = facts::answer_at(act.view(), product.clone(), act.now())?.keeping;
    let is_dried = product.form.is_dry() && !lot.form.is_dry();
    let treated = Notice::Treated(Treated {
        treatment,
        of: lot.code,
        product: product.code,
        before: *before,
        after: treatment.moisture(before),
        // Of a treatment that is corrected it may have been measured by now.
        is_to_be_shown_dry: is_dried && stands.verdict == Verdict::Unknown,
        show_dry_by: match stands.advice {
            Some(Advice::MeasureActivity { by }) => by,
            _ => None,
        },
    });
    let minutes = lasted.map(|(minutes, _)| minutes);
    let too_quick = minutes.and_then(|minutes| too_quick(minutes, &treatment, before));
    let dry = treatment.wet_in.mass() * (1.0 - before.value);
    let dry_loss = (treatment.dry_loss.mass() > dry).then_some(Notice::DryLossDoubtful {
        lot: lot.code,
        lost: treatment.dry_loss,
        dry,
    });
    let mut too_wet = None;
    if let (None, Some(wet)) = (&dry_loss, treatment.wetter_than_grain(before)) {
        let mut makings = makings_of(act.view(), lot.code)?.into_iter();
        let made = makings.find(|made| made.new_lot == Some(product.code));
        too_wet = made.map(|made| Notice::WetterThanGrain(treatment, wet, made.entry));
    }
    Ok(std::iter::once(treated)
        .chain(too_quick)
        .chain(dry_loss)
        .chain(too_wet)
        .collect())
}

/// Heat that a large bakery oven brings into what lies in it, and that thaws grain in warm water: judgement.
const MOST_KILOWATTS: (f64, f64) = (40.0, 3.0);

/// What is to be told where nothing brings so much heat into the grain in so many minutes.
fn too_quick(minutes: u32, treatment: &Treatment, before: &Uncertain) -> Option<Notice> {
    let (heat, most) = match treatment.step {
        Step::Dry => (
            drying::least_heat(treatment.water_gone(), 100.0),
            MOST_KILOWATTS.0,
        ),
        Step::ThawDrain => (
            treatment.wet_in.mass()
                * before.value
                * AvailableEnergy::new::<kilojoule_per_kilogram>(LATENT_HEAT),
            MOST_KILOWATTS.1,
        ),
        _ => return None,
    };
    let power = heat / Time::new::<minute>(f64::from(minutes.max(1)));
    (power > Power::new::<kilowatt>(most)).then_some(Notice::TooQuick {
        step: treatment.step,
        minutes: i64::from(minutes),
        power,
    })
}

/// Grain in a freezer takes hours to thaw, and those count.
fn refuse_unthawed(view: View<'_>, lot: &LotRecord, request: &Treat<'_>) -> anyhow::Result<()> {
    let Some((_, place, _)) = view.held(lot, &view.places()?)? else {
        return Ok(());
    };
    let is_frozen = view.place(&place)?.setting_at(request.at).kind == PlaceKind::Freezer;
    if is_frozen && request.lasted.is_none() && request.step != Step::Mill {
        return Err(Refusal::ThawTimeMissing {
            lot: lot.code,
            place,
        }
        .into());
    }
    if is_frozen && request.step == Step::ThawDrain && request.place.is_none() {
        return Err(Refusal::ThawedWhere {
            lot: lot.code,
            place,
        }
        .into());
    }
    Ok(())
}
