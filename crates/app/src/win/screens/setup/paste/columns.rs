//! Which column of a pasted table is which field of the register: by its head, with its unit where one stands there.

use store::rows::RowOrder;

use super::super::fields::{BEARING_KINDS, Of, fields};
use super::super::form::{Kind, Subject};
use super::super::page::Page;
use super::super::type_values::{self, label_of, path_of};
use super::super::unit::Unit;

/// A field that a column may fill.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    /// Where its text goes in the form; a value of all row pairs goes to three places.
    pub paths: Vec<String>,
    /// What it is.
    pub label: String,
    /// How it is filled in.
    pub kind: Kind,
    names: Vec<String>,
}

/// A column of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its head, as it was pasted.
    pub head: String,
    /// The field; none where no field is called so.
    pub known: Option<Known>,
    /// The unit in its head.
    pub unit: String,
}

/// The fields of a page that a table may fill: all but PINs.
pub fn known(page: Page) -> Vec<Known> {
    if page == Page::BearingTypes {
        return type_fields();
    }
    fields(Subject::New(page), Of::default())
        .into_iter()
        .filter(|field| field.kind != Kind::Pin)
        .map(|field| {
            let mut names = vec![normal(field.path), normal(field.label)];
            names.extend(field.label.split(',').next().map(normal));
            names.extend(others(page, field.path).iter().copied().map(String::from));
            Known {
                paths: vec![field.path.into()],
                label: field.label.into(),
                kind: field.kind,
                names,
            }
        })
        .collect()
}

fn type_fields() -> Vec<Known> {
    let plain = |path: &str, label: &str, kind, names: &[&str]| Known {
        paths: vec![path.into()],
        label: label.into(),
        kind,
        names: names.iter().map(|name| (*name).to_owned()).collect(),
    };
    let mut all = vec![
        plain(
            "code",
            "designation",
            Kind::Words,
            &["designation", "code", "bearing type", "type"],
        ),
        plain("kind", "kind", Kind::OneOf(BEARING_KINDS), &["kind"]),
        plain(
            "lubrication",
            "lubrication",
            Kind::Words,
            &["lubrication", "grease", "greases"],
        ),
    ];
    for (path, meaning, pair) in type_values::all() {
        let kind = Kind::Number(type_values::unit(meaning));
        if pair == 1 {
            all.push(Known {
                paths: (1..=3).map(|pair| path_of(meaning.name, pair)).collect(),
                label: meaning.title.into(),
                kind,
                names: vec![normal(meaning.title), normal(meaning.name)],
            });
        }
        // A table counts from the barrel, whatever the plant does: it may come from elsewhere.
        let label = label_of(meaning, pair, RowOrder::FromBarrel);
        let mut names = vec![normal(&label)];
        if pair > 0 {
            names.push(normal(&format!("{}, S{pair}", meaning.title)));
        }
        if pair == 0 {
            names.push(normal(meaning.name));
        }
        all.push(Known {
            paths: vec![path],
            label,
            kind,
            names,
        });
    }
    all
}

/// How shops and the tables of this program call a field besides.
fn others(page: Page, path: &str) -> &'static [&'static str] {
    match (page, path) {
        (Page::Bearings, "code") => &["bearing", "number", "id"],
        (Page::People, "name") => &["person", "people"],
        (Page::SealBatches, "code") => &["batch", "seal batch", "number"],
        (Page::SealBatches, "name") => &["seals", "name"],
        (Page::Lines, "name") => &["name"],
        (Page::Bearings, "prior") => &["hours before", "prior hours", "hours"],
        (Page::Bearings, "prior_note") => &["prior note", "source", "from"],
        (Page::Positions, "load") => &["load from", "load angle", "load", "clock"],
        (Page::Positions, "fixed") => &["fixed", "fixed side", "holds axially"],
        (Page::Positions, "rolling") => &["bearing", "rolling bearing"],
        (Page::Positions, "level") => &["top bottom", "level"],
        (Page::ChockTypes, "main") => &["main seat", "bearing type", "seat"],
        (Page::ChockTypes, "main2") => &["second main seat"],
        (Page::ChockTypes, "thrust") => &["thrust seat"],
        (Page::ChockTypes, "fits") => &["positions"],
        (Page::ChockTypes, "planes") => &["planes", "bore planes"],
        (Page::Gauges, "uncertainty") => &["u", "u at k 2", "expanded uncertainty", "uncertainty"],
        (Page::Gauges, "due") => &["due date", "calibration due", "valid until"],
        (Page::Gauges, "range") => &["range", "span"],
        (Page::Gauges, "standard") => &["setting ring", "standard"],
        (_, "code") => match page {
            Page::Lines => &["line", "number"],
            Page::Stands => &["stand", "number"],
            Page::Positions => &["position", "number"],
            Page::Rolls => &["roll", "number"],
            Page::ChockTypes => &["chock type", "number"],
            Page::Chocks => &["chock", "number"],
            Page::Gauges => &["gauge", "number"],
            Page::Greases => &["grease", "number"],
            _ => &[],
        },
        (_, "type") => &["type"],
        _ => &[],
    }
}

