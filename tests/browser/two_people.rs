//! Two people at one bench, each with a device: every entry has the name of who booked it.

use crate::driver::{Browser, PHONE, with_browsers};
use crate::serving::{Serving, book, run};
use std::path::Path;

const NOW: [&str; 2] = ["--now", "2026-11-20T11:30:00Z"];

/// Who made the entries of a kind, in their order.
fn writers(book: &Path, kind: &str) -> Vec<String> {
    let log = run(book, &format!("{} --json log", NOW.join(" ")));
    let log: serde_json::Value = serde_json::from_str(&log).unwrap();
    let entries = log["entries"].as_array().unwrap().iter();
    entries
        .filter(|entry| entry["kind"] == kind)
        .map(|entry| entry["by"].as_str().unwrap_or("nobody").to_owned())
        .collect()
}

#[test]
fn each_entry_carries_the_name_of_who_booked_it() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(&file, &[&NOW[..], &["--name", "bench.test"]].concat());
    with_browsers(
        PHONE,
        &serving.address.clone(),
        async |[ada, ben]: [Browser; 2]| {
            ada.pair(&serving.key, "Ada").await;
            // A paired device lets the other one in.
            ada.open("/devices").await;
            ada.tap("button.main").await;
            let code = ada.find("p.tub").await.text().await.unwrap();
            ben.open("/pair").await;
            ben.type_into("key", &code).await;
            ben.type_into("whose", "Ben").await;
            ben.tap("button.main").await;
            ben.sees("At the bench: Ben").await;

            // Both type at the same time, of one lot.
            ada.open(&format!("/lot/{lot}/temperature")).await;
            ben.open(&format!("/lot/{lot}/use")).await;
            ada.type_into("temp", "3.5").await;
            ben.type_into("wet", "2").await;
            ben.type_into("bake", "pan loaf").await;
            ada.tap("button.main").await;
            ada.sees("Booked.").await;
            ben.sees("The book changed since this page was opened.")
                .await;
            ben.tap("button.main").await;
            ben.sees("Booked.").await;
            assert_eq!(writers(&file, "reading"), ["Ada"]);
            assert_eq!(writers(&file, "use"), ["Ben"]);

            // Ada opens a form, Ben takes her device and sends it.
            ada.open(&format!("/lot/{lot}/give")).await;
            ada.type_into("wet", "1").await;
            ada.type_into("to", "the school").await;
            let form = ada.client.window().await.unwrap();
            let bench = ada.client.new_window(true).await.unwrap().handle;
            ada.client.switch_to_window(bench).await.unwrap();
            ada.open("/bench").await;
            ada.tap("button[name=person][value=Ben]").await;
            ada.sees("At the bench: Ben").await;
            ada.client.switch_to_window(form).await.unwrap();
            ada.tap("button.main").await;
            ada.sees("typed for Ada").await;
            assert_eq!(writers(&file, "give"), Vec::<String>::new());
            // What was typed is still there, and the button says whose it becomes.
            ada.sees("as Ben").await;
            let to = ada.find("[name=to]").await;
            let to = to.prop("value").await.unwrap();
            assert_eq!(to.as_deref(), Some("the school"));
            ada.tap("button.main").await;
            ada.sees("Booked.").await;
            assert_eq!(writers(&file, "give"), ["Ben"]);
            // An answer that asks back is an error for a browser, on her device alone.
            ada.console().await;
            assert_eq!(ben.console().await, Vec::<String>::new());
        },
    );
    serving.end(15);
}
