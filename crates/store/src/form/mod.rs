//! What every sheet is made of, whatever it is about: fields that have a path, a name and a kind, the texts typed into
//! them, the signature, and the amendment of what is signed. `sheet` and `mounting` say what is theirs.

pub(crate) mod amend;
pub(crate) mod body;
mod choice;
mod field;
mod sign;

pub use body::{fields_of, unit_of};
pub use choice::Choice;
pub use field::{FieldKind, Lists, Named, named};
pub(crate) use field::{
    choice, code, find, gauge, length, load, mass, temperature, time, torque, words, zone,
};
pub use sign::ToSign;
