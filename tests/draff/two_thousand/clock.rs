//! The keeping rules of docs/models/keeping.md, rule set strict, walked minute by minute.
//!
//! It shares nothing with the program but the page: no intervals, no limits read from a file, no zone. Times
//! are whole minutes since 1970, temperatures thousandths of a degree Celsius.

use super::layer;

/// Minutes since 1970, UTC.
pub type Minute = i64;

const COLD: i32 = 5_000;
const FROZEN: i32 = -15_000;
/// Ireland's clocks went from UTC+1 to UTC on Sunday 25 October 2026 at 01:00 UTC.
const CLOCKS_BACK: Minute = 1_792_890_000 / 60;

/// The places of a new book with what they are stated to hold.
pub const PLACES: [(&str, i32); 4] = [
    ("fridge", 4_000),
    ("freezer", -18_000),
    ("counter", 20_000),
    ("dry-store", 20_000),
];
pub const FRIDGE: usize = 0;
pub const FREEZER: usize = 1;

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Told {
    Into(usize),
    Read(i32),
    Cooled,
    Spoiled,
}

/// One line of descent of a lot.
#[derive(Clone, Debug, PartialEq)]
pub struct Past {
    pub mash_out: Option<Minute>,
    pub told: Vec<(Minute, Told)>,
}

/// From good to bad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    Good,
    UseFirst,
    Unknown,
    Past,
}

/// What the clock says; `until` is a second since 1970.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    pub verdict: Verdict,
    pub until: Option<i64>,
    pub day: Option<i64>,
    pub warm: i64,
}

/// What the logger of the fridge measured, and whether its probe hangs in the air or sticks in the grain.
#[derive(Clone, Copy)]
pub struct Logged<'a> {
    pub readings: &'a [(Minute, i32)],
    pub of_air: bool,
}

impl Logged<'_> {
    /// Moments at which it says something new: its readings, and the end of what each says of the time after it where no other
    /// follows soon enough.
    fn changes(&self) -> impl Iterator<Item = Minute> + '_ {
        let ends = nothing_follows(self.readings).map(|(at, _)| at + LONGEST_GAP);
        self.readings.iter().map(|(at, _)| *at).chain(ends)
    }
}

/// Readings after which no other follows as soon as it would have to: the last of all, and the last before each gap.
fn nothing_follows(readings: &[(Minute, i32)]) -> impl Iterator<Item = (Minute, i32)> + '_ {
    readings.iter().enumerate().filter_map(|(index, reading)| {
        let next = readings.get(index + 1);
        next.is_none_or(|(next, _)| next - reading.0 > LONGEST_GAP)
            .then_some(*reading)
    })
}

/// The worst of all lines of descent; the earliest date of those that may be used.
pub fn judge_all(pasts: &[Past], logged: Logged<'_>, now: Minute) -> Judged {
    let all: Vec<Judged> = pasts.iter().map(|past| judge(past, logged, now)).collect();
    let verdict = all.iter().map(|one| one.verdict).max().unwrap();
    Judged {
        verdict,
        until: all
            .iter()
            .filter(|one| verdict < Verdict::Unknown || one.verdict == verdict)
            .filter_map(|one| one.until)
            .min(),
        day: all.iter().filter_map(|one| one.day).max(),
        warm: all.iter().map(|one| one.warm).max().unwrap(),
    }
}

/// The last good second, and what follows it.
type End = (i64, Verdict);

