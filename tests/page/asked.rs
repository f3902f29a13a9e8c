//! What is asked of the page and written nowhere: the log with its filters, how warm the water of a dough must be.

use crate::house::{House, words};
use axum::http::StatusCode;
use std::path::Path;

#[test]
fn the_log_shows_one_lot_one_kind_or_the_last_few() {
    let house = House::new();
    let phone = house.paired("Ada");
    let pickup = |brewed: &str| {
        let line = format!(
            "pickup --source \"Alder Lane\" --brewed {brewed} --mash-out \"{brewed} 07:30\" --cooled \"{brewed} 09:00\" --wet 10kg"
        );
        house.json(&line)["lot"].as_str().unwrap().to_owned()
    };
    let (lot, other) = (pickup("2026-11-20"), pickup("2026-11-19"));
    house.draff(&format!("use {lot} --wet 1kg --for rye"));
    house.draff(&format!("use {other} --wet 1kg --for \"tin loaves\""));
    house.draff(&format!("discard {lot} --wet 1kg --reason dropped"));
    let shown = |query: &str| {
        let page = phone.page(&format!("/book/log{query}"));
        let story = page.split("<ol class=\"story\">").nth(1).unwrap();
        let entries = story.split("</ol>").next().unwrap().split("<li").skip(1);
        entries
            .map(|entry| words(&format!("<li{entry}")))
            .collect::<Vec<_>>()
    };
    let all = shown("");
    assert!(all.len() > 5 && all[0].contains("Discard"), "{all:?}");
    assert_eq!(shown("?last=2"), all[..2]);
    let used = shown("?kind=use");
    assert_eq!(used.len(), 2, "{used:?}");
    assert!(
        used[0].contains("tin loaves") && used[1].contains("rye"),
        "{used:?}"
    );
    let of_lot = shown(&format!("?about={lot}&kind=use&last=100"));
    assert_eq!(of_lot, used[1..]);
    assert_eq!(
        shown("?kind=use&last=1"),
        used[..1],
        "the last of that kind"
    );
    // What was asked stands in the fields, and nothing found is said.
    let page = phone.page(&format!("/book/log?about={lot}&kind=join&last=7"));
    assert!(
        page.contains("value=\"join\" selected") && page.contains("value=\"7\""),
        "{page}"
    );
    assert!(words(&page).contains("There are no such entries."));
    for query in ["?kind=baking", "?last=many", "?about=COR-261120-15"] {
        let refused = phone.get(&format!("/book/log{query}"));
        assert_eq!(refused.status, StatusCode::NOT_FOUND, "{query}");
    }
}

/// A house with a formula of the demo and a lot in the fridge.
fn with_a_formula() -> (House, String) {
    let house = House::new();
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    house.draff(&format!(
        "formula add {}/formulas/pan-loaf.toml",
        data.display()
    ));
    let lot = house.lot("10kg");
    (house, lot)
}

/// What follows a label in the words of a terminal, its lines put together.
fn after<'a>(text: &'a str, label: &str) -> Vec<&'a str> {
    let mut lines = text.lines().skip_while(|line| !line.starts_with(label));
    let first = lines.next().unwrap_or_else(|| panic!("{label}: {text}"));
    let rest = lines.take_while(|line| line.starts_with("            "));
    let first = &first[label.len()..];
    std::iter::once(first)
        .chain(rest)
        .flat_map(str::split_whitespace)
        .collect()
}

