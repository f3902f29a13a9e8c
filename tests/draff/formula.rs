//! `formula`: files that a baker writes, versions that stay, and masses that become percentages.

use crate::env::{Kitchen, LOAF, has};
use crate::errors::transcript;
use draffbook::dough::formula::{Formula, StageKind, StepKind};
use rusqlite::Connection;
use std::collections::BTreeMap;
use std::path::Path;

/// The shipped formulas by the name of their file.
fn shipped() -> BTreeMap<String, Formula> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/formulas");
    std::fs::read_dir(folder)
        .unwrap()
        .map(|file| {
            let path = file.unwrap().path();
            let text = std::fs::read_to_string(&path).unwrap();
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            let formula = Formula::from_text(&text).unwrap_or_else(|why| panic!("{name}: {why}"));
            (name, formula)
        })
        .collect()
}

#[test]
fn the_four_shipped_formulas_are_what_their_names_say() {
    let shipped = shipped();
    assert_eq!(
        shipped.keys().collect::<Vec<_>>(),
        ["flatbread", "hearth-loaf", "pan-loaf", "seeded-roll"]
    );
    let kinds = |name: &str| -> Vec<StageKind> {
        shipped[name]
            .stages
            .iter()
            .map(|stage| stage.kind)
            .collect()
    };
    assert_eq!(kinds("pan-loaf"), [StageKind::Preferment, StageKind::Final]);
    assert_eq!(kinds("seeded-roll"), [StageKind::Soaker, StageKind::Final]);
    let soaker = &shipped["seeded-roll"].ingredients[0];
    assert_eq!((soaker.kind.as_str(), soaker.stage), ("seeds", 0));
    for (name, formula) in &shipped {
        assert_eq!(formula.warnings(), [""; 0], "{name}");
        assert!(
            formula.pieces.is_some() && formula.piece.is_some(),
            "{name}"
        );
        assert!(
            formula.steps.iter().any(|step| step.kind == StepKind::Bake),
            "{name}"
        );
    }
}

/// From the least grain to the most, and from well pressed to very wet.
#[test]
fn every_shipped_formula_can_be_made_with_any_usual_grain() {
    let kitchen = Kitchen::bare();
    for (name, formula) in shipped() {
        let path = format!(
            "{}/demo-data/formulas/{name}.toml",
            env!("CARGO_MANIFEST_DIR")
        );
        for share in [formula.grain.lowest, formula.grain.highest] {
            for moisture in ["70%", "82%"] {
                let batch = kitchen.json(&format!(
                    "batch \"{path}\" --dough 10kg --moisture {moisture} --share {:.3}%",
                    share * 100.0
                ));
                let dough = batch["dough_g"].as_f64().unwrap();
                assert!((dough - 10_000.0).abs() < 1e-6, "{name}, {moisture}");
                for stage in batch["stages"].as_array().unwrap() {
                    for line in stage["lines"].as_array().unwrap() {
                        assert!(line["exact_g"].as_f64().unwrap() >= 0.0, "{name}: {line}");
                    }
                }
            }
        }
    }
}

/// The loaf with one line changed.
fn changed(from: &str, to: &str) -> String {
    assert!(LOAF.contains(from), "the loaf has no {from}");
    LOAF.replacen(from, to, 1)
}

