//! `ticket`: the label of a tub.

use crate::env::{Kitchen, SLIP, commands_in, has, one_line};

fn with_a_lot() -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    let lot = kitchen.json("pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg --grist \"pale barley malt 80%, oat flakes 20%\"");
    let code = lot["lot"].as_str().unwrap().to_owned();
    (kitchen, code)
}

#[test]
fn it_says_code_date_and_gluten() {
    let (kitchen, lot) = with_a_lot();
    let text = kitchen.ok(&format!("ticket {lot}"));
    for words in [
        lot.as_str(),
        "Use by",
        "Alder Lane, brewed",
        "10 kg mashed, whole",
        "use first from",
        "Gluten: barley, oats\n",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // What the grist does not tell may be there.
    let unknown = kitchen
        .json("pickup --source Brook --brewed today --mash-out 07:30 --cooled 09:00 --wet 3kg");
    let unknown = unknown["lot"].as_str().unwrap();
    let text = kitchen.ok(&format!("ticket {unknown}"));
    assert!(
        text.contains("Gluten: perhaps wheat, rye, barley, oats"),
        "{text}"
    );
    // The day on which the shelf begins to say so.
    let label = kitchen.json(&format!("ticket {lot}"));
    let label = &label["tickets"][0];
    let from = label["use_first_from"].as_str().unwrap();
    assert_eq!(label["gluten_named"], serde_json::json!(["barley", "oats"]));
    let verdict = |now: &str| {
        let shelf = kitchen.json(&format!("--now {now} shelf"));
        let lots = shelf["lots"].as_array().unwrap();
        lots.iter().find(|one| one["lot"] == lot.as_str()).unwrap()["verdict"].clone()
    };
    assert_eq!(verdict(from), "use-first");
    let day_before = from
        .parse::<chrono::DateTime<chrono::FixedOffset>>()
        .unwrap()
        - chrono::Duration::seconds(1);
    assert_eq!(verdict(&day_before.to_rfc3339()), "good");
}

#[test]
fn frozen_and_past_grain_say_so() {
    let (kitchen, lot) = with_a_lot();
    kitchen.ok(&format!("move {lot} freezer"));
    let text = kitchen.ok(&format!("ticket {lot}"));
    assert!(text.contains("Keep it frozen. Thawed: "), "{text}");
    let (kitchen, lot) = with_a_lot();
    let text = kitchen.ok(&format!("--now \"2026-12-20 10:00\" ticket {lot}"));
    assert!(text.contains("PAST: throw it away"), "{text}");
}

/// The modules of the QR code in a page, and the side of the picture in millimetres.
fn modules(page: &str) -> (usize, Vec<Vec<bool>>, f64) {
    let svg = &page[page.find("<svg class=\"qr\"").unwrap()..];
    let svg = &svg[..svg.find("</svg>").unwrap() + 6];
    let drawing = roxmltree::Document::parse(svg).unwrap();
    let view = drawing.root_element().attribute("viewBox").unwrap();
    let side: usize = view.rsplit(' ').next().unwrap().parse().unwrap();
    let path = drawing
        .descendants()
        .find(|node| node.has_tag_name("path"))
        .unwrap();
    let mut dark = vec![vec![false; side]; side];
    for square in path.attribute("d").unwrap().split('M').skip(1) {
        let (at, shape) = square.split_once('h').unwrap();
        assert_eq!(shape, "1v1h-1z");
        let (column, row) = at.split_once(' ').unwrap();
        dark[row.parse::<usize>().unwrap()][column.parse::<usize>().unwrap()] = true;
    }
    let width = page
        .split(".ticket .qr { display: block; width: ")
        .nth(1)
        .unwrap();
    (
        side,
        dark,
        width.split("mm").next().unwrap().parse().unwrap(),
    )
}

/// Rendered at 150 dots an inch, as a label printer does, and read by a decoder that is not ours (rqrr 0.11).
#[test]
fn the_code_is_read_by_another_decoder_at_150_dots_an_inch() {
    let (kitchen, lot) = with_a_lot();
    for (address, holds) in [
        ("", lot.clone()),
        (
            "--address http://192.168.178.120:8080/",
            format!("http://192.168.178.120:8080/lot/{lot}"),
        ),
    ] {
        let page = kitchen.ok(&format!("ticket {lot} {address} --html -"));
        let (side, dark, width) = modules(&page);
        let pixels = (width / 25.4 * 150.0).round() as usize;
        assert!(pixels < 150, "{pixels}");
        let mut image =
            rqrr::PreparedImage::prepare_from_bitmap(pixels + 20, pixels + 20, |x, y| {
                let inside = |at: usize| {
                    (10..10 + pixels)
                        .contains(&at)
                        .then(|| (at - 10) * side / pixels)
                };
                match (inside(x), inside(y)) {
                    (Some(column), Some(row)) => dark[row][column],
                    _ => false,
                }
            });
        let found = image.detect_grids();
        assert_eq!(found.len(), 1, "{address}");
        let (_, text) = found[0].decode().unwrap();
        assert_eq!(text, holds);
    }
}

#[test]
fn labels_go_on_sheets_from_the_first_free_one() {
    let (kitchen, lot) = with_a_lot();
    let page = kitchen.ok(&format!("ticket {lot} {lot} --size a4 --first 21 --html -"));
    assert_eq!(
        page.matches("<section class=\"tickets of-a4\">").count(),
        2,
        "two sheets"
    );
    assert_eq!(page.matches("<div class=\"ticket\"></div>").count(), 20);
    for (line, words) in [
        (format!("ticket {lot} --size a5"), "62x40, a4 or letter"),
        (format!("ticket {lot} --size letter --first 11"), "1 to 10"),
        (format!("ticket {lot} --address bench:8080"), "http://"),
    ] {
        let ran = kitchen.run(&line);
        assert_eq!(ran.code, 2, "{line}");
        assert!(ran.err.contains(words), "{line}: {}", ran.err);
    }
    // A name is data.
    let odd = kitchen.json("pickup --source \"<b>Brook & Co\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 3kg");
    let page = kitchen.ok(&format!("ticket {} --html -", odd["lot"].as_str().unwrap()));
    assert!(page.contains("&lt;b&gt;Brook &amp; Co") && !page.contains("<b>Brook"));
}

/// No tub is left that a ticket hangs on.
#[test]
fn a_corrected_grist_of_grain_that_is_gone_asks_for_no_ticket() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("3kg");
    let pickup = kitchen.last_entry("pickup");
    kitchen.ok(&format!("use {lot} --wet 3kg --for buns"));
    let told = kitchen.told(&format!(
        "correct {pickup} --grist \"wheat malt 100%\" --reason \"wrong sack\""
    ));
    assert!(!told.contains("ticket"), "{told}");
}

