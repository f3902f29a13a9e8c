//! Texts that would run as markup or as a formula, or move a cursor: whatever a command prints of them is
//! harmless. Control characters are refused where they are typed; here they are also put into a book past
//! the program.

mod bakes;

use crate::env::Kitchen;
use serde_json::Value;

/// Typed texts: markup, formulas, quotes, what looks like a path, an option or a placeholder.
const TYPED: [&str; 12] = [
    "=1+1",
    "+1",
    "-2+3",
    "@SUM(A1)",
    "|calc",
    "%0A",
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "'; DROP TABLE entry; --",
    "../../etc/passwd",
    "a,b;c\"d\"",
    "{0} %s $HOME `id` \\n",
];

/// Every command that prints texts of the book; `LOT` stands for a lot.
const PRINTING: [&str; 15] = [
    "shelf",
    "log",
    "log LOT",
    "usage",
    "usage --csv -",
    "place",
    "moisture LOT",
    "hold-back LOT --wet 100g --flour 1kg --hydration 70%",
    "formula",
    "check",
    "use LOT --wet 1g --for bread",
    "move LOT --wet 1g --to freezer",
    "probe LOT 4C",
    "strike 99 --reason wrong",
    "pickup --source nobody --brewed today --wet 1kg --place nowhere",
];

/// What must reach no terminal.
fn moves_a_cursor(c: char) -> bool {
    // A tab moves on within the line and hides nothing.
    (c.is_control() && c != '\n' && c != '\t')
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2028}' | '\u{2029}' | '\u{2066}'..='\u{2069}')
}

/// Runs every printing command, in words and in JSON, and gives all that was said.
fn all_said(kitchen: &Kitchen, lot: &str) -> String {
    let mut all = String::new();
    for words in PRINTING {
        let words = words.replace("LOT", lot);
        // One answer for stdout.
        let json = (!words.ends_with('-')).then(|| format!("--json {words}"));
        for words in [Some(words.clone()), json].into_iter().flatten() {
            let ran = kitchen.run(&words);
            assert!(
                // A formula that cannot be read is damage.
                [0, 1, 3].contains(&ran.code),
                "{words}: {} {}",
                ran.code,
                ran.err
            );
            for said in [&ran.out, &ran.err] {
                let found = said.chars().find(|c| moves_a_cursor(*c));
                assert_eq!(found, None, "{words}: {said:?}");
            }
            if words.starts_with("--json") && ran.code == 0 && !words.contains("--csv") {
                let answer: Result<Value, _> = serde_json::from_str(&ran.out);
                assert!(answer.is_ok(), "{words}: {}", ran.out);
            }
            all.push_str(&ran.out);
            all.push_str(&ran.err);
        }
    }
    all
}

/// Reads a logger's file into a place of any name and has all made of it: words and JSON; picture and page.
fn air_said(kitchen: &Kitchen, place: &str) -> (String, String) {
    kitchen.file(
        "r.csv",
        "time,temp C\n2026-11-20 09:00,4\n2026-11-20 09:30,9\n",
    );
    let mut all = String::new();
    for options in [
        "--csv r.csv",
        "--json --csv r.csv",
        "--summary --svg air.svg --html air.html",
        "--json --summary",
        "--summary --svg -",
        "--summary --html -",
        "--summary --from 2026-11-19 --to 2026-11-20",
    ] {
        let options = shlex::split(options).unwrap();
        let words = ["readings".to_owned()].into_iter().chain(options);
        let ran = kitchen.run_words(words.chain(["--".to_owned(), place.to_owned()]));
        assert_eq!(ran.code, 0, "{place:?}: {}", ran.err);
        all.push_str(&ran.out);
        all.push_str(&ran.err);
    }
    let drawn = ["air.svg", "air.html"]
        .map(|name| std::fs::read_to_string(kitchen.folder().join(name)).unwrap())
        .concat();
    let found = all
        .chars()
        .chain(drawn.chars())
        .find(|c| moves_a_cursor(*c));
    assert_eq!(found, None, "{place:?}: {all:?}");
    (all, drawn)
}

