//! `source rename` asks back as `pickup` does: a new name that is almost that of another source is typed twice.

use crate::env::{Kitchen, has, one_line};

/// Three sources, each with a tub.
fn three() -> Kitchen {
    let kitchen = Kitchen::new();
    for source in ["Tarn Fell", "Alder Lane", "Corrie Mill"] {
        kitchen.pickup_from(source, "--brewed 2026-11-20 --mash-out 07:30 --wet 3kg");
    }
    kitchen
}

#[test]
fn a_name_that_is_almost_another_is_refused_with_both_commands() {
    let kitchen = three();
    let before = kitchen.entries();
    let said = one_line(&kitchen.refused(1, "source rename \"Alder Lane\" --to \"Tarn Fel\""));
    has(&said, "almost like `Tarn Fell`");
    let merge = "source merge 'Alder Lane' --into 'Tarn Fell'";
    let rename = "source rename 'Alder Lane' --to 'Tarn Fel' --new-source";
    has(&said, &format!("draff {merge}"));
    has(&said, &format!("draff {rename}"));
    assert_eq!(kitchen.entries(), before);
    kitchen.ok(rename);
    assert_eq!(kitchen.entries(), before + 1);
    let sources = kitchen.ok("source list");
    has(&sources, "Tarn Fel ");
    has(&sources, "Tarn Fell ");
    has(&kitchen.ok("check"), "whole");
}

#[test]
fn the_command_for_one_brewery_makes_them_one() {
    let kitchen = three();
    kitchen.refused(1, "source rename \"Alder Lane\" --to \"Tarn Fel\"");
    kitchen.ok("source merge 'Alder Lane' --into 'Tarn Fell'");
    let trace = kitchen.json("trace --source \"Tarn Fell\"");
    assert_eq!(trace["lots"].as_array().unwrap().len(), 2);
}

#[test]
fn of_several_names_each_has_its_command() {
    let kitchen = three();
    kitchen.pickup_from(
        "Tarn Felt",
        "--new-source --brewed 2026-11-20 --mash-out 07:30 --wet 3kg",
    );
    let said = one_line(&kitchen.refused(1, "source rename \"Alder Lane\" --to \"Tarn Fels\""));
    for into in ["Tarn Fell", "Tarn Felt"] {
        has(&said, &format!("source merge 'Alder Lane' --into '{into}'"));
    }
}

#[test]
fn what_is_near_to_its_own_name_alone_is_not_asked_back() {
    let kitchen = three();
    kitchen.ok("source rename \"Alder Lane\" --to \"Alder Lanes\"");
    kitchen.ok("source rename \"Alder Lanes\" --to \"Quern House\"");
    kitchen.ok("source rename \"Quern House\" --to \"Adler Lane\"");
}

#[test]
fn a_name_that_it_had_or_has_is_its_own() {
    let kitchen = three();
    kitchen.ok("source rename \"Alder Lane\" --to \"Tarn Fel\" --new-source");
    kitchen.ok("source rename \"Tarn Fel\" --to \"TARN FEL\"");
    kitchen.ok("source rename \"TARN FEL\" --to \"Alder Lane\"");
    kitchen.ok("source rename \"Alder Lane\" --to \"Tarn Fel\"");
}

#[test]
fn a_name_that_another_has_is_refused_however_new() {
    let kitchen = three();
    let said = kitchen.refused(
        1,
        "source rename \"Alder Lane\" --to \"tarn fell\" --new-source",
    );
    has(&one_line(&said), "another source is called so");
}