fn judge(past: &Past, logged: Logged<'_>, now: Minute) -> Judged {
    let mut ends: Vec<End> = past
        .told
        .iter()
        .filter(|(_, told)| *told == Told::Spoiled)
        .map(|(at, _)| (at * 60 - 1, Verdict::Past))
        .collect();
    let Some(mash_out) = past.mash_out else {
        ends.push((i64::MIN, Verdict::Unknown));
        return conclude(ends, false, None, 0, now);
    };
    // What a logger in the grain says against the cooling ends its use as well, and rescues nothing.
    let cold = cooling(past, mash_out, &[]).ok();
    if let Err(failed) = cooling(past, mash_out, &in_grain(past, logged)) {
        ends.extend(failed);
    }
    ends.extend(ends_since_said_cold(past, mash_out, cold, logged));
    let mut walk = Walk::new(mash_out, cold.is_some());
    let mut minute = cold.unwrap_or(mash_out);
    let from = minute;
    let mut use_first = false;
    // Nothing changes between two moments at which something became known.
    let known = past.told.iter().map(|(at, _)| *at);
    let stays = fridge_stays(past, logged);
    let mut changes: Vec<Minute> = known
        .chain(logged.changes())
        .filter(|at| *at > from)
        .collect();
    changes.sort_unstable_by_key(|at| std::cmp::Reverse(*at));
    for stay in &stays {
        ends.extend(
            stay.unsettled(past)
                .into_iter()
                .filter(|last| cold.is_some_and(|cold| *last >= cold))
                .map(|last| ((last + LONGEST_GAP) * 60, Verdict::Unknown)),
        );
    }
    let went_back = returns(past, &stays, from, &changes);
    let air_at = |minute| Air::of(past, &stays, from, minute, false);
    let mut air_now = air_at(minute);
    loop {
        air_now.comes_into_cold = false;
        if minute == from || changes.last() == Some(&minute) {
            air_now = air_at(minute);
            while changes.last() == Some(&minute) {
                changes.pop();
            }
        }
        walk.enter(&air_now, minute, &went_back, &mut ends);
        if minute == now {
            use_first = walk.day >= 5 || walk.warm >= 120 || walk.age >= 4.0 * 1440.0;
            walk.at_now = (walk.day, walk.warm);
        }
        let has_ended = ends.iter().any(|(_, verdict)| *verdict == Verdict::Past);
        let nothing_comes = changes.is_empty();
        if minute >= now && nothing_comes && (has_ended || air_now.class == Class::Frozen) {
            break;
        }
        walk.pass(&air_now);
        minute += 1;
    }
    let (day, warm) = walk.at_now;
    conclude(ends, use_first, Some(day), warm, now)
}

/// When it went from warm to cold by what was known before each of its warm readings, and by two thermometers where it was put
/// back between them.
#[derive(Default)]
struct Returns {
    all: Vec<Minute>,
    /// The same without what only a logger's last reading says.
    firm: Vec<Minute>,
}

fn returns(past: &Past, stays: &[FridgeStay], from: Minute, changes: &[Minute]) -> Returns {
    let is_warm = |(at, told): &(Minute, Told)| {
        *at >= from && matches!(told, Told::Read(read) if *read > COLD)
    };
    let mut found = Returns::default();
    let mut all = vec![past.clone()];
    for (moment, _) in past.told.iter().filter(|one| is_warm(one)) {
        let mut before = past.clone();
        before.told.retain(|one| one.0 < *moment || !is_warm(one));
        all.push(before);
    }
    let known = all.iter().flat_map(|known| [(known, false), (known, true)]);
    for (known, across) in known {
        let (mut was, mut firmly_was) = (Class::Cold, Class::Cold);
        let minutes = changes.iter().rev().copied();
        for minute in std::iter::once(from).chain(minutes) {
            let air = Air::of(known, stays, from, minute, across);
            let is_back = |was: Class| was == Class::Warm && air.class != Class::Warm;
            if is_back(was) {
                found.all.push(minute);
            }
            was = air.class;
            if !air.provisional {
                if is_back(firmly_was) {
                    found.firm.push(minute);
                }
                firmly_was = air.class;
            }
        }
    }
    found
}

fn conclude(ends: Vec<End>, use_first: bool, day: Option<i64>, warm: i64, now: Minute) -> Judged {
    let gone = |wanted: Verdict| {
        let of_it = ends
            .iter()
            .filter(|(last, verdict)| *verdict == wanted && now * 60 > *last);
        of_it.map(|(last, _)| *last).min()
    };
    let (verdict, until) = match (gone(Verdict::Past), gone(Verdict::Unknown)) {
        (Some(last), _) => (Verdict::Past, Some(last)),
        (None, Some(_)) => (Verdict::Unknown, None),
        (None, None) => (
            if use_first {
                Verdict::UseFirst
            } else {
                Verdict::Good
            },
            ends.iter().map(|(last, _)| *last).min(),
        ),
    };
    Judged {
        verdict,
        until,
        day,
        warm,
    }
}

