//! What an editor asks of a plan: where a name leads, what fits a place, what a new name changes, what stands while a line is half typed, and
//! which mends are applied. On the demonstration, as a person at a keyboard would meet it.

use std::collections::BTreeSet;

use boltfolio_core::base::finding::Finding;
use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::base::source::{Source, SourceId, Span};
use boltfolio_core::compile::{Compilation, compile_with_trees};
use boltfolio_core::editor::complete::{Offered, complete};
use boltfolio_core::editor::mending::{self, Why};
use boltfolio_core::editor::rename::with_edits;
use boltfolio_core::editor::{Desk, hover, outline, places, rename, standing};
use boltfolio_core::plan::named::Origin;
use boltfolio_core::plan::scope::Entity;
use boltfolio_core::syntax::tree::Tree;

use crate::support::{Texts, plan_texts, sources_of};

struct Open {
    done: Compilation,
    trees: Vec<Tree>,
}

impl Open {
    fn of(sources: Vec<Source>) -> Self {
        let (done, trees) = compile_with_trees(sources, &NoPictures);
        Self { done, trees }
    }

    fn plan(name: &str) -> Self {
        Self::of(sources_of(&plan_texts(name)))
    }

    fn text(text: &str) -> Self {
        Self::of(vec![Source::new("plan.boltplan", text, false)])
    }

    fn desk(&self) -> Desk<'_> {
        Desk {
            done: &self.done,
            trees: &self.trees,
            walked: (!self.done.unwalked).then_some(&self.done),
        }
    }

    /// The place of a text in a file whose path ends so; `|` in it is the cursor.
    #[track_caller]
    fn at(&self, file: &str, marked: &str) -> (SourceId, u32) {
        let offset = marked.find('|').expect("a cursor");
        let wanted = marked.replace('|', "");
        let (id, source) = self
            .done
            .sources
            .iter()
            .find(|(_, source)| source.path().ends_with(file) && source.text().contains(&wanted))
            .unwrap_or_else(|| panic!("{wanted:?} stands in no {file}"));
        let at = source.text().find(&wanted).expect("just seen") + offset;
        (id, u32::try_from(at).expect("small"))
    }
}

/// A plan with a text put in behind another one, and where the cursor is then.
#[track_caller]
fn typed(plan: &str, file: &str, behind: &str, typed: &str) -> (Open, Open, SourceId, u32) {
    let before = Open::plan(plan);
    let mut texts: Texts = plan_texts(plan);
    let (index, at) = texts
        .iter()
        .enumerate()
        .find_map(|(index, (path, text, _))| {
            let at = text.find(behind).filter(|_| path.ends_with(file))?;
            Some((index, at + behind.len()))
        })
        .expect("the place is there");
    texts[index].1.insert_str(at, &format!("{typed}\n"));
    let source = SourceId(u32::try_from(index).expect("few files"));
    let at = u32::try_from(at + typed.len()).expect("small");
    (before, Open::of(sources_of(&texts)), source, at)
}

fn offered(plan: &str, file: &str, behind: &str, text: &str) -> Vec<String> {
    let (before, now, source, at) = typed(plan, file, behind, text);
    let desk = Desk {
        walked: Some(&before.done),
        ..now.desk()
    };
    complete(desk, source, at)
        .into_iter()
        .map(|offer| offer.text)
        .collect()
}

