//! How much of its rating life a bearing has used: ISO 281 with the loads of its campaigns, summed by Palmgren and Miner.
//!
//! A campaign counts where force and speed were written down; of how many that is so is told beside every number. Roll-neck
//! bearings seldom end by fatigue alone: this stands beside the clearance and its wear, never instead of them.

use calc::life::{
    BasicLife, Edition, Element, Lubrication, Running, basic_life, damage_life, equivalent_load,
    is_within_validity, life_modification, reliability_factor, thrust_load,
};
use calc::quantity::{
    Force, as_hours, as_newtons, as_revolutions_per_minute, newtons, revolutions_per_minute,
};
use rusqlite::{Connection, params};

use crate::error::{Result, StoreError};
use crate::id::ThingNo;
use crate::sheet::TypeFacts;

/// The rating life of a bearing and how much of it is used.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LifeUsed {
    /// Campaigns that it ran in.
    pub campaigns: usize,
    /// Of those, with force and speed.
    pub known: usize,
    /// Of those, on the side that takes the axial force, without one: counted as none.
    pub without_axial: usize,
    /// Of all campaigns, sums and guesses.
    pub estimated: usize,
    /// Mill time of all campaigns and of what ran before this logbook, h.
    pub run_h: f64,
    /// Mill time of the campaigns with force and speed, h.
    pub known_h: f64,
    /// Basic dynamic load rating C of its type, N.
    pub rating_n: Option<f64>,
    /// What follows from the campaigns that are known; none where none is, or C is not in the register.
    pub life: Option<Spectrum>,
}

/// The life that follows from a load spectrum.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum {
    /// The single load that does the same damage, N.
    pub load_n: f64,
    /// Mean speed, 1/min.
    pub rpm: f64,
    /// Basic rating life, h: nine of ten reach it.
    pub basic_h: f64,
    /// With lubrication, cleanliness and the reliability that the type names; none where it names none.
    pub modified: Option<Lubricated>,
    /// A load was above half the rating: beyond what ISO 281 holds for.
    pub is_beyond: bool,
}

/// What lubrication and wanted reliability make of a basic life.
#[derive(Debug, Clone, PartialEq)]
pub struct Lubricated {
    /// Modified life, h.
    pub hours: f64,
    /// Wanted reliability.
    pub reliability: f64,
    /// Factor for it.
    pub a1: f64,
    /// Factor for lubrication and cleanliness; none where the type names no viscosity ratio, cleanliness or C_u.
    pub a_iso: Option<f64>,
}

impl LifeUsed {
    /// The life that counts: modified where it can be, else the basic one; h.
    pub fn life_h(&self) -> Option<f64> {
        let life = self.life.as_ref()?;
        Some(life.modified.as_ref().map_or(life.basic_h, |m| m.hours))
    }

    /// Share of the life that the campaigns with loads have used.
    pub fn used(&self) -> Option<f64> {
        Some(self.known_h / self.life_h()?)
    }

    /// The same if everything it ran had been like those.
    pub fn used_if_all_alike(&self) -> Option<f64> {
        Some(self.run_h / self.life_h()?)
    }

    /// Campaigns whose loads nobody wrote down.
    pub fn unknown(&self) -> usize {
        self.campaigns - self.known
    }
}

/// One campaign as the bearing felt it.
struct Felt {
    hours: f64,
    load: Force,
    rpm: f64,
}

