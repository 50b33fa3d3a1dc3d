//! What a place cost: how much more its bearings wore there than elsewhere, and what that is worth.

use draw::tokens::space;
use egui::Ui;
use store::query::{ShopWear, lost_at};

use super::growth::rate;
use super::known::Known;
use crate::print::counted;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::screens::Cx;
use crate::win::screens::bearings::forecast;

/// At most so many stays are told, the newest first.
const TOLD_MAX: usize = 6;

/// The stays that wore more than chance explains at a place that stands out, each with what it lost.
pub(super) fn lost(ui: &mut Ui, cx: &Cx, wear: &ShopWear, known: &Known<'_>) {
    // One stay in forty is beyond the usual by chance: only a place that stands out is reckoned up.
    let mut contrasts = wear.review.contrasts.iter();
    if !contrasts.any(|c| c.stand == known.place.code && c.is_alarm()) {
        return;
    }
    let (show, unit) = (cx.show, cx.show.unit.sign());
    let mut lost = lost_at(wear, &known.place.code, known.pair + 1);
    lost.retain(|one| one.stay.bearing_type == known.of_type.bearing_type);
    let Some(first) = lost.first() else { return };
    widgets::heading(ui, "What it cost", &known.rows(show));
    widgets::rule(ui);
    let hours = |h: f64| forecast::hours(h, show);
    for one in lost.iter().take(TOLD_MAX) {
        ui.add_space(space::XS);
        let [low, middle, high] = one.extra_um.map(|um| rate(show, um));
        let stay = format!("{}, {}", one.stay.at.date(), one.stay.serial);
        text::note(ui, &stay);
        text::say(
            ui,
            Face::BODY,
            &format!("{middle} {unit} more ({low} to {high})"),
        );
        let [least, about, most] = one.worth_h().map(hours);
        text::note(ui, &format!("{about} h elsewhere ({least} to {most})"));
        ui.add_space(space::XS);
        widgets::rule(ui);
    }
    let more = lost.len().saturating_sub(TOLD_MAX);
    let rest = if more > 0 {
        format!("{} before these. ", counted(more, "stay"))
    } else {
        String::new()
    };
    let words = format!(
        "{rest}An estimate: what each stay took beyond the usual, and the hours in which that wears off elsewhere. Usual: {} \
         {unit} per 1,000 h, mean of {} at all other places over the whole record. In brackets 95 in 100, by how much those \
         stays differ among themselves; the hours at the usual rate as it was found.",
        rate(show, first.usual),
        counted(first.others, "stay")
    );
    ui.add_space(space::XS);
    text::note(ui, &words);
    ui.add_space(space::L);
}
