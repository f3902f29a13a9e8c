//! Random secrets, and what is kept of them.

use rand::TryRng;
use rand::rngs::SysRng;
use sha2::{Digest, Sha256};

/// 128 random bits as 32 hexadecimal digits.
pub fn new() -> anyhow::Result<String> {
    let mut bytes = [0; 16];
    SysRng.try_fill_bytes(&mut bytes)?;
    Ok(hexadecimal(&bytes))
}

/// 40 random bits as eight characters that are read and typed without doubt.
pub fn new_code() -> anyhow::Result<String> {
    const LETTERS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
    let mut bytes = [0; 8];
    SysRng.try_fill_bytes(&mut bytes)?;
    Ok(bytes
        .iter()
        .map(|byte| char::from(LETTERS[usize::from(byte % 32)]))
        .collect())
}

/// What is kept of a secret.
pub fn digest(secret: &str) -> [u8; 32] {
    Sha256::digest(secret.as_bytes()).into()
}

/// The token of a device's forms: who does not know the secret of its cookie cannot write it.
pub fn token(secret: &str) -> String {
    let digest = Sha256::digest(format!("form of {secret}").as_bytes());
    hexadecimal(&digest[..16])
}

/// The token of a device's calendar, of what the book keeps of its secret: it opens nothing else, and ends with it.
pub fn calendar(kept: &[u8; 32]) -> String {
    let digest = Sha256::digest(format!("calendar of {}", hexadecimal(kept)).as_bytes());
    hexadecimal(&digest[..16])
}

/// Whether two texts are one, in a time that does not tell where they differ.
pub fn same(one: &str, other: &str) -> bool {
    let differs = |(one, other): (u8, u8)| one ^ other;
    one.len() == other.len()
        && one
            .bytes()
            .zip(other.bytes())
            .map(differs)
            .fold(0, |all, one| all | one)
            == 0
}

/// Bytes as hexadecimal digits.
pub fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn secrets_differ_and_their_tokens_too() {
        let (one, other) = (new().unwrap(), new().unwrap());
        assert_eq!(one.len(), 32);
        assert_ne!(one, other);
        assert_ne!(token(&one), token(&other));
        assert_eq!(new_code().unwrap().len(), 8);
        assert!(same(&one, &one) && !same(&one, &other) && !same(&one, ""));
    }
}
