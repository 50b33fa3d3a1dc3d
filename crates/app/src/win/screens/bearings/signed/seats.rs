//! Chock bore or roll neck on the reading page: readings as typed with their size at 20 C below, the outline, and
//! the verdicts.

use draw::Align;
use draw::tokens::space;
use egui::{Rect, Sense, Ui, UiBuilder, pos2};
use store::entry::Show;
use store::payload::Reading;
use store::sheet::Section;
use store::sheet::field::{self, PLANES, SEAT_DEGREES, SeatName};

use super::laid::is_of;
use super::parts::{self, fact, typed};
use super::tables::verdicts_ui;
use super::{SignedModel, SignedView};
use crate::drawings::{SeatSizes, bore_map};
use crate::ui::paint;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Cells, Col, Columns, Row};

/// Room for the outline at the right, px.
const MAP: f32 = 380.0;

/// One seat, if it was measured.
pub(super) fn seat(
    ui: &mut Ui,
    show: Show,
    model: &SignedModel,
    seat: SeatName,
    view: &mut SignedView,
) {
    if !model.laid.seats.contains(&seat) {
        return;
    }
    widgets::heading(
        ui,
        seat.title(),
        "planes counted from the barrel, directions from the vertical",
    );
    let area = ui.available_rect_before_wrap();
    let sizes = model.detail.sizes_nm(seat);
    let has_map = !sizes.is_empty() && model.bearing_type.is_some() && area.width() > 2.0 * MAP;
    let right = if has_map {
        area.right() - MAP - space::XXL
    } else {
        area.right()
    };
    let mut left = child(ui, area.left(), right, area.top(), seat.prefix());
    readings(&mut left, show, model, seat, &sizes);
    verdicts(&mut left, show, model, seat, view);
    let mut whole = left.min_rect();
    if let (true, Some(t)) = (has_map, &model.bearing_type) {
        let mut right = child(ui, area.right() - MAP, area.right(), area.top(), "map");
        let title = format!("{} at 20 \u{b0}C", seat.title());
        let map = SeatSizes {
            seat,
            sizes_nm: SeatSizes::grid(&sizes),
            bearing_type: t,
            title,
        };
        paint::scene(&mut right, &bore_map(&map, show).scene(MAP));
        whole = whole.union(right.min_rect());
    }
    ui.allocate_rect(whole, Sense::hover());
    ui.add_space(space::M);
}

fn child(ui: &mut Ui, left: f32, right: f32, top: f32, salt: &str) -> Ui {
    let rect = Rect::from_min_max(pos2(left, top), pos2(right, top + 4_000.0));
    let mut child = ui.new_child(UiBuilder::new().id_salt(salt).max_rect(rect));
    child.spacing_mut().item_spacing.y = 0.0;
    child
}

fn readings(ui: &mut Ui, show: Show, model: &SignedModel, seat: SeatName, sizes: &[i64]) {
    let degrees = SEAT_DEGREES.map(|d| format!("{d}\u{b0}"));
    let mut heads = vec![Col::left("as typed, at 20 \u{b0}C below", 170.0)];
    heads.extend(degrees.iter().map(|d| Col::rest_right(d)));
    let columns = Columns::new(heads);
    columns.header(ui);
    let is_read = |plane: &usize| {
        let mut paths = SEAT_DEGREES.iter().map(|d| field::size(seat, *plane, *d));
        *plane <= field::PLANES_USUAL || paths.any(|path| model.reading(&path).is_some())
    };
    for (index, plane) in PLANES.into_iter().filter(is_read).enumerate() {
        columns.row(
            ui,
            &Row::action(format!("{} plane {plane}", seat.title())),
            |cells| {
                cells.text(&format!("plane {plane}"));
                for (direction, degrees) in SEAT_DEGREES.into_iter().enumerate() {
                    let reading = model.reading(&field::size(seat, plane, degrees));
                    let at_20 = sizes.get(index * 4 + direction).map(|nm| show.length(*nm));
                    size_cell(cells, reading, at_20.as_deref().unwrap_or("\u{2013}"));
                }
            },
        );
    }
    ui.add_space(space::S);
    let temperature = |end: &str| {
        let reading = model.reading(&format!("{}.temp_{end}", seat.prefix()))?;
        Some(typed(reading, true))
    };
    let part = if seat == SeatName::Bore {
        "chock"
    } else {
        "neck"
    };
    let told = [(part, "first"), (part, "last"), ("gauge", "gauge")].map(|(what, end)| {
        let when = if end == "gauge" {
            String::new()
        } else {
            format!(" {end}")
        };
        temperature(end).map(|words| format!("{what}{when} {words}"))
    });
    let told: Vec<String> = told.into_iter().flatten().collect();
    if !told.is_empty() {
        fact(ui, "Temperatures", &told.join(", "));
    }
    let prefix = format!("{}.", seat.prefix());
    if let Some(part) = model.laid.get(Section::Seats) {
        let own = part.gauges.iter().filter(|path| path.starts_with(&prefix));
        parts::gauges(ui, model, own, show);
    }
    ui.add_space(space::S);
}

/// What was typed, and below it what that is at 20 C.
fn size_cell(cells: &mut Cells, reading: Option<&Reading>, at_20: &str) {
    let words = reading.map_or_else(|| "\u{2013}".into(), |r| typed(r, false));
    cells.ui(|ui| {
        let rect = ui.max_rect();
        let (x, y) = (rect.right(), rect.center().y);
        text::at(ui, pos2(x, y - 2.0), Align::Right, Face::STRONG, &words);
        text::at(ui, pos2(x, y + 17.0), Align::Right, Face::NOTE, at_20);
    });
}

fn verdicts(ui: &mut Ui, show: Show, model: &SignedModel, seat: SeatName, view: &mut SignedView) {
    let all = model.detail.body.verdicts.iter().enumerate();
    let own = all.filter(|(_, v)| is_of(&v.about, seat));
    let own: Vec<usize> = own.map(|(index, _)| index).collect();
    verdicts_ui(ui, show, model, &own, view);
}
