//! What lies at hand before a step begins: rigs, tools by size, consumables, new hardware. Knows one step.

use std::collections::BTreeSet;

use super::binding::Binding;
use super::document::Line;
use super::drives::Family;
use super::mentions;
use super::order_list;
use super::words::{and_list, dotted, run, strong};
use crate::plan::drives;
use crate::plan::model::{Does, Id, Joint, Need, Rig, Scale, Step, Tool};

#[must_use]
pub fn line(binding: &Binding<'_>, id: Id<Step>) -> Line {
    dotted(facts(binding, &[id]))
}

/// What lies at hand for several steps, each thing once.
#[must_use]
pub fn facts(binding: &Binding<'_>, ids: &[Id<Step>]) -> Vec<Line> {
    let each =
        |of: fn(&Binding<'_>, Id<Step>) -> Vec<Id<Rig>>| once(ids.iter().flat_map(|&id| of(binding, id)));
    let mut facts: Vec<Line> = Vec::new();
    facts.extend(each(rigs).into_iter().map(|rig| {
        let rated = binding.plan.rigs[rig].rated.map_or_else(String::new, |said| {
            let each = if said.value.each { " each" } else { "" };
            format!(", {}{each}", binding.at_most(said.value.mass))
        });
        vec![run(format!("{}{rated}", binding.rig(rig)))]
    }));
    facts.extend(
        once(ids.iter().flat_map(|&id| tools(binding, id)))
            .into_iter()
            .map(|tool| vec![run(binding.tool_at_hand(tool))]),
    );
    facts.extend(
        once(ids.iter().flat_map(|&id| scales(binding, id)))
            .into_iter()
            .map(|scale| vec![run(binding.inside(&binding.plan.scales[scale].head.called()))]),
    );
    facts.extend(sizes(binding, ids));
    let needs = ids.iter().flat_map(|&id| &binding.plan.steps[id].needs);
    let used = once(needs.filter_map(|need| match need.value {
        Need::Consumable(consumable) => Some(consumable),
        Need::Tool(_) | Need::Rig(_) => None,
    }));
    facts.extend(used.into_iter().map(|consumable| {
        vec![run(
            binding.inside(&binding.plan.consumables[consumable].head.called())
        )]
    }));
    facts.extend(new_hardware(binding, ids));
    facts
}

/// Rigs that the step needs or uses, each once; the floor is always there.
#[must_use]
pub fn rigs(binding: &Binding<'_>, id: Id<Step>) -> Vec<Id<Rig>> {
    let step = &binding.plan.steps[id];
    let needed = step.needs.iter().filter_map(|need| match need.value {
        Need::Rig(rig) => Some(rig),
        _ => None,
    });
    let used = step.acts().flat_map(|act| mentions::of(&act.does).rigs);
    once(needed.chain(used).filter(|&rig| !binding.plan.rigs[rig].is_floor))
}

/// Tools that the step needs or uses, and the wrench that its torques want.
#[must_use]
pub fn tools(binding: &Binding<'_>, id: Id<Step>) -> Vec<Id<Tool>> {
    let step = &binding.plan.steps[id];
    let needed = step.needs.iter().filter_map(|need| match need.value {
        Need::Tool(tool) => Some(tool),
        _ => None,
    });
    let used = step.acts().flat_map(|act| mentions::of(&act.does).tools);
    once(needed.chain(used).chain(wrenches(binding, id)))
}

/// Scales that the step weighs with.
#[must_use]
pub fn scales(binding: &Binding<'_>, id: Id<Step>) -> Vec<Id<Scale>> {
    let acts = binding.plan.steps[id].acts();
    once(acts.flat_map(|act| mentions::of(&act.does).scales))
}

/// For each torque to be applied, the first torque wrench whose range holds it.
fn wrenches(binding: &Binding<'_>, id: Id<Step>) -> Vec<Id<Tool>> {
    let torques = binding.plan.steps[id].acts().flat_map(|act| match &act.does {
        Does::Tighten(all) => all.as_slice(),
        // Nothing else is done with a torque wrench.
        _ => &[],
    });
    torques
        .filter_map(|fixings| {
            let figure = binding.plan.joints[fixings.joint.value].torque.as_ref()?;
            drives::wrenches(binding.plan, figure.value.torque.known()?).next()
        })
        .collect()
}

fn once<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    let mut each = Vec::new();
    for item in all {
        if !each.contains(&item) {
            each.push(item);
        }
    }
    each
}

/// "sockets **16 mm** and **18 mm**", a fact for each kind.
fn sizes(binding: &Binding<'_>, ids: &[Id<Step>]) -> Vec<Line> {
    let needs: Vec<_> = ids
        .iter()
        .flat_map(|&id| drives::of_step(binding.plan, id))
        .collect();
    let families: BTreeSet<Family> = needs.iter().map(|need| need.family).collect();
    families
        .into_iter()
        .map(|family| {
            let mut sizes: Vec<&str> = Vec::new();
            for need in needs.iter().filter(|need| need.family == family) {
                if !sizes.contains(&need.size.as_str()) {
                    sizes.push(&need.size);
                }
            }
            let (one, many) = family.words(binding);
            let word = if sizes.len() == 1 { one } else { many.as_str() };
            vec![run(format!("{word} ")), strong(and_list(&sizes))]
        })
        .collect()
}

/// "**8** nuts M10 × 1.25, **new**", each kind once, for the joints that the step puts together with new hardware.
fn new_hardware(binding: &Binding<'_>, ids: &[Id<Step>]) -> Vec<Line> {
    let mut joints: Vec<(Id<Joint>, Option<u32>)> = Vec::new();
    for act in ids.iter().flat_map(|&id| binding.plan.steps[id].acts()) {
        let named = act.does.joints().into_iter();
        joints.extend(named.filter(|&(joint, _)| binding.work.puts_back(joint, &act.does)));
    }
    order_list::summed(binding, joints.into_iter())
        .into_iter()
        .map(|order| {
            vec![
                strong(order.count.to_string()),
                run(format!(" {}", order.what)),
                strong(", new"),
            ]
        })
        .collect()
}
