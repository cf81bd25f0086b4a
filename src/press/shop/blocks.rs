//! The blocks of the document as HTML. Each key of what must be found stands on the element that says it. Knows no script.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::Screen;
use crate::base::picture::PictureKind;
use crate::binder::document::{
    ActRow, BeforeItMoves, Block, Card, CardRow, Cell, Cover, Document, ExplainedMark, Field, Inline, Line,
    MarkShape, Marks, Message, PictureUse, Prose, SignalWord, Table, TickItem, WeighCell, WeighingSheet,
    Weight,
};
use crate::binder::given_back::{GivenBack, OfRow, OfStep};
use crate::press::words;

/// A document on its way to a page: what its blocks look up.
pub(super) struct Shown<'a> {
    /// Pictures as addresses that hold them whole, by key.
    pictures: BTreeMap<&'a str, String>,
    steps: BTreeMap<&'a str, &'a OfStep>,
    people: Vec<(&'a str, &'a str)>,
}

impl<'a> Shown<'a> {
    pub(super) fn new(document: &'a Document, given: &'a GivenBack) -> Shown<'a> {
        let pictures = document.pictures.iter().map(|picture| {
            let kind = match picture.kind {
                PictureKind::Png => "image/png",
                PictureKind::Jpeg => "image/jpeg",
                PictureKind::Svg => "image/svg+xml",
            };
            let address = format!("data:{kind};base64,{}", base64(&picture.bytes));
            (picture.key.as_str(), address)
        });
        Shown {
            pictures: pictures.collect(),
            steps: given
                .steps
                .iter()
                .map(|step| (step.card.as_str(), step))
                .collect(),
            people: given
                .people
                .iter()
                .map(|person| (person.name.as_str(), person.called.as_str()))
                .collect(),
        }
    }

    pub(super) fn screen(&self, screen: &Screen<'_>) -> Markup {
        let card = screen.blocks.iter().find_map(|block| match block {
            Block::Card(card) => Some(card),
            _ => None,
        });
        let called = match card {
            Some(card) => format!("{} {}", card.number, card.title),
            None => screen.section.title.clone(),
        };
        html! {
            section.screen aria-label=(called) data-card=[card.map(|card| card.proof.as_str())] {
                @if screen.first && !matches!(screen.blocks.first(), Some(Block::Cover(_))) {
                    h2.section { (screen.section.title) }
                } @else if card.is_some() {
                    p.section { (screen.section.title) }
                }
                @for block in &screen.blocks { (self.block(block)) }
            }
        }
    }

    fn block(&self, block: &Block) -> Markup {
        match block {
            Block::Heading { level, text } => match level {
                2 => html! { h3 { (text) } },
                _ => html! { h4 { (text) } },
            },
            Block::Text(line) => html! { p { (runs(line)) } },
            Block::Prose(parts) => html! { div.prose { (prose(parts)) } },
            Block::Cover(cover) => self.cover(cover),
            Block::Figures(list) => html! {
                ul.figures { @for one in list { li {
                    b.figure { (one.figure) } " " b { (one.word) }
                    @for line in &one.below { br; (line) }
                } } }
            },
            Block::Card(card) => self.card(card),
            Block::Message(message) => self::message(message),
            Block::Table(table) => self::table(table),
            Block::TickList { title, items } => html! {
                @if !title.is_empty() { h3 { (title) } }
                ul.ticks { @for item in items { (tick_item(item)) } }
            },
            Block::Dense(list) => html! {
                @if !list.title.is_empty() { h3 { (list.title) } }
                ul.ticks { @for item in &list.items { li {
                    label.tick { input type="checkbox" data-k=(item.proof) checked[item.done]; span { (runs(&item.text))
                        @if let Some(right) = &item.right { " " b { (right) } } } }
                } } }
            },
            Block::Stages(list) => html! {
                (self.picture(&list.drawing))
                ul.ticks { @for row in &list.rows { li {
                    label.tick { input type="checkbox" data-k=(row.proof); span { (row.names.join(" ")) } }
                } } }
                (self::table(&list.table))
            },
            Block::BeforeItMoves(list) => self.before_it_moves(list),
            Block::WeighingSheet(sheet) => weighing_sheet(sheet),
            Block::Fields(list) => html! { ul.fields { @for field in list { li { (self::field(field)) } } } },
            Block::Signatures(list) => {
                html! { ul.fields { @for text in list { li { b { (text) } span.line {} } } } }
            }
            Block::Halves(left, right) => {
                html! { @for inner in left.iter().chain(right) { (self.block(inner)) } }
            }
            Block::Picture(picture) => self.picture(picture),
            Block::Index(entries) => html! {
                ul.index { @for entry in entries { li { (entry.name) " " b { (entry.steps) } } } }
            },
            Block::MarksExplained(list) => html! {
                ul.index { @for meaning in list { li {
                    b { (match meaning.mark {
                        ExplainedMark::Square => "Square",
                        ExplainedMark::Ring => "Ring",
                        ExplainedMark::Hexagon => "Hexagon",
                        ExplainedMark::Letter => "Letter",
                    }) } " " (runs(&meaning.meaning))
                } } }
            },
        }
    }

    fn cover(&self, cover: &Cover) -> Markup {
        html! {
            h2 { (cover.title) }
            p.body { (cover.body) }
            @if let Some(picture) = &cover.picture { (self.picture(picture)) }
            dl { @for (label, value) in &cover.rows {
                dt { (label) }
                dd { @match value { Some(line) => (runs(line)), None => span.line {} } }
            } }
            ul.fields { @for text in &cover.signatures { li { b { (text) } span.line {} } } }
        }
    }

    fn picture(&self, used: &PictureUse) -> Markup {
        html! {
            figure data-k=(used.proof) {
                @match self.pictures.get(used.key.as_str()) {
                    Some(address) => img src=(address) alt=(used.alt);,
                    None => p { (used.alt) },
                }
                @if let Some(caption) = &used.caption { figcaption { (caption) } }
            }
        }
    }

    fn card(&self, card: &Card) -> Markup {
        let step = self.steps.get(card.proof.as_str()).copied();
        let rows: BTreeMap<&str, &OfRow> = step
            .map(|step| step.rows.iter().map(|row| (row.letter.as_str(), row)).collect())
            .unwrap_or_default();
        html! {
            article.card data-k=(card.proof) {
                h3.title { span.number { (card.number) } " " (card.title) }
                p.who { (runs(&card.who_and_time)) @if let Some(derived) = &card.derived { " · " (derived) } }
                @if !card.place.is_empty() { p { b { (words::WHERE) } " " (runs(&card.place)) } }
                @if !card.at_hand.is_empty() { p { b { (words::AT_HAND) } " " (runs(&card.at_hand)) } }
                (in_sight(card))
                p.changed role="status" hidden {}
                @if !card.first.is_empty() {
                    h4 { (words::FIRST) }
                    ul.ticks { @for item in &card.first { (tick_item(item)) } }
                }
                @for one in &card.messages { (message(one)) }
                ol.acts { @for group in grouped(&card.rows) { li.act {
                    @for row in group { (self.row(row, &rows)) }
                } } }
                @if let Some(check) = &card.second_check {
                    div.second data-k=(check.proof) {
                        h4 { (words::SECOND_CHECK) }
                        @for line in &check.lines { p { (line) } }
                        label { (words::SIGNED) " " input type="text" data-signed="" autocomplete="off"; }
                    }
                }
                @let after = card.after.iter().map(|(name, lines)| format!("{name}: {}", lines.join(", "))).collect::<Vec<_>>();
                @if !after.is_empty() || card.safe_to_leave.is_some() {
                    p.after { b { (words::AFTER) } " " (after.join(" · "))
                        @if let Some(safe) = &card.safe_to_leave { " " b { (safe) } } }
                }
                @match step {
                    Some(OfStep { done: Some(day), .. }) => p.logged { b { "Done " (day) ", by the log." } },
                    Some(step) => (self.end(step)),
                    None => {},
                }
            }
        }
    }

    /// What is said of the step as a whole.
    fn end(&self, step: &OfStep) -> Markup {
        html! {
            fieldset.end hidden {
                legend { "This card" }
                div.by role="group" aria-label="Who" { @for (name, called) in &self.people {
                    button.choice type="button" data-by=(name) aria-pressed=(if step.by.iter().any(|by| by == name) { "true" } else { "false" }) { (called) }
                } }
                label { "Minutes it took " input type="text" inputmode="numeric" data-took="" autocomplete="off"; }
                label { "Found " input type="text" data-found="" autocomplete="off"; }
                @if !step.joints.is_empty() {
                    details { summary { "Broken or lost" }
                        @for joint in &step.joints {
                            div.counted { span { (joint.called) }
                                label { "broke " input type="text" inputmode="numeric" data-broke=(joint.name) autocomplete="off"; }
                                label { "lost " input type="text" inputmode="numeric" data-lost=(joint.name) autocomplete="off"; }
                            }
                        }
                    }
                }
                @if !step.parts.is_empty() {
                    details { summary { "Damaged" }
                        @for part in &step.parts {
                            label { (part.called) " " input type="text" data-damaged=(part.name) autocomplete="off"; }
                        }
                    }
                }
                details { summary { "Left out, or done another way" }
                    label { "Left out, because " input type="text" data-skipped="" autocomplete="off"; }
                    label { "Done another way " input type="text" data-differently="" autocomplete="off"; }
                }
                label { "Stopped here, waiting for " input type="text" data-waiting="" autocomplete="off"; }
                p.stands role="status" {}
                button.done type="button" data-done="" { "Card done" }
            }
        }
    }

    fn row(&self, row: &CardRow, of: &BTreeMap<&str, &OfRow>) -> Markup {
        match row {
            CardRow::Message(message) => self::message(message),
            CardRow::Prose(parts) => html! { div.prose { (prose(parts)) } },
            CardRow::Picture(picture) => self.picture(picture),
            CardRow::Act(act) => self::act(act, of.get(act.letter.as_str()).copied()),
        }
    }

    fn before_it_moves(&self, list: &BeforeItMoves) -> Markup {
        let lines = |head: &str, lines: &[Line]| {
            html! { @if !lines.is_empty() { p { b { (head) } " " @for (n, line) in lines.iter().enumerate() { @if n > 0 { " · " } (runs(line)) } } } }
        };
        html! {
            section.before data-k=(list.proof) aria-label=(list.title) {
                h3 { (list.title) }
                (lines(words::WHEN, &list.when))
                (lines(words::HELD_BY, &list.held_by))
                (lines(words::WHO, &list.who))
                @if let Some(map) = &list.map { (self.picture(map)) }
                @if let Some(why) = &list.no_map { p { (why) } }
                p { (words::ONE_READS) }
                @for (head, rows) in &list.groups {
                    @if !head.is_empty() { h4 { (head) } }
                    ul.ticks { @for row in rows { li {
                        label.tick { input type="checkbox" data-k=(row.proof); span { b { (row.state) } " " (runs(&row.joint))
                            @if let Some(hidden) = &row.hidden { br; (hidden) } } }
                    } } }
                }
                p { (list.claim) " " (words::NOT_IN_PLAN) }
            }
        }
    }
}

