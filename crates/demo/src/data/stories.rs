//! What happens in the demo plant, as `stories.toml` tells it.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::evidence::Told;

/// All that happens by plan.
#[derive(Deserialize)]
pub(crate) struct Stories {
    pub(crate) quiet: Vec<String>,
    pub(crate) untouched_rolls: Vec<String>,
    pub(crate) hours: Vec<Hours>,
    pub(crate) life: Vec<Life>,
    pub(crate) growth: Vec<Growth>,
    pub(crate) idle: Vec<Idle>,
    pub(crate) rest: Vec<Rest>,
    /// The backup roll that a chock goes on first.
    pub(crate) first_roll: BTreeMap<String, String>,
    #[serde(default)]
    pub(crate) misnamed: Vec<Misnamed>,
    /// The load zone that is up when the logbook begins.
    pub(crate) first_zone: BTreeMap<String, i64>,
    pub(crate) wrench: Wrench,
    pub(crate) remarks: Vec<Remark>,
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

/// A torque wrench that was used past its calibration, on so many chocks.
#[derive(Deserialize)]
pub(crate) struct Wrench {
    pub(crate) code: String,
    pub(crate) from: String,
    pub(crate) to: String,
    pub(crate) chocks: usize,
}

/// A remark on the sheet of a day.
#[derive(Deserialize)]
pub(crate) struct Remark {
    pub(crate) chock: String,
    pub(crate) day: String,
    pub(crate) note: String,
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
    /// What a shift wants the next one to know; only the last of these is kept.
    Note {
        who: String,
        text: String,
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
    /// Two halves of a cylindrical bearing go together from now on, or no longer.
    Pair {
        outer: String,
        inner: String,
    },
    Unpair {
        outer: String,
        reason: String,
    },
    /// An inner half comes off its neck.
    OffNeck {
        bearing: String,
        reason: String,
    },
    /// A chock is mounted, or is to be and is not.
    Mounting(Box<Mounting>),
    /// Two chocks exchange their places in the mill.
    Swap {
        chock: String,
        other: String,
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
    /// Somebody else stands for the sheets on which the wrench was past its day.
    Retorque {
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
    /// A chock at work is so warm that it is torn down early, C.
    Condition {
        chock: String,
        celsius: i64,
        text: String,
    },
    /// Liners of a position were worked on; widths afterwards, um.
    Work {
        position: String,
        #[serde(default)]
        widths: Vec<i64>,
        text: String,
    },
    /// Grease went in outside a sheet.
    Grease {
        bearing: String,
        grease: String,
        grams: i64,
        note: String,
    },
    /// A gauge turns up in the shop.
    Found {
        gauge: String,
        reason: String,
    },
    /// A certificate is kept with a thing; a file of `demo/papers`.
    Attach {
        thing: String,
        file: String,
        text: String,
    },
}

impl What {
    /// The chock that is taken apart, if one is.
    pub(crate) fn taken_apart(&self) -> Option<&str> {
        match self {
            Self::Teardown(t) => Some(&t.chock),
            Self::TakeOut { chock, .. } => Some(chock),
            _ => None,
        }
    }

    /// The pack of shims that a teardown of this chock tells of, um.
    pub(crate) fn shim_of(&self, chock: &str) -> Option<i64> {
        match self {
            Self::Teardown(t) if t.chock == chock => t.shim,
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
    /// Neck and ring of an inner half that came off or turned, um over nominal.
    pub(crate) neck_um: Option<i64>,
    pub(crate) ring_um: Option<i64>,
    pub(crate) after: Option<[i64; 3]>,
    pub(crate) shim: Option<i64>,
    /// What was seen on the parts; none told = nothing, where the step tells anything else.
    pub(crate) findings: Option<Vec<Told>>,
    /// Pictures of a finding by its number.
    pub(crate) photos: BTreeMap<String, String>,
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
    pub fields: BTreeMap<String, String>,
}
