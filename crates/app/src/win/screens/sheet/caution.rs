//! Cautions that more than one place shows where the act is: what can hurt, in few words; the site's procedures come first.

use egui::Ui;

use crate::ui::widgets;

/// Title and words.
pub type Caution = (&'static str, &'static str);

/// Where grease goes in under pressure.
pub const GREASE_GUN: Caution = (
    "Grease gun",
    "Grease under pressure goes through skin: hands off the nozzle. The site\u{2019}s procedures come first.",
);

/// Where a ring is driven on or off a taper by oil.
pub const OIL_PRESSURE: Caution = (
    "Oil pressure",
    "Rated parts only, the nut stays on, nobody in line with the sleeve; a taper lets go with a bang. The \
     site\u{2019}s procedures come first.",
);

/// Where a ring that sat tight comes off a neck.
pub const RING_OFF: Caution = (
    "Ring off the neck",
    "Never a flame. A hot ring burns and slips: dry gloves, its own lifting gear. A ring that is cut, or cracked, is under \
     stress and can fly apart: guard and eye protection. The site\u{2019}s procedures come first.",
);

/// Where a bearing is destroyed.
pub const DESTROYED: Caution = (
    "Cutting rings",
    "Hardened rings and rollers can burst when they are cut or broken: guard, eye and face protection, nobody beside it; \
     grease off before any heat. The site\u{2019}s procedures come first.",
);

/// Shows one.
pub fn caution_ui(ui: &mut Ui, (title, words): Caution) {
    widgets::caution(ui, title, words);
}
