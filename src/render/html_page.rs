//! What every page that is written has around it.

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// A whole page that stands by itself.
pub fn whole(title: &str, style: &str, body: Markup) -> String {
    framed(title, style, None, body)
}

/// The same for a screen, which loads it again after so many seconds.
pub fn whole_again(title: &str, style: &str, seconds: u32, body: Markup) -> String {
    framed(title, style, Some(seconds), body)
}

fn framed(title: &str, style: &str, again: Option<u32>, body: Markup) -> String {
    const END: &str = "</body></html>";
    let frame = html! {
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
            body {}
        }
    }
    .into_string();
    // A body may be long: the frame is put around it, so that it is held once.
    let mut page = body.into_string();
    page.insert_str(0, frame.strip_suffix(END).unwrap_or(&frame));
    page.push_str(END);
    page
}
