//! The history of a chock: what it is, which bearings were in it, how its bore went, what happened.

use report::{Cell, Column, Labelled, Mark, Marked, Paper, Part, SheetPart, Table};
use store::entry::Show;
use store::query::{self, ChockPage, ChockStay, SheetDetail, zone_numeral};
use store::sheet::TypeFacts;
use store::sheet::field::SeatName;
use store::{Connection, Stamp, ThingNo};

use super::corrections::Corrections;
use super::imprint::{CAUTIONS, imprint};
use super::{
    PrintError, PrintJob, Result, counted, events, labelled, mark, pictures, readings, sheet,
};

/// The document.
pub(super) fn paper(conn: &Connection, chock: ThingNo, job: &PrintJob) -> Result<Paper> {
    let show = job.show;
    let page = query::chock_page(conn, chock, job.now, show)?.ok_or(PrintError::NoSuch("chock"))?;
    let stays = query::stays_of_chock(conn, chock)?;
    let mut checks = Vec::new();
    for check in page.checks.iter().filter(|check| check.bore.is_some()) {
        checks.push(check.sheet.clone());
    }
    let standards = sheet::standards(conn, &checks)?;
    let mut parts = vec![
        Part::Table(stays_table(&stays, job.now.offset_min, show)),
        Part::Table(bores_table(&page, show)),
    ];
    parts.extend(pictures::bores_over_time(&page, show).map(Part::Drawing));
    parts.extend(faces_table(&page, show).map(Part::Table));
    parts.extend([Part::Events {
        title: "What happened".into(),
        note: "oldest first; mill hours stand with the stays".into(),
        lines: page.journal.iter().rev().map(events::plain).collect(),
    }]);
    for (number, detail) in (1..).zip(&mut checks) {
        // A chock measured after outside work is named by its entry alone.
        if detail.chock.is_empty() {
            detail.chock.clone_from(&page.line.code);
        }
        // The limits of that day, not of today.
        let limits = TypeFacts::load(conn, page.bearing_type.no, detail.event.at.ms)?;
        let whole = sheet::sheet(number, detail, &limits, &standards, show);
        parts.push(Part::Sheet(Box::new(bore_check(
            number, detail, whole, &limits, show,
        ))));
    }
    let line = &page.line;
    Ok(Paper {
        title_line: format!("History of chock {}", line.code),
        name: line.code.clone(),
        counts: [
            counted(page.journal.len(), "event"),
            counted(stays.len(), "stay"),
            counted(checks.len(), "bore check"),
        ]
        .join(", "),
        headline: headline(&page),
        state: state(&page),
        left: identity(&page, show),
        right: limits(&page.bearing_type, job.now, show),
        parts,
        imprint: imprint(conn, job, &checks, &CAUTIONS)?,
        ..Paper::default()
    })
}

fn headline(page: &ChockPage) -> String {
    let line = &page.line;
    let place = match (line.place.as_str(), line.place_note.as_str()) {
        ("mill", position) => format!("In the mill at {position}"),
        ("away", whom) if !whom.is_empty() => format!("Away at {whom}"),
        ("scrapped", _) => "Scrapped".into(),
        (place, _) => format!("In the {place}"),
    };
    let hold = line
        .held
        .as_ref()
        .map_or_else(|| "no hold".into(), |why| format!("on hold: {why}"));
    format!("{place}, {hold}")
}

fn state(page: &ChockPage) -> Marked {
    if page.line.held.is_some() {
        return Marked {
            text: "on hold".into(),
            mark: Mark::Missing,
        };
    }
    match page.line.bore_verdict.as_str() {
        "" => Marked {
            text: "bore not checked yet".into(),
            mark: Mark::NotApplicable,
        },
        verdict => {
            let mark = mark(verdict);
            Marked {
                text: format!("bore: {}", mark.word()),
                mark,
            }
        }
    }
}

