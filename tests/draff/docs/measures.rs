//! `docs/models/measures.md`: the sets of measures and the published weights.

use super::hold_part;
use draffbook::dough::measures::{DENSITIES, MeasureSet, Vessel};
use uom::si::volume::milliliter;

const PAGE: &str = "models/measures.md";

#[test]
fn the_sets_are_those_of_the_program() {
    let mut table =
        String::from("| set | cup, mL | tablespoon, mL | teaspoon, mL |\n|---|---|---|---|\n");
    for set in MeasureSet::ALL {
        table.push_str(&format!("| `{set}` |"));
        for vessel in Vessel::ALL {
            let exact = format!("{:.11}", set.volume(vessel).get::<milliliter>());
            let exact = exact.trim_end_matches('0').trim_end_matches('.');
            table.push_str(&format!(" {exact} |"));
        }
        table.push('\n');
    }
    hold_part(PAGE, "<!-- sets -->", "<!-- end -->", &table);
}

#[test]
fn the_published_weights_are_those_of_the_program() {
    let mut table = String::from(
        "| for | words in the name | none of | food | NDB | published, US | g/mL |\n|---|---|---|---|---|---|---|\n",
    );
    for row in &DENSITIES {
        let groups: Vec<String> = row.words.iter().map(|any| any.join(" or ")).collect();
        let vessel = match row.vessel {
            Vessel::Cup => "cup",
            Vessel::Tablespoon => "tablespoon",
            Vessel::Teaspoon => "teaspoon",
        };
        table.push_str(&format!(
            "| {} | {} | {} | {} | {} | {vessel} {} g | {:.3} |\n",
            row.sort,
            or_dash(groups.join(", and ")),
            or_dash(row.without.join(", ")),
            row.food,
            row.ndb,
            row.grams,
            row.grams_per_ml()
        ));
    }
    hold_part(PAGE, "<!-- weights -->", "<!-- end -->", &table);
}

fn or_dash(cell: String) -> String {
    if cell.is_empty() {
        "–".to_owned()
    } else {
        cell
    }
}
