//! `trace`: back and forward, recalls, the balance, and the files it writes.

use crate::env::{Kitchen, LOAF};
use serde_json::{Value, json};

/// Two lots of two sources; one pressed and portioned, the other joined to the rest; bread, feed and a count.
struct Bakery {
    kitchen: Kitchen,
    wheat: String,
    other: String,
    pressed: String,
    joined: String,
}

fn bakery() -> Bakery {
    let mut kitchen = Kitchen::new();
    let lot = |answer: Value| answer["lot"].as_str().unwrap().to_owned();
    let pickup = |kitchen: &Kitchen, rest: &str| {
        lot(kitchen.json(&format!(
            "--by Ines pickup --brewed 2026-11-20 --mash-out 06:30 --cooled 08:00 --collected 09:00 {rest}"
        )))
    };
    let wheat = pickup(
        &kitchen,
        "--source 'Alder Lane' --wet 20kg --grist 'barley malt 80%, wheat malt 20%'",
    );
    let other = pickup(
        &kitchen,
        "--source 'Mill Brook' --wet 5kg --grist 'rye malt 100%'",
    );
    kitchen.at("2026-11-20T15:00:00Z");
    kitchen.ok(&format!("moisture {wheat} --lab 77% --at 09:30"));
    let pressed = lot(kitchen.json(&format!(
        "--by Mo treat {wheat} --step press --wet-in 10kg --wet-out 6.4kg --at 11:00"
    )));
    kitchen.ok(&format!(
        "use {wheat} --wet 3kg --for 'pan loaf' --at 12:00"
    ));
    kitchen.ok(&format!(
        "discard {wheat} --wet 2kg --as feed --reason '=too much' --at 12:30"
    ));
    kitchen.ok(&format!(
        "portion {pressed} --into 2x500g --to freezer --at 13:00"
    ));
    let joined = lot(kitchen.json(&format!("join {wheat} {other} --at 13:30")));
    kitchen.ok(&format!(
        "use {joined} --wet 3kg --for 'rye tin' --at 14:00"
    ));
    kitchen.ok(&format!("count {joined} --wet 6.9kg --at 14:30"));
    Bakery {
        kitchen,
        wheat,
        other,
        pressed,
        joined,
    }
}

fn column<'a>(rows: &'a Value, key: &str) -> Vec<&'a str> {
    rows.as_array()
        .unwrap()
        .iter()
        .map(|row| row[key].as_str().unwrap())
        .collect()
}

#[test]
fn a_lot_is_traced_forward_to_all_that_was_made_of_it() {
    let bakery = bakery();
    let trace = bakery.kitchen.json(&format!("trace {}", bakery.wheat));
    let lots = column(&trace["lots"], "lot");
    assert_eq!(lots.len(), 5);
    assert!(lots.contains(&bakery.pressed.as_str()) && lots.contains(&bakery.joined.as_str()));
    assert_eq!(
        column(&trace["lots"], "how"),
        ["pickup", "press", "part", "part", "join"]
    );
    assert_eq!(column(&trace["bakes"], "bake"), ["pan loaf", "rye tin"]);
    assert_eq!(
        column(&trace["ends"], "kind"),
        ["treatment-loss", "feed", "count-correction"]
    );
    let balance = &trace["balance"];
    for (key, grams) in [
        ("came_g", 20_000.0),
        ("joined_g", 5_000.0),
        ("used_g", 6_000.0),
        ("feed_g", 2_000.0),
        ("treatments_g", 3_600.0),
        ("missing_g", 100.0),
        ("on_hand_g", 13_300.0),
        ("difference_g", 0.0),
    ] {
        assert_eq!(balance[key], json!(grams), "{key}");
    }
    assert_eq!(balance["accounted"], json!(0.996));
}

#[test]
fn a_lot_is_traced_back_to_its_brews() {
    let bakery = bakery();
    let trace = bakery.kitchen.json(&format!("trace {}", bakery.joined));
    assert_eq!(
        column(&trace["back"], "source"),
        ["Alder Lane", "Mill Brook"]
    );
    assert_eq!(trace["back"][1]["lot"], json!(bakery.other));
    assert_eq!(trace["back"][0]["grist"], "barley malt 80%, wheat malt 20%");
    assert_eq!(
        trace["lots"][0]["grist"],
        "barley malt 40%, wheat malt 10%, rye malt 50%"
    );
    let words = bakery.kitchen.ok(&format!("trace {}", bakery.joined));
    for said in [
        "joined from",
        "pressed to 6.4 kg",
        "by Ines",
        "by Mo",
        "lab: 77.0 ±",
        "cold from then on",
        "Balance closes to the milligram; 99 % accounted for.",
    ] {
        assert!(words.contains(said), "{said}: {words}");
    }
    assert!(
        words.lines().all(|line| line.chars().count() <= 80),
        "{words}"
    );
}

