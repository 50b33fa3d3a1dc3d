//! `chockbook log`: events and sheets from a file or a pipe, one JSON object a line.
//!
//! `signed ORIGIN:SEQ HASH` is written, and flushed, only after the commit of that line is on disk.

use std::fs::File;
use std::io::{BufRead, BufReader};

use store::draft::Fields;
use store::entry::{LengthUnit, Show};
use store::form::ToSign;
use store::line::{self, Line};
use store::mounting;
use store::query::KeptWear;
use store::sheet::{self, SignedSheet};
use store::{Access, Logbook, Signed, Signer, Stamp};

use super::args::{Args, Opt, Shape};
use super::{Ending, Stop, Verb, World};
use crate::print::{counted, title};
use crate::win::snapshot::Settings;

pub(super) const VERB: Verb = Verb {
    name: "log",
    shape: Shape {
        names: &["FILE"],
        options: &[
            Opt::needed("--from", "-|SHEETS.jsonl"),
            Opt::needed("--person", "NAME"),
            Opt::may("--ordered-by", "NAME"),
        ],
        switches: &["--explain"],
    },
    about: "sign events and sheets, one JSON object a line",
    details: "
--from -|SHEETS.jsonl    standard input, or a file; empty lines and lines that begin with # are passed over
--person NAME            who signs; the PIN is read from CHOCKBOOK_PIN
--ordered-by NAME        the engineer who orders regrinds or releases doubt; PIN from CHOCKBOOK_ORDER_PIN
--explain                after a teardown: its verdicts, recommendation, reasons and decision, indented

For each line one `signed ORIGIN:SEQ HASH`, only once it is on disk. At a line that cannot be signed the work
stops with exit 2; what was signed before stays signed.
Kinds: {kinds}
Example: {\"kind\":\"hold\",\"thing\":\"TH-4T-031\",\"reason\":\"brown tint on a rib\"}
",
    run,
};

/// The kinds of lines, as the reader has them, in lines that begin under the first.
pub(super) fn kinds() -> String {
    const WIDTH: usize = 110;
    let mut text = String::new();
    let mut at = 0;
    for kind in line::KINDS {
        if at + kind.len() > WIDTH {
            text.push_str("\n      ");
            at = 0;
        }
        if !text.is_empty() {
            text.push(' ');
        }
        text.push_str(kind);
        at += kind.len() + 1;
    }
    text
}

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let mut logbook = world.open(args.name(0))?;
    if let Access::Read { why } = logbook.access() {
        return Err(Stop::Failed(format!(
            "nothing can be signed in {}: {why}",
            args.name(0)
        )));
    }
    let person = args.needed("--person");
    let signer = logbook.sign_in(person, &world.pin("CHOCKBOOK_PIN", person)?)?;
    let engineer = match args.option("--ordered-by") {
        Some(name) => Some(logbook.sign_in(name, &world.pin("CHOCKBOOK_ORDER_PIN", name)?)?),
        None => None,
    };
    let from = args.needed("--from");
    let mut file;
    let (source, input): (&str, &mut dyn BufRead) = if from == "-" {
        ("standard input", &mut *world.input)
    } else {
        file = BufReader::new(
            File::open(from).map_err(|e| Stop::Failed(format!("cannot read {from}: {e}")))?,
        );
        (from, &mut file)
    };
    let show = Settings::read(&logbook)?.show;
    let mut clerk = Clerk {
        logbook: &mut logbook,
        signer,
        engineer,
        show: args.has("--explain").then_some(show),
        wear: KeptWear::default(),
    };
    let mut signed = 0;
    let mut number = 0;
    loop {
        number += 1;
        let text = match next_line(input) {
            Ok(Some(text)) => text,
            Ok(None) => return Ok(Ending::Done),
            Err(why) => return Err(stopped(source, number, signed, &why)),
        };
        let text = text.trim_start_matches('\u{feff}').trim();
        if text.is_empty() || text.starts_with('#') {
            continue;
        }
        let record = clerk
            .sign(text)
            .map_err(|e| stopped(source, number, signed, &e.to_string()))?;
        signed += 1;
        let told = write!(world.out, "{record}").and_then(|()| world.out.flush());
        told.map_err(|e| {
            stopped(
                source,
                number + 1,
                signed,
                &format!("the answer cannot be written any more ({e})"),
            )
        })?;
    }
}

/// The error at a line: what, where, what stands already, what to do.
fn stopped(source: &str, number: usize, signed: usize, why: &str) -> Stop {
    let before = match signed {
        0 => "nothing was signed before it".to_owned(),
        count => format!(
            "{} signed before it, and stay signed",
            counted(count, "line")
        ),
    };
    Stop::Failed(format!(
        "{source}, line {number}: {why}\n  {before}; nothing of line {number} was written. Mend it and go on from there"
    ))
}

