//! Which crate of the workspace may reach what: `app` knows everything, `calc` and `draw` know nothing but numbers.
//!
//! Read from `cargo tree`, dependencies of dependencies included. A crate without a rule here is a problem too, and so is
//! a rule without its crate: neither can be forgotten.

use std::path::Path;

use crate::Problems;
use crate::files::{CheckError, cargo};

/// A crate of the workspace, and what it must not reach.
struct Rule {
    name: &'static str,
    never: &'static [&'static str],
}

/// The rules; `app` and the whole-program tests stand on top of everything.
const RULES: [Rule; 8] = [
    Rule {
        name: "calc",
        never: &[
            "draw", "store", "report", "demo", "app", "rusqlite", "egui", "typst",
        ],
    },
    Rule {
        name: "draw",
        never: &[
            "store", "report", "demo", "app", "rusqlite", "egui", "typst",
        ],
    },
    Rule {
        name: "store",
        never: &["draw", "report", "demo", "app", "egui", "typst"],
    },
    Rule {
        name: "report",
        never: &["store", "demo", "app", "rusqlite", "egui"],
    },
    Rule {
        name: "demo",
        never: &["draw", "report", "app", "egui", "typst"],
    },
    Rule {
        name: "app",
        never: &[],
    },
    Rule {
        name: "xtask",
        never: &[
            "draw", "store", "report", "app", "rusqlite", "egui", "typst",
        ],
    },
    Rule {
        name: "whole-program",
        never: &[],
    },
];

pub fn check(root: &Path) -> Result<Problems, CheckError> {
    // `--depth 0` prints the members themselves.
    let members = tree(root, &["--workspace", "--depth", "0"])?;
    let mut found = membership_problems(&members);
    for rule in RULES
        .iter()
        .filter(|rule| members.iter().any(|name| name == rule.name))
    {
        let reached = tree(root, &["--package", rule.name])?;
        found.extend(reach_problems(rule, &reached));
    }
    Ok(found)
}

/// The names that `cargo tree` prints, without repeats.
fn tree(root: &Path, selection: &[&str]) -> Result<Vec<String>, CheckError> {
    let shape = [
        "tree",
        "--locked",
        "--edges",
        "normal,build",
        "--prefix",
        "none",
        "--format",
        "{p}",
    ];
    let printed = cargo(root, &[&shape, selection].concat())?;
    Ok(names(&printed))
}

/// The first word of each line, once each: `name v1.2.3 (path)`.
fn names(printed: &str) -> Vec<String> {
    let mut names: Vec<String> = printed
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .map(str::to_owned)
        .collect();
    names.sort();
    names.dedup();
    names
}

fn membership_problems(members: &[String]) -> Problems {
    let has_rule = |name: &str| RULES.iter().any(|rule| rule.name == name);
    let unruled = members.iter().filter(|name| !has_rule(name));
    let mut found: Problems = unruled
        .map(|name| format!("crate {name} has no rule in layering.rs"))
        .collect();
    let gone = RULES
        .iter()
        .filter(|rule| !members.iter().any(|name| name == rule.name));
    found.extend(gone.map(|rule| format!("the rule for {} has no crate", rule.name)));
    found
}

fn reach_problems(rule: &Rule, reached: &[String]) -> Problems {
    let forbidden = rule
        .never
        .iter()
        .filter(|never| reached.iter().any(|name| name == *never));
    forbidden
        .map(|never| {
            format!(
                "{} must not reach {never} (cargo tree -p {} -i {never})",
                rule.name, rule.name
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_from_what_cargo_prints() {
        let printed = "calc v0.1.0 (/x/calc)\nserde v1.0.0\nserde v1.0.0 (*)\n\nlibm v0.2.0\n";
        assert_eq!(names(printed), ["calc", "libm", "serde"]);
    }

    #[test]
    fn a_forbidden_crate_is_named_and_a_similar_name_is_not() {
        let rule = Rule {
            name: "calc",
            never: &["egui"],
        };
        assert_eq!(
            reach_problems(&rule, &names("calc v1\negui_plot v1\n")),
            Problems::new()
        );
        assert_eq!(reach_problems(&rule, &names("calc v1\negui v1\n")).len(), 1);
    }

    #[test]
    fn a_crate_without_a_rule_and_a_rule_without_a_crate_are_named() {
        let mut members: Vec<String> = RULES.iter().map(|rule| rule.name.to_owned()).collect();
        assert_eq!(membership_problems(&members), Problems::new());
        "exchange".clone_into(&mut members[0]);
        assert_eq!(membership_problems(&members).len(), 2);
    }

    #[test]
    fn the_tree_of_this_crate_holds_what_it_depends_on() {
        let reached = tree(&crate::files::project_root(), &["--package", "xtask"]).unwrap();
        assert!(
            reached.iter().any(|name| name == "thiserror"),
            "{reached:?}"
        );
    }
}
