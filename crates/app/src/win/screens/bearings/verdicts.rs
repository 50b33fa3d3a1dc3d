//! Verdicts as they were signed: their words, and the panel that says what stands behind one.

mod rests_on;

use calc::conformity::{AtUpper, Verdict};
use draw::tokens::space;
use draw::{Mark, Token};
use egui::{Rect, Ui};
pub use rests_on::gauge_words;

use store::Stamp;
use store::entry::{Quantity, Show};
use store::query::SheetDetail;
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
    /// What value, limits and U are; they are in its unit of the record.
    pub quantity: Quantity,
    /// The value that decided.
    pub value: Option<i64>,
    /// Lower limit.
    pub lower: Option<i64>,
    /// Upper limit.
    pub upper: Option<i64>,
    /// U at k = 2.
    pub expanded_uncertainty: Option<i64>,
    /// Chance of conformity, ppm.
    pub probability_ppm: Option<i64>,
    /// True where value and limits are deviations from nominal, shown with their sign.
    pub is_deviation: bool,
    /// True where a value on the upper limit has reached it.
    pub is_reached: bool,
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
    /// What it was read on: each gauge, and its calibration on that day.
    pub gauges: Vec<[String; 2]>,
}

fn is_deviation(about: &str) -> bool {
    matches!(about, "bore_mean" | "bore_smallest" | "bore_largest")
}

impl Judged {
    /// A verdict of a signed sheet with the numbers that decided it, the version of its limit, how its value came out,
    /// and what it was read on; none where the sheet has no such one. `limits` are those of its day.
    pub fn of_sheet(
        sheet: &SheetDetail,
        limits: Option<&TypeFacts>,
        index: usize,
        show: Show,
    ) -> Option<Self> {
        let signed = sheet.body.verdicts.get(index)?;
        let row = store::sheet::deciding_row(signed, &sheet.body);
        let v = store::sheet::whole(signed, &sheet.body);
        let rows = sheet.named_rows(show);
        let version = limits.filter(|t| v.limit_version.is_some() && t.version.0 > 0);
        let origin = match version {
            Some(t) => {
                let from = Stamp::second(t.valid_from_ms, sheet.event.at.offset_min);
                format!("{}, version of {}", v.limit_origin, from.date())
            }
            None => v.limit_origin.clone(),
        };
        Some(Self {
            title: crate::print::title(signed, sheet, show),
            verdict: v.verdict.parse().unwrap_or(Verdict::NotApplicable),
            quantity: store::sheet::quantity_of(&v.about),
            value: v.value_nm,
            lower: v.lower_nm,
            upper: v.upper_nm,
            expanded_uncertainty: v.expanded_uncertainty_nm,
            probability_ppm: v.probability_ppm,
            is_deviation: is_deviation(&v.about),
            is_reached: store::sheet::at_upper(&v) == AtUpper::Reached,
            origin,
            note: rows.told(&v.note),
            inputs: rests_on::inputs(sheet, signed, show),
            gauges: rests_on::gauges(sheet, row.unwrap_or(signed), show),
            rule: v.rule,
            method: v.method,
        })
    }

    /// A value of this kind: with its sign where it is a deviation.
    pub fn words(&self, value: i64, show: Show) -> String {
        if self.is_deviation {
            show.deviation(value)
        } else {
            show.told(self.quantity, value)
        }
    }

    /// The value found; a dash where there is none.
    pub fn value(&self, show: Show) -> String {
        self.value
            .map_or_else(|| "\u{2013}".into(), |value| self.words(value, show))
    }

    /// The limits: `at most 0.120`.
    pub fn limit(&self, show: Show) -> String {
        let at_upper = if self.is_reached {
            AtUpper::Reached
        } else {
            AtUpper::Conforms
        };
        let upper_word = store::sheet::upper_word(at_upper);
        let words = |limit| self.words(limit, show);
        match (self.lower, self.upper) {
            (Some(lower), Some(upper)) if self.is_reached => {
                format!("{} to {upper_word} {}", words(lower), words(upper))
            }
            (Some(lower), Some(upper)) => format!("{} to {}", words(lower), words(upper)),
            (Some(lower), None) => format!("at least {}", words(lower)),
            (None, Some(upper)) => format!("{upper_word} {}", words(upper)),
            (None, None) => "no limit".into(),
        }
    }

    /// Distance to the nearest limit and whether that is the upper one; negative = beyond it.
    fn nearest(&self) -> Option<(i64, bool)> {
        let value = self.value?;
        let above = self.lower.map(|lower| (value - lower, false));
        let below = self.upper.map(|upper| (upper - value, true));
        above.into_iter().chain(below).min_by_key(|(room, _)| *room)
    }

    /// The distance to the nearest limit in words: `0.032 beyond`, `0.007 to go`.
    pub fn margin(&self, show: Show) -> String {
        let told = |room| show.told(self.quantity, room);
        match self.nearest() {
            Some((room, _)) if room < 0 => format!("{} beyond", told(-room)),
            Some((0, _)) => "on the limit".into(),
            Some((room, _)) => format!("{} to go", told(room)),
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
        let allowed = self.lower.zip(self.upper);
        allowed
            .zip(self.expanded_uncertainty)
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
        let unit = show.sign_of(judged.quantity);
        let with_unit = |text: String, is_there: bool| {
            if is_there {
                format!("{text} {unit}")
            } else {
                text
            }
        };
        let found = with_unit(judged.value(show), judged.value.is_some());
        widgets::key_value(ui, "found", &found, &judged.inputs);
        let has_limit = judged.lower.or(judged.upper).is_some();
        let limit = with_unit(judged.limit(show), has_limit);
        widgets::key_value(ui, "limit", &limit, &judged.origin);
        let margin = judged.margin(show);
        if !margin.is_empty() {
            widgets::key_value(ui, "distance", &margin, "");
        }
        let (doubt, about) = match judged.expanded_uncertainty {
            Some(0) => ("none".into(), "the stored integers decide".to_owned()),
            Some(u) => (
                format!("\u{b1} {} {unit}", show.told(judged.quantity, u)),
                format!(
                    "expanded uncertainty U at k = 2; u = U / 2 = {}",
                    show.told(judged.quantity, u / 2)
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
            let (lower, upper) = (judged.lower.is_some(), judged.upper.is_some());
            let levels = judged.asked().words(lower, upper);
            widgets::key_value(ui, "rule", &judged.rule, &levels);
        }
        for (key, words) in [("method", &judged.method)] {
            if !words.is_empty() {
                widgets::key_value(ui, key, words, "");
            }
        }
        for [gauge, standing] in &judged.gauges {
            widgets::key_value(ui, "gauge", gauge, standing);
        }
        if !judged.note.is_empty() {
            widgets::key_value(ui, "note", &judged.note, "");
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
    let (Some(value), Some((room, upper))) = (judged.value, judged.nearest()) else {
        return;
    };
    let Some(expanded) = judged
        .expanded_uncertainty
        .filter(|u| *u > 0 && room.abs() < 4 * u)
    else {
        return;
    };
    let (Some(limit), Some(ppm)) = (
        if upper { judged.upper } else { judged.lower },
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
