//! What the wear of the shop expects of the clearance that is being measured, so that a slip is asked about while the
//! bearing still lies on the bench.

use calc::wear::Settings;

use super::assess::Problem;
use super::facts::Facts;
use super::field::{self, Cell, GAP_DEGREES};
use crate::draft::Fields;
use crate::entry::{self, LengthUnit, Quantity, Show};
use crate::query::ShopWear;

/// U of an end play, gap and width together, where its gauges are not known yet, µm at k = 2 (assumed).
const EXPANDED_UNCERTAINTY_UM: f64 = 20.0;

/// Lowest and highest value of each row pair, nm.
pub type Foreseen = [Option<(i64, i64)>; 3];

impl Facts {
    /// Fills in between which values each row pair is expected, from the bearing's own readings and its peers. Where the
    /// shop has too few readings to say how bearings differ, nothing is expected and the plain rules stay.
    pub fn foresee(&mut self, wear: &ShopWear) {
        self.foreseen_nm = [None; 3];
        let Some(bearing) = &self.bearing else { return };
        let Some(gate) = Settings::default().gate else {
            return;
        };
        let counter_h = bearing.total_run_s as f64 / 3_600.0;
        let half = EXPANDED_UNCERTAINTY_UM / 2.0;
        for row in wear.of(&bearing.serial) {
            // A sheet of an earlier day is not judged by what came after it.
            if row.is_assumed || counter_h < row.state.counter_h {
                continue;
            }
            let [low, high] = row.so_far.gate_um(counter_h, half * half, gate);
            let nm = |um: f64| (um * 1_000.0).round() as i64;
            if let Some(slot) = self.foreseen_nm.get_mut(row.row_pair as usize - 1) {
                *slot = Some((nm(low), nm(high)));
            }
        }
    }
}

/// Asks about an end play that the wear of this bearing makes improbable, at the width that completes it.
pub(super) fn doubt(
    path: &str,
    width_nm: i64,
    fields: &Fields,
    foreseen_nm: &Foreseen,
    unit: LengthUnit,
) -> Option<Problem> {
    let Some(Cell::Spacer { pair, .. }) = field::grid(path) else {
        return None;
    };
    let (low, high) = foreseen_nm.get(pair.checked_sub(1)?).copied()??;
    let mut sum = 0_i64;
    for degrees in GAP_DEGREES {
        let typed = fields.get(&field::gap(pair, degrees))?;
        let gap = entry::read(typed.text.trim(), Quantity::Length, unit).ok()?;
        sum = sum.checked_add(gap.value)?;
    }
    let mean = sum / i64::try_from(GAP_DEGREES.len()).ok()?;
    let end_play = width_nm.checked_sub(mean)?;
    if (low..=high).contains(&end_play) {
        return None;
    }
    let show = Show {
        unit,
        ..Show::default()
    };
    Some(Problem {
        is_refusal: false,
        text: format!(
            "End play {}: improbable, {} to {} expected by its wear and that of its peers.",
            show.length_unit(end_play),
            show.length(low.max(0)),
            show.length_unit(high)
        ),
        hint: Some("Look at gaps and width once more: digits exchanged, the neighbour row?".into()),
        instead: None,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::draft::{DraftField, Source};

    fn fields(gap: &str) -> Fields {
        let typed = |text: &str| DraftField {
            text: text.into(),
            source: Source::Typed,
        };
        GAP_DEGREES
            .into_iter()
            .map(|degrees| (field::gap(1, degrees), typed(gap)))
            .collect()
    }

    #[test]
    fn an_end_play_off_its_wear_is_asked_about_and_never_refused() {
        let foreseen = [Some((400_000, 520_000)), None, None];
        let ask = |gap: &str, path: &str| {
            doubt(
                path,
                24_000_000,
                &fields(gap),
                &foreseen,
                LengthUnit::Millimetre,
            )
        };
        let spacer = field::spacer(1);
        assert_eq!(ask("23.550", &spacer), None, "0.450 is expected");
        let asked = ask("23.360", &spacer).unwrap();
        assert!(!asked.is_refusal);
        assert_eq!(
            asked.text,
            "End play 0.640 mm: improbable, 0.400 to 0.520 mm expected by its wear and that of its peers."
        );
        assert_eq!(
            ask("23.360", &field::spacer(2)),
            None,
            "nothing is expected of it"
        );
        assert_eq!(
            doubt(
                &spacer,
                24_000_000,
                &Fields::new(),
                &foreseen,
                LengthUnit::Millimetre
            ),
            None,
            "without gaps there is no end play"
        );
    }
}
