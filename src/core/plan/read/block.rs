//! What the readers of all kinds of block share: going through the statements, `same as`, notes, figures.

use super::super::declare::Declared;
use super::super::model::{DriveKind, Figure, Head, JointKind, Note, Said, Text};
use super::super::named::Mention;
use super::super::plan_error::{FigureFault, NoteFault, PlanError};
use super::super::scope::{Entity, Scope, Tag};
use super::super::vocabulary::other_words::{own_word, read_as};
use super::names::Want;
use crate::base::picture::{PictureFile, PictureFound, Pictures};
use crate::base::source::{Source, Span};
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{self, BlockKind, Keyword, Often, Shape};
use crate::syntax::tree::{Statement, TokenKind};

/// A statement that could not be read: why, for the caller to note.
pub type Read<T> = Result<T, Box<PlanError>>;

/// What every reader looks up.
#[derive(Clone, Copy)]
pub struct World<'a> {
    pub scope: &'a Scope,
    pub blocks: &'a [Declared<'a>],
    pub pictures: &'a dyn Pictures,
    /// Whether a note is refused, by the house's reader of CommonMark.
    pub judge_note: fn(&str) -> Option<NoteFault>,
}

/// Reads one block for one of its sides.
pub struct Reader<'a> {
    pub world: World<'a>,
    pub block: &'a Declared<'a>,
    pub tag: Option<Tag>,
    pub slips: Vec<PlanError>,
    pub mentions: Vec<Mention>,
    pub found_pictures: Vec<PictureFile>,
    /// Slips of statements that another block made are told there.
    inherited: bool,
    notes: Vec<Note>,
}

impl<'a> Reader<'a> {
    #[must_use]
    pub fn new(world: World<'a>, block: &'a Declared<'a>, tag: Option<Tag>) -> Self {
        Self {
            world,
            block,
            tag,
            slips: Vec::new(),
            mentions: Vec::new(),
            found_pictures: Vec::new(),
            inherited: false,
            notes: Vec::new(),
        }
    }

    pub fn slip(&mut self, slip: PlanError) {
        if !self.inherited {
            self.slips.push(slip);
        }
    }

    /// Keeps a place that names something. One that another block wrote is kept there.
    pub fn mention(&mut self, at: Span, entity: Option<Entity>, want: Want) {
        if !self.inherited {
            self.mentions.push(Mention { at, entity, want });
        }
    }

    /// The same for a name that is looked up for itself: of a sided block all of its members.
    pub fn mention_known(&mut self, name: &str, at: Span) {
        let scope = self.world.scope;
        if let Some(entry) = scope.entry(name) {
            self.mention(at, Some(entry.entity), Want::Anything);
        } else if scope.is_family(name) {
            for member in scope.members(name) {
                self.mention(at, Some(member.entity), Want::Anything);
            }
        } else {
            self.mention(at, None, Want::Anything);
        }
    }

    /// Notes the slip where there is one.
    pub fn settle<T>(&mut self, read: Read<T>) -> Option<T> {
        read.map_err(|slip| self.slip(*slip)).ok()
    }

    /// Name and title of this member.
    #[must_use]
    pub fn head(&self) -> Head {
        let block = self.block;
        let (name, title): (Text, Option<Text>) = match &self.tag {
            None => (block.name.into(), block.title.map(Into::into)),
            Some(tag) => (
                format!("{}-{}", block.name, tag.text).into(),
                block
                    .title
                    .map(|title| format!("{title}, {}", tag.spoken()).into()),
            ),
        };
        Head {
            name,
            at: block.at,
            title,
            block: block.span(),
            notes: Vec::new(),
            was: None,
            shared: block.file.is_shared(),
        }
    }

    /// The notes that the statements held.
    pub fn take_notes(&mut self) -> Vec<Note> {
        std::mem::take(&mut self.notes)
    }

    /// What is read now is taken from the block that this one says it is like.
    pub fn is_inherited(&self) -> bool {
        self.inherited
    }

