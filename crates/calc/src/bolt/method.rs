//! `bolt`: assembly preload and tightening torque, as a described method.

use serde_json::Value;

use super::{Bolt, FRICTION_RANGE, PropertyClass, Thread, UTILISATION_RANGE, proof_load, tighten};
use crate::{
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, number,
        object, renamed,
    },
    quantity::{as_megapascals, as_newton_metres, as_newtons, as_square_millimetres},
};

/// `bolt`: preload and torque of a bolt.
pub const METHOD: Method = Method {
    name: "bolt",
    title: "Bolt preload and torque",
    summary: "Assembly preload and tightening torque of a hexagon head bolt for a share of its yield.",
    inputs: &[
        Param::of(
            Kind::Text,
            "size",
            "thread, coarse \"M24\" or fine \"M24x2\"",
            "M12 to M48, coarse and the fine pitches of ISO 261",
        ),
        Param::of(
            Kind::Choice(&["8.8", "10.9", "12.9"]),
            "class",
            "property class stamped on the head",
            "8.8, 10.9 or 12.9",
        ),
        Param::number(
            "friction_thread",
            "",
            "friction in the thread, lightly oiled about 0.12",
            "0.01 to 1",
        ),
        Param::number("friction_head", "", "friction under the head", "0.01 to 1"),
        Param::number(
            "utilisation",
            "",
            "share of the 0.2 % yield used, VDI 2230: 0.9",
            "0.01 to 1",
        ),
    ],
    outputs: &[
        Output::new("preload_n", "N", "assembly preload"),
        Output::new("torque_nm", "N m", "tightening torque"),
    ],
    formula: "stress = utilisation x Rp02 / sqrt(1 + 3 (1.5 (d2/ds) (P/(pi d2) + 1.155 mu_thread))^2); preload = stress x As; \
              torque = preload x (0.16 P + 0.58 d2 mu_thread + (dw + dh)/4 x mu_head)",
    source: "VDI 2230 Part 1, ISO 724, ISO 898-1:2013, ISO 4014, ISO 273, fine pitches ISO 261 (all from memory), shared/reference/bolts_vdi2230.toml; VDI 2230 tables end at M39, beyond is the formula alone",
    cautions: &[
        "The drawing's torque goes first. Friction is the largest doubt: greased or coated bolts take less torque, dry ones more.",
        "A torque wrench within its calibration; crosswise in steps, the last round at full torque; even then the preload scatters widely.",
        "Soft threads in the chock, washers or studs can be the weaker part.",
        "A bolt that breaks or a wrench that slips hurts: stand square, never pull towards an edge; the site's own procedure first. A bolt once taken to its yield is not used again.",
    ],
    example: r#"{"size": "M24", "class": "8.8", "friction_thread": 0.12, "friction_head": 0.12, "utilisation": 0.9}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let (size, class) = (input.text("size")?, input.text("class")?);
    let friction = Bounds::within(FRICTION_RANGE);
    let bolt = Bolt {
        thread: Thread::parse(size).map_err(|error| renamed(&error, &[]))?,
        class: PropertyClass::parse(class).map_err(|error| renamed(&error, &[]))?,
        friction_thread: input.number("friction_thread", &friction)?,
        friction_head: input.number("friction_head", &friction)?,
        utilisation: input.number("utilisation", &Bounds::within(UTILISATION_RANGE))?,
    };
    input.finish()?;
    let tightened = tighten(&bolt).map_err(|error| renamed(&error, &[]))?;
    let output = object([
        (
            "preload_n",
            number("preload_n", as_newtons(tightened.preload))?,
        ),
        (
            "torque_nm",
            number("torque_nm", as_newton_metres(tightened.torque))?,
        ),
    ]);
    let thread = &bolt.thread;
    let length = Part::Length;
    let strength = bolt.class.strength(thread.nominal);
    let area = Part::number(as_square_millimetres(thread.stress_area()), "mm²", 2);
    let mpa = |stress| Part::number(as_megapascals(stress), "MPa", 1);
    let kilonewtons = |force| Part::number(as_newtons(force) / 1_000.0, "kN", 2);
    let plain = |value| Part::number(value, "", 3);
    let steps = vec![
        Step::new(
            "{} - 0.6495 x {}",
            [length(thread.nominal), length(thread.pitch)],
            length(thread.pitch_diameter()),
            format!("pitch diameter d2 of {size}, ISO 724"),
        ),
        Step::new(
            "pi/4 x {} squared",
            [length(thread.stress_diameter())],
            area.clone(),
            "stress area As, ISO 898-1",
        ),
        Step::new(
            "{} x {} with torsion at friction {}",
            [
                plain(bolt.utilisation),
                mpa(strength.yield_02),
                plain(bolt.friction_thread),
            ],
            mpa(tightened.stress),
            format!("share of Rp0.2 of {class}: tensile stress at assembly"),
        ),
        Step::new(
            "{} x {}",
            [mpa(tightened.stress), area],
            kilonewtons(tightened.preload),
            "preload",
        ),
        Step::new(
            "({} + {}) / 2",
            [length(thread.head_bearing), length(thread.hole)],
            length(thread.head_friction_diameter()),
            "mean friction diameter of head face and hole",
        ),
        Step::new(
            "{} x (0.16 x {} + 0.58 x {} x {} + {} / 2 x {})",
            [
                kilonewtons(tightened.preload),
                length(thread.pitch),
                length(thread.pitch_diameter()),
                plain(bolt.friction_thread),
                length(thread.head_friction_diameter()),
                plain(bolt.friction_head),
            ],
            Part::number(as_newton_metres(tightened.torque), "N m", 1),
            format!(
                "torque; {:.0} % of it stretches the bolt, the rest is friction",
                tightened.stretching_share * 100.0
            ),
        ),
        Step::new(
            "{} x {}",
            [
                mpa(strength.proof),
                Part::number(as_square_millimetres(thread.stress_area()), "mm²", 2),
            ],
            kilonewtons(proof_load(thread, bolt.class)),
            "for comparison: proof load, ISO 898-1",
        ),
    ];
    Ok(Worked { output, steps })
}
