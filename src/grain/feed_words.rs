//! Words in a reason that speak of animals or of feeding them.

use crate::quantity::text::without_umlauts;

/// The words, each as a whole; the German ones too, without umlauts. Some that mean something else in English are left out: tier, rind.
const FEED: &[&str] = &[
    "animal",
    "animals",
    "calf",
    "calves",
    "cattle",
    "chicken",
    "chickens",
    "chooks",
    "cow",
    "cows",
    "dog",
    "dogs",
    "duck",
    "ducks",
    "ewes",
    "fed",
    "feed",
    "feeding",
    "fodder",
    "geese",
    "goat",
    "goats",
    "goose",
    "hen",
    "hens",
    "hog",
    "hogs",
    "horse",
    "horses",
    "lamb",
    "lambs",
    "livestock",
    "pet",
    "pets",
    "pig",
    "piglets",
    "pigs",
    "ponies",
    "pony",
    "poultry",
    "rabbit",
    "rabbits",
    "sheep",
    "swine",
    "turkeys",
    "alpaca",
    "alpacas",
    "donkey",
    "donkeys",
    "quail",
    "quails",
    "sow",
    "sows",
    "gefluegel",
    "hasen",
    "esel",
    "enten",
    "gefuettert",
    "gaense",
    "hennen",
    "huhn",
    "hund",
    "hunde",
    "huehner",
    "huehnern",
    "kaninchen",
    "kuh",
    "kuehe",
    "kuehen",
    "pferd",
    "pferde",
    "rinder",
    "rindern",
    "schafe",
    "schafen",
    "schwein",
    "schweine",
    "schweinen",
    "tiere",
    "tieren",
    "verfuettert",
    "vieh",
    "ziege",
    "ziegen",
];

/// The German word for feed, which ends those for the feed of an animal: "Schweinefutter".
const FEED_END: &str = "futter";

/// Whether a reason names animals or feed, be it to deny it: what is not for the pigs may still go to them.
pub fn names_feed(reason: &str) -> bool {
    let reason = without_umlauts(reason);
    let mut words = reason.split(|letter: char| !letter.is_alphabetic());
    words.any(|word| FEED.contains(&word) || word.ends_with(FEED_END))
}

#[cfg(test)]
mod tests {
    use super::names_feed;

    #[test]
    fn whole_words_that_speak_of_animals_are_understood() {
        for reason in [
            "for the pigs",
            "Fed to the hens",
            "farm animals",
            "spare, not for the pigs",
            "too bad for feed",
            "goats/sheep",
            "Schweinefutter",
            "Tierfutter",
            "für das Geflügel",
            "two donkeys",
            "für die Schweine",
            "an Hühner verfüttert",
            "HÜHNER",
        ] {
            assert!(names_feed(reason), "{reason}");
        }
        for reason in [
            "past its date",
            "pigment on the lid",
            "when the tub fell",
            "too much for the carpet",
            "feedback of the brewer",
            "top tier of the rack fell",
            "lemon rind in it",
            "chickpeas in it",
        ] {
            assert!(!names_feed(reason), "{reason}");
        }
    }
}