/// Grain that was shown cold before a warm reading in its time for cooling ends no later than it would without that reading.
fn ends_since_said_cold(
    past: &Past,
    mash_out: Minute,
    cold: Option<Minute>,
    logged: Logged<'_>,
) -> Vec<End> {
    let is_warm = |(at, told): &(Minute, Told)| {
        *at >= mash_out && matches!(told, Told::Read(read) if *read > COLD)
    };
    let mut ends = Vec::new();
    for (moment, _) in past.told.iter().filter(|one| is_warm(one)) {
        let mut before = past.clone();
        before.told.retain(|one| one.0 < *moment || !is_warm(one));
        let Ok(since) = cooling(&before, mash_out, &[]) else {
            continue;
        };
        if cold == Some(since) {
            continue;
        }
        let stays = fridge_stays(&before, logged);
        let known = before.told.iter().map(|(at, _)| *at);
        let mut changes: Vec<Minute> = known
            .chain(logged.changes())
            .filter(|at| *at > since)
            .collect();
        changes.push(since);
        changes.sort_unstable();
        changes.dedup();
        let (mut warm, mut was) = (0, Class::Cold);
        for (index, minute) in changes.iter().enumerate() {
            let air = Air::of(&before, &stays, since, *minute, false);
            let goes_back = was == Class::Warm
                && (air.comes_into_cold || air.class != Class::Warm && !air.provisional);
            let is_warm_by_two =
                |minute| Air::of(&before, &stays, since, minute, true).class == Class::Warm;
            let goes_back_by_two =
                index > 0 && is_warm_by_two(changes[index - 1]) && !is_warm_by_two(*minute);
            if (goes_back || goes_back_by_two) && warm >= 120 {
                ends.push((minute * 60 - 1, Verdict::Past));
                break;
            }
            if air.provisional {
                continue;
            }
            was = air.class;
            if air.class != Class::Warm {
                continue;
            }
            let lasts = changes.get(index + 1).map_or(240, |next| next - minute);
            if warm + lasts >= 240 {
                ends.push(((minute + 240 - warm) * 60 - 1, Verdict::Past));
                break;
            }
            warm += lasts;
        }
    }
    ends
}

