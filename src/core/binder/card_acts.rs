//! From an act to the rows of its card: one row an act, one a joint where the act is on a list of joints. The
//! verb is the language's own word. Knows one step at a time, and neither its head nor its messages.

use std::collections::BTreeSet;

use super::binding::Binding;
use super::card_joints::{self, Turn};
use super::document::{ActRow, Field, Line, WeighCell};
use super::figures::duration;
use super::words::{and_list, dotted, inside, letter, run, sentence, strong};
use super::{joint_words, masses, proof, recall};
use crate::base::quantity::{Length, Mass, Time, Volume};
use crate::base::source::Span;
use crate::plan::halts;
use crate::plan::model::{
    Act, Asked, Bearer, Direction, Does, End, Extent, Fixings, Fluid, FreeName, Id, Joint, Load, OpeningAct,
    Part, Person, Reading, Rig, Said, Scale, Seat, Step, Thing, Tool, Workpiece,
};
use crate::plan::vocabulary::acts::ActKind;

/// Numbers the rows of one step.
#[derive(Debug)]
pub struct RowMaker<'b, 'a> {
    pub binding: &'b Binding<'a>,
    pub step: Id<Step>,
    rows: usize,
    /// Masses already told on this card.
    told: Vec<String>,
    /// Where the hand went last; told in the card's head where it is one place for all acts.
    place: Line,
    /// Joints whose hiding place and notes stand on this card.
    shown: BTreeSet<Id<Joint>>,
    /// Rows that stand for two names of a list.
    pub pairs: BTreeSet<usize>,
}

impl<'b, 'a> RowMaker<'b, 'a> {
    #[must_use]
    pub fn new(binding: &'b Binding<'a>, step: Id<Step>) -> Self {
        Self {
            binding,
            step,
            rows: 0,
            told: Vec::new(),
            place: Line::new(),
            shown: BTreeSet::new(),
            pairs: BTreeSet::new(),
        }
    }

    /// The one place at which all acts of the card are done, for its head: the rows do not say it then.
    pub fn one_place(&mut self) -> Line {
        let plan = self.binding.plan;
        let mut places: Vec<Line> = Vec::new();
        for act in plan.steps[self.step].acts() {
            let turned = match &act.does {
                Does::Slacken(all) | Does::Undo(all) | Does::Start(all) | Does::Tighten(all) => all,
                // No hand goes to a joint's place, or the act says where it goes.
                _ => continue,
            };
            places.extend(
                turned
                    .iter()
                    .map(|fixings| joint_words::place(&plan.joints[fixings.joint.value])),
            );
        }
        match places.as_slice() {
            [first, rest @ ..] if !rest.is_empty() && rest.iter().all(|other| other == first) => {
                self.place.clone_from(first);
                first.clone()
            }
            _ => Line::new(),
        }
    }

    /// Where a hand gets at the joint, where it was elsewhere before.
    pub fn place(&mut self, joint: &Joint) -> Option<Line> {
        let place = joint_words::place(joint);
        let changed = !place.is_empty() && place != self.place;
        if !place.is_empty() {
            self.place.clone_from(&place);
        }
        changed.then_some(place)
    }

    /// What hides the joint, once a card: where the hand goes there first.
    pub fn hidden(&mut self, id: Id<Joint>) -> Option<Line> {
        if self.shown.contains(&id) {
            return None;
        }
        joint_words::hidden(&self.binding.plan.joints[id])
    }

    /// The owner's notes on the joint, once a card.
    pub fn notes(&mut self, id: Id<Joint>) -> Vec<Line> {
        if !self.shown.insert(id) {
            return Vec::new();
        }
        card_joints::notes(&self.binding.plan.joints[id]).collect()
    }

