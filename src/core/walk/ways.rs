//! The declared graph of what bears what, before any act: how far each part is from the body, which of its joints lead there
//! soonest, and which parts could ever be of one island. Worked out once; knows nothing of any state.

use std::collections::{BTreeSet, VecDeque};

use super::layout::{Layout, Need};
use super::table::Table;
use crate::plan::model::{Id, Joint, Part, Plan};

/// Farther than any part.
const NOWHERE: u32 = u32::MAX;

impl Layout {
    /// What hangs on clips and the like bears nothing that is heavy: an exhaust on its rubbers is no mount of the engine that it is
    /// bolted to. Such a joint bears the light one alone.
    pub(super) fn hung_on_little(&mut self, plan: &Plan) {
        let little = |joint: Id<Joint>| plan.joints[joint].kind.value.row().bears_little;
        if !self.joints.iter().any(|(id, facts)| facts.carries && little(id)) {
            return;
        }
        let mut hung: Vec<(Id<Joint>, Id<Part>)> = Vec::new();
        let beside = |part: Id<Part>, but: Id<Part>| -> Vec<Id<Joint>> {
            let carrying = self.parts[part].joints.iter().copied();
            carrying
                .filter(|&joint| {
                    let facts = &self.joints[joint];
                    facts.carries && facts.other(part).is_some_and(|end| end != but)
                })
                .collect()
        };
        let is_body = |part: Id<Part>| self.body == Some(part);
        for (id, facts) in self.joints.iter() {
            let Some([one, other]) = facts.ends.filter(|ends| !ends.iter().any(|&end| is_body(end))) else {
                continue;
            };
            if !facts.carries || little(id) {
                continue;
            }
            for (heavy, light) in [(one, other), (other, one)] {
                let lighter = match (self.parts[light].mass, self.parts[heavy].mass) {
                    (Some(light), Some(heavy)) => light < heavy,
                    (Some(_), None) => true,
                    (None, _) => false,
                };
                if !lighter || self.lighter([heavy], self.heavy.saturating_add(1)) {
                    continue;
                }
                let under = beside(light, heavy);
                let own = beside(heavy, light).into_iter().any(|joint| !little(joint));
                if own && !under.is_empty() && under.into_iter().all(little) {
                    hung.push((id, light));
                }
            }
        }
        for (joint, light) in hung {
            self.joints[joint].hung = Some(light);
        }
    }

    /// Who has to stand on how many: what the plan states, else three for a part that was declared with three or more.
    pub(super) fn needs(&mut self, plan: &Plan) {
        let mut far: [Option<Table<Part, u32>>; 2] = [None, None];
        for (id, part) in plan.parts.iter().filter(|(_, part)| !part.is_body) {
            let need = match &part.stands_on {
                Some(stated) => {
                    let named = stated.value.of.iter().map(|said| said.value);
                    let over = named
                        .flat_map(|joint| {
                            let renewed = self.joints[joint].replaced_by.clone();
                            std::iter::once(joint).chain(renewed)
                        })
                        .collect();
                    Need {
                        count: stated.value.need,
                        over: Some(over),
                        leans: None,
                        on_ball: false,
                    }
                }
                None => {
                    let new = self.parts[id].in_place_of.is_some();
                    let far = far[usize::from(new)]
                        .get_or_insert_with(|| self.distances(|joint| self.stands_there(joint, new)));
                    if self.declared_supports(id, new, far) >= 3 {
                        Need {
                            count: 3,
                            over: None,
                            leans: None,
                            on_ball: false,
                        }
                    } else if let Some(own) = self.leans(id, new, far) {
                        Need {
                            count: 2,
                            over: None,
                            leans: Some(own),
                            on_ball: false,
                        }
                    } else if let Some(ball) = self.on_its_ball(id, new, far) {
                        Need {
                            count: 2,
                            over: None,
                            leans: Some(ball),
                            on_ball: true,
                        }
                    } else {
                        continue;
                    }
                }
            };
            self.parts[id].need = Some(need);
            self.stands.push(id);
        }
    }

