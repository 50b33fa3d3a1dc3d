//! Checks of ring deviations against every row of the tables, and of what the tables say about their rows.
#![allow(clippy::unwrap_used)]

use RingSurface::{Bore, Outside};
use Standing::{BeyondStandard, LessCertain, Standard};
use proptest::prelude::*;

use super::*;
use crate::quantity::{as_micrometres, inches, nanometres, to_nanometres};

const TABLES: [(RingKind, RingSurface, usize); 6] = [
    (RingKind::Radial, Bore, 39),
    (RingKind::Radial, Outside, 42),
    (RingKind::TaperedMetric, Bore, 24),
    (RingKind::TaperedMetric, Outside, 26),
    (RingKind::TaperedInch, Bore, 13),
    (RingKind::TaperedInch, Outside, 13),
];

fn limits_um(kind: RingKind, class: &str, surface: RingSurface, size: Length) -> (f64, f64) {
    let limits = ring(kind, class, surface, size)
        .unwrap_or_else(|error| panic!("{kind:?} {class} {surface:?}: {error}"));
    (
        as_micrometres(limits.deviations.lower),
        as_micrometres(limits.deviations.upper),
    )
}

#[test]
fn every_row_comes_back_just_above_its_start_and_at_its_end() {
    for (kind, surface, count) in TABLES {
        let part = part(kind, surface);
        let mut read = 0;
        for row in part.rows() {
            let expected = (
                row.number(part.lower).unwrap(),
                row.number(part.upper).unwrap(),
            );
            assert!(expected.0 < expected.1, "{kind:?} {surface:?}");
            let SizeRange { over, upto } = row.range();
            for size in [over + nanometres(1), upto.unwrap_or(over * 2.0)] {
                let got = limits_um(kind, row.text("class"), surface, size);
                assert_eq!(got, expected, "{kind:?} {surface:?} {size:?}");
            }
            read += 1;
        }
        assert_eq!(read, count, "{kind:?} {surface:?}: rows lost while reading");
    }
}

#[test]
fn rows_beyond_the_standard_say_so_as_the_heads_of_the_tables_do() {
    let heads = [
        (
            include_str!("../../../../shared/reference/iso492_radial_bore.csv"),
            "rows beyond ISO 492 scope (class 6 > 630 mm, class 5 > 400 mm) are maker's values",
        ),
        (
            include_str!("../../../../shared/reference/iso492_radial_outside.csv"),
            "medium for class 6 > 1000 and class 5 > 800 mm",
        ),
        (
            include_str!("../../../../shared/reference/iso492_tapered_metric.csv"),
            "Confidence: high up to 500 mm, medium above",
        ),
    ];
    for (table, words) in heads {
        assert!(table.contains(words), "{words}");
    }
    for (kind, class, surface, mm, expected) in [
        (RingKind::Radial, "Normal", Bore, 2_000.0, Standard),
        (RingKind::Radial, "6", Bore, 630.0, Standard),
        (RingKind::Radial, "6", Bore, 630.1, BeyondStandard),
        (RingKind::Radial, "5", Bore, 400.0, Standard),
        (RingKind::Radial, "5", Bore, 400.1, BeyondStandard),
        (RingKind::Radial, "6", Outside, 1_000.0, Standard),
        (RingKind::Radial, "6", Outside, 1_000.1, BeyondStandard),
        (RingKind::Radial, "5", Outside, 800.0, Standard),
        (RingKind::Radial, "5", Outside, 800.1, BeyondStandard),
        (RingKind::TaperedMetric, "Normal", Bore, 500.0, Standard),
        (RingKind::TaperedMetric, "5", Outside, 500.1, LessCertain),
        (RingKind::TaperedInch, "4", Bore, 2_000.0, Standard),
    ] {
        let got = ring(kind, class, surface, millimetres(mm)).unwrap();
        assert_eq!(got.standing, expected, "{kind:?} {class} {surface:?} {mm}");
    }
    let input = serde_json::json!({"kind": "radial", "class": "5", "bore_mm": 420});
    let steps = (METHOD.run)(&input).unwrap().steps;
    assert!(
        steps.last().unwrap().note.contains("ISO 492 ends before"),
        "{steps:?}"
    );
}

