//! The clearance of a whole bearing: four-row cylindrical, two-row spherical, thrust. What was read of each row comes to
//! one value, which is judged as a row pair of a tapered bearing is, and every row beside it.

mod gauges;

use calc::conformity::{Limits, Verdict, conformity};
use calc::feeler::{RowReading, row_clearance};
use calc::quantity::{Length, nanometres, to_nanometres};

use super::assess::{Assessment, Values};
use super::clearance::{
    AfterView, ClearanceView, PairView, ShimView, asked_of, judge, judgement, root_of_squares,
};
use super::facts::{Facts, GaugeFacts, TypeFacts};
use super::family::Family;
use super::field::radial::{ROWS_MAX, RadialCell, Way, lines};
use super::field::{self};
use super::sureness::Sureness;
use crate::payload::{Judgement, Outcome};
pub(super) use gauges::gauge_of;
use gauges::gauges;
pub use gauges::{gauge_measures, gauge_paths, gauges_for};

/// What was read of the whole bearing.
#[derive(Debug, Clone, PartialEq)]
pub struct RadialView {
    /// How; none while nobody said so.
    pub way: Option<Way>,
    /// Its rows from the barrel; one for an axial clearance.
    pub rows: Vec<RowView>,
    /// Values still to be read.
    pub missing: usize,
}

impl RadialView {
    /// The row, from 0, that decides a verdict of the whole: of those with that verdict the one that conforms least
    /// likely. None where all rows have one verdict: then the mean speaks for all of them.
    pub fn deciding(&self, verdict: Verdict) -> Option<usize> {
        let is_mixed = self.rows.iter().any(|row| row.verdict != verdict);
        let chance = |row: &RowView| row.probability.unwrap_or(0.0);
        let rows = self.rows.iter().enumerate();
        rows.filter(|(_, row)| is_mixed && row.verdict == verdict)
            .min_by(|(_, a), (_, b)| chance(a).total_cmp(&chance(b)))
            .map(|(index, _)| index)
    }
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct RowView {
    /// Something of it is read.
    pub is_begun: bool,
    /// Values still to be read.
    pub missing: usize,
    /// The thickest leaf that passed, nm.
    pub largest_nm: Option<i64>,
    /// The thinnest leaf that was refused, nm.
    pub smallest_nm: Option<i64>,
    /// Its clearance, nm; only from all that is needed.
    pub clearance_nm: Option<i64>,
    /// Against the limits of the bearing: the worse of both.
    pub verdict: Verdict,
    /// Against the limit that wear must not reach.
    pub rework_verdict: Verdict,
    /// Against the smallest clearance.
    pub minimum_verdict: Verdict,
    /// Probability of conformity to the limit that decides.
    pub probability: Option<f64>,
    /// What cannot be: a leaf refused that is thinner than one that passed at the same place.
    pub contradiction: Option<String>,
}

/// What the sheet says of it, beside the view of the bench that the other families share.
pub(super) fn view(values: &Values<'_>, facts: &Facts, family: Family) -> ClearanceView {
    let t = facts.bearing_type.clone().unwrap_or_default();
    let way = Way::of(family, values.text("radial.method"));
    let used = way
        .map(|way| gauges(values, facts, way))
        .unwrap_or_default();
    let uncertainty = |g: Option<&GaugeFacts>| g.and_then(|g| g.expanded_uncertainty_nm);
    let expanded_uncertainty_nm = match used.as_slice() {
        [one] => uncertainty(*one),
        [a, b] => root_of_squares([uncertainty(*a), uncertainty(*b)]),
        _ => None,
    };
    let is_overdue = used.iter().flatten().any(|g| g.is_overdue);
    let number = |cell: RadialCell| values.number(&cell.path());
    let mut rows: Vec<RowView> = way.map_or_else(Vec::new, |way| read(way, facts.rows(), number));
    let mut pair = unread(&t);
    for row in &mut rows {
        judge_row(row, &pair, expanded_uncertainty_nm, is_overdue);
    }
    let whole = mean_of(&rows);
    pair.end_play_nm = whole;
    pair.is_complete = whole.is_some();
    // What was read last, alike and over the same half.
    let last = facts.bearing.as_ref().and_then(|b| b.history.last());
    pair.last_nm = last
        .filter(|last| last.way == way)
        .and_then(|last| last.found_nm[0]);
    judge(&mut pair, expanded_uncertainty_nm, is_overdue);
    if pair.is_complete && family != Family::Thrust {
        // Every row lies within the limits, not their mean alone.
        let rows = || rows.iter().map(|row| row.verdict);
        pair.verdict = Verdict::worst(rows().chain([pair.verdict]));
    }
    let missing = if way.is_none() {
        1
    } else {
        rows.iter().map(|row| row.missing).sum()
    };
    let other = || PairView {
        is_complete: true,
        rework_verdict: Verdict::NotApplicable,
        minimum_verdict: Verdict::NotApplicable,
        verdict: Verdict::NotApplicable,
        limit_nm: None,
        watch_nm: None,
        drawing_min_nm: None,
        drawing_max_nm: None,
        ..unread(&t)
    };
    ClearanceView {
        radial: Some(RadialView { way, rows, missing }),
        pairs: [pair, other(), other()],
        expanded_uncertainty_nm,
        width_uncertainty_nm: None,
        faces_asked: Sureness::default(),
        planned_outer_nm: None,
        planned_inner_nm: None,
        swapped: None,
        exchanged: None,
        after: AfterView {
            spacer_nm: [None; 3],
            places: [0; 3],
            parallel_nm: [None; 3],
            parallel_verdict: [Verdict::NotApplicable; 3],
            parallel_probability: [None; 3],
            end_play_nm: [None; 3],
            verdict: [Verdict::NotApplicable; 3],
            asked: Sureness::default(),
            probability: [None; 3],
            outer_nm: None,
            inner_nm: None,
            shim: ShimView::Same,
        },
    }
}

/// The clearance of the whole before anything is read. What it was as set is told by a certificate, which does not say how
/// it was read: no "times as set" is formed.
fn unread(t: &TypeFacts) -> PairView {
    PairView {
        places: 0,
        mean_gap_nm: None,
        spread_nm: None,
        is_seated: true,
        usual_spread_nm: None,
        spacer_nm: None,
        spacer_places: 0,
        parallel_nm: None,
        parallel_verdict: Verdict::NotApplicable,
        parallel_probability: None,
        last_nm: None,
        earlier: Vec::new(),
        end_play_nm: None,
        is_complete: false,
        as_set_nm: None,
        is_unlike: false,
        times: None,
        limit_nm: t.whole("rework_nm"),
        watch_nm: t.whole("watch_nm"),
        drawing_min_nm: t.whole("clearance_min_nm"),
        drawing_max_nm: t.whole("clearance_max_nm"),
        asked: asked_of(t, t.whole("clearance_min_nm")),
        rework_verdict: Verdict::Missing,
        minimum_verdict: Verdict::Missing,
        verdict: Verdict::Missing,
        probability: None,
        grind_nm: None,
        new_spacer_nm: None,
        target_nm: None,
        plan: None,
    }
}

impl ClearanceView {
    /// True where something of a clearance of the whole bearing is read.
    pub fn is_begun(&self) -> bool {
        let rows = self.radial.iter().flat_map(|whole| &whole.rows);
        rows.clone().any(|row| row.is_begun)
    }

