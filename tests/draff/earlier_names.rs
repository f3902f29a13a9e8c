//! A name that a source had once means that source. Said to be new under such a name, grain is booked to nobody.

use crate::env::{Kitchen, SLIP, has, one_line};

const BREWED: &str = "--brewed 2026-11-20 --mash-out 07:30 --wet 4kg";

/// `Tarn Fell`, which is called `Beck Mill` by now; `Corrow Weir`, which is one with `Alder Lane` by now.
fn renamed_and_joined() -> Kitchen {
    let kitchen = Kitchen::new();
    for source in ["Tarn Fell", "Corrow Weir", "Alder Lane"] {
        kitchen.pickup_from(source, BREWED);
    }
    kitchen.ok("source rename \"Tarn Fell\" --to \"Beck Mill\"");
    kitchen.ok("source merge \"Corrow Weir\" --into \"Alder Lane\"");
    kitchen
}

/// What is said of a new source by each of these names, and how it is called now.
const NAMES: [(&str, &str); 3] = [
    ("Tarn Fell", "Beck Mill"),
    ("tarn fell", "Beck Mill"),
    ("Corrow Weir", "Alder Lane"),
];

#[test]
fn a_new_source_by_an_earlier_name_is_refused_with_both_ways() {
    let kitchen = renamed_and_joined();
    for (name, now) in NAMES {
        for like in ["", "--like last"] {
            let said = one_line(&kitchen.refused(
                1,
                &format!("pickup --source \"{name}\" --new-source {like} {BREWED}"),
            ));
            has(&said, &format!("`{name}` is not new"));
            has(&said, &format!("is called `{now}` now"));
            has(
                &said,
                &format!("if it is that one, type its name: --source '{now}'"),
            );
            has(
                &said,
                "a name that no source ever had: --source NAME --new-source",
            );
        }
    }
}

#[test]
fn what_is_printed_to_be_typed_books_to_the_one_or_the_other() {
    let kitchen = renamed_and_joined();
    let old = kitchen.pickup_from("Beck Mill", &format!("--new-source {BREWED}"));
    assert_eq!(kitchen.on_shelf(&old)["source"], "Beck Mill");
    let new = kitchen.pickup_from("Hollow Ales", &format!("--new-source {BREWED}"));
    assert_eq!(kitchen.on_shelf(&new)["source"], "Hollow Ales");
    // What is new now is called so from then on.
    kitchen.pickup_from("Hollow Ales", &format!("--new-source {BREWED}"));
}

#[test]
fn a_file_of_pickups_is_refused_with_the_row() {
    let kitchen = renamed_and_joined();
    for (name, now) in NAMES {
        kitchen.file(
            "p.csv",
            format!("source,brewed,wet\nHollow Ales,2026-11-19,4kg\n{name},2026-11-19,5kg\n"),
        );
        let said = one_line(&kitchen.refused(1, "pickup --csv p.csv --new-source"));
        has(
            &said,
            &format!("`p.csv`, line 3: source `{name}` is not new"),
        );
        has(&said, &format!("write `{now}` in that row"));
        has(&said, "a name there that no source ever had");
    }
}

#[test]
fn a_corrected_source_is_refused_as_well() {
    let kitchen = renamed_and_joined();
    kitchen.lot_from("Alder Lane", "--wet 3kg");
    let entry = kitchen.last_entry("pickup");
    let correct = format!("correct {entry} --source \"Tarn Fell\" {SLIP}");
    has(
        &one_line(&kitchen.refused(1, &format!("{correct} --new-source"))),
        "is called `Beck Mill` now",
    );
    has(&one_line(&kitchen.ok(&correct)), "from Beck Mill");
}

#[test]
fn without_that_word_it_is_the_source_that_had_the_name_and_the_answer_says_so() {
    let kitchen = renamed_and_joined();
    for (name, now) in NAMES {
        let said = kitchen.ok(&format!("pickup --source \"{name}\" {BREWED}"));
        has(&one_line(&said), &format!("from {now}"));
        kitchen.file(
            "p.csv",
            format!("source,brewed,wet\n{name},2026-11-19,4kg\n{now},2026-11-18,4kg\n"),
        );
        let told = kitchen.told("pickup --csv p.csv");
        has(&told, &format!("source `{name}` is called `{now}` now"));
        assert_eq!(told.matches("booked under that name").count(), 1, "{told}");
    }
}

#[test]
fn the_name_of_now_in_other_capitals_is_told_of_nobody() {
    let kitchen = renamed_and_joined();
    kitchen.file("p.csv", "source,brewed,wet\nBECK  mill,2026-11-19,4kg\n");
    let told = kitchen.told("pickup --csv p.csv");
    assert!(!told.contains("is called"), "{told}");
}

#[test]
fn a_source_that_is_renamed_to_an_earlier_name_of_another_is_asked_back() {
    let kitchen = renamed_and_joined();
    kitchen.pickup_from("Hollow Ales", BREWED);
    for (name, now) in NAMES {
        let rename = format!("source rename \"Hollow Ales\" --to \"{name}\"");
        let said = one_line(&kitchen.refused(1, &rename));
        has(
            &said,
            &format!("`{name}`, an earlier name of the source that is called `{now}` now"),
        );
        has(
            &said,
            &format!("draff source merge 'Hollow Ales' --into '{now}'"),
        );
        has(
            &said,
            &format!("draff source rename 'Hollow Ales' --to '{name}' --new-source"),
        );
    }
    // A name that it had itself is its own.
    kitchen.ok("source rename \"Beck Mill\" --to \"Tarn Fell\"");
    kitchen.ok("source rename \"Hollow Ales\" --to \"Beck Mill\" --new-source");
}
