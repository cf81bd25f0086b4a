//! Pieces of work laid out in time, where some wait for others and all want the same hands: a search for the layout that ends first. What is free when
//! is the business of a `Ground`; here it is only asked. The search makes so many layouts as it is told, by a fixed seed, so that the same work is
//! laid out alike on every machine; no clock stops it.
//!
//! Layouts pushed to the left and to the right breed in turn: a child takes a stretch of time from one parent and what stands before and behind it from
//! another, and is laid out from the other end. Every layout that is made counts, whichever way it is pushed.

#![allow(
    clippy::indexing_slicing,
    reason = "lists are as long as there are pieces, and a piece is named by its place"
)]

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::base::citation::Citation;

/// The search, as it is done here in its broad lines; cited from memory.
pub const TWO_WAYS: Citation = Citation {
    work: "Debels and Vanhoucke, A bi-population based genetic algorithm for the resource-constrained project scheduling problem, Lecture Notes in \
           Computer Science 3483, 2005",
    place: "two populations, crossing over of a stretch of time",
};

/// A piece of work that is done in one go.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Piece {
    /// What has to be done first; all of it stands further up.
    pub behind: Vec<Behind>,
    /// It cannot begin before.
    pub not_before: u32,
}

/// One that has to be done first, and how long nobody goes on after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Behind {
    /// Its place among the pieces.
    pub piece: usize,
    /// So long nobody goes on after it.
    pub wait: u32,
}

/// Where a piece lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Placed {
    /// When it begins.
    pub starts: u32,
    /// When it is done.
    pub ends: u32,
}

/// What a layout is judged by, one figure after the other; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Cost {
    /// When the last one is done.
    pub ends: u64,
    /// Days on which anybody comes.
    pub days: u64,
    /// Time of helpers.
    pub helpers: u64,
    /// The sum of all beginnings.
    pub starts: u64,
}

/// What is free when, and who is taken.
pub trait Ground {
    /// Everything is free again.
    fn clear(&mut self);
    /// Takes the first place of a piece that begins no earlier; none where there is none at all.
    fn early(&mut self, piece: usize, from: u32) -> Option<Placed>;
    /// Takes the last place of a piece that ends no later.
    fn late(&mut self, piece: usize, until: u32) -> Option<Placed>;
    /// The first place of a piece if it were alone; takes nothing.
    fn alone(&self, piece: usize, from: u32) -> Option<Placed>;
    /// How good a layout is.
    fn cost(&self, placed: &[Placed]) -> Cost {
        let ends = placed.iter().map(|placed| u64::from(placed.ends));
        Cost {
            ends: ends.max().unwrap_or(0),
            ..Cost::default()
        }
    }
}

/// A layout.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Laid {
    /// One a piece, in the order given.
    pub placed: Vec<Placed>,
    /// What it is judged by.
    pub cost: Cost,
    /// How many were made to find it.
    pub made: u32,
}

/// A piece that finds no place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoPlace(pub usize);

/// Where each piece would lie if it had to wait for nobody's hands: no layout has it earlier.
///
/// # Errors
/// A piece that finds no place even so.
pub fn earliest(pieces: &[Piece], ground: &impl Ground) -> Result<Vec<Placed>, NoPlace> {
    let mut placed: Vec<Placed> = Vec::with_capacity(pieces.len());
    for at in 0..pieces.len() {
        let from = ready(pieces, &placed, at);
        placed.push(ground.alone(at, from).ok_or(NoPlace(at))?);
    }
    Ok(placed)
}

/// From when on a piece could begin, by what it waits for.
#[must_use]
pub fn ready(pieces: &[Piece], placed: &[Placed], piece: usize) -> u32 {
    let behind = pieces[piece].behind.iter();
    let ready = behind.map(|behind| placed[behind.piece].ends.saturating_add(behind.wait));
    ready.fold(pieces[piece].not_before, u32::max)
}

