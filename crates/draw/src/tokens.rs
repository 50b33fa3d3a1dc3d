//! Colours, spacing and sizes: one table for the window and for print.
//!
//! Contrast figures follow WCAG 2.2 (W3C Recommendation, relative luminance and contrast ratio);
//! the test below holds the table to success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (outlines, 3:1).

/// What a colour means; [`rgb`] says how it looks in a theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Token {
    /// The page behind everything.
    Ground,
    /// The sheet one writes on.
    Sheet,
    /// Thin rules between rows, and gridlines.
    Rule,
    /// Text and measured values.
    Ink,
    /// Notes, labels and units.
    Muted,
    /// Outlines of fields and of drawn parts.
    Edge,
    /// What can be acted on, and focus.
    Accent,
    /// Text on an accent fill.
    OnAccent,
    /// What is chosen.
    Sel,
    /// Pass.
    Pass,
    /// Fail.
    Fail,
    /// In doubt.
    Doubt,
    /// Missing.
    Missing,
    /// Not applicable; never on metal, where its contrast is too small.
    Na,
    /// Row pair 1-2.
    P1,
    /// Row pair 2-3.
    P2,
    /// Row pair 3-4.
    P3,
    /// Fill behind a pass.
    PassTint,
    /// Fill behind a fail.
    FailTint,
    /// Fill behind a doubt.
    DoubtTint,
    /// Fill behind something missing.
    MissingTint,
    /// Fill of what belongs to row pair 1-2.
    P1Tint,
    /// Fill of what belongs to row pair 2-3.
    P2Tint,
    /// Fill of what belongs to row pair 3-4.
    P3Tint,
    /// Ring material in drawings.
    Metal,
    /// The loaded arc of a ring.
    Metal2,
}

impl Token {
    /// Every token, in the order of the table.
    pub const ALL: [Self; 26] = [
        Self::Ground,
        Self::Sheet,
        Self::Rule,
        Self::Ink,
        Self::Muted,
        Self::Edge,
        Self::Accent,
        Self::OnAccent,
        Self::Sel,
        Self::Pass,
        Self::Fail,
        Self::Doubt,
        Self::Missing,
        Self::Na,
        Self::P1,
        Self::P2,
        Self::P3,
        Self::PassTint,
        Self::FailTint,
        Self::DoubtTint,
        Self::MissingTint,
        Self::P1Tint,
        Self::P2Tint,
        Self::P3Tint,
        Self::Metal,
        Self::Metal2,
    ];
}

/// Light for the day, dark for the night shift.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Theme {
    /// Light; print always uses it.
    #[default]
    Day,
    /// Dark.
    Night,
}

/// The sRGB colour of a token in a theme.
pub const fn rgb(token: Token, theme: Theme) -> [u8; 3] {
    let (day, night) = match token {
        Token::Ground => (0x00F4_F2EC, 0x0015_191B),
        Token::Sheet | Token::OnAccent => (0x00FF_FEFB, 0x001E_2426),
        Token::Rule => (0x00D9_D6CC, 0x0034_3C3F),
        Token::Ink => (0x001B_2224, 0x00E9_EBE6),
        Token::Muted => (0x005A_6467, 0x009B_A6A8),
        Token::Edge => (0x007F_8583, 0x0077_817F),
        Token::Accent => (0x001F_5C87, 0x007D_B7DE),
        Token::Sel => (0x00E4_ECF1, 0x0026_3A47),
        Token::Pass => (0x0028_754A, 0x006C_C08B),
        Token::Fail => (0x00B0_2A1E, 0x00F0_8A7C),
        Token::Doubt => (0x008A_5E00, 0x00E0_B04C),
        Token::Missing => (0x0066_607A, 0x00AB_A4C2),
        Token::Na => (0x0067_6F72, 0x008A_9294),
        Token::P1 => (0x001F_4FCC, 0x007E_9DFF),
        Token::P2 => (0x009C_4296, 0x00E3_9ADB),
        Token::P3 => (0x004A_3324, 0x00D6_C2AC),
        Token::PassTint => (0x00E5_EFE7, 0x0020_342A),
        Token::FailTint => (0x00F8_E6E2, 0x003D_2724),
        Token::DoubtTint => (0x00F7_EDD6, 0x003A_311D),
        Token::MissingTint => (0x00EC_EAF0, 0x002D_2B36),
        Token::P1Tint => (0x00E3_E9F8, 0x0023_2C48),
        Token::P2Tint => (0x00F4_E4F2, 0x003D_2A3C),
        Token::P3Tint => (0x00EA_E5E0, 0x0036_312B),
        Token::Metal => (0x00EC_E9E1, 0x002A_3235),
        Token::Metal2 => (0x00E2_DED4, 0x0031_3A3D),
    };
    let value: u32 = match theme {
        Theme::Day => day,
        Theme::Night => night,
    };
    [(value >> 16) as u8, (value >> 8) as u8, value as u8]
}

