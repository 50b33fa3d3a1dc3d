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

/// Fills in the three sections. `stand` is where it ran last, `zone_up` the zone that was up.
pub(crate) fn look(
    fields: &mut Fields,
    told: Option<&[Told]>,
    found: &[(String, String)],
    stand: &str,
    zone_up: i64,
    dice: &mut Dice,
) {
    let by_chance = background(stand, dice);
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
    for (number, finding) in (1..).zip(&findings) {
        finding.put(fields, number, zone_up);
    }
}

/// In 100 sheets: 70 without a finding, 12 light dents, 8 light water stains (16 where it is wet), 4 with fretting on
/// the outside diameter, 3 with ribs lightly worn, 2 small spalls, 1 other.
fn background(stand: &str, dice: &mut Dice) -> Vec<Told> {
    let wet = if matches!(stand, "F1" | "F2") { 16 } else { 8 };
    let (chance, row) = (dice.whole(1, 100), dice.whole(1, 4));
    let (from, width) = (dice.whole(0, 35) * 10, dice.whole(2, 5) * 10);
    let arc = Some([from, (from + width) % 360]);
    let mut ends = [12, wet, 4, 3, 2, 1].into_iter().scan(0, |end, share| {
        *end += share;
        Some(*end)
    });
    match ends.position(|end| chance <= end) {
        Some(0) => vec![Told::new("outer raceway", Some(row), "5.5.3", arc)],
        Some(1) => vec![Told::new("outer raceway", Some(row), "5.3.2", arc)],
        Some(2) => vec![Told::new("outside diameter", None, "5.3.3.2", arc)],
        Some(3) => vec![Told::new("rib", Some(row), "5.2", None)],
        Some(4) => vec![Told {
            size_mm: Some(dice.whole(2, 4)),
            ..Told::new(
                "outer raceway",
                Some(row),
                "5.1.3",
                Some([from, (from + 10) % 360]),
            )
        }],
        Some(_) => vec![Told::new("cage", Some(row), "5.2.2", None)],
        None => Vec::new(),
    }
}
