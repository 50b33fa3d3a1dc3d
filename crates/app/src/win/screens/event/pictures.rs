//! Pictures and papers of a thing or an event: small pictures in a row, and the way to have a file of one.

use std::collections::BTreeMap;

use draw::Token;
use draw::tokens::space;
use egui::{ColorImage, TextureHandle, TextureOptions, Ui, vec2};
use store::query::Document;

use crate::print;
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{Button, Kind};
use crate::win::command::Command;
use crate::win::screens::Cx;
use crate::win::screens::bearings::save::{Saving, save_ui};
use crate::win::work::Work;

/// Longest side of a small picture on the page, px.
const SIDE: f32 = 120.0;

/// What the page remembers of its pictures: the textures, and the file that is asked for.
#[derive(Default)]
pub struct Pictures {
    small: BTreeMap<String, Option<TextureHandle>>,
    saving: Option<(Saving, String)>,
}

impl std::fmt::Debug for Pictures {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Pictures").finish_non_exhaustive()
    }
}

/// The documents, each with its picture where it has one.
pub fn pictures_ui(
    ui: &mut Ui,
    cx: &Cx,
    documents: &[Document],
    view: &mut Pictures,
    commands: &mut Vec<Command>,
) {
    ui.add_space(space::S);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(space::L, space::M);
        for document in documents {
            ui.allocate_ui(vec2(220.0, SIDE + 128.0), |ui| {
                ui.vertical(|ui| card(ui, cx, document, view));
            });
        }
    });
    ui.add_space(space::M);
    let Some((saving, hash)) = view.saving.take() else {
        return;
    };
    let mut asked = Some(saving);
    if let Some(path) = save_ui(ui.ctx(), &mut asked) {
        let title = "Writing the file".to_owned();
        commands.push(Command::Run(Work::new(title, "", move |given| {
            let content = store::attachment::content(&given.conn, &hash)
                .map_err(|e| e.to_string())?
                .ok_or("its content is not in this file: it lies beside the backup, in the folder objects")?;
            print::write_whole(&path, &content).map_err(|e| e.to_string())?;
            Ok(Some(format!("Written to {}.", path.display())))
        })));
    } else {
        view.saving = asked.map(|saving| (saving, hash));
    }
}

fn card(ui: &mut Ui, cx: &Cx, document: &Document, view: &mut Pictures) {
    ui.set_width(220.0);
    let (rect, response) = ui.allocate_exact_size(vec2(220.0, SIDE), egui::Sense::hover());
    ui.painter()
        .rect_filled(rect, 0.0, theme::color(ui, Token::Ground));
    let texture = view
        .small
        .entry(document.hash.clone())
        .or_insert_with(|| texture(ui, &document.hash, document.thumbnail.as_ref()?));
    if let Some(texture) = texture {
        let size = texture.size_vec2();
        let scale = (rect.width() / size.x).min(rect.height() / size.y).min(1.0);
        let image = egui::Image::new(&*texture).fit_to_exact_size(size * scale);
        let at = egui::Rect::from_center_size(rect.center(), size * scale);
        image.paint_at(ui, at);
    } else {
        let word = match document.media.as_str() {
            "application/pdf" => "PDF",
            "text/plain" => "text",
            _ => "no picture here",
        };
        let at = egui::pos2(
            rect.center().x,
            text::baseline(rect.center().y, Face::SECTION.size),
        );
        text::silent(ui, at, draw::Align::Centre, Face::SECTION.muted(), word);
    }
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, alt(document)));
    ui.add_space(space::XS);
    let name = if document.name.is_empty() {
        &document.what
    } else {
        &document.name
    };
    text::say(ui, Face::BODY, name);
    let about = match document.finding {
        0 => document.note.clone(),
        number => format!("finding {number}"),
    };
    text::note(
        ui,
        format!(
            "{}, {}, {} kB",
            document.what,
            document.at.date(),
            (document.bytes + 999) / 1000
        )
        .as_str(),
    );
    if !about.is_empty() {
        text::note(ui, &about);
    }
    let named = format!("Save a copy of {}", document.name);
    let button = Button::new(Kind::Quiet, "Save a copy")
        .name(&named)
        .enabled(document.is_here);
    if button.show(ui).clicked() {
        let (stem, ending) = document
            .name
            .rsplit_once('.')
            .unwrap_or((document.name.as_str(), "bin"));
        let ending = if document.media == "image/jpeg" {
            "jpg"
        } else {
            ending
        };
        let saving = Saving::beside(ui.ctx(), cx.path, stem, ending, "Save a copy", "Save");
        view.saving = Some((saving, document.hash.clone()));
    }
}

fn alt(document: &Document) -> String {
    let about = if document.note.is_empty() {
        &document.name
    } else {
        &document.note
    };
    format!("{}: {about}", document.what)
}

/// A small picture as the graphics card wants it; a few thousand px, read once.
pub fn texture(ui: &Ui, hash: &str, bytes: &[u8]) -> Option<TextureHandle> {
    let picture = image::load_from_memory(bytes).ok()?.into_rgba8();
    let size = [picture.width() as usize, picture.height() as usize];
    let image = ColorImage::from_rgba_unmultiplied(size, picture.as_raw());
    Some(ui.ctx().load_texture(hash, image, TextureOptions::LINEAR))
}
