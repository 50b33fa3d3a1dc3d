//! Asks an independent validator whether documents are what they say: PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1).
//!
//! `pdfa FILE...` prints a line a broken rule and ends with 1; with 2 where a file cannot be judged.

use std::process::ExitCode;

use page_validation::{ValidationOptions, ValidationProfile, validate_pdf};

/// What every document of the program says that it is.
const PROFILES: [(ValidationProfile, &str); 2] = [
    (ValidationProfile::PdfA2a, "PDF/A-2a"),
    (ValidationProfile::PdfUa1, "PDF/UA-1"),
];

fn main() -> ExitCode {
    let files: Vec<_> = std::env::args_os().skip(1).collect();
    if files.is_empty() {
        eprintln!("usage: pdfa FILE...");
        return ExitCode::from(2);
    }
    let mut is_broken = false;
    for file in &files {
        for (profile, name) in PROFILES {
            let options = ValidationOptions::default().profile(profile);
            let report = match validate_pdf(file, &options) {
                Ok(report) => report,
                Err(error) => {
                    eprintln!("{}: {name} cannot be judged: {error}", file.display());
                    return ExitCode::from(2);
                }
            };
            for failure in &report.failures {
                println!(
                    "{}: {name}: {}: {}",
                    file.display(),
                    failure.rule_id,
                    failure.message
                );
            }
            is_broken |= !report.is_compliant;
            if report.is_compliant {
                println!(
                    "{}: {name}: {} rules hold",
                    file.display(),
                    report.rules.total
                );
            }
        }
    }
    ExitCode::from(u8::from(is_broken))
}
