//! The days of the work that is left: which step is done on which day and at what hour, why there, and what no layout can beat. The order is the one that
//! the walk has proved; people, tools and scales are where they are free, and a day ends where the machine may be left. Knows no wording.

#![allow(
    clippy::indexing_slicing,
    reason = "runs are named by their places, and lists are as long as there are runs"
)]

use std::collections::BTreeSet;

use super::runs::{self, Runs, Takes};
use super::work_days::{self, Wanted};
use crate::base::date::Date;
use crate::plan::model::{Calendar, Id, Person, Plan, Step};
use crate::reckon::laying::{self, Laid, NoPlace, Placed};
use crate::reckon::laying_days::{DAY, Days, Hours, SHOP};
use crate::walk::Walk;

/// Days of the calendar beyond which nobody plans: five years.
const HORIZON: u32 = 1_826;
/// Days before the beginning from which minutes count, so that work can be laid out backwards.
const PAST: u32 = 1_500;
/// Of what has the end where it is, so many are tried otherwise.
const TRIED: usize = 6;
/// The longest that it may stand where it is safe overnight.
const WEEK: u32 = 7;

/// A minute of a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    /// In the calendar; the plan's days of work are a choice of these.
    pub day: Date,
    /// After midnight; 1440 is the end of the day.
    pub minute: u32,
}

/// A step, or what of it lies between two waits, in its hours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AtWork {
    /// The step in the plan.
    pub step: Id<Step>,
    /// Which of its bits, of how many.
    pub bit: (usize, usize),
    /// Place of its run in the list of runs.
    pub run: usize,
    /// The day on which it lies.
    pub day: Date,
    /// Minutes after midnight.
    pub from: u32,
    /// Minutes after midnight, the last excluded.
    pub to: u32,
}

/// Why a run lies where it lies, and not earlier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// The work begins then.
    Begins,
    /// It comes right behind this step.
    Behind(Id<Step>),
    /// This step waits for something to set.
    Sets(Id<Step>),
    /// It came then.
    Came(super::today::Gear),
    /// Somebody is not there earlier, or a thing is not.
    Away(Wanted),
    /// Somebody is at another step, or a thing is.
    Taken(Wanted),
    /// What was left of the day before was too short for it.
    NoRoom(Id<Step>),
}

/// One thing otherwise, and when the work would then end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Help {
    /// What would be otherwise.
    pub what: Eased,
    /// The end with it.
    pub ends: Moment,
}

/// What is otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Eased {
    /// Somebody comes on every day of work, or a thing is there on all of them.
    There(Wanted),
    /// There are two of it.
    Another(Wanted),
    /// It is there already.
    Here(super::today::Gear),
}

/// Two runs between which the machine stands for longer than it may.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StandsTooLong {
    /// The last step of the run before.
    pub after: Id<Step>,
    /// The first step of the run after.
    pub before: Id<Step>,
    /// The day from which it stands.
    pub from: Date,
    /// The day on which somebody comes again.
    pub to: Date,
}

/// The work laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Timetable {
    /// The first day of work.
    pub begins: Date,
    /// By their hours; of two at the same time in the order of work.
    pub steps: Vec<AtWork>,
    /// When the last step is done.
    pub ends: Moment,
    /// No layout ends before.
    pub least: Moment,
    /// How many layouts were made.
    pub made: u32,
    /// For each run why it lies there.
    pub why: Vec<Why>,
    /// Runs that have the end where it is, the last one first.
    pub chain: Vec<usize>,
    /// Where it would stand in a state that nobody may leave for so long.
    pub too_long: Vec<StandsTooLong>,
    /// Steps whose time the plan does not say: they count as nothing.
    pub unsaid: usize,
}

impl Timetable {
    /// The days on which somebody comes, in order.
    #[must_use]
    pub fn days(&self) -> Vec<Date> {
        let days: BTreeSet<Date> = self.steps.iter().map(|step| step.day).collect();
        days.into_iter().collect()
    }

