//! `cautions`: every caution in full, with no book.

use crate::env::Kitchen;
use draffbook::report::Caution;
use serde_json::json;

#[test]
fn every_caution_is_printed_whole_without_a_book() {
    let kitchen = Kitchen::bare();
    let printed = kitchen.ok("cautions");
    let words: Vec<&str> = printed.split_whitespace().collect();
    let mut wanted = Vec::new();
    for caution in Caution::ALL {
        wanted.push(caution.as_key());
        wanted.extend(caution.text().split_whitespace());
    }
    assert_eq!(words, wanted, "each code above its text, in order");
    assert!(printed.lines().all(|line| line.chars().count() <= 80));
    assert_eq!(kitchen.ok("--quiet cautions"), printed);
    assert!(kitchen.files().is_empty());
}

#[test]
fn as_json_they_stand_under_the_key_that_answers_have() {
    let kitchen = Kitchen::bare();
    let all: Vec<_> = Caution::ALL
        .iter()
        .map(|caution| json!({"code": caution.as_key(), "text": caution.text()}))
        .collect();
    assert_eq!(kitchen.json("cautions"), json!({ "cautions": all }));
    // What stands beside an answer is one of them.
    let beside = &Kitchen::new().json("shelf")["cautions"][0];
    assert!(all.contains(beside), "{beside}");
}
