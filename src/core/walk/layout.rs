//! What never changes while a plan is walked: which part each joint ties, what its kind can do, what a replacement takes
//! over from what it replaces, who stands on how many. Made once from the plan; knows nothing of any state.

use std::collections::{BTreeMap, BTreeSet};

use super::intact::Tree;
use super::pressures::Pressure;
use super::spring_paths::Paths;
use super::springs::{Ends, Keeping, Way, ways};
use super::table::Table;
use super::tally::Tally;
use crate::plan::model::{
    Content, Does, End, Energy, EnergyKind, Fluid, FrontRear, Hazard, Id, Joint, Load, Part, Plan, ReachFrom,
    Rig, Said, Step, Thing, Vehicle,
};
use crate::weights::Table as Masses;

/// The facts of one plan.
#[derive(Debug, Default, Clone)]
pub struct Layout {
    pub vehicle: Option<Id<Vehicle>>,
    pub body: Option<Id<Part>>,
    pub joints: Table<Joint, JointFacts>,
    pub parts: Table<Part, PartFacts>,
    /// What the wheels or feet of each end are on: the thing that the vehicle names, the one of the other side, and the wheels on them.
    pub bears: FrontRear<Vec<Id<Part>>>,
    /// Rigs that stand on a thing, with that thing.
    pub borne: Table<Rig, Option<Id<Part>>>,
    /// Parts whose number of supports is asked after every act.
    pub stands: Vec<Id<Part>>,
    /// The island of each part, if every joint carried that ever can; and of each island those parts.
    pub(super) island_of: Table<Part, usize>,
    pub(super) stands_in: Vec<Vec<Id<Part>>>,
    pub(super) tree: Tree,
    /// The joints that open each fluid.
    pub lines: Table<Fluid, Vec<Id<Joint>>>,
    pub hang: i64,
    pub by_hand: i64,
    pub heavy: i64,
    pub fluid_hazards: Table<Fluid, Vec<Hazard>>,
    pub energy_hazards: Table<Energy, Vec<Hazard>>,
    /// Rigs that hang what they have from above.
    pub hangs: Table<Rig, bool>,
    /// What keeps each energy that is held in by joints.
    pub keeping: BTreeMap<Id<Energy>, Keeping>,
    /// Energies that are said to be safe after a step.
    pub safe_after: BTreeMap<Id<Step>, Vec<Id<Energy>>>,
    /// What belongs to each pressure that is said to be safe after a step.
    pub pressures: BTreeMap<Id<Energy>, Pressure>,
    /// The parts that each fluid is in.
    pub inside: Table<Fluid, Vec<Id<Part>>>,
    /// Newton metres over which no fixing is turned on a raised vehicle.
    pub big_torque: f64,
    /// Parts that searches looked at while this plan was walked.
    pub(super) looked: Tally,
}

#[derive(Debug, Default, Clone)]
pub struct JointFacts {
    /// What its name or title betrays.
    pub hazards: Vec<Hazard>,
    /// The parts that it ties; none where a name was unknown. For an assembly stands its first part.
    pub ends: Option<[Id<Part>; 2]>,
    pub carries: bool,
    /// Of its two parts only this one hangs by it: the other one is heavy, and this one hangs on little itself.
    pub hung: Option<Id<Part>>,
    pub rigid: bool,
    pub slides: bool,
    pub pressed: bool,
    /// Parted by `break` alone.
    pub fixed: bool,
    /// Bears nothing until somebody has waited for it.
    pub sets: bool,
    /// Strap, plug or cable: something light may hang by it for a while.
    pub lead: bool,
    /// Hose or pipe.
    pub line: bool,
    pub fixings: u32,
    /// It has fixings with a thread: a slide or taper with a nut or a pinch bolt.
    pub threaded: bool,
    /// There is something to tighten.
    pub tightened: bool,
    pub fluids: Vec<Id<Fluid>>,
    pub energies: Vec<Id<Energy>>,
    /// Reached from below: at this end, or at any.
    pub below: Option<Option<End>>,
    pub covered_by: Vec<Id<Part>>,
    /// In millimetres; nothing where the plan does not say.
    pub play: f64,
    pub engaged: f64,
    pub in_place_of: Option<Id<Joint>>,
    pub replaced_by: Vec<Id<Joint>>,
    /// Energies that it, or what it takes the place of, keeps in.
    pub keeps: Vec<Id<Energy>>,
    /// The ends of the vehicle whose wheels hang on it or on what it ties, but for what hangs on one thing alone.
    pub sides: Vec<End>,
    /// Springs that push through it, or may.
    pub hangs: Vec<Id<Energy>>,
    pub gone: bool,
}

