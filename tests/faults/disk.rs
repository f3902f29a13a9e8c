//! A layer between SQLite and the disk that counts the steps which touch a file and stops at any of them.
//!
//! SQLite takes such a layer through its C interface only, so this is the one place of the tests with
//! `unsafe`: without it a fault could be put at some moments, but not at each step, and no plug be pulled at
//! the same step twice. The shipped program knows nothing of it. Everything is passed on to SQLite's own
//! layer but for three things: steps are counted, the planned one fails, and nothing waits for the disk.

use rusqlite::ffi;
use std::cell::RefCell;
use std::ffi::{c_char, c_int, c_void};
use std::sync::Once;

/// What happens at the planned step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// This step and every later one that needs room fails: the disk is full.
    DiskFull,
    /// This step alone fails.
    IoError,
    /// The program is gone in the middle of this step, and what it wrote before is there.
    Killed,
    /// The plug is pulled: gone too is what was written and not yet synchronised.
    PlugPulled,
}

/// What is planned, and what was counted.
#[derive(Default)]
struct Plan {
    /// The step that fails, counted from 1, and how.
    at: Option<(u64, Fault)>,
    steps: u64,
    /// Whether the program is gone.
    gone: bool,
    /// Files that are open.
    open: Vec<*mut Watched>,
}

thread_local! {
    // One for each test: SQLite calls its layer in the thread of whoever asks it.
    static PLAN: RefCell<Plan> = RefCell::default();
}

/// Runs `work` with a fault at a step, or with none, and gives how many steps there were.
pub fn with_fault<T>(at: Option<(u64, Fault)>, work: impl FnOnce() -> T) -> (T, u64) {
    PLAN.with_borrow_mut(|plan| {
        (plan.at, plan.steps, plan.gone) = (at, 0, false);
    });
    let done = work();
    let steps = PLAN.with_borrow_mut(|plan| {
        (plan.at, plan.gone) = (None, false);
        plan.steps
    });
    (done, steps)
}

/// What one step does to a file.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Step {
    /// It only looks.
    Look,
    /// It needs room on the disk.
    Grow,
    /// It changes what is there.
    Change,
}

/// Counts a step; what SQLite is told if it fails.
fn step(step: Step, code: c_int) -> Result<(), c_int> {
    let pulled = PLAN.with_borrow_mut(|plan| {
        if plan.gone {
            return Err(code);
        }
        plan.steps += 1;
        let Some((at, fault)) = plan.at else {
            return Ok(false);
        };
        match fault {
            Fault::DiskFull if plan.steps >= at && step == Step::Grow => Err(ffi::SQLITE_FULL),
            Fault::IoError if plan.steps == at => Err(code),
            Fault::Killed if plan.steps == at => {
                plan.gone = true;
                Err(code)
            }
            Fault::PlugPulled if plan.steps == at => {
                plan.gone = true;
                Ok(true)
            }
            _ => Ok(false),
        }
    })?;
    if pulled {
        let open = PLAN.with_borrow(|plan| plan.open.clone());
        for file in open {
            // SAFETY: a file is in the list from when it is opened until it is closed.
            unsafe { (*file).lose_unsynchronised() };
        }
        return Err(code);
    }
    Ok(())
}

/// A file as SQLite sees it; the file of SQLite's own layer lies behind it in memory.
#[repr(C)]
struct Watched {
    base: ffi::sqlite3_file,
    /// What each write since the last synchronisation replaced: where, by what, and how long the file was.
    replaced: *mut Vec<(i64, Vec<u8>, i64)>,
}

impl Watched {
    /// The file of SQLite's own layer.
    fn inner(&mut self) -> *mut ffi::sqlite3_file {
        // SAFETY: `size_of_file` asks SQLite for room for both.
        unsafe { std::ptr::from_mut(self).add(1).cast() }
    }

    unsafe fn methods(&mut self) -> &ffi::sqlite3_io_methods {
        unsafe { &*(*self.inner()).pMethods }
    }

    unsafe fn size(&mut self) -> i64 {
        let mut size = 0;
        unsafe { (self.methods().xFileSize.unwrap())(self.inner(), &raw mut size) };
        size
    }

