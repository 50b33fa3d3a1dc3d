//! Pictures and papers: kept in the logbook by the SHA-256 of their content, named by the events that they belong to.
//!
//! A picture is made smaller before it is kept (product: longest side 1,600 px, at most 400 kB, the hash of the file as
//! it came is noted); a paper is kept as it is. The contents stand in a table of their own: a backup has them as files
//! in the folder `objects` beside it, one a hash, shared by all backups of the folder.

mod picture;

use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension, Transaction, params};
use sha2::{Digest, Sha256};

use crate::error::{Result, StoreError};
use crate::logbook::{Logbook, NewEvent, Signed};
use crate::payload::KeptFile;
use crate::people::Signer;

/// Folder of the contents beside backups.
pub const OBJECTS: &str = "objects";
/// A file of the shop is not larger, bytes: 50 MB for a picture as it comes from a camera.
const COMES_MAX: u64 = 50_000_000;
/// A paper that is kept as it is, bytes.
const PAPER_MAX: usize = 20_000_000;

/// A file that is ready to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prepared {
    /// How events name it.
    pub file: KeptFile,
    /// What is kept.
    pub content: Vec<u8>,
    /// A small picture of it (JPEG); empty where there is none.
    pub thumbnail: Vec<u8>,
}

/// SHA-256, hexadecimal.
pub fn hash_of(content: &[u8]) -> String {
    Sha256::digest(content)
        .iter()
        .fold(String::with_capacity(64), |mut text, byte| {
            // Writing into a text does not fail.
            let _written = write!(text, "{byte:02x}");
            text
        })
}

/// Reads a file from outside and makes it ready. Takes a second for a large picture: not on the window's thread.
///
/// # Errors
/// Where it cannot be read, is too large, or is neither a picture (JPEG, PNG, WebP), nor a PDF, nor plain text.
pub fn read(path: &Path) -> Result<Prepared> {
    let io = |source| StoreError::Io {
        what: format!("cannot read {}", path.display()),
        source,
    };
    let meta = fs::metadata(path).map_err(io)?;
    if meta.is_dir() {
        return Err(StoreError::input(
            path.display().to_string(),
            "is a folder: name one file",
        ));
    }
    if meta.len() > COMES_MAX {
        return Err(StoreError::input(
            path.display().to_string(),
            "is over 50 MB: make it smaller first",
        ));
    }
    let bytes = fs::read(path).map_err(io)?;
    let name = path
        .file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    prepare(&bytes, &name)
}

/// Makes the bytes of a file ready to be kept.
///
/// # Errors
/// As [`read`].
pub fn prepare(bytes: &[u8], name: &str) -> Result<Prepared> {
    let original_hash = hash_of(bytes);
    let wrong = |why: &str| StoreError::input(name, why);
    let (media, content, thumbnail) = if bytes.is_empty() {
        return Err(wrong("is empty"));
    } else if bytes.starts_with(b"%PDF-") {
        ("application/pdf", bytes.to_vec(), Vec::new())
    } else if picture::is_picture(bytes) {
        let (content, thumbnail) = picture::smaller(bytes).map_err(|e| {
            wrong(&format!(
                "is a picture that cannot be read ({e}): take it again, or save it as JPEG"
            ))
        })?;
        ("image/jpeg", content, thumbnail)
    } else if std::str::from_utf8(bytes).is_ok_and(|text| !text.contains('\0')) {
        ("text/plain", bytes.to_vec(), Vec::new())
    } else {
        return Err(wrong(
            "is neither a picture (JPEG, PNG, WebP), nor a PDF, nor plain text",
        ));
    };
    if content.len() > PAPER_MAX {
        return Err(wrong("is over 20 MB: make it smaller first"));
    }
    Ok(Prepared {
        file: KeptFile {
            hash: hash_of(&content),
            name: name.into(),
            media: media.into(),
            bytes: content.len() as i64,
            original_hash,
            thumbnail_hash: if thumbnail.is_empty() {
                String::new()
            } else {
                hash_of(&thumbnail)
            },
        },
        content,
        thumbnail,
    })
}

impl Logbook {
    /// Signs an event that names a file, and keeps that file with it.
    pub fn append_with_file(
        &mut self,
        signer: Option<&Signer>,
        event: &NewEvent,
        file: &Prepared,
    ) -> Result<Vec<Signed>> {
        self.transact(|tx, origin, now| {
            put(tx, file)?;
            crate::append::write_events(tx, origin, std::slice::from_ref(event), signer, now)
        })
    }

    /// Keeps a picture for a draft; it goes again with a draft that is thrown away.
    pub fn keep_file(&mut self, file: &Prepared) -> Result<()> {
        self.transact_aside(|tx, _| put(tx, file))
    }

    /// Keeps a picture of a history that a generator tells.
    pub fn keep_files(&mut self, files: &[Prepared]) -> Result<()> {
        self.transact_aside(|tx, _| files.iter().try_for_each(|file| put(tx, file)))
    }
}

fn put(tx: &Transaction<'_>, file: &Prepared) -> Result<()> {
    let thumbnail = (!file.thumbnail.is_empty()).then_some(&file.thumbnail);
    tx.prepare_cached(
        "INSERT OR IGNORE INTO attachment (hash, media, bytes, thumbnail) VALUES (?1, ?2, ?3, ?4)",
    )?
    .execute(params![
        file.file.hash,
        file.file.media,
        file.file.bytes,
        thumbnail
    ])?;
    tx.prepare_cached("INSERT OR IGNORE INTO attachment_content (hash, content) VALUES (?1, ?2)")?
        .execute(params![file.file.hash, file.content])?;
    Ok(())
}

