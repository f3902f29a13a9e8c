//! Every command that writes, with the disk failing at each of its steps: the act is all there or not at
//! all, the book is whole, what was acknowledged stays, and what went wrong is said in words.
//!
//! A binary of its own, since the layer that makes the faults stands between SQLite and the disk for the
//! whole program. The usual run takes a part of the steps, spread over each command; with `DRAFF_LONG` set
//! every step is taken.

mod bakery;
mod disk;

use bakery::{Bakery, contents};
use clap::CommandFactory;
use disk::{Fault, with_fault};
use draffbook::commands::CommandLine;
use std::collections::BTreeMap;
use std::path::Path;

const FAULTS: [Fault; 4] = [
    Fault::DiskFull,
    Fault::IoError,
    Fault::Killed,
    Fault::PlugPulled,
];

/// How many steps of each command and fault the usual run takes.
const USUAL: u64 = 6;

/// What has to be in the book before, and the act. `LOT` stands for the code of the first lot,
/// `OTHER` for a part of it.
const ACTS: [&str; 41] = [
    "pickup --source Threnby --brewed today --mash-out 08:00 --wet 4kg --temp 60C --grist \"rye malt 100%\"",
    "pickup --csv pickups.csv",
    "moisture LOT --weighing 12.0g,112.0g,35.4g --weighing 12.0g,112.0g,35.0g",
    "moisture LOT --lab 77%",
    "formula add loaf.toml",
    "use LOT --wet 1kg --for bread",
    "use LOT --wet 10kg --for bread",
    "use LOT 1kg OTHER 500g --for bread",
    "discard LOT --reason dropped",
    "discard LOT --wet 1kg --reason dropped",
    "move LOT --to freezer",
    "move LOT --wet 3kg --to freezer",
    "probe LOT 4C",
    "probe DRIED --aw 0.95",
    "probe LOT --spoiled mould",
    "place add \"cold room\" --kind fridge --temp 2C",
    "place change fridge --temp 3C",
    "bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6",
    "bake change B-1S --pieces 8",
    "bake drop B-1S --reason \"no market\"",
    "bake done B-1S --water 290g --pieces 4 --baked 2.81kg",
    "settings tap 12C",
    "plan --accept",
    "readings fridge --csv readings.csv",
    "treat LOT --step press --wet-in 4kg --wet-out 2.6kg",
    "treat LOT --step thaw-drain --wet-in 4kg --wet-out 3.8kg --into OTHER --place fridge",
    "ticket LOT OTHER",
    "portion LOT --into 3x500g --to freezer",
    "join LOT OTHER --to fridge",
    "count LOT --wet 8.9kg",
    "count LOT --wet 8.8kg --once saturday-count",
    "device end 1",
    "discard LOT --wet 1kg --as feed --reason spare",
    "give LOT --wet 1kg --to café",
    "correct 5 --mash-out 07:40 --reason wrong",
    "correct 5 --wet 11kg --note weighed --reason wrong",
    "source rename \"Alder Lane\" --to Elder",
    "place close counter",
    "strike 6 --reason wrong",
    "strike 7 --reason wrong",
    "strike 8 --reason wrong",
];

/// Commands that write into a book, each with a test here.
const WRITES: [&str; 28] = [
    "ticket",
    "new-book",
    "demo",
    "pickup",
    "moisture",
    "formula",
    "use",
    "discard",
    "give",
    "correct",
    "source",
    "move",
    "probe",
    "place",
    "strike",
    "bake",
    "plan",
    "treat",
    "portion",
    "join",
    "count",
    "readings",
    "settings",
    "device",
    "serve",
    "backup",
    "restore",
    "import-all",
];
/// Commands that write nothing into any book.
const READS: [&str; 17] = [
    "today",
    "shelf",
    "hold-back",
    "batch",
    "sheet",
    "usage",
    "report",
    "log",
    "trace",
    "check",
    "cool",
    "rules",
    "export-all",
    "fetch",
    "completions",
    "man",
    "cautions",
];

#[test]
fn every_command_is_known_to_write_or_not() {
    let line = CommandLine::command();
    let names: Vec<&str> = line
        .get_subcommands()
        .map(|command| command.get_name())
        .collect();
    let unknown: Vec<&&str> = names
        .iter()
        .filter(|name| !WRITES.contains(name) && !READS.contains(name))
        .collect();
    assert!(unknown.is_empty(), "say whether they write: {unknown:?}");
    // These are tried below, each in a way of its own; a demo plays the others.
    let elsewhere = [
        "new-book",
        "demo",
        "backup",
        "restore",
        "import-all",
        "serve",
    ];
    for name in WRITES.iter().filter(|name| !elsewhere.contains(name)) {
        let has_act = ACTS.iter().any(|act| act.split(' ').next() == Some(name));
        assert!(has_act, "no act of {name} is tried");
    }
}