#[test]
fn a_bad_formula_is_refused_and_nothing_is_written() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let step = |keys: &str| format!("{LOAF}\n[[step]]\n{keys}\n");
    let files: Vec<(&str, String)> = vec![
        ("over-100", changed("share = \"70%\"", "share = \"80%\"")),
        ("under-100", changed("share = \"70%\"", "share = \"60%\"")),
        ("negative-hydration", changed("\"68%\"", "\"-68%\"")),
        ("no-hydration", changed("hydration = \"68%\"\n", "")),
        ("bare-number", changed("\"68%\"", "68")),
        ("no-unit", changed("\"68%\"", "\"0.68\"")),
        (
            "unknown-ingredient",
            changed("kind = \"salt\"", "kind = \"brine\""),
        ),
        ("which-yeast", changed("yeast = \"instant\"\n", "")),
        (
            "unknown-yeast",
            changed("yeast = \"instant\"", "yeast = \"wild\""),
        ),
        (
            "yeast-of-salt",
            changed("kind = \"salt\"", "kind = \"salt\"\nyeast = \"fresh\""),
        ),
        (
            "ingredient-twice",
            format!("{LOAF}\n[[ingredient]]\nname = \"Salt\"\nkind = \"salt\"\nshare = \"1%\"\n"),
        ),
        (
            "stage-twice",
            format!("{LOAF}\n[[stage]]\nname = \"Sponge\"\nkind = \"soaker\"\nwater = \"5%\"\n"),
        ),
        (
            "final-dough",
            changed("name = \"sponge\"", "name = \"Final dough\""),
        ),
        (
            "unknown-stage-kind",
            changed("kind = \"preferment\"", "kind = \"autolyse\""),
        ),
        (
            "unknown-stage",
            changed("stage = \"sponge\"", "stage = \"poolish\""),
        ),
        ("no-flour-in-preferment", changed("flour = \"30%\"\n", "")),
        (
            "unknown-flour",
            changed("of = \"bread flour\"", "of = \"spelt\""),
        ),
        (
            "too-much-flour",
            changed("flour = \"30%\"", "flour = \"75%\""),
        ),
        (
            "too-much-water",
            changed("hydration = \"100%\"", "hydration = \"250%\""),
        ),
        (
            "fresh-yeast-too-wet",
            format!(
                "{LOAF}\n[[stage]]\nname = \"slurry\"\nkind = \"soaker\"\nwater = \"1%\"\n[[ingredient]]\nname = \"fresh yeast\"\nkind = \"yeast\"\nyeast = \"fresh\"\nshare = \"2%\"\nstage = \"slurry\"\n"
            ),
        ),
        (
            "flour-twice",
            changed("name = \"wholemeal\"", "name = \"Bread Flour\""),
        ),
        (
            "grain-order",
            changed("lowest = \"5%\"", "lowest = \"11%\""),
        ),
        (
            "grain-all",
            changed("wanted = \"10%\"", "wanted = \"100%\""),
        ),
        (
            "grain-form",
            changed("wanted = \"10%\"", "wanted = \"10%\"\nform = \"soggy\""),
        ),
        (
            "grain-colour",
            changed("wanted = \"10%\"", "wanted = \"10%\"\ncolour = \"green\""),
        ),
        (
            "grain-in-sponge",
            changed("of = \"bread flour\"", "of = \"wholemeal\"")
                .replace("flour = \"30%\"", "flour = \"8%\"")
                .replace("[grain]", "[grain]\nstage = \"sponge\""),
        ),
        (
            "grain-too-little",
            changed("[grain]", "[grain]\nstage = \"sponge\"")
                .replace("flour = \"30%\"", "flour = \"79%\"")
                .replace("hydration = \"100%\"", "hydration = \"60%\""),
        ),
        ("no-temperature-unit", changed("\"26C\"", "\"26\"")),
        ("no-pieces", changed("pieces = 4", "pieces = 0")),
        ("minus-pieces", changed("pieces = 4", "pieces = -4")),
        ("piece-of-nothing", changed("\"800g\"", "\"0g\"")),
        ("loss", changed("\"10%\"\n\n[grain]", "\"60%\"\n\n[grain]")),
        (
            "step-of-no-length",
            step("do = \"proof\"\ntakes = \"0min\""),
        ),
        (
            "step-of-negative-length",
            step("do = \"proof\"\ntakes = \"-10min\""),
        ),
        ("step-without-length", step("do = \"proof\"")),
        ("unknown-step", step("do = \"wait\"\ntakes = \"10min\"")),
        (
            "steam-too-long",
            step("do = \"bake\"\ntakes = \"10min\"\nsteam = \"11min\""),
        ),
        (
            "steam-in-the-mixer",
            step("do = \"mix\"\ntakes = \"10min\"\nsteam = \"5min\""),
        ),
        ("unknown-key", changed("pieces = 4", "peaces = 4")),
        (
            "unknown-key-of-a-step",
            step("do = \"proof\"\ntakes = \"1h\"\nafter = \"proof\""),
        ),
        (
            "not-toml",
            changed("name = \"wholemeal\"", "name = wholemeal"),
        ),
        ("key-twice", changed("pieces = 4", "pieces = 4\npieces = 5")),
        (
            "name-is-a-path",
            changed("name = \"small loaf\"", "name = \"loaves/small\""),
        ),
        ("no-name", changed("name = \"small loaf\"", "name = \" \"")),
        (
            "name-of-two-lines",
            changed("name = \"small loaf\"", "name = \"small\\nloaf\""),
        ),
        ("empty", String::new()),
    ];
    for (name, text) in &files {
        kitchen.file(&format!("{name}.toml"), text);
    }
    kitchen.file("latin-1.toml", b"name = \"pain \xe0 l'eau\"\n");
    std::fs::create_dir(kitchen.folder().join("folder.toml")).unwrap();
    let mut typed: Vec<String> = files
        .iter()
        .map(|(name, _)| format!("formula add {name}.toml"))
        .collect();
    for words in [
        "formula add latin-1.toml",
        "formula add folder.toml",
        "formula add missing.toml",
        "formula add loaf.toml",
        "formula show \"big loaf\"",
        "formula show \"small loaf\" --version 2",
        "formula export \"big loaf\"",
    ] {
        typed.push(words.to_owned());
    }
    let refused: Vec<(i32, &str)> = typed.iter().map(|words| (1, words.as_str())).collect();
    transcript(&kitchen, "formulas", &refused);
}

