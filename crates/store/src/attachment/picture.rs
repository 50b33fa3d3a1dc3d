//! A picture as the logbook keeps it: upright, at most 1,600 px and 400 kB, and a small one to show in lists.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageError, ImageReader};

/// Longest side, px.
const SIDE_MAX: u32 = 1_600;
/// Largest content, bytes.
const BYTES_MAX: usize = 400_000;
/// Longest side of the small one, px.
const SMALL: u32 = 192;
/// A picture from outside has no side longer than this, px: more is no photo of a bearing.
const COMES_SIDE_MAX: u32 = 20_000;

/// True for the first bytes of a picture that can be read.
pub(super) fn is_picture(bytes: &[u8]) -> bool {
    image::guess_format(bytes).is_ok()
}

/// The picture made smaller, and the small one: JPEG.
pub(super) fn smaller(bytes: &[u8]) -> Result<(Vec<u8>, Vec<u8>), ImageError> {
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format()?;
    let mut limits = image::Limits::default();
    limits.max_image_width = Some(COMES_SIDE_MAX);
    limits.max_image_height = Some(COMES_SIDE_MAX);
    reader.limits(limits);
    let mut decoder = reader.into_decoder()?;
    let orientation = decoder.orientation()?;
    let mut picture = DynamicImage::from_decoder(decoder)?;
    picture.apply_orientation(orientation);
    // Transparent places would turn black.
    let mut picture = on_white(picture);
    let mut side = SIDE_MAX;
    loop {
        if picture.width().max(picture.height()) > side {
            picture = picture.resize(side, side, FilterType::Triangle);
        }
        for quality in [85, 70, 50] {
            let content = jpeg(&picture, quality)?;
            if content.len() <= BYTES_MAX {
                let small = picture.resize(SMALL, SMALL, FilterType::Triangle);
                return Ok((content, jpeg(&small, 75)?));
            }
        }
        side = side * 3 / 4;
    }
}

fn on_white(picture: DynamicImage) -> DynamicImage {
    if !picture.color().has_alpha() {
        return DynamicImage::ImageRgb8(picture.into_rgb8());
    }
    let mut rgba = picture.into_rgba8();
    for pixel in rgba.pixels_mut() {
        let alpha = u32::from(pixel.0[3]);
        for channel in &mut pixel.0[..3] {
            *channel = ((u32::from(*channel) * alpha + 255 * (255 - alpha)) / 255) as u8;
        }
    }
    DynamicImage::ImageRgb8(DynamicImage::ImageRgba8(rgba).into_rgb8())
}

fn jpeg(picture: &DynamicImage, quality: u8) -> Result<Vec<u8>, ImageError> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, quality).encode_image(picture)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture that no compression makes small: noise by a fixed rule.
    fn noise(width: u32, height: u32) -> DynamicImage {
        let mut state = 12_345_u32;
        DynamicImage::ImageRgb8(image::RgbImage::from_fn(width, height, |_, _| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let [a, b, c, _] = state.to_be_bytes();
            image::Rgb([a, b, c])
        }))
    }

    fn png(picture: &DynamicImage) -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        picture
            .write_to(&mut bytes, image::ImageFormat::Png)
            .unwrap();
        bytes.into_inner()
    }

    #[test]
    fn the_largest_and_noisiest_picture_fits() {
        let (content, small) = smaller(&png(&noise(2_400, 1_700))).unwrap();
        assert!(content.len() <= BYTES_MAX, "{}", content.len());
        let kept = image::load_from_memory(&content).unwrap();
        assert!(kept.width().max(kept.height()) <= SIDE_MAX);
        let small = image::load_from_memory(&small).unwrap();
        assert_eq!(small.width().max(small.height()), SMALL);
    }

    #[test]
    fn a_small_picture_keeps_its_size_and_a_clear_place_becomes_white() {
        let clear = DynamicImage::ImageRgba8(image::RgbaImage::new(40, 30));
        let (content, _) = smaller(&png(&clear)).unwrap();
        let kept = image::load_from_memory(&content).unwrap().into_rgb8();
        assert_eq!(kept.dimensions(), (40, 30));
        assert!(kept.get_pixel(20, 15).0.iter().all(|c| *c > 250));
    }

    #[test]
    fn a_torn_picture_is_refused() {
        let whole = png(&noise(60, 40));
        assert!(is_picture(&whole));
        assert!(smaller(&whole[..whole.len() / 2]).is_err());
    }
}
