//! Questions that need more than one field: a clearance that shrank or jumped, spacers that look exchanged or grew, a zone
//! that was up twice in a row, a gauge that is off on its standard, a seat that jumped, damage that is not there any more.
//! Each is asked once, at the field that was typed last, and blocks nothing.

use std::collections::BTreeMap;

use calc::disposition::{Disposition, ZoneAdvice};
use calc::load_zone::Zone;

use super::assess::{Assessment, FieldState, Problem};
use super::clearance;
use super::closing::{TORQUE_SHARE, off_the_gap};
use super::facts::{Facts, LastSeat};
use super::family::Family;
use super::field::radial::{RadialCell, Way, lines};
use super::field::{self, GAP_DEGREES, SeatName};
use super::seats::SeatView;
use crate::draft::Fields;
use crate::entry::{LengthUnit, Show};

/// Neither mean nor ovality of a seat moves by more than this between two measurements (common practice, no source).
const SEAT_JUMP_NM: i64 = 50_000;

/// Adds what is asked to the fields it is asked at.
pub(super) fn ask(a: &mut Assessment, fields: &Fields, facts: &Facts, unit: LengthUnit) {
    let show = Show {
        unit,
        ..Show::default()
    };
    let mut all = zones(a, fields, facts);
    all.extend(earlier_finding(a, fields, facts));
    all.extend(clearances(a, facts, show));
    all.extend(seats(a, facts, show));
    all.extend(closing(a, show));
    put(&mut a.fields, fields, all);
}

/// Puts each question at its field, where nothing else is asked and it was not answered yet.
pub(crate) fn put(
    states: &mut BTreeMap<String, FieldState>,
    fields: &Fields,
    questions: Vec<Question>,
) {
    for (path, text, hint) in questions {
        let typed = fields.get(&path).map(|f| f.text.trim().to_owned());
        let kept = fields.get(&format!("kept.{path}"));
        if kept.is_some_and(|kept| Some(kept.text.trim()) == typed.as_deref()) {
            continue;
        }
        if let Some(state) = states.get_mut(&path)
            && state.problem.is_none()
        {
            state.problem = Some(Problem {
                is_refusal: false,
                text,
                hint: Some(hint),
                instead: None,
            });
        }
    }
}

/// Path, question, what to do.
pub(crate) type Question = (String, String, String);

pub(crate) fn question(path: &str, text: String, hint: &str) -> Question {
    (path.to_owned(), text, hint.to_owned())
}

fn zones(a: &Assessment, fields: &Fields, facts: &Facts) -> Vec<Question> {
    let stay = facts.bearing.as_ref().and_then(|b| b.stay.as_ref());
    let recorded = stay
        .and_then(|stay| usize::try_from(stay.zone - 1).ok())
        .and_then(|index| Zone::ALL.get(index).copied());
    let typed = |path: &str| {
        fields
            .get(path)
            .and_then(|f| f.text.trim().parse::<Zone>().ok())
    };
    let found = typed("identify.zone");
    let mut all = Vec::new();
    if let (Some(found), Some(recorded)) = (found, recorded)
        && found != recorded
    {
        all.push(question(
            "identify.zone",
            format!(
                "Zone {} up as found; it was left with zone {} up.",
                found.as_str(),
                recorded.as_str()
            ),
            "Look at the mark again before the rings are turned.",
        ));
    }
    let is_kept = matches!(a.zone_advice, ZoneAdvice::Keep { .. });
    if let Some(chosen) = a.zone_chosen
        && Some(chosen) == found.or(recorded)
        && !is_kept
    {
        all.push(question(
            "zone.choice",
            format!("Zone {} was up already: twice in a row?", chosen.as_str()),
            "Another zone has fewer hours.",
        ));
    }
    all
}

/// Damage that an earlier sheet told of, where this one says that nothing is found: it does not heal.
fn earlier_finding(a: &Assessment, fields: &Fields, facts: &Facts) -> Option<Question> {
    let path = "findings.none";
    if fields.get(path)?.text.trim() != "yes" || !a.findings.is_empty() {
        return None;
    }
    let earlier = &facts.bearing.as_ref()?.findings;
    let marked = || earlier.iter().filter(|e| e.finding.severity >= 1);
    // The worst; of equals the newest.
    let worst = marked().max_by_key(|e| (e.finding.asks(), e.finding.severity, e.at.ms))?;
    let more = match marked().count() - 1 {
        0 => String::new(),
        1 => ", and one more".to_owned(),
        count => format!(", and {count} more"),
    };
    Some(question(
        path,
        format!(
            "On {}: {}{more}. Nothing of it now?",
            worst.at.date(),
            worst.finding.words()
        ),
        "Such damage does not heal: look at that place again.",
    ))
}

