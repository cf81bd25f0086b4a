//! When each step can be done and what time it has to spare, worked out from what the plan says and the walk shows. Steps are done in the
//! order of their lines. Two may run side by side only where one of them is done at the bench: all that it handles is off before and
//! after it, and it shares no person, part, rig, tool or scale with the other, nor says `after` it. Whatever touches the vehicle waits for
//! what touched it before: the walk has proved that order and no other. Reckons by `reckon/`; knows no wording.

use std::collections::{BTreeMap, BTreeSet};

use crate::plan::mentions;
use crate::plan::model::{Bearer, Does, Id, Joint, Load, Need, Part, Person, Plan, Rig, Scale, Step, Tool};
use crate::reckon::durations::Estimate;
use crate::reckon::network::{self, Activity};
use crate::walk::Walk;
use crate::walk::after::After;

/// One step in time, in minutes from the beginning of the work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timed {
    /// The step in the plan.
    pub step: Id<Step>,
    /// None where the plan does not say.
    pub takes: Option<Estimate>,
    /// If all before it takes its likely time, and a step without a time none.
    pub starts: f64,
    /// The same at its end.
    pub ends: f64,
    /// How long it can wait without the work taking longer; none where that hangs on a step without a time.
    pub spare: Option<f64>,
}

/// The work in time.
#[derive(Debug, Clone, PartialEq)]
pub struct Timing {
    /// In the order of work.
    pub steps: Vec<Timed>,
    /// Minutes from beginning to end, side by side where that can be.
    pub length: f64,
    /// Steps whose time the plan does not say.
    pub unsaid: usize,
}

/// Time of a step, in minutes; where a stage says its time and none of its steps does, an equal share of that.
#[must_use]
pub fn takes(plan: &Plan, step: Id<Step>) -> Option<Estimate> {
    let own = plan.steps[step].time.map(|said| (said.value, 1.0));
    let (time, share) = own.or_else(|| {
        let stage = &plan.stages[plan.steps[step].stage?];
        let silent = stage.steps.iter().all(|&step| plan.steps[step].time.is_none());
        #[expect(clippy::cast_precision_loss, reason = "a stage has few steps")]
        let share = 1.0 / stage.steps.len().max(1) as f64;
        stage.time.filter(|_| silent).map(|said| (said.value, share))
    })?;
    let likely = time.likely.base() * share;
    let (best, worst) = time.spread.map_or((likely, likely), |(best, worst)| {
        (best.base() * share, worst.base() * share)
    });
    // Figures out of their order are another finding's business; the likely one stands.
    Estimate::new(best, likely, worst)
        .or_else(|_| Estimate::new(likely, likely, likely))
        .ok()
}

/// Works the times out; none where the plan has no steps.
#[must_use]
pub fn timing(plan: &Plan, walk: &Walk) -> Option<Timing> {
    let activities = activities(plan, walk);
    let network = network::network(&activities).ok()?;
    let always = network::on_every_path(&activities);
    let estimates: Vec<Option<Estimate>> = plan.order.iter().map(|&step| takes(plan, step)).collect();
    let unsaid = estimates.iter().filter(|takes| takes.is_none()).count();
    let steps: Vec<Timed> = plan
        .order
        .iter()
        .zip(estimates)
        .zip(network.times.iter().zip(always))
        .map(|((&step, takes), (times, always))| Timed {
            step,
            takes,
            starts: times.early_start,
            ends: times.early_finish,
            spare: match (always, unsaid) {
                (true, _) => Some(0.0),
                (false, 0) => Some(times.spare()),
                (false, _) => None,
            },
        })
        .collect();
    (!steps.is_empty()).then_some(Timing {
        steps,
        length: network.length,
        unsaid,
    })
}

/// What two steps cannot both have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Shared {
    Vehicle,
    /// Somebody, where the plan does not say who.
    Anybody,
    Person(Id<Person>),
    Part(Id<Part>),
    Rig(Id<Rig>),
    Tool(Id<Tool>),
    Scale(Id<Scale>),
}

