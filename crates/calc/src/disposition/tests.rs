//! Checks of the recommendation on cases of the demo plant (invented) and at its edges.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::{
    conformity::{Limits, conformity},
    finding::Part,
    quantity::{as_hours, as_millimetres, hours, millimetres},
    seat::{SeatCriterion, SeatLimits, geometry, judge},
    stack::{PairReading, StackPair, StackRing, stack},
};

fn ratio(times: f64, decimals: usize) -> String {
    format!("{times:.decimals$}")
}

fn whole_hours(time: Time) -> String {
    format!("{:.0}", as_hours(time))
}

fn mm(length: Length) -> String {
    format!("{:.3}", as_millimetres(length))
}

fn pair(clearance: f64) -> PairState {
    let value = millimetres(clearance);
    let (rework, minimum) = (millimetres(0.600), millimetres(0.270));
    let uncertainty = Some(millimetres(0.015));
    let plan = stack(
        &[StackPair {
            spacer: millimetres(24.012),
            reading: PairReading::Clearance(value),
            target_min: minimum,
            target_max: millimetres(0.330),
            min_spacer: millimetres(23.0),
            ring: StackRing::Outer,
        }],
        millimetres(0.010),
    );
    PairState {
        rows: Rows::Pair(0),
        clearance: Some(value),
        as_set: Some(millimetres(0.300)),
        is_unlike: false,
        times_as_set: Some(clearance / 0.300),
        watch: Some(millimetres(0.450)),
        rework: Some(rework),
        drawing_min: Some(minimum),
        drawing_max: Some(millimetres(0.330)),
        rework_verdict: conformity(value, &Limits::below(rework), uncertainty)
            .unwrap()
            .verdict,
        minimum_verdict: conformity(value, &Limits::at_least(minimum), uncertainty)
            .unwrap()
            .verdict,
        plan: Some(plan.unwrap().pairs[0]),
        grown: None,
        grown_uncertainty: None,
        wear: None,
    }
}

fn inputs(clearances: [f64; 3]) -> Inputs {
    Inputs {
        findings: vec![],
        pairs: (0..)
            .zip(clearances)
            .map(|(number, clearance)| PairState {
                rows: Rows::Pair(number),
                ..pair(clearance)
            })
            .collect(),
        seats: vec![],
        checks: vec![],
        unlimited: vec![],
        gauges_overdue: vec![],
        missing: vec![],
        zone: ZoneAdvice::Turn {
            to: Zone::IV,
            hours: hours(1_005.0),
        },
        exchanged: None,
        is_neck_cracked: false,
        is_inner_cracked: false,
        off_design: vec![],
        faster_since: None,
        loud_place: None,
    }
}

fn texts(recommendation: &Recommendation) -> Vec<String> {
    recommendation
        .reasons
        .iter()
        .map(|reason| reason.text(mm, whole_hours, ratio))
        .collect()
}

#[test]
fn doubled_clearance_asks_for_a_regrind_and_says_why() {
    let got = recommend(&inputs([0.640, 0.580, 0.630]));
    assert_eq!(got.disposition, Disposition::RegrindSpacers);
    let expected = [
        "Rows 1–2 stand at 0.640, 2.13 times as set and over the rework level 0.600.",
        "Rows 3–4 stand at 0.630, 2.10 times as set and over the rework level 0.600.",
        "Grind spacer S1 by 0.340 to 23.672.",
        "Grind spacer S2 by 0.280 to 23.732.",
        "Grind spacer S3 by 0.330 to 23.682.",
        "Rows 2–3 at 0.580: over the watch level 0.450, under 0.600.",
        "Turn to zone IV: least hours (1005 h) of those clear of findings.",
    ];
    assert_eq!(texts(&got), expected);
    assert_eq!(got.reasons[0].about, About::Rows(Rows::Pair(0)));
}

#[test]
fn a_reason_is_written_in_the_unit_of_the_reader() {
    let got = recommend(&inputs([0.640, 0.300, 0.300]));
    let inch = |length| format!("{:.4} in", crate::quantity::as_inches(length));
    let expected =
        "Rows 1–2 stand at 0.0252 in, 2.13 times as set and over the rework level 0.0236 in.";
    assert_eq!(got.reasons[0].text(inch, whole_hours, ratio), expected);
}

