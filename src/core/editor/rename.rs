//! Calls a thing by another name in all files of a plan. What cannot be renamed, and a name that cannot be given, is refused with the
//! sentence that a finding would say; and nothing may stand for another thing than before.

use std::collections::{BTreeMap, BTreeSet};

use super::places::{Found, found};
use super::spot::Around;
use super::{Desk, head};
use crate::base::finding::{Edit, Finding};
use crate::base::source::{Source, SourceId, Sources, Span};
use crate::compile::{self, Compilation};
use crate::plan::declare;
use crate::plan::named::{Declared, Names, Origin};
use crate::plan::plan_error::PlanError;
use crate::plan::scope::Entity;
use crate::rules;
use crate::syntax::grammar;
use crate::syntax::shapes::{BlockKind, Keyword};
use crate::syntax::tree::Tree;

/// The edits of a new name, and what else there is to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Renamed {
    /// One at each place that writes the name; all or none of them.
    pub edits: Vec<Edit>,
    /// Sentences for the owner.
    pub told: Vec<String>,
}

/// What of a mention is the declared name itself, and that name: of `hub-left` the place of `hub`, where that is what the block is called.
///
/// # Errors
/// A sentence: no name stands there, or one that nothing declares.
pub fn prepare(desk: Desk<'_>, source: SourceId, at: u32) -> Result<(Span, String), String> {
    let (found, known) = declared(desk, source, at)?;
    let stem = desk.done.sources.text(known.at).to_owned();
    let text = desk.done.sources.text(found.at);
    let place = if text.starts_with(&stem) {
        Span::new(
            found.at.source,
            found.at.start,
            found.at.start + (known.at.end - known.at.start),
        )
    } else {
        found.at
    };
    Ok((place, stem))
}

fn declared<'a>(desk: Desk<'a>, source: SourceId, at: u32) -> Result<(Found, &'a Declared), String> {
    let names = &desk.done.names;
    let Some(found) = found(desk, source, at) else {
        return Err("No name of the plan stands here.".to_owned());
    };
    let known = found.entities.first().and_then(|&entity| names.of(entity));
    let known = known.ok_or("Nothing in the plan is called so.")?;
    let written = match (known.origin, known.entity) {
        (Origin::InPart, _) => {
            if found.at == known.at {
                return Err("This joint is called after its part: rename the part.".to_owned());
            }
            let part = names
                .declared()
                .iter()
                .find(|other| is_in(desk.done, known, other));
            part.ok_or("The part that says it is not known.")?
        }
        (Origin::Derived, Entity::Step(step)) => desk
            .undone_by(step)
            .ok_or("The step that it undoes is not known.")?,
        _ => known,
    };
    Ok((found, written))
}

/// The edits that call what is named at a byte by this name. `printed` where paper exists that goes by the old name: a step and a joint
/// then say what they were called, so that number and bag stay.
///
/// # Errors
/// A sentence: what a finding would say of the new name, or why this one cannot be renamed.
pub fn rename(
    desk: Desk<'_>,
    source: SourceId,
    at: u32,
    new: &str,
    printed: bool,
) -> Result<Renamed, String> {
    let (_, known) = declared(desk, source, at)?;
    let done = desk.done;
    let old = done.sources.text(known.at);
    if new == old {
        return Ok(Renamed {
            edits: Vec::new(),
            told: Vec::new(),
        });
    }
    let kind = kind_of(desk, known).ok_or("Its block cannot be read.")?;
    if let Some(why) = declare::name_fault(kind, new) {
        let slip = PlanError::BadName {
            at: known.at,
            name: new.to_owned(),
            why,
        };
        return Err(rules::told(slip).map_or_else(String::new, |finding| sentence(&finding)));
    }
    let mut edits = edits(done, known, new)?;
    if printed {
        edits.extend(said_before(desk, known, old));
    }
    edits.sort_by_key(|edit| (edit.span, edit.text.clone()));
    same_meaning(desk, &edits)?;
    let shared = edits
        .iter()
        .any(|edit| done.sources.get(edit.span.source).is_some_and(Source::is_shared));
    let mut told = Vec::new();
    if shared {
        told.push(
            "It stands in the workshop that several plans share: other plans that name it say the old name still."
                .to_owned(),
        );
    }
    Ok(Renamed { edits, told })
}

