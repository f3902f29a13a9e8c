//! Specific heat as a polynomial of temperature, the heat under it, and the way back.

/// `a + b t + d t²` with `t` in °C; kJ/(kg K), or kJ/K once multiplied by a mass in kg.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Curve(pub [f64; 3]);

impl Curve {
    /// A specific heat that is the same at every temperature.
    pub const fn constant(value: f64) -> Self {
        Self([value, 0.0, 0.0])
    }

    /// The value at a temperature.
    pub fn at(self, celsius: f64) -> f64 {
        let [a, b, d] = self.0;
        a + celsius * (b + celsius * d)
    }

    /// The heat from one temperature to another, exactly.
    pub fn heat(self, from: f64, to: f64) -> f64 {
        self.heat_from_zero(to) - self.heat_from_zero(from)
    }

    fn heat_from_zero(self, celsius: f64) -> f64 {
        let [a, b, d] = self.0;
        celsius * (a + celsius * (b / 2.0 + celsius * (d / 3.0)))
    }

    /// The temperature to which `heat` brings what starts at `from`; below `from` if it is
    /// negative.
    ///
    /// Newton's method: the curves bend so little that a few steps reach the last digit. The
    /// tenfold allowance lets it end where an absurd heat was asked for.
    pub fn reached(self, from: f64, heat: f64) -> f64 {
        const STEPS: usize = 50;
        const CLOSE_ENOUGH: f64 = 1e-11;
        let mut celsius = from + heat / self.at(from);
        for _ in 0..STEPS {
            let step = (heat - self.heat(from, celsius)) / self.at(celsius);
            celsius += step;
            if step.abs() < CLOSE_ENOUGH {
                break;
            }
        }
        celsius
    }

    /// This and `times` the other together.
    pub fn plus(self, other: Self, times: f64) -> Self {
        let [a, b, d] = self.0;
        let [other_a, other_b, other_d] = other.0;
        Self([
            a + times * other_a,
            b + times * other_b,
            d + times * other_d,
        ])
    }
}