    /// Whether a joint carries in the machine as it was found or, with `new`, as it will be.
    fn stands_there(&self, id: Id<Joint>, new: bool) -> bool {
        let facts = &self.joints[id];
        let replaced = if new {
            !facts.replaced_by.is_empty()
        } else {
            facts.in_place_of.is_some()
        };
        facts.carries
            && !replaced
            && facts.ends.is_some_and(|ends| {
                ends.iter().all(|&end| {
                    let facts = &self.parts[end];
                    if new {
                        facts
                            .replaced_by
                            .iter()
                            .all(|&other| self.parts[other].if_renewed)
                    } else {
                        facts.in_place_of.is_none()
                    }
                })
            })
    }

    /// How many joints lead from each part to the body.
    fn distances(&self, carries: impl Fn(Id<Joint>) -> bool) -> Table<Part, u32> {
        let mut far = Table::new(vec![NOWHERE; self.parts.len()]);
        let mut open = VecDeque::new();
        for (id, facts) in self.parts.iter() {
            if Some(id) == self.body {
                far[id] = 0;
                open.push_front(id);
            } else if facts.carried_anyhow {
                far[id] = 1;
                open.push_back(id);
            }
        }
        while let Some(here) = open.pop_front() {
            for &joint in &self.parts[here].joints {
                if let Some(other) = self.joints[joint].other(here)
                    && far[other] == NOWHERE
                    && carries(joint)
                {
                    far[other] = far[here] + 1;
                    open.push_back(other);
                }
            }
        }
        far
    }

    /// Supports of a part in the declared graph, counted up to three. A part in place of another is counted among the replacements,
    /// any other among what was there before them.
    fn declared_supports(&self, part: Id<Part>, new: bool, far: &Table<Part, u32>) -> usize {
        let mut carrying: Vec<Id<Part>> = self.parts[part]
            .joints
            .iter()
            .filter(|&&joint| self.joints[joint].bears(part) && self.stands_there(joint, new))
            .filter_map(|&joint| self.joints[joint].other(part))
            .collect();
        if carrying.len() < 3 {
            return carrying.len().min(2);
        }
        // The nearest first: they are found at once.
        carrying.sort_by_key(|&other| far[other]);
        let mut count = 0;
        let mut hanging = BTreeSet::new();
        for start in carrying {
            if count == 3 {
                break;
            }
            if hanging.contains(&start) {
                continue;
            }
            match self.hanging_on(start, part, new, far) {
                None => count += 1,
                Some(all) => hanging.extend(all),
            }
        }
        count
    }

    /// Of a part that two joints bear, one of them to the body by two fixings, the other to a thing that stands by itself: the first. Two
    /// bolts may be two mounts or one bracket; on either it may turn once the other thing is gone.
    fn leans(&self, part: Id<Part>, new: bool, far: &Table<Part, u32>) -> Option<Id<Joint>> {
        let joints = self.parts[part].joints.iter().copied();
        let mut carrying =
            joints.filter(|&joint| self.joints[joint].bears(part) && self.stands_there(joint, new));
        let (one, other) = (carrying.next()?, carrying.next()?);
        // What is light itself is an arm on its pivot, which is to turn, and hangs.
        let heavy = !self.lighter([part], self.heavy.saturating_add(1));
        let two = carrying.next().is_none() && self.parts[part].rests_on.is_none() && heavy;
        let to = |joint: Id<Joint>| self.joints[joint].other(part);
        let own = |joint: &Id<Joint>| to(*joint) == self.body;
        let (mount, beside) = match (own(&one), own(&other)) {
            (true, false) => (one, other),
            (false, true) => (other, one),
            (true, true) | (false, false) => return None,
        };
        let facts = &self.joints[mount];
        // One bolt is a pivot, and an arm between its pivot and a ball joint turns by design.
        let few = facts.threaded && facts.fixings == 2 && !facts.slides && !facts.pressed;
        let ball = &self.joints[beside];
        let few = few && !ball.pressed && !ball.slides;
        let bears = |next: Id<Part>| self.stands_without(next, part, new, far);
        (two && few && to(beside).is_some_and(bears)).then_some(mount)
    }

