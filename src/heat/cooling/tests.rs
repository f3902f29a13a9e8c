//! The series against a numerical solution, and what must hold for any layer.

use super::*;
use crate::heat::properties::{PURE_WATER, wet_grain};
use crate::quantity::WetBasis;
use Underside::{Rack, Shelf};
use proptest::prelude::*;

const PLAIN: Material = Material {
    conductivity: 0.54,
    density: 1050.0,
    specific_heat: 3650.0,
};

// SciPy 1.17.1, NumPy 2.4.6. The script:
//
// # NumPy and SciPy: heat conduction by finite volumes, stiff solver, no series.
// import numpy as np
// from scipy.integrate import solve_ivp
// from scipy.sparse import diags, identity, kron, csc_matrix
//
// K, RHO, C = 0.54, 1050.0, 3650.0   # W/(m K), kg/m3, J/(kg K)
//
// def chain(widths, areas, volumes, h_left, h_right, k):
//     """Conductances between cells of one direction and to the air, per volume."""
//     n = len(volumes)
//     a = np.zeros((n, n)); air = np.zeros(n)
//     for i in range(n - 1):
//         g = areas[i + 1] * k / ((widths[i] + widths[i + 1]) / 2)
//         a[i, i] -= g; a[i, i + 1] += g; a[i + 1, i + 1] -= g; a[i + 1, i] += g
//     for i, h, area in ((0, h_left, areas[0]), (n - 1, h_right, areas[-1])):
//         if h > 0:
//             g = area / (1 / h + widths[i] / 2 / k)
//             a[i, i] -= g; air[i] += g
//     return a / volumes[:, None], air / volumes
//
// def times(depth, radius, h, rack, start, around, targets, n=120):
//     dz = np.full(n, depth / n)
//     az, airz = chain(dz, np.ones(n + 1), dz, h if rack else 0.0, h, K)
//     if radius is None:
//         m, air = csc_matrix(az), airz
//         probe = n // 2 if rack else 0
//     else:
//         r = np.linspace(0, radius, n + 1)
//         dr = np.diff(r)
//         ar, airr = chain(dr, 2 * np.pi * r, np.pi * (r[1:]**2 - r[:-1]**2), 0.0, h, K)
//         m = csc_matrix(kron(csc_matrix(az), identity(n)) + kron(identity(n), csc_matrix(ar)))
//         air = (airz[:, None] + airr[None, :]).ravel()
//         probe = (n // 2 if rack else 0) * n
//     m = m / (RHO * C); air = air / (RHO * C)
//     events = []
//     for target in targets:
//         def event(t, y, target=target): return y[probe] - target
//         event.direction = -1
//         events.append(event)
//     events[-1].terminal = True
//     found = solve_ivp(lambda t, y: m @ y + air * around, (0, 4e6), np.full(m.shape[0], float(start)),
//                       method='BDF', jac=m, rtol=1e-7, atol=1e-7, events=events)
//     return [e[0] for e in found.t_events]
//
// for depth, radius, h, rack, start, around in [
//     (0.02, None, 5, 0, 62, 3), (0.02, None, 10, 1, 62, 3), (0.08, None, 5, 0, 62, 3), (0.08, None, 10, 1, 62, 3),
//     (0.05, None, 25, 1, 75, 1), (0.01, None, 25, 1, 65, 4), (0.30, None, 10, 1, 60, 2), (0.04, None, 500, 1, 62, 1),
//     (0.08, 0.15, 5, 0, 62, 3), (0.08, 0.15, 10, 1, 62, 3), (0.20, 0.15, 10, 1, 65, 3), (0.35, 0.12, 25, 0, 70, 2),
//     (0.20, 0.10, 500, 1, 62, 1), (0.02, 0.05, 10, 1, 62, 3),
// ]:
//     one, two = times(depth, radius, h, rack, start, around, (21.0, 5.0))
//     print(f"({depth}, {radius and f'Some({radius})'}, {h}.0, {'Rack' if rack else 'Shelf'}, {start}.0, {around}.0, {one:.1f}, {two:.1f}),")
//
/// Depth and radius in m, W/(m² K), underside, start and surroundings in °C, seconds to 21 °C and to 5 °C.
type Case = (f64, Option<f64>, f64, Underside, f64, f64, f64, f64);

#[rustfmt::skip]
const NUMERICAL: [Case; 14] = [
    (0.02, None, 5.0, Shelf, 62.0, 3.0, 19800.5, 55587.8),
    (0.02, None, 10.0, Rack, 62.0, 3.0, 4950.1, 13897.0),
    (0.08, None, 5.0, Shelf, 62.0, 3.0, 98579.7, 267966.9),
    (0.08, None, 10.0, Rack, 62.0, 3.0, 24645.0, 66992.6),
    (0.05, None, 25.0, Rack, 75.0, 1.0, 7729.8, 16419.4),
    (0.01, None, 25.0, Rack, 65.0, 4.0, 1084.9, 3426.6),
    (0.3, None, 10.0, Rack, 60.0, 2.0, 151480.2, 366208.9),
    (0.04, None, 500.0, Rack, 62.0, 1.0, 1729.9, 3786.7),
    (0.08, Some(0.15), 5.0, Shelf, 62.0, 3.0, 59184.5, 145149.0),
    (0.08, Some(0.15), 10.0, Rack, 62.0, 3.0, 22117.8, 53595.8),
    (0.2, Some(0.15), 10.0, Rack, 65.0, 3.0, 49619.9, 112629.9),
    (0.35, Some(0.12), 25.0, Shelf, 70.0, 2.0, 42115.4, 87220.4),
    (0.2, Some(0.1), 500.0, Rack, 62.0, 1.0, 15999.7, 30208.3),
    (0.02, Some(0.05), 10.0, Rack, 62.0, 3.0, 4212.6, 10905.3),
];

