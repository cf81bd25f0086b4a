//! A ground of days: each of those who work, and each thing that there is one of, is free at some hours of some days, bit by bit. A run is done within
//! one day or on the next: its parts one after the other as they have to wait for each other, each with the hands and things that it needs. Times are
//! minutes from a day nought at midnight; the grain is five minutes, and nothing is taken to be shorter that takes any time.

#![allow(
    clippy::indexing_slicing,
    reason = "runs, days and whatever is taken are named by their places, and the ground is as long as it is made"
)]

use super::laying::{Cost, Ground, Placed};

/// Minutes that a bit stands for.
pub const GRAIN: u32 = 5;
/// Minutes of a day.
pub const DAY: u32 = 1_440;
const WORDS: usize = 5;

/// Bits of a day, the first one at midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Hours([u64; WORDS]);

impl Hours {
    /// Free from one minute of the day to another; what does not fill the grain is not counted.
    #[must_use]
    pub fn between(opens: u32, shuts: u32) -> Self {
        let mut hours = Self::default();
        for bit in opens.div_ceil(GRAIN)..shuts.min(DAY) / GRAIN {
            hours.0[(bit / 64) as usize] |= 1 << (bit % 64);
        }
        hours
    }

    /// Minutes that both have free.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        let mut both = self;
        for (own, other) in both.0.iter_mut().zip(other.0) {
            *own &= other;
        }
        both
    }

    /// Not a minute is free.
    #[must_use]
    pub fn is_never(self) -> bool {
        self.0 == [0; WORDS]
    }

    /// How many minutes are free.
    #[must_use]
    pub fn minutes(self) -> u32 {
        self.0.iter().map(|word| word.count_ones()).sum::<u32>() * GRAIN
    }

    /// The longest time that is free without a break, in minutes.
    #[must_use]
    pub fn longest(self) -> u32 {
        let mut runs = self;
        let mut longest = 0;
        while !runs.is_never() {
            longest += 1;
            runs = runs.and(runs.down(1));
        }
        longest * GRAIN
    }

    /// The first and the last free minute.
    #[must_use]
    pub fn ends(self) -> Option<(u32, u32)> {
        Some((self.first()? * GRAIN, (self.last()? + 1) * GRAIN))
    }

    fn down(self, by: u32) -> Self {
        let (words, bits) = ((by / 64) as usize, by % 64);
        let mut moved = [0; WORDS];
        for (at, word) in moved.iter_mut().enumerate() {
            let low = self.0.get(at + words).copied().unwrap_or(0);
            let high = self.0.get(at + words + 1).copied().unwrap_or(0);
            *word = if bits == 0 {
                low
            } else {
                low >> bits | high << (64 - bits)
            };
        }
        Self(moved)
    }

    /// A bit where so many are free from it on.
    fn room_for(self, bits: u32) -> Self {
        let mut room = self;
        let mut done = 1;
        while done < bits {
            let step = done.min(bits - done);
            room = room.and(room.down(step));
            done += step;
        }
        room
    }

    fn first(self) -> Option<u32> {
        let at = self.0.iter().position(|word| *word != 0)?;
        Some(u32::try_from(at).ok()? * 64 + self.0[at].trailing_zeros())
    }

    fn last(self) -> Option<u32> {
        let at = self.0.iter().rposition(|word| *word != 0)?;
        Some(u32::try_from(at).ok()? * 64 + 63 - self.0[at].leading_zeros())
    }

    fn without_before(mut self, bit: u32) -> Self {
        for (at, word) in (0..).zip(&mut self.0) {
            let low: u32 = at * 64;
            if bit >= low + 64 {
                *word = 0;
            } else if bit > low {
                *word &= u64::MAX << (bit - low);
            }
        }
        self
    }

    fn to_bit(mut self, bit: u32) -> Self {
        for (at, word) in (0..).zip(&mut self.0) {
            let low: u32 = at * 64;
            if bit <= low {
                *word = 0;
            } else if bit < low + 64 {
                *word &= u64::MAX >> (64 - (bit - low));
            }
        }
        self
    }

    fn take(&mut self, from: u32, bits: u32) {
        let taken = Self([u64::MAX; WORDS]).without_before(from).to_bit(from + bits);
        for (own, taken) in self.0.iter_mut().zip(taken.0) {
            *own &= !taken;
        }
    }
}

