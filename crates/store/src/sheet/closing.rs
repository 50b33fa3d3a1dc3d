//! Closing the chock: what torque and grease are wanted, what the cover gap says, which seals go in, and what stands
//! against it.
//!
//! The cover gap is measured with the outer rings seated, no shims in and the cover drawn up by hand. The pack fills it:
//! under the flange less, between cover and outer ring more what the cover is to hold the rings by. Common practice, no
//! source (geometry).

use calc::bolt::{Bolt, PropertyClass, Thread, UTILISATION, tighten};
use calc::disposition::Disposition;
use calc::grease::{GreaseFill, grease};
use calc::quantity::{as_grams, as_newton_metres, kilograms, nanometres, to_nanometres};
use calc::stack::{ShimPlace, cover_pack};

use super::assess::{Assessment, Values};
use super::clearance::ShimView;
use super::facts::{ChockFacts, Facts, TypeFacts};
use super::field::{self, GAP_DEGREES};

/// Friction in thread and under the head where nothing is known of the bolt: steel, lightly oiled (VDI 2230 Part 1,
/// from memory).
const FRICTION: f64 = 0.12;
/// Share of the free volume that a roll neck bearing is packed to where its type says nothing (common practice, no
/// source).
const FILL: f64 = 0.6;
/// A torque further off than this share of what is wanted is asked about: a wrench scatters less (common practice, no
/// source).
pub(crate) const TORQUE_SHARE: i64 = 10;

/// A gauge leaf of 0.05 mm: nearer, nobody sets a pack (common practice, no source).
pub(crate) const NEAR_PACK_NM: i64 = 50_000;

/// What is wanted of a value, and where that comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Target {
    /// mN m or mg.
    pub value: i64,
    /// In words.
    pub origin: String,
}

/// How the chock is closed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ClosingView {
    /// Torque of the cover bolts, mN m.
    pub torque: Option<Target>,
    /// Bolts in words: `M24, 8.8`.
    pub bolts: String,
    /// Grease of each row, mg.
    pub grease_row: Option<Target>,
    /// Grease at the seals, mg.
    pub grease_seal: Option<Target>,
    /// Places of the cover gap read, of four.
    pub gap_places: usize,
    /// Mean of the cover gap, nm.
    pub gap_mean_nm: Option<i64>,
    /// Largest less smallest, nm.
    pub gap_spread_nm: Option<i64>,
    /// The pack that the gap asks for, nm; below zero the cover has to be machined. From all four places.
    pub pack_nm: Option<i64>,
    /// True where the grease put in is none that the approved scheme names.
    pub is_other_grease: bool,
}

pub(super) fn view(values: &Values<'_>, facts: &Facts) -> ClosingView {
    let t = facts.bearing_type.clone().unwrap_or_default();
    let gaps: Vec<i64> = GAP_DEGREES
        .iter()
        .filter_map(|degrees| values.number(&field::cover_gap(*degrees)))
        .collect();
    let mean = (!gaps.is_empty()).then(|| rounded_mean(&gaps));
    ClosingView {
        torque: torque(&t),
        bolts: bolts(&t),
        grease_row: grease_row(&t),
        grease_seal: t.whole("grease_seal_mg").map(|value| Target {
            value,
            origin: "by the type".into(),
        }),
        gap_places: gaps.len(),
        gap_mean_nm: mean,
        gap_spread_nm: gaps.iter().max().zip(gaps.iter().min()).map(|(a, b)| a - b),
        pack_nm: mean
            .filter(|_| gaps.len() == 4)
            .map(|mean| pack(mean, &t, facts.chock.as_ref())),
        is_other_grease: values
            .text("grease.kind")
            .is_some_and(|code| !is_approved(&t.lubrication, code)),
    }
}

/// The pack that a mean gap asks for, nm, so that the cover holds the outer rings by what the type wants.
pub(crate) fn pack(gap_nm: i64, t: &TypeFacts, chock: Option<&ChockFacts>) -> i64 {
    let hold = nanometres(t.whole("cover_clamp_nm").unwrap_or(0));
    let place = chock.map_or(ShimPlace::UnderFlange, ChockFacts::shims);
    to_nanometres(cover_pack(nanometres(gap_nm), hold, place))
}

/// Half away from zero.
fn rounded_mean(all: &[i64]) -> i64 {
    let sum: i64 = all.iter().sum();
    (sum as f64 / all.len() as f64).round() as i64
}

