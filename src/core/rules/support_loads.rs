//! Of the family **support**: what rigs bear, against what they are rated for, and the platform or sling that bears it. Asked after every act
//! that changes the load. Knows nothing of how the vehicle stands.

use std::collections::{BTreeMap, BTreeSet};

use super::support_ties::Ties;
use super::{amounts, joined, rule};
use crate::analysis::balance::{self, Seat};
use crate::base::finding::{Finding, Severity};
use crate::plan::model::{Fluid, Id, Legs, Part, Person, Plan, Rating, Rig, Said};
use crate::weights::{Levels, Weights};

use crate::reckon::composite::{Composite, Placed, Point};
use crate::reckon::handling;
use crate::reckon::mass::{MassEstimate, Running};
use crate::reckon::slings;
use crate::walk::Walk;
use crate::walk::loads::{LoadChange, LoadEvent, RigChange, ends};
use crate::walk::state::Stand;

rule!(
    OVER_RATED,
    "over-rated",
    Fault,
    true,
    "A rig bears more than it is rated for, within what the masses are known to."
);
rule!(
    OFF_PLATFORM,
    "off-platform",
    Fault,
    true,
    "The centre of what lies on a platform has left it."
);
rule!(
    FLAT_SLING,
    "flat-sling",
    Fault,
    true,
    "A sling is used with its legs flatter than 30 degrees from the horizontal."
);
rule!(
    MASS_UNKNOWN,
    "mass-unknown",
    Advice,
    true,
    "Something of unknown mass lies on a rig or leaves a raised vehicle, so that nobody can say whether it is borne."
);

/// Over this height, in mm, something is held overhead; and over this mass, in kg, that is asked about. Common practice, no source.
const OVERHEAD_MM: f64 = 1500.0;
const OVERHEAD_KG: f64 = 10.0;

/// A rig and what it bears at the moment.
#[derive(Default)]
struct Load {
    alone: BTreeSet<Id<Part>>,
    share: BTreeSet<Id<Part>>,
    alone_sum: Running,
    share_sum: Running,
    /// Of what it bears alone; with how many parts without a known mass or place.
    centre: Composite,
    nowhere: usize,
    /// Where it was put under.
    under: Option<Point>,
    /// What was told since it bears anything: too much alone; that it may come to that, with the place of the finding; off its
    /// platform.
    over: bool,
    shared: Option<usize>,
    /// That nobody says at which angle its legs stand.
    angle: bool,
    off: bool,
}

struct Loads<'a> {
    weights: &'a Weights<'a>,
    plan: &'a Plan,
    seats: Vec<Seat>,
    rigs: BTreeMap<Id<Rig>, Load>,
    /// Fluids that are out.
    levels: Levels,
    ties: Ties,
    /// Told once each.
    flat: BTreeSet<Id<Rig>>,
    unknown: BTreeSet<(Id<Rig>, Id<Part>)>,
    unknown_by_hand: BTreeSet<Id<Part>>,
    found: Vec<Option<Finding>>,
}

/// What rigs bear, after every act, against their ratings.
pub fn check(weights: &Weights<'_>, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let mut loads = Loads {
        weights,
        plan,
        seats: balance::seats(plan),
        rigs: BTreeMap::new(),
        levels: Levels::found(plan),
        ties: Ties::of(plan),
        flat: BTreeSet::new(),
        unknown: BTreeSet::new(),
        unknown_by_hand: BTreeSet::new(),
        found: Vec::new(),
    };
    for event in &walk.loads {
        match &event.change {
            LoadChange::Rig(change) if !plan.rigs[change.rig].is_floor => loads.take(event, change),
            LoadChange::Stand { front, rear } => {
                for (_, stand) in ends(*front, *rear) {
                    if let Stand::Rig { rig, .. } = stand {
                        loads.sling(event, rig);
                    }
                }
            }
            LoadChange::Hands { named, parts, people } => loads.hands(event, named, parts, people),
            LoadChange::Tied { tie, parts } => {
                let finding = loads.ties.judge(loads.weights, event, *tie, parts);
                loads.found.extend(finding.map(Some));
            }
            LoadChange::Fluid { fluid, full } => loads.fluid(event, *fluid, *full),
            LoadChange::Rig(_) | LoadChange::Vehicle(_) | LoadChange::Lies { .. } => {}
        }
    }
    findings.extend(loads.found.into_iter().flatten());
}

