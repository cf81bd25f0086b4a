//! Which swaps: the best sets by money and time, each of them compiled without the others before it is shown. One that is not clean is
//! named with what stops it, and the next best takes its place. Reckons by `reckon/choosing.rs`; words nothing.

use std::collections::{BTreeMap, BTreeSet};

use crate::analysis::balance::Balance;
use crate::analysis::today;
use crate::analysis::worth::{self, Axis, Choices};
use crate::base::finding::{Finding, Severity};
use crate::compile::{self, Compilation};
use crate::plan::model::{Id, Swap};
use crate::reckon::choosing::{Chosen, Found, Set, Unsearchable, Within};
use crate::reckon::mass::MassEstimate;

/// Findings on what the plan comes to, and not on whether the work can be done: these no set is stopped by.
const AIMS: &[&str] = &[
    "target-missed",
    "target-already-met",
    "under-class-minimum",
    "target-under-minimum",
    "split-missed",
    "still-estimated",
    "over-budget",
    "ends-late",
    "arrives-late",
    "stands-too-long",
    "optional-and-begun",
];

/// So many sets are tried in place of one that is not clean.
const TRIALS: usize = 24;
/// So many points of what money buys are shown: more is no help on paper.
const POINTS: usize = 12;
/// So many weekends stand side by side.
const WEEKENDS: usize = 4;

/// What somebody has.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Purse {
    /// Still to be spent at most, in cents; else what the budget leaves.
    pub cents: Option<i64>,
    /// Minutes for the whole job; else what the calendar leaves.
    pub minutes: Option<i64>,
}

/// What a walked set comes to, the rest of the job included.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// In kg, the whole job; none where a mass is unknown.
    pub saved: Option<MassEstimate>,
    /// That the target is met.
    pub chance: Option<f64>,
    /// How far the end is above the class minimum, in kg.
    pub over_minimum: Option<f64>,
    /// The share of the front axle at the end, and what covers about 95 % of it.
    pub front: Option<(f64, f64)>,
    /// Still to spend, and what is to come in for old parts.
    pub cents: i64,
    /// To come in for old parts, in cents.
    pub to_come_in: i64,
    /// Prices of it that nobody says: `cents` is too low by them.
    pub unknown_prices: usize,
    /// Still to do.
    pub minutes: i64,
    /// Steps of it whose time nobody says: `minutes` is too low by them.
    pub unsaid: usize,
}

/// A set that was walked and is clean.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// As the search has it.
    pub set: Set,
    /// By their names.
    pub swaps: Vec<Id<Swap>>,
    /// As its walk has them.
    pub facts: Facts,
}

/// A set that was better and cannot be done as the plan stands.
#[derive(Debug, Clone)]
pub struct Stopped {
    /// By their names.
    pub swaps: Vec<Id<Swap>>,
    /// The fault that its walk met.
    pub by: Finding,
}

/// What was found to one question.
#[derive(Debug, Clone, Default)]
pub struct Answer {
    /// None where no set answers it.
    pub shown: Option<Shown>,
    /// Better sets that were tried before it.
    pub stopped: Vec<Stopped>,
    /// The search was given up: no set saves more than so many grams.
    pub at_most: Option<i64>,
    /// As many sets as are tried were not clean.
    pub gave_up: bool,
}

/// The most that some money and some time buy.
#[derive(Debug, Clone)]
pub struct Grid {
    /// Minutes of so many weekends; the first is one weekend.
    pub weekends: Vec<i64>,
    /// Money in cents, and for each number of weekends what it buys; none where the rest of the job alone takes more.
    pub rows: Vec<(i64, Vec<Option<Shown>>)>,
}

