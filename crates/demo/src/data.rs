//! The plant and its stories as data: the files of the folder `demo/`, built into the program.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::DemoError;
use crate::evidence::Told;

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

#[derive(Deserialize)]
pub(crate) struct Stories {
    pub(crate) quiet: Vec<String>,
    pub(crate) untouched_rolls: Vec<String>,
    pub(crate) hours: Vec<Hours>,
    pub(crate) life: Vec<Life>,
    pub(crate) growth: Vec<Growth>,
    pub(crate) idle: Vec<Idle>,
    pub(crate) rest: Vec<Rest>,
    #[serde(default)]
    pub(crate) misnamed: Vec<Misnamed>,
    /// Spacers of bearings that do not have new ones when the logbook begins, um.
    pub(crate) spacers: BTreeMap<String, [i64; 3]>,
    pub(crate) step: Vec<Step>,
}

/// The record names another chock than the one that ran, until it is put right.
#[derive(Deserialize, Clone)]
pub(crate) struct Misnamed {
    pub(crate) chock: String,
    pub(crate) written: String,
    pub(crate) from: String,
    pub(crate) to: String,
    /// When it was put right.
    pub(crate) at: String,
    pub(crate) reason: String,
}

/// Mill time of a chock between two days.
#[derive(Deserialize)]
pub(crate) struct Hours {
    pub(crate) chock: String,
    pub(crate) from: Option<String>,
    pub(crate) to: String,
    #[serde(rename = "hours")]
    pub(crate) mill_h: i64,
}

/// Whole life of a bearing at a day.
#[derive(Deserialize)]
pub(crate) struct Life {
    pub(crate) bearing: String,
    pub(crate) chock: String,
    pub(crate) at: String,
    pub(crate) hours: i64,
    pub(crate) note: String,
}

/// A place where end play grows otherwise than at its stand.
#[derive(Deserialize)]
pub(crate) struct Growth {
    pub(crate) position: String,
    pub(crate) from: String,
    pub(crate) to: String,
    pub(crate) um: [f64; 3],
}

#[derive(Deserialize)]
pub(crate) struct Idle {
    pub(crate) chock: String,
    pub(crate) from: String,
    pub(crate) to: String,
}

/// A roll that a story needs in the roll shop, or that is away.
#[derive(Deserialize)]
pub(crate) struct Rest {
    pub(crate) roll: String,
    pub(crate) from: String,
    pub(crate) to: String,
}

/// Something that happens on a day.
#[derive(Deserialize, Clone)]
pub(crate) struct Step {
    pub(crate) at: String,
    #[serde(flatten)]
    pub(crate) what: What,
}

/// What happens.
#[derive(Deserialize, Clone)]
#[serde(tag = "do", rename_all = "snake_case")]
pub(crate) enum What {
    Receive {
        bearing: String,
        as_set: [i64; 3],
        spacers: [i64; 3],
        certificate: String,
        note: String,
    },
    Teardown(Box<Teardown>),
    /// Begins a sheet and is called away: so many fields are filled in.
    Draft {
        chock: String,
        foreman: String,
        filled: usize,
    },
    /// Takes everything out of a chock; a spare is at hand for an `Assemble` that names no bearing.
    TakeOut {
        chock: String,
        reason: String,
        #[serde(default)]
        spare: bool,
    },
    /// Without a bearing: the spare that has waited longest.
    Assemble {
        chock: String,
        bearing: Option<String>,
        zone: Option<i64>,
    },
    /// An inner half goes on a neck.
    OnNeck {
        bearing: String,
        roll: String,
        seat: String,
    },
    /// A chock is mounted, or is to be and is not.
    Mounting(Box<Mounting>),
    /// Two chocks exchange their places in the mill.
    Swap {
        chock: String,
        other: String,
    },
    /// Takes out and puts back everything in a chock, the next zone up.
    Turn {
        chock: String,
    },
    Hold {
        thing: String,
        reason: String,
    },
    Release {
        thing: String,
        reason: String,
    },
    Deviation {
        thing: String,
        code: String,
        text: String,
    },
    MillJob {
        position: String,
        text: String,
        is_done: bool,
    },
    /// A bearing is looked at when it comes.
    Inspect {
        bearing: String,
        condition: String,
        accepted: bool,
        #[serde(default)]
        claim: String,
    },
    Incident {
        position: String,
        incident: String,
        force_mn: i64,
        chocks: Vec<String>,
        text: String,
    },
    Extend {
        chock: String,
        until: String,
        reason: String,
    },
    Plan {
        chock: String,
        planned: String,
        reason: String,
    },
    Block {
        batch: String,
        reason: String,
    },
    Cost {
        thing: String,
        amount: i64,
        text: String,
    },
    SendOut {
        thing: String,
        to: String,
        packet: String,
    },
    Return(Box<Return>),
    /// A roll neck is measured in the roll shop: its smallest size at 20 C, um.
    NeckCheck {
        roll: String,
        neck: String,
        smallest: i64,
        gauge: String,
        foreman: String,
        note: String,
        /// Temperatures of neck, first and last, and of the gauge, 0.1 C, where they are not alike.
        warmth: Option<[i64; 3]>,
        /// Fields typed otherwise.
        #[serde(default)]
        fields: BTreeMap<String, String>,
    },
    /// Somebody else stands for the last check of a neck.
    Countersign {
        roll: String,
        neck: String,
        text: String,
    },
    /// The engineer opens the last sheet of a chock again.
    Reopen {
        chock: String,
        reason: String,
    },
    /// The last sheet of a chock is put right.
    Amend(Box<Amend>),
    /// Somebody else stands for the last sheet of a chock.
    Confirm {
        chock: String,
        text: String,
    },
    /// A gauge is found to read so many um too large.
    FoundOut {
        gauge: String,
        error: i64,
        text: String,
    },
    Scrap {
        thing: String,
        reason: String,
        witness: String,
    },
}

