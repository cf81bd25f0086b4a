//! The acts, a row each: the word in a plan and on a card; and what stands behind that word in an act's line, piece by piece, from which text,
//! data and the list of what is named are made. Knows nothing of what an act does.

use std::fmt::Display;

use crate::plan::model::{
    Bearer, Does, End, Fixings, Fluid, FreeName, Hazard, Id, Joint, Load, Measured, OpeningAct, Part, Person,
    Reading, Rig, Said, Scale, Seat, Thing, Tool, Workpiece,
};
use crate::syntax::shapes::Keyword;

/// What the line of an act is like.
#[derive(Debug, Clone, Copy)]
pub enum Form {
    /// A form of its own.
    Own,
    /// The act, and what it works on.
    Work(&'static Work),
}

/// What an act does to the joints that its line names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnJoints {
    /// They stay as they are: they are looked at, marked, worked on, or named as a place.
    Nothing,
    /// They give, and stay together.
    Loosens,
    /// Its things come apart.
    PartsThem,
    /// Together, by hand or for good.
    PutsIn,
    /// Its two things go together, by force.
    PressesHome,
    /// To the joint's figure.
    Tightens,
    /// What runs through them is stopped.
    StopsTheLine,
    /// It may run again.
    ClearsTheLine,
    /// Somebody makes sure of them.
    Checks,
}

/// Work on parts, on the body and on joints: how it is written, and what it does to the shop around it.
#[derive(Debug)]
pub struct Work {
    /// It closes the joints that it names, of the kinds that say so.
    pub joins: bool,
    /// It is done to parts, to the body, or to a joint without closing it.
    pub works: bool,
    /// What hurts whoever does it.
    pub meets: &'static [Hazard],
    /// It sparks, burns or heats: it lights what fuel gives off.
    pub sparks: bool,
    /// Its dust or chips get into an open line.
    pub dust: bool,
}

macro_rules! acts {
    ($($act:ident $word:literal $card:literal $on:path, $form:expr,)*) => {
        /// The acts, by the word that a plan writes.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum ActKind { $(#[doc = concat!("`", $word, "`")] $act,)* }

        impl ActKind {
            /// All of them, in the order of the rows.
            pub const ALL: &[ActKind] = &[$(ActKind::$act,)*];

            /// The statement that says it.
            #[must_use]
            pub fn keyword(self) -> Keyword {
                match self {
                    $(ActKind::$act => Keyword::$act,)*
                }
            }

            /// The act of a statement in a step.
            #[must_use]
            pub fn of(keyword: Keyword) -> Option<ActKind> {
                match keyword {
                    $(Keyword::$act => Some(ActKind::$act),)*
                    _ => None,
                }
            }

            /// As a plan writes it.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self {
                    $(ActKind::$act => $word,)*
                }
            }

            /// What it does to the joints that its line names.
            #[must_use]
            pub fn on_joints(self) -> OnJoints {
                match self {
                    $(ActKind::$act => $on,)*
                }
            }

            /// How its line is written.
            #[must_use]
            pub fn form(self) -> Form {
                match self {
                    $(ActKind::$act => $form,)*
                }
            }

            /// As a card begins the line of it; where the kind of joint or the line itself says otherwise, the card asks that.
            #[must_use]
            pub fn card(self) -> &'static str {
                match self {
                    $(ActKind::$act => $card,)*
                }
            }
        }
    };
}

