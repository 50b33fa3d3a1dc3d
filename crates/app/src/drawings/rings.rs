//! The outer rings unrolled, with the mill time that each load zone has carried.

use calc::load_zone::{self, Zone};
use draw::RingMap;
use draw::ring_map::{LoadedArc, ZoneHours};
use store::entry::Show;
use store::query::BearingPage;

use super::hours;

/// The rings of a bearing: rows, the zone that is up with its loaded arc, hours of each zone. Set `row_height` to 33
/// where the map is the main thing on a page.
pub fn ring_map(page: &BearingPage, show: Show) -> RingMap {
    let rows = page
        .bearing_type
        .whole("rows_count")
        .unwrap_or(4)
        .clamp(1, 4);
    let zone_up = usize::try_from(page.line.zone - 1).ok().filter(|z| *z < 4);
    let zone_hours = page.zone_run_s.map(|run_s| ZoneHours {
        hours: hours(run_s),
        text: show.hours(run_s),
    });
    RingMap {
        rows: usize::try_from(rows).unwrap_or(4),
        row_height: 24.0,
        zone_up,
        loaded: zone_up.and_then(|up| loaded(page, Zone::ALL[up], show)),
        hours: Some(zone_hours),
        hours_unit: "h".into(),
        findings: Vec::new(),
        note_left: "Hours in the load, by zone.".into(),
        note_right: String::new(),
        title: format!(
            "Outer rings of {}, unrolled, with the hours of each load zone",
            page.line.serial
        ),
    }
}

fn loaded(page: &BearingPage, up: Zone, show: Show) -> Option<LoadedArc> {
    let width = page
        .bearing_type
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