/// Accepted up to 10 % of flour replaced by dry grain (Prentice & D'Appolonia 1977; Waters et al. 2012).
#[test]
fn more_grain_than_tasters_accepted_is_warned_of_and_kept() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    assert!(!kitchen.ok("formula add loaf.toml").contains("Warning"));
    kitchen.file(
        "loaf.toml",
        changed("highest = \"10%\"", "highest = \"12%\""),
    );
    let shown = kitchen.ok("formula add loaf.toml");
    assert!(
        shown.contains("Warning") && shown.contains("Prentice"),
        "{shown}"
    );
    assert!(shown.contains("version 2"), "{shown}");
}

/// Shares typed with a decimal or two need not add up to the last one; no flour may be lost for it.
#[test]
fn shares_that_are_a_hair_off_close_exactly() {
    let typed = changed("share = \"70%\"", "share = \"69.97%\"");
    let formula = Formula::from_text(&typed).unwrap();
    let flours: f64 = formula.flours.iter().map(|flour| flour.share).sum();
    assert!(
        (flours + formula.grain.wanted - 1.0).abs() < 1e-12,
        "{flours}"
    );
    assert!(Formula::from_text(&changed("share = \"70%\"", "share = \"69.9%\"")).is_err());
}

/// The first act of a new user may be a typing error, which must not create a book.
#[test]
fn a_bad_formula_makes_no_book_and_a_good_one_does() {
    let kitchen = Kitchen::bare();
    kitchen.file("bad.toml", changed("\"68%\"", "68"));
    let said = kitchen.refused(1, "formula add bad.toml");
    assert!(said.contains("see line 3, column 13"), "{said}");
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    assert!(kitchen.ok("formula").contains("small loaf"));
}

