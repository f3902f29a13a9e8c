//! Weak Wi-Fi, double taps, two tabs of one device, ticks of a sheet.

use crate::driver::{PHONE, with_browser};
use crate::serving::{self, Serving, book};
use std::path::Path;

const SERVED: [&str; 4] = ["--now", "2026-11-20T11:30:00Z", "--name", "bench.test"];

fn run(book: &Path, line: &str) -> serde_json::Value {
    let said = serving::run(book, &format!("--json --now 2026-11-20T11:30:00Z {line}"));
    serde_json::from_str(&said).unwrap_or_default()
}

fn count(book: &Path, kind: &str) -> usize {
    let log = run(book, "log");
    let entries = log["entries"].as_array().unwrap();
    entries.iter().filter(|entry| entry["kind"] == kind).count()
}

#[test]
fn what_was_typed_without_wifi_is_kept_and_booked_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(&file, &SERVED);
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        browser.open(&format!("/lot/{lot}/temperature")).await;
        browser.offline(true).await;
        browser.type_into("temp", "3,5").await;
        browser.sees("= 3.5 °C").await;
        browser.tap("button.main").await;
        browser.sees("Waiting: 1.").await;
        browser.sees("kept on this device").await;
        assert_eq!(count(&file, "reading"), 0);
        browser.offline(false).await;
        browser.sees("Booked.").await;
        assert_eq!(count(&file, "reading"), 1);
        browser.console().await;

        // Refused meanwhile: somebody threw the lot away.
        browser.open(&format!("/lot/{lot}/use")).await;
        browser.offline(true).await;
        browser.type_into("wet", "2").await;
        browser.type_into("bake", "pan loaf").await;
        browser.tap("button.main").await;
        browser.sees("Waiting: 1.").await;
        run(&file, &format!("discard {lot} --reason dropped"));
        browser.offline(false).await;
        browser.sees("Nothing was booked").await;
        browser.console().await;

        // On another page than its own it stands until somebody looks at it.
        let keep = format!(
            "localStorage.setItem('draff-outbox-' + document.documentElement.dataset.book, JSON.stringify([{{id:'12345678abcd', to:'/lot/{lot}/use', body:'act_id=12345678abcd&wet=2&wet_unit=kg&bake=rye', what:'Use', typed: Date.now(), ahead: Date.now() - Number(document.documentElement.dataset.now)}}]))"
        );
        browser.client.execute(&keep, vec![]).await.unwrap();
        browser.open("/shelf").await;
        browser.sees("Not booked: Use.").await;
        browser.tap("#outbox button").await;
        browser.sees("Nothing was booked").await;
        let bake = browser.find("[name=bake]").await;
        assert_eq!(bake.prop("value").await.unwrap().as_deref(), Some("rye"));
        browser.open("/shelf").await;
        browser.sees("Not booked: Use.").await;
        browser.tap("#outbox button + button").await;
        let wait = "return document.getElementById('outbox').hidden";
        assert_eq!(browser.client.execute(wait, vec![]).await.unwrap(), true);
        assert_eq!(count(&file, "use"), 0);
    });
    serving.end(15);
}

#[test]
fn each_tab_shows_its_own_act_when_the_wifi_is_back() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(&file, &SERVED);
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        browser.open(&format!("/lot/{lot}/temperature")).await;
        let first = browser.client.window().await.unwrap();
        let second = browser.client.new_window(true).await.unwrap().handle;
        let tabs = [first, second];
        let to = async |tab: usize| {
            let tab = tabs[tab].clone();
            browser.client.switch_to_window(tab).await.unwrap();
        };
        to(1).await;
        browser.open(&format!("/lot/{lot}/use")).await;
        browser.offline(true).await;
        browser.type_into("wet", "2").await;
        browser.type_into("bake", "pan loaf").await;
        to(0).await;
        browser.offline(true).await;
        browser.type_into("temp", "3.5").await;
        browser.tap("button.main").await;
        browser.sees("kept on this device").await;
        to(1).await;
        browser.tap("button.main").await;
        browser.sees("Waiting: 2.").await;
        browser.sees("kept on this device").await;
        for tab in [1, 0] {
            to(tab).await;
            browser.offline(false).await;
        }
        for (tab, shown) in [(0, "Measured 3.5 °C"), (1, "Used 2 kg for pan loaf")] {
            to(tab).await;
            browser.sees("Booked.").await;
            browser.sees(shown).await;
            let words = browser.words().await;
            assert!(!words.contains("kept on this device"), "{words}");
        }
        assert_eq!((count(&file, "reading"), count(&file, "use")), (1, 1));
        browser.console().await;
    });
    serving.end(15);
}

