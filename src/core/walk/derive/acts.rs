//! From what undoes to acts as steps have them. Knows nothing of their order.

use super::back::Undoes;
use crate::base::source::Span;
use crate::plan::model::{Bearer, Does, Fixings, Id, Joint, Load, Plan, Said, Seat, Thing};

/// Puts a second act of the same kind into the list of the first.
pub fn merge(first: &mut Does, second: &Does) -> bool {
    match (first, second) {
        (Does::Join { by, all: list }, Does::Join { by: other, all: more }) if by == other => {
            list.extend(more.iter().copied());
            true
        }
        (Does::Start(list), Does::Start(more)) | (Does::Tighten(list), Does::Tighten(more)) => {
            list.extend(more.iter().copied());
            true
        }
        (Does::Fill { fluids: list, .. }, Does::Fill { fluids: more, .. })
        | (Does::Bleed(list), Does::Bleed(more)) => {
            list.extend(more.iter().copied());
            true
        }
        (
            Does::Opening { act, joints, .. },
            Does::Opening {
                act: other,
                joints: more,
                ..
            },
        ) if act == other => {
            joints.extend(more.iter().copied());
            true
        }
        // Two acts that stay two.
        _ => false,
    }
}

/// The act as a step has it, with the place of the act that it undoes.
pub fn as_act(plan: &Plan, does: Undoes, at: Span) -> Does {
    let said = |loads: Vec<Load>| {
        loads
            .into_iter()
            .map(|load| Said::new(load, at))
            .collect::<Vec<_>>()
    };
    let one = |joint: Id<Joint>| {
        vec![Fixings {
            joint: Said::new(joint, at),
            count: None,
        }]
    };
    let thing = |thing: Thing| vec![Said::new(thing, at)];
    match does {
        Undoes::Start(joint) => match plan.joints[joint].kind.value.row().closed_by {
            by if by.joins() => Does::Join { by, all: one(joint) },
            // What no act of its own closes is put in by hand.
            _ => Does::Start(one(joint)),
        },
        // What sets is waited for where something else would be tightened.
        Undoes::Tighten(joint) if plan.joints[joint].sets_in.is_some() => {
            Does::Wait(vec![Said::new(joint, at)])
        }
        Undoes::Tighten(joint) => Does::Tighten(one(joint)),
        Undoes::PressHome(joint) => Does::PressHome {
            joints: vec![Said::new(joint, at)],
            with: None,
        },
        Undoes::Pin { fixings, with } => Does::Pin { fixings, with },
        Undoes::Open { act, joint } => Does::Opening {
            act,
            joints: vec![Said::new(joint, at)],
            with: None,
        },
        Undoes::Fit { things, .. } => {
            Does::Fit(things.into_iter().map(|thing| Said::new(thing, at)).collect())
        }
        Undoes::Hold { loads, by, touch } => match by {
            Bearer::Rig(rig) if touch => Does::Touch {
                things: said(loads),
                with: Said::new(rig, at),
            },
            // A person cannot but hold.
            _ => Does::Hold {
                things: said(loads),
                by: Said::new(by, at),
            },
        },
        Undoes::Release { loads, from } => Does::Release {
            things: said(loads),
            from: Some(Said::new(Bearer::Rig(from), at)),
        },
        Undoes::Raise { loads, on } => Does::Raise {
            things: said(loads),
            end: None,
            on: Some(Said::new(on, at)),
            at: None,
            to: None,
            by: None,
            ride: None,
        },
        Undoes::Set { loads, on } => Does::Set {
            things: said(loads),
            end: None,
            down: Some(at),
            on: Said::new(on, at),
        },
        Undoes::RaiseEnd {
            load,
            end,
            on,
            at: place,
            to,
            ..
        } => Does::Raise {
            things: vec![Said::new(load, at)],
            end: end.map(|end| Said::new(end, at)),
            on: Some(Said::new(on, at)),
            at: place.map(|place| Said::new(place, at)),
            to: to.map(|to| Said::new(to, at)),
            by: None,
            ride: None,
        },
        Undoes::SetEnd { load, end, on, .. } => Does::Set {
            things: vec![Said::new(load, at)],
            end: end.map(|end| Said::new(end, at)),
            down: Some(at),
            on: Said::new(Seat::Rig(on), at),
        },
        Undoes::RaiseBy { loads, by } => Does::Raise {
            things: said(loads),
            end: None,
            on: None,
            at: None,
            to: None,
            by: by.map(|by| Said::new(by, at)),
            ride: None,
        },
        Undoes::LowerBy { loads, by } => Does::Lower {
            things: said(loads),
            by: by.map(|by| Said::new(by, at)),
        },
        Undoes::Tilt {
            loads,
            about,
            by,
            back,
        } => Does::Tilt {
            things: said(loads),
            about,
            by,
            back,
        },
        Undoes::SlideHome(moved) => Does::SlideHome(thing(moved)),
        Undoes::MoveBack(moved) => Does::MoveBack(thing(moved)),
        Undoes::MoveAside(moved) => Does::MoveAside(thing(moved)),
        Undoes::Untie(moved) => Does::Untie(thing(moved)),
        Undoes::TieUp {
            thing: moved,
            to,
            limit,
        } => Does::TieUp {
            thing: Said::new(moved, at),
            to: Said::new(to, at),
            limit,
        },
        Undoes::Fill(fluid) => Does::Fill {
            fluids: vec![Said::new(fluid, at)],
            with: None,
        },
        Undoes::Bleed(fluid) => Does::Bleed(vec![Said::new(fluid, at)]),
    }
}
