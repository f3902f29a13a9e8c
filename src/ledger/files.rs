//! Files that appear whole or not at all, and whose names belong to the book.

use crate::quantity::Problem;
use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

/// What SQLite adds to the name of a book for the files that it keeps beside it.
const BESIDE: [&str; 3] = ["-journal", "-wal", "-shm"];

/// A file that is written under a name of its own beside its target; it is taken away again unless it is
/// put in place.
#[derive(Debug)]
pub struct Draft {
    path: PathBuf,
}

impl Draft {
    /// An empty file with the rights that the user's own settings give to new files.
    pub fn beside(target: &Path) -> Result<Self, Problem> {
        let path = beside(target);
        OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&path)
            .map_err(|error| unwritable(target, &error))?;
        Ok(Self { path })
    }

    /// An empty file that its owner alone may read and write.
    pub fn private(target: &Path) -> Result<Self, Problem> {
        let path = beside(target);
        make_private(&path).map_err(|error| unwritable(target, &error))?;
        Ok(Self { path })
    }

    /// Where it is written meanwhile.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Makes sure that it is on the disk, then gives it the name of its target, in place of what may be
    /// there.
    pub fn put(self, target: &Path) -> Result<(), Problem> {
        let done = OpenOptions::new()
            .write(true)
            .open(&self.path)
            .and_then(|file| file.sync_all())
            .and_then(|()| fs::rename(&self.path, target))
            .and_then(|()| sync_folder(target));
        done.map_err(|error| unwritable(target, &error))
    }
}

impl Drop for Draft {
    /// What was put in place has no file of this name any more.
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
        let _ = fs::remove_file(with_suffix(&self.path, "-journal"));
    }
}

/// Why a file cannot be written.
pub fn unwritable(path: &Path, error: &io::Error) -> Problem {
    Problem::new(format!("`{}` cannot be written: {error}", path.display()))
}

/// That a new book would lie where something lies already.
pub fn taken(path: &Path) -> Problem {
    Problem::new(format!(
        "there is something at `{}` already",
        path.display()
    ))
    .hint("it was not touched; name another file with --book")
}

/// Makes an empty file that its owner alone may read and write. Refuses a name that is taken.
pub fn make_private(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// Makes a folder, and those above it, that its owner alone may enter.
pub fn make_private_folder(path: &Path) -> Result<(), Problem> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path).map_err(|error| {
        Problem::new(format!(
            "the folder `{}` cannot be made: {error}",
            path.display()
        ))
    })
}

/// Makes sure that the names in the folder of `path` are on the disk.
#[cfg(unix)]
pub fn sync_folder(path: &Path) -> io::Result<()> {
    File::open(folder_of(path))?.sync_all()
}

/// Names are on the disk once they are given on this system.
#[cfg(not(unix))]
pub fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

/// The folder that a file lies in.
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Whether a path is the book, however it is called, or a file that SQLite keeps beside it.
pub fn belongs_to_book(path: &Path, book: &Path) -> bool {
    let Ok(book) = book.canonicalize() else {
        return false;
    };
    // The file itself may not be there yet, its folder is.
    let folder = folder_of(path).canonicalize();
    let whole = match (path.canonicalize(), folder, path.file_name()) {
        (Ok(whole), ..) => whole,
        (Err(_), Ok(folder), Some(name)) => folder.join(name),
        _ => return false,
    };
    BESIDE
        .into_iter()
        .chain([""])
        .any(|suffix| whole == with_suffix(&book, suffix))
        || is_same_file(&whole, &book)
}

/// Whether two names lead to one file, as hard links do.
#[cfg(unix)]
fn is_same_file(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (fs::metadata(one), fs::metadata(other)) {
        (Ok(one), Ok(other)) => (one.dev(), one.ino()) == (other.dev(), other.ino()),
        _ => false,
    }
}

/// Whether two names lead to one file; links are not looked through on this system.
#[cfg(not(unix))]
fn is_same_file(one: &Path, other: &Path) -> bool {
    one == other
}

/// A path with something added to its last name.
pub fn with_suffix(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

/// The path with a suffix, or with a number behind it where that is taken.
pub fn unused(path: &Path, suffix: &str) -> PathBuf {
    std::iter::once(String::new())
        .chain((2..).map(|number| format!("-{number}")))
        .map(|number| with_suffix(path, &format!("{suffix}{number}")))
        .find(|name| fs::symlink_metadata(name).is_err())
        .unwrap_or_else(|| with_suffix(path, suffix))
}

/// A name beside `path` that nobody else uses: opening it refuses a file that is there already.
fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}.part", std::process::id()))
}
