//! Every field of the sheet: its path, what a person calls it, what it holds, and the order of measuring.

pub mod halves;
mod plain;
pub mod radial;

pub use crate::form::{Choice, FieldKind, Named, named};
pub use plain::PLAIN;

use super::findings;
use crate::entry::Quantity;
use crate::rows::RowOrder;

/// The sections in the order of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Section {
    /// Which bearing, chock, roll.
    Identify,
    /// Seals, grease, water, rotation, before anything is washed.
    AsFound,
    /// Washed with what, and preserved at once.
    Clean,
    /// What is seen on the parts.
    Findings,
    /// Gaps and spacers on the bench.
    Clearance,
    /// Chock bore and roll neck.
    Seats,
    /// What to do with it.
    Decision,
    /// Spacers, load zone, grease.
    Reassemble,
    /// Who says so.
    Sign,
}

impl Section {
    /// All sections.
    pub const ALL: [Self; 9] = [
        Self::Identify,
        Self::AsFound,
        Self::Clean,
        Self::Findings,
        Self::Clearance,
        Self::Seats,
        Self::Decision,
        Self::Reassemble,
        Self::Sign,
    ];

    /// Its number on the sheet, from 1.
    pub fn number(self) -> u32 {
        self as u32 + 1
    }

    /// Its name.
    pub fn title(self) -> &'static str {
        match self {
            Self::Identify => "Identify",
            Self::AsFound => "As found",
            Self::Clean => "Clean",
            Self::Findings => "Findings",
            Self::Clearance => "Clearance",
            Self::Seats => "Seats",
            Self::Decision => "Decision",
            Self::Reassemble => "Reassemble",
            Self::Sign => "Sign",
        }
    }
}

/// Places around a gap, degrees.
pub const GAP_DEGREES: [i64; 4] = [0, 90, 180, 270];
/// Directions of a two-point size, degrees.
pub const SEAT_DEGREES: [i64; 4] = [0, 45, 90, 135];
/// Row pairs, and as many axial planes of a neck.
pub const PAIRS: [usize; 3] = [1, 2, 3];
/// Axial planes of a chock bore, of which its type asks for the first two, three or all.
pub const PLANES: [usize; 4] = [1, 2, 3, 4];
/// Axial planes of a bore where its chock type says nothing else.
pub const PLANES_USUAL: usize = 3;

/// Which of the two seats.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SeatName {
    /// Bore of the chock.
    Bore,
    /// Neck of the roll.
    Neck,
}

impl SeatName {
    /// First part of its paths.
    pub fn prefix(self) -> &'static str {
        match self {
            Self::Bore => "bore",
            Self::Neck => "neck",
        }
    }

    /// What people call it.
    pub fn title(self) -> &'static str {
        match self {
            Self::Bore => "Chock bore",
            Self::Neck => "Roll neck",
        }
    }
}

/// Path of one gap: row pair 1 to 3, place in degrees.
pub fn gap(pair: usize, degrees: i64) -> String {
    format!("clearance.gap.{pair}.{degrees}")
}

/// Path of a spacer's width as found.
pub fn spacer(pair: usize) -> String {
    format!("clearance.spacer.{pair}")
}

/// Path of a spacer's width after grinding.
pub fn after(pair: usize) -> String {
    format!("after.{pair}")
}

/// Path of one two-point size: plane from the barrel, from 1, direction in degrees from vertical.
pub fn size(seat: SeatName, plane: usize, degrees: i64) -> String {
    format!("{}.{plane}.{degrees}", seat.prefix())
}

/// Other places of a spacer than its first, degrees.
pub const OTHER_PLACES: [i64; 3] = [90, 180, 270];

/// Path of a spacer's width at one of its places; the first is [`spacer`].
pub fn spacer_at(pair: usize, degrees: i64) -> String {
    at_place(spacer(pair), degrees)
}

/// Path of a spacer's width after grinding at one of its places; the first is [`after`].
pub fn after_at(pair: usize, degrees: i64) -> String {
    at_place(after(pair), degrees)
}

fn at_place(path: String, degrees: i64) -> String {
    if degrees == GAP_DEGREES[0] {
        path
    } else {
        format!("{path}.{degrees}")
    }
}

