//! One entry of the book: what was booked, what was told of it, and how it is put right.

use super::{bakes, test_weights};
use crate::desk::{CameOut, Correct, Correction, Strike};
use crate::dough::bake_code::BakeCode;
use crate::grain::{Ending, Form as GrainForm, LotCode, is_of_brew_day};
use crate::ledger::{BakeEnd, Detail, EntryKind, EntryRecord};
use crate::quantity::{Milligrams, Problem};
use crate::render::{log, lot as lot_words, times};
use crate::web::answer::Reply;
use crate::web::answer_notes::AnswerNotes;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::route::{Form, Route};
use crate::web::trouble::capital;
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[
    Route::show("/entry/{entry}", show),
    Route::form(
        "/entry/{entry}/strike",
        Form {
            title: |visit| format!("Strike entry {}", visit.part("entry")),
            show: strike_form,
            act: strike_act,
        },
    ),
    Route::form(
        "/entry/{entry}/correct",
        Form {
            title: |visit| format!("Correct entry {}", visit.part("entry")),
            show: correct_form,
            act: correct_act,
        },
    ),
];

fn number(visit: &Visit) -> anyhow::Result<i64> {
    let typed = visit.part("entry");
    typed
        .parse()
        .map_err(|_| Problem::new(format!("`{typed}` is no number of an entry")).into())
}

fn entry(visit: &Visit) -> anyhow::Result<EntryRecord> {
    Ok(visit.desk.entry(number(visit)?)?.answer)
}

fn words(visit: &Visit, entry: &EntryRecord) -> Markup {
    let (units, now, zone) = (visit.units(), visit.now, visit.zone());
    html! {
        p.lead {
            b { (capital(entry.kind.as_str())) } ", " (times::moment(entry.at, now, zone)) ": "
            @if let Some(lot) = entry.lot { a.whole href=(format!("/lot/{lot}")) { (lot) } "; " }
            @if let Some(bake) = entry.bake { a href=(format!("/bake/{bake}")) { (bake) } "; " }
            (log::what(entry, units, now, zone))
        }
    }
}

/// What a strike struck, and what counts again by that.
fn struck_and_back(
    visit: &Visit,
    strike: &EntryRecord,
) -> anyhow::Result<Vec<(&'static str, EntryRecord)>> {
    let Some(number) = strike.strikes else {
        return Ok(Vec::new());
    };
    let struck = visit.desk.entry(number)?.answer;
    let back = match struck.strikes.or(struck.amends) {
        Some(back) => {
            Some(visit.desk.entry(back)?.answer).filter(EntryRecord::says_something_in_force)
        }
        None => None,
    };
    let back = back.map(|back| ("Counts again", back));
    let struck = std::iter::once(("Struck", struck));
    Ok(struck.chain(back).collect())
}

/// That an entry counts no more, with what to look at instead; nothing where it counts.
fn counts_no_more(visit: &Visit, entry: &EntryRecord) -> anyhow::Result<Option<Markup>> {
    if let Some(strike) = entry.struck_by {
        return Ok(Some(html! {
            p { "It is struck already, by " a href=(format!("/entry/{strike}")) { "entry " (strike) } "." }
        }));
    }
    let Some(mut by) = entry.amended_by else {
        return Ok(None);
    };
    while let Some(next) = visit.desk.entry(by)?.answer.amended_by {
        by = next;
    }
    Ok(Some(html! {
        p { "It is corrected already: " a href=(format!("/entry/{by}")) { "entry " (by) } " stands in its place. Take that one instead." }
    }))
}