/// What is kept under a hash; none where it is not here, as in a backup without its folder.
pub fn content(conn: &Connection, hash: &str) -> Result<Option<Vec<u8>>> {
    let content = conn
        .prepare_cached("SELECT content FROM attachment_content WHERE hash = ?1")?
        .query_row([hash], |row| row.get(0));
    Ok(content.optional()?)
}

/// The small picture of what is kept under a hash.
pub fn thumbnail(conn: &Connection, hash: &str) -> Result<Option<Vec<u8>>> {
    let small = conn
        .prepare_cached("SELECT thumbnail FROM attachment WHERE hash = ?1")?
        .query_row([hash], |row| row.get::<_, Option<Vec<u8>>>(0));
    Ok(small.optional()?.flatten())
}

/// Takes away what no event and no draft names any more: pictures of drafts that were thrown away.
pub(crate) fn forget_unused(tx: &Transaction<'_>) -> Result<()> {
    let sql = "SELECT hash FROM attachment a WHERE hash NOT IN (SELECT hash FROM document)
                 AND NOT EXISTS (SELECT 1 FROM draft_field f WHERE instr(f.text, a.hash))
                 AND NOT EXISTS (SELECT 1 FROM event e WHERE e.kind IN ('attached', 'teardown_sheet', 'returned', 'seat_check')
                   AND instr(e.payload, a.hash))";
    let mut stmt = tx.prepare(sql)?;
    let unused: Vec<String> = stmt
        .query_map([], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    for hash in unused {
        tx.execute("DELETE FROM attachment_content WHERE hash = ?1", [&hash])?;
        tx.execute("DELETE FROM attachment WHERE hash = ?1", [&hash])?;
    }
    Ok(())
}

/// Takes over everything that another file keeps and this one does not. What does not fit its hash stays behind.
pub(crate) fn take_over(from: &Connection, to: &Connection) -> Result<()> {
    let mut stmt =
        from.prepare("SELECT hash, media, bytes, thumbnail FROM attachment ORDER BY hash")?;
    let mut rows = stmt.query([])?;
    while let Some(row) = rows.next()? {
        let (hash, media): (String, String) = (row.get(0)?, row.get(1)?);
        let (bytes, thumbnail): (i64, Option<Vec<u8>>) = (row.get(2)?, row.get(3)?);
        to.prepare_cached(
            "INSERT OR IGNORE INTO attachment (hash, media, bytes, thumbnail) VALUES (?1, ?2, ?3, ?4)",
        )?
        .execute(params![hash, media, bytes, thumbnail])?;
        if let Some(content) = content(from, &hash)?
            && hash_of(&content) == hash
        {
            to.prepare_cached(
                "INSERT OR IGNORE INTO attachment_content (hash, content) VALUES (?1, ?2)",
            )?
            .execute(params![hash, content])?;
        }
    }
    Ok(())
}

fn place(folder: &Path, hash: &str) -> PathBuf {
    folder.join(OBJECTS).join(hash)
}

/// Moves the contents of a copy into the folder of its backups: each file written beside its name and renamed, and left
/// alone where it is there already and fits.
pub(crate) fn move_out(copy: &Connection, folder: &Path) -> Result<()> {
    let mut stmt = copy.prepare("SELECT hash, content FROM attachment_content ORDER BY hash")?;
    let mut rows = stmt.query([])?;
    let mut is_any = false;
    while let Some(row) = rows.next()? {
        is_any = true;
        let (hash, content): (String, Vec<u8>) = (row.get(0)?, row.get(1)?);
        let target = place(folder, &hash);
        let is_there = fs::metadata(&target).is_ok_and(|m| m.len() == content.len() as u64)
            && fs::read(&target).is_ok_and(|there| hash_of(&there) == hash);
        if !is_there {
            write_whole(&target, &content).map_err(|source| StoreError::Io {
                what: format!("cannot write {}", target.display()),
                source,
            })?;
        }
    }
    drop(rows);
    drop(stmt);
    if is_any {
        copy.execute_batch("DELETE FROM attachment_content; VACUUM")?;
    }
    Ok(())
}

fn write_whole(target: &Path, content: &[u8]) -> std::io::Result<()> {
    if let Some(folder) = target.parent() {
        fs::create_dir_all(folder)?;
    }
    let part = target.with_extension("part");
    let mut file = fs::File::create(&part)?;
    file.write_all(content)?;
    file.sync_all()?;
    fs::rename(&part, target)
}

/// Brings the contents back from the folder of the backups; what is not there or does not fit its hash stays away, and
/// `verify` says so.
pub(crate) fn move_in(copy: &Connection, folder: &Path) -> Result<()> {
    let mut stmt = copy.prepare(
        "SELECT hash FROM attachment WHERE hash NOT IN (SELECT hash FROM attachment_content) ORDER BY hash",
    )?;
    let hashes: Vec<String> = stmt
        .query_map([], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    for hash in hashes {
        if let Some(content) = from_folder(folder, &hash) {
            copy.execute(
                "INSERT INTO attachment_content (hash, content) VALUES (?1, ?2)",
                params![hash, content],
            )?;
        }
    }
    Ok(())
}

/// A content out of the folder of the backups, where it is there and fits its hash.
pub(crate) fn from_folder(folder: &Path, hash: &str) -> Option<Vec<u8>> {
    let content = fs::read(place(folder, hash)).ok()?;
    (hash_of(&content) == hash).then_some(content)
}
