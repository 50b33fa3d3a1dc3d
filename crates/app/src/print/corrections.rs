//! What was amended, opened again or countersigned after it was signed: both values, why, by whom.

use report::{Correction, SignatureLine};
use store::Connection;
use store::entry::Show;
use store::query::{self, AmendedPlace, JournalLine, SheetDetail};

use super::{PrintJob, Result};

/// The corrections of a document, each with a letter of its own.
#[derive(Default)]
pub(super) struct Corrections(Vec<Correction>);

impl Corrections {
    /// Takes up what was amended of a sheet; `sheet` is its place among those printed.
    pub(super) fn of_sheet(&mut self, detail: &SheetDetail, sheet: Option<usize>, show: Show) {
        self.take(&detail.amended, sheet, "", |place| {
            consequence(detail, place, show)
        });
    }

    /// Takes up what was amended of events that are no sheet.
    pub(super) fn of_events(
        &mut self,
        conn: &Connection,
        lines: &[JournalLine],
        sheets: &[SheetDetail],
        job: &PrintJob,
    ) -> Result<()> {
        let others = lines.iter().rev().filter(|line| {
            line.amended != query::Amended::No && !sheets.iter().any(|s| s.event.no == line.no)
        });
        for line in others {
            let places = query::amended_places(conn, line.no, job.show)?;
            let of = format!("{} of {}: ", line.title, line.at.date());
            self.take(&places, None, &of, |place| {
                Some(format!("{}: {} now {}", place.place, place.old, place.new))
            });
        }
        Ok(())
    }

    /// `told` says in words what only follows; none for what says nothing more.
    fn take(
        &mut self,
        places: &[AmendedPlace],
        sheet: Option<usize>,
        of: &str,
        told: impl Fn(&AmendedPlace) -> Option<String>,
    ) {
        for place in places.iter().filter(|place| !place.is_consequence) {
            let follows: Vec<String> = places
                .iter()
                .filter(|other| other.is_consequence && other.id == place.id)
                .filter_map(&told)
                .collect();
            // What follows belongs to the amendment as a whole: told with its first place.
            let is_first = places
                .iter()
                .find(|other| !other.is_consequence && other.id == place.id)
                .is_some_and(|first| first == place);
            let effect = match (is_first, follows.is_empty()) {
                (false, _) => String::new(),
                (true, true) => "nothing else follows from it".to_owned(),
                (true, false) => format!("follows: {}", follows.join("; ")),
            };
            self.0.push(Correction {
                code: letter(self.0.len()),
                date: place.at.date_time(),
                sheet,
                what: format!("{of}{}", place.place),
                old: place.old.clone(),
                new: place.new.clone(),
                reason: place.reason.clone(),
                signer: format!("{}, record {}", place.by, place.id),
                effect,
            });
        }
    }

    pub(super) fn into_list(self) -> Vec<Correction> {
        self.0
    }
}

/// What follows for a sheet: a result by its name, with its unit, and a verdict by its words. The value of a verdict is
/// that of a result, and what a finding says is that of its fields: neither is told twice.
fn consequence(detail: &SheetDetail, place: &AmendedPlace, show: Show) -> Option<String> {
    let parts: Vec<&str> = place.path.split('/').skip(1).collect();
    let (list, index, key) = match parts.as_slice() {
        ["body", list, index, key] => (*list, index.parse::<usize>().ok(), *key),
        _ => ("", None, ""),
    };
    let plain = || Some(format!("{}: {} now {}", place.place, place.old, place.new));
    match (list, index, key) {
        ("findings", ..) => None,
        ("results", Some(at), "value") => {
            let Some(result) = detail.body.results.get(at) else {
                return plain();
            };
            let Some(name) = result.name.strip_suffix("_nm") else {
                return plain();
            };
            let (Ok(old), Ok(new)) = (place.old.parse(), place.new.parse()) else {
                return plain();
            };
            let item = match result.item {
                0 => String::new(),
                item => format!(" {item}"),
            };
            Some(format!(
                "{}{item} {} now {}",
                name.replace('_', " "),
                show.length(old),
                show.length_unit(new)
            ))
        }
        ("verdicts", Some(at), key) => {
            let about = detail
                .body
                .verdicts
                .get(at)
                .map(|v| super::about(v, detail.named_rows(show)))?;
            match key {
                "verdict" => Some(format!(
                    "verdict on {about}: {} now {}",
                    place.old.replace('_', " "),
                    place.new.replace('_', " ")
                )),
                "note" => Some(format!("{about}: {} now {}", place.old, place.new)),
                _ => None,
            }
        }
        _ => plain(),
    }
}

/// A to Z, then AA and so on.
fn letter(index: usize) -> String {
    let last = char::from(b'A' + u8::try_from(index % 26).unwrap_or(0));
    match index / 26 {
        0 => last.to_string(),
        more => letter(more - 1) + &last.to_string(),
    }
}

/// Who stands for a sheet besides those who signed it, and when it was opened again.
pub(super) fn marks(detail: &SheetDetail) -> (Vec<SignatureLine>, Vec<String>) {
    let (mut lines, mut notes) = (Vec::new(), Vec::new());
    for mark in &detail.marks {
        let day = mark.at.date();
        if mark.is_reopened {
            notes.push(format!(
                "Opened again on {day} by {}: {}.",
                mark.by, mark.text
            ));
        } else {
            lines.push(SignatureLine {
                who: mark.by.clone(),
                what: format!("countersigned with PIN, {day}: {}", mark.text),
            });
        }
    }
    (lines, notes)
}

#[cfg(test)]
mod tests {
    use super::letter;

    #[test]
    fn letters_go_on_after_z() {
        for (index, told) in [
            (0, "A"),
            (25, "Z"),
            (26, "AA"),
            (51, "AZ"),
            (52, "BA"),
            (701, "ZZ"),
            (702, "AAA"),
        ] {
            assert_eq!(letter(index), told);
        }
    }
}