/// What can kill or maim on this card, a line each: it stays at the glass's top whatever is scrolled.
fn in_sight(card: &Card) -> Markup {
    let of_rows = card.rows.iter().filter_map(|row| match row {
        CardRow::Message(message) => Some(message),
        _ => None,
    });
    let grave = card
        .messages
        .iter()
        .chain(of_rows)
        .filter(|message| message.signal <= SignalWord::Warning);
    let mut grave: Vec<&Message> = grave.collect();
    grave.sort_by_key(|message| message.signal);
    let lines: Vec<(&str, &str, &str)> = grave
        .into_iter()
        .map(|message| {
            let first = message.hazard.split_inclusive(". ").next().unwrap_or_default();
            (class(message.signal), message.signal.word(), first.trim_end())
        })
        .collect();
    html! {
        @if !lines.is_empty() {
            ul.sight tabindex="0" aria-label="In sight on this card" { @for (kind, word, hazard) in lines {
                li class=(kind) { b.signal { (word) } " " (hazard) }
            } }
        }
    }
}

/// Each act with what stands before it.
fn grouped(rows: &[CardRow]) -> Vec<Vec<&CardRow>> {
    let mut groups = Vec::new();
    let mut open: Vec<&CardRow> = Vec::new();
    for row in rows {
        open.push(row);
        if matches!(row, CardRow::Act(_)) {
            groups.push(std::mem::take(&mut open));
        }
    }
    if !open.is_empty() {
        groups.push(open);
    }
    groups
}