/// All that there is to say.
#[derive(Debug, Clone)]
pub struct Advice {
    /// What there is to choose between.
    pub choices: Choices,
    /// What may still be spent on the whole job, and how many minutes it may take; none where nothing bounds it.
    pub cents: Option<i64>,
    /// Minutes for the whole job; none where nothing bounds it.
    pub minutes: Option<i64>,
    /// Faults of the plan itself: then nothing is searched.
    pub faults: usize,
    /// What the class asks for is missed without any choice.
    pub under_minimum: bool,
    /// The rest of the job alone costs more, or takes longer.
    pub out_of_money: bool,
    /// The rest of the job alone takes longer than there is time.
    pub out_of_time: bool,
    /// Least money for the target as likely as not, and nine times in ten; none without a target.
    pub target: Option<[Answer; 2]>,
    /// What saves most within money and time.
    pub most: Answer,
    /// Money against time; none where there is nothing to lay out.
    pub grid: Option<Grid>,
    /// Shown points of what money (or time, where no sum is said) buys, the least first.
    pub frontier: Vec<Shown>,
    /// So many points there are.
    pub points: usize,
    /// Points that were better, and cannot be done as the plan stands.
    pub frontier_stopped: Vec<Stopped>,
    /// The search was given up: there may be more points.
    pub cut: bool,
}

/// Works it out; none where the plan has no swap that may be left out.
///
/// # Errors
/// More optional swaps than can be searched, or figures that do not fit.
pub fn advice(done: &Compilation, purse: Purse) -> Option<Result<Advice, Unsearchable>> {
    let plan = &done.plan;
    let free = worth::free(plan);
    if free.is_empty() {
        return None;
    }
    let shut_out = worth::shut_out(plan);
    let all =
        (!plan.left_out.swaps.is_empty() || !shut_out.is_empty()).then(|| compile::without(done, &shut_out));
    let all = all.as_ref().unwrap_or(done);
    let none: BTreeSet<Id<Swap>> = free.union(&shut_out).copied().collect();
    let base = compile::without(done, &none);
    let choices = Choices::of(
        &all.plan,
        all.account(),
        all.money(),
        (&base.plan, base.account()),
    );
    let choices = match choices {
        Ok(choices) => choices,
        Err(why) => return Some(Err(why)),
    };
    let cents = purse.cents.or_else(|| done.money().purse());
    let minutes = purse.minutes.or_else(|| worth::minutes_left(plan));
    let mut search = Search {
        done,
        choices: &choices,
        shut_out: &shut_out,
        walked: BTreeMap::new(),
    };
    let faults = if done.plan.left_out.swaps.is_empty() {
        done.count(Severity::Fault)
    } else {
        // What is left out is not there to be at fault.
        base.count(Severity::Fault)
    };
    let within = search.within(cents, minutes);
    let out_of_money = choices.axis == Axis::Money && cents.is_some_and(|cents| cents < choices.base_cents);
    let out_of_time = minutes.is_some_and(|minutes| minutes < choices.base_minutes);
    let mut advice = Advice {
        cents: cents.filter(|_| choices.axis == Axis::Money),
        minutes,
        faults,
        under_minimum: choices.cap.is_some_and(|cap| cap < 0),
        out_of_money,
        out_of_time,
        target: None,
        most: Answer::default(),
        grid: None,
        frontier: Vec::new(),
        points: 0,
        frontier_stopped: Vec::new(),
        cut: false,
        choices: choices.clone(),
    };
    if faults > 0 {
        return Some(Ok(advice));
    }
    let in_time = Within {
        money: match choices.axis {
            Axis::Money => None,
            Axis::Time => within.money,
        },
        ..within
    };
    advice.target = choices.wanted_of_free().map(|wanted| {
        let likely = search.ask(|problem, allowed| problem.problem.least_money(wanted, in_time, allowed));
        let sure = search.ask(|choices, allowed| {
            let sure = |set: &Set| allowed(set) && choices.is_sure(set, worth::SURE);
            choices.problem.least_money(wanted, in_time, &sure)
        });
        [likely, sure]
    });
    advice.most = search.ask(|choices, allowed| choices.problem.most(within, allowed));
    let (points, cut, stopped) = search.frontier(in_time);
    advice.cut = cut;
    advice.points = points.len();
    advice.frontier = points.into_iter().flatten().collect();
    advice.frontier_stopped = stopped;
    advice.grid = search.grid(&advice);
    Some(Ok(advice))
}

struct Search<'a> {
    done: &'a Compilation,
    choices: &'a Choices,
    shut_out: &'a BTreeSet<Id<Swap>>,
    walked: BTreeMap<Chosen, Result<Facts, Box<Finding>>>,
}

