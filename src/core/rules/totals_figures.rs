//! Of the family **totals**: figures that cannot be. They would make nonsense of every sum, so the rest of the family takes them as not said. Knows nothing of what figures are used for.

use std::collections::BTreeSet;

use super::totals::IMPOSSIBLE_FIGURE;
use crate::base::finding::Finding;
use crate::base::quantity::{Length, Mass};
use crate::base::source::Span;
use crate::plan::model::{FrontRear, MassFigure, Place, Plan, Said, Target};

/// Nothing in a workshop weighs more, in kg. Common practice, no source.
const HEAVIEST: f64 = 100_000.0;
/// Nor is longer, in mm. Common practice, no source.
const LONGEST: f64 = 30_000.0;
/// Densities, in kg/l: from lighter than any liquid gas to heavier than quicksilver.
const DENSITIES: (f64, f64) = (0.05, 20.0);

struct Found<'a> {
    findings: Vec<Finding>,
    plan: &'a Plan,
}

pub(super) fn check(plan: &Plan) -> Vec<Finding> {
    let mut found = Found {
        findings: Vec::new(),
        plan,
    };
    found.masses();
    found.weigh_ins();
    found.scales();
    found.rigs();
    found.vehicles();
    found.torques();
    found.rest();
    found.findings
}

/// The plan with none of the figures that these findings tell.
pub(super) fn without(plan: &Plan, impossible: &[Finding]) -> Plan {
    let told: BTreeSet<Span> = impossible
        .iter()
        .flat_map(|finding| finding.labels.iter().map(|label| label.span))
        .collect();
    let stands = |at: Span| !told.contains(&at);
    let mut plan = plan.clone();
    for part in plan.parts.values_mut() {
        keep(&mut part.mass, stands);
    }
    for assembly in plan.assemblies.values_mut() {
        keep(&mut assembly.mass, stands);
    }
    for rig in plan.rigs.values_mut() {
        keep(&mut rig.mass, stands);
        keep(&mut rig.rated, stands);
        keep(&mut rig.platform, stands);
        keep(&mut rig.legs, stands);
        keep(&mut rig.count, stands);
    }
    for scale in plan.scales.values_mut() {
        keep(&mut scale.capacity, stands);
        keep(&mut scale.division, stands);
        keep(&mut scale.repeatability, stands);
    }
    for weigh_in in plan.weigh_ins.values_mut() {
        weigh_in.reads.retain(|reads| stands(reads.at));
        weigh_in.tare.retain(|tare| stands(tare.at));
        keep(&mut weigh_in.sum_given, stands);
        keep(&mut weigh_in.corners, stands);
        keep(&mut weigh_in.axles, stands);
        keep(&mut weigh_in.raised, stands);
    }
    for vehicle in plan.vehicles.values_mut() {
        keep(&mut vehicle.mass, stands);
        keep(&mut vehicle.wheelbase, stands);
        keep(&mut vehicle.track, stands);
        keep(&mut vehicle.wheel_radius, stands);
        keep(&mut vehicle.centre_height, stands);
        keep(&mut vehicle.jacking.front, stands);
        keep(&mut vehicle.jacking.rear, stands);
    }
    for fluid in plan.fluids.values_mut() {
        keep(&mut fluid.holds, stands);
        keep(&mut fluid.density, stands);
    }
    if let Some(about) = &mut plan.about {
        keep(&mut about.target, stands);
        keep(&mut about.class_minimum, stands);
        keep(&mut about.axle_split, stands);
    }
    plan
}

fn keep<T>(said: &mut Option<Said<T>>, stands: impl Fn(Span) -> bool) {
    if said.as_ref().is_some_and(|said| !stands(said.at)) {
        *said = None;
    }
}

