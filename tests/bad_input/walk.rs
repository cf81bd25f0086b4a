//! Plans whose text is in order and whose machine makes no sense: told where it stands, once, and nothing panics.

use super::support::{compile_text, told};

const WREN: &str = "\
plan wren-job \"Wren 900\"
  for wren
  crew ines, tam
vehicle wren \"Wren 900\"; body shell
person ines \"Ines\"; lifts 25 kg
person tam \"Tam\"; lifts 25 kg
rig hoist \"Hoist\"; lifts; rated 500 kg
part seat \"Seat\"; mass 20 kg quoted
joint seat-bolts: seat to shell; carries; clip
";

fn found(text: &str) -> Vec<String> {
    let done = compile_text(&format!("{WREN}{text}"));
    told(&done)
        .into_iter()
        .filter(|line| !line.contains("never-used"))
        .collect()
}

fn has(text: &str, rule: &str, line: usize) {
    let all = found(text);
    let place = format!("{rule} plan.boltplan:{line}:");
    assert!(
        all.iter().any(|told| told.starts_with(&place)),
        "{place} not in {all:#?}"
    );
}

#[test]
fn a_ring_of_carrying_joints_with_nothing_at_the_body() {
    // Three things that carry each other: once the last joint to the body is out they fall, as one finding.
    let text = "part a; mass 20 kg quoted\npart b; mass 20 kg quoted\npart c; mass 20 kg quoted\njoint ab: a to b; carries; clip\njoint bc: b to c; carries; clip\njoint ca: c to a; carries; clip\njoint a-body: a to shell; carries; clip\nstep s \"S\"\n  undo a-body\n  start a-body\n";
    let all = found(text);
    let falls: Vec<&String> = all.iter().filter(|told| told.starts_with("would-fall")).collect();
    assert_eq!(falls.len(), 1, "{all:#?}");
    assert!(falls[0].contains(":18:"), "at the act: {falls:?}");
    // With no joint to the body at all they hang on nothing from the start, and nothing is asked of what no act touches.
    let text = "part a; mass 20 kg quoted\npart b; mass 20 kg quoted\njoint ab: a to b; carries; clip\njoint ba: b to a; carries; clip\nstep s \"S\"\n  undo ab\n  start ab\n";
    let _ = found(text);
}

#[test]
fn a_joint_to_itself_or_into_its_own_assembly() {
    has(
        "joint odd: seat to seat; clip\nstep s \"S\"\n  look \"x\"\n",
        "joint-to-itself",
        10,
    );
    has(
        "part rail; mass 1 kg quoted\njoint rail-clip: rail to seat; carries; clip\nassembly seats; of seat, rail\njoint odd: seats to rail; clip\nstep s \"S\"\n  look \"x\"\n",
        "joint-to-itself",
        13,
    );
}

#[test]
fn acts_on_things_of_another_plan() {
    has("step s \"S\"\n  undo bonnet-hinges\n", "unknown-name", 11);
    has("step s \"S\"\n  take off hoist\n", "wrong-kind", 11);
}

#[test]
fn a_hold_by_a_rig_that_holds_already() {
    has(
        "step s \"S\"\n  hold seat with hoist\n  hold seat with hoist\n  release seat from hoist\n",
        "already-done",
        12,
    );
    has(
        "part bonnet; mass 20 kg quoted\njoint bonnet-clip: bonnet to shell; carries; clip\nstep s \"S\"\n  hold seat with hoist\n  hold bonnet with hoist\n  release seat from hoist\n  release bonnet from hoist\n",
        "rig-in-use",
        14,
    );
}

#[test]
fn two_steps_of_one_name_and_waits_across_a_derived_stage() {
    has(
        "step s \"S\"\n  look \"x\"\nstep s \"T\"\n  look \"y\"\n",
        "same-name-twice",
        12,
    );
    // A step of the strip cannot wait for one that is derived from it.
    has(
        "stage strip \"Strip\"\nstep one \"One\"\n  after two-back\n  look \"x\"\nstep two \"Two\"\n  by ines, tam\n  hold seat by tam\n  undo seat-bolts\n  take off seat\nstage back \"Back\" reverses strip\n",
        "before-its-turn",
        12,
    );
}

#[test]
fn a_stage_that_reverses_itself() {
    has(
        "stage strip \"Strip\" reverses strip\nstep one \"One\"\n  look \"x\"\n",
        "cannot-reverse",
        10,
    );
}