/// The first layout: of the pieces that can be placed the one with the longest way to the end comes first, in the order of the list where two have
/// the same.
///
/// # Errors
/// A piece that finds no place.
pub fn first(pieces: &[Piece], ground: &mut impl Ground) -> Result<Laid, NoPlace> {
    let takes: Vec<u32> = (0..pieces.len())
        .map(|at| {
            let placed = ground.alone(at, pieces[at].not_before);
            placed.map_or(0, |placed| placed.ends - placed.starts)
        })
        .collect();
    let tails = tails(pieces, &|at| takes[at]);
    let keys: Vec<i64> = tails.iter().map(|tail| -tail * SCALE).collect();
    let mut maker = Maker::new(pieces, ground);
    let placed = maker.forward(&keys)?;
    Ok(maker.laid(placed))
}

/// Lays pieces out in the order in which they begin in another layout; none where one finds no place.
#[must_use]
pub fn again(pieces: &[Piece], ground: &mut impl Ground, placed: &[Placed]) -> Option<Laid> {
    let keys: Vec<i64> = placed
        .iter()
        .map(|placed| i64::from(placed.starts) * SCALE)
        .collect();
    let mut maker = Maker::new(pieces, ground);
    let placed = maker.forward(&keys).ok()?;
    Some(maker.laid(placed))
}

/// Looks on from a first layout, which it keeps where nothing better is found. It stops when so many were made, or when the end cannot come earlier
/// and nothing else is asked for (`end_alone`).
#[must_use]
pub fn search(
    pieces: &[Piece],
    ground: &mut impl Ground,
    first: Laid,
    schedules: u32,
    least: u32,
    end_alone: bool,
) -> Laid {
    let mut best = first;
    let done =
        |best: &Laid, made: u32| made >= schedules || (end_alone && best.cost.ends <= u64::from(least));
    if pieces.len() < 2 || done(&best, best.made) {
        return best;
    }
    let takes: Vec<u32> = best
        .placed
        .iter()
        .map(|placed| placed.ends - placed.starts)
        .collect();
    let tails = tails(pieces, &|at| takes[at]);
    let span = tails.iter().copied().max().unwrap_or(0).max(1) * SCALE;
    let until = best.placed.iter().map(|placed| placed.ends).max().unwrap_or(0);
    let mut random = Random(SEED);
    let mut maker = Maker::new(pieces, ground);
    maker.made = best.made;
    let count = family_of(schedules);
    let known = Layout {
        placed: best.placed.clone(),
        worth: best.cost,
    };
    let mut family: Vec<Layout> = vec![known.clone()];
    while family.len() < count {
        if done(&best, maker.made) {
            return finish(best, maker.made);
        }
        let keys = by_chance(&tails, span, &mut random);
        match maker.forward(&keys) {
            Ok(placed) => family.push(maker.keep(placed, &mut best)),
            Err(_) => family.push(known.clone()),
        }
    }
    // The first ones, pushed to the right as they are.
    let mut to_right = true;
    let mut turned: Vec<Layout> = Vec::with_capacity(count);
    for own in &family {
        if done(&best, maker.made) {
            return finish(best, maker.made);
        }
        let keys = own.keys(to_right);
        turned.push(maker.back(&keys, until).unwrap_or_else(|| own.clone()));
    }
    family = turned;
    to_right = false;
    loop {
        let mut next: Vec<Layout> = Vec::with_capacity(count);
        let ends = family.iter().map(|layout| layout.worth.ends);
        let alike = ends.clone().min() == ends.max();
        for nth in 0..count {
            if done(&best, maker.made) {
                return finish(best, maker.made);
            }
            // Of layouts that are all alike no child is better: then half of them are made anew.
            let keys = if alike && random.below(2) == 0 {
                by_chance(&tails, span * 3, &mut random)
            } else {
                child(&family, nth, to_right, &mut random)
            };
            next.push(if to_right {
                let made = maker.back(&keys, until);
                made.unwrap_or_else(|| family[nth].clone())
            } else {
                match maker.forward(&keys) {
                    Ok(placed) => maker.keep(placed, &mut best),
                    Err(_) => family[nth].clone(),
                }
            });
        }
        if done(&best, maker.made) {
            return finish(best, maker.made);
        }
        keep_the_best(&family, &mut next, to_right, until, &mut maker, &mut best);
        family = next;
        to_right = !to_right;
    }
}

/// Layouts that breed: many find more in the long run, few find it sooner.
fn family_of(schedules: u32) -> usize {
    usize::try_from(schedules / 30).unwrap_or(0).clamp(6, 20)
}
/// Times are keys of an order: so many steps of it lie in one unit of time, for what is alike to be put in order by chance.
const SCALE: i64 = 1_000;
const SEED: u64 = 12_345;

