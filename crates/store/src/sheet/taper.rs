//! A spherical bearing with a tapered bore: what its push-up took of the radial clearance, against the limits of its
//! type or, where it has none, a bearing maker's guide values. Teardown and mounting sheet judge by the same limits.

use calc::conformity::{Verdict, conformity};
use calc::push_up::{GUIDE_SOURCE, Guide, TaperSeat, guide, push_up_for, reduction_by};
use calc::quantity::{nanometres, to_nanometres};

use super::assess::Values;
use super::clearance::{ClearanceView, judgement};
use super::facts::{Facts, TypeFacts};
use super::family::Family;
use super::field::halves::MOUNTED;
use super::field::{self};
use super::sureness::{LimitOf, Sureness};
use crate::entry::Show;
use crate::payload::{Judgement, Outcome};

/// A measured loss of clearance is between these shares of the one that its push-up says; else one of both is read
/// wrongly. Common practice, no source.
const LIKELY: std::ops::RangeInclusive<f64> = 0.5..=1.5;

/// Limits of a value, nm, with where they come from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Allowed {
    pub(crate) low: Option<i64>,
    pub(crate) high: Option<i64>,
    pub(crate) origin: String,
    pub(crate) asked: Sureness,
}

/// The taper of a type's bore with the limits of its mounting.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Taper {
    seat: TaperSeat,
    /// Loss of radial clearance.
    pub(crate) reduction: Allowed,
    /// Push-up.
    pub(crate) push_up: Allowed,
    /// Clearance that has to be left, nm.
    pub(crate) residual_min_nm: Option<i64>,
}

impl Taper {
    /// That of a type; none where its bore is cylindrical.
    pub(crate) fn of(t: &TypeFacts) -> Option<Self> {
        let taper = t.whole("bore_taper_count").filter(|k| *k > 0)? as f64;
        let bore = nanometres(t.whole("bore_nm")?);
        let seat = TaperSeat {
            bore,
            outside: nanometres(t.whole("outside_nm")?),
            shaft_bore: nanometres(0),
            taper,
        };
        let table = guide(bore, taper).ok();
        let guided =
            |of: fn(&Guide) -> Option<(calc::quantity::Length, calc::quantity::Length)>, limit| {
                let ends = table.as_ref().and_then(of);
                Allowed {
                    low: ends.map(|(low, _)| to_nanometres(low)),
                    high: ends.map(|(_, high)| to_nanometres(high)),
                    origin: GUIDE_SOURCE.into(),
                    asked: t.asked(limit).into(),
                }
            };
        let own = |low: &str, high: &str, limit| {
            let (low, high) = (t.whole(low), t.whole(high));
            (low.is_some() || high.is_some()).then(|| Allowed {
                low,
                high,
                origin: format!("drawing of {}", t.code),
                asked: t.asked(limit).into(),
            })
        };
        Some(Self {
            seat,
            reduction: own("reduction_min_nm", "reduction_max_nm", LimitOf::Reduction)
                .unwrap_or_else(|| guided(|g| Some(g.reduction), LimitOf::Reduction)),
            push_up: own("push_up_min_nm", "push_up_max_nm", LimitOf::PushUp)
                .unwrap_or_else(|| guided(|g| g.push_up, LimitOf::PushUp)),
            residual_min_nm: t.whole("residual_min_nm"),
        })
    }

    /// Loss of clearance that a push-up says, nm.
    pub(crate) fn reduction_nm(&self, push_up_nm: i64) -> Option<i64> {
        let taken = reduction_by(&self.seat, nanometres(push_up_nm)).ok()?;
        Some(to_nanometres(taken))
    }

    /// Push-up for the middle of the allowed loss of clearance, nm.
    pub(crate) fn needed_nm(&self) -> Option<i64> {
        let middle = i64::midpoint(self.reduction.low?, self.reduction.high?);
        let way = push_up_for(&self.seat, nanometres(middle)).ok()?;
        Some(to_nanometres(way))
    }

