//! What `today`, the sheet and moves say of grain that is frozen or has to be thawed for a dough.

use crate::env::{Kitchen, has, one_line};
use crate::plan::{grams, list, text};
use serde_json::Value;

const PAN_LOAF: &str = include_str!("../../demo-data/formulas/pan-loaf.toml");
const FLATBREAD: &str = include_str!("../../demo-data/formulas/flatbread.toml");

/// Wednesday noon with 8.5 kg, of which the plan freezes what the loaves of Friday leave.
fn accepted() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-18T12:00:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 09:00 --cooled 11:00 --wet 8.5kg --grist \"pale barley malt 100%\"");
    kitchen.ok(&format!("moisture {lot} 12.0 112.0 35.4 g"));
    kitchen.file("loaf.toml", PAN_LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("bake add \"Quern pan loaf\" --at \"fri 16:00\" ready --pieces 24");
    kitchen.ok("plan --accept");
    (kitchen, lot)
}

/// Two bakes in the week after, of which each is to be made of frozen grain.
fn add_two_later_bakes(kitchen: &Kitchen) {
    for at in ["2026-11-26 16:00", "2026-11-27 16:00"] {
        kitchen.ok(&format!(
            "bake add \"Quern pan loaf\" --at \"{at}\" ready --pieces 6"
        ));
    }
}

/// What `today` freezes: each bag with the bake that it is for, and in grams.
fn freezes(kitchen: &Kitchen) -> Vec<(Value, f64)> {
    let today = kitchen.json("today --days 7");
    let due = list(&today, "due").iter();
    due.filter(|due| due["task"] == "freeze")
        .map(|due| (due["bake"].clone(), grams(due, "wet_g")))
        .collect()
}

/// What `today` freezes, in grams.
fn to_freeze(kitchen: &Kitchen) -> f64 {
    freezes(kitchen).iter().map(|(_, wet)| wet).sum()
}

/// A frozen block cannot be parted: what two bakes are to be made of, and what is left over, lies in bags of its own.
#[test]
fn a_plan_says_in_which_bags_grain_is_frozen() {
    let (kitchen, lot) = accepted();
    let words = kitchen.ok("plan");
    assert!(!words.contains(" portions: "), "one portion: {words}");
    add_two_later_bakes(&kitchen);
    let plan = kitchen.json("plan");
    let actions = list(&plan, "actions");
    let of = |work: &'static str| actions.iter().filter(move |one| one["action"] == work);
    assert!(of("thaw").all(|one| list(one, "bags").is_empty()));
    let freeze: Vec<&Value> = of("freeze").collect();
    assert_eq!(freeze.len(), 1, "{plan}");
    let bags = list(freeze[0], "bags");
    let mut thawed: Vec<(String, f64)> = of("thaw")
        .map(|one| (text(one, "bake").to_owned(), grams(one, "wet_g")))
        .collect();
    thawed.sort_by(|one, other| one.0.cmp(&other.0));
    assert_eq!(thawed.len(), 2, "{plan}");
    let mut bagged: Vec<(String, f64)> = bags
        .iter()
        .filter(|bag| !bag["bake"].is_null())
        .map(|bag| (text(bag, "bake").to_owned(), grams(bag, "wet_g")))
        .collect();
    bagged.sort_by(|one, other| one.0.cmp(&other.0));
    assert_eq!(bagged, thawed);
    let all: f64 = bags.iter().map(|bag| grams(bag, "wet_g")).sum();
    assert!((all - grams(freeze[0], "wet_g")).abs() < 1e-6, "{plan}");
    let words = one_line(&kitchen.ok("plan"));
    has(
        &words,
        &format!(" of {lot} in freezer, in {} portions: ", bags.len()),
    );
    has(&words, &format!("for {}, ", thawed[0].0));
    has(&words, "A frozen portion thaws as a whole. ");
}

