//! The vehicle, its body, parts, assemblies, fluids and energies.

use super::{Hazard, Head, Id, Joint, Said, Step, Text};
use crate::base::date::Date;
use crate::base::quantity::{Density, Force, Length, Mass, Volume};
use crate::base::source::Span;

/// A part, or the body of the vehicle or machine: whatever joints tie.
#[derive(Debug, Clone)]
pub struct Part {
    /// Name, title and notes.
    pub head: Head,
    /// The body of the vehicle: it never comes off.
    pub is_body: bool,
    /// Declared by `parts`, with no statement of its own.
    pub bare: bool,
    /// None where nobody knows it.
    pub mass: Option<Said<MassFigure>>,
    /// Its place, in mm; none where the plan does not say.
    pub at: Option<Said<Place>>,
    /// Where it ends; none where the plan does not say.
    pub afterwards: Option<Said<Afterwards>>,
    /// The part that it replaces.
    pub in_place_of: Option<Said<InPlaceOf>>,
    /// How many supports it has to have.
    pub stands_on: Option<Said<StandsOn>>,
    /// Who gets it, in the owner's words.
    pub goes_to: Option<Said<Text>>,
    /// What it stands or lies on by its weight alone, without a fixing.
    pub rests_on: Option<Said<Id<Part>>>,
    /// It comes with the job, and takes nobody's place.
    pub new: Option<Span>,
    /// It leaves free what the part covers that it is in place of.
    pub covers_nothing: Option<Span>,
    /// What it costs to buy.
    pub cost: Option<Said<Money>>,
    /// What was paid for it, and when.
    pub bought: Option<Said<Paid>>,
    /// The day on which it is there.
    pub arrives: Option<Said<Date>>,
    /// What it is offered for.
    pub sold_for: Option<Said<Money>>,
    /// What came in for it, and when.
    pub sold: Option<Said<Paid>>,
    /// The rule that asks for it: "rule 4.2, front axle".
    pub required_by: Option<Said<Text>>,
    /// How many of it are fitted; 1 where it is not said.
    pub count: Option<Said<u32>>,
    /// Fluids that are in it.
    pub holds: Vec<Said<Id<Fluid>>>,
    /// What hurts about it.
    pub cautions: Vec<Said<Id<Caution>>>,
    /// Pictures of it.
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
    /// Where it came from.
    GoesBack,
    /// Its buyer takes it.
    ForSale,
    /// Nobody uses it again.
    Scrapped,
    /// Kept on a shelf.
    Stored,
    /// Not fitted again, wherever it lies.
    StaysOff,
}

/// What a part takes the place of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InPlaceOf {
    /// The part that goes.
    pub part: Id<Part>,
    /// Only if the judged part turns out to need it.
    pub if_renewed: bool,
}

/// "stands on 3 of mount-left, mount-right, tail-mount".
#[derive(Debug, Clone, PartialEq)]
pub struct StandsOn {
    /// The least of them that have to be closed.
    pub need: u32,
    /// Which joints count.
    pub of: Vec<Said<Id<Joint>>>,
}

/// A mass, its stated uncertainty (one standard deviation) and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct MassFigure {
    /// As written.
    pub mass: Mass,
    /// Of it, one standard deviation.
    pub give: Option<Mass>,
    /// Weighed, quoted or guessed.
    pub origin: Origin,
    /// "weighed as ...": the state in which it was weighed.
    pub state: Option<Text>,
}

/// Where a mass comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Origin {
    /// A guess.
    Estimated,
    /// A book or a seller says it.
    Quoted,
    /// A scale says it.
    Weighed,
    /// The plan does not say; taken as estimated, and told.
    Unsaid,
}

/// A sum as written: 12.50 GBP.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Money {
    /// As written, not in cents.
    pub number: crate::base::quantity::Number,
    /// ISO 4217 letters.
    pub currency: [u8; 3],
}

impl Money {
    /// Its three letters.
    #[must_use]
    pub fn currency(&self) -> &str {
        std::str::from_utf8(&self.currency).unwrap_or("")
    }
}

/// What was paid, and on what day; without a sum it is what the plan says that the thing costs or is sold for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paid {
    /// When.
    pub on: Date,
    /// None for what the plan says that it costs.
    pub sum: Option<Said<Money>>,
}

/// `rate 1 EUR is 0.86 GBP`: two sums that are worth the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// One side.
    pub of: Said<Money>,
    /// The other.
    pub is: Said<Money>,
    /// Where the plan says it.
    pub at: Span,
}

/// A point in the axes of ISO 8855 shifted to the ground under the front axle's middle: mm to the rear, to the
/// right and up. Two mirrored points where the plan says `left and right`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Of the front axle, mm.
    pub behind: f64,
    /// Of the middle of the vehicle, mm.
    pub right: f64,
    /// Not said for places on the ground, such as jacking points.
    pub up: Option<f64>,
    /// The point and its mirror image.
    pub mirrored: bool,
}