impl What {
    /// The chock that is taken apart, if one is.
    pub(crate) fn taken_apart(&self) -> Option<&str> {
        match self {
            Self::Teardown(t) => Some(&t.chock),
            Self::TakeOut { chock, .. } | Self::Turn { chock } => Some(chock),
            _ => None,
        }
    }
}

/// A teardown; what is not given is generated.
#[derive(Deserialize, Clone, Default)]
#[serde(default)]
pub(crate) struct Teardown {
    pub(crate) chock: String,
    pub(crate) end_play: Option<[i64; 3]>,
    pub(crate) gaps: Option<[[i64; 4]; 3]>,
    pub(crate) spacers: Option<[i64; 3]>,
    pub(crate) bore: Option<[[i64; 4]; 3]>,
    pub(crate) after: Option<[i64; 3]>,
    pub(crate) shim: Option<i64>,
    /// What was seen on the parts; none told = nothing, where the step tells anything else.
    pub(crate) findings: Option<Vec<Told>>,
    /// State as found where it was not the usual: `seal` = `cut` and the like.
    pub(crate) found: BTreeMap<String, String>,
    /// Load zone chosen, where it is not the one advised.
    pub(crate) zone: Option<String>,
    pub(crate) zone_reason: Option<String>,
    pub(crate) choice: Option<String>,
    pub(crate) reason: Option<String>,
    pub(crate) into: Option<String>,
    pub(crate) note: Option<String>,
    /// Fields typed otherwise; an empty text for what is left open.
    pub(crate) fields: BTreeMap<String, String>,
    pub(crate) fitter: Option<String>,
    pub(crate) foreman: Option<String>,
    pub(crate) entered: Option<String>,
}

/// What is put right on a sheet.
#[derive(Deserialize, Clone)]
pub(crate) struct Amend {
    pub(crate) chock: String,
    pub(crate) who: String,
    pub(crate) reason: String,
    /// Fields as they are true; an empty text for what was never there.
    pub(crate) fields: BTreeMap<String, String>,
    /// What the bearing is like by that: end plays and spacers, um, and the load zone that is up.
    pub(crate) end_play: Option<[i64; 3]>,
    pub(crate) spacers: Option<[i64; 3]>,
    pub(crate) zone: Option<i64>,
}

/// Something comes back from outside.
#[derive(Deserialize, Clone)]
pub(crate) struct Return {
    pub(crate) thing: String,
    pub(crate) certificate: String,
    pub(crate) note: String,
    pub(crate) as_set: Option<[i64; 3]>,
    pub(crate) spacers: Option<[i64; 3]>,
    pub(crate) bore: Option<[[i64; 4]; 3]>,
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

/// A mounting sheet of a story: sizes that are the same all round, and the fields as typed.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Mounting {
    pub chock: String,
    pub roll: String,
    pub position: String,
    /// Size of the neck at 20 C, um over its nominal; none where it is not measured.
    pub neck_um: Option<i64>,
    /// Size of the ring bore, likewise.
    pub ring_um: Option<i64>,
    /// All other fields.
    #[serde(default)]
    pub fields: std::collections::BTreeMap<String, String>,
}
