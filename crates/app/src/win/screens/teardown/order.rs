//! Where the caret goes: the fields of each section in the order of the work.

use calc::disposition::{Disposition, ZoneAdvice};
use calc::load_zone::Zone;
use store::draft::Fields;
use store::sheet::field::{self, PAIRS, SeatName};
use store::sheet::findings::{self, Key};
use store::sheet::{Assessment, Family, Section};

use super::radial;
pub use crate::win::screens::sheet::entries::has;
use crate::win::screens::sheet::sign;

/// What the order depends on.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// What the sheet says now.
    pub assessment: &'a Assessment,
    /// What was typed.
    pub fields: &'a Fields,
    /// Whether an engineer signs besides the person at work.
    pub asks_engineer: bool,
}

/// The fields of a section in order; of the seats, those of one seat.
pub fn order(section: Section, seat: SeatName, sheet: &Sheet) -> Vec<String> {
    let named = |paths: &[&str]| paths.iter().map(|p| (*p).to_owned()).collect::<Vec<_>>();
    let a = sheet.assessment;
    match section {
        Section::Identify => named(&[
            "identify.chock",
            "identify.bearing",
            "identify.position",
            "identify.roll",
            "identify.at",
            "identify.note",
        ]),
        Section::AsFound => {
            let mut order = named(&AS_FOUND);
            if a.family == Family::Cylindrical {
                order.insert(7, "found.inner".into());
            }
            order.retain(|path| path != "identify.zone" || a.family.has_zones());
            let is_said = is_said_as_found(a, sheet.fields);
            add_skip(&mut order, "skip.found", is_said, sheet.fields);
            order
        }
        Section::Clean => clean(sheet.fields),
        Section::Findings => findings(sheet),
        Section::Clearance => {
            if let Some(whole) = &a.clearance.radial {
                return radial::order(a, whole, sheet.fields);
            }
            let mut order = named(&["clearance.method", "clearance.load"]);
            order.extend(field::clearance_order());
            order.extend(named(&["clearance.gauge_gap", "clearance.gauge_width"]));
            let repeated = (1..)
                .zip(&a.clearance.pairs)
                .filter(|(_, p)| !p.earlier.is_empty());
            order.extend(repeated.map(|(number, _)| format!("repeat.why.{number}")));
            order.extend(field::places_order());
            let is_read = a.clearance.pairs.iter().all(|p| p.is_complete);
            add_skip(&mut order, "skip.clearance", is_read, sheet.fields);
            let is_whole = a.clearance.pairs.iter().all(|p| p.spacer_places == 4);
            let is_asked = asks_places(a) && is_read;
            add_skip(
                &mut order,
                "skip.places",
                is_whole || !is_asked,
                sheet.fields,
            );
            order
        }
        Section::Seats => {
            let view = if seat == SeatName::Bore {
                &a.bore
            } else {
                &a.neck
            };
            if !view.is_needed {
                return Vec::new();
            }
            // The gauge is taken and tried on its standard before anything is read with it.
            let prefix = seat.prefix();
            let mut order = vec![format!("{prefix}.gauge")];
            let thermometer = format!("{prefix}.thermometer");
            if view.asks_thermometer || has(sheet.fields, &thermometer) {
                order.push(thermometer);
            }
            order.extend(["check.read", "check.standard"].map(|end| format!("{prefix}.{end}")));
            order.extend(field::planes_order(seat, view.planes));
            order.extend(named(match seat {
                SeatName::Bore => &[
                    "chock.shoulder",
                    "chock.cover_face",
                    "chock.width",
                    "chock.gauge",
                ],
                SeatName::Neck => &["neck.cracks"],
            }));
            if seat == SeatName::Neck {
                let is_tested = has(sheet.fields, "neck.cracks") || view.missing > 0;
                add_skip(&mut order, "skip.neck_cracks", is_tested, sheet.fields);
            }
            let is_checked = view.check_off_nm.is_some() || view.missing > 0;
            add_skip(
                &mut order,
                &format!("skip.{prefix}_check"),
                is_checked,
                sheet.fields,
            );
            let skip = format!("skip.{}", seat.prefix());
            add_skip(&mut order, &skip, view.missing == 0, sheet.fields);
            if let (SeatName::Neck, Some(ring)) = (seat, &a.ring) {
                if view.asks_thermometer || has(sheet.fields, "ring.thermometer") {
                    order.push("ring.thermometer".into());
                }
                order.extend(field::halves::ring_order());
                // A ring that is not measured is looked over for cracks all the same.
                let is_looked = ring.missing == 0 || has(sheet.fields, "skip.ring");
                let is_tested = has(sheet.fields, "ring.cracks") || !is_looked;
                add_skip(&mut order, "skip.ring_cracks", is_tested, sheet.fields);
                add_skip(&mut order, "skip.ring", ring.missing == 0, sheet.fields);
            }
            order
        }
        Section::Decision => {
            let mut order = named(&["decision.choice"]);
            if departs(a) || has(sheet.fields, "decision.reason") {
                order.push("decision.reason".into());
            }
            order
        }
        Section::Reassemble => reassemble(sheet),
        Section::Sign => {
            let mut order = named(&["sign.fitter"]);
            order.extend(sign::order(sheet.asks_engineer));
            order
        }
    }
}