fn show(visit: &mut Visit) -> anyhow::Result<Reply> {
    let entry = entry(visit)?;
    let of_strike = struck_and_back(visit, &entry)?;
    // A strike that counts, of what is no strike itself.
    let strikes_an_act = entry.struck_by.is_none()
        && of_strike
            .first()
            .is_some_and(|(_, struck)| struck.strikes.is_none());
    let notes = visit.shared.recent_notes.of(visit.asked("act"));
    // The lot that holds the grain afterwards: a part that was moved is one of its own.
    let code = entry.new_lot.or(entry.lot);
    let lot = match code {
        Some(code) => visit.desk.lot(&code.to_string()).ok(),
        None => None,
    };
    let (units, zone) = (visit.units(), visit.zone());
    let body = html! {
        @if notes.is_some() { p.booked role="status" { "Booked." } }
        (words(visit, &entry))
        @for (head, of) in &of_strike {
            p { (head) ": " a href=(format!("/entry/{}", of.entry)) { "entry " (of.entry) } ", " (of.kind.as_str()) "; " (log::what(of, units, visit.now, zone)) }
        }
        (tubs(&entry, notes.as_ref()))
        @if let Some(notes) = &notes { (draw::answer_notes(notes)) }
        @if let Some(lot) = &lot {
            @let lot = &lot.answer;
            h2 { a.whole href=(format!("/lot/{}", lot.lot.code)) { (lot.lot.code) } }
            @if lot.place.is_some() {
                p { (draw::verdict(lot)) " " (capital(&lot_words::keep_until(lot, zone))) ", " (units.weighed(lot.wet)) " left" }
                p.links { a href=(format!("/lot/{}/ticket", lot.lot.code)) { "Ticket for the tub" } a href=(format!("/lot/{}/due.ics", lot.lot.code)) { "What is due, into a calendar" } }
                @if let Some(advice) = &lot.keeping.advice {
                    p.next { a.main href=(super::address_of_advice(lot.lot.code, advice, lot.as_of)) { (capital(&lot_words::advice_to_do(advice, lot.as_of, units, zone))) } }
                }
            } @else {
                p { "Nothing is left of it." }
            }
        }
        p.send { a.main href="/" { "Today" } }
        @if entry.says_something_in_force() {
            p.links {
                a href=(format!("/entry/{}/correct", entry.entry)) { "Correct it" }
                a href=(format!("/entry/{}/strike", entry.entry)) { "Strike it" }
            }
        } @else if strikes_an_act {
            p { a href=(format!("/entry/{}/strike", entry.entry)) { "Strike it" } ": what it struck counts again then." }
        }
    };
    Ok(Reply::Page(draw::page(
        visit,
        &format!("Entry {}", entry.entry),
        &body,
    )))
}

/// The codes of what was made, to write on the tubs. An act that made several lots shows all of them, each with its
/// ticket.
fn tubs(entry: &EntryRecord, notes: Option<&AnswerNotes>) -> Markup {
    let lots = notes.map_or(0, |notes| notes.lots);
    let made: &[LotCode] = notes.map_or(&[], |notes| notes.made.as_slice());
    let is_pickup = entry.kind == EntryKind::Pickup;
    let one = entry.new_lot.or(entry.lot.filter(|_| is_pickup));
    html! {
        @if lots > 1 {
            @if made.is_empty() {
                p { (lots) " lots are booked in. " a href="/shelf" { "The shelf" } " lists them, each leads to its ticket." }
            } @else {
                p { "Write these on the tubs, one on each:" }
                @for code in made {
                    p.tub { (code) }
                    p.links { a href=(format!("/lot/{code}/ticket")) { "Ticket of " span.whole { (code) } } }
                }
            }
        } @else if let Some(code) = one {
            p { "Write this on the tub:" }
            p.tub { (code) }
        }
    }
}

fn strike_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let entry = entry(visit)?;
    if let Some(instead) = counts_no_more(visit, &entry)? {
        return Ok(html! { (words(visit, &entry)) (instead) });
    }
    Ok(html! {
        (words(visit, &entry))
        p { "A struck entry stays in the book and counts no more." }
        (draw::text(visit, "reason", "Why it was wrong", ""))
        (draw::book(visit, "Strike it"))
    })
}

fn strike_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let entry = number(visit)?;
    let Some(reason) = visit.typed.reason("reason", "the reason") else {
        return Err(Faulty.into());
    };
    let answer = visit.desk.strike(&Strike {
        entries: &[entry],
        reason: &reason,
    })?;
    Ok(visit.booked(&answer))
}

