//! The bench: the stack to scale, four places a gap and the spacer widths, with what they come to.

use draw::marks::Towards;
use draw::tokens::{height, space};
use draw::{Align, Glyph, Mark, Pair, Token, pos};
use egui::{Rect, Ui, pos2, vec2};
use store::sheet::field::{self, Cell, GAP_DEGREES};
use store::sheet::{PairView, Section};

use super::fields::{Sheet, badge_at, field_at, labelled, mark, room, strip};
use super::gauge::gauge_line;
use super::order::has;
use super::radial;
use super::view::Why;
use crate::drawings::stack_map;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind};
use crate::ui::{focus, paint, theme};

/// How clearance is measured, as it is signed.
const METHOD: &str = "bench, stacked without spacers, four places per gap";
const HEADER: f32 = 24.0;
/// How far the ground of the lit pair reaches past the text.
const REACH: f32 = 8.0;

/// The columns of the grid, px from the left edge.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Columns {
    fields: [f32; 4],
    spacer: f32,
    /// Right ends.
    mean: f32,
    play: f32,
    last: Option<f32>,
    badge: f32,
}

/// From here on the grid has room for what was found last time.
const WIDE: f32 = 1_100.0;

impl Columns {
    /// At 1280 every pixel is spoken for; 1920 keeps the sizes and spreads them.
    fn of(width: f32) -> Self {
        let at = |first: f32, pitch: f32| [0.0, 1.0, 2.0, 3.0].map(|i| first + pitch * i);
        if width < WIDE {
            Self {
                fields: at(48.0, 94.0),
                spacer: 430.0,
                mean: 586.0,
                play: 662.0,
                last: None,
                badge: 673.0,
            }
        } else {
            let rest = width - 590.0;
            let right = |share: f32| (590.0 + rest * share).round();
            Self {
                fields: at(62.0, 102.0),
                spacer: 488.0,
                mean: right(0.16),
                play: right(0.34),
                last: Some(right(0.58)),
                badge: right(0.72),
            }
        }
    }
}

mod bench;
pub use bench::method_words;

/// The section.
pub fn clearance_ui(ui: &mut Ui, sheet: &mut Sheet) {
    if let Some(whole) = sheet.a.clearance.radial.clone() {
        return radial::radial_ui(ui, sheet, &whole);
    }
    widgets::section_title(
        ui,
        Some(Section::Clearance.number()),
        Section::Clearance.title(),
        method_words(sheet),
    );
    bench::method(ui, sheet);
    let lit = lit(sheet);
    drawing(ui, sheet, lit);
    let columns = Columns::of(ui.available_width());
    header(ui, sheet, &columns);
    for pair in Pair::ALL {
        row(ui, sheet, &columns, pair, lit);
    }
    let is_odd = unseated(ui, sheet) || asked(ui, sheet);
    ui.add_space(space::S - 2.0);
    widgets::rule(ui);
    gauge_line(ui, sheet, "clearance.gauge_gap", "gaps", "gap");
    gauge_line(ui, sheet, "clearance.gauge_width", "spacers", "width");
    let is_read = sheet.a.clearance.pairs.iter().all(|p| p.is_complete);
    ui.add_space(space::S);
    bench::sets(ui, sheet);
    let hint = if is_odd { "" } else { HINT };
    hinted(
        ui,
        sheet,
        hint,
        ("skip.clearance", "Not measured\u{2026}", is_read),
    );
    bench::places(ui, sheet);
}

const HINT: &str = "A whole reading, Enter or the gauge\u{2019}s line end goes on; Tab stops at every field; Shift Enter goes back.";

/// The pair that has the caret.
fn lit(sheet: &Sheet) -> Option<Pair> {
    let pair = match field::grid(&sheet.view.caret)? {
        Cell::Gap { pair, .. }
        | Cell::Spacer { pair }
        | Cell::SpacerAt { pair, .. }
        | Cell::Earlier { pair, .. } => pair,
        Cell::After { .. }
        | Cell::AfterAt { .. }
        | Cell::Size { .. }
        | Cell::Ring { .. }
        | Cell::Radial(_) => {
            return None;
        }
    };
    Pair::ALL.get(pair - 1).copied()
}

