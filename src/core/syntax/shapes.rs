//! Every block and every statement, once: its words, where it may stand, and its form as a message shows it. The
//! reader in `plan/`, the reference and its test all go by this table.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

/// What a line at the left edge opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum BlockKind {
    /// The job itself, and how it is printed.
    Plan,
    /// What is worked on, with wheels.
    Vehicle,
    /// What is worked on, with feet.
    Machine,
    /// Somebody who works.
    Person,
    /// What weighs.
    Scale,
    /// What lifts or holds.
    Rig,
    /// In the hand, or a container.
    Tool,
    /// What is used up.
    Consumable,
    /// Tools that the owner has.
    Kit,
    /// One part, the body too.
    Part,
    /// Names of parts that need no block of their own.
    Parts,
    /// A named set of parts.
    Assembly,
    /// What ties two things.
    Joint,
    /// What runs out.
    Fluid,
    /// What has to be made safe.
    Energy,
    /// What can hurt.
    Caution,
    /// A part of the job.
    Stage,
    /// What is done in one go.
    Step,
    /// A list of readings.
    WeighIn,
    /// What comes off for what goes on.
    Swap,
    /// What was done already.
    Log,
    /// A finding that the owner lets stand.
    Accept,
}

use BlockKind as B;

/// Each kind of block, its word, and the form of its header.
pub static BLOCKS: &[(BlockKind, &str, &str)] = &[
    (B::Plan, "plan", "plan NAME \"Title\""),
    (B::Vehicle, "vehicle", "vehicle NAME \"Title\""),
    (B::Machine, "machine", "machine NAME \"Title\""),
    (B::Person, "person", "person NAME \"Title\""),
    (B::Scale, "scale", "scale NAME \"Title\""),
    (B::Rig, "rig", "rig NAME \"Title\""),
    (B::Tool, "tool", "tool NAME \"Title\""),
    (B::Consumable, "consumable", "consumable NAME \"Title\""),
    (B::Kit, "kit", "kit NAME \"Title\""),
    (
        B::Part,
        "part",
        "part NAME \"Title\", or part NAME, each side \"Title\"",
    ),
    (B::Parts, "parts", "parts NAME, NAME"),
    (B::Assembly, "assembly", "assembly NAME \"Title\""),
    (B::Joint, "joint", "joint NAME: A to B"),
    (B::Fluid, "fluid", "fluid NAME \"Title\""),
    (B::Energy, "energy", "energy NAME \"Title\""),
    (B::Caution, "caution", "caution NAME \"What can happen\""),
    (
        B::Stage,
        "stage",
        "stage NAME \"Title\", or stage NAME \"Title\" reverses STAGE",
    ),
    (B::Step, "step", "step NAME \"Title\""),
    (B::WeighIn, "weigh-in", "weigh-in NAME \"Title\""),
    (B::Swap, "swap", "swap NAME \"Title\""),
    (B::Log, "log", "log STEP, STEP to STEP"),
    (B::Accept, "accept", "accept RULE for NAME because \"reason\""),
];

impl BlockKind {
    /// As a line at the left edge begins.
    #[must_use]
    pub fn word(self) -> &'static str {
        BLOCKS
            .iter()
            .find(|(kind, _, _)| *kind == self)
            .map_or("", |(_, word, _)| word)
    }

    /// "a swap", "an assembly".
    #[must_use]
    pub fn with_article(self) -> String {
        let word = self.word();
        let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) {
            "an"
        } else {
            "a"
        };
        format!("{article} {word}")
    }

    /// How its header is written.
    #[must_use]
    pub fn form(self) -> &'static str {
        BLOCKS
            .iter()
            .find(|(kind, _, _)| *kind == self)
            .map_or("", |(_, _, form)| form)
    }

    /// None for a word that opens nothing.
    #[must_use]
    pub fn of_word(word: &str) -> Option<BlockKind> {
        BLOCKS
            .iter()
            .find(|(_, known, _)| *known == word)
            .map(|(kind, _, _)| *kind)
    }
}

