//! `press_fit`: pressure, stresses and growth of an interference fit, as a described method.

use serde_json::Value;

use super::{
    FRICTION_RANGE, INTERFERENCE_RATIO_MAX, Material, POISSON_RANGE, PressFit, Pressed,
    RING_STRESS_MPA_MAX, YOUNG_RANGE_MPA, axial_force, compliances, press_fit, slip_torque,
};
use crate::{
    method::{
        Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, number, object,
        renamed, um, wrong,
    },
    quantity::{
        Length, as_megapascals, as_micrometres, as_newton_metres, as_newtons, megapascals,
        micrometres,
    },
};

/// `press_fit`: what an interference does to shaft and ring.
pub const METHOD: Method = Method {
    name: "press_fit",
    title: "Press fit",
    summary: "Pressure, hoop stress, growth and holding force of a ring pressed on a solid or hollow shaft.",
    inputs: &[
        Param::number("shaft_mm", "mm", "shaft diameter, the joint", "above 0"),
        Param::number(
            "ring_outer_mm",
            "mm",
            "outside diameter of the ring, of an inner ring its mean raceway",
            "above shaft_mm",
        ),
        Param::number(
            "interference_um",
            "um",
            "effective diametral interference; zero or less = loose",
            "-100000 to 100000",
        ),
        Param::number(
            "young_shaft_mpa",
            "MPa",
            "Young's modulus of the shaft, steel about 208000",
            "1000 to 1000000",
        ),
        Param::number(
            "poisson_shaft",
            "",
            "Poisson's ratio of the shaft, steel about 0.3",
            "0 to 0.5",
        ),
        Param::number(
            "young_ring_mpa",
            "MPa",
            "Young's modulus of the ring",
            "1000 to 1000000",
        ),
        Param::number(
            "poisson_ring",
            "",
            "Poisson's ratio of the ring",
            "0 to 0.5",
        ),
        Param::number(
            "shaft_bore_mm",
            "mm",
            "bore of the shaft; none or 0 = solid",
            "0 up to below shaft_mm",
        )
        .optional(),
        Param::number(
            "width_mm",
            "mm",
            "length of the joint, with friction",
            "above 0",
        )
        .optional(),
        Param::number(
            "friction",
            "",
            "coefficient of friction, with width_mm; steel about 0.12 on, 0.18 off",
            "0 to 1",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("pressure_mpa", "MPa", "pressure in the joint"),
        Output::new(
            "hoop_ring_inner_mpa",
            "MPa",
            "hoop stress of the ring at its bore; tension positive",
        ),
        Output::new(
            "ring_outer_growth_um",
            "um",
            "growth of the outside diameter of the ring",
        ),
        Output::new(
            "hoop_ring_outer_mpa",
            "MPa",
            "hoop stress of the ring at its outside",
        ),
        Output::new(
            "hoop_shaft_outer_mpa",
            "MPa",
            "hoop stress of the shaft at its seat",
        ),
        Output::new(
            "hoop_shaft_inner_mpa",
            "MPa",
            "hoop stress of the shaft at its bore; of a solid one everywhere",
        ),
        Output::new(
            "shaft_bore_change_um",
            "um",
            "change of the bore of the shaft; negative = smaller",
        ),
        Output::new(
            "axial_force_n",
            "N",
            "force to push the ring along, where width and friction are given",
        ),
        Output::new(
            "slip_torque_nm",
            "N m",
            "torque at which it slips, where width and friction are given",
        ),
    ],
    formula: "p = (i/d) / [((d2 + b2)/(d2 - b2) - nu_s)/E_s + ((D2 + d2)/(D2 - d2) + nu_r)/E_r] with d2 = d x d and so on; \
              ring: p (D2 + d2)/(D2 - d2), growth 2 p d2 D/(E_r (D2 - d2)); force = friction x p x pi x d x width, torque = force x d/2",
    source: "Shigley, Mechanical Engineering Design, press and shrink fits (from memory); NTN CAT. No. 2203/E, 17.4 and 17.5; checked against shared/reference/lame_press_fit.csv",
    cautions: &[
        "Elastic, plain cylinders at one temperature: collars, grooves and the ends of the joint carry more.",
        "A bearing ring: interference not above 1/1000 of the shaft, hoop stress not above 127 MPa (NTN CAT. No. 2203/E, 7.3), or what the drawing says.",
        "Never hammer a ring on or cut one off without guards; pressing, oil injection and pulling store energy: rated tools, stop nut left on, stand aside, the site's own procedure first.",
    ],
    example: r#"{"shaft_mm": 300, "ring_outer_mm": 337.5, "interference_um": 98, "young_shaft_mpa": 208000, "poisson_shaft": 0.3, "young_ring_mpa": 208000, "poisson_ring": 0.3, "width_mm": 230, "friction": 0.12}"#,
    run,
};

// A pressure or force that no shop can mean comes from the interference.
const KEYS: [(&str, &str); 9] = [
    ("shaft", "shaft_mm"),
    ("shaft_bore", "shaft_bore_mm"),
    ("ring_outer", "ring_outer_mm"),
    ("interference", "interference_um"),
    ("young_shaft", "young_shaft_mpa"),
    ("young_ring", "young_ring_mpa"),
    ("width", "width_mm"),
    ("pressure", "interference_um"),
    ("force", "interference_um"),
];

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let material = |young: &'static str, poisson: &'static str| {
        Ok::<_, InputError>(Material {
            young: megapascals(input.number(young, &Bounds::within(YOUNG_RANGE_MPA))?),
            poisson: input.number(poisson, &Bounds::within(POISSON_RANGE))?,
        })
    };
    let fit = PressFit {
        shaft: input.length("shaft_mm", &Bounds::LENGTH_MM)?,
        ring_outer: input.length("ring_outer_mm", &Bounds::LENGTH_MM)?,
        interference: micrometres(input.number("interference_um", &Bounds::DIFFERENCE_UM)?),
        shaft_material: material("young_shaft_mpa", "poisson_shaft")?,
        ring_material: material("young_ring_mpa", "poisson_ring")?,
        shaft_bore: input
            .optional_length("shaft_bore_mm", &Bounds::LENGTH_OR_NONE_MM)?
            .unwrap_or_default(),
    };
    let width = input.optional_length("width_mm", &Bounds::LENGTH_MM)?;
    let friction = input.optional_number("friction", &Bounds::within(FRICTION_RANGE))?;
    input.finish()?;
    let hold = match (width, friction) {
        (Some(width), Some(friction)) => Some((width, friction)),
        (None, None) => None,
        (Some(_), None) => return Err(wrong("friction", "missing beside width_mm".to_owned())),
        (None, Some(_)) => return Err(wrong("width_mm", "missing beside friction".to_owned())),
    };
    let fitted = press_fit(&fit).map_err(|error| renamed(&error, &KEYS))?;
    let mut steps = steps(&fit, &fitted)?;
    let mpa = |key, stress| number(key, as_megapascals(stress));
    let mut output = object([
        ("pressure_mpa", mpa("pressure_mpa", fitted.pressure)?),
        (
            "hoop_ring_inner_mpa",
            mpa("hoop_ring_inner_mpa", fitted.hoop_ring_inner)?,
        ),
        (
            "ring_outer_growth_um",
            um("ring_outer_growth_um", fitted.ring_outer_growth)?,
        ),
        (
            "hoop_ring_outer_mpa",
            mpa("hoop_ring_outer_mpa", fitted.hoop_ring_outer)?,
        ),
        (
            "hoop_shaft_outer_mpa",
            mpa("hoop_shaft_outer_mpa", fitted.hoop_shaft_outer)?,
        ),
        (
            "hoop_shaft_inner_mpa",
            mpa("hoop_shaft_inner_mpa", fitted.hoop_shaft_inner)?,
        ),
        (
            "shaft_bore_change_um",
            um("shaft_bore_change_um", fitted.shaft_bore_change)?,
        ),
    ]);
    if let Some((width, friction)) = hold {
        let held = |error| renamed(&error, &KEYS);
        let force = axial_force(fitted.pressure, fit.shaft, width, friction).map_err(held)?;
        let torque = slip_torque(force, fit.shaft).map_err(held)?;
        output["axial_force_n"] = number("axial_force_n", as_newtons(force))?;
        output["slip_torque_nm"] = number("slip_torque_nm", as_newton_metres(torque))?;
        let length = |length: Length| Part::Length(length);
        steps.push(Step::new(
            "{} x {} x pi x {} x {}",
            [
                Part::number(friction, "", 3),
                Part::number(as_megapascals(fitted.pressure), "MPa", 2),
                length(fit.shaft),
                length(width),
            ],
            Part::number(as_newtons(force) / 1_000.0, "kN", 1),
            "friction x pressure x joint = axial force",
        ));
    }
    Ok(Worked { output, steps })
}