#[test]
fn at_the_limit_it_is_reached_and_the_doubt_is_told() {
    let got = recommend(&inputs([0.600, 0.300, 0.300]));
    assert_eq!(got.disposition, Disposition::RegrindSpacers);
    let expected = "Rows 1–2 stand at 0.600, 2.00 times as set and at the rework level 0.600. \
                    In doubt. Measure again or let a second person do it.";
    assert_eq!(texts(&got)[0], expected);
    let under = recommend(&inputs([0.599, 0.300, 0.300]));
    assert_eq!(under.disposition, Disposition::ReturnAfterTurning);
    assert!(
        texts(&under)[0]
            .starts_with("Rows 1–2 at 0.599, under the rework level 0.600: pass in doubt.")
    );
}

#[test]
fn a_good_bearing_goes_back_turned_or_as_it_is() {
    let mut good = inputs([0.300, 0.310, 0.305]);
    let turned = recommend(&good);
    assert_eq!(turned.disposition, Disposition::ReturnAfterTurning);
    assert_eq!(
        texts(&turned)[1],
        "Everything measured that has a limit is inside it."
    );
    good.zone = ZoneAdvice::Keep { zone: Zone::II };
    assert_eq!(recommend(&good).disposition, Disposition::ReturnToService);
    good.zone = ZoneAdvice::NotAsked;
    let plain = recommend(&good);
    assert_eq!(
        (plain.disposition, plain.reasons.len()),
        (Disposition::ReturnToService, 1)
    );
}

#[test]
fn too_little_clearance_stops_everything() {
    let low = recommend(&inputs([0.120, 0.310, 0.640]));
    assert_eq!(low.disposition, Disposition::HoldForEngineer);
    let text =
        "Rows 1–2 stand at 0.120, under the smallest allowed 0.270: cannot be signed for mounting.";
    assert_eq!(texts(&low)[0], text);
    let none = recommend(&inputs([0.120, 0.0, 0.310]));
    assert_eq!(
        texts(&none)[0],
        "Rows 2–3 stand at 0.000: no clearance. Stop, check spacers and seating."
    );
}

#[test]
fn a_clearance_just_above_its_minimum_asks_for_a_second_look() {
    let got = recommend(&inputs([0.275, 0.310, 0.305]));
    assert_eq!(got.disposition, Disposition::ReturnAfterTurning);
    let expected = "Rows 1–2 at 0.275, smallest allowed 0.270: pass in doubt. \
                    Measure again or let a second person do it.";
    assert_eq!(texts(&got)[0], expected);
}

#[test]
fn a_regrind_that_the_stack_refuses_goes_to_the_engineer() {
    let mut worn = inputs([0.640, 0.300, 0.300]);
    let plan = worn.pairs[0].plan.as_mut().unwrap();
    let would_be = millimetres(22.9);
    plan.refusal = Some(crate::stack::Refusal::SpacerUnderMinimum { would_be });
    let got = recommend(&worn);
    assert_eq!(got.disposition, Disposition::HoldForEngineer);
    let text = "Rows 1–2 cannot be set by grinding: spacer S1 would come out at 22.900, under its smallest width.";
    assert_eq!(texts(&got)[0], text);
}

/// As a pair looks whose clearance was measured by another method or under another load.
fn otherwise(pair: &mut PairState) {
    pair.is_unlike = true;
    pair.times_as_set = None;
    pair.rework_verdict = Verdict::Missing;
    pair.minimum_verdict = Verdict::Missing;
    pair.plan = None;
}

#[test]
fn what_bars_release_holds_but_does_not_hide_a_regrind() {
    let bars: [&dyn Fn(&mut Inputs); 7] = [
        &|inputs| inputs.gauges_overdue.push("OM-07".to_owned()),
        &|inputs| inputs.missing.push("width of spacer S2".to_owned()),
        &|inputs| inputs.pairs[1].clearance = None,
        &|inputs| inputs.pairs[1].times_as_set = None,
        &|inputs| otherwise(&mut inputs.pairs[1]),
        &|inputs| {
            inputs
                .unlimited
                .push("the size of the chock bore".to_owned());
        },
        &|inputs| inputs.zone = ZoneAdvice::NoneClear,
    ];
    let words = [
        "Gauge OM-07 was overdue",
        "Not measured: width",
        "Rows 2–3: clearance not measured",
        "Rows 2–3: the value as set is not known",
        "Rows 2–3: measured another way",
        "No limit in the register for the size of the chock bore",
        "No load zone",
    ];
    for (bar, words) in bars.into_iter().zip(words) {
        let mut good = inputs([0.300, 0.310, 0.305]);
        bar(&mut good);
        let got = recommend(&good);
        assert_eq!(got.disposition, Disposition::HoldForEngineer, "{words}");
        assert!(texts(&got)[0].starts_with(words), "{:?}", texts(&got));
        let mut worn = inputs([0.640, 0.310, 0.305]);
        bar(&mut worn);
        assert_eq!(
            recommend(&worn).disposition,
            Disposition::RegrindSpacers,
            "{words}"
        );
    }
}

