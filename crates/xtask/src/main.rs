//! The project's own checks, for what neither compiler nor linter sees: `cargo xtask check`.
//!
//! Each module is one check: a function from text to a list of problems, tested on texts that break it, and a function
//! that feeds it the project. `check` runs them all, prints every problem, and fails where there is one.

mod files;
mod layering;
mod layout;
mod manifests;
mod sources;
mod texts;

use std::path::Path;
use std::process::ExitCode;

use files::CheckError;

/// What a check found; a line for a person each.
type Problems = Vec<String>;
/// A check, over the project in the given folder.
type Check = fn(&Path) -> Result<Problems, CheckError>;

const CHECKS: [(&str, Check); 5] = [
    ("layout: what may stand at the top", layout::check),
    ("layering: which crate reaches what", layering::check),
    (
        "manifests: lints and origins of dependencies",
        manifests::check,
    ),
    (
        "sources: every reference table names its own",
        sources::check,
    ),
    (
        "texts: openings, leftovers, paths of one machine",
        texts::check,
    ),
];

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if arguments != ["check"] {
        eprintln!("Usage: cargo xtask check");
        return ExitCode::from(2);
    }
    match run_all(&files::project_root()) {
        Ok(0) => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::from(2)
        }
    }
}

/// Runs every check and prints what it finds; returns the number of problems.
fn run_all(root: &Path) -> Result<usize, CheckError> {
    let mut found = 0;
    for (name, check) in CHECKS {
        let problems = check(root)?;
        println!(
            "{} {name}",
            if problems.is_empty() {
                "holds"
            } else {
                "FAILS"
            }
        );
        for problem in &problems {
            println!("      {problem}");
        }
        found += problems.len();
    }
    Ok(found)
}
