//! Of the family **springs**: springs of which the plan does not say what keeps them in, by their declaration or by what a part is called.
//! Knows which acts part what, no state.

use std::collections::{BTreeMap, BTreeSet};

use super::springs::KEEPER_NOT_SAID;
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::model::{Content, Does, Energy, EnergyKind, Id, Joint, JointKind, Part, Plan, Said};

/// Less than this, in kg, is a return spring, which bruises and no more. Common practice, no source.
const SMALL: f64 = 0.5;

/// So many parts are asked for a way to the body; a chain of more has one.
const FAR: usize = 64;

/// Springs of which nothing says what keeps them in, and that this job takes off or lets go of.
pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut parted = Parted::of(plan);
    by_name(plan, &mut parted, findings);
    for energy in plan.energies.values() {
        let spring = energy.kind.is_some_and(|kind| kind.value == EnergyKind::Spring);
        if !spring || !energy.held_in_by.is_empty() {
            continue;
        }
        let name = &energy.head.name;
        let finding = Finding::new(
            &KEEPER_NOT_SAID,
            format!("nothing says which joints keep `{name}` in"),
        )
        .at(energy.head.at, "a spring");
        let finding = match parted.of_energy(energy) {
            Some(Lets::TakenOff(at)) => finding.at(at, "and this comes off"),
            Some(Lets::Parted { at, .. }) => finding.at(at, "parted here, next to it"),
            None => continue,
        };
        findings.push(
            finding
                .harm("That the last one is undone with the spring live and nothing under it cannot be seen.")
                .mend(format!(
                    "Say it in the block of `{name}`: held in by JOINT, JOINT; force 3 kN"
                ))
                .about(name.to_string()),
        );
    }
}

/// A part that is called a spring, and no energy says that it pushes.
fn by_name(plan: &Plan, parted: &mut Parted<'_>, findings: &mut Vec<Finding>) {
    let of_energies: BTreeSet<Id<Part>> = plan
        .energies
        .values()
        .filter(|energy| {
            let kind = energy.kind.map(|said| said.value);
            matches!(kind, None | Some(EnergyKind::Spring | EnergyKind::Pressure))
        })
        .flat_map(|energy| energy.in_parts.iter().map(|said| said.value))
        .collect();
    for (id, part) in plan.parts.iter() {
        let light = part
            .mass
            .as_ref()
            .is_some_and(|said| said.value.mass.base() < SMALL);
        let called = match called(&part.head.name, part.head.title.as_deref()) {
            Called::Strong => true,
            Called::Spring => !light,
            Called::Fitting | Called::Other => false,
        };
        // What takes its place is as strong, and is asked about with it.
        if !called || part.in_place_of.is_some() || of_energies.contains(&id) || parted.of_energy_joint(id) {
            continue;
        }
        let Some(lets) = parted.lets(id) else { continue };
        let name = &part.head.name;
        let mut finding = Finding::new(
            &KEEPER_NOT_SAID,
            format!("`{name}` is a spring, and nothing says what keeps it in"),
        );
        finding = match lets {
            Lets::TakenOff(_) => finding.at(part.head.at, "comes off in this job"),
            Lets::Parted { at, near: None } => finding
                .at(at, "what ties it is parted here")
                .at(part.head.at, "the spring"),
            Lets::Parted { at, near: Some(near) } => finding
                .at(
                    at,
                    format!("what ties `{}` is parted here", plan.parts[near].head.name),
                )
                .at(part.head.at, "and it pushes against that"),
        };
        findings.push(
            finding
                .harm("That it is live while the last joint is undone, with nothing under it, cannot be seen.")
                .mend(format!(
                    "Declare it: energy {name}-force \"Force of {name}\"; spring; in {name}; held in by JOINT, JOINT; force 3 kN; free at 120 mm. If it is slack there, or its own case keeps it in: accept keeper-not-said for {name} because \"...\""
                ))
                .about(name.to_string()),
        );
    }
}

/// What a part is by its name and title.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Called {
    /// One that hurts whatever it weighs: a gas strut of 300 g pushes with the weight of a man.
    Strong,
    Spring,
    /// A pad, a cup, a plate of a spring.
    Fitting,
    Other,
}

/// What stands behind "spring" where the thing is no spring itself.
const FITTINGS: &str = "\
    balancer bolt box bracket bumper bush bushing cap carrier chain clamp clip collar compressor cover cup eye gaiter guide \
    hanger holder hook housing hub insulator isolator loaded mount nut pad pan perch pin plate retainer ring rubber saddle \
    seat shackle shim sleeve spacer steel strap top tower turret u washer";