    /// What is done on a day.
    pub fn on(&self, day: Date) -> impl Iterator<Item = &AtWork> {
        self.steps.iter().filter(move |step| step.day == day)
    }

    /// The first step of a run.
    #[must_use]
    pub fn first_of(&self, run: usize) -> Option<Id<Step>> {
        let mut own = self.steps.iter().filter(|step| step.run == run);
        own.next().map(|step| step.step)
    }

    /// Nothing can end earlier.
    #[must_use]
    pub fn is_best(&self) -> bool {
        self.ends <= self.least
    }
}

/// Why the work cannot be laid out.
#[derive(Debug, Clone, PartialEq)]
pub enum Stuck {
    /// No day has work any more: so many minutes are left then.
    NoDays {
        /// Still to be laid.
        minutes: u32,
    },
    /// These steps belong together, and no day is as long as they are.
    TooLong {
        /// The steps of one run.
        steps: Vec<Id<Step>>,
        /// How long they are together.
        minutes: u32,
        /// The longest day that there is.
        longest: u32,
    },
    /// The same because one of them waits.
    WaitsWithin {
        /// The steps of one run.
        steps: Vec<Id<Step>>,
        /// The one that waits.
        waits: Id<Step>,
    },
    /// A step needs people who are never there at the same time for long enough.
    NeverTogether {
        /// The step that wants them.
        step: Id<Step>,
        /// All whom it wants at once.
        people: Vec<Id<Person>>,
    },
    /// It is there on other days alone.
    NotThen {
        /// The step that wants it.
        step: Id<Step>,
        /// Whom or what it wants.
        what: Wanted,
    },
}

/// When the work begins: on the day that the plan says, or the first one after the log, or else on the plan's own day or the one that is given.
#[must_use]
pub fn begins(plan: &Plan, else_on: Option<Date>) -> Option<Date> {
    let about = plan.about.as_ref()?;
    let done = plan.logs.iter().flat_map(|log| {
        let done = log.done.map(|said| said.value);
        done.into_iter()
            .chain(log.stopped.as_ref().map(|said| said.value.on.value))
    });
    let after_log = done.max().map(|day| day.plus(1));
    let said = about.calendar.begins.map(|said| said.value);
    match (said, after_log) {
        (Some(said), Some(after)) => Some(said.max(after)),
        (one, other) => one.or(other).or(about.dated.map(|said| said.value)).or(else_on),
    }
}

/// How many layouts are made for so many steps: more would take longer than anybody waits for, and find little.
#[must_use]
pub fn effort(steps: usize) -> u32 {
    match steps {
        0..=150 => 1_000,
        151..=500 => 300,
        _ => 100,
    }
}

/// The work as it is to be laid out.
#[derive(Debug)]
pub struct Laying<'a> {
    plan: &'a Plan,
    calendar: &'a Calendar,
    runs: Runs,
    begins: Date,
    nought: Date,
    helpers: Vec<usize>,
    unsaid: usize,
    /// Of what is wanted, that which is there on every day.
    always: Vec<usize>,
}

impl<'a> Laying<'a> {
    /// None where the plan has no calendar, or nothing is left to do.
    #[must_use]
    pub fn new(plan: &'a Plan, walk: &Walk, takes: Takes<'_>, begins: Date) -> Option<Self> {
        let calendar = work_days::calendar(plan)?;
        let nought = Date::of_nth(begins.nth().saturating_sub(PAST));
        let mut runs = runs::runs(plan, walk, takes, nought);
        if runs.runs.is_empty() {
            return None;
        }
        let first = (begins.nth() - nought.nth()) * DAY;
        for piece in &mut runs.pieces {
            piece.not_before = first;
        }
        let crew = plan.about.as_ref().and_then(|about| about.crew.first());
        let own = crew.map(|said| said.value).or_else(|| plan.people.ids().next());
        let helpers = runs.wanted.iter().enumerate();
        let helpers = helpers.filter(|(_, one)| matches!(one, Wanted::Person(id) if Some(*id) != own));
        let steps: BTreeSet<Id<Step>> = runs
            .runs
            .iter()
            .flat_map(|run| run.bits.iter().map(|bit| bit.step))
            .collect();
        Some(Self {
            helpers: helpers.map(|(nth, _)| nth + 1).collect(),
            unsaid: steps.iter().filter(|step| takes(**step).is_none()).count(),
            plan,
            calendar,
            runs,
            begins,
            nought,
            always: Vec::new(),
        })
    }

