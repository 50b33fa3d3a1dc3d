//! `chockbook backup`: a copy of the logbook that is whole and was checked.

use std::path::Path;

use store::backup::back_up;

use super::args::{Args, Shape};
use super::{Ending, Stop, Verb, World};
use crate::print::counted;

pub(super) const VERB: Verb = Verb {
    name: "backup",
    shape: Shape {
        names: &["FILE", "TO"],
        options: &[],
        switches: &[],
    },
    about: "write a checked copy of the logbook into a folder",
    details: "
FILE    the logbook; it may be open in the window meanwhile
TO      a folder, best on another disk or computer; the copy is named after the logbook and the time

The copy is written whole or not at all and then verified. To go on from it, copy it to where the logbook stood: it
starts a chain of its own that names where it comes from. Nothing is ever overwritten or deleted.
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let now = (world.hands)().clock.now();
    let mut told = |done, total| {
        world.progress("checking", done, total);
        true
    };
    let made = back_up(
        Path::new(args.name(0)),
        Path::new(args.name(1)),
        now,
        &mut told,
    );
    world.progress_done();
    let made = made?.ok_or_else(|| Stop::because("the backup was stopped; nothing was left"))?;
    let events = counted(usize::try_from(made.events).unwrap_or(usize::MAX), "event");
    writeln!(world.out, "{}: {events}, verified", made.path.display())?;
    Ok(Ending::Done)
}
