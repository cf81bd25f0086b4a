//! A ground of stocks: so many of each kind are there at any time, and a piece takes a number of each for as long as it lasts. Any one unit of time; no
//! days, no nights.

#![allow(
    clippy::indexing_slicing,
    reason = "a piece and a kind are named by their places, and the ground is as long as it is made"
)]

use super::laying::{Ground, Placed};
use super::unfit::{Unfit, within};

/// What a piece takes, and for how long.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draws {
    /// How long it lasts.
    pub takes: u32,
    /// How many of each kind it has in use while it lasts.
    pub of_each: [u16; KINDS],
}

/// Kinds of stock.
pub const KINDS: usize = 4;
/// The most that there may be of one kind.
pub const MOST: u16 = 0x7fff;

/// The stocks through time.
#[derive(Debug, Clone)]
pub struct Stock {
    draws: Vec<(u32, u64)>,
    there: u64,
    /// What is left at each time, sixteen bits a kind, the highest of each set as long as nothing is short.
    left: Vec<u64>,
}

const WHOLE: u64 = 0x8000_8000_8000_8000;

impl Stock {
    /// # Errors
    /// A stock, or what a piece takes of one, that is more than there may be, or than there is.
    pub fn new(there: [u16; KINDS], pieces: &[Draws], horizon: u32) -> Result<Self, Unfit> {
        for most in there.map(f64::from) {
            within("stock", most, 0.0, f64::from(MOST))?;
        }
        for piece in pieces {
            for (taken, most) in piece.of_each.into_iter().zip(there) {
                within("what a piece takes", f64::from(taken), 0.0, f64::from(most))?;
            }
        }
        Ok(Self {
            draws: pieces
                .iter()
                .map(|piece| (piece.takes, packed(piece.of_each)))
                .collect(),
            there: packed(there) | WHOLE,
            left: vec![0; usize::try_from(horizon).unwrap_or(0)],
        })
    }
}

fn packed(each: [u16; KINDS]) -> u64 {
    each.iter().rev().fold(0, |all, one| all << 16 | u64::from(*one))
}

impl Ground for Stock {
    fn clear(&mut self) {
        self.left.fill(self.there);
    }

    fn early(&mut self, piece: usize, from: u32) -> Option<Placed> {
        let (takes, need) = self.draws[piece];
        let mut starts = from;
        loop {
            let ends = starts.checked_add(takes)?;
            let slots = self.left.get_mut(starts as usize..ends as usize)?;
            let short = slots
                .iter()
                .rposition(|left| left.wrapping_sub(need) & WHOLE != WHOLE);
            match short {
                Some(at) => starts += u32::try_from(at).ok()? + 1,
                None => {
                    slots.iter_mut().for_each(|left| *left -= need);
                    return Some(Placed { starts, ends });
                }
            }
        }
    }

    fn late(&mut self, piece: usize, until: u32) -> Option<Placed> {
        let (takes, need) = self.draws[piece];
        let mut ends = until;
        loop {
            let starts = ends.checked_sub(takes)?;
            let slots = self.left.get_mut(starts as usize..ends as usize)?;
            let short = slots
                .iter()
                .position(|left| left.wrapping_sub(need) & WHOLE != WHOLE);
            match short {
                Some(at) => ends = starts + u32::try_from(at).ok()?,
                None => {
                    slots.iter_mut().for_each(|left| *left -= need);
                    return Some(Placed { starts, ends });
                }
            }
        }
    }

    fn alone(&self, piece: usize, from: u32) -> Option<Placed> {
        Some(Placed {
            starts: from,
            ends: from.checked_add(self.draws[piece].0)?,
        })
    }
}
