//! `cautions`: every caution in full, with no book; and each stands at the moment at which it helps.

use crate::env::{Kitchen, LOAF, has, one_line};
use draffbook::report::Caution;
use serde_json::{Value, json};

#[test]
fn every_caution_is_printed_whole_without_a_book() {
    let kitchen = Kitchen::bare();
    let printed = kitchen.ok("cautions");
    let words: Vec<&str> = printed.split_whitespace().collect();
    let flowing = words.join(" ");
    let mut rest = flowing.as_str();
    for caution in Caution::ALL {
        let text = caution.text();
        for said in [
            caution.as_key(),
            &text,
            caution.more(),
            caution.shown(),
            caution.source(),
        ] {
            let at = rest.find(said);
            let at = at.unwrap_or_else(|| panic!("{said:?} is not there, or not in its turn"));
            rest = &rest[at + said.len()..];
        }
    }
    assert_eq!(rest, "");
    assert!(printed.lines().all(|line| line.chars().count() <= 80));
    let said = printed.lines().filter(|line| line.starts_with("! "));
    assert!(said.map(|line| line.chars().count()).max() <= Some(Caution::WIDTH));
    assert_eq!(kitchen.ok("--quiet cautions"), printed);
    assert!(kitchen.files().is_empty());
}

#[test]
fn as_json_they_stand_under_the_key_that_answers_have() {
    let kitchen = Kitchen::bare();
    let all: Vec<_> = Caution::ALL
        .iter()
        .map(|caution| json!({"code": caution.as_key(), "text": caution.text()}))
        .collect();
    let printed = kitchen.json("cautions");
    assert_eq!(printed["cautions"], json!(all));
    let explained: Vec<_> = Caution::ALL
        .iter()
        .map(|caution| {
            json!({"code": caution.as_key(), "more": caution.more(), "shown": caution.shown(), "source": caution.source()})
        })
        .collect();
    assert_eq!(printed["explained"], json!(explained));
    // What stands beside an answer is one of them.
    let beside = &Kitchen::new().json("shelf")["cautions"][0];
    assert!(all.contains(beside), "{beside}");
}

/// The codes of an answer's cautions.
fn codes(answer: &Value) -> Vec<&str> {
    let cautions = answer["cautions"].as_array().expect("cautions");
    let codes = cautions.iter().map(|caution| caution["code"].as_str());
    codes.map(|code| code.expect("a code")).collect()
}

#[track_caller]
fn told(kitchen: &Kitchen, words: &str) -> Vec<String> {
    let answer = kitchen.json(words);
    codes(&answer).into_iter().map(str::to_owned).collect()
}

#[track_caller]
fn holds(kitchen: &Kitchen, words: &str, expected: &[&str], none_of: &[&str]) {
    let told = told(kitchen, words);
    let holds = |code: &&str| told.iter().any(|told| told == *code);
    assert!(expected.iter().all(&holds), "{words}: {told:?}");
    assert!(!none_of.iter().any(holds), "{words}: {told:?}");
}

/// A mash at half past seven, now ten: by temperature, by the time since the mash, and where nobody knows either.
#[test]
fn hot_grain_is_told_wherever_it_may_be_hot() {
    let mut kitchen = Kitchen::new();
    let hot = ["hot-grain"];
    let brew = "pickup --source \"Alder Lane\" --brewed 2026-11-20";
    holds(
        &kitchen,
        &format!("{brew} --wet 2kg --mash-out 07:30"),
        &hot,
        &["gas"],
    );
    holds(&kitchen, &format!("{brew} --wet 3kg"), &hot, &["gas"]);
    holds(
        &kitchen,
        &format!("{brew} --wet 4kg --mash-out 09:30 --temp 65C"),
        &hot,
        &[],
    );
    holds(
        &kitchen,
        &format!("{brew} --wet 5kg --mash-out 07:30 --cooled 09:00"),
        &[],
        &hot,
    );
    kitchen.file(
        "brews.csv",
        "source,brewed,mash_out,wet\nAlder Lane,2026-11-20,2026-11-20 07:30,6kg\n",
    );
    holds(
        &kitchen,
        "pickup --csv brews.csv",
        &["hot-grain", "cleaning-agents", "gluten"],
        &[],
    );
    // Seen on the shelf too, as long as it is there.
    holds(&kitchen, "shelf", &hot, &[]);
    let cold = kitchen.lot("7kg");
    holds(&kitchen, &format!("probe {cold} 4C"), &[], &hot);
    kitchen.at("2026-11-24T10:00:00Z");
    holds(&kitchen, "shelf", &["gas"], &hot);
    holds(&kitchen, &format!("probe {cold} 44C"), &hot, &[]);
}