/// `today` asks for the same bags, and no more for one that is in.
#[test]
fn today_asks_for_each_bag_by_itself() {
    let (kitchen, lot) = accepted();
    add_two_later_bakes(&kitchen);
    let plan = kitchen.json("plan --accept");
    let freeze = list(&plan, "actions")
        .iter()
        .find(|one| one["action"] == "freeze")
        .unwrap()
        .clone();
    let bags = list(&freeze, "bags");
    assert!(bags.len() >= 2, "{freeze}");
    let mut told: Vec<_> = bags
        .iter()
        .map(|bag| (bag["bake"].clone(), grams(bag, "wet_g")))
        .collect();
    assert_eq!(freezes(&kitchen), told);
    let (bake, wet) = told.remove(0);
    let words = one_line(&kitchen.ok("today --days 7"));
    has(&words, &format!(", for {}", bake.as_str().unwrap()));
    kitchen.ok(&format!("move {lot} --wet {wet}g --to freezer"));
    assert_eq!(freezes(&kitchen), told);
}

/// What a plan of now freezes, in grams.
fn planned(kitchen: &Kitchen) -> f64 {
    let plan = kitchen.json("plan");
    let freezes = list(&plan, "actions")
        .iter()
        .filter(|one| one["action"] == "freeze");
    freezes.map(|one| grams(one, "wet_g")).sum()
}

#[test]
fn what_is_frozen_already_counts() {
    let (kitchen, lot) = accepted();
    let all = to_freeze(&kitchen);
    assert!(all > 4000.0, "{all}");
    kitchen.ok(&format!("portion {lot} --into 3x1kg --to freezer"));
    let left = to_freeze(&kitchen);
    assert!((left - (all - 3000.0)).abs() <= 1.0, "{left} of {all}");
    assert!((left - planned(&kitchen)).abs() <= 1.0, "{left}");

    let (kitchen, lot) = accepted();
    kitchen.ok(&format!("move {lot} --wet 3kg --to freezer"));
    let left = to_freeze(&kitchen);
    assert!((left - (all - 3000.0)).abs() <= 1.0, "{left} of {all}");
}

/// A wetter lot gives a dough more of itself, and less is left to freeze.
#[test]
fn what_is_promised_by_now_is_not_frozen() {
    let (kitchen, lot) = accepted();
    let before = to_freeze(&kitchen);
    kitchen.ok(&format!("moisture {lot} --lab 83% --lab-sd 0.5%"));
    let (asked, planned) = (to_freeze(&kitchen), planned(&kitchen));
    assert!(
        planned > 500.0 && planned < before - 500.0,
        "{planned} of {before}"
    );
    assert!((asked - planned).abs() <= 2.0, "{asked} or {planned}");
}

#[test]
fn a_job_that_was_done_does_not_come_back_when_its_grain_is_thawed() {
    let (mut kitchen, lot) = accepted();
    let all = to_freeze(&kitchen);
    let moved = kitchen.json(&format!("move {lot} --wet {all}g --to freezer"));
    assert_eq!(to_freeze(&kitchen), 0.0);
    kitchen.at("2026-11-19T12:00:00Z");
    kitchen.ok(&format!(
        "move {} --wet 2kg --to fridge",
        text(&moved, "lot")
    ));
    assert_eq!(to_freeze(&kitchen), 0.0, "thawed since");
}

#[test]
fn a_late_job_is_asked_for_as_long_as_it_helps_and_names_its_date() {
    let (mut kitchen, _) = accepted();
    let today = kitchen.json("today --days 7");
    let freeze = list(&today, "due")
        .iter()
        .find(|due| due["task"] == "freeze")
        .unwrap();
    let by: chrono::DateTime<chrono::FixedOffset> = text(freeze, "by").parse().unwrap();
    kitchen.at(&(by + chrono::Duration::hours(12))
        .to_utc()
        .format("%FT%TZ")
        .to_string());
    let words = kitchen.ok("today");
    let date = by
        .format("was due %a %-d %b %H:%M; do it now: freeze")
        .to_string();
    assert!(words.contains(&date), "{date}: {words}");
    kitchen.at(&(by + chrono::Duration::hours(30))
        .to_utc()
        .format("%FT%TZ")
        .to_string());
    assert!(to_freeze(&kitchen) > 0.0, "it still helps after a day");
    kitchen.at("2026-11-25T12:00:00Z");
    assert_eq!(to_freeze(&kitchen), 0.0, "past grain is thrown away");
}