/// A day on which there is work, and who and what is free on it. The first of all is the shop itself, which nobody takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Open {
    /// Days from day nought.
    pub day: u32,
    /// One for each of whoever is free, the shop first.
    pub free: Vec<Hours>,
}

/// The shop, among who and what is free.
pub const SHOP: usize = 0;

/// A part of a run.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Part {
    /// How long it takes.
    pub minutes: u32,
    /// Places among those who are free, each of whom it wants.
    pub needs: Vec<usize>,
    /// Parts of the same run, further up, that have to be done first, and how long nobody goes on after them.
    pub behind: Vec<(usize, u32)>,
    /// It cannot begin before.
    pub not_before: u32,
}

/// Days with what lies on them.
#[derive(Debug, Clone)]
pub struct Days {
    open: Vec<Open>,
    runs: Vec<Vec<Part>>,
    /// Of whom the hours count.
    helpers: Vec<usize>,
    wide: usize,
    free: Vec<Hours>,
    /// From when to when each is taken on each day, in bits; the first is over the second where never.
    taken: Vec<(u32, u32)>,
    lies: Vec<Vec<Placed>>,
}

const NEVER: (u32, u32) = (u32::MAX, 0);

impl Days {
    /// Days in their order, runs in an order in which each stands behind what it waits for.
    #[must_use]
    pub fn new(open: Vec<Open>, runs: Vec<Vec<Part>>, helpers: Vec<usize>) -> Self {
        let wide = open.first().map_or(1, |open| open.free.len());
        let cells = open.len() * wide;
        let lies = runs
            .iter()
            .map(|parts| vec![Placed::default(); parts.len()])
            .collect();
        let mut days = Self {
            open,
            runs,
            helpers,
            wide,
            free: vec![Hours::default(); cells],
            taken: vec![NEVER; cells],
            lies,
        };
        days.clear();
        days
    }

    /// Drops all days behind this minute: nothing better lies there.
    pub fn end_at(&mut self, minute: u32) {
        self.open.retain(|open| open.day * DAY < minute);
        self.free.truncate(self.open.len() * self.wide);
        self.taken.truncate(self.open.len() * self.wide);
    }

    /// Where the parts of a run lie since it was placed last.
    #[must_use]
    pub fn lies(&self, run: usize) -> &[Placed] {
        &self.lies[run]
    }

    /// When it could end at the earliest if nobody had to wait but for hands: all hours that each gives, one after the other, from the first minute
    /// on which anything of theirs can begin.
    #[must_use]
    pub fn by_hours(&self, earliest: &[Placed]) -> u32 {
        let mut bound = 0;
        for one in 1..self.wide {
            let of_one = |parts: &Vec<Part>| {
                let own = parts.iter().filter(|part| part.needs.contains(&one));
                own.map(|part| part.minutes.div_ceil(GRAIN)).sum::<u32>()
            };
            let mut rest = 0;
            let mut from = u32::MAX;
            for (parts, placed) in self.runs.iter().zip(earliest) {
                let bits = of_one(parts);
                if bits > 0 {
                    rest += bits;
                    from = from.min(placed.starts);
                }
            }
            for open in &self.open {
                if rest == 0 {
                    break;
                }
                if open.day * DAY + DAY <= from {
                    continue;
                }
                let begins = from.saturating_sub(open.day * DAY) / GRAIN;
                let hours = open.free[one].and(open.free[SHOP]).without_before(begins);
                let there = hours.minutes() / GRAIN;
                if there < rest {
                    rest -= there;
                    continue;
                }
                let mut left = hours;
                while rest > 1 {
                    let first = left.first().unwrap_or(0);
                    left.take(first, 1);
                    rest -= 1;
                }
                if let Some(last) = left.first() {
                    bound = bound.max(open.day * DAY + (last + 1) * GRAIN);
                }
                rest = 0;
            }
        }
        bound
    }

