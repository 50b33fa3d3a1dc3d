//! The values of a bearing type as the form shows them: in groups, and what is impossible among them.

use store::entry::{LengthUnit, Show};
use store::payload::{TYPE_VALUES, TypeValue, TypeValueMeaning};
use store::rows::RowOrder;

use super::form::Wrong;
use super::unit::Unit;

/// Values that belong together.
#[derive(Debug, Clone, Copy)]
pub struct Group {
    /// Its head.
    pub title: &'static str,
    /// What to know about it.
    pub note: &'static str,
    names: &'static [&'static str],
}

/// The groups, in the order of the form.
pub const GROUPS: [Group; 10] = [
    Group {
        title: "Size",
        note: "the drawing is made from these",
        names: &["bore_nm", "outside_nm", "width_nm", "rows_count", "mass_g"],
    },
    Group {
        title: "Spacers",
        note: "S1 to S3 from the barrel",
        names: &[
            "spacer_nm",
            "spacer_min_nm",
            "grind_step_nm",
            "spacer_parallel_nm",
            "seating_spread_nm",
            "seating_load_n",
        ],
    },
    Group {
        title: "Clearance and its limits",
        note: "empty: no such limit",
        names: &[
            "clearance_min_nm",
            "clearance_max_nm",
            "clearance_nominal_nm",
            "watch_nm",
            "rework_nm",
            "target_min_nm",
            "target_max_nm",
            "rework_factor_ppm",
        ],
    },
    Group {
        title: "Ring bore and roll neck",
        note: "",
        names: &[
            "ring_bore_lower_nm",
            "ring_bore_upper_nm",
            "neck_min_nm",
            "neck_max_nm",
            "neck_rework_nm",
            "neck_ovality_max_nm",
            "neck_taper_max_nm",
        ],
    },
    Group {
        title: "Chock",
        note: "",
        names: &[
            "chock_bore_nominal_nm",
            "chock_bore_lower_nm",
            "chock_bore_upper_nm",
            "chock_bore_mean_max_nm",
            "chock_bore_largest_max_nm",
            "chock_ovality_max_nm",
            "chock_taper_max_nm",
            "chock_shoulder_max_nm",
            "chock_cover_face_max_nm",
            "chock_liner_width_min_nm",
        ],
    },
    Group {
        title: "Tapered bore",
        note: "what a push-up may take; without limits the guide values of a bearing maker hold",
        names: &[
            "bore_taper_count",
            "push_up_min_nm",
            "push_up_max_nm",
            "reduction_min_nm",
            "reduction_max_nm",
            "residual_min_nm",
        ],
    },
    Group {
        title: "Cover and bolts",
        note: "tightened crosswise, in steps",
        names: &[
            "cover_clamp_nm",
            "cover_bolt_nm",
            "cover_bolt_class_count",
            "cover_bolt_torque_mnm",
        ],
    },
    Group {
        title: "In service",
        note: "a teardown is due at whichever interval comes first",
        names: &[
            "loaded_arc_ddeg",
            "interval_run_s",
            "interval_day_count",
            "interval_rolled_kg",
            "interval_campaign_count",
            "grease_row_mg",
            "grease_seal_mg",
            "heating_limit_mk",
            "stock_min_count",
        ],
    },
    Group {
        title: "Load and life",
        note: "ISO 281; empty: its life is not worked out",
        names: &[
            "dynamic_rating_n",
            "axial_e_ppm",
            "fatigue_limit_n",
            "viscosity_ratio_ppm",
            "contamination_ppm",
            "reliability_ppm",
        ],
    },
    Group {
        title: "How sure a verdict has to be",
        note: "by ISO 14253-1; empty: 95 %",
        names: &[
            "clearance_conformity_ppm",
            "rework_conformity_ppm",
            "target_conformity_ppm",
            "spacer_parallel_conformity_ppm",
            "fit_conformity_ppm",
            "neck_conformity_ppm",
            "neck_ovality_conformity_ppm",
            "neck_taper_conformity_ppm",
            "chock_bore_conformity_ppm",
            "chock_bore_mean_conformity_ppm",
            "chock_ovality_conformity_ppm",
            "chock_taper_conformity_ppm",
            "chock_shoulder_conformity_ppm",
            "chock_cover_face_conformity_ppm",
            "chock_liner_width_conformity_ppm",
            "push_up_conformity_ppm",
            "reduction_conformity_ppm",
            "residual_conformity_ppm",
            "heating_conformity_ppm",
            "cover_bolt_conformity_ppm",
        ],
    },
];

