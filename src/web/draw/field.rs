//! Fields of forms: the label above and always there, the unit beside the number, what is wrong below.

use crate::web::visit::Visit;
use maud::{Markup, html};

/// One choice of several: its value, its words, whether it is filled in.
pub struct Choice {
    /// The value that is sent.
    pub value: String,
    /// What is shown.
    pub words: String,
}

impl Choice {
    /// A choice whose value is shown.
    pub fn plain(value: impl Into<String>) -> Self {
        let value = value.into();
        Self {
            words: value.clone(),
            value,
        }
    }

    /// A choice with words of its own.
    pub fn new(value: impl Into<String>, words: impl Into<String>) -> Self {
        Self {
            value: value.into(),
            words: words.into(),
        }
    }
}

fn around(visit: &Visit, name: &str, label: &str, inside: &Markup) -> Markup {
    let fault = visit.typed.fault_of(name);
    html! {
        div.field.wrong[fault.is_some()] {
            label for=(format!("f-{name}")) { (label) }
            @if let Some(fault) = fault { p.fault id=(format!("e-{name}")) { "Error: " (visit.units().in_words(fault)) } }
            (inside)
        }
    }
}

fn described(visit: &Visit, name: &str) -> Option<String> {
    visit.typed.fault_of(name).map(|_| format!("e-{name}"))
}

/// One line of text.
pub fn text(visit: &Visit, name: &str, label: &str, filled_in: &str) -> Markup {
    let inside = html! {
        input type="text" id=(format!("f-{name}")) name=(name) autocomplete="off"
            aria-describedby=[described(visit, name)]
            value=(visit.typed.shown(name, filled_in));
    };
    around(visit, name, label, &inside)
}

/// Several lines of text.
pub fn area(visit: &Visit, name: &str, label: &str, filled_in: &str) -> Markup {
    let inside = html! {
        textarea id=(format!("f-{name}")) name=(name) rows="8" autocomplete="off"
            aria-describedby=[described(visit, name)] {
            (visit.typed.shown(name, filled_in))
        }
    };
    around(visit, name, label, &inside)
}

/// A file.
pub fn file(visit: &Visit, name: &str, label: &str) -> Markup {
    let inside = html! {
        input type="file" id=(format!("f-{name}")) name=(name) aria-describedby=[described(visit, name)];
    };
    around(visit, name, label, &inside)
}

fn number(visit: &Visit, name: &str, filled_in: &str) -> Markup {
    html! {
        input type="text" inputmode="decimal" id=(format!("f-{name}")) name=(name) autocomplete="off"
            aria-describedby=[described(visit, name)]
            value=(visit.typed.shown(name, filled_in));
    }
}

/// Units to choose from, each shown with this sign before it.
fn units(visit: &Visit, name: &str, sign: &str, units: &[&str], usual: &str) -> Markup {
    let field = format!("{name}_unit");
    let shown = visit.typed.shown(&field, usual);
    html! {
        select name=(field) aria-label="Unit" {
            @for unit in units { option value=(unit) selected[*unit == shown] { (sign) (unit) } }
        }
    }
}

/// A mass: the number, and a unit that can be switched.
pub fn mass(visit: &Visit, name: &str, label: &str, filled_in: &str, usual: &str) -> Markup {
    let inside = html! {
        div.measure data-usual=(visit.units().mass_unit()) {
            (number(visit, name, filled_in))
            (units(visit, name, "", &["g", "kg", "oz", "lb"], usual))
        }
    };
    around(visit, name, label, &inside)
}

/// A temperature: the number, its scale, and a key for below zero, which keypads of phones may lack.
pub fn temperature(visit: &Visit, name: &str, label: &str) -> Markup {
    let below = format!("{name}_below");
    let inside = html! {
        div.measure data-usual=(visit.units().scale_letter()) {
            (number(visit, name, ""))
            (units(visit, name, "°", &["C", "F"], visit.units().scale_letter()))
            label.below {
                input type="checkbox" name=(below) value="1" checked[visit.typed.is_ticked(&below, false)];
                "below zero"
            }
        }
    };
    around(visit, name, label, &inside)
}

/// A number with a unit that does not change.
pub fn count(visit: &Visit, name: &str, label: &str, filled_in: &str, unit: &str) -> Markup {
    let inside = html! {
        div.measure {
            (number(visit, name, filled_in))
            span.unit { (unit) }
        }
    };
    around(visit, name, label, &inside)
}

/// A day and a time of the clock.
pub fn day_time(visit: &Visit, name: &str, label: &str, (day, time): (&str, &str)) -> Markup {
    let (day_name, time_name) = (format!("{name}_day"), format!("{name}_time"));
    let inside = html! {
        div.measure {
            input type="date" id=(format!("f-{name}")) name=(day_name) aria-label=(format!("{label}: day"))
                value=(visit.typed.shown(&day_name, day));
            input type="time" name=(time_name) aria-label=(format!("{label}: time"))
                value=(visit.typed.shown(&time_name, time));
        }
    };
    around(visit, name, label, &inside)
}

/// A list to choose from.
pub fn choices(
    visit: &Visit,
    name: &str,
    label: &str,
    choices: &[Choice],
    filled_in: &str,
) -> Markup {
    let shown = visit.typed.shown(name, filled_in);
    let inside = html! {
        select id=(format!("f-{name}")) name=(name) aria-describedby=[described(visit, name)] {
            @for choice in choices {
                option value=(choice.value) selected[choice.value == shown] { (choice.words) }
            }
        }
    };
    around(visit, name, label, &inside)
}

/// A box to tick.
pub fn tick(visit: &Visit, name: &str, label: &str, filled_in: bool) -> Markup {
    html! {
        div.field {
            @if let Some(fault) = visit.typed.fault_of(name) { p.fault { "Error: " (visit.units().in_words(fault)) } }
            label.tick {
                input type="checkbox" id=(format!("f-{name}")) name=(name) value="1"
                    checked[visit.typed.is_ticked(name, filled_in)];
                (label)
            }
        }
    }
}
