//! Prints two histories of the invented plant, to look at the form: `history OUT_DIR`.

mod drawings;
mod spacers;
mod water;

use std::error::Error;
use std::path::PathBuf;

use report::{History, Labelled, Mark, Marked, Piece, SignatureLine, UtcMoment, history_pdf};

fn main() -> Result<(), Box<dyn Error>> {
    let dir = PathBuf::from(
        std::env::args_os()
            .nth(1)
            .ok_or("say where to write: history OUT_DIR")?,
    );
    for history in [spacers::history(), water::history(), empty()] {
        let path = dir.join(format!("history-{}.pdf", history.serial));
        std::fs::write(&path, history_pdf(&history)?)?;
        println!("{}", path.display());
    }
    Ok(())
}

/// What every print of this plant and day has in common.
fn print_of(serial: &str) -> History {
    History {
        plant: "Tarnhollow Rolling Works".into(),
        serial: serial.into(),
        title_line: format!("History of bearing {serial}"),
        anchor: "0671 8D1F A6AA 1483 F96D 9C86".into(),
        chain_check: marked(
            Mark::Pass,
            "12,418 entries checked when this was printed: nothing was altered.",
        ),
        printed_at: "2026-10-30 14:02".into(),
        printed_utc: UtcMoment {
            year: 2026,
            month: 10,
            day: 30,
            hour: 13,
            minute: 2,
            second: 0,
        },
        printed_for: "the Auditor".into(),
        program: "Chockbook 0.1.0".into(),
        demo: true,
        ..History::default()
    }
}

/// A bearing that has just been registered.
fn empty() -> History {
    History {
        headline: "New in stores, never mounted".into(),
        state: marked(Mark::NotApplicable, "no sheet yet"),
        left_out: String::new(),
        summary: "Registered 2026-10-29. No teardown and no mounting yet.".into(),
        identity: pairs(&[
            ("type", "N4T-480/620-336, four-row tapered"),
            ("sizes", "480 × 620 × 336 mm, 268 kg"),
        ]),
        limits: pairs(&[("end play, new", "0.300 ±0.030 mm per pair")]),
        ..print_of("TH-4T-056")
    }
}

fn marked(mark: Mark, text: &str) -> Marked {
    Marked {
        text: text.into(),
        mark,
    }
}

fn pairs(items: &[(&str, &str)]) -> Vec<Labelled> {
    items
        .iter()
        .map(|&(label, value)| Labelled {
            label: label.into(),
            value: value.into(),
        })
        .collect()
}

fn plain(text: &str) -> Vec<Piece> {
    vec![Piece::plain(text)]
}

fn signed(items: &[(&str, &str)]) -> Vec<SignatureLine> {
    items
        .iter()
        .map(|&(who, what)| SignatureLine {
            who: who.into(),
            what: what.into(),
        })
        .collect()
}
