//! `plan --html`: the page says what the words say, stands alone and is drawn as it was looked at.

use crate::env::{Kitchen, LOAF};
use roxmltree::Document;
use std::path::Path;

/// Nine days with something of everything: a lot to freeze, one to dry, one past, a bake that is short, an
/// optional one, a day off, and names that are markup.
fn kitchen() -> Kitchen {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.file(
        "nasty.toml",
        LOAF.replace(
            "name = \"small loaf\"",
            "name = \"<script>alert('1') & \\\"loaf\\\"\"",
        )
        .replace("[grain]", "[grain]\ncolour = \"dark\""),
    );
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("formula add nasty.toml");
    kitchen.ok("place add \"<b>walk-in & \\\"co\\\"\" --kind fridge --temp 3C --capacity 12kg");
    kitchen.ok("settings days-off sun");
    kitchen.ok("settings dryer 6kg");
    let lot = kitchen.lot("8kg");
    kitchen.ok(&format!("moisture {lot} --lab 77% --lab-sd 0.5%"));
    kitchen.ok(&format!("move {lot} --to \"<b>walk-in & \\\"co\\\"\""));
    let past = kitchen.pickup(
        "--brewed 2026-11-12 --mash-out \"2026-11-12 07:30\" --cooled \"2026-11-12 09:00\" --wet 3kg",
    );
    assert_eq!(kitchen.on_shelf(&past)["verdict"], "past");
    kitchen.pickup(
        "--brewed 2026-11-17 --mash-out \"2026-11-17 07:30\" --cooled \"2026-11-17 09:00\" --wet 2.5kg",
    );
    let bake = |at: &str, rest: &str| {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-{at}\" mix {rest}"
        ));
    };
    bake("21 06:00", "--pieces 12");
    bake("24 06:00", "--pieces 20");
    bake("28 06:00", "--pieces 12 --optional");
    kitchen.ok(
        "bake add \"<script>alert('1') & \\\"loaf\\\"\" --at \"2026-11-25 06:00\" mix --pieces 8",
    );
    bake("30 06:00", "--pieces 60");
    kitchen
}

/// The page as XML: what HTML leaves open is closed.
fn closed(page: &str) -> String {
    let page = page.strip_prefix("<!DOCTYPE html>").unwrap();
    let mut out = String::new();
    for (index, part) in page.split("<meta ").enumerate() {
        if index > 0 {
            out.push_str("<meta ");
            out.push_str(&part.replacen('>', "/>", 1));
        } else {
            out.push_str(part);
        }
    }
    out.replace("<br>", "<br/>")
}

/// Everything that can be read on the page, with one blank between any two words.
fn readable(page: &str) -> String {
    let closed = closed(page);
    let document = Document::parse(&closed).expect("the page is well-formed");
    let body = document
        .descendants()
        .find(|node| node.has_tag_name("body"))
        .unwrap();
    let texts = body.descendants().filter(|node| node.is_text());
    let words = texts.flat_map(|node| node.text().unwrap().split_whitespace());
    words.collect::<Vec<_>>().join(" ")
}

/// What the words say, an item each: sentences with their lines joined, cells of tables.
fn items(words: &str) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for block in words.split("\n\n") {
        let is_table = block.starts_with("BAKE");
        let (mut indent, mut aims) = (usize::MAX, false);
        for line in block.lines() {
            let deep = line.len() - line.trim_start().len();
            aims |= line.starts_with("AIM");
            if ["TO DO", "SPARE"].contains(&line) {
                indent = usize::MAX;
            } else if line.starts_with("No better plan ") {
                // The page says it elsewhere.
                aims = true;
                items.push(line.to_owned());
            } else if line.starts_with("Using the oldest") {
                // The page has the whole table instead.
            } else if aims || is_table && deep == 0 {
                let cells = line.split("  ").map(str::trim);
                items.extend(cells.filter(|cell| !cell.is_empty()).map(str::to_owned));
                indent = usize::MAX;
            } else if deep > indent || deep == 0 && indent == 0 && !line.starts_with("! ") {
                let last = items.last_mut().unwrap();
                last.push(' ');
                last.push_str(line.trim());
            } else {
                indent = deep;
                items.push(line.trim().trim_start_matches("! ").to_owned());
            }
        }
    }
    for item in &mut items {
        *item = item.split_whitespace().collect::<Vec<_>>().join(" ");
    }
    items
}

