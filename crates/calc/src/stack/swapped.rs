//! `swapped_spacers`: do two end plays look like two spacers that changed places, as a described method.

use serde_json::Value;

use super::{
    AssembledPair, default_ring,
    method::{RING, TARGET_MAX, TARGET_MIN, read_ring},
    suspect_swapped,
};
use crate::{
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        optional_mm, wrong,
    },
    quantity::to_nanometres,
};

/// `swapped_spacers`: two spacers that look swapped.
pub const METHOD: Method = Method {
    name: "swapped_spacers",
    title: "Swapped spacers",
    summary: "Looks for one row pair that is too tight and another that is too loose by what their spacers differ.",
    inputs: &[
        Param::of(
            Kind::Objects,
            "pairs",
            "row pairs from the barrel as assembled, each an object of the keys below",
            "two or more",
        ),
        Param::number(
            "pairs[].clearance_mm",
            "mm",
            "clearance found",
            "-100000 to 100000",
        ),
        TARGET_MIN,
        TARGET_MAX,
        Param::number(
            "pairs[].spacer_mm",
            "mm",
            "width of the spacer that is in",
            "above 0",
        )
        .optional(),
        RING,
    ],
    outputs: &[
        Output::new("suspected", "", "true where two spacers look swapped"),
        Output::new(
            "tight_pair",
            "",
            "pair that is too tight, counted from 1; null where none is suspected",
        ),
        Output::new(
            "loose_pair",
            "",
            "pair that is too loose, counted from 1; null where none is suspected",
        ),
        Output::new(
            "tight_after_mm",
            "mm",
            "clearance of the tight pair after changing over; null without both widths",
        ),
        Output::new(
            "loose_after_mm",
            "mm",
            "clearance of the loose pair after changing over; null without both widths",
        ),
    ],
    formula: "one pair below its target, one of the same ring above: with widths, changing over must bring both inside \
              (clearance + wider, clearance - wider); without widths, the sum of both lies inside the sum of the targets",
    source: "common practice, no source (arithmetic)",
    cautions: &[
        "It is a suspicion: read the letters on the spacers and measure their widths before opening anything.",
        "Spacers carry letters and belong to one serial; never complete a set from another bearing.",
    ],
    example: r#"{"pairs": [{"clearance_mm": 0.12, "spacer_mm": 23.81, "target_min_mm": 0.27, "target_max_mm": 0.33}, {"clearance_mm": 0.31, "spacer_mm": 29.7, "target_min_mm": 0.27, "target_max_mm": 0.33}, {"clearance_mm": 0.49, "spacer_mm": 23.995, "target_min_mm": 0.27, "target_max_mm": 0.33}]}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let mut index = 0;
    let pairs: Vec<AssembledPair> = input.list("pairs", |value, path| {
        let pair = Object::inner(value, path)?;
        let read = AssembledPair {
            ring: read_ring(&pair, default_ring(index))?,
            spacer: pair.optional_length("spacer_mm", &Bounds::LENGTH_MM)?,
            clearance: pair.length("clearance_mm", &Bounds::DIFFERENCE_MM)?,
            target_min: pair.length("target_min_mm", &Bounds::DIFFERENCE_MM)?,
            target_max: pair.length("target_max_mm", &Bounds::DIFFERENCE_MM)?,
        };
        if read.target_min > read.target_max {
            let problem = "the smallest clearance of the target is above the largest".to_owned();
            return Err(wrong(&pair.path("target_min_mm"), problem));
        }
        pair.finish()?;
        index += 1;
        Ok(read)
    })?;
    input.finish()?;
    if pairs.len() < 2 {
        return Err(wrong(
            "pairs",
            "at least two row pairs are needed".to_owned(),
        ));
    }
    let found = suspect_swapped(&pairs);
    let steps = steps(&pairs);
    let count = |place: Option<usize>| Value::from(place.map(|place| place + 1));
    let after = found.and_then(|found| found.after);
    let output = object([
        ("suspected", Value::from(found.is_some())),
        ("tight_pair", count(found.map(|found| found.small))),
        ("loose_pair", count(found.map(|found| found.large))),
        ("tight_after_mm", optional_mm(after.map(|after| after.0))),
        ("loose_after_mm", optional_mm(after.map(|after| after.1))),
    ]);
    Ok(Worked { output, steps })
}

fn steps(pairs: &[AssembledPair]) -> Vec<Step> {
    let length = Part::Length;
    let mut steps: Vec<Step> = pairs
        .iter()
        .enumerate()
        .map(|(place, pair)| {
            let nm = to_nanometres(pair.clearance);
            let word = if nm < to_nanometres(pair.target_min) {
                "too tight"
            } else if nm > to_nanometres(pair.target_max) {
                "too loose"
            } else {
                "inside"
            };
            Step::new(
                &format!(
                    "rows {}: {{}} against {{}} to {{}}",
                    crate::disposition::pair_rows(place)
                ),
                [
                    length(pair.clearance),
                    length(pair.target_min),
                    length(pair.target_max),
                ],
                Part::text(word),
                "clearance against its target",
            )
        })
        .collect();
    let Some(found) = suspect_swapped(pairs) else {
        steps.push(Step::new(
            "no two pairs that changing over would bring inside",
            [],
            Part::text("not suspected"),
            "same ring, one tight, one loose",
        ));
        return steps;
    };
    let (tight, loose) = (&pairs[found.small], &pairs[found.large]);
    match (found.after, tight.spacer.zip(loose.spacer)) {
        (Some((tight_after, loose_after)), Some((narrow, wide))) => {
            for (pair, sign, result) in [(tight, "+", tight_after), (loose, "-", loose_after)] {
                steps.push(Step::new(
                    &format!("{{}} {sign} ({{}} - {{}})"),
                    [length(pair.clearance), length(wide), length(narrow)],
                    length(result),
                    "after changing over: inside",
                ));
            }
        }
        _ => steps.push(Step::new(
            "{} + {}",
            [length(tight.clearance), length(loose.clearance)],
            length(tight.clearance + loose.clearance),
            "the sum is that of a right set: measure the widths",
        )),
    }
    steps
}
