//! Checks of the limit deviations against every row of the reference tables.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::quantity::{micrometres, millimetres, to_nanometres};

mod formula;
mod outside;

fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let lines = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    lines.skip(1).map(|line| line.split(',').collect())
}

fn limits_um(nominal_mm: f64, class: &str) -> (f64, f64) {
    let got = tolerance(millimetres(nominal_mm), class)
        .unwrap_or_else(|error| panic!("{nominal_mm} {class}: {error}"));
    (as_micrometres(got.lower), as_micrometres(got.upper))
}

#[test]
fn every_row_of_iso286_limits_csv_is_reproduced() {
    let mut count = 0;
    for row in rows(include_str!(
        "../../../../shared/reference/iso286_limits.csv"
    )) {
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        assert_eq!(
            limits_um(number(0), row[1]),
            (number(3), number(2)),
            "{} {}",
            row[0],
            row[1]
        );
        count += 1;
    }
    assert_eq!(count, 260, "rows lost while reading");
}

#[test]
fn grades_of_iso286_it_csv_come_back_at_both_ends_of_each_range() {
    let mut count = 0;
    for row in rows(include_str!("../../../../shared/reference/iso286_it.csv")) {
        let (over, upto): (f64, f64) = (row[0].parse().unwrap(), row[1].parse().unwrap());
        for (column, grade) in (3..=11).enumerate() {
            let expected_um: f64 = row[column + 2].parse().unwrap();
            for nominal in [over + 0.001, upto] {
                let got = tolerance(millimetres(nominal), &format!("h{grade}")).unwrap();
                assert_eq!(
                    as_micrometres(got.grade()),
                    expected_um,
                    "{nominal} IT{grade}"
                );
            }
            count += 1;
        }
    }
    assert_eq!(count, 21 * 9, "rows lost while reading");
}

#[test]
fn deviations_of_iso286_shaft_fd_csv_come_back_at_both_ends_of_each_range() {
    let mut count = 0;
    for row in rows(include_str!(
        "../../../../shared/reference/iso286_shaft_fd.csv"
    )) {
        let (over, upto): (f64, f64) = (row[0].parse().unwrap(), row[1].parse().unwrap());
        for (letter, cell) in ["d", "e", "f", "g", "h", "k", "m", "n", "p", "r", "s"]
            .iter()
            .zip(&row[2..])
        {
            for nominal in [over + 0.001, upto] {
                let (lower, upper) = limits_um(nominal, &format!("{letter}6"));
                let is_upper = ["d", "e", "f", "g", "h"].contains(letter);
                assert_eq!(
                    if is_upper { upper } else { lower },
                    cell.parse::<f64>().unwrap(),
                    "{nominal} {letter}"
                );
            }
            count += 1;
        }
    }
    assert_eq!(count, 38 * 11, "rows lost while reading");
}

#[test]
fn j_shafts_of_iso286_shaft_j_csv_come_back_at_both_ends_of_each_range() {
    let mut count = 0;
    for row in rows(include_str!(
        "../../../../shared/reference/iso286_shaft_j.csv"
    )) {
        let (over, upto): (f64, f64) = (row[0].parse().unwrap(), row[1].parse().unwrap());
        for (grade, cell) in (5..=7).zip(&row[2..]) {
            for nominal in [over + 0.001, upto] {
                let got = tolerance(millimetres(nominal), &format!("j{grade}")).unwrap();
                assert_eq!(as_micrometres(got.lower), cell.parse::<f64>().unwrap());
                let plain = tolerance(millimetres(nominal), &format!("h{grade}")).unwrap();
                assert_eq!(got.grade(), plain.grade(), "{nominal} j{grade}");
            }
            count += 1;
        }
    }
    assert_eq!(count, 13 * 3, "rows lost while reading");
}

#[derive(serde::Deserialize)]
struct HoleRules {
    #[serde(rename = "J_ES")]
    j: std::collections::BTreeMap<String, Vec<f64>>,
}

#[test]
fn j_holes_of_iso286_hole_rules_toml_come_back() {
    let text = include_str!("../../../../shared/reference/iso286_hole_rules.toml");
    let rules: HoleRules = toml::from_str(text).unwrap();
    let mut count = 0;
    for class in ["J6", "J7", "J8"] {
        for (&upto, &es) in rules.j["ranges_upto"].iter().zip(&rules.j[class]) {
            let grade = tolerance(millimetres(upto), &class.replace('J', "H"))
                .unwrap()
                .grade();
            assert_eq!(
                limits_um(upto, class),
                (es - as_micrometres(grade), es),
                "{upto} {class}"
            );
            count += 1;
        }
    }
    assert_eq!(count, 36, "values lost while reading");
    assert_eq!(limits_um(5.0, "J7"), (-6.0, 6.0)); // as the note in the table says
}

