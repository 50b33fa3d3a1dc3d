//! `chockbook calc`: one calculation of the trade, JSON in, JSON out.

use calc::method::{Method, by_name, methods};
use serde_json::Value;

use super::args::{Args, Shape};
use super::{Ending, Stop, Verb, World};

pub(super) const VERB: Verb = Verb {
    name: "calc",
    shape: Shape {
        names: &["[NAME]"],
        options: &[],
        switches: &["--list", "--help"],
    },
    about: "calculate: one JSON object on standard input, one on standard output",
    details: "
--list         all calculations with inputs, outputs and source
NAME --help    one of them with formula, ranges and cautions
A wrong input exits 2 and names its key; any verdict exits 0.
Example: echo '{\"nominal_mm\":620,\"class\":\"H7\"}' | chockbook calc tolerance
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    if args.has("--list") {
        for method in methods() {
            list(method, world)?;
        }
        return Ok(Ending::Done);
    }
    let names = || {
        methods()
            .iter()
            .map(|method| method.name)
            .collect::<Vec<_>>()
            .join(", ")
    };
    if args.name(0).is_empty() {
        return Err(Stop::Failed(format!(
            "which one? There is {}; see `chockbook calc --list`",
            names()
        )));
    }
    let method = by_name(args.name(0)).ok_or_else(|| {
        Stop::Failed(format!(
            "{:?} is no calculation; there is {}",
            args.name(0),
            names()
        ))
    })?;
    if args.has("--help") {
        explain(method, world)?;
        return Ok(Ending::Done);
    }
    let input = read(world, method.name)?;
    let worked = (method.run)(&input).map_err(|e| {
        Stop::Failed(format!(
            "{}: {e}; see `chockbook calc {0} --help`",
            method.name
        ))
    })?;
    writeln!(world.out, "{}", worked.output)?;
    Ok(Ending::Done)
}

fn read(world: &mut World<'_>, name: &str) -> Result<Value, Stop> {
    let mut text = String::new();
    let failed = |why: String| {
        Stop::Failed(format!(
            "{name}: the input {why}: give one JSON object, see `chockbook calc {name} --help`"
        ))
    };
    world
        .input
        .read_to_string(&mut text)
        .map_err(|e| failed(format!("cannot be read ({e})")))?;
    let text = text.trim_start_matches('\u{feff}');
    let value = store::line::read_once(text).map_err(|e| failed(format!("is not JSON ({e})")))?;
    if value.is_object() {
        Ok(value)
    } else {
        Err(failed("is no object".into()))
    }
}

/// A key with its unit where the key does not say it already.
fn described(key: &str, unit: &str, meaning: &str) -> String {
    if unit.is_empty() {
        format!("{key}: {meaning}")
    } else {
        format!("{key} [{unit}]: {meaning}")
    }
}

fn list(method: &Method, world: &mut World<'_>) -> Result<(), Stop> {
    let out = &mut *world.out;
    writeln!(out, "{}  {}", method.name, method.title)?;
    for param in method.inputs {
        let need = if param.required {
            ""
        } else {
            " (may be left out)"
        };
        writeln!(
            out,
            "  in   {}{need}",
            described(param.key, param.unit, param.meaning)
        )?;
    }
    for output in method.outputs {
        writeln!(
            out,
            "  out  {}",
            described(output.key, output.unit, output.meaning)
        )?;
    }
    writeln!(out, "  source  {}\n", method.source)?;
    Ok(())
}

fn explain(method: &Method, world: &mut World<'_>) -> Result<(), Stop> {
    let out = &mut *world.out;
    writeln!(
        out,
        "{}: {}\n\n{}\n\nInputs",
        method.name, method.title, method.summary
    )?;
    for param in method.inputs {
        let need = if param.required {
            ""
        } else {
            "; may be left out"
        };
        writeln!(out, "  {}", described(param.key, param.unit, param.meaning))?;
        writeln!(out, "      {}{need}", param.range)?;
    }
    writeln!(out, "\nOutputs")?;
    for output in method.outputs {
        writeln!(
            out,
            "  {}",
            described(output.key, output.unit, output.meaning)
        )?;
    }
    writeln!(
        out,
        "\nFormula\n  {}\n\nSource\n  {}",
        method.formula.replace('\n', "\n  "),
        method.source
    )?;
    writeln!(out, "\nExample\n  {}", method.example)?;
    if !method.cautions.is_empty() {
        writeln!(out, "\nMind")?;
    }
    for caution in method.cautions {
        writeln!(out, "  {caution}")?;
    }
    Ok(())
}
