//! The server keeps books open between requests: what others do to the file is seen all the same at the next request, and
//! nothing is written into a book that was only remembered.

use crate::house::{House, Visitor, words};
use axum::http::StatusCode;

const LOT: &str =
    "pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg";

fn lot(house: &House) -> String {
    let booked = house.json(LOT);
    booked["lot"].as_str().unwrap().to_owned()
}

/// Uses so much of the lot by the page.
#[track_caller]
fn used(phone: &Visitor<'_>, lot: &str, kilograms: &str) {
    let path = format!("/lot/{lot}/use");
    let fields = phone.fields(&path, &[("wet", kilograms), ("bake", "bread")]);
    let answer = phone.post(&path, &fields.all());
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
}

/// What the book says was used, in g, and that it is whole.
#[track_caller]
fn all_used(house: &House) -> Vec<f64> {
    house.draff("check");
    let usage = house.json("usage");
    let rows = usage["usage"].as_array().unwrap();
    rows.iter()
        .map(|row| row["wet_g"].as_f64().unwrap())
        .collect()
}

#[test]
fn what_the_command_line_writes_is_on_the_next_page() {
    let house = House::new();
    let lot = lot(&house);
    let phone = house.paired("Ada");
    for rest in ["Weight 9 kg", "Weight 8 kg", "Weight 7 kg"] {
        house.draff(&format!("use {lot} --wet 1kg --for bread"));
        let page = words(&phone.page(&format!("/lot/{lot}")));
        assert!(page.contains(rest), "{page}");
    }
    used(&phone, &lot, "3");
    assert_eq!(all_used(&house), [1_000.0, 1_000.0, 1_000.0, 3_000.0]);
}

#[test]
fn a_book_that_is_copied_over_the_one_that_is_served_counts_from_then_on() {
    let house = House::new();
    let lot = lot(&house);
    let phone = house.paired("Ada");
    let kept = house.bytes();
    let shows = |rest: &str| {
        let page = words(&phone.page(&format!("/lot/{lot}")));
        assert!(page.contains(rest), "{page}");
    };
    // Into the same file, and another file under its name: each has had an act since that the other knows nothing of.
    used(&phone, &lot, "1");
    shows("Weight 9 kg");
    std::fs::write(house.book(), &kept).unwrap();
    shows("Weight 10 kg");
    used(&phone, &lot, "2");
    assert_eq!(all_used(&house), [2_000.0]);
    let other = house.book().with_extension("other");
    std::fs::write(&other, &kept).unwrap();
    std::fs::rename(&other, house.book()).unwrap();
    shows("Weight 10 kg");
    used(&phone, &lot, "3");
    assert_eq!(all_used(&house), [3_000.0]);
    shows("Weight 7 kg");
}

#[test]
fn a_book_that_is_restored_while_it_is_served_takes_acts_at_once() {
    let house = House::new();
    let lot = lot(&house);
    let phone = house.paired("Ada");
    let copy = house.book().with_extension("copy");
    house.draff(&format!("backup {}", copy.display()));
    used(&phone, &lot, "1");
    phone.page("/");
    house.draff(&format!("restore {}", copy.display()));
    // It is another book: nobody is paired with it yet.
    assert_eq!(phone.get("/").status, StatusCode::UNAUTHORIZED);
    let phone = house.paired("Ben");
    used(&phone, &lot, "2");
    assert_eq!(all_used(&house), [2_000.0]);
}
