//! People: their PIN is typed twice and hashed where the logbook is.

use store::payload::{Payload, Person, Record, RegisterChange, Role};
use store::{NewEvent, Stamp, ThingNo};

use super::form::{Form, Subject, Wrong};
use super::model::Model;
use crate::win::command::{Command, Events, Place};

/// What is wrong with the form of a person.
pub fn wrongs(form: &Form, model: &Model) -> Vec<Wrong> {
    let mut wrongs = Vec::new();
    let mut wrong = |path: &str, why: String| {
        wrongs.push(Wrong {
            path: path.into(),
            why,
        });
    };
    let name = form.text("name").trim();
    if name.is_empty() {
        wrong("name", "missing: how they are called here".into());
    } else if let Some(other) = model.find("person", name)
        && Some(other.no) != form.subject.thing()
    {
        wrong(
            "name",
            format!(
                "{} is in the register already: open them there, or choose another name",
                other.code
            ),
        );
    }
    if Role::parse(form.text("role")).is_none() {
        wrong("role", "missing: what they may do".into());
    }
    let (pin, again) = (form.text("pin"), form.text("pin_again"));
    let is_new = matches!(form.subject, Subject::New(_));
    if pin.is_empty() && is_new {
        wrong("pin", "missing: a PIN of at least four characters".into());
    } else if !pin.is_empty() && pin.chars().count() < 4 {
        wrong("pin", "a PIN has at least four characters".into());
    } else if pin != again {
        wrong(
            "pin_again",
            "the two PINs differ: type the same one twice".into(),
        );
    }
    if form.text("active") == "no" && is_new {
        wrong(
            "active",
            "somebody new works here; say no once they have left".into(),
        );
    }
    wrongs
}

/// The command that saves the form; none while something is wrong with it.
pub fn command(form: &Form, model: &Model, place: Place) -> Option<Command> {
    if !wrongs(form, model).is_empty() {
        return None;
    }
    let name = form.text("name").trim().to_owned();
    let role = Role::parse(form.text("role"))?;
    let pin = form.text("pin").to_owned();
    let Some(no) = form.subject.thing() else {
        return Some(Command::RegisterPerson {
            place,
            name,
            role,
            pin,
        });
    };
    let Some(Record::Person(before)) = model.opened.as_ref().map(|o| &o.record) else {
        return None;
    };
    let person = Person {
        name,
        role,
        pin_hash: before.pin_hash.clone(),
        is_active: form.text("active") == "yes",
    };
    Some(Command::Append {
        place,
        events: changed(no, person, pin),
    })
}

/// The record of somebody anew; without a new PIN the old one holds.
fn changed(no: ThingNo, mut person: Person, pin: String) -> Events {
    Events::made(move |logbook| {
        if !pin.is_empty() {
            person.pin_hash = logbook.hash_pin(&pin)?;
        }
        let thing = Some(logbook.name(no)?);
        let change = RegisterChange {
            thing,
            record: Record::Person(person),
            reason: String::new(),
        };
        Ok(vec![NewEvent {
            at: logbook.now(),
            payload: Payload::RegisterChange(change),
        }])
    })
}

/// Somebody registered from a table, who signs nothing until they have been given a PIN.
///
/// # Errors
/// A role that there is not.
pub fn registered_without_pin(form: &Form, now: Stamp) -> store::Result<NewEvent> {
    let role = Role::parse(form.text("role"))
        .ok_or_else(|| store::StoreError::Refused("a person has a role".into()))?;
    let person = Person {
        name: form.text("name").trim().to_owned(),
        role,
        pin_hash: String::new(),
        is_active: true,
    };
    let change = RegisterChange {
        thing: None,
        record: Record::Person(person),
        reason: String::new(),
    };
    Ok(NewEvent {
        at: now,
        payload: Payload::RegisterChange(change),
    })
}
