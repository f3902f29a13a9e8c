//! The layer against a finer numerical solution, and what must hold for any air.

use super::*;
use proptest::prelude::*;

fn grain() -> Material {
    Material::of(&whole_grain(), CELSIUS)
}

/// One tray by finite volumes, with one coefficient and one material: a textbook scheme of its own, with cells of
/// half a millimetre or less. Gives the warmest point whenever `stand` is over.
struct Tray {
    cells: Vec<f64>,
    coefficient: f64,
    grain: Material,
    width: f64,
}

impl Tray {
    fn new(depth: f64, coefficient: f64, grain: Material, celsius: f64) -> Self {
        let cells = ((depth / 2.0 / 0.0005).round() as usize).max(10);
        Self {
            cells: vec![celsius; cells],
            coefficient,
            grain,
            width: depth / 2.0 / cells as f64,
        }
    }

    fn stand(&mut self, air: f64, seconds: f64) {
        let stable = 0.4 * self.width * self.width / self.grain.diffusivity();
        let steps = (seconds / stable).ceil();
        let number = self.grain.diffusivity() * seconds / steps / (self.width * self.width);
        let biot = self.coefficient * self.width / self.grain.conductivity;
        for _ in 0..steps as usize {
            let before = self.cells.clone();
            let last = before.len() - 1;
            for (index, cell) in self.cells.iter_mut().enumerate() {
                let inner = before[index.saturating_sub(1)];
                let outward = if index == last {
                    (air - before[index]) * biot / (1.0 + biot / 2.0)
                } else {
                    before[index + 1] - before[index]
                };
                *cell += number * (inner - before[index] + outward);
            }
        }
    }

    fn warmest(&self, air: f64) -> f64 {
        let biot = self.coefficient * self.width / self.grain.conductivity;
        let outermost = self.cells[self.cells.len() - 1];
        let face = (2.0 * outermost + biot * air) / (2.0 + biot);
        self.cells.iter().copied().fold(face, f64::max)
    }
}

/// Every tray that the model stands for.
fn trays(depth: f64, celsius: f64) -> Vec<Tray> {
    let mut found = Vec::new();
    for coefficient in [10.0, 25.0] {
        for grain in [grain(), grain().with_voids(VOIDS)] {
            found.push(Tray::new(depth, coefficient, grain, celsius));
        }
    }
    found
}

/// What was seen: the most by which a tray came out warmer than the model, and the model above the warmest tray.
fn compare(depth: f64, start: f64, air: &[(f64, f64)]) -> (f64, f64) {
    let mut layer = Layer::new(depth, depth, start);
    let mut trays = trays(depth, start);
    let (mut milder, mut above) = (f64::MIN, 0.0_f64);
    for (celsius, seconds) in air {
        layer.stand(*celsius, *seconds);
        let found = layer.warmest(*celsius);
        let warmest = trays
            .iter_mut()
            .map(|tray| {
                tray.stand(*celsius, *seconds);
                tray.warmest(*celsius)
            })
            .fold(f64::MIN, f64::max);
        milder = milder.max(warmest - found);
        above = above.max(found - warmest);
    }
    (milder, above)
}

#[test]
fn no_tray_comes_out_warmer() {
    let minutes = |celsius: f64, minutes: f64| (celsius, minutes * 60.0);
    for depth in [0.004, 0.01, 0.02, 0.035, 0.1] {
        for (name, air) in [
            ("step", vec![minutes(20.0, 5.0); 60]),
            (
                "pulses",
                [minutes(8.0, 10.0), minutes(3.0, 20.0)].repeat(20),
            ),
            (
                "long",
                [vec![minutes(12.0, 30.0); 8], vec![minutes(2.0, 30.0); 20]].concat(),
            ),
        ] {
            let (milder, above) = compare(depth, 3.0, &air);
            assert!(milder < 1e-4, "{depth} {name}: {milder}");
            assert!(above < 2.0, "{depth} {name}: {above}");
        }
    }
}

/// The worked example and the figures of `docs/models/grain_in_air.md`.
#[test]
fn the_page_is_what_the_code_says() {
    const PAGE: &str = include_str!("../../../docs/models/grain_in_air.md");
    let (_, table) = PAGE
        .split_once("<!-- layer: computed by the test -->")
        .unwrap();
    let (table, _) = table.split_once("<!-- end of layer -->").unwrap();
    let mut layer = Layer::new(0.02, 0.02, 3.5);
    let mut rows = 0;
    for row in table.lines().filter(|line| line.contains(" min |")) {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        let air: f64 = cells[1].trim_end_matches(" °C").parse().unwrap();
        layer.stand(air, 600.0);
        rows += 1;
        assert_eq!(cells[0], format!("{} min", rows * 10));
        assert_eq!(cells[2], format!("{:.3} °C", layer.warmest(air)));
    }
    assert_eq!(rows, 7);
    let (quick, slow) = (&layer.quick, &layer.slow);
    for line in [
        format!(
            "| h, W/(m² K) | quick {}, slow {} |",
            quick.coefficient, slow.coefficient
        ),
        format!(
            "| k, W/(m K) | quick {:.5}, slow {:.5} |",
            quick.conductivity, slow.conductivity
        ),
        format!(
            "| ρ c, J/(m³ K) | quick {:.0}, slow {:.0} |",
            quick.capacity, slow.capacity
        ),
    ] {
        assert!(PAGE.contains(&line), "{line}");
    }
    // One reading among others: ten minutes of it where a logger reads every five, an hour where it reads every thirty.
    for (minutes, told) in [(10.0, "4.78 °C"), (60.0, "6.0 °C")] {
        let mut layer = Layer::new(0.02, 0.02, 3.5);
        layer.stand(6.2, minutes * 60.0);
        let found = layer.warmest(6.2);
        assert!(
            [format!("{found:.2} °C"), format!("{found:.1} °C")].contains(&told.to_owned()),
            "{found}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Hotter air at any time gives no colder layer, then or later.
    #[test]
    fn more_heat_gives_no_colder_layer(
        air in prop::collection::vec((0.0..12.0_f64, 60.0..3600.0_f64), 1..12),
        at in 0_usize..12,
        more in 0.0..8.0_f64,
        depth in 0.004..0.1_f64,
    ) {
        let mut hotter = air.clone();
        let at = at % air.len();
        hotter[at].0 += more;
        let (mut one, mut other) = (Layer::new(depth, depth, 4.0), Layer::new(depth, depth, 4.0));
        for ((cold, seconds), (hot, _)) in air.iter().zip(&hotter) {
            one.stand(*cold, *seconds);
            other.stand(*hot, *seconds);
            prop_assert!(other.warmest(*hot) >= one.warmest(*cold) - 1e-12);
        }
    }

    #[test]
    fn no_tray_comes_out_warmer_in_any_air(
        air in prop::collection::vec((0.0..15.0_f64, 60.0..3600.0_f64), 1..10),
        depth in 0.004..0.06_f64,
        start in 0.0..15.0_f64,
    ) {
        let (milder, _) = compare(depth, start, &air);
        prop_assert!(milder < 5e-4, "{milder}");
    }
}