/// A named set of parts, handled as one. May hold assemblies.
#[derive(Debug, Clone)]
pub struct Assembly {
    /// Name, title and notes.
    pub head: Head,
    /// Its members as written, nested ones too.
    pub of: Vec<Said<Thing>>,
    /// Every part in it, nested ones too, each once, in order of mention.
    pub parts: Vec<Id<Part>>,
    /// Of all together, where the plan says it.
    pub mass: Option<Said<MassFigure>>,
    /// Its middle, in mm.
    pub at: Option<Said<Place>>,
    /// Where all of it ends.
    pub afterwards: Option<Said<Afterwards>>,
    /// Who gets it, in the owner's words.
    pub goes_to: Option<Said<Text>>,
    /// What hurts about it.
    pub cautions: Vec<Said<Id<Caution>>>,
    /// Pictures of it.
    pub figures: Vec<Figure>,
}

/// What an act may handle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Thing {
    /// One thing.
    Part(Id<Part>),
    /// Several, handled as one.
    Assembly(Id<Assembly>),
}

/// What runs out of a vehicle.
#[derive(Debug, Clone)]
pub struct Fluid {
    /// Name, title and notes.
    pub head: Head,
    /// How much is in it when it is full.
    pub holds: Option<Said<Volume>>,
    /// kg/l; none where the plan does not say.
    pub density: Option<Said<Density>>,
    /// The parts that it fills.
    pub in_parts: Vec<Said<Id<Part>>>,
    /// `needs bleeding`: air has to come out after it is filled.
    pub needs_bleeding: Option<Span>,
    /// `renew`: fresh fluid goes in, not what came out.
    pub renew: Option<Span>,
    /// Once it is out it stays out.
    pub gone: Option<Said<Option<Text>>>,
    /// As the plan writes it: "ISO VG 46".
    pub grade: Option<Said<Text>>,
    /// What it can hurt by.
    pub against: Vec<Said<Hazard>>,
}

/// What is live, loaded or hot, and has to be made safe.
#[derive(Debug, Clone)]
pub struct Energy {
    /// Name, title and notes.
    pub head: Head,
    /// None where the plan does not say.
    pub kind: Option<Said<EnergyKind>>,
    /// The step after which it is safe.
    pub safe_after: Option<Said<Id<Step>>>,
    /// The parts that it is in.
    pub in_parts: Vec<Said<Id<Part>>>,
    /// What it can hurt by.
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

/// What kind of energy it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EnergyKind {
    /// A supply or a battery.
    Electric,
    /// Gas or fluid, pushed together.
    Pressure,
    /// Wound or pressed metal.
    Spring,
    /// What is still hot.
    Heat,
    /// Something high that can come down.
    Gravity,
    /// A charge that goes off.
    Pyrotechnic,
}

/// What can hurt, and how to keep clear of it.
#[derive(Debug, Clone)]
pub struct Caution {
    /// Name, title and notes.
    pub head: Head,
    /// None where the plan does not say.
    pub signal: Option<Said<Signal>>,
    /// What it does to whom it catches.
    pub harm: Option<Said<Text>>,
    /// One order each.
    pub avoid: Vec<Said<Text>>,
    /// All orders in a few words, for the line in which it is told again.
    pub in_short: Option<Said<Text>>,
    /// The hazards that it guards from.
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
    /// Will kill or maim.
    Danger,
    /// Could kill or maim.
    Warning,
    /// Could hurt.
    Caution,
    /// Breaks things, hurts nobody.
    Notice,
}

/// The vehicle or machine that the plan works on.
#[derive(Debug, Clone)]
pub struct Vehicle {
    /// Name, title and notes.
    pub head: Head,
    /// `machine`: it has feet where a vehicle has wheels.
    pub is_machine: bool,
    /// The part that all the rest hangs on.
    pub body: Option<Said<Id<Part>>>,
    /// All of it, as found.
    pub mass: Option<Said<MassFigure>>,
    /// Between the axles.
    pub wheelbase: Option<Said<Length>>,
    /// Between the wheels of each axle.
    pub track: Option<Said<FrontRear<Length>>>,
    /// Under load, of each axle.
    pub wheel_radius: Option<Said<FrontRear<Length>>>,
    /// Over the ground, as found.
    pub centre_height: Option<Said<CentreHeight>>,
    /// Where a jack takes each end.
    pub jacking: FrontRear<Option<Said<Place>>>,
    /// What bears the wheels or feet of each end; the body where the plan does not say.
    pub borne_on: FrontRear<Option<Said<Thing>>>,
    /// Pictures of it.
    pub figures: Vec<Figure>,
}

/// A value at each end of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FrontRear<T> {
    /// At the front axle.
    pub front: T,
    /// At the rear axle.
    pub rear: T,
}

/// Height of the centre of mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CentreHeight {
    /// Over the ground.
    pub height: Length,
    /// Nobody measured it.
    pub assumed: bool,
}

/// A picture, drawn or photographed, from inside the plan's folder.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// As the plan writes it: relative to the file that names it.
    pub file: Said<Text>,
    /// The found picture's key; `None` where there is none to print.
    pub key: Option<Text>,
    /// Below it.
    pub caption: Option<Text>,
    /// What it shows, for who cannot see it.
    pub alt: Option<Text>,
    /// Where the plan says it.
    pub at: Span,
}