#[test]
fn a_name_leads_to_its_declaration_in_another_file() {
    let open = Open::plan("ouzel-front");
    let mut checked = 0;
    for mention in open.done.names.mentions() {
        let Some(entity) = mention.entity else { continue };
        let text = open.done.sources.text(mention.at);
        let known = open.done.names.of(entity);
        if entity == Entity::Rig(boltfolio_core::plan::model::Id::new(0)) {
            // The floor is declared nowhere.
            assert!(known.is_none() && text == "floor");
            continue;
        }
        let known = known.unwrap_or_else(|| {
            panic!(
                "{text} at {} is declared nowhere",
                open.done.sources.place(mention.at)
            )
        });
        let written = open.done.sources.text(known.at);
        // A mention spells the name, its stem, or the stem's plural; a derived step has its name from the step that it undoes.
        let stem = written.trim_end_matches('y');
        assert!(
            text == &*known.name || text.starts_with(stem) || known.origin == Origin::Derived,
            "{text} is {written}"
        );
        let (found, at) = (mention.at.source, mention.at.start);
        let found = places::found(open.desk(), found, at).expect("a name stands there");
        assert!(found.entities.contains(&entity));
        assert!(!places::declarations(open.desk(), &found).is_empty(), "{text}");
        assert!(places::references(open.desk(), &found, false).contains(&mention.at));
        checked += 1;
    }
    assert!(checked > 1_000, "{checked} mentions");
}

/// Every word in the texts that spells a declared name, outside of texts, notes and comments, is a mention or a declaration, but for keywords.
#[test]
fn no_mention_is_missed() {
    use boltfolio_core::syntax::tree::TokenKind;
    for plan in ["ouzel-front", "lathe-move", "siskin-choices", "starter"] {
        let open = Open::plan(plan);
        let names = &open.done.names;
        let known: BTreeSet<Span> = names
            .mentions()
            .iter()
            .map(|mention| mention.at)
            .chain(names.declared().iter().map(|known| known.at))
            .collect();
        let mut missed: Vec<String> = Vec::new();
        for ((id, source), tree) in open.done.sources.iter().zip(&open.trees) {
            for statement in tree.blocks().iter().flat_map(|&block| tree.statements(block)) {
                let first = tree.tokens(statement).first();
                let word = first.map_or("", |token| source.slice(token.start(), token.end()));
                // Hazards may be called as things are.
                if matches!(word, "against" | "licensed") {
                    continue;
                }
                for token in tree.tokens(statement) {
                    let text = source.slice(token.start(), token.end());
                    let at = Span::new(id, token.start(), token.end());
                    // Names with a hyphen are no words of the language, but for a few.
                    let own = token.kind() == TokenKind::Name && text.contains('-');
                    if own && names.called(text).is_some() && !known.contains(&at) {
                        missed.push(format!("{text} at {}", open.done.sources.place(at)));
                    }
                }
            }
        }
        assert!(missed.is_empty(), "{plan}: {missed:#?}");
    }
}

#[test]
fn after_undo_stand_the_joints_that_are_closed_at_this_step() {
    let all = offered(
        "ouzel-front",
        "3-strip-front.boltplan",
        "  tie up spring-left to shell, 320 kg\n",
        "  undo ",
    );
    assert!(all.contains(&"damper-eye-left".to_owned()), "{all:?}");
    let open = Open::plan("ouzel-front");
    // What the steps before have undone is not offered any more.
    let plan = &open.done.plan;
    let (step, _) = plan
        .steps
        .iter()
        .find(|(_, step)| {
            step.acts()
                .any(|act| open.done.sources.text(act.at).starts_with("tie up spring-left"))
        })
        .expect("the step");
    let before = open.done.walk.before_act(plan, step, 0).expect("walked");
    let gone: Vec<String> = before
        .out()
        .map(|joint| plan.joints[joint].head.name.to_string())
        .collect();
    assert!(gone.len() > 5, "{gone:?}");
    for name in gone {
        assert!(!all.contains(&name), "{name} is out by then");
    }
}

