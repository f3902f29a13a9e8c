//! Which cereals a grist names, and which it may hold.
//!
//! That goes by the words in which the grist is written. It is a matter of health, so what is not told may be
//! there, and a word inside a longer word counts.

mod asked;
mod told;

pub use asked::{covers, names_any, read};

use super::Grist;
use super::allergens::Allergens;
use asked::{is_known, meant, names_gluten, own_words};
use told::tells_all;

/// Cereals with gluten: Regulation (EU) No 1169/2011, Annex II, point 1; spelt and khorasan wheat count as wheat there.
pub const WITH_GLUTEN: [&str; 4] = ["wheat", "rye", "barley", "oats"];

/// Words for a cereal, and the cereal in whose allergen it falls. Spelt, einkorn, emmer, durum and khorasan
/// are wheat: Regulation (EU) No 1169/2011, Annex II, names "wheat (such as spelt and khorasan wheat)";
/// the others of the genus, and kamut as a name of khorasan, from memory. Triticale is bred of wheat and rye.
/// Those from rice on are no cereal that the Annex names; they are brewed with, common practice, no source.
const CEREALS: [(&str, &[&str]); 18] = [
    ("wheat", &["wheat"]),
    ("spelt", &["wheat"]),
    ("einkorn", &["wheat"]),
    ("emmer", &["wheat"]),
    ("durum", &["wheat"]),
    ("khorasan", &["wheat"]),
    ("kamut", &["wheat"]),
    ("triticale", &["wheat", "rye"]),
    ("rye", &["rye"]),
    ("barley", &["barley"]),
    ("oat", &["oats"]),
    ("rice", &["rice"]),
    ("maize", &["maize"]),
    ("corn", &["maize"]),
    ("sorghum", &["sorghum"]),
    ("millet", &["millet"]),
    ("teff", &["teff"]),
    ("buckwheat", &["buckwheat"]),
];

/// What a grist says of a cereal or malt that somebody asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Says {
    /// It names it, or a cereal that falls under it.
    Names,
    /// It may be there: the grist is not known, leaves something unsaid, or names no cereal where it could.
    MayHold,
    /// It tells all that is in it, and that is something else.
    Without,
}

/// What a grist says of what is asked for: cereals and other allergens in the words that [`read`] gives, or any part of
/// the name of a malt.
///
/// Of cereals all that falls under one of them counts: spelt is wheat, and gluten is in each of [`WITH_GLUTEN`]. Of the
/// name of a malt the very words count, and a grist that is told in full and has other words is without it.
pub fn says(grist: Option<&Grist>, asked: &str) -> Says {
    let asked = asked.trim().to_lowercase();
    let Some(grist) = grist else {
        return Says::MayHold;
    };
    let is_known = is_known(&asked);
    let cereals = cereals_and_gluten(&asked);
    let allergens = Allergens::named_in(&asked);
    let names = grist.parts().iter().any(|part| {
        let name = part.name.to_lowercase();
        let falls_under = |(word, under): &(&str, &[&str])| {
            name.contains(word)
                && (cereals.contains(&one_word(word))
                    || under.iter().any(|cereal| cereals.contains(cereal)))
        };
        name.contains(&asked)
            || (is_known
                && (CEREALS.iter().any(falls_under)
                    || Allergens::named_in(&name).has_any_of(allergens)))
    });
    if names {
        Says::Names
    } else if !is_whole(grist) || (is_known && may_hold(Some(grist), &asked)) {
        Says::MayHold
    } else {
        Says::Without
    }
}

/// Other words of the table that fall under what is asked for, as spelt does under wheat, or that hold gluten.
pub fn under(asked: &str) -> Vec<&'static str> {
    let asked = asked.trim().to_lowercase();
    if !is_known(&asked) {
        return Vec::new();
    }
    let cereals = cereals_and_gluten(&asked);
    let is_asked = |word: &str| own_words(&asked).any(|own| one_word(own) == one_word(word));
    CEREALS
        .iter()
        .filter(|(word, under)| {
            !is_asked(word) && under.iter().any(|cereal| cereals.contains(cereal))
        })
        .map(|(word, _)| *word)
        .collect()
}

/// The words asked for, and every cereal with gluten where that is among them.
fn cereals_and_gluten(asked: &str) -> Vec<&str> {
    let mut cereals: Vec<&str> = own_words(asked).map(one_word).collect();
    if names_gluten(asked) {
        cereals.extend(WITH_GLUTEN);
    }
    cereals
}