impl Search<'_> {
    /// What the free swaps may cost and take.
    fn within(&self, cents: Option<i64>, minutes: Option<i64>) -> Within {
        let money = cents.map(|cents| cents - self.choices.base_cents);
        let minutes = minutes.map(|minutes| minutes - self.choices.base_minutes);
        let worth = self.choices.cap.filter(|cap| *cap >= 0);
        match self.choices.axis {
            Axis::Money => Within {
                money,
                minutes,
                worth,
            },
            Axis::Time => Within {
                money: minutes,
                minutes: None,
                worth,
            },
        }
    }

    fn shown(&self, set: Set, facts: Facts) -> Shown {
        Shown {
            swaps: self.choices.swaps(&set),
            set,
            facts,
        }
    }

    /// The best clean set that a question has.
    fn ask(&mut self, solve: impl Fn(&Choices, &dyn Fn(&Set) -> bool) -> Found) -> Answer {
        let mut answer = Answer::default();
        // What stopped another question is named again where it would have been the answer.
        let mut out: BTreeSet<Chosen> = BTreeSet::new();
        for _ in 0..TRIALS {
            let allowed = |set: &Set| !out.contains(&set.chosen);
            let found = solve(self.choices, &allowed);
            answer.at_most = found.at_most;
            let Some(set) = found.set else { return answer };
            match self.walk(&set) {
                Ok(facts) => {
                    answer.shown = Some(self.shown(set, facts));
                    return answer;
                }
                Err(by) => {
                    out.insert(set.chosen);
                    answer.stopped.push(Stopped {
                        swaps: self.choices.swaps(&set),
                        by: *by,
                    });
                }
            }
        }
        answer.gave_up = true;
        answer
    }

    /// What each sum buys: of many points some, the first and the last among them; how many there are stands in the length.
    fn frontier(&mut self, within: Within) -> (Vec<Option<Shown>>, bool, Vec<Stopped>) {
        let mut stopped: Vec<Stopped> = Vec::new();
        for _ in 0..TRIALS {
            let allowed = |set: &Set| !matches!(self.walked.get(&set.chosen), Some(Err(_)));
            let (points, cut) = self.choices.problem.frontier(within, &allowed);
            let last = points.len().saturating_sub(1);
            let shows = |nth: usize| {
                points.len() <= POINTS || (0..POINTS).any(|point| point * last / (POINTS - 1) == nth)
            };
            let mut all: Vec<Option<Shown>> = Vec::new();
            let mut clean = true;
            for (nth, point) in points.iter().enumerate() {
                if !shows(nth) {
                    all.push(None);
                    continue;
                }
                let short =
                    self.choices
                        .problem
                        .shortest(point.worth, point, within, &allowed_of(&self.walked));
                match self.walk(&short) {
                    Ok(facts) => all.push(Some(self.shown(short, facts))),
                    Err(by) => {
                        clean = false;
                        stopped.push(Stopped {
                            swaps: self.choices.swaps(&short),
                            by: *by,
                        });
                    }
                }
            }
            if clean {
                return (all, cut, stopped);
            }
        }
        (Vec::new(), true, stopped)
    }

    fn grid(&mut self, advice: &Advice) -> Option<Grid> {
        let everything = self
            .choices
            .problem
            .sum(Chosen::MAX >> (128 - self.choices.free.len()).min(127));
        let (most_cents, most_minutes) = self.choices.whole_job(&everything);
        let mut weekends = worth::minutes_of_weeks(&self.done.plan, WEEKENDS);
        let enough = weekends.iter().position(|minutes| *minutes >= most_minutes);
        weekends.truncate(enough.map_or(WEEKENDS, |nth| nth + 1));
        let mut sums: Vec<i64> = match self.choices.axis {
            Axis::Money => [25, 50, 100]
                .iter()
                .map(|share| nice(most_cents * share / 100))
                .collect(),
            Axis::Time => vec![0],
        };
        sums.extend(advice.cents.filter(|cents| *cents > 0));
        sums.sort_unstable();
        sums.dedup();
        let mut rows = Vec::new();
        for cents in sums {
            let mut row = Vec::new();
            for &minutes in &weekends {
                let cents = (self.choices.axis == Axis::Money).then_some(cents);
                let within = self.within(cents, Some(minutes));
                row.push(
                    self.ask(|choices, allowed| choices.problem.most(within, allowed))
                        .shown,
                );
            }
            rows.push((cents, row));
        }
        (!weekends.is_empty()).then_some(Grid { weekends, rows })
    }

    /// The set compiled without the others, once.
    fn walk(&mut self, set: &Set) -> Result<Facts, Box<Finding>> {
        if let Some(known) = self.walked.get(&set.chosen) {
            return known.clone();
        }
        let mut out = self.choices.left_out(set);
        out.extend(self.shut_out);
        let fault =
            |finding: &&Finding| finding.severity >= Severity::Fault && !AIMS.contains(&finding.rule.name);
        let result = if out == self.done.plan.left_out.swaps {
            match self.done.findings.iter().find(fault) {
                Some(by) => Err(Box::new(by.clone())),
                None => Ok(facts(self.done)),
            }
        } else {
            let rest = compile::without(self.done, &out);
            match stopping(self.done, &rest) {
                Some(by) => Err(Box::new(by.clone())),
                None => Ok(facts(&rest)),
            }
        };
        self.walked.insert(set.chosen, result.clone());
        result
    }
}

