//! Orders of work counted from outside: for assemblies whose number of feasible orders is published, the orders are written as plans,
//! every one of them is walked, and those without a finding are counted. Published values with their sources stand beside each count.

use crate::support::{compile_text, told};

const PRELUDE: &str = "plan p \"P\"; for wren\nvehicle wren \"Wren 900\"; body shell\n";

fn is_clean(plan: &str) -> bool {
    // A puzzle hangs on no body.
    let findings = compile_text(plan).findings;
    findings
        .iter()
        .all(|finding| finding.rule.name == "not-tied-to-body")
}

/// Whether no act is told. What has to be so at the end is not asked of a beginning.
fn begins_clean(plan: &str) -> bool {
    let done = compile_text(plan);
    let of_the_end = |rule: &str| rule.starts_with("never-") || rule == "not-tied-to-body";
    done.findings.iter().all(|finding| of_the_end(finding.rule.name))
}

/// All orders of `count` things, one after the other.
fn all_orders(count: usize, each: &mut impl FnMut(&[usize])) {
    fn put(order: &mut Vec<usize>, count: usize, each: &mut impl FnMut(&[usize])) {
        if order.len() == count {
            return each(order);
        }
        for next in 0..count {
            if !order.contains(&next) {
                order.push(next);
                put(order, count, each);
                order.pop();
            }
        }
    }
    put(&mut Vec::new(), count, each);
}

/// What stands before the declarations of a job that is found half done.
fn found(starts: &str) -> String {
    PRELUDE.replace("for wren\n", &format!("for wren; {starts}\n"))
}

/// How it is found, declarations, and the acts of each thing that can be done.
struct Job {
    found: String,
    declared: String,
    acts: Vec<String>,
}

impl Job {
    fn plan(&self, order: &[usize]) -> String {
        let mut text = format!("{}{}", self.found, self.declared);
        for &nth in order {
            text.push_str(&format!("step s{nth} \"S\"; {}\n", self.acts[nth]));
        }
        text
    }

    /// Clean orders, every one of them walked.
    fn count(&self) -> usize {
        let mut clean = 0;
        all_orders(self.acts.len(), &mut |order| {
            clean += usize::from(is_clean(&self.plan(order)));
        });
        clean
    }

    /// The same where they are too many: an order whose beginning is not clean is not walked to its end, for what an act finds does
    /// not hang on those after it.
    fn count_by_beginnings(&self) -> usize {
        fn from(job: &Job, order: &mut Vec<usize>) -> usize {
            if order.len() == job.acts.len() {
                return usize::from(is_clean(&job.plan(order)));
            }
            let mut clean = 0;
            for next in 0..job.acts.len() {
                if order.contains(&next) {
                    continue;
                }
                order.push(next);
                if begins_clean(&job.plan(order)) {
                    clean += from(job, order);
                }
                order.pop();
            }
            clean
        }
        from(self, &mut Vec::new())
    }
}

/// Plates on a body, each clipped on, each with others lying over its clip: these have to be off first.
fn plates(count: usize, over: &[(usize, usize)]) -> Job {
    let mut declared = String::new();
    for plate in 0..count {
        declared.push_str(&format!("part p{plate}; mass 1 kg quoted; afterwards stored\n"));
        let covers: Vec<String> = over
            .iter()
            .filter(|(_, under)| *under == plate)
            .map(|(over, _)| format!("p{over}"))
            .collect();
        let covers = match covers.is_empty() {
            true => String::new(),
            false => format!("; covered by {}", covers.join(", ")),
        };
        declared.push_str(&format!(
            "joint j{plate}: p{plate} to shell; clip; carries; gone{covers}\n"
        ));
    }
    Job {
        found: PRELUDE.to_owned(),
        declared,
        acts: (0..count)
            .map(|plate| format!("undo j{plate}; take off p{plate}"))
            .collect(),
    }
}

/// Chain of n: 1. Antichain of n: n!. R. P. Stanley, Enumerative Combinatorics 1, section 3.5.
#[test]
fn chains_and_heaps() {
    for count in 1..=5 {
        let chain: Vec<(usize, usize)> = (1..count).map(|plate| (plate - 1, plate)).collect();
        assert_eq!(plates(count, &chain).count(), 1, "a stack of {count}");
    }
    assert_eq!(plates(4, &[]).count(), 24, "four side by side");
}

