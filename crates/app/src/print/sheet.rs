//! One signed sheet in full.

use std::collections::BTreeMap;

use calc::conformity::Verdict;
use report::{Decision, GaugeLine, Labelled, Mark, SheetDetail as Printed, SignatureLine};
use store::entry::Show;
use store::payload::Entry;
use store::query::{SheetDetail, decided_words, zone_numeral};
use store::sheet::field::{self, FieldKind, SeatName};
use store::sheet::findings;
use store::sheet::{GaugeFacts, TypeFacts};
use store::time::DAY_MS;
use store::{Stamp, ThingNo};

use super::{Result, corrections, facts, labelled, mark, mounting, pictures, readings, verdicts};

/// Setting ring or standard of each gauge.
pub(super) type Standards = BTreeMap<ThingNo, String>;

/// Those of the gauges that sheets were read with.
pub(super) fn standards(conn: &store::Connection, sheets: &[SheetDetail]) -> Result<Standards> {
    let mut standards = Standards::new();
    for gauge in sheets.iter().flat_map(|sheet| sheet.gauges.values()) {
        if standards.contains_key(&gauge.no) {
            continue;
        }
        if let Some((store::payload::Record::Gauge(record), _)) =
            store::query::record(conn, gauge.no)?
        {
            standards.insert(gauge.no, record.standard);
        }
    }
    Ok(standards)
}

/// Entries that have a place of their own in the form.
const PLACED: [&str; 23] = [
    "identify.chock",
    "identify.bearing",
    "identify.roll",
    "identify.position",
    "identify.at",
    "identify.zone",
    "clearance.gauge_gap",
    "clearance.gauge_width",
    "bore.gauge",
    "bore.thermometer",
    "neck.gauge",
    "neck.thermometer",
    "ring.thermometer",
    "chock.gauge",
    "bolts.wrench",
    "mount.ring.gauge",
    "decision.choice",
    "decision.reason",
    "zone.choice",
    "zone.reason",
    "reassemble.chock",
    "grease.kind",
    "sign.fitter",
];

/// Sheet `number` of the bearing, with the type's limits of that day.
pub(super) fn sheet(
    number: usize,
    detail: &SheetDetail,
    limits: &TypeFacts,
    standards: &Standards,
    show: Show,
) -> Printed {
    let at = detail.event.at;
    let entered = detail.event.entered;
    let is_late = entered.ms - at.ms >= DAY_MS;
    let days = (entered.ms - at.ms) / DAY_MS;
    let late = if is_late {
        format!(", {} after the work", super::counted(days as usize, "day"))
    } else {
        String::new()
    };
    let what = detail.what().to_lowercase();
    let roll = match (detail.roll.as_str(), detail.side_words()) {
        ("", _) | (_, "") => detail.roll.clone(),
        (roll, side) => format!("{roll}, {side}"),
    };
    let roll = match detail.inner_half.as_str() {
        "" => roll,
        inner => format!("{roll}, inner half {inner}"),
    };
    let off = match (detail.position.is_empty(), detail.stay_run_s) {
        _ if detail.mounting.is_some() => detail.position.clone(),
        (true, 0) => String::new(),
        (true, run_s) => format!("after {} h", show.hours(run_s)),
        (false, run_s) => format!("off {} after {} h", detail.position, show.hours(run_s)),
    };
    let printed = Printed {
        title: format!("Sheet {number}: {what}"),
        record: detail.event.id.to_string(),
        date: at.date_time(),
        entered: format!("{}{late}", entered.date_time()),
        late: is_late,
        place: off,
        chock: detail.chock.clone(),
        roll,
        photos: Vec::new(),
        signers: signers(detail),
        found: found(detail, show),
        tables: readings::tables(detail, show),
        drawings: [
            pictures::found(detail, limits, show),
            pictures::seats(detail, limits, show),
        ]
        .into_iter()
        .flatten()
        .collect(),
        gauges: gauges(detail, standards, show),
        verdicts: verdicts::lines(detail, show),
        decision: decision(detail, show),
        not_measured: not_measured(detail),
        notes: notes(detail, limits, show),
    };
    if detail.is_withdrawn {
        withdrawn(printed, detail, &what)
    } else {
        printed
    }
}

