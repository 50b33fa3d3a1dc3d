//! A chock bore over time: the outline of every check with one enlargement, and the sizes of each plane.

use draw::growth::{Reading, Xy};
use draw::seat_trend::{Direction, Repair};
use draw::{BoreMap, Hit, SeatTrend};
use store::Stamp;
use store::entry::Show;
use store::query::{ChockCheck, ChockPage};
use store::sheet::field::{SEAT_DEGREES, SeatName};
use store::time::DAY_MS;

use super::{SeatSizes, bore_map, in_unit};

/// Checks whose grid was whole, oldest first.
pub fn whole_checks(page: &ChockPage) -> impl Iterator<Item = &ChockCheck> {
    page.checks
        .iter()
        .filter(|c| c.bore.as_ref().is_some_and(|b| !b.sizes_nm.is_empty()))
}

/// The outline of a check, by the limits of its day; none where its grid was not whole.
pub fn outline_of(page: &ChockPage, check: &ChockCheck, show: Show) -> Option<BoreMap> {
    let bore = check.bore.as_ref()?;
    let sizes_nm = SeatSizes::grid(&bore.sizes_nm);
    let sizes = SeatSizes {
        seat: SeatName::Bore,
        sizes_nm,
        bearing_type: &check.limits,
        title: format!("Bore of chock {} on {}", page.line.code, check.at().date()),
    };
    (!sizes.sizes_nm.is_empty()).then(|| bore_map(&sizes, show))
}

/// The outlines of the newest `count` checks, oldest first, with the enlargement that all of them have.
pub fn outlines(page: &ChockPage, count: usize, show: Show) -> (Vec<(&ChockCheck, BoreMap)>, u32) {
    let all: Vec<_> = whole_checks(page)
        .filter_map(|check| Some((check, outline_of(page, check, show)?)))
        .collect();
    let mut all = all[all.len().saturating_sub(count)..].to_vec();
    let least = all
        .iter()
        .map(|(_, map)| map.magnification_shown())
        .min()
        .unwrap_or(1);
    for (_, map) in &mut all {
        map.magnification = Some(least);
    }
    (all, least)
}

/// The sizes of every plane over time, all on one scale; none before there are two checks.
pub fn bore_trends(page: &ChockPage, show: Show) -> Vec<SeatTrend> {
    let checks: Vec<&ChockCheck> = whole_checks(page).collect();
    let planes = checks.iter().filter_map(|c| c.bore.as_ref());
    let planes = planes.map(|b| b.sizes_nm.len() / 4).max().unwrap_or(0);
    let nominal = |check: &ChockCheck| {
        let t = &check.limits;
        t.whole("chock_bore_nominal_nm")
            .or_else(|| t.whole("outside_nm"))
            .unwrap_or(0)
    };
    if checks.len() < 2 {
        return Vec::new();
    }
    let deviation = |check: &ChockCheck, plane: usize, direction: usize| {
        let bore = check.bore.as_ref()?;
        let nm = bore.sizes_nm.get(plane * 4 + direction)?;
        Some(nm - nominal(check))
    };
    let all = checks.iter().flat_map(|check| {
        let sizes = check.bore.iter().flat_map(|b| &b.sizes_nm);
        sizes.map(|nm| nm - nominal(check))
    });
    let last = checks[checks.len() - 1];
    let tolerance = last
        .limits
        .whole("chock_bore_lower_nm")
        .zip(last.limits.whole("chock_bore_upper_nm"));
    let ends = tolerance.map(|(low, high)| [low, high]);
    let all: Vec<i64> = all.chain(ends.into_iter().flatten()).collect();
    let unit = |nm: i64| in_unit(nm, show.unit);
    let y = all.iter().min().zip(all.iter().max());
    let y = y.map_or((0.0, 1.0), |(low, high)| (unit(*low), unit(*high)));
    let x = (day(checks[0].at()), day(last.at()));
    let direction = |plane: usize, index: usize| {
        let mut stretches: Vec<Vec<Reading>> = Vec::new();
        for check in &checks {
            if stretches.is_empty() || check.is_after_repair() {
                stretches.push(Vec::new());
            }
            let reading = deviation(check, plane, index).map(|nm| Reading {
                at: Xy {
                    x: day(check.at()),
                    y: unit(nm),
                },
                u: 0.0,
                hit: Some(Hit {
                    key: u64::try_from(check.event()).unwrap_or(0),
                    label: format!(
                        "plane {} at {}\u{b0}, {}: {}",
                        plane + 1,
                        SEAT_DEGREES[index],
                        check.at().date(),
                        show.deviation(nm)
                    ),
                }),
            });
            if let Some(stretch) = stretches.last_mut() {
                stretch.extend(reading);
            }
        }
        Direction {
            label: format!("{}\u{b0}", SEAT_DEGREES[index]),
            stretches,
        }
    };
    let repairs: Vec<Repair> = checks
        .iter()
        .filter(|check| check.is_after_repair())
        .map(|check| Repair {
            x: day(check.at()),
            label: "back from repair".into(),
        })
        .collect();
    (0..planes)
        .map(|plane| SeatTrend {
            y_label: format!("plane {}, from nominal, {}", plane + 1, show.unit.sign()),
            directions: (0..SEAT_DEGREES.len())
                .map(|index| direction(plane, index))
                .collect(),
            tolerance: tolerance.map(|(low, high)| (unit(low), unit(high))),
            repairs: repairs.clone(),
            y,
            x,
            has_comma: show.comma,
            title: format!(
                "Sizes of plane {} of chock {} over time: {}",
                plane + 1,
                page.line.code,
                told(&checks, |check, index| deviation(check, plane, index), show)
            ),
        })
        .collect()
}

/// Every check in words, for those who cannot see it.
fn told(
    checks: &[&ChockCheck],
    deviation: impl Fn(&ChockCheck, usize) -> Option<i64>,
    show: Show,
) -> String {
    let one = |check: &&ChockCheck| {
        let sizes = (0..SEAT_DEGREES.len()).filter_map(|index| deviation(check, index));
        let sizes: Vec<String> = sizes.map(|nm| show.deviation(nm)).collect();
        format!("{} {}", check.at().date(), sizes.join(" "))
    };
    checks.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// The day on the wall clock, counted from 1970-01-01.
fn day(at: Stamp) -> f64 {
    (at.ms + at.offset_min * 60_000) as f64 / DAY_MS as f64
}
