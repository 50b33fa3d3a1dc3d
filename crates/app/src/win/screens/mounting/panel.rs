//! The panel at the right: what the sheet says so far.

use std::sync::Arc;

use calc::conformity::Verdict;
use draw::Token;
use draw::tokens::space;
use egui::Ui;

use super::fields::On;
use super::sections::limit_words;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::screens::sheet::model::mark;

/// How many verdicts there is room for.
const CHECKS_MAX: usize = 7;

/// How much of what is still to be done is named.
const OPEN_MAX: usize = 5;

/// The panel.
pub fn panel_ui(ui: &mut Ui, on: &mut On) {
    let a = Arc::clone(&on.a);
    if on.facts.base.chock.is_none() {
        let words = "Scan or type the chock. What the readings lead to stands here then.";
        text::say(ui, Face::BODY.muted(), words);
        return;
    }
    ui.spacing_mut().item_spacing.y = space::XS;
    let open = a.blockers().count();
    let worst = Verdict::worst(a.checks.iter().map(|c| c.verdict));
    let headline = match (a.checks.is_empty(), worst) {
        (_, _) if !on.facts.against.is_empty() && a.is_mounted != Some(false) => {
            "Not here, not now"
        }
        (false, Verdict::Fail) => "Do not mount",
        _ if open > 0 => "Still to be done",
        (false, Verdict::FailInDoubt | Verdict::PassInDoubt) if !a.engineer_because.is_empty() => {
            "In doubt: the engineer"
        }
        _ if !a.engineer_because.is_empty() => "The engineer signs too",
        (true, _) => "Nothing judged",
        _ => "Ready to sign",
    };
    text::say(ui, Face::TITLE, headline);
    for why in &on.facts.against {
        text::say(ui, Face::BODY.token(Token::Fail), why);
    }
    // What is in the way already is not told twice.
    let against = &on.facts.against;
    let told: Vec<_> = a
        .blockers()
        .filter(|(_, why)| !against.iter().any(|told| told == why))
        .collect();
    for (section, why) in told.iter().take(OPEN_MAX) {
        text::note(ui, &on.told(&format!("{}: {why}", section.title())));
    }
    if told.len() > OPEN_MAX {
        text::note(
            ui,
            &format!("and {} more before signing", told.len() - OPEN_MAX),
        );
    }
    if open == 0 {
        because(ui, on, &a.engineer_because);
    }
    let mut checks: Vec<_> = a.checks.iter().collect();
    // What fails stands first.
    checks.sort_by_key(|c| match c.verdict {
        Verdict::Fail => 0,
        Verdict::FailInDoubt => 1,
        Verdict::PassInDoubt => 2,
        _ => 3,
    });
    for check in checks.iter().take(CHECKS_MAX) {
        ui.add_space(space::XS);
        widgets::rule(ui);
        ui.horizontal(|ui| {
            widgets::mark(ui, mark(check.verdict));
            text::strong(ui, &on.told(&check.title));
        });
        let value = on.show().with_unit(check.quantity, check.value);
        text::note(ui, &format!("{value}, {}", limit_words(on, check)));
    }
    if checks.len() > CHECKS_MAX {
        text::note(
            ui,
            &format!("and {} more in their sections", checks.len() - CHECKS_MAX),
        );
    }
    for (_, words) in &a.says {
        ui.add_space(space::S);
        text::say(ui, Face::BODY, &on.told(words));
    }
}

/// Why the engineer signs too.
fn because(ui: &mut Ui, on: &On, because: &[String]) {
    for why in because.iter().take(OPEN_MAX) {
        text::note(ui, &on.told(why));
    }
    if because.len() > OPEN_MAX {
        let more = because.len() - OPEN_MAX;
        text::note(ui, &format!("and {more} more where it is signed"));
    }
}