macro_rules! shapes {
    ($($keyword:ident, $words:literal, [$($block:ident)+], $often:ident, $form:literal;)*) => {
        /// A statement's keyword.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Keyword { $(#[doc = concat!("`", $form, "`")] $keyword,)* }

        /// Every statement.
        pub static SHAPES: &[Shape] = &[
            $(Shape { keyword: Keyword::$keyword, words: $words, blocks: &[$(B::$block),+], often: Often::$often, form: $form },)*
        ];
    };
}

/// How often a statement may stand in one block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Often {
    /// A second one is told.
    Once,
    /// Each one counts.
    Again,
}

/// One kind of statement.
#[derive(Debug, PartialEq, Eq)]
pub struct Shape {
    /// What it is called in code.
    pub keyword: Keyword,
    /// Its first words, as a plan writes them.
    pub words: &'static str,
    /// Where it may stand.
    pub blocks: &'static [BlockKind],
    /// Whether it may stand there again.
    pub often: Often,
    /// How it is written, names in capitals.
    pub form: &'static str,
}

shapes! {
    // The plan.
    For, "for", [Plan], Once, "for NAME";
    Target, "target", [Plan], Once, "target save 55 kg, or target mass 815 kg";
    ClassMinimum, "class minimum", [Plan], Once, "class minimum 780 kg with driver 75 kg, fuel 5 l";
    AxleSplit, "axle split", [Plan], Once, "axle split 54 % front, or axle split 46 % rear";
    Crew, "crew", [Plan], Once, "crew PERSON, PERSON";
    Paper, "paper", [Plan], Once, "paper A4, or paper Letter";
    Sides, "sides", [Plan], Once, "sides one, or sides two";
    Ink, "ink", [Plan], Once, "ink colour, or ink black";
    Units, "units", [Plan], Once, "units metric, or units inch";
    Spelling, "spelling", [Plan], Once, "spelling british, or spelling american";
    Language, "language", [Plan], Once, "language en-GB";
    Workshop, "workshop", [Plan], Once, "workshop \"../our-workshop\"";
    Stages, "stages", [Plan], Once, "stages STAGE, STAGE";
    Procedure, "procedure", [Plan], Once, "procedure \"the maker's book, chapter\"";
    House, "house", [Plan], Again, "house hang 2 kg, by hand 5 kg, heavy 15 kg, big torque 120 N m";
    Starts, "starts", [Plan], Again, "starts PART off, JOINT out, FLUID 12 l";
    Works, "works", [Plan], Again, "works 8 h from 9:00 on saturday, sunday, or works 9 h on 2026-03-07";
    NoWorkOn, "no work on", [Plan], Again, "no work on 2026-04-04, 2026-04-05";
    Begins, "begins", [Plan], Once, "begins 2026-03-07";
    FinishBy, "finish by", [Plan], Once, "finish by 2026-06-20";
    Budget, "budget", [Plan], Once, "budget 1800 GBP";
    RateOf, "rate", [Plan], Again, "rate 1 EUR is 0.86 GBP";
    // Of several blocks.
    Dated, "dated", [Plan WeighIn], Once, "dated 2026-03-14";
    CautionHere, "caution", [Plan Stage Step Part Assembly Rig], Again, "caution NAME, NAME";
    Figure, "figure", [Plan Vehicle Part Assembly Step], Again, "figure \"file.svg\" \"caption\" \"what it shows\"";
    Mass, "mass", [Vehicle Machine Part Assembly Rig], Once, "mass 31.5 kg estimated";
    At, "at", [Part Assembly Joint], Once, "at 420 mm behind front axle, 150 mm left, 310 mm up";
    Afterwards, "afterwards", [Part Assembly], Once, "afterwards goes back, for sale, scrapped, stored or stays off";
    GoesTo, "goes to", [Part Assembly], Once, "goes to \"shelf 2\"";
    SameAs, "same as", [Person Scale Rig Tool Consumable Kit Part Assembly Joint Fluid Energy Caution], Once, "same as NAME";
    Cost, "cost", [Part Consumable Tool Rig Joint], Once, "cost 240 GBP";
    Bought, "bought", [Part Consumable Tool Rig Joint], Once, "bought 2026-03-01, or bought 2026-03-01 410 GBP";
    Was, "was", [Step Joint], Once, "was OLD-NAME";
    Time, "time", [Stage Step Tool Rig], Once, "time 30 min (20 to 60)";
    Count, "count", [Joint Part Rig], Once, "count 4";
    InPlaceOf, "in place of", [Part Joint], Once, "in place of NAME";
    Against, "against", [Caution Fluid Energy], Once, "against fuel, pressure";
    InParts, "in", [Fluid Energy], Once, "in PART, PART";
    // Vehicle and machine.
    Body, "body", [Vehicle Machine], Once, "body NAME";
    Wheelbase, "wheelbase", [Vehicle Machine], Once, "wheelbase 2480 mm";
    Track, "track", [Vehicle Machine], Once, "track 1420 mm front, 1415 mm rear";
    WheelRadius, "wheel radius", [Vehicle], Once, "wheel radius 285 mm front, 290 mm rear";
    HeightOfCentre, "height of centre", [Vehicle Machine], Once, "height of centre 510 mm assumed";
    Jacking, "jacking", [Vehicle Machine], Again, "jacking front at 180 mm behind front axle, 560 mm left and right";
    Wheels, "wheels", [Vehicle], Again, "wheels rear on PART";
    Feet, "feet", [Machine], Again, "feet rear on PART";
    // People, scales, rigs, tools.
    LiftsMass, "lifts", [Person], Once, "lifts 20 kg";
    FreeOn, "free", [Person], Again, "free saturday, 2026-03-22";
    LicensedFor, "licensed for", [Person], Once, "licensed for refrigerant";
    Capacity, "capacity", [Scale], Once, "capacity 450 kg each";
    Division, "division", [Scale], Once, "division 0.5 kg";
    Repeatability, "repeatability", [Scale], Once, "repeatability 0.5 kg";
    ScaleClass, "class", [Scale], Once, "class III";
    Lifts, "lifts", [Rig], Once, "lifts, holds";
    Holds, "holds", [Rig], Once, "holds";
    Rated, "rated", [Rig], Once, "rated 2600 kg";
    Takes, "takes", [Rig], Again, "takes VEHICLE at jacking front, jacking rear";
    Platform, "platform", [Rig], Once, "platform 900 mm x 600 mm";
    BorneBy, "borne by", [Rig], Once, "borne by PART";
    Height, "height", [Rig], Once, "height 720 mm";
    RaisesTo, "raises to", [Rig], Once, "raises to 1900 mm";
    Legs, "legs", [Rig], Once, "legs 2 at 60 deg";
    Borrow, "borrow", [Rig Tool Consumable], Once, "borrow";
    Hire, "hire", [Rig Tool Consumable], Once, "hire, hire 2026-03-14 to 2026-03-15, or hire 20 GBP a day, 2026-03-14 to 2026-03-15";
    Arrives, "arrives", [Part Rig Tool Consumable], Once, "arrives 2026-03-12";
    Buy, "buy", [Rig Tool Consumable], Once, "buy";
    ToMake, "to make", [Rig Tool], Once, "to make \"from what\"";
    Size, "size", [Tool], Once, "size 1/2 in";
    Compresses, "compresses", [Tool], Once, "compresses";
    Range, "range", [Tool], Once, "range 20 N m to 200 N m";
    HoldsVolume, "holds", [Tool Fluid], Once, "holds 5 l";
    Amount, "amount", [Consumable], Once, "amount 50 g";
    Has, "has", [Kit], Again, "has TOOL, TOOL";
    Sockets, "sockets", [Kit], Again, "sockets 10 mm, 13 mm";
    Spanners, "spanners", [Kit], Again, "spanners 10 mm, 13 mm";
    Keys, "keys", [Kit], Again, "keys 5 mm, 6 mm";
    HexalobularSizes, "hexalobular", [Kit], Again, "hexalobular T30, T40";
    // Parts and assemblies.
    FixedTo, "fixed to", [Part], Once, "fixed to NAME by bolts 4 x M10x1.25 class 8.8, head 16 mm, torque 45 N m";
    RestsOn, "rests on", [Part], Once, "rests on PART";
    New, "new", [Part], Once, "new";
    CoversNothing, "covers nothing", [Part], Once, "covers nothing";
    StandsOn, "stands on", [Part], Once, "stands on 3 of JOINT, JOINT";
    SoldFor, "sold for", [Part], Once, "sold for 90 GBP";
    SoldOn, "sold", [Part], Once, "sold 2026-05-02 75 GBP";
    RequiredBy, "required by", [Part], Once, "required by \"class rule 4.2\"";
    HoldsFluid, "holds", [Part], Again, "holds FLUID";
    Of, "of", [Assembly Joint], Once, "of NAME, NAME";
    // Joints.
    Carries, "carries", [Joint], Once, "carries";
    Bolted, "bolted", [Joint], Once, "bolted";
    KindPin, "pin", [Joint], Once, "pin";
    KindClip, "clip", [Joint], Once, "clip";
    KindStrap, "strap", [Joint], Once, "strap";
    KindPlug, "plug", [Joint], Once, "plug";
    KindCable, "cable", [Joint], Once, "cable";
    KindHose, "hose", [Joint], Once, "hose of FLUID";
    KindPipe, "pipe", [Joint], Once, "pipe of FLUID";
    KindSpline, "spline", [Joint], Once, "spline";
    KindSpigot, "spigot", [Joint], Once, "spigot";
    KindDowel, "dowel", [Joint], Once, "dowel";
    KindRiveted, "riveted", [Joint], Once, "riveted";
    KindWelded, "welded", [Joint], Once, "welded";
    KindBonded, "bonded", [Joint], Once, "bonded";
    SetsIn, "sets in", [Joint], Once, "sets in 24 h";
    KindTaper, "taper", [Joint], Once, "taper";
    KindPressFit, "press fit", [Joint], Once, "press fit";
    Rigid, "rigid", [Joint], Once, "rigid";
    Flexible, "flexible", [Joint], Once, "flexible";
    Opens, "opens", [Joint], Once, "opens FLUID";
    Bolts, "bolts", [Joint], Again, "bolts 2 x M10x1.25 class 10.9";
    Studs, "studs", [Joint], Again, "studs 2 x M10x1.25 class 10.9";
    Nuts, "nuts", [Joint], Again, "nuts 2 x M10x1.25";
    Screws, "screws", [Joint], Again, "screws 4 x M6x1.0";
    Head, "head", [Joint], Again, "head 16 mm, deep socket";
    NutHead, "nut head", [Joint], Once, "nut head 17 mm";
    Key, "key", [Joint], Once, "key 6 mm";
    Hexalobular, "hexalobular", [Joint], Once, "hexalobular T40";
    TripleSquare, "triple square", [Joint], Once, "triple square M10";
    DoubleSquare, "double square", [Joint], Once, "double square 10";
    Slotted, "slotted", [Joint], Once, "slotted";
    Cross, "cross", [Joint], Once, "cross PH2";
    Torque, "torque", [Joint], Once, "torque 55 N m, or torque to come";
    Threads, "threads", [Joint], Once, "threads dry, oiled or coated";
    Threadlock, "threadlock", [Joint], Once, "threadlock, or threadlock \"medium\"";
    Washers, "washers", [Joint], Once, "washers 4 \"plain, under the heads\", washers 4, or washers \"plain\"";
    Friction, "friction", [Joint], Once, "friction 0.10 to 0.14";
    LeftHand, "left-hand thread", [Joint], Once, "left-hand thread";
    Engagement, "engagement", [Joint], Once, "engagement 15 mm";
    Order, "order", [Joint], Once, "order across, spiral or along";
    PatternOf, "pattern", [Joint], Once, "pattern 2 x 2, row or circle";
    SeenFrom, "seen from", [Joint], Once, "seen from \"below\"";
    WithWheelsDown, "with wheels down", [Joint], Once, "with wheels down";
    WithFeetDown, "with feet down", [Joint], Once, "with feet down";
    SecondCheck, "second check", [Joint], Once, "second check";
    Hidden, "hidden", [Joint], Once, "hidden \"where it hides\"";
    FullyOut, "fully out", [Joint], Once, "fully out \"why\"";
    Renew, "renew", [Joint Fluid], Once, "renew";
    Gone, "gone", [Joint Fluid], Once, "gone \"what is done about the hole\"";
    ReachFrom, "reach from", [Joint], Once, "reach from below, front";
    CoveredBy, "covered by", [Joint], Once, "covered by PART, PART";
    PlaceAt, "place", [Joint], Once, "place front, right, rear, left, below or inside";
    Play, "play", [Joint], Once, "play 120 mm";
    Engaged, "engaged", [Joint], Once, "engaged 40 mm";
    PushOn, "push-on", [Joint], Once, "push-on";
    // Fluids, energies, cautions.
    DensityOf, "density", [Fluid], Once, "density 0.87 kg/l";
    NeedsBleeding, "needs bleeding", [Fluid], Once, "needs bleeding";
    Grade, "grade", [Fluid], Once, "grade \"DOT 4\"";
    Electric, "electric", [Energy], Once, "electric";
    PressureKind, "pressure", [Energy], Once, "pressure";
    SpringKind, "spring", [Energy], Once, "spring";
    HeatKind, "heat", [Energy], Once, "heat";
    GravityKind, "gravity", [Energy], Once, "gravity";
    PyrotechnicKind, "pyrotechnic", [Energy], Once, "pyrotechnic";
    SafeAfter, "safe after", [Energy], Once, "safe after STEP";
    HeldInBy, "held in by", [Energy], Once, "held in by JOINT, JOINT";
    ForceOf, "force", [Energy], Once, "force 3 kN";
    FreeAt, "free at", [Energy], Once, "free at 120 mm";
    SignalWord, "signal", [Caution], Once, "signal danger, warning, caution or notice";
    Harm, "harm", [Caution], Once, "harm \"what it does to you\"";
    Avoid, "avoid", [Caution], Again, "avoid \"what to do\", \"what else to do\"";
    InShort, "in short", [Caution], Once, "in short \"what to do, in a few words\"";
    OnlyOnTheWay, "only on the way", [Caution], Once, "only on the way out, or only on the way back";
    // Steps: who, when, what with.
    By, "by", [Step], Once, "by PERSON, PERSON";
    Calls, "calls", [Step], Once, "calls PERSON, stop word \"stop\"";
    After, "after", [Step WeighIn], Once, "after STEP";
    InsteadOf, "instead of", [Step], Once, "instead of STEP";
    ForSwap, "for", [Step], Once, "for SWAP, SWAP";
    Needs, "needs", [Step], Again, "needs TOOL, TOOL";
    SafeToLeave, "safe to leave", [Step], Once, "safe to leave, or safe to leave overnight";
    // Steps: acts.
    Slacken, "slacken", [Step], Again, "slacken JOINT, or slacken 2 of JOINT";
    Undo, "undo", [Step], Again, "undo JOINT, JOINT, or undo 5 of JOINT";
    Start, "start", [Step], Again, "start JOINT, JOINT";
    Tighten, "tighten", [Step], Again, "tighten JOINT, JOINT";
    Rivet, "rivet", [Step], Again, "rivet JOINT, JOINT";
    Weld, "weld", [Step], Again, "weld JOINT, JOINT, or weld PART \"how\"";
    Cut, "cut", [Step], Again, "cut PART \"where and how\"";
    Grind, "grind", [Step], Again, "grind PART \"where and how\"";
    Drill, "drill", [Step], Again, "drill PART \"where and how\"";
    Heat, "heat", [Step], Again, "heat PART, or heat JOINT";
    Clean, "clean", [Step], Again, "clean PART, or clean JOINT";
    Seal, "seal", [Step], Again, "seal JOINT \"with what\"";
    Paint, "paint", [Step], Again, "paint PART \"with what\"";
    Bond, "bond", [Step], Again, "bond JOINT, JOINT";
    Wait, "wait", [Step], Again, "wait JOINT, or wait 24 h \"what for\"";
    Pin, "pin", [Step], Again, "pin 2 of JOINT with TOOL";
    Break, "break", [Step], Again, "break JOINT \"how\"";
    Steady, "steady", [Step], Again, "steady THING, THING by PERSON";
    Hold, "hold", [Step], Again, "hold THING with RIG, or hold THING by PERSON, a line for each who holds";
    Touch, "touch", [Step], Again, "touch THING with RIG";
    Release, "release", [Step], Again, "release THING from RIG";
    TieUp, "tie up", [Step], Again, "tie up THING to THING, 5 kg";
    Untie, "untie", [Step], Again, "untie THING";
    Raise, "raise", [Step], Again, "raise VEHICLE front on RIG to 400 mm, raise THING on RIG to ride height, or raise THING by 20 mm";
    Set, "set", [Step], Again, "set VEHICLE front down on RIG, or set THING on THING";
    Lower, "lower", [Step], Again, "lower THING, or lower THING by 20 mm";
    Tilt, "tilt", [Step], Again, "tilt THING about JOINT, ... by 5 deg, or tilt THING back about JOINT, ... by 5 deg";
    Draw, "draw", [Step], Again, "draw THING back 120 mm";
    SlideHome, "slide home", [Step], Again, "slide home THING";
    Slide, "slide", [Step], Again, "slide THING home";
    PressApart, "press apart", [Step], Again, "press apart JOINT with TOOL";
    PressHome, "press home", [Step], Again, "press home JOINT with TOOL";
    MoveAside, "move aside", [Step], Again, "move aside THING";
    MoveBack, "move back", [Step], Again, "move back THING";
    TakeOff, "take off", [Step], Again, "take off THING, THING";
    Fit, "fit", [Step], Again, "fit THING";
    Try, "try", [Step], Again, "try THING";
    Drain, "drain", [Step], Again, "drain FLUID into TOOL";
    Fill, "fill", [Step], Again, "fill FLUID 1.8 l";
    Bleed, "bleed", [Step], Again, "bleed FLUID";
    Clamp, "clamp", [Step], Again, "clamp JOINT";
    Cap, "cap", [Step], Again, "cap JOINT";
    Plug, "plug", [Step], Again, "plug JOINT";
    Unclamp, "unclamp", [Step], Again, "unclamp JOINT";
    Uncap, "uncap", [Step], Again, "uncap JOINT";
    Unplug, "unplug", [Step], Again, "unplug JOINT";
    Weigh, "weigh", [Step], Again, "weigh THING with SCALE";
    Run, "run", [Step], Again, "run PART, or run VEHICLE";
    Drive, "drive", [Step], Again, "drive VEHICLE";
    Measure, "measure", [Step Log], Again, "measure NAME to come, or measure NAME 412 mm";
    Photograph, "photograph", [Step], Again, "photograph NAME";
    Mark, "mark", [Step], Again, "mark JOINT";
    Tag, "tag", [Step], Again, "tag JOINT";
    Judge, "judge", [Step], Again, "judge PART: keep if \"...\", else renew";
    Soak, "soak", [Step], Again, "soak JOINT";
    Look, "look", [Step], Again, "look \"what must be seen\"";
    MakeUp, "make up", [Step], Again, "make up TOOL";
    Verify, "verify", [Step], Again, "verify JOINT, JOINT \"what must be seen\"";
    // Weigh-ins, swaps, logs.
    With, "with", [WeighIn], Once, "with SCALE";
    ReadsOf, "reads", [WeighIn Log], Again, "reads PART 31.9 kg, or reads PART to come";
    TareOf, "tare", [WeighIn], Again, "tare NAME 1.2 kg";
    SumGiven, "sum given", [WeighIn], Once, "sum given 47.3 kg";
    CornersOf, "corners", [WeighIn Log], Once, "corners 246.5 kg, 241.0 kg front, 198.0 kg, 203.5 kg rear";
    AxlesOf, "axles", [WeighIn Log], Once, "axles 352.5 kg front, 337.5 kg rear";
    Raised, "raised", [WeighIn], Once, "raised rear 420 mm";
    FuelIn, "fuel", [WeighIn], Once, "fuel 12 l";
    DriverIn, "driver", [WeighIn], Once, "driver out, driver in, or driver 78 kg";
    Tyres, "tyres", [WeighIn], Once, "tyres 1.6 bar front, 1.4 bar rear";
    Level, "level", [WeighIn], Once, "level \"how the floor was levelled\"";
    ComesOff, "comes off", [Swap], Again, "comes off PART, PART";
    GoesOn, "goes on", [Swap], Again, "goes on PART, PART";
    Optional, "optional", [Swap], Once, "optional";
    LeftOut, "left out", [Swap], Once, "left out";
    NeedsSwap, "needs", [Swap], Again, "needs SWAP, SWAP";
    NotWith, "not with", [Swap], Again, "not with SWAP, SWAP";
    Done, "done", [Log], Once, "done 2026-03-14 by PERSON";
    Took, "took", [Log], Once, "took 1 h 20 min";
    Found, "found", [Log], Again, "found \"what was found\"";
    Stopped, "stopped", [Log], Once, "stopped 2026-03-14 after STEP waiting for \"parts\", or stopped 2026-03-14 at undo JOINT";
    Skipped, "skipped", [Log], Once, "skipped \"why\"";
    Differently, "done differently", [Log], Again, "done differently \"what was done\"";
    Broke, "broke", [Log], Again, "broke 1 of JOINT";
    Lost, "lost", [Log], Again, "lost 2 of JOINT";
    DamagedPart, "damaged", [Log], Again, "damaged PART \"how\"";
    Fitted, "fitted", [Log], Again, "fitted JOINT bolts 2 x M10x1.5x35 class 8.8, or fitted JOINT torque 40 N m";
}