/// When the grain was shown cold in time, or what not showing it comes to.
///
/// The histories here have no hot readings after the mash, so the clock of the cooling starts there. What a logger in the
/// grain read speaks against a word and a thermometer, and shows no cooling.
fn cooling(past: &Past, mash_out: Minute, logged: &[(Minute, i32)]) -> Result<Minute, Vec<End>> {
    let total = mash_out + 6 * 60;
    let mut reads: Vec<(Minute, i32)> = past
        .told
        .iter()
        .filter_map(|(at, told)| match told {
            Told::Read(read) => Some((*at, *read)),
            _ => None,
        })
        .collect();
    reads.sort_unstable();
    let mut against = reads.clone();
    against.extend(logged);
    against.sort_unstable();
    let contradicted = |at: Minute| {
        against
            .iter()
            .any(|(read_at, read)| (at..=total).contains(read_at) && *read > COLD)
    };
    // A logger that read it warm just before a word, and not cold since, speaks against the word as well.
    let too_soon_after_logged = |at: Minute| {
        let last = logged.iter().rfind(|(logged_at, _)| *logged_at <= at);
        last.is_some_and(|(logged_at, grain)| at - logged_at < 30 && *grain > COLD)
    };
    // No tub is cold within half an hour of a thermometer that showed it warm.
    let too_soon = |at: Minute| {
        reads
            .iter()
            .any(|(read_at, read)| (at - 29..at).contains(read_at) && *read > COLD)
    };
    let words = || {
        let words = past.told.iter().filter(|(_, told)| *told == Told::Cooled);
        words.map(|(at, _)| *at).filter(|at| !contradicted(*at))
    };
    let word = words()
        .filter(|at| !too_soon(*at) && !too_soon_after_logged(*at))
        .min();
    let read_cold = reads
        .iter()
        .find(|(at, read)| *read <= COLD && !contradicted(*at));
    let cold = read_cold.map(|(at, _)| *at).into_iter().chain(word).min();
    let before_cold = |at: Minute| cold.is_none_or(|cold| at <= cold);
    // Read at the deadline it is past in that minute, read later once the deadline is over.
    let failed = |most: i32, deadline: Minute| {
        let mut late = against
            .iter()
            .filter(|(at, read)| *at >= deadline && before_cold(*at) && *read > most);
        let (at, _) = late.next()?;
        Some((deadline * 60 - i64::from(*at == deadline), Verdict::Past))
    };
    if let Some(end) = failed(21_000, mash_out + 120) {
        return Err(vec![end]);
    }
    let first_by = |known: &[(Minute, i32)]| {
        let passed = |(at, read): &&(Minute, i32)| {
            let mut later = known
                .iter()
                .filter(|(later, _)| later > at && before_cold(*later));
            *at <= mash_out + 120 && *read <= 21_000 && later.all(|(_, read)| *read <= 21_000)
        };
        reads.iter().find(passed).map(|(at, _)| *at)
    };
    let first = first_by(&against);
    // Shown warmer again by a logger it has no more time for the rest.
    let deadline = first_by(&reads).map_or(total, |first| total.min(first + 4 * 60));
    // Nobody showed the first stage: unknown from then on, also where the second is proven to have failed.
    let not_shown =
        (first.is_none() && word.is_none()).then_some(((mash_out + 120) * 60, Verdict::Unknown));
    if let Some(end) = failed(COLD, deadline) {
        return Err(not_shown.into_iter().chain([end]).collect());
    }
    if let Some(end) = not_shown {
        return Err(vec![end]);
    }
    match cold {
        // Where a reading shows it, warm time counts from such a word on all the same.
        Some(cold) if cold <= deadline => {
            let said = words().filter(|at| too_soon(*at)).min();
            Ok(said.map_or(cold, |said| said.min(cold)))
        }
        _ => Err(vec![(deadline * 60, Verdict::Unknown)]),
    }
}

/// What a logger whose probe sticks in the grain read while the grain lay there.
fn in_grain(past: &Past, logged: Logged<'_>) -> Vec<(Minute, i32)> {
    if logged.of_air {
        return Vec::new();
    }
    let stays: Vec<_> = stays(past)
        .into_iter()
        .filter(|(_, place, _)| *place == FRIDGE)
        .collect();
    let lay_there = |at: Minute| {
        let mut stays = stays.iter();
        stays.any(|(from, _, to)| *from <= at && to.is_none_or(|to| at < to))
    };
    let readings = logged.readings.iter().copied();
    readings.filter(|(at, _)| lay_there(*at)).collect()
}

/// Two readings further apart than this say nothing of the time between, in minutes.
const LONGEST_GAP: Minute = 4 * 60;

/// A stay in the fridge with what its logger says of the grain there.
struct FridgeStay {
    from: Minute,
    to: Option<Minute>,
    grain: Vec<(Minute, i32)>,
    in_grain: bool,
}

/// Readings that keep the same limits are put together within an hour of the clock.
#[derive(Clone, Copy)]
struct Stretch {
    from: Minute,
    to: Minute,
    class: Class,
    gap: bool,
}

impl FridgeStay {
    /// What lies between two moments of what a logger in the grain measured; nothing of one in the air.
    fn stretches(&self, from: Minute, to: Option<Minute>) -> Vec<Stretch> {
        let mut found: Vec<Stretch> = Vec::new();
        for two in self.grain.windows(2).filter(|_| self.in_grain) {
            let gap = two[1].0 - two[0].0 > LONGEST_GAP;
            let next = Stretch {
                from: two[0].0 + if gap { LONGEST_GAP } else { 0 },
                to: two[1].0,
                class: Class::of(two[0].1.max(two[1].1)),
                gap,
            };
            match found.last_mut() {
                Some(last)
                    if !last.gap
                        && !next.gap
                        && last.class == next.class
                        && (next.class == Class::Frozen || last.from / 60 == next.from / 60) =>
                {
                    last.to = next.to;
                }
                _ => found.push(next),
            }
        }
        found.retain(|one| one.to > from && to.is_none_or(|to| one.from < to));
        found
    }

