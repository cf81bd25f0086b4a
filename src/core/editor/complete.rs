//! What may stand at a place. A word that means nothing is put there, and the compiler's own readers say what they would take instead: so
//! no table of places is kept beside them.

use std::collections::{BTreeMap, BTreeSet};

use super::fits::{Moment, moment};
use super::spot::{self, Around};
use super::{Desk, head};
use crate::base::source::{Source, SourceId, Sources, Span};
use crate::base::unit::Dimension;
use crate::compile;
use crate::plan::model::Hazard;
use crate::plan::named::{Declared, Mention, Names, Origin};
use crate::plan::plan_error::PlanError;
use crate::plan::read::names::Want;
use crate::plan::scope::Entity;
use crate::rules;
use crate::syntax::grammar;
use crate::syntax::shapes::{self, BLOCKS, BlockKind, Keyword, Often, Shape};
use crate::syntax::tree::{Statement, Token, TokenKind};

/// What an offer is, for the sign that an editor shows beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Offered {
    /// Opens a block.
    Block,
    /// Opens a statement.
    Statement,
    /// Something that the plan declares.
    Name(Entity),
    /// Stands behind a number.
    Unit,
    /// Connects the parts of a statement.
    Word,
    /// The name of a rule, behind `accept`.
    Rule,
}

/// One thing that may stand there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// As it would stand in the text.
    pub text: String,
    /// What gives way to it.
    pub at: Span,
    /// The form of a statement, the title of a thing.
    pub about: String,
    /// Its kind.
    pub is: Offered,
    /// The same with places to fill in, as the snippet syntax of LSP 3.17 has them.
    pub snippet: Option<String>,
    /// Less is shown first.
    pub rank: u8,
}

/// A word that no plan has and no rule takes for a slip of the pen.
const STANDIN: &str = "zqxhereqz";

/// What may stand at a byte of a source.
#[must_use]
pub fn complete(desk: Desk<'_>, source: SourceId, at: u32) -> Vec<Offer> {
    let Some(file) = desk.done.sources.get(source) else {
        return Vec::new();
    };
    let (line_start, line_end) = file.line_range(file.line_of(at));
    let mut typed = spot::word(file, source, at.clamp(line_start, line_end));
    let digits = |c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | '-');
    // `31k`: a unit is being typed behind its number.
    let text = file.slice(typed.start, typed.end);
    let unit = text.trim_start_matches(digits);
    if text.starts_with(|c: char| c.is_ascii_digit()) && !unit.is_empty() {
        typed.start = typed.end - u32::try_from(unit.len()).unwrap_or(0);
    }
    if typed.start == line_start {
        return blocks(typed);
    }
    let whole = file.text();
    let (before, behind) = (
        whole.get(..typed.start as usize).unwrap_or_default(),
        whole.get(typed.end as usize..).unwrap_or_default(),
    );
    // A space parts it from what stands there, as a typist would.
    let spaced = before.ends_with(|c: char| c.is_ascii_digit());
    let gap = if spaced { " " } else { "" };
    let changed = Source::new(
        file.path(),
        format!("{before}{gap}{STANDIN}{behind}"),
        file.is_shared(),
    );
    let here = typed.start + u32::from(spaced);
    let tree = grammar::parse(changed.text());
    let mut trees = desk.trees.to_vec();
    if let Some(own) = trees.get_mut(source.0 as usize) {
        *own = tree;
    }
    let sources: Vec<Source> = desk
        .done
        .sources
        .iter()
        .map(|(id, other)| {
            if id == source {
                changed.clone()
            } else {
                other.clone()
            }
        })
        .collect();
    let sources = Sources::new(sources);
    let (Some(tree), Some(changed)) = (trees.get(source.0 as usize), sources.get(source)) else {
        return Vec::new();
    };
    let Some(around) = Around::at(changed, tree, here) else {
        return Vec::new();
    };
    let Some((statement, is_header)) = around.statement(here) else {
        return Vec::new();
    };
    let tokens = tree.tokens(statement);
    let Some(nth) = tokens
        .iter()
        .position(|token| token.start() == here && around.text(*token) == STANDIN)
    else {
        // In a note, in a text, in a comment.
        return Vec::new();
    };
    let (names, slips) = compile::named(&sources, &trees);
    let place = Asked {
        desk,
        around,
        statement,
        is_header,
        nth,
        typed,
        here: Span::new(source, here, here + u32::try_from(STANDIN.len()).unwrap_or(0)),
        names: &names,
        moment: moment(desk, around, here),
    };
    place.offers(&slips)
}

