//! The plan itself: its block, and the lists of all that its files declare.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use super::{
    Accept, Assembly, Caution, Consumable, End, Energy, Fixing, Fluid, Going, Halt, Head, Id, Joint, Kit,
    List, Log, Money, Part, Person, Rate, Rig, Said, Scale, Stage, Starts, Step, Swap, Text, Thing, Tool,
    Vehicle, WeighIn,
};
use std::collections::{BTreeMap, BTreeSet};

use crate::base::date::{Date, Weekday};
use crate::base::quantity::{Mass, Share, Time, Torque, Volume};
use crate::base::source::Span;

/// All that a plan's files declare. Lists are in order of declaration, files in order of their paths.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// The `plan` block; missing in a workshop folder, or where it was unreadable.
    pub about: Option<Box<About>>,
    pub vehicles: List<Vehicle>,
    pub parts: List<Part>,
    pub assemblies: List<Assembly>,
    pub joints: List<Joint>,
    pub fluids: List<Fluid>,
    pub energies: List<Energy>,
    pub cautions: List<Caution>,
    pub rigs: List<Rig>,
    pub tools: List<Tool>,
    pub consumables: List<Consumable>,
    pub kits: List<Kit>,
    pub people: List<Person>,
    pub scales: List<Scale>,
    pub stages: List<Stage>,
    pub steps: List<Step>,
    pub weigh_ins: List<WeighIn>,
    pub swaps: List<Swap>,
    pub logs: Vec<Log>,
    pub accepts: Vec<Accept>,
    /// Steps in the order of work: stage by stage in the order that the plan says, line by line within one.
    pub order: Vec<Id<Step>>,
    /// Stages in the order of work.
    pub stage_order: Vec<Id<Stage>>,
    /// What the log comes to.
    pub progress: Progress,
    /// Swaps that are not done, though the texts have them.
    pub left_out: LeftOut,
}

/// What is left out of a plan that is compiled as if some swaps were not done.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LeftOut {
    pub swaps: BTreeSet<Id<Swap>>,
    /// New parts of these swaps, which nobody fits.
    pub parts: BTreeSet<Id<Part>>,
    /// Steps for these swaps alone.
    pub steps: BTreeSet<Id<Step>>,
}

/// How far the work has come, by the log.
#[derive(Debug, Clone, Default)]
pub struct Progress {
    /// Steps that are done, and the day on which they were; of several the last.
    pub done: BTreeMap<Id<Step>, Date>,
    /// Steps that were left out, where the log says so.
    pub skipped: BTreeMap<Id<Step>, Span>,
    /// The last of the steps that are done, or after which the work was stopped, by the order of work.
    pub last: Option<Id<Step>>,
    /// The fixings that joints were declared with, of those that got others since.
    pub declared: BTreeMap<Id<Joint>, Vec<Fixing>>,
    /// The log that says at which act the step behind that was stopped, by its place among the logs; none where it was done since.
    pub stopped: Option<usize>,
    /// What that log comes to; none where no act of the step is called so.
    pub halt: Option<Halt>,
}

/// What a class has in the vehicle when it weighs it; nothing where the plan does not say.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ClassWith {
    pub driver: Option<Said<Mass>>,
    pub fuel: Option<Said<Volume>>,
}

/// The `plan` block.
#[derive(Debug, Clone)]
pub struct About {
    pub head: Head,
    pub vehicle: Option<Said<Id<Vehicle>>>,
    pub target: Option<Said<Target>>,
    pub class_minimum: Option<Said<Mass>>,
    /// With whom and what in it the class weighs.
    pub class_with: ClassWith,
    pub axle_split: Option<Said<AxleSplit>>,
    pub crew: Vec<Said<Id<Person>>>,
    pub paper: Option<Said<Paper>>,
    pub sides: Option<Said<Sides>>,
    pub ink: Option<Said<Ink>>,
    pub units: Option<Said<Units>>,
    pub spelling: Option<Said<Spelling>>,
    /// BCP 47.
    pub language: Option<Said<Text>>,
    pub dated: Option<Said<Date>>,
    pub workshop: Option<Said<Text>>,
    pub stages: Option<Said<Vec<Said<Id<Stage>>>>>,
    pub procedure: Option<Said<Text>>,
    pub house: House,
    pub starts: Vec<Starts>,
    pub cautions: Vec<Said<Id<Caution>>>,
    pub figures: Vec<super::Figure>,
    pub calendar: Calendar,
    pub budget: Option<Said<Money>>,
    pub rates: Vec<Rate>,
}

/// When there is work.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Calendar {
    pub works: Vec<Works>,
    pub no_work: Vec<Said<Date>>,
    pub begins: Option<Said<Date>>,
    pub finish_by: Option<Said<Date>>,
}

