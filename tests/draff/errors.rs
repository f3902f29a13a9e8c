//! Bad input: a clear message, the right exit code, nothing written.
//!
//! Each group is a transcript in `tests/draff/errors/`: the command, the exit code, the message. Every
//! command runs through `Kitchen::refused`, which compares all files before and after byte by byte.

mod books;
mod files;

use crate::env::{Kitchen, LOAF, golden, has};

/// Runs commands that must all be refused and holds what they said against the golden file.
#[track_caller]
pub fn transcript(kitchen: &Kitchen, name: &str, refused: &[(i32, &str)]) {
    let mut text = String::new();
    for (code, words) in refused {
        let said = kitchen.refused_as_written(*code, words);
        text.push_str(&format!("$ draff {}\n[exit {code}]\n{said}\n", words));
    }
    golden(name, &text);
}

/// A kitchen with one lot, `ALD-261120-1T`, of 10 kg.
fn with_a_lot() -> Kitchen {
    let kitchen = Kitchen::new();
    assert_eq!(kitchen.lot("10kg"), "ALD-261120-1T");
    kitchen
}

#[test]
fn doubtful_masses() {
    let kitchen = with_a_lot();
    let masses = [
        "4",
        "18,4kg",
        "-4kg",
        "0kg",
        "\"NaN kg\"",
        "\"inf kg\"",
        "1e300kg",
        "\"3 stone\"",
        "2kg3g",
        "2lb-6oz",
        "kg",
        "0.0001mg",
        "100001kg",
        "999999999999999999999999kg",
        "\"\"",
    ];
    let typed: Vec<String> = masses
        .iter()
        .flat_map(|mass| {
            [
                format!("use ALD-261120-1T --wet {mass} --for bread"),
                format!("pickup --source A --brewed today --wet {mass}"),
            ]
        })
        .collect();
    let refused: Vec<(i32, &str)> = typed.iter().map(|words| (2, words.as_str())).collect();
    transcript(&kitchen, "masses", &refused);
}

#[test]
fn doubtful_moistures() {
    let kitchen = with_a_lot();
    transcript(
        &kitchen,
        "moistures",
        &[
            (2, "moisture ALD-261120-1T --lab 0%"),
            (2, "moisture ALD-261120-1T --lab 100%"),
            (2, "moisture ALD-261120-1T --lab 120%"),
            (2, "moisture ALD-261120-1T --lab 0.77"),
            (2, "moisture ALD-261120-1T --lab 77% --lab-sd 30%"),
            (2, "moisture ALD-261120-1T --weighing 40g,112g,35.4g"),
            (2, "moisture ALD-261120-1T --weighing 12g,112g,112g"),
            (2, "moisture ALD-261120-1T --weighing 12g,112g,12g"),
            (2, "moisture ALD-261120-1T --weighing 12g,112g,120g"),
            (2, "moisture ALD-261120-1T --weighing 12g"),
            (2, "moisture ALD-261120-1T --weighing 12,112,35.4"),
            (
                2,
                "moisture ALD-261120-1T --weighing 0g,1kg,300g --weighing 0g,1kg,300g --stage2 0g,50g,40g",
            ),
            (
                2,
                "moisture ALD-261120-1T --weighing 12g,112g,35.4g --method sun",
            ),
            (2, "moisture ALD-261120-1T --method oven"),
            (
                2,
                "hold-back --moisture 0% --wet 435g --flour 900g --hydration 70%",
            ),
            (
                2,
                "hold-back --moisture 100% --wet 435g --flour 900g --hydration 70%",
            ),
            (
                2,
                "hold-back --moisture 120% --wet 435g --flour 900g --hydration 70%",
            ),
            (
                2,
                "hold-back --moisture 77% --wet 435g --flour 900g --hydration 0%",
            ),
            (
                2,
                "hold-back --moisture 77% --share 100% --flour 900g --hydration 70%",
            ),
            (2, "hold-back --moisture 77% --wet 435g --hydration 70%"),
            (2, "hold-back --wet 435g --flour 900g --hydration 70%"),
            (
                2,
                "hold-back ALD-261120-1T --moisture 77% --wet 435g --flour 900g --hydration 70%",
            ),
            (
                1,
                "hold-back --moisture 77% --moisture-sd 1% --wet 2kg --flour 900g --hydration 70%",
            ),
            (
                1,
                "hold-back --moisture 77% --wet 5kg --total-flour 900g --hydration 70%",
            ),
        ],
    );
}