#[test]
fn inch_sizes_meet_their_borders_exactly() {
    // abma19_2_inch_tapered.csv: class 4, up to 3 inches +13, above +25; class 2 starts +51 above 12 inches.
    let bore = |class, size| limits_um(RingKind::TaperedInch, class, Bore, size);
    assert_eq!(bore("4", inches(3.0)), (0.0, 13.0));
    assert_eq!(bore("4", inches(3.0) + nanometres(1)), (0.0, 25.0));
    assert_eq!(bore("2", inches(12.0)), (0.0, 25.0));
    assert_eq!(bore("2", inches(24.0)), (0.0, 51.0));
}

#[test]
fn what_is_not_given_says_what_is() {
    for (kind, class, surface, mm, input, words) in [
        (RingKind::Radial, "P6", Bore, 100.0, "class", "Normal, 6, 5"),
        (
            RingKind::Radial,
            "",
            Outside,
            100.0,
            "class",
            "Normal, 6, 5",
        ),
        (
            RingKind::TaperedMetric,
            "6",
            Bore,
            100.0,
            "class",
            "Normal, 5",
        ),
        (
            RingKind::TaperedInch,
            "Normal",
            Bore,
            100.0,
            "class",
            "4, 2, 3",
        ),
        (
            RingKind::Radial,
            "6",
            Bore,
            50.0,
            "bore",
            "over 50 up to 2000",
        ),
        (
            RingKind::Radial,
            "6",
            Bore,
            2_000.1,
            "bore",
            "over 50 up to 2000",
        ),
        (
            RingKind::Radial,
            "6",
            Outside,
            80.0,
            "outside",
            "over 80 up to 2500",
        ),
        (
            RingKind::TaperedMetric,
            "5",
            Bore,
            80.0,
            "bore",
            "over 80 up to 1600",
        ),
        (
            RingKind::TaperedMetric,
            "5",
            Outside,
            120.0,
            "outside",
            "over 120 up to 2000",
        ),
        (
            RingKind::TaperedInch,
            "4",
            Bore,
            400.0,
            "bore",
            "over 0 up to 304.8, over 609.6",
        ),
        (
            RingKind::TaperedInch,
            "2",
            Bore,
            700.0,
            "bore",
            "over 0 up to 609.6",
        ),
        (RingKind::TaperedInch, "2", Bore, 0.0, "bore", "over 0"),
        (RingKind::Radial, "6", Bore, f64::NAN, "bore", "finite"),
    ] {
        let error = ring(kind, class, surface, millimetres(mm)).unwrap_err();
        assert_eq!(error.input(), input, "{error}");
        assert!(error.to_string().contains(words), "{error}");
    }
}

proptest! {
    #[test]
    fn a_better_class_is_never_wider(um in 80_001_u32..1_600_000) {
        let size = nanometres(i64::from(um) * 1_000);
        for surface in [Bore, Outside] {
            let grade = |kind, class| {
                ring(kind, class, surface, size).ok().map(|limits| to_nanometres(limits.deviations.grade()))
            };
            for (kind, classes) in [
                (RingKind::Radial, &["Normal", "6", "5"][..]),
                (RingKind::TaperedMetric, &["Normal", "5"][..]),
                (RingKind::TaperedInch, &["4", "3"][..]),
                (RingKind::TaperedInch, &["2", "3"][..]),
            ] {
                let grades: Vec<i64> = classes.iter().filter_map(|class| grade(kind, class)).collect();
                prop_assert!(grades.is_sorted_by(|wide, narrow| wide >= narrow), "{kind:?} {surface:?} {grades:?}");
            }
        }
    }

    #[test]
    fn any_size_gives_an_answer_or_an_error(mm in any::<f64>(), class in "[A-Za-z0-9]{0,6}") {
        for kind in RingKind::ALL {
            for class in [class.as_str(), "Normal", "4", "5"] {
                if let Ok(limits) = ring(kind, class, Bore, millimetres(mm)) {
                    prop_assert!(limits.deviations.lower < limits.deviations.upper);
                    prop_assert!(limits.range.holds(millimetres(mm)));
                }
            }
        }
    }
}
