//! The page of a report as a file: nothing loads or runs, each question takes one sheet of paper, nothing is cut off.

use crate::driver::{PHONE, with_browser};
use crate::serving::{self, book};
use fantoccini::Locator;

#[test]
fn each_question_of_a_report_prints_on_one_page_and_none_is_too_wide() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let run = |line: &str| serving::run(&file, &format!("--now 2026-11-20T11:00:00Z {line}"));
    run(
        "pickup --source \"Threnby Lock upper brewhouse\" --brewed today --mash-out 08:00 --cooled 09:30 --wet 6kg",
    );
    run(&format!("moisture {lot} 12 112 35.4 g"));
    run(&format!("use {lot} 2kg --for rolls"));
    run(&format!("give {lot} --wet 500g --to \"school kitchen\""));
    run(&format!(
        "discard {lot} --wet 500g --as feed --reason spare"
    ));
    run(&format!("discard {lot} --wet 200g --reason spilt"));
    run(&format!("move {lot} freezer --wet 1kg"));
    let page = folder.path().join("report.html");
    run(&format!("report --html {}", page.display()));
    // The file stands by itself: no server is asked.
    with_browser(PHONE, "none:0", async |browser| {
        let address = format!("file://{}", page.display());
        browser.client.goto(&address).await.unwrap();
        browser.find("footer .cautions").await;
        let questions = Locator::Css("section.question");
        let questions = browser.client.find_all(questions).await.unwrap().len();
        assert!(questions >= 10, "{questions}");
        assert_eq!(browser.printed_pages().await, questions);
        browser.shown_as_printed().await;
        let reach = "const paper = document.documentElement.clientWidth + 1;
            const parts = [...document.querySelectorAll('h1, h2, p, table, svg.chart')];
            return parts.filter((part) => part.getBoundingClientRect().right > paper).map((part) => part.textContent)";
        let wide = browser.client.execute(reach, vec![]).await.unwrap();
        assert_eq!(wide, serde_json::json!([]));
        assert_eq!(browser.console().await, Vec::<String>::new());
    });
}
