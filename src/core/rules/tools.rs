//! The family **tools**: what an act wants and the plan does not list, what no kit holds, what is still in a joint when it is wanted
//! elsewhere, what is too small. Sizes come from the joints' drives, the rest from the steps. Knows not where findings go.

use std::collections::{BTreeMap, BTreeSet};

use super::{Family, rule};
use crate::analysis::account;
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::drives::{self, DriveNeed};
use crate::plan::hazards;
use crate::plan::model::{
    Act, Does, DriveKind, Fluid, Hazard, Id, Joint, Need, OpeningAct, Plan, Said, Step, Tool,
};

rule!(
    TOOL_NOT_LISTED,
    "tool-not-listed",
    Doubt,
    true,
    "An act wants a tool that the plan does not list: a wrench that reaches the torque, a container, a puller."
);
rule!(
    NOT_IN_KIT,
    "not-in-kit",
    Advice,
    true,
    "A size or tool that the work wants is in no kit, and the plan does not say how it is come by."
);
rule!(
    TOOL_NEEDED_LATER,
    "tool-needed-later",
    Doubt,
    true,
    "A tool is left in a joint, as a pin, a clamp or a plug, and another act wants it."
);
rule!(
    CONTAINER_TOO_SMALL,
    "container-too-small",
    Doubt,
    true,
    "More is drained into a container than it holds."
);

rule!(
    FLUIDS_MIXED,
    "fluids-mixed",
    Doubt,
    true,
    "Two fluids run into one container, and nobody empties it between them."
);

/// On what the work wants in the hand.
pub static FAMILY: Family = Family {
    name: "tools",
    about: "what the work wants in the hand",
    rules: &[
        &TOOL_NOT_LISTED,
        &NOT_IN_KIT,
        &TOOL_NEEDED_LATER,
        &CONTAINER_TOO_SMALL,
        &FLUIDS_MIXED,
    ],
};

/// Asks all rules of this family. They are about what is missing, and so asked only of a plan whose text is whole.
pub(super) fn check(plan: &Plan, whole: bool, findings: &mut Vec<Finding>) {
    if !whole {
        return;
    }
    wrenches(plan, findings);
    angles(plan, findings);
    containers(plan, findings);
    pullers(plan, findings);
    sizes(plan, findings);
    tools(plan, findings);
    left_in_a_joint(plan, findings);
}

/// The torques that are applied, each at its act.
fn applied(plan: &Plan) -> impl Iterator<Item = (Id<Joint>, Span)> {
    plan.order
        .iter()
        .flat_map(|&step| plan.steps[step].acts())
        .filter_map(|act| match &act.does {
            Does::Tighten(all) => Some(all),
            // No torque is applied.
            _ => None,
        })
        .flatten()
        .map(|fixings| (fixings.joint.value, fixings.joint.at))
}

/// Torques that no listed wrench reaches; a plan without torque wrenches is not asked.
fn wrenches(plan: &Plan, findings: &mut Vec<Finding>) {
    let ranges: Vec<String> = plan
        .tools
        .values()
        .filter_map(|tool| tool.range)
        .map(|said| format!("{} to {}", said.value.0, said.value.1))
        .collect();
    if ranges.is_empty() {
        return;
    }
    let mut asked: BTreeSet<Span> = BTreeSet::new();
    for (id, at) in applied(plan) {
        let joint = &plan.joints[id];
        let Some(figure) = &joint.torque else { continue };
        if !asked.insert(figure.at) {
            continue;
        }
        let Some(torque) = figure.value.torque.known() else {
            continue;
        };
        if drives::wrenches(plan, torque).next().is_some() {
            continue;
        }
        findings.push(
            Finding::new(
                &TOOL_NOT_LISTED,
                format!("no listed torque wrench is set to {torque}"),
            )
            .at(at, "tightened here")
            .at(figure.at, format!("listed: {}", ranges.join(", ")))
            .harm("It is pulled by feel, or with a wrench at the end of its scale, where it lies.")
            .mend("List the wrench that reaches it, with its range, and how it is come by: borrow, hire, buy")
            .about(joint.head.name.to_string()),
        );
    }
}