/// Contrast ratio of two tokens in a theme, 1 to 21.
///
/// `(L1 + 0.05) / (L2 + 0.05)` of the relative luminances. Source: WCAG 2.2, "contrast ratio".
pub fn contrast(one: Token, other: Token, theme: Theme) -> f64 {
    let (a, b) = (luminance(rgb(one, theme)), luminance(rgb(other, theme)));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Relative luminance of an sRGB colour. Source: WCAG 2.2, "relative luminance".
fn luminance(rgb: [u8; 3]) -> f64 {
    let [r, g, b] = rgb.map(|channel| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.04045 {
            share / 12.92
        } else {
            libm::pow((share + 0.055) / 1.055, 2.4)
        }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

/// Distances between things, px.
pub mod space {
    /// Between a mark and its word.
    pub const XS: f32 = 4.0;
    /// Between a label and its field.
    pub const S: f32 = 8.0;
    /// Between neighbours that belong together.
    pub const M: f32 = 12.0;
    /// Padding inside a sheet.
    pub const L: f32 = 16.0;
    /// Padding of a page.
    pub const XL: f32 = 24.0;
    /// Between parts of a page.
    pub const XXL: f32 = 32.0;
    /// Corner radius of fields and buttons.
    pub const CORNER: f32 = 4.0;
}

/// Type sizes, px. There are no others.
pub mod size {
    /// Notes, axes, column heads.
    pub const NOTE: f32 = 13.0;
    /// Body text, fields' neighbours, buttons.
    pub const BODY: f32 = 16.0;
    /// Values in fields and section titles.
    pub const VALUE: f32 = 20.0;
    /// Page title, semibold.
    pub const TITLE: f32 = 22.0;
    /// The one number of a page.
    pub const NUMBER: f32 = 28.0;
}

/// Heights of rows and controls, px.
pub mod height {
    /// Top strip.
    pub const STRIP: f32 = 48.0;
    /// Field, button, rail item: what a gloved hand presses.
    pub const TOUCH: f32 = 44.0;
    /// Item of a section list.
    pub const SECTION: f32 = 56.0;
    /// Row with fields.
    pub const FIELD_ROW: f32 = 64.0;
    /// Row with a button.
    pub const BUTTON_ROW: f32 = 57.0;
    /// Row for reading only.
    pub const READING_ROW: f32 = 30.0;
    /// Row of results.
    pub const RESULT_ROW: f32 = 40.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: [Token; 11] = [
        Token::Ink,
        Token::Muted,
        Token::Accent,
        Token::Pass,
        Token::Fail,
        Token::Doubt,
        Token::Missing,
        Token::Na,
        Token::P1,
        Token::P2,
        Token::P3,
    ];
    const FILLS: [Token; 10] = [
        Token::Sel,
        Token::PassTint,
        Token::FailTint,
        Token::DoubtTint,
        Token::MissingTint,
        Token::P1Tint,
        Token::P2Tint,
        Token::P3Tint,
        Token::Metal,
        Token::Metal2,
    ];

    #[test]
    fn every_text_colour_reaches_the_contrast_of_wcag_2_2_level_aa() {
        for theme in [Theme::Day, Theme::Night] {
            for paper in [Token::Ground, Token::Sheet] {
                for text in TEXT {
                    let ratio = contrast(text, paper, theme);
                    assert!(ratio >= 4.5, "{text:?} on {paper:?}, {theme:?}: {ratio:.2}"); // WCAG 2.2, 1.4.3
                }
                let ratio = contrast(Token::Edge, paper, theme);
                assert!(ratio >= 3.0, "edge on {paper:?}, {theme:?}: {ratio:.2}"); // WCAG 2.2, 1.4.11
            }
            assert!(
                contrast(Token::OnAccent, Token::Accent, theme) >= 4.5,
                "button text, {theme:?}"
            );
        }
    }

    #[test]
    fn ink_and_each_meaning_can_be_read_on_every_fill() {
        for theme in [Theme::Day, Theme::Night] {
            for fill in FILLS {
                for text in [Token::Ink, Token::Accent] {
                    let ratio = contrast(text, fill, theme);
                    assert!(ratio >= 4.5, "{text:?} on {fill:?}, {theme:?}: {ratio:.2}");
                }
            }
            let own = [
                (Token::Pass, Token::PassTint),
                (Token::Fail, Token::FailTint),
                (Token::Doubt, Token::DoubtTint),
                (Token::Missing, Token::MissingTint),
                (Token::P1, Token::P1Tint),
                (Token::P2, Token::P2Tint),
                (Token::P3, Token::P3Tint),
                (Token::Muted, Token::Metal),
                (Token::Missing, Token::Metal),
            ];
            for (text, fill) in own {
                let ratio = contrast(text, fill, theme);
                assert!(ratio >= 4.5, "{text:?} on {fill:?}, {theme:?}: {ratio:.2}");
            }
        }
    }

    #[test]
    fn contrast_spans_1_to_21_as_the_standard_says() {
        // WCAG 2.2, "contrast ratio": ratios range from 1 to 21.
        assert!((luminance([255; 3]) - 1.0).abs() < 1e-9 && luminance([0; 3]) == 0.0);
        assert!((contrast(Token::Ink, Token::Ink, Theme::Day) - 1.0).abs() < 1e-12);
        let (white, black) = (luminance([255; 3]) + 0.05, luminance([0; 3]) + 0.05);
        assert!((white / black - 21.0).abs() < 1e-9);
    }

    #[test]
    fn the_table_of_all_tokens_has_no_double() {
        for (i, token) in Token::ALL.iter().enumerate() {
            assert!(!Token::ALL[..i].contains(token), "{token:?} twice");
        }
    }
}