/// What stands before "spring" where the thing is only told by it: "cup under the spring".
const TOLD_BY: &[&str] = &[
    "above", "against", "around", "at", "behind", "below", "beside", "between", "by", "for", "from", "in",
    "inside", "near", "of", "on", "over", "through", "to", "under", "with", "without",
];
/// "A pair of springs" are springs.
const SEVERAL: &[&str] = &["bundle", "pack", "pair", "set"];
/// What makes a strut one that pushes.
const STRUTS: &[&str] = &["gas", "suspension", "macpherson", "mcpherson"];

/// The title says it better than the name; the name is asked where the title says nothing of springs.
fn called(name: &str, title: Option<&str>) -> Called {
    match title.map_or(Called::Other, by_words) {
        Called::Other => by_words(name),
        said => said,
    }
}

fn is_fitting(word: &str) -> bool {
    let mut all = FITTINGS.split(' ');
    all.any(|fitting| matches!(word.strip_prefix(fitting), Some("" | "s" | "es")))
}

fn by_words(text: &str) -> Called {
    let text = text.to_lowercase();
    let words: Vec<&str> = text
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    let mut all = Called::Other;
    let mut told_by = false;
    for (at, &word) in words.iter().enumerate() {
        let before = at.checked_sub(1).and_then(|at| words.get(at)).copied();
        let next = words.get(at + 1).copied();
        let after = |second: &str| before == Some(second);
        let found = match word {
            "spring" | "springs" if after("gas") => Called::Strong,
            "spring" | "springs" => Called::Spring,
            "coilover" | "coilovers" => Called::Strong,
            "over" | "overs" if after("coil") => Called::Strong,
            "strut" | "struts" if STRUTS.iter().any(|&kind| after(kind)) => Called::Strong,
            "bar" | "bars" if after("torsion") => Called::Strong,
            // Any other word.
            _ => Called::Other,
        };
        if found != Called::Other {
            if told_by || next.is_some_and(is_fitting) {
                if all == Called::Other {
                    all = Called::Fitting;
                }
            } else if all != Called::Strong {
                all = found;
            }
        } else if TOLD_BY.contains(&word) && !before.is_some_and(|word| SEVERAL.contains(&word)) {
            told_by = true;
        }
    }
    all
}

/// How the job lets go of a spring.
#[derive(Debug, Clone, Copy)]
enum Lets {
    TakenOff(Span),
    /// A joint of it, or of a thing that it is joined to or rests on.
    Parted {
        at: Span,
        near: Option<Id<Part>>,
    },
}

/// What the acts of the job take off and part, and what is next to what.
struct Parted<'a> {
    plan: &'a Plan,
    off: BTreeMap<Id<Part>, Span>,
    joints: BTreeMap<Id<Joint>, Span>,
    of: BTreeMap<Id<Part>, Vec<Id<Joint>>>,
    /// Parts that joints of an energy tie.
    live: BTreeSet<Id<Part>>,
    /// Where the first joint is parted that keeps a part, as far as asked.
    kept: BTreeMap<Id<Part>, Option<Span>>,
}

impl<'a> Parted<'a> {
    fn of(plan: &'a Plan) -> Self {
        let mut parted = Self {
            plan,
            off: BTreeMap::new(),
            joints: BTreeMap::new(),
            of: BTreeMap::new(),
            live: BTreeSet::new(),
            kept: BTreeMap::new(),
        };
        for act in plan.order.iter().flat_map(|&step| plan.steps[step].acts()) {
            let mut part = |joint: &Said<Id<Joint>>| {
                parted.joints.entry(joint.value).or_insert(joint.at);
            };
            match &act.does {
                Does::TakeOff(things) => {
                    for thing in things {
                        for id in plan.parts_of(thing.value) {
                            parted.off.entry(id).or_insert(thing.at);
                        }
                    }
                }
                Does::Undo(all) => all.iter().for_each(|fixings| part(&fixings.joint)),
                Does::PressApart { joints, .. } => joints.iter().for_each(part),
                Does::Break { joint, .. } => part(joint),
                // Parts nothing; what is drawn off its spline comes off, or its joint has fixings.
                _ => {}
            }
        }
        for (id, joint) in plan.joints.iter() {
            for part in joint
                .ends
                .iter()
                .flatten()
                .flat_map(|end| plan.parts_of(end.value))
            {
                parted.of.entry(part).or_default().push(id);
                if matches!(joint.of.map(|said| said.value), Some(Content::Energy(_))) {
                    parted.live.insert(part);
                }
            }
        }
        parted
    }

    /// Whether a joint of it is of an energy: that is asked about by itself.
    fn of_energy_joint(&self, part: Id<Part>) -> bool {
        self.live.contains(&part)
    }

    fn of_energy(&mut self, energy: &Energy) -> Option<Lets> {
        let off = energy
            .in_parts
            .iter()
            .find(|said| self.off.contains_key(&said.value))
            .map(|said| Lets::TakenOff(said.at));
        // One that is safe after a step is asked for that step.
        off.or_else(|| match energy.safe_after {
            Some(_) => None,
            None => energy.in_parts.iter().find_map(|said| self.lets_go(said.value)),
        })
    }

