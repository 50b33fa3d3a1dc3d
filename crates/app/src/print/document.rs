//! All that can be printed, and of which thing: one list for the command line, the window and their tests.

use report::LabelGrid;
use store::{Connection, ThingNo};

use super::history::{HistoryParts, history_pdf};
use super::labels::Wanted;
use super::{
    OrderOf, PrintJob, Result, Sent, blank, chock, gauge, grind, handover, impact, labels,
    mounting, one_sheet, packet, stand, tag,
};

/// A document with the thing that it is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Document {
    /// The history of a bearing.
    History {
        /// Which bearing.
        bearing: ThingNo,
        /// What of it.
        parts: HistoryParts,
    },
    /// One signed sheet, by the number of its event here.
    Sheet(i64),
    /// The history of a chock.
    Chock(ThingNo),
    /// The calibrations of a gauge, and what was read with it.
    Gauge {
        /// Which gauge.
        gauge: ThingNo,
        /// Readings from this time on, ms UTC; none: since its newest calibration.
        since_ms: Option<i64>,
    },
    /// What a gauge that was found out has touched.
    Impact(ThingNo),
    /// The order to grind spacers.
    Grind(OrderOf),
    /// What goes with a chock or a bearing to a repair shop.
    Packet {
        /// What goes out.
        sent: Sent,
        /// With the newest sheet before this, ms UTC; none: the newest of all.
        until_ms: Option<i64>,
    },
    /// A stand in a period.
    Stand {
        /// Which stand.
        stand: ThingNo,
        /// Begin, ms UTC.
        from_ms: i64,
        /// End, ms UTC.
        until_ms: i64,
    },
    /// What the next shift has to know.
    Handover {
        /// What was entered after this, ms UTC, is new.
        since_ms: i64,
    },
    /// A sheet to be filled by hand, for bearings of a type.
    Blank(ThingNo),
    /// A mounting sheet to be filled by hand, likewise.
    BlankMounting(ThingNo),
    /// The tag of a thing on hold.
    Tag(ThingNo),
    /// Labels with codes.
    Labels {
        /// Of which things.
        of: Wanted,
        /// On which sheet.
        grid: LabelGrid,
    },
}

impl Document {
    /// The document as the bytes of a PDF.
    ///
    /// # Errors
    /// The thing is not there, the logbook could not be read, or the pages could not be set.
    pub fn pdf(&self, conn: &Connection, job: &PrintJob) -> Result<Vec<u8>> {
        Ok(match self {
            Self::History { bearing, parts } => history_pdf(conn, *bearing, parts, job)?,
            Self::Sheet(event) => report::paper_pdf(&one_sheet::paper(conn, *event, job)?)?,
            Self::Chock(chock) => report::paper_pdf(&chock::paper(conn, *chock, job)?)?,
            Self::Gauge { gauge, since_ms } => {
                report::paper_pdf(&gauge::paper(conn, *gauge, *since_ms, job)?)?
            }
            Self::Impact(gauge) => report::paper_pdf(&impact::paper(conn, *gauge, job)?)?,
            Self::Grind(of) => report::paper_pdf(&grind::paper(conn, *of, job)?)?,
            Self::Packet { sent, until_ms } => {
                report::paper_pdf(&packet::paper(conn, *sent, *until_ms, job)?)?
            }
            Self::Stand {
                stand,
                from_ms,
                until_ms,
            } => report::paper_pdf(&stand::paper(conn, *stand, *from_ms, *until_ms, job)?)?,
            Self::Handover { since_ms } => {
                report::paper_pdf(&handover::paper(conn, *since_ms, job)?)?
            }
            Self::Blank(bearing_type) => {
                report::blank_pdf(&blank::blank(conn, *bearing_type, job)?)?
            }
            Self::BlankMounting(bearing_type) => {
                report::blank_pdf(&mounting::blank(conn, *bearing_type, job)?)?
            }
            Self::Tag(thing) => report::labels_pdf(&tag::tag(conn, *thing, job)?)?,
            Self::Labels { of, grid } => {
                report::labels_pdf(&labels::labels(conn, of, *grid, job)?)?
            }
        })
    }
}
