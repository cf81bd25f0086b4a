//! The page that `today` prints: what was done, which steps fit into the hours, with whom, the last place to stop, what to lay out, what cannot
//! go on, and what is left. Plain lines; knows no terminal.

use std::collections::BTreeSet;

use super::binding::Binding;
use super::document::text_of;
use super::figures::{duration, long_duration, long_range};
use super::masses::{self, ShownMass};
use super::step_title::step_title;
use super::words::{and_list, capital, counted};
use super::{Wanted, at_hand};
use crate::analysis::account;
use crate::analysis::pace::Paces;
use crate::analysis::today::{self, Gear, There, Today, Why};
use crate::base::date::Date;
use crate::base::finding::Severity;
use crate::compile::Compilation;
use crate::plan::model::{Halt, Id, Joint, Part, Step, Target};
use crate::plan::vocabulary::acts::OnJoints;
use crate::reckon::durations::Estimate;
use crate::reckon::pace::Job;

/// What is asked.
#[derive(Debug, Clone)]
pub struct Asked {
    /// In minutes; none where nobody said.
    pub hours: Option<f64>,
    /// Who comes, and what is missing.
    pub there: There,
    /// The day that is asked for.
    pub on: Date,
    /// How far the step came at which the work stands, where it stands within one.
    pub halt: Option<Halt>,
}

/// A line: how far it stands in, and what it says. What goes on in a next line stands two further in.
pub type PageLine = (usize, String);

/// Steps that are shown where no hours end them.
const MOST: usize = 12;

/// Work that cannot go on is told by so many of its steps.
const MOST_STAY: usize = 8;

/// The chances between which the hours that are left are given: four jobs of five.
const CHANCES: (f64, f64) = (0.1, 0.9);

/// The page as lines: what can be done in the hours, in the order of work.
#[must_use]
pub fn lines(compilation: &Compilation, wanted: &Wanted, asked: &Asked) -> Vec<PageLine> {
    let binding = Binding::new(compilation, wanted);
    let plan = binding.plan;
    let faulty: BTreeSet<Id<Step>> = faulty(compilation);
    let today = today::today(plan, &compilation.walk, &asked.there, &faulty);
    let mut page = Page {
        binding: &binding,
        paces: Paces::of(plan),
        asked,
        lines: Vec::new(),
    };
    page.head(&today);
    if plan.order.is_empty() {
        return page.lines;
    }
    let fit = page.steps(&today);
    page.lay_out(&fit);
    page.stays(&today);
    page.left(&today);
    page.lines
}

/// Steps within whose text a fault stands.
fn faulty(compilation: &Compilation) -> BTreeSet<Id<Step>> {
    let faults = compilation
        .findings
        .iter()
        .filter(|finding| finding.severity == Severity::Fault);
    faults
        .filter_map(|finding| {
            let at = finding.place()?;
            let mut steps = compilation.plan.steps.iter();
            let found = steps.find(|(_, step)| {
                let block = step.head.block;
                // A derived step stands in the block of the one that it undoes.
                step.derived.is_none()
                    && block.source == at.source
                    && (block.start..block.end).contains(&at.start)
            });
            found.map(|(id, _)| id)
        })
        .collect()
}

struct Page<'b, 'a> {
    binding: &'b Binding<'a>,
    paces: Paces,
    asked: &'b Asked,
    lines: Vec<PageLine>,
}

impl Page<'_, '_> {
    fn line(&mut self, indent: usize, text: impl Into<String>) {
        self.lines.push((indent, text.into()));
    }

    fn heading(&mut self, text: &str) {
        self.line(0, "");
        self.line(0, text);
    }

    /// "3.20 drop, Lower the axle".
    fn step(&self, id: Id<Step>) -> String {
        let step = &self.binding.plan.steps[id];
        let title = step_title(self.binding, step);
        format!("{} {}, {title}", self.binding.number(id), step.head.name)
    }

    /// As the plan says.
    fn planned(&self, step: Id<Step>) -> Option<Estimate> {
        today::takes_now(self.binding.plan, step, self.asked.halt)
    }