    /// The same if something were there already that is still to arrive.
    #[must_use]
    pub fn as_if_here(&self, what: super::today::Gear) -> Self {
        let mut runs = self.runs.clone();
        runs.arrivals.retain(|arrival| arrival.what != what);
        for (run, parts) in runs.runs.iter().zip(&mut runs.parts) {
            for (bit, part) in run.bits.iter().zip(parts) {
                let own = runs.arrivals.iter().filter(|arrival| arrival.step == bit.step);
                let days = own.map(|arrival| arrival.on.nth().saturating_sub(self.nought.nth()));
                part.not_before = days.max().unwrap_or(0) * DAY;
            }
        }
        self.with(runs)
    }

    fn with(&self, runs: Runs) -> Self {
        Self {
            plan: self.plan,
            calendar: self.calendar,
            runs,
            begins: self.begins,
            nought: self.nought,
            helpers: self.helpers.clone(),
            unsaid: self.unsaid,
            always: self.always.clone(),
        }
    }

    /// The same with one thing otherwise.
    fn eased(&self, what: Eased) -> Self {
        let place = |wanted: Wanted| self.runs.wanted.iter().position(|&one| one == wanted);
        match what {
            Eased::Here(gear) => self.as_if_here(gear),
            Eased::There(wanted) => {
                let mut eased = self.with(self.runs.clone());
                eased.always.extend(place(wanted).map(|at| at + 1));
                eased
            }
            Eased::Another(wanted) => {
                let mut runs = self.runs.clone();
                let one = place(wanted).map(|at| at + 1);
                for part in runs.parts.iter_mut().flatten() {
                    part.needs.retain(|need| Some(*need) != one);
                }
                self.with(runs)
            }
        }
    }

    /// What one change would bring the end forward most, in whole days, among what has it where it is; of so many layouts each. None where none was
    /// found, which does not prove that there is none.
    #[must_use]
    pub fn helps(&self, table: &Timetable, schedules: u32) -> Option<Help> {
        let mut tried: BTreeSet<Eased> = BTreeSet::new();
        let mut best: Option<Help> = None;
        for &run in &table.chain {
            let eased = match table.why[run] {
                Why::Away(wanted) => Eased::There(wanted),
                Why::Taken(wanted @ (Wanted::Rig(_) | Wanted::Tool(_) | Wanted::Scale(_))) => {
                    Eased::Another(wanted)
                }
                Why::Came(gear) => Eased::Here(gear),
                Why::Begins | Why::Behind(_) | Why::Sets(_) | Why::NoRoom(_) | Why::Taken(_) => continue,
            };
            if tried.len() >= TRIED || !tried.insert(eased) {
                continue;
            }
            let Ok(other) = self.eased(eased).best_of(schedules) else {
                continue;
            };
            let before = best.map_or(table.ends.day, |best| best.ends.day);
            if other.ends.day < before {
                best = Some(Help {
                    what: eased,
                    ends: other.ends,
                });
            }
        }
        best
    }

    /// What was laid, and in which pieces.
    #[must_use]
    pub fn runs(&self) -> &Runs {
        &self.runs
    }

    /// How many steps are left.
    #[must_use]
    pub fn steps(&self) -> usize {
        let bits = self.runs.runs.iter().flat_map(|run| &run.bits);
        bits.filter(|bit| bit.nth == 0).count()
    }

    fn first_day(&self) -> u32 {
        self.begins.nth() - self.nought.nth()
    }

