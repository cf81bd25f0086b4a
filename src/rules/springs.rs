//! The family **springs**: what keeps an energy in that joints hold, what happens when nothing does, and what a rig has to bear that does.

use std::collections::{BTreeMap, BTreeSet};

use super::phrases::Telling;
use super::{Family, amounts, joined, rule};
use crate::analysis::wander::Standing;
use crate::analysis::{Analysis, balance};
use crate::base::finding::Finding;
use crate::plan::model::{Content, Does, Energy, EnergyKind, Id, Part, Plan, Rig, Said};
use crate::reckon::mass::Heft;
use crate::reckon::polygon::{Spot, hull};
use crate::walk::Walk;
use crate::walk::breaks::Subject;
use crate::walk::loads::{Delta, LoadChange};
use crate::walk::springs::Borne;

rule!(
    SPRING_LOOSE,
    "spring-loose",
    Fault,
    false,
    "The last joint that keeps a spring in is parted while it is live, and nothing has hold of it."
);
rule!(
    NO_SECOND_CATCH,
    "no-second-catch",
    Fault,
    false,
    "A rig that only lifts is all that keeps a live spring in."
);
rule!(
    SPRING_OVER_RIG,
    "spring-over-rig",
    Fault,
    true,
    "A spring pushes with more than the rig that keeps it in is rated for."
);
rule!(
    SPRING_LIFTS_CAR,
    "spring-lifts-car",
    Fault,
    true,
    "What stands over a spring that a rig keeps in weighs too little: it is lifted off what it stands on."
);
rule!(
    KEEPER_NOT_SAID,
    "keeper-not-said",
    Doubt,
    true,
    "A spring lies on parts that come apart, and the plan does not say what keeps it in."
);
rule!(
    FREE_NOT_SAID,
    "free-not-said",
    Doubt,
    true,
    "A spring is let down, and how far it has to go, or goes, is not said."
);

rule!(
    SPRING_NOT_PUSHED_IN,
    "spring-not-pushed-in",
    Fault,
    true,
    "A joint that keeps a spring in is closed, and nothing has pushed the spring in since it was let down."
);

pub static FAMILY: Family = Family {
    name: "springs",
    about: "what keeps a spring in, and what has to bear it",
    rules: &[
        &SPRING_LOOSE,
        &NO_SECOND_CATCH,
        &SPRING_OVER_RIG,
        &SPRING_LIFTS_CAR,
        &KEEPER_NOT_SAID,
        &FREE_NOT_SAID,
        &SPRING_NOT_PUSHED_IN,
    ],
};

fn spring(tell: Telling<'_>) -> Option<&Energy> {
    match tell.first() {
        Subject::Energy(id) => Some(&tell.plan.energies[id]),
        _ => None,
    }
}

/// The name of a part that the spring is in, or of nothing that is known.
fn named<'a>(tell: Telling<'a>, part: Option<&Said<Id<Part>>>) -> &'a str {
    part.map_or("it", |said| &tell.plan.parts[said.value].head.name)
}

pub(super) fn loose(tell: Telling<'_>) -> Finding {
    let energy = tell.name(tell.first());
    let thing = named(tell, spring(tell).and_then(|energy| energy.in_parts.first()));
    let finding = tell.finding(
        &SPRING_LOOSE,
        format!("{energy} lets go: nothing keeps it in any more"),
        "from here on neither a joint nor a rig has it",
    );
    let keepers = spring(tell).map_or(&[][..], |energy| &energy.held_in_by);
    let finding = match keepers {
        [first, ..] => {
            let last = keepers.last().unwrap_or(first);
            finding.at(first.at.to(last.at), "it is kept by one of these that is closed")
        }
        [] => finding,
    };
    finding
        .harm("It flies out, and the arm with it. A coil spring of a car breaks bones, and kills.")
        .mend(format!(
            "Before it: hold {thing} with a rig, caught a second time by a chain or strap; let it down afterwards: lower {thing}, or tilt {thing}. Or take it out with a tool that compresses it: needs ... in this step"
        ))
}