/// A sheet that counts no more: what was read is struck through, what followed from it is left out.
fn withdrawn(mut sheet: Printed, detail: &SheetDetail, what: &str) -> Printed {
    sheet.title = format!("Withdrawn: {what}");
    let cells = sheet
        .tables
        .iter_mut()
        .flat_map(|table| table.rows.iter_mut().flatten());
    for piece in cells.flat_map(|cell| cell.pieces.iter_mut()) {
        piece.tone = report::Tone::Struck;
    }
    let whole = detail
        .amended
        .iter()
        .rev()
        .find(|place| place.path.is_empty());
    let told = whole.map_or_else(
        || "Withdrawn: it counts no more.".to_owned(),
        |place| {
            format!(
                "Withdrawn by {} on {} (record {}): {}. What was read is struck through; verdicts and decision \
                 count no more and stand in the record.",
                place.by,
                place.at.date_time(),
                place.id,
                place.reason
            )
        },
    );
    sheet.notes.insert(0, told);
    sheet.verdicts.clear();
    sheet.drawings.clear();
    sheet.decision = None;
    sheet
}

fn signers(detail: &SheetDetail) -> Vec<SignatureLine> {
    let date = detail.event.entered.date();
    let all = [
        (&detail.fitter, "did the work and measured".to_owned()),
        (&detail.signer, format!("signed with PIN, {date}")),
        (
            &detail.ordered_by,
            format!("ordered or released with PIN, {date}"),
        ),
    ];
    let named = all.into_iter().filter(|(who, _)| !who.is_empty());
    named
        .map(|(who, what)| SignatureLine {
            who: who.clone(),
            what,
        })
        .chain(corrections::marks(detail).0)
        .collect()
}

/// As found, and every entry that the form has no other place for.
fn found(detail: &SheetDetail, show: Show) -> Vec<Labelled> {
    let mut rows = Vec::new();
    // A mounting sheet is about a chock on a neck, and counts no hours.
    if detail.mounting.is_none() {
        let hours = show.hours(detail.total_run_s);
        rows.push(labelled(
            "mill hours then",
            format!("{hours} h on its own counter"),
        ));
    }
    let teardown = detail.teardown.as_ref();
    if let Some(zone) = teardown.and_then(|t| t.zone_found) {
        rows.push(labelled("zone as found", zone_numeral(zone)));
    }
    if let Some(again) = teardown.and_then(|t| t.reassembly.as_ref()) {
        let why = if again.zone_reason.is_empty() {
            String::new()
        } else {
            format!(": {}", again.zone_reason)
        };
        rows.push(labelled(
            "zone up now",
            format!("{}{why}", zone_numeral(again.zone)),
        ));
        rows.push(labelled("back into chock", detail.back_into.clone()));
    }
    let others = detail
        .body
        .entries
        .iter()
        .filter(|e| !PLACED.contains(&e.path.as_str()) && findings::parse(&e.path).is_none());
    let words = |e: &Entry| match field::kind(&e.path) {
        Some(FieldKind::Choice(list)) => list.shown(&e.text).unwrap_or(&e.text).to_owned(),
        _ => e.text.clone(),
    };
    rows.extend(others.map(|e| labelled(detail.label(&e.path, show), words(e))));
    rows
}

