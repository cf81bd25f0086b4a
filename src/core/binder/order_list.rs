//! New hardware to order: what is used once, counted over all joints that go together. Knows joints, no page.

use std::collections::BTreeMap;

use super::binding::Binding;
use super::joint_words;
use super::words::{capital, inside};
use crate::plan::model::{Fixing, Id, Joint, Log, Part, Plan, Spoilt};
use crate::plan::vocabulary::acts::OnJoints;

/// What the last word of a text after `renew` must be for the text to name a thing rather than to remark on one.
const THINGS: &[&str] = &[
    "band", "bolt", "bush", "circlip", "clip", "cup", "gasket", "nut", "pin", "plug", "ring", "rivet",
    "screw", "seal", "spring", "strap", "stud", "tie", "washer",
];

/// One kind of hardware.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    pub count: u32,
    /// "bolts M10 × 1.25, 10.9", "split pins".
    pub what: String,
    /// Names of the joints that want it.
    pub joints: Vec<String>,
    /// So many more, to be sure.
    pub spares: u32,
}

/// So many of one kind, as one joint wants it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Lot {
    count: u32,
    /// A thing of the machine, of which nobody orders one to spare.
    is_thing: bool,
    one: String,
    many: String,
}

/// Each kind once, in order of first need; so often as its joints are closed.
#[must_use]
pub fn all(binding: &Binding<'_>) -> Vec<Order> {
    let closings = closings(binding);
    let joints = binding.plan.joints.ids().filter(|&id| goes_together(binding, id));
    let each = joints.flat_map(|id| {
        let times = closings.get(&id).copied().unwrap_or(1).max(1);
        std::iter::repeat_n((id, None), times)
    });
    let wanted = each.flat_map(|(id, only)| lots_called(binding, id, only));
    sum(wanted.chain(spoilt(binding)))
}

/// Fixings that broke or were lost and are not had new yet: neither are all renewed anyhow, nor did others go in since.
fn fixings_spoilt(plan: &Plan) -> impl Iterator<Item = &Spoilt> {
    let day = |log: &Log| log.done.map(|said| said.value);
    plan.logs.iter().flat_map(move |log| {
        log.spoilt.iter().filter(move |spoilt| {
            let joint = spoilt.joint.value;
            let mut since = plan.logs.iter().filter(|other| day(other) >= day(log));
            plan.joints[joint].renew.is_none()
                && !since.any(|log| log.fitted.iter().any(|fitted| fitted.joint.value == joint))
        })
    })
}

/// How many of a joint's fixings are no longer in its bag.
#[must_use]
pub fn missing(plan: &Plan, joint: Id<Joint>) -> u32 {
    let own = fixings_spoilt(plan).filter(|spoilt| spoilt.joint.value == joint);
    own.map(|spoilt| spoilt.count.value).sum()
}

/// What the log says broke, was lost or was damaged, and is not had new yet.
fn spoilt<'a>(binding: &'a Binding<'_>) -> impl Iterator<Item = (Lot, String)> + 'a {
    let plan = binding.plan;
    let has_heir = |part: Id<Part>| {
        let mut parts = plan.parts.values();
        parts.any(|other| other.in_place_of.is_some_and(|place| place.value.part == part))
    };
    let fixings = fixings_spoilt(plan).flat_map(move |spoilt| {
        let joint = &plan.joints[spoilt.joint.value];
        let called = capital(&joint.head.called());
        let lots = kinds(joint, Some(spoilt.count.value)).into_iter();
        lots.map(move |lot| (lot, called.clone()))
    });
    let damaged = plan.logs.iter().flat_map(|log| &log.damaged);
    let parts = damaged
        .filter(move |damaged| !has_heir(damaged.part.value))
        .map(move |damaged| {
            let called = plan.parts[damaged.part.value].head.called();
            let one = inside(&called);
            let lot = Lot {
                count: 1,
                is_thing: true,
                many: one.clone(),
                one,
            };
            (lot, "Damaged in the work".to_owned())
        });
    fixings.chain(parts)
}

