//! Floor 9: what was done, read and found, put into the plan's own texts: which blank it fills, behind which log it stands, and every other
//! byte as it was. Works out edits and shows them; knows no disk and no terminal, and judges nothing of what is told.

mod blanks;
pub mod edits;
mod given;
mod logs;
pub mod news;
pub mod rough;
mod tokens;

use std::collections::{BTreeMap, BTreeSet};

use crate::base::source::{Source, SourceId, Span};
use crate::binder::kept::Kept;
use crate::compile::Compilation;
use crate::plan::model::{Id, Plan, Step};
use crate::syntax::grammar;
use crate::syntax::shapes::{BlockKind, Often, of_block};
use crate::syntax::tree::{Block, Statement, Tree};
use edits::{Change, Edit, Inserted};
use given::{Given, Item};
use tokens::{Words, line_end_of, words};

/// What was given at one place: a block, a statement, or the text of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// What was given, in the plan's language.
    pub text: String,
    /// What a message calls the place: "entry 2", "saturday.txt".
    pub called: String,
}

/// Whose numbers and letters the owner reads off the paper.
#[derive(Debug, Clone, Copy)]
pub struct Paper<'a> {
    /// What the last print numbered.
    pub kept: &'a Kept,
    /// What a message calls it: "the print in output"; where there is none, "no print lies in output".
    pub called: &'a str,
}

/// What comes of it: nothing where all of it stands there already.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Entered {
    /// What to do to the files.
    pub change: Change,
    /// How numbers and letters were understood, and what stood there already: whole sentences.
    pub said: Vec<String>,
}

/// Why nothing is entered, as whole sentences.
pub type Refused = String;

/// Works out where each entry goes; `trees` are those of the plan's sources.
///
/// # Errors
/// What names nothing, has no place, or fits two; then nothing is entered.
pub fn enter(
    done: &Compilation,
    trees: &[Tree],
    entries: &[Entry],
    paper: Paper<'_>,
) -> Result<Entered, Refused> {
    let own: Vec<Tree> = entries.iter().map(|entry| grammar::parse(&entry.text)).collect();
    let given: Vec<Given<'_>> = entries
        .iter()
        .zip(&own)
        .map(|(entry, tree)| Given::new(entry, tree))
        .collect();
    let days: BTreeSet<String> = given.iter().flat_map(Given::days).collect();
    let desk = Desk {
        numbers: paper.kept.numbers(&done.plan),
        done,
        plan: &done.plan,
        paper,
        trees,
        day: days.first().filter(|_| days.len() == 1).cloned(),
    };
    let mut entered = Entered::default();
    for given in given {
        let items = given.items()?;
        if items.is_empty() {
            return Err(format!(
                "{} holds no block and no statement. Write what was done, such as: log STEP; done 2026-03-14; or what was read: \
                 reads PART 14.2 kg.",
                given.called()
            ));
        }
        for item in items {
            desk.item(&given, &item, &mut entered)?;
        }
    }
    Ok(entered)
}

/// The plan's texts with their trees.
struct Desk<'a> {
    done: &'a Compilation,
    plan: &'a Plan,
    paper: Paper<'a>,
    trees: &'a [Tree],
    /// Of the steps on paper.
    numbers: BTreeMap<Id<Step>, String>,
    /// The day on which all that is logged with it was done, where that is one.
    day: Option<String>,
}

/// A statement of the plan where it stands.
#[derive(Clone, Copy)]
struct Standing<'a> {
    source: SourceId,
    file: &'a Source,
    tree: &'a Tree,
    block: Block,
    statement: &'a Statement,
}

impl<'a> Standing<'a> {
    fn words(&self) -> Words<'a> {
        words(self.source, self.file.text(), self.tree, self.statement)
    }

    fn at(&self) -> Span {
        Span::new(self.source, self.statement.start, self.statement.end)
    }
}

