//! Where the fixings of a joint come from that is closed: its own bag, that of the joint whose place it takes, or none. Knows joints and
//! bags, no page but its table.

use super::binding::Binding;
use super::document::DenseItem;
use super::joint_words;
use super::words::run;
use crate::plan::model::{Id, Joint};

/// What a hand takes up when a joint is started.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    Bag(usize),
    /// The same fixings, out of the joint whose place it takes.
    BagOf(usize, Id<Joint>),
    /// They come with the new part, or have to be bought.
    NoBag,
    /// It has none, or new ones that are ordered as such.
    Nothing,
}

#[must_use]
pub fn from(binding: &Binding<'_>, id: Id<Joint>) -> Source {
    let joint = &binding.plan.joints[id];
    if let Some(bag) = binding.bags.number(id) {
        return Source::Bag(bag);
    }
    if joint.renew.is_some() || joint_words::count_and_thread(joint, None).is_empty() {
        return Source::Nothing;
    }
    let old = joint.in_place_of.map(|said| said.value);
    let old = old.filter(|&old| binding.bags.heir(old) == Some(id));
    match old.and_then(|old| Some((binding.bags.number(old)?, old))) {
        Some((bag, old)) => Source::BagOf(bag, old),
        None => Source::NoBag,
    }
}

/// What has to lie ready beside the bags.
#[must_use]
pub fn without_a_bag(binding: &Binding<'_>) -> Vec<DenseItem> {
    let all = binding.plan.joints.iter();
    all.filter(|(id, _)| from(binding, *id) == Source::NoBag)
        .filter_map(|(id, joint)| {
            let first = binding.work.started.steps(id).first()?;
            let mut text = joint_words::count_and_thread(joint, None);
            text.push(run(format!(": {}", binding.inside(&joint.head.called()))));
            Some(DenseItem {
                text,
                right: Some(binding.number(*first)),
                proof: format!("ready/no-bag/{}", joint.head.name),
                done: false,
            })
        })
        .collect()
}