fn finish(mut best: Laid, made: u32) -> Laid {
    best.made = made;
    best
}

/// Keys by the way to the end, each put off by chance.
fn by_chance(tails: &[i64], most: i64, random: &mut Random) -> Vec<i64> {
    let mut put_off = || {
        let share = random.part(most);
        random.part(share)
    };
    tails.iter().map(|tail| -tail * SCALE + put_off()).collect()
}

/// The longest way from the beginning of each piece to the end of all.
fn tails(pieces: &[Piece], takes: &dyn Fn(usize) -> u32) -> Vec<i64> {
    let mut tails: Vec<i64> = (0..pieces.len()).map(|at| i64::from(takes(at))).collect();
    for at in (0..pieces.len()).rev() {
        for behind in &pieces[at].behind {
            let way = tails[at] + i64::from(behind.wait) + i64::from(takes(behind.piece));
            tails[behind.piece] = tails[behind.piece].max(way);
        }
    }
    tails
}

/// A layout of the family, with what it is worth among its like.
#[derive(Debug, Clone)]
struct Layout {
    placed: Vec<Placed>,
    worth: Cost,
}

impl Layout {
    /// The order in which its pieces are laid out anew from one end or the other.
    fn keys(&self, to_right: bool) -> Vec<i64> {
        let key = |placed: &Placed| if to_right { placed.ends } else { placed.starts };
        self.placed
            .iter()
            .map(|placed| i64::from(key(placed)) * SCALE)
            .collect()
    }

    fn begins(&self) -> i64 {
        let starts = self.placed.iter().map(|placed| i64::from(placed.starts));
        starts.min().unwrap_or(0)
    }

    fn ends(&self) -> i64 {
        let ends = self.placed.iter().map(|placed| i64::from(placed.ends));
        ends.max().unwrap_or(0)
    }
}

fn child(family: &[Layout], nth: usize, to_right: bool, random: &mut Random) -> Vec<i64> {
    let (one, other) = (random.below(family.len()), random.below(family.len()));
    let mate = if family[one].worth <= family[other].worth {
        one
    } else {
        other
    };
    let (father, mother) = if random.below(2) == 0 {
        (mate, nth)
    } else {
        (nth, mate)
    };
    let (father, mother) = (&family[father], &family[mother]);
    let from = father.begins() * SCALE;
    let span = (father.ends() * SCALE - from).max(4);
    let length = span / 4 + random.part(span / 2);
    let from = from + random.part(span - length);
    let until = from + length;
    // Further than any time.
    let apart = 1_i64 << 50;
    let mut keys: Vec<i64> = father
        .keys(to_right)
        .into_iter()
        .zip(mother.keys(to_right))
        .map(|(own, hers)| match own {
            _ if own < from => hers - apart,
            _ if own > until => hers + apart,
            _ => own,
        })
        .collect();
    for key in &mut keys {
        *key += random.part(SCALE - 1);
    }
    for at in 0..keys.len() {
        if random.below(50) == 0 {
            let other = random.below(keys.len());
            keys.swap(at, other);
        }
    }
    keys
}

/// Where the best of the family got no child as good, it is laid out itself in place of the worst child.
fn keep_the_best<G: Ground>(
    family: &[Layout],
    next: &mut [Layout],
    to_right: bool,
    until: u32,
    maker: &mut Maker<'_, G>,
    best: &mut Laid,
) {
    let Some(own) = family.iter().min_by_key(|layout| layout.worth) else {
        return;
    };
    let least = next.iter().map(|layout| layout.worth.ends).min();
    if least.is_some_and(|least| least <= own.worth.ends) {
        return;
    }
    let keys = own.keys(to_right);
    let made = if to_right {
        maker.back(&keys, until)
    } else {
        let placed = maker.forward(&keys).ok();
        placed.map(|placed| maker.keep(placed, best))
    };
    if let (Some(made), Some(worst)) = (made, next.iter_mut().max_by_key(|layout| layout.worth)) {
        *worst = made;
    }
}

