//! What the grist says of a lot: its colour, and whether it may hold a cereal.
//!
//! Both go by the words in which the grist is written. Colours decide taste only; cereals are a matter
//! of health, so a word that names no cereal counts as any of them.

use crate::dough::formula::Colour;
use crate::grain::Grist;

/// Words of roasted malts: common practice, no source.
const ROASTED: [&str; 4] = ["roast", "chocolate", "black", "coffee"];
/// Words of kilned and caramel malts darker than pale: common practice, no source.
const KILNED: [&str; 8] = [
    "amber", "caramel", "crystal", "cara", "brown", "munich", "vienna", "toasted",
];
/// From this percentage of the grist on roasted malt makes the grain dark: our choice.
const DARK_FROM: f64 = 5.0;
/// From this percentage of the grist on kilned malt makes the grain amber: our choice.
const AMBER_FROM: f64 = 15.0;

/// Words for a cereal, and the cereal in whose allergen it falls. Spelt, einkorn, emmer, durum and khorasan
/// are wheat: Regulation (EU) No 1169/2011, Annex II, names "wheat (such as spelt and khorasan wheat)";
/// the others of the genus from memory. Triticale is bred of wheat and rye.
const CEREALS: [(&str, &[&str]); 13] = [
    ("wheat", &["wheat"]),
    ("spelt", &["wheat"]),
    ("einkorn", &["wheat"]),
    ("emmer", &["wheat"]),
    ("durum", &["wheat"]),
    ("khorasan", &["wheat"]),
    ("triticale", &["wheat", "rye"]),
    ("rye", &["rye"]),
    ("barley", &["barley"]),
    ("oat", &["oats"]),
    ("rice", &["rice"]),
    ("maize", &["maize"]),
    ("corn", &["maize"]),
];

/// The colour of a grist: dark or amber from a share of darker malts on, or where shares are not written,
/// from any.
pub fn colour(grist: &Grist) -> Colour {
    let share = |words: &[&str]| -> f64 {
        grist
            .parts()
            .iter()
            .filter(|part| {
                let name = part.name.to_lowercase();
                words.iter().any(|word| name.contains(word))
            })
            .map(|part| part.share.unwrap_or(100.0))
            .sum()
    };
    let roasted = share(&ROASTED);
    if roasted >= DARK_FROM {
        Colour::Dark
    } else if roasted + share(&KILNED) >= AMBER_FROM {
        Colour::Amber
    } else {
        Colour::Pale
    }
}

/// Whether a lot of this grist may hold a cereal. An unknown grist may hold any, and so does a part that
/// names no cereal, such as `pale malt`, or a grist whose shares leave something unsaid.
pub fn may_hold(grist: Option<&Grist>, cereal: &str) -> bool {
    let Some(grist) = grist else {
        return true;
    };
    let asked = cereal.trim().to_lowercase();
    let meant: Vec<&str> = named(&asked).collect();
    let shares: Option<f64> = grist.parts().iter().map(|part| part.share).sum();
    if shares.is_some_and(|sum| sum < 100.0 - 0.05) {
        return true;
    }
    grist.parts().iter().any(|part| {
        let name = part.name.to_lowercase();
        let mut holds = named(&name).peekable();
        holds.peek().is_none() || name.contains(&asked) || holds.any(|held| meant.contains(&held))
    })
}

/// The cereals that a text names.
fn named(text: &str) -> impl Iterator<Item = &'static str> {
    CEREALS
        .iter()
        .filter(move |(word, _)| text.contains(word))
        .flat_map(|(_, cereals)| cereals.iter().copied())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grist(text: &str) -> Grist {
        text.parse().unwrap()
    }

    #[test]
    fn colours_follow_the_darker_malts() {
        for (text, expected) in [
            ("pale barley malt 100%", Colour::Pale),
            ("pale barley malt 97%, roasted barley 3%", Colour::Pale),
            ("pale barley malt 92%, chocolate malt 8%", Colour::Dark),
            ("pale barley malt 85%, crystal malt 15%", Colour::Amber),
            (
                "barley malt 82%, munich malt 14%, black malt 4%",
                Colour::Amber,
            ),
            ("barley malt, amber malt", Colour::Amber),
            ("barley malt, black malt", Colour::Dark),
        ] {
            assert_eq!(colour(&grist(text)), expected, "{text}");
        }
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
        assert!(!may("barley malt, oats", "wheat"));
        // A word that is no cereal is looked for as it stands.
        assert!(may("barley malt 90%, buckwheat 10%", "buckwheat"));
    }
}
