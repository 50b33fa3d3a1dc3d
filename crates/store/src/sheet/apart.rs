//! Verdicts whose numbers stand elsewhere on their sheet. The record keeps value, limit and U of a verdict in nm, so that
//! those of a temperature or a torque stand among the results; and that of a whole bearing keeps the mean of its rows,
//! while every row has to hold.

use calc::conformity::AtUpper;

use crate::entry::Quantity;
use crate::payload::{Judgement, SheetBody};

/// What the value of a verdict is.
pub fn quantity_of(about: &str) -> Quantity {
    match about {
        "mount_heating" => Quantity::Temperature,
        "mount_bolt_torque" => Quantity::Torque,
        _ => Quantity::Length,
    }
}

/// What the limit of wear of a bearing type is called where a verdict says where its limit comes from.
pub(crate) const REWORK_LEVEL: &str = "rework level";

/// What a value on the upper limit of a signed verdict means: a level of wear is reached there, every other limit still
/// conforms.
pub fn at_upper(signed: &Judgement) -> AtUpper {
    let is_reached = match signed.about.as_str() {
        "clearance" | "clearance_row" => true,
        // On the roll the drawing's largest stands in where the type has no such level.
        "mount_end_play" | "mount_radial" | "mount_thrust" => {
            signed.limit_origin.contains(REWORK_LEVEL)
        }
        _ => false,
    };
    if is_reached {
        AtUpper::Reached
    } else {
        AtUpper::Conforms
    }
}

/// How an upper limit is told: `at most`, or `below` where a value on it has reached it.
pub fn upper_word(at_upper: AtUpper) -> &'static str {
    match at_upper {
        AtUpper::Conforms => "at most",
        AtUpper::Reached => "below",
    }
}

/// The name of a result that holds a number of such a verdict; none where the verdict holds it itself. `which` is empty
/// for the value, `_lower`, `_limit` or `_u`.
pub(crate) fn result_name(about: &str, which: &str) -> Option<String> {
    let unit = match quantity_of(about) {
        Quantity::Temperature => "mk",
        Quantity::Torque => "mnm",
        _ => return None,
    };
    Some(format!("{about}{which}_{unit}"))
}

/// A verdict with the numbers that decided it: those of a temperature or a torque from the results, those of a whole
/// bearing from the row that decides.
pub fn whole(signed: &Judgement, body: &SheetBody) -> Judgement {
    if let Some(row) = deciding_row(signed, body) {
        return Judgement {
            value_nm: row.value_nm,
            probability_ppm: row.probability_ppm,
            ..signed.clone()
        };
    }
    let of = |which: &str| {
        let name = result_name(&signed.about, which)?;
        let found = body.results.iter().find(|o| o.name == name);
        found.map(|o| o.value)
    };
    Judgement {
        value_nm: signed.value_nm.or_else(|| of("")),
        lower_nm: signed.lower_nm.or_else(|| of("_lower")),
        upper_nm: signed.upper_nm.or_else(|| of("_limit")),
        expanded_uncertainty_nm: signed.expanded_uncertainty_nm.or_else(|| of("_u")),
        ..signed.clone()
    }
}

/// The row that decides the verdict of a whole bearing: of those with its verdict the one that conforms least likely. None
/// where all rows have one verdict: then the mean speaks for all of them.
pub fn deciding_row<'a>(signed: &Judgement, body: &'a SheetBody) -> Option<&'a Judgement> {
    if signed.about != "clearance" || signed.item != 0 {
        return None;
    }
    let rows = || body.verdicts.iter().filter(|v| v.about == "clearance_row");
    let is_mixed = rows().any(|row| row.verdict != signed.verdict);
    rows()
        .filter(|row| is_mixed && row.verdict == signed.verdict)
        .min_by_key(|row| row.probability_ppm.unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Verdict of a row, its value and its chance.
    type Row = (&'static str, i64, i64);

    #[test]
    fn the_row_that_decides_stands_for_the_whole_bearing_and_the_mean_where_all_are_alike() {
        let one = |about: &str, item: i64, verdict: &str, value: i64, ppm: i64| Judgement {
            about: about.into(),
            item,
            verdict: verdict.into(),
            value_nm: Some(value),
            upper_nm: Some(300_000),
            probability_ppm: Some(ppm),
            ..Judgement::default()
        };
        let pass = "pass";
        // Verdict of the whole, then of each row with its value and chance; the row that decides.
        let table: [(&str, &[Row], Option<i64>); 6] = [
            (
                pass,
                &[(pass, 210_000, 999_000), (pass, 240_000, 990_000)],
                None,
            ),
            (
                "fail",
                &[(pass, 210_000, 999_000), ("fail", 312_000, 1_000)],
                Some(2),
            ),
            (
                "fail",
                &[("fail", 330_000, 10), ("fail", 312_000, 1_000)],
                None,
            ),
            (
                "fail",
                &[
                    ("fail", 312_000, 1_000),
                    (pass, 280_000, 990_000),
                    ("fail", 330_000, 10),
                ],
                Some(3),
            ),
            (
                "pass_in_doubt",
                &[
                    (pass, 210_000, 999_000),
                    ("pass_in_doubt", 296_000, 800_000),
                ],
                Some(2),
            ),
            ("missing", &[("missing", 0, 0)], None),
        ];
        for (verdict, rows, decides) in table {
            let whole_signed = one("clearance", 0, verdict, 226_000, 999_000);
            let mut body = SheetBody::default();
            body.verdicts.push(whole_signed.clone());
            for (item, (verdict, value, ppm)) in (1..).zip(rows) {
                body.verdicts
                    .push(one("clearance_row", item, verdict, *value, *ppm));
            }
            let found = deciding_row(&whole_signed, &body);
            assert_eq!(found.map(|row| row.item), decides, "{verdict} {rows:?}");
            let shown = whole(&whole_signed, &body);
            let (value, ppm) = found.map_or((Some(226_000), Some(999_000)), |row| {
                (row.value_nm, row.probability_ppm)
            });
            assert_eq!((shown.value_nm, shown.probability_ppm), (value, ppm));
            assert_eq!(
                (shown.verdict.as_str(), shown.upper_nm),
                (verdict, Some(300_000))
            );
        }
        // A pair of a tapered bearing has no rows beside it.
        let pair = one("clearance", 2, "fail", 400_000, 10);
        let mut body = SheetBody::default();
        body.verdicts
            .push(one("clearance_row", 1, "fail", 500_000, 1));
        body.verdicts
            .push(one("clearance_row", 2, "pass", 200_000, 999_999));
        assert_eq!(deciding_row(&pair, &body), None);
    }
}
