//! The packet that goes with a chock or a bearing to a repair shop: what it is, what was found with every reading and
//! picture, what is asked for, what it must be when it comes back, and its papers.

use report::{Labelled, Mark, Marked, Paper, Part, SheetPart};
use store::entry::Show;
use store::query::{self, Document, JournalFilter, JournalLine, SheetDetail};
use store::sheet::TypeFacts;
use store::sheet::field::SeatName;
use store::{Connection, ThingNo};

use super::corrections::Corrections;
use super::imprint::{CAUTIONS, imprint, to_sign};
use super::{
    PrintError, PrintJob, Result, chock, counted, events, labelled, one_sheet, photos, pictures,
    sheet,
};

/// Events that tell of outside work and of what stands against a thing.
const TOLD: [&str; 6] = [
    "hold",
    "released",
    "sent_out",
    "returned",
    "deviation_accepted",
    "attached",
];

/// What goes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sent {
    /// A bearing set.
    Bearing(ThingNo),
    /// A chock.
    Chock(ThingNo),
}

impl Sent {
    fn no(self) -> ThingNo {
        match self {
            Self::Bearing(no) | Self::Chock(no) => no,
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Bearing(_) => "bearing",
            Self::Chock(_) => "chock",
        }
    }
}

/// The packet with the newest sheet up to `until_ms`, or the newest of all.
pub(super) fn paper(
    conn: &Connection,
    sent: Sent,
    until_ms: Option<i64>,
    job: &PrintJob,
) -> Result<Paper> {
    let show = job.show;
    let until_ms = until_ms.unwrap_or(i64::MAX);
    let code = query::code_of(conn, sent.no())?;
    let (identity, wanted, events_of) = told(conn, sent, job)?;
    let detail = events_of
        .into_iter()
        .rev()
        .find(|detail| detail.event.at.ms < until_ms);
    let filter = JournalFilter {
        thing: Some(sent.no()),
        ..JournalFilter::default()
    };
    let mut journal = query::journal(conn, &filter, show)?;
    journal.reverse();
    let sheet_ms = detail.as_ref().map_or(i64::MIN, |d| d.event.at.ms);
    let asked = asked(&journal, sheet_ms, detail.as_ref(), show);
    let papers = query::documents_of(conn, sent.no())?;
    let details: Vec<SheetDetail> = detail.into_iter().collect();
    let mut parts = vec![
        Part::Facts {
            title: "What is asked for".into(),
            note: "from the record".into(),
            rows: asked,
        },
        Part::Facts {
            title: "What it must be when it comes back".into(),
            note: "measured again in the own shop before it is accepted".into(),
            rows: wanted,
        },
        Part::Facts {
            title: "Papers enclosed".into(),
            note: "kept in the logbook under their hash".into(),
            rows: enclosed(&papers, details.first()),
        },
    ];
    let standards = sheet::standards(conn, &details)?;
    for detail in &details {
        parts.push(Part::Sheet(Box::new(found(
            conn, sent, detail, &code, &standards, show,
        )?)));
    }
    journal.retain(|line| TOLD.contains(&line.kind.as_str()));
    parts.push(Part::Events {
        title: "Outside work and holds before".into(),
        note: "oldest first".into(),
        lines: journal.iter().map(events::plain).collect(),
    });
    let mut imprint = imprint(conn, job, &details, &CAUTIONS)?;
    imprint.signature_lines = to_sign(&[
        ("", "handed over: name, date"),
        ("", "received, repair shop: name, date"),
        ("", "accepted on return: name, date"),
    ]);
    Ok(Paper {
        title_line: format!("Repair packet, {} {code}", sent.word()),
        name: format!("packet {code}"),
        counts: match details.first() {
            Some(detail) => counted(detail.body.readings.len(), "reading"),
            None => "no sheet".into(),
        },
        headline: match details.first() {
            Some(detail) => format!("As found on {}", detail.event.at.date()),
            None => "No signed sheet of it".into(),
        },
        state: state(sent, details.first()),
        summary: String::new(),
        left: identity,
        right: details.first().map(signed).unwrap_or_default(),
        parts,
        imprint,
    })
}

