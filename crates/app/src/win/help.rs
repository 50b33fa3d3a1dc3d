//! What F1 shows about a page: the pages of the handbook, built into the program.

use super::route::Route;
use crate::ui::frames::{self, HelpPart};

/// A page of the handbook.
#[derive(Debug, Clone, Copy)]
pub struct Page {
    /// Its title.
    pub title: &'static str,
    text: &'static str,
}

macro_rules! page {
    ($name:literal) => {
        read(include_str!(concat!(
            "../../../../assets/handbook/",
            $name,
            ".md"
        )))
    };
}

/// The page about a route.
pub fn of(route: Route) -> Page {
    match route {
        Route::Log => page!("log"),
        Route::Bearings => page!("bearings"),
        Route::Bearing(_) => page!("bearing"),
        Route::Chocks => page!("chocks"),
        Route::Chock(_) => page!("chock"),
        Route::Setup(..) => page!("setup"),
        Route::Signed(_) => page!("signed-sheet"),
        Route::Sheet(_) => page!("teardown-sheet"),
    }
}

/// The page about the welcome screen.
pub fn welcome() -> Page {
    page!("welcome")
}

/// A text of the handbook: `# title`, then parts that begin with `## head`.
fn read(text: &'static str) -> Page {
    let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
    Page {
        title: first.trim_start_matches('#').trim(),
        text: rest,
    }
}

impl Page {
    /// Its parts as head and text, in order. A line end is a space, as the files are set to a width.
    pub fn parts(self) -> Vec<(&'static str, String)> {
        let parts = self
            .text
            .split("## ")
            .filter_map(|part| part.split_once('\n'));
        parts
            .map(|(head, text)| {
                (
                    head.trim(),
                    text.split_whitespace().collect::<Vec<_>>().join(" "),
                )
            })
            .filter(|(head, text)| !head.is_empty() && !text.is_empty())
            .collect()
    }

    /// Shows it with the keys; true once it is closed.
    pub fn show(self, ctx: &egui::Context) -> bool {
        let parts = self.parts();
        let parts: Vec<_> = parts
            .iter()
            .map(|(head, text)| HelpPart { head, text })
            .collect();
        frames::help_sheet(ctx, self.title, &parts)
    }
}

#[cfg(test)]
mod tests {
    use store::ThingNo;
    use store::draft::DraftId;

    use super::*;
    use crate::win::route::SetupPage;

    #[test]
    fn every_route_has_a_page_with_a_title_and_parts() {
        let routes = [
            Route::Log,
            Route::Bearings,
            Route::Bearing(ThingNo(1)),
            Route::Chocks,
            Route::Chock(ThingNo(1)),
            Route::Setup(SetupPage::People, None),
            Route::Sheet(DraftId(1)),
        ];
        for page in routes.map(of).into_iter().chain([welcome()]) {
            assert!(!page.title.is_empty());
            assert!(!page.parts().is_empty(), "{}", page.title);
            for (_, text) in page.parts() {
                assert!(
                    !text.contains('#') && !text.contains("  "),
                    "{}: {text}",
                    page.title
                );
            }
        }
    }
}
