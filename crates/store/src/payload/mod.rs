//! What an event says: one struct a kind, JSON of integers, strings, booleans, lists and objects, no floats.
//!
//! The JSON opens with `kind` and ends with `kind_version`; it is written once and never re-serialised. A new
//! version of a kind is a new struct plus an arm in [`Payload::read`] that lifts the old text (upcaster).

mod copies;
mod corrections;
mod moves;
mod notes;
mod register;
mod seat_check;
mod sheet;

pub use copies::*;
pub use corrections::*;
pub use moves::*;
pub use notes::*;
pub use register::*;
pub use seat_check::*;
pub use sheet::*;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::error::{Result, StoreError};

/// The version of every kind so far.
pub const KIND_VERSION: i64 = 1;

/// Everything that an event can say.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Payload {
    /// The first event of every origin.
    LogbookStarted(LogbookStarted),
    /// A thing is registered, or its record is changed.
    RegisterChange(RegisterChange),
    /// A new or found bearing enters the shop.
    Received(Received),
    /// What was looked at when a bearing came, and whether it is accepted.
    InspectedAtReceipt(InspectedAtReceipt),
    /// A bearing is put into a chock.
    Assembled(Assembled),
    /// A bearing is taken out of its chock without a teardown sheet.
    TakenOut(TakenOut),
    /// A thing was found elsewhere than the record has it.
    FoundHere(FoundHere),
    /// A chock goes on a roll and with it into a position.
    Mounted(Mounted),
    /// A chock goes on a roll, with what was heated, measured and tightened.
    MountingSheet(MountingSheet),
    /// A chock comes off its roll.
    Dismounted(Dismounted),
    /// A roll ran with its two chocks.
    Campaign(Campaign),
    /// A bearing was torn down, looked at, measured and decided on.
    TeardownSheet(TeardownSheet),
    /// Many campaigns came in from one table.
    ImportBatch(ImportBatch),
    /// Two halves of a cylindrical bearing go together.
    Paired(Paired),
    /// They go together no longer.
    Unpaired(Unpaired),
    /// Spacers were reground outside a sheet.
    SpacersReground(SpacersReground),
    /// The rings of a bearing were turned outside a sheet.
    ZoneTurned(ZoneTurned),
    /// Grease went in outside a sheet.
    Greased(Greased),
    /// A thing left for outside work.
    SentOut(SentOut),
    /// It came back, was measured and accepted.
    Returned(Returned),
    /// A thing may not be used until the engineer says so.
    Hold(Hold),
    /// The hold ends.
    Released(Released),
    /// A departure from a limit is accepted in writing.
    DeviationAccepted(DeviationAccepted),
    /// Work at the mill, asked for or done.
    MillJob(MillJob),
    /// A gauge was calibrated.
    GaugeCalibrated(GaugeCalibrated),
    /// A thing is gone for good.
    Scrapped(Scrapped),
    /// A chock was felt, heard or measured at work.
    ConditionReading(ConditionReading),
    /// Something went wrong at the mill that bearings feel.
    MillIncident(MillIncident),
    /// A bearing in its chock may run on past its interval.
    Extension(Extension),
    /// When a chock is to be torn down, and why not now.
    TeardownPlanned(TeardownPlanned),
    /// Seals or grease of a batch are not to be used any more.
    BatchBlocked(BatchBlocked),
    /// Money spent on a thing.
    Cost(Cost),
    /// Liners, keeper or screw of a position were worked on.
    PositionWork(PositionWork),
    /// A gauge was found to read wrongly.
    GaugeFoundOut(GaugeFoundOut),
    /// A paper or a picture is kept with a thing.
    Attached(Attached),
    /// An event is amended.
    Amendment(Amendment),
    /// A second person stands for a sheet.
    Countersigned(Countersigned),
    /// A sheet is open again.
    SheetReopened(SheetReopened),
    /// Events of other copies were taken in.
    Merged(Merged),
    /// Two entries of the register are one thing.
    ThingsJoined(ThingsJoined),
    /// It is settled why an event does not fit beside the others.
    ConflictResolved(ConflictResolved),
    /// A neck or a bore was measured apart from a teardown.
    SeatCheck(SeatCheck),
}

impl Payload {
    /// The JSON to store, with the kind's name and version.
    ///
    /// # Errors
    /// Refuses a number that is no integer: the record has none.
    pub fn write(&self) -> Result<(String, String)> {
        let broken = |why: String| StoreError::input("payload", why);
        let mut value = serde_json::to_value(self).map_err(|e| broken(e.to_string()))?;
        let kind = value["kind"].as_str().unwrap_or_default().to_owned();
        value["kind_version"] = KIND_VERSION.into();
        if has_float(&value) {
            return Err(broken(
                "a number with decimals would be stored; the record keeps integers only".into(),
            ));
        }
        Ok((kind, value.to_string()))
    }

    /// Reads what was stored, lifting older versions.
    ///
    /// # Errors
    /// An unknown kind or version, or a payload that does not fit its kind.
    pub fn read(kind: &str, kind_version: i64, text: &str) -> Result<Self> {
        if kind_version != KIND_VERSION {
            let why = format!("version {kind_version} of {kind:?} is newer than this program");
            return Err(StoreError::input("event", why));
        }
        serde_json::from_str(text)
            .map_err(|e| StoreError::input(format!("event of kind {kind:?}"), e.to_string()))
    }
}

/// True where a number is no integer.
pub(crate) fn has_float(value: &Value) -> bool {
    match value {
        Value::Number(n) => !n.is_i64(),
        Value::Array(items) => items.iter().any(has_float),
        Value::Object(map) => map.values().any(has_float),
        _ => false,
    }
}

/// The first event of an origin: where it comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LogbookStarted {
    /// The plant whose logbook it is.
    pub plant: String,
    /// The program that wrote it.
    pub program: String,
    /// The copy that this one goes on from: a restored, salvaged or copied file.
    pub previous: Option<Previous>,
}

/// The end of another origin's chain.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Previous {
    /// 32 hexadecimal digits.
    pub origin: String,
    /// Its last event.
    pub seq: i64,
    /// Hash of that event, hexadecimal.
    pub head: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One golden file a kind: what was written once must be readable for ever.
    #[test]
    fn every_kind_is_read_back_from_its_golden_text() {
        let golden: Vec<Value> = serde_json::from_str(include_str!("golden_v1.json")).unwrap();
        let mut kinds: Vec<String> = Vec::new();
        for value in &golden {
            let kind = value["kind"].as_str().unwrap();
            let payload = Payload::read(kind, 1, &value.to_string()).unwrap();
            let (back, text) = payload.write().unwrap();
            assert_eq!(back, kind);
            assert_eq!(
                serde_json::from_str::<Value>(&text).unwrap(),
                *value,
                "{kind}"
            );
            kinds.push(kind.to_owned());
        }
        kinds.sort();
        kinds.dedup();
        assert_eq!(kinds.len(), 42, "a kind has no golden text: {kinds:?}");
    }

    #[test]
    fn decimals_and_unknown_versions_are_refused() {
        assert!(has_float(&serde_json::json!({"a": [1, {"b": 1.5}]})));
        assert!(!has_float(&serde_json::json!({"a": [1, {"b": "1.5"}]})));
        assert!(Payload::read("hold", 2, "{}").is_err());
        assert!(Payload::read("hold", 1, "{}").is_err());
    }
}