#[derive(serde::Deserialize)]
struct Disagreements {
    case: Vec<Disagreement>,
}

#[derive(serde::Deserialize)]
struct Disagreement {
    r#where: String,
}

#[test]
fn where_open_sources_disagree_the_kept_value_stands() {
    type Row = (f64, &'static str, Option<f64>, Option<f64>); // nominal, class, lower, upper as kept
    let both = |nominal, class, lower, upper| -> Row { (nominal, class, Some(lower), Some(upper)) };
    let upper = |nominal, class, upper| -> Row { (nominal, class, None, Some(upper)) };
    let lower = |nominal, class, lower| -> Row { (nominal, class, Some(lower), None) };
    // In the order of iso286_disagreements.toml, found by the start of its `where`.
    let kept: Vec<(&str, Vec<Row>)> = vec![
        ("isofits 1.0: E7", vec![both(340.0, "E7", 125.0, 182.0)]),
        ("isofits 1.0: f6", vec![both(150.0, "f6", -68.0, -43.0)]),
        ("isofits 1.0: K6", vec![both(8.0, "K6", -7.0, 2.0)]),
        ("rf-tolerance: IT5", vec![both(3_000.0, "h5", -96.0, 0.0)]),
        ("rf-tolerance: G", vec![lower(5.0, "G7", 4.0)]),
        ("rf-tolerance: K", vec![upper(35.0, "K7", -2.0 + 9.0)]),
        ("rf-tolerance: N, 24", vec![upper(27.0, "N7", -15.0 + 8.0)]),
        ("rf-tolerance: N, 2000", vec![upper(2_200.0, "N7", -110.0)]),
        ("rf-tolerance: M, 2500", vec![upper(3_000.0, "M7", -76.0)]),
        (
            "rf-tolerance and korchel/engineering-tolerance: M6",
            vec![both(300.0, "M6", -41.0, -9.0)],
        ),
        (
            "korchel/engineering-tolerance: r",
            vec![lower(240.0, "r6", 84.0)],
        ),
        (
            "korchel/engineering-tolerance: P",
            vec![upper(190.0, "P8", -50.0)],
        ),
        (
            "korchel/engineering-tolerance: N9",
            vec![upper(100.0, "N9", 0.0), upper(5.0, "N11", 0.0)],
        ),
        (
            "korchel/engineering-tolerance: k7",
            vec![lower(50.0, "k7", 2.0)],
        ),
        (
            "SKF Rolling bearings 17000/1 EN B.6: grade-5",
            [
                (560.0, 32.0),
                (700.0, 36.0),
                (900.0, 40.0),
                (1_100.0, 47.0),
                (1_400.0, 55.0),
                (1_800.0, 65.0),
            ]
            .into_iter()
            .chain([(2_200.0, 78.0)])
            .map(|(nominal, it)| both(nominal, "h5", -it, 0.0))
            .collect(),
        ),
        (
            "SKF B.6 table 20: M6",
            vec![both(1_800.0, "M6", -150.0, -58.0)],
        ),
        ("SKF B.6 table 20: M5", vec![both(25.0, "M5", -14.0, -5.0)]),
        (
            "SKF B.6 tables 13 and 19",
            vec![
                both(1_100.0, "js7", -52.5, 52.5),
                both(1_100.0, "JS7", -52.5, 52.5),
            ],
        ),
        ("SKF B.6 table 11, row 315-400", vec![]), // a bearing bore of ISO 492, no class of ISO 286
    ];
    let text = include_str!("../../../../shared/reference/iso286_disagreements.toml");
    let table: Disagreements = toml::from_str(text).unwrap();
    assert_eq!(table.case.len(), kept.len(), "rows lost or new");
    for (case, (start, rows)) in table.case.iter().zip(&kept) {
        assert!(
            case.r#where.starts_with(start),
            "{} is not {start}",
            case.r#where
        );
        check_kept(rows);
    }
    // ISO 286-2:1988/Cor.1:2006 in the same file; A13 lies outside the tables.
    check_kept(&[
        upper(100.0, "E8", 126.0),
        upper(25.0, "R10", -28.0),
        lower(300.0, "f9", -186.0),
    ]);
}

fn check_kept(rows: &[(f64, &str, Option<f64>, Option<f64>)]) {
    for &(nominal, class, lower, upper) in rows {
        let got = limits_um(nominal, class);
        assert_eq!(lower.unwrap_or(got.0), got.0, "{nominal} {class}");
        assert_eq!(upper.unwrap_or(got.1), got.1, "{nominal} {class}");
    }
}

#[test]
fn undefined_classes_and_sizes_say_what_is_defined() {
    for class in [
        "", "H", "7", "h12", "H2", "Hh7", "H07", "H+7", "H7 ", "x6", "j4", "j8", "K9", "A13",
        "JS12", "H300",
    ] {
        let error = tolerance(millimetres(100.0), class).unwrap_err();
        assert_eq!(error.input(), "class", "{class}");
        let text = error.to_string();
        assert!(
            ["h3-11", "j5-7", "K3-8", "J6-8"]
                .iter()
                .all(|part| text.contains(part)),
            "{class}: {text}"
        );
    }
    for (nominal, class) in [(2.0, "J6"), (600.0, "J7"), (600.0, "j6"), (1.0, "N9")] {
        assert_eq!(
            tolerance(millimetres(nominal), class).unwrap_err().input(),
            "class",
            "{nominal} {class}"
        );
    }
    for nominal in [0.0, -1.0, 3_150.001, f64::NAN, f64::INFINITY] {
        assert_eq!(
            tolerance(millimetres(nominal), "H7").unwrap_err().input(),
            "nominal",
            "{nominal}"
        );
    }
    assert_eq!(limits_um(1.001, "N9"), (-29.0, -4.0));
}

#[test]
fn letter_case_tells_hole_from_shaft() {
    assert_eq!(is_hole_class("H7"), Some(true));
    assert_eq!(is_hole_class("js6"), Some(false));
    assert_eq!(is_hole_class("Js6"), None);
}

#[test]
fn what_is_undefined_is_exactly_what_the_rules_leave_out() {
    // iso286_hole_rules.toml and iso286_shaft_j.csv; every other letter has every grade at every size.
    let is_left_out = |letter: &str, grade: u8, mm: f64| match letter {
        "j" => !(5..=7).contains(&grade) || mm > 500.0,
        "J" => !(6..=8).contains(&grade) || mm <= 3.0 || mm > 500.0,
        "K" => grade > 8,
        "N" => grade > 8 && mm <= 1.0,
        _ => false,
    };
    let mut ends_mm = vec![0.001, 1.0, 1.001];
    for row in rows(include_str!(
        "../../../../shared/reference/iso286_shaft_fd.csv"
    )) {
        let (over, upto): (f64, f64) = (row[0].parse().unwrap(), row[1].parse().unwrap());
        ends_mm.extend([over + 0.001, upto]);
    }
    for mm in ends_mm {
        for letter in class::SHAFT_LETTERS.into_iter().chain(class::HOLE_LETTERS) {
            for grade in 0..=18 {
                let is_defined = tolerance(millimetres(mm), &format!("{letter}{grade}")).is_ok();
                let is_expected = (3..=11).contains(&grade) && !is_left_out(letter, grade, mm);
                assert_eq!(is_defined, is_expected, "{mm} {letter}{grade}");
            }
        }
    }
}

proptest! {
    #[test]
    fn a_border_size_belongs_to_the_lower_range_and_deviations_mirror(um in 1_u32..3_150_000, grade in 3_u8..=11) {
        let nominal = micrometres(f64::from(um));
        for letter in ["d", "e", "f", "g", "h"] {
            let shaft = tolerance(nominal, &format!("{letter}{grade}")).unwrap();
            let hole = tolerance(nominal, &format!("{}{grade}", letter.to_uppercase())).unwrap();
            prop_assert_eq!(to_nanometres(hole.lower), -to_nanometres(shaft.upper));
            prop_assert_eq!(to_nanometres(hole.grade()), to_nanometres(shaft.grade()));
        }
    }

    #[test]
    fn a_coarser_grade_is_never_tighter(um in 1_u32..3_150_000, grade in 3_u8..=10) {
        let nominal = micrometres(f64::from(um));
        let grade_um = |grade: u8| as_micrometres(tolerance(nominal, &format!("h{grade}")).unwrap().grade());
        prop_assert!(grade_um(grade) < grade_um(grade + 1));
    }

    #[test]
    fn a_larger_size_never_has_a_smaller_tolerance(um in 1_u32..3_150_000, more in 0_u32..500_000, grade in 3_u8..=11) {
        let grade_um = |um: u32| {
            let nominal = micrometres(f64::from(um.min(3_150_000)));
            as_micrometres(tolerance(nominal, &format!("H{grade}")).unwrap().grade())
        };
        prop_assert!(grade_um(um) <= grade_um(um + more));
    }

    #[test]
    fn any_text_and_size_give_limits_in_order_or_an_error(um in any::<f64>(), class in "[A-Za-z]{1,2}[0-9]{1,3}|.{0,5}") {
        if let Ok(limits) = tolerance(micrometres(um), &class) {
            prop_assert!(limits.lower < limits.upper);
        }
    }
}