    /// At the pace of what is logged.
    fn takes(&self, step: Id<Step>) -> Option<Estimate> {
        let planned = self.planned(step)?;
        if self.paces.logged == 0 {
            return Some(planned);
        }
        let factor = self.paces.factor(self.binding.plan, step);
        Estimate::new(
            planned.best() * factor,
            planned.likely() * factor,
            planned.worst() * factor,
        )
        .ok()
    }

    fn head(&mut self, today: &Today) {
        let plan = self.binding.plan;
        let people: Vec<String> = plan
            .people
            .ids()
            .filter(|person| self.asked.there.people.contains(person))
            .map(|person| self.binding.person(person))
            .collect();
        let hours = self
            .asked
            .hours
            .map_or_else(String::new, |minutes| format!(", {}", duration(minutes)));
        let who = if people.is_empty() {
            String::new()
        } else {
            format!(", {}", and_list(&people))
        };
        self.line(0, format!("{}: {}{who}{hours}", plan.title(), self.asked.on));
        let all = plan.order.len();
        if all == 0 {
            self.line(0, "The plan has no steps.");
            return;
        }
        let mut done = format!("{} of {} done", today.over, counted(all, "step", "steps"));
        if let Some(last) = plan.progress.last {
            let day = plan.progress.done.get(&last);
            let day = day.map_or_else(String::new, |day| format!(", on {day}"));
            done.push_str(&format!("; the last is {}{day}", self.step(last)));
        }
        self.line(0, format!("{done}."));
        if let Some(halt) = self.asked.halt {
            let words = crate::plan::halts::words(plan, halt);
            let words = words.unwrap_or_else(|| format!("{} of its acts", halt.acts));
            self.line(
                0,
                format!("Stopped within {}, after: {words}.", self.step(halt.step)),
            );
        }
    }

    /// The steps that fit, one after the other; which these are.
    fn steps(&mut self, today: &Today) -> Vec<Id<Step>> {
        let plan = self.binding.plan;
        let stop = |step: Id<Step>| plan.steps[step].may_stop().is_some();
        if today.go.is_empty() {
            self.heading(if today.stay.is_empty() {
                "The work is done."
            } else {
                "Nothing can go on with those who are there."
            });
            return Vec::new();
        }
        let mut fit: Vec<Id<Step>> = Vec::new();
        let mut sums = (0.0, 0.0);
        let mut rows: Vec<String> = Vec::new();
        let mut surely: Option<(Id<Step>, f64)> = None;
        let mut first_stop: Option<(Id<Step>, f64, f64)> = None;
        let mut unsaid = false;
        let mut next: Option<Id<Step>> = None;
        for &step in &today.go {
            let takes = self.takes(step);
            let (likely, worst) = takes.map_or((0.0, 0.0), |takes| (takes.likely(), takes.worst()));
            let too_long = self.asked.hours.is_some_and(|hours| sums.0 + likely > hours);
            let enough = self.asked.hours.is_none() && fit.len() >= MOST;
            if too_long || enough {
                next = Some(step);
                break;
            }
            sums = (sums.0 + likely, sums.1 + worst);
            unsaid |= takes.is_none();
            fit.push(step);
            rows.push(self.row(step, takes, sums.0));
            if stop(step) {
                let (likely, worst) = sums;
                if !unsaid && self.asked.hours.is_some_and(|hours| worst <= hours) {
                    surely = Some((step, worst));
                }
                if first_stop.is_none() {
                    first_stop = Some((step, likely, worst));
                }
                if self.asked.hours.is_none() {
                    break;
                }
            }
        }
        if self.asked.hours.is_none() {
            self.heading("Next, to the first place to stop; for how many hours is not said: --hours 4");
        } else if fit.is_empty() {
            self.heading("No step fits into these hours");
        } else {
            self.heading("Next, in these hours");
        }
        for row in rows {
            self.line(2, row);
        }
        if self.paces.logged > 0 {
            let share = (self.paces.common.factor() - 1.0) * 100.0;
            let slower = if share >= 0.0 { "more" } else { "less" };
            self.line(
                2,
                format!(
                    "Times are at the pace of what is logged: {:.0} % {slower} than planned",
                    share.abs()
                ),
            );
        }
        if let Some(next) = next.filter(|_| self.asked.hours.is_some()) {
            let takes = self.takes(next).map_or_else(String::new, |takes| {
                format!(", likely {}", duration(takes.likely()))
            });
            self.line(2, format!("then {}{takes}: no longer fits", self.step(next)));
        }
        let ends = fit.len() == today.go.len() && today.stay.is_empty();
        if ends {
            let worst = if sums.1 > sums.0 {
                format!(", at worst {}", duration(sums.1))
            } else {
                String::new()
            };
            let text = format!("The work is done then: likely after {}{worst}.", duration(sums.0));
            self.line(0, text);
        }
        // Where even the worst times fit, no place on the way is asked for.
        if !ends || self.asked.hours.is_some_and(|hours| sums.1 > hours) {
            self.places_to_stop(today, &fit, surely, first_stop);
        }
        fit
    }