fn correct_form(visit: &mut Visit) -> anyhow::Result<Markup> {
    let entry = entry(visit)?;
    if let Some(instead) = counts_no_more(visit, &entry)? {
        return Ok(html! { (words(visit, &entry)) (instead) });
    }
    let is_pickup = matches!(entry.detail, Detail::Arrival(_));
    let is_done_bake = entry.kind == EntryKind::Baked;
    // The grain of a bake goes with it in time, and says nothing more of its own.
    let of_bake = match entry.bake.filter(|_| entry.kind == EntryKind::Use) {
        Some(bake) => done_entry(visit, bake)?,
        None => None,
    };
    let is_of_bake = of_bake.is_some();
    let made_lot = entry.kind.makes_lot();
    let is_treatment = entry.kind == EntryKind::Treat;
    let shown = match &entry.detail {
        Detail::Counted(count) => Some(count.found),
        _ => entry.wet,
    };
    let weight = match entry.kind {
        EntryKind::Treat => "What went in",
        EntryKind::Count => "Weight; 0 if nothing was there",
        _ => "Weight",
    };
    Ok(html! {
        (words(visit, &entry))
        p { "Fill in what is right; what is left empty stays as it is." }
        @if let Some(wet) = shown { (draw::mass(visit, "wet", weight, "", visit.units().weighed_unit(wet))) }
        @if entry.temperature.is_some() || is_pickup { (draw::temperature(visit, "temp", "Temperature")) }
        @if let Some(done) = of_bake {
            p { "When it was: " a href=(format!("/entry/{done}/correct")) { "correct entry " (done) } ", which says it of the whole bake." }
        } @else if entry.kind == EntryKind::Count {
            p { "When it was: strike the count and count again, with the right time." }
        } @else {
            (draw::day_time(visit, "at", "When it was", ("", "")))
        }
        @if let Detail::Test(test, _) = &entry.detail { (test_weights::fields(visit, test)) }
        @if is_treatment { (of_treatment(visit, shown.unwrap_or_default())) }
        @if is_done_bake { (of_done_bake(visit)) }
        @if is_pickup {
            (draw::day_time(visit, "mash_out", "Mashing was over", ("", "")))
            (draw::text(visit, "source", "Brewery", ""))
            (draw::text(visit, "grist", "Grist", ""))
            (draw::choices(visit, "form", "Form", &as_it_is(GrainForm::ALL.map(GrainForm::as_str)), ""))
        } @else if entry.lot.is_some() && !made_lot {
            (draw::text(visit, "lot", "Lot", ""))
        }
        @if entry.place.is_some() { (draw::text(visit, "place", "Place", "")) }
        @if entry.kind == EntryKind::Discard {
            (draw::choices(visit, "ending", "How it ended", &as_it_is(Ending::ALL.map(Ending::as_str)), ""))
        }
        @if (entry.words.is_some() && !is_of_bake) || is_pickup || is_done_bake || made_lot { (draw::text(visit, "note", "Note, reason or name", "")) }
        (draw::text(visit, "reason", "Why it was wrong", ""))
        (draw::book(visit, "Correct it"))
    })
}

/// The entry that says that a bake is done.
fn done_entry(visit: &Visit, bake: BakeCode) -> anyhow::Result<Option<i64>> {
    Ok(match visit.desk.bake(&bake.to_string())?.answer.bake.end {
        Some(BakeEnd::Done(result)) => result.entry,
        _ => None,
    })
}

/// Fields of a treatment beside what went in.
fn of_treatment(visit: &Visit, went_in: Milligrams) -> Markup {
    let unit = visit.units().weighed_unit(went_in);
    html! {
        (draw::mass(visit, "wet_out", "What came out and is kept", "", unit))
        (draw::count(visit, "minutes", "How long it took", "", "min"))
        (draw::temperature(visit, "temp", "How warm it was"))
        (draw::mass(visit, "water_added", "Water that was added; 0 for none", "", unit))
        (draw::mass(visit, "left_behind", "What stayed in the machine or was spilt; 0 for nothing", "", unit))
        (draw::mass(visit, "dry_loss", "Dry grain lost in the pressed-out water; 0 for none", "", "g"))
    }
}

/// Fields of what a bake came to.
fn of_done_bake(visit: &Visit) -> Markup {
    html! {
        (draw::text(visit, "bake", "Bake that was really done", ""))
        @for place in 0..bakes::FREE_LOTS { (bakes::another_lot(visit, place, "g", false)) }
        (draw::count(visit, "pieces", "Pieces out of the oven", "", "pieces"))
        (draw::mass(visit, "water", "All the water into the final dough (or the earlier stage that takes the grain), poured and added", "", "g"))
        (draw::mass(visit, "said_pour", "What the sheet that you worked by said to pour first", "", "g"))
        (draw::mass(visit, "said_hold", "What that sheet said to hold back; 0 for nothing", "", "g"))
        (draw::mass(visit, "baked", "All of them, baked and cooled", "", "kg"))
        (draw::choices(visit, "came_out", "How it came out", &as_it_is(CameOut::ALL.map(CameOut::as_str)), ""))
        (draw::temperature(visit, "dough_temp", "Dough when mixing ended"))
        (draw::temperature(visit, "water_temp", "Water that went in"))
    }
}

