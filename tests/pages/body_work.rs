//! Joints that are cut apart and closed anew, each by its own act, and work on the body. Small plans; each beside one that is right.

use crate::support::{compile_text, told};
use boltfolio::base::date::Date;
use boltfolio::binder::{Wanted, bind};
use boltfolio::press::markdown;

/// A skin on a frame, parted and closed by these statements.
fn skin(kind: &str, acts: &str) -> Vec<String> {
    let done = compile_text(&plan(kind, acts));
    told(&done)
}

fn plan(kind: &str, acts: &str) -> String {
    format!(
        "plan skin-job \"Wren 900: roof skin\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada; lifts 20 kg\n\
         person tom; lifts 20 kg\npart skin \"Roof skin\"; mass 6 kg weighed\njoint seam: skin to shell; carries; {kind}\n\
         step round \"Skin off and on\"; by ada, tom; {acts}\n"
    )
}

const KINDS: [(&str, &str); 3] = [("riveted", "rivet"), ("welded", "weld"), ("bonded", "bond")];

const OFF_AND_ON: &str = "hold skin by tom; break seam \"drilled out\"; take off skin; set skin down on floor; hold skin by tom; fit skin; rivet seam";

#[test]
fn rivets_are_broken_and_set_anew() {
    assert_eq!(skin("riveted; count 24", OFF_AND_ON), Vec::<String>::new());
    for (wrong, says) in [
        ("undo seam", "draw-not-undo"),
        ("slacken seam; break seam \"drilled out\"", "draw-not-undo"),
    ] {
        let acts = OFF_AND_ON.replace("break seam \"drilled out\"", wrong);
        let all = skin("riveted; count 24", &acts);
        assert!(all.iter().any(|told| told.starts_with(says)), "{wrong}: {all:?}");
    }
    for wrong in [
        "start seam",
        "tighten seam",
        "rivet seam; tighten seam",
        "press home seam",
    ] {
        let all = skin("riveted; count 24", &OFF_AND_ON.replace("rivet seam", wrong));
        assert!(
            all.iter().any(|told| told.starts_with("draw-not-undo")),
            "{wrong}: {all:?}"
        );
    }
    // What is bolted is not riveted, and what was never broken is not riveted again.
    let bolted = OFF_AND_ON.replace("break seam \"drilled out\"", "undo seam");
    let all = skin("bolts 4 x M6x1.0", &bolted);
    assert!(
        all.iter().any(|told| told.starts_with("draw-not-undo")),
        "{all:?}"
    );
    let all = skin("riveted; count 24", "rivet seam");
    assert!(all.iter().any(|told| told.starts_with("already-done")), "{all:?}");
    for acts in ["press apart seam", "undo seam; hold skin by tom; press home seam"] {
        let all = skin(
            "bolts 4 x M6x1.0",
            &format!("hold skin by tom; {acts}; undo seam; take off skin"),
        );
        assert!(
            all.iter().any(|told| told.starts_with("draw-not-undo")),
            "{acts}: {all:?}"
        );
    }
    // Left open it is told, with the act that closes it.
    let done = compile_text(&plan(
        "riveted; count 24",
        &OFF_AND_ON.replace("; rivet seam", ""),
    ));
    let left = done
        .findings
        .iter()
        .find(|finding| finding.rule.name == "never-remade");
    assert!(
        left.is_some_and(|finding| finding.mend.words.contains("rivet seam")),
        "{:?}",
        told(&done)
    );
}

/// Each kind that is broken apart is closed by its own act, and by no other.
#[test]
fn each_has_its_own_act() {
    for (kind, act) in KINDS {
        for (_, other) in KINDS {
            let all = skin(kind, &OFF_AND_ON.replace("rivet seam", &format!("{other} seam")));
            let told = all.iter().any(|told| told.starts_with("draw-not-undo"));
            assert_eq!(told, act != other, "{kind}, {other}: {all:?}");
        }
    }
}

