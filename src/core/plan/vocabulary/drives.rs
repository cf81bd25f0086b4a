//! The drives of fixings and the hand tools that turn them, a row each. Knows no fixing of a plan.

use crate::syntax::shapes::Keyword;

/// Kinds of hand tool that come in sizes, in the order of the lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// Turns a hexagon from above.
    Socket,
    /// Turns a hexagon from the side.
    Spanner,
    /// Turns a hexagon from inside.
    Key,
    /// Bit with six points, ISO 10664.
    Hexalobular,
    /// Bit with twelve points: three squares, turned.
    TripleSquare,
    /// Bit with eight points: two squares, turned.
    DoubleSquare,
    /// Flat tip.
    Slotted,
    /// Tip with four wings.
    Cross,
}

impl Family {
    /// One of it, in a list of tools.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Family::Socket => "socket",
            Family::Spanner => "spanner",
            Family::Key => "key",
            Family::Hexalobular => "hexalobular bit",
            Family::TripleSquare => "triple square bit",
            Family::DoubleSquare => "double square bit",
            Family::Slotted => "slotted screwdriver",
            Family::Cross => "cross screwdriver",
        }
    }

    /// The same in a sentence that says its size: "no kit has a bit T40".
    #[must_use]
    pub fn short_word(self) -> &'static str {
        match self {
            Family::Socket | Family::Spanner | Family::Key => self.word(),
            Family::Hexalobular
            | Family::TripleSquare
            | Family::DoubleSquare
            | Family::Slotted
            | Family::Cross => "bit",
        }
    }

    /// The statement of a kit that lists its sizes; none where a kit has no such list.
    #[must_use]
    pub fn kit_list(self) -> Option<&'static str> {
        match self {
            Family::Socket => Some("sockets"),
            Family::Spanner => Some("spanners"),
            Family::Key => Some("keys"),
            Family::Hexalobular => Some("hexalobular"),
            Family::TripleSquare | Family::DoubleSquare | Family::Slotted | Family::Cross => None,
        }
    }
}

/// How a plan says its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// A length across flats.
    Across,
    /// A number of its own: T40, PH2.
    Named,
    /// As `Named`, or nothing at all.
    NamedOrNone,
}

/// What there is to say of a drive.
#[derive(Debug)]
pub struct Row {
    /// In data and in a list of fixings.
    pub word: &'static str,
    /// How a plan says its size.
    pub size: Size,
    /// What turns it.
    pub tool: Family,
    /// What turns it on the union of a line, where that is another.
    pub on_a_line: Option<Family>,
    /// Before its size on a card.
    pub card: &'static str,
}

macro_rules! drives {
    ($($(#[$doc:meta])* $kind:ident $row:tt)*) => {
        /// What a fixing offers to a tool.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum DriveKind { $($(#[$doc])* $kind,)* }

        impl DriveKind {
            /// All of them, in the order of the rows.
            pub const ALL: &[DriveKind] = &[$(DriveKind::$kind,)*];

            /// The statement of a joint block that names it, which is called as it is.
            #[must_use]
            pub fn keyword(self) -> Keyword {
                match self {
                    $(DriveKind::$kind => Keyword::$kind,)*
                }
            }

            /// The drive that a statement of a joint block names.
            #[must_use]
            pub fn of(keyword: Keyword) -> Option<DriveKind> {
                match keyword {
                    $(Keyword::$kind => Some(DriveKind::$kind),)*
                    // Any other statement names no drive.
                    _ => None,
                }
            }

            /// What there is to say of it.
            #[must_use]
            pub fn row(self) -> &'static Row {
                match self {
                    $(DriveKind::$kind => { static ROW: Row = Row $row; &ROW })*
                }
            }
        }
    };
}

drives! {
    /// External hexagon, of the bolt or the joint's only one.
    Head {
        word: "head",
        size: Size::Across,
        tool: Family::Socket,
        on_a_line: Some(Family::Spanner),
        card: "socket",
    }
    /// External hexagon of the nut behind it.
    NutHead {
        word: "nut head",
        size: Size::Across,
        tool: Family::Spanner,
        on_a_line: None,
        card: "nut",
    }
    /// Internal hexagon.
    Key {
        word: "key",
        size: Size::Across,
        tool: Family::Key,
        on_a_line: None,
        card: "key",
    }
    /// ISO 10664 hexalobular internal.
    Hexalobular {
        word: "hexalobular",
        size: Size::Named,
        tool: Family::Hexalobular,
        on_a_line: None,
        card: "hexalobular",
    }
    /// Internal, 12 points, sized by its screw: M10.
    TripleSquare {
        word: "triple square",
        size: Size::Named,
        tool: Family::TripleSquare,
        on_a_line: None,
        card: "triple square",
    }
    /// 8 points.
    DoubleSquare {
        word: "double square",
        size: Size::Named,
        tool: Family::DoubleSquare,
        on_a_line: None,
        card: "double square",
    }
    /// One slot.
    Slotted {
        word: "slotted",
        size: Size::NamedOrNone,
        tool: Family::Slotted,
        on_a_line: None,
        card: "slotted",
    }
    /// Two slots across each other.
    Cross {
        word: "cross",
        size: Size::Named,
        tool: Family::Cross,
        on_a_line: None,
        card: "cross",
    }
}
