//! The typesetter in process: a template and its data in, pages and PDF bytes out.
//!
//! The template sees itself, `data.json` and the pictures that it is given, and nothing of the machine: no other file,
//! no package, no clock, no font but the two that are embedded.

use std::sync::OnceLock;

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use crate::{ReportError, UtcMoment, endings};

/// Documents that a cached result survives unused; the cache would only grow otherwise.
const CACHE_AGE: usize = 10;

/// What the file says about itself.
pub(crate) struct Properties {
    /// Stays the same for the same print.
    pub(crate) ident: String,
    /// Name and version of the program.
    pub(crate) creator: String,
    /// When it was printed.
    pub(crate) moment: UtcMoment,
}

/// Pictures by the name under which the template asks for them.
pub(crate) type Pictures = std::collections::BTreeMap<String, Vec<u8>>;

/// Sets a template with its data into pages.
pub(crate) fn pages(template: &str, data: String) -> Result<PagedDocument, ReportError> {
    pages_with(template, data, Pictures::new())
}

/// Sets a template with its data and pictures into pages.
pub(crate) fn pages_with(
    template: &str,
    data: String,
    pictures: Pictures,
) -> Result<PagedDocument, ReportError> {
    let files = pictures
        .into_iter()
        .map(|(name, bytes)| (file_id(&name), Bytes::new(bytes)));
    let world = Page {
        files: files.collect(),
        main: Source::new(main_id(), template.to_owned()),
        data: Bytes::from_string(data),
    };
    let result = typst::compile::<PagedDocument>(&world);
    typst::comemo::evict(CACHE_AGE);
    result.output.map_err(|errors| refused(&errors))
}

/// Writes pages as PDF/A-2a and PDF/UA-1.
pub(crate) fn to_pdf(
    document: &PagedDocument,
    properties: &Properties,
) -> Result<Vec<u8>, ReportError> {
    let m = properties.moment;
    let moment = Datetime::from_ymd_hms(
        i32::from(m.year),
        m.month,
        m.day,
        m.hour,
        m.minute,
        m.second,
    )
    .filter(|_| m.year <= 9_999)
    .ok_or(ReportError::NoDate(m))?;
    let standards = PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1])
        .map_err(|error| ReportError::Typeset(error.message().to_string()))?;
    let options = PdfOptions {
        ident: Smart::Custom(properties.ident.clone()),
        creator: Smart::Custom(Some(properties.creator.clone())),
        timestamp: Some(Timestamp::new_utc(moment)),
        standards,
        ..PdfOptions::default()
    };
    let pdf = typst_pdf::pdf(document, &options);
    typst::comemo::evict(CACHE_AGE);
    pdf.map(endings::unmistakable)
        .map_err(|errors| refused(&errors))
}

/// True if both weights can draw the character.
pub(crate) fn has_glyph(c: char) -> bool {
    fonts()
        .iter()
        .all(|font| font.info().coverage.contains(u32::from(c)))
}

fn refused(errors: &[SourceDiagnostic]) -> ReportError {
    let told: Vec<String> = errors
        .iter()
        .map(|error| error.message.to_string())
        .collect();
    ReportError::Typeset(told.join("; "))
}

/// One document to set.
struct Page {
    main: Source,
    data: Bytes,
    files: std::collections::HashMap<FileId, Bytes>,
}

impl World for Page {
    fn library(&self) -> &LazyHash<Library> {
        static LIBRARY: OnceLock<LazyHash<Library>> = OnceLock::new();
        LIBRARY.get_or_init(|| LazyHash::new(Library::default()))
    }

    fn book(&self) -> &LazyHash<FontBook> {
        static BOOK: OnceLock<LazyHash<FontBook>> = OnceLock::new();
        BOOK.get_or_init(|| LazyHash::new(FontBook::from_fonts(fonts())))
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() {
            Ok(self.main.clone())
        } else {
            Err(FileError::AccessDenied)
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == data_id() {
            Ok(self.data.clone())
        } else {
            self.files.get(&id).cloned().ok_or(FileError::AccessDenied)
        }
    }

    fn font(&self, index: usize) -> Option<Font> {
        fonts().get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn fonts() -> &'static [Font] {
    static FONTS: OnceLock<Vec<Font>> = OnceLock::new();
    FONTS.get_or_init(|| {
        let regular: &[u8] = include_bytes!("../../../assets/fonts/OpenSans-Regular.ttf");
        let semibold: &[u8] = include_bytes!("../../../assets/fonts/OpenSans-Semibold.ttf");
        [regular, semibold]
            .into_iter()
            .flat_map(|font| Font::iter(Bytes::new(font)))
            .collect()
    })
}

fn main_id() -> FileId {
    static ID: OnceLock<FileId> = OnceLock::new();
    *ID.get_or_init(|| file_id("main.typ"))
}

fn data_id() -> FileId {
    static ID: OnceLock<FileId> = OnceLock::new();
    *ID.get_or_init(|| file_id("data.json"))
}

fn file_id(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("a plain file name is a valid path");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_weights_of_the_font_are_there() {
        let weights: Vec<u16> = fonts()
            .iter()
            .map(|font| font.info().variant.weight.to_number())
            .collect();
        assert_eq!(weights, [400, 600]);
        assert!(
            fonts().iter().all(|font| font.info().family == "Open Sans"),
            "the template asks for this family"
        );
    }

    #[test]
    fn a_template_reaches_no_file_but_its_own() {
        for reach in [
            "#read(\"/etc/passwd\")",
            "#read(\"main.toml\")",
            "#import \"@preview/x:1.0.0\": *",
        ] {
            assert!(
                matches!(
                    pages(reach, String::from("{}")),
                    Err(ReportError::Typeset(_))
                ),
                "{reach} was allowed"
            );
        }
    }

    #[test]
    fn a_template_has_no_clock() {
        assert!(pages("#datetime.today().display()", String::from("{}")).is_err());
    }
}
