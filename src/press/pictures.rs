//! Photographs made fit for paper: turned as the camera held them, no finer than print can show, and without what a camera writes
//! beside the picture, place and time above all. The only file that knows the image crate; knows no page.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::Arc;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};

use super::typst::readable_drawing;
use super::{PressError, keys};
use crate::base::letters;
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

/// Unpacked, a photograph takes no more memory than this.
const MOST_BYTES: u64 = MOST_ELEMENTS * 4;

/// Looks at a picture's head and end without unpacking it; a drawing is read whole.
///
/// # Errors
/// Why it cannot be printed, as a part of a sentence: "it ends too early".
pub fn look(bytes: &[u8], kind: PictureKind) -> Result<(), String> {
    let Some(format) = format(kind) else {
        let text = std::str::from_utf8(bytes).map_err(|_| "it is not UTF-8 text".to_owned())?;
        drawing(text)?;
        return readable_drawing(bytes);
    };
    let decoder = ImageReader::with_format(Cursor::new(bytes), format).into_decoder();
    let decoder = decoder.map_err(|_| "its head cannot be read".to_owned())?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_ELEMENTS {
        return Err(format!(
            "it has {width} by {height} picture elements, more than 100 million; make it smaller"
        ));
    }
    let unpacked = decoder.total_bytes();
    if unpacked > MOST_BYTES {
        return Err(format!(
            "unpacked it takes {} million bytes, more than 400 million; make it smaller",
            unpacked / 1_000_000
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

/// A drawing is shown, not run, and reads nothing from elsewhere. What paper would leave out without a word is refused too.
fn drawing(text: &str) -> Result<(), String> {
    let lower = text.to_ascii_lowercase();
    if lower.contains("<script") || lower.contains("javascript:") || has_handler(&lower) {
        return Err("it holds a script".to_owned());
    }
    if lower.contains("<!entity") {
        return Err("it declares entities, which are not read".to_owned());
    }
    if lower.contains("<foreignobject") {
        return Err(
            "it holds a piece of another kind (foreignObject), which paper would leave out".to_owned(),
        );
    }
    let outside = || Err("it links to something outside itself".to_owned());
    for part in lower.split("href").skip(1) {
        let value = part.trim_start().strip_prefix('=').map(str::trim_start);
        let value = value.and_then(|value| value.strip_prefix(['"', '\'']));
        if value.is_some_and(|value| !value.starts_with('#') && !value.starts_with("data:")) {
            return outside();
        }
    }
    for part in lower.split("url(").skip(1) {
        let value = part.trim_start_matches([' ', '"', '\'']);
        if !value.starts_with('#') && !value.starts_with("data:") && !value.starts_with("&quot;#") {
            return outside();
        }
    }
    if lower.contains("@import") {
        return outside();
    }
    let lacking: Vec<char> = shown_text(text)
        .iter()
        .flat_map(|piece| letters::lacking(piece).map(|(_, sign)| sign).collect::<Vec<_>>())
        .collect();
    if lacking.is_empty() {
        Ok(())
    } else {
        Err(format!(
            "the binder has no letter for {}, which stand in it as text; turn them into outlines",
            letters::named(&lacking)
        ))
    }
}

/// An attribute such as `onload="..."`.
fn has_handler(lower: &str) -> bool {
    lower.split(char::is_whitespace).any(|word| {
        let name = word.split('=').next().unwrap_or_default();
        name.len() > 3
            && name.len() < word.len()
            && name
                .strip_prefix("on")
                .is_some_and(|rest| rest.bytes().all(|byte| byte.is_ascii_lowercase()))
    })
}

/// What stands between the tags of the drawing's texts, with numbered characters as they are.
fn shown_text(text: &str) -> Vec<String> {
    let texts = text.split("<text").skip(1);
    let inner = texts.map(|piece| piece.split("</text").next().unwrap_or_default());
    inner
        .map(|piece| {
            let mut shown = String::new();
            for part in piece.split('>').skip(1) {
                shown.push_str(part.split('<').next().unwrap_or_default());
            }
            numbered(&shown)
        })
        .collect()
}

fn numbered(text: &str) -> String {
    let mut parts = text.split("&#");
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (digits, rest) = part.split_once(';').unwrap_or((part, ""));
        let code = match digits.strip_prefix(['x', 'X']) {
            Some(digits) => u32::from_str_radix(digits, 16),
            None => digits.parse(),
        };
        out.extend(code.ok().and_then(char::from_u32));
        out.push_str(rest);
    }
    out
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
    limits.max_alloc = Some(MOST_BYTES * 2);
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
        let grey = image::DynamicImage::new_rgba16(100, 100);
        let mut sixteen = Vec::new();
        grey.write_to(&mut Cursor::new(&mut sixteen), ImageFormat::Png)
            .expect("packed");
        // 10000 by 9000 elements of eight bytes.
        sixteen.splice(16..24, [0, 0, 0x27, 0x10, 0, 0, 0x23, 0x28]);
        let crc = crc32(&sixteen[12..29]);
        sixteen.splice(29..33, crc.to_be_bytes());
        let told = look(&sixteen, PictureKind::Png).expect_err("too much to unpack");
        assert!(told.contains("720 million bytes"), "{told}");
        for (svg, why) in [
            ("<svg><script>x()</script></svg>", "script"),
            ("<svg onload='x()'/>", "script"),
            ("<svg><style>@import 'a.css';</style></svg>", "outside"),
            ("<svg><rect fill=\"url(http://a.example/b#c)\"/></svg>", "outside"),
            ("<svg><foreignObject/></svg>", "foreignObject"),
            ("<!DOCTYPE svg [<!ENTITY a 'aa'>]><svg/>", "entities"),
            ("<svg><text x='1'>a<tspan>\u{6F22}</tspan></text></svg>", "U+6F22"),
            ("<svg><text>&#x5e9;</text></svg>", "U+05E9"),
            ("<svg><g></svg>", "no whole drawing"),
            (
                "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><g>",
                "ends too early",
            ),
            (
                "<svg xmlns='http://www.w3.org/2000/svg' width='0' height='0'/>",
                "no width or height",
            ),
            ("<svg><image href=\"https://a.example/b.png\"/></svg>", "outside"),
            ("<svg><use xlink:href = 'other.svg#a'/></svg>", "outside"),
        ] {
            let told = look(svg.as_bytes(), PictureKind::Svg).expect_err(svg);
            assert!(told.contains(why), "{svg}: {told}");
        }
        let deep = format!("{HEAD}{}{}</svg>", "<g>".repeat(200_000), "</g>".repeat(200_000));
        let told = look(deep.as_bytes(), PictureKind::Svg).expect_err("deep");
        assert!(told.contains("nests or repeats"), "{told}");
        let copies: String = (1..10)
            .map(|n| {
                format!(
                    "<g id='a{n}'>{}</g>",
                    format!("<use href='#a{}'/>", n - 1).repeat(10)
                )
            })
            .collect();
        let many = format!("{HEAD}<g id='a0'><rect width='1' height='1'/></g>{copies}</svg>");
        let told = look(many.as_bytes(), PictureKind::Svg).expect_err("a thousand million pieces");
        assert!(told.contains("nests or repeats"), "{told}");
        let good = format!(
            "{HEAD}<style>rect {{ fill: url(#b) }}</style><!-- \u{6F22} --><title>\u{6F22}</title><rect width='5' height='5'/>\
             <use href='#a'/><image href=\"data:image/png;base64,AA\"/><text>on = 5 \u{b0}</text></svg>"
        );
        assert_eq!(look(good.as_bytes(), PictureKind::Svg), Ok(()));
    }

    const HEAD: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'>";

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
