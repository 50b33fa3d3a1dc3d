//! `chockbook verify`: is the record what was signed?

use std::path::Path;

use super::args::{Args, Opt, Shape};
use super::{Ending, Stop, Verb, World};

pub(super) const VERB: Verb = Verb {
    name: "verify",
    shape: Shape {
        names: &["FILE"],
        options: &[Opt::may("--anchor", "CODE")],
        switches: &[],
    },
    about: "check that the record is what was signed; exit 1 where something does not hold",
    details: "
FILE             is read and never changed
--anchor CODE    the code on a print: the entry it names must be in the chain, unaltered
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let path = Path::new(args.name(0));
    let mut told = |done, total| {
        world.progress("checking", done, total);
        true
    };
    let report = store::verify::verify_file(path, args.option("--anchor"), &mut told);
    world.progress_done();
    let report =
        report?.ok_or_else(|| Stop::because("the check was stopped; nothing was changed"))?;
    let out = &mut *world.out;
    writeln!(out, "{}: {} events", path.display(), report.events)?;
    writeln!(out, "\nchecked:")?;
    for line in &report.checked {
        writeln!(out, "  {line}")?;
    }
    if !report.findings.is_empty() {
        writeln!(out, "\ndoes not hold:")?;
    }
    for finding in &report.findings {
        match finding.event {
            Some(event) => writeln!(out, "  event {event}: {}", finding.what)?,
            None => writeln!(out, "  {}", finding.what)?,
        }
    }
    writeln!(out, "\nwhat this cannot prove:")?;
    for line in &report.limits {
        writeln!(out, "  {line}")?;
    }
    writeln!(out, "\nends of the chains, to be kept outside the file:")?;
    for head in &report.heads {
        writeln!(out, "  {}", head.anchor)?;
    }
    if report.holds() {
        writeln!(out, "\nEverything that was checked holds.")?;
        return Ok(Ending::Done);
    }
    let count = crate::print::counted(report.findings.len(), "finding");
    writeln!(
        out,
        "\n{count}. Keep this file as it is, and compare it with a backup or another copy."
    )?;
    Ok(Ending::DoesNotHold)
}
