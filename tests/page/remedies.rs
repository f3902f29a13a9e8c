//! What to do after a refusal: each lot or entry that is named has a link of its own, which leads to it.

use crate::house::{Fields, House};
use axum::http::StatusCode;

/// Two lots of one day, and a code that is none of them.
fn two_lots(house: &House) -> ([String; 2], String) {
    let lots = [house.lot("10kg"), house.lot("8kg")];
    let end = lots[0].rfind('-').unwrap();
    let wrong = format!("{}-99", &lots[0][..end]);
    (lots, wrong)
}

#[track_caller]
fn each_has_its_link(page: &str, lots: &[String]) {
    for lot in lots {
        let link = format!("<a href=\"/lot/{lot}\">Nearest on hand: {lot}</a>");
        assert!(page.contains(&link), "{link}\n{page}");
    }
}

#[test]
fn each_of_the_nearest_codes_leads_to_its_own_lot() {
    let house = House::new();
    let (lots, wrong) = two_lots(&house);
    let phone = house.paired("Ada");
    let refused = phone.get(&format!("/lot/{wrong}"));
    assert_eq!(refused.status, StatusCode::NOT_FOUND);
    each_has_its_link(&refused.body, &lots);
}

#[test]
fn a_wrong_code_in_a_form_has_a_link_for_each_of_the_nearest() {
    let house = House::new();
    let (lots, wrong) = two_lots(&house);
    let formula = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", formula.display()));
    house.draff("bake add \"small loaf\" --at \"2026-11-20 13:00\" mix");
    let phone = house.paired("Ada");
    // Where the bake is written down, the field of a lot that nobody named takes any code.
    let path = "/bake/B-1S/done";
    let Fields(fields) = phone.fields(path, &[]);
    let place = fields
        .iter()
        .filter_map(|(name, _)| name.strip_prefix("lot_"))
        .max()
        .unwrap()
        .to_owned();
    let (lot, used) = (format!("lot_{place}"), format!("used_{place}"));
    let refused = phone.fill(
        path,
        &[(lot.as_str(), wrong.as_str()), (used.as_str(), "1")],
    );
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    each_has_its_link(&refused.body, &lots);
}

#[test]
fn a_new_name_that_is_almost_that_of_another_brewery_leads_to_making_them_one() {
    let house = House::new();
    for source in ["Tarn Fell", "Corrie Mill"] {
        house.draff(&format!(
            "pickup --source \"{source}\" --brewed 2026-11-20 --mash-out 07:30 --wet 3kg"
        ));
    }
    let phone = house.paired("Ada");
    let (path, typed) = (
        "/book/sources/rename",
        [("source", "Corrie Mill"), ("name", "Tarn Fel")],
    );
    let refused = phone.fill(path, &typed);
    assert_ne!(refused.status, StatusCode::SEE_OTHER);
    let link =
        "<a href=\"/book/sources/merge\">If Corrie Mill and Tarn Fell are one: make them one</a>";
    assert!(refused.body.contains(link), "{}", refused.body);
    let [source, name] = typed;
    phone.book(path, &[source, name, ("new_source", "1")]);
}

#[test]
fn a_new_brewery_by_the_earlier_name_of_another_says_how_that_one_is_called() {
    let house = House::new();
    house.draff("pickup --source \"Tarn Fell\" --brewed 2026-11-20 --mash-out 07:30 --wet 3kg");
    house.draff("source rename \"Tarn Fell\" --to \"Beck Mill\"");
    let phone = house.paired("Ada");
    let refused = phone.fill(
        "/grain-in/from",
        &[
            ("source", "Tarn Fell"),
            ("new_source", "1"),
            ("mash_out_time", "07:30"),
            ("wet", "3"),
        ],
    );
    assert_ne!(refused.status, StatusCode::SEE_OTHER);
    for said in [
        "is called `Beck Mill` now",
        "If it is that one, type its name: Beck Mill",
        "If it is a new one, give it a name that no brewery ever had",
    ] {
        assert!(refused.body.contains(said), "{said}: {}", refused.body);
    }
}
