//! Verdicts about what is no length: the record keeps value, limit and U of a verdict in nm, so that those of a
//! temperature or a torque stand among the results.

use calc::conformity::AtUpper;

use crate::entry::Quantity;
use crate::payload::{Judgement, Outcome};

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

/// A verdict with the numbers that it has among the results.
pub fn whole(signed: &Judgement, results: &[Outcome]) -> Judgement {
    let of = |which: &str| {
        let name = result_name(&signed.about, which)?;
        results.iter().find(|o| o.name == name).map(|o| o.value)
    };
    Judgement {
        value_nm: signed.value_nm.or_else(|| of("")),
        lower_nm: signed.lower_nm.or_else(|| of("_lower")),
        upper_nm: signed.upper_nm.or_else(|| of("_limit")),
        expanded_uncertainty_nm: signed.expanded_uncertainty_nm.or_else(|| of("_u")),
        ..signed.clone()
    }
}
