//! Photographs made fit for paper: turned as the camera held them, no finer than print can show, and without what a camera writes
//! beside the picture, place and time above all. The only file that knows the image crate; knows no page.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::Arc;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};

use super::{PressError, keys};
use crate::base::picture::{PictureFile, PictureKind};
use crate::binder::document::Document;

/// Dots an inch beyond which print shows no more of a photograph.
const DOTS: f64 = 220.0;

/// Of 100, as the encoder counts; finer shows on no paper.
const QUALITY: u8 = 85;

/// More picture elements than these are no photograph for a binder.
const MOST_ELEMENTS: u64 = 100_000_000;

fn format(kind: PictureKind) -> Option<ImageFormat> {
    match kind {
        PictureKind::Jpeg => Some(ImageFormat::Jpeg),
        PictureKind::Png => Some(ImageFormat::Png),
        PictureKind::Svg => None,
    }
}

/// Looks at a picture's head and end without unpacking it.
///
/// # Errors
/// Why it cannot be printed, as a part of a sentence: "it ends too early".
pub fn look(bytes: &[u8], kind: PictureKind) -> Result<(), String> {
    let Some(format) = format(kind) else {
        return std::str::from_utf8(bytes).map_or(Ok(()), drawing);
    };
    let size = ImageReader::with_format(Cursor::new(bytes), format).into_dimensions();
    let (width, height) = size.map_err(|_| "its head cannot be read".to_owned())?;
    if u64::from(width) * u64::from(height) > MOST_ELEMENTS {
        return Err(format!(
            "it has {width} by {height} picture elements, more than 100 million"
        ));
    }
    let end: &[u8] = match kind {
        PictureKind::Jpeg => b"\xff\xd9",
        _ => b"IEND",
    };
    // Some cameras write a little behind the end.
    let tail = bytes.get(bytes.len().saturating_sub(1 << 16)..).unwrap_or(bytes);
    if tail.windows(end.len()).any(|part| part == end) {
        Ok(())
    } else {
        Err("it ends too early, as if it had been copied in part".to_owned())
    }
}

/// A drawing is shown, not run, and reads nothing from elsewhere.
fn drawing(text: &str) -> Result<(), String> {
    let lower = text.to_ascii_lowercase();
    if lower.contains("<script") || lower.contains("javascript:") {
        return Err("it holds a script".to_owned());
    }
    for part in lower.split("href").skip(1) {
        let value = part.trim_start().strip_prefix('=').map(str::trim_start);
        let value = value.and_then(|value| value.strip_prefix(['"', '\'']));
        if value.is_some_and(|value| !value.starts_with('#') && !value.starts_with("data:")) {
            return Err("it links to something outside itself".to_owned());
        }
    }
    Ok(())
}

/// Makes every photograph of a document fit for paper. Drawings stay as they are.
///
/// # Errors
/// Pictures that cannot be unpacked.
pub fn prepare(document: &mut Document) -> Result<(), PressError> {
    let mut widths: BTreeMap<String, u16> = BTreeMap::new();
    for used in keys::pictures(document) {
        let width = widths.entry(used.key.clone()).or_default();
        *width = (*width).max(used.width);
    }
    let mut broken = Vec::new();
    for picture in &mut document.pictures {
        let Some(&width) = widths.get(&picture.key) else {
            continue;
        };
        match fit(picture, width) {
            Ok(Some(bytes)) => picture.bytes = Arc::from(bytes),
            Ok(None) => {}
            Err(why) => broken.push((picture.key.clone(), why)),
        }
    }
    if broken.is_empty() {
        Ok(())
    } else {
        Err(PressError::Pictures(broken))
    }
}

