//! What stands at the end in the place of a part, a thing or a joint. Knows declarations only.

use super::Ground;
use crate::plan::model::{Afterwards, Id, Joint, Part, Thing};

/// The part that stands in a part's place at the end; none if nothing goes back.
pub fn back_part(ground: &Ground<'_>, part: Id<Part>) -> Option<Id<Part>> {
    let facts = &ground.layout.parts[part];
    let new = facts
        .replaced_by
        .iter()
        .copied()
        .find(|&new| !ground.layout.parts[new].if_renewed);
    if new.is_some() {
        return new;
    }
    let afterwards = ground.plan.parts[part].afterwards.map(|said| said.value);
    let stays = afterwards.is_none_or(|after| after == Afterwards::GoesBack);
    stays.then_some(part)
}

/// A thing as it goes back: itself where all of it does, else what of it does or takes its place.
pub fn back_thing(ground: &Ground<'_>, thing: Thing) -> Vec<Thing> {
    match thing {
        Thing::Part(part) => back_part(ground, part).map(Thing::Part).into_iter().collect(),
        Thing::Assembly(assembly) => {
            let parts = ground.plan.parts_of(thing);
            if parts.iter().all(|&part| back_part(ground, part) == Some(part)) {
                return vec![thing];
            }
            let members = &ground.plan.assemblies[assembly].of;
            let mut all: Vec<Thing> = Vec::new();
            for member in members {
                for thing in back_thing(ground, member.value) {
                    if !all.contains(&thing) {
                        all.push(thing);
                    }
                }
            }
            all
        }
    }
}

/// The joint that is in place of another for good.
pub fn replacing(ground: &Ground<'_>, joint: Id<Joint>) -> Option<Id<Joint>> {
    let layout = ground.layout;
    layout.joints[joint].replaced_by.iter().copied().find(|&new| {
        let mut ends = layout.joints[new].ends.into_iter().flatten();
        ends.all(|end| !layout.parts[end].if_renewed)
    })
}