/// Sets of gaps that one pair keeps besides the one that counts.
pub const SETS_MAX: usize = 3;

/// Path of one gap of a set that was read before and does not count; sets are numbered from 1.
pub fn earlier_gap(pair: usize, set: usize, degrees: i64) -> String {
    format!("repeat.{pair}.{set}.{degrees}")
}

/// Path of the cover gap at a place.
pub fn cover_gap(degrees: i64) -> String {
    format!("cover.gap.{degrees}")
}

/// The other places of the spacers as found, row by row.
pub fn places_order() -> Vec<String> {
    let row = |pair| OTHER_PLACES.map(|degrees| spacer_at(pair, degrees));
    PAIRS.into_iter().flat_map(row).collect()
}

/// The fields of the bench in the order of measuring: a row of gaps, then its spacer.
pub fn clearance_order() -> Vec<String> {
    let row = |pair| {
        GAP_DEGREES
            .map(|degrees| gap(pair, degrees))
            .into_iter()
            .chain([spacer(pair)])
    };
    PAIRS.into_iter().flat_map(row).collect()
}

/// The fields of a seat with the usual planes in the order of measuring.
pub fn seat_order(seat: SeatName) -> Vec<String> {
    planes_order(seat, PLANES_USUAL)
}

/// The fields of a seat with so many planes in the order of measuring: temperatures frame the sizes.
pub fn planes_order(seat: SeatName, planes: usize) -> Vec<String> {
    let named = |end: &str| format!("{}.{end}", seat.prefix());
    let sizes = PLANES
        .into_iter()
        .take(planes)
        .flat_map(|plane| SEAT_DEGREES.map(|degrees| size(seat, plane, degrees)));
    [named("temp_first"), named("temp_gauge")]
        .into_iter()
        .chain(sizes)
        .chain([named("temp_last")])
        .collect()
}

/// All fields that are named by one path only, in the order of the sheet.
fn every_plain() -> impl Iterator<Item = (Section, &'static Named)> {
    named(PLAIN)
        .chain(named(radial::PLAIN))
        .chain(named(halves::PLAIN))
}

fn plain(path: &str) -> Option<(Section, &'static Named)> {
    every_plain().find(|(_, field)| field.path == path)
}

/// What a field holds, or none where there is no such field.
pub fn kind(path: &str) -> Option<FieldKind> {
    if let Some((_, field)) = plain(path) {
        return Some(field.kind);
    }
    if let Some(kind) = crate::mounting::field::kind(path) {
        return Some(kind);
    }
    if path
        .strip_prefix("kept.")
        .is_some_and(|of| kind(of).is_some())
    {
        return Some(FieldKind::Words);
    }
    if let Some((_, key)) = findings::parse(path) {
        return Some(key.kind());
    }
    if photo_of(path).is_some() {
        return Some(FieldKind::Picture);
    }
    grid(path).map(|_| FieldKind::Number(Quantity::Length))
}

/// Pictures that one sheet takes at most, of each finding.
pub const PHOTOS_MAX: usize = 8;

/// Path of a picture: of finding `number`, or of the whole (0); `item` from 1.
pub fn photo(number: i64, item: usize) -> String {
    format!("photo.{number}.{item}")
}

/// Which finding a picture shows; 0 for the whole.
pub fn photo_of(path: &str) -> Option<i64> {
    let (number, item) = path.strip_prefix("photo.")?.split_once('.')?;
    let number: i64 = number.parse().ok()?;
    let item: usize = item.parse().ok()?;
    let is_one = (0..=findings::FINDINGS_MAX as i64).contains(&number)
        && (1..=PHOTOS_MAX).contains(&item)
        && path == photo(number, item);
    is_one.then_some(number)
}

