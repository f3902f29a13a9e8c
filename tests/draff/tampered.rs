//! A book that somebody changed past the program: `check` names what is wrong and never gives up itself, and no
//! other command ends in a defect.

use crate::env::{Kitchen, LOAF};

/// A book with a lot that was used, tested and moved, a formula, a bake and readings.
fn lived_in() -> Kitchen {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("moisture {lot} --weighing 12g,112g,35.4g"));
    kitchen.ok(&format!("use {lot} --wet 1kg --for bread"));
    kitchen.ok(&format!("move {lot} --wet 2kg --to freezer"));
    kitchen.ok(&format!("probe {lot} 4C"));
    let loaf = LOAF;
    kitchen.file("loaf.toml", loaf);
    kitchen.ok("formula add loaf.toml");
    let name = loaf
        .lines()
        .find_map(|line| line.strip_prefix("name = "))
        .unwrap();
    kitchen.ok(&format!(
        "bake add {name} --at \"sat 08:00\" mix --pieces 4 --piece 800g"
    ));
    kitchen.file(
        "air.csv",
        "time,temp C\n2026-11-20 09:00,4\n2026-11-20 09:30,4\n",
    );
    kitchen.ok("readings fridge --csv air.csv");
    kitchen
}

/// What is done to the book, and what `check` says of it.
const TAMPERINGS: [(&str, &str); 29] = [
    ("DELETE FROM book", "table book: its row is missing"),
    ("UPDATE book SET zone = 'Europe/Nowhere'", "Europe/Nowhere"),
    (
        "UPDATE book SET rules = 'no rules'",
        "its rule set is not understood",
    ),
    (
        "UPDATE book SET rules = CAST(x'ff' AS TEXT)",
        "invalid utf-8",
    ),
    ("UPDATE book SET name = CAST(x'c328' AS TEXT)", ""),
    ("DELETE FROM migration WHERE version = 3", "migration"),
    ("DELETE FROM migration", "migration"),
    (
        "UPDATE migration SET sql = 'SELECT 1' WHERE version = 2",
        "another text of migration",
    ),
    ("PRAGMA user_version = 3", "the head says version 3"),
    ("PRAGMA user_version = 0", "the head says version 0"),
    ("PRAGMA user_version = 99", "the head says version 99"),
    ("PRAGMA user_version = -1", "the head says version -1"),
    (
        "UPDATE stock SET wet_mg = 9223372036854775807",
        "its entries come to",
    ),
    (
        "UPDATE entry SET wet_mg = 9223372036854775807 WHERE kind = 'use'",
        "",
    ),
    (
        "UPDATE entry SET wet_mg = 9223372036854775807 WHERE wet_mg IS NOT NULL",
        "",
    ),
    (
        "UPDATE entry SET words = CAST(x'ff' AS TEXT) WHERE kind = 'use'",
        "entry",
    ),
    (
        "UPDATE entry SET recorded_by = CAST(x'ff' AS TEXT)",
        "entry",
    ),
    ("UPDATE formula_version SET text = 'no formula'", "formula"),
    (
        "UPDATE formula_version SET text = CAST(x'23ff0a' AS TEXT) || text",
        "formula",
    ),
    ("UPDATE source SET name = CAST(x'ff' AS TEXT)", ""),
    (
        "UPDATE source SET letters = 'AA'",
        "CHECK constraint failed in source",
    ),
    ("UPDATE lot SET brewed_on = '2026-99-99'", ""),
    (
        "UPDATE lot SET form = 'boiled'",
        "CHECK constraint failed in lot",
    ),
    ("UPDATE lot SET grist = CAST(x'ff' AS TEXT)", ""),
    (
        "UPDATE place SET name = CAST(x'ff' AS TEXT) WHERE id = 1",
        "",
    ),
    (
        "DELETE FROM entry WHERE kind = 'reading'",
        "entry numbers: ",
    ),
    ("DELETE FROM entry WHERE id = 1", ""),
    ("DELETE FROM place", "points to no place"),
    ("DELETE FROM lot", "points to no lot"),
];