/// Fences of 4, 5, 6 elements: 5, 16, 61. Euler zigzag numbers, OEIS A000111; Stanley, Enumerative Combinatorics 1.
#[test]
fn zigzags() {
    for (count, orders) in [(4, 5), (5, 16), (6, 61)] {
        // 0 over 1, 2 over 1, 2 over 3, 4 over 3, ...
        let fence: Vec<(usize, usize)> = (1..count)
            .map(|plate| match plate % 2 {
                1 => (plate - 1, plate),
                _ => (plate, plate - 1),
            })
            .collect();
        let job = plates(count, &fence);
        assert_eq!(job.count_by_beginnings(), orders, "a fence of {count}");
        if count < 6 {
            assert_eq!(job.count(), orders, "a fence of {count}, every order walked");
        }
    }
}

/// Grids of 2 by n: the Catalan numbers 2, 5, 14. Standard Young tableaux of shape 2 by n; Stanley, Enumerative Combinatorics 2.
#[test]
fn grids() {
    for (columns, orders) in [(2, 2), (3, 5), (4, 14)] {
        let mut over = Vec::new();
        for column in 0..columns {
            over.push((column, columns + column));
            if column > 0 {
                over.push((column - 1, column));
                over.push((columns + column - 1, columns + column));
            }
        }
        let job = plates(2 * columns, &over);
        assert_eq!(job.count_by_beginnings(), orders, "a grid of 2 by {columns}");
    }
}

/// Two threads of 3 and of 2 that have nothing to do with each other: binomial(5, 2) = 10.
#[test]
fn two_threads() {
    let job = plates(5, &[(0, 1), (1, 2), (3, 4)]);
    assert_eq!(job.count(), 10);
    assert_eq!(job.count_by_beginnings(), 10);
}

/// A ball-point pen: head, button, tube, ink and cap on a body. Its liaisons, in the numbering of Ullman, The Mechanical Design
/// Process, 4th edition, figure 11.20: 1 head to body, 2 button to body, 3 head to tube, 4 tube to ink, 5 cap to body. 3 comes before
/// 4, for the ink stands in the tube on the head; 1 before 5, for the cap covers the head's joint. And 4 comes before the later one of
/// 1 and 2: when both ends are closed, no ink gets in. That is said with two cords by which the ink hangs, one through each end:
/// closing an end takes its cord away.
fn pen(ink_gets_in_anyhow: bool) -> Job {
    let third_cord = if ink_gets_in_anyhow {
        "joint cord: ink to shell; clip; carries\n"
    } else {
        ""
    };
    let declared = format!(
        "part head; mass 1 kg quoted
part button; mass 1 kg quoted
part tube; mass 1 kg quoted
part ink; mass 6 kg quoted
part cap; mass 1 kg quoted
joint head-body: head to shell; clip; covered by cap
joint button-body: button to shell; clip
joint head-tube: tube to head; clip
joint tube-ink: ink to tube; clip
joint cap-body: cap to shell; clip
joint cord-at-head: ink to shell; clip; carries; gone
joint cord-at-button: ink to shell; clip; carries; gone
joint ink-seat: ink to shell; clip; carries
{third_cord}"
    );
    let starts = "\n  starts head-body out; starts button-body out; starts tube-ink out; starts ink-seat out; starts tube off; starts cap off";
    let acts = [
        "undo cord-at-head; start head-body",
        "undo cord-at-button; start button-body",
        "fit tube; start head-tube",
        "start tube-ink; start ink-seat",
        "fit cap; start cap-body",
    ];
    Job {
        found: found(starts),
        declared,
        acts: acts.iter().map(|act| (*act).to_owned()).collect(),
    }
}

/// 12 orders, as T. L. De Fazio and D. E. Whitney count them (Simplified generation of all mechanical assembly sequences, IEEE Journal
/// of Robotics and Automation 3(6), 1987) for the pen of A. Bourjault, 1984. The third rule and the 12 are remembered; the two
/// other rules were seen in Ullman. Without the third rule 5! / (2 * 2) = 30.
#[test]
fn the_pen() {
    let pen_of = pen(false);
    // 2 first, then 3 and 4 as one, then 1, then 5: the order that Ullman gives.
    let ullman = pen_of.plan(&[1, 2, 3, 0, 4]);
    assert!(is_clean(&ullman), "{ullman}\n{:#?}", told(&compile_text(&ullman)));
    assert_eq!(pen_of.count(), 12);
    assert_eq!(pen(true).count(), 30);
}

