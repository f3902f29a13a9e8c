//! What an accepted plan promised, in the rest of the book: bakes, sheets, the shelf, the calendar, and acts that take
//! promised grain.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::{Value, json};
use std::collections::BTreeSet;

fn lot(kitchen: &Kitchen, wet: &str) -> String {
    let lot = kitchen.lot(wet);
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    lot
}

fn bake(kitchen: &Kitchen, mix: &str, rest: &str) -> String {
    let added = kitchen.json(&format!(
        "bake add \"small loaf\" --at \"2026-11-{mix}\" mix {rest}"
    ));
    text(&added, "bake").to_owned()
}

/// Friday morning with one lot of 3 kg and one bake for Saturday that is promised of it, and what is promised.
fn saturday() -> (Kitchen, String, f64) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = lot(&kitchen, "3kg");
    bake(&kitchen, "21 06:00", "--pieces 12");
    let plan = kitchen.json("plan --accept");
    let draw = &plan["bakes"][0]["draws"][0];
    assert_eq!(text(draw, "lot"), lot);
    let wet = grams(draw, "wet_g");
    assert!(wet > 1200.0 && wet < 3000.0, "{wet}");
    (kitchen, lot, wet)
}

/// Friday morning with 3 kg, one bake of Saturday week that is to be frozen for.
fn in_ten_days() -> (Kitchen, String, f64) {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = lot(&kitchen, "3kg");
    bake(&kitchen, "30 06:00", "--pieces 12");
    let plan = kitchen.json("plan --accept");
    let draw = &plan["bakes"][0]["draws"][0];
    assert_eq!(text(draw, "state"), "thawed");
    (kitchen, lot, grams(draw, "wet_g"))
}

/// One line of it, however it was wrapped.
fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn kilograms(wet: f64) -> String {
    format!("{} kg", wet / 1000.0)
}

#[test]
fn bakes_and_the_shelf_say_what_is_promised() {
    let (kitchen, lot, wet) = saturday();
    let shown = kitchen.ok("bake show B-1S");
    let kg = kilograms(wet);
    let line = format!("Promised    {kg} of {lot}, accepted Fri 20 Nov 10:00\n");
    assert!(shown.contains(&line), "{shown}");
    assert!(
        shown.contains("the sheet takes what is promised"),
        "{shown}"
    );
    let promised = json!([{
        "lot": lot, "planned_lot": lot, "wet_g": wet, "lacking_g": 0.0,
        "accepted_at": "2026-11-20T10:00:00+00:00", "usable_then": true,
    }]);
    assert_eq!(kitchen.json("bake show B-1S")["promised"], promised);
    assert_eq!(kitchen.json("bake list")["bakes"][0]["promised"], promised);
    assert_eq!(kitchen.on_shelf(&lot)["promised_g"], json!(wet));
    let shelf = joined(&kitchen.ok("shelf"));
    assert!(
        shelf.contains(&format!("of {lot}: {kg} to B-1S")),
        "{shelf}"
    );
    let other = kitchen.lot("1kg");
    assert_eq!(kitchen.on_shelf(&other)["promised_g"], json!(0.0));
    kitchen.ok("bake drop B-1S");
    assert_eq!(kitchen.on_shelf(&lot)["promised_g"], json!(0.0));
    assert_eq!(kitchen.json("bake show B-1S")["promised"], json!([]));
    let entry = kitchen.last_entry("plan");
    let (kitchen, lot, _) = saturday();
    kitchen.ok(&format!("strike {entry} --reason wrong"));
    assert_eq!(kitchen.on_shelf(&lot)["promised_g"], json!(0.0));
    assert!(!kitchen.ok("bake show B-1S").contains("Promised"));
}

