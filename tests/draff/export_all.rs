//! `export-all`: every table as CSV with a description, in a folder that is there whole or not at all.

use crate::env::Kitchen;
use serde_json::{Value, json};

/// A book with some of everything, and texts that a spreadsheet would run.
pub fn lived_in() -> Kitchen {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --weighing 12.0g,112.0g,35.4g"));
    kitchen.ok(&format!("move {lot} --wet 4kg --to freezer"));
    kitchen.ok(&format!(
        "--by \"=1+1\" use {lot} --wet 1kg --for \"@sum(a1), 'so'\""
    ));
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --reason \"'tis \\\"burnt\\\"\""
    ));
    kitchen.ok("pickup \"--source=-Mühle;\" --brewed today --wet 3kg --grist \"rye malt 100%\"");
    kitchen
}

fn description(kitchen: &Kitchen) -> Value {
    let text = std::fs::read_to_string(kitchen.folder().join("out/description.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

#[test]
fn every_table_is_written_and_described() {
    let kitchen = lived_in();
    let before = std::fs::read(kitchen.book()).unwrap();
    let out = kitchen.ok("export-all out");
    assert!(out.contains("`draff --book NEW import-all out`"), "{out}");
    assert!(before == std::fs::read(kitchen.book()).unwrap());
    let book = kitchen.sqlite();
    let mut statement = book
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")
        .unwrap();
    let names: Vec<String> = statement
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert!(
        out.contains(&format!("Written     11 entries: {} tables", names.len())),
        "{out}"
    );
    let description = description(&kitchen);
    let tables = description["tables"].as_array().unwrap();
    assert_eq!(
        tables
            .iter()
            .map(|table| table["table"].as_str().unwrap())
            .collect::<Vec<_>>(),
        names
    );
    let mut files: Vec<String> = std::fs::read_dir(kitchen.folder().join("out"))
        .unwrap()
        .map(|found| found.unwrap().file_name().into_string().unwrap())
        .collect();
    files.sort();
    let mut wanted: Vec<String> = names.iter().map(|name| format!("{name}.csv")).collect();
    wanted.push("description.json".into());
    wanted.sort();
    assert_eq!(files, wanted);
    for table in tables {
        let name = table["table"].as_str().unwrap();
        let file = kitchen.folder().join("out").join(format!("{name}.csv"));
        let mut reader = csv::Reader::from_path(file).unwrap();
        let columns: Vec<&str> = table["columns"]
            .as_array()
            .unwrap()
            .iter()
            .map(|column| column["column"].as_str().unwrap())
            .collect();
        assert_eq!(reader.headers().unwrap(), columns);
        let rows = reader.records().map(Result::unwrap).count();
        assert_eq!(table["rows"], json!(rows), "{name}");
        let counted: i64 = book
            .query_row(&format!("SELECT count(*) FROM {name}"), [], |row| {
                row.get(0)
            })
            .unwrap();
        assert_eq!(table["rows"], json!(counted), "{name}");
    }
}

/// The digests are those that any other program finds, here the tool of the GNU core utilities.
#[test]
fn the_digests_are_those_of_other_programs() {
    let kitchen = lived_in();
    kitchen.ok("export-all out");
    let mut list = String::new();
    for table in description(&kitchen)["tables"].as_array().unwrap() {
        let text = |key: &str| table[key].as_str().unwrap().to_owned();
        list.push_str(&format!("{}  {}\n", text("sha256"), text("file")));
    }
    kitchen.file("out/SHA256SUMS", &list);
    let checked = std::process::Command::new("sha256sum")
        .args(["--check", "--strict", "SHA256SUMS"])
        .current_dir(kitchen.folder().join("out"))
        .output();
    // Not every system has the tool; where it is, it has to agree.
    if let Ok(checked) = checked {
        assert!(
            checked.status.success(),
            "{}",
            String::from_utf8_lossy(&checked.stdout)
        );
    }
    // FIPS 180-4, as in NIST's example vectors: the digest of `abc`.
    let digest: String = {
        use sha2::Digest;
        sha2::Sha256::digest(b"abc")
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect()
    };
    assert_eq!(
        digest,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}

#[test]
fn units_and_meanings_stand_in_the_description() {
    let kitchen = lived_in();
    kitchen.ok("export-all out");
    let description = description(&kitchen);
    assert_eq!(description["schema_version"], json!(newest()));
    let column = |table: &str, column: &str| -> Value {
        let of = |list: &Value, key: &str, name: &str| -> Value {
            let found = list.as_array().unwrap().iter().find(|one| one[key] == name);
            found.unwrap_or_else(|| panic!("{name}")).clone()
        };
        of(
            &of(&description["tables"], "table", table)["columns"],
            "column",
            column,
        )
    };
    assert_eq!(
        column("entry", "wet_mg"),
        json!({"column": "wet_mg", "holds": "whole number", "unit": "milligram", "refers_to": null, "may_be_empty": true})
    );
    assert_eq!(column("entry", "lot_id")["refers_to"], "lot");
    assert_eq!(
        column("entry", "at")["unit"],
        "second since 1970-01-01T00:00:00Z"
    );
    assert_eq!(
        column("lot", "brewed_on")["unit"],
        "calendar day, YYYY-MM-DD"
    );
    assert_eq!(
        column("place_setting", "stated_mc")["unit"],
        "thousandth of a degree Celsius"
    );
    assert_eq!(
        column("moisture_test", "laboratory_ppm")["unit"],
        "part per million"
    );
    let about = description["tables"]
        .as_array()
        .unwrap()
        .iter()
        .find(|table| table["table"] == "stock")
        .unwrap()["about"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(
        about,
        "What is on hand. A lot that is used up or struck has no row."
    );
}

/// The newest schema version that there is.
pub fn newest() -> i64 {
    std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/migrations"))
        .unwrap()
        .map(|found| found.unwrap().file_name().into_string().unwrap())
        .map(|name| name.split_once('_').unwrap().0.parse().unwrap())
        .max()
        .unwrap()
}

#[test]
fn no_cell_is_run_as_a_formula() {
    let kitchen = lived_in();
    kitchen.ok("export-all out");
    let mut texts = 0;
    for found in std::fs::read_dir(kitchen.folder().join("out")).unwrap() {
        let path = found.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "csv") {
            continue;
        }
        for record in csv::Reader::from_path(&path).unwrap().records() {
            for cell in &record.unwrap() {
                let number = cell.parse::<i64>().is_ok();
                let starts = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '|', '%']);
                assert!(number || !starts, "{}: {cell}", path.display());
                texts += usize::from(cell.starts_with('\''));
            }
        }
    }
    assert!(texts >= 4, "nasty texts were written: {texts}");
}

#[test]
fn nothing_is_written_over() {
    let kitchen = lived_in();
    kitchen.file("letter.txt", "Dear baker");
    std::fs::create_dir(kitchen.folder().join("full")).unwrap();
    kitchen.file("full/letter.txt", "Dear baker");
    for folder in ["letter.txt", "full", ".", "book.draff", "full/.."] {
        let said = kitchen.refused(1, &format!("export-all {folder}"));
        assert!(said.contains("already"), "{folder}: {said}");
    }
    kitchen.refused(2, "export-all");
    kitchen.refused(1, "--book none.draff export-all out");
    kitchen.refused(1, "export-all letter.txt/out");
    std::fs::create_dir(kitchen.folder().join("empty")).unwrap();
    kitchen.ok("export-all empty");
    kitchen.ok("export-all deep/down");
    assert!(kitchen.folder().join("deep/down/entry.csv").exists());
}

#[cfg(unix)]
#[test]
fn what_is_written_is_its_owners_alone() {
    use std::os::unix::fs::PermissionsExt;
    let kitchen = lived_in();
    kitchen.ok("export-all out");
    let mode =
        |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let out = kitchen.folder().join("out");
    assert_eq!(mode(&out), 0o700);
    for found in std::fs::read_dir(out).unwrap() {
        assert_eq!(mode(&found.unwrap().path()), 0o600);
    }
}
