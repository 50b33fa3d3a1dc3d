//! The pages of a document as they will be printed, one below the other.

use std::collections::BTreeMap;

use draw::tokens::space;
use draw::{Align, Token};
use egui::{
    Color32, ColorImage, Rect, Role, ScrollArea, Sense, TextureHandle, TextureOptions, Ui,
    WidgetInfo, pos2, vec2,
};
use report::Picture;

use super::acts::Made;
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{Button, Kind};
use crate::win::work::Job;
use crate::win::worker::Wake;

/// A page is not shown wider than this, px.
const WIDEST: f32 = 900.0;
const MARGIN: f32 = 24.0;
const HEAD: f32 = 60.0;
/// Pictures of so many pages before and after those in view are kept; the others are drawn anew when they are needed.
const KEPT: usize = 4;

/// A document that is looked at.
pub(super) struct Pages {
    pub(super) made: Made,
    /// Pictures by page, each with the width that it was drawn for.
    drawn: BTreeMap<usize, (u16, TextureHandle)>,
    /// The page that is being drawn.
    job: Option<(usize, u16, Job<Option<Picture>>)>,
    /// Pictures that have come and are no textures yet.
    fresh: Vec<(usize, u16, Picture)>,
    /// The first page that is in view and not drawn, and its width.
    wanted: Option<(usize, u16)>,
    /// The pages that were in view last.
    seen: (usize, usize),
    /// The page that is to come into view.
    jump: Option<usize>,
}

impl std::fmt::Debug for Pages {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Pages")
            .field("seen", &self.seen)
            .finish_non_exhaustive()
    }
}

impl Pages {
    pub(super) fn new(made: Made) -> Self {
        Self {
            made,
            drawn: BTreeMap::new(),
            job: None,
            fresh: Vec::new(),
            wanted: None,
            seen: (0, 0),
            jump: Some(0),
        }
    }

    /// Takes a page that was drawn, and draws the next one that is in view; never waits.
    pub(super) fn draw_next(&mut self, wake: &Wake) {
        if let Some((index, width, job)) = self.job.take() {
            match job.ended() {
                None => {
                    self.job = Some((index, width, job));
                    return;
                }
                Some(Ok(Some(picture))) => self.fresh.push((index, width, picture)),
                // A page that cannot be drawn stays white; saving and printing do not need it.
                Some(Ok(None) | Err(_)) => {}
            }
        }
        if let Some((index, width)) = self.wanted.take() {
            let preview = self.made.preview.clone();
            let draw = move |_: &_| preview.page(index, width);
            // Where the system has no thread to give, the page stays white.
            self.job = Job::start("chockbook-page", wake, draw)
                .ok()
                .map(|job| (index, width, job));
        }
    }

    fn count(&self) -> usize {
        self.made.preview.sizes().len()
    }

    /// Shows the pages in the room that there is; `note` stands above them.
    pub(super) fn show(&mut self, ui: &mut Ui, note: &str) {
        for (index, width, picture) in self.fresh.drain(..) {
            let size = [picture.width, picture.height];
            let image = ColorImage::from_rgba_premultiplied(size, &picture.rgba);
            let name = format!("page {index}");
            let texture = ui.ctx().load_texture(name, image, TextureOptions::LINEAR);
            self.drawn.insert(index, (width, texture));
        }
        self.head(ui, note);
        ui.spacing_mut().item_spacing.y = MARGIN;
        let scroll = ScrollArea::vertical().id_salt("pages").auto_shrink(false);
        scroll.show(ui, |ui| self.sheets(ui));
        let (first, last) = self.seen;
        let kept = first.saturating_sub(KEPT)..=last + KEPT;
        self.drawn.retain(|index, _| kept.contains(index));
    }

