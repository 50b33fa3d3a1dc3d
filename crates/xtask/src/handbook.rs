//! The pages of the handbook about the methods: files made from the descriptions in `calc`, so that they can be read
//! without the program. `cargo xtask handbook` writes them; the check finds those that are old, missing or left over.

use std::path::Path;

use calc::method::{handbook, methods};

use crate::Problems;
use crate::files::{CheckError, text_files};

/// Where they stand.
const FOLDER: &str = "assets/handbook/methods";

pub fn check(root: &Path) -> Result<Problems, CheckError> {
    let there = if root.join(FOLDER).is_dir() {
        text_files(root, FOLDER)?
    } else {
        Vec::new()
    };
    let there: Vec<(&str, &str)> = there
        .iter()
        .map(|file| (file.path.as_str(), file.text.as_str()))
        .collect();
    let wanted = wanted();
    let wanted: Vec<(&str, &str)> = wanted
        .iter()
        .map(|(path, text)| (path.as_str(), text.as_str()))
        .collect();
    Ok(differences(&wanted, &there))
}

/// Writes every page, and takes away what is no method any more.
pub fn write(root: &Path) -> Result<(), CheckError> {
    let failed = |path: &Path, source| CheckError::Write {
        path: path.into(),
        source,
    };
    let folder = root.join(FOLDER);
    std::fs::create_dir_all(&folder).map_err(|e| failed(&folder, e))?;
    let wanted = wanted();
    for (path, text) in &wanted {
        let path = root.join(path);
        std::fs::write(&path, text).map_err(|e| failed(&path, e))?;
    }
    for file in text_files(root, FOLDER)? {
        if !wanted.iter().any(|(path, _)| *path == file.path) {
            let path = root.join(&file.path);
            std::fs::remove_file(&path).map_err(|e| failed(&path, e))?;
        }
    }
    Ok(())
}

/// Path from the root and text of every page.
fn wanted() -> Vec<(String, String)> {
    let page =
        |method: &&calc::method::Method| (format!("{FOLDER}/{}.md", method.name), handbook(method));
    methods().iter().map(page).collect()
}

fn differences(wanted: &[(&str, &str)], there: &[(&str, &str)]) -> Problems {
    let found = |path: &str, files: &[(&str, &str)]| {
        files
            .iter()
            .find(|(other, _)| *other == path)
            .map(|(_, text)| (*text).to_owned())
    };
    let old = wanted
        .iter()
        .filter_map(|(path, text)| match found(path, there) {
            None => Some(format!("{path} is missing: cargo xtask handbook")),
            Some(is) if is != **text => Some(format!("{path} is old: cargo xtask handbook")),
            Some(_) => None,
        });
    let left = there
        .iter()
        .filter(|(path, _)| found(path, wanted).is_none());
    old.chain(left.map(|(path, _)| format!("{path} is about no method: cargo xtask handbook")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_that_is_missing_old_or_left_over_is_named() {
        let wanted = [("a.md", "a"), ("b.md", "b")];
        assert_eq!(differences(&wanted, &wanted), Problems::new());
        let there = [("a.md", "old"), ("c.md", "c")];
        assert_eq!(differences(&wanted, &there).len(), 3);
    }
}
