//! `chockbook demo`: the logbook of an invented plant, to learn and to try on.

use std::path::Path;
use std::time::Instant;

use demo::Options;

use super::args::{Args, Opt, Shape};
use super::{Ending, Stop, Verb, World};

pub(super) const VERB: Verb = Verb {
    name: "demo",
    shape: Shape {
        names: &["FILE"],
        options: &[Opt::may("--years", "N"), Opt::may("--seed", "S")],
        switches: &[],
    },
    about: "write the logbook of an invented plant, to learn and to try on",
    details: "
FILE         a file that is there is never overwritten; written whole or not at all
--years N    years of history, 2 to 20 (without it 2)
--seed S     another seed gives another history; the same build and seed give the same bytes
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let mut options = Options::default();
    if let Some(text) = args.option("--years") {
        let years = text.parse().ok().filter(|years| (2..=20).contains(years));
        options.years = years.ok_or_else(|| {
            Stop::Failed(format!("--years {text:?}: a whole number from 2 to 20"))
        })?;
    }
    if let Some(text) = args.option("--seed") {
        options.seed = text
            .parse()
            .map_err(|_| Stop::Failed(format!("--seed {text:?}: a whole number from 0")))?;
    }
    let path = Path::new(args.name(0));
    let begun = Instant::now();
    let mut told = |done, total| {
        world.progress("writing", i64::from(done), i64::from(total));
        true
    };
    let summary = demo::write(path, &options, &mut told);
    world.progress_done();
    let summary = summary.map_err(|e| Stop::because(e.to_string()))?;
    let seconds = begun.elapsed().as_secs_f64();
    let mebibytes = summary.bytes as f64 / f64::from(1 << 20);
    writeln!(
        world.err,
        "{} events, {} teardown sheets, {mebibytes:.1} MiB in {seconds:.1} s",
        summary.events, summary.sheets
    )?;
    writeln!(
        world.out,
        "{} written, head {}",
        path.display(),
        summary.head
    )?;
    Ok(Ending::Done)
}
