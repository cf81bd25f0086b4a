//! Support in machines of a hundred parts and more, against a reference graph library that looks at the whole machine after each act:
//! at which acts something new falls, what is silent since it was told, and what stands again.

use std::collections::BTreeSet;

use crate::support::compile_text;
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::{Bfs, Walker};
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop, prop_assert_eq, proptest};

/// Joints that carry, between parts by number; 0 is the body.
type Machine = Vec<(usize, usize)>;

const PARTS: usize = 120;

/// Long chains, wide stars and everything between, by how far back each part may reach; and some joints more than a tree has.
fn machine() -> impl Strategy<Value = Machine> {
    (
        1..PARTS,
        prop::collection::vec(any::<u16>(), PARTS),
        prop::collection::vec((1..=PARTS, any::<u16>()), 0..30),
    )
        .prop_map(|(back, tree, more)| {
            let to = |part: usize, by: u16| {
                let nearest = part.saturating_sub(back);
                nearest + usize::from(by) % (part - nearest)
            };
            let tree = tree
                .iter()
                .enumerate()
                .map(|(nth, &by)| (nth + 1, to(nth + 1, by)));
            tree.chain(more.into_iter().map(|(part, by)| (part, usize::from(by) % part)))
                .collect()
        })
}

#[derive(Debug, Clone, Copy)]
enum Act {
    Undo(usize),
    Start(usize),
    Hold(usize),
    Release(usize),
}

/// The state, and what was told to fall.
struct Whole<'a> {
    machine: &'a Machine,
    out: Vec<bool>,
    held: Vec<bool>,
    told: BTreeSet<usize>,
}

impl Whole<'_> {
    /// Parts that the ground reaches; with `told`, what was told to fall counts as ground.
    fn standing(&self, told: bool) -> BTreeSet<usize> {
        let ground = PARTS + 1;
        let mut graph: UnGraph<(), ()> = UnGraph::new_undirected();
        for _ in 0..=ground {
            graph.add_node(());
        }
        let mut edge = |a: usize, b: usize| {
            graph.add_edge(NodeIndex::new(a), NodeIndex::new(b), ());
        };
        edge(0, ground);
        for part in (1..=PARTS).filter(|&part| self.held[part] || (told && self.told.contains(&part))) {
            edge(part, ground);
        }
        for (&(a, b), out) in self.machine.iter().zip(&self.out) {
            if !out {
                edge(a, b);
            }
        }
        let walk = Bfs::new(&graph, NodeIndex::new(ground)).iter(&graph);
        walk.map(NodeIndex::index).collect()
    }

    /// Does one act of those that are possible; whether something new falls.
    fn act(&mut self, act: Act) -> bool {
        match act {
            Act::Undo(joint) => self.out[joint] = true,
            Act::Start(joint) => self.out[joint] = false,
            Act::Hold(part) => self.held[part] = true,
            Act::Release(part) => self.held[part] = false,
        }
        let standing = self.standing(false);
        self.told.retain(|part| !standing.contains(part));
        let standing = self.standing(true);
        let fallen: Vec<usize> = (1..=PARTS).filter(|part| !standing.contains(part)).collect();
        self.told.extend(&fallen);
        !fallen.is_empty()
    }
}

fn thing(part: usize) -> String {
    match part {
        0 => "shell".to_owned(),
        _ => format!("p{part}"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, max_shrink_iters: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_falls_and_stands_again((machine, wishes) in machine().prop_flat_map(|machine| {
        (Just(machine), prop::collection::vec((0..8u8, any::<u16>()), 1..80))
    })) {
        let mut whole = Whole {
            machine: &machine,
            out: vec![false; machine.len()],
            held: vec![false; PARTS + 1],
            told: BTreeSet::new(),
        };
        let mut text = String::from("plan p \"P\"; for wren\nvehicle wren \"Wren 900\"; body shell\n");
        for part in 1..=PARTS {
            text.push_str(&format!("rig hoist-{part}; lifts\npart p{part}; mass 6 kg quoted\n"));
        }
        for (nth, &(a, b)) in machine.iter().enumerate() {
            text.push_str(&format!("joint j{nth}: {} to {}; clip; carries\n", thing(a), thing(b)));
        }
        let mut expected = Vec::new();
        for (nth, &(kind, of)) in wishes.iter().enumerate() {
            let (joint, part) = (usize::from(of) % machine.len(), 1 + usize::from(of) % PARTS);
            let act = match kind {
                0..=5 if whole.out[joint] => Act::Start(joint),
                0..=5 => Act::Undo(joint),
                _ if whole.held[part] => Act::Release(part),
                _ => Act::Hold(part),
            };
            let said = match act {
                Act::Undo(joint) => format!("undo j{joint}"),
                Act::Start(joint) => format!("start j{joint}"),
                Act::Hold(part) => format!("hold p{part} with hoist-{part}"),
                Act::Release(part) => format!("release p{part} from hoist-{part}"),
            };
            text.push_str(&format!("step s{nth} \"S\"; {said}\n"));
            if whole.act(act) {
                expected.push(nth);
            }
        }
        let done = compile_text(&text);
        let mut found: Vec<usize> = done
            .findings
            .iter()
            .filter(|finding| finding.rule.name == "would-fall")
            .filter_map(|finding| {
                let at = finding.place()?;
                done.plan.order.iter().position(|&step| {
                    let block = done.plan.steps[step].head.block;
                    block.start <= at.start && at.end <= block.end
                })
            })
            .collect();
        found.sort_unstable();
        prop_assert_eq!(found, expected, "{}", text);
    }
}
