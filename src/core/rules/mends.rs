//! Mends as text that can be pasted: which act, rig or person is the obvious one, and where the text goes. Knows no rule, and
//! offers nothing where more than one thing would do.

use std::collections::{BTreeMap, BTreeSet};

use super::phrases::Wording;
use crate::analysis::work::Work;
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::model::{Act, Does, Id, Joint, Load, OpeningAct, Part, Plan, Rig, Said, Seat, Thing};
use crate::plan::vocabulary::acts::{ActKind, OnJoints};
use crate::walk::breaks::Subject;

/// The acts of the work by what they name: made once, for a plan may have thousands of findings.
pub(super) struct Index<'a> {
    work: &'a Work,
    /// In the order of work.
    acts: Vec<&'a Act>,
    /// An act that a stage derives stands at the place of the act that it undoes, which came before.
    derived: BTreeSet<usize>,
    at: BTreeMap<Span, usize>,
    joints_of: BTreeMap<Id<Part>, Vec<Id<Joint>>>,
    /// Acts that bring a part into its place.
    brings: BTreeMap<Id<Part>, Vec<usize>>,
    untied: BTreeSet<Id<Part>>,
    /// Acts that set the vehicle on the floor.
    down: Vec<usize>,
    lifter: Option<Id<Rig>>,
    stands: Option<Id<Rig>>,
}

impl<'a> Index<'a> {
    pub fn new(plan: &'a Plan, work: &'a Work) -> Self {
        let mut index = Self {
            work,
            acts: Vec::new(),
            derived: BTreeSet::new(),
            at: BTreeMap::new(),
            joints_of: BTreeMap::new(),
            brings: BTreeMap::new(),
            untied: BTreeSet::new(),
            down: Vec::new(),
            lifter: None,
            stands: None,
        };
        for act in plan.order.iter().flat_map(|&step| plan.steps[step].acts()) {
            let nth = index.acts.len();
            index.acts.push(act);
            if *index.at.entry(act.at).or_insert(nth) != nth {
                index.derived.insert(nth);
            }
            match &act.does {
                Does::Fit(list) | Does::Try(list) => {
                    for part in parts(plan, list) {
                        index.brings.entry(part).or_default().push(nth);
                    }
                }
                Does::Untie(list) => index.untied.extend(parts(plan, list)),
                Does::Raise {
                    things, on: Some(on), ..
                } if vehicle(things) => index.lifter = Some(on.value),
                Does::Set { things, on, .. } if vehicle(things) => match on.value {
                    Seat::Rig(rig) if plan.rigs[rig].is_floor => index.down.push(nth),
                    Seat::Rig(rig) => index.stands = index.stands.or(Some(rig)),
                    Seat::Thing(_) => {}
                },
                // No mend asks where it stands.
                _ => {}
            }
        }
        for (id, joint) in plan.joints.iter() {
            for end in joint.ends.iter().flatten() {
                for part in plan.parts_of(end.value) {
                    index.joints_of.entry(part).or_default().push(id);
                }
            }
        }
        index
    }

    /// Acts on a joint that somebody wrote, with their places in the work.
    fn on(&self, joint: Id<Joint>) -> impl DoubleEndedIterator<Item = (usize, &'a Act)> {
        let list = self.work.on(joint).iter().map(|on| on.nth);
        list.filter(|nth| !self.derived.contains(nth))
            .filter_map(|nth| Some((nth, *self.acts.get(nth)?)))
    }
}

fn vehicle(things: &[Said<Load>]) -> bool {
    things.iter().any(|thing| matches!(thing.value, Load::Vehicle(_)))
}

fn parts(plan: &Plan, list: &[Said<Thing>]) -> Vec<Id<Part>> {
    list.iter().flat_map(|thing| plan.parts_of(thing.value)).collect()
}

impl<'a> Wording<'a> {
    /// The act that it stands at, and its place in the work.
    fn act(self) -> Option<(usize, &'a Act)> {
        let nth = *self.index.at.get(&self.of.act)?;
        Some((nth, *self.index.acts.get(nth)?))
    }

