//! The same of bakes: the sheet as text and as a page, the calendar, and what a trace writes.

use super::{TYPED, moves_a_cursor, runs_nothing};
use crate::env::Kitchen;

/// A formula with one text wherever it takes one.
fn formula(text: &str) -> String {
    // A TOML literal cannot hold a single quote; a basic string holds any.
    let quoted = serde_json::to_string(text).unwrap();
    let name = serde_json::to_string(&named(text)).unwrap();
    format!(
        "name = {name}
hydration = \"70%\"
pieces = 4
piece = \"800g\"
[grain]
lowest = \"4%\"
wanted = \"8%\"
highest = \"10%\"
[[flour]]
name = {quoted}
share = \"92%\"
[[stage]]
name = {quoted}
kind = \"preferment\"
flour = \"15%\"
of = {quoted}
hydration = \"100%\"
ripens = \"2h\"
[[ingredient]]
name = {quoted}
kind = \"salt\"
share = \"2%\"
[[step]]
do = \"mix\"
takes = \"10min\"
words = {quoted}
[[step]]
do = \"bake\"
takes = \"40min\"
words = {quoted}
"
    )
}

/// The name of the formula: what looks like a path is none.
fn named(text: &str) -> String {
    text.replace(['/', '\\'], "|")
}

/// A kitchen in which every name and note about a bake is this text; gives the lot too.
fn kitchen(text: &str) -> (Kitchen, String) {
    let kitchen = Kitchen::new();
    let typed = |words: &[&str]| {
        let ran = kitchen.run_words(words);
        assert_eq!(ran.code, 0, "{words:?}: {}", ran.err);
        ran.out
    };
    kitchen.file("f.toml", formula(text));
    typed(&["formula", "add", "f.toml"]);
    typed(&[
        "place", "add", "--temp", "3C", "--kind", "fridge", "--", text,
    ]);
    let (source, place) = (format!("--source={text}"), format!("--place={text}"));
    // A comma parts two malts, a per cent sign ends a share.
    let grist = format!("--grist={}", text.replace([',', '%'], " "));
    let (by, note) = (format!("--by={text}"), format!("--note={text}"));
    let booked = typed(&[
        &by,
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
        &place,
        &note,
    ]);
    let booked: serde_json::Value = serde_json::from_str(&booked).unwrap();
    typed(&[
        &by,
        "bake",
        "add",
        "--at",
        "sat 16:00",
        "ready",
        &note,
        "--",
        &named(text),
    ]);
    (kitchen, booked["lot"].as_str().unwrap().to_owned())
}

/// The markup of a page without its text: every tag with all that is in it.
fn tags(page: &str) -> Vec<&str> {
    let after = page.split('<').skip(1);
    after.map(|tag| tag.split('>').next().unwrap()).collect()
}

/// The text of a page, as a browser shows it.
fn shown(page: &str) -> String {
    let texts = page
        .split('<')
        .skip(1)
        .map(|tag| tag.split_once('>').unwrap().1);
    let text: Vec<&str> = texts.collect();
    let text = text.join(" ").replace("&lt;", "<").replace("&gt;", ">");
    text.replace("&quot;", "\"").replace("&amp;", "&")
}

/// The content lines of a calendar file, put together again: RFC 5545, 3.1.
fn content_lines(file: &str) -> Vec<String> {
    assert!(file.ends_with("\r\n"), "{file:?}");
    let unfolded = file.replace("\r\n ", "");
    assert!(
        !unfolded.replace("\r\n", "").contains(['\r', '\n']),
        "{file:?}"
    );
    unfolded.lines().map(str::to_owned).collect()
}

/// A property's name without its parameters and its value.
fn property(line: &str) -> &str {
    line.split([':', ';']).next().unwrap()
}