impl JointFacts {
    /// Whether it can bear this one of its parts.
    #[must_use]
    pub fn bears(&self, part: Id<Part>) -> bool {
        self.carries && self.hung.is_none_or(|hung| hung == part)
    }

    /// The end that is not `part`.
    #[must_use]
    pub fn other(&self, part: Id<Part>) -> Option<Id<Part>> {
        let [a, b] = self.ends?;
        Some(if a == part { b } else { a })
    }
}

#[derive(Debug, Default, Clone)]
pub struct PartFacts {
    /// In milligrams; an unknown mass stays unknown.
    pub mass: Option<i64>,
    pub joints: Vec<Id<Joint>>,
    /// The same, those first that lead to the body soonest.
    pub ways: Vec<Id<Joint>>,
    /// None of its joints carries: taken as carried by the body.
    pub carried_anyhow: bool,
    pub need: Option<Need>,
    /// It lies there by its weight alone.
    pub rests_on: Option<Id<Part>>,
    /// It was never on the machine before this job.
    pub is_new: bool,
    /// One of its joints is reached from below.
    pub below: bool,
    /// It is called a hose.
    pub is_hose: bool,
    /// All its joints are lines: it is a piece of pipe or hose itself.
    pub is_line: bool,
    /// What it can do by itself, by its name or title.
    pub hazards: Vec<Hazard>,
    pub in_place_of: Option<Id<Part>>,
    pub if_renewed: bool,
    /// Some act weighs it by itself, or with the others of its assembly.
    pub weighed: bool,
    pub replaced_by: Vec<Id<Part>>,
    /// Springs that it is itself: it alone is said to hold their force.
    pub is_spring_of: Vec<Id<Energy>>,
    /// Energies that are held in and that it, or what it takes the place of, is in.
    pub springs: Vec<Id<Energy>>,
}

/// How many supports a part has to have.
#[derive(Debug, Clone)]
pub struct Need {
    pub count: u32,
    /// Stated by the plan, and counted over these joints; else over all of them.
    pub over: Option<Vec<Id<Joint>>>,
    /// Besides this joint of one or two fixings only another thing bore it: asked only while it hangs on this one.
    pub leans: Option<Id<Joint>>,
    /// On a ball joint it turns over, however light it is.
    pub on_ball: bool,
}

