//! `push_up`: a tapered bore on its seat as a described method.

use serde_json::Value;

use super::{GUIDE_SOURCE, TAPER_RANGE, TaperSeat, guide, push_up_for, reduction_by};
use crate::{
    method::{
        Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, mm, number, object,
        optional_mm, renamed, whole_nm_mm, wrong,
    },
    quantity::{Length, millimetres},
};

/// `push_up`: from the push-up on a taper to the loss of radial clearance, and back.
pub const METHOD: Method = Method {
    name: "push_up",
    title: "Push-up on a taper",
    summary: "What a push-up on a tapered seat takes of the radial clearance of a spherical roller bearing, or how far it \
              has to be pushed for a wanted reduction; with a bearing maker's guide values beside it.",
    inputs: &[
        Param::number("bore_mm", "mm", "bore at its small end", "above 0"),
        Param::number(
            "outside_mm",
            "mm",
            "outside diameter of the bearing",
            "above bore_mm",
        ),
        Param::number(
            "taper",
            "",
            "taper on diameter, 1 in this: 12 or 30",
            "8 to 50",
        ),
        Param::number(
            "push_up_mm",
            "mm",
            "way from where the ring sits without play on its seat; this or the reduction",
            "above 0",
        )
        .optional(),
        Param::number(
            "reduction_mm",
            "mm",
            "wanted reduction of the radial clearance; this or the push-up",
            "above 0",
        )
        .optional(),
        Param::number(
            "shaft_bore_mm",
            "mm",
            "bore of the shaft; left out: solid",
            "0 or more",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("push_up_mm", "mm", "push-up"),
        Output::new("reduction_mm", "mm", "reduction of the radial clearance"),
        Output::new(
            "share",
            "",
            "share of the interference that the raceway takes",
        ),
        Output::new(
            "guide_reduction_min_mm",
            "mm",
            "guide value; null beyond the table",
        ),
        Output::new(
            "guide_reduction_max_mm",
            "mm",
            "guide value; null beyond the table",
        ),
        Output::new(
            "guide_push_up_min_mm",
            "mm",
            "guide value; null where there is none",
        ),
        Output::new(
            "guide_push_up_max_mm",
            "mm",
            "guide value; null where there is none",
        ),
    ],
    formula: "reduction = share x push_up / taper; share = d/F on a solid shaft, F = d + 0.3 (D - d)",
    source: "geometry of the taper; share: NTN CAT. No. 2203/E, table 8.3, F: SKF 17000/1 EN, p. 146; guide: SKF, drive-up \
             data card for spherical roller bearings",
    cautions: &[
        "The reduction of clearance decides; the push-up only tells where to begin measuring.",
        "Zero of the push-up is where the ring sits without play on a clean, lightly oiled seat; a hollow shaft needs more.",
        "Measure both rows with the rings parallel; never below the smallest clearance that the bearing may keep.",
        "Oil injection: a taper can let go with a bang. Leave the nut on, stand aside, rated pump and hoses, bleed before loosening; the site's own procedure comes first.",
    ],
    example: r#"{"bore_mm": 180, "outside_mm": 300, "taper": 12, "push_up_mm": 1.3}"#,
    run,
};

const KEYS: [(&str, &str); 7] = [
    ("bore", "bore_mm"),
    ("outside", "outside_mm"),
    ("inner_raceway", "outside_mm"),
    ("shaft_bore", "shaft_bore_mm"),
    ("taper", "taper"),
    ("push_up", "push_up_mm"),
    ("reduction", "reduction_mm"),
];

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let seat = TaperSeat {
        bore: input.length("bore_mm", &Bounds::LENGTH_MM)?,
        outside: input.length("outside_mm", &Bounds::LENGTH_MM)?,
        taper: input.number("taper", &Bounds::within(TAPER_RANGE))?,
        shaft_bore: input
            .optional_length("shaft_bore_mm", &Bounds::LENGTH_OR_NONE_MM)?
            .unwrap_or_else(|| millimetres(0.0)),
    };
    let pushed = input.optional_length("push_up_mm", &Bounds::LENGTH_MM)?;
    let wanted = input.optional_length("reduction_mm", &Bounds::LENGTH_MM)?;
    input.finish()?;
    let error = |e| renamed(&e, &KEYS);
    let share = seat.share().map_err(error)?;
    let (push_up, reduction) = match (pushed, wanted) {
        (Some(push_up), None) => (push_up, reduction_by(&seat, push_up).map_err(error)?),
        (None, Some(reduction)) => (push_up_for(&seat, reduction).map_err(error)?, reduction),
        (Some(_), Some(_)) => {
            let problem = "given beside push_up_mm; only one of both".to_owned();
            return Err(wrong("reduction_mm", problem));
        }
        (None, None) => {
            let problem = "missing; the push-up or the reduction is needed".to_owned();
            return Err(wrong("push_up_mm", problem));
        }
    };
    let table = guide(seat.bore, seat.taper).ok();
    let share_part = Part::number(share, "", 3);
    let taper = Part::number(seat.taper, "", 1);
    let mut steps = vec![Step::new(
        "share at bore {}, outside diameter {}",
        [Part::Length(seat.bore), Part::Length(seat.outside)],
        share_part.clone(),
        "of the interference, by Lam\u{e9}",
    )];
    steps.push(if pushed.is_some() {
        Step::new(
            "{} x {} / {}",
            [share_part, Part::Length(push_up), taper],
            Part::Length(reduction),
            "share x push-up / taper: loss of radial clearance",
        )
    } else {
        Step::new(
            "{} x {} / {}",
            [taper, Part::Length(reduction), share_part],
            Part::Length(push_up),
            "taper x reduction / share: push-up",
        )
    });
    if let Some(table) = &table {
        let (from, to) = table.reduction;
        steps.push(
            table
                .range
                .step(range_words(from, to), format!("reduction: {GUIDE_SOURCE}")),
        );
    }
    let ends = |pair: Option<(Length, Length)>| (pair.map(|p| p.0), pair.map(|p| p.1));
    let guide_reduction = ends(table.map(|t| t.reduction));
    let guide_push_up = ends(table.and_then(|t| t.push_up));
    let output = object([
        ("push_up_mm", mm("push_up_mm", push_up)?),
        ("reduction_mm", mm("reduction_mm", reduction)?),
        ("share", number("share", share)?),
        ("guide_reduction_min_mm", optional_mm(guide_reduction.0)),
        ("guide_reduction_max_mm", optional_mm(guide_reduction.1)),
        ("guide_push_up_min_mm", optional_mm(guide_push_up.0)),
        ("guide_push_up_max_mm", optional_mm(guide_push_up.1)),
    ]);
    Ok(Worked { output, steps })
}

/// `0.08 to 0.095 mm`: a range that the table prints in mm.
fn range_words(from: Length, to: Length) -> Part {
    Part::text(format!("{} to {} mm", whole_nm_mm(from), whole_nm_mm(to)))
}