fn next_line(input: &mut dyn BufRead) -> Result<Option<String>, String> {
    let mut bytes = Vec::new();
    match input.read_until(b'\n', &mut bytes) {
        Ok(0) => Ok(None),
        Ok(_) => String::from_utf8(bytes)
            .map(Some)
            .map_err(|_| "is not UTF-8 text: save it as UTF-8".into()),
        Err(e) => Err(format!("cannot be read: {e}")),
    }
}

/// Somebody who has signed in, with the logbook before them.
struct Clerk<'a> {
    logbook: &'a mut Logbook,
    signer: Signer,
    engineer: Option<Signer>,
    /// How to show what a sheet says, where that was asked for.
    show: Option<Show>,
    /// The wear of the shop, for what is expected of a bearing.
    wear: KeptWear,
}

impl Clerk<'_> {
    /// Signs one line; what comes back is to be told, the record is on disk.
    fn sign(&mut self, text: &str) -> store::Result<String> {
        match line::read(self.logbook, text)? {
            Line::Event(event) => {
                let signed = self.logbook.append(Some(&self.signer), &[event])?;
                Ok(signed.iter().map(told).collect())
            }
            Line::WithFile { event, file } => {
                let signed = self
                    .logbook
                    .append_with_file(Some(&self.signer), &event, &file)?;
                Ok(signed.iter().map(told).collect())
            }
            Line::Mounting { at, fields } => {
                let sheet = to_sign(&self.signer, self.engineer.as_ref(), &fields, at);
                let signed = mounting::sign(self.logbook, &sheet)?;
                let explained = match self.show {
                    Some(show) => explain_mounting(&signed.assessment, show),
                    None => String::new(),
                };
                Ok(told(&signed.signed) + &explained)
            }
            Line::Teardown { at, fields } => {
                self.wear.refresh(self.logbook.connection())?;
                let sheet = ToSign {
                    wear: self.wear.wear(),
                    ..to_sign(&self.signer, self.engineer.as_ref(), &fields, at)
                };
                let signed = sheet::sign(self.logbook, &sheet)?;
                let explained = match self.show {
                    Some(show) => explain(self.logbook, &signed, show)?,
                    None => String::new(),
                };
                Ok(told(&signed.signed) + &explained)
            }
        }
    }
}

/// A sheet of a line, with the people who sign it.
fn to_sign<'a>(
    signer: &'a Signer,
    engineer: Option<&'a Signer>,
    fields: &'a Fields,
    at: Stamp,
) -> ToSign<'a> {
    ToSign {
        fields,
        draft: None,
        at: Some(at),
        entered: None,
        signer,
        engineer,
        unit: LengthUnit::Millimetre,
        wear: None,
    }
}

fn told(signed: &Signed) -> String {
    format!(
        "signed {}:{} {}\n",
        signed.id.origin.hex(),
        signed.id.seq,
        signed.hash_hex()
    )
}

/// What a mounting sheet says.
fn explain_mounting(a: &mounting::MountAssessment, show: Show) -> String {
    let check = |check: &mounting::Check| {
        let value = show.with_unit(check.quantity, check.value);
        format!("  {}: {value}, {}\n", check.title, check.verdict.word())
    };
    let said = a.says.iter().map(|(_, words)| format!("  {words}\n"));
    a.checks.iter().map(check).chain(said).collect()
}

/// What a sheet says, from the record that is on disk.
fn explain(logbook: &Logbook, signed: &SignedSheet, show: Show) -> store::Result<String> {
    let mut lines = Vec::new();
    if let Some(detail) = store::query::sheet_detail(logbook.connection(), signed.signed.no, show)?
    {
        for v in &detail.body.verdicts {
            // Of a whole bearing the row that decides is told.
            let value = store::sheet::whole(v, &detail.body)
                .value_nm
                .map_or_else(|| "not measured".into(), |nm| show.length_unit(nm));
            lines.push(format!(
                "{}: {value}, {}",
                title(v, &detail, show),
                v.verdict.replace('_', " ")
            ));
        }
    }
    lines.push(format!(
        "recommended: {}",
        signed.assessment.recommendation.disposition.words()
    ));
    lines.extend(
        signed
            .assessment
            .reasons(show)
            .into_iter()
            .map(|reason| format!("because: {reason}")),
    );
    lines.extend(
        signed
            .assessment
            .decided
            .map(|d| format!("decided: {}", d.words())),
    );
    Ok(lines
        .into_iter()
        .flat_map(|line| ["  ".into(), line, "\n".into()])
        .collect())
}
