//! `usage`: what was taken from lots, as words, JSON and CSV.

use crate::env::{Kitchen, has, one_line};
use serde_json::json;

const HEADER: &str = "used_at,lot,source,brewed_on,kind,bake,formula,wet_g,moisture_wet_basis,dry_g,\
                      carried_water_g,flour_equivalent_g,by,note";

/// A book with a use on the 20th, another on the 22nd and a discard on the 23rd; now is the 23rd.
fn used() -> (Kitchen, String, String) {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let other = kitchen.json(
        "pickup --source \"Mill Brook\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 5kg",
    )["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.ok(&format!(
        "--by Ines use {lot} --wet 435.5g --for \"pan loaf, daily\""
    ));
    kitchen.at("2026-11-22T07:00:00Z");
    kitchen.ok(&format!("use {other} --wet 1kg --for rolls"));
    kitchen.at("2026-11-23T12:00:00Z");
    kitchen.ok(&format!("discard {lot} --wet 1kg --reason \"lid open\""));
    (kitchen, lot, other)
}

#[test]
fn the_columns_and_cells_are_as_promised() {
    let (kitchen, lot, other) = used();
    let csv = kitchen.ok("usage --csv -");
    let lines: Vec<&str> = csv.lines().collect();
    assert_eq!(
        lines,
        [
            HEADER.to_owned(),
            format!(
                "2026-11-20T10:00:00+00:00,{lot},Alder Lane,2026-11-20,bake,\"pan loaf, daily\",,435.5,0.7800,95.8,339.7,95.8,Ines,"
            ),
            format!(
                "2026-11-22T07:00:00+00:00,{other},Mill Brook,2026-11-20,bake,rolls,,1000,0.7800,220.0,780.0,220.0,,"
            ),
            format!(
                "2026-11-23T12:00:00+00:00,{lot},Alder Lane,2026-11-20,discard,,,1000,0.7800,220.0,780.0,220.0,,lid open"
            ),
        ]
    );
}

#[test]
fn a_file_holds_the_same_as_the_answer() {
    let (kitchen, ..) = used();
    let ran = kitchen.run("usage --csv out.csv");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(ran.out, "");
    assert!(ran.err.contains("wrote 3 lines to out.csv"), "{}", ran.err);
    let written = std::fs::read_to_string(kitchen.folder().join("out.csv")).unwrap();
    assert_eq!(written, kitchen.ok("usage --csv -"));
    // An older file is replaced whole, and nothing else is left lying about.
    kitchen.ok("usage --csv out.csv --from 2026-11-23");
    let written = std::fs::read_to_string(kitchen.folder().join("out.csv")).unwrap();
    assert_eq!(written.lines().count(), 2);
    let mut names: Vec<String> = std::fs::read_dir(kitchen.folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, ["book.draff", "out.csv"]);
}

#[test]
fn a_file_that_cannot_be_written_is_refused() {
    let (kitchen, ..) = used();
    kitchen.refused(1, "usage --csv missing/folder/out.csv");
    kitchen.refused(1, "usage --csv .");
}

#[test]
fn time_lot_and_source_narrow_it() {
    let (kitchen, lot, other) = used();
    let count = |options: &str| {
        kitchen.json(&format!("usage {options}"))["usage"]
            .as_array()
            .unwrap()
            .len()
    };
    assert_eq!(count(""), 3);
    assert_eq!(count("--from 2026-11-22"), 2);
    assert_eq!(
        count("--to 2026-11-22"),
        2,
        "a bare day is meant to its end"
    );
    assert_eq!(count("--to \"2026-11-22 07:00\""), 2);
    assert_eq!(count("--to \"2026-11-22 06:59\""), 1);
    assert_eq!(count("--from 2026-11-21 --to 2026-11-22"), 1);
    assert_eq!(count(&format!("--lot {lot}")), 2);
    assert_eq!(count(&format!("--lot {other}")), 1);
    assert_eq!(count("--source \"mill brook\""), 1);
    assert_eq!(
        kitchen.ok("usage --csv - --from 2026-11-24"),
        format!("{HEADER}\n")
    );
    let unknown = kitchen.run("usage --source Nobody");
    assert_eq!(unknown.code, 1);
    assert!(unknown.err.contains("known are"), "{}", unknown.err);
    assert_eq!(
        kitchen.run("usage --from 2026-11-22 --to 2026-11-21").code,
        2
    );
}

