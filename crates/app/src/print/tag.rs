//! The tag that hangs on a thing on hold: which one, why, by whom, since when, what to do. Of the size of a postcard.

use report::{Label, LabelGrid, Labels};
use store::query::{entity_words, holds};
use store::{Connection, ThingNo};

use super::imprint::utc;
use super::{PrintError, PrintJob, Result};

/// DIN A6 across, um. Source: ISO 216:2007 (memory).
const WIDTH_UM: u32 = 148_000;
const HEIGHT_UM: u32 = 105_000;

/// The tag of a thing on hold.
pub(super) fn tag(conn: &Connection, thing: ThingNo, job: &PrintJob) -> Result<Labels> {
    let all = holds(conn, thing)?;
    let Some(held) = all.first() else {
        let found = store::query::find_things(conn)?;
        let code = found.into_iter().find(|t| t.no == thing).map(|t| t.code);
        return Err(PrintError::NotHeld(code.unwrap_or_else(|| "it".into())));
    };
    // One release ends every hold, so that whoever looks at it has to know them all.
    let why: Vec<String> = all
        .iter()
        .map(|held| {
            let by = if held.by.is_empty() {
                String::new()
            } else {
                format!(" by {}", held.by)
            };
            let why = held.reason.trim_end_matches('.');
            format!("{why}. Held{by} since {}.", held.since.date())
        })
        .collect();
    let label = Label {
        mark: held.code.clone(),
        kind: format!("ON HOLD: {}. Not to be used.", entity_words(&held.entity)),
        detail: format!(
            "Why: {} What to do: leave it as it is and keep it apart; the engineer looks at it and \
             releases it in the logbook, then this tag comes off.",
            why.join(" Also: ")
        ),
        owner: format!(
            "{}; record {}; printed {}",
            store::logbook::plant(conn)?,
            held.record,
            job.now.date_time()
        ),
    };
    Ok(Labels {
        title_line: format!("Hold tag, {}", held.code),
        grid: LabelGrid {
            page_width_um: WIDTH_UM,
            page_height_um: HEIGHT_UM,
            columns: 1,
            rows: 1,
            margin_left_um: 0,
            margin_top_um: 0,
            gap_across_um: 0,
            gap_down_um: 0,
            label_width_um: WIDTH_UM,
            label_height_um: HEIGHT_UM,
            skipped: 0,
        },
        labels: vec![label],
        printed_utc: utc(job.now),
        program: job.program.clone(),
    })
}