#[test]
fn what_is_offered_fits_the_place() {
    let starter = |behind: &str, text: &str| offered("starter", "starter.boltplan", behind, text);
    let has = |all: &[String], wanted: &[&str]| {
        for word in wanted {
            assert!(all.iter().any(|text| text == word), "{word} is not among {all:?}");
        }
    };
    let lacks = |all: &[String], unwanted: &[&str]| {
        for word in unwanted {
            assert!(!all.iter().any(|text| text == word), "{word} is among {all:?}");
        }
    };
    let line = "part seat \"Driver's seat\"; mass 15 kg quoted; afterwards for sale\n";
    let all = starter(line, "jo");
    has(&all, &["joint", "part", "step", "accept"]);
    let all = starter(line, "  af");
    has(&all, &["holds", "goes to"]);
    // Said already, and may stand but once.
    lacks(&all, &["mass", "afterwards", "undo"]);
    has(&starter(line, "  goes t"), &["goes to"]);
    has(
        &starter(line, "  cost 12 kg\n  rests on "),
        &["battery", "bucket"],
    );
    let all = starter("safe to leave\n", "  undo seat-bolts; hold seat by ");
    has(&all, &["ada", "tom"]);
    lacks(&all, &["bench", "seat"]);
    let all = starter("safe to leave\n", "  hold seat ");
    has(&all, &["with", "by"]);
    let all = starter(line, "joint x: seat to shell; sets in 5 ");
    has(&all, &["min", "h"]);
    lacks(&all, &["kg"]);
    let all = starter(
        "joint heater-plug: seat to shell; plug; gone \"Taped up under the carpet\"\n",
        "joint x: seat to shell; bolts 2 x ",
    );
    has(&all, &["M10x1.25", "M8x1.25"]);
    let all = starter(
        "joint heater-plug: seat to shell; plug; gone \"Taped up under the carpet\"\n",
        "joint x: seat to shell; head ",
    );
    has(&all, &["16 mm", "13 mm"]);
    let all = starter(
        "joint heater-plug: seat to shell; plug; gone \"Taped up under the carpet\"\n",
        "joint x: seat to ",
    );
    has(&all, &["shell", "bucket"]);
    lacks(&all, &["ada", "seat-bolts"]);
    let all = starter(
        "joint heater-plug: seat to shell; plug; gone \"Taped up under the carpet\"\n",
        "joint x: seat to shell; same as ",
    );
    has(&all, &["seat-bolts"]);
    lacks(&all, &["seat", "bucket"]);
    let all = starter(line, "caution x \"X\"; signal ");
    has(&all, &["danger", "notice"]);
    let all = starter(
        "step make-dead \"Make the supply dead\"; by ada; caution spark; undo battery-earth; ",
        "caution ",
    );
    has(&all, &["spark"]);
    let all = starter(line, "accept ");
    has(&all, &["never-used"]);
    lacks(&all, &["unknown-name"]);
    // In a text, a note and a comment nothing is offered.
    for text in ["  goes to \"un", "  note the un", "  # un"] {
        assert!(starter(line, text).is_empty(), "{text}");
    }
}

#[test]
fn statements_and_blocks_have_places_to_fill_in() {
    let open = Open::plan("starter");
    let (source, at) = open.at("starter.boltplan", "|part seat");
    let all = complete(open.desk(), source, at);
    let step = all.iter().find(|offer| offer.text == "step").expect("a step");
    assert_eq!(step.is, Offered::Block);
    assert_eq!(step.snippet.as_deref(), Some("step ${1:NAME} \"${2:Title}\""));
    let joint = all.iter().find(|offer| offer.text == "joint").expect("a joint");
    assert_eq!(
        joint.snippet.as_deref(),
        Some("joint ${1:NAME}: ${2:A} to ${3:B}")
    );
}

#[track_caller]
fn renamed(plan: &str, file: &str, marked: &str, new: &str) -> (Open, Open) {
    let open = Open::plan(plan);
    let (source, at) = open.at(file, marked);
    let done = rename::rename(open.desk(), source, at, new, false).expect("renamed");
    let after = Open::of(with_edits(&open.done.sources, &done.edits));
    (open, after)
}

fn says(findings: &[Finding], from: &str, to: &str) -> Vec<String> {
    let mut all: Vec<String> = findings
        .iter()
        .map(|finding| format!("{}: {}", finding.rule.name, finding.what.replace(from, to)))
        .collect();
    all.sort();
    all
}

