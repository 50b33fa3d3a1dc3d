//! What every document says about itself: plant, anchor, check, time, program, cautions.

use report::{Imprint, Mark, Marked, SignatureLine, UtcMoment};
use store::Stamp;
use store::query::SheetDetail;

use super::{PrintJob, Result, counted};

/// What every print carries about work that can hurt (common practice; the air limit is that of US 29 CFR
/// 1910.242(b), 30 psi).
pub(super) const CAUTIONS: [&str; 7] = [
    "Lock out and make safe before entering a stand. Stay clear of suspended loads; no hands between roll, chock and \
     window. Certified lifting gear; chocks are tilted in a tilter only.",
    "Mark hot parts HOT with the time. Heater at most 120 \u{b0}C, lower where the type says; never a flame.",
    "Oil injection: rated parts only, stop nut left on, stand aside.",
    "Compressed air under 30 psi (0.2 MPa) with guards and eye protection; never spin a bearing with air. Solvents: \
     ventilation, gloves, no ignition.",
    "Never cut a tight ring without a shield and a procedure; never cut or strike a stuck load under crane tension.",
    "Spalls and sharp edges: gloves. Grinding: guards, noise and eye protection.",
    "This record does not release machinery; a competent person does. The site\u{2019}s procedures, local law and the \
     makers\u{2019} documents come first.",
];

/// The sentence that stands on every document, whatever it tells.
pub(super) const NO_RELEASE: &str = CAUTIONS[6];

/// What a document of the record says about itself. `sheets` are those that it prints.
pub(super) fn imprint(
    conn: &store::Connection,
    job: &PrintJob,
    sheets: &[SheetDetail],
    cautions: &[&str],
) -> Result<Imprint> {
    Ok(Imprint {
        plant: store::logbook::plant(conn)?,
        anchor: job.anchor.clone(),
        standing: String::new(),
        chain_check: chain_check(sheets),
        printed_at: job.now.date_time(),
        printed_utc: utc(job.now),
        printed_for: job.for_whom.clone(),
        program: job.program.clone(),
        demo: job.is_demo,
        cautions: cautions.iter().map(|text| (*text).to_owned()).collect(),
        signature_lines: Vec::new(),
    })
}

/// Lines to sign by hand: who, for what.
pub(super) fn to_sign(lines: &[(&str, &str)]) -> Vec<SignatureLine> {
    let line = |(who, what): &(&str, &str)| SignatureLine {
        who: (*who).to_owned(),
        what: (*what).to_owned(),
    };
    lines.iter().map(line).collect()
}

/// What can be said of the chain while printing: each sheet on this print is hashed anew.
pub(super) fn chain_check(sheets: &[SheetDetail]) -> Marked {
    let torn: Vec<String> = sheets
        .iter()
        .filter(|s| s.event.hash != s.event.expected_hash())
        .map(|s| s.event.id.to_string())
        .collect();
    if !torn.is_empty() {
        let text = format!(
            "Not what was signed: {}. Run chockbook verify.",
            torn.join(", ")
        );
        return Marked {
            text,
            mark: Mark::Fail,
        };
    }
    let sheets = match sheets.len() {
        0 => "The".to_owned(),
        count => format!("{} on this print and the", counted(count, "sheet")),
    };
    let text = format!(
        "{sheets} newest 100 entries of the logbook were hashed anew and hold. The whole chain is checked by \
         chockbook verify."
    );
    Marked {
        text,
        mark: Mark::Pass,
    }
}

pub(super) fn utc(now: Stamp) -> UtcMoment {
    let (year, month, day, hour, minute, second) = Stamp::second(now.ms, 0).parts();
    let small = |value: u32| u8::try_from(value).unwrap_or(0);
    UtcMoment {
        year: u16::try_from(year).unwrap_or(1970),
        month: small(month),
        day: small(day),
        hour: small(hour),
        minute: small(minute),
        second: small(second),
    }
}