/// The last field of a whole clearance that something is read in.
fn last_read(a: &Assessment, way: Way) -> String {
    let cells = lines(way, a.rows).into_iter().flatten();
    let mut paths = cells.map(RadialCell::path).rev();
    paths
        .find(|path| {
            a.fields
                .get(path)
                .is_some_and(|state| state.value.is_some())
        })
        .unwrap_or_default()
}

fn clearances(a: &Assessment, facts: &Facts, show: Show) -> Vec<Question> {
    let mut all = Vec::new();
    let length = |nm: i64| show.length_unit(nm);
    // Two clearances that were measured alike differ by so much without a cause.
    let doubt = a
        .clearance
        .expanded_uncertainty_nm
        .map_or(0, |u| (u as f64 * std::f64::consts::SQRT_2).round() as i64);
    let whole = a.clearance.radial.as_ref().and_then(|whole| whole.way);
    for (number, pair) in (1..).zip(&a.clearance.pairs) {
        let now = pair.end_play_nm.filter(|_| pair.is_complete);
        let Some((now, last)) = now.zip(pair.last_nm) else {
            continue;
        };
        let shrank = now < last - doubt;
        if !shrank && !jumped(facts, number, (last, now), pair.as_set_nm, doubt) {
            continue;
        }
        let (last, now) = (show.length(last), length(now));
        let what = if shrank { "shrank" } else { "jumped" };
        let asked = if let Some(way) = whole {
            question(
                &last_read(a, way),
                format!("The clearance {what} from {last} to {now} since it was read last."),
                match a.family {
                    Family::Cylindrical => "Over the same inner half? Read again.",
                    _ => "The same bearing, at rest and cold? Read again.",
                },
            )
        } else {
            let rows = calc::disposition::pair_rows(number - 1);
            let end = if shrank {
                "without a regrind"
            } else {
                "in one stay"
            };
            question(
                &field::spacer(number),
                format!("Rows {rows} {what} from {last} to {now} {end}."),
                "Seated? The right spacer? Read again.",
            )
        };
        all.push(asked);
    }
    // Asked before the shrinking that it explains.
    all.splice(0..0, widths(a, facts, show));
    if let (Some([small, _]), Some(words)) = (a.clearance.exchanged, &a.clearance.swapped) {
        let hint = "Read the marks of the spacers.";
        all.insert(0, question(&field::spacer(small + 1), words.clone(), hint));
    }
    all
}

/// Whether a clearance grew in one stay by more than its whole value as set, or doubled where nobody wrote that down
/// (common practice, no source). Where the wear of the shop is known, that says what is expected.
fn jumped(
    facts: &Facts,
    number: usize,
    (last, now): (i64, i64),
    as_set_nm: Option<i64>,
    doubt: i64,
) -> bool {
    let pair = number - 1;
    let history = facts.bearing.iter().filter_map(|b| b.history.last());
    let mut read = history.filter(|l| l.left_nm[pair].or(l.found_nm[pair]).is_some());
    let is_foreseen = facts.foreseen.outlook[pair].is_some();
    read.next().is_some() && !is_foreseen && now - last > as_set_nm.unwrap_or(last).max(doubt)
}

/// A spacer that is wider than it was left last, or as wide as the other one between the same rings was.
fn widths(a: &Assessment, facts: &Facts, show: Show) -> Vec<Question> {
    let Some(bearing) = &facts.bearing else {
        return Vec::new();
    };
    if a.clearance.radial.is_some() {
        return Vec::new();
    }
    let last = bearing.last_width_nm();
    let near = clearance::width_near(a.clearance.width_uncertainty_nm);
    let is_told = |pair: usize| a.clearance.exchanged.is_some_and(|two| two.contains(&pair));
    let mut all = Vec::new();
    for (pair, view) in a.clearance.pairs.iter().enumerate() {
        let Some((now, was)) = view.spacer_nm.zip(last[pair]).filter(|_| !is_told(pair)) else {
            continue;
        };
        // Spacers 1 and 3 lie between outer rings.
        let other = (pair != 1).then(|| 2 - pair);
        let is_other = other.and_then(|other| last[other]).is_some_and(|width| {
            (now - width).abs() <= near && (now - was).abs() > clearance::SPACERS_UNLIKE_NM
        });
        let number = pair + 1;
        let text = match other.filter(|_| is_other) {
            Some(other) => format!(
                "Spacer S{number} is {}, the width that S{} had when it was measured last: exchanged?",
                show.length_unit(now),
                other + 1
            ),
            None if now > was + near => format!(
                "Spacer S{number} grew from {} to {} since it was measured last.",
                show.length(was),
                show.length_unit(now)
            ),
            None => continue,
        };
        let hint = "A spacer does not grow: read its mark, measure it again.";
        all.push(question(&field::spacer(number), text, hint));
    }
    all
}

