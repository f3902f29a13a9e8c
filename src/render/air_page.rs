//! What the air of a place was as one page to print: the picture and what each time did to the lots.

use super::air::Shown;
use super::air_chart;
use super::html_page;
use crate::quantity::text::visible;
use crate::report::air::{AirAnswer, Touched};
use maud::{Markup, PreEscaped, html};

const STYLE: &str = "@page { margin: 12mm; size: landscape; }\
body { font-family: sans-serif; font-size: 10.5pt; line-height: 1.3; color: #000; background: #fff; max-width: 270mm; margin: 0 auto; }\
svg { width: 100%; height: auto; }\
h2 { font-size: 1.15em; margin: 0.8em 0 0.2em; border-bottom: 0.6pt solid #000; }\
ol { margin: 0; padding-left: 2.2em; } li { break-inside: avoid; }\
li ul { list-style: none; padding-left: 1em; margin: 0; overflow-wrap: anywhere; }\
.changed { font-weight: bold; }\
footer { margin-top: 0.8em; font-size: 0.8em; border-top: 0.6pt solid #000; padding-top: 0.2em; }\
.cautions { list-style: none; margin: 0; padding: 0; } .cautions li::before { content: \"! \"; font-weight: bold; }";

/// The whole page.
pub fn page(answer: &AirAnswer, shown: Shown<'_>) -> String {
    let body = html! {
        // Its texts are escaped where it is drawn.
        (PreEscaped(air_chart::svg(answer, shown)))
        (section("Out of limit", answer.excursions.iter().map(|(found, lots)| (shown.excursion(found), lots.as_slice())), shown))
        (section("Without a reading", answer.gaps.iter().map(|((from, to), lots)| (shown.time(*from, Some(*to)), lots.as_slice())), shown))
        footer {
            @if let Some(note) = shown.note(answer) { p { (note) } }
            ul.cautions {
                @for caution in answer.cautions() { li { (caution.text()) } }
            }
        }
    };
    let title = format!("Air of {}", answer.place.name);
    visible(&html_page::whole(&title, STYLE, body))
}

/// Every time with the lots that it touched.
fn section<'a>(
    heading: &str,
    times: impl Iterator<Item = (String, &'a [Touched])>,
    shown: Shown<'_>,
) -> Markup {
    let times: Vec<(String, &[Touched])> = times.collect();
    let mut told = Vec::new();
    html! {
        @if !times.is_empty() {
            h2 { (heading) }
            ol {
                @for (time, lots) in &times {
                    li {
                        (time)
                        ul {
                            @for (is_changed, line) in shown.effects(lots, &mut told) {
                                li.changed[is_changed] { (line) }
                            }
                        }
                    }
                }
            }
        }
    }
}
