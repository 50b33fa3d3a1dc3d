//! Checks of correction, geometry and verdicts against published numbers and their laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::quantity::{as_millimetres, millimetres, to_nanometres};

fn grid(mm: &[&[f64]]) -> Vec<Vec<Length>> {
    mm.iter()
        .map(|row| row.iter().map(|&size| millimetres(size)).collect())
        .collect()
}

#[derive(serde::Deserialize)]
#[allow(non_snake_case, reason = "names of the table")]
struct ThermalCase {
    id: String,
    L_T: Option<f64>,
    T: Option<f64>,
    alpha: Option<f64>,
    L20: Option<f64>,
    reading_mm: Option<f64>,
    L: Option<f64>,
    alpha_part: Option<f64>,
    T_part: Option<f64>,
    alpha_master: Option<f64>,
    T_master: Option<f64>,
    difference_at_20_mm: Option<f64>,
}

#[derive(serde::Deserialize)]
struct ThermalTable {
    case: Vec<ThermalCase>,
}

#[test]
fn sizes_at_20_degrees_match_thermal_expansion_toml() {
    let text = include_str!("../../../../shared/reference/thermal_expansion.toml");
    let table: ThermalTable = toml::from_str(text).unwrap();
    let mut checked = 0;
    for case in &table.case {
        if let (Some(l_t), Some(t), Some(alpha), Some(l20)) =
            (case.L_T, case.T, case.alpha, case.L20)
        {
            let correction = Correction {
                part: celsius(t),
                expansion_part: per_kelvin(alpha),
                ..Correction::none()
            };
            let got = as_millimetres(correction.at_20_c(millimetres(l_t)).unwrap());
            assert!((got - l20).abs() <= 5e-7, "{}: {got}", case.id);
            checked += 1;
        }
        if let (Some(reading), Some(length)) = (case.reading_mm, case.L) {
            let correction = Correction {
                part: celsius(case.T_part.unwrap()),
                gauge: celsius(case.T_master.unwrap()),
                expansion_part: per_kelvin(case.alpha_part.unwrap()),
                expansion_gauge: per_kelvin(case.alpha_master.unwrap()),
            };
            let got =
                as_millimetres(correction.at_20_c(millimetres(length + reading)).unwrap()) - length;
            // The table is the first-order form; the exact one differs by second-order terms of some nanometres.
            assert!(
                (got - case.difference_at_20_mm.unwrap()).abs() <= 1e-5,
                "{}: {got}",
                case.id
            );
            checked += 1;
        }
    }
    assert_eq!(checked, 3, "rows lost");
}

#[derive(serde::Deserialize)]
struct RoundnessTable {
    two_point: Vec<TwoPoint>,
    taper: Vec<Taper>,
}

#[derive(serde::Deserialize)]
struct TwoPoint {
    diameters_mm: Vec<f64>,
    mean_mm: f64,
    ovality_diametral_um: f64,
}

#[derive(serde::Deserialize)]
struct Taper {
    mean_diameter_mm: Vec<f64>,
    taper_um: f64,
}

#[test]
fn geometry_matches_roundness_toml() {
    let table: RoundnessTable =
        toml::from_str(include_str!("../../../../shared/reference/roundness.toml")).unwrap();
    assert_eq!((table.two_point.len(), table.taper.len()), (1, 1));
    for case in &table.two_point {
        let got = geometry(&grid(&[&case.diameters_mm])).unwrap();
        assert!((as_millimetres(got.mean) - case.mean_mm).abs() < 5e-8);
        assert!((as_micrometres(got.ovality[0]) - case.ovality_diametral_um).abs() < 1e-6);
        assert_eq!(to_nanometres(got.taper), 0, "a single plane has no taper");
    }
    for case in &table.taper {
        let planes: Vec<Vec<Length>> = case
            .mean_diameter_mm
            .iter()
            .map(|&mean| vec![millimetres(mean)])
            .collect();
        assert!((as_micrometres(geometry(&planes).unwrap().taper) - case.taper_um).abs() < 1e-6);
    }
}

/// A chock bore of the demo plant (invented), four dates, sizes at 20 °C; derived values as worked out by hand.
struct Bore {
    sizes: [[f64; 4]; 3],
    mean_um: f64,
    ovality_um: [i64; 3],
    taper_um: f64,
}

const BORES: [Bore; 4] = [
    Bore {
        sizes: [
            [34., 46., 68., 48.],
            [30., 41., 60., 43.],
            [27., 35., 49., 36.],
        ],
        mean_um: 43.0,
        ovality_um: [34, 30, 22],
        taper_um: 12.0,
    },
    Bore {
        sizes: [
            [49., 84., 141., 88.],
            [44., 72., 124., 78.],
            [38., 61., 99., 65.],
        ],
        mean_um: 79.0,
        ovality_um: [92, 80, 61],
        taper_um: 25.0,
    },
    Bore {
        sizes: [
            [62., 118., 214., 126.],
            [55., 101., 188., 109.],
            [49., 88., 151., 93.],
        ],
        mean_um: 113.0,
        ovality_um: [152, 133, 102],
        taper_um: 35.0,
    },
    Bore {
        sizes: [
            [21., 24., 26., 23.],
            [20., 23., 25., 22.],
            [19., 22., 24., 22.],
        ],
        mean_um: 23.0,
        ovality_um: [5, 5, 5],
        taper_um: 2.0,
    },
];

fn bore_geometry(bore: &Bore) -> Geometry {
    let row = |row: &[f64; 4]| {
        row.iter()
            .map(|um| millimetres(620.0) + micrometres(*um))
            .collect()
    };
    geometry(&bore.sizes.iter().map(row).collect::<Vec<_>>()).unwrap()
}

