//! What F1 shows about a page: the pages of the handbook, built into the program.

use std::borrow::Cow;

use calc::method::{Method, handbook};

use super::route::{Route, SetupPage};
use crate::ui::frames::{self, HelpPart};

/// A page of the handbook.
#[derive(Debug, Clone)]
pub struct Page {
    /// Its title.
    pub title: String,
    text: Cow<'static, str>,
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
        Route::Today => page!("today"),
        Route::Log => page!("log"),
        Route::Tell | Route::TellOf(..) => page!("what-happened"),
        Route::Bearings => page!("bearings"),
        Route::Bearing(_) => page!("bearing"),
        Route::Chocks => page!("chocks"),
        Route::Chock(_) => page!("chock"),
        Route::Stands => stands_and_forecast(),
        Route::Bench => page!("bench"),
        Route::Documents(..) => page!("documents"),
        Route::Setup(SetupPage::Care, _) => of_care(),
        Route::Setup(..) => page!("setup"),
        Route::Thing(_) => page!("thing"),
        Route::Gauge(_) => page!("gauge"),
        Route::Event(_) => page!("entry"),
        Route::Signed(_) => page!("signed-sheet"),
        Route::Sheet(_) => page!("teardown-sheet"),
    }
}

/// The page about backups, and below it that about the record.
pub fn of_care() -> Page {
    let (care, record): (Page, Page) = (page!("backups"), page!("record"));
    Page {
        text: format!("{}\n{}", care.text, record.text).into(),
        ..care
    }
}

/// The page about the stands, and below it that about forecasts.
fn stands_and_forecast() -> Page {
    let (stands, forecast): (Page, Page) = (page!("stands"), page!("forecast"));
    Page {
        text: format!("{}\n{}", stands.text, forecast.text).into(),
        ..stands
    }
}

/// The page about a mounting sheet.
pub fn mounting() -> Page {
    page!("mounting-sheet")
}

/// The page about the welcome screen.
pub fn welcome() -> Page {
    page!("welcome")
}

/// The page about a method, made from its description, and below it that about the bench.
pub fn of_method(method: &Method) -> Page {
    let bench = of(Route::Bench);
    let page = read(handbook(method));
    Page {
        text: format!("{}\n{}", page.text, bench.text).into(),
        ..page
    }
}

/// A text of the handbook: `# title`, then parts that begin with `## head`.
fn read(text: impl Into<Cow<'static, str>>) -> Page {
    let text = text.into();
    let (first, rest) = text.split_once('\n').unwrap_or((&text, ""));
    let title = first.trim_start_matches('#').trim().to_owned();
    let rest = match &text {
        Cow::Borrowed(whole) => Cow::Borrowed(&whole[whole.len() - rest.len()..]),
        Cow::Owned(_) => Cow::Owned(rest.to_owned()),
    };
    Page { title, text: rest }
}

impl Page {
    /// Its parts as head and text, in order. A line end is a space, as the files are set to a width; only what begins
    /// with a dash begins a line.
    pub fn parts(&self) -> Vec<(&str, String)> {
        let parts = self
            .text
            .split("## ")
            .filter_map(|part| part.split_once('\n'));
        parts
            .map(|(head, text)| (head.trim(), flowing(text)))
            .filter(|(head, text)| !head.is_empty() && !text.is_empty())
            .collect()
    }

    /// Shows it with the keys; true once it is closed.
    pub fn show(&self, ctx: &egui::Context) -> bool {
        let parts = self.parts();
        let parts: Vec<_> = parts
            .iter()
            .map(|(head, text)| HelpPart { head, text })
            .collect();
        frames::help_sheet(ctx, &self.title, &parts)
    }
}

/// A text without the line ends of its file.
fn flowing(text: &str) -> String {
    let mut flowing = String::new();
    for line in text.lines() {
        let line = line.trim();
        let is_item = line.starts_with("- ");
        for (i, word) in line.split_whitespace().enumerate() {
            if !flowing.is_empty() {
                flowing.push(if i == 0 && is_item { '\n' } else { ' ' });
            }
            flowing.push_str(word);
        }
    }
    flowing
}

#[cfg(test)]
mod tests {
    use store::ThingNo;
    use store::draft::DraftId;

    use super::*;

    #[test]
    fn every_route_has_a_page_with_a_title_and_parts() {
        let routes = [
            Route::Today,
            Route::Log,
            Route::Bearings,
            Route::Bearing(ThingNo(1)),
            Route::Chocks,
            Route::Chock(ThingNo(1)),
            Route::Bench,
            Route::Setup(SetupPage::People, None),
            Route::Setup(SetupPage::Care, None),
            Route::Sheet(DraftId(1)),
        ];
        let methods = calc::method::methods()
            .iter()
            .map(|method| of_method(method));
        for page in routes.map(of).into_iter().chain([welcome()]).chain(methods) {
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
