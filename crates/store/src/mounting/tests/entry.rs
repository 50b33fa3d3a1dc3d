//! Entry: gauges on their standards, the crack test, and the questions that need more than one field.

use super::*;

/// A neck and a ring that were measured, with both gauges tried before use and the crack test told.
const TOLD: [(&str, &str); 6] = [
    ("neck.check.read", "480.001"),
    ("neck.check.standard", "480.000"),
    ("mount.ring.check.read", "480.000"),
    ("mount.ring.check.standard", "480.000"),
    ("mount.neck.cracks", "dye_clear"),
    ("mount.outcome", "mounted"),
];

fn measured(more: &[(&str, &str)]) -> MountAssessment {
    let told: Vec<(&str, &str)> = TOLD.iter().chain(more).copied().collect();
    assess(
        &all(&[neck("479.720"), ring("479.980")], &told),
        &tapered(),
        LengthUnit::Millimetre,
    )
}

#[test]
fn gauges_are_tried_on_their_standards_and_the_neck_is_crack_tested_or_it_says_why_not() {
    for (section, more, words) in [
        (Section::Neck, &[][..], ""),
        (Section::Fit, &[][..], ""),
        (
            Section::Neck,
            &[("neck.check.read", "")],
            "Neck gauge reads on its standard: before use, or why not checked",
        ),
        (
            Section::Neck,
            &[
                ("neck.check.standard", ""),
                ("skip.neck_check", "ring away"),
            ],
            "",
        ),
        (
            Section::Fit,
            &[("mount.ring.check.standard", "")],
            "Ring gauge reads on its standard: before use, or why not checked",
        ),
        (
            Section::Fit,
            &[
                ("mount.ring.check.read", ""),
                ("skip.mount.ring_check", "ring away"),
            ],
            "",
        ),
        (
            Section::Neck,
            &[("mount.neck.cracks", "")],
            "Crack test of the neck: method and result, or why not tested",
        ),
        (
            Section::Neck,
            &[("mount.neck.cracks", ""), ("skip.mount.cracks", "no dye")],
            "",
        ),
        (
            Section::Neck,
            &[("skip.mount.cracks", "no dye")],
            "take the reason why not away",
        ),
        (
            Section::Neck,
            &[("mount.neck.cracks", "dye_crack")],
            "the neck is not used",
        ),
    ] {
        let a = measured(more);
        let told = a.section(section).unwrap().blockers.join("; ");
        assert!(told.contains(words), "{more:?}: {told}");
        assert_eq!(told.is_empty(), words.is_empty(), "{more:?}: {told}");
    }
    // A neck that was not tested goes on with the engineer only.
    let a = measured(&[("mount.neck.cracks", ""), ("skip.mount.cracks", "no dye")]);
    assert!(
        a.engineer_because
            .contains(&"neck not crack tested".to_owned())
    );
    let a = measured(&[]);
    assert_eq!(derived(&a, "neck_check_off_nm"), 1_000);
    assert_eq!(derived(&a, "mount_ring_check_off_nm"), 0);
}

#[test]
fn a_gauge_that_is_off_on_its_standard_is_asked_about_once() {
    // U 0.011 of the neck gauge, 0.010 of the ring gauge.
    for (path, text, is_asked) in [
        ("neck.check.read", "480.011", false),
        ("neck.check.read", "480.012", true),
        ("mount.ring.check.read", "480.010", false),
        ("mount.ring.check.read", "479.989", true),
    ] {
        let problem = |more: &[(&str, &str)]| measured(more).fields[path].problem.clone();
        let asked = problem(&[(path, text)]);
        assert_eq!(asked.is_some(), is_asked, "{path} {text}");
        assert!(asked.is_none_or(|p| !p.is_refusal && p.text.contains("off on its standard")));
        let kept = format!("kept.{path}");
        assert_eq!(problem(&[(path, text), (&kept, text)]), None, "{path}");
    }
}

/// Story G, 2025-10-07, and pairs that are worn alike: by the drawing the first only, by what the bench left both.
#[test]
fn end_plays_that_look_like_exchanged_spacers_are_asked_about_on_the_roll_too() {
    let story_g = [Some(23_810_000), Some(30_000_000), Some(23_995_000)];
    let worn = [Some(23_850_000), Some(30_000_000), Some(24_000_000)];
    for (left_um, width_nm, play, expected) in [
        (
            None,
            [None; 3],
            ["0.120", "0.310", "0.490"],
            Some("mount.play.1"),
        ),
        (
            Some([305, 310, 305]),
            [story_g[2], story_g[1], story_g[0]],
            ["0.120", "0.310", "0.490"],
            Some("mount.play.1"),
        ),
        (
            Some([450, 450, 450]),
            [worn[2], worn[1], worn[0]],
            ["0.300", "0.450", "0.600"],
            Some("mount.play.1"),
        ),
        (
            Some([450, 450, 450]),
            worn,
            ["0.600", "0.450", "0.300"],
            Some("mount.play.3"),
        ),
        (
            Some([450, 450, 450]),
            worn,
            ["0.455", "0.447", "0.440"],
            None,
        ),
        (
            Some([450, 450, 450]),
            worn,
            ["0.300", "0.450", "0.450"],
            None,
        ),
        (None, [None; 3], ["0.300", "0.310", "0.320"], None),
    ] {
        let mut known = tapered();
        if let Some(left_um) = left_um {
            let at = Stamp::parse("2026-01-05", 60).unwrap();
            let left_nm = left_um.map(|um| Some(um * 1_000));
            known.last_play = Some((at, left_nm));
            let base = std::sync::Arc::make_mut(&mut known.base);
            base.bearing.as_mut().unwrap().history.push(LastClearance {
                at,
                run_s: 0,
                found_nm: left_nm,
                left_nm: [None; 3],
                width_nm,
                how: crate::sheet::How::usual(),
                way: None,
            });
        }
        let typed: Vec<(&str, &str)> = field::PLAY.into_iter().zip(play).collect();
        let a = assess(&fields(&typed), &known, LengthUnit::Millimetre);
        for path in field::PLAY {
            let problem = a.fields[path].problem.as_ref();
            let is_asked = problem.is_some_and(|p| p.text.contains("exchanged?"));
            assert_eq!(is_asked, expected == Some(path), "{play:?} {path}");
        }
    }
}

#[test]
fn a_neck_that_jumped_is_asked_about() {
    let mut known = tapered();
    known.last_neck = Some(LastSeat {
        at: Stamp::parse("2026-01-05", 60).unwrap(),
        mean_nm: -280_000,
        ovality_nm: vec![0],
    });
    for (size, is_asked) in [("479.720", false), ("479.670", false), ("479.669", true)] {
        let a = assess(&all(&[neck(size)], &[]), &known, LengthUnit::Millimetre);
        let problem = a.fields["neck.3.135"].problem.as_ref();
        let jumped = problem.is_some_and(|p| p.text.contains("mean of the neck jumped"));
        assert_eq!(jumped, is_asked, "{size}");
    }
}