    /// Values that are still to be read.
    pub fn to_read(&self) -> usize {
        if let Some(whole) = &self.radial {
            return whole.missing;
        }
        let of = |p: &PairView| 5 - p.places.min(4) - usize::from(p.spacer_nm.is_some());
        self.pairs.iter().map(of).sum()
    }
}

/// The clearance of the whole: the mean of its rows, where all of them are read.
fn mean_of(rows: &[RowView]) -> Option<i64> {
    let all: Option<Vec<i64>> = rows.iter().map(|row| row.clearance_nm).collect();
    all.filter(|all| !all.is_empty()).map(|all| {
        let (sum, count) = (all.iter().sum::<i64>(), all.len() as i64);
        // Half away from zero, as everywhere.
        (2 * sum + sum.signum() * count) / (2 * count)
    })
}

/// The clearance of the whole that readings come to, where all that is needed is there.
pub(super) fn whole(
    way: Way,
    rows: usize,
    number: impl Fn(RadialCell) -> Option<i64>,
) -> Option<i64> {
    mean_of(&read(way, rows, number))
}

/// The clearance that readings of one sheet come to, however they were read: of one row, or of the whole for row 0.
pub(crate) fn clearance_of_rows(
    row: Option<usize>,
    number: &dyn Fn(RadialCell) -> Option<i64>,
) -> Option<i64> {
    [Way::Diameters, Way::Leaves, Way::ThinRing, Way::Axial]
        .into_iter()
        .find_map(|way| {
            let mut cells = lines(way, ROWS_MAX).into_iter().flatten();
            let last = cells.rfind(|cell| number(*cell).is_some())?;
            let rows = read(way, last.row().unwrap_or(1), number);
            match row? {
                0 => mean_of(&rows),
                row => rows.get(row - 1)?.clearance_nm,
            }
        })
}

fn read(way: Way, rows: usize, number: impl Fn(RadialCell) -> Option<i64>) -> Vec<RowView> {
    let number = |cell: &RadialCell| number(*cell);
    if way == Way::Axial {
        let cells: Vec<RadialCell> = lines(way, 1).into_iter().flatten().collect();
        let read: Vec<i64> = cells.iter().filter_map(number).collect();
        let is_whole = read.len() == cells.len();
        let sum: i64 = read.iter().sum();
        let count = read.len() as i64;
        let mean = is_whole.then(|| (2 * sum + sum.signum() * count) / (2 * count));
        let missing = cells.len() - read.len();
        return vec![RowView {
            is_begun: !read.is_empty(),
            ..RowView::read(missing, mean)
        }];
    }
    (1..=rows)
        .map(|row| {
            let cells: Vec<RadialCell> = lines(way, row)
                .into_iter()
                .flatten()
                .filter(|cell| cell.row() == Some(row))
                .collect();
            match way {
                Way::Diameters => diameters(&cells, number),
                Way::Leaves => leaves(row, &cells, number),
                Way::ThinRing | Way::Axial => thin_ring(&cells, number),
            }
        })
        .collect()
}

impl RowView {
    fn read(missing: usize, clearance_nm: Option<i64>) -> Self {
        Self {
            is_begun: clearance_nm.is_some(),
            missing,
            largest_nm: None,
            smallest_nm: None,
            clearance_nm,
            verdict: Verdict::Missing,
            rework_verdict: Verdict::Missing,
            minimum_verdict: Verdict::Missing,
            probability: None,
            contradiction: None,
        }
    }
}

/// Diameter under the rollers less diameter over the inner raceway, each the mean of two directions.
fn diameters(cells: &[RadialCell], number: impl Fn(&RadialCell) -> Option<i64>) -> RowView {
    let of = |is_rollers: bool| -> Vec<i64> {
        cells
            .iter()
            .filter(|cell| matches!(cell, RadialCell::Rollers { .. }) == is_rollers)
            .filter_map(&number)
            .collect()
    };
    let (raceway, rollers) = (of(false), of(true));
    let missing = cells.len() - raceway.len() - rollers.len();
    let clearance = (missing == 0).then(|| {
        let difference = rollers.iter().sum::<i64>() - raceway.iter().sum::<i64>();
        let count = rollers.len() as i64;
        (2 * difference + difference.signum() * count) / (2 * count)
    });
    RowView {
        is_begun: missing < cells.len(),
        ..RowView::read(missing, clearance)
    }
}

/// Feeler leaves: one place is enough, up to four are kept.
fn leaves(
    row: usize,
    cells: &[RadialCell],
    number: impl Fn(&RadialCell) -> Option<i64>,
) -> RowView {
    let mut passing: Vec<Length> = Vec::new();
    let mut refused: Vec<Length> = Vec::new();
    let mut contradiction = None;
    for degrees in field::GAP_DEGREES {
        let at = |cell: RadialCell| cells.contains(&cell).then(|| number(&cell)).flatten();
        let passes = at(RadialCell::Passes { row, degrees });
        let stops = at(RadialCell::Refused { row, degrees });
        if let (Some(passes), Some(stops)) = (passes, stops)
            && stops <= passes
        {
            contradiction.get_or_insert_with(|| {
                format!("row {row} at {degrees} degrees: the leaf that is refused is not thicker than the one that passes")
            });
        }
        passing.extend(passes.map(nanometres));
        refused.extend(stops.map(nanometres));
    }
    let missing = usize::from(passing.is_empty()) + usize::from(refused.is_empty());
    let reading = RowReading::Leaves { passing, refused };
    let found = row_clearance(&reading).ok();
    RowView {
        largest_nm: found.and_then(|f| f.largest).map(to_nanometres),
        smallest_nm: found.and_then(|f| f.smallest).map(to_nanometres),
        contradiction,
        is_begun: missing < 2,
        ..RowView::read(missing, found.map(|f| to_nanometres(f.clearance)))
    }
}

fn thin_ring(cells: &[RadialCell], number: impl Fn(&RadialCell) -> Option<i64>) -> RowView {
    let mut open = None;
    let mut sides = Vec::new();
    for cell in cells {
        match cell {
            RadialCell::Open { .. } => open = number(cell),
            _ => sides.extend(number(cell)),
        }
    }
    let missing = cells.len() - sides.len() - usize::from(open.is_some());
    let clearance = open
        .zip(<[i64; 2]>::try_from(sides).ok())
        .and_then(|(open, sides)| {
            let reading = RowReading::ThinRing {
                open: nanometres(open),
                sides: sides.map(nanometres),
            };
            row_clearance(&reading).ok()
        });
    RowView {
        is_begun: missing < cells.len(),
        ..RowView::read(missing, clearance.map(|c| to_nanometres(c.clearance)))
    }
}

fn judge_row(row: &mut RowView, whole: &PairView, uncertainty_nm: Option<i64>, is_overdue: bool) {
    let Some(value) = row.clearance_nm else {
        return;
    };
    let against = |limits: Option<Limits>| {
        let found = conformity(nanometres(value), &limits?, uncertainty_nm.map(nanometres)).ok()?;
        let verdict = if is_overdue {
            found.verdict.if_gauge_overdue()
        } else {
            found.verdict
        };
        Some((verdict, found.probability))
    };
    let found = whole.limits(value).map(against);
    let verdict = |found: &Option<(Verdict, _)>| found.map_or(Verdict::NotApplicable, |f| f.0);
    row.rework_verdict = verdict(&found[0]);
    row.minimum_verdict = verdict(&found[1]);
    row.verdict = Verdict::worst([row.rework_verdict, row.minimum_verdict]);
    row.probability = found.iter().flatten().filter_map(|f| f.1).reduce(f64::min);
}

/// Mark, note and what stands against signing of the section.
pub(super) fn section(
    a: &Assessment,
    radial: &RadialView,
    values: &Values<'_>,
    blockers: &mut Vec<String>,
) -> (Verdict, String) {
    let pair = &a.clearance.pairs[0];
    if values.text("skip.clearance").is_some() {
        if !pair.is_complete {
            return (Verdict::Missing, "not measured".into());
        }
        blockers.push("everything is read: take the reason why not away".into());
    }
    let Some(way) = radial.way else {
        blockers.push("say how the clearance is read, or why it is not".into());
        return (Verdict::Missing, String::new());
    };
    blockers.extend(
        radial
            .rows
            .iter()
            .filter_map(|row| row.contradiction.clone()),
    );
    if radial.missing > 0 {
        let note = format!("{} to read", radial.missing);
        blockers.push(format!("{note}; the rest, or why not"));
        return (Verdict::Missing, note);
    }
    for path in gauge_paths(way) {
        if values.text(path).is_none() {
            blockers.push(format!("{}: which one?", field::label(path)));
        }
    }
    (pair.verdict, String::new())
}

/// The verdicts as they are signed: the whole, then each row.
pub(super) fn judgements(
    view: &ClearanceView,
    radial: &RadialView,
    t: &TypeFacts,
    note: &str,
) -> Vec<Judgement> {
    let pair = &view.pairs[0];
    let origin = match pair.limit_nm {
        Some(_) => format!("rework level of {}", t.code),
        None => "no limit in the register".to_owned(),
    };
    // The mean may well conform where a row does not: the chance is that of the row which decides, and it is named.
    let decides = radial.deciding(pair.verdict);
    let (probability, note_of_whole) = match decides {
        Some(index) => {
            let mut notes = vec![format!("row {} decides", index + 1), note.to_owned()];
            notes.retain(|note| !note.is_empty());
            (radial.rows[index].probability, notes.join("; "))
        }
        None => (pair.probability, note.to_owned()),
    };
    let whole = judgement(
        "clearance",
        0,
        (pair.verdict, probability),
        pair.end_play_nm,
        view.expanded_uncertainty_nm,
        &note_of_whole,
    )
    .limits(
        pair.drawing_min_nm,
        pair.limit_nm,
        origin.clone(),
        pair.asked,
    );
    let rows = radial
        .rows
        .iter()
        .enumerate()
        .filter(|_| radial.rows.len() > 1);
    let rows = rows.map(|(index, row)| {
        judgement(
            "clearance_row",
            index + 1,
            (row.verdict, row.probability),
            row.clearance_nm,
            view.expanded_uncertainty_nm,
            note,
        )
        .limits(
            pair.drawing_min_nm,
            pair.limit_nm,
            origin.clone(),
            pair.asked,
        )
    });
    [whole].into_iter().chain(rows).collect()
}

/// Computed values as they are signed.
pub(super) fn outcomes(view: &ClearanceView, radial: &RadialView) -> Vec<Outcome> {
    let outcome = |name: &str, item: usize, value: Option<i64>| {
        value.map(|value| Outcome {
            name: name.into(),
            item: item as i64,
            value,
        })
    };
    let pair = &view.pairs[0];
    let whole = outcome(
        "clearance_nm",
        1,
        pair.end_play_nm.filter(|_| pair.is_complete),
    );
    let rows = radial
        .rows
        .iter()
        .enumerate()
        .filter(|_| radial.rows.len() > 1);
    let rows = rows.flat_map(|(index, row)| {
        [
            outcome("row_clearance_nm", index + 1, row.clearance_nm),
            outcome("row_largest_nm", index + 1, row.largest_nm),
            outcome("row_smallest_nm", index + 1, row.smallest_nm),
        ]
    });
    whole.into_iter().chain(rows.flatten()).collect()
}
