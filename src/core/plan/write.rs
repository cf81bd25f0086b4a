//! Acts as a plan's text has them: what a reader of such a line would make of it is the act again. For steps that the program
//! writes itself. Knows nothing of what an act does.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use super::model::{Does, Head, Load, Plan, Thing, Workpiece};
use super::vocabulary::acts::{Slot, With};

/// One act on one line, without its indentation.
#[must_use]
pub fn act(plan: &Plan, does: &Does) -> String {
    let mut line = does.kind().word().to_owned();
    does.slots(&mut |slot| line.push_str(&piece(plan, slot)));
    line
}

/// A piece of the line, with the space or the sign before it.
pub(super) fn piece(plan: &Plan, slot: Slot<'_>) -> String {
    match slot {
        Slot::Fixings(all) => listed(all.iter().map(|fixings| {
            let name = &plan.joints[fixings.joint.value].head.name;
            match fixings.count {
                Some(count) => format!("{} of {name}", count.value),
                None => name.to_string(),
            }
        })),
        Slot::Joints(all) => named(all.iter().map(|said| &plan.joints[said.value].head)),
        Slot::Loads(all) => named(all.iter().map(|said| head(plan, said.value))),
        Slot::Things(all) => named(all.iter().map(|said| head(plan, Load::Thing(said.value)))),
        Slot::Fluids(all) => named(all.iter().map(|said| &plan.fluids[said.value].head)),
        Slot::Tools(all) => named(all.iter().map(|said| &plan.tools[said.value].head)),
        Slot::Workpieces(all) => named(all.iter().map(|said| match said.value {
            Workpiece::Thing(thing) => head(plan, Load::Thing(thing)),
            Workpiece::Joint(joint) => &plan.joints[joint].head,
        })),
        Slot::Part(part) => named([&plan.parts[part.value].head]),
        Slot::Names(_, all) => listed(all.iter().map(|name| name.name.to_string())),
        Slot::With(word, with) => {
            let head = match with {
                With::Rig(id) => &plan.rigs[id].head,
                With::Person(id) => &plan.people[id].head,
                With::Tool(id) => &plan.tools[id].head,
                With::Scale(id) => &plan.scales[id].head,
                With::Thing(thing) => head(plan, Load::Thing(thing)),
                With::Joint(id) => &plan.joints[id].head,
            };
            format!(" {word} {}", head.name)
        }
        Slot::Word(word) => format!(" {word}"),
        Slot::Figure(lead, figure) => format!("{lead}{figure}"),
        Slot::Text(before, text, behind) => format!("{before}\"{text}\"{behind}"),
    }
}

fn head(plan: &Plan, load: Load) -> &Head {
    match load {
        Load::Thing(Thing::Part(id)) => &plan.parts[id].head,
        Load::Thing(Thing::Assembly(id)) => &plan.assemblies[id].head,
        Load::Vehicle(id) => &plan.vehicles[id].head,
    }
}

fn named<'a>(heads: impl IntoIterator<Item = &'a Head>) -> String {
    listed(heads.into_iter().map(|head| head.name.to_string()))
}

fn listed(names: impl Iterator<Item = String>) -> String {
    let names: Vec<String> = names.collect();
    if names.is_empty() {
        String::new()
    } else {
        format!(" {}", names.join(", "))
    }
}
