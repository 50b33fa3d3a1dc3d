//! Starts the window: OpenGL first, the other renderer where that fails, clear words where neither works.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use draw::Theme;

use super::app::{App, Start};
use super::closing::Closing;
use crate::hands;
use crate::ui::theme;

/// Smallest window in which every sheet is whole.
const SIZE_MIN: [f32; 2] = [1024.0, 700.0];
const SIZE: [f32; 2] = [1280.0, 800.0];

/// Shows the window until it is closed. Exit code 2 where none can be shown.
pub fn start(file: Option<&Path>) -> ExitCode {
    let closing = Closing::default();
    let shown = show(file, &closing);
    // The window is gone; the program ends when the backups are made.
    closing.finish();
    shown
}

fn show(file: Option<&Path>, closing: &Closing) -> ExitCode {
    let has_shown = Arc::new(AtomicBool::new(false));
    let mut reasons = Vec::new();
    // OpenGL first: with software rendering the other is three to four times slower.
    for renderer in [eframe::Renderer::Glow, eframe::Renderer::Wgpu] {
        let attempt =
            AssertUnwindSafe(|| run(renderer, file.map(Path::to_owned), closing, &has_shown));
        // It can panic as well as fail.
        let is_hopeless = match catch_unwind(attempt) {
            Ok(Ok(())) => return ExitCode::SUCCESS,
            Ok(Err(error)) => {
                reasons.push(format!("{renderer}: {}", plain(&error.to_string())));
                // Without a screen no renderer helps.
                matches!(
                    error,
                    eframe::Error::Winit(_) | eframe::Error::WinitEventLoop(_)
                )
            }
            Err(_) => {
                reasons.push(format!("{renderer}: it stopped"));
                false
            }
        };
        if has_shown.load(Ordering::SeqCst) {
            eprintln!(
                "chockbook: the window stopped unexpectedly ({}).",
                reasons.join("; ")
            );
            eprintln!("What was typed is kept. Start the program again; the draft comes back.");
            return ExitCode::from(2);
        }
        if is_hopeless {
            break;
        }
    }
    eprintln!(
        "chockbook: no window can be shown here ({}).",
        reasons.join("; ")
    );
    eprintln!("Without a screen use the command line: chockbook --help");
    ExitCode::from(2)
}

/// A reason without the place in the source where it was found.
fn plain(reason: &str) -> &str {
    let after = reason
        .rsplit_once(".rs:")
        .and_then(|(_, rest)| rest.split_once(": "));
    after
        .map_or(reason, |(_, words)| words)
        .trim_end_matches('.')
}

fn run(
    renderer: eframe::Renderer,
    file: Option<PathBuf>,
    closing: &Closing,
    has_shown: &Arc<AtomicBool>,
) -> eframe::Result {
    let closing = closing.clone();
    let has_shown = Arc::clone(has_shown);
    let creator: eframe::AppCreator<'_> = Box::new(move |cc| {
        has_shown.store(true, Ordering::SeqCst);
        let ctx = cc.egui_ctx.clone();
        let start = Start {
            file,
            hands: Arc::new(hands::system),
            wake: Arc::new(move || ctx.request_repaint()),
            config: hands::config_folder(),
            theme: forced_theme(),
            closing,
        };
        theme::install(&cc.egui_ctx);
        Ok(Box::new(App::new(start)))
    });
    eframe::run_native("chockbook", options(renderer), creator)
}

fn options(renderer: eframe::Renderer) -> eframe::NativeOptions {
    let viewport = egui::ViewportBuilder::default()
        .with_title("Chockbook")
        .with_app_id("chockbook")
        .with_inner_size(SIZE)
        .with_min_inner_size(SIZE_MIN)
        .with_icon(icon());
    eframe::NativeOptions {
        viewport,
        renderer,
        ..eframe::NativeOptions::default()
    }
}

/// The icon of the task bar; a window without one is better than none.
fn icon() -> egui::IconData {
    let png = include_bytes!("../../../../assets/icons/chockbook-128.png");
    eframe::icon_data::from_png_bytes(png).unwrap_or_default()
}

/// `CHOCKBOOK_THEME=day|night` shows a theme whatever the logbook says, for pictures.
fn forced_theme() -> Option<Theme> {
    match std::env::var("CHOCKBOOK_THEME").ok()?.as_str() {
        "day" => Some(Theme::Day),
        "night" => Some(Theme::Night),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_is_told_without_the_place_in_the_source() {
        let told = "winit EventLoopError: os error at /x/winit/mod.rs:765: no DISPLAY is set.";
        assert_eq!(plain(told), "no DISPLAY is set");
        assert_eq!(plain("the driver is too old"), "the driver is too old");
    }
}
