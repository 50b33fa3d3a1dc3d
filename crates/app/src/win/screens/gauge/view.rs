//! Draws what the error of a gauge touched: a row a verdict, the one that is chosen told in full below the table.

use calc::found_out::Change;
use draw::Mark;
use draw::tokens::space;
use egui::Ui;
use store::Stamp;
use store::entry::Show;
use store::query::{Calibration, Impact, ImpactLine, Release, Suspect, error_words};

use super::GaugeModel;
use crate::print::impact as words;
use crate::print::{What, about_words};
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Col, Columns, Kind, Row};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::bearings::verdicts::badge_of;
use crate::win::screens::log::small;

/// What only the page remembers: the row that is told in full, by fault and place in its list.
#[derive(Debug, Default)]
pub struct GaugeView {
    /// Its fault, and its place in the list.
    pub chosen: Option<(i64, usize)>,
}

/// One gauge.
pub fn gauge_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &GaugeModel,
    view: &mut GaugeView,
    commands: &mut Vec<Command>,
) {
    frames::page_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ways(ui, cx, model, commands);
        for impact in &model.impacts {
            found_out(ui, cx.show, impact, view, commands);
        }
        calibrations(ui, cx, model);
    });
}

/// On the page of a sheet: a gauge of it was found out later.
pub fn suspect_line(ui: &mut Ui, show: Show, suspect: &Suspect, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        ui.set_row_height(32.0);
        ui.spacing_mut().item_spacing.x = space::M;
        widgets::badge(ui, Mark::PassInDoubt, "suspect gauge");
        let error = error_words(suspect.error, &suspect.measures, show);
        let words = format!(
            "{} was found on {} to read {error}.",
            suspect.code,
            suspect.at.date()
        );
        text::say(ui, Face::BODY, &words);
        if small::link(
            ui,
            "Impact list",
            &format!("Impact list of {}", suspect.code),
        )
        .clicked()
        {
            commands.push(Command::Go(Route::Gauge(suspect.gauge)));
        }
    });
}

fn ways(ui: &mut Ui, cx: &Cx, model: &GaugeModel, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        if small::link(ui, "Back", "Back").clicked() {
            commands.push(Command::Back);
        }
        if small::link(ui, "What happened to it", "What happened to it").clicked() {
            commands.push(Command::Go(Route::Thing(model.page.no)));
        }
        let words = "Print its hold tag";
        if model.is_held && small::link(ui, words, words).clicked() {
            let route = Route::Documents(What::Tag, Some(model.page.no));
            commands.push(Command::Go(route));
        }
    });
    ui.add_space(space::M);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::M;
        let print = if model.impacts.is_empty() {
            "Print calibrations and readings"
        } else {
            "Print impact note"
        };
        if Button::new(Kind::Second, print).show(ui).clicked() {
            commands.push(model.print());
        }
        if !model.impacts.is_empty() && Button::new(Kind::Second, "Copy table").show(ui).clicked() {
            let all: Vec<String> = model.impacts.iter().map(|i| as_text(i, cx.show)).collect();
            ui.ctx().copy_text(all.join("\n"));
        }
    });
    ui.add_space(space::L);
}

fn found_out(
    ui: &mut Ui,
    show: Show,
    impact: &Impact,
    view: &mut GaugeView,
    commands: &mut Vec<Command>,
) {
    let says = impact.says(show);
    let (first, rest) = says.split_at(1);
    let title = format!(
        "{}{rest}, found on {}",
        first.to_uppercase(),
        impact.at.date()
    );
    widgets::heading(ui, &title, &impact.text);
    widgets::rule(ui);
    ui.add_space(space::S);
    ui.horizontal(|ui| {
        ui.set_row_height(32.0);
        ui.spacing_mut().item_spacing.x = space::M;
        let (mark, word) = match impact.changed() {
            0 => (Mark::Pass, "no verdict changes".to_owned()),
            1 => (Mark::Fail, "1 verdict would change".to_owned()),
            n => (Mark::Fail, format!("{n} verdicts would change")),
        };
        widgets::badge(ui, mark, &word);
        let good = match &impact.good {
            Some((at, _, due)) => {
                format!(
                    "Last good calibration {}, ran out {}.",
                    at.date(),
                    due.date()
                )
            }
            None => "No good calibration before is entered.".to_owned(),
        };
        text::say(ui, Face::BODY, &good);
    });
    text::say(ui, Face::BODY, &words::summary(impact));
    ui.add_space(space::XS);
    if let Some(words) = words::of_standard(impact) {
        text::note(ui, &words);
    }
    text::note(
        ui,
        "Corrected = as recorded less the error. When the error began nobody knows: the truth may lie between the two. \
         Originals stay as they were signed.",
    );
    ui.add_space(space::M);
    let columns = Columns::new(vec![
        Col::left("read on", 92.0),
        Col::rest("of"),
        Col::right(recorded_head(impact), 92.0),
        Col::right("corrected", 92.0),
        Col::left("limit", 130.0),
        Col::left("as signed", 132.0),
        Col::left("if corrected", 132.0),
        Col::left("the verdict", 150.0),
    ]);
    columns.header(ui);
    for (index, line) in impact.lines.iter().enumerate() {
        let at = (impact.fault, index);
        let is_chosen = view.chosen == Some(at);
        let row = Row::result(row_name(line, show))
            .clickable(true)
            .chosen(is_chosen);
        let response = ui.push_id(at, |ui| {
            columns.row(ui, &row, |cells| cells_of(cells, line, show))
        });
        if response.inner.clicked() {
            view.chosen = (!is_chosen).then_some(at);
        }
        if is_chosen {
            in_full(ui, show, impact, line, commands);
        }
    }
    if impact.lines.is_empty() {
        text::say(
            ui,
            Face::BODY.muted(),
            "Nothing was read on it since its last good calibration.",
        );
    }
    ui.add_space(space::XL);
}