pub(super) fn no_second_catch(tell: Telling<'_>) -> Finding {
    let thing = named(tell, spring(tell).and_then(|energy| energy.in_parts.last()));
    let body = tell.body();
    tell.finding(
        &NO_SECOND_CATCH,
        format!("only {} keeps {} in", tell.other(), tell.name(tell.first())),
        "from here on",
    )
    .harm("Jacks sink and roll. Whoever leans over the arm has the spring in the chest.")
    .mend(format!(
        "Before it: a chain or strap through the coil: tie up {thing} to {body}, with what it bears; or another rig that holds: touch {thing} with ...; or a tool that compresses the spring: needs ..."
    ))
}

pub(super) fn free_not_said(tell: Telling<'_>) -> Finding {
    tell.finding(
        &FREE_NOT_SAID,
        format!(
            "{} is taken as free when this act ends, and how far it comes down is not said",
            tell.name(tell.first())
        ),
        "let down here",
    )
    .harm("If it still pushes then, it flies when the last thing is lifted out of it.")
    .mend("Measure it, or look it up, and say it in its block: free at 120 mm; and let it down by as much: lower ... by 120 mm, or tilt ... by 120 mm")
}

pub(super) fn not_pushed_in(tell: Telling<'_>) -> Finding {
    let thing = named(tell, spring(tell).and_then(|energy| energy.in_parts.first()));
    tell.finding(
        &SPRING_NOT_PUSHED_IN,
        format!("{} was let down, and nothing has pushed it in again", tell.name(tell.first())),
        "this joint is closed against it",
    )
    .harm("The joint does not come together; whoever levers it has the spring over the hands.")
    .mend(format!(
        "Before it, on a rig: tilt {thing} back, or raise {thing}; or put it in with a tool that compresses it: needs ..."
    ))
}

/// What is asked of the plan and of the whole walk.
pub(super) fn check(plan: &Plan, walk: &Walk, analysis: &Analysis, findings: &mut Vec<Finding>) {
    not_said(plan, findings);
    borne(plan, walk, analysis, findings);
}

/// A spring without keepers, on parts of which one comes apart from the rest in this job.
fn not_said(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut parted: BTreeSet<Id<Part>> = BTreeSet::new();
    for act in plan.order.iter().flat_map(|&step| plan.steps[step].acts()) {
        if let Does::TakeOff(things) = &act.does {
            parted.extend(things.iter().flat_map(|thing| plan.parts_of(thing.value)));
        }
    }
    unsaid(plan, &parted, findings);
    for energy in plan.energies.values() {
        let spring = energy.kind.is_some_and(|kind| kind.value == EnergyKind::Spring);
        if !spring || !energy.held_in_by.is_empty() {
            continue;
        }
        let Some(part) = energy.in_parts.iter().find(|said| parted.contains(&said.value)) else {
            continue;
        };
        let name = &energy.head.name;
        findings.push(
            Finding::new(
                &KEEPER_NOT_SAID,
                format!("nothing says which joints keep `{name}` in"),
            )
            .at(energy.head.at, "a spring")
            .at(part.at, "and this comes off")
            .harm("That the last one is undone with the spring live and nothing under it cannot be seen.")
            .mend(format!(
                "Say it in the block of `{name}`: held in by JOINT, JOINT; force 3 kN"
            ))
            .about(name.to_string()),
        );
    }
}

/// Less than this, in kg, is a return spring, which bruises and no more. Common practice, no source.
const SMALL: f64 = 0.5;

