//! Which place each job brings its grain to.
//!
//! The program knows the sum of what the freezers still take. Here jobs are dealt to places, day by day: what comes out
//! makes room first, the largest job goes first, and each goes into the first place that has room for it. Where none has,
//! what is frozen is split over several. As long as the sum holds, there is room for every job then.

use super::plan::Work;
use super::problem::Place;
use crate::quantity::{Instant, Milligrams, Zone};
use std::cmp::Reverse;

/// Places that grain may be brought to, the coldest first: those that the rules let hold it frozen or cold.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Places {
    /// Freezers.
    pub freezers: Vec<Place>,
    /// Fridges.
    pub fridges: Vec<Place>,
    /// Name of the dry store that dried grain goes into.
    pub dry_store: Option<String>,
}

/// Something to be done with grain, which ends in another place.
#[derive(Debug, Clone, Copy)]
pub struct Job<L> {
    /// What.
    pub work: Work,
    /// With which lot.
    pub lot: L,
    /// How much of it is moved: a frozen block comes out whole, by one job for all its bakes.
    pub wet: Milligrams,
    /// By when.
    pub by: Instant,
}

/// A job, or a part of one, and the place that it brings its grain to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Name of the place; nothing where no place is fit.
    pub place: Option<String>,
    /// How much of it.
    pub wet: Milligrams,
}

/// The parts of each job. `lies` says how much of each lot is in which place now.
pub fn deal<'a, L: Copy + Ord>(
    places: &'a Places,
    lies: impl IntoIterator<Item = (L, &'a str, Milligrams)>,
    jobs: &[Job<L>],
    (zone, step): (&Zone, Milligrams),
) -> Vec<Vec<Part>> {
    let lies = lies.into_iter();
    let mut stock = Stock {
        places,
        held: lies
            .map(|(lot, place, wet)| (lot, place, wet.get()))
            .collect(),
        step: step.get().max(1),
    };
    let mut order: Vec<usize> = (0..jobs.len()).collect();
    order.sort_by_key(|at| {
        let job = &jobs[*at];
        let day = zone.date(job.by);
        (day, Reverse(job.work), Reverse(job.wet), job.by, job.lot)
    });
    let mut dealt = vec![Vec::new(); jobs.len()];
    for at in order {
        dealt[at] = stock.bring(&jobs[at]);
    }
    dealt
}

/// What each bake has of a job in which place. What is split over several is of one bag.
pub fn spread<B: Copy>(takes: &[(B, Milligrams)], parts: &[Part]) -> Vec<(B, Part)> {
    let mut found = Vec::with_capacity(takes.len().max(parts.len()));
    for (bake, wet) in takes {
        for part in parts {
            let wet = if parts.len() == 1 { *wet } else { part.wet };
            let place = part.place.clone();
            found.push((*bake, Part { place, wet }));
        }
    }
    found
}

/// What lies where, as the jobs are done one after the other.
struct Stock<'a, L> {
    places: &'a Places,
    held: Vec<(L, &'a str, i64)>,
    step: i64,
}

impl<'a, L: Copy + Ord> Stock<'a, L> {
    fn bring(&mut self, job: &Job<L>) -> Vec<Part> {
        let places = self.places;
        match job.work {
            Work::Freeze => {
                self.take_out(job, &places.fridges);
                self.put_in(job, &places.freezers)
            }
            Work::Thaw => {
                self.take_out(job, &places.freezers);
                self.put_in(job, &places.fridges)
            }
            Work::Dry => {
                self.take_out(job, &places.fridges);
                vec![Part {
                    place: places.dry_store.clone(),
                    wet: job.wet,
                }]
            }
        }
    }

    fn take_out(&mut self, job: &Job<L>, from: &[Place]) {
        let mut left = job.wet.get();
        for (lot, name, wet) in &mut self.held {
            if *lot == job.lot && from.iter().any(|place| place.name == *name) {
                let part = left.min(*wet);
                *wet -= part;
                left -= part;
            }
        }
    }

    fn put_in(&mut self, job: &Job<L>, into: &'a [Place]) -> Vec<Part> {
        let parts = self.parts(job, into);
        for (place, wet) in &parts {
            self.held.push((job.lot, *place, *wet));
        }
        if parts.is_empty() {
            return vec![Part {
                place: None,
                wet: job.wet,
            }];
        }
        let part = |(place, wet): (&str, i64)| Part {
            place: Some(place.to_owned()),
            wet: Milligrams::new(wet),
        };
        parts.into_iter().map(part).collect()
    }

