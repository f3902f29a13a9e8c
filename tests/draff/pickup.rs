//! `pickup`: one lot, or a file of them.

use crate::env::{Kitchen, one_line};
use serde_json::json;

#[test]
fn a_pickup_says_code_dry_grain_date_and_cautions() {
    let kitchen = Kitchen::new();
    let out = one_line(&kitchen.ok(
        "pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 18.4kg",
    ));
    for words in [
        "ALD-261120-1T: 18.4 kg of mashed grain, whole",
        "good, keep until Thu 26 Nov, end of day",
        "kg) in it; moisture 78 ± 7 %, not tested",
        "holds gluten",
        "Food law comes first. A date is no proof of safety.",
    ] {
        assert!(out.contains(words), "{words}\n{out}");
    }
}

#[test]
fn hot_grain_is_warned_of_where_it_is_hot() {
    let kitchen = Kitchen::new();
    let pickup = "pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --wet 18.4kg";
    let hot = kitchen.ok(&format!("{pickup} --temp 64C"));
    assert!(hot.contains("! Hot grain scalds"), "{hot}");
    let cold = kitchen.ok(&format!("{pickup} --temp 4C"));
    assert!(!cold.contains("Hot grain scalds"), "{cold}");
}

/// 22 % of 18.4 kg is dry: arithmetic. The mash-out day is day 1 of 7, so the last day is Thursday the 26th.
#[test]
fn a_pickup_answers_as_json() {
    let kitchen = Kitchen::new();
    let lot = kitchen.json(
        "pickup --source \"Alder Lane\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 18.4kg",
    );
    assert_eq!(lot["wet_g"], json!(18400.0));
    assert_eq!(lot["dry_g"], json!(4048.0));
    assert_eq!(lot["verdict"], "good");
    assert_eq!(lot["keep_until"], "2026-11-26T23:59:59+00:00");
    assert!(lot["dry_low_g"].as_f64() < Some(4048.0));
    assert!(lot["dry_high_g"].as_f64() > Some(4048.0));
}

#[test]
fn the_first_pickup_makes_a_book_and_says_where() {
    let kitchen = Kitchen::bare();
    let ran = kitchen.run("pickup --source \"Alder Lane\" --brewed today --wet 2kg");
    assert_eq!(ran.code, 0, "{}", ran.err);
    let said = ran.err;
    assert!(
        said.contains("made a new book at book.draff (time zone Europe/Dublin, rules strict)"),
        "{said}"
    );
    assert!(kitchen.book().is_file());
    let again = kitchen.run("pickup --source \"Alder Lane\" --brewed today --wet 3kg");
    assert_eq!(again.err, "", "the second pickup makes no book");
}

#[test]
fn without_a_named_book_it_lies_in_the_home_folder() {
    let kitchen = Kitchen::bare();
    let ran = crate::env::Ran::of(kitchen.command().env_remove("DRAFF_BOOK").args([
        "pickup",
        "--source",
        "Alder Lane",
        "--brewed",
        "today",
        "--wet",
        "2kg",
    ]));
    assert_eq!(ran.code, 0, "{}", ran.err);
    let said: String = ran.err.split_whitespace().collect();
    let folder = kitchen.folder().display().to_string();
    assert!(
        said.starts_with(&format!("madeanewbookat{folder}/")),
        "{said}"
    );
    assert!(!kitchen.book().exists());
}

#[test]
fn lots_of_one_brew_are_numbered_and_a_known_source_keeps_its_letters() {
    let kitchen = Kitchen::new();
    let first = kitchen.pickup("--brewed 2026-11-20 --wet 2kg");
    let second = kitchen.pickup("--brewed 2026-11-20 --wet 3kg");
    let shouted = kitchen.json("pickup --source \"ALDER LANE\" --brewed 2026-11-19 --wet 1kg");
    assert!(first.starts_with("ALD-261120-1"), "{first}");
    assert!(second.starts_with("ALD-261120-2"), "{second}");
    assert!(
        shouted["lot"].as_str().unwrap().starts_with("ALD-261119-1"),
        "{shouted}"
    );
    let alike =
        kitchen.json("pickup --source \"Alder Lake\" --new-source --brewed 2026-11-20 --wet 1kg");
    assert!(
        !alike["lot"].as_str().unwrap().starts_with("ALD-"),
        "{alike}"
    );
}