    /// Goes through the block's statements, then through those that `same as` lends, and hands each to `read`.
    /// `read` takes what it understands from the cursor; what is left over is a slip.
    pub fn statements(
        &mut self,
        read: &mut dyn FnMut(&mut Self, &'static Shape, &mut Cursor<'a>) -> Read<()>,
    ) {
        self.statements_and_notes(read, &mut |_| {});
    }

    /// As [`Self::statements`]; `between` is called after each note, to take it to its place among the statements.
    pub fn statements_and_notes(
        &mut self,
        read: &mut dyn FnMut(&mut Self, &'static Shape, &mut Cursor<'a>) -> Read<()>,
        between: &mut dyn FnMut(&mut Self),
    ) {
        let block = self.block;
        let mut made: Vec<(Keyword, Span)> = Vec::new();
        let mut lender = None;
        for statement in block.body() {
            let Some((shape, mut cursor)) = self.shape(block, statement) else {
                between(self);
                continue;
            };
            if let Some(&(_, first)) = made.iter().find(|(keyword, _)| *keyword == shape.keyword)
                && shape.often == Often::Once
            {
                let at = cursor.statement();
                self.slip(PlanError::SaidTwice {
                    at,
                    first,
                    words: shape.words.to_owned(),
                });
                continue;
            }
            made.push((shape.keyword, cursor.statement()));
            let done = if shape.keyword == Keyword::SameAs {
                self.lender(&mut cursor).map(|found| lender = found)
            } else {
                read(self, shape, &mut cursor)
            };
            let done = done.and_then(|()| self.finish(&cursor, shape));
            self.settle(done);
        }
        let mut made: Vec<Keyword> = made.into_iter().map(|(keyword, _)| keyword).collect();
        let mut steps = 0;
        while let Some(from) = lender
            .take()
            .and_then(|place: usize| self.world.blocks.get(place))
        {
            // A ring is told elsewhere; here it only has to end.
            steps += 1;
            if steps > 64 {
                break;
            }
            self.inherited = true;
            let mut borrowed = Vec::new();
            let lent: Vec<_> = if from.kind == self.block.kind {
                let statements = from.body().iter().filter(|s| !s.is_note);
                statements
                    .filter_map(|statement| self.shape(from, statement))
                    .collect()
            } else {
                super::joints::fixed_pieces(from)
            };
            for (shape, mut cursor) in lent {
                if shape.keyword == Keyword::SameAs {
                    lender = self.lender(&mut cursor).ok().flatten();
                    continue;
                }
                let stays_behind = matches!(
                    shape.keyword,
                    Keyword::InPlaceOf
                        | Keyword::Hidden
                        | Keyword::At
                        | Keyword::Figure
                        | Keyword::Gone
                        | Keyword::Was
                        | Keyword::FixedTo
                );
                if stays_behind || made.iter().any(|&own| same_matter(own, shape.keyword)) {
                    continue;
                }
                borrowed.push(shape.keyword);
                // What is wrong with it is told at the lender's own line.
                let _told_there = read(self, shape, &mut cursor);
            }
            made.extend(borrowed);
            self.inherited = false;
        }
    }

    /// The statement's shape, its keyword taken; notes are kept aside.
    fn shape(
        &mut self,
        block: &'a Declared<'a>,
        statement: &Statement,
    ) -> Option<(&'static Shape, Cursor<'a>)> {
        let mut cursor = block.cursor(statement);
        if statement.is_note {
            let note = self.note(&cursor);
            if let Some(note) = note {
                self.notes.push(note);
            }
            return None;
        }
        if cursor.kind() == Some(TokenKind::OpenText) {
            self.slip(PlanError::OpenText { at: cursor.here() });
            return None;
        }
        let probe = cursor.clone();
        let word = |n: usize| (probe.kind_ahead(n) != Some(TokenKind::Text)).then(|| probe.peek_ahead(n));
        let found = shapes::find(block.kind, cursor.peek(), word).or_else(|| read_as(block.kind, word));
        match found {
            Some((shape, used)) => {
                cursor.skip(used);
                Some((shape, cursor))
            }
            None => {
                let slip = unknown_statement(block.kind, &cursor);
                self.slip(slip);
                None
            }
        }
    }

