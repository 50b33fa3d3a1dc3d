//! One JSON object a line, for `chockbook log`: an event or a sheet as a person or another program writes it.
//!
//! Each line has `kind` and, where it did not happen just now, `at`: `2026-10-30`, `2026-10-30T06:10` or with its
//! offset from UTC, `2026-10-30T06:10+01:00`. Things are named by their code or serial, in capitals or not. Sizes end
//! in `_mm`, hours and tonnes are called so; a number may stand as a number or as the text that was typed (`"23,372"`,
//! `"0.492in"`). A key that is not known, or is missing, is named in the error and nothing is written. Where a line
//! says `thing`, a code that two sorts of things have is refused: write the sort instead (`"chock":"WC-17"`).
//!
//! The register (a line with `"change":true` and a `reason` writes the whole record of a thing anew):
//!
//! ```text
//! {"kind":"register_change","entity":"line","code":"FT","name":"hot strip finishing train"}
//! {"kind":"register_change","entity":"stand","code":"F3","line":"FT","build":"four-high"}
//! {"kind":"register_change","entity":"position","code":"F3-W-T-O","stand":"F3","role":"W","level":"T","side":"O","fixed":true,"load_angle_deg":0}
//! {"kind":"register_change","entity":"position","code":"F3-W-T-D","stand":"F3","role":"W","level":"T","side":"D","fixed":false,"load_angle_deg":"0"}
//! {"kind":"register_change","entity":"roll","code":"R-101","line":"FT","role":"W"}
//! {"kind":"register_change","entity":"bearing_type","code":"N4T-480/620-336","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"rework_mm":["0.600","0.600","0.600"],"rework_factor":2,"interval_run_hours":2000,"grease_row_g":1200},"lubrication":"grease G-1, 1.2 kg a row"}
//! {"kind":"register_change","entity":"chock_type","code":"work top O","seats":{"main":"N4T-480/620-336"},"shim_place":"under_flange","fits":["W-T-O"]}
//! {"kind":"register_change","entity":"chock_type","code":"work top D","seats":{"main":"N4T-480/620-336"},"shim_place":"under_flange","bore_planes":4,"fits":["W-T-D"]}
//! {"kind":"register_change","entity":"chock","code":"WC-17","chock_type":"work top O"}
//! {"kind":"register_change","entity":"chock","code":"WC-41","chock_type":"work top D"}
//! {"kind":"register_change","entity":"bearing","serial":"TH-4T-031","bearing_type":"N4T-480/620-336","prior_hours":2010,"prior_note":"card index, not verified"}
//! {"kind":"register_change","entity":"gauge","code":"BG-03","gauge_kind":"bore gauge","measures":"bore","range":"600-800","resolution_um":1,"expanded_uncertainty_um":10,"certificate":"C-118","due":"2027-03-01","standard":"SR-02"}
//! {"kind":"register_change","entity":"gauge","code":"FG-05","gauge_kind":"feeler set","measures":"gap","range":"0-2","resolution_um":10,"expanded_uncertainty_um":15,"certificate":"C-202","due":"2027-01-15"}
//! {"kind":"register_change","entity":"gauge","code":"TW-04","gauge_kind":"torque wrench","measures":"torque","range":"200-1000","resolution_newton_m":1,"expanded_uncertainty_newton_m":4,"certificate":"C-201","due":"2027-01-15"}
//! {"kind":"register_change","entity":"seal_batch","code":"SB-52","name":"neck seals"}
//! {"kind":"register_change","entity":"grease","code":"G-1","name":"lithium complex, water resistant"}
//! {"kind":"register_change","entity":"person","name":"Storekeeper","role":"storekeeper","pin":"4711"}
//! {"kind":"register_change","entity":"person","name":"Storekeeper","role":"storekeeper","active":true,"change":true,"reason":"back from leave"}
//! {"kind":"register_change","entity":"roll","code":"R-101","line":"FT","role":"W","change":true,"reason":"new end plate"}
//! ```
//!
//! A person who is changed keeps the PIN unless a new one is given. A value of a bearing type is a number, or a list
//! where each row pair has its own; its name is that of the record, or ends in `_mm`, `_hours`, `_c`, `_tonnes`, `_g`
//! or `_deg` instead of `_nm`, `_s`, `_mk`, `_kg`, `_mg`, `_ddeg` (and `rework_factor` for `rework_factor_ppm`).
//!
//! What happens:
//!
//! ```text
//! {"kind":"received","at":"2026-09-01","bearing":"TH-4T-031","as_set_mm":[0.300,"0.305",0.295],"spacer_mm":[24.012,30.004,24.012],"certificate":"C-7","note":"crate dry"}
//! {"kind":"inspected_at_receipt","at":"2026-09-01T10:00","bearing":"TH-4T-031","condition":"packing torn, rust spots outside","accepted":false,"claim":"C-12"}
//! {"kind":"inspected_at_receipt","at":"2026-09-02T08:00","bearing":"TH-4T-031","condition":"rust on the outside faces only, cleaned","accepted":true}
//! {"kind":"assembled","at":"2026-09-02T10:00","bearing":"TH-4T-031","chock":"WC-17","seat":"main","zone":1}
//! {"kind":"zone_turned","at":"2026-09-02T12:00","bearing":"TH-4T-031","zone":2,"reason":"zone I ran before"}
//! {"kind":"mounting_sheet","at":"2026-09-03T04:10","fields":{"identify.chock":"WC-17","identify.roll":"R-101","identify.position":"F3-W-T-O","mount.parts.order":"A B C D","mount.parts.zone.1":"II","mount.parts.zone.2":"II","mount.parts.zone.3":"II","mount.neck.cracks":"dye_clear","mount.cover.gauge":"FG-05","mount.cover.0":"1.20","mount.cover.90":"1.21","mount.cover.180":"1.20","mount.cover.270":"1.19","mount.shim":"1.20","mount.bolt.torque":"680","mount.bolt.wrench":"TW-04","mount.bolt.pattern":"crosswise_steps","mount.protect":"textile","mount.outcome":"mounted","mount.note":"dry run, taken off again"},"skip":{"neck":"as on the sheet of last week","mount.ring":"gauge away","mount.play":"bench value holds","grease":"filled at the teardown"}}
//! {"kind":"dismounted","at":"2026-09-03T05:00","chock":"WC-17"}
//! {"kind":"mounted","at":"2026-09-03T06:10","chock":"WC-17","roll":"R-101","position":"F3-W-T-O"}
//! {"kind":"mounted","at":"2026-09-03T06:15","chock":"WC-41","roll":"R-101","position":"F3-W-T-D","note":"which bearing it has is looked up"}
//! {"kind":"dismounted","at":"2026-09-03T10:20","chock":"WC-17"}
//! {"kind":"campaign","at":"2026-09-03T10:20","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-09-03T06:30","hours":3.5,"tonnes":"4120.5","radial_kn":512,"axial_kn":"18,5","rpm":92.5}
//! {"kind":"teardown_sheet","at":"2026-09-04T08:00","fields":{"identify.bearing":"TH-4T-031","identify.chock":"WC-17","clearance.gap.1.0":"23.372"},"skip":{"bore":"gauge away for calibration"}}
//! {"kind":"hold","at":"2026-09-04T09:00","thing":"TH-4T-031","reason":"brown tint on a rib"}
//! {"kind":"released","at":"2026-09-04T11:00","bearing":"TH-4T-031","reason":"stain only, wiped off"}
//! {"kind":"taken_out","at":"2026-09-04T12:00","bearing":"TH-4T-031","reason":"chock goes to the borer"}
//! {"kind":"sent_out","at":"2026-09-05","thing":"WC-17","to":"North Yard","packet":"bore table, photos"}
//! {"kind":"returned","at":"2026-09-20","thing":"WC-17","certificate":"NY-2211","note":"sleeved and bored"}
//! {"kind":"deviation_accepted","at":"2026-09-21","thing":"TH-4T-031","code":"DV-05","text":"run to the next planned teardown"}
//! {"kind":"mill_job","at":"2026-09-22","position":"F3-W-T-O","text":"window liner worn","done":false}
//! {"kind":"condition_reading","at":"2026-09-22T10:00","chock":"WC-41","what":"temperature","temp_c":"96","text":"own baseline 58","early_teardown":true}
//! {"kind":"condition_reading","at":"2026-09-22T11:00","chock":"WC-41","what":"seal_leakage","text":"grease runs out at the neck"}
//! {"kind":"mill_incident","at":"2026-09-22T12:00","position":"F3-W-T-O","what":"cobble","force_mn":31,"chocks":["WC-41"],"text":"usual force 17 MN","early_teardown":true}
//! {"kind":"extension","at":"2026-09-22T13:00","chock":"WC-41","until":"2026-10-10","reason":"temperature watched each shift"}
//! {"kind":"teardown_planned","at":"2026-09-22T13:30","chock":"WC-41","planned":"2026-10-02","reason":"no spare until the set is back"}
//! {"kind":"batch_blocked","at":"2026-09-22T14:00","thing":"SB-52","reason":"stains in 7 of 9 bearings"}
//! {"kind":"cost","at":"2026-09-22T15:00","thing":"TH-4T-031","amount":"3100","text":"reconditioning, grade 3"}
//! {"kind":"gauge_calibrated","at":"2026-09-23","gauge":"BG-03","certificate":"C-131","due":"2027-09-23","expanded_uncertainty_um":"10"}
//! {"kind":"gauge_found_out","at":"2026-09-23T10:00","gauge":"BG-03","error_um":"-12","text":"reads small on SR-02"}
//! {"kind":"spacers_reground","at":"2026-09-23T11:00","bearing":"TH-4T-031","spacer_mm":["23.10","23.05","23.12"],"clearance_mm":["0.30","0.30","0.29"],"reason":"ordered on 2026-09-22"}
//! {"kind":"greased","at":"2026-09-23T12:00","bearing":"TH-4T-031","grease":"G-1","amount_g":"1840"}
//! {"kind":"position_work","at":"2026-09-23T13:00","position":"F3-W-T-O","what":"liners","width_mm":["820.10"],"text":"exit side renewed"}
//! {"kind":"seat_check","at":"2026-09-23T14:00","roll":"R-101","neck":"O","bearing_type":"N4T-480/620-336","fields":{"neck.1.0":"479.702","neck.1.45":"479.705"},"note":"after grinding"}
//! {"kind":"import_batch","name":"September","file":"september.csv","file_hash":"0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f","rows":412}
//! {"kind":"found_here","at":"2026-09-23T15:00","thing":"TH-4T-031","in_chock":"WC-41","seat":"main","zone":1,"reason":"serial read on the ring"}
//! {"kind":"found_here","at":"2026-09-23T16:00","thing":"TH-4T-031","reason":"lies on bench 2"}
//! {"kind":"scrapped","at":"2026-09-24","bearing":"TH-4T-031","reason":"axial crack, inner ring","witness":"Storekeeper"}
//! ```
//!
//! Of a cylindrical bearing the outer half goes into a chock, the inner half on a neck, and they are paired for a time:
//!
//! ```text
//! {"kind":"register_change","entity":"roll","code":"K-07","line":"FT","role":"K"}
//! {"kind":"register_change","entity":"bearing_type","code":"N4C-500","bearing_kind":"four_row_cylindrical","values":{"bore_mm":500}}
//! {"kind":"register_change","entity":"bearing_type","code":"N4C-500 inner half","bearing_kind":"four_row_cylindrical_inner","values":{"bore_mm":500}}
//! {"kind":"register_change","entity":"bearing","serial":"TH-4C-009","bearing_type":"N4C-500"}
//! {"kind":"register_change","entity":"bearing","serial":"TH-4CI-31","bearing_type":"N4C-500 inner half"}
//! {"kind":"assembled","at":"2026-09-25","bearing":"TH-4CI-31","roll":"K-07","seat":"neck_o","zone":0}
//! {"kind":"paired","at":"2026-09-26","outer":"TH-4C-009","inner":"TH-4CI-31"}
//! {"kind":"unpaired","at":"2026-09-27","outer":"TH-4C-009","reason":"inner rings scrapped"}
//! ```
//!
//! A paper or a picture is read from a file and kept with a thing:
//! `{"kind":"attached","thing":"BG-03","what":"certificate","file":"C-131.pdf","text":"calibration of September"}`.
//! Campaigns of an import name it: `"batch":"01020304:77"`.
//!
//! After a merge, with the names of events as the Log has them: a conflict is settled by
//! `{"kind":"conflict_resolved","event":"01020304:24","how":"the number was misread: it was WC-41"}`, and two entries of
//! the register that are one thing are joined by
//! `{"kind":"things_joined","kept":"01020304:11","joined":"0a0b0c0d:3","reason":"one serial, seen on the ring"}`.
//!
//! What was written down wrongly is amended, with places named by JSON pointers into the payload, or withdrawn whole; a
//! sheet is opened again by the engineer, and confirmed by a second person:
//! `{"kind":"amendment","event":"01020304:24","changes":[{"path":"/reason","old":"a","new":"b","reason":"misread"}]}`,
//! `{"kind":"amendment","event":"01020304:24","withdrawn_because":"entered twice"}`,
//! `{"kind":"sheet_reopened","sheet":"01020304:24","reason":"the gauge was read in inch"}`,
//! `{"kind":"countersigned","sheet":"01020304:24","text":"gap S2 measured again"}`. Fields of a signed sheet are changed
//! by their names instead, and all that follows is judged anew by the limits of that day:
//! `{"kind":"amendment","event":"01020304:24","fields":{"clearance.gap.1.0":"23.73"},"reason":"two digits exchanged"}`.
//!
//! The fields of a teardown sheet are named in [`crate::sheet::field`], of a mounting sheet in
//! [`crate::mounting::field`]; `skip` gives the reason why a part was not
//! measured and is short for the field `skip.PART`.

