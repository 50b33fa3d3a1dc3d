//! A verdict with all that is needed to follow it.

use report::VerdictLine;
use store::entry::Show;
use store::payload::Judgement;
use store::query::SheetDetail;
use store::rows::Rows;
use store::{Origin, Ref};

use super::mark;

/// The verdicts of a sheet, each kind together. What all of them share is said once, by [`notes`].
pub(super) fn lines(detail: &SheetDetail, show: Show) -> Vec<VerdictLine> {
    let all = &detail.body.verdicts;
    let mut order: Vec<&Judgement> = all.iter().collect();
    order.sort_by_key(|v| all.iter().position(|first| first.about == v.about));
    let shared = Shared::of(detail);
    order
        .into_iter()
        .map(|v| line(v, &shared, detail, show))
        .collect()
}

/// What all verdicts of a sheet have in common.
pub(super) fn notes(detail: &SheetDetail) -> Vec<String> {
    let shared = Shared::of(detail);
    let rule = shared.rule.filter(|rule| !rule.is_empty());
    let is_mixed = detail.body.verdicts.iter().any(|v| Some(&*v.rule) != rule);
    let rule = rule.map(|rule| {
        let usual = if is_mixed {
            ", with 95 % where no other is asked"
        } else {
            ""
        };
        format!("Rule of all verdicts: {rule}{usual}; p is the probability of conformity.")
    });
    let version = shared
        .version
        .and_then(|version| version.resolve(detail.event.id.origin));
    let version = version.map(|record| format!("All limits were set by record {record}."));
    rule.into_iter().chain(version).collect()
}

/// Rule and version of the limits, where all verdicts have the same; a probability that is not asked of all of them is no
/// part of the rule.
struct Shared<'a> {
    rule: Option<&'a str>,
    version: Option<&'a Ref>,
}

impl<'a> Shared<'a> {
    fn of(detail: &'a SheetDetail) -> Self {
        let all = &detail.body.verdicts;
        let first = all.first();
        let rule = first
            .map(|v| v.rule.as_str())
            .map(|rule| {
                if all.iter().all(|v| v.rule == rule) {
                    rule
                } else {
                    rule.split(", ").next().unwrap_or(rule)
                }
            })
            .filter(|rule| all.iter().all(|v| rest(&v.rule, rule).is_some()));
        let version = first.and_then(|v| v.limit_version.as_ref());
        let version = version.filter(|version| {
            all.iter()
                .all(|v| v.limit_version.as_ref() == Some(version))
        });
        Self { rule, version }
    }
}

fn line(signed: &Judgement, shared: &Shared<'_>, detail: &SheetDetail, show: Show) -> VerdictLine {
    let own = detail.event.id.origin;
    let v = &store::sheet::whole(signed, &detail.body);
    let quantity = store::sheet::quantity_of(&v.about);
    let is_deviation = matches!(
        v.about.as_str(),
        "bore_mean" | "bore_smallest" | "bore_largest"
    );
    let length = |nm: i64| {
        if is_deviation {
            show.deviation(nm)
        } else {
            show.told(quantity, nm)
        }
    };
    let unit = show.sign_of(quantity);
    let uncertainty = match (v.expanded_uncertainty_nm, v.value_nm) {
        (Some(0), _) => "not counted".into(),
        (Some(nm), _) => format!("{} {unit}", show.told(quantity, nm)),
        (None, Some(_)) => "not known".into(),
        (None, None) => String::new(),
    };
    VerdictLine {
        about: title(signed, detail, show),
        value: v.value_nm.map_or_else(
            || "not measured".into(),
            |nm| format!("{} {unit}", length(nm)),
        ),
        uncertainty,
        limit: limit(v, unit, &length),
        origin: origin(v, shared, own),
        rule: rule(v, shared, show),
        method: match v.method.rsplit_once(' ') {
            Some((name, version)) => format!("{name}, version {version}"),
            None => v.method.clone(),
        },
        verdict: mark(&v.verdict),
    }
}

/// What was judged, in words.
pub(crate) fn about(v: &Judgement, rows: Rows) -> String {
    about_words(&v.about, v.item, rows)
}

/// What was judged on a sheet, in words; of a whole bearing with the row that decides.
pub(crate) fn title(signed: &Judgement, detail: &SheetDetail, show: Show) -> String {
    let rows = detail.named_rows(show);
    let about = about_words(&signed.about, signed.item, rows);
    let row = store::sheet::deciding_row(signed, &detail.body);
    match row.and_then(|row| usize::try_from(row.item).ok()) {
        Some(row) => format!("Clearance, decided by row {}", rows.row(row)),
        None => about,
    }
}

