//! The words in which somebody says what grain must be free of, or what to look for in it.

use super::told::{is_plain, pieces};
use super::{CEREALS, WITH_GLUTEN, is_cereal, named, one_word};
use crate::grain::allergens::Allergens;
use crate::quantity::Problem;

/// Whether all grain that is free of the one is free of the other too, as what is free of gluten is of wheat.
pub fn covers(one: &str, other: &str) -> bool {
    let [one, other] = [one, other].map(|asked| asked.trim().to_lowercase());
    let (cereals, allergens) = (meant(&one), Allergens::named_in(&one));
    let is_known = is_known(&one) && is_known(&other);
    one == other
        || (is_known
            && meant(&other).iter().all(|cereal| cereals.contains(cereal))
            && allergens.and(Allergens::named_in(&other)) == allergens)
}

/// The cereals that must not be there, in what was asked for.
pub(super) fn meant(asked: &str) -> Vec<&'static str> {
    let mut cereals: Vec<&str> = named(asked).collect();
    if names_gluten(asked) {
        cereals.extend(WITH_GLUTEN);
    }
    cereals
}

/// What was asked for in known words: as it stands where all of it is known, else the cereals and other allergens in it, such
/// as `wheat` of `malted wheat`. The known words of the answer mean all that they mean alone, so it may be more than was
/// asked for and is never less. Refused is what names none, what is turned around, as in `wheat-free`, and what leaves a
/// part open, as in `wheat and Weizen` or beside a mistyped cereal: nobody could say which grain is meant.
pub fn read(asked: &str) -> Result<String, Problem> {
    let small = asked.trim().to_lowercase();
    if is_known(&small) {
        return Ok(asked.to_owned());
    }
    let is_told = |piece: &[&str]| {
        piece.iter().all(|word| is_plain(word)) || !known_in(&piece.join(" ")).is_empty()
    };
    let all_told = small
        .split(',')
        .flat_map(pieces)
        .all(|piece| is_told(&piece));
    let is_open =
        |word: &str| TURNED_AROUND.contains(&word) || (is_no_known(word) && is_mistyped(word));
    let known = known_in(&small);
    if known.is_empty() || !all_told || own_words(&small).any(is_open) {
        return Err(unknown(asked));
    }
    Ok(known.join(" and "))
}

/// Whether any word names a cereal, another allergen or gluten.
pub fn names_any(asked: &str) -> bool {
    !known_in(&asked.to_lowercase()).is_empty()
}

/// Words that turn around what stands beside them, or make it something else.
const TURNED_AROUND: [&str; 9] = [
    "free", "no", "non", "not", "without", "except", "less", "low", "like",
];

/// The known words of a text, each once.
fn known_in(small: &str) -> Vec<&str> {
    let allergens = Allergens::named_in(small);
    let mut known: Vec<&str> = Vec::new();
    for word in words(small) {
        let own = if word == GLUTEN || is_cereal(one_word(word)) {
            vec![one_word(word)]
        } else if Allergens::named_in(word).has_any_of(allergens) {
            vec![word]
        } else {
            inside(word).map(one_word).collect()
        };
        for word in own {
            if !known.contains(&word) {
                known.push(word);
            }
        }
    }
    known
}

/// The cereals that are in a longer word, such as oat in `oatmeal`. A short one may be there by chance, as in `goat` and
/// `price`: it counts before a word for what is made of it.
fn inside(word: &str) -> impl Iterator<Item = &'static str> {
    const SHORT: usize = 4;
    const MADE_OF_IT: [&str; 15] = [
        "s", "meal", "flour", "flake", "flakes", "malt", "malts", "bread", "breads", "bran",
        "cake", "cakes", "starch", "grits", "hulls",
    ];
    CEREALS
        .iter()
        .map(|(cereal, _)| *cereal)
        .filter(move |cereal| {
            (cereal.len() > SHORT && word.contains(cereal))
                || word
                    .strip_prefix(cereal)
                    .is_some_and(|rest| MADE_OF_IT.contains(&rest))
        })
}

fn is_no_known(word: &str) -> bool {
    !is_plain(word) && !is_known(word) && named(word).next().is_none()
}

