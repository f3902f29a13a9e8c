//! Pictures on the page: who does not see them is told in words, and nothing in them differs by its colour alone.

use crate::house::House;
use axum::http::header;

/// What an attribute of each tag that begins so says; nothing where it is not there.
fn each<'a>(page: &'a str, tag: &str, attribute: &str) -> Vec<Option<&'a str>> {
    let begin = format!("{attribute}=\"");
    let tags = page.split(tag).skip(1);
    tags.map(|rest| {
        let tag = rest.split('>').next().unwrap();
        let value = tag.split(&begin).nth(1)?;
        value.split('"').next()
    })
    .collect()
}

#[test]
fn every_picture_of_a_plan_has_a_name_that_says_what_it_shows() {
    let (house, lot) = House::with_a_bake();
    let phone = house.paired("Ada");
    let asked = phone.fill("/plan", &[]);
    let to = asked.headers[header::LOCATION].to_str().unwrap().to_owned();
    let page = loop {
        let page = phone.get(&to);
        if page.headers.get(header::REFRESH).is_none() {
            break page.body;
        }
    };
    let pictures: Vec<&str> = page
        .split("<svg ")
        .skip(1)
        .filter(|rest| rest.split('>').next().unwrap().contains("role=\"img\""))
        .collect();
    assert!(pictures.len() >= 3, "{page}");
    for picture in &pictures {
        let tag = picture.split('>').next().unwrap();
        assert!(tag.contains("aria-label=\""), "{tag}");
    }
    let of_lot = format!("aria-label=\"{lot}: ");
    assert!(page.contains(&of_lot), "{page}");
}

#[test]
fn a_bar_of_the_shelf_is_hatched_where_its_grain_is_not_simply_good() {
    let house = House::new();
    house.lot("10kg");
    house.draff("pickup --source Brook --brewed today --wet 5kg");
    let phone = house.paired("Ada");
    let page = phone.page("/shelf");
    let bars: Vec<&str> = page.split("<svg class=\"life\"").skip(1).collect();
    assert_eq!(bars.len(), 2, "{page}");
    let hatched = bars.iter().filter(|bar| {
        let bar = bar.split("</svg>").next().unwrap();
        bar.contains("fill=\"url(#no-more)\"")
    });
    assert_eq!(hatched.count(), 1, "{page}");
    assert!(page.contains("<pattern id=\"no-more\""), "{page}");
}

#[test]
fn what_a_box_of_the_flow_stands_for_is_told_by_its_hatch() {
    let (house, lot) = House::with_a_bake();
    house.draff(&format!("use {lot} --wet 1kg --for buns"));
    house.draff(&format!("discard {lot} --wet 1kg --reason dropped"));
    let phone = house.paired("Ada");
    let picture = phone.page(&format!("/trace.svg?lot={lot}"));
    let (_, boxes) = picture.split_once("<g>").unwrap();
    let fills = each(boxes, "<rect class=\"box\"", "fill");
    // Each box is white behind its words, with its hatch beside them.
    let mut hatches: Vec<&str> = fills.into_iter().flatten().collect();
    hatches.retain(|fill| *fill != "#fff");
    hatches.sort_unstable();
    assert_eq!(
        hatches,
        ["#333", "url(#dotted)", "url(#lying)", "url(#slanted)"],
        "{picture}"
    );
    for name in ["dotted", "lying", "slanted"] {
        assert!(
            picture.contains(&format!("<pattern id=\"{name}\"")),
            "{picture}"
        );
    }
}
