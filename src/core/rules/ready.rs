//! The family **order**: what runs, drives, rolls or is weighed before it is ready for that. The statics stand with the others of the family.

use super::order_acts::{EARTH_NOT_FIRST, FUEL_NEAR_LIVE, NO_CHOCKS, NOT_READY, WEIGHED_ON_STANDS};
use super::phrases::Wording;
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::hazards;
use crate::plan::model::{Content, Does, EnergyKind, Head, Id, Joint, Load, Need, Part, Plan, Step};
use crate::walk::breaks::Subject;

pub(super) fn not_ready(tell: Wording<'_>) -> Finding {
    let (mut loose, mut fluids, mut up) = (Vec::new(), Vec::new(), Vec::new());
    let mut off = Vec::new();
    let mut acts: Vec<String> = Vec::new();
    for &subject in &tell.of.of {
        match subject {
            Subject::Joint(joint) => {
                loose.push(subject);
                acts.push(match tell.of.apart.contains(&subject) {
                    true => tell.closing(joint),
                    false => format!("tighten {}", tell.bare(subject)),
                });
            }
            Subject::Fluid(fluid) => {
                fluids.push(subject);
                let empty = tell.of.apart.contains(&subject);
                let bled = tell.plan.fluids[fluid].needs_bleeding.is_some();
                let fill = empty.then(|| format!("fill {}", tell.bare(subject)));
                let bleed = bled.then(|| format!("bleed {}", tell.bare(subject)));
                acts.extend(fill.into_iter().chain(bleed));
            }
            Subject::End(_) => {
                up.push(subject);
                acts.push(format!("set {} down on floor", tell.bare(subject)));
            }
            Subject::Part(_) => {
                off.push(subject);
                acts.push(format!("fit {}", tell.bare(subject)));
            }
            // Nothing else is asked.
            _ => {}
        }
    }
    let is = |list: &[Subject]| if list.len() == 1 { "is" } else { "are" };
    let mut what: Vec<String> = Vec::new();
    if !loose.is_empty() {
        what.push(format!("{} {} not tight", tell.list(&loose), is(&loose)));
    }
    if !fluids.is_empty() {
        what.push(format!(
            "{} {} not filled and bled",
            tell.list(&fluids),
            is(&fluids)
        ));
    }
    if !off.is_empty() {
        what.push(format!("{} {} off", tell.list(&off), is(&off)));
    }
    if !up.is_empty() {
        what.push(format!("{} {} up", tell.list(&up), is(&up)));
    }
    // Only of what is bled the fluid is named.
    let bled = matches!(tell.of.with.first(), Some(Subject::Fluid(_)));
    let (here, harm) = match bled {
        true => (
            "the pedal is pumped here",
            "A piston comes out of its bore, and the fluid after it.",
        ),
        false => (
            "runs, drives or rolls here",
            "A wheel comes off, the pedal goes to the floor, or it runs dry.",
        ),
    };
    let finding = tell
        .finding(
            &NOT_READY,
            format!("not ready for this: {}", what.join("; ")),
            here,
        )
        .harm(harm);
    let finding = tell.write_before(finding, &acts.join("; "));
    finding.mend(format!(
        "Before this act: {}; or move this act after the step that does",
        acts.join("; ")
    ))
}

pub(super) fn weighed_on_stands(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &WEIGHED_ON_STANDS,
            format!(
                "{} {} on {} while the vehicle is weighed",
                tell.all(),
                tell.form("is", "are"),
                tell.other()
            ),
            "weighed here",
        )
        .harm("The scale reads what is left over: every sum that is made with it is wrong.");
    // The whole of it comes down at once.
    let whole = tell.plan.vehicle().filter(|_| tell.several());
    let up = whole.map_or_else(
        || tell.bare(tell.first()),
        |id| tell.plan.vehicles[id].head.name.to_string(),
    );
    let lifts = tell.of.with.iter().any(|subject| match subject {
        Subject::Rig(rig) => tell.plan.rigs[*rig].lifts.is_some(),
        _ => false,
    });
    // It comes off what only holds when something lifts it.
    match tell.lifter().filter(|_| !lifts) {
        Some(rig) => tell.write_before(finding, &format!("raise {up} on {rig}; set {up} down on floor")),
        None => tell.write_before(finding, &format!("set {up} down on floor")),
    }
}

pub(super) fn fuel_near_live(tell: Wording<'_>) -> Finding {
    let energy = tell.bare(tell.first());
    tell.finding(
        &FUEL_NEAR_LIVE,
        format!(
            "{} is live while a line of {} is opened or stands open",
            tell.all(),
            tell.other()
        ),
        "fuel runs or smells here",
    )
    .harm("A relay, a lamp or a spanner makes the spark that lights it.")
    .mend(format!(
        "Part {energy} before the line is opened, and join it when the lines are shut"
    ))
}

