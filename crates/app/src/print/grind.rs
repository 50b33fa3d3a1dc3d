//! The order to grind the spacers of a bearing: from which width to which, the stack with its gaps, what follows for the
//! cover shims and the retention on the neck, and room to write down what was measured afterwards.
//!
//! From a signed sheet or from one that is still open; which of them it is stands at the top.

use calc::quantity::to_nanometres;
use report::{Cell, Column, Labelled, Mark, Marked, Paper, Part, Table};
use store::draft::{self, DraftId, Fields};
use store::entry::Show;
use store::query::{self, SheetDetail};
use store::sheet::field::{self, GAP_DEGREES};
use store::sheet::{Assessment, Facts, PairView, ShimView, TypeFacts, assess};
use store::{Connection, Stamp};

use super::imprint::{CAUTIONS, imprint, to_sign};
use super::{PrintError, PrintJob, Result, counted, labelled, pictures};
use crate::drawings;

/// Which sheet the order comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OrderOf {
    /// A signed sheet, by its event.
    Signed(i64),
    /// One that is not signed yet.
    Open(DraftId),
}

/// A sheet as it stands, whether it is signed or not.
struct Source {
    fields: Fields,
    facts: Facts,
    assessment: Assessment,
    detail: Option<SheetDetail>,
}

/// The order.
pub(super) fn paper(conn: &Connection, of: OrderOf, job: &PrintJob) -> Result<Paper> {
    let show = job.show;
    let source = source(conn, of, job)?;
    let facts = &source.facts;
    let t = facts.bearing_type.clone().unwrap_or_default();
    let serial = facts
        .bearing
        .as_ref()
        .map(|b| b.serial.clone())
        .unwrap_or_default();
    let rows: Vec<Spacer> = (0..3).map(|i| Spacer::of(&source, i)).collect();
    let count = rows
        .iter()
        .filter(|row| row.grind_nm.is_some_and(|nm| nm > 0))
        .count();
    if count == 0 {
        return Err(PrintError::NothingToGrind(serial));
    }
    let signer = source.detail.as_ref();
    let state = match signer {
        Some(detail) => Marked {
            text: format!("signed by {}", detail.signer),
            mark: Mark::Pass,
        },
        None => Marked {
            text: "not signed yet".into(),
            mark: Mark::Missing,
        },
    };
    let mut imprint = imprint(
        conn,
        job,
        signer.map_or(&[], std::slice::from_ref),
        &[CAUTIONS[5], CAUTIONS[6]],
    )?;
    let ordered = signer.map(|d| d.ordered_by.clone()).unwrap_or_default();
    imprint.signature_lines = to_sign(&[
        (&ordered, "ordered, engineer: name, date"),
        ("", "ground: name, date"),
        ("", "measured afterwards: name, date"),
    ]);
    let mut parts = vec![Part::Table(to_grind(&rows, show))];
    parts.extend(stack(&source, &t, show).map(Part::Drawing));
    parts.push(Part::Table(afterwards(&rows, &source, show)));
    parts.push(Part::Facts {
        title: "What follows".into(),
        note: "measure the widths after grinding, then work it out anew".into(),
        rows: follows(&rows, &source, show),
    });
    parts.push(Part::Notes {
        title: "How it was worked out".into(),
        lines: worked_out(&t),
    });
    Ok(Paper {
        title_line: format!("Spacer grind order {serial}"),
        name: signer.map_or_else(|| serial.clone(), |d| d.event.id.to_string()),
        counts: counted(count, "spacer"),
        headline: format!("Grind {} of {serial}", counted(count, "spacer")),
        state,
        summary: summary(&rows, show),
        left: vec![
            labelled("bearing", serial),
            labelled("type", t.code.clone()),
            labelled(
                "chock",
                facts
                    .chock
                    .as_ref()
                    .map(|c| c.code.clone())
                    .unwrap_or_default(),
            ),
        ],
        right: vec![
            labelled(
                "record",
                signer.map_or_else(|| "not signed yet".into(), |d| d.event.id.to_string()),
            ),
            labelled("measured", facts.at.date_time()),
            labelled("gauges", gauges(&source)),
            labelled("limits", super::facts::version(&t, job.now.offset_min)),
        ],
        parts,
        imprint,
    })
}