/// A text value read again: RFC 5545, 3.3.11.
fn unescaped(value: &str) -> String {
    let mut text = String::new();
    let mut rest = value.chars();
    while let Some(c) = rest.next() {
        match c {
            '\\' => match rest.next() {
                Some('n' | 'N') => text.push('\n'),
                Some(c @ ('\\' | ';' | ',')) => text.push(c),
                other => panic!("an escape that RFC 5545 does not know: {other:?} in {value}"),
            },
            ';' | ',' => panic!("a bare {c} in {value}"),
            _ => text.push(c),
        }
    }
    text
}

/// Every answer about the bake, by its words.
fn answers(kitchen: &Kitchen, lot: &str) -> Vec<(String, String)> {
    let words = [
        "sheet B-1S".to_owned(),
        "sheet B-1S --html -".to_owned(),
        "bake".to_owned(),
        "bake show B-1S".to_owned(),
        "--json bake show B-1S".to_owned(),
        "bake calendar --ics -".to_owned(),
        "settings".to_owned(),
        "--json settings".to_owned(),
        format!("trace {lot}"),
        format!("--json trace {lot}"),
        format!("trace {lot} --csv -"),
    ];
    let said = |words: String| {
        let ran = kitchen.run(&words);
        assert_eq!(ran.code, 0, "{words}: {}", ran.err);
        for said in [&ran.out, &ran.err] {
            assert_eq!(
                said.chars().find(|c| moves_a_cursor(*c) && *c != '\r'),
                None,
                "{words}: {said:?}"
            );
        }
        (words, ran.out)
    };
    words.into_iter().map(said).collect()
}

fn answer<'a>(answers: &'a [(String, String)], words: &str) -> &'a str {
    &answers.iter().find(|(asked, _)| asked == words).unwrap().1
}

#[test]
fn names_and_notes_are_text_on_the_sheet_and_in_the_calendar() {
    let plain = |answers: &[(String, String)]| {
        let page = answer(answers, "sheet B-1S --html -").to_owned();
        let file = answer(answers, "bake calendar --ics -").to_owned();
        (page, file)
    };
    let (kitchen_of_plain, lot) = kitchen("loaf");
    let (page, file) = plain(&answers(&kitchen_of_plain, &lot));
    let lines: Vec<String> = content_lines(&file)
        .iter()
        .map(|line| property(line).to_owned())
        .collect();
    for text in TYPED {
        let (kitchen, lot) = kitchen(text);
        let found = answers(&kitchen, &lot);
        let (hostile_page, hostile_file) = plain(&found);
        // The same markup and the same properties in the same order: no text became either.
        assert_eq!(tags(&hostile_page), tags(&page), "{text}");
        let hostile_lines = content_lines(&hostile_file);
        let names: Vec<&str> = hostile_lines.iter().map(|line| property(line)).collect();
        assert_eq!(names, lines, "{text}");
        // And it is there, as it was typed.
        assert!(
            shown(&hostile_page).contains(text),
            "{text}: {hostile_page}"
        );
        for (name, text) in [
            ("SUMMARY:", &named(text)),
            ("DESCRIPTION:", &text.to_owned()),
        ] {
            let mut values = hostile_lines
                .iter()
                .filter_map(|line| line.strip_prefix(name))
                .map(unescaped);
            assert!(
                values.any(|value| value.contains(text)),
                "{text}: {hostile_file}"
            );
        }
        let one_line = |said: &str| said.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in ["sheet B-1S", "bake show B-1S"] {
            let said = answer(&found, words);
            assert!(one_line(said).contains(&one_line(text)), "{text}: {said}");
            assert!(
                said.lines().all(|line| line.chars().count() <= 80),
                "{said}"
            );
        }
        runs_nothing(answer(&found, &format!("trace {lot} --csv -")));
        assert!(
            !kitchen.folder().join("etc").exists(),
            "no text was taken for a path"
        );
    }
}