/// A part that is called a spring and comes off, and no energy says that it pushes.
fn unsaid(plan: &Plan, parted: &BTreeSet<Id<Part>>, findings: &mut Vec<Finding>) {
    let spring = |words: &str| {
        words
            .to_lowercase()
            .split(|c: char| !c.is_alphabetic())
            .any(|word| word == "spring" || word == "springs")
    };
    let said = |part: Id<Part>| {
        let mut energies = plan.energies.values();
        energies.any(|energy| energy.in_parts.iter().any(|said| said.value == part))
    };
    let of_joints = |part: Id<Part>| {
        plan.joints.values().any(|joint| {
            let ends = joint.ends.iter().flatten();
            let here = ends
                .flat_map(|end| plan.parts_of(end.value))
                .any(|end| end == part);
            here && matches!(joint.of.map(|said| said.value), Some(Content::Energy(_)))
        })
    };
    for (id, part) in plan.parts.iter() {
        let light = part
            .mass
            .as_ref()
            .is_some_and(|said| said.value.mass.base() < SMALL);
        let called = spring(&part.head.name) || part.head.title.as_deref().is_some_and(spring);
        // What takes its place is as strong, and is asked about with it.
        if !called
            || light
            || part.in_place_of.is_some()
            || !parted.contains(&id)
            || said(id)
            || of_joints(id)
        {
            continue;
        }
        let name = &part.head.name;
        findings.push(
            Finding::new(
                &KEEPER_NOT_SAID,
                format!("`{name}` is a spring, and nothing says what keeps it in"),
            )
            .at(part.head.at, "comes off in this job")
            .harm("That it is live while the last joint is undone, with nothing under it, cannot be seen.")
            .mend(format!(
                "Declare it: energy {name}-force \"Force of {name}\"; spring; in {name}; held in by JOINT, JOINT; force 3 kN; free at 120 mm. If it lies there slack: accept keeper-not-said for {name} because \"...\""
            ))
            .about(name.to_string()),
        );
    }
}

/// Standard gravity, in m/s2: ISO 80000-3, item 3-9.2 (conventional value).
const G: f64 = 9.806_65;

/// What each rig that alone keeps springs in has to bear, and what stands over them, as each of them is taken.
fn borne(plan: &Plan, walk: &Walk, analysis: &Analysis, findings: &mut Vec<Finding>) {
    let weights = analysis.weights(plan);
    let standings = analysis.standings(plan, walk).unwrap_or_default();
    let mut now: Springs = BTreeMap::new();
    let seats = balance::seats(plan);
    let mut bears: BTreeMap<Id<Rig>, Bears> = BTreeMap::new();
    let mut loads = walk.loads.iter();
    let mut taken = 0;
    // Out and back in by the same rig is one finding.
    let mut over: BTreeSet<(Id<Energy>, Id<Rig>)> = BTreeSet::new();
    let mut lifted: BTreeSet<Id<Energy>> = BTreeSet::new();
    for spring in &walk.springs {
        while taken < spring.loads {
            taken += 1;
            if let Some(LoadChange::Rig(change)) = loads.next().map(|event| &event.change) {
                let rig = bears.entry(change.rig).or_default();
                take(&mut rig.alone, &change.alone);
                take(&mut rig.share, &change.share);
            }
        }
        let Some((rig, part)) = spring.by else {
            now.remove(&spring.energy);
            continue;
        };
        now.insert(spring.energy, (rig, part));
        if plan.energies[spring.energy].force.is_none() {
            continue;
        }
        let on: Vec<Id<Part>> = bears
            .get(&rig)
            .into_iter()
            .flat_map(|bears| &bears.alone)
            .copied()
            .collect();
        let weighs = weights.sum(&on).known;
        if !over.contains(&(spring.energy, rig))
            && let Some(finding) = over_rig(plan, spring, rig, &now, &weighs)
        {
            over.insert((spring.energy, rig));
            findings.push(finding);
        }
        // What stands on the machine itself pushes it nowhere.
        if plan.rigs[rig].borne_by.is_some() || lifted.contains(&spring.energy) {
            continue;
        }
        let upto = standings.partition_point(|standing| standing.loads <= spring.loads);
        let standing = upto.checked_sub(1).and_then(|last| standings.get(last));
        let Some(standing) = standing else { continue };
        // Of a thing that a rig has hold of, what would not fall without it stands over the spring all the same.
        let mut over = (standing.mass.0, standing.centre);
        let rigs: BTreeSet<Id<Rig>> = now.values().map(|(rig, _)| *rig).collect();
        let with: Vec<&Bears> = rigs.iter().filter_map(|rig| bears.get(rig)).collect();
        let shared: BTreeSet<Id<Part>> = with.iter().flat_map(|bears| &bears.share).copied().collect();
        for part in shared {
            if !with.iter().any(|bears| bears.alone.contains(&part))
                && let (Some(heft), Some((at, _))) = (
                    weights.part(part),
                    seats.get(part.index()).and_then(|seat| seat.place()),
                )
            {
                over = with_part(over, heft.kg, Spot::new(at.behind, at.right));
            }
        }
        if let Some(finding) = lifts(plan, spring, &now, standing, over) {
            lifted.insert(spring.energy);
            findings.push(finding);
        }
    }
}

