//! What belongs to this file: how numbers are shown, the theme, where it is. Each choice acts at once.

use draw::tokens::space;
use draw::{Theme, Token};
use egui::Ui;
use store::entry::{Currency, LengthUnit};
use store::rows::RowOrder;

use super::model::Model;
use super::page::Page;
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Outcome, Segments, TextField};
use crate::win::command::Command;
use crate::win::screens::Cx;
use crate::win::snapshot::Setting;

/// Path of the first choice.
pub const FIRST: &str = "setup.Lengths";

/// The page of the file.
pub(super) fn logbook_ui(ui: &mut Ui, cx: &Cx, model: &Model, commands: &mut Vec<Command>) {
    frames::page_body(ui, |ui| {
        ui.set_max_width(720.0);
        widgets::page_title(ui, Page::Logbook.name(), Page::Logbook.about());
        ui.add_space(space::S);
        let settings = cx.settings;
        let unit = (settings.show.unit == LengthUnit::Inch).into();
        choice(
            ui,
            "Lengths",
            &["mm", "inch"],
            unit,
            "Stored as whole nanometres; only what is shown and typed changes.",
            |i| {
                commands.push(Command::Set(Setting::Unit(
                    [LengthUnit::Millimetre, LengthUnit::Inch][i],
                )));
            },
        );
        let comma = settings.show.comma.into();
        choice(
            ui,
            "Decimal mark",
            &["point", "comma"],
            comma,
            "Both are understood when typed.",
            |i| {
                commands.push(Command::Set(Setting::Comma(i == 1)));
            },
        );
        let about = "How the plant reads angles on rings. A new sheet begins with it, and it can be changed there; kept and \
             drawn is always the view from outboard, and each drawing says so.";
        let viewing = settings.is_inboard.into();
        choice(
            ui,
            "Angles are read from",
            &["outboard", "inboard"],
            viewing,
            about,
            |i| {
                commands.push(Command::Set(Setting::Inboard(i == 1)));
            },
        );
        let about = "The row at the barrel or the row at the outboard end is row 1, its pair rows 1\u{2013}2, the spacer in it S1. Only \
             names change: the record, pasted tables, exports and the command line count from the barrel, and so do \
             drawings and tables from their first line on.";
        let rows = (settings.show.rows == RowOrder::FromOutboard).into();
        choice(
            ui,
            "Rows are counted from",
            &["barrel", "outboard"],
            rows,
            about,
            |i| {
                commands.push(Command::Set(Setting::Rows(
                    [RowOrder::FromBarrel, RowOrder::FromOutboard][i],
                )));
            },
        );
        currency_ui(ui, cx, commands);
        let theme = (settings.theme == Theme::Night).into();
        choice(ui, "Theme", &["day", "night"], theme, "", |i| {
            commands.push(Command::Set(Setting::Theme([Theme::Day, Theme::Night][i])));
        });
        ui.add_space(space::M);
        widgets::heading(ui, "The file", "");
        widgets::rule(ui);
        widgets::key_value(ui, "plant", &cx.snapshot.plant, "");
        widgets::key_value(ui, "file", &cx.path.display().to_string(), "");
        let size = model.size.map_or_else(
            || "not known".into(),
            |bytes| size_words(bytes, settings.show.comma),
        );
        widgets::key_value(ui, "size", &size, "");
        let anchor = model.anchor.as_deref().unwrap_or("nothing is in it yet");
        let about = "Short for everything up to now: write it down elsewhere, and a later check shows whether the record was altered.";
        widgets::key_value(ui, "anchor", anchor, about);
        let (who, why) = match cx.read_only {
            None => ("this program", "Others can open it for reading meanwhile."),
            Some(why) => ("open for reading only", why),
        };
        widgets::key_value(ui, "written by", who, why);
        let person = cx.person.map_or_else(
            || "nobody".into(),
            |p| format!("{}, {}", p.name, p.role.as_str()),
        );
        widgets::key_value(ui, "at work", &person, "");
    });
}

/// What money is counted in: three letters, said at once or not at all.
fn currency_ui(ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
    let id = egui::Id::unique("setup currency");
    let now = cx.settings.show.currency;
    let known = now.map_or_else(String::new, |currency| currency.to_string());
    let typed: Option<String> = ui.data(|data| data.get_temp(id));
    let mut buffer = typed.unwrap_or_else(|| known.clone());
    widgets::caption(ui, "Currency");
    let field = TextField::new("setup.Currency", "Currency")
        .hint("such as EUR")
        .width(112.0)
        .locked(cx.read_only.is_some());
    let outcome = field.show(ui, &mut buffer);
    let read = Currency::read(&buffer);
    let is_right = read.is_some() || buffer.trim().is_empty();
    match outcome {
        Outcome::Commit(_) | Outcome::Left if is_right => {
            ui.data_mut(|data| data.remove::<String>(id));
            if read != now {
                commands.push(Command::Set(Setting::Currency(read)));
            }
        }
        _ if buffer != known => {
            ui.data_mut(|data| data.insert_temp(id, buffer));
        }
        _ => {}
    }
    if is_right {
        text::note(
            ui,
            "The three letters of ISO 4217. Stands behind every amount; amounts are never converted.",
        );
    } else {
        let why = "Three letters are expected, such as EUR or USD; or leave it empty.";
        text::say(ui, Face::NOTE_STRONG.token(Token::Fail), why);
    }
    ui.add_space(space::M);
}

fn choice(
    ui: &mut Ui,
    name: &str,
    words: &[&str],
    now: usize,
    note: &str,
    mut set: impl FnMut(usize),
) {
    widgets::caption(ui, name);
    let mut chosen = Some(now);
    let path = format!("setup.{name}");
    let segments = Segments::new(name, words).path(&path).width(112.0);
    if segments.show(ui, &mut chosen)
        && let Some(index) = chosen
    {
        set(index);
    }
    if !note.is_empty() {
        text::note(ui, note);
    }
    ui.add_space(space::M);
}

/// Whole kB below 10 MB, then MB with one decimal.
pub(crate) fn size_words(bytes: u64, comma: bool) -> String {
    if bytes < 10_000_000 {
        return format!("{} kB", bytes.div_ceil(1000));
    }
    let tenths = (bytes + 50_000) / 100_000;
    let mark = if comma { ',' } else { '.' };
    format!("{}{mark}{} MB", tenths / 10, tenths % 10)
}

#[cfg(test)]
mod tests {
    use super::size_words;

    #[test]
    fn sizes_are_told_in_the_language_of_the_logbook() {
        assert_eq!(size_words(159_744, false), "160 kB");
        assert_eq!(size_words(12_340_000, false), "12.3 MB");
        assert_eq!(size_words(12_340_000, true), "12,3 MB");
    }
}
