//! `chockbook new`: an empty logbook.

use std::path::Path;

use store::Logbook;
use store::payload::Role;

use super::args::{Args, Opt, Shape};
use super::{Ending, Stop, Verb, World};

pub(super) const VERB: Verb = Verb {
    name: "new",
    shape: Shape {
        names: &["FILE"],
        options: &[Opt::may("--plant", "NAME"), Opt::may("--engineer", "NAME")],
        switches: &[],
    },
    about: "make an empty logbook",
    details: "
FILE                usually ends in .chockbook; a file that is there is never overwritten
--plant NAME        name of the plant, on every page and print (without it, the name of the file)
--engineer NAME     the first engineer, who registers everybody else; the PIN is read from CHOCKBOOK_PIN.
                    Without it the first engineer is made in the window.
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let path = Path::new(args.name(0));
    let stem = path
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .unwrap_or_default();
    let plant = args.option("--plant").unwrap_or(&stem).trim().to_owned();
    let engineer = match args.option("--engineer") {
        Some(name) => Some((name, world.pin("CHOCKBOOK_PIN", name)?)),
        None => None,
    };
    let mut logbook = Logbook::create(path, (world.hands)(), &plant)?;
    if let Some((name, pin)) = &engineer
        && let Err(error) = logbook.register_person(None, None, name, Role::Engineer, pin)
    {
        // Whole or not at all: a logbook without the engineer asked for is not what was asked for.
        drop(logbook);
        let _removed = std::fs::remove_file(path);
        return Err(Stop::Failed(format!("{error}; no logbook was made")));
    }
    writeln!(world.out, "made {} for {plant}", path.display())?;
    match engineer {
        Some((name, _)) => writeln!(world.out, "engineer {name} registered")?,
        None => writeln!(
            world.out,
            "nobody is registered yet: the first engineer is made in the window, or with \
             `chockbook new FILE --engineer NAME` and the PIN in CHOCKBOOK_PIN"
        )?,
    }
    Ok(Ending::Done)
}
