//! How much to fetch in words: the amount, why so much, what it was calculated from, and what other amounts come to.

use super::lot::Detail;
use super::numbers::{MassUnit, Units, moisture, percent};
use super::plan::bakes_apart;
use super::{times, words};
use crate::planning::fetch::{Because, Expected, THIN};
use crate::planning::figures::milligrams;
use crate::planning::windows::Unfit;
use crate::quantity::text::count;
use crate::quantity::{Milligrams, Zone};
use crate::report::fetch::FetchAnswer;

mod amounts;

/// The whole answer; briefly the amount, and what other amounts come to.
pub fn text(answer: &FetchAnswer, detail: Detail, units: Units, zone: &Zone) -> String {
    let is_brief = detail == Detail::Brief;
    let tell = Words::new(answer, true, units, zone);
    let mut out = tell.above(is_brief);
    let rows = tell.rows();
    if !rows.is_empty() {
        out.push('\n');
        words::wrapped(&mut out, "", "", AMOUNTS);
        let right: Vec<bool> = (0..rows[0].len()).map(|column| column > 0).collect();
        for line in words::table(&rows, &right) {
            out.push_str(&line);
            out.push('\n');
        }
    }
    out + &tell.below(is_brief)
}

/// The answer in three parts, for whoever types no commands.
pub struct InParts {
    /// The amount, why so much, and what it was calculated from.
    pub above: String,
    /// What each amount comes to: a row of headings, then a label before each row. Empty where there is but one amount.
    pub amounts: Vec<Vec<String>>,
    /// What is to be known of it.
    pub below: String,
}

/// The same for whoever types no commands.
pub fn without_commands(answer: &FetchAnswer, units: Units, zone: &Zone) -> InParts {
    let tell = Words::new(answer, false, units, zone);
    InParts {
        above: tell.above(false),
        amounts: tell.rows(),
        below: tell.below(false),
    }
}

/// Heading of the amounts side by side.
pub const AMOUNTS: &str = "What each amount comes to on average:";

/// Below so many kilograms the solver's digits say nothing.
const NOTHING: f64 = 1e-5;
/// So many kilograms are shown as a hundredth of a pound and not as nothing.
const LEAST_POUNDS: f64 = 0.005 * 0.453_592_37;
/// A difference of fewer kilograms is no reason for an amount: a gram as it is shown.
const WORTH_TELLING: f64 = 0.0005;
/// So many differences are a reason; the table shows the others.
const MOST_DIFFERENCES: usize = 2;

struct Words<'a> {
    answer: &'a FetchAnswer,
    units: Units,
    /// That of all grain here, wet or dry.
    unit: MassUnit,
    zone: &'a Zone,
    is_typed: bool,
}

impl<'a> Words<'a> {
    fn new(answer: &'a FetchAnswer, is_typed: bool, units: Units, zone: &'a Zone) -> Self {
        let amounts = answer.amounts();
        let wet = amounts.iter().map(|(wet, _)| wet.mass());
        let dry = amounts
            .iter()
            .flat_map(|(_, one)| [one.given, one.short, one.preserved_unused]);
        let dry = dry.map(|kilograms| milligrams(kilograms).mass());
        Self {
            answer,
            units,
            unit: units.unit_of(wet.chain(dry)),
            zone,
            is_typed,
        }
    }

    const fn lines(&self) -> words::Lines {
        words::Lines::of(self.is_typed)
    }

    /// What stands above the amounts; briefly the answer alone.
    fn above(&self, is_brief: bool) -> String {
        let mut out = String::new();
        self.lines().add(&mut out, "", "", &self.take());
        if !is_brief {
            if let Some(why) = self.why() {
                self.lines().add(&mut out, "", "", &why);
            }
            out.push('\n');
            for (label, text) in self.grounds() {
                self.lines().labelled(&mut out, label, &text);
            }
        }
        out
    }

    /// What stands below them; briefly without what their cost is calculated from.
    fn below(&self, is_brief: bool) -> String {
        let mut out = String::new();
        if !is_brief && self.answer.amounts().len() > 1 {
            self.lines().add(&mut out, "", "", &self.prices());
        }
        for note in self.notes() {
            out.push('\n');
            self.lines().add(&mut out, "", "", &note);
        }
        out
    }

    fn when(&self, at: crate::quantity::Instant) -> String {
        times::moment(at, self.answer.ground.situation.now, self.zone)
    }

    /// Kilograms of dry grain.
    fn dry(&self, kilograms: f64) -> String {
        // Of what happens in one sample of hundreds little is left on average, and it is not nothing.
        let (least, under) = match (self.units, self.unit) {
            (Units::Metric, _) => (0.0005, "under 1 g"),
            (Units::Us, MassUnit::Pound) => (LEAST_POUNDS, "under 0.01 lb"),
            (Units::Us, _) => (0.0005, "under 0.02 oz"),
        };
        if (NOTHING..least).contains(&kilograms) {
            return under.to_owned();
        }
        let dry = milligrams(kilograms).mass();
        self.units.listed(dry, self.unit)
    }

