//! Who signs what.

use rusqlite::{Connection, OptionalExtension};

use super::{Entry, refused};
use crate::error::Result;
use crate::id::Ref;
use crate::payload::{Payload, Record, RegisterChange, Role, Scrapped};
use crate::people::{Signer, has_no_engineer};

/// Who signs what (product.md).
pub(super) fn may_sign(
    conn: &Connection,
    payload: &Payload,
    signer: Option<&Signer>,
) -> Result<()> {
    use Role::{Auditor, Engineer, Fitter, Foreman, Metrology, Storekeeper};
    let Some(signer) = signer else {
        let first_engineer = matches!(payload, Payload::RegisterChange(RegisterChange { thing: None, record: Record::Person(p), .. })
            if p.role == Engineer && has_no_engineer(conn)?);
        return if first_engineer {
            Ok(())
        } else {
            Err(refused("sign in first: this needs a name and a PIN"))
        };
    };
    let roles: &[Role] = match payload {
        Payload::LogbookStarted(_) | Payload::Merged(_) => &[],
        Payload::RegisterChange(change) => match &change.record {
            Record::Gauge(_) => &[Engineer, Metrology],
            Record::SealBatch(_) | Record::Grease(_) => &[Engineer, Storekeeper, Foreman],
            // Its type and the hours of an old record decide on verdicts.
            Record::Bearing(_) if change.thing.is_none() => &[Engineer, Storekeeper],
            _ => &[Engineer],
        },
        Payload::Received(_) | Payload::InspectedAtReceipt(_) | Payload::Cost(_) => {
            &[Storekeeper, Engineer]
        }
        Payload::GaugeCalibrated(_) | Payload::GaugeFoundOut(_) => &[Metrology, Engineer],
        Payload::TeardownSheet(_)
        | Payload::MountingSheet(_)
        | Payload::TeardownPlanned(_)
        | Payload::SeatCheck(_)
        | Payload::Countersigned(_) => &[Foreman, Engineer],
        Payload::Released(_)
        | Payload::Extension(_)
        | Payload::BatchBlocked(_)
        | Payload::DeviationAccepted(_)
        | Payload::Scrapped(_)
        | Payload::ThingsJoined(_)
        | Payload::SpacersReground(_)
        | Payload::SheetReopened(_)
        | Payload::ConflictResolved(_) => &[Engineer],
        Payload::Attached(_) | Payload::ImportBatch(_) => {
            &[Foreman, Engineer, Storekeeper, Metrology]
        }
        // Who may amend what depends on the event: see `amendment`.
        Payload::Amendment(_) => &[Fitter, Foreman, Engineer, Storekeeper, Metrology],
        Payload::Returned(_) | Payload::SentOut(_) => &[Engineer, Storekeeper, Foreman],
        _ => &[Fitter, Foreman, Engineer],
    };
    if signer.role == Auditor {
        return Err(refused(
            "the auditor reads, verifies and prints; sign in as somebody else to write",
        ));
    }
    if roles.contains(&signer.role) {
        return Ok(());
    }
    let who = roles
        .iter()
        .map(|r| r.as_str())
        .collect::<Vec<_>>()
        .join(" or ");
    Err(refused(format!(
        "{} may not sign this: it needs the {who}",
        signer.name
    )))
}

impl Entry<'_> {
    /// Somebody else saw it destroyed.
    pub(super) fn scrapped(&self, p: &Scrapped, signer: Option<&Signer>) -> Result<()> {
        let witness = self.find(&p.witness)?;
        let found: Option<(String, bool)> = self
            .conn
            .query_row(
                "SELECT role, is_active FROM person WHERE no = ?1",
                [witness.0],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let Some((role, is_active)) = found else {
            return Err(refused(
                "the witness of a scrapping is somebody of the register",
            ));
        };
        let signs = match signer {
            Some(signer) => self.find(&Ref::new(signer.id, self.own))? == witness,
            None => false,
        };
        if signs || role == Role::Auditor.as_str() || !is_active {
            return Err(refused(
                "the witness of a scrapping is somebody at work here who neither signs it nor audits: \
                 as a rule the storekeeper",
            ));
        }
        Ok(())
    }
}
