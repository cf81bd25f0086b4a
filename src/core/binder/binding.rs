//! What every page of the binder asks: the plan, how it is spelt and measured, what things are called, which
//! step is which. Knows no page.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use super::Wanted;
use super::bags::Bags;
use super::choices::{self, Advice, Purse};
use super::document::{Message, PaperSize, Proof, SignalWord};
use super::figures::{self, Side};
use super::kept::Kept;
use super::recall::Recalls;
use super::rig_loads::{self, Nearest};
use super::words::{Words, and_list, inside, sentence};
use crate::analysis::account;
use crate::analysis::runs;
use crate::analysis::timetable::{self, Help, Laying, Timetable};
use crate::analysis::work::Work;
use crate::base::quantity::{Measures, Quantity, Volume};
use crate::compile::Compilation;
use crate::plan::model::{
    About, Bearer, Caution, Does, Fluid, Hazard, Head, Id, Joint, Load, Note, Paper, Person, Plan, Rig, Said,
    Signal, Spelling, Stage, Step, Thing, Tool, Units, Waiting,
};
use crate::weights::Weights;

/// Up to so many steps in so many stages a job is small.
const SMALL_STEPS: usize = 8;
const SMALL_STAGES: usize = 2;

/// A stage with its steps; none where steps stand before any stage.
pub type StageGroup = (Option<Id<Stage>>, Vec<Id<Step>>);

/// A compilation on its way to paper.
#[derive(Debug)]
pub struct Binding<'a> {
    pub compilation: &'a Compilation,
    pub plan: &'a Plan,
    pub wanted: &'a Wanted,
    pub units: Units,
    pub words: Words,
    pub work: &'a Work,
    pub recalls: Recalls,
    pub bags: Bags,
    numbers: BTreeMap<Id<Step>, String>,
    step_keys: BTreeMap<Id<Step>, String>,
    stage_keys: BTreeMap<Id<Stage>, String>,
    pub weights: Weights<'a>,
    /// Where the vehicle is nearest to tipping.
    pub nearest: Option<Nearest>,
    met: BTreeSet<(Id<Step>, Hazard)>,
    timetable: OnceLock<Option<(Timetable, Option<Help>)>>,
    advice: OnceLock<Option<Advice>>,
}

/// A key of its own for each that has no name, or one that stood before it. No name holds the sign that sets them apart.
fn apart<'h, T>(heads: impl Iterator<Item = (Id<T>, &'h Head)>) -> BTreeMap<Id<T>, String> {
    let mut met = BTreeSet::new();
    heads
        .enumerate()
        .filter(|(_, (_, head))| head.name.is_empty() || !met.insert(&*head.name))
        .map(|(nth, (id, head))| (id, format!("{}~{}", head.name, nth + 1)))
        .collect()
}

impl<'a> Binding<'a> {
    #[must_use]
    pub fn new(compilation: &'a Compilation, wanted: &'a Wanted) -> Self {
        let plan = &compilation.plan;
        let about = plan.about.as_deref();
        let units = about
            .and_then(|about| about.units)
            .map_or(Units::Metric, |said| said.value);
        Self {
            nearest: rig_loads::nearest(compilation),
            met: compilation
                .walk
                .met
                .iter()
                .map(|met| (met.step, met.hazard))
                .collect(),
            compilation,
            plan,
            wanted,
            units,
            words: Words {
                spelling: about
                    .and_then(|about| about.spelling)
                    .map_or(Spelling::British, |said| said.value),
            },
            work: compilation.work(),
            recalls: Recalls::of(plan, units),
            bags: Bags::of(plan, &wanted.kept),
            numbers: wanted.kept.numbers(plan),
            step_keys: apart(plan.steps.iter().map(|(id, step)| (id, &step.head))),
            stage_keys: apart(plan.stages.iter().map(|(id, stage)| (id, &stage.head))),
            weights: compilation.weights(),
            timetable: OnceLock::new(),
            advice: OnceLock::new(),
        }
    }

    /// The days of the work that is left, the best that was found; none where the plan says no days, or it cannot be laid out.
    #[must_use]
    pub fn timetable(&self) -> Option<&Timetable> {
        let table = self.timetable.get_or_init(|| {
            if self.compilation.unwalked {
                return None;
            }
            let begins = timetable::begins(self.plan, Some(self.wanted.today))?;
            let takes = runs::likely(self.plan);
            let laying = Laying::new(self.plan, &self.compilation.walk, &takes, begins)?;
            let effort = timetable::effort(laying.steps());
            let table = laying.best_of(effort).ok()?;
            // A tenth of the layouts for each: what brings a day shows at once.
            let help = laying.helps(&table, effort / 10);
            Some((table, help))
        });
        table.as_ref().map(|(table, _)| table)
    }

