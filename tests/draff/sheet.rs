//! `sheet` and `bake calendar`: what a bake of the book looks like on the bench and in a calendar.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::text;

/// A kitchen with the pan loaf of `demo-data/`, a lot of 10 kg and a bake of twelve loaves, Friday morning.
fn kitchen() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        include_str!("../../demo-data/formulas/pan-loaf.toml"),
    );
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot_from("Alder Lane", "--wet 10kg --grist \"pale malt\"");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    kitchen.ok("bake add \"Quern pan loaf\" --at \"sat 16:00\" ready --pieces 12");
    (kitchen, lot)
}

/// Every weight of the batch stands on the sheet, and nothing was written to the book.
#[test]
fn the_sheet_holds_the_weights_of_the_batch() {
    let (kitchen, lot) = kitchen();
    let batch = kitchen.json(&format!("batch \"Quern pan loaf\" --pieces 12 --lot {lot}"));
    let before = kitchen.files();
    let sheet = kitchen.ok("sheet B-1S");
    let mut weights = 0;
    for stage in batch["stages"].as_array().unwrap() {
        for line in stage["lines"].as_array().unwrap() {
            let grams = line["weigh_g"].as_f64().unwrap();
            assert!(sheet.contains(&format!("{grams} g")), "{line}\n{sheet}");
            weights += 1;
        }
    }
    assert!(weights > 8, "{weights} weights");
    assert!(
        sheet.contains(&lot),
        "first to expire, and there is no other"
    );
    assert_eq!(kitchen.ok("sheet B-1S --text"), sheet);
    assert!(before == kitchen.files(), "a sheet is a question");
    assert!(
        sheet.lines().all(|line| line.chars().count() <= 80),
        "{sheet}"
    );
}

/// Mixed 7 h 53 min before it is ready, and the sponge 12 h before that: sums of the formula's steps by hand.
#[test]
fn its_times_follow_from_the_moment_that_was_fixed() {
    let (kitchen, _) = kitchen();
    let sheet = kitchen.ok("sheet B-1S");
    for words in [
        "Mix         Sat 21 Nov 08:07",
        "In the oven Sat 21 Nov 13:15",
        "Ready       Sat 21 Nov 16:00",
        "SPONGE: Fri 20 Nov 20:07",
    ] {
        assert!(sheet.contains(words), "{words}\n{sheet}");
    }
}

/// The same bread from grain of 72 % and of 82 %: as much dough, flour and water in all, whatever the grain brings.
#[test]
fn wetter_grain_makes_the_same_dough() {
    let total = |moisture: &str| {
        let kitchen = Kitchen::new();
        kitchen.file(
            "loaf.toml",
            include_str!("../../demo-data/formulas/pan-loaf.toml"),
        );
        kitchen.ok("formula add loaf.toml");
        let lot = kitchen.lot("20kg");
        kitchen.ok(&format!("moisture {lot} --lab {moisture}"));
        let batch = kitchen.json(&format!("batch \"Quern pan loaf\" --pieces 24 --lot {lot}"));
        let sum = &batch["hold_back"];
        ["total_flour_g", "total_water_g", "hydration"]
            .map(|key| sum[key].as_f64().unwrap())
            .into_iter()
            .chain([batch["dough_g"].as_f64().unwrap()])
            .collect::<Vec<_>>()
    };
    let (dry, wet) = (total("72%"), total("82%"));
    for (one, other) in dry.iter().zip(&wet) {
        assert!((one - other).abs() < 1e-6, "{dry:?} and {wet:?}");
    }
}

/// A page by itself: no script, nothing fetched, and text from the book is text.
#[test]
fn the_page_stands_alone() {
    let (kitchen, _) = kitchen();
    kitchen.ok("bake change B-1S --note \"<script>alert(1)</script> & co\"");
    kitchen.ok("sheet B-1S --html sheet.html");
    let page = std::fs::read_to_string(kitchen.folder().join("sheet.html")).unwrap();
    assert!(page.starts_with("<!DOCTYPE html>"));
    for absent in ["<script", "http://", "https://", "src=", "@import", "url("] {
        assert!(!page.contains(absent), "{absent}");
    }
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; co"));
    assert_eq!(kitchen.ok("sheet B-1S --html -"), page);
    let refused = kitchen.refused(1, "sheet B-1S --html book.draff");
    assert!(refused.contains("belongs to the book"), "{refused}");
}

/// Grain that is past by the time of mixing gets no sheet.
#[test]
fn no_sheet_tells_anybody_to_use_past_grain() {
    let (mut kitchen, lot) = kitchen();
    kitchen.ok(&format!("bake change B-1S --lot {lot}"));
    kitchen.at("2026-11-28 09:00");
    let refused = kitchen.refused(1, "sheet B-1S");
    assert!(refused.contains("is past"), "{refused}");
    kitchen.ok("bake change B-1S --any-lot");
    let sheet = kitchen.ok("sheet B-1S");
    assert!(!sheet.contains(&lot), "{sheet}");
    kitchen.ok("bake drop B-1S");
    let refused = kitchen.refused(1, "sheet B-1S");
    assert!(refused.contains("is dropped already"), "{refused}");
}