fn source(conn: &Connection, of: OrderOf, job: &PrintJob) -> Result<Source> {
    let (fields, at, unit, detail) = match of {
        OrderOf::Signed(event) => {
            let detail =
                query::sheet_detail(conn, event, job.show)?.ok_or(PrintError::NoSuch("sheet"))?;
            let signed = detail
                .teardown
                .as_ref()
                .ok_or(PrintError::NoSuch("teardown sheet"))?;
            (
                store::form::fields_of(&signed.body),
                detail.event.at,
                store::form::unit_of(&signed.body),
                Some(detail),
            )
        }
        OrderOf::Open(draft) => (
            draft::read(conn, draft)?.fields,
            job.now,
            job.show.unit,
            None,
        ),
    };
    let mut facts = Facts::load(conn, &fields, at)?;
    if let Some(detail) = &detail {
        facts = facts.as_entered(conn, detail.event.entered)?;
    }
    let assessment = assess(&fields, &facts, unit);
    Ok(Source {
        fields,
        facts,
        assessment,
        detail,
    })
}

/// One spacer with its order.
struct Spacer {
    pair: usize,
    /// Outer or inner rings.
    ring: &'static str,
    view: PairView,
    grind_nm: Option<i64>,
    new_nm: Option<i64>,
    least_nm: Option<i64>,
    /// Why no width can be given.
    refusal: String,
}

impl Spacer {
    fn of(source: &Source, index: usize) -> Self {
        let view = source.assessment.clearance.pairs[index].clone();
        let pair = index + 1;
        // What was signed counts, not what would be worked out today.
        let signed = |name: &str| source.detail.as_ref()?.result(name, pair as i64);
        let is_signed = source.detail.is_some();
        let t = source.facts.bearing_type.as_ref();
        let refusal = view.plan.as_ref().and_then(|plan| plan.refusal.as_ref());
        let refusal = refusal.filter(|_| !view.stays());
        Self {
            pair,
            ring: if pair == 2 {
                "inner rings"
            } else {
                "outer rings"
            },
            grind_nm: if is_signed {
                signed("grind_nm")
            } else {
                view.to_grind_nm()
            },
            new_nm: if is_signed {
                signed("new_spacer_nm")
            } else {
                view.new_spacer_nm
            },
            least_nm: t.and_then(|t| t.pair("spacer_min_nm", pair)),
            refusal: refusal.map_or_else(String::new, |_| {
                "not by grinding: the clearance is too small, or the spacer would be too thin"
                    .into()
            }),
            view,
        }
    }

    /// Clearance that the ordered width would leave.
    fn left_nm(&self) -> Option<i64> {
        match (&self.view.plan, self.new_nm) {
            (Some(plan), Some(new)) if Some(new) == plan.new_spacer.map(to_nanometres) => {
                plan.new_clearance.map(to_nanometres)
            }
            (_, Some(new)) => self.view.mean_gap_nm.map(|gap| new - gap),
            _ => None,
        }
    }
}

fn summary(rows: &[Spacer], show: Show) -> String {
    let unit = show.unit.sign();
    let ground: Vec<String> = rows
        .iter()
        .filter_map(|row| {
            let (grind, new) = (row.grind_nm.filter(|nm| *nm > 0)?, row.new_nm?);
            Some(format!(
                "{} by {} {unit} to {} {unit}",
                show.spacer(row.pair),
                show.length(grind),
                show.length(new)
            ))
        })
        .collect();
    format!(
        "Grind {}. Both faces stay parallel; nothing is taken off the rings.",
        ground.join(", ")
    )
}

