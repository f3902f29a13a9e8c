//! What an inspector tried when the first holes were closed: late entries, parts, weights, strikes of strikes.

use crate::env::{Kitchen, has};

const LOAF: &str = include_str!("formula/loaf.toml");

/// A part that was warm too long stays past, whatever is written late about the lot that it was parted from.
#[test]
fn a_late_entry_about_a_lot_revives_no_part_of_it() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T09:00:00Z");
    kitchen.ok(&format!("move {lot} counter"));
    kitchen.at("2026-11-21T10:40:00Z");
    let part = kitchen.json(&format!("portion {lot} --into 1x2kg"));
    let part = part["lots"][0]["lot"].as_str().unwrap().to_owned();
    kitchen.at("2026-11-21T10:41:00Z");
    kitchen.ok(&format!("move {lot} fridge"));
    kitchen.at("2026-11-21T13:11:00Z");
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
    kitchen.ok(&format!("probe {lot} 4C --at \"2026-11-21 09:02\""));
    let said = kitchen.refused(1, &format!("probe {lot} 4C --at \"2026-11-21 10:39\""));
    has(&said, &format!("lot `{part}` is past"));
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
}

#[test]
fn a_late_reading_of_an_emptied_lot_shows_no_part_cooled() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out 08:00 --wet 10kg");
    kitchen.at("2026-11-20T12:10:00Z");
    let part = kitchen.json(&format!("portion {lot} --into 1x2kg"));
    let part = part["lots"][0]["lot"].as_str().unwrap().to_owned();
    kitchen.ok(&format!("discard {lot} --wet 8kg --reason spilt"));
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("probe {part} 9C"));
    assert_eq!(kitchen.on_shelf(&part)["verdict"], "past");
    kitchen.at("2026-11-20T15:11:00Z");
    let said = kitchen.refused(1, &format!("probe {lot} 62C --at \"2026-11-20 11:55\""));
    has(&said, &format!("lot `{part}` is past"));
}

/// Of 10 kg that come out at 9.9 kg no sample has the water activity of dry grain, and of a drying whose weights leave
/// 42 % none is at 5 %, by whatever way it is typed.
#[test]
fn weights_of_a_drying_bind_every_measurement_after_it() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("20kg");
    kitchen.ok(&format!("moisture {lot} --weighing 10g,110g,32g"));
    kitchen.at("2026-11-20T12:00:00Z");
    let dry = |wet_in: &str, wet_out: &str| {
        let made = kitchen.json(&format!(
            "treat {lot} --step dry --wet-in {wet_in} --wet-out {wet_out} --minutes 60 --temp 90C"
        ));
        made["lot"].as_str().unwrap().to_owned()
    };
    let (wet, damp) = (dry("10kg", "9.9kg"), dry("10kg", "4kg"));
    kitchen.at("2026-11-20T12:30:00Z");
    for (lot, activity) in [(&wet, "0.5"), (&damp, "0.4")] {
        let said = kitchen.refused(1, &format!("probe {lot} --aw {activity}"));
        has(&said, "is that of dry grain, and the weights of the drying");
    }
    kitchen.ok(&format!("probe {damp} --aw 0.93"));
    kitchen.refused(1, &format!("moisture {damp} 10 30 29 g"));
    kitchen.ok(&format!("moisture {damp} --weighing 10g,30g"));
    kitchen.at("2026-11-20T13:00:00Z");
    // Of an opened sample one weight says at least; a second that agrees says 5 %.
    kitchen.refused(1, &format!("moisture {damp} 10 30 29 29 g"));
    kitchen.ok(&format!("moisture {damp} 10 30 21 21 g"));
    let test = kitchen.last_entry("moisture");
    kitchen.refused(
        1,
        &format!("correct {test} --weighing 10g,30g,29g --reason typo"),
    );
    kitchen.refused(1, &format!("moisture {damp} 10 30 29 g"));
}

#[test]
fn a_late_entry_that_takes_warm_time_away_is_told() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-21T10:00:00Z");
    kitchen.ok(&format!("move {lot} counter"));
    let move_out = kitchen.last_entry("move");
    kitchen.at("2026-11-21T13:50:00Z");
    let said = kitchen.told(&format!("move {lot} fridge --at \"2026-11-21 10:05\""));
    has(
        &said,
        &format!("lot `{lot}` was use-first with 3 h 50 min of warm time, and is good"),
    );
    kitchen.ok(&format!(
        "strike {} --reason slip",
        kitchen.last_entry("move")
    ));
    let said = kitchen.told(&format!("strike {move_out} --reason slip"));
    has(&said, "of warm time, and is good");
}