#[test]
fn lots_that_are_not_there() {
    let kitchen = with_a_lot();
    transcript(
        &kitchen,
        "lots",
        &[
            (1, "use ALD-261120-1T --wet 100kg --for bread"),
            (
                1,
                "discard ALD-261120-1T --wet 10.000001kg --reason dropped",
            ),
            (1, "move ALD-261120-1T --wet 11kg --to freezer"),
            (1, "use ALD-261120-1X --wet 1kg --for bread"),
            (1, "use ALD-261102-1T --wet 1kg --for bread"),
            (1, "use ADL-261120-1T --wet 1kg --for bread"),
            (1, "use ALD-261120-2R --wet 1kg --for bread"),
            (1, "use \"green bucket\" --wet 1kg --for bread"),
            (1, "use \"\" --wet 1kg --for bread"),
            (1, "move ALD-261120-1T --to attic"),
            (1, "moisture ALD-261120-1X"),
            (1, "moisture ALD-261120-1X --lab 77%"),
            (1, "probe ALD-261120-1X 4C"),
            (1, "log ALD-261120-1X"),
            (1, "usage --lot ALD-261120-1X"),
            (
                1,
                "hold-back ALD-261120-1X --wet 435g --flour 900g --hydration 70%",
            ),
            (1, "strike 99 --reason wrong"),
            (2, "probe ALD-261120-1T 4"),
            (2, "probe ALD-261120-1T 900C"),
            (2, "probe ALD-261120-1T --aw 1.5"),
        ],
    );
}

/// Clocks in Dublin skip 01:00 to 02:00 on 29 March 2026 and pass it twice on 25 October (Directive
/// 2000/84/EC).
#[test]
fn times_that_cannot_be() {
    let kitchen = with_a_lot();
    transcript(
        &kitchen,
        "times",
        &[
            (1, "move ALD-261120-1T --to freezer --at 2026-11-19"),
            (1, "use ALD-261120-1T --wet 1kg --for bread --at 09:59"),
            (1, "discard ALD-261120-1T --reason dropped --at 09:59"),
            (1, "probe ALD-261120-1T 4C --at 09:59"),
            (1, "move ALD-261120-1T --to freezer --at tomorrow"),
            (1, "use ALD-261120-1T --wet 1kg --for bread --at 10:01"),
            (
                1,
                "discard ALD-261120-1T --reason dropped --at \"2026-11-20 10:00:01\"",
            ),
            (1, "probe ALD-261120-1T 4C --at 2027-01-01"),
            (1, "moisture ALD-261120-1T --lab 77% --at tomorrow"),
            (
                1,
                "pickup --source A --brewed today --wet 1kg --mash-out 10:01",
            ),
            (
                1,
                "pickup --source A --brewed today --wet 1kg --mash-out 09:00 --collected 08:00",
            ),
            (
                1,
                "pickup --source A --brewed today --wet 1kg --collected 11:00",
            ),
            (1, "pickup --source A --brewed tomorrow --wet 1kg"),
            (
                1,
                "pickup --source A --brewed 2026-11-18 --mash-out \"2026-11-20 08:00\" --wet 1kg",
            ),
            (
                1,
                "pickup --source A --brewed today --mash-out 08:00 --cooled 07:00 --wet 1kg",
            ),
            (
                2,
                "pickup --source A --brewed 2026-03-29 --mash-out 01:30 --wet 1kg",
            ),
            (
                2,
                "pickup --source A --brewed 2026-10-25 --mash-out 01:30 --wet 1kg",
            ),
            (
                2,
                "use ALD-261120-1T --wet 1kg --for bread --at \"2026-03-29 01:30\"",
            ),
            (
                2,
                "use ALD-261120-1T --wet 1kg --for bread --at \"2026-10-25 01:30\"",
            ),
            (2, "--now \"2026-10-25 01:30\" shelf"),
            (2, "--now soon shelf"),
            (2, "pickup --source A --brewed 20.11.2026 --wet 1kg"),
            (2, "pickup --source A --brewed 11/20/2026 --wet 1kg"),
            (2, "pickup --source A --brewed 2026-02-30 --wet 1kg"),
            (2, "pickup --source A --brewed 1066-10-14 --wet 1kg"),
            (2, "use ALD-261120-1T --wet 1kg --for bread --at 25:00"),
        ],
    );
}

/// A doubled hour is understood once its offset is written too.
#[test]
fn a_doubled_hour_can_be_told_apart() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-10-25T08:00:00Z");
    for (typed, utc) in [
        ("2026-10-25T01:30:00+01:00", 0),
        ("2026-10-25T01:30:00+00:00", 1),
    ] {
        let lot = kitchen.pickup(&format!(
            "--brewed 2026-10-24 --mash-out \"2026-10-24 23:00\" --collected {typed} --wet 1kg"
        ));
        let log = kitchen.json(&format!("log {lot}"));
        let at = log["entries"][0]["at"]
            .as_str()
            .unwrap()
            .parse::<chrono::DateTime<chrono::Utc>>();
        assert_eq!(
            at.unwrap().to_rfc3339(),
            format!("2026-10-25T0{utc}:30:00+00:00")
        );
    }
}