fn act(row: &ActRow, of: Option<&OfRow>) -> Markup {
    let blanks = of.map_or(&[][..], |of| of.blanks.as_slice());
    // What has a name in a log is asked for under that; where it is said what to write there, in those words.
    let fields = row.write.iter().filter(|_| blanks.is_empty());
    let captions = row.write.iter().filter(|_| row.write.len() == blanks.len());
    let mut captions = captions
        .map(|field| field.caption.as_str())
        .filter(|caption| !caption.is_empty());
    html! {
        div.row data-k=(row.act_proof) data-letter=(row.letter) {
            label.tick {
                span.words {
                    span.letter { (row.letter) } " " b { (row.verb) }
                    @if !row.object.is_empty() { " " (runs(&row.object)) }
                }
                input type="checkbox" data-k=(row.tick_proof) data-act="";
            }
            @for key in &row.also { span data-k=(key) {} }
            @if let Some(out) = &row.take_out { p.out { (out) } }
            @for fact in &row.facts { p.fact { (runs(fact)) } }
            @if let Some(torque) = &row.torque {
                p.torque { b { (torque.first) } @if let Some(second) = &torque.second { " (" (second) ")" } }
            }
            @for marks in &row.marks { (self::marks(marks)) }
            @match &row.reads { Some(WeighCell::Known(text)) => p.fact { b { (text) } }, _ => {} }
            @for blank in blanks {
                div.blank data-writes=(blank.writes) data-low=[blank.range.map(|range| range.0)] data-high=[blank.range.map(|range| range.1)] {
                    label { (captions.next().unwrap_or(&blank.called)) " " input type="text" inputmode="decimal" autocomplete="off" data-read=""; }
                    select aria-label="Unit" { @for unit in &blank.units { option { (unit) } } }
                    p.doubt role="status" {}
                }
            }
            @for field in fields { (self::field(field)) }
            @if let Some(minutes) = of.and_then(|of| of.wait) {
                div.clock data-minutes=(minutes) { button type="button" { "Start the clock" } p role="status" {} }
            }
        }
    }
}

