//! What the gallery shows and the tests check: drawings of the invented demo plant, and crowded or
//! unfinished ones.
#![allow(missing_docs)] // not part of the library

use draw::bore_map::{LimitLine, Plane, Tolerance};
use draw::clock::ClockMark;
use draw::growth::{
    BandPoint, Crossing, Event, Forecast, Level, Reading, Segment, Series, XScale, Xy,
};
use draw::marks::alone;
use draw::ring_map::{FindingKind, FindingState, LoadedArc, RingFinding, ZoneHours};
use draw::scatter::{Axis, Dot, Line, Role, Scale};
use draw::stack_map::PairNote;
use draw::tolerance_zones::Zone;
use draw::{
    BoreMap, Clock, Glyph, Growth, HeatBar, Hit, Mark, Pair, RingMap, Scatter, Scene, StackMap,
    Text, Token, ToleranceZones, font, pos,
};

#[path = "stands.rs"]
mod stands;

/// Every drawing with its name.
pub fn all() -> Vec<(&'static str, Scene)> {
    let mut all = vec![
        ("stack", stack(TYPE_480, Some(Pair::P2)).scene(792.0)),
        ("stack-wide", stack(TYPE_480, None).scene(1312.0)),
        ("stack-narrow", stack(TYPE_480, Some(Pair::P1)).scene(480.0)),
        ("stack-560", stack(TYPE_560, Some(Pair::P3)).scene(640.0)),
        ("stack-300", stack(TYPE_300, Some(Pair::P3)).scene(640.0)),
        ("bore", bore(&MARCH_2026, 3).scene(360.0)),
        ("bore-back", bore(&JUNE_2026, 3).scene(360.0)),
        ("bore-begun", bore_begun().scene(360.0)),
        ("neck", neck().scene(330.0)),
        ("rings", rings().scene(404.0)),
        ("rings-findings", findings().scene(792.0)),
        ("rings-print", findings().scene(460.0)),
        ("growth", growth(false).scene(684.0, 358.0)),
        ("growth-regrind", growth(true).scene(684.0, 358.0)),
        ("growth-wide", growth(false).scene(1168.0, 560.0)),
        ("growth-inch", growth_in(1.0 / 25.4).scene(520.0, 320.0)),
        ("growth-dates", growth_dates().scene(600.0, 320.0)),
        ("growth-empty", growth_empty().scene(560.0, 300.0)),
        ("growth-crowded", growth_crowded().scene(520.0, 300.0)),
        ("clock", clock().scene(240.0)),
        (
            "fit-clearance",
            fit([-45.0, 0.0], [-108.0, -68.0]).scene(463.0),
        ),
        ("fit-tight", fit([-45.0, 0.0], [17.0, 57.0]).scene(463.0)),
        ("fit-crowded", fit([0.0, 0.4], [-0.3, 0.1]).scene(400.0)),
        ("tolerance", tolerance().scene(463.0)),
        ("heating", heating(68.8).scene(463.0)),
        ("heating-near", heating(116.4).scene(463.0)),
        ("heating-over", heating(151.0).scene(463.0)),
        ("points", points(false).scene(463.0)),
        ("points-log", points(true).scene(360.0)),
        ("marks", marks()),
    ];
    all.extend(stands::all());
    all
}

pub fn fit(hole: [f64; 2], shaft: [f64; 2]) -> ToleranceZones {
    let zone = |name: &str, [lower, upper]: [f64; 2]| Zone {
        lower,
        upper,
        label: format!("{name} {upper}/{lower}").replace('-', "\u{2212}"),
    };
    ToleranceZones {
        origin: "\u{b5}m from 480.000".into(),
        smallest: format!("{:.1}", hole[0] - shaft[1]).replace('-', "\u{2212}"),
        largest: format!("{:.1}", hole[1] - shaft[0]).replace('-', "\u{2212}"),
        hole: Some(zone("ring bore", hole)),
        shaft: Some(zone("neck", shaft)),
        has_comma: false,
        title: "Tolerance zones of ring bore and neck".into(),
    }
}

