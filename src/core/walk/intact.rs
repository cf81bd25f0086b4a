//! Whether the shortest way that carries a part to the body is whole: asked and kept in a few dozen steps, however long the way is.
//! The ways are those of the declared graph and make a tree; a joint that is parted breaks the way of everything beyond it. A part
//! with a broken way may still stand by another one, so that this spares searches and settles nothing else.

use std::collections::VecDeque;

use super::layout::Layout;
use super::state::State;
use super::support::View;
use super::table::Table;
use crate::plan::model::{Id, Joint, Part};

/// The tree of shortest ways to the body, over joints that can carry.
#[derive(Debug, Default, Clone)]
pub struct Tree {
    /// The part beyond a joint that lies on such a way; all carrying joints between the same two parts are one way.
    beyond: Table<Joint, Option<Id<Part>>>,
    /// Each part's number, and the first number that is not beyond it: what lies between is. Nothing if no way leads there.
    numbers: Table<Part, Option<(usize, usize)>>,
}

impl Tree {
    pub fn new(layout: &Layout) -> Self {
        let parts = layout.parts.len();
        let mut nearer: Table<Part, Option<Id<Part>>> = Table::new(vec![None; parts]);
        let mut tree = Self {
            beyond: Table::new(vec![None; layout.joints.len()]),
            numbers: Table::new(vec![None; parts]),
        };
        let Some(body) = layout.body else { return tree };
        let mut order = Vec::new();
        let mut open = VecDeque::from([body]);
        let mut seen = Table::new(vec![false; parts]);
        seen[body] = true;
        while let Some(here) = open.pop_front() {
            order.push(here);
            for &joint in &layout.parts[here].joints {
                let facts = &layout.joints[joint];
                let Some(other) = facts.other(here).filter(|&other| facts.bears(other)) else {
                    continue;
                };
                if !seen[other] {
                    seen[other] = true;
                    nearer[other] = Some(here);
                    open.push_back(other);
                }
                if nearer[other] == Some(here) {
                    tree.beyond[joint] = Some(other);
                }
            }
        }
        // How many parts each has beyond it, itself among them: from the farthest inwards.
        let mut sizes = Table::new(vec![1usize; parts]);
        for &part in order.iter().rev() {
            if let Some(next) = nearer[part] {
                sizes[next] += sizes[part];
            }
        }
        // From the body outwards each gets a stretch of numbers within that of the one before it.
        let mut free = Table::new(vec![0usize; parts]);
        for &part in &order {
            let first = match nearer[part] {
                Some(next) => {
                    let first = free[next];
                    free[next] += sizes[part];
                    first
                }
                None => 0,
            };
            free[part] = first + 1;
            tree.numbers[part] = Some((first, first + sizes[part]));
        }
        tree
    }

    /// Whether the way of `part` leads over `over`.
    fn leads_over(&self, part: Id<Part>, over: Id<Part>) -> bool {
        match (self.numbers[part], self.numbers[over]) {
            (Some((number, _)), Some((first, end))) => (first..end).contains(&number),
            _ => false,
        }
    }
}

/// How many breaks there are on the way of each part.
#[derive(Debug, Default, Clone)]
pub struct Intact {
    /// For each part, how many joints tie it to the next one on its way.
    tied: Table<Part, u32>,
    /// Breaks as sums over stretches of numbers (Fenwick 1994).
    sums: Vec<i32>,
}

impl Intact {
    pub fn new(layout: &Layout, state: &State) -> Self {
        let view = View {
            layout,
            state,
            intact: None,
        };
        let mut intact = Self {
            tied: Table::new(vec![0; layout.parts.len()]),
            sums: vec![0; layout.parts.len() + 2],
        };
        for (joint, beyond) in layout.tree.beyond.iter() {
            if let Some(part) = beyond.filter(|_| view.ties(joint)) {
                intact.tied[part] += 1;
            }
        }
        for (part, numbers) in layout.tree.numbers.iter() {
            if let Some(stretch) = numbers.filter(|_| intact.tied[part] == 0 && Some(part) != layout.body) {
                intact.add(stretch, 1);
            }
        }
        intact
    }

    /// A joint ties again, or ties no longer.
    pub fn set(&mut self, layout: &Layout, joint: Id<Joint>, ties: bool) {
        let Some(part) = layout.tree.beyond[joint] else {
            return;
        };
        let was_broken = self.tied[part] == 0;
        if ties {
            self.tied[part] += 1;
        } else {
            self.tied[part] = self.tied[part].saturating_sub(1);
        }
        let is_broken = self.tied[part] == 0;
        if let Some(stretch) = layout.tree.numbers[part].filter(|_| was_broken != is_broken) {
            self.add(stretch, if is_broken { 1 } else { -1 });
        }
    }

    /// Whether the way of a part to the body is whole, and does not lead over `without`.
    pub fn carries(&self, layout: &Layout, part: Id<Part>, without: Option<Id<Part>>) -> bool {
        let Some((number, _)) = layout.tree.numbers[part] else {
            return false;
        };
        if without.is_some_and(|without| layout.tree.leads_over(part, without)) {
            return false;
        }
        let mut sum = 0;
        let mut at = number + 1;
        while at > 0 {
            sum += self.sums.get(at).copied().unwrap_or(0);
            at &= at - 1;
        }
        sum == 0
    }

    fn add(&mut self, (first, end): (usize, usize), breaks: i32) {
        for (from, breaks) in [(first + 1, breaks), (end + 1, -breaks)] {
            let mut at = from;
            while let Some(sum) = self.sums.get_mut(at) {
                *sum += breaks;
                at += at & at.wrapping_neg();
            }
        }
    }
}
