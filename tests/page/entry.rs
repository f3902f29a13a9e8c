//! The page of an entry that does not count, and of the strike that took it out.

use crate::house::{House, words};

#[test]
fn a_strike_says_what_was_struck_and_leads_to_its_own_strike() {
    let house = House::new();
    let lot = house.lot("10kg");
    house.draff(&format!("use {lot} --wet 1kg --for buns"));
    let newest = || {
        let log = house.json("log --last 1");
        log["entries"][0]["entry"].as_i64().unwrap()
    };
    let used = newest();
    house.draff(&format!("correct {used} --wet 2kg --reason misread"));
    let right = newest();
    let phone = house.paired("Ada");
    // An entry that was corrected offers no form but the entry in its place.
    for form in ["correct", "strike"] {
        let page = phone.page(&format!("/entry/{used}/{form}"));
        assert!(page.contains(&format!("href=\"/entry/{right}\"")), "{page}");
        assert!(!page.contains("name=\"reason\""), "{page}");
    }
    house.draff(&format!("strike {right} --reason \"it was right\""));
    let strike = newest();
    let page = phone.page(&format!("/entry/{strike}"));
    let said = words(&page);
    assert!(said.contains(&format!("Struck: entry {right}")), "{said}");
    assert!(
        said.contains(&format!("Counts again: entry {used}")),
        "{said}"
    );
    assert!(
        page.contains(&format!("href=\"/entry/{strike}/strike\"")),
        "{page}"
    );
    assert!(
        !page.contains(&format!("/entry/{strike}/correct")),
        "{page}"
    );
    let page = phone.page(&format!("/entry/{right}/correct"));
    assert!(
        page.contains(&format!("href=\"/entry/{strike}\"")),
        "{page}"
    );
    // A count has its mass in the form.
    house.draff(&format!("count {lot} --wet 8.9kg"));
    let page = phone.page(&format!("/entry/{}/correct", newest()));
    assert!(page.contains("name=\"wet\""), "{page}");
}

/// What a done bake came to is corrected where it stands, and the form of its grain asks for no time.
#[test]
fn a_done_bake_is_corrected_on_its_own_form() {
    let house = House::new();
    let lot = house.lot("10kg");
    let formula = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", formula.display()));
    house.draff("bake add \"small loaf\" --at \"2026-11-20 13:00\" mix");
    house.draff(&format!("bake done B-1S --used {lot}=100g --pieces 40"));
    let entry = |kind: &str| {
        let log = house.json("log");
        let entries = log["entries"].as_array().unwrap().clone();
        entries.iter().rfind(|entry| entry["kind"] == kind).unwrap()["entry"]
            .as_i64()
            .unwrap()
    };
    let (baked, used) = (entry("baked"), entry("use"));
    let phone = house.paired("Ada");
    let correct = format!("/entry/{baked}/correct");
    assert!(phone.page("/bake/B-1S").contains(&correct));
    let page = phone.page(&format!("/entry/{used}/correct"));
    assert!(!page.contains("name=\"at_day\""), "{page}");
    assert!(!page.contains("name=\"note\""), "{page}");
    assert!(page.contains(&correct), "{page}");
    phone.book(
        &correct,
        &[("pieces", "4"), ("water", "700"), ("reason", "typed wrong")],
    );
    let bake = house.json("bake show B-1S");
    assert_eq!(bake["result"]["pieces"], 4);
    assert_eq!(bake["result"]["water_g"], 700.0);
}

/// What made a lot asks for its masses, its time and its place; the lot, the form and the code stay.
#[test]
fn a_treatment_is_corrected_on_its_own_form() {
    let house = House::new();
    let lot = house.lot("10kg");
    house.draff(&format!(
        "treat {lot} --step blend --wet-in 2kg --water-added 500g --wet-out 2.4kg"
    ));
    let log = house.json("log --last 1");
    let treat = log["entries"][0]["entry"].as_i64().unwrap();
    let made = log["entries"][0]["new_lot"].as_str().unwrap();
    let phone = house.paired("Ada");
    let correct = format!("/entry/{treat}/correct");
    let page = phone.page(&correct);
    for field in [
        "wet",
        "wet_out",
        "minutes",
        "water_added",
        "left_behind",
        "dry_loss",
        "at_day",
        "place",
        "note",
    ] {
        assert!(
            page.contains(&format!("name=\"{field}\"")),
            "{field}: {page}"
        );
    }
    for field in ["lot", "form"] {
        assert!(
            !page.contains(&format!("name=\"{field}\"")),
            "{field}: {page}"
        );
    }
    phone.book(
        &correct,
        &[
            ("water_added", "0"),
            ("wet_out", "1.9"),
            ("reason", "no water"),
        ],
    );
    let log = house.json("log --last 1");
    assert_eq!(log["entries"][0]["new_lot"], made);
    assert_eq!(log["entries"][0]["water_added_g"], 0.0);
    assert_eq!(log["entries"][0]["wet_out_g"], 1900.0);
}

#[test]
fn a_mash_out_of_the_night_after_the_brew_day_leaves_the_cold_statement_where_it_is() {
    let house = House::new();
    house.draff("pickup --source \"Alder Lane\" --brewed 2026-11-19 --mash-out \"2026-11-20 00:30\" --cooled \"2026-11-20 02:00\" --wet 5kg");
    let log = house.json("log");
    let entries = log["entries"].as_array().unwrap();
    let pickup = entries.iter().find(|entry| entry["kind"] == "pickup");
    let pickup = pickup.unwrap()["entry"].as_i64().unwrap();
    let phone = house.paired("Ada");
    let typed = [
        ("mash_out_day", "2026-11-20"),
        ("mash_out_time", "00:45"),
        ("reason", "slip"),
    ];
    let told = words(&phone.book(&format!("/entry/{pickup}/correct"), &typed));
    assert!(!told.contains("moved with the brew day"), "{told}");
    let log = house.json("log");
    let cold = log["entries"].as_array().unwrap().iter();
    assert_eq!(cold.filter(|entry| entry["kind"] == "cooled").count(), 1);
}
