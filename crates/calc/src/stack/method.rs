//! `stack`: clearances, grinding amounts and stack changes, as a described method.

use serde_json::Value;

use super::{PairReading, Refusal, StackPair, StackPlan, StackRing, default_ring, stack};
use crate::method::{
    Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
    optional_mm, renamed, whole_nm_mm, wrong,
};
use crate::quantity::Length;

/// Smallest clearance wanted of a pair.
pub(super) const TARGET_MIN: Param = Param::number(
    "pairs[].target_min_mm",
    "mm",
    "smallest clearance wanted",
    "finite",
);

/// Largest clearance wanted of a pair.
pub(super) const TARGET_MAX: Param = Param::number(
    "pairs[].target_max_mm",
    "mm",
    "largest clearance wanted",
    "not below target_min_mm",
);

/// Between which rings the spacer of a pair lies.
pub(super) const RING: Param = Param::of(
    Kind::Choice(&["outer", "inner"]),
    "pairs[].ring",
    "outer or inner: between which rings the spacer lies",
    "outer, inner; default outer, inner, outer",
)
.optional();

/// `stack`: spacer grinding of a four-row tapered roller bearing.
pub const METHOD: Method = Method {
    name: "stack",
    title: "Stack",
    summary: "Clearance per row pair from gaps and spacer widths, and what to grind off each spacer to reach the target.",
    inputs: &[
        Param::of(
            Kind::Objects,
            "pairs",
            "row pairs from the barrel, each an object of the keys below",
            "at least one",
        ),
        Param::number("pairs[].spacer_mm", "mm", "spacer width", "above 0"),
        Param::of(
            Kind::Numbers,
            "pairs[].gaps_mm",
            "gaps without spacer, usually four; either this or clearance_mm",
            "above 0",
        )
        .unit("mm")
        .optional(),
        Param::number(
            "pairs[].clearance_mm",
            "mm",
            "clearance itself; either this or gaps_mm",
            "-100000 to 100000",
        )
        .optional(),
        TARGET_MIN,
        TARGET_MAX,
        Param::number(
            "pairs[].min_spacer_mm",
            "mm",
            "smallest spacer width",
            "above 0",
        ),
        RING,
        Param::number("step_mm", "mm", "grinding step", "0.000001 or more"),
    ],
    outputs: &[
        Output::new("pairs[].clearance_mm", "mm", "clearance now"),
        Output::new("pairs[].grind_mm", "mm", "to grind off; null where refused"),
        Output::new(
            "pairs[].new_spacer_mm",
            "mm",
            "width after grinding; null where refused",
        ),
        Output::new(
            "pairs[].new_clearance_mm",
            "mm",
            "clearance after grinding; null where refused",
        ),
        Output::new(
            "pairs[].verdict",
            "",
            "pass: inside the target, now or after grinding; fail: refused",
        ),
        Output::new(
            "outer_stack_change_mm",
            "mm",
            "change of the outer stack, negative = shorter; null where one of its pairs is refused",
        ),
        Output::new(
            "inner_stack_change_mm",
            "mm",
            "the same for the inner stack; null likewise",
        ),
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
    example: r#"{"pairs": [{"spacer_mm": 24.012, "gaps_mm": [23.372, 23.366, 23.378, 23.372], "target_min_mm": 0.27, "target_max_mm": 0.33, "min_spacer_mm": 23.0}, {"spacer_mm": 30.004, "gaps_mm": [29.424, 29.418, 29.43, 29.424], "target_min_mm": 0.27, "target_max_mm": 0.33, "min_spacer_mm": 29.0}, {"spacer_mm": 24.008, "gaps_mm": [23.378, 23.37, 23.384, 23.38], "target_min_mm": 0.27, "target_max_mm": 0.33, "min_spacer_mm": 23.0}], "step_mm": 0.01}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
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
    let steps = steps(&pairs, &plan, step);
    let pairs = plan.pairs.iter().map(|pair| {
        object([
            ("clearance_mm", whole_nm_mm(pair.clearance)),
            ("grind_mm", optional_mm(pair.grind)),
            ("new_spacer_mm", optional_mm(pair.new_spacer)),
            ("new_clearance_mm", optional_mm(pair.new_clearance)),
            ("verdict", Value::from(pair.verdict.as_str())),
        ])
    });
    let output = object([
        ("pairs", pairs.collect()),
        ("outer_stack_change_mm", optional_mm(plan.outer_change)),
        ("inner_stack_change_mm", optional_mm(plan.inner_change)),
    ]);
    Ok(Worked { output, steps })
}

fn steps(pairs: &[StackPair], plan: &StackPlan, grinding_step: Length) -> Vec<Step> {
    let length = Part::Length;
    let mut steps = Vec::new();
    for (index, (pair, planned)) in pairs.iter().zip(&plan.pairs).enumerate() {
        let name = format!("rows {}", crate::disposition::pair_rows(index));
        if let Some(gap) = planned.mean_gap {
            steps.push(Step::new(
                "{}: {} - {}",
                [Part::text(&name), length(pair.spacer), length(gap)],
                length(planned.clearance),
                "spacer - mean gap = clearance",
            ));
        }
        let midpoint = (pair.target_min + pair.target_max) / 2.0;
        let note = match planned.refusal {
            None => "to grind, floored to the step",
            Some(Refusal::BelowTarget) => "below the target: a thicker spacer would be needed",
            Some(Refusal::SpacerUnderMinimum { .. }) => "the spacer would be under its minimum",
            Some(Refusal::StepTooCoarse) => "no whole step lands inside the target",
        };
        steps.push(Step::new(
            "{}: {} - {}, step {}",
            [
                Part::text(&name),
                length(planned.clearance),
                length(midpoint),
                length(grinding_step),
            ],
            planned.grind.map_or(Part::text("refused"), length),
            note,
        ));
        if let (Some(grind), Some(spacer)) = (planned.grind, planned.new_spacer) {
            steps.push(Step::new(
                "{}: {} - {}",
                [Part::text(&name), length(pair.spacer), length(grind)],
                length(spacer),
                "new width",
            ));
        }
    }
    for (name, change) in [("outer", plan.outer_change), ("inner", plan.inner_change)] {
        if let Some(change) = change {
            steps.push(Step::new(
                &format!("{name} stack"),
                [],
                length(change),
                "sum of its spacers; negative = shorter",
            ));
        }
    }
    steps
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
    let ring = read_ring(&pair, default)?;
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

/// The ring of a spacer, if given.
pub(super) fn read_ring(object: &Object<'_>, default: StackRing) -> Result<StackRing, InputError> {
    match object.optional("ring") {
        None => Ok(default),
        Some(ring) if ring == "outer" => Ok(StackRing::Outer),
        Some(ring) if ring == "inner" => Ok(StackRing::Inner),
        Some(_) => Err(wrong(
            &object.path("ring"),
            "outer or inner is expected".to_owned(),
        )),
    }
}
