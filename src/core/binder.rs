//! Floor 8: the binder as a neutral document: what stands on which page, in whose words. All wording of the
//! binder is here, so that a second language could follow. Knows neither Typst nor Markdown, and no disk.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

pub mod document;
pub mod figures;
mod fixings_from;
pub mod masses_page;
mod masses_path;
pub mod today_page;

mod after_state;
mod at_hand;
pub(crate) mod bags;
mod before_first_run;
mod before_it_moves;
mod binding;
mod card_acts;
mod card_joints;
mod card_marks;
mod cards;
mod changes;
pub mod choices;
mod cover;
pub mod day_events;
mod day_pages;
mod days_strip;
pub mod drawings;
mod drives;
mod findings_page;
mod get_ready;
pub mod given_back;
mod hazards;
mod index;
mod job_lists;
mod job_on_one_page;
mod joint_words;
pub mod kept;
pub mod letters;
mod loaded;
mod log;
mod mass_account;
mod mass_balance;
mod masses;
mod money;
pub mod money_page;
mod money_words;
mod order_list;
mod over;
mod parts;
mod proof;
mod read_first;
mod recall;
mod rig_loads;
pub mod sizes;
mod stage_list;
mod step_title;
mod tables;
mod to_keep;
mod torque_table;
mod weighed;
mod weighing;
mod words;
mod worth;
pub mod worth_page;
mod worth_words;

#[cfg(test)]
mod plan_tests;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use crate::base::date::Date;
use crate::base::finding::Severity;
use crate::base::picture::PictureFile;
use crate::compile::Compilation;
use crate::plan::mentions;
use crate::plan::model::{Ink, Paper, Sides};
use binding::Binding;
pub use changes::{only_changed, page};
use document::{Block, Document, PictureUse, Section};
use kept::Kept;
pub use words::cut;

/// What the person at the desk asks for, beyond what the plan says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Overrules the plan's paper; A4 where neither says one.
    pub paper: Option<Paper>,
    /// Overrules the plan's sides; one where neither says.
    pub sides: Option<Sides>,
    /// The day of printing: on every page, unless the plan is `dated`.
    pub today: Date,
    /// The owner asked for paper although faults stand; the cover says so. The band NOT PROVED stands on every
    /// page whenever faults stand, asked for or not.
    pub unchecked: bool,
    /// Cards of steps that are over are left to a line each.
    pub to_do: bool,
    /// What the print before left beside its binder.
    pub kept: Kept,
}

impl Wanted {
    /// Nothing but the day: paper and sides are the plan's.
    #[must_use]
    pub fn printed(today: Date) -> Wanted {
        Wanted {
            paper: None,
            sides: None,
            today,
            unchecked: false,
            to_do: false,
            kept: Kept::default(),
        }
    }
}

/// Binds a compilation. Total: what the plan lacks is left out, or printed as a blank to fill in.
#[must_use]
pub fn bind(compilation: &Compilation, wanted: &Wanted) -> Document {
    let binding = Binding::new(compilation, wanted);
    let about = binding.about();
    let sides = wanted
        .sides
        .or_else(|| about.and_then(|about| about.sides).map(|said| said.value));
    let revision = format!("plan {}", compilation.revision());
    let (day, date) = match about.and_then(|about| about.dated) {
        Some(dated) => (dated.value, format!("dated {}", dated.value)),
        None => (wanted.today, format!("printed {}", wanted.today)),
    };
    let mut sections: Vec<Section> = parts::PARTS
        .iter()
        .flat_map(|part| (part.sections)(&binding))
        .collect();
    let blocks = sections.iter().flat_map(|section| &section.blocks);
    let mut drawings: Vec<PictureFile> = (blocks.flat_map(Block::pictures))
        .filter_map(PictureUse::file)
        .collect();
    // A drawing may stand on several cards.
    let mut met = BTreeSet::new();
    drawings.retain(|file| met.insert(file.key.clone()));
    let pictures: Vec<PictureFile> = compilation.pictures.values().cloned().chain(drawings).collect();
    let mut kept = binding.kept();
    kept.letters = letters::all(&binding, &sections);
    let mut print = changes::print(format!("{revision}, {date}"), &sections, &pictures);
    over::stay_as_printed(&binding, &wanted.kept, &kept, &mut print);
    kept.turn(print);
    over::settle(&binding, &mut sections);
    let news = changes::sections(&kept, &sections);
    // Behind the cover, and behind what was found where faults stand.
    let behind = sections
        .iter()
        .take_while(|section| ["cover", "findings"].contains(&section.key.as_str()));
    let place = behind.count();
    let changed = if news.is_empty() {
        BTreeSet::new()
    } else {
        kept.changed().0
    };
    sections.splice(place..place, news);
    let ink = about.and_then(|about| about.ink).map(|said| said.value);
    Document {
        title: binding.plan.title(),
        short: binding.vehicle(),
        language: about.and_then(|about| about.language.as_ref()).map_or_else(
            || binding.words.language().to_owned(),
            |said| said.value.to_string(),
        ),
        paper: binding.paper(),
        two_sided: sides == Some(Sides::Two),
        black_ink: ink == Some(Ink::Black),
        revision,
        date,
        day: Some(day),
        not_proved: not_proved(compilation),
        sections,
        changed,
        taken_from: None,
        kept,
        labels: bags::labels(&binding),
        pictures,
    }
}

/// The parts of every binder, in their order; one for which a plan has nothing is left out.
#[must_use]
pub fn part_names() -> Vec<&'static str> {
    parts::PARTS.iter().map(|part| part.name).collect()
}

/// The band on every page of a binder whose plan has faults. The findings stand behind the cover, on page 2.
fn not_proved(compilation: &Compilation) -> Option<String> {
    match compilation.count(Severity::Fault) {
        0 => None,
        faults => Some(format!("NOT PROVED: {}, page 2", Severity::Fault.words(faults))),
    }
}
