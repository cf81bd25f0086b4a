//! From trees to a plan: headers first, then all blocks side by side, then what only shows when all are read.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::declare::{self, Declared};
use super::link;
use super::model::{Accept, Head, LeftOut, Log, Plan, Progress, Rig};
use super::named::{Mention, Names};
use super::plan_error::PlanError;
use super::prose;
use super::read::block::{Reader, World};
use super::reversed;
use super::scope::{Scope, Tag};
use crate::base::letters;
use crate::base::picture::{PictureFile, Pictures};
use crate::base::source::{SourceId, Sources, Span};
use crate::syntax::hidden;
use crate::syntax::shapes::BlockKind;
use crate::syntax::tree::{Token, TokenKind, Tree};

/// A plan, and what was wrong on the way to it.
#[derive(Debug, Default)]
pub struct Resolved {
    /// What could be read; the rest is left out.
    pub plan: Plan,
    /// In the order of the texts.
    pub slips: Vec<PlanError>,
    /// All names, with the places that use them.
    pub names: Names,
    /// By the key under which the plan knows them.
    pub pictures: BTreeMap<String, PictureFile>,
}

/// Blocks that are read together before their items are put into the list.
const BATCH: usize = 1024;

/// What reading some blocks gave.
struct Harvest<T> {
    items: Vec<T>,
    slips: Vec<PlanError>,
    mentions: Vec<Mention>,
    pictures: Vec<PictureFile>,
}

impl<T> Default for Harvest<T> {
    fn default() -> Self {
        Self {
            items: Vec::new(),
            slips: Vec::new(),
            mentions: Vec::new(),
            pictures: Vec::new(),
        }
    }
}

/// Resolves the trees of all sources, in their order.
#[must_use]
pub fn resolve(sources: &Sources, trees: &[Tree], pictures: &dyn Pictures) -> Resolved {
    let mut resolved = Resolved::default();
    let hidden_lines = hidden_characters(sources, &mut resolved.slips);
    letters_lacking(sources, trees, &mut resolved.slips);
    let mut scope = Scope::default();
    let blocks = declare::declare(sources, trees, &mut scope, &mut resolved.slips);
    let to_derive = reversed::reversed(&blocks, &mut scope, &mut resolved.slips);
    let world = World {
        scope: &scope,
        blocks: &blocks,
        pictures,
        judge_note: prose::judge,
    };
    let mut gather = Gather {
        world,
        mentions: Vec::new(),
        resolved: &mut resolved,
    };

    let abouts = gather.all(&[BlockKind::Plan], |reader, into| into.push(reader.about()));
    let plan_places: Vec<Span> = abouts.iter().map(|about| about.head.at).collect();
    let vehicles = gather.all(&[BlockKind::Vehicle, BlockKind::Machine], |reader, into| {
        into.push(reader.vehicle())
    });
    let parts = gather.all(
        &[
            BlockKind::Part,
            BlockKind::Parts,
            BlockKind::Vehicle,
            BlockKind::Machine,
        ],
        |reader, into| match reader.block.kind {
            BlockKind::Part => into.push(reader.part()),
            BlockKind::Parts => into.append(&mut reader.bare_parts()),
            // Its statements were read for the vehicle itself.
            _ => into.extend(reader.body_part()),
        },
    );
    let assemblies = gather.all(&[BlockKind::Assembly], |reader, into| {
        into.push(reader.assembly())
    });
    let joints = gather.all(
        &[BlockKind::Joint, BlockKind::Part],
        |reader, into| match reader.block.kind {
            BlockKind::Joint => into.push(reader.joint()),
            _ => into.extend(reader.fixed_joint()),
        },
    );
    let fluids = gather.all(&[BlockKind::Fluid], |reader, into| into.push(reader.fluid()));
    let energies = gather.all(&[BlockKind::Energy], |reader, into| into.push(reader.energy()));
    let cautions = gather.all(&[BlockKind::Caution], |reader, into| into.push(reader.caution()));
    let mut rigs = vec![floor()];
    rigs.extend(gather.all(&[BlockKind::Rig], |reader, into| into.push(reader.rig())));
    let tools = gather.all(&[BlockKind::Tool], |reader, into| into.push(reader.tool()));
    let consumables = gather.all(&[BlockKind::Consumable], |reader, into| {
        into.push(reader.consumable())
    });
    let kits = gather.all(&[BlockKind::Kit], |reader, into| into.push(reader.kit()));
    let people = gather.all(&[BlockKind::Person], |reader, into| into.push(reader.person()));
    let scales = gather.all(&[BlockKind::Scale], |reader, into| into.push(reader.scale()));
    let stages = gather.all(&[BlockKind::Stage], |reader, into| into.push(reader.stage()));
    let mut steps = gather.all(&[BlockKind::Step], |reader, into| into.push(reader.step()));
    steps.extend(reversed::blank_steps(&to_derive));
    let weigh_ins = gather.all(&[BlockKind::WeighIn], |reader, into| into.push(reader.weigh_in()));
    let swaps = gather.all(&[BlockKind::Swap], |reader, into| into.push(reader.swap()));
    let logs: Vec<Log> = gather.all(&[BlockKind::Log], |reader, into| into.extend(reader.log()));
    let accepts: Vec<Accept> = gather.all(&[BlockKind::Accept], |reader, into| into.extend(reader.accept()));

    let mentions = gather.mentions;
    resolved.names = Names::new(&scope, mentions);
    let plan = Plan {
        about: abouts.into_iter().next().map(Box::new),
        vehicles: vehicles.into(),
        parts: parts.into(),
        assemblies: assemblies.into(),
        joints: joints.into(),
        fluids: fluids.into(),
        energies: energies.into(),
        cautions: cautions.into(),
        rigs: rigs.into(),
        tools: tools.into(),
        consumables: consumables.into(),
        kits: kits.into(),
        people: people.into(),
        scales: scales.into(),
        stages: stages.into(),
        steps: steps.into(),
        weigh_ins: weigh_ins.into(),
        swaps: swaps.into(),
        logs,
        accepts,
        order: Vec::new(),
        stage_order: Vec::new(),
        progress: Progress::default(),
        left_out: LeftOut::default(),
    };
    resolved.plan = plan;
    link::link(&mut resolved, &scope, &blocks, &plan_places);
    suggest(&mut resolved.slips, &scope);
    drop_slips_on(&mut resolved.slips, &hidden_lines, sources);
    resolved
}

