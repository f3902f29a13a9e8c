//! The parsers: each takes a text and gives `taken` or the words of its refusal.

use draffbook::commands;
use draffbook::context::Surroundings;
use draffbook::dough::formula::Formula;
use draffbook::grain::lot_code::LotCodeProblem;
use draffbook::grain::{Grist, LotCode, Weighing};
use draffbook::keeping::RuleSet;
use draffbook::quantity::fraction::Percent;
use draffbook::quantity::{Instant, Milligrams, Temperature, WaterActivity, Zone, duration, when};
use std::fmt::Display;
use std::path::PathBuf;

pub struct Parser {
    pub name: &'static str,
    /// Its part of all inputs.
    pub share: u32,
    /// Parts of which inputs are made.
    pub words: &'static [&'static str],
    /// Inputs that it takes.
    pub good: &'static [&'static str],
    pub run: fn(&str) -> String,
}

const NUMBERS: &[&str] = &[
    "0",
    "1",
    "7",
    "18.4",
    ".5",
    "5.",
    "00",
    "999999999999999999999999999999999999999999",
    "-1",
    "+1",
    "1e9",
    "NaN",
    "inf",
    "1,5",
    "٣",
    "½",
    "\u{a0}",
    " ",
    "\u{202f}",
    "\u{0}",
    "\u{202e}",
    "mg",
    "g",
    "kg",
    "t",
    "lb",
    "lbs",
    "oz",
    "C",
    "F",
    "°C",
    "°F",
    "K",
    "%",
    ",",
    ".",
    "-",
    "–",
    "ß",
    "🍞",
    "0.000001",
    "100000",
];

const TIMES: &[&str] = &[
    "2026",
    "-",
    "11",
    "20",
    ":",
    "07",
    "30",
    " ",
    "T",
    "Z",
    "+01:00",
    "-23:59",
    "today",
    "yesterday",
    "tomorrow",
    "now",
    "fri",
    "sunday",
    "2026-03-29 01:30",
    "2026-10-25",
    "99",
    "0",
    "24",
    "60",
    "1990",
    "2199",
    "9999999999",
    "\u{a0}",
    "ß",
    "２",
    ".5",
    "+",
    ",",
];

const DURATIONS: &[&str] = &[
    "1",
    "h",
    "min",
    "d",
    "s",
    "30",
    "0",
    " ",
    "9223372036854775807",
    "-",
    "+",
    ".",
    "½",
    "m",
    "H",
    "ß",
    "\u{0}",
];

const CODES: &[&str] = &[
    "ALD",
    "ald",
    "-",
    "261120",
    "1T",
    "1",
    "T",
    "999999",
    "0",
    "A",
    "ß",
    "–",
    " ",
    "000000",
    "261332",
    "*",
    "ALD-261120-1T",
    "ALD2611201T",
];

const GRISTS: &[&str] = &[
    "pale barley malt",
    " ",
    ",",
    "80%",
    "20 %",
    "%",
    "0%",
    "101%",
    "rye",
    "wheat malt",
    "12,5%",
    "\n",
    "\u{202e}",
    "ß",
    "🍞",
    ".",
    "1e3%",
    "-1%",
    "a",
    "A",
];

const TOML: &[&str] = &[
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    "\"",
    "'",
    "'''",
    "\"\"\"",
    "\n",
    "#",
    ".",
    ",",
    "name",
    "share",
    "\"70%\"",
    "\"0%\"",
    "\"301%\"",
    "\"12h\"",
    "\"60C\"",
    "[[flour]]\n",
    "[[stage]]\n",
    "[[ingredient]]\n",
    "[grain]\n",
    "kind = \"yeast\"\n",
    "true",
    "1",
    "-1",
    "1e400",
    "nan",
    "9223372036854775808",
    "1979-05-27",
    "\\u0000",
    "\\uD800",
    "\u{0}",
    "\u{202e}",
    "of = \"bread flour\"\n",
    "hydration = \"100%\"\n",
    "stage = \"sponge\"\n",
    "[hot]\n",
    "[cold]\n",
    "at_most = \"5C\"\n",
    "source = \"x\"\n",
    "ß",
    "\r\n",
    "[a.b]\n",
    "a.b.c = 1\n",
];