/// How many spares go with so many: one up to ten, then one for every ten or part of it. Common practice, no source.
#[must_use]
pub fn spares(count: u32) -> u32 {
    count.div_ceil(10)
}

/// How often each joint is closed with what is new: each time that it is put together after it came apart. What is put in by twos is
/// one closing.
fn closings(binding: &Binding<'_>) -> BTreeMap<Id<Joint>, usize> {
    let all = binding.work.worked_on();
    all.map(|(joint, acts)| {
        let mut together = false;
        let mut times = 0;
        for on in acts {
            match on.does {
                OnJoints::PutsIn | OnJoints::PressesHome => {
                    times += usize::from(!together);
                    together = true;
                }
                OnJoints::PartsThem => together = false,
                OnJoints::Nothing
                | OnJoints::Loosens
                | OnJoints::Tightens
                | OnJoints::StopsTheLine
                | OnJoints::ClearsTheLine
                | OnJoints::Checks => {}
            }
        }
        (joint, times)
    })
    .filter(|(_, times)| *times > 0)
    .collect()
}

/// What these joints want new, each kind once; where a count is given, only so many fixings are meant.
#[must_use]
pub fn summed(binding: &Binding<'_>, joints: impl Iterator<Item = (Id<Joint>, Option<u32>)>) -> Vec<Order> {
    sum(joints.flat_map(|(id, only)| lots_called(binding, id, only)))
}

/// What one joint wants new, each with what that joint is called.
fn lots_called(binding: &Binding<'_>, id: Id<Joint>, only: Option<u32>) -> Vec<(Lot, String)> {
    let joint = &binding.plan.joints[id];
    let called = capital(&joint.head.called());
    let lots = lots(binding, joint, only).into_iter();
    lots.map(|lot| (lot, called.clone())).collect()
}

fn sum(lots: impl Iterator<Item = (Lot, String)>) -> Vec<Order> {
    let mut sums: Vec<(Lot, Vec<String>)> = Vec::new();
    for (lot, called) in lots {
        match sums.iter_mut().find(|(sum, _)| sum.many == lot.many) {
            Some((sum, joints)) => {
                sum.count = sum.count.saturating_add(lot.count);
                if !joints.contains(&called) {
                    joints.push(called);
                }
            }
            None => sums.push((lot, vec![called])),
        }
    }
    sums.into_iter()
        .map(|(lot, joints)| Order {
            spares: if lot.is_thing { 0 } else { spares(lot.count) },
            count: lot.count,
            what: if lot.count == 1 { lot.one } else { lot.many },
            joints,
        })
        .collect()
}

fn lots(binding: &Binding<'_>, joint: &Joint, only: Option<u32>) -> Vec<Lot> {
    let Some(renew) = &joint.renew else {
        return Vec::new();
    };
    let count = only.unwrap_or_else(|| joint.fixing_count());
    match renew.value.as_deref() {
        Some(what) if renewed_thing(joint, what).is_some() => {
            let what = renewed_thing(joint, what).unwrap_or(what);
            let [one, many] = [1, 2].map(|count| {
                let size = size_of_the_thing(joint, what).map_or_else(String::new, |size| format!(" {size}"));
                format!("{}{size}", thing(what, count))
            });
            vec![Lot {
                count,
                is_thing: false,
                one,
                many,
            }]
        }
        // The text is a remark on the clips or bolts themselves.
        Some(remark) => {
            let remark = match joint_words::beyond_size(joint, remark) {
                "" => String::new(),
                left => format!(" ({left})"),
            };
            let told = |lot: Lot| Lot {
                one: format!("{}{remark}", lot.one),
                many: format!("{}{remark}", lot.many),
                ..lot
            };
            kinds(joint, only).into_iter().map(told).collect()
        }
        None if joint.fixings.is_empty() => {
            let called = binding.inside(&joint.head.called());
            vec![Lot {
                count,
                is_thing: false,
                one: called.clone(),
                many: called,
            }]
        }
        None => kinds(joint, only),
    }
}

