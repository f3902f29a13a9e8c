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
fn handling_bakes_places_and_settings_by_page_and_by_command_line_give_the_same_tables() {
    let (page, line) = (House::new(), House::new());
    let ada = page.paired("Ada");
    for house in [&page, &line] {
        for source in ["Alder Lane", "Brook"] {
            house.draff(&format!("pickup --source \"{source}\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 20kg --grist \"pale barley malt 100%\""));
        }
        let loaf = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
        house.draff(&format!("formula add {}", loaf.display()));
    }
    let lots = page.json("shelf")["lots"].clone();
    let lots: Vec<String> = lots
        .as_array()
        .unwrap()
        .iter()
        .map(|lot| lot["lot"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(lots, ["ALD-261120-1T", "BRO-261120-12"]);
    let acts: [Act; 11] = [
        (
            "/lot/ALD-261120-1T/treat",
            &[
                ("step", "press"),
                ("wet_in", "10"),
                ("wet_out", "7"),
                ("dry_loss", "100"),
            ],
            "treat ALD-261120-1T --step press --wet-in 10kg --wet-out 7kg --dry-loss 100g",
        ),
        (
            "/lot/BRO-261120-12/portion",
            &[
                ("number", "4"),
                ("each", "500"),
                ("each_unit", "g"),
                ("to", "freezer"),
            ],
            "portion BRO-261120-12 --into 4x500g --to freezer",
        ),
        (
            "/lot/ALD-261120-1T/join",
            &[("with_BRO-261120-12", "1")],
            "join ALD-261120-1T BRO-261120-12",
        ),
        (
            "/book/places/add",
            &[
                ("name", "larder"),
                ("kind", "ambient"),
                ("temp", "18"),
                ("capacity", "30"),
            ],
            "place add larder --kind ambient --temp 18C --capacity 30kg",
        ),
        (
            "/place/larder/change",
            &[("kind", "ambient"), ("temp", "16"), ("capacity", "30")],
            "place change larder --temp 16C",
        ),
        ("/place/larder/close", &[], "place close larder"),
        (
            "/book/settings/tap",
            &[("value", "12C")],
            "settings tap 12C",
        ),
        (
            "/book/sources/rename",
            &[("source", "Brook"), ("name", "Brook End")],
            "source rename Brook --to \"Brook End\"",
        ),
        (
            "/bakes/add",
            &[
                ("at_day", "2026-11-21"),
                ("at_time", "08:00"),
                ("point", "mix"),
                ("pieces", "4"),
                ("piece", "800"),
            ],
            "bake add \"small loaf\" --at \"2026-11-21 08:00\" mix --pieces 4 --piece 800g --firm",
        ),
        (
            "/bake/B-1S/change",
            &[("pieces", "5"), ("note", "for the market")],
            "bake change B-1S --pieces 5 --note \"for the market\"",
        ),
        (
            "/bake/B-1S/drop",
            &[("reason", "no oven")],
            "bake drop B-1S --reason \"no oven\"",
        ),
    ];
    for (path, typed, command) in acts {
        ada.book(path, typed);
        line.draff(&format!("--by Ada {command}"));
        let (page, line) = (tables(&page.book()), tables(&line.book()));
        for (name, rows) in &page {
            assert_eq!(rows, &line[name], "table {name} after {path}");
        }
    }
    page.draff("check");
}

#[test]
fn what_is_sent_twice_is_booked_once() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("10kg");
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
