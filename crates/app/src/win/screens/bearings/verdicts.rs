//! Verdicts as they were signed: their words, and the panel that says what stands behind one.

mod rests_on;

use calc::conformity::Verdict;
use draw::tokens::space;
use draw::{Mark, Token};
use egui::{Rect, Ui};
use store::Stamp;
use store::entry::Show;
use store::payload::Judgement;
use store::query::SheetDetail;
use store::rows::Rows;
use store::sheet::{Sureness, TypeFacts};

use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, BellModel, Cells, WhyHead};

/// The mark of a verdict.
pub const fn mark(verdict: Verdict) -> Mark {
    match verdict {
        Verdict::Pass => Mark::Pass,
        Verdict::PassInDoubt => Mark::PassInDoubt,
        Verdict::FailInDoubt => Mark::FailInDoubt,
        Verdict::Fail => Mark::Fail,
        Verdict::Missing => Mark::Missing,
        Verdict::NotApplicable => Mark::NotApplicable,
    }
}

/// Mark and word of a verdict as the file names it; none where there is none.
pub fn badge_of(verdict: &str) -> Option<(Mark, &'static str)> {
    let verdict: Verdict = verdict.parse().ok()?;
    Some((mark(verdict), verdict.word()))
}

/// A verdict with all that stood behind it on its day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judged {
    /// What was judged: `Chock bore, ovality of plane 1`.
    pub title: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Value, lower and upper limit, U at k = 2, nm.
    pub value_nm: Option<i64>,
    /// Lower limit, nm.
    pub lower_nm: Option<i64>,
    /// Upper limit, nm.
    pub upper_nm: Option<i64>,
    /// U at k = 2, nm.
    pub expanded_uncertainty_nm: Option<i64>,
    /// Chance of conformity, ppm.
    pub probability_ppm: Option<i64>,
    /// True where value and limits are deviations from nominal, shown with their sign.
    pub is_deviation: bool,
    /// Where the limit comes from.
    pub origin: String,
    /// Rule of decision.
    pub rule: String,
    /// Method and its version.
    pub method: String,
    /// Gauge status and other remarks.
    pub note: String,
    /// What it was computed from, in words.
    pub inputs: String,
    /// What it was read on, with its calibration on that day.
    pub gauge: String,
}

fn is_deviation(about: &str) -> bool {
    matches!(about, "bore_mean" | "bore_smallest")
}

impl Judged {
    /// A verdict alone; `rows` are those of the bearing that it is about.
    pub fn of(j: &Judgement, rows: Rows) -> Self {
        Self {
            title: crate::print::about(j, rows),
            verdict: j.verdict.parse().unwrap_or(Verdict::NotApplicable),
            value_nm: j.value_nm,
            lower_nm: j.lower_nm,
            upper_nm: j.upper_nm,
            expanded_uncertainty_nm: j.expanded_uncertainty_nm,
            probability_ppm: j.probability_ppm,
            is_deviation: is_deviation(&j.about),
            origin: j.limit_origin.clone(),
            rule: j.rule.clone(),
            method: j.method.clone(),
            note: j.note.clone(),
            inputs: String::new(),
            gauge: String::new(),
        }
    }
}

impl Judged {
    /// A verdict of a signed sheet with the version of its limit, how its value came out, and what it was read on; none
    /// where the sheet has no such one. `limits` are those of its day.
    pub fn of_sheet(
        sheet: &SheetDetail,
        limits: Option<&TypeFacts>,
        index: usize,
        show: Show,
    ) -> Option<Self> {
        let v = sheet.body.verdicts.get(index)?;
        let mut judged = Self::of(v, sheet.named_rows(show));
        let version = limits.filter(|t| v.limit_version.is_some() && t.version.0 > 0);
        if let Some(t) = version {
            let from = Stamp::second(t.valid_from_ms, sheet.event.at.offset_min);
            judged.origin = format!("{}, version of {}", v.limit_origin, from.date());
        }
        judged.inputs = rests_on::inputs(sheet, v, show);
        judged.gauge = rests_on::gauge(sheet, &v.about);
        Some(judged)
    }

    /// A value of this kind: with its sign where it is a deviation.
    pub fn words(&self, nm: i64, show: Show) -> String {
        if self.is_deviation {
            show.deviation(nm)
        } else {
            show.length(nm)
        }
    }

    /// The value found; a dash where there is none.
    pub fn value(&self, show: Show) -> String {
        self.value_nm
            .map_or_else(|| "\u{2013}".into(), |nm| self.words(nm, show))
    }

    /// The limits: `at most 0.120`.
    pub fn limit(&self, show: Show) -> String {
        match (self.lower_nm, self.upper_nm) {
            (Some(lower), Some(upper)) => {
                format!("{} to {}", self.words(lower, show), self.words(upper, show))
            }
            (Some(lower), None) => format!("at least {}", self.words(lower, show)),
            (None, Some(upper)) => format!("at most {}", self.words(upper, show)),
            (None, None) => "no limit".into(),
        }
    }

    /// Distance to the nearest limit, nm, and whether that is the upper one; negative = beyond it.
    fn nearest(&self) -> Option<(i64, bool)> {
        let value = self.value_nm?;
        let above = self.lower_nm.map(|lower| (value - lower, false));
        let below = self.upper_nm.map(|upper| (upper - value, true));
        above.into_iter().chain(below).min_by_key(|(room, _)| *room)
    }

