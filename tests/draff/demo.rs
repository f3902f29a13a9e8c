//! The demo: it runs on a clean machine, leaves the promised lots on the shelf and a CSV file, and runs
//! again.

use crate::env::{Kitchen, has, one_line};
use assert_cmd::Command;
use serde_json::Value;
use std::path::Path;

/// When the walk of the demo ends.
const END: &str = "2026-11-20 18:20";

fn draff(folder: &Path, line: &str) -> assert_cmd::assert::Assert {
    Command::new(env!("CARGO_BIN_EXE_draff"))
        .args(shlex::split(line).unwrap())
        .current_dir(folder)
        .env_clear()
        .assert()
}

fn answer(folder: &Path, line: &str) -> String {
    let ran = draff(folder, line).success();
    String::from_utf8(ran.get_output().stdout.clone()).unwrap()
}

fn shelf(folder: &Path) -> Vec<Value> {
    let line = format!("--book draffbook-demo/book.draff --now '{END}' --json shelf");
    let shelf: Value = serde_json::from_str(&answer(folder, &line)).unwrap();
    shelf["lots"].as_array().unwrap().clone()
}

/// A demo played in a fresh folder.
fn played() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let shown = answer(folder.path(), "demo");
    (folder, shown)
}

#[test]
fn the_walk_runs_the_main_job_and_shows_each_command() {
    let (_folder, shown) = played();
    let typed: Vec<&str> = shown
        .lines()
        .filter_map(|line| line.strip_prefix("$ draff "))
        .map(|line| line.split(' ').next().unwrap())
        .collect();
    assert_eq!(
        typed,
        [
            "pickup",
            "probe",
            "probe",
            "moisture",
            "shelf",
            "hold-back",
            "batch",
            "use",
            "use",
            "settings",
            "settings",
            "bake",
            "sheet",
            "bake",
            "bake",
            "bake",
            "bake",
            "bake",
            "plan",
            "fetch",
            "trace",
            "usage",
            "usage",
            "log"
        ]
    );
    // The refusal of past grain stands under its command, and only the first `use` is refused.
    let (_, after) = shown.split_once("--wet 2.8kg").unwrap();
    let refusal = after.lines().nth(1).unwrap();
    assert!(
        refusal.starts_with("error: lot `COR-261113-11` is past"),
        "{refusal}"
    );
    assert_eq!(shown.matches("error:").count(), 1);
}

#[test]
fn it_ends_with_the_line_that_serves_the_demo_book() {
    let (_folder, shown) = played();
    assert_eq!(
        shown.trim_end().lines().last().unwrap().trim(),
        "draff serve --lan"
    );
}

#[test]
fn the_promised_states_are_on_the_shelf() {
    let (folder, _) = played();
    let lots = shelf(folder.path());
    assert!(lots.len() >= 8, "{}", lots.len());
    let one = |what: &str, is: &dyn Fn(&Value) -> bool| {
        let found = lots.iter().find(|lot| is(lot));
        found.unwrap_or_else(|| panic!("no lot is {what}")).clone()
    };
    let verdict = |word: &'static str| move |lot: &Value| lot["verdict"] == word;
    let limit = |lot: &Value| lot["binding"]["limit"].as_str().unwrap().to_owned();

    let past = one("past", &verdict("past"));
    assert_eq!(past["keep_until"], "2026-11-19T23:59:59+00:00");
    assert_eq!(past["day"], 8);

    let unknown = one("unknown", &verdict("unknown"));
    assert!(
        limit(&unknown).contains("nothing shows it so far"),
        "{unknown}"
    );
    assert_eq!(unknown["keep_until"], Value::Null);

    assert_eq!(one("use-first", &verdict("use-first"))["day"], 5);

    let frozen = one("frozen", &|lot| lot["place_kind"] == "freezer");
    assert!(limit(&frozen).contains("5 of 7 days left"), "{frozen}");
    assert_eq!(frozen["verdict"], "good");

    let dried = one("dried", &|lot| lot["form"] == "dried");
    assert!(limit(&dried).contains("water activity 0.52"), "{dried}");
    assert_eq!(dried["verdict"], "good");

    let steeped = one("steeped", &|lot| {
        lot["moisture"]["from"] == "no published composition"
    });
    assert_eq!(steeped["verdict"], "good");

    let tested = one("tested and part used", &|lot| lot["lot"] == "COR-261117-1M");
    assert_eq!(tested["moisture"]["from"], "test and earlier lots");
    assert_eq!(tested["wet_g"], 6800.0);

    let fresh = one("fresh", &|lot| lot["brewed_on"] == "2026-11-20");
    // 18.4 kg came, 5 kg went into the tin loaves and 1.079 kg into the flatbreads.
    assert_eq!(fresh["wet_g"], 12_321.0);
    assert_eq!(fresh["day"], 1);
}

