//! Day and night as egui styles, made from the tokens of [`draw::tokens`], and the two typefaces.
//!
//! The only place where a colour is made. A [`Ui`] knows its theme by its visuals, so that a part
//! of a window can be shown in the other theme.

#![allow(clippy::disallowed_methods)] // colours are made from tokens here, and nowhere else

use draw::font::{REGULAR, SEMIBOLD};
use draw::tokens::{self, size, space};
use draw::{Theme, Token, Weight};
use egui::style::WidgetVisuals;
use egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Shadow,
    Stroke, Style, TextStyle, Ui, Visuals, vec2,
};

/// Family name of the semibold typeface; the regular one is egui's proportional family.
const SEMIBOLD_FAMILY: &str = "semibold";

/// Sets fonts and both styles, and takes egui's own shortcuts for quitting and zooming away: a slip
/// on the keyboard must not close a sheet or change its size. Called once, before the first frame.
pub fn install(ctx: &Context) {
    ctx.set_fonts(fonts());
    for theme in [Theme::Day, Theme::Night] {
        ctx.set_style_of(of_egui(theme), style(theme));
    }
    ctx.options_mut(|options| {
        options.quit_shortcuts.clear();
        options.zoom_with_keyboard = false;
    });
}

/// Shows the whole window in a theme.
pub fn set(ctx: &Context, theme: Theme) {
    ctx.set_theme(of_egui(theme));
}

/// Shows one [`Ui`] and what is in it in a theme.
pub fn use_in(ui: &mut Ui, theme: Theme) {
    ui.set_style(style(theme));
}

/// The theme a [`Ui`] is shown in.
pub fn of(ui: &Ui) -> Theme {
    if ui.visuals().dark_mode {
        Theme::Night
    } else {
        Theme::Day
    }
}

/// The colour of a token in the theme of the [`Ui`].
pub fn color(ui: &Ui, token: Token) -> Color32 {
    color_in(of(ui), token)
}

/// A full line in the theme of the [`Ui`].
pub fn stroke(ui: &Ui, width: f32, token: Token) -> Stroke {
    Stroke::new(width, color(ui, token))
}

/// The flat shade beneath what floats.
pub fn shade(ui: &Ui) -> Color32 {
    Color32::from_black_alpha(if of(ui) == Theme::Day { 44 } else { 120 })
}

/// What dims the page behind a dialog.
pub fn backdrop() -> Color32 {
    Color32::from_black_alpha(90)
}

/// One of the two typefaces in a size.
pub fn font(size: f32, weight: Weight) -> FontId {
    match weight {
        Weight::Regular => FontId::proportional(size),
        Weight::Semibold => FontId::new(size, FontFamily::Name(SEMIBOLD_FAMILY.into())),
    }
}

/// Corners of fields, buttons and boxes.
pub const CORNER: CornerRadius = CornerRadius::same(space::CORNER as u8);

fn of_egui(theme: Theme) -> egui::Theme {
    match theme {
        Theme::Day => egui::Theme::Light,
        Theme::Night => egui::Theme::Dark,
    }
}

fn color_in(theme: Theme, token: Token) -> Color32 {
    let [r, g, b] = tokens::rgb(token, theme);
    Color32::from_rgb(r, g, b)
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::empty();
    for (name, file) in [("regular", REGULAR), (SEMIBOLD_FAMILY, SEMIBOLD)] {
        fonts
            .font_data
            .insert(name.to_owned(), FontData::from_static(file).into());
    }
    let families = [
        (FontFamily::Proportional, "regular"),
        (FontFamily::Monospace, "regular"), // digits have one width in it, and no other face is used
        (FontFamily::Name(SEMIBOLD_FAMILY.into()), SEMIBOLD_FAMILY),
    ];
    for (family, name) in families {
        fonts.families.insert(family, vec![name.to_owned()]);
    }
    fonts
}

