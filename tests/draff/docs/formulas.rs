//! `docs/formulas.md`: the keys are those that the program reads, the example is read and shown.

use super::{hold_part, read, rows, split};
use draffbook::dough::formula::Formula;
use draffbook::render;
use draffbook::render::numbers::Units;

const PAGE: &str = "formulas.md";

fn example(page: &str) -> String {
    let (_, marked, _) = split(page, "<!-- example", "<!-- end -->");
    let (_, text, _) = split(marked, "```toml", "```");
    text.to_owned()
}

#[test]
fn the_example_is_read_and_shown_as_the_page_says() {
    let formula = Formula::from_text(&example(&read(PAGE))).unwrap();
    let shown = render::formula::text(&formula, 1, Units::Metric);
    hold_part(
        PAGE,
        "<!-- shown",
        "<!-- end -->",
        &format!("\n```text\n{shown}```\n\n"),
    );
}

/// The keys that the program knows in one table, as it names them when it meets one that it does not know.
fn known(table: &str) -> Vec<String> {
    let text = if table.is_empty() {
        "nonsense = 1\n".to_owned()
    } else {
        format!("{table}\nnonsense = 1\n")
    };
    let said = Formula::from_text(&text).unwrap_err().to_string();
    let (_, expected) = said
        .split_once("expected ")
        .unwrap_or_else(|| panic!("{table}: {said}"));
    let mut keys = quoted(expected);
    keys.sort();
    keys
}

fn quoted(text: &str) -> Vec<String> {
    text.split('`')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_key_is_described_and_no_other() {
    let page = read(PAGE);
    for (heading, table) in [
        ("## The dough", ""),
        ("## `[grain]`", "[grain]"),
        ("## `[[flour]]`", "[[flour]]"),
        ("## `[[stage]]`", "[[stage]]"),
        ("## `[[ingredient]]`", "[[ingredient]]"),
        ("## `[[step]]`", "[[step]]"),
    ] {
        // A section ends at the next heading; the last one at the end of the page.
        let page = format!("{page}\n## ");
        let (_, section, _) = split(&page, heading, "\n## ");
        let mut described: Vec<String> = rows(section)
            .iter()
            .flat_map(|row| quoted(&row[0]))
            .collect();
        described.sort();
        assert_eq!(described, known(table), "{heading}");
    }
}

/// The example uses every kind of table, so that a baker sees each once.
#[test]
fn the_example_shows_every_table() {
    let text = example(&read(PAGE));
    for table in [
        "[grain]",
        "[[flour]]",
        "[[stage]]",
        "[[ingredient]]",
        "[[step]]",
    ] {
        assert!(text.contains(table), "{table}");
    }
}