/// The legs of a sling whose rating is that of one leg: these are judged by the pull in a leg, never by a sum of ratings.
pub(super) fn rated_legs(rig: &Rig) -> Option<Said<Legs>> {
    rig.legs
        .filter(|_| rig.rated.is_some_and(|rated| rated.value.each))
}

/// What a leg pulls with under so many kg, in kg: at the angle that the plan states, else hanging straight, which is the least that it can be. So
/// is a leg that is flatter than it may be: that has a finding of its own, whose mend changes the angle.
pub(super) fn leg_pull(legs: Legs, kg: f64) -> f64 {
    let angle = legs.angle.map(|angle| angle.base());
    let angle = angle.filter(|angle| (slings::FLATTEST..=90.0).contains(angle));
    pull_at(legs, kg, angle.unwrap_or(90.0))
}

fn pull_at(legs: Legs, kg: f64, angle: f64) -> f64 {
    // More legs than there are rules for count as the two that surely bear.
    slings::leg_tension(kg.max(0.0), legs.count.clamp(1, 4), angle, false).unwrap_or(f64::INFINITY)
}

/// What a rig as a whole may bear, in kg.
#[must_use]
pub fn whole_rating(rig: &Rig, rated: Rating) -> f64 {
    let count = rig.count.map_or(1, |said| said.value.max(1));
    rated.mass.base() * if rated.each { f64::from(count) } else { 1.0 }
}

pub(super) fn names(plan: &Plan, parts: &[Id<Part>]) -> String {
    let mut all: Vec<String> = parts
        .iter()
        .take(3)
        .map(|&id| format!("`{}`", plan.parts[id].head.name))
        .collect();
    let more = parts.len().saturating_sub(3);
    if more > 0 {
        all.push(format!("{more} more"));
    }
    joined(&all, "and")
}

