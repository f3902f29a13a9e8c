//! Tables of a schema that nobody has heard of are carried like the others.

use super::*;
use crate::ledger::Signature;
use crate::ledger::open::NewBook;
use crate::ledger::tables::Kind;
use crate::quantity::Zone;

/// A later schema with everything that a table may be.
const ODD: &str = "
-- Some of
-- everything.
CREATE TABLE odd (
    weight_mg INTEGER NOT NULL,
    \"a \"\" name\" TEXT,
    ratio REAL,
    seen BLOB,
    twice INTEGER GENERATED ALWAYS AS (weight_mg / 2) STORED,
    name TEXT COLLATE NOCASE PRIMARY KEY
) STRICT, WITHOUT ROWID;
CREATE TABLE keyless (word TEXT NOT NULL) STRICT;
CREATE TABLE \"select\" (b INTEGER REFERENCES lot (id), a INTEGER, c TEXT, PRIMARY KEY (c, a)) STRICT;
INSERT INTO keyless VALUES ('put there by the step');
CREATE VIEW seen AS SELECT * FROM odd;
CREATE TRIGGER odd_stays BEFORE DELETE ON odd BEGIN SELECT RAISE(ABORT, 'never'); END;
CREATE TRIGGER odd_adds AFTER INSERT ON odd BEGIN INSERT INTO keyless VALUES (new.name); END;
";

fn steps() -> Vec<Migration> {
    let mut steps = migrate::all();
    steps.push(Migration {
        version: steps.last().unwrap().version + 1,
        name: "9999_odd",
        sql: ODD,
    });
    steps
}

/// A book of that schema with rows in its tables.
fn odd_book(path: &Path) -> Book {
    let now: Instant = "2026-11-20T09:00:00Z".parse().unwrap();
    let new = NewBook {
        name: "odd".into(),
        zone: Zone::utc(),
        rules_text: crate::keeping::RuleSet::built_in_text("strict")
            .unwrap()
            .into(),
    };
    drop(Book::make(path, &new, &Signature { now, by: None }).unwrap());
    let mut connection =
        connection::connect(path, rusqlite::OpenFlags::SQLITE_OPEN_READ_WRITE).unwrap();
    crate::ledger::upgrade::bring_up(&mut connection, &steps(), now).unwrap();
    connection
        .execute_batch(
            "INSERT INTO odd (weight_mg, \"a \"\" name\", ratio, seen, name) VALUES
                 (-9223372036854775808, '', 0.1, x'00ff', 'zeta'),
                 (9223372036854775807, NULL, 9e999, x'', 'Alpha'),
                 (0, 'line' || char(10) || 'two', -0.0, NULL, 'beta');
             INSERT INTO keyless VALUES ('b'), ('a'), ('a');
             INSERT INTO \"select\" VALUES (NULL, 2, 'x'), (NULL, 1, 'x'), (NULL, 3, 'a');",
        )
        .unwrap();
    Book::read(connection, path).unwrap()
}

fn rows(view: View<'_>, table: &Table) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    view.each_row(table, |row| {
        rows.push(row.to_vec());
        Ok(())
    })
    .unwrap();
    rows
}

#[test]
fn every_table_is_found_with_its_columns() {
    let folder = tempfile::tempdir().unwrap();
    let book = odd_book(&folder.path().join("book.draff"));
    let tables = book.view().tables().unwrap();
    let table = |name: &str| tables.iter().find(|table| table.name == name).unwrap();
    let odd = table("odd");
    assert_eq!(odd.about.as_deref(), Some("Some of everything."));
    let columns: Vec<(&str, Kind)> = odd
        .columns
        .iter()
        .map(|column| (column.name.as_str(), column.kind))
        .collect();
    assert_eq!(
        columns,
        [
            ("weight_mg", Kind::Whole),
            ("a \" name", Kind::Text),
            ("ratio", Kind::Real),
            ("seen", Kind::Bytes),
            ("name", Kind::Text)
        ]
    );
    assert_eq!(odd.columns[0].unit, Some("milligram"));
    let names: Vec<Cell> = rows(book.view(), odd)
        .into_iter()
        .map(|row| row.last().unwrap().clone())
        .collect();
    assert_eq!(
        names,
        ["Alpha", "beta", "zeta"].map(|name| Cell::Text(name.into()))
    );
    assert_eq!(table("select").columns[0].refers_to.as_deref(), Some("lot"));
    // The words above a table that was made anew stay those above the first one.
    assert!(
        table("entry")
            .about
            .as_deref()
            .unwrap()
            .starts_with("One line of the book.")
    );
    assert_eq!(
        table("entry").columns[3].unit,
        Some("second since 1970-01-01T00:00:00Z")
    );
    assert!(
        !tables
            .iter()
            .any(|table| table.name == "seen" || table.name.starts_with("sqlite"))
    );
}

