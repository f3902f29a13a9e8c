//! `report --csv` into a folder that is there: what no report wrote stays.

use crate::env::{Kitchen, has};

#[test]
fn files_that_no_report_wrote_stay_and_nothing_else_is_written() {
    for found in ["mine", "", "source,lots\nmine,1\n"] {
        let (kitchen, ..) = Kitchen::with_two_tubs();
        std::fs::create_dir(kitchen.folder().join("f")).unwrap();
        kitchen.file("f/balance.csv", found);
        let said = kitchen.refused(1, "report --html r.html --csv f");
        has(
            &said,
            "`f/balance.csv` is there already, and no report wrote it",
        );
        has(&said, "nothing was written; name a new folder");
    }
}

#[test]
fn a_later_report_replaces_an_earlier_one_beside_other_files() {
    let (kitchen, lot, _) = Kitchen::with_two_tubs();
    kitchen.ok("report --csv f");
    kitchen.file("f/notes.txt", "mine");
    kitchen.ok(&format!("use {lot} 1kg --for loaves"));
    let told = kitchen.told("report --csv f");
    has(&told, "wrote f/balance.csv, in place of what was there");
    kitchen.ok("report --csv g");
    let read = |name: &str| std::fs::read_to_string(kitchen.folder().join(name)).unwrap();
    assert_eq!(read("f/balance.csv"), read("g/balance.csv"));
    assert_eq!(read("f/notes.txt"), "mine");
}
