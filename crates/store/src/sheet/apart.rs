//! Verdicts about what is no length: the record keeps value, limit and U of a verdict in nm, so that those of a
//! temperature or a torque stand among the results.

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
