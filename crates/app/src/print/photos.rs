//! The pictures of a sheet and the papers of a thing.

use report::{Labelled, Photo};
use store::query::{Document, SheetDetail};
use store::{Connection, attachment};

use super::{Result, labelled};

/// How large pictures are printed from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Size {
    /// From the small picture that is kept with each: hundreds of them in one document.
    Small,
    /// From the picture itself.
    Whole,
}

/// The pictures of a sheet; what is not here or cannot be read is told by its hash.
pub(super) fn of_sheet(conn: &Connection, detail: &SheetDetail, size: Size) -> Result<Vec<Photo>> {
    let mut photos = Vec::new();
    for document in detail.documents.iter().rev() {
        let whole = match size {
            Size::Whole => attachment::content(conn, &document.hash)?,
            Size::Small => None,
        };
        photos.push(Photo {
            caption: caption(document),
            hash: document.hash.clone(),
            bytes: whole
                .or_else(|| document.thumbnail.clone())
                .unwrap_or_default(),
        });
    }
    Ok(photos)
}

fn caption(document: &Document) -> String {
    let of = match document.finding {
        0 => "the whole".to_owned(),
        number => format!("finding {number}"),
    };
    let parts = [of, document.name.clone(), document.note.clone()];
    let told: Vec<String> = parts.into_iter().filter(|p| !p.is_empty()).collect();
    told.join(", ")
}

/// What is kept with a thing itself, as rows of its identity: certificates, drawings, pictures, with their hashes.
pub(super) fn papers(documents: &[Document]) -> Vec<Labelled> {
    documents
        .iter()
        .rev()
        .map(|document| {
            let hash = document.hash.get(..16).unwrap_or(&document.hash);
            let note = if document.note.is_empty() {
                String::new()
            } else {
                format!(", {}", document.note)
            };
            let (name, day) = (&document.name, document.at.date());
            let text = format!("{name}, {day}{note} (SHA-256 {hash}\u{2026})");
            labelled(document.what.clone(), text)
        })
        .collect()
}
