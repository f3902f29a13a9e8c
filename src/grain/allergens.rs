//! Which allergens other than gluten the names of ingredients tell.
//!
//! Deliberately absent: any promise that nothing else is in it. A name says what is there; only the label of the
//! supplier says what is not.

use std::fmt;

/// The groups of Regulation (EU) No 1169/2011, Annex II, points 2 to 14, with words by which English names of foods
/// tell them (the words from memory). Point 1, cereals with gluten, is in every dough here and has a caution of its
/// own.
const GROUPS: [(&str, &[&str]); 13] = [
    (
        "crustaceans",
        &[
            "crustacean",
            "shrimp",
            "prawn",
            "crab",
            "lobster",
            "crayfish",
        ],
    ),
    (
        "egg",
        &["egg", "albumen", "mayonnaise", "custard", "meringue"],
    ),
    (
        "fish",
        &[
            "fish",
            "anchovy",
            "anchovies",
            "tuna",
            "cod",
            "isinglass",
            "worcestershire",
        ],
    ),
    ("peanut", &["peanut", "groundnut"]),
    (
        "soya",
        &["soya", "soy", "soybean", "tofu", "edamame", "miso"],
    ),
    (
        "milk",
        &[
            "milk",
            "buttermilk",
            "butter",
            "ghee",
            "cream",
            "cheese",
            "quark",
            "curd",
            "yoghurt",
            "yogurt",
            "kefir",
            "whey",
            "casein",
            "lactose",
            "parmesan",
            "feta",
            "ricotta",
            "mascarpone",
            "skyr",
            "custard",
            "crème",
            "creme",
            "pesto",
        ],
    ),
    (
        "nuts",
        &[
            "nut",
            "almond",
            "marzipan",
            "hazelnut",
            "walnut",
            "cashew",
            "pecan",
            "pistachio",
            "macadamia",
            "brazil",
            "filbert",
            "praline",
            "nougat",
            "pesto",
        ],
    ),
    ("celery", &["celery", "celeriac"]),
    ("mustard", &["mustard"]),
    ("sesame", &["sesame", "tahini", "halva", "hummus"]),
    (
        "sulphites",
        &[
            "sulphite",
            "sulfite",
            "metabisulphite",
            "metabisulfite",
            "wine",
        ],
    ),
    ("lupin", &["lupin", "lupine"]),
    (
        "molluscs",
        &[
            "mollusc", "mussel", "oyster", "clam", "squid", "snail", "octopus",
        ],
    ),
];

/// Words after which milk, butter and cream are of a plant.
const PLANTS: [&str; 14] = [
    "oat", "rice", "soya", "soy", "almond", "coconut", "cashew", "hazelnut", "hemp", "pea",
    "peanut", "cocoa", "shea", "nut",
];

/// Allergens that were found in names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Allergens(u16);

impl Allergens {
    /// All that names may tell.
    pub const ALL: Self = Self((1 << GROUPS.len()) - 1);

    /// Those that a name tells, such as `toasted sesame`.
    pub fn named_in(name: &str) -> Self {
        let name = name.to_lowercase();
        // After a comma another food begins: `soya, milk` is no soya milk.
        name.split(|c: char| !c.is_alphanumeric() && !" -'’".contains(c))
            .map(Self::in_phrase)
            .collect()
    }

    fn in_phrase(phrase: &str) -> Self {
        let words: Vec<&str> = phrase
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        let mut found = Self::default();
        for (place, word) in words.iter().enumerate() {
            let before = place.checked_sub(1).map(|before| words[before]);
            let after = words.get(place + 1).copied();
            for (group, (_, told_by)) in GROUPS.iter().enumerate() {
                if told_by.iter().any(|known| is_word(word, known))
                    && !is_other_food(before, word, after)
                {
                    found.0 |= 1 << group;
                }
            }
        }
        found
    }

    /// Those that any of the names tells.
    pub fn named_in_any<'n>(names: impl IntoIterator<Item = &'n str>) -> Self {
        names.into_iter().map(Self::named_in).collect()
    }

    /// These and others.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether any of them is among others.
    pub const fn has_any_of(self, others: Self) -> bool {
        self.0 & others.0 != 0
    }

    /// The words by which names tell them.
    pub fn words() -> impl Iterator<Item = &'static str> {
        GROUPS
            .iter()
            .flat_map(|(name, told_by)| std::iter::once(*name).chain(told_by.iter().copied()))
    }

    /// Whether there are none.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }
}

impl FromIterator<Allergens> for Allergens {
    fn from_iter<T: IntoIterator<Item = Self>>(several: T) -> Self {
        several.into_iter().fold(Self::default(), Self::and)
    }
}

impl fmt::Display for Allergens {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let named = GROUPS.iter().enumerate();
        let names: Vec<&str> = named
            .filter(|(group, _)| self.0 & (1 << group) != 0)
            .map(|(_, (name, _))| *name)
            .collect();
        f.write_str(&names.join(", "))
    }
}

/// Whether a word is the known one or its plural.
fn is_word(word: &str, known: &str) -> bool {
    word.strip_prefix(known)
        .is_some_and(|rest| matches!(rest, "" | "s" | "es"))
}

/// Whether a word means another food beside its neighbours, as in oat milk or cream of tartar.
fn is_other_food(before: Option<&str>, word: &str, after: Option<&str>) -> bool {
    match word {
        "milk" | "butter" | "cream" | "cheese" | "yoghurt" | "yogurt" => {
            before.is_some_and(|before| PLANTS.contains(&before))
                || (word == "cream" && after == Some("of"))
        }
        "oyster" => after.is_some_and(|after| after.starts_with("mushroom")),
        "curd" => before.is_some_and(|before| before == "bean" || before == "soya"),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Regulation (EU) No 1169/2011, Annex II, points 2 to 14.
    #[test]
    fn names_tell_the_allergens_of_the_annex() {
        for (name, expected) in [
            ("Toasted sesame seeds", "sesame"),
            ("walnuts", "nuts"),
            ("chopped nuts", "nuts"),
            ("buttermilk", "milk"),
            ("egg wash", "egg"),
            ("eggs", "egg"),
            ("soya flour", "soya"),
            ("lupin flour", "lupin"),
            ("milk powder", "milk"),
            ("almond milk", "nuts"),
            ("oat milk", ""),
            ("coconut milk", ""),
            ("peanut butter", "peanut"),
            ("cocoa butter", ""),
            ("cream of tartar", ""),
            ("oyster mushrooms", ""),
            ("nutmeg", ""),
            ("butternut squash", ""),
            ("eggplant", ""),
            ("coconut", ""),
            ("mustard seeds, celery salt", "celery, mustard"),
            ("lactose (milk stout)", "milk"),
            ("soya, milk", "soya, milk"),
            ("oat/butter mix", "milk"),
            ("soya-milk", "soya"),
            ("rapeseed oil", ""),
        ] {
            assert_eq!(Allergens::named_in(name).to_string(), expected, "{name}");
        }
        assert_eq!(Allergens::ALL.to_string().split(", ").count(), 13);
        let both = Allergens::named_in_any(["butter", "sesame"]);
        assert_eq!(both.to_string(), "milk, sesame");
    }
}
