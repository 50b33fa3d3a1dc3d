//! The bench as a person uses it.
