//! What every manifest must say: the lints of the workspace hold in each crate, and what is built comes from the public
//! registry alone.

use std::path::Path;

use crate::Problems;
use crate::files::{CheckError, text, text_files};

/// Lines of the workspace manifest that carry a promise: documented, and without unsafe code.
const PROMISES: [&str; 2] = ["missing_docs = \"warn\"", "unsafe_code = \"forbid\""];
/// Where dependencies come from.
const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

pub fn check(root: &Path) -> Result<Problems, CheckError> {
    let mut found = workspace_problems(&text(root, "Cargo.toml")?);
    found.extend(lock_problems(&text(root, "Cargo.lock")?));
    for folder in ["crates", "tests"] {
        for file in text_files(root, folder)?
            .iter()
            .filter(|file| file.path.ends_with("/Cargo.toml"))
        {
            if is_alone(&file.text) {
                found.extend(own_problems(&file.path, &file.text));
            } else if !inherits_lints(&file.text) {
                found.push(format!("{}: has no [lints] workspace = true", file.path));
            }
        }
    }
    Ok(found)
}

fn workspace_problems(manifest: &str) -> Problems {
    broken_promises(manifest)
        .map(|promise| format!("Cargo.toml: the workspace lints lack {promise}"))
        .collect()
}

/// A package that is a workspace of its own inherits nothing, and makes the promises itself.
fn own_problems(path: &str, manifest: &str) -> Problems {
    broken_promises(manifest)
        .map(|promise| format!("{path}: its own lints lack {promise}"))
        .collect()
}

fn is_alone(manifest: &str) -> bool {
    manifest.lines().any(|line| line.trim() == "[workspace]")
}

fn broken_promises(manifest: &str) -> impl Iterator<Item = &'static str> {
    let is_kept = |promise: &str| manifest.lines().any(|line| line.trim() == promise);
    PROMISES
        .into_iter()
        .filter(move |promise| !is_kept(promise))
}

/// Whether the section `[lints]` holds `workspace = true`.
fn inherits_lints(manifest: &str) -> bool {
    let mut lines = manifest
        .lines()
        .map(str::trim)
        .skip_while(|line| *line != "[lints]")
        .skip(1);
    lines
        .by_ref()
        .take_while(|line| !line.starts_with('['))
        .any(|line| line == "workspace = true")
}

fn lock_problems(lock: &str) -> Problems {
    let sources = lock
        .lines()
        .filter_map(|line| line.strip_prefix("source = "))
        .map(|source| source.trim_matches('"'));
    let mut strangers: Vec<&str> = sources.filter(|source| *source != REGISTRY).collect();
    strangers.sort_unstable();
    strangers.dedup();
    strangers
        .iter()
        .map(|source| format!("Cargo.lock: a dependency comes from {source}"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_promise_is_named() {
        assert_eq!(workspace_problems(&PROMISES.join("\n")), Problems::new());
        assert_eq!(workspace_problems(PROMISES[0]).len(), 1);
        assert_eq!(workspace_problems("missing_docs = \"allow\"").len(), 2);
        let alone = format!("[workspace]\n[lints.rust]\n{}", PROMISES.join("\n"));
        assert!(is_alone(&alone) && own_problems("x", &alone).is_empty());
        assert_eq!(own_problems("x", "[workspace]\n").len(), 2);
    }

    #[test]
    fn lints_are_inherited_only_by_their_own_section() {
        assert!(inherits_lints(
            "[package]\nname = \"a\"\n\n[lints]\nworkspace = true\n"
        ));
        assert!(!inherits_lints("[package]\nname = \"a\"\n"));
        assert!(!inherits_lints(
            "[lints]\n[dependencies.calc]\nworkspace = true\n"
        ));
    }

    #[test]
    fn a_dependency_from_elsewhere_is_named_once() {
        let public = format!("source = \"{REGISTRY}\"\n");
        assert_eq!(lock_problems(&public), Problems::new());
        let other = "source = \"git+https://example.org/x\"\n";
        assert_eq!(lock_problems(&format!("{public}{other}{other}")).len(), 1);
    }
}