/// Fixings turned on by an angle in a step that lays its torque wrench ready, and nothing that shows the angle. A step that lays no
/// torque wrench ready is not asked.
fn angles(plan: &Plan, findings: &mut Vec<Finding>) {
    for &id in &plan.order {
        let step = &plan.steps[id];
        let ready = || {
            step.needs.iter().filter_map(|need| match need.value {
                Need::Tool(tool) => Some(&plan.tools[tool]),
                Need::Rig(_) | Need::Consumable(_) => None,
            })
        };
        let shows_angle = |tool: &Tool| {
            let called = format!("{} {}", tool.head.name, tool.head.called()).to_lowercase();
            ["angle", "angular", "degree", "protractor"]
                .iter()
                .any(|word| called.contains(word))
        };
        if !ready().any(|tool| tool.range.is_some()) || ready().any(shows_angle) {
            continue;
        }
        let all = step.acts().filter_map(|act| match &act.does {
            Does::Tighten(all) => Some(all),
            // Nothing is turned on.
            _ => None,
        });
        let turned = all.flatten().find_map(|fixings| {
            let figure = plan.joints[fixings.joint.value].torque.as_ref()?;
            Some((fixings.joint, figure.at, figure.value.then?))
        });
        let Some((joint, at, angle)) = turned else {
            continue;
        };
        let name = &plan.joints[joint.value].head.name;
        let mut finding = Finding::new(
            &TOOL_NOT_LISTED,
            format!("`{name}` is turned on by {angle}, and nothing that shows it lies ready"),
        )
        .at(joint.at, "turned on here")
        .at(at, "by this angle")
        .harm("It is turned by eye: ten degrees less and it works loose, more and it stretches further than it was made for.")
        .mend("Add the angle gauge to what the step `needs`; declare it as a tool with `angle` in its name")
        .about(name.to_string());
        finding.severity = Severity::Advice;
        findings.push(finding);
    }
}

/// Liquids that are drained into nothing, or into too little.
fn containers(plan: &Plan, findings: &mut Vec<Finding>) {
    let any_listed = plan.tools.values().any(|tool| tool.holds.is_some());
    let holds = |tool: Id<Tool>| plan.tools[tool].holds.is_some();
    // What stands in each from the steps before, until it is poured back or somebody says that it is empty.
    let mut stands: BTreeMap<Id<Tool>, Said<Id<Fluid>>> = BTreeMap::new();
    for &id in &plan.order {
        let step = &plan.steps[id];

        let at_hand = step
            .needs
            .iter()
            .any(|need| matches!(need.value, Need::Tool(tool) if holds(tool)));
        let mut filled: BTreeMap<Id<Tool>, f64> = BTreeMap::new();
        let mut holds_now: BTreeMap<Id<Tool>, Said<Id<Fluid>>> = BTreeMap::new();
        for act in step.acts() {
            if says_emptied(act) {
                stands.clear();
            }
            if let Does::Fill { fluids, .. } = &act.does {
                let back = |fluid: Id<Fluid>| fluids.iter().any(|said| said.value == fluid);
                stands.retain(|_, said| !back(said.value));
            }
            let Does::Drain { fluids, into } = &act.does else {
                continue;
            };
            let Some(tool) = into else {
                if any_listed && !at_hand {
                    findings.push(no_container(plan, act.at, fluids.iter().map(|said| said.value)));
                }
                continue;
            };
            for fluid in fluids {
                let before = stands
                    .get(&tool.value)
                    .filter(|before| before.value != fluid.value);
                let now = *holds_now.entry(tool.value).or_insert(*fluid);
                if now.value != fluid.value {
                    findings.push(mixed(plan, *tool, now, *fluid, true));
                } else if let Some(&before) = before {
                    findings.push(mixed(plan, *tool, before, *fluid, false));
                }
                stands.insert(tool.value, *fluid);
            }
            let volume: f64 = fluids.iter().map(|fluid| runs_out(plan, fluid.value)).sum();
            let before = filled.entry(tool.value).or_insert(0.0);
            *before += volume;
            let Some(capacity) = plan.tools[tool.value].holds else {
                if volume > 0.0 {
                    findings.push(no_volume(plan, *tool, volume));
                }
                continue;
            };
            if *before > capacity.value.base() * (1.0 + 1e-9) {
                let head = &plan.tools[tool.value].head;
                let burns = fluids
                    .iter()
                    .any(|said| hazards::of_fluid(&plan.fluids[said.value]).contains(&Hazard::Fuel));
                let mut finding = Finding::new(
                    &CONTAINER_TOO_SMALL,
                    format!(
                        "`{}` takes {}, and {} l run out",
                        head.name,
                        capacity.value,
                        litres(*before)
                    ),
                )
                .at(tool.at, "drained into this")
                .at(capacity.at, "holds no more")
                .harm("It runs over while somebody lies beside it.")
                .mend("Drain into a larger one, or empty it between two steps")
                .about(head.name.to_string());
                // What runs over burns.
                if burns {
                    finding.severity = Severity::Fault;
                }
                findings.push(finding);
            }
        }
    }
}

