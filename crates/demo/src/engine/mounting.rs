//! Mounting sheets: of the stories, and of chocks that stand in the mill when the demo's clock stops.

use store::draft::{DraftField, Fields, Source};
use store::entry::LengthUnit;
use store::mounting::{MountFacts, SignMounting, assess, field, sign};
use store::sheet::field::{PAIRS, SEAT_DEGREES, SeatName, size};

use super::Engine;
use crate::DemoError;
use crate::bench::mm;
use crate::data::Mounting;
use crate::dice::Dice;
use crate::register::at_ms;

impl Engine<'_> {
    /// A mounting of a story.
    pub(super) fn mounting(&mut self, m: &Mounting, now: i64) -> Result<(), DemoError> {
        let mut fields = identified(&m.chock, &m.roll, &m.position);
        for (path, text) in &m.fields {
            put(&mut fields, path, text);
        }
        let nominal_um = self.bore_um(&fields, now)?;
        if let Some(um) = m.neck_um {
            neck(&mut fields, nominal_um, |_| um);
        }
        if let Some(um) = m.ring_um {
            for path in field::RING {
                put(&mut fields, path, &mm(nominal_um + um));
            }
            put(&mut fields, "mount.ring.temp", "20");
            put(&mut fields, "mount.ring.temp_gauge", "20");
        }
        self.sign_mounting(&fields, &m.chock, now)
    }

    /// A chock goes on as it should.
    pub(super) fn mount(
        &mut self,
        chock: &str,
        roll: &str,
        position: &str,
        now: i64,
    ) -> Result<(), DemoError> {
        let mut dice = Dice::of(self.seed, chock, now);
        let mut fields = identified(chock, roll, position);
        let nominal_um = self.bore_um(&fields, now)?;
        // In the middle of the drawing, and round to a few thousandths.
        neck(&mut fields, nominal_um, |_| -270 + dice.normal(4.0) as i64);
        let facts = self.mount_facts(&fields, now)?;
        let bearing = facts.base.bearing.as_ref();
        let zone = bearing
            .and_then(|b| b.stay.as_ref())
            .map_or(1, |s| s.zone.clamp(1, 4));
        let numeral = ["I", "II", "III", "IV"][usize::try_from(zone - 1).unwrap_or(0)];
        for path in &field::ZONES[..3] {
            put(&mut fields, path, numeral);
        }
        for gauge in [&field::NECK_GAUGE, &field::RING_GAUGE] {
            put(&mut fields, gauge[1], &mm(nominal_um));
            put(&mut fields, gauge[2], &mm(nominal_um));
        }
        for path in field::RING {
            put(
                &mut fields,
                path,
                &mm(nominal_um - 22 + dice.normal(3.0) as i64),
            );
        }
        // The play is read once more on the roll, a few thousandths from what the bench left.
        match facts.last_play {
            Some((_, [Some(first), Some(second), Some(third)])) => {
                for (path, left_nm) in field::PLAY.iter().zip([first, second, third]) {
                    let um = left_nm / 1_000 + dice.normal(3.0) as i64;
                    put(&mut fields, path, &mm(um));
                }
                put(&mut fields, "mount.play.gauge", "GB-01");
            }
            _ => put(
                &mut fields,
                "skip.mount.play",
                "no sheet says how it was left",
            ),
        }
        let grease_g = facts.base.bearing_type.as_ref();
        let grease_g = grease_g.and_then(|t| t.whole("grease_row_mg"));
        for row in 1..=4 {
            let grams = grease_g.unwrap_or(850_000) / 1_000;
            put(
                &mut fields,
                &format!("grease.row.{row}"),
                &grams.to_string(),
            );
        }
        let gap = 1_180 + dice.normal(30.0) as i64;
        for (path, off) in field::COVER.iter().zip([0, 8, -4, 6]) {
            put(&mut fields, path, &mm(gap + off));
        }
        for (path, text) in [
            ("neck.gauge", "OM-02"),
            ("mount.neck.cracks", "dye_clear"),
            ("mount.ring.temp", "20"),
            ("mount.ring.temp_gauge", "20"),
            ("mount.ring.gauge", "BG-02"),
            ("mount.parts.order", "A B C D E, read back"),
            ("grease.kind", "G-1"),
            ("mount.seal.batch", "SB-57"),
            ("mount.seal.lip", "sound"),
            // A feeler set of leaves to 1.00 mm does not reach.
            ("mount.cover.gauge", "HG-01"),
            ("mount.shim", &mm(gap)),
            ("mount.bolt.torque", "680"),
            ("mount.bolt.wrench", "TW-02"),
            ("mount.bolt.pattern", "crosswise_steps"),
            ("mount.protect", "textile"),
            ("mount.outcome", "mounted"),
            ("sign.fitter", "Fitter 2"),
        ] {
            put(&mut fields, path, text);
        }
        self.sign_mounting(&fields, chock, now)
    }

    fn mount_facts(&mut self, fields: &Fields, now: i64) -> Result<MountFacts, DemoError> {
        self.flush()?;
        Ok(MountFacts::load(
            self.logbook.connection(),
            fields,
            at_ms(now),
        )?)
    }

    /// Nominal bore of the bearing in the chock, um.
    fn bore_um(&mut self, fields: &Fields, now: i64) -> Result<i64, DemoError> {
        let facts = self.mount_facts(fields, now)?;
        let bore = facts
            .base
            .bearing_type
            .as_ref()
            .and_then(|t| t.whole("bore_nm"));
        bore.map(|nm| nm / 1_000).ok_or_else(|| DemoError::Plan {
            why: "a chock without a bearing is mounted".into(),
        })
    }

    fn sign_mounting(&mut self, fields: &Fields, chock: &str, now: i64) -> Result<(), DemoError> {
        let at = at_ms(now);
        let facts = self.mount_facts(fields, now)?;
        let whole = assess(fields, &facts, LengthUnit::Millimetre);
        let engineer = self.signer("Roll-shop Engineer")?.clone();
        let foreman = self.signer(Self::foreman(now))?.clone();
        let sheet = SignMounting {
            fields,
            draft: None,
            at: Some(at),
            entered: Some(at.plus_ms(10 * 60_000)),
            signer: &foreman,
            engineer: (!whole.engineer_because.is_empty()).then_some(&engineer),
            unit: LengthUnit::Millimetre,
            wear: None,
        };
        sign(&mut self.logbook, &sheet).map_err(|e| DemoError::Sheet {
            chock: chock.to_owned(),
            day: at.date(),
            source: Box::new(e),
        })?;
        self.events += 1;
        Ok(())
    }
}

fn put(fields: &mut Fields, path: &str, text: &str) {
    let field = DraftField {
        text: text.to_owned(),
        source: Source::Typed,
    };
    fields.insert(path.to_owned(), field);
}

fn identified(chock: &str, roll: &str, position: &str) -> Fields {
    let mut fields = Fields::new();
    put(&mut fields, "identify.chock", chock);
    put(&mut fields, "identify.roll", roll);
    put(&mut fields, "identify.position", position);
    fields
}

/// Twelve sizes of a neck that has the temperature of its gauge.
fn neck(fields: &mut Fields, nominal_um: i64, mut off_um: impl FnMut(usize) -> i64) {
    for plane in PAIRS {
        for degrees in SEAT_DEGREES {
            put(
                fields,
                &size(SeatName::Neck, plane, degrees),
                &mm(nominal_um + off_um(plane)),
            );
        }
    }
    for path in ["neck.temp_first", "neck.temp_gauge", "neck.temp_last"] {
        put(fields, path, "20");
    }
}