#[test]
fn tables_that_nobody_has_heard_of_are_loaded_row_by_row() {
    let folder = tempfile::tempdir().unwrap();
    let book = odd_book(&folder.path().join("book.draff"));
    let target = folder.path().join("second.draff");
    let steps = steps();
    let loading = Loading::of_steps(&target, steps.last().unwrap().version, &steps).unwrap();
    let tables = book.view().tables().unwrap();
    assert_eq!(
        loading
            .tables()
            .unwrap()
            .iter()
            .map(|table| &table.name)
            .collect::<Vec<_>>(),
        tables.iter().map(|table| &table.name).collect::<Vec<_>>()
    );
    for table in &tables {
        let rows = rows(book.view(), table);
        loading
            .load(table, rows.into_iter().map(|row| Ok((String::new(), row))))
            .unwrap();
    }
    let loaded = loading.finish().unwrap();
    let mut number = 0;
    for table in &tables {
        let wanted = rows(book.view(), table);
        number += wanted.len();
        assert_eq!(rows(loaded.view(), table), wanted, "{}", table.name);
    }
    assert!(number > 20, "{number}");
    assert_eq!(loaded.view().tables().unwrap(), tables);
    let triggers = |view: View<'_>| -> i64 {
        view.connection
            .query_row(
                "SELECT count(*) FROM sqlite_schema WHERE type = 'trigger'",
                [],
                |row| row.get(0),
            )
            .unwrap()
    };
    assert_eq!(triggers(loaded.view()), triggers(book.view()));
    assert!(!target.exists(), "it has no name before it is accepted");
}

/// What an older version exported is loaded into its own tables, then upgraded like any older book.
#[test]
fn the_tables_of_an_older_schema_are_upgraded() {
    let folder = tempfile::tempdir().unwrap();
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas/version-2.draff");
    let old = Book::read(crate::ledger::connection::look(&old).unwrap(), &old).unwrap();
    let target = folder.path().join("book.draff");
    let loading = Loading::begin(&target, 2).unwrap();
    for table in loading.tables().unwrap() {
        let rows = rows(old.view(), &table);
        loading
            .load(&table, rows.into_iter().map(|row| Ok((String::new(), row))))
            .unwrap();
    }
    let loaded = loading.finish().unwrap();
    assert_eq!(loaded.view().schema_version().unwrap(), 2);
    let book = loaded
        .accept(&target, "2026-12-01T09:00:00Z".parse().unwrap())
        .unwrap();
    let newest = migrate::all().last().unwrap().version;
    assert_eq!(book.view().schema_version().unwrap(), newest);
    assert_eq!(
        book.view().entry_count().unwrap(),
        old.view().entry_count().unwrap()
    );
    assert!(book.view().entry_count().unwrap() > 10);
    assert!(!folder.path().join("book.draff.version-2").exists());
}

/// What has no plain type could not be told apart in a text file.
#[test]
fn a_table_that_cannot_be_carried_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.draff");
    let book = odd_book(&path);
    book.view()
        .connection
        .execute_batch("CREATE TABLE anything (what ANY) STRICT")
        .unwrap();
    let error = book.view().tables().unwrap_err().to_string();
    assert!(
        error.contains("table `anything` cannot be carried as CSV"),
        "{error}"
    );
}