/// Whether the type limits how parallel the faces of a spacer are, so that four places are wanted.
pub fn asks_places(a: &Assessment) -> bool {
    use calc::conformity::Verdict;
    let mut pairs = a.clearance.pairs.iter();
    pairs.any(|pair| pair.parallel_verdict != Verdict::NotApplicable)
}

/// Beginnings of fields that only the sheet of a tapered bearing is not whole without.
const ONLY_TAPERED: [&str; 5] = ["parts.", "seals.", "zone.rings", "bolts.", "protect."];

/// Whether Enter passes over a field: Tab stops at every field, Enter at those that a sheet is not whole without.
pub fn is_optional(path: &str, sheet: &Sheet) -> bool {
    let a = sheet.assessment;
    let is_other = a.clearance.radial.is_some();
    if is_other && ONLY_TAPERED.iter().any(|start| path.starts_with(start)) {
        return true;
    }
    match path {
        // One of both is enough; the logbook knows the rest.
        "identify.bearing" | "identify.position" => has(sheet.fields, "identify.chock"),
        "identify.at" | "identify.note" | "clean.note" | "findings.side" | "found.seal_batch"
        | "found.temperature" | "clearance.method" | "clearance.load" | "chock.shoulder"
        | "chock.cover_face" | "chock.width" | "grease.seal" | "grease.cover" | "taper.push"
        | "taper.note" => true,
        "chock.gauge" => !["chock.shoulder", "chock.cover_face", "chock.width"]
            .iter()
            .any(|path| has(sheet.fields, path)),
        "shim.found" => is_other || has(sheet.fields, path),
        // Once there is a gauge; a seat that is left out needs neither.
        "bore.check.read" | "bore.check.standard" => {
            a.bore.is_empty() && !has(sheet.fields, "bore.gauge")
        }
        "neck.check.read" | "neck.check.standard" => {
            a.neck.is_empty() && !has(sheet.fields, "neck.gauge")
        }
        "bore.thermometer" => {
            has(sheet.fields, path) || a.bore.is_empty() && !has(sheet.fields, "bore.gauge")
        }
        "neck.thermometer" => {
            has(sheet.fields, path) || a.neck.is_empty() && !has(sheet.fields, "neck.gauge")
        }
        "ring.thermometer" => has(sheet.fields, path),
        "neck.cracks" => a.neck.is_empty(),
        "taper.push_gauge" => !has(sheet.fields, "taper.push"),
        "taper.gauge" => !has(sheet.fields, "taper.mounted.1"),
        "shim.fitted" => a.decided != Some(Disposition::RegrindSpacers),
        _ if path.starts_with("cover.gap.") => {
            a.decided != Some(Disposition::RegrindSpacers) && a.closing.gap_places == 0
        }
        _ => {
            matches!(
                field::grid(path),
                Some(field::Cell::SpacerAt { .. } | field::Cell::AfterAt { .. })
            ) && !asks_places(a)
        }
    }
}

/// Whether everything is said of the state as found that the sheet is not whole without.
pub fn is_said_as_found(a: &Assessment, fields: &Fields) -> bool {
    let wanted = store::sheet::wanted_as_found(a.family);
    wanted.iter().all(|path| has(fields, path))
}

/// State as found, in the order of the eye: the zone before a ring is moved, then outside first.
const AS_FOUND: [&str; 10] = [
    "identify.zone",
    "found.seal",
    "found.grease",
    "found.water",
    "found.rotation",
    "found.bolts",
    "found.chips",
    "found.seal_batch",
    "found.temperature",
    "shim.found",
];

fn clean(fields: &Fields) -> Vec<String> {
    let mut order = vec!["clean.state".to_owned()];
    let is_new = fields.get("clean.state").is_some_and(|f| f.text == "new");
    let washed = ["clean.agent", "clean.dried", "clean.preserved"];
    order.extend(
        washed
            .iter()
            .filter(|path| !is_new || has(fields, path))
            .map(|p| (*p).to_owned()),
    );
    order.push("clean.note".into());
    add_skip(&mut order, "skip.clean", has(fields, "clean.state"), fields);
    order
}