#[test]
fn nothing_is_said_of_samples_of_a_lot_of_which_nothing_is_left() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("1kg");
    kitchen.ok(&format!("use {lot} --wet 1kg --for rolls"));
    assert_eq!(told(&kitchen, &format!("moisture {lot}")), [""; 0]);
}

#[test]
fn each_way_to_dry_a_sample_has_words_of_its_own_before_it_goes_in() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("10kg");
    let all = [
        "drying-in-microwave",
        "drying-in-oven",
        "drying-in-air-fryer",
    ];
    let before = told(&kitchen, &format!("moisture {lot}"));
    assert_eq!(before, [&["drying-a-sample"][..], &all].concat());
    for (pan, (method, own)) in ["oven", "microwave", "air-fryer"]
        .iter()
        .zip([all[1], all[0], all[2]])
        .enumerate()
    {
        kitchen.at(&format!("2026-11-20T1{pan}:00:00Z"));
        let opened = format!("moisture {lot} --weighing 1{pan}g,112g --method {method}");
        let others: Vec<&str> = all.into_iter().filter(|code| *code != own).collect();
        holds(&kitchen, &opened, &[own, "drying-a-sample"], &others);
        kitchen.at(&format!("2026-11-20T1{pan}:30:00Z"));
        let weighed = format!("moisture {lot} --weighing 1{pan}g,112g,3{pan}.0g,3{pan}.0g");
        holds(&kitchen, &weighed, &[own, "drying-a-sample"], &others);
    }
    assert_eq!(told(&kitchen, &format!("moisture {lot}")), [""; 0]);
    assert_eq!(
        told(&kitchen, &format!("moisture {lot} --lab 77%")),
        [""; 0]
    );
}

#[test]
fn what_is_done_with_grain_has_the_caution_of_it() {
    let mut kitchen = Kitchen::new();
    let lot = kitchen.lot("16kg");
    holds(&kitchen, "place add cellar --kind ambient", &["gas"], &[]);
    holds(&kitchen, "place add chest --kind freezer", &[], &["gas"]);
    holds(
        &kitchen,
        &format!("portion {lot} --into 2x500g"),
        &["airtight-packs"],
        &["heavy-tubs"],
    );
    holds(
        &kitchen,
        &format!("move {lot} --to cellar --wet 2kg"),
        &[],
        &["heavy-tubs", "airtight-packs"],
    );
    holds(
        &kitchen,
        &format!("give {lot} --wet 1kg --to \"Tern Kitchen\""),
        &["food-for-others", "gluten", "airtight-packs"],
        &[],
    );
    holds(
        &kitchen,
        &format!("discard {lot} --wet 1kg --reason spare --as feed"),
        &["feed-is-regulated", "hops-poison-dogs"],
        &[],
    );
    holds(
        &kitchen,
        &format!("discard {lot} --wet 1kg --reason spare"),
        &["hops-poison-dogs"],
        &["feed-is-regulated"],
    );
    kitchen.at("2026-11-20T11:10:00Z");
    let dry = "--wet-in 1kg --wet-out 250g --minutes 60 --temp 70C";
    holds(
        &kitchen,
        &format!("treat {lot} --step dry {dry}"),
        &["dryer", "dust"],
        &[],
    );
    holds(
        &kitchen,
        &format!("treat {lot} --plan dry --to 8%"),
        &["dryer", "dust"],
        &[],
    );
    let heavy = kitchen.pickup("--brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 16kg");
    holds(
        &kitchen,
        &format!("move {heavy} --to cellar"),
        &["heavy-tubs"],
        &[],
    );
    holds(
        &kitchen,
        &format!("trace {lot}"),
        &["recall"],
        &["cross-contact"],
    );
    holds(
        &kitchen,
        "trace --source \"Alder Lane\"",
        &["recall"],
        &["cross-contact"],
    );
    holds(
        &kitchen,
        "trace --grist wheat",
        &["recall", "cross-contact"],
        &[],
    );
    let other = kitchen.lot("15kg");
    holds(
        &kitchen,
        &format!("hold-back {other} --wet 500g --flour 1kg --hydration 70%"),
        &["date-is-a-rule", "raw-dough"],
        &[],
    );
}