#[test]
fn a_bore_out_of_round_holds_with_the_worst_plane_first() {
    let rows = [
        [62., 118., 214., 126.],
        [55., 101., 188., 109.],
        [49., 88., 151., 93.],
    ];
    let sizes: Vec<Vec<Length>> = rows
        .iter()
        .map(|row| {
            row.iter()
                .map(|um| millimetres(620.0 + um / 1_000.0))
                .collect()
        })
        .collect();
    let limits = SeatLimits {
        mean: Some(Limits::at_most(millimetres(620.120))),
        ovality: Some(Limits::at_most(millimetres(0.120))),
        taper: Some(Limits::at_most(millimetres(0.060))),
        size: None,
    };
    let checks = judge(
        &geometry(&sizes).unwrap(),
        &limits,
        Some(millimetres(0.010)),
    )
    .unwrap();
    let mut sheet = inputs([0.300, 0.310, 0.305]);
    sheet.seats = checks
        .into_iter()
        .map(|check| SeatState {
            seat: SeatKind::ChockBore,
            check,
        })
        .collect();
    let got = recommend(&sheet);
    assert_eq!(got.disposition, Disposition::HoldForEngineer);
    let told = texts(&got);
    assert_eq!(
        told[0],
        "Chock bore: ovality of plane 1 is 0.152, over its limit 0.120 by 0.032."
    );
    assert_eq!(
        told[1],
        "Chock bore: ovality of plane 2 is 0.133, over its limit 0.120 by 0.013."
    );
    let mean = "Chock bore: mean size is 620.113, under its limit 620.120 by 0.007: pass in doubt. \
                Measure again or let a second person do it.";
    assert_eq!(told[2], mean);
    assert_eq!(got.reasons[0].about, About::ChockBore);
    sheet
        .seats
        .retain(|seat| seat.check.criterion == SeatCriterion::Mean);
    assert_eq!(
        recommend(&sheet).disposition,
        Disposition::ReturnAfterTurning,
        "pass in doubt does not hold"
    );
}

/// Rules of decision: common practice, no source.
#[test]
fn what_is_seen_on_a_part_weighs_more_than_what_is_measured() {
    let seen = |part, code: &str, severity| Finding {
        part,
        row: Some(1),
        mode: crate::finding::Mode::of(code).unwrap(),
        severity,
        arc: None,
    };
    let crack = seen(Part::InnerRaceway, "5.6.2", 1);
    let spall = seen(Part::OuterRaceway, "5.1.3", 2);
    let tint = seen(Part::OuterRaceway, "tint", 1);
    let dents = seen(Part::OuterRaceway, "5.5.3", 2);
    for (findings, disposition, first) in [
        (
            vec![dents],
            Disposition::RegrindSpacers,
            "Rows 1–2 stand at 0.640",
        ),
        (
            vec![dents, spall],
            Disposition::Recondition,
            "Outer raceway, row 1: surface initiated fatigue",
        ),
        (
            vec![spall, tint],
            Disposition::HoldForEngineer,
            "Outer raceway, row 1: heat tint",
        ),
        (
            vec![tint, spall, crack],
            Disposition::Scrap,
            "Inner raceway, row 1: forced fracture",
        ),
    ] {
        let got = recommend(&Inputs {
            findings,
            ..inputs([0.640, 0.580, 0.630])
        });
        assert_eq!(got.disposition, disposition, "{:?}", texts(&got));
        assert!(texts(&got)[0].starts_with(first), "{:?}", texts(&got));
    }
    let light = recommend(&Inputs {
        findings: vec![seen(Part::OuterRaceway, "5.3.2", 1)],
        ..inputs([0.300, 0.300, 0.300])
    });
    assert_eq!(light.disposition, Disposition::ReturnAfterTurning);
}

#[test]
fn names_of_dispositions_come_back() {
    for disposition in Disposition::ALL {
        assert_eq!(
            disposition.as_str().parse::<Disposition>().unwrap(),
            disposition
        );
        assert_eq!(
            serde_json::to_value(disposition).unwrap(),
            disposition.as_str()
        );
    }
    assert!(
        "keep"
            .parse::<Disposition>()
            .unwrap_err()
            .contains("regrind_spacers")
    );
}

type Change<'a> = &'a dyn Fn(&mut Inputs);