    fn head(&mut self, ui: &mut Ui, note: &str) {
        let rect = text::strip(ui, HEAD);
        let (at, count) = (self.seen.0, self.count());
        let mut left = rect.left() + MARGIN;
        for (words, is_there, to) in [
            ("Previous page", at > 0, at.saturating_sub(1)),
            ("Next page", at + 1 < count, at + 1),
        ] {
            let width = (text::width(ui, Face::STRONG, words) + 2.0 * space::L).ceil();
            let place = Rect::from_min_size(pos2(left, rect.top() + 8.0), vec2(width, 44.0));
            let button = Button::new(Kind::Second, words).enabled(is_there);
            if button.place(ui, place).clicked() {
                self.jump = Some(to);
            }
            left = place.right() + space::S;
        }
        let words = format!("page {} of {count}", at + 1);
        let baseline = rect.top() + 36.0;
        let end = text::at(
            ui,
            pos2(left + space::S, baseline),
            Align::Left,
            Face::STRONG,
            &words,
        );
        let left = end.right() + space::L;
        text::at_most(
            ui,
            pos2(left, baseline),
            rect.right() - left - space::S,
            Face::NOTE,
            note,
        );
    }

    fn sheets(&mut self, ui: &mut Ui) {
        let room = ui.available_width();
        let width = (room - 2.0 * MARGIN).clamp(200.0, WIDEST);
        let px = (width * ui.pixels_per_point()).round() as u16;
        let view = ui.clip_rect();
        let (mut first, mut last) = (None, 0);
        let count = self.count();
        let sizes = self.made.preview.sizes().to_vec();
        for (index, (page_width, page_height)) in sizes.into_iter().enumerate() {
            let height = width * page_height / page_width.max(1.0);
            let (place, response) =
                ui.allocate_exact_size(vec2(room, height.round()), Sense::hover());
            let left = place.left() + ((room - width) / 2.0).round();
            let sheet = Rect::from_min_size(pos2(left, place.top()), vec2(width, place.height()));
            response.widget_info(|| {
                WidgetInfo::labeled(Role::Image, true, format!("Page {} of {count}", index + 1))
            });
            if self.jump == Some(index) {
                ui.scroll_to_rect(place, Some(egui::Align::TOP));
                self.jump = None;
            }
            if !view.intersects(sheet) {
                continue;
            }
            // A page whose lower edge only is left in view is not the one that is looked at.
            if first.is_none() && sheet.bottom() > view.top() + view.height() / 3.0 {
                first = Some(index);
            }
            last = index;
            self.sheet(ui, index, sheet, px);
        }
        self.seen = (first.unwrap_or(last), last);
    }

    fn sheet(&mut self, ui: &mut Ui, index: usize, sheet: Rect, px: u16) {
        // Paper is white by day and by night.
        ui.painter().rect_filled(sheet, 0.0, Color32::WHITE);
        let edge = theme::stroke(ui, 1.0, Token::Rule);
        ui.painter()
            .rect_stroke(sheet, 0.0, edge, egui::StrokeKind::Outside);
        let mut is_sharp = false;
        if let Some((width, texture)) = self.drawn.get(&index) {
            let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            ui.painter()
                .image(texture.id(), sheet, whole, Color32::WHITE);
            is_sharp = *width == px;
        } else {
            let at = sheet.center_top() + vec2(0.0, 48.0);
            // Paper is white by night too, so the words are those of the day.
            let mut day = ui.new_child(egui::UiBuilder::new().max_rect(sheet));
            theme::use_in(&mut day, draw::Theme::Day);
            let words = "being drawn \u{2026}";
            text::silent(&day, at, Align::Centre, Face::BODY.muted(), words);
        }
        let is_under_way = self
            .job
            .as_ref()
            .is_some_and(|(at, width, _)| (*at, *width) == (index, px));
        if !is_sharp && !is_under_way && self.wanted.is_none() {
            self.wanted = Some((index, px));
            // The next look at the work begins it.
            ui.ctx().request_repaint();
        }
    }
}