#[test]
fn allergens_come_from_the_formula_and_the_grist() {
    let kitchen = Kitchen::new();
    let with_sesame = LOAF.replacen("[[ingredient]]", "[[ingredient]]\nname = \"toasted sesame\"\nkind = \"seeds\"\nshare = \"3%\"\n\n[[ingredient]]", 1);
    kitchen.file("loaf.toml", with_sesame);
    let text = |words: &str| {
        let answer = kitchen.json(words);
        let cautions = answer["cautions"].as_array().unwrap();
        let found = cautions
            .iter()
            .find(|caution| caution["code"] == "allergens");
        found.map_or(String::new(), |caution| {
            caution["text"].as_str().unwrap().to_owned()
        })
    };
    let sesame = "Allergens: sesame. Check every label for more.";
    assert_eq!(text("formula add loaf.toml"), sesame);
    assert_eq!(text("formula show \"small loaf\""), sesame);
    assert_eq!(
        text("bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6"),
        sesame
    );
    assert_eq!(text("sheet B-1S"), sesame);
    let pickup = "pickup --source \"Alder Lane\" --brewed 2026-11-20 --mash-out 07:30 --cooled 09:00 --wet 9kg";
    assert_eq!(text(pickup), "");
    assert_eq!(
        text(&format!("{pickup} --grist \"barley malt 95%, lactose 5%\"")),
        "Allergens: milk. Check every label for more."
    );
    let lot = kitchen.json("shelf")["lots"][1]["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(
        text(&format!("batch \"small loaf\" --lot {lot} --pieces 6")),
        "Allergens: milk, sesame. Check every label for more."
    );
}

#[test]
fn a_bake_free_of_a_cereal_tells_of_cross_contact() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.lot("9kg");
    let add = "bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6";
    holds(&kitchen, add, &["gluten"], &["cross-contact", "allergens"]);
    holds(
        &kitchen,
        &format!("{add} --free-of wheat"),
        &["cross-contact"],
        &[],
    );
    holds(&kitchen, "sheet B-2Q", &["cross-contact"], &[]);
    holds(&kitchen, "sheet B-1S", &[], &["cross-contact"]);
    holds(&kitchen, "plan", &["cross-contact"], &[]);
}

/// The event at which the grain goes in says all of them; raw dough is in hands at each at which dough is put together.
#[test]
fn calendar_files_carry_them() {
    let kitchen = Kitchen::new();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    kitchen.ok("bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6");
    let file = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    let events: Vec<&str> = file.split("BEGIN:VEVENT").skip(1).collect();
    let saying = |caution: Caution| -> Vec<&str> {
        let said = caution.text().replace(',', "\\,");
        let mut events = events.clone();
        events.retain(|event| event.contains(&said));
        events
    };
    let with_grain = saying(Caution::Gluten);
    assert_eq!(with_grain.len(), 1, "{file}");
    assert!(with_grain[0].contains("mix"), "{}", with_grain[0]);
    let with_dough = saying(Caution::RawDough);
    assert_eq!(with_dough.len(), 2, "{file}");
    assert!(with_dough[0].contains("sponge"), "{}", with_dough[0]);
    assert_eq!(with_dough[1], with_grain[0]);
    holds(
        &kitchen,
        "bake calendar --ics bakes.ics",
        &["date-is-a-rule", "gluten", "raw-dough"],
        &[],
    );
}

