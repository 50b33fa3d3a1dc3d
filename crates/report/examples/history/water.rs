//! The bearing that water got into, with a correction and a reconditioning.

use report::{
    Cell, Column, Correction, Decision, Drawing, EventLine, GaugeLine, History, KeyLine, Mark,
    Piece, SheetDetail, Table, VerdictLine,
};

use crate::{drawings, marked, pairs, plain, print_of, signed};

const STAIN: &str = "#66607A";
const ETCHED: &str = "#8A5E00";
const SPALL: &str = "#B02A1E";

pub(crate) fn history() -> History {
    History {
        headline: "In revision 2, in service, no finding open".into(),
        state: marked(Mark::Pass, "accepted"),
        left_out: String::new(),
        summary: "Five stays, 5,030 h. Water at F1 marked rows 1 and 2 from 2024; etched lines grew into spalls in row 1 \
                  by 2025-12-02. Reconditioned outside at North Yard, accepted 2026-03-17 with a new baseline. Clean \
                  after 1,000 h at F3-W-B-O on 2026-08-04."
            .into(),
        identity: pairs(&[
            ("type", "N4T-480/620-336, four-row tapered"),
            ("sizes", "480 × 620 × 336 mm, 268 kg"),
            ("spacers, new", "S1 24.0 · S2 30.0 · S3 24.0 mm"),
            ("revision", "2, from 2026-03-17, certificate NY-2174"),
        ]),
        limits: pairs(&[
            ("end play, new", "0.300 ±0.030 mm per pair"),
            ("watch / rework", "0.450 / 0.600 mm"),
            ("as set, rev. 2", "0.310 / 0.305 / 0.310 mm"),
            ("limits", "type record, version 1 from 2024-11-01"),
        ]),
        ring_map_svg: Some(Drawing {
            title: "All findings on the outer rings".into(),
            note: "unrolled from the zone-I line, clockwise seen from the outboard end".into(),
            svg: drawings::ring_map(&[
                (1, 0.0, 40.0, STAIN, "a"),
                (1, 350.0, 360.0, STAIN, ""),
                (2, 0.0, 40.0, STAIN, "a"),
                (2, 350.0, 360.0, STAIN, ""),
                (1, 175.0, 230.0, ETCHED, "b"),
                (1, 200.0, 228.0, SPALL, ""),
            ]),
            alt: "Stains at 350 to 40 degrees on rows 1 and 2, etched lines at 175 to 230 and spalls at 200 to 228 \
                  degrees on row 1."
                .into(),
            key: vec![
                key("a", "2024-11-26  light stains at roller spacing, rows 1 and 2; wiped and marked", Mark::Missing),
                key("b", "2025-07-29  etched lines at roller pitch, 175°–230°, severity 2", Mark::PassInDoubt),
                key("c", "2025-12-02  spalls 3–6 mm, 200°–228°, grown from b; ground out in revision 2", Mark::Fail),
            ],
        }),
        events: events(),
        sheets: vec![first_teardown()],
        corrections: vec![Correction {
            code: "A".into(),
            date: "2024-11-27".into(),
            sheet: Some(0),
            what: "angle of findings 1 and 2".into(),
            old: "320°–10°".into(),
            new: "350°–40°".into(),
            reason: "read mirrored from the inboard end.".into(),
            signer: "Foreman A".into(),
            effect: "Verdict and decision of the sheet did not change.".into(),
        }],
        cautions: vec!["Solvents: ventilation, gloves, no ignition. Compressed air: never spin a bearing with it.".into()],
        signature_lines: signed(&[
            ("Foreman A", "printed and compared"),
            ("Roll-shop Engineer", "limits and decisions"),
            ("Auditor", "seen, date"),
        ]),
        ..print_of("TH-4T-044")
    }
}

