//! Figures that an act states, against what the plan declares of the thing that it handles: fixings of a joint, the height that a rig
//! reaches, the volume that a fluid's system holds. Needs no walk.

use std::collections::BTreeMap;

use super::rule;
use super::totals::IMPOSSIBLE_FIGURE;
use crate::base::finding::Finding;
use crate::base::quantity::Length;
use crate::base::source::Span;
use crate::plan::model::{Content, Does, Extent, Fixings, Fluid, Id, Joint, Plan, Rig, Said, Starts, Step};
use crate::plan::vocabulary::acts::OnJoints;

rule!(
    MORE_THAN_THERE_ARE,
    "more-than-there-are",
    Fault,
    false,
    "An act counts more fixings than its joint has."
);
rule!(
    HIGHER_THAN_RIG,
    "higher-than-rig",
    Fault,
    true,
    "Something is to be raised higher than the rig goes."
);
rule!(
    MORE_THAN_IT_HOLDS,
    "more-than-it-holds",
    Fault,
    true,
    "More is filled in, or was found in it, than a fluid's system holds."
);
rule!(
    BROKEN_NOT_RENEWED,
    "broken-not-renewed",
    Doubt,
    true,
    "A joint that was broken is closed again, and nothing says that its fixings are new."
);

/// Joints that were broken and are closed again as they were.
pub(super) fn broken(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut parted: BTreeMap<Id<Joint>, Span> = BTreeMap::new();
    for (id, act) in acts(plan) {
        if let Does::Break { joint, .. } = &act.does {
            parted.insert(joint.value, joint.at);
        }
        if !matches!(act.does.on_joints(), OnJoints::PutsIn | OnJoints::PressesHome) {
            continue;
        }
        for said in act.does.said_joints() {
            let joint = &plan.joints[said.value];
            let Some(at) = parted
                .remove(&said.value)
                .filter(|_| joint.renew.is_none() && !joint.kind.value.is_broken_apart())
            else {
                continue;
            };
            let name = &joint.head.name;
            let end = joint.fixings.last().map_or(joint.head.at, |fixing| fixing.at);
            let after = Span::new(end.source, end.end, end.end);
            let mut finding = Finding::new(
                &BROKEN_NOT_RENEWED,
                format!("`{name}` was broken, and is closed again"),
            )
            .at(said.at, "closed with what?")
            .at(at, "broken here")
            .harm("The bag holds scrap on the day when it goes back, and nothing was ordered.")
            .mend(format!(
                "Say in the block of `{name}` that its fixings are new: renew"
            ))
            .about(name.to_string())
            .about(plan.steps[id].head.name.to_string());
            if !joint.fixings.is_empty() {
                finding = finding.edit(after, plan.more_of_joint(after, "renew"));
            }
            findings.push(finding);
        }
    }
}

/// Fixings that are not there.
pub(super) fn fixings(plan: &Plan, findings: &mut Vec<Finding>) {
    for (id, act) in acts(plan) {
        match &act.does {
            Does::Slacken(all)
            | Does::Undo(all)
            | Does::Start(all)
            | Does::Join { all, .. }
            | Does::Tighten(all) => {
                for one in all {
                    count(plan, id, one, findings);
                }
            }
            Does::Pin { fixings, .. } => count(plan, id, fixings, findings),
            // It counts no fixings.
            _ => {}
        }
    }
}

/// Acts as they are written; what is derived from one repeats its figures.
fn acts(plan: &Plan) -> impl Iterator<Item = (Id<Step>, &crate::plan::model::Act)> {
    let written = plan.order.iter().filter(|id| plan.steps[**id].derived.is_none());
    written.flat_map(|&id| plan.steps[id].acts().map(move |act| (id, act)))
}

fn count(plan: &Plan, step: Id<Step>, fixings: &Fixings, findings: &mut Vec<Finding>) {
    let Some(said) = fixings.count else { return };
    let joint = &plan.joints[fixings.joint.value];
    let there = joint.fixing_count();
    if said.value <= there {
        return;
    }
    let name = &joint.head.name;
    let has = match there {
        1 => "1 fixing".to_owned(),
        more => format!("{more} fixings"),
    };
    let declared = joint
        .fixings
        .first()
        .map(|fixing| fixing.at)
        .or(joint.count.map(|count| count.at))
        .unwrap_or(joint.head.at);
    let both = Span::new(said.at.source, said.at.start, fixings.joint.at.end);
    findings.push(
        Finding::new(
            &MORE_THAN_THERE_ARE,
            format!("{} of `{name}`, which has {has}", said.value),
        )
        .at(said.at, "so many are counted here")
        .at(declared, "as many as there are")
        .harm(
            "Somebody looks for a bolt that is not there, or the one that is there and not counted stays in.",
        )
        .mend(format!(
            "Without a number it is all of them: {name}; or declare the fixings that are there"
        ))
        .edit(both, name.to_string())
        .about(name.to_string())
        .about(plan.steps[step].head.name.to_string()),
    );
}

