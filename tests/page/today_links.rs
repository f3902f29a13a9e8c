//! Each line of Today opens the form that does what its words say.

use crate::house::{House, words};

/// Grain whose cooling nobody measured: ask while there is time, then throw it away.
#[test]
fn a_lot_to_throw_away_leads_to_the_form_that_throws_it_away() {
    let house = House::new();
    let booked =
        house.json("pickup --source \"Alder Lane\" --brewed today --mash-out 05:30 --wet 10kg");
    let lot = booked["lot"].as_str().unwrap();
    let phone = house.paired("Ada");
    let cooled = format!("href=\"/lot/{lot}/cooled\"");
    let throw_away = format!("href=\"/lot/{lot}/throw-away\"");
    let today = phone.page("/");
    assert!(words(&today).contains("keep it only if somebody saw all of it"));
    assert!(today.contains(&cooled), "{today}");
    house.at("2026-11-20T18:00:00Z");
    for page in ["/".to_owned(), format!("/lot/{lot}")] {
        let page = phone.page(&page);
        assert!(
            words(&page).contains("Keep it only if somebody saw"),
            "{page}"
        );
        assert!(page.contains(&throw_away), "{page}");
        assert!(!page.contains(&cooled), "{page}");
    }
    // The exception stays within reach, in words.
    let form = phone.page(&format!("/lot/{lot}/throw-away"));
    assert!(form.contains(&cooled), "{form}");
    assert!(
        words(&form).contains("Somebody watched it cool"),
        "{}",
        words(&form)
    );
    assert!(
        form.contains("name=\"reason\"") && form.contains("value=\"unknown\""),
        "{form}"
    );
}

#[test]
fn a_job_of_drying_opens_its_form_filled_in() {
    let house = House::new();
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let form = phone.page(&format!("/lot/{lot}/treat?step=dry&wet=2500"));
    assert!(
        form.contains("<option value=\"dry\" selected>dry</option>"),
        "{form}"
    );
    let filled = crate::house::filled_in(&form);
    let field = |name: &str| {
        let found = filled.iter().find(|(known, _)| known == name);
        found.map(|(_, value)| value.as_str())
    };
    assert_eq!(field("wet_in"), Some("2.5"));
    assert_eq!(field("wet_in_unit"), Some("kg"));
}