/// The dangerous cases in one table: what is found, and what must come of it.
#[test]
fn no_dangerous_case_is_returned() {
    use crate::finding::{Finding, HEAT_TINT, Mode};
    let seen = |part, mode: &str, severity| Finding {
        part,
        row: None,
        mode: Mode::of(mode).unwrap(),
        severity,
        arc: None,
    };
    let case = |change: &dyn Fn(&mut Inputs)| {
        let mut case = inputs([0.300; 3]);
        change(&mut case);
        recommend(&case)
    };
    assert_eq!(
        case(&|_| {}).disposition,
        Disposition::ReturnAfterTurning,
        "nothing against it"
    );
    let at = |mm: f64| {
        move |i: &mut Inputs| {
            i.pairs[1] = PairState {
                rows: Rows::Pair(1),
                ..pair(mm)
            }
        }
    };
    let hold = Disposition::HoldForEngineer;
    let check = |what, value: f64, [lower, upper]: [Option<f64>; 2], verdict| CheckState {
        what,
        value: millimetres(value),
        limits: Limits {
            lower: lower.map(millimetres),
            upper: upper.map(millimetres),
            ..Limits::default()
        },
        verdict,
        is_certain_how: true,
    };
    let fail = |what, value, limits| {
        move |i: &mut Inputs| i.checks.push(check(what, value, limits, Verdict::Fail))
    };
    let table: [(&str, Change, Disposition, &str); 27] = [
        ("no clearance", &at(0.0), hold, "no clearance"),
        ("negative", &at(-0.010), hold, "Stop, check spacers"),
        (
            "too little",
            &at(0.120),
            hold,
            "cannot be signed for mounting",
        ),
        (
            "heat tint",
            &|i| i.findings.push(seen(Part::Rib, HEAT_TINT.code, 1)),
            hold,
            "the engineer decides",
        ),
        (
            "crack",
            &|i| i.findings.push(seen(Part::InnerRaceway, "5.6.2", 1)),
            Disposition::Scrap,
            "never goes back",
        ),
        (
            "no clear zone",
            &|i| i.zone = ZoneAdvice::NoneClear,
            hold,
            "No load zone",
        ),
        (
            "unlike methods",
            &|i| otherwise(&mut i.pairs[0]),
            hold,
            "another way than as set",
        ),
        (
            // Seated under too heavy a load the end play reads large: too much would be ground off.
            "unlike methods and over the limit",
            &|i| {
                for pair in &mut i.pairs {
                    pair.clearance = Some(millimetres(0.640));
                    otherwise(pair);
                }
            },
            hold,
            "no verdict, no regrind",
        ),
        (
            "unlike methods and under the minimum",
            &|i| {
                i.pairs[0].clearance = Some(millimetres(0.120));
                otherwise(&mut i.pairs[0]);
            },
            hold,
            "cannot be signed for mounting",
        ),
        (
            "no value as set",
            &|i| {
                i.pairs[0].as_set = None;
                i.pairs[0].times_as_set = None;
            },
            hold,
            "the value as set is not known",
        ),
        (
            "a clearance without a wear limit",
            &|i| {
                i.pairs[2].rework = None;
                i.pairs[2].rework_verdict = Verdict::NotApplicable;
            },
            hold,
            "No limit in the register for the clearance of rows 3–4",
        ),
        (
            "a seat without a limit",
            &|i| i.unlimited.push("the size of the roll neck".into()),
            hold,
            "No limit in the register for the size of the roll neck: the engineer decides.",
        ),
        (
            "shoulder",
            &fail(Checked::Shoulder, 0.080, [None, Some(0.050)]),
            hold,
            "Chock: shoulder, out of square, is 0.080, over its limit 0.050 by 0.030.",
        ),
        (
            "cover face",
            &fail(Checked::CoverFace, 0.051, [None, Some(0.050)]),
            hold,
            "Chock: cover face, out of flat, is 0.051, over",
        ),
        (
            "liners worn",
            &fail(Checked::LinerWidth, 899.2, [Some(899.3), None]),
            hold,
            "Chock: width over the liners is 899.200, under its limit 899.300 by 0.100.",
        ),
        (
            "ring too tight",
            &fail(Checked::RingFit, 0.480, [Some(0.310), Some(0.465)]),
            hold,
            "is 0.480, over its limit 0.465 by 0.015. The ring can crack.",
        ),
        (
            "ring loose",
            &fail(Checked::RingFit, -0.010, [Some(0.310), Some(0.465)]),
            hold,
            "The ring is loose on its neck: it creeps.",
        ),
        (
            "too much lost on a taper",
            &fail(
                Checked::TaperLoss { row: 0 },
                0.160,
                [Some(0.080), Some(0.110)],
            ),
            hold,
            "Taper: loss of clearance of row 1 is 0.160, over its limit 0.110 by 0.050. Pushed up too far",
        ),
        (
            "faces of a spacer",
            &fail(Checked::SpacerFaces { pair: 1 }, 0.030, [None, Some(0.020)]),
            hold,
            "Spacer S2: difference of its widths is 0.030, over its limit 0.020 by 0.010.",
        ),
        (
            "a check in doubt on the failing side",
            &|i| {
                let limits = [None, Some(0.050)];
                i.checks.push(check(
                    Checked::Shoulder,
                    0.052,
                    limits,
                    Verdict::FailInDoubt,
                ));
            },
            hold,
            "fail in doubt. Measure again or let a second person do it.",
        ),
        (
            "gauge overdue",
            &|i| i.gauges_overdue.push("FG-05".into()),
            hold,
            "FG-05 was overdue",
        ),
        (
            "no uncertainty at the limit",
            &|i| {
                i.pairs[0] = pair(0.600);
                i.pairs[0].rework_verdict = Verdict::FailInDoubt;
            },
            Disposition::RegrindSpacers,
            "In doubt",
        ),
        (
            "spacers exchanged",
            &|i| {
                i.pairs[0] = pair(0.120);
                i.exchanged = Some([0, 2]);
            },
            hold,
            "spacers S1 and S3 exchanged?",
        ),
        (
            "cracked neck",
            &|i| i.is_neck_cracked = true,
            hold,
            "the roll does not go back",
        ),
        (
            "cracked inner half",
            &|i| i.is_inner_cracked = true,
            hold,
            "it never goes back",
        ),
        (
            "left out",
            &|i| i.missing.push("chock bore".into()),
            hold,
            "Not measured: chock bore",
        ),
        (
            "heavy fatigue",
            &|i| i.findings.push(seen(Part::OuterRaceway, "5.1.2", 3)),
            Disposition::Scrap,
            "scrap",
        ),
    ];
    for (name, change, expected, words) in table {
        let got = case(change);
        assert_eq!(got.disposition, expected, "{name}");
        assert!(texts(&got)[0].contains(words), "{name}: {:?}", texts(&got));
    }
}

