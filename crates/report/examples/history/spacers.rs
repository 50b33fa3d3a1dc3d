//! The bearing whose end play doubled and whose spacers were ground.

use report::{
    Cell, Column, Decision, Drawing, EventLine, GaugeLine, History, Mark, Piece, SheetDetail,
    Table, VerdictLine,
};

use crate::{drawings, marked, pairs, plain, print_of, signed};

pub(crate) fn history() -> History {
    History {
        headline: "Spacers reground, in service".into(),
        state: marked(Mark::Pass, "accepted"),
        left_out: String::new(),
        summary: "Five stays, 5,010 h at F5 and F6. End play grew from 0.300 to 0.640 mm in rows 1-2; run past the watch \
                  level under deviation DV-05. Spacers ground to 0.302 / 0.302 / 0.304 mm on 2026-07-08."
            .into(),
        identity: pairs(&[
            ("type", "N4T-480/620-336, four-row tapered"),
            ("sizes", "480 × 620 × 336 mm, 268 kg"),
            ("spacers, now", "S1 23.674 · S2 29.726 · S3 23.682 mm"),
            ("revision", "1, from 2024-11-12"),
        ]),
        limits: pairs(&[
            ("end play, new", "0.300 ±0.030 mm per pair"),
            ("watch / rework", "0.450 / 0.600 mm"),
            ("as set", "0.300 / 0.300 / 0.300 mm"),
            ("limits", "type record, version 1 from 2024-11-01"),
        ]),
        growth_svg: Some(Drawing {
            title: "Growth of end play, whole history".into(),
            note: "mm against mill hours".into(),
            svg: drawings::growth(&[
                (
                    "rows 1-2",
                    "#1F4FCC",
                    &[
                        &[(0.0, 0.3), (1015.0, 0.38), (2005.0, 0.44), (3025.0, 0.51), (4030.0, 0.575), (5010.0, 0.64)],
                        &[(5010.0, 0.302)],
                    ],
                ),
                (
                    "rows 2-3",
                    "#9C4296",
                    &[&[(0.0, 0.3), (1015.0, 0.37), (2005.0, 0.42), (3025.0, 0.48), (4030.0, 0.53), (5010.0, 0.58)]],
                ),
            ]),
            alt: "End play of the row pairs against mill hours: from 0.300 mm when new to 0.640 mm at 5,010 h, then \
                  0.302 mm after grinding."
                .into(),
            key: vec![],
        }),
        events: events(),
        sheets: vec![teardown()],
        cautions: vec![
            "Lifting: use certified gear and the lifting points of the part; nobody under the load.".into(),
            "Grinding: guards and eye protection; check the wheel before it runs.".into(),
        ],
        ..print_of("TH-4T-031")
    }
}

fn events() -> Vec<EventLine> {
    let line =
        |date: &str, place: &str, hours: &str, found: &str, done: &str, signer: &str| EventLine {
            date: date.into(),
            place: place.into(),
            hours: hours.into(),
            found: plain(found),
            done: done.into(),
            signer: signer.into(),
            ..EventLine::default()
        };
    vec![
        line(
            "2024-11-12",
            "stores",
            "",
            "New: end play 0.300 / 0.300 / 0.300 mm",
            "accepted, zone I",
            "Foreman A",
        ),
        line(
            "2025-03-11",
            "F5-W-T-D",
            "1,015 h",
            "End play 0.380 / 0.370 / 0.375 mm",
            "zone II",
            "Foreman A",
        ),
        line(
            "2025-07-08",
            "F5-W-T-D",
            "990 h",
            "End play 0.440 / 0.420 / 0.435 mm",
            "zone III",
            "Foreman B",
        ),
        line(
            "2025-11-04",
            "F6-W-T-D",
            "1,020 h",
            "End play 0.510 / 0.480 / 0.505 mm; watch level passed on all pairs",
            "zone IV",
            "Foreman A",
        ),
        line(
            "2026-03-10",
            "F6-W-T-D",
            "1,005 h",
            "End play 0.575 / 0.530 / 0.570 mm; 0.600 mm expected within 250 to 650 h",
            "zone II; deviation DV-05: run to the next planned teardown",
            "Engineer",
        ),
        EventLine {
            found: vec![
                Piece::plain("End play "),
                Piece::bold("0.640"),
                Piece::plain(" / 0.580 / "),
                Piece::bold("0.630"),
                Piece::plain(" mm: at or above 2 × as set"),
            ],
            late: true,
            entered: "2026-07-09".into(),
            ..line(
                "2026-07-07",
                "F6-W-T-D",
                "980 h",
                "",
                "spacers ground, zone IV",
                "Engineer, Foreman A",
            )
        },
    ]
}