    /// Whatever a reader left in the statement is a slip.
    pub fn finish(&self, cursor: &Cursor<'_>, shape: &Shape) -> Read<()> {
        if cursor.at_end() {
            return Ok(());
        }
        if let Some(slip) = closed_otherwise(self.block.file, cursor) {
            return Err(Box::new(slip));
        }
        Err(Box::new(match cursor.kind() {
            Some(TokenKind::OpenText) => PlanError::OpenText { at: cursor.here() },
            Some(TokenKind::Comma) if cursor.kind_ahead(1).is_none() => {
                PlanError::ListCutShort { at: cursor.here() }
            }
            kind => PlanError::Unreadable {
                at: cursor.rest(),
                expected: left_over(
                    if kind == Some(TokenKind::Name) && shape.form.contains(", ") {
                        "the end of the line, or a comma before the next name"
                    } else {
                        "the end of the line"
                    },
                    self.block.kind,
                    cursor,
                ),
                form: shape.form.to_owned(),
            },
        }))
    }

    /// `was OLD-NAME`: of a block for each side the side goes with it.
    pub fn was(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Text> {
        let (name, _) = cursor
            .name()
            .ok_or_else(|| expected(cursor, "the name that it had", form))?;
        Ok(match &self.tag {
            Some(tag) => format!("{name}-{}", tag.text).into(),
            None => name.into(),
        })
    }

    /// Reads a note, so that what is refused is told; none if it is.
    pub fn note(&mut self, cursor: &Cursor<'a>) -> Option<Note> {
        let at = cursor.statement();
        let text = note_text(self.block.file, cursor);
        if let Some(why) = (self.world.judge_note)(&text) {
            self.slip(PlanError::NoteRefused { at, why });
            return None;
        }
        (!text.trim().is_empty()).then(|| Note {
            text: text.into(),
            at,
        })
    }

    fn lender(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<usize>> {
        let (name, at) = cursor
            .name()
            .ok_or_else(|| expected(cursor, "a name", "same as NAME"))?;
        let scope = self.world.scope;
        let lends = |name: &str| {
            scope
                .block_of(name)
                .and_then(|place| self.world.blocks.get(place).map(|b| (place, b)))
        };
        // A joint that a part says by `fixed to` is lent to joints, and the part itself to parts.
        let in_part = scope.part_of(name).is_some();
        let fits = |lender: &Declared<'_>| match self.block.kind {
            BlockKind::Joint => lender.kind == BlockKind::Joint || in_part,
            kind => lender.kind == kind && !in_part,
        };
        match lends(name) {
            Some((place, lender)) if fits(lender) => {
                if let Some(entry) = scope.entry(name) {
                    scope.mark(entry);
                }
                self.mention_known(name, at);
                Ok(Some(place))
            }
            Some((_, lender)) => Err(Box::new(PlanError::WrongKind {
                name: name.to_owned(),
                at,
                is: super::names::kind_words(if in_part { BlockKind::Joint } else { lender.kind }),
                wanted: super::names::kind_words(self.block.kind),
                declared: lender.at,
            })),
            None => {
                self.mention(at, None, Want::Anything);
                Err(Box::new(self.unknown(name, at, Want::Anything)))
            }
        }
    }

    /// `figure "file" "caption" "what it shows"`.
    pub fn figure(&mut self, cursor: &mut Cursor<'a>) -> Read<Figure> {
        let at = cursor.statement();
        let form = "figure \"file.svg\" \"caption\" \"what it shows\"";
        let (file, file_at) = cursor
            .text()
            .ok_or_else(|| expected(cursor, "a file's name in quotes", form))?;
        let caption = cursor.text().map(|(text, _)| Text::from(text));
        let alt = cursor.text().map(|(text, _)| Text::from(text));
        let missing = |why| PlanError::MissingFigure {
            at: file_at,
            file: file.to_owned(),
            why,
        };
        let key = match self.world.pictures.find(self.block.file.path(), file) {
            PictureFound::Is(picture) => {
                let key = Text::from(picture.key.as_str());
                self.found_pictures.push(picture);
                Some(key)
            }
            PictureFound::Missing => {
                self.slip(missing(FigureFault::Missing));
                None
            }
            PictureFound::Outside => {
                self.slip(missing(FigureFault::Outside));
                None
            }
            PictureFound::NotAPicture(why) => {
                self.slip(missing(FigureFault::NotAPicture(why)));
                None
            }
        };
        Ok(Figure {
            file: Said::new(file.into(), file_at),
            key,
            caption,
            alt,
            at,
        })
    }
}

/// Both say the same matter, so that an own statement keeps the lent one out.
fn same_matter(own: Keyword, lent: Keyword) -> bool {
    own == lent
        || (JointKind::of(own).is_some() && JointKind::of(lent).is_some())
        || (is_first_drive(own) && is_first_drive(lent))
        || (is_fixing(own) && is_fixing(lent))
        || (own == Keyword::Carries && JointKind::of(lent).is_some_and(JointKind::is_line))
}

fn is_fixing(keyword: Keyword) -> bool {
    matches!(
        keyword,
        Keyword::Bolts | Keyword::Studs | Keyword::Nuts | Keyword::Screws
    )
}

/// The nut's drive is one more beside that of the head.
fn is_first_drive(keyword: Keyword) -> bool {
    DriveKind::of(keyword).is_some_and(|kind| kind != DriveKind::NutHead)
}

/// A text that opened with a straight quote, went on over a curly one that was to close it, and ended where the next text opens.
#[must_use]
pub fn closed_otherwise(file: &Source, cursor: &Cursor<'_>) -> Option<PlanError> {
    let last = cursor.last();
    let text = file.slice(last.start, last.end);
    let curly = text.starts_with('"').then(|| text.find(['”', '“'])).flatten()?;
    let sign = text.get(curly..)?.chars().next().filter(|sign| *sign == '”')?;
    let start = last.start + u32::try_from(curly).ok()?;
    Some(PlanError::Otherwise {
        at: Span::new(last.source, start, start + u32::try_from(sign.len_utf8()).ok()?),
        what: "this text opens with a straight quote and closes with a curly one",
        meant: "\"".to_owned(),
    })
}

/// A statement that is not of its form.
#[must_use]
pub fn expected(cursor: &Cursor<'_>, what: &str, form: &str) -> Box<PlanError> {
    Box::new(match cursor.kind() {
        Some(TokenKind::OpenText) => PlanError::OpenText { at: cursor.here() },
        _ => PlanError::Unreadable {
            at: cursor.here(),
            expected: what.to_owned(),
            form: form.to_owned(),
        },
    })
}

fn unknown_statement(kind: BlockKind, cursor: &Cursor<'_>) -> PlanError {
    let word = cursor.peek();
    if BlockKind::of_word(word).is_some() {
        return PlanError::Unreadable {
            at: cursor.here(),
            expected: format!("`{word}` at the left edge, where it opens a block"),
            form: String::new(),
        };
    }
    if let Some(own) = own_word(kind, word) {
        let what = match kind {
            BlockKind::Step => "an act by its own word; ".to_owned(),
            _ => format!("a statement of {} block by its own word; ", kind.with_article()),
        };
        return PlanError::Unreadable {
            at: cursor.here(),
            expected: format!("{what}for `{word}` write {own}"),
            form: String::new(),
        };
    }
    let near =
        |shape: &&'static Shape| strsim::osa_distance(shape.words.split(' ').next().unwrap_or(""), word);
    let nearest = shapes::of_block(kind)
        .min_by_key(near)
        .filter(|shape| near(shape) <= (word.chars().count() / 3).max(1));
    let elsewhere = || {
        let shape = shapes::SHAPES
            .iter()
            .find(|shape| shape.words.split(' ').next() == Some(word))?;
        shape
            .blocks
            .first()
            .map(|block| format!("`{}` stands in {} block", shape.words, block.with_article()))
    };
    let at = cursor.here();
    let expected = format!("a statement of {} block", kind.with_article());
    match nearest {
        Some(shape) => {
            let mut words: Vec<&str> = Vec::new();
            let as_near = shapes::of_block(kind).filter(|other| near(other) == near(&shape));
            for word in std::iter::once(shape)
                .chain(as_near)
                .filter_map(|shape| shape.words.split(' ').next())
            {
                if !words.contains(&word) {
                    words.push(word);
                }
            }
            PlanError::Misspelt {
                at,
                block: kind,
                shape,
                words,
            }
        }
        None => PlanError::UnknownStatement {
            at,
            expected: elsewhere().map_or(expected.clone(), |words| format!("{expected}; {words}")),
            block: kind,
            near: fitting(kind, cursor),
        },
    }
}

/// Names that are told where none is meant for sure.
const NEAREST: usize = 5;

/// Of many words those that are spelt most like this one, nearest first, at most five.
pub fn nearest<'w>(word: &str, all: impl Iterator<Item = &'w str>) -> Vec<&'w str> {
    let word = word.to_lowercase();
    let far = |other: &str| -> usize {
        // Of several words the one that is nearest, and what they share at the beginning.
        let apart = other.split(' ').map(|one| strsim::osa_distance(one, &word)).min();
        let alike = other
            .chars()
            .zip(word.chars())
            .take_while(|(a, b)| a == b)
            .count();
        (apart.unwrap_or(usize::MAX) * 2).saturating_sub(alike)
    };
    let mut all: Vec<&str> = all.collect();
    // What is as far stays in the order of the list.
    all.sort_by_key(|other| far(other));
    all.truncate(NEAREST);
    all
}