#[test]
fn what_was_typed_on_a_device_that_was_ended_stays_kept() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(&file, &SERVED);
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        browser.open(&format!("/lot/{lot}/temperature")).await;
        run(&file, "device end 1");
        browser.type_into("temp", "3.5").await;
        browser.tap("button.main").await;
        browser
            .sees("Not sent yet: This device is not paired.")
            .await;
        browser.sees("kept on this device").await;
        let kept = "return JSON.parse(localStorage.getItem('draff-outbox-' + document.documentElement.dataset.book)).length";
        assert_eq!(browser.client.execute(kept, vec![]).await.unwrap(), 1);
        assert_eq!(count(&file, "reading"), 0);
        browser.console().await;
    });
    serving.end(15);
}

#[test]
fn a_number_that_is_asked_back_has_no_preview() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(&file, &SERVED);
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        browser.open(&format!("/lot/{lot}/give")).await;
        browser.choose("wet_unit", "lb").await;
        browser.type_into("wet", "1,23").await;
        browser.sees("= 557.9 g").await;
        browser.type_into("wet", "1,234").await;
        let shown = "return document.querySelector('.measure output').textContent";
        assert_eq!(browser.client.execute(shown, vec![]).await.unwrap(), "");
        browser.type_into("to", "the school").await;
        browser.tap("button.main").await;
        browser.sees("may be 1.234 or 1234").await;
        assert!(!browser.words().await.contains("= 559.7 g"));
    });
    serving.end(15);
}

#[test]
fn a_double_tap_books_once_and_open_pages_notice_changes() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(&file, &SERVED);
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        browser.open(&format!("/lot/{lot}/use")).await;
        browser.type_into("wet", "2").await;
        browser.type_into("bake", "pan loaf").await;
        let twice = "const b = document.querySelector('button.main'); b.click(); b.click();";
        browser.client.execute(twice, vec![]).await.unwrap();
        browser.sees("Booked.").await;
        assert_eq!(count(&file, "use"), 1);

        // A page on which nothing is typed loads again by itself.
        browser.open("/shelf").await;
        browser.sees("8 kg").await;
        run(&file, &format!("use {lot} 1kg --for rolls"));
        browser.sees("7 kg").await;

        // One on which something is typed says so, and keeps it.
        browser.open(&format!("/lot/{lot}/use")).await;
        browser.type_into("bake", "half typed").await;
        run(&file, &format!("use {lot} 1kg --for rolls"));
        browser
            .sees("The book changed since this page was opened.")
            .await;
        let bake = browser.find("[name=bake]").await;
        assert_eq!(
            bake.prop("value").await.unwrap().as_deref(),
            Some("half typed")
        );
        assert_eq!(browser.console().await, Vec::<String>::new());
    });
    serving.end(15);
}

/// A browser has six connections to one machine: a page that waits for changes must give its own back when it is left.
#[test]
fn pages_that_were_left_hold_up_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(&file, &SERVED);
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        let mut waits = Vec::new();
        for _ in 0..5 {
            for path in ["/shelf".to_owned(), format!("/lot/{lot}")] {
                let begun = std::time::Instant::now();
                browser.open(&path).await;
                waits.push(begun.elapsed().as_secs());
            }
        }
        // A page that found no connection waits for the end of another's, 25 s.
        assert!(waits.iter().all(|wait| *wait < 15), "{waits:?}");
    });
    serving.end(15);
}

#[test]
fn a_sheet_keeps_its_ticks_and_prints_on_one_page() {
    let folder = tempfile::tempdir().unwrap();
    let (file, _) = book(folder.path());
    let loaf = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/draff/formula/loaf.toml");
    run(&file, &format!("formula add {}", loaf.display()));
    run(
        &file,
        "bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4 --piece 800g",
    );
    let serving = Serving::new(
        &file,
        &["--now", "2026-11-20T12:00:00Z", "--name", "bench.test"],
    );
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        browser.open("/bake/B-1S/sheet").await;
        browser.tap("input.tick").await;
        browser.open("/").await;
        browser.open("/bake/B-1S/sheet").await;
        let ticked =
            "return [...document.querySelectorAll('input.tick')].map((box) => box.checked)";
        browser.find("input.tick").await;
        let boxes = browser.client.execute(ticked, vec![]).await.unwrap();
        let boxes = boxes.as_array().unwrap();
        assert_eq!(boxes[0], true);
        assert!(
            boxes[1..].iter().all(|ticked| *ticked == false),
            "{boxes:?}"
        );
        // A tap on the words of the row does the same.
        browser.tap(".sheet tr:has(input.tick) .weight").await;
        let boxes = browser.client.execute(ticked, vec![]).await.unwrap();
        assert_eq!(boxes.as_array().unwrap()[0], false);
        assert_eq!(browser.printed_pages().await, 1);
        assert_eq!(browser.console().await, Vec::<String>::new());
    });
    serving.end(15);
}
