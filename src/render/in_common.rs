//! What is told of several lots at once, with the moment or figure of each where they differ in one.

use super::words;
use crate::report::LotAnswer;

/// What ends a word and is none of it.
const SIGNS: [char; 5] = [',', ';', ':', '.', ')'];
/// Units that stand behind a figure.
const UNITS: [&str; 4] = ["°C", "°F", "%", "cm"];

/// What is told of a lot.
pub struct Told {
    before: String,
    /// The moment or figure in which lots may differ: `by Fri 20 Nov 12:30`, `with 5`; empty where they do not.
    own: String,
    after: String,
}

impl Told {
    /// With what is its own, and the words around that.
    pub fn new(
        before: impl Into<String>,
        own: impl Into<String>,
        after: impl Into<String>,
    ) -> Self {
        Self {
            before: before.into(),
            own: own.into(),
            after: after.into(),
        }
    }

    /// Lots may differ in its first figure, which takes its unit and the word before it along.
    pub fn with_figure(text: &str) -> Self {
        let words: Vec<&str> = text.split(' ').collect();
        let is_figure = |word: &&str| word.starts_with(|c: char| c.is_ascii_digit());
        let Some(figure) = words.iter().position(is_figure) else {
            return Self::new(text, "", "");
        };
        let first = match figure.checked_sub(1) {
            Some(before) if !words[before].ends_with(SIGNS) => before,
            _ => figure,
        };
        let last = match words.get(figure + 1) {
            Some(unit) if UNITS.contains(&unit.trim_end_matches(SIGNS)) => figure + 1,
            _ => figure,
        };
        let own = words[first..=last].join(" ");
        let bare = own.trim_end_matches(SIGNS);
        let mut after = own[bare.len()..].to_owned();
        for word in &words[last + 1..] {
            after.push(' ');
            after.push_str(word);
        }
        Self::new(words[..first].join(" "), bare, after)
    }

    /// All of it, of one lot.
    pub fn whole(&self) -> String {
        let gap = if self.before.is_empty() || self.own.is_empty() {
            ""
        } else {
            " "
        };
        format!("{}{gap}{}{}", self.before, self.own, self.after)
    }
}

/// Lots of which the same is told.
pub struct Group {
    told: Told,
    /// The code of each, with what is its own.
    lots: Vec<(String, String)>,
}

impl Group {
    /// Whether it is of several lots.
    pub const fn is_shared(&self) -> bool {
        self.lots.len() > 1
    }

    /// Whether a lot is among them.
    pub fn is_of(&self, code: &str) -> bool {
        self.lots.iter().any(|(lot, _)| lot == code)
    }

    /// Whether it tells the same.
    pub fn tells(&self, told: &Told) -> bool {
        (&self.told.before, &self.told.after) == (&told.before, &told.after)
    }

    /// With the lots; of all lots without their codes, unless each has something of its own.
    fn words(&self, all: usize) -> String {
        let mut by_own: Vec<(&str, Vec<&str>)> = Vec::new();
        for (code, own) in &self.lots {
            let (code, own) = (code.as_str(), own.as_str());
            match by_own.iter_mut().find(|(known, _)| *known == own) {
                Some((_, codes)) => codes.push(code),
                None => by_own.push((own, vec![code])),
            }
        }
        if let [(_, codes)] = by_own.as_slice() {
            let said = self.told.whole();
            return match codes.len() {
                1 if all == 1 => said,
                number if number == all => format!("{said}: all {number} lots"),
                _ => format!("{said}: {}", codes.join(", ")),
            };
        }
        let between = if by_own.iter().any(|(_, codes)| codes.len() > 1) {
            "; "
        } else {
            ", "
        };
        let each: Vec<String> = by_own
            .iter()
            .map(|(own, codes)| format!("{} {own}", codes.join(", ")))
            .collect();
        let before = match self.told.before.as_str() {
            "" => String::new(),
            before => format!("{}: ", before.trim_end_matches([',', ';', ':'])),
        };
        format!("{before}{}{}", each.join(between), self.told.after)
    }
}

/// What is told of lots, each once with the lots of which it is so.
pub fn groups<'l>(
    lots: impl IntoIterator<Item = &'l LotAnswer>,
    of: impl Fn(&LotAnswer) -> Vec<Told>,
) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for found in lots {
        for told in of(found) {
            let lot = (found.lot.code.to_string(), told.own.clone());
            match groups.iter_mut().find(|group| group.tells(&told)) {
                Some(group) => group.lots.push(lot),
                None => groups.push(Group {
                    told,
                    lots: vec![lot],
                }),
            }
        }
    }
    groups
}

/// Says it below a list of so many lots.
pub fn say(out: &mut String, label: &str, groups: &[Group], all: usize) {
    let mut label = label;
    for group in groups {
        words::labelled(out, std::mem::take(&mut label), &group.words(all));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words_of(texts: &[(&str, &str)]) -> String {
        let told = Told::with_figure(texts[0].1);
        let own = |(code, text): &(&str, &str)| {
            let other = Told::with_figure(text);
            assert_eq!(other.whole(), *text);
            assert_eq!(other.before, told.before);
            assert_eq!(other.after, told.after);
            ((*code).to_owned(), other.own)
        };
        let lots = texts.iter().map(own).collect();
        Group { told, lots }.words(texts.len())
    }

    #[test]
    fn a_figure_stands_behind_the_lots_that_have_it() {
        let frozen =
            |left: &str| format!("frozen: the day count stands still with {left} of 7 days left");
        let (five, four) = (frozen("5"), frozen("4"));
        assert_eq!(
            words_of(&[("A", &five[..]), ("B", &four[..]), ("C", &five[..])]),
            "frozen: the day count stands still: A, C with 5; B with 4 of 7 days left"
        );
        assert_eq!(
            words_of(&[("A", "5.4 °C, above 5 °C"), ("B", "6.1 °C, above 5 °C")]),
            "A 5.4 °C, B 6.1 °C, above 5 °C"
        );
        assert_eq!(
            words_of(&[
                ("A", "what counts is a layer of 5 cm"),
                ("B", "what counts is a layer of 7 cm")
            ]),
            "what counts is a layer: A of 5 cm, B of 7 cm"
        );
    }

    #[test]
    fn what_is_the_same_is_told_whole() {
        let same = "7 days at most, the mash-out day counted as the first";
        assert_eq!(
            words_of(&[("A", same), ("B", same)]),
            format!("{same}: all 2 lots")
        );
        assert_eq!(words_of(&[("A", "tested")]), "tested");
        assert_eq!(Told::with_figure("at 5 °C.").whole(), "at 5 °C.");
    }
}
