//! Processor time, which other programs on the machine hardly change, and memory.

use anyhow::ensure;
use std::time::Duration;

/// Processor time, in user and system mode, of all children that have ended.
#[allow(dead_code, reason = "each benchmark needs one of the two")]
pub const CHILDREN: libc::c_int = libc::RUSAGE_CHILDREN;
/// That of this program.
#[allow(dead_code, reason = "each benchmark needs one of the two")]
pub const OWN: libc::c_int = libc::RUSAGE_SELF;

/// The processor time so far, and the most memory held at once in bytes.
pub fn usage(of: libc::c_int) -> anyhow::Result<(Duration, u64)> {
    let mut usage = std::mem::MaybeUninit::<libc::rusage>::zeroed();
    // SAFETY: the pointer is to a whole `rusage`, which the call fills.
    let code = unsafe { libc::getrusage(of, usage.as_mut_ptr()) };
    ensure!(code == 0, "{}", std::io::Error::last_os_error());
    // SAFETY: zeroed is a valid value of this plain struct, and the call succeeded.
    let usage = unsafe { usage.assume_init() };
    let duration = |time: libc::timeval| {
        Duration::new(time.tv_sec as u64, 0) + Duration::from_micros(time.tv_usec as u64)
    };
    let time = duration(usage.ru_utime) + duration(usage.ru_stime);
    Ok((time, usage.ru_maxrss as u64 * 1024))
}
