//! What may stand at the top of the project, so that a newcomer finds the two files to read and nothing else.

use std::path::Path;

use crate::Problems;
use crate::files::{CheckError, entries};

/// Files and folders of the top; names with a leading dot and what Cargo builds may stand beside them.
const TOP: [&str; 10] = [
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE-APACHE",
    "LICENSE-MIT",
    "README.md",
    "assets",
    "crates",
    "demo",
    "tests",
];
/// Beside them: the published tables, and what Cargo builds.
const ALSO: [&str; 2] = ["shared", "target"];

pub fn check(root: &Path) -> Result<Problems, CheckError> {
    let names = entries(root)?;
    Ok(problems(
        names.iter().filter_map(|path| path.file_name()?.to_str()),
    ))
}

fn problems<'a>(names: impl Iterator<Item = &'a str>) -> Problems {
    let names: Vec<&str> = names.collect();
    let strangers = names
        .iter()
        .filter(|name| !name.starts_with('.') && !TOP.contains(name) && !ALSO.contains(name));
    let mut found: Problems = strangers
        .map(|name| format!("{name}: does not belong at the top"))
        .collect();
    found.extend(
        TOP.iter()
            .filter(|name| !names.contains(name))
            .map(|name| format!("{name}: is missing")),
    );
    found.sort();
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_agreed_names_and_dotfiles_hold() {
        assert_eq!(
            problems(TOP.into_iter().chain([".ci", "target", "shared"])),
            Problems::new()
        );
    }

    #[test]
    fn a_stranger_and_a_gap_are_named() {
        let names = TOP
            .into_iter()
            .filter(|name| *name != "README.md")
            .chain(["notes.txt"]);
        assert_eq!(
            problems(names),
            [
                "README.md: is missing",
                "notes.txt: does not belong at the top"
            ]
        );
    }
}