#[test]
fn words_that_would_break_a_line() {
    let kitchen = with_a_lot();
    let long = "x".repeat(501);
    for words in [
        vec![
            "use",
            "ALD-261120-1T",
            "--wet",
            "1kg",
            "--for",
            "two\nlines",
        ],
        vec![
            "use",
            "ALD-261120-1T",
            "--wet",
            "1kg",
            "--for",
            "\u{1b}[31mred",
        ],
        vec!["discard", "ALD-261120-1T", "--reason", &long],
        vec![
            "pickup",
            "--source",
            "a\u{202e}b",
            "--brewed",
            "today",
            "--wet",
            "1kg",
        ],
        vec![
            "pickup", "--source", "", "--brewed", "today", "--wet", "1kg",
        ],
        vec![
            "--by",
            "a\tb",
            "use",
            "ALD-261120-1T",
            "--wet",
            "1kg",
            "--for",
            "bread",
        ],
    ] {
        let before = kitchen.files();
        let ran = kitchen.run_words(&words);
        assert_eq!(ran.code, 2, "{words:?}\n{}", ran.err);
        assert!(ran.err.starts_with("error: "), "{}", ran.err);
        assert!(
            !ran.err.contains(['\u{1b}', '\u{202e}']),
            "the message would move a cursor"
        );
        assert!(before == kitchen.files());
    }
}

/// A slip in the very first command leaves nothing behind, not even an empty book.
/// The parser of the command line does not know how wide a screen is.
#[test]
fn a_command_line_that_is_not_understood_fits_the_screen() {
    let kitchen = Kitchen::new();
    let long = "something that somebody typed where it does not belong, word after word after word";
    for (words, said) in [
        ("shelff", "there is no command `shelff`"),
        ("shelf --fail-onn past", "unexpected argument '--fail-onn'"),
        ("pickup --nothing", "--wet <MASS> [--mash-out <WHEN>] …"),
        ("trace --nothing", "[--between <DAY> <DAY>] [--csv <FILE>]"),
        (&format!("'{long}'"), long),
        (&format!("shelf --fail-on '{long}'"), long),
        (
            &format!("use ALD-261120-1T --wet '{long}' --for bread"),
            long,
        ),
    ] {
        let written = kitchen.refused_as_written(2, words);
        assert!(
            written.lines().all(|line| line.chars().count() <= 80),
            "{words}: {written}"
        );
        let one_line = written.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(one_line.contains(said), "{words}: {written}");
    }
}

#[test]
fn a_mistyped_first_pickup_makes_no_book() {
    let kitchen = Kitchen::bare();
    kitchen.file("bad.csv", "source,brewed,wet\nAlder Lane,today,18.4\n");
    transcript(
        &kitchen,
        "first",
        &[
            (2, "pickup --source A --brewed today --wet 18,4kg"),
            (2, "pickup --source A --brewed today --wet 18.4"),
            (1, "pickup --source A --brewed tomorrow --wet 18.4kg"),
            (
                1,
                "pickup --source A --brewed today --wet 18.4kg --mash-out 11:00",
            ),
            (
                1,
                "pickup --source A --brewed today --wet 18.4kg --place attic",
            ),
            (2, "pickup --source A --brewed today"),
            (1, "shelf"),
            (1, "log"),
            (1, "check"),
            (1, "use ALD-261120-1T --wet 1kg --for bread"),
            (
                1,
                "hold-back ALD-261120-1T --wet 435g --flour 900g --hydration 70%",
            ),
            (1, "pickup --csv missing.csv"),
        ],
    );
}

/// Of two tubs or two times nobody knows which one counts, and `trace` searched all days.
#[test]
fn an_option_of_two_words_is_given_once() {
    let mut kitchen = Kitchen::new();
    kitchen.lot("5kg");
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let point = "--at \"2026-11-23 06:00\" mix";
    let days = "--between 2026-11-20 2026-11-20";
    kitchen.at("2026-11-20T12:00:00Z");
    let bake = format!("bake add \"small loaf\" {point} --pieces 4");
    kitchen.ok(&bake);
    kitchen.ok(&format!("trace {days}"));
    for words in [
        "cool --depth 8cm --from 62C --fridge 3C --tub round 30cm --tub tray --under rack"
            .to_owned(),
        format!("trace {days} {days}"),
        format!("{bake} {point}"),
    ] {
        let said = kitchen.refused(2, &words);
        has(&said, "cannot be used multiple times");
    }
}