impl Group {
    /// What its values mean, in order.
    pub fn values(self) -> impl Iterator<Item = &'static TypeValueMeaning> {
        self.names
            .iter()
            .filter_map(|name| TYPE_VALUES.iter().find(|m| m.name == *name))
    }
}

/// The path of a value in the form; `pair` 0 is the whole bearing.
pub fn path_of(name: &str, pair: i64) -> String {
    if pair == 0 {
        format!("value/{name}")
    } else {
        format!("value/{name}/{pair}")
    }
}

/// Whether a path is one of the three of a row pair.
pub fn is_of_pair(path: &str) -> bool {
    path.starts_with("value/") && path.matches('/').count() == 2
}

/// What a field is called in full: `clearance, drawing minimum, rows 1–2`, `spacer width, new, S1`.
pub fn label_of(meaning: &TypeValueMeaning, pair: i64, rows: RowOrder) -> String {
    match usize::try_from(pair) {
        Ok(pair @ 1..) => format!("{}, {}", meaning.title, pair_name(meaning, pair, rows)),
        _ => meaning.title.into(),
    }
}

/// What a field is called under the head of its group, which says that a probability is asked.
pub fn short_title(meaning: &TypeValueMeaning) -> &'static str {
    let title = meaning.title;
    title.strip_prefix("conformity asked, ").unwrap_or(title)
}

/// Which of the three of a field this one is: a spacer by its own name, all else by its rows.
pub fn pair_name(meaning: &TypeValueMeaning, pair: usize, rows: RowOrder) -> String {
    if meaning.name.starts_with("spacer") {
        rows.four().spacer(pair)
    } else {
        rows.four().pair_name(pair)
    }
}

/// Every field of the values, in the order of the caret: path, meaning, pair.
pub fn all() -> Vec<(String, &'static TypeValueMeaning, i64)> {
    let of = |meaning: &'static TypeValueMeaning| {
        let pairs = if meaning.per_pair { 1..=3 } else { 0..=0 };
        pairs.map(move |pair| (path_of(meaning.name, pair), meaning, pair))
    };
    GROUPS
        .iter()
        .flat_map(|group| group.values())
        .flat_map(of)
        .collect()
}

