//! Names and notes: short, and free of anything that could move a cursor or break a line.

use super::{Problem, decimal};
use std::borrow::Cow;
use unicode_normalization::UnicodeNormalization;

/// Longest name of a source, a place or a person, in characters.
pub const LONGEST_NAME: usize = 60;
/// Longest note or reason, in characters.
pub const LONGEST_NOTE: usize = 500;

/// Trims a text and refuses it when empty, too long or holding control characters.
///
/// `what` is the user's word for it. Control and direction-changing characters are refused here once,
/// so every screen, page and file that shows the text later is safe from them.
pub fn checked(text: &str, what: &str, longest: usize) -> Result<String, Problem> {
    let text = decimal::trim(text);
    if text.is_empty() {
        return Err(Problem::new(format!("{what} is empty")));
    }
    let length = text.chars().count();
    if length > longest {
        return Err(Problem::new(format!(
            "{what} has {length} characters: at most {longest} are allowed"
        )));
    }
    if let Some(found) = text.chars().find(|c| c.is_control() || turns_direction(*c)) {
        return Err(Problem::new(format!(
            "{what} holds the control character {}: allowed is one line of plain text",
            found.escape_unicode()
        )));
    }
    Ok(text.to_owned())
}

/// A name or a note as somebody typed it: as [`checked`], in one way of writing (Unicode NFC, single plain spaces),
/// and without characters that nobody sees.
///
/// Texts that a book holds already are read with [`checked`] alone, so an older book stays readable.
pub fn typed(text: &str, what: &str, longest: usize) -> Result<String, Problem> {
    if let Some(found) = text.chars().find(|c| is_invisible(*c)) {
        return Err(Problem::new(format!(
            "{what} holds the invisible character {}: two names that look alike would be two",
            found.escape_unicode()
        ))
        .hint("type it anew instead of copying it"));
    }
    // A file of pickups holds many names, most of them of letters that nothing composes.
    let composed = if text.is_ascii() {
        Cow::Borrowed(text)
    } else {
        Cow::Owned(text.nfc().collect())
    };
    if composed.chars().any(|c| c.is_control()) {
        return checked(&composed, what, longest);
    }
    let words: Vec<&str> = composed.split_whitespace().collect();
    checked(&words.join(" "), what, longest)
}

/// Whether two names are meant to be one: alike but for case, width and the way of writing accents.
pub fn is_same_name(one: &str, other: &str) -> bool {
    one == other || folded(one) == folded(other)
}

/// Of all the one of a name: what is written so, else what is alike. An older book may hold both.
pub fn find_named<'a, T>(all: &'a [T], name_of: fn(&T) -> &str, name: &str) -> Option<&'a T> {
    let written = all.iter().find(|one| name_of(one) == name);
    written.or_else(|| all.iter().find(|one| is_same_name(name_of(one), name)))
}

/// A name for comparing: compatibility forms composed, letters small, spaces single.
pub fn folded(name: &str) -> String {
    let composed: String = name.nfkc().collect();
    // By way of capitals, since ß is SS there; the capital ẞ is small first, since it stays as it is there.
    let small = composed.to_lowercase().to_uppercase().to_lowercase();
    let plain: String = small.nfkc().filter(|c| !is_invisible(*c)).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Small letters, and an umlaut as two letters, also where it is a letter with two dots behind it: words of German as lists of words
/// have them.
pub fn without_umlauts(text: &str) -> String {
    let small = text.to_lowercase();
    let small = small.replace('ä', "ae").replace('ö', "oe");
    let small = small.replace('ü', "ue").replace('ß', "ss");
    small.replace('\u{308}', "e")
}

/// Characters without width or ink (Unicode 16.0, general category Cf and default-ignorable code points).
fn is_invisible(c: char) -> bool {
    matches!(c,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
        | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200d}' | '\u{2060}'..='\u{2065}' | '\u{206a}'..='\u{206f}'
        | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}' | '\u{1bca0}'..='\u{1bca3}'
        | '\u{1d173}'..='\u{1d17a}' | '\u{e0000}'..='\u{e0fff}')
}

/// Unicode's characters for overriding or isolating the direction of text, and its line separators.
fn turns_direction(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2028}' | '\u{2029}' | '\u{2066}'..='\u{2069}')
}

/// The text with every character that could move a cursor or turn a line written as `\u001b`, which is also
/// how JSON writes it. Line ends and tabs stay.
///
/// What is typed is refused by [`checked`]; this is for what is shown of it in the refusal, and for a book
/// or a file that somebody else wrote.
pub fn visible(text: &str) -> String {
    // Most texts are plain, and bytes are looked through several times as fast as letters.
    let is_plain = |byte| matches!(byte, b' '..=b'~' | b'\n' | b'\t');
    if text.bytes().all(is_plain) {
        return text.to_owned();
    }
    let mut shown = String::with_capacity(text.len());
    let mut from = 0;
    for (place, c) in text.char_indices() {
        let ends_line = c == '\n' || (c == '\r' && text[place + 1..].starts_with('\n'));
        if ends_line || c == '\t' || !(c.is_control() || turns_direction(c)) {
            continue;
        }
        shown.push_str(&text[from..place]);
        // All of them lie below U+10000, so four digits hold each.
        shown.push_str(&format!("\\u{:04x}", u32::from(c)));
        from = place + c.len_utf8();
    }
    shown.push_str(&text[from..]);
    shown
}

