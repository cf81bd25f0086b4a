//! The demonstration plans as texts, with the workshop folder that each names, and one compiled from them. Knows nothing of
//! breaks.

use std::sync::Arc;

use boltfolio_core::base::picture::{PictureFile, PictureFound, PictureKind, Pictures};
use boltfolio_core::base::source::Source;
use boltfolio_core::compile::{self, Compilation};

use crate::support::plan_texts;

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
    let all = plan_texts(plan).into_iter();
    all.map(|(path, text, shared)| Text { path, text, shared })
        .collect()
}

fn sources(texts: &[Text]) -> Vec<Source> {
    let one = |text: &Text| Source::new(text.path.clone(), text.text.clone(), text.shared);
    texts.iter().map(one).collect()
}

pub fn compiled(texts: &[Text]) -> Compilation {
    compile::compile(sources(texts), &AllPictures)
}
