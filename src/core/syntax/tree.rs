//! The tree of one file: blocks, their statements, their tokens. Between tokens lie only gaps, semicolons,
//! comments and line ends, so text and tree together lose nothing. Kept small: a plan may hold a million tokens.

use crate::base::source::{SourceId, Span};

/// What a token is, by its spelling alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TokenKind {
    /// `"in quotes"`
    Text,
    /// A quote that its line never closes.
    OpenText,
    /// `2026-03-07`, whether there is such a day or not.
    Date,
    /// Digits with a point, `12.4`.
    Number,
    /// `+-` or `±`
    Give,
    /// Lower-case words with hyphens; keywords too.
    Name,
    /// `,`: more of a list follows.
    Comma,
    /// `:`: what a joint ties follows.
    Colon,
    /// What opens a remark in brackets.
    Open,
    /// What closes it.
    Close,
    /// Any other run: `M10x1.25`, `kg/l`, `III`.
    Word,
    /// One line of a note.
    NoteText,
    /// A character that belongs to nothing.
    Odd,
}

/// Start, and length with kind in one number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    start: u32,
    packed: u32,
}

impl Token {
    const KIND_BITS: u32 = 4;

    /// From `start` up to, and without, `end`.
    #[must_use]
    pub fn new(kind: TokenKind, start: u32, end: u32) -> Self {
        // 28 bits of length: a longer token is cut, which only a text of 268 million characters would notice.
        let len = end.saturating_sub(start).min(u32::MAX >> Self::KIND_BITS);
        Self {
            start,
            packed: len << Self::KIND_BITS | kind as u32,
        }
    }

    /// What it is, by its spelling alone.
    #[must_use]
    pub fn kind(self) -> TokenKind {
        match self.packed & 0xf {
            0 => TokenKind::Text,
            1 => TokenKind::OpenText,
            2 => TokenKind::Date,
            3 => TokenKind::Number,
            4 => TokenKind::Give,
            5 => TokenKind::Name,
            6 => TokenKind::Comma,
            7 => TokenKind::Colon,
            8 => TokenKind::Open,
            9 => TokenKind::Close,
            10 => TokenKind::Word,
            11 => TokenKind::NoteText,
            _ => TokenKind::Odd,
        }
    }

    /// First byte.
    #[must_use]
    pub fn start(self) -> u32 {
        self.start
    }

    /// The byte behind the last.
    #[must_use]
    pub fn end(self) -> u32 {
        self.start + (self.packed >> Self::KIND_BITS)
    }
}

/// One statement: a run of tokens. A note's tokens are its lines of text; its keyword is no token.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Statement {
    /// First byte.
    pub start: u32,
    /// The byte behind the last.
    pub end: u32,
    first_token: u32,
    end_token: u32,
    /// Its tokens are lines of text.
    pub is_note: bool,
}

/// A block: the statement at the left edge, and those that belong to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Block {
    first: u32,
    end: u32,
}

/// The tree of one source.
#[derive(Debug, Clone, Default)]
pub struct Tree {
    blocks: Vec<Block>,
    statements: Vec<Statement>,
    tokens: Vec<Token>,
    /// Statements before the first block: they belong to nothing.
    stray_end: u32,
}

fn range(start: u32, end: u32) -> std::ops::Range<usize> {
    start as usize..end as usize
}

impl Tree {
    /// In the order of the text.
    #[must_use]
    pub fn blocks(&self) -> &[Block] {
        &self.blocks
    }

    /// A block's statements; the first is its header.
    #[must_use]
    pub fn statements(&self, block: Block) -> &[Statement] {
        self.statements
            .get(range(block.first, block.end))
            .unwrap_or_default()
    }

    /// Indented statements that no block stands above.
    #[must_use]
    pub fn strays(&self) -> &[Statement] {
        self.statements.get(range(0, self.stray_end)).unwrap_or_default()
    }

    /// In the order of the text.
    #[must_use]
    pub fn tokens(&self, statement: &Statement) -> &[Token] {
        self.tokens
            .get(range(statement.first_token, statement.end_token))
            .unwrap_or_default()
    }

    /// From the header's first byte to the last statement's last.
    #[must_use]
    pub fn span(&self, source: SourceId, block: Block) -> Span {
        let statements = self.statements(block);
        let (first, last) = (statements.first(), statements.last());
        Span::new(source, first.map_or(0, |s| s.start), last.map_or(0, |s| s.end))
    }

    /// Of the whole text.
    #[must_use]
    pub fn token_count(&self) -> usize {
        self.tokens.len()
    }

    /// Opens a statement; tokens pushed from here on are its own.
    pub(super) fn push_statement(&mut self, start: u32, end: u32, at_edge: bool, is_note: bool) {
        let at = count(self.tokens.len());
        self.statements.push(Statement {
            start,
            end,
            first_token: at,
            end_token: at,
            is_note,
        });
        let index = count(self.statements.len());
        if at_edge {
            self.blocks.push(Block {
                first: index - 1,
                end: index,
            });
        } else if let Some(block) = self.blocks.last_mut() {
            block.end = index;
        } else {
            self.stray_end = index;
        }
    }

    pub(super) fn push_token(&mut self, token: Token) {
        self.tokens.push(token);
        if let Some(statement) = self.statements.last_mut() {
            statement.end_token = count(self.tokens.len());
        }
    }

    /// Appends the tree of the text that follows this one's. Statements without a block in `next` belong to the
    /// last block here.
    pub(super) fn append(&mut self, next: Tree) {
        let (tokens, statements) = (count(self.tokens.len()), count(self.statements.len()));
        if next.stray_end > 0 {
            match self.blocks.last_mut() {
                Some(block) => block.end += next.stray_end,
                None => self.stray_end += next.stray_end,
            }
        }
        self.tokens.extend(next.tokens);
        self.statements
            .extend(next.statements.into_iter().map(|statement| Statement {
                first_token: statement.first_token + tokens,
                end_token: statement.end_token + tokens,
                ..statement
            }));
        self.blocks.extend(next.blocks.into_iter().map(|block| Block {
            first: block.first + statements,
            end: block.end + statements,
        }));
    }

    /// Gives back room that growing the lists left over.
    pub(super) fn fit(&mut self) {
        self.tokens.shrink_to_fit();
        self.statements.shrink_to_fit();
        self.blocks.shrink_to_fit();
    }
}

fn count(len: usize) -> u32 {
    // Fewer than 2^32, since each token and statement has a byte of its own in a text of fewer bytes.
    u32::try_from(len).unwrap_or(u32::MAX)
}
