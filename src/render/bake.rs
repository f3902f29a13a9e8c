//! Bakes: a line each, and everything about one.

use super::log::measured_words;
use super::numbers::{self, Units};
use super::{times, timetable, words};
use crate::desk::BakeWrittenDown;
use crate::dough::bake_code::BakeCode;
use crate::dough::timetable::at_night;
use crate::ledger::{BakeEnd, NotFree};
use crate::quantity::text::shell_word;
use crate::quantity::{Instant, Milligrams, Zone};
use crate::report::LotAnswer;
use crate::report::bake::{BakeAnswer, MadeLate};
use crate::report::promise::{LostGrain, OutBefore, PromisedGrain, PromisedTo};

/// Beside a bake on which nobody counts. That somebody does is the usual case and is not said: a firm dough is another thing.
pub(super) const OPTIONAL: &str = "optional: only if grain is left";

/// Of a bake that the accepted plan gives no grain.
pub const LEFT_OUT: &str = "the accepted plan leaves it out";

/// One line for each bake, the next one first.
pub fn list(bakes: &[BakeAnswer], units: Units, now: Instant, zone: &Zone) -> String {
    if bakes.is_empty() {
        return "No bakes are planned. `draff bake add FORMULA --at WHEN ready` plans one.\n"
            .to_owned();
    }
    let mut rows = vec![
        ["BAKE", "MIX", "READY", "PIECES", "FORMULA"]
            .map(str::to_owned)
            .to_vec(),
    ];
    let pieces = bakes.iter().map(|answer| answer.bake.setting.piece.mass());
    let unit = units.unit_of(pieces);
    for answer in bakes {
        let setting = &answer.bake.setting;
        let mut state = match &answer.bake.end {
            Some(end) => format!(", {}", end.as_str()),
            None if answer.is_overdue(now) => ", overdue".to_owned(),
            None if !setting.firm => ", optional".to_owned(),
            None => String::new(),
        };
        if answer.is_left_out {
            state.push_str(&format!(", {LEFT_OUT}"));
        }
        if !answer.lost.is_empty() {
            let grain = match takes_what_it_names(answer) {
                true => "the grain that it names",
                false => "promised grain",
            };
            state.push_str(&format!(", loses {grain}: draff plan"));
        }
        if let Some(found) = answer.bake.not_free() {
            state.push_str(&format!(", {}", holds(&found)));
        }
        rows.push(vec![
            answer.bake.code.to_string(),
            times::moment(answer.needs.timetable.mix_at, now, zone),
            times::moment(answer.needs.timetable.ready_at, now, zone),
            format!(
                "{} × {}",
                setting.pieces,
                units.weighed_among(setting.piece, unit)
            ),
            format!("{}{state}", setting.formula.name),
        ]);
    }
    words::table(&rows, &[false, false, false, false, false]).join("\n") + "\n"
}

