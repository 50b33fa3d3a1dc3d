//! Every table of shared/reference says where its numbers come from: a published source, or openly memory. Data that
//! can hold no such line have a README.md beside them, or above them, that says it for all.

use std::path::Path;

use crate::Problems;
use crate::files::{CheckError, text_files};

/// Words with which a table opens its statement of origin.
const WORDS: [&str; 6] = ["source", "basis:", "data:", "published", "memory", "seen"];

pub fn check(root: &Path) -> Result<Problems, CheckError> {
    let tables = text_files(root, "shared/reference")?;
    if tables.is_empty() {
        return Ok(vec!["shared/reference: no table was found".to_owned()]);
    }
    let said: Vec<&str> = tables
        .iter()
        .filter(|table| names_its_source(&table.text))
        .filter_map(|table| table.path.strip_suffix("README.md"))
        .collect();
    let silent = tables.iter().filter(|table| {
        !names_its_source(&table.text) && !said.iter().any(|folder| table.path.starts_with(folder))
    });
    Ok(silent
        .map(|table| format!("{}: no line names its source", table.path))
        .collect())
}

/// A comment or a heading, or a key `source`, that says where the numbers come from; a column of data with such a name does not count.
fn names_its_source(text: &str) -> bool {
    let is_source_key = |line: &str| {
        let value = line
            .trim_start()
            .strip_prefix("source")
            .and_then(|rest| rest.trim_start().strip_prefix('='));
        value.is_some_and(|value| {
            value
                .trim()
                .trim_matches('"')
                .chars()
                .any(char::is_alphabetic)
        })
    };
    let is_source_comment = |line: &str| {
        let comment = line
            .split_once('#')
            .map(|(_, comment)| comment.to_lowercase());
        comment.is_some_and(|comment| WORDS.iter().any(|word| comment.contains(word)))
    };
    text.lines()
        .any(|line| is_source_key(line) || is_source_comment(line))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comment_or_a_key_names_the_source() {
        assert!(names_its_source(
            "# Tolerances\n# Source: ISO 286-1:2010, table 1\na,b\n1,2\n"
        ));
        assert!(names_its_source("source = \"NIST TN 1297\"\n"));
        assert!(names_its_source("x = 1 # from memory\n"));
    }

    #[test]
    fn a_table_without_one_is_found() {
        assert!(!names_its_source("# Tolerances\na,b\n1,2\n"));
        assert!(!names_its_source("source,value\n1,2\n"));
        assert!(!names_its_source("source = \"\"\n"));
    }
}
