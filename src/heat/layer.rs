//! How warm a layer of grain gets in air that a logger measured, on the cautious side.
//!
//! Conduction by finite volumes, with air at both faces. Nobody knows how well the air takes heat nor how much
//! of the layer is air, so every cell takes the larger of two rates: that of grain which warms quickly and that
//! of grain which cools slowly. By the comparison principle the answer lies above that of every layer between
//! the two. Equations, figures and what was compared: `docs/models/grain_in_air.md`.

use super::cooling::{Air, Material, VOIDS};
use super::properties::whole_grain;

/// Temperature of the figures of the grain, °C: a fridge.
const CELSIUS: f64 = 5.0;
/// Widest cell but for its remainder, m, and fewest of them.
const CELL: f64 = 0.0025;
const FEWEST: usize = 4;
/// Longest step over the time in which neighbours even out: a longer one would let a cell overtake them.
const STEP: f64 = 0.4;
/// Wet grain does not freeze above this, °C, and below it these figures do not hold.
const LEAST_AIR: f64 = -1.0;

/// What a cell takes up: one side of what is not known.
#[derive(Debug, Clone, Copy)]
struct Side {
    /// Width of a cell, m.
    cell: f64,
    /// Surface heat transfer coefficient, W/(m² K).
    coefficient: f64,
    /// Conductivity, W/(m K).
    conductivity: f64,
    /// Heat that warms a cubic metre by a kelvin, J/(m³ K).
    capacity: f64,
}

impl Side {
    fn new(half_depth: f64, cells: usize, coefficient: f64, material: Material) -> Self {
        Self {
            cell: half_depth / cells as f64,
            coefficient,
            conductivity: material.conductivity,
            capacity: material.density * material.specific_heat,
        }
    }

    /// Conductance between the middles of two cells, W/(m² K).
    fn between(&self) -> f64 {
        self.conductivity / self.cell
    }

    /// Conductance from the middle of the outermost cell to the air.
    fn at_surface(&self) -> f64 {
        1.0 / (1.0 / self.coefficient + self.cell / (2.0 * self.conductivity))
    }

    /// Cell width squared over the diffusivity, s.
    fn even_out(&self) -> f64 {
        self.cell * self.cell * self.capacity / self.conductivity
    }

    /// Kelvins a second of a cell that stands between two others, or between one and the air.
    fn rate(&self, inner: Option<f64>, own: f64, outer: f64, at_face: bool) -> f64 {
        let outward = if at_face {
            self.at_surface()
        } else {
            self.between()
        };
        let inward = inner.map_or(0.0, |inner| self.between() * (inner - own));
        (inward + outward * (outer - own)) / (self.capacity * self.cell)
    }

    /// The face of the layer.
    fn face(&self, outermost: f64, air: f64) -> f64 {
        let inward = 2.0 * self.between();
        (inward * outermost + self.coefficient * air) / (inward + self.coefficient)
    }
}

/// A layer of grain with air at both faces.
#[derive(Debug, Clone)]
pub struct Layer {
    /// From the middle to a face, °C.
    cells: Vec<f64>,
    next: Vec<f64>,
    quick: Side,
    slow: Side,
}

impl Layer {
    /// All of it at one temperature: it warms like a layer of the depth `thin` and cools like one of `thick`, m.
    pub fn new(thin: f64, thick: f64, celsius: f64) -> Self {
        let (thin, thick) = (thin / 2.0, thick.max(thin) / 2.0);
        let cells = ((thin / CELL + 1e-9).floor() as usize).max(FEWEST);
        let grain = Material::of(&whole_grain(), CELSIUS);
        let [least, most] = Air::Moving.coefficients();
        Self {
            cells: vec![celsius; cells],
            next: vec![celsius; cells],
            quick: Side::new(thin, cells, most, grain.with_voids(VOIDS)),
            slow: Side::new(thick, cells, least, grain),
        }
    }

    /// Lets it stand in air of one temperature, °C, for some seconds.
    pub fn stand(&mut self, air: f64, seconds: f64) {
        let air = air.max(LEAST_AIR);
        let even_out = self.quick.even_out().min(self.slow.even_out());
        let steps = (seconds / (STEP * even_out)).ceil().max(1.0);
        let step = seconds / steps;
        for _ in 0..steps as u64 {
            for index in 0..self.cells.len() {
                let own = self.cells[index];
                let inner = index.checked_sub(1).map(|inner| self.cells[inner]);
                let (outer, at_face) = match self.cells.get(index + 1) {
                    Some(outer) => (*outer, false),
                    None => (air, true),
                };
                let rate = |side: &Side| side.rate(inner, own, outer, at_face);
                self.next[index] = own + step * rate(&self.quick).max(rate(&self.slow));
            }
            std::mem::swap(&mut self.cells, &mut self.next);
        }
    }

    /// The warmest point of it in this air, °C.
    pub fn warmest(&self, air: f64) -> f64 {
        let air = air.max(LEAST_AIR);
        let outermost = self.cells.last().copied().unwrap_or(air);
        let faces = [&self.quick, &self.slow].map(|side| side.face(outermost, air));
        self.cells
            .iter()
            .copied()
            .chain(faces)
            .fold(f64::MIN, f64::max)
    }
}

#[cfg(test)]
mod tests;
