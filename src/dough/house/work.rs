//! How a house works with grain: what a plan may ask of it, and what that costs.

use super::Setting;
use crate::heat::thawing;
use crate::quantity::bounds::Bounds;
use crate::quantity::fraction::Percent;
use crate::quantity::text::one_of;
use crate::quantity::{Length, Milligrams, Problem, Temperature, decimal, duration};
use chrono::{Duration, NaiveDate, NaiveTime, Weekday};

/// How long frozen grain thaws in the fridge before it is needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Thaw {
    /// As the house found.
    Takes(Duration),
    /// As a layer this thick does, where nothing else is known of a lot.
    Thick(Length),
}

/// Thin, as in bags laid flat: the depth that grain in measured air is taken to have as well. Our choice.
const USUAL_THICKNESS_UM: i64 = 20_000;

impl Default for Thaw {
    fn default() -> Self {
        Self::Thick(Length::from_micrometres(USUAL_THICKNESS_UM))
    }
}

impl Thaw {
    /// The same for grain that lies this thick, where somebody stated it.
    #[must_use]
    pub fn of(self, stated: Option<Length>) -> Self {
        match (self, stated) {
            (Self::Thick(_), Some(stated)) => Self::Thick(stated),
            _ => self,
        }
    }

    /// Refuses a time in which no grain thaws in a fridge.
    pub(super) fn refuse_too_short(self, value: &str) -> Result<(), Problem> {
        match self {
            Self::Takes(time) if time < SHORTEST_THAW => Err(Problem::new(format!(
                "thaw is `{value}`: allowed is {}h to {}h, since no grain thaws sooner in a fridge",
                SHORTEST_THAW.num_hours(),
                THAW.high
            ))),
            Self::Takes(_) | Self::Thick(_) => Ok(()),
        }
    }

    /// How long that is.
    pub fn lead(self) -> Duration {
        match self {
            Self::Takes(time) => time,
            Self::Thick(thick) => thawing::lead(thick),
        }
    }
}

/// How a house works with grain.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Until when in the evening somebody works.
    pub evening: NaiveTime,
    /// Days of the week on which nobody does.
    pub free_weekdays: Vec<Weekday>,
    /// Further dates on which nobody does.
    pub free_dates: Vec<NaiveDate>,
    /// Smallest step of the scale.
    pub step: Milligrams,
    /// The least wet grain worth weighing out.
    pub portion: Milligrams,
    /// How long frozen grain thaws in the fridge.
    pub thaw: Thaw,
    /// Whether there is a freezer to freeze in.
    pub has_freezer: bool,
    /// Water that the dryer takes out in a day; nothing where there is no dryer.
    pub dryer_water: Option<Milligrams>,
    /// How long grain lies in the dryer.
    pub drying: Duration,
    /// How warm the dryer is.
    pub dryer_at: Temperature,
    /// Moisture to which grain is dried, wet basis.
    pub dried_moisture: f64,
    /// Money for a kilogram of wet grain frozen.
    pub freezing_per_kg: f64,
    /// Money for a kilogram of water dried out.
    pub drying_per_kg: f64,
    /// What a kilogram of dry grain is worth, where somebody said so.
    pub worth_per_kg: Option<f64>,
    /// How much of preserved grain that no bake takes counts as spoiled.
    pub unused_counts: f64,
    /// The chance with which a bake may turn out below its minimum, where there is grain for less.
    pub risk: f64,
    /// Even doughs come before grain saved.
    pub even_first: bool,
}

impl Default for Work {
    /// A home with a fridge, a freezer and a kitchen scale: our choice. Freezing is a tub and a label, drying is
    /// hours of an oven; 60 °C as Santos et al. 2003 dried spent grain.
    fn default() -> Self {
        Self {
            evening: NaiveTime::from_hms_opt(21, 0, 0).unwrap_or_default(),
            free_weekdays: Vec::new(),
            free_dates: Vec::new(),
            step: Milligrams::new(1_000),
            portion: Milligrams::new(50_000),
            thaw: Thaw::default(),
            has_freezer: true,
            dryer_water: None,
            drying: Duration::hours(3),
            dryer_at: Temperature::celsius(60),
            dried_moisture: 0.08,
            freezing_per_kg: 0.05,
            drying_per_kg: 0.30,
            worth_per_kg: None,
            unused_counts: 0.5,
            risk: 0.1,
            even_first: false,
        }
    }
}

