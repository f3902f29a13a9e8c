//! One main button at the thumb: it is in sight on a phone, however long its form is, and lies over no field.

use crate::driver::{PHONE, with_browser};
use crate::serving::{Serving, book};

#[test]
fn the_button_that_books_is_in_sight_and_covers_no_field() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let serving = Serving::new(
        &file,
        &["--now", "2026-11-20T11:30:00Z", "--name", "bench.test"],
    );
    with_browser(PHONE, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        for path in [
            format!("/lot/{lot}/use"),
            "/grain-in/from".to_owned(),
            format!("/lot/{lot}/sample"),
            format!("/lot/{lot}/treat"),
        ] {
            browser.open(&path).await;
            browser.find("form[method=post] button.main").await;
            let in_sight = "const box = document.querySelector('form[method=post] button.main').getBoundingClientRect();
                 return box.top >= 0 && box.bottom <= innerHeight";
            let in_sight = browser.client.execute(in_sight, vec![]).await.unwrap();
            assert_eq!(in_sight, true, "{path}");
            // What is typed into stands above it, in folded parts too.
            let covered = "for (const part of document.querySelectorAll('details')) part.open = true;
                 const form = document.querySelector('form[method=post]');
                 const send = form.querySelector('.send:last-child');
                 const fields = [...form.querySelectorAll('input:not([type=hidden]), select')];
                 return fields.filter((field) => {
                   field.scrollIntoView({ block: 'nearest' });
                   return field.getBoundingClientRect().bottom > send.getBoundingClientRect().top + 1;
                 }).map((field) => field.name)";
            let covered = browser.client.execute(covered, vec![]).await.unwrap();
            assert_eq!(covered, serde_json::json!([]), "{path}");
        }
        assert_eq!(browser.console().await, Vec::<String>::new());
    });
    serving.end(15);
}
