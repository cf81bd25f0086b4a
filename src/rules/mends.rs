//! Mends as text that can be pasted: which act, rig or person is the obvious one, and where the text goes. Knows no rule, and
//! offers nothing where more than one thing would do.

use std::collections::BTreeSet;

use super::phrases::Telling;
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::model::{Act, Does, Fixings, Id, Joint, Load, OpeningAct, Part, Rig, Seat};
use crate::walk::breaks::Subject;

/// What is light enough to be fitted without a rig, where the plan does not say.
const BY_HAND: i64 = 5_000_000;

impl<'a> Telling<'a> {
    /// The act that it stands at.
    fn act(self) -> Option<&'a Act> {
        let step = &self.plan.steps[self.of.step?];
        step.acts().find(|act| act.at == self.of.act)
    }

    /// All acts, in the order of work.
    fn acts(self) -> impl DoubleEndedIterator<Item = &'a Act> {
        let plan = self.plan;
        plan.order
            .iter()
            .flat_map(move |&step| plan.steps[step].acts().collect::<Vec<_>>())
    }

    /// Those acts that somebody wrote: one that a stage derives stands at the place of the act that it undoes, which came before.
    fn written(self) -> impl Iterator<Item = &'a Act> {
        let mut seen = BTreeSet::new();
        self.acts()
            .filter(move |act| seen.insert((act.at.source, act.at.start)))
    }

    /// Takes the act out, if it names nothing else.
    pub fn take_out(self, finding: Finding) -> Finding {
        self.rewrite(finding, "")
    }

    /// Writes another act in its place, if it names nothing else.
    pub fn rewrite(self, finding: Finding, act: &str) -> Finding {
        match self.act() {
            Some(old) if names(&old.does) == 1 => finding.edit(old.at, act),
            _ => finding,
        }
    }

    /// Whether the act closes joints.
    pub fn closes(self) -> bool {
        matches!(
            self.act().map(|act| &act.does),
            Some(Does::Start(_) | Does::Tighten(_))
        )
    }

    /// Moves the whole act to another place; it is about everything that the act names.
    fn moved(self, finding: Finding, to: Span, act: &str) -> Finding {
        match self.act() {
            Some(old) if names(&old.does) == self.of.of.len() => finding.edit(old.at, "").edit(to, act),
            _ => finding,
        }
    }

    /// Moves the act in front of the first one that undoes what it records.
    pub fn before_undone(self, finding: Finding) -> Finding {
        let Some(joint) = self.of.joints().next() else {
            return finding;
        };
        let parts = |act: &&Act| match &act.does {
            Does::Undo(list) => list.iter().any(|one| one.joint.value == joint),
            Does::PressApart { joints, .. } => joints.iter().any(|one| one.value == joint),
            _ => false,
        };
        let word = match self.act().map(|act| &act.does) {
            Some(Does::Mark(_)) => "mark",
            Some(Does::Tag(_)) => "tag",
            _ => return finding,
        };
        match self.written().find(parts) {
            Some(undone) => {
                let to = Span::new(undone.at.source, undone.at.start, undone.at.start);
                self.moved(finding, to, &format!("{word} {}; ", self.all_bare()))
            }
            None => finding,
        }
    }

    /// Moves a cap or plug behind the act that opens its line; where none does, an act that opens it is written before.
    pub fn behind_undone(self, finding: Finding) -> Finding {
        let (Some(joint), here) = (self.of.joints().next(), self.of.act) else {
            return finding;
        };
        let word = match self.act().map(|act| &act.does) {
            Some(Does::Opening {
                act: OpeningAct::Cap, ..
            }) => "cap",
            Some(Does::Opening {
                act: OpeningAct::Plug,
                ..
            }) => "plug",
            _ => return finding,
        };
        let opens = |act: &&Act| match &act.does {
            Does::Undo(list) => list.iter().any(|one| one.joint.value == joint),
            _ => false,
        };
        match self.written().skip_while(|act| act.at != here).find(opens) {
            Some(act) => self.moved(finding, act.at.after(), &format!("; {word} {}", self.all_bare())),
            None => self.write_before(finding, &format!("undo {}", self.all_bare())),
        }
    }

    /// Moves a check behind the act that tightens what it checks; where none does, an act that tightens it is written before.
    pub fn behind_tightened(self, finding: Finding) -> Finding {
        let here = self.of.act;
        let mut later = self.written().skip_while(|act| act.at != here);
        match (later.find(|act| self.puts_in(&act.does, true)), self.act()) {
            (Some(tight), Some(check)) => {
                let Does::Verify { what, .. } = &check.does else {
                    return finding;
                };
                let what = what
                    .as_ref()
                    .map_or_else(String::new, |what| format!(" \"{what}\""));
                let act = format!("; verify {}{what}", self.all_bare());
                self.moved(finding, tight.at.after(), &act)
            }
            _ => self.write_before(finding, &format!("tighten {}", self.all_bare())),
        }
    }

    /// A mend that writes an act right behind this one.
    pub fn write_behind(self, finding: Finding, act: &str) -> Finding {
        finding
            .mend(format!("Right behind it: {act}"))
            .edit(self.of.act.after(), format!("; {act}"))
    }

    /// How the lines that this is about are closed for a while, if some act takes the cap or plug away again.
    pub fn closer(self) -> Option<String> {
        let mut acts = Vec::new();
        for joint in self.of.joints() {
            let word = self.acts().find_map(|act| match &act.does {
                Does::Opening { act, joints, .. } if joints.iter().any(|said| said.value == joint) => {
                    match act {
                        OpeningAct::Uncap => Some("cap"),
                        OpeningAct::Unplug => Some("plug"),
                        _ => None,
                    }
                }
                _ => None,
            })?;
            acts.push(format!("{word} {}", self.plan.joints[joint].head.name));
        }
        Some(acts.join("; "))
    }

    /// A mend that writes acts at their time: behind the last act that `wants` them, else behind all others.
    pub fn write_at(self, finding: Finding, act: &str, wants: impl Fn(&Does) -> bool) -> Finding {
        match self.written().filter(|act| wants(&act.does)).last() {
            Some(behind) => finding
                .mend(format!("At its time: {act}"))
                .edit(behind.at.after(), format!("; {act}")),
            None => self.write_last(finding, act),
        }
    }

    /// Whether an act brings a thing of one of these joints into its place.
    pub fn brings(self, does: &Does) -> bool {
        let list = match does {
            Does::Fit(list) | Does::Try(list) => list,
            _ => return false,
        };
        let parts: Vec<Id<Part>> = list
            .iter()
            .flat_map(|thing| self.plan.parts_of(thing.value))
            .collect();
        let ends = self
            .of
            .joints()
            .filter_map(|joint| self.plan.joints[joint].ends.as_ref())
            .flatten();
        ends.into_iter().any(|end| {
            self.plan
                .parts_of(end.value)
                .iter()
                .any(|part| parts.contains(part))
        })
    }

    /// Whether an act puts in, or with `tight` tightens, the joints that this is about.
    pub fn puts_in(self, does: &Does, tight: bool) -> bool {
        let named = |list: &[Fixings]| {
            list.iter()
                .any(|one| self.of.joints().any(|joint| joint == one.joint.value))
        };
        match does {
            Does::Tighten(list) if tight => named(list),
            Does::Start(list) if !tight => named(list),
            Does::PressHome { joints, .. } if !tight => joints
                .iter()
                .any(|one| self.of.joints().any(|joint| joint == one.value)),
            _ => false,
        }
    }

    /// Whether an act sets the vehicle on the floor.
    pub fn sets_down(self, does: &Does) -> bool {
        let Does::Set { things, on, .. } = does else {
            return false;
        };
        let floor = matches!(on.value, Seat::Rig(rig) if self.plan.rigs[rig].is_floor);
        floor && things.iter().any(|thing| matches!(thing.value, Load::Vehicle(_)))
    }

    /// Moves the act behind the last one that sets the vehicle on the floor.
    pub fn when_down(self, finding: Finding) -> Finding {
        let here = self.of.act;
        let later = self.written().skip_while(|act| act.at != here);
        let down = later.filter(|act| self.sets_down(&act.does));
        match down.last() {
            Some(act) => self.moved(finding, act.at.after(), &format!("; tighten {}", self.all_bare())),
            None => finding,
        }
    }

    /// The rig that raises the vehicle: the only one that lifts, or the one that the plan raises it on.
    pub fn lifter(self) -> Option<&'a str> {
        let used = self.acts().rev().find_map(|act| match &act.does {
            Does::Raise {
                things, on: Some(on), ..
            } => things
                .iter()
                .any(|thing| matches!(thing.value, Load::Vehicle(_)))
                .then_some(on.value),
            _ => None,
        });
        self.rig(|rig| rig.lifts.is_some(), used)
    }

    /// The rig that the vehicle stands on while it is up: the only one that holds, or the one that the plan sets it on.
    pub fn stands(self) -> Option<&'a str> {
        let used = self.acts().find_map(|act| match &act.does {
            Does::Set { things, on, .. } => match on.value {
                Seat::Rig(rig) if !self.plan.rigs[rig].is_floor => things
                    .iter()
                    .any(|thing| matches!(thing.value, Load::Vehicle(_)))
                    .then_some(rig),
                _ => None,
            },
            _ => None,
        });
        self.rig(|rig| rig.holds.is_some() && !rig.is_floor, used)
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

    /// What takes cap, plug or clamp away from a joint: an act for each kind that the plan puts there.
    pub fn opener(self, joint: Id<Joint>) -> Option<String> {
        let mut words: Vec<&str> = Vec::new();
        for act in self.acts() {
            let Does::Opening { act, joints, .. } = &act.does else {
                continue;
            };
            let word = match act {
                OpeningAct::Cap => "uncap",
                OpeningAct::Plug => "unplug",
                OpeningAct::Clamp => "unclamp",
                _ => continue,
            };
            if joints.iter().any(|said| said.value == joint) && !words.contains(&word) {
                words.push(word);
            }
        }
        let name = &self.plan.joints[joint].head.name;
        let acts: Vec<String> = words.iter().map(|word| format!("{word} {name}")).collect();
        (!acts.is_empty()).then(|| acts.join("; "))
    }

    /// How a joint is closed, all of it.
    pub fn closing(self, joint: Id<Joint>) -> String {
        let declared = &self.plan.joints[joint];
        let name = &declared.head.name;
        let first = if declared.kind.value.is_pressed() {
            "press home"
        } else {
            "start"
        };
        if declared.is_tightened() {
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

    /// How a light part goes back: in its place, with every joint that was undone for it.
    pub fn back_in(self, part: Id<Part>) -> Option<String> {
        let declared = &self.plan.parts[part];
        let house = self.plan.about.as_ref().and_then(|about| about.house.by_hand);
        let limit = house.map_or(BY_HAND, |said| said.value.milligrams());
        let light = declared
            .mass
            .as_ref()
            .is_some_and(|mass| mass.value.mass.milligrams() < limit);
        let mut acts = format!("fit {}", declared.head.name);
        for (id, joint) in self.plan.joints.iter() {
            let ends = joint.ends.iter().flatten();
            if !ends
                .into_iter()
                .any(|end| self.plan.parts_of(end.value).contains(&part))
            {
                continue;
            }
            let waits = joint.gone.is_some() || joint.in_place_of.is_some();
            let slides = joint.kind.value.slides();
            if waits || slides || !self.is_undone(id) {
                return None;
            }
            acts = format!("{acts}; {}", self.closing(id));
        }
        light.then_some(acts)
    }

    fn is_undone(self, joint: Id<Joint>) -> bool {
        let named = |list: &[Fixings]| list.iter().any(|one| one.joint.value == joint);
        let last = self.acts().rev().find_map(|act| match &act.does {
            Does::Undo(list) => named(list).then_some(true),
            Does::Start(list) => named(list).then_some(false),
            Does::PressApart { joints, .. } => joints.iter().any(|one| one.value == joint).then_some(true),
            Does::PressHome { joints, .. } => joints.iter().any(|one| one.value == joint).then_some(false),
            _ => None,
        });
        last == Some(true)
    }

    /// Whether some later act lets this part down from where it is tied up.
    pub fn is_untied(self, part: Id<Part>) -> bool {
        self.acts().any(|act| match &act.does {
            Does::Untie(list) => list
                .iter()
                .any(|thing| self.plan.parts_of(thing.value).contains(&part)),
            _ => false,
        })
    }
}

/// How many names an act's list has; none for an act without a list.
fn names(does: &Does) -> usize {
    match does {
        Does::Slacken(list) | Does::Undo(list) | Does::Start(list) | Does::Tighten(list) => list.len(),
        Does::Hold { things, .. } | Does::Touch { things, .. } | Does::Release { things, .. } => things.len(),
        Does::Raise { things, .. } | Does::Set { things, .. } | Does::Lower { things, .. } => things.len(),
        Does::TakeOff(list) | Does::Fit(list) | Does::Try(list) => list.len(),
        Does::Untie(list) | Does::SlideHome(list) | Does::MoveAside(list) | Does::MoveBack(list) => {
            list.len()
        }
        Does::PressApart { joints, .. }
        | Does::PressHome { joints, .. }
        | Does::Opening { joints, .. }
        | Does::Verify { joints, .. }
        | Does::Mark(joints)
        | Does::Tag(joints) => joints.len(),
        Does::Drain { fluids, .. } | Does::Fill { fluids, .. } => fluids.len(),
        _ => 0,
    }
}