/// Everything about one bake.
pub fn block(answer: &BakeAnswer, units: Units, now: Instant, zone: &Zone) -> String {
    let mut out = String::new();
    let setting = &answer.bake.setting;
    let mut line = |label: &str, text: &str| words::labelled(&mut out, label, text);
    line(
        "Bake",
        &format!(
            "{}: {}, version {}, {} × {}{}",
            answer.bake.code,
            setting.formula.name,
            setting.formula.version,
            setting.pieces,
            units.weighed(setting.piece),
            if setting.firm {
                String::new()
            } else {
                format!(", {OPTIONAL}")
            }
        ),
    );
    line("When", &when(answer, now, zone));
    for event in &answer.needs.timetable.events {
        if event.from < answer.needs.timetable.mix_at {
            let what = timetable::task(&answer.needs.formula, event, units);
            let at = times::moment(event.from, now, zone);
            line("Before", &format!("{at}: {what}"));
        }
    }
    if let Some(night) = night(answer, units, zone) {
        line("Night", &night);
    }
    line("Grain", &grain(answer, units));
    if let Some(found) = answer.bake.not_free() {
        line("Warning", &not_free(&found, answer.bake.end.is_some()));
    }
    let is_done = matches!(answer.bake.end, Some(BakeEnd::Done(_)));
    for lot in answer.lots.iter().filter(|_| !is_done) {
        let words = match lot.is_used_up() && answer.bake.end.is_none() {
            true => format!("{}: nothing is left of it", lot.lot.code),
            false => lot_words(lot, now, zone),
        };
        line("Lot", &words);
    }
    if answer.is_left_out {
        line("Plan", LEFT_OUT);
    }
    for promised in promises(answer, units, now, zone) {
        line("Promised", &promised);
    }
    for lost in named_lost(answer, units, now, zone) {
        line("Lost", &lost);
    }
    if !answer.lost.is_empty() {
        // A line above says why.
        line("Lost", "draff plan shows what to use instead");
    }
    if answer.lots.is_empty() && answer.bake.end.is_none() {
        let is_missing = |one: &PromisedGrain| one.missing > Milligrams::ZERO;
        line(
            "Lot",
            if answer.promised.is_empty() || !answer.lost.is_empty() {
                "none named: the sheet takes the suitable lot that expires first"
            } else if answer.promised.iter().any(is_missing) {
                "none named: not all that is promised is there; the sheet says what it takes"
            } else {
                "none named: the sheet takes what is promised"
            },
        );
    }
    if let Some(note) = &setting.note {
        line("Note", note);
    }
    match &answer.bake.end {
        Some(BakeEnd::Dropped { at, reason }) => {
            let why = reason
                .as_ref()
                .map_or(String::new(), |reason| format!(": {reason}"));
            line(
                "Dropped",
                &format!("{}{why}", times::moment(*at, now, zone)),
            );
        }
        Some(BakeEnd::Done(result)) => {
            let by = result
                .by
                .as_ref()
                .map_or(String::new(), |by| format!(", by {by}"));
            line(
                "Mixed",
                &format!("{}{by}", times::moment(result.at, now, zone)),
            );
            let unit = units.unit_of(result.draws.iter().map(|(_, wet)| wet.mass()));
            for (lot, wet) in &result.draws {
                let mut used = format!("{} of {}", units.weighed_among(*wet, unit), lot.code);
                let then = answer.lots.iter().find(|one| one.lot.code == lot.code);
                if let Some(verdict) = then.map(|one| one.keeping.verdict)
                    && !verdict.may_be_used()
                {
                    used.push_str(&format!(", {verdict}: NOT TO BE USED then, as known now"));
                }
                line("Used", &used);
            }
            line("Result", &measured_words(&result.measured, units));
            if let Some(note) = &result.note {
                line("Note", note);
            }
        }
        None if answer.is_overdue(now) => line(
            "Overdue",
            &format!(
                "draff bake done {code} writes down what was baked, draff bake drop {code} that it was not",
                code = answer.bake.code
            ),
        ),
        None => {}
    }
    out
}

/// `mix Sat 28 Nov 01:22, in the oven 06:28, ready 09:13`, with the day where it is another one.
fn when(answer: &BakeAnswer, now: Instant, zone: &Zone) -> String {
    let table = &answer.needs.timetable;
    let day = zone.date(table.mix_at);
    let clock = |at: Instant| {
        if zone.date(at) == day {
            zone.local(at).format("%H:%M").to_string()
        } else {
            times::moment(at, now, zone)
        }
    };
    let mut parts = vec![format!("mix {}", times::moment(table.mix_at, now, zone))];
    parts.extend(
        table
            .in_oven_at
            .map(|at| format!("in the oven {}", clock(at))),
    );
    if table.ready_at > table.mix_at {
        parts.push(format!("ready {}", clock(table.ready_at)));
    }
    parts.join(", ")
}

/// Work with the hands that falls into the night, if any does.
fn night(answer: &BakeAnswer, units: Units, zone: &Zone) -> Option<String> {
    let (from, until) = answer.night?;
    let mut work: Vec<String> = answer
        .needs
        .timetable
        .events
        .iter()
        .filter(|event| at_night(event, answer.night, zone))
        .map(|event| {
            format!(
                "{} {}",
                zone.local(event.from).format("%H:%M"),
                timetable::task(&answer.needs.formula, event, units)
            )
        })
        .collect();
    work.dedup();
    (!work.is_empty()).then(|| {
        format!(
            "work at night ({} to {}): {}",
            from.format("%H:%M"),
            until.format("%H:%M"),
            work.join("; ")
        )
    })
}