impl Loads<'_> {
    fn push(&mut self, mut finding: Finding, event: &LoadEvent, rig: Id<Rig>, parts: &[Id<Part>]) {
        finding = finding.about(self.plan.rigs[rig].head.name.to_string());
        for &part in parts.iter().take(3) {
            finding = finding.about(self.plan.parts[part].head.name.to_string());
        }
        if let Some(step) = event.step {
            finding = finding.about(self.plan.steps[step].head.name.to_string());
        }
        self.found.push(Some(finding));
    }

    /// Takes a change in, and asks what it may have broken.
    fn take(&mut self, event: &LoadEvent, change: &RigChange) {
        let rig = change.rig;
        let mut load = self.rigs.remove(&rig).unwrap_or_default();
        for &part in &change.alone.leave {
            load.alone.remove(&part);
            load.alone_sum.take_back(self.weights.part(part));
            match self.placed(part) {
                Some(placed) => {
                    // What is no number was refused when the plan was read.
                    let _ = load.centre.take_back(placed);
                }
                None => load.nowhere = load.nowhere.saturating_sub(1),
            }
        }
        for &part in &change.alone.join {
            load.alone.insert(part);
            load.alone_sum.add(self.weights.part(part));
            match self.placed(part) {
                Some(placed) => {
                    let _ = load.centre.add(placed);
                }
                None => load.nowhere += 1,
            }
        }
        for &part in &change.share.leave {
            load.share.remove(&part);
            load.share_sum.take_back(self.weights.part(part));
        }
        for &part in &change.share.join {
            load.share.insert(part);
            load.share_sum.add(self.weights.part(part));
        }
        if load.alone.is_empty() && load.share.is_empty() {
            return;
        }
        self.rating(event, rig, &mut load);
        self.unknown(event, change);
        self.sling(event, rig);
        self.platform(event, change, &mut load);
        self.rigs.insert(rig, load);
    }

    /// A fluid runs out or comes in: what has its parts on it is asked again.
    fn fluid(&mut self, event: &LoadEvent, fluid: Id<Fluid>, full: bool) {
        self.levels.set(fluid, full);
        let on: Vec<Id<Rig>> = self.rigs.keys().copied().collect();
        for rig in on.into_iter().filter(|_| full) {
            if let Some(mut load) = self.rigs.remove(&rig) {
                self.rating(event, rig, &mut load);
                self.rigs.insert(rig, load);
            }
        }
    }

    /// What the fluids weigh that are wholly in these parts.
    fn wet_in(&self, parts: &BTreeSet<Id<Part>>) -> MassEstimate {
        self.weights.wet_in(parts, &self.levels)
    }

    fn placed(&self, part: Id<Part>) -> Option<Placed> {
        let estimate = self.weights.part(part)?;
        let (at, within) = self.seats.get(part.index())?.place()?;
        Some(Placed {
            kg: estimate.kg,
            u: estimate.u(),
            at,
            u_at: Point::all(within),
        })
    }

    /// What a set weighs: the running sum, or where parts without a mass are in it what assemblies say of them.
    fn weigh(&self, sum: &Running, parts: &BTreeSet<Id<Part>>) -> MassEstimate {
        let wet = self.wet_in(parts);
        if sum.unknown() == 0 {
            return sum.known().plus(&wet);
        }
        let parts: Vec<Id<Part>> = parts.iter().copied().collect();
        self.weights.sum(&parts).known.plus(&wet)
    }

    /// More than the limit, within what the masses are known to.
    fn exceeds(&self, sum: &Running, parts: &BTreeSet<Id<Part>>, limit: f64) -> bool {
        let hair = 1e-6;
        if sum.unknown() == 0 {
            return sum.upper() + self.wet_in(parts).kg > limit + hair;
        }
        let known = self.weigh(sum, parts);
        known.kg + known.expanded() > limit + hair
    }

    fn rating(&mut self, event: &LoadEvent, rig: Id<Rig>, load: &mut Load) {
        let plan = self.plan;
        let declared = &plan.rigs[rig];
        let Some(rated) = declared.rated else { return };
        if let Some(legs) = rated_legs(declared) {
            self.legs(event, rig, load, rated, legs);
            return;
        }
        let limit = whole_rating(declared, rated.value);
        let name = &declared.head.name;
        let limit_words = format!("rated for {}", amounts::kg(plan, limit, 0.0));
        if self.exceeds(&load.alone_sum, &load.alone, limit) {
            if load.over {
                return;
            }
            load.over = true;
            // That it might come to this is no second finding.
            if let Some(advice) = load.shared.and_then(|at| self.found.get_mut(at)) {
                *advice = None;
            }
            let parts = self.weights.heaviest_first(load.alone.iter().copied());
            let finding = Finding::new(
                &OVER_RATED,
                format!(
                    "`{name}` bears {}: {}",
                    amounts::with_give(plan, &self.weigh(&load.alone_sum, &load.alone)),
                    names(plan, &parts)
                ),
            )
            .at(event.at, "from here on it bears all of this alone")
            .at(rated.at, limit_words)
            .harm("It creeps, bends or lets go, with somebody beside it.")
            .mend("Take a rig that is rated for it, or take something off before");
            self.push(finding, event, rig, &parts);
            return;
        }
        if load.over || load.shared.is_some() || !self.exceeds(&load.share_sum, &load.share, limit) {
            return;
        }
        load.shared = Some(self.found.len());
        let parts = self.weights.heaviest_first(load.share.iter().copied());
        let mut finding = Finding::new(
            &OVER_RATED,
            format!(
                "`{name}` may come to bear up to {}: {}",
                amounts::with_give(plan, &self.weigh(&load.share_sum, &load.share)),
                names(plan, &parts)
            ),
        )
        .at(event.at, "it shares all of this with what else bears it")
        .at(rated.at, limit_words)
        .harm("How much of it the rig takes, nobody can say: whoever pumps it up a little too far puts all on it.")
        .mend("Take up no more than slack; or take a rig that is rated for all of it");
        finding.severity = Severity::Advice;
        self.push(finding, event, rig, &parts);
    }

    /// Legs that are each rated by themselves bear by their angle.
    fn legs(
        &mut self,
        event: &LoadEvent,
        rig: Id<Rig>,
        load: &mut Load,
        rated: Said<Rating>,
        legs: Said<Legs>,
    ) {
        if load.over {
            return;
        }
        let plan = self.plan;
        let name = &plan.rigs[rig].head.name;
        let limit = rated.value.mass.base();
        let alone = self.weigh(&load.alone_sum, &load.alone);
        let share = self.weigh(&load.share_sum, &load.share);
        let upper = |estimate: &MassEstimate| estimate.kg + estimate.expanded();
        let pull = leg_pull(legs.value, upper(&alone));
        let flat = pull_at(legs.value, upper(&alone), slings::FLATTEST);
        let shared = leg_pull(legs.value, upper(&share));
        let pulls = |how: &str, pull: f64, u: f64| {
            format!(
                "a leg of `{name}` {how} with up to {}",
                amounts::kg(plan, pull, u)
            )
        };
        let straight = legs.value.angle.is_none();
        let at_angle = if straight {
            "even if it hangs straight"
        } else {
            "at this angle"
        };
        let (what, under, parts, at_angle, severity) = if pull > limit {
            load.over = true;
            if let Some(advice) = load.shared.and_then(|at| self.found.get_mut(at)) {
                *advice = None;
            }
            let what = pulls("pulls", pull, alone.u());
            (
                what,
                &alone,
                self.weights.heaviest_first(load.alone.iter().copied()),
                at_angle,
                Severity::Fault,
            )
        } else if straight && flat > limit && !load.angle {
            load.angle = true;
            let what = pulls("may pull", flat, alone.u());
            let parts = self.weights.heaviest_first(load.alone.iter().copied());
            let at_angle = "no angle is stated; this is at 30 degrees";
            (what, &alone, parts, at_angle, Severity::Advice)
        } else if shared > limit && load.shared.is_none() {
            load.shared = Some(self.found.len());
            let what = pulls("may come to pull", shared, share.u());
            (
                what,
                &share,
                self.weights.heaviest_first(load.share.iter().copied()),
                at_angle,
                Severity::Advice,
            )
        } else {
            return;
        };
        let mut finding = Finding::new(&OVER_RATED, what)
            .at(event.at, format!("under {}", amounts::with_give(plan, under)))
            .at(legs.at, at_angle)
            .at(rated.at, "rated for so much each")
            .harm("A sloping leg pulls harder than it lifts: at 30 degrees twice as hard.")
            .mend(if straight && severity == Severity::Advice {
                "Say how the legs stand: legs 2 at 60 deg"
            } else {
                "Longer legs, or stronger ones; of three or four legs only two count"
            });
        finding.severity = severity;
        self.push(finding, event, rig, &parts);
    }

    /// More than who has hold of it lifts. Several who lift together lift less than each of them alone adds up to.
    fn hands(&mut self, event: &LoadEvent, named: &[Id<Part>], parts: &[Id<Part>], people: &[Id<Person>]) {
        let plan = self.plan;
        let each: Option<Vec<f64>> = people
            .iter()
            .map(|&person| Some(plan.people[person].lifts?.value.base()))
            .collect();
        let Some(each) = each else { return };
        let Ok(team) = handling::team(&each) else { return };
        let total = self.weights.sum(parts);
        let known = total.known.plus(&self.wet_in(&parts.iter().copied().collect()));
        let most = each.iter().sum::<f64>();
        let who: Vec<String> = people
            .iter()
            .map(|&person| format!("`{}`", plan.people[person].head.name))
            .collect();
        let who = joined(&who, "and");
        let overhead = self.is_overhead(named) && known.kg > OVERHEAD_KG;
        let bare: Vec<String> = named
            .iter()
            .take(3)
            .map(|&part| plan.parts[part].head.name.to_string())
            .collect();
        let bare = bare.join(", ");
        let mut finding = if overhead && (people.len() == 1 || known.kg > team / 2.0 + 1e-6) {
            let alone = if people.len() == 1 { ", alone" } else { "" };
            Finding::new(
                &super::support::TOO_HEAVY_BY_HAND,
                format!(
                    "{} is held overhead by {who}{alone}: {}",
                    names(plan, named),
                    amounts::with_give(plan, &known)
                ),
            )
            .at(event.at, "held by hand here")
            .harm("With the arms up a back and two shoulders bear half of what they lift from the floor, and it comes down on the head.")
            .mend(format!(
                "A rig or a prop under it: hold {bare} with ...; or one more to hold it, each for half of what they lift"
            ))
        } else if known.kg > most + 1e-6 {
            let lift = if people.len() == 1 { "lifts" } else { "lift" };
            Finding::new(
                &super::support::TOO_HEAVY_BY_HAND,
                format!(
                    "{} is more than {who} {lift}: {}",
                    names(plan, named),
                    amounts::with_give(plan, &known)
                ),
            )
            .at(event.at, "held by hand here")
            .harm("Backs, and then feet.")
            .mend(format!("hold {bare} with a rig, or by a second person too"))
        } else if known.kg > team + 1e-6 {
            let mut finding = Finding::new(
                &super::support::TOO_HEAVY_BY_HAND,
                format!(
                    "{} weighs {}, and {who} lift {} together",
                    names(plan, &self.weights.heaviest_first(parts.iter().copied())),
                    amounts::with_give(plan, &known),
                    amounts::kg(plan, team, 1.0)
                ),
            )
            .at(event.at, "held by hand here")
            .harm("They never lift at the same moment: for a moment one of them has most of it.")
            .mend("One more to lift, or a rig; or take something off it first");
            finding.severity = Severity::Advice;
            finding
        } else {
            let mut unknown: Vec<Id<Part>> = parts.to_vec();
            unknown.retain(|&part| self.weights.part(part).is_none() && self.unknown_by_hand.insert(part));
            if total.unknown == 0 || unknown.is_empty() {
                return;
            }
            Finding::new(
                &MASS_UNKNOWN,
                format!(
                    "weight of {} unknown, and {who} has it in hand",
                    names(plan, &unknown)
                ),
            )
            .at(event.at, "held by hand from here on")
            .harm("Whether it can be lifted cannot be said.")
            .mend("Give it a mass: mass 20 kg estimated")
        };
        for &person in people {
            finding = finding.about(plan.people[person].head.name.to_string());
        }
        for &part in named.iter().chain(parts).take(3) {
            finding = finding.about(plan.parts[part].head.name.to_string());
        }
        if let Some(step) = event.step {
            finding = finding.about(plan.steps[step].head.name.to_string());
        }
        self.found.push(Some(finding));
    }

    /// Its place is over the shoulders of who stands beside the vehicle.
    fn is_overhead(&self, named: &[Id<Part>]) -> bool {
        named.iter().any(|part| {
            let own = self.plan.parts[*part].at;
            own.is_some_and(|at| at.value.up.is_some_and(|up| up > OVERHEAD_MM))
        })
    }

    fn unknown(&mut self, event: &LoadEvent, change: &RigChange) {
        let plan = self.plan;
        let rig = change.rig;
        if plan.rigs[rig].rated.is_none() {
            return;
        }
        let mut parts = Vec::new();
        for &part in &change.alone.join {
            if self.weights.part(part).is_none() && self.unknown.insert((rig, part)) {
                parts.push(part);
            }
        }
        // An assembly with a mass of its own may stand in for all of them.
        if parts.is_empty() || self.weights.sum(&change.alone.join).unknown == 0 {
            return;
        }
        let name = &plan.rigs[rig].head.name;
        let finding = Finding::new(
            &MASS_UNKNOWN,
            format!("weight of {} unknown, and `{name}` bears it", names(plan, &parts)),
        )
        .at(event.at, "borne from here on")
        .harm("Whether the rig is rated for it cannot be said.")
        .mend("Give it a mass: mass 20 kg estimated");
        self.push(finding, event, rig, &parts);
    }

    fn sling(&mut self, event: &LoadEvent, rig: Id<Rig>) {
        let declared = &self.plan.rigs[rig];
        let legs = declared.legs.and_then(|legs| Some((legs, legs.value.angle?)));
        let Some((legs, angle)) = legs.filter(|(_, angle)| angle.base() < slings::FLATTEST) else {
            return;
        };
        if !self.flat.insert(rig) {
            return;
        }
        let name = &declared.head.name;
        let finding = Finding::new(
            &FLAT_SLING,
            format!("the legs of `{name}` stand at {angle} from the horizontal"),
        )
        .at(event.at, "used here")
        .at(legs.at, "flatter than 30 degrees")
        .harm(
            "Each leg pulls with more than the whole load, and presses the thing together between its hooks.",
        )
        .mend("Longer legs, or a hook higher up; or a spreader between them");
        self.push(finding, event, rig, &[]);
    }

    /// A platform is taken as standing under the centre of what it was put under; what has drifted off since is told where it leaves
    /// the platform whichever way that stands.
    fn platform(&mut self, event: &LoadEvent, change: &RigChange, load: &mut Load) {
        let plan = self.plan;
        let Some(platform) = plan.rigs[change.rig].platform else {
            return;
        };
        if !change.placed.is_empty() {
            load.under = self.centre_of(&change.placed);
        }
        if load.nowhere > 0 {
            return;
        }
        let (Some(middle), Ok(at), Ok(u)) =
            (load.under, load.centre.centre(), load.centre.centre_uncertainty())
        else {
            return;
        };
        let (length, width) = platform.value;
        let (length, width) = (length.base() / 2.0, width.base() / 2.0);
        // What lies beyond doubt outside of a half width.
        let beyond = |drift: f64, u: f64, half: f64| drift.abs() - 2.0 * u > half;
        let (along, across) = (at.behind - middle.behind, at.right - middle.right);
        let off = |x: f64, y: f64| beyond(along, u.behind, x) || beyond(across, u.right, y);
        if !(off(length, width) && off(width, length)) {
            load.off = false;
            return;
        }
        if load.off {
            return;
        }
        load.off = true;
        let parts = self.weights.heaviest_first(load.alone.iter().copied());
        let drift = along.hypot(across);
        let finding = Finding::new(
            &OFF_PLATFORM,
            format!(
                "the centre of what lies on `{}` is {} off its middle",
                plan.rigs[change.rig].head.name,
                amounts::length(plan, drift)
            ),
        )
        .at(event.at, "since this act")
        .at(platform.at, "and the platform is only so large")
        .harm("It slides or tips off the table, onto feet.")
        .mend("Strap it down and set it anew under the middle, or take the far end off first");
        self.push(finding, event, change.rig, &parts);
    }

    /// The centre of these parts; none where the mass or place of one is not known.
    fn centre_of(&self, parts: &[Id<Part>]) -> Option<Point> {
        let mut sums = Composite::default();
        for &part in parts {
            sums.add(self.placed(part)?).ok()?;
        }
        sums.centre().ok()
    }
}
