//! Which of some things to choose: the most worth within sums of money and time, the least money for a worth that is wanted, and what each
//! sum of money buys. Things may need others, shut others out, and share a cost that is paid once. Exact, in whole numbers, by branch and
//! bound: the bound is a knapsack of fractions over a weighted sum of money and time, for nine weights. Knows no plan and no unit.
//!
//! The bound is Dantzig's for one constraint (G. B. Dantzig, Discrete-Variable Extremum Problems, Operations Research 5, 1957), put to a
//! weighted sum of two: what fits both fits every such sum, so that each of them bounds from above and the least of them counts.

/// So many things may be chosen from: one bit each.
pub const MOST_CHOICES: usize = 128;

/// So many places of the search are looked at before it is given up as too long; some seconds. Common practice, no source.
pub const MOST_NODES: u64 = 2_000_000;

/// Weights of money against time in the bound, less one.
const RATIOS: i64 = 8;
/// Weighted sums stay under it, so that they fit.
const ROOM: i128 = 1 << 60;

/// A set of choices: bit n is the nth.
pub type Chosen = u128;

/// One thing that may be chosen.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Choice {
    /// What it brings; under nothing where it takes away.
    pub worth: i64,
    /// What it alone costs; not under nothing.
    pub money: i64,
    /// The time that it alone takes; not under nothing.
    pub minutes: i64,
    /// Those without which it cannot be, by their places.
    pub needs: Vec<usize>,
    /// Those with which it cannot be.
    pub not_with: Vec<usize>,
}

/// What several share: it is paid once if any of them is chosen.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Shared {
    /// Paid once if any of them is chosen.
    pub money: i64,
    /// Taken once if any of them is chosen.
    pub minutes: i64,
    /// Who shares it, by their places.
    pub of: Vec<usize>,
}

/// What a choice has to keep to; nothing where none is said.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Within {
    /// Not more than so much.
    pub money: Option<i64>,
    /// Not more than so long.
    pub minutes: Option<i64>,
    /// The worth that is not to be passed.
    pub worth: Option<i64>,
}

/// A set with what it comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Set {
    /// Which of them.
    pub chosen: Chosen,
    /// Together, with what is shared.
    pub worth: i64,
    /// What all of them cost, what is shared counted once.
    pub money: i64,
    /// The time that all of them take, what is shared counted once.
    pub minutes: i64,
}

impl Set {
    /// The choice at this place is in it.
    #[must_use]
    pub fn has(&self, choice: usize) -> bool {
        bit(choice) & self.chosen != 0
    }
}

/// What a search came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// The best; none where none keeps to what is asked.
    pub set: Option<Set>,
    /// Where the search was given up: no set is worth more than this.
    pub at_most: Option<i64>,
}

/// Why there is nothing to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsearchable {
    /// More choices than the search has bits for.
    TooMany,
    /// A cost or a time under nothing, or figures whose sums do not fit.
    Figure,
}

/// Sets that may not be shown.
pub type Allowed<'a> = &'a dyn Fn(&Set) -> bool;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Goal {
    MostWorth,
    LeastMoney,
    LeastMinutes,
}

/// Choices with all that follows from their needs.
#[derive(Debug, Clone)]
pub struct Problem {
    choices: Vec<Choice>,
    shared: Vec<(Shared, Chosen)>,
    /// With each, what it needs.
    with: Vec<Chosen>,
    /// Those that go where it goes out.
    behind: Vec<Chosen>,
    /// What is out where it is in.
    against: Vec<Chosen>,
    /// The shared costs of each.
    groups: Vec<Vec<usize>>,
    /// For the bound: each with its part of what it shares.
    costs: Vec<(i64, i64)>,
    money: i64,
    minutes: i64,
    /// Every worth is a multiple of it, and so is every bound.
    step: i64,
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn bit(choice: usize) -> Chosen {
    u32::try_from(choice)
        .ok()
        .and_then(|choice| 1u128.checked_shl(choice))
        .unwrap_or(0)
}

/// The places of the bits, lowest first.
pub fn places(mut chosen: Chosen) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (chosen != 0).then(|| {
            let place = chosen.trailing_zeros();
            chosen &= chosen - 1;
            place as usize
        })
    })
}