/// Changes after which everything fits together, and where the chain breaks. The entries are: four places (1 to 4),
/// pickup and its word (5, 6), test (7), use (8), part (9), reading (10), bake (11), readings (12).
const WELL_MADE: [(&str, &str); 13] = [
    ("UPDATE book SET zone = 'Europe/Paris'", "the book's row"),
    (
        "UPDATE book SET rules = replace(rules, 'strict', 'mild')",
        "the book's row",
    ),
    (
        "UPDATE formula_version SET text = replace(text, 'small loaf', 'small roll')",
        "version 1 of all formulas",
    ),
    (
        "UPDATE lot SET mash_out_at = mash_out_at + 3600 WHERE id = 1",
        "entry 5",
    ),
    ("UPDATE source SET name = 'Corner House'", "entry 5"),
    ("UPDATE weighing SET wet_mg = wet_mg + 1000", "entry 7"),
    ("UPDATE drying SET dry_mg = dry_mg + 1000", "entry 7"),
    (
        "UPDATE entry SET recorded_by = 'Ada' WHERE kind = 'use'",
        "entry 8",
    ),
    (
        "UPDATE entry SET temperature_mc = 3000 WHERE kind = 'reading'",
        "entry 10",
    ),
    ("UPDATE bake_setting SET pieces = 5", "entry 11"),
    ("UPDATE air_reading SET temperature_mc = 5000", "entry 12"),
    // A reading taken out, and those after it renumbered so that there is no hole.
    (
        "DELETE FROM chain_link WHERE entry_id = 12;
         DELETE FROM entry WHERE kind = 'reading';
         UPDATE entry SET id = 10 WHERE kind = 'bake';
         UPDATE bake_setting SET entry_id = 10;
         UPDATE open_bake SET entry_id = 10;
         UPDATE entry SET id = 11 WHERE kind = 'readings';
         UPDATE reading_file SET entry_id = 11;
         UPDATE air_reading SET entry_id = 11;",
        "entry 10",
    ),
    // One put in between.
    (
        "UPDATE entry SET id = 13 WHERE id = 12;
         UPDATE reading_file SET entry_id = 13;
         UPDATE air_reading SET entry_id = 13;
         INSERT INTO entry (id, kind, lot_id, at, recorded_at, words)
             SELECT 12, 'cooled', lot_id, at, recorded_at, 'Ada' FROM entry WHERE kind = 'use';",
        "entry 12",
    ),
];

/// What the schema is given, and the words for it.
const SCHEMAS: [(&str, &str); 6] = [
    (
        "CREATE TRIGGER swallow BEFORE INSERT ON entry BEGIN SELECT RAISE(IGNORE); END",
        "trigger swallow is not ours",
    ),
    (
        "CREATE TRIGGER sqlitex BEFORE INSERT ON entry BEGIN SELECT RAISE(IGNORE); END",
        "trigger sqlitex is not ours",
    ),
    (
        "PRAGMA foreign_keys = OFF; ALTER TABLE stock RENAME TO hidden; CREATE VIEW stock AS SELECT * FROM hidden",
        "is not ours",
    ),
    (
        "CREATE INDEX useless ON entry (id) WHERE 0",
        "index useless is not ours",
    ),
    ("DROP INDEX entry_of_lot", "index entry_of_lot is missing"),
    ("DROP TRIGGER entry_keeps", "trigger entry_keeps is missing"),
];

const QUESTIONS: [&str; 10] = [
    "shelf",
    "log",
    "usage",
    "usage --csv -",
    "trace --source \"Alder Lane\"",
    "formula",
    "bake list",
    "place",
    "readings fridge --summary",
    "plan",
];

/// Changes a book by SQL, past all that watches over it.
fn tamper_with(kitchen: &Kitchen, sql: &str) {
    kitchen.past_the_triggers(|book| {
        book.execute_batch("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON")
            .unwrap();
        book.execute_batch(sql).unwrap();
    });
}

/// Runs every question. None may end in a defect of the program.
fn ask_all(kitchen: &Kitchen, tamper: &str) {
    for words in QUESTIONS {
        let ran = kitchen.run(words);
        assert!(
            matches!(ran.code, 0 | 1 | 3),
            "{tamper}\n{words}: {}\n{}",
            ran.code,
            ran.err
        );
    }
}

#[test]
fn whatever_was_changed_check_names_it() {
    for (tamper, words) in TAMPERINGS {
        let kitchen = lived_in();
        tamper_with(&kitchen, tamper);
        let ran = kitchen.run("check");
        assert_eq!(ran.code, 3, "{tamper}\n{}{}", ran.out, ran.err);
        assert!(ran.out.contains(words), "{tamper}\n{}", ran.out);
        ask_all(&kitchen, tamper);
    }
}

#[test]
fn what_fits_together_is_named_by_the_chain() {
    for (tamper, place) in WELL_MADE {
        let kitchen = lived_in();
        let digest = kitchen.json("check")["digest"].clone();
        assert!(digest.is_string());
        assert!(kitchen.ok("check").contains(digest.as_str().unwrap()));
        tamper_with(&kitchen, tamper);
        let checked = kitchen.run("check");
        assert_eq!(checked.code, 3, "{tamper}: {checked:?}");
        let told: Vec<&str> = checked
            .out
            .lines()
            .filter(|line| line.starts_with("  "))
            .collect();
        let [told] = told.as_slice() else {
            panic!("{tamper}: {told:?}");
        };
        assert!(
            told.starts_with(&format!("  chain: it breaks at {place}:")),
            "{tamper}: {told}"
        );
        let checked = kitchen.run("--json check").out;
        let checked: serde_json::Value = serde_json::from_str(&checked).unwrap();
        assert!(checked["digest"].is_null(), "{tamper}");
    }
}

