//! Every proof key of a document, with words for it such as "step 2.8, act c": what must be found on paper, and
//! how to say that it was not. Must not know how anything is laid out.

use crate::binder::document::{
    Block, Card, CardRow, Cell, Document, Marks, Message, PictureUse, Proof, Section,
};

/// A key and what it stands for in a fitter's words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    pub key: Proof,
    pub words: String,
}

/// All keys of a document, in its order.
#[must_use]
pub fn keys(document: &Document) -> Vec<Named> {
    let mut keys = Keys::default();
    for section in &document.sections {
        for block in &section.blocks {
            keys.block(section, block);
        }
    }
    keys.list
}

/// All keys of one block, in its order.
#[must_use]
pub fn of_block(section: &Section, block: &Block) -> Vec<Named> {
    let mut keys = Keys::default();
    keys.block(section, block);
    keys.list
}

/// Every use of a picture, in the document's order.
#[must_use]
pub fn pictures(document: &Document) -> Vec<&PictureUse> {
    let blocks = document.sections.iter().flat_map(|section| &section.blocks);
    blocks.flat_map(Block::pictures).collect()
}

#[derive(Default)]
struct Keys {
    list: Vec<Named>,
}

impl Keys {
    fn add(&mut self, key: &str, words: String) {
        self.list.push(Named {
            key: key.to_owned(),
            words,
        });
    }

    fn message(&mut self, place: &str, message: &Message) {
        self.add(&message.proof, format!("{place}, {}", message.signal.word()));
    }

    fn picture(&mut self, place: &str, picture: &PictureUse) {
        self.add(&picture.proof, format!("{place}, picture {}", picture.key));
    }

    fn marks(&mut self, place: &str, marks: &Marks) {
        let all = marks.groups.iter().flat_map(|group| group.rows.iter().flatten());
        for (mark, number) in all.zip(1..) {
            self.add(&mark.proof, format!("{place}, fixing {number}"));
        }
    }

    fn block(&mut self, section: &Section, block: &Block) {
        let place = &section.title;
        match block {
            Block::Card(card) => self.card(card),
            Block::Message(message) => self.message(place, message),
            Block::Picture(picture) => self.picture(place, picture),
            Block::Cover(cover) => {
                if let Some(picture) = &cover.picture {
                    self.picture(place, picture);
                }
            }
            Block::Halves(left, right) => {
                for inner in left.iter().chain(right) {
                    self.block(section, inner);
                }
            }
            Block::Table(table) => {
                let name = if table.title.is_empty() {
                    place
                } else {
                    &table.title
                };
                let rows = table.groups.iter().flat_map(|group| &group.rows);
                for (row, number) in rows.zip(1..) {
                    let at = format!("{name}, row {number}");
                    if let Some(proof) = &row.proof {
                        self.add(proof, at.clone());
                    }
                    for cell in &row.cells {
                        if let Cell::Marks(marks) = cell {
                            self.marks(&at, marks);
                        }
                    }
                }
            }
            Block::Dense(list) => {
                for (item, number) in list.items.iter().zip(1..) {
                    self.add(&item.proof, format!("{}, line {number}", list.title));
                }
            }
            Block::Stages(list) => {
                self.picture(place, &list.drawing);
                for (row, number) in list.rows.iter().zip(1..) {
                    self.add(&row.proof, format!("{place}, stage {number}"));
                }
            }
            Block::BeforeItMoves(list) => {
                self.add(&list.proof, list.title.clone());
                if let Some(map) = &list.map {
                    self.picture(&list.title, map);
                }
                let rows = list.groups.iter().flat_map(|(_, rows)| rows);
                for (row, number) in rows.zip(1..) {
                    self.add(&row.proof, format!("{}, row {number}", list.title));
                }
            }
            Block::WeighingSheet(sheet) => {
                self.add(&sheet.proof, sheet.title.clone());
                for (row, number) in sheet.rows.iter().zip(1..) {
                    self.add(&row.proof, format!("{}, reading {number}", sheet.title));
                }
            }
            Block::Heading { .. }
            | Block::Text(_)
            | Block::Prose(_)
            | Block::Figures(_)
            | Block::TickList { .. }
            | Block::Fields(_)
            | Block::Signatures(_)
            | Block::Index(_)
            | Block::MarksExplained(_) => {}
        }
    }

    fn card(&mut self, card: &Card) {
        let step = format!("step {}", card.number);
        self.add(&card.proof, step.clone());
        for message in &card.messages {
            self.message(&step, message);
        }
        for row in &card.rows {
            match row {
                CardRow::Act(act) => {
                    let at = format!("{step}, act {}", act.letter);
                    self.add(&act.act_proof, at.clone());
                    self.add(&act.tick_proof, format!("{at}, its tick"));
                    for key in &act.also {
                        self.add(key, at.clone());
                    }
                    let groups = act.marks.iter().flat_map(|marks| &marks.groups);
                    let marks = groups.flat_map(|group| group.rows.iter().flatten());
                    for (mark, number) in marks.zip(1..) {
                        self.add(&mark.proof, format!("{at}, fixing {number}"));
                    }
                }
                CardRow::Message(message) => self.message(&step, message),
                CardRow::Picture(picture) => self.picture(&step, picture),
                CardRow::Prose(_) => {}
            }
        }
        if let Some(check) = &card.second_check {
            self.add(&check.proof, format!("{step}, second check"));
        }
    }
}
