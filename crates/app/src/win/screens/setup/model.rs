//! What the setup shows, read from the logbook.

use std::collections::{BTreeMap, HashMap};

use store::entry::Show;
use store::payload::Record;
use store::query::{
    BearingLine, ChockLine, Held, RegisterTable, StandPlaces, TypeVersion, bearings, chocks,
    find_things, holds, record, register_table, stand_places, thing_page, type_versions,
};
use store::{Connection, Logbook, Stamp, ThingNo};

use super::page::Page;

/// Something in the register that a field may name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thing {
    /// Its number here.
    pub no: ThingNo,
    /// The word in the file.
    pub entity: String,
    /// Its code.
    pub code: String,
    /// A few words about it.
    pub detail: String,
}

/// One thing that is open, as it stands.
#[derive(Debug, Clone)]
pub struct Opened {
    /// The thing.
    pub no: ThingNo,
    /// Its record.
    pub record: Record,
    /// The day of its last change.
    pub since: String,
    /// Its row of the table: codes of what it refers to stand here.
    pub cells: Vec<String>,
    /// Where it is and what speaks against it, in sentences; of a thing without a page of its own kind.
    pub standing: Vec<String>,
    /// The versions of a bearing type.
    pub versions: Vec<TypeVersion>,
    /// Its holds that are not released, newest first.
    pub holds: Vec<Held>,
    /// The bearing type whose limits the seats of a roll or a chock are judged by, as a rule.
    pub judged_by: Option<String>,
    /// In how many planes the bore of a chock is measured.
    pub bore_planes: Option<usize>,
}

/// What the setup shows.
#[derive(Debug, Clone, Default)]
pub struct Model {
    /// The page that it was read for.
    pub page: Option<Page>,
    /// The table of the page.
    pub table: RegisterTable,
    /// Everything in the register.
    pub things: Vec<Thing>,
    /// How many things there are of each word in the file.
    pub counts: BTreeMap<String, usize>,
    /// The thing that is open.
    pub opened: Option<Opened>,
    /// Where the bearings are; on their page only.
    pub bearings: Vec<BearingLine>,
    /// Where the chocks are; on the pages of bearings and chocks only.
    pub chocks: Vec<ChockLine>,
    /// The last event as an anchor; on the page of the file only.
    pub anchor: Option<String>,
    /// The stands with their positions; on the pages of both only.
    pub stands: Vec<StandPlaces>,
    /// Size of the file, bytes; on its page only.
    pub size: Option<u64>,
    /// Places in `things` by sort and by code in capitals: a pasted table asks ten thousand times.
    codes: HashMap<(String, String), usize>,
}

/// What the model is read for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Key {
    /// The page.
    pub page: Page,
    /// The thing that is open.
    pub thing: Option<ThingNo>,
    /// How lengths are shown in the table.
    pub show: Show,
}

impl Model {
    /// Reads it.
    ///
    /// # Errors
    /// What the store says.
    pub fn read(logbook: &Logbook, key: &Key) -> store::Result<Self> {
        let conn = logbook.connection();
        let now = logbook.now();
        let mut model = Self {
            page: Some(key.page),
            ..Self::default()
        };
        // What is found by its code leaves out lines and whoever has left; here they count.
        for found in find_things(conn)?
            .into_iter()
            .filter(|f| !matches!(f.entity.as_str(), "line" | "person"))
        {
            model.things.push(Thing {
                no: found.no,
                entity: found.entity,
                code: found.code,
                detail: found.detail,
            });
        }
        for entity in ["line", "person"] {
            for row in register_table(conn, entity, now, key.show)?.rows {
                let mut cells = row.cells.into_iter();
                let (code, detail) = (
                    cells.next().unwrap_or_default(),
                    cells.next().unwrap_or_default(),
                );
                model.things.push(Thing {
                    no: row.no,
                    entity: entity.into(),
                    code,
                    detail,
                });
            }
        }
        model.index();
        if let Some(entity) = key.page.entity() {
            model.table = register_table(conn, entity, now, key.show)?;
        } else {
            model.anchor = logbook.anchor()?;
            model.size = std::fs::metadata(logbook.path()).ok().map(|m| m.len());
        }
        if key.page == Page::Bearings {
            model.bearings = bearings(conn)?;
        }
        if matches!(key.page, Page::Stands | Page::Positions) {
            model.stands = stand_places(conn)?;
        }
        if matches!(key.page, Page::Bearings | Page::Chocks | Page::Rolls) {
            model.chocks = chocks(conn)?;
        }
        if let Some(no) = key.thing
            && let Some((record, since)) = record(conn, no)?
        {
            let cells = model
                .table
                .rows
                .iter()
                .find(|row| row.no == no)
                .map(|row| row.cells.clone());
            model.opened = Some(Opened {
                no,
                record,
                since: since.date(),
                cells: cells.unwrap_or_default(),
                standing: standing(conn, key, no, now)?,
                versions: if key.page == Page::BearingTypes {
                    type_versions(conn, no)?
                } else {
                    Vec::new()
                },
                holds: holds(conn, no)?,
                bore_planes: store::sheet::planes_of_chock(conn, no)?,
                judged_by: if matches!(key.page, Page::Rolls | Page::Chocks) {
                    store::sheet::judged_by(conn, no)?
                } else {
                    None
                },
            });
        }
        Ok(model)
    }

    /// Makes its things found by their codes, and counted.
    fn index(&mut self) {
        for (index, thing) in self.things.iter().enumerate() {
            let code = thing.code.to_ascii_uppercase();
            self.codes
                .entry((thing.entity.clone(), code))
                .or_insert(index);
            *self.counts.entry(thing.entity.clone()).or_default() += 1;
        }
    }

    /// A register of nothing but codes.
    #[cfg(test)]
    pub fn of_codes(codes: &[(&str, &str)]) -> Self {
        let thing = |(no, (entity, code)): (i64, &(&str, &str))| Thing {
            no: ThingNo(no),
            entity: (*entity).into(),
            code: (*code).into(),
            detail: String::new(),
        };
        let mut model = Self {
            things: (1..).zip(codes).map(thing).collect(),
            ..Self::default()
        };
        model.index();
        model
    }

    /// The things of one sort.
    pub fn of<'a>(&'a self, entity: &'a str) -> impl Iterator<Item = &'a Thing> {
        self.things.iter().filter(move |t| t.entity == entity)
    }

    /// A thing by its code, however it is spelt.
    pub fn find(&self, entity: &str, code: &str) -> Option<&Thing> {
        let key = (entity.to_owned(), code.trim().to_ascii_uppercase());
        self.codes.get(&key).map(|index| &self.things[*index])
    }

    /// How many things a page has.
    pub fn count(&self, page: Page) -> usize {
        page.entity()
            .and_then(|entity| self.counts.get(entity))
            .copied()
            .unwrap_or(0)
    }
}

/// Where a thing is that neither a bearing's nor a chock's line tells.
fn standing(conn: &Connection, key: &Key, no: ThingNo, now: Stamp) -> store::Result<Vec<String>> {
    let told = matches!(
        key.page,
        Page::Rolls | Page::Gauges | Page::Positions | Page::SealBatches | Page::Greases
    );
    if !told {
        return Ok(Vec::new());
    }
    let page = thing_page(conn, no, now, key.show)?;
    Ok(page
        .map(|page| {
            let beside = page
                .beside
                .into_iter()
                .take(3)
                .map(|(.., words)| words + ".");
            page.state.into_iter().chain(beside).collect()
        })
        .unwrap_or_default())
}