/// Rows that tell of the bearing as it stands today.
const OF_TODAY: [&str; 4] = ["revision", "mill time", "zone up now", "as set"];

/// What it is, what it must be, and its sheets, oldest first.
type Told = (Vec<Labelled>, Vec<Labelled>, Vec<SheetDetail>);

fn told(conn: &Connection, sent: Sent, job: &PrintJob) -> Result<Told> {
    let show = job.show;
    match sent {
        Sent::Chock(no) => {
            let page =
                query::chock_page(conn, no, job.now, show)?.ok_or(PrintError::NoSuch("chock"))?;
            let checks = page.checks.iter().filter(|check| check.bore.is_some());
            let sheets = checks.map(|check| check.sheet.clone()).collect();
            let identity = vec![
                labelled("chock", page.line.code.clone()),
                labelled("type", page.line.type_code.clone()),
                labelled("for bearings", page.bearing_type.code.clone()),
                labelled(
                    "mill time",
                    format!("{} h in this logbook", show.hours(page.total_run_s)),
                ),
            ];
            Ok((
                identity,
                chock::limits(&page.bearing_type, job.now, show),
                sheets,
            ))
        }
        Sent::Bearing(no) => {
            let page = query::bearing_page(conn, no, job.now, show)?
                .ok_or(PrintError::NoSuch("bearing"))?;
            let record = match query::record(conn, no)? {
                Some((store::payload::Record::Bearing(record), _)) => Some(record),
                _ => None,
            };
            // What it is, not how it stands today: the sheet that goes along is of its own day.
            let mut identity = super::facts::identity(&page, record.as_ref(), show);
            identity.retain(|row| !OF_TODAY.contains(&row.label.as_str()));
            let mut wanted = super::facts::limits(&page, job.now, show);
            wanted.retain(|row| !OF_TODAY.contains(&row.label.as_str()));
            Ok((identity, wanted, page.sheets))
        }
    }
}

/// What was written when it was sent out after that sheet; before that, what it was held for and what was decided.
fn asked(
    journal: &[JournalLine],
    sheet_ms: i64,
    detail: Option<&SheetDetail>,
    show: Show,
) -> Vec<Labelled> {
    let after = |kind: &str| {
        journal
            .iter()
            .find(|l| l.kind == kind && l.at.ms >= sheet_ms)
    };
    let words = |line: &JournalLine| {
        let pieces: Vec<&str> = line.pieces.iter().map(|p| p.text.as_str()).collect();
        format!(
            "{} ({}, record {})",
            pieces.join(": "),
            line.at.date(),
            line.id
        )
    };
    let mut rows = Vec::new();
    match after("sent_out") {
        Some(line) => rows.push(labelled("sent out", words(line))),
        None => rows.push(labelled(
            "to be done",
            "                                        ",
        )),
    }
    rows.extend(after("hold").map(|line| labelled("held because", words(line))));
    if let Some(detail) = detail {
        if let Some(t) = &detail.teardown {
            rows.push(labelled(
                "decided",
                query::decided_words(&t.decision.decided),
            ));
            rows.extend(
                (!t.decision.departure.is_empty())
                    .then(|| labelled("because", t.decision.departure.clone())),
            );
            rows.extend(
                detail
                    .entry("identify.note")
                    .map(|note| labelled("noted", note)),
            );
        }
        let failed: Vec<String> = detail
            .body
            .verdicts
            .iter()
            .filter(|v| v.verdict.starts_with("fail"))
            .map(|v| {
                let decided = store::sheet::whole(v, &detail.body).value_nm;
                let value = decided
                    .map_or_else(String::new, |nm| format!(" {}", value(&v.about, nm, show)));
                format!("{}{value}", super::title(v, detail, show))
            })
            .collect();
        if !failed.is_empty() {
            rows.push(labelled(
                "outside limits",
                format!("{} ({})", failed.join("; "), show.unit.sign()),
            ));
        }
    }
    rows
}

