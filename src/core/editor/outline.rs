//! A file at a glance: its blocks, steps below their stage; and what may be folded away.

use super::spot::Around;
use crate::base::source::{Source, SourceId, Span};
use crate::syntax::shapes::BlockKind;
use crate::syntax::tree::{TokenKind, Tree};

/// One line of the outline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outlined {
    /// For the sign that an editor shows beside it.
    pub kind: BlockKind,
    /// The name; of a block without one what stands behind its word.
    pub name: String,
    /// The title, or the two ends of a joint.
    pub about: String,
    /// Header to last statement.
    pub block: Span,
    /// Where the name stands.
    pub at: Span,
    /// Steps below a stage; of other blocks nothing.
    pub below: Vec<Outlined>,
}

/// The blocks of a file, in their order.
#[must_use]
pub fn outline(file: &Source, tree: &Tree, source: SourceId) -> Vec<Outlined> {
    let mut all: Vec<Outlined> = Vec::new();
    for nth in 0..tree.blocks().len() {
        let Some(around) = Around::nth(file, tree, nth) else {
            continue;
        };
        let Some(one) = one(around, source) else { continue };
        match all.last_mut() {
            Some(stage) if one.kind == BlockKind::Step && stage.kind == BlockKind::Stage => {
                // A stage reaches as far as its last step, so that a fold of it takes them along.
                stage.block = stage.block.to(one.block);
                stage.below.push(one);
            }
            _ => all.push(one),
        }
    }
    all
}

fn one(around: Around<'_>, source: SourceId) -> Option<Outlined> {
    let kind = around.kind?;
    let header = around.tree.statements(around.block).first()?;
    let tokens = around.tree.tokens(header);
    let name = tokens.get(1)?;
    let title = tokens.iter().find(|token| token.kind() == TokenKind::Text);
    let rest = |from: u32| around.file.slice(from, header.end).trim().to_owned();
    let (shown, about) = match kind {
        BlockKind::Parts | BlockKind::Log | BlockKind::Accept => (rest(name.start()), String::new()),
        BlockKind::Joint => (
            around.text(*name).to_owned(),
            tokens.get(2).map_or_else(String::new, |colon| rest(colon.end())),
        ),
        _ => (
            around.text(*name).to_owned(),
            title.map_or_else(String::new, |title| {
                around.text(*title).trim_matches('"').to_owned()
            }),
        ),
    };
    Some(Outlined {
        kind,
        name: shown,
        about,
        block: around.tree.span(source, around.block),
        at: Span::new(source, name.start(), name.end()),
        below: Vec::new(),
    })
}

/// Blocks, and notes of several lines: first and last line of each, from 0.
#[must_use]
pub fn folds(file: &Source, tree: &Tree, source: SourceId) -> Vec<(usize, usize)> {
    let mut all = Vec::new();
    let mut add = |start: u32, end: u32| {
        let (first, last) = (file.line_of(start), file.line_of(end));
        if last > first {
            all.push((first, last));
        }
    };
    for one in outline(file, tree, source) {
        add(one.block.start, one.block.end);
        for step in one.below {
            add(step.block.start, step.block.end);
        }
    }
    let statements = tree.blocks().iter().flat_map(|&block| tree.statements(block));
    for note in statements.filter(|statement| statement.is_note) {
        add(note.start, note.end);
    }
    all.sort_unstable();
    all.dedup();
    all
}