#[test]
fn the_same_text_is_refused_and_a_changed_one_is_a_new_version() {
    let mut kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("--by Ines formula add loaf.toml");
    let said = kitchen.refused(1, "formula add loaf.toml");
    assert!(said.contains("as version 1, to the letter"), "{said}");

    let wetter = changed("\"68%\"", "\"71%\"").replace("small loaf", "Small Loaf");
    kitchen.file("loaf.toml", &wetter);
    kitchen.at("2026-11-21T09:00:00Z");
    assert!(kitchen.ok("formula add loaf.toml").contains("version 2"));

    let newest = kitchen.ok("formula show \"SMALL LOAF\"");
    assert!(
        newest.contains("version 2") && newest.contains("71 %"),
        "{newest}"
    );
    let old = kitchen.ok("formula show \"small loaf\" --version 1");
    assert!(old.contains("version 1") && old.contains("68 %"), "{old}");
    assert_eq!(
        kitchen.ok("formula export \"small loaf\" --version 1"),
        LOAF
    );
    assert_eq!(kitchen.ok("formula export \"small loaf\""), wetter);

    // Back to the first text: it is not the newest, so it is a third version.
    kitchen.file("loaf.toml", LOAF);
    assert!(kitchen.ok("formula add loaf.toml").contains("version 3"));
    let list = kitchen.json("formula list");
    assert_eq!(list["formulas"].as_array().unwrap().len(), 1);
    assert_eq!(list["formulas"][0]["version"], 3);
    let first = kitchen.json("formula show \"small loaf\" --version 1");
    assert_eq!(first["by"], "Ines");
    assert_eq!(first["toml"], LOAF);
    assert!(kitchen.ok("check").contains("whole"));
}

/// No other program may change a version either: what was baked keeps its formula.
#[test]
fn a_version_is_never_changed_or_deleted() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    for sql in [
        "UPDATE formula_version SET text = 'x'",
        "DELETE FROM formula_version",
    ] {
        let refused = kitchen.sqlite().execute(sql, []).unwrap_err().to_string();
        assert!(refused.contains("never"), "{sql}: {refused}");
    }
}

/// A book as the first schema made it: its migration alone, run by SQLite.
fn book_of_the_first_schema(path: &Path) {
    let sql = include_str!("../../migrations/0001_book.sql");
    let rules = include_str!("../../src/keeping/rule_sets/strict.toml");
    let book = Connection::open(path).unwrap();
    book.execute_batch(sql).unwrap();
    book.execute(
        "INSERT INTO migration (version, name, sql, applied_at) VALUES (1, '0001_book', ?1, 1767340800)",
        [sql],
    )
    .unwrap();
    book.execute(
        "INSERT INTO book (id, name, zone, rules, made_at) VALUES (1, 'old', 'Europe/Dublin', ?1, 1767340800)",
        [rules],
    )
    .unwrap();
    // The bytes `drff`, by which a file is known as a book.
    book.pragma_update(None, "application_id", 0x6472_6666)
        .unwrap();
    book.pragma_update(None, "user_version", 1).unwrap();
}

#[test]
fn a_book_from_before_formulas_is_copied_aside_and_upgraded() {
    let kitchen = Kitchen::bare();
    book_of_the_first_schema(&kitchen.book());
    let before = std::fs::read(kitchen.book()).unwrap();
    let tables = |path: &Path| -> Vec<String> {
        let book = Connection::open(path).unwrap();
        let mut found = book
            .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name LIKE 'formula%'")
            .unwrap();
        let names = found.query_map([], |row| row.get(0)).unwrap();
        names.map(Result::unwrap).collect()
    };
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    assert!(
        kitchen
            .ok("formula show \"small loaf\"")
            .contains("version 1")
    );
    assert!(kitchen.ok("check").contains("whole"));
    assert_eq!(tables(&kitchen.book()).len(), 2);

    let copy = kitchen.folder().join("book.draff.version-1");
    assert_eq!(tables(&copy), [""; 0]);
    let version: i32 = Connection::open(&copy)
        .unwrap()
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .unwrap();
    assert_eq!(version, 1);
    assert!(std::fs::read(kitchen.book()).unwrap() != before);
}