#[test]
fn the_scald_caution_says_how_fast_hot_grain_burns() {
    let said = one_line(&Kitchen::on_monday().ok("cautions"));
    has(
        &said,
        "about 30 s at 54 °C, 3 to 5 s at 60 °C and about 1 s at 69 °C",
    );
}

/// No tub cools in 20 minutes (judgement), and grain an hour after its mash scalds.
#[test]
fn a_word_that_does_not_count_hides_no_caution() {
    let mut kitchen = Kitchen::new();
    kitchen.at("2026-11-20T08:30:00Z");
    for (source, times) in [
        ("Alder Lane", "--mash-out 07:30 --cooled 07:50"),
        ("Birch Yard", "--mash-out 05:00 --cooled 05:20"),
    ] {
        let lot = kitchen.json(&format!(
            "pickup --source \"{source}\" --brewed today {times} --wet 5kg"
        ));
        assert!(codes(&lot).contains(&"hot-grain"), "{lot}");
        let ticket = kitchen.ok(&format!("ticket {}", lot["lot"].as_str().unwrap()));
        has(&ticket, "Hot grain scalds");
    }
    has(&kitchen.ok("shelf"), "Hot grain scalds");
    let counts = kitchen.json(
        "pickup --source \"Tarn Fell\" --brewed today --mash-out 05:00 --cooled 08:00 --wet 5kg",
    );
    assert!(!codes(&counts).contains(&"hot-grain"), "{counts}");
}

/// The caution of an act goes by what is in somebody's hands, not by what is left.
#[test]
fn an_act_on_a_whole_lot_has_the_cautions_of_its_grain() {
    let mut kitchen = Kitchen::on_monday();
    let tubs: Vec<String> = [
        "Fell End",
        "Corrow Weir",
        "Birch Yard",
        "Tarn Fell",
        "Alder Lane",
    ]
    .iter()
    .map(|source| {
        let hot = "--brewed today --mash-out 09:30 --temp 66C --wet 20kg";
        kitchen.pickup_from(source, hot)
    })
    .collect();
    let both = ["hot-grain", "heavy-tubs"];
    for act in [
        format!("discard {} --reason spilt --as feed", tubs[0]),
        format!("give {} --to \"Tern Kitchen\"", tubs[1]),
        format!("use {} --wet 20kg --for \"pan loaf\"", tubs[2]),
        format!("treat {} --plan dry --to 8%", tubs[3]),
    ] {
        holds(&kitchen, &act, &both, &["gas"]);
    }
    kitchen.at("2026-11-09T11:10:00Z");
    let dried = format!(
        "treat {} --step dry --wet-out 5kg --minutes 60 --temp 70C",
        tubs[3]
    );
    holds(&kitchen, &dried, &["hot-grain", "heavy-tubs", "dryer"], &[]);
    kitchen.at("2026-11-12T12:00:00Z");
    let old = format!("discard {} --reason old", tubs[4]);
    let of_old = ["gas", "heavy-tubs", "baking-rescues-nothing"];
    holds(&kitchen, &old, &of_old, &["hot-grain"]);
}

#[test]
fn what_is_weighed_of_hot_grain_says_that_it_scalds() {
    let kitchen = Kitchen::on_monday();
    kitchen.file("loaf.toml", LOAF);
    kitchen.ok("formula add loaf.toml");
    let lot = kitchen.pickup("--brewed today --mash-out 09:30 --temp 66C --wet 20kg");
    let hot = ["hot-grain"];
    for question in [
        format!("hold-back {lot} --wet 500g --flour 1kg --hydration 70%"),
        format!("batch \"small loaf\" --lot {lot} --pieces 6"),
        format!("moisture {lot}"),
        format!("moisture {lot} --weighing 10g,112g --method oven"),
    ] {
        holds(&kitchen, &question, &hot, &["heavy-tubs"]);
    }
    holds(
        &kitchen,
        &format!("move {lot} --to freezer --wet 2kg"),
        &["hot-grain", "airtight-packs"],
        &[],
    );
}

