//! The vehicle, its body, parts, assemblies, fluids and energies.

use super::{Hazard, Head, Id, Joint, Said, Step, Text};
use crate::base::date::Date;
use crate::base::quantity::{Density, Force, Length, Mass, Volume};
use crate::base::source::Span;

/// A part, or the body of the vehicle or machine: whatever joints tie.
#[derive(Debug, Clone)]
pub struct Part {
    pub head: Head,
    pub is_body: bool,
    /// Declared by `parts`, with no statement of its own.
    pub bare: bool,
    pub mass: Option<Said<MassFigure>>,
    pub at: Option<Said<Place>>,
    pub afterwards: Option<Said<Afterwards>>,
    pub in_place_of: Option<Said<InPlaceOf>>,
    pub stands_on: Option<Said<StandsOn>>,
    pub goes_to: Option<Said<Text>>,
    /// What it stands or lies on by its weight alone, without a fixing.
    pub rests_on: Option<Said<Id<Part>>>,
    /// It comes with the job, and takes nobody's place.
    pub new: Option<Span>,
    /// It leaves free what the part covers that it is in place of.
    pub covers_nothing: Option<Span>,
    pub cost: Option<Said<Money>>,
    pub bought: Option<Said<Paid>>,
    pub arrives: Option<Said<Date>>,
    pub sold_for: Option<Said<Money>>,
    pub sold: Option<Said<Paid>>,
    pub required_by: Option<Said<Text>>,
    pub count: Option<Said<u32>>,
    pub holds: Vec<Said<Id<Fluid>>>,
    pub cautions: Vec<Said<Id<Caution>>>,
    pub figures: Vec<Figure>,
}

impl Part {
    /// By its name or title it is a hose, and gives where a clamp squeezes it.
    #[must_use]
    pub fn is_hose(&self) -> bool {
        let title = self.head.title.as_deref().unwrap_or("");
        let text = format!("{} {title}", self.head.name).to_lowercase();
        text.split(|c: char| !c.is_alphabetic())
            .any(|word| word.ends_with("hose") || word == "hoses")
    }

    /// By its name or title it is itself what gives and pushes back: a coil, a leaf, a torsion bar. What a spring sits in is not.
    #[must_use]
    pub fn is_called_a_spring(&self) -> bool {
        let title = self.head.title.as_deref().unwrap_or("");
        let text = format!("{} {title}", self.head.name).to_lowercase();
        let words: Vec<&str> = text.split(|c: char| !c.is_alphabetic()).collect();
        let other = [
            "seat", "cup", "pan", "plate", "hanger", "clamp", "bracket", "arm", "pad",
        ];
        words
            .iter()
            .any(|word| ["spring", "coil", "leaf", "torsion"].contains(word))
            && !words.iter().any(|word| other.contains(word))
    }
}

/// Where a part ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Afterwards {
    GoesBack,
    ForSale,
    Scrapped,
    Stored,
    StaysOff,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InPlaceOf {
    pub part: Id<Part>,
    /// Only if the judged part turns out to need it.
    pub if_renewed: bool,
}

/// "stands on 3 of mount-left, mount-right, tail-mount".
#[derive(Debug, Clone, PartialEq)]
pub struct StandsOn {
    pub need: u32,
    pub of: Vec<Said<Id<Joint>>>,
}

/// A mass, its stated uncertainty (one standard deviation) and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct MassFigure {
    pub mass: Mass,
    pub give: Option<Mass>,
    pub origin: Origin,
    /// "weighed as ...": the state in which it was weighed.
    pub state: Option<Text>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Origin {
    Estimated,
    Quoted,
    Weighed,
    /// The plan does not say; taken as estimated, and told.
    Unsaid,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Money {
    pub number: crate::base::quantity::Number,
    /// ISO 4217 letters.
    pub currency: [u8; 3],
}

impl Money {
    #[must_use]
    pub fn currency(&self) -> &str {
        std::str::from_utf8(&self.currency).unwrap_or("")
    }
}

/// What was paid, and on what day; without a sum it is what the plan says that the thing costs or is sold for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paid {
    pub on: Date,
    pub sum: Option<Said<Money>>,
}

/// `rate 1 EUR is 0.86 GBP`: two sums that are worth the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    pub of: Said<Money>,
    pub is: Said<Money>,
    pub at: Span,
}

/// A point in the axes of ISO 8855 shifted to the ground under the front axle's middle: mm to the rear, to the
/// right and up. Two mirrored points where the plan says `left and right`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    pub behind: f64,
    pub right: f64,
    /// Not said for places on the ground, such as jacking points.
    pub up: Option<f64>,
    /// The point and its mirror image.
    pub mirrored: bool,
}

