//! The pictures of a document: under which name each lies beside the data, whether it can be printed at all, and how large it stands in its
//! place. Must not know what they show.

use std::collections::BTreeMap;

use super::engine;
use super::given::PictureFacts;
use crate::base::picture::PictureFile;
use crate::binder::document::{Document, PictureUse};
use crate::press::{PressError, keys};

/// A picture's file name beside the data, and its height for each unit of width.
pub type PictureFiles = BTreeMap<String, (String, f64)>;

/// Gives each picture a plain file name and finds out whether it can be printed at all; and the pictures under these names.
///
/// # Errors
/// Every picture that cannot be printed, and why.
pub fn gather(document: &Document) -> Result<(PictureFiles, Vec<(String, PictureFile)>), PressError> {
    let held: BTreeMap<&str, &PictureFile> = document
        .pictures
        .iter()
        .map(|picture| (picture.key.as_str(), picture))
        .collect();
    let mut files = PictureFiles::new();
    let mut list = Vec::new();
    let mut broken: Vec<(String, String)> = Vec::new();
    for used in keys::pictures(document) {
        if files.contains_key(&used.key) || broken.iter().any(|(key, _)| *key == used.key) {
            continue;
        }
        match held.get(used.key.as_str()) {
            None => broken.push((used.key.clone(), "it is not there".to_owned())),
            Some(picture) => match engine::picture_size(picture) {
                Err(why) => broken.push((used.key.clone(), why)),
                Ok((width, height)) => {
                    let name = format!("pictures/{}.{}", files.len() + 1, picture.kind.extension());
                    files.insert(used.key.clone(), (name.clone(), height / width));
                    list.push((name, (*picture).clone()));
                }
            },
        }
    }
    if broken.is_empty() {
        Ok((files, list))
    } else {
        Err(PressError::Pictures(broken))
    }
}

/// Gives each use of a picture its size.
pub struct Places<'a> {
    pub files: &'a PictureFiles,
    /// mm
    pub tallest: f64,
    /// By the key that proves each use.
    pub placed: BTreeMap<String, PictureFacts>,
}

impl Places<'_> {
    /// No wider and no higher than its place, in mm; gives its height.
    pub fn place(&mut self, used: &PictureUse, width: f64, tallest: f64) -> f64 {
        // A picture that nobody handed over is found out before this, by its key.
        let (file, ratio) = self.files.get(&used.key).cloned().unwrap_or((String::new(), 1.0));
        let width = f64::from(used.width).clamp(10.0, width).min(tallest / ratio);
        let height = width * ratio;
        let placed = PictureFacts { file, width, height };
        self.placed.insert(used.proof.clone(), placed);
        height
    }
}
