//! A what-if from a real bearing: the inputs of `stack` and `growth_ratio` from its last sheet and its type.

use serde_json::{Map, Value, json};
use store::query::{BearingPage, SheetDetail};

use crate::drawings::mm;

/// Names of methods with the inputs that this bearing gives; empty where it has no sheet yet.
pub fn from_bearing(page: &BearingPage) -> Vec<(&'static str, Value)> {
    let Some(sheet) = page
        .sheets
        .iter()
        .rfind(|sheet| sheet.result("end_play_nm", 1).is_some())
    else {
        return Vec::new();
    };
    let mut found = vec![("stack", stack(page, sheet))];
    found.extend(growth(page).map(|input| ("growth_ratio", input)));
    found
}

/// Numbers that are known, by their key.
fn known(values: impl IntoIterator<Item = (&'static str, Option<i64>)>) -> Map<String, Value> {
    let known = values
        .into_iter()
        .filter_map(|(key, nm)| Some((key.to_owned(), json!(mm(nm?)))));
    known.collect()
}

fn stack(page: &BearingPage, sheet: &SheetDetail) -> Value {
    let limits = &page.bearing_type;
    let pairs = (1..=3_usize).filter_map(|pair| {
        let item = pair as i64;
        let clearance = sheet.result("end_play_nm", item)?;
        let gap = sheet.result("mean_gap_nm", item);
        let spacer = gap.map_or_else(
            || limits.pair("spacer_nm", pair),
            |gap| Some(gap + clearance),
        );
        let clearance = if gap.is_none() { Some(clearance) } else { None };
        let mut object = known([
            ("spacer_mm", spacer),
            ("clearance_mm", clearance),
            ("target_min_mm", limits.pair("target_min_nm", pair)),
            ("target_max_mm", limits.pair("target_max_nm", pair)),
            ("min_spacer_mm", limits.pair("spacer_min_nm", pair)),
        ]);
        object.extend(gap.map(|gap| ("gaps_mm".to_owned(), json!([mm(gap)]))));
        Some(Value::Object(object))
    });
    let pairs: Vec<Value> = pairs.collect();
    let mut input = known([("step_mm", limits.whole("grind_step_nm"))]);
    input.insert("pairs".into(), Value::Array(pairs));
    Value::Object(input)
}

/// The pair whose last reading had grown most against the setting of its own stretch.
fn growth(page: &BearingPage) -> Option<Value> {
    let last = |pair: usize| {
        let of_pair = || page.growth.iter().filter(move |point| point.pair == pair);
        let now = of_pair().rfind(|point| !point.is_setting)?;
        let set = of_pair().find(|point| point.is_setting && point.segment == now.segment)?;
        (set.value_nm > 0).then(|| {
            (
                now.value_nm as f64 / set.value_nm as f64,
                pair,
                now.value_nm,
                set.value_nm,
            )
        })
    };
    let (_, pair, now, set) = (1..=3)
        .filter_map(last)
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    let limits = &page.bearing_type;
    let mut input = known([
        ("clearance_mm", Some(now)),
        ("as_set_mm", Some(set)),
        ("rework_mm", limits.pair("rework_nm", pair)),
    ]);
    let factor = limits
        .whole("rework_factor_ppm")
        .map(|ppm| ppm as f64 / 1e6);
    input.extend(factor.map(|factor| ("factor".to_owned(), json!(factor))));
    Some(Value::Object(input))
}
