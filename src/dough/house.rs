//! What a book is told of the house it is for: its night, its altitude, its tap, its room, and how it works.
//!
//! Each is optional and only fills in what would be asked for otherwise; none bears on how long grain keeps.

mod work;

use super::doneness::ALTITUDE;
use super::temperature::check;
use crate::quantity::bounds::Bounds;
use crate::quantity::text::one_of;
use crate::quantity::{Problem, Temperature, decimal};
use chrono::NaiveTime;
use std::str::FromStr;

pub use work::{Thaw, Work};

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
    /// Until when in the evening somebody works with grain.
    Evening,
    /// Days on which nobody does.
    DaysOff,
    /// Smallest step of the scale that weighs grain.
    Scale,
    /// The least wet grain worth weighing out.
    Portion,
    /// How long frozen grain thaws in the fridge, or how thick it is frozen.
    Thaw,
    /// Whether there is a freezer to freeze in.
    Freezer,
    /// Water that the dryer takes out in a day.
    Dryer,
    /// How long grain lies in the dryer.
    DryingTime,
    /// How warm the dryer is.
    DryingTemp,
    /// Moisture to which grain is dried.
    DriedTo,
    /// What freezing costs.
    FreezingCost,
    /// What drying costs.
    DryingCost,
    /// What dry grain is worth.
    GrainWorth,
    /// How much of preserved grain that no bake takes counts as spoiled.
    Unused,
    /// The chance with which a bake may turn out below its minimum, where there is grain for less.
    Risk,
    /// Whether even doughs come before grain saved.
    EvenFirst,
    /// What flour costs.
    FlourPrice,
    /// Whether doughs narrow the published thirst of grain.
    Thirst,
}

impl Setting {
    /// Every setting.
    pub const ALL: [Self; 22] = [
        Self::Night,
        Self::Altitude,
        Self::Tap,
        Self::Room,
        Self::Evening,
        Self::DaysOff,
        Self::Scale,
        Self::Portion,
        Self::Thaw,
        Self::Freezer,
        Self::Dryer,
        Self::DryingTime,
        Self::DryingTemp,
        Self::DriedTo,
        Self::FreezingCost,
        Self::DryingCost,
        Self::GrainWorth,
        Self::Unused,
        Self::Risk,
        Self::EvenFirst,
        Self::FlourPrice,
        Self::Thirst,
    ];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Night => "night",
            Self::Altitude => "altitude",
            Self::Tap => "tap",
            Self::Room => "room",
            Self::Evening => "evening",
            Self::DaysOff => "days-off",
            Self::Scale => "scale",
            Self::Portion => "portion",
            Self::Thaw => "thaw",
            Self::Freezer => "freezer",
            Self::Dryer => "dryer",
            Self::DryingTime => "drying-time",
            Self::DryingTemp => "drying-temp",
            Self::DriedTo => "dried-to",
            Self::FreezingCost => "freezing-cost",
            Self::DryingCost => "drying-cost",
            Self::GrainWorth => "grain-worth",
            Self::Unused => "unused",
            Self::Risk => "risk",
            Self::EvenFirst => "even-first",
            Self::FlourPrice => "flour-price",
            Self::Thirst => "thirst",
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
            Self::Evening => "by when a day's work with grain is done, for plans",
            Self::DaysOff => "days on which nobody freezes, dries or thaws",
            Self::Scale => {
                "smallest step of the kitchen scale: plans, sheets and batches give whole steps; light ingredients, and a stage that holds them, to a tenth of a gram where the scale is coarser"
            }
            Self::Portion => "least wet grain worth weighing out of a lot for a bake",
            Self::Thaw => {
                "how thick grain is frozen, or how long it thaws in your fridge before it is needed"
            }
            Self::Freezer => "whether there is a freezer; how much it takes is said of its place",
            Self::Dryer => "water that the dryer takes out of grain in a day",
            Self::DryingTime => "how long grain lies warm in the dryer",
            Self::DryingTemp => "how warm the dryer is",
            Self::DriedTo => "moisture to which grain is dried",
            Self::FreezingCost => "what freezing a kilogram of wet grain costs, in your money",
            Self::DryingCost => "what drying out a kilogram of water costs, in your money",
            Self::GrainWorth => "what a kilogram of dry grain is worth, in your money",
            Self::Unused => {
                "how much of grain that is frozen or dried for no bake yet counts as spoiled, for fetch and bake advise"
            }
            Self::Risk => {
                "chance with which a bake may fall below its minimum: plans keep to it where there is grain"
            }
            Self::EvenFirst => "whether plans put even doughs before saving grain",
            Self::FlourPrice => "what a kilogram of flour costs, in your money, for reports",
            Self::Thirst => {
                "whether recorded water of your bakes narrows the published thirst of grain"
            }
        }
    }

    /// How to write it.
    pub const fn example(self) -> &'static str {
        match self {
            Self::Night => "22:00-05:00, or none",
            Self::Altitude => "1600m or 5250ft",
            Self::Tap => "12C or 54F",
            Self::Room => "21C or 70F",
            Self::Evening => "21:00",
            Self::DaysOff => "sun, or sun 2026-12-25, or none",
            Self::Scale => "1g or 5g",
            Self::Portion => "50g or 2oz",
            Self::Thaw => "2cm, 12h or 1d",
            Self::Freezer => "yes, or none",
            Self::Dryer => "3kg, or none",
            Self::DryingTime => "3h",
            Self::DryingTemp => "60C or 140F",
            Self::DriedTo => "8%",
            Self::FreezingCost => "0.05",
            Self::DryingCost => "0.30",
            Self::GrainWorth => "1.20, or none",
            Self::Unused => "50%",
            Self::Risk => "10%",
            Self::EvenFirst => "yes, or no",
            Self::FlourPrice => "1.10, or none",
            Self::Thirst => "learned, or published",
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
#[derive(Debug, Clone, PartialEq)]
pub struct House {
    /// Hours in which hands-on work is pointed out; nothing where work goes on around the clock.
    pub night: Option<Night>,
    /// Metres above the sea.
    pub altitude_metres: Option<f64>,
    /// Water from the tap.
    pub tap: Option<Temperature>,
    /// The room.
    pub room: Option<Temperature>,
    /// Money for a kilogram of flour.
    pub flour_price: Option<f64>,
    /// Whether doughs narrow the published thirst of grain.
    pub thirst_is_learned: bool,
    /// How it works with grain.
    pub work: Work,
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
            flour_price: None,
            thirst_is_learned: true,
            work: Work::default(),
        }
    }
}

