//! `docs/formats.md`: what others may rely on is what the program prints, reads and returns.

use super::{hold_part, read, rows, split};
use draffbook::commands;
use draffbook::context::Surroundings;
use draffbook::desk::{Desk, NewDevice};
use draffbook::grain::LotCode;
use draffbook::ledger::{Book, EntryKind};
use draffbook::quantity::fraction::Percent;
use draffbook::quantity::when;
use draffbook::quantity::{Instant, Length, Milligrams, Temperature, WaterActivity, Zone};
use std::collections::BTreeSet;

const PAGE: &str = "formats.md";

/// A book in a folder of its own, and a clock that stands still.
struct Bench {
    folder: tempfile::TempDir,
    around: Surroundings,
}

impl Bench {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let around = Surroundings {
            clock: "2026-11-20T15:00:00Z".parse().unwrap(),
            now: None,
            book: Some(folder.path().join("book.draff")),
            usual_book: None,
            zone: || (zone(), None),
        };
        Self { folder, around }
    }

    /// Pairs a device, as the page does.
    fn pair(&self) {
        let now = self.around.clock;
        let book = Book::open(&self.folder.path().join("book.draff"), now).unwrap();
        let new = NewDevice {
            secret: [7; 32],
            whose: "Mo",
            writes: true,
            paired_by: None,
        };
        Desk::new(book, now, None).pair(&new).unwrap();
    }

    /// Runs a line and gives its exit code, answer and talk; files that it names lie in the folder,
    /// whose own name is left out of what is said.
    fn run(&self, line: &str) -> (u8, String, String) {
        const FILES: [&str; 6] = [
            "pickups.csv",
            "readings.csv",
            "loaf.toml",
            "copies",
            "tables",
            "new.draff",
        ];
        let words = shlex::split(line).unwrap().into_iter().map(|word| {
            let first = word.split('/').next().unwrap();
            if FILES.contains(&first) {
                self.folder.path().join(word).into_os_string()
            } else {
                word.into()
            }
        });
        let (mut answer, mut talk) = (Vec::new(), Vec::new());
        let typed = std::iter::once("draff".into()).chain(words);
        let code = commands::run(typed, &self.around, &mut answer, &mut talk);
        let folder = format!("{}/", self.folder.path().display());
        let text = |bytes| String::from_utf8(bytes).unwrap().replace(&folder, "");
        (code, text(answer), text(talk))
    }

    fn done(&self, line: &str) -> String {
        let (code, answer, talk) = self.run(line);
        assert_eq!(code, 0, "{line}: {talk}");
        answer
    }

    /// The example book: the page's own pickups, a test, a part, a bake and a discard.
    fn filled() -> (Self, String) {
        let bench = Self::new();
        let text = read(PAGE);
        let (_, pickups, _) = split(&text, "```csv", "```");
        std::fs::write(bench.folder.path().join("pickups.csv"), pickups).unwrap();
        let (_, part, _) = split(&text, "<!-- readings csv", "\n## ");
        let (_, readings, _) = split(part, "```csv", "```");
        std::fs::write(bench.folder.path().join("readings.csv"), readings).unwrap();
        let booked = bench.done("pickup --csv pickups.csv --json");
        let loaf = include_str!("../formula/loaf.toml");
        std::fs::write(bench.folder.path().join("loaf.toml"), loaf).unwrap();
        bench.done("formula add loaf.toml --by Mo");
        bench.pair();
        for line in [
            "moisture ALD-261116-1D --weighing 50.0g,150.0g,73.4g --weighing 48.2g,151.6g,73.0g",
            "move ALD-261116-1D --wet 6kg --to freezer --at '2026-11-17 09:00'",
            "use ALD-261116-1D --wet 2.5kg --for 'pan loaf' --at '2026-11-18 05:00' --by Mo",
            "discard ALD-261119-11 --wet 500g --reason '=spilt'",
        ] {
            bench.done(line);
        }
        (bench, booked)
    }
}

fn zone() -> Zone {
    Zone::named("Europe/Dublin").unwrap()
}

#[test]
fn the_page_names_every_kind_of_entry() {
    let page = read(PAGE);
    let text = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, rest) = text.split_once("In `log`, `kind` is ").unwrap();
    let (named, _) = rest.split_once("; in `place`").unwrap();
    let named = named.replace(" or ", ", ");
    let named: Vec<&str> = named.split(", ").collect();
    assert_eq!(named, EntryKind::ALL.map(EntryKind::as_str));
}

