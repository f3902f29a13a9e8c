//! `import-all`: the new book holds every row of every table, or there is none.

use crate::env::Kitchen;
use crate::export_all::lived_in;
use crate::histories::{Bakery, act};
use proptest::prelude::*;
use rusqlite::Connection;
use rusqlite::types::Value;
use std::path::Path;

/// Every table with all its rows, and what made it, as any SQLite program reads them.
fn contents(book: &Path) -> Vec<(String, String, Vec<Vec<Value>>)> {
    let book = Connection::open(book).unwrap();
    let mut statement = book
        .prepare("SELECT type || ' ' || name, coalesce(sql, ''), type = 'table', name FROM sqlite_schema ORDER BY 1")
        .unwrap();
    let parts: Vec<(String, String, bool, String)> = statement
        .query_map([], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
        })
        .unwrap()
        .map(Result::unwrap)
        .collect();
    let mut contents = Vec::new();
    for (part, sql, is_table, name) in parts {
        let mut rows = Vec::new();
        if is_table {
            let mut statement = book.prepare(&format!("SELECT * FROM \"{name}\"")).unwrap();
            let width = statement.column_count();
            rows = statement
                .query_map([], |row| (0..width).map(|place| row.get(place)).collect())
                .unwrap()
                .map(Result::unwrap)
                .collect();
            rows.sort_by_key(|row: &Vec<Value>| format!("{row:?}"));
            if name == "book_identity" {
                // The same house; the line is another one.
                rows.iter_mut().for_each(|row| row.truncate(2));
            }
        }
        contents.push((part, sql, rows));
    }
    contents
}