/// Cold grain needs warm water; the book knows tap and room, the fridge is stated to be at 4 °C.
#[test]
fn the_water_is_as_warm_as_batch_says() {
    let (kitchen, lot) = kitchen();
    kitchen.ok("settings tap 18C");
    kitchen.ok("settings room 22C");
    let batch = kitchen.json(&format!("batch \"Quern pan loaf\" --pieces 12 --lot {lot}"));
    let water = batch["water_temperature"]["water_c"].as_f64().unwrap();
    let sheet = kitchen.ok("sheet B-1S");
    assert!(
        sheet.contains(&format!("{water:.0} °C  WATER TEMPERATURE")),
        "{sheet}"
    );
    let other = kitchen.ok("sheet B-1S --tap 8C --room 18C --grain-temp 12C");
    assert_ne!(sheet, other);
}

/// The same words for a step wherever it stands.
#[test]
fn a_step_has_one_name() {
    let (kitchen, _) = kitchen();
    kitchen.ok("settings night 20:00-13:20");
    let shown = kitchen.ok("bake show B-1S");
    for words in [
        "Before      Fri 20 Nov 20:07: make the sponge\n",
        ": 20:07 make the sponge; 08:07 mix the\n            dough; 09:54 fold",
    ] {
        assert!(shown.contains(words), "{shown}");
    }
    let sheet = kitchen.ok("sheet B-1S");
    assert!(
        sheet.contains("20:07  make the sponge, at night"),
        "{sheet}"
    );
    assert!(sheet.contains("08:07  mix the dough, at night"), "{sheet}");
    let calendar = kitchen.ok("bake calendar --ics -");
    assert!(
        calendar.contains("SUMMARY:Quern pan loaf: make the sponge\r\n"),
        "{calendar}"
    );
}

/// One event for the sponge and one for each of the ten steps; a dropped bake is taken off.
#[test]
fn a_calendar_holds_every_step_and_takes_off_what_was_dropped() {
    let (mut kitchen, lot) = kitchen();
    let calendar = kitchen.ok("bake calendar B-1S --ics -");
    assert_eq!(calendar.matches("BEGIN:VEVENT\r\n").count(), 11);
    assert!(calendar.contains("DTSTART;TZID=Europe/Dublin:20261121T080700\r\n"));
    assert!(calendar.contains("SEQUENCE:0\r\n"));
    kitchen.ok("bake change B-1S --at \"sat 17:00\" ready");
    let changed = kitchen.ok("bake calendar --ics -");
    assert!(changed.contains("SEQUENCE:1\r\n"));
    assert!(changed.contains("DTSTART;TZID=Europe/Dublin:20261121T090700\r\n"));
    kitchen.ok("bake drop B-1S");
    let dropped = kitchen.ok("bake calendar --ics -");
    assert!(dropped.contains("STATUS:CANCELLED\r\n") && dropped.contains("SEQUENCE:2\r\n"));
    // What is over needs no cancelling, and what was baked is no step to come.
    kitchen.ok("bake add \"Quern pan loaf\" --at \"today 20:00\" ready --pieces 2");
    let both = kitchen.ok("bake calendar --ics -");
    assert_eq!(both.matches("BEGIN:VEVENT\r\n").count(), 22);
    kitchen.ok(&format!("bake done B-2Q --water 400g --used {lot}=300g"));
    assert_eq!(kitchen.ok("bake calendar --ics -"), dropped);
    kitchen.at("2026-11-22T10:00:00Z");
    kitchen.refused(1, "bake calendar --ics -");
    let empty = Kitchen::new();
    empty.refused(1, "bake calendar --ics -");
    kitchen.refused(2, "bake calendar");
}

/// Two bakes and grain for one and a half: the sheet of the later one leaves the earlier one its grain, and says so.
#[test]
fn no_grain_stands_on_two_sheets() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        include_str!("../../demo-data/formulas/pan-loaf.toml"),
    );
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot_from("Alder Lane", "--wet 3kg --grist \"pale malt\"");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    let add = "bake add \"Quern pan loaf\" --at \"2026-11-21 09:00\" mix --pieces 12";
    kitchen.ok(add);
    let twice = kitchen.run(add);
    assert!(twice.told().contains("B-1S is the same"), "{twice:?}");
    let drawn = |bake: &str| {
        let sheet = kitchen.json(&format!("sheet {bake}"));
        let lots = sheet["draws"].as_array().unwrap();
        lots.iter()
            .map(|lot| lot["wet_g"].as_f64().unwrap())
            .sum::<f64>()
    };
    let (first, second) = (drawn("B-1S"), drawn("B-2Q"));
    assert!(
        (first + second - 3000.0).abs() <= 2.0,
        "{first} and {second}"
    );
    let told = kitchen.run("sheet B-2Q");
    assert!(
        told.told()
            .contains("what B-1S takes by then is left to it"),
        "{told:?}"
    );
    assert!(told.told().contains("fall short"), "{told:?}");
    kitchen.ok("bake drop B-1S");
    assert!(
        (drawn("B-2Q") - first).abs() <= 1.0,
        "nobody else wants it now"
    );
}