/// 2 of 3 kg that the plan freezes go over into another lot that it freezes too: a job follows its grain, and all of them
/// together ask for no more than a tub holds.
#[test]
fn jobs_follow_joined_grain_and_never_exceed_it() {
    let mut kitchen = Kitchen::on_monday();
    kitchen.file("flatbread.toml", FLATBREAD);
    kitchen.ok("formula add flatbread.toml");
    let first = kitchen.tub("Alder Lane", "--wet 3kg");
    let other = kitchen.tub("Tarn Fell", "--wet 2kg --form blended");
    kitchen.ok("bake add \"Hollow flatbread\" --at \"tue 16:00\" ready --pieces 4");
    kitchen.at("2026-11-09T12:00:00Z");
    kitchen.ok("plan --accept");
    assert_eq!(
        freezes(&kitchen),
        [(Value::Null, 2812.0), (Value::Null, 2000.0)]
    );
    kitchen.at("2026-11-09T13:00:00Z");
    kitchen.ok(&format!(
        "treat {first} --step blend --wet-in 2kg --wet-out 2.2kg --water-added 250g --into {other}"
    ));
    // 188 g of what stayed go into the bread, and 2 kg of what went over are asked for with the 2 kg that were there.
    assert_eq!(
        freezes(&kitchen),
        [(Value::Null, 812.0), (Value::Null, 4000.0)]
    );
    has(&one_line(&kitchen.ok("shelf")), "freeze 4 kg of it");
    let today = kitchen.json("today");
    let joined = list(&today, "due")
        .iter()
        .find(|due| due["wet_g"] == 4000.0);
    let joined = text(joined.expect("the joined lot"), "lot");
    // Whichever is done first, the other stays.
    kitchen.ok(&format!("move {joined} --wet 4kg --to freezer"));
    assert_eq!(freezes(&kitchen), [(Value::Null, 812.0)]);
    kitchen.ok(&format!("move {first} --wet 812g --to freezer"));
    assert!(freezes(&kitchen).is_empty());
}

fn thaws(kitchen: &Kitchen) -> Vec<Value> {
    let today = kitchen.json("today");
    let due = list(&today, "due").iter();
    due.filter(|due| due["task"] == "thaw").cloned().collect()
}

/// The lead time is the plan's: what it says and what `today` and the sheet say is one moment.
#[test]
fn a_named_lot_in_the_freezer_is_taken_out_in_time() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-18T12:00:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 09:00 --cooled 11:00 --wet 8.5kg --grist \"pale barley malt 100%\"");
    kitchen.file("flatbread.toml", FLATBREAD);
    kitchen.ok("formula add flatbread.toml");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.ok(&format!(
        "bake add \"Hollow flatbread\" --at \"thu 12:00\" ready --lot {lot}"
    ));
    let plan = kitchen.json("plan");
    let planned = list(&plan, "actions")
        .iter()
        .find(|one| one["action"] == "thaw")
        .unwrap();
    let found = thaws(&kitchen);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0]["lot"], lot);
    assert_eq!(found[0]["bake"], "B-1S");
    assert_eq!(found[0]["by"], planned["by"]);
    assert!((grams(&found[0], "wet_g") - grams(planned, "wet_g")).abs() <= 1.0);
    let words = one_line(&kitchen.ok("today"));
    assert!(
        words.contains("from the freezer") && !words.contains("accepted plan"),
        "{words}"
    );
    let sheet = kitchen.json("sheet B-1S");
    assert_eq!(sheet["draws"][0]["thaw_by"], planned["by"]);
    let by: chrono::DateTime<chrono::FixedOffset> = text(planned, "by").parse().unwrap();
    let thaw = format!(
        "THAW: take {lot} out of the freezer by {}",
        by.format("%a %-d %b %H:%M")
    );
    let words = kitchen.ok("sheet B-1S");
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains(&thaw), "{thaw}: {words}");
    kitchen.at("2026-11-18T12:30:00Z");
    kitchen.ok(&format!("move {lot} --to fridge"));
    assert!(thaws(&kitchen).is_empty());
    assert!(!kitchen.ok("sheet B-1S").contains("THAW"));
}

