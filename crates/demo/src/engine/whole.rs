//! Teardowns of bearings with one clearance: the halves of cylindrical ones, thrust bearings, spherical ones two abreast.

use calc::disposition::{Disposition, ZoneAdvice};
use store::draft::Fields;
use store::entry::LengthUnit;
use store::payload::{Assembled, Payload, Returned, SentOut};
use store::sheet::field::radial::RadialCell;
use store::sheet::field::{GAP_DEGREES, SeatName, halves, radial::DIAMETER_DEGREES};
use store::sheet::{Assessment, Facts, SignTeardown, assess, sign};
use store::time::DAY_MS;

use super::{Act, Engine};
use crate::DemoError;
use crate::bench::{self, Warmth, mm, put};
use crate::data::{Kind, Teardown, expand};
use crate::dice::Dice;
use crate::evidence::{self, Looked, Told};
use crate::plan::planes_of;
use crate::register::at_ms;

/// A reconditioned bearing is back after so many days.
const AWAY_DAYS: i64 = 35;
/// Scatter of a diameter and of a clearance read with an indicator, um.
const DIAMETER_SD_UM: f64 = 4.0;
const INDICATOR_SD_UM: f64 = 5.0;

/// The shop plans with so much more growth than usual until the next teardown.
const PRUDENCE: f64 = 1.25;

/// A bearing as it really is: its one clearance, and how it grows.
pub(crate) struct Whole {
    pub(crate) clearance_um: f64,
    /// Per 1,000 h.
    growth_um: f64,
    /// Mill time before the logbook, h.
    pub(crate) prior_h: i64,
}

impl Whole {
    /// A bearing of a type as it comes new; none for tapered ones and inner halves.
    pub(crate) fn new(kind: &Kind, dice: &mut Dice) -> Option<Self> {
        let (from, to) = match kind.family.as_str() {
            "four_row_cylindrical" => (0.0, 0.1),
            "two_row_spherical" => (0.0, 0.35),
            _ => (0.0, 0.0),
        };
        let (growth, spread) = usual_growth_um(kind)?;
        let limit = |name: &str| kind.value(name, 0).map(|nm| nm as f64 / 1000.0);
        let clearance_um = match (limit("clearance_min_nm"), limit("clearance_max_nm")) {
            (Some(low), Some(high)) => low + dice.between(from, to) * (high - low),
            _ => limit("clearance_nominal_nm").unwrap_or(0.0) + dice.normal(10.0),
        };
        Some(Self {
            clearance_um,
            growth_um: growth + dice.normal(spread).clamp(-2.0 * spread, 2.0 * spread),
            prior_h: 0,
        })
    }

    /// With so large a share of its life behind it: it ends where a whole interval would take it past its limit.
    pub(crate) fn worn(mut self, kind: &Kind, share: f64) -> Self {
        let limit_um = kind.value("rework_nm", 0).unwrap_or(0) as f64 / 1000.0;
        let room_um = limit_um - interval_growth_um(kind) - self.clearance_um;
        let grown_um = share * room_um.max(0.0);
        self.prior_h = (grown_um / self.growth_um * 1000.0).round() as i64;
        self.clearance_um += grown_um;
        self
    }

    /// One that a story needs to the end: new, and as slow to wear as any.
    pub(crate) fn lasting(mut self, kind: &Kind) -> Self {
        if let Some((growth, spread)) = usual_growth_um(kind) {
            self.growth_um = growth - 2.0 * spread;
        }
        self
    }

    pub(crate) fn run(&mut self, hours: f64) {
        self.clearance_um += hours / 1000.0 * self.growth_um;
    }
}

/// How much a clearance grows in 1,000 h, um, and how much bearings differ in that.
fn usual_growth_um(kind: &Kind) -> Option<(f64, f64)> {
    match kind.family.as_str() {
        "four_row_cylindrical" => Some((30.0, 2.0)),
        "two_row_spherical" => Some((25.0, 3.0)),
        "two_row_thrust" => Some((20.0, 2.0)),
        _ => None,
    }
}