/// `wanted 576 g of dry grain (at least 288 g, at most 576 g): 10 % of total flour; only dried grain of pale malt and free of wheat`.
pub fn grain(answer: &BakeAnswer, units: Units) -> String {
    let needs = &answer.needs;
    let unit = units.unit_of([needs.dry_lowest, needs.dry_wanted, needs.dry_highest]);
    let range = if needs.dry_lowest < needs.dry_highest {
        format!(
            " (at least {}, at most {})",
            units.listed(needs.dry_lowest, unit),
            units.listed(needs.dry_highest, unit)
        )
    } else {
        String::new()
    };
    let plan = &answer.needs.formula.grain;
    let free_of = answer.bake.setting.free_of.as_ref();
    let kinds: Vec<String> = [
        plan.colour.map(|colour| format!("of {colour} malt")),
        free_of.map(|cereal| format!("free of {cereal}")),
    ]
    .into_iter()
    .flatten()
    .collect();
    let form = plan.form.map_or(String::new(), |form| format!("{form} "));
    let wishes = if kinds.is_empty() {
        plan.form
            .map_or(String::new(), |_| format!("; only {form}grain"))
    } else {
        format!("; only {form}grain {}", kinds.join(" and "))
    };
    format!(
        "wanted {} of dry grain{range}: {} of total flour{wishes}",
        units.listed(needs.dry_wanted, unit),
        numbers::percent(answer.bake.setting.share_of(&answer.needs.formula))
    )
}

/// `1.35 kg of THR-261116-1Z is past by then`: promised grain that a bake loses.
pub(super) fn lost(one: &LostGrain, units: Units, now: Instant, zone: &Zone) -> String {
    let (wet, lot, verdict) = (units.weighed(one.wet), one.lot, one.verdict);
    match &one.out_before {
        Some(out) => format!(
            "it cannot have {wet} of {lot}: {}",
            out_before(out, now, zone)
        ),
        None => format!("{wet} of {lot} is {verdict} by then"),
    }
}

/// Whether a bake takes nothing that is promised to it.
fn takes_what_it_names(answer: &BakeAnswer) -> bool {
    answer.promised.iter().all(|one| one.names_others)
}

/// What a bake loses of the blocks that it names, where it takes nothing that is promised to it.
pub fn named_lost(answer: &BakeAnswer, units: Units, now: Instant, zone: &Zone) -> Vec<String> {
    let lost = answer.lost.iter().filter(|_| takes_what_it_names(answer));
    lost.map(|one| self::lost(one, units, now, zone)).collect()
}

/// `the whole block comes out of the freezer for B-1S, Fri 13 Nov 21:00, and is past by then`: why a later bake cannot have it.
pub(super) fn out_before(out: &OutBefore, now: Instant, zone: &Zone) -> String {
    let by = times::moment(out.by, now, zone);
    format!(
        "the whole block comes out of the freezer for {}, {by}, and is past by then",
        out.bake
    )
}

/// `HOLDS WHEAT though it was to be free of it, as known now: THR-261116-1Z`.
pub fn not_free(found: &NotFree, is_baked: bool) -> String {
    let lots: Vec<String> = found.lots.iter().map(ToString::to_string).collect();
    format!(
        "{} though it {} to be free of it, as known now: {}",
        holds(found),
        if is_baked { "was" } else { "is" },
        lots.join(", ")
    )
}

/// `HOLDS WHEAT`, or `MAY HOLD WHEAT` where no grist names it.
pub fn holds(found: &NotFree) -> String {
    let holds = if found.is_named { "HOLDS" } else { "MAY HOLD" };
    format!("{holds} {}", found.of.to_uppercase())
}

