//! Commands that warnings name are links on the page.

use crate::house::{House, words};
use axum::http::{StatusCode, header};

#[test]
fn a_warning_leads_to_the_act_and_names_no_command() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("6kg");
    let give = || {
        phone.book(
            &format!("/lot/{lot}/give"),
            &[("wet", "1"), ("to", "Thornbury farm")],
        )
    };
    give();
    let told = give();
    assert!(words(&told).contains("if it was typed twice"), "{told}");
    let link = told.split("if it was typed twice").nth(1).unwrap();
    assert!(
        link.trim_start_matches(", ")
            .starts_with("<a href=\"/entry/"),
        "{link}"
    );
    assert!(!words(&told).contains("draff "), "{}", words(&told));
}

#[test]
fn the_moisture_of_a_joined_lot_leads_to_the_lot_that_holds_its_grain() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lots = [house.lot("4kg"), house.lot("5kg")];
    let joined = house.json(&format!("join {} {}", lots[0], lots[1]));
    let link = format!(
        "<a href=\"/lot/{}/moisture\">",
        joined["lot"].as_str().unwrap()
    );
    let page = phone.page(&format!("/lot/{}/moisture", lots[0]));
    assert!(page.contains(&link), "{page}");
    assert!(!words(&page).contains("draff "), "{page}");
}

/// A plan that keeps promises, with grain for no dough, a bake after its days and one that should have been mixed.
#[test]
fn a_plan_and_an_amount_to_fetch_name_no_command() {
    let house = House::new();
    let phone = house.paired("Ada");
    house.lot("10kg");
    house.draff("pickup --source \"Alder Lane\" --brewed today --mash-out 05:30 --wet 3kg");
    let loaf = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", loaf.display()));
    for at in ["2026-11-20 12:00", "2026-11-21 08:00", "2026-12-20 08:00"] {
        house.draff(&format!("bake add \"small loaf\" --at \"{at}\" mix"));
    }
    house.draff("plan --accept");
    house.at("2026-11-20T14:00:00Z");
    for path in ["/plan", "/plan/fetch"] {
        let asked = phone.fill(path, &[]);
        assert_eq!(asked.status, StatusCode::SEE_OTHER, "{}", asked.body);
        let found = asked.headers[header::LOCATION].to_str().unwrap().to_owned();
        let page = loop {
            let page = phone.get(&found);
            if page.headers.get(header::REFRESH).is_none() {
                break words(&page.body);
            }
        };
        assert!(page.contains("after these days"), "{page}");
        assert!(page.contains("left out: say under Bakes"), "{page}");
        for word in ["draff ", "--", "`"] {
            assert!(!page.contains(word), "{word}: {page}");
        }
    }
}
