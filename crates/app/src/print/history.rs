//! The history of one bearing: whole, or of a period, or without what was not asked for.

use report::History;
use store::query::{self, BearingPage, SheetDetail};
use store::sheet::TypeFacts;
use store::{Stamp, ThingNo};

use super::corrections::Corrections;
use super::imprint::{CAUTIONS, chain_check, utc};
use super::{PrintError, PrintJob, Result, events, facts, life, photos, pictures, sheet};

/// What of a history is printed; everything but costs where nothing else is wished.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HistoryParts {
    /// Events from this time on, ms UTC.
    pub from_ms: Option<i64>,
    /// Events up to this time, ms UTC.
    pub until_ms: Option<i64>,
    /// Every reading as it was typed.
    pub has_readings: bool,
    /// Pictures of the sheets.
    pub has_photos: bool,
    /// What was paid.
    pub has_costs: bool,
}

impl Default for HistoryParts {
    fn default() -> Self {
        Self {
            from_ms: None,
            until_ms: None,
            has_readings: true,
            has_photos: true,
            has_costs: false,
        }
    }
}

impl HistoryParts {
    fn holds(&self, at_ms: i64) -> bool {
        self.from_ms.is_none_or(|from| at_ms >= from) && self.until_ms.is_none_or(|to| at_ms <= to)
    }