    #[must_use]
    pub fn name(&self) -> &'b str {
        self.binding.step_key(self.step)
    }

    /// Number of the row made last.
    #[must_use]
    pub fn number(&self) -> usize {
        self.rows
    }

    /// The next row, with its letter and keys.
    pub fn row(&mut self, verb: &str, object: Line) -> ActRow {
        self.rows += 1;
        ActRow {
            letter: letter(self.rows),
            verb: verb.to_owned(),
            object,
            take_out: None,
            facts: Vec::new(),
            torque: None,
            marks: Vec::new(),
            write: Vec::new(),
            reads: None,
            tied: false,
            act_proof: proof::act(self.name(), self.rows),
            tick_proof: proof::tick(self.name(), self.rows),
            also: Vec::new(),
        }
    }

    fn said(&mut self, verb: &str, object: String) -> ActRow {
        self.row(verb, vec![run(object)])
    }

    /// What the program could not work out: a line to write on, before anybody begins.
    pub fn asked(&mut self, asked: Asked) -> ActRow {
        let binding = self.binding;
        let object = match asked {
            Asked::Part(part) => format!(
                "how {} goes back, or what takes its place",
                binding.the(Load::Thing(Thing::Part(part)))
            ),
            Asked::Joint(joint) => format!("what closes {} again", binding.the_joint(joint)),
        };
        let mut row = self.said("Your decision:", object);
        row.write.push(field("worked out by you", None, 120));
        row
    }

    fn each_joint(
        &mut self,
        verb: &str,
        joints: &[Said<Id<Joint>>],
        with: Option<Said<Id<Tool>>>,
    ) -> Vec<ActRow> {
        let tail = with.map_or_else(String::new, |tool| format!(" with {}", self.tool(tool.value)));
        joints
            .iter()
            .map(|joint| {
                let object = format!("{}{tail}", self.binding.the_joint(joint.value));
                self.said(verb, object)
            })
            .collect()
    }

    pub fn tool(&self, id: Id<Tool>) -> String {
        format!(
            "the {}",
            self.binding.inside(&self.binding.plan.tools[id].head.called())
        )
    }

    /// The rows of one act.
    pub fn rows(&mut self, act: &Act) -> Vec<ActRow> {
        let binding = self.binding;
        match &act.does {
            Does::Slacken(all) => self.turned(&[Turn::Slacken], all),
            Does::Undo(all) => self.turned(&[Turn::Undo], all),
            Does::Start(all) | Does::Join { all, .. } => self.turned(&[Turn::Start], all),
            Does::Tighten(all) => self.turned(&[Turn::Tighten], all),
            Does::Pin { fixings, with } => vec![card_joints::pin(self, fixings, *with)],
            Does::PressApart { joints, with } => {
                if let [left, right] = joints.as_slice()
                    && let Some(row) = card_joints::press_apart_pair(self, left.value, right.value, *with)
                {
                    return vec![row];
                }
                let mut rows = self.each_joint(ActKind::PressApart.card(), joints, *with);
                for (row, joint) in rows.iter_mut().zip(joints) {
                    row.facts.extend(self.hidden(joint.value));
                }
                rows
            }
            Does::PressHome { joints, with } => {
                let mut rows = self.each_joint(ActKind::PressHome.card(), joints, *with);
                for (row, joint) in rows.iter_mut().zip(joints) {
                    if self.binding.work.puts_back(joint.value, &act.does) {
                        let joint = &self.binding.plan.joints[joint.value];
                        let new = joint_words::new_hardware(joint);
                        row.facts.splice(0..0, (!new.is_empty()).then_some(new));
                    }
                    row.facts.extend(self.hidden(joint.value));
                    row.facts
                        .extend(card_joints::recalled(self.binding, self.step, joint.value));
                }
                rows
            }
            Does::Opening { act, joints, with } => self.each_joint(stopped(*act), joints, *with),
            Does::Mark(joints) => self.each_joint(ActKind::Mark.card(), joints, None),
            Does::Tag(joints) => self.each_joint(ActKind::Tag.card(), joints, None),
            Does::Soak(joints) => self.each_joint(ActKind::Soak.card(), joints, None),
            Does::WaitFor { time, why } => vec![self.waited_for(time.value, why.as_deref())],
            Does::Wait(joints) => joints.iter().map(|joint| self.waited(joint.value)).collect(),
            Does::Photograph(names) => names.iter().map(|name| self.photograph(name)).collect(),
            Does::MakeUp(tools) => tools.iter().map(|tool| self.make_up(tool.value)).collect(),
            Does::Break { joint, how } => vec![self.broken(*joint, how.as_deref())],
            Does::Hold { things, by } => vec![self.held(things, *by)],
            Does::Steady { things, by } => vec![self.noted(
                ActKind::Steady.card(),
                format!("{}: {}", binding.the_loads(things), binding.person(by.value)),
                "a hand that keeps it from turning; it bears nothing",
            )],
            Does::Touch { things, with } => vec![self.touched(things, *with)],
            Does::Release { things, from } => vec![self.released(things, *from)],
            Does::TieUp { thing, to, limit } => vec![self.tied_up(*thing, *to, *limit)],
            Does::Untie(things) => vec![self.said(ActKind::Untie.card(), binding.the_things(things))],
            Does::Raise {
                things,
                end,
                on,
                at,
                to,
                by,
                ride,
            } => vec![self.raised(
                things,
                *end,
                *on,
                *at,
                ride.is_some(),
                [(" to ", *to), (" by ", *by)],
            )],
            Does::Set {
                things,
                end,
                down,
                on,
            } => vec![self.set(things, *end, *down, *on)],
            Does::Lower { things, by } => vec![self.lowered(things, *by)],
            Does::Tilt {
                things,
                about,
                by,
                back,
            } => vec![self.tilted(things, about, *by, *back)],
            Does::Draw {
                things,
                direction,
                by,
            } => vec![self.drawn(things, *direction, *by)],
            Does::SlideHome(things) => vec![self.restored("Slide fully home", things)],
            Does::MoveAside(things) => {
                vec![self.said("Move", format!("{} clear", binding.the_things(things)))]
            }
            Does::MoveBack(things) => vec![self.restored(ActKind::MoveBack.card(), things)],
            Does::TakeOff(things) => vec![self.taken_off(things)],
            Does::Fit(things) => vec![self.restored(ActKind::Fit.card(), things)],
            Does::Try(things) => vec![self.noted("Offer up", binding.the_things(things), "Tighten nothing.")],
            Does::Work { by, on, how } => vec![self.worked(*by, on, how.as_deref())],
            Does::Drain { fluids, into } => vec![self.drained(fluids, *into)],
            Does::Fill { fluids, with } => vec![self.filled(fluids, *with)],
            Does::Bleed(fluids) => vec![self.said(ActKind::Bleed.card(), self.fluids(fluids))],
            Does::Weigh { things, with } => vec![self.weighed(things, *with)],
            Does::Run(things) | Does::Drive(things) => {
                vec![self.said(act.does.kind().card(), binding.the_loads(things))]
            }
            Does::Measure { what, value } => vec![self.measure(what, value.map(|said| said.value))],
            Does::Judge { part, keep_if } => vec![self.judge(part.value, keep_if.as_deref())],
            Does::Look(what) => vec![self.said(ActKind::Look.card(), what.to_string())],
            Does::Verify { joints, what } => vec![self.verified(joints, what.as_deref())],
        }
    }

    /// The rows of a start and of the tighten that follows it, where each joint is done to the end before the next: it is, where they are the
    /// same joints and no two of them are on one thing.
    pub fn started_and_tightened(&mut self, start: &Act, tighten: &Act) -> Option<Vec<ActRow>> {
        let (Does::Start(all), Does::Tighten(then)) = (&start.does, &tighten.does) else {
            return None;
        };
        let one_by_one = halts::one_by_one(self.binding.plan, all, then);
        one_by_one.then(|| self.turned(&[Turn::Start, Turn::Tighten], all))
    }

    /// A row for each joint, or for both of a pair.
    fn turned(&mut self, what: &[Turn], all: &[Fixings]) -> Vec<ActRow> {
        card_joints::by_pairs(all, |first, second| match second {
            Some(second) => card_joints::turn_pair(self, what, first, second),
            None => Some(card_joints::turn(self, what, first)),
        })
    }

    fn broken(&mut self, joint: Said<Id<Joint>>, how: Option<&str>) -> ActRow {
        let binding = self.binding;

        let mut row = self.said(ActKind::Break.card(), binding.the_joint(joint.value));
        row.facts.extend(how.as_ref().map(|how| vec![run(sentence(how))]));
        row.facts.push(vec![run("Scrap it.")]);
        row
    }

    /// What a rig has to bear besides the thing: the force of the springs that it is in, where the plan says it.
    fn spring_force(&self, things: &[Said<Load>]) -> String {
        let plan = self.binding.plan;
        let parts: Vec<Id<Part>> = things
            .iter()
            .filter_map(|said| match said.value {
                Load::Thing(thing) => Some(plan.parts_of(thing)),
                Load::Vehicle(_) => None,
            })
            .flatten()
            .collect();
        // What is in place of a thing takes its spring over.
        let is = |part: Id<Part>, inside: Id<Part>| {
            let heir = plan.parts[part].in_place_of.map(|said| said.value.part);
            part == inside || heir == Some(inside)
        };
        let forces: Vec<String> = plan
            .energies
            .values()
            .filter(|energy| {
                let mut inside = energy.in_parts.iter();
                inside.any(|said| parts.iter().any(|&part| is(part, said.value)))
            })
            .filter_map(|energy| Some(energy.force?.value.to_string()))
            .collect();
        match forces.as_slice() {
            [] => "plus the spring’s force".to_owned(),
            all => format!("plus spring {}", and_list(all)),
        }
    }

    /// "Tam: hold the bonnet".
    fn by_hand(&mut self, person: Id<Person>, does: &str, loads: &str) -> ActRow {
        let verb = format!("{}: {does}", self.binding.person(person));
        self.said(&verb, loads.to_owned())
    }

    fn held(&mut self, things: &[Said<Load>], by: Said<Bearer>) -> ActRow {
        let binding = self.binding;

        let loads = binding.the_loads(things);
        let row = match by.value {
            Bearer::Rig(rig) => self.said(
                "Take the weight",
                format!("of {loads} on {}", binding.the_rig(rig)),
            ),
            Bearer::Person(person) => self.by_hand(person, "hold", &loads),
        };
        let mut row = self.with_mass(row, things);
        if matches!(by.value, Bearer::Rig(_)) && binding.meets_spring(self.step) {
            row.object
                .push(strong(format!(", {}", self.spring_force(things))));
        }
        row
    }

    fn touched(&mut self, things: &[Said<Load>], with: Said<Id<Rig>>) -> ActRow {
        let binding = self.binding;
        self.noted(
            "Bring",
            format!(
                "{} up to {}",
                binding.the_rig(with.value),
                binding.the_loads(things)
            ),
            "touching, no load",
        )
    }

    fn released(&mut self, things: &[Said<Load>], from: Option<Said<Bearer>>) -> ActRow {
        let binding = self.binding;

        let loads = binding.the_loads(things);
        match from.map(|said| said.value) {
            Some(Bearer::Rig(rig)) => self.said("Back off", format!("{} from {loads}", binding.the_rig(rig))),
            Some(Bearer::Person(person)) => self.by_hand(person, "let go of", &loads),
            None => self.said("Let go", format!("of {loads}")),
        }
    }

    fn tied_up(&mut self, thing: Said<Thing>, to: Said<Thing>, limit: Option<Said<Mass>>) -> ActRow {
        let binding = self.binding;

        let object = format!("{} to {}", self.thing(thing.value), self.thing(to.value));
        let mut row = self.said("Tie", object);
        if let Some(limit) = limit {
            row.object.push(run(", good for "));
            row.object.push(strong(binding.at_most(limit.value)));
        }
        row
    }

    fn raised(
        &mut self,
        things: &[Said<Load>],
        end: Option<Said<End>>,
        on: Option<Said<Id<Rig>>>,
        at: Option<Said<End>>,
        ride: bool,
        lengths: [(&str, Option<Said<Length>>); 2],
    ) -> ActRow {
        let binding = self.binding;

        let mut object = self.with_end(things, end);
        if let Some(rig) = on {
            object.push_str(&format!(" on {}", binding.the_rig(rig.value)));
        }
        if let Some(at) = at {
            object.push_str(&format!(", at the {} jacking points", at.value.word()));
        }
        let mut object = vec![run(object)];
        for (word, length) in lengths {
            if let Some(length) = length {
                object.push(run(word));
                object.push(strong(binding.both(length.value)));
            }
        }
        if ride {
            object.push(run(" to ride height, where it is with the wheels on the floor"));
        }
        let row = self.row(ActKind::Raise.card(), object);
        self.with_mass(row, things)
    }

    fn set(
        &mut self,
        things: &[Said<Load>],
        end: Option<Said<End>>,
        down: Option<Span>,
        on: Said<Seat>,
    ) -> ActRow {
        let binding = self.binding;

        let seat = match on.value {
            Seat::Rig(rig) => binding.the_rig(rig),
            Seat::Thing(thing) => self.thing(thing),
        };
        let verb = if down.is_some() {
            "Set down"
        } else {
            ActKind::Set.card()
        };
        let object = format!("{} on {seat}", self.with_end(things, end));
        self.said(verb, object)
    }

    fn lowered(&mut self, things: &[Said<Load>], by: Option<Said<Length>>) -> ActRow {
        let binding = self.binding;

        let mut object = vec![run(binding.the_loads(things))];
        if let Some(by) = by {
            object.push(run(" by "));
            object.push(strong(binding.both(by.value)));
        }
        self.row(ActKind::Lower.card(), object)
    }

    fn tilted(
        &mut self,
        things: &[Said<Load>],
        about: &[Said<Id<Joint>>],
        by: Option<Said<Extent>>,
        back: bool,
    ) -> ActRow {
        let binding = self.binding;

        let mut object = vec![run(binding.the_loads(things))];
        if let Some(by) = by {
            object.push(run(" by "));
            object.push(strong(match by.value {
                Extent::Length(length) => binding.both(length),
                Extent::Angle(angle) => super::figures::angle(angle),
            }));
        }
        if !about.is_empty() {
            let on: Vec<String> = about.iter().map(|said| binding.the_joint(said.value)).collect();
            object.push(run(format!(", on {}", and_list(&on))));
        }
        let verb = match (!about.is_empty(), back) {
            (true, false) => "Swing",
            (true, true) => "Swing back",
            (false, false) => "Tip",
            (false, true) => "Tip back",
        };
        self.row(verb, object)
    }

    fn drawn(&mut self, things: &[Said<Thing>], direction: Said<Direction>, by: Said<Length>) -> ActRow {
        let binding = self.binding;

        let object = vec![
            run(format!(
                "{} {} by ",
                binding.the_things(things),
                way(direction.value)
            )),
            strong(binding.both(by.value)),
        ];
        self.row("Pull", object)
    }

    fn drained(&mut self, fluids: &[Said<Id<Fluid>>], into: Option<Said<Id<Tool>>>) -> ActRow {
        let binding = self.binding;

        let tail = into.map_or_else(String::new, |tool| format!(" into {}", self.tool(tool.value)));
        let mut row = self.said(ActKind::Drain.card(), format!("{}{tail}", self.fluids(fluids)));
        for fluid in fluids {
            let runs_out = binding.runs_out(fluid.value, self.step);
            row.facts.extend(
                runs_out.map(|volume| vec![run("up to "), strong(binding.both(volume)), run(" runs out")]),
            );
        }
        row
    }

    fn filled(&mut self, fluids: &[Said<Id<Fluid>>], with: Option<Said<Volume>>) -> ActRow {
        let binding = self.binding;

        let mut row = self.said(ActKind::Fill.card(), self.fluids(fluids));
        if let Some(volume) = with {
            row.object.push(run(", "));
            row.object.push(strong(binding.both(volume.value)));
        }
        for fluid in fluids {
            let fluid = &binding.plan.fluids[fluid.value];
            row.facts.extend(
                fluid
                    .grade
                    .as_ref()
                    .map(|grade| vec![run(grade.value.to_string())]),
            );
            if fluid.renew.is_some() {
                row.facts.push(vec![strong("new"), run(", not what came out")]);
            }
        }
        row.write.push(field("went in", Some("l"), 30));
        row
    }

    fn weighed(&mut self, things: &[Said<Load>], with: Option<Said<Id<Scale>>>) -> ActRow {
        let binding = self.binding;

        let tail = with.map_or_else(String::new, |scale| {
            format!(
                " on the {}",
                binding.inside(&binding.plan.scales[scale.value].head.called())
            )
        });
        let mut row = self.said(
            ActKind::Weigh.card(),
            format!("{}{tail}", binding.the_loads(things)),
        );
        match super::weighing::at_the_act(binding, things, with) {
            Some((reads, between)) => {
                if matches!(reads, WeighCell::Blank { .. }) {
                    let between = between.map(|between| vec![run(between)]);
                    let tare = vec![run(format!(
                        "tray or sling on it ________ {}",
                        masses::unit(binding)
                    ))];
                    row.facts
                        .push(dotted(between.into_iter().chain([tare]).collect()));
                }
                row.reads = Some(reads);
            }
            None => {
                let sheet = super::weighing::where_to_write(binding, things);
                row.facts.push(vec![run(sheet)]);
            }
        }
        row
    }

    fn verified(&mut self, joints: &[Said<Id<Joint>>], what: Option<&str>) -> ActRow {
        let binding = self.binding;

        let named: Vec<String> = joints
            .iter()
            .map(|joint| binding.the_joint(joint.value))
            .collect();
        match what {
            Some(what) => {
                let mut row = self.said("Verify:", what.to_string());
                // The second check below names what it sees.
                let seen = |joint: &Said<Id<Joint>>| binding.plan.joints[joint.value].second_check.is_some();
                if !named.is_empty() && !joints.iter().all(seen) {
                    row.facts.push(vec![run(and_list(&named))]);
                }
                row
            }
            None if named.is_empty() => {
                self.said(ActKind::Verify.card(), "every torque on this card".to_owned())
            }
            None => self.said(ActKind::Verify.card(), and_list(&named)),
        }
    }

    fn worked(&mut self, by: ActKind, on: &[Said<Workpiece>], how: Option<&str>) -> ActRow {
        let named: Vec<String> = on
            .iter()
            .map(|piece| match piece.value {
                Workpiece::Thing(thing) => self.thing(thing),
                Workpiece::Joint(joint) => self.binding.the_joint(joint),
            })
            .collect();
        let mut row = self.said(by.card(), and_list(&named));
        row.facts.extend(how.map(|how| vec![run(sentence(how))]));
        row
    }

    /// "Wait: 24 h, until the screen bond has set".
    fn waited(&mut self, id: Id<Joint>) -> ActRow {
        let joint = &self.binding.plan.joints[id];
        let mut object = vec![run(format!("until {} has set", self.binding.the_joint(id)))];
        if let Some(time) = joint.sets_in {
            object.splice(0..0, [strong(duration(time.value.base())), run(", ")]);
        }
        self.row(ActKind::Wait.card(), object)
    }

    /// "Wait: 24 h. Epoxy on the bracket".
    fn waited_for(&mut self, time: Time, why: Option<&str>) -> ActRow {
        let mut row = self.row(ActKind::Wait.card(), vec![strong(duration(time.base()))]);
        row.facts.extend(why.map(|why| vec![run(sentence(why))]));
        row
    }

    fn noted(&mut self, verb: &str, object: String, fact: &str) -> ActRow {
        let mut row = self.said(verb, object);
        row.facts.push(vec![run(fact)]);
        row
    }

    fn restored(&mut self, verb: &str, things: &[Said<Thing>]) -> ActRow {
        let binding = self.binding;
        let mut row = self.said(verb, binding.the_things(things));
        for thing in things {
            let names = card_joints::names_of(binding, Load::Thing(thing.value));
            row.facts.extend(card_joints::named(binding, self.step, &names));
        }
        let loads: Vec<_> = things.iter().copied().map(as_load).collect();
        if verb == ActKind::Fit.card() {
            row = self.with_mass(row, &loads);
            row.facts
                .extend(things.iter().flat_map(|thing| thing_notes(binding, thing.value)));
        }
        row
    }

    fn taken_off(&mut self, things: &[Said<Thing>]) -> ActRow {
        let binding = self.binding;
        let row = self.said(ActKind::TakeOff.card(), binding.the_things(things));
        let loads: Vec<_> = things.iter().copied().map(as_load).collect();
        let mut row = self.with_mass(row, &loads);
        for thing in things {
            let goes_to = match thing.value {
                Thing::Part(id) => binding.plan.parts[id].goes_to.as_ref(),
                Thing::Assembly(id) => binding.plan.assemblies[id].goes_to.as_ref(),
            };
            row.facts
                .extend(goes_to.map(|to| vec![run("Put it: "), strong(to.value.to_string())]));
            row.facts.extend(thing_notes(binding, thing.value));
        }
        row
    }

    /// What it weighs, where that is known for all that the act takes.
    fn with_mass(&mut self, mut row: ActRow, things: &[Said<Load>]) -> ActRow {
        let parts_only = things.iter().all(|load| matches!(load.value, Load::Thing(_)));
        let estimate = masses::of_loads(self.binding, things);
        let named = self.binding.the_loads(things);
        if self.told.contains(&named) {
            return row;
        }
        if let Some(estimate) = estimate.filter(|_| parts_only) {
            self.told.push(named);
            row.object.push(run(", "));
            row.object.push(strong(masses::text(self.binding, estimate)));
        }
        row
    }

    fn photograph(&mut self, name: &FreeName) -> ActRow {
        self.said(
            ActKind::Photograph.card(),
            format!("“{}”", name.name.replace('-', " ")),
        )
    }

    fn make_up(&mut self, id: Id<Tool>) -> ActRow {
        let mut row = self.said(ActKind::MakeUp.card(), self.tool(id));
        let supply = &self.binding.plan.tools[id].supply;
        row.facts
            .extend(supply.make_from.as_ref().map(|from| vec![run(sentence(from))]));
        row.facts
            .extend(supply.time.map(|time| vec![strong(duration(time.value.base()))]));
        row
    }

    fn measure(&mut self, what: &FreeName, value: Option<Reading<crate::plan::model::Measured>>) -> ActRow {
        let name = what.name.replace('-', " ");
        let mut row = self.said(ActKind::Measure.card(), name.clone());
        match value {
            Some(Reading::Is(measured)) => {
                row.object.push(run(": "));
                row.object
                    .push(strong(recall::figure(measured, self.binding.units)));
            }
            Some(Reading::ToCome) | None => row.write.push(field(&name, None, 40)),
        }
        row.facts
            .extend(card_joints::named(self.binding, self.step, &[&what.name]));
        row
    }

    fn judge(&mut self, part: Id<Part>, keep_if: Option<&str>) -> ActRow {
        let binding = self.binding;
        let mut row = self.said("Inspect", self.thing(Thing::Part(part)));
        row.facts
            .extend(keep_if.map(|keep| vec![strong("Keep if "), run(sentence_end(keep))]));
        let renewed = binding.plan.parts.iter().find(|(_, other)| {
            other
                .in_place_of
                .is_some_and(|said| said.value.if_renewed && said.value.part == part)
        });
        row.facts.push(match renewed {
            Some((id, _)) => vec![
                strong("Else renew: "),
                run(format!("{}.", self.thing(Thing::Part(id)))),
            ],
            None => vec![strong("Else renew.")],
        });
        row.write.push(field("kept / new", None, 40));
        row
    }

    fn thing(&self, thing: Thing) -> String {
        self.binding.the(Load::Thing(thing))
    }

    fn fluids(&self, fluids: &[Said<Id<crate::plan::model::Fluid>>]) -> String {
        let named: Vec<String> = fluids
            .iter()
            .map(|fluid| format!("the {}", self.binding.fluid(fluid.value)))
            .collect();
        and_list(&named)
    }

    fn with_end(&self, things: &[Said<Load>], end: Option<Said<End>>) -> String {
        let things = self.binding.the_loads(things);
        match end {
            Some(end) => format!("{things}, {} end,", end.value.word()),
            None => things,
        }
    }
}

