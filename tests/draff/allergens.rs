//! Allergens: on the ticket, beside the plan, and what a bake must be free of after the grist was corrected.

use crate::env::{Kitchen, LOAF, has, one_line};

/// A bake for somebody who bears no wheat: the sack was wheat malt after all.
#[test]
fn what_a_bake_is_to_be_free_of_is_kept_after_a_corrected_grist() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.lot_from("Alder Lane", "--wet 6kg --grist \"pale barley malt 100%\"");
    let pickup = kitchen.last_entry("pickup");
    for hour in [12, 13] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-20 {hour}:00\" mix --pieces 4 --lot {lot} --free-of wheat"
        ));
    }
    kitchen.at("2026-11-20T12:10:00Z");
    kitchen.ok("bake done B-1S");
    let ran = kitchen.run(&format!(
        "correct {pickup} --grist \"wheat malt 100%\" --reason \"wrong sack\""
    ));
    let told = format!("{} {}", ran.out, ran.err);
    let told = one_line(&told);
    has(&told, "B-1S was to be free of wheat");
    has(&told, "B-2Q is to be free of wheat");
    has(&told, "if a ticket is on it, print a new one");
    has(&told, "Allergen");
    has(
        &kitchen.refused(1, "sheet B-2Q"),
        "not known to be free of wheat",
    );
    let refused = kitchen.refused(1, "bake done B-2Q");
    has(&refused, "not known to be free of wheat");
    has(&refused, "say what went in");
}

#[test]
fn nuts_in_the_grist_stand_on_the_ticket_and_beside_the_plan() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let grist = "--wet 6kg --grist \"pale barley malt 90%, hazelnut 10%\"";
    let lot = kitchen.lot_from("Alder Lane", grist);
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 15:00\" mix --pieces 4");
    has(&kitchen.ok(&format!("ticket {lot}")), "Allergens: nuts");
    has(&kitchen.ok("plan"), "Allergens: nuts");
}