fn key(sign: &str, text: &str, mark: Mark) -> KeyLine {
    KeyLine {
        sign: sign.into(),
        text: text.into(),
        mark,
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
        EventLine {
            found: vec![
                Piece::plain("Grease milky, rows 1 and 2; seal lip cut 30 mm; stains zone I, "),
                Piece::struck("320°–10°"),
                Piece::plain(" "),
                Piece::bold("350°–40°"),
                Piece::muted(" amended 2024-11-27, A"),
            ],
            amended: true,
            ..line(
                "2024-11-26",
                "F1-W-T-O",
                "1,005 h",
                "",
                "seal changed, stains wiped and marked, zone II",
                "Foreman A",
            )
        },
        line(
            "2025-03-25",
            "F1-W-T-O",
            "995 h",
            "No new stains",
            "zone III",
            "Foreman B",
        ),
        line(
            "2025-07-29",
            "F1-W-T-O",
            "1,020 h",
            "Water under the cover; etched lines row 1, zone III 175°–230°, severity 2; seal batch SB-52",
            "new seal type, breather cleaned, zone IV",
            "Foreman A",
        ),
        line(
            "2025-12-02",
            "F1-W-T-O",
            "1,010 h",
            "Spalls 3–6 mm row 1, 200°–228°, from the etched lines; rust on roller ends",
            "hold; outside reconditioning, grade 3",
            "Engineer",
        ),
        line(
            "2026-03-17",
            "North Yard",
            "",
            "Returned: raceways ground, new rollers rows 1–2, spacers ground; NY-2174; set 0.310 / 0.305 / 0.310 mm",
            "accepted, revision 2, new baseline",
            "Engineer",
        ),
        line(
            "2026-08-04",
            "F3-W-B-O",
            "1,000 h",
            "Clean",
            "zone II",
            "Foreman B",
        ),
    ]
}

fn first_teardown() -> SheetDetail {
    let finding = |no: &str, row: &str| {
        vec![
            Cell::text(no),
            Cell::text("5.3.2 Moisture corrosion"),
            Cell::text(row),
            Cell::corrected("320°–10°", "350°–40°"),
            Cell::text("light, roller spacing"),
            Cell::text("wiped and marked"),
        ]
    };
    SheetDetail {
        title: "Sheet 1: teardown".into(),
        record: "0671:212".into(),
        date: "2024-11-26".into(),
        entered: "2024-11-26 13:50".into(),
        place: "off F1-W-T-O after 1,005 h".into(),
        chock: "WC-14".into(),
        roll: "R-104, operator side".into(),
        found: pairs(&[
            ("grease", "milky, rows 1 and 2"),
            ("neck seal", "lip cut, 30 mm"),
            ("zone up", "I"),
        ]),
        tables: vec![Table {
            title: "Findings".into(),
            note: "modes after ISO 15243:2017; angles from the zone-I line".into(),
            columns: vec![
                Column::text("no."),
                Column::wide("mode"),
                Column::text("part and row"),
                Column::text("angle"),
                Column::text("extent"),
                Column::text("done"),
            ],
            rows: vec![
                finding("1", "outer ring, row 1"),
                finding("2", "outer ring, row 2"),
            ],
            half: false,
        }],
        drawings: vec![Drawing {
            title: "Where".into(),
            note: "unrolled from the zone-I line".into(),
            svg: drawings::ring_map(&[(1, 0.0, 40.0, STAIN, "1"), (2, 0.0, 40.0, STAIN, "2")]),
            alt: "Stains at 350 to 40 degrees on rows 1 and 2.".into(),
            key: vec![],
        }],
        photos: vec![],
        gauges: vec![GaugeLine {
            code: "GB-01".into(),
            kind: "gap block set".into(),
            uncertainty: "0.012 mm (k = 2)".into(),
            certificate: "NK-0871, 2024-02-12".into(),
            standard: "setting block 24.000".into(),
            due: "2025-02-12".into(),
            status: "valid".into(),
            mark: Mark::Pass,
        }],
        verdicts: vec![VerdictLine {
            about: "findings".into(),
            value: "severity 1".into(),
            limit: "no spall, no crack".into(),
            origin: "type record, version 1 from 2024-11-01".into(),
            rule: "worst finding decides".into(),
            method: "disposition, version 1".into(),
            verdict: Mark::Pass,
            ..VerdictLine::default()
        }],
        decision: Some(Decision {
            recommended: "hold for the engineer".into(),
            decided: "return after turning: neck seal changed, zone II up".into(),
            mark: Mark::Pass,
            reasons: vec![
                "Light stains only, no etching felt with the nail.".into(),
                "Seal cause found.".into(),
            ],
            departure: "stains are outside the next loaded arc".into(),
            ordered_by: "Engineer, 2024-11-26".into(),
        }),
        signers: signed(&[
            ("Fitter 2", "measured and entered"),
            ("Foreman A", "signed 2024-11-26"),
            ("Foreman A", "amendment A, 2024-11-27"),
        ]),
        ..SheetDetail::default()
    }
}
