//! `chockbook print`: a document as a PDF.

use std::path::Path;

use store::Stamp;

use super::args::{Args, Opt, Shape};
use super::{Ending, Stop, Verb, World};
use crate::print::{PrintJob, history_pdf, write_whole};
use crate::win::snapshot::Settings;

pub(super) const VERB: Verb = Verb {
    name: "print",
    shape: Shape {
        names: &["FILE", "history"],
        options: &[Opt::needed("--bearing", "SERIAL"), Opt::needed("--to", "OUT.pdf"), Opt::may("--at", "TIME")],
        switches: &[],
    },
    about: "print the history of one bearing as PDF/A",
    details: "
--bearing SERIAL    in capitals or not
--to OUT.pdf        written whole or not at all
--at TIME           the time that the print carries, 2026-10-30T14:02; without it the logbook's clock
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    if args.name(1) != "history" {
        return Err(Stop::Failed(format!(
            "{:?} cannot be printed; there is history",
            args.name(1)
        )));
    }
    let logbook = world.open(args.name(0))?;
    let conn = logbook.connection();
    let serial = args.needed("--bearing");
    let things = store::query::find_things(conn)?;
    let bearing = things.iter().find(|t| t.entity == "bearing" && t.code.eq_ignore_ascii_case(serial)).ok_or_else(|| {
        let count = things.iter().filter(|t| t.entity == "bearing").count();
        Stop::Failed(format!("bearing {serial:?} is not in the register of {} ({count} bearings): check the serial", args.name(0)))
    })?;
    let now = match args.option("--at") {
        None => logbook.now(),
        Some(text) => Stamp::parse(text, logbook.now().offset_min).ok_or_else(|| {
            Stop::Failed(format!(
                "--at {text:?} is no time: write 2026-10-30 or 2026-10-30T14:02"
            ))
        })?,
    };
    let job = PrintJob {
        now,
        for_whom: String::new(),
        show: Settings::read(&logbook)?.show,
        program: crate::hands::program(),
        is_demo: logbook.is_demo(),
        anchor: logbook.anchor()?.unwrap_or_default(),
    };
    let to = Path::new(args.needed("--to"));
    let pdf = history_pdf(conn, bearing.no, &job).map_err(|e| Stop::because(e.to_string()))?;
    write_whole(to, &pdf).map_err(|e| Stop::because(e.to_string()))?;
    writeln!(
        world.out,
        "{} written, {} bytes, anchor {}",
        to.display(),
        pdf.len(),
        job.anchor
    )?;
    Ok(Ending::Done)
}
