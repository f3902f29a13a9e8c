//! Command-line values in domain types.

use crate::desk::ACT_ID_LENGTH;
use crate::grain::moisture_test::BETWEEN_SAMPLE_SD;
use crate::heat::cooling::{Air, Underside};
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, Uncertain, bounds, text};
use crate::rows::bounded::{LARGEST_FILE, RowFile};
use std::fmt::Display;
use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::str::FromStr;

/// Reads a quantity for clap, with the hint beside the message.
pub fn value<T>(typed: &str) -> Result<T, String>
where
    T: FromStr<Err = Problem>,
{
    typed.parse::<T>().map_err(|problem| said(&problem))
}

/// Reads `COR-261120-15=702g`.
pub fn used(typed: &str) -> Result<(String, Milligrams), String> {
    let (lot, mass) = typed
        .split_once('=')
        .ok_or_else(|| format!("`{typed}` is not understood: write it like ALD-261120-1T=702g"))?;
    Ok((lot.trim().to_owned(), value(mass)?))
}

/// Reads `626g,438g`: what a sheet said to pour first and to hold back.
pub fn pour_and_hold(typed: &str) -> Result<(Milligrams, Milligrams), String> {
    let (pour, hold) = typed
        .split_once(',')
        .ok_or_else(|| format!("`{typed}` is not understood: write it like 626g,438g"))?;
    Ok((mass_or_nothing(pour)?, mass_or_nothing(hold)?))
}

/// Reads a mass that may be nothing for clap.
pub fn mass_or_nothing(typed: &str) -> Result<Milligrams, String> {
    Milligrams::or_nothing(typed).map_err(|problem| said(&problem))
}

/// Reads a mass that a count may have found for clap. That it found nothing has an option of its own: a figure of 0 is
/// mostly half typed.
pub fn mass_found(typed: &str) -> Result<Milligrams, String> {
    let hint = "if a count found nothing, type --nothing in place of --wet";
    match Milligrams::or_nothing(typed) {
        Ok(Milligrams::ZERO) => {
            let nothing = Problem::new(format!("mass `{typed}` is not more than nothing"));
            Err(said(&nothing.hint(hint)))
        }
        Ok(found) => Ok(found),
        Err(problem) => Err(said(&problem)),
    }
}

/// Reads a name or a note for clap.
pub fn name(typed: &str) -> Result<String, String> {
    text::typed(typed, "name", text::LONGEST_NAME).map_err(|problem| said(&problem))
}

/// Reads a reason or a note for clap.
pub fn words(typed: &str) -> Result<String, String> {
    text::typed(typed, "text", text::LONGEST_NOTE).map_err(|problem| said(&problem))
}

/// Reads a note that takes another one's place for clap: an empty one takes it away.
pub fn words_or_nothing(typed: &str) -> Result<String, String> {
    if typed.is_empty() {
        return Ok(String::new());
    }
    words(typed)
}

/// Reads the id of an act for clap.
pub fn act_id(typed: &str) -> Result<String, String> {
    let is_plain = typed
        .bytes()
        .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_');
    if is_plain && ACT_ID_LENGTH.contains(&typed.len()) {
        return Ok(typed.to_owned());
    }
    Err(format!(
        "an id has {} to {} letters, digits, - or _",
        ACT_ID_LENGTH.start(),
        ACT_ID_LENGTH.end()
    ))
}

/// A moisture typed in place of a lot, and the words for where it comes from.
///
/// Both are in percent, wet basis. Without a standard deviation it has that of one tested sample.
pub fn moisture(
    moisture: Percent,
    standard: Option<Percent>,
) -> Result<(Uncertain, &'static str), Problem> {
    let moisture = moisture.within(&bounds::MOISTURE)?;
    let (standard, from) = match standard {
        Some(standard) => (standard.within(&bounds::MOISTURE_SD)?, "given"),
        None => (
            BETWEEN_SAMPLE_SD,
            "given, with the spread of one tested sample",
        ),
    };
    Ok((Uncertain::known(moisture, standard), from))
}

/// A refusal as clap shows it, its hints below it.
pub fn said(problem: &Problem) -> String {
    let mut said = problem.to_string();
    for hint in problem.hints() {
        said.push_str("\n  ");
        said.push_str(hint);
    }
    said
}

/// What grain stands on, for clap.
pub fn underside(typed: &str) -> Result<Underside, String> {
    let all = [Underside::Shelf, Underside::Rack];
    text::one_of(typed, "what it stands on", &all, Underside::as_str)
        .map_err(|problem| said(&problem))
}

/// The air around it, for clap.
pub fn air(typed: &str) -> Result<Air, String> {
    text::one_of(typed, "air", &[Air::Still, Air::Moving], Air::as_str)
        .map_err(|problem| said(&problem))
}

/// The largest formula, rule set, description, certificate or key that is read, in bytes: far more than one takes.
const LARGEST_TEXT: u64 = 1 << 20;

/// A file of rows, read as far as it may be large.
pub fn row_file(path: &Path) -> Result<RowFile, Problem> {
    Ok(RowFile {
        name: path.display().to_string(),
        bytes: read(path, LARGEST_FILE)?,
    })
}

/// The text of a formula, a rule set or a description.
pub fn text_file(path: &Path) -> Result<String, Problem> {
    let bytes = small_file(path)?;
    String::from_utf8(bytes).map_err(|_| unreadable(path, &"it is no UTF-8 text"))
}

/// The bytes of such a file, or of a certificate or key.
pub fn small_file(path: &Path) -> Result<Vec<u8>, Problem> {
    let bytes = read(path, LARGEST_TEXT)?;
    if bytes.len() as u64 > LARGEST_TEXT {
        return Err(Problem::new(format!(
            "the file `{}` holds more than {} MiB: that is the most",
            path.display(),
            LARGEST_TEXT >> 20
        ))
        .hint("check that it is the right file"));
    }
    Ok(bytes)
}

/// The bytes of a file, and of one that holds more than may be one more.
fn read(path: &Path, most: u64) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most + 1).read_to_end(&mut bytes))
        .map_err(|error| unreadable(path, &error))?;
    Ok(bytes)
}

fn unreadable(path: &Path, why: &dyn Display) -> Problem {
    Problem::new(format!(
        "the file `{}` cannot be read: {why}",
        path.display()
    ))
}
