//! What can be done next with the people, rigs and tools that are there: the steps that are open, in the order of the work that the plan stands
//! in, what keeps each from being done, and what is left. Lays out no days; knows no wording.

use std::collections::{BTreeMap, BTreeSet};

use super::timing;
use crate::plan::drives;
use crate::plan::mentions;
use crate::plan::model::{
    Consumable, Does, Halt, Id, Load, Need, Part, Person, Plan, Rig, Scale, Step, StoppedAt, Tool, Waiting,
};
use crate::reckon::durations::Estimate;
use crate::walk::Walk;
use crate::walk::after::After;

/// A thing that the work may need.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gear {
    /// Somebody of the crew.
    Person(Id<Person>),
    /// A lift, stand or crane.
    Rig(Id<Rig>),
    /// A hand tool or a container.
    Tool(Id<Tool>),
    /// What weighs.
    Scale(Id<Scale>),
    /// What is used up.
    Consumable(Id<Consumable>),
    /// A new part, to be fitted.
    Part(Id<Part>),
}

impl Gear {
    /// Whatever of the plan has this name.
    #[must_use]
    pub fn named(plan: &Plan, name: &str) -> Option<Gear> {
        Self::all(plan)
            .find(|(_, other)| *other == name)
            .map(|(gear, _)| gear)
    }

    /// All of them, with their names.
    pub fn all(plan: &Plan) -> impl Iterator<Item = (Gear, &str)> {
        let people = plan.people.iter();
        let people = people.map(|(id, person)| (Gear::Person(id), &*person.head.name));
        let rigs = plan.rigs.iter();
        let rigs = rigs.map(|(id, rig)| (Gear::Rig(id), &*rig.head.name));
        let tools = plan.tools.iter();
        let tools = tools.map(|(id, tool)| (Gear::Tool(id), &*tool.head.name));
        let scales = plan.scales.iter();
        let scales = scales.map(|(id, scale)| (Gear::Scale(id), &*scale.head.name));
        let used = plan.consumables.iter();
        let used = used.map(|(id, used)| (Gear::Consumable(id), &*used.head.name));
        let parts = plan.parts.iter().filter(|(_, part)| !part.is_body);
        let parts = parts.map(|(id, part)| (Gear::Part(id), &*part.head.name));
        people
            .chain(rigs)
            .chain(tools)
            .chain(scales)
            .chain(used)
            .chain(parts)
    }
}

/// Who and what is there on the day.
#[derive(Debug, Clone, Default)]
pub struct There {
    /// Who comes.
    pub people: BTreeSet<Id<Person>>,
    /// What is not.
    pub without: BTreeSet<Gear>,
    /// What the work waited for, and what has come.
    pub come: BTreeSet<Gear>,
    /// The day: what arrives later, or is hired for other days, is not there.
    pub on: Option<crate::base::date::Date>,
}

impl There {
    /// The first of the crew, and whoever comes besides.
    #[must_use]
    pub fn with(plan: &Plan, others: impl IntoIterator<Item = Id<Person>>) -> There {
        let crew = plan.about.as_ref().and_then(|about| about.crew.first());
        let first = crew.map(|said| said.value).or_else(|| plan.people.ids().next());
        There {
            people: first.into_iter().chain(others).collect(),
            ..There::default()
        }
    }
}

/// Why a step cannot be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Somebody is not there.
    Person(Id<Person>),
    /// A thing is not there.
    Without(Gear),
    /// It comes on a later day.
    Arrives(Gear, crate::base::date::Date),
    /// It is hired for other days: from the one to the other.
    Hired(Gear, crate::base::date::Date, crate::base::date::Date),
    /// The log says that it waits: the place of that log.
    Waiting(usize),
    /// A fault stands in it.
    Fault,
    /// This one has to be done before.
    Behind(Id<Step>),
}

/// The work from now on.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Today {
    /// Steps that can be done one after the other.
    pub go: Vec<Id<Step>>,
    /// Those that cannot, each with its reasons.
    pub stay: Vec<(Id<Step>, Vec<Why>)>,
    /// How many of the steps are done or left out.
    pub over: usize,
}