impl Problem {
    /// # Errors
    /// More choices than are searched; a cost under nothing; sums that no whole number holds.
    pub fn new(choices: Vec<Choice>, shared: Vec<Shared>) -> Result<Self, Unsearchable> {
        if choices.len() > MOST_CHOICES {
            return Err(Unsearchable::TooMany);
        }
        let count = choices.len();
        let costs = || {
            let own = choices.iter().map(|choice| (choice.money, choice.minutes));
            own.chain(shared.iter().map(|shared| (shared.money, shared.minutes)))
        };
        let small = |figure: i64| figure.unsigned_abs() < 1 << 40;
        let sound = choices.iter().all(|choice| small(choice.worth))
            && costs().all(|(money, minutes)| money >= 0 && minutes >= 0 && small(money) && small(minutes));
        if !sound {
            return Err(Unsearchable::Figure);
        }
        let (money, minutes) = costs().fold((0, 0), |sum, cost| (sum.0 + cost.0, sum.1 + cost.1));
        let mask = |list: &[usize]| {
            let known = list.iter().filter(|&&choice| choice < count);
            known.fold(0, |all, &choice| all | bit(choice))
        };
        let mut with: Vec<Chosen> = choices
            .iter()
            .enumerate()
            .map(|(nth, choice)| bit(nth) | mask(&choice.needs))
            .collect();
        loop {
            let wider: Vec<Chosen> = with
                .iter()
                .map(|&own| places(own).fold(own, |all, other| all | with.get(other).copied().unwrap_or(0)))
                .collect();
            if wider == with {
                break;
            }
            with = wider;
        }
        let behind: Vec<Chosen> = (0..count)
            .map(|own| {
                let on_it = with.iter().enumerate().filter(|(_, with)| *with & bit(own) != 0);
                on_it.fold(0, |all, (other, _)| all | bit(other))
            })
            .collect();
        // What one shuts out, the other shuts out too.
        let mut direct: Vec<Chosen> = choices.iter().map(|choice| mask(&choice.not_with)).collect();
        for (nth, choice) in choices.iter().enumerate() {
            for &other in &choice.not_with {
                if let Some(slot) = direct.get_mut(other) {
                    *slot |= bit(nth);
                }
            }
        }
        let out = |chosen: Chosen| {
            let shut = places(chosen).fold(0, |all, own| all | direct.get(own).copied().unwrap_or(0));
            places(shut).fold(shut, |all, own| all | behind.get(own).copied().unwrap_or(0))
        };
        let against: Vec<Chosen> = with.iter().map(|&own| out(own)).collect();
        let shared: Vec<(Shared, Chosen)> = shared
            .into_iter()
            .map(|shared| {
                let of = mask(&shared.of);
                (shared, of)
            })
            .filter(|(_, of)| *of != 0)
            .collect();
        let groups: Vec<Vec<usize>> = (0..count)
            .map(|own| {
                let own = bit(own);
                let of_it = shared.iter().enumerate().filter(|(_, (_, of))| of & own != 0);
                of_it.map(|(nth, _)| nth).collect()
            })
            .collect();
        let costs = choices
            .iter()
            .zip(&groups)
            .map(|(choice, groups)| {
                let parts = groups.iter().filter_map(|&group| shared.get(group)).map(part);
                parts.fold((choice.money, choice.minutes), |sum, part| {
                    (sum.0 + part.0, sum.1 + part.1)
                })
            })
            .collect();
        let step = choices
            .iter()
            .fold(0, |step, choice| gcd(choice.worth.unsigned_abs(), step));
        Ok(Self {
            step: i64::try_from(step.max(1)).unwrap_or(1),
            choices,
            shared,
            with,
            behind,
            against,
            groups,
            costs,
            money,
            minutes,
        })
    }