/// All things of a plan can be renamed, each in all files, and the plan then finds and walks as before.
#[test]
fn whatever_is_renamed_everything_stands_for_what_it_stood_for() {
    for plan in ["ouzel-front", "lathe-move", "siskin-choices"] {
        let open = Open::plan(plan);
        let mut files = BTreeSet::new();
        let all: Vec<_> = open
            .done
            .names
            .declared()
            .iter()
            .filter(|known| known.origin != Origin::Derived)
            .collect();
        for (nth, known) in all.iter().enumerate() {
            // A third of the names, each by its declaration and by its last mention.
            if nth % 3 != 0 {
                continue;
            }
            let mention = open.done.names.mentions_of(known.entity).last();
            for at in [Some(known.at), mention.map(|mention| mention.at)]
                .into_iter()
                .flatten()
            {
                let done = rename::rename(open.desk(), at.source, at.start, "zebra", false)
                    .unwrap_or_else(|why| panic!("{}: {why}", known.name));
                let touched: BTreeSet<SourceId> = done.edits.iter().map(|edit| edit.span.source).collect();
                files.insert(touched.len());
                if nth % 30 == 0 {
                    let after = Open::of(with_edits(&open.done.sources, &done.edits));
                    assert_eq!(
                        after.done.names.mentions().len(),
                        open.done.names.mentions().len()
                    );
                    assert_eq!(
                        after.done.findings.len(),
                        open.done.findings.len(),
                        "{}",
                        known.name
                    );
                    assert_eq!(after.done.walk.breaks.len(), open.done.walk.breaks.len());
                    let left = after.done.names.called(&known.name);
                    assert!(left.is_none(), "{} is still there", known.name);
                }
            }
        }
        println!("{plan}: names in {files:?} files");
        assert!(
            files.iter().any(|count| *count >= 3) || plan != "ouzel-front",
            "{files:?}"
        );
    }
}

#[test]
fn a_side_renames_its_block_and_a_derived_step_the_one_that_it_undoes() {
    let (before, after) = renamed(
        "ouzel-front",
        "3-strip-front.boltplan",
        "undo damper-eye-l|eft",
        "strut-eye",
    );
    assert_eq!(
        says(&before.done.findings, "damper-eye", "strut-eye"),
        says(&after.done.findings, "", "")
    );
    for name in ["strut-eye-left", "strut-eye-right"] {
        assert!(after.done.names.called(name).is_some());
    }
    assert!(after.done.names.called("damper-eye-left").is_none());
    let place = rename::prepare(
        before.desk(),
        before.at("3-strip-front.boltplan", "undo damper-eye-l|eft").0,
        before.at("3-strip-front.boltplan", "undo damper-eye-l|eft").1,
    );
    assert_eq!(place.expect("a name").1, "damper-eye");

    let derived = before.done.names.mentions().iter().find(|mention| {
        let known = mention.entity.and_then(|entity| before.done.names.of(entity));
        known.is_some_and(|known| known.origin == Origin::Derived)
    });
    if let Some(mention) = derived {
        let text = before.done.sources.text(mention.at);
        let done = rename::rename(before.desk(), mention.at.source, mention.at.start, "zebra", false)
            .expect("renamed");
        let own = done
            .edits
            .iter()
            .find(|edit| edit.span == mention.at)
            .expect("the mention itself");
        assert_eq!(
            own.text,
            format!(
                "zebra{}",
                text.get(text.rfind("-back").expect("derived")..)
                    .expect("its end")
            )
        );
    }
}