/// The steps as a network: each waits for the last one before it that has something that it needs.
fn activities(plan: &Plan, walk: &Walk) -> Vec<Activity> {
    let places: BTreeMap<Id<Step>, usize> = plan
        .order
        .iter()
        .zip(0..)
        .map(|(&step, nth)| (step, nth))
        .collect();
    let mut last: BTreeMap<Shared, usize> = BTreeMap::new();
    let ties = Ties::of(plan);
    let mut before = walk.before(plan);
    let mut all = Vec::with_capacity(plan.order.len());
    for (nth, &step) in plan.order.iter().enumerate() {
        let after = walk.after_nth(plan, nth).unwrap_or_else(|| before.clone());
        let mut behind: BTreeSet<usize> = plan.steps[step]
            .after
            .iter()
            .filter_map(|said| places.get(&said.value).copied())
            .filter(|&other| other < nth)
            .collect();
        let moved = walk.moved(nth).collect();
        for shared in needs(plan, &ties, step, moved, [&before, &after]) {
            behind.extend(last.insert(shared, nth));
        }
        all.push(Activity {
            takes: takes(plan, step).map_or(0.0, Estimate::likely),
            behind: behind.into_iter().collect(),
        });
        before = after;
    }
    all
}

/// For each step of the work the ones that have to be done before it, by their places: what touches the vehicle waits for what touched it before,
/// and so with each part. People, rigs and tools that both want put no step behind another, but what is made in the work is made before it is used.
#[must_use]
pub fn bound(plan: &Plan, walk: &Walk) -> Vec<BTreeSet<usize>> {
    ordered(plan, walk, |shared| {
        matches!(shared, Shared::Vehicle | Shared::Part(_))
    })
    .into_iter()
    .map(|order| order.behind)
    .collect()
}

/// A step among the others: what has to be done before it, and who and what it wants beside that.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ordered {
    /// By their places in the order of work.
    pub behind: BTreeSet<usize>,
    /// It is done at the vehicle, and not at the bench.
    pub at_vehicle: bool,
    /// Who does it, and who helps.
    pub people: Vec<Id<Person>>,
    /// Lifts, stands and cranes that it has in use.
    pub rigs: Vec<Id<Rig>>,
    /// Tools that it names.
    pub tools: Vec<Id<Tool>>,
    /// Scales that it weighs with.
    pub scales: Vec<Id<Scale>>,
}

/// The order that has to be kept whoever comes when: as `bound` has it, and what wants the same rig waits for what had it before. People, tools and
/// scales put no step behind another, and are told beside it.
#[must_use]
pub fn to_lay_out(plan: &Plan, walk: &Walk) -> Vec<Ordered> {
    ordered(plan, walk, |shared| match *shared {
        Shared::Vehicle | Shared::Part(_) => true,
        // There is room on the floor.
        Shared::Rig(rig) => !plan.rigs[rig].is_floor,
        Shared::Anybody | Shared::Person(_) | Shared::Tool(_) | Shared::Scale(_) => false,
    })
}

fn ordered(plan: &Plan, walk: &Walk, binds: impl Fn(&Shared) -> bool) -> Vec<Ordered> {
    let places: BTreeMap<Id<Step>, usize> = plan.order.iter().copied().zip(0..).collect();
    let mut last: BTreeMap<Shared, usize> = BTreeMap::new();
    let ties = Ties::of(plan);
    let mut before = walk.before(plan);
    // What the work itself makes is there from then on.
    let mut made: BTreeMap<Id<Tool>, usize> = BTreeMap::new();
    let mut all = Vec::with_capacity(plan.order.len());
    for (nth, &step) in plan.order.iter().enumerate() {
        let after = walk.after_nth(plan, nth).unwrap_or_else(|| before.clone());
        let said = plan.steps[step].after.iter();
        let behind = said.filter_map(|said| places.get(&said.value).copied());
        let mut own = Ordered {
            behind: behind.collect(),
            ..Ordered::default()
        };
        let moved = walk.moved(nth).collect();
        for shared in needs(plan, &ties, step, moved, [&before, &after]) {
            if binds(&shared) {
                own.behind.extend(last.insert(shared, nth));
            }
            if let Shared::Tool(tool) = shared {
                own.behind.extend(made.get(&tool));
            }
            match shared {
                Shared::Vehicle => own.at_vehicle = true,
                Shared::Person(id) => own.people.push(id),
                Shared::Rig(id) => own.rigs.push(id),
                Shared::Tool(id) => own.tools.push(id),
                Shared::Scale(id) => own.scales.push(id),
                Shared::Anybody | Shared::Part(_) => {}
            }
        }
        own.behind.retain(|&other| other < nth);
        for act in plan.steps[step].acts() {
            if let Does::MakeUp(tools) = &act.does {
                made.extend(tools.iter().map(|said| (said.value, nth)));
            }
        }
        all.push(own);
        before = after;
    }
    all
}