/// What is printed can be saved, added and worked out: the same flour gives the same masses.
#[test]
fn masses_on_paper_become_a_formula_that_gives_them_back() {
    let kitchen = Kitchen::new();
    let paper = "formula from-masses --name \"ferry loaf\" --grain 400g --moisture 78% \
                 --flour \"bread flour=520g\" --flour \"rye flour=130g\" --water 90g --salt 19g --yeast fresh=9g \
                 --ingredient \"fat:rapeseed oil=23g\" --ingredient seeds:linseed=30g \
                 --preferment \"sponge: bread flour=250g, water=240g, fresh yeast=1.5g, ripens=14h\" --pieces 2 \
                 --bake-loss 11% --step mix=12min --step \"bake=38min 215C\"";
    let before = kitchen.files();
    let text = kitchen.ok(paper);
    assert!(before == kitchen.files(), "it prints and writes nothing");
    kitchen.file("ferry.toml", &text);
    kitchen.ok("formula add ferry.toml");
    let batch = kitchen.json("batch \"ferry loaf\" --flour 900g --moisture 78% --moisture-sd 0%");
    let found = |stage: usize, name: &str| {
        let lines = batch["stages"][stage]["lines"].as_array().unwrap().iter();
        let mut named = lines.filter(|line| line["name"] == name);
        let line = named.next().unwrap_or_else(|| panic!("no {name}: {batch}"));
        line["exact_g"].as_f64().unwrap()
    };
    for (stage, name, grams) in [
        (0, "bread flour", 250.0),
        (0, "water", 240.0),
        (0, "fresh yeast", 1.5),
        (1, "wet grain", 400.0),
        (1, "bread flour", 520.0),
        (1, "rye flour", 130.0),
        (1, "salt", 19.0),
        (1, "fresh yeast", 9.0),
        (1, "rapeseed oil", 23.0),
        (1, "linseed", 30.0),
        (1, "water, pour first", 90.0),
    ] {
        let found = found(stage, name);
        assert!(
            (found / grams - 1.0).abs() < 0.001,
            "{name}: {found}, not {grams}"
        );
    }
    // The oven has its time and its loss; what was not told stands in the file to be filled in.
    let paper = Formula::from_text(&text).unwrap();
    assert_eq!(paper.steps.len(), 2);
    assert!(text.contains("# dough_temperature = "), "{text}");
    assert!(text.contains("# mixing_rise = \"5K\""), "{text}");
    assert!(
        text.contains("bake_loss = \"11%\"") && text.contains("ripens = \"14h\""),
        "{text}"
    );
    // 900 + 400 + 330 + 19 + 10.5 + 23 + 30 g in two pieces.
    let formula = Formula::from_text(&text).unwrap();
    let piece = formula.piece.unwrap().grams();
    assert!((piece / 856.25 - 1.0).abs() < 0.001, "{piece}");
}

#[test]
fn mixing_heat_on_paper_is_in_the_formula() {
    let kitchen = Kitchen::new();
    let paper = "formula from-masses --name \"ferry loaf\" --grain 400g --moisture 78% \
                 --flour \"bread flour=900g\" --water 300g --mixing-rise 5K";
    let text = kitchen.ok(paper);
    assert_eq!(Formula::from_text(&text).unwrap().mixing_rise, Some(5.0));
}

#[test]
fn the_comment_of_a_formula_from_masses_is_in_the_units_asked_for() {
    let kitchen = Kitchen::new();
    let paper =
        "formula from-masses --name f --grain 16oz --moisture 75% --flour \"rye=28oz\" --water 8oz";
    let text = kitchen.ok(&format!("--us {paper}"));
    // 16 oz at 75 % is 4 oz of dry grain.
    has(
        &text,
        "total flour, 2 lb 0 oz, of which 4 oz is dry grain: 1 lb 0 oz of",
    );
    has(&text, "which brings 12 oz of water");
    assert!(!text.contains(" g of"), "{text}");
    has(&kitchen.ok(paper), "total flour, 907.2 g, of which 113.4 g");
}

