//! What every page has around it, and the parts that several pages share. Everything works without script.

mod commands;
mod field;
mod parts;

pub use crate::render::whole_codes::with_whole_codes;
pub use commands::linked;
pub use field::{Choice, area, choices, count, day_time, file, mass, temperature, text, tick};
pub use parts::{
    answer_notes, bar_hatches, bar_scale, cautions, labelled, lines, lot_line, rows, story, verdict,
};

use super::answer::Reply;
use super::secrets;
use super::sent::Sent;
use super::trouble::{Trouble, capital};
use super::understood::Understood;
use super::visit::Visit;
use maud::{DOCTYPE, Markup, html};

const STYLE: &str = concat!(
    include_str!("page.css"),
    include_str!("../render/chart.css"),
    include_str!("../render/ticket_html/ticket.css")
);
const SCRIPT: &str = include_str!("page.js");
const ICON: &str = include_str!("icon.svg");

/// The files that pages load, under names that change with what is in them.
pub struct Files {
    style: String,
    script: String,
    icon: String,
}

impl Default for Files {
    fn default() -> Self {
        let named = |text: &str, end: &str| {
            let digest = secrets::hexadecimal(&secrets::digest(text));
            format!("/part/{}.{end}", &digest[..12])
        };
        Self {
            style: named(STYLE, "css"),
            script: named(SCRIPT, "js"),
            icon: named(ICON, "svg"),
        }
    }
}

impl Files {
    /// The file at an address, with its type.
    pub fn at(&self, address: &str) -> Option<(&'static str, &'static str)> {
        [
            (&self.style, "text/css; charset=utf-8", STYLE),
            (&self.script, "text/javascript; charset=utf-8", SCRIPT),
            (&self.icon, "image/svg+xml", ICON),
        ]
        .into_iter()
        .find(|(known, ..)| *known == address)
        .map(|(_, kind, body)| (kind, body))
    }
}

/// The places that are reached from everywhere.
const NAVIGATION: [(&str, &str); 5] = [
    ("/", "Today"),
    ("/shelf", "Shelf"),
    ("/bakes", "Bakes"),
    ("/plan", "Plan"),
    ("/book", "Book"),
];

/// A page of the book for a paired device.
pub fn page(visit: &Visit, title: &str, body: &Markup) -> Markup {
    framed(visit, title, title, body)
}

fn framed(visit: &Visit, title: &str, heading: &str, body: &Markup) -> Markup {
    let here = visit.address();
    let frame = html! {
        header {
            nav aria-label="The book" {
                @for (address, name) in NAVIGATION {
                    @let is_here = here == address || address != "/" && here.starts_with(address);
                    a href=(address) aria-current=[is_here.then_some("page")] { (name) }
                }
            }
            p.bench {
                "At the bench: "
                a href="/bench" { (visit.bench()) }
            }
        }
        main id="main" {
            h1 { (with_whole_codes(heading)) }
            @if let Some(told) = visit.clock_is_behind() { p.warning { b { "Warning: " } (told) } }
            (body)
        }
    };
    whole(title, &visit.shared.files, &frame, Some(visit))
}

/// A page of its own for whoever is not paired.
pub fn bare(title: &str, files: &Files, body: &Markup) -> Markup {
    let frame = html! {
        main id="main" {
            h1 { (title) }
            (body)
        }
    };
    whole(title, files, &frame, None)
}

/// The script reads from the page which book it is of, how that stood, when, and the token of the device's forms.
fn whole(title: &str, files: &Files, frame: &Markup, visit: Option<&Visit>) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-book=[visit.map(|visit| &visit.shared.name)] data-version=[visit.and_then(Visit::version)]
            data-now=[visit.map(|visit| visit.now.timestamp_millis())] data-token=[visit.map(Visit::token)] {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " · draffbook" }
                link rel="stylesheet" href=(files.style);
                link rel="icon" type="image/svg+xml" href=(files.icon);
                @if visit.is_some() { script src=(files.script) defer {} }
            }
            body { (frame) }
        }
    }
}

/// A form with what is wrong at its top.
pub fn form(visit: &Visit, title: &str, fields: &Markup, trouble: Option<&Trouble>) -> Markup {
    let Some(trouble) = trouble else {
        return form_below(visit, title, title, fields, &html! {});
    };
    let above = trouble_box(visit, trouble);
    form_below(visit, &format!("Error: {title}"), title, fields, &above)
}

