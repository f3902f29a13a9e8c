//! The unit beside a weight: the one in which the weight of the lot is shown.

use crate::house::{House, Visitor, words};

#[track_caller]
fn preset(phone: &Visitor<'_>, path: &str, field: &str) -> String {
    let fields = phone.form(path, &[]);
    let name = format!("{field}_unit");
    let found = fields.into_iter().find(|(known, _)| *known == name);
    found.unwrap_or_else(|| panic!("{path} has no {name}")).1
}

#[test]
fn every_weight_of_a_lot_is_typed_in_the_unit_in_which_it_is_shown() {
    let house = House::new();
    let phone = house.paired("Ada");
    for (wet, unit) in [("2.8kg", "kg"), ("800g", "g")] {
        let lot = house.lot(wet);
        for (end, field) in [
            ("use", "wet"),
            ("throw-away", "wet"),
            ("move", "wet"),
            ("freeze", "wet"),
            ("give", "wet"),
            ("count", "found"),
            ("portion", "each"),
            ("treat", "wet_in"),
            ("treat", "wet_out"),
            ("treat", "water_added"),
        ] {
            let path = format!("/lot/{lot}/{end}");
            assert_eq!(preset(&phone, &path, field), unit, "{end} {wet}");
        }
    }
    // Of an entry it is the unit of what was booked.
    let lot = house.lot("5kg");
    house.draff(&format!("give {lot} --wet 300g --to \"the school\""));
    let log = house.json("log --last 1");
    let path = format!("/entry/{}/correct", log["entries"][0]["entry"]);
    assert_eq!(preset(&phone, &path, "wet"), "g");
    // A number as it is shown is what is booked.
    phone.book(
        &format!("/lot/{lot}/throw-away"),
        &[("wet", "2.8"), ("reason", "dropped")],
    );
    let log = house.json("log --last 1");
    assert_eq!(log["entries"][0]["wet_g"], 2800.0, "{log}");
}

#[test]
fn a_weight_in_a_link_is_shown_in_that_unit() {
    let house = House::new();
    let lot = house.lot("9kg");
    let phone = house.paired("Ada");
    phone.book(&format!("/lot/{lot}/freeze?wet=2750"), &[]);
    let log = house.json("log --last 1");
    assert_eq!(log["entries"][0]["wet_g"], 2750.0, "{log}");
    let fields = phone.form(&format!("/lot/{lot}/freeze?wet=2750"), &[]);
    let value = |name: &str| {
        let found = fields.iter().find(|(known, _)| known == name);
        found.unwrap().1.clone()
    };
    assert_eq!(
        (value("wet"), value("wet_unit")),
        ("2.75".to_owned(), "kg".to_owned())
    );
}

/// 6 loaves take more than a kilogram of this grain, one less.
#[test]
fn grain_of_a_bake_is_asked_for_in_the_unit_in_which_it_is_shown() {
    let house = House::with_pan_loaf();
    let lot = house.lot("10kg");
    for pieces in ["6", "1"] {
        house.draff(&format!(
            "bake add \"Quern pan loaf\" --at \"2026-11-22 16:00\" ready --pieces {pieces} --lot {lot}"
        ));
    }
    let phone = house.paired("Ada");
    for (bake, unit) in [("B-1S", "kg"), ("B-2Q", "g")] {
        let path = format!("/bake/{bake}/done");
        for field in ["used_0", "used_1"] {
            assert_eq!(preset(&phone, &path, field), unit, "{bake} {field}");
        }
        let sheet = house.json(&format!("sheet {bake}"));
        let grams = sheet["draws"][0]["wet_g"].as_f64().unwrap();
        let fields = phone.form(&path, &[]);
        let filled_in = fields.iter().find(|(known, _)| known == "used_0");
        let number: f64 = filled_in.unwrap().1.parse().unwrap();
        let shown = if unit == "kg" {
            number * 1000.0
        } else {
            number
        };
        assert!((shown - grams).abs() < 0.51, "{shown} for {grams}");
    }
}

#[test]
fn a_doubtful_weight_of_grain_in_is_asked_back_once() {
    let house = House::new();
    let phone = house.paired("Ada");
    let faults = |wet: &str| {
        let typed = [
            ("source", "Alder Lane"),
            ("mash_out_time", "09:30"),
            ("wet", wet),
        ];
        let refused = phone.fill("/grain-in/from", &typed);
        assert_eq!(refused.status, 422, "{}", refused.body);
        let faults = refused.body.split("<p class=\"fault\"").skip(1);
        faults
            .map(|rest| words(&format!("<p{}", rest.split("</p>").next().unwrap())))
            .collect::<Vec<_>>()
    };
    let asked = faults("1,234");
    assert_eq!(asked.len(), 1, "{asked:?}");
    assert!(
        asked[0].contains("may be 1.234 or 1234: write which"),
        "{asked:?}"
    );
    assert_eq!(faults(""), ["Error: the weight is missing"]);
}

#[test]
fn a_scale_of_temperatures_is_shown_with_its_sign() {
    let house = House::new();
    let lot = house.lot("2kg");
    let phone = house.paired("Ada");
    let form = phone.page(&format!("/lot/{lot}/temperature"));
    for option in [
        "<option value=\"C\" selected>°C</option>",
        "<option value=\"F\">°F</option>",
    ] {
        assert!(form.contains(option), "{option}: {form}");
    }
}