/// One batch with the temperature of its water.
const BATCH: &str = "batch 'small loaf' --pieces 4 --lot ALD-261116-1D --share 6% --tap 12C --room 22C --grain-temp 18C --json";

/// Each answer as JSON: the mark in the page and what the program says.
fn answers() -> Vec<(&'static str, String)> {
    let (bench, booked) = Bench::filled();
    vec![
        ("<!-- json pickup", booked),
        (
            "<!-- json moisture",
            bench.done("moisture ALD-261116-1D --json"),
        ),
        (
            "<!-- json why",
            bench.done("moisture ALD-261119-11 --why --json"),
        ),
        ("<!-- json today", bench.done("today --json")),
        ("<!-- json shelf", bench.done("shelf --json")),
        ("<!-- json device", bench.done("device --json")),
        (
            "<!-- json hold-back",
            bench.done("hold-back ALD-261116-1D --wet 460g --flour 900g --hydration 70% --json"),
        ),
        ("<!-- json formula", bench.done("formula --json")),
        (
            "<!-- json proposals",
            bench.done("formula propose \"small loaf\" --json"),
        ),
        ("<!-- json batch", bench.done(BATCH)),
        ("<!-- json usage", bench.done("usage --json")),
        ("<!-- json log", bench.done("log --last 3 --json")),
        ("<!-- json place", bench.done("place --json")),
        (
            "<!-- json cool",
            bench.done("cool --depth 8cm --from 62C --fridge 3C --tub round 30cm --json"),
        ),
        (
            "<!-- json strike",
            bench.done("strike 12 --reason 'was 400 g' --json"),
        ),
        ("<!-- json check", bench.done("check --json")),
        ("<!-- json bake", {
            bench.done("bake add 'small loaf' --at 'today 14:00' mix --pieces 4 --share 6% --lot ALD-261116-1D --note 'for the market'");
            bench.done(
                "bake done B-1S --water 290g --pieces 4 --baked 2.81kg --came-out fair --by Mo --json",
            )
        }),
        ("<!-- json settings", bench.done("settings tap 12C --json")),
        (
            "<!-- json treat-plan",
            bench.done("treat ALD-261116-1D --plan dry --to 8% --wet-in 2kg --json"),
        ),
        (
            "<!-- json treat",
            bench.done(
                "treat ALD-261116-1D --step press --wet-in 4kg --wet-out 2.6kg --by Mo --json",
            ),
        ),
        (
            "<!-- json count",
            bench.done("count ALD-261116-1D --wet 5.3kg --json"),
        ),
        ("<!-- json trace", {
            bench.done("discard ALD-261116-1D --wet 1kg --as feed --reason 'too much'");
            bench.done("trace ALD-261116-1D --json")
        }),
        ("<!-- json readings fridge --csv", {
            let (other, _) = Bench::filled();
            other.done("readings fridge --csv readings.csv --json")
        }),
        ("<!-- json readings fridge --summary", {
            let (other, _) = Bench::filled();
            other.done("readings fridge --csv readings.csv");
            other.done("readings fridge --summary --json")
        }),
        (
            "<!-- json backup",
            bench.done("backup --keep 14 copies --json"),
        ),
        (
            "<!-- json restore",
            bench.done("restore copies/book-2026-11-20T150000Z.draff --json"),
        ),
        (
            "<!-- json export-all",
            bench.done("export-all tables --json"),
        ),
        (
            "<!-- json import-all",
            bench.done("--book new.draff import-all tables --json"),
        ),
        ("<!-- json plan", {
            bench.done("bake add 'small loaf' --at '2026-11-24 06:00' mix --pieces 12");
            bench.done("bake add 'small loaf' --at '2026-11-21 06:00' mix --pieces 8 --optional");
            bench.done("plan --accept");
            bench.done("use ALD-261116-1D --wet 3kg --for 'a party'");
            bench.done("plan --json")
        }),
        ("<!-- json promised", bench.done("bake show B-2Q --json")),
        (
            "<!-- json fetch",
            bench.done("fetch --at 'sat 12:00' --json"),
        ),
        ("<!-- json bake-advise", {
            bench.done("bake change B-2Q --share 6%");
            bench.done("bake advise --json")
        }),
        ("<!-- json report", {
            bench.done("readings fridge --csv readings.csv");
            bench.done("bake drop B-2Q --reason 'no market'");
            bench.done("report --json")
        }),
    ]
}

