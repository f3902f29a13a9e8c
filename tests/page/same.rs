//! The page books what the command line books, entry for entry; what is sent twice is booked once.

use crate::house::{House, filled_in, tables, words};
use axum::http::{StatusCode, header};

/// The page's address, the fields of its form, and the same on the command line.
type Act<'a> = (&'a str, &'a [(&'a str, &'a str)], &'a str);

#[test]
fn the_same_acts_by_page_and_by_command_line_give_the_same_tables() {
    let (page, line) = (House::new(), House::new());
    let ada = page.paired("Ada");
    let lot = |house: &House| {
        house.json("shelf")["lots"][0]["lot"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    ada.book(
        "/grain-in/from",
        &[
            ("source", "Alder Lane"),
            ("mash_out_time", "09:30"),
            ("wet", "18.4"),
            ("temp", "4"),
            ("grist", "pale barley malt 100%"),
        ],
    );
    line.draff("--by Ada pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --wet 18.4kg --temp 4C --grist \"pale barley malt 100%\" --place fridge");
    let code = lot(&page);
    assert_eq!(code, lot(&line));
    let acts: [Act; 9] = [
        ("temperature", &[("temp", "3.8")], "probe LOT 3.8C"),
        (
            "sample",
            &[("pan_0", "12.0"), ("wet_0", "112.0"), ("dry_0", "35.4")],
            "moisture LOT --weighing 12.0g,112.0g,35.4g --method oven",
        ),
        (
            "use",
            &[("wet", "2"), ("bake", "bread")],
            "use LOT --wet 2kg --for bread",
        ),
        (
            "freeze",
            &[("wet", "4"), ("wet_unit", "kg")],
            "move LOT --wet 4kg --to freezer",
        ),
        (
            "give",
            &[("wet", "1"), ("wet_unit", "kg"), ("to", "the school")],
            "give LOT --wet 1kg --to \"the school\"",
        ),
        (
            "throw-away",
            &[
                ("wet", "1"),
                ("wet_unit", "kg"),
                ("reason", "dropped"),
                ("ending", "compost"),
            ],
            "discard LOT --wet 1kg --reason dropped --as compost",
        ),
        ("count", &[("found", "10.3")], "count LOT --wet 10.3kg"),
        ("move", &[("to", "ambient")], "move LOT --to ambient"),
        (
            "spoiled",
            &[("found", "sour smell")],
            "probe LOT --spoiled \"sour smell\"",
        ),
    ];
    for (end, typed, command) in acts {
        if end == "move" {
            for house in [&page, &line] {
                house.draff("place add ambient --kind ambient --by Ada");
            }
        }
        ada.book(&format!("/lot/{code}/{end}"), typed);
        line.draff(&format!("--by Ada {}", command.replace("LOT", &code)));
        assert!(tables(&page.book()) == tables(&line.book()), "after {end}");
    }
    // Put right: an entry corrected, another struck.
    let entry = |kind: &str| {
        let log = page.json("log");
        let entries = log["entries"].as_array().unwrap().clone();
        entries.iter().rfind(|entry| entry["kind"] == kind).unwrap()["entry"]
            .as_i64()
            .unwrap()
    };
    let (used, given) = (entry("use"), entry("give"));
    ada.book(
        &format!("/entry/{used}/correct"),
        &[("wet", "1.5"), ("reason", "misread")],
    );
    line.draff(&format!(
        "--by Ada correct {used} --wet 1.5kg --reason misread"
    ));
    ada.book(
        &format!("/entry/{given}/strike"),
        &[("reason", "not fetched")],
    );
    line.draff(&format!("--by Ada strike {given} --reason \"not fetched\""));
    assert!(tables(&page.book()) == tables(&line.book()), "put right");
    page.draff("check");
}

#[test]
fn what_is_sent_twice_is_booked_once() {
    let house = House::new();
    let phone = house.paired("Ada");
    let booked = house.json(
        "pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg",
    );
    let lot = booked["lot"].as_str().unwrap();
    let path = format!("/lot/{lot}/use");
    let fields = phone.form(&path, &[("wet", "1"), ("bake", "bread")]);
    let fields: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, value)| (name.as_str(), value.as_str()))
        .collect();
    let first = phone.post(&path, &fields);
    let again = phone.post(&path, &fields);
    assert_eq!(first.status, StatusCode::SEE_OTHER);
    assert_eq!(again.status, StatusCode::SEE_OTHER);
    assert_eq!(
        first.headers[header::LOCATION],
        again.headers[header::LOCATION]
    );
    assert_eq!(house.json("usage")["usage"].as_array().unwrap().len(), 1);
    // Another act under the same id is no second answer.
    let mut other = fields.clone();
    other.iter_mut().find(|(name, _)| *name == "wet").unwrap().1 = "2";
    let refused = phone.post(&path, &other);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        words(&refused.body).contains("Another act was done under this id"),
        "{}",
        words(&refused.body)
    );
    assert_eq!(house.json("usage")["usage"].as_array().unwrap().len(), 1);
    // A form that was refused keeps its id, and may be sent once more.
    let path = format!("/lot/{lot}/give");
    let refused = phone.fill(
        &path,
        &[("wet", "99"), ("wet_unit", "kg"), ("to", "the school")],
    );
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    let mut fields = filled_in(&refused.body);
    fields.iter_mut().find(|(name, _)| name == "wet").unwrap().1 = "1".to_owned();
    let fields: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, value)| (name.as_str(), value.as_str()))
        .collect();
    assert_eq!(phone.post(&path, &fields).status, StatusCode::SEE_OTHER);
}