impl Layout {
    #[must_use]
    pub fn new(plan: &Plan, masses: &Masses) -> Self {
        let vehicle = plan.vehicle();
        let body = vehicle
            .and_then(|id| plan.vehicles[id].body)
            .map(|said| said.value);
        let mut joints: Table<Joint, JointFacts> = Table::new(
            plan.joints
                .values()
                .map(|joint| joint_facts(plan, joint))
                .collect(),
        );
        let mut parts: Table<Part, PartFacts> = Table::new(
            plan.parts
                .iter()
                .map(|(id, part)| PartFacts {
                    mass: masses.milligrams(id),
                    in_place_of: part.in_place_of.map(|place| place.value.part),
                    if_renewed: part.in_place_of.is_some_and(|place| place.value.if_renewed),
                    carried_anyhow: !part.is_body && part.rests_on.is_none(),
                    rests_on: part.rests_on.map(|said| said.value),
                    is_new: part.new.is_some(),
                    is_hose: part.is_hose(),
                    is_line: true,
                    ..PartFacts::default()
                })
                .collect(),
        );
        for (id, part) in plan.parts.iter() {
            if let Some(place) = &part.in_place_of {
                parts[place.value.part].replaced_by.push(id);
            }
        }
        for (id, joint) in plan.joints.iter() {
            if let Some(old) = joint.in_place_of {
                joints[old.value].replaced_by.push(id);
                let was = &joints[old.value];
                let (below, covered) = (was.below, was.covered_by.clone());
                let facts = &mut joints[id];
                if facts.below.is_none() && joint.reach.is_none() {
                    facts.below = below;
                }
                if facts.covered_by.is_empty() {
                    facts.covered_by = covered;
                }
            }
        }
        for (id, facts) in joints.iter() {
            for end in facts.ends.into_iter().flatten() {
                parts[end].joints.push(id);
                parts[end].carried_anyhow &= !facts.carries;
                parts[end].is_line &= facts.line;
                parts[end].below |= facts.below.is_some();
            }
        }
        covered_by_heirs(plan, &parts, &mut joints);
        for part in weighed(plan) {
            parts[part].weighed = true;
        }
        let house = plan.house();
        let keeping = keeping(plan, &joints, &parts, body);
        let mut layout = Layout {
            vehicle,
            body,
            bears: FrontRear::default(),
            joints,
            parts,
            borne: Table::new(
                plan.rigs
                    .values()
                    .map(|rig| rig.borne_by.map(|said| said.value))
                    .collect(),
            ),
            stands: Vec::new(),
            island_of: Table::default(),
            stands_in: Vec::new(),
            tree: Tree::default(),
            lines: Table::new(vec![Vec::new(); plan.fluids.len()]),
            hang: house.hang_mg(),
            by_hand: house.by_hand_mg(),
            heavy: house.heavy_mg(),
            fluid_hazards: Table::default(),
            energy_hazards: Table::default(),
            hangs: Table::default(),
            keeping,
            safe_after: safe_after(plan),
            pressures: BTreeMap::new(),
            inside: Table::new(plan.insides()),
            big_torque: house.big_torque_n_m(),
            looked: Tally::default(),
        };
        super::hazards::table(plan, &mut layout);
        layout.bears = bears(plan, &layout);
        for (id, facts) in layout.joints.iter() {
            for &fluid in &facts.fluids {
                layout.lines[fluid].push(id);
            }
        }
        layout.pressures = super::pressures::table(plan, &layout.joints, &layout.inside, body);
        super::pressures::in_lines(&layout.pressures, &mut layout.joints);
        layout.springs(plan);
        layout.sides(plan);
        layout.hung_on_little(plan);
        layout.needs(plan);
        layout.find_ways();
        layout.tree = Tree::new(&layout);
        layout
    }

    /// Added masses in milligrams, and whether all of them are known.
    pub fn mass(&self, parts: impl IntoIterator<Item = Id<Part>>) -> (i64, bool) {
        parts
            .into_iter()
            .fold((0, true), |(sum, known), part| match self.parts[part].mass {
                Some(mass) => (sum.saturating_add(mass), known),
                None => (sum, false),
            })
    }

    /// What joints lead to from what bears the wheels, not through the body.
    fn sides(&mut self, plan: &Plan) {
        let Some(vehicle) = self.vehicle else { return };
        // A machine in its slings is parted from its feet on purpose.
        if plan.vehicles[vehicle].is_machine {
            return;
        }
        let borne_on = plan.vehicles[vehicle].borne_on;
        for (end, bearer) in [(End::Front, borne_on.front), (End::Rear, borne_on.rear)] {
            let Some(bearer) = bearer else { continue };
            let wheels: BTreeSet<Id<Part>> = plan.parts_of(bearer.value).into_iter().collect();
            let mut reached = wheels.clone();
            let mut open: Vec<Id<Part>> = wheels
                .into_iter()
                .filter(|&part| self.body != Some(part))
                .collect();
            while let Some(here) = open.pop() {
                for &joint in &self.parts[here].joints {
                    // What bears them, and no hose that leads somewhere else.
                    let facts = &self.joints[joint];
                    let Some(other) = facts
                        .other(here)
                        .filter(|_| facts.rigid && !facts.line && !facts.lead)
                    else {
                        continue;
                    };
                    if self.body != Some(other) && reached.insert(other) {
                        open.push(other);
                    }
                }
            }
            for &part in &reached {
                let others: BTreeSet<Id<Part>> = self.parts[part]
                    .joints
                    .iter()
                    .filter_map(|&joint| self.joints[joint].other(part))
                    .collect();
                for joint in self.parts[part].joints.clone() {
                    let other = self.joints[joint].other(part);
                    let leaf = |part: Id<Part>| {
                        let joints = &self.parts[part].joints;
                        let mut to = joints.iter().map(|&joint| self.joints[joint].other(part));
                        let first = to.next();
                        to.all(|other| Some(other) == first)
                    };
                    let hangs_alone = (others.len() == 1 && self.body != other) || other.is_some_and(leaf);
                    if !hangs_alone {
                        let sides = &mut self.joints[joint].sides;
                        if !sides.contains(&end) {
                            sides.push(end);
                        }
                    }
                }
            }
        }
    }

