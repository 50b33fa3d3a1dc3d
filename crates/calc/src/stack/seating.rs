//! `seating`: do the gaps round a ring agree, as a described method.

use serde_json::Value;

use super::{USUAL_SPREAD_UM, end_play, gap_spread, is_seated, mean_gap};
use crate::{
    conformity::Verdict,
    error::CalcError,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, lengths,
        object, optional_mm, renamed, whole_nm_mm,
    },
    quantity::micrometres,
};

/// `seating`: whether a stack is seated, from the gaps round one ring.
pub const METHOD: Method = Method {
    name: "seating",
    title: "Seating",
    summary: "Spread of the gaps read round a ring against its limit: a wide spread means that the stack is not seated, or \
              worn on one side.",
    inputs: &[
        Param::of(
            Kind::Numbers,
            "gaps_mm",
            "gaps without spacer, usually at four places 90 degrees apart",
            "above 0",
        )
        .unit("mm"),
        Param::number(
            "limit_mm",
            "mm",
            "largest spread of a seated stack, as the type says",
            "0 or more; none = 0.05",
        )
        .optional(),
        Param::number(
            "spacer_mm",
            "mm",
            "spacer width, for the end play",
            "above 0",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("verdict", "", "pass: seated; fail: turn and repeat"),
        Output::new("spread_mm", "mm", "largest minus smallest gap"),
        Output::new("mean_gap_mm", "mm", "mean of the gaps"),
        Output::new(
            "largest_place",
            "",
            "place of the largest gap, counted from 1",
        ),
        Output::new(
            "smallest_place",
            "",
            "place of the smallest gap, counted from 1",
        ),
        Output::new(
            "end_play_mm",
            "mm",
            "spacer - mean gap; null without spacer",
        ),
    ],
    formula: "spread = largest gap - smallest gap; seated up to and including the limit; end play = spacer - mean gap",
    source: "four places and mean: shared/reference/bench_four_row_trb.toml; spread and its usual limit: common practice, no source",
    cautions: &[
        "Not seated: turn the stack, seat it again, read again; do not average over a bad seat.",
        "A spread that stays in the same places is wear on one side: keep the readings.",
        "Never reach between hanging or tilting rings; the site's lifting procedure holds.",
    ],
    example: r#"{"gaps_mm": [23.372, 23.366, 23.378, 23.372], "limit_mm": 0.05, "spacer_mm": 24.012}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let gaps = lengths(input.required("gaps_mm")?, "gaps_mm", &Bounds::LENGTH_MM)?;
    let given = input.optional_length("limit_mm", &Bounds::LENGTH_OR_NONE_MM)?;
    let limit = given.unwrap_or(micrometres(USUAL_SPREAD_UM));
    let spacer = input.optional_length("spacer_mm", &Bounds::LENGTH_MM)?;
    input.finish()?;
    let named = |error: CalcError| renamed(&error, &[("gaps", "gaps_mm")]);
    let spread = gap_spread(&gaps).map_err(named)?;
    let mean = mean_gap(&gaps).map_err(named)?;
    let verdict = Verdict::pass_if(is_seated(spread, limit));
    // The first of equals, so that the answer does not depend on how a list is searched.
    let (mut largest, mut smallest) = (0, 0);
    for (place, gap) in gaps.iter().enumerate() {
        if *gap > gaps[largest] {
            largest = place;
        }
        if *gap < gaps[smallest] {
            smallest = place;
        }
    }
    let play = spacer.map(|spacer| end_play(spacer, mean));
    let length = Part::Length;
    let mut steps = vec![
        Step::new(
            "{} - {}",
            [length(gaps[largest]), length(gaps[smallest])],
            length(spread),
            "spread",
        ),
        Step::new(
            "{} against {}",
            [length(spread), length(limit)],
            Part::text(verdict.word()),
            if given.is_some() {
                "seated up to the limit"
            } else {
                "seated up to the usual limit, common practice, no source"
            },
        ),
        Step::new(
            "mean of {} gaps",
            [Part::number(gaps.len() as f64, "", 0)],
            length(mean),
            "to the nanometre",
        ),
    ];
    if let Some((spacer, play)) = spacer.zip(play) {
        steps.push(Step::new(
            "{} - {}",
            [length(spacer), length(mean)],
            length(play),
            "end play; positive = clearance",
        ));
    }
    let output = object([
        ("verdict", Value::from(verdict.as_str())),
        ("spread_mm", whole_nm_mm(spread)),
        ("mean_gap_mm", whole_nm_mm(mean)),
        ("largest_place", Value::from(largest + 1)),
        ("smallest_place", Value::from(smallest + 1)),
        ("end_play_mm", optional_mm(play)),
    ]);
    Ok(Worked { output, steps })
}