/// Which section a field belongs to.
pub fn section(path: &str) -> Option<Section> {
    if let Some((section, _)) = plain(path) {
        return Some(section);
    }
    if findings::parse(path).is_some() || photo_of(path).is_some() {
        return Some(Section::Findings);
    }
    grid(path).map(|cell| match cell {
        Cell::Gap { .. }
        | Cell::Spacer { .. }
        | Cell::SpacerAt { .. }
        | Cell::Earlier { .. }
        | Cell::Radial(_) => Section::Clearance,
        Cell::After { .. } | Cell::AfterAt { .. } => Section::Reassemble,
        Cell::Size { .. } | Cell::Ring { .. } => Section::Seats,
    })
}

/// A measured length on one of the grids.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cell {
    /// A gap of a row pair.
    Gap {
        /// Row pair.
        pair: usize,
        /// Place, degrees.
        degrees: i64,
    },
    /// A spacer as found.
    Spacer {
        /// Row pair.
        pair: usize,
    },
    /// A spacer after grinding.
    After {
        /// Row pair.
        pair: usize,
    },
    /// A spacer as found, at another place than its first.
    SpacerAt {
        /// Row pair.
        pair: usize,
        /// Place, degrees.
        degrees: i64,
    },
    /// A spacer after grinding, at another place than its first.
    AfterAt {
        /// Row pair.
        pair: usize,
        /// Place, degrees.
        degrees: i64,
    },
    /// A gap of a set that was repeated and does not count.
    Earlier {
        /// Row pair.
        pair: usize,
        /// Set, from 1.
        set: usize,
        /// Place, degrees.
        degrees: i64,
    },
    /// A two-point size.
    Size {
        /// Which seat.
        seat: SeatName,
        /// Plane from the barrel.
        plane: usize,
        /// Direction, degrees from vertical.
        degrees: i64,
    },
    /// Of a clearance that belongs to the whole bearing.
    Radial(radial::RadialCell),
    /// A two-point size of the bore of the inner ring.
    Ring {
        /// Plane from the barrel.
        plane: usize,
        /// Direction, degrees from vertical.
        degrees: i64,
    },
}

/// Reads the path of a measured length.
pub fn grid(path: &str) -> Option<Cell> {
    if let Some(cell) = radial::RadialCell::parse(path) {
        return Some(Cell::Radial(cell));
    }
    if let Some((plane, degrees)) = halves::parse_ring(path) {
        return Some(Cell::Ring { plane, degrees });
    }
    for pair in PAIRS {
        if path == spacer(pair) {
            return Some(Cell::Spacer { pair });
        }
        if path == after(pair) {
            return Some(Cell::After { pair });
        }
        if let Some(degrees) = GAP_DEGREES.into_iter().find(|d| path == gap(pair, *d)) {
            return Some(Cell::Gap { pair, degrees });
        }
        for degrees in OTHER_PLACES {
            if path == spacer_at(pair, degrees) {
                return Some(Cell::SpacerAt { pair, degrees });
            }
            if path == after_at(pair, degrees) {
                return Some(Cell::AfterAt { pair, degrees });
            }
        }
        if path.starts_with("repeat.") {
            for set in 1..=SETS_MAX {
                let mut places = GAP_DEGREES.into_iter();
                if let Some(degrees) = places.find(|d| path == earlier_gap(pair, set, *d)) {
                    return Some(Cell::Earlier { pair, set, degrees });
                }
            }
        }
    }
    for (seat, planes) in [
        (SeatName::Bore, PLANES.len()),
        (SeatName::Neck, PAIRS.len()),
    ] {
        for plane in 1..=planes {
            let mut places = SEAT_DEGREES.into_iter();
            if let Some(degrees) = places.find(|d| path == size(seat, plane, *d)) {
                return Some(Cell::Size {
                    seat,
                    plane,
                    degrees,
                });
            }
        }
    }
    None
}