    /// The days from one to another, both counted from day nought.
    fn days(&self, range: std::ops::Range<u32>) -> Days {
        let mut open = work_days::open(
            self.plan,
            self.calendar,
            &self.runs.wanted,
            self.nought,
            range,
            self.first_day(),
        );
        for day in &mut open {
            for &one in &self.always {
                day.free[one] = day.free[SHOP];
            }
        }
        Days::new(open, self.runs.parts.clone(), self.helpers.clone())
    }

    fn all_days(&self) -> Days {
        self.days(self.first_day()..self.first_day() + HORIZON)
    }

    /// No layout ends before: neither the longest chain of runs nor the hours that anybody gives can end sooner.
    ///
    /// # Errors
    /// Why it cannot be laid out at all.
    pub fn least(&self) -> Result<Moment, Stuck> {
        let days = self.all_days();
        self.least_in(&days).map(|minute| self.moment(minute))
    }

    fn least_in(&self, days: &Days) -> Result<u32, Stuck> {
        let earliest = laying::earliest(&self.runs.pieces, days).map_err(|stuck| self.stuck(stuck))?;
        let chain = earliest.iter().map(|placed| placed.ends).max().unwrap_or(0);
        Ok(chain.max(days.by_hours(&earliest)))
    }

    /// The first layout, by the rule alone.
    ///
    /// # Errors
    /// Why it cannot be laid out.
    pub fn first(&self) -> Result<Timetable, Stuck> {
        let mut days = self.all_days();
        let least = self.least_in(&days)?;
        let laid = laying::first(&self.runs.pieces, &mut days).map_err(|stuck| self.stuck(stuck))?;
        Ok(self.timetable(laid, days, least))
    }

    /// The best of so many layouts.
    ///
    /// # Errors
    /// Why it cannot be laid out.
    pub fn best_of(&self, schedules: u32) -> Result<Timetable, Stuck> {
        let mut days = self.all_days();
        let least = self.least_in(&days)?;
        let first = laying::first(&self.runs.pieces, &mut days).map_err(|stuck| self.stuck(stuck))?;
        let ends = first.placed.iter().map(|placed| placed.ends).max().unwrap_or(0);
        let span = ends / DAY + 1 - self.first_day();
        // As many days before the beginning as there are behind it, and a fortnight.
        let from = self.first_day().saturating_sub(span + 14);
        let mut days = self.days(from..ends / DAY + 1);
        let best = laying::search(
            &self.runs.pieces,
            &mut days,
            first.clone(),
            schedules,
            least,
            false,
        );
        let best = self.timetable(best, self.all_days(), least);
        // Laid out once more by its order a good layout may end later than it did.
        let first = self.timetable(first, self.all_days(), least);
        Ok(if first.ends < best.ends { first } else { best })
    }

