//! What no text of the project may carry: unfinished work, a test that is switched off, a path of somebody's machine.
//! And what every Rust file opens with: a sentence saying what it is for.
//!
//! The forbidden words are put together here, so that this file does not hold them itself.

use std::path::Path;

use crate::Problems;
use crate::files::{CheckError, TextFile, text_files};

/// Leftovers in code and scripts.
const LEFTOVERS: [&str; 6] = [
    concat!("TO", "DO"),
    concat!("FIX", "ME"),
    concat!("to", "do!("),
    concat!("unimpl", "emented!("),
    concat!("db", "g!("),
    concat!("#[ign", "ore"),
];
/// Folders that are somebody's own; a path counts only where it starts.
const MACHINE_FOLDERS: [&str; 4] = [
    concat!("/ho", "me/"),
    concat!("/ro", "ot/"),
    concat!("/Us", "ers/"),
    concat!("/wo", "rk/"),
];

pub fn check(root: &Path) -> Result<Problems, CheckError> {
    let files = text_files(root, "")?;
    Ok(files.iter().flat_map(problems).collect())
}

fn problems(file: &TextFile) -> Problems {
    let is_rust = has_ending(&file.path, "rs");
    let mut found = Problems::new();
    if is_rust && !file.text.starts_with("//! ") {
        found.push(format!(
            "{}: does not open with //! and what it is for",
            file.path
        ));
    }
    let is_code = is_rust
        || file.text.starts_with("#!")
        || ["sh", "sql", "toml"]
            .iter()
            .any(|e| has_ending(&file.path, e));
    for (number, line) in (1..).zip(file.text.lines()) {
        if is_code && let Some(word) = LEFTOVERS.iter().find(|word| line.contains(**word)) {
            found.push(format!("{}:{number}: holds {word}", file.path));
        }
        if let Some(folder) = MACHINE_FOLDERS
            .iter()
            .find(|folder| starts_path(line, folder))
        {
            found.push(format!(
                "{}:{number}: holds a path of one machine ({folder})",
                file.path
            ));
        }
    }
    found
}

fn has_ending(path: &str, ending: &str) -> bool {
    Path::new(path)
        .extension()
        .is_some_and(|found| found == ending)
}

/// Whether `folder` stands in `line` at the start of a path, not in the middle of a longer path or of a web address.
fn starts_path(line: &str, folder: &str) -> bool {
    let continues = |before: char| before.is_alphanumeric() || "._-~}/)".contains(before);
    line.match_indices(folder)
        .any(|(at, _)| !line[..at].ends_with(continues))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found_in(path: &str, text: &str) -> usize {
        problems(&TextFile {
            path: path.to_owned(),
            text: text.to_owned(),
        })
        .len()
    }

    #[test]
    fn a_rust_file_without_an_opening_is_found() {
        assert_eq!(found_in("a.rs", "//! Names of parts.\n"), 0);
        assert_eq!(found_in("a.rs", "use std::fs;\n"), 1);
        assert_eq!(found_in("a.sql", "SELECT 1;\n"), 0);
    }

    #[test]
    fn each_leftover_is_found_in_code_but_may_be_written_about() {
        for word in LEFTOVERS {
            assert_eq!(found_in("a.rs", &format!("//! A.\n{word}\n")), 1, "{word}");
            assert_eq!(
                found_in("run", &format!("#!/bin/sh\n# {word}\n")),
                1,
                "{word}"
            );
            assert_eq!(
                found_in("guide.md", &format!("no {word} here\n")),
                0,
                "{word}"
            );
        }
    }

    #[test]
    fn a_path_of_one_machine_is_found_where_it_starts() {
        for folder in MACHINE_FOLDERS {
            assert_eq!(
                found_in("guide.md", &format!("see {folder}x\n")),
                1,
                "{folder}"
            );
            assert_eq!(found_in("guide.md", &format!("{folder}x\n")), 1, "{folder}");
            assert_eq!(
                found_in("guide.md", &format!("https://example.org{folder}x\n")),
                0,
                "{folder}"
            );
        }
    }
}