    fn lets(&mut self, part: Id<Part>) -> Option<Lets> {
        match self.off.get(&part) {
            Some(&at) => Some(Lets::TakenOff(at)),
            None => self.lets_go(part),
        }
    }

    /// A joint of it is parted, or one that keeps what it is next to.
    fn lets_go(&mut self, spring: Id<Part>) -> Option<Lets> {
        let own = self.ties(spring).find_map(|joint| self.joints.get(&joint));
        if let Some(&at) = own {
            return Some(Lets::Parted { at, near: None });
        }
        let joined = self.ties(spring).flat_map(|joint| self.others(joint, spring));
        let rests = self.plan.parts[spring].rests_on.map(|said| said.value);
        let mut near: Vec<Id<Part>> = joined.chain(rests).collect();
        near.retain(|&part| !self.plan.parts[part].is_body);
        near.sort_unstable();
        near.dedup();
        near.into_iter().find_map(|near| {
            let at = match self.kept.get(&near) {
                Some(&known) => known,
                None => {
                    let parted = self.ties(near).find_map(|joint| {
                        Some((joint, *self.joints.get(&joint)?)).filter(|(joint, _)| self.keeps(*joint, near))
                    });
                    let at = parted.map(|(_, at)| at);
                    self.kept.insert(near, at);
                    at
                }
            };
            at.map(|at| Lets::Parted { at, near: Some(near) })
        })
    }

    /// The joints of a part that bear anything at all: no lines and no leads.
    fn ties(&self, part: Id<Part>) -> impl Iterator<Item = Id<Joint>> {
        let all = self.of.get(&part).map_or(&[][..], Vec::as_slice);
        all.iter().copied().filter(|&joint| {
            let kind = self.plan.joints[joint].kind.value;
            !kind.is_line() && !kind.is_lead()
        })
    }

    fn others(&self, joint: Id<Joint>, than: Id<Part>) -> impl Iterator<Item = Id<Part>> {
        let ends = self.plan.joints[joint].ends.iter().flatten();
        ends.flat_map(|end| self.plan.parts_of(end.value))
            .filter(move |&part| part != than)
    }

    /// Whether a joint may keep a thing against its spring: what it ties it to is held by something else, or it is a ball joint, of whose
    /// other end plans often say no more. What only hangs on the thing, its brake or a bracket, keeps nothing.
    fn keeps(&self, joint: Id<Joint>, near: Id<Part>) -> bool {
        let declared = &self.plan.joints[joint];
        if declared.rigid.is_some_and(|said| !said.value) || self.plan.on_a_wheel(declared) {
            return false;
        }
        let title = declared.head.title.as_deref().unwrap_or("");
        let ball = format!("{} {title}", declared.head.name)
            .to_lowercase()
            .split(|c: char| !c.is_alphabetic())
            .any(|word| word == "ball" || word == "balljoint");
        ball || declared.kind.value == JointKind::Taper
            || self.others(joint, near).any(|other| self.is_held(other, near))
    }

    /// Whether a part has a way to the body that does not lead over the other one.
    fn is_held(&self, part: Id<Part>, without: Id<Part>) -> bool {
        let mut seen = BTreeSet::from([part, without]);
        let mut open = vec![part];
        while let Some(part) = open.pop() {
            if self.plan.parts[part].is_body || seen.len() > FAR {
                return true;
            }
            for joint in self.ties(part) {
                for other in self.others(joint, part) {
                    if seen.insert(other) {
                        open.push(other);
                    }
                }
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn springs_by_their_words() {
        for (text, is) in [
            ("coil-left", Called::Other),
            ("Coil spring, left", Called::Spring),
            ("front-spring-left", Called::Spring),
            ("A pair of springs", Called::Spring),
            ("Spring with its pad", Called::Spring),
            ("Coilover, front left", Called::Strong),
            ("Coil-over", Called::Strong),
            ("Gas strut of the bonnet", Called::Strong),
            ("gas-spring", Called::Strong),
            ("Torsion bar", Called::Strong),
            ("Strut brace", Called::Other),
            ("spring-pad-left", Called::Fitting),
            ("Spring cup", Called::Fitting),
            ("Spring plate", Called::Fitting),
            ("Spring hub", Called::Fitting),
            ("Seat of the spring", Called::Fitting),
            ("Cup under the coil spring", Called::Fitting),
            ("Coilover top mount", Called::Fitting),
        ] {
            assert_eq!(by_words(text), is, "{text}");
        }
        assert_eq!(called("spring-left", Some("Front left, blue")), Called::Spring);
        assert_eq!(called("spring", Some("Spring seat, rubber")), Called::Fitting);
    }
}