/// The floor is a rig that every plan has, the first of all.
fn floor() -> Rig {
    let nowhere = Span::new(SourceId(0), 0, 0);
    let head = Head {
        name: declare::FLOOR.into(),
        at: nowhere,
        title: Some("Floor".into()),
        block: nowhere,
        notes: Vec::new(),
        was: None,
        shared: true,
    };
    Rig {
        is_floor: true,
        holds: Some(nowhere),
        ..super::read::rigs::blank_rig(head)
    }
}

struct Gather<'a, 'r> {
    world: World<'a>,
    mentions: Vec<Mention>,
    resolved: &'r mut Resolved,
}

impl<'a> Gather<'a, '_> {
    /// Reads every block of these kinds, each once for each of its sides, in order of declaration. `read` adds what it found
    /// to the list. The blocks are taken in batches, so that besides the list only one batch lies in memory.
    fn all<T: Send>(
        &mut self,
        kinds: &[BlockKind],
        read: impl Fn(&mut Reader<'a>, &mut Vec<T>) + Sync,
    ) -> Vec<T> {
        let world = self.world;
        let one = |harvest: &mut Harvest<T>, block: &'a Declared<'a>| {
            let mut read_for = |tag: Option<Tag>, first: bool| {
                let mut reader = Reader::new(world, block, tag);
                read(&mut reader, &mut harvest.items);
                harvest.mentions.append(&mut reader.mentions);
                // What is wrong is told once, not for each side.
                if first {
                    harvest.slips.append(&mut reader.slips);
                    harvest.pictures.append(&mut reader.found_pictures);
                }
            };
            match block.each {
                None => read_for(None, true),
                Some(each) => {
                    for (n, tag) in each.tags().into_iter().enumerate() {
                        read_for(Some(tag), n == 0);
                    }
                }
            }
        };
        let chosen: Vec<&'a Declared<'a>> = world
            .blocks
            .iter()
            .filter(|block| kinds.contains(&block.kind))
            .collect();
        let mut items = Vec::with_capacity(chosen.iter().map(|block| block.count).sum());
        for batch in chosen.chunks(BATCH) {
            let harvests: Vec<Harvest<T>> = batch
                .par_chunks(BATCH / 16)
                .map(|blocks| {
                    let mut harvest = Harvest::default();
                    blocks.iter().for_each(|block| one(&mut harvest, block));
                    harvest
                })
                .collect();
            for mut harvest in harvests {
                items.append(&mut harvest.items);
                self.resolved.slips.append(&mut harvest.slips);
                self.mentions.append(&mut harvest.mentions);
                for picture in harvest.pictures {
                    self.resolved.pictures.insert(picture.key.clone(), picture);
                }
            }
        }
        items
    }
}

