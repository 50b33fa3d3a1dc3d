//! The logbooks opened last: a list of paths in the program's own folder, newest first.

use std::path::{Path, PathBuf};

use crate::hands::write_whole;

/// So many are kept.
const KEPT_MAX: usize = 8;

/// The logbooks opened last.
#[derive(Debug, Clone, Default)]
pub struct Recent {
    file: Option<PathBuf>,
    paths: Vec<PathBuf>,
}

impl Recent {
    /// The list in this folder. A list that cannot be read is an empty one: it is a convenience, no record.
    pub fn at(folder: Option<&Path>) -> Self {
        let file = folder.map(|folder| folder.join("recent"));
        let text = file
            .as_ref()
            .and_then(|file| std::fs::read_to_string(file).ok())
            .unwrap_or_default();
        let paths = text
            .lines()
            .filter(|line| !line.trim().is_empty())
            .map(PathBuf::from)
            .take(KEPT_MAX)
            .collect();
        Self { file, paths }
    }

    /// Newest first.
    pub fn paths(&self) -> &[PathBuf] {
        &self.paths
    }

    /// Puts a logbook at its head.
    pub fn add(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        self.paths.retain(|kept| *kept != path);
        self.paths.insert(0, path);
        self.paths.truncate(KEPT_MAX);
        self.keep();
    }

    /// Takes a logbook out of it; the file itself is left alone.
    pub fn forget(&mut self, path: &Path) {
        self.paths.retain(|kept| kept != path);
        self.keep();
    }

    fn keep(&self) {
        let Some(file) = &self.file else { return };
        // One path a line: a name with a line end in it, or one that is no text, is not kept.
        let lines: Vec<&str> = self
            .paths
            .iter()
            .filter_map(|p| p.to_str())
            .filter(|p| !p.contains('\n'))
            .collect();
        let folder = file.parent().map_or(Ok(()), std::fs::create_dir_all);
        if let Err(error) = folder.and_then(|()| write_whole(file, &(lines.join("\n") + "\n"))) {
            log::warn!("the list of logbooks opened last is not kept: {error}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_is_kept_newest_first_without_doubles() {
        let folder = tempfile::tempdir().unwrap();
        let mut recent = Recent::at(Some(folder.path()));
        for name in ["/a", "/b", "/a"] {
            recent.add(Path::new(name));
        }
        recent.forget(Path::new("/none"));
        let again = Recent::at(Some(folder.path()));
        assert_eq!(again.paths(), [PathBuf::from("/a"), PathBuf::from("/b")]);
        for i in 0..20 {
            recent.add(Path::new(&format!("/{i}")));
        }
        assert_eq!(Recent::at(Some(folder.path())).paths().len(), KEPT_MAX);
    }
}