#[track_caller]
fn holds_all_of_the_words(kitchen: &Kitchen, options: &str) -> usize {
    let page = readable(&kitchen.ok(&format!("{options} plan --html -")));
    // That it is a proposal is said with the command that accepts it; a page has a button.
    let proposal = "This is a proposal. draff plan --accept takes it; draff today then says what to\ndo when.\n";
    let words = kitchen.ok(&format!("{options} plan --why"));
    let items = items(&words.replace(proposal, ""));
    for item in &items {
        // The heading of the page is parted where its sentence has a colon.
        let item = if item.starts_with("Plan from") {
            item.replacen(": ", " ", 1)
        } else {
            item.clone()
        };
        assert!(page.contains(&item), "{item}\nis not on the page\n{page}");
    }
    items.len()
}

#[test]
fn the_page_says_all_that_the_words_say() {
    let kitchen = kitchen();
    let words = kitchen.ok("plan");
    for needed in [
        "freeze",
        "to freeze and thaw",
        "SHORT",
        "SPARE",
        "not for a dough",
        "optional",
    ] {
        assert!(words.contains(needed), "{needed} is to be tried: {words}");
    }
    assert!(holds_all_of_the_words(&kitchen, "") > 25);
    assert!(holds_all_of_the_words(&kitchen, "--us") > 25);
    kitchen.ok("plan --accept");
    kitchen.ok("bake change B-1S --pieces 6");
    let words = kitchen.ok("plan");
    assert!(words.contains("promised Fri 20 Nov"), "{words}");
    holds_all_of_the_words(&kitchen, "");
    let empty_handed = Kitchen::new();
    empty_handed.file("loaf.toml", LOAF);
    empty_handed.ok("formula add loaf.toml");
    empty_handed.lot("3kg");
    empty_handed.ok("bake add \"small loaf\" --at \"2026-11-21 06:00\" mix");
    holds_all_of_the_words(&empty_handed, "");
}

/// Each draw stands in the picture with its bake and its wet mass, each bake and lot with its code, beside the
/// tables: twice on the page.
#[test]
fn the_picture_shows_every_draw_bake_and_lot() {
    let kitchen = kitchen();
    let plan = kitchen.json("plan");
    let page = kitchen.ok("plan --html -");
    let closed = closed(&page);
    let document = Document::parse(&closed).unwrap();
    let chart = document
        .descendants()
        .find(|node| node.attribute("class") == Some("chart"))
        .unwrap();
    let texts: Vec<&str> = chart.descendants().filter_map(|node| node.text()).collect();
    let mut draws = 0;
    for bake in plan["bakes"].as_array().unwrap() {
        let code = bake["bake"].as_str().unwrap();
        assert!(texts.iter().any(|text| text.starts_with(code)), "{code}");
        for draw in bake["draws"].as_array().unwrap() {
            let grams = draw["wet_g"].as_f64().unwrap();
            let wet = if grams < 1000.0 {
                format!("{code} {grams} g")
            } else {
                format!("{code} {} kg", grams / 1000.0)
            };
            assert!(texts.contains(&wet.as_str()), "{wet}: {texts:?}");
            draws += 1;
        }
    }
    assert!(draws > 3, "{plan}");
    for spare in plan["spare"].as_array().unwrap() {
        let code = spare["lot"].as_str().unwrap();
        assert!(texts.contains(&code), "{code}");
    }
    // One mark for each draw and one in the key, and no bar for what may not go into a dough.
    let with = |class: &str| {
        chart
            .descendants()
            .filter(|node| node.attribute("class") == Some(class))
            .count()
    };
    assert_eq!(with("taken"), draws + 1);
    assert_eq!(with("lot"), 2);
    assert_eq!(with("refused"), 1);
    for hatch in ["url(#frozen)", "url(#thawed)", "#c8c8c8"] {
        let drawn = chart
            .descendants()
            .filter(|node| node.attribute("fill") == Some(hatch))
            .count();
        assert!(drawn > 1, "{hatch} stands in more than the key");
    }
}

