//! The parts of the binder, in their order. A new page is a file beside this one and a row here. Knows no page.

use super::binding::Binding;
use super::document::{Block, Section};
use super::tables::section;
use super::{
    before_first_run, cards, cover, day_pages, findings_page, get_ready, job_on_one_page, log, mass_account,
    mass_balance, money, read_first, to_keep, weighing, worth,
};

/// A part of the binder: none, one or several sections.
pub struct Part {
    /// For tests and tools; a page's title is the part's own business.
    pub name: &'static str,
    /// Empty where the plan has nothing for it.
    pub sections: fn(&Binding<'_>) -> Vec<Section>,
}

pub const PARTS: &[Part] = &[
    Part {
        name: "cover",
        sections: cover::sections,
    },
    Part {
        name: "findings",
        sections: findings_page::sections,
    },
    Part {
        name: "read first",
        sections: read_first::sections,
    },
    Part {
        name: "the job on one page",
        sections: job_on_one_page::sections,
    },
    Part {
        name: "get ready",
        sections: get_ready::sections,
    },
    Part {
        name: "days",
        sections: day_pages::sections,
    },
    Part {
        name: "money",
        sections: money::sections,
    },
    Part {
        name: "is it worth it",
        sections: worth::sections,
    },
    Part {
        name: "steps",
        sections: cards::sections,
    },
    Part {
        name: "weights",
        sections: weights,
    },
    Part {
        name: "torque table, and before the first run",
        sections: before_first_run::sections,
    },
    Part {
        name: "the page to keep",
        sections: to_keep::sections,
    },
    Part {
        name: "log",
        sections: log::sections,
    },
];

/// Weighing, mass account, mass and balance: one after the other without a page's end between.
fn weights(binding: &Binding<'_>) -> Vec<Section> {
    let parts = [weighing::sections, mass_account::sections, mass_balance::sections];
    let all: Vec<Section> = parts.iter().flat_map(|sections| sections(binding)).collect();
    if let [only] = all.as_slice() {
        return section("weights", &only.title.clone(), only.blocks.clone());
    }
    let mut blocks = Vec::new();
    for section in all {
        blocks.push(Block::Heading {
            level: 2,
            text: section.title,
        });
        blocks.extend(section.blocks);
    }
    section("weights", "Weights", blocks)
}
