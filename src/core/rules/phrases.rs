//! Words that the families of the walk share: names, lists of names, the lines of joints, and edits that put an act before
//! another or at the end of the work. Knows no rule.

use super::joined;
use super::mends::Index;
use crate::base::finding::{Finding, Rule, Severity};
use crate::base::source::Span;
use crate::plan::model::{End, Head, Id, Joint, Plan, Thing};
use crate::walk::breaks::{Break, Moment, Subject};

/// A break with the plan that its names stand in.
#[derive(Clone, Copy)]
pub(super) struct Wording<'a> {
    pub plan: &'a Plan,
    pub of: &'a Break,
    pub index: &'a Index<'a>,
}

fn head(plan: &Plan, subject: Subject) -> Option<&Head> {
    Some(match subject {
        Subject::Part(id) => &plan.parts[id].head,
        Subject::Joint(id) => &plan.joints[id].head,
        Subject::Rig(id) => &plan.rigs[id].head,
        Subject::Person(id) => &plan.people[id].head,
        Subject::Fluid(id) => &plan.fluids[id].head,
        Subject::Energy(id) => &plan.energies[id].head,
        Subject::Tool(id) => &plan.tools[id].head,
        Subject::Step(id) => &plan.steps[id].head,
        Subject::WeighIn(id) => &plan.weigh_ins[id].head,
        Subject::End(_) | Subject::Vehicle => &plan.vehicles[plan.vehicle()?].head,
    })
}

/// The plan's own name of it, bare.
pub(super) fn bare(plan: &Plan, subject: Subject) -> String {
    let name = head(plan, subject).map_or("vehicle", |head| &head.name);
    match subject {
        Subject::End(End::Front) => format!("{name} front"),
        Subject::End(End::Rear) => format!("{name} rear"),
        _ => name.to_owned(),
    }
}

impl<'a> Wording<'a> {
    /// The plan's own name of it, bare.
    pub fn bare(self, subject: Subject) -> String {
        bare(self.plan, subject)
    }

    pub fn name(self, subject: Subject) -> String {
        format!("`{}`", self.bare(subject))
    }

    pub fn list(self, subjects: &[Subject]) -> String {
        let names: Vec<String> = subjects.iter().map(|&subject| self.name(subject)).collect();
        joined(&names, "and")
    }

