//! Codes of lots and commands on pages: a browser breaks lines at a hyphen, and half a code or option is none.

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

/// A command in which each word stays whole where a line breaks.
pub fn with_whole_words(command: &str) -> Markup {
    html! {
        @for (place, word) in command.split(' ').enumerate() {
            @if place > 0 { " " }
            span.whole { (word) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_option_stays_whole_and_a_copied_command_is_the_one_that_was_typed() {
        let drawn = with_whole_words("draff use --for 'pan loaf'").into_string();
        assert!(
            drawn.contains(" <span class=\"whole\">--for</span> "),
            "{drawn}"
        );
        let copied = drawn
            .replace("<span class=\"whole\">", "")
            .replace("</span>", "");
        assert_eq!(copied, "draff use --for 'pan loaf'");
    }

    #[test]
    fn a_code_stays_whole_with_the_marks_around_it() {
        let drawn = with_whole_codes("take `COR-261120-15`, or (COR-261120-15): 2-3 kg");
        assert_eq!(
            drawn.into_string(),
            "take <span class=\"whole\">`COR-261120-15`,</span> or <span class=\"whole\">(COR-261120-15):</span> 2-3 kg"
        );
    }
}
