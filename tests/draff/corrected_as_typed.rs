//! A correction takes the options of the command that wrote the entry, and what it cannot correct it prints in the words of
//! that command.

use crate::env::{Kitchen, SLIP, has, one_line};

#[test]
fn a_part_that_was_moved_is_moved_again_and_one_of_several_portions_is_portioned_again() {
    for (typed, again) in [
        ("move LOT --wet 1kg --to freezer", "then draff move "),
        (
            "portion LOT --into 2x1kg --to freezer",
            "then draff portion ",
        ),
    ] {
        let (kitchen, corrow, alder) = Kitchen::with_two_tubs();
        kitchen.ok(&typed.replace("LOT", &corrow));
        let part = kitchen.last_entry("part");
        let said = kitchen.refused(1, &format!("correct {part} --lot {alder} {SLIP}"));
        has(&said, &format!("{again}{corrow}"));
    }
    let help = one_line(&Kitchen::bare().ok("help correct"));
    has(&help, "a part that was moved (move --wet)");
}

#[test]
fn who_got_a_gift_is_corrected_with_the_option_of_give() {
    let (kitchen, corrow, _) = Kitchen::with_two_tubs();
    kitchen.ok(&format!("give {corrow} --wet 1kg --to \"corner cafe\""));
    let gift = kitchen.last_entry("give");
    kitchen.ok(&format!("correct {gift} --to \"Corner Café\" {SLIP}"));
    has(
        &one_line(&kitchen.ok(&format!("trace {corrow}"))),
        "Corner Café",
    );
    // An entry that went to nobody has no receiver.
    kitchen.ok(&format!("use {corrow} --wet 1kg --for loaves"));
    let used = kitchen.last_entry("use");
    let said = kitchen.refused(1, &format!("correct {used} --to \"Corner Café\" {SLIP}"));
    has(&said, "--to: entry");
}
