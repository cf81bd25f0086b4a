//! Which sockets, spanners, keys and bits the joints want, and whether the kit has them. Knows sizes, no page.

use std::collections::BTreeSet;

use super::binding::Binding;
use crate::base::quantity::Length;
use crate::plan::model::{Does, Drive, DriveKind, Id, Joint, JointKind, Kit, Step};

/// Kinds of hand tool that come in sizes, in the order of the lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    Socket,
    Spanner,
    Key,
    Hexalobular,
    DoubleSquare,
    Slotted,
    Cross,
}

impl Family {
    /// One of it and several: "socket", "sockets".
    #[must_use]
    pub fn words(self, binding: &Binding<'_>) -> (&'static str, String) {
        let one = match self {
            Family::Socket => "socket",
            Family::Spanner => binding.words.say("spanner"),
            Family::Key => "key",
            Family::Hexalobular => "hexalobular bit",
            Family::DoubleSquare => "double square bit",
            Family::Slotted => "slotted screwdriver",
            Family::Cross => "cross screwdriver",
        };
        let many = if one.ends_with("ch") {
            format!("{one}es")
        } else {
            format!("{one}s")
        };
        (one, many)
    }
}

/// One size of one kind. Ordered by kind, then size.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct DriveNeed {
    pub family: Family,
    /// Hundredths of a millimetre, for sorting and for the kit; 0 where the size is no length.
    pub across: i64,
    /// "16 mm", "T40".
    pub size: String,
    /// "deep socket", "crowfoot".
    pub with: String,
}

/// The drives of the joints that a step turns, each once, sorted.
#[must_use]
pub fn of_step(binding: &Binding<'_>, step: Id<Step>) -> BTreeSet<DriveNeed> {
    binding.plan.steps[step]
        .acts()
        .flat_map(|act| turned(&act.does))
        .flat_map(|joint| of_joint(&binding.plan.joints[joint]))
        .collect()
}

/// Joints whose fixings an act turns with a tool; what is started goes in by hand.
fn turned(does: &Does) -> Vec<Id<Joint>> {
    match does {
        Does::Slacken(all) | Does::Undo(all) | Does::Tighten(all) => {
            all.iter().map(|fixings| fixings.joint.value).collect()
        }
        Does::Pin { fixings, .. } => vec![fixings.joint.value],
        _ => Vec::new(),
    }
}

#[must_use]
pub fn of_joint(joint: &Joint) -> Vec<DriveNeed> {
    joint.drives.iter().map(|drive| need(joint, drive)).collect()
}

fn need(joint: &Joint, drive: &Drive) -> DriveNeed {
    let line_fitting = matches!(joint.kind.value, JointKind::Hose | JointKind::Pipe);
    let family = match drive.kind {
        DriveKind::Head if line_fitting => Family::Spanner,
        DriveKind::Head => Family::Socket,
        DriveKind::NutHead => Family::Spanner,
        DriveKind::Key => Family::Key,
        DriveKind::Hexalobular => Family::Hexalobular,
        DriveKind::DoubleSquare => Family::DoubleSquare,
        DriveKind::Slotted => Family::Slotted,
        DriveKind::Cross => Family::Cross,
    };
    DriveNeed {
        family,
        across: drive.across.map_or(0, hundredths),
        size: drive.size.to_string(),
        with: drive.with.as_deref().unwrap_or("").to_owned(),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a spanner is no longer than a house"
)]
fn hundredths(length: Length) -> i64 {
    (length.base() * 100.0).round() as i64
}

/// Whether a kit holds it; `None` where kits do not list such a thing.
#[must_use]
pub fn in_kit(binding: &Binding<'_>, need: &DriveNeed) -> Option<bool> {
    let kits = || binding.plan.kits.values();
    let any = |list: fn(&Kit) -> &[crate::plan::model::Said<Length>]| {
        kits().any(|kit| list(kit).iter().any(|said| hundredths(said.value) == need.across))
    };
    if binding.plan.kits.is_empty() {
        return None;
    }
    match need.family {
        // Either turns a hexagon; a flare nut takes a spanner.
        Family::Socket => Some(any(|kit| &kit.sockets) || any(|kit| &kit.spanners)),
        Family::Spanner => Some(any(|kit| &kit.spanners) || any(|kit| &kit.sockets)),
        Family::Key => Some(any(|kit| &kit.keys)),
        Family::Hexalobular => Some(kits().any(|kit| {
            kit.hexalobular
                .iter()
                .any(|said| said.value.as_ref() == need.size)
        })),
        Family::DoubleSquare | Family::Slotted | Family::Cross => None,
    }
}
