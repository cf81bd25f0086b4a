//! Drawings that the program makes itself, as SVG: the same bytes for the same plan. Each says its message in its caption and its content
//! in its alternative text. Knows shapes, no page.

mod canvas;
pub mod days;
pub mod frontier;
pub mod joint_map;
pub mod mass_path;
pub mod metrics;
mod path_labels;
pub mod plan_view;
pub mod stages;
pub mod tightening;

use std::sync::Arc;

use super::binding::Binding;
use crate::base::picture::{PictureFile, PictureKind};

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

/// Every drawing that a binder uses.
#[must_use]
pub fn files(binding: &Binding<'_>) -> Vec<PictureFile> {
    let stages = super::job_on_one_page::drawings(binding);
    let maps = super::before_it_moves::maps(binding);
    let masses = super::mass_balance::drawings(binding);
    let worth = super::worth::drawing(binding);
    tightening::all(binding)
        .iter()
        .chain(&stages)
        .chain(&maps)
        .chain(&masses)
        .chain(&worth)
        .map(Drawing::file)
        .collect()
}