    unsafe fn keep(&mut self, at: i64, length: c_int) {
        let size = unsafe { self.size() };
        let mut before = vec![0_u8; length as usize];
        let buffer = before.as_mut_ptr().cast();
        unsafe {
            // What lies behind the end is read as zeroes.
            (self.methods().xRead.unwrap())(self.inner(), buffer, length, at);
            (*self.replaced).push((at, before, size));
        }
    }

    unsafe fn lose_unsynchronised(&mut self) {
        let replaced = unsafe { std::mem::take(&mut *self.replaced) };
        for (at, before, size) in replaced.into_iter().rev() {
            let (bytes, length) = (before.as_ptr().cast(), before.len() as c_int);
            unsafe {
                (self.methods().xWrite.unwrap())(self.inner(), bytes, length, at);
                (self.methods().xTruncate.unwrap())(self.inner(), size);
            }
        }
    }
}

/// The file that SQLite handed over.
unsafe fn watched<'a>(file: *mut ffi::sqlite3_file) -> &'a mut Watched {
    unsafe { &mut *file.cast() }
}

unsafe extern "C" fn close(file: *mut ffi::sqlite3_file) -> c_int {
    unsafe {
        PLAN.with_borrow_mut(|plan| plan.open.retain(|open| *open != file.cast()));
        let file = watched(file);
        drop(Box::from_raw(file.replaced));
        (file.methods().xClose.unwrap())(file.inner())
    }
}

unsafe extern "C" fn read(
    file: *mut ffi::sqlite3_file,
    to: *mut c_void,
    length: c_int,
    at: i64,
) -> c_int {
    if let Err(code) = step(Step::Look, ffi::SQLITE_IOERR_READ) {
        return code;
    }
    unsafe {
        let file = watched(file);
        (file.methods().xRead.unwrap())(file.inner(), to, length, at)
    }
}

unsafe extern "C" fn write(
    file: *mut ffi::sqlite3_file,
    from: *const c_void,
    length: c_int,
    at: i64,
) -> c_int {
    unsafe {
        let file = watched(file);
        file.keep(at, length);
        if let Err(code) = step(Step::Grow, ffi::SQLITE_IOERR_WRITE) {
            // Half of it came through, unless the plug took that too.
            let killed = PLAN.with_borrow(|plan| {
                plan.at
                    .is_some_and(|(at, fault)| fault == Fault::Killed && plan.steps == at)
            });
            if killed {
                (file.methods().xWrite.unwrap())(file.inner(), from, length / 2, at);
            }
            return code;
        }
        (file.methods().xWrite.unwrap())(file.inner(), from, length, at)
    }
}

unsafe extern "C" fn truncate(file: *mut ffi::sqlite3_file, size: i64) -> c_int {
    if let Err(code) = step(Step::Change, ffi::SQLITE_IOERR_TRUNCATE) {
        return code;
    }
    unsafe {
        let file = watched(file);
        let before = file.size();
        if size < before {
            file.keep(size, (before - size) as c_int);
        }
        (file.methods().xTruncate.unwrap())(file.inner(), size)
    }
}

unsafe extern "C" fn sync(file: *mut ffi::sqlite3_file, _: c_int) -> c_int {
    if let Err(code) = step(Step::Grow, ffi::SQLITE_IOERR_FSYNC) {
        return code;
    }
    unsafe { (*watched(file).replaced).clear() };
    ffi::SQLITE_OK
}

unsafe extern "C" fn file_size(file: *mut ffi::sqlite3_file, size: *mut i64) -> c_int {
    unsafe {
        let file = watched(file);
        (file.methods().xFileSize.unwrap())(file.inner(), size)
    }
}

unsafe extern "C" fn lock(file: *mut ffi::sqlite3_file, level: c_int) -> c_int {
    if let Err(code) = step(Step::Look, ffi::SQLITE_IOERR_LOCK) {
        return code;
    }
    unsafe {
        let file = watched(file);
        (file.methods().xLock.unwrap())(file.inner(), level)
    }
}