const CSV: &[&str] = &[
    "source",
    "brewed",
    "wet",
    "mash_out",
    "cooled",
    "temp",
    "grist",
    "note",
    "place",
    "kind",
    "form",
    "collected",
    ",",
    "\n",
    "\r\n",
    "\"",
    "\"\"",
    ";",
    "\t",
    "Alder Lane",
    "2026-11-20",
    "today",
    "18.4kg",
    "4C",
    "07:30",
    "\u{feff}",
    "\u{0}",
    "=1+1",
    "/etc/passwd",
    "ß",
    "source,brewed,wet\n",
    "Alder Lane,today,1kg\n",
    "\u{202e}",
    "fridge",
    "mashed",
    "whole",
    "\"rye malt 80%, wheat malt 20%\"",
];

pub static PARSERS: [Parser; 12] = [
    Parser {
        name: "mass",
        share: 200,
        words: NUMBERS,
        good: &["18.4kg", "500 g", "250mg", "0.02t", "40lb", "8oz", "2lb6oz"],
        run: mass,
    },
    Parser {
        name: "temperature",
        share: 120,
        words: NUMBERS,
        good: &["4C", "4.2 °C", "-18C", "39F", "−5 °C"],
        run: |typed| {
            said(typed.parse::<Temperature>(), |found| {
                assert!((-60.1..=300.1).contains(&found.degrees_celsius()));
            })
        },
    },
    Parser {
        name: "percentage",
        share: 100,
        words: NUMBERS,
        good: &["77%", "76.4 %", "0.5%", "100%", "1%"],
        run: |typed| said(typed.parse::<Percent>(), |_| {}),
    },
    Parser {
        name: "activity",
        share: 60,
        words: NUMBERS,
        good: &["0.55", "0", "1", "0.85", "0.999"],
        run: |typed| {
            said(typed.parse::<WaterActivity>(), |found| {
                assert!((0.0..=1.0).contains(&found.get()));
            })
        },
    },
    Parser {
        name: "lot-code",
        share: 100,
        words: CODES,
        good: &[
            "ALD-261120-1T",
            "ald2611201t",
            "ALD-261116-2B",
            "ALD-261119-11",
            "COR-261120-15",
        ],
        run: lot_code,
    },
    Parser {
        name: "weighing",
        share: 80,
        words: NUMBERS,
        good: &[
            "12.0g,112.0g,35.4g",
            "14.2g,114.5g,37.2g",
            "1oz,5oz,2oz",
            "0g,50g,40g",
            "12g,112g,36g,35.4g",
        ],
        run: |typed| {
            said(typed.parse::<Weighing>(), |found| {
                assert!((0.0..=1.0).contains(&found.moisture().get()));
            })
        },
    },
    Parser {
        name: "time",
        share: 150,
        words: TIMES,
        good: &[
            "2026-11-20 07:30",
            "2026-11-20T07:30:00+01:00",
            "today 07:30",
            "fri 06:00",
            "07:30",
            "now",
        ],
        run: time,
    },
    Parser {
        name: "duration",
        share: 60,
        words: DURATIONS,
        good: &["2h", "90min", "1h30min", "3d", "31d"],
        run: |typed| {
            said(duration::parse(typed), |found| {
                assert!((1..=31 * 24 * 60).contains(&found.num_minutes()));
            })
        },
    },
    Parser {
        name: "grist",
        share: 70,
        words: GRISTS,
        good: &[
            "pale barley malt 80%, wheat malt 20%",
            "rye",
            "a, b",
            "rye malt 12.5%",
            "oats 100%",
        ],
        run: |typed| {
            said(typed.parse::<Grist>(), |found| {
                assert!(!found.parts().is_empty())
            })
        },
    },
    Parser {
        name: "formula",
        share: 36,
        words: TOML,
        good: &[
            include_str!("../draff/formula/loaf.toml"),
            include_str!("../../demo-data/formulas/pan-loaf.toml"),
            include_str!("../../demo-data/formulas/hearth-loaf.toml"),
            include_str!("../../demo-data/formulas/seeded-roll.toml"),
            include_str!("../../demo-data/formulas/flatbread.toml"),
        ],
        run: |typed| said(Formula::from_text(typed), |_| {}),
    },
    Parser {
        name: "rules",
        share: 14,
        words: TOML,
        good: &[
            include_str!("../../src/keeping/rule_sets/strict.toml"),
            include_str!("../../src/keeping/rule_sets/us-food-code.toml"),
            include_str!("../../src/keeping/rule_sets/au-2h-4h.toml"),
            include_str!("../../src/keeping/rule_sets/uk-chilled.toml"),
            "name = \"own\"\n",
        ],
        run: rules,
    },
    Parser {
        name: "pickups",
        share: 10,
        words: CSV,
        good: &[
            "source,brewed,wet\nAlder Lane,today,1kg\n",
            "source,brewed,wet\r\nAlder Lane,2026-11-19,18.4kg\r\nThrenby,today,2kg\r\n",
            "\u{feff}wet,source,brewed,grist\n1kg,A,today,\"rye malt 80%, wheat malt 20%\"\n",
            "source,brewed,mash_out,wet,cooled\nAlder Lane,2026-11-20,07:30,18.4kg,09:00\n",
            "source,brewed,wet,temp,place,note\nA,today,1kg,4C,fridge,lid off\n",
        ],
        run: pickups,
    },
];