/// No cell of a CSV file would run in a spreadsheet.
fn runs_nothing(csv: &str) {
    for record in csv::Reader::from_reader(csv.as_bytes()).records() {
        for cell in &record.unwrap() {
            let number = cell.parse::<f64>().is_ok();
            let starts = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '|', '%']);
            assert!(number || !starts, "{cell}");
        }
    }
}

#[test]
fn typed_texts_are_kept_and_shown_as_they_are() {
    let kitchen = Kitchen::new();
    let mut lot = String::new();
    for text in TYPED {
        let typed = |words: &[&str]| {
            let ran = kitchen.run_words(words);
            assert_eq!(ran.code, 0, "{text}: {}", ran.err);
            ran.out
        };
        let (source, grist) = (format!("--source={text}"), "--grist=rye malt".to_owned());
        let booked = typed(&[
            "--json",
            "pickup",
            &source,
            "--brewed",
            "2026-11-20",
            "--mash-out",
            "07:30",
            "--cooled",
            "09:00",
            "--wet",
            "5kg",
            &grist,
            &format!("--note={text}"),
        ]);
        let booked: Value = serde_json::from_str(&booked).unwrap();
        lot = booked["lot"].as_str().unwrap().to_owned();
        let by = format!("--by={text}");
        typed(&[&by, "use", &lot, "--wet", "1kg", &format!("--for={text}")]);
        typed(&[
            &by,
            "discard",
            &lot,
            "--wet",
            "1g",
            &format!("--reason={text}"),
        ]);
        typed(&[
            "place", "add", "--kind", "fridge", "--temp", "3C", "--", text,
        ]);
        let (_, drawn) = air_said(&kitchen, text);
        assert!(drawn.contains("</svg>"), "{text}");
        for markup in ["<script", "<img"] {
            assert!(!drawn.contains(markup), "{text}");
        }
        let entry = kitchen.last_entry("discard").to_string();
        typed(&["strike", &entry, &format!("--reason={text}")]);
    }
    all_said(&kitchen, &lot);
    // Nothing is changed on the way: JSON and log hold the very text.
    let usage = kitchen.json("usage");
    let usage = usage["usage"].as_array().unwrap();
    let log = kitchen.json("log");
    let shelf = kitchen.json("shelf");
    for text in TYPED {
        let is_in = |list: &Value, key: &str| {
            list.as_array()
                .unwrap()
                .iter()
                .any(|line| line[key] == text)
        };
        assert!(
            usage
                .iter()
                .any(|line| line["bake"] == text && line["by"] == text),
            "{text}"
        );
        assert!(is_in(&log["entries"], "words"), "{text}");
        assert!(is_in(&shelf["lots"], "source"), "{text}");
        assert!(is_in(&kitchen.json("place")["places"], "place"), "{text}");
    }
    runs_nothing(&kitchen.ok("usage --csv -"));
    assert!(
        kitchen.ok("check").contains("whole"),
        "no text was run as SQL"
    );
    assert!(
        !kitchen.folder().join("etc").exists(),
        "no text was taken for a path"
    );
}