/// The fixings themselves. Bolts and studs of one size and class are one kind wherever they sit.
fn kinds(joint: &Joint, only: Option<u32>) -> Vec<Lot> {
    if joint.fixings.is_empty() {
        let [one, many] =
            [1, 2].map(|count| joint_words::unthreaded_word(joint.kind.value, count).to_owned());
        let count = only.unwrap_or_else(|| joint.fixing_count());
        return vec![Lot {
            count,
            is_thing: false,
            one,
            many,
        }];
    }
    // The plan does not say which of several sizes a smaller count means.
    let only = only.filter(|_| joint.fixings.len() == 1);
    let lot = |fixing: &Fixing| {
        let [one, many] = [1, 2].map(|count| format!("{} {}", fixing.what.words(count), size(fixing)));
        Lot {
            count: only.unwrap_or(fixing.count),
            is_thing: false,
            one,
            many,
        }
    };
    joint.fixings.iter().map(lot).collect()
}

/// "M10 × 1.25, 10.9".
fn size(fixing: &Fixing) -> String {
    let class = joint_words::class(fixing).map_or_else(String::new, |class| format!(", {class}"));
    format!("{}{class}", joint_words::thread(&fixing.thread))
}

/// "locking nut" and "split pin" are things; "four of seven break" is a remark.
#[must_use]
pub fn names_a_thing(what: &str) -> bool {
    THINGS.iter().any(|thing| {
        last_word(what)
            .to_lowercase()
            .strip_prefix(thing)
            .is_some_and(|rest| rest.is_empty() || rest == "s" || rest == "es")
    })
}

/// What is to be renewed by name: "split pin"; "locking nuts" where thread and class, which are the joint's own, come behind it.
#[must_use]
pub fn renewed_thing<'w>(joint: &Joint, what: &'w str) -> Option<&'w str> {
    names_a_thing(what)
        .then_some(what)
        .or_else(|| joint_words::sized_thing(joint, what))
}

/// "2 split pins" without the count.
#[must_use]
pub fn thing(what: &str, count: u32) -> String {
    let what = inside(what.trim());
    let one = |what: &str| THINGS.contains(&last_word(what).to_lowercase().as_str());
    let single = [what.strip_suffix("es"), what.strip_suffix('s')]
        .into_iter()
        .flatten()
        .find(|what| one(what));
    if let (1, Some(single)) = (count, single) {
        single.to_owned()
    } else if count == 1 || what.ends_with('s') {
        what
    } else if what.ends_with("bush") {
        format!("{what}es")
    } else {
        format!("{what}s")
    }
}

fn last_word(text: &str) -> &str {
    text.trim().rsplit([' ', '-']).next().unwrap_or("")
}

/// The thread of a thing that is itself one of the joint's fixings: a locking nut, but not a split pin.
fn size_of_the_thing(joint: &Joint, what: &str) -> Option<String> {
    let fixing = joint.fixings.iter().find(|fixing| {
        [1, 2]
            .iter()
            .any(|&count| last_word(what).eq_ignore_ascii_case(fixing.what.words(count)))
    })?;
    Some(size(fixing))
}

/// It is started, pressed home or tightened in a step; or it is loosened, comes back, and no joint takes its place.
fn goes_together(binding: &Binding<'_>, id: Id<Joint>) -> bool {
    let uses = binding.work;
    let closed = [&uses.started, &uses.tightened, &uses.pressed_home]
        .iter()
        .any(|seen| !seen.steps(id).is_empty());
    let replaced = binding.work.is_replaced(id);
    let gone = binding.plan.joints[id].gone.is_some();
    closed || (!replaced && !gone && !uses.loosened.steps(id).is_empty())
}