mod keys;
mod kinds;
mod once;
mod register;
mod sheets;

pub use kinds::KINDS;
pub use once::read_once;

use std::path::Path;

use keys::Keys;
use sheets::{amendment, seat_check, sheet_fields};

use crate::attachment::{self, Prepared};
use crate::draft::Fields;
use crate::error::{Result, StoreError};
use crate::logbook::{Logbook, NewEvent};
use crate::payload::{
    Assembled, Attached, BatchBlocked, Campaign, ConditionReading, ConflictResolved, Cost,
    Countersigned, DeviationAccepted, Dismounted, Extension, FoundHere, GaugeCalibrated,
    GaugeFoundOut, Greased, Hold, ImportBatch, InspectedAtReceipt, MillIncident, MillJob, Mounted,
    Paired, Payload, PositionWork, Received, Released, Returned, Scrapped, SentOut, SheetReopened,
    SpacersReground, TakenOut, TeardownPlanned, ThingsJoined, Unpaired, ZoneTurned,
};
use crate::time::Stamp;

/// What a line asks to be signed.
#[derive(Debug, Clone)]
pub enum Line {
    /// One event, to be appended.
    Event(NewEvent),
    /// One event that names a file, to be appended with it.
    WithFile {
        /// The event.
        event: NewEvent,
        /// The file.
        file: Box<Prepared>,
    },
    /// A teardown sheet, to be assessed and signed.
    Teardown {
        /// When the chock was torn down.
        at: Stamp,
        /// The fields as typed.
        fields: Fields,
    },
    /// A mounting sheet, to be assessed and signed.
    Mounting {
        /// When the work was done.
        at: Stamp,
        /// The fields as typed.
        fields: Fields,
    },
}