#[test]
fn a_pair_out_of_step_and_a_loose_neck_are_told_and_hold_nothing() {
    let with = |grown: [f64; 3]| {
        let mut case = inputs([0.480, 0.350, 0.405]);
        for (pair, mm) in case.pairs.iter_mut().zip(grown) {
            (pair.grown, pair.grown_uncertainty) =
                (Some(millimetres(mm)), Some(millimetres(0.021)));
        }
        case
    };
    // Story A: the stay at a stand where the chock stood tilted.
    let mut case = with([0.180, 0.050, 0.105]);
    case.off_design.push(OffDesign {
        seat: SeatKind::RollNeck,
        value: millimetres(479.688),
        limit: millimetres(479.700),
    });
    let got = recommend(&case);
    assert_eq!(got.disposition, Disposition::ReturnAfterTurning);
    let words = texts(&got).join(" ");
    assert!(
        words.contains("Rows 1–2 grew by 0.180, the others by 0.07"),
        "{words}"
    );
    assert!(
        words.contains(
            "looser than designed: the roll neck at 479.688 is under the design by 0.012"
        ),
        "{words}"
    );
    for alike in [
        [0.080, 0.070, 0.075],
        [0.030, 0.012, 0.015],
        [0.0, 0.0, 0.0],
    ] {
        let words = texts(&recommend(&with(alike))).join(" ");
        assert!(!words.contains("grew by"), "{alike:?}: {words}");
    }
}

