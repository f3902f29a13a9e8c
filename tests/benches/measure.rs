//! Runs programs in turns and takes their least wall and processor time.

use crate::processor_time::{CHILDREN, usage};
use anyhow::{Context, ensure};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// What one run cost. Wall time holds waiting for the disk; processor time does not, and is the
/// steadier of the two on a busy machine.
#[derive(Debug, Clone, Copy)]
pub struct Cost {
    pub wall: Duration,
    pub processor: Duration,
}

/// A program with its arguments, and what has to be done before each run of it.
pub struct Contender<'a> {
    pub name: &'a str,
    pub command: Box<dyn Fn() -> Command + 'a>,
    pub prepare: Box<dyn Fn() -> anyhow::Result<()> + 'a>,
}

impl<'a> Contender<'a> {
    /// A program that needs no preparation.
    pub fn new(name: &'a str, command: impl Fn() -> Command + 'a) -> Self {
        Self {
            name,
            command: Box::new(command),
            prepare: Box::new(|| Ok(())),
        }
    }

    /// The same with something done, untimed, before each run.
    pub fn after(mut self, prepare: impl Fn() -> anyhow::Result<()> + 'a) -> Self {
        self.prepare = Box::new(prepare);
        self
    }

    fn run(&self) -> anyhow::Result<Cost> {
        (self.prepare)()?;
        let mut command = (self.command)();
        command
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        let before = children()?;
        let start = Instant::now();
        let status = command
            .status()
            .with_context(|| format!("{} does not start", self.name))?;
        let wall = start.elapsed();
        let processor = children()? - before;
        ensure!(status.success(), "{} ended with {status}", self.name);
        Ok(Cost { wall, processor })
    }
}

/// Runs the contenders by turns, so that a slow spell of the machine falls on all of them alike, and
/// gives for each the least wall and the least processor time of all rounds.
pub fn race(contenders: &[Contender<'_>], rounds: usize) -> anyhow::Result<Vec<Cost>> {
    // One round unseen brings files into the system's cache and proves that every program runs.
    for contender in contenders {
        contender.run()?;
    }
    let mut least = vec![
        Cost {
            wall: Duration::MAX,
            processor: Duration::MAX,
        };
        contenders.len()
    ];
    for round in 0..rounds {
        // Who follows whom changes, since a program may leave the disk busy for the next.
        for turn in 0..contenders.len() {
            let index = (round + turn) % contenders.len();
            let cost = contenders[index].run()?;
            least[index].wall = least[index].wall.min(cost.wall);
            least[index].processor = least[index].processor.min(cost.processor);
        }
    }
    Ok(least)
}

fn children() -> anyhow::Result<Duration> {
    Ok(usage(CHILDREN)?.0)
}
