//! Commands that words name in backticks, as links: the page has an act of its own for them.

use crate::render::whole_codes::with_whole_codes;
use maud::{Markup, html};

/// Words in which each `` `draff …` `` is a link to where the page does that, or else says where it is done.
pub fn linked(words: &str) -> Markup {
    let mut parts: Vec<(&str, &str)> = Vec::new();
    let mut rest = words;
    while let Some((before, after)) = rest.split_once("`draff ")
        && let Some((command, behind)) = after.split_once('`')
    {
        parts.push((before, command));
        rest = behind;
    }
    html! {
        @for (before, command) in parts {
            (with_whole_codes(before))
            @for (place, (words, address)) in acts(command).into_iter().enumerate() {
                @if place > 0 { ", " }
                a href=(address) { (words) }
            }
        }
        (with_whole_codes(rest))
    }
}

/// What a command does, in words, each with its address on the page.
fn acts(command: &str) -> Vec<(String, String)> {
    let typed: Vec<&str> = command.split(' ').collect();
    let one = |words: &str, address: &str| vec![(words.to_owned(), address.to_owned())];
    // What somebody named leads nowhere else.
    let is_code = |word: &str| {
        let mut letters = word.chars();
        letters.all(|letter| letter.is_ascii_alphanumeric() || letter == '-')
    };
    let codes = typed
        .iter()
        .skip(1)
        .take_while(|word| !word.starts_with("--") && is_code(word));
    let of_each = |words: &str, before: &str, after: &str| -> Vec<(String, String)> {
        let link = |code: &&str| (format!("{words} {code}"), format!("{before}{code}{after}"));
        codes.clone().map(link).collect()
    };
    match typed.as_slice() {
        ["strike", ..] => of_each("strike entry", "/entry/", "/strike"),
        ["correct", entry, ..] if is_code(entry) => one(
            &format!("correct entry {entry}"),
            &format!("/entry/{entry}/correct"),
        ),
        ["ticket", ..] => of_each("the ticket of", "/lot/", "/ticket"),
        ["trace", ..] => of_each("the trace of", "/trace?lot=", ""),
        ["probe", lot, "--aw", ..] if is_code(lot) => one(
            "write down its water activity",
            &format!("/lot/{lot}/activity"),
        ),
        ["probe", lot, "--spoiled", ..] if is_code(lot) => one(
            "an entry that it is spoiled",
            &format!("/lot/{lot}/spoiled"),
        ),
        ["probe", lot, "TEMPERATURE"] if is_code(lot) && *lot != "LOT" => one(
            &format!("the temperature of {lot}"),
            &format!("/lot/{lot}/temperature"),
        ),
        ["moisture", lot] | ["moisture", lot, "--why"] if is_code(lot) => one(
            &format!("the moisture of {lot}"),
            &format!("/lot/{lot}/moisture"),
        ),
        ["moisture", lot, ..] if is_code(lot) => {
            one("a sample of it", &format!("/lot/{lot}/sample"))
        }
        ["join", lot, ..] if is_code(lot) => {
            one(&format!("a join of {lot}"), &format!("/lot/{lot}/join"))
        }
        ["discard", lot, ..] if is_code(lot) => one(
            &format!("throw away {lot}"),
            &format!("/lot/{lot}/throw-away"),
        ),
        ["bake", "change", bake, ..] if is_code(bake) => one(
            &format!("a change of {bake}"),
            &format!("/bake/{bake}/change"),
        ),
        ["bake", "drop", bake, ..] if is_code(bake) => {
            one(&format!("drop {bake}"), &format!("/bake/{bake}/drop"))
        }
        ["bake", "done", bake, ..] if is_code(bake) => one(
            &format!("write {bake} down again"),
            &format!("/bake/{bake}/done"),
        ),
        ["bake", ..] => one("its page under Bakes", "/bakes"),
        ["source", "merge", ..] => one("make them one", "/book/sources/merge"),
        ["readings", ..] => one("a file under Places", "/book/places"),
        ["place", ..] => one("a change under Places", "/book/places"),
        ["move", ..] => one("a move of its lot", "/shelf"),
        ["use"] => one("a use of its lot", "/shelf"),
        ["settings", ..] => one("Settings under Book", "/book/settings"),
        ["plan", ..] => one("a new plan", "/plan"),
        ["log", about] if is_code(about) => one(
            &format!("the log of {about}"),
            &format!("/book/log?about={about}"),
        ),
        ["log", ..] => one("the log", "/book/log"),
        ["check", ..] => one("a check of the book", "/book/check"),
        ["pickup", ..] => one("grain in", "/grain-in"),
        _ => one("the command line", "/book"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_command_in_words_is_a_link() {
        let told = linked("typed twice: `draff strike 7 8 --reason \"typed twice\"`; lot `A`")
            .into_string();
        assert_eq!(
            told,
            "typed twice: <a href=\"/entry/7/strike\">strike entry 7</a>, \
             <a href=\"/entry/8/strike\">strike entry 8</a>; lot `A`"
        );
        let hostile = linked("`draff correct ../x --wet 1kg`").into_string();
        assert!(!hostile.contains("../x"), "{hostile}");
    }

    #[test]
    fn grain_that_is_on_hand_again_is_joined_and_thrown_away_on_the_page() {
        let told = linked("`draff join A-1 B-2 --to 'cold room'` makes one lot; or `draff discard A-1 --reason x`; `draff log A-1`")
            .into_string();
        assert_eq!(
            told,
            "<a href=\"/lot/A-1/join\">a join of A-1</a> makes one lot; or \
             <a href=\"/lot/A-1/throw-away\">throw away A-1</a>; <a href=\"/book/log?about=A-1\">the log of A-1</a>"
        );
    }

    #[test]
    fn other_words_stay_as_they_are() {
        for words in ["nothing to type", "`draff strike 7", "lot `draff`"] {
            assert_eq!(linked(words).into_string(), words);
        }
    }
}
