//! Short forms of what is typed most: the end of a code, weights one after the other, the last pickup.

use crate::env::Kitchen;

const BOUGHT: &str = "--brewed 2026-11-20 --mash-out 09:00 --cooled \"today 10:00\" --wet 5kg";

/// `1T` and `261120-1T` of `ALD-261120-1T`.
fn ends(lot: &str) -> [&str; 3] {
    let plain = lot.rsplit('-').next().unwrap();
    [plain, &lot[4..], lot]
}

#[test]
fn the_end_of_a_code_is_enough_while_no_other_lot_on_hand_ends_so() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup(BOUGHT);
    for end in ends(&lot) {
        let answer = kitchen.json(&format!("probe {} 4C", end.to_lowercase()));
        assert_eq!(answer["lot"], lot.as_str());
    }
    let words = kitchen.ok(&format!("move {} freezer", ends(&lot)[0]));
    assert!(words.contains(&lot), "the whole code is shown: {words}");
    // The number alone, or a letter of the check, is no end.
    for no_end in ["1", "T", "", "-"] {
        kitchen.refused(1, &format!("probe \"{no_end}\" 4C"));
    }
}

#[test]
fn an_end_that_two_lots_share_is_refused_with_both() {
    let kitchen = Kitchen::new();
    kitchen.pickup(BOUGHT);
    // 31 brew days: some two of the first lots of a day have the same check character.
    let mut lots: Vec<String> = (1..=31)
        .map(|day| {
            let words = format!(
                "--brewed 2026-10-{day:02} --mash-out \"2026-10-{day:02} 09:00\" --collected \"2026-10-{day:02} 10:00\" --form dried --wet 5kg"
            );
            kitchen.pickup(&words)
        })
        .collect();
    lots.sort_by_key(|lot| ends(lot)[0].to_owned());
    let pair = lots
        .windows(2)
        .find(|pair| ends(&pair[0])[0] == ends(&pair[1])[0])
        .expect("31 lots, fewer check characters");
    let end = ends(&pair[0])[0];
    let told = kitchen.refused(1, &format!("use {end} 1kg --for bread"));
    assert!(told.contains(&pair[0]) && told.contains(&pair[1]), "{told}");
    kitchen.ok(&format!("moisture {}", ends(&pair[0])[1]));
}

#[test]
fn only_lots_on_hand_are_found_by_the_end_of_their_code() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup(BOUGHT);
    let end = ends(&lot)[0].to_owned();
    kitchen.ok(&format!("use {end} 5kg --for bread"));
    let told = kitchen.refused(1, &format!("moisture {end}"));
    assert!(
        told.contains("no lot on hand has a code that ends in"),
        "{told}"
    );
    kitchen.ok(&format!("moisture {lot}"));
}

#[test]
fn the_same_lot_by_its_end_and_its_code_is_named_twice() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup(BOUGHT);
    let told = kitchen.refused(
        2,
        &format!("use {lot} 1kg {} 1kg --for bread", ends(&lot)[0]),
    );
    assert!(told.contains("named twice"), "{told}");
}

#[test]
fn weights_one_after_the_other_are_a_sample() {
    let test = |typed: &str| {
        let kitchen = Kitchen::new();
        let lot = kitchen.lot("5kg");
        kitchen.json(&format!("moisture {lot} {typed}"))
    };
    let long = test("--weighing 14.2g,114.5g,37.2g");
    assert_eq!(test("14.2 114.5 37.2 g"), long);
    assert_eq!(test("14.2g 114.5g 37.2g"), long);
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    for wrong in ["14.2 114.5 37.2", "14.2 g", "14.2 114.5 x37 g"] {
        kitchen.refused(2, &format!("moisture {lot} {wrong}"));
    }
    kitchen.refused(2, &format!("moisture {lot} 14.2 114.5 37.2 g --lab 75%"));
}

#[test]
fn a_lot_is_moved_with_or_without_the_name_of_the_option() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.pickup(BOUGHT);
    kitchen.ok(&format!("move {lot} freezer"));
    kitchen.at("2026-11-20T12:00:00Z");
    kitchen.ok(&format!("move {lot} --to fridge"));
    kitchen.refused(2, &format!("move {lot}"));
    kitchen.refused(2, &format!("move {lot} freezer --to fridge"));
}

#[test]
fn a_pickup_like_the_last_takes_source_grist_and_place() {
    let kitchen = Kitchen::new();
    let told = kitchen.refused(1, "pickup --like last --brewed today --wet 3kg");
    assert!(
        told.contains("there is no pickup in the book yet"),
        "{told}"
    );
    kitchen.ok("place add cellar --kind fridge --temp 4C");
    let first = |source: &str, grist: &str, place: &str| {
        kitchen.ok(&format!(
            "pickup --source \"{source}\" --grist \"{grist}\" --place {place} {BOUGHT}"
        ))
    };
    first("Alder Lane", "wheat malt 100%", "cellar");
    first("Brook End", "rye malt 100%", "fridge");
    let like = |words: &str| {
        let ran = kitchen.run(&format!(
            "pickup --like last --brewed today --mash-out 09:00 --wet 3kg --json {words}"
        ));
        assert_eq!(ran.code, 0, "{}", ran.err);
        let answer: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        let lot = answer["lot"].as_str().unwrap();
        let grist: Option<String> = kitchen
            .sqlite()
            .query_row(
                "SELECT grist FROM lot ORDER BY id DESC LIMIT 1",
                [],
                |row| row.get(0),
            )
            .unwrap();
        (kitchen.on_shelf(lot), grist.unwrap_or_default(), ran.err)
    };
    let (last, grist, told) = like("");
    assert_eq!(last["source"], "Brook End");
    assert_eq!(grist, "rye malt 100%");
    assert_eq!(last["place"], "fridge");
    assert!(
        told.contains("rye malt 100%"),
        "the allergens are said: {told}"
    );
    let (of_one, grist, _) = like("--source \"Alder Lane\"");
    assert_eq!(grist, "wheat malt 100%");
    assert_eq!(of_one["place"], "cellar");
    let (typed, grist, told) = like("--grist \"oat malt 100%\" --place freezer");
    assert_eq!(grist, "oat malt 100%");
    assert_eq!(typed["place"], "freezer");
    assert!(!told.contains("rye"), "{told}");
    kitchen.refused(
        1,
        "pickup --like last --source \"Nowhere Yet\" --brewed today --wet 3kg",
    );
    kitchen.refused(2, "pickup --like first --brewed today --wet 3kg");
}