/// Whether the approved scheme names this grease; a type without a scheme approves any.
pub(crate) fn is_approved(scheme: &str, code: &str) -> bool {
    scheme.trim().is_empty()
        || scheme
            .split(|c: char| !(c.is_alphanumeric() || c == '-'))
            .any(|word| word.eq_ignore_ascii_case(code.trim()))
}

/// What another grease wants before signing.
pub(crate) fn not_approved(scheme: &str) -> String {
    format!("not the approved lubrication ({scheme}): the approval's reference")
}

fn class(t: &TypeFacts) -> Option<PropertyClass> {
    let class = t.whole("cover_bolt_class_count")?;
    PropertyClass::parse(&format!("{}.{}", class / 10, class % 10)).ok()
}

fn thread(t: &TypeFacts) -> Option<(String, Thread)> {
    let name = format!("M{}", t.whole("cover_bolt_nm")? / 1_000_000);
    let thread = Thread::parse(&name).ok()?;
    Some((name, thread))
}

fn bolts(t: &TypeFacts) -> String {
    let name = thread(t).map(|(name, _)| name);
    let class = class(t).map(|class| class.as_str().to_owned());
    name.into_iter().chain(class).collect::<Vec<_>>().join(", ")
}

/// The type's torque, or that of its bolt.
pub(crate) fn torque(t: &TypeFacts) -> Option<Target> {
    if let Some(value) = t.whole("cover_bolt_torque_mnm") {
        let origin = "by the type".to_owned();
        return Some(Target { value, origin });
    }
    let bolt = Bolt {
        thread: thread(t)?.1,
        class: class(t)?,
        friction_thread: FRICTION,
        friction_head: FRICTION,
        utilisation: UTILISATION,
    };
    let tightened = tighten(&bolt).ok()?;
    Some(Target {
        value: (as_newton_metres(tightened.torque) * 1_000.0).round() as i64,
        origin: "calculated, friction 0.12".into(),
    })
}

/// The type's grease for a row, or a share of what is free in it.
pub(crate) fn grease_row(t: &TypeFacts) -> Option<Target> {
    if let Some(value) = t.whole("grease_row_mg") {
        let origin = "by the type".to_owned();
        return Some(Target { value, origin });
    }
    // Where oil lubricates, as the approved scheme says, there is no first fill of grease.
    if t.lubrication.trim_start().to_lowercase().starts_with("oil") {
        return None;
    }
    let fill = GreaseFill {
        bore: nanometres(t.whole("bore_nm")?),
        outside: nanometres(t.whole("outside_nm")?),
        width: nanometres(t.whole("width_nm")?),
        mass: kilograms(t.whole("mass_g")? as f64 / 1_000.0),
        rows: u8::try_from(t.whole("rows_count").unwrap_or(4)).ok()?,
        fill_fraction: FILL,
    };
    let greased = grease(&fill).ok()?;
    Some(Target {
        value: (as_grams(greased.per_row_mass) * 1_000.0).round() as i64,
        origin: "calculated, 60 % of the free space".into(),
    })
}

/// Rings of a four-row tapered bearing that are turned: the outer ring of row 1, of rows 2 and 3, of row 4.
pub(super) const RINGS: [i64; 3] = [1, 2, 3];

/// Seals that are not put back without a word.
const SEAL_BAD: [&str; 4] = ["worn", "cut", "folded", "missing"];

/// What stands against closing it.
pub(super) fn blockers(
    a: &Assessment,
    values: &Values<'_>,
    facts: &Facts,
    decided: Disposition,
    blockers: &mut Vec<String>,
) {
    let name = |path: &str| field::label(path);
    match values.text("parts.order") {
        None => blockers.push(format!("{}: read back the marks", name("parts.order"))),
        Some("not") => blockers
            .push("the parts do not stand in the order of their marks: put them right".into()),
        Some(_) => {}
    }
    seals(values, blockers);
    rings(values, blockers);
    if a.closing.is_other_grease
        && values.text("skip.grease").is_none()
        && values.text("lube.approval").is_none()
    {
        let scheme = facts.bearing_type.as_ref().map_or("", |t| &t.lubrication);
        blockers.push(not_approved(scheme));
    }
    cover(a, values, decided, blockers);
    bolts_done(values, blockers);
    if values.text("protect.with").is_none() {
        blockers.push(format!("{}: what?", name("protect.with")));
    }
}

