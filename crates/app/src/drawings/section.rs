//! A half section of a bearing from the values of its type.

use draw::bearing_section::{BearingSection, Build, Sizes};
use draw::stack_map::PairNote;
use store::entry::Show;
use store::sheet::{Family, TypeFacts};

use super::mm;

/// Half section, to scale; none for a kind that has no drawing.
pub fn section(t: &TypeFacts, show: Show) -> Option<BearingSection> {
    let build = match Family::of(&t.kind) {
        Some(Family::Tapered) => Build::FourRowTapered,
        Some(Family::Cylindrical) => Build::FourRowCylindrical,
        Some(Family::Spherical) => Build::TwoRowSpherical,
        Some(Family::Thrust) => Build::TwoRowThrust,
        None if t.kind == "four_row_cylindrical_inner" => Build::InnerHalf,
        None => return None,
    };
    let size = |name| t.whole(name).map(mm);
    // Nominal sizes are round: 760, not 760.000.
    let word = |name| {
        let words = t.whole(name).map_or_else(String::new, |nm| show.length(nm));
        match words.find(['.', ',']) {
            Some(_) => words
                .trim_end_matches('0')
                .trim_end_matches(['.', ','])
                .to_owned(),
            None => words,
        }
    };
    let note = |_| PairNote {
        name: String::new(),
        value: String::new(),
        is_read: false,
        note: String::new(),
        hit: None,
    };
    Some(BearingSection {
        build,
        sizes: Sizes {
            bore_mm: size("bore_nm"),
            outside_mm: size("outside_nm"),
            width_mm: size("width_nm"),
            spacers_mm: std::array::from_fn(|i| t.pair("spacer_nm", i + 1).map(mm)),
        },
        words: [word("bore_nm"), word("outside_nm"), word("width_nm")],
        rows: t
            .whole("rows_count")
            .and_then(|rows| usize::try_from(rows).ok())
            .or_else(|| Family::of(&t.kind).map(Family::rows))
            .unwrap_or(4),
        pairs: [0, 1, 2].map(note),
        lit: None,
        barrel: "barrel".into(),
        outboard: "outboard".into(),
        assumed: "assumed".into(),
        title: format!("Half section of {}, to scale", t.code),
    })
}