/// Reads what a bearing has used of its rating life; `prior_s` is what it ran before this logbook.
pub fn life_used(
    conn: &Connection,
    bearing: ThingNo,
    facts: &TypeFacts,
    prior_s: i64,
) -> Result<LifeUsed> {
    // All bearings of a roll neck that the register has are roller bearings.
    let element = Element::Roller;
    let number = |name: &str, per_one: f64| facts.whole(name).map(|v| v as f64 / per_one);
    let e = number("axial_e_ppm", 1e6).filter(|_| facts.kind != "four_row_cylindrical");
    let is_thrust = facts.kind == "two_row_thrust";
    let mut found = LifeUsed {
        rating_n: number("dynamic_rating_n", 1.0),
        run_h: prior_s as f64 / 3_600.0,
        ..LifeUsed::default()
    };
    let mut felt: Vec<Felt> = Vec::new();
    // Where two stand abreast they share the radial force; where a thrust bearing stands beside, it takes the axial one.
    let mut stmt = conn.prepare_cached(
        "SELECT r.run_s, r.radial_n, r.axial_n, r.speed_mrpm, r.is_estimate, p.is_fixed,
           EXISTS (SELECT 1 FROM stay o WHERE o.chock = s.chock AND o.seat <> s.seat AND o.seat LIKE 'main%'
             AND s.seat LIKE 'main%' AND o.from_ms <= r.from_ms AND (o.to_ms IS NULL OR o.to_ms > r.from_ms)) AS is_abreast,
           EXISTS (SELECT 1 FROM stay o WHERE o.chock = s.chock AND o.seat = 'thrust' AND s.seat <> 'thrust'
             AND o.from_ms <= r.from_ms AND (o.to_ms IS NULL OR o.to_ms > r.from_ms)) AS has_thrust
         FROM stay s JOIN run r ON r.chock = s.chock AND r.from_ms >= s.from_ms AND (s.to_ms IS NULL OR r.from_ms < s.to_ms)
           JOIN position p ON p.no = r.position
         WHERE s.bearing = ?1 AND s.seat NOT LIKE 'neck%' ORDER BY r.from_ms",
    )?;
    let mut rows = stmt.query(params![bearing.0])?;
    while let Some(row) = rows.next()? {
        let run_s: i64 = row.get("run_s")?;
        let hours = run_s as f64 / 3_600.0;
        found.campaigns += 1;
        found.run_h += hours;
        found.estimated += usize::from(row.get::<_, bool>("is_estimate")?);
        let speed: Option<i64> = row.get("speed_mrpm")?;
        let (radial, axial): (Option<i64>, Option<i64>) =
            (row.get("radial_n")?, row.get("axial_n")?);
        let takes_axial =
            row.get("is_fixed")? && (is_thrust || (e.is_some() && !row.get("has_thrust")?));
        let force = if is_thrust { axial } else { radial };
        let (Some(speed), Some(force)) = (speed, force) else {
            continue;
        };
        found.known += 1;
        found.known_h += hours;
        if takes_axial && axial.is_none() {
            found.without_axial += 1;
        }
        let share = if row.get("is_abreast")? { 0.5 } else { 1.0 };
        let axial_n = if takes_axial { axial.unwrap_or(0) } else { 0 };
        let load = if is_thrust {
            thrust_load(newtons(if takes_axial { force as f64 } else { 0.0 }))
        } else {
            equivalent_load(
                newtons(force as f64 * share),
                newtons(axial_n as f64 * share),
                e,
            )
        };
        felt.push(Felt {
            hours,
            // What bears nothing does no damage.
            load: load.unwrap_or_else(|_| newtons(0.0)),
            rpm: speed as f64 / 1_000.0,
        });
    }
    if let Some(rating) = found.rating_n {
        found.life = spectrum(element, newtons(rating), &felt, facts)?;
    }
    Ok(found)
}

/// None where nothing bore a load.
fn spectrum(
    element: Element,
    rating: Force,
    felt: &[Felt],
    facts: &TypeFacts,
) -> Result<Option<Spectrum>> {
    let all_h: f64 = felt.iter().map(|one| one.hours).sum();
    let bears = |one: &Felt| as_newtons(one.load) > 0.0 && one.rpm > 0.0 && one.hours > 0.0;
    if !felt.iter().any(bears) {
        return Ok(None);
    }
    let parts: Vec<Running> = felt
        .iter()
        .map(|one| Running {
            load: one.load,
            speed: revolutions_per_minute(one.rpm),
            share: one.hours / all_h,
        })
        .collect();
    let said = |e: calc::CalcError| StoreError::input("life of the bearing", e.to_string());
    let basic = basic_life(element, rating, &parts).map_err(said)?;
    Ok(Some(Spectrum {
        load_n: as_newtons(basic.equivalent_load),
        rpm: as_revolutions_per_minute(basic.mean_speed),
        basic_h: as_hours(basic.hours),
        modified: modified(element, rating, &parts, &basic, facts).map_err(said)?,
        is_beyond: !parts
            .iter()
            .all(|part| is_within_validity(part.load, rating)),
    }))
}

fn modified(
    element: Element,
    rating: Force,
    parts: &[Running],
    basic: &BasicLife,
    facts: &TypeFacts,
) -> std::result::Result<Option<Lubricated>, calc::CalcError> {
    let ppm = |name: &str| facts.whole(name).map(|v| v as f64 / 1e6);
    let wanted = ppm("reliability_ppm");
    let lubrication = match (
        ppm("viscosity_ratio_ppm"),
        ppm("contamination_ppm"),
        facts.whole("fatigue_limit_n"),
    ) {
        (Some(kappa), Some(contamination), Some(limit)) => Some(Lubrication {
            kappa,
            contamination,
            fatigue_limit: newtons(limit as f64),
        }),
        _ => None,
    };
    if wanted.is_none() && lubrication.is_none() {
        return Ok(None);
    }
    let reliability = wanted.unwrap_or(0.9);
    let a1 = reliability_factor(reliability, Edition::E2007)?;
    let basic_h = as_hours(basic.hours);
    let (hours, a_iso) = match lubrication {
        None => (basic_h, None),
        Some(lubrication) => {
            let factor = |part: &Running| {
                if as_newtons(part.load) > 0.0 {
                    life_modification(element, part.load, &lubrication)
                } else {
                    Ok(1.0)
                }
            };
            let factors = parts
                .iter()
                .map(factor)
                .collect::<std::result::Result<Vec<f64>, _>>()?;
            let life_h = as_hours(damage_life(element, rating, parts, &factors)?.hours);
            (life_h, Some(life_h / basic_h))
        }
    };
    Ok(Some(Lubricated {
        hours: a1 * hours,
        reliability,
        a1,
        a_iso,
    }))
}