/// Where a field stands in the order of the work: its section, its group there, its place in the order of measuring.
pub fn rank(path: &str) -> (usize, usize, usize, String) {
    let section = section(path).map_or(usize::MAX, |section| section as usize);
    let is_ring = path.starts_with("ring.") || path.starts_with("skip.ring");
    let is_neck = path.starts_with("neck.") || path == "skip.neck";
    let group = if is_ring { 2 } else { usize::from(is_neck) };
    let measured = clearance_order()
        .into_iter()
        .chain(places_order())
        .chain(planes_order(SeatName::Bore, PLANES.len()))
        .chain(seat_order(SeatName::Neck))
        .chain(halves::ring_order())
        .chain(
            PAIRS
                .into_iter()
                .flat_map(|pair| GAP_DEGREES.map(|degrees| after_at(pair, degrees))),
        )
        .chain(
            radial::RadialCell::all()
                .into_iter()
                .map(radial::RadialCell::path),
        )
        .position(|p| p == path);
    let plain = || every_plain().position(|(_, field)| field.path == path);
    // Gauges and choices come before what is measured, reasons for leaving out after it.
    let place = match (measured, plain()) {
        (Some(at), _) => 1_000 + at,
        (None, Some(at)) if path.starts_with("skip.") => 2_000 + at,
        (None, Some(at)) => at,
        (None, None) => 3_000,
    };
    (section, group, place, path.to_owned())
}

fn pair_name(pair: usize) -> String {
    RowOrder::FromBarrel.four().pair_name(pair)
}

/// What a person calls a field; its whole name for a screen reader. Rows are counted from the barrel: who shows it has
/// [`crate::rows::Rows::told`] it.
pub fn label(path: &str) -> String {
    if let Some((_, field)) = plain(path) {
        return field.label.to_owned();
    }
    if let Some(label) = crate::mounting::field::label(path) {
        return label.to_owned();
    }
    if let Some((number, key)) = findings::parse(path) {
        return format!("Finding {number}, {}", key.label());
    }
    match photo_of(path) {
        Some(0) => return "Picture of the whole".to_owned(),
        Some(number) => return format!("Picture of finding {number}"),
        None => {}
    }
    match grid(path) {
        Some(Cell::Gap { pair, degrees }) => {
            format!("Gap of {} at {degrees} degrees", pair_name(pair))
        }
        Some(Cell::Spacer { pair }) => format!("Spacer S{pair} width"),
        Some(Cell::After { pair }) => format!("Spacer S{pair} width after grinding"),
        Some(Cell::SpacerAt { pair, degrees }) => {
            format!("Spacer S{pair} width at {degrees} degrees")
        }
        Some(Cell::AfterAt { pair, degrees }) => {
            format!("Spacer S{pair} width after grinding at {degrees} degrees")
        }
        Some(Cell::Earlier { pair, set, degrees }) => {
            format!(
                "Gap of {} at {degrees} degrees, repeated set {set}",
                pair_name(pair)
            )
        }
        Some(Cell::Size {
            seat,
            plane,
            degrees,
        }) => format!("{} plane {plane} at {degrees} degrees", seat.title()),
        Some(Cell::Radial(cell)) => cell.label(),
        Some(Cell::Ring { plane, degrees }) => {
            format!("Inner ring plane {plane} at {degrees} degrees")
        }
        None => path.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_in_an_order_of_measuring_has_a_kind_a_section_and_a_name() {
        let mut all = clearance_order();
        all.extend(planes_order(SeatName::Bore, 4));
        all.extend(seat_order(SeatName::Neck));
        all.extend(PAIRS.map(after));
        all.extend(places_order());
        all.extend(OTHER_PLACES.map(|degrees| after_at(2, degrees)));
        all.push(earlier_gap(3, SETS_MAX, 270));
        all.extend(named(PLAIN).map(|(_, field)| field.path.to_owned()));
        assert_eq!(clearance_order().len(), 15, "12 gaps and 3 spacers");
        for path in &all {
            assert!(kind(path).is_some(), "{path}");
            assert!(section(path).is_some(), "{path}");
            assert_ne!(label(path), *path);
        }
        all.sort();
        all.dedup();
        assert_eq!(
            all.len(),
            15 + 19 + 15 + 3 + 9 + 3 + 1 + named(PLAIN).count() - 6
        );
        assert_eq!(kind("clearance.gap.4.0"), None);
        assert_eq!((kind("neck.4.0"), kind("bore.5.0")), (None, None));
        assert_eq!(seat_order(SeatName::Bore).len(), 15);
        assert_eq!(kind("kept.clearance.gap.1.0"), Some(FieldKind::Words));
    }
}
