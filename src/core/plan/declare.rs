//! First reading: the headers of all blocks, so that names may be used before the line that declares them.

use super::model::{FixingKind, Id, JointKind};
use super::plan_error::{NameFault, PlanError};
use super::read::block::closed_otherwise;
use super::scope::{Each, Entity, Entry, Scope};
use super::vocabulary::joint_kinds::Conducts;
use super::vocabulary::other_words::read_as;
use crate::base::source::{Source, SourceId, Sources, Span};
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{self, BlockKind, Keyword};
use crate::syntax::tree::{Block, Statement, TokenKind, Tree};

/// Words that connect the parts of a statement, so that no thing may be called so.
pub const CONNECTING: &[&str] = &[
    "to", "with", "from", "on", "of", "by", "at", "in", "into", "and", "about", "back", "down", "home",
    "front", "rear", "both", "all",
];

/// The rig that is always there.
pub const FLOOR: &str = "floor";

/// Longest name: what still fits a page's column in two lines.
const LONGEST_NAME: usize = 64;

/// A block whose header was read.
#[derive(Debug, Clone)]
pub struct Declared<'a> {
    /// What its first word opens.
    pub kind: BlockKind,
    /// The file that it stands in.
    pub source: SourceId,
    /// That file itself.
    pub file: &'a Source,
    /// What the grammar made of that file.
    pub tree: &'a Tree,
    /// Its statements in that tree.
    pub block: Block,
    /// As written, without the sides.
    pub name: &'a str,
    /// Place of the name.
    pub at: Span,
    /// None for one thing alone.
    pub each: Option<Each>,
    /// In quotes behind the name.
    pub title: Option<&'a str>,
    /// Tokens of the header up to here were read.
    header_read: usize,
    /// The joint that it says by `fixed to`.
    pub fixed: Option<Fixed<'a>>,
    /// Place of its first member among those of its kind, and how many there are.
    pub first: usize,
    /// 1, or as many as it has sides.
    pub count: usize,
}

impl<'a> Declared<'a> {
    /// The header, behind name and title.
    #[must_use]
    pub fn header(&self) -> Option<Cursor<'a>> {
        let header = self.tree.statements(self.block).first()?;
        let mut cursor = Cursor::new(self.source, self.file.text(), self.tree, header);
        cursor.skip(self.header_read);
        Some(cursor)
    }

    /// The statements below the header.
    #[must_use]
    pub fn body(&self) -> &'a [Statement] {
        self.tree.statements(self.block).get(1..).unwrap_or_default()
    }

    /// Reads one of its statements, word by word.
    #[must_use]
    pub fn cursor(&self, statement: &Statement) -> Cursor<'a> {
        Cursor::new(self.source, self.file.text(), self.tree, statement)
    }

    /// The whole block, header to last statement.
    #[must_use]
    pub fn span(&self) -> Span {
        self.tree.span(self.source, self.block)
    }

    /// Place of its nth member among those of its kind.
    #[must_use]
    pub fn place(&self, offset: usize) -> usize {
        self.first + offset
    }
}

/// The one joint of a part, said in its block.
#[derive(Debug, Clone, Copy)]
pub struct Fixed<'a> {
    /// The `fixed to` line.
    pub statement: &'a Statement,
    /// What is added to the part's name: `bolts`.
    pub with: &'static str,
    /// Up to the word that says what fixes it.
    pub at: Span,
}

impl Fixed<'_> {
    /// What the joint of such a part is called, for each side before the side.
    #[must_use]
    pub fn name(&self, part: &str) -> String {
        format!("{part}-{}", self.with)
    }
}

/// What may fix a part by itself: its statement, and what the joint is called after. What leads a fluid or a current bears nothing.
pub fn fixes(keyword: Keyword) -> Option<&'static str> {
    match keyword {
        Keyword::Bolts => Some(FixingKind::Bolts.words(2)),
        Keyword::Studs => Some(FixingKind::Studs.words(2)),
        Keyword::Nuts => Some(FixingKind::Nuts.words(2)),
        Keyword::Screws => Some(FixingKind::Screws.words(2)),
        Keyword::KindPressFit => Some("press-fit"),
        // The word is said by its fixings.
        Keyword::Bolted => None,
        other => JointKind::of(other)
            .filter(|kind| kind.row().conducts == Conducts::Nothing || *kind == JointKind::Strap)
            .map(JointKind::word),
    }
}

