//! The find box: Ctrl+F, or typing and scanning anywhere outside a field.

use draw::tokens::space;
use draw::{Align, Token};
use egui::{
    Area, Context, Frame, Id, Key, Modifiers, Order, Role, Sense, Ui, WidgetInfo, pos2, vec2,
};
use store::query::FoundThing;

use super::command::Command;
use super::route::Route;
use super::snapshot::Snapshot;
use crate::ui::focus;
use crate::ui::frames::{self, Strip, StripOut};
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{Outcome, SearchField};

/// So many are shown; typing on narrows the rest.
const SHOWN_MAX: usize = 8;
const WIDTH: f32 = 400.0;
const ROW: f32 = 44.0;

/// The find box and what it found.
#[derive(Debug, Default)]
pub struct Find {
    text: String,
    /// The row the arrows point at.
    row: Option<usize>,
    is_open: bool,
}

impl Find {
    /// Puts the caret into it.
    pub fn open(&mut self, ctx: &Context) {
        focus::ask(ctx, SearchField::PATH);
        self.is_open = true;
    }

    /// Takes what was typed or scanned outside a field.
    pub fn scan(&mut self, ctx: &Context, text: &str) {
        text.clone_into(&mut self.text);
        self.row = None;
        self.is_open = true;
        focus::ask_at_end(ctx, SearchField::PATH);
    }

    /// Empties it; false if there was nothing to close.
    pub fn close(&mut self, ctx: &Context) -> bool {
        let had = self.is_open || !self.text.is_empty();
        self.text.clear();
        self.row = None;
        self.is_open = false;
        if focus::has(ctx, SearchField::PATH) {
            focus::leave(ctx);
        }
        had
    }

    /// Shows the top strip, and what was found below its find box.
    pub fn strip(
        &mut self,
        ui: &mut Ui,
        strip: &Strip,
        snapshot: &Snapshot,
        commands: &mut Vec<Command>,
    ) -> StripOut {
        let has_caret = focus::has(ui.ctx(), SearchField::PATH);
        let found = found(&snapshot.things, &self.text);
        if has_caret {
            self.arrows(ui, found.len().min(SHOWN_MAX));
        }
        let out = frames::top_strip(ui, strip, &mut self.text);
        match out.find {
            Outcome::Changed => {
                self.row = None;
                self.is_open = true;
            }
            Outcome::Commit(_) => {
                // The line end of a scan comes with its last characters, in the same frame.
                let now = self::found(&snapshot.things, &self.text);
                match self.meant(&now) {
                    Some(thing) => self.go(ui.ctx(), thing, commands),
                    None => focus::ask_at_end(ui.ctx(), SearchField::PATH),
                }
                return out;
            }
            _ => {}
        }
        if self.is_open && !self.text.trim().is_empty() {
            let found = self::found(&snapshot.things, &self.text);
            let (clicked, is_over) = self.list(ui, out.find_rect, &found);
            if let Some(thing) = clicked {
                self.go(ui.ctx(), thing, commands);
            } else if !has_caret && !is_over && ui.input(|i| i.pointer.any_pressed()) {
                self.is_open = false;
            }
        }
        out
    }

    fn arrows(&mut self, ui: &Ui, count: usize) {
        let step = |key| ui.input_mut(|i| i.count_and_consume_key(Modifiers::NONE, key));
        let (down, up) = (step(Key::ArrowDown), step(Key::ArrowUp));
        if count > 0 && down + up > 0 {
            let at = self.row.map_or(down.saturating_sub(1), |row| {
                (row + down).saturating_sub(up)
            });
            self.row = Some(at.min(count - 1));
        }
    }

    /// The thing that Enter opens: where the arrows point, the one of exactly this name, or the only one.
    fn meant<'t>(&self, found: &[(Rank, &'t FoundThing)]) -> Option<&'t FoundThing> {
        let certain = || match found {
            [(Rank::Exact, thing), (Rank::Begins | Rank::Holds, _), ..] | [(_, thing)] => {
                Some(*thing)
            }
            _ => None,
        };
        self.row
            .and_then(|row| found.get(row))
            .map(|(_, thing)| *thing)
            .or_else(certain)
    }

    fn go(&mut self, ctx: &Context, thing: &FoundThing, commands: &mut Vec<Command>) {
        commands.extend(Route::of_thing(&thing.entity, thing.no).map(Command::Go));
        self.close(ctx);
    }

    /// The list below the box; the thing clicked, and whether the pointer is over it.
    fn list<'t>(
        &self,
        ui: &Ui,
        below: egui::Rect,
        found: &[(Rank, &'t FoundThing)],
    ) -> (Option<&'t FoundThing>, bool) {
        let at = pos2(below.right() - WIDTH, below.bottom() + space::XS);
        let area = Area::new(Id::unique("found"))
            .order(Order::Foreground)
            .fixed_pos(at)
            .constrain(true);
        let mut clicked = None;
        let shown = area.show(ui.ctx(), |ui| {
            let frame = Frame::new()
                .fill(theme::color(ui, Token::Sheet))
                .stroke(theme::stroke(ui, 1.0, Token::Edge))
                .corner_radius(theme::CORNER)
                .shadow(ui.visuals().popup_shadow);
            frame.show(ui, |ui| {
                ui.set_width(WIDTH);
                ui.spacing_mut().item_spacing.y = 0.0;
                for (index, (_, thing)) in found.iter().take(SHOWN_MAX).enumerate() {
                    if row(ui, thing, self.row == Some(index)) {
                        clicked = Some(*thing);
                    }
                }
                let words = match found.len() {
                    0 => format!("Nothing in the register is called {:?}.", self.text.trim()),
                    n if n > SHOWN_MAX => format!("and {} more: type on", n - SHOWN_MAX),
                    _ => return,
                };
                Frame::new()
                    .inner_margin(egui::Margin::symmetric(12, 12))
                    .show(ui, |ui| text::note(ui, &words));
            });
        });
        (clicked, shown.response.contains_pointer())
    }
}