const SCALE: Bounds = closed("step of the scale", "g", 0.1, 1000.0);
const PORTION: Bounds = closed("least grain worth weighing", "g", 0.0, 10_000.0);
/// Freezers thaw grain in a fridge within a day or two; the longest lead is our choice.
const THAW: Bounds = closed("lead time of thawing", "h", 0.0, 96.0);
const DRYER: Bounds = closed("water dried out in a day", "kg", 0.0, 10_000.0);
/// A time is no shorter when it is set: grain half a centimetre thick takes longer by `docs/models/thawing.md`, in moving
/// air too. Judgement. Older books may hold less, and stay readable.
const SHORTEST_THAW: Duration = Duration::hours(1);
/// Below warm is no dryer, above it is a roasting oven: our choice.
const DRYING_TEMP: Bounds = closed("temperature of the dryer", "°C", 30.0, 150.0);
/// Below the thinnest is no block, above the thickest none thaws within a week: our choice.
const THICKNESS: Bounds = closed("thickness of frozen grain", "cm", 0.5, 15.0);
/// Up to the highest moisture that keeps on a shelf by any of the rules: our choice.
const DRIED_TO: Bounds = closed("moisture of dried grain", "%", 1.0, 14.0);
const MONEY: Bounds = closed("cost or worth of a kilogram", "", 0.0, 10_000.0);
const UNUSED: Bounds = closed("share that counts as spoiled", "%", 0.0, 100.0);

/// At half, plans are made with the likeliest moisture alone.
const RISK: Bounds = closed("chance of a bake below its minimum", "%", 1.0, 50.0);

const fn yes_or_no(value: bool) -> &'static str {
    if value { "yes" } else { "no" }
}

const fn closed(what: &'static str, unit: &'static str, low: f64, high: f64) -> Bounds {
    Bounds {
        what,
        unit,
        low,
        high,
        open: false,
    }
}

/// `2cm`, or `12h` and `1d`. An `m` alone is minutes, as in every time.
fn thaw(value: &str) -> Result<Thaw, Problem> {
    match (duration::parse(value), value.parse::<Length>()) {
        (Ok(lead), _) => {
            THAW.check(lead.num_minutes() as f64 / 60.0)?;
            Ok(Thaw::Takes(lead))
        }
        (Err(_), Ok(thick)) => {
            THICKNESS.check(thick.centimetres())?;
            Ok(Thaw::Thick(thick))
        }
        (Err(_), Err(_)) => Err(Problem::new(format!(
            "thaw is `{value}`: allowed are a thickness and a time"
        ))),
    }
}