/// `works 8 h from 9:00 on saturday, sunday`: hours of some days.
#[derive(Debug, Clone, PartialEq)]
pub struct Works {
    pub hours: Said<Time>,
    /// Minutes after midnight; none where the plan does not say.
    pub from: Option<Said<u32>>,
    pub on: Vec<Said<On>>,
    pub at: Span,
}

/// Days that are meant: each of a name, or one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    Each(Weekday),
    Day(Date),
}

impl On {
    #[must_use]
    pub fn is(self, day: Date) -> bool {
        match self {
            On::Each(weekday) => day.weekday() == weekday,
            On::Day(own) => own == day,
        }
    }
}

/// What share of the whole one axle is wanted to bear at the end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleSplit {
    pub share: Share,
    pub end: End,
}

impl AxleSplit {
    /// What the front axle is wanted to bear, from 0 to 1.
    #[must_use]
    pub fn front(self) -> f64 {
        let share = self.share.base() / 100.0;
        match self.end {
            End::Front => share,
            End::Rear => 1.0 - share,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    Save(Mass),
    Reach(Mass),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Paper {
    A4,
    Letter,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sides {
    One,
    Two,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    Colour,
    Black,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Units {
    Metric,
    Inch,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spelling {
    British,
    American,
}

/// Weights and the torque from which checks speak up, as the plan says them.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct House {
    pub hang: Option<Said<Mass>>,
    pub by_hand: Option<Said<Mass>>,
    pub heavy: Option<Said<Mass>>,
    pub big_torque: Option<Said<Torque>>,
}

/// The plan's figures, or what a shop usually goes by (common practice, no source).
impl House {
    /// In mg: what may hang by what holds it on one side, 2 kg.
    #[must_use]
    pub fn hang_mg(&self) -> i64 {
        self.hang.map_or(2_000_000, |said| said.value.milligrams())
    }

    /// The same in kg.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "far below 2^53 mg")]
    pub fn hang_kg(&self) -> f64 {
        self.hang_mg() as f64 / 1e6
    }

    /// In mg: what one person handles without a rig and without a thought, 5 kg.
    #[must_use]
    pub fn by_hand_mg(&self) -> i64 {
        self.by_hand.map_or(5_000_000, |said| said.value.milligrams())
    }

    /// In mg: from here on a thing is heavy, 15 kg.
    #[must_use]
    pub fn heavy_mg(&self) -> i64 {
        self.heavy.map_or(15_000_000, |said| said.value.milligrams())
    }

    /// In N m: from here on a pull can move a raised vehicle, 120 N m.
    #[must_use]
    pub fn big_torque_n_m(&self) -> f64 {
        self.big_torque.map_or(120.0, |said| said.value.base())
    }
}

impl Plan {
    /// A further statement of a joint, as it is written at a place of its text: behind `fixed to` with a comma, else with a semicolon.
    #[must_use]
    pub fn more_of_joint(&self, at: Span, statement: &str) -> String {
        let in_part = self
            .joints
            .values()
            .filter_map(|joint| joint.in_part)
            .any(|said| said.source == at.source && said.start <= at.start && at.end <= said.end);
        format!("{} {statement}", if in_part { "," } else { ";" })
    }

    /// The swaps that are done.
    pub fn swaps_done(&self) -> impl Iterator<Item = (Id<Swap>, &Swap)> {
        let all = self.swaps.iter();
        all.filter(|(id, _)| !self.left_out.swaps.contains(id))
    }

    /// Which way the work of a step goes.
    #[must_use]
    pub fn way(&self, step: Id<Step>) -> Going {
        match self.steps[step].stage {
            Some(stage) if !self.stages[stage].reverses.is_empty() => Going::Back,
            _ => Going::Out,
        }
    }

    /// Whether what a caution says fits the way that a step goes.
    #[must_use]
    pub fn fits_way(&self, caution: Id<Caution>, step: Id<Step>) -> bool {
        self.cautions[caution]
            .only
            .is_none_or(|only| only.value == self.way(step))
    }

    /// The weights and the torque from which checks speak up.
    #[must_use]
    pub fn house(&self) -> House {
        self.about.as_ref().map(|about| about.house).unwrap_or_default()
    }

    /// The title of the plan, or a stand-in.
    #[must_use]
    pub fn title(&self) -> String {
        let called = self.about.as_ref().map(|about| about.head.called());
        called
            .filter(|called| !called.is_empty())
            .unwrap_or_else(|| "A plan without a title".to_owned())
    }

    /// The vehicle that the plan is for: the one that it names, else the only one.
    #[must_use]
    pub fn vehicle(&self) -> Option<Id<Vehicle>> {
        let named = self.about.as_ref().and_then(|about| about.vehicle);
        named
            .map(|said| said.value)
            .or_else(|| self.vehicles.ids().next())
    }

    /// What a page calls whatever has this name.
    #[must_use]
    pub fn titled(&self, name: &str) -> Option<String> {
        let heads = self
            .parts
            .values()
            .map(|part| &part.head)
            .chain(self.assemblies.values().map(|assembly| &assembly.head))
            .chain(self.joints.values().map(|joint| &joint.head))
            .chain(self.fluids.values().map(|fluid| &fluid.head))
            .chain(self.rigs.values().map(|rig| &rig.head))
            .chain(self.tools.values().map(|tool| &tool.head))
            .chain(self.consumables.values().map(|consumable| &consumable.head))
            .chain(self.people.values().map(|person| &person.head))
            .chain(self.scales.values().map(|scale| &scale.head));
        let mut all = heads.filter(|head| &*head.name == name);
        all.next().map(Head::called)
    }

    /// What a page calls a thing.
    #[must_use]
    pub fn called(&self, thing: Thing) -> String {
        match thing {
            Thing::Part(id) => self.parts[id].head.called(),
            Thing::Assembly(id) => self.assemblies[id].head.called(),
        }
    }

    /// The parts of a thing: itself, or all that an assembly holds.
    #[must_use]
    pub fn parts_of(&self, thing: Thing) -> Vec<Id<Part>> {
        match thing {
            Thing::Part(id) => vec![id],
            Thing::Assembly(id) => self.assemblies[id].parts.clone(),
        }
    }

    /// For each fluid the parts that it is in, whether its block says so or theirs.
    #[must_use]
    pub fn insides(&self) -> Vec<Vec<Id<Part>>> {
        let said = |fluid: &Fluid| fluid.in_parts.iter().map(|said| said.value).collect();
        let mut all: Vec<Vec<Id<Part>>> = self.fluids.values().map(said).collect();
        for (id, part) in self.parts.iter() {
            for held in &part.holds {
                if let Some(inside) = all.get_mut(held.value.index()) {
                    inside.push(id);
                }
            }
        }
        for inside in &mut all {
            inside.sort_unstable();
            inside.dedup();
        }
        all
    }

    /// A step's number on paper: stage from 1, step within it from 1; steps without a stage count alone.
    #[must_use]
    pub fn step_number(&self, id: Id<Step>) -> String {
        match self.steps[id].stage {
            Some(stage) => {
                let nth = self
                    .stage_order
                    .iter()
                    .position(|&s| s == stage)
                    .map_or(0, |at| at + 1);
                let step = self.stages[stage]
                    .steps
                    .iter()
                    .position(|&s| s == id)
                    .map_or(0, |at| at + 1);
                format!("{nth}.{step}")
            }
            None => {
                let at = self.order.iter().position(|&s| s == id).map_or(0, |at| at + 1);
                format!("{at}")
            }
        }
    }

    /// Whether a joint holds a road wheel on: one of its ends is called a wheel. What bears an end of the vehicle is no
    /// wheel: a hub has joints of its own.
    #[must_use]
    pub fn on_a_wheel(&self, joint: &Joint) -> bool {
        // A wheel by its first word ("wheel-left") or its last ("front-wheel"), but not what a hand turns or an engine spins.
        let called_so = |thing: Thing| match thing {
            Thing::Part(id) => {
                let words: Vec<&str> = self.parts[id].head.name.split('-').collect();
                let wheel = |word: &str| matches!(word, "wheel" | "wheels" | "roadwheel" | "roadwheels");
                let before = words.len().checked_sub(2).map(|at| words[at]);
                self.is_road_wheel(id)
                    || words.first().is_some_and(|word| wheel(word))
                    || words.iter().any(|word| word.starts_with("roadwheel"))
                    || words.last().is_some_and(|word| wheel(word))
                        && !matches!(
                            before,
                            Some("steering" | "fly" | "hand" | "gear" | "pulley" | "tone" | "worm" | "fifth")
                        )
            }
            Thing::Assembly(_) => false,
        };
        joint.ends.iter().flatten().any(|end| called_so(end.value))
    }

    /// Whether a part is a road wheel itself ("wheel-front-left"), and not something at one ("wheel-arch", "wheel-cylinder").
    #[must_use]
    pub fn is_road_wheel(&self, part: Id<Part>) -> bool {
        let mut wheel = false;
        self.parts[part].head.name.split('-').all(|word| {
            let is = matches!(word, "wheel" | "wheels" | "roadwheel" | "roadwheels");
            wheel |= is;
            let whose = matches!(word, "front" | "rear" | "left" | "right" | "road" | "new" | "old");
            is || whose || word.chars().all(|c| c.is_ascii_digit())
        }) && wheel
    }
}