    /// The distance to the nearest limit in words: `0.032 beyond`, `0.007 to go`.
    pub fn margin(&self, show: Show) -> String {
        match self.nearest() {
            Some((room, _)) if room < 0 => format!("{} beyond", show.length(-room)),
            Some((0, _)) => "on the limit".into(),
            Some((room, _)) => format!("{} to go", show.length(room)),
            None => String::new(),
        }
    }

    /// The chance that it conforms, in words.
    fn chance(&self, show: Show) -> Option<String> {
        let ppm = self.probability_ppm?;
        Some(match ppm {
            995_000.. => "over 0.99".replace('.', if show.comma { "," } else { "." }),
            ..=4_999 => "under 0.01".replace('.', if show.comma { "," } else { "." }),
            ppm => show.decimals(ppm, 1_000_000, 2),
        })
    }

    /// True where the doubt of the gauge is so wide against what is allowed that no value would pass.
    fn is_undecidable(&self) -> bool {
        let allowed = self.lower_nm.zip(self.upper_nm);
        allowed
            .zip(self.expanded_uncertainty_nm)
            .is_some_and(|((low, high), u)| !self.asked().passes_any((Some(low), high), u))
    }

    /// How sure the verdict had to be when it was signed.
    fn asked(&self) -> Sureness {
        Sureness::of_rule(&self.rule)
    }
}

/// The badge of a verdict in the next cell of a row, pressed to ask why; its place where it was pressed.
pub fn why_badge(cells: &mut Cells, judged: &Judged) -> Option<Rect> {
    let (mark, word) = (mark(judged.verdict), judged.verdict.word());
    let name = format!("{}: {word}; why?", judged.title);
    let badge = cells.ui(|ui| widgets::badge_button(ui, mark, word, &name))?;
    badge.clicked().then_some(badge.rect)
}

/// The panel beside a badge; true where it was closed.
pub fn why_ui(ui: &mut Ui, judged: &Judged, beside: Rect, show: Show) -> bool {
    let title = format!("Why: {}", judged.title);
    let mark = mark(judged.verdict);
    let head = WhyHead {
        title: &title,
        mark,
        word: judged.verdict.word(),
        beside,
        buttons: &[],
    };
    let answer = widgets::why_panel(ui, head, |ui| {
        bell(ui, judged, show);
        let unit = show.unit.sign();
        let with_unit = |text: &str| format!("{text} {unit}");
        widgets::key_value(ui, "found", &with_unit(&judged.value(show)), &judged.inputs);
        widgets::key_value(ui, "limit", &with_unit(&judged.limit(show)), &judged.origin);
        let margin = judged.margin(show);
        if !margin.is_empty() {
            widgets::key_value(ui, "distance", &margin, "");
        }
        let (doubt, about) = match judged.expanded_uncertainty_nm {
            Some(0) => ("none".into(), "the stored integers decide".to_owned()),
            Some(u) => (
                format!("\u{b1} {} {unit}", show.length(u)),
                format!(
                    "expanded uncertainty U at k = 2; u = U / 2 = {}",
                    show.length(u / 2)
                ),
            ),
            None => (
                "not known".into(),
                "without it a verdict is in doubt at best".to_owned(),
            ),
        };
        widgets::key_value(ui, "doubt", &doubt, &about);
        if let Some(chance) = judged.chance(show) {
            widgets::key_value(ui, "chance", &chance, "that the true value conforms");
        }
        if !judged.rule.is_empty() {
            let (lower, upper) = (judged.lower_nm.is_some(), judged.upper_nm.is_some());
            let levels = judged.asked().words(lower, upper);
            widgets::key_value(ui, "rule", &judged.rule, &levels);
        }
        for (key, words) in [
            ("method", &judged.method),
            ("gauge", &judged.gauge),
            ("note", &judged.note),
        ] {
            if !words.is_empty() {
                widgets::key_value(ui, key, words, "");
            }
        }
        if judged.is_undecidable() {
            ui.add_space(space::S);
            text::say(
                ui,
                Face::STRONG.token(Token::Doubt),
                "This gauge cannot decide it: with its doubt no value would pass.",
            );
        }
    });
    answer.is_some()
}

/// The normal curve of the value against its limit, where the two are near each other.
fn bell(ui: &mut Ui, judged: &Judged, show: Show) {
    let (Some(value), Some((room, upper))) = (judged.value_nm, judged.nearest()) else {
        return;
    };
    let Some(expanded) = judged
        .expanded_uncertainty_nm
        .filter(|u| *u > 0 && room.abs() < 4 * u)
    else {
        return;
    };
    let (Some(limit), Some(ppm)) = (
        if upper {
            judged.upper_nm
        } else {
            judged.lower_nm
        },
        judged.probability_ppm,
    ) else {
        return;
    };
    let chance = judged.chance(show).unwrap_or_default();
    let words = |nm: i64| judged.words(nm, show);
    let [low, high] = [value - expanded, value + expanded].map(|nm| (nm as f64, words(nm)));
    let bell = BellModel {
        value: value as f64,
        u: expanded as f64 / 2.0,
        limit: limit as f64,
        upper,
        found_text: &format!("found {}", words(value)),
        limit_text: &format!("limit {}", words(limit)),
        chance_text: &chance,
        chance_note: ["chance that", "it conforms"],
        beyond_text: &format!("{} beyond", show.decimals(1_000_000 - ppm, 1_000_000, 2)),
        ticks: &[(low.0, &low.1), (high.0, &high.1)],
        token: mark(judged.verdict).token(),
        tint: mark(judged.verdict).tint(),
    };
    let scene = bell.scene(ui.available_width());
    crate::ui::paint::scene(ui, &scene);
    ui.add_space(space::S);
}
