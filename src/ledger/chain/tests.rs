use super::super::migrate;
use super::covered::Covered;
use super::*;

/// Tables that no link covers, and why.
const OUTSIDE: [(&str, &str); 12] = [
    (
        "act_once",
        "names what stands in entries, so that it is not written again",
    ),
    (
        "book_identity",
        "random, and another one in each line of a book",
    ),
    ("chain_link", "the chain itself"),
    (
        "device",
        "who may come in now, and no part of what happened",
    ),
    ("migration", "compared with what the program knows"),
    ("lot_now", "follows from entries"),
    ("open_bake", "follows from entries"),
    ("out_of_force", "follows from entries"),
    ("source_now", "follows from entries"),
    ("stock", "follows from entries"),
    ("tested", "follows from entries"),
    (
        "ticket",
        "what hangs on a tub now, and no part of what happened to the grain",
    ),
];

/// Columns that stand in the chain by another one that equals them.
const BY_ANOTHER: [(&str, &str); 3] = [("book", "id"), ("formula", "id"), ("source", "id")];

fn schema() -> Connection {
    let book = Connection::open_in_memory().unwrap();
    for step in migrate::all() {
        book.execute_batch(step.sql).unwrap();
    }
    book
}

fn names(book: &Connection, query: &str) -> Vec<String> {
    book.prepare(query)
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap()
}

/// A table or a column that a migration adds has to be added to [`COVERED`], or to what is outside with the reason.
#[test]
fn every_table_and_every_column_is_covered_or_named_as_outside() {
    let book = schema();
    let tables = names(
        &book,
        "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name",
    );
    let mut missing = Vec::new();
    for table in tables
        .iter()
        .filter(|table| !OUTSIDE.iter().any(|(name, _)| name == table))
    {
        let is_read = |covered: &Covered, column: &str| {
            let full = format!("{table}.{column}");
            covered.columns.contains(&full.as_str())
                || covered.from == table && covered.columns.contains(&column)
        };
        let columns = names(
            &book,
            &format!("SELECT name FROM pragma_table_info('{table}')"),
        );
        for column in columns {
            // Rows are found by the number of their entry.
            let is_known = column == "entry_id"
                || BY_ANOTHER.contains(&(table.as_str(), column.as_str()))
                || COVERED.iter().any(|covered| is_read(covered, &column))
                // The version of a formula is read with its formula.
                || table == "formula_version" && COVERED[FORMULA].columns.contains(&column.as_str());
            if !is_known {
                missing.push(format!("{table}.{column}"));
            }
        }
    }
    assert_eq!(missing, Vec::<String>::new());
    for (table, why) in OUTSIDE {
        assert!(tables.iter().any(|name| name == table), "{table}: {why}");
    }
}

/// docs/formats.md says of each table by number what is hashed, so that another program can do it.
#[test]
fn the_page_of_formats_lists_what_is_covered() {
    let page = include_str!("../../../docs/formats.md");
    let rows: Vec<Vec<&str>> = page
        .lines()
        .skip_while(|line| !line.starts_with("| number | rows of | with entries of kind |"))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| line.split('|').map(str::trim).collect())
        .collect();
    let page: Vec<(String, String, String)> = rows
        .iter()
        .map(|cells| (cells[1].into(), cells[3].into(), cells[4].into()))
        .collect();
    let code: Vec<(String, String, String)> = (1..)
        .zip(&COVERED)
        .map(|(number, covered): (usize, _)| {
            let kinds: Vec<&str> = covered.kinds.iter().map(|kind| kind.as_str()).collect();
            let kinds = match kinds.len() {
                0 => "—".to_owned(),
                all if all == EntryKind::ALL.len() => "all".to_owned(),
                _ => kinds.join(", "),
            };
            let columns: Vec<String> = covered
                .columns
                .iter()
                .map(|column| format!("`{column}`"))
                .collect();
            (number.to_string(), kinds, columns.join(", "))
        })
        .collect();
    assert_eq!(page, code);
}

