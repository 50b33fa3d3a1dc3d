//! Pictures and papers: kept by their hashes, carried by copies, and missed by `verify` where they are gone or altered.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::Path;

use common::{Shop, findings, hands, number, picture, strings, verify};
use store::attachment::{self, hash_of};
use store::backup::{back_up, restore, salvage};
use store::draft::Source;
use store::merge::merge;
use store::query::documents_of;
use store::{Logbook, Signed, Stamp, ThingNo};

fn attach(shop: &mut Shop, thing: &str, what: &str, file: &Path) -> store::Result<Signed> {
    shop.log(&format!(
        r#"{{"kind":"attached","thing":"{thing}","what":"{what}","file":{:?},"text":"as seen"}}"#,
        file.display().to_string()
    ))
}

fn write(shop: &Shop, name: &str, bytes: &[u8]) -> std::path::PathBuf {
    let path = shop.dir.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    path
}

/// A shop with a photo of a bearing and a certificate of a gauge.
fn shop() -> Shop {
    let mut shop = Shop::new();
    let photo = write(&shop, "ring.png", &picture(2_000, 1_200));
    let paper = write(&shop, "C-1.pdf", b"%PDF-1.7 certificate");
    attach(&mut shop, "TH-4T-001", "photo", &photo).unwrap();
    attach(&mut shop, "BG-03", "certificate", &paper).unwrap();
    shop
}

fn thing(logbook: &Logbook, code: &str) -> ThingNo {
    let sql = format!("SELECT no FROM thing WHERE code = '{code}'");
    ThingNo(number(logbook.connection(), &sql))
}

#[test]
fn a_photo_is_made_smaller_and_a_paper_is_kept_as_it_is() {
    let shop = shop();
    let conn = shop.logbook.connection();
    let photos = documents_of(conn, thing(&shop.logbook, "TH-4T-001")).unwrap();
    assert_eq!(photos.len(), 1);
    let photo = &photos[0];
    assert!(photo.is_here && photo.media == "image/jpeg" && photo.name == "ring.png");
    assert!(photo.bytes <= 400_000);
    let content = attachment::content(conn, &photo.hash).unwrap().unwrap();
    assert_eq!(hash_of(&content), photo.hash);
    let kept = image::load_from_memory(&content).unwrap();
    assert_eq!((kept.width(), kept.height()), (1_600, 960));
    assert!(
        photo
            .thumbnail
            .as_ref()
            .is_some_and(|small| small.len() < 20_000)
    );
    let papers = documents_of(conn, thing(&shop.logbook, "BG-03")).unwrap();
    let paper = attachment::content(conn, &papers[0].hash).unwrap().unwrap();
    assert_eq!(paper, b"%PDF-1.7 certificate");
    let payload = strings(
        conn,
        "SELECT payload ->> 'file' FROM event WHERE kind = 'attached'",
    );
    assert!(
        payload[0].contains(&hash_of(&picture(2_000, 1_200))),
        "the original's hash is noted"
    );
    let (_dir, path, _) = shop.close();
    assert_eq!(findings(&verify(&path, None)), "");
}

#[test]
fn what_is_no_file_of_ours_is_refused_and_nothing_is_kept() {
    let mut shop = Shop::new();
    for (name, bytes, why) in [
        ("empty.jpg", Vec::new(), "is empty"),
        (
            "torn.png",
            picture(300, 200)[..400].to_vec(),
            "cannot be read",
        ),
        ("tool.exe", vec![0, 159, 146, 150], "neither a picture"),
    ] {
        let file = write(&shop, name, &bytes);
        let said = attach(&mut shop, "TH-4T-001", "photo", &file)
            .unwrap_err()
            .to_string();
        assert!(said.contains(why) && said.contains(name), "{said}");
    }
    let gone = shop.dir.path().join("gone.jpg");
    let said = attach(&mut shop, "TH-4T-001", "photo", &gone)
        .unwrap_err()
        .to_string();
    assert!(said.contains("gone.jpg"), "{said}");
    let folder = shop.dir.path().to_owned();
    assert!(attach(&mut shop, "TH-4T-001", "photo", &folder).is_err());
    let photo = write(&shop, "ring.png", &picture(30, 20));
    assert!(attach(&mut shop, "TH-4T-001", "selfie", &photo).is_err());
    assert_eq!(
        number(shop.logbook.connection(), "SELECT count(*) FROM attachment"),
        0
    );
}

