//! How much to fetch, on a phone.

use crate::house::House;
use axum::http::{StatusCode, header};

/// As lines of text of 80 columns they broke anywhere on a phone.
#[test]
fn what_each_amount_comes_to_is_a_table_with_a_label_to_each_row() {
    let house = House::new();
    let phone = house.paired("Ada");
    let loaf = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", loaf.display()));
    house.draff("bake add \"small loaf\" --at \"2026-11-22 08:00\" mix --pieces 40");
    let asked = phone.fill("/plan/fetch", &[]);
    assert_eq!(asked.status, StatusCode::SEE_OTHER, "{}", asked.body);
    let found = asked.headers[header::LOCATION].to_str().unwrap().to_owned();
    let page = loop {
        let page = phone.get(&found);
        if page.headers.get(header::REFRESH).is_none() {
            break page.body;
        }
    };
    let (above, table) = page.split_once("<table class=\"amounts\">").unwrap();
    let (table, _) = table.split_once("</table>").unwrap();
    assert!(!above.contains("bakes get"), "{page}");
    let columns = table.matches("scope=\"col\"").count();
    assert!((3..=5).contains(&columns), "{table}");
    let (_, body) = table.split_once("<tbody>").unwrap();
    let rows: Vec<&str> = body.split("<tr>").skip(1).collect();
    assert!(rows.len() > 5, "{table}");
    for row in rows {
        assert_eq!(row.matches("scope=\"row\"").count(), 1, "{row}");
        assert_eq!(row.matches("<td>").count(), columns - 1, "{row}");
    }
}
