//! The order of what comes off: each after what covers it; what is reached with the wheels down first, then all that wants the vehicle
//! up, so that it goes up once.

use std::collections::BTreeSet;

use super::{Blocked, Node, nodes};
use crate::plan::model::{Plan, Thing};
use crate::walk::layout::Layout;
use crate::walk::state::State;

/// The same search from another state; the first answer is kept where nothing was done in between.
pub(super) fn nodes_again(
    plan: &Plan,
    layout: &Layout,
    state: &State,
    thing: Thing,
    first: Vec<Node>,
) -> Result<Vec<Node>, Blocked> {
    if *state == State::found(plan, layout) {
        Ok(first)
    } else {
        nodes(plan, layout, state, thing)
    }
}

/// Puts what can be done on the ground before what cannot.
pub(super) fn order(nodes: Vec<Node>) -> Vec<Node> {
    let mut waits: Vec<usize> = nodes.iter().map(|node| node.before.len()).collect();
    let mut frees: Vec<Vec<usize>> = vec![Vec::new(); nodes.len()];
    for (at, node) in nodes.iter().enumerate() {
        for &before in &node.before {
            if let Some(list) = frees.get_mut(before) {
                list.push(at);
            }
        }
    }
    // Smallest number first, on the ground and up.
    let mut ready = [BTreeSet::new(), BTreeSet::new()];
    let low: Vec<usize> = nodes
        .iter()
        .map(|node| usize::from(node.below.is_some()))
        .collect();
    let put = |ready: &mut [BTreeSet<usize>; 2], at: usize| {
        let level = low.get(at).copied().unwrap_or(0);
        if let Some(set) = ready.get_mut(level) {
            set.insert(at);
        }
    };
    for (at, &waiting) in waits.iter().enumerate() {
        if waiting == 0 {
            put(&mut ready, at);
        }
    }
    let mut order = Vec::with_capacity(nodes.len());
    while let Some(at) = ready.iter_mut().find_map(BTreeSet::pop_first) {
        order.push(at);
        for &next in frees.get(at).into_iter().flatten() {
            if let Some(waiting) = waits.get_mut(next) {
                *waiting -= 1;
                if *waiting == 0 {
                    put(&mut ready, next);
                }
            }
        }
    }
    let mut slots: Vec<Option<Node>> = nodes.into_iter().map(Some).collect();
    order
        .into_iter()
        .filter_map(|at| slots.get_mut(at).and_then(Option::take))
        .collect()
}
