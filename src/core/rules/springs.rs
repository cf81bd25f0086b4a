//! The family **springs**: what keeps an energy in that joints hold, what happens when nothing does, and what a rig has to bear that does.

use std::collections::{BTreeMap, BTreeSet};

use super::phrases::Wording;
use super::{Family, amounts, joined, rule, springs_unsaid};
use crate::analysis::centre_path::Standing;
use crate::analysis::{Analysis, balance};
use crate::base::finding::Finding;
use crate::base::quantity::Force;
use crate::plan::model::{Energy, Id, Need, Part, Plan, Rig, Said};
use crate::reckon::mass::MassEstimate;
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
    SPRING_NOT_JUDGED,
    "spring-not-judged",
    Doubt,
    true,
    "Whether a spring that a rig keeps in lifts the vehicle cannot be said: where it pushes, or how the vehicle stands, is missing."
);
rule!(
    FORCE_NOT_SAID,
    "force-not-said",
    Doubt,
    true,
    "A rig alone keeps a spring in, and the plan does not say with what force it pushes."
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

/// On what keeps a spring in, and what has to bear it.
pub static FAMILY: Family = Family {
    name: "springs",
    about: "what keeps a spring in, and what has to bear it",
    rules: &[
        &SPRING_LOOSE,
        &NO_SECOND_CATCH,
        &SPRING_OVER_RIG,
        &SPRING_LIFTS_CAR,
        &SPRING_NOT_JUDGED,
        &FORCE_NOT_SAID,
        &KEEPER_NOT_SAID,
        &FREE_NOT_SAID,
        &SPRING_NOT_PUSHED_IN,
    ],
};

fn spring(tell: Wording<'_>) -> Option<&Energy> {
    match tell.first() {
        Subject::Energy(id) => Some(&tell.plan.energies[id]),
        _ => None,
    }
}

/// The name of a part that the spring is in, or of nothing that is known.
fn named<'a>(tell: Wording<'a>, part: Option<&Said<Id<Part>>>) -> &'a str {
    part.map_or("it", |said| &tell.plan.parts[said.value].head.name)
}

pub(super) fn loose(tell: Wording<'_>) -> Finding {
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
            "Before this act: hold {thing} with a rig, caught a second time by a chain or strap; let it down afterwards: lower {thing}, or tilt {thing}. Or take it out with a tool that compresses it: needs ... in this step"
        ))
}

pub(super) fn no_second_catch(tell: Wording<'_>) -> Finding {
    let inside = named(tell, spring(tell).and_then(|energy| energy.in_parts.last()));
    let borne = tell
        .of
        .with
        .iter()
        .find(|subject| matches!(subject, Subject::Part(_)));
    let borne = borne.map_or_else(|| inside.to_owned(), |&part| tell.bare(part));
    let body = tell.body();
    let force = spring(tell).and_then(|energy| energy.force);
    let bears = force.map_or_else(
        || "with what it bears".to_owned(),
        |force| amounts::kg(tell.plan, (force.value.as_weight_of() / 10.0).ceil() * 10.0, 10.0),
    );
    tell.finding(
        &NO_SECOND_CATCH,
        format!(
            "only {} bears `{borne}`, and so keeps {} in",
            tell.other(),
            tell.name(tell.first())
        ),
        "from here on",
    )
    .harm("Jacks sink and roll. Whoever leans over the arm has the spring in the chest.")
    .mend(format!(
        "Before it, something that catches `{borne}` when {} sinks: another rig, that holds, up until it touches: touch {borne} with ...; or a chain or strap from {body} through the coil: tie up {inside} to {body}, {bears}; or a tool that compresses the spring: needs ...",
        tell.other()
    ))
}