/// What the shop reckons with from one teardown to the next, um.
fn interval_growth_um(kind: &Kind) -> f64 {
    let interval_h = kind.value("interval_run_s", 0).unwrap_or(0) as f64 / 3600.0;
    let (growth_um, _) = usual_growth_um(kind).unwrap_or_default();
    PRUDENCE * growth_um * interval_h / 1000.0
}

impl<'a> Engine<'a> {
    /// Everything in a chock that is no tapered bearing is torn down, each on a sheet of its own.
    pub(super) fn whole_teardown(&mut self, t: &Teardown, now: i64) -> Result<(), DemoError> {
        self.flush()?;
        let seats: Vec<(String, String)> = self
            .chocks
            .get(&t.chock)
            .map(|c| c.seats.clone().into_iter().collect())
            .unwrap_or_default();
        for (place, (seat, serial)) in (0..).zip(seats) {
            // Signed one after the other, before the sheets of the next chock.
            let now = now + place * 1_000;
            self.one_of(t, &seat, &serial, now)?;
        }
        self.plan_stay(&t.chock, now);
        Ok(())
    }

    fn one_of(
        &mut self,
        t: &Teardown,
        seat: &str,
        serial: &str,
        now: i64,
    ) -> Result<(), DemoError> {
        self.dice = Dice::of(self.seed, &format!("{} {seat}", t.chock), now);
        let at = at_ms(now);
        let Some(kind) = self.kind_of_serial(serial) else {
            return Ok(());
        };
        let is_main = seat == "main";
        let mut fields = self.whole_fields(t, is_main, serial, kind, now);
        let facts = Facts::load(self.logbook.connection(), &fields, at)?;
        let found = assess(&fields, &facts, LengthUnit::Millimetre);
        let decided = self.whole_decides(&mut fields, t, is_main, kind, &found);
        let facts = Facts::load(self.logbook.connection(), &fields, at)?;
        let whole = assess(&fields, &facts, LengthUnit::Millimetre);
        let foreman = t.foreman.as_deref().unwrap_or(Self::foreman(now));
        let engineer = self.signer("Roll-shop Engineer")?.clone();
        self.wear.refresh(self.logbook.connection())?;
        let sheet = SignTeardown {
            fields: &fields,
            draft: None,
            at: Some(at),
            entered: Some(at.plus_ms(10 * 60_000)),
            signer: &self.signer(foreman)?.clone(),
            engineer: (!whole.engineer_because.is_empty() || t.choice.is_some())
                .then_some(&engineer),
            unit: LengthUnit::Millimetre,
            wear: self.wear.wear(),
        };
        let signed = sign(&mut self.logbook, &sheet).map_err(|e| DemoError::Sheet {
            chock: format!("{} {seat}", t.chock),
            day: at.date(),
            source: Box::new(e),
        })?;
        self.events += 1;
        self.sheets += 1;
        if let Some(zone) = signed.assessment.zone_chosen {
            self.zones
                .insert(serial.to_owned(), zone.index() as i64 + 1);
        }
        if !signed.assessment.is_reassembled {
            self.replace(&t.chock, seat, serial, decided, now)?;
        }
        Ok(())
    }