impl<'a> Desk<'a> {
    /// Every block of the plan's own files; nothing is entered in shared and in broken ones.
    fn blocks(&self) -> impl Iterator<Item = (SourceId, &'a Source, &'a Tree, Block)> {
        let files = self.done.sources.iter().zip(self.trees);
        files
            .filter(|((_, source), _)| !source.is_shared() && source.broken().is_none())
            .map(|((id, source), tree)| (id, source, tree))
            .flat_map(|(id, source, tree)| tree.blocks().iter().map(move |&block| (id, source, tree, block)))
    }

    /// Every statement below a header; notes are nobody's blank.
    fn statements(&self) -> impl Iterator<Item = Standing<'_>> {
        self.blocks().flat_map(|(source, file, tree, block)| {
            let below = tree.statements(block).get(1..).unwrap_or_default();
            below
                .iter()
                .filter(|statement| !statement.is_note)
                .map(move |statement| Standing {
                    source,
                    file,
                    tree,
                    block,
                    statement,
                })
        })
    }

    /// The block of this kind and name.
    fn block_named(&self, kind: &str, name: &str) -> Option<(SourceId, &Source, &Tree, Block)> {
        self.blocks().find(|(id, file, tree, block)| {
            let header = tree.statements(*block).first();
            header.is_some_and(|header| {
                let head = words(*id, file.text(), tree, header);
                head.text(0) == kind && head.glued(1) == name
            })
        })
    }

    fn place(&self, at: Span) -> String {
        self.done.sources.place(at)
    }

    fn item(&self, given: &Given<'_>, item: &Item<'_>, entered: &mut Entered) -> Result<(), Refused> {
        match item {
            Item::Log(block) => self.log(given, *block, entered),
            Item::Block(kind, block) => self.block(given, *kind, *block, entered),
            Item::Statement(statement) => self.statement(given, statement, entered),
        }
    }

    /// A single statement: it fills the one blank that it fits.
    fn statement(
        &self,
        given: &Given<'_>,
        statement: &Statement,
        entered: &mut Entered,
    ) -> Result<(), Refused> {
        let own = given.words(statement);
        if let Some(comment) = given.comment_behind(statement) {
            entered.said.push(comments_stay(&[comment]));
        }
        let fits: Vec<(Standing<'_>, Vec<Edit>)> = self
            .statements()
            .filter_map(|standing| Some((standing, blanks::filled(self.plan, &standing.words(), &own)?)))
            .collect();
        let there = self
            .statements()
            .find(|standing| blanks::says(self.plan, &standing.words(), &own));
        let shown = own.shown();
        // What names a thing and stands there is the same reading; a figure without a name may be that of another.
        if let Some(there) = there.filter(|_| fits.is_empty() || own.names_something()) {
            let place = self.place(there.at());
            let open = fits.first().map_or_else(String::new, |(blank, _)| {
                format!(
                    " {} waits for one too; a second reading goes there with its block's name before it.",
                    self.place(blank.at())
                )
            });
            entered
                .said
                .push(format!("`{shown}` stands there already, at {place}.{open}"));
            return Ok(());
        }
        let fits = match fits.len() {
            0 | 1 => fits,
            _ => self.of_the_day(fits, &shown, entered),
        };
        match fits.as_slice() {
            [(standing, edits)] => self.fill(given, statement, standing, edits, &shown, entered),
            [] => match self.sheet_of_the_day(&own) {
                Some((source, file, tree, block)) => {
                    let text = given.slice(statement.start, statement.end);
                    let place = self.place(tree.span(source, block));
                    entered.said.push(format!(
                        "`{shown}` goes into the weigh-in of {}, at {place}.",
                        self.day.as_deref().unwrap_or_default()
                    ));
                    self.add_line(file, source, tree, block, text, entered)
                        .map_err(|why| format!("{}: {why}", given.place(statement)))
                }
                None => Err(self.no_blank(given, statement, &own)),
            },
            [first, rest @ ..] => {
                let mut places: Vec<String> = vec![self.blank_named(&first.0)];
                places.extend(
                    rest.iter()
                        .take(3)
                        .map(|(standing, _)| self.blank_named(standing)),
                );
                let more = rest.len().saturating_sub(3);
                let more = if more > 0 {
                    format!(" and {more} more")
                } else {
                    String::new()
                };
                Err(format!(
                    "{}: `{shown}` fits {} blanks: {}{more}. Write its block before it, such as: {}; {shown}",
                    given.place(statement),
                    fits.len(),
                    places.join(", "),
                    self.block_words(&first.0)
                ))
            }
        }
    }

    /// Fills a blank that nothing else of the entry fills.
    fn fill(
        &self,
        given: &Given<'_>,
        statement: &Statement,
        standing: &Standing<'_>,
        edits: &[Edit],
        shown: &str,
        entered: &mut Entered,
    ) -> Result<(), Refused> {
        if let Some(other) = entered.change.taken(edits) {
            return Err(format!(
                "{}: `{shown}` is for the blank at {}, and so is `{other}`. Leave one of the two out.",
                given.place(statement),
                self.place(standing.at())
            ));
        }
        entered.change.fill(edits, shown);
        Ok(())
    }

    /// Of several blanks the one in the weigh-in of the day that is logged with it; all of them where that tells none apart.
    fn of_the_day<'t>(
        &self,
        fits: Vec<(Standing<'t>, Vec<Edit>)>,
        shown: &str,
        entered: &mut Entered,
    ) -> Vec<(Standing<'t>, Vec<Edit>)> {
        let of_day = |standing: &Standing<'_>| {
            self.is_of_the_day(standing.source, standing.file, standing.tree, standing.block)
        };
        let count = fits.iter().filter(|(standing, _)| of_day(standing)).count();
        if count != 1 {
            return fits;
        }
        let own: Vec<_> = fits
            .into_iter()
            .filter(|(standing, _)| of_day(standing))
            .collect();
        for (standing, _) in &own {
            entered.said.push(format!(
                "`{shown}` is for {}, the one of {}.",
                self.blank_named(standing),
                self.day.as_deref().unwrap_or_default()
            ));
        }
        own
    }

    /// Whether it is a weigh-in of the day that is logged.
    fn is_of_the_day(&self, source: SourceId, file: &Source, tree: &Tree, block: Block) -> bool {
        let Some((header, body)) = tree.statements(block).split_first() else {
            return false;
        };
        let of = |statement: &Statement| words(source, file.text(), tree, statement);
        of(header).text(0) == BlockKind::WeighIn.word()
            && body.iter().any(|statement| {
                let own = of(statement);
                own.begins("dated") && Some(own.text(1)) == self.day.as_deref()
            })
    }

    /// The one weigh-in of the day, for a reading of what the plan knows and has no other figure of.
    fn sheet_of_the_day(&self, own: &Words<'_>) -> Option<(SourceId, &Source, &Tree, Block)> {
        let read = own.begins("reads") && own.names_something() && own.unknown(self.plan).is_none();
        let said = self
            .statements()
            .any(|standing| blanks::says_other(&standing.words(), own));
        if !read || said {
            return None;
        }
        let mut all = self
            .blocks()
            .filter(|(source, file, tree, block)| self.is_of_the_day(*source, file, tree, *block));
        match (all.next(), all.next()) {
            (Some(one), None) => Some(one),
            _ => None,
        }
    }

    /// `weigh-in before`.
    fn block_words(&self, standing: &Standing<'_>) -> String {
        let header = standing.tree.statements(standing.block).first();
        header.map_or_else(String::new, |header| {
            let head = words(standing.source, standing.file.text(), standing.tree, header);
            format!("{} {}", head.text(0), head.glued(1))
        })
    }

    fn blank_named(&self, standing: &Standing<'_>) -> String {
        format!("{} ({})", self.place(standing.at()), self.block_words(standing))
    }

    fn no_blank(&self, given: &Given<'_>, statement: &Statement, own: &Words<'_>) -> Refused {
        let place = given.place(statement);
        let shown = own.shown();
        let keyword = own.text(0);
        if let Some(name) = own.unknown(self.plan) {
            let near = crate::rules::nearest(name, tokens::known_names(self.plan).into_iter());
            let near = match near.as_slice() {
                [] => String::new(),
                _ => format!(" Perhaps {}?", near.join(" or ")),
            };
            return format!("{place}: nothing of the plan is called `{name}`.{near}");
        }
        let other = self
            .statements()
            .find(|standing| blanks::says_other(&standing.words(), own));
        if let Some(other) = other {
            return format!(
                "{place}: the plan says `{}` at {}, and what is written is not overwritten. Correct it there; a second reading goes into a \
                 sheet of its own: weigh-in NAME; dated DATE; {shown}",
                other.words().shown(),
                self.place(other.at())
            );
        }
        // What only a log says stands in one.
        if of_block(BlockKind::Log).any(|shape| own.begins(shape.words) && shape.blocks == [BlockKind::Log]) {
            return format!("{place}: `{shown}` belongs to a step. Write: log STEP; {shown}");
        }
        if !of_block(BlockKind::Step)
            .chain(of_block(BlockKind::WeighIn))
            .any(|shape| own.begins(shape.words))
            && BlockKind::of_word(keyword).is_none()
            && !crate::syntax::shapes::SHAPES
                .iter()
                .any(|shape| own.begins(shape.words))
        {
            return format!(
                "{place}: `{keyword}` opens no block and is no statement. Write what was done: log STEP; done 2026-03-14; or what was read: \
                 reads PART 14.2 kg."
            );
        }
        format!(
            "{place}: `{shown}` fits no blank of the plan: nothing that it could fill says `to come`. What was read in a step goes into its \
             log: log STEP; {shown}"
        )
    }

    /// A block with a name: its statements fill that block's blanks; a weigh-in also takes what is new.
    fn block(
        &self,
        given: &Given<'_>,
        kind: BlockKind,
        block: Block,
        entered: &mut Entered,
    ) -> Result<(), Refused> {
        let Some((header, body)) = given.tree.statements(block).split_first() else {
            return Ok(());
        };
        let head = given.words(header);
        let name = head.glued(1);
        let Some((source, file, tree, there)) = self.block_named(kind.word(), &name) else {
            return match kind {
                BlockKind::WeighIn | BlockKind::Accept => self.new_block(given, kind, block, entered),
                _ => Err(format!(
                    "{}: the plan has no {} `{name}`, and `enter` takes what was done, read and found. What is planned is written into \
                     the plan's own file.",
                    given.place(header),
                    kind.word()
                )),
            };
        };
        let title = tree.statements(there).first();
        let title = title.map(|title| words(source, file.text(), tree, title));
        let more = head.all.len() > head.glued_end(1);
        if let Some(title) = title.filter(|title| more && !title.same(&head)) {
            return Err(format!(
                "{}: the plan has `{}` at {}, and its header stays. Leave out what stands after the name: {} {name}; ...",
                given.place(header),
                title.shown(),
                self.place(tree.span(source, there)),
                kind.word()
            ));
        }
        let comments = given.comments(block);
        if !comments.is_empty() {
            entered.said.push(comments_stay(&comments));
        }
        let known: Vec<Standing<'_>> = tree
            .statements(there)
            .get(1..)
            .unwrap_or_default()
            .iter()
            .map(|statement| Standing {
                source,
                file,
                tree,
                block: there,
                statement,
            })
            .collect();
        let mut same = 0;
        let mut used: BTreeSet<u32> = BTreeSet::new();
        for statement in body {
            let own = given.words(statement);
            // A note without a text says nothing.
            if own.all.is_empty() || (own.all.len() == 1 && own.text(0) == "note") {
                continue;
            }
            let shown = own.shown();
            let equal = known.iter().find(|standing| {
                let free = !used.contains(&standing.statement.start);
                free && blanks::says(self.plan, &standing.words(), &own)
            });
            if let Some(standing) = equal {
                used.insert(standing.statement.start);
                same += 1;
                continue;
            }
            let fits: Vec<(&Standing<'_>, Vec<Edit>)> = known
                .iter()
                .filter_map(|standing| Some((standing, blanks::filled(self.plan, &standing.words(), &own)?)))
                .collect();
            match fits.as_slice() {
                [(standing, edits)] => {
                    self.fill(given, statement, standing, edits, &shown, entered)?;
                }
                [] if kind == BlockKind::WeighIn => {
                    let shape = of_block(kind).find(|shape| own.begins(shape.words));
                    let once = shape.filter(|shape| shape.often == Often::Once);
                    let said = once.and_then(|shape| known.iter().find(|s| s.words().begins(shape.words)));
                    let said = said.or_else(|| {
                        known
                            .iter()
                            .find(|standing| blanks::says_other(&standing.words(), &own))
                    });
                    if let Some(said) = said {
                        return Err(self.said_otherwise(given, statement, said, &shown));
                    }
                    let text = given.slice(statement.start, statement.end);
                    self.add_line(file, source, tree, there, text, entered)
                        .map_err(|why| format!("{}: {why}", given.place(statement)))?;
                }
                [] => {
                    let said = known
                        .iter()
                        .find(|standing| standing.words().text(0) == own.text(0));
                    return Err(match said {
                        Some(said) => self.said_otherwise(given, statement, said, &shown),
                        None => format!(
                            "{}: `{shown}` fits no blank of {} `{name}`, at {}. `enter` fills what says `to come`; the rest is written \
                             into the plan's own file.",
                            given.place(statement),
                            kind.word(),
                            self.place(tree.span(source, there))
                        ),
                    });
                }
                [(first, _), (second, _), ..] => {
                    return Err(format!(
                        "{}: `{shown}` fits two blanks of the same block, at {} and {}. Fill them in the plan's own file.",
                        given.place(statement),
                        self.place(first.at()),
                        self.place(second.at())
                    ));
                }
            }
        }
        if same > 0 {
            let place = self.place(tree.span(source, there));
            entered.said.push(match same {
                _ if same == body.len() => {
                    format!(
                        "All of {} `{name}` stands there already, at {place}.",
                        kind.word()
                    )
                }
                1 => format!(
                    "One line of {} `{name}` stands there already, at {place}.",
                    kind.word()
                ),
                _ => format!(
                    "{same} lines of {} `{name}` stand there already, at {place}.",
                    kind.word()
                ),
            });
        }
        Ok(())
    }

    fn said_otherwise(
        &self,
        given: &Given<'_>,
        statement: &Statement,
        said: &Standing<'_>,
        shown: &str,
    ) -> Refused {
        format!(
            "{}: the plan says `{}` at {}, and what is written is not overwritten. Correct it there, or leave out `{shown}`.",
            given.place(statement),
            said.words().shown(),
            self.place(said.at())
        )
    }

    /// A weigh-in or an acceptance that is new: behind the last one, else where logs go.
    fn new_block(
        &self,
        given: &Given<'_>,
        kind: BlockKind,
        block: Block,
        entered: &mut Entered,
    ) -> Result<(), Refused> {
        let text = given.block_text(block);
        if kind == BlockKind::Accept {
            let header = given.tree.statements(block).first();
            let own = header.map(|header| given.words(header));
            let there = self.blocks().find(|(id, file, tree, other)| {
                let header = tree.statements(*other).first();
                header.is_some_and(|header| {
                    let other = words(*id, file.text(), tree, header);
                    own.as_ref().is_some_and(|own| own.same(&other))
                })
            });
            if let Some((id, _, tree, there)) = there {
                let place = self.place(tree.span(id, there));
                entered
                    .said
                    .push(format!("`{}` stands there already, at {place}.", text.trim()));
                return Ok(());
            }
        }
        if entered.change.adds(&text) {
            entered
                .said
                .push(format!("`{}` is given twice.", first_line(&text)));
            return Ok(());
        }
        let last = self
            .blocks()
            .filter(|(id, file, tree, block)| {
                let header = tree.statements(*block).first();
                header.is_some_and(|header| words(*id, file.text(), tree, header).text(0) == kind.word())
            })
            .last();
        match last {
            Some((source, file, tree, last)) => {
                let at = edits::behind(file, tree.span(source, last));
                entered
                    .change
                    .insert(Inserted::block(source, file, at, &text, false));
            }
            None => self.at_the_end(&text, entered)?,
        }
        Ok(())
    }

    /// A statement more, below the last one of a block.
    fn add_line(
        &self,
        file: &Source,
        source: SourceId,
        tree: &Tree,
        block: Block,
        text: &str,
        entered: &mut Entered,
    ) -> Result<(), Refused> {
        let statements = tree.statements(block);
        if let Some(last) = statements.last()
            && file.slice(last.end.saturating_sub(1), last.end) == ","
        {
            let at = Span::new(source, last.start, last.end);
            return Err(format!(
                "the line at {} ends in a comma, and what follows would belong to it. Mend that first.",
                self.place(at)
            ));
        }
        let at = edits::behind(file, tree.span(source, block));
        let text = edits::indented(text, &edits::indent(file, statements));
        let line = Inserted::line(source, file, at, &text);
        if entered.change.has(&line) {
            entered.said.push(format!("`{}` is given twice.", text.trim()));
        } else {
            entered.change.insert(line);
        }
        Ok(())
    }

    /// At the end of the plan's one file, or in `log.boltplan` beside the one that says `plan`.
    fn at_the_end(&self, text: &str, entered: &mut Entered) -> Result<(), Refused> {
        let own: Vec<(SourceId, &Source)> = self
            .done
            .sources
            .iter()
            .filter(|(_, source)| !source.is_shared() && source.broken().is_none())
            .collect();
        let main = self.plan.about.as_ref().map(|about| about.head.at.source);
        let main = own
            .iter()
            .find(|(id, _)| Some(*id) == main)
            .or_else(|| own.first());
        let Some(&(main, file)) = main else {
            return Err("no file of the plan can be read as text, so that nothing can be entered. `boltfolio lint` tells where.".to_owned());
        };
        let beside = match file.path().rsplit_once('/') {
            Some((folder, _)) => format!("{folder}/{LOG_FILE}"),
            None => LOG_FILE.to_owned(),
        };
        let in_log = own.iter().find(|(_, source)| source.path() == beside);
        let (source, file) = match in_log {
            Some(&known) => known,
            None if own.len() == 1 => (main, file),
            None => {
                entered.change.beside(&beside, text, line_end_of(file.text()));
                return Ok(());
            }
        };
        let end = u32::try_from(file.text().len()).unwrap_or(u32::MAX);
        let first = !entered.change.inserts_at(source, end);
        entered
            .change
            .insert(Inserted::block(source, file, end, text, first));
        Ok(())
    }
}

/// Where logs are kept in a plan of several files that has none yet.
pub const LOG_FILE: &str = "log.boltplan";

fn first_line(text: &str) -> &str {
    text.trim().lines().next().unwrap_or_default()
}

/// Comments of an entry are not the plan's: they are told, so that nobody takes them for entered.
fn comments_stay(comments: &[&str]) -> String {
    format!("A comment of the entry is not entered: {}", comments.join(" "))
}
