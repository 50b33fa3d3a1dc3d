//! Sections of every kind of bearing, whole and half typed, and stands of every build.
#![allow(missing_docs)] // not part of the library

use draw::bearing_section::{BearingSection, Build, Sizes};
use draw::stack_map::PairNote;
use draw::stand_view::{Role, RollView, Side, StandView};
use draw::{Hit, Scene};

pub fn all() -> Vec<(&'static str, Scene)> {
    use Build::{FourRowCylindrical, FourRowTapered, InnerHalf, TwoRowSpherical, TwoRowThrust};
    let d = Some;
    vec![
        (
            "section-tapered",
            section(FourRowTapered, [d(480.0), d(620.0), d(336.0)], 4).scene(520.0),
        ),
        (
            "section-tapered-begun",
            section(FourRowTapered, [d(480.0), None, None], 4).scene(380.0),
        ),
        (
            "section-cylindrical",
            section(FourRowCylindrical, [d(760.0), d(1080.0), d(790.0)], 4).scene(520.0),
        ),
        (
            "section-inner",
            section(InnerHalf, [d(760.0), d(1080.0), d(790.0)], 4).scene(380.0),
        ),
        (
            "section-spherical",
            section(TwoRowSpherical, [d(180.0), d(300.0), d(96.0)], 2).scene(520.0),
        ),
        (
            "section-thrust",
            section(TwoRowThrust, [d(600.0), d(800.0), d(140.0)], 2).scene(380.0),
        ),
        (
            "section-empty",
            section(TwoRowSpherical, [None; 3], 2).scene(380.0),
        ),
        (
            "stand-four",
            stand(&[Role::Backup, Role::Work], 1).scene(560.0),
        ),
        (
            "stand-six",
            stand(&[Role::Backup, Role::Intermediate, Role::Work], 4).scene(720.0),
        ),
        ("stand-two", stand(&[Role::Work], 0).scene(400.0)),
    ]
}

fn section(build: Build, sizes: [Option<f64>; 3], rows: usize) -> BearingSection {
    let words = sizes.map(|mm| mm.map(|mm| format!("{mm:.3}")).unwrap_or_default());
    BearingSection {
        build,
        sizes: Sizes {
            bore_mm: sizes[0],
            outside_mm: sizes[1],
            width_mm: sizes[2],
            spacers_mm: [None; 3],
        },
        words,
        rows,
        pairs: std::array::from_fn(|i| PairNote {
            name: format!("S{}", i + 1),
            ..PairNote::default()
        }),
        lit: None,
        barrel: "barrel".into(),
        outboard: "outboard".into(),
        assumed: "assumed".into(),
        title: "Half section of a bearing type, to scale".into(),
    }
}

fn stand(roles: &[Role], lit: usize) -> StandView {
    let mut rolls = Vec::new();
    for is_top in [true, false] {
        for role in roles {
            let (letter, name) = match role {
                Role::Backup => ("K", "backup roll"),
                Role::Intermediate => ("I", "intermediate roll"),
                Role::Work => ("W", "work roll"),
            };
            let level = if is_top { "T" } else { "B" };
            let at = rolls.len() * 2;
            let side = |index: usize, side: &str| Side {
                code: if letter == "I" && side == "D" {
                    String::new()
                } else {
                    format!("F4-{letter}-{level}-{side}")
                },
                is_fixed: side == "O",
                load_deg: Some(if (letter == "K") == is_top {
                    0.0
                } else {
                    180.0
                }),
                is_rolling: letter != "K",
                held: if index == 0 {
                    "WC-17, TH-4T-031, and more".into()
                } else {
                    String::new()
                },
                is_lit: index == lit,
                hit: Some(Hit {
                    key: index as u64,
                    label: "position".into(),
                }),
            };
            rolls.push(RollView {
                role: *role,
                is_top,
                name: format!("{name}, {}", if is_top { "top" } else { "bottom" }),
                sides: [side(at, "O"), side(at + 1, "D")],
            });
        }
    }
    StandView {
        rolls,
        sides: ["operator side".into(), "drive side".into()],
        fixed: "fixed".into(),
        note: "Arrow: where the load comes from".into(),
        title: "Stand F4".into(),
    }
}
