//! JSON of a cooling calculated ahead.

use crate::render::cool::left_out;
use crate::report::cool::{CoolAnswer, Course};
use serde::Serialize;

/// `cool --json`.
#[derive(Serialize)]
pub struct Cool {
    forecast: &'static str,
    depth_cm: f64,
    width_cm: Option<f64>,
    from_c: f64,
    fridge_c: f64,
    under: &'static str,
    air: &'static str,
    form: &'static str,
    moisture_wet_basis: f64,
    conductivity_w_per_m_k: f64,
    density_kg_per_m3: f64,
    specific_heat_kj_per_kg_k: f64,
    first_c: f64,
    cold_c: f64,
    slow: JsonCourse,
    quick: JsonCourse,
    deepest_on_a_rack_cm: Option<f64>,
    thickest_in_ice_water_cm: Option<f64>,
    left_out: [&'static str; 3],
    rules: String,
    source: String,
}

#[derive(Serialize)]
struct JsonCourse {
    surface_w_per_m2_k: f64,
    biot: f64,
    minutes_to_first: Option<f64>,
    minutes_to_cold: Option<f64>,
    in_time: bool,
    deepest_cm: Option<f64>,
}

/// With so many places: more would be noise.
fn rounded(value: f64, places: i32) -> f64 {
    let scale = 10f64.powi(places);
    (value * scale).round() / scale
}

fn centimetres(metres: Option<f64>) -> Option<f64> {
    metres.map(|metres| rounded(metres * 100.0, 3))
}

impl From<&Course> for JsonCourse {
    fn from(course: &Course) -> Self {
        let minutes = |seconds: Option<f64>| seconds.map(|seconds| rounded(seconds / 60.0, 1));
        Self {
            surface_w_per_m2_k: course.coefficient,
            biot: rounded(course.biot, 4),
            minutes_to_first: minutes(course.to_first),
            minutes_to_cold: minutes(course.to_cold),
            in_time: course.in_time,
            deepest_cm: centimetres(course.deepest),
        }
    }
}

impl Cool {
    /// From the answer.
    pub fn new(answer: &CoolAnswer) -> Self {
        let request = &answer.request;
        Self {
            forecast: answer.forecast().as_str(),
            depth_cm: rounded(request.depth.centimetres(), 6),
            width_cm: request.width.map(|width| rounded(width.centimetres(), 6)),
            from_c: request.start.degrees_celsius(),
            fridge_c: request.fridge.degrees_celsius(),
            under: request.underside.as_str(),
            air: request.air.as_str(),
            form: request.form.as_str(),
            moisture_wet_basis: answer.moisture.get(),
            conductivity_w_per_m_k: rounded(answer.material.conductivity, 4),
            density_kg_per_m3: rounded(answer.material.density, 1),
            specific_heat_kj_per_kg_k: rounded(answer.material.specific_heat / 1000.0, 4),
            first_c: answer.rules.cooling.first_to.in_celsius().degrees_celsius(),
            cold_c: answer.rules.cold.limit.in_celsius().degrees_celsius(),
            slow: (&answer.slow).into(),
            quick: (&answer.quick).into(),
            deepest_on_a_rack_cm: centimetres(answer.deepest_on_a_rack),
            thickest_in_ice_water_cm: centimetres(answer.thickest_in_ice_water),
            left_out: left_out(answer),
            rules: answer.rules.name.clone(),
            source: answer.rules.cooling.source.clone(),
        }
    }
}
