//! Signal words: what each promises about harm, and the panel that it stands in. Knows no plan's words.

use super::contrast::{
    BLACK, PRINTED_ORANGE, SAFETY_BLUE, SAFETY_ORANGE, SAFETY_RED, SAFETY_YELLOW, Srgb, WHITE,
};
use crate::base::citation::Citation;

/// Which word for which harm, and the colours by name.
pub const ANSI_Z535_4: Citation = Citation {
    work: "ANSI Z535.4 and Z535.6, product safety signs and labels, safety information in manuals",
    place: "Z535.4, 4.14; signal word panels",
};
/// The first three words; it has no NOTICE.
pub const ISO_3864_2: Citation = Citation {
    work: "ISO 3864-2, design principles for product safety labels",
    place: "signal words DANGER, WARNING, CAUTION",
};

/// Signal words, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Word {
    /// Will kill or maim.
    Danger,
    /// Could kill or maim.
    Warning,
    /// Could hurt.
    Caution,
    /// Breaks things, hurts nobody.
    Notice,
}

/// The worst that comes of it, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Harm {
    /// Death or serious injury.
    Serious,
    /// Minor or moderate injury.
    Minor,
    /// Things only.
    Property,
}

/// How sure the harm is if nobody avoids it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Chance {
    /// It will.
    Will,
    /// It could.
    Could,
}

/// Names of the panels' colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PanelColour {
    /// ANSI Z535.1.
    Red,
    /// ANSI Z535.1.
    Orange,
    /// ANSI Z535.1.
    Yellow,
    /// ANSI Z535.1.
    Blue,
}

/// A panel: fill and the ink of word and triangle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Panel {
    /// Its name.
    pub colour: PanelColour,
    /// The ground.
    pub fill: Srgb,
    /// What stands on it.
    pub ink: Srgb,
    /// Whether the alert triangle stands beside the word. It never does with NOTICE, where nobody is hurt.
    pub triangle: bool,
}

impl Word {
    /// Gravest first.
    pub const ALL: [Word; 4] = [Word::Danger, Word::Warning, Word::Caution, Word::Notice];

    /// The word for a harm: DANGER will kill or maim, WARNING could, CAUTION will or could hurt, NOTICE breaks things only
    /// (ANSI Z535.4, 4.14).
    #[must_use]
    pub fn of(harm: Harm, chance: Chance) -> Self {
        match (harm, chance) {
            (Harm::Serious, Chance::Will) => Word::Danger,
            (Harm::Serious, Chance::Could) => Word::Warning,
            (Harm::Minor, _) => Word::Caution,
            (Harm::Property, _) => Word::Notice,
        }
    }

    /// The harm that the word promises.
    #[must_use]
    pub fn harm(self) -> Harm {
        match self {
            Word::Danger | Word::Warning => Harm::Serious,
            Word::Caution => Harm::Minor,
            Word::Notice => Harm::Property,
        }
    }

    /// Whether ISO 3864-2 has the word too.
    #[must_use]
    pub fn in_iso_3864_2(self) -> bool {
        self != Word::Notice
    }

    /// The panel with the approximate colours of ISO 3864-4.
    #[must_use]
    pub fn panel(self) -> Panel {
        let (colour, fill, ink) = match self {
            Word::Danger => (PanelColour::Red, SAFETY_RED, WHITE),
            Word::Warning => (PanelColour::Orange, SAFETY_ORANGE, BLACK),
            Word::Caution => (PanelColour::Yellow, SAFETY_YELLOW, BLACK),
            Word::Notice => (PanelColour::Blue, SAFETY_BLUE, WHITE),
        };
        Panel {
            colour,
            fill,
            ink,
            triangle: self != Word::Notice,
        }
    }

    /// The panel as our pages print it: the orange lighter, all else the same.
    #[must_use]
    pub fn printed_panel(self) -> Panel {
        let panel = self.panel();
        match self {
            Word::Warning => Panel {
                fill: PRINTED_ORANGE,
                ..panel
            },
            _ => panel,
        }
    }
}
