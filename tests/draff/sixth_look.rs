//! What a baker in a hurry had to read twice: what unknown grain asks for, exact doughs, proposals, water that is not
//! hot enough, samples that dry.

use crate::env::{Kitchen, has, one_line};
use serde_json::Value;

const LOAF: &str = include_str!("formula/loaf.toml");

/// A dough that takes just as much grain as it wants, as `formula from-masses` writes it.
const EXACT: &str = r#"
name = "exact loaf"
hydration = "71.9%"
pieces = 4
piece = "964g"
dough_temperature = "25C"

[grain]
wanted = "9.527%"

[[flour]]
name = "bread flour"
share = "90.473%"
"#;

fn pickup(kitchen: &Kitchen, source: &str, more: &str) -> String {
    let lot = kitchen.json(&format!(
        "pickup --source \"{source}\" --brewed 2026-11-20 {more}"
    ));
    lot["lot"].as_str().unwrap().to_owned()
}

/// A bake of the exact loaf on Sunday, and 6 kg of grain that nobody tested; gives the lot.
fn exact(kitchen: &Kitchen) -> String {
    kitchen.file("exact.toml", EXACT);
    kitchen.ok("formula add exact.toml");
    let lot = kitchen.lot("6kg");
    kitchen.ok("bake add \"exact loaf\" --at \"2026-11-22 12:00\" mix --pieces 4");
    lot
}

/// Two hours and a half after the mash-out a tub may be above 60 °C still: then its two hours begin now.
#[test]
fn a_tub_that_may_be_hot_still_is_measured_before_it_is_thrown_away() {
    let mut kitchen = Kitchen::new();
    let lot = pickup(&kitchen, "Alder Lane", "--mash-out 07:30 --wet 20kg");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown");
    for question in ["shelf", "today"] {
        let said = one_line(&kitchen.ok(question));
        has(
            &said,
            "take the temperature now, in the middle of the grain, where it is thickest: at 60 °C or more its time for cooling begins now. Below that: did somebody watch it cool? Then all of it must be at 5 °C or colder by Fri 20 Nov 13:30. Otherwise throw it away",
        );
        has(&said, &format!("draff probe {lot} TEMPERATURE"));
        has(&said, &format!("draff probe {lot} --cooled WHEN"));
    }
    kitchen.ok(&format!("probe {lot} 62C"));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
    // Five hours after the mash-out no reading tells when it left 60 °C.
    kitchen.at("2026-11-20T12:31:00Z");
    let said = one_line(
        &kitchen.ok("pickup --source \"Tarn Fell\" --brewed 2026-11-20 --mash-out 07:30 --wet 9kg"),
    );
    has(
        &said,
        "did somebody watch it cool? Then all of it must be at 5 °C or colder by Fri 20 Nov 13:30. Otherwise throw it away",
    );
    assert!(!said.contains("begins now"), "{said}");
}

/// A cold reading shows nothing of the time before it.
#[test]
fn a_cold_reading_that_came_too_late_is_told_to_show_nothing() {
    let kitchen = Kitchen::new();
    let lot = pickup(&kitchen, "Alder Lane", "--mash-out 07:30 --wet 20kg");
    let said = one_line(&kitchen.ok(&format!("probe {lot} 4C")));
    has(
        &said,
        &format!(
            "A thermometer now does not show how fast it cooled. Who watched it cool types: draff probe {lot} --cooled WHEN"
        ),
    );
    assert!(!said.contains("begins now"), "{said}");
}

#[test]
fn past_grain_says_what_to_do_with_it() {
    let mut kitchen = Kitchen::new();
    let kept = kitchen.lot("3kg");
    let said = one_line(&kitchen.ok(
        "pickup --source \"Tarn Fell\" --brewed 2026-11-20 --mash-out 05:30 --wet 20kg --temp 30C --collected 09:50",
    ));
    has(&said, "past, since Fri 20 Nov 07:30, before it was fetched");
    has(&said, "Next throw it away: draff discard TAR-261120-");
    assert!(!said.contains("was good until"), "{said}");
    kitchen.at("2026-11-29T10:00:00Z");
    let said = one_line(&kitchen.ok(&format!("probe {kept} 4C")));
    has(&said, "was good until Thu 26 Nov, end of day");
    has(
        &said,
        &format!("Next throw it away: draff discard {kept} --reason past"),
    );
    // Once it is thrown away nothing is asked for.
    let said = kitchen.ok(&format!("discard {kept} --reason past --as waste"));
    assert!(!said.contains("Next"), "{said}");
}