    /// The place of a run on one day, as early as it can be; nothing is taken.
    fn fits_early(&self, free: &[Hours], open: &Open, run: usize, from: u32, into: &mut Vec<Placed>) -> bool {
        into.clear();
        let midnight = open.day * DAY;
        for part in &self.runs[run] {
            let begins = from.max(part.not_before);
            let behind = part.behind.iter().map(|&(other, wait)| into[other].ends + wait);
            let begins = behind.fold(begins, u32::max).saturating_sub(midnight);
            if begins >= DAY {
                return false;
            }
            let hours = hours_for(&self.runs[run], part, free, midnight, into);
            let bits = part.minutes.div_ceil(GRAIN);
            let room = hours.room_for(bits.max(1)).without_before(begins.div_ceil(GRAIN));
            let Some(first) = room.first() else {
                return false;
            };
            let starts = midnight + first * GRAIN;
            into.push(Placed {
                starts,
                ends: starts + bits * GRAIN,
            });
        }
        true
    }

    /// The same as late as it can be.
    fn fits_late(&self, free: &[Hours], open: &Open, run: usize, until: u32, into: &mut Vec<Placed>) -> bool {
        let parts = &self.runs[run];
        let midnight = open.day * DAY;
        into.clear();
        into.resize(parts.len(), Placed::default());
        let mut latest = vec![until.saturating_sub(midnight).min(DAY); parts.len()];
        for (at, part) in parts.iter().enumerate().rev() {
            let hours = hours_for(parts, part, free, midnight, into);
            let bits = part.minutes.div_ceil(GRAIN);
            let Some(last_start) = (latest[at] / GRAIN).checked_sub(bits) else {
                return false;
            };
            let early = part.not_before.saturating_sub(midnight).div_ceil(GRAIN);
            // What takes no time still needs the shop open.
            let room = hours
                .room_for(bits.max(1))
                .to_bit(last_start + 1)
                .without_before(early);
            let Some(last) = room.last() else {
                return false;
            };
            for &(other, wait) in &part.behind {
                let Some(by) = (last * GRAIN).checked_sub(wait) else {
                    return false;
                };
                latest[other] = latest[other].min(by);
            }
            let starts = midnight + last * GRAIN;
            into[at] = Placed {
                starts,
                ends: starts + bits * GRAIN,
            };
        }
        true
    }

    fn take(&mut self, nth: usize, run: usize, parts: &[Placed]) -> Placed {
        let midnight = self.open[nth].day * DAY;
        for (at, placed) in parts.iter().enumerate() {
            let (from, bits) = (
                (placed.starts - midnight) / GRAIN,
                (placed.ends - placed.starts) / GRAIN,
            );
            if bits == 0 {
                continue;
            }
            for which in 0..self.runs[run][at].needs.len() {
                let cell = nth * self.wide + self.runs[run][at].needs[which];
                self.free[cell].take(from, bits);
                let taken = &mut self.taken[cell];
                *taken = (taken.0.min(from), taken.1.max(from + bits));
            }
            let cell = nth * self.wide + SHOP;
            let taken = &mut self.taken[cell];
            *taken = (taken.0.min(from), taken.1.max(from + bits));
        }
        self.lies[run].clear();
        self.lies[run].extend_from_slice(parts);
        over(parts)
    }

    /// The first day that does not end before this minute.
    fn nth_from(&self, minute: u32) -> usize {
        self.open.partition_point(|open| open.day * DAY + DAY <= minute)
    }

    /// Whether a run has room, were one of those that it needs free whenever the shop is open, or idle: how much earlier it could begin.
    #[must_use]
    pub fn if_free(&self, run: usize, from: u32, eased: &[usize], everywhere: bool) -> Option<Placed> {
        let mut parts = Vec::new();
        for nth in self.nth_from(from)..self.open.len() {
            let open = &self.open[nth];
            let mut free = row(&self.free, nth, self.wide).to_vec();
            for &one in eased {
                free[one] = if everywhere {
                    open.free[SHOP]
                } else {
                    open.free[one]
                };
            }
            if self.fits_early(&free, open, run, from, &mut parts) {
                return Some(over(&parts));
            }
        }
        None
    }

