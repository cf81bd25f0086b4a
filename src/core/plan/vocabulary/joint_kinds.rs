//! The kinds of joint, a row each: all that a page, a rule or an act asks of a kind. Knows no joint of a plan.

use super::acts::ActKind;
use crate::syntax::shapes::Keyword;

/// How its two things come apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parting {
    /// By `undo`.
    Undone,
    /// By `draw`, along its axis, once its fixings are undone.
    Drawn,
    /// By `press apart`.
    Pressed,
    /// By `break` alone: drilled, cut or ground, and it does not come back as it was.
    Broken,
}

/// What runs through it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conducts {
    /// Neither fluid nor current.
    Nothing,
    /// It is a line of a fluid, with a union where it says nothing else; it carries no weight.
    Fluid,
    /// It is a lead; it carries no weight.
    Current,
}

/// What there is to say of a kind of joint.
#[derive(Debug)]
pub struct Row {
    /// In a plan, in data, and in a list on paper.
    pub word: &'static str,
    /// What a bag or a card counts where nothing has a thread: one, and several.
    pub fixings: (&'static str, &'static str),
    /// How it is let go.
    pub parting: Parting,
    /// The act that closes it; where its fixings are tightened, the one before that.
    pub closed_by: ActKind,
    /// What is in it while it is closed.
    pub conducts: Conducts,
    /// Flexible unless the joint says `rigid`.
    pub gives: bool,
    /// Live by every electric supply of the plan, where it does not say of what it is.
    pub live_unsaid: bool,
    /// On the card, for putting it in or on by hand where it has nothing to turn.
    pub start: &'static str,
    /// With one fixing and no thread the tick of its act stands for the mark of the fixing.
    pub tick_is_enough: bool,
    /// Has something that a wrench could turn, though it names no fixing.
    pub turns: bool,
    /// Where it is rigid, nothing but the torque of its fixings keeps it together.
    pub kept_by_torque: bool,
    /// Where it carries, it carries what is light: the hangers of an exhaust, and no engine by way of that exhaust.
    pub bears_little: bool,
}

