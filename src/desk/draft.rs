//! `draft`: the steps that take things off, as plan text on standard output; or what keeps one on.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::command_line::Draft;
use super::lint::compiled;
use super::numbers::{kept, step_named};
use super::state::{perhaps, unwalked};
use super::surroundings::Surroundings;
use super::talk::{self, Progress};
use super::{Outcome, Trouble};
use crate::base::finding::{Finding, Severity};
use crate::compile::{Compilation, tried, with_steps};
use crate::plan::model::{End, Id, Plan, Rig, Step, Thing};
use crate::rules::nearest;
use crate::rules::support_loads::OVER_RATED;
use crate::walk::draft::{Blocked, Draft as Way, draft_without as work_out};

pub(super) fn draft(asked: &Draft, around: &Surroundings) -> Result<Outcome, Trouble> {
    let progress = Progress::new(around);
    let done = compiled(&asked.path, &progress);
    progress.done();
    let done = done?;
    let compilation = done.compilation;
    if compilation.unwalked {
        return Err(unwalked());
    }
    let plan = &compilation.plan;
    let numbers = kept(&asked.numbers.binder, plan, &done.name).numbers(plan);
    let after = asked
        .after
        .as_deref()
        .map(|name| step_named(plan, &numbers, name))
        .transpose()?;
    let (mut ways, mut backs): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    // Where the first begins, so that the whole is tried there; and what the plan is with those before.
    let mut begins: Option<Option<Id<Step>>> = None;
    let mut with: Option<Compilation> = None;
    for name in asked.off.iter().map(|name| name.trim()) {
        let base = with.as_ref().unwrap_or(&compilation);
        let thing = thing_named(&base.plan, name)?;
        let behind = match begins {
            Some(_) => base.plan.order.last().copied(),
            None => after,
        };
        let (draft, text) = match way_off(base, thing, behind) {
            Ok(way) => way,
            // It left with one before it.
            Err((true, _)) if begins.is_some() => continue,
            Err((_, told)) => {
                talk::sentence(&told, around);
                return Ok(Outcome::Findings);
            }
        };
        let (off, back) = in_two(&text);
        with = Some(with_steps(base, &off, draft.after).0);
        begins.get_or_insert(draft.after);
        ways.push(off);
        backs.insert(0, back);
    }
    let text = together(&ways, &backs);
    let found = tried(&compilation, &text, begins.flatten()).unwrap_or_default();
    let mut shown = String::new();
    for finding in &found {
        shown.push_str(&format!(
            "# {}: {}. {}\n",
            finding.severity.word(),
            finding.what,
            finding.mend.words.replace('\n', " ")
        ));
    }
    talk::show(&(shown + &text))
}

/// The steps that take it off, and the stage that puts it back.
fn in_two(text: &str) -> (String, String) {
    let back = text.rfind("\nstage ").map_or(text.len(), |at| at + 1);
    let (off, back) = text.split_at(back);
    (off.to_owned(), back.to_owned())
}

/// Several ways off one after the other, and the ways back in the other order; what is said of where they stand is said once.
fn together(ways: &[String], backs: &[String]) -> String {
    let of_list = "# For the plan's list of stages: ";
    let mut text = String::new();
    let mut stages: Vec<&str> = Vec::new();
    for (nth, way) in ways.iter().enumerate() {
        for line in way.lines() {
            let place = line.starts_with("# Goes after") || line.starts_with("# Begins with");
            if let Some(listed) = line.strip_prefix(of_list) {
                stages.extend(listed.split(", "));
            } else if nth == 0 || !place {
                text.push_str(line);
                text.push('\n');
            }
        }
    }
    for back in backs {
        text.push_str(back);
    }
    if stages.is_empty() {
        return text;
    }
    // Each way off before all ways back.
    let (off, back): (Vec<&str>, Vec<&str>) = (
        stages.iter().step_by(2).copied().collect(),
        stages.iter().skip(1).step_by(2).rev().copied().collect(),
    );
    let all: Vec<&str> = off.into_iter().chain(back).collect();
    let head = text.find("stage ").unwrap_or(0);
    let (comments, rest) = text.split_at(head);
    format!("{comments}{of_list}{}\n{rest}", all.join(", "))
}

