//! Codes of lots on pages: a browser breaks lines at a hyphen, and half a code is none.

use crate::grain::LotCode;
use maud::{Markup, html};

/// Words in which the code of a lot stays whole where a line breaks.
pub fn with_whole_codes(words: &str) -> Markup {
    let is_code = |word: &str| {
        let bare = word.trim_matches(|c: char| !c.is_ascii_alphanumeric());
        bare.parse::<LotCode>().is_ok()
    };
    html! {
        @for (place, word) in words.split(' ').enumerate() {
            @if place > 0 { " " }
            @if is_code(word) { span.whole { (word) } } @else { (word) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_stays_whole_with_the_marks_around_it() {
        let drawn = with_whole_codes("take `COR-261120-15`, or (COR-261120-15): 2-3 kg");
        assert_eq!(
            drawn.into_string(),
            "take <span class=\"whole\">`COR-261120-15`,</span> or <span class=\"whole\">(COR-261120-15):</span> 2-3 kg"
        );
    }
}