    fn does(self) -> Option<&'a Does> {
        self.act().map(|(_, act)| &act.does)
    }

    /// The first written act on what this is about that comes after it and does what is wanted.
    fn later(self, wanted: impl Fn(&Does) -> bool) -> Option<&'a Act> {
        let (here, _) = self.act()?;
        let joint = self.of.joints().next()?;
        let mut later = self.index.on(joint).filter(|(nth, _)| *nth > here);
        later.find(|(_, act)| wanted(&act.does)).map(|(_, act)| act)
    }

    /// Takes the act out, if it names nothing else.
    pub fn take_out(self, finding: Finding) -> Finding {
        self.rewrite(finding, "")
    }

    /// Writes another act in its place, if it names nothing else.
    pub fn rewrite(self, finding: Finding, act: &str) -> Finding {
        match self.act() {
            Some((_, old)) if old.does.listed() == 1 => finding.edit(old.at, act),
            _ => finding,
        }
    }

    /// Whether the act closes joints.
    pub fn closes(self) -> bool {
        matches!(
            self.does().map(Does::on_joints),
            Some(OnJoints::PutsIn | OnJoints::Tightens | OnJoints::PressesHome)
        )
    }

    /// Moves the whole act to another place; it is about everything that the act names.
    fn moved(self, finding: Finding, to: Span, act: &str) -> Finding {
        match self.act() {
            Some((_, old)) if old.does.listed() == self.of.of.len() => finding.edit(old.at, "").edit(to, act),
            _ => finding,
        }
    }

    /// Moves the act in front of the first one that undoes what it records.
    pub fn before_undone(self, finding: Finding) -> Finding {
        let word = match self.does() {
            Some(Does::Mark(_)) => "mark",
            Some(Does::Tag(_)) => "tag",
            // It records nothing of a joint.
            _ => return finding,
        };
        let parts = |does: &Does| matches!(does, Does::Undo(_) | Does::PressApart { .. });
        let joint = self.of.joints().next();
        let undone = joint.and_then(|joint| self.index.on(joint).find(|(_, act)| parts(&act.does)));
        match undone {
            Some((_, undone)) => {
                let to = Span::new(undone.at.source, undone.at.start, undone.at.start);
                self.moved(finding, to, &format!("{word} {}; ", self.all_bare()))
            }
            None => finding,
        }
    }

    /// Moves a cap or plug behind the act that opens its line; where none does, an act that opens it is written before.
    pub fn behind_undone(self, finding: Finding) -> Finding {
        let word = match self.does() {
            Some(Does::Opening {
                act: act @ (OpeningAct::Cap | OpeningAct::Plug),
                ..
            }) => act.kind().word(),
            // A clamp goes on before, and what is taken away needs no place.
            _ => return finding,
        };
        match self.later(|does| matches!(does, Does::Undo(_))) {
            Some(act) => self.moved(finding, act.at.after(), &format!("; {word} {}", self.all_bare())),
            None => self.write_before(finding, &format!("undo {}", self.all_bare())),
        }
    }

    /// Moves a check behind the act that tightens what it checks; where none does, an act that tightens it is written before.
    pub fn behind_tightened(self, finding: Finding) -> Finding {
        let tight = self.later(|does| matches!(does, Does::Tighten(_)));
        match (tight, self.does()) {
            (Some(tight), Some(Does::Verify { what, .. })) => {
                let what = what
                    .as_ref()
                    .map_or_else(String::new, |what| format!(" \"{what}\""));
                let act = format!("; verify {}{what}", self.all_bare());
                self.moved(finding, tight.at.after(), &act)
            }
            // Nothing to move: it is written.
            _ => self.write_before(finding, &format!("tighten {}", self.all_bare())),
        }
    }

    /// Moves the act behind the last one that sets the vehicle on the floor.
    pub fn when_down(self, finding: Finding) -> Finding {
        let here = self.act().map_or(usize::MAX, |(nth, _)| nth);
        match self.last_down().filter(|(nth, _)| *nth > here) {
            Some((_, act)) => self.moved(finding, act.at.after(), &format!("; tighten {}", self.all_bare())),
            None => finding,
        }
    }

    fn last_down(self) -> Option<(usize, &'a Act)> {
        let written = |nth: &&usize| !self.index.derived.contains(nth);
        let nth = *self.index.down.iter().rev().find(written)?;
        Some((nth, *self.index.acts.get(nth)?))
    }

    /// A mend that writes an act right behind this one.
    pub fn write_behind(self, finding: Finding, act: &str) -> Finding {
        finding
            .mend(format!("Next act: {act}"))
            .edit(self.of.act.after(), format!("; {act}"))
    }

    /// A mend that writes acts behind another act, or behind all others.
    fn write_after(self, finding: Finding, act: &str, behind: Option<(usize, &'a Act)>) -> Finding {
        match behind {
            Some((_, behind)) => finding
                .mend(format!("Before the job ends: {act}"))
                .edit(behind.at.after(), format!("; {act}")),
            None => self.write_last(finding, act),
        }
    }

    /// A mend that writes acts where a thing of the joints that this is about comes into its place.
    pub fn write_when_brought(self, finding: Finding, act: &str) -> Finding {
        let ends = self
            .of
            .joints()
            .filter_map(|joint| self.plan.joints[joint].ends.as_ref())
            .flatten();
        let fits = ends
            .into_iter()
            .flat_map(|end| self.plan.parts_of(end.value))
            .filter_map(|part| self.index.brings.get(&part))
            .flatten()
            .filter(|nth| !self.index.derived.contains(nth));
        let last = fits
            .max()
            .and_then(|&nth| Some((nth, *self.index.acts.get(nth)?)));
        self.write_after(finding, act, last)
    }

    /// A mend that writes acts behind the last that put the joints in, or with `tight` that tightened them; what is tightened with
    /// the wheels down, behind the act that sets them down.
    pub fn write_when_in(self, finding: Finding, act: &str, tight: bool) -> Finding {
        let loaded = |joint: Id<Joint>| self.plan.joints[joint].with_wheels_down.is_some();
        if !tight && self.of.joints().any(loaded) {
            return self.write_after(finding, act, self.last_down());
        }
        let wanted = |does: &Does| match does.on_joints() {
            OnJoints::Tightens => tight,
            OnJoints::PutsIn | OnJoints::PressesHome => !tight,
            OnJoints::Nothing
            | OnJoints::Loosens
            | OnJoints::PartsThem
            | OnJoints::StopsTheLine
            | OnJoints::ClearsTheLine
            | OnJoints::Checks => false,
        };
        let puts_in = self
            .of
            .joints()
            .filter_map(|joint| self.index.on(joint).rev().find(|(_, act)| wanted(&act.does)));
        self.write_after(finding, act, puts_in.max_by_key(|(nth, _)| *nth))
    }

    /// How the lines that this is about are closed for a while, if some act takes the cap or plug away again.
    pub fn closer(self) -> Option<String> {
        let mut acts = Vec::new();
        for joint in self.of.joints() {
            let all = self.index.work.on(joint).iter();
            let word = all
                .filter_map(|on| self.index.acts.get(on.nth))
                .find_map(|act| match &act.does {
                    Does::Opening { act, .. } => act.undoes_lasting(),
                    // No other act takes away what closes a line.
                    _ => None,
                })?
                .kind()
                .word();
            acts.push(format!("{word} {}", self.plan.joints[joint].head.name));
        }
        Some(acts.join("; "))
    }

    /// What takes cap, plug or clamp away from a joint: an act for each kind that the plan puts there.
    pub fn opener(self, joint: Id<Joint>) -> Option<String> {
        let mut words: Vec<&str> = Vec::new();
        for (_, act) in self.index.on(joint) {
            let Does::Opening { act, .. } = &act.does else {
                continue;
            };
            let Some(word) = act.undone_by().map(|act| act.kind().word()) else {
                continue;
            };
            if !words.contains(&word) {
                words.push(word);
            }
        }
        let name = &self.plan.joints[joint].head.name;
        let acts: Vec<String> = words.iter().map(|word| format!("{word} {name}")).collect();
        (!acts.is_empty()).then(|| acts.join("; "))
    }

    /// The rig that raises the vehicle: the one that the plan raises it on, or the only one that lifts.
    pub fn lifter(self) -> Option<&'a str> {
        self.rig(|rig| rig.lifts.is_some(), self.index.lifter)
    }

    /// The rig that the vehicle stands on while it is up: the one that the plan sets it on, or the only one that holds.
    pub fn stands(self) -> Option<&'a str> {
        self.rig(|rig| rig.holds.is_some() && !rig.is_floor, self.index.stands)
    }

    fn rig(self, suits: impl Fn(&Rig) -> bool, used: Option<Id<Rig>>) -> Option<&'a str> {
        let rigs = &self.plan.rigs;
        let mut all = rigs
            .iter()
            .filter(|(_, rig)| suits(rig) && rig.borne_by.is_none());
        let only = all.next().filter(|_| all.next().is_none());
        let used = used.map(|id| &rigs[id]).filter(|rig| suits(rig));
        used.or(only.map(|(_, rig)| rig)).map(|rig| &*rig.head.name)
    }

    /// Names one more person in the step: the one that is wanted, or the first of the crew who is not in it.
    pub fn call_in(self, finding: Finding) -> Finding {
        let Some(step) = self.of.step.map(|step| &self.plan.steps[step]) else {
            return finding;
        };
        let in_it = |person| step.by.iter().any(|said| said.value == person);
        let wanted = match self.first() {
            Subject::Person(person) => Some(person),
            _ => {
                let crew = self.plan.about.iter().flat_map(|about| &about.crew);
                crew.map(|said| said.value).find(|&person| !in_it(person))
            }
        };
        match (wanted, step.by.last()) {
            (Some(person), Some(last)) if !in_it(person) => {
                let name = &self.plan.people[person].head.name;
                finding.edit(last.at.after(), format!(", {name}"))
            }
            _ => finding,
        }
    }

    /// How a joint is closed, all of it.
    pub fn closing(self, joint: Id<Joint>) -> String {
        let declared = &self.plan.joints[joint];
        let name = &declared.head.name;
        let first = match declared.kind.value.row().closed_by {
            // Its fixings are put in when it has slid home.
            ActKind::SlideHome => ActKind::Start,
            act => act,
        }
        .word();
        if declared.sets_in.is_some() {
            format!("{first} {name}; wait {name}")
        } else if declared.is_tightened() {
            format!("{first} {name}; tighten {name}")
        } else {
            format!("{first} {name}")
        }
    }

    /// A slide home, by the thing of the joint that is not the body, and its pinch bolt.
    pub fn sliding_home(self, joint: Id<Joint>) -> Option<String> {
        let declared = &self.plan.joints[joint];
        let [a, b] = declared.ends.as_ref()?;
        let is_body = |thing| {
            let parts = self.plan.parts_of(thing);
            parts.iter().any(|&part| self.plan.parts[part].is_body)
        };
        let thing = if is_body(a.value) { b.value } else { a.value };
        let home = format!("slide home {}", self.plain(thing));
        Some(match declared.fixings.is_empty() {
            true => home,
            false => format!("{home}; {}", self.closing(joint)),
        })
    }

    /// Whether hands take these without a rig; an unknown mass is heavy.
    pub fn light(self, mut parts: impl Iterator<Item = Id<Part>>) -> bool {
        let masses = parts.try_fold(0i64, |sum, part| {
            let mass = self.plan.parts[part].mass.as_ref()?;
            Some(sum.saturating_add(mass.value.mass.milligrams()))
        });
        masses.is_some_and(|sum| sum < self.plan.house().by_hand_mg())
    }

    /// How a light part goes back: in its place, with every joint that was undone for it.
    pub fn back_in(self, part: Id<Part>) -> Option<String> {
        let declared = &self.plan.parts[part];
        let light = self.light(std::iter::once(part));
        let mut acts = format!("fit {}", declared.head.name);
        for &id in self.index.joints_of.get(&part).into_iter().flatten() {
            let joint = &self.plan.joints[id];
            let waits = joint.gone.is_some() || joint.in_place_of.is_some();
            if waits || joint.kind.value.slides() || !self.is_undone(id) {
                return None;
            }
            acts = format!("{acts}; {}", self.closing(id));
        }
        light.then_some(acts)
    }

    fn is_undone(self, joint: Id<Joint>) -> bool {
        let mut all = self.index.work.on(joint).iter().rev();
        let last = all.find_map(|on| match on.does {
            OnJoints::PartsThem => Some(true),
            OnJoints::PutsIn | OnJoints::PressesHome => Some(false),
            OnJoints::Nothing
            | OnJoints::Loosens
            | OnJoints::Tightens
            | OnJoints::StopsTheLine
            | OnJoints::ClearsTheLine
            | OnJoints::Checks => None,
        });
        last == Some(true)
    }

    /// Whether some act lets this part down from where it is tied up.
    pub fn is_untied(self, part: Id<Part>) -> bool {
        self.index.untied.contains(&part)
    }
}
