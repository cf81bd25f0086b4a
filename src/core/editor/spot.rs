//! Where a byte lies: in which block, which statement, behind which words of it. Goes by the tree alone.

use crate::base::source::{Source, SourceId, Span};
use crate::syntax::shapes::{self, BlockKind, Shape};
use crate::syntax::tree::{Block, Statement, Token, TokenKind, Tree};

/// A block around a place.
#[derive(Debug, Clone, Copy)]
pub struct Around<'a> {
    pub file: &'a Source,
    pub tree: &'a Tree,
    pub block: Block,
    /// Its place among the file's blocks.
    pub nth: usize,
    /// None where its first word opens no block.
    pub kind: Option<BlockKind>,
}

impl<'a> Around<'a> {
    /// The block that a byte lies in or behind; none above the first one.
    #[must_use]
    pub fn at(file: &'a Source, tree: &'a Tree, at: u32) -> Option<Self> {
        let start = |block: &Block| tree.statements(*block).first().map_or(0, |header| header.start);
        let behind = tree.blocks().partition_point(|block| start(block) <= at);
        Self::nth(file, tree, behind.checked_sub(1)?)
    }

    #[must_use]
    pub fn nth(file: &'a Source, tree: &'a Tree, nth: usize) -> Option<Self> {
        let block = *tree.blocks().get(nth)?;
        let mut around = Self {
            file,
            tree,
            block,
            nth,
            kind: None,
        };
        let header = tree.statements(block).first()?;
        around.kind = BlockKind::of_word(around.word(header, 0));
        Some(around)
    }

    /// The name on its header.
    #[must_use]
    pub fn name(&self) -> &'a str {
        let header = self.tree.statements(self.block).first();
        header.map_or("", |header| self.word(header, 1))
    }

    /// A word of a statement; empty behind its end.
    #[must_use]
    pub fn word(&self, statement: &Statement, nth: usize) -> &'a str {
        let tokens = self.tree.tokens(statement);
        tokens.get(nth).map_or("", |token| self.text(*token))
    }

    #[must_use]
    pub fn text(&self, token: Token) -> &'a str {
        self.file.slice(token.start(), token.end())
    }

    /// The statements below its header.
    #[must_use]
    pub fn body(&self) -> &'a [Statement] {
        self.tree.statements(self.block).get(1..).unwrap_or_default()
    }

    /// The shape of a statement of this block, and how many words its keyword has.
    #[must_use]
    pub fn shape(&self, statement: &Statement) -> Option<(&'static Shape, usize)> {
        if statement.is_note {
            return None;
        }
        let tokens = self.tree.tokens(statement);
        let word = |nth: usize| {
            let token = tokens.get(nth).filter(|token| token.kind() != TokenKind::Text)?;
            Some(self.text(*token))
        };
        shapes::find(self.kind?, word(0)?, word)
    }

    /// The statement that a byte lies in, or stands behind on the same line with nothing but spaces between; whether it is the header.
    #[must_use]
    pub fn statement(&self, at: u32) -> Option<(&'a Statement, bool)> {
        let all = self.tree.statements(self.block);
        let behind = all.partition_point(|statement| statement.start <= at);
        let nth = behind.checked_sub(1)?;
        let found = all.get(nth)?;
        let gap = self.file.slice(found.end.min(at), at);
        let within = at <= found.end || gap.chars().all(|c| matches!(c, ' ' | '\t'));
        within.then_some((found, nth == 0))
    }
}

/// The token that a byte touches, of any statement of a file.
#[must_use]
pub fn token(tree: &Tree, file: &Source, at: u32) -> Option<Token> {
    let around = Around::at(file, tree, at)?;
    let (statement, _) = around.statement(at)?;
    let mut tokens = tree.tokens(statement).iter();
    tokens
        .find(|token| (token.start()..=token.end()).contains(&at))
        .copied()
}

/// Letters of a name around a byte.
#[must_use]
pub fn word(file: &Source, source: SourceId, at: u32) -> Span {
    let belongs = |c: char| c.is_alphanumeric() || matches!(c, '-' | '.' | '/' | '_');
    let line = file.line_of(at);
    let (from, to) = file.line_range(line);
    let at = at.clamp(from, to);
    let length = |text: usize| u32::try_from(text).unwrap_or(0);
    let before = file.slice(from, at);
    let kept = before.trim_end_matches(belongs).len();
    let behind = file.slice(at, to);
    let rest = behind.trim_start_matches(belongs).len();
    Span::new(source, from + length(kept), to - length(rest))
}