macro_rules! joint_kinds {
    ($($(#[$doc:meta])* $kind:ident $keyword:ident $row:tt)*) => {
        /// What a joint is, and how it is let go.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum JointKind { $($(#[$doc])* $kind,)* }

        impl JointKind {
            /// All of them, in the order of the rows.
            pub const ALL: &[JointKind] = &[$(JointKind::$kind,)*];

            /// The statement of a joint block that names it.
            #[must_use]
            pub fn keyword(self) -> Keyword {
                match self {
                    $(JointKind::$kind => Keyword::$keyword,)*
                }
            }

            /// The kind that a statement of a joint block names.
            #[must_use]
            pub fn of(keyword: Keyword) -> Option<JointKind> {
                match keyword {
                    $(Keyword::$keyword => Some(JointKind::$kind),)*
                    _ => None,
                }
            }

            /// What there is to say of it.
            #[must_use]
            pub fn row(self) -> &'static Row {
                match self {
                    $(JointKind::$kind => { static ROW: Row = Row $row; &ROW })*
                }
            }
        }
    };
}

joint_kinds! {
    /// Bolts, studs, nuts or screws; what a joint is that says nothing else.
    Bolted Bolted {
        word: "bolted",
        fixings: ("fixing", "fixings"),
        parting: Parting::Undone,
        closed_by: ActKind::Start,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Start by hand",
        tick_is_enough: false,
        turns: true,
        kept_by_torque: true,
        bears_little: false,
    }
    /// Pins alone, put in or drawn by hand.
    Pin KindPin {
        word: "pin",
        fixings: ("pin", "pins"),
        parting: Parting::Undone,
        closed_by: ActKind::Start,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Put in",
        tick_is_enough: false,
        turns: false,
        kept_by_torque: false,
        bears_little: false,
    }
    /// Clips, without a thread.
    Clip KindClip {
        word: "clip",
        fixings: ("clip", "clips"),
        parting: Parting::Undone,
        closed_by: ActKind::Start,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Put in",
        tick_is_enough: true,
        turns: true,
        kept_by_torque: false,
        bears_little: true,
    }
    /// An earth strap; where it carries, one round a tank (`Joint::is_bearing_strap`).
    Strap KindStrap {
        word: "strap",
        fixings: ("strap", "straps"),
        parting: Parting::Undone,
        closed_by: ActKind::Start,
        conducts: Conducts::Current,
        gives: true,
        live_unsaid: true,
        start: "Put on",
        tick_is_enough: true,
        turns: true,
        kept_by_torque: true,
        bears_little: false,
    }
    /// An electric connector.
    Plug KindPlug {
        word: "plug",
        fixings: ("plug", "plugs"),
        parting: Parting::Undone,
        closed_by: ActKind::Start,
        conducts: Conducts::Current,
        gives: true,
        live_unsaid: true,
        start: "Connect",
        tick_is_enough: true,
        turns: false,
        kept_by_torque: true,
        bears_little: false,
    }
    /// Electric, or one that pulls.
    Cable KindCable {
        word: "cable",
        fixings: ("cable", "cables"),
        parting: Parting::Undone,
        closed_by: ActKind::Start,
        conducts: Conducts::Current,
        gives: true,
        live_unsaid: false,
        start: "Connect",
        tick_is_enough: true,
        turns: true,
        kept_by_torque: false,
        bears_little: false,
    }
    /// A line that bends.
    Hose KindHose {
        word: "hose",
        fixings: ("hose", "hoses"),
        parting: Parting::Undone,
        closed_by: ActKind::Start,
        conducts: Conducts::Fluid,
        gives: true,
        live_unsaid: false,
        start: "Push on",
        tick_is_enough: false,
        turns: true,
        kept_by_torque: true,
        bears_little: false,
    }
    /// A line that does not bend.
    Pipe KindPipe {
        word: "pipe",
        fixings: ("pipe", "pipes"),
        parting: Parting::Undone,
        closed_by: ActKind::Start,
        conducts: Conducts::Fluid,
        gives: false,
        live_unsaid: false,
        start: "Push on",
        tick_is_enough: false,
        turns: true,
        kept_by_torque: true,
        bears_little: false,
    }
    /// A toothed shaft in a toothed hole.
    Spline KindSpline {
        word: "spline",
        fixings: ("spline", "splines"),
        parting: Parting::Drawn,
        closed_by: ActKind::SlideHome,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Start by hand",
        tick_is_enough: false,
        turns: false,
        kept_by_torque: true,
        bears_little: false,
    }
    /// A round end in a round hole.
    Spigot KindSpigot {
        word: "spigot",
        fixings: ("spigot", "spigots"),
        parting: Parting::Drawn,
        closed_by: ActKind::SlideHome,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Start by hand",
        tick_is_enough: false,
        turns: false,
        kept_by_torque: true,
        bears_little: false,
    }
    /// Pins that tell the place and carry across.
    Dowel KindDowel {
        word: "dowel",
        fixings: ("dowel", "dowels"),
        parting: Parting::Drawn,
        closed_by: ActKind::SlideHome,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Start by hand",
        tick_is_enough: false,
        turns: false,
        kept_by_torque: true,
        bears_little: false,
    }
    /// A cone in a cone.
    Taper KindTaper {
        word: "taper",
        fixings: ("taper", "tapers"),
        parting: Parting::Pressed,
        closed_by: ActKind::PressHome,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Start by hand",
        tick_is_enough: false,
        turns: true,
        kept_by_torque: true,
        bears_little: false,
    }
    /// Held by its fit alone.
    PressFit KindPressFit {
        word: "press fit",
        fixings: ("press fit", "press fits"),
        parting: Parting::Pressed,
        closed_by: ActKind::PressHome,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Start by hand",
        tick_is_enough: false,
        turns: false,
        kept_by_torque: true,
        bears_little: false,
    }
    /// Rivets, which are drilled or ground away.
    Riveted KindRiveted {
        word: "riveted",
        fixings: ("rivet", "rivets"),
        parting: Parting::Broken,
        closed_by: ActKind::Rivet,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Rivet",
        tick_is_enough: false,
        turns: false,
        kept_by_torque: false,
        bears_little: false,
    }
    /// Cut or ground apart.
    Welded KindWelded {
        word: "welded",
        fixings: ("weld", "welds"),
        parting: Parting::Broken,
        closed_by: ActKind::Weld,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Weld",
        tick_is_enough: true,
        turns: false,
        kept_by_torque: false,
        bears_little: false,
    }
    /// Glued; it bears nothing before it has set.
    Bonded KindBonded {
        word: "bonded",
        fixings: ("bond", "bonds"),
        parting: Parting::Broken,
        closed_by: ActKind::Bond,
        conducts: Conducts::Nothing,
        gives: false,
        live_unsaid: false,
        start: "Bond",
        tick_is_enough: true,
        turns: false,
        kept_by_torque: false,
        bears_little: false,
    }
}

impl JointKind {
    /// As a plan, data and paper have it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.row().word
    }

    /// Parted by `draw`, along its axis.
    #[must_use]
    pub fn slides(self) -> bool {
        self.row().parting == Parting::Drawn
    }

    /// Parted by `press apart`.
    #[must_use]
    pub fn is_pressed(self) -> bool {
        self.row().parting == Parting::Pressed
    }

    /// Parted by `break` alone.
    #[must_use]
    pub fn is_broken_apart(self) -> bool {
        self.row().parting == Parting::Broken
    }

    /// Flexible unless the joint says `rigid`.
    #[must_use]
    pub fn gives(self) -> bool {
        self.row().gives
    }

    /// A hose or a pipe.
    #[must_use]
    pub fn is_line(self) -> bool {
        self.row().conducts == Conducts::Fluid
    }

    /// A strap, a plug or a cable.
    #[must_use]
    pub fn is_lead(self) -> bool {
        self.row().conducts == Conducts::Current
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::shapes::SHAPES;

    #[test]
    fn a_kinds_word_is_that_of_its_statement() {
        for kind in JointKind::ALL {
            let shape = SHAPES.iter().find(|shape| shape.keyword == kind.keyword());
            assert_eq!(shape.map(|shape| shape.words), Some(kind.word()));
            assert_eq!(JointKind::of(kind.keyword()), Some(*kind));
        }
    }
}