    /// What to take, and where and when: `Fetch 8 kg from Alder Lane, Mon 23 Nov 09:00.`
    fn take(&self) -> String {
        let fetch = &self.answer.fetch;
        let from = match &self.answer.like {
            Some(like) => format!(" from {}", like.source),
            None => String::new(),
        };
        let when = self.when(self.answer.at);
        if let Some(because) = fetch.because {
            return format!("Fetch nothing{from}, {when}: {}.", self.because(because));
        }
        let stopped = if fetch.stopped {
            format!(
                " Stopped when you asked for it: the best of the amounts looked at so far, the figures below of one sample in {THIN}."
            )
        } else {
            String::new()
        };
        format!("Fetch {}{from}, {when}.{stopped}", self.amount(fetch.wet))
    }

    fn because(&self, because: Because) -> String {
        let nothing = &self.answer.fetch.nothing;
        let short = nothing.short + nothing.optional_short;
        match because {
            Because::NoBakes => "no bake is to be mixed in these days".to_owned(),
            Because::BakesBefore => {
                "every bake in the book for these days weighs out its grain before".to_owned()
            }
            Because::NoneFits(why) => format!(
                "no bake after it may have such grain, {}",
                match why {
                    Unfit::Colour => "they want another colour, or its colour is not known",
                    Unfit::Form => "they want another form",
                    Unfit::Cereal => "it may hold a cereal that they must not have",
                    Unfit::NotNamed => "they are to be made of named lots",
                    Unfit::Date => "it would be past by then, or not known to be good",
                }
            ),
            Because::Covered if short >= NOTHING => format!(
                "what the bakes still lack, {} of dry grain on average, such grain does not fill",
                self.dry(short)
            ),
            Because::Covered => {
                "what is on hand covers the bakes, and more would only be left over".to_owned()
            }
        }
    }

    /// What it was calculated from, and what was assumed where nobody said it.
    fn grounds(&self) -> Vec<(&'static str, String)> {
        let answer = self.answer;
        let fetch = &answer.fetch;
        let situation = &answer.ground.situation;
        let mut grounds = vec![(
            "Bakes",
            format!(
                "{} until {}{}; they want {} of dry grain{}{}",
                count(situation.bakes.len(), "bake"),
                self.when(situation.end),
                self.optional(),
                self.dry(fetch.wanted),
                if answer.optional() > 0 {
                    " on average"
                } else {
                    ""
                },
                self.on_hand(),
            ),
        )];
        grounds.push((
            "Moisture",
            format!(
                "{}: {}; tried with moistures from {} to {}",
                moisture(&answer.moisture.moisture),
                answer.moisture.from,
                percent(fetch.moisture.0),
                percent(fetch.moisture.1)
            ),
        ));
        let colour = answer
            .lot
            .colour
            .map_or("of unknown colour", |colour| colour.as_str());
        let form = answer.lot.form;
        grounds.push((
            "Grain",
            match &answer.like {
                Some(like) => format!(
                    "we assume that it is like the last lot, {}: {form}, {colour}; grist {}{}",
                    like.code,
                    like.grist.as_deref().unwrap_or("not known"),
                    match (answer.source_is_ours, self.is_typed) {
                        (true, true) => "; no --from was given, and it came in last",
                        (true, false) => "; no brewery was named, and it came in last",
                        (false, _) => "",
                    }
                ),
                None => format!("no lot has come in so far: we assume {form} grain, {colour}"),
            },
        ));
        grounds.push(("Keeping", self.keeping()));
        let seed = if self.is_typed {
            format!(" (--seed {} draws the same again)", answer.seed)
        } else {
            String::new()
        };
        grounds.push((
            "Calculated",
            format!(
                "tried out {} times, with good and bad luck{seed}; amounts in steps of {}{}",
                answer.samples,
                self.units.weighed(fetch.step),
                match (answer.at_is_ours, self.is_typed) {
                    (true, true) => "; no --at was given: tomorrow at noon",
                    (true, false) => "; no time was given: tomorrow at noon",
                    (false, _) => "",
                }
            ),
        ));
        grounds
    }

    /// What goes into the bakes without anything fetched.
    fn on_hand(&self) -> String {
        let (wanted, without) = (self.answer.fetch.wanted, &self.answer.fetch.nothing);
        let over = without.given - wanted;
        if over < NOTHING {
            return format!(
                ", and {} of what is on hand goes into them",
                self.dry(without.given)
            );
        }
        let enough = if without.short + without.optional_short < NOTHING {
            "what is on hand is enough"
        } else {
            "what is on hand does not reach for each of them"
        };
        format!(
            "; {enough}, and the doughs can hold {} above the usual share if there is too much grain",
            self.dry(over)
        )
    }