    /// What one change would bring the last day forward most.
    #[must_use]
    pub fn help(&self) -> Option<Help> {
        self.timetable()?;
        self.timetable.get()?.as_ref()?.1
    }

    /// Which swaps are worth it; none where there is nothing to choose, or it cannot be searched.
    #[must_use]
    pub fn advice(&self) -> Option<&Advice> {
        let advice = self.advice.get_or_init(|| {
            if self.compilation.unwalked {
                return None;
            }
            choices::advice(self.compilation, Purse::default())?.ok()
        });
        advice.as_ref()
    }

    #[must_use]
    pub fn about(&self) -> Option<&'a About> {
        self.plan.about.as_deref()
    }

    /// "58 N·m (43 lbf ft)".
    #[must_use]
    pub fn both<D: Measures>(&self, quantity: Quantity<D>) -> String {
        figures::shown(quantity, self.units).both()
    }

    /// In the plan's units alone.
    #[must_use]
    pub fn one<D: Measures>(&self, quantity: Quantity<D>) -> String {
        figures::shown(quantity, self.units).first
    }

    /// A rating or another limit from above, in the plan's units: never more than what was written.
    #[must_use]
    pub fn at_most<D: Measures>(&self, quantity: Quantity<D>) -> String {
        figures::shown_on(Side::Under, quantity, self.units).first
    }

    /// A limit from below, in the plan's units: never less than what was written.
    #[must_use]
    pub fn at_least<D: Measures>(&self, quantity: Quantity<D>) -> String {
        figures::shown_on(Side::Over, quantity, self.units).first
    }

    /// A limit from above in both units, the converted one never more.
    #[must_use]
    pub fn both_at_most<D: Measures>(&self, quantity: Quantity<D>) -> String {
        figures::shown_on(Side::Under, quantity, self.units).both()
    }

    /// A limit from below in both units, the converted one never less.
    #[must_use]
    pub fn both_at_least<D: Measures>(&self, quantity: Quantity<D>) -> String {
        figures::shown_on(Side::Over, quantity, self.units).both()
    }

    /// First letter small, unless the text begins with the name of a person or a vehicle: "Odo parts the plug".
    #[must_use]
    pub fn inside(&self, text: &str) -> String {
        let first = first_word(text);
        let people = self.plan.people.values().map(|person| &person.head);
        let vehicles = self.plan.vehicles.values().filter(|vehicle| !vehicle.is_machine);
        let named = people
            .chain(vehicles.map(|vehicle| &vehicle.head))
            .any(|head| first_word(&super::words::capital(&head.called())) == first);
        if named && !first.is_empty() {
            text.to_owned()
        } else {
            inside(text)
        }
    }

    /// "the steel axle", as it stands inside a sentence. A vehicle keeps its name.
    #[must_use]
    pub fn the(&self, load: Load) -> String {
        match load {
            Load::Thing(thing) => format!("the {}", self.inside(&self.plan.called(thing))),
            Load::Vehicle(_) => format!("the {}", self.vehicle()),
        }
    }

    /// "the rack and the pump".
    #[must_use]
    pub fn the_loads(&self, loads: &[Said<Load>]) -> String {
        let named: Vec<String> = loads.iter().map(|load| self.the(load.value)).collect();
        and_list(&named)
    }

    #[must_use]
    pub fn the_things(&self, things: &[Said<Thing>]) -> String {
        let named: Vec<String> = things
            .iter()
            .map(|thing| self.the(Load::Thing(thing.value)))
            .collect();
        and_list(&named)
    }

    #[must_use]
    pub fn the_joint(&self, id: Id<Joint>) -> String {
        format!("the {}", self.inside(&self.plan.joints[id].head.called()))
    }

    #[must_use]
    pub fn the_rig(&self, id: Id<Rig>) -> String {
        format!("the {}", self.rig(id))
    }

    /// "lifting table": what a title says before its comma, where no other rig is called so.
    #[must_use]
    pub fn rig(&self, id: Id<Rig>) -> String {
        // A workshop's own gear that this job leaves alone confuses nobody.
        let known = self.plan.rigs.iter();
        let all = known
            .filter(|(other, _)| *other == id || !self.work.rigs.steps(*other).is_empty())
            .map(|(_, rig)| &rig.head);
        let name = short(&self.plan.rigs[id].head, all);
        let name = match name.split_once(", ") {
            Some((before, more)) => format!("{before} ({more})"),
            None => name,
        };
        self.inside(&name)
    }

    /// "safety chain" for "Safety chain, through the coils": what a title adds after a comma stands in Get ready, but for sizes.
    #[must_use]
    pub fn tool_at_hand(&self, id: Id<Tool>) -> String {
        let head = &self.plan.tools[id].head;
        let all = self.plan.tools.values().map(|tool| &tool.head);
        let whole = head.called();
        let short = short(head, all);
        let left = whole.strip_prefix(&short).unwrap_or_default();
        let sized = left.contains(|sign: char| sign.is_ascii_digit());
        // "6 mm" of "6 mm, through the coils" stays.
        let size = left.trim_start_matches(", ").split(", ").next().filter(|_| sized);
        let size = size.filter(|size| size.contains(|sign: char| sign.is_ascii_digit()));
        self.inside(&match size {
            Some(size) => format!("{short}, {size}"),
            None => short,
        })
    }

    /// "coolant" for "Coolant, mixed 1 to 1".
    #[must_use]
    pub fn fluid(&self, id: Id<Fluid>) -> String {
        let all = self.plan.fluids.values().map(|fluid| &fluid.head);
        inside(&short(&self.plan.fluids[id].head, all))
    }

    /// The vehicle's or machine's name, without what its title adds behind a comma.
    #[must_use]
    pub fn vehicle(&self) -> String {
        let all = || self.plan.vehicles.values().map(|vehicle| &vehicle.head);
        self.plan
            .vehicle()
            .map_or_else(String::new, |id| short(&self.plan.vehicles[id].head, all()))
    }

    /// As asked for, else as the plan says, else A4.
    #[must_use]
    pub fn paper(&self) -> PaperSize {
        let said = self.about().and_then(|about| about.paper);
        match self.wanted.paper.or_else(|| said.map(|said| said.value)) {
            Some(Paper::Letter) => PaperSize::Letter,
            Some(Paper::A4) | None => PaperSize::A4,
        }
    }

    /// What the plan is for is declared as a machine, not as a vehicle.
    #[must_use]
    pub fn is_machine(&self) -> bool {
        let vehicle = self.plan.vehicle();
        vehicle.is_some_and(|id| self.plan.vehicles[id].is_machine)
    }

    /// Whether a spring is let down or taken up in this step.
    #[must_use]
    pub fn meets_spring(&self, step: Id<Step>) -> bool {
        self.met.contains(&(step, Hazard::Spring))
    }

    /// What runs out at most where a step drains a fluid: what was found in it, unless it was filled before; else what it holds.
    #[must_use]
    pub fn runs_out(&self, fluid: Id<Fluid>, step: Id<Step>) -> Option<Volume> {
        let mut before = self.plan.order.iter().take_while(|&&other| other != step);
        let filled = before.any(|&other| {
            let mut acts = self.plan.steps[other].acts();
            acts.any(|act| match &act.does {
                Does::Fill { fluids, .. } => fluids.iter().any(|said| said.value == fluid),
                // Nothing else puts a fluid in.
                _ => false,
            })
        });
        if filled {
            self.plan.fluids[fluid].holds.map(|holds| holds.value)
        } else {
            account::runs_out(self.plan, fluid)
        }
    }

    /// What stands at each end, from where lengths are told: axles, and of a machine its feet.
    #[must_use]
    pub fn axles(&self) -> (&'static str, &'static str) {
        if self.is_machine() {
            ("front feet", "rear feet")
        } else {
            ("front axle", "rear axle")
        }
    }

    /// A person as named on paper: "Mo".
    #[must_use]
    pub fn person(&self, id: Id<Person>) -> String {
        let all = self.plan.people.values().map(|person| &person.head);
        super::words::capital(&short(&self.plan.people[id].head, all))
    }

    /// What work waits for: a person, a thing of the plan, or words.
    #[must_use]
    pub fn awaited(&self, waiting: &Waiting) -> String {
        let named = match waiting {
            Waiting::Words(words) => return words.to_string(),
            Waiting::Named(name) => &name.value,
        };
        let mut people = self.plan.people.iter();
        let person = people.find(|(_, person)| person.head.name == *named);
        match person {
            Some((id, _)) => self.person(id),
            None => {
                let title = self.plan.titled(named);
                self.inside(&title.unwrap_or_else(|| named.to_string()))
            }
        }
    }

    #[must_use]
    pub fn people(&self, ids: &[Said<Id<Person>>]) -> String {
        let named: Vec<String> = ids.iter().map(|said| self.person(said.value)).collect();
        and_list(&named)
    }

    /// Who does a step: who it names, else who leads the crew.
    #[must_use]
    pub fn who(&self, step: &Step) -> String {
        if !step.by.is_empty() {
            return self.people(&step.by);
        }
        self.about()
            .and_then(|about| about.crew.first())
            .map_or_else(String::new, |lead| self.person(lead.value))
    }

    /// "2.8".
    #[must_use]
    pub fn number(&self, step: Id<Step>) -> String {
        let kept = self.numbers.get(&step);
        kept.cloned().unwrap_or_else(|| self.plan.step_number(step))
    }

    /// The numbers of this print, for the next one; with them those of steps and joints that are gone.
    #[must_use]
    pub fn kept(&self) -> Kept {
        let mut kept = self.wanted.kept.clone();
        for (&step, number) in &self.numbers {
            kept.steps
                .insert(self.plan.steps[step].head.name.to_string(), number.clone());
        }
        for (joint, number) in self.bags.all() {
            kept.bags
                .insert(self.plan.joints[joint].head.name.to_string(), number);
        }
        kept
    }

    /// "2.5, 5.3", and "3.1 to 3.9" for three and more that follow one another in a stage.
    #[must_use]
    pub fn numbers(&self, steps: &[Id<Step>]) -> String {
        let mut runs: Vec<Vec<Id<Step>>> = Vec::new();
        for &step in steps {
            let follows = runs.last().and_then(|run| run.last()).is_some_and(|&last| {
                self.place(step) == self.place(last).saturating_add(1)
                    && self.plan.steps[step].stage == self.plan.steps[last].stage
            });
            match runs.last_mut() {
                Some(run) if follows => run.push(step),
                _ => runs.push(vec![step]),
            }
        }
        let words: Vec<String> = runs
            .iter()
            .flat_map(|run| match run.as_slice() {
                [first, _, .., last] => {
                    vec![format!("{} to {}", self.number(*first), self.number(*last))]
                }
                few => few.iter().map(|&step| self.number(step)).collect(),
            })
            .collect();
        words.join(", ")
    }

    /// A stage's number, from 1 in the order of work.
    #[must_use]
    pub fn stage_number(&self, stage: Id<Stage>) -> usize {
        self.plan
            .stage_order
            .iter()
            .position(|&other| other == stage)
            .map_or(0, |at| at + 1)
    }

    /// A job of an afternoon: its stages need no chart, and its few things no index.
    #[must_use]
    pub fn is_small(&self) -> bool {
        self.plan.order.len() <= SMALL_STEPS && self.stages().len() <= SMALL_STAGES
    }

    /// Place of a step in the order of work.
    #[must_use]
    pub fn place(&self, step: Id<Step>) -> usize {
        self.plan
            .order
            .iter()
            .position(|&other| other == step)
            .unwrap_or(usize::MAX)
    }

    /// Stages with their steps in the order of work; steps without a stage come as one group.
    #[must_use]
    pub fn stages(&self) -> Vec<StageGroup> {
        let mut groups: Vec<StageGroup> = Vec::new();
        for &step in &self.plan.order {
            let stage = self.plan.steps[step].stage;
            match groups.last_mut() {
                Some((last, steps)) if *last == stage => steps.push(step),
                _ => groups.push((stage, vec![step])),
            }
        }
        groups
    }

    /// "Stage 5 · Back together".
    #[must_use]
    pub fn stage_title(&self, stage: Option<Id<Stage>>) -> String {
        match stage {
            Some(id) => format!(
                "Stage {} · {}",
                self.stage_number(id),
                super::words::capital(&self.plan.stages[id].head.called())
            ),
            None => "The steps".to_owned(),
        }
    }

    /// Key of a step's card, to which index and recalls point.
    #[must_use]
    pub fn card_proof(&self, step: Id<Step>) -> Proof {
        format!("step/{}", self.step_key(step))
    }

    /// What the proof keys of a step begin with: its name, or where that is not its alone something that is. A plan with two steps of
    /// one name has a fault, and is printed all the same where that is asked for.
    #[must_use]
    pub fn step_key(&self, step: Id<Step>) -> &str {
        let name = &*self.plan.steps[step].head.name;
        self.step_keys.get(&step).map_or(name, String::as_str)
    }

    /// The same of a stage.
    #[must_use]
    pub fn stage_key(&self, stage: Id<Stage>) -> &str {
        let name = &*self.plan.stages[stage].head.name;
        self.stage_keys.get(&stage).map_or(name, String::as_str)
    }

    /// A caution as the panel prints it.
    #[must_use]
    pub fn message(&self, id: Id<Caution>, proof: Proof) -> Message {
        let caution = &self.plan.cautions[id];
        let mut hazard = sentence(&caution.head.called());
        if let Some(harm) = &caution.harm {
            hazard = format!("{hazard} {}", sentence(&harm.value));
        }
        Message {
            signal: signal(caution),
            hazard,
            avoid: caution.avoid.iter().map(|said| sentence(&said.value)).collect(),
            again: false,
            proof,
        }
    }

    /// A caution that stood in full before, in a line.
    #[must_use]
    pub fn message_again(&self, id: Id<Caution>, proof: Proof) -> Message {
        let caution = &self.plan.cautions[id];
        let orders = caution.in_short.as_ref().or(caution.avoid.first());
        Message {
            signal: signal(caution),
            hazard: super::words::capital(caution.head.called().trim().trim_end_matches('.')),
            avoid: orders
                .iter()
                .map(|said| sentence(&self.inside(&said.value)))
                .collect(),
            again: true,
            proof,
        }
    }

    /// Whether an act of the step meets one of the hazards that the caution is against.
    #[must_use]
    pub fn meets(&self, step: Id<Step>, caution: Id<Caution>) -> bool {
        let mut against = self.plan.cautions[caution].against.iter();
        against.any(|hazard| self.met.contains(&(step, hazard.value)))
    }

    /// Whether the caution tells of what can kill by this step's own acts: a live spring, a charge, a line under pressure, or a load that a
    /// rig takes over. Where a spring is let go or taken up, the rig takes the spring, and that is what is told.
    #[must_use]
    pub fn kills_here(&self, step: Id<Step>, caution: Id<Caution>) -> bool {
        let known = &self.plan.cautions[caution];
        if signal(known) > SignalWord::Warning {
            return false;
        }
        let is = |hazard: Hazard| {
            known.against.iter().any(|said| said.value == hazard) && self.met.contains(&(step, hazard))
        };
        let by_itself = [Hazard::Spring, Hazard::Pyrotechnic, Hazard::Pressure, Hazard::Gas];
        by_itself.into_iter().any(is)
            || (is(Hazard::SuspendedLoad) && !self.meets_spring(step) && self.rig_takes_over(step))
    }

    /// Whether a rig takes something up in this step, lets it down, or moves it.
    fn rig_takes_over(&self, step: Id<Step>) -> bool {
        let mut acts = self.plan.steps[step].acts();
        acts.any(|act| match &act.does {
            Does::Hold { by, .. } => matches!(by.value, Bearer::Rig(_)),
            Does::Raise { .. } | Does::Lower { .. } | Does::Draw { .. } => true,
            // No rig has more or less to bear by it.
            _ => false,
        })
    }
}