/// The sheet takes it, so somebody has to take it out; what is only optional thaws nothing.
#[test]
fn grain_in_the_freezer_is_taken_out_for_a_bake_without_a_plan() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-18T12:00:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 09:00 --cooled 11:00 --wet 8.5kg --grist \"pale barley malt 100%\"");
    kitchen.file("flatbread.toml", FLATBREAD);
    kitchen.ok("formula add flatbread.toml");
    kitchen.ok(&format!("move {lot} --to freezer"));
    kitchen.ok("bake add \"Hollow flatbread\" --at \"thu 12:00\" ready");
    kitchen.ok("bake add \"Hollow flatbread\" --at \"thu 14:00\" ready --optional");
    let found = thaws(&kitchen);
    assert_eq!(found.len(), 1, "{found:?}");
    let sheet = kitchen.json("sheet B-1S");
    let drawn = &sheet["draws"][0];
    assert!(drawn["thaw_by"].is_string(), "{sheet}");
    assert_eq!(
        (&found[0]["lot"], &found[0]["bake"], &found[0]["by"]),
        (&drawn["lot"], &"B-1S".into(), &drawn["thaw_by"])
    );
    assert!((grams(&found[0], "wet_g") - grams(drawn, "wet_g")).abs() <= 2.0);
    kitchen.at("2026-11-18T12:10:00Z");
    kitchen.ok(&format!("move {lot} --to fridge"));
    assert!(thaws(&kitchen).is_empty());
}

#[test]
fn promised_grain_that_goes_into_the_freezer_is_told_and_taken_out_again() {
    let (kitchen, lot) = accepted();
    assert!(thaws(&kitchen).is_empty());
    let told = kitchen.told(&format!("move {lot} --to freezer"));
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("B-1S takes ") && told.contains("take it out by Thu 19 Nov"),
        "{told}"
    );
    let found = thaws(&kitchen);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        (text(&found[0], "lot"), text(&found[0], "bake")),
        (lot.as_str(), "B-1S")
    );
}

/// 500 g at 77 % is 115 g of dry grain; 500 + 1000 + 300 + 20 g are 1820 g of dough, less 2 % are 1783.6 g.
#[test]
fn pieces_calculated_from_masses_leave_out_what_sticks_to_the_bench() {
    let kitchen = Kitchen::new();
    let paper = "formula from-masses --name Two --grain 500g --moisture 77% --flour white=1000g \
                 --water 300g --salt 20g";
    let made = |pieces: &str| {
        let written = kitchen.ok(&format!("{paper} {pieces}"));
        kitchen.file("two.toml", &written);
        (
            written,
            kitchen.ok("batch two.toml --grain 500g --moisture 77%"),
        )
    };
    let (written, words) = made("--pieces 4 --handling-loss 2%");
    assert!(written.contains("piece = \"445.9g\""), "{written}");
    assert!(words.contains(", 4 pieces of 446 g, "), "{words}");
    let (written, words) = made("--pieces 3");
    assert!(
        written.contains("piece = \"606.7g\""),
        "rounded up: {written}"
    );
    assert!(words.contains(", 3 pieces of 607 g, "), "{words}");
}

#[test]
fn a_sheet_asks_for_no_more_than_a_lot_holds() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-18T12:00:00Z");
    let lot = kitchen.pickup("--brewed today --mash-out 09:00 --cooled 11:00 --wet 333g");
    kitchen.file("flatbread.toml", FLATBREAD);
    kitchen.ok("formula add flatbread.toml");
    kitchen.ok("settings scale 5g");
    kitchen.ok("bake add \"Hollow flatbread\" --at \"thu 12:00\" ready");
    let sheet = kitchen.json("sheet B-1S");
    assert_eq!(sheet["draws"][0]["lot"], lot);
    assert_eq!(grams(&sheet["draws"][0], "wet_g"), 333.0);
}