pub fn tolerance() -> ToleranceZones {
    ToleranceZones {
        shaft: None,
        ..fit([0.0, 63.0], [0.0, 0.0])
    }
}

/// Points with their line, or failures on Weibull's paper.
pub fn points(is_paper: bool) -> Scatter {
    let xy = |x: f64, y: f64| Xy { x, y };
    let clearances = [260.0, 290.0, 380.0, 440.0, 470.0, 480.0, 540.0];
    let hours = [0.0, 0.8, 3.7, 6.0, 8.1, 9.7, 12.3];
    let shares = [0.05, 0.18, 0.32, 0.45, 0.6, 0.75, 0.92];
    let place = |i: usize| {
        if is_paper {
            xy(4_000.0 + 1_000.0 * hours[i], shares[i])
        } else {
            xy(hours[i], clearances[i])
        }
    };
    let dot = |i: usize| Dot {
        at: place(i),
        group: if is_paper { Pair::P1 } else { Pair::ALL[i % 3] },
    };
    let line = |role, from: Xy, to: Xy| Line {
        points: vec![from, to],
        role,
        label: if role == Role::Guide { "" } else { "fit" }.into(),
    };
    let axis = |label: &str, scale| Axis {
        label: label.into(),
        scale,
    };
    Scatter {
        x: axis(
            "running time",
            if is_paper { Scale::Log } else { Scale::Even },
        ),
        y: axis(
            "what is told",
            if is_paper {
                Scale::Weibull
            } else {
                Scale::Even
            },
        ),
        dots: (0..hours.len()).map(dot).collect(),
        lines: vec![
            line(Role::Guide, xy(1.0, 0.1), xy(1e6, 0.1)),
            line(Role::Fit, place(0), place(6)),
            line(Role::Guide, xy(-50.0, -700.0), xy(50.0, 1_400.0)),
        ],
        has_comma: false,
        title: "Points with their line".into(),
    }
}

pub fn heating(needed: f64) -> HeatBar {
    HeatBar {
        from: 22.0,
        needed,
        needed_label: format!("{needed} needed"),
        limit: 120.0,
        limit_label: "120 limit".into(),
        unit: "\u{b0}C".into(),
        has_comma: false,
        title: "Temperature needed and its limit".into(),
    }
}

pub type Sizes = (f64, f64, f64, [f64; 3]);
pub const TYPE_480: Sizes = (480.0, 620.0, 336.0, [24.0, 30.0, 24.0]);
pub const TYPE_560: Sizes = (560.0, 780.0, 460.0, [28.0, 34.0, 28.0]);
pub const TYPE_300: Sizes = (300.0, 424.0, 310.0, [18.0, 22.0, 18.0]);

pub fn stack((bore_mm, outside_mm, width_mm, spacers_mm): Sizes, lit: Option<Pair>) -> StackMap {
    let note = |name: &str, value: &str, is_read, note: &str| PairNote {
        name: name.into(),
        value: value.into(),
        is_read,
        note: note.into(),
        hit: None,
    };
    StackMap {
        bore_mm,
        outside_mm,
        width_mm,
        spacers_mm,
        lit,
        pairs: [
            note("gap 1", "23.372", true, ""),
            note("gap 2", "29.421", true, "from 2 of 4 places"),
            note("gap 3", "not read", false, ""),
        ],
        barrel: "barrel".into(),
        outboard: "outboard".into(),
        note_left: "half section, to scale".into(),
        note_right: "mm, at 20 °C".into(),
        title: "Half section of the bearing, to scale, with the gaps of its row pairs".into(),
    }
}

pub const MARCH_2026: [[f64; 4]; 3] = [
    [0.062, 0.118, 0.214, 0.126],
    [0.055, 0.101, 0.188, 0.109],
    [0.049, 0.088, 0.151, 0.093],
];
pub const JUNE_2026: [[f64; 4]; 3] = [
    [0.021, 0.024, 0.026, 0.023],
    [0.020, 0.023, 0.025, 0.022],
    [0.019, 0.022, 0.024, 0.022],
];