    fn optional(&self) -> String {
        match self.answer.optional() {
            0 => String::new(),
            optional => format!(
                ", {optional} of them optional, each with a chance of {} to be baked{}",
                percent(self.answer.chance),
                if self.is_typed { " (--chance)" } else { "" }
            ),
        }
    }

    fn keeping(&self) -> String {
        let answer = self.answer;
        let mash_out = if answer.mash_out_is_ours {
            "we assume that it is mashed out at the pickup".to_owned()
        } else {
            format!("mashed out {}", self.when(answer.mash_out))
        };
        let until = match answer.fetch.until {
            Some(until) => format!(": good until {}", self.when(until)),
            None => String::new(),
        };
        let kept = if answer.lot.form.is_dry() {
            "stored dry"
        } else {
            "cooled in time and put into a fridge"
        };
        format!(
            "{mash_out}, {kept}, rules {}{until}",
            answer.ground.situation.rules.name
        )
    }

    fn amount(&self, wet: Milligrams) -> String {
        if wet == Milligrams::ZERO {
            "nothing".to_owned()
        } else {
            self.units.weighed_among(wet, self.unit)
        }
    }

    /// Why so much: what a little less and a little more would change.
    fn why(&self) -> Option<String> {
        let fetch = &self.answer.fetch;
        let means: Vec<String> = [&fetch.less, &fetch.more]
            .into_iter()
            .flatten()
            .map(|(wet, expected)| {
                let of_grain = if *wet == Milligrams::ZERO {
                    ""
                } else {
                    " of wet grain"
                };
                format!(
                    "If you fetched {}{of_grain}, {}.",
                    self.amount(*wet),
                    self.difference(expected)
                )
            })
            .collect();
        (!means.is_empty()).then(|| format!("Why (on average): {}", means.join(" ")))
    }

    /// The most important of what is otherwise than with the answer, on average: the table has all of it. `bakes would lack 120 g
    /// more dry grain of their minimum and 300 g less dry grain would spoil`.
    fn difference(&self, other: &Expected) -> String {
        let ours = &self.answer.fetch.expected;
        let (lacks, of_minimum) = ("bakes would lack ", " of their minimum");
        let differences = [
            (other.short - ours.short, lacks.to_owned(), of_minimum),
            (
                other.optional_short - ours.optional_short,
                format!("optional {lacks}"),
                of_minimum,
            ),
            (other.spoiled - ours.spoiled, String::new(), " would spoil"),
            (
                other.preserved_unused - ours.preserved_unused,
                String::new(),
                " would be left over",
            ),
        ];
        let mut found: Vec<(f64, String)> = differences
            .into_iter()
            .filter(|(apart, ..)| apart.abs() >= WORTH_TELLING)
            .map(|(apart, before, after)| {
                let word = if apart > 0.0 { "more" } else { "less" };
                let words = format!("{before}{} {word} dry grain{after}", self.dry(apart.abs()));
                (apart.abs(), words)
            })
            .collect();
        let off = other.off_wanted - ours.off_wanted;
        // What bakes lack they are away from what they want, too.
        let is_told = found.iter().any(|(_, words)| words.contains(lacks));
        if off.abs() >= WORTH_TELLING && !is_told {
            let word = if off > 0.0 {
                "further from"
            } else {
                "nearer to"
            };
            let off = off.abs();
            let words = format!(
                "bakes would be {} of dry grain {word} what they want",
                self.dry(off)
            );
            found.push((off, words));
        }
        found.sort_by(|(one, _), (other, _)| other.total_cmp(one));
        // Whatever the masses, somebody counts on a firm bake.
        found.sort_by_key(|(_, words)| !words.starts_with(lacks));
        let mut told: Vec<String> = found.into_iter().map(|(_, words)| words).collect();
        if let Some(worth) = self.answer.ground.situation.costs.dry_grain_per_kg {
            let money = worth * (other.spoiled - ours.spoiled) + other.work_cost - ours.work_cost;
            if money.abs() >= 0.005 {
                let word = if money > 0.0 { "more" } else { "less" };
                told.push(format!(
                    "spoiled grain and work would cost {:.2} {word}",
                    money.abs()
                ));
            }
        }
        told.truncate(MOST_DIFFERENCES);
        if told.is_empty() {
            "hardly anything would change in these days".to_owned()
        } else {
            told.join(" and ")
        }
    }

    fn notes(&self) -> Vec<String> {
        let ground = &self.answer.ground;
        let mut notes = Vec::new();
        if self.answer.fetch.because == Some(Because::NoBakes) {
            let plan = if self.is_typed {
                "draff bake add FORMULA --at WHEN ready plans a bake."
            } else {
                "Plan a bake under Bakes first."
            };
            notes.push(plan.to_owned());
        }
        notes.extend(bakes_apart(ground, self.is_typed));
        notes
    }
}
