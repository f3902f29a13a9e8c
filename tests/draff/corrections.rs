//! What is past stays past until the wrong entry is struck with a reason, what was found on grain is not
//! lost, and what is in the book is not called undone.

use crate::env::Kitchen;

/// A lot mashed out on Friday at 05:00 and cold from 07:00 on, in the fridge.
fn chilled(kitchen: &Kitchen) -> String {
    kitchen.pickup("--brewed today --mash-out 05:00 --cooled 07:00 --collected 08:00 --wet 6kg")
}

#[test]
fn an_entry_about_an_earlier_time_does_not_undo_past() {
    let mut kitchen = Kitchen::new();
    let lot = chilled(&kitchen);
    kitchen.at("2026-11-20 09:00");
    kitchen.ok(&format!("move {lot} --to counter"));
    kitchen.at("2026-11-20 15:00");
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "past");
    for act in [
        format!("move {lot} --to fridge --at 09:00"),
        format!("move {lot} --wet 2kg --to freezer --at 08:30"),
        format!("probe {lot} 4C --at 09:00"),
        "place change counter --kind fridge --temp 4C --at 08:59".to_owned(),
    ] {
        let before = kitchen.entries();
        let ran = kitchen.run(&act);
        let now_past = kitchen.on_shelf(&lot)["verdict"] == "past";
        assert!(now_past, "{act}: {}{}", ran.out, ran.err);
        assert!(ran.code == 1 || kitchen.entries() > before, "{act}");
    }
    let refused = kitchen.refused(1, "place change counter --kind fridge --temp 4C --at 08:59");
    assert!(refused.contains("usable again"), "{refused}");
    // Struck with a reason, the wrong entry counts no more.
    let entry = kitchen.last_entry("move");
    kitchen.ok(&format!(
        "strike {entry} --reason \"never left the fridge\""
    ));
    assert_eq!(kitchen.on_shelf(&lot)["verdict"], "good");
}

#[test]
fn what_was_found_on_a_part_is_not_lost_with_it() {
    let kitchen = Kitchen::new();
    let lot = chilled(&kitchen);
    let part = kitchen.json(&format!("move {lot} --wet 2kg --to freezer"))["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let parting = kitchen.last_entry("part");
    kitchen.ok(&format!("probe {part} --spoiled \"pink mould\""));
    let refused = kitchen.refused(1, &format!("strike {parting} --reason oops"));
    assert!(refused.contains("stands on it"), "{refused}");
    let finding = kitchen.last_entry("spoiled");
    kitchen.ok(&format!("strike {finding} --reason \"another tub\""));
    kitchen.ok(&format!("strike {parting} --reason oops"));
    // The log still tells of a lot that was struck.
    assert!(kitchen.ok(&format!("log {part}")).contains("pink mould"));
    kitchen.refused(1, &format!("use {part} --wet 1kg --for bread"));
}

#[test]
fn grain_found_spoiled_later_is_told_of() {
    let mut kitchen = Kitchen::new();
    let lot = chilled(&kitchen);
    kitchen.at("2026-11-20 15:00");
    kitchen.ok(&format!("probe {lot} --spoiled \"sour smell\""));
    let ran = kitchen.run(&format!("use {lot} --wet 1kg --for bread --at 14:59"));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("is past by now"), "{}", ran.err);
}

/// Linux has a device on which every write fails.
#[test]
fn an_act_whose_answer_cannot_be_shown_is_in_the_book_all_the_same() {
    let kitchen = Kitchen::new();
    let lot = chilled(&kitchen);
    let Ok(full) = std::fs::OpenOptions::new().write(true).open("/dev/full") else {
        eprintln!("not checked: this machine has no /dev/full");
        return;
    };
    let ran = kitchen
        .command()
        .args(["use", &lot, "--wet", "1kg", "--for", "bread"])
        .stdout(full)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ran.stderr);
    assert_eq!(ran.status.code(), Some(0), "{said}");
    assert!(said.contains("is in the book"), "{said}");
    assert_eq!(kitchen.on_shelf(&lot)["wet_g"], 5000.0);
}

#[cfg(unix)]
#[test]
fn an_export_replaces_plain_files_only() {
    let kitchen = Kitchen::new();
    chilled(&kitchen);
    let book = std::fs::read(kitchen.book()).unwrap();
    let link = kitchen.folder().join("link.csv");
    std::os::unix::fs::symlink(kitchen.book(), &link).unwrap();
    std::fs::hard_link(kitchen.book(), kitchen.folder().join("hard.csv")).unwrap();
    std::fs::create_dir(kitchen.folder().join("folder.csv")).unwrap();
    for name in [
        "link.csv",
        "hard.csv",
        "folder.csv",
        "book.draff-journal",
        "./book.draff",
    ] {
        kitchen.refused(1, &format!("usage --csv {name}"));
    }
    // A name that only looks like ours is not taken for a leftover.
    kitchen.file("usage.csv.part", "mine");
    kitchen.ok("usage --csv usage.csv");
    kitchen.ok("usage --csv usage.csv");
    assert_eq!(
        std::fs::read(kitchen.folder().join("usage.csv.part")).unwrap(),
        b"mine"
    );
    assert_eq!(std::fs::read(kitchen.book()).unwrap(), book);
}
