//! `report`: what a period came to, held against `usage`, `trace` and `shelf`.

use crate::env::{Kitchen, LOAF, one_line};
use crate::kills::Dice;
use serde_json::Value;
use std::collections::BTreeMap;

/// Milligrams of a mass in grams.
fn milligrams(value: &Value) -> i64 {
    (value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no mass"))
        * 1e3)
        .round() as i64
}

fn rows<'v>(answer: &'v Value, key: &str) -> &'v Vec<Value> {
    answer[key].as_array().unwrap_or_else(|| panic!("no {key}"))
}

/// No answer holds a number that is none.
fn refuse_nonsense(text: &str) {
    for word in ["NaN", "inf ", "-0 ", "null"] {
        assert!(!text.contains(word), "{word} in\n{text}");
    }
}

const WAYS: [(&str, &str); 6] = [
    ("baked_wet_g", "bake"),
    ("given_wet_g", "give"),
    ("feed_wet_g", "feed"),
    ("discarded_wet_g", "discard"),
    ("treatment_loss_wet_g", "treatment-loss"),
    ("missing_wet_g", "count-correction"),
];

/// A book of random acts of two weeks; acts that are refused write nothing.
fn random_book(seed: u64) -> Kitchen {
    let mut dice = Dice(seed);
    let mut kitchen = Kitchen::new();
    let mut lots: Vec<String> = Vec::new();
    for step in 0..70 {
        let (day, hour) = (1 + step / 5, 7 + 2 * (step % 5));
        kitchen.at(&format!("2026-11-{day:02}T{hour:02}:00:00Z"));
        let wet = 100 + dice.below(3_000);
        let lot = (!lots.is_empty()).then(|| lots[dice.below(lots.len() as u64) as usize].clone());
        let other =
            (!lots.is_empty()).then(|| lots[dice.below(lots.len() as u64) as usize].clone());
        let (Some(lot), Some(other)) = (lot.filter(|_| dice.below(4) > 0), other) else {
            let source = ["Alder Lane", "Mill Brook", "Tarn End"][dice.below(3) as usize];
            let booked = kitchen.json(&format!(
                "pickup --source \"{source}\" --brewed today --mash-out \"today 06:00\" --cooled \"today 07:00\" --wet {}.{}kg",
                2 + dice.below(9),
                dice.below(1_000)
            ));
            lots.push(booked["lot"].as_str().unwrap().to_owned());
            continue;
        };
        let act = match dice.below(11) {
            0 | 1 => format!("use {lot} --wet {wet}g --for \"pan loaf\""),
            2 => format!("give {lot} --wet {wet}g --to café"),
            3 => format!("discard {lot} --wet {wet}g --as feed --reason spare"),
            4 => format!("discard {lot} --wet {wet}g --reason spilt"),
            5 => format!(
                "treat {lot} --step press --wet-in {wet}g --wet-out {}g",
                wet / 2 + 40
            ),
            6 => format!("count {lot} --wet {}g", wet + 500),
            7 => format!("join {lot} {other} --to fridge"),
            8 => format!("portion {lot} --into 2x{wet}g --to freezer"),
            9 => format!("strike {} --reason \"by mistake\"", kitchen.entries()),
            _ => format!(
                "moisture {lot} --weighing 12.0g,112.0g,{}.{}g",
                33 + dice.below(5),
                dice.below(10)
            ),
        };
        let ran = kitchen.run(&format!("--json {act}"));
        if ran.code == 0
            && let Ok(made) = serde_json::from_str::<Value>(&ran.out)
        {
            let news = ["lots", "parts"]
                .iter()
                .flat_map(|key| made[key].as_array().into_iter().flatten());
            let codes = news
                .chain([&made, &made["product"]])
                .filter_map(|one| one["lot"].as_str());
            for code in codes.map(str::to_owned).collect::<Vec<_>>() {
                if !lots.contains(&code) {
                    lots.push(code);
                }
            }
        }
    }
    kitchen.ok("check");
    kitchen
}

/// Joined grain names all its sources, and the report counts it to the first.
fn first_of(names: &Value) -> &str {
    names.as_str().unwrap().split(" + ").next().unwrap()
}