/// Every finding that is begun, then the part of the next one.
fn findings(sheet: &Sheet) -> Vec<String> {
    let seen = &sheet.assessment.findings;
    let mut order = Vec::new();
    if seen.is_empty() || is_nothing_found(sheet.fields) {
        order.push("findings.none".to_owned());
    }
    for one in seen {
        order.extend(Key::ALL.map(|key| findings::path(one.number, key)));
    }
    if !is_nothing_found(sheet.fields) {
        let next = next_finding(sheet.assessment);
        order.extend(next.map(|number| findings::path(number, Key::Part)));
    }
    order.extend(["findings.cracks", "findings.side"].map(str::to_owned));
    let is_looked = !seen.is_empty() || is_nothing_found(sheet.fields);
    let is_tested = has(sheet.fields, "findings.cracks") || !is_looked;
    add_skip(&mut order, "skip.cracks", is_tested, sheet.fields);
    add_skip(&mut order, "skip.findings", is_looked, sheet.fields);
    order
}

/// Whether the sheet says that nothing is to be seen.
pub fn is_nothing_found(fields: &Fields) -> bool {
    fields.get("findings.none").is_some_and(|f| f.text == "yes")
}

/// The number of the next finding; none where the sheet is full.
pub fn next_finding(a: &Assessment) -> Option<usize> {
    let last = a.findings.last().map_or(0, |seen| seen.number);
    (last < findings::FINDINGS_MAX).then_some(last + 1)
}

fn reassemble(sheet: &Sheet) -> Vec<String> {
    let a = sheet.assessment;
    if !a.is_reassembled {
        return Vec::new();
    }
    let mut order = Vec::new();
    if a.decided == Some(Disposition::RegrindSpacers) {
        order.extend(
            PAIRS
                .into_iter()
                .filter(|p| is_ground(a, *p))
                .flat_map(|pair| field::GAP_DEGREES.map(|d| field::after_at(pair, d))),
        );
        let is_open = (0..PAIRS.len()).any(|index| a.clearance.after.is_face_open(index));
        add_skip(&mut order, "skip.places_after", !is_open, sheet.fields);
        order.push("shim.found".into());
        if asks_retention(a) {
            order.push("retention.checked".into());
        }
    }
    order.extend(["parts.order", "seals.done"].map(str::to_owned));
    let text = |path: &str| sheet.fields.get(path).map_or("", |f| f.text.trim());
    match text("seals.done") {
        "changed" => order.push("seals.batch".into()),
        "kept" if !matches!(text("found.seal"), "" | "sound") => {
            order.push("seals.reason".into());
        }
        _ => {}
    }
    if a.family.has_zones() {
        order.extend(["zone.choice", "zone.rings"].map(str::to_owned));
    }
    if text("zone.rings") == "other" {
        order.extend((1..=3).map(|ring| format!("zone.ring.{ring}")));
    }
    if text("zone.rings") == "other" || chooses_otherwise(a) || has(sheet.fields, "zone.reason") {
        order.push("zone.reason".into());
    }
    order.extend(["reassemble.chock", "grease.kind"].map(str::to_owned));
    let rows = 1..=a.rows;
    order.extend(rows.clone().map(|row| format!("grease.row.{row}")));
    let is_greased = has(sheet.fields, "grease.kind")
        && rows
            .clone()
            .all(|row| has(sheet.fields, &format!("grease.row.{row}")));
    order.extend(["grease.seal", "grease.cover"].map(str::to_owned));
    add_skip(&mut order, "skip.grease", is_greased, sheet.fields);
    if a.closing.is_other_grease || has(sheet.fields, "lube.approval") {
        order.push("lube.approval".into());
    }
    order.extend(field::GAP_DEGREES.map(field::cover_gap));
    order.push("shim.fitted".into());
    let asks_gap = a.closing.gap_places > 0 || a.decided == Some(Disposition::RegrindSpacers);
    let is_measured = a.closing.gap_places == 4 || !asks_gap;
    add_skip(&mut order, "skip.cover", is_measured, sheet.fields);
    let is_put_in = has(sheet.fields, "shim.fitted") || !store::sheet::asks_pack(a);
    add_skip(&mut order, "skip.shim", is_put_in, sheet.fields);
    let bolts = ["bolts.torque", "bolts.pattern", "bolts.wrench"];
    order.extend(bolts.map(str::to_owned));
    let is_tight = bolts.iter().all(|path| has(sheet.fields, path));
    add_skip(&mut order, "skip.bolts", is_tight, sheet.fields);
    order.push("protect.with".into());
    order
}

/// The field for a reason why not comes last, and only where something is not done.
pub(super) fn add_skip(order: &mut Vec<String>, path: &str, is_done: bool, fields: &Fields) {
    if !is_done || has(fields, path) {
        order.push(path.into());
    }
}

