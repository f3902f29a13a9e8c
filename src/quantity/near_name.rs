//! Names so near to each other that one may be the other, mistyped.

use super::text;

/// Words that say what a house is and not which one.
const OF_EVERY_HOUSE: [&str; 16] = [
    "the",
    "of",
    "at",
    "ale",
    "ales",
    "brewery",
    "brewing",
    "brewhouse",
    "brewers",
    "beer",
    "co",
    "company",
    "ltd",
    "and",
    "brauerei",
    "brasserie",
];

/// Whether one name may be meant by the other: but for words that every brewery has, blanks and signs they differ in
/// one letter, or in two of at least nine, or one has all words of the other, in any order. What differs in a number or
/// in a single letter that stands alone is meant so: "Line 1" and "Line 2". Judgement: to ask once too often costs one
/// word, two names for one brewery cost a recall.
pub fn is_near(one: &str, other: &str) -> bool {
    // The slip may stand in a word of every house, which is none by it.
    is_near_in(words(one), words(other))
        || is_near_in(all_words(one), all_words(other))
        || is_part(&own_words(one), &own_words(other))
        || is_part(&own_words(other), &own_words(one))
}

/// Whether all words of one name are words of the other, which has no number or single letter beside them.
fn is_part(part: &[String], whole: &[String]) -> bool {
    part.iter().any(|word| !is_mark(word))
        && part.iter().all(|word| whole.contains(word))
        && whole
            .iter()
            .all(|word| part.contains(word) || !is_mark(word))
}

fn is_near_in(one: Vec<String>, other: Vec<String>) -> bool {
    if one.is_empty() || other.is_empty() || marks(&one) != marks(&other) {
        return false;
    }
    let (one, other) = (one.concat(), other.concat());
    let letters = one.chars().count().max(other.chars().count());
    let may_differ = match letters {
        0..4 => 0,
        4..9 => 1,
        _ => 2,
    };
    strsim::damerau_levenshtein(&one, &other) <= may_differ
}

/// The words of a name in small letters, without those of every house unless there are no others.
fn words(name: &str) -> Vec<String> {
    let own = own_words(name);
    if own.is_empty() { all_words(name) } else { own }
}

/// The words of a name in small letters, without those of every house.
fn own_words(name: &str) -> Vec<String> {
    let mut words = all_words(name);
    words.retain(|word| !OF_EVERY_HOUSE.contains(&word.as_str()));
    words
}

/// The words of a name in small letters.
fn all_words(name: &str) -> Vec<String> {
    let small = text::folded(name);
    let words = small.split(|c: char| !c.is_alphanumeric());
    let words = words.filter(|word| !word.is_empty());
    words.map(str::to_owned).collect()
}

/// Numbers and single letters.
fn marks(words: &[String]) -> Vec<&String> {
    words.iter().filter(|word| is_mark(word)).collect()
}

fn is_mark(word: &str) -> bool {
    word.chars().count() == 1 || word.chars().any(char::is_numeric)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_near_and_other_names_are_not() {
        for (one, other) in [
            ("Tarn Fell", "Tarn Fel"),
            ("Tarn Fell", "Tarnfell"),
            ("Tarn Fell", "Tarn-Fell Brewery"),
            ("Alder Lane", "Adler Lane"),
            ("Mühle am Bach", "Muhle am Bach"),
            ("The Oak", "Oak"),
            ("Tarn Fell Brewery", "Tarn Fell Brewey"),
            ("Hollow Brewing", "Hollow Brewng"),
            ("Corrow Weir", "Corrow"),
            ("Corrow Weir", "Weir Corrow"),
            ("Mill", "The Mill Lane Brewery"),
            ("Oak Ales", "Oak"),
            ("Bachstraße", "BACHSTRASE"),
        ] {
            assert!(is_near(one, other) && is_near(other, one), "{one} {other}");
        }
        for (one, other) in [
            ("Tarn Fell", "Corrie Mill"),
            ("Line 1", "Line 2"),
            ("House A", "House B"),
            ("Oak", "Elm"),
            ("Oak", "Oat"),
            ("Brewery", "Brewhouse"),
            ("The Brewery", "Tarn Brewery"),
            ("Brewery", "Tarn Brewery"),
            ("Oak and Elm", "Ash and Elder"),
            ("Tarn Ales", "Hollow Ales"),
            ("Mill", "Mill 2"),
            ("House", "House A"),
            ("1+1", "+1"),
        ] {
            assert!(!is_near(one, other), "{one} {other}");
        }
    }
}
