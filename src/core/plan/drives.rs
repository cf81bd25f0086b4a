//! Which sockets, spanners, keys and bits the joints want, and whether the kits hold them. Knows sizes and lists; words nothing.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::model::{Does, Drive, Id, Joint, Kit, Need, Plan, Said, Step, Tool};
pub use super::vocabulary::drives::Family;
use crate::base::quantity::{Length, Torque};

/// One size of one kind. Ordered by kind, then size.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct DriveNeed {
    /// The kind of tool.
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
pub fn of_step(plan: &Plan, step: Id<Step>) -> BTreeSet<DriveNeed> {
    // Where a torque wrench lies ready, what is verified is clicked once more.
    let clicks = plan.steps[step].needs.iter().any(|need| match need.value {
        Need::Tool(tool) => plan.tools[tool].range.is_some(),
        _ => false,
    });
    plan.steps[step]
        .acts()
        .flat_map(|act| match &act.does {
            Does::Verify { joints, .. } if clicks => joints.iter().map(|joint| joint.value).collect(),
            does => turned(does),
        })
        .flat_map(|joint| of_joint(&plan.joints[joint]))
        .collect()
}

/// Joints whose fixings an act turns with a tool; what is started goes in by hand.
#[must_use]
pub fn turned(does: &Does) -> Vec<Id<Joint>> {
    match does {
        Does::Slacken(all) | Does::Undo(all) | Does::Tighten(all) => {
            all.iter().map(|fixings| fixings.joint.value).collect()
        }
        Does::Pin { fixings, .. } => vec![fixings.joint.value],
        // No fixing is turned with a tool.
        _ => Vec::new(),
    }
}

/// One for each place that a tool goes, in the order written.
#[must_use]
pub fn of_joint(joint: &Joint) -> Vec<DriveNeed> {
    joint.drives.iter().map(|drive| need(joint, drive)).collect()
}

fn need(joint: &Joint, drive: &Drive) -> DriveNeed {
    let row = drive.kind.row();
    let family = row
        .on_a_line
        .filter(|_| joint.kind.value.is_line())
        .unwrap_or(row.tool);
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

/// Whether a kit holds it; `None` where no kit lists such things at all.
#[must_use]
pub fn in_kit(plan: &Plan, need: &DriveNeed) -> Option<bool> {
    match need.family {
        // Either turns a hexagon; a flare nut takes a spanner.
        Family::Socket | Family::Spanner => {
            let sockets = listed(plan, |kit| &kit.sockets, need.across);
            let spanners = listed(plan, |kit| &kit.spanners, need.across);
            match (sockets, spanners) {
                (None, None) => None,
                (one, other) => Some(one == Some(true) || other == Some(true)),
            }
        }
        Family::Key => listed(plan, |kit| &kit.keys, need.across),
        Family::Hexalobular => {
            let mut sizes = plan.kits.values().flat_map(|kit| &kit.hexalobular).peekable();
            sizes.peek()?;
            Some(sizes.any(|said| said.value.as_ref() == need.size))
        }
        Family::TripleSquare | Family::DoubleSquare | Family::Slotted | Family::Cross => None,
    }
}

fn listed(plan: &Plan, list: fn(&Kit) -> &[Said<Length>], across: i64) -> Option<bool> {
    let mut sizes = plan.kits.values().flat_map(list).peekable();
    sizes.peek()?;
    Some(sizes.any(|said| hundredths(said.value) == across))
}

/// Whether the kits hold a second one for the nut behind a head of the same size; `None` where they list no such things. A size said
/// twice is not two of it.
#[must_use]
pub fn second_in_kit(plan: &Plan, across: i64) -> Option<bool> {
    let sockets = listed(plan, |kit| &kit.sockets, across)?;
    let spanners = listed(plan, |kit| &kit.spanners, across)?;
    Some(sockets && spanners)
}

/// Whether a kit holds this tool.
#[must_use]
pub fn tool_in_kit(plan: &Plan, tool: Id<Tool>) -> bool {
    plan.kits
        .values()
        .any(|kit| kit.has.iter().any(|said| said.value == tool))
}

/// Torque wrenches that reach a figure, in the order of the plan.
pub fn wrenches(plan: &Plan, torque: Torque) -> impl Iterator<Item = Id<Tool>> {
    plan.tools.iter().filter_map(move |(id, tool)| {
        let (low, high) = tool.range?.value;
        (low.base() <= torque.base() && torque.base() <= high.base()).then_some(id)
    })
}