/// What cannot be true of one value or of two together.
pub fn impossible(values: &[TypeValue], show: Show) -> Vec<Wrong> {
    let at = |name: &str, item: i64| {
        values
            .iter()
            .find(|v| v.name == name && v.item == item)
            .map(|v| v.value)
    };
    let mut wrongs = Vec::new();
    let mut wrong = |name: &str, item: i64, why: &str| {
        wrongs.push(Wrong {
            path: path_of(name, item),
            why: why.into(),
        });
    };
    for value in values {
        if let Some(why) = impossible_alone(value, show) {
            wrong(&value.name, value.item, &why);
        }
    }
    // (the smaller, the larger, whether they may be equal, what is said at the larger)
    let pairs: [(&str, &str, bool, &str); 13] = [
        (
            "bore_nm",
            "outside_nm",
            false,
            "the outside is larger than the bore",
        ),
        (
            "clearance_min_nm",
            "clearance_max_nm",
            true,
            "the maximum is not below the minimum",
        ),
        (
            "clearance_min_nm",
            "clearance_nominal_nm",
            true,
            "the nominal is not below the drawing minimum",
        ),
        (
            "clearance_nominal_nm",
            "watch_nm",
            false,
            "the watch level lies above the clearance as set",
        ),
        (
            "watch_nm",
            "rework_nm",
            true,
            "the rework level is not below the watch level",
        ),
        (
            "clearance_max_nm",
            "rework_nm",
            false,
            "the rework level lies above the drawing maximum",
        ),
        (
            "target_min_nm",
            "target_max_nm",
            true,
            "the maximum is not below the minimum",
        ),
        (
            "spacer_min_nm",
            "spacer_nm",
            true,
            "a new spacer is not thinner than the minimum",
        ),
        (
            "ring_bore_lower_nm",
            "ring_bore_upper_nm",
            true,
            "the upper deviation is not below the lower",
        ),
        (
            "neck_min_nm",
            "neck_max_nm",
            true,
            "the maximum is not below the minimum",
        ),
        (
            "chock_bore_lower_nm",
            "chock_bore_upper_nm",
            true,
            "the upper deviation is not below the lower",
        ),
        (
            "push_up_min_nm",
            "push_up_max_nm",
            true,
            "the maximum is not below the minimum",
        ),
        (
            "reduction_min_nm",
            "reduction_max_nm",
            true,
            "the maximum is not below the minimum",
        ),
    ];
    for (smaller, larger, may_be_equal, why) in pairs {
        for item in 0..=3 {
            if let (Some(low), Some(high)) = (at(smaller, item), at(larger, item))
                && (high < low || (high == low && !may_be_equal))
            {
                wrong(larger, item, why);
            }
        }
    }
    if let (Some(rework), Some(min)) = (at("neck_rework_nm", 0), at("neck_min_nm", 0))
        && rework > min
    {
        wrong(
            "neck_rework_nm",
            0,
            "rework begins at or below the drawing minimum",
        );
    }
    let spacers: i64 = (1..=3).filter_map(|pair| at("spacer_nm", pair)).sum();
    if let Some(width) = at("width_nm", 0)
        && spacers >= width
        && width > 0
    {
        wrong("width_nm", 0, "the spacers alone are wider than this");
    }
    for name in ["neck_min_nm", "neck_max_nm"] {
        if let (Some(neck), Some(bore)) = (at(name, 0), at("bore_nm", 0))
            && (neck - bore).abs() > bore / 50
        {
            let is_inch = (neck * 254 / 10 - bore).abs() <= bore / 50;
            let why = if is_inch {
                "this would be right in inches: write it with its unit, such as 18.886in"
            } else {
                "a neck is as large as the bearing\u{2019}s bore"
            };
            wrong(name, 0, why);
        }
    }
    if let (Some(nominal), Some(outside)) = (at("chock_bore_nominal_nm", 0), at("outside_nm", 0))
        && (nominal - outside).abs() > outside / 50
    {
        wrong(
            "chock_bore_nominal_nm",
            0,
            "a chock bore is as large as the bearing\u{2019}s outside",
        );
    }
    wrongs
}

const MM: i64 = 1_000_000;
const HUNDREDTH_INCH: i64 = 254_000;

/// The largest size that is taken, in the logbook's unit: in inch the last hundredth that still is.
pub fn limit_words(nm: i64, show: Show) -> String {
    let hundredths = nm.div_euclid(HUNDREDTH_INCH);
    bound_words(nm, hundredths, show)
}

/// The smallest one.
fn least_words(nm: i64, show: Show) -> String {
    let hundredths = (nm + HUNDREDTH_INCH - 1).div_euclid(HUNDREDTH_INCH);
    bound_words(nm, hundredths, show)
}

fn bound_words(nm: i64, hundredths: i64, show: Show) -> String {
    match show.unit {
        LengthUnit::Millimetre => format!("{} mm", show.amount(nm, MM, 0)),
        LengthUnit::Inch => format!("{} in", show.amount(hundredths, 100, 2)),
    }
}