    /// Last readings, of all or before a gap, where the grain was out of limit then and nothing tells of the time after.
    fn unsettled(&self, past: &Past) -> Vec<Minute> {
        let is_unsettled = |(last, grain): &(Minute, i32)| {
            let until = last + LONGEST_GAP;
            let was_there = self.from <= *last && self.to.is_none_or(|to| to >= until);
            let is_read = past
                .told
                .iter()
                .any(|(at, told)| matches!(told, Told::Read(_)) && at > last && *at <= until);
            was_there && *grain > COLD && !is_read
        };
        nothing_follows(&self.grain)
            .filter(is_unsettled)
            .map(|(last, _)| last)
            .collect()
    }
}

/// Whether grain left the fridge warm by its air. What it brings along to the next place is no part of this walk.
pub fn carries_warmth(past: &Past, logged: Logged<'_>) -> bool {
    let left_warm = |stay: &FridgeStay| {
        stay.to.is_some() && stay.grain.last().is_some_and(|(_, grain)| *grain > COLD)
    };
    logged.of_air && fridge_stays(past, logged).iter().any(left_warm)
}

/// From when to when it lay in which place. What was put back where it was, under whichever code, never left.
fn stays(past: &Past) -> Vec<(Minute, usize, Option<Minute>)> {
    let mut moves: Vec<(Minute, usize)> = past
        .told
        .iter()
        .filter_map(|(at, told)| match told {
            Told::Into(place) => Some((*at, *place)),
            _ => None,
        })
        .collect();
    moves.sort_by_key(|(at, _)| *at);
    let mut stays: Vec<(Minute, usize, Option<Minute>)> = Vec::new();
    for (at, place) in moves {
        match stays.last_mut() {
            Some((_, last, _)) if *last == place => {}
            last => {
                if let Some((_, _, to)) = last {
                    *to = Some(at);
                }
                stays.push((at, place, None));
            }
        }
    }
    stays
}

