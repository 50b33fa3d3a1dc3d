//! The stack of a four-row tapered bearing: gaps and spacers as found, and what was ground.

use draw::Pair;
use draw::tokens::space;
use egui::Ui;
use store::entry::Show;
use store::query::zone_numeral;
use store::sheet::field::{self, GAP_DEGREES, PAIRS};

use super::parts::{self, fact, length_or_dash};
use super::{SignedModel, SignedView};
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::screens::bearings::verdicts::{Judged, why_badge};

pub(super) fn clearance(ui: &mut Ui, show: Show, model: &SignedModel, view: &mut SignedView) {
    let mut heads = vec![Col::left("gap of rows", 84.0)];
    heads.extend(
        [
            "0\u{b0}",
            "90\u{b0}",
            "180\u{b0}",
            "270\u{b0}",
            "mean gap",
            "spacer",
            "end play",
        ]
        .map(Col::rest_right),
    );
    heads.extend([Col::left("limit", 150.0), Col::left("verdict", 140.0)]);
    if model.laid.has_stack {
        let columns = Columns::new(heads);
        columns.header(ui);
        for pair in PAIRS {
            let end_play = model.detail.result("end_play_nm", pair as i64);
            let name = format!(
                "{}, as found: end play {}",
                show.pair_name(pair),
                length_or_dash(end_play, show)
            );
            columns.row(ui, &Row::result(name), |cells| {
                cells.pair(Pair::ALL[pair - 1], &show.pair_rows(pair));
                for degrees in GAP_DEGREES {
                    parts::reading_cell(cells, model.reading(&field::gap(pair, degrees)));
                }
                cells.text(&length_or_dash(
                    model.detail.result("mean_gap_nm", pair as i64),
                    show,
                ));
                parts::reading_cell(cells, model.reading(&field::spacer(pair)));
                cells.value(&length_or_dash(end_play, show));
                verdict_cells(cells, model, model.verdict("clearance", pair), view, show);
            });
        }
        ui.add_space(space::S);
    }
}

/// Limit and badge of a verdict in the next two cells.
fn verdict_cells(
    cells: &mut widgets::Cells,
    model: &SignedModel,
    index: Option<usize>,
    view: &mut SignedView,
    show: Show,
) {
    let limits = model.bearing_type.as_ref();
    let found = index.and_then(|index| {
        let judged = Judged::of_sheet(&model.detail, limits, index, show)?;
        Some((index, judged))
    });
    let Some((index, judged)) = found else {
        cells.skip().skip();
        return;
    };
    cells.note(&judged.limit(show));
    if let Some(beside) = why_badge(cells, &judged) {
        view.why = Some((index, beside));
    }
}

pub(super) fn reassemble(ui: &mut Ui, show: Show, model: &SignedModel, view: &mut SignedView) {
    let d = &model.detail;
    if model.laid.has_ground {
        let mut heads = vec![Col::left("spacer", 84.0)];
        heads.extend(
            ["ground off", "to width", "measured", "end play as left"].map(Col::rest_right),
        );
        heads.extend([Col::left("target", 150.0), Col::left("verdict", 140.0)]);
        let columns = Columns::new(heads);
        columns.header(ui);
        for pair in PAIRS {
            let item = pair as i64;
            columns.row(
                ui,
                &Row::result(format!("Spacer {} after grinding", show.spacer(pair))),
                |cells| {
                    cells.pair(Pair::ALL[pair - 1], &show.spacer(pair));
                    cells.text(&length_or_dash(d.result("grind_nm", item), show));
                    cells.text(&length_or_dash(d.result("new_spacer_nm", item), show));
                    parts::reading_cell(cells, model.reading(&field::after(pair)));
                    cells.value(&length_or_dash(d.result("end_play_after_nm", item), show));
                    verdict_cells(
                        cells,
                        model,
                        model.verdict("clearance_after", pair),
                        view,
                        show,
                    );
                },
            );
        }
        ui.add_space(space::S);
        let stacks = [
            ("outer_stack_nm", "Outer stack changed by"),
            ("inner_stack_nm", "Inner stack changed by"),
            ("cover_shim_nm", "Cover shims now"),
        ];
        for (name, label) in stacks {
            if let Some(nm) = d.result(name, 0) {
                fact(ui, label, &show.length_unit(nm));
            }
        }
    }
    if let Some(again) = d.teardown.as_ref().and_then(|t| t.reassembly.as_ref()) {
        fact(ui, "Back into chock", &d.back_into);
        fact(ui, "Load zone up now", zone_numeral(again.zone));
    }
}
