//! Lines of allergens, however many: no wider than a terminal, broken at a comma, what is said behind them in one piece.

use crate::env::{Kitchen, LOAF, has, one_line};

const ALL: [&str; 13] = [
    "prawn", "egg", "tuna", "peanut", "soya", "milk", "hazelnut", "celery", "mustard", "sesame",
    "wine", "lupin", "mussel",
];

/// The small loaf with these in it too.
fn with(names: &[&str]) -> String {
    let more = names.iter().map(|name| {
        format!("\n[[ingredient]]\nname = \"{name}\"\nkind = \"other\"\nshare = \"1%\"\n")
    });
    std::iter::once(LOAF.to_owned()).chain(more).collect()
}

/// The lines of the allergens in an answer.
fn lines(answer: &str) -> Vec<String> {
    let mut lines = answer
        .lines()
        .skip_while(|line| !line.contains("Allergens: "));
    let first = lines.next().unwrap_or_else(|| panic!("{answer}"));
    let more = lines.take_while(|line| line.starts_with("  "));
    std::iter::once(first)
        .chain(more)
        .map(str::to_owned)
        .collect()
}

#[track_caller]
fn is_tidy(lines: &[String]) {
    assert!(
        lines.iter().all(|line| line.chars().count() <= 78),
        "{lines:?}"
    );
    for line in &lines[..lines.len() - 1] {
        assert!(line.ends_with([',', '.']), "{lines:?}");
    }
    let whole = ["Check every label for more.", "Read labels."];
    assert!(
        whole
            .iter()
            .any(|check| lines[lines.len() - 1].ends_with(check)),
        "{lines:?}"
    );
}

#[test]
fn every_number_of_them_is_tidy_beside_a_dough() {
    let kitchen = Kitchen::new();
    for number in 1..=ALL.len() {
        for names in [&ALL[..number], &ALL[ALL.len() - number..]] {
            kitchen.file("rich.toml", with(names));
            let answer = kitchen.ok("batch ./rich.toml --pieces 4 --moisture 77%");
            let lines = lines(&answer);
            is_tidy(&lines);
            assert!(lines.len() <= 2, "{lines:?}");
        }
    }
}

#[test]
fn eight_of_them_are_one_line_on_the_sheet() {
    let kitchen = Kitchen::new();
    kitchen.file(
        "rich.toml",
        with(&[
            "egg", "tuna", "soya", "milk", "hazelnut", "mustard", "sesame", "lupin",
        ]),
    );
    kitchen.ok("formula add rich.toml");
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 4 --lot {lot}"
    ));
    has(
        &kitchen.ok("sheet B-1S"),
        "\n! Allergens: egg, fish, soya, milk, nuts, mustard, sesame, lupin. Read labels.\n",
    );
}

#[test]
fn a_ticket_breaks_them_at_a_comma() {
    let kitchen = Kitchen::new();
    let grist: Vec<String> = ALL.iter().map(|name| format!("{name} 2%")).collect();
    let lot = kitchen.lot_from(
        "Alder Lane",
        &format!(
            "--wet 5kg --grist \"pale barley malt 74%, {}\"",
            grist.join(", ")
        ),
    );
    let ticket = kitchen.ok(&format!("ticket {lot}"));
    assert!(
        ticket.lines().all(|line| line.chars().count() <= 80),
        "{ticket}"
    );
    let named = lines(&ticket);
    assert!(
        named[0].starts_with("  Allergens: crustaceans, egg, "),
        "{ticket}"
    );
    assert!(named[0].ends_with(','), "{ticket}");
    assert!(named[1].starts_with("    "), "{ticket}");
    has(
        &one_line(&ticket),
        "Allergens: crustaceans, egg, fish, peanut, soya, milk, nuts, celery, mustard, sesame, sulphites, lupin, molluscs",
    );
}
