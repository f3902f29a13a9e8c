//! The worked example and the tables of `docs/models/cooling.md`.

use super::*;
use crate::heat::properties::wet_grain;
use crate::heat::roots::{cylinder, slab};
use crate::quantity::WetBasis;

const PAGE: &str = include_str!("../../../docs/models/cooling.md");

/// The figure of a `label  value unit` line of the worked example.
fn figure(label: &str) -> String {
    let (_, section) = PAGE.split_once("## Worked example\n").unwrap();
    section
        .lines()
        .find_map(|line| line.strip_prefix(label)?.strip_prefix("  "))
        .unwrap_or_else(|| panic!("no line `{label}`"))
        .trim()
        .to_owned()
}

fn number(label: &str) -> f64 {
    figure(label).split(' ').next().unwrap().parse().unwrap()
}

#[test]
fn the_worked_example_is_what_the_code_says() {
    let moisture = WetBasis::new(number("moisture") / 100.0).unwrap();
    let (start, around) = (number("grain"), number("fridge"));
    let material = Material::of(&wet_grain(moisture), start.midpoint(around));
    let setting = Setting {
        depth: 0.08,
        radius: Some(0.15),
        underside: Underside::Shelf,
        coefficient: number("surface"),
        start,
        around,
    };
    let cooling = setting.cooling(&material);
    let radius_biot = setting.coefficient * 0.15 / material.conductivity;
    let minutes = |celsius| cooling.seconds_until(celsius).unwrap() / 60.0;
    // The strict limits, written out: 21 °C within 2 h, 5 °C within a further 4 h.
    let in_time = |cooling: &Cooling| {
        let (one, two) = (cooling.seconds_until(21.0), cooling.seconds_until(5.0));
        one.is_some_and(|one| one <= 7200.0 && two.is_some_and(|two| two - one <= 14_400.0))
    };
    let depth_term = slab(setting.biot(&material))[0];
    let radius_term = cylinder(radius_biot)[0];
    for (label, expected) in [
        (
            "conductivity",
            format!("{:.3} W/(m K)", material.conductivity),
        ),
        ("density", format!("{:.1} kg/m³", material.density)),
        (
            "specific heat",
            format!("{:.3} kJ/(kg K)", material.specific_heat / 1000.0),
        ),
        ("Bi of the depth", format!("{:.4}", setting.biot(&material))),
        ("Bi of the radius", format!("{radius_biot:.4}")),
        ("first root, depth", format!("{:.4}", depth_term.root)),
        ("first root, radius", format!("{:.4}", radius_term.root)),
        ("to 21 °C", format!("{:.1} min", minutes(21.0))),
        ("to 5 °C", format!("{:.1} min", minutes(5.0))),
        (
            "deepest in time",
            format!(
                "{:.1} mm",
                setting.deepest(&material, in_time).unwrap() * 1000.0
            ),
        ),
    ] {
        assert_eq!(figure(label), expected, "{label}");
    }
    // The sentence below the example: one term of each series, solved for the time by hand.
    let decay = material.diffusivity()
        * (depth_term.root.powi(2) / 0.08_f64.powi(2)
            + radius_term.root.powi(2) / 0.15_f64.powi(2));
    let left = (21.0 - around) / (start - around);
    let one_term =
        libm::log(depth_term.coefficient * radius_term.coefficient / left) / decay / 60.0;
    assert!((one_term / minutes(21.0) - 1.0).abs() < 1e-3, "{one_term}");
}

#[test]
fn the_table_of_the_page_holds_the_constants_of_the_code() {
    for (index, part) in ["water", "protein", "fat", "carbohydrate", "fibre", "ash"]
        .iter()
        .enumerate()
    {
        let row = PAGE
            .lines()
            .find(|line| line.starts_with(&format!("| {part} | ")))
            .unwrap();
        let printed: Vec<f64> = row
            .split(['|', ','])
            .filter_map(|cell| cell.trim().parse().ok())
            .collect();
        let known = [
            properties::DENSITIES[index].0,
            properties::CONDUCTIVITIES[index].0,
        ];
        assert_eq!(printed, known.concat(), "{part}");
    }
    for air in [Air::Still, Air::Moving] {
        let [least, most] = air.coefficients();
        let row = PAGE
            .lines()
            .find(|line| line.starts_with(&format!("| {}", air.as_str())))
            .unwrap();
        assert!(row.ends_with(&format!("| {least} to {most} |")), "{row}");
    }
    assert!(PAGE.contains(&format!(
        "moved now and then | {ICE_WATER_COEFFICIENT} or more |"
    )));
}

