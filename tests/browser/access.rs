//! What a checker of accessibility finds on each page, narrow and wide, light and dark: nothing.

use crate::driver::{PHONE, Phone, skip, with_browser};
use crate::serving::{self, Serving, book};
use draffbook::web::{self, Work};
use std::path::Path;

/// axe-core, MPL-2.0, for this test only: `npm install --no-save --prefix target/axe axe-core@4.14.1`.
fn checker() -> Option<String> {
    let file =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("target/axe/node_modules/axe-core/axe.min.js");
    let found = std::fs::read_to_string(&file).ok();
    if found.is_none() {
        skip(
            "axe-core is not installed (npm install --no-save --prefix target/axe axe-core@4.14.1)",
        );
    }
    found
}

/// Pages that look different from each other.
const LOOKS: [&str; 14] = [
    "/",
    "/shelf",
    "/lot/{lot}",
    "/lot/{lot}/temperature",
    "/lot/{lot}/ticket",
    "/source/{source}",
    "/lot/{lot}/sample",
    "/bake/{bake}/sheet",
    "/plan",
    "/plan/{plan}",
    "/trace",
    "/book/log",
    "/book/report",
    "/devices",
];

fn check(phone: Phone, wanted: impl Fn(&str) -> bool) {
    let Some(checker) = checker() else { return };
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let run = |line: &str| serving::run(&file, &format!("--now 2026-11-20T11:00:00Z {line}"));
    let loaf = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/draff/formula/loaf.toml");
    run(&format!("formula add {}", loaf.display()));
    run("bake add \"small loaf\" --at \"sat 08:00\" mix --pieces 4 --piece 800g");
    run(&format!("use {lot} 1kg --for rolls"));
    let serving = Serving::new(
        &file,
        &["--now", "2026-11-20T12:00:00Z", "--name", "bench.test"],
    );
    with_browser(phone, &serving.address.clone(), async |browser| {
        browser.pair(&serving.key, "Ada").await;
        browser.open("/plan").await;
        browser.tap("main button.main").await;
        browser.sees("Accept it").await;
        let plan = browser.client.current_url().await.unwrap();
        let plan = plan.path().trim_start_matches("/plan/").to_owned();
        let mut looked = 0;
        for route in web::routes() {
            if !wanted(route.path)
                || matches!(route.work, Work::Changes)
                || route.path.ends_with(".csv")
            {
                continue;
            }
            let path = route
                .path
                .replace("{lot}", &lot)
                .replace("{bake}", "B-1S")
                .replace("{entry}", "5")
                .replace("{place}", "fridge")
                .replace("{source}", "Alder%20Lane")
                .replace("{formula}", "small%20loaf")
                .replace("{setting}", "tap")
                .replace("{plan}", &plan)
                .replace("{device}", "1");
            let path = if path == "/trace" {
                format!("/trace?lot={lot}")
            } else {
                path
            };
            // Files, and what a calendar program fetches under a token that the page shows once.
            let is_file = [".svg", ".ics", ".draff", ".html", ".xlsx"]
                .iter()
                .any(|end| path.ends_with(end));
            if is_file || path.starts_with("/calendar/") {
                continue;
            }
            browser.open(&path).await;
            let run = format!(
                "{checker}; const done = arguments[arguments.length - 1];
                 axe.run(document, {{ resultTypes: ['violations'] }}).then((found) => done(found.violations.map(
                   (one) => one.id + ': ' + one.nodes.map((node) => node.html.slice(0, 200)).join(' | '))));"
            );
            let found = browser.client.execute_async(&run, vec![]).await.unwrap();
            assert_eq!(found, serde_json::json!([]), "{path} at {} px", phone.width);
            let wide = browser
                .client
                .execute(
                    "return document.documentElement.scrollWidth > innerWidth",
                    vec![],
                )
                .await
                .unwrap();
            assert_eq!(wide, false, "{path} is wider than {} px", phone.width);
            looked += 1;
        }
        assert!(looked >= LOOKS.len(), "pages were looked at: {looked}");
        assert_eq!(browser.console().await, Vec::<String>::new());
    });
    serving.end(15);
}

#[test]
fn nothing_is_found_at_320_px_in_the_light() {
    let phone = Phone {
        width: 320,
        ..PHONE
    };
    check(phone, |_| true);
}

#[test]
fn nothing_is_found_at_390_px_in_the_light() {
    check(PHONE, |path| LOOKS.contains(&path));
}

#[test]
fn nothing_is_found_at_1280_px_in_the_dark() {
    let phone = Phone {
        width: 1280,
        dark: true,
        ..PHONE
    };
    check(phone, |path| LOOKS.contains(&path));
}
