//! What every page that is written has around it.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// A whole page that stands by itself.
pub fn whole(title: &str, style: &str, body: &Markup) -> String {
    framed(title, style, None, body)
}

/// The same for a screen, which loads it again after so many seconds.
pub fn whole_again(title: &str, style: &str, seconds: u32, body: &Markup) -> String {
    framed(title, style, Some(seconds), body)
}

fn framed(title: &str, style: &str, again: Option<u32>, body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                // Nothing is loaded and nothing runs, whatever a name in the book says.
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                @if let Some(seconds) = again { meta http-equiv="refresh" content=(seconds); }
                title { (title) }
                style { (PreEscaped(style)) }
            }
            body { (body) }
        }
    }
    .into_string()
}
