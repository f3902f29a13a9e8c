//! What four readers and walkers found: grain of two breweries, water that was added, ends that were typed wrong, limits to
//! the minute.

use crate::env::{Kitchen, has, one_line};

fn of(kitchen: &Kitchen, source: &str, more: &str) -> String {
    let lot = kitchen.json(&format!(
        "pickup --source \"{source}\" --brewed 2026-11-20 --mash-out 07:30 {more}"
    ));
    lot["lot"].as_str().unwrap().to_owned()
}

#[test]
fn joined_grain_names_all_its_breweries() {
    let mut kitchen = Kitchen::new();
    let cooled = "--cooled 09:00 --wet 3kg";
    let lots = ["Alder Lane", "Tarn Fell"].map(|source| of(&kitchen, source, cooled));
    kitchen.at("2026-11-20T13:00:00Z");
    let joined = kitchen.json(&format!("join {} {}", lots[0], lots[1]));
    let joined = joined["lot"].as_str().unwrap();
    let both = "Alder Lane + Tarn Fell";
    let said = kitchen.ok(&format!("probe {joined} 4C"));
    has(&one_line(&said), both);
    has(&kitchen.ok(&format!("ticket {joined}")), both);
    assert_eq!(kitchen.on_shelf(joined)["source"], both);
    kitchen.ok(&format!("use {joined} --wet 1kg --for buns"));
    for source in ["Alder Lane", "Tarn Fell"] {
        let usage = kitchen.json(&format!("usage --source \"{source}\""));
        assert_eq!(usage["usage"][0]["source"], both, "{usage}");
    }
    has(&kitchen.ok("usage --csv -"), both);
}

/// 4 kg and 500 g of water come to 4.45 kg: 500 g were added and 50 g lost.
#[test]
fn a_trace_shows_added_water_and_what_was_lost() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!(
        "treat {lot} --step blend --wet-out 4.45kg --water-added 500g"
    ));
    let trace = kitchen.ok(&format!("trace {lot}"));
    let line = one_line(&trace);
    has(&line, "lost in treatments 50 g");
    has(&line, "water added in treatments 500 g");
    has(&line, "Balance closes to the milligram");
}

#[test]
fn how_grain_ended_is_corrected() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T13:00:00Z");
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --reason surplus --as compost"
    ));
    let entry = kitchen.last_entry("discard");
    let told = kitchen.ok(&format!(
        "correct {entry} --as feed --reason \"it went to the hens\""
    ));
    has(&told, "Feed law applies");
    has(&kitchen.ok(&format!("trace {lot}")), "as feed");
    let entry = kitchen.last_entry("discard");
    let refused = kitchen.refused(
        1,
        &format!("correct {entry} --note \"mould on top\" --reason seen"),
    );
    has(&refused, "no feed");
    let use_of = kitchen.ok(&format!("use {lot} --wet 1kg --for buns"));
    has(&use_of, &lot);
    let entry = kitchen.last_entry("use");
    let refused = kitchen.refused(1, &format!("correct {entry} --as feed --reason wrong"));
    has(&refused, "--as");
}

#[test]
fn a_name_that_is_almost_another_is_told_when_it_comes_by_renaming() {
    let kitchen = Kitchen::new();
    for source in ["Tarn Fell", "Alder Lane"] {
        of(&kitchen, source, "--wet 3kg");
    }
    let told = kitchen.told("source rename \"Alder Lane\" --to \"Tarn Fel\"");
    has(&told, "called almost like `Tarn Fell`");
    has(&told, "draff source merge 'Tarn Fel' --into 'Tarn Fell'");
}

/// Two hours after the mash-out it has to be at 21 °C (Food Code 3-501.14(A)): 30 °C at that minute is too late.
#[test]
fn a_reading_at_the_last_minute_ends_a_stage() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T09:30:00Z");
    let warm = of(&kitchen, "Alder Lane", "--wet 3kg --temp 30C");
    let at_the_limit = of(&kitchen, "Alder Lane", "--wet 2kg --temp 21C");
    kitchen.at("2026-11-20T09:31:00Z");
    assert_eq!(kitchen.on_shelf(&warm)["verdict"], "past");
    assert_eq!(kitchen.on_shelf(&at_the_limit)["verdict"], "good");
}

#[test]
fn the_shelf_says_in_json_by_when_something_is_to_be_done() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T09:00:00Z");
    let lot = of(&kitchen, "Alder Lane", "--wet 3kg --temp 40C");
    let shelf = kitchen.on_shelf(&lot);
    assert_eq!(shelf["act_by"], "2026-11-20T09:30:00+00:00", "{shelf}");
    let cold = kitchen.lot("3kg");
    assert!(kitchen.on_shelf(&cold)["act_by"].is_null());
    kitchen.at("2026-11-20T12:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {cold} --step dry --wet-out 700g --minutes 90 --temp 60C"
    ));
    let dried = kitchen.on_shelf(dried["lot"].as_str().unwrap());
    assert!(dried["act_by"].is_string(), "{dried}");
}

#[test]
fn a_temperature_that_was_never_taken_is_booked_and_not_corrected() {
    let kitchen = Kitchen::new();
    kitchen.lot("3kg");
    let pickup = kitchen.last_entry("pickup");
    let refused = kitchen.refused(1, &format!("correct {pickup} --temp 12C --reason forgot"));
    has(&refused, "draff probe LOT TEMPERATURE");
    assert!(!refused.contains("draff strike"), "{refused}");
}

