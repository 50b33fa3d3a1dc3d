//! A calculation on paper, and in the clipboard.

use calc::method::Method;
use egui::{Context, Ui};
use store::entry::Show;

use super::pane::{Pane, State};
use super::view::BenchView;
use crate::bench::{Answer, told};
use crate::print::{self, CalculationJob};
use crate::win::command::Command;
use crate::win::screens::Cx;
use crate::win::screens::bearings::save::{Saving, save_ui};
use crate::win::work::Work;

/// The calculation as text; empty where it has no result.
pub(super) fn copy(pane: &Pane, show: Show) -> String {
    let State::Done(done) = &pane.state else {
        return String::new();
    };
    let answer = Answer::of(pane.method, &done.0, &done.1, show);
    answer.copy(pane.method, &told(pane.method, &pane.form, show))
}

/// Asks where the print is to be written.
pub(super) fn ask(ctx: &Context, cx: &Cx, method: &Method) -> Saving {
    let stem = format!("bench-{}", method.name);
    Saving::beside(ctx, cx.path, &stem, "pdf", "Print the calculation", "Print")
}

/// The dialog while it is open, and the print once a file is agreed to.
pub(super) fn dialogs(ui: &Ui, cx: &Cx, view: &mut BenchView, commands: &mut Vec<Command>) {
    let Some((side, saving)) = view.saving.take() else {
        return;
    };
    let mut asked = Some(saving);
    let agreed = save_ui(ui.ctx(), &mut asked);
    view.saving = asked.map(|saving| (side, saving));
    let (Some(path), Some(pane)) = (agreed, view.panes.get(side)) else {
        return;
    };
    let State::Done(done) = &pane.state else {
        return;
    };
    let (method, show) = (pane.method, cx.show);
    let job = CalculationJob {
        method,
        inputs: told(method, &pane.form, show),
        origin: pane.form.origin.clone(),
        given: done.0.clone(),
        worked: done.1.clone(),
        show,
        plant: cx.snapshot.plant.clone(),
        for_whom: cx.person.map(|p| p.name.clone()).unwrap_or_default(),
        program: crate::hands::program(),
    };
    commands.push(Command::Run(Work::new(
        format!("Printing {}", method.title),
        "pages",
        move |given| {
            let pdf = print::calculation_pdf(&job, given.now).map_err(|e| e.to_string())?;
            if !given.pace.tell(1, 1) {
                return Ok(None);
            }
            print::write_whole(&path, &pdf).map_err(|e| e.to_string())?;
            Ok(Some(format!(
                "The calculation is written to {}.",
                path.display()
            )))
        },
    )));
}