/// Reads one line. Codes are looked up in the register as it is now, so each line is to be signed before the next
/// one is read.
///
/// # Errors
/// [`StoreError::Input`] names the key; [`StoreError::Unknown`] a code that is not in the register.
pub fn read(logbook: &mut Logbook, line: &str) -> Result<Line> {
    let now = logbook.now();
    let mut keys = Keys::parse(line, now.offset_min)?;
    let kind = keys.text("kind")?;
    keys.of.clone_from(&kind);
    if !KINDS.contains(&kind.as_str()) {
        let why = format!("{kind:?} is no kind of line; there is {}", KINDS.join(", "));
        return Err(StoreError::input("kind", why));
    }
    let at = keys.time_or("at", now)?;
    if kind == "teardown_sheet" {
        let fields = sheet_fields(&mut keys)?;
        keys.finish()?;
        return Ok(Line::Teardown { at, fields });
    }
    if kind == "mounting_sheet" {
        let fields = sheet_fields(&mut keys)?;
        keys.finish()?;
        return Ok(Line::Mounting { at, fields });
    }
    if kind == "attached" {
        let path = keys.text("file")?;
        let file = attachment::read(Path::new(&path))?;
        let payload = Payload::Attached(Attached {
            thing: keys.thing(logbook)?,
            what: keys.text_or("what", "other")?,
            text: keys.text_or("text", "")?,
            file: file.file.clone(),
        });
        keys.finish()?;
        let event = NewEvent { at, payload };
        return Ok(Line::WithFile {
            event,
            file: Box::new(file),
        });
    }
    let payload = payload(logbook, &mut keys, &kind, at)?;
    keys.finish()?;
    Ok(Line::Event(NewEvent { at, payload }))
}

