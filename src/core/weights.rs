//! Floor 3: what each thing of a plan weighs, as far as its plan and its weigh-ins tell: the latest reading, else what is stated, else the sum of its
//! parts. Reads the plan, reckons by `reckon/`; knows neither the order of work nor wording.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::base::date::Date;
use crate::base::quantity::{Mass, Volume};
use crate::plan::model::{
    Fluid, Id, MassFigure, Origin, Part, Plan, Reading, Reads, Scale, Starts, Thing, Vehicle, WeighIn,
    Weighed,
};
use crate::reckon::mass::{MassEstimate, Origin as Known, Total};
use crate::reckon::scales::{self, Class};

/// The masses of one plan.
#[derive(Debug, Clone)]
pub struct Weights<'a> {
    plan: &'a Plan,
    table: Arc<Table>,
}

/// What is known of each part, by its place in the plan. Everybody who asks what a part weighs asks this.
#[derive(Debug, Default)]
pub struct Table {
    parts: Vec<Option<MassEstimate>>,
    /// Parts whose figure is a reading, their own or one of several things together.
    read: Vec<bool>,
    wet: Vec<Wet>,
}

/// What a fluid weighs as it was found, else when it is full, and the parts that it is in.
#[derive(Debug, Clone, Default)]
pub struct Wet {
    /// None where the plan does not tell it.
    pub estimate: Option<MassEstimate>,
    /// When it is full.
    pub brim: Option<MassEstimate>,
    /// Sorted by id.
    pub inside: Vec<Id<Part>>,
}

/// Which fluids are out, and which were filled again: those weigh what goes in, and no longer what was found in them.
#[derive(Debug, Clone, Default)]
pub struct Levels {
    out: BTreeSet<Id<Fluid>>,
    filled: BTreeSet<Id<Fluid>>,
}

impl Levels {
    /// As the job was found.
    #[must_use]
    pub fn found(plan: &Plan) -> Self {
        let starts = plan.about.iter().flat_map(|about| &about.starts);
        let out = starts.filter_map(|start| match start {
            Starts::Drained(fluid) => Some(fluid.value),
            Starts::Off(_) | Starts::On(_) | Starts::Out(_) | Starts::Slack(_) | Starts::Holds(..) => None,
        });
        Self {
            out: out.collect(),
            filled: BTreeSet::new(),
        }
    }

    /// Marks one as filled or run out.
    pub fn set(&mut self, fluid: Id<Fluid>, full: bool) {
        if full {
            self.out.remove(&fluid);
            self.filled.insert(fluid);
        } else {
            self.out.insert(fluid);
        }
    }
}

impl Wet {
    /// Whether what bears these parts bears all of the fluid.
    #[must_use]
    pub fn lies_in(&self, parts: &BTreeSet<Id<Part>>) -> bool {
        !self.inside.is_empty() && self.inside.iter().all(|part| parts.contains(part))
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "far outside of any machine the cast stays at the end of the range"
)]
fn milligrams(estimate: &MassEstimate) -> i64 {
    (estimate.kg * 1e6).round() as i64
}

/// What the job was found with of a fluid, where the plan says so.
#[must_use]
pub fn started_with(plan: &Plan, id: Id<Fluid>) -> Option<Volume> {
    plan.about.as_ref()?.starts.iter().find_map(|start| match start {
        Starts::Holds(fluid, volume) if fluid.value == id => Some(*volume),
        _ => None,
    })
}

/// What so much of a fluid weighs, else what goes into it.
fn fluid(plan: &Plan, id: Id<Fluid>, litres: Option<Volume>) -> Option<MassEstimate> {
    let fluid = &plan.fluids[id];
    let litres = litres.or(fluid.holds.map(|said| said.value))?;
    let kg = crate::reckon::fluids::mass(litres.base(), fluid.density?.value.base()).ok()?;
    MassEstimate::unstated(kg, kg, Known::Quoted).ok()
}

/// When something was read, and whether it lay on the scale alone: the later counts, and then the lone one.
type Rank = (Option<Date>, bool);

/// What a scale of the plan is known for. `None` where its division is not stated, or is no fit one.
#[must_use]
pub fn scale(plan: &Plan, id: Id<Scale>) -> Option<scales::Scale> {
    let declared = &plan.scales[id];
    Some(scales::Scale {
        division: declared.division?.value.base(),
        repeatability: declared.repeatability.map(|said| said.value.base()),
        class: declared.class.as_ref().and_then(|said| Class::read(&said.value)),
    })
}

