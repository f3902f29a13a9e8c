//! The tables of a report: each is made once, and words, JSON, CSV, spreadsheet and page show the same cells.

use crate::quantity::text::trimmed;
use crate::quantity::{Instant, Milligrams, Temperature, Zone, mass};
use crate::render::numbers::{MassUnit, Units, known_from, percent};
use crate::render::times;
use chrono::NaiveDate;
use serde_json::{Value, json};
use uom::si::f64::Mass;

/// Rows of a table that stand with their question, in a terminal and on a page.
pub const SHOWN: usize = 12;

/// A question with its answer in a sentence, and the tables behind it.
pub struct Section {
    /// The question.
    pub title: &'static str,
    /// The answer.
    pub says: String,
    /// What it rests on.
    pub tables: Vec<Table>,
}

/// A table.
pub struct Table {
    /// Its name in files.
    pub key: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// The name of each column in files, with its unit, and its heading for people.
    pub columns: &'static [(&'static str, &'static str)],
    /// Columns that a terminal leaves out, the first one first, where the table is too wide for it.
    pub spare: &'static [&'static str],
    /// Its rows.
    pub rows: Vec<Vec<Cell>>,
}

/// What stands in a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Not known, or there is none.
    None,
    /// Words.
    Text(String),
    /// The code of a lot or bake: it stands on one line.
    Code(String),
    /// Where a moisture is known from, by its key in files.
    KnownFrom(&'static str),
    /// A weighed amount, in milligrams.
    Weighed(i64),
    /// One that other columns tell people in parts: files alone hold it.
    ForFiles(i64),
    /// A calculated amount.
    Mass(Mass),
    /// A number of things.
    Count(usize),
    /// A part of a whole.
    Part(f64),
    /// A moisture, a fraction of wet mass.
    Moisture(f64),
    /// The half-width of the 95 % range of a moisture, a fraction.
    HalfWidth(f64),
    /// Days.
    Days(f64),
    /// Minutes.
    Minutes(i64),
    /// Money.
    Money(f64),
    /// A moment.
    At(Instant),
    /// A day.
    Day(NaiveDate),
    /// A temperature.
    Temperature(Temperature),
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl<T: Into<Self>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::None, Into::into)
    }
}

/// How a person reads it.
#[derive(Clone, Copy)]
pub struct Reader<'a> {
    /// In which units.
    pub units: Units,
    /// At which moment.
    pub now: Instant,
    /// In which zone.
    pub zone: &'a Zone,
    /// Whether it is read on the page, where nobody types a command.
    pub is_on_page: bool,
}

impl Reader<'_> {
    /// How something is done: a command, or where it is on the page.
    pub const fn way<'w>(self, command: &'w str, on_page: &'w str) -> &'w str {
        if self.is_on_page { on_page } else { command }
    }

    /// A weighed amount in milligrams that stands alone, with its sign.
    pub fn weighed(self, wet: i64) -> String {
        let sign = if wet < 0 { "−" } else { "" };
        format!(
            "{sign}{}",
            self.units.weighed(Milligrams::new(wet.saturating_abs()))
        )
    }

    /// Masses of one sentence, in one unit.
    pub fn alike<const N: usize>(self, masses: [Mass; N]) -> [String; N] {
        let unit = self.units.unit_of(masses);
        masses.map(|mass| unit.shown(mass))
    }

    /// The unit of every mass of a table.
    pub fn unit_of(self, table: &Table) -> MassUnit {
        let cells = table.rows.iter().flatten();
        self.units.unit_of(cells.filter_map(|cell| match cell {
            Cell::Weighed(wet) => Some(Milligrams::new(*wet).mass()),
            Cell::Mass(mass) => Some(*mass),
            _ => None,
        }))
    }

    /// A cell as words, a mass in this unit.
    pub fn cell(self, cell: &Cell, unit: MassUnit) -> String {
        match cell {
            Cell::None | Cell::ForFiles(_) => String::new(),
            Cell::Text(text) | Cell::Code(text) => text.clone(),
            Cell::KnownFrom(key) => known_from(key),
            Cell::Weighed(wet) => unit.shown(Milligrams::new(*wet).mass()),
            Cell::Mass(mass) => unit.shown(*mass),
            Cell::Count(count) => count.to_string(),
            Cell::Part(part) | Cell::Moisture(part) => percent(*part),
            Cell::HalfWidth(half) => format!("± {:.1}", half * 100.0),
            Cell::Days(days) => format!("{} days", trimmed(*days, 1)),
            Cell::Minutes(minutes) => times::minutes(*minutes),
            Cell::Money(money) => format!("{money:.2}"),
            Cell::At(at) => times::moment(*at, self.now, self.zone),
            Cell::Day(day) => times::date(*day, self.zone.date(self.now)),
            Cell::Temperature(temperature) => self.units.temperature(*temperature),
        }
    }
}

impl Cell {
    /// Whether it says nothing: not known, or nothing weighed.
    pub fn is_empty(&self) -> bool {
        match self {
            Self::None | Self::ForFiles(_) | Self::Weighed(0) | Self::Count(0) => true,
            Self::Text(text) | Self::Code(text) => text.is_empty(),
            Self::Mass(mass) => *mass == Mass::default(),
            _ => false,
        }
    }

    /// Whether it is set flush right.
    pub const fn is_number(&self) -> bool {
        !matches!(
            self,
            Self::None
                | Self::Text(_)
                | Self::Code(_)
                | Self::KnownFrom(_)
                | Self::At(_)
                | Self::Day(_)
        )
    }

    /// Whether it is a code.
    pub const fn is_code(&self) -> bool {
        matches!(self, Self::Code(_))
    }

    /// As JSON: in the unit that its column's name ends with.
    pub fn json(&self, zone: &Zone) -> Value {
        let rounded = |value: f64| json!((value * 1e6).round() / 1e6);
        match self {
            Self::None => Value::Null,
            Self::Text(text) | Self::Code(text) => json!(text),
            Self::KnownFrom(key) => json!(key),
            Self::Weighed(wet) | Self::ForFiles(wet) => json!(Milligrams::new(*wet).grams()),
            Self::Mass(mass) => rounded(mass::grams(*mass)),
            Self::Count(count) => json!(count),
            Self::Part(part) | Self::Moisture(part) => rounded(*part),
            Self::HalfWidth(half) => rounded(half * 100.0),
            Self::Days(days) => rounded(*days),
            Self::Minutes(minutes) => json!(minutes),
            Self::Money(money) => json!((money * 100.0).round() / 100.0),
            Self::At(at) => json!(zone.rfc3339(*at)),
            Self::Day(day) => json!(day.to_string()),
            Self::Temperature(temperature) => json!(temperature.degrees_celsius()),
        }
    }
}

impl Table {
    /// Whether it has more rows than stand with their question.
    pub const fn is_long(&self) -> bool {
        self.rows.len() > SHOWN
    }

    /// The columns in which any row says something, and the first.
    pub fn used_columns(&self) -> Vec<usize> {
        (0..self.columns.len())
            .filter(|column| *column == 0 || self.rows.iter().any(|row| !row[*column].is_empty()))
            .collect()
    }
}

/// The unit that the name of a column ends with.
pub fn unit(key: &str) -> Option<&'static str> {
    const UNITS: [(&str, &str); 7] = [
        ("_g", "g"),
        ("_days", "days"),
        ("_minutes", "min"),
        ("_points", "points"),
        ("_c", "°C"),
        ("_share", "%"),
        ("_wet_basis", "%"),
    ];
    UNITS
        .iter()
        .find(|(end, _)| key.ends_with(end))
        .map(|(_, unit)| *unit)
}