pub fn bore(planes: &[[f64; 4]; 3], known: usize) -> BoreMap {
    let planes = planes.iter().take(known).enumerate().map(|(i, v)| Plane {
        name: format!("plane {}", i + 1),
        deviations_mm: v.map(Some),
        hits: [0, 1, 2, 3].map(|k: u64| {
            Some(Hit {
                key: k,
                label: format!("{:.3}", 620.0 + v[k as usize]),
            })
        }),
    });
    BoreMap {
        has_comma: false,
        nominal_mm: 620.0,
        planes: planes.collect(),
        tolerance: Some(Tolerance {
            lower_mm: 0.0,
            upper_mm: 0.070,
            label: "0 to +0.070".into(),
        }),
        limits: vec![LimitLine {
            deviation_mm: 0.120,
            label: "+0.120, mean".into(),
        }],
        magnification: None,
        notes: vec!["nominal 620".into(), "seen from outboard".into()],
        deviation: "deviation".into(),
        directions: ["0°", "45°", "90°", "135°"].map(Into::into),
        title: "Bore of chock WC-17, three planes".into(),
    }
}

pub fn bore_begun() -> BoreMap {
    let mut map = bore(&MARCH_2026, 2);
    map.planes[1].deviations_mm[2] = None;
    map.planes[1].deviations_mm[3] = None;
    map
}

pub fn neck() -> BoreMap {
    let mut map = bore(
        &[
            [-0.291, -0.296, -0.302, -0.294],
            [-0.281, -0.285, -0.288, -0.283],
            [0.0; 4],
        ],
        2,
    );
    map.nominal_mm = 480.0;
    map.tolerance = Some(Tolerance {
        lower_mm: -0.300,
        upper_mm: -0.240,
        label: "−0.300 to −0.240".into(),
    });
    map.limits = vec![LimitLine {
        deviation_mm: -0.340,
        label: "−0.340, rework".into(),
    }];
    map.notes = vec!["nominal 480".into()];
    map
}

pub fn rings() -> RingMap {
    let zone = |hours: f64, text: &str| ZoneHours {
        hours,
        text: text.into(),
        below: String::new(),
    };
    RingMap {
        rows: 4,
        row_names: Vec::new(),
        row_height: 24.0,
        zone_up: Some(0),
        loaded: None,
        hours: Some([
            zone(1015.0, "1,015"),
            zone(990.0, "990"),
            zone(1020.0, "1,020"),
            zone(1005.0, "1,005"),
        ]),
        hours_unit: "h".into(),
        findings: Vec::new(),
        note_left: "Hours in the load, by zone.".into(),
        note_right: "No finding on any row.".into(),
        title: "Outer rings of TH-4T-031, unrolled".into(),
    }
}

pub fn findings() -> RingMap {
    use FindingKind::{Area, AtRollerPitch, Spalls};
    use FindingState::{Earlier, Edited, Found};

    let mark = |row, from_deg, to_deg, kind, state, label: &str| RingFinding {
        row,
        from_deg,
        to_deg,
        kind,
        state,
        label: label.into(),
        hit: Some(Hit {
            key: 1,
            label: label.into(),
        }),
    };
    RingMap {
        row_height: 33.0,
        zone_up: Some(3),
        loaded: Some(LoadedArc {
            from_deg: 195.0,
            to_deg: 345.0,
            label: "loaded arc as found 195°–345°".into(),
        }),
        hours: None,
        findings: vec![
            mark(1, 350.0, 40.0, AtRollerPitch, Earlier, "stains 2024-11-26"),
            mark(1, 175.0, 230.0, AtRollerPitch, Earlier, "etched 2025-07-29"),
            mark(1, 200.0, 228.0, Spalls, Edited, "1  spalls 200°–228°"),
            mark(2, 350.0, 40.0, AtRollerPitch, Earlier, ""),
            mark(3, 300.0, 60.0, Area, Found, "2  wide path"),
            mark(4, 100.0, 128.0, Spalls, Found, "3  spalls"),
        ],
        note_left: String::new(),
        note_right: String::new(),
        ..rings()
    }
}