/// What a rig bears alone, and what it may bear a share of.
#[derive(Default)]
struct Bears {
    alone: BTreeSet<Id<Part>>,
    share: BTreeSet<Id<Part>>,
}

fn take(parts: &mut BTreeSet<Id<Part>>, delta: &Delta) {
    for part in &delta.leave {
        parts.remove(part);
    }
    parts.extend(&delta.join);
}

/// A mass in kg and its centre, with another one.
fn with_part((mass, centre): (f64, Spot), kg: f64, at: Spot) -> (f64, Spot) {
    let all = mass + kg;
    if all <= 0.0 {
        return (mass, centre);
    }
    let mean = |one: f64, other: f64| (one * mass + other * kg) / all;
    (
        all,
        Spot::new(mean(centre.behind, at.behind), mean(centre.right, at.right)),
    )
}

/// Springs that a rig alone keeps in at one moment, with the rig and what it holds.
type Springs = BTreeMap<Id<Energy>, (Id<Rig>, Id<Part>)>;

/// What a spring pushes with, as the mass that weighs so much, in kg; nothing where the plan does not say.
fn push_of(plan: &Plan, energy: Id<Energy>) -> f64 {
    plan.energies[energy]
        .force
        .map_or(0.0, |force| force.value.base() / G)
}

/// What these push with, in words.
fn push_words(plan: &Plan, springs: &[Id<Energy>]) -> String {
    let kg: f64 = springs.iter().map(|&id| push_of(plan, id)).sum();
    let names: Vec<String> = springs
        .iter()
        .map(|&id| format!("`{}`", plan.energies[id].head.name))
        .collect();
    let kg = amounts::kg(plan, kg, 0.0);
    match springs {
        [one] => {
            let force = plan.energies[*one].force;
            let force = force.map_or_else(String::new, |force| force.value.to_string());
            format!("{} pushes with {force}, as much as {kg},", joined(&names, "and"))
        }
        _ => format!("{} push with as much as {kg} together,", joined(&names, "and")),
    }
}

