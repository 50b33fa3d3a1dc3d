//! What a signed sheet came to, before all that it was read from: decision, worst verdict, who stands for it, the print.

use calc::conformity::Verdict;
use draw::tokens::space;
use egui::Ui;
use store::ThingNo;
use store::query::{SheetDetail, decided_words};

use super::super::verdicts::badge_of;
use super::SignedView;
use crate::print::What;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::command::Command;
use crate::win::route::Route;

/// The head of the page.
pub(super) fn result_ui(
    ui: &mut Ui,
    detail: &SheetDetail,
    view: &mut SignedView,
    commands: &mut Vec<Command>,
) {
    ui.add_space(space::S);
    ui.horizontal(|ui| {
        ui.set_row_height(44.0);
        ui.spacing_mut().item_spacing.x = space::L;
        if let Some(teardown) = &detail.teardown {
            let decided = decided_words(&teardown.decision.decided);
            text::say(ui, Face::BIG, &decided);
        }
        if let Some((index, verdict)) = worst(detail)
            && let Some((mark, word)) = badge_of(verdict.as_str())
        {
            let name = format!("The sheet: {word}; why?");
            let badge = widgets::badge_button(ui, mark, word, &name);
            if badge.clicked() {
                view.why = Some((index, badge.rect));
            }
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if detail.teardown.is_some() && widgets::second(ui, "Print the sheet").clicked() {
                let event = Some(ThingNo(detail.event.no));
                commands.push(Command::Go(Route::Documents(What::Sheet, event)));
            }
        });
    });
    text::say(ui, Face::BODY.muted(), &signers(detail));
    ui.add_space(space::S);
}

/// The worst of its verdicts, the first of that sort, and where it stands; none where nothing was judged.
fn worst(detail: &SheetDetail) -> Option<(usize, Verdict)> {
    let all = detail.body.verdicts.iter().map(|v| v.verdict.parse().ok());
    let judged: Vec<Option<Verdict>> = all.collect();
    let known: Vec<Verdict> = judged.iter().flatten().copied().collect();
    let worst = (!known.is_empty()).then(|| Verdict::worst(known))?;
    let index = judged.iter().position(|v| *v == Some(worst))?;
    Some((index, worst))
}

/// Who stands for it.
fn signers(detail: &SheetDetail) -> String {
    let all = [
        ("signed by", &detail.signer),
        ("done by", &detail.fitter),
        ("ordered by", &detail.ordered_by),
    ];
    let told = all.into_iter().filter(|(_, name)| !name.is_empty());
    let told: Vec<String> = told.map(|(what, name)| format!("{what} {name}")).collect();
    let words = told.join(" \u{b7} ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}
