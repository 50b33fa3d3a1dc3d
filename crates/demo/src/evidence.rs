//! What is seen on the bench before anything is measured: state as found, cleaning, findings. A story tells its own;
//! the background has the shares of the plant's plan.

use calc::load_zone::Zone;
use serde::Deserialize;
use store::draft::Fields;
use store::sheet::findings::{Key, path};

use crate::bench::put;
use crate::dice::Dice;

/// A finding that a story tells.
#[derive(Deserialize, Clone)]
pub(crate) struct Told {
    part: String,
    row: Option<i64>,
    mode: String,
    severity: i64,
    /// Ring angles, degrees.
    arc: Option<[i64; 2]>,
    /// The same from the middle of the zone that was up, clockwise.
    from_load: Option<[i64; 2]>,
    size_mm: Option<i64>,
    #[serde(default)]
    note: String,
}

impl Told {
    /// Whether it is light, or a severity that a rule speaks of.
    pub(crate) fn new(part: &str, row: Option<i64>, mode: &str, arc: Option<[i64; 2]>) -> Self {
        Self {
            part: part.to_owned(),
            row,
            mode: mode.to_owned(),
            severity: 1,
            arc,
            from_load: None,
            size_mm: None,
            note: String::new(),
        }
    }

    fn put(&self, fields: &mut Fields, number: usize, zone_up: i64) {
        let mut set = |key, text: String| {
            if !text.is_empty() {
                put(fields, &path(number, key), text);
            }
        };
        set(Key::Part, self.part.clone());
        set(
            Key::Row,
            self.row
                .map_or_else(|| "all".to_owned(), |row| row.to_string()),
        );
        set(Key::Mode, self.mode.clone());
        set(Key::Severity, self.severity.to_string());
        let centre = usize::try_from(zone_up - 1)
            .ok()
            .and_then(|index| Zone::ALL.get(index))
            .map_or(0, |zone| zone.centre_tenths() / 10);
        let from_load = self
            .from_load
            .map(|ends| ends.map(|a| (a + centre).rem_euclid(360)));
        if let Some([from, to]) = self.arc.or(from_load) {
            set(Key::From, from.to_string());
            set(Key::To, to.to_string());
        }
        set(
            Key::Size,
            self.size_mm.map(|mm| mm.to_string()).unwrap_or_default(),
        );
        set(Key::Note, self.note.clone());
    }
}

/// What is looked at.
pub(crate) struct Looked<'a> {
    /// Its family, as types name it.
    pub(crate) family: &'a str,
    /// The stand where it ran last.
    pub(crate) stand: &'a str,
    /// The zone that was up.
    pub(crate) zone_up: i64,
}

/// Fills in the three sections.
pub(crate) fn look(
    fields: &mut Fields,
    told: Option<&[Told]>,
    found: &[(String, String)],
    looked: &Looked<'_>,
    dice: &mut Dice,
) {
    let by_chance = background(looked, dice);
    let findings = told.map_or(by_chance, <[Told]>::to_vec);
    let is_wet = findings.iter().any(|f| f.mode == "5.3.2");
    for (what, usual) in [
        ("seal", if is_wet { "worn" } else { "sound" }),
        ("grease", if is_wet { "milky" } else { "normal" }),
        ("water", if is_wet { "drops" } else { "none" }),
        ("rotation", "free"),
        ("bolts", "tight"),
        ("chips", "none"),
    ] {
        let other = found
            .iter()
            .find(|(name, _)| name == what)
            .map(|(_, word)| word.as_str());
        put(fields, &format!("found.{what}"), other.unwrap_or(usual));
    }
    for (what, word) in [
        ("state", "used"),
        ("agent", "aqueous"),
        ("dried", "warm"),
        ("preserved", "oil"),
    ] {
        put(fields, &format!("clean.{what}"), word);
    }
    if findings.is_empty() {
        put(fields, "findings.none", "yes");
    }
    put(fields, "findings.cracks", "dye_clear");
    put(fields, "findings.cracks", "dye_clear");
    for (number, finding) in (1..).zip(&findings) {
        finding.put(fields, number, looked.zone_up);
    }
}

/// In 100 sheets: 70 without a finding, 12 light dents, 8 light water stains (16 where it is wet), 4 with fretting on
/// the outside diameter, 3 with ribs lightly worn, 2 small spalls, 1 other. Other families have the same shares on the
/// parts that they have: no rib guides the rollers of a spherical one, and a thrust bearing has no zones to turn.
fn background(looked: &Looked<'_>, dice: &mut Dice) -> Vec<Told> {
    let wet = if matches!(looked.stand, "F1" | "F2") {
        16
    } else {
        8
    };
    let rows = if looked.family.starts_with("two_row") {
        2
    } else {
        4
    };
    let (chance, row) = (dice.whole(1, 100), dice.whole(1, rows));
    let (from, width) = (dice.whole(0, 35) * 10, dice.whole(2, 5) * 10);
    let arc = Some([from, (from + width) % 360]);
    let mut ends = [12, wet, 4, 3, 2, 1].into_iter().scan(0, |end, share| {
        *end += share;
        Some(*end)
    });
    let Some(sort) = ends.position(|end| chance <= end) else {
        return Vec::new();
    };
    let light = |part: &str, mode: &str| Told::new(part, Some(row), mode, None);
    let seen = match (looked.family, sort) {
        // Its rings are looked at by their rollers, ribs and faces.
        ("two_row_thrust", 0) => light("rollers", "5.5.3"),
        ("two_row_thrust", 1) => light("rollers", "5.3.2"),
        ("two_row_thrust", 2) => Told::new("ring face", None, "5.3.3.2", None),
        ("two_row_thrust", 3) => light("rib", "5.2"),
        ("two_row_thrust", _) => light("cage", "5.2.2"),
        // Slip under a light load smears rollers before it wears a rib.
        ("four_row_cylindrical", 3) => light("rollers", "5.2.3"),
        ("two_row_spherical", 3) => light("rollers", "5.2.2"),
        (_, 0) => Told::new("outer raceway", Some(row), "5.5.3", arc),
        (_, 1) => Told::new("outer raceway", Some(row), "5.3.2", arc),
        (_, 2) => Told::new("outside diameter", None, "5.3.3.2", arc),
        (_, 3) => light("rib", "5.2"),
        (_, 4) => Told {
            size_mm: Some(dice.whole(2, 4)),
            ..Told::new(
                "outer raceway",
                Some(row),
                "5.1.3",
                Some([from, (from + 10) % 360]),
            )
        },
        _ => light("cage", "5.2.2"),
    };
    vec![seen]
}
