//! The answer to `readings --summary`: what the air of a place was, and what it did to the lots in it.

use super::Caution;
use crate::grain::LotCode;
use crate::keeping::air::loggers::{self, FileReading};
use crate::keeping::air::watch::{AirLimit, Excursion, Watch, watch};
use crate::keeping::{Assessment, History, Layer, PlaceKind, Probe, RuleSet, Verdict, assess_all};
use crate::ledger::{LeftOut, PlaceRecord, Stay, StayedLot, Way};
use crate::quantity::{Instant, Length, Temperature, Zone};
use chrono::Duration;

/// What the air of a place was during a time.
#[derive(Debug, Clone)]
pub struct AirAnswer {
    /// The place.
    pub place: PlaceRecord,
    /// The time that was asked for.
    pub asked: (Option<Instant>, Option<Instant>),
    /// When it was asked.
    pub as_of: Instant,
    /// Readings in time order, a few from before and after the time among them.
    pub readings: Vec<(Instant, Temperature)>,
    /// What the files say together: the warmest that any of them says at each moment.
    pub counts: Vec<(Instant, Temperature)>,
    /// Warm rows of files that were left out in that time.
    pub left_out: Vec<LeftOut>,
    /// What they come to; nothing where there is no reading in that time.
    pub watch: Option<Watch>,
    /// What they make of a layer of grain, where the logger measures air.
    pub grain: Option<GrainInAir>,
    /// Times at which the limit was not kept.
    pub excursions: Vec<(Excursion, Vec<Touched>)>,
    /// Times between readings too far apart.
    pub gaps: Vec<((Instant, Instant), Vec<Touched>)>,
    /// Lots that were in the place, and when.
    pub stays: Vec<(LotCode, Vec<Stay>)>,
}

/// How warm a layer of grain was in that air, on the cautious side.
#[derive(Debug, Clone)]
pub struct GrainInAir {
    /// The layer.
    pub layer: Layer,
    /// Its warmest point at each reading.
    pub curve: Vec<(Instant, Temperature)>,
    /// The highest of it in the time that was asked for.
    pub highest: Temperature,
    /// How long it was above the cold limit, between readings close enough together; nothing where a reading was above it
    /// and no other is near enough to tell for how long.
    pub warm: Option<Duration>,
}

impl GrainInAir {
    /// From what the book makes of the readings.
    pub fn new(
        layer: Layer,
        curve: Vec<(Instant, Temperature)>,
        watch: &Watch,
        rules: &RuleSet,
    ) -> Option<Self> {
        let inside = |at: Instant| watch.from <= at && at <= watch.to;
        let is_warm = |t: Temperature| !rules.cold.limit.at_or_below(t);
        let highest = curve
            .iter()
            .filter(|(at, _)| inside(*at))
            .map(|(_, t)| *t)
            .reduce(Temperature::warmer)?;
        let counted: Duration = curve
            .windows(2)
            .filter(|two| two[1].0 - two[0].0 <= rules.longest_gap)
            .filter(|two| is_warm(two[0].1.warmer(two[1].1)))
            .map(|two| two[1].0.min(watch.to) - two[0].0.max(watch.from))
            .filter(|lasts| *lasts > Duration::zero())
            .sum();
        Some(Self {
            warm: (!counted.is_zero() || !is_warm(highest)).then_some(counted),
            highest,
            layer,
            curve,
        })
    }
}

/// A lot that was in the place at such a time, as the clock judges it.
#[derive(Debug, Clone)]
pub struct Touched {
    /// The lot.
    pub lot: LotCode,
    /// When nothing was left of it, which is when it is judged; on hand it is judged now.
    pub gone: Option<Instant>,
    /// As it is.
    pub with: Assessment,
    /// Had the place been as stated during that time.
    pub without: Assessment,
    /// Whether its use had ended before that time began.
    pub was_past: bool,
}

impl Touched {
    /// Whether that time changed its verdict or its date.
    pub fn is_changed(&self) -> bool {
        (self.with.verdict, self.with.keep_until) != (self.without.verdict, self.without.keep_until)
    }
}

/// What is to be looked at.
pub struct Looked<'a> {
    /// The rules of the book.
    pub rules: &'a RuleSet,
    /// Its zone.
    pub zone: &'a Zone,
    /// Every lot whose grain was in the place during the time.
    pub lots: Vec<StayedLot>,
}

impl AirAnswer {
    /// An answer about a time, before the lots are looked at.
    pub fn new(
        (place, rows, mut left_out): (PlaceRecord, Vec<FileReading>, Vec<LeftOut>),
        asked: (Option<Instant>, Option<Instant>),
        as_of: Instant,
        rules: &RuleSet,
    ) -> Self {
        let together = loggers::together(&rows, rules.longest_gap);
        let cut = together.cut_at(left_out.iter().map(|rows| rows.at).collect());
        left_out.retain(|rows| {
            let (from, to) = asked;
            from.is_none_or(|from| rows.at >= from) && to.is_none_or(|to| rows.at < to)
        });
        let settings: Vec<(Instant, PlaceKind)> = place
            .settings
            .iter()
            .map(|setting| (setting.from, setting.kind))
            .collect();
        let readings = loggers::listed(&rows);
        let counts = together.readings;
        Self {
            watch: watch((&readings, &cut), &counts, &settings, asked, rules),
            place,
            asked,
            as_of,
            readings,
            counts,
            left_out,
            grain: None,
            excursions: Vec::new(),
            gaps: Vec::new(),
            stays: Vec::new(),
        }
    }