    /// An upright: of its two joints, to two things that stand by themselves, one is a ball joint, on which it turns over when the other
    /// is out.
    fn on_its_ball(&self, part: Id<Part>, new: bool, far: &Table<Part, u32>) -> Option<Id<Joint>> {
        let is_ball = |joint: Id<Joint>| self.joints[joint].pressed && self.joints[joint].fixings <= 1;
        // Few have one: of all others nothing is searched.
        if !self.parts[part].joints.iter().any(|&joint| is_ball(joint)) {
            return None;
        }
        // What hangs on the part itself bears nothing.
        let bears = |joint: &Id<Joint>| {
            let near = |other: Id<Part>| self.stands_without(other, part, new, far);
            self.joints[*joint].bears(part)
                && self.stands_there(*joint, new)
                && self.joints[*joint].other(part).is_some_and(near)
        };
        let mut carrying = self.parts[part].joints.iter().copied().filter(bears);
        let (Some(one), Some(other), None) = (carrying.next(), carrying.next(), carrying.next()) else {
            return None;
        };
        let to_body = |joint: Id<Joint>| self.joints[joint].other(part) == self.body;
        if to_body(one) || to_body(other) {
            return None;
        }
        match (is_ball(one), is_ball(other)) {
            (true, false) => Some(one),
            (false, true) => Some(other),
            // From an upper ball it hangs.
            (true, true) | (false, false) => None,
        }
    }

    fn stands_without(&self, start: Id<Part>, part: Id<Part>, new: bool, far: &Table<Part, u32>) -> bool {
        self.hanging_on(start, part, new, far).is_none()
    }

    /// None where a thing gets to the body by what stands there and not through this part; else all that hangs on the part with it. What is
    /// no farther from the body than the part is gets there without it: it is on no shortest way but its own.
    fn hanging_on(
        &self,
        start: Id<Part>,
        part: Id<Part>,
        new: bool,
        far: &Table<Part, u32>,
    ) -> Option<BTreeSet<Id<Part>>> {
        let mut seen = BTreeSet::from([part, start]);
        let mut open = vec![start];
        while let Some(here) = open.pop() {
            self.looked.add(1);
            if far[here] != NOWHERE && far[here] <= far[part] {
                return None;
            }
            self.looked.add(self.parts[here].joints.len());
            for &next in &self.parts[here].joints {
                if let Some(other) = self.joints[next].other(here)
                    && self.stands_there(next, new)
                    && seen.insert(other)
                {
                    open.push(other);
                }
            }
        }
        Some(seen)
    }

    /// Puts the joints of each part in the order in which they lead to the body, and finds the islands that there could be.
    pub(super) fn find_ways(&mut self) {
        let far = self.distances(|joint| self.joints[joint].carries);
        let ids: Vec<Id<Part>> = self.parts.iter().map(|(id, _)| id).collect();
        for &id in &ids {
            let mut ways = self.parts[id].joints.clone();
            ways.sort_by_key(|&joint| self.joints[joint].other(id).map_or(NOWHERE, |other| far[other]));
            self.parts[id].ways = ways;
        }
        self.island_of = Table::new(vec![usize::MAX; self.parts.len()]);
        for &id in &ids {
            if Some(id) == self.body || self.island_of[id] != usize::MAX {
                continue;
            }
            let island = self.stands_in.len();
            let mut stands = Vec::new();
            let mut open = vec![id];
            self.island_of[id] = island;
            while let Some(here) = open.pop() {
                if self.parts[here].need.is_some() {
                    stands.push(here);
                }
                for &joint in &self.parts[here].joints {
                    let facts = &self.joints[joint];
                    if let Some(other) = facts.other(here).filter(|_| facts.carries)
                        && Some(other) != self.body
                        && self.island_of[other] == usize::MAX
                    {
                        self.island_of[other] = island;
                        open.push(other);
                    }
                }
            }
            stands.sort_unstable();
            self.stands_in.push(stands);
        }
    }

    /// Parts whose number of supports is asked, and to which carrying joints could ever lead from this one without passing the body.
    #[must_use]
    pub fn stands_beside(&self, part: Id<Part>) -> &[Id<Part>] {
        self.stands_in.get(self.island_of[part]).map_or(&[], |all| all)
    }
}
