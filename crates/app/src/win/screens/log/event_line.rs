//! What happened, as lines: the pieces of an event in their tones, and the event line of one thing.

use std::collections::BTreeSet;

use draw::{Align, Glyph, Token, pos};
use egui::{Rect, Sense, Ui, pos2, vec2};
use store::query::{Amended, JournalLine, Piece, Tone};

use crate::ui::text::{self, Face};
use crate::ui::widgets::{Cells, Col, Columns, Row, heading};
use crate::ui::{paint, theme};
use crate::win::route::Route;

/// The page that an event opens: its sheet, or else its own.
pub fn target(line: &JournalLine) -> Route {
    if is_sheet(line) && line.amended != Amended::Withdrawn {
        Route::Signed(line.no)
    } else {
        Route::Event(line.no)
    }
}

/// Whether the event carries readings to look at.
pub fn is_sheet(line: &JournalLine) -> bool {
    line.is_sheet
}

/// Its title and the rest, as one text.
pub fn sentence(line: &JournalLine) -> String {
    let mut words = vec![line.title.as_str()];
    words.extend(
        line.pieces
            .iter()
            .map(|p| p.text.as_str())
            .filter(|t| !t.is_empty()),
    );
    words.join(" \u{b7} ")
}

fn face(tone: Tone) -> Face {
    match tone {
        Tone::Plain => Face::BODY,
        Tone::Strong => Face::STRONG,
        Tone::Muted => Face::BODY.muted(),
        Tone::Struck => Face::BODY.muted().struck(),
    }
}

/// The title and the pieces of an event in one line of `rect`; what does not fit is cut with an ellipsis, and the
/// pointer shows all of it.
pub fn pieces(ui: &mut Ui, rect: Rect, title: &str, all: &[Piece]) {
    let baseline = text::baseline(rect.center().y, Face::BODY.size);
    let mut x = rect.left();
    if !title.is_empty() {
        x = text::at_most(ui, pos2(x, baseline), rect.width(), Face::BODY, title).right() + 12.0;
    }
    let mut before: Option<Tone> = None;
    for piece in all.iter().filter(|p| !p.text.is_empty()) {
        // A measured value is its own divider; other pieces are set apart by a dot.
        let is_apart = before.is_some_and(|b| b != Tone::Strong) && piece.tone != Tone::Strong;
        if is_apart && rect.right() - x > 48.0 {
            let at = pos2(x, baseline);
            x = text::silent(ui, at, Align::Left, Face::BODY.muted(), "\u{b7}").right() + 10.0;
        }
        let (face, room) = (face(piece.tone), rect.right() - x);
        let width = text::width(ui, face, &piece.text);
        if room > 24.0 {
            text::at_most(ui, pos2(x, baseline), room, face, &piece.text);
        }
        if width > room {
            let words: Vec<&str> = all.iter().map(|p| p.text.as_str()).collect();
            let id = ui.next_auto_id();
            ui.skip_ahead_auto_ids(1);
            ui.interact(rect, id, Sense::hover())
                .on_hover_text(words.join(" \u{b7} "));
            return;
        }
        x += width
            + if piece.tone == Tone::Strong {
                14.0
            } else {
                10.0
            };
        before = Some(piece.tone);
    }
}

/// Like [`pieces`] in the next cell of a row, with what is unusual at the right end; where nothing is, the words have all the room.
fn pieces_and(cells: &mut Cells, title: &str, all: &[Piece], remark: &str) {
    cells.ui(|ui| {
        let mut rect = ui.max_rect();
        if !remark.is_empty() {
            let at = pos2(
                rect.right(),
                text::baseline(rect.center().y, Face::NOTE.size),
            );
            let said = text::at(ui, at, Align::Right, Face::NOTE, remark);
            rect.max.x = said.left() - 12.0;
        }
        pieces(ui, rect, title, all);
    });
}

/// The pieces of an event on the page of `own`, whose code need not be said again in each line.
pub(super) fn without(own: &str, all: &[Piece]) -> Vec<Piece> {
    let is_off = |piece: &Piece| piece.text.strip_prefix("off ") == Some(own);
    let mut all: Vec<Piece> = all.iter().filter(|p| !is_off(p)).cloned().collect();
    if let Some(first) = all.first_mut() {
        match rest_without(own, &first.text) {
            Some(rest) if rest.is_empty() => drop(all.remove(0)),
            Some(rest) => first.text = rest,
            None => {}
        }
    }
    all
}