/// Works it out; `faulty` are steps in which a fault stands.
#[must_use]
pub fn today(plan: &Plan, walk: &Walk, there: &There, faulty: &BTreeSet<Id<Step>>) -> Today {
    let bound = timing::bound(plan, walk);
    let waiting = waiting(plan, there);
    let mut today = Today::default();
    // For each step that cannot be done, the one that has a reason of its own.
    let mut stuck: BTreeMap<usize, Id<Step>> = BTreeMap::new();
    for (nth, &step) in plan.order.iter().enumerate() {
        if is_over(plan, step) {
            today.over += 1;
            continue;
        }
        let needed = needed(plan, step);
        let mut why: Vec<Why> = Vec::new();
        for gear in &needed {
            match *gear {
                Gear::Person(person) if !there.people.contains(&person) => why.push(Why::Person(person)),
                gear if there.without.contains(&gear) => why.push(Why::Without(gear)),
                gear if there.come.contains(&gear) => {}
                gear => why.extend(there.on.and_then(|on| away(plan, gear, on))),
            }
        }
        why.extend(no_wrench(plan, step, there));
        why.extend(
            waiting
                .iter()
                .filter(|(at, gear, _)| {
                    // Of a person each step says itself that it waits.
                    let of_thing = gear.filter(|gear| !matches!(gear, Gear::Person(_)));
                    *at == step || of_thing.is_some_and(|gear| needed.contains(&gear))
                })
                .map(|&(_, _, log)| Why::Waiting(log)),
        );
        why.extend(faulty.contains(&step).then_some(Why::Fault));
        if why.is_empty() {
            let before = bound.get(nth).into_iter().flatten();
            let first = before.filter_map(|other| stuck.get(other)).next();
            why.extend(first.map(|&step| Why::Behind(step)));
        }
        why.sort_unstable();
        why.dedup();
        match why.first() {
            None => today.go.push(step),
            Some(&Why::Behind(first)) => drop(stuck.insert(nth, first)),
            Some(_) => drop(stuck.insert(nth, step)),
        }
        if !why.is_empty() {
            today.stay.push((step, why));
        }
    }
    today
}

/// Why a thing is not there on a day, by what the plan says of it.
fn away(plan: &Plan, gear: Gear, on: crate::base::date::Date) -> Option<Why> {
    let supply = match gear {
        Gear::Rig(id) => &plan.rigs[id].supply,
        Gear::Tool(id) => &plan.tools[id].supply,
        Gear::Consumable(id) => &plan.consumables[id].supply,
        Gear::Part(id) => {
            let arrives = plan.parts[id].arrives?.value;
            return (on < arrives).then_some(Why::Arrives(gear, arrives));
        }
        Gear::Person(_) | Gear::Scale(_) => return None,
    };
    if let Some(arrives) = supply
        .arrives
        .map(|said| said.value)
        .filter(|arrives| on < *arrives)
    {
        return Some(Why::Arrives(gear, arrives));
    }
    let (from, to) = supply.hired?.value;
    (on < from || to < on).then_some(Why::Hired(gear, from, to))
}

fn is_over(plan: &Plan, step: Id<Step>) -> bool {
    plan.progress.done.contains_key(&step) || plan.progress.skipped.contains_key(&step)
}

/// Who does it and gives the word, what holds and lifts, what it is done with, and the parts that it handles.
fn needed(plan: &Plan, id: Id<Step>) -> BTreeSet<Gear> {
    let step = &plan.steps[id];
    let mut all: BTreeSet<Gear> = step.by.iter().map(|said| Gear::Person(said.value)).collect();
    all.extend(step.calls.map(|said| Gear::Person(said.value)));
    all.extend(step.needs.iter().map(|need| match need.value {
        Need::Tool(tool) => Gear::Tool(tool),
        Need::Rig(rig) => Gear::Rig(rig),
        Need::Consumable(used) => Gear::Consumable(used),
    }));
    for act in step.acts() {
        let named = mentions::of(&act.does);
        all.extend(named.people.into_iter().map(Gear::Person));
        all.extend(named.rigs.into_iter().map(Gear::Rig));
        all.extend(named.tools.into_iter().map(Gear::Tool));
        all.extend(named.scales.into_iter().map(Gear::Scale));
        for load in named.loads {
            if let Load::Thing(thing) = load {
                all.extend(plan.parts_of(thing).into_iter().map(Gear::Part));
            }
        }
    }
    all
}