fn value(about: &str, nm: i64, show: Show) -> String {
    if matches!(about, "bore_mean" | "bore_smallest" | "bore_largest") {
        show.deviation(nm)
    } else {
        show.length(nm)
    }
}

fn signed(detail: &SheetDetail) -> Vec<Labelled> {
    vec![
        labelled("found", detail.event.at.date_time()),
        labelled("signed by", detail.signer.clone()),
        labelled("record", detail.event.id.to_string()),
    ]
}

/// Of a bearing what was decided, of a chock what its bore says.
fn state(sent: Sent, detail: Option<&SheetDetail>) -> Marked {
    let Some(detail) = detail else {
        return Marked {
            text: "not measured".into(),
            mark: Mark::Missing,
        };
    };
    if let (Sent::Bearing(_), Some(t)) = (sent, &detail.teardown) {
        let goes_back = t.reassembly.is_some();
        return Marked {
            text: query::decided_words(&t.decision.decided),
            mark: if goes_back { Mark::Pass } else { Mark::Fail },
        };
    }
    let bore = detail
        .body
        .verdicts
        .iter()
        .filter(|v| v.about.starts_with("bore"));
    let worst = calc::conformity::Verdict::worst(bore.filter_map(|v| v.verdict.parse().ok()));
    Marked {
        text: format!("bore: {}", worst.word()),
        mark: super::mark(worst.as_str()),
    }
}

fn enclosed(papers: &[Document], detail: Option<&SheetDetail>) -> Vec<Labelled> {
    let mut rows = photos::papers(papers);
    let count = detail.map_or(0, |d| d.documents.len());
    if count > 0 {
        rows.push(labelled(
            "pictures",
            format!("{}, printed with the sheet", counted(count, "picture")),
        ));
    }
    rows
}

/// The sheet in full with its pictures from the whole file; of a chock only its bore and what was found.
fn found(
    conn: &Connection,
    sent: Sent,
    detail: &SheetDetail,
    code: &str,
    standards: &sheet::Standards,
    show: Show,
) -> Result<SheetPart> {
    let mut detail = detail.clone();
    let limits: TypeFacts = one_sheet::limits(conn, &detail)?;
    if matches!(sent, Sent::Chock(_)) && detail.chock.is_empty() {
        code.clone_into(&mut detail.chock);
    }
    let mut body = sheet::sheet(1, &detail, &limits, standards, show);
    if matches!(sent, Sent::Chock(_)) {
        let part = chock::bore_check(1, &detail, body, &limits, show);
        body = part.sheet;
        body.drawings
            .extend(pictures::found(&detail, &limits, show));
    } else if let Some(stack) = pictures::stack(&detail, &limits, show, pictures::PAGE) {
        body.drawings.insert(0, stack);
    }
    body.title = "What was found".into();
    body.photos = photos::of_sheet(conn, &detail, photos::Size::Whole)?;
    if matches!(sent, Sent::Chock(_)) {
        let seen = detail
            .body
            .findings
            .iter()
            .filter_map(|f| Some((f.number, f.finding()?, f.note.clone())));
        body.notes.extend(seen.map(|(number, finding, note)| {
            let note = if note.is_empty() {
                note
            } else {
                format!(": {note}")
            };
            format!(
                "Finding {number} on the bearing that was in it: {}{note}.",
                detail.named_rows(show).told(&finding.words())
            )
        }));
    }
    let mut corrections = Corrections::default();
    corrections.of_sheet(&detail, None, show);
    let corrections = corrections.into_list();
    let is_told =
        |what: &str| matches!(sent, Sent::Bearing(_)) || what.starts_with(SeatName::Bore.title());
    Ok(SheetPart {
        sheet: body,
        corrections: corrections
            .into_iter()
            .filter(|c| is_told(&c.what))
            .collect(),
    })
}
