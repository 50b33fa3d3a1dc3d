//! The outer rings unrolled, with the mill time that each load zone has carried.

use calc::finding::{Finding, Part};
use calc::load_zone::{self, Zone};
use draw::ring_map::{FindingKind, FindingState, LoadedArc, RingFinding, ZoneHours};
use draw::{Hit, RingMap};
use store::entry::Show;
use store::query::BearingPage;
use store::sheet::TypeFacts;
use store::sheet::findings::{EarlierFinding, Seen};

use super::hours;

/// More rows than that are not drawn: a roll-neck bearing has two or four.
const ROWS_MAX: usize = 4;

/// The rings of a bearing: rows, the zone that is up with its loaded arc, hours of each zone. Set `row_height` to 33
/// where the map is the main thing on a page.
pub fn ring_map(page: &BearingPage, show: Show) -> RingMap {
    let rows = rows_of(&page.bearing_type);
    let told = show.rows.of(rows);
    let zone_up = usize::try_from(page.line.zone - 1).ok().filter(|z| *z < 4);
    let zone_hours = std::array::from_fn(|zone| ZoneHours {
        hours: hours(page.zone_run_s[zone]),
        text: show.hours(page.zone_run_s[zone]),
        below: format!("{} kt", show.kilotonnes(page.zone_rolled_kg[zone])),
    });
    let before = page
        .findings_before
        .iter()
        .map(|f| (f, FindingState::Earlier));
    let now = page.findings.iter().map(|f| (f, FindingState::Found));
    let has_before = before.clone().any(|(f, _)| f.finding.part.has_angles());
    let map = RingMap {
        rows,
        row_names: row_names(rows, show),
        row_height: 24.0,
        zone_up,
        loaded: zone_up.and_then(|up| loaded(Some(&page.bearing_type), Zone::ALL[up], show)),
        hours: Some(zone_hours),
        hours_unit: "h".into(),
        findings: before
            .chain(now)
            .filter_map(|(f, state)| {
                let marks = ring_finding(&f.finding, rows, state, &f.at.date())?;
                Some(marks.into_iter().map(|mark| RingFinding {
                    hit: Some(Hit {
                        key: u64::try_from(f.event).unwrap_or(0),
                        label: format!("{}: {}", f.at.date(), told.told(&f.finding.words())),
                    }),
                    ..mark
                }))
            })
            .flatten()
            .collect(),
        note_left: "Hours and tonnes in the load, by zone.".into(),
        note_right: if has_before {
            "dashed: before it was reconditioned".into()
        } else if page.findings.is_empty() {
            "No finding on any part.".into()
        } else {
            String::new()
        },
        title: format!(
            "Outer rings of {}, unrolled, with the hours of each load zone",
            page.line.serial
        ),
    };
    with_outside(map)
}

/// The rings of a sheet while findings are entered: those of the sheet, the one that is open, and earlier ones.
pub fn finding_map(
    seen: &[Seen],
    earlier: &[EarlierFinding],
    bearing_type: Option<&TypeFacts>,
    zone_up: Option<usize>,
    open: Option<usize>,
    show: Show,
) -> RingMap {
    let rows = bearing_type.map_or(ROWS_MAX, rows_of);
    let before = earlier
        .iter()
        .filter_map(|f| ring_finding(&f.finding, rows, FindingState::Earlier, &f.at.date()));
    let now = seen.iter().filter_map(|one| {
        let state = if open == Some(one.number) {
            FindingState::Edited
        } else {
            FindingState::Found
        };
        ring_finding(one.finding.as_ref()?, rows, state, &one.number.to_string())
    });
    let map = RingMap {
        rows,
        row_names: row_names(rows, show),
        row_height: 24.0,
        zone_up,
        loaded: zone_up.and_then(|up| loaded(bearing_type, Zone::ALL[up], show)),
        hours: None,
        hours_unit: "h".into(),
        findings: before.chain(now).flatten().collect(),
        note_left: format!(
            "Outer rings, unrolled; row {} at the barrel.",
            row_names(rows, show)[0]
        ),
        note_right: "dashed: earlier sheets".into(),
        title: "Outer rings unrolled, with what was found now and before".into(),
    };
    with_outside(map)
}

/// How many rows of a bearing of this type are drawn.
pub fn rows_of(bearing_type: &TypeFacts) -> usize {
    let rows = bearing_type.whole("rows_count");
    let rows = rows.and_then(|rows| usize::try_from(rows).ok());
    rows.unwrap_or(ROWS_MAX).clamp(1, ROWS_MAX)
}

/// With a line of its own under the rows for the outside diameter, where something was found on it.
pub fn with_outside(mut map: RingMap) -> RingMap {
    if map.findings.iter().any(|mark| mark.row > map.rows) {
        map.rows += 1;
        map.row_names.push("outside".into());
    }
    map
}

/// The marks of a finding on an outer ring of so many rows: one a row on its raceway, one under the rows on its outside
/// diameter; none for another part, which is told in words.
pub fn ring_finding(
    finding: &Finding,
    rows: usize,
    state: FindingState,
    label: &str,
) -> Option<Vec<RingFinding>> {
    let arc = finding.arc.filter(|_| finding.part.has_angles())?;
    let kind = match finding.mode.code {
        "5.3.2" | "5.3.3.3" | "5.5.2" => FindingKind::AtRollerPitch,
        code if code.starts_with("5.1") || code.starts_with("5.4") => FindingKind::Spalls,
        _ => FindingKind::Area,
    };
    let rows = match (finding.part, finding.row) {
        (Part::OutsideDiameter, _) => rows + 1..=rows + 1,
        (_, Some(row)) if usize::from(row) > rows => return None,
        (_, Some(row)) => usize::from(row)..=usize::from(row),
        (_, None) => 1..=rows,
    };
    let mark = |row| RingFinding {
        row,
        from_deg: arc.from_tenths() as f64 / 10.0,
        to_deg: arc.to_tenths() as f64 / 10.0,
        kind,
        state,
        label: label.to_owned(),
        hit: None,
    };
    Some(rows.map(mark).collect())
}

/// What the plant calls the rows, from the barrel on.
fn row_names(rows: usize, show: Show) -> Vec<String> {
    let named = show.rows.of(rows);
    (1..=rows).map(|row| named.row(row).to_string()).collect()
}

fn loaded(bearing_type: Option<&TypeFacts>, up: Zone, show: Show) -> Option<LoadedArc> {
    let width = bearing_type?
        .whole("loaded_arc_ddeg")
        .unwrap_or(load_zone::DEFAULT_ARC_TENTHS);
    let arc = load_zone::loaded_arc(up, width).ok()?;
    let (from, to) = (arc.from_tenths(), arc.to_tenths());
    let degrees = |tenths: i64| show.decimals(tenths, 10, u32::from(tenths % 10 != 0));
    Some(LoadedArc {
        from_deg: from as f64 / 10.0,
        to_deg: to as f64 / 10.0,
        label: format!(
            "loaded arc {}\u{b0}\u{2013}{}\u{b0}",
            degrees(from),
            degrees(to)
        ),
    })
}
