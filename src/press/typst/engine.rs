//! The one door to the page engine: fonts, a world without disk, network or clock, laying out, what stands where
//! on each page, and export to PDF. Must not know what the document means.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use typst::diag::{FileError, FileResult, SourceDiagnostic, SourceResult};
use typst::ecow::EcoVec;
use typst::foundations::{Bytes, Datetime, Duration, Smart, Value};
use typst::introspection::{MetadataElem, Tag};
use typst::layout::{Abs, Frame, FrameItem, Point, Rect, Transform};
use typst::model::Document;
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
#[cfg(test)]
use typst::text::FontVariations;
use typst::text::{Font, FontBook, FontWeight};
use typst::utils::LazyHash;
use typst::visualize::{ExchangeFormat, RasterImage, SvgImage};
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

use crate::base::picture::{PictureFile, PictureKind};

const FAMILY: &str = "IBM Plex Sans";
const MAIN: &str = "binder.typ";
const DATA: &str = "data.json";
/// What a page of which nothing is known yet reads about itself.
const UNKNOWN: &str = r#"{"foot":"","number":0,"total":0,"head":"","marks":[]}"#;

struct Fonts {
    list: Vec<Font>,
    book: LazyHash<FontBook>,
}

static FONTS: LazyLock<Fonts> = LazyLock::new(|| {
    let faces: [&'static [u8]; 4] = [
        include_bytes!("../fonts/IBMPlexSans-Regular.ttf"),
        include_bytes!("../fonts/IBMPlexSans-SemiBold.ttf"),
        include_bytes!("../fonts/IBMPlexSans-Bold.ttf"),
        include_bytes!("../fonts/IBMPlexSans-Italic.ttf"),
    ];
    let mut list = Vec::new();
    let mut book = FontBook::new();
    for face in faces {
        for font in Font::iter(Bytes::new(face)) {
            let mut info = font.info().clone();
            // The SemiBold face carries a family name of its own; here it is the family's weight 600.
            if info.family != FAMILY {
                info.family = FAMILY.to_owned();
                info.variant.weight = FontWeight::from_number(600);
            }
            book.push(info);
            list.push(font);
        }
    }
    Fonts {
        list,
        book: LazyHash::new(book),
    }
});

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

/// Whether every embedded face has a glyph for this character.
#[cfg(test)]
pub fn covers(sign: char) -> bool {
    FONTS
        .list
        .iter()
        .all(|font| font.info().coverage.contains(u32::from(sign)))
}

/// How far a character moves on in the widest of the upright faces, in parts of the size of type.
#[cfg(test)]
pub fn advance(sign: char) -> f64 {
    let upright = FONTS
        .list
        .iter()
        .filter(|font| font.info().variant.style == typst::text::FontStyle::Normal);
    let widths = upright.filter_map(|font| {
        let face = font
            .clone()
            .instantiate(font.info().variant, Abs::pt(12.0), &FontVariations::default());
        let glyph = face.ttf().glyph_index(sign)?;
        Some(face.x_advance(glyph.0)?.get())
    });
    widths.fold(0.0, f64::max)
}

/// Whether a drawing can be read at all.
///
/// # Errors
/// Why it cannot, as a part of a sentence.
pub fn readable_drawing(bytes: &[u8]) -> Result<(), String> {
    drawing(Bytes::new(bytes.to_vec())).map(|_| ())
}

/// The engine's own words are for programmers, so each of its reasons is said anew.
fn drawing(bytes: Bytes) -> Result<SvgImage, String> {
    SvgImage::new(bytes).map_err(|error| {
        let said = format!("{error:?}");
        let why = if said.contains("limit") {
            "it nests or repeats its pieces more than a page can hold"
        } else if said.contains("viewbox") || said.contains("size") {
            "it has no width or height"
        } else if said.contains("never closed") {
            "it ends too early, as if it had been copied in part"
        } else {
            "it is no whole drawing: it may be damaged"
        };
        why.to_owned()
    })
}