    /// What a set comes to, as it stands.
    #[must_use]
    pub fn sum(&self, chosen: Chosen) -> Set {
        let mut set = Set {
            chosen,
            worth: 0,
            money: 0,
            minutes: 0,
        };
        for choice in places(chosen).filter_map(|own| self.choices.get(own)) {
            set.worth += choice.worth;
            set.money += choice.money;
            set.minutes += choice.minutes;
        }
        for (shared, of) in &self.shared {
            if of & chosen != 0 {
                set.money += shared.money;
                set.minutes += shared.minutes;
            }
        }
        set
    }

    /// Whether everything in it has what it needs, and nothing that it shuts out.
    #[must_use]
    pub fn goes_together(&self, chosen: Chosen) -> bool {
        places(chosen).all(|own| {
            self.with.get(own).is_some_and(|with| with & !chosen == 0)
                && self.against.get(own).is_some_and(|against| against & chosen == 0)
        })
    }

    /// The most worth; of sets of the same worth the cheapest, of these the shortest.
    #[must_use]
    pub fn most(&self, within: Within, allowed: Allowed<'_>) -> Found {
        let mut found = self.search(Goal::MostWorth, i64::MIN, within, None, allowed);
        if let Some(best) = found.set {
            found.set = Some(self.cheapest(&best, within, allowed));
        }
        found
    }

    /// The least money for a worth; of sets that cost the same the shortest.
    #[must_use]
    pub fn least_money(&self, worth: i64, within: Within, allowed: Allowed<'_>) -> Found {
        let mut found = self.search(Goal::LeastMoney, worth, within, None, allowed);
        if let Some(best) = found.set {
            found.set = Some(self.shortest(worth, &best, within, allowed));
        }
        found
    }

    /// The least time for a worth; of sets that take the same the cheapest.
    #[must_use]
    pub fn least_time(&self, worth: i64, within: Within, allowed: Allowed<'_>) -> Found {
        let mut found = self.search(Goal::LeastMinutes, worth, within, None, allowed);
        if let Some(best) = found.set {
            let same = Within {
                minutes: Some(best.minutes),
                ..within
            };
            let cheaper = self.search(Goal::LeastMoney, worth, cheaper_than(&best, same), None, allowed);
            found.set = cheaper.set.or(Some(best));
        }
        found
    }

    /// A set of the same worth that is as cheap as can be, and then as short.
    fn cheapest(&self, best: &Set, within: Within, allowed: Allowed<'_>) -> Set {
        let worth = best.worth;
        let cheaper = self.search(Goal::LeastMoney, worth, cheaper_than(best, within), None, allowed);
        let best = cheaper.set.unwrap_or(*best);
        self.shortest(worth, &best, within, allowed)
    }

    /// A set of this worth that costs no more, and is as short as can be.
    #[must_use]
    pub fn shortest(&self, worth: i64, best: &Set, within: Within, allowed: Allowed<'_>) -> Set {
        let within = Within {
            money: Some(best.money),
            minutes: Some(best.minutes - 1),
            ..within
        };
        let shorter = self.search(Goal::LeastMinutes, worth, within, None, allowed);
        shorter.set.unwrap_or(*best)
    }