fn identity(page: &ChockPage, show: Show) -> Vec<Labelled> {
    let line = &page.line;
    let mut rows = vec![labelled("type", line.type_code.clone())];
    for (_, serial, seat) in &line.bearings {
        rows.push(labelled(format!("{seat} seat"), serial.clone()));
    }
    if !line.roll.is_empty() {
        rows.push(labelled("on roll", line.roll.clone()));
    }
    rows.push(labelled(
        "mill time",
        format!("{} h in this logbook", show.hours(page.total_run_s)),
    ));
    rows.push(labelled(
        "this stay",
        format!("{} h", show.hours(line.stay_run_s)),
    ));
    rows
}

/// Limits of the bore, valid at the time of the print.
pub(super) fn limits(t: &TypeFacts, now: Stamp, show: Show) -> Vec<Labelled> {
    let unit = show.unit.sign();
    let mut rows = Vec::new();
    let nominal = t.whole("chock_bore_nominal_nm").or(t.whole("outside_nm"));
    rows.extend(nominal.map(|nm| labelled("bore, nominal", show.length_unit(nm))));
    let drawing = t
        .whole("chock_bore_lower_nm")
        .zip(t.whole("chock_bore_upper_nm"));
    rows.extend(drawing.map(|(low, high)| {
        let text = format!("{} to {} {unit}", show.deviation(low), show.deviation(high));
        labelled("drawing", text)
    }));
    for (name, label) in [
        ("chock_bore_mean_max_nm", "rework, mean"),
        ("chock_bore_largest_max_nm", "largest size, deviation"),
        ("chock_ovality_max_nm", "ovality"),
        ("chock_taper_max_nm", "taper"),
    ] {
        rows.extend(
            t.whole(name)
                .map(|nm| labelled(label, format!("at most {}", show.length_unit(nm)))),
        );
    }
    rows.push(labelled("limits", super::facts::version(t, now.offset_min)));
    rows
}

