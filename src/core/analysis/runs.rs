//! The work that is left as runs: steps that have to be done on one day, since between them the machine cannot be left. What is done at the bench is a
//! run of its own where nothing ties it to the others. A step is cut where it waits. Knows no days and no wording.

#![allow(
    clippy::indexing_slicing,
    reason = "steps are named by their places, and lists are as long as there are steps"
)]

use std::collections::{BTreeMap, BTreeSet};

use super::pace::Paces;
use super::timing::{self, Ordered};
use super::work_days::Wanted;
use crate::base::date::Date;
use crate::plan::mentions;
use crate::plan::model::{Does, Id, Load, Need, Part, Plan, Step};
use crate::reckon::durations::Estimate;
use crate::reckon::laying::{Behind, Piece};
use crate::reckon::laying_days::{self, DAY, GRAIN};
use crate::walk::Walk;

/// How the machine may be left after a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Leaves {
    /// `safe to leave overnight`: to the next day of work, a week at most.
    Overnight,
    /// `safe to leave`: as long as one likes.
    Weeks,
}

/// A step, or what of it lies between two waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bit {
    /// The step in the plan.
    pub step: Id<Step>,
    /// Which of its bits.
    pub nth: usize,
}

/// What is done in one go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// In the order of work.
    pub bits: Vec<Bit>,
    /// Something of it is done at the vehicle.
    pub at_vehicle: bool,
}

/// Something that arrives, and the steps that need it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Arrival {
    /// A part, tool, rig or consumable.
    pub what: super::today::Gear,
    /// The first day on which it is there.
    pub on: Date,
    /// The first step that needs it.
    pub step: Id<Step>,
}

/// The work that is left.
#[derive(Debug, Clone, Default)]
pub struct Runs {
    /// In the order of work.
    pub runs: Vec<Run>,
    /// What the search lays: one a run.
    pub pieces: Vec<Piece>,
    /// The parts of each run, as the days take them.
    pub parts: Vec<Vec<laying_days::Part>>,
    /// Whom and what the needs of the parts mean: need n is the one before place n, for need 0 is the shop.
    pub wanted: Vec<Wanted>,
    /// Runs at the vehicle between which it stands as one may leave it for a week only.
    pub overnight: Vec<(usize, usize)>,
    /// Once for each step that needs one, in the order of work.
    pub arrivals: Vec<Arrival>,
}

/// In one step of the order of work.
struct Cut {
    step: Id<Step>,
    /// For each bit its minutes, and how long nobody goes on after it.
    bits: Vec<(u32, u32)>,
}

/// How long steps take, as whoever lays them out wants to know it.
pub type Takes<'a> = &'a dyn Fn(Id<Step>) -> Option<f64>;

/// The likely times, at the pace of what is logged.
pub fn likely(plan: &Plan) -> impl Fn(Id<Step>) -> Option<f64> {
    let paces = Paces::of(plan);
    move |step| {
        let likely = timing::takes(plan, step).map(Estimate::likely)?;
        Some(match paces.logged {
            0 => likely,
            _ => likely * paces.factor(plan, step),
        })
    }
}

