//! Searches in the background, while others go on writing: plans, amounts to fetch, changes to the bakes. One at a time.

use super::Shared;
use super::secrets;
use crate::desk::{Answer, Desk, FetchOf, PlanOf, Progress, Watch};
use crate::ledger::Book;
use crate::quantity::Instant;
use crate::report::advise::AdviseAnswer;
use crate::report::fetch::FetchAnswer;
use crate::report::plan::PlanAnswer;
use std::collections::VecDeque;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// So many plans are kept to be looked at.
const KEPT: usize = 8;

/// A plan that is being made, or was.
pub struct PlanJob {
    /// Its name in addresses.
    pub id: String,
    /// When it was asked for.
    pub asked_at: Instant,
    stop: AtomicBool,
    state: Mutex<State>,
}

/// What is looked for.
pub enum Search {
    /// A plan.
    Plan(PlanOf),
    /// How much to fetch: from which brewery, when.
    Fetch {
        /// The brewery; nothing for that of the last lot.
        from: Option<String>,
        /// When; nothing for noon of tomorrow.
        at: Option<Instant>,
    },
    /// Changes to the bakes that leave less grain over.
    Advise,
}

/// What was found.
#[allow(
    clippy::large_enum_variant,
    reason = "one is made in a search, in a box"
)]
pub enum Found {
    /// A plan.
    Plan(Answer<PlanAnswer>),
    /// How much to fetch.
    Fetch(Answer<FetchAnswer>),
    /// Changes to the bakes.
    Advise(Answer<AdviseAnswer>),
}

/// Days that are looked at, the chance of an optional bake, samples and their seed: as on the command line.
const LOOKED: (u32, f64, u32, u64) = (14, 0.5, 200, 1);

impl Search {
    fn run(self, desk: &mut Desk, watch: &mut dyn Watch) -> anyhow::Result<Found> {
        let (days, chance, samples, seed) = LOOKED;
        Ok(match self {
            Self::Plan(request) => Found::Plan(desk.plan(request, watch)?),
            Self::Advise => Found::Advise(desk.advise(days, watch)?),
            Self::Fetch { from, at } => {
                let request = FetchOf {
                    from: from.as_deref(),
                    at,
                    mash_out: None,
                    days,
                    chance,
                    samples,
                    seed,
                };
                Found::Fetch(desk.fetch(request, watch)?)
            }
        })
    }
}

/// How far a plan is.
pub enum State {
    /// It is being made.
    Running(Option<Progress>),
    /// It is there.
    Made(Box<Found>),
    /// There is none, and why.
    Failed(anyhow::Error),
}

/// The newest plans.
#[derive(Default)]
pub struct Plans(Mutex<VecDeque<Arc<PlanJob>>>);

impl Plans {
    fn jobs(&self) -> MutexGuard<'_, VecDeque<Arc<PlanJob>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The plan with this name.
    pub fn of(&self, id: &str) -> Option<Arc<PlanJob>> {
        self.jobs().iter().find(|job| job.id == id).cloned()
    }

    /// The newest one, if it is being made still.
    pub fn running(&self) -> Option<Arc<PlanJob>> {
        let jobs = self.jobs();
        jobs.back().filter(|job| job.is_running()).cloned()
    }
}

impl PlanJob {
    /// Holds its state.
    pub fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn is_running(&self) -> bool {
        matches!(*self.state(), State::Running(_))
    }

    /// Ends the search: the best plan so far is the answer.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::SeqCst);
    }
}

/// Begins a plan, or gives the one that is being made.
pub fn begin(
    shared: &Arc<Shared>,
    now: Instant,
    by: Option<String>,
    search: Search,
) -> anyhow::Result<Arc<PlanJob>> {
    let job = {
        let mut jobs = shared.plans.jobs();
        if let Some(running) = jobs.back().filter(|job| job.is_running()) {
            return Ok(running.clone());
        }
        let job = Arc::new(PlanJob {
            id: secrets::new()?,
            asked_at: now,
            stop: AtomicBool::new(false),
            state: Mutex::new(State::Running(None)),
        });
        jobs.push_back(job.clone());
        if jobs.len() > KEPT {
            jobs.pop_front();
        }
        job
    };
    let (shared, begun) = (shared.clone(), job.clone());
    std::thread::spawn(move || {
        let mut watch = JobWatch(begun.clone());
        let made = Book::open(&shared.book, now)
            .and_then(|book| search.run(&mut Desk::new(book, now, by), &mut watch));
        *begun.state() = match made {
            Ok(answer) => State::Made(Box::new(answer)),
            Err(error) => State::Failed(error),
        };
    });
    Ok(job)
}

/// Tells the page how far a search is, and the search whether somebody stopped it.
struct JobWatch(Arc<PlanJob>);

impl Watch for JobWatch {
    fn goes_on(&mut self, progress: Progress) -> bool {
        *self.0.state() = State::Running(Some(progress));
        !self.0.stop.load(Ordering::SeqCst)
    }
}