/// An older lot would go first; the promise says otherwise, and says how much. 77 % is water of `wet`: the share
/// follows from the other 23 % by hand.
#[test]
fn a_sheet_takes_what_is_promised_and_its_share() {
    let (kitchen, lot, wet) = saturday();
    let older = kitchen.pickup(
        "--brewed 2026-11-18 --mash-out \"2026-11-18 07:30\" --cooled \"2026-11-18 09:00\" --wet 9kg",
    );
    let ran = kitchen.run("sheet B-1S");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(
        ran.err,
        "the grain is what the plan of Fri 20 Nov 10:00 promised to B-1S\n"
    );
    assert!(
        ran.out.contains(&format!("{wet} g of {lot}, whole")),
        "{}",
        ran.out
    );
    assert!(!ran.out.contains(&older), "{}", ran.out);
    // 576 g are 10 % of total flour.
    let share = wet * 0.23 / 5760.0 * 1000.0;
    let share = (share.round() / 10.0).to_string();
    let words = joined(&ran.out);
    assert!(
        words.contains(&format!("{share} % of total flour is dry grain")),
        "{share}: {words}"
    );
    // What was promised is what it was made of, unless --used says otherwise.
    let left = grams(&kitchen.on_shelf(&lot), "wet_g");
    let done = kitchen.json("bake done B-1S --at now");
    assert_eq!(done["promised"], json!([]));
    assert_eq!(left - grams(&kitchen.on_shelf(&lot), "wet_g"), wet);
    // A bake that names a lot is baked of that.
    let (kitchen, _, _) = saturday();
    let named = kitchen.lot("4kg");
    kitchen.ok(&format!("bake change B-1S --lot {named}"));
    let sheet = kitchen.ok("sheet B-1S");
    assert!(sheet.contains(&named), "{sheet}");
}

/// Two bakes after the promise: what is left over is theirs, what is promised is not.
#[test]
fn a_bake_without_a_promise_leaves_what_is_promised_to_others() {
    let (kitchen, lot, wet) = saturday();
    let other = bake(&kitchen, "21 08:00", "--pieces 12");
    let ran = kitchen.run(&format!("sheet {other}"));
    let left = 3000.0 - wet;
    assert!(
        ran.out.contains(&format!("{left} g of {lot}")),
        "{left}: {}",
        ran.out
    );
    assert!(
        joined(&ran.err).contains("the lots fall short"),
        "{}",
        ran.err
    );
    let refused = kitchen.refused(1, &format!("bake done {other} --at now"));
    assert!(
        refused.contains(&format!("--used {lot}={left}g")),
        "{refused}"
    );
    kitchen.ok("bake drop B-1S");
    let all = kitchen.ok(&format!("sheet {other}"));
    assert!(!all.contains(&format!("{left} g of {lot}")), "{all}");
}

#[test]
fn promised_grain_that_may_not_go_in_is_told_and_not_taken() {
    // Gives whether the lot stands on the sheet all the same.
    let told = |kitchen: &Kitchen, why: &str, lot: &str| {
        let ran = kitchen.run("sheet B-1S");
        assert_eq!(ran.code, 0, "{}", ran.err);
        let err = joined(&ran.err);
        assert!(
            err.contains("warning: CHANGED since the plan of Fri 20 Nov 10:00: "),
            "{err}"
        );
        assert!(err.contains(why), "{why}: {err}");
        ran.out.contains(lot)
    };
    // Past by the time of mixing: the clock decides.
    let (kitchen, lot, _) = saturday();
    kitchen.ok("bake change B-1S --at \"2026-11-28 06:00\" mix");
    let why = format!("lot `{lot}`, as it lies now, is past when it would go in: 7 days at most");
    assert!(!told(&kitchen, &why, &lot));
    // Less is left: what there is of it is taken first to expire.
    let (kitchen, lot, wet) = saturday();
    kitchen.run(&format!("use {lot} --wet 2.9kg --for other"));
    let why = format!("{} of lot `{lot}` is missing", kilograms(wet - 100.0));
    assert!(told(&kitchen, &why, &lot));
    let refused = kitchen.refused(1, "bake done B-1S --at now");
    assert!(refused.contains(&why), "{refused}");
    // Nothing is left.
    let (kitchen, lot, _) = saturday();
    kitchen.run(&format!("discard {lot} --reason dropped"));
    let other = kitchen.lot("9kg");
    assert!(told(
        &kitchen,
        &format!("of lot `{lot}` is missing"),
        &other
    ));
    // The bake was made smaller.
    let (kitchen, lot, _) = saturday();
    kitchen.ok("bake change B-1S --pieces 3");
    assert!(told(&kitchen, "and the bake takes 144 g at most", &lot));
    // It must not hold a cereal that the lot may hold.
    let (kitchen, lot, _) = saturday();
    kitchen.ok("bake change B-1S --free-of wheat");
    assert!(!told(
        &kitchen,
        &format!("lot `{lot}` does not suit the bake"),
        &lot
    ));
}

