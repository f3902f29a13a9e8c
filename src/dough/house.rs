//! What a book is told of the house it is for: its night, its altitude, its tap, its room, and what a plan
//! has to know of its work.
//!
//! Each is optional and only fills in what would be asked for otherwise; none bears on how long grain keeps.

use super::doneness::ALTITUDE;
use super::temperature::check;
use crate::quantity::bounds::Bounds;
use crate::quantity::text::one_of;
use crate::quantity::{Milligrams, Problem, Temperature, decimal, duration};
use chrono::{Duration, NaiveTime, Weekday};
use std::str::FromStr;

/// What a setting is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Setting {
    /// Hours in which hands-on work is pointed out.
    Night,
    /// Height above the sea, on which the boiling point hangs.
    Altitude,
    /// Water from the tap.
    Tap,
    /// The room in which dough is made.
    Room,
    /// Water that the dryer takes out in a day.
    Dryer,
    /// The smallest amount of wet grain worth weighing out.
    Portion,
    /// How long before mixing frozen grain goes into the fridge.
    Thaw,
    /// Weekdays on which nobody freezes, dries or thaws.
    DaysOff,
    /// What freezing costs.
    FreezingCost,
    /// What drying costs.
    DryingCost,
    /// What dry grain is worth.
    GrainWorth,
}

impl Setting {
    /// Every setting.
    pub const ALL: [Self; 11] = [
        Self::Night,
        Self::Altitude,
        Self::Tap,
        Self::Room,
        Self::Dryer,
        Self::Portion,
        Self::Thaw,
        Self::DaysOff,
        Self::FreezingCost,
        Self::DryingCost,
        Self::GrainWorth,
    ];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Night => "night",
            Self::Altitude => "altitude",
            Self::Tap => "tap",
            Self::Room => "room",
            Self::Dryer => "dryer",
            Self::Portion => "portion",
            Self::Thaw => "thaw",
            Self::DaysOff => "days-off",
            Self::FreezingCost => "freezing-cost",
            Self::DryingCost => "drying-cost",
            Self::GrainWorth => "grain-worth",
        }
    }

    /// What it is for.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Night => "hours in which work with your hands is pointed out on sheets",
            Self::Altitude => {
                "height above the sea, where bread gets no hotter inside than water boils"
            }
            Self::Tap => "water from the tap, for the water temperature on sheets",
            Self::Room => "the room, for the water temperature on sheets",
            Self::Dryer => "water that the dryer takes out in a day, for plans",
            Self::Portion => "the least wet grain of one lot that a plan has weighed out",
            Self::Thaw => "how long before mixing a plan has grain out of the freezer",
            Self::DaysOff => "weekdays on which a plan has nothing frozen, dried or thawed",
            Self::FreezingCost => "for a kilogram of wet grain, in plans",
            Self::DryingCost => "for a kilogram of water dried out, in plans",
            Self::GrainWorth => "of a kilogram of dry grain, for what a plan says is spoiled",
        }
    }

    /// How to write it.
    pub const fn example(self) -> &'static str {
        match self {
            Self::Night => "22:00-05:00, or none",
            Self::Altitude => "1600m or 5250ft",
            Self::Tap => "12C or 54F",
            Self::Room => "21C or 70F",
            Self::Dryer => "3kg",
            Self::Portion => "50g",
            Self::Thaw => "12h",
            Self::DaysOff => "sun, mon+tue, or none",
            Self::FreezingCost => "0.05/kg",
            Self::DryingCost => "0.30/kg",
            Self::GrainWorth => "2.50/kg",
        }
    }
}

impl FromStr for Setting {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "setting", &Self::ALL, Self::as_str)
    }
}

/// The hours of the night: from, until; they may run over midnight.
pub type Night = (NaiveTime, NaiveTime);