/// Whether a lot of this grist may hold a cereal, another allergen, or any cereal with gluten. An unknown grist may
/// hold any, and so does a part that names no cereal, such as `pale malt`, or joins one with what names none, such as
/// `barley and Weizen malt`, or a grist whose shares leave something unsaid. What is asked for in words that are not
/// known may be in every lot.
pub fn may_hold(grist: Option<&Grist>, asked: &str) -> bool {
    let Some(grist) = grist else {
        return true;
    };
    let asked = asked.trim().to_lowercase();
    let cereals = meant(&asked);
    let allergens = Allergens::named_in(&asked);
    !is_whole(grist)
        || !is_known(&asked)
        || grist.parts().iter().any(|part| {
            let name = part.name.to_lowercase();
            !tells_all(&name)
                || name.contains(&asked)
                || Allergens::named_in(&name).has_any_of(allergens)
                || named(&name).any(|held| cereals.contains(&held))
        })
}

/// Whether the shares, where there are any, leave nothing unsaid.
fn is_whole(grist: &Grist) -> bool {
    let shares: Option<f64> = grist.parts().iter().map(|part| part.share).sum();
    shares.is_none_or(|sum| sum >= 100.0 - 0.05)
}

/// The cereals that a text names.
fn named(text: &str) -> impl Iterator<Item = &'static str> {
    CEREALS
        .iter()
        .filter(move |(word, _)| text.contains(word))
        .flat_map(|(_, cereals)| cereals.iter().copied())
}

/// One word for what has two.
fn one_word(word: &str) -> &str {
    match word {
        "oat" => "oats",
        "corn" => "maize",
        other => other,
    }
}

