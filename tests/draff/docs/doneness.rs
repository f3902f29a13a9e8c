//! `docs/models/doneness.md`: the boiling point at altitudes and what a thermometer tells there.

use super::hold_part;
use draffbook::dough::doneness::{self, Reach};

#[test]
fn the_worked_example_is_computed() {
    let words = |reach: Reach| match reach {
        Reach::Range(low, high) => format!("{low:.1} to {high:.1}"),
        Reach::Never(highest) => format!("no: stays at {highest:.1} or below"),
    };
    let mut table = String::from(
        "| *h*, m | *p*, Pa | boils at, °C | most loaves, °C | dense loaves, °C |\n|---|---|---|---|---|\n",
    );
    for metres in [0.0, 500.0, 1000.0, 1600.0, 2000.0, 3000.0, 4000.0] {
        let core = doneness::core(Some(metres)).unwrap();
        table.push_str(&format!(
            "| {metres} | {:.0} | {:.2} | {} | {} |\n",
            doneness::standard_pressure(metres),
            core.boiling_celsius,
            words(core.most_loaves),
            words(core.dense_loaves)
        ));
    }
    hold_part(
        "models/doneness.md",
        "<!-- example -->",
        "<!-- end -->",
        &table,
    );
}
