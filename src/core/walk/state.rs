//! The state of a machine, cell by cell, and changes to it that can be played forwards and back. Knows what each cell
//! can hold, not which act may change it.

use std::collections::{BTreeMap, BTreeSet};

use super::layout::{JointFacts, Layout};
use super::table::Table;
use crate::base::source::Span;
use crate::plan::model::{End, Energy, Fluid, Id, Joint, Part, Person, Plan, Rig, Starts, Thing, Tool};

/// Whether a part is on the machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Presence {
    /// In its place.
    #[default]
    On,
    /// Away from it.
    Off,
    /// Offered up, and not yet meant to stay.
    OnTrial,
}

/// What is known of a part at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PartState {
    /// On, off, or offered up.
    pub presence: Presence,
    /// Out of the way, on its lines.
    pub aside: bool,
    /// A rig has brought it to where it is when the vehicle stands on its wheels.
    pub at_ride_height: bool,
    /// Off, and put down: it cannot fall any more.
    pub down: bool,
    /// It was off at some time.
    pub was_off: bool,
    /// Set so by a repair: silent until an act changes it rightly.
    pub mended: bool,
    /// A finding stands for it; see [`Suppressed`].
    pub suppressed: Option<Suppressed>,
}

/// Why nothing more is told of a part that lost its support.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Suppressed {
    /// The finding, by its place in the list of breaks.
    pub told: usize,
    /// How grave what stands for it was.
    pub grade: Grade,
}

/// Milder first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// It only swung.
    Swings,
    /// It was left on pins or loose fixings.
    OnPins,
    /// It fell.
    Falls,
}

/// What stops a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Opening {
    /// Nothing stops it, and it is whole.
    #[default]
    Shut,
    /// A clamp on a hose.
    Clamped,
    /// Nothing: what runs in it runs out.
    Open,
    /// A cap on the end.
    Capped,
    /// A plug in the port.
    Plugged,
    /// The end and the port, each by its own.
    CappedAndPlugged,
}

impl Opening {
    /// A cap or plug is in: nothing can be joined there before it comes out.
    #[must_use]
    pub fn is_stopped(self) -> bool {
        matches!(self, Self::Capped | Self::Plugged | Self::CappedAndPlugged)
    }

    /// Something of the workshop keeps it shut.
    #[must_use]
    pub fn is_closed(self) -> bool {
        self.is_stopped() || self == Self::Clamped
    }
}

/// What is known of a joint at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct JointState {
    /// So many of its fixings are tight.
    pub tight: u32,
    /// So many are loose, and in.
    pub slack: u32,
    /// So many are in by hand.
    pub started: u32,
    /// So many are out.
    pub out: u32,
    /// Of a slide or a pressed joint: drawn or pressed apart altogether.
    pub parted: bool,
    /// In millimetres, of a slide that is still engaged.
    pub drawn: f64,
    /// Of a line; shut where there is none.
    pub opening: Opening,
    /// A clamp is on it, whatever else closes it.
    pub clamped: bool,
    /// It was capped and plugged, since it was last joined.
    pub stopped_twice: bool,
    /// A second check is owed, since it was tightened.
    pub unchecked: bool,
    /// Bonded, and not set yet: it is in its place and bears nothing.
    pub setting: bool,
    /// It was undone at some time.
    pub was_out: bool,
    /// Drilled, cut or split: it never comes back.
    pub broken: bool,
    /// Set so by a repair: silent until an act changes it rightly.
    pub mended: bool,
    /// A tool stands in for fixings that are out.
    pub pins: Option<Id<Tool>>,
}

impl JointState {
    /// Closed, with so many fixings tight.
    #[must_use]
    pub fn tight(fixings: u32) -> Self {
        Self {
            tight: fixings,
            ..Self::default()
        }
    }

    /// All out; a slide or pressed joint is apart.
    #[must_use]
    pub fn out(facts: &JointFacts) -> Self {
        Self {
            out: facts.fixings,
            parted: facts.slides || facts.pressed,
            ..Self::default()
        }
    }

    /// How the line is once it is joined.
    #[must_use]
    pub fn shut(self) -> Opening {
        if self.clamped {
            Opening::Clamped
        } else {
            Opening::Shut
        }
    }