/// A reading as a mass. One whose uncertainty is stated has that; else it has what its scale gives it.
#[must_use]
pub fn reading(plan: &Plan, mass: Mass, give: Option<Mass>, with: Option<Id<Scale>>) -> Option<MassEstimate> {
    let kg = mass.base();
    if let Some(give) = give {
        return MassEstimate::stated(kg, give.base(), Known::Weighed).ok();
    }
    let Some(id) = with else {
        return MassEstimate::unstated(kg, mass.last_place(), Known::Weighed).ok();
    };
    let scale = scale(plan, id).unwrap_or(scales::Scale {
        division: mass.last_place(),
        repeatability: None,
        class: None,
    });
    MassEstimate::read(kg, scale.reading(kg).ok()?, id.index()).ok()
}

/// A figure of the plan as a mass.
#[must_use]
pub fn stated(figure: &MassFigure) -> Option<MassEstimate> {
    let kg = figure.mass.base();
    let origin = match figure.origin {
        Origin::Weighed => Known::Weighed,
        Origin::Quoted => Known::Quoted,
        Origin::Estimated | Origin::Unsaid => Known::Estimated,
    };
    match figure.give {
        Some(give) => MassEstimate::stated(kg, give.base(), origin).ok(),
        None => MassEstimate::unstated(kg, figure.mass.last_place(), origin).ok(),
    }
}

/// The parts that lie on the scale, for things alone; `None` where hardware or the vehicle is among them.
fn parts_of(plan: &Plan, what: &Reads) -> Option<Vec<Id<Part>>> {
    let mut all = Vec::new();
    for said in &what.what {
        match said.value {
            Weighed::Thing(thing) => all.extend(plan.parts_of(thing)),
            Weighed::Hardware(_) | Weighed::Vehicle(_) => return None,
        }
    }
    all.sort_unstable();
    all.dedup();
    Some(all)
}

/// What one line of a weigh-in weighs, its tare taken away where it is the only line.
#[must_use]
pub fn of_reads(plan: &Plan, weigh_in: &WeighIn, reads: &Reads) -> Option<MassEstimate> {
    let mass = reads.mass.known()?;
    let with = weigh_in.with.map(|said| said.value);
    let read = reading(plan, mass, reads.give, with)?;
    let [_] = weigh_in.reads.as_slice() else {
        return Some(read);
    };
    weigh_in.tare.iter().try_fold(read, |sum, tare| {
        Some(sum.minus(&reading(plan, tare.mass, None, with)?))
    })
}

impl Table {
    /// Works out what each part, joint and fluid weighs, from what is stated, and what was read on scales.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let mut parts: Vec<Option<MassEstimate>> = plan
            .parts
            .values()
            .map(|part| part.mass.as_ref().and_then(|said| stated(&said.value)))
            .collect();
        // For each part the latest reading: (date, read alone) and what it gives the part.
        let mut latest: BTreeMap<Id<Part>, (Rank, MassEstimate)> = BTreeMap::new();
        let mut several: Vec<(Option<Date>, MassEstimate, Vec<Id<Part>>)> = Vec::new();
        for weigh_in in plan.weigh_ins.values() {
            let dated = weigh_in.dated.map(|said| said.value);
            for reads in &weigh_in.reads {
                let (Some(estimate), Some(of)) = (of_reads(plan, weigh_in, reads), parts_of(plan, reads))
                else {
                    continue;
                };
                let [only] = of.as_slice() else {
                    several.push((dated, estimate, of));
                    continue;
                };
                let rank = (dated, true);
                if latest.get(only).is_none_or(|(known, _)| *known <= rank) {
                    latest.insert(*only, (rank, estimate));
                }
            }
        }
        // Of several together, those that were read alone too weigh what they were read at, and the others have the rest.
        let alone = latest.clone();
        let mut believed = parts.clone();
        for (part, (_, estimate)) in &alone {
            if let Some(place) = believed.get_mut(part.index()) {
                *place = Some(estimate.clone());
            }
        }
        for (dated, estimate, of) in several {
            let (known, left): (Vec<Id<Part>>, Vec<Id<Part>>) =
                of.iter().partition(|part| alone.contains_key(part));
            let known = MassEstimate::sum(known.iter().filter_map(|part| Some(&alone.get(part)?.1)));
            let rest = estimate.minus(&known);
            let (rest, of) = if left.is_empty() || rest.kg <= 0.0 {
                (estimate, of)
            } else {
                (rest, left)
            };
            let rank = (dated, false);
            for (part, share) in split(&of, &believed) {
                if latest.get(&part).is_none_or(|(known, _)| *known <= rank) {
                    latest.insert(part, (rank, part_of(&rest, share)));
                }
            }
        }
        let mut read = vec![false; parts.len()];
        for (part, (_, estimate)) in latest {
            if let (Some(place), Some(mark)) = (parts.get_mut(part.index()), read.get_mut(part.index())) {
                *place = Some(estimate);
                *mark = true;
            }
        }
        let insides = plan.insides().into_iter();
        let wet = insides.zip(plan.fluids.ids()).map(|(inside, id)| Wet {
            estimate: fluid(plan, id, started_with(plan, id)),
            brim: fluid(plan, id, None),
            inside,
        });
        Self {
            parts,
            read,
            wet: wet.collect(),
        }
    }

    /// A part's mass in whole milligrams; none where nothing is known of it.
    #[must_use]
    pub fn milligrams(&self, id: Id<Part>) -> Option<i64> {
        self.parts.get(id.index())?.as_ref().map(milligrams)
    }
}

