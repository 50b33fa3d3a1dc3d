//! The project's own checks, for what neither compiler nor linter sees: `cargo xtask check`.
//!
//! Each module is one check: a function from text to a list of problems, tested on texts that break it, and a function
//! that feeds it the project. `check` runs them all, prints every problem, and fails where there is one. `cargo xtask
//! handbook` writes the pages of the handbook that are made from the descriptions of the methods.

mod files;
mod handbook;
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

const CHECKS: [(&str, Check); 6] = [
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
    ("handbook: pages of the methods", handbook::check),
    (
        "texts: openings, leftovers, paths of one machine",
        texts::check,
    ),
];

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let root = files::project_root();
    let outcome = match arguments.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["check"] => run_all(&root),
        ["handbook"] => handbook::write(&root).map(|()| 0),
        _ => {
            eprintln!("Usage: cargo xtask check | handbook");
            return ExitCode::from(2);
        }
    };
    match outcome {
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
