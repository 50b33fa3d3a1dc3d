//! Why the engineer signs a teardown sheet too.

use std::collections::BTreeSet;

use calc::conformity::Verdict;
use calc::disposition::Disposition;
use calc::finding::Asks;

use super::assess::{Assessment, Values, gauge_paths};
use super::closing;
use super::facts::Facts;

/// Gauges of the sheet that are overdue or were found out, by code.
fn in_doubt<'a>(values: &Values<'_>, facts: &'a Facts) -> impl Iterator<Item = &'a str> + use<'a> {
    let paths = gauge_paths();
    let used = paths.iter().filter_map(|path| values.gauge(facts, path));
    let codes: BTreeSet<&str> = used
        .filter(|g| g.is_overdue)
        .map(|g| g.code.as_str())
        .collect();
    codes.into_iter()
}

/// Why the engineer has to sign too.
pub(super) fn engineer_because(a: &Assessment, values: &Values<'_>, facts: &Facts) -> Vec<String> {
    let mut because = Vec::new();
    if a.decided == Some(Disposition::RegrindSpacers) {
        because.push("the engineer orders a regrind".to_owned());
    }
    if a.decided == Some(Disposition::Scrap) {
        because.push("the engineer decides on scrapping".to_owned());
    }
    let verdicts = a.clearance.pairs.iter().map(|p| p.verdict).chain(
        a.bore
            .checks
            .iter()
            .chain(&a.neck.checks)
            .map(|c| c.verdict),
    );
    let fit = a.ring.iter().map(|ring| ring.verdict);
    let fit = fit.chain(
        a.taper
            .iter()
            .flat_map(|taper| taper.lines.iter().map(|l| l.verdict)),
    );
    let fit: Vec<Verdict> = fit.collect();
    // A spacer that was ground is judged by its new faces.
    let is_reground = a.decided == Some(Disposition::RegrindSpacers);
    let ground = a.clearance.after.spacer_nm.map(|nm| nm.is_some());
    let faces: Vec<Verdict> = (a.clearance.pairs.iter().zip(ground))
        .filter(|(_, is_ground)| !(is_reground && *is_ground))
        .map(|(pair, _)| pair.parallel_verdict)
        .collect();
    let new_faces = &a.clearance.after.parallel_verdict;
    let new_faces: Vec<Verdict> = (new_faces.iter().zip(ground))
        .filter(|(_, is_ground)| is_reground && *is_ground)
        .map(|(verdict, _)| *verdict)
        .collect();
    let is_in_doubt = verdicts
        .chain(fit.iter().chain(&faces).chain(&new_faces).copied())
        .any(Verdict::is_in_doubt);
    let is_measured = a.clearance.pairs.iter().all(|p| p.is_complete)
        && a.bore.missing == 0
        && a.neck.missing == 0;
    if a.is_reassembled && !is_measured {
        because.push("something is not measured".to_owned());
    }
    let other = match (&facts.back_into, &facts.chock) {
        (Some((into, code)), Some(chock)) if *into != chock.no => Some(code),
        _ => None,
    };
    if let Some(code) = other.filter(|_| a.is_reassembled) {
        because.push(format!(
            "it goes into {code}, whose bore is not on this sheet"
        ));
    }
    if a.is_reassembled {
        because.extend(closing::engineer_because(values, facts));
    }
    if a.is_reassembled && a.recommendation.disposition == Disposition::HoldForEngineer {
        because.push("the sheet says to hold it".to_owned());
    }
    let worst = a
        .findings
        .iter()
        .filter_map(|seen| seen.finding)
        .map(|f| f.asks())
        .max();
    if a.is_reassembled && worst >= Some(Asks::Recondition) {
        because.push("a finding speaks against returning it".to_owned());
    }
    if a.is_reassembled && is_in_doubt {
        because.push("a verdict is in doubt".to_owned());
    }
    for gauge in in_doubt(values, facts).filter(|_| a.is_reassembled) {
        because.push(format!("{gauge} was out of calibration when read"));
    }
    let seat_fails = a
        .bore
        .checks
        .iter()
        .chain(&a.neck.checks)
        .any(|c| c.verdict == Verdict::Fail);
    if a.is_reassembled && seat_fails {
        because.push("a seat fails".to_owned());
    }
    let is_loose = a.ring.as_ref().is_some_and(super::ring::RingView::is_loose)
        || a.taper
            .as_ref()
            .is_some_and(super::taper::TaperView::is_loose);
    if a.is_reassembled && is_loose {
        because.push("the fit on the neck is lost".to_owned());
    } else if a.is_reassembled && fit.contains(&Verdict::Fail) {
        because.push("the fit on the neck fails".to_owned());
    }
    if a.is_reassembled && faces.contains(&Verdict::Fail) {
        because.push("the faces of a spacer are not parallel".to_owned());
    }
    if new_faces.contains(&Verdict::Missing) {
        because.push("the faces of a spacer that was ground are not measured".to_owned());
    }
    if a.is_reassembled && a.clearance.pairs.iter().any(|p| p.is_unlike) {
        because.push("the clearance was measured another way than as set".to_owned());
    }
    let rows = a.clearance.radial.iter().flat_map(|radial| &radial.rows);
    let reaches_limit = a
        .clearance
        .pairs
        .iter()
        .map(|p| p.rework_verdict)
        .chain(rows.map(|row| row.rework_verdict))
        .any(|verdict| verdict == Verdict::Fail);
    if a.is_reassembled && reaches_limit && a.decided != Some(Disposition::RegrindSpacers) {
        because.push("a clearance is at its limit and is not reground".to_owned());
    }
    because
}
