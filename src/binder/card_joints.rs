//! Rows of acts on one joint: loosening, putting in, tightening. Torque is large only where it is applied.
//! Knows one act at a time, and no card.

use super::binding::Binding;
use super::document::{ActRow, Field, Line, TorqueShown};
use super::fixings_from::{self, Source};
use super::joint_words;
use super::recall::RecordKind;
use super::words::{dotted, run, sentence, strong};
use super::{card_acts::RowMaker, card_marks, proof};
use crate::plan::model::{Fixings, Id, Joint, Load, Said, Step, Thing, Tool};
use crate::plan::vocabulary::acts::ActKind;

/// What is done to the fixings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    Slacken,
    Undo,
    Start,
    Tighten,
}

impl Turn {
    fn verb(self, joint: &Joint) -> &'static str {
        match self {
            Turn::Slacken => ActKind::Slacken.card(),
            Turn::Undo => ActKind::Undo.card(),
            // What has nothing to turn is not started.
            Turn::Start if !joint.is_tightened() => joint.kind.value.row().start,
            Turn::Start => ActKind::Start.card(),
            Turn::Tighten => ActKind::Tighten.card(),
        }
    }
}

/// One row for one joint of the act's list.
#[must_use]
pub fn turn(maker: &mut RowMaker<'_, '_>, what: Turn, fixings: &Fixings) -> ActRow {
    let binding = maker.binding;
    let id = fixings.joint.value;
    let joint = &binding.plan.joints[id];
    let all = joint.fixing_count();
    let only = fixings.count.map(|said| said.value).filter(|&count| count != all);
    let mut object = vec![run(binding.the_joint(id))];
    if let Some(only) = only {
        object.push(run(", "));
        object.push(strong(format!("{only} of {all}")));
    }
    let mut row = maker.row(what.verb(joint), object);
    let (step, nth) = (maker.name().to_owned(), maker.number());
    let key = |mark: u32| proof::fixing(&step, nth, mark);
    let count = only.unwrap_or(all);
    row.marks = match what {
        Turn::Tighten => card_marks::hexagons(joint, count, &key),
        Turn::Slacken | Turn::Undo | Turn::Start => card_marks::rings(joint, count, &key),
    };
    row.facts = facts(binding, what, id, only);
    match what {
        Turn::Undo => {
            row.take_out = joint.fully_out.as_ref().map(|said| match &said.value {
                Some(why) => format!("Take right out. {}", sentence(why)),
                None => "Take right out.".to_owned(),
            });
            row.torque = back_at(binding, id);
        }
        Turn::Slacken => row.torque = back_at(binding, id),
        Turn::Start => row.facts.extend(after_starting(binding, maker.step, id)),
        Turn::Tighten => {
            row.torque = joint_words::torque(binding, joint, true);
            if joint_words::torque_to_come(joint) {
                row.write.push(Field {
                    caption: "torque, from the maker's procedure".to_owned(),
                    unit: Some("N·m".to_owned()),
                    width: 40,
                });
            }
        }
    }
    let restores = what == Turn::Start || (what == Turn::Tighten && !binding.work.is_started_or_pressed(id));
    if restores {
        row.facts.extend(recalled(binding, maker.step, id));
    }
    row.facts.extend(notes(joint));
    row
}

/// The rows of facts, in their fixed order: count and thread, what is new, tool, place; then what hides.
fn facts(binding: &Binding<'_>, what: Turn, id: Id<Joint>, only: Option<u32>) -> Vec<Line> {
    let joint = &binding.plan.joints[id];
    let mut row = vec![joint_words::count_and_thread(joint, only)];
    match what {
        Turn::Start => row.push(joint_words::new_hardware(joint)),
        Turn::Tighten if !binding.work.is_started_or_pressed(id) => {
            row.push(joint_words::new_hardware(joint));
        }
        Turn::Undo if joint.renew.is_some() => row.push(vec![run("not used again")]),
        _ => {}
    }
    if what != Turn::Start {
        row.extend(joint_words::tools(binding, joint));
    }
    row.push(joint_words::place(joint));
    match (what, fixings_from::from(binding, id)) {
        (Turn::Undo | Turn::Start, Source::Bag(bag)) => {
            row.push(vec![run("bag\u{a0}"), strong(bag.to_string())]);
        }
        (Turn::Start, Source::BagOf(bag, old)) => row.push(vec![
            run("bag\u{a0}"),
            strong(bag.to_string()),
            run(format!(", of {}", binding.the_joint(old))),
        ]),
        (Turn::Start, Source::NoBag) => row.push(vec![run("from no bag")]),
        _ => {}
    }
    let mut lines = vec![dotted(row)];
    if what == Turn::Tighten {
        if joint.with_wheels_down.is_some() {
            lines.push(vec![strong(joint_words::standing(binding))]);
        }
        lines.extend(joint_words::tightening(binding, joint));
        if joint.second_check.is_some() {
            lines.push(vec![strong("second check: "), run("another person sees it done")]);
        }
    }
    if what == Turn::Undo
        && let Some(gone) = &joint.gone
    {
        let why = gone.value.as_deref().map(|why| format!(": {why}"));
        lines.push(vec![run(format!(
            "does not come back{}",
            why.unwrap_or_default()
        ))]);
    }
    lines.extend(joint_words::hidden(joint));
    lines.retain(|line| !line.is_empty());
    lines
}