#[test]
fn a_regrind_sets_the_whole_stack_or_says_why_not() {
    use crate::stack::Refusal;
    // The type that is reground to 1.5 times as set: drawing 0.325 to 0.395, target 0.505 to 0.575, limit 0.720.
    let limits = [0.325, 0.395, 0.720].map(|mm| Some(millimetres(mm)));
    let thin = Refusal::SpacerUnderMinimum {
        would_be: millimetres(22.9),
    };
    for (mm, refusal, stays) in [
        (0.480, Refusal::BelowTarget, true),
        (0.325, Refusal::BelowTarget, true),
        (0.324, Refusal::BelowTarget, false),
        (0.0, Refusal::BelowTarget, false),
        (0.600, thin, false),
        (0.390, thin, true),
        (0.720, thin, false),
        (0.395, Refusal::StepTooCoarse, true),
        (0.396, Refusal::StepTooCoarse, false),
    ] {
        let found = may_stay(refusal, millimetres(mm), limits);
        assert_eq!(found, stays, "{mm} {refusal:?}");
    }
    assert!(
        !may_stay(Refusal::BelowTarget, millimetres(0.480), [None; 3]),
        "no smallest allowed is known"
    );

    let case = |mm: f64, refusal| {
        let mut worn = inputs([0.640, mm, 0.300]);
        let plan = worn.pairs[1].plan.as_mut().unwrap();
        (plan.grind, plan.new_spacer, plan.refusal) = (None, None, Some(refusal));
        recommend(&worn)
    };
    let sound = case(0.320, Refusal::BelowTarget);
    assert_eq!(sound.disposition, Disposition::RegrindSpacers);
    let stays = "Spacer S2 stays as it is: rows 2–3 at 0.320, not under the smallest allowed.";
    assert!(
        texts(&sound).contains(&stays.to_owned()),
        "{:?}",
        texts(&sound)
    );
    let not = case(0.500, thin);
    assert_eq!(not.disposition, Disposition::HoldForEngineer);
    assert!(
        texts(&not)[0]
            .starts_with("Rows 2–3 cannot be set by grinding: spacer S2 would come out at 22.900")
    );
    // Nothing is said of grinding where none is due.
    let mut good = inputs([0.480, 0.470, 0.460]);
    good.pairs[1].plan.as_mut().unwrap().refusal = Some(thin);
    let words = texts(&recommend(&good)).join(" ");
    assert!(
        !words.contains("Grind") && !words.contains("grinding"),
        "{words}"
    );
}

#[test]
fn the_faces_of_a_spacer_that_is_ground_hold_nothing() {
    let faces = |pair| CheckState {
        what: Checked::SpacerFaces { pair },
        value: millimetres(0.030),
        limits: Limits::at_most(millimetres(0.020)),
        verdict: Verdict::Fail,
        is_certain_how: true,
    };
    let mut worn = inputs([0.640, 0.300, 0.300]);
    worn.checks.push(faces(0));
    assert_eq!(recommend(&worn).disposition, Disposition::RegrindSpacers);
    worn.checks.push(faces(1));
    let got = recommend(&worn);
    assert_eq!(got.disposition, Disposition::HoldForEngineer);
    assert!(
        texts(&got)[0].starts_with("Spacer S2:"),
        "{:?}",
        texts(&got)
    );
}

#[test]
fn a_doubt_that_measuring_again_does_not_end_asks_for_no_second_look() {
    let mut sheet = inputs([0.300; 3]);
    sheet.checks.push(CheckState {
        what: Checked::RingFit,
        value: millimetres(0.300),
        limits: Limits::between(millimetres(0.310), millimetres(0.465)),
        verdict: Verdict::FailInDoubt,
        is_certain_how: false,
    });
    let expected = "Inner ring: interference on the neck is 0.300, under its limit 0.310 by 0.010: fail in doubt. \
                    The ring can creep.";
    assert_eq!(texts(&recommend(&sheet))[0], expected);
}

#[test]
fn without_anything_judged_nothing_is_inside_its_limits() {
    let mut sheet = inputs([0.300; 3]);
    sheet.pairs.clear();
    let got = recommend(&sheet);
    assert_eq!(got.disposition, Disposition::HoldForEngineer);
    assert!(
        !texts(&got).join(" ").contains("inside it"),
        "{:?}",
        texts(&got)
    );
}

#[test]
fn the_chock_is_named_where_it_is_at_fault() {
    // Story B: mean +0.079 and +0.113 against a design of +0.070.
    for (found, by) in [(620.079, "0.009"), (620.113, "0.043")] {
        let mut sheet = inputs([0.300; 3]);
        sheet.off_design.push(OffDesign {
            seat: SeatKind::ChockBore,
            value: millimetres(found),
            limit: millimetres(620.070),
        });
        let got = recommend(&sheet);
        assert_eq!(got.disposition, Disposition::ReturnAfterTurning);
        let expected = format!(
            "The fit found is looser than designed: the chock bore at {found:.3} in the mean is over the design by {by}."
        );
        assert_eq!(texts(&got)[0], expected);
        assert_eq!(got.reasons[0].about, About::ChockBore);
    }
}

/// As the model tells it of a pair (numbers invented).
fn wears(chance: f64, plan_within: Option<f64>) -> PairWear {
    PairWear {
        chance,
        planned: hours(2_500.0),
        plan_within: plan_within.map(hours),
        times_peers: 1.0,
        chance_faster: 0.3,
        has_grown: true,
        is_assumed: false,
    }
}

