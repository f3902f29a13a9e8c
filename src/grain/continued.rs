//! Samples that are weighed again: the same pan and wet weight of one lot is the same sample.

use super::Weighing;
use super::moisture_test::{MoistureTest, OpenSample, Sample};
use std::cmp::Reverse;

/// A test some of whose samples were weighed again.
#[derive(Debug, Clone, PartialEq)]
pub struct Continued {
    /// The test with the later readings; samples that were not weighed stay as they were.
    pub test: MoistureTest,
    /// What was weighed of pans that are not in it.
    pub rest: MoistureTest,
    /// The samples that were weighed.
    pub weighed: Vec<WeighedAgain>,
}

/// A sample that was weighed again.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighedAgain {
    /// What was known of it; nothing where it was only opened.
    pub before: Option<Sample>,
    /// What is known of it now.
    pub after: Sample,
    /// How many readings are new.
    pub new: usize,
}

impl Continued {
    /// Whether anything was weighed that is not in the test already.
    pub fn has_news(&self) -> bool {
        let mut weighed = self.weighed.iter();
        weighed.any(|one| one.before.as_ref() != Some(&one.after))
    }
}

/// A pan of the test.
struct Pan {
    begun: OpenSample,
    dried: Option<Sample>,
    is_finished: bool,
    /// A later weighing is of it.
    is_weighed: bool,
}

impl Pan {
    /// Which of the pans that weigh the same a later weighing is of, the least first: one that is still drying, whose readings
    /// it begins with, that was weighed least often.
    fn rank(&self, later: Option<&Weighing>) -> (bool, Reverse<usize>, usize) {
        let Some(dried) = &self.dried else {
            return (false, Reverse(0), 0);
        };
        let known = later.map_or(0, |later| {
            later.dry().len() - dried.first.new_in(later).len()
        });
        (self.is_finished, Reverse(known), dried.first.dry().len())
    }

    fn weigh(&mut self, later: &Sample) -> WeighedAgain {
        let before = self.dried.take();
        let (first, new) = match &before {
            Some(known) => (
                known.first.weighed_on(&later.first),
                known.first.new_in(&later.first).len(),
            ),
            None => (self.begun.dried(&later.first), later.first.dry().len()),
        };
        let known_second = || before.as_ref().and_then(|known| known.second.clone());
        let after = Sample {
            first,
            second: later.second.clone().or_else(known_second),
        };
        self.dried = Some(after.clone());
        WeighedAgain { before, after, new }
    }
}

fn begun(sample: &Sample) -> OpenSample {
    OpenSample {
        pan: sample.first.pan(),
        wet: sample.first.wet(),
    }
}

impl MoistureTest {
    /// The test with these later weighings of its pans; nothing where none of them is of a pan of it.
    pub fn weighed_on(&self, later: &Self) -> Option<Continued> {
        let dried = self.samples.iter().map(|sample| Pan {
            begun: begun(sample),
            dried: Some(sample.clone()),
            is_finished: self.is_finished(sample),
            is_weighed: false,
        });
        let open = self.open.iter().map(|open| Pan {
            begun: *open,
            dried: None,
            is_finished: false,
            is_weighed: false,
        });
        let mut pans: Vec<Pan> = dried.chain(open).collect();
        let mut find = |begun: OpenSample, later: Option<&Weighing>| {
            let free =
                (0..pans.len()).filter(|at| !pans[*at].is_weighed && pans[*at].begun == begun);
            let found = free.min_by_key(|at| pans[*at].rank(later))?;
            pans[found].is_weighed = true;
            Some(found)
        };
        let mut rest = Self {
            samples: Vec::new(),
            open: Vec::new(),
            ..later.clone()
        };
        let mut found = Vec::new();
        for sample in &later.samples {
            match find(begun(sample), Some(&sample.first)) {
                Some(pan) => found.push((pan, sample)),
                None => rest.samples.push(sample.clone()),
            }
        }
        for open in &later.open {
            if find(*open, None).is_none() {
                rest.open.push(*open);
            }
        }
        if pans.iter().all(|pan| !pan.is_weighed) {
            return None;
        }
        let weighed = found
            .into_iter()
            .map(|(pan, sample)| pans[pan].weigh(sample))
            .collect();
        let (dried, open): (Vec<Pan>, Vec<Pan>) =
            pans.into_iter().partition(|pan| pan.dried.is_some());
        Some(Continued {
            test: Self {
                samples: dried.into_iter().filter_map(|pan| pan.dried).collect(),
                open: open.into_iter().map(|pan| pan.begun).collect(),
                ..later.clone()
            },
            rest,
            weighed,
        })
    }

