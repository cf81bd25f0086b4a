//! What a walk looks at grows with its plan and no faster: twice the machine, twice the looks. Counts, the same on every run; seconds are
//! the benchmark's. The bounds are our own.

#[allow(
    dead_code,
    reason = "the benchmark asks for machines that are no growth of a walk"
)]
use crate::machines;

use boltfolio_core::base::date::Date;
use boltfolio_core::binder::{Wanted, bind};

use crate::support::compile_text;

type Machine = fn(usize) -> String;

const FEW: usize = 150;

/// How many more looks for twice the machine.
fn grown(machine: Machine) -> f64 {
    let [few, many] = [FEW, 2 * FEW].map(|count| {
        let looked = compile_text(&machine(count)).walk.looked;
        assert!(looked > count as u64, "{looked} looks at {count}");
        looked as f64
    });
    many / few
}

#[test]
fn twice_the_machine_is_twice_the_looks() {
    let all: [(&str, Machine); 5] = [
        ("a row of machines", machines::machines),
        ("one assembly", machines::one_assembly),
        ("a chain that falls", machines::chain_that_falls),
        ("a star", machines::star),
        ("a row of springs", machines::springs),
    ];
    for (what, machine) in all {
        let grown = grown(machine);
        assert!(grown < 2.3, "{what}: {grown:.2} times the looks");
    }
}

/// All that a rig shares with what it has hold of is looked at whenever a link comes or goes: as the square of the chain, and no worse.
#[test]
fn a_chain_on_a_hoist_is_looked_at_link_by_link() {
    for machine in [machines::chain_from_the_body, machines::chain_from_the_end] {
        let grown = grown(machine);
        assert!(grown < 4.2, "{grown:.2} times the looks");
    }
}

/// Twice the parts are four times the joints.
#[test]
fn where_all_is_joined_to_all_each_joint_is_looked_at_a_few_times() {
    let looks = |parts: usize| compile_text(&machines::clique(parts)).walk.looked as f64;
    let grown = looks(80) / looks(40);
    assert!(grown < 4.3, "{grown:.2} times the looks");
}

/// A binder asks for the machine before and after each step, and some of it more than once.
#[test]
fn twice_the_steps_are_twice_the_changes_played_for_a_binder() {
    let [few, many] = [FEW, 2 * FEW].map(|count| {
        let compilation = compile_text(&machines::machines(count));
        let steps = compilation.plan.order.len() as f64;
        let _document = bind(
            &compilation,
            &Wanted::printed(Date {
                year: 2026,
                month: 3,
                day: 7,
            }),
        );
        let played = compilation.walk.played() as f64;
        assert!(played > steps, "{played} changes played for {steps} steps");
        played
    });
    let grown = many / few;
    assert!(grown < 2.3, "{grown:.2} times the changes");
}
