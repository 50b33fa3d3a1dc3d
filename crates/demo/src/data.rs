//! The plant and its stories as data: the files of the folder `demo/`, built into the program.

mod stories;

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::de::DeserializeOwned;

pub(crate) use self::stories::*;
use crate::DemoError;

/// All of it.
pub(crate) struct Data {
    pub(crate) people: Vec<Person>,
    pub(crate) types: Vec<Kind>,
    pub(crate) gauges: Vec<Gauge>,
    pub(crate) plant: Plant,
    pub(crate) stories: Stories,
}

impl Data {
    pub(crate) fn read() -> Result<Self, DemoError> {
        let people: People = parse("people.toml", include_str!("../../../demo/people.toml"))?;
        let types: Types = parse("types.toml", include_str!("../../../demo/types.toml"))?;
        let gauges: Gauges = parse("gauges.toml", include_str!("../../../demo/gauges.toml"))?;
        Ok(Self {
            people: people.person,
            types: types.kinds,
            gauges: gauges.gauge,
            plant: parse("plant.toml", include_str!("../../../demo/plant.toml"))?,
            stories: parse("stories.toml", include_str!("../../../demo/stories.toml"))?,
        })
    }
}

/// A picture of the folder `demo/pictures`, drawn, for in an invented plant nothing was photographed.
pub(crate) fn picture(name: &str) -> Result<&'static [u8], DemoError> {
    match name {
        "dye-test.png" => Ok(include_bytes!("../../../demo/pictures/dye-test.png")),
        "fretting.png" => Ok(include_bytes!("../../../demo/pictures/fretting.png")),
        _ => Err(DemoError::Data {
            file: "stories.toml",
            why: format!("{name}: there is no such picture"),
        }),
    }
}

/// A paper of the folder `demo/papers`.
pub(crate) fn paper(name: &str) -> Result<&'static [u8], DemoError> {
    match name {
        "NY-2211.txt" => Ok(include_bytes!("../../../demo/papers/NY-2211.txt")),
        _ => Err(DemoError::Data {
            file: "stories.toml",
            why: format!("{name}: there is no such paper"),
        }),
    }
}

fn parse<T: DeserializeOwned>(file: &'static str, text: &str) -> Result<T, DemoError> {
    toml::from_str(text).map_err(|e| DemoError::Data {
        file,
        why: e.to_string(),
    })
}

#[derive(Deserialize)]
struct People {
    person: Vec<Person>,
}

/// Somebody, with a PIN that everybody may know.
#[derive(Deserialize)]
pub(crate) struct Person {
    pub(crate) name: String,
    pub(crate) role: String,
    pub(crate) pin: String,
}

#[derive(Deserialize)]
struct Types {
    #[serde(rename = "type")]
    kinds: Vec<Kind>,
}

/// A bearing type.
#[derive(Deserialize)]
pub(crate) struct Kind {
    pub(crate) code: String,
    #[serde(rename = "kind")]
    pub(crate) family: String,
    pub(crate) lubrication: String,
    pub(crate) values: BTreeMap<String, Value>,
}

impl Kind {
    /// A value of the whole bearing, or of a row pair from 1.
    pub(crate) fn value(&self, name: &str, pair: usize) -> Option<i64> {
        match self.values.get(name)? {
            Value::Whole(value) => Some(*value),
            Value::Pairs(values) => values.get(pair.checked_sub(1)?).copied(),
        }
    }
}

#[derive(Deserialize)]
#[serde(untagged)]
pub(crate) enum Value {
    Whole(i64),
    Pairs([i64; 3]),
}

#[derive(Deserialize)]
struct Gauges {
    gauge: Vec<Gauge>,
}

#[derive(Deserialize)]
pub(crate) struct Gauge {
    pub(crate) code: String,
    pub(crate) kind: String,
    pub(crate) measures: String,
    pub(crate) range: String,
    pub(crate) resolution: i64,
    pub(crate) u: Option<i64>,
    pub(crate) standard: String,
    pub(crate) last: String,
    pub(crate) months: i64,
    pub(crate) previous: Option<String>,
}

#[derive(Deserialize)]
pub(crate) struct Plant {
    #[serde(rename = "plant")]
    pub(crate) name: String,
    pub(crate) line: Vec<Line>,
    pub(crate) stand: Vec<Stand>,
    pub(crate) load_angle: BTreeMap<String, i64>,
    pub(crate) rolls: Vec<Rolls>,
    pub(crate) chocks: Vec<Chocks>,
    pub(crate) bearings: Vec<Bearings>,
    pub(crate) home: BTreeMap<String, String>,
    /// Inner halves whose neck a story names.
    pub(crate) inner_home: BTreeMap<String, String>,
    pub(crate) arrives_later: Vec<String>,
    pub(crate) spare: Vec<String>,
    pub(crate) seal_batches: Vec<Named>,
    pub(crate) greases: Vec<Named>,
    pub(crate) team: Vec<Team>,
    /// Since when the mill's computer writes down loads, as a day.
    pub(crate) loads_from: String,
    pub(crate) load: Vec<MeanLoad>,
}