/// A form that was sent, with what was understood of its numbers: sent again it is booked.
pub fn to_confirm(visit: &Visit, title: &str, fields: &Markup, unseen: &[Understood]) -> Markup {
    let above = html! {
        div.notice role="status" tabindex="-1" {
            h2 { "Is this right?" }
            ul { @for one in unseen { li { (one.typed) " is " b { (one.words) } } } }
            p { "Nothing is booked yet. If it is right, send it again." }
        }
    };
    form_below(visit, title, title, fields, &above)
}

fn form_below(
    visit: &Visit,
    title: &str,
    heading: &str,
    fields: &Markup,
    above: &Markup,
) -> Markup {
    // What is in the book stands escaped: only a field of ours writes this.
    let has_file = fields.0.contains("type=\"file\"");
    let body = html! {
        (above)
        form method="post" action=(visit.address()) enctype=[has_file.then_some("multipart/form-data")] novalidate {
            @for (name, value) in visit.hidden() { input type="hidden" name=(name) value=(value); }
            (fields)
        }
    };
    if visit.device.is_some() {
        framed(visit, title, heading, &body)
    } else {
        bare(title, &visit.shared.files, &body)
    }
}

/// A form within a page that shows something.
pub fn form_to(visit: &Visit, action: &str, fields: &Markup) -> Markup {
    html! {
        form method="post" action=(action) novalidate {
            @for (name, value) in visit.hidden() { input type="hidden" name=(name) value=(value); }
            (fields)
        }
    }
}

/// The button that books, with the name that the entry gets.
pub fn book(visit: &Visit, words: &str) -> Markup {
    html! {
        p.send { button.main type="submit" data-books { (words) " as " (visit.bench()) } }
    }
}

fn trouble_box(visit: &Visit, trouble: &Trouble) -> Markup {
    let faults = visit.typed.faults();
    html! {
        div.trouble role="alert" tabindex="-1" {
            h2 { (linked(&trouble.found)) }
            p { "Nothing was booked. All that you typed is still here." }
            @if !faults.is_empty() {
                ul {
                    @for fault in faults {
                        li { a href=(format!("#f-{}", fault.field)) { (capital(&visit.units().in_words(&fault.words))) } }
                    }
                }
            }
            (remedies(trouble))
        }
    }
}

fn remedies(trouble: &Trouble) -> Markup {
    html! {
        @if !trouble.remedies.is_empty() {
            ul {
                @for (words, address) in &trouble.remedies {
                    li {
                        @match address {
                            Some(address) => a href=(address) { (capital(words)) },
                            None => (capital(words)),
                        }
                    }
                }
            }
        }
    }
}

/// A page that answers the fields on it. What is wrong with them stands at its top, and they keep what was asked.
pub fn asked(visit: &Visit, title: &str, body: &Markup, trouble: Option<&Trouble>) -> Reply {
    let Some(trouble) = trouble else {
        return Reply::Page(page(visit, title, body));
    };
    let body = html! {
        div.trouble role="alert" tabindex="-1" {
            h2 { (linked(&trouble.found)) }
            (remedies(trouble))
        }
        (body)
    };
    let page = framed(visit, &format!("Error: {title}"), title, &body);
    Reply::PageWith(trouble.status, page)
}

/// A refusal of what was only to be shown.
pub fn refusal(visit: &Visit, trouble: &Trouble) -> Markup {
    let body = html! {
        (remedies(trouble))
        p { a.main href="/" { "Today" } }
    };
    page(visit, &trouble.found, &body)
}

/// A refusal where the book cannot be read: what was typed stays on the page and can be sent again.
pub fn without_a_book(files: &Files, trouble: &Trouble, sent: &Sent) -> Markup {
    let body = html! {
        (remedies(trouble))
        @if sent.is_post {
            p { "What you typed is kept here. Send it again: it cannot be booked twice." }
            form method="post" action=(sent.address) {
                @for (name, value) in &sent.fields {
                    input type="hidden" name=(name) value=(value);
                }
                p.send { button.main type="submit" { "Send again" } }
            }
        } @else {
            p { a.main href=(sent.address) { "Try again" } }
        }
    };
    bare(&trouble.found, files, &body)
}