fn marks(marks: &Marks) -> Markup {
    let (shape, word) = match marks.shape {
        MarkShape::Ring => ("ring", "ring"),
        MarkShape::Hexagon => ("hexagon", "hexagon"),
    };
    html! {
        div.marks role="group" aria-label=(format!("One {word} a fixing")) {
            @for group in &marks.groups {
                @if let Some(side) = group.side { b { (side) } }
                div.pattern { @for (nth, row) in group.rows.iter().enumerate() { div.rowed { @for (place, mark) in row.iter().enumerate() {
                    @let at = group.rows.iter().take(nth).map(Vec::len).sum::<usize>() + place;
                    button type="button" class=(shape) data-k=(mark.proof) aria-pressed="false"
                        aria-label=(format!("fixing {}{}", mark.number.map_or(at + 1, |number| number as usize), group.label.as_deref().map_or_else(String::new, |label| format!(", {label}")))) {
                        @if let Some(number) = mark.number { (number) }
                    }
                } } } }
                @if let Some(label) = &group.label { span { (label) } }
            }
        }
    }
}

fn field(field: &Field) -> Markup {
    html! {
        label.field { (field.caption) " " input type="text" data-noted=(field.caption) data-unit=[field.unit.as_deref()] autocomplete="off";
            @if let Some(unit) = &field.unit { " " (unit) } }
    }
}

fn tick_item(item: &TickItem) -> Markup {
    html! {
        li {
            @if item.tick { label.tick { input type="checkbox" data-loose=""; span { (runs(&item.text)) @if let Some(right) = &item.right { " " b { (right) } } } } }
            @else { (runs(&item.text)) @if let Some(right) = &item.right { " " b { (right) } } }
        }
    }
}

fn class(signal: SignalWord) -> &'static str {
    match signal {
        SignalWord::Danger => "danger",
        SignalWord::Warning => "warning",
        SignalWord::Caution => "caution",
        SignalWord::Notice => "notice",
    }
}

fn message(message: &Message) -> Markup {
    let kind = class(message.signal);
    let head = html! { b.signal { (message.signal.word()) } };
    html! {
        @if message.again {
            p class=(format!("message again {kind}")) data-k=(message.proof) {
                (head) " " b { (message.hazard) } " " (message.avoid.join(" "))
            }
        } @else {
            aside class=(format!("message {kind}")) data-k=(message.proof) aria-label=(message.signal.word()) {
                p { (head) " " (message.hazard) }
                ul { @for order in &message.avoid { li { (order) } } }
            }
        }
    }
}

