//! Pictures of what was found: chosen, typed by their path or dropped on the window, kept at once.

use std::collections::BTreeMap;
use std::path::PathBuf;

use draw::Token;
use draw::tokens::{height, space};
use egui::{TextureHandle, Ui, vec2};
use store::draft::{DraftField, Source};
use store::payload::KeptFile;
use store::sheet::field;

use super::fields::Sheet;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind, Outcome, Segments, TextField};
use crate::ui::{focus, theme};
use crate::win::choose::{Chooser, Wanted};
use crate::win::command::{Command, Place, Said};
use crate::win::screens::event::pictures::texture;

/// Where the answer to keeping a picture belongs.
const PHOTO: Place = "sheet/photo";
const PATH: &str = "findings/picture";

/// What the sheet remembers of its pictures.
#[derive(Default)]
pub struct Pictures {
    /// Which finding the next one shows; 0 for the whole.
    finding: usize,
    path: String,
    /// The finding of the picture that is being kept.
    waiting: Option<i64>,
    /// Dropped together, to be kept one after the other.
    dropped: Vec<PathBuf>,
    chooser: Chooser,
    small: BTreeMap<String, Option<TextureHandle>>,
}

/// The pictures of the sheet, and the way to one more.
pub fn pictures_ui(ui: &mut Ui, sheet: &mut Sheet, findings: &[usize]) {
    take_answer(sheet);
    let kept: Vec<(String, KeptFile)> = sheet
        .view
        .entries
        .fields()
        .iter()
        .filter(|(path, _)| field::photo_of(path).is_some())
        .filter_map(|(path, f)| Some((path.clone(), serde_json::from_str(&f.text).ok()?)))
        .collect();
    let about = match kept.len() {
        0 => "none yet; drop files on the window, choose one, or type its path".to_owned(),
        1 => "1 picture, kept with the sheet".to_owned(),
        n => format!("{n} pictures, kept with the sheet"),
    };
    widgets::heading(ui, "Pictures", &about);
    for (path, file) in &kept {
        line(ui, sheet, path, file);
    }
    if !kept.is_empty() {
        ui.add_space(space::S);
    }
    if sheet.model.is_locked {
        return;
    }
    let files: Vec<PathBuf> = ui.input(|i| {
        let dropped = i.raw.dropped_files.iter();
        dropped.map(|file| file.path().to_path_buf()).collect()
    });
    let pictures = &mut sheet.view.pictures;
    pictures.dropped.extend(files);
    pictures.dropped.extend(pictures.chooser.take());
    if !findings.contains(&pictures.finding) {
        pictures.finding = 0;
    }
    if !findings.is_empty() {
        let mut names = vec!["the whole".to_owned()];
        names.extend(findings.iter().map(|n| format!("finding {n}")));
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let at = findings.iter().position(|n| *n == pictures.finding);
        let mut chosen = Some(at.map_or(0, |at| at + 1));
        if Segments::new("The next picture shows", &names)
            .width(104.0)
            .show(ui, &mut chosen)
        {
            let at = chosen.and_then(|c| c.checked_sub(1));
            pictures.finding = at.and_then(|at| findings.get(at)).copied().unwrap_or(0);
        }
        ui.add_space(space::S);
    }
    let is_waiting = pictures.waiting.is_some();
    let mut wanted = None;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let width = (ui.available_width() - 300.0).clamp(160.0, 420.0);
        let typed = TextField::new(PATH, "File of a picture")
            .hint("path of a picture")
            .width(width)
            .show(ui, &mut pictures.path);
        let is_entered = matches!(typed, Outcome::Commit(focus::Step::Forward));
        let is_ready = !pictures.path.trim().is_empty() && !is_waiting;
        let add = Button::new(Kind::Second, "Add picture").enabled(is_ready);
        if (add.show(ui).clicked() || is_entered) && is_ready {
            let path = pictures.path.trim().trim_matches(['"', '\'']);
            wanted = Some(PathBuf::from(path));
            pictures.path.clear();
        }
        let choose = Button::new(Kind::Quiet, "Choose a file")
            .enabled(sheet.model.wake.is_some() && !pictures.chooser.is_open());
        if choose.show(ui).clicked()
            && let Some(wake) = sheet.model.wake
        {
            pictures.chooser.open("Which picture?", Wanted::File, wake);
        }
    });
    if wanted.is_none() && !is_waiting && !pictures.dropped.is_empty() {
        wanted = Some(pictures.dropped.remove(0));
    }
    if let Some(path) = wanted {
        pictures.waiting = Some(pictures.finding as i64);
        sheet
            .commands
            .push(Command::KeepPhoto { place: PHOTO, path });
    }
    if let Some(why) = sheet.model.answers.refusal(PHOTO) {
        ui.add_space(space::S);
        widgets::error_box(ui, "Not kept", why);
    }
    ui.add_space(space::M);
}

/// Puts a picture that is kept now into the next free field of its finding.
fn take_answer(sheet: &mut Sheet) {
    let Some(finding) = sheet.view.pictures.waiting else {
        return;
    };
    match sheet.model.answers.get(PHOTO) {
        Some(Said::Done(text)) => {
            let free = (1..=field::PHOTOS_MAX)
                .map(|item| field::photo(finding, item))
                .find(|path| sheet.view.entries.committed(path).is_empty());
            if let Some(path) = free {
                let kept = DraftField {
                    text: text.clone(),
                    source: Source::Imported,
                };
                sheet.view.entries.put(vec![(path, Some(kept))]);
            }
            sheet.view.pictures.waiting = None;
        }
        Some(Said::Refused(_)) => sheet.view.pictures.waiting = None,
        _ => {}
    }
}

fn line(ui: &mut Ui, sheet: &mut Sheet, path: &str, file: &KeptFile) {
    let mut is_taken_away = false;
    ui.horizontal(|ui| {
        ui.set_row_height(64.0);
        ui.spacing_mut().item_spacing.x = space::M;
        let (rect, _) = ui.allocate_exact_size(vec2(88.0, 60.0), egui::Sense::hover());
        ui.painter()
            .rect_filled(rect, 0.0, theme::color(ui, Token::Ground));
        let thumbnail = sheet
            .model
            .photos
            .iter()
            .find(|(hash, _)| *hash == file.hash);
        if let Some((hash, bytes)) = thumbnail {
            let small = sheet.view.pictures.small.entry(hash.clone());
            if let Some(texture) = small.or_insert_with(|| texture(ui, hash, bytes)) {
                let size = texture.size_vec2();
                let scale = (rect.width() / size.x).min(rect.height() / size.y);
                let at = egui::Rect::from_center_size(rect.center(), size * scale);
                egui::Image::new(&*texture)
                    .fit_to_exact_size(at.size())
                    .paint_at(ui, at);
            }
        }
        let of = match field::photo_of(path) {
            Some(0) | None => "the whole".to_owned(),
            Some(number) => format!("finding {number}"),
        };
        text::say(ui, Face::BODY, &file.name);
        text::say(
            ui,
            Face::NOTE,
            &format!("{of}, {} kB", (file.bytes + 999) / 1000),
        );
        if !sheet.model.is_locked {
            ui.set_row_height(height::TOUCH);
            let name = format!("Take the picture {} away", file.name);
            let button = Button::new(Kind::Quiet, "Take away").name(&name);
            is_taken_away = button.show(ui).clicked();
        }
    });
    if is_taken_away {
        sheet.view.entries.put(vec![(path.to_owned(), None)]);
        ui.ctx().request_repaint();
    }
}
