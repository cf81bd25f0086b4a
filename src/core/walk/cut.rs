//! What moves together, and what is still tied across the cut between that and the rest. Knows nothing of how a move is
//! worded, nor of what is done about a joint that stays.

use std::collections::BTreeSet;

use super::state::Holder;
use super::support::View;
use crate::plan::model::{Id, Joint, Part, Rig};

/// How a thing leaves what it was beside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Leave {
    /// Altogether: no joint may stay.
    Whole,
    /// To the side, as far as its leads and hoses let it.
    Aside,
    /// By so many millimetres; none where the plan gives an angle.
    By(Option<f64>),
    /// Along the axis of its slides, by so many millimetres.
    Draw(f64),
}

/// What crosses the cut.
#[derive(Debug, Default)]
pub struct Cut {
    /// Joints that should be out.
    pub joints: Vec<Id<Joint>>,
    /// Slides that let go along their axis.
    pub slides: Vec<Id<Joint>>,
    /// Ties of a moved thing itself.
    pub ties: Vec<Id<Part>>,
    /// Holds by rigs that stay.
    pub holds: Vec<(Id<Part>, Id<Rig>)>,
    /// Things that rested on what moved, or that rested on what stays.
    pub rests: Vec<Id<Part>>,
}

impl View<'_> {
    /// `parts` and their passengers: whatever is tied rigidly to them and, without them, to nothing that stays; then what hangs by
    /// leads and hoses from these alone. Holds by rigs that stay are counted as staying only if `holds` is set.
    #[must_use]
    pub fn moving(self, parts: &BTreeSet<Id<Part>>, holds: bool) -> BTreeSet<Id<Part>> {
        let mut all = parts.clone();
        let mut settled: BTreeSet<Id<Part>> = BTreeSet::new();
        for &part in parts {
            for (joint, start) in self.tied(part) {
                if !self.layout.joints[joint].rigid || parts.contains(&start) || settled.contains(&start) {
                    continue;
                }
                let (group, stays) = self.beside(start, parts, holds, true);
                settled.extend(&group);
                if !stays {
                    all.extend(group);
                }
            }
        }
        let hung: Vec<Id<Part>> = self
            .state
            .ties
            .iter()
            .filter(|(_, tie)| parts.contains(&tie.to))
            .map(|(part, _)| *part)
            .chain(all.iter().flat_map(|&part| {
                let gives = self
                    .tied(part)
                    .filter(|(joint, _)| !self.layout.joints[*joint].rigid);
                gives.map(|(_, other)| other).collect::<Vec<_>>()
            }))
            .collect();
        for start in hung {
            if !all.contains(&start) && !settled.contains(&start) {
                let (group, stays) = self.beside(start, &all, holds, false);
                settled.extend(&group);
                if !stays {
                    all.extend(group);
                }
            }
        }
        all.extend(self.springs_on(&all));
        all
    }

    /// Springs that are kept in on these: a coil between the seats of its strut goes where that goes.
    #[must_use]
    pub fn springs_on(self, parts: &BTreeSet<Id<Part>>) -> Vec<Id<Part>> {
        let mut all = Vec::new();
        let springs: BTreeSet<_> = parts
            .iter()
            .flat_map(|&part| &self.layout.parts[part].springs)
            .collect();
        for keeping in springs
            .into_iter()
            .filter_map(|energy| self.layout.keeping.get(energy))
        {
            let lines = keeping
                .parts
                .iter()
                .flat_map(|&part| self.layout.line_of_part(part));
            let on = lines.filter(|on| {
                let under = self.state.rests.get(on);
                !parts.contains(on) && under.is_some_and(|under| parts.contains(under))
            });
            let on: Vec<Id<Part>> = on.collect();
            if !on.is_empty() && self.keeps(keeping) {
                all.extend(on);
            }
        }
        all
    }

    /// What moves when the vehicle does. What no joint carries is taken as carried by the body, and goes with it.
    #[must_use]
    pub fn moving_with_body(self, body: &BTreeSet<Id<Part>>) -> BTreeSet<Id<Part>> {
        let mut moved = self.moving(body, true);
        for (part, facts) in self.layout.parts.iter() {
            if facts.carried_anyhow && !self.state.is_off(part) && !self.has_rig(part) {
                moved.insert(part);
            }
        }
        // What stands in or on what moves rides along.
        loop {
            let more: Vec<Id<Part>> = self
                .state
                .rests
                .iter()
                .filter(|(on, under)| moved.contains(under) && !moved.contains(on))
                .map(|(on, _)| *on)
                .collect();
            if more.is_empty() {
                return moved;
            }
            moved.extend(more);
        }
    }

    /// What is joined to `start` without `parts`, by rigid joints and ties or by any joint at all, and whether any of it stays. The
    /// search ends with the first thing that stays, so the group is whole only if none does.
    fn beside(
        self,
        start: Id<Part>,
        parts: &BTreeSet<Id<Part>>,
        holds: bool,
        rigid: bool,
    ) -> (BTreeSet<Id<Part>>, bool) {
        let whole = self.layout.body.is_some_and(|body| parts.contains(&body));
        let mut group = BTreeSet::from([start]);
        let mut open = vec![start];
        let mut next = Vec::new();
        while let Some(here) = open.pop() {
            let state = &self.state.parts[here];
            // Without a joint that carries it a part is the body's; and what lies on the floor stays there.
            let by_body = self.layout.parts[here].carried_anyhow && !state.was_off && !whole;
            // A pipe is stiff, and yet carries nothing along: what only lines and leads tie stays with the body.
            let only_lines = || {
                let facts = &self.layout.joints;
                self.tied(here)
                    .all(|(joint, _)| facts[joint].line || facts[joint].lead)
            };
            let by_body = by_body && (!rigid || only_lines()) && !self.leads_along(here, parts, &group);
            if self.is_body(here) || by_body || (!rigid && state.down) {
                return (group, true);
            }
            if holds {
                for (holder, _) in self.state.holders(here) {
                    if let Holder::Rig(rig) = holder
                        && !self.rig_moves(rig, parts)
                    {
                        match self.layout.borne[rig] {
                            Some(bearer) => next.push(bearer),
                            None => return (group, true),
                        }
                    }
                }
            }
            let ties = self
                .tied(here)
                .filter(|(joint, _)| !rigid || self.layout.joints[*joint].rigid);
            next.extend(ties.map(|(_, other)| other));
            if !self.has_slack(here) {
                next.extend(self.state.ties.get(&here).map(|tie| tie.to));
            }
            for other in next.drain(..) {
                if !parts.contains(&other) && group.insert(other) {
                    open.push(other);
                }
            }
        }
        (group, false)
    }

    /// A hose, pipe, spring or strap between several things, all of which that it is still tied to move: it goes along. A loom that was never
    /// parted from anything stays with the body, where its clips are that nobody declares.
    fn leads_along(self, here: Id<Part>, parts: &BTreeSet<Id<Part>>, group: &BTreeSet<Id<Part>>) -> bool {
        let joints = &self.layout.parts[here].joints;
        if joints.len() < 2 {
            return false;
        }
        let moves = |part: Id<Part>| parts.contains(&part) || group.contains(&part);
        let mut leads = false;
        let mut parted = false;
        for &joint in joints {
            let facts = &self.layout.joints[joint];
            let Some(other) = facts.other(here) else { continue };
            if self.ties(joint) {
                if !moves(other) {
                    return false;
                }
                leads |= facts.lead;
            } else {
                parted |= !moves(other) && !self.state.is_off(other);
            }
        }
        parted || !leads
    }

    /// A rigid joint of something that moves by so much and lets it, since what lies between it and the rest gives: a link whose eyes are slack at
    /// both ends, or a spring itself, which bends or turns.
    fn gives(self, joint: Id<Joint>, between: Id<Part>, moved: &BTreeSet<Id<Part>>, by: Option<f64>) -> bool {
        // As far as a link of a road car turns in its eyes, in millimetres. Common practice, no source.
        const SWING: f64 = 150.0;
        if self.is_body(between) || by.is_none_or(|by| by > SWING) {
            return false;
        }
        let held = self.state.holders(between).next().is_some();
        let mut ends = 0;
        let slack = self.tied(between).all(|(tie, other)| {
            ends += usize::from(!moved.contains(&other));
            let facts = &self.layout.joints[tie];
            // An eye has one bolt; a flange of several turns about none of them.
            let state = &self.state.joints[tie];
            !facts.rigid || (facts.fixings == 1 && state.slack + state.started == 1)
        });
        let facts = &self.layout.parts[between];
        let spring = !facts.is_spring_of.is_empty() && self.tied(between).any(|(tie, _)| tie == joint);
        ends > 0 && !held && (slack || spring)
    }

    /// A chain that catches a spring has slack, or it could not be let down.
    fn has_slack(self, part: Id<Part>) -> bool {
        !self.layout.parts[part].springs.is_empty()
    }

    /// What crosses between `moved` and the rest when it leaves in this way. `about` are the joints that a tilt turns on.
    #[must_use]
    pub fn cut(self, moved: &BTreeSet<Id<Part>>, leave: Leave, about: &[Id<Joint>]) -> Cut {
        let mut cut = Cut::default();
        for &part in moved {
            for (joint, other) in self.tied(part) {
                if moved.contains(&other) || about.contains(&joint) {
                    continue;
                }
                let facts = &self.layout.joints[joint];
                let state = &self.state.joints[joint];
                if !facts.rigid {
                    let gives = match leave {
                        Leave::Whole => false,
                        Leave::Aside | Leave::By(None) => true,
                        Leave::By(Some(by)) | Leave::Draw(by) => by <= facts.play,
                    };
                    if !gives {
                        cut.joints.push(joint);
                    }
                    continue;
                }
                if let Leave::By(by) = leave
                    && [part, other]
                        .into_iter()
                        .any(|between| self.gives(joint, between, moved, by))
                {
                    continue;
                }
                let free = facts.slides && (!facts.threaded || state.out >= facts.fixings);
                if matches!(leave, Leave::Draw(_)) && (free || state.pinned()) {
                    cut.slides.push(joint);
                } else {
                    cut.joints.push(joint);
                }
            }
            for (holder, _) in self.state.holders(part) {
                if let Holder::Rig(rig) = holder
                    && self.layout.borne[rig].is_some_and(|bearer| !moved.contains(&bearer))
                {
                    cut.holds.push((part, rig));
                }
            }
        }
        for (&hung, tie) in &self.state.ties {
            let (moves, stays) = (moved.contains(&hung), !moved.contains(&tie.to));
            if matches!(leave, Leave::By(_)) && self.has_slack(hung) {
                continue;
            }
            if moves == stays {
                cut.ties.push(hung);
            }
        }
        for (&on, &under) in &self.state.rests {
            if moved.contains(&on) != moved.contains(&under) {
                cut.rests.push(on);
            }
        }
        cut.joints.sort_unstable();
        cut.joints.dedup();
        cut
    }
}
