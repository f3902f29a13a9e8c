//! Whether a brewery is steady: limits, odd lots and drift in `moisture --why`, `report`, `shelf` and `today`.

use crate::env::Kitchen;

/// A book with a lot a day, each tested with one sample of 100 g that was so many grams when dry; the code of the last one.
fn book(dry: &[f64]) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    let mut last = String::new();
    for (day, dry) in (1..).zip(dry) {
        kitchen.at(&format!("2026-11-{day:02}T11:00:00Z"));
        last = pickup(&kitchen);
        kitchen.ok(&format!("moisture {last} 12 112 {} g", 12.0 + dry));
    }
    (kitchen, last)
}

fn pickup(kitchen: &Kitchen) -> String {
    let booked = kitchen.json(
        "pickup --source \"Alder Lane\" --brewed today --mash-out 07:00 --cooled 09:00 --wet 5kg",
    );
    booked["lot"].as_str().unwrap().to_owned()
}

/// One line, without the wrapping.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const STEADY: [f64; 12] = [
    22.0, 22.4, 21.6, 22.2, 21.8, 22.3, 21.7, 22.0, 22.4, 21.6, 22.1, 21.9,
];

#[test]
fn an_odd_lot_is_named_and_tested_again_until_a_second_test_holds_it() {
    let mut dry = STEADY.to_vec();
    dry.push(13.0);
    let (kitchen, odd) = book(&dry);
    let why = flat(&kitchen.ok(&format!("moisture {odd} --why")));
    assert!(
        why.contains(&format!("Odd: {odd}, 87 % is above the limit of")),
        "{why}"
    );
    let json = kitchen.json(&format!("moisture {odd} --why"));
    let why = &json["why"];
    assert_eq!(why["source_lots"], 13);
    assert_eq!(why["odd_lots"], serde_json::json!([odd]));
    let limits = ["limit_low_wet_basis", "limit_high_wet_basis"];
    let [low, high] = limits.map(|key| why[key].as_f64().unwrap());
    // By hand: median 78 %, mean difference of neighbours 0.5 points without those of the odd lot, so ± 3 × 0.5 ÷ 1.12838.
    assert!(
        (low - 0.766_707).abs() < 1e-6 && (high - 0.793_293).abs() < 1e-6,
        "{low} {high}"
    );
    let again = format!("test `{odd}` again, from another place of the tub: 87 % is outside");
    for command in ["shelf", "today"] {
        let told = kitchen.run(command);
        let told = flat(&told.err);
        assert!(told.contains(&again), "{command}: {told}");
    }
    let report = kitchen.json("report");
    assert_eq!(report["moisture_limits"][0]["odd_lots"], odd);
    let said = flat(&kitchen.ok("report"));
    assert!(
        said.contains(&format!(
            "Outside the limits of its source: {odd} with 87 %."
        )),
        "{said}"
    );
    kitchen.ok("report --html report.html");
    let page = std::fs::read_to_string(kitchen.folder().join("report.html")).unwrap();
    assert!(page.contains(&format!("odd: {odd}")) && page.contains("upper limit"));
    kitchen.ok(&format!("moisture {odd} 12 112 25.2 g"));
    let told = kitchen.run("today");
    let told = flat(&told.err);
    assert!(!told.contains("again, from another place"), "{told}");
}

#[test]
fn a_drifting_brewery_is_told_where_an_untested_lot_is_on_hand() {
    let mut dry = STEADY.to_vec();
    dry.extend([19.6, 20.0, 19.7, 19.9, 19.5, 20.1, 19.8, 19.6, 20.0]);
    let (mut kitchen, tested) = book(&dry);
    let told = |kitchen: &Kitchen| {
        let told = kitchen.run("today");
        flat(&told.err)
    };
    assert!(
        !told(&kitchen).contains("drifting"),
        "no untested lot: nothing to do"
    );
    kitchen.at("2026-11-22T11:00:00Z");
    let untested = pickup(&kitchen);
    let words = told(&kitchen);
    assert!(
        words.contains(&format!("test `{untested}`: Alder Lane is drifting, the last 8 tested lots all lie above the middle value of")),
        "{words}"
    );
    for lot in [&tested, &untested] {
        let json = kitchen.json(&format!("moisture {lot} --why"));
        assert_eq!(json["why"]["drift"], "8 in a row", "{lot}");
    }
    assert_eq!(
        kitchen.json("report")["moisture_limits"][0]["drift"],
        "8 in a row"
    );
    assert!(flat(&kitchen.ok("report")).contains("Drifting: Alder Lane (whole)."));
    // An old month is judged by the lots of then.
    let early = kitchen.json("report --to 2026-11-12");
    assert_eq!(
        early["moisture_limits"][0]["drift"],
        serde_json::Value::Null
    );
    assert_eq!(early["moisture_limits"][0]["source_lots"], 12);
}

#[test]
fn of_few_lots_it_says_that_nobody_can_tell_and_equal_ones_are_steady() {
    let (kitchen, last) = book(&[22.0; 7]);
    let why = flat(&kitchen.ok(&format!("moisture {last} --why")));
    assert!(
        why.contains(
            "nobody can tell yet whether Alder Lane is steady: 7 lots of it tested, 8 are needed"
        ),
        "{why}"
    );
    assert!(flat(&kitchen.ok("report")).contains("No source has 8 tested lots yet"));
    let (kitchen, last) = book(&[22.0; 9]);
    for text in [
        kitchen.ok(&format!("moisture {last} --why")),
        kitchen.ok(&format!("moisture {last} --why --json")),
        kitchen.ok("report"),
        kitchen.ok("report --json"),
    ] {
        assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    }
    let why = flat(&kitchen.ok(&format!("moisture {last} --why")));
    assert!(
        why.contains("Steady: no tested lot breaks a run rule."),
        "{why}"
    );
}