    /// The time in which a lot may have been touched: as long as what was last read may hold.
    pub fn period(&self) -> Option<(Instant, Instant)> {
        let watch = self.watch.as_ref()?;
        Some((watch.from, self.asked.1.unwrap_or(self.as_of)))
    }

    /// Has the clock judge every lot with and without what was measured at each time.
    pub fn look_at(&mut self, looked: &Looked<'_>) {
        let Some(watch) = &self.watch else { return };
        let judged: Vec<Assessment> = looked
            .lots
            .iter()
            .map(|lot| looked.judge(lot, self.as_of, |way| way.history.clone()))
            .collect();
        let touched = |(from, to): (Instant, Instant), kind: PlaceKind| -> Vec<Touched> {
            looked
                .lots
                .iter()
                .zip(&judged)
                .filter(|(lot, _)| lot.ways.iter().any(|way| !shared(way, from, to).is_empty()))
                .map(|(lot, with)| {
                    let was_past = was_past(with, from, kind);
                    Touched {
                        lot: lot.lot.code,
                        gone: lot.gone,
                        without: if was_past {
                            with.clone()
                        } else {
                            looked.judge(lot, self.as_of, |way| without(way, from, to))
                        },
                        with: with.clone(),
                        was_past,
                    }
                })
                .collect()
        };
        self.excursions = watch
            .excursions
            .iter()
            .map(|found| {
                let to = found.to.unwrap_or(Instant::MAX_UTC);
                (*found, touched((found.from, to), found.kind))
            })
            .collect();
        self.gaps = watch
            .gaps
            .iter()
            .map(|(from, to)| {
                let kind = self.place.setting_at(*from).kind;
                ((*from, *to), touched((*from, *to), kind))
            })
            .collect();
        self.stays = looked
            .lots
            .iter()
            .map(|lot| (lot.lot.code, lot.own_stays()))
            .filter(|(_, stays)| !stays.is_empty())
            .collect();
    }

    /// What the place is at the end of the time.
    pub fn kind(&self) -> PlaceKind {
        let at = self.asked.1.unwrap_or(self.as_of);
        self.place.setting_at(at).kind
    }

    /// What the probe of its logger measures at the end of the time.
    pub fn probe(&self) -> Option<Probe> {
        let at = self.asked.1.unwrap_or(self.as_of);
        self.place.setting_at(at).probe
    }

    /// Of the lots that were there at a time out of limit the one that lies thinnest, where that is thinner than a layer.
    pub fn thinner(&self, than: Layer) -> Option<(LotCode, Length)> {
        self.excursions
            .iter()
            .flat_map(|(_, lots)| lots)
            .filter_map(|lot| Some((lot.lot, lot.with.layer?.depth)))
            .filter(|(_, depth)| depth.metres() < than.depth.metres())
            .min_by(|(_, one), (_, other)| one.metres().total_cmp(&other.metres()))
    }

    /// The limit for that kind of place.
    pub fn limit(&self, rules: &RuleSet) -> Option<AirLimit> {
        rules.air_limit(self.kind())
    }

    /// The last reading before the time that was asked for, where none lies in it.
    pub fn last_before(&self) -> Option<(Instant, Temperature)> {
        let from = self.asked.0?;
        self.readings
            .iter()
            .rev()
            .find(|(at, _)| *at < from)
            .copied()
    }

    /// The cautions that belong beside it.
    pub fn cautions(&self) -> Vec<Caution> {
        let touched = self
            .excursions
            .iter()
            .flat_map(|(_, lots)| lots)
            .chain(self.gaps.iter().flat_map(|(_, lots)| lots));
        let mut cautions = vec![Caution::DateIsARule];
        if touched
            .into_iter()
            .any(|lot| !lot.with.verdict.may_be_used())
        {
            cautions.push(Caution::BakingRescuesNothing);
        }
        cautions
    }
}

impl Looked<'_> {
    /// What the clock says of a lot with some history, when it was used up or now.
    fn judge(
        &self,
        lot: &StayedLot,
        now: Instant,
        history: impl Fn(&Way) -> History,
    ) -> Assessment {
        let histories: Vec<History> = lot.ways.iter().map(history).collect();
        assess_all(&histories, self.rules, self.zone, lot.gone.unwrap_or(now))
    }
}

/// Whether grain was past before a time began: what came after changes nothing then, and the clock need not be asked
/// again. Not so where grain is kept hot: what its air was tells from when on it cooled.
fn was_past(with: &Assessment, from: Instant, kind: PlaceKind) -> bool {
    // An end that a time brings about lies up to a second before it.
    with.verdict == Verdict::Past
        && kind != PlaceKind::HotHold
        && with
            .keep_until
            .is_some_and(|until| until < from - Duration::seconds(1))
}

/// The parts of a time in which grain was in the place.
fn shared(way: &Way, from: Instant, to: Instant) -> Vec<(Instant, Instant)> {
    way.stays
        .iter()
        .map(|(began, left)| {
            let left = left.unwrap_or(Instant::MAX_UTC);
            ((*began).max(from), left.min(to))
        })
        .filter(|(from, to)| from < to)
        .collect()
}

/// The history had nobody measured the place in a time: then it was as stated.
fn without(way: &Way, from: Instant, to: Instant) -> History {
    let mut history = way.history.clone();
    for (from, to) in shared(way, from, to) {
        history = history.without_air(from, to);
    }
    history
}