/// The figure that it goes back to; nothing where the joint does not come back.
fn back_at(binding: &Binding<'_>, id: Id<Joint>) -> Option<TorqueShown> {
    let joint = &binding.plan.joints[id];
    let replaced = binding
        .plan
        .joints
        .values()
        .any(|other| other.in_place_of.is_some_and(|said| said.value == id));
    if replaced || joint.gone.is_some() {
        return None;
    }
    joint_words::torque(binding, joint, false)
}

/// Where it is tightened, if not here.
fn after_starting(binding: &Binding<'_>, step: Id<Step>, id: Id<Joint>) -> Option<Line> {
    let here = binding.place(step);
    let later = binding
        .work
        .tightened
        .steps(id)
        .iter()
        .copied()
        .find(|&other| binding.place(other) >= here)?;
    if later == step {
        return None;
    }
    let mut line = vec![run("tightened in "), strong(binding.number(later))];
    if binding.plan.joints[id].with_wheels_down.is_some() {
        line.push(run(format!(", {}", joint_words::standing(binding))));
    }
    Some(line)
}

/// What was recorded of this joint before now.
#[must_use]
pub fn recalled(binding: &Binding<'_>, step: Id<Step>, id: Id<Joint>) -> Vec<Line> {
    let here = binding.place(step);
    let before = |steps: &[Id<Step>]| {
        steps
            .iter()
            .rev()
            .copied()
            .find(|&other| binding.place(other) < here)
    };
    let mut lines = Vec::new();
    if let Some(marked) = before(binding.recalls.marked(id)) {
        lines.push(vec![run("to the mark made in "), strong(binding.number(marked))]);
    }
    if let Some(tagged) = before(binding.recalls.tagged(id)) {
        lines.push(vec![
            run("by the tag hung on in "),
            strong(binding.number(tagged)),
        ]);
    }
    let joint = &binding.plan.joints[id];
    lines.extend(named(binding, step, &[&joint.head.name]));
    lines
}

/// Photographs and figures recorded before now under names that belong to these.
#[must_use]
pub fn named(binding: &Binding<'_>, step: Id<Step>, names: &[&str]) -> Vec<Line> {
    let here = binding.place(step);
    binding
        .recalls
        .named(names)
        .filter(|record| binding.place(record.step) < here)
        .map(|record| {
            let name = record.name.replace('-', " ");
            let number = binding.number(record.step);
            match &record.kind {
                RecordKind::Photograph => {
                    vec![run(format!("photograph “{name}” of ")), strong(number)]
                }
                RecordKind::Measured(Some(figure)) => {
                    vec![
                        run(format!("{name} was ")),
                        strong(figure.clone()),
                        run(format!(" in {number}")),
                    ]
                }
                RecordKind::Measured(None) => {
                    vec![run(format!("{name} as written down in ")), strong(number)]
                }
            }
        })
        .collect()
}

fn notes(joint: &Joint) -> Vec<Line> {
    joint
        .head
        .notes
        .iter()
        .map(|note| vec![run(crate::plan::prose::words_of(&note.text))])
        .filter(|line| !super::document::text_of(line).is_empty())
        .collect()
}

/// `pin N of J`: so many stay, a ring for each that comes out.
#[must_use]
pub fn pin(maker: &mut RowMaker<'_, '_>, fixings: &Fixings, with: Option<Said<Id<Tool>>>) -> ActRow {
    let binding = maker.binding;
    let id = fixings.joint.value;
    let joint = &binding.plan.joints[id];
    let all = joint.fixing_count();
    let stay = fixings.count.map_or(1, |said| said.value).min(all);
    let mut row = maker.row(ActKind::Pin.card(), vec![run(binding.the_joint(id))]);
    let guides = if stay == 1 { "guide" } else { "guides" };
    row.facts.push(vec![
        strong(format!("{stay} of {all}")),
        run(format!(" stay in as {guides}, ")),
        strong(format!("{}", all - stay)),
        run(" out"),
    ]);
    if let Some(tool) = with {
        row.facts.push(vec![run(format!(
            "with the {}",
            binding.inside(&binding.plan.tools[tool.value].head.called())
        ))]);
    }
    row.facts.extend(joint_words::hidden(joint));
    let (step, nth) = (maker.name().to_owned(), maker.number());
    row.marks = card_marks::rings(joint, all - stay, &|mark| proof::fixing(&step, nth, mark));
    row
}

/// The names that a thing's records may belong to.
#[must_use]
pub fn names_of<'a>(binding: &Binding<'a>, load: Load) -> Vec<&'a str> {
    match load {
        Load::Thing(Thing::Part(id)) => vec![&binding.plan.parts[id].head.name],
        Load::Thing(Thing::Assembly(id)) => vec![&binding.plan.assemblies[id].head.name],
        Load::Vehicle(_) => Vec::new(),
    }
}