    /// Lays the pieces out in the order of a layout, later where the machine would stand too long before, and tells of it.
    fn timetable(&self, laid: Laid, mut days: Days, least: u32) -> Timetable {
        let mut pieces = self.runs.pieces.clone();
        let made = laid.made;
        let mut best = laying::again(&pieces, &mut days, &laid.placed).unwrap_or(laid);
        for _ in 0..self.runs.overnight.len() * 2 {
            let late = self.runs.overnight.iter().find_map(|&(before, after)| {
                let gap = gap(&best.placed, before, after);
                let to = best.placed[after].starts / DAY - WEEK;
                (gap > WEEK && pieces[before].not_before < to * DAY).then_some((before, to * DAY))
            });
            let Some((run, from)) = late else { break };
            let was = pieces[run].not_before;
            pieces[run].not_before = from;
            match laying::again(&pieces, &mut days, &best.placed) {
                Some(again) if again.cost.ends <= best.cost.ends => best = again,
                // Later than it need end: it stands too long, and that is told.
                _ => {
                    pieces[run].not_before = was;
                    break;
                }
            }
        }
        let best = laying::again(&pieces, &mut days, &best.placed).unwrap_or(best);
        let mut steps: Vec<AtWork> = Vec::new();
        for (run, of) in self.runs.runs.iter().enumerate() {
            for (bit, placed) in of.bits.iter().zip(days.lies(run)) {
                let whole = of.bits.iter().filter(|other| other.step == bit.step).count();
                let day = placed.starts / DAY;
                steps.push(AtWork {
                    step: bit.step,
                    bit: (bit.nth, whole),
                    run,
                    day: self.nought.plus(day),
                    from: placed.starts - day * DAY,
                    to: placed.ends - day * DAY,
                });
            }
        }
        let order = |step: Id<Step>| self.plan.order.iter().position(|&other| other == step);
        steps.sort_by_cached_key(|at| (at.day, at.from, order(at.step), at.bit.0));
        let too_long = self
            .runs
            .overnight
            .iter()
            .filter(|(before, after)| gap(&best.placed, *before, *after) > WEEK);
        let too_long = too_long.filter_map(|&(before, after)| {
            Some(StandsTooLong {
                after: self.runs.runs[before].bits.last()?.step,
                before: self.runs.runs[after].bits.first()?.step,
                from: self.nought.plus(best.placed[before].ends.saturating_sub(1) / DAY),
                to: self.nought.plus(best.placed[after].starts / DAY),
            })
        });
        let too_long = too_long.collect();
        let (why, because) = self.reasons(&pieces, &best.placed, &mut days);
        let mut chain: Vec<usize> = Vec::new();
        let last = (0..best.placed.len()).max_by_key(|&run| best.placed[run].ends);
        let mut next = last;
        while let Some(run) = next.filter(|run| !chain.contains(run)) {
            chain.push(run);
            next = because[run];
        }
        let ends = best.placed.iter().map(|placed| placed.ends).max().unwrap_or(0);
        Timetable {
            begins: self.begins,
            steps,
            ends: self.moment(ends),
            least: self.moment(least.min(ends)),
            made,
            why,
            chain,
            too_long,
            unsaid: self.unsaid,
        }
    }

    fn moment(&self, minute: u32) -> Moment {
        let day = minute.saturating_sub(1) / DAY;
        Moment {
            day: self.nought.plus(day),
            minute: minute - day * DAY,
        }
    }

    /// For each run why it lies where it lies, and the run that has it there.
    fn reasons(
        &self,
        pieces: &[laying::Piece],
        placed: &[Placed],
        days: &mut Days,
    ) -> (Vec<Why>, Vec<Option<usize>>) {
        let mut why = Vec::with_capacity(placed.len());
        let mut because = Vec::with_capacity(placed.len());
        for run in 0..placed.len() {
            let (one, other) = self.reason(pieces, placed, days, run);
            why.push(one);
            because.push(other);
        }
        (why, because)
    }