#[test]
fn the_json_examples_are_what_the_program_prints() {
    for (mark, answer) in answers() {
        let block = format!("\n```json\n{answer}```\n\n");
        hold_part(PAGE, mark, "<!-- end -->", &block);
    }
}

#[test]
fn the_usage_csv_is_what_the_program_prints() {
    let (bench, _) = Bench::filled();
    let printed = bench.done("usage --csv -");
    let block = format!("\n```csv\n{printed}```\n\n");
    hold_part(PAGE, "<!-- usage csv", "<!-- end -->", &block);
}

#[test]
fn the_trace_csv_is_what_the_program_prints() {
    let (bench, _) = Bench::filled();
    let printed = bench.done("trace ALD-261116-1D --csv -");
    let block = format!("\n```csv\n{printed}```\n\n");
    hold_part(PAGE, "<!-- trace csv", "<!-- end -->", &block);
}

#[test]
fn every_json_key_is_described_and_no_other() {
    fn keys(value: &serde_json::Value, found: &mut BTreeSet<String>) {
        match value {
            serde_json::Value::Object(fields) => {
                for (key, inner) in fields {
                    found.insert(key.clone());
                    keys(inner, found);
                }
            }
            serde_json::Value::Array(items) => items.iter().for_each(|item| keys(item, found)),
            _ => {}
        }
    }
    let mut printed = BTreeSet::new();
    let (bench, _) = Bench::filled();
    let ticket = bench.done("ticket ALD-261116-1D --json");
    let source = bench.done("source show 'Alder Lane' --json");
    // A lot that nobody tested is worth it, and no water warms a dough in so cold a room.
    let untested = [
        "settings tap 2C --json",
        "settings room 4C --json",
        "pickup --source 'Elm Yard' --brewed 2026-11-20 --mash-out 06:00 --cooled 08:00 --wet 9kg --json",
        "bake add 'small loaf' --at '2026-11-22 06:00' mix --pieces 60 --json",
        "plan --json",
        "pickup --source 'Oak Yard' --brewed 2026-11-20 --mash-out 06:00 --cooled 08:00 --wet 20kg --json",
        "bake advise --json",
    ];
    let untested = untested.map(|line| bench.done(line));
    let all = answers().into_iter().map(|(_, answer)| answer);
    for answer in all.chain([ticket, source]).chain(untested) {
        keys(&serde_json::from_str(&answer).unwrap(), &mut printed);
    }
    let text = read(PAGE);
    let (_, table, _) = split(&text, "never 0.", "\nIn `log`");
    let described: BTreeSet<String> = rows(table).iter().flat_map(|row| quoted(&row[0])).collect();
    assert_eq!(described, printed);
}

#[test]
fn the_description_of_the_tables_is_what_the_page_says() {
    let (bench, _) = Bench::filled();
    bench.done("export-all tables");
    let path = bench.folder.path().join("tables/description.json");
    let description: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let keys = |value: &serde_json::Value| -> BTreeSet<String> {
        value.as_object().unwrap().keys().cloned().collect()
    };
    let table = &description["tables"][0];
    let printed: BTreeSet<String> = [&description, table, &table["columns"][0]]
        .into_iter()
        .flat_map(keys)
        .collect();
    let text = read(PAGE);
    let (_, part, _) = split(&text, "## All tables as CSV", "\n## ");
    let described: BTreeSet<String> = rows(part).iter().flat_map(|row| quoted(&row[0])).collect();
    assert_eq!(described, printed);
    // How values are written stands in the folder itself, in the words of the page.
    let flowing = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let how = description["how"].as_str().unwrap();
    assert!(
        flowing(&part.replace('`', "")).contains(&flowing(how)),
        "{how}"
    );
}

