//! Bags for loose fixings: which joint's go into which, and the label on each. A joint has one bag, numbered in the order in which the
//! fixings come out. Knows neither cards nor grids.

use std::collections::BTreeMap;

use super::binding::Binding;
use super::document::{FixingShape, Label, TrueSize, text_of};
use super::figures;
use super::joint_words;
use super::kept::Kept;
use super::words::capital;
use crate::plan::model::{Does, FixingKind, Id, Joint, Plan, Thread};
use crate::plan::vocabulary::drives::DriveKind;
use crate::reckon::amounts::{INCH, Millimetres};
use crate::reckon::heads;
use crate::reckon::spanner::HexSeries;

/// Most letters of the line with steps and torque: a figure cut short could be read as another.
const WAY: usize = 38;

#[derive(Debug, Default)]
pub struct Bags {
    number: BTreeMap<Id<Joint>, usize>,
    /// The joint that takes the place of one, and its fixings too.
    heirs: BTreeMap<Id<Joint>, Id<Joint>>,
}

impl Bags {
    #[must_use]
    pub fn of(plan: &Plan, kept: &Kept) -> Bags {
        let mut number = BTreeMap::new();
        // A number that was printed once stays with its joint, and is given to no other.
        let mut next = kept.bags.values().max().copied().unwrap_or(0);
        let acts = plan.order.iter().flat_map(|&step| plan.steps[step].acts());
        for act in acts {
            let Does::Undo(all) = &act.does else { continue };
            for fixings in all {
                let joint = &plan.joints[fixings.joint.value];
                if !joint.fixings.is_empty() || joint.count.is_some() {
                    number.entry(fixings.joint.value).or_insert_with(|| {
                        kept.bags.get(&*joint.head.name).copied().unwrap_or_else(|| {
                            next += 1;
                            next
                        })
                    });
                }
            }
        }
        let heirs = plan
            .joints
            .iter()
            .filter(|(id, _)| !number.contains_key(id))
            .filter_map(|(id, joint)| {
                let old = joint.in_place_of?.value;
                let known = &plan.joints[old];
                let new_ones = joint.renew.is_some() || known.renew.is_some();
                let own = fixings(joint);
                let same = !new_ones && !own.is_empty() && own == fixings(known);
                (same && number.contains_key(&old)).then_some((old, id))
            })
            .collect();
        Bags { number, heirs }
    }

    pub fn all(&self) -> impl Iterator<Item = (Id<Joint>, usize)> {
        self.number.iter().map(|(joint, number)| (*joint, *number))
    }

    /// The joint that takes the place of this one and its fixings too.
    #[must_use]
    pub fn heir(&self, joint: Id<Joint>) -> Option<Id<Joint>> {
        self.heirs.get(&joint).copied()
    }

    /// The bag of a joint's fixings; none if nothing loose comes of it.
    #[must_use]
    pub fn number(&self, joint: Id<Joint>) -> Option<usize> {
        self.number.get(&joint).copied()
    }
}

/// The labels of all bags, in their order.
#[must_use]
pub fn labels(binding: &Binding<'_>) -> Vec<Label> {
    let mut all: Vec<(usize, Id<Joint>)> = binding.bags.number.iter().map(|(id, n)| (*n, *id)).collect();
    all.sort_unstable();
    // What leaves the shop or is thrown away comes last, on sheets of its own.
    let mut labels: Vec<Label> = all
        .into_iter()
        .map(|(number, id)| label(binding, number, id))
        .collect();
    labels.sort_by_key(|label| label.leaves);
    labels
}