pub const HOURS: [f64; 5] = [0.0, 1_015.0, 2_005.0, 3_025.0, 4_030.0];
pub const PLAYS: [[f64; 6]; 3] = [
    [0.300, 0.380, 0.440, 0.510, 0.575, 0.640],
    [0.300, 0.370, 0.420, 0.480, 0.530, 0.580],
    [0.300, 0.375, 0.435, 0.505, 0.570, 0.630],
];
/// Straight lines through the readings of the first four teardowns: start and growth an hour.
pub const FITS: [(f64, f64); 3] = [(0.3137, 6.49e-5), (0.3167, 5.30e-5), (0.3099, 6.45e-5)];

pub fn growth(is_reground: bool) -> Growth {
    let read = |x: f64, y: f64| Reading {
        at: Xy { x, y },
        u: 0.015,
        hit: Some(Hit {
            key: x as u64,
            label: format!("{y:.3} mm ± 0.015, {x:.0} h"),
        }),
    };
    let series = Pair::ALL.map(|pair| {
        let (start, slope) = FITS[pair.index()];
        let at = |x: f64| Xy {
            x,
            y: start + slope * x,
        };
        let plays = PLAYS[pair.index()];
        let mut readings: Vec<Reading> = (1..5).map(|i| read(HOURS[i], plays[i])).collect();
        let set = Reading {
            at: Xy {
                x: 0.0,
                y: plays[0],
            },
            u: 0.0,
            hit: None,
        };
        if is_reground {
            readings.push(read(5_010.0, plays[5]));
        }
        let last = if is_reground { 5_010.0 } else { 4_030.0 };
        let first = Segment {
            set: Some(set),
            readings,
            fit: vec![at(1_015.0), at(last)],
        };
        let reset = [0.302, 0.302, 0.304][pair.index()];
        let second = Segment {
            set: Some(Reading {
                at: Xy {
                    x: 5_010.0,
                    y: reset,
                },
                u: 0.0,
                hit: None,
            }),
            readings: vec![read(5_980.0, reset + 0.075 - 0.006 * pair.index() as f64)],
            fit: Vec::new(),
        };
        let leading = pair == Pair::P1;
        let spread = |x: f64| 0.012 + 3.2e-5 * (x - 4_030.0);
        let band = (0..=10).filter(|_| leading).map(|i| {
            let x = 4_030.0 + 197.0 * f64::from(i);
            BandPoint {
                x,
                low: at(x).y - spread(x),
                high: at(x).y + spread(x),
            }
        });
        let crossing = leading.then(|| Crossing {
            level: 0.600,
            early: 4_280.0,
            middle: 4_411.0,
            late: 4_680.0,
            label: "4,280 to 4,680 h".into(),
            hit: None,
        });
        let forecast = Forecast {
            line: vec![at(4_030.0), at(6_000.0)],
            faster: Vec::new(),
            band: band.collect(),
            crossing,
        };
        Series {
            pair,
            label: ["rows 1–2", "rows 2–3", "rows 3–4"][pair.index()].into(),
            segments: if is_reground {
                vec![first, second]
            } else {
                vec![first]
            },
            forecast: (!is_reground).then_some(forecast),
        }
    });
    let turns = HOURS.iter().zip(["I", "II", "III", "IV", "I"]);
    Growth {
        has_comma: false,
        x_scale: XScale::Number,
        x_label: "mill hours on the bearing’s own counter".into(),
        y_label: "end play, mm".into(),
        series: series.into(),
        levels: vec![
            Level {
                value: 0.600,
                label: "0.600 rework".into(),
                is_limit: true,
            },
            Level {
                value: 0.450,
                label: "0.450 watch".into(),
                is_limit: false,
            },
        ],
        regrinds: if is_reground {
            vec![event(5_010.0, "regrind 2026-07-08")]
        } else {
            Vec::new()
        },
        turns: turns.map(|(x, zone)| event(*x, zone)).collect(),
        now: (!is_reground).then(|| (4_030.0, "2026-03-10".into())),
        empty: "Here the end play will be drawn against mill hours.".into(),
        title: "Growth of end play of TH-4T-031".into(),
    }
}

pub fn event(x: f64, label: &str) -> Event {
    Event {
        x,
        label: label.into(),
        hit: None,
    }
}