/// The first time that one end alone leaves the ground, with no word of chocks in the steps up to it.
pub(super) fn chocks(plan: &Plan, findings: &mut Vec<Finding>) {
    let sketch = plan.cautions.is_empty() && plan.steps.values().all(|step| step.time.is_none());
    let machine = plan.vehicle().is_some_and(|id| plan.vehicles[id].is_machine);
    if sketch || machine {
        return;
    }
    for &id in &plan.order {
        let step = &plan.steps[id];
        if names_chocks(plan, step) {
            return;
        }
        for act in step.acts() {
            if let Does::Raise {
                things,
                end: Some(_),
                on: Some(rig),
                ..
            } = &act.does
                && things.iter().any(|said| matches!(said.value, Load::Vehicle(_)))
                && plan.rigs[rig.value].lifts.is_some()
            {
                findings.push(
                    Finding::new(
                        &NO_CHOCKS,
                        "one end goes up, and nothing is said of chocks".to_owned(),
                    )
                    .at(act.at, "the other end can roll")
                    .harm(
                        "It rolls off the jack; the hand brake may hold the very wheels that are in the air.",
                    )
                    .mend("Declare `tool chocks \"Wheel chocks\"`, and in this step: needs chocks")
                    .about(step.head.name.to_string()),
                );
                return;
            }
        }
    }
}

/// A tool, a message or a look that speaks of what lies before a wheel.
fn names_chocks(plan: &Plan, step: &Step) -> bool {
    const WORDS: &[&str] = &["chock", "chocks", "chocked"];
    let says = |text: &str| {
        let text = text.to_lowercase();
        let mut words = text.split(|c: char| !c.is_alphabetic());
        words.any(|word| WORDS.contains(&word))
    };
    let called = |head: &Head| says(&head.name) || head.title.as_deref().is_some_and(says);
    let needs = step.needs.iter().any(|need| match need.value {
        Need::Tool(tool) => called(&plan.tools[tool].head),
        Need::Rig(rig) => called(&plan.rigs[rig].head),
        Need::Consumable(what) => called(&plan.consumables[what].head),
    });
    let of_stage = step.stage.map(|stage| plan.stages[stage].cautions.iter());
    let warned = step
        .cautions
        .iter()
        .chain(of_stage.into_iter().flatten())
        .any(|said| {
            let caution = &plan.cautions[said.value];
            caution.avoid.iter().any(|said| says(&said.value))
        });
    let seen = step.acts().any(|act| match &act.does {
        Does::Look(what) | Does::Verify { what: Some(what), .. } => says(what),
        // Nothing else has words.
        _ => false,
    });
    needs || warned || seen
}

/// What the leads of one battery are, and what else is said to be of its supply.
struct Leads {
    earth: Vec<Id<Joint>>,
    live: Vec<Id<Joint>>,
    plugs: Vec<Id<Joint>>,
}

/// The earth comes off first and goes on last: a spanner on the live pole that touches the body else draws what the battery can give.
pub(super) fn earth_first(plan: &Plan, findings: &mut Vec<Finding>) {
    let batteries = plan
        .energies
        .values()
        .filter(|energy| energy.kind.is_some_and(|kind| kind.value == EnergyKind::Electric))
        .flat_map(|energy| energy.in_parts.iter().map(|said| said.value));
    // Plans that do not say what a supply is in call the battery by its name.
    let supplied = plan
        .energies
        .values()
        .any(|energy| energy.kind.is_some_and(|kind| kind.value == EnergyKind::Electric));
    let called = plan
        .parts
        .iter()
        .filter(|(_, part)| supplied && hazards::is_battery(part))
        .map(|(id, _)| id);
    let mut told: Vec<Id<Part>> = Vec::new();
    for battery in batteries.chain(called) {
        let leads = leads(plan, battery);
        let others = !leads.live.is_empty() || !leads.plugs.is_empty();
        if leads.earth.is_empty() || !others || told.contains(&battery) {
            continue;
        }
        told.push(battery);
        judge(plan, &leads, findings);
    }
}

/// What goes to the body is earth, whatever it is called; where all of them do, or none, their names tell.
fn leads(plan: &Plan, battery: Id<Part>) -> Leads {
    let body = plan
        .vehicle()
        .and_then(|id| plan.vehicles[id].body)
        .map(|said| said.value);
    let mut all: Vec<(Id<Joint>, bool)> = Vec::new();
    for (id, joint) in plan.joints.iter() {
        let ends: Vec<Id<Part>> = joint
            .ends
            .iter()
            .flatten()
            .flat_map(|end| plan.parts_of(end.value))
            .collect();
        let lead = joint.kind.value.is_lead() && !joint.is_bearing_strap();
        if lead && ends.contains(&battery) {
            all.push((id, body.is_some_and(|body| ends.contains(&body))));
        }
    }
    let to_body = all.iter().filter(|(_, to_body)| *to_body).count();
    let by_ends = to_body > 0 && to_body < all.len();
    let mut leads = Leads {
        earth: Vec::new(),
        live: Vec::new(),
        plugs: of_its_supply(plan, battery, &all),
    };
    for (id, to_body) in all {
        let head = &plan.joints[id].head;
        let text = format!("{} {}", head.name, head.title.as_deref().unwrap_or("")).to_lowercase();
        let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).collect();
        let has = |those: &[&str]| words.iter().any(|word| those.contains(word));
        let earth = has(&["earth", "ground", "negative", "minus", "neg"]);
        let live = has(&["plus", "positive", "live", "pos"]);
        if (by_ends && to_body) || (!by_ends && earth) {
            leads.earth.push(id);
        } else if by_ends || live {
            leads.live.push(id);
        }
    }
    leads
}