/// What opens a block.
fn blocks(at: Span) -> Vec<Offer> {
    let one = |&(_, word, form): &(BlockKind, &'static str, &'static str)| Offer {
        text: word.to_owned(),
        at,
        about: form.to_owned(),
        is: Offered::Block,
        snippet: snippet(form),
        rank: 0,
    };
    BLOCKS.iter().map(one).collect()
}

/// A form's first way, with places to fill in: `step ${1:NAME} "${2:Title}"`.
fn snippet(form: &str) -> Option<String> {
    let first = form.split(", or ").next().unwrap_or(form);
    let mut out = String::new();
    let mut count = 0;
    let mut rest = first;
    while let Some(at) = rest.find(|c: char| c == '"' || c.is_ascii_uppercase()) {
        let (before, from) = rest.split_at(at);
        out.push_str(&escaped(before));
        let quoted = from.strip_prefix('"').and_then(|inner| inner.split_once('"'));
        if let Some((inner, behind)) = quoted {
            count += 1;
            out.push_str(&format!("\"${{{count}:{}}}\"", escaped(inner)));
            rest = behind;
            continue;
        }
        let word: String = from
            .chars()
            .take_while(|c| c.is_ascii_uppercase() || *c == '-')
            .collect();
        let goes_on = from
            .chars()
            .nth(word.chars().count())
            .is_some_and(char::is_alphanumeric);
        // `M10x1.25` and `A` of `A to B`: the one is an example, the other a place.
        let own: String = from
            .chars()
            .take_while(|c| !c.is_whitespace() && !matches!(c, ',' | ':'))
            .collect();
        if goes_on || own.chars().any(|c| c.is_ascii_digit()) {
            out.push_str(&escaped(&own));
            rest = from.strip_prefix(own.as_str()).unwrap_or_default();
            continue;
        }
        count += 1;
        out.push_str(&format!("${{{count}:{}}}", escaped(&word)));
        rest = from.strip_prefix(word.as_str()).unwrap_or_default();
    }
    out.push_str(&escaped(rest));
    (count > 0).then_some(out)
}

fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\").replace('$', "\\$").replace('}', "\\}")
}

/// The place that is asked about, with the word in it that means nothing.
struct Asked<'a> {
    desk: Desk<'a>,
    around: Around<'a>,
    statement: &'a Statement,
    is_header: bool,
    /// The word's place among the tokens.
    nth: usize,
    /// What gives way, in the text as it is.
    typed: Span,
    here: Span,
    names: &'a Names,
    moment: Option<Moment<'a>>,
}

impl<'a> Asked<'a> {
    fn offers(&self, slips: &[PlanError]) -> Vec<Offer> {
        if let Some(kind) = self.around.kind.filter(|_| !self.is_header) {
            let all = self.statements(kind);
            if self.nth == 0 || !all.is_empty() {
                return all;
            }
        }
        if self.around.kind == Some(BlockKind::Accept) && self.nth == 1 {
            return self.rules();
        }
        let mentions: Vec<&Mention> = self
            .names
            .mentions()
            .iter()
            .filter(|mention| mention.at.source == self.here.source && mention.at.start == self.here.start)
            .collect();
        if let Some(mention) = mentions.first() {
            return self.named(mention.want);
        }
        let place = |at: Span| at.source == self.here.source;
        for slip in slips {
            match slip {
                PlanError::WrongUnit { at, unit, wants, .. } if unit == STANDIN && place(*at) => {
                    return self.units(*wants);
                }
                PlanError::Unreadable { at, expected, .. } if place(*at) && at.start == self.here.start => {
                    return self.words(expected);
                }
                // The others tell of other places.
                _ => {}
            }
        }
        Vec::new()
    }