    /// What was left out, in a sentence; empty where nothing was.
    fn left_out(&self, page: &BearingPage, offset_min: i64) -> String {
        let day = |ms| Stamp::second(ms, offset_min).date();
        let period = match (self.from_ms, self.until_ms) {
            (None, None) => None,
            (Some(from), None) => Some(format!("what happened before {}", day(from))),
            (None, Some(to)) => Some(format!("what happened after {}", day(to))),
            (Some(from), Some(to)) => Some(format!(
                "what happened before {} and after {}",
                day(from),
                day(to)
            )),
        };
        let has_cost = page.journal.iter().any(|line| line.kind == COST);
        let parts = [
            period,
            (!self.has_readings).then(|| "the raw readings".to_owned()),
            (!self.has_photos && page.sheets.iter().any(|s| !s.documents.is_empty()))
                .then(|| "the pictures".to_owned()),
            (!self.has_costs && has_cost).then(|| "what was paid".to_owned()),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        if parts.is_empty() {
            String::new()
        } else {
            format!(
                "Left out of this print: {}. The record holds it.",
                parts.join(", ")
            )
        }
    }
}

/// The kind of event that tells of money.
const COST: &str = "cost";

/// What the logbook knows of a bearing, in words ready to print.
///
/// # Errors
/// [`PrintError::NoSuch`] or what reading the logbook said.
pub fn history(
    conn: &store::Connection,
    bearing: ThingNo,
    parts: &HistoryParts,
    job: &PrintJob,
) -> Result<History> {
    let show = job.show;
    let mut page =
        query::bearing_page(conn, bearing, job.now, show)?.ok_or(PrintError::NoSuch("bearing"))?;
    with_other_sheets(conn, &mut page, show)?;
    let record = match query::record(conn, bearing)? {
        Some((store::payload::Record::Bearing(record), _)) => Some(record),
        _ => None,
    };
    let standards = sheet::standards(conn, &page.sheets)?;
    let is_in = |detail: &&SheetDetail| parts.holds(detail.event.at.ms);
    let printed: Vec<SheetDetail> = page.sheets.iter().filter(is_in).cloned().collect();
    let mut sheets = Vec::with_capacity(printed.len());
    let mut corrections = Corrections::default();
    for (number, detail) in (1..).zip(&page.sheets).filter(|(_, detail)| is_in(detail)) {
        // The limits of that day, not of today.
        let limits = limits_of(conn, &page, detail)?;
        let mut sheet = sheet::sheet(number, detail, &limits, &standards, show);
        if !parts.has_readings {
            sheet.tables.clear();
        }
        if parts.has_photos {
            sheet.photos = photos::of_sheet(conn, detail, photos::Size::Small)?;
        }
        corrections.of_sheet(detail, Some(sheets.len()), show);
        sheets.push(sheet);
    }
    let mut counted_not = query::withdrawn_sheets(conn, bearing, show)?;
    counted_not.retain(|detail| parts.holds(detail.event.at.ms));
    let standards = sheet::standards(conn, &counted_not)?;
    for detail in &counted_not {
        let limits = limits_of(conn, &page, detail)?;
        let mut sheet = sheet::sheet(0, detail, &limits, &standards, show);
        if !parts.has_readings {
            sheet.tables.clear();
        }
        sheets.push(sheet);
    }
    let left_out = parts.left_out(&page, job.now.offset_min);
    page.journal
        .retain(|line| parts.holds(line.at.ms) && (parts.has_costs || line.kind != COST));
    corrections.of_events(conn, &page.journal, &printed, job)?;
    let mut identity = facts::identity(&page, record.as_ref(), show);
    identity.extend(life::identity(&page, show));
    identity.extend(photos::papers(&query::documents_of(conn, bearing)?));
    Ok(History {
        plant: store::logbook::plant(conn)?,
        serial: page.line.serial.clone(),
        title_line: format!("History of bearing {}", page.line.serial),
        headline: facts::headline(&page),
        summary: facts::summary(&page, show),
        left_out,
        state: facts::state(&page),
        identity,
        limits: facts::limits(&page, job.now, show),
        ring_map_svg: pictures::rings(&page, show),
        growth_svg: pictures::growth(&page, job.now, show),
        notes: life::notes(&page, show),
        events: events::events(&page, show),
        sheets,
        corrections: corrections.into_list(),
        anchor: job.anchor.clone(),
        chain_check: chain_check(&printed),
        printed_at: job.now.date_time(),
        printed_utc: utc(job.now),
        printed_for: job.for_whom.clone(),
        program: job.program.clone(),
        demo: job.is_demo,
        cautions: CAUTIONS.map(str::to_owned).into(),
        signature_lines: facts::signature_lines(&page, job),
    })
}

/// The limits that a sheet was judged by: those of its own bearing's type on that day.
fn limits_of(
    conn: &store::Connection,
    page: &BearingPage,
    detail: &SheetDetail,
) -> Result<TypeFacts> {
    let own = query::type_of_sheet(conn, detail.event.no)?;
    let of = own.unwrap_or(page.bearing_type.no);
    Ok(TypeFacts::load(conn, of, detail.event.at.ms)?)
}

/// Adds to its teardowns the mounting sheets that name the bearing or a half of it, and, to those of an inner half, the
/// teardowns of the outer half that ran over it.
fn with_other_sheets(
    conn: &store::Connection,
    page: &mut BearingPage,
    show: store::entry::Show,
) -> Result<()> {
    let journal = page
        .journal
        .iter()
        .filter(|line| matches!(line.kind.as_str(), "mounting_sheet" | "teardown_sheet"));
    let others: Vec<i64> = journal
        .map(|line| line.no)
        .filter(|no| page.sheets.iter().all(|s| s.event.no != *no))
        .collect();
    for no in others {
        let detail = query::sheet_detail(conn, no, show)?;
        page.sheets
            .extend(detail.filter(|detail| !detail.is_withdrawn));
    }
    page.sheets.sort_by_key(|s| (s.event.at.ms, s.event.no));
    Ok(())
}

/// The history of a bearing as the bytes of a PDF.
///
/// # Errors
/// As [`history`], or the page could not be set.
pub fn history_pdf(
    conn: &store::Connection,
    bearing: ThingNo,
    parts: &HistoryParts,
    job: &PrintJob,
) -> Result<Vec<u8>> {
    Ok(report::history_pdf(&history(conn, bearing, parts, job)?)?)
}
