//! What somebody typed into a form, and what of it is understood: numbers forgiving where it is safe, the rest asked
//! back.

use crate::quantity::{Instant, Milligrams, Problem, Temperature, Zone, decimal, text, when};
use std::str::FromStr;

/// A form has faults: they stand beside its fields.
#[derive(Debug, thiserror::Error)]
#[error("fields of the form are wrong")]
pub struct Faulty;

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The field.
    pub field: String,
    /// What was found and what to type.
    pub words: String,
}

/// What was typed, with all that is wrong in it.
#[derive(Debug, Default)]
pub struct Typed {
    fields: Vec<(String, String)>,
    is_sent: bool,
    faults: Vec<Fault>,
}

impl Typed {
    /// The fields of a form as they were sent.
    pub fn new(fields: Vec<(String, String)>, is_sent: bool) -> Self {
        Self {
            fields,
            is_sent,
            faults: Vec::new(),
        }
    }

    /// What to show in a field: what was typed, or what is filled in where nothing was sent yet.
    pub fn shown<'a>(&'a self, field: &str, filled_in: &'a str) -> &'a str {
        match self.first(field) {
            Some(typed) => typed,
            None if self.is_sent => "",
            None => filled_in,
        }
    }

    /// Whether a box is ticked: as it was sent, or as it is filled in.
    pub fn is_ticked(&self, field: &str, filled_in: bool) -> bool {
        if self.is_sent {
            self.first(field).is_some()
        } else {
            filled_in
        }
    }

    /// Whether a form was sent.
    pub fn is_sent(&self) -> bool {
        self.is_sent
    }

    /// The faults that were found.
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// What is wrong with one field.
    pub fn fault_of(&self, field: &str) -> Option<&str> {
        let found = self.faults.iter().find(|fault| fault.field == field);
        found.map(|fault| fault.words.as_str())
    }

    /// A hidden field; empty where it is not there.
    pub fn hidden(&self, field: &str) -> &str {
        self.first(field).unwrap_or_default()
    }

    fn first(&self, field: &str) -> Option<&str> {
        let found = self.fields.iter().find(|(name, _)| name == field);
        found.map(|(_, value)| value.as_str())
    }

    /// A field without blanks around it; nothing where it is empty.
    pub fn given(&self, field: &str) -> Option<String> {
        let typed = decimal::trim(self.hidden(field));
        (!typed.is_empty()).then(|| typed.to_owned())
    }

    /// What comes after a begin of the names of boxes that are ticked.
    pub fn ticked(&self, begin: &str) -> Vec<String> {
        let names = self.fields.iter().map(|(name, _)| name);
        let rest = names.filter_map(|name| name.strip_prefix(begin));
        rest.map(str::to_owned).collect()
    }

    /// Numbers that have a unit beside them: field, what was typed, unit.
    pub fn measures(&self) -> impl Iterator<Item = (&str, &str, &str)> {
        self.fields.iter().filter_map(|(name, unit)| {
            let field = name.strip_suffix("_unit")?;
            let typed = decimal::trim(self.first(field)?);
            (!typed.is_empty()).then_some((field, typed, unit.as_str()))
        })
    }

    /// Forgets what a field held, where it is of no use to whoever sent it.
    pub fn forget(&mut self, field: &str) {
        self.fields.retain(|(name, _)| name != field);
    }

    /// Notes that a field is wrong.
    pub fn fault(&mut self, field: &str, problem: &Problem) -> Faulty {
        // What to type is said without the marks of a command line.
        let hints = problem.hints().iter();
        let hints = hints.filter(|hint| !super::remedies::is_typed(hint));
        let words = std::iter::once(problem.to_string()).chain(hints.cloned());
        self.faults.push(Fault {
            field: field.to_owned(),
            words: words.collect::<Vec<_>>().join(": "),
        });
        Faulty
    }

    /// Ends the reading: an error where something is wrong.
    pub fn all_read(&self) -> Result<(), Faulty> {
        if self.faults.is_empty() {
            Ok(())
        } else {
            Err(Faulty)
        }
    }

    fn keep<T>(&mut self, field: &str, read: Result<T, Problem>) -> Option<T> {
        read.map_err(|problem| self.fault(field, &problem)).ok()
    }

    fn missing(&mut self, field: &str, what: &str) {
        self.fault(field, &Problem::new(format!("{what} is missing")));
    }

    /// A mass that has to be given. Its unit stands beside it or in it.
    pub fn mass(&mut self, field: &str) -> Option<Milligrams> {
        match self.mass_if(field)? {
            Some(mass) => Some(mass),
            None => {
                self.missing(field, "the weight");
                None
            }
        }
    }

    /// A mass that may be left out: nothing inside where it is.
    pub fn mass_if(&mut self, field: &str) -> Option<Option<Milligrams>> {
        let Some(typed) = self.given(field) else {
            return Some(None);
        };
        let unit = self.hidden(&format!("{field}_unit")).to_owned();
        let read = number(&typed, &unit).and_then(|text| text.parse());
        self.keep(field, read).map(Some)
    }

