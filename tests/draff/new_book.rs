//! `new-book`: a book with a name, a zone and rules of one's own.

use crate::env::Kitchen;

#[test]
fn a_book_has_the_zone_that_was_asked_for() {
    let mut kitchen = Kitchen::bare();
    let ran = kitchen.run("new-book --name \"Mill bakery\" --zone America/Denver");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("time zone America/Denver"), "{}", ran.err);
    kitchen.at("2026-11-20 10:00");
    let lot = kitchen.json(
        "pickup --source \"Alder Lane\" --brewed today --mash-out 07:00 --cooled 08:00 --wet 1kg",
    );
    assert_eq!(lot["keep_until"], "2026-11-26T23:59:59-07:00");
}

#[test]
fn an_unknown_zone_or_name_is_refused() {
    let kitchen = Kitchen::bare();
    let said = kitchen.refused(2, "new-book --zone Middle/Earth");
    assert!(
        said.contains("time zone `Middle/Earth` is not known"),
        "{said}"
    );
    kitchen.refused(2, "new-book --name \"\"");
    kitchen.refused(2, "new-book --rules gentle");
}

#[test]
fn what_is_there_already_is_not_touched() {
    let kitchen = Kitchen::new();
    kitchen.lot("1kg");
    let said = kitchen.refused(1, "new-book");
    assert!(
        said.contains("there is something at `book.draff` already"),
        "{said}"
    );
}

#[test]
fn a_folder_is_made_where_there_is_none() {
    let kitchen = Kitchen::bare();
    kitchen.ok("--book books/2026/main.draff new-book --zone UTC");
    assert!(kitchen.folder().join("books/2026/main.draff").is_file());
}

/// Five days instead of seven: stricter than every public text.
#[test]
fn own_rules_from_a_file_hold() {
    let mut kitchen = Kitchen::bare();
    let text = kitchen
        .ok("rules strict")
        .replace("name = \"strict\"", "name = \"ours\"")
        .replace("most = 7", "most = 5")
        .replace("use_first_from = 5", "use_first_from = 3");
    kitchen.file("ours.toml", &text);
    kitchen.ok("new-book --zone Europe/Dublin --rules ours.toml");
    assert_eq!(kitchen.ok("rules"), text, "the book keeps the text itself");
    std::fs::remove_file(kitchen.folder().join("ours.toml")).unwrap();
    let lot = kitchen.lot("1kg");
    assert_eq!(
        kitchen.on_shelf(&lot)["keep_until"],
        "2026-11-24T23:59:59+00:00"
    );
    kitchen.at("2026-11-22T09:00:00Z");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "use-first");
    assert!(kitchen.ok("shelf").contains("rule set: ours"));
}

#[test]
fn rules_laxer_than_every_public_text_are_refused() {
    let kitchen = Kitchen::bare();
    let strict = kitchen
        .ok("rules strict")
        .replace("name = \"strict\"", "name = \"ours\"");
    for (from, to) in [
        ("most = 7", "most = 8"),
        ("past_from = \"4h\"", "past_from = \"5h\""),
        ("at_most = \"5C\"", "at_most = \"9C\""),
    ] {
        assert!(strict.contains(from));
        kitchen.file("lax.toml", strict.replace(from, to));
        let said = kitchen.refused(1, "new-book --rules ./lax.toml");
        assert!(said.contains("laxer than every public rule text"), "{said}");
    }
}

/// An inspector reads the name beside every answer, so it must not be borrowed.
#[test]
fn a_built_in_name_is_not_lent_to_other_rules() {
    let kitchen = Kitchen::bare();
    let stricter = kitchen.ok("rules strict").replace("most = 7", "most = 6");
    kitchen.file("own.toml", stricter);
    let said = kitchen.refused(1, "new-book --rules ./own.toml");
    assert!(
        said.contains("is not the built-in one of that name"),
        "{said}"
    );
}

#[test]
fn a_slip_in_a_rules_file_is_named_with_its_line() {
    let kitchen = Kitchen::bare();
    let strict = kitchen.ok("rules strict");
    kitchen.file("slip.toml", strict.replace("most = 7", "mots = 7"));
    let said = kitchen.refused(1, "new-book --rules ./slip.toml");
    assert!(
        said.contains("mots") && said.contains("see line "),
        "{said}"
    );
    kitchen.refused(1, "new-book --rules ./missing.toml");
}
