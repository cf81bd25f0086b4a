//! What was given, taken apart into blocks and single statements; and its text with names in the place of the paper's numbers.

use super::Entry;
use super::tokens::{Words, words};
use crate::base::source::SourceId;
use crate::syntax::shapes::BlockKind;
use crate::syntax::tree::{Block, Statement, TokenKind, Tree};

/// One thing to enter.
#[derive(Debug, Clone, Copy)]
pub enum Item<'a> {
    Log(Block),
    Block(BlockKind, Block),
    Statement(&'a Statement),
}

pub struct Given<'a> {
    entry: &'a Entry,
    pub tree: &'a Tree,
}

impl<'a> Given<'a> {
    pub fn new(entry: &'a Entry, tree: &'a Tree) -> Self {
        Self { entry, tree }
    }

    pub fn called(&self) -> &'a str {
        &self.entry.called
    }

    pub fn words(&self, statement: &Statement) -> Words<'a> {
        words(SourceId(0), &self.entry.text, self.tree, statement)
    }

    pub fn slice(&self, start: u32, end: u32) -> &'a str {
        self.entry
            .text
            .get(start as usize..end as usize)
            .unwrap_or_default()
    }

    /// `saturday.txt:3`; of one line no number.
    pub fn place(&self, statement: &Statement) -> String {
        let before = self.slice(0, statement.start);
        let lines = before.matches('\n').count();
        if lines == 0 && !self.entry.text.trim_end().contains('\n') {
            self.entry.called.clone()
        } else {
            format!("{}:{}", self.entry.called, lines + 1)
        }
    }

    /// Blocks by the kinds that the language has; whatever opens none is a statement, and so is all that stands with it.
    pub fn items(&self) -> Result<Vec<Item<'a>>, String> {
        let mut all: Vec<Item<'a>> = self.tree.strays().iter().map(Item::Statement).collect();
        for &block in self.tree.blocks() {
            let statements = self.tree.statements(block);
            let Some(header) = statements.first() else {
                continue;
            };
            let head = self.words(header);
            let named = head.kind(1).is_some_and(|kind| kind == TokenKind::Name);
            match BlockKind::of_word(head.text(0)) {
                Some(BlockKind::Log) => all.push(Item::Log(block)),
                Some(kind) if named || kind == BlockKind::Accept => all.push(Item::Block(kind, block)),
                Some(kind) => {
                    return Err(format!(
                        "{}: write a name after `{}`: {}",
                        self.place(header),
                        kind.word(),
                        kind.form()
                    ));
                }
                None => all.extend(statements.iter().map(Item::Statement)),
            }
        }
        Ok(all)
    }

    /// The days on which logs of it say that something was done, or was stopped.
    pub fn days(&self) -> Vec<String> {
        let mut all = Vec::new();
        for &block in self.tree.blocks() {
            let Some((header, body)) = self.tree.statements(block).split_first() else {
                continue;
            };
            if self.words(header).text(0) != BlockKind::Log.word() {
                continue;
            }
            for statement in body {
                let own = self.words(statement);
                if own.kind(1) == Some(TokenKind::Date) && (own.begins("done") || own.begins("stopped")) {
                    all.push(own.text(1).to_owned());
                }
            }
        }
        all
    }

    /// The text of a block, with the comments over it and in it, and those on its last line.
    pub fn block_text(&self, block: Block) -> String {
        let (start, end) = self.block_range(block);
        self.slice(start, end).trim_matches(['\r', '\n']).to_owned()
    }

    /// The comments over a block and in it.
    pub fn comments(&self, block: Block) -> Vec<&'a str> {
        let (from, to) = self.block_range(block);
        let mut at = from;
        let mut all = Vec::new();
        let mut gap = |start: u32, end: u32| {
            all.extend(
                self.slice(start, end)
                    .lines()
                    .filter_map(|line| Some(line.get(line.find('#')?..)?.trim())),
            );
        };
        for statement in self.tree.statements(block) {
            for token in self.tree.tokens(statement) {
                gap(at, token.start());
                at = token.end();
            }
            at = at.max(statement.end);
        }
        gap(at, to.max(at));
        all
    }

    /// Behind the line that this is on.
    fn line_end(&self, end: u32) -> u32 {
        let rest = self.entry.text.get(end as usize..).unwrap_or_default();
        let line = rest.find('\n').map_or(rest.len(), |at| at + 1);
        end + u32::try_from(line).unwrap_or(0)
    }

    /// What is written behind a statement, on its line.
    #[must_use]
    pub fn comment_behind(&self, statement: &Statement) -> Option<&'a str> {
        let line = self.slice(statement.end, self.line_end(statement.end));
        Some(line.get(line.find('#')?..)?.trim())
    }

    /// From behind the block before it to the end of its own last line; to the end of the text for the last one.
    pub fn block_range(&self, block: Block) -> (u32, u32) {
        let end_of =
            |block: Block| self.line_end(self.tree.statements(block).last().map_or(0, |last| last.end));
        let blocks = self.tree.blocks();
        let nth = blocks.iter().position(|other| *other == block).unwrap_or(0);
        let start = match nth.checked_sub(1).and_then(|before| blocks.get(before)) {
            Some(before) => end_of(*before),
            // What stands before the first block is entered by itself.
            None => self
                .tree
                .strays()
                .last()
                .map_or(0, |stray| self.line_end(stray.end)),
        };
        let end = if nth + 1 == blocks.len() {
            u32::try_from(self.entry.text.len()).unwrap_or(u32::MAX)
        } else {
            end_of(block)
        };
        (start, end)
    }
}