#[test]
fn the_formulas_of_the_house_are_in_the_book_and_beside_it() {
    let (folder, shown) = played();
    let listed = answer(
        folder.path(),
        "--book draffbook-demo/book.draff --json formula",
    );
    let listed: Value = serde_json::from_str(&listed).unwrap();
    let names: Vec<&str> = listed["formulas"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["formula"].as_str().unwrap())
        .collect();
    assert_eq!(
        names,
        [
            "Hollow flatbread",
            "Quern pan loaf",
            "Threnby seeded roll",
            "Weir hearth loaf"
        ]
    );
    for file in std::fs::read_dir("demo-data/formulas").unwrap() {
        let file = file.unwrap();
        let copy = folder
            .path()
            .join("draffbook-demo/formulas")
            .join(file.file_name());
        assert_eq!(
            std::fs::read(copy).unwrap(),
            std::fs::read(file.path()).unwrap()
        );
    }
    let (_, batch) = shown.split_once("$ draff batch").unwrap();
    assert!(batch.contains("24 pieces of 880 g"), "{batch}");
}

#[test]
fn a_lot_that_nobody_tested_is_taken_to_be_like_earlier_ones() {
    let (_folder, shown) = played();
    let (_, pickup) = shown.split_once("$ draff pickup").unwrap();
    let (_, dry) = pickup.split_once("\nDry grain ").unwrap();
    let (dry, _) = dry.split_once("\nVerdict ").unwrap();
    let dry = dry.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(dry.ends_with("%, from other lots"), "{dry}");
}

#[test]
fn the_csv_holds_every_use_and_discard() {
    let (folder, _) = played();
    let file = folder.path().join("draffbook-demo/usage.csv");
    let mut reader = csv::Reader::from_path(file).unwrap();
    assert_eq!(
        reader
            .headers()
            .unwrap()
            .iter()
            .collect::<Vec<_>>()
            .join(","),
        "used_at,lot,source,brewed_on,kind,bake,formula,wet_g,moisture_wet_basis,dry_g,\
         carried_water_g,flour_equivalent_g,by,note"
    );
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let of_kind = |kind: &str| rows.iter().filter(|row| &row[4] == kind).count();
    let history = include_str!("../../demo-data/history.txt");
    let typed = |word: &str| {
        history
            .lines()
            .filter(|line| line.starts_with(word))
            .count()
    };
    assert!(typed("use ") > 0 && typed("discard ") > 0);
    // One use more is in the walk, and one bake.
    assert_eq!(of_kind("bake"), typed("use ") + 2);
    assert_eq!(of_kind("discard"), typed("discard "));
    let last = rows.last().unwrap();
    assert_eq!((&last[5], &last[6]), ("B-1S", "Hollow flatbread"));
}

/// Whatever a folder holds, a demo leaves it as it is; the refusal names a folder to take.
#[test]
fn a_folder_that_holds_anything_is_refused_and_left_as_it_is() {
    let (folder, first) = played();
    let root = folder.path();
    std::fs::write(root.join("draffbook-demo/own.txt"), "mine").unwrap();
    let outside = root.join("outside.draff");
    std::fs::copy(root.join("draffbook-demo/book.draff"), &outside).unwrap();
    std::fs::create_dir(root.join("linked")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("../outside.draff", root.join("linked/book.draff")).unwrap();
    let before: Vec<_> = [
        "draffbook-demo/book.draff",
        "draffbook-demo/pickups.csv",
        "outside.draff",
    ]
    .map(|name| std::fs::read(root.join(name)).unwrap())
    .into();
    for line in ["demo", "demo --folder .", "demo --folder linked"] {
        let ran = draff(root, line).code(1);
        let said = String::from_utf8(ran.get_output().stderr.clone()).unwrap();
        assert!(
            said.contains("something at") && said.contains("not touched"),
            "{said}"
        );
    }
    let after: Vec<_> = [
        "draffbook-demo/book.draff",
        "draffbook-demo/pickups.csv",
        "outside.draff",
    ]
    .map(|name| std::fs::read(root.join(name)).unwrap())
    .into();
    assert!(before == after);
    assert!(outside.is_file());
    // What the refusal says to type works, and an empty folder is taken.
    let again = answer(root, "demo --folder draffbook-demo-2");
    let typed = |shown: &str| shown.matches("\n$ draff ").count();
    assert_eq!(typed(&again), typed(&first));
    std::fs::create_dir(root.join("empty")).unwrap();
    answer(root, "demo --folder empty");
}

#[test]
fn the_folder_may_be_named_and_a_file_in_its_place_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    answer(folder.path(), "demo --folder elsewhere");
    assert!(folder.path().join("elsewhere/book.draff").is_file());
    assert!(!folder.path().join("draffbook-demo").exists());

    let taken = folder.path().join("taken");
    std::fs::write(&taken, "mine").unwrap();
    let ran = draff(folder.path(), "demo --folder taken").code(1);
    let said = String::from_utf8(ran.get_output().stderr.clone()).unwrap();
    assert!(said.contains("--folder"), "{said}");
    assert_eq!(std::fs::read_to_string(taken).unwrap(), "mine");
}