    /// "3.4 belt-off, Belt off, by Ada: 20 min, at worst 45 min; likely done after 1 h 10 min".
    fn row(&self, step: Id<Step>, takes: Option<Estimate>, sum: f64) -> String {
        let known = &self.binding.plan.steps[step];
        let rest = self.asked.halt.filter(|halt| halt.step == step);
        let rest = if rest.is_some() { "the rest of " } else { "" };
        let by = if known.by.is_empty() {
            String::new()
        } else {
            format!(", by {}", self.binding.people(&known.by))
        };
        let time = match takes {
            None => "its time is not said".to_owned(),
            Some(takes) if takes.worst() > takes.likely() => format!(
                "{}, at worst {}",
                duration(takes.likely()),
                duration(takes.worst())
            ),
            Some(takes) => duration(takes.likely()),
        };
        let stop = if known.may_stop().is_some() {
            "; a place to stop"
        } else {
            ""
        };
        format!(
            "{rest}{}{by}: {time}; likely done after {}{stop}",
            self.step(step),
            duration(sum)
        )
    }

    fn places_to_stop(
        &mut self,
        today: &Today,
        fit: &[Id<Step>],
        surely: Option<(Id<Step>, f64)>,
        first: Option<(Id<Step>, f64, f64)>,
    ) {
        let plan = self.binding.plan;
        if self.asked.hours.is_some()
            && let Some((step, worst)) = surely
        {
            let text = format!(
                "Surely reached: {}, at worst after {}.",
                self.step(step),
                duration(worst)
            );
            self.line(0, text);
            return;
        }
        if let Some((step, likely, worst)) = first {
            let lead = if self.asked.hours.is_some() {
                "No place to stop is surely reached; the first is"
            } else {
                "The first place to stop is"
            };
            let worst = if worst > likely {
                format!(", at worst {}", duration(worst))
            } else {
                String::new()
            };
            self.line(
                0,
                format!(
                    "{lead} {}: likely after {}{worst}.",
                    self.step(step),
                    duration(likely)
                ),
            );
            return;
        }
        let later = today.go.iter().skip(fit.len());
        let mut later = later.filter(|&&step| plan.steps[step].may_stop().is_some());
        let text = match later.next() {
            Some(&step) => format!(
                "No place to stop is reached; the first is {}. Stop where you stand only if `state` says that it may be left.",
                self.step(step)
            ),
            None => {
                let is_stop = |step: &Id<Step>| plan.steps[*step].may_stop().is_some();
                let mut stuck = today.stay.iter().map(|(step, _)| *step).filter(is_stop);
                match stuck.next() {
                    Some(step) => format!(
                        "No place to stop is reached: the next one, {}, cannot go on. Stop where you stand only if `state` says that it may be left.",
                        self.step(step)
                    ),
                    None => {
                        "The plan calls no later step a place to stop. `state` says what may not be left."
                            .to_owned()
                    }
                }
            }
        };
        self.line(0, text);
    }