/// The table "What is left out" of the page: what following the temperature and air between the grains do to
/// the times, from a numerical solution that is no part of the program. Printed by the script below: seconds
/// to 21 °C and to 5 °C, and how much longer each takes with properties that follow the temperature and with
/// a fifth of the volume air.
#[test]
fn what_is_left_out_is_as_large_as_the_page_says() {
    let printed = [
        [-0.0008, 0.002, -0.188, -0.19],
        [0.001, 0.0105, -0.122, -0.132],
        [0.0091, 0.0288, -0.007, -0.013],
        [0.0149, 0.0366, -0.01, -0.014],
    ];
    let column = |columns: [usize; 2]| -> Vec<f64> {
        printed
            .iter()
            .flat_map(|row| columns.map(|column| row[column]))
            .collect()
    };
    let least = |values: &[f64]| values.iter().copied().fold(f64::INFINITY, f64::min);
    let most = |values: &[f64]| values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (following, airy) = (column([0, 1]), column([2, 3]));
    assert!(PAGE.contains(&format!(
        "from {:.1} % faster to {:.1} % slower",
        -least(&following) * 100.0,
        most(&following) * 100.0
    )));
    // Deep inside only the diffusivity matters.
    let plain = Material::of(&wet_grain(WetBasis::new(0.78).unwrap()), 30.0);
    let slower = plain.diffusivity() / plain.with_voids(VOIDS).diffusivity() - 1.0;
    assert!(PAGE.contains(&format!("up to {:.0} % slower", slower * 100.0)));
    assert!(PAGE.contains(&format!(
        "{:.0} % to {:.0} % faster",
        (-most(&airy) * 100.0).ceil(),
        -least(&airy) * 100.0
    )));
}

// # NumPy and SciPy: what the series leave out. A layer whose properties follow temperature (Choi & Okos), and one
// # with air between the grains (Maxwell's relation for the conductivity, air taken to conduct nothing).
// import numpy as np
// from scipy.integrate import solve_ivp
// D=[(997.18,3.1439e-3,-3.7574e-3),(1329.9,-.5184,0),(925.59,-.41757,0),(1599.1,-.31046,0),(1311.5,-.36589,0),(2423.8,-.28063,0)]
// C=[(4.1762,-9.0864e-5,5.4731e-6),(2.0082,1.2089e-3,-1.3129e-6),(1.9842,1.4733e-3,-4.8008e-6),(1.5488,1.9625e-3,-5.9399e-6),(1.8459,1.8306e-3,-4.6509e-6),(1.0926,1.8896e-3,-3.6817e-6)]
// K=[(5.7109e-1,1.7625e-3,-6.7036e-6),(1.7881e-1,1.1958e-3,-2.7178e-6),(1.8071e-1,-2.7604e-4,-1.7749e-7),(2.0141e-1,1.3874e-3,-4.3312e-6),(1.8331e-1,1.2497e-3,-3.1683e-6),(3.2962e-1,1.4011e-3,-2.9069e-6)]
// X=np.array([.78]+[.22*x for x in (.22,.08,.16,.5,.04)])
// p=lambda P,t:np.array([a+b*t+c*t*t for a,b,c in P])
// def props(t):
//     v=X[:,None]/p(D,t); rho=1/v.sum(0); k=(v*rho*p(K,t)).sum(0); c=(X[:,None]*p(C,t)).sum(0)*1000
//     return k,rho*c
// def run(depth,h,start,around,varying=True,void=0.0,n=200):
//     dx=depth/n; mean=np.full(n,(start+around)/2)
//     def f(t,y):
//         k,rc=props(y if varying else mean)
//         k=k*2*(1-void)/(2+void); rc=rc*(1-void)
//         kk=2*k[1:]*k[:-1]/(k[1:]+k[:-1]); q=kk*np.diff(y)/dx
//         out=(y[-1]-around)/(1/h+dx/2/k[-1])
//         return np.diff(np.concatenate(([0],q,[-out])))/dx/rc
//     ev=[]
//     for T in (21.,5.):
//         e=lambda t,y,T=T:y[0]-T
//         e.direction=-1; ev.append(e)
//     ev[-1].terminal=True
//     s=solve_ivp(f,(0,4e6),np.full(n,float(start)),method='LSODA',lband=1,uband=1,rtol=1e-7,atol=1e-7,events=ev)
//     return [float(e[0]) for e in s.t_events]
// for case in [(.01,5,62,3),(.04,10,62,3),(.02,100,62,1),(.08,25,75,2)]:
//     plain=run(*case,varying=False); print(case,plain,[round(a/b-1,4) for a,b in zip(run(*case),plain)],[round(a/b-1,3) for a,b in zip(run(*case,varying=False,void=.2),plain)])