fn drawing(ui: &mut Ui, sheet: &mut Sheet, lit: Option<Pair>) {
    let Some(bearing_type) = &sheet.model.facts.bearing_type else {
        text::note(
            ui,
            "Scan or type the bearing first: its sizes are drawn here.",
        );
        ui.add_space(space::L);
        return;
    };
    let map = stack_map(&sheet.a, bearing_type, lit, sheet.show());
    let scene = map.scene(ui.available_width());
    let clicked = paint::scene(ui, &scene).clicked;
    if let Some(pair) = clicked.and_then(|key| usize::try_from(key).ok()) {
        focus::ask(ui.ctx(), &field::gap(pair + 1, GAP_DEGREES[0]));
    }
}

fn header(ui: &mut Ui, sheet: &Sheet, columns: &Columns) {
    let rect = strip(ui, HEADER);
    let y = rect.top() + 17.0;
    let mut say = |x: f32, align, words: &str| {
        text::at(ui, pos2(rect.left() + x, y), align, Face::NOTE, words);
    };
    say(0.0, Align::Left, "rows");
    for (x, degrees) in columns.fields.iter().zip(GAP_DEGREES) {
        say(x + 44.0, Align::Centre, &format!("{degrees}\u{b0}"));
    }
    say(columns.spacer + space::M, Align::Left, "spacer");
    say(columns.mean, Align::Right, "mean, spread");
    say(columns.play, Align::Right, "end play");
    let history = sheet
        .facts()
        .bearing
        .as_ref()
        .and_then(|b| b.history.last());
    if let (Some(x), Some(last)) = (columns.last, history) {
        say(x, Align::Right, &format!("last time, {}", last.at.date()));
    }
    if let Some(as_set) = sheet.a.clearance.pairs[0].as_set_nm
        && sheet
            .a
            .clearance
            .pairs
            .iter()
            .all(|p| p.as_set_nm == Some(as_set))
    {
        say(
            columns.badge,
            Align::Left,
            &format!("as set {}", sheet.show().length(as_set)),
        );
    }
}

fn row(ui: &mut Ui, sheet: &mut Sheet, columns: &Columns, pair: Pair, lit: Option<Pair>) {
    let rect = strip(ui, height::FIELD_ROW);
    let is_lit = lit == Some(pair);
    if is_lit {
        let ground = Rect::from_min_max(rect.min - vec2(REACH, -2.0), rect.max + vec2(REACH, -2.0));
        ui.painter()
            .rect_filled(ground, theme::CORNER, theme::color(ui, pair.tint()));
    }
    let number = pair.index() + 1;
    let name = sheet.show().pair_rows(number);
    let label = Rect::from_min_size(pos2(rect.left(), rect.center().y - 11.0), vec2(46.0, 22.0));
    room(ui, label, |ui| widgets::pair(ui, pair, &name));
    let top = rect.top() + 10.0;
    for (x, degrees) in columns.fields.iter().zip(GAP_DEGREES) {
        let path = field::gap(number, degrees);
        let at = field_at(rect.left() + x, top);
        sheet.number(ui, &path, at, "");
        let next = if degrees == 270 {
            columns.spacer
        } else {
            x + columns.fields[1] - columns.fields[0]
        };
        let token = if is_lit { pair.token() } else { Token::Rule };
        arrow(
            ui,
            pos2(
                f32::midpoint(at.right(), rect.left() + next),
                rect.center().y,
            ),
            token,
        );
    }
    sheet.number(
        ui,
        &field::spacer(number),
        field_at(rect.left() + columns.spacer, top),
        "",
    );
    let view = sheet.a.clearance.pairs[pair.index()].clone();
    results(ui, sheet, columns, rect, pair, &view);
}

/// A small arrow that shows where the caret goes next.
pub fn arrow(ui: &Ui, centre: egui::Pos2, token: Token) {
    let shapes = Glyph::Step(Towards::Right).shapes(pos(0.0, 0.0), 6.0, token);
    paint::shapes(ui, centre.round(), &shapes);
}

