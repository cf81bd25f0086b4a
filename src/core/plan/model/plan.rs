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
    /// What is worked on; of several the plan says which.
    pub vehicles: List<Vehicle>,
    /// All that a joint can tie, the body too.
    pub parts: List<Part>,
    /// Named sets of parts.
    pub assemblies: List<Assembly>,
    /// What ties parts together.
    pub joints: List<Joint>,
    /// What runs out.
    pub fluids: List<Fluid>,
    /// What is live, loaded or hot.
    pub energies: List<Energy>,
    /// What can hurt.
    pub cautions: List<Caution>,
    /// What lifts and holds.
    pub rigs: List<Rig>,
    /// What is turned with, or caught with.
    pub tools: List<Tool>,
    /// What is used up.
    pub consumables: List<Consumable>,
    /// Tools that the owner has.
    pub kits: List<Kit>,
    /// Who works.
    pub people: List<Person>,
    /// What weighs.
    pub scales: List<Scale>,
    /// The parts of the job.
    pub stages: List<Stage>,
    /// All of them; `order` has the way of the work.
    pub steps: List<Step>,
    /// Lists of readings.
    pub weigh_ins: List<WeighIn>,
    /// What comes off for what goes on.
    pub swaps: List<Swap>,
    /// What was done already.
    pub logs: Vec<Log>,
    /// Findings that the owner lets stand.
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
    /// Left out by choice.
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
    /// So heavy a driver.
    pub driver: Option<Said<Mass>>,
    /// So much fuel in the tank.
    pub fuel: Option<Said<Volume>>,
}

/// The `plan` block.
#[derive(Debug, Clone)]
pub struct About {
    /// Name, title and notes.
    pub head: Head,
    /// Which one; none where the plan does not say.
    pub vehicle: Option<Said<Id<Vehicle>>>,
    /// What the owner wants to lose, or to reach.
    pub target: Option<Said<Target>>,
    /// The least that the class lets it weigh.
    pub class_minimum: Option<Said<Mass>>,
    /// With whom and what in it the class weighs.
    pub class_with: ClassWith,
    /// How the axles are to share the whole at the end.
    pub axle_split: Option<Said<AxleSplit>>,
    /// Who works; the first one leads.
    pub crew: Vec<Said<Id<Person>>>,
    /// A4 where nobody says it.
    pub paper: Option<Said<Paper>>,
    /// One where it is not said.
    pub sides: Option<Said<Sides>>,
    /// Colour where it is not said.
    pub ink: Option<Said<Ink>>,
    /// Metric where it is not said.
    pub units: Option<Said<Units>>,
    /// British where it is not said.
    pub spelling: Option<Said<Spelling>>,
    /// BCP 47.
    pub language: Option<Said<Text>>,
    /// What the binder carries; else the day of printing.
    pub dated: Option<Said<Date>>,
    /// Path of the folder of rigs, tools, scales and cautions that several plans share.
    pub workshop: Option<Said<Text>>,
    /// In the order of work.
    pub stages: Option<Said<Vec<Said<Id<Stage>>>>>,
    /// The maker's procedure that was consulted, in words.
    pub procedure: Option<Said<Text>>,
    /// From where checks speak up.
    pub house: House,
    /// How the vehicle was found.
    pub starts: Vec<Starts>,
    /// Cautions for the whole job.
    pub cautions: Vec<Said<Id<Caution>>>,
    /// Pictures for the front page.
    pub figures: Vec<super::Figure>,
    /// When there is work.
    pub calendar: Calendar,
    /// What may be spent.
    pub budget: Option<Said<Money>>,
    /// What other money is worth.
    pub rates: Vec<Rate>,
}

/// When there is work.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Calendar {
    /// Hours of the days on which there is work.
    pub works: Vec<Works>,
    /// Days on which nobody comes.
    pub no_work: Vec<Said<Date>>,
    /// The first day of work.
    pub begins: Option<Said<Date>>,
    /// The last day that would do.
    pub finish_by: Option<Said<Date>>,
}

/// `works 8 h from 9:00 on saturday, sunday`: hours of some days.
#[derive(Debug, Clone, PartialEq)]
pub struct Works {
    /// Of work, on each of these days.
    pub hours: Said<Time>,
    /// Minutes after midnight; none where the plan does not say.
    pub from: Option<Said<u32>>,
    /// Which days.
    pub on: Vec<Said<On>>,
    /// Where the line stands.
    pub at: Span,
}

/// Days that are meant: each of a name, or one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// Each one of this name.
    Each(Weekday),
    /// This day alone.
    Day(Date),
}

impl On {
    /// The day is meant by it.
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
    /// Of the whole, on that axle.
    pub share: Share,
    /// Whose axle.
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

/// How light it has to become.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// By so much less.
    Save(Mass),
    /// Down to so much.
    Reach(Mass),
}

/// What is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Paper {
    /// 210 mm by 297 mm, ISO 216.
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

/// How many sides of a sheet are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sides {
    /// The other side stays empty.
    One,
    /// Back to back.
    Two,
}

/// What a printer has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    /// Panels in their colours.
    Colour,
    /// Panels with hatching.
    Black,
}

/// What figures are printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Units {
    /// kg, mm and N m.
    Metric,
    /// lb, in and lbf·ft.
    Inch,
}

/// Which English the binder has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spelling {
    /// "tyre", "aluminium".
    British,
    /// "tire", "aluminum".
    American,
}

/// Weights and the torque from which checks speak up, as the plan says them.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct House {
    /// What may hang by a strap, a wire or its own lead.
    pub hang: Option<Said<Mass>>,
    /// What somebody holds without a word about it.
    pub by_hand: Option<Said<Mass>>,
    /// From here on a thing is heavy: its supports are counted.
    pub heavy: Option<Said<Mass>>,
    /// Over it no fixing is turned while an end is up.
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