/// A named set of parts, handled as one. May hold assemblies.
#[derive(Debug, Clone)]
pub struct Assembly {
    pub head: Head,
    pub of: Vec<Said<Thing>>,
    /// Every part in it, nested ones too, each once, in order of mention.
    pub parts: Vec<Id<Part>>,
    pub mass: Option<Said<MassFigure>>,
    pub at: Option<Said<Place>>,
    pub afterwards: Option<Said<Afterwards>>,
    pub goes_to: Option<Said<Text>>,
    pub cautions: Vec<Said<Id<Caution>>>,
    pub figures: Vec<Figure>,
}

/// What an act may handle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Thing {
    Part(Id<Part>),
    Assembly(Id<Assembly>),
}

#[derive(Debug, Clone)]
pub struct Fluid {
    pub head: Head,
    pub holds: Option<Said<Volume>>,
    pub density: Option<Said<Density>>,
    /// The parts that it fills.
    pub in_parts: Vec<Said<Id<Part>>>,
    pub needs_bleeding: Option<Span>,
    pub renew: Option<Span>,
    /// Once it is out it stays out.
    pub gone: Option<Said<Option<Text>>>,
    pub grade: Option<Said<Text>>,
    pub against: Vec<Said<Hazard>>,
}

#[derive(Debug, Clone)]
pub struct Energy {
    pub head: Head,
    pub kind: Option<Said<EnergyKind>>,
    pub safe_after: Option<Said<Id<Step>>>,
    pub in_parts: Vec<Said<Id<Part>>>,
    pub against: Vec<Said<Hazard>>,
    /// Joints of which one that is closed keeps it in.
    pub held_in_by: Vec<Said<Id<Joint>>>,
    /// The most that its keepers bear: of a spring, what it pushes with when it hangs as far out as they let it.
    pub force: Option<Said<Force>>,
    /// Let down so far, it pushes no more.
    pub free_at: Option<Said<Length>>,
}

impl Energy {
    /// A spring, or something that hangs: it is spent by letting it down.
    #[must_use]
    pub fn hangs(&self) -> bool {
        let kind = self.kind.map(|said| said.value);
        matches!(kind, Some(EnergyKind::Spring | EnergyKind::Gravity))
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EnergyKind {
    Electric,
    Pressure,
    Spring,
    Heat,
    Gravity,
    Pyrotechnic,
}

#[derive(Debug, Clone)]
pub struct Caution {
    pub head: Head,
    pub signal: Option<Said<Signal>>,
    pub harm: Option<Said<Text>>,
    /// One order each.
    pub avoid: Vec<Said<Text>>,
    /// All orders in a few words, for the line in which it is told again.
    pub in_short: Option<Said<Text>>,
    pub against: Vec<Said<Hazard>>,
    /// Where its words fit one way only.
    pub only: Option<Said<Going>>,
}

/// Which way the work goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Going {
    /// Steps of a stage that reverses none.
    Out,
    /// Steps of a stage that reverses another.
    Back,
}

/// The signal words of ANSI Z535.6, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Signal {
    Danger,
    Warning,
    Caution,
    Notice,
}

/// The vehicle or machine that the plan works on.
#[derive(Debug, Clone)]
pub struct Vehicle {
    pub head: Head,
    /// `machine`: it has feet where a vehicle has wheels.
    pub is_machine: bool,
    pub body: Option<Said<Id<Part>>>,
    pub mass: Option<Said<MassFigure>>,
    pub wheelbase: Option<Said<Length>>,
    pub track: Option<Said<FrontRear<Length>>>,
    pub wheel_radius: Option<Said<FrontRear<Length>>>,
    pub centre_height: Option<Said<CentreHeight>>,
    pub jacking: FrontRear<Option<Said<Place>>>,
    /// What bears the wheels or feet of each end; the body where the plan does not say.
    pub borne_on: FrontRear<Option<Said<Thing>>>,
    pub figures: Vec<Figure>,
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FrontRear<T> {
    pub front: T,
    pub rear: T,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CentreHeight {
    pub height: Length,
    pub assumed: bool,
}

/// A picture, drawn or photographed, from inside the plan's folder.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// As the plan writes it: relative to the file that names it.
    pub file: Said<Text>,
    /// The found picture's key; `None` where there is none to print.
    pub key: Option<Text>,
    pub caption: Option<Text>,
    /// What it shows, for who cannot see it.
    pub alt: Option<Text>,
    pub at: Span,
}