fn steps(fit: &PressFit, fitted: &Pressed) -> Result<Vec<Step>, InputError> {
    let (shaft, ring) = compliances(fit).map_err(|error| renamed(&error, &KEYS))?;
    let (length, small) = (Part::Length, Part::Small);
    let mpa = |stress| Part::number(as_megapascals(stress), "MPa", 2);
    let ratio = as_micrometres(fit.interference) / as_micrometres(fit.shaft);
    let ratio_note = if ratio <= 0.0 {
        "loose: no pressure".to_owned()
    } else {
        let word = if ratio > INTERFERENCE_RATIO_MAX {
            "above"
        } else {
            "within"
        };
        format!("share of the shaft, {word} 1/1000 (NTN CAT. No. 2203/E, 7.3)")
    };
    let stress_word = if as_megapascals(fitted.hoop_ring_inner) > RING_STRESS_MPA_MAX {
        "above"
    } else {
        "within"
    };
    let per_gpa = |value: f64| Part::number(value * 1_000.0, "1/GPa", 5);
    let ring_ratio = as_micrometres(fit.ring_outer) / as_micrometres(fit.shaft);
    Ok(vec![
        Step::new(
            "{} / {}",
            [small(fit.interference), length(fit.shaft)],
            Part::number(ratio, "", 6),
            ratio_note,
        ),
        Step::new(
            "shaft {}, bore {}",
            [length(fit.shaft), length(fit.shaft_bore)],
            per_gpa(shaft),
            "give of the shaft: ((d2 + b2)/(d2 - b2) - nu)/E",
        ),
        Step::new(
            "ring {} on {}",
            [length(fit.ring_outer), length(fit.shaft)],
            per_gpa(ring),
            "give of the ring: ((D2 + d2)/(D2 - d2) + nu)/E",
        ),
        Step::new(
            "{} / ({} + {})",
            [
                Part::number(ratio.max(0.0), "", 6),
                per_gpa(shaft),
                per_gpa(ring),
            ],
            mpa(fitted.pressure),
            "pressure in the joint",
        ),
        Step::new(
            "{} at wall ratio {}",
            [mpa(fitted.pressure), Part::number(ring_ratio, "", 4)],
            mpa(fitted.hoop_ring_inner),
            format!(
                "hoop stress at the bore of the ring, {stress_word} 127 MPa of bearing rings (as above)"
            ),
        ),
        Step::new(
            "2 x {} x {} / (E x wall)",
            [mpa(fitted.pressure), length(fit.ring_outer)],
            small(fitted.ring_outer_growth),
            "growth of the outside diameter",
        ),
    ])
}
