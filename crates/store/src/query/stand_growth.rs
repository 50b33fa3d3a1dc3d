//! Growth by stand and place: what was measured in the last twelve months, per row pair, with the interval of its mean.

use std::collections::BTreeMap;

use calc::wear::{MeanRate, mean_rate};
use rusqlite::Connection;

use super::wear::{Grown, ShopWear};
use crate::error::Result;
use crate::time::DAY_MS;

/// So far back is looked, days.
pub const BACK_DAYS: i64 = 365;

/// Growth of every type that has any.
pub type Growths = Vec<TypeGrowth>;

/// The stands of one bearing type beside each other.
#[derive(Debug, Clone, PartialEq)]
pub struct TypeGrowth {
    /// The type.
    pub bearing_type: String,
    /// Mean of all its stays and row pairs, µm per 1,000 h.
    pub mean: f64,
    /// Its stands, by code.
    pub stands: Vec<StandGrowth>,
}

/// A stand.
#[derive(Debug, Clone, PartialEq)]
pub struct StandGrowth {
    /// Its code.
    pub code: String,
    /// All row pairs together, µm per 1,000 h.
    pub mean: f64,
    /// Bearings torn down from there.
    pub stays: usize,
    /// Each row pair.
    pub pairs: [Option<MeanRate>; 3],
    /// Its places, by code.
    pub places: Vec<PlaceGrowth>,
}

/// A place of a stand.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceGrowth {
    /// Its code.
    pub code: String,
    /// Bearings torn down from there.
    pub stays: usize,
    /// Each row pair.
    pub pairs: [Option<MeanRate>; 3],
}

/// The growth measured since `now_ms` less twelve months.
pub fn growth_by_stand(conn: &Connection, wear: &ShopWear, now_ms: i64) -> Result<Growths> {
    let mut stmt = conn
        .prepare_cached("SELECT p.code, s.code FROM position p JOIN stand s ON s.no = p.stand")?;
    let rows = stmt.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    let stand_of: BTreeMap<String, String> = rows.collect::<rusqlite::Result<_>>()?;
    let since_ms = now_ms - BACK_DAYS * DAY_MS;
    let late = |g: &&Grown| g.at.ms > since_ms && g.at.ms <= now_ms;
    let mut by_type: BTreeMap<&str, BTreeMap<&str, Vec<&Grown>>> = BTreeMap::new();
    for grown in wear.grown.iter().filter(late) {
        let Some(stand) = stand_of.get(&grown.position) else {
            continue;
        };
        let of_type = by_type.entry(&grown.bearing_type).or_default();
        of_type.entry(stand).or_default().push(grown);
    }
    let mut growths: Growths = by_type
        .into_iter()
        .map(|(bearing_type, stands)| {
            let all: Vec<&Grown> = stands.values().flatten().copied().collect();
            TypeGrowth {
                bearing_type: bearing_type.to_owned(),
                mean: mean(&all),
                stands: stands
                    .into_iter()
                    .map(|(code, grown)| stand(code, &grown))
                    .collect(),
            }
        })
        .collect();
    // The type with the most behind it first.
    let stays = |t: &TypeGrowth| t.stands.iter().map(|s| s.stays).sum::<usize>();
    growths.sort_by_key(|t| std::cmp::Reverse(stays(t)));
    Ok(growths)
}

fn stand(code: &str, grown: &[&Grown]) -> StandGrowth {
    let mut by_place: BTreeMap<&str, Vec<&Grown>> = BTreeMap::new();
    for one in grown {
        by_place.entry(&one.position).or_default().push(one);
    }
    StandGrowth {
        code: code.to_owned(),
        mean: mean(grown),
        stays: stays(grown),
        pairs: pairs(grown),
        places: by_place
            .into_iter()
            .map(|(code, grown)| PlaceGrowth {
                code: code.to_owned(),
                stays: stays(&grown),
                pairs: pairs(&grown),
            })
            .collect(),
    }
}

fn mean(grown: &[&Grown]) -> f64 {
    let all: Vec<(f64, f64)> = grown.iter().map(|g| (g.grown_um, g.hours)).collect();
    mean_rate(&all).map_or(0.0, |rate| rate.mean)
}

fn stays(grown: &[&Grown]) -> usize {
    let events: std::collections::BTreeSet<i64> = grown.iter().map(|g| g.event).collect();
    events.len()
}

fn pairs(grown: &[&Grown]) -> [Option<MeanRate>; 3] {
    std::array::from_fn(|i| {
        let own = grown.iter().filter(|g| g.pair == i + 1);
        let own: Vec<(f64, f64)> = own.map(|g| (g.grown_um, g.hours)).collect();
        mean_rate(&own)
    })
}