fn payload(logbook: &mut Logbook, keys: &mut Keys, kind: &str, at: Stamp) -> Result<Payload> {
    Ok(match kind {
        "register_change" => Payload::RegisterChange(register::change(logbook, keys)?),
        "received" => Payload::Received(Received {
            bearing: keys.named(logbook, "bearing", "bearing")?,
            as_set_nm: keys.lengths("as_set_mm")?,
            spacer_nm: keys.lengths("spacer_mm")?,
            certificate: keys.text_or("certificate", "")?,
            note: keys.text_or("note", "")?,
        }),
        "assembled" => Payload::Assembled(Assembled {
            bearing: keys.named(logbook, "bearing", "bearing")?,
            chock: keys.seat_of(logbook)?,
            seat: keys.text_or("seat", "main")?,
            zone: keys.whole("zone", 0..=4)?,
            note: keys.text_or("note", "")?,
        }),
        "inspected_at_receipt" => Payload::InspectedAtReceipt(InspectedAtReceipt {
            bearing: keys.named(logbook, "bearing", "bearing")?,
            condition: keys.text("condition")?,
            is_accepted: keys.flag_or("accepted", false)?,
            claim: keys.text_or("claim", "")?,
        }),
        "taken_out" => Payload::TakenOut(TakenOut {
            bearing: keys.named(logbook, "bearing", "bearing")?,
            reason: keys.text("reason")?,
        }),
        "found_here" => Payload::FoundHere(found_here(keys, logbook)?),
        "mounted" => Payload::Mounted(Mounted {
            chock: keys.named(logbook, "chock", "chock")?,
            roll: keys.named(logbook, "roll", "roll")?,
            position: keys.named(logbook, "position", "position")?,
            note: keys.text_or("note", "")?,
        }),
        "dismounted" => Payload::Dismounted(Dismounted {
            chock: keys.named(logbook, "chock", "chock")?,
        }),
        "campaign" => Payload::Campaign(Campaign {
            roll: keys.named(logbook, "roll", "roll")?,
            position_o: keys.named(logbook, "position_o", "position")?,
            position_d: keys.named(logbook, "position_d", "position")?,
            chock_o: keys.named(logbook, "chock_o", "chock")?,
            chock_d: keys.named(logbook, "chock_d", "chock")?,
            from_ms: keys.time("from")?.ms,
            run_s: keys.amount("hours", 3600)?,
            rolled_kg: keys.amount("tonnes", 1000)?,
            is_estimate: keys.flag_or("estimate", false)?,
            radial_n: keys.scaled_opt("radial_kn", 1_000)?,
            axial_n: keys.scaled_opt("axial_kn", 1_000)?,
            speed_mrpm: keys.scaled_opt("rpm", 1_000)?,
            batch: keys.event_opt(logbook, "batch")?,
        }),
        "import_batch" => Payload::ImportBatch(ImportBatch {
            name: keys.text("name")?,
            file: keys.text("file")?,
            file_hash: keys.text("file_hash")?,
            rows: keys.whole("rows", 1..=10_000_000)?,
        }),
        "paired" => Payload::Paired(Paired {
            outer: keys.named(logbook, "outer", "bearing")?,
            inner: keys.named(logbook, "inner", "bearing")?,
        }),
        "unpaired" => Payload::Unpaired(Unpaired {
            outer: keys.named(logbook, "outer", "bearing")?,
            reason: keys.text("reason")?,
        }),
        "spacers_reground" => Payload::SpacersReground(SpacersReground {
            bearing: keys.named(logbook, "bearing", "bearing")?,
            spacer_nm: keys.lengths("spacer_mm")?,
            clearance_nm: keys.lengths("clearance_mm")?,
            reason: keys.text("reason")?,
        }),
        "zone_turned" => Payload::ZoneTurned(ZoneTurned {
            bearing: keys.named(logbook, "bearing", "bearing")?,
            zone: keys.whole("zone", 1..=4)?,
            reason: keys.text_or("reason", "")?,
        }),
        "greased" => Payload::Greased(Greased {
            bearing: keys.named(logbook, "bearing", "bearing")?,
            grease: keys.named(logbook, "grease", "grease")?,
            amount_mg: keys.amount("amount_g", 1_000)?,
            note: keys.text_or("note", "")?,
        }),
        "position_work" => Payload::PositionWork(PositionWork {
            position: keys.named(logbook, "position", "position")?,
            what: keys.text("what")?,
            width_nm: keys.lengths("width_mm")?,
            text: keys.text("text")?,
        }),
        "gauge_found_out" => Payload::GaugeFoundOut(GaugeFoundOut {
            gauge: keys.named(logbook, "gauge", "gauge")?,
            error: register::gauge_error(keys)?,
            text: keys.text("text")?,
        }),
        "countersigned" => Payload::Countersigned(Countersigned {
            sheet: keys.event(logbook, "sheet")?,
            text: keys.text("text")?,
        }),
        "sheet_reopened" => Payload::SheetReopened(SheetReopened {
            sheet: keys.event(logbook, "sheet")?,
            reason: keys.text("reason")?,
        }),
        "amendment" => amendment(logbook, keys)?,
        "sent_out" => Payload::SentOut(SentOut {
            thing: keys.thing(logbook)?,
            to: keys.text("to")?,
            packet: keys.text_or("packet", "")?,
        }),
        "returned" => Payload::Returned(Returned {
            thing: keys.thing(logbook)?,
            certificate: keys.text_or("certificate", "")?,
            note: keys.text_or("note", "")?,
            as_set_nm: keys.lengths("as_set_mm")?,
            body: None,
        }),
        "hold" => Payload::Hold(Hold {
            thing: keys.thing(logbook)?,
            reason: keys.text("reason")?,
        }),
        "released" => Payload::Released(Released {
            thing: keys.thing(logbook)?,
            reason: keys.text("reason")?,
        }),
        "deviation_accepted" => Payload::DeviationAccepted(DeviationAccepted {
            thing: keys.thing(logbook)?,
            code: keys.text("code")?,
            text: keys.text("text")?,
        }),
        "mill_job" => Payload::MillJob(MillJob {
            position: keys.named(logbook, "position", "position")?,
            text: keys.text("text")?,
            is_done: keys.flag_or("done", false)?,
        }),
        "gauge_calibrated" => Payload::GaugeCalibrated(GaugeCalibrated {
            gauge: keys.named(logbook, "gauge", "gauge")?,
            certificate: keys.text("certificate")?,
            due_ms: keys.time("due")?.ms,
            expanded_uncertainty: register::gauge_value(keys, "expanded_uncertainty", None)?
                .ok_or_else(|| keys.missing("expanded_uncertainty_um"))?,
        }),
        "condition_reading" => Payload::ConditionReading(condition(logbook, keys)?),
        "mill_incident" => Payload::MillIncident(MillIncident {
            position: keys.named(logbook, "position", "position")?,
            what: keys.text("what")?,
            force_n: keys.scaled_opt("force_mn", 1_000_000)?,
            chocks: keys.all_named(logbook, "chocks", "chock")?,
            text: keys.text_or("text", "")?,
            is_early_teardown: keys.flag_or("early_teardown", false)?,
        }),
        "extension" => Payload::Extension(Extension {
            chock: keys.named(logbook, "chock", "chock")?,
            until_ms: keys.time("until")?.ms,
            reason: keys.text("reason")?,
        }),
        "teardown_planned" => Payload::TeardownPlanned(TeardownPlanned {
            chock: keys.named(logbook, "chock", "chock")?,
            planned_ms: keys.time_opt("planned")?.map(|at| at.ms),
            reason: keys.text("reason")?,
        }),
        "batch_blocked" => Payload::BatchBlocked(BatchBlocked {
            batch: keys.thing(logbook)?,
            reason: keys.text("reason")?,
        }),
        "cost" => Payload::Cost(Cost {
            thing: keys.thing(logbook)?,
            amount_minor: keys.amount("amount", 100)?,
            text: keys.text("text")?,
        }),
        "scrapped" => Payload::Scrapped(Scrapped {
            thing: keys.thing(logbook)?,
            reason: keys.text("reason")?,
            witness: keys.named(logbook, "witness", "person")?,
        }),
        "things_joined" => Payload::ThingsJoined(ThingsJoined {
            kept: keys.event(logbook, "kept")?,
            joined: keys.event(logbook, "joined")?,
            reason: keys.text("reason")?,
        }),
        "conflict_resolved" => Payload::ConflictResolved(ConflictResolved {
            event: keys.event(logbook, "event")?,
            how: keys.text("how")?,
        }),
        "seat_check" => Payload::SeatCheck(seat_check(logbook, keys, at)?),
        other => {
            return Err(StoreError::input(
                "kind",
                format!("a line of kind {other} is not read by this program"),
            ));
        }
    })
}