/// Frozen and taken out as the plan says, the grain is in lots of its own; promise, sheet and shelf follow.
#[test]
fn a_promise_follows_grain_through_the_freezer() {
    let (mut kitchen, lot, wet) = in_ten_days();
    let err = joined(&kitchen.run("sheet B-1S").err);
    assert!(err.contains("promised to B-1S"), "to be frozen: {err}");
    let moved = |kitchen: &Kitchen, from: &str, to: &str, told: &dyn Fn(&str) -> String| {
        let ran = kitchen.run(&format!("--json move {from} --wet {wet}g --to {to}"));
        let answer: Value = serde_json::from_str(&ran.out).unwrap();
        let is_now = text(&answer, "lot").to_owned();
        assert_eq!(
            (ran.code, joined(&ran.err)),
            (0, told(&is_now)),
            "nothing promised is gone"
        );
        is_now
    };
    let rest = format!("{} g", 3000.0 - wet);
    let frozen = moved(&kitchen, &lot, "freezer", &|part| {
        format!(
            "{} moved: its new code is {part}, write it on the bag or tub. The other {rest} keeps the code {lot}",
            kilograms(wet)
        )
    });
    let shown = &kitchen.json("bake show B-1S")["promised"][0];
    assert_eq!(
        (text(shown, "lot"), text(shown, "planned_lot")),
        (&*frozen, &*lot)
    );
    let calendar = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    assert!(
        calendar.contains(&format!(
            "SUMMARY:take {} of {frozen} from the freezer",
            kilograms(wet)
        )),
        "{calendar}"
    );
    // A second bag of the same grain lies in the freezer; the bake's is the one that was taken out for it.
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.at("2026-11-29 18:00");
    let thawed = moved(&kitchen, &frozen, "fridge", &|_| {
        format!("warning: if a ticket is on it, print a new one: `draff ticket {frozen}`")
    });
    assert_eq!(thawed, frozen, "all of it");
    let ran = kitchen.run("sheet B-1S");
    assert!(
        ran.out
            .contains(&format!("{wet} g of {thawed}, whole, in fridge")),
        "{}",
        ran.out
    );
    assert!(ran.err.contains("promised to B-1S"), "{}", ran.err);
    assert_eq!(kitchen.on_shelf(&thawed)["promised_g"], json!(wet));
}

#[test]
fn a_promise_follows_grain_into_portions() {
    let (kitchen, lot, wet) = saturday();
    let ran = kitchen.run(&format!("portion {lot} --into 6x500g"));
    assert_eq!(ran.code, 0);
    assert!(
        !ran.err.contains("promised"),
        "it is all there: {}",
        ran.err
    );
    let shown = kitchen.json("bake show B-1S");
    let promised = list(&shown, "promised");
    let sum: f64 = promised.iter().map(|one| grams(one, "wet_g")).sum();
    assert!((sum - wet).abs() < 1e-6, "{shown}");
    assert_eq!(promised.len(), (wet / 500.0).ceil() as usize);
    let lots: BTreeSet<&str> = promised.iter().map(|one| text(one, "lot")).collect();
    assert_eq!(lots.len(), promised.len());
    assert!(promised.iter().all(|one| text(one, "planned_lot") == lot));
    let ran = kitchen.run("sheet B-1S");
    assert!(
        ran.err.starts_with("the grain is what the plan"),
        "{}",
        ran.err
    );
    for lot in lots {
        assert!(ran.out.contains(lot), "{}", ran.out);
    }
}

#[test]
fn an_act_that_takes_promised_grain_warns_and_is_done() {
    let warning = |lot: &str, lacks: f64| {
        let lacks = if lacks < 1000.0 {
            format!("{lacks} g")
        } else {
            kilograms(lacks)
        };
        format!(
            "warning: not all is left that the accepted plan promised of lot `{lot}`: B-1S is short by {lacks}. `draff plan --accept` shares out what is left"
        )
    };
    let acts = [
        ("use LOT --wet 2.9kg --for other", 100.0),
        ("discard LOT --reason dropped", 0.0),
        ("count LOT --wet 1kg", 1000.0),
        ("move LOT --wet 2.5kg --to freezer", 500.0),
        ("portion LOT --into 5x500g --to freezer", 500.0),
        (
            "treat LOT --step dry --wet-in 2.5kg --wet-out 700g --minutes 120 --temp 65C --place dry-store",
            500.0,
        ),
    ];
    for (act, left) in acts {
        let (mut kitchen, lot, wet) = saturday();
        kitchen.at("2026-11-20T13:00:00Z");
        let ran = kitchen.run(&act.replace("LOT", &lot));
        assert_eq!(ran.code, 0, "{act}: {}", ran.err);
        let err = joined(&ran.err);
        assert!(err.contains(&warning(&lot, wet - left)), "{act}: {err}");
        let shown = kitchen.json("bake show B-1S");
        assert_eq!(
            shown["promised"][0]["lacking_g"],
            json!(wet - left),
            "{act}"
        );
        // Said once, when it happens.
        let other = kitchen.lot("2kg");
        let ran = kitchen.run(&format!("use {other} --wet 1kg --for other"));
        assert!(!ran.err.contains("promised"), "{act}: {}", ran.err);
    }
    for act in [
        "use LOT --wet 300g --for other",
        "discard LOT --wet 300g --reason dropped",
        "probe LOT 4C",
        "move LOT --to counter",
    ] {
        let (kitchen, lot, _) = saturday();
        let ran = kitchen.run(&act.replace("LOT", &lot));
        assert_eq!(ran.code, 0, "{act}: {}", ran.err);
        assert!(!ran.err.contains("promised"), "{act}: {}", ran.err);
    }
    // Of the lot of another bake.
    let (kitchen, lot, wet) = saturday();
    let other = bake(&kitchen, "21 08:00", "--pieces 12");
    let ran = kitchen.run(&format!("bake done {other} --used {lot}=2kg --at now"));
    assert!(
        joined(&ran.err).contains(&warning(&lot, wet - 1000.0)),
        "{}",
        ran.err
    );
}