/// Unknown names that are given suggestions: each costs a look at every name that there is.
const MOST_SUGGESTED: usize = 100;

/// Gathers the uses of one unknown name, and finds what it may have been meant for.
fn suggest(slips: &mut Vec<PlanError>, scope: &Scope) {
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    let mut told: Vec<PlanError> = Vec::with_capacity(slips.len());
    for mut slip in std::mem::take(slips) {
        if let PlanError::UnknownName {
            name,
            at,
            want,
            near,
            near_at,
            ..
        } = &mut slip
        {
            if let Some(PlanError::UnknownName { also, .. }) =
                first.get(name).and_then(|&place| told.get_mut(place))
            {
                also.push(*at);
                continue;
            }
            if near.is_empty() && first.len() < MOST_SUGGESTED {
                let found = scope.near(name, |entity| want.takes(entity));
                *near_at = found.first().and_then(|(_, at)| *at);
                *near = found.into_iter().map(|(name, _)| name).collect();
            }
            first.insert(name.clone(), told.len());
        }
        told.push(slip);
    }
    *slips = told;
}

/// Tells hidden characters, one finding a line, and gives the lines back.
fn hidden_characters(sources: &Sources, slips: &mut Vec<PlanError>) -> Vec<(SourceId, usize)> {
    let mut lines: Vec<(SourceId, usize)> = Vec::new();
    for (id, file) in sources.iter() {
        let mut found = hidden::find(file.text()).into_iter().peekable();
        while let Some((at, which)) = found.next() {
            let start = u32::try_from(at).unwrap_or(u32::MAX);
            let line = file.line_of(start);
            let mut more = 0;
            while found
                .next_if(|&(at, _)| file.line_of(u32::try_from(at).unwrap_or(u32::MAX)) == line)
                .is_some()
            {
                more += 1;
            }
            let end = start + u32::try_from(which.len_utf8()).unwrap_or(1);
            slips.push(PlanError::HiddenCharacter {
                at: Span::new(id, start, end),
                which,
                more,
            });
            lines.push((id, line));
        }
    }
    lines
}

/// Tells letters that paper cannot show, one finding a line; comments and the names of files are not printed.
fn letters_lacking(sources: &Sources, trees: &[Tree], slips: &mut Vec<PlanError>) {
    let text = |token: &&Token| matches!(token.kind(), TokenKind::Text | TokenKind::NoteText);
    for ((id, file), tree) in sources.iter().zip(trees) {
        if file.text().is_ascii() {
            continue;
        }
        let statements = tree.blocks().iter().flat_map(|&block| tree.statements(block));
        let mut line: Option<(usize, Span, Vec<char>)> = None;
        let printed = |statement| {
            let tokens = tree.tokens(statement);
            let first = tokens.first();
            let word = first.and_then(|token| file.text().get(token.start() as usize..token.end() as usize));
            let names_a_file = matches!(word, Some("figure" | "workshop"));
            tokens.iter().filter(text).skip(usize::from(names_a_file))
        };
        for token in statements.flat_map(printed) {
            let words = token.start() as usize..token.end() as usize;
            for (offset, sign) in letters::lacking(file.text().get(words).unwrap_or_default()) {
                let start = token.start() + u32::try_from(offset).unwrap_or(0);
                let end = start + u32::try_from(sign.len_utf8()).unwrap_or(1);
                let here = file.line_of(start);
                match &mut line {
                    Some((known, _, which)) if *known == here => which.push(sign),
                    _ => {
                        let before = line.replace((here, Span::new(id, start, end), vec![sign]));
                        slips.extend(before.map(|(_, at, which)| PlanError::NoLetter { at, which }));
                    }
                }
            }
        }
        slips.extend(line.map(|(_, at, which)| PlanError::NoLetter { at, which }));
    }
}

/// What a line with hidden characters looks like is not what it says: its other slips would only confuse.
fn drop_slips_on(slips: &mut Vec<PlanError>, lines: &[(SourceId, usize)], sources: &Sources) {
    if lines.is_empty() {
        return;
    }
    slips.retain(|slip| {
        let Some(at) = slip
            .place()
            .filter(|_| !matches!(slip, PlanError::HiddenCharacter { .. }))
        else {
            return true;
        };
        let line = sources.get(at.source).map_or(0, |file| file.line_of(at.start));
        !lines.contains(&(at.source, line))
    });
}
