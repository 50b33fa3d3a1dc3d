//! Reading the project: its root, its text files, and the answers of Cargo.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A check that could not be made, as against one that found something.
#[derive(Debug, thiserror::Error)]
pub enum CheckError {
    /// A file or folder of the project cannot be read.
    #[error("cannot read {}: {source}", path.display())]
    Read {
        /// What was to be read.
        path: PathBuf,
        /// Why not.
        source: std::io::Error,
    },
    /// A file of the project cannot be written.
    #[error("cannot write {}: {source}", path.display())]
    Write {
        /// What was to be written.
        path: PathBuf,
        /// Why not.
        source: std::io::Error,
    },
    /// Cargo refused, or could not be started.
    #[error("cargo {arguments} failed: {reason}")]
    Cargo {
        /// What it was asked.
        arguments: String,
        /// What it said.
        reason: String,
    },
}

/// A text file of the project.
pub struct TextFile {
    /// Path from the root, with forward slashes.
    pub path: String,
    /// Its whole text.
    pub text: String,
}

/// The folder of the workspace; this crate lies two below it.
pub fn project_root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

/// Every text file below `folder` (a path from the root; empty for all), sorted by path.
///
/// Left out: what is built (`target`), what Git keeps, and files that are not UTF-8.
pub fn text_files(root: &Path, folder: &str) -> Result<Vec<TextFile>, CheckError> {
    let mut found = Vec::new();
    let mut waiting = vec![root.join(folder)];
    while let Some(folder) = waiting.pop() {
        for path in entries(&folder)? {
            if path.is_dir() {
                if path != root.join("target") && path.file_name() != Some(OsStr::new(".git")) {
                    waiting.push(path);
                }
                continue;
            }
            let bytes = std::fs::read(&path).map_err(|source| CheckError::Read {
                path: path.clone(),
                source,
            })?;
            if let Ok(text) = String::from_utf8(bytes) {
                let parts = path.strip_prefix(root).unwrap_or(&path).iter();
                let path = parts
                    .map(OsStr::to_string_lossy)
                    .collect::<Vec<_>>()
                    .join("/");
                found.push(TextFile { path, text });
            }
        }
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(found)
}

/// What lies directly in `folder`.
pub fn entries(folder: &Path) -> Result<Vec<PathBuf>, CheckError> {
    let in_folder = |source| CheckError::Read {
        path: folder.to_path_buf(),
        source,
    };
    let listed = std::fs::read_dir(folder).map_err(in_folder)?;
    listed
        .map(|entry| Ok(entry.map_err(in_folder)?.path()))
        .collect()
}

/// One text file, by its path from the root.
pub fn text(root: &Path, path: &str) -> Result<String, CheckError> {
    let path = root.join(path);
    std::fs::read_to_string(&path).map_err(|source| CheckError::Read { path, source })
}

/// What `cargo ARGUMENTS` prints.
pub fn cargo(root: &Path, arguments: &[&str]) -> Result<String, CheckError> {
    let failed = |reason| CheckError::Cargo {
        arguments: arguments.join(" "),
        reason,
    };
    // The Cargo that runs this; by its name where the program was started by hand.
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(arguments)
        .current_dir(root)
        .output()
        .map_err(|e| failed(e.to_string()))?;
    if !output.status.success() {
        return Err(failed(
            String::from_utf8_lossy(&output.stderr).trim().to_owned(),
        ));
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_root_holds_the_workspace_manifest() {
        assert!(
            text(&project_root(), "Cargo.toml")
                .unwrap()
                .contains("[workspace]")
        );
    }

    #[test]
    fn files_are_found_in_folders_below_and_named_from_the_root() {
        let files = text_files(&project_root(), "crates/xtask").unwrap();
        assert!(
            files
                .iter()
                .any(|file| file.path == "crates/xtask/src/files.rs")
        );
        assert!(files.is_sorted_by(|a, b| a.path < b.path));
    }

    #[test]
    fn what_is_missing_or_refused_is_an_error_that_names_it() {
        let missing = text(&project_root(), "no-such-file")
            .unwrap_err()
            .to_string();
        assert!(missing.contains("no-such-file"), "{missing}");
        let refused = cargo(&project_root(), &["no-such-command"])
            .unwrap_err()
            .to_string();
        assert!(
            refused.contains("cargo no-such-command failed"),
            "{refused}"
        );
    }
}