#[test]
fn every_option_reaches_the_book() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup(
        "--brewed 2026-11-19 --mash-out \"2026-11-19 12:00\" --wet 40lb --collected \"today 08:00\" --temp 39F \
         --cooled \"2026-11-19 15:00\" --kind steeped --grist \"pale barley malt 80%, wheat malt 20%\" --form milled \
         --place freezer --note \"lid cracked\"",
    );
    let shelf = kitchen.on_shelf(&lot);
    assert_eq!(shelf["form"], "milled");
    assert_eq!(shelf["place"], "freezer");
    assert_eq!(shelf["place_kind"], "freezer");
    let log = kitchen.json(&format!("log {lot}"));
    let entry = |kind: &str| {
        log["entries"]
            .as_array()
            .unwrap()
            .iter()
            .find(|entry| entry["kind"] == kind)
            .unwrap()
            .clone()
    };
    assert_eq!(entry("pickup")["at"], "2026-11-20T08:00:00+00:00");
    assert_eq!(entry("pickup")["words"], "lid cracked");
    assert_eq!(entry("cooled")["at"], "2026-11-19T15:00:00+00:00");
    assert_eq!(entry("cooled")["words"], "the baker");
    let celsius = entry("reading")["temperature_c"].as_f64().unwrap();
    assert!((celsius - 35.0 / 9.0).abs() < 0.001, "{celsius}");
    let (kind, grist): (String, String) = kitchen
        .sqlite()
        .query_row("SELECT kind, grist FROM lot", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .unwrap();
    assert_eq!(kind, "steeped");
    assert!(grist.contains("wheat malt 20%"), "{grist}");
}

#[test]
fn grain_without_a_mash_out_time_is_unknown() {
    let kitchen = Kitchen::new();
    let lot = kitchen.json("pickup --source \"Alder Lane\" --brewed today --wet 2kg");
    assert_eq!(lot["verdict"], "unknown");
    assert_eq!(lot["keep_until"], json!(null));
}

#[test]
fn dried_grain_goes_to_the_dry_store() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --form dried --wet 2kg");
    assert_eq!(kitchen.on_shelf(&lot)["place"], "dry-store");
}

#[test]
fn a_file_is_booked_in_whole() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "pickups.csv",
        "source,brewed,mash_out,wet,cooled,grist,note\n\
         Alder Lane,2026-11-20,07:30,18.4kg,09:00,\"pale barley malt 80%, wheat malt 20%\",\n\
         Mill Brook,2026-11-19,2026-11-19 14:00,40 lb,,,one bucket\n",
    );
    let answer = kitchen.json("pickup --csv pickups.csv");
    let lots = answer["lots"].as_array().unwrap();
    assert_eq!(lots.len(), 2);
    assert_eq!(lots[0]["verdict"], "good");
    assert_eq!(lots[0]["wet_g"], json!(18400.0));
    assert_eq!(lots[1]["wet_g"], json!(18143.695));
    assert_eq!(kitchen.json("shelf")["lots"].as_array().unwrap().len(), 2);
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn a_file_and_a_command_line_are_booked_alike() {
    let typed = Kitchen::new();
    typed.lot("18.4kg");
    let filed = Kitchen::new();
    filed.file(
        "p.csv",
        "WET,Source,brewed,mash_out,cooled\n18.4kg,Alder Lane,2026-11-20,07:30,09:00\n",
    );
    filed.ok("pickup --csv p.csv");
    assert_eq!(typed.json("shelf"), filed.json("shelf"));
    assert_eq!(typed.json("log"), filed.json("log"));
}