#[test]
fn a_bore_going_out_of_round_gives_the_worked_values() {
    for bore in &BORES {
        let got = bore_geometry(bore);
        let mean_um = as_micrometres(got.mean - millimetres(620.0));
        assert!((mean_um - bore.mean_um).abs() <= 0.5, "mean {mean_um}");
        let ovality_nm: Vec<i64> = got
            .ovality
            .iter()
            .map(|&length| to_nanometres(length))
            .collect();
        assert_eq!(ovality_nm, bore.ovality_um.map(|um| um * 1_000));
        let taper_um = as_micrometres(got.taper);
        assert!((taper_um - bore.taper_um).abs() <= 0.5, "taper {taper_um}");
    }
}

#[test]
fn the_bore_limits_give_graded_verdicts() {
    let limits = SeatLimits {
        mean: Some(Limits::at_most(millimetres(620.120))),
        ovality: Some(Limits::at_most(millimetres(0.120))),
        taper: Some(Limits::at_most(millimetres(0.060))),
        size: None,
    };
    let checks = judge(&bore_geometry(&BORES[2]), &limits, Some(millimetres(0.010))).unwrap();
    let verdicts: Vec<_> = checks
        .iter()
        .map(|check| (check.criterion, check.conformity.verdict))
        .collect();
    let ovality = |plane| SeatCriterion::Ovality { plane };
    let expected = [
        (SeatCriterion::Mean, Verdict::PassInDoubt),
        (ovality(0), Verdict::Fail),
        (ovality(1), Verdict::Fail),
        (ovality(2), Verdict::Pass),
        (SeatCriterion::Taper, Verdict::Pass),
    ];
    assert_eq!(verdicts, expected);
    assert_eq!(
        judge(&bore_geometry(&BORES[2]), &SeatLimits::default(), None).unwrap(),
        []
    );
}

#[test]
fn a_warm_neck_is_smaller_at_20_degrees() {
    // Demo plant (invented): neck 31 °C, gauge 23 °C, both 11.5e-6: 479.742 becomes 479.698.
    let correction = Correction {
        part: celsius(31.0),
        gauge: celsius(23.0),
        ..Correction::none()
    };
    let seat = seat(&SeatReadings {
        readings: grid(&[&[479.742]]),
        correction,
        limits: Limits::between(millimetres(479.700), millimetres(479.760)),
        expanded_uncertainty: Some(millimetres(0.008)),
    })
    .unwrap();
    assert!((as_millimetres(seat.corrected[0][0]) - 479.698).abs() < 5e-4);
    assert_eq!(seat.geometry.min, seat.corrected[0][0]);
    assert_eq!(
        (seat.at_min.verdict, seat.verdict),
        (Verdict::FailInDoubt, Verdict::FailInDoubt)
    );
}

#[test]
fn wrong_inputs_are_named() {
    let good = SeatReadings {
        readings: grid(&[&[620.0, 620.1], &[620.0, 620.1]]),
        correction: Correction::none(),
        limits: Limits::at_most(millimetres(621.0)),
        expanded_uncertainty: None,
    };
    assert!(seat(&good).is_ok());
    let input_of = |bad: &SeatReadings| seat(bad).unwrap_err().input().to_owned();
    let with_readings = |mm: &[&[f64]]| SeatReadings {
        readings: grid(mm),
        ..good.clone()
    };
    assert_eq!(input_of(&with_readings(&[])), "readings");
    assert_eq!(input_of(&with_readings(&[&[]])), "readings");
    assert_eq!(
        input_of(&with_readings(&[&[1.0, 2.0], &[1.0]])),
        "readings[1]"
    );
    assert_eq!(input_of(&with_readings(&[&[1.0, -2.0]])), "readings[0][1]");
    let with_correction = |correction| SeatReadings {
        correction,
        ..good.clone()
    };
    let none = Correction::none();
    assert_eq!(
        input_of(&with_correction(Correction {
            part: celsius(250.0),
            ..none
        })),
        "part_temp"
    );
    assert_eq!(
        input_of(&with_correction(Correction {
            gauge: celsius(f64::NAN),
            ..none
        })),
        "gauge_temp"
    );
    let per_million_forgotten = Correction {
        expansion_part: per_kelvin(12.5),
        ..none
    };
    assert_eq!(
        input_of(&with_correction(per_million_forgotten)),
        "expansion_part"
    );
}

proptest! {
    #[test]
    fn ovality_and_taper_do_not_change_under_a_shift(
        um in prop::collection::vec(prop::collection::vec(-200_i32..200, 4), 1..5), shift in 0_i32..500,
    ) {
        let sizes = |shift: i32| -> Vec<Vec<Length>> {
            let size = |um: &i32| micrometres(620_000.0 + f64::from(*um + shift));
            um.iter().map(|row| row.iter().map(size).collect()).collect()
        };
        let (here, there) = (geometry(&sizes(0)).unwrap(), geometry(&sizes(shift)).unwrap());
        prop_assert_eq!(&here.ovality, &there.ovality);
        prop_assert_eq!(to_nanometres(here.taper), to_nanometres(there.taper));
        prop_assert!(here.min <= here.mean && here.mean <= here.max);
    }

    #[test]
    fn equal_temperature_and_expansion_of_part_and_gauge_cancel(t in -20.0..60.0_f64, mm in 1.0..3_000.0_f64) {
        let correction = Correction { part: celsius(t), gauge: celsius(t), ..Correction::none() };
        let got = correction.at_20_c(millimetres(mm)).unwrap();
        prop_assert!((as_millimetres(got) - mm).abs() <= 1e-12 * mm);
    }
}
