//! Hands a file to the machine's own programs: its viewer, its printer. What is not there is said with what to do.

use std::path::Path;
use std::process::{Command, Stdio};

/// Opens a file with the program that the system has for it; does not wait for that.
pub(super) fn open(path: &Path) -> Result<(), String> {
    let mut command = opener(path);
    let started = command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    started.map(drop).map_err(|e| {
        format!(
            "There is no program here that opens a PDF ({e}). The file stands at {}: open it by hand.",
            path.display()
        )
    })
}

#[cfg(target_os = "windows")]
fn opener(path: &Path) -> Command {
    let mut command = Command::new("explorer");
    command.arg(path);
    command
}

#[cfg(target_os = "macos")]
fn opener(path: &Path) -> Command {
    let mut command = Command::new("open");
    command.arg(path);
    command
}

#[cfg(not(any(target_os = "windows", target_os = "macos")))]
fn opener(path: &Path) -> Command {
    let mut command = Command::new("xdg-open");
    command.arg(path);
    command
}

/// Sends a file to the system's printer; the command that took it.
pub(super) fn send_to_printer(path: &Path) -> Result<&'static str, String> {
    send_with(&["lp", "lpr"], path)
}

fn send_with(commands: &[&'static str], path: &Path) -> Result<&'static str, String> {
    for command in commands {
        let run = Command::new(command)
            .arg(path)
            .stdin(Stdio::null())
            .output();
        match run {
            // Not there: the next may be.
            Err(_) => {}
            Ok(run) if run.status.success() => return Ok(command),
            Ok(run) => {
                let why = String::from_utf8_lossy(&run.stderr);
                return Err(format!(
                    "The printer did not take it: {}. Save the PDF and print it from a viewer.",
                    why.trim()
                ));
            }
        }
    }
    Err(format!(
        "There is no print command here ({}). Open the document and print it from the viewer, or save the PDF.",
        commands.join(", ")
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_print_command_that_is_missing_or_refuses_is_told_with_the_way_out() {
        let path = Path::new("x.pdf");
        let told = send_with(&["chockbook-no-such-command"], path).unwrap_err();
        assert!(told.contains("save the PDF"), "{told}");
    }

    #[cfg(unix)]
    #[test]
    fn the_first_command_that_is_there_is_taken_and_its_refusal_told() {
        let path = Path::new("x.pdf");
        assert_eq!(
            send_with(&["chockbook-no-such-command", "true"], path),
            Ok("true")
        );
        let told = send_with(&["false", "true"], path).unwrap_err();
        assert!(told.contains("did not take it"), "{told}");
    }
}
