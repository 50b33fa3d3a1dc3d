//! The sizes that come with a bearing: of each row pair with its spacer, of a whole bearing, or none.

use store::sheet::Family;

use super::fields::length;
use super::form::Field;
use super::page::Page;

/// Of a bearing that is received.
pub fn received(kind: &str) -> Vec<Field> {
    let mut all = clearances(kind, AS_SET);
    if has_pairs(kind) {
        all.extend([
            length("spacer1", "spacer S1 as delivered"),
            length("spacer2", "spacer S2 as delivered"),
            length("spacer3", "spacer S3 as delivered"),
        ]);
    }
    all
}

/// Of a thing that came back: only a bearing has a clearance.
pub fn returned(page: Page, kind: &str) -> Vec<Field> {
    if page == Page::Bearings {
        clearances(kind, AS_SET_NOW)
    } else {
        Vec::new()
    }
}

/// Whether a bearing has row pairs with spacers between them; taken for granted until its kind is known.
fn has_pairs(kind: &str) -> bool {
    kind.is_empty() || Family::of(kind) == Some(Family::Tapered)
}

/// What a clearance as set is called: of each row pair, of a whole bearing by its radial or its axial play.
type AsSet = ([&'static str; 3], &'static str, &'static str);
const AS_SET: AsSet = (
    [
        "clearance of rows 1\u{2013}2 as set",
        "clearance of rows 2\u{2013}3 as set",
        "clearance of rows 3\u{2013}4 as set",
    ],
    "radial clearance as set",
    "axial clearance as set",
);
const AS_SET_NOW: AsSet = (
    [
        "clearance of rows 1\u{2013}2 as set now",
        "clearance of rows 2\u{2013}3 as set now",
        "clearance of rows 3\u{2013}4 as set now",
    ],
    "radial clearance as set now",
    "axial clearance as set now",
);

/// The clearances of a bearing: of each row pair, one, or none of an inner half.
fn clearances(kind: &str, (pairs, radial, axial): AsSet) -> Vec<Field> {
    if has_pairs(kind) {
        let paths = ["set1", "set2", "set3"];
        let all = paths.into_iter().zip(pairs);
        return all.map(|(path, label)| length(path, label)).collect();
    }
    match Family::of(kind) {
        Some(Family::Thrust) => vec![length("set1", axial)],
        Some(_) => vec![length("set1", radial)],
        None => Vec::new(),
    }
}