/// The gauges with what each was used for, as they stood on that day.
fn gauges(detail: &SheetDetail, standards: &Standards, show: Show) -> Vec<GaugeLine> {
    const USES: [(&str, &str); 10] = [
        ("clearance.gauge_gap", "gaps"),
        ("clearance.gauge_width", "spacer widths"),
        ("bore.gauge", "chock bore"),
        ("neck.gauge", "roll neck"),
        ("bore.thermometer", "temperature of chock and gauge"),
        ("neck.thermometer", "temperature of neck and gauge"),
        ("ring.thermometer", "temperature of ring and gauge"),
        ("chock.gauge", "faces and liners"),
        ("bolts.wrench", "cover bolts"),
        ("mount.ring.gauge", "ring bore"),
    ];
    let used_for = |code: &str| {
        let is_it = |path: &str| {
            detail
                .entry(path)
                .is_some_and(|typed| typed.eq_ignore_ascii_case(code))
        };
        USES.iter()
            .filter(|(path, _)| is_it(path))
            .map(|(_, word)| *word)
            .collect::<Vec<_>>()
            .join(", ")
    };
    let tried = |code: &str| {
        let used = USES.iter().filter(|(path, _)| {
            let typed = detail.entry(path);
            typed.is_some_and(|typed| typed.eq_ignore_ascii_case(code))
        });
        let told: Vec<String> = used
            .filter_map(|(path, _)| readings::check(detail, path, show))
            .collect();
        told.join("; ")
    };
    let line = |g: &GaugeFacts| {
        let standard = standards.get(&g.no).cloned().unwrap_or_default();
        let mut told = vec![standard, tried(&g.code)];
        told.retain(|text| !text.is_empty());
        GaugeLine {
            standard: told.join(": "),
            ..gauge(g, &used_for(&g.code), detail.event.at, show)
        }
    };
    detail.gauges.values().map(line).collect()
}

fn gauge(g: &GaugeFacts, used_for: &str, at: Stamp, show: Show) -> GaugeLine {
    let kind = if used_for.is_empty() {
        g.kind.clone()
    } else {
        format!("{}, {used_for}", g.kind)
    };
    let uncertainty = match g.expanded_uncertainty_nm {
        Some(u) if g.measures == "torque" => {
            format!("{} N m (k = 2)", show.amount(u, 1_000, 0))
        }
        Some(nm) => format!("{} (k = 2)", show.length_unit(nm)),
        None => "not known".into(),
    };
    let days = ((at.ms - g.due_ms) / DAY_MS).max(0) as usize;
    let (status, mark) = match (g.is_overdue, days) {
        // Something else than its date speaks against it.
        (true, 0) if !g.doubt.is_empty() => (g.doubt.clone(), Mark::FailInDoubt),
        (false, _) => ("in calibration".to_owned(), Mark::Pass),
        (true, 0) => ("overdue".to_owned(), Mark::FailInDoubt),
        (true, days) => (
            format!("overdue by {}", super::counted(days, "day")),
            Mark::FailInDoubt,
        ),
    };
    GaugeLine {
        code: g.code.clone(),
        kind,
        uncertainty,
        certificate: g.certificate.clone(),
        due: Stamp::second(g.due_ms, at.offset_min).date(),
        status,
        mark,
        ..GaugeLine::default()
    }
}

fn decision(detail: &SheetDetail, show: Show) -> Option<Decision> {
    use calc::disposition::Disposition;
    let signed = detail.teardown.as_ref()?;
    let mark = match signed.decision.decided.parse::<Disposition>() {
        Ok(Disposition::Scrap | Disposition::Recondition) => Mark::Fail,
        Ok(Disposition::HoldForEngineer) => Mark::Missing,
        Ok(_) => returned_as(detail),
        Err(_) => Mark::NotApplicable,
    };
    let ordered_by = if detail.ordered_by.is_empty() {
        String::new()
    } else {
        format!("{}, {}", detail.ordered_by, detail.event.entered.date())
    };
    Some(Decision {
        recommended: decided_words(&signed.decision.recommended),
        decided: decided_words(&signed.decision.decided),
        mark,
        reasons: signed
            .decision
            .reasons
            .iter()
            .map(|reason| detail.named_rows(show).told(reason))
            .collect(),
        departure: signed.decision.departure.clone(),
        ordered_by,
    })
}