/// Width and height of a picture in its own units.
///
/// # Errors
/// Says why it cannot be printed.
pub fn picture_size(picture: &PictureFile) -> Result<(f64, f64), String> {
    let bytes = Bytes::new(picture.bytes.to_vec());
    let raster = |format: ExchangeFormat| {
        RasterImage::plain(bytes.clone(), format)
            .map(|image| match image.exif_rotation() {
                Some(5..=8) => (f64::from(image.height()), f64::from(image.width())),
                _ => (f64::from(image.width()), f64::from(image.height())),
            })
            .map_err(|error| error.to_string())
    };
    let (width, height) = match picture.kind {
        PictureKind::Png => raster(ExchangeFormat::Png)?,
        PictureKind::Jpeg => raster(ExchangeFormat::Jpg)?,
        PictureKind::Svg => {
            let image = drawing(bytes)?;
            (image.width(), image.height())
        }
    };
    if width > 0.0 && height > 0.0 {
        Ok((width, height))
    } else {
        Err("it has no size".to_owned())
    }
}

/// All that a page run may read: one source, one data file, pictures.
struct Shop {
    main: Source,
    files: BTreeMap<String, Bytes>,
}

fn file_id(path: &str) -> Option<FileId> {
    let path = VirtualPath::new(path).ok()?;
    Some(RootedPath::new(VirtualRoot::Project, path).intern())
}

impl World for Shop {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.book
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
        let inside = matches!(id.get().root(), VirtualRoot::Project);
        let path = id.get().vpath().get_without_slash();
        let unknown = || path.starts_with("page-").then(|| Bytes::new(UNKNOWN.as_bytes()));
        self.files
            .get(path)
            .cloned()
            .or_else(unknown)
            .filter(|_| inside)
            .ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.list.get(index).cloned()
    }

    /// There is no clock here: the same data give the same bytes.
    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// A document laid out, with what stands on its pages.
pub struct Laid {
    document: PagedDocument,
    pub pages: Vec<PageFound>,
}

/// What the frames of one page hold. All in mm from the page's top left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct PageFound {
    pub width: f64,
    pub height: f64,
    pub signs: Vec<Sign>,
    pub ink: Vec<Ink>,
}

/// A mark of the template's own: its kind (`k` a proof key, `s` and `e` a block's start and end) and its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Sign {
    pub kind: String,
    pub name: String,
    pub x: f64,
    pub y: f64,
}

/// Something that is seen, by its bounding box.
#[derive(Debug, Clone, PartialEq)]
pub struct Ink {
    /// The text itself, or "shape", "picture".
    pub what: String,
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
    /// Size of type in points, for text.
    pub points: Option<f64>,
}

/// Lays out a template with its data, and what each page is to say about itself. Of what is found on the pages only the signs are there
/// as yet.
///
/// # Errors
/// What the engine says, a message a line.
pub fn lay_out(
    template: &str,
    data: &str,
    pages: &[String],
    pictures: &[(String, PictureFile)],
) -> Result<Laid, Vec<String>> {
    let id = file_id(MAIN).ok_or_else(|| vec!["the template has no name".to_owned()])?;
    let mut files = BTreeMap::from([(DATA.to_owned(), Bytes::new(data.as_bytes().to_vec()))]);
    for (page, number) in pages.iter().zip(1..) {
        files.insert(
            format!("page-{number}.json"),
            Bytes::new(page.as_bytes().to_vec()),
        );
    }
    for (name, picture) in pictures {
        files.insert(name.clone(), Bytes::new(picture.bytes.to_vec()));
    }
    let shop = Shop {
        main: Source::new(id, template.to_owned()),
        files,
    };
    let result = typst::compile::<PagedDocument>(&shop);
    // A warning that nothing mends: a page's foot or the index would be wrong.
    let unstable = result
        .warnings
        .iter()
        .any(|warning| warning.message.contains("converge"));
    let document = said(result.output)?;
    if unstable {
        return Err(vec!["the engine's own passes do not settle".to_owned()]);
    }
    let pages = document
        .pages()
        .iter()
        .map(|page| found(&page.frame, false))
        .collect();
    Ok(Laid { document, pages })
}

/// Drops what was kept from documents before the last few, or a long-running editor would grow without end.
pub fn tidy() {
    typst::comemo::evict(8);
}

/// Drops all that was kept from earlier layouts.
pub fn forget() {
    typst::comemo::evict(0);
}

impl Laid {
    /// Adds to what is found on the pages all that is seen there.
    #[must_use]
    pub fn with_ink(mut self) -> Laid {
        let pages = self.document.pages().iter();
        self.pages = pages.map(|page| found(&page.frame, true)).collect();
        self
    }

