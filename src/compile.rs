//! Floor 5: from texts to a compilation. No disk, no terminal, no formats.

use std::collections::BTreeMap;

use crate::base::finding::{Finding, Severity};
use crate::base::picture::{PictureFile, Pictures};
use crate::base::source::{Source, Sources};
use crate::plan::model::{Accept, Plan};

/// All that came out of one plan's texts.
#[derive(Debug, Clone, Default)]
pub struct Compilation {
    pub sources: Sources,
    pub plan: Plan,
    /// Findings that stand, in order of their places.
    pub findings: Vec<Finding>,
    /// Findings that the plan accepts, with the acceptance.
    pub accepted: Vec<(Finding, Accept)>,
    /// Every picture that the plan uses, by key.
    pub pictures: BTreeMap<String, PictureFile>,
}

impl Compilation {
    /// How many findings of this severity stand.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    }

    /// First four hexadecimal digits of a hash over all texts and their names, shared workshop included: what
    /// the binder's pages carry as their revision.
    #[must_use]
    pub fn revision(&self) -> String {
        let mut hash = blake3::Hasher::new();
        for (_, source) in self.sources.iter() {
            for piece in [source.path(), source.text()] {
                hash.update(&(piece.len() as u64).to_le_bytes());
                hash.update(piece.as_bytes());
            }
        }
        hash.finalize().to_hex().chars().take(4).collect()
    }
}

/// Compiles a plan from its texts. Total: whatever is wrong is a finding.
#[must_use]
pub fn compile(sources: Vec<Source>, _pictures: &dyn Pictures) -> Compilation {
    Compilation {
        sources: Sources::new(sources),
        ..Compilation::default()
    }
}