fn said<T, E: Display>(read: Result<T, E>, holds: impl FnOnce(&T)) -> String {
    match read {
        Ok(found) => {
            holds(&found);
            "taken".to_owned()
        }
        Err(refusal) => refusal.to_string(),
    }
}

fn mass(typed: &str) -> String {
    said(typed.parse::<Milligrams>(), |found| {
        assert!((1..=100_000_000_000).contains(&found.get()));
        let again: Milligrams = format!("{}mg", found.get()).parse().unwrap();
        assert_eq!(again, *found);
    })
}

/// A changed set may not go by the name of one that is built in, so all of them get another name first.
fn rules(typed: &str) -> String {
    let own = typed.replacen("name = \"", "name = \"own ", 1);
    said(RuleSet::from_text(&own), |_| {})
}

fn lot_code(typed: &str) -> String {
    let read = typed.parse::<LotCode>().map_err(|refusal| match refusal {
        LotCodeProblem::Malformed(problem) => problem.to_string(),
        LotCodeProblem::WrongCheck { would_be, .. } => {
            assert!(would_be.to_string().parse::<LotCode>().is_ok());
            "wrong check character".to_owned()
        }
    });
    said(read, |found| {
        assert_eq!(found.to_string().parse::<LotCode>().as_ref(), Ok(found));
    })
}

fn time(typed: &str) -> String {
    let now: Instant = "2026-11-20T10:00:00Z".parse().unwrap();
    // A zone with an hour's change and one with half an hour's.
    let zones = ["Europe/Dublin", "Australia/Lord_Howe"].map(|name| Zone::named(name).unwrap());
    let [first, _] = zones.map(|zone| {
        let day = when::date(typed, now, &zone);
        let moment = when::moment(typed, now, &zone);
        if let Ok(day) = day {
            assert!(
                moment
                    .as_ref()
                    .is_ok_and(|moment| zone.date(*moment) == day),
                "{typed}"
            );
        }
        moment
    });
    said(first, |found| {
        // A day to spare, since the years are counted in the zone.
        let ends = ["1989-12-31T00:00:00Z", "2200-01-02T00:00:00Z"];
        let [first, last] = ends.map(|end| end.parse::<Instant>().unwrap());
        assert!((first..last).contains(found));
    })
}

/// A file of pickups, through the command that reads it: nothing is booked of a file with a bad row.
fn pickups(typed: &str) -> String {
    thread_local! {
        static FOLDER: tempfile::TempDir = tempfile::tempdir().unwrap();
    }
    let (book, file): (PathBuf, PathBuf) = FOLDER.with(|folder| {
        (
            folder.path().join("book.draff"),
            folder.path().join("in.csv"),
        )
    });
    std::fs::write(&file, typed).unwrap();
    let around = Surroundings {
        clock: "2026-11-20T10:00:00Z".parse().unwrap(),
        now: None,
        book: Some(book.clone()),
        usual_book: None,
        zone: || (Zone::utc(), None),
    };
    let line = [
        "draff".into(),
        "pickup".into(),
        "--csv".into(),
        file.into_os_string(),
    ];
    let (mut answer, mut talk) = (Vec::new(), Vec::new());
    let code = commands::run(line, &around, &mut answer, &mut talk);
    let made = book.exists();
    if made {
        std::fs::remove_file(&book).unwrap();
    }
    let talk = String::from_utf8(talk).unwrap();
    assert!([0, 1].contains(&code), "exit {code}: {talk}");
    assert_eq!(made, code == 0, "{talk}");
    let moves = |c: char| (c.is_control() && c != '\n' && c != '\t') || c == '\u{202e}';
    assert!(!talk.replace("\r\n", "").contains(moves), "{talk:?}");
    if code == 0 { "taken".to_owned() } else { talk }
}