/// The word of a caution's panel; one that says none is taken as WARNING.
#[must_use]
pub fn signal(caution: &Caution) -> SignalWord {
    match caution.signal.map(|said| said.value) {
        Some(Signal::Danger) => SignalWord::Danger,
        Some(Signal::Caution) => SignalWord::Caution,
        Some(Signal::Notice) => SignalWord::Notice,
        Some(Signal::Warning) | None => SignalWord::Warning,
    }
}

/// The first word, without what hangs on a name: "Odo" of "Odo’s gauges".
fn first_word(text: &str) -> &str {
    text.split(|sign: char| !sign.is_alphanumeric())
        .next()
        .unwrap_or("")
}

/// A title up to its comma, unless another of its kind would be called the same: "Drain tray, large" stays.
fn short<'h>(head: &Head, all: impl Iterator<Item = &'h Head>) -> String {
    let whole = head.called();
    let Some((before, _)) = whole.split_once(", ") else {
        return whole;
    };
    let alike = all
        .filter(|other| other.called().split(", ").next() == Some(before))
        .count();
    if alike > 1 { whole } else { before.to_owned() }
}

/// Notes of a block as prose, in order.
#[must_use]
pub fn prose(notes: &[Note]) -> Vec<super::document::Prose> {
    notes
        .iter()
        .flat_map(|note| crate::plan::prose::read(&note.text))
        .collect()
}
