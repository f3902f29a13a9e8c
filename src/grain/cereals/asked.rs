//! The words in which somebody says what grain must be free of, or what to look for in it.

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

/// Refuses a word that is neither a cereal nor another allergen: nobody could say which grain is free of it.
pub fn refuse_unknown(asked: &str) -> Result<(), Problem> {
    let small = asked.trim().to_lowercase();
    if is_known(&small) {
        return Ok(());
    }
    let cereals: Vec<&str> = CEREALS.iter().map(|(word, _)| *word).collect();
    let near: Vec<String> = nearest(&small)
        .iter()
        .map(|word| format!("`{word}`"))
        .collect();
    let near = match near.is_empty() {
        true => String::new(),
        false => format!("; nearest known words: {}", near.join(", ")),
    };
    Err(Problem::new(format!(
        "`{asked}` is no known cereal or allergen{near}"
    ))
    .hint(format!(
        "known are gluten, which means every cereal with gluten, {}, and the other allergens {}",
        cereals.join(", "),
        Allergens::ALL
    )))
}

/// Refuses what is most likely a mistyped cereal. Any other word may be the name of a malt.
pub fn refuse_mistyped(asked: &str) -> Result<(), Problem> {
    /// How like is judgement: `whaet` is like wheat, `chocolate` is like none.
    const LIKE: f64 = 0.9;
    let small = asked.trim().to_lowercase();
    let is_like = |word: &str| {
        CEREALS
            .iter()
            .map(|(cereal, _)| *cereal)
            .chain([GLUTEN, "cereal"])
            .any(|known| strsim::jaro_winkler(word, known) >= LIKE)
    };
    let mistyped = |word: &str| !is_known(word) && named(word).next().is_none() && is_like(word);
    match !is_known(&small) && words(&small).any(mistyped) {
        true => refuse_unknown(asked),
        false => Ok(()),
    }
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
    fn a_mistyped_cereal_is_told_from_the_name_of_a_malt() {
        for mistyped in [
            "whaet",
            "Whaet",
            "cereal",
            "barly",
            "glutn",
            "wheat and whaet",
        ] {
            assert!(refuse_mistyped(mistyped).is_err(), "{mistyped}");
        }
        for other in [
            "wheat",
            "oat malt",
            "wheat and oats",
            "cereals with gluten",
            "milk",
            "malt",
            "roasted",
            "roasted barley",
            "rice hulls",
            "oatmeal",
            "sugar",
            "chocolate",
            "caramel",
            "crystal",
            "pale",
            "mild",
            "amber",
            "brown",
            "smoked",
            "flaked",
            "roasted or smoked",
        ] {
            assert_eq!(refuse_mistyped(other), Ok(()), "{other}");
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
            assert_eq!(refuse_unknown(known), Ok(()), "{known}");
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
            let problem = refuse_unknown(unknown).unwrap_err();
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