    /// The same of a mass that may also be nothing.
    pub fn mass_or_nothing_if(&mut self, field: &str) -> Option<Option<Milligrams>> {
        let Some(typed) = self.given(field) else {
            return Some(None);
        };
        let unit = self.hidden(&format!("{field}_unit")).to_owned();
        let read = number(&typed, &unit).and_then(|text| Milligrams::or_nothing(&text));
        self.keep(field, read).map(Some)
    }

    /// A temperature that may be left out. A box says that it is below zero.
    pub fn temperature_if(&mut self, field: &str) -> Option<Option<Temperature>> {
        let Some(typed) = self.given(field) else {
            return Some(None);
        };
        let unit = self.hidden(&format!("{field}_unit")).to_owned();
        let is_below = self.first(&format!("{field}_below")).is_some();
        let read = number(&typed, &unit).and_then(|text| {
            let signed = if is_below && !text.starts_with(['-', '−']) {
                format!("-{text}")
            } else {
                text
            };
            signed.parse()
        });
        self.keep(field, read).map(Some)
    }

    /// A temperature that has to be given.
    pub fn temperature(&mut self, field: &str) -> Option<Temperature> {
        match self.temperature_if(field)? {
            Some(temperature) => Some(temperature),
            None => {
                self.missing(field, "the temperature");
                None
            }
        }
    }

    /// A value in its own words, such as `77%`, that may be left out; a bare number gets this unit.
    pub fn value_if<T>(&mut self, field: &str, unit: &str) -> Option<Option<T>>
    where
        T: FromStr<Err = Problem>,
    {
        let Some(typed) = self.given(field) else {
            return Some(None);
        };
        let read = number(&typed, unit).and_then(|text| text.parse());
        self.keep(field, read).map(Some)
    }

    /// A whole number that may be left out.
    pub fn count_if(&mut self, field: &str) -> Option<Option<u32>> {
        let Some(typed) = self.given(field) else {
            return Some(None);
        };
        let read = typed
            .parse()
            .map_err(|_| Problem::new(format!("`{typed}` is no whole number")));
        self.keep(field, read).map(Some)
    }

    /// A name that has to be given.
    pub fn name(&mut self, field: &str, what: &str) -> Option<String> {
        self.words(field, what, text::LONGEST_NAME)
    }

    /// A reason or note that has to be given.
    pub fn reason(&mut self, field: &str, what: &str) -> Option<String> {
        self.words(field, what, text::LONGEST_NOTE)
    }

    fn words(&mut self, field: &str, what: &str, longest: usize) -> Option<String> {
        let Some(typed) = self.given(field) else {
            self.missing(field, what);
            return None;
        };
        self.keep(field, text::typed(&typed, what, longest))
    }

    /// A note that may be left out.
    pub fn note_if(&mut self, field: &str) -> Option<Option<String>> {
        match self.given(field) {
            None => Some(None),
            Some(_) => self.reason(field, "the note").map(Some),
        }
    }

    /// The same of words that may be left out.
    pub fn one_of_if<T>(&mut self, field: &str, what: &str) -> Option<Option<T>>
    where
        T: FromStr<Err = Problem>,
    {
        match self.given(field) {
            None => Some(None),
            Some(_) => self.one_of(field, what).map(Some),
        }
    }

    /// One of some words, as a list of them or keys to press send it.
    pub fn one_of<T>(&mut self, field: &str, what: &str) -> Option<T>
    where
        T: FromStr<Err = Problem>,
    {
        let Some(typed) = self.given(field) else {
            self.missing(field, what);
            return None;
        };
        self.keep(field, typed.parse())
    }

    /// A moment of the past: a day and a time of the clock, each may be left out; nothing of either is now.
    pub fn moment_or_now(&mut self, field: &str, now: Instant, zone: &Zone) -> Option<Instant> {
        self.past_if(field, now, zone).map(|at| at.unwrap_or(now))
    }

    /// The same, nothing inside where neither is given.
    pub fn past_if(&mut self, field: &str, now: Instant, zone: &Zone) -> Option<Option<Instant>> {
        let Some(typed) = self.moment_words(field) else {
            return Some(None);
        };
        self.keep(field, when::moment(&typed, now, zone)).map(Some)
    }

    /// A moment to come.
    pub fn coming(&mut self, field: &str, now: Instant, zone: &Zone) -> Option<Instant> {
        let Some(typed) = self.moment_words(field) else {
            self.missing(field, "the time");
            return None;
        };
        self.keep(field, when::coming(&typed, now, zone))
    }

    /// `2026-11-20 07:30` of a day and a time, each may be left out.
    pub fn moment_words(&self, field: &str) -> Option<String> {
        let day = self.given(&format!("{field}_day"));
        let time = self.given(&format!("{field}_time"));
        match (day, time) {
            (None, None) => None,
            (Some(one), None) | (None, Some(one)) => Some(one),
            (Some(day), Some(time)) => Some(format!("{day} {time}")),
        }
    }
}

