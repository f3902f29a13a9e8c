//! One brewery stays one source however its name is typed.

use crate::env::Kitchen;
use serde_json::json;

const ALIKE: [&str; 7] = [
    "Mühle am Bach",
    "Mu\u{308}hle am Bach",
    "mühle AM bach",
    "MÜHLE AM BACH",
    "Mühle  am\u{a0}Bach",
    "Ｍühle am Bach",
    " Mühle am Bach ",
];

#[test]
fn names_that_are_alike_are_one_source() {
    let kitchen = Kitchen::new();
    for name in ALIKE {
        let ran = kitchen.run_words([
            "pickup",
            "--source",
            name,
            "--brewed",
            "2026-11-20",
            "--wet",
            "1kg",
        ]);
        assert_eq!(ran.code, 0, "{name:?}: {}", ran.err);
    }
    let rows: String = ALIKE
        .iter()
        .map(|name| format!("{name},2026-11-20,1kg\n"))
        .collect();
    kitchen.file("p.csv", format!("source,brewed,wet\n{rows}"));
    kitchen.ok("pickup --csv p.csv");
    let sources: i64 = kitchen
        .sqlite()
        .query_row("SELECT count(*) FROM source", [], |row| row.get(0))
        .unwrap();
    assert_eq!(sources, 1);
    let lot = kitchen.json("shelf")["lots"][0]["lot"].clone();
    let wet = "1kg";
    kitchen.ok(&format!(
        "discard {} --wet {wet} --reason old",
        lot.as_str().unwrap()
    ));
    for name in ALIKE {
        let ran = kitchen.run_words(["--json", "usage", "--source", name]);
        assert_eq!(ran.code, 0, "{name:?}: {}", ran.err);
        assert!(ran.out.contains(lot.as_str().unwrap()), "{name:?}");
        assert_eq!(kitchen.run_words(["trace", "--source", name]).code, 0);
    }
}

#[test]
fn invisible_characters_are_refused() {
    let kitchen = Kitchen::new();
    for hidden in ["\u{200b}", "\u{200d}", "\u{2060}", "\u{ad}", "\u{feff}"] {
        let name = format!("Müh{hidden}le");
        let typed = [
            "pickup", "--source", &name, "--brewed", "today", "--wet", "1kg",
        ];
        let ran = kitchen.run_words(typed);
        assert_eq!(ran.code, 2, "{hidden:?}: {}", ran.out);
        assert!(ran.err.contains("invisible character"), "{}", ran.err);
    }
    assert_eq!(kitchen.json("shelf")["lots"], json!([]));
}

/// An older book may hold several that look alike: a question about one is about all of them.
#[test]
fn sources_of_an_older_book_that_look_alike_are_found_together() {
    let kitchen = Kitchen::new();
    kitchen.lot("10kg");
    kitchen.pickup("--brewed 2026-11-20 --wet 2kg");
    let other = kitchen.json("pickup --source Other --brewed 2026-11-20 --wet 3kg");
    kitchen
        .sqlite()
        .execute(
            "UPDATE source SET name = 'Alder\u{a0}Lane' WHERE name = 'Other'",
            [],
        )
        .unwrap();
    let traced = kitchen.json("trace --source \"alder lane\"");
    let lots: Vec<&str> = traced["lots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|lot| lot["lot"].as_str().unwrap())
        .collect();
    assert_eq!(lots.len(), 3, "{traced}");
    assert!(lots.contains(&other["lot"].as_str().unwrap()));
}
