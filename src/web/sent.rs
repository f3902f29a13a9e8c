//! What a browser sends, as far as it can be told without the book.

use super::Shared;
use crate::desk::{ACT_ID_LENGTH, Once};
use crate::quantity::Instant;
use chrono::Duration;
use sha2::{Digest, Sha256};

/// Hidden fields of every form.
pub const TOKEN: &str = "form_token";
/// The id of the act.
pub const ACT_ID: &str = "act_id";

/// What was sent.
#[derive(Default, Clone)]
pub struct Sent {
    /// The host that the browser names.
    pub host: String,
    /// Its cookies, each with name and value.
    pub cookies: Vec<String>,
    /// Whether a form was sent.
    pub is_post: bool,
    /// The variable parts of the address.
    pub path: Vec<(String, String)>,
    /// The address with its query.
    pub address: String,
    /// The query.
    pub query: Vec<(String, String)>,
    /// The fields of the form.
    pub fields: Vec<(String, String)>,
    /// A file that was sent with it.
    pub file: Option<(String, Vec<u8>)>,
    /// When it was typed, where the page's script sends it.
    pub keyed: Option<Keyed>,
}

/// Clocks of a device, in milliseconds since 1970.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Keyed {
    typed: i64,
    sent: i64,
    ahead: i64,
}

/// A device's clock may go wrong by so much between typing and sending.
const TURNED: Duration = Duration::minutes(2);

impl Keyed {
    /// Of a header: the clock when it was typed, the clock when it is sent, and by how much the clock was ahead of ours
    /// when it was typed.
    pub fn parse(header: &str) -> Option<Self> {
        let mut numbers = header.split(' ').map(str::parse);
        let mut next = || numbers.next()?.ok();
        let found = Self {
            typed: next()?,
            sent: next()?,
            ahead: next()?,
        };
        numbers.next().is_none().then_some(found)
    }

    /// When it was typed by our clock; nothing where the device's clock was turned since. That a clock is wrong does
    /// not matter, as long as it stays as wrong as it was.
    pub fn moment(self, now: Instant) -> Option<Instant> {
        let ahead = self.sent.checked_sub(now.timestamp_millis())?;
        let turned = ahead.checked_sub(self.ahead)?.checked_abs()?;
        let age = self.sent.checked_sub(self.typed)?.max(0);
        let typed = now.checked_sub_signed(Duration::try_milliseconds(age)?)?;
        (Duration::milliseconds(turned) <= TURNED).then_some(typed)
    }
}

impl Sent {
    /// A field; nothing where it is not there.
    pub fn field(&self, name: &str) -> Option<&str> {
        let found = self.fields.iter().find(|(known, _)| known == name);
        found.map(|(_, value)| value.as_str())
    }

    /// A value of the query; empty where it is not there.
    pub fn asked(&self, name: &str) -> &str {
        let found = self.query.iter().find(|(known, _)| known == name);
        found.map_or("", |(_, value)| value)
    }

    /// The id of the act, with the digest of where it goes and all that was typed.
    pub fn once(&self) -> Option<Once> {
        let act_id = self.field(ACT_ID)?;
        let is_plain = act_id.bytes().all(|byte| byte.is_ascii_alphanumeric());
        if !self.is_post || !is_plain || !ACT_ID_LENGTH.contains(&act_id.len()) {
            return None;
        }
        let mut digest = Sha256::new();
        let mut add = |text: &[u8]| {
            digest.update((text.len() as u64).to_be_bytes());
            digest.update(text);
        };
        add(self.address.as_bytes());
        for (name, value) in self.typed() {
            add(name.as_bytes());
            add(value.as_bytes());
        }
        if let Some((name, bytes)) = &self.file {
            add(name.as_bytes());
            add(bytes);
        }
        Some(Once {
            act_id: act_id.to_owned(),
            request: digest.finalize().into(),
        })
    }

    /// All fields that somebody filled in.
    fn typed(&self) -> impl Iterator<Item = (&str, &str)> {
        self.fields
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
            .filter(|(name, _)| *name != TOKEN && *name != ACT_ID)
    }
}

/// The secret in the cookie of this book.
pub fn own_cookie(shared: &Shared, sent: &Sent) -> Option<String> {
    let name = shared.cookie();
    sent.cookies.iter().find_map(|cookie| {
        let (known, value) = cookie.split_once('=')?;
        (known == name && value.len() == 32).then(|| value.to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wrong_clock_does_not_matter_and_a_turned_one_is_noticed() {
        let now: Instant = "2026-11-20T10:00:00Z".parse().unwrap();
        let ms = now.timestamp_millis();
        let hour = 3_600_000;
        for (typed, sent, ahead, minutes) in [
            (ms - 600_000, ms, 0, Some(10)),
            // An hour ahead all the time.
            (ms + hour - 600_000, ms + hour, hour, Some(10)),
            (ms - hour - 600_000, ms - hour, -hour, Some(10)),
            // Put right in between.
            (ms + hour - 600_000, ms, hour, None),
            (ms, ms + hour, 0, None),
            // Typed after it was sent, by a little.
            (ms + 5_000, ms, 0, Some(0)),
            (i64::MIN, i64::MAX, 0, None),
        ] {
            let keyed = Keyed::parse(&format!("{typed} {sent} {ahead}")).unwrap();
            let wanted = minutes.map(|minutes| now - Duration::minutes(minutes));
            assert_eq!(keyed.moment(now), wanted, "{keyed:?}");
        }
        for text in ["", "1 2", "1 2 3 4", "a b c", "1  2 3"] {
            assert_eq!(Keyed::parse(text), None, "{text}");
        }
    }
}