    /// Rigs, tools, sizes, what is used and what is new; bags that are filled and opened.
    fn lay_out(&mut self, steps: &[Id<Step>]) {
        if steps.is_empty() {
            return;
        }
        let facts: Vec<String> = at_hand::facts(self.binding, steps)
            .iter()
            .map(|fact| text_of(fact))
            .collect();
        let (filled, opened) = self.bags(steps);
        if facts.is_empty() && filled.is_empty() && opened.is_empty() {
            return;
        }
        self.heading("Lay out");
        if !facts.is_empty() {
            self.line(2, capital(&facts.join("; ")));
        }
        for (lead, bags) in [("Bags to fill", filled), ("Bags to open", opened)] {
            if !bags.is_empty() {
                let numbers: Vec<String> = bags.iter().map(ToString::to_string).collect();
                self.line(2, format!("{lead}: {}", numbers.join(", ")));
            }
        }
    }

    fn bags(&self, steps: &[Id<Step>]) -> (BTreeSet<usize>, BTreeSet<usize>) {
        let (mut filled, mut opened) = (BTreeSet::new(), BTreeSet::new());
        let bag = |joint: Id<Joint>| self.binding.bags.number(joint);
        for act in steps
            .iter()
            .flat_map(|&step| self.binding.plan.steps[step].acts())
        {
            for (joint, _) in act.does.joints() {
                if act.does.on_joints() == OnJoints::PartsThem {
                    filled.extend(bag(joint));
                }
                if self.binding.work.puts_back(joint, &act.does) {
                    // Its own, or that of the joint whose fixings it takes.
                    let old = self.binding.plan.joints[joint].in_place_of.map(|said| said.value);
                    let heir = old.filter(|&old| self.binding.bags.heir(old) == Some(joint));
                    opened.extend(bag(joint).or_else(|| heir.and_then(bag)));
                }
            }
        }
        (filled, opened)
    }

    fn stays(&mut self, today: &Today) {
        let own: Vec<(Id<Step>, Vec<Why>)> = today
            .stay
            .iter()
            .filter(|(_, why)| !matches!(why.first(), Some(Why::Behind(_))))
            .cloned()
            .collect();
        if own.is_empty() {
            return;
        }
        self.heading("Cannot go on");
        for (step, why) in own.iter().take(MOST_STAY) {
            let behind = today
                .stay
                .iter()
                .filter(|(_, why)| why.contains(&Why::Behind(*step)))
                .count();
            let behind = match behind {
                0 => String::new(),
                count => format!("; {} after it", counted(count, "step", "steps")),
            };
            let reasons: Vec<String> = why.iter().map(|why| self.why(*step, *why)).collect();
            self.line(2, format!("{}: {}{behind}", self.step(*step), reasons.join("; ")));
        }
        let more = own.len().saturating_sub(MOST_STAY);
        if more > 0 {
            self.line(2, format!("and {}", counted(more, "step more", "steps more")));
        }
    }

    fn why(&self, step: Id<Step>, why: Why) -> String {
        let plan = self.binding.plan;
        match why {
            Why::Person(person) => format!("waits for {}", self.binding.person(person)),
            Why::Without(gear) => format!("needs {}, which is not there", self.gear(gear)),
            Why::Arrives(gear, on) => format!("waits for {}, which comes on {on}", self.gear(gear)),
            Why::Hired(gear, from, to) if from == to => {
                format!("needs {}, which is hired for {from}", self.gear(gear))
            }
            Why::Hired(gear, from, to) => {
                format!("needs {}, which is hired from {from} to {to}", self.gear(gear))
            }
            Why::Waiting(log) => {
                let stopped = plan.logs.get(log).and_then(|log| log.stopped.as_ref());
                stopped.map_or_else(String::new, |said| {
                    let what = said
                        .value
                        .waiting_for
                        .as_ref()
                        .map(|waiting| self.binding.awaited(waiting));
                    format!(
                        "waits for {}, by the log of {}",
                        what.unwrap_or_default(),
                        said.value.on.value
                    )
                })
            }
            Why::Fault => {
                let block = plan.steps[step].head.block;
                let mut faults = self.binding.compilation.findings.iter();
                let fault = faults.find(|finding| {
                    finding.severity == Severity::Fault
                        && finding.place().is_some_and(|at| {
                            at.source == block.source && (block.start..block.end).contains(&at.start)
                        })
                });
                fault.map_or_else(
                    || "a fault stands in it".to_owned(),
                    |finding| format!("a fault stands in it, {}: {}", finding.rule.name, finding.what),
                )
            }
            Why::Behind(other) => format!("comes after {}", self.step(other)),
        }
    }