/// The columns of a row of heads.
pub fn columns(page: Page, heads: &[String]) -> Vec<Column> {
    let fields = known(page);
    let mut taken: Vec<String> = Vec::new();
    let column = |head: &String| {
        let (words, unit) = apart(head);
        let wanted = sign(page, words).map_or_else(|| normal(words), str::to_owned);
        let found = fields.iter().find(|field| field.names.contains(&wanted));
        // What two columns fill is filled by the first; the second is told as one that is not known.
        let found = found.filter(|field| !field.paths.iter().any(|path| taken.contains(path)));
        taken.extend(found.iter().flat_map(|field| field.paths.clone()));
        Column {
            head: head.clone(),
            known: found.cloned(),
            unit: unit.to_owned(),
        }
    };
    heads.iter().map(column).collect()
}

/// The letters of a drawing mean the sizes, and there small and large count.
fn sign(page: Page, words: &str) -> Option<&'static str> {
    match (page, words.trim()) {
        (Page::BearingTypes, "d" | "bore") => Some("bore d"),
        (Page::BearingTypes, "D" | "outside") => Some("outside diameter d"),
        (Page::BearingTypes, "B" | "width") => Some("width b over all"),
        _ => None,
    }
}

/// A head apart from its unit: `bore [mm]`, `bore (mm)` or `bore, mm`.
fn apart(head: &str) -> (&str, &str) {
    let head = head.trim();
    for (open, close) in [('[', ']'), ('(', ')')] {
        if let Some((words, unit)) = head.strip_suffix(close).and_then(|h| h.rsplit_once(open)) {
            return (words, unit.trim());
        }
    }
    match head.rsplit_once(',') {
        Some((words, unit)) if is_unit(unit.trim()) => (words, unit.trim()),
        _ => (head, ""),
    }
}

fn is_unit(word: &str) -> bool {
    let units = [
        Unit::Length,
        Unit::Hours,
        Unit::Tonnes,
        Unit::Kilogram,
        Unit::Gram,
        Unit::Degree,
        Unit::Celsius,
        Unit::Kelvin,
        Unit::NewtonMetre,
        Unit::Clock,
    ];
    !word.is_empty() && units.iter().any(|unit| unit.takes(word))
}

/// Small letters and digits, with one space between words.
fn normal(words: &str) -> String {
    let letters: String = words
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { ' ' })
        .flat_map(char::to_lowercase)
        .collect();
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paths(page: Page, heads: &[&str]) -> Vec<(String, String)> {
        let heads: Vec<String> = heads.iter().map(|h| (*h).to_owned()).collect();
        let name = |c: Column| {
            let path = c.known.map_or_else(|| "?".into(), |k| k.paths[0].clone());
            (path, c.unit)
        };
        columns(page, &heads).into_iter().map(name).collect()
    }

    fn pairs(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        let own = |(a, b): &(&str, &str)| ((*a).to_owned(), (*b).to_owned());
        pairs.iter().map(own).collect()
    }

    #[test]
    fn heads_are_known_as_the_shop_and_the_tables_here_write_them() {
        assert_eq!(
            paths(
                Page::Gauges,
                &[
                    "Gauge",
                    "kind",
                    "U at k = 2 [mm]",
                    "due",
                    "colour",
                    "Due date"
                ]
            ),
            pairs(&[
                ("code", ""),
                ("kind", ""),
                ("uncertainty", "mm"),
                ("due", ""),
                ("?", ""),
                ("?", "")
            ])
        );
        assert_eq!(
            paths(
                Page::BearingTypes,
                &[
                    "Designation",
                    "d",
                    "D, in",
                    "rework level",
                    "watch level, S2 (mm)"
                ]
            ),
            pairs(&[
                ("code", ""),
                ("value/bore_nm", ""),
                ("value/outside_nm", "in"),
                ("value/rework_nm/1", ""),
                ("value/watch_nm/2", "mm"),
            ])
        );
    }

    #[test]
    fn every_field_is_found_by_the_name_that_the_page_tells() {
        for page in Page::ALL {
            for field in known(page) {
                let label = if field.kind == Kind::Words {
                    field.label.clone()
                } else {
                    format!("{} [mm]", field.label)
                };
                let found = columns(page, &[label]).remove(0).known;
                assert_eq!(
                    found.map(|f| f.paths),
                    Some(field.paths),
                    "{page:?} {}",
                    field.label
                );
            }
        }
    }
}