/// More than the rig is rated for: all springs that it keeps in, and what lies on it alone.
fn over_rig(plan: &Plan, spring: &Borne, id: Id<Rig>, now: &Springs, weighs: &Heft) -> Option<Finding> {
    let rig = &plan.rigs[id];
    let rated = rig.rated?;
    let limit = super::support_loads::whole_rating(rig, rated.value);
    let here: Vec<Id<Energy>> = now
        .iter()
        .filter(|(energy, (by, _))| *by == id && plan.energies[**energy].force.is_some())
        .map(|(energy, _)| *energy)
        .collect();
    let springs: f64 = here.iter().map(|&energy| push_of(plan, energy)).sum();
    if springs + weighs.kg <= limit {
        return None;
    }
    let more = if springs > limit {
        String::new()
    } else {
        format!(
            " with {} on the rig beside them,",
            amounts::kg(plan, weighs.kg, weighs.u())
        )
    };
    let mut finding = Finding::new(
        &SPRING_OVER_RIG,
        format!(
            "{}{more} and `{}` is rated for {}",
            push_words(plan, &here),
            rig.head.name,
            amounts::kg(plan, limit, 0.0)
        ),
    )
    .at(spring.at, "from here on it alone keeps it in")
    .at(rated.at, "rated here")
    .harm("It sinks or bends, and the spring comes out.")
    .mend("Take a rig that is rated for it, or take the spring out with a tool that compresses it")
    .about(plan.energies[spring.energy].head.name.to_string())
    .about(rig.head.name.to_string());
    for energy in here.into_iter().filter(|energy| *energy != spring.energy) {
        finding = finding.about(plan.energies[energy].head.name.to_string());
    }
    Some(finding)
}

/// All that rigs of the ground push up with, against what stands over them.
fn lifts(
    plan: &Plan,
    spring: &Borne,
    now: &Springs,
    standing: &Standing,
    (mass, centre): (f64, Spot),
) -> Option<Finding> {
    let energy = &plan.energies[spring.energy];
    let force = energy.force?;
    let mut pushes: Vec<(Id<Energy>, f64, Spot)> = Vec::new();
    for (&id, &(rig, part)) in now {
        let kg = push_of(plan, id);
        if plan.rigs[rig].borne_by.is_some() || kg <= 0.0 {
            continue;
        }
        // Where one of them stands is not known: the rest is asked without it.
        let Some(place) = plan.parts[part].at else {
            if id == spring.energy {
                return None;
            }
            continue;
        };
        let right = if place.value.mirrored {
            0.0
        } else {
            place.value.right
        };
        pushes.push((id, kg, Spot::new(place.value.behind, right)));
    }
    let spots: Vec<Spot> = standing.contacts.iter().map(|contact| contact.at).collect();
    let kg: f64 = pushes.iter().map(|(_, kg, _)| kg).sum();
    let left = mass - kg;
    let up = if left <= 0.0 {
        true
    } else {
        let rest = |whole: f64, own: fn(&Spot) -> f64| {
            let pushed: f64 = pushes.iter().map(|(_, kg, at)| kg * own(at)).sum();
            (whole * mass - pushed) / left
        };
        let centre = Spot::new(
            rest(centre.behind, |at| at.behind),
            rest(centre.right, |at| at.right),
        );
        hull(&spots).is_ok_and(|hull| !hull.contains(centre))
    };
    if !up {
        return None;
    }
    let all: Vec<Id<Energy>> = pushes.iter().map(|(id, _, _)| *id).collect();
    let pushes_up = push_words(plan, &all)
        .replacen("pushes with", "pushes up with", 1)
        .replacen("push with", "push up with", 1);
    let lift = if all.len() == 1 { "lifts" } else { "lift" };
    let machine = plan.vehicle().is_some_and(|id| plan.vehicles[id].is_machine);
    let mut finding = Finding::new(
        &SPRING_LIFTS_CAR,
        format!(
            "{pushes_up} and {lift} the {} off what it stands on",
            if machine { "machine" } else { "car" },
        ),
    )
    .at(
        spring.at,
        format!("here, with {} standing there", amounts::kg(plan, mass, standing.mass.1)),
    )
    .at(force.at, "the force")
    .harm("It leaves its pads or stands while somebody is beneath, and comes down beside them.")
    .mend("Let this spring out while more stands over it, with a tool that compresses it, or with the damper still in")
    .about(energy.head.name.to_string());
    if let Some((rig, _)) = spring.by {
        finding = finding.about(plan.rigs[rig].head.name.to_string());
    }
    for other in all.into_iter().filter(|other| *other != spring.energy) {
        finding = finding.about(plan.energies[other].head.name.to_string());
    }
    Some(finding)
}
