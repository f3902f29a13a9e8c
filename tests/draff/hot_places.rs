//! Places that are stated to be hot: cold grain is warm there, and hot grain stays hot while nothing says otherwise.

use crate::env::Kitchen;
use crate::logger::logged;

/// Cold grain that lies in such a place since 08:10 of Tuesday 3 November, at 09:10.
fn cold_grain_in(kind: &str, probe: &str) -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-02T10:30:00Z");
    let lot = kitchen.pickup("--brewed 2026-11-02 --mash-out 09:30 --cooled 10:20 --wet 10kg");
    kitchen.at("2026-11-02T10:31:00Z");
    kitchen.ok(&format!("probe {lot} 4C"));
    kitchen.at("2026-11-03T07:50:00Z");
    kitchen.ok(&format!(
        "place add shelf --kind {kind} --temp 65C --probe-in {probe}"
    ));
    kitchen.at("2026-11-03T08:10:00Z");
    kitchen.ok(&format!("move {lot} shelf"));
    kitchen.at("2026-11-03T09:10:00Z");
    (kitchen, lot)
}

fn read_in(kitchen: &Kitchen, celsius: f64) {
    kitchen.file(
        "shelf.csv",
        logged("2026-11-03T08:30:00Z", 30, 2, |_| celsius),
    );
    kitchen.ok("readings shelf --csv shelf.csv");
}

const COLDER_SINCE: &str = "place change shelf --kind fridge --temp 4C --at \"2026-11-03 08:05\"";

#[test]
fn cold_grain_in_a_hot_place_is_past_after_its_last_reading_and_no_statement_makes_it_usable() {
    for kind in ["hot-hold", "ambient"] {
        for probe in ["air", "buffered", "grain"] {
            for celsius in [4.0, 30.0] {
                let (mut kitchen, lot) = cold_grain_in(kind, probe);
                read_in(&kitchen, celsius);
                kitchen.at("2026-11-03T13:30:00Z");
                let told = format!("{kind} {probe} {celsius}");
                assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past", "{told}");
                kitchen.refused(1, COLDER_SINCE);
                kitchen.refused(1, &format!("use {lot} 100g --for buns"));
            }
        }
    }
}

/// Readings that are as warm as the place move no end, and the end is the same before and after two readings may lie apart.
#[test]
fn cold_grain_in_a_hot_hold_has_one_end_whenever_somebody_asks() {
    for (celsius, until) in [
        (None, "2026-11-03T12:09:59+00:00"),
        (Some(30.0), "2026-11-03T12:09:59+00:00"),
        (Some(4.0), "2026-11-03T12:39:59+00:00"),
    ] {
        let (mut kitchen, lot) = cold_grain_in("hot-hold", "air");
        if let Some(celsius) = celsius {
            read_in(&kitchen, celsius);
        }
        for at in ["09:15", "12:09", "12:45", "13:01", "14:15", "20:15"] {
            kitchen.at(&format!("2026-11-03T{at}:00Z"));
            let found = kitchen.on_shelf(&lot);
            assert_eq!(found["keep_until"], until, "{celsius:?} at {at}");
            let is_past = at > "12:40";
            assert_eq!(found["verdict"] == "past", is_past, "{celsius:?} at {at}");
        }
    }
}

/// A thawed freezer that is stated to be warm later on.
#[test]
fn grain_in_a_freezer_that_was_thawed_is_past_once_the_place_was_stated_to_be_warm_for_too_long() {
    for temp in ["20C", "65C"] {
        let mut kitchen = Kitchen::new();
        kitchen.at("2026-11-02T10:30:00Z");
        let lot = kitchen.pickup("--brewed 2026-11-02 --mash-out 09:30 --cooled 10:20 --wet 10kg");
        kitchen.at("2026-11-03T08:10:00Z");
        kitchen.ok(&format!("move {lot} freezer"));
        kitchen.at("2026-11-03T09:10:00Z");
        let thawed = logged("2026-11-03T08:30:00Z", 30, 2, |_| -12.0);
        kitchen.file("freezer.csv", thawed);
        kitchen.ok("readings freezer --csv freezer.csv");
        kitchen.at("2026-11-03T13:10:00Z");
        kitchen.ok(&format!(
            "place change freezer --kind ambient --temp {temp}"
        ));
        kitchen.at("2026-11-03T18:30:00Z");
        assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past", "{temp}");
        kitchen.refused(
            1,
            "place change freezer --kind freezer --temp=-18C --at \"2026-11-03 13:10\"",
        );
    }
}

/// A tub that came hot into a hot-hold at 10:30 of Monday 2 November.
fn hot_tub() -> (Kitchen, String) {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-02T09:00:00Z");
    kitchen.ok("place add bain --kind hot-hold --temp 65C");
    kitchen.ok("place add bain2 --kind hot-hold --temp 65C");
    kitchen.at("2026-11-02T10:30:00Z");
    let lot =
        kitchen.pickup("--brewed 2026-11-02 --mash-out 10:25 --temp 65C --place bain --wet 10kg");
    (kitchen, lot)
}

/// The verdict once a lot is read hot at 17:00, and until when it is good.
fn read_hot_at_five(kitchen: &mut Kitchen, lot: &str) -> (String, String) {
    kitchen.at("2026-11-02T17:00:00Z");
    kitchen.ok(&format!("probe {lot} 65C"));
    let found = kitchen.on_shelf(lot);
    let text = |key: &str| found[key].as_str().unwrap().to_owned();
    (text("verdict"), text("keep_until"))
}

