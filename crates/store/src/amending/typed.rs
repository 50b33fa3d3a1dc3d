//! Places that were typed into the fields of a sheet, or of a seat that was measured by itself.

use super::Place;
use crate::entry::{LengthUnit, Quantity, Show};
use crate::form;
use crate::payload::{Payload, Returned, SheetBody};
use crate::rows::Rows;
use crate::sheet::{self, FieldKind, field};

/// The fields of a sheet, or of a seat that was measured by itself.
pub(super) fn typed_places(
    was: &SheetBody,
    is: &SheetBody,
    is_mounting: bool,
    rows: Rows,
) -> Vec<Place> {
    let unit = form::body::unit_of(is);
    let (was, is) = (form::fields_of(was), form::fields_of(is));
    let mut paths: Vec<&String> = was.keys().chain(is.keys()).collect();
    if is_mounting {
        paths.sort_by_key(|path| (crate::mounting::field::rank(path), (*path).clone()));
    } else {
        paths.sort_by_key(|path| field::rank(path));
    }
    paths.dedup();
    let text = |fields: &crate::draft::Fields, path: &str| {
        fields
            .get(path)
            .map_or_else(String::new, |f| f.text.clone())
    };
    let place = |path: &String| Place {
        label: sheet_label(path, is_mounting, rows),
        text: text(&is, path),
        written: (text(&was, path) != text(&is, path)).then(|| text(&was, path)),
        path: path.clone(),
        unit: sign_beside(path, &text(&is, path), unit),
        is_fixed: sheet::is_fixed(path) || path == "mount.outcome",
    };
    paths.into_iter().map(place).collect()
}

/// The unit of a field of numbers, where its text does not carry one.
fn sign_beside(path: &str, text: &str, unit: LengthUnit) -> String {
    let is_bare = !text.contains(|c: char| c.is_alphabetic() || matches!(c, '"' | '\u{b0}'));
    match field::kind(path) {
        Some(FieldKind::Number(Quantity::Length)) if is_bare => unit.sign().to_owned(),
        Some(FieldKind::Number(quantity)) if is_bare => {
            Show::default().sign_of(quantity).to_owned()
        }
        _ => String::new(),
    }
}

/// The readings of a seat that was measured by itself, or on its return: they are fields, as on a sheet.
pub(super) fn seats_in(payload: &Payload) -> Option<&SheetBody> {
    match payload {
        Payload::SeatCheck(check) => Some(&check.body),
        Payload::Returned(Returned { body, .. }) => body.as_ref(),
        _ => None,
    }
}

/// A place of a sheet. The row of a finding is typed here as it is kept, so its name says from where it counts.
fn sheet_label(path: &str, is_mounting: bool, rows: Rows) -> String {
    if is_mounting {
        return rows.told(&crate::mounting::field::name(path));
    }
    match crate::sheet::findings::parse(path) {
        Some((_, crate::sheet::findings::Key::Row)) => {
            format!("{}, counted from the barrel", field::label(path))
        }
        _ => rows.told(&field::label(path)),
    }
}