/// Untested, 971 g of 78 ± 7 % hold 214 ± 71 g of dry grain; a test makes that ± 10 g, less than a twentieth.
#[test]
fn an_exact_dough_is_told_how_far_it_may_be_off_where_that_is_much() {
    let kitchen = Kitchen::new();
    let lot = exact(&kitchen);
    let said = one_line(&kitchen.ok("plan"));
    has(
        &said,
        "of dry grain under or over its 214 g (95 % range), as the moisture is uncertain",
    );
    assert!(!said.contains("risk of less"), "{said}");
    kitchen.ok(&format!(
        "moisture {lot} --weighing 0g,100g,23g --weighing 0g,100g,23g --weighing 0g,100g,23g"
    ));
    let plan = kitchen.json("plan");
    assert!(plan["bakes"][0]["chance_below_min"].is_f64(), "{plan}");
    let said = one_line(&kitchen.ok("plan"));
    assert!(!said.contains("under or over"), "{said}");
    assert!(!said.contains("risk of less"), "{said}");
}

#[test]
fn a_plan_says_that_it_is_a_proposal_until_it_is_accepted() {
    let kitchen = Kitchen::new();
    let proposal =
        "This is a proposal. draff plan --accept takes it; draff today then says what to do when.";
    let unplanned = "No plan is accepted: draff plan makes one.";
    assert!(!kitchen.ok("today").contains(unplanned));
    exact(&kitchen);
    has(&kitchen.ok("today"), unplanned);
    has(&one_line(&kitchen.ok("plan")), proposal);
    let accepted = one_line(&kitchen.ok("plan --accept"));
    assert!(!accepted.contains(proposal), "{accepted}");
    let today = kitchen.ok("today");
    has(&today, "freeze");
    assert!(!today.contains(unplanned), "{today}");
    let again = one_line(&kitchen.ok("plan"));
    assert!(!again.contains(proposal), "{again}");
}

/// No water that yeast bears makes this dough warm: the sheet says what to pour all the same.
#[test]
fn a_sheet_says_what_to_pour_where_no_water_is_warm_enough() {
    let kitchen = Kitchen::new();
    exact(&kitchen);
    let sheet = one_line(&kitchen.ok("sheet B-1S --tap 8C --room 10C --grain-temp 3C"));
    has(
        &sheet,
        "43 °C WATER TEMPERATURE: pour at that, the most for yeast. The dough then comes out at about",
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
    has(&frozen, "WATER TEMPERATURE: none: thaw the grain first");
}

#[test]
fn a_dough_temperature_without_the_others_says_how_to_add_them() {
    let kitchen = Kitchen::new();
    let lot = exact(&kitchen);
    let done = format!("bake done B-1S --used {lot}=957g --dough-temp 26C");
    let told = kitchen.told(&done);
    has(
        &told,
        "To add them, strike the bake and write it down again, such as with --tap 12C --room 21C --grain-temp 4C",
    );
    let entry = kitchen.last_entry("baked");
    has(
        &told,
        &format!("`draff strike {entry} --reason …` undoes it"),
    );
    kitchen.ok(&format!("strike {entry} --reason \"temperatures\""));
    let told = kitchen.told(&format!(
        "{done} --tap 12C --room 21C --grain-temp 20C --water-temp 25C"
    ));
    assert!(!told.contains("not corrected"), "{told}");
    assert!(!told.contains("undoes it"), "{told}");
}

#[test]
fn a_sample_that_dries_is_not_enough_and_says_when_it_is_dry() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let weighed = |kitchen: &Kitchen, weights: &str| -> (String, Value) {
        let said = kitchen.ok(&format!("moisture {lot} {weights} g"));
        let found = kitchen.json(&format!("moisture {lot}"));
        (one_line(&said), found["samples_enough"].clone())
    };
    for weights in ["15.0 115.3", "15.0 115.3 38.6"] {
        let (said, enough) = weighed(&kitchen, weights);
        assert!(!said.contains("Enough"), "{said}");
        assert!(enough.is_null(), "{enough}");
    }
    let said = one_line(&kitchen.ok(&format!("moisture {lot}")));
    has(
        &said,
        "Weigh it again after about an hour more: when it lost no more than 0.1 g (0.1 %, AOAC 935.29, malt), it is dry",
    );
    kitchen.at("2026-11-20T11:00:00Z");
    let (said, enough) = weighed(&kitchen, "15.0 115.3 38.5");
    has(
        &said,
        "Enough 1 sample of this lot is enough: a second is not needed",
    );
    assert_eq!(enough, 1);
}

#[test]
fn what_the_scale_does_and_what_fetch_counts_on_are_said_as_they_are() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "loaf.toml",
        LOAF.replace("highest = \"10%\"", "highest = \"20%\""),
    );
    kitchen.ok("formula add loaf.toml");
    kitchen.lot("6kg");
    let said = one_line(&kitchen.ok("batch \"small loaf\" --pieces 4 --moisture 77%"));
    has(&said, "Rounding instant yeast from ");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 12:00\" mix --pieces 12");
    let said = one_line(&kitchen.ok("fetch --at \"2026-11-21 10:00\""));
    has(&said, "above the usual share if there is too much grain");
}