#[test]
fn a_stage_that_reverses_another_closes_what_it_broke() {
    for (kind, act, says) in [
        ("riveted; count 24", "drilled out", "**Rivet** the seam"),
        (
            "bonded; sets in 24 h",
            "cut with a wire",
            "**Wait** **24 h**, until the seam has set",
        ),
    ] {
        let text = format!(
            "{}stage off \"Off\"\nstep out \"Skin off\"; by ada, tom; hold skin with clamps; break seam \"{act}\"; take off skin; set skin down on floor\n\
         stage on \"On\" reverses off\n",
            plan(kind, "")
                .replace("part skin", "rig clamps; holds, lifts; rated 40 kg\npart skin")
                .split("step round")
                .next()
                .unwrap_or_default()
        );
        let done = compile_text(&text);
        assert_eq!(told(&done), Vec::<String>::new());
        let day = Date::read("2026-03-07").expect("a day");
        let paper = markdown(&bind(&done, &Wanted::printed(day))).text;
        let paper = paper.replace('\u{a0}', " ");
        assert!(paper.contains(says), "{paper}");
    }
}

/// A car with fuel in its tank, a pump with a hose, and a sill.
fn car(acts: &str) -> Vec<String> {
    let done = compile_text(&format!(
        "plan sill-job \"Wren 900: left sill\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson tom; licensed for welding\n\
         rig table; lifts, holds; rated 100 kg\npart tank \"Fuel tank\"; mass 9 kg weighed\npart pump; mass 3 kg weighed\npart sill; mass 1 kg weighed\n\
         joint tank-bolts: tank to shell; carries; bolts 4 x M8x1.25; torque 22 N m\njoint feed: tank to pump; hose of petrol; push-on\n\
         joint pump-bolts: pump to shell; carries; bolts 2 x M8x1.25; torque 22 N m\njoint seam: sill to shell; welded\n\
         fluid petrol \"Petrol\"; holds 40 l; in tank\ntool can; holds 60 l\nstep work \"Work\"; by ada, tom; {acts}\n"
    ));
    told(&done)
        .into_iter()
        .map(|told| told.split(" `").next().unwrap_or(&told).to_owned())
        .collect()
}

fn rules_of(acts: &str) -> Vec<String> {
    let names = car(acts).into_iter();
    names
        .map(|told| told.split(' ').next().unwrap_or("").to_owned())
        .filter(|rule| rule != "never-used")
        .collect()
}

const GLUED: &str = "hold skin by tom; break seam \"cut with a wire\"; take off skin; set skin down on floor; hold skin by tom; fit skin; bond seam";

/// A bond bears nothing before somebody has waited for it; one that says no time bears at once.
#[test]
fn a_bond_bears_when_it_has_set() {
    let kind = "bonded; sets in 24 h";
    assert_eq!(skin("bonded", GLUED), Vec::<String>::new());
    let held = GLUED.replace("hold skin by tom; fit", "hold skin with clamps; fit");
    let with_clamps = |acts: &str| {
        let text = plan(kind, acts).replace("part skin", "rig clamps; holds; rated 40 kg\npart skin");
        told(&compile_text(&text))
    };
    assert_eq!(
        with_clamps(&format!("{held}; wait seam; release skin")),
        Vec::<String>::new()
    );
    // Let go of before it has set, it falls.
    let all = with_clamps(&format!("{held}; release skin; wait seam"));
    assert!(all.iter().any(|told| told.starts_with("would-fall")), "{all:?}");
    // Hands let go at the end of the step, and a day is longer than that.
    let all = skin(kind, GLUED);
    assert!(all.iter().any(|told| told.starts_with("would-fall")), "{all:?}");
    // Nobody waits.
    let done =
        compile_text(&plan(kind, &held).replace("part skin", "rig clamps; holds; rated 40 kg\npart skin"));
    let never = done
        .findings
        .iter()
        .find(|finding| finding.rule.name == "never-tightened");
    assert!(
        never.is_some_and(|finding| finding.mend.words.contains("wait seam")),
        "{:?}",
        told(&done)
    );
    // What sets no longer is not waited for.
    let all = with_clamps(&format!("{held}; wait seam; wait seam; release skin"));
    assert!(all.iter().any(|told| told.starts_with("already-done")), "{all:?}");
}

