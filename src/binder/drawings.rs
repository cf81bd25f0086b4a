//! Drawings that the program makes itself, as SVG: the same bytes for the same plan. Each says its message in its caption and its content
//! in its alternative text. Knows shapes, no page.

pub mod tightening;

use std::sync::Arc;

use super::binding::Binding;
use crate::base::picture::{PictureFile, PictureKind};

/// A drawing with the words that go with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// What the document knows it by; no plan's own picture has such a key.
    pub key: String,
    pub svg: String,
    pub caption: String,
    pub alt: String,
    /// mm.
    pub width: u16,
}

impl Drawing {
    #[must_use]
    pub fn file(&self) -> PictureFile {
        PictureFile {
            key: self.key.clone(),
            kind: PictureKind::Svg,
            bytes: Arc::from(self.svg.as_bytes()),
        }
    }
}

/// Every drawing that the cards of a binder use.
#[must_use]
pub fn files(binding: &Binding<'_>) -> Vec<PictureFile> {
    tightening::all(binding).iter().map(Drawing::file).collect()
}