/// A book of some rows.
fn book() -> Connection {
    let book = schema();
    book.execute_batch(
        "INSERT INTO book VALUES (1, 'Mill Street', 'Europe/Dublin', 'rules', 1767340800);
         INSERT INTO formula VALUES (1, 'pan loaf');
         INSERT INTO formula_version VALUES (1, 1, 1, 'text', 1767340800, NULL);
         INSERT INTO source VALUES (1, 'Alder Lane', 'ALD');
         INSERT INTO place VALUES (1, 'fridge');
         INSERT INTO entry (id, kind, at, recorded_at, place_id) VALUES (1, 'place', 1767340800, 1767340800, 1);
         INSERT INTO place_setting (entry_id, kind, stated_mc) VALUES (1, 'fridge', 4000);
         INSERT INTO lot VALUES (1, 1, '2026-01-02', 1, NULL, 'mashed', 'whole', NULL, NULL);
         INSERT INTO entry (id, kind, lot_id, at, recorded_at, recorded_by, wet_mg, place_id)
             VALUES (2, 'pickup', 1, 1767340900, 1767341000, 'Zoë', 5000000, 1);
         INSERT INTO entry (id, kind, lot_id, at, recorded_at) VALUES (3, 'moisture', 1, 1767341000, 1767341000);
         INSERT INTO moisture_test VALUES (3, 'oven', 100, NULL, NULL);
         INSERT INTO weighing VALUES (3, 1, 1, 12000, 112000);
         INSERT INTO drying VALUES (3, 1, 1, 1, 40000), (3, 1, 1, 2, 35400);",
    )
    .unwrap();
    book
}

/// The bytes are never made otherwise: books hold digests of them. These were worked out once by Python's hashlib
/// from the description in docs/formats.md.
#[test]
fn the_bytes_are_frozen() {
    let book = book();
    begin(&book).unwrap();
    let digests: Vec<String> = names(
        &book,
        "SELECT lower(hex(digest)) FROM chain_link ORDER BY id",
    );
    assert_eq!(digests, FROZEN);
    let newest = verify(&book).unwrap().unwrap().unwrap();
    assert_eq!(newest.to_string(), FROZEN[4]);
}

const FROZEN: [&str; 5] = [
    "380053e0c7b2235c19c8dc1bfa47dd2bc97b0e067cca9488d363c4c157a05741",
    "c51f26b62d06ada9af09661a33683674e86e1c55ef1e59ab51c41e42f75393cc",
    "64a49de5c03a7a9950495bdcdcfd3bfe2e315c6066470dd7458a9e18a36021b3",
    "60f15407e5745cae18417f5fcb2daa0328597c7ecb380579e7ffcd27d2a29949",
    "00d133032a0f18c2b810a96b38b3dc16e8348fe1f2587790b5d7647bd3c8a78b",
];

/// Rows come in the order of the tables: nothing is held in memory to be sorted, and nothing before the newest so far is read.
#[test]
fn rows_after_a_mark_are_found_by_their_number() {
    let book = schema();
    for query in written::QUERIES.iter() {
        let plan = plan_of(&book, query);
        let is_ordered = plan.iter().all(|step| !step.contains("TEMP B-TREE"));
        let is_found = plan.first().is_some_and(|step| step.starts_with("SEARCH"));
        assert!(is_ordered && is_found, "{query}\n{plan:?}");
    }
}

fn plan_of(book: &Connection, query: &str) -> Vec<String> {
    book.prepare(&format!("EXPLAIN QUERY PLAN {query}"))
        .unwrap()
        .query_map([0], |row| row.get("detail"))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap()
}

/// What is written act by act has the chain that all of it at once has.
#[test]
fn a_chain_grows_as_it_would_have_been_made_at_once() {
    let book = book();
    begin(&book).unwrap();
    let since = Newest::of(&book).unwrap();
    book.execute_batch(
        "INSERT INTO formula_version VALUES (2, 1, 2, 'other text', 1767341100, 'Ada');
         INSERT INTO entry (id, kind, lot_id, at, recorded_at, wet_mg, words)
             VALUES (4, 'use', 1, 1767341100, 1767341100, 1000, 'pan loaf'), (5, 'spoiled', 1, 1767341100, 1767341100, NULL, 'mould');",
    )
    .unwrap();
    let told = verify(&book).unwrap().unwrap_err();
    assert_eq!(told, "chain: entry 4 has no link");
    extend(&book, since).unwrap();
    assert!(verify(&book).unwrap().is_ok());
    assert_eq!(names(&book, "SELECT hex(digest) FROM chain_link").len(), 8);
}
