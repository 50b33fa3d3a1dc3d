//! The fields that a method asks for, in their order.
//!
//! The path of a field is the path of its value in the input of the method, `pairs[1].gaps_mm[0]`, which is also how
//! the method names what is wrong.

use calc::method::{Kind, Method, Param};
use store::rows::RowOrder;

use super::form::Form;
use super::name_of;

/// The longest list that a page holds.
const LIST_MAX: usize = 200;

/// One field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// Where its value stands in the input.
    pub path: String,
    /// What is asked for.
    pub param: &'static Param,
    /// What stands above it.
    pub label: String,
    /// Its name where the label alone does not say which one it is: `rows 2–3, spacer width`.
    pub name: String,
}

/// What stands together on the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// One field.
    Cell(Cell),
    /// A list of values.
    List {
        /// Path of the list.
        path: String,
        /// Its name.
        label: String,
        /// Its fields.
        cells: Vec<Cell>,
    },
    /// Rows of values; each row is a list.
    Grid {
        /// Path of the rows.
        path: String,
        /// Its name.
        label: String,
        /// The rows.
        rows: Vec<Vec<Cell>>,
    },
    /// Objects of the same kind.
    Objects {
        /// Path of the list.
        path: String,
        /// Its name.
        label: String,
        /// The blocks of each.
        objects: Vec<Vec<Block>>,
    },
}

/// What is asked for, given how long the lists of a form are.
pub fn blocks(method: &Method, form: &Form) -> Vec<Block> {
    let mut blocks = blocks_below(method.inputs, form, "", "", "");
    // Single values first, so that they are not lost below a long list.
    blocks.sort_by_key(|block| !matches!(block, Block::Cell(_)));
    blocks
}

/// The parameters right below a key such as `pairs[].`, with their own names.
pub(super) fn below<'a>(
    inputs: &'static [Param],
    key: &'a str,
) -> impl Iterator<Item = (&'static Param, &'static str)> + 'a {
    inputs.iter().filter_map(move |param| {
        let own = param.key.strip_prefix(key)?;
        (!own.contains('.')).then_some((param, own))
    })
}

fn blocks_below(
    inputs: &'static [Param],
    form: &Form,
    key: &str,
    path: &str,
    owner: &str,
) -> Vec<Block> {
    let block = |(param, own): (&'static Param, &str)| {
        let path = format!("{path}{own}");
        let label = super::typeset(name_of(param.meaning));
        let cell = |path: String, which: &str| {
            let label = if which.is_empty() {
                label.clone()
            } else {
                format!("{label} {which}")
            };
            let name = if owner.is_empty() {
                label.clone()
            } else {
                format!("{owner}, {label}")
            };
            Cell {
                path,
                param,
                label,
                name,
            }
        };
        match param.kind {
            Kind::Numbers | Kind::Texts | Kind::YesNos => {
                let count = form.count(&path, 1);
                let cells = (0..count).map(|i| cell(format!("{path}[{i}]"), &(i + 1).to_string()));
                Block::List {
                    cells: cells.collect(),
                    label: label.clone(),
                    path,
                }
            }
            Kind::Grid => {
                let columns = form.count(&format!("{path}[]"), 4);
                let row = |r: usize| {
                    let which = move |c: usize| format!("{}.{}", r + 1, c + 1);
                    (0..columns)
                        .map(|c| cell(format!("{path}[{r}][{c}]"), &which(c)))
                        .collect()
                };
                let rows = (0..form.count(&path, 1)).map(row).collect();
                Block::Grid {
                    rows,
                    label: label.clone(),
                    path,
                }
            }
            Kind::Objects => {
                let inner = format!("{key}{own}[].");
                let object = |i: usize| {
                    let owner = one_of(&label, i);
                    blocks_below(inputs, form, &inner, &format!("{path}[{i}]."), &owner)
                };
                let objects = (0..form.count(&path, 1)).map(object).collect();
                Block::Objects {
                    objects,
                    label: label.clone(),
                    path,
                }
            }
            Kind::Number | Kind::Text | Kind::Choice(_) | Kind::YesNo | Kind::Deviations => {
                Block::Cell(cell(path, ""))
            }
        }
    };
    below(inputs, key).map(block).collect()
}

/// Several, without what explains them: `row pairs` of `row pairs from the barrel`.
pub fn plural(label: &str) -> &str {
    let end = [" from ", " of "]
        .iter()
        .filter_map(|word| label.find(word))
        .min();
    &label[..end.unwrap_or(label.len())]
}

/// One of several, as far as English is regular: `row pair` of `row pairs from the barrel`.
pub fn singular(label: &str) -> &str {
    let several = plural(label);
    several.strip_suffix('s').unwrap_or(several)
}

/// One of several by its number from 0: `element 2`; a row pair by its rows, from the barrel.
pub fn one_of(label: &str, index: usize) -> String {
    match singular(label) {
        ROW_PAIR => RowOrder::FromBarrel.four().pair_name(index + 1),
        one => format!("{one} {}", index + 1),
    }
}

/// What is called by its rows instead of a number.
pub const ROW_PAIR: &str = "row pair";

/// All fields in the order of typing. A deviation that is no class has a second field for its lower limit.
pub fn cells(blocks: &[Block], form: &Form) -> Vec<Cell> {
    let mut all = Vec::new();
    for block in blocks {
        match block {
            Block::Cell(cell) => {
                all.push(cell.clone());
                all.extend(lower_of(cell, form));
            }
            Block::List { cells, .. } => all.extend(cells.iter().cloned()),
            Block::Grid { rows, .. } => all.extend(rows.iter().flatten().cloned()),
            Block::Objects { objects, .. } => {
                all.extend(objects.iter().flat_map(|object| self::cells(object, form)));
            }
        }
    }
    all
}

/// The second field of a deviation, where its first holds a number.
pub fn lower_of(cell: &Cell, form: &Form) -> Option<Cell> {
    let text = form.text(&cell.path).trim();
    let is_number = cell.param.kind == Kind::Deviations && !text.is_empty() && !is_class(text);
    is_number.then(|| Cell {
        path: format!("{}.lower_um", cell.path),
        label: format!("{}, lower", cell.label),
        name: format!("{}, lower", cell.name),
        ..cell.clone()
    })
}

/// Whether a text is a tolerance class rather than a number.
pub fn is_class(text: &str) -> bool {
    text.trim_start().starts_with(char::is_alphabetic)
}

impl Form {
    /// How long a list is.
    pub fn count(&self, path: &str, default: usize) -> usize {
        self.counts
            .get(path)
            .copied()
            .unwrap_or(default)
            .clamp(1, LIST_MAX)
    }

    /// Makes a list longer or shorter; what stood in fields that go is forgotten.
    pub fn set_count(&mut self, path: &str, count: usize) {
        let count = count.clamp(1, LIST_MAX);
        self.counts.insert(path.to_owned(), count);
        let (list, is_columns) = match path.strip_suffix("[]") {
            Some(list) => (list, true),
            None => (path, false),
        };
        self.fields.retain(|field, _| {
            let Some(mut rest) = field.strip_prefix(list) else {
                return true;
            };
            if is_columns {
                rest = rest.split_once(']').map_or("", |(_, rest)| rest);
            }
            let number = rest.strip_prefix('[').and_then(|rest| rest.split_once(']'));
            number
                .and_then(|(number, _)| number.parse::<usize>().ok())
                .is_none_or(|number| number < count)
        });
    }
}
