//! What to do with the bearing: what is recommended and why, what the person decides, and who has to agree.

use calc::disposition::Disposition;
use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::sheet::Section;

use super::fields::{Sheet, labelled};
use super::model::is_begun;
use super::order::{departs, has};
use super::panel::gauges_unnamed;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::screens::sheet::caution::{DESTROYED, caution_ui};

/// Short words for the six, in the order of the choice. A bearing without spacers has none to regrind.
const SHORT: [&str; 6] = ["Return", "Turn", "Regrind", "Recondition", "Scrap", "Hold"];

/// What each of the six means for the bearing.
fn meaning(decided: Disposition) -> &'static str {
    match decided {
        Disposition::ReturnToService => "Back into a chock as it is; the load zone stays.",
        Disposition::ReturnAfterTurning => "Back into a chock with another load zone up.",
        Disposition::RegrindSpacers => {
            "Spacers ground to the calculated widths, then back into a chock."
        }
        Disposition::Recondition => {
            "Sent out; it comes back with a certificate and a new revision."
        }
        Disposition::Scrap => {
            "Never back to service; destroyed before a witness, the serial is locked."
        }
        Disposition::HoldForEngineer => "Stays in the shop until the engineer has said what.",
    }
}

/// The section.
pub fn decision_ui(ui: &mut Ui, sheet: &mut Sheet) {
    widgets::section_title(
        ui,
        Some(Section::Decision.number()),
        Section::Decision.title(),
        "a person decides; otherwise than recommended needs a reason",
    );
    let recommended = sheet.a.recommendation.disposition;
    text::note(
        ui,
        if is_begun(&sheet.a) {
            "recommended"
        } else {
            "recommended as long as nothing is read"
        },
    );
    ui.add_space(space::XS);
    text::say(ui, Face::BIG, recommended.words());
    ui.add_space(space::XS);
    text::say(ui, Face::BODY.muted(), meaning(recommended));
    ui.add_space(space::L);
    // The choice stands before the reasons, however many they are.
    let has_spacers = sheet.a.clearance.radial.is_none();
    let is_asked = |d: &Disposition| has_spacers || *d != Disposition::RegrindSpacers;
    let (words, texts): (Vec<&str>, Vec<&str>) = Disposition::ALL
        .into_iter()
        .zip(SHORT)
        .filter(|(decided, _)| is_asked(decided))
        .map(|(decided, short)| (short, decided.as_str()))
        .unzip();
    let width = (ui.available_width() / texts.len() as f32)
        .floor()
        .min(160.0);
    labelled(ui, &sheet.label("decision.choice"), |ui| {
        sheet.choice(ui, "decision.choice", &words, &texts, width);
    });
    ui.add_space(space::M);
    match sheet.a.decided {
        None => {
            text::note(
                ui,
                "Arrows move the choice, Enter goes on; its number chooses; + takes what is recommended.",
            );
        }
        Some(decided) => {
            text::say(ui, Face::SECTION, decided.words());
            text::say(ui, Face::BODY.muted(), meaning(decided));
            if decided == Disposition::Scrap {
                ui.add_space(space::S);
                caution_ui(ui, DESTROYED);
            }
        }
    }
    if departs(&sheet.a) || has(sheet.view.entries.fields(), "decision.reason") {
        ui.add_space(space::L);
        let width = ui.available_width();
        let label = sheet.label("decision.reason");
        labelled(ui, &label, |ui| {
            sheet.words(
                ui,
                "decision.reason",
                "goes on the record beside the recommendation",
                width,
            );
        });
    }
    ui.add_space(space::L);
    widgets::rule(ui);
    ui.add_space(space::S);
    ui.spacing_mut().item_spacing.y = space::XS;
    gauges_unnamed(ui, sheet);
    text::note(ui, "Why, weightiest first");
    for (number, sentence) in (1..).zip(sheet.a.reasons(sheet.show())) {
        widgets::numbered(ui, number, &sentence);
    }
    patterns(ui, sheet);
    ui.spacing_mut().item_spacing.y = 0.0;
    engineer(ui, sheet);
    ui.add_space(space::L);
}

/// What the signs together may point to.
fn patterns(ui: &mut Ui, sheet: &Sheet) {
    if sheet.a.patterns.is_empty() {
        return;
    }
    ui.add_space(space::S);
    text::note(ui, "What it may point to: common practice, no fact");
    for pattern in &sheet.a.patterns {
        text::say(
            ui,
            Face::BODY,
            &format!("\u{2013} {}", sheet.told(&pattern.words())),
        );
    }
}

/// Why the engineer signs too.
fn engineer(ui: &mut Ui, sheet: &Sheet) {
    if sheet.a.engineer_because.is_empty() {
        return;
    }
    ui.add_space(space::L);
    text::strong(ui, "The engineer signs too");
    ui.add_space(space::XS);
    for why in &sheet.a.engineer_because {
        text::say(
            ui,
            Face::BODY.token(Token::Muted),
            &format!("\u{2013} {why}"),
        );
    }
}
