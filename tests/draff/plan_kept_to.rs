//! What a plan promises is what the sheet takes, and what it asks for is what somebody would do.

use crate::env::{Kitchen, LOAF, has, one_line};
use crate::plan::{grams, kitchen, list, text};

/// Whoever names a lot of another form means it: two bakes share the lot as the plan promised it to them.
#[test]
fn a_named_lot_of_another_form_is_taken_as_it_was_promised() {
    let kitchen = Kitchen::new();
    let pressed = LOAF.replace("[grain]\n", "[grain]\nform = \"pressed\"\n");
    kitchen.file("pressed.toml", &pressed);
    kitchen.ok("formula add pressed.toml");
    let lot = kitchen.lot("3kg");
    let bakes = ["21", "22"].map(|day| {
        let added = kitchen.json(&format!(
            "bake add \"small loaf\" --at \"2026-11-{day} 06:00\" mix --pieces 12 --lot {lot}"
        ));
        text(&added, "bake").to_owned()
    });
    let plan = kitchen.json("plan --accept");
    let promised = |bake: usize| grams(&list(&plan["bakes"][bake], "draws")[0], "wet_g");
    assert!((promised(0) - promised(1)).abs() <= 1.0, "{plan}");
    let ran = kitchen.run(&format!("sheet {}", bakes[0]));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(!ran.err.contains("does not suit"), "{}", ran.err);
    has(&ran.err, "wants pressed grain");
    has(&ran.out, &format!("{} g of {lot}", promised(0)));
    for bake in &bakes {
        kitchen.ok(&format!("bake done {bake} --at now"));
    }
}

/// What a bake must be free of is a matter of health: a named lot of which that turns out otherwise is not taken.
#[test]
fn a_named_lot_that_may_hold_what_a_bake_must_be_free_of_is_not_taken() {
    let kitchen = kitchen();
    let lot = kitchen.pickup(
        "--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 3kg --grist \"pale barley malt 100%\"",
    );
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 06:00\" mix --pieces 12 --lot {lot} --free-of wheat"
    ));
    kitchen.ok("plan --accept");
    kitchen.ok(&format!(
        "correct {pickup} --grist \"wheat malt 100%\" --reason \"wrong sack\""
    ));
    let ran = kitchen.run("sheet B-1S");
    assert_ne!(ran.code, 0, "{}", ran.out);
    has(&ran.err, "wheat");
}

/// A tub that is given away as a whole need not be shown cold for the plan's sake.
#[test]
fn no_temperature_is_asked_of_grain_that_is_all_given_away() {
    let kitchen = kitchen();
    kitchen.ok("settings freezer none");
    kitchen.pickup("--brewed 2026-11-20 --mash-out 09:30 --temp 64C --wet 3kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-30 12:00\" mix --pieces 12");
    let plan = kitchen.json("plan");
    assert_eq!(text(&list(&plan, "spare")[0], "fate"), "spoils", "{plan}");
    assert!(list(&plan, "conditions").is_empty(), "{plan}");
    // A bake that takes some of it counts on it.
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-22 12:00\" mix --pieces 12");
    let plan = kitchen.json("plan");
    assert!(!list(&plan, "conditions").is_empty(), "{plan}");
}

/// The moment of a drying is when it begins: the plan says so, and how long it takes.
#[test]
fn a_plan_says_when_drying_begins_and_how_long_it_takes() {
    let kitchen = kitchen();
    kitchen.lot("5kg");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-30 06:00\" mix --pieces 12");
    kitchen.ok("settings freezer none");
    kitchen.ok("settings dryer 3kg");
    let said = one_line(&kitchen.ok("plan"));
    has(&said, "by 21:00: start drying ");
    has(&said, "Drying is planned to take 3 h from its start");
    has(
        &one_line(&kitchen.ok("plan --why")),
        "Less than 50 g of a lot",
    );
}
