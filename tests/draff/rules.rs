//! `rules`: every limit of a set with its source, for an inspector to read.

use crate::env::Kitchen;

#[test]
fn every_built_in_set_is_printed_whole_and_can_be_used() {
    for name in ["strict", "us-food-code", "au-2h-4h", "uk-chilled"] {
        let kitchen = Kitchen::bare();
        let text = kitchen.ok(&format!("rules {name}"));
        let limits: toml::Table = text.parse().expect("a rule set is TOML");
        assert_eq!(limits["name"].as_str(), Some(name));
        for (part, limit) in limits
            .iter()
            .filter_map(|(part, limit)| Some((part, limit.as_table()?)))
        {
            if part != "readings" {
                let source = limit["source"].as_str().unwrap_or("");
                assert!(!source.is_empty(), "{name}: {part} names no source");
            }
        }
        kitchen.ok(&format!("new-book --rules {name}"));
        assert_eq!(kitchen.ok("rules"), text, "a book prints its own set");
    }
}

#[test]
fn no_book_is_needed_for_a_named_set_but_for_ones_own() {
    let kitchen = Kitchen::bare();
    kitchen.ok("rules strict");
    assert!(kitchen.files().is_empty());
    kitchen.refused(1, "rules");
    kitchen.refused(2, "rules gentle");
}