fn weighing_sheet(sheet: &WeighingSheet) -> Markup {
    let cell = |cell: &WeighCell| {
        html! { @match cell {
            WeighCell::Known(text) => b { (text) },
            WeighCell::Blank { unit, .. } => { span.line {} " " (unit) },
            WeighCell::Nothing => {},
        } }
    };
    html! {
        section.sheet data-k=(sheet.proof) aria-label=(sheet.title) {
            h3 { (sheet.title) }
            dl { @for (label, value) in &sheet.conditions { dt { (label) } dd { @match value { Some(value) => (value), None => span.line {} } } } }
            ul { @for row in &sheet.rows { li data-k=(row.proof) {
                (runs(&row.what)) " " (cell(&row.reads)) " " (cell(&row.tare)) @if let Some(between) = &row.between { " " (between) }
            } } }
            @if let Some(corners) = &sheet.corners {
                ul { @for (name, one) in [words::FRONT_LEFT, words::FRONT_RIGHT, words::REAR_LEFT, words::REAR_RIGHT].into_iter().zip(corners) {
                    li { (name) " " (cell(one)) }
                } }
            }
            dl { @for (label, value) in &sheet.foot { dt { (label) } dd { @match value { Some(value) => (value), None => span.line {} } } } }
        }
    }
}

fn table(table: &Table) -> Markup {
    let headed = table.columns.iter().any(|column| !column.head.is_empty());
    html! {
        @if !table.title.is_empty() { h3 { (table.title) } }
        div.wide tabindex="0" role="region" aria-label=(if table.title.is_empty() { "Table" } else { &table.title }) {
            table {
                @if headed { thead { tr { @for column in &table.columns { th scope="col" { (column.head) } } } } }
                @for group in &table.groups { tbody {
                    @if let Some(head) = &group.head { tr { th scope="rowgroup" colspan=(table.columns.len()) { (head) } } }
                    @for row in &group.rows { tr data-k=[row.proof.as_deref()] class=[row.total.then_some("total")] {
                        @if row.cells.len() == 1 && table.columns.len() > 1 {
                            td colspan=(table.columns.len()) { @for one in &row.cells { (cell(one)) } }
                        } @else { @for one in &row.cells { td { (cell(one)) } } }
                    } }
                } }
            }
        }
    }
}

fn cell(cell: &Cell) -> Markup {
    html! { @match cell {
        Cell::Empty => {},
        Cell::Line(line) => (runs(line)),
        Cell::Lines(lines) => @for (n, line) in lines.iter().enumerate() { @if n > 0 { br; } (runs(line)) },
        Cell::Torque(torque) => { b.big { (torque.first) } @if let Some(second) = &torque.second { br; "(" (second) ")" } },
        Cell::Square | Cell::Hexagon => { span.box aria-hidden="true" {} },
        Cell::Marks(all) => (marks(all)),
        Cell::Dot => "●",
        Cell::Write => span.line {},
        Cell::Signal(word) => b { (word.word()) },
    } }
}

fn runs(line: &Line) -> Markup {
    html! { @for run in line {
        @match run.weight {
            Weight::Regular => (run.text),
            Weight::SemiBold | Weight::Bold => b { (run.text) },
        }
    } }
}

fn prose(parts: &[Prose]) -> Markup {
    html! { @for part in parts {
        @match part {
            Prose::Paragraph(inner) => p { (inlines(inner)) },
            Prose::Heading(inner) => p { b { (inlines(inner)) } },
            Prose::Verbatim(text) => pre { (text) },
            Prose::Quote(inner) => blockquote { (prose(inner)) },
            Prose::List { ordered_from, items } => @match ordered_from {
                Some(from) => ol start=(from) { @for item in items { li { (prose(item)) } } },
                None => ul { @for item in items { li { (prose(item)) } } },
            },
            Prose::Rule => hr;,
        }
    } }
}

fn inlines(parts: &[Inline]) -> Markup {
    html! { @for part in parts {
        @match part {
            Inline::Text(text) => (text),
            Inline::Verbatim(text) => code { (text) },
            Inline::Emphasis(inner) => em { (inlines(inner)) },
            Inline::Strong(inner) => b { (inlines(inner)) },
            // Nothing leads out of the page: the address is read, as on paper.
            Inline::Link { to, text } => { (inlines(text)) " (" (to) ")" },
            Inline::Break => br;,
        }
    } }
}

fn base64(bytes: &[u8]) -> String {
    use base64::Engine as _;
    base64::engine::general_purpose::STANDARD.encode(bytes)
}