    fn reason(
        &self,
        pieces: &[laying::Piece],
        placed: &[Placed],
        days: &mut Days,
        run: usize,
    ) -> (Why, Option<usize>) {
        let starts = placed[run].starts;
        let ready = laying::ready(pieces, placed, run);
        let latest = pieces[run]
            .behind
            .iter()
            .max_by_key(|behind| placed[behind.piece].ends + behind.wait);
        let parts = days.lies(run).to_vec();
        days.lift(run);
        let all: Vec<usize> = (1..=self.runs.wanted.len()).collect();
        let needed: BTreeSet<usize> = self.runs.parts[run]
            .iter()
            .flat_map(|part| part.needs.iter().copied())
            .collect();
        let earlier = |eased: &[usize], everywhere: bool| {
            let lies = days.if_free(run, ready, eased, everywhere);
            lies.is_some_and(|lies| lies.starts < starts)
        };
        // First whoever is at something else, then whoever is away.
        let taken = needed.iter().find(|&&one| earlier(&[one], false));
        let away = needed.iter().find(|&&one| earlier(&[one], true));
        let idle = earlier(&all, false);
        let there = earlier(&all, true);
        days.put_back(run, &parts);
        let last_step = |run: usize| self.runs.runs[run].bits.last().map(|bit| bit.step);
        let before = latest.and_then(|behind| Some((behind, last_step(behind.piece)?)));
        let arrived = self.runs.parts[run].iter().any(|part| part.not_before > ready);
        let wanted = |one: usize| self.runs.wanted[one - 1];
        match (taken, away) {
            (Some(&one), _) => {
                let by = self.taker(placed, one, run, starts);
                (Why::Taken(wanted(one)), by.or(latest.map(|behind| behind.piece)))
            }
            (None, Some(&one)) => (Why::Away(wanted(one)), latest.map(|behind| behind.piece)),
            (None, None) if idle || there => {
                let one = needed.iter().next().copied().unwrap_or(1);
                (Why::Taken(wanted(one)), latest.map(|behind| behind.piece))
            }
            (None, None) if arrived => {
                let steps: Vec<Id<Step>> = self.runs.runs[run].bits.iter().map(|bit| bit.step).collect();
                let own = self
                    .runs
                    .arrivals
                    .iter()
                    .filter(|arrival| steps.contains(&arrival.step));
                let what = own.max_by_key(|arrival| arrival.on).map(|arrival| arrival.what);
                (what.map_or(Why::Begins, Why::Came), None)
            }
            (None, None) => match before {
                None => (Why::Begins, None),
                Some((behind, step)) if behind.wait > 0 => (Why::Sets(step), Some(behind.piece)),
                Some((behind, _)) if starts / DAY > ready.saturating_sub(1) / DAY => {
                    let own = self.runs.runs[run].bits.first();
                    (
                        own.map_or(Why::Begins, |bit| Why::NoRoom(bit.step)),
                        Some(behind.piece),
                    )
                }
                Some((behind, step)) => (Why::Behind(step), Some(behind.piece)),
            },
        }
    }

    /// The run that has somebody right before another begins.
    fn taker(&self, placed: &[Placed], one: usize, run: usize, starts: u32) -> Option<usize> {
        let others = (0..placed.len()).filter(|&other| other != run && placed[other].starts < starts);
        let has = |other: &usize| {
            self.runs.parts[*other]
                .iter()
                .any(|part| part.needs.contains(&one))
        };
        others.filter(has).max_by_key(|&other| placed[other].ends)
    }

