//! Words that a terminal wraps at 80 columns are wrapped by the page alone: no line breaks twice on a phone.

use crate::house::House;

#[test]
fn a_trace_has_a_line_for_each_lot_and_bake_and_a_link_for_each_entry() {
    let house = House::new();
    let lot = house.lot("10kg");
    let long = "rye rolls for the school across the road and for the house behind it";
    house.draff(&format!("use {lot} 500g --for \"{long}\""));
    let page = house.paired("Ada").page(&format!("/trace?lot={lot}"));
    let (_, words) = page.split_once("<div class=\"words\">").unwrap();
    let (words, rest) = words.split_once("</div>").unwrap();
    assert!(words.contains(&format!("{long}: 500 g of ")), "{words}");
    assert!(!words.contains('\n'), "{words}");
    let used = house.json("log --last 1")["entries"][0]["entry"].to_string();
    assert!(rest.contains(&format!("href=\"/entry/{used}\"")), "{rest}");
}

#[test]
fn why_a_moisture_is_known_so_is_a_list_with_labels() {
    let house = House::new();
    let lot = house.lot("10kg");
    let page = house.paired("Ada").page(&format!("/lot/{lot}/moisture"));
    let uncertain = "<dt>Uncertain</dt><dd>nothing was measured: the published range: 3.75 points, 100 % of the variance</dd>";
    assert!(page.contains(uncertain), "{page}");
    assert!(!page.contains("<pre"), "{page}");
}
