//! Parses, runs, exits.

#![forbid(unsafe_code)]

use draffbook::commands;
use draffbook::context::Surroundings;
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    let surroundings = Surroundings::of_this_process();
    let mut answer = std::io::BufWriter::new(std::io::stdout().lock());
    // Not locked: a server's threads write there too.
    let mut talk = std::io::stderr();
    let code = commands::run(std::env::args_os(), &surroundings, &mut answer, &mut talk);
    // A reader that has gone away is no failure of ours.
    let _ = answer.flush();
    ExitCode::from(code)
}