/// Nobody knows whether it is large enough.
fn no_volume(plan: &Plan, tool: Said<Id<Tool>>, volume: f64) -> Finding {
    let head = &plan.tools[tool.value].head;
    let mut finding = Finding::new(
        &CONTAINER_TOO_SMALL,
        format!(
            "nobody knows what `{}` takes, and {} l run out",
            head.name,
            litres(volume)
        ),
    )
    .at(tool.at, "drained into this")
    .at(head.at, "no `holds` here")
    .harm("It runs over while somebody lies beside it.")
    .mend(format!(
        "Say in the block of `{}` what it takes: holds 10 l; or name another",
        head.name
    ))
    .about(head.name.to_string());
    finding.severity = Severity::Advice;
    finding
}

/// A look or a check that speaks of a container that was emptied.
fn says_emptied(act: &Act) -> bool {
    const STEMS: &[&str] = &["empt", "pour", "dispos", "decant"];
    let says = |text: &str| {
        let text = text.to_lowercase();
        let mut words = text.split(|c: char| !c.is_alphabetic());
        words.any(|word| STEMS.iter().any(|stem| word.starts_with(stem)))
    };
    match &act.does {
        Does::Look(what) | Does::Verify { what: Some(what), .. } => says(what),
        // Nothing else has words.
        _ => false,
    }
}

fn mixed(
    plan: &Plan,
    tool: Said<Id<Tool>>,
    first: Said<Id<Fluid>>,
    second: Said<Id<Fluid>>,
    at_once: bool,
) -> Finding {
    let name = |fluid: Said<Id<Fluid>>| &plan.fluids[fluid.value].head.name;
    let head = &plan.tools[tool.value].head;
    Finding::new(
        &FLUIDS_MIXED,
        if at_once {
            format!(
                "`{}` and `{}` run into `{}` in one step",
                name(first),
                name(second),
                head.name
            )
        } else {
            format!(
                "`{}` runs into `{}`, which has `{}` in it",
                name(second),
                head.name,
                name(first)
            )
        },
    )
    .at(second.at, "the second")
    .at(first.at, "the first")
    .harm("Neither goes back in, and no collecting point takes the two mixed.")
    .mend(format!(
        "A container for each; or a step of its own for the second, and in it before the draining: look \"{} emptied and wiped out\"",
        head.name
    ))
    .about(head.name.to_string())
    .about(name(second).to_string())
}

fn no_container(plan: &Plan, at: Span, fluids: impl Iterator<Item = Id<Fluid>>) -> Finding {
    let names: Vec<&str> = fluids.map(|fluid| &*plan.fluids[fluid].head.name).collect();
    let mut finding = Finding::new(
        &TOOL_NOT_LISTED,
        format!("{} is drained into nothing", names.join(", ")),
    )
    .at(at, "into what?")
    .harm("The nearest bucket is too small, or was for something else.")
    .mend(format!(
        "Name the container: drain {} into TOOL",
        names.join(", ")
    ));
    for name in names {
        finding = finding.about(name);
    }
    finding
}

/// Litres that a fluid may run out by.
fn runs_out(plan: &Plan, fluid: Id<Fluid>) -> f64 {
    account::runs_out(plan, fluid).map_or(0.0, |volume| volume.base())
}

fn litres(volume: f64) -> String {
    let rounded = (volume * 10.0).round() / 10.0;
    format!("{rounded}")
}

/// Tapers and press fits that are pressed apart with nothing, in a plan that lists tools.
fn pullers(plan: &Plan, findings: &mut Vec<Finding>) {
    if plan.tools.is_empty() {
        return;
    }
    for &id in &plan.order {
        let step = &plan.steps[id];
        let at_hand = step.needs.iter().any(|need| matches!(need.value, Need::Tool(_)));
        for act in step.acts() {
            let Does::PressApart { joints, with: None } = &act.does else {
                continue;
            };
            if at_hand {
                continue;
            }
            let names: Vec<&str> = joints
                .iter()
                .map(|said| &*plan.joints[said.value].head.name)
                .collect();
            let mut finding = Finding::new(
                &TOOL_NOT_LISTED,
                format!("{} is pressed apart with nothing", names.join(", ")),
            )
            .at(act.at, "with what?")
            .harm("It is beaten out, and what it sits in with it.")
            .mend(format!(
                "Name the tool: press apart {} with TOOL",
                names.join(", ")
            ));
            for name in names {
                finding = finding.about(name);
            }
            findings.push(finding);
        }
    }
}