fn recorded_head(impact: &Impact) -> &'static str {
    if impact.lines.iter().any(|l| !l.about.is_empty()) {
        "recorded"
    } else {
        ""
    }
}

fn cells_of(cells: &mut widgets::Cells, line: &ImpactLine, show: Show) {
    let value =
        |nm: Option<i64>| nm.map_or_else(|| "\u{2013}".into(), |nm| words::length(line, nm, show));
    cells
        .note(&line.at.date())
        .text(&of_words(line))
        .text(&value(line.recorded))
        .value(&value(line.corrected))
        .note(&words::limit(line, show));
    for verdict in [line.signed, line.if_corrected] {
        match verdict.and_then(|v| badge_of(v.as_str())) {
            Some((mark, word)) => cells.badge(mark, word),
            None => cells.note("\u{2013}"),
        };
    }
    match line.change {
        Some(change) if change.is_changed() => cells.value(change.words()),
        Some(change) => cells.note(change.words()),
        None => cells.note("read, not judged"),
    };
}

/// Of what, with what was judged where that is not plain.
fn of_words(line: &ImpactLine) -> String {
    match line.about.as_str() {
        "" | "neck_smallest" | "clearance" => line.of.clone(),
        about => format!(
            "{}: {}",
            line.of,
            about_words(about, line.item, line.rows).to_lowercase()
        ),
    }
}

fn row_name(line: &ImpactLine, show: Show) -> String {
    let value = |nm: Option<i64>| {
        nm.map_or_else(|| "not judged".into(), |nm| words::length(line, nm, show))
    };
    let verdict = line
        .if_corrected
        .map_or("", calc::conformity::Verdict::word);
    format!(
        "{} read on {}: {}, corrected {} {verdict}",
        line.of,
        line.at.date(),
        value(line.recorded),
        value(line.corrected)
    )
}

/// The chosen row: its readings, what was said, released, measured again and done.
fn in_full(
    ui: &mut Ui,
    show: Show,
    impact: &Impact,
    line: &ImpactLine,
    commands: &mut Vec<Command>,
) {
    ui.add_space(space::S);
    let recorded = words::grouped(line, |r| r.recorded, impact, show);
    let corrected = words::grouped(line, |r| r.corrected, impact, show);
    widgets::key_value(ui, "as recorded", &recorded, "");
    widgets::key_value(ui, "corrected", &corrected, "");
    if let Some(p) = line.probability {
        let words = format!("{} of conformity, fully corrected", words::chance(p, show));
        let (lower, upper) = (line.lower.is_some(), line.upper.is_some());
        let levels = line.asked.words(lower, upper);
        widgets::key_value(ui, "probability", &words, &levels);
    }
    if let Some(words) = words::ground_words(line, show) {
        widgets::key_value(ui, "spacer", &words, "");
    }
    widgets::key_value(ui, "signed by", &line.signer, "");
    if line.release != Release::NotNeeded {
        let said = if line.said.is_empty() {
            "nothing"
        } else {
            &line.said
        };
        widgets::key_value(ui, "said to the warning", said, "");
        widgets::key_value(ui, "release", &words::release_words(&line.release), "");
    }
    if !line.about.is_empty() {
        widgets::key_value(ui, "again", &words::again_words(line, show), "");
    }
    let acts: Vec<String> = line
        .done
        .iter()
        .map(|act| format!("{} {}", act.at.date(), act.text))
        .collect();
    for (index, act) in acts.iter().enumerate() {
        widgets::key_value(ui, if index == 0 { "done since" } else { "" }, act, "");
    }
    if acts.is_empty() && line.change.is_some_and(|c| c != Change::Stands) {
        widgets::key_value(ui, "done since", "nothing is recorded", "");
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        let words = format!("Open the sheet of {}", line.at.date());
        if small::link(ui, &words, &words).clicked() {
            let route = if line.about.is_empty() {
                Route::Event(line.event)
            } else {
                Route::Signed(line.event)
            };
            commands.push(Command::Go(route));
        }
        if let Some((no, sort)) = &line.thing {
            let code = line.of.split(',').next().unwrap_or_default();
            let words = format!("Open {code}");
            if small::link(ui, &words, &words).clicked() {
                commands.extend(Route::of_thing(sort, *no).map(Command::Go));
            }
        }
        if let Some(again) = &line.again {
            let words = format!("Open the check of {}", again.at.date());
            if small::link(ui, &words, &words).clicked() {
                commands.push(Command::Go(Route::Signed(again.event)));
            }
        }
    });
    ui.add_space(space::M);
}