/// The steps to take of so many.
fn steps(number: u64, salt: u64) -> Vec<u64> {
    if std::env::var_os("DRAFF_LONG").is_some() || number <= USUAL {
        return (1..=number).collect();
    }
    // Spread evenly, and at other places for each command and fault; always the last ones, where the act is
    // committed.
    let mut steps: Vec<u64> = (0..USUAL - 3)
        .map(|part| 1 + (part * number / (USUAL - 3) + salt * 7) % number)
        .collect();
    steps.extend(number - 2..=number);
    steps.sort_unstable();
    steps.dedup();
    steps
}

#[test]
fn an_act_is_all_there_or_not_at_all() {
    let (mut tried, mut refused) = (0, [0; FAULTS.len()]);
    for (number, act) in ACTS.iter().enumerate() {
        let bakery = Bakery::lived_in();
        let line = bakery.line(act);
        let before = contents(&bakery.book());
        let kept = std::fs::read(bakery.book()).unwrap();
        let ((code, said), total) = with_fault(None, || bakery.run(&line));
        assert_eq!(code, 0, "{line}: {said}");
        let after = contents(&bakery.book());
        assert!(before != after, "{line} writes something");
        assert!(total > 10, "{line} takes {total} steps");
        for (salt, fault) in FAULTS.into_iter().enumerate() {
            for step in steps(total, (number + salt) as u64) {
                bakery.put_back(&kept);
                let place = format!("{line}\n{fault:?} at step {step} of {total}");
                let ((code, said), _) = with_fault(Some((step, fault)), || bakery.run(&line));
                tried += 1;
                refused[salt] += usize::from(code != 0);
                assert!([0, 1].contains(&code), "{place}: exit {code}: {said}");
                let whole = bakery.run("check");
                assert_eq!(whole.0, 0, "{place}: {}", whole.1);
                let found = contents(&bakery.book());
                assert!(found == before || found == after, "{place}: half an act");
                if code == 0 {
                    assert!(found == after, "{place}: an acknowledged act is lost");
                } else {
                    assert!(said.starts_with("error: "), "{place}: {said}");
                    // A program that is gone tells nobody; one that goes on may not say what is untrue.
                    let told = matches!(fault, Fault::DiskFull | Fault::IoError);
                    assert!(
                        !told || found == before,
                        "{place}: done, but refused: {said}"
                    );
                }
            }
            let (code, said) = bakery.run("pickup --source Later --brewed today --wet 1kg");
            assert_eq!(code, 0, "{line}: the book cannot be gone on with: {said}");
        }
    }
    assert!(tried >= ACTS.len() * FAULTS.len() * 4, "{tried}");
    println!("{tried} runs with a fault; refused of each kind: {refused:?}");
    // What is read or let go after the act was committed can no longer undo it; all else is refused.
    assert!(
        refused.iter().all(|felt| *felt > tried / FAULTS.len() / 4),
        "every kind of fault is felt: {refused:?} of {tried}"
    );
}

/// Where an answer goes that nobody can see: a full disk behind stdout.
struct Full;

