//! A label takes one page of its own size.

use crate::driver::{PHONE, printed, with_browser};
use crate::serving::{Serving, book, run};

#[test]
fn each_label_is_one_page_of_the_label_printer() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let page = folder.path().join("label.html");
    run(
        &file,
        &format!(
            "--now 2026-11-20T11:00:00Z ticket {lot} {lot} --html {}",
            page.display()
        ),
    );
    let Some(pdf) = printed(&page) else { return };
    let text = String::from_utf8_lossy(&pdf);
    let sizes: Vec<&str> = text
        .split("/MediaBox [0 0 ")
        .skip(1)
        .map(|rest| rest.split(']').next().unwrap())
        .collect();
    assert_eq!(sizes.len(), 2, "{sizes:?}");
    for size in sizes {
        // 62 mm × 40 mm in points of 1/72 in.
        let sides: Vec<f64> = size.split(' ').map(|side| side.parse().unwrap()).collect();
        assert!(
            (sides[0] - 175.7).abs() < 1.0 && (sides[1] - 113.4).abs() < 1.0,
            "{size}"
        );
    }
}

#[test]
fn the_page_of_a_ticket_prints_its_label_and_no_blank_page() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(
        &file,
        &["--now", "2026-11-20T11:00:00Z", "--name", "bench.test"],
    );
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        for size in ["62x40", "a4", "letter"] {
            browser
                .open(&format!("/lot/{lot}/ticket?size={size}"))
                .await;
            browser.find(".ticket-code").await;
            assert_eq!(browser.printed_pages().await, 1, "{size}");
            let reach = "const [code, label] = ['.ticket-code text', '.ticket'].map((part) => document.querySelector(part).getBoundingClientRect()); return label.right - code.right";
            let left = browser.client.execute(reach, vec![]).await.unwrap();
            assert!(left.as_f64().unwrap() >= 0.0, "{size}: {left}");
        }
    });
    serving.end(15);
}