/// The product of four parts: cap, receptacle, stick and handle, which touch each other but for cap and handle.
const PARTS: [&str; 4] = ["cap", "receptacle", "stick", "handle"];
const CONTACTS: [(usize, usize); 5] = [(0, 1), (0, 2), (1, 2), (1, 3), (2, 3)];

/// The stick gets into the receptacle as long as not both of its ends are closed, on the receptacle or on the stick itself; or it is
/// trapped. That is said with two laces, each hung up twice: what closes an end, on either of the two, takes one of its loops away,
/// and the stick's own contact puts both laces to rest.
const LACES: [(usize, usize); 4] = [(0, 1), (1, 3), (0, 2), (2, 3)];

/// The acts that join what touches: stick and receptacle first.
fn joined(contacts: &[(usize, usize)]) -> Vec<String> {
    let name = |(a, b): (usize, usize)| format!("{}-{}", PARTS[a], PARTS[b]);
    let mut acts = Vec::new();
    if contacts.contains(&(1, 2)) {
        acts.push("start receptacle-stick; start rest-1; start rest-2".to_owned());
    }
    for &contact in contacts.iter().filter(|contact| **contact != (1, 2)) {
        acts.push(format!("undo loop-{0}; start {0}", name(contact)));
    }
    acts
}

fn product(acts: &[String]) -> String {
    let mut starts = String::from("starts rest-1 out; starts rest-2 out");
    let mut declared = String::new();
    for part in PARTS {
        declared.push_str(&format!("part {part}; mass 1 kg quoted\n"));
    }
    for (a, b) in CONTACTS {
        let (a, b) = (PARTS[a], PARTS[b]);
        starts.push_str(&format!("; starts {a}-{b} out"));
        declared.push_str(&format!("joint {a}-{b}: {a} to {b}; clip; gone\n"));
    }
    for lace in 1..=2 {
        declared.push_str(&format!(
            "part lace-{lace}; mass 6 kg quoted\njoint rest-{lace}: lace-{lace} to shell; clip; carries\n"
        ));
    }
    for (nth, (a, b)) in LACES.into_iter().enumerate() {
        let (a, b, lace) = (PARTS[a], PARTS[b], 1 + nth / 2);
        declared.push_str(&format!(
            "joint loop-{a}-{b}: lace-{lace} to shell; clip; carries; gone\n"
        ));
    }
    let mut text = found(&starts) + &declared;
    for (nth, act) in acts.iter().enumerate() {
        text.push_str(&format!("step s{nth} \"S\"; {act}\n"));
    }
    text
}

/// AND/OR graph of 12 nodes and 15 hyperarcs: L. S. Homem de Mello and A. C. Sanderson, AND/OR graph representation of assembly
/// plans, IEEE Transactions on Robotics and Automation 6(2), 1990. The 15 hyperarcs are remembered; the model was rebuilt and counted.
#[test]
fn the_product_of_four_parts() {
    // For each set of parts, as bits, one way to build it that walks clean.
    let mut built: Vec<Option<Vec<String>>> = vec![None; 16];
    for part in 0..4 {
        built[1 << part] = Some(Vec::new());
    }
    let mut joins = 0;
    let mut sets: Vec<usize> = (1..16).collect();
    sets.sort_by_key(|set: &usize| set.count_ones());
    for set in sets {
        for one in 1..set {
            let other = set & !one;
            // Each pair of parts of the set once.
            if one & set != one || one > other {
                continue;
            }
            let (Some(first), Some(second)) = (&built[one], &built[other]) else {
                continue;
            };
            let within = |part: usize, set: usize| set & (1 << part) != 0;
            let contacts: Vec<(usize, usize)> = CONTACTS
                .into_iter()
                .filter(|&(a, b)| {
                    (within(a, one) && within(b, other)) || (within(b, one) && within(a, other))
                })
                .collect();
            if contacts.is_empty() {
                continue;
            }
            let acts = [&first[..], &second[..], &joined(&contacts)].concat();
            if begins_clean(&product(&acts)) {
                joins += 1;
                built[set].get_or_insert(acts);
            }
        }
    }
    let whole = product(built[15].as_ref().expect("it can be built"));
    assert!(is_clean(&whole), "{whole}\n{:#?}", told(&compile_text(&whole)));
    let nodes = built.iter().flatten().count();
    assert_eq!((nodes, joins), (12, 15));
    let trapped = [0b1011, 0b1101].map(|set: usize| built[set].is_none());
    assert_eq!(trapped, [true, true], "cap, handle and one of the two alone");
}