/// A value stands under the key of what was read; any other is left over, and refused.
fn condition(logbook: &mut Logbook, keys: &mut Keys) -> Result<ConditionReading> {
    let what = keys.text("what")?;
    keys.of = format!("condition_reading with what {what}");
    Ok(ConditionReading {
        value: match what.as_str() {
            "temperature" => keys.signed_opt("temp_c", 1_000)?,
            "vibration" => keys.scaled_opt("vibration_mm_per_s", 1_000_000)?,
            "noise" => keys.scaled_opt("noise_db", 100)?,
            _ => None,
        },
        chock: keys.named(logbook, "chock", "chock")?,
        what,
        text: keys.text_or("text", "")?,
        is_early_teardown: keys.flag_or("early_teardown", false)?,
    })
}

/// In a chock, on a neck of a roll, in a position on a roll, or loose in the shop.
fn found_here(keys: &mut Keys, logbook: &Logbook) -> Result<FoundHere> {
    let thing = keys.thing(logbook)?;
    let chock = keys.named_opt(logbook, "in_chock", "chock")?;
    let roll = keys.named_opt(logbook, "on_roll", "roll")?;
    Ok(FoundHere {
        thing,
        on: chock.or(roll),
        seat: keys.text_or("seat", "")?,
        position: keys.named_opt(logbook, "at_position", "position")?,
        zone: keys.whole_or("zone", 0..=4)?,
        reason: keys.text("reason")?,
    })
}