    /// Words where a measured loss of clearance and its push-up cannot both be right.
    pub(crate) fn misfit(&self, reductions_nm: &[i64], push_up_nm: Option<i64>) -> Option<String> {
        let said = self.reduction_nm(push_up_nm?)?;
        let count = i64::try_from(reductions_nm.len()).ok().filter(|n| *n > 0)?;
        let mean = reductions_nm.iter().sum::<i64>() / count;
        if said <= 0 || LIKELY.contains(&(mean as f64 / said as f64)) {
            return None;
        }
        let length = |nm| Show::default().length_unit(nm);
        Some(format!(
            "The push-up says a loss of {}, {} were measured: read both again.",
            length(said),
            length(mean)
        ))
    }
}

/// One line of what a taper says at a teardown.
#[derive(Debug, Clone, PartialEq)]
pub struct TaperLine {
    /// `taper_reduction` or `taper_push_up`.
    pub about: &'static str,
    /// Row from the barrel; 0 for the push-up.
    pub row: usize,
    /// What people call it.
    pub title: String,
    /// The value, nm.
    pub value_nm: i64,
    /// Lower limit, nm.
    pub lower_nm: Option<i64>,
    /// Upper limit, nm.
    pub upper_nm: Option<i64>,
    /// Where they come from.
    pub origin: String,
    /// How sure the verdict has to be.
    pub asked: Sureness,
    /// U at k = 2, nm.
    pub expanded_uncertainty_nm: Option<i64>,
    /// The verdict.
    pub verdict: Verdict,
    /// Probability of conformity.
    pub probability: Option<f64>,
}

/// What a taper says at a teardown.
#[derive(Debug, Clone, PartialEq)]
pub struct TaperView {
    /// What is judged.
    pub lines: Vec<TaperLine>,
    /// Rows whose clearance on the taper is still to be read.
    pub missing: usize,
    /// Loss of clearance that the push-up found says, nm.
    pub expected_nm: Option<i64>,
    /// What to know besides; empty for nothing.
    pub words: String,
}

/// What the sheet says of the taper; none where the bore is not tapered.
pub(super) fn view(
    values: &Values<'_>,
    facts: &Facts,
    clearance: &ClearanceView,
) -> Option<TaperView> {
    if facts.family() != Family::Spherical {
        return None;
    }
    let taper = Taper::of(facts.bearing_type.as_ref()?)?;
    let mut lines = Vec::new();
    let mounted = MOUNTED.map(|path| values.number(path));
    let gauge = values.gauge(facts, "taper.gauge");
    let free = clearance.radial.iter().flat_map(|whole| &whole.rows);
    let free: Vec<Option<i64>> = free.map(|row| row.clearance_nm).collect();
    let doubt = match (
        clearance.expanded_uncertainty_nm,
        gauge.and_then(|g| g.expanded_uncertainty_nm),
    ) {
        (Some(free), Some(on)) => {
            let sum = free as f64 * free as f64 + on as f64 * on as f64;
            Some(sum.sqrt().round() as i64)
        }
        _ => None,
    };
    let mut reductions = Vec::new();
    for (row, on) in (1..).zip(mounted) {
        let free = free.get(row - 1).copied().flatten();
        let Some((free, on)) = free.zip(on) else {
            continue;
        };
        reductions.push(free - on);
        lines.extend(line(
            ("taper_reduction", row),
            format!("Loss of clearance, row {row}"),
            free - on,
            &taper.reduction,
            doubt,
            gauge.is_some_and(|g| g.is_overdue),
        ));
    }
    let pushed = values.number("taper.push");
    if let Some(value) = pushed {
        let gauge = values.gauge(facts, "taper.push_gauge");
        lines.extend(line(
            ("taper_push_up", 0),
            "Push-up found".into(),
            value,
            &taper.push_up,
            gauge.and_then(|g| g.expanded_uncertainty_nm),
            gauge.is_some_and(|g| g.is_overdue),
        ));
    }
    let mut words: Vec<String> = Vec::new();
    let is_less = lines
        .iter()
        .any(|l: &TaperLine| l.lower_nm.is_some_and(|low| l.value_nm < low));
    if is_less {
        words.push("Less than it was pushed up to: the ring worked loose on its taper.".into());
    }
    words.extend(taper.misfit(&reductions, pushed));
    Some(TaperView {
        missing: mounted.iter().filter(|on| on.is_none()).count(),
        expected_nm: pushed.and_then(|nm| taper.reduction_nm(nm)),
        words: words.join(" "),
        lines,
    })
}