    /// The plan's own name of the body, bare.
    pub fn body(self) -> &'a str {
        let body = self.plan.parts.values().find(|part| part.is_body);
        body.map_or("the body", |part| &part.head.name)
    }

    /// The names of a list as a statement takes them.
    pub fn bare_list(self, subjects: &[Subject]) -> String {
        let names: Vec<String> = subjects.iter().map(|&subject| self.bare(subject)).collect();
        names.join(", ")
    }

    /// What it is about, first of all.
    pub fn first(self) -> Subject {
        self.of.of.first().copied().unwrap_or(Subject::Vehicle)
    }

    /// The first part that it is about.
    pub fn parts_first(self) -> Option<Id<crate::plan::model::Part>> {
        self.of.parts().next()
    }

    pub fn all(self) -> String {
        self.list(&self.of.of)
    }

    pub fn all_bare(self) -> String {
        self.bare_list(&self.of.of)
    }

    /// What it has to do with.
    pub fn other(self) -> String {
        self.of
            .with
            .first()
            .map_or_else(|| "something".to_owned(), |&subject| self.name(subject))
    }

    pub fn other_bare(self) -> String {
        self.of
            .with
            .first()
            .map_or_else(String::new, |&subject| self.bare(subject))
    }

    pub fn several(self) -> bool {
        self.of.of.len() > 1
    }

    /// "is" or "are", and so on, by how many it is about.
    pub fn form(self, one: &'static str, several: &'static str) -> &'static str {
        if self.several() { several } else { one }
    }

    /// Begins the finding: its place, the lines of the joints that it is about, where it began, and the names that an
    /// acceptance may use.
    pub fn finding(self, rule: &'static Rule, what: String, here: &str) -> Finding {
        let mut finding = Finding::new(rule, what).at(self.of.at, here);
        for &subject in self.of.of.iter().chain(&self.of.with) {
            if let Subject::Joint(joint) = subject
                && self.line(joint) != self.of.at
            {
                finding = finding.at(self.line(joint), self.ties(joint));
            }
        }
        if let Some(began) = self.of.began {
            finding = finding.at(began, "it began here");
        }
        for &subject in &self.of.of {
            finding = finding.about(self.bare(subject));
        }
        if let Some(step) = self.of.step {
            finding = finding.about(self.plan.steps[step].head.name.to_string());
        }
        if self.of.grave {
            finding.severity = Severity::Fault;
        }
        finding
    }

    fn line(self, joint: Id<Joint>) -> Span {
        self.plan.joints[joint].head.at
    }

    /// The name of a part or assembly.
    pub fn plain(self, thing: Thing) -> &'a str {
        match thing {
            Thing::Part(id) => &self.plan.parts[id].head.name,
            Thing::Assembly(id) => &self.plan.assemblies[id].head.name,
        }
    }

    fn ties(self, joint: Id<Joint>) -> String {
        let joint = &self.plan.joints[joint];
        match &joint.ends {
            Some([a, b]) => {
                let name = |thing| self.plain(thing);
                format!("{}: {} to {}", joint.head.name, name(a.value), name(b.value))
            }
            None => joint.head.name.to_string(),
        }
    }

    /// A finding in a derived step stands at the act that it undoes: it says so, and offers no text to put there.
    pub fn when_undone(self, mut finding: Finding) -> Finding {
        let Some(step) = self.of.step.map(|step| &self.plan.steps[step]) else {
            return finding;
        };
        let (Some(derived), Some(stage)) = (&step.derived, step.stage) else {
            return finding;
        };
        let from = &self.plan.steps[derived.from].head.name;
        let stage = &self.plan.stages[stage].head.name;
        finding.what = format!("when stage `{stage}` undoes this: {}", finding.what);
        finding.mend.edits.clear();
        finding.mend.words = format!(
            "Write the step yourself in stage `{stage}`, with the line: instead of {from}. Or a step before it that makes this right.{}{}",
            if finding.mend.words.is_empty() {
                ""
            } else {
                " It needs: "
            },
            finding.mend.words
        );
        finding.at(
            step.head.at,
            format!("its step `{}` comes from here", step.head.name),
        )
    }

    /// An empty place before the act.
    pub fn before(self) -> Span {
        Span::new(self.of.act.source, self.of.act.start, self.of.act.start)
    }

    /// The end of the last step of the work, if it is written.
    pub fn last(self) -> Option<Span> {
        let step = &self.plan.steps[*self.plan.order.last()?];
        step.derived.is_none().then(|| step.head.block.after())
    }

    /// A step to be written behind a derived one that is the last of all.
    fn new_last(self, act: &str) -> Option<(Span, String)> {
        let step = &self.plan.steps[*self.plan.order.last()?];
        let stage = &self.plan.stages[step.stage?];
        let written = stage.steps.iter().map(|&step| &self.plan.steps[step]);
        let mut behind = written
            .filter(|step| step.derived.is_none())
            .map(|step| step.head.block);
        let after = behind.next_back().unwrap_or(stage.head.block).after();
        let acts = act.replace("; ", "\n  ");
        let name = &step.head.name;
        let text = format!("\nstep {name}-more \"What is left to do\"\n  after {name}\n  {acts}");
        Some((after, text))
    }

    /// A mend that writes an act before this one.
    pub fn write_before(self, finding: Finding, act: &str) -> Finding {
        finding
            .mend(format!("Before this act: {act}"))
            .edit(self.before(), format!("{act}; "))
    }

    /// A mend that writes acts behind all others.
    pub fn write_last(self, finding: Finding, act: &str) -> Finding {
        let finding = finding.mend(format!("Before the job ends: {act}"));
        match self.last() {
            Some(end) => finding.edit(end, format!("\n  {}", act.replace("; ", "\n  "))),
            None => match self.new_last(act) {
                Some((at, text)) => finding.edit(at, text),
                None => finding,
            },
        }
    }

    pub fn at_step_end(self) -> bool {
        self.of.moment == Moment::StepEnd
    }

    /// What is added where a mass is not known.
    pub fn unknown_mass(self) -> &'static str {
        if self.of.mass_unknown {
            " Its mass is not known, so it counts as heavy."
        } else {
            ""
        }
    }
}