/// What a control character does to a terminal, in each text that the book holds.
#[test]
fn a_book_with_control_characters_moves_no_cursor() {
    const NASTY: &str =
        "\u{1b}[2J\u{1b}]0;owned\u{7}\u{9b}31m\u{8}\u{7f}\r\u{202e}desrever\u{2066}\t";
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("5kg");
    kitchen.ok(&format!("--by Mo use {lot} --wet 1kg --for bread"));
    kitchen.ok(&format!("moisture {lot} --lab 77%"));
    kitchen.past_the_triggers(|book| {
        for change in [
            "UPDATE source SET name = ?1 || name",
            "UPDATE place SET name = name || ?1 WHERE name <> 'freezer'",
            "UPDATE entry SET words = ?1 || 'bread', recorded_by = ?1 WHERE kind = 'use'",
            "UPDATE lot SET grist = ?1",
            "UPDATE book SET name = ?1",
            "INSERT INTO formula (name) VALUES (?1)",
        ] {
            assert!(book.execute(change, [NASTY]).unwrap() > 0, "{change}");
        }
        book.execute(
            "INSERT INTO formula_version (formula_id, number, text, added_at, added_by) VALUES (1, 1, ?1, 1, ?1)",
            [NASTY],
        )
        .unwrap();
    });
    let said = all_said(&kitchen, &lot);
    assert!(
        said.contains("\\u001b[2J"),
        "it is shown as what it is: {said}"
    );
    let (said, drawn) = air_said(&kitchen, &format!("fridge{NASTY}"));
    assert!(said.contains("fridge\\u001b[2J"), "{said}");
    assert!(drawn.contains("Air of fridge\\u001b[2J"), "{drawn}");
    let csv = kitchen.ok("usage --csv -");
    runs_nothing(&csv);
    assert!(csv.contains("\\u001b"), "{csv}");
    kitchen.ok("usage --csv usage.csv");
    assert_eq!(
        csv,
        std::fs::read_to_string(kitchen.folder().join("usage.csv")).unwrap()
    );
    // Kept as it is where all of the book is carried, and harmless to a spreadsheet there too.
    kitchen.ok("export-all out");
    runs_nothing(&std::fs::read_to_string(kitchen.folder().join("out/source.csv")).unwrap());
    // A formula that cannot be read is damage: no book is made of it, and the refusal shows the name as data.
    let refused = kitchen.refused(1, "--book second.draff import-all out");
    assert!(refused.contains("\\u001b[2J"), "{refused}");
}

/// What is typed wrongly is shown in the refusal, and files have names and cells that may hold anything.
#[test]
fn refusals_move_no_cursor() {
    let kitchen = Kitchen::new();
    let nasty = "\u{1b}[2J\u{202e}\u{9b}";
    kitchen.file("p.csv", format!("source,{nasty},wet\nA,today,1kg\n"));
    kitchen.file(
        "q.csv",
        format!("source,brewed,wet\nA,{nasty},1{nasty}kg\n"),
    );
    kitchen.file("f.toml", format!("name = \"x\"\n{nasty}\n"));
    kitchen.file(
        "g.toml",
        format!("name = \"\\u001b[2J\"\nhydration = \"{nasty}\"\n"),
    );
    for words in [
        ["use", nasty, "--wet", "1kg", "--for", "bread"].to_vec(),
        ["use", "ALD-261120-1T", "--wet", nasty, "--for", "bread"].to_vec(),
        ["pickup", "--source", "A", "--brewed", nasty, "--wet", "1kg"].to_vec(),
        [
            "pickup", "--source", "A", "--brewed", "today", "--wet", "1kg", "--grist", nasty,
        ]
        .to_vec(),
        [
            "pickup", "--source", "A", "--brewed", "today", "--wet", "1kg", "--place", nasty,
        ]
        .to_vec(),
        ["pickup", "--csv", "p.csv"].to_vec(),
        ["pickup", "--csv", "q.csv"].to_vec(),
        ["pickup", "--csv", nasty].to_vec(),
        ["formula", "add", "f.toml"].to_vec(),
        ["formula", "add", "g.toml"].to_vec(),
        ["formula", "show", nasty].to_vec(),
        ["--book", nasty, "shelf"].to_vec(),
        ["--now", nasty, "shelf"].to_vec(),
        ["backup", nasty, nasty].to_vec(),
        ["restore", nasty].to_vec(),
        ["import-all", nasty].to_vec(),
        ["rules", nasty].to_vec(),
        ["readings", nasty, "--summary"].to_vec(),
        ["readings", "fridge", "--csv", nasty].to_vec(),
        [
            "readings",
            "fridge",
            "--summary",
            "--svg",
            nasty,
            "--from",
            nasty,
        ]
        .to_vec(),
        ["usage", "--source", nasty, "--from", nasty].to_vec(),
        [nasty].to_vec(),
        ["shelf", nasty].to_vec(),
    ] {
        let ran = kitchen.run_words(&words);
        assert!([1, 2].contains(&ran.code), "{words:?}: {}", ran.code);
        let found = ran
            .err
            .chars()
            .chain(ran.out.chars())
            .find(|c| moves_a_cursor(*c));
        assert_eq!(found, None, "{words:?}: {:?}", ran.err);
    }
}