/// A photograph of so many millimetres' width, packed anew; nothing for a drawing.
fn fit(picture: &PictureFile, width: u16) -> Result<Option<Vec<u8>>, String> {
    let Some(format) = format(picture.kind) else {
        return Ok(None);
    };
    let unpacked = |_| "it cannot be unpacked: it is damaged, or of a kind that is not printed".to_owned();
    let mut reader = ImageReader::with_format(Cursor::new(&picture.bytes[..]), format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_ELEMENTS * 8);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unpacked)?;
    let turned = decoder.orientation().map_err(unpacked)?;
    let mut image = DynamicImage::from_decoder(decoder).map_err(unpacked)?;
    image.apply_orientation(turned);
    let most = dots(width);
    if image.width() > most {
        let height = (u64::from(image.height()) * u64::from(most) / u64::from(image.width())).max(1);
        let height = u32::try_from(height).unwrap_or(u32::MAX);
        image = image.resize_exact(most, height, FilterType::CatmullRom);
    }
    let mut bytes = Vec::new();
    let packed = match picture.kind {
        PictureKind::Jpeg => JpegEncoder::new_with_quality(&mut bytes, QUALITY)
            .encode_image(&DynamicImage::from(image.to_rgb8())),
        _ => image.write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png),
    };
    packed.map_err(|_| "it cannot be packed again for print".to_owned())?;
    Ok(Some(bytes))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a width on paper, of some hundred millimetres"
)]
fn dots(millimetres: u16) -> u32 {
    (f64::from(millimetres) / 25.4 * DOTS).ceil() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn photograph(width: u32, height: u32, kind: PictureKind) -> Vec<u8> {
        let image = image::RgbImage::from_fn(width, height, |x, y| {
            image::Rgb([(x % 251) as u8, (y % 241) as u8, u8::from(x < width / 2) * 200])
        });
        let mut bytes = Vec::new();
        let format = format(kind).expect("a photograph");
        DynamicImage::from(image)
            .write_to(&mut Cursor::new(&mut bytes), format)
            .expect("packed");
        bytes
    }

    /// A JPEG with an Exif block: turned a quarter, and with the words of a place.
    fn from_a_camera(orientation: u8) -> Vec<u8> {
        let plain = photograph(400, 200, PictureKind::Jpeg);
        let mut exif: Vec<u8> = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
        exif.extend([orientation, 0, 0, 0, 0, 0, 0]);
        exif.extend(b"GPS 51.4778 N 0.0014 W");
        let mut bytes = plain[..2].to_vec();
        bytes.extend([0xff, 0xe1]);
        bytes.extend(u16::try_from(exif.len() + 2).expect("short").to_be_bytes());
        bytes.extend(&exif);
        bytes.extend(&plain[2..]);
        bytes
    }

    fn file(kind: PictureKind, bytes: Vec<u8>) -> PictureFile {
        PictureFile {
            key: "photo".to_owned(),
            kind,
            bytes: Arc::from(bytes),
        }
    }

    fn size(bytes: &[u8], kind: PictureKind) -> (u32, u32) {
        let format = format(kind).expect("a photograph");
        ImageReader::with_format(Cursor::new(bytes), format)
            .into_dimensions()
            .expect("a size")
    }

    #[test]
    fn a_place_does_not_travel_and_the_picture_stands_upright() {
        let bytes = from_a_camera(6);
        assert!(bytes.windows(7).any(|part| part == b"51.4778"), "planted");
        let fitted = fit(&file(PictureKind::Jpeg, bytes), 100)
            .expect("unpacked")
            .expect("packed");
        assert!(!fitted.windows(7).any(|part| part == b"51.4778"));
        assert!(!fitted.windows(4).any(|part| part == b"Exif"));
        assert_eq!(size(&fitted, PictureKind::Jpeg), (200, 400), "turned a quarter");
    }

    #[test]
    fn no_finer_than_print_and_never_coarser_than_it_was() {
        for kind in [PictureKind::Jpeg, PictureKind::Png] {
            let large = fit(&file(kind, photograph(3000, 1500, kind)), 100)
                .expect("unpacked")
                .expect("packed");
            assert_eq!(size(&large, kind), (867, 433), "100 mm at 220 dots an inch");
            let small = fit(&file(kind, photograph(300, 150, kind)), 100)
                .expect("unpacked")
                .expect("packed");
            assert_eq!(size(&small, kind), (300, 150));
        }
    }

    #[test]
    fn what_cannot_be_printed_is_told() {
        let whole = photograph(300, 150, PictureKind::Png);
        assert_eq!(look(&whole, PictureKind::Png), Ok(()));
        let cut = look(&whole[..whole.len() / 2], PictureKind::Png).expect_err("cut");
        assert!(cut.contains("ends too early"), "{cut}");
        assert!(look(&whole[..20], PictureKind::Png).is_err());
        // The head of a PNG says 20000 by 10000.
        let mut huge = whole;
        huge.splice(16..24, [0, 0, 0x4e, 0x20, 0, 0, 0x27, 0x10]);
        let crc = crc32(&huge[12..29]);
        huge.splice(29..33, crc.to_be_bytes());
        let told = look(&huge, PictureKind::Png).expect_err("huge");
        assert!(told.contains("20000 by 10000"), "{told}");
        for (svg, why) in [
            ("<svg><script>x()</script></svg>", "script"),
            ("<svg><image href=\"https://a.example/b.png\"/></svg>", "outside"),
            ("<svg><use xlink:href = 'other.svg#a'/></svg>", "outside"),
        ] {
            let told = look(svg.as_bytes(), PictureKind::Svg).expect_err(svg);
            assert!(told.contains(why), "{svg}: {told}");
        }
        assert_eq!(
            look(
                b"<svg><use href='#a'/><image href=\"data:image/png;base64,AA\"/></svg>",
                PictureKind::Svg
            ),
            Ok(())
        );
    }

    fn crc32(bytes: &[u8]) -> u32 {
        let mut crc = u32::MAX;
        for byte in bytes {
            crc ^= u32::from(*byte);
            for _ in 0..8 {
                crc = (crc >> 1) ^ (0xedb8_8320 & (crc & 1).wrapping_neg());
            }
        }
        !crc
    }
}
