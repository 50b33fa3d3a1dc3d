//! `stack`: clearances, grinding amounts and stack changes, as a described method.

use serde_json::Value;

use super::{PairReading, StackPair, StackRing, default_ring, stack};
use crate::method::{
    Bounds, InputError, Method, Object, Output, Param, object, optional_mm, renamed, whole_nm_mm,
    wrong,
};

/// `stack`: spacer grinding of a four-row tapered roller bearing.
pub const METHOD: Method = Method {
    name: "stack",
    title: "Stack: spacers and clearance",
    summary: "Clearance per row pair from gaps and spacer widths, and what to grind off each spacer to reach the target.",
    inputs: &[
        Param {
            key: "pairs",
            unit: "",
            meaning: "row pairs from the barrel, each an object of the keys below",
            range: "at least one",
            required: true,
        },
        Param {
            key: "pairs[].spacer_mm",
            unit: "mm",
            meaning: "spacer width",
            range: "above 0",
            required: true,
        },
        Param {
            key: "pairs[].gaps_mm",
            unit: "mm",
            meaning: "gaps without spacer, usually four; either this or clearance_mm",
            range: "above 0",
            required: false,
        },
        Param {
            key: "pairs[].clearance_mm",
            unit: "mm",
            meaning: "clearance itself; either this or gaps_mm",
            range: "-100000 to 100000",
            required: false,
        },
        Param {
            key: "pairs[].target_min_mm",
            unit: "mm",
            meaning: "smallest clearance wanted",
            range: "finite",
            required: true,
        },
        Param {
            key: "pairs[].target_max_mm",
            unit: "mm",
            meaning: "largest clearance wanted",
            range: "not below target_min_mm",
            required: true,
        },
        Param {
            key: "pairs[].min_spacer_mm",
            unit: "mm",
            meaning: "smallest spacer width",
            range: "above 0",
            required: true,
        },
        Param {
            key: "pairs[].ring",
            unit: "",
            meaning: "outer or inner: between which rings the spacer lies",
            range: "outer, inner; default outer, inner, outer",
            required: false,
        },
        Param {
            key: "step_mm",
            unit: "mm",
            meaning: "grinding step",
            range: "0.000001 or more",
            required: true,
        },
    ],
    outputs: &[
        Output {
            key: "pairs[].clearance_mm",
            unit: "mm",
            meaning: "clearance now",
        },
        Output {
            key: "pairs[].grind_mm",
            unit: "mm",
            meaning: "to grind off; null where refused",
        },
        Output {
            key: "pairs[].new_spacer_mm",
            unit: "mm",
            meaning: "width after grinding; null where refused",
        },
        Output {
            key: "pairs[].new_clearance_mm",
            unit: "mm",
            meaning: "clearance after grinding; null where refused",
        },
        Output {
            key: "pairs[].verdict",
            unit: "",
            meaning: "pass: inside the target, now or after grinding; fail: refused",
        },
        Output {
            key: "outer_stack_change_mm",
            unit: "mm",
            meaning: "change of the outer stack, negative = shorter; null where one of its pairs is refused",
        },
        Output {
            key: "inner_stack_change_mm",
            unit: "mm",
            meaning: "the same for the inner stack",
        },
    ],
    formula: "clearance = spacer - mean(gaps); grind = clearance - (target_min + target_max)/2, floored to the step, \
              one step more if that leaves the clearance above target_max; inside the target: 0; below it, or the new \
              spacer under its minimum: refused. All in whole nanometres.",
    source: "owner's manual rules in shared/reference/bench_four_row_trb.toml; rounding and refusals: common practice, no source",
    cautions: &[
        "The outer stack gets shorter: the cover shims are recalculated from widths measured after grinding.",
        "A shorter inner stack needs its axial retention on the neck checked.",
        "Grinding restores clearance, not a worn raceway.",
        "Lifting stacked rings: follow the site's lifting procedure, never hands between hanging rings.",
    ],
    run,
};

fn run(input: &Value) -> Result<Value, InputError> {
    let input = Object::root(input)?;
    let mut index = 0;
    let pairs: Vec<StackPair> = input.list("pairs", |value, path| {
        let pair = read_pair(value, path, default_ring(index));
        index += 1;
        pair
    })?;
    let step = input.length("step_mm", &Bounds::LENGTH_MM)?;
    input.finish()?;
    let plan = stack(&pairs, step).map_err(|error| renamed(&error, &KEYS))?;
    let pairs = plan.pairs.iter().map(|pair| {
        object([
            ("clearance_mm", whole_nm_mm(pair.clearance)),
            ("grind_mm", optional_mm(pair.grind)),
            ("new_spacer_mm", optional_mm(pair.new_spacer)),
            ("new_clearance_mm", optional_mm(pair.new_clearance)),
            ("verdict", Value::from(pair.verdict.as_str())),
        ])
    });
    Ok(object([
        ("pairs", pairs.collect()),
        ("outer_stack_change_mm", optional_mm(plan.outer_change)),
        ("inner_stack_change_mm", optional_mm(plan.inner_change)),
    ]))
}

const KEYS: [(&str, &str); 7] = [
    ("spacer", "spacer_mm"),
    ("gaps", "gaps_mm"),
    ("clearance", "clearance_mm"),
    ("target_min", "target_min_mm"),
    ("target_max", "target_max_mm"),
    ("min_spacer", "min_spacer_mm"),
    ("step", "step_mm"),
];

fn read_pair(value: &Value, path: String, default: StackRing) -> Result<StackPair, InputError> {
    let pair = Object::inner(value, path)?;
    let spacer = pair.length("spacer_mm", &Bounds::LENGTH_MM)?;
    let gaps = pair.optional_lengths("gaps_mm", &Bounds::LENGTH_MM)?;
    let clearance = pair.optional_length("clearance_mm", &Bounds::DIFFERENCE_MM)?;
    let reading = match (gaps, clearance) {
        (Some(gaps), None) => PairReading::Gaps(gaps),
        (None, Some(clearance)) => PairReading::Clearance(clearance),
        (None, None) => {
            return Err(wrong(
                &pair.path("gaps_mm"),
                "missing; gaps_mm or clearance_mm is needed".to_owned(),
            ));
        }
        (Some(_), Some(_)) => {
            return Err(wrong(
                &pair.path("clearance_mm"),
                "given beside gaps_mm; only one of both".to_owned(),
            ));
        }
    };
    let ring = match pair.optional("ring") {
        None => default,
        Some(ring) if ring == "outer" => StackRing::Outer,
        Some(ring) if ring == "inner" => StackRing::Inner,
        Some(_) => {
            return Err(wrong(
                &pair.path("ring"),
                "outer or inner is expected".to_owned(),
            ));
        }
    };
    let read = StackPair {
        spacer,
        reading,
        target_min: pair.length("target_min_mm", &Bounds::DIFFERENCE_MM)?,
        target_max: pair.length("target_max_mm", &Bounds::DIFFERENCE_MM)?,
        min_spacer: pair.length("min_spacer_mm", &Bounds::LENGTH_MM)?,
        ring,
    };
    pair.finish()?;
    Ok(read)
}
