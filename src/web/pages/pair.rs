//! Pairing: a phone shows the key of its link or a typed code, says whose it is, and is let in.
//!
//! Looking at the page spends nothing: a camera's preview may look too.

use crate::desk::NewDevice;
use crate::quantity::Problem;
use crate::web::Shared;
use crate::web::draw;
use crate::web::pairing::Unknown;
use crate::web::refused::Refused;
use crate::web::route::{Form, Right, Route};
use crate::web::secrets;
use crate::web::visit::{Done, Stopped, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[Route::form(
    "/pair",
    Form {
        title: |_| "Pair this device".to_owned(),
        show,
        act,
    },
)
.for_right(Right::Anyone)];

/// A cookie lives so long after it was last renewed: 30 days.
const COOKIE_SECONDS: u32 = 30 * 24 * 3600;

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    let by_link = visit.asked("key").to_owned();
    let key = visit.typed.shown("key", &by_link).to_owned();
    Ok(html! {
        p.lead { "The book: " b { (visit.desk.about().name) } }
        @if is_of_link(&key) {
            input type="hidden" name="key" value=(key);
        } @else {
            p { "A paired device makes a new code under Book, Devices. Or start draff serve again on the machine that holds the book: it prints one." }
            (draw::text(visit, "key", "Code", &key))
        }
        (draw::text(visit, "whose", "Whose device is this? The name stands in what it books", ""))
        p.send { button.main type="submit" { "Pair" } }
    })
}

/// Whether it is the key of a link, and no code to type.
const fn is_of_link(key: &str) -> bool {
    key.len() == 32
}

fn act(visit: &mut Visit) -> anyhow::Result<Done> {
    let key = visit.typed.name("key", "the code");
    let whose = visit.typed.name("whose", "the name");
    let (Some(key), Some(whose)) = (key, whose) else {
        visit.typed.all_read()?;
        return Err(Stopped(Refused::Unreadable).into());
    };
    let admitted = match visit.shared.pairing.spend(&key, visit.now) {
        Ok(admitted) => admitted,
        Err(Unknown::TooMany) => return Err(Stopped(Refused::TooMany).into()),
        Err(Unknown::Wrong) => {
            let problem =
                Problem::new("the code is wrong, was used already or is older than ten minutes")
                    .hint("get a new one and type it here");
            if is_of_link(&key) {
                // It lets nobody in any more: the field for another stands in its place.
                visit.typed.forget("key");
            }
            return Err(visit.typed.fault("key", &problem).into());
        }
    };
    let secret = secrets::new()?;
    visit.desk.pair(&NewDevice {
        secret: secrets::digest(&secret),
        whose: &whose,
        writes: admitted.writes,
        paired_by: admitted.by.as_deref(),
    })?;
    let cookie = cookie(&visit.shared, &secret);
    Ok(Done::Paired("/".to_owned(), cookie))
}

/// The cookie of a device, with its whole life before it.
pub fn cookie(shared: &Shared, secret: &str) -> String {
    let name = shared.cookie();
    // A browser drops a cookie that is `Secure` where it came over plain HTTP.
    let secure = if shared.tls.is_some() { "; Secure" } else { "" };
    format!("{name}={secret}; HttpOnly; SameSite=Lax; Path=/; Max-Age={COOKIE_SECONDS}{secure}")
}