fn is_cereal(word: &str) -> bool {
    CEREALS
        .iter()
        .any(|(known, under)| word == one_word(known) || under.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grist(text: &str) -> Grist {
        text.parse().unwrap()
    }

    #[test]
    fn what_is_not_said_may_be_there() {
        let may = |text: &str, cereal| may_hold(Some(&grist(text)), cereal);
        assert!(may_hold(None, "wheat"));
        assert!(may("barley malt 80%, wheat malt 20%", "wheat"));
        assert!(!may("barley malt 100%", "wheat"));
        assert!(may("barley malt 100%", "Barley"));
        // Spelt is wheat, triticale is both its parents.
        assert!(may("barley malt 90%, spelt malt 10%", "wheat"));
        assert!(may("barley malt 90%, triticale 10%", "rye"));
        assert!(may("barley malt 90%, wheat malt 10%", "spelt"));
        // No cereal named, or not all of it told.
        assert!(may("pale malt 100%", "wheat"));
        assert!(may("barley malt 80%", "wheat"));
        assert!(may("barley and Weizen malt 100%", "wheat"));
        assert!(!may("pale and roasted barley 100%", "wheat"));
        assert!(!may("barley malt, oats", "wheat"));
        assert!(may("barley malt 90%, buckwheat 10%", "buckwheat"));
        // Other allergens are told by other words, and hops are no cereal.
        assert!(may("barley malt 90%, hops 10%", "sesame"));
        assert!(may("barley malt 90%, oats with whey 10%", "milk"));
        assert!(!may("barley malt 100%", "milk"));
        // Nobody knows what a word means that is not known.
        assert!(may("barley malt 100%", "Weizen"));
        assert!(may("barley malt 100%", "wheat, whaet"));
        assert!(!may("barley malt 100%", "wheat and rye"));
        assert!(may("barley malt 90%, rye malt 10%", "wheat and rye"));
    }

    /// Regulation (EU) No 1169/2011, Annex II, 1.
    #[test]
    fn gluten_is_in_every_cereal_that_the_annex_names() {
        let may = |text: &str, asked| may_hold(Some(&grist(text)), asked);
        for asked in [
            "gluten",
            "Gluten",
            "cereals with gluten",
            "cereal with gluten",
        ] {
            for held in [
                "wheat",
                "rye",
                "barley",
                "oats",
                "spelt",
                "kamut",
                "khorasan",
                "durum",
                "emmer",
                "einkorn",
                "triticale",
            ] {
                let text = format!("rice 90%, {held} malt 10%");
                assert!(may(&text, asked), "{asked}: {text}");
                assert_eq!(
                    says(Some(&grist(&text)), asked),
                    Says::Names,
                    "{asked}: {text}"
                );
            }
            assert!(may("rice 90%, pale malt 10%", asked));
            assert!(!may("rice 50%, maize 50%", asked));
            assert_eq!(says(Some(&grist("rice, maize")), asked), Says::Without);
            assert_eq!(says(Some(&grist("pale malt")), asked), Says::MayHold);
        }
        assert!(may("barley malt 90%, durum malt 10%", "kamut"));
        assert_eq!(under("gluten").len(), 11);
    }

    /// Regulation (EU) No 1169/2011, Annex II, 1: "wheat (such as spelt and khorasan wheat), rye, barley, oats".
    #[test]
    fn a_recall_finds_what_falls_under_a_cereal_and_what_may_hold_it() {
        for (asked, text, expected) in [
            ("wheat", "barley malt 80%, wheat malt 20%", Says::Names),
            ("Wheat", "barley malt 90%, Spelt malt 10%", Says::Names),
            ("wheat", "khorasan 100%", Says::Names),
            ("wheat", "triticale", Says::Names),
            ("rye", "triticale", Says::Names),
            ("durum wheat", "spelt", Says::Names),
            ("oat", "oats 100%", Says::Names),
            ("oats", "oat malt 100%", Says::Names),
            ("corn", "flaked maize 100%", Says::Names),
            ("maize", "corn 100%", Says::Names),
            ("wheat", "barley malt 100%", Says::Without),
            ("rye", "wheat malt 100%", Says::Without),
            ("spelt", "barley malt, spelt", Says::Names),
            // Whoever writes wheat may mean spelt.
            ("spelt", "wheat malt 100%", Says::MayHold),
            ("wheat", "pale malt 100%", Says::MayHold),
            ("wheat", "barley malt 90%", Says::MayHold),
            ("wheat", "barley and Weizen malt", Says::MayHold),
            ("barley", "barley and Weizen malt", Says::Names),
            ("wheat", "barley + spelt-like", Says::Names),
            ("rye", "barley + spelt-like", Says::MayHold),
            ("rye", "barley + spelt", Says::Without),
            ("sorghum", "pale malt 100%", Says::MayHold),
            // Several cereals, and words beside one.
            ("wheat and oats", "wheat malt 100%", Says::Names),
            ("wheat and oats", "oats 100%", Says::Names),
            ("wheat, rye", "triticale", Says::Names),
            ("wheat and oats", "barley malt 100%", Says::Without),
            ("wheat and oats", "pale malt 100%", Says::MayHold),
            ("oat malt", "pale malt 50%, oats 50%", Says::Names),
            ("oat malt", "barley malt 100%", Says::Without),
            ("oat malt", "pale malt 100%", Says::MayHold),
            ("gluten and milk", "maize 90%, whey 10%", Says::Names),
            // The name of a malt is looked for as it stands.
            ("roasted", "barley malt 100%", Says::Without),
            ("roasted", "Roasted barley 5%", Says::Names),
            ("roasted", "barley malt 95%", Says::MayHold),
            ("chocolate", "pale malt 92%, chocolate malt 8%", Says::Names),
            ("chocolate", "pale malt 100%", Says::Without),
            ("whea", "wheat malt 100%", Says::Names),
        ] {
            assert_eq!(says(Some(&grist(text)), asked), expected, "{asked}: {text}");
        }
        assert_eq!(says(None, "chocolate"), Says::MayHold);
        assert_eq!(
            under("wheat"),
            [
                "spelt",
                "einkorn",
                "emmer",
                "durum",
                "khorasan",
                "kamut",
                "triticale"
            ]
        );
        assert_eq!(under("wheat and oats"), under("wheat"));
        assert_eq!(under("oat malt"), Vec::<&str>::new());
        assert_eq!(under("Oats"), Vec::<&str>::new());
        assert_eq!(under("chocolate"), Vec::<&str>::new());
    }

    /// What a plan keeps out of a bake, a recall does not leave out.
    #[test]
    fn a_recall_of_a_cereal_leaves_out_only_what_a_plan_would_let_in() {
        let grists = [
            "barley malt 100%",
            "wheat malt 100%",
            "spelt 50%, oats 50%",
            "pale malt",
            "rye 20%",
            "triticale",
            "maize, rice",
            "corn 100%",
            "buckwheat 100%",
            "khorasan wheat 100%",
            "rye + Weizen",
        ];
        for (word, under) in CEREALS {
            for asked in [&[word], under].concat() {
                for text in grists {
                    let text = grist(text);
                    let left_out = says(Some(&text), asked) == Says::Without;
                    assert_eq!(left_out, !may_hold(Some(&text), asked), "{asked}: {text}");
                }
            }
        }
    }
}
