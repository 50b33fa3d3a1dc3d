//! One sheet as it was signed.

use report::{Mark, Marked, Paper, Part, SheetPart};
use store::Connection;
use store::query::{self, SheetDetail};
use store::sheet::TypeFacts;

use super::corrections::Corrections;
use super::imprint::{CAUTIONS, imprint};
use super::{PrintError, PrintJob, Result, labelled, photos, pictures, sheet};

/// The sheet with its drawings.
pub(super) fn paper(conn: &Connection, event: i64, job: &PrintJob) -> Result<Paper> {
    let show = job.show;
    let detail = query::sheet_detail(conn, event, show)?.ok_or(PrintError::NoSuch("sheet"))?;
    let limits = limits(conn, &detail)?;
    let details = [detail];
    let standards = sheet::standards(conn, &details)?;
    let [detail] = &details;
    let mut body = sheet::sheet(1, detail, &limits, &standards, show);
    let what = match detail.what() {
        "Teardown" => "Teardown sheet",
        other => other,
    };
    body.title = what.into();
    if let Some(stack) = pictures::stack(detail, &limits, show, pictures::PAGE) {
        body.drawings.insert(0, stack);
    }
    body.photos = photos::of_sheet(conn, detail, photos::Size::Whole)?;
    let mut corrections = Corrections::default();
    corrections.of_sheet(detail, None, show);
    let about = [&detail.bearing, &detail.chock, &detail.roll]
        .into_iter()
        .find(|code| !code.is_empty())
        .map_or("", String::as_str);
    let count = detail.body.readings.len();
    Ok(Paper {
        title_line: format!("{what} of {about}, {}", detail.event.at.date()),
        name: detail.event.id.to_string(),
        counts: super::counted(count, "reading"),
        headline: format!(
            "Signed by {} on {}",
            detail.signer,
            detail.event.entered.date_time()
        ),
        state: Marked {
            text: "signed".into(),
            mark: Mark::Pass,
        },
        left: vec![
            labelled("bearing", detail.bearing.clone()),
            labelled("type", limits.code.clone()),
        ],
        right: vec![
            labelled("record", detail.event.id.to_string()),
            labelled("hash", hash(detail)),
        ],
        parts: vec![Part::Sheet(Box::new(SheetPart {
            sheet: body,
            corrections: corrections.into_list(),
        }))],
        imprint: imprint(conn, job, &details, &CAUTIONS)?,
        ..Paper::default()
    })
}

/// The limits of the day of the work, for the bearing that the sheet is about.
pub(super) fn limits(conn: &Connection, detail: &SheetDetail) -> Result<TypeFacts> {
    let Some(of) = query::type_of_sheet(conn, detail.event.no)? else {
        return Ok(TypeFacts::default());
    };
    Ok(TypeFacts::load(conn, of, detail.event.at.ms)?)
}

/// The hash of the record in groups that can be compared by eye.
fn hash(detail: &SheetDetail) -> String {
    let groups: Vec<String> = detail
        .event
        .hash
        .chunks(4)
        .map(|group| group.iter().copied().map(byte).collect())
        .collect();
    groups.join(" ")
}

fn byte(byte: u8) -> String {
    format!("{byte:02x}")
}