#[test]
fn the_demo_book_is_whole() {
    let (folder, _) = played();
    let said = answer(folder.path(), "--book draffbook-demo/book.draff check");
    assert!(said.starts_with("The book is whole"), "{said}");
    assert!(said.contains("8 lots"), "{said}");
}

/// A paragraph of the walk is one paragraph, however it is broken in its file.
#[test]
fn prose_of_the_walk_does_not_break_off() {
    let (_folder, shown) = played();
    let prose = shown
        .split("\n\n")
        .find(|part| part.contains("This evening's flatbreads"))
        .unwrap();
    assert!(prose.contains("how warm the water must be"), "{prose}");
}

#[test]
fn the_demo_makes_a_book_of_its_own() {
    let kitchen = Kitchen::bare();
    let said = kitchen.refused(2, "demo --book mine.draff");
    assert!(said.contains("--folder"), "{said}");
}

/// The script of a season, shortened: the same seed gives the same book, and its report closes.
#[test]
fn a_season_is_the_same_every_time_and_its_report_closes() {
    let folder = tempfile::tempdir().unwrap();
    let reports = ["one", "two"].map(|name| {
        let book = folder.path().join(name);
        let draff = env!("CARGO_BIN_EXE_draff");
        let played = std::process::Command::new("sh")
            .arg("demo-data/season.sh")
            .args([book.as_os_str(), "9".as_ref()])
            .env("DRAFF", draff)
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&played.stderr);
        assert!(played.status.success() && told.is_empty(), "{told}");
        let report = std::process::Command::new(draff)
            .arg("--book")
            .arg(&book)
            .args(["--now", "2026-09-10 20:00", "report", "--json"])
            .output()
            .unwrap();
        let report: Value = serde_json::from_slice(&report.stdout).unwrap();
        report
    });
    assert_eq!(reports[0], reports[1]);
    let report = &reports[0];
    let all = report["balance"].as_array().unwrap().last().unwrap();
    let milligrams = |key: &str| (all[key].as_f64().unwrap() * 1e3).round() as i64;
    let out = [
        "baked_wet_g",
        "given_wet_g",
        "feed_wet_g",
        "treatment_loss_wet_g",
        "missing_wet_g",
        "closing_wet_g",
    ];
    assert_eq!(
        milligrams("came_in_wet_g"),
        out.map(milligrams).iter().sum::<i64>()
    );
    let bakes = report["bakes"].as_array().unwrap();
    assert!(bakes.len() >= 7, "{report}");
    // Of less grain than its minimum the script bakes nothing.
    assert!(
        bakes.iter().all(|bake| bake["supply"] != "below minimum"),
        "{report}"
    );
    assert!(report["water"].as_array().unwrap().len() >= 5, "{report}");
}

/// At the end of its walk: 4 bakes, 8 lots, 5 jobs, and 4 cautions.
#[test]
fn the_plan_of_the_demo_reads_in_forty_lines_and_loses_nothing() {
    let (folder, _) = played();
    let plan = |options: &str| {
        let line = format!("--book draffbook-demo/book.draff --now '{END}' {options} plan");
        answer(folder.path(), &line)
    };
    let lines = |said: &str| said.lines().filter(|line| !line.is_empty()).count();
    let (whole, brief) = (plan(""), plan("-q"));
    assert!(lines(&whole) <= 40, "{}: {whole}", lines(&whole));
    assert!(lines(&brief) < lines(&whole), "{brief}");
    let facts: Value = serde_json::from_str(&plan("--json")).unwrap();
    let list = |key: &str| facts[key].as_array().unwrap().clone();
    let lots = ["actions", "spare"].map(|key| list(key).into_iter().map(|one| one["lot"].clone()));
    let draws = list("bakes").into_iter();
    let draws = draws.flat_map(|bake| bake["draws"].as_array().unwrap().clone());
    let lots = lots.into_iter().flatten();
    for lot in lots.chain(draws.map(|draw| draw["lot"].clone())) {
        let lot = lot.as_str().unwrap();
        assert!(whole.contains(lot) && brief.contains(lot), "{lot}: {brief}");
    }
    for action in list("actions") {
        let (day, time) = action["by"].as_str().unwrap().split_at(11);
        let day: u32 = day[8..10].parse().unwrap();
        for said in [&whole, &brief] {
            assert!(said.contains(&format!(" {day} ")), "{day}: {said}");
            assert!(said.contains(&time[..5]), "{time}: {said}");
        }
    }
    let cautions = |said: &str| -> Vec<String> {
        let marked = said.lines().filter(|line| line.starts_with("! "));
        marked.map(str::to_owned).collect()
    };
    assert_eq!(cautions(&whole), cautions(&brief));
    assert_eq!(cautions(&whole).len(), 4);
    // Several jobs of one moment stand under one head, each with its portions.
    has(
        &one_line(&whole),
        "by 21:00: freeze in freezer: all 6.8 kg of COR-261117-1M 5.281 kg of COR-261120-15 THR-261116-1Z, in 2 portions: 7.56 kg for B-4M, 1.34 kg to spare",
    );
}