/// Sizes that no roll-neck bearing has.
fn impossible_alone(value: &TypeValue, show: Show) -> Option<String> {
    let size = |mm: i64| limit_words(mm * MM, show);
    let least = |mm: i64| least_words(mm * MM, show);
    let v = value.value;
    let name = value.name.as_str();
    let (is_possible, why) = match name {
        "bore_nm"
        | "outside_nm"
        | "width_nm"
        | "neck_min_nm"
        | "neck_max_nm"
        | "neck_rework_nm"
        | "chock_liner_width_min_nm"
        | "chock_bore_nominal_nm" => (
            (10 * MM..=3150 * MM).contains(&v),
            format!(
                "not possible: sizes go from {} to {}",
                least(10),
                size(3150)
            ),
        ),
        "cover_bolt_nm" => (
            (2 * MM..=100 * MM).contains(&v),
            format!(
                "not possible: threads go from {} to {}",
                least(2),
                size(100)
            ),
        ),
        "bore_taper_count" => (
            (8..=50).contains(&v),
            "not possible: a taper is 1 in 12 or 1 in 30".to_owned(),
        ),
        "push_up_min_nm" | "push_up_max_nm" => (
            (0..=50 * MM).contains(&v),
            format!("not possible: a push-up goes from 0 to {}", size(50)),
        ),
        "spacer_nm" | "spacer_min_nm" => (
            (MM..=500 * MM).contains(&v),
            format!(
                "not possible: spacers go from {} to {}",
                least(1),
                size(500)
            ),
        ),
        "ring_bore_lower_nm"
        | "ring_bore_upper_nm"
        | "chock_bore_lower_nm"
        | "chock_bore_upper_nm" => (
            (-2 * MM..=2 * MM).contains(&v),
            format!(
                "not possible: a deviation is at most {}; type it from the nominal size",
                size(2)
            ),
        ),
        _ if name.ends_with("_nm") => (
            (0..=5 * MM).contains(&v),
            format!("not possible: this goes from 0 to {}", size(5)),
        ),
        "rows_count" => (
            (1..=8).contains(&v),
            "not possible: a bearing has 1 to 8 rows".to_owned(),
        ),
        "loaded_arc_ddeg" => (
            (1..=3600).contains(&v),
            "not possible: an arc goes up to 360\u{b0}".to_owned(),
        ),
        "rework_factor_ppm" => (
            (MM + 1..=10 * MM).contains(&v),
            "not possible: more than once, at most ten times as set".to_owned(),
        ),
        "heating_limit_mk" => (
            (30_000..=250_000).contains(&v),
            "not possible: between 30 and 250 \u{b0}C".to_owned(),
        ),
        _ if name.ends_with("_conformity_ppm") => (
            (500_000..=999_000).contains(&v),
            format!(
                "not possible: from 50 to {} %",
                Unit::Percent.show(999_000, show)
            ),
        ),
        _ => (v >= 0, "not possible below zero".to_owned()),
    };
    (!is_possible).then_some(why)
}

/// The unit of a value.
pub fn unit(meaning: &TypeValueMeaning) -> Unit {
    Unit::of_name(meaning.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_of_a_type_stands_in_one_group() {
        let mut names: Vec<_> = GROUPS
            .iter()
            .flat_map(|g| g.values())
            .map(|m| m.name)
            .collect();
        assert_eq!(names.len(), TYPE_VALUES.len());
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), TYPE_VALUES.len());
    }

    #[test]
    fn what_cannot_be_true_is_refused_at_its_field() {
        let value = |name: &str, item, value| TypeValue {
            name: name.into(),
            item,
            value,
        };
        let check = |values: &[TypeValue]| {
            impossible(values, Show::default())
                .into_iter()
                .map(|w| w.path)
                .collect::<Vec<_>>()
        };
        assert_eq!(
            check(&[
                value("bore_nm", 0, 620 * MM),
                value("outside_nm", 0, 480 * MM)
            ]),
            ["value/outside_nm"]
        );
        assert_eq!(
            check(&[
                value("watch_nm", 2, 600_000),
                value("rework_nm", 2, 450_000)
            ]),
            ["value/rework_nm/2"]
        );
        assert_eq!(
            check(&[value("bore_nm", 0, 19 * MM / 2)]),
            ["value/bore_nm"]
        );
        assert_eq!(
            check(&[value("rework_nm", 1, 600 * MM)]),
            ["value/rework_nm/1"]
        );
        let good = [
            value("bore_nm", 0, 480 * MM),
            value("outside_nm", 0, 620 * MM),
            value("width_nm", 0, 336 * MM),
            value("chock_liner_width_min_nm", 0, 899_300_000),
            value("cover_bolt_nm", 0, 30 * MM),
        ];
        assert!(check(&good).is_empty());
        let inch = Show {
            unit: LengthUnit::Inch,
            ..Show::default()
        };
        for (name, show, why) in [
            (
                "bore_nm",
                Show::default(),
                "not possible: sizes go from 10 mm to 3,150 mm",
            ),
            (
                "bore_nm",
                inch,
                "not possible: sizes go from 0.40 in to 124.01 in",
            ),
            (
                "rework_conformity_ppm",
                Show::default(),
                "not possible: from 50 to 99.9 %",
            ),
            (
                "rework_nm",
                inch,
                "not possible: this goes from 0 to 0.19 in",
            ),
        ] {
            assert_eq!(impossible(&[value(name, 1, 4000 * MM)], show)[0].why, why);
        }
    }
}