/// Cuts the work into runs; `nought` is the day from which minutes count.
#[must_use]
pub fn runs(plan: &Plan, walk: &Walk, takes: Takes<'_>, nought: Date) -> Runs {
    let ordered = timing::to_lay_out(plan, walk);
    let is_over =
        |step: &Id<Step>| plan.progress.done.contains_key(step) || plan.progress.skipped.contains_key(step);
    let left: Vec<usize> = (0..plan.order.len())
        .filter(|&at| !is_over(&plan.order[at]))
        .collect();
    let cuts: BTreeMap<usize, Cut> = left
        .iter()
        .map(|&at| (at, cut(plan, plan.order[at], takes)))
        .collect();
    // Stretches between two places to stop, and which belong together within each.
    let mut stretch = 0;
    let mut stretch_of: BTreeMap<usize, usize> = BTreeMap::new();
    let mut leaves: Vec<Leaves> = Vec::new();
    for &at in &left {
        stretch_of.insert(at, stretch);
        let step = &plan.steps[plan.order[at]];
        let said = match (step.safe_to_leave, step.safe_overnight) {
            (Some(_), _) => Some(Leaves::Weeks),
            (None, Some(_)) => Some(Leaves::Overnight),
            (None, None) => None,
        };
        if let Some(said) = said {
            leaves.push(said);
            stretch += 1;
        }
    }
    leaves.push(Leaves::Weeks);
    let mut root: BTreeMap<usize, usize> = left.iter().map(|&at| (at, at)).collect();
    for &at in &left {
        for &before in ordered[at]
            .behind
            .iter()
            .filter(|before| stretch_of.get(before) == stretch_of.get(&at))
        {
            let (one, other) = (top(&root, before), top(&root, at));
            root.insert(one.max(other), one.min(other));
        }
    }
    let mut runs = Runs::default();
    let mut run_of: BTreeMap<usize, usize> = BTreeMap::new();
    for &at in &left {
        let head = top(&root, at);
        let run = match run_of.get(&head) {
            Some(&run) => run,
            None => {
                runs.runs.push(Run {
                    bits: Vec::new(),
                    at_vehicle: false,
                });
                runs.pieces.push(Piece::default());
                runs.parts.push(Vec::new());
                runs.runs.len() - 1
            }
        };
        run_of.insert(at, run);
    }
    let mut wanted: BTreeMap<Wanted, usize> = BTreeMap::new();
    // For each step its last bit within its run, and how long is waited after it.
    let mut last: BTreeMap<usize, (usize, u32)> = BTreeMap::new();
    for &at in &left {
        let (own, run) = (&ordered[at], run_of[&at]);
        let cut = &cuts[&at];
        let arrivals = arrivals(plan, cut.step);
        let not_before = arrivals
            .iter()
            .map(|arrival| arrival.on.nth().saturating_sub(nought.nth()) * DAY);
        let not_before = not_before.max().unwrap_or(0);
        runs.arrivals.extend(arrivals);
        let needs: Vec<usize> = wants(own)
            .map(|one| {
                let next = wanted.len() + 1;
                *wanted.entry(one).or_insert(next)
            })
            .collect();
        let mut within: Vec<(usize, u32)> = Vec::new();
        for &before in own.behind.iter().filter(|before| run_of.contains_key(before)) {
            let (bit, wait) = last[&before];
            match run_of[&before] {
                same if same == run => within.push((bit, wait)),
                other => behind(&mut runs.pieces[run], other, wait),
            }
        }
        runs.runs[run].at_vehicle |= own.at_vehicle;
        for (nth, &(minutes, wait)) in cut.bits.iter().enumerate() {
            runs.runs[run].bits.push(Bit { step: cut.step, nth });
            runs.parts[run].push(laying_days::Part {
                minutes,
                // While time passes nobody is needed.
                needs: if minutes > 0 || cut.bits.len() == 1 {
                    needs.clone()
                } else {
                    Vec::new()
                },
                behind: std::mem::take(&mut within),
                not_before,
            });
            let place = runs.parts[run].len() - 1;
            within.push((place, wait));
            last.insert(at, (place, wait));
        }
    }
    let mut names: Vec<(usize, Wanted)> = wanted.into_iter().map(|(one, nth)| (nth, one)).collect();
    names.sort_unstable();
    runs.wanted = names.into_iter().map(|(_, one)| one).collect();
    // Between two runs at the vehicle any place to stop will do that allows weeks.
    let mut at_vehicle: Option<(usize, usize)> = None;
    for &at in left.iter().filter(|&&at| ordered[at].at_vehicle) {
        let (run, stretch) = (run_of[&at], stretch_of[&at]);
        if let Some((before, from)) = at_vehicle
            && before != run
            && (from..stretch).all(|stretch| leaves[stretch] == Leaves::Overnight)
        {
            runs.overnight.push((before, run));
        }
        at_vehicle = Some((run, stretch));
    }
    runs.overnight.dedup();
    runs
}

fn top(root: &BTreeMap<usize, usize>, mut at: usize) -> usize {
    while let Some(&up) = root.get(&at).filter(|up| **up != at) {
        at = up;
    }
    at
}

fn behind(piece: &mut Piece, run: usize, wait: u32) {
    match piece.behind.iter_mut().find(|behind| behind.piece == run) {
        Some(known) => known.wait = known.wait.max(wait),
        None => piece.behind.push(Behind { piece: run, wait }),
    }
}

fn wants(own: &Ordered) -> impl Iterator<Item = Wanted> {
    let people = own.people.iter().map(|&id| Wanted::Person(id));
    let rigs = own.rigs.iter().map(|&id| Wanted::Rig(id));
    let tools = own.tools.iter().map(|&id| Wanted::Tool(id));
    let scales = own.scales.iter().map(|&id| Wanted::Scale(id));
    people.chain(rigs).chain(tools).chain(scales)
}