/// A number as somebody typed it, with a unit: one comma or one dot is the decimal mark, both together are doubtful, and
/// so is a comma before three digits, which may set thousands apart. A unit that was typed goes before that beside it.
pub fn number(typed: &str, unit: &str) -> Result<String, Problem> {
    let typed = decimal::trim(typed);
    let (dots, commas) = (typed.matches('.').count(), typed.matches(',').count());
    let doubtful = |why: &str| Problem::new(format!("`{typed}` {why}"));
    if dots + commas > 1 {
        return Err(doubtful(
            "has more than one decimal mark: write it with one, such as 1.5",
        ));
    }
    if let Some((whole, rest)) = typed.split_once(',') {
        let digits = rest.chars().take_while(char::is_ascii_digit).count();
        if digits == 3 && whole.trim_start_matches('0').len() <= 3 && whole != "0" {
            let joined = typed.replace(',', "");
            let pointed = typed.replace(',', ".");
            return Err(doubtful(&format!(
                "may be {pointed} or {joined}: write which"
            )));
        }
    }
    let plain = typed.replace(',', ".");
    Ok(if has_unit(&plain) {
        plain
    } else {
        format!("{plain}{unit}")
    })
}

/// Whether a unit was typed with a number: it goes before that beside it.
pub fn has_unit(typed: &str) -> bool {
    typed.contains(|c: char| c.is_alphabetic() || c == '%' || c == '°')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(fields: &[(&str, &str)]) -> Typed {
        let owned = |(name, value): &(&str, &str)| ((*name).to_owned(), (*value).to_owned());
        Typed::new(fields.iter().map(owned).collect(), true)
    }

    #[test]
    fn one_comma_or_one_dot_is_the_decimal_mark() {
        for (text, unit, milligrams) in [
            ("18,4", "kg", 18_400_000),
            ("18.4", "kg", 18_400_000),
            (" 0,125 ", "kg", 125_000),
            ("112.5", "g", 112_500),
            ("40", "lb", 18_143_695),
            ("18,4 kg", "g", 18_400_000),
            ("2lb6oz", "kg", 1_077_282),
        ] {
            let mut form = typed(&[("wet", text), ("wet_unit", unit)]);
            assert_eq!(
                form.mass("wet").map(Milligrams::get),
                Some(milligrams),
                "{text}"
            );
        }
    }

    #[test]
    fn what_may_mean_two_things_is_asked_back() {
        for text in ["1,234", "1.234,5", "1,2,3", "18..4", "abc", "-", "1e3"] {
            let mut form = typed(&[("wet", text), ("wet_unit", "kg")]);
            assert_eq!(form.mass("wet"), None, "{text}");
            assert!(form.all_read().is_err());
            assert_eq!(form.shown("wet", ""), text, "what was typed stays");
        }
        let mut form = typed(&[("wet", "1,234"), ("wet_unit", "kg")]);
        form.mass("wet");
        let words = form.fault_of("wet").unwrap();
        assert!(words.contains("1.234 or 1234"), "{words}");
        // An empty field is no nought.
        let mut form = typed(&[("wet", "  "), ("wet_unit", "kg")]);
        assert_eq!(form.mass_if("wet"), Some(None));
        assert_eq!(form.mass("wet"), None);
    }

    #[test]
    fn a_box_says_that_it_is_below_zero() {
        let at = |form: &mut Typed| form.temperature("temp").map(|at| at.degrees_celsius());
        let mut form = typed(&[("temp", "18"), ("temp_unit", "C"), ("temp_below", "1")]);
        assert_eq!(at(&mut form), Some(-18.0));
        let mut form = typed(&[("temp", "-18"), ("temp_unit", "C"), ("temp_below", "1")]);
        assert_eq!(at(&mut form), Some(-18.0));
        let mut form = typed(&[("temp", "39,2"), ("temp_unit", "F")]);
        assert_eq!(at(&mut form), Some(4.0));
    }

    #[test]
    fn a_day_and_a_time_are_a_moment() {
        let zone = Zone::named("Europe/Dublin").unwrap();
        let now: Instant = "2026-11-20T10:00:00Z".parse().unwrap();
        let read = |fields: &[(&str, &str)]| typed(fields).moment_or_now("at", now, &zone);
        assert_eq!(read(&[]), Some(now));
        let half_past_seven = Some("2026-11-20T07:30:00Z".parse().unwrap());
        assert_eq!(
            read(&[("at_day", "2026-11-20"), ("at_time", "07:30")]),
            half_past_seven
        );
        assert_eq!(
            read(&[("at_day", ""), ("at_time", "07:30")]),
            half_past_seven
        );
        assert_eq!(
            read(&[("at_day", "2026-13-20"), ("at_time", "07:30")]),
            None
        );
    }
}