impl Found<'_> {
    fn tell(&mut self, name: &str, at: Span, what: String, why: &str) {
        self.findings.push(
            Finding::new(&IMPOSSIBLE_FIGURE, format!("`{name}`: {what}"))
                .at(at, why.to_owned())
                .harm("Every sum, load and centre that it enters comes out wrong.")
                .mend("Write the figure that was meant, with its unit")
                .about(name.to_owned()),
        );
    }

    fn mass(&mut self, name: &str, at: Span, mass: Mass) {
        let kg = mass.base();
        if kg <= 0.0 {
            self.tell(
                name,
                at,
                format!("a mass of {mass}"),
                "nothing weighs nothing, or less",
            );
        } else if kg > HEAVIEST {
            self.tell(
                name,
                at,
                format!("a mass of {mass}"),
                "no workshop has such a thing",
            );
        }
    }

    fn figure(&mut self, name: &str, said: Option<&Said<MassFigure>>) {
        let Some(said) = said else { return };
        self.mass(name, said.at, said.value.mass);
        self.give(name, said.at, said.value.mass, said.value.give);
    }

    fn give(&mut self, name: &str, at: Span, mass: Mass, give: Option<Mass>) {
        if let Some(give) = give.filter(|give| give.base() < 0.0 || give.base() > mass.base().abs()) {
            self.tell(
                name,
                at,
                format!("{mass} with an uncertainty of {give}"),
                "an uncertainty is not under nothing, nor over the figure",
            );
        }
    }

    fn masses(&mut self) {
        let plan = self.plan;
        for part in plan.parts.values() {
            self.figure(&part.head.name, part.mass.as_ref());
        }
        for assembly in plan.assemblies.values() {
            self.figure(&assembly.head.name, assembly.mass.as_ref());
        }
        for rig in plan.rigs.values() {
            self.figure(&rig.head.name, rig.mass.as_ref());
        }
    }

    fn weigh_ins(&mut self) {
        let plan = self.plan;
        let wheelbase = plan
            .vehicle()
            .and_then(|id| plan.vehicles[id].wheelbase)
            .map(|said| said.value.base());
        for weigh_in in plan.weigh_ins.values() {
            let name = &*weigh_in.head.name;
            for reads in &weigh_in.reads {
                if let Some(mass) = reads.mass.known() {
                    self.mass(name, reads.at, mass);
                    self.give(name, reads.at, mass, reads.give);
                }
            }
            for tare in &weigh_in.tare {
                self.mass(name, tare.at, tare.mass);
            }
            if let Some((at, mass)) = weigh_in
                .sum_given
                .and_then(|said| Some((said.at, said.value.known()?)))
            {
                self.mass(name, at, mass);
            }
            // A wheel in the air bears nothing; less than that none does.
            let wheels = weigh_in.corners.map(|said| (said.at, said.value.all().to_vec()));
            let axles = weigh_in
                .axles
                .map(|said| (said.at, vec![said.value.front, said.value.rear]));
            for (at, masses) in wheels.into_iter().chain(axles) {
                let known: Vec<Mass> = masses.iter().filter_map(|mass| mass.known()).collect();
                if let Some(under) = known.iter().find(|mass| mass.base() < 0.0) {
                    self.tell(name, at, format!("a wheel that bears {under}"), "no wheel pulls");
                }
                if known.len() == masses.len() && known.iter().all(|mass| mass.base() == 0.0) {
                    self.tell(
                        name,
                        at,
                        "a vehicle that weighs nothing".to_owned(),
                        "nothing weighs nothing",
                    );
                }
            }
            if let Some(said) = weigh_in.raised {
                let by = said.value.1;
                if by.base() <= 0.0 || wheelbase.is_some_and(|length| by.base() >= length) {
                    self.tell(
                        name,
                        said.at,
                        format!("an end raised by {by}"),
                        "more than nothing, and less than the wheelbase",
                    );
                }
            }
        }
    }

    fn scales(&mut self) {
        let plan = self.plan;
        for scale in plan.scales.values() {
            let name = &*scale.head.name;
            if let Some(capacity) = scale.capacity {
                self.mass(name, capacity.at, capacity.value.mass);
            }
            if let Some(division) = scale.division {
                let step = division.value;
                let over = scale
                    .capacity
                    .filter(|capacity| step.base() >= capacity.value.mass.base());
                if step.base() <= 0.0 {
                    self.tell(
                        name,
                        division.at,
                        format!("a step of {step}"),
                        "a step is more than nothing",
                    );
                } else if let Some(capacity) = over {
                    self.tell(
                        name,
                        division.at,
                        format!("a step of {step} and a capacity of {}", capacity.value.mass),
                        "a scale has many steps up to its capacity",
                    );
                }
            }
            if let Some(said) = scale.repeatability {
                let what = format!("a repeatability of {}", said.value);
                let over = scale
                    .capacity
                    .is_some_and(|capacity| said.value.base() >= capacity.value.mass.base());
                if said.value.base() < 0.0 {
                    self.tell(name, said.at, what, "it is not under nothing");
                } else if over {
                    self.tell(
                        name,
                        said.at,
                        what,
                        "a scale repeats its reading to less than its capacity",
                    );
                }
            }
        }
    }

    fn rigs(&mut self) {
        let plan = self.plan;
        for rig in plan.rigs.values() {
            let name = &*rig.head.name;
            if let Some(rated) = rig.rated {
                self.mass(name, rated.at, rated.value.mass);
            }
            if let Some(said) = rig.platform {
                let (length, width) = said.value;
                if length.base() <= 0.0 || width.base() <= 0.0 {
                    let what = format!("a platform of {length} by {width}");
                    self.tell(name, said.at, what, "a platform has a size");
                }
            }
            if let Some(said) = rig.legs {
                let flat = said
                    .value
                    .angle
                    .filter(|angle| angle.base() <= 0.0 || angle.base() > 90.0);
                if said.value.count == 0 {
                    self.tell(
                        name,
                        said.at,
                        "a sling of no legs".to_owned(),
                        "a sling has a leg",
                    );
                } else if let Some(angle) = flat {
                    let what = format!("legs at {angle}");
                    self.tell(
                        name,
                        said.at,
                        what,
                        "from the horizontal: over 0 and up to 90 degrees",
                    );
                }
            }
            if let Some(said) = rig.count.filter(|said| said.value == 0) {
                self.tell(
                    name,
                    said.at,
                    "none of them".to_owned(),
                    "a rig that is there is at least one",
                );
            }
        }
    }

    fn lengths(&mut self, name: &str, what: &str, at: Span, lengths: &[Length]) {
        if let Some(length) = lengths.iter().find(|length| length.base() > LONGEST) {
            self.tell(
                name,
                at,
                format!("a {what} of {length}"),
                "nothing that stands in a workshop is so long",
            );
            return;
        }
        if let Some(length) = lengths.iter().find(|length| length.base() <= 0.0) {
            self.tell(
                name,
                at,
                format!("a {what} of {length}"),
                "it is more than nothing",
            );
        }
    }

    fn vehicles(&mut self) {
        let plan = self.plan;
        for vehicle in plan.vehicles.values() {
            let name = &*vehicle.head.name;
            self.figure(name, vehicle.mass.as_ref());
            if let Some(said) = vehicle.wheelbase {
                self.lengths(name, "wheelbase", said.at, &[said.value]);
            }
            if let Some(said) = vehicle.track {
                self.lengths(name, "track", said.at, &[said.value.front, said.value.rear]);
            }
            if let Some(said) = vehicle.wheel_radius {
                self.lengths(
                    name,
                    "wheel radius",
                    said.at,
                    &[said.value.front, said.value.rear],
                );
            }
            if let Some(said) = vehicle.centre_height {
                self.lengths(name, "height of centre", said.at, &[said.value.height]);
            }
            self.jacking(name, vehicle.jacking);
        }
    }

    /// Jacking places in one line span no polygon: nothing can stand on them.
    fn jacking(&mut self, name: &str, jacking: FrontRear<Option<Said<Place>>>) {
        let (Some(front), Some(rear)) = (jacking.front, jacking.rear) else {
            return;
        };
        let narrow = |place: Place| !place.mirrored || place.right == 0.0;
        let one_row = (front.value.behind - rear.value.behind).abs() < 1.0;
        if one_row || (narrow(front.value) && narrow(rear.value)) {
            self.tell(
                name,
                rear.at,
                "its jacking places lie in one line".to_owned(),
                "on these it cannot stand: one of them has to lie elsewhere",
            );
        }
    }

    fn torques(&mut self) {
        let plan = self.plan;
        for joint in plan.joints.values() {
            let Some(figure) = &joint.torque else { continue };
            let Some(torque) = figure.value.torque.known() else {
                continue;
            };
            if torque.base() <= 0.0 {
                let what = format!("a torque of {torque}");
                self.tell(
                    &joint.head.name,
                    figure.at,
                    what,
                    "more than nothing; `left-hand thread` says that it turns the other way",
                );
            }
        }
    }

    fn rest(&mut self) {
        let plan = self.plan;
        for fluid in plan.fluids.values() {
            let name = &*fluid.head.name;
            if let Some(said) = fluid.holds.filter(|said| said.value.base() <= 0.0) {
                let what = format!("it holds {}", said.value);
                self.tell(name, said.at, what, "more than nothing runs out of it");
            }
            let (least, most) = DENSITIES;
            if let Some(said) = fluid
                .density
                .filter(|said| said.value.base() < least || said.value.base() > most)
            {
                let what = format!("a density of {}", said.value);
                self.tell(name, said.at, what, "water has 1 kg/l, quicksilver 13.6");
            }
        }
        let Some(about) = &plan.about else { return };
        let name = &*about.head.name;
        if let Some(said) = about.target {
            let (Target::Save(mass) | Target::Reach(mass)) = said.value;
            let whole = plan
                .vehicle()
                .and_then(|id| plan.vehicles[id].mass.as_ref())
                .map(|figure| figure.value.mass.base());
            let saves_all = matches!(said.value, Target::Save(_))
                && whole.is_some_and(|whole| whole > 0.0 && mass.base() >= whole);
            if saves_all {
                self.tell(
                    name,
                    said.at,
                    format!("a target to save {mass}"),
                    "so much the whole vehicle weighs",
                );
            } else {
                self.mass(name, said.at, mass);
            }
        }
        if let Some(said) = about.class_minimum {
            self.mass(name, said.at, said.value);
        }
        if let Some(said) = about.axle_split {
            let share = said.value.share;
            if !(share.base() > 0.0 && share.base() < 100.0) {
                let what = format!("an axle split of {share}");
                self.tell(name, said.at, what, "each axle bears some of it, and neither all");
            }
        }
    }
}
