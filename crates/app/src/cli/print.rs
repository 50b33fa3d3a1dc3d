//! `chockbook print`: a document as a PDF.

use std::path::Path;

use store::Stamp;

use super::args::{Args, Opt, Shape};
use super::{Ending, Stop, Verb, World};
use crate::print::{Document, Key, PrintJob, What, Wish, write_whole};
use crate::win::snapshot::Settings;

pub(super) const VERB: Verb = Verb {
    name: "print",
    shape: Shape {
        names: &["FILE", "WHAT"],
        options: &[
            Opt::needed("--to", "OUT.pdf"),
            Opt::may("--at", "TIME"),
            Opt::may("--for", "WHOM"),
            Opt::may("--bearing", "SERIAL"),
            Opt::may("--chock", "MARK"),
            Opt::may("--gauge", "MARK"),
            Opt::may("--stand", "NAME"),
            Opt::may("--type", "DESIGNATION"),
            Opt::may("--event", "ORIGIN:SEQ"),
            Opt::may("--date", "DAY"),
            Opt::may("--from", "DAY"),
            Opt::may("--until", "DAY"),
            Opt::may("--since", "TIME"),
            Opt::may("--kind", "KIND"),
            Opt::may("--of", "MARK,MARK"),
            Opt::may("--page", "WxH"),
            Opt::may("--grid", "COLUMNSxROWS"),
            Opt::may("--label", "WxH"),
            Opt::may("--margin", "LEFTxTOP"),
            Opt::may("--gap", "ACROSSxDOWN"),
            Opt::may("--skip", "COUNT"),
            Opt::may("--thing", "MARK"),
        ],
        switches: &["--costs", "--no-readings", "--no-photos", "--open", "--mounting"],
    },
    about: "print a document as PDF/A: history, sheet, blank, chock, gauge, impact, grind, packet, stand, handover, labels, tag",
    details: "
history   --bearing SERIAL [--from DAY] [--until DAY] [--no-readings] [--no-photos] [--costs]
          all that happened to a bearing, with every reading; --costs: what was paid too
sheet     --event ORIGIN:SEQ, or --bearing SERIAL [--date DAY]
          one sheet as it was signed; by its bearing the newest, or that of the day
blank     --type DESIGNATION [--mounting]
          the teardown sheet, or the mounting sheet, to be filled by hand, in the order of the screen
chock     --chock MARK
          the history of a chock: bearings in it, its bore over time, what happened
gauge     --gauge MARK [--since TIME]
          its calibrations, and every reading taken with it since the newest or since TIME
impact    --gauge MARK
          what a gauge that was found out has touched, as recorded and fully corrected, and which verdicts change
grind     --event ORIGIN:SEQ, or --bearing SERIAL [--date DAY], or --bearing SERIAL --open
          which spacer is ground to which width, with the stack; --open: from the sheet that is not signed yet
packet    --bearing SERIAL, or --chock MARK, [--date DAY]
          what goes along to a repair shop: findings, tables, pictures, what is asked for; of the last sheet up to DAY
stand     --stand NAME --from DAY [--until DAY]
          what ran, was torn down and found in a period, and how clearances grew; without --until up to now
handover  [--since TIME]
          what is late, begun, held or coming, and what was entered since TIME; without it in the last 8 hours
labels    --kind KIND, or --of MARK,MARK
          labels with a code to scan; KIND is chock, bearing, gauge, person, roll, position, grease or seal_batch
          --page 210x297 --grid 3x8 --label 70x37 --margin 0x0.5 --gap 0x0 --skip 0
          sizes in mm, these where nothing is said; --grid without --label fills the sheet; --skip passes over used ones
tag       --thing MARK
          the tag of a thing on hold: why, by whom, since when, what to do

--to OUT.pdf        written whole or not at all
--at TIME           the time that the print carries, 2026-10-30T14:02; without it the logbook's clock
--for WHOM          for whom it is printed, told at the top of each page
DAY is 2026-10-30, TIME that or 2026-10-30T14:02; marks in capitals or not.
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let word = args.name(1);
    let what = What::ALL.into_iter().find(|what| what.word() == word);
    let what = what.ok_or_else(|| {
        let all = What::ALL.map(What::word).join(", ");
        Stop::Failed(format!("{word:?} cannot be printed; there is {all}"))
    })?;
    refuse_unused(args, what)?;
    let logbook = world.open(args.name(0))?;
    let now = match args.option("--at") {
        None => logbook.now(),
        Some(text) => Stamp::parse(text, logbook.now().offset_min).ok_or_else(|| {
            Stop::Failed(format!(
                "--at {text:?} is no time: write 2026-10-30 or 2026-10-30T14:02"
            ))
        })?,
    };
    let text = |key: Key| {
        let switched = args.has(key.option()).then(|| "yes".to_owned());
        switched.or_else(|| args.option(key.option()).map(str::to_owned))
    };
    let wish = Wish {
        what,
        text: &text,
        name: Key::option,
    };
    let document = wish
        .document(logbook.connection(), now)
        .map_err(|why| Stop::Failed(format!("{why}; see `chockbook help print`")))?;
    let job = PrintJob {
        now,
        for_whom: args.option("--for").unwrap_or_default().to_owned(),
        show: Settings::read(&logbook)?.show,
        program: crate::hands::program(),
        is_demo: logbook.is_demo(),
        anchor: logbook.anchor()?.unwrap_or_default(),
    };
    let to = Path::new(args.needed("--to"));
    let pdf = document
        .pdf(logbook.connection(), &job)
        .map_err(|e| Stop::because(e.to_string()))?;
    write_whole(to, &pdf).map_err(|e| Stop::because(e.to_string()))?;
    let anchor = match document {
        Document::Blank(_)
        | Document::BlankMounting(_)
        | Document::Tag(_)
        | Document::Labels { .. } => String::new(),
        _ => format!(", anchor {}", job.anchor),
    };
    writeln!(
        world.out,
        "{} written, {} bytes{anchor}",
        to.display(),
        pdf.len()
    )?;
    Ok(Ending::Done)
}

/// What another document asks for would be passed over without a word.
fn refuse_unused(args: &Args, what: What) -> Result<(), Stop> {
    let others = What::ALL.iter().flat_map(|other| other.asks());
    for (key, _) in others {
        let is_given = args.option(key.option()).is_some() || args.has(key.option());
        if is_given && !what.asks().iter().any(|(asked, _)| asked == key) {
            let own: Vec<&str> = what.asks().iter().map(|(key, _)| key.option()).collect();
            return Err(Stop::Failed(format!(
                "{} is nothing for {}, which takes {}",
                key.option(),
                what.word(),
                own.join(", ")
            )));
        }
    }
    Ok(())
}
