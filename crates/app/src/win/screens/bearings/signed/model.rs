//! A signed sheet as the page reads it from the logbook.

use store::draft::{DraftField, Fields, Source};
use store::payload::Reading;
use store::query::{SheetDetail, sheet_detail, type_of_sheet};
use store::sheet::{Facts, TypeFacts};
use store::{Logbook, ThingNo};

use super::laid::Laid;
use crate::win::snapshot::Settings;

/// A signed sheet with the things it names and the limits of its day.
#[derive(Debug, Clone)]
pub struct SignedModel {
    /// The sheet.
    pub detail: SheetDetail,
    /// Limits as they were on that day; none where the sheet names no bearing type.
    pub bearing_type: Option<TypeFacts>,
    /// The bearing's number here.
    pub bearing: Option<ThingNo>,
    /// The chock's number here.
    pub chock: Option<ThingNo>,
    /// Where on the page each thing of it stands.
    pub laid: Laid,
}

impl SignedModel {
    /// Reads it; none where the event is no sheet.
    ///
    /// # Errors
    /// What the store says.
    pub fn read(logbook: &Logbook, event: i64) -> store::Result<Option<Self>> {
        let conn = logbook.connection();
        let show = Settings::read(logbook)?.show;
        let Some(detail) = sheet_detail(conn, event, show)? else {
            return Ok(None);
        };
        let mut fields = Fields::new();
        for (path, code) in [
            ("identify.bearing", &detail.bearing),
            ("identify.chock", &detail.chock),
        ] {
            // A chock measured after outside work is named by its entry alone.
            let text = if code.is_empty() {
                detail.entry(path).unwrap_or_default()
            } else {
                code
            };
            if !text.is_empty() {
                fields.insert(
                    path.into(),
                    DraftField {
                        text: text.into(),
                        source: Source::Typed,
                    },
                );
            }
        }
        let facts =
            Facts::load(conn, &fields, detail.event.at)?.as_entered(conn, detail.event.entered)?;
        Ok(Some(Self {
            bearing: facts.bearing.map(|b| b.no),
            chock: facts.chock.map(|c| c.no),
            bearing_type: match facts.bearing_type {
                Some(of) => Some(of),
                None => type_of_sheet(conn, event)?
                    .map(|no| TypeFacts::load(conn, no, detail.event.at.ms))
                    .transpose()?,
            },
            laid: Laid::of(&detail, show),
            detail,
        }))
    }

    /// What it is: `Teardown of TH-4T-031`.
    pub fn title(&self) -> String {
        match &self.detail.teardown {
            Some(_) => format!("Teardown of {}", self.detail.bearing),
            None if self.detail.event.kind == "seat_check" => {
                let of = [&self.detail.roll, &self.detail.chock];
                let code = of.into_iter().find(|c| !c.is_empty());
                let side = match self.detail.side_words() {
                    "" => String::new(),
                    side => format!(", {side}"),
                };
                let code = code.map_or("", String::as_str);
                format!("{} of {code}{side}", self.detail.what())
            }
            None => format!("Measured on return: {}", self.chock_code()),
        }
    }

    /// When and where from.
    pub fn detail(&self) -> String {
        let d = &self.detail;
        let mut words = vec![d.event.at.date_time()];
        words.extend((!d.chock.is_empty()).then(|| format!("out of {}", d.chock)));
        words.extend((!d.position.is_empty()).then(|| format!("off {}", d.position)));
        words.extend((!d.inner_half.is_empty()).then(|| format!("over {}", d.inner_half)));
        words.push("signed".into());
        words.join(" \u{b7} ")
    }

    pub(super) fn chock_code(&self) -> &str {
        let code = self.detail.chock.as_str();
        if code.is_empty() {
            self.detail.entry("identify.chock").unwrap_or_default()
        } else {
            code
        }
    }

    pub(super) fn reading(&self, path: &str) -> Option<&Reading> {
        self.detail.body.readings.iter().find(|r| r.path == path)
    }

    /// The index of a verdict among those of the sheet.
    pub(super) fn verdict(&self, about: &str, item: usize) -> Option<usize> {
        self.detail
            .body
            .verdicts
            .iter()
            .position(|v| v.about == about && v.item == item as i64)
    }
}