/// What the book was told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct House {
    /// Hours in which hands-on work is pointed out; nothing where work goes on around the clock.
    pub night: Option<Night>,
    /// Metres above the sea.
    pub altitude_metres: Option<f64>,
    /// Water from the tap.
    pub tap: Option<Temperature>,
    /// The room.
    pub room: Option<Temperature>,
    /// What a plan has to know.
    pub work: WorkOfTheHouse,
}

/// What a plan has to know of the work of the house.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorkOfTheHouse {
    /// Water that the dryer takes out in a day; nothing where there is none.
    pub dryer_water: Option<Milligrams>,
    /// The smallest amount of wet grain worth weighing out.
    pub portion: Milligrams,
    /// How long before mixing frozen grain goes into the fridge.
    pub thaw: Duration,
    /// Monday to Sunday: whether nobody freezes, dries or thaws.
    pub days_off: [bool; 7],
    /// Freezing a kilogram of wet grain.
    pub freezing_per_kg: f64,
    /// Drying out a kilogram of water.
    pub drying_per_kg: f64,
    /// Worth of a kilogram of dry grain.
    pub dry_grain_per_kg: Option<f64>,
}

impl Default for WorkOfTheHouse {
    /// Our choice: no dryer, portions from 50 g, thawing overnight, work every day; freezing is a tub and a
    /// label, drying is hours of an oven.
    fn default() -> Self {
        Self {
            dryer_water: None,
            portion: Milligrams::new(50_000),
            thaw: Duration::hours(12),
            days_off: [false; 7],
            freezing_per_kg: 0.05,
            drying_per_kg: 0.30,
            dry_grain_per_kg: None,
        }
    }
}

impl Default for House {
    /// A book that was told nothing: nights from 22:00 to 05:00, our choice.
    fn default() -> Self {
        let hour = |hour| NaiveTime::from_hms_opt(hour, 0, 0).unwrap_or_default();
        Self {
            night: Some((hour(22), hour(5))),
            altitude_metres: None,
            tap: None,
            room: None,
            work: WorkOfTheHouse::default(),
        }
    }
}

impl House {
    /// With one more thing told. What is told later counts before what was told earlier.
    pub fn told(mut self, setting: Setting, value: &str) -> Result<Self, Problem> {
        let value = decimal::trim(value);
        let hinted =
            |problem: Problem| problem.hint(format!("write it like {}", setting.example()));
        match setting {
            Setting::Night if value.eq_ignore_ascii_case("none") => self.night = None,
            Setting::Night => self.night = Some(night(value).map_err(hinted)?),
            Setting::Altitude => self.altitude_metres = Some(metres(value).map_err(hinted)?),
            Setting::Tap => self.tap = Some(within(&check::TAP, value).map_err(hinted)?),
            Setting::Room => self.room = Some(within(&check::ROOM, value).map_err(hinted)?),
            Setting::Dryer if value.eq_ignore_ascii_case("none") => self.work.dryer_water = None,
            Setting::Dryer => self.work.dryer_water = Some(value.parse().map_err(hinted)?),
            Setting::Portion => self.work.portion = value.parse().map_err(hinted)?,
            Setting::Thaw => self.work.thaw = duration::parse(value).map_err(hinted)?,
            Setting::DaysOff => self.work.days_off = days_off(value).map_err(hinted)?,
            Setting::FreezingCost => self.work.freezing_per_kg = per_kg(value).map_err(hinted)?,
            Setting::DryingCost => self.work.drying_per_kg = per_kg(value).map_err(hinted)?,
            Setting::GrainWorth => {
                self.work.dry_grain_per_kg = Some(per_kg(value).map_err(hinted)?);
            }
        }
        Ok(self)
    }
}

/// A temperature that the heat balance takes.
fn within(bounds: &Bounds, value: &str) -> Result<Temperature, Problem> {
    let temperature: Temperature = value.parse()?;
    bounds.check(temperature.degrees_celsius())?;
    Ok(temperature)
}

