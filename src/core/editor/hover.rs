//! What stands under the cursor: what a thing is, how it is at this step, where it is used; the form of a statement; what a finding means.
//! Markdown.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::fits::{Moment, moment};
use super::places::found;
use super::spot::{self, Around};
use super::{Desk, head};
use crate::base::digits;
use crate::base::finding::Finding;
use crate::base::source::{SourceId, Span};
use crate::binder::bags::Bags;
use crate::binder::kept::Kept;
use crate::plan::model::{Id, Joint, Part, Plan, Thing, Weighed};
use crate::plan::scope::Entity;
use crate::reckon::mass::{MassEstimate, Origin};
use crate::reckon::uncertainty;
use crate::rules;
use crate::syntax::tree::TokenKind;
use crate::walk::state::{Holder, JointState, Opening, Presence};

/// What is shown, and for which stretch of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hover {
    /// The name under the pointer.
    pub at: Span,
    /// CommonMark, as LSP 3.17 asks for it.
    pub markdown: String,
}

/// Most lines of a block that are shown.
const LINES: usize = 8;

/// What is known of the place: of the name there, else of its statement; and of the findings that begin there.
#[must_use]
pub fn hover(desk: Desk<'_>, source: SourceId, at: u32) -> Option<Hover> {
    let file = desk.done.sources.get(source)?;
    let tree = desk.trees.get(source.0 as usize)?;
    let mut parts: Vec<String> = Vec::new();
    let mut place: Option<Span> = None;
    let of_finding = |finding: &&Finding| {
        let span = finding.place();
        span.is_some_and(|span| span.source == source && (span.start..=span.end).contains(&at))
    };
    for finding in desk.done.findings.iter().filter(of_finding) {
        place = place.or(finding.place());
        parts.push(of_rule(finding));
    }
    if let Some(found) = found(desk, source, at) {
        place = place.or(Some(found.at));
        for &entity in found.entities.iter().take(2) {
            parts.extend(thing(desk, source, at, entity));
        }
    } else if let Some(around) = Around::at(file, tree, at)
        && let Some((statement, header)) = around.statement(at)
    {
        let tokens = tree.tokens(statement);
        let token = spot::token(tree, file, at);
        let kind = around.kind;
        if header {
            let first = tokens.first().filter(|first| Some(**first) == token);
            if let (Some(first), Some(kind)) = (first, kind) {
                place = place.or(Some(Span::new(source, first.start(), first.end())));
                parts.push(format!("`{}`", kind.form()));
            }
            let rule = token.map(|token| around.text(token)).and_then(rules::find);
            if let (Some(rule), Some(token)) = (rule, token) {
                place = place.or(Some(Span::new(source, token.start(), token.end())));
                parts.push(rule.page.to_owned());
            }
        } else if let Some((shape, words)) = around.shape(statement) {
            let keyword = tokens.get(..words).unwrap_or_default();
            let (first, last) = (keyword.first()?, keyword.last()?);
            let within = (first.start()..=last.end()).contains(&at);
            let quoted = token.is_some_and(|token| token.kind() == TokenKind::Text);
            if within && !quoted {
                place = place.or(Some(Span::new(source, first.start(), last.end())));
                parts.push(format!("`{}`", shape.form));
            }
        }
    }
    (!parts.is_empty()).then(|| Hover {
        at: place.unwrap_or(Span::new(source, at, at)),
        markdown: parts.join("\n\n---\n\n"),
    })
}

