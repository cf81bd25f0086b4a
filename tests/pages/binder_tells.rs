//! What cards and lists say of what the walk knows: bags that a new joint inherits, when a sheet is looked over, what a rig may come to bear and
//! where the vehicle is nearest to tipping. Figures of balance are moments about the front axle, written out; the rest is the plan's own.

use crate::support::compile_text;
use boltfolio::base::date::Date;
use boltfolio::binder::{Wanted, bind};
use boltfolio::press::markdown;
use boltfolio::press::markdown::INDEX;

/// The binder of these lines, as Markdown.
fn printed(plan: &str) -> String {
    let day = Date::read("2026-03-07").expect("a day");
    let done = compile_text(plan);
    let text = markdown(&bind(&done, &Wanted::printed(day))).text;
    text.replace('\u{a0}', " ")
}

/// The card of this number, up to the next heading.
fn card<'a>(text: &'a str, number: &str) -> &'a str {
    let start = text.find(&format!("### {number} ")).expect("the card");
    let rest = &text[start + 4..];
    &rest[..rest.find("\n### ").unwrap_or(rest.len())]
}

/// The row of a table that begins with a tick and has these words in it.
fn row<'a>(text: &'a str, words: &str) -> &'a str {
    let mut rows = text.lines().filter(|line| line.starts_with('|'));
    rows.find(|line| line.contains(words))
        .unwrap_or_else(|| panic!("{words} in no table"))
}

const SEATS: &str = "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada; lifts 40 kg\nperson tom; lifts 40 kg\n\
    part seat; mass 14 kg weighed; afterwards for sale\npart bucket; in place of seat; mass 6 kg weighed\n\
    joint rails: seat to shell; carries; bolts 4 x M8x1.25 class 8.8\njoint buckle: seat to shell; carries; bolts 1 x M10x1.25 class 10.9\njoint wiring: seat to shell; plug; gone\n\
    joint new-rails: bucket to shell; carries; in place of rails; bolts 4 x M8x1.25 class 8.8\n\
    joint new-buckle: bucket to shell; carries; in place of buckle; bolts 1 x M12x1.25 class 10.9\n\
    step out \"Out\"; by ada, tom; undo wiring; hold seat by tom; undo buckle, rails; take off seat\n\
    step in \"In\"; by ada, tom; hold bucket by tom; fit bucket; start new-rails, new-buckle; tighten new-rails, new-buckle\n";

#[test]
fn the_same_fixings_come_out_of_the_old_joints_bag() {
    let text = printed(SEATS);
    let into = card(&text, "2");
    assert!(into.contains("bag **2**, of the rails"), "{into}");
    // The buckle's bolts are of another size: they are in no bag.
    assert!(into.contains("from no bag"), "{into}");
    assert!(
        row(&text, "1 bolt M12").contains("New buckle"),
        "{}",
        row(&text, "1 bolt M12")
    );
    assert!(
        !text.contains("| 4 bolts M8 × 1.25, 8.8 | New rails"),
        "they have a bag"
    );
}

#[test]
fn a_sheet_says_at_which_act_it_is_looked_over() {
    let with_a_rig = |acts: &str| {
        let plan = SEATS.replace(
            "undo wiring; hold seat by tom; undo buckle, rails; take off seat",
            acts,
        );
        printed(&plan.replace(
            "part seat;",
            "rig hoist \"Hoist\"; lifts, holds; rated 500 kg\npart seat;",
        ))
    };
    let text = with_a_rig("undo wiring; hold seat with hoist; undo buckle, rails; take off seat");
    assert!(
        text.contains("**When:** **at act e of 1**, when a to d are done; not sooner"),
        "{text}"
    );
    let two = with_a_rig("hold seat with hoist; undo rails; take off seat");
    assert!(two.contains("**at act c of 1**, when a and b are done"), "{two}");
    // One person carries it: no sheet, and all that must be loose stands at the act.
    let by_hand = printed(SEATS);
    assert!(!by_hand.contains("**When:**"), "{by_hand}");
    assert!(
        card(&by_hand, "1").contains("**All loose:** rails 4, buckle, wiring. Another joint?"),
        "{}",
        card(&by_hand, "1")
    );
}