/// Its calibrations with what was read up to the next one.
fn calibrations(ui: &mut Ui, cx: &Cx, model: &GaugeModel) {
    widgets::heading(ui, "Calibrations", "with what was read up to the next one");
    if model.page.calibrations.is_empty() {
        text::say(ui, Face::BODY.muted(), "No calibration of it is entered.");
        return;
    }
    let columns = Columns::new(vec![
        Col::left("date", 100.0),
        Col::rest("certificate"),
        Col::left("due", 100.0),
        Col::right("sheets", 70.0),
        Col::right("readings", 80.0),
        Col::right("when overdue", 110.0),
        Col::left("error found that day", 150.0),
        Col::rest("entered by"),
    ]);
    columns.header(ui);
    for c in model.page.calibrations.iter().rev() {
        let name = format!("Calibration of {}: {} readings", c.at.date(), c.readings);
        columns.row(ui, &Row::reading(name), |cells| {
            let error = error_of(c, &model.impacts, cx.show);
            cells
                .text(&c.at.date())
                .text(&c.certificate)
                .text(&Stamp::second(c.due_ms, cx.now.offset_min).date())
                .text(&c.sheets.to_string())
                .text(&c.readings.to_string())
                .text(&if c.overdue == 0 {
                    "none".to_owned()
                } else {
                    c.overdue.to_string()
                })
                .text(&error)
                .note(&c.signer);
        });
    }
}

/// What it was found to read on the day of a calibration.
fn error_of(calibration: &Calibration, impacts: &[Impact], show: Show) -> String {
    let day = calibration.at.date();
    let found = impacts.iter().find(|i| i.at.date() == day);
    found.map_or_else(String::new, |i| i.error_words(show))
}

/// The table for a spreadsheet: tabs between the cells.
fn as_text(impact: &Impact, show: Show) -> String {
    let mut lines = vec![format!(
        "{} {}, found {} (record {})",
        impact.code,
        impact.says(show),
        impact.at.date(),
        impact.id
    )];
    let unit = show.unit.sign();
    lines.push(format!(
        "read on\trecord\tof\twhat\trecorded {unit}\tcorrected {unit}\tlimit {unit}\tas signed\tif corrected\tthe verdict\tsaid\trelease\tagain"
    ));
    for line in &impact.lines {
        let value =
            |nm: Option<i64>| nm.map_or_else(String::new, |nm| words::length(line, nm, show));
        let word = |verdict: Option<calc::conformity::Verdict>| {
            verdict.map_or("", calc::conformity::Verdict::word)
        };
        let cells = [
            line.at.date(),
            line.id.clone(),
            line.of.clone(),
            if line.about.is_empty() {
                String::new()
            } else {
                about_words(&line.about, line.item, line.rows)
            },
            value(line.recorded),
            value(line.corrected),
            words::limit(line, show),
            word(line.signed).to_owned(),
            word(line.if_corrected).to_owned(),
            line.change.map_or("", Change::words).to_owned(),
            line.said.clone(),
            words::release_words(&line.release),
            words::again_words(line, show),
        ];
        // A tab or a line end inside a cell would tear the table.
        lines.push(
            cells
                .map(|cell| cell.replace(['\t', '\n', '\r'], " "))
                .join("\t"),
        );
    }
    lines.join("\n")
}