    /// The PDF: tagged, without a time stamp. PDF/UA-1, and PDF/A-2a as well when the document has a date, which
    /// that standard asks for.
    ///
    /// # Errors
    /// What the engine says, a message a line.
    pub fn pdf(&self) -> Result<Vec<u8>, Vec<String>> {
        let dated = self.document.info().date.custom().flatten().is_some();
        let wanted: &[PdfStandard] = if dated {
            &[PdfStandard::Ua_1, PdfStandard::A_2a]
        } else {
            &[PdfStandard::Ua_1]
        };
        let standards = PdfStandards::new(wanted).map_err(|error| vec![error.message().to_string()])?;
        let options = PdfOptions {
            creator: Smart::Custom(Some("boltfolio".to_owned())),
            standards,
            ..PdfOptions::default()
        };
        said(typst_pdf::pdf(&self.document, &options))
    }
}

fn said<T>(result: SourceResult<T>) -> Result<T, Vec<String>> {
    result.map_err(|errors: EcoVec<SourceDiagnostic>| {
        errors
            .iter()
            .map(|error| {
                let hints: String = error.hints.iter().map(|hint| format!(" ({})", hint.v)).collect();
                format!("{}{hints}", error.message)
            })
            .collect()
    })
}

fn found(frame: &Frame, ink: bool) -> PageFound {
    let mut page = PageFound {
        width: frame.width().to_mm(),
        height: frame.height().to_mm(),
        signs: Vec::new(),
        ink: Vec::new(),
    };
    walk(frame, Transform::identity(), ink, &mut page);
    page
}

fn walk(frame: &Frame, at: Transform, inks: bool, page: &mut PageFound) {
    for (place, item) in frame.items() {
        let here = at.pre_concat(Transform::translate(place.x, place.y));
        match item {
            FrameItem::Group(group) => walk(&group.frame, here.pre_concat(group.transform), inks, page),
            FrameItem::Tag(Tag::Start(content, _)) => {
                if let Some(metadata) = content.to_packed::<MetadataElem>() {
                    page.signs
                        .extend(sign(&metadata.value, Point::zero().transform(here)));
                }
            }
            FrameItem::Tag(Tag::End(..)) | FrameItem::Link(..) => {}
            _ if !inks => {}
            FrameItem::Text(text) => {
                let points = text.size.to_pt();
                let rect = Rect::new(
                    Point::new(Abs::zero(), -0.72 * text.size),
                    Point::new(text.width(), 0.22 * text.size),
                );
                // Blanks at a line's end may stand outside: they are not seen.
                if !text.text.trim().is_empty() {
                    page.ink
                        .push(ink(text.text.to_string(), rect, here, Some(points)));
                }
            }
            FrameItem::Shape(shape, _) => {
                page.ink
                    .push(ink("shape".to_owned(), shape.bbox(true), here, None))
            }
            FrameItem::Image(_, size, _) => {
                let rect = Rect::from_pos_size(Point::zero(), *size);
                page.ink.push(ink("picture".to_owned(), rect, here, None));
            }
        }
    }
}

fn sign(value: &Value, at: Point) -> Option<Sign> {
    let Value::Array(pair) = value else { return None };
    let mut texts = pair.iter().filter_map(|part| match part {
        Value::Str(text) => Some(text.as_str().to_owned()),
        _ => None,
    });
    Some(Sign {
        kind: texts.next()?,
        name: texts.next()?,
        x: at.x.to_mm(),
        y: at.y.to_mm(),
    })
}

fn ink(what: String, rect: Rect, at: Transform, points: Option<f64>) -> Ink {
    let corners = [
        rect.min,
        rect.max,
        Point::new(rect.min.x, rect.max.y),
        Point::new(rect.max.x, rect.min.y),
    ]
    .map(|corner| corner.transform(at));
    let [first, rest @ ..] = corners;
    let (mut low, mut high) = (first, first);
    for corner in rest {
        low = low.min(corner);
        high = high.max(corner);
    }
    Ink {
        what,
        left: low.x.to_mm(),
        top: low.y.to_mm(),
        right: high.x.to_mm(),
        bottom: high.y.to_mm(),
        points,
    }
}
