//! Options of the command line as a whole.

use crate::desk::Once;
use std::path::PathBuf;

/// Options that every command takes, after parsing.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// `--book`.
    pub book: Option<PathBuf>,
    /// `--now`.
    pub now: Option<String>,
    /// `--by`.
    pub by: Option<String>,
    /// `--once`.
    pub once: Option<Once>,
    /// `--json`.
    pub json: bool,
    /// `--us`.
    pub us: bool,
    /// `--quiet`.
    pub quiet: bool,
}
