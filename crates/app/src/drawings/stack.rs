//! The stack of a four-row tapered bearing on the bench, with its gaps.

use draw::stack_map::PairNote;
use draw::{Hit, Pair, StackMap};
use store::entry::Show;
use store::sheet::{Assessment, TypeFacts};

use super::mm;

/// What is known of one gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct GapState {
    /// Mean of the places read, nm.
    pub mean_nm: Option<i64>,
    /// How many of the four places are read.
    pub places: usize,
}

/// The stack as a sheet stands now; `lit` is the pair being measured. The key of a gap's [`Hit`] is its pair from 0.
pub fn stack_map(
    assessment: &Assessment,
    bearing_type: &TypeFacts,
    lit: Option<Pair>,
    show: Show,
) -> StackMap {
    let gaps = assessment.clearance.pairs.each_ref();
    let gaps = gaps.map(|p| GapState {
        mean_nm: p.mean_gap_nm,
        places: p.places,
    });
    stack_of(gaps, bearing_type, lit, show)
}

/// The stack with its gaps given, for a signed sheet. Sizes come from the type alone; without them only words are
/// drawn.
pub fn stack_of(
    gaps: [GapState; 3],
    bearing_type: &TypeFacts,
    lit: Option<Pair>,
    show: Show,
) -> StackMap {
    let size = |name| bearing_type.whole(name).map_or(0.0, mm);
    StackMap {
        bore_mm: size("bore_nm"),
        outside_mm: size("outside_nm"),
        width_mm: size("width_nm"),
        spacers_mm: std::array::from_fn(|i| bearing_type.pair("spacer_nm", i + 1).map_or(0.0, mm)),
        lit,
        pairs: std::array::from_fn(|i| note(i, gaps[i], show)),
        barrel: "barrel".into(),
        outboard: "outboard".into(),
        note_left: "half section, to scale".into(),
        note_right: show.unit.sign().into(),
        title: "Half section of the bearing, to scale, with the gaps of its row pairs".into(),
    }
}

fn note(index: usize, gap: GapState, show: Show) -> PairNote {
    let name = format!("gap {}", show.pair_rows(index + 1));
    let value = gap
        .mean_nm
        .map_or_else(|| "not read".into(), |nm| show.length(nm));
    let note = match gap.places {
        1..=3 => format!("from {} of 4 places", gap.places),
        _ => String::new(),
    };
    let label = format!("gap of {}: {value} {note}", show.pair_name(index + 1));
    PairNote {
        name,
        value,
        is_read: gap.mean_nm.is_some(),
        note,
        hit: Some(Hit {
            key: index as u64,
            label: label.trim_end().to_owned(),
        }),
    }
}
