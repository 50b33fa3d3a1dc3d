//! What a signed sheet says in words: what it is about, what was seen and decided, who stands for it.

use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::entry::Show;
use store::query::decided_words;
use store::sheet::TypeFacts;

use super::SignedModel;
use super::parts::fact;
use crate::ui::text::{self, Face};
use crate::ui::widgets;

/// A bearing type in a line: `N4T-480/620-336 · 480 × 620 × 336`.
pub fn type_words(t: &TypeFacts, show: Show) -> String {
    let sizes: Option<Vec<String>> = ["bore_nm", "outside_nm", "width_nm"]
        .map(|name| t.whole(name).map(|nm| plain(nm, show)))
        .into_iter()
        .collect();
    let mut words = vec![t.code.clone()];
    words.extend(sizes.map(|sizes| format!("{} {}", sizes.join(" \u{d7} "), show.unit.sign())));
    words.extend(
        t.whole("mass_g")
            .map(|g| format!("{} kg", show.grouped((g + 500) / 1_000))),
    );
    words.join(" \u{b7} ")
}

/// A nominal size without its trailing zeros.
fn plain(nm: i64, show: Show) -> String {
    let text = show.length(nm);
    if !text.contains(['.', ',']) {
        return text;
    }
    text.trim_end_matches('0')
        .trim_end_matches(['.', ','])
        .to_owned()
}

/// What was seen on the parts, a line each.
pub(super) fn told_findings(ui: &mut Ui, show: Show, model: &SignedModel) {
    for seen in &model.detail.body.findings {
        let words = seen.finding().map_or_else(
            || seen.part.clone(),
            |finding| model.detail.named_rows(show).told(&finding.words()),
        );
        let size = seen
            .size_nm
            .map(|nm| format!("; {} {}", show.length(nm), show.unit.sign()));
        let note = Some(format!("; {}", seen.note)).filter(|_| !seen.note.is_empty());
        let words = words + &size.unwrap_or_default() + &note.unwrap_or_default();
        fact(ui, &format!("Finding {}", seen.number), &words);
    }
}

pub(super) fn identify(ui: &mut Ui, show: Show, model: &SignedModel) {
    let d = &model.detail;
    let told = [
        ("Bearing", &d.bearing),
        ("Chock", &d.chock),
        ("Roll", &d.roll),
        ("Came from", &d.position),
    ];
    for (label, words) in told.into_iter().filter(|(_, words)| !words.is_empty()) {
        fact(ui, label, words);
    }
    if let Some(t) = &model.bearing_type {
        fact(ui, "Bearing type", &type_words(t, show));
    }
    if d.teardown.is_some() {
        let hours = format!(
            "{} h in this chock, {} h in all",
            show.hours(d.stay_run_s),
            show.hours(d.total_run_s)
        );
        fact(ui, "Mill time", &hours);
    }
}

pub(super) fn decision(ui: &mut Ui, show: Show, model: &SignedModel) {
    let Some(decision) = model.detail.teardown.as_ref().map(|t| &t.decision) else {
        return;
    };
    fact(ui, "Recommended", &decided_words(&decision.recommended));
    ui.add_space(space::S);
    for (number, reason) in (1..).zip(&decision.reasons) {
        widgets::numbered(ui, number, &model.detail.named_rows(show).told(reason));
    }
    for cause in &decision.causes {
        text::note(ui, &model.detail.named_rows(show).told(cause));
    }
    ui.add_space(space::S);
    fact(ui, "Decided", &decided_words(&decision.decided));
    if !decision.departure.is_empty() {
        fact(ui, "Otherwise, because", &decision.departure);
    }
}

pub(super) fn sign(ui: &mut Ui, model: &SignedModel) {
    let d = &model.detail;
    let told = [
        ("Signed by", &d.signer),
        ("Fitter", &d.fitter),
        ("Ordered by", &d.ordered_by),
    ];
    for (label, words) in told.into_iter().filter(|(_, words)| !words.is_empty()) {
        fact(ui, label, words);
    }
    fact(ui, "Entered", &d.event.entered.date_time());
    let holds = d.event.hash == d.event.expected_hash();
    fact(ui, "Event", &d.event.id.to_string());
    ui.add_space(space::S);
    if holds {
        text::note(ui, "Hashed anew just now: it is what was signed.");
    } else {
        let face = Face::STRONG.token(Token::Fail);
        text::say(
            ui,
            face,
            "This is not what was signed: its hash does not hold. Run chockbook verify.",
        );
    }
}