    /// Nothing of it is loose, out or parted.
    #[must_use]
    pub fn all_tight(self) -> bool {
        !self.setting
            && self.slack == 0
            && self.started == 0
            && self.out == 0
            && !self.parted
            && self.drawn == 0.0
    }

    /// Held by few fixings, none of them tight, or by tools used as pins.
    #[must_use]
    pub fn pinned(self) -> bool {
        self.pins.is_some() || (self.out > 0 && self.tight == 0 && self.slack + self.started > 0)
    }
}

/// Who or what has a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holder {
    /// A lift, stand, crane or sling.
    Rig(Id<Rig>),
    /// Hands.
    Person(Id<Person>),
    /// A repair holds it to the end of the step.
    Repair,
}

/// How a part is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    /// Touched without load.
    pub touch: bool,
    /// The number of the act that put it there: what one act put on a rig is one set.
    pub act: u32,
    /// Where the act says so.
    pub at: Span,
}

/// A wire, strap or hook, and what bears it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tie {
    /// What it hangs from.
    pub to: Id<Part>,
    /// Where the act says so.
    pub at: Span,
    /// What the strap, wire or hook may bear, in milligrams; none where the act does not say.
    pub bears: Option<i64>,
}

/// What an end of the vehicle stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stand {
    /// Its wheels or feet.
    #[default]
    Wheels,
    /// On a rig, raised.
    Rig {
        /// The rig that raised it, or that it was set on.
        rig: Id<Rig>,
        /// The number of the act that put it there.
        act: u32,
        /// In tenths of a millimetre, where the plan says it.
        height: Option<i64>,
    },
}

/// What is known of a fluid at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FluidState {
    /// Nothing of it is out.
    pub full: bool,
    /// Its air is out.
    pub bled: bool,
    /// Set so by a repair: silent until an act changes it rightly.
    pub mended: bool,
}

/// Everything about the machine at one moment.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct State {
    /// Where each part is.
    pub parts: Table<Part, PartState>,
    /// How each joint stands.
    pub joints: Table<Joint, JointState>,
    /// What rigs, hands and repairs have.
    pub holds: BTreeMap<(Id<Part>, Holder), Held>,
    /// The same by who or what has them.
    by_holder: BTreeSet<(Holder, Id<Part>)>,
    /// Joints that are pinned.
    pub pinned: BTreeSet<Id<Joint>>,
    /// Lines that are open.
    pub open: BTreeSet<Id<Joint>>,
    /// Joints of which all that is in is in by hand, or slack.
    pub slack: BTreeSet<Id<Joint>>,
    /// How many parts are told to fall.
    pub fallen: usize,
    /// The first rests on the second.
    pub rests: BTreeMap<Id<Part>, Id<Part>>,
    /// Wires and straps, by what hangs.
    pub ties: BTreeMap<Id<Part>, Tie>,
    /// The front end stands on this.
    pub front: Stand,
    /// The rear end stands on this.
    pub rear: Stand,
    /// How much is in, and whether its air is out.
    pub fluids: Table<Fluid, FluidState>,
    /// Which energies are safe.
    pub safe: Table<Energy, bool>,
}

/// One cell, what it was and what it became.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// What a part was, and what it became.
    Part(Id<Part>, PartState, PartState),
    /// What a joint was, and what it became.
    Joint(Id<Joint>, JointState, JointState),
    /// Who or what has a part.
    Hold((Id<Part>, Holder), Option<Held>, Option<Held>),
    /// What a part lies on.
    Rest(Id<Part>, Option<Id<Part>>, Option<Id<Part>>),
    /// What a part hangs from.
    Tie(Id<Part>, Option<Tie>, Option<Tie>),
    /// What an end stands on.
    Stand(End, Stand, Stand),
    /// What a fluid was, and what it became.
    Fluid(Id<Fluid>, FluidState, FluidState),
    /// Whether an energy is safe.
    Safe(Id<Energy>, bool, bool),
}