    fn parts(&self, job: &Job<L>, into: &'a [Place]) -> Vec<(&'a str, i64)> {
        let wet = job.wet.get();
        let rooms = into
            .iter()
            .map(|place| (place.name.as_str(), self.room(place)));
        let mut rooms: Vec<(&'a str, i64)> = rooms.collect();
        if let Some((name, _)) = rooms.iter().find(|(_, room)| *room >= wet) {
            return vec![(*name, wet)];
        }
        // As few parts as can be.
        rooms.sort_by_key(|(_, room)| Reverse(*room));
        let mut left = wet;
        let mut parts = Vec::new();
        // A frozen block comes out whole.
        if job.work == Work::Freeze {
            for (name, room) in &rooms {
                let part = left.min(room / self.step * self.step);
                if part > 0 {
                    parts.push((*name, part));
                    left -= part;
                }
            }
        }
        // What has no room goes to where most is: somebody may have filled a place since the plan.
        if let Some((_, part)) = parts.first_mut() {
            *part += left;
        } else {
            parts.extend(rooms.first().map(|(name, _)| (*name, left)));
        }
        parts
    }

    /// Milligrams that a place takes beside what it holds; less than nothing where it holds more.
    fn room(&self, place: &Place) -> i64 {
        let held = self.held.iter().filter(|(_, name, _)| place.name == *name);
        let held: i64 = held.map(|(_, _, wet)| *wet).sum();
        place.takes.map_or(i64::MAX, |takes| takes.get() - held)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Temperature;
    use chrono::{DateTime, Duration};

    fn kilograms(kg: i64) -> Milligrams {
        Milligrams::new(kg * 1_000_000)
    }

    fn freezers(takes: &[(&str, i64)]) -> Places {
        let place = |(name, kg): &(&str, i64)| Place {
            name: (*name).to_owned(),
            at: Temperature::celsius(-18),
            takes: Some(kilograms(*kg)),
        };
        Places {
            freezers: takes.iter().map(place).collect(),
            ..Places::default()
        }
    }

    fn job(work: Work, lot: usize, kg: i64, day: i64) -> Job<usize> {
        Job {
            work,
            lot,
            wet: kilograms(kg),
            by: DateTime::UNIX_EPOCH + Duration::days(day),
        }
    }

    /// Place and kilograms of each part of each job.
    fn dealt(
        places: &Places,
        lies: &[(usize, &'static str, i64)],
        jobs: &[Job<usize>],
    ) -> Vec<Vec<(String, i64)>> {
        let lies = lies
            .iter()
            .map(|(lot, place, kg)| (*lot, *place, kilograms(*kg)));
        let parts = deal(places, lies, jobs, (&Zone::utc(), Milligrams::new(1000)));
        let word = |part: Part| {
            let place = part.place.unwrap_or_else(|| "nowhere".to_owned());
            (place, part.wet.get() / 1_000_000)
        };
        parts
            .into_iter()
            .map(|parts| parts.into_iter().map(word).collect())
            .collect()
    }

    fn one(place: &str, kg: i64) -> Vec<(String, i64)> {
        vec![(place.to_owned(), kg)]
    }

    #[test]
    fn a_full_freezer_takes_nothing_while_another_is_empty() {
        let places = freezers(&[("freezer", 5), ("chest", 4)]);
        let jobs = [job(Work::Freeze, 0, 3, 0)];
        let found = dealt(&places, &[(1, "freezer", 10)], &jobs);
        assert_eq!(found, [one("chest", 3)]);
    }

    #[test]
    fn what_no_freezer_holds_is_split() {
        let places = freezers(&[("freezer", 3), ("chest", 4)]);
        let found = dealt(&places, &[], &[job(Work::Freeze, 0, 7, 0)]);
        assert_eq!(found, [[one("chest", 4), one("freezer", 3)].concat()]);
    }

    #[test]
    fn the_largest_job_of_a_day_goes_first() {
        let places = freezers(&[("freezer", 4), ("chest", 3)]);
        let jobs = [job(Work::Freeze, 0, 3, 0), job(Work::Freeze, 1, 4, 0)];
        let found = dealt(&places, &[], &jobs);
        assert_eq!(found, [one("chest", 3), one("freezer", 4)]);
    }

    #[test]
    fn what_comes_out_makes_room_on_its_day() {
        let places = freezers(&[("freezer", 4)]);
        let jobs = [job(Work::Freeze, 0, 4, 1), job(Work::Thaw, 1, 4, 1)];
        let found = dealt(&places, &[(1, "freezer", 4)], &jobs);
        assert_eq!(found, [one("freezer", 4), one("nowhere", 4)]);
    }

    #[test]
    fn without_a_place_none_is_named() {
        let found = dealt(&Places::default(), &[], &[job(Work::Freeze, 0, 4, 1)]);
        assert_eq!(found, [one("nowhere", 4)]);
    }
}
