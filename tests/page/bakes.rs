//! Bakes on the page: what stays as it was booked.

use crate::house::House;

#[test]
fn a_new_time_of_a_bake_is_of_the_point_that_was_booked() {
    let house = House::new();
    let loaf = house.file(
        "loaf.toml",
        include_str!("../../demo-data/formulas/pan-loaf.toml"),
    );
    house.draff(&format!("formula add {}", loaf.display()));
    house.draff("bake add \"Quern pan loaf\" --at \"2026-11-28 16:00\" ready");
    let phone = house.paired("Ada");
    phone.book(
        "/bake/B-1S/change",
        &[("at_day", "2026-11-28"), ("at_time", "18:00")],
    );
    let bake = house.json("bake show B-1S");
    assert_eq!(bake["ready_at"], "2026-11-28T18:00:00+00:00", "{bake}");
    // The choices are the same where a bake is planned.
    let choices = |path: &str| {
        let page = phone.page(path);
        let list = page.split("name=\"point\"").nth(1).unwrap();
        let list = list.split("</select>").next().unwrap();
        list.replace(" selected", "")
    };
    assert_eq!(choices("/bake/B-1S/change"), choices("/bakes/add"));
}