    fn springs(&mut self, plan: &Plan) {
        for (energy, mut keeping) in std::mem::take(&mut self.keeping) {
            let (paths, joints) = Paths::of(plan, self, energy, &keeping);
            keeping.paths = paths;
            for joint in joints {
                for joint in self.line_of_joint(joint) {
                    if !self.joints[joint].hangs.contains(&energy) {
                        self.joints[joint].hangs.push(energy);
                    }
                }
            }
            for &part in &keeping.parts {
                for part in self.line_of_part(part) {
                    self.parts[part].springs.push(energy);
                }
            }
            if let [alone] = keeping.parts.as_slice()
                && plan.parts[*alone].is_called_a_spring()
            {
                for part in self.line_of_part(*alone) {
                    self.parts[part].is_spring_of.push(energy);
                }
            }
            for &joint in &keeping.joints {
                for joint in self.line_of_joint(joint) {
                    self.joints[joint].keeps.push(energy);
                }
            }
            self.keeping.insert(energy, keeping);
        }
    }

    /// What the wheels or feet of this end are on.
    #[must_use]
    pub fn bears(&self, end: End) -> &[Id<Part>] {
        match end {
            End::Front => &self.bears.front,
            End::Rear => &self.bears.rear,
        }
    }

    /// This joint, what takes its place, what takes the place of that.
    #[must_use]
    pub fn line_of_joint(&self, joint: Id<Joint>) -> Vec<Id<Joint>> {
        line(joint, |joint| &self.joints[joint].replaced_by)
    }

    /// This part, what takes its place, what takes the place of that.
    #[must_use]
    pub fn line_of_part(&self, part: Id<Part>) -> Vec<Id<Part>> {
        line(part, |part| &self.parts[part].replaced_by)
    }

    /// Whether these weigh less than `limit`; an unknown mass counts as heavy.
    pub fn lighter(&self, parts: impl IntoIterator<Item = Id<Part>>, limit: i64) -> bool {
        let (sum, known) = self.mass(parts);
        known && sum < limit
    }
}

/// What the wheels of each end are on. Where the vehicle names the thing of one side (`wheels front on wheel-left`), the one of the other
/// side bears the other wheel; and where it names an axle or a hub, the wheels on it have to be there too.
fn bears(plan: &Plan, layout: &Layout) -> FrontRear<Vec<Id<Part>>> {
    let Some(vehicle) = layout.vehicle else {
        return FrontRear::default();
    };
    let borne_on = &plan.vehicles[vehicle].borne_on;
    let own = |said: Option<Said<Thing>>| said.map_or_else(Vec::new, |said| plan.parts_of(said.value));
    let mut all = FrontRear {
        front: own(borne_on.front),
        rear: own(borne_on.rear),
    };
    for bears in [&mut all.front, &mut all.rear] {
        let others: BTreeSet<String> = bears
            .iter()
            .filter_map(|&part| other_side(&plan.parts[part].head.name))
            .collect();
        if !others.is_empty() {
            let named = |(id, part): (Id<Part>, &Part)| others.contains(&*part.head.name).then_some(id);
            bears.extend(plan.parts.iter().filter_map(named).collect::<Vec<_>>());
        }
        bears.extend(wheels_on(plan, layout, bears));
        bears.sort_unstable();
        bears.dedup();
    }
    all
}