impl std::io::Write for Full {
    fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
        Err(std::io::ErrorKind::StorageFull.into())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// What was done is not called undone because its answer cannot be shown.
#[test]
fn an_act_is_called_done_where_its_answer_cannot_be_shown() {
    for act in ACTS {
        let bakery = Bakery::lived_in();
        let line = bakery.line(act);
        let kept = std::fs::read(bakery.book()).unwrap();
        let before = contents(&bakery.book());
        assert_eq!(bakery.run(&line).0, 0, "{line}");
        let after = contents(&bakery.book());
        bakery.put_back(&kept);
        let (code, talk) = bakery.run_into(&line, &mut Full);
        // A ticket that cannot be shown hangs on no tub: nothing is noted of it.
        if act.starts_with("ticket") {
            assert_eq!(code, 1, "{line}: {talk}");
            assert!(contents(&bakery.book()) == before, "{line}");
            continue;
        }
        assert_eq!(code, 0, "{line}: {talk}");
        assert!(talk.contains("the act is in the book"), "{line}: {talk}");
        assert!(
            before != after && contents(&bakery.book()) == after,
            "{line}"
        );
    }
    let bakery = Bakery::lived_in();
    for (line, told) in [
        ("backup copy.draff", "the copy lies at"),
        ("backup --keep 2 copies", "the copy lies at"),
        ("export-all tables", "the tables are in"),
        ("restore copy.draff", "the copy was brought back"),
        (
            "--book made.draff import-all tables",
            "the book was made at",
        ),
        ("demo --folder new", "the demo lies in"),
    ] {
        let (code, talk) = bakery.run_into(line, &mut Full);
        let talk = talk.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(code, 0, "{line}: {talk}");
        assert!(talk.contains(told), "{line}: {talk}");
    }
    assert_eq!(bakery.run("--book made.draff check").0, 0);
    // The demo was played to its end.
    let played = bakery.path("new").join("usage.csv");
    assert!(played.exists());
}

/// An answer that cannot be shown is no answer, and nothing else was wanted.
#[test]
fn a_question_is_refused_where_its_answer_cannot_be_shown() {
    let bakery = Bakery::lived_in();
    for line in [
        "shelf",
        "--json shelf",
        "hold-back --flour 10kg --wet 1kg --moisture 77% --hydration 68%",
        "batch \"small loaf\" --pieces 4 --lot LOT",
        "sheet B-1S",
        "usage",
        "usage --csv -",
        "log",
        "trace LOT",
        "check",
        "rules",
        "fetch",
        "moisture LOT",
        "bake list",
        "formula list",
        "place list",
        "source list",
        "settings",
        "completions bash",
        "cautions",
        "--help",
        "--version",
        "help use",
    ] {
        let line = line.replace("LOT", bakery.lot());
        let (shown, said) = bakery.run(&line);
        assert_eq!(shown, 0, "{line}: {said}");
        let (code, talk) = bakery.run_into(&line, &mut Full);
        assert_eq!(code, 1, "{line}: {talk}");
        assert!(
            talk.contains("the answer cannot be written"),
            "{line}: {talk}"
        );
    }
}

/// A disk that is full is called so, and so is one that fails.
#[test]
fn what_went_wrong_is_said() {
    let bakery = Bakery::lived_in();
    let line = format!("use {} --wet 1kg --for bread", bakery.lot());
    let kept = std::fs::read(bakery.book()).unwrap();
    let (_, total) = with_fault(None, || bakery.run(&line));
    let mut full = 0;
    for step in 1..=total {
        bakery.put_back(&kept);
        let ((code, said), _) = with_fault(Some((step, Fault::DiskFull)), || bakery.run(&line));
        if code == 1 && said.contains("the disk is full") {
            full += 1;
            assert!(said.contains("nothing was written"), "{said}");
        }
        assert!(!said.contains("should not have happened"), "{said}");
    }
    assert!(full > 3, "{full}");
}

/// A book that is just being made is there or not; what is not there can be made again.
#[test]
fn a_new_book_is_whole_or_none() {
    let bakery = Bakery::bare();
    let line = "new-book --zone Europe/Dublin --name Quernhollow";
    let ((code, said), total) = with_fault(None, || bakery.run(line));
    assert_eq!(code, 0, "{said}");
    let after = contents(&bakery.book());
    for fault in FAULTS {
        for step in steps(total, 3) {
            bakery.clear();
            let ((code, _), _) = with_fault(Some((step, fault)), || bakery.run(line));
            let (check, said) = bakery.run("check");
            let place = format!("{fault:?} at step {step} of {total}: {said}");
            if code == 0 {
                assert_eq!(check, 0, "{place}");
            }
            if check != 0 {
                assert_eq!(bakery.run(line).0, 0, "{place}");
            }
            assert!(contents(&bakery.book()) == after, "{place}");
        }
    }
}

/// The first act with a newer program upgrades the book: before that its copy is there and whole.
#[test]
fn an_upgrade_loses_nothing() {
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas/version-2.draff");
    let bytes = std::fs::read(old).unwrap();
    let bakery = Bakery::bare();
    bakery.put_back(&bytes);
    let before = contents(&bakery.book());
    let ((code, said), total) = with_fault(None, || bakery.run("log"));
    assert_eq!(code, 0, "{said}");
    let after = contents(&bakery.book());
    assert!(before != after && total > 20);
    for fault in FAULTS {
        for step in steps(total, 5) {
            bakery.clear();
            bakery.put_back(&bytes);
            let place = format!("{fault:?} at step {step} of {total}");
            let ((code, said), _) = with_fault(Some((step, fault)), || bakery.run("log"));
            assert!([0, 1].contains(&code), "{place}: {code} {said}");
            // Whatever has the name of a copy is one.
            let copies: Vec<_> = bakery
                .files()
                .into_iter()
                .filter(|path| path.to_string_lossy().contains(".draff.version-2"))
                .collect();
            for copy in &copies {
                assert!(contents(copy) == before, "{place}: the copy differs");
            }
            let found = contents(&bakery.book());
            assert!(found == before || found == after, "{place}: half upgraded");
            assert!(found == before || !copies.is_empty(), "{place}: no copy");
            let (code, said) = bakery.run("check");
            assert_eq!(code, 0, "{place}: {said}");
            assert!(contents(&bakery.book()) == after, "{place}");
        }
    }
}

/// All tables but that of the devices, which a restore and an import end.
fn but_devices<T: Clone>(book: &BTreeMap<String, T>) -> BTreeMap<String, T> {
    let mut book = book.clone();
    book.remove("device");
    book
}

/// Copies are whole or not there; a book comes back whole or stays as it was, and what was there is kept.
#[test]
fn copies_and_the_way_back_are_whole_or_none() {
    let bakery = Bakery::lived_in();
    assert_eq!(bakery.run("backup copy.draff").0, 0);
    assert_eq!(bakery.run("export-all tables").0, 0);
    let copy = std::fs::read(bakery.path("copy.draff")).unwrap();
    let copied = contents(&bakery.path("copy.draff"));
    let use_some = format!("use {} --wet 1kg --for bread", bakery.lot());
    assert_eq!(bakery.run(&use_some).0, 0);
    let kept = std::fs::read(bakery.book()).unwrap();
    let current = contents(&bakery.book());
    for line in [
        "backup made.draff",
        "backup --keep 2 copies",
        "restore copy.draff",
        "--book made.draff import-all tables",
    ] {
        let ((code, said), total) = with_fault(None, || bakery.run(line));
        assert_eq!(code, 0, "{line}: {said}");
        // A restored book is the copy, and ends the devices that were paired with it.
        let restored = line
            .starts_with("restore")
            .then(|| contents(&bakery.book()));
        if let Some(restored) = &restored {
            assert!(but_devices(restored) == but_devices(&copied), "{line}");
        }
        for fault in FAULTS {
            for step in steps(total, 2) {
                bakery.clear_all_but(&["copy.draff", "tables", "pickups.csv", "loaf.toml"]);
                bakery.put_back(&kept);
                let place = format!("{line}: {fault:?} at step {step} of {total}");
                let ((code, said), _) = with_fault(Some((step, fault)), || bakery.run(line));
                assert!([0, 1].contains(&code), "{place}: {code} {said}");
                assert!(
                    copy == std::fs::read(bakery.path("copy.draff")).unwrap(),
                    "{place}"
                );
                let book = contents(&bakery.book());
                // A program that is gone gives no file another name. Here only what SQLite asks for is cut off, so the book
                // that nobody can lock any more may have got its other name: it lies there whole.
                if book.is_empty() && matches!(fault, Fault::Killed | Fault::PlugPulled) {
                    let files = bakery.files();
                    let is_aside =
                        |path: &&std::path::PathBuf| path.to_string_lossy().contains(".set-aside-");
                    let aside: Vec<_> = files.iter().filter(is_aside).collect();
                    assert!(
                        aside.len() == 1 && contents(aside[0]) == current,
                        "{place}: the book is lost, {aside:?}"
                    );
                    continue;
                }
                let back = restored.as_ref() == Some(&book);
                assert!(back || book == current, "{place}: the book is another");
                let mut others = 0;
                for path in bakery.files() {
                    let name = path.file_name().unwrap().to_string_lossy().into_owned();
                    let of_a_book = name.contains(".draff") && !name.ends_with("-journal");
                    if !of_a_book || ["book.draff", "copy.draff"].contains(&name.as_str()) {
                        continue;
                    }
                    // A book is made in an empty file. Where filling it was broken off, whoever opens it next takes
                    // the unfinished part back, and every command takes a file without a table for no book.
                    let found = contents(&path);
                    if found.is_empty() {
                        continue;
                    }
                    // Only a program that is gone leaves a file behind that has no name yet.
                    assert!(!name.starts_with('.'), "{place}: {name} is left behind");
                    others += 1;
                    let wanted = if line.contains("import-all") {
                        &copied
                    } else {
                        &current
                    };
                    assert!(
                        but_devices(&found) == but_devices(wanted),
                        "{place}: {name} is not whole, after exit {code}: {said}"
                    );
                }
                assert!(
                    code != 0 || others == 1,
                    "{place}: acknowledged, and not there"
                );
                assert!(
                    !back || others == 1,
                    "{place}: the book that was there is lost"
                );
                assert_eq!(bakery.run("check").0, 0, "{place}");
            }
        }
    }
}