fn stays_table(stays: &[ChockStay], offset_min: i64, show: Show) -> Table {
    let day = |ms| Stamp::second(ms, offset_min).date();
    let rows = stays.iter().map(|stay| {
        let hours = show.hours(stay.run_s);
        vec![
            Cell::text(day(stay.from_ms)),
            Cell::text(stay.to_ms.map_or_else(|| "still in".into(), day)),
            Cell::text(&stay.bearing.1),
            Cell::text(&stay.seat),
            Cell::text(if stay.zone > 0 {
                zone_numeral(stay.zone)
            } else {
                "\u{2013}"
            }),
            Cell::text(if stay.has_estimate {
                format!("{hours} est.")
            } else {
                hours
            }),
            Cell::text(show.kilotonnes(stay.rolled_kg)),
            Cell::text(stay.campaigns.to_string()),
            Cell::text(&stay.positions),
        ]
    });
    Table {
        title: "Bearings in it".into(),
        note: "est.: some of the mill time is an estimate".into(),
        columns: vec![
            Column::text("from"),
            Column::text("to"),
            Column::text("bearing"),
            Column::text("seat"),
            Column::text("zone"),
            Column::number("h"),
            Column::number("kt"),
            Column::number("campaigns"),
            Column::wide("ran at"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

/// How the bore went, a row a check.
fn bores_table(page: &ChockPage, show: Show) -> Table {
    let checks = page.checks.iter();
    let bores = checks.filter_map(|check| Some((check, check.bore.as_ref()?)));
    let rows = bores.map(|(check, bore)| {
        let verdicts = check
            .verdicts()
            .filter(|(_, v)| v.about.starts_with("bore_"));
        let verdicts: Vec<calc::conformity::Verdict> = verdicts
            .filter_map(|(_, v)| v.verdict.parse().ok())
            .collect();
        let worst = if verdicts.is_empty() {
            Cell::text("not judged")
        } else {
            Cell::verdict(mark(calc::conformity::Verdict::worst(verdicts).as_str()))
        };
        let ovality: Vec<String> = bore.ovality_nm.iter().map(|nm| show.length(*nm)).collect();
        vec![
            Cell::text(check.at().date()),
            Cell::text(show.deviation(bore.mean_nm)),
            Cell::text(ovality.join(" / ")),
            Cell::text(bore.taper_nm.map_or_else(String::new, |nm| show.length(nm))),
            worst,
        ]
    });
    Table {
        title: "Bore over time".into(),
        note: format!(
            "{} at 20 \u{b0}C; the checks with every reading follow",
            show.unit.sign()
        ),
        columns: vec![
            Column::text("date"),
            Column::number("mean, from nominal"),
            Column::number("ovality, plane by plane"),
            Column::number("taper"),
            Column::wide("worst verdict"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

/// Shoulder, cover face and width over the liners, a row a reading; none where nothing was measured.
fn faces_table(page: &ChockPage, show: Show) -> Option<Table> {
    let mut rows = Vec::new();
    for check in &page.checks {
        for (_, v) in check
            .verdicts()
            .filter(|(_, v)| v.about.starts_with("chock_"))
        {
            rows.push(vec![
                Cell::text(check.at().date()),
                Cell::text(super::about_words(&v.about, v.item, show.rows.four())),
                Cell::text(v.value_nm.map_or_else(String::new, |nm| show.length(nm))),
                Cell::text(match (v.lower_nm, v.upper_nm) {
                    (Some(low), None) => format!("at least {}", show.length(low)),
                    (_, Some(high)) => format!("at most {}", show.length(high)),
                    (None, None) => String::new(),
                }),
                Cell::verdict(mark(&v.verdict)),
            ]);
        }
    }
    (!rows.is_empty()).then(|| Table {
        title: "Faces and liners".into(),
        note: show.unit.sign().into(),
        columns: vec![
            Column::text("date"),
            Column::text("what"),
            Column::number("found"),
            Column::text("limit"),
            Column::wide("verdict"),
        ],
        rows,
        half: false,
    })
}

/// What a sheet says of the bore, and nothing else of it.
pub(super) fn bore_check(
    number: usize,
    detail: &SheetDetail,
    whole: report::SheetDetail,
    limits: &TypeFacts,
    show: Show,
) -> SheetPart {
    let is_bore = |about: &str| about.starts_with("Chock bore");
    let gauge = detail.entry("bore.gauge").unwrap_or_default();
    let signers: Vec<&str> = whole.signers.iter().map(|s| s.who.as_str()).collect();
    let bearing = match detail.bearing.as_str() {
        "" => String::new(),
        serial => format!("Bearing {serial}. "),
    };
    let mut corrections = Corrections::default();
    corrections.of_sheet(detail, None, show);
    let told = format!("{bearing}Signed by {}.", signers.join(", "));
    SheetPart {
        sheet: report::SheetDetail {
            title: format!("Bore check {number}"),
            chock: String::new(),
            roll: String::new(),
            found: Vec::new(),
            tables: readings::of_seat(detail, SeatName::Bore, show),
            drawings: pictures::bore(detail, limits, show).into_iter().collect(),
            gauges: whole
                .gauges
                .into_iter()
                .filter(|line| line.code.eq_ignore_ascii_case(gauge))
                .collect(),
            verdicts: whole
                .verdicts
                .into_iter()
                .filter(|line| is_bore(&line.about))
                .collect(),
            notes: std::iter::once(told)
                .chain(whole.notes)
                .filter(|note| !note.starts_with(SeatName::Neck.title()))
                .collect(),
            signers: Vec::new(),
            decision: None,
            not_measured: Vec::new(),
            ..whole
        },
        corrections: corrections
            .into_list()
            .into_iter()
            .filter(|correction| correction.what.starts_with(SeatName::Bore.title()))
            .collect(),
    }
}