/// Heights that a rig does not reach, and heights and ways that are none.
pub(super) fn heights(plan: &Plan, findings: &mut Vec<Finding>) {
    for (id, act) in acts(plan) {
        let mut way = |what: &str, said: Option<Said<Length>>| {
            if let Some(said) = said.filter(|said| said.value.base() <= 0.0) {
                findings.push(nothing(plan, id, format!("{what} {}", said.value), said.at));
            }
        };
        match &act.does {
            Does::Raise { on, to, by, .. } => {
                way("raise to", *to);
                way("raise by", *by);
                if let (Some(on), Some(to)) = (on, to) {
                    height(plan, id, *on, *to, findings);
                }
            }
            Does::Lower { by, .. } => way("lower by", *by),
            Does::Draw { by, .. } => way("draw by", Some(*by)),
            Does::TieUp {
                limit: Some(limit), ..
            } if limit.value.base() <= 0.0 => {
                findings.push(nothing(
                    plan,
                    id,
                    format!("tied up with what bears {}", limit.value),
                    limit.at,
                ));
            }
            Does::Tilt { by: Some(by), .. } => {
                if let Extent::Length(length) = by.value {
                    way("tilt by", Some(Said::new(length, by.at)));
                }
            }
            // It has no length.
            _ => {}
        }
    }
}

/// A figure of nothing, or under.
fn nothing(plan: &Plan, step: Id<Step>, what: String, at: Span) -> Finding {
    let step = &plan.steps[step].head.name;
    Finding::new(&IMPOSSIBLE_FIGURE, format!("`{step}`: {what}"))
        .at(at, "more than nothing")
        .harm("Nobody can do it, and nobody knows what was meant.")
        .mend("Write how much or how far; which way it goes, the act says: raise, lower, drain")
        .about(step.to_string())
}

fn height(plan: &Plan, step: Id<Step>, on: Said<Id<Rig>>, to: Said<Length>, findings: &mut Vec<Finding>) {
    let rig = &plan.rigs[on.value];
    let Some(most) = rig.raises_to else { return };
    if to.value.base() <= most.value.base() * (1.0 + 1e-9) {
        return;
    }
    let name = &rig.head.name;
    findings.push(
        Finding::new(
            &HIGHER_THAN_RIG,
            format!("raised to {}, and `{name}` goes up to {}", to.value, most.value),
        )
        .at(to.at, "higher than it goes")
        .at(most.at, "as high as it goes")
        .harm("It stops short with the job half done, or somebody packs it up with what lies about.")
        .mend(format!(
            "Write {} or less, or name a rig that goes so high",
            most.value
        ))
        .edit(to.at, most.value.to_string())
        .about(name.to_string())
        .about(plan.steps[step].head.name.to_string()),
    );
}

/// What is filled in, and what was found, against what there is room for.
pub(super) fn volumes(plan: &Plan, findings: &mut Vec<Finding>) {
    let starts = plan.about.iter().flat_map(|about| &about.starts);
    for start in starts {
        if let Starts::Holds(fluid, volume) = start {
            let known = &plan.fluids[fluid.value];
            if let Some(holds) = known
                .holds
                .filter(|holds| exceeds(volume.base(), holds.value.base()))
            {
                let what = format!(
                    "`{}` is found with {volume}, and holds {}",
                    known.head.name, holds.value
                );
                findings.push(too_much(plan, fluid.value, what, fluid.at, holds.at));
            }
        }
    }
    // Litres that went in since it was drained; none where that is not known, for what an open line loses nobody counts.
    let mut since: BTreeMap<Id<Fluid>, f64> = BTreeMap::new();
    for &id in &plan.order {
        for act in plan.steps[id].acts() {
            match &act.does {
                Does::Drain { fluids, .. } => {
                    since.extend(fluids.iter().map(|fluid| (fluid.value, 0.0)));
                }
                Does::Bleed(fluids) => fluids.iter().for_each(|fluid| {
                    since.remove(&fluid.value);
                }),
                Does::Undo(all) => {
                    for one in all {
                        for fluid in lines_of(plan, one) {
                            since.remove(&fluid);
                        }
                    }
                }
                Does::Fill {
                    fluids,
                    with: Some(with),
                } => {
                    if with.value.base() <= 0.0 {
                        findings.push(nothing(plan, id, format!("fill {}", with.value), with.at));
                        continue;
                    }
                    for fluid in fluids {
                        let known = &plan.fluids[fluid.value];
                        let before = since.get(&fluid.value).copied();
                        let now = before.unwrap_or(0.0) + with.value.base();
                        if before.is_some() {
                            since.insert(fluid.value, now);
                        }
                        if let Some(holds) = known.holds.filter(|holds| exceeds(now, holds.value.base())) {
                            let again = if before.is_some_and(|before| before > 0.0) {
                                " more"
                            } else {
                                ""
                            };
                            let what = format!(
                                "{}{again} goes into `{}`, which holds {}",
                                with.value, known.head.name, holds.value
                            );
                            findings.push(too_much(plan, fluid.value, what, with.at, holds.at));
                            since.remove(&fluid.value);
                        }
                    }
                }
                // It neither takes out nor puts in.
                _ => {}
            }
        }
    }
}

fn exceeds(volume: f64, holds: f64) -> bool {
    volume > holds * (1.0 + 1e-9)
}

/// The fluids that run out where a joint is undone.
fn lines_of(plan: &Plan, fixings: &Fixings) -> Vec<Id<Fluid>> {
    let joint = &plan.joints[fixings.joint.value];
    let of = joint.of.and_then(|said| match said.value {
        Content::Fluid(fluid) => Some(fluid),
        Content::Energy(_) => None,
    });
    joint.opens.iter().map(|said| said.value).chain(of).collect()
}

fn too_much(plan: &Plan, fluid: Id<Fluid>, what: String, at: Span, holds: Span) -> Finding {
    Finding::new(&MORE_THAN_IT_HOLDS, what)
        .at(at, "more than there is room for")
        .at(holds, "as much as there is room for")
        .harm("It runs over, or a seal gives way; and the account counts a mass that is not there.")
        .mend("Check the decimal point, or write what the system holds")
        .about(plan.fluids[fluid].head.name.to_string())
}