/// 850 kg with the centre 2300 x 400 / 850 = 1082 mm behind the front axle, on pads at 300 and 2000 mm, 500 mm left and right. With an engine of 300 kg over the
/// front axle on a jack 550 kg are left, their centre at 850 x 1082.35 / 550 = 1673 mm: 327 mm from the rear pads.
#[test]
fn the_card_tells_where_the_car_is_nearest_to_tipping() {
    let plan = |release: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell; wheelbase 2300 mm; track 1300 mm front, 1300 mm rear\n  \
             jacking front at 300 mm behind front axle, 500 mm left and right\n  jacking rear at 2000 mm behind front axle, 500 mm left and right\n\
             person ada\nperson tom\nscale pads; capacity 450 kg each; division 0.5 kg; repeatability 0.5 kg\n\
             weigh-in before; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear\n\
             rig lift; lifts, holds; rated 2600 kg\nrig jack \"Tall jack\"; lifts, holds; rated 500 kg\n\
             part engine; mass 300 +- 1 kg weighed; at 0 mm behind front axle, 0 mm left, 500 mm up\n\
             joint mounts: engine to shell; carries; bolts 4 x M12x1.75; torque 80 N m\n\
             step up \"Up\"; by ada, tom; raise wren on lift to 1700 mm\n\
             step take \"Take it up\"; by ada, tom; hold engine with jack; look \"Level\"{release}\n\
             step down \"Down\"; by ada, tom; set wren down on floor\n"
        )
    };
    let text = printed(&plan("; release engine from jack"));
    let take = card(&text, "2");
    assert!(
        take.contains("Closest to tipping in the whole job:** the centre of gravity is only 327 ± ")
            && take.contains(" mm from the edge at the rear, should the tall jack take all that it can."),
        "{take}"
    );
    assert!(!card(&text, "1").contains("Closest to tipping"));
    let jack = row(&text, "Tall jack");
    // It is given the engine, so that is its load, whole, though the mounts share it.
    assert!(jack.contains(" 300 kg | have"), "{jack}");
    // What does not come back within the step has not been taken up for a moment.
    let kept = printed(&plan(""));
    assert!(
        card(&kept, "2").contains(" mm from the edge at the rear. Check"),
        "{}",
        card(&kept, "2")
    );
}

/// The car of above, its pads 900 mm out. An arm over the front axle hangs on a block of 290 kg at 800 mm. Taken away where they lie the two
/// leave the centre (850 x 1082.35 - 290 x 800)/550 = 1251 mm behind the axle, far inside; a jack under the arm pushes at the arm, and with the
/// same 300 kg leaves it at 1673 mm, 327 mm from the rear pads. With 850 x 917.65/2000 = 390 kg, moments about these, the front ones bear nothing.
#[test]
fn a_jack_pushes_at_its_own_place() {
    let plan = |units: &str, arm: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada, tom{units}\nvehicle wren \"Wren 900\"; body shell; wheelbase 2300 mm; track 1300 mm front, 1300 mm rear\n  \
             jacking front at 300 mm behind front axle, 900 mm left and right\n  jacking rear at 2000 mm behind front axle, 900 mm left and right\n\
             person ada\nperson tom\nscale pads; capacity 450 kg each; division 0.5 kg; repeatability 0.5 kg\n\
             weigh-in before; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear\n\
             rig lift; lifts, holds; rated 2600 kg\nrig jack \"Tall jack\"; lifts, holds; rated 500 kg\n\
             part block; mass 290 +- 1 kg weighed; at 800 mm behind front axle, 0 mm left, 500 mm up\n\
             part arm; mass 10 +- 0.1 kg weighed; at {arm} behind front axle, 0 mm left, 300 mm up\n\
             joint mounts: block to shell; carries; bolts 4 x M12x1.75; torque 80 N m\n\
             joint pivot: arm to block; carries; bolts 1 x M12x1.75; torque 80 N m\n\
             step up \"Up\"; by ada, tom; raise wren on lift to 1700 mm\n\
             step take \"Take it up\"; by ada, tom; hold arm with jack; look \"Level\"; release arm from jack\n\
             step down \"Down\"; by ada, tom; set wren down on floor\n"
        )
    };
    let text = printed(&plan("", "0 mm"));
    let take = card(&text, "2");
    assert!(
        take.contains("the centre of gravity is only 327 ± ")
            && take.contains("at the rear, should the tall jack push with 300 kg at its own place."),
        "{take}"
    );
    assert!(
        take.contains(
            "While joints are tight it can push harder: with 390 kg the Wren 900 stands on its edge."
        ),
        "{take}"
    );
    // Under the centre it takes nothing off the margin.
    assert!(!printed(&plan("", "1080 mm")).contains("Closest to tipping"));
    // 327 mm are 12.9 in, 300 kg 661 lb, 390 kg 860 lb (NIST SP 811, B.8).
    let inch = printed(&plan("; units inch", "0 mm"));
    let take = card(&inch, "2");
    assert!(
        take.contains("only 12.9 ± ") && take.contains(" in from the edge"),
        "{take}"
    );
    assert!(
        take.contains("push with 661 lb") && take.contains("with 860 lb"),
        "{take}"
    );
    let centre = inch.split("42.6 ± 0.").nth(1).expect("the centre");
    assert!(
        centre
            .get(1..)
            .is_some_and(|rest| rest.trim_start_matches(['\u{a0}', ' ']).starts_with("in")),
        "the centre in inches"
    );
}

