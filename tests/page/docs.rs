//! `docs/page.md` lists every act of the desk with its page, and no other.

use draffbook::web;
use std::collections::BTreeMap;
use std::path::Path;

fn read(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

/// Every public method of the desk that takes it for writing; that a device was seen is no act.
fn acts() -> Vec<String> {
    let mut found = Vec::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src/desk")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            // What finds facts for a question takes itself for writing too.
            if path.ends_with("facts.rs") {
                continue;
            }
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            for part in text.split("    pub fn ").skip(1) {
                let (name, rest) = part.split_once(['(', '<']).unwrap();
                let arguments = rest.split(") ->").next().unwrap();
                if arguments.contains("&mut self") {
                    found.push(name.to_owned());
                }
            }
        }
    }
    found.retain(|name| name != "note_seen");
    found.sort();
    found
}

#[test]
fn every_act_stands_in_the_table_with_a_page_that_is_there() {
    let text = read("docs/page.md");
    let (_, table) = text.split_once("## Act and page").unwrap();
    let (table, _) = table.split_once("\n## ").unwrap();
    let rows: BTreeMap<String, String> = table
        .lines()
        .filter(|line| line.starts_with("| `"))
        .map(|line| {
            let cells: Vec<&str> = line.split('|').map(str::trim).collect();
            (cells[1].replace('`', ""), cells[2].to_owned())
        })
        .collect();
    assert_eq!(rows.keys().cloned().collect::<Vec<_>>(), acts());
    let routes = web::routes();
    for (act, pages) in &rows {
        if pages == "at the machine" {
            continue;
        }
        for page in pages.split(", ") {
            let page = page.replace('`', "");
            let route = routes.iter().find(|route| route.path == page);
            let route = route.unwrap_or_else(|| panic!("{act}: {page} is no page"));
            assert!(matches!(route.work, web::Work::Form(_)), "{act}: {page}");
        }
    }
}