/// Where a size is first wanted.
struct FirstWant {
    drive: Span,
    step: Id<Step>,
    joints: Vec<String>,
    /// For a nut behind a head of the same size.
    second: bool,
}

/// Sizes that the kits do not hold, each once, at the first step that wants it.
fn sizes(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut wants: BTreeMap<(drives::Family, i64, String), FirstWant> = BTreeMap::new();
    let mut asked: BTreeSet<Id<Joint>> = BTreeSet::new();
    for &step in &plan.order {
        for id in plan.steps[step].acts().flat_map(|act| drives::turned(&act.does)) {
            if !asked.insert(id) {
                continue;
            }
            let joint = &plan.joints[id];
            let name = joint.head.name.to_string();
            for (need, drive) in drives::of_joint(joint).into_iter().zip(&joint.drives) {
                let missing = drives::in_kit(plan, &need) == Some(false);
                let second =
                    !missing && drive.kind == DriveKind::NutHead && lacks_a_second(plan, joint, &need);
                if !missing && !second {
                    continue;
                }
                let want = wants
                    .entry((need.family, need.across, need.size))
                    .or_insert_with(|| FirstWant {
                        drive: drive.at,
                        step,
                        joints: Vec::new(),
                        second,
                    });
                if !want.joints.contains(&name) {
                    want.joints.push(name.clone());
                }
            }
        }
    }
    findings.extend(
        wants
            .into_iter()
            .map(|((family, _, size), want)| no_size(plan, family, &size, want)),
    );
}

/// Bolt head and nut of one size want two of it at once.
fn lacks_a_second(plan: &Plan, joint: &Joint, nut: &DriveNeed) -> bool {
    let head = drives::of_joint(joint)
        .into_iter()
        .zip(&joint.drives)
        .any(|(need, drive)| drive.kind == DriveKind::Head && need.across == nut.across);
    head && drives::second_in_kit(plan, nut.across) == Some(false)
}

fn no_size(plan: &Plan, family: drives::Family, size: &str, want: FirstWant) -> Finding {
    let word = family.short_word();
    // What no kit lists is never missed in one.
    let list = family.kit_list().unwrap_or("has");
    let step = &plan.steps[want.step].head;
    let what = if want.second {
        format!("head and nut want two of {size}, and the kit has one")
    } else {
        format!("no kit has a {word} {size}")
    };
    let mut finding = Finding::new(&NOT_IN_KIT, what)
        .at(want.drive, "wanted for this")
        .at(step.at, "first in this step")
        .harm("The job stands open while somebody drives to the shop, or the head is rounded with the next size.")
        .mend(format!("Get one before then, and add it to the kit: {list} {size}"));
    for joint in want.joints {
        finding = finding.about(joint);
    }
    finding
}