    /// Why a run finds no place on any day.
    fn stuck(&self, NoPlace(run): NoPlace) -> Stuck {
        let steps: Vec<Id<Step>> = {
            let mut steps: Vec<Id<Step>> = self.runs.runs[run].bits.iter().map(|bit| bit.step).collect();
            steps.dedup();
            steps
        };
        let first = self.first_day();
        let open = work_days::open(
            self.plan,
            self.calendar,
            &self.runs.wanted,
            self.nought,
            first..first + HORIZON,
            first,
        );
        let parts = &self.runs.parts[run];
        let minutes: u32 = parts.iter().map(|part| part.minutes).sum();
        let longest = open
            .iter()
            .map(|open| open.free[SHOP].longest())
            .max()
            .unwrap_or(0);
        let all_minutes: u32 = self.runs.parts.iter().flatten().map(|part| part.minutes).sum();
        if longest == 0 {
            return Stuck::NoDays { minutes: all_minutes };
        }
        let begins = first * DAY;
        let everybody: Vec<usize> = (1..=self.runs.wanted.len()).collect();
        let days = self.all_days();
        if days.if_free(run, begins, &everybody, true).is_none() {
            // Even with all hands: too long by itself, or since something in it sets.
            let waits = parts
                .iter()
                .find_map(|part| part.behind.iter().find(|(_, wait)| *wait > 0).map(|(at, _)| *at));
            return match waits {
                Some(at) if minutes <= longest => Stuck::WaitsWithin {
                    waits: self.runs.runs[run].bits[at].step,
                    steps,
                },
                _ => Stuck::TooLong {
                    steps,
                    minutes,
                    longest,
                },
            };
        }
        for (part, bit) in parts.iter().zip(&self.runs.runs[run].bits) {
            let room = |needs: &[usize]| {
                open.iter().any(|open| {
                    let hours = needs
                        .iter()
                        .fold(open.free[SHOP], |hours, &one| hours.and(open.free[one]));
                    !hours.is_never() && hours.longest() >= part.minutes
                })
            };
            let is_person = |one: &&usize| matches!(self.runs.wanted[**one - 1], Wanted::Person(_));
            let people: Vec<usize> = part.needs.iter().filter(is_person).copied().collect();
            if !room(&people) {
                return Stuck::NeverTogether {
                    step: bit.step,
                    people: self.people(&people),
                };
            }
            let others = part.needs.iter().filter(|one| !is_person(one)).copied();
            for other in others {
                let mut needs = people.clone();
                needs.push(other);
                if !room(&needs) {
                    return Stuck::NotThen {
                        step: bit.step,
                        what: self.runs.wanted[other - 1],
                    };
                }
            }
        }
        let alone = days.if_free(run, begins, &[], false).is_some();
        // From when on it could begin, by what it waits for.
        let mut placed: Vec<Placed> = Vec::new();
        for before in 0..run {
            let from = laying::ready(&self.runs.pieces, &placed, before);
            let lies = laying::Ground::alone(&days, before, from);
            placed.push(lies.unwrap_or_default());
        }
        let from = laying::ready(&self.runs.pieces, &placed, run);
        let needed: BTreeSet<usize> = parts.iter().flat_map(|part| part.needs.iter().copied()).collect();
        if alone {
            // It would fit, but not as late as it comes: what it needs is gone by then, or the days are.
            let gone = needed
                .iter()
                .find(|&&one| days.if_free(run, from, &[one], true).is_some());
            let own = gone.and_then(|&one| {
                let mut bits = parts.iter().zip(&self.runs.runs[run].bits);
                let step = bits.find(|(part, _)| part.needs.contains(&one))?.1.step;
                Some((self.runs.wanted[one - 1], step))
            });
            return match own {
                Some((Wanted::Person(person), step)) => Stuck::NeverTogether {
                    step,
                    people: vec![person],
                },
                Some((what, step)) => Stuck::NotThen { step, what },
                None => Stuck::NoDays { minutes: all_minutes },
            };
        }
        let people: Vec<usize> = needed
            .into_iter()
            .filter(|one| matches!(self.runs.wanted[one - 1], Wanted::Person(_)))
            .collect();
        match steps.first() {
            Some(&step) if !people.is_empty() => Stuck::NeverTogether {
                step,
                people: self.people(&people),
            },
            _ => Stuck::TooLong {
                steps,
                minutes,
                longest,
            },
        }
    }

    fn people(&self, needs: &[usize]) -> Vec<Id<Person>> {
        let wanted = needs.iter().map(|&one| self.runs.wanted[one - 1]);
        let people = wanted.filter_map(|one| match one {
            Wanted::Person(id) => Some(id),
            Wanted::Rig(_) | Wanted::Tool(_) | Wanted::Scale(_) => None,
        });
        people.collect()
    }
}

/// Days from the end of one run to the beginning of another.
fn gap(placed: &[Placed], before: usize, after: usize) -> u32 {
    (placed[after].starts / DAY).saturating_sub(placed[before].ends.saturating_sub(1) / DAY)
}

/// The first day of work from this one on, within a year; none where the plan says no days.
#[must_use]
pub fn next_day(plan: &Plan, from: Date) -> Option<Date> {
    let mut days = (0..366).map(|later| from.plus(later));
    days.find(|&day| hours_of(plan, day).is_some())
}

/// The hours of a day, as a page tells them.
#[must_use]
pub fn hours_of(plan: &Plan, day: Date) -> Option<(u32, u32)> {
    let calendar = work_days::calendar(plan)?;
    let (opens, shuts) = work_days::hours(calendar, day)?;
    Hours::between(opens, shuts).ends()
}