impl<'a> Weights<'a> {
    /// Of a plan that is looked at alone; of a compilation they are asked, where they are worked out once.
    #[must_use]
    pub fn new(plan: &'a Plan) -> Self {
        Self::over(plan, Arc::new(Table::of(plan)))
    }

    /// Looks things up in a table that was made of the same plan.
    #[must_use]
    pub fn over(plan: &'a Plan, table: Arc<Table>) -> Self {
        Self { plan, table }
    }

    /// What is known of each part.
    #[must_use]
    pub fn table(&self) -> &Table {
        &self.table
    }

    /// The plan that the masses are of.
    #[must_use]
    pub fn plan(&self) -> &'a Plan {
        self.plan
    }

    /// A part's mass; none where nothing is known of it.
    #[must_use]
    pub fn part(&self, id: Id<Part>) -> Option<&MassEstimate> {
        self.table.parts.get(id.index())?.as_ref()
    }

    /// Whether a part's figure comes from a weigh-in.
    #[must_use]
    pub fn is_read(&self, id: Id<Part>) -> bool {
        self.table.read.get(id.index()).copied().unwrap_or_default()
    }

    /// The sum of parts, and how many of them have no known mass. An assembly that lies wholly among them and has a figure of its own
    /// stands in for parts without one: what was read of it as one, else what is stated.
    #[must_use]
    pub fn sum(&self, parts: &[Id<Part>]) -> Total {
        let mut left: Vec<Id<Part>> = parts.to_vec();
        let mut known: Vec<MassEstimate> = Vec::new();
        if left.iter().any(|&part| self.part(part).is_none()) {
            let mut whole: Vec<_> = self.plan.assemblies.iter().collect();
            whole.sort_by_key(|(_, assembly)| std::cmp::Reverse(assembly.parts.len()));
            for (id, assembly) in whole {
                let inside = assembly.parts.iter().all(|part| left.contains(part));
                let gaps = assembly.parts.iter().any(|&part| self.part(part).is_none());
                if !inside || !gaps {
                    continue;
                }
                let read = self.read_as_one(Weighed::Thing(Thing::Assembly(id)));
                let figure = read.or_else(|| stated(&assembly.mass.as_ref()?.value));
                if let Some(figure) = figure {
                    known.push(figure);
                    left.retain(|part| !assembly.parts.contains(part));
                }
            }
        }
        let figures = left.iter().map(|&part| self.part(part));
        Total::of(figures.chain(known.iter().map(Some)))
    }

    /// The heaviest first, as far as masses are known; unknown ones before all.
    #[must_use]
    pub fn heaviest_first(&self, parts: impl Iterator<Item = Id<Part>>) -> Vec<Id<Part>> {
        let mut parts: Vec<Id<Part>> = parts.collect();
        let kg = |id| self.part(id).map_or(f64::INFINITY, |estimate| estimate.kg);
        parts.sort_by(|&a, &b| kg(b).total_cmp(&kg(a)));
        parts
    }

    /// What lies on a scale, or is listed in a swap.
    #[must_use]
    pub fn of(&self, what: Weighed) -> Option<MassEstimate> {
        match what {
            Weighed::Thing(Thing::Part(id)) => self.part(id).cloned(),
            Weighed::Thing(Thing::Assembly(id)) => {
                let assembly = &self.plan.assemblies[id];
                let own = self
                    .read_as_one(what)
                    .or_else(|| assembly.mass.as_ref().and_then(|said| stated(&said.value)));
                let sum = self.sum(&assembly.parts);
                let parts = sum.whole().filter(|_| !assembly.parts.is_empty());
                match (own, parts) {
                    // The better known of the two; a reading of the whole is always the better one.
                    (Some(own), Some(parts)) if own.origin != Known::Weighed && parts.u() < own.u() => {
                        Some(parts.clone())
                    }
                    (Some(own), _) => Some(own),
                    (None, parts) => parts.cloned(),
                }
            }
            Weighed::Hardware(_) => self.read_as_one(what),
            Weighed::Vehicle(id) => self.read_as_one(what).or_else(|| self.vehicle(id)),
        }
    }

    /// The mass that the plan states of its vehicle.
    #[must_use]
    pub fn vehicle(&self, id: Id<Vehicle>) -> Option<MassEstimate> {
        let figure = self.plan.vehicles[id].mass.as_ref();
        figure.and_then(|said| stated(&said.value))
    }

    /// The latest reading of exactly this.
    #[must_use]
    pub fn read_as_one(&self, what: Weighed) -> Option<MassEstimate> {
        let readings = self.plan.weigh_ins.values().flat_map(|weigh_in| {
            let dated = weigh_in.dated.map(|said| said.value);
            weigh_in.reads.iter().map(move |reads| (dated, weigh_in, reads))
        });
        readings
            .filter(|(_, _, reads)| matches!(reads.what.as_slice(), [only] if only.value == what))
            .filter_map(|(dated, weigh_in, reads)| Some((dated, of_reads(self.plan, weigh_in, reads)?)))
            .max_by_key(|(dated, _)| *dated)
            .map(|(_, estimate)| estimate)
    }

    /// What a fluid weighs as it was found, else when it is full; none where nobody says.
    #[must_use]
    pub fn fluid(&self, id: Id<Fluid>) -> Option<&MassEstimate> {
        self.table.wet.get(id.index())?.estimate.as_ref()
    }

    /// The parts that a fluid is in.
    #[must_use]
    pub fn inside(&self, id: Id<Fluid>) -> &[Id<Part>] {
        self.table.wet.get(id.index()).map_or(&[], |wet| &wet.inside)
    }

    /// What the fluids weigh together that are wholly in these parts; none weighs something where nobody says it.
    #[must_use]
    pub fn wet_in(&self, parts: &BTreeSet<Id<Part>>, levels: &Levels) -> MassEstimate {
        let all = self.plan.fluids.ids().zip(&self.table.wet);
        let inside = all.filter(|(id, wet)| !levels.out.contains(id) && wet.lies_in(parts));
        let now = inside.filter_map(|(id, wet)| match levels.filled.contains(&id) {
            true => wet.brim.as_ref().or(wet.estimate.as_ref()),
            false => wet.estimate.as_ref(),
        });
        MassEstimate::sum(now)
    }

    /// Whether anything is awaited that would weigh this: a reading to come, or an act of weighing.
    #[must_use]
    pub fn will_be_weighed(&self, what: Weighed) -> bool {
        let wanted = match what {
            Weighed::Thing(thing) => self.plan.parts_of(thing),
            Weighed::Hardware(_) | Weighed::Vehicle(_) => Vec::new(),
        };
        let covers = |of: &[Id<Part>]| !wanted.is_empty() && wanted.iter().all(|part| of.contains(part));
        let sheets = self.plan.weigh_ins.values().flat_map(|weigh_in| &weigh_in.reads);
        sheets.filter(|reads| reads.mass == Reading::ToCome).any(|reads| {
            reads.what.iter().any(|said| said.value == what)
                || parts_of(self.plan, reads).is_some_and(|of| covers(&of))
        })
    }
}