/// Plugs and cables that say that they are of an electric supply, and do not end at the battery.
fn of_its_supply(plan: &Plan, battery: Id<Part>, own: &[(Id<Joint>, bool)]) -> Vec<Id<Joint>> {
    let of = |energy: Id<crate::plan::model::Energy>| {
        let energy = &plan.energies[energy];
        let electric = energy.kind.is_some_and(|kind| kind.value == EnergyKind::Electric);
        let elsewhere =
            !energy.in_parts.is_empty() && energy.in_parts.iter().all(|said| said.value != battery);
        electric && !elsewhere
    };
    let all = plan.joints.iter().filter(|(id, joint)| {
        let said = joint.of.is_some_and(|of_what| match of_what.value {
            Content::Energy(energy) => of(energy),
            Content::Fluid(_) => false,
        });
        said && joint.kind.value.is_lead() && !own.iter().any(|(other, _)| other == id)
    });
    all.map(|(id, _)| id).collect()
}

/// A lead undone or joined, in the order of the work.
struct Turned {
    joint: Id<Joint>,
    at: Span,
    off: bool,
}

fn judge(plan: &Plan, leads: &Leads, findings: &mut Vec<Finding>) {
    let mut turned: Vec<Turned> = Vec::new();
    for act in plan.order.iter().flat_map(|&step| plan.steps[step].acts()) {
        let (list, off) = match &act.does {
            Does::Undo(list) => (list, true),
            Does::Start(list) => (list, false),
            // No other act parts a lead or joins it.
            _ => continue,
        };
        turned.extend(list.iter().map(|said| Turned {
            joint: said.joint.value,
            at: said.joint.at,
            off,
        }));
    }
    // What is in place of another is not on yet.
    let ours = |joint: &Id<Joint>| {
        let Leads { earth, live, plugs } = leads;
        [earth, live, plugs].into_iter().any(|list| list.contains(joint))
    };
    turned.retain(|turned| ours(&turned.joint));
    let comes = leads.earth.iter().chain(&leads.live).copied();
    let mut out: Vec<Id<Joint>> = comes
        .filter(|&joint| plan.joints[joint].in_place_of.is_some())
        .collect();
    for (nth, now) in turned.iter().enumerate() {
        if now.off {
            let on = leads.earth.iter().find(|earth| !out.contains(earth));
            if let (true, Some(&earth)) = (leads.live.contains(&now.joint), on) {
                findings.push(told(plan, now.joint, earth, now.at, true));
                out.extend(&leads.earth);
            }
            out.push(now.joint);
            continue;
        }
        let comes = |live: &&Id<Joint>| {
            let mut later = turned.iter().skip(nth + 1);
            out.contains(*live) && later.any(|then| !then.off && then.joint == **live)
        };
        let mut still_to_come = leads.live.iter().chain(&leads.plugs).filter(comes);
        if let (true, Some(&live)) = (leads.earth.contains(&now.joint), still_to_come.next()) {
            let mut finding = told(plan, live, now.joint, now.at, false);
            if leads.plugs.contains(&live) {
                finding.severity = Severity::Doubt;
                finding =
                    finding.harm("A spark at the plug, a blown fuse; and what it feeds may start by itself.");
            }
            findings.push(finding);
        }
        out.retain(|&other| other != now.joint);
    }
}

fn told(plan: &Plan, live: Id<Joint>, earth: Id<Joint>, at: Span, off: bool) -> Finding {
    let name = |joint: Id<Joint>| plan.joints[joint].head.name.to_string();
    let (live, earth) = (name(live), name(earth));
    let (what, here, mend) = if off {
        (
            format!("`{live}` is undone while `{earth}` still leads to earth"),
            "the live pole first",
            format!("Before this act: undo {earth}"),
        )
    } else {
        (
            format!("`{earth}` is made while `{live}` is still to come"),
            "earth goes on last of all",
            format!("Put it after: start {live}"),
        )
    };
    Finding::new(&EARTH_NOT_FIRST, what)
        .at(at, here)
        .harm("The spanner touches the body: all that the battery can give goes through it, and burns.")
        .mend(mend)
        .about(live)
        .about(earth)
}