    fn whole_fields(
        &mut self,
        t: &Teardown,
        is_main: bool,
        serial: &str,
        kind: &Kind,
        now: i64,
    ) -> Fields {
        let mut fields = Fields::new();
        put(&mut fields, "identify.chock", &t.chock);
        put(&mut fields, "identify.bearing", serial);
        let ran = self
            .chocks
            .get(&t.chock)
            .and_then(|c| c.ran.back())
            .cloned();
        if let Some((roll, position)) = &ran {
            put(&mut fields, "identify.roll", roll);
            put(&mut fields, "identify.position", position);
        }
        let zone = self.zones.get(serial).copied().unwrap_or(0);
        if zone > 0 {
            let numeral = ["", "I", "II", "III", "IV"][zone.clamp(0, 4) as usize];
            put(&mut fields, "identify.zone", numeral);
        } else if kind.family != "two_row_thrust" {
            // Nobody wrote down how it was put in, either.
            let why = "rings lifted out before the mark was read";
            put(&mut fields, "skip.found", why);
        }
        if let Some(note) = t.note.as_ref().filter(|_| is_main) {
            put(&mut fields, "identify.note", note);
        }
        let fitter = format!("Fitter {}", self.dice.whole(1, 6));
        put(
            &mut fields,
            "sign.fitter",
            t.fitter.clone().unwrap_or(fitter),
        );
        let nothing: &[Told] = &[];
        // On the day of a story nothing is seen that it does not tell.
        let is_story = t.findings.is_some() || t.note.is_some() || t.neck_um.is_some();
        let told = match t.findings.as_deref() {
            Some(told) if is_main => Some(told),
            _ => is_story.then_some(nothing),
        };
        let stand = ran
            .as_ref()
            .and_then(|(_, position)| position.split('-').next());
        let looked = Looked {
            family: &kind.family,
            stand: stand.unwrap_or_default(),
            zone_up: zone,
        };
        let found: Vec<_> = t.found.clone().into_iter().collect();
        let mut seen = Dice::of(self.seed, &format!("seen {serial}"), now);
        evidence::look(&mut fields, told, &found, &looked, &mut seen);
        if kind.family == "four_row_cylindrical" {
            put(&mut fields, "found.inner", "tight");
        }
        self.read_whole(&mut fields, serial, kind);
        self.read_its_seats(&mut fields, t, is_main, kind);
        for (path, text) in t.fields.iter().filter(|_| is_main) {
            put(&mut fields, path, text);
        }
        if let Some((neck_um, ring_um)) = t.neck_um.zip(t.ring_um).filter(|_| is_main) {
            tight_ring(&mut fields, kind, neck_um, ring_um);
        }
        fields
    }

    /// The clearance as its family reads it.
    fn read_whole(&mut self, fields: &mut Fields, serial: &str, kind: &Kind) {
        let Some(real) = self.wholes.get(serial).map(|w| w.clearance_um) else {
            return;
        };
        match kind.family.as_str() {
            "four_row_cylindrical" => self.read_diameters(fields, kind, real),
            "two_row_spherical" => {
                put(fields, "radial.method", "feeler");
                for row in 1..=2 {
                    let own = real + self.dice.normal(3.0);
                    // Leaves go up by 0.01 mm: the thickest that passes, and the next.
                    let passes = ((own - 5.0) / 10.0).round() as i64 * 10;
                    let at = [0, 90, 180, 270][usize::try_from(self.dice.whole(0, 3)).unwrap_or(0)];
                    let cell = RadialCell::Passes { row, degrees: at };
                    put(fields, &cell.path(), mm(passes));
                    let cell = RadialCell::Refused { row, degrees: at };
                    put(fields, &cell.path(), mm(passes + 10));
                }
                put(fields, "radial.gauge", "FG-05");
            }
            _ => {
                for degrees in GAP_DEGREES {
                    let read = (real + self.dice.normal(INDICATOR_SD_UM)).round() as i64;
                    put(fields, &RadialCell::Axial { degrees }.path(), mm(read));
                }
                put(fields, "radial.gauge", "HG-01");
            }
        }
    }

    /// Raceway on the neck and rollers in the chock, row by row.
    fn read_diameters(&mut self, fields: &mut Fields, kind: &Kind, real: f64) {
        put(fields, "radial.method", "diameters");
        let size = |name: &str| kind.value(name, 0).unwrap_or(0) as f64 / 1000.0;
        let (bore, outside) = (size("bore_nm"), size("outside_nm"));
        // Rings stand about a quarter of the height over the bore (SKF 17000/1 EN, p. 146).
        let raceway = (bore + 0.25 * (outside - bore)).round();
        for row in 1..=4 {
            for degrees in DIAMETER_DEGREES {
                let on_neck = raceway + self.dice.normal(DIAMETER_SD_UM);
                let under = raceway + real + self.dice.normal(DIAMETER_SD_UM);
                let cell = RadialCell::Raceway { row, degrees };
                put(fields, &cell.path(), mm(on_neck.round() as i64));
                let cell = RadialCell::Rollers { row, degrees };
                put(fields, &cell.path(), mm(under.round() as i64));
            }
        }
        let is_large = bore > 600_000.0;
        put(
            fields,
            "radial.gauge",
            if is_large { "OM-04" } else { "OM-03" },
        );
        put(
            fields,
            "radial.gauge_rollers",
            if is_large { "BG-04" } else { "BG-02" },
        );
    }