#[test]
fn a_hot_hold_stated_anew_at_or_above_the_hot_limit_costs_hot_grain_no_time() {
    let after = |statements: &[(&str, &str)]| {
        let (mut kitchen, lot) = hot_tub();
        for (at, options) in statements {
            kitchen.at(&format!("2026-11-02T{at}:00Z"));
            kitchen.ok(&format!("place change bain {options}"));
        }
        read_hot_at_five(&mut kitchen, &lot)
    };
    let plain = after(&[]);
    assert_eq!(plain.0, "good");
    for options in ["--temp 66C", "--temp 65.5C", "--temp 61C", "--temp 60C"] {
        for at in ["10:30", "13:00", "16:59"] {
            assert_eq!(after(&[(at, options)]), plain, "{options} at {at}");
        }
    }
    for (at, options) in [
        ("13:00", "--temp 59C"),
        ("16:50", "--temp 50C"),
        ("13:00", "--kind ambient --temp 65C"),
    ] {
        assert_eq!(after(&[(at, options)]).0, "past", "{options} at {at}");
        let and_back = ("16:59", "--kind hot-hold --temp 65C");
        assert_eq!(after(&[(at, options), and_back]).0, "past", "{options}");
    }
}

/// What is made of the tub at noon, and goes on in its hot-hold.
fn made(command: &str) -> (Kitchen, String) {
    let (mut kitchen, tub) = hot_tub();
    kitchen.at("2026-11-02T12:00:00Z");
    kitchen.ok(&command.replace("LOT", &tub));
    let shelf = kitchen.json("shelf");
    let mut lots = shelf["lots"].as_array().unwrap().iter();
    let lot = lots.find(|found| found["lot"] != tub.as_str()).unwrap();
    let code = lot["lot"].as_str().unwrap().to_owned();
    (kitchen, code)
}

#[test]
fn what_is_made_of_hot_grain_and_stays_in_its_hot_hold_is_judged_like_the_whole() {
    let (mut kitchen, tub) = hot_tub();
    let whole = read_hot_at_five(&mut kitchen, &tub);
    assert_eq!(whole.0, "good");
    for command in [
        "portion LOT --into 1x1kg",
        "move LOT bain --wet 1kg",
        "treat LOT --step press --wet-out 8kg",
        "treat LOT --step blend --wet-out 10kg",
    ] {
        let (mut kitchen, lot) = made(command);
        assert_eq!(read_hot_at_five(&mut kitchen, &lot), whole, "{command}");
        // The hot-hold states another temperature after that.
        let (mut kitchen, lot) = made(command);
        kitchen.at("2026-11-02T13:00:00Z");
        kitchen.ok("place change bain --temp 66C");
        assert_eq!(read_hot_at_five(&mut kitchen, &lot), whole, "{command}");
        let (mut kitchen, lot) = made(command);
        kitchen.at("2026-11-02T13:00:00Z");
        kitchen.ok("place change bain --temp 50C");
        assert_eq!(read_hot_at_five(&mut kitchen, &lot).0, "past", "{command}");
    }
}

#[test]
fn a_part_that_left_its_hot_hold_was_not_kept_hot() {
    for (out, back) in [
        ("bain2", None),
        ("counter", Some("bain")),
        ("bain2", Some("bain")),
    ] {
        let (mut kitchen, lot) = made("portion LOT --into 1x1kg");
        kitchen.at("2026-11-02T12:10:00Z");
        kitchen.ok(&format!("move {lot} {out}"));
        if let Some(back) = back {
            kitchen.at("2026-11-02T12:20:00Z");
            kitchen.ok(&format!("move {lot} {back}"));
        }
        assert_eq!(
            read_hot_at_five(&mut kitchen, &lot).0,
            "past",
            "{out} {back:?}"
        );
    }
    let (mut kitchen, lot) = made("move LOT bain2 --wet 1kg");
    assert_eq!(read_hot_at_five(&mut kitchen, &lot).0, "past");
}

#[test]
fn soaked_grain_in_a_hot_hold_is_not_taken_to_have_been_hot_since_it_got_water() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-02T09:00:00Z");
    kitchen.ok("place add bain --kind hot-hold --temp 65C");
    kitchen.at("2026-11-02T10:30:00Z");
    let dry = kitchen.pickup(
        "--brewed 2026-11-01 --mash-out 10:25 --form dried --cooled \"2026-11-01 11:20\" --wet 10kg",
    );
    kitchen.ok(&format!("probe {dry} --aw 0.3"));
    kitchen.at("2026-11-02T12:00:00Z");
    kitchen.ok(&format!(
        "treat {dry} --step soak --water-added 20kg --wet-out 30kg --place bain"
    ));
    let shelf = kitchen.json("shelf");
    let lot = shelf["lots"][0]["lot"].as_str().unwrap();
    assert_eq!(kitchen.on_shelf(lot)["verdict"], "good");
    assert_eq!(read_hot_at_five(&mut kitchen, lot).0, "past");
}

/// Nobody knows how warm the grain was with the water in it, or where it was worked on.
#[test]
fn hot_grain_that_got_water_or_was_worked_on_for_a_time_was_not_kept_hot() {
    for command in [
        "treat LOT --step blend --wet-out 15kg --water-added 5kg",
        "treat LOT --step press --wet-out 8kg --minutes 30 --temp 20C",
        "treat LOT --step press --wet-out 8kg --minutes 30 --temp 65C",
    ] {
        let (mut kitchen, lot) = made(command);
        assert_eq!(read_hot_at_five(&mut kitchen, &lot).0, "past", "{command}");
    }
}