fn as_load(thing: Said<Thing>) -> Said<Load> {
    Said::new(Load::Thing(thing.value), thing.at)
}

fn thing_notes(binding: &Binding<'_>, thing: Thing) -> Vec<Line> {
    let head = match thing {
        Thing::Part(id) => &binding.plan.parts[id].head,
        Thing::Assembly(id) => &binding.plan.assemblies[id].head,
    };
    head.notes
        .iter()
        .map(|note| vec![run(crate::plan::prose::words_of(&note.text))])
        .collect()
}

fn sentence_end(text: &str) -> String {
    let whole = sentence(text);
    let first = text.trim().chars().next();
    match first {
        Some(first) if first.is_lowercase() => inside(&whole),
        _ => whole,
    }
}

fn field(caption: &str, unit: Option<&str>, width: u16) -> Field {
    Field {
        caption: caption.to_owned(),
        unit: unit.map(str::to_owned),
        width,
    }
}

/// A line that was shut says what comes out of it.
fn stopped(act: OpeningAct) -> &'static str {
    match act {
        OpeningAct::Unclamp => "Take the clamp off",
        OpeningAct::Uncap => "Take the cap off",
        OpeningAct::Unplug => "Take the plug out of",
        OpeningAct::Clamp | OpeningAct::Cap | OpeningAct::Plug => act.kind().card(),
    }
}

fn way(direction: Direction) -> &'static str {
    match direction {
        Direction::Forward => "forward",
        Direction::Back => "back",
        Direction::Left => "to the left",
        Direction::Right => "to the right",
        Direction::Up => "up",
        Direction::Down => "down",
    }
}