fn teardown() -> SheetDetail {
    SheetDetail {
        title: "Sheet 6: teardown".into(),
        record: "0671:9120".into(),
        date: "2026-07-07".into(),
        entered: "2026-07-09 06:12, two days after the work".into(),
        late: true,
        place: "off F6-W-T-D after 980 h".into(),
        chock: "WC-41".into(),
        roll: "R-152, drive side".into(),
        found: pairs(&[("grease", "dark, no water"), ("rotation", "free"), ("zone up", "II")]),
        tables: vec![
            Table {
                title: "End play from gaps".into(),
                note: "gaps as typed, mm; below at 20 °C; parts 22.5 °C, gauge 21.5 °C".into(),
                columns: ["pair", "0°", "90°", "180°", "270°", "mean gap", "spacer", "end play", "× as set"]
                    .iter()
                    .enumerate()
                    .map(|(at, head)| if at == 0 { Column::text(*head) } else { Column::number(*head) })
                    .collect(),
                rows: vec![
                    reading(["1-2, S1", "23,372", "23,366", "23,378", "23,372", "23.372", "24.012", "0.640", "2.13"]),
                    reading(["2-3, S2", "29,424", "29,418", "29,430", "29,424", "29.424", "30.004", "0.580", "1.93"]),
                    reading(["3-4, S3", "23,378", "23,370", "23,384", "23,380", "23.378", "24.008", "0.630", "2.10"]),
                ],
                half: false,
            },
            Table {
                title: "Spacers".into(),
                note: "mm; ground on 2026-07-08".into(),
                columns: vec![
                    Column::wide("spacer"),
                    Column::number("width"),
                    Column::number("grind off"),
                    Column::number("to"),
                    Column::number("measured after"),
                    Column::number("end play after"),
                    Column::text("verdict"),
                ],
                rows: vec![
                    spacer(["S1, rows 1-2", "24.012", "0.340", "23.672", "23.674", "0.302"]),
                    spacer(["S2, rows 2-3", "30.004", "0.280", "29.724", "29.726", "0.302"]),
                    spacer(["S3, rows 3-4", "24.008", "0.330", "23.678", "23.682", "0.304"]),
                ],
                half: false,
            },
        ],
        photos: vec![],
        gauges: vec![
            gauge("GB-01", "gap block set", "0.012 mm (k = 2)", "NK-1180, 2026-02-10", "2027-02-10", "valid", Mark::Pass),
            gauge("HG-02", "height gauge", "0.008 mm (k = 2)", "NK-1102, 2025-11-08", "2026-11-08", "valid", Mark::Pass),
            GaugeLine {
                standard: "zero check only".into(),
                ..gauge(
                    "TW-04",
                    "torque wrench",
                    "4 % (k = 2)",
                    "NK-1044, 2025-11-14",
                    "2026-05-14",
                    "overdue by 54 days",
                    Mark::PassInDoubt,
                )
            },
        ],
        verdicts: vec![
            verdict("end play, rows 1-2", "0.640 mm", Mark::Fail, "p = 0.00 of being below"),
            verdict("end play, rows 2-3", "0.580 mm", Mark::Pass, "p = 1.00 of being below"),
            verdict("end play, rows 3-4", "0.630 mm", Mark::Fail, "p = 0.00 of being below"),
            VerdictLine {
                limit: "400 to 420 N m".into(),
                origin: "type record, version 1 from 2024-11-01".into(),
                uncertainty: "U 4 % (k = 2)".into(),
                method: "conformity, version 1".into(),
                ..verdict("cover bolts", "410 N m", Mark::PassInDoubt, "gauge overdue: at best in doubt")
            },
            VerdictLine { value: String::new(), uncertainty: String::new(), ..verdict(
                "chock bore",
                "",
                Mark::Missing,
                "not measured",
            ) },
        ],
        decision: Some(Decision {
            recommended: "regrind spacers".into(),
            decided: "regrind spacers S1 by 0.340, S2 by 0.280, S3 by 0.330 mm; zone IV up".into(),
            mark: Mark::Pass,
            reasons: vec![
                "End play of rows 1-2 and 3-4 at or above twice the value as set.".into(),
                "All rings free of findings; zone IV has carried least hours, 1,005.".into(),
            ],
            departure: String::new(),
            ordered_by: "Engineer, 2026-07-08 07:40".into(),
        }),
        not_measured: pairs(&[("chock bore", "chock goes to the liner shop, measured there (card 311)")]),
        notes: vec![
            "Outer stack 0.664 mm shorter by measured widths: shims under the cover flange 1.20 to 0.536 mm. Inner stack \
             0.278 mm shorter: axial retention on the neck checked."
                .into(),
        ],
        signers: signed(&[
            ("Fitter 4", "measured and ground, 2026-07-08"),
            ("Foreman A", "signed 2026-07-09 06:12"),
            ("Roll-shop Engineer", "ordered 2026-07-08"),
        ]),
        ..SheetDetail::default()
    }
}

fn reading(texts: [&str; 9]) -> Vec<Cell> {
    texts
        .iter()
        .enumerate()
        .map(|(at, text)| match at {
            1..=4 => Cell::reading(*text, text.replace(',', ".")),
            7 => Cell {
                pieces: vec![Piece::bold(*text)],
                ..Cell::default()
            },
            _ => Cell::text(*text),
        })
        .collect()
}

fn spacer(texts: [&str; 6]) -> Vec<Cell> {
    texts
        .iter()
        .map(|text| Cell::text(*text))
        .chain([Cell::verdict(Mark::Pass)])
        .collect()
}

fn gauge(
    code: &str,
    kind: &str,
    u: &str,
    certificate: &str,
    due: &str,
    status: &str,
    mark: Mark,
) -> GaugeLine {
    GaugeLine {
        code: code.into(),
        kind: kind.into(),
        uncertainty: u.into(),
        certificate: certificate.into(),
        standard: String::new(),
        due: due.into(),
        status: status.into(),
        mark,
    }
}

fn verdict(about: &str, value: &str, verdict: Mark, rule: &str) -> VerdictLine {
    VerdictLine {
        about: about.into(),
        value: value.into(),
        uncertainty: "U 0.015 mm (k = 2)".into(),
        limit: "below 0.600 mm".into(),
        origin: "2 × as set; type record, version 1 from 2024-11-01".into(),
        rule: rule.into(),
        method: "end play from gap, version 1".into(),
        verdict,
    }
}
