//! Reading the derived tables into plain models for the views and the prints. Nothing here writes.

mod back;
mod bearing;
mod chock;
mod corrections;
mod due;
mod due_lines;
mod event;
mod expected;
mod exposure;
mod field_life;
mod gauge;
mod halves;
mod held;
mod impact;
mod journal;
mod life;
mod looked_at;
mod lost;
mod places;
mod register;
mod sheet;
mod stand;
mod stand_growth;
mod stands;
mod stays;
mod thing;
mod thing_use;
mod today;
mod type_rows;
mod versions;
mod wear;
mod words;
mod work;

pub use back::BackLine;
pub(crate) use back::{Back, unmeasured_since};
pub use bearing::{
    BearingLine, BearingPage, BearingState, GrowthPoint, PairNow, Turn, bearing_page, bearings,
};
pub use chock::{BoreCheck, ChockCheck, ChockLine, ChockPage, chock_page, chocks};
pub use corrections::{
    AmendedPlace, Document, SheetMark, amended_places, documents_of, documents_with, sheet_marks,
};
pub use due::{Clock, Counts, Due, Intervals, Said, Standing, Stay};
pub use due_lines::{DueLine, Plan, due_lines};
pub use event::{EventPage, event_page};
pub use expected::{ExpectedLimit, expected_limits};
pub(crate) use exposure::touched as touched_by;
pub use exposure::{Exposure, Exposures, MovedExposure, exposures, moved_exposure};
pub use field_life::{Failed, FailedBy, LifeLine};
pub use gauge::{Calibration, GaugePage, GaugeUse, gauge_page};
pub use halves::{Halves, Together, halves};
pub use held::{Held, held, holds};
pub(crate) use impact::found_out_at;
pub use impact::{
    Act, Again, Impact, ImpactLine, ImpactReading, Release, Suspect, impacts, suspects_of,
};
pub use journal::{Amended, Campaigns, JournalFilter, JournalLine, journal};
pub use life::{LifeUsed, Lubricated, Spectrum, life_used};
pub(crate) use looked_at::past_interval;
pub use looked_at::past_interval_in;
pub use lost::{Lost, lost_at};
pub use places::{StandPlace, StandPlaces, stand_places};
pub use register::{FoundThing, RegisterTable, ThingRow, find_things, record, register_table};
pub(crate) use sheet::rows_of;
pub use sheet::{
    SheetDetail, bore_planes, find_sheets, sheet_detail, sheets_of_bearing, type_of_sheet,
    withdrawn_sheets,
};
pub use stand::{FindingCount, PositionRun, StandReview, StandTeardown, stand_review};
pub use stand_growth::{
    BACK_DAYS as GROWTH_DAYS, Growths, PlaceGrowth, StandGrowth, TypeGrowth, growth_by_stand,
};
pub use stands::{Cost, FactorLine, SpareLine, StandLine, StandsPage, stands_page};
pub use stays::{ChockStay, stays_of_chock};
pub use thing::{ThingPage, thing_page};
pub use today::{
    AHEAD_DAYS, EarlyTeardown, EmptyChock, GaugeDue, HoldLine, NearLimit, OpenConflict, ShortStock,
    Today, likely_limits, today,
};
pub use versions::{TypeVersion, ValueChange, type_versions};
pub use wear::{Grown, KeptWear, NoWear, OwnWear, Question, ShopWear, WearPool, shop_wear};
pub use words::{Piece, Tone, decided_words, entity_words, error_words, zone_numeral};
pub use work::{AwayLine, InWork, JobLine, PlaceWork, ReopenedLine, in_work};

use rusqlite::{Connection, OptionalExtension, Row};

use crate::error::Result;
use crate::id::ThingNo;
use crate::time::{Precision, Stamp};

/// Event time of a row with the columns `at_ms`, `at_offset_min`, `at_precision`.
pub(crate) fn stamp_from_row(row: &Row<'_>) -> rusqlite::Result<Stamp> {
    let precision: String = row.get("at_precision")?;
    Ok(Stamp {
        ms: row.get("at_ms")?,
        offset_min: row.get("at_offset_min")?,
        precision: Precision::parse(&precision).unwrap_or(Precision::Second),
    })
}

/// Code of a thing.
pub fn code_of(conn: &Connection, thing: ThingNo) -> Result<String> {
    let code = conn
        .prepare_cached("SELECT code FROM thing WHERE no = ?1")?
        .query_row([thing.0], |row| row.get(0));
    Ok(code.optional()?.unwrap_or_else(|| "?".into()))
}

/// Goes up with every event: what was worked out at the same number need not be worked out again.
pub fn revision(conn: &Connection) -> Result<i64> {
    Ok(
        conn.query_row("SELECT coalesce(max(no), 0) FROM event", [], |row| {
            row.get(0)
        })?,
    )
}