/// What part of a reading each thing on the scale has: by what is known of them, or alike where nothing is.
fn split(of: &[Id<Part>], parts: &[Option<MassEstimate>]) -> Vec<(Id<Part>, f64)> {
    let kg = |part: Id<Part>| {
        parts
            .get(part.index())
            .and_then(|estimate| Some(estimate.as_ref()?.kg))
    };
    let known: Option<Vec<f64>> = of.iter().map(|&part| kg(part)).collect();
    let sum: f64 = known.iter().flatten().sum();
    #[expect(clippy::cast_precision_loss, reason = "a count of parts is small")]
    let alike = 1.0 / of.len() as f64;
    match known {
        Some(known) if sum > 0.0 => of.iter().zip(known).map(|(&part, kg)| (part, kg / sum)).collect(),
        // Some are known and some are not: the reading says nothing of each.
        None if of.iter().any(|&part| kg(part).is_some()) => Vec::new(),
        _ => of.iter().map(|&part| (part, alike)).collect(),
    }
}

/// One thing's part of a reading of several. Own parts are such that they make up the reading's again in quadrature.
fn part_of(whole: &MassEstimate, share: f64) -> MassEstimate {
    if share >= 1.0 {
        return whole.clone();
    }
    MassEstimate {
        kg: whole.kg * share,
        own: whole.own * share.sqrt(),
        shared: whole
            .shared
            .iter()
            .map(|(scale, u)| (*scale, u * share))
            .collect(),
        origin: whole.origin,
    }
}