/// The way off one thing that lint lets pass; or what is in the way, and whether that is only that it is off already.
fn way_off(
    compilation: &Compilation,
    thing: Thing,
    after: Option<Id<Step>>,
) -> Result<(Way, String), (bool, String)> {
    let plan = &compilation.plan;
    let masses = compilation.weights();
    let mut weak: BTreeSet<Id<Rig>> = BTreeSet::new();
    let mut first: Option<String> = None;
    // A rig that turns out too weak for the vehicle is left out, and what is left is tried: only where none bears it the first is told.
    loop {
        let draft = match work_out(plan, masses.table(), thing, after, &weak) {
            Ok(draft) => draft,
            Err(why) => {
                let off = matches!(why, Blocked::Off);
                return Err((off, first.unwrap_or_else(|| blocked(plan, thing, &why))));
            }
        };
        let text = draft.text(plan, thing);
        let found = match tried(compilation, &text, draft.after) {
            Ok(found) => found,
            Err(unread) => return Err((false, not_offered(plan, thing, &[&unread]))),
        };
        // What a lint would refuse is not offered; a message that is missing is named, for it is the owner's to choose.
        let refused: Vec<&Finding> = found
            .iter()
            .filter(|finding| finding.severity == Severity::Fault && is_of_the_work(finding))
            .collect();
        if refused.is_empty() {
            return Ok((draft, text));
        }
        let over: Vec<&str> = refused
            .iter()
            .filter(|finding| finding.rule.name == OVER_RATED.name)
            .flat_map(|finding| finding.about.iter().map(String::as_str))
            .collect();
        let before = weak.len();
        let named = plan
            .rigs
            .iter()
            .filter(|(_, rig)| over.contains(&&*rig.head.name));
        weak.extend(named.map(|(id, _)| id));
        let told = not_offered(plan, thing, &refused);
        if weak.len() == before {
            // Where it stands on what bears it, what is in the way of that is told.
            return Err((false, first.filter(|_| !over.is_empty()).unwrap_or(told)));
        }
        first.get_or_insert(told);
    }
}

/// What falls, is tied, is live or out of reach; a message that is missing is the owner's to choose.
fn is_of_the_work(finding: &Finding) -> bool {
    crate::rules::catalogue().iter().any(|family| {
        matches!(family.name, "order" | "support" | "springs")
            && family.rules.iter().any(|rule| rule.name == finding.rule.name)
    })
}

/// What keeps a draft from being one that lint accepts.
fn not_offered(plan: &Plan, thing: Thing, found: &[&Finding]) -> String {
    let name = name_of(plan, thing);
    let mut text = format!("No way is found to take off {name} that would pass. What is in the way:");
    for finding in found {
        text.push_str(&format!("\n{}. {}", finding.what, finding.mend.words));
    }
    text
}

fn name_of(plan: &Plan, thing: Thing) -> &str {
    match thing {
        Thing::Part(id) => &plan.parts[id].head.name,
        Thing::Assembly(id) => &plan.assemblies[id].head.name,
    }
}

fn thing_named(plan: &Plan, name: &str) -> Result<Thing, Trouble> {
    let parts = plan
        .parts
        .iter()
        .map(|(id, part)| (&*part.head.name, Thing::Part(id)));
    let assemblies = plan
        .assemblies
        .iter()
        .map(|(id, assembly)| (&*assembly.head.name, Thing::Assembly(id)));
    let all: Vec<(&str, Thing)> = parts.chain(assemblies).collect();
    let found = all.iter().find(|(other, _)| *other == name);
    found.map(|(_, thing)| *thing).ok_or_else(|| {
        let near = nearest(name, all.iter().map(|(name, _)| *name));
        Trouble::new(format!(
            "No part or assembly of the plan is called {name}.{}",
            perhaps(&near)
        ))
    })
}

fn blocked(plan: &Plan, thing: Thing, why: &Blocked) -> String {
    let name = name_of(plan, thing);
    match why {
        Blocked::Off => format!("{name} is off already, where the work would begin."),
        Blocked::Stays => format!("{name} is the body of the machine: everything else comes off it."),
        Blocked::Ring(ring) => {
            let mut text =
                format!("{name} cannot come off as the plan declares it: things cover each other in a ring.");
            for (at, (part, joint)) in ring.iter().enumerate() {
                let next = ring.get((at + 1) % ring.len()).map_or(*part, |(next, _)| *next);
                text.push_str(&format!(
                    "\n{} waits for {}, which covers its joint {}.",
                    plan.parts[*part].head.name, plan.parts[next].head.name, plan.joints[*joint].head.name
                ));
            }
            text + "\nOne of these `covered by` lines says more than is so, or one of the things can be moved aside."
        }
        Blocked::NoRig(end, joint) => {
            let end = match end {
                Some(End::Front) => "the front",
                Some(End::Rear) => "the rear",
                None => "an end",
            };
            format!(
                "For joint {} {end} of the vehicle has to be up, and no rig of the plan gets it up and holds it there. Declare one that lifts and one that holds, or one that does both.",
                plan.joints[*joint].head.name
            )
        }
        Blocked::NoHolder(part) => format!(
            "Nothing in the plan can hold {} while its last joints are undone. Declare a rig that is rated for it, or give the part its mass.",
            plan.parts[*part].head.name
        ),
    }
}