/// The first `fixed to` of a block; the second is told where statements are read.
fn fixed_to<'a>(block: &Declared<'a>) -> Option<&'a Statement> {
    let mut all = block.body().iter();
    all.find(|statement| !statement.is_note && eat_fixed_to(&mut block.cursor(statement)))
}

/// Takes the words, or those that are read as them.
pub fn eat_fixed_to(cursor: &mut Cursor<'_>) -> bool {
    if cursor.eat("fixed to").is_some() {
        return true;
    }
    let probe = cursor.clone();
    let other = read_as(BlockKind::Part, |n| Some(probe.peek_ahead(n)));
    let other = other.filter(|(shape, _)| shape.keyword == Keyword::FixedTo);
    if let Some((_, used)) = other {
        cursor.skip(used);
    }
    other.is_some()
}

/// What it says, where its form is right so far that the joint has a name.
fn fixed_by<'a>(block: &Declared<'a>, statement: &'a Statement) -> Option<Fixed<'a>> {
    let mut cursor = block.cursor(statement);
    eat_fixed_to(&mut cursor).then_some(())?;
    cursor.name()?;
    cursor.eat("by")?;
    let probe = cursor.clone();
    let word = |n: usize| Some(probe.peek_ahead(n));
    let (shape, used) =
        shapes::find(BlockKind::Joint, cursor.peek(), word).or_else(|| read_as(BlockKind::Joint, word))?;
    let with = fixes(shape.keyword)?;
    cursor.skip(used);
    let whole = cursor.statement();
    Some(Fixed {
        statement,
        with,
        at: Span::new(whole.source, whole.start, cursor.last().end),
    })
}

/// How many of each kind were declared so far.
#[derive(Debug, Default)]
struct Counts {
    of: rustc_hash::FxHashMap<&'static str, usize>,
}

impl Counts {
    fn next(&mut self, kind: BlockKind) -> usize {
        let list = match kind {
            BlockKind::Machine => BlockKind::Vehicle,
            BlockKind::Parts => BlockKind::Part,
            other => other,
        };
        let count = self.of.entry(list.word()).or_default();
        *count += 1;
        *count - 1
    }
}

/// Reads every header; gives the blocks in order and fills the scope.
pub fn declare<'a>(
    sources: &'a Sources,
    trees: &'a [Tree],
    scope: &mut Scope,
    slips: &mut Vec<PlanError>,
) -> Vec<Declared<'a>> {
    let mut all = Vec::with_capacity(trees.iter().map(|tree| tree.blocks().len()).sum());
    let mut counts = Counts::default();
    let floor = counts.next(BlockKind::Rig);
    let nowhere = Span::new(SourceId(0), 0, 0);
    // The first name of all, so it cannot be taken yet; no block declares it.
    let _ = scope.declare(FLOOR, Entity::Rig(Id::new(floor)), nowhere, usize::MAX);
    for ((source, file), tree) in sources.iter().zip(trees) {
        for stray in tree.strays() {
            slips.push(PlanError::NoBlock {
                at: Span::new(source, stray.start, stray.end),
            });
        }
        for &block in tree.blocks() {
            if let Some(mut declared) = header(source, file, tree, block, scope, slips) {
                enter(&mut declared, all.len(), &mut counts, scope, slips);
                all.push(declared);
            }
        }
    }
    all
}

