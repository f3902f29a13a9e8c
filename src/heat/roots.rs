//! Roots and coefficients of the two series that describe a body cooling from its surface.
//!
//! Slab: ζ tan ζ = Bi. Long cylinder: ζ J₁(ζ) = Bi J₀(ζ). Each root has an interval of its own, found from
//! where the left side changes sign, so bisection cannot miss one or find one twice.

use std::f64::consts::PI;

/// A term of a series in the middle of the body: C e^(−ζ² Fo).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Term {
    pub root: f64,
    pub coefficient: f64,
}

/// Terms of a series. From Fo = 0.01 on the twenty-fifth is below 1e-20.
const TERMS: u32 = 24;

/// Halvings of an interval; each root is then exact to the last digit.
const HALVINGS: u32 = 80;

/// The series of a slab, in the middle or at a face that takes no heat, for a Biot number above 0.
pub(super) fn slab(biot: f64) -> Vec<Term> {
    (0..TERMS)
        .map(|number| {
            let from = f64::from(number) * PI;
            // ζ sin ζ − Bi cos ζ has the roots of ζ tan ζ = Bi and no poles.
            let root = bisect(from, from + PI / 2.0, |z| {
                z * libm::sin(z) - biot * libm::cos(z)
            });
            Term {
                root,
                coefficient: 4.0 * libm::sin(root) / (2.0 * root + libm::sin(2.0 * root)),
            }
        })
        .collect()
}

/// The series of a long cylinder, on its axis, for a Biot number above 0.
pub(super) fn cylinder(biot: f64) -> Vec<Term> {
    let mut from = 0.0;
    (1..=TERMS)
        .map(|number| {
            // J₁ has one zero between nπ and (n + ½)π (Watson, A Treatise on the Theory of Bessel Functions,
            // from memory); between two of its zeros lies one root.
            let near = f64::from(number) * PI;
            let to = bisect(near, near + PI / 2.0, |z| bessel(1, z));
            let root = bisect(from, to, |z| z * bessel(1, z) - biot * bessel(0, z));
            from = to;
            let (j0, j1) = (bessel(0, root), bessel(1, root));
            Term {
                root,
                coefficient: 2.0 / root * j1 / (j0 * j0 + j1 * j1),
            }
        })
        .collect()
}

/// The root of `f` between two moments of opposite sign.
fn bisect(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let rises = f(to) > 0.0;
    let (mut low, mut high) = (from, to);
    for _ in 0..HALVINGS {
        let middle = low.midpoint(high);
        if (f(middle) > 0.0) == rises {
            high = middle;
        } else {
            low = middle;
        }
    }
    low.midpoint(high)
}

/// Points of the sum below. It is exact to rounding while twice as many exceed the argument by some 40; the
/// largest argument is (24 + ½)π, 77.
const POINTS: u32 = 72;

/// Bessel function of the first kind, order 0 or 1, for arguments from 0 to 80.
///
/// Bessel's own integral, (1/π) ∫ cos(n τ − x sin τ) dτ from 0 to π. What is integrated is periodic and
/// smooth, so that the sum over evenly spaced points converges faster than any power.
fn bessel(order: u32, x: f64) -> f64 {
    let sum: f64 = (0..POINTS)
        .map(|point| {
            let angle = (f64::from(point) + 0.5) * PI / f64::from(POINTS);
            libm::cos(f64::from(order) * angle - x * libm::sin(angle))
        })
        .sum();
    sum / f64::from(POINTS)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SciPy 1.x: `for x in (0.5, 2.404825557695773, 10, 40, 77): print(x, scipy.special.j0(x),
    /// scipy.special.j1(x))`.
    #[test]
    fn bessel_functions_are_those_of_scipy() {
        for (x, j0, j1) in [
            (0.5, 0.938469807240813, 0.24226845767487387),
            (
                2.404825557695773,
                -9.586882554916807e-17,
                0.5191474972894666,
            ),
            (10.0, -0.24593576445134832, 0.04347274616886141),
            (40.0, 0.007366890584236951, 0.126038318037585),
            (77.0, 0.062379777089647245, 0.06656064247057167),
        ] {
            assert!((bessel(0, x) - j0).abs() < 1e-14, "J0({x})");
            assert!((bessel(1, x) - j1).abs() < 1e-14, "J1({x})");
        }
    }

    #[test]
    fn every_root_solves_its_equation_and_they_rise() {
        for biot in [1e-6, 0.01, 0.4, 1.0, 7.0, 100.0, 1e5] {
            for (terms, gap) in [(slab(biot), 1.6), (cylinder(biot), 1.6)] {
                assert_eq!(terms.len(), 24);
                assert!(terms.windows(2).all(|two| two[1].root - two[0].root > gap));
            }
            for term in slab(biot) {
                let z = term.root;
                assert!(
                    (z * libm::sin(z) - biot * libm::cos(z)).abs() < 1e-9 * (1.0 + biot),
                    "{biot}"
                );
            }
            for term in cylinder(biot) {
                let z = term.root;
                let miss = z * bessel(1, z) - biot * bessel(0, z);
                assert!(miss.abs() < 1e-9 * (1.0 + biot), "{biot}");
            }
        }
    }

    /// Handbook charts and tables of one-term solutions: ζ₁ and C₁ of a slab and a long cylinder by Biot
    /// number (Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, table of coefficients used in the
    /// one-term approximation; figures from memory). The table prints four decimals.
    #[test]
    fn the_first_terms_are_those_of_the_handbook_table() {
        for (biot, slab_root, slab_c, cylinder_root, cylinder_c) in [
            (0.1, 0.3111, 1.0160, 0.4417, 1.0246),
            (0.5, 0.6533, 1.0701, 0.9408, 1.1143),
            (1.0, 0.8603, 1.1191, 1.2558, 1.2071),
            (2.0, 1.0769, 1.1785, 1.5995, 1.3384),
            (10.0, 1.4289, 1.2620, 2.1795, 1.5677),
            (100.0, 1.5552, 1.2731, 2.3809, 1.6015),
        ] {
            let near = |found: f64, table: f64| (found - table).abs() < 1.5e-4;
            let (flat, round) = (slab(biot)[0], cylinder(biot)[0]);
            assert!(near(flat.root, slab_root), "{biot}: {}", flat.root);
            assert!(
                near(flat.coefficient, slab_c),
                "{biot}: {}",
                flat.coefficient
            );
            assert!(near(round.root, cylinder_root), "{biot}: {}", round.root);
            assert!(
                near(round.coefficient, cylinder_c),
                "{biot}: {}",
                round.coefficient
            );
        }
    }
}