fn line(
    (about, row): (&'static str, usize),
    title: String,
    value_nm: i64,
    allowed: &Allowed,
    doubt_nm: Option<i64>,
    is_overdue: bool,
) -> Option<TaperLine> {
    let limits = allowed.asked.limits(allowed.low, allowed.high);
    let found = conformity(nanometres(value_nm), &limits, doubt_nm.map(nanometres)).ok()?;
    Some(TaperLine {
        about,
        row,
        title,
        value_nm,
        lower_nm: allowed.low,
        upper_nm: allowed.high,
        origin: allowed.origin.clone(),
        asked: allowed.asked,
        expanded_uncertainty_nm: doubt_nm,
        verdict: if is_overdue {
            found.verdict.if_gauge_overdue()
        } else {
            found.verdict
        },
        probability: found.probability,
    })
}

impl TaperView {
    /// The ring has lost some of its hold on the taper.
    pub fn is_loose(&self) -> bool {
        let mut all = self.lines.iter();
        all.any(|l| l.verdict == Verdict::Fail && l.lower_nm.is_some_and(|low| l.value_nm < low))
    }

    /// What stands against signing, and the mark.
    pub(super) fn section(&self, values: &Values<'_>, blockers: &mut Vec<String>) -> Verdict {
        let is_skipped = values.text("skip.taper").is_some();
        if self.missing > 0 && !is_skipped {
            blockers.push(
                "Clearance on the taper: read both rows before it is driven off, or say why not"
                    .into(),
            );
            return Verdict::Missing;
        }
        if self.missing == 0 && is_skipped {
            blockers
                .push("Clearance on the taper: both rows are read, take the reason away".into());
        }
        for (value, gauge) in [
            ("taper.mounted.1", "taper.gauge"),
            ("taper.push", "taper.push_gauge"),
        ] {
            if values.number(value).is_some() && values.text(gauge).is_none() {
                blockers.push(format!("{}: which one?", field::label(gauge)));
            }
        }
        let judged = self.lines.iter().map(|l| l.verdict);
        if self.lines.is_empty() {
            Verdict::NotApplicable
        } else {
            Verdict::worst(judged)
        }
    }

    /// The verdicts as they are signed.
    pub(super) fn judgements(
        &self,
        facts: &Facts,
        note: &impl Fn(&str) -> String,
    ) -> Vec<Judgement> {
        let code = facts.bearing_type.as_ref().map_or("", |t| t.code.as_str());
        let one = |l: &TaperLine| {
            let gauge = match l.about {
                "taper_push_up" => "taper.push_gauge",
                _ => "taper.gauge",
            };
            let origin = if l.origin.is_empty() { code } else { &l.origin };
            judgement(
                l.about,
                l.row,
                (l.verdict, l.probability),
                Some(l.value_nm),
                l.expanded_uncertainty_nm,
                &note(gauge),
            )
            .limits(l.lower_nm, l.upper_nm, origin.to_owned(), l.asked)
        };
        self.lines.iter().map(one).collect()
    }

    /// Computed values as they are signed.
    pub(super) fn outcomes(&self) -> Vec<Outcome> {
        let one = |name: &str, item: i64, value: i64| Outcome {
            name: name.into(),
            item,
            value,
        };
        let rows = self.lines.iter().filter(|l| l.about == "taper_reduction");
        let rows = rows.map(|l| one("taper_reduction_nm", l.row as i64, l.value_nm));
        let said = self.expected_nm.map(|nm| one("taper_expected_nm", 0, nm));
        rows.chain(said).collect()
    }
}