fn header<'a>(
    source: SourceId,
    file: &'a Source,
    tree: &'a Tree,
    block: Block,
    scope: &mut Scope,
    slips: &mut Vec<PlanError>,
) -> Option<Declared<'a>> {
    let statement = tree.statements(block).first()?;
    let mut cursor = Cursor::new(source, file.text(), tree, statement);
    let total = tree.tokens(statement).len();
    let word = cursor.peek();
    let Some(kind) = BlockKind::of_word(word) else {
        slips.push(PlanError::UnknownBlock {
            at: cursor.here(),
            word: word.to_owned(),
        });
        // Whatever uses the name that it would have declared is told once, here.
        scope.refuse(cursor.peek_ahead(1));
        return None;
    };
    cursor.skip(1);
    let mut declared = Declared {
        kind,
        source,
        file,
        tree,
        block,
        name: "",
        at: cursor.here(),
        each: None,
        title: None,
        header_read: 1,
        fixed: None,
        first: 0,
        count: 0,
    };
    // These have no name of their own.
    if matches!(kind, BlockKind::Parts | BlockKind::Log | BlockKind::Accept) {
        return Some(declared);
    }
    match cursor.glued() {
        Some((name, at)) if at.start == cursor.last().start && is_name(name) => {
            declared.name = name;
            declared.at = at;
            if let Some(why) = name_fault(kind, name) {
                slips.push(PlanError::BadName {
                    at,
                    name: name.to_owned(),
                    why,
                });
            }
        }
        Some((name, at)) => {
            scope.refuse(name);
            slips.push(PlanError::BadName {
                at,
                name: name.to_owned(),
                why: NameFault::Form,
            });
            declared.at = at;
        }
        None => {
            let expected = format!("a name after {}", kind.word());
            slips.push(PlanError::Unreadable {
                at: cursor.here(),
                expected,
                form: kind.form().to_owned(),
            });
        }
    }
    if cursor.kind() == Some(TokenKind::Comma) {
        cursor.skip(1);
        declared.each = each(&mut cursor, kind, slips);
    }
    if let Some((title, _)) = cursor.text() {
        declared.title = Some(title);
    }
    // What is left of the header says how much of it was read.
    let mut rest = 0;
    let mut probe = cursor.clone();
    while probe.take().is_some() {
        rest += 1;
    }
    declared.header_read = total - rest;
    let goes_on = matches!(kind, BlockKind::Joint | BlockKind::Stage);
    if rest > 0 && !goes_on {
        let found = if cursor.kind() == Some(TokenKind::OpenText) {
            None
        } else {
            Some(())
        };
        match found {
            None => slips.push(PlanError::OpenText { at: cursor.here() }),
            Some(()) => {
                let slip = closed_otherwise(file, &cursor).unwrap_or_else(|| PlanError::Unreadable {
                    at: cursor.rest(),
                    expected: "the end of the header, or a semicolon before the first statement".to_owned(),
                    form: kind.form().to_owned(),
                });
                slips.push(slip);
            }
        }
    }
    Some(declared)
}

/// What is wrong with a name for a block of this kind.
#[must_use]
pub fn name_fault(kind: BlockKind, name: &str) -> Option<NameFault> {
    if !is_name(name) {
        Some(NameFault::Form)
    } else if CONNECTING.contains(&name) && !is_free(kind) {
        Some(NameFault::Connecting)
    } else {
        (name.chars().count() > LONGEST_NAME).then_some(NameFault::Long)
    }
}

/// Steps and such are named only where nothing else may stand, so any word will do.
fn is_free(kind: BlockKind) -> bool {
    matches!(
        kind,
        BlockKind::Plan | BlockKind::Stage | BlockKind::Step | BlockKind::WeighIn | BlockKind::Swap
    )
}

fn is_name(text: &str) -> bool {
    let mut chars = text.chars();
    chars.next().is_some_and(char::is_lowercase)
        && chars.all(|c| c.is_lowercase() || c.is_ascii_digit() || c == '-')
        && !text.ends_with('-')
}

