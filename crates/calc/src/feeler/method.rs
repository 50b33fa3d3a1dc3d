//! `feeler`: radial clearance by feelers as a described method.

use serde_json::Value;

use super::{RowReading, feeler};
use crate::{
    conformity::Limits,
    error::CalcError,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        optional_mm, renamed, whole_nm_mm, wrong,
    },
    quantity::micrometres,
};

/// `feeler`: radial clearance of a bearing by feelers.
pub const METHOD: Method = Method {
    name: "feeler",
    title: "Feeler clearance",
    summary: "Clearance of each row from the leaves that passed and were refused, mean of the rows, and whether every row \
              and the mean lie inside the limits.",
    inputs: &[
        Param::of(
            Kind::Objects,
            "rows",
            "rows from the barrel, each an object of the keys below",
            "at least one",
        ),
        Param::of(
            Kind::Numbers,
            "rows[].passing_mm",
            "leaves that passed over three consecutive rollers, wherever tried; with refused_mm",
            "above 0",
        )
        .unit("mm")
        .optional(),
        Param::of(
            Kind::Numbers,
            "rows[].refused_mm",
            "leaves that were refused",
            "above 0",
        )
        .unit("mm")
        .optional(),
        Param::of(
            Kind::Numbers,
            "rows[].thin_ring_mm",
            "large thin ring instead of leaves: a, b 90 degrees to either side of the open place, then c at it",
            "three values, 0 or more",
        )
        .unit("mm")
        .optional(),
        Param::number("lower_mm", "mm", "smallest clearance allowed", "one limit at least")
            .optional(),
        Param::number("upper_mm", "mm", "largest clearance allowed", "not below lower_mm")
            .optional(),
        Param::number(
            "expanded_uncertainty_um",
            "um",
            "U of a row at k = 2; left out: not known, then at best in doubt",
            "0 or more, or null",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("clearance_mm", "mm", "mean of the rows: the value of the bearing"),
        Output::new("verdict", "", "worst of the rows and the mean"),
        Output::new("rows[].clearance_mm", "mm", "clearance of the row"),
        Output::new(
            "rows[].largest_mm",
            "mm",
            "thickest leaf that passed; null for a thin ring",
        ),
        Output::new(
            "rows[].smallest_mm",
            "mm",
            "thinnest leaf that was refused; null for a thin ring",
        ),
        Output::new("rows[].verdict", "", "of this row alone"),
    ],
    formula: "row = (thickest passing + thinnest refused) / 2; large thin ring: 0.5 (a + b + c); bearing = mean of rows; \
              every row and the mean inside the limits, verdict see conformity",
    source: "common practice, no source; conformity: ISO 14253-1:2017 (memory)",
    cautions: &[
        "Slide the leaf over three rollers that are seated; never roll a roller over the leaf.",
        "Feelers read a little less than a gauge under load: compare like with like.",
        "Bearing, leaves and bench at one temperature; a warm bearing shows too much or too little.",
        "Fingers stay clear of rings that can turn or tilt; the site's lifting procedure holds for standing rings.",
    ],
    example: r#"{"rows": [{"passing_mm": [0.24, 0.23, 0.24], "refused_mm": [0.25, 0.24, 0.26]}, {"passing_mm": [0.25, 0.24, 0.24], "refused_mm": [0.27, 0.26, 0.26]}], "lower_mm": 0.22, "upper_mm": 0.28, "expanded_uncertainty_um": 12}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let rows = input.list("rows", read_row)?;
    let limits = Limits {
        lower: input.optional_length("lower_mm", &Bounds::DIFFERENCE_MM)?,
        upper: input.optional_length("upper_mm", &Bounds::DIFFERENCE_MM)?,
        ..Limits::default()
    };
    let uncertainty = input
        .optional_number("expanded_uncertainty_um", &Bounds::NOT_NEGATIVE)?
        .map(micrometres);
    input.finish()?;
    let found = feeler(&rows, &limits, uncertainty).map_err(|error| named(&error))?;
    let length = Part::Length;
    let mut steps = Vec::new();
    for (place, (reading, (row, conformity))) in rows.iter().zip(&found.rows).enumerate() {
        let name = format!("row {}", place + 1);
        steps.push(match (reading, row.largest, row.smallest) {
            (RowReading::ThinRing { open, sides }, ..) => Step::new(
                &format!("{name}: ({{}} + {{}} + {{}}) / 2"),
                [length(sides[0]), length(sides[1]), length(*open)],
                length(row.clearance),
                "large thin ring",
            ),
            (_, Some(largest), Some(smallest)) => Step::new(
                &format!("{name}: ({{}} + {{}}) / 2"),
                [length(largest), length(smallest)],
                length(row.clearance),
                "thickest passing, thinnest refused",
            ),
            _ => Step::new(&name, [], length(row.clearance), "clearance"),
        });
        steps.push(conformity.step(&name, &limits.thresholds));
    }
    steps.push(Step::new(
        "mean of {} rows",
        [Part::number(rows.len() as f64, "", 0)],
        length(found.clearance),
        "value of the bearing",
    ));
    steps.push(found.of_mean.step("mean", &limits.thresholds));
    let rows = found.rows.iter().map(|(row, conformity)| {
        object([
            ("clearance_mm", whole_nm_mm(row.clearance)),
            ("largest_mm", optional_mm(row.largest)),
            ("smallest_mm", optional_mm(row.smallest)),
            ("verdict", Value::from(conformity.verdict.as_str())),
        ])
    });
    let output = object([
        ("clearance_mm", whole_nm_mm(found.clearance)),
        ("verdict", Value::from(found.verdict.as_str())),
        ("rows", rows.collect()),
    ]);
    Ok(Worked { output, steps })
}

fn read_row(value: &Value, path: String) -> Result<RowReading, InputError> {
    let row = Object::inner(value, path)?;
    let passing = row.optional_lengths("passing_mm", &Bounds::LENGTH_MM)?;
    let refused = row.optional_lengths("refused_mm", &Bounds::LENGTH_MM)?;
    let thin_ring = row.optional_lengths("thin_ring_mm", &Bounds::LENGTH_OR_NONE_MM)?;
    let path = |key| row.path(key);
    let reading = match (passing, refused, thin_ring.as_deref()) {
        (Some(passing), Some(refused), None) => RowReading::Leaves { passing, refused },
        (None, None, Some(&[a, b, open])) => RowReading::ThinRing {
            open,
            sides: [a, b],
        },
        (None, None, Some(values)) => {
            let problem = format!("has {} values, three are expected", values.len());
            return Err(wrong(&path("thin_ring_mm"), problem));
        }
        (_, _, Some(_)) => {
            let problem = "given beside leaves; only one of both".to_owned();
            return Err(wrong(&path("thin_ring_mm"), problem));
        }
        (Some(_), None, None) => {
            return Err(wrong(
                &path("refused_mm"),
                "missing beside passing_mm".to_owned(),
            ));
        }
        (None, _, None) => {
            let problem = "missing; passing_mm and refused_mm, or thin_ring_mm, are needed";
            return Err(wrong(&path("passing_mm"), problem.to_owned()));
        }
    };
    row.finish()?;
    Ok(reading)
}

fn named(error: &CalcError) -> InputError {
    renamed(
        error,
        &[
            ("passing", "passing_mm"),
            ("refused", "refused_mm"),
            ("open", "thin_ring_mm"),
            ("sides", "thin_ring_mm"),
            ("lower", "lower_mm"),
            ("upper", "upper_mm"),
            ("expanded_uncertainty", "expanded_uncertainty_um"),
        ],
    )
}