#[test]
fn a_cell_that_a_spreadsheet_would_run_is_made_safe() {
    let kitchen = Kitchen::new();
    let lot = kitchen.json(
        "pickup --source \"=HYPERLINK(1)\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 5kg",
    )["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    kitchen.ok(&format!("--by @Ines use {lot} --wet 1kg --for \"+1-555\""));
    kitchen.ok(&format!(
        "--by=-Ines discard {lot} --wet 1kg --reason=\"-2+3\""
    ));
    let csv = kitchen.ok("usage --csv -");
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let mut rows = 0;
    for record in reader.records() {
        for cell in &record.unwrap() {
            assert!(!cell.starts_with(['=', '+', '-', '@']), "{cell}");
        }
        rows += 1;
    }
    assert_eq!(rows, 2);
    for cell in ["'=HYPERLINK(1)", "'@Ines", "'+1-555", "'-Ines", "'-2+3"] {
        assert!(csv.contains(cell), "{cell}\n{csv}");
    }
    let json = kitchen.json("usage");
    assert_eq!(
        json["usage"][0]["bake"], "+1-555",
        "JSON is not for spreadsheets"
    );
}

#[test]
fn the_moisture_is_that_known_today() {
    let (kitchen, lot, _) = used();
    kitchen.ok(&format!("moisture {lot} --lab 70% --lab-sd 0.1%"));
    let usage = kitchen.json(&format!("usage --lot {lot}"));
    let moisture = usage["usage"][0]["moisture_wet_basis"].as_f64().unwrap();
    assert!((moisture - 0.70).abs() < 0.001, "{usage}");
}

#[test]
fn the_table_adds_up() {
    let (kitchen, ..) = used();
    let out = kitchen.ok("usage");
    // 435.5 g + 1 kg + 1 kg, of which 22 % is dry: arithmetic. Half a gram may be shown either way.
    assert!(
        out.contains("In all 2.435 kg wet, 536 g dry grain")
            || out.contains("In all 2.436 kg wet, 536 g dry grain"),
        "{out}"
    );
    assert_eq!(kitchen.json("usage")["usage"][2]["bake"], json!(null));
}

#[test]
fn the_book_itself_is_never_written_over() {
    let (kitchen, ..) = used();
    kitchen.refused(1, "usage --csv book.draff");
    kitchen.refused(1, "usage --csv ./book.draff");
    assert!(kitchen.ok("check").contains("whole"));
}

#[test]
fn usage_tells_the_water_that_a_blend_added_and_what_it_lost_as_trace_and_report_do() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("4kg");
    kitchen.at("2026-11-20T11:00:00Z");
    kitchen.ok(&format!(
        "treat {lot} --step blend --wet-in 400g --water-added 600g --wet-out 950g --left-behind 50g --minutes 10 --temp 18C"
    ));
    let usage = kitchen.json("usage");
    let lines: Vec<f64> = usage["usage"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| {
            assert_eq!(line["kind"], "treatment-loss", "{line}");
            line["wet_g"].as_f64().unwrap()
        })
        .collect();
    assert_eq!(lines, [-600.0, 50.0]);
    assert_eq!(usage["usage"][0]["dry_g"], 0.0);
    assert!(usage["usage"][1]["dry_g"].as_f64().unwrap() > 1.0);
    let report = kitchen.json("report");
    let all = report["balance"].as_array().unwrap().last().unwrap();
    assert_eq!(all["added_in_treatments_wet_g"], 600.0);
    assert_eq!(all["lost_in_treatments_wet_g"], 50.0);
    let csv = kitchen.ok("usage --csv -");
    for cell in [",treatment-loss,,,-600,", ",treatment-loss,,,50,"] {
        has(&csv, cell);
    }
    let words = one_line(&kitchen.ok("usage"));
    for part in [
        "water added +600 g",
        "treatment-loss 50 g",
        "600 g came on top",
    ] {
        has(&words, part);
    }
}