/// Tools that steps name and no kit holds, unless the plan says how they are come by. Of several wrenches that reach a torque one is
/// enough.
fn tools(plan: &Plan, findings: &mut Vec<Finding>) {
    if plan.kits.values().all(|kit| kit.has.is_empty()) {
        return;
    }
    let in_kits: BTreeSet<Id<Tool>> = plan
        .kits
        .values()
        .flat_map(|kit| &kit.has)
        .map(|said| said.value)
        .collect();
    let come_by = |tool: Id<Tool>| plan.tools[tool].supply.way.is_some() || in_kits.contains(&tool);
    let mut told: BTreeSet<Id<Tool>> = BTreeSet::new();
    let mut tell = |tool: Id<Tool>, at: Span, step: Id<Step>, findings: &mut Vec<Finding>| {
        if come_by(tool) || !told.insert(tool) {
            return;
        }
        let head = &plan.tools[tool].head;
        findings.push(
            Finding::new(&NOT_IN_KIT, format!("no kit has `{}`", head.name))
                .at(at, "wanted here first")
                .at(head.at, "neither in a kit nor said how it is come by")
                .harm("The job stands open while somebody looks for it.")
                .mend(format!(
                    "In a kit: has {}; or on the tool: borrow, hire, buy",
                    head.name
                ))
                .about(head.name.to_string())
                .about(plan.steps[step].head.name.to_string()),
        );
    };
    for &id in &plan.order {
        let step = &plan.steps[id];
        for need in &step.needs {
            if let Need::Tool(tool) = need.value {
                tell(tool, need.at, id, findings);
            }
        }
        for act in step.acts() {
            if let Some(tool) = act.does.tool() {
                tell(tool.value, tool.at, id, findings);
            }
            let Does::Tighten(all) = &act.does else {
                continue;
            };
            for fixings in all {
                let figure = plan.joints[fixings.joint.value].torque.as_ref();
                let Some(torque) = figure.and_then(|figure| figure.value.torque.known()) else {
                    continue;
                };
                let reach: Vec<Id<Tool>> = drives::wrenches(plan, torque).collect();
                if let (Some(&first), false) = (reach.first(), reach.iter().any(|&tool| come_by(tool))) {
                    tell(first, fixings.joint.at, id, findings);
                }
            }
        }
    }
}

/// Tools that stand in a joint while another act wants them. Of what comes in pairs and sets there is more than one.
fn left_in_a_joint(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut inside: BTreeMap<Id<Tool>, (Id<Joint>, Span)> = BTreeMap::new();
    let mut told: BTreeSet<Id<Tool>> = BTreeSet::new();
    let mut ask = |tool: Id<Tool>, at: Span, inside: &BTreeMap<Id<Tool>, (Id<Joint>, Span)>| {
        let (joint, since) = inside.get(&tool)?;
        if several(plan, tool) || !told.insert(tool) {
            return None;
        }
        let (tool, joint) = (&plan.tools[tool].head.name, &plan.joints[*joint].head.name);
        Some(
            Finding::new(&TOOL_NEEDED_LATER, format!("`{tool}` is still in `{joint}`"))
                .at(at, "wanted here")
                .at(*since, "put in here")
                .harm("It is pulled out where it holds something, or the work stands still.")
                .mend("Take it out first, or list a second one")
                .about(tool.to_string())
                .about(joint.to_string()),
        )
    };
    for &id in &plan.order {
        let step = &plan.steps[id];
        for need in &step.needs {
            if let Need::Tool(tool) = need.value {
                findings.extend(ask(tool, need.at, &inside));
            }
        }
        for act in step.acts() {
            let freed = frees(&act.does);
            inside.retain(|_, (joint, _)| !freed.contains(joint));
            let Some(tool) = act.does.tool() else { continue };
            findings.extend(ask(tool.value, tool.at, &inside));
            if let Some(joint) = stays_in(&act.does) {
                inside.insert(tool.value, (joint, tool.at));
            }
        }
    }
}

/// The joint that an act leaves its tool in.
fn stays_in(does: &Does) -> Option<Id<Joint>> {
    match does {
        Does::Pin { fixings, .. } => Some(fixings.joint.value),
        Does::Opening {
            act: OpeningAct::Clamp | OpeningAct::Cap | OpeningAct::Plug,
            joints,
            ..
        } => joints.first().map(|said| said.value),
        // Its tool comes away with it.
        _ => None,
    }
}

/// Joints that give back the tools in them.
fn frees(does: &Does) -> Vec<Id<Joint>> {
    match does {
        Does::Undo(all) | Does::Start(all) | Does::Join { all, .. } | Does::Tighten(all) => {
            all.iter().map(|fixings| fixings.joint.value).collect()
        }
        Does::Opening {
            act: OpeningAct::Unclamp | OpeningAct::Uncap | OpeningAct::Unplug,
            joints,
            ..
        } => joints.iter().map(|said| said.value).collect(),
        // No tool comes out by it.
        _ => Vec::new(),
    }
}

/// "A pair", "a set", and whatever is named in the plural.
fn several(plan: &Plan, tool: Id<Tool>) -> bool {
    let head = &plan.tools[tool].head;
    let title = head.title.as_deref().unwrap_or("").to_lowercase();
    head.name.ends_with('s')
        || title.split(|c: char| !c.is_alphabetic()).any(|word| {
            matches!(
                word,
                "pair" | "set" | "two" | "three" | "four" | "six" | "several"
            )
        })
}
