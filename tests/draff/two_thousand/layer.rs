//! The layer of docs/models/grain_in_air.md, with the figures that stand there: 2 cm of grain with air at both faces.
//!
//! It shares nothing with the program but that page.

use super::clock::Minute;

const CELLS: usize = 4;
const WIDTH: f64 = 0.01 / CELLS as f64;

/// Coefficient in W/(m² K), conductivity in W/(m K) and heat of a volume in J/(m³ K).
struct Side(f64, f64, f64);

const QUICK: Side = Side(25.0, 0.37259, 3_088_995.0);
const SLOW: Side = Side(10.0, 0.51231, 3_861_244.0);

impl Side {
    fn flow(&self, from: f64, to: f64) -> f64 {
        self.1 / WIDTH * (from - to)
    }

    fn flux_at_surface(&self, air: f64, outermost: f64) -> f64 {
        (air - outermost) / (1.0 / self.0 + WIDTH / (2.0 * self.1))
    }

    /// Kelvins a second of every cell, the middle first.
    fn rates(&self, cells: &[f64; CELLS], air: f64) -> [f64; CELLS] {
        std::array::from_fn(|index| {
            let inner = if index == 0 {
                0.0
            } else {
                self.flow(cells[index - 1], cells[index])
            };
            let outer = if index == CELLS - 1 {
                self.flux_at_surface(air, cells[index])
            } else {
                self.flow(cells[index + 1], cells[index])
            };
            (inner + outer) / (self.2 * WIDTH)
        })
    }

    fn face(&self, air: f64, outermost: f64) -> f64 {
        let inside = 2.0 * self.1 / WIDTH;
        (inside * outermost + self.0 * air) / (inside + self.0)
    }
}

/// What counts at each reading of air around a stay that begins at a moment and goes on to its end, in thousandths of a degree.
pub fn in_air(air: &[(Minute, i32)], came: Minute) -> Vec<(Minute, i32)> {
    let mut cells = [0.0; CELLS];
    let mut warmest = f64::MIN;
    let mut found = Vec::new();
    for (index, (at, read)) in air.iter().enumerate() {
        let near = |other: &&(Minute, i32)| (other.0 - at).abs() <= 4 * 60;
        let last = index.checked_sub(1).map(|last| &air[last]).filter(near);
        if let Some((then, before)) = last {
            let celsius = f64::from(*read.max(before)) / 1000.0;
            let seconds = ((at - then) * 60) as f64;
            let even_out = |side: &Side| WIDTH * WIDTH * side.2 / side.1;
            let steps = (seconds / (0.4 * even_out(&QUICK).min(even_out(&SLOW)))).ceil();
            for _ in 0..steps as u32 {
                let (quick, slow) = (QUICK.rates(&cells, celsius), SLOW.rates(&cells, celsius));
                for (cell, (quick, slow)) in cells.iter_mut().zip(quick.into_iter().zip(slow)) {
                    *cell += seconds / steps * quick.max(slow);
                }
            }
            let faces = [QUICK, SLOW].map(|side| side.face(celsius, cells[CELLS - 1]));
            warmest = cells.iter().chain(&faces).copied().fold(f64::MIN, f64::max);
        } else {
            let next = air.get(index + 1).filter(near);
            let higher = next.map_or(*read, |(_, next)| *read.max(next));
            warmest = warmest.max(f64::from(higher) / 1000.0);
            cells = [warmest; CELLS];
        }
        found.push((*at, (warmest * 1000.0).round() as i32));
        // Read before the grain came, with a gap after it.
        if at + 4 * 60 <= came {
            warmest = f64::MIN;
        }
    }
    found
}
