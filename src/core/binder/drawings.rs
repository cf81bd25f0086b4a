//! Drawings that the program makes itself, as SVG: the same bytes for the same plan. Each says its message in its caption and its content
//! in its alternative text. Knows shapes, no page.

mod canvas;
pub(crate) mod days;
pub(crate) mod frontier;
pub(crate) mod joint_map;
pub(crate) mod mass_path;
pub(crate) mod metrics;
mod path_labels;
pub(crate) mod plan_view;
pub(crate) mod stages;
pub(crate) mod tightening;

use super::document::{Drawn, PictureUse};

/// What the document knows the program's own drawings by: no plan's picture has such a key.
#[must_use]
pub fn key(name: &str) -> String {
    format!("~drawn/{name}.svg")
}

/// A drawing with the words that go with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// What the document knows it by; no plan's own picture has such a key.
    pub key: String,
    /// The whole drawing as SVG, in black, white and the accent.
    pub svg: String,
    /// Below it on the page.
    pub caption: String,
    /// What it shows, in words, for who cannot see it.
    pub alt: String,
    /// mm.
    pub width: u16,
}

impl Drawing {
    /// As a page shows it.
    #[must_use]
    pub fn shown(self, proof: String) -> PictureUse {
        PictureUse {
            key: self.key,
            caption: Some(self.caption),
            alt: self.alt,
            width: self.width,
            drawn: Some(Drawn(self.svg.into())),
            proof,
        }
    }

    /// With its key as what proves it.
    #[must_use]
    pub fn shown_by_key(self) -> PictureUse {
        let proof = format!("drawing/{}", self.key);
        self.shown(proof)
    }
}
