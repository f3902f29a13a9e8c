//! Grain that is kept hot in a place with a logger.

use crate::env::Kitchen;
use crate::logger::logged;

/// A tub that was hot when it came at 10:00 and ten hours later, in a hot-hold with these files; its code.
fn held(files: &[(&str, usize)]) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-08T10:00:00Z");
    kitchen.ok("place add bain --kind hot-hold --temp 65C --at 2026-11-01");
    let lot =
        kitchen.pickup("--brewed 2026-11-08 --mash-out 09:00 --temp 66C --place bain --wet 5kg");
    kitchen.at("2026-11-08T20:00:00Z");
    kitchen.ok(&format!("probe {lot} 65C"));
    for (from, readings) in files {
        read_in(&kitchen, from, *readings);
    }
    (kitchen, lot)
}

fn read_in(kitchen: &Kitchen, from: &str, readings: usize) {
    kitchen.file("bain.csv", logged(from, 60, readings, |_| 66.0));
    kitchen.ok("readings bain --csv bain.csv");
}

#[test]
fn a_file_after_a_gap_leaves_grain_that_was_kept_hot_unknown_until_the_gap_is_covered() {
    let (morning, late) = (("2026-11-08T10:00:00Z", 2), ("2026-11-08T17:00:00Z", 1));
    let some: [&[(&str, usize)]; 3] = [&[], &[morning], &[late]];
    for files in some {
        let (kitchen, lot) = held(files);
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good", "{files:?}");
    }
    for files in [[morning, late], [late, morning]] {
        let (kitchen, lot) = held(&files);
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "unknown", "{files:?}");
        kitchen.refused(1, &format!("use {lot} 1kg --for buns"));
        read_in(&kitchen, "2026-11-08T11:00:00Z", 7);
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good", "{files:?}");
    }
}

#[test]
fn a_hot_hold_that_is_stated_as_warm_as_before_costs_its_grain_no_time() {
    let until = |statement: Option<&str>| {
        let (kitchen, lot) = held(&[]);
        if let Some(options) = statement {
            kitchen.ok(&format!(
                "place change bain {options} --at \"2026-11-08 13:00\""
            ));
        }
        let found = kitchen.on_shelf(&lot);
        (found["verdict"].clone(), found["keep_until"].clone())
    };
    let plain = until(None);
    assert_eq!(plain.0, "good");
    assert_eq!(until(Some("--capacity 50kg")), plain);
    assert_ne!(until(Some("--temp 50C")), plain);
}
