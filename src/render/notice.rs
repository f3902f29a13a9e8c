//! What the desk tells beside an answer, in words.

use super::numbers::Units;
use super::{bake, numbers, refusal, source_chart, spoiled_part, times, words};
use crate::desk::{Hindrance, Notice};
use crate::keeping::PlaceKind;
use crate::quantity::Zone;
use crate::quantity::text::{count, shell_word};
use uom::si::power::kilowatt;

mod by_clock;
mod counted;
mod dry_loss;
mod far_from_sheet;
mod free_of;
mod hindrance;
mod less_warm;
mod not_learned;
mod not_thawed;
mod other_grain;
mod other_scale;
mod other_sheet;
mod probed;
mod promised;
mod rest_of_spoiled;
mod taken_before;
mod treated;
mod warm_since;
mod went_along;
mod went_out;
mod wetter_than_grain;

/// A notice in words, without a stop at its end.
pub fn words(notice: &Notice, units: Units, zone: &Zone) -> String {
    match notice {
        Notice::Used {
            wet,
            bake,
            at,
            verdict,
        } => format!(
            "used {} for {bake}, {}, when the lot was {verdict}",
            units.weighed(*wet),
            times::moment(*at, *at, zone)
        ),
        Notice::Given {
            wet,
            to,
            at,
            verdict,
        } => format!(
            "gave {} to {to}, {}, when the lot was {verdict}",
            units.weighed(*wet),
            times::moment(*at, *at, zone)
        ),
        Notice::Discarded(wet, ending, reason, at) => format!(
            "discarded {}{}: {reason}, {}",
            units.weighed(*wet),
            ending.map_or(String::new(), |ending| format!(" as {ending}")),
            times::moment(*at, *at, zone)
        ),
        Notice::AllOfOtherLot(lot, wet, entry) => format!(
            "all of the wrong lot was thrown away, so all of `{lot}` is now: {}, as it was then. If it was less: `draff correct {entry} --wet MASS --reason TEXT`",
            units.weighed(*wet)
        ),
        Notice::UsedWhenUnusable(draw) => went_out::when_unusable(draw, units, zone),
        Notice::Unmarked(draw) => went_out::unmarked(draw, units, zone),
        Notice::JudgedBetter { lot, was, is } => {
            format!("lot `{lot}` was {was} and is {is} now, by this entry")
        }
        Notice::BetterByClock {
            lots,
            was,
            is,
            newest,
            by,
        } => by_clock::words(lots, (*was, *is), (*newest, *by), zone),
        Notice::TicketsUntrue(lots) => {
            let codes: Vec<String> = lots.iter().map(ToString::to_string).collect();
            // A label may be written by hand, of which the book knows nothing.
            let if_any = match codes.len() {
                1 => "if a ticket is on it, print a new one",
                _ => "if tickets are on them, print new ones",
            };
            format!("{if_any}: `draff ticket {}`", codes.join(" "))
        }
        Notice::WarmSince(lot, from, minutes, known) => {
            warm_since::words(*lot, (*from, *minutes), *known, zone)
        }
        Notice::NotFreeOf(bake, found, is_baked) => free_of::holds(*bake, found, *is_baked),
        Notice::NotMarkedAnyMore(bake, gone) => free_of::unmarked(*bake, gone),
        Notice::NoLongerFreeOf(bake, was, is) => free_of::replaced(*bake, was, is),
        Notice::CalledAlmostLike(name, near) => format!(
            "`{name}` is called almost like {}. If they are one: `draff source merge {} --into {}`",
            words::quoted(near),
            shell_word(name),
            shell_word(&near[0])
        ),
        Notice::CalledOtherwiseNow(name, now) => {
            format!("source `{name}` is called `{now}` now: its rows were booked under that name")
        }
        Notice::BakeStruck(bake) => format!(
            "to write the bake down again with what is right: `{}`",
            bake::done_command(bake, zone)
        ),
        Notice::UndoneBy(entry) => format!("`draff strike {entry} --reason …` undoes it"),
        Notice::TakenBefore(taken) => taken_before::words(taken, units, zone),
        Notice::AddedToBake(bake) => format!(
            "added to {bake}, which is done: it counts as grain of that bake, from when its dough was mixed"
        ),
        Notice::TakenByBake(taken, again) => taken_before::by_bake(taken, again, units, zone),
        Notice::WrittenTwice { entries, earlier } => format!(
            "entry {earlier} says the same: if it was typed twice, `draff strike {} --reason \"typed twice\"`",
            numbers_of(entries)
        ),
        Notice::DriedOn(lot, earlier, entry) => format!(
            "entry {earlier} has the same pan and wet weight: taken as the same dish, dried on, so entry {entry} takes its place. If it is another dish: `draff strike {entry} --reason \"another dish\"`, then `draff moisture {lot} PAN WET DRY g --new-dish`"
        ),
        Notice::SameSample(earlier, entry) => format!(
            "entries {earlier} and {entry} have a sample of the same pan and wet weight, and both count: if it is one sample typed twice, `draff strike {entry} --reason \"typed twice\"`; if it was dried on, strike {earlier}"
        ),
        Notice::Measured { temperature, at } => format!(
            "measured {}, {}",
            units.temperature(*temperature),
            times::moment(*at, *at, zone)
        ),
        Notice::CooledFast {
            temperature,
            minutes,
            entry,
        } => format!(
            "{} {minutes} min after mash-out: no tub cools that fast. If the number or its unit is wrong, `draff correct {entry} --temp TEMPERATURE --reason TEXT`",
            units.temperature(*temperature)
        ),
        Notice::CountsFromMashOut {
            temperature,
            hot,
            mash_out,
        } => format!(
            "{} is below {}: the time to cool counts from mash-out, {}, and not from the pickup",
            units.temperature(*temperature),
            units.limit(*hot),
            times::moment(*mash_out, *mash_out, zone)
        ),
        Notice::ReasonNamesSpoilage(lot, verdict) => rest_of_spoiled::words(*lot, *verdict),
        Notice::PartSpoiled(lot, part) => {
            spoiled_part::words(&lot.to_string(), *part, part.at, zone)
        }
        Notice::AwaitsFile(lot, probe) => probed::awaits_file(*lot, *probe, units, zone),
        Notice::ProbeOverruled(lot, probe, verdict) => {
            probed::overruled(*lot, *probe, *verdict, units, zone)
        }
        Notice::WordInWarmth(lot, word) => probed::word_in_warmth(*lot, *word, units, zone),
        Notice::LessWarm { lot, was, is } => less_warm::words(*lot, *was, *is),
        Notice::UnlikelyWeight(wet, entry) => format!(
            "{} is an unusual weight for a lot. If the number or its unit is wrong, `draff correct {entry} --wet MASS --reason TEXT`",
            units.weighed(*wet)
        ),
        Notice::OtherGrain(other) => other_grain::words(other, units),
        Notice::FarFromSheet(far, entries) => far_from_sheet::words(far, entries, units, zone),
        Notice::OtherSheet(other) => other_sheet::words(other, units, zone),
        Notice::WarmerThen { entry, temperature } => format!(
            "{} was measured at the same minute: the warmer one counts. Measure again in a minute; if it was a slip, `draff strike {entry} --reason \"slip\"`",
            units.temperature(*temperature)
        ),
        Notice::OddMoisture(odd) => format!(
            "test `{}` again, from another place of the tub: {} is outside {} to {}, the limits of the last {} tested lots of its source",
            odd.lot,
            numbers::percent(odd.moisture),
            numbers::percent(odd.limits.0),
            numbers::percent(odd.limits.1),
            odd.lots
        ),
        Notice::SourceDrifts(drift) => format!(
            "test {}: {} is drifting, {}",
            words::quoted(&drift.untested),
            drift.source,
            source_chart::drift(drift.signal, drift.middle)
        ),
        Notice::CountsAsThawed { place, limit } => format!(
            "above {} in {place}: it counts as thawed from then on, and its days run. If it lies elsewhere, `draff move` says where",
            units.limit(*limit)
        ),
        Notice::PlaceTooWarm {
            place,
            kind,
            stated,
            limit,
        } => format!(
            "{place} is stated at {}, above the {} of a {kind}: grain in it counts as {}",
            units.temperature(*stated),
            units.limit(*limit),
            if *kind == PlaceKind::Freezer {
                "thawed"
            } else {
                "warm"
            }
        ),
        Notice::CountsAgainInstead(entry) => format!(
            "entry {entry} counts again, which the struck one had corrected. If it is wrong too: `draff strike {entry} --reason TEXT`"
        ),
        Notice::WentOutBefore(draw) => went_out::before(draw, units, zone),
        Notice::OfTheSameGrain { lot, others } => went_out::kin(*lot, others),
        Notice::FreezerNotFrozen {
            place,
            warm,
            readings,
            limit,
        } => format!(
            "{warm} of {readings} readings are above {}: what lay in {place} counts as thawed then. Is it the file of another place?",
            units.limit(*limit)
        ),
        Notice::WarmRowsLeftOut(warmest) => format!(
            "rows that --from and --to leave out go up to {}: no lot is judged by them, and the time between the readings around them, if there are any on both sides, counts as not measured. Read the whole file in, unless the logger was elsewhere then",
            units.temperature(*warmest)
        ),
        Notice::OtherScale {
            entry,
            place,
            scale,
        } => other_scale::words(*entry, place, *scale),
        Notice::SameReadingsElsewhere(place) => format!(
            "the same readings are in the book for {place}: strike one of the two files if its place is wrong"
        ),
        Notice::ReadAs(asked, read) => format!("`{asked}` is read as {read}"),
        Notice::NoGristNames(word) => format!(
            "no grist of these lots names {word}: only lots whose grist does not say may hold it"
        ),
        Notice::SameBake { bake, earlier } => format!(
            "{earlier} is the same, at the same time: if it was typed twice, `draff bake drop {bake}`"
        ),
        Notice::LeftToEarlierBakes(bakes) => {
            let bakes: Vec<String> = bakes.iter().map(ToString::to_string).collect();
            format!(
                "what {} take{} by then is left to {}",
                bakes.join(" and "),
                if bakes.len() == 1 { "s" } else { "" },
                if bakes.len() == 1 { "it" } else { "them" }
            )
        }
        Notice::LeftOutByPlan { bake, left } => promised::left_out(*bake, left, units),
        Notice::LikeLast {
            lot,
            grist: Some(grist),
        } => format!("filled in from {lot}: check its grist, it carries the allergens: {grist}"),
        Notice::LikeLast { lot, grist: None } => format!("filled in from {lot}"),
        Notice::ReadTwice { rows, entries } => format!(
            "{} of {rows} rows are in the book already, with the same source, brew day, mash-out and weight. If the file was read twice, `draff strike {} --reason \"read twice\"`",
            entries.len(),
            numbers_of(entries)
        ),
        Notice::RowsAlike(entries) => format!(
            "the file says the same again in {}; each row is booked as a tub of its own. If there was no such tub, `draff strike {} --reason \"typed twice\"`",
            count(entries.len(), "row"),
            numbers_of(entries)
        ),
        Notice::UnusableByNow {
            lot,
            verdict,
            limit,
        } => format!(
            "lot `{lot}` is {verdict} by now: {}. When this grain left it, it might still be used; no more of it may",
            units.in_words(limit)
        ),
        Notice::PastByLateMove(out) => {
            let (strike_it, move_it) = refusal::out_for_a_while(out, zone);
            format!(
                "lot `{}` is past by this move. If it was out only for a while: `{strike_it}`, then `{move_it}`",
                out.lot
            )
        }
        Notice::PromisedGrainGone { lot, bakes } => promised::gone(lot, bakes, units),
        Notice::PromisedGrainLost(lost) => promised::lost(lost, units, zone),
        Notice::MustBeThawed { lot, wet, bake, by } => format!(
            "{bake} takes {} of lot `{lot}`, which lies in a freezer now: take it out by {}",
            units.weighed(*wet),
            times::moment(*by, *by, zone)
        ),
        Notice::StillFrozen {
            lot,
            fridge,
            strike_first,
        } => not_thawed::words(*lot, fridge.as_deref(), *strike_first),
        Notice::PromisesUnreadable(why) => format!(
            "what the accepted plan promised cannot be read: {why}; `draff check` says where"
        ),
        Notice::Treated(lot) => treated::words(lot, units, zone),
        Notice::PutTo { lot, joined } => format!("put to {lot}: together {joined}"),
        Notice::Joined(parts) => {
            let parts: Vec<String> = parts
                .iter()
                .map(|(lot, wet)| format!("{} of {lot}", units.weighed(*wet)))
                .collect();
            format!("joined {}", parts.join(" and "))
        }
        Notice::KeepOldVersion { bakes, version } => {
            let kept: Vec<String> = bakes
                .iter()
                .map(|(bake, version)| format!("{bake} keeps version {version}"))
                .collect();
            let first = bakes
                .first()
                .map_or(String::new(), |(bake, _)| bake.to_string());
            format!(
                "{}: `draff bake change {first} --version {version}` moves it to the new one",
                kept.join(", ")
            )
        }
        Notice::LeftOf(lot, None) => format!("nothing is left of {lot}"),
        Notice::LeftOf(lot, Some(left)) => format!("left of {lot}: {}", units.weighed(*left)),
        Notice::BackInStock(ending) => format!(
            "that grain is back in stock, and what the clock says of the lot holds for it: strike it only if it never left as {}",
            ending.map_or("waste", |ending| ending.as_str())
        ),
        Notice::PlaceOverfull {
            place,
            holds,
            takes,
        } => format!(
            "{place} now holds {}, and takes {}",
            units.weighed(*holds),
            units.weighed(*takes)
        ),
        Notice::OnHandUnusable {
            lot,
            verdict,
            limit,
        } => format!(
            "do not use `{lot}`, which is {verdict} by what is known now: {}; if a ticket is on it, that is not true any more",
            units.in_words(limit)
        ),
        Notice::CountedSince(count) => counted::since(count, units, zone),
        Notice::LaterCountStands(later) => counted::later(*later, units, zone),
        Notice::WentAlong(went) => went_along::words(*went, zone),
        Notice::OnHandAgain(again) => counted::on_hand_again(again, units),
        Notice::UsableApart {
            lot,
            joined,
            was,
            is,
        } => format!(
            "lot `{lot}` is {is} by itself, and {joined}, which holds it, was {was}. If the grain is mixed, write the join down again before anybody uses it"
        ),
        Notice::UsableElsewhere(wet, (from, was), (lot, is)) => format!(
            "{} counts to lot `{lot}` now, which is {is}, and counted to lot `{from}`, which was {was}: check where this grain was before anybody uses it",
            units.weighed(*wet)
        ),
        Notice::PartMoved {
            lot,
            left,
            part,
            moved,
        } => format!(
            "{} moved: its new code is {part}, write it on the bag or tub. The other {} keeps the code {lot}",
            units.weighed(*moved),
            units.weighed(left.unwrap_or_default())
        ),
        Notice::BrewedLongAgo { days, entry } => format!(
            "brewed {days} days before it came. If the day or year is a slip: `draff correct {entry} --brewed DATE --reason \"slip\"`"
        ),
        Notice::TooQuick {
            step,
            minutes,
            power,
        } => format!(
            "to {step} that grain in {minutes} min takes {:.0} kW of heat all the time, more than anything brings into it: is the time right? All time from the freezer or the fridge to the end counts",
            power.get::<kilowatt>()
        ),
        Notice::DryLossDoubtful { lot, lost, dry } => dry_loss::words(*lot, *lost, *dry, units),
        Notice::WetterThanGrain(treatment, wet, entry) => {
            wetter_than_grain::words(treatment, *wet, *entry, units)
        }
        Notice::OnlyLeft(left) => format!("only {} of that lot is left", units.weighed(*left)),
        Notice::LotsFallShort(short) => format!(
            "the lots fall short by {} of dry grain: the weights need more grain than is left",
            units.to_weigh(*short)
        ),
        Notice::WeightsOfWhatIsThere(short) => format!(
            "the lots fall short by {} of dry grain: the weights are for what they hold, with more flour",
            units.to_weigh(*short)
        ),
        Notice::PromisedGrainTaken {
            bake,
            accepted_at,
            at,
            is_reweighed,
            less,
        } => promised::taken(
            (bake, *is_reweighed, *less),
            (*accepted_at, *at),
            units,
            zone,
        ),
        Notice::PromisedGrainNotTaken {
            bake,
            accepted_at,
            at,
            why,
        } => format!(
            "CHANGED since the plan of {}: {}. {bake} takes {} instead. To plan anew: `draff plan --accept`, then make its sheet again",
            times::moment(*accepted_at, *at, zone),
            hindrance::words(why, *at, units, zone),
            match why {
                Hindrance::OtherLotsNamed => "what it names",
                _ => "what suits it and expires first, if there is any",
            }
        ),
        Notice::MixingIsPast(mix_at) => format!(
            "mixing begins at {}, which is past: if it was baked, write down what it came to with `draff bake done`",
            zone.in_words(*mix_at)
        ),
        Notice::FirstStageIsPast(begins_at) => format!(
            "its first stage would have been mixed at {}, which is past",
            zone.in_words(*begins_at)
        ),
        Notice::UnusableByThen(lot, limit) => {
            let limit = units.in_words(limit);
            format!("lot `{lot}` may not go into a dough by then as things stand: {limit}")
        }
        Notice::OtherForm {
            formula,
            wanted,
            lot,
            is,
        } => format!("`{formula}` wants {wanted} grain, and lot `{lot}` is {is}"),
        Notice::MixedNow(mix_at) => format!(
            "it was to be mixed at {}, which is yet to come: written down as mixed now",
            zone.in_words(*mix_at)
        ),
        Notice::NothingMeasured(entry) => format!(
            "no water and no dough temperature recorded: from them the book learns how much your grain drinks and how much mixing warms the dough. Add the water: `draff correct {entry} --water MASS --reason TEXT`"
        ),
        Notice::MixingWarmed(kelvin) => format!(
            "mixing warmed the dough by {}; the next water temperature uses this",
            units.difference(*kelvin)
        ),
        Notice::MixingHeatNotLearned(why, entry) => not_learned::words(why, *entry, units),
    }
}

/// Numbers of entries, one after the other as `strike` takes them.
fn numbers_of(entries: &[i64]) -> String {
    let numbers: Vec<String> = entries.iter().map(ToString::to_string).collect();
    numbers.join(" ")
}