#[test]
fn sums_are_those_of_usage_trace_and_shelf_in_random_books() {
    for seed in [11, 12, 13] {
        let kitchen = random_book(seed);
        let report = kitchen.json("report");
        refuse_nonsense(&kitchen.ok("report"));
        let sources = rows(&report, "balance");
        let usage = kitchen.json("usage");
        let mut by_usage: BTreeMap<(String, String), (i64, f64)> = BTreeMap::new();
        for line in rows(&usage, "usage") {
            let text = |key: &str| first_of(&line[key]).to_owned();
            let sum = by_usage.entry((text("source"), text("kind"))).or_default();
            sum.0 += milligrams(&line["wet_g"]);
            sum.1 += line["dry_g"].as_f64().unwrap();
        }
        let shelf = kitchen.json("shelf");
        for balance in sources {
            let source = balance["source"].as_str().unwrap();
            if source == "all sources" {
                continue;
            }
            for (key, kind) in WAYS {
                let used = by_usage
                    .get(&(source.to_owned(), kind.to_owned()))
                    .copied()
                    .unwrap_or_default();
                assert_eq!(
                    milligrams(&balance[key]),
                    used.0,
                    "seed {seed}: {key} of {source}"
                );
            }
            let baked = by_usage
                .get(&(source.to_owned(), "bake".to_owned()))
                .copied()
                .unwrap_or_default();
            let dry = balance["baked_dry_g"].as_f64().unwrap();
            assert!((dry - baked.1).abs() < 1e-3, "{dry} {}", baked.1);
            let held: i64 = rows(&shelf, "lots")
                .iter()
                .filter(|lot| first_of(&lot["source"]) == source)
                .map(|lot| milligrams(&lot["wet_g"]))
                .sum();
            assert_eq!(
                milligrams(&balance["closing_wet_g"]),
                held,
                "seed {seed}: {source}"
            );
            assert_eq!(
                milligrams(&balance["opening_wet_g"]),
                0,
                "nothing was there before the first entry"
            );
        }
        // Where grain of one source was never joined to another's, a recall of it ends in the same balance.
        let all = sources.last().unwrap();
        if sources
            .iter()
            .all(|one| one["from_other_sources_wet_g"] == 0.0)
        {
            for balance in sources.iter().filter(|one| one["source"] != "all sources") {
                let name = balance["source"].as_str().unwrap();
                let trace = kitchen.json(&format!("trace --source \"{name}\""));
                for (key, traced) in [
                    ("came_in_wet_g", "came_g"),
                    ("baked_wet_g", "used_g"),
                    ("closing_wet_g", "on_hand_g"),
                ] {
                    assert_eq!(
                        milligrams(&balance[key]),
                        milligrams(&trace["balance"][traced]),
                        "{key}"
                    );
                }
            }
        }
        assert!(milligrams(&all["came_in_wet_g"]) > 0);
        let days = rows(&report, "days");
        let last = days
            .last()
            .map_or(0.0, |day| day["dry_so_far_g"].as_f64().unwrap());
        let breads: f64 = rows(&report, "breads")
            .iter()
            .map(|one| one["dry_g"].as_f64().unwrap())
            .sum();
        assert!(
            (last - breads).abs() < 1e-3
                && (last - all["baked_dry_g"].as_f64().unwrap()).abs() < 1e-3
        );
    }
}

#[test]
fn what_one_part_of_a_time_ends_with_the_next_begins_with() {
    let kitchen = random_book(14);
    let parts = [
        "--to 2026-11-05",
        "--from 2026-11-06 --to 2026-11-09",
        "--from 2026-11-10",
    ];
    let reports = parts.map(|part| kitchen.json(&format!("report {part}")));
    let whole = kitchen.json("report");
    let all = |report: &Value| rows(report, "balance").last().cloned().unwrap();
    for two in reports.windows(2) {
        assert_eq!(all(&two[0])["closing_wet_g"], all(&two[1])["opening_wet_g"]);
    }
    assert_eq!(
        all(&reports[2])["closing_wet_g"],
        all(&whole)["closing_wet_g"]
    );
    for (key, _) in WAYS.into_iter().chain([("came_in_wet_g", "")]) {
        let sum: i64 = reports
            .iter()
            .map(|report| milligrams(&all(report)[key]))
            .sum();
        assert_eq!(sum, milligrams(&all(&whole)[key]), "{key}");
    }
    let month = kitchen.json("report --month 2026-11");
    assert_eq!(month["balance"], whole["balance"]);
    assert_eq!(kitchen.json("report --season")["balance"], whole["balance"]);
    assert_eq!(
        kitchen.json("report --season 2026-09")["balance"],
        whole["balance"]
    );
}