impl Work {
    /// Takes in what was told; settings that are about something else are not its matter.
    pub(super) fn tell(&mut self, setting: Setting, value: &str) -> Result<(), Problem> {
        let is_none = value.eq_ignore_ascii_case("none");
        match setting {
            Setting::Evening => {
                self.evening = NaiveTime::parse_from_str(value, "%H:%M").map_err(|_| {
                    Problem::new(format!("evening is `{value}`: allowed is a clock time"))
                })?;
            }
            Setting::DaysOff => {
                (self.free_weekdays, self.free_dates) = days_off(value)?;
            }
            Setting::Scale => self.step = grams(value, &SCALE)?,
            Setting::Portion => self.portion = grams(value, &PORTION)?,
            Setting::Thaw => {
                self.thaw = thaw(value)?;
            }
            Setting::Freezer if is_none => self.has_freezer = false,
            Setting::Freezer if value.eq_ignore_ascii_case("yes") => self.has_freezer = true,
            Setting::Freezer => {
                return Err(Problem::new(format!(
                    "freezer is `{value}`: allowed are yes and none"
                )));
            }
            Setting::Dryer if is_none => self.dryer_water = None,
            Setting::Dryer => {
                let water: Milligrams = value.parse()?;
                DRYER.check(water.grams() / 1e3)?;
                self.dryer_water = Some(water);
            }
            Setting::DryingTime => self.drying = duration::parse(value)?,
            Setting::DryingTemp => {
                let warm: Temperature = value.parse()?;
                DRYING_TEMP.check(warm.degrees_celsius())?;
                self.dryer_at = warm;
            }
            Setting::DriedTo => {
                self.dried_moisture = value.parse::<Percent>()?.within(&DRIED_TO)?;
            }
            Setting::FreezingCost => self.freezing_per_kg = money(value)?,
            Setting::DryingCost => self.drying_per_kg = money(value)?,
            Setting::GrainWorth if is_none => self.worth_per_kg = None,
            Setting::GrainWorth => self.worth_per_kg = Some(money(value)?),
            Setting::Unused => self.unused_counts = value.parse::<Percent>()?.within(&UNUSED)?,
            Setting::Risk => self.risk = value.parse::<Percent>()?.within(&RISK)?,
            Setting::EvenFirst => {
                self.even_first = one_of(value, "even-first", &[true, false], yes_or_no)?;
            }
            Setting::Night
            | Setting::Altitude
            | Setting::Tap
            | Setting::Room
            | Setting::FlourPrice
            | Setting::Thirst => {}
        }
        Ok(())
    }

    /// Whether nobody works on that day.
    pub fn is_free(&self, date: NaiveDate) -> bool {
        use chrono::Datelike;
        self.free_weekdays.contains(&date.weekday()) || self.free_dates.contains(&date)
    }
}

fn grams(value: &str, bounds: &Bounds) -> Result<Milligrams, Problem> {
    let mass: Milligrams = value.parse()?;
    bounds.check(mass.grams())?;
    Ok(mass)
}

/// A plain number: the book does not ask which money it is.
pub(super) fn money(value: &str) -> Result<f64, Problem> {
    let (number, unit) = decimal::split_number(value, "amount of money", "0.30")?;
    if !unit.is_empty() {
        return Err(Problem::new(format!(
            "amount of money `{value}` has a unit: the book takes plain numbers, all in the same money"
        )));
    }
    MONEY.check(number.to_f64())
}

fn days_off(value: &str) -> Result<(Vec<Weekday>, Vec<NaiveDate>), Problem> {
    let (mut weekdays, mut dates) = (Vec::new(), Vec::new());
    if value.eq_ignore_ascii_case("none") {
        return Ok((weekdays, dates));
    }
    for word in value.split([' ', ',']).filter(|word| !word.is_empty()) {
        if let Ok(date) = NaiveDate::parse_from_str(word, "%Y-%m-%d") {
            dates.push(date);
        } else if let Ok(weekday) = word.parse::<Weekday>() {
            if !weekdays.contains(&weekday) {
                weekdays.push(weekday);
            }
        } else {
            return Err(Problem::new(format!(
                "`{word}` is neither a day of the week nor a date"
            )));
        }
    }
    if weekdays.len() == 7 {
        return Err(Problem::new(
            "every day of the week is off: nobody would ever freeze or thaw anything",
        ));
    }
    Ok((weekdays, dates))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(setting: Setting, value: &str) -> Work {
        let mut work = Work::default();
        work.tell(setting, value).unwrap();
        work
    }

    #[test]
    fn days_off_are_weekdays_and_dates() {
        let work = told(Setting::DaysOff, "Sun, 2026-12-25");
        let date = |text: &str| text.parse::<NaiveDate>().unwrap();
        assert!(work.is_free(date("2026-11-29")));
        assert!(work.is_free(date("2026-12-25")));
        assert!(!work.is_free(date("2026-11-28")));
    }

    #[test]
    fn none_takes_a_dryer_and_a_worth_back() {
        let mut work = told(Setting::Dryer, "3kg");
        assert_eq!(work.dryer_water, Some(Milligrams::new(3_000_000)));
        work.tell(Setting::Dryer, "none").unwrap();
        work.tell(Setting::GrainWorth, "1.2").unwrap();
        assert_eq!((work.dryer_water, work.worth_per_kg), (None, Some(1.2)));
    }
}