/// Grain that was hot when it was fetched and is weighed out at once.
#[test]
fn the_sheet_warns_of_hot_grain() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        include_str!("../../demo-data/formulas/pan-loaf.toml"),
    );
    kitchen.ok("formula add loaf.toml");
    kitchen
        .pickup("--brewed 2026-11-20 --mash-out 09:45 --temp 70C --wet 8kg --grist \"pale malt\"");
    kitchen.ok("bake add \"Quern pan loaf\" --at \"2026-11-20 10:30\" mix --pieces 12");
    let sheet = kitchen.ok("sheet B-1S");
    assert!(sheet.contains("Hot grain scalds"), "{sheet}");
}

/// What the scale's step asks for beyond a lot is not there: the line of the grain is the sum of its lots.
#[test]
fn the_lots_on_a_sheet_add_up_to_its_grain() {
    let grain = |wet: &str| {
        let kitchen = Kitchen::with_less_grain(LOAF);
        kitchen.ok("settings scale 5g");
        let lot = kitchen.lot(wet);
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-20 15:00\" mix --pieces 4 --lot {lot}"
        ));
        let sheet = kitchen.json("sheet B-1S");
        let stages = sheet["stages"].as_array().unwrap();
        let lines = stages
            .iter()
            .flat_map(|stage| stage["lines"].as_array().unwrap());
        let grain = lines.filter(|line| line["kind"] == "grain");
        let line: f64 = grain.map(|line| line["weigh_g"].as_f64().unwrap()).sum();
        let draws = sheet["draws"].as_array().unwrap().iter();
        let drawn: f64 = draws.map(|draw| draw["wet_g"].as_f64().unwrap()).sum();
        (line, drawn)
    };
    let (wanted, drawn) = grain("6kg");
    assert_eq!(wanted, drawn);
    let left = wanted - 2.0;
    assert_eq!(grain(&format!("{left}g")), (left, left));
}

/// No water that yeast bears makes this dough warm: the sheet says what to pour all the same.
#[test]
fn a_sheet_says_what_to_pour_where_no_water_is_warm_enough() {
    let kitchen = Kitchen::new();
    kitchen.exact_loaf();
    let sheet = one_line(&kitchen.ok("sheet B-1S --tap 8C --room 10C --grain-temp 3C"));
    has(
        &sheet,
        "43 °C WATER TEMPERATURE: pour at that, the most we count on for yeast (our judgement). The dough then comes out at about",
    );
    has(&sheet, "instead of 25 °C. With grain of");
    has(
        &sheet,
        "water of 43 °C is enough. Grain above 5 °C counts as warm time",
    );
    has(
        &sheet,
        "Mixing will warm the dough further; how much is not known yet. Measure the dough and write it down",
    );
    // Frozen grain is thawed first: no dough is poured with it.
    let frozen = one_line(&kitchen.ok("sheet B-1S --tap 8C --room 10C --frozen"));
    has(
        &frozen,
        "WATER TEMPERATURE: not yet: thaw the grain first. ",
    );
    has(
        &frozen,
        "Measure the thawed grain, then type: draff sheet B-1S --tap 8C --room 10C --grain-temp TEMPERATURE",
    );
}

#[test]
fn a_dough_whose_mixing_nobody_measured_is_to_be_measured() {
    let (kitchen, _) = Kitchen::with_tested_lot();
    let unknown = LOAF
        .replace("small loaf", "new loaf")
        .replace("mixing_rise = \"6K\"\n", "");
    kitchen.file("new.toml", unknown);
    kitchen.ok("formula add new.toml");
    kitchen.ok("bake add \"new loaf\" --at \"2026-11-22 06:00\" mix --pieces 12");
    let sheet = one_line(&kitchen.ok("sheet B-1S --tap 20C --room 27C --grain-temp 25C"));
    has(
        &sheet,
        "Mixing will warm the dough above 26 °C; how much is not known yet. Measure the dough and write it down",
    );
}

#[test]
fn a_sheet_asks_for_one_water_and_calls_dried_grain_grain() {
    let (mut kitchen, lot) = Kitchen::with_accepted_plan(24);
    let wet = kitchen.ok("sheet B-1S");
    has(&wet, "  water into the final dough _______ g ");
    has(
        &one_line(&wet),
        "Water: poured + added, not that of the sponge. Where the day differed from the sheet, add to the command below --at WHEN, --used LOT=MASS, --water-temp TEMPERATURE, --note TEXT.",
    );
    has(&wet, " g  wet grain:\n");
    kitchen.at("2026-11-20T15:00:00Z");
    let made = kitchen.json(&format!(
        "treat {lot} --step dry --wet-in 4kg --wet-out 1kg --minutes 180 --temp 60C"
    ));
    let dried = text(&made, "lot");
    kitchen.ok(&format!("probe {dried} --aw 0.4"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-23 06:00\" mix --pieces 4 --lot {dried}"
    ));
    let dry = kitchen.ok("sheet B-3O");
    has(&dry, " g  grain:\n");
    has(&dry, "grain used");
    assert!(!dry.contains("wet grain"), "{dry}");
}