/// "`a`, `b` or `c`".
#[must_use]
pub fn quoted(words: &[&str], joining: &str) -> String {
    let all: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match all.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} {joining} {last}", rest.join(", ")),
    }
}

/// The statements of a block that take what stands behind the word, nearest in spelling first; filled up with others that are spelt like it.
fn fitting(kind: BlockKind, cursor: &Cursor<'_>) -> Vec<&'static str> {
    let takes = |shape: &&'static Shape| {
        let wants = shape
            .form
            .get(shape.words.len()..)
            .unwrap_or_default()
            .trim_start();
        let first = wants.chars().next();
        match cursor.kind_ahead(1) {
            None => first.is_none_or(|c| c == ','),
            Some(TokenKind::Number) => first.is_some_and(|c| c.is_ascii_digit()),
            Some(TokenKind::Text | TokenKind::OpenText) => first == Some('"'),
            Some(_) => first.is_some_and(|c| c.is_alphabetic()),
        }
    };
    let (fits, others): (Vec<&Shape>, Vec<&Shape>) = shapes::of_block(kind).partition(takes);
    let mut near = nearest(cursor.peek(), fits.iter().map(|shape| shape.words));
    near.extend(nearest(cursor.peek(), others.iter().map(|shape| shape.words)));
    near.truncate(NEAREST);
    near
}

