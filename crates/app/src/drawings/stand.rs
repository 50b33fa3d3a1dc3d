//! A stand with its positions as a drawing.

use draw::stand_view::{Role, RollView, Side, StandView};
use draw::{Hit, Scene};
use store::ThingNo;
use store::query::{StandPlace, StandPlaces};

/// The stand, with one position lit; what answers to a pointer carries the number of the position.
pub fn stand_view(stand: &StandPlaces, lit: Option<ThingNo>) -> StandView {
    let mut rolls: Vec<RollView> = Vec::new();
    for place in &stand.places {
        let Some((role, noun)) = role_of(&place.role) else {
            continue;
        };
        let is_top = place.level == "T";
        let name = format!("{noun}, {}", if is_top { "top" } else { "bottom" });
        let at = rolls.iter().position(|roll| roll.name == name);
        let at = at.unwrap_or_else(|| {
            rolls.push(RollView {
                role,
                is_top,
                name,
                sides: Default::default(),
            });
            rolls.len() - 1
        });
        rolls[at].sides[usize::from(place.side == "D")] = side_of(place, lit);
    }
    StandView {
        rolls,
        sides: ["operator side".into(), "drive side".into()],
        fixed: "fixed".into(),
        note: "Arrow: where the load on the chock comes from. Not to scale.".into(),
        title: format!("Stand {}, with its rolls and chock positions", stand.code),
    }
}

/// The drawing in a width; none where the stand has no position yet.
pub fn stand_scene(stand: &StandPlaces, lit: Option<ThingNo>, width: f32) -> Option<Scene> {
    let view = stand_view(stand, lit);
    (!view.rolls.is_empty()).then(|| view.scene(width.min(1_120.0)))
}

/// Where a position is, in words: "F4, bottom work roll, operator side".
pub fn place_words(stand: &str, role: &str, level: &str, side: &str) -> String {
    let roll = role_of(role).map_or("roll", |(_, noun)| noun);
    let level = if level == "T" { "top" } else { "bottom" };
    let side = if side == "O" { "operator" } else { "drive" };
    format!("{stand}, {level} {roll}, {side} side")
}

fn role_of(role: &str) -> Option<(Role, &'static str)> {
    Some(match role {
        "W" => (Role::Work, "work roll"),
        "I" => (Role::Intermediate, "intermediate roll"),
        "K" => (Role::Backup, "backup roll"),
        "R" => (Role::Work, "bar roll"),
        _ => return None,
    })
}

fn side_of(place: &StandPlace, lit: Option<ThingNo>) -> Side {
    let mut label = place.code.clone();
    if !place.held.is_empty() {
        label = format!("{label}: {}", place.held);
    }
    if !place.is_rolling {
        label += ", not a rolling bearing";
    }
    Side {
        code: place.code.clone(),
        is_fixed: place.is_fixed,
        load_deg: place.load_angle_ddeg.map(|ddeg| ddeg as f64 / 10.0),
        is_rolling: place.is_rolling,
        held: place.held.clone(),
        is_lit: place.no == lit && (lit.is_some() || place.no.is_none()),
        hit: place.no.map(|no| Hit {
            key: no.0.unsigned_abs(),
            label,
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(no: i64, role: &str, level: &str, side: &str) -> StandPlace {
        StandPlace {
            no: Some(ThingNo(no)),
            code: format!("F4-{role}-{level}-{side}"),
            role: role.into(),
            level: level.into(),
            side: side.into(),
            is_fixed: side == "O",
            load_angle_ddeg: Some(1800),
            is_rolling: true,
            held: "WC-17 TH-4T-031".into(),
        }
    }

    #[test]
    fn a_six_high_stand_has_six_rolls_and_one_lit_chock() {
        let mut places = Vec::new();
        for role in ["W", "I", "K"] {
            for (level, side) in [("T", "O"), ("T", "D"), ("B", "O"), ("B", "D")] {
                places.push(place(places.len() as i64 + 1, role, level, side));
            }
        }
        let stand = StandPlaces {
            no: ThingNo(99),
            code: "C1".into(),
            build: "six-high".into(),
            places,
        };
        let view = stand_view(&stand, Some(ThingNo(2)));
        assert_eq!(view.rolls.len(), 6);
        let lit: Vec<&str> = view
            .rolls
            .iter()
            .flat_map(|roll| &roll.sides)
            .filter(|side| side.is_lit)
            .map(|side| side.code.as_str())
            .collect();
        assert_eq!(lit, ["F4-W-T-D"]);
        let empty = StandPlaces {
            places: Vec::new(),
            ..stand
        };
        assert!(stand_scene(&empty, None, 400.0).is_none());
    }
}