/// Lays pieces out in the order of keys.
struct Maker<'a, G> {
    pieces: &'a [Piece],
    ground: &'a mut G,
    /// For each piece the ones that wait for it, and how long.
    ahead: Vec<Vec<Behind>>,
    open: Vec<usize>,
    queue: BinaryHeap<Reverse<(i64, usize)>>,
    made: u32,
}

impl<'a, G: Ground> Maker<'a, G> {
    fn new(pieces: &'a [Piece], ground: &'a mut G) -> Self {
        let mut ahead = vec![Vec::new(); pieces.len()];
        for (at, piece) in pieces.iter().enumerate() {
            for behind in &piece.behind {
                ahead[behind.piece].push(Behind {
                    piece: at,
                    wait: behind.wait,
                });
            }
        }
        Self {
            pieces,
            ground,
            ahead,
            open: Vec::new(),
            queue: BinaryHeap::new(),
            made: 0,
        }
    }

    fn laid(&self, placed: Vec<Placed>) -> Laid {
        Laid {
            cost: self.ground.cost(&placed),
            placed,
            made: self.made,
        }
    }

    /// A layout of the family; the best one is kept beside it.
    fn keep(&self, placed: Vec<Placed>, best: &mut Laid) -> Layout {
        let worth = self.ground.cost(&placed);
        if worth < best.cost {
            best.cost = worth;
            best.placed.clone_from(&placed);
        }
        Layout { placed, worth }
    }

    /// Each piece as early as it can be, the least key first.
    fn forward(&mut self, keys: &[i64]) -> Result<Vec<Placed>, NoPlace> {
        self.made += 1;
        self.ground.clear();
        let mut placed = vec![Placed::default(); self.pieces.len()];
        self.open.clear();
        self.open
            .extend(self.pieces.iter().map(|piece| piece.behind.len()));
        self.begin(keys);
        while let Some(Reverse((_, at))) = self.queue.pop() {
            let from = ready(self.pieces, &placed, at);
            placed[at] = self.ground.early(at, from).ok_or(NoPlace(at))?;
            for next in &self.ahead[at] {
                self.open[next.piece] -= 1;
                if self.open[next.piece] == 0 {
                    self.queue.push(Reverse((keys[next.piece], next.piece)));
                }
            }
        }
        Ok(placed)
    }

    /// Each piece as late as it can be before `until`, the greatest key first; worth the more the later it begins.
    fn back(&mut self, keys: &[i64], until: u32) -> Option<Layout> {
        self.made += 1;
        self.ground.clear();
        let mut placed = vec![Placed::default(); self.pieces.len()];
        self.open.clear();
        self.open.extend(self.ahead.iter().map(Vec::len));
        let backward: Vec<i64> = keys.iter().map(|key| -key).collect();
        self.begin(&backward);
        while let Some(Reverse((_, at))) = self.queue.pop() {
            let ahead = self.ahead[at].iter();
            let starts = ahead.map(|next| placed[next.piece].starts.saturating_sub(next.wait));
            let until = starts.fold(until, u32::min);
            placed[at] = self.ground.late(at, until)?;
            for behind in &self.pieces[at].behind {
                self.open[behind.piece] -= 1;
                if self.open[behind.piece] == 0 {
                    self.queue.push(Reverse((backward[behind.piece], behind.piece)));
                }
            }
        }
        let starts = placed.iter().map(|placed| placed.starts);
        let spent = u64::from(until - starts.min().unwrap_or(until));
        Some(Layout {
            placed,
            worth: Cost {
                ends: spent,
                ..Cost::default()
            },
        })
    }

    fn begin(&mut self, keys: &[i64]) {
        self.queue.clear();
        let free = self.open.iter().enumerate().filter(|(_, open)| **open == 0);
        self.queue.extend(free.map(|(at, _)| Reverse((keys[at], at))));
    }
}

/// Chance by a fixed seed: splitmix64, as its author published it.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// From 0 to one less than the count.
    fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.part(i64::try_from(count).unwrap_or(i64::MAX))).unwrap_or(0)
    }

    /// From 0 to one less than the whole, which is at least 1.
    fn part(&mut self, whole: i64) -> i64 {
        let whole = u128::from(whole.max(1).unsigned_abs());
        i64::try_from((u128::from(self.next()) * whole) >> 64).unwrap_or(0)
    }
}
