//! Register and page of chocks on models of the demo plant.

use std::collections::BTreeMap;

use egui_kittest::Harness;
use store::entry::Show;
use store::query::{BoreCheck, ChockLine, ChockPage, bore_verdict_of_test};
use store::sheet::TypeFacts;
use store::{Stamp, ThingNo};