/// A text as one word of a command that is printed to be pasted: a shell takes it to the letter and runs nothing in it.
pub fn shell_word(text: &str) -> String {
    // No shell has a word for a NUL, and no text that was typed holds one.
    shlex::try_quote(text).map_or_else(|_| "NAME".to_owned(), |word| word.into_owned())
}

/// Finds `text` among `all` by its word, or refuses it naming what is allowed.
pub fn one_of<T: Copy>(
    text: &str,
    what: &str,
    all: &[T],
    word: fn(T) -> &'static str,
) -> Result<T, Problem> {
    let text = decimal::trim(text);
    all.iter()
        .copied()
        .find(|item| word(*item).eq_ignore_ascii_case(text))
        .ok_or_else(|| {
            let words: Vec<_> = all.iter().map(|item| word(*item)).collect();
            Problem::new(format!(
                "{what} is `{text}`: allowed are {}",
                words.join(", ")
            ))
        })
}

/// Whether what was typed is the path of a TOML file rather than a name: it holds a slash or a
/// backslash, or ends in `.toml`.
pub fn is_path(named: &str) -> bool {
    named.contains(['/', '\\']) || named.ends_with(".toml")
}

/// A number with at most `decimals` places and no zeros at its end: `76.9`, `10`.
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    if text == "-0" { "0".to_owned() } else { text }
}

/// A fraction in percent to the hundredth: `79.25 %`, `80 %`.
pub fn percent(fraction: f64) -> String {
    format!("{} %", trimmed(fraction * 100.0, 2))
}

/// `1 lot`, `3 lots`.
pub fn count(number: usize, singular: &str) -> String {
    if number == 1 {
        format!("1 {singular}")
    } else {
        format!("{number} {singular}s")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_text_is_trimmed_and_kept() {
        assert_eq!(
            checked("  Mill Lane \u{a0}", "name", 60).unwrap(),
            "Mill Lane"
        );
    }

    #[test]
    fn a_number_ends_in_no_zero_behind_the_point() {
        assert_eq!(trimmed(76.899_999, 2), "76.9");
        assert_eq!(trimmed(9.996, 2), "10");
        assert_eq!(trimmed(100.0, 0), "100");
        assert_eq!(trimmed(-0.001, 2), "0");
        assert_eq!(percent(0.79254), "79.25 %");
        assert_eq!(percent(0.8), "80 %");
    }

    #[test]
    fn a_shell_takes_a_text_for_one_word_and_runs_nothing_in_it() {
        assert_eq!(shell_word("cellar"), "cellar");
        assert_eq!(shell_word("Tarn Fell"), "'Tarn Fell'");
        for text in [
            "cold room9",
            "$(touch pwned)",
            "`x`",
            "it's \"so\"",
            "a\\b!",
            "Mühle",
        ] {
            let word = shell_word(text);
            assert_eq!(shlex::split(&word).unwrap(), [text], "{word}");
        }
    }

    #[test]
    fn a_typed_name_has_one_way_of_writing() {
        let name = |text: &str| typed(text, "name", 60);
        for text in [
            "Mühle am Bach",
            "Mu\u{308}hle am Bach",
            "Mühle  am\u{a0}Bach ",
            "Mühle am\u{2003}Bach",
        ] {
            assert_eq!(name(text).unwrap(), "Mühle am Bach", "{text:?}");
        }
        for text in [
            "Mühle\u{200b}",
            "Mü\u{ad}hle",
            "\u{feff}Mühle",
            "Mühle\u{200d}am",
            "a\nb",
            "a\tb",
            "  ",
        ] {
            assert!(name(text).is_err(), "{text:?}");
        }
        for other in [
            "MÜHLE AM BACH",
            "mu\u{308}hle am bach",
            "Ｍühle am Bach",
            "Mühle\u{200b} am  Bach",
        ] {
            assert!(is_same_name("Mühle am Bach", other), "{other:?}");
        }
        assert!(!is_same_name("Mühle am Bach", "Muhle am Bach"));
        for (one, other) in [
            ("Bachstraße", "BACHSTRASSE"),
            ("Bachstraße", "BACHSTRAẞE"),
            ("Bachstrasse", "Bachstraße"),
            ("Οδος", "ΟΔΟΣ"),
        ] {
            assert!(is_same_name(one, other), "{one} {other}");
        }
    }

    #[test]
    fn what_is_written_so_is_found_before_what_is_alike() {
        let all = ["BACHSTRASSE", "Bachstraße"];
        let found = |name: &str| find_named(&all, |one| one, name).copied();
        assert_eq!(found("Bachstraße"), Some("Bachstraße"));
        assert_eq!(found("bachstraße"), Some("BACHSTRASSE"));
        assert_eq!(found("Bach"), None);
    }

    #[test]
    fn what_moves_a_cursor_is_shown_and_not_done() {
        assert_eq!(
            visible("a\u{1b}[2J\u{9b}b\u{202e}\r\n\tc\rd\u{0}"),
            "a\\u001b[2J\\u009bb\\u202e\r\n\tc\\u000dd\\u0000"
        );
        assert_eq!(visible("Mühle, 4 °C – 🍞\n"), "Mühle, 4 °C – 🍞\n");
    }

    #[test]
    fn what_moves_a_cursor_is_refused() {
        for text in ["", "  ", "a\nb", "\u{1b}[31mred", "a\u{202e}b", "tab\tbed"] {
            assert!(checked(text, "name", 60).is_err(), "{text:?}");
        }
        assert!(checked(&"x".repeat(61), "name", 60).is_err());
    }
}