/// Events of a calendar: UID and all else of each.
fn events(calendar: &str) -> Vec<(String, String)> {
    calendar
        .replace("\r\n ", "")
        .split("BEGIN:VEVENT\r\n")
        .skip(1)
        .map(|event| {
            let uid = event.lines().find_map(|line| line.strip_prefix("UID:"));
            (uid.unwrap().to_owned(), event.to_owned())
        })
        .collect()
}

#[test]
fn the_calendar_holds_what_is_to_be_done() {
    let (mut kitchen, lot, wet) = in_ten_days();
    let plan = kitchen.json("plan");
    let actions = list(&plan, "actions");
    assert_eq!(actions.len(), 2, "freeze and thaw");
    let of_plan = |calendar: &str| {
        let all = events(calendar);
        all.into_iter()
            .filter(|(uid, _)| uid.contains("/plan/"))
            .collect::<Vec<_>>()
    };
    let ran = kitchen.run("bake calendar --ics all.ics");
    assert_eq!(ran.err, "wrote 1 bake and 2 tasks to all.ics\n");
    let first = of_plan(&kitchen.ok("bake calendar --ics -"));
    let uids: Vec<&str> = first.iter().map(|(uid, _)| uid.as_str()).collect();
    let freeze = format!("draffbook/book/plan/freeze-{lot}");
    let thaw = format!("draffbook/book/plan/thaw-{lot}-B-1S");
    assert_eq!(uids, [freeze.as_str(), thaw.as_str()]);
    for ((_, event), action) in first.iter().zip(actions) {
        let local = text(action, "by")[..16].replace(['-', ':'], "");
        assert!(
            event.contains(&format!("DTSTART;TZID=Europe/Dublin:{local}00\r\n")),
            "{event}"
        );
        assert!(
            event.contains("STATUS:CONFIRMED\r\n") && event.contains("TRIGGER:-PT10M"),
            "{event}"
        );
        assert!(
            event.contains("DESCRIPTION:from the plan of Fri 20 Nov 10:00\\n")
                && event.contains("\\n! Food law"),
            "{event}"
        );
    }
    let kg = kilograms(wet);
    assert!(
        first[1].1.contains(&format!(
            "SUMMARY:take {kg} of {lot} from the freezer into fridge\\, for B-1S\r\n"
        )),
        "{}",
        first[1].1
    );
    // Accepted anew they are the same events; what no plan asks for any more is taken off.
    kitchen.ok("plan --accept");
    let again = of_plan(&kitchen.ok("bake calendar --ics -"));
    assert_eq!(again.len(), 2);
    assert_eq!(again[0].0, freeze);
    let of_bake = of_plan(&kitchen.ok("bake calendar B-1S --ics -"));
    assert_eq!(of_bake.len(), 1);
    assert_eq!(of_bake[0].0, thaw);
    kitchen.ok("bake drop B-1S");
    let dropped = of_plan(&kitchen.ok("bake calendar --ics -"));
    assert!(dropped[1].1.contains("STATUS:CANCELLED"), "{dropped:?}");
    assert!(!dropped[1].1.contains("VALARM"), "{dropped:?}");
    // What is over is no event any more.
    let (mut other, ..) = in_ten_days();
    other.at("2026-11-28 10:00");
    assert_eq!(of_plan(&other.ok("bake calendar --ics -")).len(), 1);
    kitchen.at("2026-12-20 10:00");
    kitchen.refused(1, "bake calendar --ics -");
}

