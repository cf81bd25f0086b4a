//! Breaks of a clean plan, made mechanically on its text: what is deleted, exchanged, cut, or moved too early. Knows the plan's
//! model for the places, and not what the compiler says to any of it.

use std::collections::{BTreeMap, BTreeSet};

use boltfolio_core::base::source::Span;
use boltfolio_core::compile::Compilation;
use boltfolio_core::plan::model::{Act, Does, Id, Part, Plan, Step};

use super::load::Text;
use super::mentions::{Named, named};

/// Text put in place of what stands at a stretch of bytes of one file.
#[derive(Debug, Clone)]
struct Edit {
    at: Span,
    text: String,
}

/// One broken plan.
#[derive(Debug, Clone)]
pub struct Break {
    pub kind: String,
    /// By names: the step and the act.
    pub place: String,
    /// Steps where it is at home.
    pub steps: Vec<String>,
    /// Names of what was handled there.
    pub names: BTreeSet<String>,
    edits: Vec<Edit>,
}

impl Break {
    /// The texts with this break in them.
    pub fn applied(&self, texts: &[Text]) -> Vec<Text> {
        let mut texts = texts.to_vec();
        let mut edits = self.edits.clone();
        // From the end, so that places stand; of two at one place the one that takes away goes first.
        edits.sort_by_key(|edit| std::cmp::Reverse((edit.at.source, edit.at.start, edit.at.end)));
        for edit in edits {
            let text = &mut texts[edit.at.source.0 as usize].text;
            text.replace_range(edit.at.start as usize..edit.at.end as usize, &edit.text);
        }
        texts
    }
}

/// An act of the work, in the order of work.
struct Place<'a> {
    step: Id<Step>,
    act: &'a Act,
    named: Named,
}

struct Maker<'a> {
    clean: &'a Compilation,
    plan: &'a Plan,
    acts: Vec<Place<'a>>,
    made: Vec<Break>,
    /// How often a place was made, so that each has a name of its own.
    seen: BTreeMap<(String, String), usize>,
}

/// All breaks of a plan.
pub fn all(clean: &Compilation) -> Vec<Break> {
    let plan = &clean.plan;
    let mut acts = Vec::new();
    for &step in &plan.order {
        let block = plan.steps[step].head.block;
        let own = |act: &&Act| {
            act.at.source == block.source && block.start <= act.at.start && act.at.end <= block.end
        };
        // A step that the compiler derived has no text of its own.
        for act in plan.steps[step].acts().filter(own) {
            let named = named(plan, act);
            acts.push(Place { step, act, named });
        }
    }
    let mut maker = Maker {
        clean,
        plan,
        acts,
        made: Vec::new(),
        seen: BTreeMap::new(),
    };
    maker.steps();
    maker.acts();
    maker.exchanges();
    maker.waits();
    maker.too_early();
    maker.made
}

