//! The sections of a mounting sheet: what is done, what stands against signing.

use calc::conformity::Verdict;

use super::assess::{MountAssessment, read, ring_check_off, up, zones};
use super::engineer::{NO_LIMIT, unlimited};
use super::facts::MountFacts;
use super::field::{
    BEFORE, CLOSING, COVER, COVER_GAUGE, Family, NECK_GAUGE, RING, RING_GAUGE, SEAT, Section,
    label, play, section,
};
use crate::sheet::{SectionState, Values, tested_or_why};

/// What is done when an inner ring goes onto its neck.
pub const OF_THE_RING: [Section; 4] = [
    Section::Neck,
    Section::Fit,
    Section::Heating,
    Section::Seating,
];

/// Whether the crack test of the neck showed one.
fn is_cracked(values: &Values<'_>) -> bool {
    values
        .text("mount.neck.cracks")
        .is_some_and(|said| said.ends_with("_crack"))
}

/// How far one section is.
pub(super) fn state(
    of: Section,
    a: &MountAssessment,
    values: &Values<'_>,
    facts: &MountFacts,
) -> SectionState {
    let mut blockers: Vec<String> = values
        .states
        .iter()
        .filter(|(path, _)| section(path) == Some(of))
        .filter_map(|(path, state)| {
            let problem = state.problem.as_ref().filter(|p| p.is_refusal)?;
            Some(format!(
                "{}: {}",
                crate::sheet::field::label(path),
                problem.text
            ))
        })
        .collect();
    let mut on = On {
        a,
        values,
        facts,
        blockers: &mut blockers,
    };
    let done = match of {
        _ if on.stays(of) => Done::NotAsked,
        Section::Identify => on.identify(),
        Section::Neck => on.neck(),
        Section::Fit => on.ring(),
        Section::Heating => on.heating(),
        Section::Seating => on.asks(
            &SEAT,
            "skip.mount.seat",
            Some("mount.seat.gauge"),
            "gap at the ring faces",
        ),
        Section::Parts => on.parts(),
        Section::Clearance => on.clearance(),
        Section::Grease => on.grease(),
        Section::Cover => on.cover(),
        Section::Protect => on.protect(),
        Section::Sign => on.sign(),
    };
    let judged = a.worst(of);
    let is_unlimited = unlimited(a, values, facts).iter().any(|(s, _)| *s == of);
    let mark = match (done, judged) {
        (_, Some(Verdict::Fail)) => Verdict::Fail,
        // One part that is sound does not stand for those that nobody measured.
        (Done::No | Done::LeftOut, _) => Verdict::Missing,
        (Done::NotAsked, _) => Verdict::NotApplicable,
        (Done::Yes, Some(Verdict::Pass)) if is_unlimited => Verdict::NotApplicable,
        (Done::Yes, Some(judged)) => judged,
        (Done::Yes, None) if is_unlimited || is_measured(of) => Verdict::NotApplicable,
        (Done::Yes, None) => Verdict::Pass,
    };
    let note = match (done, mark) {
        (Done::LeftOut, _) => "left out".into(),
        (_, Verdict::Fail) => "fails".into(),
        (_, Verdict::PassInDoubt | Verdict::FailInDoubt) => "in doubt".into(),
        (Done::Yes, _) if is_unlimited => NO_LIMIT.into(),
        _ => String::new(),
    };
    let mark = if of == Section::Neck && is_cracked(values) {
        Verdict::Fail
    } else {
        mark
    };
    let mark = if blockers.is_empty() || mark == Verdict::Fail {
        mark
    } else {
        Verdict::Missing
    };
    SectionState {
        mark,
        note,
        blockers,
    }
}

/// Whether a section is about sizes and plays, which only a limit makes good or bad.
fn is_measured(of: Section) -> bool {
    matches!(of, Section::Neck | Section::Fit | Section::Clearance)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Done {
    Yes,
    No,
    LeftOut,
    NotAsked,
}

struct On<'a> {
    a: &'a MountAssessment,
    values: &'a Values<'a>,
    facts: &'a MountFacts,
    blockers: &'a mut Vec<String>,
}

