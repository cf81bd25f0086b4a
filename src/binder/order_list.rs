//! New hardware to order: what is used once, counted over all joints that go together. Knows joints, no page.

use super::binding::Binding;
use super::joint_words;
use super::words::{capital, inside};
use crate::plan::model::{Fixing, Id, Joint};

/// One kind of hardware.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    pub count: u32,
    /// "bolts M10 × 1.25, 10.9", "split pins".
    pub what: String,
    /// Names of the joints that want it.
    pub joints: Vec<String>,
}

/// Each kind once, in order of first need.
#[must_use]
pub fn all(binding: &Binding<'_>) -> Vec<Order> {
    let mut orders: Vec<Order> = Vec::new();
    for (id, joint) in binding.plan.joints.iter() {
        let Some(renew) = joint.renew.as_ref().filter(|_| goes_together(binding, id)) else {
            continue;
        };
        let called = capital(&joint.head.called());
        match &renew.value {
            // Where there is no thread, the text is a remark on the clips or pins themselves.
            Some(what) if joint.fixings.is_empty() => {
                let word = joint_words::unthreaded_word(joint.kind.value, joint.fixing_count());
                add(
                    &mut orders,
                    joint.fixing_count(),
                    format!("{word}: {what}"),
                    &called,
                );
            }
            Some(what) => add(&mut orders, joint.fixing_count(), inside(what), &called),
            None if joint.fixings.is_empty() => {
                add(
                    &mut orders,
                    joint.fixing_count(),
                    inside(&joint.head.called()),
                    &called,
                );
            }
            None => {
                for fixing in &joint.fixings {
                    add(&mut orders, fixing.count, kind(fixing), &called);
                }
            }
        }
    }
    orders
}

/// Bolts and studs of one size and class are one kind wherever they sit.
fn kind(fixing: &Fixing) -> String {
    let class = fixing
        .class
        .as_ref()
        .map_or_else(String::new, |class| format!(", {}", class.value));
    format!(
        "{} {}{class}",
        fixing.what.words(2),
        joint_words::thread(&fixing.thread)
    )
}

fn add(orders: &mut Vec<Order>, count: u32, what: String, joint: &str) {
    match orders.iter_mut().find(|order| order.what == what) {
        Some(order) => {
            order.count = order.count.saturating_add(count);
            if !order.joints.iter().any(|known| known == joint) {
                order.joints.push(joint.to_owned());
            }
        }
        None => orders.push(Order {
            count,
            what,
            joints: vec![joint.to_owned()],
        }),
    }
}

/// It is started or tightened in a step; or it is loosened, comes back, and no joint takes its place.
fn goes_together(binding: &Binding<'_>, id: Id<Joint>) -> bool {
    let uses = &binding.uses;
    let closed = !uses.started.steps(id).is_empty() || !uses.tightened.steps(id).is_empty();
    let replaced = binding
        .plan
        .joints
        .values()
        .any(|other| other.in_place_of.is_some_and(|said| said.value == id));
    let gone = binding.plan.joints[id].gone.is_some();
    closed || (!replaced && !gone && !uses.loosened.steps(id).is_empty())
}