/// A stated thickness counts from the parting on, and neither makes warm time of before longer nor shorter.
#[test]
fn how_thick_a_part_lies_says_nothing_of_the_time_before() {
    let mut kitchen = Kitchen::new();
    let rows = |from: i64, to: i64, warm: std::ops::Range<i64>, celsius: f64| {
        let mut file = String::from("time,temp C\n");
        for ten in from..to {
            let minutes = 10 * ten;
            let shown = if warm.contains(&minutes) {
                celsius
            } else {
                3.5
            };
            let (day, hour) = (20 + minutes / 1440, minutes % 1440 / 60);
            file.push_str(&format!(
                "2026-11-{day} {hour:02}:{:02},{shown}\n",
                minutes % 60
            ));
        }
        file
    };
    kitchen.ok("place add trays --kind fridge --temp 4C --layer 10cm");
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 10kg --place trays");
    kitchen.file("t.csv", rows(54, 240, 2000..2060, 6.5));
    kitchen.at("2026-11-21T18:00:00Z");
    kitchen.ok("readings trays --csv t.csv");
    let before = kitchen.on_shelf(&lot);
    let parts = kitchen.json(&format!("portion {lot} --into 2x1kg --thick 1cm"));
    let part = parts["lots"][0]["lot"].as_str().unwrap();
    let after = kitchen.on_shelf(part);
    for key in ["verdict", "keep_until", "warm_minutes"] {
        assert_eq!(after[key], before[key], "{key}: {after}");
    }
}

#[test]
fn grain_that_really_is_frozen_may_be_as_cold_as_ice() {
    let mut kitchen = Kitchen::new();
    kitchen.ok(
        "pickup --source \"Alder Lane\" --brewed 2026-11-18 --temp=-18C --wet 5kg --place freezer",
    );
    kitchen.ok("place add box --kind fridge");
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("move {lot} box"));
    kitchen.at("2026-11-20T12:40:00Z");
    kitchen.ok("place change box --kind freezer --temp=-18C");
    kitchen.at("2026-11-21T12:40:00Z");
    kitchen.ok(&format!("probe {lot} -- -9C"));
    // Before it went in it was no ice, and a correction makes none of it.
    kitchen.refused(1, &format!("probe {lot} --at \"2026-11-20 12:00\" -- -8C"));
    let other = kitchen.lot("5kg");
    kitchen.ok(&format!("probe {other} 4C"));
    let entry = kitchen.last_entry("reading");
    kitchen.refused(1, &format!("correct {entry} --temp=-10C --reason typo"));
}

#[test]
fn a_bake_counts_once_whatever_is_struck() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("3kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 12:00\" mix --pieces 4 --lot {lot}"
    ));
    kitchen.at("2026-11-20T12:30:00Z");
    kitchen.ok(&format!("bake done B-1S --used {lot}=1kg"));
    kitchen.ok(&format!(
        "strike {} --reason slip",
        kitchen.last_entry("baked")
    ));
    let strike = kitchen.last_entry("strike");
    kitchen.ok(&format!("bake done B-1S --used {lot}=3kg"));
    let said = kitchen.refused(1, &format!("strike {strike} --reason \"was right\""));
    has(&said, "B-1S");
    // A draw that was corrected is taken back as it counts, though what was corrected is gone.
    let used = kitchen.last_entry("use");
    kitchen.ok(&format!("correct {used} --wet 2.5kg --reason misread"));
    kitchen.ok(&format!("discard {lot} --reason crumbs"));
    kitchen.ok(&format!(
        "strike {} --reason wrong",
        kitchen.last_entry("baked")
    ));
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 2500.0);
    kitchen.ok("check");
}

#[test]
fn a_struck_correction_of_the_brew_day_takes_all_of_it_back() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T15:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-18 --mash-out 09:00 --cooled 12:30 --wet 8kg");
    let before = kitchen.on_shelf(&lot);
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --brewed 2026-11-20 --reason \"wrong day\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    let by = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {by} --reason \"was right\""));
    assert_eq!(kitchen.on_shelf(&lot), before);
    kitchen.ok(&format!(
        "strike {} --reason \"no, wrong\"",
        kitchen.last_entry("strike")
    ));
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-20");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    kitchen.ok("check");
}

#[test]
fn mould_names_what_went_to_animals_too() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!("discard {lot} --wet 3kg --as feed --reason hens"));
    kitchen.at("2026-11-21T09:00:00Z");
    let said = kitchen.told(&format!("probe {lot} --spoiled mould"));
    has(&said, "3 kg of lot");
    has(&said, "feed, hens");
}

#[test]
fn a_thawed_freezer_names_the_lots_that_lost_their_days() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!("move {lot} freezer"));
    let mut file = String::from("time,temp C\n");
    for hour in 12..18 {
        file.push_str(&format!("2026-11-23 {hour}:00,3.2\n"));
    }
    kitchen.file("f.csv", file);
    kitchen.at("2026-11-23T18:00:00Z");
    let read = kitchen.json("readings freezer --csv f.csv");
    assert_eq!(read["changed"][0]["lot"], lot, "{read}");
}