fn seals(values: &Values<'_>, blockers: &mut Vec<String>) {
    match values.text("seals.done") {
        None => blockers.push(format!("{}: changed or kept?", field::label("seals.done"))),
        Some("changed") if values.text("seals.batch").is_none() => {
            blockers.push(format!("{}: which one?", field::label("seals.batch")));
        }
        Some("kept")
            if values
                .text("found.seal")
                .is_some_and(|seal| SEAL_BAD.contains(&seal))
                && values.text("seals.reason").is_none() =>
        {
            blockers.push("the seal was found bad: change it, or say why it is kept".into());
        }
        Some(_) => {}
    }
}

fn rings(values: &Values<'_>, blockers: &mut Vec<String>) {
    match values.text("zone.rings") {
        None => blockers.push(format!("{}: all alike?", field::label("zone.rings"))),
        Some("other") => {
            let is_open = |ring: &i64| values.text(&format!("zone.ring.{ring}")).is_none();
            if RINGS.iter().any(is_open) {
                blockers.push("which zone is up on each outer ring?".into());
            }
            if values.text("zone.reason").is_none() {
                blockers.push("say why the outer rings are not turned alike".into());
            }
        }
        Some(_) => {}
    }
}

fn cover(a: &Assessment, values: &Values<'_>, decided: Disposition, blockers: &mut Vec<String>) {
    let length = |nm: i64| values.show().length_unit(nm);
    if let Some(pack) = a.closing.pack_nm.filter(|pack| *pack < 0) {
        blockers.push(format!(
            "the cover gap asks for a shim pack of {}: machine the cover",
            length(pack)
        ));
    }
    pack_put_in(a, values, blockers);
    if values.text("skip.cover").is_some() {
        return;
    }
    let is_begun = a.closing.gap_places > 0;
    if a.closing.gap_places < 4 && (is_begun || decided == Disposition::RegrindSpacers) {
        blockers.push("cover gap at four places, or why not measured".into());
    }
}

/// Spacers that were ground change the pack: what was put in is told, whether or not the gap was measured.
pub fn asks_pack(a: &Assessment) -> bool {
    a.decided == Some(Disposition::RegrindSpacers)
        && match a.clearance.after.shim {
            ShimView::New(_) => true,
            // The gap measured decides.
            ShimView::MachineCover(_) => a.closing.pack_nm.is_some_and(|pack| pack >= 0),
            ShimView::Same | ShimView::NotKnown => false,
        }
}

fn pack_put_in(a: &Assessment, values: &Values<'_>, blockers: &mut Vec<String>) {
    let name = field::label("shim.fitted");
    let is_told = values.number("shim.fitted").is_some();
    match values.text("skip.shim") {
        None if !is_told && asks_pack(a) => {
            blockers.push(format!("{name}: how thick, or why not"));
        }
        Some(_) if is_told => {
            blockers.push(format!("{name}: it is told, take the reason why not away"));
        }
        _ => {}
    }
}

fn bolts_done(values: &Values<'_>, blockers: &mut Vec<String>) {
    let is_skipped = values.text("skip.bolts").is_some();
    let open: Vec<&str> = ["bolts.torque", "bolts.pattern", "bolts.wrench"]
        .into_iter()
        .filter(|path| values.text(path).is_none())
        .collect();
    match open.first() {
        Some(path) if !is_skipped => {
            blockers.push(format!("{}: or why not tightened", field::label(path)));
        }
        None if is_skipped => {
            blockers.push("the cover bolts are tightened: take the reason why not away".into());
        }
        _ => {}
    }
    if values.text("bolts.pattern") == Some("other") && !is_skipped {
        blockers.push("cover bolts: crosswise in steps, the last round at full torque".into());
    }
}

/// Why the engineer releases it: a wrench that decides nothing, rings turned unlike.
pub(super) fn engineer_because(values: &Values<'_>, facts: &Facts) -> Vec<String> {
    let mut because = Vec::new();
    if let Some(wrench) = values.gauge(facts, "bolts.wrench").filter(|g| g.is_overdue) {
        because.push(format!(
            "the torque wrench {}: {}",
            wrench.code, wrench.doubt
        ));
    }
    if values.text("zone.rings") == Some("other") {
        because.push("the outer rings are not turned alike".to_owned());
    }
    if values.text("seals.done") == Some("kept") && values.text("seals.reason").is_some() {
        because.push("a seal that was found bad is kept".to_owned());
    }
    because
}

/// In words, for a question: how far a pack is from what the gap asks for.
pub(super) fn off_the_gap(closing: &ClosingView, pack_nm: i64) -> Option<i64> {
    let off = pack_nm - closing.pack_nm?;
    (off.abs() > NEAR_PACK_NM).then_some(off)
}