/// Whether it is most likely a mistyped cereal: `whaet` is like wheat, `chocolate` is like none. How like is judgement.
fn is_mistyped(word: &str) -> bool {
    const LIKE: f64 = 0.9;
    CEREALS
        .iter()
        .map(|(cereal, _)| *cereal)
        .chain([GLUTEN])
        .any(|known| strsim::jaro_winkler(word, known) >= LIKE)
}

/// That nobody knows a cereal or allergen by these words, with the nearest.
fn unknown(asked: &str) -> Problem {
    let near: Vec<String> = nearest(&asked.trim().to_lowercase())
        .iter()
        .map(|word| format!("`{word}`"))
        .collect();
    let near = match near.is_empty() {
        true => String::new(),
        false => format!("; nearest known words: {}", near.join(", ")),
    };
    Problem::new(format!("`{asked}` is no known cereal or allergen{near}")).hint(format!(
        "known are gluten, {}; other allergens: {}",
        cereals_in_short(),
        Allergens::ALL
    ))
}

/// Every known cereal once, each kind of another one in brackets behind it.
fn cereals_in_short() -> String {
    let with_kinds = |cereal: &str| {
        let kinds = CEREALS.iter().filter(|(word, under)| {
            one_word(word) == *word && *word != cereal && under.first() == Some(&cereal)
        });
        let kinds: Vec<&str> = kinds.map(|(word, _)| *word).collect();
        match kinds.is_empty() {
            true => cereal.to_owned(),
            false => format!("{cereal} (also {})", kinds.join(", ")),
        }
    };
    let mut own: Vec<&str> = Vec::new();
    for cereal in CEREALS.iter().flat_map(|(_, under)| under.iter().copied()) {
        if !own.contains(&cereal) {
            own.push(cereal);
        }
    }
    let own: Vec<String> = own.into_iter().map(with_kinds).collect();
    own.join(", ")
}

/// Whether every word is a cereal, another allergen or gluten, but for words that stand beside these.
pub(super) fn is_known(asked: &str) -> bool {
    let is_allergen = |word: &str| !Allergens::named_in(word).is_empty();
    let mut own = own_words(asked).peekable();
    own.peek().is_some()
        && own.all(|word| word == GLUTEN || is_cereal(one_word(word)) || is_allergen(word))
}

/// The words but for those that stand beside a cereal or another allergen.
pub(super) fn own_words(asked: &str) -> impl Iterator<Item = &str> {
    const BESIDE: [&str; 7] = [
        "and",
        "or",
        "malt",
        "cereal",
        "cereals",
        "with",
        "containing",
    ];
    words(asked).filter(|word| !BESIDE.contains(word))
}

pub(super) fn names_gluten(asked: &str) -> bool {
    words(asked).any(|word| word == GLUTEN)
}

const GLUTEN: &str = "gluten";

/// Up to three known words that are like this one, the nearest first. How like is judgement.
fn nearest(asked: &str) -> Vec<&'static str> {
    const LIKE: f64 = 0.75;
    let gluten = ["cereals with gluten", GLUTEN].into_iter();
    let cereals = CEREALS.iter().map(|(word, _)| *word);
    let mut like: Vec<(f64, &str)> = Vec::new();
    for word in cereals.chain(gluten).chain(Allergens::words()) {
        let likeness = strsim::jaro_winkler(asked, word);
        if likeness >= LIKE && like.iter().all(|(_, known)| *known != word) {
            like.push((likeness, word));
        }
    }
    like.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    like.into_iter().take(3).map(|(_, word)| word).collect()
}