/// A bake stands for its draws, an entry that was corrected for its correction: one line takes all of it back.
#[test]
fn what_stands_on_a_pickup_is_named_to_the_last_and_struck_in_one_act() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("10kg");
    let pickup = kitchen.last_entry("pickup");
    let part = kitchen.json(&format!("move {lot} --wet 6kg --to freezer"))["lot"].clone();
    kitchen.ok(&format!(
        "discard {} --wet 1kg --reason dropped",
        part.as_str().unwrap()
    ));
    let dropped = kitchen.last_entry("discard");
    kitchen.ok(&format!("correct {dropped} --wet 1.2kg --reason misread"));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-20 10:30\" mix --pieces 4");
    kitchen.ok(&format!("bake done B-1S --used {lot}=800g --at now"));
    let said = kitchen.refused(1, &format!("strike {pickup} --reason \"never came\""));
    let line = said
        .split("draff strike ")
        .nth(1)
        .unwrap()
        .split(" --reason")
        .next()
        .unwrap();
    let numbers: Vec<&str> = line.split_whitespace().collect();
    assert_eq!(numbers.len(), 5, "{said}");
    assert!(
        numbers.contains(&kitchen.last_entry("baked").to_string().as_str()),
        "{said}"
    );
    kitchen.ok(&format!(
        "strike {} --reason \"never came\"",
        numbers.join(" ")
    ));
    assert_eq!(kitchen.json("shelf")["lots"], serde_json::json!([]));
    has(&kitchen.ok("check"), "whole");
}

/// What is physically out of the question, or a day, a year or a part off, is told and not refused.
#[test]
fn slips_in_time_are_told() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let old = kitchen.told(
        "pickup --source \"Alder Lane\" --brewed 2025-11-19 --mash-out \"2025-11-19 08:00\" --wet 5kg",
    );
    has(&old, "brewed 366 days before it came");
    has(&old, "--brewed DATE --reason");
    let lot = kitchen.lot("10kg");
    kitchen.at("2026-11-20T10:02:00Z");
    let dried = kitchen.told(&format!(
        "treat {lot} --step dry --wet-in 8kg --wet-out 2kg --minutes 1 --temp 90C"
    ));
    // 6 kg of water at 2256.5 kJ/kg (IAPWS-95) in 60 s.
    has(&dried, "takes 226 kW of heat");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 4");
    let done = kitchen.told(&format!(
        "bake done B-1S --used {lot}=500g --at \"2026-11-20 10:00\""
    ));
    has(&done, "the sheet says Sat 21 Nov 06:00");
    kitchen.at("2026-11-20T10:05:00Z");
    let moved = kitchen.told(&format!("move {lot} --wet 300g --to freezer"));
    has(&moved, &format!("keeps the code {lot}"));
    assert!(!moved.contains("typed twice"), "{moved}");
    has(
        &kitchen.told(&format!("move {lot} --wet 300g --to freezer")),
        "typed twice",
    );
}

/// A brew day that was typed one day early is put right to the day, also in the morning.
#[test]
fn a_brew_day_that_is_one_day_later_is_shown() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-21T12:00:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-20 --mash-out \"2026-11-20 09:40\" --wet 5kg");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "correct {pickup} --brewed 2026-11-21 --reason \"today\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["brewed_on"], "2026-11-21");
    let refused = kitchen.refused(
        1,
        "pickup --source \"Alder Lane\" --brewed 2026-11-20 --mash-out \"2026-11-21 09:40\" --wet 5kg",
    );
    has(&refused, "or in the night after it, before 6:00");
    kitchen.pickup("--brewed 2026-11-20 --mash-out \"2026-11-21 00:40\" --wet 5kg");
}

/// Somebody who says a moment at which the tub was measured hot hears why that does not count, and by when it had to be cold.
#[test]
fn a_word_that_does_not_count_is_answered() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen
        .pickup("--brewed 2026-11-20 --mash-out 06:00 --collected \"2026-11-20 06:10\" --wet 9kg");
    kitchen.ok(&format!("probe {lot} 61C --at \"2026-11-20 06:30\""));
    kitchen.at("2026-11-20T18:00:00Z");
    let shown = kitchen.ok(&format!("probe {lot} --cooled \"2026-11-20 06:20\""));
    let words = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    has(&words, "that does not count: a thermometer showed more");
    has(
        &words,
        &format!(
            "throw it away: draff discard {lot} --reason unknown. Only exception: somebody watched it cool and knows that all of it was at 5 °C or colder by Fri 20 Nov 12:30"
        ),
    );
}
