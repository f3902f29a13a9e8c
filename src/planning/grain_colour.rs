//! The colour of a lot, by the words in which its grist is written. It decides taste only.

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
}