fn night(value: &str) -> Result<Night, Problem> {
    let refuse = || Problem::new(format!("night is `{value}`: allowed are two clock times"));
    let (from, until) = value.split_once('-').ok_or_else(refuse)?;
    let time =
        |text: &str| NaiveTime::parse_from_str(decimal::trim(text), "%H:%M").map_err(|_| refuse());
    let (from, until) = (time(from)?, time(until)?);
    if from == until {
        return Err(Problem::new(format!(
            "night is `{value}`: it ends when it begins"
        )));
    }
    Ok((from, until))
}

/// Weekdays joined with +, or none.
fn days_off(value: &str) -> Result<[bool; 7], Problem> {
    let mut off = [false; 7];
    if value.eq_ignore_ascii_case("none") {
        return Ok(off);
    }
    for word in value.split('+') {
        let day: Weekday = decimal::trim(word).parse().map_err(|_| {
            Problem::new(format!(
                "days-off has `{}`, which is no weekday",
                decimal::trim(word)
            ))
        })?;
        off[day.num_days_from_monday() as usize] = true;
    }
    if off == [true; 7] {
        return Err(Problem::new(
            "days-off leaves no day on which somebody works",
        ));
    }
    Ok(off)
}

/// Most that a kilogram may cost or be worth, in any money: our choice, to catch a slip of the pen.
const DEAREST: f64 = 1e6;

/// Money for a kilogram, such as `0.05/kg`.
fn per_kg(value: &str) -> Result<f64, Problem> {
    let (number, unit) = decimal::split_number(value, "money", "0.05/kg")?;
    let money = number.to_f64();
    if decimal::trim(unit) != "/kg" {
        return Err(Problem::new(format!(
            "money `{value}` does not say for what: it ends in /kg"
        )));
    }
    if !(0.0..=DEAREST).contains(&money) {
        return Err(Problem::new(format!(
            "money `{value}` is not from 0 to {DEAREST:.0} for a kilogram"
        )));
    }
    Ok(money)
}

/// One international foot in metres, exactly (International yard and pound agreement, 1959).
pub const METRES_PER_FOOT: f64 = 0.3048;

fn metres(value: &str) -> Result<f64, Problem> {
    let (number, unit) = decimal::split_number(value, "altitude", "1600m")?;
    let metres = match unit {
        "m" => number.to_f64(),
        "ft" => number.to_f64() * METRES_PER_FOOT,
        _ => {
            return Err(Problem::new(format!(
                "altitude `{value}` has no unit that is known: allowed are m and ft"
            )));
        }
    };
    ALTITUDE.check(metres)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(setting: Setting, value: &str) -> Result<House, Problem> {
        House::default().told(setting, value)
    }

    #[test]
    fn every_example_is_taken() {
        for setting in Setting::ALL {
            for example in setting
                .example()
                .split([','])
                .flat_map(|one| one.split(" or "))
            {
                let example = example.trim();
                if !example.is_empty() {
                    assert!(told(setting, example).is_ok(), "{example}");
                }
            }
            assert_eq!(setting.as_str().parse(), Ok(setting));
        }
    }

    #[test]
    fn feet_are_metres() {
        let house = told(Setting::Altitude, "5000ft").unwrap();
        assert_eq!(house.altitude_metres, Some(1524.0));
    }

    #[test]
    fn what_makes_no_sense_is_refused() {
        for (setting, value) in [
            (Setting::Night, "22:00"),
            (Setting::Night, "22-05"),
            (Setting::Night, "05:00-05:00"),
            (Setting::Altitude, "1600"),
            (Setting::Altitude, "9000m"),
            (Setting::Tap, "12"),
            (Setting::Tap, "95C"),
            (Setting::Room, "warm"),
            (Setting::Dryer, "3"),
            (Setting::Portion, "0g"),
            (Setting::Thaw, "12"),
            (Setting::DaysOff, "someday"),
            (Setting::DaysOff, "mon+tue+wed+thu+fri+sat+sun"),
            (Setting::FreezingCost, "0.05"),
            (Setting::GrainWorth, "-1/kg"),
        ] {
            assert!(told(setting, value).is_err(), "{value}");
        }
    }
}