/// Mean load of the rolls of a stand.
#[derive(Deserialize)]
pub(crate) struct MeanLoad {
    pub(crate) stand: String,
    pub(crate) role: String,
    pub(crate) radial_kn: f64,
    pub(crate) axial_kn: f64,
    pub(crate) rpm: f64,
}

#[derive(Deserialize)]
pub(crate) struct Line {
    pub(crate) code: String,
    pub(crate) name: String,
    pub(crate) mill_hours: f64,
    pub(crate) kilotonnes: f64,
}

#[derive(Deserialize)]
pub(crate) struct Stand {
    pub(crate) code: String,
    pub(crate) line: String,
    pub(crate) build: String,
    pub(crate) roles: Vec<String>,
    pub(crate) fixed: String,
    pub(crate) growth_um: f64,
}

#[derive(Deserialize)]
pub(crate) struct Rolls {
    pub(crate) line: String,
    pub(crate) role: String,
    pub(crate) codes: String,
}

#[derive(Deserialize)]
pub(crate) struct Chocks {
    pub(crate) code: String,
    pub(crate) fits: Vec<String>,
    pub(crate) codes: String,
    pub(crate) seats: BTreeMap<String, String>,
    /// In how many planes the bore is measured.
    #[serde(default = "usual")]
    pub(crate) planes: usize,
}

fn usual() -> usize {
    store::sheet::field::PLANES_USUAL
}

#[derive(Deserialize)]
pub(crate) struct Bearings {
    pub(crate) kind: String,
    pub(crate) serials: String,
}

#[derive(Deserialize)]
pub(crate) struct Named {
    pub(crate) code: String,
    pub(crate) name: String,
}

/// Chocks that share posts; see `plant.toml`.
#[derive(Deserialize)]
pub(crate) struct Team {
    pub(crate) line: String,
    pub(crate) role: String,
    pub(crate) posts: Vec<String>,
    pub(crate) side_o: Vec<String>,
    pub(crate) side_d: Vec<String>,
    pub(crate) campaign_h: f64,
    pub(crate) change_h: f64,
}

/// `WC-01..12` into its codes; a code without a range is itself.
pub(crate) fn expand(range: &str) -> Vec<String> {
    let Some((first, last)) = range.split_once("..") else {
        return vec![range.to_owned()];
    };
    let digits = first.len() - last.len();
    let (stem, from) = first.split_at(digits);
    let width = last.len();
    let (from, to) = (from.parse().unwrap_or(0), last.parse().unwrap_or(0));
    (from..=to)
        .map(|n: u32| format!("{stem}{n:0width$}"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_files_are_read_and_hold_the_population_of_the_plant() {
        let data = Data::read().unwrap();
        assert_eq!(
            (data.people.len(), data.types.len(), data.gauges.len()),
            (13, 9, 22)
        );
        let chocks: usize = data
            .plant
            .chocks
            .iter()
            .map(|c| expand(&c.codes).len())
            .sum();
        assert_eq!(chocks, 48 + 28 + 8 + 6 + 8 + 6 + 6 + 24);
        let in_teams: usize = data
            .plant
            .team
            .iter()
            .flat_map(|t| t.side_o.iter().chain(&t.side_d))
            .map(|c| expand(c).len())
            .sum();
        assert_eq!(in_teams, chocks, "every chock belongs to a team");
        let counts: Vec<usize> = data
            .plant
            .bearings
            .iter()
            .map(|b| expand(&b.serials).len())
            .collect();
        assert_eq!(counts, [56, 10, 17, 38, 54, 8, 12, 38, 66]);
        let rolls: Vec<usize> = data
            .plant
            .rolls
            .iter()
            .map(|r| expand(&r.codes).len())
            .collect();
        assert_eq!(rolls, [66, 20, 12, 6, 24, 10, 6, 48]);
    }

    #[test]
    fn a_range_of_codes_keeps_its_leading_zeros() {
        assert_eq!(expand("WC-08..11"), ["WC-08", "WC-09", "WC-10", "WC-11"]);
        assert_eq!(
            expand("TH-4T-001..003"),
            ["TH-4T-001", "TH-4T-002", "TH-4T-003"]
        );
        assert_eq!(expand("WC-29"), ["WC-29"]);
    }
}