/// How long an act waits, in minutes; none for one that works.
fn waits(plan: &Plan, does: &Does) -> Option<f64> {
    match does {
        Does::WaitFor { time, .. } => Some(time.value.base()),
        Does::Wait(joints) => {
            let sets = joints.iter().map(|joint| plan.joints[joint.value].sets_in);
            Some(sets.flatten().map(|said| said.value.base()).fold(0.0, f64::max))
        }
        // Everything else is done by somebody.
        _ => None,
    }
}

/// A step in bits, each as long as its share of the acts; of one that was stopped, what is left.
fn cut(plan: &Plan, step: Id<Step>, takes: Takes<'_>) -> Cut {
    let acts: Vec<&Does> = plan.steps[step].acts().map(|act| &act.does).collect();
    let done = plan
        .progress
        .halt
        .filter(|halt| halt.step == step)
        .map_or(0, |halt| halt.acts);
    let mut stretches: Vec<(usize, f64)> = vec![(0, 0.0)];
    let mut works = 0;
    for (nth, does) in acts.iter().enumerate() {
        match waits(plan, does) {
            None => {
                works += 1;
                if nth >= done
                    && let Some(last) = stretches.last_mut()
                {
                    last.0 += 1;
                }
            }
            Some(wait) if nth >= done => {
                if let Some(last) = stretches.last_mut() {
                    last.1 = wait;
                }
                stretches.push((0, 0.0));
            }
            Some(_) => {}
        }
    }
    if stretches.len() > 1 && stretches.last() == Some(&(0, 0.0)) {
        stretches.pop();
    }
    let whole = takes(step).unwrap_or(0.0);
    let bits = stretches.into_iter().map(|(own, wait)| {
        #[expect(clippy::cast_precision_loss, reason = "a step has few acts")]
        let share = match works {
            0 => 1.0,
            works => own as f64 / works as f64,
        };
        (grains(whole * share), upwards(wait))
    });
    Cut {
        step,
        bits: bits.collect(),
    }
}

/// To the nearest of the grain, and never to nothing.
fn grains(minutes: f64) -> u32 {
    if minutes <= 0.0 {
        return 0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "rounded, and no step takes a thousand years"
    )]
    let grains = (minutes / f64::from(GRAIN)).round() as u32;
    grains.max(1) * GRAIN
}

/// What sets is never cut short.
fn upwards(minutes: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "rounded, and nothing sets for a thousand years"
    )]
    let grains = (minutes.max(0.0) / f64::from(GRAIN)).ceil() as u32;
    grains * GRAIN
}

/// What a step needs that comes on a day.
fn arrivals(plan: &Plan, step: Id<Step>) -> Vec<Arrival> {
    use super::today::Gear;
    let mut all = Vec::new();
    let mut see = |what: Gear, on: Option<Date>| all.extend(on.map(|on| Arrival { what, on, step }));
    let own = &plan.steps[step];
    let mut parts: BTreeSet<Id<Part>> = BTreeSet::new();
    let mut rigs = BTreeSet::new();
    let mut tools = BTreeSet::new();
    for act in own.acts() {
        let named = mentions::of(&act.does);
        for load in named.loads {
            if let Load::Thing(thing) = load {
                parts.extend(plan.parts_of(thing));
            }
        }
        for joint in named.joints {
            let ends = plan.joints[joint].ends.iter().flatten();
            parts.extend(ends.flat_map(|end| plan.parts_of(end.value)));
        }
        rigs.extend(named.rigs);
        tools.extend(named.tools);
    }
    for need in &own.needs {
        match need.value {
            Need::Tool(tool) => drop(tools.insert(tool)),
            Need::Rig(rig) => drop(rigs.insert(rig)),
            Need::Consumable(used) => {
                let on = plan.consumables[used].supply.arrives;
                see(Gear::Consumable(used), on.map(|said| said.value));
            }
        }
    }
    for part in parts {
        see(Gear::Part(part), plan.parts[part].arrives.map(|said| said.value));
    }
    for rig in rigs {
        see(
            Gear::Rig(rig),
            plan.rigs[rig].supply.arrives.map(|said| said.value),
        );
    }
    for tool in tools {
        see(
            Gear::Tool(tool),
            plan.tools[tool].supply.arrives.map(|said| said.value),
        );
    }
    all
}
