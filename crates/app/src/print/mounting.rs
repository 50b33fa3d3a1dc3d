//! The mounting sheet on paper: to be filled by hand, and what was computed on a signed one.

use report::{Blank, BlankField, BlankPart, BlankSection};
use store::draft::{DraftField, Fields, Source};
use store::entry::Show;
use store::mounting::field::{self, Asked};
use store::mounting::{Family, Section};
use store::query::SheetDetail;
use store::sheet::{FieldKind, TypeFacts};
use store::{Connection, ThingNo};

use super::{PrintError, PrintJob, Result};

/// Boxes side by side.
const ABREAST: usize = 4;

/// The mounting sheet for bearings of a type: a box for every field of the screen, in its order.
pub(super) fn blank(conn: &Connection, bearing_type: ThingNo, job: &PrintJob) -> Result<Blank> {
    let t = TypeFacts::load(conn, bearing_type, job.now.ms)?;
    let Some(family) = Family::of(&t.kind) else {
        return Err(PrintError::NoSheetFor(t.code));
    };
    let fields = asking_for_all();
    let sections = (1..)
        .zip(Section::of(family))
        .map(|(number, section)| BlankSection {
            number,
            title: section.title().into(),
            note: section.about(family).into(),
            parts: parts(section, family, &fields, job.show),
        })
        .collect();
    super::blank::by_hand(conn, job, format!("Mounting sheet, {}", t.code), sections)
}

/// Texts with which the screen shows the fields that it otherwise hides.
fn asking_for_all() -> Fields {
    let field = |text: &str| DraftField {
        text: text.into(),
        source: Source::Typed,
    };
    [
        ("mount.heat.by", "induction"),
        ("mount.outcome", "not_mounted"),
    ]
    .map(|(path, text)| (path.to_owned(), field(text)))
    .into()
}

fn parts(section: Section, family: Family, fields: &Fields, show: Show) -> Vec<BlankPart> {
    let mut parts = Vec::new();
    let mut boxes: Vec<BlankField> = Vec::new();
    let close = |boxes: &mut Vec<BlankField>, parts: &mut Vec<BlankPart>| {
        if !boxes.is_empty() {
            let fields = std::mem::take(boxes);
            parts.push(BlankPart::Fields { fields });
        }
    };
    let asked = Asked {
        family,
        fields,
        is_other_grease: true,
        is_other_zone: true,
    };
    for path in field::order(section, &asked) {
        let label = show.rows.of(family.rows()).told(&field::name(&path));
        let words: Option<Vec<String>> = match store::sheet::field::kind(&path) {
            Some(FieldKind::Choice(list)) => Some(
                list.words()
                    .into_iter()
                    .map(|(_, words)| words.to_owned())
                    .collect(),
            ),
            Some(FieldKind::Zone) => Some(["I", "II", "III", "IV"].map(str::to_owned).into()),
            _ => None,
        };
        if let Some(words) = words {
            close(&mut boxes, &mut parts);
            parts.push(BlankPart::Choice { label, words });
            continue;
        }
        let (unit, is_line) = match store::sheet::field::kind(&path) {
            Some(FieldKind::Number(quantity)) => (show.sign_of(quantity).to_owned(), false),
            Some(FieldKind::Time) => ("date, time".into(), false),
            Some(FieldKind::Words) => (String::new(), true),
            _ => (String::new(), false),
        };
        if is_line {
            close(&mut boxes, &mut parts);
        }
        boxes.push(BlankField {
            label,
            unit,
            lines: 1,
            share: 1,
        });
        if is_line || boxes.len() == ABREAST {
            close(&mut boxes, &mut parts);
        }
    }
    close(&mut boxes, &mut parts);
    parts
}

/// What was computed on a mounting sheet, and whether it came to one.
pub(super) fn notes(detail: &SheetDetail, show: Show) -> Vec<String> {
    let Some(sheet) = &detail.mounting else {
        return Vec::new();
    };
    let mut notes = Vec::new();
    if !sheet.is_mounted {
        notes.push("It was not mounted: nothing was moved by this sheet.".to_owned());
    }
    let length = |name: &str| detail.result(name, 0).map(|nm| show.length_unit(nm));
    let degrees = |name: &str| detail.result(name, 0).map(|mk| show.temperature(mk));
    notes.extend(
        degrees("mount_needed_mk").map(|c| format!("Needed temperature of the ring: {c} \u{b0}C.")),
    );
    notes.extend(
        length("mount_loss_nm").map(|nm| format!("Loss of radial clearance by the fit: {nm}.")),
    );
    notes.extend(
        length("mount_shim_nm")
            .map(|nm| format!("Pack of shims from the gaps of the cover: {nm}.")),
    );
    notes
}
