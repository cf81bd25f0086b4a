//! What each rig comes to bear as the job is walked, and where the vehicle is nearest to tipping. Knows no page.

use std::collections::BTreeSet;

use super::binding::Binding;
use super::masses::ShownMass;
use super::mentions;
use crate::analysis::balance;
use crate::analysis::centre_path::{Pushed, Standing};
use crate::base::source::Span;
use crate::compile::Compilation;
use crate::plan::model::{Act, Bearer, Does, Id, Load, Part, Plan, Rig};
use crate::reckon::mass::{self, Running};
use crate::reckon::polygon::Spot;
use crate::walk::loads::LoadChange;
use crate::walk::state::Stand;
use crate::weights::Levels;

/// The most that a rig comes to bear.
#[derive(Debug, Clone, Copy)]
pub struct Most {
    /// Of what would fall without it; none where the mass of some of that is not known.
    pub alone: Option<ShownMass>,
    /// Of what it may bear a share of: all that its load is tied to. None where nothing more than the above, or not known.
    pub shared: Option<ShownMass>,
    /// It holds something that a spring pushes against.
    pub spring: bool,
}

/// What the rig comes to bear in the walk; none where it never bears anything.
#[must_use]
pub fn most(binding: &Binding<'_>, rig: Id<Rig>) -> Option<Most> {
    let walk = &binding.compilation.walk;
    let (mut alone, mut share) = (Sum::default(), Sum::default());
    let mut begun = false;
    let mut levels = Levels::found(binding.plan);
    for event in &walk.loads {
        match &event.change {
            LoadChange::Rig(change) if change.rig == rig => {
                begun = true;
                alone.take(binding, &change.alone.leave, &change.alone.join);
                share.take(binding, &change.share.leave, &change.share.join);
            }
            LoadChange::Fluid { fluid, full } => levels.set(*fluid, *full),
            // Nothing of it comes onto this rig or leaves it.
            _ => continue,
        }
        if begun {
            alone.see(binding, &levels);
            share.see(binding, &levels);
        }
    }
    let most_alone = alone.most.as_ref()?;
    let shared = share
        .most
        .as_ref()
        .filter(|most| !share.unknown && most.kg > most_alone.kg + most_alone.expanded());
    Some(Most {
        alone: (!alone.unknown).then(|| ShownMass::reckoned(binding, most_alone)),
        shared: shared.map(|most| ShownMass::reckoned(binding, most)),
        spring: against_spring(binding, rig),
    })
}

/// The most that stands on a rig of the vehicle, whole or an end of it; none where it never takes that, or where the mass is not known.
#[must_use]
pub fn vehicle(binding: &Binding<'_>, rig: Id<Rig>) -> Option<ShownMass> {
    let all = binding.compilation.borne()?;
    let on = |stand: Stand| matches!(stand, Stand::Rig { rig: under, .. } if under == rig);
    let masses = all
        .iter()
        .filter(|borne| on(borne.stand.0) || on(borne.stand.1))
        .map(|borne| borne.mass);
    let (kg, u) = masses.reduce(|a, b| if b.0 > a.0 { b } else { a })?;
    Some(ShownMass::reckoned(
        binding,
        &mass::MassEstimate {
            kg,
            own: u,
            shared: Vec::new(),
            origin: mass::Origin::Weighed,
        },
    ))
}

#[derive(Default)]
struct Sum {
    parts: BTreeSet<Id<Part>>,
    now: Running,
    most: Option<mass::MassEstimate>,
    unknown: bool,
}

impl Sum {
    fn take(&mut self, binding: &Binding<'_>, leave: &[Id<Part>], join: &[Id<Part>]) {
        for &part in leave {
            self.parts.remove(&part);
            self.now.take_back(binding.weights.part(part));
        }
        for &part in join {
            self.parts.insert(part);
            self.now.add(binding.weights.part(part));
        }
        self.unknown |= self.now.unknown() > 0;
    }

    /// What it comes to now, with what is in the things.
    fn see(&mut self, binding: &Binding<'_>, levels: &Levels) {
        let wet = binding.weights.wet_in(&self.parts, levels);
        let known = self.now.known().plus(&wet);
        if self.most.as_ref().is_none_or(|most| known.kg > most.kg) {
            self.most = Some(known);
        }
    }
}

/// Whether a step that meets a spring has something held by this rig.
fn against_spring(binding: &Binding<'_>, rig: Id<Rig>) -> bool {
    let mut steps = binding.work.rigs.steps(rig).iter();
    steps.any(|&step| {
        let mut acts = binding.plan.steps[step].acts();
        binding.meets_spring(step)
            && acts.any(|act| bears(act) && mentions::of(&act.does).rigs.contains(&rig))
    })
}

fn bears(act: &Act) -> bool {
    match &act.does {
        Does::Hold { by, .. } => matches!(by.value, Bearer::Rig(_)),
        Does::Touch { .. } => true,
        // No rig takes hold by it.
        _ => false,
    }
}