/// What a gauge reads on its standard before use, where that is further off than its U.
pub(crate) fn off_standard(
    path: &str,
    off_nm: Option<i64>,
    uncertainty_nm: Option<i64>,
    show: Show,
) -> Option<Question> {
    let (off, u) = off_nm.zip(uncertainty_nm)?;
    let length = |nm: i64| show.length_unit(nm);
    (off.abs() > u).then(|| {
        question(
            path,
            format!(
                "The gauge is {} off on its standard, more than its U {}.",
                length(off),
                length(u)
            ),
            "Set it again and repeat, or take another gauge.",
        )
    })
}

fn seats(a: &Assessment, facts: &Facts, show: Show) -> Vec<Question> {
    let mut all = Vec::new();
    for view in [&a.bore, &a.neck] {
        let path = format!("{}.check.read", view.seat.prefix());
        let off = off_standard(&path, view.check_off_nm, view.expanded_uncertainty_nm, show);
        all.extend(off);
    }
    all.extend(seat_jumped(&a.bore, facts.last_bores.last(), show));
    all.extend(seat_jumped(&a.neck, facts.last_neck.as_ref(), show));
    all
}

/// A seat whose mean or ovality is far from what it was when it was measured last.
pub(crate) fn seat_jumped(
    view: &SeatView,
    last: Option<&LastSeat>,
    show: Show,
) -> Option<Question> {
    let (mean, last) = (view.mean_nm? - view.nominal_nm.unwrap_or(0), last?);
    let oval = view.ovality_nm.iter().flatten().max().copied();
    let was_oval = last.ovality_nm.iter().max().copied();
    let (of, hint) = match view.seat {
        SeatName::Bore => ("bore", "Right gauge, right setting ring, right chock?"),
        SeatName::Neck => (
            "neck",
            "Right gauge, right setting ring, right roll and side?",
        ),
    };
    let jumps = [
        ("mean", Some(mean - last.mean_nm)),
        ("ovality", oval.zip(was_oval).map(|(now, was)| now - was)),
    ];
    let (what, by) = jumps
        .into_iter()
        .filter_map(|(what, by)| Some((what, by?)))
        .find(|(_, by)| by.abs() > SEAT_JUMP_NM)?;
    let text = format!(
        "The {what} of the {of} jumped by {} against last time.",
        show.length_unit(by)
    );
    let last_size = field::size(view.seat, view.planes, field::SEAT_DEGREES[3]);
    Some(question(&last_size, text, hint))
}

fn closing(a: &Assessment, show: Show) -> Vec<Question> {
    let mut all = Vec::new();
    let length = |nm: i64| show.length_unit(nm);
    let value = |path: &str| a.fields.get(path).and_then(|state| state.value);
    if let (Some(torque), Some(target)) = (value("bolts.torque"), &a.closing.torque)
        && (torque - target.value).abs() * 100 > TORQUE_SHARE * target.value
    {
        all.push(question(
            "bolts.torque",
            format!(
                "{} N m are wanted ({}).",
                (target.value + 500) / 1_000,
                target.origin
            ),
            "Set the wrench anew, or keep it.",
        ));
    }
    if let Some(off) = value("shim.fitted").and_then(|pack| off_the_gap(&a.closing, pack)) {
        all.push(question(
            "shim.fitted",
            format!(
                "The pack is {} off what the cover gap asks for.",
                length(off)
            ),
            "The gap measured at four places decides.",
        ));
    }
    if a.decided == Some(Disposition::RegrindSpacers) {
        for (number, spread) in (1..).zip(a.clearance.after.parallel_verdict) {
            if spread == calc::conformity::Verdict::Fail {
                all.push(question(
                    &field::after_at(number, GAP_DEGREES[3]),
                    format!(
                        "The faces of spacer S{number} are not parallel within the type's limit."
                    ),
                    "Grind again.",
                ));
            }
        }
    }
    all
}