/// One of these, or what the entry says.
fn as_it_is<const KINDS: usize>(words: [&'static str; KINDS]) -> Vec<Choice> {
    let as_it_is = Choice::new("", "as it is");
    std::iter::once(as_it_is)
        .chain(words.map(Choice::plain))
        .collect()
}

fn correct_act(visit: &mut Visit) -> anyhow::Result<Done> {
    let old = entry(visit)?;
    let zone = visit.zone().clone();
    let now = visit.now;
    let typed = &mut visit.typed;
    let (weighing, lab) = match &old.detail {
        Detail::Test(test, _) => (
            test_weights::read(typed, test),
            test_weights::laboratory(typed),
        ),
        _ => (Some(Vec::new()), Some(None)),
    };
    let used = bakes::used(typed);
    let reason = typed.reason("reason", "the reason");
    let wet = match old.kind {
        EntryKind::Count => typed.mass_or_nothing_if("wet"),
        _ => typed.mass_if("wet"),
    };
    let temp = typed.temperature_if("temp");
    let at = typed.past_if("at", now, &zone);
    let mash_out = typed.past_if("mash_out", now, &zone);
    let (lot, source, grist) = (
        typed.given("lot"),
        typed.given("source"),
        typed.given("grist"),
    );
    let (bake, place, note) = (
        typed.given("bake"),
        typed.given("place"),
        typed.note_if("note"),
    );
    let (form, ending, came_out) = (
        typed.one_of_if("form", "the form"),
        typed.one_of_if("ending", "the end"),
        typed.one_of_if("came_out", "how it came out"),
    );
    let (Some(wet_out), Some(water_added), Some(left_behind), Some(dry_loss), Some(minutes)) = (
        typed.mass_if("wet_out"),
        typed.mass_or_nothing_if("water_added"),
        typed.mass_or_nothing_if("left_behind"),
        typed.mass_or_nothing_if("dry_loss"),
        typed.count_if("minutes"),
    ) else {
        return Err(Faulty.into());
    };
    let (
        Some(pieces),
        Some(said),
        Some(water),
        Some(baked),
        Some(dough_temp),
        Some(water_temp),
        Some(came_out),
    ) = (
        typed.count_if("pieces"),
        bakes::said(typed),
        typed.mass_if("water"),
        typed.mass_if("baked"),
        typed.temperature_if("dough_temp"),
        typed.temperature_if("water_temp"),
        came_out,
    )
    else {
        return Err(Faulty.into());
    };
    let (
        Some(reason),
        Some(wet),
        Some(temp),
        Some(at),
        Some(mash_out),
        Some(note),
        Some(form),
        Some(ending),
        Some(weighing),
        Some(lab),
    ) = (
        reason, wet, temp, at, mash_out, note, form, ending, weighing, lab,
    )
    else {
        return Err(Faulty.into());
    };
    typed.all_read()?;
    // A mash-out on another day is that of another brew day; the night after it belongs to it.
    let brewed_on = match (mash_out, old.lot) {
        (Some(mash_out), Some(code)) => {
            let of = visit.desk.lot(&code.to_string())?.answer.lot;
            let is_of_it = is_of_brew_day(zone.local(mash_out), of.brewed_on(&zone));
            (!is_of_it).then(|| zone.date(mash_out))
        }
        _ => None,
    };
    let answer = visit.desk.correct(&Correct {
        entry: old.entry,
        right: Correction {
            lot: lot.as_deref(),
            at,
            brewed_on,
            mash_out: mash_out.map(Some),
            wet,
            wet_out,
            water_added,
            left_behind,
            dry_loss,
            minutes,
            temp,
            weighing: &weighing,
            lab,
            source: source.as_deref(),
            grist: grist.as_deref(),
            place: place.as_deref(),
            note: note.as_deref(),
            form,
            ending,
            bake: bake.as_deref(),
            used: &used,
            pieces,
            said,
            water,
            baked,
            dough_temp,
            water_temp,
            came_out,
            ..Correction::default()
        },
        reason: &reason,
    })?;
    Ok(visit.booked(&answer))
}