#[test]
fn a_limit_ahead_is_to_be_planned_and_holds_nothing() {
    let told = |clearance: f64, wear: PairWear| {
        let mut case = inputs([0.300, clearance, 0.300]);
        case.pairs[1].wear = Some(wear);
        let got = recommend(&case);
        let about = |r: &&Reason| matches!(r.fact, Fact::LimitAhead { .. });
        let found = got.reasons.iter().find(about).cloned();
        (
            got,
            found.map(|r| (r.text(mm, whole_hours, ratio), r.about)),
        )
    };
    for (clearance, wear, wanted) in [
        (
            0.530,
            wears(0.62, Some(437.0)),
            Some("with a chance of about 60 in 100: plan it within 400 h."),
        ),
        (
            0.530,
            wears(1.0 / 6.0, Some(2_500.0)),
            Some("with a chance of about 1 in 6: plan it within 2500 h."),
        ),
        (
            0.590,
            wears(0.97, Some(20.0)),
            Some("95 in 100: plan it now."),
        ),
        (
            0.590,
            wears(0.97, Some(-300.0)),
            Some("95 in 100: plan it now."),
        ),
        // Just under the alarm, and at the limit: then it is ground, not planned.
        (0.530, wears(0.166, Some(2_600.0)), None),
        (0.600, wears(0.97, Some(0.0)), None),
        (0.640, wears(0.99, Some(0.0)), None),
    ] {
        let (got, found) = told(clearance, wear);
        assert_eq!(found.is_some(), wanted.is_some(), "{clearance} {wear:?}");
        let (Some((text, about)), Some(wanted)) = (found, wanted) else {
            continue;
        };
        let start = "Rows 2\u{2013}3 reach their limit before the next teardown (2500 h) ";
        assert!(text.starts_with(start) && text.ends_with(wanted), "{text}");
        assert_eq!(about, About::Rows(Rows::Pair(1)));
        assert_eq!(got.disposition, Disposition::ReturnAfterTurning);
        // What is planned stands before the watch level.
        let first = got.reasons.iter().find(|r| r.weight == 5).unwrap();
        assert!(
            matches!(first.fact, Fact::LimitAhead { .. }),
            "{:?}",
            texts(&got)
        );
    }
    // What is ground in the same go is set anew; a pair that stays as it is has its limit ahead.
    let mut case = inputs([0.640, 0.580, 0.290]);
    for pair in &mut case.pairs {
        pair.wear = Some(wears(0.9, Some(100.0)));
    }
    case.pairs[2].plan = Some(PairPlan {
        refusal: Some(crate::stack::Refusal::BelowTarget),
        grind: None,
        new_spacer: None,
        ..case.pairs[2].plan.unwrap()
    });
    let got = recommend(&case);
    assert_eq!(got.disposition, Disposition::RegrindSpacers);
    let first = |case: &Inputs| -> Vec<Rows> {
        let told = recommend(case).reasons.into_iter();
        told.filter_map(|r| match r.fact {
            Fact::LimitAhead { rows, .. } => Some(rows),
            _ => None,
        })
        .collect()
    };
    // Of several the one that comes first.
    let mut several = inputs([0.530; 3]);
    for (pair, left) in several.pairs.iter_mut().zip([900.0, 300.0, 500.0]) {
        pair.wear = Some(wears(0.9, Some(left)));
    }
    assert_eq!(first(&several), [Rows::Pair(1)]);
    let ahead: Vec<Rows> = got
        .reasons
        .iter()
        .filter_map(|r| match r.fact {
            Fact::LimitAhead { rows, .. } => Some(rows),
            _ => None,
        })
        .collect();
    assert_eq!(ahead, [Rows::Pair(2)]);
    // Measured another way nothing is expected by it; a whole bearing has one clearance.
    let mut case = inputs([0.530; 3]);
    for pair in &mut case.pairs {
        (pair.is_unlike, pair.wear) = (true, Some(wears(0.9, None)));
    }
    let words = texts(&recommend(&case)).join(" ");
    assert!(!words.contains("next teardown"), "{words}");
    let mut case = inputs([0.3; 3]);
    let wear = PairWear {
        is_assumed: true,
        ..wears(0.5, None)
    };
    case.pairs = vec![PairState {
        rows: Rows::All,
        wear: Some(wear),
        ..pair(0.530)
    }];
    let words = texts(&recommend(&case)).join(" ");
    let told = "The clearance reaches its limit before the next teardown (2500 h) with a chance of about 50 in 100: plan \
                it now. Few bearings have been measured yet: how much they differ is assumed.";
    assert!(words.contains(told), "{words}");
}