/// Where the raised vehicle is nearest to tipping, if that is nearer than it was when it went up.
#[derive(Debug, Clone)]
pub struct Nearest {
    /// Of all moments of the vehicle, which.
    pub moment: usize,
    pub act: Span,
    /// How far the centre stays inside, in mm, and what covers about 95 % of how well that is known.
    pub inside: f64,
    pub covers: f64,
    /// The centre then, with its standard uncertainty.
    pub centre: (Spot, Spot),
    /// "rear": the side over which it would go.
    pub side: &'static str,
    /// The rig that the step put under something, and that may bear what is reckoned to have left the vehicle.
    pub taken_by: Option<Id<Rig>>,
    /// With how much it pushes then at its own place, where that leaves less of a margin than taking parts away at theirs.
    pub push: Option<f64>,
    /// With how much it would have to push for the vehicle to stand on its edge.
    pub to_edge: Option<f64>,
}

/// Part of the margin at which it went up; nearer than this is told. Common practice, no source.
const NEARER: f64 = 0.75;

/// Less than so many mm between two margins is none. Common practice, no source.
const ALIKE: f64 = 1.0;

/// The act at which a raised vehicle stands nearest to tipping: with what a rig may take gone from where it lies, or with the rig's push at
/// the place of what it holds, whichever leaves less.
#[must_use]
pub fn nearest(compilation: &Compilation) -> Option<Nearest> {
    let all = compilation.standings()?;
    let plan = &compilation.plan;
    let mut found: Option<Nearest> = None;
    let mut first = None;
    for (now, standing) in all.iter().enumerate().filter(|(_, standing)| standing.raised) {
        let Some(own) = standing.stands else { continue };
        let first = *first.get_or_insert(own.margin.inside);
        let taken_by = taken_by(plan, all, now);
        let pushed = taken_by.and_then(|rig| pushed(plan, all, now, rig));
        let graver = pushed.filter(|pushed| pushed.stands.left() < own.left() - ALIKE);
        let stands = graver.map_or(own, |pushed| pushed.stands);
        let nearer = match &found {
            Some(found) => stands.left() < found.inside - found.covers,
            None => stands.margin.inside <= NEARER * first,
        };
        let Some(act) = standing.act.filter(|_| nearer) else {
            continue;
        };
        found = Some(Nearest {
            moment: now,
            act,
            inside: stands.margin.inside,
            covers: stands.covers,
            centre: graver.map_or((standing.centre, standing.u), |pushed| (pushed.centre, pushed.u)),
            side: standing.side_of(stands),
            taken_by,
            push: graver.map(|pushed| pushed.kg),
            to_edge: pushed.and_then(|pushed| pushed.to_edge),
        });
    }
    found
}

/// The vehicle as the rig pushes it at its own place with what it is reckoned to have taken since it was put there; none where that place is
/// not known.
fn pushed(plan: &Plan, all: &[Standing], now: usize, rig: Id<Rig>) -> Option<Pushed> {
    let least = all.get(now)?;
    let acts: Vec<&Act> = plan.steps[least.step?].acts().collect();
    // Acts of a derived step stand where those do that they undo: their order is that of the list.
    let nth = |span: Option<Span>| acts.iter().position(|act| Some(act.at) == span);
    let here = nth(least.act)?;
    let (put, held) = acts
        .iter()
        .enumerate()
        .take(here + 1)
        .filter_map(|(nth, act)| match &act.does {
            Does::Hold { things, by } if by.value == Bearer::Rig(rig) => Some((nth, things.first()?)),
            Does::Touch { things, with } if with.value == rig => Some((nth, things.first()?)),
            // No rig takes hold by it.
            _ => None,
        })
        .next_back()?;
    let Load::Thing(thing) = held.value else {
        return None;
    };
    let mut earlier = all.get(..now)?.iter().rev();
    let before = earlier
        .find(|standing| standing.step != least.step || nth(standing.act).is_some_and(|nth| nth < put))?;
    let taken = before.mass.0 - least.mass.0;
    if taken <= 0.0 || before.contacts != least.contacts {
        return None;
    }
    let (at, u) = balance::place_of(plan, thing)?;
    before.pushed(taken, Spot::new(at.behind, at.right), u)
}

/// The rig that the step of this moment put under something: none where what left the vehicle does not come back within the step, for then
/// it is off or borne for good.
fn taken_by(plan: &Plan, all: &[Standing], now: usize) -> Option<Id<Rig>> {
    let least = all.get(now)?;
    let comes_back = all
        .get(now..)?
        .iter()
        .take_while(|standing| standing.step == least.step)
        .any(|standing| standing.mass.0 > least.mass.0);
    let act = least.act.filter(|_| comes_back)?;
    let acts = plan.steps[least.step?].acts();
    let until = acts.take_while(|other| other.at.start <= act.start);
    until.fold(None, |rig, act| match &act.does {
        Does::Hold { by, .. } => match by.value {
            Bearer::Rig(rig) => Some(rig),
            Bearer::Person(_) => rig,
        },
        Does::Touch { with, .. } => Some(with.value),
        Does::Release { .. } => None,
        // Who holds stays as it was.
        _ => rig,
    })
}

/// Of all moments at which the vehicle is raised, the one with the least margin.
#[must_use]
pub fn least(all: &[Standing]) -> Option<&Standing> {
    all.iter()
        .filter(|standing| standing.raised && standing.stands.is_some())
        .min_by(|a, b| a.inside().total_cmp(&b.inside()))
}