#[test]
fn a_book_without_entries_and_a_period_without_any_are_answered_plainly() {
    let mut kitchen = Kitchen::new();
    for words in [
        "report",
        "report --month 2026-03",
        "report --season 2026-01",
    ] {
        let text = kitchen.ok(words);
        refuse_nonsense(&text);
        assert!(
            text.contains("The book holds no entry for this period."),
            "{text}"
        );
        assert!(rows(&kitchen.json(words), "balance").is_empty());
    }
    kitchen.lot("10kg");
    kitchen.at("2026-12-01T08:00:00Z");
    let text = kitchen.ok("report --from 2026-11-28");
    refuse_nonsense(&text);
    // The lot lies there all the time, past its date; nobody used it.
    assert!(
        text.contains("On hand before") && text.contains("10 kg"),
        "{text}"
    );
    assert!(text.contains("No grain went into a dough."), "{text}");
    let text = kitchen.ok("report --month 2026-11");
    assert!(text.contains("1 lot came in, 0 of them tested"), "{text}");
    assert!(
        text.contains("No bake of the book was baked or dropped."),
        "{text}"
    );
}

#[test]
fn periods_that_are_none_are_refused() {
    let kitchen = Kitchen::new();
    let told = kitchen.refused(2, "report --from 2026-11-10 --to 2026-11-09");
    assert!(told.contains("--from lies after --to"), "{told}");
    for words in [
        "report --month november",
        "report --month 2026-13",
        "report --season 2026",
        "report --month 2026-11 --from 2026-11-01",
        "report --month 2026-11 --season",
        "report --from sometime",
    ] {
        kitchen.refused(2, words);
    }
}

/// A week with a done and a dropped bake, readings of a warm fridge, a strike and a correction.
fn week() -> Kitchen {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("settings flour-price 1.20");
    kitchen.ok(&format!(
        "bake add \"small loaf\" --at \"2026-11-20 12:00\" mix --pieces 4 --lot {lot}"
    ));
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 12:00\" mix --pieces 4");
    kitchen.ok("bake add \"small loaf\" --at \"2026-11-21 15:00\" mix --pieces 4");
    kitchen.ok("plan --accept");
    kitchen.at("2026-11-20T12:30:00Z");
    kitchen.ok("bake done B-1S --water 290g --pieces 4 --baked 2.81kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for rolls"));
    kitchen.ok(&format!(
        "strike {} --reason \"typed twice\"",
        kitchen.entries()
    ));
    kitchen.file(
        "air.csv",
        "time,temp C\n2026-11-20 10:30,4\n2026-11-20 11:00,9\n2026-11-20 11:30,4\n",
    );
    kitchen.ok("readings fridge --csv air.csv");
    kitchen.at("2026-11-21T12:30:00Z");
    kitchen.ok("bake drop B-2Q --reason \"no market\"");
    kitchen
}

