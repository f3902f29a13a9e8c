//! A label takes one page of its own size.

use crate::driver::printed;
use crate::serving::{book, draff};

#[test]
fn each_label_is_one_page_of_the_label_printer() {
    let folder = tempfile::tempdir().unwrap();
    let (file, lot) = book(folder.path());
    let page = folder.path().join("label.html");
    let out = draff(&file)
        .args([
            "--now",
            "2026-11-20T11:00:00Z",
            "ticket",
            &lot,
            &lot,
            "--html",
        ])
        .arg(&page)
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
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
