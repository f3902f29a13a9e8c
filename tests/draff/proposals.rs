//! What bakes say of the losses and the mixing heat that a formula states, and how a person accepts it.

use crate::env::{Kitchen, LOAF};
use serde_json::Value;

/// A book with so many bakes of the loaf, each of four pieces raw 3.2 kg, whose bread weighed so many grams.
fn book(baked: &[u32]) -> Kitchen {
    let (mut kitchen, lot) = Kitchen::with_loaf("10kg");
    for (number, baked) in (0..).zip(baked) {
        let hour = 11 + number;
        kitchen.at(&format!("2026-11-20T{hour:02}:00:00Z"));
        let added = kitchen.json(&format!(
            "bake add \"small loaf\" --at 2026-11-20T{hour:02}:10:00Z mix"
        ));
        kitchen.at(&format!("2026-11-20T{hour:02}:30:00Z"));
        let bake = added["bake"].as_str().unwrap();
        kitchen.ok(&format!(
            "bake done {bake} --used {lot}=100g --pieces 4 --baked {baked}g"
        ));
    }
    kitchen
}

fn proposal<'v>(answer: &'v Value, figure: &str) -> &'v Value {
    let all = answer["proposals"].as_array().unwrap();
    all.iter().find(|one| one["figure"] == figure).unwrap()
}

#[test]
fn a_bake_loss_that_bakes_contradict_is_proposed_and_a_person_accepts_it() {
    let mut kitchen = book(&[2740, 2750, 2760, 2745, 2755, 2750]);
    let before = kitchen.entries();
    let answer = kitchen.json("formula propose \"small loaf\"");
    let loss = proposal(&answer, "bake_loss");
    // By hand: 2750 g of 3200 g are left on average.
    assert!((loss["found"].as_f64().unwrap() - (1.0 - 2750.0 / 3200.0)).abs() < 1e-9);
    assert_eq!(
        (&loss["bakes"], &loss["is_proposed"]),
        (&6.into(), &true.into())
    );
    let handling = proposal(&answer, "handling_loss");
    assert!((handling["found"].as_f64().unwrap() - 0.02).abs() < 1e-9);
    assert_eq!(handling["is_proposed"], false);
    assert_eq!(proposal(&answer, "mixing_rise")["found"], Value::Null);
    let words = kitchen.ok("formula propose \"small loaf\"");
    assert!(
        words.contains("14.1 %") && words.contains("Nothing was changed."),
        "{words}"
    );
    assert_eq!(kitchen.entries(), before, "asking writes nothing");
    // Nothing changes until somebody adds it.
    let version =
        |kitchen: &Kitchen| kitchen.json("formula show \"small loaf\"")["version"].clone();
    assert_eq!(version(&kitchen), 1);
    let text = kitchen.ok("formula propose \"small loaf\" --toml");
    assert_eq!(
        text,
        LOAF.replace("bake_loss = \"10%\"", "bake_loss = \"14.1%\"")
    );
    kitchen.file("new.toml", &text);
    kitchen.ok("formula add new.toml");
    assert_eq!(version(&kitchen), 2);
    let answer = kitchen.json("formula propose \"small loaf\"");
    assert_eq!(proposal(&answer, "bake_loss")["is_proposed"], false);
    // A struck bake takes its lesson with it.
    kitchen.at("2026-11-20T18:00:00Z");
    let entry = kitchen.last_entry("baked");
    kitchen.ok(&format!("strike {entry} --reason \"wrong tins\""));
    let answer = kitchen.json("formula propose \"small loaf\"");
    assert_eq!(proposal(&answer, "bake_loss")["bakes"], 5);
}

#[test]
fn of_few_bakes_and_of_none_nothing_is_proposed() {
    for baked in [&[][..], &[2000, 2000]] {
        let kitchen = book(baked);
        let words = kitchen.ok("formula propose \"small loaf\"");
        assert!(
            words.contains("Nothing is proposed") && words.contains("too few"),
            "{words}"
        );
        assert!(!words.contains("NaN"), "{words}");
        let text = kitchen.ok("formula propose \"small loaf\" --toml");
        assert_eq!(text, LOAF);
    }
    let said = Kitchen::new().refused(1, "formula propose nothing");
    assert!(said.contains("nothing"), "{said}");
}
