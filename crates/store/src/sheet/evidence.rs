//! The sections before anything is measured: as found, clean, findings. Washing destroys the evidence, so what was
//! found is asked first.

use calc::conformity::Verdict;
use calc::finding::{Asks, Finding};

use super::assess::{Assessment, Values};
use super::family::Family;
use super::field;

/// What has to be said of the state as found, in the order of the eye: the zone before a ring is moved, and the pack of
/// shims where the sheet of this family closes the chock.
pub fn wanted_as_found(family: Family) -> Vec<&'static str> {
    let zone = family.has_zones().then_some("identify.zone");
    let shim = family.is_closed_here().then_some("shim.found");
    let all = [
        "found.seal",
        "found.grease",
        "found.water",
        "found.rotation",
        "found.bolts",
    ];
    zone.into_iter().chain(all).chain(shim).collect()
}

/// State as found: said, or said why not.
pub(super) fn as_found(
    family: Family,
    values: &Values<'_>,
    blockers: &mut Vec<String>,
) -> (Verdict, String) {
    let wanted = wanted_as_found(family);
    let open: Vec<&&str> = wanted
        .iter()
        .filter(|path| values.text(path).is_none())
        .collect();
    if let Some(mark) = left_out(values, "skip.found", open.len(), blockers) {
        return mark;
    }
    if let Some(first) = open.first() {
        blockers.push(format!(
            "{}: how was it found? Or why not noted",
            field::label(first)
        ));
        let said = wanted.len() - open.len();
        return (Verdict::Missing, of(said, wanted.len()));
    }
    let is = |path, words: &[&str]| values.text(path).is_some_and(|text| words.contains(&text));
    let told = [
        (is("found.water", &["drops", "standing"]), "water"),
        (
            is("found.grease", &["milky", "dark", "washed_out"]),
            "bad grease",
        ),
        (is("found.seal", &["cut", "folded", "missing"]), "bad seal"),
        (
            is("found.rotation", &["stiff", "noisy", "seized"]),
            "turns badly",
        ),
        (is("found.bolts", &["loose", "missing"]), "bad bolts"),
        (is("found.chips", &["chips"]), "chips"),
    ];
    let told: Vec<&str> = told
        .iter()
        .filter(|(holds, _)| *holds)
        .map(|(_, words)| *words)
        .collect();
    (Verdict::Pass, told.join(", "))
}

/// Washed with what does not spoil it, and preserved at once; a new bearing is not washed.
pub(super) fn clean(values: &Values<'_>, blockers: &mut Vec<String>) -> (Verdict, String) {
    let text = |path| values.text(path);
    let (state, agent) = (text("clean.state"), text("clean.agent"));
    let open = usize::from(state.is_none());
    if let Some(mark) = left_out(values, "skip.clean", open, blockers) {
        return mark;
    }
    match (state, agent) {
        (None, _) => {
            blockers.push("has it run, or is it new? Or why not cleaned".into());
            return (Verdict::Missing, String::new());
        }
        (Some("new"), Some(_)) => {
            blockers.push("a new bearing is not washed: its preservative stays on".into());
            return (Verdict::Fail, "new, and washed".into());
        }
        (Some("new"), None) => return (Verdict::Pass, "new: not washed".into()),
        (Some(_), None) => blockers.push(format!("{}: with what?", field::label("clean.agent"))),
        (Some(_), Some(_)) => {}
    }
    if text("clean.preserved").is_none() {
        blockers.push("preserve it at once after washing: with what?".into());
    }
    let is_done = blockers.is_empty();
    (
        if is_done {
            Verdict::Pass
        } else {
            Verdict::Missing
        },
        String::new(),
    )
}

/// Every part looked over: findings, or none, or why not.
pub(super) fn looked_over(
    a: &Assessment,
    values: &Values<'_>,
    blockers: &mut Vec<String>,
) -> (Verdict, String) {
    let is_none = values.text("findings.none") == Some("yes");
    let open = usize::from(a.findings.is_empty() && !is_none);
    if let Some(mark) = left_out(values, "skip.findings", open, blockers) {
        return mark;
    }
    if open > 0 {
        blockers
            .push("what is seen on the parts, or that nothing is, or why not looked over".into());
        return (Verdict::Missing, String::new());
    }
    if is_none && !a.findings.is_empty() {
        blockers.push("nothing found, and a finding is entered: take one of them away".into());
    }
    for seen in &a.findings {
        if let Some(missing) = &seen.missing {
            blockers.push(format!("finding {}: {missing}", seen.number));
        }
    }
    let found = || a.findings.iter().filter_map(|seen| seen.finding);
    let tested = values.text("findings.cracks").unwrap_or_default();
    if tested.ends_with("_crack") && !found().any(|finding| finding.is_crack()) {
        blockers.push("the crack test shows a crack: enter where, as a finding".into());
    }
    blockers.extend(tested_or_why(
        values,
        &field::label("findings.cracks"),
        ["findings.cracks", "skip.cracks"],
    ));
    let note = match a.findings.len() {
        0 => "nothing found".to_owned(),
        1 => "1 finding".to_owned(),
        count => format!("{count} findings"),
    };
    let is_bad = found().map(|finding| finding.asks()).max() >= Some(Asks::Recondition);
    (if is_bad { Verdict::Fail } else { Verdict::Pass }, note)
}

/// What stands against a crack test, which wants its method and result, or why it was not done; none where one of both is
/// told.
pub(crate) fn tested_or_why(
    values: &Values<'_>,
    what: &str,
    [test, skip]: [&str; 2],
) -> Option<String> {
    match (values.text(test), values.text(skip)) {
        (None, None) => Some(format!("{what}: method and result, or why not tested")),
        (Some(_), Some(_)) => Some(format!("{what}: it is told, take the reason why not away")),
        _ => None,
    }
}

/// What bars a bearing from going back, whoever signs: a cracked or broken part. An inner half is a thing of its own: it
/// waits itself, and the outer one goes over another.
pub(super) fn broken(a: &Assessment) -> Option<String> {
    let is_own = |finding: &Finding| !is_inner_crack(a.family, finding);
    let mut found = a.findings.iter().filter_map(|seen| seen.finding);
    let crack = found.find(|finding| finding.is_crack() && is_own(finding))?;
    Some(format!(
        "{}: a cracked or broken part never goes back",
        crack.part.words()
    ))
}

/// Whether it says that the inner half is cracked, where that is a thing of its own.
pub(super) fn is_inner_crack(family: Family, finding: &Finding) -> bool {
    family == Family::Cylindrical && finding.is_crack() && finding.part.is_of_inner_half()
}

/// A section with a reason why it is left out.
fn left_out(
    values: &Values<'_>,
    skip: &str,
    open: usize,
    blockers: &mut Vec<String>,
) -> Option<(Verdict, String)> {
    values.text(skip)?;
    if open > 0 {
        return Some((Verdict::Missing, "left out".into()));
    }
    blockers.push("everything is said: take the reason why not away".into());
    None
}

fn of(said: usize, all: usize) -> String {
    if said == 0 {
        String::new()
    } else {
        format!("{said} of {all}")
    }
}