/// A torque that none of the wrenches which are there reaches, where one of the plan's does.
fn no_wrench(plan: &Plan, id: Id<Step>, there: &There) -> Option<Why> {
    let torques = plan.steps[id].acts().flat_map(|act| match &act.does {
        Does::Tighten(all) => all.as_slice(),
        // Nothing else is done with a torque wrench.
        _ => &[],
    });
    torques
        .filter_map(|fixings| {
            plan.joints[fixings.joint.value]
                .torque
                .as_ref()?
                .value
                .torque
                .known()
        })
        .find_map(|torque| {
            let mut all = drives::wrenches(plan, torque).map(Gear::Tool);
            let first = all.next()?;
            let missing = |gear: &Gear| there.without.contains(gear);
            (missing(&first) && all.all(|gear| missing(&gear))).then_some(Why::Without(first))
        })
}

/// Steps that the log says wait, with what they wait for where that is a thing of the plan, and the place of the log. A log of a day after which
/// the step was done, or the work stopped again, waits no more.
fn waiting(plan: &Plan, there: &There) -> Vec<(Id<Step>, Option<Gear>, usize)> {
    let place = |step: Id<Step>| plan.order.iter().position(|&other| other == step);
    let mut latest: BTreeMap<Id<Step>, (crate::base::date::Date, usize)> = BTreeMap::new();
    for (nth, log) in plan.logs.iter().enumerate() {
        let (Some(said), Some(&own)) = (&log.stopped, log.steps.last()) else {
            continue;
        };
        let at = match &said.value.place {
            StoppedAt::After(step) => {
                let next = place(step.value).and_then(|at| {
                    let mut later = plan.order.iter().skip(at + 1);
                    later.find(|&&step| !is_over(plan, step)).copied()
                });
                match next {
                    Some(next) => next,
                    None => continue,
                }
            }
            StoppedAt::Act(_) | StoppedAt::Letter(_) => own,
        };
        let day = said.value.on.value;
        if latest.get(&at).is_none_or(|(known, _)| *known <= day) {
            latest.insert(at, (day, nth));
        }
    }
    latest
        .into_iter()
        .filter(|(step, _)| !is_over(plan, *step))
        .filter_map(|(step, (_, nth))| {
            let waiting = plan.logs.get(nth)?.stopped.as_ref()?.value.waiting_for.as_ref()?;
            let gear = match waiting {
                Waiting::Named(name) => Gear::named(plan, &name.value),
                Waiting::Words(_) => None,
            };
            let here = match gear {
                Some(Gear::Person(person)) => there.people.contains(&person),
                Some(gear) => there.come.contains(&gear),
                None => false,
            };
            (!here).then_some((step, gear, nth))
        })
        .collect()
}

/// Time of a step from now on: of one that was stopped within it the share of its acts that is left. None where the plan does not say.
#[must_use]
pub fn takes_now(plan: &Plan, step: Id<Step>, halt: Option<Halt>) -> Option<Estimate> {
    let whole = timing::takes(plan, step)?;
    let Some(halt) = halt.filter(|halt| halt.step == step) else {
        return Some(whole);
    };
    let acts = plan.steps[step].acts().count().max(1);
    #[expect(clippy::cast_precision_loss, reason = "a step has few acts")]
    let left = (acts - halt.acts.min(acts)) as f64 / acts as f64;
    Estimate::new(whole.best() * left, whole.likely() * left, whole.worst() * left).ok()
}

/// Parts that still come off for good, that go back, and that are new and go on, between two moments.
#[must_use]
pub fn to_move(plan: &Plan, found: &After<'_>, now: &After<'_>, end: &After<'_>) -> [Vec<Id<Part>>; 3] {
    let all = || {
        plan.parts
            .iter()
            .filter(|(_, part)| !part.is_body)
            .map(|(id, _)| id)
    };
    let of = |wanted: fn(bool, bool, bool) -> bool| -> Vec<Id<Part>> {
        all()
            .filter(|&id| wanted(found.is_off(id), now.is_off(id), end.is_off(id)))
            .collect()
    };
    [
        of(|_, now, end| !now && end),
        of(|found, now, end| !found && now && !end),
        of(|found, now, end| found && now && !end),
    ]
}