/// Whether one thing is the joint that another one, a part, says in its block.
fn is_in(done: &Compilation, joint: &Declared, part: &Declared) -> bool {
    let block = head(&done.plan, part.entity).map(|head| head.block);
    matches!(part.entity, Entity::Part(_))
        && joint.origin == Origin::InPart
        && part.origin != Origin::InPart
        && block.is_some_and(|block| {
            block.source == joint.at.source && (block.start..=block.end).contains(&joint.at.start)
        })
}

fn kind_of(desk: Desk<'_>, known: &Declared) -> Option<BlockKind> {
    let file = desk.done.sources.get(known.at.source)?;
    let tree = desk.trees.get(known.at.source.0 as usize)?;
    Around::at(file, tree, known.at.start)?.kind
}

/// All that has its name from this place: each side of a block, the steps that undo it, the joint that a part says itself.
fn family(done: &Compilation, known: &Declared) -> Vec<Entity> {
    let names = &done.names;
    let own: Vec<&Declared> = names
        .declared()
        .iter()
        .filter(|other| other.at == known.at && other.origin != Origin::Derived)
        .collect();
    let derived = names.declared().iter().filter(|other| match other.entity {
        Entity::Step(step) => {
            let from = done.plan.steps.get(step).and_then(|step| step.derived.as_ref());
            from.is_some_and(|from| own.iter().any(|one| one.entity == Entity::Step(from.from)))
        }
        Entity::Joint(_) => own.iter().any(|part| is_in(done, other, part)),
        _ => false,
    });
    let mut all: Vec<Entity> = own
        .iter()
        .copied()
        .chain(derived)
        .map(|other| other.entity)
        .collect();
    all.dedup();
    all
}

fn edits(done: &Compilation, known: &Declared, new: &str) -> Result<Vec<Edit>, String> {
    let (names, sources) = (&done.names, &done.sources);
    let old = sources.text(known.at);
    let entities = family(done, known);
    let mut places: BTreeSet<Span> = BTreeSet::new();
    for &entity in &entities {
        places.extend(names.mentions_of(entity).map(|mention| mention.at));
    }
    places.remove(&known.at);
    let mut edits = vec![Edit {
        span: known.at,
        text: new.to_owned(),
    }];
    for at in places {
        let text = sources.text(at);
        let rest = text
            .strip_prefix(old)
            .filter(|rest| rest.is_empty() || rest.starts_with('-'));
        let text = match rest {
            Some(rest) => format!("{new}{rest}"),
            None if is_plural(text, old) => plural(new),
            None => {
                return Err(format!(
                    "`{text}` at {} cannot be renamed with it.",
                    sources.place(at)
                ));
            }
        };
        edits.push(Edit { span: at, text });
    }
    Ok(edits)
}

fn is_plural(text: &str, name: &str) -> bool {
    let stems = [text.strip_suffix('s'), text.strip_suffix("es")];
    stems.contains(&Some(name))
        || text
            .strip_suffix("ies")
            .is_some_and(|stem| format!("{stem}y") == name)
}

fn plural(name: &str) -> String {
    if name.ends_with(['s', 'x', 'z']) || name.ends_with("ch") || name.ends_with("sh") {
        return format!("{name}es");
    }
    match name.strip_suffix('y') {
        Some(stem) if !stem.ends_with(['a', 'e', 'i', 'o', 'u']) => format!("{stem}ies"),
        _ => format!("{name}s"),
    }
}