fn style(theme: Theme) -> Style {
    let mut style = Style {
        visuals: visuals(theme),
        ..Style::default()
    };
    style.text_styles = [
        (TextStyle::Small, font(size::NOTE, Weight::Regular)),
        (TextStyle::Body, font(size::BODY, Weight::Regular)),
        (TextStyle::Monospace, font(size::BODY, Weight::Regular)),
        (TextStyle::Button, font(size::BODY, Weight::Semibold)),
        (TextStyle::Heading, font(size::TITLE, Weight::Semibold)),
    ]
    .into();
    style.spacing.item_spacing = vec2(space::S, space::S);
    style.spacing.button_padding = vec2(space::L, space::S);
    style.spacing.menu_margin = Margin::same(space::S as i8);
    style.spacing.tooltip_width = 360.0;
    style.spacing.scroll = egui::style::ScrollStyle::floating();
    style.interaction.selectable_labels = false; // a drag across a sheet must not pick up words
    style.interaction.tooltip_delay = 0.3;
    style.animation_time = 0.0;
    style.scroll_animation = egui::style::ScrollAnimation::none();
    style
}

fn visuals(theme: Theme) -> Visuals {
    let c = |token| color_in(theme, token);
    let mut v = match theme {
        Theme::Day => Visuals::light(),
        Theme::Night => Visuals::dark(),
    };
    let state = |fill: Token, edge: Token, edge_width: f32, text: Token| WidgetVisuals {
        bg_fill: c(fill),
        weak_bg_fill: c(fill),
        bg_stroke: Stroke::new(edge_width, c(edge)),
        corner_radius: CORNER,
        fg_stroke: Stroke::new(1.0, c(text)),
        expansion: 0.0,
    };
    v.widgets.noninteractive = state(Token::Sheet, Token::Rule, 1.0, Token::Ink);
    v.widgets.inactive = state(Token::Sheet, Token::Edge, 1.0, Token::Ink);
    v.widgets.hovered = state(Token::Ground, Token::Edge, 1.0, Token::Ink);
    v.widgets.active = state(Token::Sel, Token::Accent, 2.0, Token::Ink);
    v.widgets.open = state(Token::Sel, Token::Accent, 1.0, Token::Ink);
    v.selection.bg_fill = c(Token::Sel);
    // The colour of chosen words, also in a field on the tint of a doubt.
    v.selection.stroke = Stroke::new(2.0, c(Token::Ink));
    v.text_cursor.stroke = Stroke::new(2.0, c(Token::Accent));
    v.text_options.subpixel_binning = true; // even spacing; stems stay sharp by hinting
    v.override_text_color = None;
    v.weak_text_color = Some(c(Token::Muted));
    v.hyperlink_color = c(Token::Accent);
    v.faint_bg_color = c(Token::Ground);
    v.extreme_bg_color = c(Token::Sheet);
    v.text_edit_bg_color = Some(c(Token::Sheet));
    v.code_bg_color = c(Token::Ground);
    v.warn_fg_color = c(Token::Doubt);
    v.error_fg_color = c(Token::Fail);
    v.window_fill = c(Token::Sheet);
    v.window_stroke = Stroke::new(1.0, c(Token::Edge));
    v.panel_fill = c(Token::Sheet);
    v.window_corner_radius = CORNER;
    v.menu_corner_radius = CORNER;
    let flat = Shadow {
        offset: [3, 6],
        blur: 0,
        spread: 0,
        color: Color32::from_black_alpha(44),
    };
    v.window_shadow = flat;
    v.popup_shadow = flat;
    v.button_frame = true;
    v.indent_has_left_vline = false;
    v.disabled_alpha = 1.0; // disabled controls are drawn as such, not faded below readable contrast
    v
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn egui_is_kept_from_quitting_and_zooming_by_key() {
        let ctx = Context::default();
        install(&ctx);
        ctx.options(|options| {
            assert!(options.quit_shortcuts.is_empty());
            assert!(!options.zoom_with_keyboard);
        });
    }

    #[test]
    fn a_part_of_a_window_can_have_the_other_theme() {
        let ctx = Context::default();
        install(&ctx);
        set(&ctx, Theme::Day);
        let mut seen = None;
        let mut run = || {
            let output = ctx.run_ui(egui::RawInput::default(), |ui| {
                let outer = of(ui);
                ui.scope(|ui| {
                    use_in(ui, Theme::Night);
                    seen = Some((outer, of(ui), color(ui, Token::Sheet)));
                });
            });
            output.drop_without_applying_deltas();
        };
        run();
        run();
        assert_eq!(
            seen,
            Some((
                Theme::Day,
                Theme::Night,
                Color32::from_rgb(0x1E, 0x24, 0x26)
            ))
        );
    }
}