#[test]
fn a_backup_has_the_contents_in_its_folder_and_a_restore_brings_them_back() {
    let shop = shop();
    let folder = tempfile::tempdir().unwrap();
    let now = Stamp::second(shop.clock.ms(), 0);
    let backup = back_up(&shop.path, folder.path(), now, &mut |_, _| true)
        .unwrap()
        .unwrap();
    let conn = store::Connection::open(&backup.path).unwrap();
    assert_eq!(number(&conn, "SELECT count(*) FROM attachment_content"), 0);
    assert_eq!(number(&conn, "SELECT count(*) FROM attachment"), 2);
    drop(conn);
    let objects = folder.path().join(attachment::OBJECTS);
    assert_eq!(std::fs::read_dir(&objects).unwrap().count(), 2);
    assert_eq!(findings(&verify(&backup.path, None)), "");
    // A second one shares them.
    let later = Stamp::second(now.ms + 5_000, 0);
    back_up(&shop.path, folder.path(), later, &mut |_, _| true)
        .unwrap()
        .unwrap();
    assert_eq!(std::fs::read_dir(&objects).unwrap().count(), 2);
    let to = shop.dir.path().join("again.chockbook");
    restore(&backup.path, &to, None, &mut |_, _| true)
        .unwrap()
        .unwrap();
    let again = Logbook::open(&to, hands(&shop.clock, 60)).unwrap();
    let photo = &documents_of(again.connection(), thing(&again, "TH-4T-001")).unwrap()[0];
    assert!(photo.is_here);
    drop(again);
    // What is altered in the folder is not taken over for what was signed.
    let hash = photo.hash.clone();
    std::fs::write(objects.join(&hash), b"another picture").unwrap();
    let said = findings(&verify(&backup.path, None));
    assert!(said.contains("ring.png"), "{said}");
    let worse = shop.dir.path().join("worse.chockbook");
    let refused = restore(&backup.path, &worse, None, &mut |_, _| true);
    assert!(refused.unwrap_err().to_string().contains("ring.png"));
}

#[test]
fn a_merge_and_a_salvage_carry_the_contents() {
    let mut shop = Shop::new();
    let path = shop.dir.path().join("north.chockbook");
    shop.logbook.write_compact(&path).unwrap();
    let photo = write(&shop, "ring.png", &picture(300, 200));
    attach(&mut shop, "TH-4T-001", "photo", &photo).unwrap();
    let mut north = Logbook::open(&path, hands(&shop.clock, 100)).unwrap();
    merge(&mut north, &shop.path, &mut |_, _| true).unwrap();
    let photo = &documents_of(north.connection(), thing(&north, "TH-4T-001")).unwrap()[0];
    assert!(photo.is_here);
    drop(north);
    assert_eq!(findings(&verify(&path, None)), "");
    let to = shop.dir.path().join("saved.chockbook");
    salvage(&path, &to, &mut |_, _| true).unwrap().unwrap();
    assert_eq!(findings(&verify(&to, None)), "");
}

#[test]
fn the_picture_of_a_draft_goes_with_it_when_it_is_thrown_away() {
    let mut shop = Shop::new();
    let file = attachment::prepare(&picture(120, 80), "ring.png").unwrap();
    shop.logbook.keep_file(&file).unwrap();
    let draft = shop.logbook.start_draft("teardown_sheet", None).unwrap();
    let text = serde_json::to_string(&file.file).unwrap();
    let changed = [("photo.0.1", text.as_str(), Source::Typed)];
    shop.logbook.keep_draft(draft, &changed, "").unwrap();
    let kept = "SELECT count(*) FROM attachment_content";
    assert_eq!(number(shop.logbook.connection(), kept), 1);
    shop.logbook.discard_draft(draft).unwrap();
    assert_eq!(number(shop.logbook.connection(), kept), 0);
}

/// A sheet names only what is here: otherwise nothing is signed.
#[test]
fn a_sheet_with_a_picture_that_is_gone_is_not_signed() {
    let mut shop = Shop::new();
    shop.work();
    shop.log(r#"{"kind":"dismounted","at":"2026-01-10","chock":"WC-41"}"#)
        .unwrap();
    let file = attachment::prepare(&picture(120, 80), "ring.png").unwrap();
    let mut fields = store::draft::Fields::new();
    for (path, text) in [
        ("identify.bearing", "TH-4T-002"),
        ("identify.chock", "WC-41"),
        ("skip.found", "late"),
        ("skip.clean", "late"),
        ("skip.findings", "late"),
        ("skip.clearance", "late"),
        ("skip.bore", "late"),
        ("skip.neck", "late"),
        ("decision.choice", "hold_for_engineer"),
        ("decision.reason", "looked at tomorrow"),
        ("photo.0.1", &serde_json::to_string(&file.file).unwrap()),
    ] {
        let field = store::draft::DraftField {
            text: text.into(),
            source: Source::Typed,
        };
        fields.insert(path.to_owned(), field);
    }
    let engineer = shop.engineer.clone();
    let sheet = store::sheet::SignTeardown {
        fields: &fields,
        draft: None,
        at: None,
        entered: None,
        signer: &engineer,
        engineer: Some(&engineer),
        unit: store::entry::LengthUnit::Millimetre,
        wear: None,
    };
    let said = store::sheet::sign(&mut shop.logbook, &sheet)
        .unwrap_err()
        .to_string();
    assert!(said.contains("ring.png"), "{said}");
    shop.logbook.keep_file(&file).unwrap();
    let signed = store::sheet::sign(&mut shop.logbook, &sheet).unwrap();
    let detail = store::query::sheet_detail(
        shop.logbook.connection(),
        signed.signed.no,
        store::entry::Show::default(),
    );
    assert_eq!(detail.unwrap().unwrap().documents.len(), 1);
    let (_dir, path, _) = shop.close();
    assert_eq!(findings(&verify(&path, None)), "");
}