fn allowed_of(walked: &BTreeMap<Chosen, Result<Facts, Box<Finding>>>) -> impl Fn(&Set) -> bool + '_ {
    |set| !matches!(walked.get(&set.chosen), Some(Err(_)))
}

/// Up to the next whole sum of two figures.
fn nice(cents: i64) -> i64 {
    let mut step = 100;
    while cents / step >= 100 {
        step *= 10;
    }
    (cents + step - 1) / step * step
}

/// What stands in the way of a set: a fault or a doubt on the work that the plan itself does not have.
fn stopping<'f>(done: &Compilation, rest: &'f Compilation) -> Option<&'f Finding> {
    let about = |finding: &Finding| {
        let mut about = finding.about.clone();
        about.sort_unstable();
        about
    };
    // A fault is a fault, whether or not the plan as it stands has it too.
    let stood = |finding: &Finding| {
        let mut all = done
            .findings
            .iter()
            .filter(|_| finding.severity < Severity::Fault);
        all.any(|other| {
            other.rule == finding.rule && other.severity >= finding.severity && about(other) == about(finding)
        })
    };
    let mut all = rest.findings.iter();
    all.find(|finding| {
        finding.severity >= Severity::Doubt && !AIMS.contains(&finding.rule.name) && !stood(finding)
    })
}

fn facts(done: &Compilation) -> Facts {
    let (plan, account) = (&done.plan, done.account());
    let aim = account.aim(plan);
    let ending = account.ending.as_ref().and_then(|ending| ending.saved.clone());
    let minimum = plan.about.as_ref().and_then(|about| about.class_minimum);
    let sums = done.money().sums();
    let mut minutes = 0.0;
    let mut unsaid = 0;
    for &step in &plan.order {
        if plan.progress.done.contains_key(&step) || plan.progress.skipped.contains_key(&step) {
            continue;
        }
        match today::takes_now(plan, step, plan.progress.halt) {
            Some(takes) => minutes += takes.likely().round(),
            None => unsaid += 1,
        }
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole minutes, and no job takes 2^53 of them"
    )]
    let minutes = minutes as i64;
    Facts {
        saved: aim
            .as_ref()
            .map(|aim| aim.saved.clone())
            .or(ending)
            .or_else(|| account.saved_for_sure())
            // Nothing moves for good.
            .or_else(|| plan.swaps_done().next().is_none().then(MassEstimate::nothing)),
        chance: aim.map(|aim| aim.chance),
        over_minimum: minimum
            .and_then(|minimum| Some(account.as_the_class_weighs(plan)?.kg - minimum.value.base())),
        front: front(done),
        cents: sums.to_spend,
        to_come_in: sums.to_come_in,
        unknown_prices: sums.unknown,
        minutes,
        unsaid,
    }
}

/// The share of the front axle at the end.
fn front(done: &Compilation) -> Option<(f64, f64)> {
    let plan = &done.plan;
    done.account().end()?;
    let weights = done.weights();
    let end = Balance::after(&weights, &done.walk, done.weighings(), None)?;
    let (centre, u) = end.centre()?;
    let wheelbase = plan.vehicles.get(plan.vehicle()?)?.wheelbase?.value.base();
    (wheelbase > 0.0).then(|| (1.0 - centre.behind / wheelbase, 2.0 * u.behind / wheelbase))
}
