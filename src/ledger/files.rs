//! Files that appear whole or not at all, and whose names belong to the book.

use crate::quantity::Problem;
use std::fs::{self, File, OpenOptions};
use std::hash::{BuildHasher, RandomState};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// What SQLite adds to the name of a book for the files that it keeps beside it.
const BESIDE: [&str; 3] = ["-journal", "-wal", "-shm"];

/// A file that is written under a name of its own beside its target; it is taken away again unless it is
/// put in place.
#[derive(Debug)]
pub struct Draft {
    path: PathBuf,
}

/// A draft that nobody wrote to for so long is one that a kill left.
const LEFT_FOR: Duration = Duration::from_secs(24 * 60 * 60);

impl Draft {
    /// An empty file with the rights that the user's own settings give to new files.
    pub fn beside(target: &Path) -> Result<Self, Problem> {
        Self::make(target, OpenOptions::new().write(true).create_new(true))
    }

    /// An empty file that its owner alone may read and write.
    pub fn private(target: &Path) -> Result<Self, Problem> {
        Self::make(target, private_options().write(true).create_new(true))
    }

    fn make(target: &Path, options: &OpenOptions) -> Result<Self, Problem> {
        let name = beside(target);
        let made = options
            .open(&name)
            .map_err(|error| unwritable(target, &error))?;
        // The disk's own clock dates what lies on it.
        if let Ok(now) = made.metadata() {
            clear_left(target, &now);
        }
        Ok(Self { path: name })
    }
    /// Where it is written meanwhile.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Gives it the rights of the file that it is to replace.
    pub fn with_rights_of(&self, target: &Path) -> Result<(), Problem> {
        fs::metadata(target)
            .and_then(|found| fs::set_permissions(&self.path, found.permissions()))
            .map_err(|error| unwritable(target, &error))
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

impl Draft {
    /// The same, but never in place of anything: says whether the name was free.
    pub fn put_new(&mut self, target: &Path) -> Result<bool, Problem> {
        let named = |error: &io::Error| error.kind() == io::ErrorKind::AlreadyExists;
        let done = OpenOptions::new()
            .write(true)
            .open(&self.path)
            .and_then(|file| file.sync_all())
            .and_then(|()| match fs::hard_link(&self.path, target) {
                Err(error) if !named(&error) && fs::symlink_metadata(target).is_err() => {
                    // Memory sticks know no second names.
                    fs::rename(&self.path, target)
                }
                linked => linked,
            })
            .and_then(|()| sync_folder(target));
        match done {
            Ok(()) => Ok(true),
            Err(error) if named(&error) => Ok(false),
            Err(error) => Err(unwritable(target, &error)),
        }
    }
}

impl Drop for Draft {
    /// What was put in place has no file of this name any more.
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
        let _ = fs::remove_file(with_suffix(&self.path, "-journal"));
    }
}

/// Takes away what kills left of earlier drafts, of this file and of any other in its folder: a dated name never comes
/// again. What was made just now says how late it is.
pub fn clear_left(target: &Path, made: &fs::Metadata) {
    let begin = draft_begin(target);
    let Ok(now) = made.modified() else { return };
    for found in fs::read_dir(folder_of(target))
        .into_iter()
        .flatten()
        .flatten()
    {
        let name = found.file_name().to_string_lossy().into_owned();
        let draft = name.strip_suffix("-journal").unwrap_or(&name);
        let of_target = draft.starts_with(&begin) && draft.ends_with(DRAFT_END);
        let modified = found.metadata().and_then(|found| found.modified());
        let is_left =
            modified.is_ok_and(|at| now.duration_since(at).is_ok_and(|age| age > LEFT_FOR));
        if !is_left || !(of_target || is_draft_name(draft)) {
            continue;
        }
        let path = found.path();
        // A journal goes with its draft, where that is still there.
        if draft != name && path.with_file_name(draft).exists() {
            continue;
        }
        let _ = match found.file_type() {
            Ok(kind) if kind.is_dir() => fs::remove_dir_all(&path),
            _ => fs::remove_file(&path),
        };
        let _ = fs::remove_file(with_suffix(&path, "-journal"));
    }
}

/// Why a file cannot be written.
pub fn unwritable(path: &Path, error: &io::Error) -> Problem {
    Problem::new(format!("`{}` cannot be written: {error}", path.display()))
}

/// That a file is no file that a book could be.
pub fn not_plain(path: &Path) -> Problem {
    Problem::new(format!("`{}` is not a plain file", path.display()))
        .hint("name where the book is to lie with --book FILE")
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
    private_options().write(true).create_new(true).open(path)
}

fn private_options() -> OpenOptions {
    let mut options = OpenOptions::new();
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options
}

/// Makes a folder, and those above it, with the rights that the user's own settings give.
pub fn make_folder(path: &Path) -> Result<(), Problem> {
    refuse_folder_beside_book(path)?;
    fs::create_dir_all(path).map_err(|error| unwritable(path, &error))
}

/// Makes a folder, and those above it, that its owner alone may enter.
pub fn make_private_folder(path: &Path) -> Result<(), Problem> {
    refuse_folder_beside_book(path)?;
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

/// Refuses to make a folder under a name that SQLite keeps for a file beside a book: nobody could open the book any more.
pub fn refuse_folder_beside_book(folder: &Path) -> Result<(), Problem> {
    for made in folder.ancestors().filter(|path| !path.exists()) {
        let book = made.file_name().and_then(|name| {
            let name = name.to_str()?;
            let book = BESIDE.iter().find_map(|suffix| name.strip_suffix(suffix))?;
            Some(made.with_file_name(book)).filter(|book| book.is_file())
        });
        if let Some(book) = book {
            return Err(Problem::new(format!(
                "`{}` is kept for a file beside the book `{}`: with a folder there the book could not be opened",
                made.display(),
                book.display()
            ))
            .hint("no folder was made; use another name"));
        }
    }
    Ok(())
}

/// Whether a new folder may be made at `path`: nothing is there, or an empty folder.
pub fn is_free_for_folder(path: &Path) -> bool {
    match fs::symlink_metadata(path) {
        Err(error) => error.kind() == io::ErrorKind::NotFound,
        Ok(found) => found.is_dir() && fs::read_dir(path).is_ok_and(|mut all| all.next().is_none()),
    }
}

/// Refuses what SQLite or a shell could take for something else than a file: SQLite keeps `:memory:` and the
/// empty name nowhere, reserves all names that begin with a colon, and reads `file:` as an address (SQLite,
/// "In-Memory Databases" and "Uniform Resource Identifiers").
pub fn refuse_special_name(path: &Path) -> Result<(), Problem> {
    let shown = path.to_string_lossy();
    let is_special = shown.is_empty()
        || shown.starts_with(':')
        || shown.to_lowercase().starts_with("file:")
        || BESIDE.iter().any(|suffix| shown.ends_with(suffix));
    if is_special {
        return Err(Problem::new(format!("`{shown}` is no name for a book"))
            .hint("name a file on the disk, such as --book book.draff"));
    }
    Ok(())
}

/// What every SQLite file begins with, and what its journals begin with (SQLite, Database File Format, sections
/// 1.3 and 3).
const MAGIC: [&[u8]; 2] = [
    b"SQLite format 3\0",
    &[0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7],
];

/// Whether a file is a book, a copy of one or what SQLite keeps beside it, by its first bytes or by its name: a
/// damaged copy may be the last one. Not for a book that this program has open: closing it would let go of its
/// locks.
pub fn may_be_book(path: &Path) -> bool {
    let named = path
        .file_name()
        .is_some_and(|name| name.to_string_lossy().to_lowercase().contains(".draff"));
    let mut head = Vec::new();
    let read = File::open(path).and_then(|file| file.take(16).read_to_end(&mut head));
    named || (read.is_ok() && MAGIC.iter().any(|magic| head.starts_with(magic)))
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

/// Whether no file can be made beside a file, though it may be read.
pub fn is_in_read_only_folder(path: &Path) -> bool {
    let probe = beside(path);
    match make_private(&probe) {
        Ok(_) => {
            let _ = fs::remove_file(probe);
            false
        }
        Err(error) => matches!(
            error.kind(),
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem
        ),
    }
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

/// Which file was found, and when it was last written or given other rights.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct AsFound {
    device: u64,
    number: u64,
    bytes: u64,
    written: (i64, i64),
    changed: (i64, i64),
}

impl AsFound {
    /// The file that lies there now.
    #[cfg(unix)]
    pub fn at(path: &Path) -> Option<Self> {
        use std::os::unix::fs::MetadataExt;
        let found = fs::metadata(path).ok()?;
        Some(Self {
            device: found.dev(),
            number: found.ino(),
            bytes: found.len(),
            written: (found.mtime(), found.mtime_nsec()),
            changed: (found.ctime(), found.ctime_nsec()),
        })
    }

    /// Nothing tells one file from another on this system.
    #[cfg(not(unix))]
    pub fn at(_: &Path) -> Option<Self> {
        None
    }

    /// Whether it is the same file, whatever was written to it.
    pub fn is_file(&self, other: &Self) -> bool {
        (self.device, self.number) == (other.device, other.number)
    }
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

/// How the names of drafts end.
const DRAFT_END: &str = ".part";

/// A name beside `path` that nobody else uses: opening it refuses a file that is there already. Random, since
/// programs in containers have the same few process numbers.
pub fn beside(path: &Path) -> PathBuf {
    let begin = draft_begin(path);
    let random = RandomState::new().hash_one(0);
    path.with_file_name(format!("{begin}{random:016x}{DRAFT_END}"))
}

/// How the names of drafts of a file begin.
fn draft_begin(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    format!(".{name}.")
}

/// Whether a name is one that [`beside`] gives, whatever file it is of.
fn is_draft_name(name: &str) -> bool {
    name.strip_prefix('.')
        .and_then(|rest| rest.strip_suffix(DRAFT_END))
        .and_then(|rest| rest.rsplit_once('.'))
        .is_some_and(|(of, random)| {
            !of.is_empty()
                && random.len() == 16
                && random
                    .bytes()
                    .all(|digit| matches!(digit, b'0'..=b'9' | b'a'..=b'f'))
        })
}
