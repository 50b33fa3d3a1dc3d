//! The pictures of sheets: handed to the template as files, those that cannot be read named in their place.

use serde_json::{Value, json};

use crate::Photo;
use crate::typeset::Pictures;

/// Hands over the pictures of a sheet: `told` are its photos as data of the template, which get the name of their file,
/// or none where a picture cannot be read.
pub(crate) fn hand_over(photos: &[Photo], told: &mut Value, files: &mut Pictures) {
    for (photo, told) in photos.iter().zip(told.as_array_mut().into_iter().flatten()) {
        told["file"] = match ending(&photo.bytes) {
            Some(ending) => {
                // A number, whatever stands in the record: names of files are ours.
                let name = format!("picture-{}.{ending}", files.len());
                files.insert(name.clone(), photo.bytes.clone());
                json!(name)
            }
            None => Value::Null,
        };
    }
}

/// The sort of a picture that can be read whole. The typesetter would refuse the document for one that cannot.
fn ending(bytes: &[u8]) -> Option<&'static str> {
    let ending = match image::guess_format(bytes).ok()? {
        image::ImageFormat::Jpeg => "jpg",
        image::ImageFormat::Png => "png",
        _ => return None,
    };
    image::load_from_memory(bytes).ok().map(|_| ending)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// A small picture of one colour.
    pub(crate) fn picture(ending: image::ImageFormat) -> Vec<u8> {
        let mut bytes = std::io::Cursor::new(Vec::new());
        image::RgbImage::from_pixel(8, 6, image::Rgb([200, 30, 30]))
            .write_to(&mut bytes, ending)
            .unwrap();
        bytes.into_inner()
    }

    #[test]
    fn a_picture_is_known_by_its_bytes_and_a_broken_one_is_none() {
        let jpeg = picture(image::ImageFormat::Jpeg);
        assert_eq!(ending(&jpeg), Some("jpg"));
        assert_eq!(ending(&picture(image::ImageFormat::Png)), Some("png"));
        for broken in [&jpeg[..jpeg.len() / 3], b"no picture", b""] {
            assert_eq!(ending(broken), None);
        }
    }
}