impl State {
    /// How the job was found.
    #[must_use]
    pub fn found(plan: &Plan, layout: &Layout) -> Self {
        let mut state = State {
            parts: Table::new(
                plan.parts
                    .values()
                    .map(|part| {
                        let waits = part.in_place_of.is_some() || part.new.is_some();
                        PartState {
                            presence: if waits { Presence::Off } else { Presence::On },
                            down: waits,
                            ..PartState::default()
                        }
                    })
                    .collect(),
            ),
            joints: Table::new(
                layout
                    .joints
                    .iter()
                    .map(|(_, facts)| JointState::tight(facts.fixings))
                    .collect(),
            ),
            fluids: Table::new(vec![
                FluidState {
                    full: true,
                    bled: true,
                    mended: false
                };
                plan.fluids.len()
            ]),
            safe: Table::new(vec![false; plan.energies.len()]),
            ..State::default()
        };
        let starts = plan.about.as_ref().map_or(&[][..], |about| &about.starts);
        let place = |state: &mut State, thing: Thing, presence: Presence| {
            for part in plan.parts_of(thing) {
                let off = presence == Presence::Off;
                state.parts[part] = PartState {
                    presence,
                    down: off,
                    was_off: off,
                    ..PartState::default()
                };
            }
        };
        for start in starts {
            match start {
                Starts::Off(thing) => place(&mut state, thing.value, Presence::Off),
                Starts::On(thing) => place(&mut state, thing.value, Presence::On),
                _ => {}
            }
        }
        for (id, facts) in layout.joints.iter() {
            let on = |part: Id<Part>| state.parts[part].presence == Presence::On;
            let apart = facts.ends.is_some_and(|ends| !ends.into_iter().all(on));
            // A joint in place of another is closed at the start only if its own part was found fitted.
            let waits = facts.in_place_of.is_some()
                && !facts.ends.is_some_and(|ends| {
                    ends.into_iter()
                        .any(|end| layout.parts[end].in_place_of.is_some() && on(end))
                });
            if apart || waits {
                state.joints[id] = JointState::out(facts);
            }
        }
        for start in starts {
            match start {
                Starts::Out(joint) => {
                    state.joints[joint.value] = JointState {
                        was_out: true,
                        ..JointState::out(&layout.joints[joint.value])
                    };
                }
                Starts::Slack(joint) => {
                    state.joints[joint.value] = JointState {
                        slack: layout.joints[joint.value].fixings,
                        ..JointState::default()
                    };
                }
                Starts::Drained(fluid) => state.fluids[fluid.value].full = false,
                Starts::Off(_) | Starts::On(_) | Starts::Holds(..) => {}
            }
        }
        for (part, facts) in layout.parts.iter() {
            if let Some(under) = facts.rests_on
                && [part, under]
                    .into_iter()
                    .all(|part| state.parts[part].presence == Presence::On)
            {
                state.rests.insert(part, under);
            }
        }
        // What nothing keeps in when the job begins is not in.
        for (energy, keeping) in &layout.keeping {
            let open = |joint: &Id<Joint>| {
                let (facts, joint) = (&layout.joints[*joint], &state.joints[*joint]);
                joint.parted || (joint.out >= facts.fixings && facts.fixings > 0)
            };
            if !keeping.holds(|joint| !open(&joint)) {
                state.safe[*energy] = true;
            }
        }
        state
    }

    /// Plays a change forwards.
    pub fn apply(&mut self, change: &Change) {
        match *change {
            Change::Part(id, _, new) => {
                let falls = |part: &PartState| {
                    part.suppressed
                        .is_some_and(|suppressed| suppressed.grade == Grade::Falls)
                };
                self.fallen -= usize::from(falls(&self.parts[id]));
                self.fallen += usize::from(falls(&new));
                self.parts[id] = new;
            }
            Change::Joint(id, _, new) => {
                mark(&mut self.pinned, id, new.pinned());
                mark(&mut self.open, id, new.opening == Opening::Open);
                mark(&mut self.slack, id, new.tight == 0 && new.slack + new.started > 0);
                self.joints[id] = new;
            }
            Change::Hold(key, _, new) => {
                mark(&mut self.by_holder, (key.1, key.0), new.is_some());
                put(&mut self.holds, key, new);
            }
            Change::Rest(id, _, new) => put(&mut self.rests, id, new),
            Change::Tie(id, _, new) => put(&mut self.ties, id, new),
            Change::Stand(end, _, new) => *self.stand_mut(end) = new,
            Change::Fluid(id, _, new) => self.fluids[id] = new,
            Change::Safe(id, _, new) => self.safe[id] = new,
        }
    }

