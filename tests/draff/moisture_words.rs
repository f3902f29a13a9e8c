//! Where the moisture of a lot is known from, in words: lots of its source that were brewed later count as well.

use crate::env::{Kitchen, has, one_line};

#[test]
fn lots_that_were_brewed_later_are_not_called_earlier() {
    let mut kitchen = Kitchen::on_monday();
    let first = kitchen.tub("Corrow Weir", "--wet 6kg");
    kitchen.at("2026-11-11T10:00:00Z");
    let later = kitchen.tub("Corrow Weir", "--wet 6kg");
    for lot in [&first, &later] {
        kitchen.ok(&format!("moisture {lot} --lab 77%"));
    }
    assert_eq!(
        kitchen.on_shelf(&first)["moisture"]["from"],
        "test and earlier lots"
    );
    let shelf = one_line(&kitchen.ok("shelf"));
    has(&shelf, "tested; other lots of the same source count too");
    for words in [
        "shelf".to_owned(),
        "report".to_owned(),
        format!("moisture {first}"),
        format!("hold-back {first} --wet 1kg --flour 3kg --hydration 70%"),
    ] {
        let said = one_line(&kitchen.ok(&words));
        assert!(!said.contains("earlier lot"), "{words}\n{said}");
    }
}