fn each(cursor: &mut Cursor<'_>, kind: BlockKind, slips: &mut Vec<PlanError>) -> Option<Each> {
    for (words, each) in [
        ("each side", Each::Side),
        ("each end", Each::End),
        ("each corner", Each::Corner),
    ] {
        if cursor.eat(words).is_some() {
            return Some(each);
        }
    }
    let at = cursor.here();
    let number = |cursor: &mut Cursor<'_>| {
        let value = cursor
            .peek()
            .parse::<u32>()
            .ok()
            .filter(|_| cursor.kind() == Some(TokenKind::Number));
        value.inspect(|_| cursor.skip(1))
    };
    let from = number(cursor);
    let to = cursor.eat("to").and_then(|_| number(cursor));
    match (from, to) {
        (Some(from), Some(to)) if from < to && to - from < 200 => return Some(Each::Count(from, to)),
        _ => slips.push(PlanError::Unreadable {
            at,
            expected: "`each side`, `each end`, `each corner` or a count such as `1 to 8` after the comma"
                .to_owned(),
            form: kind.form().to_owned(),
        }),
    }
    // Skip to the title, so that the rest of the header is still read.
    while !cursor.at_end() && !matches!(cursor.kind(), Some(TokenKind::Text | TokenKind::Colon)) {
        cursor.skip(1);
    }
    None
}

/// Makes the entity of the place-th thing of a kind. Logs and acceptances have no name.
fn entity(kind: BlockKind, place: usize) -> Option<Entity> {
    Some(match kind {
        BlockKind::Plan => Entity::Plan,
        BlockKind::Vehicle | BlockKind::Machine => Entity::Vehicle(Id::new(place)),
        BlockKind::Person => Entity::Person(Id::new(place)),
        BlockKind::Scale => Entity::Scale(Id::new(place)),
        BlockKind::Rig => Entity::Rig(Id::new(place)),
        BlockKind::Tool => Entity::Tool(Id::new(place)),
        BlockKind::Consumable => Entity::Consumable(Id::new(place)),
        BlockKind::Kit => Entity::Kit(Id::new(place)),
        BlockKind::Part | BlockKind::Parts => Entity::Part(Id::new(place)),
        BlockKind::Assembly => Entity::Assembly(Id::new(place)),
        BlockKind::Joint => Entity::Joint(Id::new(place)),
        BlockKind::Fluid => Entity::Fluid(Id::new(place)),
        BlockKind::Energy => Entity::Energy(Id::new(place)),
        BlockKind::Caution => Entity::Caution(Id::new(place)),
        BlockKind::Stage => Entity::Stage(Id::new(place)),
        BlockKind::Step => Entity::Step(Id::new(place)),
        BlockKind::WeighIn => Entity::WeighIn(Id::new(place)),
        BlockKind::Swap => Entity::Swap(Id::new(place)),
        BlockKind::Log | BlockKind::Accept => return None,
    })
}

fn enter(
    block: &mut Declared<'_>,
    place: usize,
    counts: &mut Counts,
    scope: &mut Scope,
    slips: &mut Vec<PlanError>,
) {
    let kind = block.kind;
    let mut one = |name: &str, at: Span, counts: &mut Counts| -> (usize, Option<Entry>) {
        let number = counts.next(kind);
        let Some(entity) = entity(kind, number).filter(|_| !name.is_empty()) else {
            return (number, None);
        };
        (number, declare_one(scope, slips, name, entity, at, place))
    };
    match (kind, block.each) {
        (BlockKind::Parts, _) => {
            let Some(mut cursor) = block.header() else { return };
            block.first = counts.of.get(BlockKind::Part.word()).copied().unwrap_or(0);
            while let Some((name, at)) = cursor.name() {
                one(name, at, counts);
                block.count += 1;
                if !cursor.comma() {
                    break;
                }
            }
            if !cursor.at_end() || block.count == 0 {
                slips.push(PlanError::Unreadable {
                    at: cursor.here(),
                    expected: "names with commas between them".to_owned(),
                    form: kind.form().to_owned(),
                });
            }
        }
        (_, None) => {
            (block.first, _) = one(block.name, block.at, counts);
            block.count = 1;
        }
        (_, Some(each)) => {
            let mut members = Vec::new();
            for (n, tag) in each.tags().iter().enumerate() {
                let (number, entry) = one(&format!("{}-{}", block.name, tag.text), block.at, counts);
                if n == 0 {
                    block.first = number;
                }
                block.count += 1;
                members.extend(entry);
            }
            if !block.name.is_empty() && !members.is_empty() {
                scope.declare_family(block.name, each, members, place);
            }
        }
    }
    if kind == BlockKind::Part {
        enter_fixed(block, place, counts, scope, slips);
    }
    if matches!(kind, BlockKind::Vehicle | BlockKind::Machine) {
        for statement in block.body() {
            let mut cursor = block.cursor(statement);
            if cursor.eat("body").is_some()
                && let Some((name, at)) = cursor.name()
            {
                let number = counts.next(BlockKind::Part);
                if let Some(entry) = declare_one(scope, slips, name, Entity::Part(Id::new(number)), at, place)
                {
                    scope.mark(entry);
                }
                // One body for a vehicle: a second `body` is told where statements are read.
                break;
            }
        }
    }
}