#[test]
fn faster_than_its_peers_or_than_before_asks_for_the_cause() {
    let fast = |chance_faster: f64, has_grown: bool| PairWear {
        times_peers: 2.345,
        chance_faster,
        has_grown,
        ..wears(0.01, None)
    };
    let cause = "Rows 1\u{2013}2 wear 2.3 times as fast as their peers: look for the cause.";
    let there = "Rows 1\u{2013}2 wear 2.3 times as fast as their peers: F9-W-T-O wears its bearings faster than other \
                 places, look for the cause there.";
    for (wear, place, wanted) in [
        (fast(0.95, true), None, Some(cause)),
        (fast(0.99, true), Some("F9-W-T-O"), Some(there)),
        (fast(0.949, true), None, None),
        (fast(0.99, false), None, None),
    ] {
        let mut case = inputs([0.400, 0.300, 0.300]);
        case.pairs[0].wear = Some(wear);
        case.loud_place = place.map(str::to_owned);
        let got = recommend(&case);
        assert_eq!(got.disposition, Disposition::ReturnAfterTurning);
        let words = texts(&got);
        let is_told = words.iter().any(|text| text.contains("peers"));
        assert_eq!(is_told, wanted.is_some(), "{wear:?}");
        assert!(
            wanted.is_none_or(|wanted| words.contains(&wanted.to_owned())),
            "{words:?}"
        );
    }
    // All of it: told once.
    let mut case = inputs([0.400; 3]);
    for (pair, times_peers) in case.pairs.iter_mut().zip([1.4, 1.5, 1.6]) {
        pair.wear = Some(PairWear {
            times_peers,
            ..fast(0.97, true)
        });
    }
    let words = texts(&recommend(&case));
    let told: Vec<&String> = words.iter().filter(|text| text.contains("peers")).collect();
    let whole = "The clearance grows 1.5 times as fast as that of its peers: look for the cause.";
    assert_eq!(told, [whole]);
    for (rows, which) in [
        (Some(Rows::Pair(2)), "rows 3\u{2013}4"),
        (Some(Rows::All), "the bearing"),
        (None, "all rows"),
    ] {
        let mut case = inputs([0.300; 3]);
        case.faster_since = Some(FasterSince {
            rows,
            since: hours(3_118.0),
        });
        let got = recommend(&case);
        assert_eq!(got.disposition, Disposition::ReturnAfterTurning);
        let wanted = format!(
            "Since about 3100 h on its counter {which} may wear faster than before: look for the cause."
        );
        assert_eq!(texts(&got)[0], wanted);
        assert_eq!(got.reasons[0].about, rows.map_or(About::Sheet, About::Rows));
    }
}

#[test]
fn every_rule_has_a_name_and_a_source() {
    for rule in RULES {
        assert!(!rule.name.is_empty() && !rule.source.is_empty());
    }
}

#[test]
fn one_clearance_of_a_whole_bearing_has_no_spacer_to_grind() {
    let whole = |clearance: f64, verdict| {
        let mut i = inputs([0.3; 3]);
        i.pairs = vec![PairState {
            rows: Rows::All,
            as_set: None,
            times_as_set: None,
            plan: None,
            rework: Some(millimetres(0.75)),
            watch: Some(millimetres(0.6)),
            drawing_min: Some(millimetres(0.36)),
            rework_verdict: verdict,
            minimum_verdict: Verdict::Pass,
            ..pair(clearance)
        }];
        i.seats.clear();
        recommend(&i)
    };
    let worn = whole(0.80, Verdict::Fail);
    assert_eq!(worn.disposition, Disposition::Recondition);
    let text = worn.reasons[0].text(
        |l| format!("{:.3}", as_millimetres(l)),
        |_| String::new(),
        ratio,
    );
    assert_eq!(
        text,
        "The clearance stands at 0.800, over the rework level 0.750."
    );
    // No value as set is known, and none is asked for: its limits are absolute.
    let sound = whole(0.42, Verdict::Pass);
    assert!(
        !sound
            .reasons
            .iter()
            .any(|r| matches!(r.fact, Fact::NoBaseline { .. }))
    );
    assert_ne!(sound.disposition, Disposition::HoldForEngineer);
    let none = whole(0.0, Verdict::Pass);
    assert_eq!(none.disposition, Disposition::HoldForEngineer);
    let text = none.reasons[0].text(|_| "0".into(), |_| String::new(), ratio);
    assert!(text.ends_with("check parts and fits."), "{text}");
}