    /// Whether it has a sample of the same pan and wet weight as another.
    pub fn shares_a_sample(&self, other: &Self) -> bool {
        let pans = |test: &Self| -> Vec<OpenSample> {
            let dried = test.samples.iter().map(begun);
            dried.chain(test.open.iter().copied()).collect()
        };
        let others = pans(other);
        pans(self).iter().any(|pan| others.contains(pan))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::grain::{Method, PanReadings};
    use crate::quantity::Milligrams;

    fn test(pans: &[&str]) -> MoistureTest {
        let pans: Vec<PanReadings> = pans.iter().map(|pan| pan.parse().unwrap()).collect();
        MoistureTest::of_pans(Method::Oven, Milligrams::new(100), &pans)
    }

    #[test]
    fn what_is_not_weighed_stays_in_the_oven() {
        let opened = test(&["14.2g,64.5g", "13.9g,63.9g"]);
        let one = opened
            .weighed_on(&test(&["14.2g,64.5g,27.9g,27.9g"]))
            .unwrap();
        assert_eq!((one.test.samples.len(), one.test.open.len()), (1, 1));
        let both = one
            .test
            .weighed_on(&test(&["13.9g,63.9g,27.5g,27.5g"]))
            .unwrap();
        assert!(!both.test.is_unfinished());
        assert_eq!(both.test.samples.len(), 2);
        assert_eq!(both.rest, test(&[]));
    }

    #[test]
    fn an_opened_sample_is_dry_once_two_weights_agree() {
        let opened = test(&["14.2g,64.5g"]);
        let once = opened.weighed_on(&test(&["14.2g,64.5g,33g"])).unwrap();
        assert!(once.test.is_unfinished());
        for again in ["14.2g,64.5g,33g", "14.2g,64.5g,33g,33g"] {
            let again = once.test.weighed_on(&test(&[again])).unwrap();
            assert!(!again.test.is_unfinished());
            assert_eq!((again.test.samples.len(), again.weighed[0].new), (1, 1));
        }
    }

    /// What a form sends with its fields empty.
    #[test]
    fn pans_that_were_only_named_say_nothing_new() {
        let opened = test(&["14.2g,64.5g,64.5g,33g", "13.9g,63.9g"]);
        assert!(!opened.weighed_on(&opened).unwrap().has_news());
        assert_eq!(opened.weighed_on(&test(&["14.2g,64.6g,30g"])), None);
    }

    /// Tared pans of the same sample mass: each weighing is of another of them.
    #[test]
    fn pans_of_one_weight_are_weighed_in_turn() {
        let opened = test(&["0g,100g", "0g,100g"]);
        let one = opened.weighed_on(&test(&["0g,100g,30g"])).unwrap().test;
        let two = one.weighed_on(&test(&["0g,100g,29g"])).unwrap().test;
        assert_eq!((two.samples.len(), two.open.len()), (2, 0));
        // The readings before it say which.
        let again = two.weighed_on(&test(&["0g,100g,29g,28g"])).unwrap();
        assert_eq!(again.weighed[0].new, 1);
        // A third pan is another sample.
        let third = opened
            .weighed_on(&test(&["0g,100g", "0g,100g", "0g,100g"]))
            .unwrap();
        assert_eq!(third.rest.open.len(), 1);
    }
}