/// The words of a text.
pub(super) fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_free_of_more_is_free_of_less() {
        for (one, other) in [
            ("wheat", "Wheat"),
            ("gluten", "wheat"),
            ("gluten and milk", "milk"),
            ("wheat and rye", "triticale"),
            ("spelt", "wheat"),
            ("whaet", "whaet"),
        ] {
            assert!(covers(one, other), "{one}: {other}");
        }
        for (one, other) in [
            ("oats", "wheat"),
            ("wheat", "gluten"),
            ("gluten", "milk"),
            ("milk", "milk and sesame"),
            ("wheat", "whaet"),
            ("whaet", "wheat"),
        ] {
            assert!(!covers(one, other), "{one}: {other}");
        }
    }

    #[test]
    fn what_is_known_is_told_in_short_each_once() {
        let told = unknown("banana").hints()[0].clone();
        let start = "known are gluten, wheat (also spelt, einkorn, emmer, durum, khorasan, kamut, triticale), rye, barley, oats, rice, \
                     maize, sorghum, millet, teff, buckwheat; other allergens: crustaceans, ";
        assert!(told.starts_with(start), "{told}");
    }

    #[test]
    fn words_around_a_cereal_are_read_as_the_cereal() {
        for (asked, expected) in [
            ("malted wheat", "wheat"),
            ("Whole Wheat", "wheat"),
            ("wheats", "wheat"),
            ("wheat malts", "wheat"),
            ("wheat 50%", "wheat"),
            ("wholewheat", "wheat"),
            ("milled wheat", "wheat"),
            ("winter wheat flour", "wheat"),
            ("flaked oats", "oats"),
            ("oat flakes", "oats"),
            ("oatmeal", "oats"),
            ("barley flour", "barley"),
            ("roasted barley", "barley"),
            ("pale and roasted barley", "barley"),
            ("rye bread", "rye"),
            ("ryebread", "rye"),
            ("corn flour", "maize"),
            ("durum semolina", "durum"),
            ("rice hulls", "rice"),
            ("buckwheat flour", "buckwheat"),
            ("whole wheat, flaked oats", "wheat and oats"),
            ("malted wheat and malted rye", "wheat and rye"),
            ("whole wheat and milk powder", "wheat and milk"),
            ("skimmed milk", "milk"),
            ("goat milk", "milk"),
        ] {
            assert_eq!(read(asked), Ok(expected.to_owned()), "{asked}");
            assert!(names_any(asked), "{asked}");
            // What was read is known as it stands.
            assert_eq!(read(expected), Ok(expected.to_owned()), "{expected}");
        }
    }

    #[test]
    fn what_names_no_cereal_or_leaves_a_part_open_is_not_read() {
        for none in [
            "whaet",
            "barly",
            "malt",
            "roasted",
            "sugar",
            "chocolate",
            "caramel",
            "pale",
            "peppercorn",
            "licorice",
            "goat",
            "cocoa butter",
            "nutmeg",
        ] {
            assert!(read(none).is_err(), "{none}");
            assert!(!names_any(none), "{none}");
        }
        for open in [
            "wheat and whaet",
            "malted wheat, whaet",
            "wheat barly",
            "wheat and Weizen",
            "barley/Weizen",
            "wheat-free",
            "gluten-free",
            "no wheat",
            "spelt-like",
        ] {
            assert!(read(open).is_err(), "{open}");
            assert!(names_any(open), "{open}");
        }
    }

    #[test]
    fn a_word_that_is_no_cereal_or_allergen_is_refused_with_the_nearest() {
        for known in [
            "wheat",
            "Wheat",
            "oat",
            "oats",
            "corn",
            "kamut",
            "durum wheat",
            "wheat malt",
            "wheat and rye",
            "wheat, rye",
            "gluten",
            "cereals with gluten",
            "gluten and milk",
            "milk",
            "nuts",
            "sesame",
            "buckwheat",
        ] {
            assert_eq!(read(known), Ok(known.to_owned()), "{known}");
        }
        for (unknown, near) in [
            ("whaet", Some("wheat")),
            ("glutn", Some("gluten")),
            ("cereal", Some("cereals with gluten")),
            ("Weizen", None),
            ("malt", None),
            ("wheat and whaet", None),
            ("gluten-free", Some("gluten")),
            ("", None),
        ] {
            let problem = read(unknown).unwrap_err();
            assert!(problem.hints()[0].contains("spelt"), "{problem:?}");
            if let Some(near) = near {
                assert!(
                    problem.to_string().contains(&format!("`{near}`")),
                    "{problem}"
                );
            }
        }
    }
}
