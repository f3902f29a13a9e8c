//! What to do where a lot is past only when a bake to come is mixed.

use crate::desk::BakeToCome;
use crate::quantity::{Instant, Zone};
use crate::render::times;
use chrono::Duration;

/// An earlier time or another lot; today, where the weekday that was typed is that of today: `take an earlier time or another
/// lot: this one is good now, until Thu 26 Nov, end of day. If you meant today, type "today 16:00"`.
pub fn words(bake: &BakeToCome, good_until: Option<Instant>, zone: &Zone) -> String {
    let until = good_until.map_or(String::new(), |until| {
        format!(", until {}", times::moment(until, bake.now, zone))
    });
    let earlier = format!(
        "take an earlier time or another lot: this one is {} now{until}",
        bake.is_now
    );
    let local = zone.local(bake.at);
    if local.date() == zone.date(bake.now) + Duration::days(7) {
        return format!(
            "{earlier}. If you meant today, type \"today {}\"",
            local.format("%H:%M")
        );
    }
    earlier
}
