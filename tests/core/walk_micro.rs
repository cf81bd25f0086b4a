//! Small plans, and what the walk finds in each of them: which rule, at which act, about what.

use crate::support::compile_text;
use boltfolio_core::compile::Compilation;
use boltfolio_core::plan::model::{End, Id};

const PRELUDE: &str = "plan p \"P\"; for wren; crew owner, helper
vehicle wren \"Wren 900\"; body shell; wheelbase 2300 mm
person owner
person helper
rig jack; lifts; rated 1500 kg
rig stands; holds; rated 3000 kg
";

/// Findings of the walk as `rule at the marked text: about`. Closing findings only if they are asked for.
fn finds(plan: &str, closing: bool) -> Vec<String> {
    let compilation = compile_text(&format!("{PRELUDE}{plan}"));
    let left_out: &[&str] = if closing {
        &["names", "reading"]
    } else {
        &["names", "reading", "closing"]
    };
    let unread: Vec<&str> = compilation
        .findings
        .iter()
        .filter(|finding| finding.severity == boltfolio_core::base::finding::Severity::Fault)
        .filter(|finding| family(finding.rule.name) == "reading")
        .map(|finding| finding.what.as_str())
        .collect();
    assert!(unread.is_empty(), "{unread:?}");
    compilation
        .findings
        .iter()
        .filter(|finding| !left_out.contains(&family(finding.rule.name)))
        .map(|finding| {
            let at = finding.place().map_or("", |at| compilation.sources.text(at));
            format!(
                "{} {} at {at}: {}",
                finding.severity.word(),
                finding.rule.name,
                finding.about.join(" ")
            )
        })
        .collect()
}

fn family(rule: &str) -> &'static str {
    boltfolio_core::rules::catalogue()
        .iter()
        .find(|family| family.rules.iter().any(|other| other.name == rule))
        .map_or("", |family| family.name)
}

const ENGINE: &str = "part engine; mass 120 kg quoted
part gearbox; mass 30 kg quoted
joint mount, each side: engine to shell; carries
joint bell-bolts: gearbox to engine; carries; bolts 7 x M10x1.5
joint box-mount: gearbox to shell; carries
";

#[test]
fn an_engine_on_three_is_left_on_two() {
    let plan = format!("{ENGINE}step out \"Out\"; hold gearbox with jack; undo box-mount; undo bell-bolts\n");
    assert_eq!(
        finds(&plan, false),
        ["doubt would-swing at bell-bolts: engine out"]
    );
}

#[test]
fn without_the_hold_it_comes_an_act_earlier() {
    let plan = format!("{ENGINE}step out \"Out\"; undo box-mount; undo bell-bolts\n");
    assert_eq!(
        finds(&plan, false),
        [
            "fault would-fall at bell-bolts: gearbox out",
            "doubt would-swing at box-mount: engine out"
        ]
    );
}

#[test]
fn a_stated_need_is_a_fault() {
    let plan = format!(
        "{}step out \"Out\"; hold gearbox with jack; undo box-mount; undo bell-bolts\n",
        ENGINE.replace(
            "120 kg quoted",
            "12 kg quoted; stands on 3 of mount-left, mount-right, bell-bolts"
        )
    );
    assert_eq!(
        finds(&plan, false),
        ["fault would-swing at bell-bolts: engine out"]
    );
}

#[test]
fn an_alternator_goes_with_the_engine_but_its_plug_does_not() {
    let plan = "part engine; mass 120 kg quoted
part alternator; mass 5 kg quoted
joint mounts: engine to shell; carries; bolts 4 x M12x1.75
joint alternator-bolts: alternator to engine; carries
joint alternator-plug: alternator to shell; plug
step out \"Out\"; hold engine with jack; undo mounts; take off engine
";
    assert_eq!(
        finds(plan, false),
        ["fault still-joined at engine: alternator-plug out"]
    );
}

const CALIPER: &str = "part caliper; mass 4 kg quoted
fluid brake-fluid; holds 0.5 l
joint caliper-bolts: caliper to shell; carries; bolts 2 x M12x1.75
joint caliper-hose: caliper to shell; hose of brake-fluid
";

#[test]
fn a_caliper_tied_up_a_step_too_late_hangs_by_its_hose() {
    let plan = format!(
        "{CALIPER}step aside \"Caliper off\"; undo caliper-bolts\nstep tie \"Tie it up\"; tie up caliper to shell, 5 kg\n"
    );
    assert_eq!(
        finds(&plan, false),
        ["fault hung-by-hose at caliper-bolts: caliper aside"]
    );
    let plan =
        format!("{CALIPER}step aside \"Caliper off\"; undo caliper-bolts; tie up caliper to shell, 5 kg\n");
    assert!(finds(&plan, false).is_empty(), "{:?}", finds(&plan, false));
}

#[test]
fn under_a_jack_is_told_once() {
    let guard = "part guard; mass 2 kg quoted
joint guard-bolts: guard to shell; carries; bolts 4 x M8x1.25; reach from below
";
    let plan = format!("{guard}step up \"Up\"; raise wren rear on jack; undo guard-bolts; take off guard\n");
    assert_eq!(
        finds(&plan, false),
        ["fault under-a-jack at guard-bolts: guard-bolts up"]
    );
    let plan = format!(
        "{guard}step up \"Up\"; raise wren rear on jack; set wren rear down on stands; undo guard-bolts; take off guard\n"
    );
    assert!(finds(&plan, false).is_empty(), "{:?}", finds(&plan, false));
}

