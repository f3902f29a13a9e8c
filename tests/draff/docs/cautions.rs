//! The page of cautions says what the program says.

use super::hold_part;
use draffbook::report::Caution;

#[test]
fn the_page_of_cautions_is_that_of_the_program() {
    let cautions = Caution::ALL.iter().map(|caution| {
        format!(
            "\n### {}\n\n> {}\n\n{}\n\nShown {}. Source: {}.\n",
            caution.as_key(),
            caution.text(),
            caution.more(),
            caution.shown(),
            caution.source()
        )
    });
    let expected: String = cautions.collect();
    hold_part(
        "cautions.md",
        "<!-- cautions -->",
        "<!-- end -->",
        &expected,
    );
}