/// `was OLD` behind the header of a step or a joint, where its block does not say an older name already.
fn said_before(desk: Desk<'_>, known: &Declared, old: &str) -> Option<Edit> {
    if !matches!(known.entity, Entity::Step(_) | Entity::Joint(_)) {
        return None;
    }
    let file = desk.done.sources.get(known.at.source)?;
    let tree = desk.trees.get(known.at.source.0 as usize)?;
    let around = Around::at(file, tree, known.at.start)?;
    let says = |statement| {
        around
            .shape(statement)
            .is_some_and(|(shape, _)| shape.keyword == Keyword::Was)
    };
    if around.body().iter().any(says) {
        return None;
    }
    let header = tree.statements(around.block).first()?;
    Some(Edit {
        span: Span::new(known.at.source, header.end, header.end),
        text: format!("; was {old}"),
    })
}

/// With the edits every name stands for what it stood for, and nothing new is wrong.
fn same_meaning(desk: Desk<'_>, edits: &[Edit]) -> Result<(), String> {
    let done = desk.done;
    let sources = Sources::new(with_edits(&done.sources, edits));
    let touched: BTreeSet<SourceId> = edits.iter().map(|edit| edit.span.source).collect();
    let trees: Vec<Tree> = sources
        .iter()
        .zip(desk.trees)
        .map(|((id, source), tree)| {
            if touched.contains(&id) {
                grammar::parse(source.text())
            } else {
                tree.clone()
            }
        })
        .collect();
    let (before, slips_before) = compile::named(&done.sources, desk.trees);
    let (after, slips_after) = compile::named(&sources, &trees);
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    for finding in slips_before.into_iter().filter_map(rules::told) {
        *known.entry(finding.rule.name.to_owned()).or_default() += 1;
    }
    for finding in slips_after.into_iter().filter_map(rules::told) {
        match known.get_mut(finding.rule.name) {
            Some(count) if *count > 0 => *count -= 1,
            _ => return Err(sentence(&finding)),
        }
    }
    let entities = |names: &Names| -> Vec<Option<Entity>> {
        names.mentions().iter().map(|mention| mention.entity).collect()
    };
    let declared = |names: &Names| -> Vec<Entity> {
        let written = names
            .declared()
            .iter()
            .filter(|known| known.origin != Origin::Derived);
        written.map(|known| known.entity).collect()
    };
    if entities(&before) != entities(&after) || declared(&before) != declared(&after) {
        return Err("With this name another line of the plan would be read otherwise.".to_owned());
    }
    Ok(())
}

/// All sources with edits made. Of edits that overlap only the first one counts.
#[must_use]
pub fn with_edits(sources: &Sources, edits: &[Edit]) -> Vec<Source> {
    sources
        .iter()
        .map(|(id, source)| {
            let mut own: Vec<&Edit> = edits.iter().filter(|edit| edit.span.source == id).collect();
            if own.is_empty() {
                return source.clone();
            }
            own.sort_by_key(|edit| (edit.span.start, edit.span.end));
            let text = source.text();
            let mut whole = String::with_capacity(text.len());
            let mut from = 0;
            for edit in own {
                let (start, end) = (edit.span.start as usize, edit.span.end as usize);
                if start < from {
                    continue;
                }
                whole.push_str(text.get(from..start).unwrap_or_default());
                whole.push_str(&edit.text);
                from = end;
            }
            whole.push_str(text.get(from..).unwrap_or_default());
            Source::new(source.path(), whole, source.is_shared())
        })
        .collect()
}

/// What a finding says, with its mend.
#[must_use]
pub fn sentence(finding: &Finding) -> String {
    let mend = finding.mend.words.trim();
    let ends = if mend.is_empty() || mend.ends_with(['.', '?', '!']) {
        ""
    } else {
        "."
    };
    let gap = if mend.is_empty() { "" } else { " " };
    format!("{}.{gap}{mend}{ends}", finding.what)
}
