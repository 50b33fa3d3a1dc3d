//! The versions of a bearing type: from when each holds, why, by whom, and what it changed.

use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::entry::Show;
use store::payload::TYPE_VALUES;
use store::query::{TypeVersion, ValueChange};

use super::type_values::{label_of, unit};
use crate::ui::text::{self, Face};
use crate::ui::widgets;

/// All versions, the newest first.
pub fn versions_ui(ui: &mut Ui, versions: &[TypeVersion], show: Show) {
    if versions.is_empty() {
        return;
    }
    let count = versions.len();
    widgets::heading(ui, "Versions", "each sheet keeps the limits of its day");
    widgets::rule(ui);
    for (index, version) in versions.iter().enumerate() {
        ui.add_space(space::S);
        let number = format!("{}", count - index);
        let from = version.from.date();
        text::line(
            ui,
            &[
                (
                    Face::STRONG,
                    &format!("Version {number}, valid from {from}"),
                ),
                (Face::NOTE, &format!("   {}", version.signer)),
            ],
        );
        if version.entered.date() != from {
            text::note(ui, &format!("entered {}", version.entered.date()));
        }
        if !version.reason.is_empty() {
            text::body(ui, &version.reason);
        }
        for words in version
            .other_changes
            .iter()
            .cloned()
            .chain(version.changes.iter().map(|c| change_words(c, show)))
        {
            text::say(ui, Face::NOTE.token(Token::Ink), &words);
        }
        if index + 1 == count {
            text::note(ui, &format!("{} values", version.values.len()));
        } else if version.changes.is_empty() && version.other_changes.is_empty() {
            text::note(ui, "No value was changed.");
        }
    }
    ui.add_space(space::M);
}

/// `watch level, rows 1–2: 0.450 to 0.430 mm`.
pub fn change_words(change: &ValueChange, show: Show) -> String {
    let Some(meaning) = TYPE_VALUES.iter().find(|m| m.name == change.name) else {
        return format!("{}: changed", change.name);
    };
    let unit = unit(meaning);
    let said = |value: Option<i64>| value.map_or_else(|| "none".into(), |v| unit.show(v, show));
    format!(
        "{}: {} to {} {}",
        label_of(meaning, change.item, show.rows),
        said(change.before),
        said(change.after),
        unit.sign(show)
    )
    .trim_end()
    .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_told_with_both_values_and_its_unit() {
        let change = |name: &str, item, before, after| ValueChange {
            name: name.into(),
            item,
            before,
            after,
        };
        let show = Show::default();
        assert_eq!(
            change_words(&change("watch_nm", 1, Some(450_000), Some(430_000)), show),
            "watch level, rows 1\u{2013}2: 0.450 to 0.430 mm"
        );
        assert_eq!(
            change_words(&change("rows_count", 0, None, Some(4)), show),
            "rows: none to 4"
        );
    }
}