#[test]
fn every_use_of_a_lot_answers_like_a_pickup() {
    let (bench, booked) = Bench::filled();
    let keys = |text: &str| -> BTreeSet<String> {
        let value: serde_json::Value = serde_json::from_str(text).unwrap();
        let lot = value["lots"].get(0).unwrap_or(&value);
        let keys = lot.as_object().unwrap().keys().cloned();
        keys.filter(|key| !["cautions", "entry"].contains(&key.as_str()))
            .collect()
    };
    for line in [
        "pickup --source 'Alder Lane' --brewed today --wet 1kg --json",
        "use ALD-261116-1D --wet 1kg --for buns --json",
        "discard ALD-261116-1D --wet 1kg --reason dropped --json",
        "move ALD-261116-1D --to counter --json",
        "probe ALD-261116-1D 5C --json",
        "treat ALD-261116-1D --step press --wet-in 1kg --wet-out 700g --json",
        "portion ALD-261116-1D --into 2x500g --json",
    ] {
        assert_eq!(keys(&bench.done(line)), keys(&booked), "{line}");
    }
}

#[test]
fn the_columns_of_a_pickup_file_are_those_of_the_program() {
    let text = read(PAGE);
    let (_, csv, rest) = split(&text, "```csv", "```");
    let header: Vec<String> = csv
        .lines()
        .next()
        .unwrap()
        .split(',')
        .map(str::to_owned)
        .collect();
    let (_, sentence, _) = split(rest, "```", "\n\n## ");
    assert_eq!(quoted(sentence), header);
    let bench = Bench::new();
    let file = bench.folder.path().join("pickups.csv");
    // Every column is known: an unknown one is refused before any row is looked at.
    std::fs::write(&file, csv).unwrap();
    bench.done("pickup --csv pickups.csv");
    std::fs::write(&file, csv.replacen("note", "notes", 1)).unwrap();
    assert_eq!(bench.run("pickup --csv pickups.csv").0, 1);
}

#[test]
fn exit_codes_are_those_of_the_page() {
    let (bench, _) = Bench::filled();
    for (code, line) in [
        (0, "shelf"),
        (1, "use ALD-261116-1D --wet 100kg --for buns"),
        (2, "use ALD-261116-1D --wet 1 --for buns"),
        (2, "shelve"),
        (3, "shelf --fail-on past"),
        (3, "shelf --fail-on use-first"),
    ] {
        assert_eq!(bench.run(line).0, code, "{line}");
    }
    let text = read(PAGE);
    let (_, table, _) = split(&text, "## Exit codes", "\n`shelf --fail-on");
    let described: Vec<String> = rows(table).into_iter().map(|row| row[0].clone()).collect();
    let known = [
        draffbook::error::DONE,
        draffbook::error::REFUSED,
        draffbook::error::USAGE,
        draffbook::error::FOUND,
        draffbook::error::INTERNAL,
        // Ended by a signal, a shell says 128 and its number: Ctrl-C is 2.
        128 + 2,
    ];
    assert_eq!(described, known.map(|code| code.to_string()));
}

#[test]
fn what_the_page_calls_typed_right_is_read_and_what_it_calls_refused_is_not() {
    let now: Instant = "2026-11-20T15:00:00Z".parse().unwrap();
    let is_read = |what: &str, typed: &str| match what {
        "mass" => typed.parse::<Milligrams>().is_ok(),
        "temperature" => typed.parse::<Temperature>().is_ok(),
        "length" => typed.parse::<Length>().is_ok(),
        "percentage" => typed.parse::<Percent>().is_ok(),
        "water activity" => typed.parse::<WaterActivity>().is_ok(),
        "time" => when::moment(typed, now, &zone()).is_ok(),
        "day" => when::date(typed, now, &zone()).is_ok(),
        "lot" => typed.parse::<LotCode>().is_ok(),
        other => panic!("{other} is no quantity of ours"),
    };
    let text = read(PAGE);
    let (_, right, rest) = split(&text, "## As typed", "Refused, for example:");
    let (_, refused, _) = split(rest, "Refused, for example:", "\nA time is local");
    for (table, expected) in [(right, true), (refused, false)] {
        let lines = rows(table);
        assert!(lines.len() >= 5, "a table of the page is gone");
        for line in lines {
            for typed in quoted(&line[1]) {
                assert_eq!(is_read(&line[0], &typed), expected, "{} {typed}", line[0]);
            }
        }
    }
}

/// What stands between backticks, in order.
fn quoted(text: &str) -> Vec<String> {
    text.split('`')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}
