//! Frozen grain for a dough: whether it thaws in time, what to take out when, and what is told where nobody
//! wrote it down.

use crate::env::{Kitchen, has};

#[test]
fn grain_does_not_thaw_in_minutes() {
    let kitchen = Kitchen::new();
    let refused = kitchen.refused(2, "settings thaw 10min");
    has(&refused, "thaw is `10min`: allowed is 1h to 96h");
    has(&refused, "write it like");
    kitchen.ok("settings thaw 1h");
}