type ByFirstWord = FxHashMap<(BlockKind, &'static str), Vec<(&'static Shape, Vec<&'static str>)>>;

static BY_FIRST_WORD: LazyLock<ByFirstWord> = LazyLock::new(|| {
    let mut map = ByFirstWord::default();
    for shape in SHAPES {
        let words: Vec<&str> = shape.words.split(' ').collect();
        let first = words.first().copied().unwrap_or("");
        for &block in shape.blocks {
            map.entry((block, first))
                .or_default()
                .push((shape, words.clone()));
        }
    }
    for shapes in map.values_mut() {
        shapes.sort_by_key(|(_, words)| std::cmp::Reverse(words.len()));
    }
    map
});

/// The statement that begins with these words, the longest first, and how many of them are its keyword.
pub fn find<'a>(
    block: BlockKind,
    first: &'a str,
    word: impl Fn(usize) -> Option<&'a str>,
) -> Option<(&'static Shape, usize)> {
    let table: &FxHashMap<(BlockKind, &str), _> = &BY_FIRST_WORD;
    let shapes: &Vec<(&'static Shape, Vec<&'static str>)> = table.get(&(block, first))?;
    let fits = |words: &Vec<&str>| words.iter().enumerate().skip(1).all(|(n, w)| word(n) == Some(*w));
    shapes
        .iter()
        .find(|(_, words)| fits(words))
        .map(|(shape, words)| (*shape, words.len()))
}

/// Every statement that may stand in such a block.
pub fn of_block(block: BlockKind) -> impl Iterator<Item = &'static Shape> {
    SHAPES.iter().filter(move |shape| shape.blocks.contains(&block))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_shape_for_the_same_words_in_a_block() {
        let mut seen = std::collections::BTreeSet::new();
        for shape in SHAPES {
            assert!(
                shape.form.starts_with(shape.words) || shape.keyword == Keyword::Slide,
                "{}",
                shape.form
            );
            for block in shape.blocks {
                assert!(
                    seen.insert((*block, shape.words)),
                    "{} twice in {}",
                    shape.words,
                    block.word()
                );
            }
        }
    }

    #[test]
    fn the_longest_keyword_wins() {
        let words = ["take", "off", "x"];
        let (shape, used) = find(BlockKind::Step, "take", |n| words.get(n).copied()).expect("take off");
        assert_eq!((shape.keyword, used), (Keyword::TakeOff, 2));
        assert!(find(BlockKind::Step, "take", |_| None).is_none());
    }
}
