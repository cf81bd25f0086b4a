//! What the walk tells of loads, act by act and only where something changed, against the same reckoned from scratch on the state after each
//! step: what the vehicle bears alone, what would fall without each rig, and what each rig may share.

use std::collections::{BTreeMap, BTreeSet};

use crate::support::compile_text;
use boltfolio_core::plan::model::{Id, Part, Plan, Rig};
use boltfolio_core::walk::after::After;
use boltfolio_core::walk::loads::LoadChange;
use boltfolio_core::walk::state::Holder;
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop, prop_assert_eq, proptest};

/// Joints of each part: to the body (0) or to an earlier part, and whether it carries; and what it rests on from the first, of which
/// then none does.
type Machine = Vec<(Vec<(usize, bool)>, Option<usize>)>;

fn machine() -> impl Strategy<Value = Machine> {
    let one = (any::<u16>(), any::<u8>());
    let part = (prop::collection::vec(one, 1..4), any::<u16>());
    prop::collection::vec(part, 2..8).prop_map(|parts| {
        parts
            .iter()
            .enumerate()
            .map(|(nth, (joints, rests))| {
                let rests = (rests % 3 == 0).then_some(usize::from(rests / 3) % (nth + 1));
                let tie = |(place, &(to, kind)): (usize, &(u16, u8))| {
                    let carries = rests.is_none() && (place == 0 || kind % 3 > 0);
                    (usize::from(to) % (nth + 1), carries)
                };
                (joints.iter().enumerate().map(tie).collect(), rests)
            })
            .collect()
    })
}

fn name(part: usize) -> String {
    match part {
        0 => "shell".to_owned(),
        part => format!("p{part}"),
    }
}

fn text(machine: &Machine, acts: &[String]) -> String {
    let mut text = String::from(
        "plan p \"P\"; for wren\nvehicle wren \"Wren 900\"; body shell\nrig beam; holds; borne by shell; rated 900 kg\n",
    );
    for rig in 1..=3 {
        text.push_str(&format!("rig hoist-{rig}; lifts, holds; rated 900 kg\n"));
    }
    for (nth, (joints, rests)) in machine.iter().enumerate() {
        let rests = rests.map_or(String::new(), |on| format!("; rests on {}", name(on)));
        text.push_str(&format!("part p{}; mass {} kg quoted{rests}\n", nth + 1, 6 + nth));
        for (place, (to, carries)) in joints.iter().enumerate() {
            let carries = if *carries { "; carries" } else { "" };
            let ends = format!("p{} to {}", nth + 1, name(*to));
            text.push_str(&format!("joint j{}-{place}: {ends}; clip{carries}\n", nth + 1));
        }
    }
    for (nth, act) in acts.iter().enumerate() {
        text.push_str(&format!("step s{nth} \"S\"\n  {act}\n"));
    }
    text
}

fn acts(machine: &Machine) -> impl Strategy<Value = Vec<String>> + use<> {
    let machine = machine.clone();
    let one = (0..11u8, any::<u16>(), any::<u16>()).prop_map(move |(kind, a, b)| {
        let part = usize::from(a) % machine.len();
        let joint = format!("j{}-{}", part + 1, usize::from(b) % machine[part].0.len());
        let rig = match b % 4 {
            0 => "beam".to_owned(),
            rig => format!("hoist-{rig}"),
        };
        let other = usize::from(b) % (machine.len() + 1);
        let part = part + 1;
        match kind {
            0..=2 => format!("undo {joint}"),
            3 => format!("start {joint}"),
            4 | 5 => format!("hold p{part} with {rig}"),
            6 => format!("touch p{part} with {rig}"),
            7 => format!("take off p{part}"),
            8 => format!("fit p{part}"),
            9 if other != part => format!("tie up p{part} to {}", name(other)),
            _ => format!("release p{part} from {rig}"),
        }
    });
    prop::collection::vec(one, 1..40)
}

/// What bears what at one moment, from the whole state.
struct Scratch<'a> {
    plan: &'a Plan,
    after: After<'a>,
    body: Id<Part>,
}