/// The form of the statement at a place, for whoever types it.
#[must_use]
pub fn signature(desk: Desk<'_>, source: SourceId, at: u32) -> Option<&'static str> {
    let file = desk.done.sources.get(source)?;
    let tree = desk.trees.get(source.0 as usize)?;
    let around = Around::at(file, tree, at)?;
    let (statement, header) = around.statement(at)?;
    if header {
        return around.kind.map(|kind| kind.form());
    }
    around.shape(statement).map(|(shape, _)| shape.form)
}

fn of_rule(finding: &Finding) -> String {
    let mut text = format!(
        "**{}** `{}`: {}",
        finding.severity.word(),
        finding.rule.name,
        finding.what
    );
    if !finding.harm.is_empty() {
        text.push_str(&format!("\n\nIf left: {}", finding.harm));
    }
    if !finding.mend.words.is_empty() {
        text.push_str(&format!("\n\nFix: {}", finding.mend.words));
    }
    text.push_str(&format!("\n\n{}", finding.rule.page.trim()));
    text
}

fn thing(desk: Desk<'_>, source: SourceId, at: u32, entity: Entity) -> Option<String> {
    let plan = &desk.done.plan;
    let head = head(plan, entity)?;
    let mut lines = vec![match &head.title {
        Some(title) => format!("**{title}**, {} `{}`", bare(entity), head.name),
        None => format!("**{}**, {}", head.name, entity.words()),
    }];
    let is_derived = matches!(entity, Entity::Step(step) if plan.steps[step].derived.is_some());
    if let Entity::Step(step) = entity {
        lines.push(format!("Step {}", plan.step_number(step)));
        if let Some(derived) = &plan.steps[step].derived {
            lines.push(format!(
                "Worked out from `{}`, which it undoes.",
                plan.steps[derived.from].head.name
            ));
        }
    }
    match entity {
        Entity::Part(part) => lines.extend(of_part(desk, part)),
        Entity::Assembly(assembly) => {
            let parts = plan.parts_of(Thing::Assembly(assembly));
            let names: Vec<&str> = parts.iter().map(|&part| &*plan.parts[part].head.name).collect();
            lines.push(format!("Of {}.", names.join(", ")));
            lines.extend(mass(desk, Weighed::Thing(Thing::Assembly(assembly))));
        }
        Entity::Joint(joint) => {
            let bags = Bags::of(plan, &Kept::default());
            lines.extend(
                bags.number(joint)
                    .map(|bag| format!("Its fixings go into bag {bag}.")),
            );
        }
        // The rest tells all of itself in its block.
        _ => {}
    }
    if let Some((file, tree)) = desk.file(source)
        && let Some(around) = Around::at(file, tree, at)
        && let Some(moment) = moment(desk, around, at)
    {
        lines.extend(now(&moment, &head.name));
    }
    let used = desk
        .done
        .names
        .mentions_of(entity)
        .map(|mention| mention.at)
        .collect::<BTreeSet<_>>()
        .len();
    lines.push(match used {
        0 => "Named nowhere.".to_owned(),
        1 => "Named once.".to_owned(),
        n => format!("Named {n} times."),
    });
    if !is_derived {
        lines.extend(block(desk, head.block));
    }
    Some(lines.join("\n\n"))
}

fn bare(entity: Entity) -> &'static str {
    let words = entity.words();
    words.split_once(' ').map_or(words, |(_, word)| word)
}

/// A block as its owner wrote it, as far as it is short.
fn block(desk: Desk<'_>, block: Span) -> Option<String> {
    let text = desk.done.sources.text(block);
    let mut lines: Vec<&str> = text.lines().take(LINES).collect();
    if lines.is_empty() {
        return None;
    }
    if text.lines().count() > LINES {
        lines.push("  ...");
    }
    Some(format!("```boltplan\n{}\n```", lines.join("\n")))
}

fn of_part(desk: Desk<'_>, part: Id<Part>) -> Vec<String> {
    let plan = &desk.done.plan;
    let mut lines: Vec<String> = mass(desk, Weighed::Thing(Thing::Part(part)))
        .into_iter()
        .collect();
    let joints: Vec<&str> = plan
        .joints
        .values()
        .filter(|joint| {
            let mut ends = joint.ends.iter().flatten();
            ends.any(|end| plan.parts_of(end.value).contains(&part))
        })
        .map(|joint| &*joint.head.name)
        .collect();
    if !joints.is_empty() {
        lines.push(format!("Joined by {}.", joints.join(", ")));
    }
    lines
}

fn mass(desk: Desk<'_>, what: Weighed) -> Option<String> {
    let estimate = desk.done.weights().of(what)?;
    Some(format!("Weighs {}.", shown(&estimate)))
}

/// "13.2 ± 0.1 kg, weighed": what covers about 95 %.
#[must_use]
pub fn shown(estimate: &MassEstimate) -> String {
    let within = estimate.expanded();
    let places = uncertainty::decimals(within).unwrap_or(1).clamp(0, 3);
    let how = match estimate.origin {
        Origin::Weighed => "weighed",
        Origin::Quoted => "quoted",
        Origin::Estimated => "estimated",
    };
    format!(
        "{} ± {} kg, {how}",
        digits::decimal(estimate.kg, places),
        digits::decimal(within, places)
    )
}