/// What was judged, in words, by its name in the file and its item.
pub(crate) fn about_words(about: &str, item: i64, rows: Rows) -> String {
    let number = usize::try_from(item).unwrap_or(0);
    let row = rows.row(number);
    let pair = match number {
        1..=3 => rows.pair_name(number),
        _ => "all rows".to_owned(),
    };
    match about {
        "clearance" if item == 0 => "Clearance of the bearing".into(),
        "clearance_row" => format!("Clearance, row {row}"),
        "interference" => "Interference found on the neck".into(),
        "taper_reduction" => format!("Loss of clearance on the taper, row {row}"),
        "taper_push_up" => "Push-up found on the taper".into(),
        "mount_reduction" => format!("Loss of clearance by the push-up, row {row}"),
        "mount_push_up" => "Push-up on the taper".into(),
        "clearance" => format!("End play, {pair}"),
        "clearance_after" => format!("End play after grinding, {pair}"),
        "bore_mean" => "Chock bore, mean size".into(),
        "bore_smallest" => "Chock bore, smallest size".into(),
        "bore_largest" => "Chock bore, largest size".into(),
        "bore_taper" => "Chock bore, taper".into(),
        "bore_ovality" => format!("Chock bore, ovality of plane {item}"),
        "neck_smallest" => "Roll neck, smallest size".into(),
        "neck_largest" => "Roll neck, largest size".into(),
        "chock_shoulder" => "Chock shoulder, out of square".into(),
        "chock_cover_face" => "Cover face, out of flat".into(),
        "chock_width" => "Chock width over the liners".into(),
        "spacer_parallel" => format!("Spacer {}, faces parallel", rows.spacer(number)),
        "spacer_parallel_after" => {
            format!(
                "Spacer {}, faces parallel after grinding",
                rows.spacer(number)
            )
        }
        "neck_taper" => "Roll neck, taper".into(),
        "neck_ovality" => format!("Roll neck, ovality of plane {item}"),
        "mount_interference" => "Interference found".into(),
        "mount_clearance" => "Clearance found on the neck".into(),
        "mount_heating" => "Ring temperature reached".into(),
        "mount_ring_gap" => "Largest gap at the ring faces".into(),
        "mount_end_play" => format!("End play as mounted, {pair}"),
        "mount_radial" if item > 0 => format!("Radial play as mounted, row {row}"),
        "mount_radial" => "Radial play as mounted".into(),
        "mount_thrust" => "Axial play of the thrust bearing".into(),
        "mount_bolt_torque" => "Torque of the cover bolts".into(),
        "mount_shim" => "Shims put in".into(),
        "mount_cover_spread" => "Spread of the cover gap".into(),
        other => other.replace('_', " "),
    }
}

fn limit(v: &Judgement, unit: &str, length: &impl Fn(i64) -> String) -> String {
    let upper_word = store::sheet::upper_word(store::sheet::at_upper(v));
    match (v.lower_nm, v.upper_nm) {
        (Some(low), Some(high)) if v.about == "clearance_after" => {
            format!("{} to {} {unit}", length(low), length(high))
        }
        (Some(low), Some(high)) => {
            format!("{} to {upper_word} {} {unit}", length(low), length(high))
        }
        (Some(low), None) => format!("at least {} {unit}", length(low)),
        (None, Some(high)) => format!("{upper_word} {} {unit}", length(high)),
        (None, None) => "none".into(),
    }
}

/// What a rule says beyond the one that is shared.
fn rest<'a>(rule: &'a str, shared: &str) -> Option<&'a str> {
    let rest = rule.strip_prefix(shared)?;
    if rest.is_empty() {
        return Some(rest);
    }
    rest.strip_prefix(", ")
}

fn origin(v: &Judgement, shared: &Shared<'_>, own: Origin) -> String {
    let version = v
        .limit_version
        .as_ref()
        .filter(|_| shared.version.is_none());
    match version.and_then(|version| version.resolve(own)) {
        Some(record) => format!("{}, set by record {record}", v.limit_origin),
        None => v.limit_origin.clone(),
    }
}

fn rule(v: &Judgement, shared: &Shared<'_>, show: Show) -> String {
    let own = shared.rule.and_then(|shared| rest(&v.rule, shared));
    let rule = match own {
        Some(own) if !own.is_empty() => format!("asked {own}"),
        own => own.unwrap_or(&v.rule).to_owned(),
    };
    let chance = v
        .probability_ppm
        .map(|ppm| chance(ppm, show))
        .unwrap_or_default();
    let mut parts = vec![rule, chance, v.note.clone()];
    parts.retain(|part| !part.is_empty());
    parts.join("; ")
}

/// A probability; one that rounds to certainty is not called certain.
fn chance(ppm: i64, show: Show) -> String {
    let three = |ppm| show.decimals(ppm, 1_000_000, 3);
    match ppm {
        ..500 => format!("p under {}", three(1_000)),
        999_500.. => format!("p over {}", three(999_000)),
        _ => format!("p = {}", three(ppm)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A level of wear is reached at it, a largest of the drawing is not; on the roll as on the bench.
    #[test]
    fn a_limit_is_told_as_it_was_judged() {
        let level = "drawing minimum and rework level of N-1";
        for (about, origin, lower, expected) in [
            ("clearance", "rework level of N-1", None, "below 600 mm"),
            ("clearance_row", "rework level of N-1", None, "below 600 mm"),
            ("mount_end_play", level, Some(270), "270 to below 600 mm"),
            ("mount_radial", level, None, "below 600 mm"),
            ("mount_thrust", level, None, "below 600 mm"),
            ("mount_end_play", "drawing of N-1", None, "at most 600 mm"),
            (
                "mount_thrust",
                "drawing of N-1",
                Some(270),
                "270 to at most 600 mm",
            ),
            ("bore_ovality", "limits of N-1", None, "at most 600 mm"),
            (
                "clearance_after",
                "target of N-1",
                Some(270),
                "270 to 600 mm",
            ),
        ] {
            let v = Judgement {
                about: about.into(),
                item: 0,
                verdict: "pass".into(),
                value_nm: None,
                expanded_uncertainty_nm: None,
                lower_nm: lower,
                upper_nm: Some(600),
                limit_origin: origin.into(),
                limit_version: None,
                probability_ppm: None,
                rule: String::new(),
                method: String::new(),
                note: String::new(),
            };
            let told = limit(&v, "mm", &|nm: i64| nm.to_string());
            assert_eq!(told, expected, "{about}, {origin}");
        }
    }
}