#[test]
fn masses_that_make_no_formula_are_refused() {
    let kitchen = Kitchen::new();
    let paper = "formula from-masses --name f --grain 400g --water 300g";
    let flour = "--flour \"bread flour=900g\"";
    let typed: Vec<(i32, String)> = vec![
        (2, format!("{paper} {flour}")),
        (2, format!("{paper} --moisture 77%")),
        (2, format!("{paper} {flour} --moisture 0.77")),
        (2, format!("{paper} {flour} --moisture 100%")),
        (2, format!("{paper} --moisture 77% --flour \"bread flour\"")),
        (2, format!("{paper} --moisture 77% --flour \"bread flour=900\"")),
        (2, format!("{paper} {flour} {flour} --moisture 77%")),
        (2, format!("{paper} {flour} --moisture 77% --yeast wild=2g")),
        (2, format!("{paper} {flour} --moisture 77% --ingredient oil=2g")),
        (2, format!("{paper} {flour} --moisture 77% --ingredient grease:oil=2g")),
        (2, format!("{paper} {flour} --moisture 77% --ingredient salt:grey=2g")),
        (2, format!("{paper} {flour} --moisture 77% --preferment \"bread flour=30g\"")),
        (2, format!("{paper} {flour} --moisture 77% --preferment \"sponge: bread flour=30g\"")),
        (2, format!("{paper} {flour} --moisture 77% --preferment \"sponge: water=30g\"")),
        (2, format!("{paper} {flour} --moisture 77% --preferment \"sponge: rye=30g, spelt=30g, water=60g\"")),
        (2, format!("{paper} {flour} --moisture 77% --preferment \"sponge: rye=30g, water=30g\"")),
        (1, format!("{paper} {flour} --moisture 77% --preferment \"sponge: rye=30g, water=30g, ripens=soon\"")),
        (1, format!("{paper} {flour} --moisture 77% --step whirl=5min")),
        (2, format!("{paper} {flour} --moisture 77% --step bake")),
        (1, format!("{paper} {flour} --moisture 77% --preferment \"final dough: rye=30g, water=30g, ripens=1h\"")),
        (1, format!("{paper} {flour} --moisture 77% --pieces 0")),
        (1, "formula from-masses --name a/b --grain 400g --water 300g --moisture 77% --flour rye=900g".into()),
    ];
    let refused: Vec<(i32, &str)> = typed
        .iter()
        .map(|(code, words)| (*code, words.as_str()))
        .collect();
    transcript(&kitchen, "from-masses", &refused);
}

/// A bake keeps the version that it was planned with, and whoever adds another one is told so.
#[test]
fn a_new_version_names_the_bakes_that_keep_the_old_one() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("bake add 'small loaf' --at '2026-11-22 08:00' mix --pieces 4");
    kitchen.file(
        "wetter.toml",
        LOAF.replacen("hydration = \"68%\"", "hydration = \"69%\"", 1),
    );
    let told = kitchen
        .run("formula add wetter.toml")
        .err
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(told.contains("B-1S keeps version 1"), "{told}");
    assert!(
        told.contains("draff bake change B-1S --version 2"),
        "{told}"
    );
}

/// A preferment without a time would be made with the dough: it is asked for.
#[test]
fn a_preferment_says_how_long_it_ripens() {
    let kitchen = Kitchen::new();
    let untimed: Vec<&str> = LOAF
        .lines()
        .filter(|line| !line.starts_with("ripens"))
        .collect();
    kitchen.file("loaf.toml", untimed.join("\n"));
    let refused = kitchen.refused(1, "formula add loaf.toml");
    assert!(
        refused.contains("does not say how long it ripens"),
        "{refused}"
    );
    assert!(refused.contains("ripens = \"12h\""), "{refused}");
}