impl Maker<'_> {
    fn text(&self, at: Span) -> String {
        let text = self.clean.sources.text(at);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    fn step_name(&self, step: Id<Step>) -> String {
        self.plan.steps[step].head.name.to_string()
    }

    fn called(&self, nth: usize) -> String {
        let place = &self.acts[nth];
        format!("{}: {}", self.step_name(place.step), self.text(place.act.at))
    }

    fn push(&mut self, kind: &str, place: String, steps: &[Id<Step>], acts: &[usize], edits: Vec<Edit>) {
        let count = self
            .seen
            .entry((kind.to_owned(), place.clone()))
            .and_modify(|count| *count += 1)
            .or_insert(1);
        let place = if *count == 1 {
            place
        } else {
            format!("{place} ({count})")
        };
        let of_acts = acts
            .iter()
            .flat_map(|&nth| self.acts[nth].named.all.iter().cloned());
        let names = of_acts
            .chain(steps.iter().map(|&step| self.step_name(step)))
            .collect();
        self.made.push(Break {
            kind: kind.to_owned(),
            place,
            steps: steps.iter().map(|&step| self.step_name(step)).collect(),
            names,
            edits,
        });
    }

    /// Each step deleted; then each with the waits for it and what was logged of it.
    fn steps(&mut self) {
        let plan = self.plan;
        for &step in &plan.order {
            let head = &plan.steps[step].head;
            let own: Vec<usize> = (0..self.acts.len())
                .filter(|&nth| self.acts[nth].step == step)
                .collect();
            if self.clean.sources.text(head.block).starts_with("step") {
                let mut edits = vec![cut(head.block)];
                self.push("step deleted", self.step_name(step), &[step], &own, edits.clone());
                for &other in &plan.order {
                    edits.extend(self.wait(other, step));
                }
                let logs = plan.logs.iter().filter(|log| log.steps.contains(&step));
                edits.extend(logs.map(|log| cut(log.at)));
                if edits.len() > 1 {
                    self.push(
                        "step and mentions deleted",
                        self.step_name(step),
                        &[step],
                        &own,
                        edits,
                    );
                }
            }
        }
    }

    /// What takes the wait for `on` out of a step.
    fn wait(&self, step: Id<Step>, on: Id<Step>) -> Option<Edit> {
        let after = &self.plan.steps[step].after;
        let said = after.iter().find(|said| said.value == on)?;
        if after.len() > 1 {
            return Some(cut(self.with_comma(said.at)));
        }
        let text = self.clean.sources.get(said.at.source)?.text();
        let before = text[..said.at.start as usize].trim_end();
        assert!(before.ends_with("after"), "{before}");
        let start = u32::try_from(before.len() - "after".len()).expect("a place in a text");
        Some(cut(Span::new(said.at.source, start, said.at.end)))
    }

    /// A word of a list with the comma that ties it to its neighbour.
    fn with_comma(&self, at: Span) -> Span {
        let text = self.clean.sources.get(at.source).expect("a known source").text();
        let behind = &text[at.end as usize..];
        let gap = behind.len() - behind.trim_start().len();
        if behind.trim_start().starts_with(',') {
            return Span::new(at.source, at.start, at.end + gap as u32 + 1);
        }
        let before = text[..at.start as usize].trim_end();
        assert!(before.ends_with(','), "no comma beside {}", self.text(at));
        Span::new(at.source, before.len() as u32 - 1, at.end)
    }

    /// Each act deleted, and each word of a list.
    fn acts(&mut self) {
        for nth in 0..self.acts.len() {
            let (step, act) = (self.acts[nth].step, self.acts[nth].act);
            let kind = format!("act deleted: {}", act.does.kind().word());
            self.push(&kind, self.called(nth), &[step], &[nth], vec![cut(act.at)]);
            let list = self.acts[nth].named.list.clone();
            if list.len() < 2 {
                continue;
            }
            for (at, names) in list {
                let place = format!("{}, without {}", self.called(nth), self.text(at));
                let edits = vec![cut(self.with_comma(at))];
                self.push("name of a list deleted", place, &[step], &[], edits);
                // What the other words name is not what is missing.
                if let Some(made) = self.made.last_mut() {
                    made.names.extend(names);
                }
            }
        }
    }

    fn exchanges(&mut self) {
        for nth in 1..self.acts.len() {
            let (one, two) = (&self.acts[nth - 1], &self.acts[nth]);
            if one.step != two.step {
                continue;
            }
            let (step, one, two) = (one.step, one.act.at, two.act.at);
            let raw = |at: Span| self.clean.sources.text(at).to_owned();
            let edits = vec![
                Edit {
                    at: one,
                    text: raw(two),
                },
                Edit {
                    at: two,
                    text: raw(one),
                },
            ];
            let place = format!("{} <> {}", self.called(nth - 1), self.text(two));
            self.push("acts exchanged", place, &[step], &[nth - 1, nth], edits);
        }
    }

    /// Each `after` cut, and each step put before the one that it waits for.
    fn waits(&mut self) {
        let plan = self.plan;
        for &step in &plan.order {
            for said in &plan.steps[step].after {
                let other = said.value;
                let place = format!("{}: after {}", self.step_name(step), self.step_name(other));
                let both = [step, other];
                let edits = self.wait(step, other).into_iter().collect();
                self.push("after cut", place.clone(), &both, &[], edits);
                let (own, before) = (plan.steps[step].head.block, plan.steps[other].head.block);
                let moved = Edit {
                    at: Span::new(before.source, before.start, before.start),
                    text: format!("{}\n", self.clean.sources.text(own)),
                };
                self.push(
                    "step before what it waits for",
                    place,
                    &both,
                    &[],
                    vec![cut(own), moved],
                );
            }
        }
    }

    fn parts_named(&self, nth: usize) -> &[Id<Part>] {
        &self.acts[nth].named.parts
    }

    /// The parts that the joints of an act tie.
    fn ends(
        &self,
        nth: usize,
        wanted: impl Fn(&boltfolio_core::plan::model::Joint) -> bool,
    ) -> BTreeSet<Id<Part>> {
        let joints = self.acts[nth]
            .named
            .joints
            .iter()
            .map(|&joint| &self.plan.joints[joint]);
        joints
            .filter(|joint| wanted(joint))
            .filter_map(|joint| joint.ends.as_ref())
            .flatten()
            .flat_map(|end| self.plan.parts_of(end.value))
            .filter(|&part| !self.plan.parts[part].is_body)
            .collect()
    }

    /// Moves an act before the latest earlier one that `frees` it.
    fn early(&mut self, kind: &str, nth: usize, frees: impl Fn(&Self, usize) -> bool) {
        let Some(to) = (0..nth).rev().find(|&earlier| frees(self, earlier)) else {
            return;
        };
        let (moved, before) = (self.acts[nth].act.at, self.acts[to].act.at);
        let steps = [self.acts[nth].step, self.acts[to].step];
        let text = self.clean.sources.text(moved);
        let put = Edit {
            at: Span::new(before.source, before.start, before.start),
            text: format!("{text}; "),
        };
        let place = format!("{}, before {}", self.called(nth), self.called(to));
        self.push(
            &format!("too early: {kind}"),
            place,
            &steps,
            &[nth, to],
            vec![cut(moved), put],
        );
    }

    fn too_early(&mut self) {
        for nth in 0..self.acts.len() {
            match &self.acts[nth].act.does {
                Does::Undo(_) | Does::PressApart { .. } | Does::Draw { .. } => self.parts_too_early(nth),
                Does::TakeOff(_) => self.early("take off, before its joint is out", nth, |maker, to| {
                    let parts = matches!(
                        maker.acts[to].act.does,
                        Does::Undo(_) | Does::PressApart { .. } | Does::Draw { .. } | Does::Break { .. }
                    );
                    let mut ends = maker.ends(to, |_| true);
                    if matches!(maker.acts[to].act.does, Does::Draw { .. }) {
                        ends.extend(maker.parts_named(to));
                    }
                    parts && maker.parts_named(nth).iter().any(|part| ends.contains(part))
                }),
                Does::Start(_) | Does::Join { .. } | Does::PressHome { .. } => {
                    let ends = self.ends(nth, |_| true);
                    self.early("start, before its part is fitted", nth, |maker, to| {
                        let fits = matches!(maker.acts[to].act.does, Does::Fit(_) | Does::Try(_));
                        fits && maker.parts_named(to).iter().any(|part| ends.contains(part))
                    });
                }
                Does::Tighten(_) => self.tightened_too_early(nth),
                Does::Release { .. } => self.early("release, before a joint carries", nth, |maker, to| {
                    let starts = matches!(
                        maker.acts[to].act.does,
                        Does::Start(_) | Does::Join { .. } | Does::PressHome { .. }
                    );
                    let ends = maker.ends(to, |joint| joint.carries.is_some());
                    starts && maker.parts_named(nth).iter().any(|part| ends.contains(part))
                }),
                Does::Fit(_) => self.early("fit, before what it covers is done", nth, |maker, to| {
                    let fitted = maker.parts_named(nth);
                    let joints = &maker.acts[to].named.joints;
                    joints.iter().any(|&joint| {
                        let covers = &maker.plan.joints[joint].covered_by;
                        covers.iter().any(|cover| fitted.contains(&cover.value))
                    })
                }),
                Does::Fill { .. } => self.filled_too_early(nth),
                Does::Bleed(_) => self.early("bleed, before it is filled or closed", nth, |maker, to| {
                    let names = &maker.acts[nth].named.all;
                    let same = maker.acts[to].named.all.iter().any(|name| names.contains(name));
                    (matches!(maker.acts[to].act.does, Does::Fill { .. }) && same)
                        || maker.closes_line(nth, to)
                }),
                _ => {}
            }
            self.out_of_reach(nth);
        }
    }

    fn parts_too_early(&mut self, nth: usize) {
        let ends = self.ends(nth, |joint| joint.carries.is_some());
        if !ends.is_empty() {
            self.early("undo, before it is held", nth, |maker, to| {
                let holds = matches!(maker.acts[to].act.does, Does::Hold { .. });
                holds && maker.parts_named(to).iter().any(|part| ends.contains(part))
            });
        }
        let plan = self.plan;
        for (_, energy) in plan.energies.iter() {
            let Some(safe) = energy.safe_after else { continue };
            let named = &self.acts[nth].named;
            let live = named.joints.iter().any(|&joint| {
                let of = plan.joints[joint].of.map(|said| said.value);
                matches!(of, Some(boltfolio_core::plan::model::Content::Energy(id)) if plan.energies[id].head.name == energy.head.name)
            });
            if live && self.acts[nth].step != safe.value {
                // Before the last act that comes before that step, for its own acts are free.
                self.early("undo, before it is safe", nth, |maker, to| {
                    maker.acts[to].step != safe.value && maker.acts[to + 1].step == safe.value
                });
            }
        }
        self.early("undo, before it is drained", nth, |maker, to| {
            matches!(maker.acts[to].act.does, Does::Drain { .. }) && maker.lines(nth, to)
        });
    }

    fn tightened_too_early(&mut self, nth: usize) {
        self.early("tighten, before it is started", nth, |maker, to| {
            let starts = matches!(
                maker.acts[to].act.does,
                Does::Start(_) | Does::Join { .. } | Does::PressHome { .. } | Does::SlideHome(_)
            );
            let joints = &maker.acts[nth].named.joints;
            starts
                && maker.acts[to]
                    .named
                    .joints
                    .iter()
                    .any(|joint| joints.contains(joint))
        });
        let loaded = |maker: &Self| {
            let joints = &maker.acts[nth].named.joints;
            joints
                .iter()
                .any(|&joint| maker.plan.joints[joint].with_wheels_down.is_some())
        };
        if loaded(self) {
            self.early("tighten, before the wheels are down", nth, |maker, to| {
                matches!(maker.acts[to].act.does, Does::Set { .. }) && maker.acts[to].named.vehicle
            });
        }
    }

    fn filled_too_early(&mut self, nth: usize) {
        self.early("fill, before it is closed", nth, |maker, to| {
            maker.closes_line(nth, to)
        });
    }

    /// Whether the act `to` closes a line of the fluid that the act `nth` names.
    fn closes_line(&self, nth: usize, to: usize) -> bool {
        let closes = matches!(
            self.acts[to].act.does,
            Does::Start(_) | Does::Join { .. } | Does::Tighten(_)
        );
        closes && self.lines(to, nth)
    }

    /// Whether the joints of one act are lines of a fluid that the other names.
    fn lines(&self, joints: usize, fluid: usize) -> bool {
        let fluids = &self.acts[fluid].named.all;
        self.acts[joints].named.joints.iter().any(|&joint| {
            let joint = &self.plan.joints[joint];
            let of = match joint.of.map(|said| said.value) {
                Some(boltfolio_core::plan::model::Content::Fluid(fluid)) => Some(fluid),
                _ => None,
            };
            let all = of.into_iter().chain(joint.opens.iter().map(|said| said.value));
            all.into_iter().any(|fluid| {
                fluids
                    .iter()
                    .any(|name| **name == *self.plan.fluids[fluid].head.name)
            })
        })
    }

    /// An act on a joint, before what covers it is off and before the vehicle is up.
    fn out_of_reach(&mut self, nth: usize) {
        let works = matches!(
            self.acts[nth].act.does,
            Does::Undo(_)
                | Does::Slacken(_)
                | Does::Start(_)
                | Does::Join { .. }
                | Does::PressApart { .. }
                | Does::PressHome { .. }
        );
        if !works {
            return;
        }
        let plan = self.plan;
        let covers: BTreeSet<Id<Part>> = self.acts[nth]
            .named
            .joints
            .iter()
            .flat_map(|&joint| plan.joints[joint].covered_by.iter().map(|said| said.value))
            .collect();
        for cover in covers {
            self.early("work, before what covers it is off", nth, |maker, to| {
                let off = matches!(maker.acts[to].act.does, Does::TakeOff(_));
                off && maker.parts_named(to).contains(&cover)
            });
        }
        let below = self.acts[nth].named.joints.iter().any(|&joint| {
            let reach = plan.joints[joint].reach;
            reach.is_some_and(|reach| reach.value.from == boltfolio_core::plan::model::ReachFrom::Below)
        });
        if below {
            self.early("work from below, before it is raised", nth, |maker, to| {
                matches!(maker.acts[to].act.does, Does::Raise { .. }) && maker.acts[to].named.vehicle
            });
        }
    }
}

fn cut(at: Span) -> Edit {
    Edit {
        at,
        text: String::new(),
    }
}