    /// The bore of the chock with the bearing of its main seat; a neck only where nothing stays on it.
    fn read_its_seats(&mut self, fields: &mut Fields, t: &Teardown, is_main: bool, kind: &Kind) {
        if kind.family == "two_row_spherical" {
            put(fields, "skip.neck", "the roll is on the grinder");
        }
        if !is_main {
            if kind.family != "two_row_thrust" {
                put(fields, "skip.bore", "on the sheet of the bearing beside it");
            }
            return;
        }
        let nominal_um = kind.value("chock_bore_nominal_nm", 0).unwrap_or(0) as f64 / 1000.0;
        let Some(chock) = self.chocks.get(&t.chock) else {
            return;
        };
        let planes = planes_of(self.data, &t.chock);
        let sizes_um = chock.bore.sizes_um(nominal_um, planes, &mut self.dice);
        let gauge = match nominal_um as i64 / 1000 {
            ..400 => "BG-01",
            400..800 => "BG-03",
            _ => "BG-04",
        };
        let warmth = Warmth::any(&mut self.dice);
        bench::read_seat(fields, SeatName::Bore, gauge, &sizes_um, warmth);
    }

    fn whole_decides(
        &mut self,
        fields: &mut Fields,
        t: &Teardown,
        is_main: bool,
        kind: &Kind,
        found: &Assessment,
    ) -> Disposition {
        let recommended = found.recommendation.disposition;
        let told = t.choice.as_deref().filter(|_| is_main);
        let told = told.and_then(|text| text.parse().ok());
        let pair = &found.clearance.pairs[0];
        let ahead_nm = (interval_growth_um(kind) * 1_000.0) as i64;
        let is_worn = pair
            .end_play_nm
            .zip(pair.limit_nm)
            .is_some_and(|(now, limit)| now + ahead_nm >= limit);
        let has_spare = self
            .whole_spares
            .get(&kind.code)
            .is_some_and(|spares| !spares.is_empty());
        let decided = told.unwrap_or(match recommended {
            // What is cracked or broken goes back nowhere, spare or not.
            Disposition::Scrap => Disposition::Scrap,
            Disposition::Recondition if has_spare => Disposition::Recondition,
            // It would pass its limit before it is looked at again: the shop has it done while it is apart.
            _ if is_worn && has_spare => Disposition::Recondition,
            Disposition::ReturnToService => Disposition::ReturnToService,
            _ => Disposition::ReturnAfterTurning,
        });
        put(fields, "decision.choice", decided.as_str());
        if decided != recommended {
            let usual = match (is_worn, has_spare) {
                (true, true) => {
                    "would pass its limit before the next teardown: reconditioned while it is apart"
                }
                (true, false) => "no spare is there: runs on, chock temperature watched each shift",
                _ => "looked over in front of the engineer: runs on",
            };
            let reason = t.reason.as_deref().filter(|_| is_main);
            put(fields, "decision.reason", reason.unwrap_or(usual));
        }
        if !matches!(
            decided,
            Disposition::ReturnToService | Disposition::ReturnAfterTurning
        ) {
            return decided;
        }
        if let ZoneAdvice::Turn { to: zone, .. } | ZoneAdvice::Keep { zone } = found.zone_advice {
            put(fields, "zone.choice", zone.as_str());
        } else if kind.family != "two_row_thrust" {
            put(fields, "zone.choice", "I");
            put(
                fields,
                "zone.reason",
                "no zone is clear: the engineer's choice",
            );
        }
        put(fields, "reassemble.chock", &t.chock);
        let grams = kind.value("grease_row_mg", 0).unwrap_or(0) / 1000;
        if grams == 0 {
            put(fields, "skip.grease", "oil mist");
            return decided;
        }
        put(fields, "grease.kind", "G-2");
        for row in 1..=2 {
            let read = grams + 5 * self.dice.whole(-2, 2);
            put(fields, &format!("grease.row.{row}"), read.to_string());
        }
        decided
    }