fn row(ui: &mut Ui, thing: &FoundThing, is_chosen: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let about = about(thing);
    let name = format!("{}, {about}", thing.code);
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, is_chosen, &name));
    if is_chosen || response.hovered() {
        ui.painter()
            .rect_filled(rect, 0.0, theme::color(ui, Token::Sel));
    }
    let baseline = |face: Face| text::baseline(rect.center().y, face.size);
    let left = pos2(rect.left() + space::M, baseline(Face::STRONG));
    let code = text::silent(ui, left, Align::Left, Face::STRONG, &thing.code);
    let at = pos2(
        (code.right() + space::M).max(rect.left() + 112.0),
        baseline(Face::NOTE),
    );
    ui.scope(|ui| {
        ui.set_clip_rect(rect.shrink2(vec2(space::M, 0.0)).intersect(ui.clip_rect()));
        text::silent(ui, at, Align::Left, Face::NOTE, &about);
    });
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

fn about(thing: &FoundThing) -> String {
    let entity = thing.entity.replace('_', " ");
    if thing.detail.is_empty() {
        entity
    } else {
        format!("{entity}, {}", thing.detail)
    }
}

/// How well a name fits, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Exact,
    Begins,
    Holds,
}

/// Things whose code fits, best first. Dashes, spaces and case do not count: a scan has its own.
fn found<'t>(things: &'t [FoundThing], text: &str) -> Vec<(Rank, &'t FoundThing)> {
    let wanted = plain(text);
    if wanted.is_empty() {
        return Vec::new();
    }
    let rank = |thing: &FoundThing| {
        let code = plain(&thing.code);
        if code == wanted {
            Some(Rank::Exact)
        } else if code.starts_with(&wanted) {
            Some(Rank::Begins)
        } else {
            code.contains(&wanted).then_some(Rank::Holds)
        }
    };
    let opens = |thing: &FoundThing| Route::of_thing(&thing.entity, thing.no).is_some();
    let mut found: Vec<_> = things
        .iter()
        .filter(|t| opens(t))
        .filter_map(|thing| Some((rank(thing)?, thing)))
        .collect();
    found.sort_by(|(a, left), (b, right)| a.cmp(b).then_with(|| left.code.cmp(&right.code)));
    found
}

fn plain(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use store::ThingNo;

    use super::*;

    fn thing(no: i64, entity: &str, code: &str) -> FoundThing {
        FoundThing {
            no: ThingNo(no),
            entity: entity.into(),
            code: code.into(),
            detail: String::new(),
        }
    }

    #[test]
    fn the_best_fit_comes_first_and_dashes_do_not_count() {
        let things = [
            thing(1, "bearing", "TH-4T-0311"),
            thing(2, "bearing", "TH-4T-031"),
            thing(3, "chock", "X-TH-4T-031"),
            thing(4, "line", "TH-4T-031"),
        ];
        let codes: Vec<_> = found(&things, "th4t031")
            .iter()
            .map(|(_, t)| t.no.0)
            .collect();
        assert_eq!(codes, [2, 1, 3], "a line has no page");
        assert!(found(&things, " - ").is_empty());
    }

    #[test]
    fn enter_opens_only_what_is_meant_for_certain() {
        let things = [
            thing(1, "bearing", "A-1"),
            thing(2, "chock", "A-1"),
            thing(3, "roll", "A-12"),
            thing(4, "gauge", "B"),
        ];
        let meant = |text: &str, row| {
            Find {
                text: text.into(),
                row,
                is_open: true,
            }
            .meant(&found(&things, text))
            .map(|t| t.no.0)
        };
        assert_eq!(meant("a", None), None);
        assert_eq!(meant("a-1", None), None, "two things have this name");
        assert_eq!(meant("a-1", Some(1)), Some(2));
        assert_eq!(meant("a12", None), Some(3));
        assert_eq!(meant("b", None), Some(4));
    }
}
