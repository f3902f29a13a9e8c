//! Whether the name of a part of a grist tells which cereals are in it.

use super::asked::words;
use super::named;

/// Signs and words between which each piece of a name is looked at by itself.
const SIGNS: [char; 7] = ['+', '&', '/', ';', '＋', '＆', '／'];
const JOINERS: [&str; 7] = ["and", "und", "with", "mit", "or", "oder", "plus"];

/// Words that are plainly no cereal: how a malt is made, its colour, its form, what goes into a mash beside malt. From
/// memory; a word that is missing here leaves a piece open. `malt` is left out, since `pale malt` may be of any cereal.
const NO_CEREAL: [&str; 64] = [
    "acidulated",
    "amber",
    "black",
    "brown",
    "cara",
    "caramel",
    "chocolate",
    "coarse",
    "coffee",
    "cracked",
    "crushed",
    "crystal",
    "dark",
    "dehusked",
    "diastatic",
    "ebc",
    "fine",
    "flake",
    "flaked",
    "flakes",
    "floor",
    "from",
    "ground",
    "hop",
    "hops",
    "hull",
    "hulls",
    "husk",
    "husks",
    "kilned",
    "lager",
    "light",
    "local",
    "lovibond",
    "malted",
    "mashed",
    "melanoidin",
    "mild",
    "milled",
    "munich",
    "of",
    "organic",
    "own",
    "pale",
    "peated",
    "pils",
    "pilsener",
    "pilsner",
    "puffed",
    "raw",
    "roast",
    "roasted",
    "rolled",
    "row",
    "smoked",
    "some",
    "srm",
    "steeped",
    "the",
    "toasted",
    "torrefied",
    "unmalted",
    "vienna",
    "whole",
];

/// Whether a name in small letters tells all cereals in it: it names one, and so does each piece that is joined to
/// others but for those of plain words, as in `pale and roasted barley`. `barley and Weizen malt` leaves one open.
pub(super) fn tells_all(name: &str) -> bool {
    named(name).next().is_some()
        && pieces(name).all(|piece| names_one(&piece) || piece.iter().all(|word| is_plain(word)))
}

/// What is joined in a text, the words of each piece.
pub(super) fn pieces(text: &str) -> impl Iterator<Item = Vec<&str>> {
    text.split(SIGNS).flat_map(|side| {
        let words: Vec<&str> = words(side).collect();
        words
            .split(|word| JOINERS.contains(word))
            .map(<[&str]>::to_vec)
            .collect::<Vec<_>>()
    })
}

/// Whether a piece names a cereal. What is only like one may be another.
fn names_one(piece: &[&str]) -> bool {
    piece.iter().any(|word| named(word).next().is_some()) && !piece.contains(&"like")
}

pub(super) fn is_plain(word: &str) -> bool {
    NO_CEREAL.contains(&word) || word.chars().all(char::is_numeric)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_joined_piece_that_names_no_cereal_leaves_open_what_it_is() {
        for open in [
            "barley and weizen malt",
            "barley und weizen",
            "weizen with barley",
            "barley & roggen",
            "barley + spelt-like",
            "barley/hafer",
            "barley ＋ hafer",
            "barley and/or weizen",
            "barley, dinkel and rye; weizen",
            "barley-and-weizen malt",
            "barley malt with malt extract",
            // As it would be as a part of its own.
            "barley malt and pale malt",
            "pale malt",
            "pale and crystal",
            "spelt-like",
            "",
        ] {
            assert!(!tells_all(open), "{open}");
        }
    }

    #[test]
    fn words_that_are_plainly_no_cereal_leave_nothing_open() {
        for told in [
            "barley",
            "pale barley malt",
            "golden field barley malt",
            "pale and roasted barley malt",
            "pale/crystal barley malt",
            "malted & flaked barley",
            "barley malt with hulls",
            "barley malt with rice hulls",
            "barley flakes and hops",
            "2-row/6-row barley malt",
            "crystal barley malt 60/70",
            "barley malt (pale + amber)",
            "wheat and rye malt",
            "barley+oats",
            "barley malt &",
            "maize/rice",
        ] {
            assert!(tells_all(told), "{told}");
        }
    }
}