#[test]
fn nothing_is_lost_on_the_way() {
    let kitchen = lived_in();
    kitchen.ok("export-all out");
    let out = kitchen.ok("--book second.draff import-all out");
    let flowing = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flowing.contains("rows come to the same bytes"), "{out}");
    let second = kitchen.folder().join("second.draff");
    let (before, after) = (contents(&kitchen.book()), contents(&second));
    assert!(before.len() > 50);
    assert!(before.iter().map(|(_, _, rows)| rows.len()).sum::<usize>() > 30);
    assert_eq!(before, after);
    for words in ["log", "shelf", "usage", "check", "place"] {
        assert_eq!(
            kitchen.ok(words),
            kitchen.ok(&format!("--book second.draff {words}")),
            "{words}"
        );
    }
    let line = |book: &Path| -> String {
        let book = Connection::open(book).unwrap();
        let line = "SELECT line FROM book_identity";
        book.query_row(line, [], |row| row.get(0)).unwrap()
    };
    assert_ne!(line(&kitchen.book()), line(&second), "a line of its own");
    // And it is a book to go on with.
    kitchen.ok("--book second.draff pickup --source New --brewed today --wet 1kg");
    assert!(kitchen.ok("--book second.draff check").contains("whole"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, max_shrink_iters: 50, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_history_comes_back_whole(acts in proptest::collection::vec(act(), 10..40)) {
        let mut bakery = Bakery::new();
        for act in &acts {
            bakery.act(act);
        }
        let (out, second) = (bakery.path("out"), bakery.path("second.draff"));
        let (code, said) = bakery.run(&format!("export-all '{}'", out.display()));
        prop_assert_eq!(code, 0, "{}", said);
        let (code, said) = bakery.run(&format!(
            "--book '{}' import-all '{}'",
            second.display(),
            out.display()
        ));
        prop_assert_eq!(code, 0, "{}", said);
        prop_assert_eq!(contents(&bakery.path("book.draff")), contents(&second));
    }
}

/// Texts that were put into the book past the program come through too, whatever is in them.
#[test]
fn texts_of_any_kind_are_carried() {
    let kitchen = lived_in();
    {
        let book = kitchen.sqlite();
        for (number, text) in [
            "",
            "'",
            "''",
            "=1+1",
            "'=1+1",
            "a\u{0}b",
            "\r",
            "\n",
            "\r\n",
            "\"",
            ",",
            " ",
            "\t=x",
            "\u{feff}x",
            "\u{202e}x",
            "🍞",
            "--",
            "%0",
            "|x",
        ]
        .iter()
        .enumerate()
        {
            book.execute(
                "INSERT INTO entry (kind, lot_id, at, recorded_at, recorded_by, words) VALUES ('spoiled', 1, ?1, ?1, ?2, ?2)",
                (1_795_000_000 + number as i64, text),
            )
            .unwrap();
        }
    }
    kitchen.chain_anew();
    kitchen.ok("export-all out");
    kitchen.ok("--book second.draff import-all out");
    assert_eq!(
        contents(&kitchen.book()),
        contents(&kitchen.folder().join("second.draff"))
    );
}

/// Changes one file of an export and gives what is said to that.
fn refused_after(change: impl FnOnce(&Path)) -> String {
    let kitchen = lived_in();
    kitchen.ok("export-all out");
    change(&kitchen.folder().join("out"));
    kitchen.refused(1, "--book second.draff import-all out")
}

fn rewrite(path: &Path, from: &str, to: &str) {
    let text = std::fs::read_to_string(path).unwrap();
    assert!(text.contains(from), "{from} in {text}");
    std::fs::write(path, text.replacen(from, to, 1)).unwrap();
}

#[test]
fn what_was_changed_or_is_missing_is_refused() {
    for (said, change) in [
        (
            "`out/entry.csv` was changed since it was exported",
            (|out| {
                rewrite(&out.join("entry.csv"), "10000000", "10000001");
            }) as fn(&Path),
        ),
        ("was changed since it was exported", |out| {
            let text = std::fs::read_to_string(out.join("lot.csv")).unwrap();
            let shorter = text.trim_end().rsplit_once('\n').unwrap().0.to_owned();
            std::fs::write(out.join("lot.csv"), shorter + "\n").unwrap();
        }),
        ("`out/stock.csv` cannot be read", |out| {
            std::fs::remove_file(out.join("stock.csv")).unwrap();
        }),
        ("`out/description.json` cannot be read", |out| {
            std::fs::remove_file(out.join("description.json")).unwrap();
        }),
        ("`out/description.json` is not understood", |out| {
            std::fs::write(out.join("description.json"), "Dear baker").unwrap();
        }),
        ("schema version 99", |out| {
            let version = format!("\"schema_version\": {}", crate::export_all::newest());
            rewrite(
                &out.join("description.json"),
                &version,
                "\"schema_version\": 99",
            );
        }),
        ("there is no schema version 0", |out| {
            let version = format!("\"schema_version\": {}", crate::export_all::newest());
            rewrite(
                &out.join("description.json"),
                &version,
                "\"schema_version\": 0",
            );
        }),
        ("has no table `../../secret`", |out| {
            rewrite(
                &out.join("description.json"),
                "\"table\": \"stock\"",
                "\"table\": \"../../secret\"",
            );
        }),
        ("or not twice", |out| {
            rewrite(
                &out.join("description.json"),
                "\"table\": \"stock\"",
                "\"table\": \"entry\"",
            );
        }),
    ] {
        let refused = refused_after(change);
        assert!(refused.contains(said), "{said}: {refused}");
    }
}

/// Whoever changes a file and its digest too meets the checks of the book itself.
#[test]
fn what_was_changed_with_its_digest_meets_the_checks_of_the_book() {
    fn with_digest(out: &Path, table: &str, from: &str, to: &str) {
        use sha2::Digest;
        let digest = |path: &Path| -> String {
            let bytes = std::fs::read(path).unwrap();
            sha2::Sha256::digest(bytes)
                .iter()
                .map(|byte| format!("{byte:02x}"))
                .collect()
        };
        let file = out.join(format!("{table}.csv"));
        let before = digest(&file);
        rewrite(&file, from, to);
        rewrite(&out.join("description.json"), &before, &digest(&file));
    }
    for (said, change) in [
        // More grain in stock than came in.
        (
            "is no whole book: lot ALD-261120-1T: its entries come to",
            (|out| {
                with_digest(out, "stock", "4000000", "4000001");
            }) as fn(&Path),
        ),
        (
            "entry.csv, line 6: a book does not take this row: CHECK constraint",
            |out| {
                with_digest(out, "entry", "10000000", "-1");
            },
        ),
        ("`seven` is no whole number", |out| {
            with_digest(out, "entry", "10000000", "seven")
        }),
        ("has other columns than the table", |out| {
            with_digest(out, "entry", "wet_mg", "dry_mg")
        }),
        ("came out otherwise than it was exported", |out| {
            with_digest(out, "entry", "10000000", "010000000")
        }),
        ("is no whole book: stock 1 points to no place", |out| {
            with_digest(out, "stock", "4000000,1", "4000000,77")
        }),
        ("cannot be read: CSV error", |out| {
            with_digest(out, "source", "\n1,", "\n1,,")
        }),
    ] {
        let refused = refused_after(change);
        assert!(refused.contains(said), "{said}: {refused}");
    }
}

#[test]
fn a_book_that_is_there_is_not_touched() {
    let kitchen = lived_in();
    kitchen.ok("export-all out");
    let said = kitchen.refused(1, "import-all out");
    assert!(
        said.contains("there is something at `book.draff` already"),
        "{said}"
    );
    kitchen.refused(1, "--book second.draff import-all nowhere");
    kitchen.refused(2, "--book second.draff import-all");
    let bare = Kitchen::bare();
    bare.refused(1, "import-all .");
}
