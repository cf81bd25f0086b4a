//! Stage and step blocks. What the acts say is read in `acts.rs`.

use std::cell::RefCell;

use super::super::model::{Act, Need, Stage, Step, StepLine};
use super::super::scope::Entity;
use super::amounts::{text, time_figure};
use super::block::{Read, Reader, expected};
use super::names::{Want, caution, person, stage, swap};
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{BlockKind, Keyword as K, Shape};

impl<'a> Reader<'a> {
    pub fn stage(&mut self) -> Stage {
        let mut reverses = Vec::new();
        if let Some(mut cursor) = self.block.header()
            && !cursor.at_end()
        {
            let read = match cursor.eat("reverses") {
                Some(_) => {
                    self.list_of(&mut cursor, Want::Stage, stage)
                        .and_then(|stages| match cursor.at_end() {
                            true => Ok(stages),
                            false => Err(expected(
                                &cursor,
                                "the end of the header",
                                BlockKind::Stage.form(),
                            )),
                        })
                }
                None => {
                    let what = "`reverses` and the stages that it undoes, or the end of the header";
                    Err(expected(&cursor, what, BlockKind::Stage.form()))
                }
            };
            reverses = self.settle(read).unwrap_or_default();
        }
        let mut stage = Stage {
            head: self.head(),
            reverses,
            cautions: Vec::new(),
            time: None,
            steps: Vec::new(),
        };
        self.statements(&mut |reader, shape, cursor| {
            match shape.keyword {
                K::CautionHere => stage
                    .cautions
                    .extend(reader.list_of(cursor, Want::Caution, caution)?),
                K::Time => stage.time = Some(time_figure(cursor)?),
                _ => return Err(expected(cursor, "a statement of a stage block", shape.form)),
            }
            Ok(())
        });
        stage.head.notes = self.take_notes();
        stage
    }

    pub fn step(&mut self) -> Step {
        let step = RefCell::new(Step {
            head: self.head(),
            stage: None,
            by: Vec::new(),
            calls: None,
            stop_word: None,
            after: Vec::new(),
            instead_of: None,
            for_swaps: Vec::new(),
            derived: None,
            needs: Vec::new(),
            cautions: Vec::new(),
            time: None,
            safe_to_leave: None,
            safe_overnight: None,
            lines: Vec::new(),
        });
        self.statements_and_notes(
            &mut |reader, shape, cursor| reader.step_statement(&mut step.borrow_mut(), shape, cursor),
            &mut |reader| {
                step.borrow_mut()
                    .lines
                    .extend(reader.take_notes().into_iter().map(StepLine::Note))
            },
        );
        let mut step = step.into_inner();
        step.lines.shrink_to_fit();
        step
    }

    fn step_statement(
        &mut self,
        step: &mut Step,
        shape: &'static Shape,
        cursor: &mut Cursor<'a>,
    ) -> Read<()> {
        match shape.keyword {
            K::By => step.by = self.list_of(cursor, Want::Person, person)?,
            K::Calls => {
                step.calls = self.one_of(cursor, Want::Person, person)?;
                if cursor.comma() {
                    cursor
                        .eat("stop word")
                        .ok_or_else(|| expected(cursor, "`stop word` and the word", shape.form))?;
                    step.stop_word = Some(text(cursor, "the word, in quotes", shape.form)?);
                }
            }
            K::After => step.after = self.list_of(cursor, Want::Step, super::names::step)?,
            K::InsteadOf => step.instead_of = self.one_of(cursor, Want::Step, super::names::step)?,
            K::Was => step.head.was = Some(self.was(cursor, shape.form)?),
            K::ForSwap => step.for_swaps = self.list_of(cursor, Want::Swap, swap)?,
            K::Needs => {
                let needs = self.list_of(cursor, Want::Need, |entity| match entity {
                    Entity::Tool(id) => Some(Need::Tool(id)),
                    Entity::Rig(id) => Some(Need::Rig(id)),
                    Entity::Consumable(id) => Some(Need::Consumable(id)),
                    _ => None,
                })?;
                step.needs.extend(needs);
            }
            K::CautionHere => {
                let cautions = self.list_of(cursor, Want::Caution, caution)?;
                step.lines.extend(cautions.iter().copied().map(StepLine::Caution));
                step.cautions.extend(cautions);
            }
            K::Time => step.time = Some(time_figure(cursor)?),
            K::SafeToLeave => {
                let at = cursor.statement();
                match cursor.eat("overnight") {
                    Some(_) => step.safe_overnight = Some(at),
                    None => step.safe_to_leave = Some(at),
                }
            }
            K::Figure => {
                let figure = self.figure(cursor)?;
                step.lines.push(StepLine::Figure(figure));
            }
            _ => {
                let at = cursor.statement();
                if let Some(does) = self.act(shape, cursor)? {
                    step.lines.push(StepLine::Act(Act { at, does }));
                }
            }
        }
        Ok(())
    }
}