/// Whether something else was decided than is recommended.
pub fn departs(a: &Assessment) -> bool {
    a.decided
        .is_some_and(|decided| decided != a.recommendation.disposition)
}

/// The zone that is advised.
pub fn advised(a: &Assessment) -> Option<Zone> {
    match a.zone_advice {
        ZoneAdvice::Turn { to: zone, .. } | ZoneAdvice::Keep { zone } => Some(zone),
        ZoneAdvice::NotAsked | ZoneAdvice::NoneClear => None,
    }
}

/// Whether another zone was chosen than is advised.
pub fn chooses_otherwise(a: &Assessment) -> bool {
    a.zone_chosen.is_some() && a.zone_chosen != advised(a)
}

/// Whether the spacer of a pair, from 1, is ground.
pub fn is_ground(a: &Assessment, pair: usize) -> bool {
    a.clearance
        .pairs
        .get(pair - 1)
        .is_some_and(|p| p.to_grind_nm() != Some(0))
}

/// Whether the inner stack gets shorter, so that the axial retention is to be checked.
pub fn asks_retention(a: &Assessment) -> bool {
    let inner = a.clearance.after.inner_nm.or(a.clearance.planned_inner_nm);
    inner.is_some_and(|change| change != 0)
}

/// The field that a line standing against signing is about.
pub fn target(
    section: Section,
    blocker: &str,
    sheet: &Sheet,
) -> (Section, SeatName, Option<String>) {
    let is_ring = blocker.to_lowercase().contains("inner ring");
    let seat = if is_ring || blocker.starts_with(SeatName::Neck.title()) {
        SeatName::Neck
    } else {
        SeatName::Bore
    };
    let order = order(section, seat, sheet);
    let named = order
        .iter()
        .find(|path| blocker.starts_with(&field::label(path)));
    let known = KNOWN
        .iter()
        .find(|(words, _)| blocker.contains(words))
        .map(|(_, path)| (*path).to_owned());
    let of_pair = |path: fn(usize) -> String, name: fn(usize) -> String| {
        PAIRS
            .into_iter()
            .find(|pair| blocker.starts_with(&format!("{}:", name(*pair))))
            .map(path)
    };
    let is_open = |path: &&String| !has(sheet.fields, path) && !is_optional(path, sheet);
    let path = known
        .or_else(|| named.cloned())
        .or_else(|| {
            let gap = |pair| format!("gap of rows {}", calc::disposition::pair_rows(pair - 1));
            of_pair(|pair| field::gap(pair, 0), gap)
        })
        .or_else(|| of_pair(field::after, |pair| format!("spacer S{pair}")))
        .filter(|path| order.contains(path))
        .or_else(|| order.iter().find(is_open).or(order.first()).cloned());
    (section, seat, path)
}

/// Words of what stands against signing, and the field they are about where its name is not among them.
const KNOWN: [(&str, &str); 35] = [
    ("Chock bore: which thermometer", "bore.thermometer"),
    ("Roll neck: which thermometer", "neck.thermometer"),
    ("Inner ring: which thermometer", "ring.thermometer"),
    ("at four places after grinding", "after.1.90"),
    ("Inner ring: crack test", "ring.cracks"),
    ("Inner ring:", "ring.temp"),
    ("Clearance on the taper:", "taper.mounted.1"),
    ("Gap of rows 1–2 repeated", "repeat.why.1"),
    ("Gap of rows 2–3 repeated", "repeat.why.2"),
    ("Gap of rows 3–4 repeated", "repeat.why.3"),
    ("spacers at four places", "clearance.spacer.1.90"),
    ("Chock bore: gauge on its standard", "bore.check.read"),
    ("Roll neck: gauge on its standard", "neck.check.read"),
    ("Roll neck: crack test", "neck.cracks"),
    ("order of their marks", "parts.order"),
    ("seal was found bad", "seals.reason"),
    ("each outer ring", "zone.ring.1"),
    ("not turned alike", "zone.reason"),
    ("approved lubrication", "lube.approval"),
    ("cover gap", "cover.gap.0"),
    ("has it run", "clean.state"),
    ("with what", "clean.preserved"),
    ("nothing found, and", "findings.none"),
    ("crack test shows", "findings.cracks"),
    ("Chock bore: which gauge?", "bore.gauge"),
    ("Roll neck: which gauge?", "neck.gauge"),
    ("say why not", "decision.reason"),
    ("cover shims", "shim.found"),
    ("shim pack", "shim.found"),
    ("axial retention", "retention.checked"),
    ("say why another zone", "zone.reason"),
    ("which load zone", "zone.choice"),
    ("which chock", "reassemble.chock"),
    ("grease and grams", "grease.kind"),
    ("scan or type the bearing", "identify.bearing"),
];
