//! The parts of the binder, in their order. A new page is a file beside this one and a row here. Knows no page.

use super::binding::Binding;
use super::document::Section;
use super::{
    before_first_run, cards, cover, findings_page, get_ready, index, job_on_one_page, log, mass_account,
    mass_balance, read_first, torque_table, weighing,
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
        name: "steps",
        sections: cards::sections,
    },
    Part {
        name: "weighing",
        sections: weighing::sections,
    },
    Part {
        name: "mass account",
        sections: mass_account::sections,
    },
    Part {
        name: "mass and balance",
        sections: mass_balance::sections,
    },
    Part {
        name: "torque table",
        sections: torque_table::sections,
    },
    Part {
        name: "before the first run",
        sections: before_first_run::sections,
    },
    Part {
        name: "log",
        sections: log::sections,
    },
    Part {
        name: "index",
        sections: index::sections,
    },
];