pub(super) fn free_not_said(tell: Wording<'_>) -> Finding {
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

pub(super) fn not_pushed_in(tell: Wording<'_>) -> Finding {
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
    springs_unsaid::check(plan, findings);
    borne(plan, walk, analysis, findings);
}

/// What each rig that alone keeps springs in has to bear, and what stands over them, as each of them is taken.
fn borne(plan: &Plan, walk: &Walk, analysis: &Analysis, findings: &mut Vec<Finding>) {
    let weights = analysis.weights(plan);
    let standings = analysis.standings(plan, walk).unwrap_or_default();
    let balanced = standings.iter().any(|standing| !standing.contacts.is_empty());
    let mut now: Springs = BTreeMap::new();
    let seats = balance::seats(plan);
    let mut bears: BTreeMap<Id<Rig>, Bears> = BTreeMap::new();
    let mut loads = walk.loads.iter();
    let mut taken = 0;
    // Out and back in by the same rig is one finding.
    let mut over: BTreeSet<(Id<Energy>, Id<Rig>)> = BTreeSet::new();
    let mut told: BTreeSet<(Id<Energy>, &'static str)> = BTreeSet::new();
    let mut tell = |spring: &Borne, finding: Finding, findings: &mut Vec<Finding>| {
        if told.insert((spring.energy, finding.rule.name)) {
            findings.push(finding);
        }
    };
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
        let Some(force) = plan.energies[spring.energy].force else {
            if !compressed(plan, spring) {
                tell(spring, force_not_said(plan, spring, rig), findings);
            }
            continue;
        };
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
        if plan.rigs[rig].borne_by.is_some() {
            continue;
        }
        let upto = standings.partition_point(|standing| standing.loads <= spring.loads);
        let standing = upto.checked_sub(1).and_then(|last| standings.get(last));
        let place_said = place_of(plan, spring.energy, part).is_some();
        let Some(standing) = standing.filter(|standing| place_said && !standing.contacts.is_empty()) else {
            let whole = whole(plan, walk, analysis, spring);
            let known = (place_said, balanced && !place_said);
            let finding = by_the_whole(plan, spring, (rig, part), force, whole, known);
            if let Some(finding) = finding.filter(|_| !compressed(plan, spring)) {
                tell(spring, finding, findings);
            }
            continue;
        };
        // Of a thing that a rig has hold of, what would not fall without it stands over the spring all the same.
        let mut over = (standing.mass.0, standing.centre);
        let rigs: BTreeSet<Id<Rig>> = now.values().map(|(rig, _)| *rig).collect();
        let with: Vec<&Bears> = rigs.iter().filter_map(|rig| bears.get(rig)).collect();
        let shared: BTreeSet<Id<Part>> = with.iter().flat_map(|bears| &bears.share).copied().collect();
        for part in shared {
            if !with.iter().any(|bears| bears.alone.contains(&part))
                && let (Some(estimate), Some((at, _))) = (
                    weights.part(part),
                    seats.get(part.index()).and_then(|seat| seat.place()),
                )
            {
                over = with_part(over, estimate.kg, Spot::new(at.behind, at.right));
            }
        }
        if let Some(finding) = lifts(plan, (spring, rig), force, &now, standing, over) {
            tell(spring, finding, findings);
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
        .map_or(0.0, |force| force.value.as_weight_of())
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
fn over_rig(
    plan: &Plan,
    spring: &Borne,
    id: Id<Rig>,
    now: &Springs,
    weighs: &MassEstimate,
) -> Option<Finding> {
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

/// A tool takes the force in this step, and the rig has none of it.
fn compressed(plan: &Plan, spring: &Borne) -> bool {
    let needs = spring.step.map_or(&[][..], |step| &plan.steps[step].needs);
    needs.iter().any(|need| match need.value {
        Need::Tool(tool) => plan.tools[tool].compresses.is_some(),
        Need::Rig(_) | Need::Consumable(_) => false,
    })
}

/// Where a spring pushes: where the thing is that the rig holds, else where one is that it is in.
fn place_of(plan: &Plan, energy: Id<Energy>, held: Id<Part>) -> Option<Spot> {
    let inside = plan.energies[energy].in_parts.iter().map(|said| said.value);
    let mut parts = std::iter::once(held).chain(inside);
    let place = parts.find_map(|part| plan.parts[part].at)?.value;
    let right = if place.mirrored { 0.0 } else { place.right };
    Some(Spot::new(place.behind, right))
}

/// All that rigs of the ground push up with, against what stands over them.
fn lifts(
    plan: &Plan,
    (spring, rig): (&Borne, Id<Rig>),
    force: Said<Force>,
    now: &Springs,
    standing: &Standing,
    (mass, centre): (f64, Spot),
) -> Option<Finding> {
    // Of others the place may not be known: what is told without them is true all the more with them.
    let pushes: Vec<(Id<Energy>, f64, Spot)> = now
        .iter()
        .filter(|(_, (rig, _))| plan.rigs[*rig].borne_by.is_none())
        .filter_map(|(&id, &(_, part))| Some((id, push_of(plan, id), place_of(plan, id, part)?)))
        .filter(|(_, kg, _)| *kg > 0.0)
        .collect();
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
    Some(lifts_car(
        plan,
        (spring, rig),
        force,
        &all,
        (mass, standing.mass.1),
    ))
}

fn lifts_car(
    plan: &Plan,
    (spring, rig): (&Borne, Id<Rig>),
    force: Said<Force>,
    all: &[Id<Energy>],
    mass: (f64, f64),
) -> Finding {
    let pushes_up = push_words(plan, all)
        .replacen("pushes with", "pushes up with", 1)
        .replacen("push with", "push up with", 1);
    let lift = if all.len() == 1 { "lifts" } else { "lift" };
    let mut finding = Finding::new(
        &SPRING_LIFTS_CAR,
        format!("{pushes_up} and {lift} the {} off what it stands on", vehicle_word(plan)),
    )
    .at(
        spring.at,
        format!("here, with {} standing there", amounts::kg(plan, mass.0, mass.1)),
    )
    .at(force.at, "the force")
    .harm("It leaves its pads or stands while somebody is beneath, and comes down beside them.")
    .mend("Let this spring out while more stands over it, with a tool that compresses it, or with the damper still in")
    .about(plan.energies[spring.energy].head.name.to_string())
    .about(plan.rigs[rig].head.name.to_string());
    for other in all.iter().filter(|other| **other != spring.energy) {
        finding = finding.about(plan.energies[*other].head.name.to_string());
    }
    finding
}

/// "car", as people say, or "machine".
fn vehicle_word(plan: &Plan) -> &'static str {
    match plan.vehicle() {
        Some(id) if plan.vehicles[id].is_machine => "machine",
        _ => "car",
    }
}

/// No corner of a road vehicle bears a smaller part of it: a spring that pushes with less lifts none. Common practice, no source.
const CORNER: f64 = 0.1;

/// What the whole weighs when a rig takes a spring; none where nothing tells it.
fn whole(plan: &Plan, walk: &Walk, analysis: &Analysis, spring: &Borne) -> Option<(f64, f64)> {
    let all = analysis.borne(plan, walk).unwrap_or_default();
    let upto = all.partition_point(|borne| borne.loads <= spring.loads);
    let last = upto.checked_sub(1).and_then(|last| all.get(last));
    let mass = last.or(all.first()).map(|borne| borne.mass);
    mass.or_else(|| {
        let estimate = analysis.weights(plan).vehicle(plan.vehicle()?)?;
        Some((estimate.kg, estimate.expanded() / 2.0))
    })
}

/// Where nothing tells what stands over a spring: it is held against the whole. More than all of that it lifts wherever it pushes.
fn by_the_whole(
    plan: &Plan,
    spring: &Borne,
    (rig, held): (Id<Rig>, Id<Part>),
    force: Said<Force>,
    whole: Option<(f64, f64)>,
    (place_said, balanced): (bool, bool),
) -> Option<Finding> {
    let kg = force.value.as_weight_of();
    let small = whole.is_some_and(|(mass, _)| kg < CORNER * mass);
    if plan.vehicle().is_none() || small {
        return None;
    }
    if let Some(mass) = whole.filter(|(mass, _)| kg > *mass) {
        return Some(lifts_car(plan, (spring, rig), force, &[spring.energy], mass));
    }
    let energy = &plan.energies[spring.energy];
    let part = &plan.parts[held].head;
    let word = vehicle_word(plan);
    let mut mend: Vec<String> = Vec::new();
    if !place_said {
        mend.push(format!(
            "Say in the block of `{}` where it is: at 0 mm behind front axle, 500 mm left, 250 mm up",
            part.name
        ));
    }
    if !balanced {
        mend.push(format!(
            "Say of the {word} its wheelbase, track and jacking places, and weigh its corners: the balance is asked then"
        ));
    }
    let finding = Finding::new(
        &SPRING_NOT_JUDGED,
        format!(
            "`{}` pushes up with {}, as much as {}, and whether that lifts the {word} cannot be said",
            energy.head.name,
            force.value,
            amounts::kg(plan, kg, 0.0),
        ),
    )
    .at(spring.at, "from here on a rig pushes against it")
    .at(
        part.at,
        if place_said {
            "here it pushes"
        } else {
            "where it is, is not said"
        },
    )
    .harm("A light shell comes off its stands when the last joint lets go, with somebody beneath.")
    .mend(mend.join(". "))
    .about(energy.head.name.to_string())
    .about(plan.rigs[rig].head.name.to_string());
    Some(finding)
}

fn force_not_said(plan: &Plan, spring: &Borne, rig: Id<Rig>) -> Finding {
    let energy = &plan.energies[spring.energy];
    let rig = &plan.rigs[rig].head;
    Finding::new(
        &FORCE_NOT_SAID,
        format!("nothing says how hard `{}` pushes, and only `{}` keeps it in", energy.head.name, rig.name),
    )
    .at(spring.at, "from here on")
    .at(energy.head.at, "no force is said")
    .harm("Whether the rig bears it, and whether it lifts the car off its stands, cannot be asked.")
    .mend(format!(
        "Look it up, or reckon it from its rate and how far it is pressed in, and say it in the block of `{}`: force 3 kN",
        energy.head.name
    ))
    .about(energy.head.name.to_string())
    .about(rig.name.to_string())
}