/// How a thing is at the place in the step, as the walk knows it.
fn now(moment: &Moment<'_>, name: &str) -> Option<String> {
    let plan = &moment.walked.plan;
    let entity = moment.walked.names.called(name)?.entity;
    let when = match moment.step {
        Some(step) => format!("At this place of step {}", plan.step_number(step)),
        None => "As it was found".to_owned(),
    };
    let words = match entity {
        Entity::Joint(joint) => of_joint(moment, joint),
        Entity::Part(part) => of_parts(moment, &[part]),
        Entity::Assembly(assembly) => of_parts(moment, &plan.parts_of(Thing::Assembly(assembly))),
        Entity::Fluid(fluid) if moment.after.is_full(fluid) => "full".to_owned(),
        Entity::Fluid(_) => "drained".to_owned(),
        Entity::Energy(energy) if moment.after.live().any(|live| live == energy) => "live".to_owned(),
        Entity::Energy(_) => "safe".to_owned(),
        // The others have no state.
        _ => return None,
    };
    Some(format!("{when}: {words}."))
}

fn of_joint(moment: &Moment<'_>, joint: Id<Joint>) -> String {
    let state: JointState = moment.after.state().joints[joint];
    let mut words: Vec<String> = Vec::new();
    if state.broken {
        words.push("broken apart".to_owned());
    } else if !moment.after.ties(joint) {
        words.push("out".to_owned());
    } else if state.all_tight() {
        words.push("tight".to_owned());
    } else {
        let mut some = |count: u32, word: &str| {
            if count > 0 {
                words.push(format!("{count} {word}"));
            }
        };
        some(state.tight, "tight");
        some(state.slack, "slack");
        some(state.started, "in by hand");
        some(state.out, "out");
        if state.setting {
            words.push("not set yet".to_owned());
        }
        if words.is_empty() {
            words.push("drawn".to_owned());
        }
    }
    match state.opening {
        Opening::Shut => {}
        Opening::Clamped => words.push("clamped".to_owned()),
        Opening::Open if moment.after.is_wet(joint) => words.push("open and full".to_owned()),
        Opening::Open => words.push("open".to_owned()),
        Opening::Capped => words.push("capped".to_owned()),
        Opening::Plugged => words.push("plugged".to_owned()),
        Opening::CappedAndPlugged => words.push("capped and plugged".to_owned()),
    }
    if state.unchecked {
        words.push("second check owed".to_owned());
    }
    words.join(", ")
}

fn of_parts(moment: &Moment<'_>, parts: &[Id<Part>]) -> String {
    let plan: &Plan = &moment.walked.plan;
    let after = &moment.after;
    let presence = parts.iter().map(|&part| after.state().parts[part].presence);
    let off = presence.clone().filter(|there| *there == Presence::Off).count();
    let trial = presence.filter(|there| *there == Presence::OnTrial).count();
    let mut words = vec![
        match (off, trial) {
            (0, 0) => "on",
            (0, _) => "offered up",
            (off, _) if off == parts.len() => "off",
            _ => "partly off",
        }
        .to_owned(),
    ];
    for (holder, held) in after.held() {
        if !held.iter().any(|part| parts.contains(part)) {
            continue;
        }
        let by = match holder {
            Holder::Rig(rig) => &plan.rigs[rig].head.name,
            Holder::Person(person) => &plan.people[person].head.name,
            Holder::Repair => continue,
        };
        words.push(format!("held by {by}"));
    }
    for (_, to) in after.tied_up().filter(|(part, _)| parts.contains(part)) {
        words.push(format!("tied up to {}", plan.parts[to].head.name));
    }
    let on: Vec<Id<Part>> = parts
        .iter()
        .copied()
        .filter(|&part| !after.is_off(part))
        .collect();
    if !on.is_empty() {
        let still = after.still_joined(&on);
        let names: Vec<&str> = still
            .iter()
            .take(6)
            .map(|&joint| &*plan.joints[joint].head.name)
            .collect();
        match still.len() {
            0 => words.push("joined to nothing".to_owned()),
            n if n > 6 => words.push(format!("still joined by {} and {} more", names.join(", "), n - 6)),
            _ => words.push(format!("still joined by {}", names.join(", "))),
        }
    }
    words.join(", ")
}