    /// For each sum of money the most that it buys, the least money first: sets of which none is at once worth as much and cheaper than
    /// another. Whether each is the shortest is not asked; `shortest` is. The second says whether a search was given up.
    #[must_use]
    pub fn frontier(&self, within: Within, allowed: Allowed<'_>) -> (Vec<Set>, bool) {
        let mut all: Vec<Set> = Vec::new();
        let mut cut = false;
        let mut limit = within;
        let mut ceiling = None;
        loop {
            // A set that is near the one before is mostly near the best, and leaves little to search.
            let near = all.last().and_then(|last| self.near(last, limit, allowed));
            let least = near.map_or(i64::MIN, |near| near.worth.saturating_add(1));
            let found = self.search(Goal::MostWorth, least, limit, ceiling, allowed);
            cut |= found.at_most.is_some();
            let Some(set) = found.set.or(near) else { break };
            if all.last().is_some_and(|last| last.worth <= set.worth) {
                all.pop();
            }
            all.push(set);
            ceiling = Some(set.worth);
            if set.money == 0 {
                break;
            }
            limit.money = Some(set.money - 1);
        }
        all.reverse();
        (all, cut)
    }

    /// The best of the sets that come of another by leaving one out and taking in what then fits.
    fn near(&self, set: &Set, within: Within, allowed: Allowed<'_>) -> Option<Set> {
        let fits = |set: &Set| {
            within.money.is_none_or(|money| set.money <= money)
                && within.minutes.is_none_or(|minutes| set.minutes <= minutes)
                && within.worth.is_none_or(|worth| set.worth <= worth)
        };
        let less = places(set.chosen).filter_map(|own| Some(set.chosen & !self.behind.get(own)?));
        let filled = less.map(|chosen| {
            let mut best = self.sum(chosen);
            for (with, against) in self.with.iter().zip(&self.against) {
                let more = best.chosen | with;
                if more == best.chosen || against & more != 0 || !self.goes_together(more) {
                    continue;
                }
                let more = self.sum(more);
                if more.worth > best.worth && fits(&more) {
                    best = more;
                }
            }
            best
        });
        let good = filled.filter(|set| fits(set) && allowed(set));
        good.max_by_key(|set| (set.worth, std::cmp::Reverse(set.money)))
    }

    fn search(
        &self,
        goal: Goal,
        worth: i64,
        within: Within,
        ceiling: Option<i64>,
        allowed: Allowed<'_>,
    ) -> Found {
        let money = within.money.unwrap_or(self.money).min(self.money);
        let minutes = within.minutes.unwrap_or(self.minutes).min(self.minutes);
        if money < 0 || minutes < 0 {
            return Found {
                set: None,
                at_most: None,
            };
        }
        let mut search = Search {
            problem: self,
            goal,
            money,
            minutes,
            worth,
            cap: within.worth.unwrap_or(i64::MAX),
            ceiling: ceiling.unwrap_or(i64::MAX),
            allowed,
            orders: self.orders(money, minutes),
            branches: Vec::new(),
            best: None,
            sharpest: 0,
            nodes: 0,
            done: false,
        };
        search.branches = search.branch_order();
        let root = Node {
            set: self.sum(0),
            out: 0,
        };
        let at_most = search.bound(&root);
        search.node(root, 0);
        let cut = search.nodes > MOST_NODES;
        Found {
            set: search.best,
            at_most: cut.then(|| at_most.min(search.cap)),
        }
    }

    /// For each ratio its weights, and the choices that bring something, those that bring most for their weight first; what weighs nothing
    /// before all others.
    fn orders(&self, money: i64, minutes: i64) -> Vec<Order> {
        let (money, minutes) = (money.max(1), minutes.max(1));
        (0..=RATIOS)
            .map(|nth| {
                let (mut a, mut b) = (nth * minutes, (RATIOS - nth) * money);
                let whole = |a: i64, b: i64| {
                    i128::from(a) * i128::from(self.money) + i128::from(b) * i128::from(self.minutes)
                };
                // Any weights bound; these have to fit.
                while whole(a, b) >= ROOM {
                    (a, b) = (a / 2, b / 2);
                }
                let mut items: Vec<(usize, i64, i64)> = self
                    .choices
                    .iter()
                    .zip(&self.costs)
                    .enumerate()
                    .filter(|(_, (choice, _))| choice.worth > 0)
                    .map(|(own, (choice, cost))| (own, choice.worth, a * cost.0 + b * cost.1))
                    .collect();
                items.sort_by(|one, other| {
                    let left = i128::from(one.1) * i128::from(other.2);
                    let right = i128::from(other.1) * i128::from(one.2);
                    right.cmp(&left).then(one.0.cmp(&other.0))
                });
                let places = items.iter().map(|item| item.0).collect();
                let items = items
                    .into_iter()
                    .map(|(own, worth, weight)| (bit(own), worth, weight));
                Order {
                    a,
                    b,
                    items: items.collect(),
                    places,
                }
            })
            .collect()
    }
}

