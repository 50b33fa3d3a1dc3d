//! What play is left on the roll, against the drawing and the level of wear of the type.

use calc::conformity::AtUpper;

use super::assess::{MountAssessment, mean, read};
use super::check::{Check, Derived, ToJudge};
use super::facts::MountFacts;
use super::field::{BEFORE, Family, RADIAL, Section, play};
use super::taper;
use crate::sheet::{GaugeFacts, LimitOf, REWORK_LEVEL, Sureness, TypeFacts, Values};

/// What a play may be.
struct Allowed<'t> {
    code: &'t str,
    least: Option<i64>,
    /// The level of wear that must not be reached; what was measured on the roll is not told as times as set, which was
    /// measured on the bench.
    rework: Option<i64>,
    /// The largest of the drawing, where the type has no level of wear: a bearing that has run is wider than new.
    most: Option<i64>,
    /// What is asked of the smallest and of the largest.
    asked: Sureness,
}

impl<'t> Allowed<'t> {
    fn of(t: &'t TypeFacts, item: usize) -> Self {
        Self {
            code: &t.code,
            least: t.pair("clearance_min_nm", item),
            rework: t.pair("rework_nm", item),
            most: t.pair("clearance_max_nm", item),
            asked: Sureness {
                lower: t.asked(LimitOf::Clearance),
                upper: match t.pair("rework_nm", item) {
                    Some(_) => t.asked(LimitOf::Rework),
                    None => t.asked(LimitOf::Clearance),
                },
            },
        }
    }

    fn without_most(self) -> Self {
        Self {
            rework: None,
            most: None,
            ..self
        }
    }

    /// A play as measured on the roll; `place` is what it is called in the record, of which row, for people, and where it
    /// is entered.
    fn judge(
        self,
        (about, item, title, first): (&'static str, usize, String, &'static str),
        value: i64,
        gauge: Option<&GaugeFacts>,
    ) -> Option<Check> {
        // Without a drawing minimum there is still one: a bearing without clearance does not turn.
        let least = self.least.or((value <= 0).then_some(1));
        let origin = if least != self.least {
            "a bearing without play does not turn (common practice, no source)".to_owned()
        } else if self.rework.is_some() {
            format!("drawing minimum and {REWORK_LEVEL} of {}", self.code)
        } else {
            format!("drawing of {}", self.code)
        };
        let check = ToJudge {
            about,
            item,
            section: Section::Clearance,
            title,
            value,
            limits: (least, self.rework.or(self.most)),
            asked: Sureness {
                lower: self
                    .least
                    .map_or(Sureness::default().lower, |_| self.asked.lower),
                upper: self.asked.upper,
            },
            uncertainty: gauge.and_then(|g| g.expanded_uncertainty_nm),
            gauges: vec![gauge],
            origin,
            method: "as measured, mounted",
            first,
        };
        check.judge_at(match self.rework {
            Some(_) => AtUpper::Reached,
            None => AtUpper::Conforms,
        })
    }
}

/// What play is left, against the drawing.
pub(super) fn clearance(a: &mut MountAssessment, values: &Values<'_>, facts: &MountFacts) {
    let Some(t) = &facts.base.bearing_type else {
        return;
    };
    let gauge = values.gauge(&facts.base, "mount.play.gauge");
    let on_taper = taper::of(facts);
    let mut judge = |about, item: usize, title: String, value: i64, first| {
        let allowed = match &on_taper {
            // On a taper the clearances of the drawing are those before it is pushed up.
            Some(taper) => Allowed {
                least: taper.residual_min_nm,
                asked: t.asked(LimitOf::Residual).into(),
                ..Allowed::of(t, item).without_most()
            },
            None => Allowed::of(t, item),
        };
        let place = (about, item, title, first);
        let check = allowed.judge(place, value, gauge);
        a.checks.extend(check);
    };
    match facts.family {
        Family::Tapered => {
            for (index, path) in play(Family::Tapered).iter().enumerate() {
                if let Some(value) = values.number(path) {
                    let rows = calc::disposition::pair_rows(index);
                    judge(
                        "mount_end_play",
                        index + 1,
                        format!("End play, rows {rows}"),
                        value,
                        path,
                    );
                }
            }
        }
        Family::Cylindrical => {
            let places = read(values, play(Family::Cylindrical));
            if places.len() == 3 {
                let mean = mean(&places);
                judge(
                    "mount_radial",
                    0,
                    "Radial play, mean of 3 places".into(),
                    mean,
                    "mount.radial.1",
                );
            }
        }
        Family::Spherical => {
            for (index, path) in play(Family::Spherical).iter().enumerate() {
                let Some(value) = values.number(path) else {
                    continue;
                };
                let row = index + 1;
                judge(
                    "mount_radial",
                    row,
                    format!("Radial play, row {row}"),
                    value,
                    path,
                );
            }
        }
    }
    if facts.family == Family::Spherical && taper::of(facts).is_none() {
        let both = |row: usize| {
            let before = values.number(BEFORE[row])?;
            Some(before - values.number(RADIAL[row])?)
        };
        for (row, name) in ["mount_reduction_1_nm", "mount_reduction_2_nm"]
            .into_iter()
            .enumerate()
        {
            if let Some(value) = both(row) {
                a.derived.push(Derived {
                    name,
                    section: Section::Clearance,
                    title: ["Reduction of play, row 1", "Reduction of play, row 2"][row],
                    value,
                    note: "before less mounted".into(),
                });
            }
        }
    }
    if let (Some(value), Some((serial, t))) = (values.number("mount.thrust"), &facts.thrust) {
        let gauge = values.gauge(&facts.base, "mount.thrust.gauge");
        let place = (
            "mount_thrust",
            0,
            format!("Axial play of {serial}"),
            "mount.thrust",
        );
        a.checks
            .extend(Allowed::of(t, 0).judge(place, value, gauge));
    }
    if let (Family::Tapered, Some((at, play))) = (facts.family, &facts.last_play) {
        for (index, (name, title)) in [
            ("mount_last_play_1_nm", "As left, rows 1–2"),
            ("mount_last_play_2_nm", "As left, rows 2–3"),
            ("mount_last_play_3_nm", "As left, rows 3–4"),
        ]
        .into_iter()
        .enumerate()
        {
            a.derived.extend(play[index].map(|value| Derived {
                name,
                section: Section::Clearance,
                title,
                value,
                note: format!("on the bench, sheet of {}", at.date()),
            }));
        }
    }
}