/// What is left of the words about a thing without its own code, and the word that joins it; none where it is not there.
fn rest_without(own: &str, said: &str) -> Option<String> {
    if said == own {
        return Some(String::new());
    }
    if let Some(rest) = said.strip_prefix(own) {
        let rest = rest.strip_prefix(", ").or(rest.strip_prefix(' '));
        if rest.is_some() {
            return rest.map(str::to_owned);
        }
    }
    [" out of ", " into ", " at ", " on "]
        .iter()
        .find_map(|word| {
            let (before, after) = said.split_once(&format!("{word}{own}"))?;
            (after.is_empty() || after.starts_with(' ')).then(|| format!("{before}{after}"))
        })
}

/// The event line of the thing with the code `own`, newest first, with its heading; the page that was asked for.
pub fn what_happened(ui: &mut Ui, own: &str, journal: &[JournalLine]) -> Option<Route> {
    let count = match journal.len() {
        1 => "1 entry".to_owned(),
        n => format!("{n} entries"),
    };
    heading(
        ui,
        "What happened",
        &format!("newest first \u{b7} {count} \u{b7} nothing is ever overwritten"),
    );
    // No wider than its names: the words need the room.
    let names: BTreeSet<&str> = journal.iter().map(|line| line.signer.as_str()).collect();
    let widths = names.iter().map(|name| text::width(ui, Face::NOTE, name));
    let columns = Columns::new(vec![
        Col::left("", 4.0),
        Col::left("", 84.0),
        Col::rest(""),
        Col::right("", widths.fold(0.0, f32::max).ceil().min(180.0)),
    ]);
    let spacing = std::mem::replace(&mut ui.spacing_mut().item_spacing.y, 0.0);
    let mut opened = None;
    for (index, line) in journal.iter().enumerate() {
        let target = target(line);
        let name = format!("{} {}", line.at.date(), sentence(line));
        let row = Row::reading(name).clickable(true);
        let shown = ui.push_id(line.no, |ui| {
            columns.row(ui, &row, |cells| {
                dot(cells, index, journal);
                cells.put(Face::BODY.muted(), &line.at.date());
                let all = without(own, &line.pieces);
                pieces_and(cells, &line.title, &all, &remark(line));
                cells.note(&line.signer);
            })
        });
        if shown.inner.clicked() {
            opened = Some(target);
        }
    }
    ui.spacing_mut().item_spacing.y = spacing;
    opened
}

/// What is unusual about an event: entered late, or in conflict with another.
pub fn remark(line: &JournalLine) -> String {
    match (line.conflict.is_empty(), line.is_late) {
        (false, _) => "does not fit".into(),
        (true, true) => format!("entered {}", line.entered.date()),
        (true, false) => String::new(),
    }
}

/// The sign of an event, with the line that joins it to its neighbours.
fn dot(cells: &mut Cells, index: usize, journal: &[JournalLine]) {
    let (line, rect) = (&journal[index], cells.rect());
    let centre = pos2(rect.left() + 4.0, rect.center().y.round());
    let (top, bottom) = (
        if index == 0 { centre.y } else { rect.top() },
        rect.bottom(),
    );
    let bottom = if index + 1 == journal.len() {
        centre.y
    } else {
        bottom
    };
    let ui = &cells.ui;
    ui.painter().vline(
        centre.x + 0.5,
        top..=bottom,
        theme::stroke(ui, 1.0, Token::Muted),
    );
    let is_first = index + 1 == journal.len();
    let glyph = match line.title.as_str() {
        "Register changed" => Glyph::Amended,
        _ if line.amended != Amended::No => Glyph::Amended,
        _ if is_first => Glyph::First,
        _ => Glyph::Event,
    };
    let token = if glyph == Glyph::Amended {
        Token::Doubt
    } else {
        Token::Ink
    };
    if glyph != Glyph::Event {
        let patch = Rect::from_center_size(centre, vec2(9.0, 9.0));
        ui.painter()
            .rect_filled(patch, 0.0, theme::color(ui, Token::Sheet));
    }
    paint::shapes(ui, centre, &glyph.shapes(pos(0.0, 0.0), 10.0, token));
    cells.skip();
}