    /// The words before the place, in its statement.
    fn before(&self) -> Vec<&'a str> {
        let tokens = self.around.tree.tokens(self.statement).iter();
        tokens
            .take(self.nth)
            .map(|token| self.around.text(*token))
            .collect()
    }

    fn shape(&self) -> Option<&'static Shape> {
        if self.is_header {
            return None;
        }
        self.around.shape(self.statement).map(|(shape, _)| shape)
    }

    fn offer(&self, text: impl Into<String>, about: impl Into<String>, is: Offered, rank: u8) -> Offer {
        Offer {
            text: text.into(),
            at: self.typed,
            about: about.into(),
            is,
            snippet: None,
            rank,
        }
    }

    /// Statements whose keyword begins with the words before, but those that stand here already and may stand but once.
    fn statements(&self, kind: BlockKind) -> Vec<Offer> {
        let before = self.before();
        let stand: Vec<Keyword> = self
            .around
            .body()
            .iter()
            .filter(|statement| statement.start != self.statement.start)
            .filter_map(|statement| self.around.shape(statement))
            .map(|(shape, _)| shape.keyword)
            .collect();
        let goes_on = |shape: &&'static Shape| {
            let words: Vec<&str> = shape.words.split(' ').collect();
            words.len() > before.len() && words.iter().zip(&before).all(|(word, known)| word == known)
        };
        let at = Span::new(self.here.source, self.statement.start, self.typed.end);
        let mut all: Vec<Offer> = shapes::of_block(kind)
            .filter(|shape| shape.often == Often::Again || !stand.contains(&shape.keyword))
            .filter(goes_on)
            .map(|shape| Offer {
                text: shape.words.to_owned(),
                at,
                about: shape.form.to_owned(),
                is: Offered::Statement,
                snippet: snippet(shape.form),
                rank: 0,
            })
            .collect();
        if before.is_empty() {
            all.push(Offer {
                at,
                ..self.offer("note", "note Text for the reader", Offered::Statement, 0)
            });
        }
        all
    }

    /// Names that the place takes. After an act those that it can be done to, as the machine is by then; all, where it can be done to none.
    fn named(&self, want: Want) -> Vec<Offer> {
        let before = self.before();
        let shape = self.shape();
        let keyword = shape.map(|shape| shape.keyword);
        let own = self.around.name();
        // Before the place and behind it.
        let stands: Vec<&str> = {
            let tokens = self.around.tree.tokens(self.statement).iter();
            tokens.map(|token| self.around.text(*token)).collect()
        };
        let lends = keyword == Some(Keyword::SameAs);
        let same_kind = |known: &Declared| {
            let block = head(&self.desk.done.plan, known.entity).map(|head| head.block);
            let word = block.and_then(|block| {
                let file = self.desk.done.sources.get(block.source)?;
                file.slice(block.start, block.end).split([' ', '\t']).next()
            });
            !lends || word == self.around.kind.map(BlockKind::word)
        };
        if matches!(before.last(), Some(&("both" | "all"))) {
            return self.families(want, false);
        }
        let all: Vec<&Declared> = self
            .names
            .declared()
            .iter()
            .filter(|known| want.takes(known.entity) && &*known.name != own)
            .filter(|known| !stands.contains(&&*known.name) && same_kind(known))
            // An accept may be for anything, but hardly for what no finding is about.
            .collect();
        let about: BTreeSet<&str> = if self.around.kind == Some(BlockKind::Accept) {
            let rule = before.get(1).copied().unwrap_or_default();
            let of = self
                .desk
                .done
                .findings
                .iter()
                .filter(|finding| finding.rule.name == rule);
            of.flat_map(|finding| finding.about.iter().map(String::as_str))
                .collect()
        } else {
            BTreeSet::new()
        };
        // Behind `with`, `by`, `from` and such stands what does it, and not what it is done to.
        let list = before
            .iter()
            .skip(1)
            .all(|word| !matches!(*word, "with" | "by" | "from" | "into" | "about" | "to"));
        let fits = |known: &&&Declared| match (&self.moment, keyword) {
            (Some(moment), Some(keyword)) if list => moment.fits(keyword, &known.name),
            _ => true,
        };
        let some: Vec<&&Declared> = all.iter().filter(fits).collect();
        let chosen: Vec<&Declared> = if some.is_empty() {
            all.clone()
        } else {
            some.into_iter().copied().collect()
        };
        let mut offers: Vec<Offer> = chosen
            .iter()
            .map(|known| {
                let rank = u8::from(!about.is_empty() && !about.contains(&*known.name));
                self.offer(&*known.name, self.title(known), Offered::Name(known.entity), rank)
            })
            .collect();
        if list && !lends && !self.is_header && keyword.is_some() {
            let kept: BTreeSet<&str> = chosen.iter().map(|known| &*known.name).collect();
            let whole = self.families(want, true);
            offers.extend(whole.into_iter().filter(|offer| {
                let stem = offer.text.split_once(' ').map_or("", |(_, stem)| stem);
                let members = self.members(stem);
                members.iter().all(|known| kept.contains(&*known.name))
            }));
        }
        offers
    }

    fn title(&self, known: &Declared) -> String {
        let head = head(&self.desk.done.plan, known.entity);
        let title = head.and_then(|head| head.title.as_deref()).unwrap_or_default();
        match (known.entity.words(), title) {
            (words, "") => words.to_owned(),
            (words, title) => format!("{words}: {title}"),
        }
    }

    fn members(&self, stem: &str) -> Vec<&Declared> {
        let sided = self
            .names
            .declared()
            .iter()
            .filter(|known| known.origin == Origin::Side);
        sided
            .filter(|known| {
                let rest = known
                    .name
                    .strip_prefix(stem)
                    .and_then(|rest| rest.strip_prefix('-'));
                rest.is_some() && known.at.end - known.at.start == u32::try_from(stem.len()).unwrap_or(0)
            })
            .collect()
    }

    /// Stems of sided blocks, with `both` or `all` before them or without.
    fn families(&self, want: Want, with_word: bool) -> Vec<Offer> {
        let mut stems: BTreeSet<String> = BTreeSet::new();
        let mut offers = Vec::new();
        for known in self
            .names
            .declared()
            .iter()
            .filter(|known| known.origin == Origin::Side)
        {
            let length = (known.at.end - known.at.start) as usize;
            let Some(stem) = known.name.get(..length) else {
                continue;
            };
            if !want.takes(known.entity) || !stems.insert(stem.to_owned()) {
                continue;
            }
            let count = self.members(stem).len();
            let word = if count == 2 { "both" } else { "all" };
            let text = if with_word {
                format!("{word} {stem}")
            } else {
                stem.to_owned()
            };
            offers.push(self.offer(text, format!("{word} of them"), Offered::Name(known.entity), 1));
        }
        offers
    }

    /// Rules that may be accepted; those that are found first.
    fn rules(&self) -> Vec<Offer> {
        let found: BTreeSet<&str> = self
            .desk
            .done
            .findings
            .iter()
            .map(|finding| finding.rule.name)
            .collect();
        rules::catalogue()
            .iter()
            .flat_map(|family| family.rules)
            .filter(|rule| rule.acceptable)
            .map(|rule| {
                self.offer(
                    rule.name,
                    rule.summary,
                    Offered::Rule,
                    u8::from(!found.contains(rule.name)),
                )
            })
            .collect()
    }

    fn units(&self, dimension: Dimension) -> Vec<Offer> {
        let usual = dimension.usual();
        let rest = crate::base::unit::UNITS
            .iter()
            .filter(|unit| unit.dimension == dimension)
            .filter_map(|unit| unit.spellings.first().copied())
            .filter(|spelling| !usual.contains(spelling));
        let one = |rank: u8| move |unit: &'static str| (unit, rank);
        let all = usual.iter().copied().map(one(0)).chain(rest.map(one(1)));
        all.map(|(unit, rank)| self.offer(unit, dimension.words(), Offered::Unit, rank))
            .collect()
    }

    /// What a reader says it expected: words in backticks, one of several, or a kind of thing that is written in a way of its own.
    fn words(&self, expected: &str) -> Vec<Offer> {
        let plain = |text: &str| self.offer(text, "", Offered::Word, 0);
        if let Some(list) = expected.strip_prefix("one of ") {
            return list
                .split(", ")
                .map(|word| plain(word.trim_matches('`')))
                .collect();
        }
        if expected.starts_with("a thread") {
            return self.threads();
        }
        if expected == "a property class" {
            let marks = crate::reckon::strength::PropertyClass::ALL
                .iter()
                .map(|(_, mark)| *mark);
            return marks.map(plain).collect();
        }
        let keyword = self.shape().map(|shape| shape.keyword);
        if matches!(
            keyword,
            Some(
                Keyword::Head
                    | Keyword::NutHead
                    | Keyword::Key
                    | Keyword::Sockets
                    | Keyword::Spanners
                    | Keyword::Keys
            )
        ) {
            return self.sizes();
        }
        let before_examples = expected.split(", such as ").next().unwrap_or(expected);
        let before_examples = before_examples
            .split(", as in ")
            .next()
            .unwrap_or(before_examples);
        let quoted: Vec<Offer> = before_examples.split('`').skip(1).step_by(2).map(plain).collect();
        if quoted.is_empty() && matches!(keyword, Some(Keyword::Against | Keyword::LicensedFor)) {
            return Hazard::ALL.iter().map(|(_, word)| plain(word)).collect();
        }
        quoted
    }

    /// The threads of this plan's joints, as they are written.
    fn threads(&self) -> Vec<Offer> {
        let of = [Keyword::Bolts, Keyword::Studs, Keyword::Nuts, Keyword::Screws];
        self.written(
            |keyword| of.contains(&keyword),
            |file, item| {
                let x = item
                    .iter()
                    .position(|token| file.slice(token.start(), token.end()) == "x")?;
                let first = item.get(x + 1)?;
                let mut end = first.end();
                for token in item
                    .iter()
                    .skip(x + 2)
                    .take_while(|token| token.kind() != TokenKind::Name)
                {
                    if token.start() != end {
                        break;
                    }
                    end = token.end();
                }
                Some(file.slice(first.start(), end).to_owned())
            },
        )
    }

    /// The sizes of this plan's drives and tools of the kind that the place is about.
    fn sizes(&self) -> Vec<Offer> {
        let asked = self.shape().map(|shape| shape.keyword);
        let heads = [
            Keyword::Head,
            Keyword::NutHead,
            Keyword::Sockets,
            Keyword::Spanners,
        ];
        let keys = [Keyword::Key, Keyword::Keys];
        let group = if asked.is_some_and(|asked| keys.contains(&asked)) {
            &keys[..]
        } else {
            &heads[..]
        };
        self.written(
            |keyword| group.contains(&keyword),
            |file, item| {
                let (first, last) = (item.first()?, item.last()?);
                let size = first.kind() == TokenKind::Number;
                size.then(|| file.slice(first.start(), last.end()).to_owned())
            },
        )
    }

    /// What stands in statements of these keywords, item by item, each once, the most common first.
    fn written(
        &self,
        of: impl Fn(Keyword) -> bool,
        pick: impl Fn(&Source, &[Token]) -> Option<String>,
    ) -> Vec<Offer> {
        let mut counts: BTreeMap<String, usize> = BTreeMap::new();
        for ((_, file), tree) in self.desk.done.sources.iter().zip(self.desk.trees) {
            for nth in 0..tree.blocks().len() {
                let Some(block) = Around::nth(file, tree, nth) else {
                    continue;
                };
                for statement in block.body() {
                    let Some((_, words)) = block.shape(statement).filter(|(shape, _)| of(shape.keyword))
                    else {
                        continue;
                    };
                    let rest: Vec<Token> = tree.tokens(statement).iter().skip(words).copied().collect();
                    for item in rest.split(|token| token.kind() == TokenKind::Comma) {
                        if let Some(text) = pick(file, item) {
                            *counts.entry(text).or_default() += 1;
                        }
                    }
                }
            }
        }
        let mut all: Vec<(String, usize)> = counts.into_iter().collect();
        all.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        let times = |count: usize| match count {
            1 => "once in this plan".to_owned(),
            _ => format!("{count} times in this plan"),
        };
        all.into_iter()
            .enumerate()
            .map(|(nth, (text, count))| {
                let rank = u8::try_from(nth).unwrap_or(u8::MAX);
                self.offer(text, times(count), Offered::Word, rank)
            })
            .collect()
    }
}