/// 40 kg of grain, of which the accepted plan freezes 1 kg today and dries the rest.
fn with_plan_of_40_kg() -> Kitchen {
    let kitchen = Kitchen::on_monday();
    let flatbread = include_str!("../../demo-data/formulas/flatbread.toml");
    kitchen.file("flatbread.toml", flatbread);
    kitchen.ok("formula add flatbread.toml");
    kitchen.tub("Fell End", "--wet 40kg");
    kitchen.ok("settings dryer 60kg");
    kitchen.ok("place change freezer --capacity 1kg");
    kitchen.ok("bake add \"Hollow flatbread\" --at \"2026-11-20 16:00\" ready --pieces 800");
    kitchen.ok("plan --accept");
    kitchen
}

#[test]
fn today_has_the_cautions_of_the_jobs_that_it_gives() {
    let mut kitchen = with_plan_of_40_kg();
    let of_jobs = ["dryer", "dust", "airtight-packs", "heavy-tubs"];
    holds(&kitchen, "plan", &of_jobs, &["raw-dough"]);
    holds(&kitchen, "today", &of_jobs, &["raw-dough"]);
    has(&kitchen.ok("today"), &Caution::Dryer.text());
    kitchen.at("2026-11-20T10:00:00Z");
    holds(&kitchen, "today", &["raw-dough", "gluten"], &[]);
}

#[test]
fn a_tub_to_thaw_says_to_open_the_packs_and_that_it_is_heavy() {
    let kitchen = with_plan_of_40_kg();
    let file = kitchen.ok("bake calendar --ics -").replace("\r\n ", "");
    let event = |job: &str| {
        let mut events = file.split("BEGIN:VEVENT");
        let found = events.find(|event| event.contains(&format!("SUMMARY:{job}")));
        found.unwrap_or_else(|| panic!("no {job} in {file}"))
    };
    has(event("take 1 kg"), &Caution::AirtightPacks.text());
    let heavy = Caution::HeavyTubs.text().replace(',', "\\,");
    has(event("start drying 39 kg"), &heavy);
    assert!(!event("freeze 1 kg").contains(&heavy), "{file}");
}

#[test]
fn grain_to_throw_away_has_the_cautions_of_throwing_it_away() {
    let mut kitchen = Kitchen::on_monday();
    kitchen.tub("Fell End", "--wet 20kg");
    kitchen.at("2026-11-20T10:00:00Z");
    let all = ["gas", "heavy-tubs", "hops-poison-dogs"];
    holds(&kitchen, "today", &all, &["hot-grain"]);
}

#[test]
fn a_file_that_is_written_has_its_cautions_below_the_words_too() {
    let (mut kitchen, lot) = Kitchen::with_loaf("9kg");
    kitchen.ok("bake add \"small loaf\" --at \"sat 10:00\" mix --pieces 6");
    let wrote = kitchen.ok("bake calendar --ics bakes.ics");
    for caution in [Caution::DateIsARule, Caution::Gluten, Caution::RawDough] {
        has(&wrote, &format!("! {}", caution.text()));
    }
    let gluten = format!("! {}", Caution::Gluten.text());
    has(
        &kitchen.ok(&format!("ticket {lot} --html label.html")),
        &gluten,
    );
    kitchen.at("2026-11-30T10:00:00Z");
    let of_past = kitchen.ok(&format!("--quiet ticket {lot} --html label.html"));
    let page = kitchen.ok(&format!("ticket {lot} --html -"));
    for caution in [Caution::BakingRescuesNothing, Caution::Gas] {
        has(&of_past, &format!("! {}", caution.text()));
        has(&page, &format!("<li>{}</li>", caution.text()));
    }
}
