//! The page of the handbook about a method, made from its description alone: the same for the window and the file.

use std::fmt::Write as _;

use super::Method;

/// Columns that a file of the handbook is set to.
const WIDTH: usize = 118;

/// The page: `# title`, then parts that begin with `## head`; lists begin their lines with a dash.
pub fn handbook(method: &Method) -> String {
    let described = |key: &str, unit: &str| {
        if unit.is_empty() {
            key.to_owned()
        } else {
            format!("{key} [{unit}]")
        }
    };
    let inputs = method.inputs.iter().map(|param| {
        let need = if param.required {
            ""
        } else {
            "; may be left out"
        };
        let key = described(param.key, param.unit);
        format!("{key}: {}; {}{need}", param.meaning, param.range)
    });
    let outputs = method
        .outputs
        .iter()
        .map(|output| format!("{}: {}", described(output.key, output.unit), output.meaning));
    let mut page = format!("# {}\n\n", method.title);
    part(&mut page, "What it answers", &[method.summary.to_owned()]);
    list(&mut page, "What goes in", inputs);
    list(&mut page, "What comes out", outputs);
    part(
        &mut page,
        "How it is calculated",
        &[method.formula.to_owned()],
    );
    part(
        &mut page,
        "Where it comes from",
        &[method.source.to_owned()],
    );
    if !method.cautions.is_empty() {
        list(
            &mut page,
            "What to mind",
            method.cautions.iter().map(|c| (*c).to_owned()),
        );
    }
    let command = format!(
        "chockbook calc {} reads one JSON object with the keys above and writes one. An example:",
        method.name
    );
    part(
        &mut page,
        "From the command line",
        &[command, method.example.to_owned()],
    );
    page.truncate(page.trim_end().len());
    page.push('\n');
    page
}

fn part(page: &mut String, head: &str, paragraphs: &[String]) {
    let _infallible = writeln!(page, "## {head}");
    for paragraph in paragraphs {
        set(page, paragraph, "");
    }
    page.push('\n');
}

fn list(page: &mut String, head: &str, items: impl Iterator<Item = String>) {
    let _infallible = writeln!(page, "## {head}");
    for item in items {
        set(page, &format!("- {item}"), "  ");
    }
    page.push('\n');
}

/// Words in lines of the width of the file; those after the first begin with `indent`.
fn set(page: &mut String, words: &str, indent: &str) {
    let mut width = 0;
    for word in words.split_whitespace() {
        let letters = word.chars().count();
        if width > 0 && width + 1 + letters > WIDTH {
            page.push('\n');
            page.push_str(indent);
            width = indent.len();
        } else if width > 0 {
            page.push(' ');
            width += 1;
        }
        page.push_str(word);
        width += letters;
    }
    page.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::method::methods;

    #[test]
    fn every_method_has_a_page_that_says_all_of_its_description() {
        for method in methods() {
            let page = handbook(method);
            assert!(page.starts_with(&format!("# {}\n", method.title)), "{page}");
            let flowing = page.split_whitespace().collect::<Vec<_>>().join(" ");
            let mut said = vec![method.summary, method.source];
            said.extend(
                method
                    .inputs
                    .iter()
                    .flat_map(|p| [p.key, p.meaning, p.range]),
            );
            said.extend(method.outputs.iter().flat_map(|o| [o.key, o.meaning]));
            said.extend(method.cautions);
            for words in said {
                let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
                assert!(flowing.contains(&words), "{}: {words}", method.name);
            }
        }
    }

    #[test]
    fn lines_keep_the_width_of_the_file() {
        let mut page = String::new();
        set(&mut page, &"word ".repeat(60), "  ");
        assert!(page.lines().count() > 2 && page.lines().all(|line| line.len() <= WIDTH));
        assert!(page.lines().skip(1).all(|line| line.starts_with("  word")));
    }
}
