//! The main job from pairing to the CSV of usage, as a browser without script does it.

use crate::house::{House, words};
use axum::http::{StatusCode, header};

#[test]
fn from_pairing_to_the_csv_of_usage() {
    let house = House::new();
    let phone = house.paired("Ada");
    let today = words(&phone.page("/"));
    assert!(
        today.contains("Nothing is due and no grain is on hand."),
        "{today}"
    );
    assert!(today.contains("At the bench: Ada"), "{today}");

    // A tub in: mash-out 07:30, fetched at ten, 18,4 kg on a scale with a comma.
    let booked = phone.book(
        "/grain-in/from",
        &[
            ("source", "Alder Lane"),
            ("mash_out_time", "09:30"),
            ("wet", "18,4"),
            ("understood", "wet:18,4:kg"),
            ("temp", "58"),
            ("grist", "pale barley malt 100%"),
        ],
    );
    let told = words(&booked);
    assert!(told.contains("Booked."), "{told}");
    assert!(told.contains("18.4 kg"), "{told}");
    let lot = house.json("shelf")["lots"][0]["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    assert!(told.contains(&lot), "{told}");
    assert!(
        told.contains("Hot grain"),
        "the caution of hot grain: {told}"
    );

    // It is due on Today, and the line opens its form.
    let today = phone.page("/");
    let form = format!("/lot/{lot}/temperature");
    assert!(
        today.contains(&format!("href=\"{form}\"")),
        "{}",
        words(&today)
    );
    house.at("2026-11-20T11:20:00Z");
    phone.book(&form, &[("temp", "20.5")]);
    house.at("2026-11-20T14:00:00Z");
    phone.book(&form, &[("temp", "4")]);
    assert_eq!(house.json("shelf")["lots"][0]["verdict"], "good");

    // The next tub of that brewery: its grist is asked for.
    house.at("2026-11-20T15:00:00Z");
    let known = phone.page("/grain-in/from?source=Alder+Lane");
    assert!(
        words(&known).contains("As last time: pale barley malt 100%"),
        "{}",
        words(&known)
    );
    let silent = phone.fill(
        "/grain-in/from?source=Alder+Lane",
        &[("mash_out_time", "14:30"), ("wet", "5")],
    );
    assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(words(&silent.body).contains("Say whether it is the grist of last time"));
    assert!(
        silent.body.contains("value=\"5\""),
        "what was typed is still there"
    );

    // A sample, weighed wet now and dry two hours later.
    let sample = format!("/lot/{lot}/sample");
    phone.book(
        &sample,
        &[
            ("pan_0", "12.0"),
            ("wet_0", "112.0"),
            ("pan_1", "12.0"),
            ("wet_1", "110.0"),
        ],
    );
    assert!(phone.page("/").contains(&format!("href=\"{sample}\"")));
    house.at("2026-11-20T17:00:00Z");
    phone.book(&sample, &[("dry_0", "35.4"), ("dry_1", "34.8")]);
    house.at("2026-11-20T17:20:00Z");
    phone.book(&sample, &[("dry_0", "35.4"), ("dry_1", "34.8")]);
    let moisture = house.json(&format!("moisture {lot}"));
    assert_eq!(moisture["samples"].as_array().unwrap().len(), 2);
    assert_eq!(moisture["unfinished_samples"], 0);

    // Used, and in the CSV.
    phone.book(
        &format!("/lot/{lot}/use"),
        &[("wet", "702"), ("wet_unit", "g"), ("bake", "pan loaf")],
    );
    let csv = phone.get("/book/usage.csv");
    assert_eq!(csv.headers[header::CONTENT_TYPE], "text/csv; charset=utf-8");
    let by_command = house.draff("usage --csv -");
    assert_eq!(csv.body, by_command);
    assert!(csv.body.contains(",Ada,"), "{}", csv.body);
}

#[test]
fn a_bake_is_planned_looked_at_and_written_down() {
    let house = House::new();
    let phone = house.paired("Ada");
    house.draff("pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg --grist \"pale barley malt 100%\"");
    let loaf = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", loaf.display()));
    phone.book(
        "/bakes/add",
        &[
            ("at_day", "2026-11-21"),
            ("at_time", "08:00"),
            ("point", "mix"),
            ("pieces", "4"),
            ("piece", "800"),
        ],
    );
    let lot = house.json("shelf")["lots"][0]["lot"]
        .as_str()
        .unwrap()
        .to_owned();
    let sheet = words(&phone.page("/bake/B-1S/sheet"));
    assert!(sheet.contains(&lot), "{sheet}");
    assert!(
        !sheet.contains("draff "),
        "no commands on the page: {sheet}"
    );
    house.at("2026-11-21T10:00:00Z");
    assert!(phone.page("/").contains("href=\"/bake/B-1S/done\""));
    // All went as the sheet says: opened, and booked.
    phone.book("/bake/B-1S/done", &[]);
    let used = house.json("usage");
    assert_eq!(used["usage"][0]["bake"], "B-1S");
    assert!(words(&phone.page("/bake/B-1S")).contains("Mixed"));
}

#[test]
fn a_bake_is_changed_and_files_are_read_in_and_taken_along() {
    let house = House::new();
    let phone = house.paired("Ada");
    let loaf = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", loaf.display()));
    house.draff("bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4 --piece 800g");
    phone.book(
        "/bake/B-1S/change",
        &[("pieces", "6"), ("share", "5"), ("firm", "optional")],
    );
    let bake = house.json("bake show B-1S");
    assert_eq!(
        (bake["pieces"].as_i64(), bake["firm"].as_bool()),
        (Some(6), Some(false)),
        "{bake}"
    );
    let wrong = phone.fill("/bake/B-1S/change", &[("share", "95")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    // A file of pickups: all rows, or none.
    let sent = |text: &str| {
        let fields = phone.form("/grain-in/file", &[]);
        phone.upload("/grain-in/file", &fields, ("pickups.csv", text))
    };
    let bad = sent("source,brewed,wet\nAlder Lane,2026-11-19,5kg\nBrook,2026-11-19,heavy\n");
    assert_eq!(bad.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(words(&bad.body).contains("heavy"), "{}", words(&bad.body));
    assert_eq!(house.json("shelf")["lots"].as_array().unwrap().len(), 0);
    let good = sent("source,brewed,wet\nAlder Lane,2026-11-19,5kg\nBrook,2026-11-19,3kg\n");
    assert_eq!(good.status, StatusCode::SEE_OTHER, "{}", words(&good.body));
    assert_eq!(house.json("shelf")["lots"].as_array().unwrap().len(), 2);
    // A logger's file, its chart, the check, and a copy that is whole.
    let fields = phone.form("/place/fridge/readings", &[]);
    let air = "time,temp C\n2026-11-20 08:00,4\n2026-11-20 09:00,5\n2026-11-20 09:30,4\n";
    let read = phone.upload("/place/fridge/readings", &fields, ("air.csv", air));
    assert_eq!(read.status, StatusCode::SEE_OTHER, "{}", words(&read.body));
    assert!(
        phone
            .page("/place/fridge")
            .contains("/place/fridge/air.svg")
    );
    assert!(phone.page("/place/fridge/air.svg").starts_with("<svg"));
    assert!(
        words(&phone.page("/book/check")).contains("whole"),
        "{}",
        words(&phone.page("/book/check"))
    );
    let copy = phone.send_get("/book/copy.draff");
    let file = house.book().with_file_name("taken.draff");
    std::fs::write(&file, copy).unwrap();
    house.draff(&format!("--book {} check", file.display()));
}

#[test]
fn a_formula_is_made_of_masses_as_on_the_command_line() {
    let (page, line) = (House::new(), House::new());
    let typed = [
        ("name", "tin"),
        ("grain", "435"),
        ("moisture", "77"),
        ("flour_0", "bread flour"),
        ("mass_0", "600"),
        ("water", "65"),
        ("salt", "20"),
        ("yeast_mass", "5"),
        ("steps", "mix=10min\r\nbake=40min 220C"),
    ];
    let phone = page.paired("Ada");
    let wrong = phone.fill("/book/formulas/masses", &typed[..2]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let added = phone.fill("/book/formulas/masses", &typed);
    assert_eq!(
        added.status,
        StatusCode::SEE_OTHER,
        "{}",
        words(&added.body)
    );
    let text = line.draff("formula from-masses --name tin --grain 435g --moisture 77% --flour \"bread flour=600g\" --water 65g --salt 20g --yeast instant=5g --step mix=10min --step \"bake=40min 220C\"");
    let file = line.file("tin.toml", &text);
    line.draff(&format!("formula add {}", file.display()));
    assert_eq!(
        page.draff("formula show tin"),
        line.draff("formula show tin")
    );
}

/// What bakes say is shown, and only the file that a person sends becomes a version.
#[test]
fn what_bakes_propose_is_read_and_accepted() {
    let house = House::new();
    let file = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", file.display()));
    let lot = house.lot("10kg");
    let phone = house.paired("Ada");
    let address = "/book/formulas/bakes/small%20loaf";
    let few = words(&phone.get(address).body);
    assert!(few.contains("Nothing is proposed"), "{few}");
    assert!(few.contains("Mixer: not named."), "{few}");
    for baked in [2740, 2750, 2760, 2745, 2755] {
        let bake = house.json("bake add \"small loaf\" --at \"2026-11-20 13:00\" mix");
        let bake = bake["bake"].as_str().unwrap();
        house.draff(&format!(
            "bake done {bake} --used {lot}=100g --pieces 4 --baked {baked}g"
        ));
    }
    let asked = phone.get(address);
    let said = words(&asked.body);
    assert!(said.contains("bake loss 10.0 % 14.1 %"), "{said}");
    let proposed = house.draff("formula propose \"small loaf\" --toml");
    let text = html_escape(&proposed);
    assert!(asked.body.contains(&text), "{}", asked.body);
    let added = phone.fill(address, &[("text", &proposed)]);
    assert_eq!(added.status, StatusCode::SEE_OTHER, "{}", added.body);
    assert_eq!(house.draff("formula export \"small loaf\""), proposed);
}

/// Text as it stands in markup.
fn html_escape(text: &str) -> String {
    let escaped = text.replace('&', "&amp;").replace('<', "&lt;");
    escaped.replace('>', "&gt;").replace('"', "&quot;")
}

#[test]
fn a_refusal_is_the_desks_with_links_instead_of_commands() {
    let house = House::new();
    let phone = house.paired("Ada");
    let lot = house.lot("10kg");
    house.at("2026-11-28T10:00:00Z");
    let refused = phone.fill(
        &format!("/lot/{lot}/use"),
        &[("wet", "1"), ("bake", "bread")],
    );
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    let told = words(&refused.body);
    assert!(
        told.contains("is past, so it may not be used as food"),
        "{told}"
    );
    assert!(told.contains("Nothing was booked."), "{told}");
    assert!(
        refused
            .body
            .contains(&format!("href=\"/lot/{lot}/throw-away\""))
    );
    assert!(
        refused.body.contains("value=\"bread\""),
        "what was typed stays"
    );
    assert!(!told.contains("draff "), "{told}");
    // A code with a wrong check character offers the nearest.
    let wrong = format!("{}0", &lot[..lot.len() - 1]);
    let missing = phone.get(&format!("/lot/{wrong}"));
    assert_eq!(missing.status, StatusCode::NOT_FOUND);
    assert!(
        missing.body.contains(&format!("/lot/{lot}")),
        "{}",
        words(&missing.body)
    );
}

#[test]
fn a_plan_is_made_in_the_background_and_accepted() {
    let house = House::new();
    let phone = house.paired("Ada");
    house.draff("pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 30kg --grist \"pale barley malt 100%\"");
    let loaf = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", loaf.display()));
    house.draff("bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 12 --piece 800g");
    let asked = phone.fill("/plan", &[("days", "3")]);
    assert_eq!(
        asked.status,
        StatusCode::SEE_OTHER,
        "{}",
        words(&asked.body)
    );
    let to = asked.headers[header::LOCATION].to_str().unwrap().to_owned();
    let made = loop {
        let page = phone.get(&to);
        assert_eq!(page.status, StatusCode::OK);
        if page.headers.get(header::REFRESH).is_none() {
            break page.body;
        }
        assert!(words(&page.body).contains("It is being worked out"));
    };
    let told = words(&made);
    assert!(told.contains("B-1S") && told.contains("To do"), "{told}");
    assert!(
        !made.contains(" style=\""),
        "the policy stops styles of elements"
    );
    // How much to fetch, and what would leave less over: in the background too.
    for (path, heading) in [
        ("/plan/fetch", "How much to fetch"),
        ("/plan/advise", "Less left over"),
    ] {
        let asked = phone.fill(path, &[]);
        assert_eq!(
            asked.status,
            StatusCode::SEE_OTHER,
            "{}",
            words(&asked.body)
        );
        let found = asked.headers[header::LOCATION].to_str().unwrap().to_owned();
        let page = loop {
            let page = phone.get(&found);
            if page.headers.get(header::REFRESH).is_none() {
                break words(&page.body);
            }
        };
        assert!(page.contains(heading) && !page.contains("draff "), "{page}");
        assert_eq!(
            phone.fill(&format!("{found}/accept"), &[]).status,
            StatusCode::NOT_FOUND
        );
    }
    phone.book(&format!("{to}/accept"), &[]);
    let bake = house.json("bake show B-1S");
    assert!(!bake["promised"].as_array().unwrap().is_empty(), "{bake}");
    // Somebody writes meanwhile: what was looked at holds no more.
    let again = phone.fill("/plan", &[]);
    let to = again.headers[header::LOCATION].to_str().unwrap().to_owned();
    while phone.get(&to).headers.get(header::REFRESH).is_some() {}
    house.draff("settings tap 12C");
    let late = phone.fill(&format!("{to}/accept"), &[]);
    assert_eq!(late.status, StatusCode::CONFLICT, "{}", words(&late.body));
    assert!(late.body.contains("href=\"/plan\""));
}

#[test]
fn a_dough_is_worked_out_and_a_lot_is_traced() {
    let house = House::new();
    let phone = house.paired("Ada");
    let booked = house.json("pickup --source \"Alder Lane\" --brewed today --mash-out 07:30 --cooled 09:00 --wet 10kg --grist \"pale barley malt 100%\"");
    let lot = booked["lot"].as_str().unwrap();
    let loaf = house.file("loaf.toml", include_str!("../draff/formula/loaf.toml"));
    house.draff(&format!("formula add {}", loaf.display()));
    let before = house.bytes();
    let water = phone.fill(
        "/dough/water",
        &[("wet", "460"), ("flour", "900"), ("hydration", "70")],
    );
    assert_eq!(water.status, StatusCode::OK, "{}", words(&water.body));
    let told = words(&water.body);
    let by_command = house.json(&format!(
        "hold-back {lot} --wet 460g --flour 900g --hydration 70%"
    ));
    let pour = format!(
        "Pour first {:.0} g",
        by_command["pour_first_g"].as_f64().unwrap()
    );
    assert!(told.contains(&pour), "{pour}: {told}");
    let batch = phone.fill("/dough/batch", &[("pieces", "4"), ("by", "pieces")]);
    let missing = words(&batch.body);
    assert!(
        batch.status == StatusCode::OK || missing.contains("what a piece weighs"),
        "{missing}"
    );
    let batch = phone.fill("/dough/batch", &[("by", "flour"), ("mass", "1.5")]);
    assert_eq!(batch.status, StatusCode::OK, "{}", words(&batch.body));
    assert!(
        words(&batch.body).contains("wet grain"),
        "{}",
        words(&batch.body)
    );
    assert!(before == house.bytes(), "nothing was booked");

    phone.book(
        &format!("/lot/{lot}/use"),
        &[("wet", "1"), ("bake", "pan loaf")],
    );
    let traced = words(&phone.page(&format!("/trace?lot={lot}")));
    assert!(traced.contains("pan loaf"), "{traced}");
    let csv = phone.get(&format!("/trace.csv?lot={lot}"));
    assert_eq!(csv.body, house.draff(&format!("trace {lot} --csv -")));
    let picture = phone.get(&format!("/trace.svg?lot={lot}"));
    assert_eq!(picture.headers[header::CONTENT_TYPE], "image/svg+xml");
    let recall = words(&phone.page("/trace?source=Alder+Lane&from=2026-11-20&to=2026-11-20"));
    assert!(recall.contains(lot), "{recall}");
}
