//! The register of chocks, and the page of one chock.

use egui::Ui;
use store::ThingNo;

use super::{Cx, Heading, Screen};
use crate::ui::{frames, widgets};
use crate::win::command::Command;
use crate::win::worker::Worker;

/// The register of chocks.
#[derive(Debug, Default)]
pub struct ChocksScreen;

impl Screen for ChocksScreen {
    fn refresh(&mut self, _worker: &Worker, _time: f64) -> Option<f64> {
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new("Chocks", "")
    }

    fn ui(&mut self, ui: &mut Ui, _cx: &Cx, _commands: &mut Vec<Command>) {
        frames::page_body(ui, |ui| {
            widgets::empty_page(ui, "No chock is registered yet.", "Each will stand here with its place and state.", None);
        });
    }
}

/// One chock.
#[derive(Debug)]
pub struct ChockScreen {
    no: ThingNo,
}

impl ChockScreen {
    /// The page of this chock.
    pub fn new(no: ThingNo) -> Self {
        Self { no }
    }
}

impl Screen for ChockScreen {
    fn refresh(&mut self, _worker: &Worker, _time: f64) -> Option<f64> {
        None
    }

    fn heading(&self, cx: &Cx) -> Heading {
        let thing = cx.snapshot.things.iter().find(|t| t.no == self.no);
        thing.map_or_else(|| Heading::new("Chock", ""), |t| Heading::new(&t.code, &t.detail))
    }

    fn ui(&mut self, ui: &mut Ui, _cx: &Cx, _commands: &mut Vec<Command>) {
        frames::page_body(ui, |ui| {
            widgets::empty_page(ui, "No teardown yet.", "Bore, bearing inside and what happened will stand here.", None);
        });
    }
}