fn results(
    ui: &mut Ui,
    sheet: &mut Sheet,
    columns: &Columns,
    rect: Rect,
    pair: Pair,
    view: &PairView,
) {
    let show = sheet.show();
    let (upper, lower) = (rect.top() + 28.0, rect.top() + 49.0);
    let x = |x: f32| rect.left() + x;
    let ink = if view.is_complete {
        Token::Ink
    } else {
        Token::Muted
    };
    if let Some(mean) = view.mean_gap_nm {
        let face = Face::BODY.token(ink);
        text::at(
            ui,
            pos2(x(columns.mean), upper),
            Align::Right,
            face,
            &show.length(mean),
        );
    }
    if let Some(spread) = view.spread_nm {
        let face = if view.is_seated {
            Face::NOTE
        } else {
            Face::NOTE_STRONG.token(Token::Fail)
        };
        text::at(
            ui,
            pos2(x(columns.mean), lower),
            Align::Right,
            face,
            &show.length(spread),
        );
    }
    let play = view.end_play_nm.map(|nm| show.length(nm));
    let face = if view.is_complete {
        Face::SECTION
    } else {
        Face::VALUE.muted()
    };
    let at = pos2(x(columns.play), text::baseline(rect.center().y, face.size));
    text::at(
        ui,
        at,
        Align::Right,
        face,
        play.as_deref().unwrap_or("\u{2013}"),
    );
    if let (Some(right), Some(last)) = (columns.last, last(sheet, pair)) {
        let at = pos2(x(right), text::baseline(rect.center().y, 16.0));
        text::at(ui, at, Align::Right, Face::BODY.muted(), &show.length(last));
    }
    badge(ui, sheet, x(columns.badge), rect, pair, view);
    let note = match (
        view.times.filter(|times| *times > 0.0),
        view.is_complete,
        view.places,
    ) {
        (Some(times), true, _) => format!("\u{d7}{} as set", ratio(sheet, times)),
        (Some(times), false, _) => format!("\u{d7}{} so far", ratio(sheet, times)),
        (None, false, 0) if view.spacer_nm.is_none() => "not begun".into(),
        (None, true, _) if view.is_unlike => "another way".into(),
        _ => String::new(),
    };
    text::at(
        ui,
        pos2(x(columns.badge) + 23.0, lower),
        Align::Left,
        Face::NOTE,
        &note,
    );
}

/// A ratio to 0.01 in the logbook's decimal mark.
pub fn ratio(sheet: &Sheet, times: f64) -> String {
    let text = format!("{times:.2}");
    if sheet.show().comma {
        text.replace('.', ",")
    } else {
        text
    }
}

/// What was found of a pair at the sheet before, as it was left then.
fn last(sheet: &Sheet, pair: Pair) -> Option<i64> {
    let last = sheet.facts().bearing.as_ref()?.history.last()?;
    last.left_nm[pair.index()].or(last.found_nm[pair.index()])
}

fn badge(ui: &mut Ui, sheet: &mut Sheet, x: f32, rect: Rect, pair: Pair, view: &PairView) {
    let centre = rect.top() + 22.0;
    if !view.is_complete {
        let word = missing(view);
        widgets::badge_at(ui, pos2(x, centre), Mark::Missing, &word);
        return;
    }
    let word = view.verdict.word();
    let name = format!(
        "End play of {}: {word}; why?",
        sheet.show().pair_name(pair.index() + 1)
    );
    if let Some(beside) = badge_at(ui, x, centre, mark(view.verdict), word, &name) {
        sheet.view.why = Some((Why::Pair(pair.index()), beside));
    }
}