acts! {
    Slacken "slacken" "Slacken, leave in" OnJoints::Loosens, Form::Own,
    Undo "undo" "Undo" OnJoints::PartsThem, Form::Own,
    Start "start" "Start by hand" OnJoints::PutsIn, Form::Own,
    Tighten "tighten" "Tighten" OnJoints::Tightens, Form::Own,
    Rivet "rivet" "Rivet" OnJoints::PutsIn, Form::Work(&Work {
        joins: true,
        works: false,
        meets: &[],
        sparks: false,
        dust: false,
    }),
    Weld "weld" "Weld" OnJoints::PutsIn, Form::Work(&Work {
        joins: true,
        works: true,
        meets: &[Hazard::Welding, Hazard::Fire],
        sparks: true,
        dust: false,
    }),
    Cut "cut" "Cut" OnJoints::Nothing, Form::Work(&Work {
        joins: false,
        works: true,
        meets: &[Hazard::Sharp, Hazard::Fire, Hazard::Noise],
        sparks: true,
        dust: true,
    }),
    Grind "grind" "Grind" OnJoints::Nothing, Form::Work(&Work {
        joins: false,
        works: true,
        meets: &[Hazard::Dust, Hazard::Fire, Hazard::Noise],
        sparks: true,
        dust: true,
    }),
    Drill "drill" "Drill" OnJoints::Nothing, Form::Work(&Work {
        joins: false,
        works: true,
        meets: &[Hazard::Sharp],
        sparks: false,
        dust: true,
    }),
    Heat "heat" "Heat" OnJoints::Nothing, Form::Work(&Work {
        joins: false,
        works: true,
        meets: &[Hazard::Hot, Hazard::Fire],
        sparks: true,
        dust: false,
    }),
    Clean "clean" "Clean" OnJoints::Nothing, Form::Work(&Work {
        joins: false,
        works: true,
        meets: &[],
        sparks: false,
        dust: false,
    }),
    Seal "seal" "Seal" OnJoints::Nothing, Form::Work(&Work {
        joins: false,
        works: true,
        meets: &[Hazard::Solvent],
        sparks: false,
        dust: false,
    }),
    Paint "paint" "Paint" OnJoints::Nothing, Form::Work(&Work {
        joins: false,
        works: true,
        meets: &[Hazard::Solvent],
        sparks: false,
        dust: false,
    }),
    Bond "bond" "Bond" OnJoints::PutsIn, Form::Work(&Work {
        joins: true,
        works: false,
        meets: &[Hazard::Solvent],
        sparks: false,
        dust: false,
    }),
    Wait "wait" "Wait" OnJoints::Nothing, Form::Own,
    Pin "pin" "Pin" OnJoints::Loosens, Form::Own,
    Break "break" "Break" OnJoints::PartsThem, Form::Own,
    Hold "hold" "Hold" OnJoints::Nothing, Form::Own,
    Steady "steady" "Steady" OnJoints::Nothing, Form::Own,
    Touch "touch" "Touch" OnJoints::Nothing, Form::Own,
    Release "release" "Release" OnJoints::Nothing, Form::Own,
    TieUp "tie up" "Tie up" OnJoints::Nothing, Form::Own,
    Untie "untie" "Untie" OnJoints::Nothing, Form::Own,
    Raise "raise" "Raise" OnJoints::Nothing, Form::Own,
    Set "set" "Set" OnJoints::Nothing, Form::Own,
    Lower "lower" "Lower" OnJoints::Nothing, Form::Own,
    Tilt "tilt" "Tilt" OnJoints::Nothing, Form::Own,
    Draw "draw" "Draw" OnJoints::Nothing, Form::Own,
    SlideHome "slide home" "Slide home" OnJoints::Nothing, Form::Own,
    PressApart "press apart" "Press apart" OnJoints::PartsThem, Form::Own,
    PressHome "press home" "Press home" OnJoints::PressesHome, Form::Own,
    MoveAside "move aside" "Move aside" OnJoints::Nothing, Form::Own,
    MoveBack "move back" "Move back" OnJoints::Nothing, Form::Own,
    TakeOff "take off" "Take off" OnJoints::Nothing, Form::Own,
    Fit "fit" "Fit" OnJoints::Nothing, Form::Own,
    Try "try" "Try" OnJoints::Nothing, Form::Own,
    Drain "drain" "Drain" OnJoints::Nothing, Form::Own,
    Fill "fill" "Fill" OnJoints::Nothing, Form::Own,
    Bleed "bleed" "Bleed" OnJoints::Nothing, Form::Own,
    Clamp "clamp" "Clamp" OnJoints::StopsTheLine, Form::Own,
    Cap "cap" "Cap" OnJoints::StopsTheLine, Form::Own,
    Plug "plug" "Plug" OnJoints::StopsTheLine, Form::Own,
    Unclamp "unclamp" "Unclamp" OnJoints::ClearsTheLine, Form::Own,
    Uncap "uncap" "Uncap" OnJoints::ClearsTheLine, Form::Own,
    Unplug "unplug" "Unplug" OnJoints::ClearsTheLine, Form::Own,
    Weigh "weigh" "Weigh" OnJoints::Nothing, Form::Own,
    Run "run" "Run" OnJoints::Nothing, Form::Own,
    Drive "drive" "Drive" OnJoints::Nothing, Form::Own,
    Measure "measure" "Measure" OnJoints::Nothing, Form::Own,
    Photograph "photograph" "Photograph" OnJoints::Nothing, Form::Own,
    Mark "mark" "Mark" OnJoints::Nothing, Form::Own,
    Tag "tag" "Tag" OnJoints::Nothing, Form::Own,
    Judge "judge" "Judge" OnJoints::Nothing, Form::Own,
    Soak "soak" "Soak" OnJoints::Nothing, Form::Own,
    Look "look" "Look:" OnJoints::Nothing, Form::Own,
    MakeUp "make up" "Make up" OnJoints::Nothing, Form::Own,
    Verify "verify" "Verify" OnJoints::Checks, Form::Own,
}