fn label(binding: &Binding<'_>, number: usize, id: Id<Joint>) -> Label {
    let joint = &binding.plan.joints[id];
    let off = binding
        .work
        .loosened
        .steps(id)
        .last()
        .map(|&step| binding.number(step));
    let on = binding
        .work
        .started
        .steps(id)
        .last()
        .or(binding.work.tightened.steps(id).last())
        .or(binding
            .bags
            .heir(id)
            .and_then(|heir| binding.work.started.steps(heir).last()))
        // What is thrown away goes on nowhere.
        .filter(|_| joint.renew.is_none() && joint.gone.is_none())
        .map(|&step| binding.number(step));
    let then = joint.torque.as_ref().and_then(|said| said.value.then);
    // Put in by hand in one step and brought to its figure in another: both are said, or the figure is taken for the first.
    let tightened = [Some(id), binding.bags.heir(id)].into_iter().flatten();
    let tightened = tightened
        .filter_map(|id| binding.work.tightened.steps(id).last())
        .next_back()
        .map(|&step| binding.number(step))
        .filter(|step| on.as_ref().is_some_and(|on| on != step));
    let torque = joint_words::torque(binding, joint).filter(|_| on.is_some());
    let torque = torque.map(|torque| {
        let figure = match then {
            // A torque without the turn that follows it would be taken for the whole of it.
            Some(angle) => format!("{} + {}", torque.first, figures::angle(angle)),
            None => torque.first,
        };
        match tightened {
            Some(step) => format!("{figure} in {step}"),
            None => figure,
        }
    });
    let what = text_of(&joint_words::count_and_thread(joint, None));
    let back = if joint.renew.is_some() {
        Some("not used again".to_owned())
    } else if joint.gone.is_some() {
        Some("not refitted".to_owned())
    } else {
        torque
    };
    let way: Vec<String> = [
        off.as_ref().map(|step| format!("off {step}")),
        on.as_ref().map(|step| format!("on {step}")),
        back.clone(),
    ]
    .into_iter()
    .flatten()
    .collect();
    let mut way = way.join(" · ");
    if way.chars().count() > WAY
        && let Some(torque) = &back
        && let Some(short) = way.strip_suffix(torque.as_str())
    {
        way = format!("{short}see card");
    }
    let from = joint.ends.map(|[one, other]| {
        let name = |thing| binding.inside(&binding.plan.called(thing));
        format!("{} to {}", name(one.value), name(other.value))
    });
    let called = capital(&joint.head.called());
    Label {
        drawn: drawn(joint),
        number: number.to_string(),
        side: match joint.head.name.rsplit_once('-') {
            Some((_, "left")) => Some("L"),
            Some((_, "right")) => Some("R"),
            _ => None,
        },
        leaves: joint.renew.is_some() || joint.gone.is_some(),
        joint: called,
        what,
        from: from.map_or_else(String::new, |from| capital(&from)),
        way,
        proof: format!("label/{}", joint.head.name),
    }
}

fn fixings(joint: &Joint) -> String {
    text_of(&joint_words::count_and_thread(joint, None))
}

/// The first sort of its fixings, at true size.
fn drawn(joint: &Joint) -> Option<TrueSize> {
    let fixing = joint.fixings.first()?;
    let (thread, length) = match &fixing.thread {
        Thread::Metric { diameter, length, .. } => (*diameter, *length),
        Thread::Unified { diameter, length, .. } => (diameter * INCH, length.map(|inches| inches * INCH)),
    };
    let size = Millimetres(thread);
    let head = |kind| joint.drives.iter().find(move |drive| drive.kind == kind);
    let flats = head(DriveKind::Head)
        .or_else(|| head(DriveKind::NutHead))
        .and_then(|drive| drive.across)
        .map(|across| across.base())
        .or_else(|| HexSeries::Iso.across(size).map(|across| across.0));
    let (shape, across, high) = match fixing.what {
        FixingKind::Nuts => (FixingShape::Nut, flats?, 0.0),
        FixingKind::Studs => (FixingShape::Stud, 0.0, 0.0),
        FixingKind::Bolts | FixingKind::Screws => {
            if head(DriveKind::Head).is_some() {
                let high = heads::hexagon_high(size).map_or(0.65 * thread, |high| high.0);
                (FixingShape::Hexagon, flats?, high)
            } else if joint.drives.iter().any(|drive| drive.kind == DriveKind::Key) {
                (FixingShape::Cylinder, heads::cylinder_across(size)?.0, thread)
            } else {
                return None;
            }
        }
    };
    Some(TrueSize {
        shape,
        count: fixing.count,
        thread,
        length,
        across,
        high,
    })
}