/// Finite volumes of 1/120 of the depth are themselves exact to about one part in ten thousand.
#[test]
fn the_series_agree_with_a_numerical_solution() {
    for (depth, radius, coefficient, underside, start, around, to_21, to_5) in NUMERICAL {
        let setting = Setting {
            depth,
            radius,
            underside,
            coefficient,
            start,
            around,
        };
        let cooling = setting.cooling(&PLAIN);
        for (celsius, expected) in [(21.0, to_21), (5.0, to_5)] {
            let found = cooling.seconds_until(celsius).unwrap();
            assert!(
                (found / expected - 1.0).abs() < 1e-3,
                "{setting:?} to {celsius}: {found}, not {expected}"
            );
        }
    }
}

/// A thin layer in still air is of one temperature throughout and cools like a lump: e^(−h t / (ρ c L)).
#[test]
fn a_thin_layer_cools_like_a_lump() {
    let setting = Setting {
        depth: 0.001,
        radius: None,
        underside: Shelf,
        coefficient: 5.0,
        start: 62.0,
        around: 3.0,
    };
    let lump = PLAIN.density * PLAIN.specific_heat * 0.001 / 5.0 * libm::log(59.0 / 18.0);
    let found = setting.cooling(&PLAIN).seconds_until(21.0).unwrap();
    assert!((found / lump - 1.0).abs() < 0.005, "{found}, not {lump}");
}

#[test]
fn surroundings_that_are_not_colder_never_get_there() {
    let setting = Setting {
        depth: 0.05,
        radius: Some(0.1),
        underside: Rack,
        coefficient: 10.0,
        start: 62.0,
        around: 5.0,
    };
    let cooling = setting.cooling(&PLAIN);
    assert!(cooling.seconds_until(21.0).is_some());
    assert_eq!(cooling.seconds_until(5.0), None);
    assert_eq!(cooling.seconds_until(62.0), Some(0.0));
}

/// Water at 20 °C, 40 °C and 60 °C: 0.5980, 0.6285 and 0.6510 W/(m K); 998.2, 992.2 and 983.2 kg/m³ (IAPWS,
/// as CoolProp 7 computes them). The fits are within 1.5 % and 0.3 %.
#[test]
fn water_has_the_properties_of_water() {
    for (celsius, conductivity, density) in [
        (20.0, 0.5980, 998.2),
        (40.0, 0.6285, 992.2),
        (60.0, 0.6510, 983.2),
    ] {
        let water = Material::of(&PURE_WATER, celsius);
        assert!(
            (water.conductivity / conductivity - 1.0).abs() < 0.015,
            "{water:?}"
        );
        assert!((water.density / density - 1.0).abs() < 0.003, "{water:?}");
    }
}

/// 77 % wet grain has 1056 kg/m³ and 3.641 kJ/(kg K) at 20 °C: arithmetic on Choi & Okos 1986 done elsewhere.
#[test]
fn wet_grain_is_mostly_water() {
    let grain = Material::of(&wet_grain(WetBasis::new(0.77).unwrap()), 20.0);
    assert!((grain.density - 1056.0).abs() < 1.0, "{grain:?}");
    assert!((grain.specific_heat - 3641.0).abs() < 1.0, "{grain:?}");
    assert!((0.50..0.56).contains(&grain.conductivity), "{grain:?}");
}

fn any_setting() -> impl Strategy<Value = Setting> {
    (
        0.002f64..0.5,
        prop::option::of(0.03f64..0.5),
        prop_oneof![Just(Shelf), Just(Rack)],
        2.0f64..600.0,
        30.0f64..90.0,
        -1.0f64..4.5,
    )
        .prop_map(
            |(depth, radius, underside, coefficient, start, around)| Setting {
                depth,
                radius,
                underside,
                coefficient,
                start,
                around,
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn it_only_ever_gets_colder(setting in any_setting(), seconds in 0.0f64..1e6, more in 1.0f64..1e5) {
        let cooling = setting.cooling(&PLAIN);
        let (now, later) = (cooling.middle_after(seconds), cooling.middle_after(seconds + more));
        prop_assert!(later <= now + 1e-9, "{now} then {later}");
        prop_assert!(now <= setting.start + 1e-9 && later >= setting.around - 1e-9);
    }

    #[test]
    fn deeper_wider_and_stiller_take_longer(setting in any_setting(), factor in 1.05f64..2.0) {
        let time = |setting: Setting| setting.cooling(&PLAIN).seconds_until(21.0).unwrap_or(f64::INFINITY);
        let plain = time(setting);
        let deeper = Setting { depth: setting.depth * factor, ..setting };
        let wider = Setting { radius: setting.radius.map(|radius| radius * factor), ..setting };
        let stiller = Setting { coefficient: setting.coefficient / factor, ..setting };
        for slower in [deeper, wider, stiller, Setting { underside: Shelf, ..setting }] {
            prop_assert!(time(slower) >= plain - 0.02, "{slower:?}");
        }
    }

    #[test]
    fn the_deepest_layer_is_where_it_begins_to_fail(setting in any_setting(), hours in 0.2f64..8.0) {
        let in_time = |cooling: &Cooling| {
            cooling.seconds_until(21.0).is_some_and(|seconds| seconds <= hours * 3600.0)
        };
        let at = |depth: f64| in_time(&Setting { depth, ..setting }.cooling(&PLAIN));
        match setting.deepest(&PLAIN, in_time) {
            None => prop_assert!(!at(THINNEST)),
            Some(deepest) => {
                prop_assert!(at(deepest));
                prop_assert!(deepest >= DEEPEST || !at(deepest + 2e-6));
            }
        }
    }
}