/// An entry that no act of the program wrote.
const PUT_IN: &str = "INSERT INTO entry (kind, lot_id, at, recorded_at, words)
     SELECT 'cooled', lot_id, at, recorded_at, 'Ada' FROM entry WHERE kind = 'use'";

/// An entry that no act wrote has no link, also at the end of the book.
#[test]
fn an_entry_put_in_at_the_end_has_no_link() {
    let kitchen = lived_in();
    tamper_with(&kitchen, PUT_IN);
    let checked = kitchen.run("check");
    assert_eq!(checked.code, 3);
    assert!(
        checked.out.contains("chain: entry 13 has no link"),
        "{}",
        checked.out
    );
}

/// A later act does not make good what was put in before it.
#[test]
fn a_later_act_does_not_hide_what_was_put_in() {
    let kitchen = lived_in();
    tamper_with(&kitchen, PUT_IN);
    kitchen.lot("2kg");
    let checked = kitchen.run("check");
    assert_eq!(checked.code, 3);
    assert!(
        checked.out.contains("which does not come next"),
        "{}",
        checked.out
    );
}

#[test]
fn a_book_with_another_schema_is_refused_but_checked_exported_and_replaced() {
    for (tamper, words) in SCHEMAS {
        let kitchen = lived_in();
        kitchen.ok("backup copy.draff");
        kitchen.sqlite().execute_batch(tamper).unwrap();
        let said = kitchen.refused(1, "pickup --source A --brewed today --wet 1kg");
        assert!(
            said.contains("the book is damaged") && said.contains(words),
            "{said}"
        );
        kitchen.refused(1, "shelf");
        let ran = kitchen.run("check");
        assert_eq!(ran.code, 3, "{tamper}\n{}{}", ran.out, ran.err);
        assert!(ran.out.contains(words), "{tamper}\n{}", ran.out);
        // A table of the book that is a view now cannot be carried.
        let is_lost = tamper.contains("CREATE VIEW");
        let exported = kitchen.run("export-all tables");
        assert_eq!(exported.code, if is_lost { 3 } else { 0 }, "{tamper}");
        kitchen.ok("restore copy.draff");
        assert!(kitchen.ok("check").contains("whole"));
    }
}

#[test]
fn what_analyze_writes_is_no_change() {
    let kitchen = lived_in();
    kitchen.sqlite().execute_batch("ANALYZE").unwrap();
    assert!(kitchen.ok("check").contains("whole"));
    kitchen.ok("shelf");
}

/// Cut to nothing, or to a part, at a moment between two commands.
#[test]
fn a_book_cut_off_is_named() {
    let kitchen = lived_in();
    let whole = std::fs::read(kitchen.book()).unwrap();
    for length in [0, 1, 15, 100, 4096, 8192, whole.len() - 1] {
        kitchen.file("book.draff", &whole[..length]);
        let ran = kitchen.run("check");
        assert_eq!(ran.code, 3, "{length}: {}{}", ran.out, ran.err);
        ask_all(&kitchen, &length.to_string());
    }
}

/// One byte changed in many places of the file: never a defect, and never a panic.
#[test]
fn a_flipped_byte_is_no_defect() {
    let kitchen = lived_in();
    let whole = std::fs::read(kitchen.book()).unwrap();
    let flips = if std::env::var_os("DRAFF_LONG").is_some() {
        2_000
    } else {
        40
    };
    let mut dice = crate::kills::Dice::seeded(8);
    for _ in 0..flips {
        let (at, bit) = (dice.below(whole.len() as u64) as usize, dice.below(8));
        let mut bytes = whole.clone();
        bytes[at] ^= 1 << bit;
        kitchen.file("book.draff", &bytes);
        let ran = kitchen.run("check");
        assert!(
            matches!(ran.code, 0 | 1 | 3),
            "{at} bit {bit}: {} {}",
            ran.code,
            ran.err
        );
        let ran = kitchen.run("shelf");
        assert!(
            matches!(ran.code, 0 | 1),
            "{at} bit {bit}: {} {}",
            ran.code,
            ran.err
        );
    }
}

/// Where grain lies and until when it keeps is told whatever became of a formula.
#[test]
fn a_broken_formula_does_not_stop_the_shelf() {
    let kitchen = lived_in();
    kitchen.ok("plan --accept");
    kitchen.past_the_triggers(|book| {
        book.execute_batch("UPDATE formula_version SET text = text || CAST(x'0a23ff' AS TEXT)")
            .unwrap();
    });
    let ran = kitchen.run("shelf");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("ALD-261120-1T"), "{}", ran.out);
    assert!(ran.err.contains("cannot be read"), "{}", ran.err);
}