/// Three times 1.04 kg are 3.12 kg: 3.1, whatever the rows of 1.0 add up to; three times 1.00 need no word on it.
#[test]
fn sums_are_rounded_last() {
    let plan = |kg: &str| {
        let mut text = "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson tom\n".to_owned();
        for name in ["lamp", "horn", "rail"] {
            text.push_str(&format!(
                "part {name}; mass {kg} +- 0.01 kg weighed; afterwards for sale\njoint {name}-bolts: {name} to shell; carries; bolts 2 x M6x1.0\n\
                 step {name}-off; by ada, tom; hold {name} by ada; undo {name}-bolts; take off {name}\nswap {name}-gone; comes off {name}\n"
            ));
        }
        printed(&text)
    };
    let text = plan("1.04");
    assert!(
        row(&text, "All swaps").contains("3.1"),
        "{}",
        row(&text, "All swaps")
    );
    assert!(
        text.contains("rows added up by hand may differ in the last place"),
        "{text}"
    );
    assert!(text.contains("± covers about 95 %, two standard deviations; +- in a plan is one."));
    let even = plan("1.00");
    assert!(row(&even, "All swaps").contains("3.0"));
    assert!(!even.contains("rows added up by hand"));
}

#[test]
fn sockets_lie_ready_for_what_is_clicked_once_more() {
    let plan = |needs: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson tom\n\
             tool wrench \"Torque wrench\"; range 20 N m to 200 N m\npart lamp; mass 1 kg weighed\n\
             joint screws: lamp to shell; carries; bolts 2 x M10x1.5 class 8.8; head 16 mm; torque 45 N m\n\
             step again \"Again\"; by ada, tom; verify screws \"At the figure\"{needs}\n"
        )
    };
    assert!(card(&printed(&plan("; needs wrench")), "1").contains("socket **16 mm**"));
    assert!(!card(&printed(&plan("")), "1").contains("16 mm"));
}

/// A long binder has a file for each stage; each link of the contents leads to a heading that is there.
#[test]
fn every_link_of_the_contents_leads_somewhere() {
    let steps: String = (1..=44)
        .map(|nth| format!("step work-{nth} \"Look, [and](x) *see* <i> no. {nth}\"; by ada; look \"So\"\n"))
        .collect();
    let (first, second) = steps.split_at(steps.find("step work-12").expect("twelve steps"));
    let plan = format!(
        "plan p \"P\"; for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada\nstage one \"First\"\n{first}stage two \"Second\"\n{second}"
    );
    let day = Date::read("2026-03-07").expect("a day");
    let set = markdown(&bind(&compile_text(&plan), &Wanted::printed(day)));
    let mut texts = vec![(INDEX.to_owned(), set.text)];
    for (name, bytes) in set.files.into_iter().filter(|(name, _)| name.ends_with(".md")) {
        texts.push((name, String::from_utf8(bytes).expect("text")));
    }
    let names: Vec<&str> = texts.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["binder.md", "stage-1-one.md", "stage-2-two.md"]);
    // As the readers of GFM name a heading's place.
    let anchor = |heading: &str| -> String {
        let words = heading.trim_start_matches('#').trim().replace('\\', "");
        let signs = words.to_lowercase();
        signs
            .chars()
            .filter(|sign| sign.is_alphanumeric() || [' ', '-', '_'].contains(sign))
            .map(|sign| if sign == ' ' { '-' } else { sign })
            .collect()
    };
    let mut links = 0;
    for (_, text) in &texts {
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let (file, place) = link.split_once('#').unwrap_or((link, ""));
            if !file.ends_with(".md") {
                continue;
            }
            let (_, there) = texts.iter().find(|(name, _)| name == file).expect("the file");
            let mut headings = there.lines().filter(|line| line.starts_with('#'));
            assert!(
                place.is_empty() || headings.any(|heading| anchor(heading) == place),
                "{link}"
            );
            links += 1;
        }
    }
    assert!(links > 44, "{links}");
}
