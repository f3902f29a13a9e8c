//! Grain that may not be used, on pages about something else than its verdict.

use crate::house::{House, words};

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn nobody_is_advised_to_test_the_moisture_of_grain_that_may_not_be_used() {
    let (house, lot) = House::with_a_bake();
    let phone = house.paired("Ada");
    let path = format!("/lot/{lot}/moisture");
    let good = phone.page(&path);
    assert!(good.contains("/sample\"") && words(&good).contains("Worth"));
    house.at("2026-11-28T10:00:00Z");
    let unknown = house.json("pickup --source Brook --brewed today --mash-out 07:30 --wet 3kg");
    let unknown = unknown["lot"].as_str().unwrap();
    for (lot, shown, said) in [
        (&*lot, "✕ past", "throw it away, no test changes that"),
        (
            unknown,
            "? unknown",
            "a test of its moisture does not change that",
        ),
    ] {
        let page = phone.page(&format!("/lot/{lot}/moisture"));
        let told = words(&page);
        assert!(told.contains(shown) && told.contains(said), "{told}");
        assert!(
            !told.contains("Worth") && !page.contains("/sample\""),
            "{page}"
        );
        let by_command = one_line(&house.draff(&format!("moisture {lot} --why")));
        assert!(by_command.contains(said), "{by_command}");
        assert!(!by_command.contains("Worth"), "{by_command}");
    }
    let plain = one_line(&house.draff(&format!("moisture {lot}")));
    assert!(plain.contains("Verdict past,"), "{plain}");
    for advice in ["would narrow", "Enough", "Microwave"] {
        assert!(!plain.contains(advice), "{plain}");
    }
    let page = phone.page(&path);
    assert!(
        page.contains(&format!("href=\"/lot/{lot}/throw-away\"")),
        "{page}"
    );
}
