//! What is told beside an answer stands below it, where stdout and stderr are one terminal too: the end of what was printed
//! is what the baker sees.

use crate::env::{Kitchen, on_a_terminal};

#[track_caller]
fn shown(kitchen: &Kitchen, words: &str) -> String {
    let mut command = kitchen.command();
    command.args(shlex::split(words).unwrap());
    on_a_terminal(command)
}

#[track_caller]
fn stands_below(shown: &str, answer: &str, told: &str) {
    let of = |part: &str| {
        shown
            .find(part)
            .unwrap_or_else(|| panic!("no `{part}` in:\n{shown}"))
    };
    assert!(of(answer) < of(told), "{shown}");
}

#[test]
fn notices_stand_below_the_answer() {
    let kitchen = Kitchen::new();
    let lot = kitchen.lot("6kg");
    let used = shown(&kitchen, &format!("use {lot} 1kg --for buns"));
    stands_below(&used, "! Food law comes first", "used 1 kg for buns");
    let warm = shown(&kitchen, "place add cellar --kind fridge --temp 9C");
    stands_below(&warm, "PLACE ", "warning: ");
}

#[test]
fn what_is_told_before_an_answer_stands_above_it() {
    let kitchen = Kitchen::bare();
    let booked = shown(&kitchen, "pickup --source A --brewed today --wet 4kg");
    stands_below(&booked, "made a new book", "Lot  ");
}