/// Even of a program that is gone the locks are given back.
unsafe extern "C" fn unlock(file: *mut ffi::sqlite3_file, level: c_int) -> c_int {
    unsafe {
        let file = watched(file);
        (file.methods().xUnlock.unwrap())(file.inner(), level)
    }
}

unsafe extern "C" fn is_reserved(file: *mut ffi::sqlite3_file, answer: *mut c_int) -> c_int {
    unsafe {
        let file = watched(file);
        (file.methods().xCheckReservedLock.unwrap())(file.inner(), answer)
    }
}

unsafe extern "C" fn control(
    file: *mut ffi::sqlite3_file,
    what: c_int,
    with: *mut c_void,
) -> c_int {
    unsafe {
        let file = watched(file);
        (file.methods().xFileControl.unwrap())(file.inner(), what, with)
    }
}

unsafe extern "C" fn sector_size(file: *mut ffi::sqlite3_file) -> c_int {
    unsafe {
        let file = watched(file);
        (file.methods().xSectorSize.unwrap())(file.inner())
    }
}

unsafe extern "C" fn characteristics(file: *mut ffi::sqlite3_file) -> c_int {
    unsafe {
        let file = watched(file);
        (file.methods().xDeviceCharacteristics.unwrap())(file.inner())
    }
}

static METHODS: ffi::sqlite3_io_methods = ffi::sqlite3_io_methods {
    iVersion: 1,
    xClose: Some(close),
    xRead: Some(read),
    xWrite: Some(write),
    xTruncate: Some(truncate),
    xSync: Some(sync),
    xFileSize: Some(file_size),
    xLock: Some(lock),
    xUnlock: Some(unlock),
    xCheckReservedLock: Some(is_reserved),
    xFileControl: Some(control),
    xSectorSize: Some(sector_size),
    xDeviceCharacteristics: Some(characteristics),
    // Shared memory and mapped pages belong to later versions; a book with a rollback journal needs neither.
    xShmMap: None,
    xShmLock: None,
    xShmBarrier: None,
    xShmUnmap: None,
    xFetch: None,
    xUnfetch: None,
};

/// SQLite's own layer.
unsafe fn own(layer: *mut ffi::sqlite3_vfs) -> *mut ffi::sqlite3_vfs {
    unsafe { (*layer).pAppData.cast() }
}

unsafe extern "C" fn open(
    layer: *mut ffi::sqlite3_vfs,
    name: *const c_char,
    file: *mut ffi::sqlite3_file,
    flags: c_int,
    opened: *mut c_int,
) -> c_int {
    unsafe {
        (*file).pMethods = std::ptr::null();
        if let Err(code) = step(Step::Grow, ffi::SQLITE_CANTOPEN) {
            return code;
        }
        let file = watched(file);
        let own = own(layer);
        let code = ((*own).xOpen.unwrap())(own, name, file.inner(), flags, opened);
        if code == ffi::SQLITE_OK {
            file.replaced = Box::into_raw(Box::default());
            file.base.pMethods = &raw const METHODS;
            PLAN.with_borrow_mut(|plan| plan.open.push(file));
        }
        code
    }
}

unsafe extern "C" fn delete(layer: *mut ffi::sqlite3_vfs, name: *const c_char, _: c_int) -> c_int {
    if let Err(code) = step(Step::Change, ffi::SQLITE_IOERR_DELETE) {
        return code;
    }
    unsafe {
        let own = own(layer);
        ((*own).xDelete.unwrap())(own, name, 0)
    }
}

/// Puts the layer between SQLite and the disk, for the whole of this program.
pub fn watch() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // SAFETY: both layers live as long as the program; the copy differs in what is set here only.
        unsafe {
            ffi::sqlite3_initialize();
            let own = ffi::sqlite3_vfs_find(std::ptr::null());
            let mut layer = Box::new(*own);
            layer.zName = c"watched".as_ptr();
            layer.szOsFile += size_of::<Watched>() as c_int;
            layer.pAppData = own.cast();
            layer.pNext = std::ptr::null_mut();
            layer.xOpen = Some(open);
            layer.xDelete = Some(delete);
            assert_eq!(
                ffi::sqlite3_vfs_register(Box::into_raw(layer), 1),
                ffi::SQLITE_OK
            );
        }
    });
}