    /// One that does not go back leaves its seat to a spare of its type, and comes back reconditioned.
    fn replace(
        &mut self,
        chock: &str,
        seat: &str,
        serial: &str,
        decided: Disposition,
        now: i64,
    ) -> Result<(), DemoError> {
        self.last_out.insert(chock.to_owned(), serial.to_owned());
        let Some(kind) = self.kind_of_serial(serial) else {
            return Ok(());
        };
        let spare = self
            .whole_spares
            .get_mut(&kind.code)
            .and_then(std::collections::VecDeque::pop_front);
        let none = || DemoError::Plan {
            why: format!("no spare of {} is left for {chock}", kind.code),
        };
        let spare = spare.ok_or_else(none)?;
        let zone = i64::from(kind.family != "two_row_thrust");
        self.zones.insert(spare.clone(), zone);
        let payload = Payload::Assembled(Assembled {
            bearing: self.name("bearing", &spare)?,
            chock: self.name("chock", chock)?,
            seat: seat.to_owned(),
            zone,
            note: format!("in the place of {serial}"),
        });
        self.write(Self::foreman(now), now + 200, payload)?;
        if let Some(state) = self.chocks.get_mut(chock) {
            state.seats.insert(seat.to_owned(), spare);
        }
        if decided != Disposition::Scrap {
            let payload = Payload::SentOut(SentOut {
                thing: self.name("bearing", serial)?,
                to: "North Yard".into(),
                packet: "findings and readings of the sheet".into(),
            });
            self.write(Self::foreman(now), now + 400, payload)?;
            let back = now + AWAY_DAYS * DAY_MS;
            if back < self.plan.clock.ms {
                self.put(back, Act::ComesBack(serial.to_owned()));
            }
        }
        self.flush()
    }

    /// A reconditioned bearing is there again, with the clearance of a new one.
    pub(super) fn comes_back(&mut self, serial: &str, now: i64) -> Result<(), DemoError> {
        let Some(kind) = self.kind_of_serial(serial) else {
            return Ok(());
        };
        let mut dice = Dice::of(self.seed, serial, now);
        // Measured when it is back: a new clearance as set, which ends the hold.
        let mut clearance_nm = Vec::new();
        if let Some(whole) = Whole::new(kind, &mut dice) {
            clearance_nm.push((whole.clearance_um * 1_000.0).round() as i64);
            self.wholes.insert(serial.to_owned(), whole);
        }
        self.whole_spares
            .entry(kind.code.clone())
            .or_default()
            .push_back(serial.to_owned());
        let payload = Payload::Returned(Returned {
            thing: self.name("bearing", serial)?,
            certificate: format!("NY-{}", 3_000 + dice.whole(0, 999)),
            note: "reconditioned, clearance as new".into(),
            as_set_nm: clearance_nm,
            body: None,
        });
        self.write("Roll-shop Engineer", now, payload)
    }

    /// The type of a bearing, by the group of its serial.
    fn kind_of_serial(&self, serial: &str) -> Option<&'a Kind> {
        let groups = &self.data.plant.bearings;
        let group = groups
            .iter()
            .find(|group| expand(&group.serials).iter().any(|s| s == serial))?;
        self.data.types.iter().find(|t| t.code == group.kind)
    }
}

/// Story of a tight ring: neck and ring alike all round, ring and gauge at 20 C. um over nominal.
fn tight_ring(fields: &mut Fields, kind: &Kind, neck_um: i64, ring_um: i64) {
    let nominal = kind.value("bore_nm", 0).unwrap_or(0) / 1000;
    let neck = [[(nominal + neck_um) as f64; 4]; 3];
    bench::read_seat(fields, SeatName::Neck, "OM-04", &neck, Warmth::alike());
    for path in halves::ring_order() {
        if halves::parse_ring(&path).is_some() {
            put(fields, &path, mm(nominal + ring_um));
        }
    }
    put(fields, "ring.temp", "22.0");
    put(fields, "ring.temp_gauge", "22.0");
    put(fields, "ring.gauge", "BG-03");
    put(fields, "ring.thermometer", bench::THERMOMETER);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clearance_grows_with_the_hours() {
        let mut whole = Whole {
            clearance_um: 400.0,
            growth_um: 30.0,
            prior_h: 0,
        };
        whole.run(3_000.0);
        assert!((whole.clearance_um - 490.0).abs() < 1e-9);
    }
}
