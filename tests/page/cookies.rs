//! The name of a device's cookie, which tells the books of one machine apart.

use crate::house::{HOST, House};
use draffbook::render::numbers::Units;
use draffbook::web::{self, ServerOptions, Shared};
use std::path::PathBuf;
use std::sync::Arc;

fn serving(book: PathBuf) -> Arc<Shared> {
    Arc::new(Shared::new(ServerOptions {
        book,
        units: Units::Metric,
        clock: Arc::new(|| "2026-11-20T10:00:00Z".parse().unwrap()),
        hosts: vec![HOST.to_owned()],
        backups: None,
        log: Arc::new(|_| {}),
        tls: None,
        form_takes: web::FORM_TAKES,
        greeting_takes: web::GREETING_TAKES,
    }))
}

#[test]
fn a_phone_stays_paired_however_the_path_of_the_book_is_spelled() {
    let mut house = House::new();
    let book = house.book();
    let folder = book.parent().unwrap().to_owned();
    let linked = folder.join("linked.draff");
    std::os::unix::fs::symlink(&book, &linked).unwrap();
    let copied = folder.join("copied.draff");
    std::fs::copy(&book, &copied).unwrap();
    house.served = serving(book);
    let cookie = house.paired("Ada").cookie;
    let mut status = |served: PathBuf| {
        house.served = serving(served);
        let mut phone = house.stranger();
        phone.cookie.clone_from(&cookie);
        phone.get("/shelf").status.as_u16()
    };
    for spelled in ["./book.draff", "linked.draff"] {
        assert_eq!(status(folder.join(spelled)), 200, "{spelled}");
    }
    // Another book on this machine has a cookie of another name.
    house.served = serving(copied);
    let other = house.paired("Ben").cookie;
    let name = |cookie: Option<String>| cookie.unwrap().split('=').next().unwrap().to_owned();
    assert_ne!(name(cookie), name(other));
}