/// A promise is of dry grain: 3 kg at 77 % that turn out to be at 78 % give the same dough of 23/22 of the wet grain, on
/// the sheet, on the shelf, in the next plan and in what `bake done` books.
#[test]
fn a_promise_follows_the_dry_grain_where_the_moisture_is_corrected() {
    let (kitchen, lot, wet) = saturday();
    let before = kitchen.json("sheet B-1S");
    let test = kitchen.last_entry("moisture");
    kitchen.ok(&format!("strike {test} --reason \"another tub\""));
    let tested = kitchen.told(&format!("moisture {lot} --lab 78% --lab-sd 0.5%"));
    assert!(!tested.contains("promised"), "{tested}");
    let now = (wet * 0.23 / 0.22).round();
    assert_eq!(kitchen.on_shelf(&lot)["promised_g"], json!(now));
    let after = kitchen.json("sheet B-1S");
    assert_eq!(grams(&after["draws"][0], "wet_g"), now, "{after}");
    let dry = |sheet: &Value| grams(&sheet["hold_back"], "dry_g");
    assert!((dry(&after) - dry(&before)).abs() < 0.2, "{before} {after}");
    assert!(!kitchen.ok("sheet B-1S").contains("SHORT"));
    let plan = kitchen.json("plan");
    let planned = grams(&plan["bakes"][0]["draws"][0], "wet_g");
    assert!((planned - now).abs() <= 1.0, "{plan}");
    kitchen.ok("bake done B-1S --at now");
    assert_eq!(grams(&kitchen.on_shelf(&lot), "wet_g"), 3000.0 - now);
}

/// At 87 % the tub holds 390 g of dry grain, and less than was promised: that is told where the test is written down.
#[test]
fn a_test_that_leaves_less_than_was_promised_says_so() {
    let (kitchen, lot, wet) = saturday();
    let promised = wet * 0.23;
    assert!(promised > 400.0, "{promised}");
    let test = kitchen.last_entry("moisture");
    kitchen.ok(&format!("strike {test} --reason \"another tub\""));
    let tested = joined(&kitchen.told(&format!("moisture {lot} --lab 87% --lab-sd 0.5%")));
    assert!(tested.contains("B-1S"), "{tested}");
}

/// At 80 % the promised dry grain would bring more water than the dough takes. The sheet weighs as much of it as the
/// dough takes, says how much less that is, and `bake done` books the same.
#[test]
fn promised_grain_that_turns_out_too_wet_goes_in_as_far_as_the_dough_takes_its_water() {
    let (kitchen, lot, wet) = saturday();
    let test = kitchen.last_entry("moisture");
    kitchen.ok(&format!("strike {test} --reason \"another tub\""));
    kitchen.ok(&format!("moisture {lot} --lab 80% --lab-sd 0.5%"));
    let promised = (wet * 0.23 / 0.20).round();
    let sheet = kitchen.json("sheet B-1S");
    let taken = grams(&sheet["draws"][0], "wet_g");
    assert!(taken < promised && taken > 0.9 * promised, "{sheet}");
    let add = grams(&sheet["hold_back"], "add_water_g");
    assert!(
        (0.0..2.0).contains(&add),
        "no water is left to add: {sheet}"
    );
    let less = format!(
        "but {} g less: by what is known of its moisture now",
        promised - taken
    );
    has(&kitchen.told("sheet B-1S"), &less);
    kitchen.ok("bake done B-1S --at now");
    assert_eq!(grams(&kitchen.on_shelf(&lot), "wet_g"), 3000.0 - taken);
}

#[test]
fn a_calendar_names_the_portions_in_which_grain_is_frozen() {
    let kitchen = Kitchen::on_monday();
    let flatbread = include_str!("../../demo-data/formulas/flatbread.toml");
    kitchen.file("flatbread.toml", flatbread);
    kitchen.ok("formula add flatbread.toml");
    kitchen.tub("Fell End", "--wet 40kg");
    kitchen.ok("bake add \"Hollow flatbread\" --at \"2026-11-20 16:00\" ready --pieces 400");
    let plan = one_line(&kitchen.ok("plan --accept"));
    let (_, portions) = plan.split_once(" in 2 portions: ").expect("portions");
    let (portions, _) = portions.split_once(" to spare").expect("some to spare");
    let calendar = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    let portions = portions.replace(',', "\\,");
    has(
        &calendar,
        &format!(" in 2 portions: {portions} to spare\r\n"),
    );
    has(&calendar, "A frozen portion thaws as a whole");
    kitchen.ok("bake drop B-1S");
    let dropped = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    assert!(!dropped.contains(" portions: "), "{dropped}");
}