fn cheaper_than(best: &Set, within: Within) -> Within {
    Within {
        money: Some(best.money - 1),
        ..within
    }
}

/// One sharer's part of a shared cost, rounded down: all parts together are never more than the whole.
fn part((shared, of): &(Shared, Chosen)) -> (i64, i64) {
    let count = i64::from(of.count_ones().max(1));
    (shared.money / count, shared.minutes / count)
}

#[derive(Debug)]
struct Order {
    a: i64,
    b: i64,
    /// Bit, worth, weight.
    items: Vec<(Chosen, i64, i64)>,
    /// Their places.
    places: Vec<usize>,
}

#[derive(Debug, Clone, Copy)]
struct Node {
    set: Set,
    out: Chosen,
}

struct Search<'a> {
    problem: &'a Problem,
    goal: Goal,
    money: i64,
    minutes: i64,
    /// What a set has to be worth at least.
    worth: i64,
    cap: i64,
    /// No set is worth more.
    ceiling: i64,
    allowed: Allowed<'a>,
    orders: Vec<Order>,
    branches: Vec<usize>,
    best: Option<Set>,
    /// The order that bounded best the last time.
    sharpest: usize,
    nodes: u64,
    done: bool,
}

impl Search<'_> {
    /// All choices, those that promise most first; what takes away comes last.
    fn branch_order(&self) -> Vec<usize> {
        let ratio = match self.goal {
            Goal::MostWorth => RATIOS / 2,
            Goal::LeastMoney => RATIOS,
            Goal::LeastMinutes => 0,
        };
        let order = usize::try_from(ratio).ok().and_then(|nth| self.orders.get(nth));
        let mut all: Vec<usize> = order
            .into_iter()
            .flat_map(|order| order.places.iter().copied())
            .collect();
        let rest = (0..self.problem.choices.len()).filter(|own| !all.contains(own));
        let rest: Vec<usize> = rest.collect();
        all.extend(rest);
        all
    }

    fn node(&mut self, node: Node, from: usize) {
        self.nodes += 1;
        if self.nodes > MOST_NODES {
            self.done = true;
        }
        if self.done || self.is_hopeless(&node) {
            return;
        }
        self.take_down(&node.set);
        if self.done {
            return;
        }
        let decided = node.set.chosen | node.out;
        let mut rest = self.branches.iter().enumerate().skip(from);
        let Some((at, own)) = rest
            .find(|(_, own)| bit(**own) & decided == 0)
            .map(|(at, own)| (at, *own))
        else {
            return;
        };
        if let Some(taken) = self.taking(&node, own) {
            self.node(taken, at + 1);
        }
        let behind = self.problem.behind.get(own).copied().unwrap_or(0);
        if behind & node.set.chosen == 0 && !self.done {
            let left = Node {
                out: node.out | behind,
                ..node
            };
            self.node(left, at + 1);
        }
    }

    /// With a choice and all that it needs; none where something of it is out, or in that it shuts out.
    fn taking(&self, node: &Node, own: usize) -> Option<Node> {
        let with = self.problem.with.get(own).copied()?;
        let new = with & !node.set.chosen;
        let out = node.out | self.problem.against.get(own).copied()?;
        let mut set = node.set;
        set.chosen |= with;
        if out & set.chosen != 0 {
            return None;
        }
        let mut paid = node.set.chosen;
        for place in places(new) {
            let choice = self.problem.choices.get(place)?;
            set.worth += choice.worth;
            set.money += choice.money;
            set.minutes += choice.minutes;
            for &group in self.problem.groups.get(place)? {
                let (shared, of) = self.problem.shared.get(group)?;
                if of & paid == 0 {
                    set.money += shared.money;
                    set.minutes += shared.minutes;
                }
            }
            paid |= bit(place);
        }
        Some(Node { set, out })
    }

    /// Takes a set down where it is better than what was found.
    fn take_down(&mut self, set: &Set) {
        let fits = set.money <= self.money && set.minutes <= self.minutes;
        if !fits || set.worth > self.cap || set.worth < self.worth || !(self.allowed)(set) {
            return;
        }
        self.best = Some(*set);
        match self.goal {
            Goal::MostWorth => {
                self.worth = set.worth.saturating_add(1);
                self.done = self.worth > self.cap.min(self.ceiling);
            }
            Goal::LeastMoney => {
                self.money = set.money - 1;
                self.done = self.money < 0;
            }
            Goal::LeastMinutes => {
                self.minutes = set.minutes - 1;
                self.done = self.minutes < 0;
            }
        }
    }

    fn is_hopeless(&mut self, node: &Node) -> bool {
        if node.set.money > self.money || node.set.minutes > self.minutes {
            return true;
        }
        let decided = node.set.chosen | node.out;
        if node.set.worth > self.cap {
            let taken_away = |(own, choice): (usize, &Choice)| {
                (choice.worth < 0 && bit(own) & decided == 0).then_some(choice.worth)
            };
            let away: i64 = self
                .problem
                .choices
                .iter()
                .enumerate()
                .filter_map(taken_away)
                .sum();
            if node.set.worth + away > self.cap {
                return true;
            }
        }
        let room = self.room(node, decided);
        let count = self.orders.len();
        for turn in 0..count {
            // What bounded the last place mostly bounds this one.
            let nth = (self.sharpest + turn) % count;
            let Some(order) = self.orders.get(nth) else {
                continue;
            };
            if self.bound_by(order, node, decided, room) < self.worth {
                self.sharpest = nth;
                return true;
            }
        }
        false
    }

    /// No set below this place is worth more.
    fn bound(&self, node: &Node) -> i64 {
        let decided = node.set.chosen | node.out;
        let room = self.room(node, decided);
        let all = self
            .orders
            .iter()
            .map(|order| self.bound_by(order, node, decided, room));
        all.min().unwrap_or(node.set.worth)
    }

    /// Money and time that are left for the open ones, each with its part of what it shares.
    fn room(&self, node: &Node, decided: Chosen) -> (i64, i64) {
        let mut money = self.money - node.set.money;
        let mut minutes = self.minutes - node.set.minutes;
        // What is paid already is in the parts of those that are still open, too.
        for shared in &self.problem.shared {
            let (_, of) = shared;
            if of & node.set.chosen != 0 {
                let open = i64::from((of & !decided).count_ones());
                let part = part(shared);
                money += open * part.0;
                minutes += open * part.1;
            }
        }
        (money, minutes)
    }

    fn bound_by(&self, order: &Order, node: &Node, decided: Chosen, (money, minutes): (i64, i64)) -> i64 {
        let mut room = order
            .a
            .saturating_mul(money)
            .saturating_add(order.b.saturating_mul(minutes));
        let mut worth = node.set.worth;
        for &(own, brings, weight) in &order.items {
            if own & decided != 0 {
                continue;
            }
            if weight <= room {
                worth += brings;
                room -= weight;
            } else {
                let more = i128::from(brings) * i128::from(room) / i128::from(weight);
                let most = worth.saturating_add(i64::try_from(more).unwrap_or(i64::MAX));
                return most - most.rem_euclid(self.problem.step);
            }
        }
        worth
    }
}
