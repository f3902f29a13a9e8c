//! The amount whose cost is least, among the steps of a grid.

use std::collections::BTreeMap;

/// A function that is worked out once for each argument.
pub struct Known<'a, K, T> {
    work: &'a mut dyn FnMut(K) -> T,
    known: BTreeMap<K, T>,
}

impl<'a, K: Copy + Ord, T: Copy> Known<'a, K, T> {
    /// Nothing worked out yet.
    pub fn new(work: &'a mut dyn FnMut(K) -> T) -> Self {
        Self {
            work,
            known: BTreeMap::new(),
        }
    }

    /// Its value there.
    pub fn at(&mut self, there: K) -> T {
        if let Some(known) = self.known.get(&there) {
            return *known;
        }
        let found = (self.work)(there);
        self.known.insert(there, found);
        found
    }
}

impl<K: Copy> Known<'_, K, f64> {
    /// Where it is least, as far as it was worked out.
    fn best(&self) -> Option<K> {
        let least = |one: &(&K, &f64), other: &(&K, &f64)| one.1.total_cmp(other.1);
        self.known.iter().min_by(least).map(|(there, _)| *there)
    }
}

/// What is no more than rounding in the last digits.
fn is_less(one: f64, other: f64) -> bool {
    one < other - 1e-9 * other.abs().max(1.0)
}

/// The least step at which a convex cost stops falling, by halving. Where `goes_on` ends it, the best of the
/// steps looked at; nothing where that is none.
pub fn least_of_convex(
    last: usize,
    cost: &mut Known<'_, usize, f64>,
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<usize> {
    let (mut low, mut high) = (0, last);
    while low < high {
        if !goes_on() {
            return cost.best();
        }
        let middle = (low + high) / 2;
        if is_less(cost.at(middle + 1), cost.at(middle)) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    Some(low)
}

/// From a step on to ever lower cost, in strides that get smaller; of equals the least step. `goes_on` may
/// end it.
pub fn descend(
    from: usize,
    last: usize,
    cost: &mut dyn FnMut(usize) -> f64,
    goes_on: &mut dyn FnMut() -> bool,
) -> usize {
    let mut best = from.min(last);
    let mut least = cost(best);
    let mut stride = 4;
    while stride > 0 {
        let mut moved = false;
        // Upward only where it is cheaper; downward also where it is no dearer.
        for (next, down) in [
            (best.checked_sub(stride), true),
            (Some(best + stride), false),
        ] {
            let Some(next) = next.filter(|next| *next <= last) else {
                continue;
            };
            if !goes_on() {
                return best;
            }
            let found = cost(next);
            if is_less(found, least) || (down && !is_less(least, found)) {
                (best, least, moved) = (next, found, true);
                break;
            }
        }
        if !moved {
            stride /= 2;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn least(last: usize, mut cost: impl FnMut(usize) -> f64) -> (usize, usize) {
        let halved = least_of_convex(last, &mut Known::new(&mut cost), &mut || true);
        (
            halved.unwrap(),
            descend(last / 2, last, &mut cost, &mut || true),
        )
    }

    #[test]
    fn both_find_the_least_and_of_equals_the_first() {
        for target in 0..=40_usize {
            let apart = |step: usize| (step as f64 - target as f64).abs();
            assert_eq!(least(40, apart), (target, target));
        }
        // Flat from 7 on.
        let flat = |step: usize| 7.0 - (step as f64).min(7.0);
        assert_eq!(least(40, flat), (7, 7));
        assert_eq!(least(40, |_| 1.0), (0, 0));
        assert_eq!(least(0, |_| 1.0), (0, 0));
    }

    #[test]
    fn halving_that_is_ended_gives_the_best_of_what_it_saw() {
        let ended = |after: usize| {
            let mut looks = 0;
            let mut cost = |step: usize| (step as f64 - 30.0).abs();
            least_of_convex(40, &mut Known::new(&mut cost), &mut || {
                looks += 1;
                looks <= after
            })
        };
        assert_eq!((ended(0), ended(1), ended(2)), (None, Some(21), Some(30)));
        assert_eq!(ended(9), Some(30));
    }

    #[test]
    fn descent_ends_when_it_is_told() {
        let mut looks = 0;
        let mut goes_on = || {
            looks += 1;
            looks < 3
        };
        let found = descend(30, 40, &mut |step| step as f64, &mut goes_on);
        assert_eq!(found, 22);
    }
}