/// `5.515 kg of THR-261116-1Z, accepted Fri 20 Nov 19:30`, for each lot that is promised to a bake.
pub fn promises(answer: &BakeAnswer, units: Units, now: Instant, zone: &Zone) -> Vec<String> {
    let all = answer.promised.iter();
    let unit = units.unit_of(all.clone().map(|promised| promised.wet.mass()));
    let weighed = |wet| units.weighed_among(wet, unit);
    all.map(|promised| {
        let mut words = promise_words(promised, &weighed, now, zone);
        if let Some(lost) = answer.lost.iter().find(|lost| lost.is_of(promised)) {
            let why = match (&lost.out_before, lost.keep_until) {
                (Some(out), _) => out_before(out, now, zone),
                (None, Some(until)) => format!(
                    "{} by then: keep until {}",
                    lost.verdict,
                    times::moment(until, now, zone)
                ),
                (None, None) => format!("{} by then", lost.verdict),
            };
            words.push_str(&format!(", {why}"));
        }
        words
    })
    .collect()
}

fn promise_words(
    promised: &PromisedGrain,
    weighed: &dyn Fn(Milligrams) -> String,
    now: Instant,
    zone: &Zone,
) -> String {
    let code = promised.code();
    let mut words = format!("{} of {code}", weighed(promised.wet));
    if code != promised.named {
        words.push_str(&format!(", made of {}", promised.named));
    }
    if promised.missing > Milligrams::ZERO {
        let missing = weighed(promised.missing);
        words.push_str(&format!(", of which {missing} are not there any more"));
    }
    format!(
        "{words}, accepted {}",
        times::moment(promised.accepted_at, now, zone)
    )
}

/// `5.8 kg for B-2Q (1 kg of 6.8 kg is missing)`: what a bake still finds of what it was promised of a lot.
pub(super) fn promised_to(one: &PromisedTo, word: &str, units: Units) -> String {
    let there = Milligrams::new(one.wet.get() - one.missing.get());
    let missing = if one.missing > Milligrams::ZERO {
        format!(
            " ({} of {} is missing)",
            units.weighed(one.missing),
            units.weighed(one.wet)
        )
    } else {
        String::new()
    };
    let lost = match one.lost {
        Some((verdict, lost)) if lost == there => format!(" ({verdict} by then)"),
        Some((verdict, lost)) => format!(" ({} of it {verdict} by then)", units.weighed(lost)),
        None => String::new(),
    };
    format!(
        "{} {word} {}{missing}{lost}",
        units.weighed(there),
        one.bake
    )
}

/// What to type so that a bake waits for a stage that is made only now.
pub(super) fn mix_later(bake: BakeCode, late: &MadeLate, zone: &Zone) -> String {
    let at = zone.local(late.mix_at).format("%Y-%m-%d %H:%M");
    format!("draff bake change {bake} --at \"{at}\" mix")
}

/// `COR-261117-1M: good at mixing, keep until Mon 23 Nov, end of day`.
fn lot_words(lot: &LotAnswer, now: Instant, zone: &Zone) -> String {
    let keeping = &lot.keeping;
    let until = keeping.good_until().map_or(String::new(), |until| {
        format!(", keep until {}", times::moment(until, now, zone))
    });
    format!("{}: {} at mixing{until}", lot.lot.code, keeping.verdict)
}

/// What a sheet said to pour first and to hold back, as it is typed: `626g,438g`.
pub(super) fn pour_and_hold((pour, hold): (Milligrams, Milligrams)) -> String {
    format!("{},{}", pour.as_typed(), hold.as_typed())
}

/// What to type to write a bake down as it was.
pub(super) fn done_command(written: &BakeWrittenDown, zone: &Zone) -> String {
    let measured = &written.measured;
    let mut command = format!(
        "draff bake done {} --at {}",
        written.bake,
        zone.rfc3339(written.at)
    );
    for (lot, wet) in &written.used {
        command.push_str(&format!(" --used {lot}={}", wet.as_typed()));
    }
    let options = [
        ("said", written.said.map(pour_and_hold)),
        ("water", measured.water.map(Milligrams::as_typed)),
        ("pieces", measured.pieces.map(|pieces| pieces.to_string())),
        ("baked", measured.baked.map(Milligrams::as_typed)),
        (
            "dough-temp",
            measured
                .dough_milli_celsius
                .map(|milli| format!("{}C", f64::from(milli) / 1e3)),
        ),
        (
            "came-out",
            measured.came_out.map(|word| word.as_str().to_owned()),
        ),
        ("note", written.note.as_deref().map(shell_word)),
    ];
    for (option, value) in options {
        if let Some(value) = value {
            command.push_str(&format!(" --{option} {value}"));
        }
    }
    command
}