#[test]
fn a_bake_is_traced_back() {
    let bakery = bakery();
    let trace = bakery.kitchen.json("trace 'rye tin'");
    assert_eq!(column(&trace["lots"], "lot"), [bakery.joined.as_str()]);
    assert_eq!(
        column(&trace["back"], "source"),
        ["Alder Lane", "Mill Brook"]
    );
    assert_eq!(trace["bakes"][0]["wet_g"], json!(3000.0));
    assert_eq!(trace["balance"], json!(null));
    let refused = bakery.kitchen.refused(1, "trace 'rye tins'");
    assert!(
        refused.contains("no grain was used for `rye tins`"),
        "{refused}"
    );
}

#[test]
fn a_recall_finds_all_that_holds_the_grain() {
    let bakery = bakery();
    let kitchen = &bakery.kitchen;
    for (words, lots, bakes) in [
        ("--grist wheat", 5, 2),
        ("--grist rye", 2, 1),
        ("--source 'mill brook'", 2, 1),
        ("--between 2026-11-20 2026-11-20", 6, 2),
        ("--between 2026-11-18 2026-11-19", 0, 0),
        ("--source 'Alder Lane' --grist rye", 0, 0),
        ("--source 'Alder Lane' --between 2026-11-20 today", 5, 2),
    ] {
        let trace = kitchen.json(&format!("trace {words}"));
        assert_eq!(column(&trace["lots"], "lot").len(), lots, "{words}");
        assert_eq!(column(&trace["bakes"], "bake").len(), bakes, "{words}");
        assert_eq!(trace["balance"]["difference_g"], json!(0.0), "{words}");
    }
    // Whose grist nobody knows may hold it.
    let unknown = kitchen.pickup("--brewed 2026-11-20 --wet 1kg");
    let trace = kitchen.json("trace --grist wheat");
    assert_eq!(trace["grist_unknown"], json!([unknown]));
    assert_eq!(column(&trace["lots"], "lot").len(), 6);
    // A struck lot never came.
    let entry = kitchen.last_entry("pickup");
    kitchen.ok(&format!("strike {entry} --reason wrong"));
    assert_eq!(
        kitchen.json("trace --grist wheat")["grist_unknown"],
        json!([])
    );
}

/// Spelt is wheat (Regulation (EU) No 1169/2011, Annex II, 1); what a grist leaves open is not left out.
#[test]
fn a_recall_for_an_allergen_finds_every_name_of_it_and_what_may_hold_it() {
    let kitchen = Kitchen::new();
    let lot = |grist: &str| {
        let grist = if grist.is_empty() {
            String::new()
        } else {
            format!("--grist '{grist}'")
        };
        kitchen.pickup(&format!(
            "--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 4kg {grist}"
        ))
    };
    let spelt = lot("barley malt 90%, spelt malt 10%");
    let barley = lot("barley malt 100%");
    let unknown = lot("");
    let pale = lot("pale malt 100%");
    let partly = lot("barley malt 80%");
    for from in [&spelt, &barley, &unknown] {
        kitchen.ok(&format!("use {from} --wet 1kg --for 'loaf of {from}'"));
    }
    // What is joined of both holds it.
    let joined = kitchen.json(&format!("join {spelt} {pale}"));
    let joined = joined["lot"].as_str().unwrap();

    let trace = kitchen.json("trace --grist wheat");
    let lots = [&spelt, &unknown, &pale, &partly].map(String::as_str);
    assert_eq!(
        column(&trace["lots"], "lot"),
        [&lots[..], &[joined]].concat()
    );
    assert_eq!(trace["may_hold"], json!([unknown, pale, partly]));
    assert_eq!(trace["grist_unknown"], json!([unknown]));
    assert_eq!(trace["balance"]["difference_g"], json!(0.0));

    let words = kitchen.ok("trace --grist wheat");
    let place = |part: &str| {
        words
            .find(part)
            .unwrap_or_else(|| panic!("{part}: {words}"))
    };
    let parts = [
        "Trace       everything with wheat or spelt or einkorn or emmer or durum or\n",
        "\nLots\n",
        &format!("\n{spelt}  "),
        &format!("\n{joined}  "),
        "\nLots that may hold it: their grist does not say\n",
        &format!("\n{unknown}  "),
        "\nBakes that hold it\n",
        &format!("loaf of {spelt}"),
        "\nBakes that may hold it\n",
        &format!("loaf of {unknown}"),
        "\nOn hand\n",
        &format!("\n{unknown}  3 kg in fridge, may hold it\n"),
    ];
    assert!(parts.map(place).is_sorted(), "{words}");
    assert!(!words.contains(&barley), "{words}");
    assert!(
        words.lines().all(|line| line.chars().count() <= 80),
        "{words}"
    );

    let csv = kitchen.ok("trace --grist wheat --csv -");
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    for row in reader.records().map(Result::unwrap) {
        let only_may = lots[1..].contains(&&row[2]);
        assert_eq!(&row[14], if only_may { "yes" } else { "" }, "{csv}");
    }
    // A malt is no cereal: what is told in full is told.
    let trace = kitchen.json("trace --grist pale");
    assert_eq!(trace["may_hold"], json!([unknown, partly]));
    let none =
        kitchen.ok("trace --grist rye --source 'Alder Lane' --between 2026-11-19 2026-11-19");
    assert!(none.contains("Lots        none"), "{none}");
}