/// What is still to be read of a pair: `2 places`, `5 values`.
pub fn missing(view: &PairView) -> String {
    let places = 4 - view.places;
    let (count, what) = if view.spacer_nm.is_some() {
        (places, "place")
    } else {
        (places + 1, "value")
    };
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

/// A gap whose four places spread too far: turn and repeat, or keep. True if there is one.
fn unseated(ui: &mut Ui, sheet: &mut Sheet) -> bool {
    let pairs = sheet.a.clearance.pairs.iter();
    let found = pairs.enumerate().find(|(index, p)| {
        let kept = format!("kept.{}", field::gap(index + 1, 0));
        !p.is_seated && p.places == 4 && !has(sheet.view.entries.fields(), &kept)
    });
    let Some((index, spread, usual)) =
        found.map(|(index, p)| (index, p.spread_nm.unwrap_or(0), p.usual_spread_nm))
    else {
        return false;
    };
    let show = sheet.show();
    // The type names no limit: what is held against it says so.
    let usual = usual.map_or_else(String::new, |nm| {
        format!(" (usual {}, common practice)", show.length_unit(nm))
    });
    let words = format!(
        "Gap of {}: spread {}{usual}, not seated.",
        show.pair_name(index + 1),
        show.length_unit(spread)
    );
    let rect = strip(ui, height::TOUCH);
    let (keep, repeat) = room(ui, rect, |ui| {
        ui.horizontal(|ui| unseated_answers(ui, &words)).inner
    });
    if keep {
        sheet.view.entries.keep(&field::gap(index + 1, 0));
    }
    if repeat {
        bench::repeat(ui, sheet, index + 1, "not seated: turned and read again");
    }
    true
}

/// What to do about it; whether it is kept, whether it is read again.
fn unseated_answers(ui: &mut Ui, words: &str) -> (bool, bool) {
    ui.spacing_mut().item_spacing.x = space::M;
    ui.vertical(|ui| {
        ui.add_space(3.0);
        text::say(ui, Face::NOTE_STRONG.token(Token::Doubt), words);
        let how = "Turn the rings by hand and read the four places again.";
        text::say(ui, Face::NOTE.token(Token::Doubt), how);
    });
    let repeat = widgets::quiet(ui, "Repeat").clicked();
    let keep = Button::new(Kind::Quiet, "Keep")
        .name("Keep the spread")
        .show(ui)
        .clicked();
    (keep, repeat)
}

/// The foot of a section: the question or refusal there is, else a hint; and, at its right, the way to say why
/// something is not done: path, words of the button, whether it is done. The button gives way to the field.
pub fn foot(ui: &mut Ui, sheet: &mut Sheet, hint: &str, skip: (&str, &str, bool)) {
    foot_of(ui, sheet, hint, skip, true);
}

/// The foot of a section whose questions stand beside their grid.
pub fn hinted(ui: &mut Ui, sheet: &mut Sheet, hint: &str, skip: (&str, &str, bool)) {
    foot_of(ui, sheet, hint, skip, false);
}

/// The question or refusal of the open section in a frame of its own, directly under what was measured. True if there
/// is one.
pub fn asked(ui: &mut Ui, sheet: &mut Sheet) -> bool {
    let order = sheet.order();
    asked_of(ui, sheet, &order)
}

/// The same of these fields, under the one that it is about.
pub fn asked_of(ui: &mut Ui, sheet: &mut Sheet, order: &[String]) -> bool {
    let Some((_, problem)) = sheet.remarked(order) else {
        return false;
    };
    let (fill, edge) = if problem.is_refusal {
        (Token::FailTint, Token::Fail)
    } else {
        (Token::DoubtTint, Token::Doubt)
    };
    ui.add_space(space::S);
    egui::Frame::new()
        .fill(theme::color(ui, fill))
        .stroke(theme::stroke(ui, 1.0, edge))
        .corner_radius(theme::CORNER)
        .inner_margin(egui::Margin::symmetric(11, 2))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            sheet.remark_in(ui, order, height::TOUCH)
        })
        .inner
}

fn foot_of(
    ui: &mut Ui,
    sheet: &mut Sheet,
    hint: &str,
    (path, words, is_done): (&str, &str, bool),
    asks: bool,
) {
    let has_reason = has(sheet.view.entries.fields(), path) || sheet.view.entries.is_typing(path);
    let is_wanted =
        has_reason || sheet.view.caret == path || focus::current(ui.ctx(), &[path]).is_some();
    let order = sheet.order();
    let rect = strip(ui, height::TOUCH);
    let mut right = rect.right();
    if !is_done && !is_wanted {
        right -= text::width(ui, Face::STRONG, words).ceil() + 2.0 * space::S;
        let at = Rect::from_min_max(pos2(right, rect.top()), rect.max);
        if Button::new(Kind::Quiet, words)
            .name(&sheet.label(path))
            .place(ui, at)
            .clicked()
        {
            sheet.view.caret = path.into();
            focus::ask(ui.ctx(), path);
        }
    }
    let at = Rect::from_min_max(rect.min, pos2(right - space::S, rect.bottom()));
    if !asks || !room(ui, at, |ui| sheet.remark(ui, &order)) {
        let at = pos2(
            rect.left(),
            text::baseline(rect.center().y, Face::NOTE.size),
        );
        text::at_most(ui, at, right - space::S - rect.left(), Face::NOTE, hint);
    }
    if is_wanted && (has_reason || !is_done) {
        let width = ui.available_width().min(560.0);
        labelled(ui, &sheet.label(path), |ui| {
            sheet.words(ui, path, "the reason, for those who were not there", width);
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_do_not_overlap_at_either_width() {
        for width in [792.0, 1_312.0] {
            let c = Columns::of(width);
            let [.., last] = c.fields;
            assert!(last + 88.0 + 5.0 <= c.spacer, "{c:?}");
            assert!(c.spacer + 88.0 + 55.0 <= c.mean, "{c:?}");
            assert!(c.mean + 66.0 <= c.play, "room for 0.0252 in inch: {c:?}");
            let before = c.last.unwrap_or(c.play);
            assert!(before + 8.0 <= c.badge, "{c:?}");
            assert!(c.badge + 127.0 <= width + REACH, "pass in doubt: {c:?}");
        }
    }
}