/// The worst clearance that the bearing went back with: after grinding where it was ground.
fn returned_as(detail: &SheetDetail) -> Mark {
    let of = |about: &str| -> Vec<Verdict> {
        detail
            .body
            .verdicts
            .iter()
            .filter(|v| v.about == about)
            .filter_map(|v| v.verdict.parse().ok())
            .collect()
    };
    let ground = of("clearance_after");
    let verdicts = if ground.is_empty() {
        of("clearance")
    } else {
        ground
    };
    if verdicts.is_empty() {
        Mark::Missing
    } else {
        mark(Verdict::worst(verdicts).as_str())
    }
}

fn not_measured(detail: &SheetDetail) -> Vec<Labelled> {
    let name = |what: &str| match what {
        "bore" => SeatName::Bore.title().to_owned(),
        "neck" => SeatName::Neck.title().to_owned(),
        other => other.to_owned(),
    };
    detail
        .body
        .not_measured
        .iter()
        .map(
            |n| match store::mounting::field::label(&format!("skip.{}", n.what)) {
                Some(label) => labelled(label, n.reason.clone()),
                None => labelled(name(&n.what), n.reason.clone()),
            },
        )
        .collect()
}

/// What was computed and has no table: the seats as a whole, the limits of the day.
fn notes(detail: &SheetDetail, limits: &TypeFacts, show: Show) -> Vec<String> {
    let mut notes: Vec<String> = [SeatName::Bore, SeatName::Neck]
        .into_iter()
        .filter_map(|s| seat_note(detail, s, show))
        .collect();
    if !notes.is_empty() {
        // Two-point sizes are blind to odd lobes: geometry, common practice, no source.
        notes.push("A two-point gauge cannot see three lobes.".into());
    }
    notes.extend(mounting::notes(detail, show));
    let causes = detail.teardown.iter().flat_map(|t| &t.decision.causes);
    let rows = detail.named_rows(show);
    notes.extend(causes.map(|cause| rows.told(cause)));
    notes.extend((!detail.note.is_empty()).then(|| format!("Noted: {}.", detail.note)));
    notes.extend(suspects(detail, show));
    notes.extend(corrections::marks(detail).1);
    notes.extend(verdicts::notes(detail));
    notes.push(format!(
        "Limits of that day: {} of {}.",
        facts::version(limits, detail.event.at.offset_min),
        limits.code
    ));
    notes
}

/// Gauges that were found out later: the readings stay as they are, and the impact note says what changes.
fn suspects(detail: &SheetDetail, show: Show) -> impl Iterator<Item = String> {
    detail.suspects.iter().map(move |s| {
        format!(
            "Suspect gauge {}: on {} it was found to read {}. The readings stand as signed; what would change is in its \
             impact note, record {}.",
            s.code,
            s.at.date(),
            store::query::error_words(s.error, &s.measures, show),
            s.fault,
        )
    })
}

fn seat_note(detail: &SheetDetail, seat: SeatName, show: Show) -> Option<String> {
    let result = |name: &str| detail.result(&format!("{}_{name}_nm", seat.prefix()), 0);
    let mean = result("mean")?;
    let others = ["smallest", "largest"]
        .into_iter()
        .filter_map(|name| Some((name, result(name)?)));
    let others: Vec<String> = others
        .map(|(name, nm)| format!("{name} {}", show.deviation(nm)))
        .collect();
    let taper = result("taper")
        .map(|nm| format!("; taper {}", show.length_unit(nm)))
        .unwrap_or_default();
    let (title, mean, unit) = (seat.title(), show.deviation(mean), show.unit.sign());
    let sizes = [vec![format!("mean {mean}")], others].concat().join(", ");
    Some(format!(
        "{title} at 20 \u{b0}C, from nominal: {sizes} {unit}{taper}."
    ))
}