/// The same plot in another unit of length.
pub fn growth_in(factor: f64) -> Growth {
    let mut plot = growth(true);
    plot.y_label = "end play, in".into();
    for level in &mut plot.levels {
        level.value *= factor;
        level.label = format!(
            "{:.4} {}",
            level.value,
            if level.is_limit { "rework" } else { "watch" }
        );
    }
    for segment in plot.series.iter_mut().flat_map(|s| &mut s.segments) {
        for reading in segment.readings.iter_mut().chain(&mut segment.set) {
            reading.at.y *= factor;
            reading.u *= factor;
        }
        for point in &mut segment.fit {
            point.y *= factor;
        }
    }
    plot
}

pub fn growth_dates() -> Growth {
    let mut plot = growth(false);
    // Hours run at the same pace, so a date is the first day and a share of the time since then.
    let day = |x: f64| 20_039.0 + x * 483.0 / 4_030.0;
    for series in &mut plot.series {
        series.forecast = None;
        for segment in &mut series.segments {
            for reading in segment.readings.iter_mut().chain(&mut segment.set) {
                reading.at.x = day(reading.at.x);
            }
            for point in &mut segment.fit {
                point.x = day(point.x);
            }
        }
    }
    for turn in &mut plot.turns {
        turn.x = day(turn.x);
    }
    plot.now = None;
    plot.x_scale = XScale::Days;
    plot.x_label = "date".into();
    plot
}

pub fn growth_empty() -> Growth {
    Growth {
        series: Vec::new(),
        turns: Vec::new(),
        now: None,
        ..growth(false)
    }
}

/// Three readings close to each other and to both levels.
pub fn growth_crowded() -> Growth {
    let mut plot = growth(false);
    for series in &mut plot.series {
        series.forecast = None;
        series.segments[0].fit = Vec::new();
        for reading in &mut series.segments[0].readings {
            reading.at.y =
                0.30 + (reading.at.x / 4_030.0) * 0.295 + 0.002 * series.pair.index() as f64;
        }
    }
    plot.levels[1].value = 0.590;
    plot.levels[1].label = "0.590 watch".into();
    plot
}

pub fn clock() -> Clock {
    Clock {
        load_deg: 180.0,
        zone_up: 3,
        loaded: Some((195.0, 345.0)),
        marks: vec![
            ClockMark {
                from_deg: 175.0,
                to_deg: 230.0,
                is_strong: false,
            },
            ClockMark {
                from_deg: 200.0,
                to_deg: 228.0,
                is_strong: true,
            },
        ],
        load: "load".into(),
        notes: vec!["as found,".into(), "outboard".into()],
        title: "Outer ring in its chock, seen from outboard".into(),
    }
}

pub fn marks() -> Scene {
    let mut scene = Scene::new(640.0, 190.0, "Marks");
    let words = [
        "pass",
        "pass in doubt",
        "fail in doubt",
        "fail",
        "missing",
        "not applicable",
    ];
    for (i, (mark, word)) in Mark::ALL.into_iter().zip(words).enumerate() {
        let (x, y) = (12.0 + 200.0 * (i % 3) as f32, 16.0 + 36.0 * (i / 3) as f32);
        scene.append(
            &alone(|centre| mark.shapes(centre, 1.0), Mark::SIZE, word),
            pos(x - 9.0, y - 9.0),
        );
        let at = pos(x + 15.0, font::baseline(y, 16.0));
        scene.text(Text::note(at, word, mark.token()).sized(16.0).semibold());
    }
    for (i, pair) in Pair::ALL.into_iter().enumerate() {
        scene.add_all(pair.shapes(pos(12.0 + 40.0 * i as f32, 92.0), 10.0));
    }
    for (i, glyph) in Glyph::ALL.into_iter().enumerate() {
        let x = 12.0 + 48.0 * i as f32;
        scene.add_all(glyph.shapes(pos(x, 124.0), 16.0, Token::Ink));
        scene.add_all(glyph.shapes(pos(x, 164.0), 28.0, Token::Accent));
    }
    scene
}
