//! Chock bore and roll neck, plane by plane.

use draw::bore_map::{LimitLine, Plane, Tolerance};
use draw::{BoreMap, Hit};
use store::entry::Show;
use store::sheet::TypeFacts;
use store::sheet::field::{SEAT_DEGREES, SeatName};

use super::mm;

/// A seat as measured.
#[derive(Debug, Clone)]
pub struct SeatSizes<'a> {
    /// Which seat.
    pub seat: SeatName,
    /// Sizes at 20 C by plane from the barrel and direction, nm; none where not read (yet).
    pub sizes_nm: Vec<[Option<i64>; 4]>,
    /// The bearing type with the limits of the day.
    pub bearing_type: &'a TypeFacts,
    /// What the drawing shows, in words: "Bore of chock WC-17".
    pub title: String,
}

impl SeatSizes<'_> {
    /// Sizes as a signed sheet or a bore check lists them, plane by direction; empty unless every plane is whole.
    pub fn grid(sizes_nm: &[i64]) -> Vec<[Option<i64>; 4]> {
        let (planes, rest) = sizes_nm.as_chunks::<4>();
        if rest.is_empty() {
            planes.iter().map(|plane| plane.map(Some)).collect()
        } else {
            Vec::new()
        }
    }

    /// Nominal size that deviations count from, nm.
    pub fn nominal_nm(&self) -> Option<i64> {
        let t = self.bearing_type;
        match self.seat {
            SeatName::Bore => t
                .whole("chock_bore_nominal_nm")
                .or_else(|| t.whole("outside_nm")),
            SeatName::Neck => t.whole("bore_nm"),
        }
    }
}

/// The outline of a seat, its deviations enlarged, with the drawing's tolerance and the rework limit. Planes without
/// any reading are left out. The key of a reading's [`Hit`] is `4 x plane + direction`, both from 0.
pub fn bore_map(sizes: &SeatSizes<'_>, show: Show) -> BoreMap {
    let nominal = sizes.nominal_nm().unwrap_or(0);
    let t = sizes.bearing_type;
    // Limits of the bore are kept as deviations, those of the neck as sizes.
    let (tolerance, limit, limit_word) = match sizes.seat {
        SeatName::Bore => (
            t.whole("chock_bore_lower_nm")
                .zip(t.whole("chock_bore_upper_nm")),
            t.whole("chock_bore_mean_max_nm"),
            "mean",
        ),
        SeatName::Neck => (
            t.whole("neck_min_nm")
                .map(|v| v - nominal)
                .zip(t.whole("neck_max_nm").map(|v| v - nominal)),
            t.whole("neck_rework_nm").map(|v| v - nominal),
            "rework",
        ),
    };
    let tolerance = tolerance.map(|(lower, upper)| Tolerance {
        lower_mm: mm(lower),
        upper_mm: mm(upper),
        label: format!("{} to {}", show.deviation(lower), show.deviation(upper)),
    });
    let limits = limit.map(|nm| LimitLine {
        deviation_mm: mm(nm),
        label: format!("{}, {limit_word}", show.deviation(nm)),
    });
    let planes = (1..)
        .zip(&sizes.sizes_nm)
        .filter(|(_, plane)| plane.iter().any(Option::is_some));
    BoreMap {
        has_comma: show.comma,
        nominal_mm: mm(nominal),
        planes: planes
            .map(|(number, plane)| self::plane(number, plane, nominal, show))
            .collect(),
        tolerance,
        limits: limits.into_iter().collect(),
        magnification: None,
        notes: vec![
            format!("nominal {}", plain(nominal, show)),
            "seen from outboard".into(),
        ],
        deviation: "deviation".into(),
        directions: SEAT_DEGREES.map(|d| format!("{d}\u{b0}")),
        title: sizes.title.clone(),
    }
}

fn plane(number: usize, sizes: &[Option<i64>; 4], nominal: i64, show: Show) -> Plane {
    let hit = |direction: usize| {
        let degrees = SEAT_DEGREES[direction];
        sizes[direction].map(|nm| Hit {
            key: ((number - 1) * 4 + direction) as u64,
            label: format!(
                "plane {number} at {degrees}\u{b0}: {}, {}",
                show.length_unit(nm),
                show.deviation(nm - nominal)
            ),
        })
    };
    Plane {
        name: format!("plane {number}"),
        deviations_mm: sizes.map(|size| size.map(|nm| mm(nm - nominal))),
        hits: std::array::from_fn(hit),
    }
}

/// A nominal size without its trailing zeros.
fn plain(nm: i64, show: Show) -> String {
    let text = show.length(nm);
    text.trim_end_matches('0')
        .trim_end_matches(['.', ','])
        .to_owned()
}