/// Cold on Friday, 9 °C on Monday: nobody knows when it warmed up, and the answer says so.
#[test]
fn a_warm_reading_after_days_says_why_all_of_them_count() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-20T11:00:00Z");
    let told = kitchen.told(&format!("probe {lot} 6C"));
    assert!(!told.contains("nobody measured"), "{told}");
    let lot = kitchen.lot("2kg");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-23T09:00:00Z");
    let told = kitchen.told(&format!("probe {lot} 9C"));
    let told = one_line(&told);
    has(&told, "nobody measured");
    has(&told, "since Fri 20 Nov 11:00");
}

/// A bake for somebody who bears no wheat: the sack was wheat malt after all.
#[test]
fn what_a_bake_is_to_be_free_of_is_kept_after_a_corrected_grist() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let cooled = "--cooled 09:00 --wet 6kg --grist";
    let lot = of(
        &kitchen,
        "Alder Lane",
        &format!("{cooled} \"pale barley malt 100%\""),
    );
    let pickup = kitchen.last_entry("pickup");
    let wheat = of(
        &kitchen,
        "Tarn Fell",
        &format!("{cooled} \"wheat malt 100%\""),
    );
    for hour in [12, 13] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-20 {hour}:00\" mix --pieces 4 --lot {lot} --free-of wheat"
        ));
    }
    kitchen.at("2026-11-20T12:10:00Z");
    let refused = kitchen.refused(1, &format!("bake done B-1S --used {wheat}=400g"));
    has(&refused, "not known to be free of wheat");
    kitchen.ok("bake done B-1S");
    let ran = kitchen.run(&format!(
        "correct {pickup} --grist \"wheat malt 100%\" --reason \"wrong sack\""
    ));
    let told = format!("{} {}", ran.out, ran.err);
    let told = one_line(&told);
    has(&told, "B-1S was to be free of wheat");
    has(&told, "B-2Q is to be free of wheat");
    has(&told, "print a new ticket");
    has(&told, "Allergen");
    has(
        &kitchen.refused(1, "sheet B-2Q"),
        "not known to be free of wheat",
    );
    has(
        &kitchen.refused(1, "bake done B-2Q"),
        "not known to be free of wheat",
    );
}

/// No tub is left that a ticket hangs on.
#[test]
fn a_corrected_grist_of_grain_that_is_gone_asks_for_no_ticket() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!("use {lot} --wet 3kg --for buns"));
    let told = kitchen.told(&format!(
        "correct {pickup} --grist \"wheat malt 100%\" --reason \"wrong sack\""
    ));
    assert!(!told.contains("ticket"), "{told}");
}

/// What nobody may write down late is not reached by writing it now and correcting the time.
#[test]
fn a_corrected_time_does_not_revive() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    kitchen.at("2026-11-29T16:10:00Z");
    let late = "2026-11-24 10:00";
    let refused = kitchen.refused(1, &format!("move {lot} --to freezer --at \"{late}\""));
    has(&refused, "would make it usable again");
    kitchen.ok(&format!("move {lot} --to freezer"));
    let entry = kitchen.last_entry("move");
    let refused = kitchen.refused(1, &format!("correct {entry} --at \"{late}\" --reason late"));
    has(&refused, "would make it usable again");
}

#[test]
fn a_lot_that_is_gone_is_told_where_a_bake_names_it() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot("6kg");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 15:00\" mix --pieces 4 --lot {lot}"
    ));
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("discard {lot} --reason dropped --as waste"));
    has(&kitchen.ok("today"), &format!("NOT of {lot}"));
    has(&kitchen.ok("bake show B-1S"), "nothing is left of it");
}

#[test]
fn a_place_that_is_stated_warmer_names_the_tickets() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let told = kitchen.told("place change fridge --temp 8C");
    has(&told, &format!("draff ticket {lot}"));
}

#[test]
fn nuts_in_the_grist_stand_on_the_ticket_and_beside_the_plan() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    kitchen.ok("formula add loaf.toml");
    let grist = "--cooled 09:00 --wet 6kg --grist \"pale barley malt 90%, hazelnut 10%\"";
    let lot = of(&kitchen, "Alder Lane", grist);
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 15:00\" mix --pieces 4");
    has(&kitchen.ok(&format!("ticket {lot}")), "Allergens: nuts");
    has(&kitchen.ok("plan"), "Allergens: nuts");
}

#[test]
fn small_things_are_said_as_they_are() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", include_str!("formula/loaf.toml"));
    let added = kitchen.ok("--us formula add loaf.toml");
    assert!(!added.contains("°C"), "{added}");
    has(
        &kitchen.ok("cool --depth 5cm --from 60C --fridge 3C --tub \"round 30cm\""),
        "Middle",
    );
    kitchen.file(
        "two.csv",
        "source,brewed,mash_out,wet,cooled\nAlder Lane,2026-11-20,07:30,2kg,2026-11-20 09:00\n",
    );
    kitchen.lot("3kg");
    let booked = kitchen.ok("pickup --csv two.csv");
    has(
        &booked,
        "Booked in 1 lot, 2 kg wet; on hand are now 5 kg in all.",
    );
    let lot = kitchen.lot("1kg");
    kitchen.at("2026-11-20T13:00:00Z");
    let dried = kitchen.json(&format!(
        "treat {lot} --step dry --wet-out 230g --minutes 90 --temp 60C"
    ));
    let dried = dried["lot"].as_str().unwrap();
    let said = kitchen.ok(&format!("probe {dried} --aw 0.849"));
    let said = one_line(&said);
    has(&said, "water activity 0.849 is below 0.85");
}