/// The joint that a part says by `fixed to`, on each of its sides.
fn enter_fixed(
    block: &mut Declared<'_>,
    place: usize,
    counts: &mut Counts,
    scope: &mut Scope,
    slips: &mut Vec<PlanError>,
) {
    let Some(statement) = fixed_to(block).filter(|_| !block.name.is_empty()) else {
        return;
    };
    let tags = block.each.map_or(Vec::new(), Each::tags);
    let Some(fixed) = fixed_by(block, statement) else {
        // Whatever uses its name is told once, where the statement is read.
        for with in shapes::of_block(BlockKind::Joint).filter_map(|shape| fixes(shape.keyword)) {
            let name = format!("{}-{with}", block.name);
            tags.iter()
                .for_each(|tag| scope.refuse(&format!("{name}-{}", tag.text)));
            scope.refuse(&name);
        }
        return;
    };
    let name = fixed.name(block.name);
    if name.chars().count() > LONGEST_NAME {
        slips.push(PlanError::BadName {
            at: fixed.at,
            name: name.clone(),
            why: NameFault::Long,
        });
    }
    let mut one = |name: &str| {
        let number = counts.next(BlockKind::Joint);
        scope.say_in_part(name, block.name);
        declare_one(
            scope,
            slips,
            name,
            Entity::Joint(Id::new(number)),
            fixed.at,
            place,
        )
    };
    match block.each {
        None => {
            one(&name);
        }
        Some(each) => {
            let members: Vec<Entry> = tags
                .iter()
                .filter_map(|tag| one(&format!("{name}-{}", tag.text)))
                .collect();
            if !members.is_empty() {
                scope.say_in_part(&name, block.name);
                scope.declare_family(&name, each, members, place);
            }
        }
    }
    block.fixed = Some(fixed);
}

/// Whether a vehicle block declares a body, and where its name stands.
#[must_use]
pub fn body_of<'a>(block: &Declared<'a>) -> Option<(&'a str, Span)> {
    block.body().iter().find_map(|statement| {
        let mut cursor = block.cursor(statement);
        cursor.eat("body")?;
        cursor.name()
    })
}

fn declare_one(
    scope: &mut Scope,
    slips: &mut Vec<PlanError>,
    name: &str,
    entity: Entity,
    at: Span,
    block: usize,
) -> Option<Entry> {
    match scope.declare(name, entity, at, block) {
        Ok(entry) => Some(entry),
        Err(earlier) => {
            slips.push(PlanError::SameName {
                name: name.to_owned(),
                first: earlier.at,
                second: at,
                first_is: earlier.entity.words(),
                second_is: entity.words(),
                in_part: scope.part_of(name).map(str::to_owned),
            });
            None
        }
    }
}

/// The folder that the plan's `workshop` line names, read without anything else.
#[must_use]
pub fn workshop_named(file: &Source, tree: &Tree) -> Option<String> {
    let plan = tree
        .blocks()
        .iter()
        .map(|&block| tree.statements(block))
        .find(|statements| {
            let header = statements.first().and_then(|header| tree.tokens(header).first());
            header.is_some_and(|token| file.slice(token.start(), token.end()) == BlockKind::Plan.word())
        })?;
    plan.iter().find_map(|statement| {
        let mut cursor = Cursor::new(SourceId(0), file.text(), tree, statement);
        let (shape, used) = shapes::find(BlockKind::Plan, cursor.peek(), |n| Some(cursor.peek_ahead(n)))?;
        cursor.skip(used);
        (shape.keyword == Keyword::Workshop).then(|| cursor.text().map(|(text, _)| text.to_owned()))?
    })
}