/// Without a freezer the grain is dried, and lies dried until its bake.
#[test]
fn the_picture_shows_what_is_dried() {
    let kitchen = kitchen();
    let drawn = |page: &str| page.matches("fill=\"url(#dried)\"").count();
    assert_eq!(drawn(&kitchen.ok("plan --html -")), 1, "the key alone");
    kitchen.ok("settings freezer none");
    kitchen.ok("settings dryer 20kg");
    let plan = kitchen.json("plan");
    let dried = plan["bakes"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|bake| bake["draws"].as_array().unwrap())
        .filter(|draw| draw["state"] == "dried")
        .count();
    let spare = plan["spare"].as_array().unwrap().iter();
    let spare = spare.filter(|spare| spare["fate"] == "dried").count();
    assert!(dried > 0, "{plan}");
    let page = kitchen.ok("plan --html -");
    assert_eq!(drawn(&page), dried + spare + 1);
    holds_all_of_the_words(&kitchen, "");
}

/// Of many days the Mondays alone are named.
#[test]
fn many_days_stay_readable() {
    let kitchen = kitchen();
    let page = kitchen.ok("plan --days 60 --html -");
    let closed = closed(&page);
    let document = Document::parse(&closed).unwrap();
    let head = document
        .descendants()
        .find(|node| node.has_tag_name("thead"))
        .unwrap();
    let texts = head.descendants().filter(|node| node.is_text());
    let named: Vec<&str> = texts.filter_map(|node| node.text()).collect();
    assert_eq!(
        named.iter().filter(|text| **text == "Mon").count(),
        9,
        "{named:?}"
    );
    assert!(!named.contains(&"Tue"), "{named:?}");
    assert!(named.contains(&"18 Jan"), "{named:?}");
}

/// No script, nothing fetched, every name is text. Nothing in the pictures lies outside of them.
#[test]
fn the_page_stands_alone() {
    let kitchen = kitchen();
    let before = kitchen.files();
    let page = kitchen.ok("plan --html -");
    assert!(before == kitchen.files(), "a page is a question");
    let ran = kitchen.run("plan --html plan.html");
    assert_eq!((ran.code, ran.out.as_str()), (0, ""));
    assert_eq!(ran.err, "wrote the plan to plan.html\n");
    let written = std::fs::read_to_string(kitchen.folder().join("plan.html")).unwrap();
    assert!(written == page);
    assert!(page.starts_with("<!DOCTYPE html>"));
    for absent in [
        "<script", "<b>", "http://", "https://", "src=", "href=", "@import", "onload",
    ] {
        assert!(!page.contains(absent), "{absent}");
    }
    assert!(page.contains("&lt;script&gt;alert('1') &amp; &quot;loaf&quot;"));
    assert!(page.contains("&lt;b&gt;walk-in &amp; &quot;co&quot;"));
    let closed = closed(&page);
    let document = Document::parse(&closed).unwrap();
    let mut rects = 0;
    for svg in document
        .descendants()
        .filter(|node| node.has_tag_name("svg"))
    {
        let Some(frame) = svg.attribute("viewBox") else {
            continue;
        };
        let frame: Vec<f64> = frame.split(' ').map(|side| side.parse().unwrap()).collect();
        for rect in svg.descendants().filter(|node| node.has_tag_name("rect")) {
            let side = |name| rect.attribute(name).unwrap().parse::<f64>().unwrap();
            let is_lot = rect.attribute("class") == Some("lot");
            // A lot without a date is open to the right: its end lies outside.
            let over = if is_lot { 1.5 } else { 0.5 };
            assert!(side("x") >= -1.0 && side("width") >= 0.0, "{rect:?}");
            assert!(side("x") + side("width") <= frame[2] + over, "{rect:?}");
            assert!(
                side("y") >= 0.0 && side("y") + side("height") <= frame[3],
                "{rect:?}"
            );
            rects += 1;
        }
    }
    assert!(rects > 20, "{rects}");
}

/// `--accept` may be asked for with it; what cannot be written leaves the book as it was, or says that it did.
#[test]
fn a_page_may_be_of_an_accepted_plan() {
    let kitchen = kitchen();
    let page = kitchen.ok("plan --accept --html -");
    assert!(readable(&page).contains("Accepted: the grain is promised to these bakes."));
    assert_eq!(kitchen.json("plan")["changes"], serde_json::json!([]));
    let refused = kitchen.refused(1, "plan --html book.draff");
    assert!(refused.contains("belongs to the book"), "{refused}");
}

/// `UPDATE_DOCS=1 cargo test plan_page` writes the file anew; look at it before it is kept.
#[test]
fn the_page_is_the_one_that_was_looked_at() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sheets/plan.html");
    let page = kitchen().ok("plan --html -");
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    assert!(
        std::fs::read_to_string(&path).unwrap_or_default() == page,
        "plan.html differs"
    );
}