/// What a step needs. What came off or went on in it was moved, named or not: `parts` begins with that.
fn needs(
    plan: &Plan,
    ties: &Ties,
    id: Id<Step>,
    mut parts: BTreeSet<Id<Part>>,
    moments: [&After<'_>; 2],
) -> BTreeSet<Shared> {
    let step = &plan.steps[id];
    let mut shared: BTreeSet<Shared> = BTreeSet::new();
    // A step that only looks or measures says nothing of where: it counts as done at the vehicle.
    let mut at_bench = false;
    let mut at_vehicle = plan
        .energies
        .values()
        .any(|energy| energy.safe_after.is_some_and(|said| said.value == id));
    for act in step.acts() {
        let named = mentions::of(&act.does);
        at_vehicle |= !named.fluids.is_empty();
        at_bench |=
            !named.joints.is_empty() || !named.loads.is_empty() || matches!(act.does, Does::MakeUp(_));
        for load in &named.loads {
            match *load {
                Load::Thing(thing) => parts.extend(plan.parts_of(thing)),
                Load::Vehicle(_) => at_vehicle = true,
            }
        }
        for &joint in &named.joints {
            let ends = plan.joints[joint].ends.iter().flatten();
            parts.extend(ends.flat_map(|end| plan.parts_of(end.value)));
        }
        shared.extend(named.rigs.into_iter().map(Shared::Rig));
        shared.extend(named.tools.into_iter().map(Shared::Tool));
        shared.extend(named.scales.into_iter().map(Shared::Scale));
        shared.extend(named.people.into_iter().map(Shared::Person));
        if let Does::Hold { by, .. } = &act.does
            && let Bearer::Person(person) = by.value
        {
            shared.insert(Shared::Person(person));
        }
    }
    for need in &step.needs {
        match need.value {
            Need::Tool(tool) => drop(shared.insert(Shared::Tool(tool))),
            Need::Rig(rig) => drop(shared.insert(Shared::Rig(rig))),
            Need::Consumable(_) => {}
        }
    }
    if step.by.is_empty() {
        shared.insert(Shared::Anybody);
        shared.extend(plan.people.ids().map(Shared::Person));
    } else {
        shared.extend(step.by.iter().map(|said| Shared::Person(said.value)));
    }
    // What is tied to a thing goes with it.
    for moment in moments {
        ties.reach(moment, &mut parts);
    }
    let all_off = |moment: &After<'_>| parts.iter().all(|&part| moment.is_off(part));
    if at_vehicle || !at_bench || !moments.into_iter().all(all_off) {
        shared.insert(Shared::Vehicle);
    }
    shared.extend(parts.into_iter().map(Shared::Part));
    shared
}

/// The parts that each joint is between, and the joints of each part.
struct Ties {
    ends: BTreeMap<Id<Joint>, Vec<Id<Part>>>,
    of: BTreeMap<Id<Part>, Vec<Id<Joint>>>,
}

impl Ties {
    fn of(plan: &Plan) -> Ties {
        let mut of: BTreeMap<Id<Part>, Vec<Id<Joint>>> = BTreeMap::new();
        let mut all = BTreeMap::new();
        for (id, joint) in plan.joints.iter() {
            let Some(ends) = joint.ends else { continue };
            let ends: Vec<Id<Part>> = ends.iter().flat_map(|end| plan.parts_of(end.value)).collect();
            for &part in &ends {
                of.entry(part).or_default().push(id);
            }
            all.insert(id, ends);
        }
        Ties { ends: all, of }
    }

    /// Adds what is tied to these parts while both are off.
    fn reach(&self, moment: &After<'_>, parts: &mut BTreeSet<Id<Part>>) {
        let mut open: Vec<Id<Part>> = parts.iter().copied().collect();
        while let Some(part) = open.pop() {
            if !moment.is_off(part) {
                continue;
            }
            for joint in self.of.get(&part).into_iter().flatten() {
                let ends = self.ends.get(joint).map_or(&[][..], Vec::as_slice);
                if ends.iter().all(|&end| moment.is_off(end)) && moment.ties(*joint) {
                    open.extend(ends.iter().copied().filter(|&end| parts.insert(end)));
                }
            }
        }
    }
}