const SEAT: &str = "part seat; mass 14 kg quoted; afterwards for sale
part bucket; in place of seat; mass 6 kg quoted
joint seat-bolts: seat to shell; carries; bolts 4 x M8x1.25
joint seat-plug: seat to shell; plug
joint bucket-bolts: bucket to shell; in place of seat-bolts; same as seat-bolts
step out \"Out\"; by owner, helper; hold seat by helper; undo seat-plug, seat-bolts; take off seat
step in \"In\"; by owner, helper; hold bucket by helper; fit bucket; start bucket-bolts; tighten bucket-bolts
";

#[test]
fn a_plug_without_its_socket_is_never_replaced() {
    assert_eq!(
        finds(SEAT, true),
        ["fault never-replaced at seat-plug: seat-plug"]
    );
    let gone = SEAT.replace("seat to shell; plug", "seat to shell; plug; gone \"Taped up\"");
    assert!(finds(&gone, true).is_empty(), "{:?}", finds(&gone, true));
}

#[test]
fn hands_let_go_when_the_step_ends() {
    let plan = "part radiator; mass 9 kg quoted
joint radiator-bolts: radiator to shell; carries; bolts 4 x M6x1.0
step loose \"Loose\"; by owner, helper; hold radiator by helper; undo radiator-bolts
step away \"Away\"; by owner, helper; take off radiator
";
    assert_eq!(
        finds(plan, false),
        ["fault would-fall at hold radiator by helper: radiator loose"]
    );
}

/// Common practice, no source: a supply is made dead by parting it; what was let down beside it changes nothing.
#[test]
fn letting_something_down_makes_no_supply_safe() {
    let live = |kind: &str, acts: &str| {
        let plan = format!(
            "energy store; {kind}; safe after calm
part box; mass 9 kg quoted
joint box-strap: box to shell; strap; bolts 1 x M8x1.25
joint box-bolts: box to shell; carries; bolts 2 x M6x1.0
part lamp; mass 1 kg quoted
joint lamp-clip: lamp to shell; clip; carries
joint lamp-plug: lamp to shell; plug; of store
step up \"Up\"; by owner; raise wren front on jack to 300 mm
step calm \"Calm\"; by owner; {acts}
step plug-off \"Plug off\"; by owner; undo lamp-plug
"
        );
        finds(&plan, false)
            .iter()
            .any(|found| found.contains("still-live"))
    };
    let down = "lower wren by 20 mm";
    assert!(live("electric", down) && live("pressure", down));
    assert!(!live("electric", "undo box-strap") && !live("spring", down));
}

fn walked(plan: &str) -> Compilation {
    compile_text(&format!("{PRELUDE}{plan}"))
}

#[test]
fn any_moment_can_be_had_again() {
    let mut plan = String::from(
        "part guard; mass 2 kg quoted\njoint guard-bolts: guard to shell; carries; bolts 4 x M8x1.25; reach from below\n",
    );
    for nth in 0..70 {
        plan.push_str(&format!(
            "step up-{nth} \"Up\"; raise wren rear on jack; set wren rear down on stands\n"
        ));
        plan.push_str(&format!(
            "step loose-{nth} \"Loose\"; slacken 1 of guard-bolts; set wren rear down on floor\n"
        ));
        plan.push_str(&format!("step tight-{nth} \"Tight\"; tighten guard-bolts\n"));
    }
    let done = walked(&plan);
    let joint = done.plan.joints.ids().next().expect("one joint");
    for (nth, &step) in done.plan.order.iter().enumerate() {
        let after = done.walk.after(&done.plan, step).expect("a walked step");
        let (slack, raised) = match nth % 3 {
            0 => (0, true),
            1 => (1, false),
            _ => (0, false),
        };
        assert_eq!(after.state().joints[joint].slack, slack, "after step {nth}");
        assert_eq!(after.end_on(End::Rear).is_some(), raised, "after step {nth}");
        assert_eq!(after.slack().count(), usize::from(slack > 0));
        assert!(after.unsafe_to_leave().is_empty());
    }
    assert!(done.walk.after(&done.plan, Id::new(9999)).is_none());
}

/// What was worked on while it was only tried is asked like all else once it is on in earnest.
#[test]
fn a_trial_ends_with_the_fitting() {
    let plan = "part seat; mass 4 kg quoted; afterwards for sale
part bucket; in place of seat; mass 3 kg quoted
joint seat-bolts: seat to shell; carries; bolts 4 x M8x1.25
joint bucket-bolts: bucket to shell; in place of seat-bolts; same as seat-bolts
step out \"Out\"; undo seat-bolts; take off seat
step offered \"Offered up\"; try bucket; start bucket-bolts
step in \"In\"; fit bucket; tighten bucket-bolts\n";
    assert_eq!(finds(plan, true), Vec::<String>::new());
    let twice = finds(
        &plan.replace("fit bucket; tighten", "fit bucket; fit bucket; tighten"),
        true,
    );
    assert!(
        matches!(twice.as_slice(), [one] if one.contains("already-done at bucket")),
        "{twice:?}"
    );
    let loose = finds(&plan.replace("; tighten bucket-bolts", ""), true);
    assert!(
        matches!(loose.as_slice(), [one] if one.contains("never-tightened")),
        "{loose:?}"
    );
}