fn to_grind(rows: &[Spacer], show: Show) -> Table {
    let length = |nm: Option<i64>| nm.map_or_else(|| "\u{2013}".into(), |nm| show.length(nm));
    let rows = rows.iter().map(|row| {
        let target = row.view.target_nm.map_or_else(
            || "no target".into(),
            |(low, high)| format!("{} to {}", show.length(low), show.length(high)),
        );
        let grind = match row.grind_nm {
            Some(0) => "stays".to_owned(),
            other => length(other),
        };
        let under = if row.refusal.is_empty() {
            format!("at least {}", length(row.least_nm))
        } else {
            row.refusal.clone()
        };
        vec![
            Cell::reading(show.spacer(row.pair), row.ring),
            Cell::text(show.pair_name(row.pair)),
            Cell::reading(
                length(row.view.end_play_nm),
                format!("as set {}", length(row.view.as_set_nm)),
            ),
            Cell::text(length(row.view.spacer_nm)),
            strong(grind),
            Cell {
                under,
                ..strong(length(row.new_nm))
            },
            Cell::reading(length(row.left_nm()), target),
        ]
    });
    Table {
        title: "To grind".into(),
        note: format!("{}, at 20 \u{b0}C", show.unit.sign()),
        columns: vec![
            Column::text("spacer"),
            Column::text("between"),
            Column::number("end play now"),
            Column::number("width now"),
            Column::number("take off"),
            Column::wide("to the width, smallest"),
            Column::number("end play then, target"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

fn strong(text: String) -> Cell {
    Cell {
        pieces: vec![report::Piece::bold(text)],
        ..Cell::default()
    }
}

/// The width that the stack is drawn in: wider than the page, so that the order and its signatures fit on one.
const ORDER: f32 = 940.0;

/// The stack with its gaps as they were read.
fn stack(source: &Source, t: &TypeFacts, show: Show) -> Option<report::Drawing> {
    if let Some(detail) = &source.detail {
        return pictures::stack(detail, t, show, ORDER);
    }
    let map = drawings::stack_map(&source.assessment, t, None, show);
    let gaps = source
        .assessment
        .clearance
        .pairs
        .each_ref()
        .map(|p| p.mean_gap_nm);
    let told = super::three(gaps, show)?;
    let alt = format!("{}: {told} {}.", map.title, show.unit.sign());
    let scene = map.scene(ORDER);
    Some(pictures::drawing(
        "Stack as measured",
        "without spacers, on the bench",
        &scene,
        alt,
    ))
}

/// What was measured after grinding, or room to write it down.
fn afterwards(rows: &[Spacer], source: &Source, show: Show) -> Table {
    let after = &source.assessment.clearance.after;
    let rows = rows.iter().map(|row| {
        let index = row.pair - 1;
        let length = |nm: Option<i64>| nm.map(|nm| show.length(nm)).unwrap_or_default();
        let mut cells = vec![Cell::reading(show.spacer(row.pair), "\u{a0}")];
        cells.extend(GAP_DEGREES.map(|degrees| {
            let typed = source.fields.get(&field::after_at(row.pair, degrees));
            typed.map_or_else(Cell::default, |field| Cell::text(field.text.trim()))
        }));
        cells.push(Cell::text(length(after.parallel_nm[index])));
        cells.push(strong(length(after.spacer_nm[index])));
        cells.push(Cell::text(length(after.end_play_nm[index])));
        cells
    });
    let mut columns = vec![Column::text("spacer")];
    columns.extend(GAP_DEGREES.map(|degrees| Column::wide(format!("at {degrees}\u{b0}"))));
    columns.extend([
        Column::wide("max \u{2212} min"),
        Column::number("width"),
        Column::number("end play"),
    ]);
    Table {
        title: "Measured after grinding".into(),
        note: "widths at four places as typed; parallel as the drawing says".into(),
        columns,
        rows: rows.collect(),
        half: false,
    }
}

fn follows(rows: &[Spacer], source: &Source, show: Show) -> Vec<Labelled> {
    let unit = show.unit.sign();
    let planned = |inner: bool| -> i64 {
        let of_ring = rows.iter().filter(|row| (row.pair == 2) == inner);
        of_ring.filter_map(|row| row.grind_nm).sum()
    };
    let after = &source.assessment.clearance.after;
    let shorter = |planned: i64, measured: Option<i64>| {
        let words = format!("shorter by {} {unit} as ordered", show.length(planned));
        match measured {
            Some(nm) if after.spacer_nm.iter().all(Option::is_some) => {
                format!("{words}, by {} {unit} as measured", show.length(-nm))
            }
            _ => words,
        }
    };
    let shim = match &after.shim {
        ShimView::New(nm) => format!("new pack {} {unit}", show.length(*nm)),
        ShimView::MachineCover(nm) => format!(
            "no pack is thin enough: machine the cover by {} {unit}",
            show.length(*nm)
        ),
        ShimView::Same => "the pack stays".into(),
        ShimView::NotKnown => "to be worked out from the widths measured after grinding".into(),
    };
    let place = match source.facts.chock.as_ref().map(|c| c.shim_place.as_str()) {
        Some("between") => "between cover and outer ring: the pack gets thicker",
        Some(_) => "under the cover flange: the pack gets thinner",
        None => "where the chock has them",
    };
    let found = source
        .fields
        .get("shim.found")
        .map(|f| f.text.trim().to_owned());
    let mut all = vec![
        labelled("outer stack", shorter(planned(false), after.outer_nm)),
        labelled("inner stack", shorter(planned(true), after.inner_nm)),
        labelled("shims", place),
    ];
    all.extend(
        found
            .filter(|t| !t.is_empty())
            .map(|text| labelled("pack found", format!("{text} {unit}"))),
    );
    all.push(labelled("pack then", shim));
    all.push(labelled(
        "cover gap",
        "measured at 4 places before the bolts are tightened; it decides",
    ));
    all.push(labelled(
        "on the neck",
        "the inner stack is shorter: check its axial retention",
    ));
    all
}

fn gauges(source: &Source) -> String {
    let text = |path: &str| {
        source
            .fields
            .get(path)
            .map(|f| f.text.trim().to_owned())
            .unwrap_or_default()
    };
    let all = [
        ("clearance.gauge_gap", "gaps"),
        ("clearance.gauge_width", "widths"),
    ];
    let told: Vec<String> = all
        .into_iter()
        .filter_map(|(path, of)| {
            let code = text(path);
            let gauge = source
                .facts
                .gauges
                .values()
                .find(|g| g.code.eq_ignore_ascii_case(&code))?;
            let due = Stamp::second(gauge.due_ms, source.facts.at.offset_min).date();
            let doubt = if gauge.doubt.is_empty() {
                String::new()
            } else {
                format!(", {}", gauge.doubt)
            };
            Some(format!("{of} {} (due {due}{doubt})", gauge.code))
        })
        .collect();
    if told.is_empty() {
        "not named".into()
    } else {
        told.join(", ")
    }
}

fn worked_out(t: &TypeFacts) -> Vec<String> {
    let step = t
        .whole("grind_step_nm")
        .map(|nm| Show::default().length(nm));
    let step = step.map_or_else(String::new, |mm| format!(", in steps of {mm} mm"));
    vec![
        format!(
            "End play = width of the spacer \u{2212} mean of its four gaps. To take off = end play \u{2212} middle of \
             the target{step}; a width under the smallest one is refused. Common practice, no source: the drawing and \
             the maker\u{2019}s manual come first."
        ),
        "Gaps are read on the bench, stacked without spacers; a spacer can only be ground thinner."
            .into(),
    ]
}