    /// Plays a change back.
    pub fn take_back(&mut self, change: &Change) {
        let back = match *change {
            Change::Part(id, old, new) => Change::Part(id, new, old),
            Change::Joint(id, old, new) => Change::Joint(id, new, old),
            Change::Hold(key, old, new) => Change::Hold(key, new, old),
            Change::Rest(id, old, new) => Change::Rest(id, new, old),
            Change::Tie(id, old, new) => Change::Tie(id, new, old),
            Change::Stand(end, old, new) => Change::Stand(end, new, old),
            Change::Fluid(id, old, new) => Change::Fluid(id, new, old),
            Change::Safe(id, old, new) => Change::Safe(id, new, old),
        };
        self.apply(&back);
    }

    /// Its wheels or feet, or a rig.
    #[must_use]
    pub fn stand(&self, end: End) -> Stand {
        match end {
            End::Front => self.front,
            End::Rear => self.rear,
        }
    }

    /// Both ends stand on one rig, or both on their wheels or feet.
    #[must_use]
    pub fn front_and_rear_alike(&self) -> bool {
        match (self.front, self.rear) {
            (Stand::Wheels, Stand::Wheels) => true,
            (Stand::Rig { rig: one, .. }, Stand::Rig { rig: other, .. }) => one == other,
            _ => false,
        }
    }

    fn stand_mut(&mut self, end: End) -> &mut Stand {
        match end {
            End::Front => &mut self.front,
            End::Rear => &mut self.rear,
        }
    }

    /// It is not on the machine.
    #[must_use]
    pub fn is_off(&self, part: Id<Part>) -> bool {
        self.parts[part].presence == Presence::Off
    }

    /// Who and what has this part.
    pub fn holders(&self, part: Id<Part>) -> impl Iterator<Item = (Holder, &Held)> {
        let first = (part, Holder::Rig(Id::new(0)));
        self.holds
            .range(first..=(part, Holder::Repair))
            .map(|((_, holder), held)| (*holder, held))
    }

    /// What this rig has.
    pub fn on_rig(&self, rig: Id<Rig>) -> impl Iterator<Item = (Id<Part>, &Held)> {
        let holder = Holder::Rig(rig);
        self.held_by(holder)
            .filter_map(move |part| Some((part, self.holds.get(&(part, holder))?)))
    }

    /// What a rig, a person or a repair has.
    pub fn held_by(&self, holder: Holder) -> impl Iterator<Item = Id<Part>> {
        let (first, last) = ((holder, Id::new(0)), (holder, Id::new(usize::MAX)));
        self.by_holder.range(first..=last).map(|(_, part)| *part)
    }

    /// What hands have, and repairs, part by part.
    #[must_use]
    pub fn in_hands(&self) -> Vec<(Id<Part>, Holder)> {
        let first = (Holder::Person(Id::new(0)), Id::new(0));
        let mut all: Vec<(Id<Part>, Holder)> = self
            .by_holder
            .range(first..)
            .map(|&(holder, part)| (part, holder))
            .collect();
        all.sort_unstable();
        all
    }

    /// Ends of the vehicle that are off their wheels or feet, with the rig below.
    pub fn raised(&self) -> impl Iterator<Item = (End, Id<Rig>)> {
        [End::Front, End::Rear]
            .into_iter()
            .filter_map(|end| match self.stand(end) {
                Stand::Wheels => None,
                Stand::Rig { rig, .. } => Some((end, rig)),
            })
    }
}

fn put<K: Ord, V>(map: &mut BTreeMap<K, V>, key: K, value: Option<V>) {
    match value {
        Some(value) => map.insert(key, value),
        None => map.remove(&key),
    };
}

fn mark<K: Ord>(set: &mut BTreeSet<K>, key: K, is: bool) {
    if is {
        set.insert(key);
    } else {
        set.remove(&key);
    }
}
