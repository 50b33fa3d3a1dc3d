//! The tables of standard tolerances against the formulas behind them: the tables are normative.

use super::*;

/// Standard tolerance by the formula of ISO 286-1:2010, clause on calculation (memory), as in iso286_formula.csv.
fn unit_um(over_mm: f64, upto_mm: f64) -> f64 {
    let mean = libm::sqrt(over_mm * upto_mm);
    if upto_mm <= 500.0 {
        0.45 * libm::cbrt(mean) + 0.001 * mean
    } else {
        0.004 * mean + 2.1
    }
}

/// Grades with the multiplier of the unit.
const MULTIPLIERS: [(u8, f64); 7] = [
    (5, 7.0),
    (6, 10.0),
    (7, 16.0),
    (8, 25.0),
    (9, 40.0),
    (10, 64.0),
    (11, 100.0),
];

/// As the head of iso286_formula_disagreements.csv says (memory).
fn rounded_um(um: f64) -> f64 {
    let step = if um <= 100.0 {
        1.0
    } else if um <= 200.0 {
        5.0
    } else if um <= 500.0 {
        10.0
    } else {
        20.0
    };
    (um / step).round() * step
}

#[test]
fn formula_values_of_iso286_formula_csv_come_back_beside_the_table() {
    let mut count = 0;
    for row in rows(include_str!(
        "../../../../../shared/reference/iso286_formula.csv"
    )) {
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        let upto = number(1);
        let unit = unit_um(number(0), upto);
        assert!((unit - number(3)).abs() <= 5e-6, "{upto}: unit {unit}");
        for (column, grade, multiplier) in [(4, 6, 10.0), (6, 7, 16.0), (8, 9, 40.0)] {
            assert!(
                (unit * multiplier - number(column)).abs() <= 5e-4,
                "{upto} IT{grade} by formula"
            );
            let got = tolerance(millimetres(upto), &format!("H{grade}"))
                .unwrap()
                .grade();
            assert_eq!(
                as_micrometres(got),
                number(column + 1),
                "{upto} IT{grade} by table"
            );
        }
        count += 1;
    }
    assert_eq!(count, 20, "rows lost while reading");
}

#[test]
fn each_disagreement_of_table_and_formula_is_listed_and_no_other() {
    let listed: Vec<Vec<&str>> = rows(include_str!(
        "../../../../../shared/reference/iso286_formula_disagreements.csv"
    ))
    .collect();
    assert_eq!(listed.len(), 30, "rows lost or new");
    let (mut agreeing, mut found) = (0, 0);
    // Up to 3 mm the formula has no lower end to take a mean with.
    for range in rows(include_str!(
        "../../../../../shared/reference/iso286_it.csv"
    ))
    .skip(1)
    {
        let (over, upto): (f64, f64) = (range[0].parse().unwrap(), range[1].parse().unwrap());
        for (grade, multiplier) in MULTIPLIERS {
            let formula = unit_um(over, upto) * multiplier;
            let class = format!("H{grade}");
            let table = as_micrometres(tolerance(millimetres(upto), &class).unwrap().grade());
            let name = format!("IT{grade}");
            let row = listed
                .iter()
                .find(|row| row[0] == range[0] && row[2] == name);
            if rounded_um(formula) == table {
                assert!(row.is_none(), "{over}-{upto} {name} agrees");
                agreeing += 1;
                continue;
            }
            let row = row.unwrap_or_else(|| panic!("{over}-{upto} {name} is not listed"));
            let number = |column: usize| row[column].parse::<f64>().unwrap();
            assert!((formula - number(3)).abs() <= 5e-4, "{over}-{upto} {name}");
            assert_eq!((rounded_um(formula), table), (number(4), number(5)));
            // The table was rounded otherwise or set by hand, but never far from the formula.
            assert!((table / formula - 1.0).abs() < 0.10, "{over}-{upto} {name}");
            found += 1;
        }
    }
    assert_eq!((found, agreeing), (30, 20 * 7 - 30));
}