/// Road wheels that are joined to these, or to what is joined to these. Further away they are those of another end.
fn wheels_on(plan: &Plan, layout: &Layout, bears: &[Id<Part>]) -> Vec<Id<Part>> {
    let mut wheels = Vec::new();
    let mut near: BTreeSet<Id<Part>> = bears.iter().copied().collect();
    let mut open: Vec<Id<Part>> = bears.to_vec();
    for _ in 0..2 {
        for here in std::mem::take(&mut open) {
            if layout.body == Some(here) || plan.is_road_wheel(here) {
                continue;
            }
            for &joint in &layout.parts[here].joints {
                let facts = &layout.joints[joint];
                let Some(next) = facts.other(here).filter(|_| facts.carries) else {
                    continue;
                };
                if near.insert(next) {
                    open.push(next);
                    // What takes a wheel's place is asked for where that one is off.
                    if plan.is_road_wheel(next) && layout.parts[next].in_place_of.is_none() {
                        wheels.push(next);
                    }
                }
            }
        }
    }
    wheels
}

/// "wheel-front-right" of "wheel-front-left".
fn other_side(name: &str) -> Option<String> {
    let words = name.split('-').map(|word| match word {
        "left" => "right",
        "right" => "left",
        // The rest of the name is the same on both sides.
        word => word,
    });
    let other = words.collect::<Vec<_>>().join("-");
    (other != name).then_some(other)
}

fn line<'a, T: Copy + PartialEq + 'a>(first: T, heirs: impl Fn(T) -> &'a Vec<T>) -> Vec<T> {
    let mut all = vec![first];
    let mut next = 0;
    while let Some(&here) = all.get(next) {
        next += 1;
        for &heir in heirs(here) {
            if !all.contains(&heir) {
                all.push(heir);
            }
        }
    }
    all
}

/// What takes the place of a cover covers the same, unless it says that it covers nothing, or joints of its own name it.
fn covered_by_heirs(plan: &Plan, parts: &Table<Part, PartFacts>, joints: &mut Table<Joint, JointFacts>) {
    let named: BTreeSet<Id<Part>> = plan
        .joints
        .values()
        .flat_map(|joint| joint.covered_by.iter().map(|said| said.value))
        .collect();
    if named.is_empty() {
        return;
    }
    for id in plan.joints.ids() {
        let mut next = 0;
        while let Some(&cover) = joints[id].covered_by.get(next) {
            next += 1;
            for &heir in &parts[cover].replaced_by {
                let covers = plan.parts[heir].covers_nothing.is_none() && !named.contains(&heir);
                if covers && !joints[id].covered_by.contains(&heir) {
                    joints[id].covered_by.push(heir);
                }
            }
        }
    }
}

fn safe_after(plan: &Plan) -> BTreeMap<Id<Step>, Vec<Id<Energy>>> {
    let mut all: BTreeMap<Id<Step>, Vec<Id<Energy>>> = BTreeMap::new();
    for (id, energy) in plan.energies.iter() {
        if let Some(step) = energy.safe_after {
            all.entry(step.value).or_default().push(id);
        }
    }
    all
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "far outside of any machine the cast stays at the end of the range"
)]
fn keeping(
    plan: &Plan,
    joints: &Table<Joint, JointFacts>,
    facts: &Table<Part, PartFacts>,
    body: Option<Id<Part>>,
) -> BTreeMap<Id<Energy>, Keeping> {
    let all = plan
        .energies
        .iter()
        .filter(|(_, energy)| !energy.held_in_by.is_empty());
    all.map(|(id, energy)| {
        let keepers: Vec<_> = energy
            .held_in_by
            .iter()
            .map(|said| (said.value, joints[said.value].ends))
            .collect();
        let parts: Vec<Id<Part>> = energy.in_parts.iter().map(|said| said.value).collect();
        let keeping = Keeping {
            joints: keepers.iter().map(|(joint, _)| *joint).collect(),
            ways: match between_hooks(&keepers, &parts, joints, facts) {
                Some(way) => vec![way],
                None => ways(&keepers, &parts, body),
            },
            parts,
            paths: Paths::default(),
            free_at: energy.free_at.map(|said| said.value.base()),
            pushes: energy
                .force
                .map(|said| (said.value.as_weight_of() * 1e6).round() as i64),
        };
        (id, keeping)
    })
    .collect()
}