impl House {
    /// With one more thing set now. It is held to what books were not always held to, too.
    pub fn set(self, setting: Setting, value: &str) -> Result<Self, Problem> {
        let house = self.with_setting(setting, value)?;
        if setting == Setting::Thaw {
            house
                .work
                .thaw
                .refuse_too_short(decimal::trim(value))
                .map_err(|problem| problem.hint(format!("write it like {}", setting.example())))?;
        }
        Ok(house)
    }

    /// With one more setting, as a book may hold it. A later one counts before an earlier one.
    pub fn with_setting(mut self, setting: Setting, value: &str) -> Result<Self, Problem> {
        let value = decimal::trim(value);
        let hinted =
            |problem: Problem| problem.hint(format!("write it like {}", setting.example()));
        match setting {
            Setting::Night if value.eq_ignore_ascii_case("none") => self.night = None,
            Setting::Night => self.night = Some(night(value).map_err(hinted)?),
            Setting::Altitude => self.altitude_metres = Some(metres(value).map_err(hinted)?),
            Setting::Tap => self.tap = Some(within(&check::TAP, value).map_err(hinted)?),
            Setting::Room => self.room = Some(within(&check::ROOM, value).map_err(hinted)?),
            Setting::FlourPrice if value.eq_ignore_ascii_case("none") => self.flour_price = None,
            Setting::FlourPrice => {
                self.flour_price = Some(work::money(value).map_err(hinted)?);
            }
            Setting::Thirst => {
                self.thirst_is_learned =
                    one_of(value, "thirst", &[true, false], thirst_word).map_err(hinted)?;
            }
            _ => self.work.tell(setting, value).map_err(hinted)?,
        }
        Ok(self)
    }
}

/// The word for whether doughs narrow the published thirst.
pub const fn thirst_word(is_learned: bool) -> &'static str {
    if is_learned { "learned" } else { "published" }
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
        House::default().with_setting(setting, value)
    }

    #[test]
    fn every_example_is_taken() {
        for setting in Setting::ALL {
            for example in setting.example().replace("or ", ",").split(',') {
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
            (Setting::Evening, "9"),
            (Setting::DaysOff, "someday"),
            (Setting::DaysOff, "mon tue wed thu fri sat sun"),
            (Setting::Scale, "0.05g"),
            (Setting::Scale, "2kg"),
            (Setting::Portion, "50"),
            (Setting::Thaw, "12"),
            (Setting::Thaw, "9d"),
            (Setting::Thaw, "10min"),
            (Setting::Freezer, "big"),
            (Setting::Dryer, "3"),
            (Setting::DryingTemp, "600C"),
            (Setting::DriedTo, "30%"),
            (Setting::FreezingCost, "-1"),
            (Setting::DryingCost, "0.3 EUR"),
            (Setting::Unused, "120%"),
            (Setting::Risk, "60%"),
            (Setting::EvenFirst, "maybe"),
            (Setting::FlourPrice, "1,10 a kg"),
            (Setting::Thirst, "none"),
        ] {
            assert!(House::default().set(setting, value).is_err(), "{value}");
        }
    }

    /// A book that took it before is read still.
    #[test]
    fn a_short_thaw_that_a_book_holds_stays_readable() {
        assert!(told(Setting::Thaw, "10min").is_ok());
        assert!(House::default().set(Setting::Thaw, "1h").is_ok());
    }
}