    fn gear(&self, gear: Gear) -> String {
        let plan = self.binding.plan;
        let called = match gear {
            Gear::Person(id) => return self.binding.person(id),
            Gear::Rig(id) => plan.rigs[id].head.called(),
            Gear::Tool(id) => plan.tools[id].head.called(),
            Gear::Scale(id) => plan.scales[id].head.called(),
            Gear::Consumable(id) => plan.consumables[id].head.called(),
            Gear::Part(id) => plan.parts[id].head.called(),
        };
        self.binding.inside(&called)
    }

    /// Hours and kilograms.
    fn left(&mut self, today: &Today) {
        let plan = self.binding.plan;
        let open: Vec<Id<Step>> = plan
            .order
            .iter()
            .copied()
            .filter(|step| today.go.contains(step) || today.stay.iter().any(|(other, _)| other == step))
            .collect();
        if open.is_empty() {
            return;
        }
        self.heading("Left");
        let pieces: Vec<Estimate> = open.iter().filter_map(|&step| self.planned(step)).collect();
        let unsaid = open.len() - pieces.len();
        let paces = &self.paces;
        let job = Job::of(&pieces, paces.common);
        let range = job.and_then(|job| job.time_for(CHANCES.0).ok().zip(job.time_for(CHANCES.1).ok()));
        let mut text = counted(open.len(), "step", "steps");
        if !pieces.is_empty() {
            let middle = job.map_or(0.0, Job::middle);
            text.push_str(&format!(", {} of work", long_duration(middle)));
            if let Some((from, to)) = range.filter(|(from, to)| long_duration(*from) != long_duration(*to)) {
                text.push_str(&format!(
                    " ({}, four jobs of five)",
                    long_range(from.max(0.0), to)
                ));
            }
        }
        if unsaid > 0 {
            let say = if unsaid == 1 { "says" } else { "say" };
            text.push_str(&format!("; {} {say} no time", counted(unsaid, "step", "steps")));
        }
        self.line(2, text);
        self.masses_left();
    }

    fn masses_left(&mut self) {
        let (plan, walk) = (self.binding.plan, &self.binding.compilation.walk);
        let found = walk.before(plan);
        let now = match (self.asked.halt, plan.progress.last) {
            (Some(halt), _) => walk.midst(plan, halt),
            (None, Some(step)) => walk.after(plan, step),
            (None, None) => Some(found.clone()),
        };
        let Some(now) = now else { return };
        let end = account::now(plan, walk, None);
        let lists = today::to_move(plan, &found, &now, &end);
        let words = ["still to come off", "to go back", "new, to go on"];
        let told: Vec<String> = lists
            .iter()
            .zip(words)
            .filter(|(parts, _)| !parts.is_empty())
            .map(|(parts, words)| format!("{} {words}", self.mass_of(parts)))
            .collect();
        if !told.is_empty() {
            self.line(2, told.join("; "));
        }
        let aim = self.binding.compilation.account().aim(plan);
        let target = plan.about.as_ref().and_then(|about| about.target);
        if let (Some(aim), Some(target)) = (aim, target) {
            let saved = masses::with_give(self.binding, ShownMass::reckoned(self.binding, &aim.saved));
            let of = match target.value {
                Target::Save(mass) => format!("{} to be saved", self.binding.one(mass)),
                Target::Reach(mass) => format!("what {} wants", self.binding.one(mass)),
            };
            self.line(2, format!("saved at the end: {saved} of {of}"));
        }
    }

    fn mass_of(&self, parts: &[Id<Part>]) -> String {
        let total = self.binding.weights.sum(parts);
        let known = masses::with_give(self.binding, ShownMass::reckoned(self.binding, &total.known));
        match total.unknown {
            0 => known,
            unknown if unknown >= parts.len() => "an unknown mass".to_owned(),
            unknown => format!(
                "{known} and {}",
                counted(unknown, "part of unknown mass", "parts of unknown mass")
            ),
        }
    }
}