impl ActKind {
    /// What it does to the shop around it, if it is such work.
    #[must_use]
    pub fn work(self) -> Option<&'static Work> {
        match self.form() {
            Form::Own => None,
            Form::Work(work) => Some(work),
        }
    }

    /// Whether it closes joints of a kind by itself.
    #[must_use]
    pub fn joins(self) -> bool {
        self.work().is_some_and(|work| work.joins)
    }
}

/// One piece of an act's line, in the order of writing.
#[derive(Clone, Copy)]
pub enum Slot<'a> {
    /// Joints, each with how many of its fixings.
    Fixings(&'a [Fixings]),
    /// Joints as a whole.
    Joints(&'a [Said<Id<Joint>>]),
    /// Things, or the vehicle.
    Loads(&'a [Said<Load>]),
    /// Parts and assemblies.
    Things(&'a [Said<Thing>]),
    /// What runs out or in.
    Fluids(&'a [Said<Id<Fluid>>]),
    /// What is made up.
    Tools(&'a [Said<Id<Tool>>]),
    /// A single part.
    Part(&'a Said<Id<Part>>),
    /// Parts, the body or joints.
    Workpieces(&'a [Said<Workpiece>]),
    /// What kind of record bears these names, and the names.
    Names(&'static str, &'a [FreeName]),
    /// A word, then what it is done with, on, from or about.
    With(&'static str, With),
    /// A word that stands by itself.
    Word(&'static str),
    /// A word or sign, then a figure.
    Figure(&'static str, &'a dyn Display),
    /// In quotes, between what stands before and behind them.
    Text(&'static str, &'a str, &'static str),
}

/// What an act is done with, on, from or about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum With {
    /// What lifts or holds.
    Rig(Id<Rig>),
    /// Who takes hold.
    Person(Id<Person>),
    /// In the hand, or a container.
    Tool(Id<Tool>),
    /// What weighs.
    Scale(Id<Scale>),
    /// What it is tied or set to.
    Thing(Thing),
    /// What it turns on.
    Joint(Id<Joint>),
}

impl From<Bearer> for With {
    fn from(bearer: Bearer) -> Self {
        match bearer {
            Bearer::Rig(rig) => With::Rig(rig),
            Bearer::Person(person) => With::Person(person),
        }
    }
}

impl From<Seat> for With {
    fn from(seat: Seat) -> Self {
        match seat {
            Seat::Rig(rig) => With::Rig(rig),
            Seat::Thing(thing) => With::Thing(thing),
        }
    }
}

impl OpeningAct {
    /// The act that a plan writes.
    #[must_use]
    pub fn kind(self) -> ActKind {
        match self {
            OpeningAct::Clamp => ActKind::Clamp,
            OpeningAct::Cap => ActKind::Cap,
            OpeningAct::Plug => ActKind::Plug,
            OpeningAct::Unclamp => ActKind::Unclamp,
            OpeningAct::Uncap => ActKind::Uncap,
            OpeningAct::Unplug => ActKind::Unplug,
        }
    }

    /// The act that takes away what this one puts there; none for one that takes away itself.
    #[must_use]
    pub fn undone_by(self) -> Option<OpeningAct> {
        match self {
            OpeningAct::Clamp => Some(OpeningAct::Unclamp),
            OpeningAct::Cap => Some(OpeningAct::Uncap),
            OpeningAct::Plug => Some(OpeningAct::Unplug),
            OpeningAct::Unclamp | OpeningAct::Uncap | OpeningAct::Unplug => None,
        }
    }

    /// The act whose cap or plug this one takes away; a clamp closes for as long as it is watched.
    #[must_use]
    pub fn undoes_lasting(self) -> Option<OpeningAct> {
        match self {
            OpeningAct::Uncap => Some(OpeningAct::Cap),
            OpeningAct::Unplug => Some(OpeningAct::Plug),
            OpeningAct::Clamp | OpeningAct::Cap | OpeningAct::Plug | OpeningAct::Unclamp => None,
        }
    }
}

impl Does {
    /// The kind of act, without what it names.
    #[must_use]
    pub fn kind(&self) -> ActKind {
        match self {
            Does::Slacken(_) => ActKind::Slacken,
            Does::Undo(_) => ActKind::Undo,
            Does::Start(_) => ActKind::Start,
            Does::Join { by, .. } | Does::Work { by, .. } => *by,
            Does::Tighten(_) => ActKind::Tighten,
            Does::Pin { .. } => ActKind::Pin,
            Does::Break { .. } => ActKind::Break,
            Does::Hold { .. } => ActKind::Hold,
            Does::Steady { .. } => ActKind::Steady,
            Does::Touch { .. } => ActKind::Touch,
            Does::Release { .. } => ActKind::Release,
            Does::TieUp { .. } => ActKind::TieUp,
            Does::Untie(_) => ActKind::Untie,
            Does::Raise { .. } => ActKind::Raise,
            Does::Set { .. } => ActKind::Set,
            Does::Lower { .. } => ActKind::Lower,
            Does::Tilt { .. } => ActKind::Tilt,
            Does::Draw { .. } => ActKind::Draw,
            Does::SlideHome(_) => ActKind::SlideHome,
            Does::PressApart { .. } => ActKind::PressApart,
            Does::PressHome { .. } => ActKind::PressHome,
            Does::MoveAside(_) => ActKind::MoveAside,
            Does::MoveBack(_) => ActKind::MoveBack,
            Does::TakeOff(_) => ActKind::TakeOff,
            Does::Fit(_) => ActKind::Fit,
            Does::Try(_) => ActKind::Try,
            Does::Drain { .. } => ActKind::Drain,
            Does::Fill { .. } => ActKind::Fill,
            Does::Bleed(_) => ActKind::Bleed,
            Does::Opening { act, .. } => act.kind(),
            Does::Weigh { .. } => ActKind::Weigh,
            Does::Run(_) => ActKind::Run,
            Does::Drive(_) => ActKind::Drive,
            Does::Measure { .. } => ActKind::Measure,
            Does::Photograph(_) => ActKind::Photograph,
            Does::Mark(_) => ActKind::Mark,
            Does::Tag(_) => ActKind::Tag,
            Does::Judge { .. } => ActKind::Judge,
            Does::Soak(_) => ActKind::Soak,
            Does::Wait(_) | Does::WaitFor { .. } => ActKind::Wait,
            Does::Look(_) => ActKind::Look,
            Does::MakeUp(_) => ActKind::MakeUp,
            Does::Verify { .. } => ActKind::Verify,
        }
    }

    /// What it does to the joints that it names.
    #[must_use]
    pub fn on_joints(&self) -> OnJoints {
        match self {
            // The same word may close a joint and be done to a part; this is the second.
            Does::Work { .. } => OnJoints::Nothing,
            does => does.kind().on_joints(),
        }
    }

    /// The joints that its line names, each where it stands.
    #[must_use]
    pub fn said_joints(&self) -> Vec<Said<Id<Joint>>> {
        let mut all = Vec::new();
        self.slots(&mut |slot| match slot {
            Slot::Fixings(list) => all.extend(list.iter().map(|one| one.joint)),
            Slot::Joints(list) => all.extend(list.iter().copied()),
            Slot::Workpieces(list) => all.extend(list.iter().filter_map(|said| match said.value {
                Workpiece::Joint(joint) => Some(Said::new(joint, said.at)),
                Workpiece::Thing(_) => None,
            })),
            // About a joint is not on it.
            Slot::With(..)
            | Slot::Loads(_)
            | Slot::Things(_)
            | Slot::Fluids(_)
            | Slot::Tools(_)
            | Slot::Part(_)
            | Slot::Names(..)
            | Slot::Word(_)
            | Slot::Figure(..)
            | Slot::Text(..) => {}
        });
        all
    }

    /// The joints that its line names, with how many of their fixings where it says so.
    #[must_use]
    pub fn joints(&self) -> Vec<(Id<Joint>, Option<u32>)> {
        let mut counts: Vec<Option<u32>> = Vec::new();
        self.slots(&mut |slot| {
            if let Slot::Fixings(list) = slot {
                counts.extend(list.iter().map(|one| one.count.map(|said| said.value)));
            }
        });
        let mut counts = counts.into_iter();
        let all = self.said_joints().into_iter();
        all.map(|said| (said.value, counts.next().flatten())).collect()
    }

    /// How many names its list has; none for an act without a list.
    #[must_use]
    pub fn listed(&self) -> usize {
        let mut count = 0;
        self.slots(&mut |slot| {
            count += match slot {
                Slot::Fixings(list) => list.len(),
                Slot::Joints(list) => list.len(),
                Slot::Loads(list) => list.len(),
                Slot::Things(list) => list.len(),
                Slot::Fluids(list) => list.len(),
                Slot::Tools(list) => list.len(),
                Slot::Workpieces(list) => list.len(),
                Slot::Names(_, list) => list.len(),
                Slot::Part(_) => 1,
                Slot::With(..) | Slot::Word(_) | Slot::Figure(..) | Slot::Text(..) => 0,
            };
        });
        count
    }

    /// Shows the pieces of its line behind the verb, one after the other.
    pub fn slots<'a>(&'a self, see: &mut dyn FnMut(Slot<'a>)) {
        match self {
            Does::Slacken(all)
            | Does::Undo(all)
            | Does::Start(all)
            | Does::Tighten(all)
            | Does::Join { all, .. } => {
                see(Slot::Fixings(all));
            }
            Does::Pin { fixings, with } => {
                see(Slot::Fixings(std::slice::from_ref(fixings)));
                with_tool("with", *with, see);
            }
            Does::Break { joint, how } => {
                see(Slot::Joints(std::slice::from_ref(joint)));
                text(" ", how.as_deref(), see);
            }
            Does::Hold { things, by } => {
                see(Slot::Loads(things));
                let word = match by.value {
                    Bearer::Rig(_) => "with",
                    Bearer::Person(_) => "by",
                };
                see(Slot::With(word, by.value.into()));
            }
            Does::Steady { things, by } => {
                see(Slot::Loads(things));
                see(Slot::With("by", With::Person(by.value)));
            }
            Does::Touch { things, with } => {
                see(Slot::Loads(things));
                see(Slot::With("with", With::Rig(with.value)));
            }
            Does::Release { things, from } => {
                see(Slot::Loads(things));
                if let Some(from) = from {
                    see(Slot::With("from", from.value.into()));
                }
            }
            Does::TieUp { thing, to, limit } => {
                see(Slot::Things(std::slice::from_ref(thing)));
                see(Slot::With("to", With::Thing(to.value)));
                figure(", ", limit.as_ref(), see);
            }
            Does::Raise {
                things,
                end,
                on,
                at,
                to,
                by,
                ride,
            } => {
                see(Slot::Loads(things));
                end_of(*end, see);
                if let Some(rig) = on {
                    see(Slot::With("on", With::Rig(rig.value)));
                }
                if let Some(at) = at {
                    see(Slot::Word("at jacking"));
                    see(Slot::Word(at.value.word()));
                }
                figure(" to ", to.as_ref(), see);
                if ride.is_some() {
                    see(Slot::Word("to ride height"));
                }
                figure(" by ", by.as_ref(), see);
            }
            Does::Set {
                things,
                end,
                down,
                on,
            } => {
                see(Slot::Loads(things));
                end_of(*end, see);
                if down.is_some() {
                    see(Slot::Word("down"));
                }
                see(Slot::With("on", on.value.into()));
            }
            Does::Lower { things, by } => {
                see(Slot::Loads(things));
                figure(" by ", by.as_ref(), see);
            }
            Does::Tilt {
                things,
                about,
                by,
                back,
            } => {
                see(Slot::Loads(things));
                if *back {
                    see(Slot::Word("back"));
                }
                if !about.is_empty() {
                    see(Slot::Word("about"));
                    see(Slot::Joints(about));
                }
                figure(" by ", by.as_ref(), see);
            }
            Does::Draw {
                things,
                direction,
                by,
            } => {
                see(Slot::Things(things));
                see(Slot::Word(direction.value.word()));
                figure(" ", Some(by), see);
            }
            Does::Untie(things)
            | Does::SlideHome(things)
            | Does::MoveAside(things)
            | Does::MoveBack(things)
            | Does::TakeOff(things)
            | Does::Fit(things)
            | Does::Try(things) => see(Slot::Things(things)),
            Does::PressApart { joints, with }
            | Does::PressHome { joints, with }
            | Does::Opening { joints, with, .. } => {
                see(Slot::Joints(joints));
                with_tool("with", *with, see);
            }
            Does::Drain { fluids, into } => {
                see(Slot::Fluids(fluids));
                with_tool("into", *into, see);
            }
            Does::Fill { fluids, with } => {
                see(Slot::Fluids(fluids));
                figure(" with ", with.as_ref(), see);
            }
            Does::Bleed(fluids) => see(Slot::Fluids(fluids)),
            Does::Weigh { things, with } => {
                see(Slot::Loads(things));
                if let Some(scale) = with {
                    see(Slot::With("with", With::Scale(scale.value)));
                }
            }
            Does::Run(things) | Does::Drive(things) => see(Slot::Loads(things)),
            Does::Measure { what, value } => {
                see(Slot::Names("measurement", std::slice::from_ref(what)));
                figure(" ", value.as_ref(), see);
            }
            Does::Photograph(names) => see(Slot::Names("photograph", names)),
            Does::Mark(joints) | Does::Tag(joints) | Does::Soak(joints) | Does::Wait(joints) => {
                see(Slot::Joints(joints))
            }
            Does::Judge { part, keep_if } => {
                see(Slot::Part(part));
                if let Some(keep) = keep_if {
                    see(Slot::Text(": keep if ", keep, ", else renew"));
                }
            }
            Does::WaitFor { time, why } => {
                figure(" ", Some(time), see);
                text(" ", why.as_deref(), see);
            }
            Does::Look(what) => text(" ", Some(what), see),
            Does::Work { on, how, .. } => {
                see(Slot::Workpieces(on));
                text(" ", how.as_deref(), see);
            }
            Does::MakeUp(tools) => see(Slot::Tools(tools)),
            Does::Verify { joints, what } => {
                see(Slot::Joints(joints));
                text(" ", what.as_deref(), see);
            }
        }
    }
}

fn with_tool<'a>(word: &'static str, tool: Option<Said<Id<Tool>>>, see: &mut dyn FnMut(Slot<'a>)) {
    if let Some(tool) = tool {
        see(Slot::With(word, With::Tool(tool.value)));
    }
}

fn figure<'a, T: Display>(lead: &'static str, said: Option<&'a Said<T>>, see: &mut dyn FnMut(Slot<'a>)) {
    if let Some(said) = said {
        see(Slot::Figure(lead, &said.value));
    }
}

fn text<'a>(before: &'static str, text: Option<&'a str>, see: &mut dyn FnMut(Slot<'a>)) {
    if let Some(text) = text {
        see(Slot::Text(before, text, ""));
    }
}

fn end_of<'a>(end: Option<Said<End>>, see: &mut dyn FnMut(Slot<'a>)) {
    if let Some(end) = end {
        see(Slot::Word(end.value.word()));
    }
}

impl Display for Reading<Measured> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Reading::ToCome => f.write_str("to come"),
            Reading::Is(value) => match value {
                Measured::Length(value) => value.fmt(f),
                Measured::Angle(value) => value.fmt(f),
                Measured::Mass(value) => value.fmt(f),
                Measured::Volume(value) => value.fmt(f),
                Measured::Torque(value) => value.fmt(f),
                Measured::Pressure(value) => value.fmt(f),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::shapes::SHAPES;

    #[test]
    fn an_acts_word_is_that_of_its_statement() {
        for act in ActKind::ALL {
            let shape = SHAPES.iter().find(|shape| shape.keyword == act.keyword());
            assert_eq!(shape.map(|shape| shape.words), Some(act.word()));
        }
    }
}
