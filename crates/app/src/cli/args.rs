//! Reading arguments: names in their order, options with a value (`--to X` or `--to=X`), switches.

use std::collections::BTreeMap;
use std::fmt;

/// The value of an option that may stand several times ends so in the help.
const MANY: &str = "...";

/// What may follow a verb.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    /// Names in their order, as the help shows them; one in brackets may be left out.
    pub(super) names: &'static [&'static str],
    /// Options with a value.
    pub(super) options: &'static [Opt],
    /// Options without one.
    pub(super) switches: &'static [&'static str],
}

/// An option with a value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Opt {
    /// With its dashes.
    pub(super) name: &'static str,
    /// What stands for the value in the help.
    pub(super) value: &'static str,
    /// Whether the verb cannot do without.
    pub(super) is_needed: bool,
}

impl Opt {
    pub(super) const fn needed(name: &'static str, value: &'static str) -> Self {
        Self {
            name,
            value,
            is_needed: true,
        }
    }

    pub(super) const fn may(name: &'static str, value: &'static str) -> Self {
        Self {
            name,
            value,
            is_needed: false,
        }
    }
}

/// What followed a verb.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Args {
    names: Vec<String>,
    options: BTreeMap<&'static str, String>,
    switches: Vec<&'static str>,
}

impl Args {
    /// The name at a place; [`Shape::read`] has seen to it that needed ones are there.
    pub(super) fn name(&self, at: usize) -> &str {
        self.names.get(at).map_or("", String::as_str)
    }

    /// The value of an option.
    pub(super) fn option(&self, name: &str) -> Option<&str> {
        self.options.get(name).map(String::as_str)
    }

    /// All values of an option that may stand several times.
    pub(super) fn many(&self, name: &str) -> Vec<&str> {
        self.option(name)
            .map_or_else(Vec::new, |all| all.lines().collect())
    }

    /// The value of an option that the shape calls needed.
    pub(super) fn needed(&self, name: &str) -> &str {
        self.option(name).unwrap_or("")
    }

    /// Whether a switch is set.
    pub(super) fn has(&self, switch: &str) -> bool {
        self.switches.contains(&switch)
    }
}

impl Shape {
    /// Reads what follows a verb, or says what is wrong with it.
    pub(super) fn read(&self, rest: &[String]) -> Result<Args, String> {
        let mut args = Args::default();
        let mut rest = rest.iter();
        let mut is_past_options = false;
        while let Some(arg) = rest.next() {
            if is_past_options || arg == "-" || !arg.starts_with('-') {
                if args.names.len() == self.names.len() {
                    return Err(format!("{arg:?} is one name too many"));
                }
                args.names.push(arg.clone());
                continue;
            }
            if arg == "--" {
                is_past_options = true;
                continue;
            }
            let (name, given) = match arg.split_once('=') {
                Some((name, value)) => (name, Some(value.to_owned())),
                None => (arg.as_str(), None),
            };
            if let Some(switch) = self.switches.iter().find(|switch| **switch == name) {
                if given.is_some() {
                    return Err(format!("{name} takes no value"));
                }
                args.switches.push(switch);
                continue;
            }
            let option = self
                .options
                .iter()
                .find(|option| option.name == name)
                .ok_or_else(|| self.unknown(name))?;
            let value = match given {
                Some(value) => value,
                None => rest
                    .next()
                    .cloned()
                    .ok_or_else(|| format!("{name} wants a value: {name} {}", option.value))?,
            };
            if value.is_empty() {
                return Err(format!("{name} wants a value: {name} {}", option.value));
            }
            match args.options.get_mut(option.name) {
                None => drop(args.options.insert(option.name, value)),
                Some(before) if option.value.ends_with(MANY) => {
                    before.push('\n');
                    before.push_str(&value);
                }
                Some(_) => return Err(format!("{name} stands twice")),
            }
        }
        self.missing(&args).map_or(Ok(args), Err)
    }

    fn unknown(&self, name: &str) -> String {
        let known: Vec<&str> = self
            .options
            .iter()
            .map(|o| o.name)
            .chain(self.switches.iter().copied())
            .collect();
        match known.as_slice() {
            [] => format!("{name} is no option here; there is none"),
            known => format!("{name} is no option here; there is {}", known.join(", ")),
        }
    }

    fn missing(&self, args: &Args) -> Option<String> {
        let name = self
            .names
            .get(args.names.len())
            .filter(|name| !name.starts_with('['));
        if let Some(name) = name {
            return Some(format!("{name} is missing"));
        }
        let option = self
            .options
            .iter()
            .find(|o| o.is_needed && !args.options.contains_key(o.name))?;
        Some(format!("{} {} is missing", option.name, option.value))
    }
}

impl fmt::Display for Shape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let names = self.names.iter().map(|name| (*name).to_owned());
        let options = self.options.iter().map(|o| {
            let text = format!("{} {}", o.name, o.value);
            if o.is_needed {
                text
            } else {
                format!("[{text}]")
            }
        });
        let switches = self.switches.iter().map(|switch| format!("[{switch}]"));
        f.write_str(
            &names
                .chain(options)
                .chain(switches)
                .collect::<Vec<_>>()
                .join(" "),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHAPE: Shape = Shape {
        names: &["FILE", "[WHAT]"],
        options: &[Opt::needed("--to", "OUT"), Opt::may("--at", "TIME")],
        switches: &["--explain"],
    };

    fn read(line: &str) -> Result<Args, String> {
        SHAPE.read(
            &line
                .split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>(),
        )
    }

    #[test]
    fn names_options_and_switches_stand_in_any_order() {
        for line in [
            "a.chockbook --to out --explain",
            "--explain --to=out a.chockbook",
            "--to out --explain -- a.chockbook",
        ] {
            let args = read(line).unwrap();
            assert_eq!((args.name(0), args.name(1)), ("a.chockbook", ""), "{line}");
            assert_eq!(args.needed("--to"), "out", "{line}");
            assert_eq!(args.option("--at"), None);
            assert!(args.has("--explain"));
        }
        assert_eq!(read("- --to -").unwrap().needed("--to"), "-");
        assert_eq!(
            read("-- --to=x"),
            Err("--to OUT is missing".into()),
            "what follows -- is a name"
        );
    }

    #[test]
    fn what_is_wrong_is_named() {
        for (line, what) in [
            ("--to x", "FILE is missing"),
            ("a", "--to OUT is missing"),
            ("a b c --to x", "\"c\" is one name too many"),
            ("a --to", "--to wants a value: --to OUT"),
            ("a --to=", "--to wants a value: --to OUT"),
            ("a --to x --to y", "--to stands twice"),
            ("a --to x --explain=1", "--explain takes no value"),
            (
                "a --too x",
                "--too is no option here; there is --to, --at, --explain",
            ),
        ] {
            assert_eq!(read(line), Err(what.to_owned()), "{line}");
        }
    }

    #[test]
    fn the_help_shows_what_may_be_left_out() {
        assert_eq!(
            SHAPE.to_string(),
            "FILE [WHAT] --to OUT [--at TIME] [--explain]"
        );
    }
}