impl On<'_> {
    fn has(&self, path: &str) -> bool {
        self.values.text(path).is_some()
    }

    fn says(&self, path: &str, word: &str) -> bool {
        self.values.text(path) == Some(word)
    }

    /// Whether the crack test of the neck showed one.
    fn is_cracked(&self) -> bool {
        is_cracked(self.values)
    }

    /// Whether a section is about putting a ring on that stays on its neck: nothing of it is asked, but what is typed counts.
    fn stays(&self, of: Section) -> bool {
        let mut typed = self.values.states.keys();
        self.facts.stays_since.is_some()
            && OF_THE_RING.contains(&of)
            && !typed.any(|path| section(path) == Some(of))
    }

    /// Readings that are all there, or a reason why not; with their gauge.
    fn asks(&mut self, paths: &[&str], skip: &str, gauge: Option<&str>, what: &str) -> Done {
        let there = read(self.values, paths).len();
        let is_whole = there == paths.len();
        if self.has(skip) {
            if !is_whole {
                return Done::LeftOut;
            }
            self.blockers.push(format!(
                "{what}: everything is read, take the reason why not away"
            ));
        }
        if !is_whole {
            let left = paths.len() - there;
            let values = if left == 1 { "value" } else { "values" };
            self.blockers
                .push(format!("{what}: {left} {values} to read, or why not"));
            return Done::No;
        }
        if let Some(gauge) = gauge.filter(|gauge| !self.has(gauge)) {
            self.blockers
                .push(format!("{}: which one?", label(gauge).unwrap_or(gauge)));
        }
        Done::Yes
    }

    fn identify(&mut self) -> Done {
        let base = &self.facts.base;
        if base.chock.is_none() {
            self.blockers.push("Chock: scan or type it".into());
            return Done::No;
        }
        if self.facts.is_other {
            self.blockers
                .push("no mounting sheet is for this kind of bearing".into());
        }
        if base.bearing.is_none() {
            self.blockers
                .push("there is no bearing in the main seat of this chock: put it in first".into());
        }
        // A crack that was found stays with its roll, also where nothing is mounted.
        if base.roll.is_none() && (self.a.is_mounted != Some(false) || self.is_cracked()) {
            self.blockers
                .push("Roll that the neck belongs to: scan or type it".into());
        }
        if self.a.is_mounted != Some(false) {
            if !self.has("identify.position") {
                self.blockers.push("Position: where does it go?".into());
            }
            self.blockers.extend(self.facts.against.iter().cloned());
        }
        if self.a.family == Family::Cylindrical
            && self.a.is_mounted != Some(false)
            && base.roll.is_some()
            && self.has("identify.position")
            && self.facts.inner.is_none()
        {
            self.blockers.push(
                "no inner half is on this neck by the record: tell where it went on first (Setup, Bearings)".into(),
            );
        }
        Done::Yes
    }

    fn neck(&mut self) -> Done {
        if self.is_cracked() && self.a.is_mounted != Some(false) {
            let words = "the crack test shows a crack: the neck is not used";
            self.blockers.push(words.into());
        }
        let sized = self.sized();
        // Whether it is cracked does not follow from a size of another day.
        self.blockers.extend(tested_or_why(
            self.values,
            label("mount.neck.cracks").unwrap_or_default(),
            ["mount.neck.cracks", "skip.mount.cracks"],
        ));
        if sized == Done::Yes && self.has("skip.mount.cracks") {
            return Done::LeftOut;
        }
        sized
    }

    /// The sizes of the neck, with their gauge.
    fn sized(&mut self) -> Done {
        if self.has("skip.neck") {
            if self.a.neck_missing > 0 {
                return Done::LeftOut;
            }
            self.blockers
                .push("the neck: everything is read, take the reason why not away".into());
        }
        if self.a.neck_missing > 0 {
            let left = self.a.neck_missing;
            self.blockers
                .push(format!("the neck: {left} values to read, or why not"));
            return Done::No;
        }
        if !self.has("neck.gauge") {
            self.blockers
                .push("Gauge for the roll neck: which one?".into());
        }
        let is_checked = self.a.neck.check_off_nm.is_some();
        self.checked(is_checked, "skip.neck_check", NECK_GAUGE[1]);
        Done::Yes
    }

    fn ring(&mut self) -> Done {
        let done = self.asks(
            &RING,
            "skip.mount.ring",
            Some(RING_GAUGE[0]),
            "size of the ring bore",
        );
        if done == Done::Yes {
            let is_checked = ring_check_off(self.values).is_some();
            self.checked(is_checked, "skip.mount.ring_check", RING_GAUGE[1]);
        }
        done
    }

    /// Nothing is measured with a gauge that was not read on its standard before, or it is said why.
    fn checked(&mut self, is_checked: bool, skip: &str, first: &str) {
        if !is_checked && !self.has(skip) {
            self.blockers.push(format!(
                "{}: before use, or why not checked",
                crate::sheet::field::label(first)
            ));
        }
    }

    fn heating(&mut self) -> Done {
        if self.says("mount.heat.by", "induction") && !self.says("mount.heat.demagnetised", "yes") {
            self.blockers
                .push("Demagnetised: a ring heated by induction is demagnetised first".into());
        }
        if self.has("skip.mount.heat") {
            return Done::LeftOut;
        }
        let Some(by) = self.values.text("mount.heat.by") else {
            self.blockers
                .push("Heated by: what? Or why not noted".into());
            return Done::No;
        };
        if by == "cold" {
            return Done::NotAsked;
        }
        if self.values.number("mount.heat.ring").is_none() {
            self.blockers
                .push("Ring temperature reached: how warm?".into());
        }
        if !self.has("mount.heat.gauge") {
            self.blockers.push("Thermometer: which one?".into());
        }
        Done::Yes
    }

    fn parts(&mut self) -> Done {
        self.turned();
        if self.has("skip.mount.parts") {
            return Done::LeftOut;
        }
        if !self.has("mount.parts.order") {
            self.blockers
                .push("Parts by mark, from the barrel: read them back, or why not".into());
            return Done::No;
        }
        if zones(self.values, self.a.family).len() < self.a.family.outer_rings() {
            self.blockers.push("Zone up: for each outer ring".into());
            return Done::No;
        }
        Done::Yes
    }

    /// The zones that were read back stand alike and as the record has them, or it is said why not.
    fn turned(&mut self) {
        let zones = zones(self.values, self.a.family);
        let Some(first) = zones.first().copied() else {
            return;
        };
        let up = up(self.facts);
        if self.has("mount.parts.reason") {
            return;
        }
        if zones.iter().any(|zone| *zone != first) {
            self.blockers
                .push("Why these zones: the rings do not stand alike".into());
        } else if up > 0 && first != up {
            let name = crate::query::zone_numeral(up);
            self.blockers.push(format!(
                "Why these zones: by the record zone {name} is up in this chock"
            ));
        }
    }

    fn clearance(&mut self) -> Done {
        let mounts = self.a.is_mounted != Some(false);
        for check in self
            .a
            .checks
            .iter()
            .filter(|c| c.section == Section::Clearance)
        {
            let length = |nm| self.values.show().length_unit(nm);
            if check.value <= 0 && mounts {
                let what = match check.about {
                    "mount_thrust" => "parts",
                    _ => "spacers",
                };
                self.blockers.push(format!(
                    "{}: {}, there is no play. Stop, check {what} and seating",
                    check.title,
                    length(check.value)
                ));
            } else if let Some(least) = check.lower.filter(|least| check.value < *least && mounts) {
                self.blockers.push(format!(
                    "{}: {}, below the drawing\u{2019}s minimum {}: it cannot be mounted",
                    check.title,
                    length(check.value),
                    length(least)
                ));
            }
        }
        let main = self.asks(
            play(self.a.family),
            "skip.mount.play",
            Some("mount.play.gauge"),
            "play",
        );
        if super::taper::of(self.facts).is_some() {
            let before = self.asks(&BEFORE, "skip.mount.play", None, "play before");
            if self.has("mount.push") && !self.has("mount.push.gauge") {
                self.blockers.push(format!(
                    "{}: which one?",
                    label("mount.push.gauge").unwrap_or_default()
                ));
            }
            return if main == Done::Yes { before } else { main };
        }
        if self.a.family != Family::Cylindrical {
            return main;
        }
        let thrust = self.asks(
            &["mount.thrust"],
            "skip.mount.thrust",
            Some("mount.thrust.gauge"),
            "thrust bearing",
        );
        if main == Done::Yes { thrust } else { main }
    }

    fn grease(&mut self) -> Done {
        if matches!(self.values.text("mount.seal.lip"), Some("cut" | "folded"))
            && self.a.is_mounted != Some(false)
        {
            self.blockers
                .push("Lip looks: a cut or folded lip is put right first".into());
        }
        if self.a.is_other_grease && !self.has("lube.approval") {
            let scheme = self.facts.scheme();
            self.blockers.push(crate::sheet::not_approved(scheme));
        }
        if self.has("skip.grease") {
            return Done::LeftOut;
        }
        let rows = self.a.family.rows();
        let given = (1..=rows)
            .filter(|row| self.values.number(&format!("grease.row.{row}")).is_some())
            .count();
        if given < rows || !self.has("grease.kind") {
            self.blockers
                .push("Grease: which, and grams for each row, or why not".into());
            return Done::No;
        }
        Done::Yes
    }

    fn cover(&mut self) -> Done {
        let mounts = self.a.is_mounted != Some(false);
        let pack = self.a.derived.iter().find(|d| d.name == "mount_shim_nm");
        if let Some(pack) = pack.filter(|pack| pack.value < 0 && mounts) {
            self.blockers.push(format!(
                "the cover gap asks for a shim pack of {}: machine the cover",
                self.values.show().length_unit(pack.value)
            ));
        }
        let pattern = self.values.text("mount.bolt.pattern");
        if mounts && pattern.is_some_and(|pattern| pattern != "crosswise_steps") {
            self.blockers
                .push("Tightened: crosswise in steps, the last round at full torque".into());
        }
        let gaps = self.asks(
            &COVER,
            "skip.mount.cover",
            Some(COVER_GAUGE),
            "gap at the cover",
        );
        let closed = self.closed();
        match (gaps, closed) {
            (Done::No, _) | (_, Done::No) => Done::No,
            (Done::LeftOut, _) | (_, Done::LeftOut) => Done::LeftOut,
            _ => Done::Yes,
        }
    }

    /// Shims put in, bolts tightened; or why not.
    fn closed(&mut self) -> Done {
        let open: Vec<&str> = CLOSING.into_iter().filter(|path| !self.has(path)).collect();
        if self.has("skip.bolts") {
            if !open.is_empty() {
                return Done::LeftOut;
            }
            self.blockers
                .push("the cover is closed: take the reason why not away".into());
        }
        for path in &open {
            self.blockers.push(match *path {
                "mount.shim" => "Shims put in: how thick?".into(),
                "mount.bolt.torque" => "Torque of the cover bolts: how much?".into(),
                "mount.bolt.wrench" => "Torque wrench: which one?".into(),
                _ => "Tightened: in which pattern?".to_owned(),
            });
        }
        if open.is_empty() { Done::Yes } else { Done::No }
    }

    fn protect(&mut self) -> Done {
        match self.values.text("mount.protect") {
            None => {
                self.blockers
                    .push("Covered with: what keeps it clean until it runs?".into());
                Done::No
            }
            Some("foil") => {
                self.blockers
                    .push("Covered with: never plastic foil, water condenses under it".into());
                Done::No
            }
            Some(_) => Done::Yes,
        }
    }

    fn sign(&mut self) -> Done {
        match self.a.is_mounted {
            None => self
                .blockers
                .push("What comes of it: mounted, or not?".into()),
            Some(false) if !self.has("mount.reason") => {
                self.blockers.push("Why not mounted: say it".into());
            }
            Some(_) => {}
        }
        Done::No
    }
}
