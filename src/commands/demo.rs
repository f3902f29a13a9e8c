//! `demo`: builds the demo book from `demo-data/` and runs the main job, printing each command it runs.

use super::Outcome;
use crate::context::{Errand, Surroundings};
use crate::error::{DONE, REFUSED, usage};
use crate::ledger::files;
use crate::quantity::Problem;
use crate::quantity::text::shell_word;
use crate::render::words;
use anyhow::{Context, ensure};
use include_dir::{Dir, include_dir};
use std::cell::RefCell;
use std::ffi::OsString;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

static DATA: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo-data");

/// Build the demo book and run the main job on it
#[derive(clap::Args)]
#[command(after_help = "Example: draff demo --folder demo")]
pub struct Arguments {
    /// The new folder to build it in; one that is there must be empty
    #[arg(long, value_name = "FOLDER", default_value = "draffbook-demo")]
    folder: PathBuf,
}

/// What a demo puts into the folder before it plays.
const COPIED: [&str; 5] = [
    "pickups.csv",
    "formulas/pan-loaf.toml",
    "formulas/hearth-loaf.toml",
    "formulas/seeded-roll.toml",
    "formulas/flatbread.toml",
];

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    if errand.options.book.is_some() {
        return Err(usage(
            Problem::new("--book: the demo makes a book of its own")
                .hint("name the folder to make it in: draff demo --folder FOLDER"),
        ));
    }
    let mut player = Player::new(&arguments.folder, errand.surroundings)?;
    // It is played to its end even if nobody can see it, so that what it leaves is whole.
    let mut shown =
        errand.print("Three weeks at an invented bakery, written into a book of its own.\n");
    for line in lines("history.txt")? {
        if line.starts_with('#') {
            continue;
        }
        player.play(&line)?;
    }
    for line in lines("walk.txt")? {
        let mut scene = String::from("\n");
        if let Some(prose) = line.strip_prefix("# ") {
            words::wrapped(&mut scene, "", "", prose);
        } else if let Some(now) = line.strip_prefix("now ") {
            words::wrapped(&mut scene, "", "", &format!("The clock shows {now}."));
            player.play(&line)?;
        } else {
            let printed = player.play(&line)?;
            let typed = line.trim_start_matches(REFUSED_SIGN);
            scene.push_str(&format!("$ draff {typed}\n{printed}"));
        }
        shown = shown.and_then(|()| errand.print(&scene));
    }
    errand.note_done(format!("the demo lies in `{}`", player.folder.display()));
    shown?;
    errand.print(&format!(
        "\nThe book is  {}\nThe CSV is   {}\n\nGo on playing (built it yourself? Type target/release/draff instead of draff):\n\n  export DRAFF_BOOK={}\n  export DRAFF_NOW={}\n  draff shelf\n\nOr on a phone at the bench:\n\n  draff serve --lan\n",
        player.book.display(),
        player.folder.join("usage.csv").display(),
        shell_word(&player.book.to_string_lossy()),
        shell_word(player.surroundings.now.as_deref().unwrap_or("")),
    ))?;
    Ok(Outcome::Done)
}

/// Begins a line that is meant to be refused.
const REFUSED_SIGN: &str = "! ";
/// Stands where a command goes on in the next line.
const GOES_ON: &str = "\\\n";

/// Takes stdout and stderr of one command in the order in which they are printed, as a terminal does.
struct Printed<'a>(&'a RefCell<Vec<u8>>);

impl Write for Printed<'_> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.borrow_mut().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// Plays the lines of a demo file as if they had been typed in the demo's folder.
struct Player {
    folder: PathBuf,
    book: PathBuf,
    surroundings: Surroundings,
}

impl Player {
    /// Makes the folder. Whatever exists is left alone: a folder that holds anything is refused.
    fn new(folder: &Path, surroundings: &Surroundings) -> anyhow::Result<Self> {
        let refuse = |error: std::io::Error| {
            Problem::new(format!(
                "the folder `{}` cannot be used: {error}",
                folder.display()
            ))
            .hint("name another with --folder")
        };
        if !files::is_free_for_folder(folder) {
            let other = files::unused(folder, "-2");
            return Err(Problem::new(format!(
                "there is something at `{}` already",
                folder.display()
            ))
            .hint(format!(
                "it was not touched; name a new folder: draff demo --folder {}",
                shell_word(&other.to_string_lossy())
            ))
            .into());
        }
        files::refuse_folder_beside_book(folder)?;
        std::fs::create_dir_all(folder.join("formulas")).map_err(refuse)?;
        for file in COPIED {
            let text = text_of(file)?;
            File::create_new(folder.join(file))
                .and_then(|mut made| made.write_all(text.as_bytes()))
                .map_err(refuse)?;
        }
        let folder = folder.canonicalize().map_err(refuse)?;
        Ok(Self {
            book: folder.join("book.draff"),
            folder,
            surroundings: surroundings.clone(),
        })
    }

    /// Plays one line and gives back what it printed: `now WHEN` sets the clock, `! …` is meant to be refused, all
    /// else must succeed.
    fn play(&mut self, line: &str) -> anyhow::Result<String> {
        if let Some(now) = line.strip_prefix("now ") {
            self.surroundings.now = Some(now.to_owned());
            return Ok(String::new());
        }
        let (line, expected) = match line.strip_prefix(REFUSED_SIGN) {
            Some(line) => (line, REFUSED),
            None => (line, DONE),
        };
        let words = shlex::split(&line.replace(GOES_ON, " "))
            .with_context(|| format!("demo line is not understood: {line}"))?;
        let mut typed: Vec<OsString> =
            vec!["draff".into(), "--book".into(), self.book.clone().into()];
        let mut file_comes = false;
        for word in words {
            let is_option = word == "--csv";
            typed.push(if file_comes || word.ends_with(".toml") {
                self.folder.join(&word).into()
            } else {
                word.into()
            });
            file_comes = is_option;
        }
        let printed = RefCell::new(Vec::new());
        let code = super::run(
            typed,
            &self.surroundings,
            &mut Printed(&printed),
            &mut Printed(&printed),
        );
        let printed = String::from_utf8_lossy(&printed.into_inner()).into_owned();
        ensure!(
            code == expected,
            "demo line ended with {code}: {line}\n{printed}"
        );
        Ok(printed)
    }
}

/// The lines of a demo file, blank ones left out. One that ends in a backslash goes on in the next, as in
/// a shell.
fn lines(name: &str) -> anyhow::Result<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    let mut is_parted = true;
    for line in text_of(name)?.lines().map(str::trim_end) {
        match lines.last_mut() {
            Some(begun) if begun.ends_with('\\') => {
                begun.push('\n');
                begun.push_str(line);
            }
            // Prose goes on in the next line.
            Some(begun) if !is_parted && begun.starts_with("# ") && line.starts_with("# ") => {
                begun.push_str(&line[1..]);
            }
            _ if line.is_empty() => {}
            _ => lines.push(line.to_owned()),
        }
        is_parted = line.is_empty();
    }
    Ok(lines)
}

fn text_of(name: &str) -> anyhow::Result<&'static str> {
    DATA.get_file(name)
        .and_then(|file| file.contents_utf8())
        .with_context(|| format!("demo-data/{name} is missing"))
}
