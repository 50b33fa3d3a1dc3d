//! Hands a file to the machine's own programs: its viewer, its printer. What is not there is said with what to do.

use std::path::Path;
use std::process::{Command, ExitStatus, Stdio};
use std::time::Duration;

/// How often, and how long each time, a viewer is given to say that it cannot.
const LOOKS: u32 = 20;
const LOOK: Duration = Duration::from_millis(75);

/// Opens a file with the program that the system has for it; does not wait until that is closed.
pub(super) fn open(path: &Path) -> Result<(), String> {
    open_with(opener(path), path)
}

fn open_with(mut command: Command, path: &Path) -> Result<(), String> {
    let by_hand = |why: &str| {
        format!(
            "There is no program here that opens a PDF ({why}). The file stands at {}: open it by hand.",
            path.display()
        )
    };
    let started = command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    let mut child = started.map_err(|e| by_hand(&e.to_string()))?;
    // One that finds no viewer ends at once; one that became the viewer goes on.
    for _ in 0..LOOKS {
        match child.try_wait() {
            Ok(None) => std::thread::sleep(LOOK),
            Ok(Some(status)) if is_refused(status) => return Err(by_hand(&status.to_string())),
            Ok(Some(_)) | Err(_) => return Ok(()),
        }
    }
    Ok(())
}

/// The file manager of Windows ends with 1 whatever it did.
fn is_refused(status: ExitStatus) -> bool {
    !status.success() && !cfg!(target_os = "windows")
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
                let why = match why.trim().trim_end_matches('.') {
                    "" => run.status.to_string(),
                    why => format!("{command} says: {why}"),
                };
                return Err(format!(
                    "The printer did not take it ({why}). Save the PDF and print it from a viewer."
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
    fn a_viewer_that_is_missing_or_gives_up_is_told_and_one_that_stays_is_not_waited_for() {
        let path = Path::new("x.pdf");
        for refusing in ["chockbook-no-such-command", "false"] {
            let told = open_with(Command::new(refusing), path).unwrap_err();
            assert!(told.contains("open it by hand"), "{told}");
        }
        assert_eq!(open_with(Command::new("true"), path), Ok(()));
        let mut staying = Command::new("sleep");
        staying.arg("3");
        assert_eq!(open_with(staying, path), Ok(()));
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
