//! A tub that has to be shown cold in time is good so far, on every page and on its ticket.

use crate::house::{House, words};

#[test]
fn a_warm_tub_is_good_so_far_and_its_ticket_asks_for_its_temperature() {
    let house = House::new();
    let booked = house.json(
        "pickup --source \"Alder Lane\" --brewed today --mash-out 09:30 --temp 50C --wet 5kg",
    );
    let lot = booked["lot"].as_str().unwrap();
    let phone = house.paired("Ada");
    for path in ["/shelf", &format!("/lot/{lot}"), &format!("/lot/{lot}/use")] {
        let page = words(&phone.page(path));
        assert!(page.contains("✓ good so far"), "{path}: {page}");
    }
    let shown = words(&phone.page("/shelf"));
    assert!(shown.contains("take its temperature by"), "{shown}");
    let on_page = words(&phone.page(&format!("/lot/{lot}/ticket")));
    let to_hang = words(&phone.page(&format!("/lot/{lot}/ticket/printed")));
    let by_command = house.draff(&format!("ticket {lot}"));
    for ticket in [on_page, to_hang, by_command] {
        assert!(
            ticket.contains("Take its temperature by") && ticket.contains("else throw it away"),
            "{ticket}"
        );
        assert!(!ticket.contains("Use by"), "{ticket}");
    }
    // Shown cold in time, it has a date.
    house.at("2026-11-20T11:20:00Z");
    house.draff(&format!("probe {lot} 4C"));
    let page = words(&phone.page(&format!("/lot/{lot}")));
    assert!(
        page.contains("✓ good") && !page.contains("good so far"),
        "{page}"
    );
    assert!(house.draff(&format!("ticket {lot}")).contains("Use by"));
}