/// A book that somebody else wrote: control characters, line ends and turned text in what a bake is told of.
#[test]
fn a_book_with_control_characters_makes_harmless_files() {
    const NASTY: &str = "\u{1b}[2J\u{9b}31m\u{8}\r\nEND:VEVENT\rX-EVIL:1\nY:2\u{202e}<b>";
    let (kitchen, lot) = kitchen("loaf");
    let clean = answers(&kitchen, &lot);
    let clean = answer(&clean, "bake calendar --ics -");
    kitchen.past_the_triggers(|book| {
        for change in [
            "UPDATE source SET name = ?1",
            "UPDATE place SET name = ?1 WHERE name = 'loaf'",
            "UPDATE lot SET grist = ?1",
            "UPDATE book SET name = ?1",
            "UPDATE entry SET words = ?1, recorded_by = ?1",
        ] {
            assert!(book.execute(change, [NASTY]).unwrap() > 0, "{change}");
        }
    });
    let found = answers(&kitchen, &lot);
    for (option, words) in [
        ("--ics", "bake calendar"),
        ("--html", "sheet B-1S"),
        ("--csv", &format!("trace {lot}")),
    ] {
        kitchen.ok(&format!("{words} {option} out.txt"));
        let file = std::fs::read_to_string(kitchen.folder().join("out.txt")).unwrap();
        assert_eq!(
            file,
            answer(&found, &format!("{words} {option} -")),
            "{words}"
        );
    }
    let file = answer(&found, "bake calendar --ics -");
    let names = |file: &str| -> Vec<String> {
        content_lines(file)
            .iter()
            .map(|line| property(line).to_owned())
            .collect()
    };
    assert_eq!(names(file), names(clean));
    assert!(file.split("\r\n").all(|line| line.len() <= 75), "{file}");
    let page = answer(&found, "sheet B-1S --html -");
    assert!(!page.contains("<b>"), "{page}");
    runs_nothing(answer(&found, &format!("trace {lot} --csv -")));
}

/// Control characters are refused where they are typed, and shown as what they are.
#[test]
fn control_characters_are_refused_in_bakes() {
    let (kitchen, lot) = kitchen("loaf");
    let nasty = "\u{1b}[2J\r\u{202e}";
    for (code, words) in [
        (
            2,
            [
                "bake",
                "add",
                "loaf",
                "--at",
                "sat 16:00",
                "ready",
                "--note",
                nasty,
            ]
            .to_vec(),
        ),
        (
            1,
            ["bake", "add", nasty, "--at", "sat 16:00", "ready"].to_vec(),
        ),
        (2, ["bake", "add", "loaf", "--at", nasty, "ready"].to_vec()),
        (
            2,
            ["bake", "add", "loaf", "--at", "sat 16:00", nasty].to_vec(),
        ),
        (
            2,
            [
                "bake",
                "add",
                "loaf",
                "--at",
                "sat 16:00",
                "ready",
                "--free-of",
                nasty,
            ]
            .to_vec(),
        ),
        (2, ["bake", "change", "B-1S", "--note", nasty].to_vec()),
        (2, ["bake", "drop", "B-1S", "--reason", nasty].to_vec()),
        (2, ["bake", "done", "B-1S", "--note", nasty].to_vec()),
        (1, ["bake", "show", nasty].to_vec()),
        (1, ["sheet", nasty].to_vec()),
        (
            1,
            ["sheet", "B-1S", "--html", "no such folder\u{1b}/a.html"].to_vec(),
        ),
        (1, ["bake", "calendar", nasty, "--ics", "-"].to_vec()),
        (2, ["settings", "night", nasty].to_vec()),
        (2, ["settings", nasty, "21C"].to_vec()),
        (2, ["trace", "--grist", nasty].to_vec()),
        (
            1,
            ["trace", &lot, "--svg", "no such folder\u{1b}/a.svg"].to_vec(),
        ),
    ] {
        let entries = kitchen.entries();
        let ran = kitchen.run_words(&words);
        assert_eq!(ran.code, code, "{words:?}: {}", ran.err);
        assert_eq!(
            (ran.out.as_str(), kitchen.entries()),
            ("", entries),
            "{words:?}"
        );
        assert_eq!(
            ran.err.chars().find(|c| moves_a_cursor(*c)),
            None,
            "{words:?}: {:?}",
            ran.err
        );
    }
}