#[test]
fn a_place_that_is_stated_warmer_names_the_tickets() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let told = kitchen.told("place change fridge --temp 8C");
    has(&told, &format!("draff ticket {lot}"));
}

#[test]
fn a_ticket_that_names_another_grist_source_or_form_is_untrue() {
    let (mut kitchen, cor, ald) = Kitchen::with_two_tubs();
    let mut minutes = 0;
    let mut later = |kitchen: &mut Kitchen| {
        minutes += 5;
        kitchen.at(&format!("2026-11-09T11:{minutes:02}:00Z"));
    };
    let asks = |kitchen: &Kitchen| one_line(&kitchen.ok("today")).contains("print a new ticket");
    later(&mut kitchen);
    kitchen.ok(&format!("ticket {cor} {ald}"));
    for (act, what) in [
        ("correct 5 --grist \"wheat malt 100%\"", "grist"),
        ("correct 9 --form pressed", "form"),
        ("correct 10 --source \"Tarn Fell\"", "source"),
    ] {
        later(&mut kitchen);
        assert!(!asks(&kitchen), "before: {act}");
        let told = kitchen.told(&format!("{act} {SLIP}"));
        assert_eq!(told.matches("print a new one").count(), 1, "{told}");
        has(&told, &format!("draff ticket {cor}"));
        let today = one_line(&kitchen.ok("today"));
        has(
            &today,
            &format!("was printed before the {what} was corrected"),
        );
        has(&today, &format!("draff ticket {cor}"));
        assert!(!today.contains(&format!("draff ticket {ald}")), "{today}");
        later(&mut kitchen);
        kitchen.ok(&format!("ticket {cor}"));
    }
    later(&mut kitchen);
    kitchen.ok("source rename \"Alder Lane\" --to \"Quern Yard\"");
    let today = one_line(&kitchen.ok("today"));
    has(&today, &format!("draff ticket {ald}"));
    has(&today, "before the source was corrected");
    later(&mut kitchen);
    kitchen.ok(&format!("ticket {ald}"));
    assert!(!asks(&kitchen));
    // A struck correction changes the label back.
    later(&mut kitchen);
    kitchen.ok("strike 11 --reason \"was right\"");
    has(
        &one_line(&kitchen.ok("today")),
        "before the source was corrected",
    );
}

#[test]
fn an_empty_lot_has_no_ticket() {
    let kitchen = Kitchen::on_monday();
    let (empty, full) = (
        kitchen.tub("Corrow Weir", "--wet 6kg"),
        kitchen.tub("Alder Lane", "--wet 6kg"),
    );
    kitchen.ok(&format!("use {empty} --wet 6kg --for bread"));
    for lots in [empty.clone(), format!("{full} {empty}")] {
        let said = kitchen.refused(1, &format!("ticket {lots}"));
        has(&said, &format!("nothing is left of lot `{empty}`"));
        for command in commands_in(&said) {
            assert_eq!(command, format!("trace {empty}"));
            has(&kitchen.ok(&command), "bread");
        }
    }
    kitchen.ok(&format!("ticket {full}"));
}
