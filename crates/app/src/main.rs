//! Starts the window, or the command line where a verb is given.

use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args_os()
        .skip(1)
        .map(|arg| arg.to_string_lossy().into_owned())
        .collect();
    match args.first() {
        None => app::win::start::start(None),
        Some(first) if !first.starts_with('-') && args.len() == 1 && app::cli::is_file(first) => {
            let file = std::env::args_os().nth(1).map(PathBuf::from);
            app::win::start::start(file.as_deref())
        }
        Some(_) => app::cli::run(&args),
    }
}