#[test]
fn bakes_water_readings_and_strikes_are_told() {
    let kitchen = week();
    let report = kitchen.json("report");
    let bakes = rows(&report, "bakes");
    assert_eq!(bakes.len(), 2);
    assert_eq!(bakes[0]["supply"], "as wanted");
    assert_eq!(
        (&bakes[1]["supply"], &bakes[1]["reason"]),
        (&"not baked".into(), &"no market".into())
    );
    let water = &rows(&report, "water")[0];
    assert_eq!(water["poured_g"], 290.0);
    let part =
        (290.0 - water["pour_first_g"].as_f64().unwrap()) / water["hold_back_g"].as_f64().unwrap();
    assert!((water["hold_back_used_share"].as_f64().unwrap() - part).abs() < 1e-6);
    let bread = &rows(&report, "breads")[0];
    assert_eq!(
        (&bread["pieces"], &bread["baked_g"]),
        (&4.into(), &2810.0.into())
    );
    // 1.20 a kilogram of what stood in for flour.
    let money = bread["dry_g"].as_f64().unwrap() * 1.2e-3;
    assert!((bread["money"].as_f64().unwrap() - money).abs() < 0.005);
    let fridge = rows(&report, "places")
        .iter()
        .find(|one| one["place"] == "fridge")
        .unwrap()
        .clone();
    assert_eq!(
        (&fridge["readings"], &fridge["highest_c"]),
        (&3.into(), &9.0.into())
    );
    assert_eq!(fridge["out_of_limit_minutes"], 60);
    // All the time of the book but the hour that was measured: since 2 January 08:00, whatever time before is asked for.
    for (asked, minutes) in [
        ("report", 323 * 1440 + 270 - 60),
        ("report --from 2025-06-01", 323 * 1440 + 270 - 60),
        ("report --from 2026-11-20", 1440 + 750 - 60),
    ] {
        let places = kitchen.json(asked);
        let places = rows(&places, "places");
        let fridge = places.iter().find(|one| one["place"] == "fridge");
        let without = fridge.map_or(&Value::Null, |one| &one["without_reading_minutes"]);
        assert_eq!(*without, minutes, "{asked}");
    }
    assert_eq!(rows(&report, "excursions").len(), 1);
    let struck = &rows(&report, "put_right")[0];
    assert_eq!(
        (&struck["kind"], &struck["what"], &struck["reason"]),
        (&"use".into(), &"struck".into(), &"typed twice".into())
    );
    let promise = &rows(&report, "promises")[0];
    assert_eq!(
        promise["promised_wet_g"],
        promise["drawn_as_promised_wet_g"]
    );
    assert_eq!(report["plans_accepted"], 1);
    let text = kitchen.ok("report");
    refuse_nonsense(&text);
    assert!(
        text.contains("1 of 2 bakes got as much grain as wanted; 1 not baked."),
        "{text}"
    );
    // The struck use is in no sum.
    assert!(!text.contains("rolls"), "{text}");
    let us = kitchen.ok("--us report");
    assert!(us.contains("°F") && !us.contains("°C"), "{us}");
}

#[test]
fn a_struck_bake_takes_its_figures_with_it() {
    let kitchen = week();
    let before = kitchen.json("report");
    kitchen.ok(&format!(
        "strike {} --reason wrong",
        kitchen.last_entry("baked")
    ));
    let after = kitchen.json("report");
    assert!(rows(&after, "water").is_empty() && !rows(&before, "water").is_empty());
    assert_eq!(rows(&after, "bakes").len(), 1);
}

/// Texts of the pictures of a page, each a whole SVG.
fn pictures(page: &str) -> Vec<String> {
    page.split("<svg class=\"chart\"")
        .skip(1)
        .map(|rest| {
            let (picture, _) = rest.split_once("</svg>").expect("a picture ends");
            format!("<svg{picture}</svg>")
        })
        .collect()
}

#[test]
fn the_page_holds_all_it_needs_and_each_picture_says_what_it_shows() {
    let kitchen = week();
    kitchen.ok("report --html report.html");
    let page = std::fs::read_to_string(kitchen.folder().join("report.html")).unwrap();
    refuse_nonsense(&page);
    assert!(
        page.contains("default-src 'none'")
            && !page.contains("http://")
            && !page.contains("<script")
    );
    let pictures = pictures(&page);
    assert!(pictures.len() >= 6, "{}", pictures.len());
    for picture in &pictures {
        let tree = roxmltree::Document::parse(picture).unwrap();
        let root = tree.root_element();
        assert_eq!(root.attribute("role"), Some("img"));
        let title = root
            .children()
            .find(|node| node.has_tag_name("title"))
            .unwrap();
        let title = title.text().unwrap_or_default();
        assert!(title.ends_with('.'), "no finding: {title}");
        // Nothing is drawn beside the picture.
        let size: Vec<f64> = root
            .attribute("viewBox")
            .unwrap()
            .split(' ')
            .map(|n| n.parse().unwrap())
            .collect();
        for node in root.descendants() {
            for (name, most) in [
                ("x", size[2]),
                ("cx", size[2]),
                ("x1", size[2]),
                ("y", size[3]),
                ("cy", size[3]),
            ] {
                let at: f64 = node.attribute(name).map_or(0.0, |at| at.parse().unwrap());
                assert!(
                    (0.0..=most + 0.05).contains(&at),
                    "{name} {at} in {picture}"
                );
            }
        }
    }
    // The same as on stdout; an empty book has no picture and still a page.
    assert_eq!(page, kitchen.ok("report --html -"));
    let empty = Kitchen::new().ok("report --html -");
    assert!(empty.contains("The book holds no entry") && !empty.contains("<svg class=\"chart\""));
}

