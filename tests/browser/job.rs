//! The main job at 390 px, with script and without.

use crate::driver::{Browser, PHONE, Phone, with_browser};
use crate::serving::{Serving, run};
use std::path::Path;

const NOW: [&str; 2] = ["--now", "2026-11-20T10:00:00Z"];

async fn job(browser: &Browser, serving: &Serving, book: &Path) {
    browser.pair(&serving.key, "Ada").await;
    // A tub in.
    browser.tap("a.main[href='/grain-in']").await;
    browser.tap_link("Another brewery").await;
    browser.type_into("source", "Alder Lane").await;
    browser.choose("mash_out_time", "09:30").await;
    browser.type_into("wet", "18.4").await;
    browser.type_into("temp", "58").await;
    browser.type_into("grist", "pale barley malt 100%").await;
    browser.tap("button.main").await;
    browser.sees("Booked.").await;
    let code = browser.find("p.tub").await.text().await.unwrap();
    // It is due on Today, and the line opens its form.
    browser.tap_link("Today").await;
    let form = format!("/lot/{code}/temperature");
    browser.tap(&format!("a[href='{form}']")).await;
    browser.type_into("temp", "4").await;
    browser.tap("button.main").await;
    browser.sees("Booked.").await;
    // A sample, whole.
    browser.open(&format!("/lot/{code}/sample")).await;
    browser.type_into("pan_0", "12.0").await;
    browser.type_into("wet_0", "112.0").await;
    browser.type_into("dry_0", "35.4").await;
    browser.tap("button.main").await;
    browser.sees("Booked.").await;
    // Used.
    browser.open(&format!("/lot/{code}/use")).await;
    browser.type_into("wet", "2").await;
    browser.type_into("bake", "pan loaf").await;
    browser.tap("button.main").await;
    browser.sees("Booked.").await;
    // And in the CSV.
    browser.open("/book/usage").await;
    browser.sees(&code).await;
    let csv = run(book, "usage --csv -");
    assert!(
        csv.contains(&code) && csv.contains("pan loaf") && csv.contains(",Ada,"),
        "{csv}"
    );
    assert_eq!(browser.console().await, Vec::<String>::new());
}

fn from_pairing_to_usage(phone: Phone) {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book.draff");
    run(
        &book,
        "new-book --zone Europe/Dublin --now 2026-01-02T08:00:00Z",
    );
    let serving = Serving::new(&book, &[&NOW[..], &["--name", "bench.test"]].concat());
    with_browser(phone, &serving.address.clone(), async |browser| {
        job(&browser, &serving, &book).await;
    });
    serving.end(15);
}

#[test]
fn from_pairing_to_usage_with_script() {
    from_pairing_to_usage(PHONE);
}

#[test]
fn from_pairing_to_usage_without_script() {
    from_pairing_to_usage(Phone {
        script: false,
        ..PHONE
    });
}
