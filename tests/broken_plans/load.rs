//! The demonstration plans as texts, with the workshop folder that each names, and one compiled from them. Knows nothing of
//! breaks.

use std::path::Path;
use std::sync::Arc;

use boltfolio::base::picture::{PictureFile, PictureFound, PictureKind, Pictures};
use boltfolio::base::source::Source;
use boltfolio::compile::{self, Compilation};

/// Folders under `specs/` that hold a plan.
pub const PLANS: &[&str] = &["starter", "ouzel-front", "lathe-move"];

/// One file of a plan.
#[derive(Debug, Clone)]
pub struct Text {
    pub path: String,
    pub text: String,
    pub shared: bool,
}

/// Every picture is there: what is printed is no matter here.
struct AllPictures;

impl Pictures for AllPictures {
    fn find(&self, _from: &str, file: &str) -> PictureFound {
        PictureFound::Is(PictureFile {
            key: file.to_owned(),
            kind: PictureKind::Svg,
            bytes: Arc::from(*b"<svg/>"),
        })
    }
}

/// The files of a plan and of its workshop, in order of their paths.
pub fn texts(plan: &str) -> Vec<Text> {
    let folder = Path::new("specs").join(plan);
    let mut all = folder_texts(&folder, false);
    let sources = sources(&all);
    if let Some(named) = compile::workshop_named(&sources) {
        all.extend(folder_texts(&folder.join(named), true));
    }
    all
}

fn folder_texts(folder: &Path, shared: bool) -> Vec<Text> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).expect("a folder of specs/") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            all.extend(folder_texts(&path, shared));
        } else if path.extension().is_some_and(|ending| ending == "boltplan") {
            all.push(Text {
                path: path.to_string_lossy().replace('\\', "/"),
                text: std::fs::read_to_string(&path).expect("a plan is text"),
                shared,
            });
        }
    }
    all.sort_by(|a, b| a.path.cmp(&b.path));
    all
}

fn sources(texts: &[Text]) -> Vec<Source> {
    let one = |text: &Text| Source::new(text.path.clone(), text.text.clone(), text.shared);
    texts.iter().map(one).collect()
}

pub fn compiled(texts: &[Text]) -> Compilation {
    compile::compile(sources(texts), &AllPictures)
}