#[test]
fn csv_files_hold_the_cells_of_json() {
    let kitchen = week();
    kitchen.ok("report --csv tables");
    let report = kitchen.json("report");
    for key in [
        "balance",
        "bakes",
        "lots",
        "water",
        "places",
        "put_right",
        "days",
    ] {
        let path = kitchen.folder().join("tables").join(format!("{key}.csv"));
        let mut file = csv::Reader::from_path(path).unwrap();
        let heads = file.headers().unwrap().clone();
        let mut seen = 0;
        for (record, row) in file.records().map(Result::unwrap).zip(rows(&report, key)) {
            seen += 1;
            for (head, cell) in heads.iter().zip(&record) {
                let wanted = match &row[head] {
                    Value::Null => String::new(),
                    Value::String(text) => text.clone(),
                    other => other.to_string(),
                };
                assert_eq!(cell, wanted, "{head} of {key}");
            }
        }
        assert_eq!(seen, rows(&report, key).len(), "{key}");
    }
}

#[test]
fn a_spreadsheet_reads_back_as_dates_numbers_and_text() {
    use calamine::{Data, Reader, Xlsx, open_workbook};
    let kitchen = week();
    kitchen.ok("report --xlsx report.xlsx");
    let path = kitchen.folder().join("report.xlsx");
    let mut book: Xlsx<_> = open_workbook(&path).unwrap();
    assert_eq!(book.sheet_names()[0], "answers");
    let sheet = book.worksheet_range("balance").unwrap();
    assert_eq!(
        sheet.get_value((0, 3)),
        Some(&Data::String("Came in (g)".into()))
    );
    assert_eq!(sheet.get_value((1, 3)), Some(&Data::Float(10_000.0)));
    let bakes = book.worksheet_range("bakes").unwrap();
    match bakes.get_value((1, 2)) {
        Some(Data::DateTime(at)) => {
            let at = at.as_datetime().unwrap().to_string();
            assert_eq!(at, "2026-11-20 12:00:00");
        }
        other => panic!("{other:?} is no date"),
    }
    // A name that a spreadsheet would run as a formula stays text.
    let other = Kitchen::new();
    let lot = other.lot("10kg");
    other.ok(&format!("use {lot} --wet 300g --for \"=1+1\""));
    other.ok("report --xlsx other.xlsx");
    let mut others: Xlsx<_> = open_workbook(other.folder().join("other.xlsx")).unwrap();
    let breads = others.worksheet_range("breads").unwrap();
    assert_eq!(breads.get_value((1, 0)), Some(&Data::String("=1+1".into())));
    assert!(others.worksheet_formula("breads").unwrap().is_empty());
    // The same book and moment give the same bytes.
    let first = std::fs::read(&path).unwrap();
    kitchen.ok("report --xlsx report.xlsx");
    assert!(first == std::fs::read(&path).unwrap(), "bytes differ");
    // Nothing but a plain file is replaced, and never the book.
    kitchen.refused(1, "report --xlsx book.draff");
    kitchen.refused(1, "report --html book.draff");
}

/// Water is compared with what the sheet said for the grain that is written down, and with no other.
#[test]
fn water_of_a_sheet_of_other_grain_is_left_out() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    for hour in [12, 15] {
        kitchen.ok(&format!(
            "bake add \"small loaf\" --at \"2026-11-20 {hour}:00\" mix --pieces 4 --lot {lot}"
        ));
    }
    kitchen.at("2026-11-20T15:30:00Z");
    kitchen.ok("bake done B-1S --at \"2026-11-20 12:10\" --water 290g");
    let draw = kitchen.json("bake show B-1S")["result"]["draws"][0].clone();
    let whole = draw["wet_g"].as_f64().unwrap();
    let half = (whole / 2.0).round();
    let compared = |kitchen: &Kitchen| rows(&kitchen.json("report"), "water").len();
    assert_eq!(compared(&kitchen), 1);
    kitchen.ok(&format!("bake done B-2Q --used {lot}={half}g --water 290g"));
    assert_eq!(compared(&kitchen), 1);
    let words = kitchen.ok("report");
    let words = one_line(&words);
    let left_out = "Left out: 1 bake whose sheet was for other grain than is written down.";
    assert!(words.contains(left_out), "{words}");
    for (wet, bakes) in [(whole, 2), (half, 1)] {
        let draw = kitchen.last_entry("use");
        kitchen.ok(&format!("correct {draw} --wet {wet}g --reason misread"));
        assert_eq!(compared(&kitchen), bakes);
    }
}