#[test]
fn what_cannot_be_traced_is_refused() {
    let bakery = bakery();
    for (code, words, said) in [
        (2, "", "missing from this command: LOT|BAKE"),
        (1, "--source Nobody", "is not known"),
        (2, "--between 2026-11-21 2026-11-20", "lies after"),
        (2, "--between 2026-11-21", "2 values"),
        (2, "--between 21.11.2026 today", "--between"),
        (1, "ALD-261120-1X", "wrong last character"),
        (1, "B-1S", "no bake"),
        (2, "--grist wheat --svg flow.svg", "cannot be used with"),
        (2, "'rye tin' --svg flow.svg", "of one lot"),
    ] {
        let found = bakery.kitchen.refused(code, &format!("trace {words}"));
        assert!(found.contains(said), "{words}: {found}");
    }
    let lot = &bakery.wheat;
    for option in ["--csv", "--svg"] {
        let found = bakery
            .kitchen
            .refused(1, &format!("trace {lot} {option} book.draff"));
        assert!(found.contains("belongs to the book"), "{found}");
    }
}

/// Reconciling what was received with what was made, wasted and kept (an industry's traceability guide): 20 kg
/// are 14 used, 1 thrown away and 5 on hand; where only 17 are found, 85 % is accounted for and a warning due.
#[test]
fn received_is_used_wasted_and_kept() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("20kg");
    kitchen.ok(&format!("use {lot} --wet 14kg --for bread"));
    kitchen.ok(&format!(
        "discard {lot} --wet 1kg --as waste --reason crumbs"
    ));
    let whole = kitchen.ok(&format!("trace {lot}"));
    assert!(whole.contains("100 % accounted for"), "{whole}");
    assert!(!whole.contains("Warning"), "{whole}");
    kitchen.ok(&format!("count {lot} --wet 2kg"));
    let missing = kitchen.ok(&format!("trace {lot}"));
    assert!(missing.contains("85 % accounted for"), "{missing}");
    assert!(
        missing.contains("Warning: less than 98 % is accounted for"),
        "{missing}"
    );
    let balance = kitchen.json(&format!("trace {lot}"))["balance"].clone();
    assert_eq!(
        (&balance["accounted"], &balance["enough"]),
        (&json!(0.85), &json!(false))
    );
}

#[test]
fn the_csv_is_safe_to_open() {
    let bakery = bakery();
    let kitchen = &bakery.kitchen;
    kitchen.ok(&format!("trace {} --csv recall.csv", bakery.wheat));
    let text = std::fs::read_to_string(kitchen.folder().join("recall.csv")).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let kinds: Vec<&str> = rows.iter().map(|row| &row[0]).collect();
    for kind in [
        "pickup",
        "press",
        "part",
        "join",
        "bake",
        "feed",
        "count-correction",
        "on-hand",
    ] {
        assert!(kinds.contains(&kind), "{kind}: {text}");
    }
    assert!(text.contains("'=too much"), "{text}");
    let grams = |wanted: &[&str]| -> f64 {
        rows.iter()
            .filter(|row| wanted.contains(&&row[0]))
            .map(|row| row[11].parse::<f64>().unwrap())
            .sum()
    };
    let gone = grams(&[
        "bake",
        "feed",
        "treatment-loss",
        "count-correction",
        "on-hand",
    ]);
    assert!((gone - 25_000.0).abs() < 1e-9, "{gone}");
}

