//! Pictures as the compiler asks for them. Who finds them, on a disk or elsewhere, is no business of this floor.

use std::sync::Arc;

/// Forms of picture that can be printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureKind {
    /// Drawn: lines and areas.
    Svg,
    /// ISO/IEC 15948.
    Png,
    /// ISO/IEC 10918.
    Jpeg,
}

impl PictureKind {
    /// Of a file's name, lower case, without the dot.
    #[must_use]
    pub fn extension(self) -> &'static str {
        match self {
            PictureKind::Svg => "svg",
            PictureKind::Png => "png",
            PictureKind::Jpeg => "jpg",
        }
    }
}

/// A picture's bytes under the key by which the whole program knows it: its path inside the plan's folder,
/// with `/` between folders.
#[derive(Debug, Clone)]
pub struct PictureFile {
    /// Path inside the plan's folder.
    pub key: String,
    /// By its bytes, whatever its name says.
    pub kind: PictureKind,
    /// The file as it is.
    pub bytes: Arc<[u8]>,
}

/// The answer to "is there such a picture?".
#[derive(Debug, Clone)]
pub enum PictureFound {
    /// No such file is there.
    Missing,
    /// It lies outside the plan's folder, where nothing is read.
    Outside,
    /// Why it is none that can be printed: "it is 3 bytes long and no PNG, JPEG or SVG".
    NotAPicture(String),
    /// It is there, and can be printed.
    Is(PictureFile),
}

/// Finds pictures for the compiler. `from` is the path of the source that names it, `file` what it says.
pub trait Pictures: Sync {
    /// Looks for one picture; does not fail: what is wrong is in the answer.
    fn find(&self, from: &str, file: &str) -> PictureFound;
}

/// For text without a folder around it: there are no pictures.
#[derive(Debug, Clone, Copy)]
pub struct NoPictures;

impl Pictures for NoPictures {
    fn find(&self, _from: &str, _file: &str) -> PictureFound {
        PictureFound::Missing
    }
}