/// What should stand where something is left over; of a word that is said otherwise, how.
#[must_use]
pub fn left_over(what: &str, block: BlockKind, cursor: &Cursor<'_>) -> String {
    match own_word(block, cursor.peek()) {
        Some(own) => format!("{what}; for `{}` write {own}", cursor.peek()),
        None => what.to_owned(),
    }
}

/// A note's text: its lines, the indentation that they share taken off, blank lines between paragraphs kept.
fn note_text(file: &Source, cursor: &Cursor<'_>) -> String {
    let lines: Vec<(&str, usize, usize)> = cursor
        .lines()
        .map(|(text, span)| {
            let line = file.line_of(span.start);
            let (start, _) = file.line_range(line);
            (text, line, file.slice(start, span.start).chars().count())
        })
        .collect();
    let statement_line = file.line_of(cursor.statement().start);
    let shared = lines
        .iter()
        .filter(|(_, line, _)| *line != statement_line)
        .map(|&(_, _, indent)| indent)
        .min();
    let mut text = String::new();
    let mut before: Option<usize> = None;
    for &(words, line, indent) in &lines {
        let gap = before.map_or(0, |before: usize| line - before);
        text.extend(std::iter::repeat_n('\n', gap.min(2)));
        if line != statement_line {
            text.extend(std::iter::repeat_n(' ', indent - shared.unwrap_or(indent)));
        }
        text.push_str(words);
        before = Some(line);
    }
    text
}