#[test]
fn what_sparks_asks_where_the_fuel_is() {
    for act in [
        "grind sill",
        "cut sill",
        "heat sill",
        "weld sill \"tacked\"",
        "grind shell",
        "heat tank-bolts",
    ] {
        assert_eq!(rules_of(act), ["sparks-by-fuel"], "{act}");
    }
    for act in [
        "clean sill",
        "seal seam",
        "paint sill \"two coats\"",
        "drill sill",
        "clean tank-bolts",
    ] {
        assert_eq!(rules_of(act), Vec::<String>::new(), "{act}");
    }
    // With the tank drained and out nothing is left to burn; drained with its line open there is vapour, and dust gets in.
    let out = "drain petrol into can; undo feed; cap feed; hold tank with table; undo tank-bolts; take off tank; grind sill; \
               fit tank; start tank-bolts; tighten tank-bolts; release tank; uncap feed; start feed; fill petrol";
    assert_eq!(rules_of(out), Vec::<String>::new());
    let open = "drain petrol into can; undo feed; grind sill; start feed; fill petrol";
    assert_eq!(rules_of(open), ["sparks-by-fuel", "dust-into-line"]);
    // One cause is told once.
    assert_eq!(
        rules_of("grind sill; cut sill; weld sill \"tacked\""),
        ["sparks-by-fuel"]
    );
}

#[test]
fn welding_is_licensed_work() {
    let unlicensed = rules_of("weld sill \"tacked\"");
    assert_eq!(unlicensed, ["sparks-by-fuel"]);
    let done = compile_text(
        "plan p \"P\"; for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada\npart sill; mass 1 kg weighed\n\
         joint seam: sill to shell; welded\nstep work \"Work\"; by ada; weld sill \"tacked\"\n",
    );
    let rules: Vec<&str> = done.findings.iter().map(|finding| finding.rule.name).collect();
    assert_eq!(rules, ["licensed-work"]);
}

/// What people say for it is answered with the language's own word.
#[test]
fn other_words_are_answered() {
    for (said, own) in [
        ("hex 6 mm", "`head 16 mm`, or `key 6 mm` for an inside hexagon"),
        ("socket 6 mm", "`head 16 mm`, or `key 6 mm` for an inside hexagon"),
        ("nyloc 2 x M8x1.25", "`nuts 2 x M8x1.25; renew \"locking nuts\"`"),
        ("rivets 24 x 4.8 mm", "`riveted`, and how many: `count 24`"),
    ] {
        let all = told(&compile_text(&plan(said, "look \"x\"")));
        let answer = format!("write {own}");
        assert!(all.iter().any(|told| told.ends_with(&answer)), "{said}: {all:?}");
    }
}

/// What goes under the head and onto the thread stands where the joint is closed, and nowhere before.
#[test]
fn washers_and_threadlock_stand_where_it_is_closed() {
    let text = plan(
        "bolts 4 x M8x1.25 class 8.8; head 13 mm; torque 22 N m; threadlock \"medium\"; washers 4 \"plain, under the heads\"",
        "hold skin by tom; undo seam; take off skin; set skin down on floor; hold skin by tom; fit skin; start seam; tighten seam",
    );
    let done = compile_text(&text);
    assert!(told(&done).is_empty(), "{:#?}", told(&done));
    let day = Date::read("2026-03-01").expect("a day");
    let printed = markdown(&bind(&done, &Wanted::printed(day))).text;
    for words in ["4 washers, plain, under the heads", "threadlock"] {
        assert_eq!(printed.matches(words).count(), 1, "{words}: {printed}");
    }
    let undone = printed.find("Undo").expect("it is undone");
    let closed = printed.find("threadlock").expect("it is closed");
    assert!(undone < closed, "{printed}");
}