/// A spring that is in itself alone, and goes to two things by two joints and no other, is stretched between these: one hook off, it is
/// free. An arm that pushes has a pivot besides.
fn between_hooks(
    keepers: &[(Id<Joint>, Ends)],
    parts: &[Id<Part>],
    joints: &Table<Joint, JointFacts>,
    facts: &Table<Part, PartFacts>,
) -> Option<Way> {
    let (&[(one, Some(_)), (other, Some(_))], &[spring]) = (keepers, parts) else {
        return None;
    };
    let far = |joint: Id<Joint>| {
        let ends = joints[joint].ends.filter(|ends| ends.contains(&spring));
        ends.and(joints[joint].other(spring))
    };
    let apart = far(one)? != far(other)?;
    let mut own = facts[spring].joints.iter();
    let hooks = own.all(|&joint| joint == one || joint == other || joints[joint].in_place_of.is_some());
    (apart && hooks).then(|| Way {
        near: vec![one],
        far: vec![other],
    })
}

fn weighed(plan: &Plan) -> impl Iterator<Item = Id<Part>> {
    let acts = plan.steps.values().flat_map(|step| step.acts());
    let loads = acts.filter_map(|act| match &act.does {
        Does::Weigh { things, .. } => Some(things),
        // A scale reads by this alone.
        _ => None,
    });
    loads.flatten().flat_map(|load| match load.value {
        Load::Thing(thing) => plan.parts_of(thing),
        Load::Vehicle(_) => Vec::new(),
    })
}

fn joint_facts(plan: &Plan, joint: &Joint) -> JointFacts {
    let kind = joint.kind.value;
    let lead = kind.is_lead() && !joint.is_bearing_strap();
    let line = kind.is_line();
    let part = |thing: Thing| plan.parts_of(thing).first().copied();
    let ends = joint
        .ends
        .as_ref()
        .and_then(|[a, b]| Some([part(a.value)?, part(b.value)?]))
        .filter(|[a, b]| a != b);
    let mut fluids: Vec<Id<Fluid>> = joint.opens.iter().map(|said| said.value).collect();
    let mut energies = Vec::new();
    match joint.of.map(|said| said.value) {
        Some(Content::Fluid(fluid)) => fluids.push(fluid),
        Some(Content::Energy(energy)) => energies.push(energy),
        None => {}
    }
    if lead && joint.of.is_none() && kind.row().live_unsaid {
        let electric = |energy: &Energy| energy.kind.is_some_and(|kind| kind.value == EnergyKind::Electric);
        energies.extend(
            plan.energies
                .iter()
                .filter(|(_, energy)| electric(energy))
                .map(|(id, _)| id),
        );
    }
    JointFacts {
        hazards: Vec::new(),
        ends,
        carries: joint.carries.is_some() && !lead && !line,
        hung: None,
        rigid: joint.rigid.map_or(!kind.gives(), |said| said.value),
        slides: kind.slides(),
        pressed: kind.is_pressed(),
        fixed: kind.is_broken_apart(),
        sets: joint.sets_in.is_some(),
        lead,
        line,
        fixings: joint.fixing_count(),
        threaded: !joint.fixings.is_empty(),
        tightened: joint.is_tightened(),
        fluids,
        energies,
        below: joint
            .reach
            .filter(|reach| reach.value.from == ReachFrom::Below)
            .map(|reach| reach.value.end),
        covered_by: joint.covered_by.iter().map(|said| said.value).collect(),
        play: joint.play.map_or(0.0, |said| said.value.base()),
        engaged: joint.engaged.map_or(0.0, |said| said.value.base()),
        in_place_of: joint.in_place_of.map(|said| said.value),
        replaced_by: Vec::new(),
        keeps: Vec::new(),
        hangs: Vec::new(),
        sides: Vec::new(),
        gone: joint.gone.is_some(),
    }
}
