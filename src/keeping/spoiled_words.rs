//! Words of a reason that speak of spoilage. They are compared in lower case, with "ae" for "ä" and "ss" for "ß".

use crate::quantity::text::without_umlauts;

/// Words that speak of spoilage, or begin those that do; the German ones too.
const BEGINS: &[&str] = &[
    "mould",
    "mold",
    "mildew",
    "rotten",
    "rotting",
    "slim",
    "putrid",
    "rancid",
    "stink",
    "smell",
    "sour",
    "fust",
    "fuzz",
    "musty",
    "verschimm",
    "angeschimm",
    "verdorb",
    "verfault",
    "angefault",
    "gefault",
    "faulig",
    "faulend",
    "verrott",
    "gammel",
    "gamml",
    "vergammel",
    "schleim",
    "saeuerlich",
    "ranzig",
    "muffig",
    "mueffel",
    "modrig",
    "moderig",
    "kahm",
    "pilzbefall",
    "pilzig",
    "umgekippt",
    "riech",
    "uebelriech",
    "gestank",
];
/// What stands anywhere in a word that speaks of it: "Grauschimmel", "Braunfäule".
const HOLDS: &[&str] = &["schimmel", "schimml", "faeule", "faeulnis"];
/// Words that speak of it as a whole only.
const WHOLE: &[&str] = &[
    "fur", "furry", "rot", "spoiled", "spoilt", "fungus", "fungi", "fungal", "foul", "smelt",
    "stank", "stunk", "faul", "faule", "faulem", "faulen", "fauler", "faules", "sauer", "pelzig",
    "pilz", "pilze", "muffelt", "geruch", "gerueche",
];
/// Look like them and speak of something else: dough that was shaped or soured, a brewery, an excuse.
const OTHERWISE: &[&str] = &[
    "mouldings",
    "sourdough",
    "sour dough",
    "sour-dough",
    "sour starter",
    "sour cream",
    "sour cherr",
    "source",
    "sourcing",
    "faule ausrede",
    "faulen ausrede",
    "fauler zauber",
    "fauler kompromiss",
];

/// Two words that speak of it together: one of the first, and one of the second right behind it.
const TOGETHER: [(&[&str], &[&str]); 4] = [
    (&["gone", "went"], &["off", "bad"]),
    (&["turned"], &["bad"]),
    (&["schlecht"], &["geworden"]),
    (
        &["green", "blue", "white", "black", "grey"],
        &["spot", "spots", "patch", "patches", "growth"],
    ),
];

/// Words that deny the one right behind them.
const DENIES: &[&str] = &[
    "no", "not", "without", "kein", "keine", "keinen", "nicht", "ohne",
];
/// Words that are denied with the one right behind them: "no bad smell".
const DENIED_ALONG: &[&str] = &["bad", "schlechter", "schlechten"];

/// Whether a reason speaks of mould, rot or a bad smell, and does not deny it in the same breath: "no mould".
pub fn names_spoilage(reason: &str) -> bool {
    let mut reason = without_umlauts(reason);
    for otherwise in OTHERWISE {
        reason = reason.replace(otherwise, "-");
    }
    let mut before = ("", false);
    // Each word, and whether it is denied.
    let mut words: Vec<(&str, bool)> = Vec::new();
    for parts in reason.split_whitespace() {
        let denied = DENIES.contains(&before.0) || (before.1 && DENIED_ALONG.contains(&before.0));
        before = (parts, denied);
        let split = parts.split(|letter: char| !letter.is_alphabetic());
        let split = split.enumerate();
        words.extend(split.map(|(index, word)| (word, denied && index == 0)));
    }
    words.retain(|(word, _)| !word.is_empty());
    let together = |first: &str, second: &str| {
        let mut pairs = TOGETHER.iter();
        pairs.any(|(firsts, seconds)| firsts.contains(&first) && seconds.contains(&second))
    };
    words
        .iter()
        .any(|(word, denied)| !denied && speaks_of_it(word))
        || words
            .windows(2)
            .any(|two| !two[0].1 && together(two[0].0, two[1].0))
}

fn speaks_of_it(word: &str) -> bool {
    WHOLE.contains(&word)
        || BEGINS.iter().any(|known| word.starts_with(known))
        || HOLDS.iter().any(|known| word.contains(known))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_spoilage_are_understood() {
        for reason in [
            "Grauschimmel",
            "WEISSSCHIMMEL",
            "Weißschimmel am Rand",
            "Weissschimmel",
            "Blauschimmel",
            "Edelschimmel",
            "weißschimmelig",
            "angeschimmelt",
            "Pilzbefall",
            "Fäule",
            "FAEULE",
            "Fa\u{308}ule",
            "Braunfäule",
            "Faeulnis",
            "verrottet",
            "faulende Stelle",
            "wegen fauler Stellen",
            "schlechter Geruch",
            "übler Geruch",
            "it smelt bad",
            "smells bad",
            "bad smell",
            "it stank",
            "gone bad",
            "Went bad",
            "gone off",
            "turned bad",
            "schlecht geworden",
            "rancid",
            "ranzig",
            "müffelt",
            "mueffelt",
            "muffelt",
            "Kahmhefe",
            "Kahmhaut",
            "umgekippt",
            "uebelriechend",
            "säuerlich",
            "too much for the sourdough, and mouldy",
            "sour sourdough",
            "sour, dough did not rise",
            "no bad smell, but mould",
            "not only a bad smell",
        ] {
            assert!(names_spoilage(reason), "{reason}");
        }
    }

    #[test]
    fn words_of_the_trade_that_look_like_them_are_not_taken_for_them() {
        for reason in [
            "too much for the sourdough",
            "Sourdough starter fed",
            "for the sour dough starter",
            "sour-dough bread",
            "sour cherry loaf",
            "wrong source",
            "left over after mouldings",
            "faule Ausrede",
            "keine faulen Ausreden",
            "für Sauerteig",
            "fu\u{308}r Brot",
            "Pilzrisotto",
            "the hens went badly",
            "Wetter schlecht",
            "geruchlos",
            "fault of the lid",
            "not rancid",
            "nicht umgekippt",
            "keine Fäule",
            "ohne Grauschimmel",
            "no bad smell",
            "kein schlechter Geruch",
            "not gone bad",
        ] {
            assert!(!names_spoilage(reason), "{reason}");
        }
    }
}
