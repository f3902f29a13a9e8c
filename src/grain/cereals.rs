//! Which cereals a grist names, and which it may hold.
//!
//! That goes by the words in which the grist is written. It is a matter of health, so what is not told may be
//! there, and a word inside a longer word counts.

use super::Grist;

/// Words for a cereal, and the cereal in whose allergen it falls. Spelt, einkorn, emmer, durum and khorasan
/// are wheat: Regulation (EU) No 1169/2011, Annex II, names "wheat (such as spelt and khorasan wheat)";
/// the others of the genus from memory. Triticale is bred of wheat and rye. The last four are no cereal that
/// the Annex names; they are brewed with, common practice, no source.
const CEREALS: [(&str, &[&str]); 17] = [
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

/// What a grist says of what is asked for: a cereal, or any part of the name of a malt.
///
/// Of a cereal all that falls under it counts: spelt is wheat. Of the name of a malt the very words count, and
/// a grist that is told in full and has other words is without it.
pub fn says(grist: Option<&Grist>, asked: &str) -> Says {
    let asked = asked.trim().to_lowercase();
    let Some(grist) = grist else {
        return Says::MayHold;
    };
    let cereals: Vec<&str> = asked.split_whitespace().map(one_word).collect();
    let is_cereal = cereals.iter().all(|word| is_known(word));
    let names = grist.parts().iter().any(|part| {
        let name = part.name.to_lowercase();
        let falls_under = |(word, under): &(&str, &[&str])| {
            name.contains(word)
                && (cereals.contains(&one_word(word))
                    || under.iter().any(|cereal| cereals.contains(cereal)))
        };
        name.contains(&asked) || (is_cereal && CEREALS.iter().any(falls_under))
    });
    if names {
        Says::Names
    } else if !is_whole(grist) || (is_cereal && may_hold(Some(grist), &asked)) {
        Says::MayHold
    } else {
        Says::Without
    }
}

/// Other words of the table that fall under a cereal, as spelt does under wheat.
pub fn under(asked: &str) -> Vec<&'static str> {
    let asked = one_word(asked.trim()).to_lowercase();
    CEREALS
        .iter()
        .filter(|(word, under)| one_word(word) != asked && under.contains(&asked.as_str()))
        .map(|(word, _)| *word)
        .collect()
}

/// Whether a lot of this grist may hold a cereal. An unknown grist may hold any, and so does a part that
/// names no cereal, such as `pale malt`, or a grist whose shares leave something unsaid.
pub fn may_hold(grist: Option<&Grist>, cereal: &str) -> bool {
    let Some(grist) = grist else {
        return true;
    };
    let asked = cereal.trim().to_lowercase();
    let meant: Vec<&str> = named(&asked).collect();
    !is_whole(grist)
        || grist.parts().iter().any(|part| {
            let name = part.name.to_lowercase();
            let mut holds = named(&name).peekable();
            holds.peek().is_none()
                || name.contains(&asked)
                || holds.any(|held| meant.contains(&held))
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

fn is_known(word: &str) -> bool {
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
        assert!(!may("barley malt, oats", "wheat"));
        // A word that is no cereal is looked for as it stands.
        assert!(may("barley malt 90%, buckwheat 10%", "buckwheat"));
        assert!(may("barley malt 90%, hops 10%", "sesame"));
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
            ("sorghum", "pale malt 100%", Says::MayHold),
            // The name of a malt is looked for as it stands.
            ("roasted barley", "barley malt 100%", Says::Without),
            ("roasted barley", "Roasted barley 5%", Says::Names),
            ("roasted barley", "barley malt 95%", Says::MayHold),
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
                "triticale"
            ]
        );
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
