//! Questions that need more than one field: a clearance that shrank, spacers that look exchanged, a zone that was up
//! twice in a row, a gauge that is off on its standard. Each is asked once, at the field that was typed last, and blocks
//! nothing.

use calc::disposition::{Disposition, ZoneAdvice};
use calc::load_zone::Zone;

use super::assess::{Assessment, Problem};
use super::closing::{TORQUE_SHARE, off_the_gap};
use super::facts::Facts;
use super::family::Family;
use super::field::radial::{RadialCell, Way, lines};
use super::field::{self, GAP_DEGREES, SeatName};
use crate::draft::Fields;
use crate::entry::{LengthUnit, Show};

/// A bore does not move by more than this between two teardowns (common practice, no source).
const BORE_JUMP_NM: i64 = 50_000;

/// Adds what is asked to the fields it is asked at.
pub(super) fn ask(a: &mut Assessment, fields: &Fields, facts: &Facts, unit: LengthUnit) {
    let show = Show {
        unit,
        ..Show::default()
    };
    let mut all = zones(a, fields, facts);
    all.extend(clearances(a, show));
    all.extend(seats(a, facts, show));
    all.extend(closing(a, show));
    for (path, text, hint) in all {
        let typed = fields.get(&path).map(|f| f.text.trim().to_owned());
        let kept = fields.get(&format!("kept.{path}"));
        if kept.is_some_and(|kept| Some(kept.text.trim()) == typed.as_deref()) {
            continue;
        }
        if let Some(state) = a.fields.get_mut(&path)
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
type Question = (String, String, String);

fn question(path: &str, text: String, hint: &str) -> Question {
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

fn clearances(a: &Assessment, show: Show) -> Vec<Question> {
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
        if let (Some(now), Some(last)) = (now, pair.last_nm)
            && now < last - doubt
        {
            let (last, now) = (show.length(last), length(now));
            all.push(match whole {
                Some(way) => question(
                    &last_read(a, way),
                    format!("The clearance shrank from {last} to {now} since it was read last."),
                    match a.family {
                        Family::Cylindrical => "Over the same inner half? Read again.",
                        _ => "The same bearing, at rest and cold? Read again.",
                    },
                ),
                None => question(
                    &field::spacer(number),
                    format!(
                        "Rows {} shrank from {last} to {now} without a regrind.",
                        calc::disposition::pair_rows(number - 1)
                    ),
                    "Seated? The right spacer? Read again.",
                ),
            });
        }
    }
    if let (Some([small, _]), Some(words)) = (a.clearance.exchanged, &a.clearance.swapped) {
        let hint = "Read the marks of the spacers.";
        // Asked before the shrinking that it explains.
        all.insert(0, question(&field::spacer(small + 1), words.clone(), hint));
    }
    all
}

fn seats(a: &Assessment, facts: &Facts, show: Show) -> Vec<Question> {
    let mut all = Vec::new();
    let length = |nm: i64| show.length_unit(nm);
    for view in [&a.bore, &a.neck] {
        let path = format!("{}.check.read", view.seat.prefix());
        if let (Some(off), Some(u)) = (view.check_off_nm, view.expanded_uncertainty_nm)
            && off.abs() > u
        {
            all.push(question(
                &path,
                format!(
                    "The gauge is {} off on its standard, more than its U {}.",
                    length(off),
                    length(u)
                ),
                "Set it again and repeat, or take another gauge.",
            ));
        }
    }
    let last = facts.last_bores.last().map(|last| last.mean_nm);
    let nominal = a.bore.nominal_nm.unwrap_or(0);
    if let (Some(mean), Some(last)) = (a.bore.mean_nm, last)
        && (mean - nominal - last).abs() > BORE_JUMP_NM
    {
        all.push(question(
            &field::size(SeatName::Bore, 3, field::SEAT_DEGREES[3]),
            format!(
                "The mean of the bore jumped by {} against last time.",
                length(mean - nominal - last)
            ),
            "Right gauge, right setting ring, right chock?",
        ));
    }
    all
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
                    "Grind again, or keep it.",
                ));
            }
        }
    }
    all
}
