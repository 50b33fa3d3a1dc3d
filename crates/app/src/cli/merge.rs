//! `chockbook merge`: takes in what another copy of the logbook has written.

use std::path::Path;

use store::merge::merge;

use super::args::{Args, Shape};
use super::{Ending, Stop, Verb, World};
use crate::print::counted;

pub(super) const VERB: Verb = Verb {
    name: "merge",
    shape: Shape {
        names: &["FILE", "OTHER"],
        options: &[],
        switches: &[],
    },
    about: "take in what another copy has written; exit 1 where conflicts are open afterwards",
    details: "
FILE     the logbook that takes in; written whole or not at all
OTHER    another copy of it, which is only read

Every event keeps its name, its signature and its hash. Two different events of one name stop the merge. What cannot
be true together is listed as conflicts in the Log, for the engineer to settle.
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let mut logbook = world.open(args.name(0))?;
    let mut told = |done, total| {
        world.progress("deriving", done, total);
        true
    };
    let brought = merge(&mut logbook, Path::new(args.name(1)), &mut told);
    world.progress_done();
    let brought =
        brought?.ok_or_else(|| Stop::because("the merge was stopped; nothing was changed"))?;
    let out = &mut *world.out;
    if brought.events == 0 {
        writeln!(out, "nothing new in {}", args.name(1))?;
    }
    for (origin, first, last) in &brought.origins {
        let events = counted(usize::try_from(last - first + 1).unwrap_or(0), "event");
        writeln!(out, "{}: {events}, {first} to {last}", origin.short())?;
    }
    if brought.conflicts == 0 {
        return Ok(Ending::Done);
    }
    let open = counted(usize::try_from(brought.conflicts).unwrap_or(0), "event");
    writeln!(
        out,
        "{open} in conflict: they cannot be true beside the others. The engineer settles them in the Log."
    )?;
    Ok(Ending::DoesNotHold)
}