impl Scratch<'_> {
    fn part(&self, name: &str) -> Id<Part> {
        let mut all = self.plan.parts.iter();
        all.find(|(_, part)| &*part.head.name == name)
            .expect("declared")
            .0
    }

    /// Whether the ground bears a part when a rig, or the body, is taken away.
    fn stands(&self, part: Id<Part>, without: Option<Id<Rig>>, body: bool) -> bool {
        let state = self.after.state();
        let mut seen = BTreeSet::from([part]);
        let mut open = vec![part];
        while let Some(here) = open.pop() {
            if here == self.body {
                if body {
                    return true;
                }
                continue;
            }
            if self.after.is_off(here) && state.parts[here].down {
                return true;
            }
            let mut bearers: Vec<Id<Part>> = Vec::new();
            for (held, holder) in state.holds.keys() {
                let Holder::Rig(rig) = holder else { continue };
                if *held != here || Some(*rig) == without {
                    continue;
                }
                match self.plan.rigs[*rig].borne_by {
                    Some(bearer) => bearers.push(bearer.value),
                    None => return true,
                }
            }
            for (id, joint) in self.plan.joints.iter() {
                let ends = joint.ends.as_ref().expect("two names");
                let [a, b] = ends.each_ref().map(|end| self.plan.parts_of(end.value)[0]);
                if !self.after.ties(id) || (a != here && b != here) {
                    continue;
                }
                let other = if a == here { b } else { a };
                let bench = self.after.is_off(here) && self.after.is_off(other);
                if joint.carries.is_some() || bench {
                    bearers.push(other);
                }
            }
            bearers.extend(
                self.after
                    .tied_up()
                    .filter(|(hung, _)| *hung == here)
                    .map(|(_, to)| to),
            );
            bearers.extend(state.rests.get(&here));
            for next in bearers {
                if seen.insert(next) {
                    open.push(next);
                }
            }
        }
        false
    }

    fn parts(&self) -> impl Iterator<Item = Id<Part>> + '_ {
        self.plan.parts.ids().filter(|part| *part != self.body)
    }

    fn off_vehicle(&self) -> BTreeSet<Id<Part>> {
        self.parts()
            .filter(|&part| self.stands(part, None, false))
            .collect()
    }

    fn alone(&self) -> BTreeMap<Id<Rig>, BTreeSet<Id<Part>>> {
        let mut all = BTreeMap::new();
        for (rig, _) in self.plan.rigs.iter() {
            let falls =
                |&part: &Id<Part>| self.stands(part, None, true) && !self.stands(part, Some(rig), true);
            let set: BTreeSet<Id<Part>> = self.parts().filter(falls).collect();
            if !set.is_empty() {
                all.insert(rig, set);
            }
        }
        all
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, max_shrink_iters: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn changes_add_up_to_the_whole((machine, acts) in machine().prop_flat_map(|machine| {
        let acts = acts(&machine);
        (Just(machine), acts)
    })) {
        // Acts that would break something are left out: after a break a repair goes on as if.
        let breaks = |acts: &[String]| {
            let done = compile_text(&text(&machine, acts));
            done.walk.breaks.iter().any(|of| of.step.is_some())
        };
        let mut kept: Vec<String> = Vec::new();
        for act in acts {
            kept.push(act);
            if breaks(&kept) {
                kept.pop();
            }
        }
        let text = text(&machine, &kept);
        let done = compile_text(&text);
        let plan = &done.plan;
        let mut off: BTreeSet<Id<Part>> = BTreeSet::new();
        let mut alone: BTreeMap<Id<Rig>, BTreeSet<Id<Part>>> = BTreeMap::new();
        let mut events = done.walk.loads.iter().peekable();
        for (nth, &step) in plan.order.iter().enumerate() {
            while let Some(event) = events.next_if(|event| event.step == Some(step)) {
                match &event.change {
                    LoadChange::Vehicle(delta) => {
                        off.extend(&delta.leave);
                        off.retain(|part| !delta.join.contains(part));
                    }
                    LoadChange::Rig(change) => {
                        let set = alone.entry(change.rig).or_default();
                        set.extend(&change.alone.join);
                        set.retain(|part| !change.alone.leave.contains(part));
                        if set.is_empty() {
                            alone.remove(&change.rig);
                        }
                    }
                    _ => {}
                }
            }
            let after = done.walk.after_nth(plan, nth).expect("walked");
            let body = plan.vehicles[plan.vehicle().expect("one")].body.expect("named").value;
            let scratch = Scratch { plan, after, body };
            prop_assert_eq!(scratch.part("shell"), body);
            prop_assert_eq!(&off, &scratch.off_vehicle(), "off the vehicle after step {}\n{}", nth, &text);
            prop_assert_eq!(&alone, &scratch.alone(), "alone after step {}\n{}", nth, &text);
        }
    }
}
