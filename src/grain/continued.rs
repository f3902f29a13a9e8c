//! Samples that are weighed again: the same pan and wet weight of one lot is the same sample.

use super::Weighing;
use super::moisture_test::{Method, MoistureTest, OpenSample, Sample};
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
    /// Those that dry on and were not named.
    pub left: Vec<OpenSample>,
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

impl Sample {
    /// Puts the wet weight before a single dried one, as of a sample that was opened.
    fn keep_drying(&mut self) {
        let last = self.second.as_mut().unwrap_or(&mut self.first);
        if last.dry().len() == 1 {
            let (pan, wet) = (last.pan(), last.wet());
            *last = OpenSample { pan, wet }.dried(last);
        }
    }
}

/// Takes one pan out of several, where it is among them.
fn take(pans: &mut Vec<OpenSample>, pan: OpenSample) -> bool {
    let found = pans.iter().position(|one| *one == pan);
    found.map(|at| pans.swap_remove(at)).is_some()
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
        let left = pans
            .iter()
            .filter(|pan| !pan.is_weighed && !pan.is_finished)
            .map(|pan| pan.begun)
            .collect();
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
            left,
        })
    }

    /// The samples that are drying.
    pub fn drying(&self) -> Vec<OpenSample> {
        let weighed = self.samples.iter().filter(|one| !self.is_finished(one));
        let open = self.open.iter().copied();
        weighed.map(begun).chain(open).collect()
    }

    /// Readings in the place of its own. A sample that is still drying is so after it too, unless its weights show that it lost
    /// no more: one dried weight alone never does. Where pan and wet weight are others, it is taken to be one that is drying.
    #[must_use]
    pub fn corrected(&self, mut right: Self) -> Self {
        let mut drying = self.drying();
        let mut dry: Vec<OpenSample> = self.finished().map(begun).collect();
        for open in &right.open {
            take(&mut drying, *open);
        }
        let was_drying: Vec<Option<bool>> = right
            .samples
            .iter()
            .map(|sample| {
                let pan = begun(sample);
                let was_drying = take(&mut drying, pan);
                (was_drying || take(&mut dry, pan)).then_some(was_drying)
            })
            .collect();
        for (sample, was_drying) in right.samples.iter_mut().zip(was_drying) {
            if was_drying.unwrap_or(!drying.is_empty()) {
                sample.keep_drying();
            }
        }
        right
    }

    /// Its samples that have the same pan and wet weight as one of another test.
    pub fn shared_samples(&self, other: &Self) -> Vec<OpenSample> {
        let pans = |test: &Self| -> Vec<OpenSample> {
            let dried = test.samples.iter().map(begun);
            dried.chain(test.open.iter().copied()).collect()
        };
        let others = pans(other);
        let mut shared = pans(self);
        shared.retain(|pan| others.contains(pan));
        shared
    }
}

impl WeighedAgain {
    /// Whether a sample that was dry is dry with another weight too, further off than an oven dries to. Were these two dishes,
    /// the range of both would be wider than that of one.
    pub fn is_dry_otherwise(&self, was: &MoistureTest, is: &MoistureTest) -> bool {
        let Some(before) = self.before.as_ref().filter(|one| was.is_finished(one)) else {
            return false;
        };
        let moved = before.moisture().get() - self.after.moisture().get();
        is.is_finished(&self.after) && moved.abs() > Method::Oven.end_point().0 + 1e-12
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::grain::PanReadings;
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
        assert_eq!(one.left, one.test.drying());
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

    #[test]
    fn a_drying_sample_that_is_corrected_is_dry_only_once_two_weights_agree() {
        let two_stages = |second: &str| {
            let first = test(&["14.2g,64.5g,40g"]);
            first
                .with_second_stages(&[second.parse().unwrap()])
                .unwrap()
        };
        for drying in [
            test(&["14.2g,64.5g"]),
            test(&["14.2g,64.5g,64.5g,33g"]),
            test(&["14.2g,64.5g,40g,33g"]),
            two_stages("10g,30g,22g,20g"),
        ] {
            // The dried weight, the wet one or the pan was misread.
            for right in [
                "14.2g,64.5g,32g",
                "14.2g,65.4g,33g",
                "12.4g,64.5g,33g",
                "14.2g,64.5g,40g,32g",
            ] {
                assert!(drying.corrected(test(&[right])).is_unfinished(), "{right}");
            }
            assert!(
                !drying
                    .corrected(test(&["14.2g,64.5g,32g,32g"]))
                    .is_unfinished()
            );
            assert!(drying.corrected(test(&["14.2g,64.5g"])).is_unfinished());
            assert!(drying.corrected(two_stages("10g,30g,21g")).is_unfinished());
        }
        let dried = test(&["14.2g,64.5g,33g"]);
        assert!(!dried.corrected(test(&["12.4g,64.5g,32g"])).is_unfinished());
    }

    #[test]
    fn a_dry_sample_beside_a_drying_one_is_dry_after_a_correction_too() {
        let drying = test(&["14.2g,64.5g,33g", "13.9g,63.9g"]);
        for right in [
            ["14.2g,64.5g,32g", "13.9g,63.9g"],
            ["12.4g,64.5g,33g", "13.9g,63.9g"],
            ["13.9g,63.9g,30g", "14.2g,64.5g,32g"],
        ] {
            let right = drying.corrected(test(&right));
            assert_eq!(right.finished().count(), 1);
            assert!(right.is_unfinished());
        }
        // Pans of the same weight: one of the two is drying.
        let alike = test(&["0g,50g,20g", "0g,50g"]);
        let right = alike.corrected(test(&["0g,50g,20g", "0g,50g,21g"]));
        assert_eq!(right.finished().count(), 1);
    }

    /// What a form sends with its fields empty.
    #[test]
    fn pans_that_were_only_named_say_nothing_new() {
        let opened = test(&["14.2g,64.5g,64.5g,33g", "13.9g,63.9g"]);
        assert!(!opened.weighed_on(&opened).unwrap().has_news());
        assert_eq!(opened.weighed_on(&test(&["14.2g,64.6g,30g"])), None);
    }

    /// In a microwave oven 1 g of 100 g ends the drying: two dishes 0.8 points apart would be known less well than one.
    #[test]
    fn two_dry_weights_further_apart_than_an_oven_dries_to_may_be_two_dishes() {
        let of = |method, pan: &str| MoistureTest {
            method,
            ..test(&[pan])
        };
        for (method, later, is_otherwise) in [
            (Method::Microwave, "14g,114g,36.2g", true),
            (Method::Microwave, "14g,114g,36.9g", false),
            (Method::Microwave, "14g,114g,30g", false),
            (Method::Oven, "14g,114g,36.9g", false),
            (Method::Oven, "14g,114g,36.2g", false),
        ] {
            let was = of(method, "14g,114g,37g");
            let is = was.weighed_on(&of(method, later)).unwrap();
            let found = is.weighed[0].is_dry_otherwise(&was, &is.test);
            assert_eq!(found, is_otherwise, "{later}");
        }
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