fn fridge_stays(past: &Past, logged: Logged<'_>) -> Vec<FridgeStay> {
    let air = logged.readings;
    stays(past)
        .into_iter()
        .filter(|(_, place, _)| *place == FRIDGE)
        .map(|(from, _, to)| {
            let first = air.partition_point(|(at, _)| *at <= from).saturating_sub(1);
            let after = air.partition_point(|(at, _)| to.is_none_or(|to| *at < to));
            let air = &air[first..(after + 1).min(air.len()).max(first)];
            let grain = if logged.of_air {
                layer::in_air(air, from)
            } else {
                air.to_vec()
            };
            FridgeStay {
                from,
                to,
                grain,
                in_grain: !logged.of_air,
            }
        })
        .collect()
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Class {
    Frozen,
    Cold,
    Warm,
}

impl Class {
    fn of(warmest: i32) -> Self {
        if warmest <= FROZEN {
            Self::Frozen
        } else if warmest <= COLD {
            Self::Cold
        } else {
            Self::Warm
        }
    }
}

/// How warm the grain can have been in one minute.
struct Air {
    class: Class,
    /// Warmest it can have been.
    warmest: i32,
    /// Whether nobody measured a place that is measured.
    gap: bool,
    /// Whether only the logger's last reading says how warm it was.
    provisional: bool,
    /// Whether it comes into a place stated to be cold at this minute.
    comes_into_cold: bool,
}

impl Air {
    /// In one minute of a life that is walked `from` a moment on. With `across` two thermometers speak for the time between also
    /// where the grain was put back meanwhile.
    fn of(past: &Past, logged: &[FridgeStay], from: Minute, minute: Minute, across: bool) -> Self {
        let moved = stays(past);
        // What a thermometer says reaches to the next one or to another place, and no further.
        let moments = || {
            let reads = past.told.iter();
            let reads = reads.filter(|(_, told)| matches!(told, Told::Read(_)));
            let moves = moved.iter().map(|(at, ..)| *at);
            moves
                .chain(reads.map(|(at, _)| *at))
                .filter(|at| *at >= from)
        };
        let left = moments().filter(|at| *at <= minute).max().unwrap_or(from);
        let right = moments().filter(|at| *at > minute).min();
        let read_at = |moment: Minute| {
            past.told.iter().filter_map(move |(at, told)| match told {
                Told::Read(read) if *at == moment => Some(*read),
                _ => None,
            })
        };
        let place = past
            .told
            .iter()
            .filter_map(|(at, told)| match told {
                Told::Into(place) if *at <= minute => Some((*at, *place)),
                _ => None,
            })
            .max_by_key(|(at, _)| *at);
        let is_put_back = |right: Minute| {
            let mut told = past.told.iter();
            told.any(|(at, told)| matches!(told, Told::Into(_)) && left < *at && *at < right)
        };
        let is_read = read_at(left).next().is_some()
            && right.is_some_and(|right| {
                read_at(right).next().is_some()
                    && right - left <= 4 * 60
                    && (across || !is_put_back(right))
            });
        let came = moved.iter().rfind(|(at, ..)| *at <= minute);
        // Just put into a freezer, a cold reading says nothing of the freezer.
        let freezes = |read: i32| {
            came.is_some_and(|(came, place, _)| {
                *place == FREEZER && left - came <= 24 * 60 && read <= COLD
            })
        };
        let stay = logged
            .iter()
            .find(|stay| stay.from <= minute && stay.to.is_none_or(|to| minute < to));
        // A logger in the grain reads the grain: a thermometer speaks for the time up to its readings only.
        let stretches = stay.map_or_else(Vec::new, |stay| stay.stretches(left, right));
        let mut measured = stretches.iter().filter(|one| !one.gap);
        let ends = measured
            .next()
            .map(|first| (*first, *measured.next_back().unwrap_or(first)));
        let by_logger = ends.is_some() && stretches.iter().all(|one| !one.gap);
        let is_read = is_read && !by_logger;
        let left_counts = ends.is_none_or(|(first, _)| minute < first.to);
        let right_counts = ends.is_none_or(|(_, last)| {
            let is_among = right.is_some_and(|right| right <= last.to);
            minute >= if is_among { last.from } else { last.to }
        });
        let mut known: Vec<i32> = read_at(left)
            .filter(|read| left_counts && !freezes(*read))
            .collect();
        known.extend(right.filter(|_| right_counts).into_iter().flat_map(read_at));
        let (mut gap, mut provisional) = (false, false);
        // With the source and not measured, it counts as cold and no colder.
        let warmest = |known: &[i32]| known.iter().copied().max().unwrap_or(COLD);
        if let Some((entered, place)) = place
            && !is_read
        {
            let stated = PLACES[place].1;
            let grain = stay.map_or(&[][..], |stay| stay.grain.as_slice());
            let next = grain.partition_point(|(at, _)| *at <= minute);
            let read_last = past
                .told
                .iter()
                .filter(|(at, told)| matches!(told, Told::Read(_)) && *at >= from && *at <= minute)
                .map(|(at, _)| *at)
                .max();
            match (next.checked_sub(1).map(|last| grain[last]), grain.get(next)) {
                (Some((at, left)), Some((then, right))) if then - at <= LONGEST_GAP => {
                    known.extend([left, *right]);
                }
                (Some((last, shown)), _)
                    if minute < last + LONGEST_GAP && read_last.is_none_or(|read| read <= last) =>
                {
                    known.push(stated);
                    let plain = Class::of(warmest(&known));
                    known.push(shown);
                    let told = right.is_some_and(|right| {
                        read_at(right).next().is_some() && right - last <= LONGEST_GAP
                    });
                    provisional = Class::of(warmest(&known)) != plain && !told;
                }
                (Some((last, _)), Some(_)) if minute >= last + LONGEST_GAP => {
                    gap = true;
                    known.push(stated);
                }
                _ => known.push(stated),
            }
            // What was measured after a gap counts as it is.
            let unsettled = stay.and_then(|stay| {
                let last = stay.unsettled(past).pop()?;
                (stay.grain.last()?.0 == last).then_some(last)
            });
            provisional |= unsettled.is_some_and(|last| {
                let until = last + LONGEST_GAP;
                minute >= until && entered <= last && read_last.is_none_or(|read| read < until)
            });
        }
        let warmest = warmest(&known);
        Self {
            class: Class::of(warmest),
            warmest,
            gap,
            provisional,
            comes_into_cold: place
                .is_some_and(|(at, place)| at == minute && PLACES[place].1 <= COLD),
        }
    }
}

/// What has added up so far.
struct Walk {
    shown_cold: bool,
    date: i64,
    date_counts: bool,
    day: i64,
    warm: i64,
    /// The same without what only a logger's last reading says.
    firm: i64,
    age: f64,
    before: Option<Class>,
    before_firm: Option<Class>,
    in_gap: bool,
    has_ended: bool,
    may_have_ended: bool,
    at_now: (i64, i64),
}

impl Walk {
    fn new(mash_out: Minute, shown_cold: bool) -> Self {
        Self {
            shown_cold,
            date: date(mash_out),
            date_counts: true,
            day: 1,
            warm: 0,
            firm: 0,
            age: 0.0,
            before: None,
            before_firm: None,
            in_gap: false,
            has_ended: false,
            may_have_ended: false,
            at_now: (0, 0),
        }
    }

    /// The moment at which a minute begins.
    fn enter(&mut self, air: &Air, minute: Minute, returns: &Returns, ends: &mut Vec<End>) {
        // Days between cooling and mash-out count whatever happened.
        while self.date < date(minute) {
            self.date += 1;
            self.date_counts = self.before.is_none() && self.date < date(minute);
            self.day += i64::from(self.date_counts);
        }
        let freezes_now = self.before != Some(Class::Frozen);
        if !self.date_counts && (air.class != Class::Frozen || freezes_now) {
            self.date_counts = true;
            self.day += 1;
        }
        // Put back is put back, whatever a last reading says of the place, or a thermometer of the grain later.
        let too_warm = |warm: i64, before: Option<Class>, is_cold: bool, returns: &[Minute]| {
            let goes_back = before == Some(Class::Warm) && (air.comes_into_cold || is_cold);
            warm >= 240 || (goes_back || returns.contains(&minute)) && warm >= 120
        };
        let is_cold = air.class != Class::Warm;
        let firmly_cold = is_cold && !air.provisional;
        let is_past =
            self.day > 7 || too_warm(self.firm, self.before_firm, firmly_cold, &returns.firm);
        let may_be_past = too_warm(self.warm, self.before, is_cold, &returns.all);
        if may_be_past && !is_past && !self.has_ended && !self.may_have_ended {
            self.may_have_ended = true;
            ends.push((minute * 60 - 1, Verdict::Unknown));
        }
        if is_past && !self.has_ended {
            self.has_ended = true;
            ends.push((minute * 60 - 1, Verdict::Past));
        }
        if self.shown_cold && air.gap && !self.in_gap {
            ends.push((minute * 60, Verdict::Unknown));
        }
        self.in_gap = air.gap;
    }

    /// The minute itself.
    fn pass(&mut self, air: &Air) {
        self.before = Some(air.class);
        if !air.provisional {
            self.before_firm = Some(air.class);
        }
        if !self.shown_cold {
            return;
        }
        self.warm += i64::from(air.class == Class::Warm);
        self.firm += i64::from(air.class == Class::Warm && !air.provisional);
        if air.class != Class::Frozen {
            // Ratkowsky's square root, from −10 °C, relative to 4 °C.
            let above = f64::from(air.warmest) / 1000.0 + 10.0;
            self.age += (above.max(0.0) / 14.0).powi(2);
        }
    }
}

/// The day in Dublin, as a number.
fn date(minute: Minute) -> i64 {
    let ahead = if minute < CLOCKS_BACK { 60 } else { 0 };
    (minute + ahead).div_euclid(1440)
}