#[test]
fn a_batch_says_how_warm_the_water_must_be() {
    let (house, lot) = with_a_formula();
    let phone = house.paired("Ada");
    let asked = [
        ("pieces", "12"),
        ("lot", &*lot),
        ("tap", "11"),
        ("room", "20"),
        ("grain_temp", "4"),
    ];
    let page = phone.fill("/dough/batch", &asked);
    assert_eq!(page.status, StatusCode::OK, "{}", words(&page.body));
    let by_command = house.draff(&format!(
        "batch \"Quern pan loaf\" --pieces 12 --lot {lot} --tap 11C --room 20C --grain-temp 4C"
    ));
    let wanted = after(&by_command, "Water temp").join(" ");
    assert!(
        words(&page.body).contains(&wanted),
        "{wanted}: {}",
        words(&page.body)
    );
    // Without any of them the weights stand alone; what is not enough is asked back with all that was typed.
    let plain = phone.fill("/dough/batch", &asked[..2]);
    assert!(!words(&plain.body).contains("How warm to make the water"));
    let short = phone.fill(
        "/dough/batch",
        &asked[..2]
            .iter()
            .copied()
            .chain([("room", "20")])
            .collect::<Vec<_>>(),
    );
    assert_eq!(short.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(short.body.contains("value=\"12\"") && short.body.contains("value=\"20\""));
    let both: Vec<_> = asked.into_iter().chain([("frozen", "1")]).collect();
    let refused = phone.fill("/dough/batch", &both);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(words(&refused.body).contains("leave the temperature empty"));
}

#[test]
fn a_sheet_is_shown_with_other_temperatures() {
    let (house, lot) = with_a_formula();
    let phone = house.paired("Ada");
    house.draff("settings tap 11C");
    house.draff("settings room 21C");
    house.draff(&format!(
        "bake add \"Quern pan loaf\" --at \"sat 08:00\" mix --pieces 12 --lot {lot}"
    ));
    let water = |page: &str| {
        let page = words(page);
        let found = page
            .split("water temperature ")
            .nth(1)
            .unwrap_or_else(|| panic!("{page}"));
        found
            .split_whitespace()
            .take(3)
            .collect::<Vec<_>>()
            .join(" ")
    };
    let usual = phone.page("/bake/B-1S/sheet");
    assert!(usual.contains("href=\"/bake/B-1S/sheet/water\""));
    let cold = phone.fill("/bake/B-1S/sheet/water", &[("tap", "6"), ("room", "14")]);
    assert_eq!(cold.status, StatusCode::OK, "{}", words(&cold.body));
    let by_command = house.draff("sheet B-1S --html - --tap 6C --room 14C");
    assert_eq!(water(&cold.body), water(&by_command));
    assert_ne!(
        water(&cold.body),
        water(&usual),
        "a colder room takes warmer water"
    );
    // Nothing of it was written.
    assert_eq!(water(&phone.page("/bake/B-1S/sheet")), water(&usual));
    // On paper it has the lines to write on, and no command.
    assert!(usual.contains("<div class=\"blanks\">"), "{usual}");
    assert!(words(&usual).contains("baked weight of all") && !words(&usual).contains("draff "));
}

/// A question that is refused keeps its form, with all that was asked.
#[test]
fn what_was_asked_stays_in_the_form_after_a_refusal() {
    let (house, lot) = with_a_formula();
    let phone = house.paired("Ada");
    // The check character is the last one.
    let end = if lot.ends_with('A') { 'B' } else { 'A' };
    let wrong = format!("{}{end}", &lot[..lot.len() - 1]);
    let trace = phone.get(&format!("/trace?lot={wrong}"));
    assert_eq!(trace.status, StatusCode::NOT_FOUND);
    for part in [
        format!("value=\"{wrong}\""),
        format!("href=\"/trace?lot={lot}\""),
    ] {
        assert!(trace.body.contains(&part), "{part}: {}", trace.body);
    }
    let log = phone.get(&format!("/book/log?about={lot}&kind=use&last=many"));
    assert_eq!(log.status, StatusCode::NOT_FOUND);
    for part in [
        "value=\"many\"",
        "value=\"use\" selected",
        &*format!("value=\"{lot}\""),
    ] {
        assert!(log.body.contains(part), "{part}: {}", log.body);
    }
    assert!(!words(&log.body).contains("There are no such entries"));
    let past = [("at_day", "2026-11-19"), ("at_time", "09:00")];
    let fetch = phone.fill("/plan/fetch", &past);
    assert_eq!(fetch.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        fetch.body.contains("value=\"2026-11-19\"") && fetch.body.contains("value=\"09:00\""),
        "{}",
        fetch.body
    );
}