#[test]
fn a_log_and_an_acceptance_are_renamed_too() {
    let text = format!(
        "{}log seat-out; done 2026-03-14 by ada; broke 1 of seat-bolts\nlog weigh-old; stopped 2026-03-15 at undo seat-bolts waiting for bucket\n\
         accept never-used for seat-bolts because \"for the test\"\n",
        plan_texts("starter")[0].1
    );
    let open = Open::text(&text);
    let (source, at) = open.at("plan.boltplan", "joint seat-b|olts");
    let done = rename::rename(open.desk(), source, at, "frame-bolts", false).expect("renamed");
    let after = with_edits(&open.done.sources, &done.edits);
    let left: Vec<&str> = after[0]
        .text()
        .lines()
        .filter(|line| line.contains("seat-bolts"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
    assert_eq!(
        after[0].text().matches("frame-bolts").count(),
        text.matches("seat-bolts").count()
    );
}

#[test]
fn a_name_that_cannot_be_given_is_refused_with_the_finding_s_own_sentence() {
    let open = Open::plan("starter");
    let (source, at) = open.at("starter.boltplan", "joint seat-b|olts");
    let why = |new: &str| rename::rename(open.desk(), source, at, new, false).expect_err("refused");
    assert!(
        why("bucket-bolts").starts_with("`bucket-bolts` is declared twice. "),
        "{}",
        why("bucket-bolts")
    );
    let told = |header: &str| {
        let text = format!("{}\npart {header}\n", plan_texts("starter")[0].1);
        let open = Open::text(&text);
        let finding = open
            .done
            .findings
            .iter()
            .find(|finding| finding.rule.name == "bad-name")
            .cloned();
        rename::sentence(&finding.unwrap_or_else(|| panic!("{header} is no bad name")))
    };
    for name in ["Seat", "to", "both"] {
        assert_eq!(
            why(name).replace("joint", "part"),
            told(name).replace("joint", "part"),
            "{name}"
        );
    }
    for name in ["", "a b", "a; undo x", "a\nstep b", "a-", "1a", "\"x\""] {
        let said = why(name);
        assert!(said.ends_with('.') || said.ends_with('?'), "{name:?}: {said}");
    }
    // No name: a keyword, a text, a number.
    for marked in ["j|oint seat-bolts", "kg quo|ted", "\"Old se|at out\""] {
        let (source, at) = open.at("starter.boltplan", marked);
        assert!(
            rename::rename(open.desk(), source, at, "x", false).is_err(),
            "{marked}"
        );
    }
}

#[test]
fn a_renamed_step_says_what_it_was_and_keeps_number_and_bag() {
    use boltfolio_core::binder::kept::Kept;
    let open = Open::plan("starter");
    let kept = Kept::read("step 7.7 seat-out\nbag 33 seat-bolts\nact d seat-out undo seat-bolts\n");
    for (marked, new) in [
        ("step seat-o|ut", "old-seat-off"),
        ("joint seat-b|olts", "frame-bolts"),
    ] {
        let (source, at) = open.at("starter.boltplan", marked);
        let done = rename::rename(open.desk(), source, at, new, true).expect("renamed");
        let after = Open::of(with_edits(&open.done.sources, &done.edits));
        assert_eq!(after.done.findings.len(), open.done.findings.len());
        let kept = kept.clone().renamed(&after.done.plan);
        let numbers = kept.numbers(&after.done.plan);
        let step = after
            .done
            .plan
            .steps
            .iter()
            .find(|(_, step)| step.head.name.contains("seat-o") || &*step.head.name == "seat-out");
        assert_eq!(numbers[&step.expect("the step").0], "7.7");
        let bag = kept.bags.values().copied().collect::<Vec<_>>();
        assert_eq!(bag, [33]);
        assert!(kept.bags.keys().all(|name| {
            after
                .done
                .plan
                .joints
                .values()
                .any(|joint| &*joint.head.name == name)
        }));
        assert_eq!(kept.letters.len(), 1);
    }
}

#[test]
fn a_half_typed_line_silences_nothing_that_stood_before_it() {
    let mut texts = plan_texts("ouzel-front");
    // A fault of the walk: what holds the spring is left out.
    let strip = texts
        .iter()
        .position(|(path, ..)| path.ends_with("3-strip-front.boltplan"))
        .expect("there");
    texts[strip].1 = texts[strip]
        .1
        .replacen("  tie up spring-left to shell, 320 kg\n", "", 1);
    let walked = Open::of(sources_of(&texts));
    let before = standing::of_the_walk(&walked.done);
    assert!(
        !walked.done.unwalked && !before.is_empty(),
        "{:?}",
        walked.done.count(boltfolio_core::base::finding::Severity::Fault)
    );
    // Somebody begins a line above.
    let place = texts[strip].1.find("step ").expect("a step");
    texts[strip].1.insert_str(place, "step half\n  und\n");
    let half = Open::of(sources_of(&texts));
    assert!(half.done.unwalked);
    let moved = standing::moved(&before, &walked.done.sources, &half.done.sources);
    assert_eq!(moved.len(), before.len());
    for (old, new) in before.iter().zip(&moved) {
        assert!(new.mend.edits.is_empty());
        let (old, new) = (old.place(), new.place());
        let text = |open: &Open, at: Option<Span>| at.map(|at| open.done.sources.text(at).to_owned());
        assert_eq!(text(&walked, old), text(&half, new));
    }
}

#[test]
fn the_outline_has_steps_below_their_stages() {
    let open = Open::plan("starter");
    let source = open.done.sources.get(SourceId(0)).expect("one file");
    let all = outline::outline(source, &open.trees[0], SourceId(0));
    let strip = all.iter().find(|one| one.name == "strip").expect("a stage");
    let steps: Vec<&str> = strip.below.iter().map(|step| step.name.as_str()).collect();
    assert_eq!(steps, ["make-dead", "seat-out", "weigh-old"]);
    assert!(
        all.iter()
            .any(|one| one.name == "seat-bolts" && one.about == "seat to shell")
    );
    for one in &all {
        for below in &one.below {
            assert!(one.block.start <= below.block.start && below.block.end <= one.block.end);
        }
    }
    assert!(outline::folds(source, &open.trees[0], SourceId(0)).contains(&(2, 4)));
}

#[test]
fn a_hover_tells_how_a_thing_is_at_this_step() {
    let open = Open::plan("starter");
    let told = |marked: &str| {
        let (source, at) = open.at("starter.boltplan", marked);
        hover::hover(open.desk(), source, at)
            .expect("something stands there")
            .markdown
    };
    let all = told("undo heater-plug, seat-b|olts, airbag-plug");
    assert!(all.contains("At this place of step 1.2: tight."), "{all}");
    assert!(all.contains("torque 45 N m") && all.contains("bag 2"), "{all}");
    let all = told("start bucket-b|olts");
    assert!(all.contains("At this place of step 2.1: out."), "{all}");
    let all = told("take off se|at; set seat");
    assert!(all.contains("on, held by tom, joined to nothing"), "{all}");
    assert!(all.contains("Weighs 15"), "{all}");
    let all = told("und|o heater-plug");
    assert!(all.contains("undo JOINT, JOINT"), "{all}");
    let all = told("st|ep seat-out");
    assert!(all.contains("step NAME"), "{all}");
    assert_eq!(
        hover::signature(
            open.desk(),
            open.at("starter.boltplan", "undo |heater-plug").0,
            open.at("starter.boltplan", "undo |heater-plug").1
        ),
        Some("undo JOINT, JOINT, or undo 5 of JOINT")
    );
}

#[test]
fn mends_are_applied_where_one_is_offered_and_nothing_else_breaks() {
    let starter = plan_texts("starter")[0].1.clone();
    let broken = starter
        .replacen("undo heater-plug, seat-bolts", "undo heater-plg, seat-bolts", 1)
        .replacen("mass 11 kg quoted", "mass 11 quoted", 1);
    let mended = mending::mend(
        &[Source::new("plan.boltplan", broken.clone(), false)],
        &NoPictures,
    );
    println!("{:?}", mended.left);
    let text = with_edits(
        &boltfolio_core::base::source::Sources::new(vec![Source::new("plan.boltplan", broken, false)]),
        &mended.edits,
    );
    assert!(text[0].text().contains("undo heater-plug, seat-bolts"));
    assert!(
        mended
            .done
            .iter()
            .any(|finding| finding.rule.name == "unknown-name")
    );
    // Which unit is meant, nobody knows but the owner.
    let bare = mended
        .left
        .iter()
        .find(|(finding, _)| finding.rule.name.contains("unit") || finding.what.contains("11"));
    assert!(
        bare.is_some() || text[0].text().contains("mass 11 kg quoted"),
        "{:?}",
        mended.left
    );
}

#[test]
fn no_mend_takes_out_an_act_or_writes_an_acceptance() {
    let starter = plan_texts("starter")[0].1.clone();
    // Undone twice: the mend offered is to take the second out.
    let twice = starter.replacen(
        "; take off seat; set seat on bench",
        "; undo seat-bolts; take off seat; set seat on bench",
        1,
    );
    let mended = mending::mend(&[Source::new("plan.boltplan", twice, false)], &NoPictures);
    let why = mended
        .left
        .iter()
        .find(|(finding, _)| finding.rule.name == "already-done")
        .map(|(_, why)| why.clone());
    assert_eq!(why, Some(Why::TakesOut("an act")), "{:?}", mended.left);
    assert!(mended.edits.is_empty());
}

#[test]
fn a_joint_that_its_part_says_is_renamed_with_the_part() {
    let text = plan_texts("starter")[0].1.clone();
    let text = format!(
        "{text}part lamp \"Lamp\"; mass 1 kg quoted; fixed to shell by bolts 2 x M6x1.0 class 8.8, head 10 mm, torque 9 N m\n\
         step lamp-round \"Lamp off and on\"; by ada; time 5 min; hold lamp by ada; undo lamp-bolts; take off lamp; fit lamp; start lamp-bolts; tighten lamp-bolts\n"
    );
    let open = Open::text(&text);
    let (source, at) = open.at("plan.boltplan", "undo lamp-bo|lts");
    assert_eq!(
        rename::prepare(open.desk(), source, at).expect("a name").1,
        "lamp"
    );
    let done = rename::rename(open.desk(), source, at, "mirror", false).expect("renamed");
    let after = with_edits(&open.done.sources, &done.edits);
    assert!(
        !after[0].text().contains("lamp-bolts") && after[0].text().contains("tighten mirror-bolts"),
        "{}",
        after[0].text()
    );
    let (source, at) = open.at("plan.boltplan", "fi|xed to shell by bolts");
    assert!(rename::rename(open.desk(), source, at, "x", false).is_err());
}

/// Whatever the text and wherever the cursor: an answer, and edits that lie apart inside of their texts.
mod properties {
    use super::*;
    use proptest::prelude::*;

    fn words() -> impl Strategy<Value = String> {
        let word = prop_oneof![
            4 => prop::sample::select(vec![
                "step", "part", "joint", "accept", "note", "undo", "take off", "fixed to", "by", "to", "both", "each side", "same as", "was", "log", "seat",
                "shell", "seat-bolts", "ada", "\"", "\"x\"", ";", ",", ":", "#", "4 x", "M10x1.25", "12", "kg", "é", "🔧", "\u{feff}", "\u{202e}", "\t",
            ]),
            2 => Just("\n"),
            2 => Just("\n  "),
        ];
        prop::collection::vec(word, 0..40)
            .prop_map(|words| words.join(" ").replace(" \n ", "\n").replace("\n   ", "\n  "))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn any_text_and_any_place(typed in words(), place in 0usize..3_000, at in 0u32..4_000) {
            let mut text = plan_texts("starter")[0].1.clone();
            let mut place = place.min(text.len());
            while !text.is_char_boundary(place) {
                place -= 1;
            }
            text.insert_str(place, &typed);
            let open = Open::text(&text);
            let file = open.done.sources.get(SourceId(0)).expect("one").clone();
            let length = u32::try_from(file.text().len()).expect("small");
            let mut at = at.min(length + 3);
            while !file.text().is_char_boundary(at as usize) && at > 0 && at < length {
                at -= 1;
            }
            let desk = open.desk();
            let source = SourceId(0);
            for offer in complete(desk, source, at) {
                prop_assert!(offer.at.start <= offer.at.end && offer.at.end <= length);
            }
            let _ = hover::hover(desk, source, at);
            let _ = hover::signature(desk, source, at);
            let _ = outline::folds(&file, &open.trees[0], source);
            let _ = boltfolio_core::editor::notes::notes(desk, source);
            if let Some(found) = places::found(desk, source, at) {
                let _ = places::declarations(desk, &found);
                let _ = places::references(desk, &found, true);
            }
            if let Ok(done) = rename::rename(desk, source, at, "zebra", true) {
                for pair in done.edits.windows(2) {
                    prop_assert!(pair[0].span.end <= pair[1].span.start);
                }
            }
            let laid = boltfolio_core::editor::layout::edits(desk, source, Some(Span::new(source, at.min(length), at.min(length))));
            for pair in laid.windows(2) {
                prop_assert!(pair[0].span.end <= pair[1].span.start);
            }
        }
    }
}

/// Of each rule the plan that breaks it: a mend that is text is applied, or it is said why not; and what is applied leaves no fault that was
/// not there, takes out no act, caution or second check and writes no acceptance.
#[test]
fn every_mend_is_applied_or_says_why_not() {
    use boltfolio_core::base::finding::Severity;
    use boltfolio_core::rules;
    let (mut applied, mut told) = (0, 0);
    for rule in rules::catalogue().iter().flat_map(|family| family.rules) {
        let Some(fence) = crate::support::fences(rule.page).into_iter().next() else {
            continue;
        };
        let sources: Vec<Source> = crate::support::files(&fence)
            .into_iter()
            .map(|(path, text)| Source::new(path, text, false))
            .collect();
        let before = Open::of(sources.clone());
        let mended = mending::mend(&sources, &NoPictures);
        applied += mended.done.len();
        for (finding, why) in &mended.left {
            let words = &finding.mend.words;
            // What stands behind a colon is text for the plan.
            let text = words.split(": ").nth(1).unwrap_or_default();
            let first = text.split(' ').next().unwrap_or_default();
            let statement = boltfolio_core::syntax::shapes::SHAPES
                .iter()
                .any(|shape| shape.words.split(' ').next() == Some(first));
            assert!(!(statement && *why == Why::NoText), "{}: {words}", rule.name);
            assert!(!why.words().is_empty());
            told += 1;
        }
        let faults = |done: &Compilation| -> BTreeSet<String> {
            let all = done
                .findings
                .iter()
                .filter(|finding| finding.severity == Severity::Fault);
            all.map(|finding| format!("{}: {}", finding.rule.name, finding.what))
                .collect()
        };
        if !before.done.unwalked {
            let (had, has) = (faults(&before.done), faults(&mended.after));
            let new: Vec<&String> = has.difference(&had).collect();
            assert!(new.is_empty(), "{}: {new:?}", rule.name);
        }
        let count = |done: &Compilation, word: &str| -> usize {
            let texts = done.sources.iter().map(|(_, source)| source.text().to_owned());
            texts.map(|text| text.matches(word).count()).sum()
        };
        assert!(
            count(&mended.after, "second check") >= count(&before.done, "second check"),
            "{}",
            rule.name
        );
        assert!(
            count(&mended.after, "accept ") <= count(&before.done, "accept "),
            "{}",
            rule.name
        );
        let acts = |done: &Compilation| {
            done.plan
                .steps
                .values()
                .map(|step| step.acts().count())
                .sum::<usize>()
        };
        assert!(acts(&mended.after) >= acts(&before.done), "{}", rule.name);
    }
    println!("{applied} mends applied, {told} findings left with a reason");
    assert!(applied > 20, "{applied}");
}
