//! Invitations for phones: a link and a code, each for one device, for ten minutes.

use super::secrets;
use crate::quantity::Instant;
use chrono::Duration;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// How long an invitation lasts (ASVS 5.0, 6.5.5: at most 10 minutes).
const LASTS: Duration = Duration::minutes(10);
/// Wrong codes before no code is taken any more for as long as an invitation lasts. Our choice.
const TRIES: u32 = 5;

/// An invitation, shown once.
#[derive(Debug, Clone)]
pub struct Invitation {
    /// 128 random bits for a link.
    pub key: String,
    /// 40 random bits to type.
    pub code: String,
    /// When it ends.
    pub until: Instant,
}

struct Open {
    key: [u8; 32],
    code: [u8; 32],
    until: Instant,
    writes: bool,
    by: Option<String>,
}

/// What an invitation lets in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Admitted {
    /// Whether the device may write.
    pub writes: bool,
    /// Who invited it; nobody where it was done at the machine.
    pub by: Option<String>,
}

/// Why nobody is let in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unknown {
    /// The link or code is wrong, spent or too old.
    Wrong,
    /// Too many wrong codes were tried.
    TooMany,
}

#[derive(Default)]
struct State {
    open: Vec<Open>,
    wrong: u32,
    wrong_since: Option<Instant>,
}

/// All invitations that are open. They end with the server.
#[derive(Default)]
pub struct Pairing(Mutex<State>);

impl Pairing {
    fn state(&self) -> MutexGuard<'_, State> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Invites one device.
    pub fn invite(
        &self,
        now: Instant,
        writes: bool,
        by: Option<String>,
    ) -> anyhow::Result<Invitation> {
        let invitation = Invitation {
            key: secrets::new()?,
            code: secrets::new_code()?,
            until: now + LASTS,
        };
        let mut state = self.state();
        state.open.retain(|open| open.until > now);
        state.open.push(Open {
            key: secrets::digest(&invitation.key),
            code: secrets::digest(&invitation.code),
            until: invitation.until,
            writes,
            by,
        });
        Ok(invitation)
    }

    /// Spends an invitation: by the key of its link, or by its code as somebody typed it.
    pub fn spend(&self, typed: &str, now: Instant) -> Result<Admitted, Unknown> {
        let mut state = self.state();
        let is_old = |since: Instant| since + LASTS <= now;
        if state.wrong_since.is_some_and(is_old) {
            (state.wrong, state.wrong_since) = (0, None);
        }
        let plain: String = typed.chars().filter(char::is_ascii_alphanumeric).collect();
        let by_key = secrets::digest(&plain.to_ascii_lowercase());
        let by_code = secrets::digest(&plain.to_ascii_uppercase());
        let found = state
            .open
            .iter()
            .position(|open| open.until > now && (open.key == by_key || open.code == by_code));
        let is_key = |place: usize| state.open[place].key == by_key;
        // Who tries codes is stopped; a link cannot be guessed.
        if state.wrong >= TRIES && !found.is_some_and(is_key) {
            return Err(Unknown::TooMany);
        }
        match found {
            Some(place) => {
                let open = state.open.remove(place);
                Ok(Admitted {
                    writes: open.writes,
                    by: open.by,
                })
            }
            None => {
                state.wrong += 1;
                state.wrong_since.get_or_insert(now);
                Err(Unknown::Wrong)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(minute: i64) -> Instant {
        "2026-11-20T10:00:00Z".parse::<Instant>().unwrap() + Duration::minutes(minute)
    }

    #[test]
    fn an_invitation_is_spent_once_and_ends() {
        let pairing = Pairing::default();
        let one = pairing.invite(at(0), true, None).unwrap();
        let admitted = pairing.spend(&one.key, at(9)).unwrap();
        assert_eq!(
            admitted,
            Admitted {
                writes: true,
                by: None
            }
        );
        assert_eq!(pairing.spend(&one.key, at(9)), Err(Unknown::Wrong));
        assert_eq!(pairing.spend(&one.code, at(9)), Err(Unknown::Wrong));
        let late = pairing
            .invite(at(0), false, Some("Ada".to_owned()))
            .unwrap();
        assert_eq!(pairing.spend(&late.key, at(10)), Err(Unknown::Wrong));
    }

    #[test]
    fn a_code_is_read_as_it_is_typed() {
        let pairing = Pairing::default();
        let one = pairing.invite(at(0), true, None).unwrap();
        let typed = format!(" {}-{} ", &one.code[..4].to_lowercase(), &one.code[4..]);
        assert!(pairing.spend(&typed, at(1)).is_ok());
    }

    #[test]
    fn guessing_is_stopped_and_a_link_still_works() {
        let pairing = Pairing::default();
        let one = pairing.invite(at(0), true, None).unwrap();
        for _ in 0..TRIES {
            assert_eq!(pairing.spend("AAAAAAAA", at(1)), Err(Unknown::Wrong));
        }
        assert_eq!(pairing.spend(&one.code, at(2)), Err(Unknown::TooMany));
        assert!(pairing.spend(&one.key, at(2)).is_ok());
        let other = pairing.invite(at(12), true, None).unwrap();
        assert!(pairing.spend(&other.code, at(12)).is_ok());
    }
}
