//! Walks over the tokens of one statement. Reads spelling, not meaning.

use super::tree::{Statement, Token, TokenKind, Tree};
use crate::base::source::{SourceId, Span};

/// A place in a statement's tokens.
#[derive(Debug, Clone)]
pub struct Cursor<'a> {
    source: SourceId,
    text: &'a str,
    tokens: &'a [Token],
    next: usize,
    statement: Span,
}

impl<'a> Cursor<'a> {
    #[must_use]
    pub fn new(source: SourceId, text: &'a str, tree: &'a Tree, statement: &Statement) -> Self {
        Self {
            source,
            text,
            tokens: tree.tokens(statement),
            next: 0,
            statement: Span::new(source, statement.start, statement.end),
        }
    }

    /// The whole statement.
    #[must_use]
    pub fn statement(&self) -> Span {
        self.statement
    }

    #[must_use]
    pub fn source(&self) -> SourceId {
        self.source
    }

    fn token(&self, ahead: usize) -> Option<Token> {
        self.tokens.get(self.next + ahead).copied()
    }

    fn slice(&self, token: Token) -> &'a str {
        // It may go on over line ends and comments, which are no part of the word.
        if token.kind() == TokenKind::Comma {
            return ",";
        }
        self.text
            .get(token.start() as usize..token.end() as usize)
            .unwrap_or("")
    }

    #[must_use]
    pub fn at_end(&self) -> bool {
        self.next >= self.tokens.len()
    }

    #[must_use]
    pub fn kind(&self) -> Option<TokenKind> {
        self.token(0).map(Token::kind)
    }

    #[must_use]
    pub fn kind_ahead(&self, ahead: usize) -> Option<TokenKind> {
        self.token(ahead).map(Token::kind)
    }

    /// The next token's text; empty at the end.
    #[must_use]
    pub fn peek(&self) -> &'a str {
        self.peek_ahead(0)
    }

    #[must_use]
    pub fn peek_ahead(&self, ahead: usize) -> &'a str {
        self.token(ahead).map_or("", |token| self.slice(token))
    }

    /// Place of the next token; the statement's end where there is none.
    #[must_use]
    pub fn here(&self) -> Span {
        self.token(0)
            .map_or(self.statement.after(), |token| self.span(token))
    }

    /// Place of the token just taken.
    #[must_use]
    pub fn last(&self) -> Span {
        let before = self.next.checked_sub(1).and_then(|at| self.tokens.get(at));
        before.map_or(self.statement, |&token| self.span(token))
    }

    /// All that is still to come.
    #[must_use]
    pub fn rest(&self) -> Span {
        Span::new(self.source, self.here().start, self.statement.end)
    }

    fn span(&self, token: Token) -> Span {
        Span::new(self.source, token.start(), token.end())
    }

    /// Takes the next token, whatever it is.
    pub fn take(&mut self) -> Option<(TokenKind, &'a str, Span)> {
        let token = self.token(0)?;
        self.next += 1;
        Some((token.kind(), self.slice(token), self.span(token)))
    }

    pub fn skip(&mut self, count: usize) {
        self.next = (self.next + count).min(self.tokens.len());
    }

    /// The next so many tokens, as a statement of their own.
    #[must_use]
    pub fn piece(&self, count: usize) -> Self {
        let end = (self.next + count).min(self.tokens.len());
        let tokens = self.tokens.get(self.next..end).unwrap_or_default();
        let here = self.here();
        let last = tokens.last().map_or(here.start, |token| token.end());
        Self {
            tokens,
            next: 0,
            statement: Span::new(self.source, here.start, last),
            ..*self
        }
    }

    /// Takes these words, parted by spaces, if they stand next. Quoted text is no word.
    pub fn eat(&mut self, words: &str) -> Option<Span> {
        let mut ahead = 0;
        for word in words.split(' ') {
            if self.peek_ahead(ahead) != word || self.kind_ahead(ahead) == Some(TokenKind::Text) {
                return None;
            }
            ahead += 1;
        }
        let first = self.here();
        self.next += ahead;
        Some(first.to(self.last()))
    }

    #[must_use]
    pub fn sees(&self, words: &str) -> bool {
        self.clone().eat(words).is_some()
    }

    pub fn eat_kind(&mut self, kind: TokenKind) -> Option<Span> {
        (self.kind() == Some(kind)).then(|| {
            self.next += 1;
            self.last()
        })
    }

    pub fn comma(&mut self) -> bool {
        self.eat_kind(TokenKind::Comma).is_some()
    }

    /// A text in quotes, without them.
    pub fn text(&mut self) -> Option<(&'a str, Span)> {
        let token = self.token(0).filter(|token| token.kind() == TokenKind::Text)?;
        self.next += 1;
        let inner = self.slice(token);
        let inner = inner
            .strip_prefix(QUOTES)
            .and_then(|s| s.strip_suffix(QUOTES))
            .unwrap_or(inner);
        Some((inner, self.span(token)))
    }

    pub fn name(&mut self) -> Option<(&'a str, Span)> {
        let token = self.token(0).filter(|token| token.kind() == TokenKind::Name)?;
        self.next += 1;
        Some((self.slice(token), self.span(token)))
    }

    /// The next token together with those that touch it, but commas, colons and brackets: `3/8-16`, `A2-70`.
    pub fn glued(&mut self) -> Option<(&'a str, Span)> {
        let first = self.token(0).filter(|token| !is_mark(token.kind()))?;
        self.next += 1;
        let mut end = first.end();
        while let Some(token) = self.token(0).filter(|t| t.start() == end && !is_mark(t.kind())) {
            end = token.end();
            self.next += 1;
        }
        let text = self.text.get(first.start() as usize..end as usize).unwrap_or("");
        Some((text, Span::new(self.source, first.start(), end)))
    }

    /// Tokens of a note: its lines.
    pub fn lines(&self) -> impl Iterator<Item = (&'a str, Span)> + '_ {
        self.tokens
            .iter()
            .map(|&token| (self.slice(token), self.span(token)))
    }
}

/// What a text may stand in.
const QUOTES: [char; 4] = ['"', '“', '”', '„'];

fn is_mark(kind: TokenKind) -> bool {
    matches!(
        kind,
        TokenKind::Comma | TokenKind::Colon | TokenKind::Open | TokenKind::Close | TokenKind::Text
    )
}
