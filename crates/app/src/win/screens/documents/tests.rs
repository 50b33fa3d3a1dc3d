//! The page as a person uses it.