/// Any text in the book is text in the picture, and nothing else.
#[test]
fn the_picture_is_well_formed_whatever_was_typed() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let nasty = "</text><script>alert(1)</script> & \"more\" 'yet'";
    let ran = kitchen.run_words(["use", &lot, "--wet", "1kg", "--for", nasty]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    kitchen.ok(&format!("trace {lot} --svg flow.svg"));
    let svg = std::fs::read_to_string(kitchen.folder().join("flow.svg")).unwrap();
    assert!(!svg.contains("<script"), "{svg}");
    assert!(svg.contains("&lt;/text&gt;&lt;script&gt;"), "{svg}");
    // Every element is closed in order.
    let mut open: Vec<String> = Vec::new();
    for tag in svg.split('<').skip(1) {
        let name = tag.split([' ', '>', '/', '\n']).next().unwrap().to_owned();
        let inside = tag.split('>').next().unwrap();
        if let Some(closed) = tag.strip_prefix('/') {
            let closed = closed.split('>').next().unwrap();
            assert_eq!(open.pop().as_deref(), Some(closed), "{svg}");
        } else if !inside.ends_with('/') {
            open.push(name);
        }
    }
    assert_eq!(open, Vec::<String>::new());
    let files: Vec<_> = kitchen.files().into_keys().collect();
    assert!(
        files
            .iter()
            .all(|file| !file.to_string_lossy().contains(".part")),
        "{files:?}"
    );
}

/// A bake of the book: back to its lots and brews, with its pieces, and found by a recall.
#[test]
fn a_bake_of_the_book_is_traced_with_its_pieces() {
    let bakery = bakery();
    let kitchen = &bakery.kitchen;
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok(&format!(
        "bake add 'small loaf' --at 'today 14:30' mix --pieces 4 --share 6% --lot {}",
        bakery.pressed
    ));
    assert!(kitchen.refused(1, "trace B-1S").contains("is not done"));
    kitchen.ok("bake done B-1S --water 290g --pieces 3");
    let trace = kitchen.json("trace B-1S");
    assert_eq!(column(&trace["lots"], "lot"), [bakery.pressed.as_str()]);
    assert_eq!(column(&trace["back"], "lot"), [bakery.wheat.as_str()]);
    let recalled = kitchen.json("trace --grist wheat");
    let bakes = recalled["bakes"].as_array().unwrap();
    let baked = bakes.iter().find(|bake| bake["bake"] == "B-1S").unwrap();
    assert_eq!(
        (&baked["pieces"], &baked["formula"]),
        (&json!(3), &json!("small loaf"))
    );
    assert_eq!(recalled["balance"]["difference_g"], json!(0.0));
}

/// A bake of grain that went mouldy: what is left of the same tub is shown, and that it must not be used.
#[test]
fn what_is_left_of_the_same_grain_stands_beside_a_bake() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    kitchen.ok(&format!("portion {lot} --into 1x2kg"));
    kitchen.ok("use ALD-261120-2R 2kg --for \"Friday rye\"");
    kitchen.ok("probe ALD-261120-2R --spoiled mould --at \"2026-11-20 10:00\"");
    let traced = kitchen.ok("trace \"Friday rye\"");
    let on_hand = format!("On hand of the same grain\n{lot}  8 kg in fridge");
    assert!(traced.contains(&on_hand), "{traced}");
    kitchen.ok(&format!("probe {lot} --spoiled mould"));
    let traced = kitchen.ok("trace \"Friday rye\"");
    assert!(
        traced.contains("8 kg in fridge; NOT TO BE USED"),
        "{traced}"
    );
}

#[test]
fn who_got_grain_is_found_by_name_and_a_mistyped_grist_is_refused() {
    let kitchen = Kitchen::new();
    let lot = kitchen.pickup(
        "--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 6kg --grist \"rye malt 100%\"",
    );
    kitchen.ok(&format!("give {lot} --wet 1kg --to \"Hill Kitchen\""));
    let traced = kitchen.ok("trace \"Hill Kitchen\"");
    assert!(traced.contains(&lot) && traced.contains("1 kg"), "{traced}");
    let told = kitchen.refused(1, "trace --grist rey");
    assert!(told.contains("`rey` is no known cereal"), "{told}");
    assert!(told.contains("grists in the book name rye malt"), "{told}");
    assert_eq!(kitchen.run("trace --grist rye").told(), "");
}