    /// Gives back what a run has taken, so that it can be asked where else it could lie.
    pub fn lift(&mut self, run: usize) {
        for (at, placed) in self.lies[run].clone().into_iter().enumerate() {
            let nth = self.nth_from(placed.starts);
            let Some(open) = self.open.get(nth) else { continue };
            let midnight = open.day * DAY;
            let Some(starts) = placed.starts.checked_sub(midnight) else {
                continue;
            };
            let hours = Hours::between(starts, placed.ends - midnight);
            for &one in &self.runs[run][at].needs {
                let free = &mut self.free[nth * self.wide + one];
                for (own, given) in free.0.iter_mut().zip(hours.0) {
                    *own |= given;
                }
            }
        }
    }

    /// Takes a run where it lay.
    pub fn put_back(&mut self, run: usize, parts: &[Placed]) {
        let Some(first) = parts.first() else { return };
        let nth = self.nth_from(first.starts);
        if nth < self.open.len() {
            self.take(nth, run, parts);
        }
    }
}

/// When all whom a part needs are free: on the day, and from those parts of its run that are placed already.
fn hours_for(parts: &[Part], part: &Part, free: &[Hours], midnight: u32, placed: &[Placed]) -> Hours {
    let mut hours = free[SHOP];
    for &one in &part.needs {
        hours = hours.and(free[one]);
    }
    for (other, lies) in parts.iter().zip(placed) {
        // Of those that are not placed the length is nothing.
        let bits = (lies.ends - lies.starts) / GRAIN;
        if bits > 0 && other.needs.iter().any(|one| part.needs.contains(one)) {
            hours.take((lies.starts - midnight) / GRAIN, bits);
        }
    }
    hours
}

/// What belongs to one day.
fn row<T>(cells: &[T], nth: usize, wide: usize) -> &[T] {
    cells.get(nth * wide..(nth + 1) * wide).unwrap_or_default()
}

fn over(parts: &[Placed]) -> Placed {
    Placed {
        starts: parts.iter().map(|part| part.starts).min().unwrap_or(0),
        ends: parts.iter().map(|part| part.ends).max().unwrap_or(0),
    }
}

impl Ground for Days {
    fn clear(&mut self) {
        for (nth, open) in self.open.iter().enumerate() {
            let cells = self.free.iter_mut().skip(nth * self.wide);
            cells.zip(&open.free).for_each(|(cell, free)| *cell = *free);
        }
        self.taken.fill(NEVER);
    }

    fn early(&mut self, run: usize, from: u32) -> Option<Placed> {
        let mut parts = Vec::with_capacity(self.runs[run].len());
        let fits = (self.nth_from(from)..self.open.len()).find(|&nth| {
            let free = row(&self.free, nth, self.wide);
            self.fits_early(free, &self.open[nth], run, from, &mut parts)
        })?;
        Some(self.take(fits, run, &parts))
    }

    fn late(&mut self, run: usize, until: u32) -> Option<Placed> {
        let mut parts = Vec::with_capacity(self.runs[run].len());
        let behind = self.open.partition_point(|open| open.day * DAY < until);
        let fits = (0..behind).rev().find(|&nth| {
            let free = row(&self.free, nth, self.wide);
            self.fits_late(free, &self.open[nth], run, until, &mut parts)
        })?;
        Some(self.take(fits, run, &parts))
    }

    fn alone(&self, run: usize, from: u32) -> Option<Placed> {
        let mut parts = Vec::with_capacity(self.runs[run].len());
        self.open
            .iter()
            .skip(self.nth_from(from))
            .find(|open| self.fits_early(&open.free, open, run, from, &mut parts))?;
        Some(over(&parts))
    }

    /// The end; then the days on which anybody comes, the hours of helpers from their first to their last on each day, and how early all begins.
    fn cost(&self, placed: &[Placed]) -> Cost {
        let ends = placed.iter().map(|placed| u64::from(placed.ends)).max();
        let mut days = 0;
        let mut hours = 0;
        for nth in 0..self.open.len() {
            let taken = row(&self.taken, nth, self.wide);
            days += u64::from(taken[SHOP] != NEVER);
            for &helper in &self.helpers {
                let (from, to) = taken[helper];
                hours += u64::from(to.saturating_sub(from.min(to)));
            }
        }
        let starts = placed.iter().map(|placed| u64::from(placed.starts)).sum();
        Cost {
            ends: ends.unwrap_or(0),
            days,
            helpers: hours,
            starts,
        }
    }
}
